//! Threads with a known pitch diameter, tried with nuts of a known one: ideal forms go together where the
//! nut's is the larger.

use super::super::dice::Dice;
use super::*;
use crate::cutting::Cut;
use crate::tolerance::default_class;

fn mm(length: Option<Length>) -> Option<f64> {
    length.map(|length| length.mm().to_f64())
}

#[test]
fn the_pitch_diameter_lies_between_the_bounds_and_no_safe_pass_is_past_the_aim() {
    let (mut dice, mut tried, mut kinds) = (Dice(11), 0, [0; 3]);
    let threads: Vec<_> = crate::thread::all().collect();
    while tried < 300 {
        let thread = threads[dice.below(threads.len())];
        let side = if dice.part() < 0.5 { Side::External } else { Side::Internal };
        let Some(class) = default_class(&thread, side == Side::Internal) else { continue };
        let Ok(limits) = Limits::of(&thread, class) else { continue };
        let target: Target = thread.designation().parse().unwrap();
        let Ok(cut) = Cut::of(&target).map(|cut| cut.with_side(side)) else { continue };
        let work = Work { side, ..Work::default() };
        let held = (Some(&limits), None);
        let Ok(groove) = Groove::of(&cut, held, &work, true) else { continue };
        let (Some(blank), Some(of)) = (groove.blank, mate_limits(&target, &work, Some(&limits)))
        else {
            continue;
        };
        let [small, large] = [of.pitch().least(), of.pitch().greatest()].map(|of| mm(of).unwrap());
        let mate = small + (large - small) * dice.part();
        let sign = if side == Side::External { 1.0 } else { -1.0 };
        let truth = blank.pitch().mm() + sign * 2.0 * groove.depth.mm() * (dice.part() * 0.4 - 0.1);
        // The room that the nut has over the screw, here and where the thread is that much thicker.
        let room = sign * (mate - truth);
        let thicker = (large - small) * dice.part();
        let goes = match room {
            room if room < 0.0 => Goes::Not,
            room if room < thicker => Goes::Turns(None),
            _ => Goes::On,
        };
        kinds[match goes {
            Goes::Not => 0,
            Goes::Turns(_) => 1,
            Goes::On => 2,
        }] += 1;
        let mate = if side == Side::External { Side::Internal } else { Side::External };
        let work = Work { now: Some(Now::Tried(Trial { mate, goes })), ..work };
        let found = Tried::of(&target, Some(&cut), Some(&groove), held, &work).unwrap().unwrap();
        tried += 1;
        // What binds is where the thread is thickest, what goes is where it was tried.
        let thickest = truth + sign * if goes == Goes::Not { 0.0 } else { thicker };
        let (at_most, at_least) = match side {
            Side::External => (truth, thickest),
            Side::Internal => (thickest, truth),
        };
        assert!(
            mm(found.greatest).is_none_or(|most| at_most <= most + 1e-9),
            "{thread}: {found:?}"
        );
        assert!(
            mm(found.least).is_none_or(|least| at_least >= least - 1e-9),
            "{thread}: {found:?}"
        );
        if let (Some(least), Some(most)) = (mm(found.least), mm(found.greatest)) {
            assert!(
                most - least <= (large - small) + 1e-9,
                "no wider than the mate's class: {thread}"
            );
        }
        // As deep as it is told to be safe, where it binds.
        if let Some(last) = found.rest.passes.last().filter(|_| groove.slot.is_none()) {
            let after = thickest - sign * 2.0 * last;
            assert!(sign * (after - blank.pitch().mm()) >= -1e-9, "{thread}: {found:?}");
        }
    }
    assert!(kinds.iter().all(|count| *count > 30), "{kinds:?}");
}
