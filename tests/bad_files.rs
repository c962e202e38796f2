//! Does every bad file get one clear line that says where, what and what would be right?
//!
//! One row of `data/bad_files.toml` is one case: the file, and what is said of it.

use crate::util::{fresh, run_in};
use proptest::prelude::*;
use serde::Deserialize;
use serde_json::Value;
use std::path::Path;
use trainwright::files::{self, FileKind};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Rows {
    case: Vec<Case>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    name: String,
    kind: Kind,
    file: String,
    says: String,
    /// Whether the published schema takes the file.
    #[serde(default)]
    meaning_only: bool,
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Kind {
    Lathe,
    Gears,
    Chart,
}

fn rows() -> Vec<Case> {
    toml::from_str::<Rows>(include_str!("data/bad_files.toml")).unwrap().case
}

fn said_of(kind: Kind, text: &str) -> String {
    let refused = match kind {
        Kind::Lathe => files::lathe_of_text("lathe.json", text).map(drop),
        Kind::Gears => files::gear_set_of_text("gears.json", text).map(drop),
        Kind::Chart => files::chart_of_text("chart", text, &["Range".to_owned()]).map(drop),
    };
    refused.map_or_else(|e| e.to_string(), |()| "nothing".into())
}

#[test]
fn every_bad_file_is_refused_in_one_clear_line() {
    let cases = rows();
    assert!(cases.len() >= 40);
    let wrong: Vec<String> = cases
        .iter()
        .filter_map(|case| {
            let said = said_of(case.kind, &case.file);
            let as_wanted = said == case.says && said.lines().count() == 1;
            (!as_wanted).then(|| format!("== {}\n{said}\n", case.name))
        })
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.concat());
}

/// Whether a text is JSON that keeps to the schema of its kind.
fn keeps_to_the_schema(kind: Kind, text: &str) -> bool {
    let kind = match kind {
        Kind::Lathe => FileKind::Lathe,
        Kind::Gears => FileKind::Gears,
        Kind::Chart => FileKind::Chart,
    };
    let schema = serde_json::to_value(files::schema(kind)).unwrap();
    serde_json::from_str(text).is_ok_and(|file: Value| jsonschema::is_valid(&schema, &file))
}

#[test]
fn every_bad_file_fails_its_schema_but_for_its_meaning() {
    for case in rows() {
        let keeps = keeps_to_the_schema(case.kind, &case.file);
        assert_eq!(keeps, case.meaning_only, "{}: meaning_only", case.name);
    }
}

/// One change to a good file: bytes taken out, put in, or doubled.
fn change() -> impl Strategy<Value = (usize, usize, String)> {
    let piece = prop_oneof![
        Just(String::new()),
        "[0-9eE./+-]{1,40}",
        "[{}\\[\\]\",:]{1,4}",
        "\\PC{0,6}",
        Just("\"unknown\"".to_owned()),
        Just("null".to_owned()),
        Just("{\"Cone\": \"8\"}".to_owned()),
        Just("99999999999999999999".to_owned()),
        Just("\"1e400 mm\"".to_owned()),
    ];
    (any::<usize>(), 0..12_usize, piece)
}

fn changed(text: &str, changes: &[(usize, usize, String)]) -> String {
    let mut text: Vec<char> = text.chars().collect();
    for (at, out, put) in changes {
        let at = at % (text.len() + 1);
        let end = (at + out).min(text.len());
        text.splice(at..end, put.chars());
    }
    text.into_iter().collect()
}

/// What stands where a value stood: every kind of JSON.
fn value() -> impl Strategy<Value = Value> {
    let number =
        prop_oneof![any::<i64>().prop_map(Value::from), any::<f64>().prop_map(Value::from)];
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        number,
        (0..500_u64).prop_map(Value::from),
        "\\PC{0,12}".prop_map(Value::from),
        "[0-9]{1,3}/[0-9]{1,3}".prop_map(Value::from),
        "[0-9]{1,3}(-[0-9]{1,3}){1,4}".prop_map(Value::from),
        "[0-9]{1,3} (mm|in|tpi)".prop_map(Value::from),
    ];
    leaf.prop_recursive(2, 8, 3, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..3).prop_map(Value::from),
            prop::collection::vec(("[A-C]?", inner), 0..3)
                .prop_map(|entries| Value::Object(entries.into_iter().collect())),
        ]
    })
}

