//! Can a person who has never seen a lathe file make one with `lathe new`, at a terminal and without?

#[cfg(target_os = "linux")]
mod terminal;

use crate::util::{Run, fresh, names, one_line, piped, run_in};
use proptest::prelude::*;
use serde_json::Value;
use std::path::Path;
use trainwright::files::{self, Draft, FileKind, Key};

/// The Dinghy, as somebody who stands beside it would describe it.
const ANSWERS: &str = "\
# measured on Saturday
name: Dinghy
screw: 10 tpi
ratio: 1
turns: same
tumbler: up=same, down=opposite
gears: 24x2,28,32,36,40x2,44,46,48,52,56,60,63,64,68,72,76,80
pitch: module 1
studs: 1
sleeves: 1
fitted: 24-76+24-80
half-nut: yes
dial: 40 teeth, 8 lines
marks: 1,,2,,3,,4,
reverse: yes
speeds: 50 to 1200
shafts: 90 mm
slot: 36 to 74 mm
arm-angle: -15 to 75
stud-distance: 32 mm
hub-driving: 10 mm
hub-stud: 8 mm
hub-driven: 8.5 mm
";

/// The file is a lathe by the reader, by `lathe check` and by the published schema.
fn is_a_lathe(folder: &Path, name: &str) -> Value {
    let text = std::fs::read_to_string(folder.join(name)).unwrap();
    let value: Value = serde_json::from_str(&text).unwrap();
    let schema: Value = serde_json::from_str(&files::schema_text(FileKind::Lathe)).unwrap();
    jsonschema::validate(&schema, &value).unwrap_or_else(|e| panic!("{e}: {text}"));
    let checked = run_in(folder, &["lathe", "check", name]);
    assert_eq!((checked.code, checked.err.as_str()), (0, ""), "{text}");
    value
}

#[test]
fn a_file_of_answers_makes_the_lathe_that_it_describes() {
    let folder = fresh();
    std::fs::write(folder.path().join("answers.txt"), ANSWERS).unwrap();
    let made = run_in(folder.path(), &["lathe", "new", "--answers", "answers.txt"]);
    assert_eq!((made.code, made.err.as_str()), (0, ""));
    is_a_lathe(folder.path(), "lathe.json");
    let parts = |spec: String| files::lathe(spec).unwrap().lathe.parts().clone();
    let mine = parts(folder.path().join("lathe.json").display().to_string());
    // The demo lathe says more in four places, which are put out of the comparison.
    let mut shipped = parts("dinghy".into());
    (shipped.name, shipped.note) = (mine.name.clone(), mine.note.clone());
    (shipped.feeds, shipped.ends) = (mine.feeds.clone(), mine.ends.clone());
    shipped.bracket.as_mut().unwrap().keep_out.clear();
    assert_eq!(mine, shipped);
    // The answer shows what was understood, a first answer, and what next.
    for said in [
        "written, a lathe: Dinghy",
        "A first answer: M10",
        "next closest",
        "What next",
        "Unplug or lock off the lathe",
    ] {
        assert!(made.out.contains(said), "{said}: {}", made.out);
    }
    let again = run_in(folder.path(), &["find", "M10"]);
    let row = again.out.lines().find(|line| line.trim_start().starts_with("train ")).unwrap();
    assert!(made.out.contains(row), "{row}");
    // The same from a pipe, to the standard output.
    let printed = piped(folder.path(), &["lathe", "new", "-", "--answers", "-"], ANSWERS);
    let file = std::fs::read_to_string(folder.path().join("lathe.json")).unwrap();
    assert_eq!((printed.code, printed.out), (0, file));
}

