//! Every form of the answer: snapshots, the schema, bad input, and files written whole or not at all.

use super::{PLAIN, document, many_levers, reach};
use crate::util::{fresh, names, run, run_in};
use serde_json::Value;
use snapbox::{assert_data_eq, file};

const NARROW: [&str; 6] = ["--from", "1 mm", "--to", "1.01 mm", "--lathe", "ketch"];

#[test]
fn text_for_the_bench() {
    let printed = reach(&["--lathe", "dinghy", "--count", "6"]);
    assert_data_eq!(printed.out, file!["../snapshots/reach.txt": Text].raw());
    let printed = reach(&["--lathe", "tug", "--standard", "--count", "6", "--sort", "error"]);
    assert_data_eq!(printed.out, file!["../snapshots/reach-standard.txt": Text].raw());
}

#[test]
fn the_other_forms() {
    let form = |format| reach(&[&NARROW[..], &["-f", format]].concat()).out;
    assert_data_eq!(form("csv"), file!["../snapshots/reach.csv": Text].raw());
    assert_data_eq!(form("json"), file!["../snapshots/reach.json": Text].raw());
    let feeds = ["--feeds", "--from", "0.2 mm", "--to", "0.21 mm", "--lathe", "tug", "-f", "md"];
    assert_data_eq!(reach(&feeds).out, file!["../snapshots/reach-feeds.md": Text].raw());
}

#[test]
fn json_keeps_to_its_published_schema() {
    let schema = run(&["schema", "reach"]).out;
    assert_eq!(schema, include_str!("../../gearsets/reach.schema.json"));
    let schema: Value = serde_json::from_str(&schema).unwrap();
    let asked: [&[&str]; 4] = [
        &NARROW,
        &["--lathe", "dinghy", "--standard", "--sort", "error"],
        &["--lathe", "tug", "--cross", "--sort", "gears", "--count", "3"],
        &["--gears", "20,30,50", "--screw", "3mm", "--from", "module 1"],
    ];
    for args in asked {
        let mut found = document(args);
        jsonschema::validate(&schema, &found).unwrap();
        found["leads"][0]["surprise"] = 1.into();
        assert!(jsonschema::validate(&schema, &found).is_err());
    }
}

#[test]
fn csv_and_json_hold_the_same_rows() {
    for lathe in ["dinghy", "ketch", "tug"] {
        let args = ["--lathe", lathe, "--from", "2 mm", "--to", "2.5 mm"];
        let csv = reach(&[&args[..], &["-f", "csv"]].concat()).out;
        let mut reader = ::csv::Reader::from_reader(csv.as_bytes());
        let rows: Vec<::csv::StringRecord> = reader.records().collect::<Result<_, _>>().unwrap();
        let found = document(&args);
        let leads = found["leads"].as_array().unwrap();
        assert_eq!(rows.len(), leads.len());
        assert!(rows.len() > 40, "{lathe}: {} rows", rows.len());
        for (row, lead) in rows.iter().zip(leads) {
            assert_eq!(row.get(1), lead["lead_mm"].as_str());
            assert_eq!(row.get(4), lead["train"].as_str());
            assert_eq!(row.get(12), lead["fit"]["state"].as_str());
            assert_eq!(row.get(13), lead["below"]["thread"].as_str());
            let ppm: f64 = row[16].parse().unwrap();
            assert!((ppm - lead["above"]["error_ppm"].as_f64().unwrap()).abs() < 1e-6);
        }
    }
}

#[test]
fn every_demo_lathe_answers_in_every_form() {
    let folder = fresh();
    for lathe in ["dinghy", "ketch", "tug"] {
        for (ending, start) in [
            ("txt", "Lathe: "),
            ("md", "Lathe: "),
            ("csv", "lead_mm_rounded,"),
            ("json", "{\n  \"format\": 1,"),
            ("html", "<!DOCTYPE html>"),
            ("svg", "<?xml"),
        ] {
            let name = format!("{lathe}.{ending}");
            let args = ["reach", "--from", "M4", "--to", "M6", "--lathe", lathe, "-o", &name];
            let printed = run_in(folder.path(), &args);
            assert_eq!((printed.code, printed.out.as_str()), (0, ""), "{name}: {}", printed.err);
            let text = std::fs::read_to_string(folder.path().join(&name)).unwrap();
            assert!(text.starts_with(start), "{name}: {}", &text[..60]);
            let again = run_in(folder.path(), &args);
            assert_eq!(again.code, 2, "{name} exists: {}", again.err);
        }
    }
    assert_eq!(names(folder.path()).len(), 18);
}