/// The `n`th value of a file, counted through the whole.
fn nth(value: &mut Value, n: &mut usize, put: &Value) {
    if *n == 0 {
        *value = put.clone();
    }
    *n = n.wrapping_sub(1);
    match value {
        Value::Array(list) => list.iter_mut().for_each(|v| nth(v, n, put)),
        Value::Object(map) => map.values_mut().for_each(|v| nth(v, n, put)),
        _ => {}
    }
}

fn one_line_or_none(kind: Kind, text: &str) -> Result<(), TestCaseError> {
    let said = said_of(kind, text);
    prop_assert_eq!(said.lines().count(), 1, "{}", said);
    prop_assert!(
        said == "nothing"
            || (said.contains(".json:") || said.starts_with("chart:")) && said.contains(": "),
        "{}",
        said
    );
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn a_damaged_lathe_file_never_panics(which in 0..3_usize, changes in prop::collection::vec(change(), 1..4)) {
        one_line_or_none(Kind::Lathe, &changed(files::LATHES[which].text, &changes))?;
    }

    #[test]
    fn a_damaged_gear_set_never_panics(which in 0..6_usize, changes in prop::collection::vec(change(), 1..4)) {
        one_line_or_none(Kind::Gears, &changed(files::SETS[which].text, &changes))?;
    }

    #[test]
    fn any_value_in_any_place_never_panics(which in 0..3_usize, n in 0..120_usize, put in value()) {
        let mut file: Value = serde_json::from_str(files::LATHES[which].text).unwrap();
        nth(&mut file, &mut n.clone(), &put);
        one_line_or_none(Kind::Lathe, &file.to_string())?;
    }

    #[test]
    fn a_damaged_chart_never_panics(which in 0..2_usize, changes in prop::collection::vec(change(), 1..4)) {
        one_line_or_none(Kind::Chart, &changed(files::CHARTS[which].text, &changes))?;
    }

    #[test]
    fn any_text_as_a_chart_never_panics(text in "(thread|tpi|mm|first|last|lever R|#)?[,;\t\"0-9a-z/ .*+\r\n-]{0,60}|\\PC{0,40}") {
        one_line_or_none(Kind::Chart, &text)?;
    }

    #[test]
    fn any_list_of_gears_never_panics(text in "[0-9x, ]{0,20}|\\PC{0,12}") {
        let _ = files::gear_set(&text).map_err(|e| e.to_string());
    }
}

fn refused(spec: &str) -> String {
    files::lathe(spec).map(drop).unwrap_err().to_string()
}

#[test]
fn what_is_no_file_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).display().to_string();
    let of = |spec: &str| refused(spec).replace(&at(""), "");
    let write = |name: &str, bytes: &[u8]| std::fs::write(at(name), bytes).unwrap();
    std::fs::create_dir(at("sub")).unwrap();
    write("large.json", &vec![b' '; (1 << 20) + 1]);
    write("latin.json", b"{\n\n \"name\": \"M\xf6ve\" }");
    write("binary.json", &[0, 1, 2, 255]);
    assert_eq!(
        of(&at("none.json")),
        "none.json: there is no such file; check the path; `trainwright sets` lists what is built in"
    );
    assert_eq!(of(&at("sub")), "sub: this is a folder; name the file in it");
    assert_eq!(refused("tests"), "tests: this is a folder; name the file in it");
    assert_eq!(
        of(&at("large.json")),
        "large.json: larger than 1 MiB; a lathe, a gear set or a list has a few kilobytes"
    );
    assert_eq!(of(&at("latin.json")), "latin.json:3: not UTF-8 text; save the file as UTF-8 text");
    assert_eq!(
        of(&at("binary.json")),
        "binary.json:1: not UTF-8 text; save the file as UTF-8 text"
    );
}

