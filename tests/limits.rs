//! Is every limit kept: taken at it, refused in words below and above it? And is memory bounded
//! whatever a file holds?
//!
//! The limits are those of `solver/bounds.rs`; a limit that is not walked here, or does not stand in
//! the table of `DEVELOPERS.md` with its figures, fails a test.

use crate::util::{Run, fresh, piped, program, run};
use solver::bounds::{self, Bounds};
use solver::buy::{self, Request};
use solver::plan::{Line, TrainTable};
use solver::search::Options;
use solver::{Gear, GearSet, Lathe, Lead, Length, Outside, Parts, Ratio, Teeth, Watch};
use std::path::Path;
use std::process::Stdio;
use std::sync::atomic::AtomicBool;
use trainwright::files;

/// What is said of something with a number, if it is refused.
type Tried = Result<(), String>;

/// One limit: its name in `bounds.rs`, and something that holds so many.
struct Limit {
    name: &'static str,
    bounds: Bounds,
    with: fn(u64) -> Tried,
}

macro_rules! limits {
    ($($name:ident: $with:expr,)*) => {
        [$(Limit { name: stringify!($name), bounds: bounds::$name, with: $with }),*]
    };
}

/// Every limit but for the two of `counted_before_they_are_held`.
fn all() -> [Limit; 22] {
    limits![
        TEETH: |n| lathe(&format!(r#""gears": {{"owned": [40, {n}]}}"#)),
        KINDS: |n| {
            let owned: Vec<u64> = (5..5 + n).collect();
            lathe(&format!(r#""gears": {{"owned": {owned:?}}}"#))
        },
        COPIES: |n| lathe(&format!(r#""gears": {{"owned": [30, {{"teeth": 20, "count": {n}}}]}}"#)),
        STUDS: |n| lathe(&format!(r#"{GEARS}, "studs": {n}"#)),
        PLANES: |n| bracket(1, &format!(r#""slots": [{}], "planes": {n}"#, slot(0))),
        SLOTS: |n| {
            let slots: Vec<String> = (0..n).map(slot).collect();
            bracket(n.min(1), &format!(r#""slots": [{}]"#, slots.join(", ")))
        },
        KEEP_OUTS: |n| {
            let part = |i| format!(r#"{{"name": "part {i}", "polygon": {}}}"#, corners(3));
            let parts: Vec<String> = (0..n).map(part).collect();
            bracket(1, &format!(r#""slots": [{}], "keep_out": [{}]"#, slot(0), parts.join(", ")))
        },
        CORNERS: |n| {
            let part = format!(r#"{{"name": "cover", "polygon": {}}}"#, corners(n));
            bracket(1, &format!(r#""slots": [{}], "keep_out": [{part}]"#, slot(0)))
        },
        STARTS: |n| {
            let said = [
                lathe(&format!(r#"{GEARS}, "lead_screw": {{"lead": "3 mm", "starts": {n}}}"#)),
                typed(&format!("1 mm {n} starts")),
                chart(&format!("thread,train,starts\n1 mm,20-40,{n}\n")),
            ];
            same(said)
        },
        LEVERS: |n| {
            let lever = |i| format!(r#"{{"name": "L{i}", "positions": {{"A": "1"}}}}"#);
            let levers: Vec<String> = (0..n).map(lever).collect();
            lathe(&format!(r#"{GEARS}, "gearbox": {{"levers": [{}]}}"#, levers.join(", ")))
        },
        SETTINGS: |n| {
            let levers: Vec<String> = factors(n).into_iter().enumerate().map(lever).collect();
            lathe(&format!(r#"{GEARS}, "gearbox": {{"levers": [{}]}}"#, levers.join(", ")))
        },
        LEVER_RULES: |n| {
            let one = |i| format!(r#"{{"A": "{i}"}}"#);
            let list = |rule: &str| (0..n).map(|i| rule.replace("RULE", &one(i))).collect::<Vec<_>>().join(", ");
            let with = |key: &str, rule: &str| {
                let levers = lever((0, n.max(1))).replace("L0", "A");
                let box_of = format!(r#""levers": [{levers}, {{"name": "B", "positions": {{"C": "1"}}}}]"#);
                lathe(&format!(r#"{GEARS}, "gearbox": {{{box_of}, "{key}": [{}]}}"#, list(rule)))
            };
            same([
                with("forbidden", "RULE"),
                with("needs_driven", r#"{"when": RULE, "driven": 40}"#),
                with("combinations", r#"{"when": RULE, "ratio": "1/2"}"#),
            ])
        },
        MOST_PAIRS: |n| asked(&["reach", "--gears", "20,40,60", "--screw", "3mm", "--pairs", &n.to_string()]),
        ANSWERS: |n| asked(&["find", "1 mm", "--gears", "20,40", "--screw", "3mm", "-n", &n.to_string()]),
        DIAL_TEETH: |n| lathe(&format!(r#"{GEARS}, "dial": {{"teeth": {n}, "lines": 1}}"#)),
        OUTSIDE: |n| {
            let mm = Length::from_mm(Ratio::whole(n).map_err(|e| e.to_string())?);
            said(Outside::new(mm))
        },
        CHART_ROWS: |n| {
            let rows = "1 mm,20-40\n".repeat(usize::try_from(n).unwrap());
            chart(&format!("thread,train\n{rows}"))
        },
        SPINDLE: |n| {
            let said = [
                lathe(&format!(r#"{GEARS}, "spindle_rpm": [{n}]"#)),
                asked(&["card", "1 mm", "--gears", "20,40,60", "--screw", "3mm", "--rpm", &n.to_string()]),
            ];
            same(said)
        },
        LINES: |n| {
            let lathe = small_lathe();
            let lines = lines(n);
            let planned = said(TrainTable::new(&lathe, lines.clone(), &Options::default().with_pairs(1), Watch::none()));
            let request = Request::new(lines, vec![Teeth::new(30).unwrap()]);
            same([planned, said(buy::best(&lathe, &request, Watch::none()))])
        },
        PLANNED_PAIRS: |n| asked(&["table", "1 mm", "--gears", "20,40,60", "--screw", "3mm", "--pairs", &n.to_string()]),
        PURCHASE: |n| {
            let sizes =
                ["--screw", "3mm", "--from", "20", "--to", "24", "--up-to", &n.to_string()];
            asked(&[&["buy", "1 mm", "--gears", "20,40"], &sizes[..]].concat())
        },
        PASSES: |n| asked(&["card", "1 mm", "--gears", "20,40,60", "--screw", "3mm", "--passes", &n.to_string()]),
    ]
}

const GEARS: &str = r#""gears": {"owned": [20, 40, 60]}"#;

/// A lathe file; what it says of the lead screw comes in place of the usual.
fn lathe(more: &str) -> Tried {
    let screw = r#""lead_screw": {"lead": "3 mm"}, "#;
    let screw = if more.contains("lead_screw") { "" } else { screw };
    let text = format!(r#"{{"format": 1, {screw}"headstock": {{"ratio": "1"}}, {more}}}"#);
    said(files::lathe_of_text("lathe.json", &text))
}

fn bracket(studs: u64, more: &str) -> Tried {
    lathe(&format!(r#"{GEARS}, "studs": {studs}, "banjo": {{"driving_shaft": "100 mm", {more}}}"#))
}

fn slot(i: u64) -> String {
    format!(r#"{{"from": "{} mm", "to": "80 mm"}}"#, 20 + i)
}

/// An outline of so many corners, on a parabola, so that no corner lies between two others.
fn corners(n: u64) -> String {
    let corner = |i| format!(r#"{{"right": "{} mm", "up": "{} mm"}}"#, 200 + i, 200 + i * i / 10);
    let corners: Vec<String> = (0..n).map(corner).collect();
    format!("[{}]", corners.join(", "))
}

/// A lever of so many positions.
fn lever((i, positions): (usize, u64)) -> String {
    let positions: Vec<String> = (0..positions).map(|p| format!(r#""{p}": "1""#)).collect();
    format!(r#"{{"name": "L{i}", "positions": {{{}}}}}"#, positions.join(", "))
}

/// Prime factors; of nothing nothing.
fn factors(mut n: u64) -> Vec<u64> {
    if n == 0 {
        return vec![0];
    }
    let mut found = Vec::new();
    let mut p = 2;
    while n > 1 {
        if n.is_multiple_of(p) {
            found.push(p);
            n /= p;
        } else {
            p += 1;
        }
    }
    found
}

fn typed(target: &str) -> Tried {
    said(target.parse::<solver::Target>())
}

fn chart(text: &str) -> Tried {
    said(files::chart_of_text("chart.csv", text, &[]))
}

fn said<T, E: ToString>(tried: Result<T, E>) -> Tried {
    tried.map(drop).map_err(|e| e.to_string())
}

/// What is said in one of these ways is said in all.
fn same<const N: usize>(ways: [Tried; N]) -> Tried {
    assert!(ways.windows(2).all(|two| two[0].is_ok() == two[1].is_ok()), "{ways:?}");
    ways.into_iter().find(Result::is_err).unwrap_or(Ok(()))
}

/// What the program says; an answer of no is an answer.
fn asked(args: &[&str]) -> Tried {
    let Run { code, out, err } = run(args);
    match code {
        0 | 1 => Ok(()),
        2 => {
            assert_eq!(out, "", "{args:?}");
            Err(err)
        }
        _ => panic!("{args:?}: {code}, {err}"),
    }
}

fn small_lathe() -> Lathe {
    let mut gears = GearSet::new();
    for teeth in [20, 40] {
        gears.add(Gear::new(Teeth::new(teeth).unwrap()), 1).unwrap();
    }
    Lathe::new(Parts::plain(gears, Lead::new("3 mm".parse().unwrap()))).unwrap()
}

/// So many lines that no gears of [`small_lathe`] cut.
fn lines(n: u64) -> Vec<Line> {
    let lead = |i: u64| Lead::new(Length::from_mm(Ratio::new((7_001 + i).into(), 1_000).unwrap()));
    (0..n).map(|i| Line::new(lead(i)).with_within(Ratio::new(1, 1_000_000).unwrap())).collect()
}

#[test]
fn each_limit_is_kept_at_it_below_and_above() {
    for Limit { name, bounds, with } in all() {
        let Bounds { low, high, .. } = bounds;
        for n in [low, low + 1, high - 1, high] {
            assert_eq!(with(n), Ok(()), "{name}: {n}");
        }
        for n in low.checked_sub(1).into_iter().chain([high + 1]) {
            let refused = with(n).expect_err(name);
            let one = refused.lines().filter(|line| !line.starts_with("try: ")).count();
            assert!((1..=4).contains(&one), "{name}: {n}: {refused}");
            let range = [format!("is outside {low} to {high}"), format!("are {low} to {high}")];
            // Of nothing at all something more to the point than a range is said.
            let said = n == 0 || range.iter().any(|range| refused.contains(range));
            assert!(said, "{name}: {n}: {refused}");
        }
    }
}

/// 227 sizes and three gears make 1,975,354 purchases, 228 make 2,001,460; two of 200 sizes for 1000
/// lines are 40,000,000 pairs.
#[test]
fn counted_before_they_are_held() {
    let lathe = small_lathe();
    // Cancelled, so that only what comes before the search is done.
    let cancelled = AtomicBool::new(true);
    let sizes = |count: u64| (5..5 + count).map(|z| Teeth::new(z).unwrap()).collect();
    let of = |sizes, gears, lines| {
        let request = Request::new(lines, sizes).with_gears(gears);
        said(buy::best(&lathe, &request, Watch::cancelled_by(&cancelled)))
    };
    assert_eq!(of(sizes(227), 3, lines(1)), Ok(()));
    let high = bounds::PURCHASES.high;
    let refused = of(sizes(228), 3, lines(1)).unwrap_err();
    assert!(refused.contains(&format!("2001460 is outside 0 to {high}")), "{refused}");
    assert_eq!(of(sizes(200), 2, lines(10)), Ok(()));
    let high = bounds::HOPES.high;
    let refused = of(sizes(200), 2, lines(1001)).unwrap_err();
    assert!(refused.contains(&format!("40040000 is outside 0 to {high}")), "{refused}");
}

/// `250` as `250`, `20000` as `20,000`.
fn grouped(n: u64) -> String {
    let digits = n.to_string();
    let first = digits.len() % 3;
    let (head, rest) = digits.split_at(first);
    let threes = rest.as_bytes().chunks(3).map(|c| String::from_utf8_lossy(c).into_owned());
    let head = (!head.is_empty()).then(|| head.to_owned());
    head.into_iter().chain(threes).collect::<Vec<_>>().join(",")
}

/// The table of `DEVELOPERS.md` has each limit with its figures, and the walk has it too.
#[test]
fn no_limit_is_left_out() {
    let source = include_str!("../solver/bounds.rs");
    let named = source.lines().filter_map(|line| line.strip_prefix("pub const "));
    let named: Vec<_> = named.filter_map(|line| line.split_once(": Bounds")).collect();
    let walked = all();
    assert_eq!(named.len(), walked.len() + 2);
    let table = include_str!("../DEVELOPERS.md");
    let row = |bounds: &Bounds| {
        format!("| {} | {} | {} |", bounds.name, bounds.low, grouped(bounds.high))
    };
    for (name, _) in named {
        let bounds = match name {
            "PURCHASES" => bounds::PURCHASES,
            "HOPES" => bounds::HOPES,
            _ => walked.iter().find(|limit| limit.name == name).expect(name).bounds,
        };
        assert!(table.contains(&row(&bounds)), "{}", row(&bounds));
    }
}

/// Spaces up to so many bytes, which change nothing.
fn padded(text: &str, bytes: usize) -> Vec<u8> {
    let mut all = text.as_bytes().to_vec();
    all.resize(bytes, b' ');
    all
}

#[test]
fn a_file_may_be_as_large_as_its_limit() {
    let plain = format!(
        r#"{{"format": 1, "lead_screw": {{"lead": "3 mm"}}, "headstock": {{"ratio": "1"}}, {GEARS}}}"#
    );
    let set = format!(r#"{{"format": 1, "name": "Tin", {GEARS}}}"#);
    let new = ["lathe", "new", "--answers", "-", "-o", "-"];
    let answers = "screw: 3 mm\ngears: 20,40,60\n";
    let box_of = ["find", "1 mm", "--gears", "20,40,60", "--screw", "3mm"];
    let of_list = ["table", "--list", "-", "--gears", "20,40,60", "--screw", "3mm"];
    let of_chart = ["check", "-", "--gears", "20,40,60", "--screw", "3mm"];
    let (small, large) = (1_usize << 20, 16_usize << 20);
    let cases: [(&[&str], &str, usize); 5] = [
        (&["find", "1 mm", "--lathe", "-"], &plain, small),
        (&[&box_of[..2], &["--gears", "-"], &box_of[4..]].concat(), &set, small),
        (&of_list, "1 mm\n", small),
        (&new, answers, small),
        (&of_chart, "thread,train\n1 mm,20-60\n", large),
    ];
    for (args, text, limit) in cases {
        let at = piped(fresh().path(), args, padded(text, limit));
        assert!(matches!(at.code, 0 | 1), "{args:?}: {at:?}");
        let above = piped(fresh().path(), args, padded(text, limit + 1));
        assert_eq!((above.code, above.out.as_str()), (2, ""), "{args:?}");
        let said = format!("standard input: larger than {} MiB", limit >> 20);
        assert!(above.err.contains(&said), "{args:?}: {}", above.err);
    }
}

/// Files made to fill the memory: each is refused in a few lines, within 256 MiB of address space
/// (`ulimit -v`), which the program itself does not need half of.
#[cfg(target_os = "linux")]
#[test]
fn hostile_files_are_refused_in_little_memory() {
    let lathe = |more: &str| {
        format!(
            r#"{{"format": 1, "lead_screw": {{"lead": "3 mm"}}, "headstock": {{"ratio": "1"}}, {more}}}"#
        )
    };
    let gears = |owned: &str| lathe(&format!(r#""gears": {{"owned": [{owned}]}}"#));
    let levers: Vec<String> = (0..100).map(|i| lever((i, 2))).collect();
    let long = "x".repeat(10 << 20);
    let cases = [
        (
            "a million gears as a count",
            gears(r#"{"teeth": 20, "count": 1000000}"#),
            "is outside 1 to 99",
        ),
        ("a million gears, listed", gears(&vec!["20"; 1_000_000].join(",")), "larger than 1 MiB"),
        ("as many as go into a file", gears(&vec!["20"; 340_000].join(",")), "339900 errors more"),
        ("long numbers", gears(&vec!["1234567890123456"; 60_000].join(",")), "there may be more"),
        (
            "a string of 10 MiB",
            lathe(&format!(r#""name": "{long}", {GEARS}"#)),
            "larger than 1 MiB",
        ),
        ("a key of 1 MiB", lathe(&format!(r#""{}": 1"#, &long[..1_000_000])), "is not known here"),
        ("lists in lists", "[".repeat(1_000_000), "not JSON: "),
        ("objects in objects", r#"{"gears":"#.repeat(100_000), "not JSON: "),
        ("a number past all", gears("1e999999"), "gears.owned[0]"),
        ("digits past all", gears(&"9".repeat(1_000_000)), "gears.owned[0]"),
        (
            "a lead past all",
            lathe(&format!(r#"{GEARS}, "feeds": {{"long": "1e999999 mm"}}"#)),
            "feeds.long",
        ),
        (
            "2^100 lever combinations",
            lathe(&format!(r#"{GEARS}, "gearbox": {{"levers": [{}]}}"#, levers.join(","))),
            "is outside 1 to 20000",
        ),
    ];
    let folder = fresh();
    for (name, text, said) in cases {
        std::fs::write(folder.path().join("lathe.json"), text).unwrap();
        let Run { code, out, err } = within_memory(folder.path(), &["find", "1 mm"]);
        assert_eq!((code, out.as_str()), (2, ""), "{name}: {err}");
        assert!(err.contains(said), "{name}: {err}");
        let told = err.lines().filter(|line| !line.starts_with("try: ")).count();
        // Ten errors, and that there are more; a bound that is passed is one error.
        let most = if said.ends_with("errors more") { 2 } else { 11 };
        let short = told <= most && err.len() < 2000;
        assert!(short, "{name}: {told} lines, {} bytes: {err}", err.len());
    }
}

/// Charts and lists of that kind.
#[cfg(target_os = "linux")]
#[test]
fn hostile_charts_and_lists_are_refused_in_little_memory() {
    let folder = fresh();
    let machine = ["--gears", "20,40,60", "--screw", "3mm"];
    let cases = [
        (
            "check",
            format!("thread,train\n{}", "1 mm,20-60\n".repeat(1_000_000)),
            "is outside 1 to 20000",
        ),
        ("check", "thread,".repeat(2_000_000), "there may be more"),
        ("check", "note,".repeat(2_000_000), "the chart has no row"),
        ("check", format!("thread,train\n{}", "1,2\n".repeat(1_000_000)), "there may be more"),
        ("check", format!("thread,train\n\"{}", "x".repeat(10 << 20)), "chart.csv"),
        ("check", "[".repeat(10 << 20), "chart.csv"),
        (
            "table",
            "1 mm\n2 mm\n".repeat(50_000)
                + &(1..3000).map(|n: u32| n.to_string()).collect::<Vec<_>>().join("/7 mm\n")
                + "/7 mm\n",
            "is outside 1 to 2000",
        ),
        ("table", "M10,".repeat(200_000), "200001 cells"),
        ("table", "x".repeat(10 << 20), "larger than 1 MiB"),
        ("table", "1e999999 mm\n".to_owned(), "chart.csv:1:1"),
    ];
    for (command, text, said) in cases {
        std::fs::write(folder.path().join("chart.csv"), text).unwrap();
        let file: &[&str] =
            if command == "check" { &["chart.csv"] } else { &["--list", "chart.csv"] };
        let args = [&[command], file, &machine[..]].concat();
        let Run { code, out, err } = within_memory(folder.path(), &args);
        assert_eq!((code, out.as_str()), (2, ""), "{said}: {err}");
        assert!(err.contains(said) && err.len() < 2000, "{said}: {err}");
    }
}

/// A run with so much address space; one thread, since each has a stack of its own.
#[cfg(target_os = "linux")]
fn within_memory(folder: &Path, args: &[&str]) -> Run {
    let inner = program(folder, args);
    let mut shell = std::process::Command::new("sh");
    for (name, value) in inner.get_envs() {
        match value {
            Some(value) => shell.env(name, value),
            None => shell.env_remove(name),
        };
    }
    shell.args(["-c", "ulimit -v 262144; exec \"$0\" \"$@\""]).arg(inner.get_program()).args(args);
    shell.env("RAYON_NUM_THREADS", "1").current_dir(folder).stdin(Stdio::null());
    shell.output().unwrap().into()
}
