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

/// Each limit at it and above.
#[test]
fn head_line_and_body_end_where_it_is_said() {
    let served = Served::demo();
    let asked = |line: &str, head: &str| status(&served.ask("GET", line, head));
    let line = |bytes: usize| format!("{:x<bytes$}", "/find?target=");
    // So long no thread is called, but it is read.
    assert_eq!(asked(&line(8 << 10), ""), 400);
    assert_eq!(asked(&line((8 << 10) + 1), ""), 414);
    assert_eq!(asked("/more", &format!("X: {}\r\n", "x".repeat(15 << 10))), 200);
    // A body that says how long it is, is refused before a byte of it came.
    let form = |length: usize, body: &str| {
        let (kind, host) = ("application/x-www-form-urlencoded", &served.host);
        let head = format!("POST /lathe/keep HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n");
        let form = format!("Origin: http://{host}\r\nContent-Type: {kind}\r\n");
        let whole = format!("{head}{form}Content-Length: {length}\r\n\r\n{body}");
        served.raw(whole.as_bytes())
    };
    let refused = form((1 << 20) + 1, "");
    assert_eq!(status(&refused), 413);
    assert!(refused.contains("1 MiB at most"), "{refused}");
    // Read whole, then refused for what it asks.
    assert_eq!(status(&form(1 << 20, &"x".repeat(1 << 20))), 405);
}

#[test]
fn what_is_no_request_is_refused_and_harms_nothing() {
    let served = Served::demo();
    let host = &served.host;
    let mut tls = vec![22, 3, 1, 2, 0, 1, 0, 1, 252, 3, 3];
    tls.extend([0; 200]);
    let words = |text: &str| text.replace("HOST", host).into_bytes();
    for bytes in [
        tls,
        vec![0; 4096],
        (0..=255).cycle().take(4096).collect(),
        words("GET / HTTP/9.9\r\nHost: HOST\r\n\r\n"),
        words("GET  HTTP/1.1\r\nHost: HOST\r\n\r\n"),
        words("GET / HTTP/1.1\r\nHost HOST\r\n\r\n"),
        words("GET /\0 HTTP/1.1\r\nHost: HOST\r\n\r\n"),
        words("PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n"),
        words(
            "POST /lathe/keep HTTP/1.1\r\nHost: HOST\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n",
        ),
    ] {
        let mut stream = served.connect();
        let _ = stream.write_all(&bytes);
        // Nothing follows: whoever waits for more, waits in vain.
        let _ = stream.shutdown(Shutdown::Write);
        let answer = rest(stream);
        let refused = [0, 400, 403, 404, 421, 505].contains(&status(&answer));
        assert!(refused, "{:?}: {answer}", String::from_utf8_lossy(&bytes));
    }
    assert_eq!(status(&served.get("")), 200);
}