#[test]
fn a_name_that_stands_for_nothing_gets_the_nearest() {
    assert_eq!(
        refused("dingy"),
        "dingy: neither a file nor a built-in lathe; did you mean `dinghy`?"
    );
    assert_eq!(refused(""), "\"\": neither a file nor a built-in lathe; known: dinghy, ketch, tug");
    assert_eq!(
        files::gear_set("fours-24-10").map(drop).unwrap_err().to_string(),
        "fours-24-10: neither a file nor a built-in gear set; did you mean `fours-24-100`?"
    );
}

/// What `lathe check` or `check` says of a file of several errors, one a line.
fn lines_of(name: &str, text: &str) -> Vec<String> {
    let folder = fresh();
    std::fs::write(folder.path().join(name), text).unwrap();
    let chart = Path::new(name).extension().is_none_or(|ending| ending != "json");
    let args = if chart { vec!["check", name] } else { vec!["lathe", "check", name] };
    let run = run_in(folder.path(), &args);
    assert_eq!((run.code, run.out.as_str()), (2, ""), "{}", run.err);
    let place = format!("trainwright: {name}:");
    let line = |line: &str| line.strip_prefix(&place).unwrap_or(line).to_owned();
    run.err.lines().map(line).collect()
}

/// The last line where the most errors are said.
const FULL: &str = "trainwright: 10 errors; there may be more";

/// Each line begins with line and column (or line alone) and says so much of what is wrong.
fn says(name: &str, text: &str, wanted: &[(&str, &str)]) {
    let mut lines = lines_of(name, text);
    lines.retain(|line| line != FULL);
    assert_eq!(lines.len(), wanted.len(), "{lines:#?}");
    for (line, (place, what)) in lines.iter().zip(wanted) {
        let colon = if place.ends_with(':') { "" } else { ": " };
        let here = line.starts_with(&format!("{place}{colon}")) && line.contains(what);
        assert!(here, "{place} {what}: {lines:#?}");
    }
}

