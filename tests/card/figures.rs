//! The figures, section by section.

use super::{card, card_on, near, number, words};
use serde_json::{Value, json};

/// Gears 48-64+63-80 on 10 TPI: 25.4/10 x 48/64 x 63/80.
const M10: f64 = 2.54 * 0.75 * 0.7875;

/// A lathe of one gear pair, with what else is said of it.
fn lathe(screw: &str, gears: &str, more: &str) -> String {
    format!(
        r#"{{"format": 1, "name": "Bench", "lead_screw": {{"lead": "{screw}"}},
            "headstock": {{"ratio": 1, "turns": "same", "tumbler": {{"up": "same", "down": "opposite"}}}},
            "gears": {{"owned": [{gears}]}}, "studs": 1{more}}}"#
    )
}

#[test]
fn turning_by_hand_moves_the_carriage_by_leads() {
    let card = card(&["M10"]);
    near(&card, "/solution/lead_mm_rounded", M10, 1e-9);
    assert_eq!(card["by_hand"]["turns"], 10);
    near(&card, "/by_hand/travel/mm", 10.0 * M10, 1e-6);
    near(&card, "/by_hand/travel/inches", 10.0 * M10 / 25.4, 1e-7);
    assert_eq!(card["by_hand"]["travel"]["exact_mm"], "24003/1600");
    // One turn of the screw: 80/63 x 64/48.
    assert_eq!(card["by_hand"]["turns_for_one_of_the_screw"], "320/189");
}

/// What a wrong gearing would measure on this lathe: 10 TPI x 48/64 x 63/80 is right.
#[test]
fn a_scratch_pass_tells_wrong_gearing() {
    let card = card(&["M10"]);
    near(&card, "/scratch/length/mm", 10.0 * M10, 1e-6);
    let slips = card["scratch"]["slips"].as_array().unwrap();
    // The tumbler: the same lead of the other hand. The 63 driven and the 64 driving: x (64/63)^2. The
    // fitted 24-76+24-80 cuts 9/95 of 10 TPI. The 80 of the driven shaft does not go on the first.
    let wanted = [
        ("tumbler at down", 1.0, "left"),
        ("64 and 63 the wrong way round", (64.0 / 63.0_f64).powi(2), "right"),
        ("the fitted gears left on", 2.54 * 9.0 / 95.0 / M10, "right"),
    ];
    assert_eq!(slips.len(), wanted.len(), "{slips:?}");
    for (slip, (what, times, hand)) in slips.iter().zip(wanted) {
        assert_eq!((words(slip, "/what"), words(slip, "/hand")), (what, hand));
        near(slip, "/length/mm", 10.0 * M10 * times, 1e-5);
    }
    // A joined pair that is not turned round is not put on the wrong way.
    let keyed = lathe("8 tpi", "28, 48", "").replace(
        r#""owned": [28, 48]"#,
        r#""owned": [28, 48], "joined": [{"gears": [127, 120], "turn_round": false}]"#,
    );
    // Base 8 TPI, 28/127 x 120/48 gives 1.75; with the 127 as an idler 127/120 of it; 48/127 x 120/28
    // gives (48/28)^2 as much.
    let card = card_on(&keyed, &["1.75 mm"]);
    let whats: Vec<_> = card["scratch"]["slips"].as_array().unwrap().iter().collect();
    let whats: Vec<_> = whats.into_iter().map(|slip| words(slip, "/what")).collect();
    let idles = "the 127 alone in mesh, as an idler";
    assert_eq!(whats, ["tumbler at down", idles, "28 and 48 exchanged"]);
    near(&card, "/scratch/slips/1/length/mm", 17.5 * 127.0 / 120.0, 1e-5);
    near(&card, "/scratch/slips/2/length/mm", 17.5 * (48.0 / 28.0_f64).powi(2), 1e-5);
}

