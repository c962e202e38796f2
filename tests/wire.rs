//! The server as the network meets it: who is answered, how much is read, how long is waited, what is
//! left when it is over.

mod ending;
mod files;
mod guard;
mod load;
pub(crate) mod pages;
mod read;

use crate::util::{fresh, program};
use std::io::{BufRead, BufReader, ErrorKind, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::Duration;

/// A server that runs; it ends with its test.
pub(crate) struct Served {
    child: Child,
    out: BufReader<ChildStdout>,
    /// `127.0.0.1:40123`.
    pub(crate) host: String,
    /// `/`, or `/KEY/`.
    pub(crate) base: String,
}

impl Served {
    pub(crate) fn start(folder: &Path, args: &[&str]) -> Self {
        let words = [&["serve", "--no-open", "--port", "0"], args].concat();
        let mut child = program(folder, &words)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program runs");
        let mut out = BufReader::new(child.stdout.take().unwrap());
        let mut line = String::new();
        out.read_line(&mut line).unwrap();
        let address = line.trim().strip_prefix("http://").unwrap_or_else(|| panic!("{line}"));
        let (host, path) = address.split_once('/').unwrap();
        let (host, base) = (host.to_owned(), format!("/{path}"));
        Self { child, out, host, base }
    }

    pub(crate) fn demo() -> Self {
        Self::start(fresh().path(), &["--lathe", "dinghy"])
    }

    fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(&self.host).unwrap();
        // So long nothing here takes, on the slowest machine.
        stream.set_read_timeout(Some(Duration::from_mins(2))).unwrap();
        stream
    }

    /// What comes back for these bytes, until the server closes; as much as came where it breaks off.
    fn raw(&self, bytes: &[u8]) -> String {
        let mut stream = self.connect();
        let _ = stream.write_all(bytes);
        rest(stream)
    }

    /// A request of one line and more of its head.
    fn ask(&self, method: &str, path: &str, head: &str) -> String {
        let host = &self.host;
        self.raw(
            format!("{method} {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n{head}\r\n")
                .as_bytes(),
        )
    }

    /// A page.
    pub(crate) fn get(&self, page: &str) -> String {
        self.ask("GET", &format!("{}{page}", self.base), "")
    }

    pub(crate) fn post(&self, page: &str, body: &str, origin: &str) -> String {
        let kind = "application/x-www-form-urlencoded";
        let (path, host) = (format!("{}{page}", self.base), &self.host);
        let head = format!("POST {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n");
        let length = body.len();
        let form = format!("Origin: {origin}\r\nContent-Type: {kind}\r\nContent-Length: {length}");
        self.raw(format!("{head}{form}\r\n\r\n{body}").as_bytes())
    }

    fn interrupt(&self) {
        let id = self.child.id().to_string();
        assert!(Command::new("kill").args(["-INT", &id]).status().unwrap().success());
    }

    /// Its exit code, once it has ended.
    fn ended(mut self) -> Option<i32> {
        self.child.wait().unwrap().code()
    }

    /// Open files and threads.
    #[cfg(target_os = "linux")]
    fn holds(&self) -> (usize, usize) {
        let count =
            |what| std::fs::read_dir(format!("/proc/{}/{what}", self.child.id())).unwrap().count();
        (count("fd"), count("task"))
    }

    /// Ticks of work so far, in user mode (`proc_pid_stat(5)`, field 14).
    #[cfg(target_os = "linux")]
    fn work(&self) -> u64 {
        let stat = std::fs::read_to_string(format!("/proc/{}/stat", self.child.id())).unwrap();
        stat.rsplit_once(") ").unwrap().1.split(' ').nth(11).unwrap().parse().unwrap()
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn rest(mut stream: TcpStream) -> String {
    let mut bytes = Vec::new();
    // What came before a reset counts; a server that neither answers nor closes fails the test.
    let read = stream.read_to_end(&mut bytes).map_err(|e| e.kind());
    assert!(!matches!(read, Err(ErrorKind::WouldBlock | ErrorKind::TimedOut)), "held: {bytes:?}");
    String::from_utf8_lossy(&bytes).into_owned()
}

pub(crate) fn status(answer: &str) -> u16 {
    answer.split(' ').nth(1).and_then(|status| status.parse().ok()).unwrap_or(0)
}

fn encoded(text: &str) -> String {
    form_urlencoded::byte_serialize(text.as_bytes()).collect()
}

/// A lathe whose search for one lead takes long.
const SLOW: &str = r#"{"format": 1, "lead_screw": {"lead": "8 tpi"}, "headstock": {"ratio": "1"}, "studs": 2,
    "gears": {"owned": [20,21,24,25,28,30,32,35,36,38,40,44,45,46,48,50,52,54,55,57,60,63,65,70,72,75,80,85,90,95,100,127]}}"#;

fn slow() -> (tempfile::TempDir, Served) {
    let folder = fresh();
    std::fs::write(folder.path().join("lathe.json"), SLOW).unwrap();
    let served = Served::start(folder.path(), &[]);
    (folder, served)
}

/// A question that takes seconds at least.
const LONG: &str = "buy?list=0.2371+mm%0A0.2373+mm%0A0.7391+mm%0A1.3711+mm&up_to=2";
