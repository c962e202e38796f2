//! Do the README and the guide show what the program prints? Every `$ trainwright ...` line is run, and
//! what follows it in its block is compared. `SNAPSHOTS=overwrite cargo test` writes it anew.

use crate::util::{fresh, run, run_in};
use snapbox::{assert_data_eq, file};
use std::path::{Path, PathBuf};

/// The page whose commands are run one after the other in one folder, with the files that it shows.
const START: &str = include_str!("../cli/guide/start.md");

/// A folder with the files that the first page of the guide shows.
fn tutorial() -> tempfile::TempDir {
    let folder = fresh();
    for (fence, name) in [("```text\n", "answers.txt"), ("```csv\n", "chart.csv")] {
        let from = START.find(fence).expect(name) + fence.len();
        let to = from + START[from..].find("```").expect("a block ends");
        assert!(START[..from].contains(&format!("`{name}`:")), "{name} is not named");
        std::fs::write(folder.path().join(name), &START[from..to]).unwrap();
    }
    folder
}

/// The README and every page of the guide.
fn pages() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let guide = std::fs::read_dir(root.join("cli/guide")).unwrap();
    let guide = guide.map(|entry| entry.unwrap().path());
    let mut pages: Vec<_> = guide.filter(|page| !page.ends_with("decisions.md")).collect();
    pages.push(root.join("README.md"));
    pages.sort();
    pages
}

/// A console block: where its text starts and ends in the README, and the command in it.
fn blocks(readme: &str) -> Vec<(std::ops::Range<usize>, String)> {
    let mut found = Vec::new();
    let mut from = 0;
    while let Some(at) = readme[from..].find("```console\n$ trainwright ") {
        let start = from + at + "```console\n".len();
        let end = start + readme[start..].find("\n```").expect("a block ends");
        let line = readme[start..end].lines().next().expect("a block has a command");
        found.push((start + line.len()..end, line.trim_start_matches("$ trainwright ").to_owned()));
        from = end;
    }
    found
}

/// Words of a command line; double quotes hold words together.
fn words(line: &str) -> Vec<String> {
    line.split('"')
        .enumerate()
        .flat_map(|(i, part)| {
            if i % 2 == 1 {
                vec![part.to_owned()]
            } else {
                part.split_whitespace().map(str::to_owned).collect()
            }
        })
        .collect()
}

#[test]
fn every_page_shows_what_the_program_prints() {
    let mut shown = 0;
    for path in pages() {
        let page = std::fs::read_to_string(&path).unwrap();
        let folder = path.ends_with("start.md").then(tutorial);
        let blocks = blocks(&page);
        shown += blocks.len();
        let right = replayed(&page, blocks, folder.as_ref());
        if std::env::var("SNAPSHOTS").as_deref() == Ok("overwrite") {
            std::fs::write(&path, &right).unwrap();
        } else {
            let differs = page.lines().zip(right.lines()).position(|(is, should)| is != should);
            let line = differs.map_or(0, |i| i + 1);
            assert!(page == right, "{} shows something else from line {line}", path.display());
        }
    }
    assert!(shown >= 20, "the pages show their examples: {shown}");
}

/// Of a card as far as the job: what is asked for comes before it. A block that ends with `...` shows
/// that.
fn beginning(card: &str) -> &str {
    let lines = card.match_indices('\n').map(|(at, _)| at);
    let job = lines.into_iter().find(|at| {
        let line = card[at + 1..].lines().next().unwrap_or_default();
        line.split_once(' ').is_some_and(|(number, name)| {
            name == "Job" && number.chars().all(|c| c.is_ascii_digit())
        })
    });
    card[..job.expect("a card with more before its job")].trim_end()
}

/// A page with what its commands print now.
fn replayed(
    page: &str,
    blocks: Vec<(std::ops::Range<usize>, String)>,
    folder: Option<&tempfile::TempDir>,
) -> String {
    let mut right = String::new();
    let mut from = 0;
    for (range, command) in blocks {
        right.push_str(&page[from..range.start]);
        let words = words(&command);
        let args = words.iter().map(String::as_str).collect::<Vec<_>>();
        let printed = folder.map_or_else(|| run(&args), |folder| run_in(folder.path(), &args));
        let text = printed.out + &printed.err;
        right.push('\n');
        let is_begun = page[range.clone()].ends_with("\n...");
        right.push_str(if is_begun { beginning(&text) } else { text.trim_end() });
        right.push_str(if is_begun { "\n..." } else { "" });
        from = range.end;
    }
    right.push_str(&page[from..]);
    right
}

#[test]
fn the_readme_is_short() {
    let lines = include_str!("../README.md").lines().count();
    assert!(lines <= 300, "{lines} lines: the rest is for the guide");
}

/// The pictures of the README, made in the folder of the first page of the guide.
#[test]
fn the_pictures_of_the_readme_are_those_that_its_commands_make() {
    let readme = include_str!("../README.md");
    let folder = tutorial();
    let made = |args: &[&str], name: &str| {
        let run = run_in(folder.path(), args);
        // Some everyday threads can't be cut with this box: that is 1.
        assert!(run.code < 2, "{args:?}: {}", run.err);
        assert!(readme.contains(&format!("tests/snapshots/tutorial-{name}")));
        std::fs::read_to_string(folder.path().join(name)).unwrap()
    };
    let answers = ["lathe", "new", "--answers", "answers.txt"];
    assert_eq!(run_in(folder.path(), &answers).code, 0);
    let train = made(&["find", "M10", "--drawing", "train.svg"], "train.svg");
    assert_data_eq!(train, file!["snapshots/tutorial-train.svg": Text].raw());
    let wall = made(&["table", "--common", "--output", "wall.svg"], "wall.svg");
    assert_data_eq!(wall, file!["snapshots/tutorial-wall.svg": Text].raw());
}

#[test]
fn the_lathe_file_of_each_page_is_accepted() {
    for page in [include_str!("../README.md"), include_str!("../cli/guide/lathe.md")] {
        let start = page.find("```json\n").unwrap() + "```json\n".len();
        let end = start + page[start..].find("```").unwrap();
        let shop = fresh();
        std::fs::write(shop.path().join("lathe.json"), &page[start..end]).unwrap();
        let checked = run_in(shop.path(), &["lathe", "check", "lathe.json"]);
        assert_eq!(checked.code, 0, "{}", checked.err);
        let found = run_in(shop.path(), &["find", "M8"]);
        assert!(found.out.contains("the lathe under the window"), "{}", found.out);
    }
}
