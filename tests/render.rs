//! Does one answer say the same in every form, and does the JSON keep to what is published?

use crate::util::{Run, fresh, run, run_in};
use num_bigint::BigInt;
use num_rational::BigRational;
use serde::Deserialize;
use snapbox::{assert_data_eq, file};
use std::collections::BTreeMap;

/// A question with a lever gearbox, a tumbler, a fitted set-up, two targets of which one has pi,
/// and nothing of the demo lathes in it.
const LATHE: &str = r#"{
  "format": 1, "name": "Test | lathe <b>",
  "lead_screw": {"lead": "8 tpi"},
  "headstock": {"ratio": "1", "turns": "same", "tumbler": {"up": "same", "down": "opposite"}},
  "gears": {"pitch": "module 1", "owned": [20, 25, 30, 40, 45, 50, 60, 65, 127]},
  "studs": 1,
  "fitted": {"train": "20-65-60", "levers": {"Range": "A"}},
  "gearbox": {"levers": [{"name": "Range", "positions": {"A": "1", "B": "1/2"}}]},
  "feeds": {"long": "0.4 mm", "cross": "0.2 mm"}
}"#;

fn answer(words: &[&str]) -> Run {
    let folder = fresh();
    std::fs::write(folder.path().join("test.json"), LATHE).unwrap();
    let args = [words, &["--lathe", "test.json"]].concat();
    run_in(folder.path(), &args)
}

/// What the tests of forms ask; the gears cut a worm of module 1.5 to within 0.2 %.
const TARGETS: [&str; 6] = ["find", "1.25 mm", "module 1.5", "0.1 mm/rev cross", "-n", "3"];

fn find_with(more: &[&str]) -> String {
    let Run { code, out, err } = answer(&[&TARGETS, more].concat());
    assert_eq!((code, err.as_str()), (0, ""));
    out
}

/// With all lists.
fn find(form: &str) -> String {
    find_with(&["--long", "--format", form])
}

#[test]
fn text() {
    assert_data_eq!(find_with(&[]), file!["snapshots/find.txt": Text].raw());
    assert_data_eq!(find("text"), file!["snapshots/find-long.txt": Text].raw());
}

#[test]
fn csv() {
    assert_data_eq!(find("csv"), file!["snapshots/find.csv": Text].raw());
}

#[test]
fn json() {
    assert_data_eq!(find("json"), file!["snapshots/find.json": Text].raw());
}

#[test]
fn markdown() {
    assert_data_eq!(find("markdown"), file!["snapshots/find.md": Text].raw());
}

#[test]
fn threads_in_text_and_csv() {
    assert_data_eq!(run(&["threads", "m10"]).out, file!["snapshots/threads.txt": Text].raw());
    let csv = run(&["threads", "m10", "--format", "csv"]).out;
    assert_data_eq!(csv, file!["snapshots/threads.csv": Text].raw());
}

#[test]
fn marks_of_other_languages_are_escaped() {
    let markdown = find("markdown");
    assert!(markdown.contains("Test \\| lathe \\<b\\>"), "{markdown}");
    // A table row has as many bars as its head.
    let bars = |line: &str| line.matches('|').count() - line.matches("\\|").count();
    let table: Vec<&str> = markdown.lines().filter(|line| line.starts_with('|')).collect();
    assert!(table.len() > 9);
    let mut width = 0;
    for (i, line) in table.iter().enumerate() {
        if table.get(i + 1).is_some_and(|next| next.starts_with("| ---")) {
            width = bars(line);
        }
        assert_eq!(bars(line), width, "{line}");
    }
}

#[test]
fn a_name_can_not_command_the_terminal() {
    let folder = fresh();
    let lathe = LATHE.replace("Test | lathe", "Test \\u001b[2J\\u0007 lathe");
    std::fs::write(folder.path().join("test.json"), lathe).unwrap();
    let args = ["find", "1.25 mm", "--lathe", "test.json", "--color", "always"];
    let out = run_in(folder.path(), &args).out;
    assert!(!out.contains("\u{1b}[2J") && !out.contains('\u{7}'), "{out}");
}

