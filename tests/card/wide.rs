//! A groove that is wider than its tool, half cut: do the passes that are left make it as wide as it must be?
//! The groove is drawn again here from the tool that was used, and its width taken on the pitch line.

use super::{card, near, number, words};
use crate::util::{one_line, run};
use serde_json::Value;

/// Name, more words, half angle in degrees, pitch in mm.
const WIDE: [(&[&str], f64, f64); 5] = [
    (&["Tr40x7", "--lathe", "ketch"], 15.0, 7.0),
    (&["Tr 60x9", "--lathe", "ketch"], 15.0, 9.0),
    (&["2-4 ACME", "--lathe", "tug"], 14.5, 6.35),
    (&["module 3", "--lathe", "ketch", "--diameter", "50 mm"], 20.0, 3.0 * std::f64::consts::PI),
    (&["Tr40x7", "--lathe", "ketch", "--internal"], 15.0, 7.0),
];

fn last(card: &Value, path: &str) -> f64 {
    let marks = card.pointer(path).and_then(Value::as_array).unwrap_or_else(|| panic!("{card}"));
    marks.last().and_then(Value::as_f64).unwrap_or(0.0)
}

/// Of many passes some are shown, with their numbers; a spreadsheet gets all.
#[test]
fn of_many_passes_some_are_shown() {
    let args =
        ["card", "module 3", "--lathe", "ketch", "--diameter", "50 mm", "--now", "depth 4 mm"];
    let page = one_line(&run(&args).out);
    assert!(page.contains("some by number: mm 1: 0.035, 2: 0.070"), "{page}");
    assert!(page.contains(" 98: 2.750"), "{page}");
    let rows = run(&[&args[..], &["--format", "csv"]].concat()).out;
    assert!(rows.contains("0.035 0.070 0.104 0.139 0.173 0.207"), "{rows}");
}

/// The narrower tool `depth` deep, moved `aside` to both sides: how wide is the groove on the pitch line,
/// which is `crest` below the surface?
fn width(flat: f64, angle: f64, depth: f64, aside: f64, crest: f64) -> f64 {
    let slope = angle.to_radians().tan();
    // From the left edge of the tool, moved left, to its right edge, moved right.
    let edge = |sign: f64| sign * (flat / 2.0 + (depth - crest) * slope + aside);
    edge(1.0) - edge(-1.0)
}

#[test]
fn the_passes_from_a_depth_end_half_a_pitch_wide() {
    for (args, angle, pitch) in WIDE {
        let whole = number(&card(args), "/tool/depth/mm");
        for reached in [0.2, 0.6, 1.0] {
            let so_far = (whole * reached * 1000.0).round() / 1000.0;
            let now = format!("depth {so_far} mm");
            let of = card(&[args, &["--now", &now]].concat());
            let (middle, aside) =
                (last(&of, "/next_cut/passes_mm"), last(&of, "/next_cut/flank_passes_mm"));
            assert!(aside > 0.0, "{args:?}: {of}");
            let across = number(&of, "/blank/across/mm");
            let crest = (across - number(&of, "/next_cut/aim/mm")).abs() / 2.0;
            let flat = number(&of, "/tool/slot/flat/mm");
            let got = width(flat, angle, so_far + middle, aside, crest);
            assert!((got - pitch / 2.0).abs() < 0.002, "{args:?} {reached}: {got}");
            assert_eq!(words(&of, "/next_cut/stage"), "cutting");
        }
    }
}

#[test]
fn the_flanks_that_a_reading_leaves_end_half_a_pitch_wide() {
    for (args, angle, pitch) in WIDE {
        let whole = card(args);
        let sign = if args.contains(&"--internal") { -1.0 } else { 1.0 };
        let (across, depth) =
            (number(&whole, "/blank/across/mm"), number(&whole, "/tool/depth/mm"));
        let flat = number(&whole, "/tool/slot/flat/mm");
        let aim = number(&card(&[args, &["--now", "depth 1 mm"]].concat()), "/next_cut/aim/mm");
        let crest = (across - aim).abs() / 2.0;
        // Both flanks are cut to this far from the middle: the pitch line is where it is half a pitch wide.
        let so_far = last(&whole, "/tool/slot/shifts_mm") * 0.7;
        let (mut low, mut high) = (-10.0, depth);
        for _ in 0..80 {
            let middle = f64::midpoint(low, high);
            // Wider above.
            if width(flat, angle, depth, so_far, middle) > pitch / 2.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        let reading = across - sign * 2.0 * low;
        let now = format!("pitch {reading:.4} mm");
        let of = card(&[args, &["--now", &now]].concat());
        assert_eq!(of["next_cut"]["passes_mm"].as_array().unwrap().len(), 0, "{args:?}");
        let left = last(&of, "/next_cut/flank_passes_mm");
        let got = width(flat, angle, depth, so_far + left, crest);
        assert!((got - pitch / 2.0).abs() < 0.002, "{args:?}: {got}");
    }
}

#[test]
fn the_page_says_which_tool_cuts_on_where() {
    let page =
        |now: &str| one_line(&run(&["card", "Tr40x7", "--lathe", "ketch", "--now", now]).out);
    let depth = page("depth 3 mm");
    for words in [
        "of depth in the middle, then 0.497 mm",
        "in the middle with the narrower tool",
        "no flank cut yet",
        "Measure over wires when the middle is at depth",
    ] {
        assert!(depth.contains(words), "{words}: {depth}");
    }
    let pitch = page("pitch 36.9 mm");
    for words in ["along the bed, at each flank", "One flank, spring pass; then the other."] {
        assert!(pitch.contains(words), "{words}: {pitch}");
    }
    assert!(!pitch.contains("no flank cut yet"), "{pitch}");
    // At full depth only the flanks are left.
    let of = card(&["Tr40x7", "--lathe", "ketch", "--now", "depth 4.046 mm"]);
    assert!(last(&of, "/next_cut/passes_mm") < 0.001, "{of}");
    near(&of, "/next_cut/flank_per_infeed", 15_f64.to_radians().tan(), 1e-6);
}
