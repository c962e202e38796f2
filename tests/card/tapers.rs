//! Taper threads on the card: blank, gauge, setting of the lathe, and what is refused.

use super::{card, near, number, practice::one_line, words};
use crate::util::run;
use serde_json::json;

const DEMOS: [&str; 3] = ["dinghy", "ketch", "tug"];

/// A 1/2-14 NPT plug on each demo lathe, by the figures of ASME B1.20.1: turned to E0 + h = 0.81557 in, its cone
/// reaches the 0.840 in of the pipe at L2 - 2 p = 0.39086 in; L1 of 0.320 in are 4.48 turns.
#[test]
fn a_pipe_plug_is_turned_set_and_gauged_on_each_demo_lathe() {
    for lathe in DEMOS {
        let args = ["1/2-14 NPT", "--lathe", lathe, "--centres", "200 mm"];
        let plug = card(&args);
        near(&plug, "/sizes/taper/small_end/0/inches", 0.815_57, 5e-6);
        near(&plug, "/sizes/taper/crest_length/inches", 0.390_86, 5e-6);
        near(&plug, "/sizes/taper/turns_to_gauge", 4.48, 1e-9);
        near(&plug, "/sizes/taper/tailstock_set_over/mm", 6.247, 5e-4);
        let said = one_line(&args);
        for words in [
            "turn to 20.716 mm (0.8156 in) at the small end; 21.336 mm (0.8400 in), the pipe's outside, \
             9.928 mm",
            "No undercut on a pipe: draw the tool out 13.556 to 19.852 mm from the end (L2, L4).",
            "A ring gauge goes on 4.5 turns by hand, 1 turn more or less (unverified).",
            "Taper attachment: 1.7899° from the axis, or 3.125 mm aside in 100 mm (taper 3/4 in per foot).",
            "Set the tool square to the axis, not to the cone; the lead is along the axis.",
            "200.000 mm between centres: set the tailstock over by 6.247 mm (0.2459 in) toward the tool",
            "right along the cone; along the axis it is 488 ppm short: 9.7 µm over 19.852 mm.",
            "Tight only with a sealant (ASME B1.20.1, unverified).",
        ] {
            assert!(said.contains(words), "{lathe}, {words}: {said}");
        }
        let page = run(&[&["card"], &args[..], &["--format", "html"]].concat());
        assert_eq!(page.code, 0, "{lathe}: {}", page.err);
        for words in ["6.247 mm", "4.5 turns by hand", "488 ppm short", "1.7899°"] {
            assert!(page.out.replace('\u{a0}', " ").contains(words), "{lathe}: {words}");
        }
    }
}

/// Set over or not, the other way is not on the card.
#[test]
fn the_tailstock_is_set_over_only_where_it_was_asked_for() {
    let plain = one_line(&["1/2 NPT"]);
    assert!(plain.contains("Don't set the tailstock over instead"), "{plain}");
    assert!(!plain.contains("between centres"), "{plain}");
    assert_eq!(card(&["1/2 NPT"])["sizes"]["taper"]["tailstock_set_over"], json!(null));
    let asked = one_line(&["1/2 NPT", "--centres", "6 in"]);
    assert!(asked.contains("set the tailstock over by 4.760 mm (0.1874 in)"), "{asked}");
    assert!(!asked.contains("Don't set the tailstock over"), "{asked}");
}

/// ISO 7-1: R 1/2 begins with 20.442 mm and has 20.955 mm 8.2 mm on; above size 2 a gauge may be one and a half
/// turns off (unverified).
#[test]
fn a_british_taper_says_its_cone_and_its_turns() {
    let half = one_line(&["R 1/2"]);
    for words in [
        "turn to 20.442 mm (0.8048 in) at the small end; 20.955 mm (0.8250 in) 8.200 mm",
        "goes on 4.5 turns by hand, 1 turn more or less (unverified)",
        "Tight on the thread (ISO 7-1)",
    ] {
        assert!(half.contains(words), "{words}: {half}");
    }
    assert!(one_line(&["R 3"]).contains("turns by hand, 1 1/2 turns more or less"));
    assert!(one_line(&["Rc 1/2", "--internal"]).contains("A plug gauge goes on 4.5 turns"));
}

