//! `check`: chart files of every kind, a verdict for each row, and the chart as it should be.

use crate::util::{Run, fresh, one_line, piped, run, run_in};
use serde_json::Value;
use snapbox::{assert_data_eq, file};
use solver::chart::ChartRow;
use trainwright::files;

fn rows(text: &str) -> Vec<ChartRow> {
    let levers = ["Range".to_owned(), "Feed rod".to_owned()];
    files::chart_of_text("chart", text, &levers).map_err(|e| e.to_string()).unwrap().rows
}

const PLAIN: &str = "\
thread,train,Range,starts,rounded,within,note
11 1/2 tpi,40-55+50-65,A,,,,
1.25 mm,25-*-20,A,2,,0.5%,\"said, twice\"
0.05 mm/rev,20-80+20-80,B,,,,
0.004 in/rev cross,20-80-60,B,,no,,
module 1,28-127+120-48,A,,,,
";

#[test]
fn a_chart_is_the_same_in_every_form() {
    let plain = rows(PLAIN);
    assert_eq!(plain.len(), 5);
    let gears: Vec<_> = plain.iter().filter_map(|row| row.gears.clone()).collect();
    assert_eq!(gears[1].train.to_string(), "25-20");
    assert!(gears[1].free_idler && !gears[3].free_idler);
    let same = [
        // A byte-order mark, Windows line ends, empty lines, a comment.
        format!("\u{feff}# from the cover\r\n\r\n{}\r\n", PLAIN.replace('\n', "\r\n")),
        // Tabs.
        PLAIN.replace("\"said, twice\"", "said").replace(',', "\t"),
        // Everything in quotes.
        PLAIN
            .lines()
            .map(|line| {
                let quoted: Vec<String> = line
                    .replace("\"said, twice\"", "said")
                    .split(',')
                    .map(|cell| format!("\"{cell}\""))
                    .collect();
                quoted.join(",") + "\n"
            })
            .collect(),
        // Semicolons, decimal commas, gears in columns of their own, names of the person's own.
        "# columns: Gewinde = tpi, Z1 = driving, Z2 = driven 1, Z3 = driver 1, Z4 = driven\n\
         # columns: Range = lever Range, mm=mm; rev = feed mm; quer = cross in; Modul = module\n\
         Gewinde;mm;rev;quer;Modul;Z1;Z2;Z3;Z4;Range;starts;within;rounded;note\n\
         11 1/2;;;;;40;55;50;65;A\n\
         ;1,25;;;;25;-;-;20;A;2;0,5%\n\
         ;;0,05;;;20;80;20;80;B\n\
         ;;;0,004;;20;80;;60;B;;;no;ein Zwischenrad\n\
         ;;;;1;28;127;120;48;A\n"
            .to_owned(),
        r#"{"format": 1, "rows": [
            {"thread": "11 1/2 tpi", "train": "40-55+50-65", "levers": {"Range": "A"}},
            {"thread": "1.25 mm", "train": "25-any-20", "levers": {"Range": "A"}, "starts": 2, "within": "5000ppm"},
            {"thread": "0.05 mm/rev", "train": "20/80 x 20/80", "levers": {"Range": "B"}},
            {"thread": "0.004 in/rev cross", "train": "20-80-60", "levers": {"Range": "B"}, "rounded": false},
            {"thread": "module 1", "train": "28-127+120-48", "levers": {"Range": "A"}}]}"#
            .to_owned(),
    ];
    for (i, text) in same.iter().enumerate() {
        assert_eq!(rows(text), plain, "form {i}");
    }
}

// The published tables as they are in their files, headers and all.
#[test]
fn columns_of_other_names_are_mapped() {
    let text = "# note: lead-screw constant 4\n# columns: thread_tpi = tpi, stud = driving, screw = driven\n\
                thread_tpi,stud,screw\n2,96,48\n23/2,24,69\n";
    let found = rows(text);
    assert_eq!(found[1].printed.to_string(), "23/2 tpi");
    let gears = found[1].gears.as_ref().unwrap();
    assert_eq!((gears.train.to_string().as_str(), gears.free_idler), ("24-69", true));
}

