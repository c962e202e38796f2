//! The figures against a plain count: every choice of two or four gears, tried one by one.

use super::{PLAIN, document, leads, reach};
use crate::util::{one_line, run};
use serde_json::Value;
use solver::{Lead, Thread, thread};
use std::collections::BTreeMap;

/// Teeth of [`PLAIN`].
const TEETH: [u64; 12] = [20, 20, 25, 30, 35, 38, 40, 45, 50, 63, 80, 127];

/// Euclid's.
fn gcd(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// Every lead of [`PLAIN`] in mm with the fewest gears for it, by reduced fraction: 3 mm times driver
/// over driven, once or twice.
fn counted() -> Vec<(u64, u64, usize)> {
    let mut all: BTreeMap<(u64, u64), usize> = BTreeMap::new();
    let mut add = |above: u64, below: u64, gears: usize| {
        let part = gcd(3 * above, below);
        let fewest = all.entry((3 * above / part, below / part)).or_insert(gears);
        *fewest = gears.min(*fewest);
    };
    let n = TEETH.len();
    for (a, first) in TEETH.iter().enumerate() {
        for b in (0..n).filter(|b| *b != a) {
            add(*first, TEETH[b], 2);
            for c in (0..n).filter(|c| ![a, b].contains(c)) {
                for d in (0..n).filter(|d| ![a, b, c].contains(d)) {
                    add(first * TEETH[c], TEETH[b] * TEETH[d], 4);
                }
            }
        }
    }
    let mut all: Vec<(u64, u64, usize)> = all.into_iter().map(|((a, b), g)| (a, b, g)).collect();
    all.sort_by(|x, y| (x.0 * y.1).cmp(&(y.0 * x.1)));
    all
}

/// As the document writes a fraction.
fn fraction((above, below, _): &(u64, u64, usize)) -> String {
    if *below == 1 { above.to_string() } else { format!("{above}/{below}") }
}

#[expect(clippy::cast_precision_loss, reason = "small numbers")]
fn mm((above, below, _): &(u64, u64, usize)) -> f64 {
    *above as f64 / *below as f64
}

/// Those of the usual span: 0.2 mm to 127/20 mm.
fn in_span() -> Vec<(u64, u64, usize)> {
    let within = |(a, b, _): &(u64, u64, usize)| 5 * a >= *b && 20 * a <= 127 * b;
    counted().into_iter().filter(within).collect()
}

#[test]
fn every_lead_is_there_once() {
    let wanted = in_span();
    let found = document(&PLAIN);
    let all: Vec<String> = wanted.iter().map(fraction).collect();
    assert!(all.len() > 800, "{} leads", all.len());
    assert_eq!(leads(&found), all);
    for (lead, (.., fewest)) in found["leads"].as_array().unwrap().iter().zip(&wanted) {
        // Between two gears an idler may stand that cuts the same.
        let gears = lead["gears"].as_u64().unwrap();
        assert!(gears == *fewest as u64 || (*fewest == 2 && gears == 3), "{lead}");
    }
    let summary = &found["summary"];
    assert_eq!(summary["leads"], all.len());
    assert_eq!(summary["listed"], all.len());
    assert_eq!(summary["complete"], true);
    assert_eq!(summary["refused"], 0);
    assert_eq!(summary["shortest"]["lead_mm"].as_str(), all.first().map(String::as_str));
    assert_eq!(summary["longest"]["lead_mm"].as_str(), all.last().map(String::as_str));
}

#[test]
fn a_train_cuts_the_lead_that_it_stands_beside() {
    for lead in document(&PLAIN)["leads"].as_array().unwrap() {
        let shafts: Vec<Vec<u64>> = serde_json::from_value(lead["shafts"].clone()).unwrap();
        let (mut above, mut below) = (3, 1);
        for (i, shaft) in shafts.iter().enumerate() {
            above *= if i + 1 < shafts.len() { shaft[shaft.len() - 1] } else { 1 };
            below *= if i > 0 { shaft[0] } else { 1 };
        }
        let part = gcd(above, below);
        assert_eq!(lead["lead_mm"], fraction(&(above / part, below / part, 0)), "{lead}");
    }
}

#[test]
fn the_widest_gap_is_the_widest() {
    let all = in_span();
    // (b - a) / a as a fraction of whole numbers.
    let share = |pair: &[(u64, u64, usize)]| {
        let [(a, b, _), (c, d, _)] = pair else { unreachable!() };
        (c * b - a * d, a * d)
    };
    let wider = |x: &&[_], y: &&[_]| {
        let ((p, q), (r, s)) = (share(x), share(y));
        (u128::from(p) * u128::from(s)).cmp(&(u128::from(r) * u128::from(q)))
    };
    let widest = all.windows(2).max_by(wider).unwrap();
    let (p, q) = share(widest);
    let part = gcd(p, q);
    let gap = &document(&PLAIN)["summary"]["widest_gap"];
    assert_eq!(gap["share"], format!("{}/{}", p / part, q / part));
    // Of equal ones the first is named.
    let equal = |pair: &&[_]| share(pair).0 * q == share(pair).1 * p;
    let first = all.windows(2).find(equal).unwrap();
    assert_eq!(gap["from"]["lead_mm"], fraction(&first[0]));
    assert_eq!(gap["to"]["lead_mm"], fraction(&first[1]));
}

/// The lead of a thread in doubles, which tell apart what is compared here.
fn lead_mm(thread: &Thread) -> f64 {
    let lead: Lead = thread.lead();
    let pi = if lead.has_pi() { std::f64::consts::PI } else { 1.0 };
    lead.mm().to_f64() * pi
}

#[test]
fn the_standard_pitches_met_and_missed_are_those_of_a_plain_look() {
    let all = counted();
    let found = document(&PLAIN);
    let standards = found["summary"]["standards"].as_array().unwrap();
    let (mut threads, mut states) = (0, BTreeMap::new());
    for thread in thread::all() {
        let wanted = lead_mm(&thread);
        let of =
            |s: &&Value| s["threads"].as_array().unwrap().contains(&thread.designation().into());
        let entry = standards.iter().find(of);
        if !(0.2..=6.35 + 1e-12).contains(&wanted) {
            assert_eq!(entry, None, "{thread:?} is outside of the span");
            continue;
        }
        let entry = entry.unwrap_or_else(|| panic!("{thread:?}"));
        threads += 1;
        let error = all.iter().map(|lead| mm(lead) / wanted - 1.0);
        let nearest = error.min_by(|a, b| a.abs().total_cmp(&b.abs())).unwrap();
        let state = match nearest.abs() {
            ..1e-12 => "exact",
            ..200e-6 => "near",
            _ => "missed",
        };
        assert_eq!(entry["state"], state, "{thread:?}: {nearest}");
        let said = entry["nearest"]["error_ppm"].as_f64().unwrap();
        assert!((said - nearest * 1e6).abs() < 1e-3, "{thread:?}: {nearest}, {said}");
        *states.entry(state).or_insert(0) += 1;
    }
    assert!(threads > 200 && states.len() == 3, "{threads} threads, {states:?}");
    // The page counts pitches, not threads.
    let count = |state: &str| standards.iter().filter(|s| s["state"] == state).count();
    let (exact, near, missed) = (count("exact"), count("near"), count("missed"));
    let page = one_line(&reach(&PLAIN).out);
    let words = format!(
        "{} of {} met: {exact} exact, {near} within 200 ppm; {missed} missed",
        exact + near,
        standards.len()
    );
    assert!(page.contains(&words), "{words}: {page}");
}

#[test]
fn a_series_is_counted_by_its_pitches() {
    let page = reach(&[&PLAIN[..], &["--long"]].concat()).out;
    let row = page.lines().find(|line| line.contains("ISO metric coarse")).unwrap();
    let counts: Vec<usize> = row.split_whitespace().filter_map(|w| w.parse().ok()).collect();
    let found = document(&PLAIN);
    let coarse: Vec<&str> = thread::all()
        .filter(|t| t.series().key() == "metric-coarse")
        .map(|t| t.designation())
        .collect();
    let of = |s: &&Value| {
        s["threads"].as_array().unwrap().iter().any(|t| coarse.contains(&t.as_str().unwrap()))
    };
    let standards = found["summary"]["standards"].as_array().unwrap();
    let count = |state: &str| standards.iter().filter(of).filter(|s| s["state"] == state).count();
    let states = ["exact", "near", "missed"].map(count);
    assert_eq!(counts[0], states.iter().sum::<usize>());
    assert_eq!(counts[1..], states);
}

#[test]
fn the_threads_beside_a_lead_are_the_next_ones() {
    let threads: Vec<Thread> = thread::all().collect();
    for lead in document(&PLAIN)["leads"].as_array().unwrap().iter().step_by(7) {
        let cut = lead["lead_mm_rounded"].as_f64().unwrap();
        for (side, sign) in [("below", 1.0), ("above", -1.0)] {
            let beside = |t: &&Thread| match lead_mm(t) - cut {
                gap if gap.abs() < 1e-12 => sign > 0.0,
                gap => gap * sign < 0.0,
            };
            let near = |a: &&Thread, b: &&Thread| {
                let size = |t: &Thread| (lead_mm(t) - cut).abs();
                size(a).total_cmp(&size(b))
            };
            let next = threads.iter().filter(beside).min_by(near).unwrap();
            let said = &lead[side];
            let error = said["error_ppm"].as_f64().unwrap();
            let wanted = (cut / lead_mm(next) - 1.0) * 1e6;
            assert!((error - wanted).abs() < 1e-3, "{side} of {cut}: {said}, {next:?}");
        }
    }
}

#[test]
fn a_pitch_at_the_end_of_the_span_is_met_by_a_lead_beyond_it() {
    // The Dinghy cuts 1.5 mm by 48-64+63-80: 125 ppm long.
    let found = document(&["--lathe", "dinghy", "--from", "1 mm", "--to", "1.5 mm"]);
    let standards = found["summary"]["standards"].as_array().unwrap();
    let end = standards.iter().find(|s| s["lead_mm"] == "3/2").unwrap();
    assert_eq!(end["state"], "near");
    assert_eq!(end["nearest"]["error"], "1/8000");
    let longest = found["leads"].as_array().unwrap().last().unwrap();
    assert!(longest["lead_mm_rounded"].as_f64().unwrap() <= 1.5, "{longest}");
    let page = reach(&["--lathe", "dinghy", "--from", "1 mm", "--to", "1.5 mm", "--long"]).out;
    assert!(page.contains("just beyond       1.5 mm is met by ~1.50019 mm, "), "{page}");
    // A pitch outside of the span is not asked about.
    let found = document(&["--lathe", "dinghy", "--from", "1.0002 mm", "--to", "1.1 mm"]);
    assert!(found["summary"]["standards"].as_array().unwrap().iter().all(|s| s["lead_mm"] != "1"));
}

#[test]
fn find_names_the_same_train() {
    for lathe in ["dinghy", "ketch", "tug"] {
        let found = document(&["--lathe", lathe, "--from", "0.7 mm", "--to", "0.75 mm"]);
        let rows = found["leads"].as_array().unwrap();
        assert!(rows.len() > 20, "{lathe}: {} leads", rows.len());
        for row in rows.iter().step_by(rows.len() / 4) {
            let lead = format!("{} mm", row["lead_mm"].as_str().unwrap());
            let args = ["find", &lead, "--lathe", lathe, "--count", "1", "-f", "json", "-q"];
            let printed = run(&args);
            let answer: Value = serde_json::from_str(&printed.out).expect(&printed.err);
            let best = &answer["results"][0]["solutions"][0];
            for key in ["lead_mm", "levers", "tumbler", "hand", "ratio", "gears"] {
                assert_eq!(best[key], row[key], "{lathe} {lead}: {key}");
            }
            assert_eq!(
                (&best["error"], &best["fit"]["state"]),
                (&"0".into(), &row["fit"]["state"])
            );
        }
    }
}

#[test]
fn only_what_was_asked_is_listed() {
    let all = document(&PLAIN);
    let all = all["leads"].as_array().unwrap();
    let size = |row: &Value| {
        let side = |side: &str| row[side]["error_ppm"].as_f64().map_or(f64::MAX, f64::abs);
        side("below").min(side("above"))
    };
    let standard = document(&[&PLAIN[..], &["--standard"]].concat());
    let near: Vec<&Value> = all.iter().filter(|row| size(row) <= 200.0).collect();
    assert_eq!(standard["leads"].as_array().unwrap().iter().collect::<Vec<_>>(), near);
    assert!(near.len() > 20 && near.len() < all.len());
    // Those that were left out are counted all the same.
    assert_eq!(standard["summary"]["leads"], all.len());
    let closer = document(&[&PLAIN[..], &["--standard", "--within", "20ppm"]].concat());
    let closer = closer["leads"].as_array().unwrap().len();
    assert_eq!(closer, near.iter().filter(|row| size(row) <= 20.0).count());
    assert!(closer < near.len());
}

#[test]
fn rows_are_sorted_as_asked() {
    let by_gears = document(&[&PLAIN[..], &["--sort", "gears"]].concat());
    let rows = by_gears["leads"].as_array().unwrap();
    let key =
        |row: &Value| (row["gears"].as_u64().unwrap(), row["lead_mm_rounded"].as_f64().unwrap());
    assert!(rows.windows(2).all(|pair| key(&pair[0]) < key(&pair[1])));
    assert_eq!(rows.len(), in_span().len());
    let by_error = document(&[&PLAIN[..], &["--sort", "error", "--count", "300"]].concat());
    let rows = by_error["leads"].as_array().unwrap();
    let size = |row: &Value| {
        let side = |side: &str| row[side]["error_ppm"].as_f64().map_or(f64::MAX, f64::abs);
        side("below").min(side("above"))
    };
    assert!(rows.windows(2).all(|pair| size(&pair[0]) <= size(&pair[1]) + 1e-9));
    assert_eq!((rows.len(), &by_error["summary"]["listed"]), (300, &300.into()));
    // So many and no more, also of ascending leads, and the rest is counted.
    let first = document(&[&PLAIN[..], &["--count", "7"]].concat());
    assert_eq!(leads(&first), in_span()[..7].iter().map(fraction).collect::<Vec<_>>());
    assert_eq!(first["summary"]["leads"], in_span().len());
}

#[test]
fn a_hand_that_takes_an_idler_is_heeded() {
    // The driving gear turns as the spindle does, the screw is right-hand: two gears alone turn it
    // backward, so a right-hand thread takes an idler or a pair on one stud.
    let folder = crate::util::fresh();
    let lathe = r#"{"format": 1, "lead_screw": {"lead": "3 mm"}, "studs": 1,
        "headstock": {"ratio": "1", "turns": "same"}, "gears": {"owned": [20, 30, 40]}}"#;
    std::fs::write(folder.path().join("lathe.json"), lathe).unwrap();
    let gears = |hand: &str| {
        let args = ["reach", "--hand", hand, "--no-fit", "-f", "json"];
        let printed = crate::util::run_in(folder.path(), &args);
        let found: Value = serde_json::from_str(&printed.out).unwrap();
        let rows = found["leads"].as_array().unwrap().clone();
        assert!(rows.iter().all(|row| row["hand"] == hand), "{rows:?}");
        rows.iter().map(|row| row["gears"].as_u64().unwrap()).collect::<Vec<_>>()
    };
    // 20-30, 20-40, 30-40 and back, of which 3 mm x 2 = 6 mm is in the span too.
    assert_eq!(gears("left"), [2; 6]);
    assert_eq!(gears("right"), [3; 6]);
}

