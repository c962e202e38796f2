//! Does `find` say what has to be changed on the machine?

use super::lathe;
use crate::util::{fresh, one_line, run, run_in};

#[test]
fn what_comes_off_and_goes_on_is_named() {
    let folder = lathe(r#""fitted": {"train": "20-70-60"},"#);
    let change = |target: &str| {
        let out = one_line(&run_in(folder.path(), &["find", target, "-n", "1", "--long"]).out);
        let (_, rest) =
            out.split_once(" gears moved ").unwrap_or_else(|| panic!("no change in {out}"));
        let ends = [" speed ", " cuts ", " feeds "].map(|end| rest.find(end));
        rest[..ends.into_iter().flatten().min().unwrap()].to_string()
    };
    // 3 mm x 25/60, by an idler for the right hand: the fitted 70 stays on.
    assert_eq!(change("1.25 mm"), "take off 20; put on 25 (fitted: 20-70-60)");
    // A direct mesh cuts left hand; the idler would make it right hand.
    assert_eq!(change("1.25 mm LH"), "take off 20, 70; put on 25 (fitted: 20-70-60)");
    // A feed has no hand.
    let feed = change("1.25 mm/rev");
    assert_eq!(feed, "take off 20; put on 25; the 70 may stay as the idler (fitted: 20-70-60)");
}

#[test]
fn a_gear_that_only_changes_its_plane_is_shifted() {
    // From 60-70-60 to 60-70+55-60: the last 60 now meshes in the outer plane.
    let out = one_line(&run(&["find", "14 tpi", "--lathe", "tug", "--long"]).out);
    let shift =
        "gears moved put on 55; shift 60 on its shaft to the other plane (fitted: 60-70-60)";
    assert!(out.contains(shift), "{out}");
    // One of two 40 on the stud comes off, the other stays.
    let folder = fresh();
    let text = r#"{"format": 1, "lead_screw": {"lead": "3 mm"},
        "headstock": {"ratio": "1", "turns": "same"}, "fitted": {"train": "20-40+40-60"},
        "gears": {"owned": [20, 40, 40, 60]}}"#;
    std::fs::write(folder.path().join("lathe.json"), text).unwrap();
    let out = one_line(&run_in(folder.path(), &["find", "1.5 mm", "--long"]).out);
    assert!(out.contains("train 20-40-40 "), "{out}");
    assert!(out.contains("gears moved take off 40, 60; put on 40 (fitted: 20-40+40-60)"), "{out}");
}

#[test]
fn gears_that_are_on_already_are_left_alone() {
    let folder = lathe("");
    let file = folder.path().join("lathe.json");
    let plain = std::fs::read_to_string(&file).unwrap();
    let change = |more: &str, target: &str| {
        let turns = format!(r#""turns": "same"{more}"#);
        let fitted = r#""fitted": {"train": "20-70-60"}, "gears""#;
        let text = plain.replace(r#""turns": "same""#, &turns).replacen(r#""gears""#, fitted, 1);
        std::fs::write(&file, text).unwrap();
        one_line(&run_in(folder.path(), &["find", target, "-n", "1", "--long"]).out)
    };
    let tumbler = r#", "tumbler": {"in": "same", "out": "opposite"}"#;
    // 20-60 alone takes the tumbler out; with the idler it goes in.
    let with = change(tumbler, "1 mm");
    assert!(
        with.contains("none needed: the fitted 20-70-60 does the same, with the tumbler in"),
        "{with}"
    );
    // Without a tumbler the fitted train cuts the other hand than a direct mesh.
    let left = change("", "1 mm LH");
    assert!(left.contains("gears moved take off 70 (fitted: 20-70-60) "), "{left}");
    // A feed may run either way.
    let feed = change("", "1 mm/rev");
    assert!(feed.contains("does the same; the screw turns the other way then"), "{feed}");
}