#[test]
fn flags_say_the_same_as_answers_and_go_before_them() {
    let folder = fresh();
    let mut args = vec!["lathe".to_owned(), "new".into(), "-".into(), "--no-input".into()];
    for line in ANSWERS.lines().filter(|line| !line.starts_with('#')) {
        let (key, said) = line.split_once(':').unwrap();
        args.push(format!("--{key}={}", said.trim()));
    }
    let args: Vec<&str> = args.iter().map(String::as_str).collect();
    let by_flags = run_in(folder.path(), &args);
    let by_answers = piped(folder.path(), &["lathe", "new", "-", "--answers", "-"], ANSWERS);
    assert_eq!(by_flags, by_answers);
    let other = ["lathe", "new", "-", "--answers", "-", "--screw", "3 mm"];
    assert!(piped(folder.path(), &other, ANSWERS).out.contains(r#"{"lead": "3 mm"}"#));
}

#[test]
fn without_a_terminal_nothing_is_asked_and_the_flags_are_named() {
    let folder = fresh();
    for args in [
        &["lathe", "new"][..],
        &["lathe", "new", "--no-input"],
        &["lathe", "new", "--screw", "8tpi"],
    ] {
        let Run { code, out, err } = run_in(folder.path(), args);
        assert_eq!((code, out.as_str()), (2, ""), "{args:?}");
        assert!(err.contains("--gears 20,25,30x2") && err.contains("--answers FILE"), "{err}");
    }
    assert!(names(folder.path()).is_empty());
}

#[test]
fn a_file_that_is_there_is_kept() {
    let folder = fresh();
    std::fs::write(folder.path().join("lathe.json"), "mine").unwrap();
    let args = ["lathe", "new", "--screw", "8tpi", "--gears", "20,40"];
    let kept = run_in(folder.path(), &args);
    assert_eq!((kept.code, kept.out.as_str()), (2, ""));
    assert!(kept.err.contains("lathe.json exists and was left as it is"), "{}", kept.err);
    assert_eq!(std::fs::read_to_string(folder.path().join("lathe.json")).unwrap(), "mine");
    assert_eq!(run_in(folder.path(), &[&args[..], &["--force"]].concat()).code, 0);
    is_a_lathe(folder.path(), "lathe.json");
    assert_eq!(names(folder.path()), ["lathe.json"]);
}

#[test]
fn a_gear_set_file_stands_beside_the_lathe_file() {
    let folder = fresh();
    std::fs::create_dir(folder.path().join("shop")).unwrap();
    let set = "gearsets/fives-20-100.gears.json";
    std::fs::copy(set, folder.path().join("shop/tin.json")).unwrap();
    let args = |file| ["lathe", "new", file, "--screw", "8tpi", "--gears", "tin.json"];
    let Run { code, err, .. } = run_in(folder.path(), &args("shop/lathe.json"));
    assert_eq!((code, err.as_str()), (0, ""));
    is_a_lathe(folder.path(), "shop/lathe.json");
    let elsewhere = run_in(folder.path(), &args("lathe.json"));
    assert_eq!(elsewhere.code, 2);
    assert!(elsewhere.err.contains("nor a file beside this one"), "{}", elsewhere.err);
}

#[test]
fn a_wrong_answer_is_one_error_where_it_stands_and_no_file() {
    let folder = fresh();
    let cases = [
        ("screw: 8\ngears: 20,40", "standard input:1: 8: a length needs its unit"),
        ("screw: 8 tpi\ngears: 20,4O", "standard input:2: 20,4O: `4O` is no gear"),
        ("screw: 8 tpi\ngears: fives-20-10", "fives-20-100"),
        ("screw: 8 tpi\ngears: 20,40\nstuds: 7", "standard input:3: 7: "),
        (
            "screw: 8 tpi\ngears: 20,40\nstuds: 1\nstuds: 2",
            "standard input:4: 2: `studs` was answered",
        ),
        ("screw: 8 tpi\ngears: 20,40\nmarks: 1,2", "`marks` goes with `dial`"),
        ("screw: 8 tpi\ngears: 20,40\nshafts: 92 mm\nslot: 72 to 36 mm", "standard input:4: "),
        (
            "screw: 8 tpi\ngear: 20,40",
            "standard input:2: `gear` is no question; did you mean `gears`?",
        ),
        ("screw: 8 tpi\ngears: 20,40\nlever: A=1", "the lever's name with a `:` is missing"),
        (
            "screw: 8 tpi\ngears: 20,40\nfitted: 20-40\nlever: R: A=1\nfitted-levers: R=B",
            "standard input:5: ",
        ),
    ];
    for (answers, error) in cases {
        let Run { code, out, err } =
            piped(folder.path(), &["lathe", "new", "--answers", "-"], answers);
        assert_eq!((code, out.as_str()), (2, ""), "{answers}: {err}");
        assert!(err.contains(error), "{answers}: {err}");
    }
    assert!(names(folder.path()).is_empty());
}

#[test]
fn what_is_not_known_stays_open_and_the_page_says_how_to_find_out() {
    let folder = fresh();
    let args = ["lathe", "new", "shed.json", "--screw", "unknown", "--gears", "fives-20-100"];
    let Run { code, out, .. } = run_in(folder.path(), &args);
    assert_eq!(code, 0);
    is_a_lathe(folder.path(), "shed.json");
    for said in [
        "Not known",
        "None yet: ",
        "trainwright learn CHART --lathe shed.json",
        "--lathe shed.json",
    ] {
        assert!(out.contains(said), "{said}: {out}");
    }
}

#[test]
fn with_a_tumbler_its_positions_say_the_sense() {
    let folder = fresh();
    let made = |more: &[&str]| {
        let args = ["lathe", "new", "-", "--screw", "8tpi", "--gears", "20,40"];
        let text = run_in(folder.path(), &[&args[..], more].concat()).out;
        serde_json::from_str::<Value>(&text).unwrap()["headstock"].clone()
    };
    let senses = serde_json::json!({"up": "same", "down": "unknown"});
    let with = made(&["--tumbler", "up=same, down"]);
    assert_eq!((&with["turns"], &with["tumbler"]), (&"same".into(), &senses));
    for none in [&["--tumbler", "no"][..], &[]] {
        let without = made(none);
        assert_eq!((&without["turns"], &without["tumbler"]), (&Value::Null, &Value::Null));
    }
}

/// "not sure" was written as the name of a position, and what had been skipped as yes.
#[test]
fn who_is_not_sure_is_not_taken_at_a_word() {
    let folder = fresh();
    let made = |more: &[&str]| {
        let args = ["lathe", "new", "-", "--screw", "8tpi", "--gears", "20,40"];
        let made = run_in(folder.path(), &[&args[..], more].concat());
        assert_eq!(made.code, 0, "{more:?}: {}", made.err);
        serde_json::from_str::<Value>(&made.out).unwrap()
    };
    let senses = |value: &Value| value["headstock"]["tumbler"].clone();
    let unknown = serde_json::json!({"up": "unknown", "down": "unknown"});
    for said in
        ["up=not sure, down=?", "up, down, not sure", "up=don't know; down=unknown", "up,down"]
    {
        assert_eq!(senses(&made(&["--tumbler", said])), unknown, "{said}");
    }
    let asserted = ["half_nut", "reverse", "dial"];
    for unsure in ["not sure", "unknown", "Unsure", "?"] {
        let more = ["--tumbler", "--half-nut", "--reverse", "--dial", "--turns", "--studs"];
        let more: Vec<&str> = more.into_iter().flat_map(|flag| [flag, unsure]).collect();
        let file = made(&more);
        assert_eq!((senses(&file), &file["studs"]), (Value::Null, &Value::Null), "{unsure}");
        assert_eq!(file["headstock"]["turns"], "unknown");
        assert!(asserted.iter().all(|key| file[key].is_null()), "{unsure}: {file}");
    }
    let skipped = made(&[]);
    assert!(asserted.iter().all(|key| skipped[key].is_null()), "{skipped}");
    let said = made(&["--reverse", "no", "--half-nut", "yes"]);
    assert_eq!((&said["reverse"], &said["half_nut"]), (&false.into(), &true.into()));
}

/// A card told people to note the tumbler, which `lathe new` had never asked for.
#[test]
fn the_fitted_set_up_has_its_headstock_and_tumbler() {
    let folder = fresh();
    let run = |more: &[&str]| {
        let args = ["lathe", "new", "-", "--screw", "8tpi", "--gears", "20,40,80"];
        run_in(folder.path(), &[&args[..], more].concat())
    };
    let made = |more: &[&str]| {
        let made = run(more);
        assert_eq!(made.code, 0, "{more:?}: {}", made.err);
        serde_json::from_str::<Value>(&made.out).unwrap()
    };
    let ways = ["--ratio", "low=1 same, high=8 opposite", "--tumbler", "up=same, down=opposite"];
    let ways = [&ways[..], &["--fitted", "20-80"]].concat();
    let with = |more: &[&'static str]| [&ways[..], more].concat();
    let both = ["--fitted-headstock", "low", "--fitted-tumbler", "down"];
    let file = made(&with(&both));
    let fitted = serde_json::json!({"train": "20-80", "headstock": "low", "tumbler": "down"});
    assert_eq!(file["fitted"], fitted);
    let low = serde_json::json!({"ratio": "1", "turns": "same"});
    assert_eq!(file["headstock"]["positions"]["low"], low);
    assert!(file["headstock"]["turns"].is_null() && file["headstock"]["ratio"].is_null());
    std::fs::write(folder.path().join("shed.json"), run(&with(&both)).out).unwrap();
    is_a_lathe(folder.path(), "shed.json");
    let alone = serde_json::json!({"train": "20-80"});
    for unsure in ["not sure", "?"] {
        let more: [&'static str; 4] = ["--fitted-headstock", unsure, "--fitted-tumbler", unsure];
        assert_eq!(made(&with(&more))["fitted"], alone, "{unsure}");
    }
    assert_eq!(made(&ways)["fitted"], alone);
    for (wrong, error) in [
        (with(&["--fitted-tumbler", "middle"]), "middle"),
        (with(&["--fitted-headstock", "top"]), "top"),
        (vec!["--fitted-tumbler", "up"], "`fitted-tumbler` goes with `fitted`"),
        (vec!["--ratio", "low=1, low=2"], "low appears twice"),
    ] {
        let refused = run(&wrong);
        assert_eq!((refused.code, refused.out.as_str()), (2, ""), "{wrong:?}");
        assert!(refused.err.contains(error), "{}", refused.err);
    }
}

/// `8"` was read as a lead of 203.2 mm.
#[test]
fn an_inch_and_more_a_turn_is_asked_about() {
    let folder = fresh();
    let made = |screw: &str| {
        run_in(folder.path(), &["lathe", "new", "-", "--screw", screw, "--gears", "20,40"])
    };
    let inches = made("8\"");
    assert_eq!(inches.code, 2);
    for said in ["203.2 mm in one turn", "8 tpi for 8 threads in one inch?"] {
        assert!(inches.err.contains(said), "{}", inches.err);
    }
    for good in ["8 tpi", "1/8 in", "12 mm"] {
        assert_eq!(made(good).code, 0, "{good}");
    }
}

/// What people type at a question, and the piece of the file that it makes.
#[test]
fn words_that_people_type_are_answers() {
    let folder = fresh();
    let made = |flags: &[&str]| {
        let usual = ["lathe", "new", "-", "--no-input"];
        let made = run_in(folder.path(), &[&usual[..], flags].concat());
        assert_eq!(made.code, 0, "{flags:?}: {}", made.err);
        serde_json::from_str::<Value>(&made.out).unwrap()
    };
    let plain = made(&["--screw", "8tpi", "--gears", "20,40"]);
    // Nobody has to know it: nothing of it is in the file.
    for key in ["name", "lever", "fitted", "marks", "shafts", "slot", "pitch", "sleeves", "speeds"]
    {
        let flag = format!("--{key}");
        let beside: &[&str] = match key {
            "marks" => &["--dial", "16 teeth, 8 lines"],
            "slot" => &["--shafts", "92 mm"],
            _ => &[],
        };
        let said =
            [&["--screw", "8tpi", "--gears", "20,40", &flag, "unknown"][..], beside].concat();
        let mut file = made(&said);
        if key == "marks" {
            assert_eq!(file["dial"].as_object_mut().map(|dial| dial.len()), Some(2));
            file.as_object_mut().unwrap().remove("dial");
        }
        assert_eq!(file, plain, "{key}");
    }
    let with = |flags: &[&str]| made(&[&["--screw", "8tpi", "--gears", "20,40"], flags].concat());
    for (said, hand) in [
        ("r", "right"),
        ("right handed", "right"),
        ("Right-Hand", "right"),
        ("l", "left"),
        ("left hand", "left"),
        ("LH", "left"),
    ] {
        assert_eq!(with(&["--hand", said])["lead_screw"]["hand"], hand, "{said}");
    }
    for (said, slot) in [
        ("40mm - 95 mm", serde_json::json!({"from": "40mm", "to": "95 mm"})),
        ("40 mm to 95 mm", serde_json::json!({"from": "40 mm", "to": "95 mm"})),
        ("40\u{2013}95 mm", serde_json::json!({"from": "40 mm", "to": "95 mm"})),
        ("-10 mm - 95 mm", serde_json::json!({"from": "-10 mm", "to": "95 mm"})),
        ("1-1/2 in", serde_json::json!({"at": "1-1/2 in"})),
    ] {
        let file = with(&["--shafts", "92 mm", "--slot", said]);
        assert_eq!(file["banjo"]["slots"], serde_json::json!([slot]), "{said}");
    }
    let swung = with(&["--shafts", "92 mm", "--slot", "40 to 95 mm", "--arm-angle=-15 - -5"]);
    assert_eq!(swung["banjo"]["arm_angle"], serde_json::json!({"from": -15, "to": -5}));
    let lever = with(&["--lever", "High speed: low gear=1, high gear=1/2"]);
    let positions = serde_json::json!({"low gear": "1", "high gear": "1/2"});
    let lever = &lever["gearbox"]["levers"][0];
    assert_eq!((&lever["name"], &lever["positions"]), (&"High speed".into(), &positions));
    let screw = made(&["--screw", "8 threads per inch", "--gears", "20,40"]);
    std::fs::write(folder.path().join("shed.json"), screw.to_string()).unwrap();
    let shown = run_in(folder.path(), &["lathe", "show", "--lathe", "shed.json"]);
    assert!(shown.out.contains("8 TPI (3.175 mm)"), "{}", shown.out);
}

/// What can't be an answer is refused with the form of one.
#[test]
fn a_guess_is_refused_with_the_form() {
    let folder = fresh();
    for (flag, said, right) in [
        ("--starts", "i think 1", "such as 1"),
        ("--ratio", "I think 1", "such as 1, 1/2, unknown"),
        ("--tumbler", "maybe up", "such as up=same, down=opposite"),
        ("--half-nut", "probably", "such as yes, no, not sure"),
        ("--speeds", "fast", "such as 60, 120, 250; 50 to 1200"),
        ("--lever", "Range: A=1 B=2", "Range: A=1, B=1/2, C=unknown"),
        ("--lever", "Range A=1", "Range: A=1, B=1/2, C=unknown"),
        ("--hand", "sinister", "known: right, left"),
        ("--screw", "8", "\"8 mm\", \"8 in\" or \"8 tpi\""),
        ("--gears", "unknown", "count the teeth of each: 20,25,30x2"),
    ] {
        let usual = [("--screw", "8tpi"), ("--gears", "20,40")].into_iter();
        let usual = usual.filter(|(key, _)| *key != flag).flat_map(|(key, value)| [key, value]);
        let args: Vec<&str> = ["lathe", "new", "-"].into_iter().chain(usual).collect();
        let refused = run_in(folder.path(), &[&args[..], &[flag, said]].concat());
        assert_eq!((refused.code, refused.out.as_str()), (2, ""), "{flag} {said}");
        assert!(refused.err.contains(right), "{flag} {said}: {}", refused.err);
    }
}

/// `8"` for `8 tpi`, gears with spaces only, a figure under the heading that has its unit.
#[test]
fn words_that_people_type_for_a_lead_and_in_a_chart() {
    let folder = fresh();
    let doubt = "A lead of 8 in is unusual: 8 threads per inch is `8 tpi`.";
    let said = |target: &str| one_line(&run_in(folder.path(), &["find", target]).out);
    assert!(said("8\"").contains(doubt), "{}", said("8\""));
    assert!(!said("8 tpi").contains("unusual") && !said("1/8 in").contains("unusual"));
    let lathe = r#"{"format": 1, "lead_screw": {"lead": "8 tpi"}, "headstock": {"ratio": "1"},
        "gears": {"owned": [20, 20, 40, 50, 65]}}"#;
    std::fs::write(folder.path().join("lathe.json"), lathe).unwrap();
    let checked = |chart: &str| {
        std::fs::write(folder.path().join("chart.csv"), chart).unwrap();
        let run = run_in(folder.path(), &["check", "chart.csv", "--long"]);
        (run.code, one_line(&(run.out + &run.err)))
    };
    let (code, read) = checked("TPI,train\n8,20 65 20\n16,20 40\n");
    assert!(code == 0 && read.contains("20-65-20") && read.contains("20-40"), "{read}");
    let (code, refused) = checked("tpi,train\n20,40 55 50 65\n");
    assert!(code == 2 && refused.contains("which mesh, and which share a stud?"), "{refused}");
    assert!(refused.contains("40-55+50-65"), "{refused}");
}

/// A stretch of the banjo that is entered twice.
#[test]
fn slots_that_share_places_are_doubted() {
    let folder = fresh();
    let made = |other: &str| {
        let args =
            ["lathe", "new", "-", "--screw", "8tpi", "--gears", "20,40", "--shafts", "92 mm"];
        let slots = ["--slot", "34 to 70 mm", "--slot", other];
        let file = run_in(folder.path(), &[&args[..], &slots].concat()).out;
        one_line(&piped(folder.path(), &["lathe", "check", "-"], file).out)
    };
    assert!(made("60 to 90 mm").contains("slots 1 and 2 share places"), "{}", made("60 to 90 mm"));
    assert!(!made("80 to 90 mm").contains("share places"));
}

/// A device file is a word of one system: `-` and a pipe say the same on all.
#[test]
fn help_names_no_device_file() {
    for words in [
        &["--help"][..],
        &["lathe", "new", "--help"],
        &["lathe", "check", "--help"],
        &["check", "--help"],
        &["table", "--help"],
        &["learn", "--help"],
        &["find", "--help"],
        &["guide", "lathe"],
        &["guide", "shell"],
        &["guide", "files"],
    ] {
        let shown = run_in(fresh().path(), words).out;
        assert!(shown.len() > 500 && !shown.contains("/dev/"), "{words:?}: {shown}");
    }
}

/// Answers that are right, nearly right, and noise.
fn an_answer() -> impl Strategy<Value = (Key, String)> {
    let words = [
        "8 tpi",
        "3 mm",
        "unknown",
        "right",
        "1",
        "0",
        "1/2",
        "same",
        "up=same, down",
        "no",
        "yes",
        "20,40x2,127+120",
        "20,40",
        "fives-20-100",
        "module 1",
        "20 DP",
        "14.5",
        "20-40",
        "20-40+40-20",
        "A: 1=1, 2=?",
        "A: 1=1/2 opposite feeds",
        "B: x=1",
        "A=1",
        "A=1 same, B=8",
        "up",
        "A=1, B=x",
        "16 teeth, 8 lines",
        "1,,2",
        "60, 120",
        "50 to 1200",
        "92 mm",
        "34 to 72 mm",
        "60 mm angle 15",
        "-15 to 75",
        "?",
        ",",
        ":",
        "=",
        "\u{1b}[31m",
        "\"",
        "99999999999999999999999999999999999999999",
        "",
    ];
    let key = proptest::sample::select(Key::ALL.to_vec());
    let word = proptest::sample::select(words.to_vec()).prop_map(str::to_owned);
    (key, prop_oneof![9 => word, 1 => "\\PC{0,12}"])
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 400,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    /// Whatever is answered: what was taken is a lathe file once there are gears.
    #[test]
    fn answers_that_were_taken_make_a_lathe_file(
        first in proptest::bool::ANY,
        answers in proptest::collection::vec(an_answer(), 0..120),
    ) {
        let mut draft = Draft::default();
        // Most words fit few keys: gears first, else they would rarely be there.
        let gears = first.then(|| (Key::Gears, "20,40x2,127+120".to_owned()));
        for (key, said) in gears.into_iter().chain(answers) {
            if let Ok(with) = draft.with(key, &said, None) {
                draft = with;
            }
        }
        let said: Vec<(Key, String)> = draft.answers().map(|(k, s)| (k, s.to_owned())).collect();
        let text = draft.text();
        prop_assert!(serde_json::from_str::<Value>(&text).is_ok(), "{}", text);
        if said.iter().any(|(key, _)| *key == Key::Gears) {
            let read = files::lathe_of_text("answers", &text).map(drop);
            prop_assert!(read.is_ok(), "{:?}: {:?}: {}", said, read, text);
        }
    }
}
