//! `learn` as it is typed: demo lathes with their figures blanked come back, a chart of two machines
//! is settled by a measurement, nothing is written that is not decided.

use crate::util::{Run, fresh, names, one_line, run, run_in};
use snapbox::{assert_data_eq, file};
use solver::{Lathe, Travel};
use std::fmt::Write as _;
use trainwright::files::{self, LATHES};

#[test]
fn two_machines_in_text_json_and_csv() {
    let open = run(&["learn", "skiff-chart"]);
    assert_eq!((open.code, open.err.as_str()), (1, ""));
    assert_data_eq!(open.out, file!["../snapshots/learn-open.txt": Text].raw());
    let cut = "10 threads in 25.4 mm with 40-40";
    let settled = run(&["learn", "skiff-chart", "--measured", cut]);
    assert_data_eq!(settled.out, file!["../snapshots/learn.txt": Text].raw());
    let csv = run(&["learn", "skiff-chart", "--measured", cut, "-f", "csv"]);
    assert_data_eq!(csv.out, file!["../snapshots/learn.csv": Text].raw());
    let json = run(&["learn", "skiff-chart", "--measured", cut, "-f", "json"]);
    assert_data_eq!(json.out, file!["../snapshots/learn.json": Text].raw());
    // Decided, but rows are wrong.
    assert_eq!((settled.code, csv.code, json.code), (1, 1, 1));
}

/// A lathe file with some of its figures blanked; the rest stays in its order.
fn blanked(text: &str, places: &[(&str, &str)]) -> String {
    let mut text = text.to_owned();
    for (from, to) in places {
        assert_eq!(text.matches(from).count(), 1, "{from}");
        text = text.replace(from, to);
    }
    text
}

/// The chart that a lathe should have: every lever position with equal or fitted gears, and some
/// trains of its box; threads exactly, feeds to four digits.
fn plate(lathe: &Lathe, trains: &[&str]) -> String {
    let levers: Vec<&str> = lathe.parts().gearbox.levers.iter().map(|l| l.name.as_str()).collect();
    let mut text = String::from("thread,train");
    for lever in &levers {
        write!(text, ",{lever}").unwrap();
    }
    text.push('\n');
    for travel in [Travel::Thread, Travel::LongFeed, Travel::CrossFeed] {
        let Ok(settings) = lathe.settings(travel) else { continue };
        for setting in settings.list {
            for train in trains {
                let cut = setting.constant.times(&train.parse::<solver::Train>().unwrap().ratio());
                let mm = cut.unwrap().mm();
                let printed = match travel {
                    Travel::Thread => format!("{mm} mm"),
                    Travel::LongFeed => format!("{:.4} mm/rev", mm.to_f64()),
                    Travel::CrossFeed => format!("{:.4} mm/rev cross", mm.to_f64()),
                };
                write!(text, "{printed},{train}").unwrap();
                for (_, position) in lathe.lever_names(&setting) {
                    write!(text, ",{position}").unwrap();
                }
                text.push('\n');
            }
        }
    }
    text
}

/// A demo lathe with some figures blanked is learned back, file and all.
fn comes_back(name: &str, blanks: &[(&str, &str)], trains: &[&str]) {
    let shipped = LATHES.iter().find(|l| l.name == name).unwrap();
    let known = files::lathe(name).unwrap().lathe;
    let folder = fresh();
    let write = |file: &str, text: &str| std::fs::write(folder.path().join(file), text).unwrap();
    write("lathe.json", &blanked(shipped.text, blanks));
    write("chart.csv", &plate(&known, trains));
    let Run { code, out, err } =
        run_in(folder.path(), &["learn", "chart.csv", "--complete", "done.json"]);
    assert_eq!((code, err.as_str()), (0, ""), "{out}");
    let done = std::fs::read_to_string(folder.path().join("done.json")).unwrap();
    let learned = files::lathe_of_text("done.json", &done).map_err(|e| e.to_string()).unwrap();
    assert_eq!(learned.lathe.parts(), known.parts(), "{name} with {blanks:?}");
}

