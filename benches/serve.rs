//! The pages, asked over loopback from the release program: `cargo build --release` first, else there is
//! nothing to ask; `TRAINWRIGHT=path` asks another one, for before and after in one sitting. Beside each
//! time the work of all cores for one answer, which other programs don't change, and what the same program
//! takes as a command, a new process a time.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::{Duration, Instant};

/// Pages, and the command that says the same.
const PAGES: [(&str, &str, &[&str]); 4] = [
    ("home", "", &["book", "--common", "--output", "-"]),
    ("answer", "find?target=M10", &["find", "M10", "--format", "html"]),
    ("card", "card?target=M10", &["card", "M10", "--format", "html"]),
    ("lists", "find?target=M10&long=1", &["find", "M10", "--long", "--format", "html"]),
];

/// A program that serves; it ends when it is dropped.
struct Served {
    child: Child,
    host: String,
    /// It goes on to write.
    _out: BufReader<ChildStdout>,
}

impl Served {
    fn start(program: &Path) -> Option<Self> {
        let args = ["serve", "--no-open", "--port", "0", "--lathe", "dinghy"];
        let mut child = Command::new(program).args(args).stdout(Stdio::piped()).spawn().ok()?;
        let mut line = String::new();
        let mut out = BufReader::new(child.stdout.take()?);
        out.read_line(&mut line).ok()?;
        let host = line.trim().strip_prefix("http://")?.trim_end_matches('/').to_owned();
        Some(Self { child, host, _out: out })
    }

    /// One page, whole.
    fn get(&self, page: &str) -> std::io::Result<usize> {
        let mut stream = TcpStream::connect(&self.host)?;
        let host = &self.host;
        let words = format!("GET /{page} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n");
        stream.write_all(words.as_bytes())?;
        let mut bytes = Vec::new();
        stream.read_to_end(&mut bytes)
    }

    /// Seconds of work so far, of all cores (`proc_pid_stat(5)`, fields 14 and 15, in hundredths).
    fn work(&self) -> Option<f64> {
        let stat = std::fs::read_to_string(format!("/proc/{}/stat", self.child.id())).ok()?;
        let (_, behind) = stat.rsplit_once(") ")?;
        let ticks = behind.split(' ').skip(11).take(2).map(|ticks| ticks.parse::<f64>().ok());
        Some(ticks.sum::<Option<f64>>()? / 100.0)
    }

    /// The most memory so far, in MB (`proc_pid_status(5)`, `VmHWM`).
    fn memory(&self) -> Option<u64> {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id())).ok()?;
        let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
        Some(line.trim().trim_end_matches(" kB").parse::<u64>().ok()? / 1024)
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

pub(crate) fn run(quick: bool) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).parent().map(Path::to_path_buf);
    let other = std::env::var_os("TRAINWRIGHT").map(PathBuf::from);
    let own = || root.unwrap_or_default().join("target/release/trainwright");
    let program = other.unwrap_or_else(own);
    println!("\nserve: pages over loopback, in ms");
    let Some(served) = program.is_file().then(|| Served::start(&program)).flatten() else {
        println!("  no release program: cargo build --release");
        return;
    };
    let times = if quick { 20 } else { 400 };
    println!("  page    clients  half  99 of 100  work  as a command");
    for (name, page, command) in PAGES {
        // The first home page works its threads out.
        let _ = served.get(page);
        let alone = of_command(&program, command);
        for clients in [1, 4, 16] {
            let before = served.work();
            let (half, most) = asked(&served, page, clients, times);
            let work = before.zip(served.work()).map_or(0.0, |(before, after)| after - before);
            #[expect(clippy::cast_precision_loss, reason = "a few hundred")]
            let each = work * 1000.0 / (times / clients * clients) as f64;
            println!("  {name:<8}{clients:>7}{half:>6.1}{most:>11.1}{each:>6.1}{alone:>14.1}");
        }
    }
    let requests = if quick { 100 } else { 10_000 };
    for i in 0..requests {
        let _ = served.get(PAGES[i % PAGES.len()].1);
    }
    if let Some(memory) = served.memory() {
        println!("  {memory} MB at most, after {requests} requests more");
    }
}

/// Milliseconds in which half of the requests, and 99 of 100, were answered.
fn asked(served: &Served, page: &str, clients: usize, times: usize) -> (f64, f64) {
    let one = || {
        let begun = Instant::now();
        assert!(served.get(page).is_ok_and(|bytes| bytes > 1000), "{page}: no answer");
        begun.elapsed()
    };
    let mut all: Vec<Duration> = std::thread::scope(|scope| {
        let clients: Vec<_> = (0..clients)
            .map(|_| scope.spawn(|| (0..times / clients).map(|_| one()).collect::<Vec<_>>()))
            .collect();
        clients.into_iter().flat_map(|client| client.join().unwrap_or_default()).collect()
    });
    all.sort();
    let at = |part: usize| all.get((all.len() * part / 100).min(all.len() - 1));
    let ms = |part| at(part).map_or(0.0, |time| time.as_secs_f64() * 1000.0);
    (ms(50), ms(99))
}

/// Milliseconds of a process that says the same, the best of five.
fn of_command(program: &Path, args: &[&str]) -> f64 {
    let one = || {
        let begun = Instant::now();
        let mut command = Command::new(program);
        let _ = command.args(args).stdout(Stdio::null()).stderr(Stdio::null()).status();
        begun.elapsed().as_secs_f64() * 1000.0
    };
    (0..5).map(|_| one()).fold(f64::INFINITY, f64::min)
}
