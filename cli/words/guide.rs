//! The pages of the guide: Markdown files of `cli/guide/`, part of the program.

/// A page.
#[derive(Debug)]
pub(crate) struct Page {
    /// What is typed for it.
    pub(crate) name: &'static str,
    /// Markdown, its title first.
    pub(crate) text: &'static str,
}

impl Page {
    /// The first line, without its mark.
    pub(crate) fn title(&self) -> &'static str {
        self.text.lines().next().unwrap_or_default().trim_start_matches("# ")
    }
}

macro_rules! pages {
    ($($name:literal)*) => {
        &[$(Page { name: $name, text: include_str!(concat!("../guide/", $name, ".md")) }),*]
    };
}

/// All pages, in the order in which people meet them.
pub(crate) const PAGES: &[Page] = pages![
    "start" "find" "lathe" "banjo" "card" "next" "tapers" "shoulders" "threads" "gear" "check" "learn" "why" "table"
    "book" "buy" "reach"
    "serve" "files"
    "shell" "words"
];
