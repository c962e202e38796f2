//! A mate that is tried on a half-cut thread.

use super::{card, near, words};
use crate::util::{one_line, run};

fn page(args: &[&str]) -> String {
    one_line(&run(&[&["card"], args].concat()).out)
}

/// M10: nuts of 6H from 9.026 to 9.206 mm, the middle of 6g at 8.928 mm (ISO 965-2, from memory).
#[test]
fn a_nut_gives_the_bounds_of_its_class() {
    let of = card(&["M10", "--now", "nut goes on 2 turns"]);
    near(&of, "/tried/pitch_least/mm", 9.026, 1e-9);
    near(&of, "/tried/pitch_greatest/mm", 9.206, 1e-9);
    near(&of, "/tried/left_least_mm", (9.026 - 8.928) / 2.0, 1e-9);
    near(&of, "/tried/left_most_mm", (9.206 - 8.928) / 2.0, 1e-9);
    near(&of, "/tried/passes_mm/0", 0.049, 1e-6);
    assert_eq!([words(&of, "/tried/goes"), words(&of, "/tried/turns")], ["starts", "2"]);
    let not = card(&["M10", "--now", "nut does not start"]);
    near(&not, "/tried/pitch_least/mm", 9.026, 1e-9);
    assert!(not["tried"]["pitch_greatest"].is_null() && not["tried"]["left_most_mm"].is_null());
    let on = card(&["M10", "--now", "nut goes on"]);
    assert!(on["tried"]["pitch_least"].is_null());
    near(&on, "/tried/pitch_greatest/mm", 9.206, 1e-9);
    assert_eq!(on["tried"]["passes_mm"].as_array().unwrap().len(), 0);
}

/// 1/2-13 UNC 2B: 0.4500 to 0.4565 in; a nut grows over its screw, 2A 0.4435 to 0.4485 in (ASME B1.1 tables,
/// from memory).
#[test]
fn inch_nuts_and_screws_have_the_limits_of_their_class() {
    let of = card(&["1/2-13 UNC", "--now", "nut starts"]);
    near(&of, "/tried/pitch_least/inches", 0.4500, 0.000_11);
    near(&of, "/tried/pitch_greatest/inches", 0.4565, 0.000_11);
    assert_eq!(words(&of, "/tried/class"), "2B");
    let nut = card(&["1/2-13 UNC", "--internal", "--now", "screw goes in 1 turn"]);
    near(&nut, "/tried/pitch_least/inches", 0.4435, 0.000_11);
    near(&nut, "/tried/pitch_greatest/inches", 0.4485, 0.000_11);
    assert_eq!([words(&nut, "/tried/mate"), words(&nut, "/tried/class")], ["screw", "2A"]);
}

#[test]
fn the_page_says_what_follows_and_that_a_nut_is_no_gauge() {
    let binds = page(&["M10", "--now", "nut 2 turns"]);
    for words in [
        "nut goes on 2 turns, then binds; nuts of class 6H",
        "from 9.026 to 9.206 mm",
        "A nut is no gauge",
        "cut the passes above, then measure over wires",
    ] {
        assert!(binds.contains(words), "{words}: {binds}");
    }
    let on = page(&["M10", "--now", "nut goes on all the way"]);
    assert!(on.contains("finished, or undersize already: cut no more before you measure"), "{on}");
    let not = page(&["M10", "--now", "nut does not start"]);
    assert!(not.contains("the slide's dial shows the depth so far"), "{not}");
    let nut = page(&["M10", "--internal", "--now", "screw goes in"]);
    assert!(nut.contains("or oversize already"), "{nut}");
    let pipe = page(&["G 1/2", "--now", "nut starts"]);
    assert!(pipe.contains("nuts of ISO 228-1: pitch diameter 19.793 to 19.935 mm"), "{pipe}");
    // A crest that cannot go in binds, whatever the flanks do.
    let big = page(&["M10", "--blank", "10.1 mm", "--now", "nut does not start"]);
    assert!(big.contains("turn its crests down before another cut"), "{big}");
    let right = page(&["M10", "--blank", "9.9 mm", "--now", "nut does not start"]);
    assert!(!right.contains("turn its crests down"), "{right}");
    let small = page(&["M10", "--internal", "--blank", "8.3 mm", "--now", "screw starts"]);
    assert!(small.contains("bore its crests out"), "{small}");
}

#[test]
fn what_cannot_be_tried_is_one_error() {
    for (args, wrong) in [
        (&["M10", "--now", "nut 2"][..], "needs its unit"),
        (&["M10", "--now", "nut"], "how far it goes"),
        (&["M10", "--now", "screw starts"], "a screw is not tried on a screw"),
        (&["M10", "--internal", "--now", "nut starts"], "a nut is not tried on a nut"),
        (&["1/2 BSW", "--now", "nut starts"], "no class of nut is known"),
        (&["1/2 NPT", "--now", "nut starts"], "a taper has no one pitch diameter"),
        (&["1.5 mm", "--now", "nut starts"], "the diameter is not stated"),
        (&["0.1 mm/rev", "--now", "nut starts"], "is a feed"),
    ] {
        let printed = run(&[&["card"], args].concat());
        assert_eq!((printed.code, &*printed.out), (2, ""), "{args:?}: {}", printed.err);
        assert!(printed.err.contains(wrong), "{args:?}: {}", printed.err);
    }
}
