//! Does the README show what the program prints? Every `$ trainwright ...` line is run, and what
//! follows it in its block is compared. `SNAPSHOTS=overwrite cargo test` writes it anew.

use crate::util::{fresh, run, run_in};
use snapbox::{assert_data_eq, file};

/// The section whose commands are run one after the other in one folder.
const TUTORIAL: &str = "## From cold to a card\n";

/// The folder of the tutorial with the files that it shows, and where the section stands.
fn tutorial(readme: &str) -> (tempfile::TempDir, std::ops::Range<usize>) {
    let start = readme.find(TUTORIAL).expect("the tutorial");
    let end = start + readme[start..].find("\n## ").expect("a section ends");
    let folder = fresh();
    for (fence, name) in [("```text\n", "answers.txt"), ("```csv\n", "chart.csv")] {
        let from = start + readme[start..end].find(fence).expect(name) + fence.len();
        let to = from + readme[from..end].find("```").expect("a block ends");
        assert!(readme[start..from].contains(&format!("`{name}`:")), "{name} is not named");
        std::fs::write(folder.path().join(name), &readme[from..to]).unwrap();
    }
    (folder, start..end)
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
fn the_readme_shows_what_the_program_prints() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/README.md");
    let readme = std::fs::read_to_string(path).unwrap();
    let blocks = blocks(&readme);
    assert!(blocks.len() >= 6, "the README shows its examples");
    let (folder, section) = tutorial(&readme);
    let mut right = String::new();
    let mut from = 0;
    for (range, command) in blocks {
        right.push_str(&readme[from..range.start]);
        let words = words(&command);
        let args = words.iter().map(String::as_str).collect::<Vec<_>>();
        let printed =
            if section.contains(&range.start) { run_in(folder.path(), &args) } else { run(&args) };
        let text = printed.out + &printed.err;
        right.push('\n');
        right.push_str(text.trim_end());
        from = range.end;
    }
    right.push_str(&readme[from..]);
    if std::env::var("SNAPSHOTS").as_deref() == Ok("overwrite") {
        std::fs::write(path, &right).unwrap();
    } else {
        let differs = readme.lines().zip(right.lines()).position(|(is, should)| is != should);
        assert!(
            readme == right,
            "README.md shows something else from line {}",
            differs.map_or(0, |i| i + 1)
        );
    }
}

/// The pictures of the tutorial, made in its folder.
#[test]
fn the_pictures_of_the_tutorial_are_those_that_its_commands_make() {
    let readme = include_str!("../README.md");
    let (folder, section) = tutorial(readme);
    let made = |args: &[&str], name: &str| {
        let run = run_in(folder.path(), args);
        // Some everyday threads can't be cut with this box: that is 1.
        assert!(run.code < 2, "{args:?}: {}", run.err);
        assert!(readme[section.clone()].contains(&format!("tests/snapshots/tutorial-{name}")));
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
fn the_lathe_file_of_the_readme_is_accepted() {
    let readme = include_str!("../README.md");
    let start = readme.find("```json\n").unwrap() + "```json\n".len();
    let end = start + readme[start..].find("```").unwrap();
    let shop = fresh();
    std::fs::write(shop.path().join("lathe.json"), &readme[start..end]).unwrap();
    let checked = run_in(shop.path(), &["lathe", "check", "lathe.json"]);
    assert_eq!(checked.code, 0, "{}", checked.err);
    let found = run_in(shop.path(), &["find", "M8"]);
    assert!(found.out.contains("the lathe under the window"), "{}", found.out);
}
