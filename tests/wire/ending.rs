//! How it begins and ends: a port that is taken, Ctrl-C.

use super::{LONG, Served, slow, status};
use std::io::Write;
use std::time::Duration;

#[cfg(unix)]
#[test]
fn ctrl_c_ends_it_in_good_order() {
    let served = Served::demo();
    assert_eq!(status(&served.get("")), 200);
    let idle = served.connect();
    served.interrupt();
    assert_eq!(served.ended(), Some(0));
    drop(idle);
    // Long work does not hold it.
    let (_folder, served) = slow();
    let mut waiting = served.connect();
    let words = format!("GET /{LONG} HTTP/1.1\r\nHost: {}\r\n\r\n", served.host);
    waiting.write_all(words.as_bytes()).unwrap();
    std::thread::sleep(Duration::from_millis(300));
    served.interrupt();
    assert_eq!(served.ended(), Some(0));
}

#[test]
fn a_port_in_use_is_one_clear_line() {
    let served = Served::demo();
    let port = served.host.split(':').nth(1).unwrap();
    let run = crate::util::run(&["serve", "--no-open", "--port", port]);
    assert_eq!((run.code, run.out.as_str()), (2, ""));
    let wanted = format!("trainwright: --port {port}: another program answers on it\ntry: ");
    assert!(run.err.starts_with(&wanted) && run.err.lines().count() == 2, "{}", run.err);
    let run = crate::util::run(&["serve", "--no-open", "--share=203.0.113.7"]);
    assert_eq!(run.code, 2);
    assert!(run.err.contains("203.0.113.7 is no address of this computer"), "{}", run.err);
    let run = crate::util::run(&["serve", "--no-open", "--lathe", "tug", "--edit"]);
    assert_eq!(run.code, 2);
    assert!(run.err.contains("is no lathe file"), "{}", run.err);
}
