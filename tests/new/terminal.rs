//! The talk at a real terminal.

use super::is_a_lathe;
use crate::util::{fresh, interrupted_on_terminal, names, on_terminal, one_line};

#[test]
fn a_talk_with_wrong_answers_help_and_back() {
    let folder = fresh();
    let typed = "Shed\n8\n?\n8 tpi\nback\n3 mm\n\n\n1\nno\nsame\n20,4O\n20,30,40,60\nrest\nyes\n";
    let (shown, code) = on_terminal(folder.path(), 80, &["lathe", "new"], typed);
    assert_eq!(code, 0, "{shown}");
    for said in [
        "Refused: a length needs its unit",
        "Lay a rule along the lead screw",
        "= lead screw: 8 TPI (3.175 mm), right hand",
        "= lead screw: 3 mm (~8.46667 TPI), right hand",
        "Refused: `4O` is no gear",
        "Write this to lathe.json?",
        "lathe.json: written, a lathe: Shed: 3 mm",
    ] {
        assert!(shown.contains(said), "{said}: {shown}");
    }
    let file = is_a_lathe(folder.path(), "lathe.json");
    assert_eq!(file["lead_screw"]["lead"], "3 mm");
}

/// The talk of the guide: what is typed stands behind the prompts, all else is shown.
#[test]
fn the_talk_of_the_guide_goes_so() {
    let page = include_str!("../../cli/guide/lathe.md");
    let start = page.find("$ trainwright lathe new --gears").unwrap();
    let talk = &page[start..start + page[start..].find("```").unwrap()];
    let mut lines = talk.lines();
    let args: Vec<&str> = lines.next().unwrap().split(' ').skip(2).collect();
    let (mut typed, mut wanted) = (String::new(), Vec::new());
    for line in lines {
        let prompt = line.split_once('>').filter(|(word, _)| !word.contains(' '));
        match prompt {
            Some((_, said)) => typed = typed + said.trim() + "\n",
            None => wanted.push(line),
        }
    }
    assert!(typed.lines().count() > 8, "{typed}");
    let folder = fresh();
    let (shown, code) = on_terminal(folder.path(), 80, &args, &(typed + "rest\nyes\n"));
    assert_eq!(code, 0, "{shown}");
    let mut rest = shown.as_str();
    for line in wanted {
        let at = rest.find(line).unwrap_or_else(|| panic!("{line}: {shown}"));
        rest = &rest[at + line.len()..];
    }
    is_a_lathe(folder.path(), "lathe.json");
}

#[test]
fn every_question_skipped_leaves_a_lathe_of_gears() {
    let folder = fresh();
    let typed = format!("{}20,40\nyes\n", "\n".repeat(16));
    let (shown, code) = on_terminal(folder.path(), 80, &["lathe", "new"], &typed);
    assert_eq!(code, 0, "{shown}");
    assert!(shown.contains("One thing is missing: without gears"), "{shown}");
    is_a_lathe(folder.path(), "lathe.json");
}

#[test]
fn flags_are_not_asked_for_again() {
    let folder = fresh();
    let args = ["lathe", "new", "--screw", "8tpi", "--gears", "20,40"];
    let (shown, code) = on_terminal(folder.path(), 80, &args, "rest\nyes\n");
    assert_eq!(code, 0, "{shown}");
    assert!(!shown.contains("screw>") && shown.contains("name>"), "{shown}");
}

