//! A thread that is half cut: what is left by a measurement.

use super::{card, near, number, words};
use crate::util::{one_line, run};

fn page(args: &[&str]) -> String {
    one_line(&run(args).out)
}

/// M10 6g by ISO 965-2: pitch diameter 8.862 to 8.994, middle 8.928 mm (from memory, as in the solver's
/// tests). Half the difference is left.
#[test]
fn what_is_left_is_half_the_difference() {
    let card = card(&["M10", "--now", "pitch 9.1 mm +- 0.02 mm"]);
    near(&card, "/next_cut/pitch/least/mm", 9.08, 1e-9);
    near(&card, "/next_cut/pitch/greatest/mm", 9.12, 1e-9);
    near(&card, "/next_cut/left_to_aim_mm", (9.1 - 8.928) / 2.0, 1e-6);
    near(&card, "/next_cut/left_to_first_limit_mm", (9.1 - 8.994) / 2.0, 1e-6);
    near(&card, "/next_cut/left_to_last_limit_mm", (9.1 - 8.862) / 2.0, 1e-6);
    near(&card, "/next_cut/surely_in_class_mm/0", (9.12 - 8.994) / 2.0, 1e-6);
    near(&card, "/next_cut/surely_in_class_mm/1", (9.08 - 8.862) / 2.0, 1e-6);
    assert_eq!(words(&card, "/next_cut/stage"), "cutting");
    // The last pass is at the aim; the top slide at 29.5 degrees travels further.
    near(&card, "/next_cut/passes_mm/1", 0.086, 1e-6);
    near(&card, "/next_cut/slide_passes_mm/1", 0.086 / 29.5_f64.to_radians().cos(), 1e-6);
}

/// E = M - w (1 + 1/sin 30) + P/2 cot 30 (ASME B1.2); the lead angle of M10 adds 1.5 µm.
#[test]
fn wires_depth_and_root_give_the_pitch_diameter() {
    let of = |args: &[&str]| card(&[&["M10", "--blank", "9.85 mm"], args].concat());
    let wires = of(&["--wire", "0.9 mm", "--now", "wires 10.45 mm"]);
    near(&wires, "/next_cut/pitch/likely/mm", 10.45 - 2.7 + 0.75 * 3_f64.sqrt(), 0.003);
    // ISO 68-1: the root of the form is 0.613435 P - 3/8 H deep below a pitch line.
    let root = of(&["--now", "root 8.5 mm"]);
    let finished = 8.928 - 2.0 * 0.433_013;
    near(&root, "/next_cut/pitch/likely/mm", 8.928 + 8.5 - finished, 2e-6);
    let depth = of(&["--now", "depth 0.6 mm"]);
    let whole = number(&depth, "/tool/depth/mm");
    near(&depth, "/next_cut/pitch/likely/mm", 8.928 + 2.0 * (whole - 0.6), 2e-6);
    near(&depth, "/next_cut/pitch/greatest/mm", 8.928 + 2.0 * (whole - 0.55), 2e-6);
    // Without a measured blank its limits 9.732 to 9.968 count too.
    let wide = card(&["M10", "--now", "depth 0.6 mm"]);
    near(&wide, "/next_cut/pitch/greatest/mm", 8.928 + 2.0 * (whole - 0.55) + 0.118, 2e-6);
}

/// ISO 965-1, M10: 6g from 8.862, 8g from 8.782, 6e to 8.959 mm (from memory).
#[test]
fn too_deep_is_said_with_what_can_still_be_done() {
    for (now, stage, meets) in [
        ("pitch 8.9 mm", "in_class", &[][..]),
        ("pitch 8.865 mm", "perhaps_too_deep", &["8g"][..]),
        ("pitch 8.85 mm", "too_deep", &["8g"][..]),
    ] {
        let card = card(&["M10", "--now", now]);
        assert_eq!(words(&card, "/next_cut/stage"), stage, "{now}");
        assert_eq!(card["next_cut"]["passes_mm"].as_array().unwrap().len(), 0, "{now}");
        let classes = card["next_cut"]["meets"].as_array().unwrap();
        for class in meets {
            assert!(classes.iter().any(|of| of == class), "{now}: {classes:?}");
        }
    }
    // 8g takes the crests down to 9.593 mm (ISO 965-2, from memory): a blank under that is none of it.
    for (blank, held) in [("9.6 mm", true), ("9.59 mm", false)] {
        let card = card(&["M10", "--blank", blank, "--now", "pitch 8.85 mm"]);
        let classes = card["next_cut"]["meets"].as_array().unwrap();
        assert_eq!(classes.iter().any(|of| of == "8g"), held, "{blank}: {classes:?}");
    }
    let page = self::page(&["card", "M10", "--now", "pitch 8.85 mm"]);
    assert!(page.contains("Undersize already: 0.012 mm"), "{page}");
}

