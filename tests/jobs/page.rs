//! What the cards say in words: planes, studs, the order of the levers, where the tool runs out.

use super::lathes;
use crate::util::{fresh, one_line, run_in};

/// A card in words, on a lathe of the list.
fn card(lathe: &str, job: &[&str]) -> String {
    let (_, text) = lathes::ALL.into_iter().find(|(name, _)| *name == lathe).expect("a lathe");
    card_on(text, job)
}

fn card_on(lathe: &str, job: &[&str]) -> String {
    let folder = fresh();
    std::fs::write(folder.path().join("lathe.json"), lathe).expect("a file");
    let run = run_in(folder.path(), &[&["card"], job].concat());
    assert_eq!(run.code, 0, "{job:?}: {}", run.err);
    one_line(&run.out)
}

fn holds(text: &str, all: &[&str]) {
    for words in all {
        assert!(text.contains(words), "`{words}` is not said: {text}");
    }
}

/// The picture heads its columns `1 inner`, `2`, `3 outer`: a gear in the second is in neither.
#[test]
fn of_three_planes_each_is_called_by_its_number() {
    let feed = card("Yawl", &["0.1 mm/rev"]);
    holds(
        &feed,
        &[
            "On stud 1: 63 in plane 1, 24 in plane 2, keyed together.",
            "On stud 2: 60 in plane 2, 25 in plane 3, keyed together, spacer inner.",
            "On the lead screw: 127, in plane 3, spacers inner.",
        ],
    );
    let thread = card("Yawl", &["1/2-13 UNC"]);
    holds(&thread, &["On stud 1: 65 in plane 1 (stays), 20 in plane 2, keyed together."]);
}

/// From two planes into one and back: a gear that stays on its shaft changes its plane.
#[test]
fn the_plane_is_said_where_only_one_of_two_set_ups_has_two() {
    let there = card("Punt", &["M10"]);
    holds(&there, &["On the lead screw: 40, inner."]);
    let back = card("Barge", &["1/2-13 UNC"]);
    holds(
        &back,
        &[
            "Shift to the other plane: the 48 on the gearbox shaft. [ ] On the driving shaft: 24, inner; \
           on stud 1: 60, inner; on the gearbox shaft: 48, inner.",
        ],
    );
    let flat = card("Barge", &["1/2 BSW"]);
    assert!(!flat.contains("24, inner"), "{flat}");
}

#[test]
fn a_stud_too_many_is_taken_off_before_the_gears_go_back() {
    let card = card("Yawl", &["M10"]);
    let back = card.split("Put back").nth(1).expect("a put-back");
    let off = back.find("Take stud 2 off the arm.").expect("stud 2 is taken off");
    assert!(off < back.find("Clamp stud 1").expect("stud 1 is clamped"), "{back}");
}

/// The pivot is the axis of the lead screw: each stud is set against the one before it.
#[test]
fn studs_are_clamped_from_the_pivot_outward() {
    let card = card("Yawl", &["M10"]);
    holds(
        &card,
        &["Clamp stud 2 at 60.0 mm from the pivot along the slot. [ ] Clamp stud 1 at 112.5 mm"],
    );
}

/// Barge forbids I with low and V with high. It is fitted at IV and low: Row can't go to I first.
#[test]
fn no_lever_passes_through_a_forbidden_combination() {
    for job in super::JOBS.iter().filter(|job| job.args[0] != "0.1 mm/rev") {
        let card = card("Barge", job.args);
        let levers = card.split("Levers").nth(1).expect("levers");
        let (mut row, mut step) = ("IV", "low");
        let mut moves: Vec<(usize, &str, &str)> = Vec::new();
        for name in ["Row", "Step"] {
            let at = levers.find(&format!("{name}: ")).expect("a lever");
            let to = levers[at..].split([' ', '.']).nth(1).expect("a position");
            moves.push((at, name, to));
        }
        moves.sort_unstable();
        for (_, name, to) in moves {
            *(if name == "Row" { &mut row } else { &mut step }) = to;
            let locked = matches!((row, step), ("I", "low") | ("V", "high"));
            assert!(!locked, "{:?}: {row} {step}: {levers}", job.args);
        }
    }
}

