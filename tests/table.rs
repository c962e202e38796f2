//! The gear-swap table: what it says against an account of its own, every form of it, and a list that is
//! cut short.

mod wall;

use crate::util::{Run, fresh, interrupted, one_line, run, run_in};
use serde_json::Value;
use snapbox::{assert_data_eq, file};
use solver::{Ratio, Train};
use std::collections::BTreeSet;

/// Ten threads and a feed, as a week brings them.
const TEN: [&str; 11] =
    ["M3", "M4", "M5", "M6", "M8", "M10", "M12", "M16", "11 tpi", "1/4-20 UNC", "0.1 mm/rev"];

const LATHES: [&str; 3] = ["dinghy", "ketch", "tug"];
const PLANS: [&str; 5] = ["chart", "listed", "best", "fewest", "single"];

fn json(args: &[&str]) -> Value {
    let Run { code, out, err } = run(&[&["table"], args, &["--format", "json"]].concat());
    assert!(code < 2, "{err}");
    serde_json::from_str(&out).unwrap()
}

fn number(value: &Value) -> usize {
    usize::try_from(value.as_u64().expect("a number")).unwrap()
}

fn text(value: &Value) -> &str {
    value.as_str().expect("text")
}

fn all(value: &Value) -> &[Value] {
    value.as_array().expect("a list")
}

fn way<'v>(document: &'v Value, name: &str) -> &'v Value {
    all(&document["plans"]).iter().find(|plan| plan["way"] == name).expect("a way")
}

/// Each gear with its place, written down from the notation alone: shafts counted from the first, the
/// last by itself, and from the first plane outwards whether the mesh before it took another one.
fn places(train: &str) -> BTreeSet<(String, usize, bool)> {
    let shafts: Vec<Vec<usize>> = train
        .split('-')
        .map(|shaft| shaft.split('+').map(|teeth| teeth.parse().unwrap()).collect())
        .collect();
    let mut outer = false;
    let mut places = BTreeSet::new();
    for (at, shaft) in shafts.iter().enumerate() {
        let name = if at + 1 == shafts.len() { "last".to_string() } else { at.to_string() };
        for (i, teeth) in shaft.iter().enumerate() {
            outer ^= i > 0;
            places.insert((name.clone(), *teeth, outer));
        }
    }
    places
}

fn handled(from: &str, to: &str) -> usize {
    places(from).symmetric_difference(&places(to)).count()
}

/// The cost of each plan, added up from its lines by an account of its own; every line cuts what it
/// says, and its error lies within what was asked.
#[test]
fn the_account_of_gears_is_right() {
    for lathe in LATHES {
        for plan in PLANS {
            let document = json(&[&TEN[..], &["--lathe", lathe, "--plan", plan]].concat());
            let fitted = text(&document["fitted"]);
            let lines = all(&document["lines"]);
            assert_eq!(document["chosen"], plan);
            assert_eq!(
                lines.len() + all(&document["unreachable"]).len(),
                TEN.len() - usize::from(plan.is_empty())
            );
            let mut before = fitted.to_string();
            let mut sum = 0;
            for line in lines {
                let train = text(&line["train"]);
                let here = handled(&before, train);
                assert_eq!(here, number(&line["gears_moved"]), "{before} to {train}");
                let change = &line["change"];
                let moved = |key: &str| all(&change[key]).len();
                assert_eq!(moved("off") + moved("on") + 2 * moved("shifted"), here, "{change}");
                sum += here * if plan == "single" { 2 } else { 1 };
                before = if plan == "single" { fitted } else { train }.to_string();
                cuts_what_it_says(line);
            }
            if plan != "single" {
                sum += handled(&before, fitted);
            }
            assert_eq!(sum, number(&way(&document, plan)["gears_moved"]), "{lathe} {plan}");
        }
    }
}

fn is_near(line: &Value) -> bool {
    ["exact", "near enough"].contains(&text(&line["verdict"]))
}

fn cuts_what_it_says(line: &Value) {
    let ratio = |key: &str| text(line.pointer(key).unwrap()).parse::<Ratio>().unwrap();
    let (cut, asked, within) = (ratio("/lead_mm"), ratio("/target/lead_mm"), ratio("/within"));
    let apart = cut.apart(&asked).unwrap();
    let error =
        apart.map_or(Ratio::new(1, u128::from(u64::MAX)).unwrap(), |d| d.over(&asked).unwrap());
    assert_eq!(error <= within, is_near(line), "{line}");
    // Gears, as they stand in the notation, give the turns of the driven shaft.
    let train: Train = text(&line["train"]).parse().unwrap();
    let (mut up, mut down) = (1_u128, 1_u128);
    let shafts: Vec<Vec<u128>> = text(&line["train"])
        .split('-')
        .map(|shaft| shaft.split('+').map(|teeth| teeth.parse().unwrap()).collect())
        .collect();
    for pair in shafts.windows(2) {
        up *= pair[0].last().unwrap();
        down *= pair[1].first().unwrap();
    }
    assert_eq!(train.ratio(), Ratio::new(up, down).unwrap());
}