#[test]
fn feeds_have_their_own_span_and_no_standard() {
    let feeds = document(&["--lathe", "ketch", "--feeds"]);
    assert_eq!(feeds["asked"]["travel"], "long feed");
    assert_eq!(
        (&feeds["asked"]["from"]["lead_mm"], &feeds["asked"]["to"]["lead_mm"]),
        (&"1/50".into(), &"1".into())
    );
    assert_eq!(feeds["asked"]["hand"], Value::Null);
    let rows = feeds["leads"].as_array().unwrap();
    assert!(rows.iter().all(|row| row["below"].is_null() && row["above"].is_null()));
    assert_eq!(feeds["summary"]["standards"], Value::Array(Vec::new()));
    let cross = document(&["--lathe", "tug", "--cross"]);
    assert_eq!(cross["asked"]["travel"], "cross feed");
    assert_ne!(leads(&cross), leads(&document(&["--lathe", "tug", "--feeds"])));
    // Feeds are asked for as such, or by the lead alone.
    let said = |from| leads(&document(&["--lathe", "ketch", "--feeds", "--from", from])).len();
    assert_eq!(said("0.5 mm/rev"), said("0.5 mm"));
}

#[test]
fn an_end_that_was_not_said_gives_way() {
    let asked = |args: &[&str]| {
        let printed = reach(&[args, &["--lathe", "dinghy", "-f", "json", "--count", "1"]].concat());
        let found: Value = serde_json::from_str(&printed.out).unwrap();
        (found["asked"]["from"]["lead_mm"].clone(), found["asked"]["to"]["lead_mm"].clone())
    };
    assert_eq!(asked(&[]), ("1/5".into(), "127/20".into()));
    assert_eq!(asked(&["--from", "M6"]), ("1".into(), "127/20".into()));
    assert_eq!(asked(&["--from", "10 mm"]), ("10".into(), Value::Null));
    assert_eq!(asked(&["--to", "0.1 mm"]), (Value::Null, "1/10".into()));
    assert_eq!(asked(&["--from", "M6", "--to", "8 tpi"]), ("1".into(), "127/40".into()));
}

#[test]
fn where_nothing_is_cut_the_answer_is_no() {
    for format in ["text", "csv", "json", "html"] {
        let none = reach(&["--from", "0.01 mm", "--to", "0.02 mm", "-f", format, "-q"]);
        assert_eq!((none.code, none.err.as_str()), (1, ""), "{format}: {}", none.out);
    }
    let words = reach(&["--from", "0.01 mm", "--to", "0.02 mm"]).out;
    assert!(words.contains("Nothing can be cut there."), "{words}");
}