/// ISO 68-1: from the basic crest a screw's depth with the root H/6 is 0.613435 P; with another nose
/// 0.7578 P - r. The blank is 9.85 mm, the aim 8.928 mm (the middle of 6g), so that the crest is 0.461 mm
/// high and not 3/8 H = 0.487139 mm.
#[test]
fn depth_is_for_the_tool_and_the_blank_at_hand() {
    let of = |args: &[&str]| card(&[&["M10"], args].concat());
    let screw = 0.461 - 0.487_139;
    near(&of(&[]), "/blank/across/mm", 9.85, 1e-9);
    near(&of(&[]), "/tool/aim/pitch/mm", 8.928, 1e-9);
    near(&of(&[]), "/tool/depth/mm", 0.613_435 * 1.5 + screw, 2e-6);
    near(&of(&[]), "/tool/root_diameter/mm", 8.928 - 2.0 * 0.433_013, 2e-6);
    near(&of(&["--nose", "0.1 mm"]), "/tool/depth/mm", 0.757_772 * 1.5 - 0.1 + screw, 2e-6);
    near(&of(&["--flat", "0.1 mm"]), "/tool/depth/mm", 0.757_772 * 1.5 - 0.086_603 + screw, 2e-6);
    near(&of(&["--flat", "0"]), "/tool/depth/mm", 0.757_772 * 1.5 + screw, 2e-6);
    // Half of what the blank is larger.
    near(&of(&["--blank", "9.9 mm"]), "/tool/depth/mm", 0.613_435 * 1.5 + screw + 0.025, 2e-6);
    let nut = of(&["--internal"]);
    // The bore 8.53, the aim 9.116 (6H); 5/16 H of root below the pitch line: 0.541266 P - H/4.
    near(&nut, "/blank/across/mm", 8.53, 1e-9);
    near(&nut, "/tool/depth/mm", (9.116 - 8.53) / 2.0 + (0.541_266 - 0.216_506) * 1.5, 2e-6);
    near(&nut, "/tool/tip_size/mm", 1.5 / 8.0, 1e-6);
    for (args, root) in [
        (&["--nose", "0.29 mm"][..], "too_shallow"),
        (&["--nose", "0.1 mm"][..], "deeper"),
        (&[][..], "of_the_form"),
    ] {
        assert_eq!(words(&of(args), "/tool/root"), root, "{args:?}");
    }
    // Basic sizes, where no diameter is known: worms 2.25 m.
    let worm = card(&["module 1"]);
    near(&worm, "/tool/depth/mm", 2.25, 1e-9);
    assert_eq!((&worm["blank"], &worm["tool"]["aim"]), (&Value::Null, &Value::Null));
}

/// Half a degree less than the flank: depth / cos, and the other reading is what is left of 90.
#[test]
fn the_top_slide_travels_further() {
    for (args, from_cross, degrees, toward) in [
        (&["M10"][..], "59/2", 29.5_f64, "headstock"),
        (&["M10", "--hand", "left"][..], "59/2", 29.5, "tailstock"),
        (&["1/2 BSW"][..], "27", 27.0, "headstock"),
        (&["0 BA"][..], "93/4", 23.25, "headstock"),
        (&["Tr 10x2", "--lathe", "ketch"][..], "29/2", 14.5, "headstock"),
        (&["1/2-10 ACME"][..], "14", 14.0, "headstock"),
    ] {
        let card = card(args);
        let depth = number(&card, "/tool/depth/mm");
        assert_eq!(words(&card, "/tool/slide/from_cross_slide"), from_cross, "{args:?}");
        let bed: f64 = fraction(words(&card, "/tool/slide/from_bed"));
        assert!((bed - (90.0 - degrees)).abs() < 1e-12, "{args:?}");
        near(&card, "/tool/slide/travel/mm", depth / degrees.to_radians().cos(), 1e-5);
        assert_eq!(words(&card, "/tool/slide/toward"), toward, "{args:?}");
    }
}

fn fraction(text: &str) -> f64 {
    let mut parts = text.split('/').map(|part| part.parse::<f64>().unwrap());
    let top = parts.next().unwrap();
    top / parts.next().unwrap_or(1.0)
}