/// No plan of a kind costs more than the other ways through the same list; bounds lie below.
#[test]
fn planning_never_costs_gears() {
    for lathe in LATHES {
        for list in [&TEN[..], &["--common"], &["--series", "ba"]] {
            let document = json(&[list, &["--lathe", lathe, "--plan", "listed"]].concat());
            let cost = |name: &str| number(&way(&document, name)["gears_moved"]);
            assert!(cost("listed") <= cost("closest"), "{lathe} {list:?}");
            assert!(cost("best") <= cost("listed"), "{lathe} {list:?}");
            let trains = |name: &str| number(&way(&document, name)["trains"]);
            for plan in all(&document["plans"]) {
                assert!(trains("fewest") <= number(&plan["trains"]), "{lathe} {plan}");
                let reached =
                    if plan["way"] == "fewest" { &plan["trains"] } else { &plan["gears_moved"] };
                let least = plan["least"].is_u64().then(|| number(&plan["least"]));
                assert!(least.is_none_or(|least| least <= number(reached)), "{lathe} {plan}");
                assert_eq!(least.is_none(), plan["way"] == "closest", "{lathe} {plan}");
                if plan["proven"] == true {
                    assert_eq!(plan["least"], *reached, "{plan}");
                }
            }
        }
    }
}

/// A list of ten visibly saves handling, on each machine.
#[test]
fn ten_threads_save_gears() {
    for (lathe, at_least) in [("dinghy", 14), ("ketch", 12), ("tug", 6)] {
        let document = json(&[&TEN[..], &["--lathe", lathe, "--plan", "best"]].concat());
        let cost = |name: &str| number(&way(&document, name)["gears_moved"]);
        assert!(cost("closest") - cost("best") >= at_least, "{lathe}: {}", document["plans"]);
        assert_eq!(way(&document, "best")["proven"], true);
    }
}

/// The fitted train cuts a feed with three gear pairs, where two are asked for: it is taken.
#[test]
fn a_line_that_needs_a_longer_train_gets_one() {
    let document = json(&["0.1 mm/rev", "M10", "--lathe", "ketch", "--plan", "best"]);
    let feed = all(&document["lines"]).iter().find(|line| line["kind"] == "long feed").unwrap();
    assert_eq!(feed["train"], document["fitted"]);
    assert_eq!((number(&feed["gears_moved"]), &feed["error"]), (0, &Value::from("0")));
    let longer = |line: &Value| line["longer"] == true;
    assert_eq!(all(&document["lines"]).iter().filter(|line| longer(line)).count(), 1);
    assert!(longer(feed));
    let page = run(&["table", "0.1 mm/rev", "M10", "--lathe", "ketch", "--long"]).out;
    let words = one_line(&page);
    assert!(words.contains("of up to 2 gear pairs (3 for 0.1 mm/rev)"), "{page}");
}

#[test]
fn what_nothing_cuts_is_told_with_the_nearest() {
    // Two gears cut 4 mm only.
    let gears = ["--gears", "40x2", "--screw", "4mm", "--studs", "1"];
    let of = |list: &[&str]| run(&[&["table"], list, &gears].concat());
    let Run { code, out, .. } = of(&["4 mm", "M10"]);
    assert_eq!(code, 1);
    assert!(out.contains("1 of 2 lines near enough"), "{out}");
    assert!(out.contains("- 1.5 mm: the nearest is 40-40, +166.7 %."), "{out}");
    let nothing = of(&["M10"]);
    assert_eq!(nothing.code, 1);
    assert!(nothing.out.contains("0 of 1 line near enough"), "{}", nothing.out);
    assert!(!nothing.out.contains("Unplug"), "nothing is mounted: {}", nothing.out);
}

