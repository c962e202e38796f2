//! Limits of time, over real sockets, with shorter ones than the program's own.

use super::limits::Limits;
use super::{Addresses, Answer, Asked, Handler, serve_within};
use crate::interrupt::Cancel;
use std::io::{ErrorKind, Read, Write};
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering::SeqCst};
use std::thread::{JoinHandle, sleep};
use std::time::Duration;
use tokio::sync::Notify;

/// A server that runs; it ends with its test.
struct Running {
    address: SocketAddr,
    end: Arc<Notify>,
    thread: Option<JoinHandle<()>>,
}

impl Running {
    fn start(limits: Limits, handler: Arc<Handler>) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let address = listener.local_addr().unwrap();
        let addresses = Addresses::new(&[address.ip()], address.port(), String::new());
        let end = Arc::new(Notify::new());
        let ends = Arc::clone(&end);
        let serve = move || serve_within(limits, listener, addresses, handler, &ends).unwrap();
        Self { address, end, thread: Some(std::thread::spawn(serve)) }
    }

    fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(self.address).unwrap();
        stream.set_read_timeout(Some(Duration::from_mins(1))).unwrap();
        stream
    }

    /// Sends a head with the host in it, and more.
    fn send(&self, first: &str, more: &str) -> TcpStream {
        let mut stream = self.connect();
        let host = self.address;
        let head = format!("{first} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n{more}");
        stream.write_all(head.as_bytes()).unwrap();
        stream
    }

    /// What comes back for a page.
    fn get(&self, page: &str) -> String {
        rest(self.send(&format!("GET /{page}"), "\r\n"))
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        self.end.notify_one();
        let _ = self.thread.take().map(JoinHandle::join);
    }
}

fn rest(mut stream: TcpStream) -> String {
    let mut bytes = Vec::new();
    // What came before a reset counts; a server that neither answers nor closes fails the test.
    let read = stream.read_to_end(&mut bytes).map_err(|e| e.kind());
    assert!(!matches!(read, Err(ErrorKind::WouldBlock | ErrorKind::TimedOut)), "held: {bytes:?}");
    String::from_utf8_lossy(&bytes).into_owned()
}

/// Limits that a test can wait for.
const SHORT: Limits = Limits {
    whole_time: Duration::from_millis(200),
    head_time: Duration::from_millis(200),
    turn: Duration::from_millis(20),
    ..Limits::OURS
};

/// A handler whose page `long` works until it is told to end; the rest is done at once. How many were
/// told to end is counted.
fn working(ended: &Arc<AtomicUsize>) -> Arc<Handler> {
    let ended = Arc::clone(ended);
    Arc::new(move |asked: &Asked, cancel: Cancel| {
        while asked.path == "long" && !cancel.flag().load(SeqCst) {
            sleep(Duration::from_millis(1));
        }
        ended.fetch_add(usize::from(asked.path == "long"), SeqCst);
        Answer::page("done".to_owned())
    })
}

/// Waits until so many were told to end; for ever where they are not.
fn until_ended(ended: &AtomicUsize, count: usize) {
    while ended.load(SeqCst) < count {
        sleep(Duration::from_millis(1));
    }
}

#[test]
fn the_limits_of_the_program() {
    let Limits { head, line, body, at_once, connections, .. } = Limits::OURS;
    assert_eq!((head, line, body), (16_384, 8_192, 1_048_576));
    assert_eq!((at_once, connections), (16, 128));
    let Limits { head_time, whole_time, connection_time, turn, last, .. } = Limits::OURS;
    let all = [head_time, whole_time, connection_time, turn, last];
    assert_eq!(all.map(|time| time.as_millis()), [5_000, 30_000, 300_000, 100, 1_500]);
}

#[test]
fn a_request_that_takes_too_long_is_told_so_and_its_work_ends() {
    let ended = Arc::default();
    let server = Running::start(SHORT, working(&ended));
    let answer = server.get("long");
    assert!(answer.starts_with("HTTP/1.1 503 "), "{answer}");
    assert!(answer.contains("This takes too long. Ask for less."), "{answer}");
    assert!(answer.contains("content-security-policy"), "{answer}");
    until_ended(&ended, 1);
    assert!(server.get("short").ends_with("done"));
}

/// A body that does not come counts too, and no place is kept for it.
#[test]
fn a_body_that_never_ends_is_not_waited_for() {
    let server = Running::start(Limits { at_once: 1, ..SHORT }, working(&Arc::default()));
    let host = server.address;
    let form = format!(
        "Origin: http://{host}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 9\r\n\r\na=b"
    );
    let answer = rest(server.send("POST /short", &form));
    assert!(answer.starts_with("HTTP/1.1 503 ") && answer.contains("takes too long"), "{answer}");
    assert!(server.get("short").ends_with("done"));
}

#[test]
fn a_head_that_never_ends_is_not_waited_for() {
    let server = Running::start(SHORT, working(&Arc::default()));
    let answer = rest(server.send("GET /short", "X: "));
    assert!(!answer.starts_with("HTTP/1.1 200 "), "{answer}");
}

#[test]
fn a_connection_does_not_live_for_ever() {
    let limits = Limits { connection_time: Duration::from_millis(200), ..Limits::OURS };
    let server = Running::start(limits, working(&Arc::default()));
    let mut stream = server.connect();
    let host = server.address;
    stream.write_all(format!("GET /short HTTP/1.1\r\nHost: {host}\r\n\r\n").as_bytes()).unwrap();
    // The server closes it, though it could be asked again.
    assert!(rest(stream).ends_with("done"));
}

/// With every core at long work the others still get their turn.
#[test]
fn long_work_keeps_nobody_waiting() {
    let ended = Arc::default();
    let limits = Limits { whole_time: Duration::from_mins(10), ..SHORT };
    let server = Running::start(limits, working(&ended));
    let cores = std::thread::available_parallelism().unwrap().get().min(8);
    let long: Vec<TcpStream> = (0..cores).map(|_| server.send("GET /long", "\r\n")).collect();
    assert!(server.get("short").ends_with("done"));
    assert_eq!(ended.load(SeqCst), 0);
    // Whoever leaves ends the work.
    drop(long);
    until_ended(&ended, cores);
}