/// ISO 965-2 prints 8.994 / 8.862 and 9.968 / 9.732 for M10 6g, and 9.206 / 9.026 and 8.676 / 8.376 for
/// 6H; ASME B1.1 prints 0.4485 / 0.4435 for 1/2-13 UNC-2A. From memory, as in the solver's tests.
#[test]
fn sizes_are_those_of_the_standards() {
    let screw = card(&["M10"]);
    for (path, mm) in [
        ("major/greatest", 9.968),
        ("major/least", 9.732),
        ("pitch/greatest", 8.994),
        ("pitch/least", 8.862),
        ("minor/greatest", 8.344),
        ("pitch/basic", 9.025_721),
    ] {
        near(&screw, &format!("/sizes/{path}/mm"), mm, 1e-6);
    }
    assert_eq!((words(&screw, "/sizes/class"), words(&screw, "/sizes/part")), ("6g", "screw"));
    let nut = card(&["M10", "--internal"]);
    for (path, mm) in [("pitch/greatest", 9.206), ("minor/greatest", 8.676), ("minor/least", 8.376)]
    {
        near(&nut, &format!("/sizes/{path}/mm"), mm, 1e-6);
    }
    assert_eq!((words(&nut, "/sizes/class"), &nut["sizes"]["wires"]), ("6H", &Value::Null));
    let unified = card(&["1/2-13 UNC"]);
    near(&unified, "/sizes/pitch/greatest/inches", 0.4485, 1e-7);
    near(&unified, "/sizes/pitch/least/inches", 0.4435, 1e-7);
    let special = card(&["1.5 mm", "--diameter", "10 mm", "--class", "6g"]);
    assert_eq!(special["sizes"]["pitch"], screw["sizes"]["pitch"]);
    assert_eq!(card(&["1.5 mm"])["sizes"], Value::Null);
}

/// M = E + 3 W - 0.866025 P for 60 degrees, best wire 0.57735 P (ASME B1.2; F. D. Jones, Turning and
/// Boring): 3/4-10 over 0.05774 in wires reads 0.7717 in at its basic pitch diameter of 0.6850 in.
#[test]
fn wires_are_read_as_in_the_books() {
    let inch = card(&["3/4-10 UNC"]);
    near(&inch, "/sizes/wires/best/inches", 0.057_735, 1e-6);
    near(&inch, "/sizes/wires/over_basic_without_lead_angle/inches", 0.7717, 5e-5);
    let metric = card(&["M10", "--wire", "0.9 mm"]);
    near(&metric, "/sizes/wires/best/mm", 0.577_350 * 1.5, 1e-5);
    // Series: w/2 tan²(l) cos(a) cot(a), with tan l = P / (pi E); a little too much.
    let slope = 1.5 / (std::f64::consts::PI * 9.025_721);
    let term = 0.45 * slope * slope * 0.866_025 * 1.732_051;
    near(&metric, "/sizes/wires/lead_angle_adds_mm", term, 2e-4);
    for (i, pitch) in [8.862, 8.994].iter().enumerate() {
        let over = pitch + 3.0 * 0.9 - 0.866_025 * 1.5 + term;
        near(&metric, &format!("/sizes/wires/over_limits/{i}/mm"), over, 2e-4);
    }
    near(&metric, "/tool/lead_angle", slope.atan().to_degrees(), 1e-5);
}