#[test]
fn csv_reads_back_with_one_row_a_solution() {
    let text = find("csv");
    let mut reader = ::csv::Reader::from_reader(text.as_bytes());
    let head = reader.headers().unwrap().clone();
    let rows: Vec<::csv::StringRecord> = reader.records().collect::<Result<_, _>>().unwrap();
    assert_eq!(rows.len(), 9, "three of each target");
    let column = |name: &str| head.iter().position(|h| h == name).unwrap();
    assert_eq!(&rows[0][column("target_text")], "1.25 mm");
    // A feed has no hand: empty, not 0.
    assert_eq!(&rows[8][column("hand")], "");
    // Nothing found is a header alone.
    let none = answer(&["find", "1.37 mm", "--within", "0.001ppm", "-f", "csv"]);
    assert_eq!((none.code, none.out.lines().count()), (1, 1));
}

/// The document as a reader would write it down from its schema, refusing what it does not know.
mod document {
    use super::{BTreeMap, Deserialize};

    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(super) struct Document {
        pub(super) format: u8,
        pub(super) lathe: String,
        pub(super) lathe_from: String,
        pub(super) over_mm: String,
        pub(super) over_mm_rounded: f64,
        pub(super) results: Vec<Outcome>,
    }

    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(super) struct Outcome {
        pub(super) target: Target,
        pub(super) searched: Searched,
        pub(super) solutions: Vec<Solution>,
        pub(super) trade_off: Vec<Solution>,
        pub(super) fewest_gears: Option<Solution>,
        pub(super) within: String,
        pub(super) allowed_by: String,
        pub(super) class: Option<String>,
        pub(super) closer_but_unfit: Vec<Solution>,
        pub(super) nearest: Option<Solution>,
        pub(super) remedies: Vec<Remedy>,
        pub(super) hints: Vec<String>,
        pub(super) other_hand: Option<Solution>,
    }

    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(super) struct Remedy {
        pub(super) kind: String,
        pub(super) mm: Option<f64>,
        pub(super) idlers: Vec<u16>,
        pub(super) text: String,
        pub(super) solution: Solution,
    }

    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(super) struct Target {
        pub(super) text: String,
        pub(super) travel: String,
        pub(super) lead_mm: String,
        pub(super) pi: i8,
        pub(super) lead_mm_rounded: f64,
        pub(super) tpi_rounded: f64,
        pub(super) starts: u8,
        pub(super) hand: Option<String>,
    }

    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(super) struct JoinedGear {
        pub(super) shaft: usize,
        pub(super) works: u16,
        pub(super) idle: u16,
        pub(super) plane: Option<u8>,
    }

    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(super) struct Searched {
        pub(super) combinations: u64,
        pub(super) positions: usize,
        pub(super) gear_pairs: usize,
        pub(super) complete: bool,
        pub(super) left_out: Vec<String>,
    }

    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(super) struct Solution {
        pub(super) rank: usize,
        pub(super) train: String,
        pub(super) shafts: Vec<Vec<u16>>,
        pub(super) joined: Vec<JoinedGear>,
        pub(super) levers: BTreeMap<String, String>,
        pub(super) headstock: Option<String>,
        pub(super) tumbler: Option<String>,
        pub(super) hand: Option<String>,
        pub(super) either: Option<Either>,
        pub(super) ratio: String,
        pub(super) ratio_rounded: f64,
        pub(super) lead_mm: String,
        pub(super) pi: i8,
        pub(super) lead_mm_rounded: f64,
        pub(super) tpi_rounded: f64,
        pub(super) error: Option<String>,
        pub(super) cut_over_target: Option<Quotient>,
        pub(super) error_ppm: f64,
        pub(super) adds_up_to_um: f64,
        pub(super) verdict: String,
        pub(super) share_of_class: Option<f64>,
        pub(super) gears: usize,
        pub(super) gears_moved: usize,
        pub(super) idlers: Vec<Vec<u16>>,
        pub(super) also_cut_by: Option<Others>,
        pub(super) arrangements: Vec<Arrangement>,
        pub(super) fit: Fit,
    }

    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(super) struct Either {
        pub(super) direct: Branch,
        pub(super) with_idler: Branch,
    }

    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(super) struct Branch {
        pub(super) tumbler: Option<String>,
        pub(super) hand: Option<String>,
    }

    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(super) struct Quotient {
        pub(super) value: String,
        pub(super) pi: i8,
    }

    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(super) struct Others {
        pub(super) count: u64,
        pub(super) tried: u64,
        pub(super) at_least: bool,
    }

    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(super) struct Arrangement {
        pub(super) train: String,
        pub(super) shafts: Vec<Vec<u16>>,
        pub(super) joined: Vec<JoinedGear>,
        pub(super) levers: BTreeMap<String, String>,
        pub(super) headstock: Option<String>,
        pub(super) tumbler: Option<String>,
        pub(super) hand: Option<String>,
        pub(super) either: Option<Either>,
        pub(super) ratio: String,
        pub(super) ratio_rounded: f64,
        pub(super) lead_mm: String,
        pub(super) pi: i8,
        pub(super) lead_mm_rounded: f64,
        pub(super) tpi_rounded: f64,
        pub(super) gears: usize,
        pub(super) idlers: Vec<Vec<u16>>,
        pub(super) fit: Fit,
    }

    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(super) struct Fit {
        pub(super) state: String,
        pub(super) arm_angle: Option<f64>,
        pub(super) studs: Vec<Stud>,
        pub(super) planes: Vec<u8>,
        pub(super) least_clearance: Option<Clearance>,
        pub(super) measure: Vec<String>,
        pub(super) reasons: Vec<Reason>,
    }

    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(super) struct Stud {
        pub(super) slot: usize,
        pub(super) along_mm: f64,
        pub(super) from_pivot_mm: f64,
        pub(super) right_mm: f64,
        pub(super) up_mm: f64,
    }

    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(super) struct Clearance {
        pub(super) gear: String,
        pub(super) other: String,
        pub(super) mm: f64,
    }

    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(super) struct Reason {
        pub(super) kind: String,
        pub(super) mm: Option<f64>,
        pub(super) text: String,
    }
}