#[test]
fn a_feed_is_put_right_by_what_the_lathe_has() {
    let feed = card("Yawl", &["0.1 mm/rev"]);
    holds(&feed, &["still no power: close the half nut", "Wrong way? Put one idler in"]);
    let tumbler = card("Punt", &["0.1 mm/rev"]);
    holds(&tumbler, &["Note how it is now: where studs and arm are clamped (mark them); tumbler"]);
    holds(&tumbler, &["engage the longitudinal feed", "Flip the tumbler or the feed lever"]);
    holds(
        &tumbler,
        &["Back as you noted: tumbler", "Then: longitudinal feed 0.0250 mm (0.00098 in)"],
    );
}

/// A left-hand thread begins in the undercut and runs out at the tailstock: 1.25 mm a turn at 45 rpm are
/// 0.9375 mm/s, in two seconds 1.875 mm.
#[test]
fn a_left_hand_thread_is_not_timed_in_the_undercut() {
    let left = card("Yawl", &["M12x1.25 LH"]);
    let speed = left.split("Speed").nth(1).expect("speeds");
    holds(speed, &["room to stop mm 45 0.9 1.9", "runs out at the tailstock end"]);
    assert!(!speed.contains("in undercut"), "{speed}");
    let right = card("Yawl", &["M12x1.25"]);
    holds(&right, &["in undercut s"]);
    holds(&card("Yawl", &["M12x1.25 LH", "--undercut", "5 mm"]), &["in undercut s"]);
}

/// 127/65 mm less 369 ppm at 60 rpm, in two seconds: 3.906 mm.
#[test]
fn a_lathe_that_runs_too_fast_is_turned_by_hand() {
    let card = card("Punt", &["1/2-13 UNC"]);
    holds(
        &card,
        &[
            "cover on, turned by hand. Touch the work",
            "60 rpm takes an undercut of 4.000 mm (0.1575 in); else turn the spindle by hand.",
        ],
    );
}

#[test]
fn whole_turns_of_the_first_gear_have_no_teeth_behind_them() {
    let card = card("Lugger", &["3 mm 2 starts"]);
    holds(&card, &["until the 30 is on by 2 turns (1/2 of a turn of the spindle)"]);
}

/// 1.25 mm on 3 mm come round every five pitches: 15 and 20 teeth do it on any of their lines, 16 not.
#[test]
fn every_dial_gear_that_closes_on_any_line_is_named() {
    let lathe = r#"{"format": 1, "lead_screw": {"lead": "3 mm"},
        "headstock": {"ratio": "1", "turns": "same"},
        "gears": {"owned": [25, 40, 45, 60]}, "half_nut": true,
        "dial": [{"teeth": 15, "lines": 3}, {"teeth": 16, "lines": 8}, {"teeth": 20, "lines": 4}]}"#;
    let card = card_on(lathe, &["1.25 mm", "--train", "25-40-60"]);
    holds(&card, &["Dial gear of 20 or 15 teeth. Close on any line of the dial."]);
}

/// 30-127-60 is fitted: with the 35 on and the 60 not shifted the 127 is an idler. 1.75 mm become
/// 1/2 x 25.4 / 4 x 35 / 60 = 1.852083 mm.
#[test]
fn a_joined_pair_of_which_one_gear_idles_is_a_slip() {
    let lathe = r#"{"format": 1, "lead_screw": {"lead": "4 tpi"},
        "headstock": {"ratio": "1", "turns": "same"},
        "gears": {"owned": [35], "joined": [{"gears": [127, 120], "turn_round": false}]},
        "ends": {"driven": 60},
        "gearbox": {"levers": [{"name": "Upper", "positions": {"III": "1/2"}}]}}"#;
    let card = card_on(lathe, &["1.75 mm", "--train", "35-127+120-60"]);
    holds(&card, &["10 18.521 0.7292 the 127 alone in mesh, as an idler"]);
}

/// A trapezoidal groove is widened by the top slide, which goes on to the next start from its middle.
#[test]
fn the_top_slide_widens_a_groove_and_goes_to_the_next_start() {
    let card = card("Lugger", &["Tr 40x14 (P7) LH"]);
    holds(
        &card,
        &[
            "at full depth, top slide parallel to the bed",
            "Next start: from the middle of the groove move it 7.000 mm",
            "the top slide moves for the flanks and for nothing else.",
        ],
    );
}