/// Story: M10 over 13 mm at +125 ppm is 1.63 µm; cot 30 degrees is 1.732 (lecture notes on the
/// measurement of screw threads); the tolerance of 6g is 132 µm.
#[test]
fn an_error_is_weighed() {
    let card = card(&["M10", "--over", "13 mm"]);
    near(&card, "/error/along_mm", 0.001_625, 1e-7);
    near(&card, "/error/on_diameter_mm", 0.001_625 * 1.732_051, 1e-7);
    near(&card, "/error/tolerance/mm", 0.132, 1e-9);
    near(&card, "/error/share", 0.001_625 * 1.732_051 / 0.132, 1e-6);
    assert_eq!(words(&card, "/error/over_is"), "stated");
    // ISO 965-1: N of M10 x 1.5 ends at 15 mm; one diameter; 25 mm.
    for (target, mm, word) in
        [("M10", 15.0, "group_n"), ("1/2 BSW", 12.7, "diameter"), ("1.5 mm", 25.0, "unnamed")]
    {
        let card = super::card(&[target]);
        near(&card, "/error/over/mm", mm, 1e-9);
        assert_eq!(words(&card, "/error/over_is"), word);
    }
    // 55, 47.5, 29 and 30 degrees: cot of half of it.
    for (args, cot) in [
        (&["1/2 BSW", "--rank", "2"][..], 1.920_982),
        (&["0 BA"][..], 2.272_636),
        (&["3/4-6 ACME", "--rank", "2"][..], 3.866_713),
        (&["Tr 20x4"][..], 3.732_051),
    ] {
        let card = super::card(args);
        let along = number(&card, "/error/along_mm").abs();
        assert!(along > 1e-5, "{args:?} errs");
        let got = number(&card, "/error/on_diameter_mm") / along;
        assert!((got / cot - 1.0).abs() < 1e-3, "{args:?}: {got}, wanted {cot}");
    }
}

/// Lead x rpm / 60, groove over that, 60 groove / (lead x seconds).
#[test]
fn speeds_leave_time_or_do_not() {
    let card =
        card(&["M10", "--undercut", "3 mm", "--rpm", "200", "--reaction", "0.3", "--coast", "0.2"]);
    near(&card, "/speed/at/0/mm_per_s", M10 * 200.0 / 60.0, 1e-5);
    near(&card, "/speed/at/0/undercut_s", 3.0 / (M10 * 200.0 / 60.0), 1e-5);
    assert_eq!(card["speed"]["at"][0]["enough"], true);
    assert_eq!(card["speed"]["enough_time_rpm"], 239); // 60 x 3 / (1.5001875 x 0.5) = 239.97
    assert_eq!(card["speed"]["undercut_stated"], true);
    // Tug: 32 50 80 125 200 ...; 4 mm at 25.4/13 mm and half a second: 245.7.
    let tug = ["1/2-13 UNC", "--lathe", "tug", "--undercut", "4 mm", "--reaction", "0.5"];
    let tug = super::card(&[&tug[..], &["--coast", "0"]].concat());
    assert_eq!(
        (&tug["speed"]["fastest_rpm"], &tug["speed"]["enough_time_rpm"]),
        (&json!(200), &json!(245))
    );
    let shown: Vec<&Value> =
        tug["speed"]["at"].as_array().unwrap().iter().map(|at| &at["rpm"]).collect();
    assert_eq!(shown, [32, 50, 80], "the slowest first");
    // 10 TPI is 2.54 mm.
    assert_eq!(card["speed"]["screw_outruns_spindle"], false);
    assert_eq!(super::card(&["8 mm"])["speed"]["screw_outruns_spindle"], true);
}

/// f² / (8 r): 0.1 mm with 0.4 mm is 3.1 µm, 0.2 mm 12.5 µm.
#[test]
fn a_feed_leaves_ridges() {
    for (feed, um) in [("0.1 mm/rev", 3.125), ("0.2 mm/rev", 12.5)] {
        let card = card(&[feed, "--nose", "0.4 mm", "--lathe", "tug"]);
        let travel = number(&card, "/feed/travel/mm");
        near(&card, "/feed/finish/0/ridges_um", travel * travel / 3.2 * 1000.0, 1e-4);
        near(&card, "/feed/finish/0/ridges_um", um, 0.2);
        for gone in ["scratch", "half_nut", "starts", "tool", "sizes", "error", "speed", "carriage"]
        {
            assert_eq!(card[gone], Value::Null, "{gone}");
        }
    }
    let coarse = card(&["0.5 mm/rev", "--nose", "0.4 mm", "--lathe", "tug"]);
    assert_eq!(coarse["feed"]["finish"][0]["ridges_um"], Value::Null);
}

