//! Does `gear` name what was measured, mesh what is asked, and find what is wrong in a box?

use crate::util::{Run, fresh, run, run_in};
use serde_json::Value;
use snapbox::{assert_data_eq, file};
use solver::search::{Ask, Options, Search};
use solver::{GearSet, Lathe, Lead, Parts, Travel};
use trainwright::files;

/// A tin of mixed gears: a 40 of each of two sizes that look alike, one of 20 DP that its entry calls
/// module 1.25, a 70 that was counted as 63, and one that fits nothing.
const TIN: &str = r#"{
  "format": 1, "name": "Mixed tin",
  "gears": {
    "pitch": "module 1.25",
    "owned": [
      {"teeth": 40, "outside": "52.4 mm"},
      {"teeth": 40, "pitch": "20 DP", "outside": "2.1 in"},
      {"teeth": 45, "outside": "59.7 mm"},
      {"teeth": 63, "outside": "90 mm"},
      {"teeth": 50, "outside": "64.1 mm"},
      {"teeth": 24, "pressure_angle": 14.5},
      {"teeth": 30, "count": 2}
    ]
  }
}"#;

fn of_box(text: &str, more: &[&str]) -> Run {
    let folder = fresh();
    std::fs::write(folder.path().join("box.json"), text).unwrap();
    run_in(folder.path(), &[&["gear", "--gears", "box.json"], more].concat())
}

fn rows(run: &Run) -> Vec<Value> {
    let document: Value = serde_json::from_str(&run.out).unwrap();
    document["rows"].as_array().unwrap().clone()
}

fn json(args: &[&str]) -> (i32, Vec<Value>) {
    let run = run(&[args, &["--format", "json"]].concat());
    (run.code, rows(&run))
}

