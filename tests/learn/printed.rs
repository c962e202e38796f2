//! The chart that the program prints of a lathe, learned with that lathe's ratios blanked: the same
//! lathe comes back, and faults planted in the chart are named.

use crate::util::{Run, fresh, one_line, run, run_in};
use serde_json::{Value, json};
use trainwright::files::{self, LATHES};

fn demo(name: &str) -> Value {
    let text = LATHES.iter().find(|l| l.name == name).unwrap().text;
    serde_json::from_str(text).unwrap()
}

/// A demo lathe with K and every lever ratio unknown.
fn blanked(name: &str) -> String {
    let mut lathe = demo(name);
    lathe["headstock"]["ratio"] = json!("unknown");
    for lever in
        lathe.pointer_mut("/gearbox/levers").and_then(Value::as_array_mut).into_iter().flatten()
    {
        for (_, position) in lever["positions"].as_object_mut().unwrap() {
            match position {
                Value::Object(parts) => parts["ratio"] = json!("unknown"),
                ratio => *ratio = json!("unknown"),
            }
        }
    }
    lathe.to_string()
}

fn printed(name: &str) -> String {
    let Run { code, out, err } = run(&["check", "--print", "--lathe", name, "-f", "csv"]);
    assert_eq!((code, err.as_str()), (0, ""), "{name}");
    out
}

/// What `learn` says of a chart, and the file that it completes.
fn learned(name: &str, chart: &str) -> (Run, String) {
    let folder = fresh();
    let write = |file: &str, text: &str| std::fs::write(folder.path().join(file), text).unwrap();
    write("lathe.json", &blanked(name));
    write("chart.csv", chart);
    let run = run_in(folder.path(), &["learn", "chart.csv", "--complete", "done.json"]);
    let done = std::fs::read_to_string(folder.path().join("done.json"));
    (run, done.unwrap_or_default())
}

fn is_same(name: &str, done: &str) {
    // Through the same reader and writer: they keep keys in the order of the alphabet.
    let known = files::lathe_of_text(name, &demo(name).to_string()).unwrap().lathe;
    let learned = files::lathe_of_text("done.json", done).map_err(|e| e.to_string()).unwrap();
    assert_eq!(learned.lathe.parts(), known.parts(), "{name}");
}

#[test]
fn the_chart_of_each_demo_lathe_gives_its_ratios_back() {
    for (name, rows) in [("dinghy", 30), ("ketch", 30), ("tug", 80)] {
        let chart = printed(name);
        assert!(chart.lines().count() > rows, "{chart}");
        let (run, done) = learned(name, &chart);
        assert_eq!((run.code, run.err.as_str()), (0, ""), "{}", run.out);
        is_same(name, &done);
        // And it holds, on the lathe that it was printed for.
        let folder = fresh();
        std::fs::write(folder.path().join("chart.csv"), &chart).unwrap();
        let checked = run_in(folder.path(), &["check", "chart.csv", "--lathe", name]);
        assert_eq!(checked.code, 0, "{}", checked.out);
    }
}

/// Every allowed position of the levers stands in the chart, for threads and for feeds.
#[test]
fn no_position_of_the_levers_is_left_out() {
    let chart = printed("tug");
    for cone in 1..=6 {
        for range in ["I", "II", "III", "IV"] {
            for drive in ["lead screw", "feed rod"] {
                let levers = format!(",{cone},{range},{drive}");
                let there = chart.lines().any(|line| line.ends_with(&levers));
                // Cone 6 fouls the slide of range I.
                assert_eq!(there, (cone, range) != (6, "I"), "{levers}");
            }
        }
    }
}

/// Three faults at once: each row is named, and what would be right comes first.
fn faults_are_named(name: &str, faults: &[(&str, &str, &str)]) {
    let mut chart = printed(name);
    for (right, wrong, _) in faults {
        assert_eq!(chart.matches(right).count(), 1, "{right} in {chart}");
        chart = chart.replace(right, wrong);
    }
    let (run, done) = learned(name, &chart);
    // The lathe is known for all that; the chart is wrong.
    assert_eq!(run.code, 1, "{}", run.out);
    is_same(name, &done);
    let said = one_line(&run.out);
    assert!(said.contains(", 3 wrong. "), "{said}");
    for (_, _, words) in faults {
        assert!(said.contains(words), "{words} in {said}");
    }
}

#[test]
fn three_planted_faults_are_named() {
    faults_are_named(
        "dinghy",
        &[
            (
                "1.5 mm,48-64+63-80",
                "1.5 mm,48-60+63-80",
                "Likeliest: 64 in place of the 60: 48-64+63-80",
            ),
            ("\n28 tpi,", "\n29 tpi,", "Likeliest: the figure: this set-up cuts 28 tpi"),
            ("14 tpi,40-76-56", "14 tpi,40-60+80-56", "14 tpi by 40-60+80-56 cuts 10.5 tpi"),
        ],
    );
    faults_are_named(
        "ketch",
        &[
            ("1.25 mm,20-75-48", "1.25 mm,20-75-45", "Likeliest: 48 in place of the 45: 20-75-48"),
            ("\n11 tpi,", "\n17 tpi,", "Likeliest: the figure: this set-up cuts 11 tpi"),
            (
                "0.7 mm,20-75+70-80",
                "0.7 mm,20-75+65-80",
                "Likeliest: 70 in place of the 65: 20-75+70-80",
            ),
        ],
    );
    faults_are_named(
        "tug",
        &[
            (
                "20 tpi,30-70-60,,,3,II",
                "20 tpi,35-70-60,,,3,II",
                "Likeliest: 30 in place of the 35: 30-70-60",
            ),
            (
                "1.5 mm,60-127+120-60",
                "1.5 mm,60-127+100-60",
                "Likeliest: a 120 beside the 127, not a 100: 60-127+120-60",
            ),
            (
                "0.2400 mm/rev,",
                "0.2900 mm/rev,",
                "Likeliest: the figure: this set-up cuts 0.2400 mm/rev",
            ),
        ],
    );
}
