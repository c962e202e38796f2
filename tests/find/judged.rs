//! Is a train that is typed (`--train`) judged on its lathe, with every reason against it?

use super::lathe;
use crate::util::{Run, one_line, run_in};

/// What `--train` says against a train on a lathe, in one line.
fn judged(more: &str, words: &[&str]) -> (i32, String) {
    judged_for("1.25 mm", more, words)
}

fn judged_for(target: &str, more: &str, words: &[&str]) -> (i32, String) {
    let folder = lathe(more);
    let args = [&["find", target, "--train"], words].concat();
    let Run { code, out, err } = run_in(folder.path(), &args);
    (code, one_line(&(out + &err)))
}

/// 25 to 60 on a screw of 3 mm cuts 3 x 25 / 60 = 1.25 mm; one mesh turns it round.
#[test]
fn a_train_that_is_typed_is_judged_not_searched() {
    let (code, out) = judged("", &["25-50-60"]);
    assert_eq!(code, 0, "{out}");
    assert!(out.contains("Nothing speaks against it. train 25-50-60"), "{out}");
    assert!(out.contains("error exact mount 25 on"), "{out}");
    assert!(out.contains("cuts 1.25 mm = 20.32 TPI, right hand"), "{out}");
    for searched in ["compared", "Compared:", "Fewest gears first", "--long"] {
        assert!(!out.contains(searched), "{searched}: {out}");
    }
    // The card is of this train, not of the one that a search would choose.
    assert!(out.ends_with("Job card: trainwright card \"1.25 mm\" --train 25-50-60"), "{out}");
    let (code, out) = judged("", &["20-50-60"]);
    let words = "Nothing speaks against it. But it gives another thread. train 20-50-60 error -20.0 %: \
                 another thread mount 20 on";
    assert!(code == 1 && out.contains(words) && out.contains("cuts 1 mm"), "{out}");
    assert!(!out.contains("Job card"), "{out}");
    let (code, out) = judged("", &["20-50-60", "--within", "100ppm"]);
    assert!(code == 1 && out.contains("No: it is not within 100 ppm."), "{out}");
}

#[test]
fn every_reason_against_a_train_is_said() {
    for (more, words, said) in [
        ("", &["25-60"][..], "It cuts a left hand thread here, not a right one"),
        ("", &["25-25-60"], "The train takes 2 x 25, you own 1."),
        ("", &["25-80-60"], "The train takes 1 x 80, you own 0."),
        ("", &["25-30-35-60", "--hand", "left"], "The train takes 2 studs, the lathe has 1."),
        (
            r#""ends": {"driving": [20, 30], "driven": "any"},"#,
            &["25-50-60"],
            "The driving shaft does not take the 25: it takes 20, 30.",
        ),
        (
            r#""ends": {"driving": "any", "driven": 40},"#,
            &["25-50-60"],
            "The lead screw does not take the 60: it takes its own 40.",
        ),
        (
            r#""studs": 1, "sleeves": 0,"#,
            &["25-50+30-60"],
            "The train takes 1 keyed pair of loose gears, there are sleeves for 0.",
        ),
        // Pair 25 + 20 between 20 and 30: 1 x (20 + 25) / 2 - (20 + 2) / 2 = 11.5 mm, which is 8.5 mm
        // less than 20 mm.
        (
            "",
            &["20-25+20-30", "--clearance", "20 mm"],
            "The tip of the 20 would be 8.5 mm too near the axis of the 20.",
        ),
        (
            r#""banjo": {"driving_shaft": "80 mm", "slots": [{"from": "34 mm", "to": "70 mm"}],
                "arm_angle": {"from": -5, "to": 20}},"#,
            &["25-55+40-75"],
            "The arm angle would be",
        ),
        (
            r#""banjo": {"driving_shaft": "80 mm", "slots": [{"from": "34 mm", "to": "70 mm"}],
                "planes": 1},"#,
            &["25-55+40-75"],
            "The gears can't be given planes that the shafts allow: the banjo has 1.",
        ),
        (
            r#""banjo": {"driving_shaft": "80 mm", "slots": [{"from": "34 mm", "to": "70 mm"}]},"#,
            &["25-60", "--hand", "left"],
            "The two gears need 42.5 mm between the shafts, which are 80.0 mm apart: 37.5 mm too \
             small, where a mesh may be open by 0.2 mm.",
        ),
        (
            r#""banjo": {"driving_shaft": "80 mm", "slots": [{"at": "60 mm"}]},"#,
            &["25-55+40-70"],
            "Stud 1 can't be in the hole: its mesh is 55.0 mm from axis to axis, and the nearest \
             that the hole allows is 60.0 mm: 5.0 mm off.",
        ),
        (
            r#""banjo": {"driving_shaft": "80 mm", "slots": [{"from": "34 mm", "to": "50 mm"}]},"#,
            &["45-55+40-70"],
            "Stud 1 would have to be at 55.0 mm along the slot, which ends at 50.0 mm: 5.0 mm \
             past it.",
        ),
        (
            r#""banjo": {"driving_shaft": "80 mm", "slots": [{"from": "34 mm", "to": "70 mm"}],
                "keep_out": [{"name": "oil can", "circle": {"right": "0 mm", "up": "-20 mm", "radius": "5 mm"}}]},"#,
            &["45-55+40-70"],
            "70 on the lead screw is 22.0 mm short of clearing \"oil can\": 21.0 overlap + 1.0 clearance.",
        ),
    ] {
        let (code, out) = judged(more, words);
        assert!(code == 1 && out.contains("No: it can't be set up so."), "{words:?}: {out}");
        assert!(out.contains(said), "{said}\n{out}");
    }
}

