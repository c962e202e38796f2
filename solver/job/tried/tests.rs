//! Threads with a known pitch diameter, tried with nuts of a known one: ideal forms go together where the
//! nut's is the larger.

use super::super::dice::Dice;
use super::*;
use crate::cutting::Cut;
use crate::scratch_pass::Spindle;
use crate::tolerance::default_class;

fn mm(length: Option<Length>) -> Option<f64> {
    length.map(|length| length.mm().to_f64())
}

/// A half-cut thread, the limits of its mate, and where it is thickest.
struct Begun {
    target: Target,
    cut: Cut,
    groove: Groove,
    limits: Limits,
    mate: [f64; 2],
    work: Work,
}

impl Begun {
    fn of(thread: &crate::Thread, side: Side) -> Option<Self> {
        let limits = Limits::of(thread, default_class(thread, side == Side::Internal)?).ok()?;
        let target: Target = thread.designation().parse().unwrap();
        let cut = Cut::of(&target).ok()?.with_side(side);
        let work = Work { side, ..Work::default() };
        let groove = Groove::of(&cut, (Some(&limits), None), &work, true, Spindle::Forward).ok()?;
        groove.blank?;
        let of = mate_limits(&target, &work, Some(&limits))?.pitch();
        let mate = [mm(of.least())?, mm(of.greatest())?];
        Some(Self { target, cut, groove, limits, mate, work })
    }

    fn tried(&self, goes: Goes) -> Tried {
        let mate = match self.work.side {
            Side::External => Side::Internal,
            Side::Internal => Side::External,
        };
        let now = Some(Now::Tried(Trial { mate, goes }));
        let work = Work { now, ..self.work.clone() };
        let held = (Some(&self.limits), None);
        let (cut, groove) = (Some(&self.cut), Some(&self.groove));
        Tried::of(&self.target, cut, groove, held, &work).unwrap().unwrap()
    }

    /// `truth`: where the mate was tried; `thickest`: where it binds.
    fn held_to(&self, found: &Tried, truth: f64, thickest: f64) {
        let (sign, at_most, at_least) = match self.work.side {
            Side::External => (1.0, truth, thickest),
            Side::Internal => (-1.0, thickest, truth),
        };
        let (least, greatest) = (mm(found.least), mm(found.greatest));
        assert!(greatest.is_none_or(|most| at_most <= most + 1e-9), "{found:?}");
        assert!(least.is_none_or(|least| at_least >= least - 1e-9), "{found:?}");
        // No wider than the class of the mate.
        let [small, large] = self.mate;
        let width = greatest.zip(least).map_or(0.0, |(most, least)| most - least);
        assert!(width <= large - small + 1e-9, "{found:?}");
        // As deep as it is told to be safe, where it binds.
        if let Some(last) = found.rest.passes.last().filter(|_| self.groove.slot.is_none()) {
            let after = thickest - sign * 2.0 * last;
            assert!(sign * (after - found.aim.mm()) >= -1e-9, "{found:?}");
        }
    }
}

#[test]
fn the_pitch_diameter_lies_between_the_bounds_and_no_safe_pass_is_past_the_aim() {
    let (mut dice, mut kinds) = (Dice(11), [0; 3]);
    let threads: Vec<_> = crate::thread::all().collect();
    while kinds.iter().sum::<u32>() < 300 {
        let side = if dice.part() < 0.5 { Side::External } else { Side::Internal };
        let Some(of) = Begun::of(&threads[dice.below(threads.len())], side) else { continue };
        let [small, large] = of.mate;
        let mate = small + (large - small) * dice.part();
        let sign = if side == Side::External { 1.0 } else { -1.0 };
        let depth = of.groove.depth.mm() * (dice.part() * 0.4 - 0.1);
        let truth = of.groove.blank.unwrap().pitch().mm() + sign * 2.0 * depth;
        // The room of the nut over the screw, here and where the thread is that much thicker.
        let (room, thicker) = (sign * (mate - truth), (large - small) * dice.part());
        let (kind, goes) = match room {
            room if room < 0.0 => (0, Goes::Not),
            room if room < thicker => (1, Goes::Turns(None)),
            _ => (2, Goes::On),
        };
        kinds[kind] += 1;
        let thickest = truth + sign * if goes == Goes::Not { 0.0 } else { thicker };
        of.held_to(&of.tried(goes), truth, thickest);
    }
    assert!(kinds.iter().all(|count| *count > 20), "{kinds:?}");
}
