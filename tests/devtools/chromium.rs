//! The one Chromium of this run.

use super::line::Line;
use crate::util::{fresh, guarded};
use serde_json::Value;
use std::io::{BufRead, BufReader, Write};
use std::path::PathBuf;
use std::process::{Child, Command};
use std::sync::{Mutex, OnceLock, PoisonError};

/// A browser that runs.
#[derive(Debug)]
pub(super) struct Chromium {
    /// `127.0.0.1:PORT`, where it listens.
    host: String,
    /// The line to the browser itself; each tab has one of its own.
    line: Mutex<Line>,
    /// As long as its standard input is open, the browser runs.
    _guard: Child,
}

impl Chromium {
    /// The one of this run; `None`: there is none on this machine, and it is not required.
    pub(super) fn of_this_run() -> Option<&'static Self> {
        static BROWSER: OnceLock<Option<Chromium>> = OnceLock::new();
        BROWSER.get_or_init(|| found().map(start)).as_ref()
    }

    /// Asks the browser, not a tab.
    pub(super) fn ask(&self, method: &str, params: &Value) -> Value {
        // A test that failed while it asked has told why.
        self.line.lock().unwrap_or_else(PoisonError::into_inner).ask(method, params)
    }

    /// The line to a tab.
    pub(super) fn line_to(&self, target: &str) -> Line {
        Line::to(&self.host, &format!("/devtools/page/{target}"))
    }
}

/// Where Chromium is.
fn found() -> Option<PathBuf> {
    let stated = std::env::var_os("CHROMIUM").map(PathBuf::from);
    let folders = std::env::var_os("PATH").unwrap_or_default();
    let usual = std::env::split_paths(&folders)
        .flat_map(|folder| ["chromium", "chromium-browser"].map(|name| folder.join(name)))
        .find(|path| path.is_file());
    let found = stated.or(usual);
    let required = std::env::var_os("TRAINWRIGHT_BROWSER").is_some_and(|v| v == "required");
    assert!(found.is_some() || !required, "Chromium is missing: CHROMIUM=path says where it is");
    if found.is_none() {
        // A test that did not look says so.
        let _ = writeln!(std::io::stderr(), "no Chromium here: the pages were not looked at");
    }
    found
}

fn start(program: PathBuf) -> Chromium {
    let folder = fresh();
    let mut command = Command::new(program);
    command.args([
        "--headless",
        "--remote-debugging-port=0",
        // A container's user may not make sandboxes; the pages are our own.
        "--no-sandbox",
        "--disable-gpu",
        "--disable-quic",
        "--disable-dev-shm-usage",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        // As on a phone, where they take no room.
        "--hide-scrollbars",
    ]);
    command.arg(format!("--user-data-dir={}", folder.path().join("profile").display()));
    let mut guard = guarded(folder, &command);
    let mut errors = BufReader::new(guard.stderr.take().expect("a pipe"));
    let mut line = String::new();
    let address = loop {
        line.clear();
        let read = errors.read_line(&mut line).expect("Chromium says where it listens");
        assert!(read > 0, "Chromium ended before it listened");
        if let Some(address) = line.trim().strip_prefix("DevTools listening on ws://") {
            break address;
        }
    };
    let (host, path) = address.split_once('/').expect("an address with a path");
    let (host, line) = (host.to_owned(), Line::to(host, &format!("/{path}")));
    // It goes on talking, and must not wait for a reader.
    std::thread::spawn(move || std::io::copy(&mut errors, &mut std::io::sink()));
    Chromium { host, line: Mutex::new(line), _guard: guard }
}
