//! Does `lathe set` change the one answer that was meant, and nothing else of the file?

use crate::util::{Run, fresh, names, one_line, run_in};
use std::path::Path;
use trainwright::files;

/// A file as somebody wrote it: odd spaces, keys in an order of their own.
const MINE: &str = r#"{
  "format": 1,  "name": "Shed",
    "note": "Counted on Sunday: 8 threads in one inch.",
  "lead_screw": {"hand": "right",   "lead": "8 tpi"},
  "headstock": {"ratio": "1", "tumbler": {"up": "same", "down": "opposite"}},
  "gears": {"pitch": "module 1", "owned": [20, 20, 40, 60], "joined": [{"gears": [127, 120]}]},
  "gearbox": {"levers": [{"name": "Range", "positions": {"A": "1", "B": "1/2"}}]},
  "spindle_rpm": {"from": 50, "to": 1200},
  "dial": {"teeth": 16, "lines": 4, "labels": [1, 2, 3, 4]}
}
"#;

fn set(folder: &Path, words: &[&str]) -> Run {
    run_in(folder, &[&["lathe", "set"], words].concat())
}

fn text(folder: &Path) -> String {
    std::fs::read_to_string(folder.join("lathe.json")).unwrap()
}

#[test]
fn one_answer_is_changed_and_all_else_stays_as_it_was_written() {
    let folder = fresh();
    let folder = folder.path();
    for (words, old, new) in [
        (&["screw", "3 mm"][..], r#""lead": "8 tpi""#, r#""lead": "3 mm""#),
        (&["screw", "3", "mm"], r#""lead": "8 tpi""#, r#""lead": "3 mm""#),
        (&["hand", "left handed"], r#""hand": "right""#, r#""hand": "left""#),
        (&["name", "Barn"], r#""Shed""#, r#""Barn""#),
        (&["ratio", "1/2"], r#""ratio": "1""#, r#""ratio": "1/2""#),
        (
            &["tumbler", "up=opposite, down=same"],
            r#"{"up": "same", "down": "opposite"}"#,
            r#"{"up": "opposite", "down": "same"}"#,
        ),
        (&["gears", "20,30,127+120"], "[20, 20, 40, 60]", "[20, 30]"),
        (&["gears", "20,30"], r#"[20, 20, 40, 60], "joined": [{"gears": [127, 120]}]"#, "[20, 30]"),
        (&["lever", "Range: A=1, B=1/4"], r#"{"A": "1", "B": "1/2"}"#, r#"{"A": "1", "B": "1/4"}"#),
        (&["speeds", "60 to 1200"], r#""from": 50"#, r#""from": 60"#),
        (&["marks", "a,b,c,d"], "[1, 2, 3, 4]", r#"["a", "b", "c", "d"]"#),
        (&["marks", "unknown"], r#", "labels": [1, 2, 3, 4]"#, ""),
    ] {
        std::fs::write(folder.join("lathe.json"), MINE).unwrap();
        let run = set(folder, words);
        assert_eq!((run.code, run.err.as_str()), (0, ""), "{words:?}");
        let is: String = text(folder).split_whitespace().collect();
        let wanted: String = MINE.replacen(old, new, 1).split_whitespace().collect();
        assert_eq!(is, wanted, "{words:?}");
        assert!(text(folder).contains("1,  \"name\"") && text(folder).contains("    \"note\""));
        assert!(run.out.contains("before") && run.out.contains("now"), "{words:?}: {}", run.out);
    }
    let said = one_line(&set(folder, &["screw", "3 mm"]).out);
    let facts = "before 8 TPI (3.175 mm), right hand now 3 mm (~8.46667 TPI), right hand";
    assert!(said.contains(facts), "{said}");
    assert!(set(folder, &["screw", "3 mm"]).out.contains("says so already"));
    assert_eq!(names(folder), ["lathe.json"]);
}

#[test]
fn what_was_not_there_is_put_in_and_what_is_not_there_is_taken_out() {
    let folder = fresh();
    let folder = folder.path();
    std::fs::write(folder.join("lathe.json"), MINE).unwrap();
    for (key, said, holds) in [
        ("half-nut", "yes", true),
        ("lever", "High speed: low gear=1, high gear=2", true),
        ("fitted", "20-40", true),
        ("fitted-tumbler", "up", true),
        ("fitted", "no", false),
        ("tumbler", "no", false),
        ("shafts", "92 mm", false),
        ("dial", "unknown", false),
    ] {
        let run = set(folder, &[key, said]);
        // Shafts without a slot are no banjo: refused, in the words of the file.
        let refused = key == "shafts";
        assert_eq!(run.code, if refused { 2 } else { 0 }, "{key}: {}", run.err);
        let now = one_line(&set(folder, &[key]).out);
        assert_eq!(!now.contains("not said"), holds || key == "lever", "{key}: {now}");
    }
    let parts = files::lathe(folder.join("lathe.json")).unwrap().lathe.parts().clone();
    assert_eq!(parts.gearbox.levers.len(), 2);
    assert!(parts.dials.is_empty() && parts.tumbler.is_empty() && parts.half_nut == Some(true));
}

#[test]
fn without_words_every_key_is_listed_and_each_answer_may_be_given_back() {
    let folder = fresh();
    let folder = folder.path();
    for shipped in files::LATHES {
        std::fs::write(folder.join("lathe.json"), shipped.text).unwrap();
        let listed = run_in(folder, &["lathe", "set", "--format", "json"]);
        let listed: serde_json::Value = serde_json::from_str(&listed.out).unwrap();
        let rows = listed["rows"].as_array().unwrap();
        assert_eq!(rows.len(), files::Key::ALL.len());
        let before = files::lathe(folder.join("lathe.json")).unwrap().lathe.parts().clone();
        for row in rows {
            let (key, now) = (row["key"].as_str().unwrap(), row["now"].as_str().unwrap());
            // Several of one kind are not one answer; a box with more to say of a gear neither.
            let several = matches!(key, "lever" | "gears") || (key != "slot" && now.contains("; "));
            // Nor are shafts beside each other a distance.
            let several = several || (key == "shafts" && now.contains('='));
            if several || now.is_empty() {
                continue;
            }
            let run = set(folder, &[key, now]);
            assert_eq!(run.code, 0, "{}: {key} {now}: {}", shipped.name, run.err);
        }
        let after = files::lathe(folder.join("lathe.json")).unwrap().lathe.parts().clone();
        assert_eq!(after, before, "{}", shipped.name);
    }
}

#[test]
fn what_can_not_be_is_refused_and_the_file_is_kept() {
    let folder = fresh();
    let folder = folder.path();
    let none = set(folder, &["screw", "3 mm"]);
    assert_eq!((none.code, none.out.as_str()), (2, ""));
    assert!(none.err.contains("`trainwright lathe new` makes one"), "{}", none.err);
    assert_eq!(set(folder, &[]).code, 2);
    std::fs::write(folder.join("lathe.json"), MINE).unwrap();
    for (words, says) in [
        (&["scrw", "3 mm"][..], "`scrw` is no question\ntry: did you mean `screw`?"),
        (&["screw", "8"], "\"8 mm\", \"8 in\" or \"8 tpi\""),
        (&["screw", "8\""], "8 tpi for 8 threads in one inch?"),
        (&["starts", "i think 1"], "such as 1"),
        (&["gears", "unknown"], "count the teeth of each"),
        (&["gears", "20,4O"], "`4O` is no gear"),
        (&["dial", "16 teeth, 8 lines"], "4 labels for 8 lines"),
        (&["fitted-tumbler", "up"], "train"),
        (&["slot.2", "60 mm"], "slot.2: the file has 0 slots\ntry: slot.1 to slot.1"),
        (&["slot.0", "60 mm"], "`slot.0` is no slot\ntry: slot.1"),
        (&["gears.1", "60"], "`gears.1` is no question"),
        (&["screw", "3 mm", "--lathe", "tug"], "built-in tug is no lathe file"),
    ] {
        let run = set(folder, words);
        assert_eq!((run.code, run.out.as_str()), (2, ""), "{words:?}: {}", run.err);
        assert!(run.err.contains(says), "{words:?}: {}", run.err);
        assert_eq!(text(folder), MINE, "{words:?}");
    }
    assert_eq!(names(folder), ["lathe.json"]);
}

/// The second of two slots, one more, and all of them at once; what else is said of a slot holds on.
#[test]
fn one_of_several_slots_is_changed() {
    let folder = fresh();
    let folder = folder.path();
    let old = r#""slots": [{"from": "34 mm", "to": "70 mm"}, {"at": "60 mm", "offset": "5 mm"}]"#;
    let file = MINE
        .replace(r#""dial""#, &format!(r#""banjo": {{"driving_shaft": "80 mm", {old}}}, "dial""#));
    let plain = |text: &str| text.split_whitespace().collect::<String>();
    for (words, new) in [
        (
            &["slot.2", "65 mm to 80 mm angle 15"][..],
            r#"[{"from": "34 mm", "to": "70 mm"}, {"offset": "5 mm", "from": "65 mm", "to": "80 mm", "angle": 15}]"#,
        ),
        (
            &["slot.3", "50 mm"],
            r#"[{"from": "34 mm", "to": "70 mm"}, {"at": "60 mm", "offset": "5 mm"}, {"at": "50 mm"}]"#,
        ),
        (&["slot", "50 mm; 30 to 40 mm"], r#"[{"at": "50 mm"}, {"from": "30 mm", "to": "40 mm"}]"#),
    ] {
        std::fs::write(folder.join("lathe.json"), &file).unwrap();
        let run = set(folder, words);
        assert_eq!((run.code, run.err.as_str()), (0, ""), "{words:?}");
        let wanted = file.replace(old, &format!(r#""slots": {new}"#));
        assert_eq!(plain(&text(folder)), plain(&wanted), "{words:?}");
    }
    std::fs::write(folder.join("lathe.json"), &file).unwrap();
    let run = set(folder, &["slot", "50 mm"]);
    assert!(run.code == 2 && run.err.contains("`slot.2` for the second"), "{}", run.err);
    let run = set(folder, &["slot.4", "50 mm"]);
    assert!(run.code == 2 && run.err.contains("slot.1 to slot.3"), "{}", run.err);
}

/// The file of another folder, with a name that a shell has to be told in quotes.
#[test]
fn another_file_may_be_named() {
    let folder = fresh();
    std::fs::create_dir(folder.path().join("my shed")).unwrap();
    std::fs::write(folder.path().join("my shed/a lathe.json"), MINE).unwrap();
    let run = set(folder.path(), &["arm-angle", "--lathe", "my shed/a lathe.json"]);
    assert!(
        run.out.contains("my shed/a lathe.json") && run.out.contains("not said"),
        "{}",
        run.out
    );
    let run = set(folder.path(), &["screw", "6 tpi", "--lathe", "my shed/a lathe.json"]);
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    assert!(run.out.starts_with("my shed/a lathe.json: written."), "{}", run.out);
}