/// Every pair and every two pairs, tried one by one.
#[test]
fn the_finest_feed_is_the_finest() {
    let gears = [20.0, 25.0, 40.0, 45.0, 60.0, 65.0, 80.0];
    let mut finest = f64::INFINITY;
    for (a, first) in gears.iter().enumerate() {
        for (b, second) in gears.iter().enumerate().filter(|(b, _)| *b != a) {
            finest = finest.min(first / second);
            for (c, third) in gears.iter().enumerate().filter(|(c, _)| *c != a && *c != b) {
                for (_, fourth) in gears.iter().enumerate().filter(|(d, _)| ![a, b, c].contains(d))
                {
                    finest = finest.min(first / second * third / fourth);
                }
            }
        }
    }
    let lathe = lathe(
        "8 tpi",
        "20, 25, 40, 45, 60, 65, 80",
        r#", "feeds": {"long": "0.5 mm", "cross": "0.25 mm"}"#,
    );
    let card = card_on(&lathe, &["0.1 mm/rev", "--no-fit"]);
    near(&card, "/feed/finest/travel/mm", finest * 0.5, 1e-6);
    let cross = card_on(&lathe, &["0.1 mm/rev cross", "--no-fit"]);
    near(&cross, "/feed/finest/travel/mm", finest * 0.25, 1e-6);
}

/// F. D. Jones, Turning and Boring (1919), ch. IV, Principle of the Thread Indicator: a screw of 6 TPI,
/// a worm wheel of 24 teeth, 8 lines. 10 TPI: any line; 9 TPI: one of the four numbered lines; 11 1/2
/// TPI: lines 1 or 3 (or 2 or 4).
#[test]
fn the_book_s_dial() {
    let gears = "20, 24, 30, 36, 40, 45, 46, 60, 69, 92";
    let dial =
        r#", "dial": {"teeth": 24, "lines": 8, "labels": ["1", "", "2", "", "3", "", "4", ""]}"#;
    let lathe = lathe("6 tpi", gears, dial);
    for (target, classes) in [
        ("10 tpi", json!([["1", "1-2", "2", "2-3", "3", "3-4", "4", "4-1"]])),
        ("9 tpi", json!([["1", "2", "3", "4"], ["1-2", "2-3", "3-4", "4-1"]])),
        ("11 1/2 tpi", json!([["1", "3"], ["1-2", "3-4"], ["2", "4"], ["2-3", "4-1"]])),
    ] {
        let card = card_on(&lathe, &[target, "--no-fit"]);
        assert_eq!(words(&card, "/half_nut/advice"), "lines", "{target}");
        assert_eq!(card["half_nut"]["classes"], classes, "{target}");
        assert_eq!(card["half_nut"]["dial_teeth"], 24);
    }
    let anywhere = card_on(&lathe, &["12 tpi", "--no-fit"]);
    assert_eq!(words(&anywhere, "/half_nut/advice"), "anywhere");
}