#[test]
fn a_page_says_how_many_rows_it_leaves_out() {
    let all = document(&PLAIN)["leads"].as_array().unwrap().len();
    let page = |count: usize| reach(&[&PLAIN[..], &["--count", &count.to_string()]].concat()).out;
    let (usual, all_but_one, whole) = (reach(&PLAIN).out, page(all - 1), page(all));
    assert!(usual.contains(&format!("{} more: --count N", all - 5)), "{usual}");
    assert!(all_but_one.contains("1 more: --count N"), "{all_but_one}");
    assert!(!whole.contains(" more: "), "{whole}");
}

#[test]
fn html_has_the_picture_inside() {
    let html = reach(&["--lathe", "dinghy", "--long", "-f", "html"]).out;
    assert_eq!(html.matches("<svg").count(), 1);
    assert!(
        html.find("leads in reach").unwrap() < html.find("Standard pitches by series").unwrap()
    );
}

#[test]
fn what_can_not_be_used_is_refused_by_name() {
    let cases: [(&[&str], &str); 16] = [
        (&["--from", "0.5"], "--from `0.5`: `0.5` has no unit"),
        (&["--to", "M99"], "--to `M99`: `M99` is not a size"),
        (&["--from", "6 mm", "--to", "3 mm"], "--from `6 mm` --to `3 mm`: no lead lies between"),
        (&["--from", "0.1 mm/rev"], "--from `0.1 mm/rev`: is a longitudinal feed"),
        (&["--feeds", "--to", "0.1 mm/rev cross"], "is a feed of the cross slide"),
        (&["--from", "M6 LH"], "--from `M6 LH`: a hand is said once"),
        (&["--pairs", "5"], "--pairs `5`: gear pairs are 1 to 4"),
        (&["--pairs", "two"], "--pairs `two`: a whole number"),
        (&["--count", "0"], "--count `0`: answers are 1 to 10000"),
        (&["--within", "5"], "--within `5`: a tolerance is given in ppm or %"),
        (&["--feeds", "--standard"], "'--feeds' cannot be used with '--standard'"),
        (&["--feeds", "--cross"], "'--feeds' cannot be used with '--cross'"),
        (&["--cross", "--hand", "left"], "'--cross' cannot be used with '--hand <HAND>'"),
        (&["--feeds", "--sort", "error"], "--sort error: there are no standard feeds"),
        (&["--sort", "size"], "'size' for '--sort <BY>'"),
        (&["--gears", "20,30"], "--gears: which lead screw"),
    ];
    for (args, words) in cases {
        let printed = reach(args);
        assert_eq!((printed.code, printed.out.as_str()), (2, ""), "{args:?}");
        assert!(printed.err.contains(words), "{}", printed.err);
    }
}

/// A hundred thousand rows are sorted, more are not; the file that was asked for is not begun.
#[test]
fn too_many_leads_are_not_sorted() {
    let folder = fresh();
    std::fs::write(folder.path().join("lathe.json"), many_levers(400)).unwrap();
    let sorted = |more: &[&str]| {
        let args = ["reach", "--pairs", "1", "--no-fit", "--sort", "gears", "-o", "rows.csv"];
        run_in(folder.path(), &[&args[..], more].concat())
    };
    let refused = sorted(&[]);
    assert_eq!(refused.code, 2, "{}", refused.err);
    assert!(
        refused.err.contains("--sort: more than 100,000 leads can't be sorted"),
        "{}",
        refused.err
    );
    // The same where a document was begun.
    assert_eq!(sorted(&["-f", "json"]), refused);
    assert_eq!(names(folder.path()), ["lathe.json"]);
    let few = sorted(&["--count", "10"]);
    assert_eq!(few.code, 0, "{}", few.err);
    let rows = std::fs::read_to_string(folder.path().join("rows.csv")).unwrap();
    assert_eq!(rows.lines().count(), 11);
}
