//! How much is read, and how long is waited for it.

use super::{Served, rest, status};
use std::io::Write;
use std::net::Shutdown;

#[test]
fn what_is_read_has_an_end() {
    let served = Served::demo();
    let long = |bytes: usize| "x".repeat(bytes);
    assert_eq!(status(&served.get(&format!("find?target={}", long(9 << 10)))), 414);
    // What is not read to its end may be lost on the way, with what was said of it.
    let told = |answer: String, wanted| [wanted, 0].contains(&status(&answer));
    assert!(told(served.ask("GET", "/", &format!("X: {}\r\n", long(17 << 10))), 431));
    assert!(told(served.raw(&vec![b'x'; 1 << 20]), 400));
    for method in ["PUT", "DELETE", "OPTIONS", "PATCH", "BREW"] {
        assert_eq!(status(&served.ask(method, "/", "")), 405, "{method}");
    }
    let head = served.ask("HEAD", "/", "");
    assert!(status(&head) == 200 && head.ends_with("\r\n\r\n"), "{head}");
    let origin = format!("http://{}", served.host);
    assert!(told(served.post("lathe/keep", &long((1 << 20) + 1), &origin), 413));
    // Who reads two lengths, or a length and pieces, can be led to read two requests.
    let host = &served.host;
    for lengths in [
        "Content-Length: 3\r\nContent-Length: 4\r\n",
        "Content-Length: x\r\n",
        "Content-Length: -1\r\n",
    ] {
        let words = format!("POST / HTTP/1.1\r\nHost: {host}\r\n{lengths}\r\nabc");
        assert!(told(served.raw(words.as_bytes()), 400), "{lengths}");
    }
    assert_eq!(status(&served.get("")), 200);
}

#[test]
fn a_head_that_never_ends_is_not_waited_for() {
    let served = Served::demo();
    let mut slow = served.connect();
    slow.write_all(b"GET / HTTP/1.1\r\nHost: x\r\nX: ").unwrap();
    let silent = served.connect();
    assert_eq!(status(&served.get("")), 200);
    // Both are closed by the server, long before this gives up.
    assert_ne!(status(&rest(slow)), 200);
    assert_eq!(rest(silent), "");
}

#[test]
fn two_requests_at_once_and_a_closed_half_are_answered() {
    let served = Served::demo();
    let host = &served.host;
    let one = |more: &str| format!("GET /more HTTP/1.1\r\nHost: {host}\r\n{more}\r\n");
    let both = served.raw((one("") + &one("Connection: close\r\n")).as_bytes());
    assert_eq!(both.matches("HTTP/1.1 200").count(), 2, "{both}");
    let mut half = served.connect();
    half.write_all(one("").as_bytes()).unwrap();
    half.shutdown(Shutdown::Write).unwrap();
    // Answered or closed, never held.
    let answer = rest(half);
    assert!(answer.is_empty() || status(&answer) == 200, "{answer}");
    assert_eq!(status(&served.get("")), 200);
}