fn fraction(text: &str) -> BigRational {
    text.parse().unwrap()
}

/// Drivers over driven, from the shafts alone.
fn ratio(shafts: &[Vec<u16>]) -> BigRational {
    let whole = |teeth: u16| BigRational::from_integer(BigInt::from(teeth));
    shafts
        .windows(2)
        .fold(whole(1), |ratio, pair| ratio * whole(*pair[0].last().unwrap()) / whole(pair[1][0]))
}

#[test]
fn json_reads_back_and_its_figures_agree() {
    let document: document::Document = serde_json::from_str(&find("json")).unwrap();
    assert_eq!((document.format, document.lathe.as_str()), (1, "Test | lathe <b>"));
    assert_eq!((document.lathe_from.as_str(), document.over_mm.as_str()), ("test.json", "25"));
    assert_eq!((document.over_mm_rounded, document.results.len()), (25.0, 3));
    let travels = document.results.iter().map(|r| r.target.travel.as_str());
    assert_eq!(travels.collect::<Vec<_>>(), ["thread", "thread", "cross feed"]);
    for result in &document.results {
        check_outcome(result);
    }
}

fn check_outcome(result: &document::Outcome) {
    let target = &result.target;
    assert!(!target.text.is_empty() && target.starts == 1);
    assert_eq!(target.hand.is_none(), target.travel == "cross feed");
    let searched = &result.searched;
    assert!(searched.complete && searched.combinations > 0 && searched.left_out.is_empty());
    assert_eq!((searched.positions, searched.gear_pairs), (2, 2));
    assert_eq!(result.solutions.len(), 3);
    let usual = if target.travel == "thread" { "1/5000" } else { "1/100" };
    assert_eq!(fraction(&result.within), fraction(usual));
    let by = if target.travel == "thread" { "without class" } else { "feed" };
    assert_eq!((result.allowed_by.as_str(), &result.class), (by, &None));
    assert!(result.nearest.is_none() && result.hints.iter().all(|hint| !hint.is_empty()));
    assert!(result.other_hand.as_ref().is_none_or(|other| other.hand != target.hand));
    let unit = fraction(if target.travel == "thread" { "127/40" } else { "1/5" });
    let all = result.solutions.iter().chain(&result.trade_off).chain(&result.fewest_gears);
    for solution in all.chain(&result.closer_but_unfit) {
        check_solution(target, &unit, solution);
    }
    for (i, solution) in result.solutions.iter().enumerate() {
        assert_eq!(solution.rank, i + 1);
        assert!(
            solution
                .also_cut_by
                .as_ref()
                .is_some_and(|o| o.count <= o.tried && o.tried < 1000 && !o.at_least)
        );
        assert!(solution.arrangements.is_empty() && solution.fit.state == "not checked");
    }
    assert!(result.solutions.is_sorted_by_key(|s| s.error_ppm.abs()));
    assert!(result.trade_off.is_sorted_by_key(|s| s.gears));
    assert!(result.trade_off.iter().rev().is_sorted_by_key(|s| s.error_ppm.abs()));
}

