//! Turns a minute by material and tool, held against the time to stop; and the feed for a roughness.

use super::{card, card_on, document, near, number, on, words};
use crate::util::{one_line, run};
use num_bigint::BigInt;
use num_rational::BigRational;
use serde_json::Value;
use solver::cutting::{Material, Operation, SpeedSource, ToolSteel, roughness};
use std::f64::consts::PI;

/// Each row of `data/surface_speeds.csv` that has a source, and no other speed said to have one.
#[test]
fn surface_speeds_are_those_of_their_sources() {
    let lines = include_str!("../data/surface_speeds.csv").lines();
    let mut rows = 0;
    for line in lines.filter(|line| !line.starts_with('#')).skip(1) {
        let row: Vec<&str> = line.split(',').collect();
        let material = Material::named(row[2]).expect(line);
        let tool = if row[1] == "hss" { ToolSteel::HighSpeed } else { ToolSteel::Carbon };
        let what = if row[0] == "turning" { Operation::Turning } else { Operation::Threading };
        let speed = material.speed(tool, what).expect(line);
        let feet = [speed.low, speed.high].map(|metres| (metres.to_f64() / 0.3048).round());
        assert_eq!(feet.map(|feet| feet.to_string()), [row[3], row[4]], "{line}");
        let source = match row[5] {
            "jones" => SpeedSource::Jones,
            "practice" => SpeedSource::Practice,
            _ => SpeedSource::Memory,
        };
        assert_eq!(speed.source, source, "{line}");
        rows += 1;
    }
    let all = Material::all().flat_map(|of| of.tools().map(move |tool| (of, tool)));
    let all = all.flat_map(|(of, tool)| {
        [Operation::Turning, Operation::Threading].map(|what| of.speed(tool, what))
    });
    let sourced = all.flatten().filter(|speed| speed.source != SpeedSource::Quarter);
    assert_eq!(sourced.count(), rows);
}

/// In a minute the rim of M20 passes the tool once a turn: so many turns and no more go into the speed.
#[test]
fn the_rim_runs_as_fast_as_the_material_bears() {
    for (args, across) in [
        (&["M20x1.5", "--material", "mild steel"][..], 20.0),
        (&["M20x1.5", "--internal", "--material", "brass"], 20.0),
        (&["0.1 mm/rev", "--diameter", "35 mm", "--surface", "25 m/min"], 35.0),
        (&["1/2-13 UNC", "--material", "Aluminum"], 12.7),
    ] {
        let card = card(args);
        near(&card, "/surface/diameter/mm", across, 1e-9);
        for i in 0..2 {
            let speed = number(&card, &format!("/surface/m_per_min/{i}"));
            let rpm = number(&card, &format!("/surface/rpm/{i}"));
            let rim = |turns: f64| PI * across * turns / 1000.0;
            assert!(rim(rpm) <= speed && speed < rim(rpm + 1.0), "{args:?}: {rpm}");
        }
    }
}

/// The smaller of the two, and its name, as the undercut grows.
#[test]
fn the_smaller_of_run_out_and_surface_speed_wins() {
    let mut seen = [0, 0];
    for width in ["1 mm", "3.2 mm", "8 mm", "9 mm", "40 mm"] {
        let card = card(&["M20x1.5", "--material", "mild steel", "--undercut", width]);
        let (enough, low) =
            (number(&card, "/speed/enough_time_rpm"), number(&card, "/surface/rpm/0"));
        assert!((number(&card, "/surface/begin_rpm") - enough.min(low)).abs() < 0.5, "{width}");
        let wins = if enough < low { "run_out" } else { "surface" };
        assert_eq!(words(&card, "/surface/decides"), wins, "{width}");
        seen[usize::from(enough < low)] += 1;
        // It is among the speeds that are timed.
        let lathe = card["surface"]["lathe_rpm"].clone();
        if !lathe.is_null() {
            let timed = card["speed"]["at"].as_array().expect("speeds");
            assert!(timed.iter().any(|at| at["rpm"] == lathe), "{width}: {timed:?}");
        }
    }
    assert!(seen.iter().all(|count| *count > 0), "{seen:?}");
    // The tool begins in the undercut: it has no need to stop there.
    let away = card(&["M20x1.5", "--material", "mild steel", "--away", "--undercut", "1 mm"]);
    assert_eq!(words(&away, "/surface/decides"), "surface");
}

