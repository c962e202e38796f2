//! What do `sets`, `lathe show`, `lathe check` and `schema` print, and how do they end?
//!
//! Pages are kept in `snapshots/`; `SNAPSHOTS=overwrite` writes them anew.

use assert_cmd::Command;
use serde_json::{Value, json};
use snapbox::{assert_data_eq, file};
use std::path::Path;

/// The program in a folder of its own, with nothing set around it.
fn program(folder: &Path) -> Command {
    let mut command = Command::cargo_bin("trainwright").unwrap();
    command.current_dir(folder).env_clear().env("HOME", folder);
    command
}

/// Exit code, standard output, standard error.
fn run(folder: &Path, args: &[&str], input: &str) -> (i32, String, String) {
    let done = program(folder).args(args).write_stdin(input).output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (done.status.code().unwrap(), text(done.stdout), text(done.stderr))
}

fn page(args: &[&str]) -> String {
    let folder = tempfile::tempdir().unwrap();
    let (code, out, err) = run(folder.path(), args, "");
    assert_eq!((code, err.as_str()), (0, ""), "{args:?}");
    out
}

/// The same, for reading: no line passes 80 columns.
fn text_page(args: &[&str]) -> String {
    let out = page(args);
    assert!(out.lines().all(|line| line.chars().count() <= 80), "{out}");
    out
}

#[test]
fn pages_of_shipped_files() {
    assert_data_eq!(text_page(&["sets"]), file!["snapshots/sets.txt"]);
    assert_data_eq!(
        text_page(&["sets", "fives-joined-127-120"]),
        file!["snapshots/sets-joined.txt"]
    );
    assert_data_eq!(text_page(&["lathe", "show"]), file!["snapshots/lathe-show-default.txt"]);
    assert_data_eq!(
        text_page(&["lathe", "show", "--lathe", "ketch"]),
        file!["snapshots/lathe-show-ketch.txt"]
    );
    assert_data_eq!(
        text_page(&["lathe", "show", "--lathe", "tug"]),
        file!["snapshots/lathe-show-tug.txt"]
    );
    assert_data_eq!(text_page(&["lathe", "check", "tug"]), file!["snapshots/lathe-check-tug.txt"]);
}

#[test]
fn a_lathe_that_is_half_known_says_how_to_find_out() {
    let folder = tempfile::tempdir().unwrap();
    let lathe = include_str!("data/half-known.lathe.json");
    let (code, out, err) = run(folder.path(), &["lathe", "show", "--lathe", "-"], lathe);
    assert_eq!((code, err.as_str()), (0, ""));
    assert_data_eq!(out, file!["snapshots/lathe-show-half-known.txt"]);
}

#[test]
fn the_schemas_are_printed_as_they_are_shipped() {
    assert_eq!(page(&["schema", "lathe"]), include_str!("../gearsets/lathe.schema.json"));
    assert_eq!(page(&["schema", "gears"]), include_str!("../gearsets/gears.schema.json"));
}

#[test]
fn no_shipped_file_is_doubtful() {
    for file in std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("gearsets")).unwrap() {
        let path = file.unwrap().path().display().to_string();
        if !path.ends_with(".schema.json") {
            let out = page(&["lathe", "check", &path, "--format", "csv"]);
            assert_eq!(out.lines().count(), 2, "{out}");
            assert!(out.contains(": OK, a "), "{out}");
        }
    }
}

#[test]
fn a_bad_file_ends_with_2_and_one_line() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("bad.json"), "{\"format\": 1,\n \"gear\": 3}").unwrap();
    for args in [["lathe", "check", "bad.json"], ["lathe", "show", "--lathe=bad.json"]] {
        let (code, out, err) = run(folder.path(), &args, "");
        assert_eq!((code, out.as_str()), (2, ""));
        assert_eq!(
            err,
            "trainwright: bad.json:2:2: gear: the key `gear` is not known here; did you mean `gears`?\n"
        );
    }
    let (code, _, err) = run(folder.path(), &["lathe", "check", "-"], "");
    assert_eq!(code, 2);
    assert!(err.starts_with("trainwright: standard input:1:1: the file is empty;"), "{err}");
    let (code, _, err) = run(folder.path(), &["sets", "fives"], "");
    assert_eq!(code, 2);
    assert!(err.contains("fives: neither a file nor a built-in gear set"), "{err}");
}

