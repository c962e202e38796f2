//! Chromium without a window: it prints a page, or looks at it through a frame of a given width.

use super::{text, write};
use crate::util::fresh;
use serde_json::Value;
use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Stdio};

/// What is run inside the page that holds the frame.
const LOOK: &str = include_str!("look.js");

/// A browser.
#[derive(Debug)]
pub(crate) struct Chromium {
    program: PathBuf,
}

impl Chromium {
    /// The one of this machine; `None`: there is none, and it is not required.
    pub(crate) fn found() -> Option<Self> {
        let stated = std::env::var_os("CHROMIUM").map(PathBuf::from);
        let folders = std::env::var_os("PATH").unwrap_or_default();
        let usual = std::env::split_paths(&folders)
            .flat_map(|folder| ["chromium", "chromium-browser"].map(|name| folder.join(name)))
            .find(|path| path.is_file());
        let found = stated.or(usual).map(|program| Self { program });
        let required = std::env::var_os("TRAINWRIGHT_BROWSER").is_some_and(|v| v == "required");
        assert!(
            found.is_some() || !required,
            "Chromium is missing: CHROMIUM=path says where it is"
        );
        if found.is_none() {
            // A test that did not look says so.
            let _ = writeln!(std::io::stderr(), "no Chromium here: the pages were not looked at");
        }
        found
    }

    fn command(&self, profile: &std::path::Path) -> Command {
        let mut command = Command::new(&self.program);
        command.args([
            "--headless",
            // A container's user may not make sandboxes; the pages are our own.
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--disable-dev-shm-usage",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--no-pdf-header-footer",
            // As on a phone, where they take no room.
            "--hide-scrollbars",
        ]);
        command.arg(format!("--user-data-dir={}", profile.display()));
        command.stdin(Stdio::null()).stderr(Stdio::null());
        command
    }

    /// How many sheets a page takes.
    pub(crate) fn pages(&self, page: &str, paper: &str) -> usize {
        let folder = fresh();
        // The page leaves the paper to the printer; here it is chosen.
        let sized = format!("<style>@page{{size:{paper} portrait}}</style></head>");
        let url = write(folder.path(), "page.html", &page.replacen("</head>", &sized, 1));
        let pdf = folder.path().join("page.pdf");
        let mut command = self.command(&folder.path().join("profile"));
        command.arg(format!("--print-to-pdf={}", pdf.display())).arg(url);
        assert!(command.stdout(Stdio::null()).status().expect("Chromium runs").success());
        let bytes = std::fs::read(pdf).expect("a PDF");
        // Page objects stand uncompressed in the files that Chromium writes.
        let page = b"/Type /Page\n";
        bytes.windows(page.len()).filter(|window| window == page).count()
    }

    /// What a page looks like through a frame so wide.
    pub(crate) fn look(&self, page: &str, width: u32) -> Value {
        self.look_after(page, width, "")
    }

    /// What pages look like, each through a frame so wide: a browser for every few of them.
    pub(crate) fn look_all(&self, pages: &[(String, u32)]) -> Vec<Value> {
        pages.chunks(10).flat_map(|pages| self.look_through(pages, "")).collect()
    }

    /// The same once a script has used the page: `page` and `view` are its document and window, what it
    /// puts into `told` comes back.
    pub(crate) fn look_after(&self, page: &str, width: u32, script: &str) -> Value {
        let seen = self.look_through(&[(page.to_owned(), width)], script);
        seen.into_iter().next().expect("one frame, one look")
    }

    /// What a script at the end of the page tells with `tell`; it may load the page anew.
    pub(crate) fn told(&self, page: &str, script: &str) -> Value {
        let folder = fresh();
        let tell = "const tell = (told) => { const seen = document.createElement('pre');\
            seen.id = 'told'; seen.textContent = JSON.stringify(told); document.body.append(seen); };";
        let with =
            page.replacen("</body>", &format!("<script>{{{tell}{script}}}</script></body>"), 1);
        let url = write(folder.path(), "page.html", &with);
        let mut command = self.command(&folder.path().join("profile"));
        command.args(["--virtual-time-budget=5000", "--dump-dom"]).arg(url);
        let dom = command.output().expect("Chromium runs").stdout;
        let dom = String::from_utf8_lossy(&dom).into_owned();
        let (_, told) = dom.rsplit_once("<pre id=\"told\">").expect("the script has told");
        serde_json::from_str(told.split("</pre>").next().unwrap_or_default()).expect("JSON")
    }

    fn look_through(&self, pages: &[(String, u32)], script: &str) -> Vec<Value> {
        let folder = fresh();
        let mut frames = String::new();
        for (page, width) in pages {
            let held = page.replace('&', "&amp;").replace('"', "&quot;");
            let style = format!("width:{width}px;height:740px;border:0");
            frames.extend(["<iframe style=\"", &style, "\" srcdoc=\"", &held, "\"></iframe>"]);
        }
        let holder = format!(
            "<!DOCTYPE html><meta charset=utf-8><title>holder</title><body style=\"margin:0\">{frames}\
             <script>const use = (page, view, told) => {{{script}}};</script><script>{LOOK}</script>"
        );
        let url = write(folder.path(), "holder.html", &holder);
        let mut command = self.command(&folder.path().join("profile"));
        command.args(["--virtual-time-budget=20000", "--dump-dom"]).arg(url);
        let printed = command.output().expect("Chromium runs");
        let dom = String::from_utf8_lossy(&printed.stdout).into_owned();
        let start = dom.rfind("<pre id=\"seen\">").expect("the look has ended") + 15;
        let seen = dom[start..].split("</pre>").next().unwrap_or_default();
        let seen = seen.replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&");
        let seen: Vec<Value> =
            serde_json::from_str(&seen).unwrap_or_else(|e| panic!("{e}: {seen}"));
        assert!(seen.iter().all(|one| text(one, "state") == "complete"));
        seen
    }
}
