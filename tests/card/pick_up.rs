//! The tool or the work was taken out.

use super::card;
use crate::util::{one_line, run};

fn page(args: &[&str]) -> String {
    let page = one_line(&run(&[&["card"], args, &["--reset"]].concat()).out);
    let from = page.find("Pick up the thread").unwrap_or_else(|| panic!("{page}"));
    let to = page[from..].find(" Job ").expect("the job comes after it");
    page[from..from + to].to_owned()
}

#[track_caller]
fn in_order(page: &str, all: &[&str]) {
    let mut at = 0;
    for words in all {
        let found = page[at..].find(words).unwrap_or_else(|| panic!("{words} after {at}: {page}"));
        at += found + words.len();
    }
}

/// The order of F. D. Jones, Turning and Boring (1919), ch. IV, Replacing Sharpened Thread Tool.
#[test]
fn the_backlash_is_out_before_the_tool_finds_its_groove() {
    for lathe in ["dinghy", "tug", "ketch"] {
        in_order(
            &page(&["M20", "--lathe", lathe]),
            &[
                "Never with the spindle running",
                "Move levers only at rest",
                "same slot of the faceplate",
                "(common practice)",
                "square by the gauge, clear of the work",
                "Half nut: close it",
                "Turn the spindle forward by hand",
                "2.500 mm",
                "Stop beside a full groove",
                "touches both flanks alike",
                "Both dials to 0",
                "Tool out and spindle stopped before reversing.",
                "one pass by hand",
                "Ink gone on one flank only",
            ],
        );
    }
}

/// The gears were on when the tool came out.
#[test]
fn nothing_of_the_set_up_is_moved() {
    let text = one_line(&run(&["card", "M20", "--reset"]).out);
    assert!(text.contains("Gears and levers stay as they are"), "{text}");
    for words in ["Take off", "Scratch pass", "Chamfer"] {
        assert!(!text[..text.find("Put back").unwrap()].contains(words), "{words}: {text}");
    }
    // A thread that was only measured has them, but one list of passes.
    let measured = one_line(&run(&["card", "M20", "--now", "pitch 18.6 mm"]).out);
    for words in ["Are these gears still on?", "Take off", "passes as under Next cut"] {
        assert!(measured.contains(words), "{words}: {measured}");
    }
    assert!(!measured.contains("Chamfer") && !measured.contains("Scratch pass"), "{measured}");
}

/// The rule is that of the card's half nut.
#[test]
fn the_half_nut_closes_where_the_card_says() {
    for (args, closed, words) in [
        (&["M20", "--lathe", "tug"][..], true, "close it now and keep it closed"),
        (&["M20", "--lathe", "dinghy"], true, "No dial reading is right"),
        (&["20 tpi", "--lathe", "dinghy"], false, "close it anywhere"),
        (&["16 tpi", "--lathe", "dinghy"], false, "close it on a line as under Half nut"),
        (&["M20", "--lathe", "ketch"], false, "close it"),
    ] {
        let of = card(&[args, &["--reset"]].concat());
        let keeps = of["half_nut"]["advice"].as_str() == Some("keep_closed");
        assert_eq!(of["pick_up"]["half_nut_stays_closed"], keeps, "{args:?}: {}", of["half_nut"]);
        assert_eq!(keeps, closed, "{args:?}: {}", of["half_nut"]);
        assert!(page(args).contains(words), "{args:?}: {}", page(args));
        // Who reverses the motor with the nut closed reads of the chuck first.
        let reverses = closed && of["half_nut"]["back"] != "by_hand";
        assert_eq!(page(args).contains("can come off in reverse"), reverses, "{args:?}");
    }
}

#[test]
fn what_is_special_of_the_work_is_said() {
    let wide = page(&["Tr40x7", "--lathe", "ketch"]);
    in_order(&wide, &["The same tool as before", "Touch one flank, then the other", "go midway"]);
    let nut = page(&["M20", "--internal"]);
    in_order(&nut, &["Last move of each slide outward", "Tool inward, back past the start"]);
    let away = page(&["M20", "--undercut", "5 mm", "--away"]);
    assert!(away.contains("Turn the spindle backward by hand, the way of the cut"), "{away}");
    let starts = page(&["Tr 40x14 (P7)", "--lathe", "ketch"]);
    assert!(starts.contains("This groove is start 1"), "{starts}");
    // With a reading the depth so far is known: 0.894 deep at 8.928 mm.
    let known = card(&["M10", "--blank", "9.85 mm", "--now", "pitch 9.1 mm", "--reset"]);
    let depth = known["pick_up"]["depth_so_far"]["mm"].as_f64().unwrap();
    let whole = known["tool"]["depth"]["mm"].as_f64().unwrap();
    assert!((depth - (whole - (9.1 - 8.928) / 2.0)).abs() < 1e-6, "{depth}");
    assert!(card(&["M10", "--reset"])["pick_up"]["depth_so_far"].is_null());
    assert!(card(&["M10"])["pick_up"].is_null());
    let feed = run(&["card", "0.1 mm/rev", "--reset"]);
    assert!(feed.code == 2 && feed.err.contains("--reset: `0.1 mm/rev` is a feed"), "{}", feed.err);
}