/// 0.4 mm is not near enough on the bench lathe: it is on the chart, marked, with its verdict, in every
/// form; its gears are counted.
#[test]
fn a_line_that_is_not_near_enough_is_on_the_chart_and_marked() {
    let list = ["M10", "0.4 mm", "M6"];
    let document = json(&list);
    let lines = all(&document["lines"]);
    let far: Vec<&str> = lines
        .iter()
        .filter(|line| !is_near(line))
        .map(|line| text(&line["target"]["text"]))
        .collect();
    assert_eq!((lines.len(), far), (3, vec!["0.4 mm"]));
    let far = lines.iter().find(|line| !is_near(line)).unwrap();
    let verdict = "not near enough (over 200 ppm)";
    assert_eq!((text(&far["verdict"]), number(&far["gears_moved"])), ("too far", 6));
    assert_eq!((text(&far["within"]), text(&far["allowed_by"])), ("1/5000", "without class"));
    assert_eq!((text(&lines[0]["allowed_by"]), text(&lines[0]["class"])), ("class", "6g"));
    assert_eq!((all(&document["unreachable"]).len(), &document["complete"]), (0, &true.into()));
    let chart = way(&document, "chart");
    let sum: usize = lines.iter().map(|line| number(&line["gears_moved"])).sum();
    let back = ["off", "on"].map(|key| all(&document["back"][key]).len());
    assert_eq!(number(&chart["gears_moved"]), sum + back[0] + back[1]);
    assert_eq!(chart["proven"], true);
    for format in ["text", "markdown", "html", "svg", "csv"] {
        let Run { code, out, .. } = run(&[&["table"], &list[..], &["-f", format]].concat());
        assert_eq!(code, 1, "{format}");
        let said = if format == "csv" { ",too far," } else { verdict };
        assert!(one_line(&out).contains(said) || format == "svg", "{format}: {out}");
        assert!(out.contains("+2632 ppm !") || format == "csv", "{format}: {out}");
        assert_eq!(out.matches("+125 ppm").count(), 2 * usize::from(format != "csv"), "{format}");
    }
    let page = one_line(&run(&[&["table"], &list[..]].concat()).out);
    assert!(page.contains("2 of 3 lines near enough"), "{page}");
    assert!(page.contains("for lines with ! over the 10 nearest"), "{page}");
    let brief = run(&[&["table"], &list[..], &["-q"]].concat()).out;
    assert_eq!(brief.lines().last(), Some("0.4 mm: 24-76+40-80, +2632 ppm !"));
}

#[test]
fn every_form_is_as_it_was() {
    let of = |format: &str| {
        let args = [&["table"], &TEN[..], &["--plan", "best", "--lathe", "ketch", "-f", format]];
        let Run { code, out, err } = run(&args.concat());
        assert_eq!((code, err.as_str()), (0, ""));
        out
    };
    assert_data_eq!(of("text"), file!["snapshots/table.txt": Text].raw());
    assert_data_eq!(of("csv"), file!["snapshots/table.csv": Text].raw());
    assert_data_eq!(of("json"), file!["snapshots/table.json": Text].raw());
    assert_data_eq!(of("markdown"), file!["snapshots/table.md": Text].raw());
    assert_data_eq!(of("svg"), file!["snapshots/table.svg": Text].raw());
    assert_data_eq!(of("html"), file!["snapshots/table.html": Text].raw());
    let common = run(&["table", "--common", "--lathe", "tug"]);
    assert_data_eq!(common.out, file!["snapshots/table-common.txt": Text].raw());
}

#[test]
fn json_keeps_to_its_published_schema() {
    let schema = run(&["schema", "table"]).out;
    let schema: Value = serde_json::from_str(&schema).unwrap();
    for args in [&["--common"][..], &["M10", "0.4 mm", "--plan", "single"], &["module 1", "0.4 mm"]]
    {
        let document = json(args);
        jsonschema::validate(&schema, &document).unwrap();
        let mut broken = document;
        broken["plans"][0]["gears_moved"] = "many".into();
        assert!(jsonschema::validate(&schema, &broken).is_err());
    }
}

