//! What do `sets`, `lathe show`, `lathe check` and `schema` print, and how do they end?
//!
//! Pages are kept in `snapshots/`; `SNAPSHOTS=overwrite` writes them anew.

use crate::util::{Run, piped};
use serde_json::{Value, json};
use snapbox::{assert_data_eq, file};
use std::path::Path;

/// Exit code, standard output, standard error.
fn run(folder: &Path, args: &[&str], input: &str) -> (i32, String, String) {
    let Run { code, out, err } = piped(folder, args, input);
    (code, out, err)
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
        // Schemas are no lathes; charts are read by `tests/check.rs`.
        if !path.ends_with(".schema.json") && path.ends_with("json") {
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

/// A lathe with the bracket of its `plain` file and some keys replaced.
fn with_bracket(change: &Value) -> Value {
    let mut bracket = json!({
        "driving_shaft": "80 mm",
        "slots": [{"from": "34 mm", "to": "70 mm"}],
        "hub_radii": {"driving": "12 mm", "stud": "8 mm", "driven": "12 mm"}
    });
    for (key, value) in change.as_object().unwrap() {
        bracket[key] = value.clone();
    }
    json!({"banjo": bracket})
}

/// What `lathe check` doubts.
fn doubts(change: &Value) -> Vec<String> {
    let folder = tempfile::tempdir().unwrap();
    let args = ["lathe", "check", "-", "--format", "json"];
    let (code, out, err) = run(folder.path(), &args, &lathe_with(change));
    assert_eq!((code, err.as_str()), (0, ""), "{change}");
    let out: Value = serde_json::from_str(&out).unwrap();
    let doubts = out["rows"].as_array().unwrap().iter().filter(|row| row["kind"] == "doubtful");
    doubts.map(|row| row["text"].as_str().unwrap().to_owned()).collect()
}

/// Each doubt about a bracket with one that raises it, and no other.
#[test]
fn what_can_hardly_be_meant_of_a_bracket_is_said() {
    let outline = |corners: [[i32; 2]; 4]| -> Value {
        corners
            .map(|[r, u]| json!({"right": format!("{r} mm"), "up": format!("{u} mm")}))
            .to_vec()
            .into()
    };
    let box_round_both = outline([[-90, -90], [90, -90], [90, 170], [-90, 170]]);
    let pin = |right: &str, up: &str| json!([{"name": "pin", "circle": {"right": right, "up": up, "radius": "6 mm"}}]);
    let near = json!({"pivot": "driving", "slots": [{"at": "40 mm"}, {"at": "30 mm"}],
        "least_stud_distance": "35 mm"});
    let cases = [
        (json!({}), None),
        (
            json!({"hub_radii": {"driving": "12 mm"}}),
            Some("hub radii of 0 mm (studs, lead screw): gears would be let run into them"),
        ),
        (json!({"planes": 1, "hub_radii": {}}), Some("one plane: no two gears can share a stud")),
        (near, Some("slot 2: no stud in it comes as far from the driving shaft as the 35 mm")),
        // The largest: 80 on the driving shaft, 80 across... 40 + 2 x 40 + 40 mm, and two meshes.
        (json!({"driving_shaft": "160.4 mm"}), None),
        (
            json!({"driving_shaft": "160.5 mm"}),
            Some(
                "the driving shaft is 160.5 mm from the lead screw: the largest gears in line bridge 160.0",
            ),
        ),
        (json!({"opening": {"greatest": "0 mm"}}), Some("opening of 0 mm: where nothing can")),
        (json!({"cover": box_round_both}), None),
        (
            json!({"cover": outline([[-90, -90], [90, -90], [90, 70], [-90, 70]])}),
            Some("the driving shaft is outside the cover"),
        ),
        (
            json!({"cover": outline([[-90, 30], [90, 30], [90, 170], [-90, 170]])}),
            Some("the lead screw is outside the cover"),
        ),
        (
            json!({"cover": outline([[-90, -90], [90, -90], [-90, 170], [90, 190]])}),
            Some("the outline of the cover crosses itself"),
        ),
        (json!({"keep_out": pin("5 mm", "-3 mm")}), Some("the lead screw is inside the pin")),
        (json!({"keep_out": pin("0 mm", "85 mm")}), Some("the driving shaft is inside the pin")),
        (json!({"keep_out": pin("0 mm", "87 mm")}), None),
    ];
    for (change, doubt) in cases {
        let said = doubts(&with_bracket(&change));
        match doubt {
            None => assert_eq!(said, [""; 0], "{change}"),
            Some(doubt) => {
                assert!(said.len() == 1 && said[0].starts_with(doubt), "{change}: {said:?}");
            }
        }
    }
}

#[test]
fn studs_and_the_fitted_train_must_suit_the_bracket() {
    let said = |change: Value, studs: u8, fitted: &str| {
        let mut lathe = with_bracket(&change);
        lathe["studs"] = studs.into();
        lathe["fitted"] = json!({"train": fitted});
        doubts(&lathe)
    };
    let holes = json!({"slots": [{"at": "40 mm"}, {"at": "60 mm"}]});
    assert_eq!(said(holes.clone(), 2, "40-60+40-80"), [""; 0]);
    let said_of_3 = said(holes, 3, "40-60+40-80");
    assert!(said_of_3[0].starts_with("3 studs, but 2 stud holes and no slot"), "{said_of_3:?}");
    // 50 + 60 mm bridge 80 mm, 30 + 30 mm do not.
    assert_eq!(said(json!({}), 1, "40-60+40-80"), [""; 0]);
    let short = said(json!({}), 1, "20-40-20");
    assert!(short.last().unwrap().starts_with("the fitted train does not fit"), "{short:?}");
}

#[test]
fn a_bracket_that_is_not_described_says_what_to_measure() {
    let folder = tempfile::tempdir().unwrap();
    let args = ["lathe", "check", "-", "--format", "csv"];
    let said = |change: &Value| run(folder.path(), &args, &lathe_with(change)).1;
    assert!(said(&json!({})).contains("not known,\"the banjo, so that nobody knows"));
    assert!(!said(&with_bracket(&json!({}))).contains("not known"));
}

/// Each way to write a bracket, in words.
#[test]
fn a_bracket_is_shown_in_mm_and_inches() {
    let folder = tempfile::tempdir().unwrap();
    let lathe = include_str!("data/full.lathe.json");
    let args = ["lathe", "show", "--lathe", "-", "--format", "json"];
    let (code, out, err) = run(folder.path(), &args, lathe);
    assert_eq!((code, err.as_str()), (0, ""));
    let out: Value = serde_json::from_str(&out).unwrap();
    let rows: Vec<(&str, &str)> = out["rows"]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| (row["part"].as_str().unwrap(), row["value"].as_str().unwrap()))
        .collect();
    let from = rows.iter().position(|(part, _)| *part == "shafts").unwrap();
    // 76.2 / 25.4 = 3, 30 / 25.4 = 1.1811, 69.85 / 25.4 = 2.75, 6.35 / 25.4 = 1/4.
    let wanted = [
        (
            "shafts",
            "from the gearbox shaft's axis to the driving shaft's: 30 mm (~1.181 in) away from the operator, 76.2 mm (3 in) up",
        ),
        (
            "banjo",
            "swings on a point, from the gearbox shaft's axis 20 mm (~0.787 in) toward the operator, 15 mm (~0.591 in) down; from -60 to 0 degrees, clockwise seen from the cover end, 0 toward the driving shaft",
        ),
        (
            "slot 1",
            "stud -5 to 69.85 mm (~-0.197 to 2.75 in) from abreast of the pivot, at 22.5 degrees to the arm, -3.175 mm (-0.125 in) beside it, clockwise positive",
        ),
        ("slot 2", "stud 34 to 70 mm (~1.339 to ~2.756 in) from the pivot"),
        ("stud hole 3", "stud 60 mm (~2.362 in) from the pivot, at -22.5 degrees to the arm"),
        (
            "slot 4",
            "arc of radius 38.1 mm (1.5 in) about a point 60 mm (~2.362 in) along the arm and -10 mm (~-0.394 in) across it, clockwise positive, from -30 to 45 degrees",
        ),
        (
            "least clearance",
            "1.5 mm (~0.059 in) between what must not touch; a stud at least 34 mm (~1.339 in) from the driving shaft",
        ),
        (
            "hubs",
            "radius: driving shaft 12 mm (~0.472 in), studs 8.89 mm (0.35 in), gearbox shaft 11 mm (~0.433 in)",
        ),
        (
            "planes",
            "3, counted from the headstock; the driving shaft's gear in 1; the gearbox shaft's gear in 2 or 3",
        ),
        (
            "meshes",
            "opened by 0.05 mm (~0.002 in) for backlash, up to 0.254 mm (0.01 in) where nothing can be moved",
        ),
        ("cover", "all gears stay inside an outline of 3 corners"),
        (
            "keep out",
            "lock pin: round, radius 6.35 mm (0.25 in), from the gearbox shaft's axis 40 mm (~1.575 in) toward the operator, 20 mm (~0.787 in) down; plane 1",
        ),
        ("keep out", "7: an outline of 3 corners"),
    ];
    assert_eq!(rows[from..from + wanted.len()], wanted);
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
        (json!({"fitted": {"train": "20-50"}, "ends": {"driven": 50}}), None),
        (
            json!({"fitted": {"train": "20-40-80-60"}}),
            Some("the fitted train has 2 studs, the banjo takes 1"),
        ),
        (
            json!({"gearbox": one_forbidden, "fitted": {"train": "20-40", "levers": {"Range": "B"}}}),
            Some("fitted levers Range B: no allowed position"),
        ),
        (json!({"gearbox": forbidden}), Some("no lever position is left for threads")),
        (
            json!({"gears": {"owned": [20, 40, {"teeth": 65, "places": ["driven"]}]}, "ends": {"driven": 40}}),
            Some("the 65 can go on no shaft of this lathe"),
        ),
        (
            json!({"gears": {"owned": [20, 40, {"teeth": 65, "places": ["stud"]}]}, "studs": 0}),
            Some("the 65 can go on no shaft of this lathe"),
        ),
        (
            json!({"dial": {"teeth": 16, "lines": 6}}),
            Some("a dial of 16 teeth with 6 lines: some lines lie between teeth"),
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
    for (change, doubt) in cases {
        let doubts = doubts(&change);
        match doubt {
            None => assert_eq!(doubts, [""; 0], "{change}"),
            Some(doubt) => assert!(doubts[0].starts_with(doubt), "{change}: {doubts:?}"),
        }
    }
}