/// The stories' half nuts: the true ratio counts, never the nominal pitch.
#[test]
fn half_nuts_of_the_stories() {
    let bench = lathe(
        "12 tpi",
        "21, 24, 26, 30, 32, 34, 40, 45, 50, 51, 63, 64, 64, 75",
        r#", "dial": {"teeth": 24, "lines": 8}"#,
    );
    // 34-45+40-64 is 17/36: p = 17, 35.98333 mm; 30-64+63-50 is 189/320: p = 189, 400.05 mm.
    for (target, train, pitches, mm) in
        [("1 mm", "34-45+40-64", "17", 35.983_333), ("1.25 mm", "30-64+63-50", "189", 400.05)]
    {
        let card = card_on(&bench, &[target, "--train", train]);
        assert_eq!(words(&card, "/half_nut/advice"), "keep_closed");
        assert_eq!(words(&card, "/half_nut/why"), "no_dial_works");
        assert_eq!(words(&card, "/half_nut/pitches"), pitches);
        near(&card, "/half_nut/distance/mm", mm, 1e-9);
    }
    // 30-80+63-50 on 8 TPI: p = 189; the exact 30-127+100-50: p = 60, 190.5 mm.
    let keyed = lathe(
        "8 tpi",
        "30, 37, 47, 50, 63, 80, 100, 127",
        r#", "dial": {"teeth": 16, "lines": 8}"#,
    );
    let near_one = card_on(&keyed, &["M10", "--train", "30-80+63-50"]);
    assert_eq!(words(&near_one, "/half_nut/pitches"), "189");
    let exact = card_on(&keyed, &["M10", "--train", "30-127+100-50", "--no-fit"]);
    assert_eq!(words(&exact, "/half_nut/pitches"), "60");
    near(&exact, "/half_nut/distance/mm", 190.5, 1e-9);
    // 1.25 mm on 3 mm: p = 5; of 14 15 16 18 20 teeth the 20 has more lines than the 15.
    let dials = r#", "dial": [{"teeth": 14, "lines": 7}, {"teeth": 15, "lines": 3}, {"teeth": 16, "lines": 8},
        {"teeth": 18, "lines": 6}, {"teeth": 20, "lines": 4}]"#;
    let metric = lathe("3 mm", "20, 25, 30, 45, 60, 65, 70", dials);
    let card = card_on(&metric, &["1.25 mm", "--train", "25-65-60"]);
    assert_eq!(words(&card, "/half_nut/pitches"), "5");
    assert_eq!(card["half_nut"]["dial_teeth"], 20);
    assert_eq!(card["half_nut"]["classes"], json!([["line 1", "line 2", "line 3", "line 4"]]));
    // 22/21 for a worm does come round, after 22 pitches: no dial here does.
    let worm = lathe("3 mm", "35, 40, 55, 60", r#", "dial": {"teeth": 16, "lines": 8}"#);
    let card = card_on(&worm, &["module 1", "--train", "40-60+55-35"]);
    assert_eq!(
        (words(&card, "/half_nut/advice"), words(&card, "/half_nut/pitches")),
        ("keep_closed", "22")
    );
    // A gearbox of 8 TPI: 11 1/2 TPI the same line only (p 16), 13 opposite lines (p 8), 20 any line
    // (p 2); 1.75 mm closed (p 70, 222.25 mm).
    let box_of = lathe(
        "8 tpi",
        "28, 32, 40, 46, 48, 52, 120, 127",
        r#", "dial": {"teeth": 16, "lines": 8}"#,
    );
    for (target, train, pitches, classes) in
        [("11 1/2 tpi", "32-46", "16", 8), ("13 tpi", "32-52", "8", 4)]
    {
        let card = card_on(&box_of, &[target, "--train", train]);
        assert_eq!(words(&card, "/half_nut/pitches"), pitches, "{target}");
        assert_eq!(card["half_nut"]["classes"].as_array().unwrap().len(), classes, "{target}");
    }
    let closed = card_on(&box_of, &["1.75 mm", "--train", "28-127+120-48", "--no-fit"]);
    assert_eq!(words(&closed, "/half_nut/pitches"), "70");
    near(&closed, "/half_nut/distance/mm", 222.25, 1e-9);
}

