//! Are the trade's words used, and can the sentences be read? Over every page, help text, schema and
//! snapshot.

use crate::util::run;
use std::path::{Path, PathBuf};

/// Words that are nobody's, or mean something else in the trade, with what is said instead.
const FORBIDDEN: &[(&str, &str)] = &[
    ("first shaft", "driving shaft"),
    ("first gear", "driving gear"),
    ("gearbox input", "gearbox shaft"),
    ("bracket", "banjo"),
    ("inboard", "inner, or nearest the headstock"),
    ("outboard", "outer"),
    ("half-nut dial", "thread dial"),
    ("room wanted", "least clearance"),
    ("tightest", "clearance"),
    ("feed along", "longitudinal feed"),
    ("feed across", "cross feed"),
    ("was taken", "assumed"),
    ("were taken", "assumed"),
    ("so many", "up to N"),
    ("comes round", "meets"),
    ("others more", "other set-ups"),
    ("gears handled", "gears moved"),
    ("last shaft", "lead screw or gearbox shaft; driven shaft for both"),
    ("ratio pair", "gear pair, or keyed pair"),
    ("drift", "adds up to"),
    ("groove to groove", "along the scratch"),
    ("come round", "meet again"),
    ("from memory", "unverified"),
    ("play", "backlash"),
    ("arbor", "axis"),
    ("handled", "moved"),
    ("to handle", "to move"),
    ("or swung", "angled infeed"),
    ("fit worked out", "fits"),
    ("is taken", "assumed"),
    ("are taken", "assumed"),
];

/// Where a forbidden word is right.
const RIGHT: &[&str] = &["square bracket", "in brackets", "was taken out"];

/// Every text that people read: its name and itself.
fn texts() -> Vec<(String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = vec![root.join("README.md")];
    for folder in ["cli/guide", "gearsets", "tests/snapshots"] {
        collect(&root.join(folder), &mut files);
    }
    let read = |path: PathBuf| {
        let text = std::fs::read_to_string(&path).ok()?;
        Some((path.strip_prefix(root).ok()?.display().to_string(), text))
    };
    let decisions = |path: &PathBuf| path.ends_with("decisions.md");
    let mut texts: Vec<_> = files.into_iter().filter(|p| !decisions(p)).filter_map(read).collect();
    let script = run(&["completions", "fish"]).out;
    let offered = script.lines().filter(|line| line.contains("__fish_trainwright_needs_command"));
    let offered = offered.filter_map(|line| line.split(" -f -a \"").nth(1)?.split('"').next());
    for command in offered.filter(|name| *name != "help") {
        texts.push((format!("{command} --help"), run(&[command, "--help"]).out));
    }
    texts.push(("--help".into(), run(&["--help"]).out));
    texts.push(("lathe new --help".into(), run(&["lathe", "new", "--help"]).out));
    texts
}

fn collect(folder: &Path, files: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() { collect(&path, files) } else { files.push(path) }
    }
}

#[test]
fn the_words_are_those_of_the_trade() {
    let mut found = Vec::new();
    for (name, text) in texts() {
        // A word may be broken over two lines.
        let flat = text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
        let flat = RIGHT.iter().fold(flat, |flat, right| flat.replace(right, ""));
        for (word, instead) in FORBIDDEN {
            let at = flat.match_indices(word).find(|(at, _)| {
                // A key or a name in code is no word.
                let around = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '_');
                !around(flat[..*at].chars().last())
                    && !around(flat[at + word.len()..].chars().next())
            });
            if let Some((at, _)) = at {
                let from = flat[..at].char_indices().rev().nth(30).map_or(0, |(at, _)| at);
                let to = flat[at..].char_indices().nth(40).map_or(flat.len(), |(to, _)| at + to);
                found.push(format!("{name}: `{word}`, say {instead}: ...{}", &flat[from..to]));
            }
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

/// Sentences of more than 20 words.
fn long_ones(name: &str, prose: &str) -> Vec<String> {
    let mut long = Vec::new();
    for paragraph in prose.split("\n\n").filter(|p| !p.starts_with(['|', '#', '!'])) {
        let flat = paragraph.split_whitespace().collect::<Vec<_>>().join(" ");
        for sentence in flat.split(['.', '?', ':', ';']) {
            let words = sentence.split_whitespace().filter(|word| word.len() > 1).count();
            if words > 20 {
                long.push(format!("{name}: {words} words: {sentence}"));
            }
        }
    }
    long
}

/// In help, each option and each entry of a list is a paragraph of its own.
#[test]
fn sentences_of_help_and_manual_are_short() {
    let mut long = Vec::new();
    for (name, text) in texts().into_iter().filter(|(name, _)| name.ends_with("--help")) {
        // What an option may be is a list.
        let text = text.replace("[possible values", ".");
        let lines: Vec<&str> = text.lines().map(str::trim).collect();
        // An entry of a list has its name, some spaces, and its words.
        let begins = |line: &str| {
            let is_typed = line.starts_with("trainwright ");
            line.starts_with(['-', '<', '['])
                || line.ends_with(':')
                || line.contains("  ")
                || is_typed
        };
        let paragraphs = lines
            .into_iter()
            .fold(String::new(), |all, line| all + if begins(line) { "\n\n" } else { "\n" } + line);
        long.extend(long_ones(&name, &paragraphs));
    }
    for command in [&["man"][..], &["man", "find"], &["man", "card"], &["man", "lathe", "new"]] {
        // A line of roff that begins with a dot is a request: a new paragraph, or an option's name.
        let page = run(command).out;
        let request = |line: &str| line.starts_with(['.', '\'']) || line.starts_with("\\fB");
        let prose: Vec<&str> =
            page.lines().map(|line| if request(line) { "\n" } else { line }).collect();
        long.extend(long_ones(&command.join(" "), &prose.join("\n")));
    }
    assert!(long.is_empty(), "{}", long.join("\n"));
}

/// In the README and the guide.
#[test]
fn sentences_are_short() {
    let mut long = Vec::new();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = vec![root.join("README.md")];
    collect(&root.join("cli/guide"), &mut files);
    for path in files.into_iter().filter(|path| !path.ends_with("decisions.md")) {
        let text = std::fs::read_to_string(&path).unwrap();
        // Odd pieces are blocks of what the program prints.
        let prose: String = text.split("```").step_by(2).collect();
        long.extend(long_ones(&path.display().to_string(), &prose));
    }
    assert!(long.is_empty(), "{}", long.join("\n"));
}