/// Words, series with both ways of saying a range, a file, the everyday list: one list, each lead once.
#[test]
fn lists_come_from_words_series_and_files() {
    let leads = |args: &[&str]| -> Vec<String> {
        let document = json(&[args, &["--plan", "listed", "--within", "20%"]].concat());
        let lines = all(&document["lines"]).iter().chain(all(&document["unreachable"]));
        lines.map(|line| text(&line["target"]["text"]).to_string()).collect()
    };
    assert_eq!(
        leads(&["--series", "metric-coarse:M3..M5"]),
        ["0.5 mm", "0.6 mm", "0.7 mm", "0.75 mm", "0.8 mm"]
    );
    assert_eq!(
        leads(&["--series", "metric-coarse", "--from", "M3", "--to", "M5"]),
        leads(&["--series", "metric-coarse:3mm..5mm"])
    );
    assert_eq!(leads(&["--series", "ba:0BA..2BA"]), leads(&["--series", "ba:2BA..0BA"]));
    let folder = fresh();
    std::fs::write(folder.path().join("week.txt"), "# this week\nM10, 0.01%\n\n11 1/2 tpi\n")
        .unwrap();
    let args =
        ["table", "M11", "--list", "week.txt", "--lathe", "tug", "-f", "json", "--plan", "listed"];
    let listed: Value = serde_json::from_str(&run_in(folder.path(), &args).out).unwrap();
    let first = &listed["lines"][0];
    // M10 and M11 have one pitch: one line, with the closer tolerance of both.
    assert_eq!((text(&first["target"]["text"]), text(&first["within"])), ("1.5 mm", "1/10000"));
    assert_eq!(first["names"], serde_json::json!(["M11", "M10"]));
    let common = leads(&["--common"]);
    for thread in ["1.5 mm", "20 tpi", "11 tpi", "0.1 mm/rev"] {
        assert!(common.contains(&thread.to_string()), "{thread}");
    }
}

#[test]
fn a_line_of_a_list_that_is_wrong_is_named_with_its_place() {
    let folder = fresh();
    for (text, words) in [
        ("M10, 1%\nM99\n", "week.txt:2:1: target `M99`"),
        ("# no\n\n  M10, 1 percent\n", "week.txt:3:3: tolerance `1 percent`"),
        ("M10, 1%, x\n", "week.txt:1:1: 3 cells"),
        ("", "week.txt: no targets"),
    ] {
        std::fs::write(folder.path().join("week.txt"), text).unwrap();
        let Run { code, out, err } = run_in(folder.path(), &["table", "--list", "week.txt"]);
        assert_eq!((code, out.as_str()), (2, ""), "{text}");
        assert!(err.contains(words), "{err}");
    }
}

/// The first Ctrl-C ends the search: the best so far, marked as such, and 130.
#[cfg(target_os = "linux")]
#[test]
fn ctrl_c_gives_the_best_so_far() {
    // Forty lines on sixty gears by up to three pairs: minutes, if nobody stops it.
    let gears: Vec<String> = (20..=80).map(|teeth: u32| teeth.to_string()).collect();
    let gears = gears.join(",");
    let args = [
        "table",
        "--series",
        "metric-fine",
        "--series",
        "un",
        "--gears",
        &gears,
        "--screw",
        "8tpi",
        "--studs",
        "2",
        "--pairs",
        "3",
        "--within",
        "1%",
        "-f",
        "json",
    ];
    let Run { code, out, err } = interrupted(&args);
    assert_eq!(code, 130);
    assert!(err.contains("the best so far follows"), "{err}");
    let document: Value = serde_json::from_str(&out).expect("whole JSON");
    assert_eq!(document["complete"], false);
    // Ended while the list was searched: nothing is proven over all, and it says why.
    assert!(document["plans"].as_array().expect("plans").iter().all(|p| p["least"].is_null()));
    let left_out = document["left_out"].as_array().expect("sentences");
    assert!(left_out.iter().any(|l| l.as_str().is_some_and(|l| l.starts_with("Ctrl-C"))));
}

/// Of more set-ups than are held a bound was said to be "proven over all".
#[test]
fn a_list_that_was_cut_has_no_bound() {
    let owned: Vec<String> = (20..66).map(|z| z.to_string()).collect();
    let args = ["table", "1 mm", "--gears", &owned.join(","), "--screw", "3mm", "--studs", "2"];
    let wide = ["--within", "30%", "--plan", "fewest", "--no-fit", "--format"];
    let of = |form: &str| run(&[&args[..], &wide, &[form]].concat()).out;
    let document: Value = serde_json::from_str(&of("json")).expect("JSON");
    assert_eq!(document["complete"], false);
    let left_out = document["left_out"][0].as_str().expect("a sentence");
    assert!(left_out.contains("the closest 50,000 for 1 mm"), "{left_out}");
    for plan in document["plans"].as_array().expect("plans") {
        assert_eq!((&plan["least"], &plan["proven"]), (&Value::Null, &false.into()), "{plan}");
    }
    let page = of("text").split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(page.contains(&format!("No bound is known: {left_out}.")), "{page}");
    assert!(!page.contains("no plan does with less") && !page.contains("proven"), "{page}");
}

/// The same bytes by one thread or several.
#[test]
fn a_plan_does_not_depend_on_threads() {
    let of = |threads: &str| {
        crate::util::run_with(
            &[("RAYON_NUM_THREADS", threads)],
            &["table", "--common", "--plan", "best"],
        )
        .out
    };
    assert_eq!(of("1"), of("8"));
}