/// M10 6g is 8.862 to 8.994 mm; a caliper's 0.1 mm is nearly as much as its tolerance.
#[test]
fn the_page_says_after_which_cuts_it_is_in_its_class() {
    let of = |now: &str| page(&["card", "M10", "--now", now]);
    let cutting = of("pitch 9.1 mm");
    // (9.1 - 8.994) / 2 to (9.1 - 8.862) / 2, and 0.005 less at each end for the micrometer.
    let span =
        "in class after 0.053 to 0.119 mm (0.0021 to 0.0047 in); surely after 0.058 to 0.114 mm";
    assert!(cutting.contains(span), "{cutting}");
    let coarse = of("pitch 9.1 mm +- 0.1 mm");
    assert!(coarse.contains("the reading is too coarse to be sure"), "{coarse}");
    for now in ["pitch 8.9 mm", "pitch 8.865 mm", "pitch 8.85 mm"] {
        assert!(!of(now).contains("in class after") && !of(now).contains("more at most"), "{now}");
    }
}

/// 70 µm in 15 mm.
#[test]
fn places_along_the_thread_give_its_taper() {
    let card = card(&["M10", "--now", "pitch 9.10, 9.07, 9.03 mm over 15 mm"]);
    near(&card, "/next_cut/taper/um_per_mm", -70.0 / 15.0, 1e-3);
    near(&card, "/next_cut/pitch/likely/mm", 9.066_667, 1e-6);
    assert_eq!(card["next_cut"]["taper"]["is_sure"], true);
    let page = self::page(&["card", "M10", "--now", "pitch 9.10, 9.03 mm over 15 mm"]);
    assert!(page.contains("tailstock toward the tool"), "{page}");
    let page = self::page(&["card", "M10", "--now", "pitch 9.10, 9.09 mm"]);
    assert!(page.contains("Taper: none shown"), "{page}");
    // Thicker in the middle.
    let page = self::page(&["card", "M10", "--now", "pitch 9.10, 9.15, 9.10 mm"]);
    assert!(page.contains("the work bends or is not round"), "{page}");
}

/// A nut gets wider: 6H of M20 is 18.376 to 18.600 mm by ISO 965-2 (from memory).
#[test]
fn a_nut_is_cut_outward() {
    let card = card(&["M20", "--internal", "--now", "pitch 18.2 mm"]);
    near(&card, "/next_cut/left_to_aim_mm", (18.488 - 18.2) / 2.0, 1e-6);
    near(&card, "/next_cut/left_to_first_limit_mm", (18.376 - 18.2) / 2.0, 1e-6);
}

#[test]
fn a_measurement_that_cannot_be_is_one_error() {
    for (args, wrong) in [
        (&["M10", "--now", "wires 10.35"][..], "needs its unit"),
        (&["M10", "--now", "pitch 8.1 mm"], "no reading of this thread"),
        (&["M10", "--now", "wires 3 mm"], "no reading of this thread"),
        (&["M10", "--now", "wires 11.4 mm"], "the finished thread reads wires 10.229 mm"),
        (&["M10", "--now", "10.4 mm"], "wires, pitch, depth, root or nut"),
        (&["M10", "--now", "pitch 9.9 mm"], "no anvil of a thread micrometer finds its flanks"),
        (&["M10", "--now", "wires 11.25 mm"], "the finished thread reads wires 10.229 mm"),
        (&["M10", "--internal", "--now", "wires 10.4 mm"], "screws, not nuts"),
        (&["M10", "--internal", "--now", "root 10 mm"], "root of a nut"),
        (&["1/2 NPT", "--now", "pitch 19 mm"], "a taper has no one pitch diameter"),
        (&["1.5 mm", "--now", "pitch 9 mm"], "the diameter is not stated"),
        (&["0.1 mm/rev", "--now", "pitch 9 mm"], "is a feed"),
        (&["Tr40x7", "--lathe", "ketch", "--now", "depth 5.4 mm"], "no reading of this thread"),
        (&["Tr40x7", "--lathe", "ketch", "--now", "pitch 51 mm"], "no reading of this thread"),
    ] {
        let printed = run(&[&["card"], args].concat());
        assert_eq!((printed.code, &*printed.out), (2, ""), "{args:?}: {}", printed.err);
        assert!(printed.err.contains(wrong), "{args:?}: {}", printed.err);
    }
}
