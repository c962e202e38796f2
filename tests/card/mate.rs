//! A nut that is cut to one screw.

use super::{card, near, number, words};
use crate::util::{one_line, run};

/// es of g: 32 µm at a pitch of 1.5 mm, 42 at 2.5, 26 at 1 (ISO 965-1, table 1, from memory); the allowance of
/// 1/2-13 UNC 2A is 0.0015 in (ASME B1.1, from memory).
#[test]
fn the_clearance_is_the_least_of_the_classes() {
    for (thread, mate, clearance, pair) in [
        ("M10", 8.8, 0.032, ["6H", "6g"]),
        ("M20", 18.14, 0.042, ["6H", "6g"]),
        ("M6", 5.2, 0.026, ["6H", "6g"]),
        ("1/2-13 UNC", 11.3, 0.0015 * 25.4, ["2B", "2A"]),
    ] {
        let of = card(&[thread, "--internal", "--mate", &format!("{mate} mm")]);
        near(&of, "/to_mate/clearance/mm", clearance, 1e-6);
        near(&of, "/to_mate/pitch_least/mm", mate + clearance, 1e-6);
        assert_eq!([words(&of, "/to_mate/classes/0"), words(&of, "/to_mate/classes/1")], pair);
    }
    // A G nut has EI too: 32 µm more.
    let loose = card(&["M10", "--internal", "--class", "6G", "--mate", "8.8 mm"]);
    near(&loose, "/to_mate/clearance/mm", 0.064, 1e-6);
}

/// From bore and depth: the groove is half a pitch wide on the pitch line of the nut, and the flat of the
/// tool at the root (60 degrees).
#[test]
fn bore_and_depth_give_the_pitch_diameter_of_the_nut() {
    for (mate, flat) in [(8.8, 0.07), (8.95, 0.1), (9.3, 0.1)] {
        let (typed, tool) = (format!("{mate} mm"), format!("{flat} mm"));
        let of = card(&["M10", "--internal", "--mate", &typed, "--flat", &tool]);
        let root = number(&of, "/blank/across/mm") + 2.0 * number(&of, "/tool/depth/mm");
        // From the root to where it is half a pitch wide.
        let up = (0.75 - flat) / 2.0 / 30_f64.to_radians().tan();
        assert!((root - 2.0 * up - (mate + 0.032)).abs() < 2e-6, "{mate}: {root}");
    }
    // A screw over its class may have a root over it: 9.3 is 0.306 over the greatest of 6g. The bore is opened
    // by as much as the nut is over its own middle, 9.332 - 9.116.
    let bore =
        |args: &[&str]| number(&card(&[&["M10", "--internal"], args].concat()), "/blank/across/mm");
    let opened = bore(&["--mate", "9.3 mm", "--flat", "0.1 mm"]) - bore(&[]);
    assert!((0.216..0.227).contains(&opened), "{opened}");
    assert!((bore(&["--mate", "8.8 mm"]) - bore(&[])).abs() < 1e-9);
}

#[test]
fn the_page_says_how_it_is_tried() {
    let page = |args: &[&str]| one_line(&run(&[&["card"], args].concat()).out);
    let of = page(&["M10", "--internal", "--mate", "8.80mm"]);
    for words in [
        "8.832 mm (0.3477 in) pitch diameter",
        "bore 8.530 mm",
        "the least between 6H/6g (ISO 965-1)",
        "Wires don't go into a nut",
        "spindle stopped, tool clear, turned in by hand",
        // 60 degrees: 0.068 mm radially for the crests of 10 mm, of the flat of P/8.
        "a flat of 0.076 mm",
    ] {
        assert!(of.contains(words), "{words}: {of}");
    }
    let fine = page(&["M10", "--internal", "--mate", "8.80mm", "--flat", "0.07 mm"]);
    assert!(!fine.contains("would bind at the root"), "{fine}");
    let whitworth = page(&["1/2 BSW", "--internal", "--mate", "11.3 mm"]);
    assert!(whitworth.contains("none is known for this thread"), "{whitworth}");
}

#[test]
fn what_makes_no_sense_is_one_error() {
    for (args, wrong) in [
        (&["M10", "--mate", "8.8 mm"][..], "it is the screw that a nut is cut to"),
        (&["M10", "--internal", "--mate", "8.8"], "needs its unit"),
        (&["M10", "--internal", "--mate", "8.1 mm"], "is of another thread"),
        (&["M10", "--internal", "--mate", "10 mm"], "is of another thread"),
        (&["M64", "--internal", "--mate", "52 mm"], "is of another thread"),
        (&["M2", "--internal", "--mate", "1.55 mm"], "is of another thread"),
        (&["1/2 NPT", "--internal", "--mate", "19 mm"], "a taper has no one pitch diameter"),
        (&["1.5 mm", "--internal", "--mate", "9 mm"], "the diameter is not stated"),
        (&["0.1 mm/rev", "--mate", "9 mm"], "is a feed"),
        (&["M10", "--internal", "--mate", "8.8 mm", "--now", "wires 10 mm"], "screws, not nuts"),
    ] {
        let printed = run(&[&["card"], args].concat());
        assert_eq!((printed.code, &*printed.out), (2, ""), "{args:?}: {}", printed.err);
        assert!(printed.err.contains(wrong), "{args:?}: {}", printed.err);
    }
}

/// The screw itself is tried in its nut: both sides of 8.8 mm, and 0.016 mm of infeed to its clearance.
#[test]
fn its_own_screw_is_the_gauge() {
    let args = ["M10", "--internal", "--mate", "8.8 mm", "--flat", "0.07 mm", "--now"];
    let of = card(&[&args[..], &["screw does not start"]].concat());
    near(&of, "/tried/pitch_greatest/mm", 8.8, 1e-9);
    near(&of, "/tried/left_least_mm", 0.016, 1e-6);
    assert!(of["tried"]["class"].is_null());
    let measured = card(&[&args[..], &["pitch 8.9 mm"]].concat());
    assert_eq!(words(&measured, "/next_cut/stage"), "in_class");
    let page = one_line(&run(&[&["card"], &args[..], &["pitch 8.9 mm"]].concat()).out);
    assert!(page.contains("Done: inside the fit to its screw"), "{page}");
}