#[test]
fn a_nut_that_can_not_be_opened_or_is_not_known() {
    for (more, screw, why) in [
        ("", "\"lead\": \"8 tpi\"", "no_dial"),
        (r#", "half_nut": false"#, "\"lead\": \"8 tpi\"", "no_half_nut"),
    ] {
        let more = format!("{more}, \"reverse\": true");
        let text = lathe("8 tpi", "20, 43, 60", &more).replace("\"lead\": \"8 tpi\"", screw);
        let card = card_on(&text, &["1.48 mm", "--no-fit"]);
        assert_eq!(words(&card, "/half_nut/why"), why);
        assert_eq!(words(&card, "/half_nut/back"), "motor");
    }
    let by_hand = lathe("8 tpi", "20, 43, 60", r#", "reverse": false"#);
    assert_eq!(words(&card_on(&by_hand, &["1.48 mm", "--no-fit"]), "/half_nut/back"), "by_hand");
}

/// Jones, ch. IV, Cutting Multiple Threads: a stud gear of 96 teeth divides by 2, 3 and 4; NAVEDTRA
/// 14345, multiple threads: 20 teeth of a 40 tooth gear for two starts.
#[test]
fn starts_are_indexed_as_in_the_books() {
    for (starts, teeth) in [("2", "48"), ("3", "32"), ("4", "24")] {
        let lathe = lathe("4 tpi", "96, 48", "");
        let target = format!("{} tpi {starts} starts", 2 * starts.parse::<u32>().unwrap());
        let card = card_on(&lathe, &[&target, "--train", "96-48"]);
        assert_eq!(words(&card, "/starts/method"), "driving_gear", "{target}");
        assert_eq!(words(&card, "/starts/teeth"), teeth, "{target}");
        assert_eq!(words(&card, "/starts/spindle_turns"), format!("1/{starts}"));
    }
    let card = card_on(&lathe("8 tpi", "40, 20", ""), &["8 tpi 2 starts", "--train", "40-20"]);
    assert_eq!((&card["starts"]["gear"], words(&card, "/starts/teeth")), (&json!(40), "20"));
    near(&card, "/starts/pitch/mm", 3.175, 1e-9);
}

/// Never two methods on one card: the top slide that moves from start to start is not swung.
#[test]
fn a_card_has_one_way_to_the_next_start() {
    let lathe = lathe("8 tpi", "45, 60", "");
    let card = card_on(&lathe, &["21 1/3 tpi 2 starts", "--train", "45-60"]);
    assert_eq!(
        (words(&card, "/starts/method"), &card["tool"]["slide"]),
        ("top_slide", &Value::Null)
    );
    // The same lead with a driving gear that can be halved comes first by itself.
    let both = super::figures::lathe("8 tpi", "30, 40, 45, 60", "");
    let easy = card_on(&both, &["21 1/3 tpi 2 starts", "--no-fit"]);
    assert_eq!(
        (words(&easy, "/starts/method"), words(&easy, "/solution/train")),
        ("driving_gear", "30-40")
    );
    assert_ne!(easy["tool"]["slide"], Value::Null);
}

#[test]
fn gears_come_off_and_go_on_from_the_fitted_set_up_and_back() {
    let card = card(&["M10"]);
    let placed = |list: &[(u16, &str)]| -> Value {
        list.iter()
            .map(|(teeth, shaft)| json!({"teeth": teeth, "shaft": shaft, "joined_to": null}))
            .collect()
    };
    let (fitted, new) = (
        placed(&[(24, "driving"), (76, "stud_1"), (24, "stud_1")]),
        placed(&[(48, "driving"), (64, "stud_1"), (63, "stud_1")]),
    );
    assert_eq!((&card["change"]["off"], &card["change"]["on"]), (&fitted, &new));
    assert_eq!((&card["back"]["change"]["off"], &card["back"]["change"]["on"]), (&new, &fitted));
    assert_eq!(words(&card, "/back/change/to"), "24-76+24-80");
    assert_eq!(card["solution"]["gears_moved"], 6);
}

/// On the ketch's bracket the fitted pair on stud 2 has its 80 in plane 2 and its 40 outside of it, in
/// plane 3; here the 40 stands inside of it, in plane 1, so that only the 80 stays.
#[test]
fn a_gear_in_another_plane_does_not_stay() {
    let text = crate::util::run(&["card", "Tr 40x14 (P7) LH", "--lathe", "ketch"]).out;
    assert!(text.contains("On stud 1: 75, in plane 1 (stays)."), "{text}");
    let pair = "On stud 2: 40 in plane 1, 80 in plane 2 (stays), keyed together.";
    assert!(crate::util::one_line(&text).contains(pair), "{text}");
}

#[test]
fn the_carriage_runs_as_the_hand_asks() {
    assert_eq!(words(&card(&["M10"]), "/carriage"), "headstock");
    assert_eq!(words(&card(&["M10", "--hand", "left"]), "/carriage"), "tailstock");
    let unknown = card(&["M6", "--gears", "40,127", "--screw", "8tpi"]);
    assert_eq!(unknown["carriage"], Value::Null);
}