/// Every figure follows from the shafts, the lever and the lead screw (8 TPI: 127/40 mm).
fn check_solution(target: &document::Target, unit: &BigRational, solution: &document::Solution) {
    for idle in &solution.joined {
        assert!(idle.works != idle.idle && idle.plane.is_none_or(|plane| plane > 0));
        assert_eq!(solution.shafts[idle.shaft], [idle.works]);
    }
    let lever = match solution.levers["Range"].as_str() {
        "A" => fraction("1"),
        "B" => fraction("1/2"),
        other => panic!("no such position {other}"),
    };
    assert_eq!(fraction(&solution.ratio), ratio(&solution.shafts));
    let cut = unit * lever * ratio(&solution.shafts);
    assert_eq!(fraction(&solution.lead_mm), cut);
    let quotient = &cut / fraction(&target.lead_mm);
    let near = |a: f64, b: f64| (a - b).abs() <= 1e-9 * (1.0 + a.abs().max(b.abs()));
    let value: f64 = num_traits::ToPrimitive::to_f64(&quotient).unwrap();
    let error = if target.pi == 1 {
        let given = solution.cut_over_target.as_ref().unwrap();
        assert_eq!((fraction(&given.value), given.pi), (quotient, -1));
        assert!(solution.error.is_none());
        value / std::f64::consts::PI - 1.0
    } else {
        let exact = quotient - fraction("1");
        assert_eq!(solution.error.as_deref().map(fraction), Some(exact));
        assert!(solution.cut_over_target.is_none());
        value - 1.0
    };
    assert!(near(solution.error_ppm, error * 1e6), "{} {error}", solution.error_ppm);
    assert!(near(solution.adds_up_to_um, error * 25_000.0));
    assert!(solution.share_of_class.is_none() && !solution.verdict.is_empty());
    assert!(near(solution.lead_mm_rounded * solution.tpi_rounded, 25.4));
    assert!(near(target.lead_mm_rounded * target.tpi_rounded, 25.4));
    let exact = num_traits::ToPrimitive::to_f64(&fraction(&solution.ratio)).unwrap();
    assert!(near(solution.ratio_rounded, exact));
    assert!(near(target.lead_mm_rounded * (1.0 + error), solution.lead_mm_rounded));
    assert_eq!((solution.pi, &solution.headstock), (0, &None));
    assert_eq!(solution.gears, solution.shafts.iter().map(Vec::len).sum::<usize>());
    for case in solution.either.iter().flat_map(|either| [&either.direct, &either.with_idler]) {
        assert!(case.tumbler.is_none() || case.hand == solution.hand);
    }
    let shafts = solution
        .shafts
        .iter()
        .map(|shaft| shaft.iter().map(ToString::to_string).collect::<Vec<_>>().join("+"));
    assert_eq!(solution.train, shafts.collect::<Vec<_>>().join("-"));
    assert_eq!(solution.hand, target.hand);
    assert_eq!(solution.tumbler.is_none(), target.hand.is_none());
    assert!(solution.gears_moved <= solution.gears + 3 && solution.fit.studs.is_empty());
    assert!(solution.fit.arm_angle.is_none() && solution.fit.planes.is_empty());
    assert!(solution.fit.least_clearance.is_none());
    assert_eq!(solution.fit.reasons.is_empty(), solution.fit.state != "does not fit");
}

