//! The bore of a nut on the card: engagement by both bases, and tap drills.

use super::{card, near, practice::one_line, words};
use serde_json::json;

/// M10, 6H: (10 - 8.5) / (1.0825 x 1.5) = 92.4 per cent, / (1.299 x 1.5) = 77.0; the bore of 8.530 mm, 90.5 and
/// 75.4. Letter Q is 0.332 in.
#[test]
fn a_nut_says_how_much_thread_its_bore_leaves() {
    let nut = card(&["M10", "--internal"]);
    near(&nut, "/bore/engagement/of_basic", 90.53, 0.01);
    near(&nut, "/bore/engagement/of_american", 75.44, 0.01);
    near(&nut, "/bore/engagement/basic_pitches", 1.082_532, 1e-6);
    assert_eq!(words(&nut, "/bore/tap_drills/0/name"), "8.5 mm");
    near(&nut, "/bore/tap_drills/0/engagement/of_basic", 92.38, 0.01);
    near(&nut, "/bore/tap_drills/1/size/inches", 0.332, 1e-9);
    let said = one_line(&["M10", "--internal"]);
    for words in [
        "thread 91 % of 1.0825 P (basic), 75 % of 1.299 P (inch tables)",
        "tap drill 8.5 mm: 92 %, 77 %; or letter Q, 8.433 mm: 97 %, 80 %",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
}

/// BS 84, 1/2 in, 12 TPI: the whole thread is 1.2807 P, one base only. 10.5 mm leave 81.2 per cent.
#[test]
fn a_whitworth_nut_has_one_base() {
    let said = one_line(&["1/2 BSW", "--internal"]);
    let words = "thread 100 % of 1.2807 P (basic) tap drill 10.5 mm: 81 %";
    assert!(said.contains(words), "{said}");
    assert_eq!(card(&["1/2 BSW", "--internal"])["bore"]["engagement"]["of_american"], json!(null));
}

/// A measured bore is no longer drilled; a screw has no bore; a trapezoidal nut has no tap drill.
#[test]
fn drills_are_for_a_bore_to_be_made() {
    let bored = card(&["M10", "--internal", "--blank", "8.6 mm"]);
    near(&bored, "/bore/engagement/of_basic", 86.22, 0.01);
    assert_eq!(bored["bore"]["tap_drills"], json!([]));
    for args in [&["M10"][..], &["Tr 20x4", "--internal"], &["1/2 NPT", "--internal"]] {
        assert_eq!(card(args)["bore"], json!(null), "{args:?}");
        assert!(!one_line(args).contains("drill"), "{args:?}");
    }
}