#[test]
fn the_card_says_which_one_wins_and_where_it_comes_from() {
    let page = |args: &[&str]| one_line(&run(&[&["card"], args].concat()).out);
    let steel = page(&["M20x1.5", "--material", "mild steel", "--undercut", "regular"]);
    for said in [
        "Begin at 63 rpm: the time to stop in the undercut decides; the surface speed allows 169 rpm.",
        "Mild steel, HSS tool: 10.7 to 12.2 m/min (35 to 40 ft/min); at 20.000 mm (0.7874 in) across",
        "169 to 194 rpm. Unverified: check it.",
    ] {
        assert!(steel.contains(said), "{said}: {steel}");
    }
    let brass = ["0.1 mm/rev", "--material", "brass", "--tool", "carbon", "--diameter", "30 mm"];
    let brass = page(&brass);
    assert!(
        brass.contains("Turning and Boring (1919)") && brass.contains("Begin at 485"),
        "{brass}"
    );
    assert!(!brass.contains("nverified"), "{brass}");
    let slow =
        page(&["M20x1.5", "--lathe", "tug", "--material", "mild steel", "--undercut", "0.8 mm"]);
    assert!(slow.contains("The lathe has none so slow: turn it by hand."), "{slow}");
    // Nothing of it where no material was named.
    assert!(!page(&["M20x1.5"]).contains("Begin at"));
    assert_eq!(card(&["M20x1.5"])["surface"], Value::Null);
}

#[test]
fn what_has_no_speed_is_one_error() {
    for (args, wrong, right) in [
        (
            &["M10", "--material", "cheese"][..],
            "--material `cheese`",
            "mild steel, medium-carbon steel",
        ),
        (&["M10", "--material", "brass", "--tool", "carbide"], "--tool `carbide`", "--surface"),
        (
            &["M10", "--material", "tool steel", "--tool", "hss"],
            "--tool: no speed is held",
            "leave",
        ),
        (&["1.5 mm", "--material", "brass"], "--diameter: a surface speed needs", "--diameter"),
        (&["M10", "--surface", "30"], "--surface `30`", "30 m/min or 100 ft/min"),
        (&["M10", "--surface", "99999 m/min"], "no work runs so fast", "m/min"),
        (&["0.1 mm/rev", "--diameter", "30 mm"], "--diameter: `0.1 mm/rev` is a feed", "leave"),
        (&["Ra 1.6"], "Ra 1.6: the nose radius", "--nose 0.4mm"),
        (
            &["Ra 1.6", "--nose", "0.4 mm", "--rank", "2"],
            "--rank: Ra 1.6 has one feed only",
            "leave",
        ),
        (&["Ra 100", "--nose", "0.4 mm"], "Ra 100: ", "finer"),
        (&["Ra 0.001", "--nose", "0.2 mm"], "Ra 0.001: no feed of these gears", "coarser"),
        (&["Ra 1.6 furlongs", "--nose", "0.4 mm"], "a roughness in um or uin", "Ra 63 uin"),
        (&["Ra 1.6", "--nose", "0.4 mm", "--internal"], "--internal: `Ra 1.6` is a feed", "leave"),
    ] {
        let printed = run(&[&["card"], args].concat());
        assert_eq!((printed.code, &printed.out[..]), (2, ""), "{args:?}");
        assert!(printed.err.contains(wrong) && printed.err.contains(right), "{}", printed.err);
        assert_eq!(printed.err.lines().count(), 2, "{}", printed.err);
    }
    for command in ["find", "table"] {
        let printed = run(&[command, "Ra 1.6"]);
        assert_eq!(printed.code, 2);
        assert!(
            printed.err.contains("trainwright card \"Ra 1.6\" --nose 0.4mm"),
            "{}",
            printed.err
        );
    }
}

/// The profile between two turns, a parabola, stepped through: its mean line, then the mean of what is
/// above and below. Rows: 1000 f, 1000 r, Ra in micrometres as the formula in tables has it.
#[test]
fn ra_is_the_mean_of_the_profile() {
    const STEPS: u32 = 200_000;
    for (feed, nose, ra) in [
        (0.05, 0.4, 0.2),
        (0.1, 0.4, 0.802),
        (0.2, 0.4, 3.208),
        (0.1, 0.8, 0.401),
        (0.2, 0.8, 1.604),
        (0.3, 0.8, 3.608),
        (0.127, 0.397, 1.303),
        (0.2, 1.2, 1.069),
    ] {
        let height = |i: u32| {
            let x = feed * ((f64::from(i) + 0.5) / f64::from(STEPS) - 0.5);
            x * x / (2.0 * nose)
        };
        let mean = (0..STEPS).map(height).sum::<f64>() / f64::from(STEPS);
        let off = (0..STEPS).map(|i| (height(i) - mean).abs()).sum::<f64>() / f64::from(STEPS);
        let length = |mm: f64| format!("{mm} mm").parse().expect("a length");
        let formula = 1000.0 * roughness(length(feed), length(nose)).expect("a roughness").mm();
        assert!((formula - 1000.0 * off).abs() < 1e-5 * formula, "{feed} {nose}: {formula}");
        assert!((formula - ra).abs() < 0.0006, "{feed} {nose}: {formula}");
    }
}