#[test]
fn lines_are_those_of_the_file() {
    let text = "# one\n\nthread,train\n\n8 tpi,40-40\n# two\n\"1.25 mm\",40-80+63-80\n";
    let chart = files::chart_of_text("c", text, &[]).map_err(|e| e.to_string()).unwrap();
    assert_eq!(chart.lines, [5, 7]);
    assert_eq!(chart.locate("rows[1].levers"), Some("c:7:1"));
    assert_eq!(chart.locate("headstock"), None);
}

fn dinghy(more: &[&str]) -> Run {
    run(&[&["check", "dinghy-chart", "--lathe", "dinghy"], more].concat())
}

#[test]
fn text_csv_json_and_markdown() {
    let Run { code, out, err } = dinghy(&[]);
    assert_eq!((code, err.as_str()), (1, ""));
    assert_data_eq!(out, file!["snapshots/check.txt": Text].raw());
    assert_data_eq!(dinghy(&["-f", "csv"]).out, file!["snapshots/check.csv": Text].raw());
    assert_data_eq!(dinghy(&["-f", "json"]).out, file!["snapshots/check.json": Text].raw());
    assert_data_eq!(dinghy(&["-f", "markdown"]).out, file!["snapshots/check.md": Text].raw());
}

/// A tooth count, a digit, and rows of another lathe: each is named in plain words.
#[test]
fn three_planted_faults_are_named() {
    let words = one_line(&dinghy(&[]).out);
    for said in [
        "14 tpi by 40-*-63 cuts 15.75 tpi, -11.1 %. Likeliest: 56 in place of the 63: 40-*-56",
        "27 tpi by 36-44+40-72 cuts 22 tpi, +22.7 %. Likeliest: the figure: this set-up cuts 22 tpi;",
        "4 rows are for another lathe (lines 20, 22, 24, 26): with a lead screw of 3 mm",
        "27 rows: 15 exact, 1 rounded, 5 near, 6 wrong.",
    ] {
        assert!(words.contains(said), "{said}\n{words}");
    }
}

/// What `--print` writes is a chart file, and every row of it holds.
#[test]
fn the_right_chart_is_a_chart_that_holds() {
    let folder = fresh();
    let file = folder.path().join("right.csv").display().to_string();
    let printed = dinghy(&["--print", "-o", &file]);
    assert_eq!((printed.code, printed.out.as_str()), (0, ""));
    let text = std::fs::read_to_string(&file).unwrap();
    assert!(text.contains("15.75 tpi,40-*-63") && text.contains("22 tpi,36-44+40-72"), "{text}");
    let again = run_in(folder.path(), &["check", &file, "--lathe", "dinghy", "-f", "json"]);
    assert_eq!(again.code, 0, "{}", again.out);
    let json: Value = serde_json::from_str(&again.out).unwrap();
    assert_eq!(json["counts"]["wrong"], Value::Null);
    assert_eq!(json["rows"].as_array().unwrap().len(), 27);
}

/// Levers, a row that can't be set, a feed rod, a figure that is not known, gears not owned.
const TUG: &str = "\
thread,train,Cone,Range,Drive
8 tpi,60-70-60,1,II,lead screw
9 tpi,60-70-60,2,II,
13 tpi,60-70-65,6,II,lead screw
6 tpi,60-70-60,6,I,lead screw
0.25 mm/rev,60-70-60,1,III,feed rod
1.75 mm,28-127+120-60,1,III,lead screw
";

fn tug(text: &str, more: &[&str]) -> Run {
    let folder = fresh();
    std::fs::write(folder.path().join("plate.csv"), text).unwrap();
    run_in(folder.path(), &[&["check", "plate.csv", "--lathe", "tug"], more].concat())
}