/// What `find` says in JSON of one train on a bracket: shafts 80 mm apart, hubs of 12 and 8 mm.
fn judged(train: &str) -> document::Document {
    let bracket = r#""studs": 1, "banjo": {"driving_shaft": "80 mm",
        "slots": [{"from": "34 mm", "to": "70 mm"}],
        "hub_radii": {"driving": "12 mm", "stud": "8 mm", "driven": "12 mm"}}"#;
    let folder = fresh();
    let text = LATHE.replace(r#""studs": 1"#, bracket).replace("50, 60", "50, 55, 60");
    std::fs::write(folder.path().join("lathe.json"), text).unwrap();
    let args = ["find", "1 mm", "--train", train, "-f", "json"];
    let Run { out, err, .. } = run_in(folder.path(), &args);
    let schema: serde_json::Value = serde_json::from_str(&run(&["schema", "find"]).out).unwrap();
    let value: serde_json::Value = serde_json::from_str(&out).unwrap_or_else(|_| panic!("{err}"));
    jsonschema::validate(&schema, &value).unwrap();
    serde_json::from_str(&out).unwrap()
}

/// The place of the stud by the law of cosines (Euclid, Elements, II.13): 57.5 mm from the last
/// shaft and 50 mm from the first.
#[test]
fn json_says_where_the_stud_stands() {
    let document = judged("45-55+50-65");
    let result = &document.results[0];
    assert!(!result.searched.complete && result.searched.combinations == 0);
    assert!(result.closer_but_unfit.is_empty() && result.solutions.len() == 1);
    let fit = &result.solutions[0].fit;
    let swing = ((6400.0 + 3306.25 - 2500.0) / (2.0 * 80.0 * 57.5_f64)).acos();
    let near = |a: f64, b: f64| (a - b).abs() < 1e-5;
    assert_eq!((fit.state.as_str(), &fit.planes[..]), ("fits", &[1, 1, 2, 2][..]));
    assert!(near(fit.arm_angle.unwrap(), swing.to_degrees()), "{:?}", fit.arm_angle);
    let [stud] = &fit.studs[..] else { panic!("one stud") };
    assert_eq!(stud.slot, 1);
    assert!(near(stud.along_mm, 57.5) && near(stud.from_pivot_mm, 57.5));
    assert!(near(stud.right_mm, 57.5 * swing.sin()) && near(stud.up_mm, 57.5 * swing.cos()));
    // 50 reaches 26 mm, and the first hub is 50 mm away: 12 mm are left.
    let least = fit.least_clearance.as_ref().unwrap();
    assert_eq!(
        (least.gear.as_str(), least.other.as_str(), least.mm),
        ("50 on stud 1", "the hub of the driving shaft", 12.0)
    );
    assert!(fit.reasons.is_empty());
}

#[test]
fn json_gives_every_reason_with_its_mm() {
    // 60 reaches 31 mm, the hub 12 mm, the centres are 35 mm apart: 8 mm, and 1 mm of clearance.
    let document = judged("60-50+20-50");
    let result = &document.results[0];
    assert!(result.solutions.is_empty() && result.closer_but_unfit.len() == 1);
    let fit = &result.closer_but_unfit[0].fit;
    assert_eq!(fit.state, "does not fit");
    assert!(fit.arm_angle.is_none() && fit.studs.is_empty() && fit.planes.is_empty());
    let of = |kind: &str| fit.reasons.iter().filter(|r| r.kind == kind).collect::<Vec<_>>();
    let all: Vec<&str> = fit.reasons.iter().map(|r| r.text.as_str()).collect();
    let [touch] = &of("touch")[..] else { panic!("{all:?}") };
    assert_eq!(touch.mm, Some(4.0));
    assert_eq!(
        touch.text,
        "50 on stud 1 is 4.0 mm short of clearing the hub of the gearbox shaft: 3.0 overlap + 1.0 \
         clearance."
    );
    let [owned] = &of("owned")[..] else { panic!("{all:?}") };
    assert_eq!((owned.mm, owned.text.as_str()), (None, "The train takes 2 x 50, you own 1."));
}

