//! The served pages as a person uses them: in a browser, with thumbs, with keys alone, without scripts, and
//! from a page that has no business there.

mod asking;
mod describing;
mod elsewhere;
mod looks;

use crate::devtools::Tab;
use crate::util::{fresh, guarded, program};
use std::io::{BufRead, BufReader};
use std::process::{Child, ChildStdout};
use std::sync::LazyLock;

/// A server of a demo lathe for the whole run: its pages keep nothing.
struct Demo {
    /// `http://127.0.0.1:PORT/`.
    address: String,
    /// As long as its standard input is open, the server runs; it may go on to write.
    _guard: (Child, BufReader<ChildStdout>),
}

impl Demo {
    fn of(lathe: &[&str]) -> Self {
        let folder = fresh();
        let words = [&["serve", "--no-open", "--port", "0"], lathe].concat();
        let command = program(folder.path(), &words);
        let mut guard = guarded(folder, &command);
        let mut address = String::new();
        let mut out = BufReader::new(guard.stdout.take().expect("a pipe"));
        out.read_line(&mut address).expect("the address comes first");
        Self { address: address.trim().to_owned(), _guard: (guard, out) }
    }
}

/// The lathe of who has described none yet.
static DINGHY: LazyLock<Demo> = LazyLock::new(|| Demo::of(&[]));
static TUG: LazyLock<Demo> = LazyLock::new(|| Demo::of(&["--lathe", "tug"]));

/// Opens a page of the Dinghy, as a phone does.
fn on_phone(page: &str) -> Option<Tab> {
    let tab = Tab::open()?;
    tab.phone(390);
    tab.go(&format!("{}{page}", DINGHY.address));
    Some(tab)
}

/// Words of the first element of these.
fn words(tab: &Tab, css: &str) -> String {
    tab.text(&format!("document.querySelector({css:?})?.innerText ?? ''"))
}

/// Words of all of the page.
fn page(tab: &Tab) -> String {
    words(tab, "main").replace('\u{a0}', " ")
}
