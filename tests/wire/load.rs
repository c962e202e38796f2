//! Many at once: all are answered or told so, and nothing is left when they have gone.

use super::{LONG, Served, slow, status};
use std::io::Write;
use std::net::TcpStream;
use std::time::Duration;

#[cfg(target_os = "linux")]
#[test]
fn a_thousand_connections_leave_nothing_behind() {
    let served = Served::demo();
    assert_eq!(status(&served.get("")), 200);
    let (files, threads) = served.holds();
    for i in 0..1000 {
        // Where there is no room any more the server says so or closes.
        let Ok(mut stream) = TcpStream::connect(&served.host) else { continue };
        if i % 3 == 0 {
            let _ = stream.write_all(b"GET / HT");
        }
    }
    let settled = || {
        (0..600).any(|_| {
            std::thread::sleep(Duration::from_millis(100));
            served.holds().0 <= files
        })
    };
    assert!(settled(), "{:?} open files, {files} before", served.holds());
    assert_eq!(status(&served.get("")), 200);
    // Nobody asked for work, so no thread was made for it; the last page may have made one.
    assert!(served.holds().1 <= threads + 1, "{:?}, {threads} threads before", served.holds());
}

#[test]
fn many_clients_are_all_answered() {
    let served = Served::demo();
    served.get("");
    for clients in [1, 4, 16] {
        std::thread::scope(|scope| {
            for _ in 0..clients {
                scope.spawn(|| {
                    for i in 0..200 / clients {
                        let page =
                            ["more", "find?target=M10", "lathe", "threads?words=19+tpi"][i % 4];
                        let answer = served.get(page);
                        assert_eq!(status(&answer), 200, "{page}");
                        assert!(answer.ends_with("</html>"), "{page}");
                    }
                });
            }
        });
    }
}

#[cfg(target_os = "linux")]
#[test]
fn more_than_sixteen_at_once_are_told_so_and_who_leaves_ends_the_work() {
    let (_folder, served) = slow();
    let words = format!("GET /{LONG} HTTP/1.1\r\nHost: {}\r\n\r\n", served.host);
    let waiting: Vec<TcpStream> = (0..16)
        .map(|_| {
            let mut stream = served.connect();
            stream.write_all(words.as_bytes()).unwrap();
            stream
        })
        .collect();
    let busy = || {
        (0..600).any(|_| {
            std::thread::sleep(Duration::from_millis(50));
            status(&served.get("more")) == 503
        })
    };
    assert!(busy());
    assert!(served.get("more").contains("retry-after: 1"));
    drop(waiting);
    let free = || {
        (0..600).any(|_| {
            std::thread::sleep(Duration::from_millis(50));
            status(&served.get("more")) == 200
        })
    };
    assert!(free());
    // Nothing is worked on for those who left.
    let idle = || {
        (0..300).any(|_| {
            let before = served.work();
            std::thread::sleep(Duration::from_millis(400));
            served.work() <= before + 1
        })
    };
    assert!(idle());
}