#[test]
fn a_gearbox_plate_is_judged_lever_by_lever() {
    let Run { code, out, .. } = tug(TUG, &["-f", "json"]);
    assert_eq!(code, 1);
    let json: Value = serde_json::from_str(&out).unwrap();
    let verdicts: Vec<&str> =
        json["rows"].as_array().unwrap().iter().map(|r| r["verdict"].as_str().unwrap()).collect();
    assert_eq!(verdicts, ["exact", "exact", "exact", "impossible", "wrong", "wrong"]);
    let missing = &json["rows"][5]["missing"];
    assert_eq!(missing[0], "the driving shaft takes one of 20 25 30 35 40 45 50 55 60, not the 28");
    assert_eq!(missing[1], "no 28 owned");
    assert_eq!(json["rows"][4]["should_print"], "0.30 mm/rev");
}

#[test]
fn a_lever_that_is_not_there_is_an_error_at_its_row() {
    let Run { code, out, err } = tug("thread,train,lever Speed\n8 tpi,60-70-60,1\n", &[]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert_eq!(
        err,
        "trainwright: plate.csv:2:1: the lathe has no lever Speed\ntry: levers: Cone, Range, Drive\n"
    );
    let Run { err, .. } = tug("thread,train,Cone\n8 tpi,60-70-60,1\n\n9 tpi,60-70-60,9\n", &[]);
    assert_eq!(
        err,
        "trainwright: plate.csv:4:1: lever Cone has no position 9\ntry: positions: 1, 2, 3, 4, 5, 6\n"
    );
}

#[test]
fn what_is_near_enough_can_be_said() {
    let chart = "thread,train\n1.25 mm,40-64+63-80\n";
    let code = |within: &str| {
        let folder = fresh();
        std::fs::write(folder.path().join("c.csv"), chart).unwrap();
        run_in(folder.path(), &["check", "c.csv", "--lathe", "dinghy", "--within", within]).code
    };
    // +125 ppm.
    assert_eq!((code("126ppm"), code("125ppm"), code("124ppm"), code("25%")), (0, 0, 1, 2));
}

#[test]
fn a_chart_comes_through_standard_input() {
    let folder = fresh();
    let done = piped(
        folder.path(),
        &["check", "-", "--lathe", "dinghy"],
        b"tpi;driving;driven\n16;40;64\n",
    );
    assert_eq!(done.code, 0, "{}", done.err);
    assert!(done.out.contains("1 row: 1 exact."), "{}", done.out);
}

#[test]
fn a_chart_that_is_no_file_too_large_or_too_long_is_refused() {
    let folder = fresh();
    let refused = |spec: &str| {
        let Run { code, out, err } = run_in(folder.path(), &["check", spec, "--lathe", "dinghy"]);
        assert_eq!((code, out.as_str()), (2, ""));
        err
    };
    assert_eq!(
        refused("dingy-chart"),
        "trainwright: dingy-chart: neither a file nor a built-in chart; did you mean `dinghy-chart`?\n"
    );
    assert!(refused("none.csv").starts_with("trainwright: none.csv: there is no such file"));
    std::fs::write(folder.path().join("large.csv"), vec![b' '; (16 << 20) + 1]).unwrap();
    assert_eq!(
        refused("large.csv"),
        "trainwright: large.csv: larger than 16 MiB; a chart has a row for each thread\n"
    );
    let long = "tpi,driving,driven\n".to_owned() + &"8,40,40\n".repeat(20_001);
    std::fs::write(folder.path().join("long.csv"), long).unwrap();
    assert_eq!(
        refused("long.csv"),
        "trainwright: long.csv:20002:1: rows of a chart: 20001 is outside 1 to 20000\n"
    );
}

#[test]
fn every_shipped_chart_is_read_and_keeps_to_its_form() {
    for chart in files::CHARTS {
        assert!(rows(chart.text).len() > 8, "{}", chart.name);
    }
    let schema = serde_json::to_value(files::schema(files::FileKind::Chart)).unwrap();
    let good = r#"{"format": 1, "rows": [{"thread": "8 tpi", "train": "40-*-40", "levers": {"Range": 3}}]}"#;
    let bad = r#"{"format": 1, "rows": [{"thread": "8 tpi", "gears": "40-40"}]}"#;
    let keeps = |text: &str| {
        jsonschema::validate(&schema, &serde_json::from_str::<Value>(text).unwrap()).is_ok()
    };
    assert!(keeps(good) && !keeps(bad));
    assert_eq!(rows(good).len(), 1);
}