/// m (z + 2): 52.5 mm for 40 teeth of module 1.25, 53.34 mm of 20 DP (ISO 53, from memory).
#[test]
fn a_measured_gear_is_named_with_its_rival() {
    let Run { code, out, err } = run(&["gear", "40", "--outside", "52.4 mm"]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert_data_eq!(out, file!["snapshots/gear-measured.txt": Text].raw());
    let (code, rows) = json(&["gear", "40", "--outside", "53.2 mm"]);
    assert_eq!(
        (code, &rows[0]["tooth_size"], &rows[1]["tooth_size"]),
        (0, &"20 DP".into(), &"module 1.25".into())
    );
    assert_eq!((&rows[0]["off_mm"], &rows[0]["should_mm"]), (&(-0.14).into(), &53.34.into()));
    assert!(rows[0].get("off_mm_exact").is_none(), "a double has no exact fraction");
    assert_eq!(rows[0]["module_mm_exact"], "127/100");
}

#[test]
fn what_no_size_fits_is_a_no() {
    let none = run(&["gear", "40", "--outside", "47 mm"]);
    assert_eq!(none.code, 1);
    assert!(none.out.contains("No standard size reads so: module 1.125"), "{}", none.out);
    // Two that a caliper can't tell apart: an answer, with its doubt.
    let unsure = run(&["gear", "20", "--outside", "19.8 mm"]);
    assert_eq!(unsure.code, 0);
    assert!(unsure.out.contains("not certain"), "{}", unsure.out);
}

/// 11 teeth of module 0.8 read 10.4 cos(90°/11) = 10.294 mm; 32 DP has 10.319 mm over its circle.
#[test]
fn an_odd_count_is_allowed_for_and_said_so() {
    let first = |args: &[&str]| json(args).1[0]["tooth_size"].clone();
    assert_eq!(first(&["gear", "11", "--outside", "10.294 mm"]), "module 0.8");
    assert_eq!(first(&["gear", "11", "--outside", "10.294 mm", "--circle"]), "32 DP");
    let says = |args: &[&str]| run(args).out.contains("is odd, so no tip");
    assert!(says(&["gear", "11", "--outside", "10.3 mm"]));
    assert!(!says(&["gear", "12", "--outside", "10.3 mm"]));
    assert!(!says(&["gear", "11", "--outside", "10.3 mm", "--circle"]));
}

#[test]
fn a_stated_size_is_checked() {
    let right = run(&["gear", "40", "--outside", "2.1in", "--pitch", "20 DP"]);
    assert_eq!(right.code, 0);
    assert!(right.out.contains("it agrees"), "{}", right.out);
    let wrong = run(&["gear", "40", "--outside", "2.1in", "--pitch", "module 1.25"]);
    assert_eq!(wrong.code, 1);
    assert!(wrong.out.contains("Likelier:\n40 teeth of 20 DP (53.34 mm)."), "{}", wrong.out);
    let undercut = ["gear", "15", "--outside", "17 mm", "--pitch", "module 1", "--angle", "20"];
    assert!(run(&undercut).out.contains("15 of 20 degrees: undercut"));
}

#[test]
fn two_gears_in_mesh() {
    let opened = ["gear", "20", "60", "--pitch", "module 1", "--centres", "40.1 mm"];
    let Run { code, out, err } = run(&opened);
    assert_eq!((code, err.as_str()), (0, ""));
    assert_data_eq!(out, file!["snapshots/gear-mesh.txt": Text].raw());
    let (_, rows) = json(&opened);
    assert_eq!(rows.len(), 3);
    let mesh = &rows[2];
    assert_eq!((&mesh["kind"], &mesh["teeth"]), (&"mesh".into(), &"20-60".into()));
    assert_eq!(
        (&mesh["ratio_exact"], &mesh["centres_mm_exact"]),
        (&"1/3".into(), &"401/10".into())
    );
    // 2 x 0.1 x tan 20°.
    assert_eq!(mesh["backlash_mm"], 0.072_794);
    assert!(mesh["pitch_mm"].is_null() && rows[0]["ratio"].is_null());
    // Every neighbour is a mesh.
    assert_eq!(json(&["gear", "20", "50", "80", "--pitch", "20 DP"]).1.len(), 5);
    assert_eq!(json(&["gear", "20", "--pitch", "20 DP"]).1.len(), 1);
}

#[test]
fn teeth_that_hardly_reach_each_other_are_a_no() {
    let at = |centres| run(&["gear", "20", "60", "--pitch", "module 1", "--centres", centres]);
    let (rough, apart) = (at("40.6 mm"), at("41.5 mm"));
    assert_eq!((rough.code, apart.code), (0, 1));
    assert!(rough.out.contains("under 1.2: it will run roughly"), "{}", rough.out);
    assert!(apart.out.contains("the drive is not continuous"), "{}", apart.out);
    let small = run(&["gear", "13", "17", "--pitch", "module 1"]).out;
    assert!(small.contains("13 of 20 degrees: undercut") && small.contains("13-17: the tips"));
    // 13 and 16 are both undercut, yet do not foul each other.
    assert!(!run(&["gear", "13", "16", "--pitch", "module 1"]).out.contains("13-16: the tips"));
}

#[test]
fn a_box_with_contradictions_is_a_no() {
    let Run { code, out, err } = of_box(TIN, &[]);
    assert_eq!((code, err.as_str()), (1, ""));
    assert_data_eq!(out, file!["snapshots/gear-box.txt": Text].raw());
    let csv = of_box(TIN, &["--format", "csv"]);
    assert_data_eq!(csv.out, file!["snapshots/gear-box.csv": Text].raw());
    let kinds: Vec<Value> =
        rows(&of_box(TIN, &["-f", "json"])).iter().map(|r| r["kind"].clone()).collect();
    let wanted = [
        "agrees",
        "agrees",
        "contradicts",
        "contradicts",
        "contradicts",
        "look alike",
        "look alike",
        "undercut",
    ];
    assert_eq!(kinds, wanted);
    let markdown = of_box(TIN, &["-f", "markdown"]).out;
    assert!(markdown.contains("| 45 | **contradicts** | module 1.25 | 59.7 |"), "{markdown}");
}

#[test]
fn a_box_that_agrees_is_a_yes() {
    let good = TIN.replace("59.7", "58.7").replace("90 mm", "81.2 mm").replace("64.1", "65");
    let run = of_box(&good, &[]);
    assert_eq!(run.code, 0, "{}", run.out);
    assert!(run.out.contains("Entries with a reading: 5; nothing contradicts."), "{}", run.out);
    // Nothing measured is no contradiction either, and says what to do.
    let none = run_in(fresh().path(), &["gear", "--gears", "20,30"]);
    assert!(none.code == 0 && none.out.contains("nothing is checked"), "{}", none.out);
}

#[test]
fn where_no_size_is_stated_the_reading_names_one() {
    let text = r#"{"format": 1, "name": "x", "gears": {"owned": [
        {"teeth": 40, "outside": "52.4 mm"}, {"teeth": 20, "outside": "19.8 mm"}, {"teeth": 21, "outside": "30 mm"}]}}"#;
    let run = of_box(text, &["-f", "json"]);
    let rows = rows(&run);
    let kinds: Vec<&str> = rows.iter().filter_map(|row| row["kind"].as_str()).collect();
    assert_eq!((run.code, kinds), (1, vec!["looks like", "looks like", "no size fits"]));
    assert_eq!((&rows[0]["tooth_size"], rows[0]["text"].is_null()), (&"module 1.25".into(), true));
    assert!(rows[1]["text"].as_str().unwrap().contains("module 0.9 or 28 DP"));
}