#[test]
fn who_stops_goes_on_from_the_answers_the_next_time() {
    let folder = fresh();
    let talk = |args: &[&str], typed: &str| {
        on_terminal(folder.path(), 80, &[&["lathe", "new"], args].concat(), typed)
    };
    let kept = || std::fs::read_to_string(folder.path().join("lathe.json.part")).unwrap();
    // Ctrl-D after two answers, the second of them said anew.
    let (shown, code) = talk(&[], "Shed\n8 tpi\nback\n3 mm\n\u{4}");
    assert_eq!(code, 2, "{shown}");
    assert!(shown.contains("lathe new: ended; lathe.json was not written"), "{shown}");
    assert!(shown.contains("it goes on from your answers in lathe.json.part"), "{shown}");
    assert_eq!(names(folder.path()), ["lathe.json.part"]);
    assert!(kept().ends_with("name: Shed\nscrew: 3 mm\n"), "{}", kept());
    // Another time: what was said is not asked again, and nothing else is said for it.
    let (shown, _) = talk(&[], "what\nyes\nleft\n\u{4}");
    assert!(!shown.contains("name>") && !shown.contains("screw>"), "{shown}");
    assert!(shown.contains("hand>"), "{shown}");
    assert!(kept().ends_with("name: Shed\nscrew: 3 mm\nhand: left\n"), "{}", kept());
    // A flag goes before what is kept; `back` goes to what is kept.
    let typed = "yes\nback\nright\ndone\n20,40\nyes\n";
    let (shown, code) = talk(&["--screw", "6 tpi"], typed);
    assert_eq!(code, 0, "{shown}");
    assert!(shown.contains("before: left"), "{shown}");
    let file = is_a_lathe(folder.path(), "lathe.json");
    assert_eq!(file["name"], "Shed");
    assert_eq!(file["lead_screw"], serde_json::json!({"lead": "6 tpi", "hand": "right"}));
    assert_eq!(names(folder.path()), ["lathe.json"], "{shown}");
}

#[test]
fn answers_are_kept_through_ctrl_c_and_need_not_be_gone_on_from() {
    let folder = fresh();
    let part = folder.path().join("lathe.json.part");
    let has = |words: &str| std::fs::read_to_string(&part).is_ok_and(|t| t.contains(words));
    let (shown, code) =
        interrupted_on_terminal(folder.path(), &["lathe", "new"], "Shed\n8 tpi\n", || {
            has("screw: 8 tpi")
        });
    assert_eq!(code, 130, "{shown}");
    assert_eq!(names(folder.path()), ["lathe.json.part"]);
    let (shown, code) =
        on_terminal(folder.path(), 80, &["lathe", "new"], "no\nBarn\ndone\n20,40\nyes\n");
    assert_eq!(code, 0, "{shown}");
    let file = is_a_lathe(folder.path(), "lathe.json");
    assert_eq!((&file["name"], &file["lead_screw"]["lead"]), (&"Barn".into(), &"unknown".into()));
    assert_eq!(names(folder.path()), ["lathe.json"]);
    // Kept answers that somebody spoilt are said to be, and stay where they are.
    std::fs::write(&part, "scrw: 8\n").unwrap();
    let args = ["lathe", "new", "--force"];
    let (shown, _) = on_terminal(folder.path(), 80, &args, "\u{4}");
    assert!(one_line(&shown).contains("lathe.json.part:1: `scrw` is no question"), "{shown}");
    assert!(has("scrw"));
}

#[test]
fn a_terminal_alone_is_not_enough() {
    let folder = fresh();
    let args = ["lathe", "new", "--no-input"];
    let (shown, code) = on_terminal(folder.path(), 80, &args, "Shed\n");
    assert_eq!(code, 2, "{shown}");
    assert!(shown.contains("nobody can be asked here"), "{shown}");
    assert!(names(folder.path()).is_empty());
}

#[test]
fn a_narrow_terminal_can_read_the_questions() {
    let folder = fresh();
    let typed = format!("?\n{}20,40\nyes\n", "\n".repeat(16));
    let (shown, _) = on_terminal(folder.path(), 40, &["lathe", "new"], &typed);
    for line in shown.lines() {
        // What is typed ends the line of a prompt; here nobody sees it.
        let said = line.rsplit("> ").next().unwrap();
        assert!(said.chars().count() <= 40, "{line}");
    }
}