#[test]
fn all_errors_of_a_file_are_said_in_one_run() {
    let lathe = r#"{
  "leadscrew": {"lead": "8 tpi"},
  "format": 1,
  "lead_screw": {"lead": "8"},
  "headstock": {"ratio": "half", "turns": "backwards"},
  "gears": {"owned": [20, "40", 60, {"teeth": 30, "colour": 1}, {"count": 2}]},
  "gearbox": {"levers": [{"name": "A"}, {"name": "B", "positions": {"1": "x", "2": 1, "3": "y"}}]}
}"#;
    let wanted = [
        ("2:3", "`leadscrew`"),
        ("4:26", "a length needs its unit"),
        ("5:26", "a number was expected"),
        ("5:43", "the word `backwards`"),
        ("6:27", "the text \"40\""),
        ("6:51", "`colour`"),
        ("6:65", "`teeth` is missing"),
        ("7:26", "`positions` is missing"),
        ("7:74", "a number was expected"),
        ("7:92", "a number was expected"),
    ];
    says("lathe.json", lathe, &wanted);
    // Ten at most.
    let many = lathe.replace("[20, ", "[\"1\", \"2\", \"3\", 20, ");
    let lines = lines_of("lathe.json", &many);
    assert_eq!((lines.len(), lines[10].as_str()), (11, FULL));
    // What it means, part by part.
    let meaning = r#"{
  "format": 1,
  "lead_screw": {"lead": "8 tpi"},
  "headstock": {"ratio": 1},
  "gears": {"owned": [20, 40]},
  "dial": {"teeth": 16, "lines": 4, "labels": [1, 2]},
  "fitted": {"train": "20-40", "tumbler": "up"},
  "spindle_rpm": {"from": 1200, "to": 50},
  "banjo": {"driving_shaft": "92 mm", "slots": [{"from": "70 mm", "to": "34 mm"}]}
}"#;
    let wanted = [("6:", "labels"), ("7:", "up"), ("8:18", "the range runs down"), ("9:", "slots")];
    let lines = lines_of("lathe.json", meaning);
    assert_eq!(lines.len(), wanted.len(), "{lines:#?}");
    assert!(
        lines.iter().zip(wanted).all(|(l, (at, what))| l.starts_with(at) && l.contains(what)),
        "{lines:#?}"
    );
    // Several in one part: each where nothing else depends on it.
    let banjo = r#"{
  "format": 1,
  "lead_screw": {"lead": "8 tpi", "starts": 100},
  "headstock": {"positions": {"high": {"ratio": 1, "turns": "same"}, "low": {"ratio": "1/2"}}},
  "gears": {"owned": [20, 40]},
  "studs": 7,
  "dial": [{"teeth": 16, "lines": 4, "labels": [1]}, {"teeth": 3, "lines": 3}],
  "banjo": {"driving_shaft": "92 mm",
    "slots": [{"from": "70 mm", "to": "34 mm"}, {"at": "60 mm"}, {"from": "9 mm", "to": "8 mm"}],
    "hub_radii": {"stud": "-8 mm"}, "arm_angle": {"from": 70, "to": 10}, "driven_planes": [9]}
}"#;
    let wanted = [
        ("3:45", "starts"),
        ("6:12", "studs"),
        ("7:48", "labels"),
        ("7:64", "teeth"),
        ("9:", "slots[0]"),
        ("9:", "slots[2]"),
        ("10:27", "below zero"),
        ("10:50", "arm_angle"),
        ("10:92", "driven_planes[0]"),
    ];
    says("lathe.json", banjo, &wanted);
    let gears = r#"{"format": 1, "name": "box",
  "gears": {"owned": [{"teeth": 20, "places": []}, 30, {"teeth": 40, "count": 100}]}}"#;
    says("box.json", gears, &[("2:47", "the gear can go nowhere"), ("2:56", "99")]);
    says(
        "twice.json",
        "{\"format\": 1, \"a\": 1, \"a\": 2,\n\"b\": {\"c\": 1, \"c\": 2}}",
        &[("1:23", "`a` appears twice"), ("2:15", "`c` appears twice")],
    );
}

#[test]
fn a_bound_that_is_passed_again_and_again_is_one_error() {
    let many = format!(
        "{{\"format\": 1, \"name\": \"box\", \"gears\": {{\"owned\": [{}]}}}}",
        ["20"; 105].join(", ")
    );
    let lines = lines_of("box.json", &many);
    assert_eq!((lines.len(), lines[1].as_str()), (2, "trainwright: 5 errors more"), "{lines:#?}");
    assert!(lines[0].contains("gears.owned[99]: gear 20: "), "{lines:#?}");
}

#[test]
fn all_errors_of_a_chart_are_said_in_one_run() {
    let chart = "tpi,driving,driven,starts\n8,20,4O,two\n9,20,40,\nx,20,40,1\n10,20,,1\n";
    says(
        "chart.csv",
        chart,
        &[
            ("2:6", "`4O` is no number of teeth"),
            ("2:9", "`two` is no number of starts"),
            ("4:1", "a number was expected"),
            ("5:4", "the driving or the driven gear is missing"),
        ],
    );
    says("chart.csv", "tpi,frst,lust\n8,20,40\n", &[("1:5", "`frst`"), ("1:10", "`lust`")]);
    let long = format!("tpi,train\n{}", "x,20-40\n".repeat(30));
    let lines = lines_of("chart.csv", &long);
    assert_eq!((lines.len(), lines[10].as_str()), (11, FULL));
    let json =
        r#"{"format": 1, "rows": [{"thread": "8"}, {"thread": "9 tpi"}, {"thread": "x tpi"}]}"#;
    let said = |text: &str| files::chart_of_text("c", text, &[]).map(drop).unwrap_err();
    assert!(said(json).to_string().starts_with("c:1:35: rows[0].thread: "), "{}", said(json));
}