#[test]
fn demo_lathes_with_their_figures_blanked_come_back() {
    let screw = |lead: &'static str| (lead, r#""lead": "unknown""#);
    let k = (r#""ratio": "1","#, r#""ratio": "unknown","#);
    let dinghy = ["40-40", "40-64+63-80", "24-60", "24-76+24-80", "36-64"];
    comes_back("dinghy", &[screw(r#""lead": "10 tpi""#)], &dinghy);
    comes_back("dinghy", &[(r#""ratio": "1""#, r#""ratio": "unknown""#)], &dinghy);
    let ketch = ["40-40", "20-50", "24-66", "127-80", "20-75+20-80"];
    comes_back("ketch", &[screw(r#""lead": "3 mm""#)], &ketch);
    comes_back("ketch", &[k], &ketch);
    let tug = ["60-70-60", "30-60", "50-127+120-60"];
    let cone = [
        (
            r#""1": "1", "2": "24/27", "3": "24/30","#,
            r#""1": "unknown", "2": "unknown", "3": "unknown","#,
        ),
        (
            r#""4": "24/33", "5": "24/36", "6": "24/36""#,
            r#""4": "unknown", "5": "unknown", "6": "unknown""#,
        ),
    ];
    let range = (
        r#"{"I": "1", "II": "1/2", "III": "1/4", "IV": "1/8"}"#,
        r#"{"I": "unknown", "II": "unknown", "III": "unknown", "IV": "unknown"}"#,
    );
    comes_back("tug", &[cone[0], cone[1], range], &tug);
    comes_back(
        "tug",
        &[screw(r#""lead": "1/4 in""#), (r#""III": "1/4""#, r#""III": "unknown""#)],
        &tug,
    );
    let tug_k = (
        r#""ratio": "1",
    "turns""#,
        r#""ratio": "unknown",
    "turns""#,
    );
    comes_back("tug", &[tug_k, (r#""5": "24/36""#, r#""5": "unknown""#)], &tug);
}

/// Screw and headstock both unknown: the file gets their product, and says nothing else of them.
#[test]
fn the_screw_constant_stands_in_place_of_both() {
    let shipped = LATHES.iter().find(|l| l.name == "dinghy").unwrap();
    let both = [
        (r#""lead": "10 tpi""#, r#""lead": "unknown""#),
        (r#""ratio": "1""#, r#""ratio": "unknown""#),
    ];
    let folder = fresh();
    std::fs::write(folder.path().join("lathe.json"), blanked(shipped.text, &both)).unwrap();
    let known = files::lathe("dinghy").unwrap().lathe;
    let chart = plate(&known, &["40-40", "24-60", "36-64"]);
    let threads: Vec<&str> = chart.lines().filter(|line| !line.contains("rev")).collect();
    std::fs::write(folder.path().join("chart.csv"), threads.join("\n")).unwrap();
    let Run { code, out, .. } =
        run_in(folder.path(), &["learn", "chart.csv", "--complete", "done.json"]);
    assert_eq!(code, 0, "{out}");
    let done = std::fs::read_to_string(folder.path().join("done.json")).unwrap();
    assert!(done.contains(r#""screw_constant": "10 tpi""#), "{done}");
    let headstock: serde_json::Value = serde_json::from_str(&done).unwrap();
    assert_eq!(headstock["headstock"]["ratio"], serde_json::Value::Null);
    assert_eq!(headstock["headstock"]["turns"], "same");
}

/// Feeds that the file does not give are learned too.
#[test]
fn feed_figures_are_learned() {
    let text = LATHES.iter().find(|l| l.name == "tug").unwrap().text;
    let without = text.replace("\"feeds\": {\"long\": \"2.4 mm\", \"cross\": \"1.2 mm\"},", "");
    assert_ne!(text, without);
    let folder = fresh();
    std::fs::write(folder.path().join("lathe.json"), without).unwrap();
    let known = files::lathe("tug").unwrap().lathe;
    let chart = plate(&known, &["60-70-60", "30-60", "50-127+120-60"]);
    std::fs::write(folder.path().join("chart.csv"), chart).unwrap();
    let Run { code, out, .. } =
        run_in(folder.path(), &["learn", "chart.csv", "--complete", "done.json"]);
    assert_eq!(code, 0, "{out}");
    assert!(out.contains("cross feed  1.2 mm (~0.0472441 in)"), "{out}");
    let done = std::fs::read_to_string(folder.path().join("done.json")).unwrap();
    let learned = files::lathe_of_text("done.json", &done).map_err(|e| e.to_string()).unwrap();
    assert_eq!(learned.lathe.parts(), known.parts());
}

/// Of nobody's lathe a file is made that can be searched with.
#[test]
fn a_lathe_that_has_no_file_gets_one() {
    let folder = fresh();
    let cut = "10 threads in 25.4 mm with 40-40";
    let args = ["learn", "skiff-chart", "--measured", cut, "--complete", "lathe.json"];
    assert_eq!(run_in(folder.path(), &args).code, 1);
    let shown = run_in(folder.path(), &["lathe", "show"]);
    assert!(shown.out.contains("10 TPI"), "{}", shown.out);
    let found = run_in(folder.path(), &["find", "20 tpi", "-f", "csv"]);
    assert_eq!(found.code, 0, "{}", found.err);
    // It is there now, and stays as it is.
    let again = run_in(folder.path(), &args);
    assert_eq!((again.code, again.out.as_str()), (2, ""));
    assert!(again.err.contains("lathe.json exists and was left as it is"), "{}", again.err);
}

#[test]
fn what_is_not_decided_is_not_written() {
    let folder = fresh();
    let args = ["learn", "skiff-chart", "--complete", "lathe.json", "-f", "csv"];
    let Run { code, err, .. } = run_in(folder.path(), &args);
    assert_eq!(code, 1);
    assert_eq!(err, "No lathe file is written: nothing is decided.\n");
    assert!(names(folder.path()).is_empty());
}

#[test]
fn a_measurement_that_contradicts_the_chart_is_named() {
    let Run { code, out, .. } =
        run(&["learn", "skiff-chart", "--measured", "10 pitches = 30 +- 0.2 mm with 40-40"]);
    assert_eq!(code, 1);
    assert!(out.contains("Not decided"), "{out}");
    let Run { code, err, .. } = run(&["learn", "skiff-chart", "--measured", "10 pitches = 30 mm"]);
    assert_eq!(code, 2);
    assert_eq!(
        err,
        "trainwright: --measured `10 pitches = 30 mm`: which gears were on the machine?\n\
         try: 10 pitches = 30 mm with 40-40\n"
    );
}

// 10 TPI counted, headstock closed: ten pitches of equal gears measured as 12.6 mm are K = 1/2, and 50
// must be 63.5 mm.
#[test]
fn a_lost_chart_is_learned_from_one_cut() {
    let folder = fresh();
    let lathe = r#"{"format": 1, "name": "Dory", "lead_screw": {"lead": "10 tpi"}, "headstock": {"ratio": "unknown"},
        "gears": {"owned": [24, 28, 32, 36, 40, 40, 44, 48, 52, 56, 60, 64, 72, 80]}}"#;
    std::fs::write(folder.path().join("lathe.json"), lathe).unwrap();
    let cut = "10 pitches = 12.6 +- 0.2 mm with 40-40";
    let Run { code, out, .. } =
        run_in(folder.path(), &["learn", "--measured", cut, "--complete", "dory.json"]);
    assert_eq!(code, 0, "{out}");
    let words = one_line(&out);
    assert!(words.contains("1/2 turns of the driving gear for one of the spindle"), "{out}");
    assert!(words.contains("between ~0.488189 and ~0.503937"), "{out}");
    assert!(words.contains("measure 50 pitches: 63.5 mm if it is as learned"), "{out}");
    let done = std::fs::read_to_string(folder.path().join("dory.json")).unwrap();
    assert!(done.contains(r#""headstock": {"ratio": "1/2"}"#), "{done}");
}

#[test]
fn json_keeps_to_its_published_schema() {
    let schema =
        |name| serde_json::from_str::<serde_json::Value>(&run(&["schema", name]).out).unwrap();
    for (name, args) in [
        ("learn", &["learn", "skiff-chart", "-f", "json"][..]),
        ("check", &["check", "dinghy-chart", "--lathe", "dinghy", "-f", "json"]),
    ] {
        let written: serde_json::Value = serde_json::from_str(&run(args).out).unwrap();
        jsonschema::validate(&schema(name), &written).unwrap();
        let mut broken = written;
        broken.as_object_mut().unwrap().remove("lathe");
        assert!(jsonschema::validate(&schema(name), &broken).is_err());
    }
}