#[test]
fn all_lists_every_arrangement() {
    let words = ["find", "1.25 mm", "-n", "1", "--all", "--format"];
    let Run { out, .. } = answer(&[&words[..], &["json"]].concat());
    let document: document::Document = serde_json::from_str(&out).unwrap();
    let best = &document.results[0].solutions[0];
    let others = best.also_cut_by.as_ref().unwrap();
    assert_eq!(best.arrangements.len() as u64, others.count + 1);
    let first = &best.arrangements[0];
    assert_eq!((&first.train, &first.levers), (&best.train, &best.levers));
    let other = |a: &document::Arrangement| {
        let as_best = (&a.lead_mm, a.pi, a.lead_mm_rounded, a.tpi_rounded)
            == (&best.lead_mm, best.pi, best.lead_mm_rounded, best.tpi_rounded);
        let ratio = fraction(&a.ratio) == ratio(&a.shafts) && a.ratio_rounded > 0.0;
        let plain = a.joined.is_empty() && a.idlers.is_empty() && a.fit.state == "not checked";
        let both = a.either.iter().all(|both| both.with_idler.hand.is_some());
        !(as_best && ratio && plain && both)
    };
    assert!(!best.arrangements.iter().any(other));
    assert!(best.arrangements.is_sorted_by_key(|a| a.gears));
    assert!(best.arrangements.iter().all(|a| a.hand == best.hand && a.headstock.is_none()));
    assert!(best.arrangements.iter().all(|a| a.tumbler.is_some()));
    // CSV has a row for each, text a table.
    let csv = answer(&[&words[..], &["csv"]].concat()).out;
    assert_eq!(csv.lines().count(), best.arrangements.len() + 1);
    assert!(answer(&[&words[..], &["text"]].concat()).out.contains("All set-ups of 1: 1.25 mm"));
}

#[test]
fn json_keeps_to_its_published_schema() {
    let schema = run(&["schema", "find"]).out;
    assert_eq!(schema, include_str!("../gearsets/find.schema.json"));
    let schema: serde_json::Value = serde_json::from_str(&schema).unwrap();
    let no = answer(&["find", "1.37 mm", "--within", "0.001ppm", "-f", "json"]).out;
    for text in [find("json"), no] {
        let mut document: serde_json::Value = serde_json::from_str(&text).unwrap();
        jsonschema::validate(&schema, &document).unwrap();
        // The schema refuses what it does not know.
        document["results"][0]["surprise"] = 1.into();
        assert!(jsonschema::validate(&schema, &document).is_err());
    }
}

/// A bracket on which hardly anything stands, and what the program says would help.
fn helped(target: &str, gears: &str, studs: u8, slot: (&str, &str)) -> document::Outcome {
    let lathe = format!(
        r#"{{"format": 1, "lead_screw": {{"lead": "3 mm"}}, "studs": {studs},
            "headstock": {{"ratio": "1", "turns": "same"}},
            "gears": {{"pitch": "module 1", "owned": {gears}}},
            "banjo": {{"driving_shaft": "100 mm", "slots": [{{"from": "{}", "to": "{}"}}],
                "hub_radii": {{"driving": "12 mm", "driven": "12 mm"}}}}}}"#,
        slot.0, slot.1
    );
    let folder = fresh();
    std::fs::write(folder.path().join("lathe.json"), lathe).unwrap();
    let answer = run_in(folder.path(), &["find", target, "--format", "json"]);
    let mut document: document::Document = serde_json::from_str(&answer.out).unwrap();
    document.results.remove(0)
}

fn remedy<'a>(outcome: &'a document::Outcome, kind: &str) -> &'a document::Remedy {
    outcome.remedies.iter().find(|r| r.kind == kind).unwrap()
}