#[test]
fn the_gears_of_a_lathe_are_checked_and_a_demo_says_so() {
    let folder = fresh();
    let lathe = r#"{"format": 1, "screw_constant": "8 tpi", "gears": {"pitch": "module 1",
        "owned": [20, {"teeth": 40, "outside": "43 mm"}]}}"#;
    std::fs::write(folder.path().join("lathe.json"), lathe).unwrap();
    for args in [&["gear"][..], &["gear", "--lathe", "lathe.json"]] {
        let run = run_in(folder.path(), args);
        assert_eq!(run.code, 1, "{}{}", run.out, run.err);
        assert!(run.out.contains("contradicts"), "{}", run.out);
    }
    assert_eq!(run(&["gear"]).out.matches("demo lathe").count(), 1);
    assert!(run(&["gear", "-f", "csv"]).err.contains("demo lathe"));
}

fn gears(text: &str) -> GearSet {
    files::gear_set_of_text("box.json", text).unwrap().gears
}

/// What a caliper read makes no other kind of gear: two 40s are two of a kind, and the search is the
/// same.
#[test]
fn a_measurement_is_no_kind_of_gear() {
    let of = |owned: &str| {
        gears(&format!(
            r#"{{"format": 1, "name": "x", "gears": {{"pitch": "module 1", "owned": [{owned}]}}}}"#
        ))
    };
    let plain = of("20, 40, 40, 63, 80");
    let measured = of(
        r#"20, {"teeth": 40, "outside": "42 mm"}, {"teeth": 40, "outside": "41.9 mm"}, 63, {"teeth": 80, "outside": "82 mm"}"#,
    );
    assert_eq!(plain.loose(), measured.loose());
    assert_eq!((plain.measured().len(), measured.measured().len()), (0, 3));
    let screw = Lead::from_tpi("8".parse().unwrap()).unwrap();
    let found = [plain, measured].map(|set| {
        let lathe = Lathe::new(Parts::plain(set, screw)).unwrap();
        let search = Search::new(&lathe, Travel::Thread, Options::default()).unwrap();
        search.find(&Ask::new("1.25 mm".parse::<solver::Target>().unwrap().lead())).unwrap()
    });
    assert_eq!(format!("{:?}", found[0]), format!("{:?}", found[1]));
}