/// Four feeds by a lever, and no other gears. Ra 1.6 with 0.4 mm: 0.1413 mm, so 1/8. With 0.2 mm the
/// limit is 0.0999 mm: 0.1 is a hair too coarse.
#[test]
fn the_feed_is_the_coarsest_that_is_not_too_coarse() {
    let lathe = r#"{"format": 1, "lead_screw": {"lead": "2 mm"}, "headstock": {"ratio": "1"},
        "gears": {"owned": [40, 40]}, "studs": 0, "feeds": {"long": "1 mm", "cross": "0.5 mm"},
        "gearbox": {"levers": [{"name": "Feed", "positions":
            {"A": "1/8", "B": "1/10", "C": "1/16", "D": "1/20"}}]},
        "fitted": {"train": "40-40", "levers": {"Feed": "D"}}}"#;
    for (words, nose, feed, lever) in [
        ("Ra 1.6", "0.4 mm", 0.125, "A"),
        ("Ra 1.6", "0.2 mm", 0.0625, "C"),
        ("Ra 1.61", "0.2 mm", 0.1, "B"),
        ("Ra 63 uin", "0.4 mm", 0.125, "A"),
        ("Ra 0.4 um", "0.4 mm", 0.0625, "C"),
        ("Ra 0.4 cross", "0.4 mm", 0.0625, "A"),
    ] {
        let card = card_on(lathe, &[words, "--nose", nose]);
        near(&card, "/feed/travel/mm", feed, 1e-9);
        assert_eq!(card["solution"]["levers"]["Feed"], lever, "{words} {nose}");
        near(&card, "/feed/wanted/without_gears/mm", feed, 1e-9);
    }
    let none = on(lathe, &["Ra 0.1", "--nose", "0.4 mm"]);
    assert_eq!(none.code, 2, "{}", none.err);
}

fn fraction(text: &str) -> BigRational {
    let number = |text: &str| text.parse::<BigInt>().expect("a whole number");
    match text.split_once('/') {
        Some((top, bottom)) => BigRational::new(number(top), number(bottom)),
        None => number(text).into(),
    }
}

/// f² <= 18 sqrt(3) r Ra, squared: f⁴ <= 972 r² Ra², exact. The next coarser feed that `find` has is past
/// it.
#[test]
fn no_feed_of_the_demo_lathes_is_past_the_limit() {
    let nose = BigRational::new(2.into(), 5.into());
    for lathe in ["dinghy", "ketch", "tug"] {
        for (words, ra) in
            [("Ra 1.6", (16, 10_000)), ("Ra 0.8", (8, 10_000)), ("Ra 3.2", (32, 10_000))]
        {
            let ra = BigRational::new(ra.0.into(), ra.1.into());
            let limit = BigRational::from(BigInt::from(972)) * nose.pow(2) * ra.pow(2);
            let reaches = |feed: &BigRational| feed.pow(4) <= limit;
            let card = document(&[words, "--nose", "0.4 mm", "--lathe", lathe])["card"].clone();
            let feed = fraction(super::words(&card, "/solution/lead_mm"));
            assert!(reaches(&feed), "{lathe} {words}: {feed}");
            let ra_um = number(&card, "/feed/finish/0/ra_um");
            assert!(ra_um <= number(&card, "/feed/wanted/ra_um"), "{lathe} {words}");
            let near = format!("{} mm/rev", number(&card, "/feed/wanted/limit/mm"));
            let found =
                run(&["find", &near, "-n", "60", "--lathe", lathe, "--format", "json", "-q"]);
            let found: Value = serde_json::from_str(&found.out).expect("JSON");
            let all = found["results"][0]["solutions"].as_array().expect("solutions");
            let feeds = all.iter().map(|one| fraction(super::words(one, "/lead_mm")));
            assert_eq!(feeds.filter(reaches).max(), Some(feed), "{lathe} {words}");
        }
    }
}