/// A good lathe with some keys replaced.
fn lathe_with(change: &Value) -> String {
    let mut file = json!({
        "format": 1,
        "lead_screw": {"lead": "8 tpi"},
        "headstock": {"ratio": "1", "turns": "same"},
        "gears": {"owned": [20, 40, 40, 60, 80]}
    });
    for (key, value) in change.as_object().unwrap() {
        file[key] = value.clone();
    }
    file.to_string()
}

/// Each doubt with a file that raises it, and no other.
#[test]
fn what_can_hardly_be_meant_is_said() {
    let levers = json!({"levers": [{"name": "Range", "positions": {"A": "1", "B": "1/2"}}]});
    let mut forbidden = levers.clone();
    forbidden["forbidden"] = json!([{"Range": "A"}, {"Range": "B"}]);
    let mut one_forbidden = levers.clone();
    one_forbidden["forbidden"] = json!([{"Range": "B"}]);
    let cases = [
        (json!({}), None),
        (
            json!({"fitted": {"train": "20-80+20-40"}}),
            Some("the fitted train uses 2 x 20, owned: 1"),
        ),
        (json!({"fitted": {"train": "20-50"}}), Some("the fitted train uses 1 x 50, owned: none")),
        (json!({"fitted": {"train": "20-50"}, "ends": {"last": 50}}), None),
        (
            json!({"fitted": {"train": "20-40-80-60"}}),
            Some("the fitted train has 2 studs, the bracket takes 1"),
        ),
        (
            json!({"gearbox": one_forbidden, "fitted": {"train": "20-40", "levers": {"Range": "B"}}}),
            Some("fitted levers Range B: no allowed position"),
        ),
        (json!({"gearbox": forbidden}), Some("no lever position is left for threads")),
        (
            json!({"gears": {"owned": [20, 40, {"teeth": 65, "places": ["last"]}]}, "ends": {"last": 40}}),
            Some("the 65 can go on no shaft of this lathe"),
        ),
        (
            json!({"gears": {"owned": [20, 40, {"teeth": 65, "places": ["stud"]}]}, "studs": 0}),
            Some("the 65 can go on no shaft of this lathe"),
        ),
        (
            json!({"dial": {"teeth": 16, "lines": 6}}),
            Some("a dial of 16 teeth with 6 lines: some lines stand between teeth"),
        ),
        (json!({"dial": {"teeth": 16, "lines": 8}}), None),
        (
            json!({"dial": {"teeth": 16, "lines": 8}, "half_nut": false}),
            Some("a dial without a half nut"),
        ),
        (json!({"sleeves": 2}), Some("more sleeves than studs")),
        (
            json!({"gears": {"owned": [20, 40], "joined": [{"gears": [127, 120]}]}, "studs": 0}),
            Some("joined gears, but no stud to put them on"),
        ),
    ];
    let folder = tempfile::tempdir().unwrap();
    for (change, doubt) in cases {
        let args = ["lathe", "check", "-", "--format", "json"];
        let (code, out, err) = run(folder.path(), &args, &lathe_with(&change));
        assert_eq!((code, err.as_str()), (0, ""), "{change}");
        let out: Value = serde_json::from_str(&out).unwrap();
        let doubts = out["rows"].as_array().unwrap().iter().filter(|row| row["kind"] == "doubtful");
        let doubts: Vec<&str> = doubts.map(|row| row["text"].as_str().unwrap()).collect();
        match doubt {
            None => assert_eq!(doubts, [""; 0], "{change}"),
            Some(doubt) => assert!(doubts[0].starts_with(doubt), "{change}: {doubts:?}"),
        }
    }
}