#[test]
fn a_train_that_can_not_be_read_is_refused() {
    let (code, out) = judged("", &["25+60"]);
    assert!(code == 2 && out.contains("--train `25+60`"), "{out}");
    let (code, out) = judged("", &["25-50-60", "--rank", "1"]);
    assert!(code == 2 && out.contains("'--rank <N>'"), "{out}");
}

/// Of several lever positions the one with the smallest error is taken: 25 to 60 on 3 mm cuts
/// 1.25 mm with the lever at 1.
#[test]
fn a_train_gets_the_lever_position_that_comes_nearest() {
    let levers = r#""gearbox": {"levers": [{"name": "Range", "positions": {"A": "2", "B": "1", "C": "1/2"}}]},"#;
    let (code, out) = judged(levers, &["25-50-60"]);
    assert!(code == 0 && out.contains("levers Range B cuts 1.25 mm"), "{out}");
    // A position that asks for another last gear comes after those that don't.
    let other =
        levers.replace("]}", r#"], "needs_driven": [{"when": {"Range": "B"}, "driven": 40}]}"#);
    let (code, out) = judged(&other, &["25-50-60"]);
    assert!(code == 1 && out.contains("levers Range C cuts 0.625 mm"), "{out}");
}

/// Where a stud stands is said as it is measured on each kind of slot. With an offset h the distance
/// from the pivot is a hypotenuse: 55² = 12² + 53.67² (Euclid, Elements, I.47).
#[test]
fn the_place_of_a_stud_is_said_for_every_kind_of_slot() {
    for (slot, said) in [
        (r#"{"from": "34 mm", "to": "70 mm"}"#, "stud 1 55.0 mm from the pivot along the slot"),
        (
            r#"{"from": "34 mm", "to": "70 mm", "offset": "12 mm"}"#,
            "stud 1 55.0 mm from the pivot, ~53.7 mm along the slot",
        ),
        (r#"{"at": "55 mm", "angle": 20}"#, "stud 1 in the hole, 55.0 mm from the pivot"),
        (
            r#"{"from": "80 mm", "to": "90 mm"}, {"from": "34 mm", "to": "70 mm"}"#,
            "stud 1 55.0 mm from the pivot along slot 2",
        ),
        (
            r#"{"arc": {"along": "50 mm", "across": "0 mm", "radius": "20 mm", "from": 0, "to": 180}}"#,
            "° in the arc slot, 55.0 mm from the pivot",
        ),
    ] {
        let bracket = format!(r#""banjo": {{"driving_shaft": "80 mm", "slots": [{slot}]}},"#);
        // 3 x 45 x 40 / (55 x 70) = 1.403 mm.
        let (code, out) = judged_for("1.4 mm", &bracket, &["45-55+40-70"]);
        assert!(code == 0 && out.contains("It fits.") && out.contains(said), "{said}\n{out}");
    }
    let point = r#""banjo": {"driving_shaft": "80 mm", "pivot": {"right": "-60 mm", "up": "20 mm"},
        "slots": [{"from": "60 mm", "to": "130 mm"}]},"#;
    let (_, out) = judged(point, &["45-55+40-70"]);
    assert!(out.contains("from the line from the pivot to the driving shaft"), "{out}");
}