/// Titles of ISO 228-1 and ISO 7-1: pressure-tight joints are not made on the one, and are on the other.
#[test]
fn each_pipe_thread_says_whether_it_seals() {
    let parallel = one_line(&["G 1/2"]);
    assert!(parallel.contains("ISO 228-1: not tight on the thread"), "{parallel}");
    assert!(!one_line(&["M20"]).contains("tight on the thread"));
    // A left-hand thread begins where it would run out; a nut has no outside.
    for args in [&["1/2 NPT LH"][..], &["1/2 NPT", "--internal"]] {
        assert!(!one_line(args).contains("No undercut on a pipe"), "{args:?}");
    }
}

/// 20 mm at the small end, 1 in 16: 1.5625 mm more 25 mm on. A taper of 1 in 10 per side leans by
/// atan(1/20) = 2.8624 degrees.
#[test]
fn any_taper_begins_with_its_blank() {
    let args = ["1.5 mm", "--taper", "1:16", "--blank", "20mm", "--over", "25mm"];
    let screw = card(&args);
    near(&screw, "/sizes/taper/small_end/0/mm", 20.0, 1e-9);
    near(&screw, "/sizes/major/basic/mm", 21.5625, 1e-9);
    assert_eq!(words(&screw, "/sizes/taper/on_diameter"), "1/16");
    assert_eq!((&screw["blank"], &screw["sizes"]["wires"]), (&json!(null), &json!(null)));
    let said = one_line(&args);
    for words in [
        "turn to 20.000 mm (0.7874 in) at the small end, as stated; 21.562 mm (0.8489 in) 25.000 mm",
        "small end mm large end mm",
        "from end to end 25.000 mm",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    let steep = card(&["1.5 mm", "--taper", "1:10", "--blank", "20mm"]);
    near(&steep, "/sizes/taper/half_angle_degrees", 2.862_405, 1e-6);
    near(&steep, "/sizes/taper/attachment_mm_in_100", 5.0, 1e-9);
    // The usual length, 25 mm.
    near(&steep, "/sizes/taper/gauge_length/mm", 25.0, 1e-9);
    let nut = one_line(&["1.5 mm", "--internal", "--taper", "1:16", "--blank", "20mm"]);
    assert!(
        nut.contains("bore to 20.000 mm (0.7874 in) at the face, as stated; 18.438 mm"),
        "{nut}"
    );
    assert!(number(&screw, "/sizes/taper/turns_to_gauge") > 16.0);
}

#[test]
fn what_no_taper_can_be_is_one_clear_error() {
    for (args, wrong, right) in [
        (
            &["1/2 NPT", "--taper", "1:16"][..],
            "has a taper of its own, 1 in 16",
            "leave --taper out",
        ),
        (
            &["1.5 mm", "--taper", "1:16"][..],
            "--taper: the diameter that it begins with",
            "--blank 20mm",
        ),
        (
            &["M10", "--taper", "1:16", "--blank", "10mm"][..],
            "M10 is a parallel thread",
            "`1.5 mm`",
        ),
        (
            &["1.5 mm", "--taper", "1:16", "--blank", "20mm", "--diameter", "20mm"][..],
            "--diameter: a taper begins with its blank",
            "--blank",
        ),
        (&["1.5 mm", "--taper", "16", "--blank", "20mm"][..], "how steep", "`1:16`"),
        (&["1.5 mm", "--taper", "1:1", "--blank", "20mm"][..], "too steep", "`1:16`"),
        (
            &["1.5 mm", "--taper", "1:16", "--blank", "1mm"][..],
            "--taper: nothing is left of the thread",
            "a larger blank",
        ),
        (&["M10", "--centres", "200mm"][..], "M10 is no taper", "leave --centres out"),
        (&["R 1/2", "--centres", "5mm"][..], "shorter than the thread", "the whole length"),
        (
            &["R 1/2", "--internal", "--centres", "90mm"][..],
            "not held between centres",
            "attachment",
        ),
        (
            &["0.1 mm/rev", "--taper", "1:16"][..],
            "--taper: `0.1 mm/rev` is a feed",
            "leave --taper out",
        ),
        (
            &["8 mm", "--form", "round", "--depth", "1mm", "--taper", "1:16"][..],
            "round groove",
            "--taper out",
        ),
        (&["1/2 NPT", "--blank", "21mm"][..], "a taper has no one diameter", "leave --blank out"),
    ] {
        let refused = run(&[&["card"], args].concat());
        assert_eq!((refused.code, refused.out.as_str()), (2, ""), "{args:?}");
        assert!(
            refused.err.contains(wrong) && refused.err.contains(right),
            "{args:?}: {}",
            refused.err
        );
        assert_eq!(refused.err.matches("trainwright: ").count(), 1, "{}", refused.err);
    }
}
