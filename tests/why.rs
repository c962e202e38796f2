//! What went wrong? As people ask it: a scratch that measures wrong, a hand that came out wrong.

use crate::util::{Run, run};
use serde_json::Value;

fn why(args: &[&str]) -> Run {
    run(&[&["why"], args].concat())
}

fn document(args: &[&str]) -> Value {
    let printed = why(&[args, &["--format", "json", "--quiet"]].concat());
    assert_eq!(printed.err, "", "{args:?}");
    serde_json::from_str(&printed.out).expect("JSON")
}

fn texts(document: &Value) -> Vec<&str> {
    let all = document["explanations"].as_array().expect("a list");
    all.iter().map(|one| one["text"].as_str().expect("words")).collect()
}

/// 10 x 1.5 mm x 127/120 is 15.875 mm: the joined pair of the gearbox lathe runs as an idler. Arithmetic.
#[test]
fn ten_pitches_of_m10_read_15_877_mm() {
    let args = ["M10", "--lathe", "tug", "--measured", "10 pitches = 15.877 mm"];
    let said = document(&args);
    assert_eq!(
        (said["verdict"].as_str(), said["reading"]["instrument"].as_str()),
        (Some("one"), Some("caliper"))
    );
    let texts = texts(&said);
    assert_eq!(texts, ["the fitted gears left on", "the 127 alone in mesh, as an idler"]);
    for one in said["explanations"].as_array().unwrap() {
        assert_eq!(one["measures_mm_rounded"].as_f64(), Some(15.875));
        assert_eq!(one["tied"].as_bool(), Some(true));
    }
    assert_eq!(said["look"].as_str(), Some("Count the teeth on stud 1: 70 or 127."));
    let page = why(&args);
    assert_eq!(page.code, 0);
    assert!(page.out.contains("±0.05 mm assumed, by a caliper"), "{}", page.out);
    assert!(page.out.contains("1 and 2 measure the same: only a look tells."), "{}", page.out);
    assert!(page.out.contains("Unplug or lock off the lathe"), "{}", page.out);
}

#[test]
fn a_left_hand_thread_came_out_right_hand() {
    let said = document(&["M10 LH", "--lathe", "dinghy", "--hand", "right"]);
    assert_eq!(texts(&said), ["tumbler at up"]);
    assert_eq!(said["look"].as_str(), Some("Look at the tumbler: up or down."));
    // Without a tumbler it is an idler.
    let said = document(&["M10 LH", "--lathe", "ketch", "--hand", "right"]);
    assert!(texts(&said)[0].ends_with("left out"), "{said}");
    let right = why(&["M10 LH", "--lathe", "dinghy", "--hand", "left"]);
    assert!(right.code == 0 && right.out.contains("It is the hand that this set-up cuts."));
    // Directions that nobody described: the right set-up cuts what was asked.
    let plain = ["--gears", "20,40,50,60", "--screw", "8tpi"];
    let said = document(&[&["16 tpi", "--hand", "left"], &plain[..]].concat());
    assert_eq!(said["verdict"].as_str(), Some("one"), "{said}");
    let said = document(&[&["16 tpi", "--hand", "right"], &plain[..]].concat());
    assert_eq!(said["verdict"].as_str(), Some("right"), "{said}");
}

#[test]
fn what_nothing_explains_is_said_so() {
    let args = ["M10", "--lathe", "dinghy", "--measured", "10 pitches = 4.321 +- 0.001 mm"];
    let printed = why(&args);
    assert_eq!(printed.code, 1);
    assert!(printed.out.contains("Nothing explains it"), "{}", printed.out);
    assert!(printed.out.contains("Nearest, but no explanation"), "{}", printed.out);
    let right = why(&["M10", "--lathe", "dinghy", "--measured", "10 pitches = 15 mm"]);
    assert_eq!(right.code, 0);
    assert!(right.out.contains("It measures as it should"), "{}", right.out);
}

#[test]
fn input_of_another_kind_is_one_clear_error() {
    for (args, wrong) in [
        (&["M10", "--measured", "10 pitches = 15"][..], "a length needs its unit"),
        (&["M10", "--measured", "10 teeth = 15 mm"], "pitches, threads or turns were expected"),
        (&["M10", "--measured", "10 pitches = 1 +- 1 mm"], "reaches zero"),
        (&["M10", "--measured", "10 pitches = 9e9 mm"], "between 0.0001 mm and 100 m"),
        (
            &["M10", "--measured", "10 pitches = 15 mm with 40-40"],
            "the set-up is that of the target",
        ),
        (&["M10", "M12", "--measured", "10 pitches = 15 mm"], "one thread or feed"),
        (&["0.1 mm/rev", "--hand", "left"], "is a feed"),
        (&["M10"], "--measured"),
        (&["M10", "--seen", "blue"], "blue"),
    ] {
        let printed = why(args);
        assert_eq!((printed.code, &*printed.out), (2, ""), "{args:?}");
        assert!(printed.err.contains(wrong), "{args:?}: {}", printed.err);
    }
}

#[test]
fn what_is_seen_has_its_own_faults() {
    for (seen, fault) in [
        ("torn", "The tool is blunt"),
        ("tapered", "The work springs away"),
        ("drunken", "The lead screw moves along its axis"),
        ("double", "Backlash was not taken up"),
    ] {
        let said = document(&["M10", "--lathe", "dinghy", "--seen", seen]);
        assert!(said["faults"][0].as_str().unwrap().starts_with(fault), "{said}");
        let grooves = texts(&said).iter().filter(|text| text.contains("half nut")).count();
        assert_eq!(grooves > 0, seen == "double", "{said}");
    }
}

/// A feed has no scratch, but its carriage moves: 20 turns of 0.1 mm.
#[test]
fn a_feed_is_measured_by_turns() {
    let said = document(&["0.1 mm/rev", "--lathe", "dinghy", "--measured", "20 turns move 2 mm"]);
    assert_eq!(said["verdict"].as_str(), Some("right"), "{said}");
}

#[test]
fn csv_has_a_row_an_explanation() {
    let args = ["M10", "--lathe", "tug", "--measured", "10 pitches = 15.877 mm", "--format", "csv"];
    let printed = why(&args);
    let lines: Vec<&str> = printed.out.lines().collect();
    assert!(lines[0].starts_with("rank,kinds,text,points"), "{}", printed.out);
    assert_eq!(lines.len(), 3);
    let html = why(&[&args[..5], &["--format", "html"]].concat());
    assert!(html.out.contains("the fitted gears left on"), "{}", html.out);
}