#[test]
fn a_longer_slot_helps_by_so_many_mm() {
    // 20 drives the idler 70, which drives 40: the stud stands 55 mm from the screw.
    let outcome = helped("1.5 mm", "[20, 40, 70]", 1, ("30 mm", "50 mm"));
    assert!(outcome.solutions.is_empty() || outcome.solutions[0].error_ppm.abs() > 200.0);
    let slot = remedy(&outcome, "slot");
    assert_eq!((slot.mm, slot.solution.train.as_str()), (Some(5.0), "20-70-40"));
    assert!(slot.text.contains("5.0 mm further") && slot.text.contains("55.0 mm"), "{}", slot.text);
    assert!(slot.idlers.is_empty() && slot.solution.fit.state == "fits");
}

#[test]
fn an_idler_that_is_not_owned_helps() {
    // The two meshes must add up to 100 mm: (20 + z) / 2 + (z + 40) / 2, so z is 70 or more; the
    // stud stands at (z + 40) / 2, so z is 80 or less.
    let outcome = helped("1.5 mm", "[20, 40, 30]", 1, ("30 mm", "60 mm"));
    let idler = remedy(&outcome, "idler");
    assert_eq!(idler.idlers, (70..=80).collect::<Vec<_>>());
    assert_eq!((idler.mm, idler.solution.train.as_str()), (None, "20-70-40"));
    assert!(idler.text.contains("70 to 80"), "{}", idler.text);
    assert!(outcome.remedies.iter().all(|r| r.kind != "slot"));
}

#[test]
fn one_more_stud_helps() {
    // Two idlers bridge what one can't; they also turn the hand.
    let outcome = helped("1.5 mm LH", "[20, 40, 45, 50]", 1, ("30 mm", "110 mm"));
    let stud = remedy(&outcome, "stud");
    assert_eq!((stud.solution.gears, stud.solution.hand.as_deref()), (4, Some("left")));
    assert!(stud.text.starts_with("One more stud"), "{}", stud.text);
}

#[test]
fn idlers_that_reach_are_named() {
    let outcome = helped("1.5 mm", "[20, 40, 60, 70, 75, 80, 95]", 1, ("30 mm", "60 mm"));
    let first = &outcome.solutions[0];
    assert_eq!(
        (first.train.as_str(), &first.idlers),
        ("20-70-40", &vec![vec![70], vec![75], vec![80]])
    );
    assert!(outcome.remedies.is_empty());
}

#[test]
fn what_is_too_close_to_call_is_marked_and_does_not_count() {
    // The shafts stand 50 mm apart by Pythagoras, and 40 and 60 of module 1 need just that; opened
    // by nothing, the mesh closes or not by less than a square root can tell.
    let lathe = r#"{"format": 1, "lead_screw": {"lead": "3 mm"}, "studs": 1,
        "headstock": {"ratio": "1", "turns": "same"},
        "gears": {"pitch": "module 1", "owned": [40, 60, 30]},
        "banjo": {"driving_shaft": {"right": "30 mm", "up": "40 mm"}, "planes": 1,
            "slots": [{"from": "30 mm", "to": "60 mm"}], "opening": {"greatest": "0 mm"}}}"#;
    let folder = fresh();
    std::fs::write(folder.path().join("lathe.json"), lathe).unwrap();
    let find = |form: &str| {
        let words = ["find", "2 mm LH", "--count", "1", "--format", form];
        run_in(folder.path(), &words).out
    };
    let document: document::Document = serde_json::from_str(&find("json")).unwrap();
    let solutions = &document.results[0].solutions;
    let states: Vec<_> =
        solutions.iter().map(|s| (s.train.as_str(), s.fit.state.as_str())).collect();
    assert_eq!(states, [("40-60", "too close")], "nothing else cuts left hand here");
    assert_eq!(solutions[0].fit.measure.len(), 1);
    let text = find("text");
    assert!(text.contains("Too close to call: measure it on the machine."), "{text}");
    let words = ["find", "2 mm LH", "--count", "1", "--long"];
    let long = run_in(folder.path(), &words).out;
    assert!(long.contains("too close to call: 40-60, exact"), "{long}");
}
