//! Why a train can't stand and where one stands, in sentences with their mm: the only place where
//! the banjo's words are made.
//!
//! A figure is shown with one decimal and carries `~` where that is not all of it.

use crate::words::figures::tenth as figure;
use crate::words::shaft::{driven_shaft, in_words, label, last_shaft};
use solver::bracket::{Gap, InSlot, Mounting, Part, Reason};
use solver::{Bracket, Lathe, OnShaft, Pivot, Slot, Train};

/// One reason why a train can't stand.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Objection {
    /// A word for programs, the same for all reasons of a kind.
    pub(crate) kind: &'static str,
    /// By how much, where that is a length.
    pub(crate) mm: Option<f64>,
    /// A full sentence.
    pub(crate) text: String,
}

impl Objection {
    pub(crate) fn new(kind: &'static str, mm: Option<f64>, text: String) -> Self {
        Self { kind, mm, text }
    }
}

/// What the words of a train on a lathe need to know.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Speaker<'a> {
    lathe: &'a Lathe,
    train: &'a Train,
}

impl<'a> Speaker<'a> {
    pub(crate) const fn new(lathe: &'a Lathe, train: &'a Train) -> Self {
        Self { lathe, train }
    }

    fn bracket(&self) -> Option<&'a Bracket> {
        self.lathe.parts().bracket.as_ref()
    }

    /// `the driving shaft`, `stud 1`, `the driven shaft`.
    pub(crate) fn shaft(&self, index: usize) -> String {
        in_words(self.on(index), last_shaft(self.lathe)).to_owned()
    }

    fn on(&self, index: usize) -> OnShaft {
        OnShaft::of(index, self.train.shafts().len())
    }

    /// The same at the head of a sentence.
    pub(crate) fn stud(&self, index: usize) -> String {
        capital(&self.shaft(index))
    }

    /// `45 on stud 1`, `the hub of the driving shaft`, `the lock pin`.
    pub(crate) fn part(&self, part: Part) -> String {
        match part {
            Part::Gear { shaft, teeth, .. } => format!("{teeth} on {}", self.shaft(shaft)),
            Part::Idle { shaft, teeth, joined_to, .. } => {
                format!("the {teeth} joined to the {joined_to} on {}", self.shaft(shaft))
            }
            Part::Hub { shaft } => format!("the hub of {}", self.shaft(shaft)),
            Part::KeepOut(index) => {
                let keep_out = self.bracket().and_then(|b| b.keep_out.get(index));
                keep_out.map_or_else(|| "a keep-out".to_string(), |k| format!("\"{}\"", k.name))
            }
            Part::Cover => "the cover".to_string(),
            _ => "another part".to_string(),
        }
    }

    /// `the slot`, or which one where there are several.
    pub(crate) fn slot(&self, index: usize) -> String {
        let Some(bracket) = self.bracket() else { return "the slot".to_string() };
        let kind = match bracket.slots.get(index) {
            Some(Slot::Straight { from, to, .. }) if from == to => "hole",
            Some(Slot::Arc { .. }) => "arc slot",
            _ => "slot",
        };
        if bracket.slots.len() > 1 {
            format!("{kind} {}", index + 1)
        } else {
            format!("the {kind}")
        }
    }

    fn is_arc(&self, index: usize) -> bool {
        self.bracket().is_some_and(|b| matches!(b.slots.get(index), Some(Slot::Arc { .. })))
    }

    /// The sentence for a reason.
    pub(crate) fn objection(&self, reason: &Reason) -> Objection {
        match *reason {
            Reason::Arbor { tip, joined_to: None, axis, short } => {
                arbor(tip.get(), axis.get(), &figure(short), short)
            }
            Reason::Arbor { tip, joined_to: Some(partner), axis, short } => {
                let text = format!(
                    "The tip of the {tip} joined to the {partner} is {} mm too near the axis of the {axis}.",
                    figure(short)
                );
                Objection::new("axis", Some(short), text)
            }
            Reason::Touch { gear, other, short, clearance } => {
                let text = touch(&self.part(gear), &self.part(other), short, clearance);
                Objection::new("touch", Some(short), text)
            }
            Reason::NearFirst { stud, distance, least } => self.near_first(stud, distance, least),
            Reason::SlotEnd { stud, slot, along, end } => self.slot_end(stud, slot, along, end),
            Reason::OffSlot { stud, slot, distance, nearest } => {
                self.off_slot(stud, slot, distance, nearest)
            }
            ref reason => bridge(reason),
        }
    }

    fn near_first(&self, stud: usize, distance: f64, least: f64) -> Objection {
        let text = format!(
            "{} would be {} mm from the driving shaft, where {} mm is the least: {} mm too near.",
            self.stud(stud),
            figure(distance),
            figure(least),
            figure(least - distance)
        );
        Objection::new("near driving shaft", Some(least - distance), text)
    }

    fn off_slot(&self, stud: usize, slot: usize, distance: f64, nearest: f64) -> Objection {
        let off = (distance - nearest).abs();
        let slot = self.slot(slot);
        let text = format!(
            "{} can't be in {slot}: its mesh is {} mm from axis to axis, and the nearest that {slot} \
             allows is {} mm: {} mm off.",
            self.stud(stud),
            figure(distance),
            figure(nearest),
            figure(off)
        );
        Objection::new("off the slot", Some(off), text)
    }

    fn slot_end(&self, stud: usize, slot: usize, along: f64, end: f64) -> Objection {
        let past = (along - end).abs();
        let arc = self.is_arc(slot);
        let unit = if arc { "°" } else { " mm" };
        let (begins, beyond) =
            if along < end { ("begins", "before it") } else { ("ends", "past it") };
        let text = format!(
            "{} would have to be at {}{unit} along {}, which {begins} at {}{unit}: {}{unit} {beyond}.",
            self.stud(stud),
            figure(along),
            self.slot(slot),
            figure(end),
            figure(past)
        );
        Objection::new("slot end", (!arc).then_some(past), text)
    }

    /// Where each stud stands: its name, and the words.
    pub(crate) fn studs(&self, mounting: &Mounting) -> Vec<(String, String)> {
        let name = |index| label(self.on(index), driven_shaft(self.lathe)).to_owned();
        let stud = |(i, slot): (usize, InSlot)| (name(i), self.place(&slot));
        let mounted = mounting.shafts.iter().enumerate();
        mounted.filter_map(|(i, s)| Some((i, s.slot?))).map(stud).collect()
    }

    fn place(&self, place: &InSlot) -> String {
        let from_pivot = figure(place.from_pivot);
        let slot = self.slot(place.slot);
        if self.is_arc(place.slot) {
            format!("at {}° in {slot}, {from_pivot} mm from the pivot", figure(place.along))
        } else if slot.contains("hole") {
            format!("in {slot}, {from_pivot} mm from the pivot")
        } else if (place.along - place.from_pivot).abs() > 1e-6 {
            format!("{from_pivot} mm from the pivot, {} mm along {slot}", figure(place.along))
        } else {
            format!("{from_pivot} mm from the pivot along {slot}")
        }
    }

    /// How the arm is to be swung.
    pub(crate) fn swing(&self, mounting: &Mounting) -> Option<String> {
        let swing = mounting.swing?;
        let way = if swing < 0.0 { "counterclockwise" } else { "clockwise" };
        let from = match self.bracket()?.pivot {
            Pivot::At(_) => "the line from the pivot to the driving shaft",
            _ => "the line between the shafts",
        };
        Some(format!("{}° {way} from {from}", figure(swing.abs())))
    }

    /// What comes nearest to what.
    pub(crate) fn tightest(&self, mounting: &Mounting) -> Option<String> {
        let Gap { gear, other, mm, .. } = mounting.tightest?;
        Some(format!("{} clears {} by {} mm", self.part(gear), self.part(other), figure(mm)))
    }
}

/// Two parts are too near to each other.
fn touch(gear: &str, other: &str, short: f64, clearance: f64) -> String {
    let overlap = short - clearance;
    let gear = capital(gear);
    if overlap > 0.0 {
        let (overlap, clearance) = (figure(overlap), figure(clearance));
        format!(
            "{gear} is {} mm short of clearing {other}: {overlap} overlap + {clearance} clearance.",
            figure(short)
        )
    } else {
        format!(
            "{gear} clears {other} by {} mm only, where {} mm are wanted: {} mm short.",
            figure(-overlap),
            figure(clearance),
            figure(short)
        )
    }
}

/// Reasons that concern the train as a whole.
fn bridge(reason: &Reason) -> Objection {
    match *reason {
        Reason::TooShort { sum, distance } => {
            let short = distance - sum;
            let text = format!(
                "The gears are too small to bridge the shafts: they reach {} mm of {} mm, {} mm short.",
                figure(sum),
                figure(distance),
                figure(short)
            );
            Objection::new("too short", Some(short), text)
        }
        Reason::TooUnequal { difference, distance } => {
            let short = difference - distance;
            let text = format!(
                "The gears are too unequal: the two meshes differ by {} mm, the axes are {} mm apart, {} mm too little.",
                figure(difference),
                figure(distance),
                figure(short)
            );
            Objection::new("too unequal", Some(short), text)
        }
        Reason::Centres { needed, distance, opening } => centres(needed, distance, opening),
        Reason::Swing { swing, limit } => {
            let text = format!(
                "The arm angle would be {}°, and its limit is {}°: {}° too far.",
                figure(swing),
                figure(limit),
                figure((swing - limit).abs())
            );
            Objection::new("arm angle", None, text)
        }
        _ => no_room(reason),
    }
}

/// Reasons without a measure: too few planes or places for studs.
fn no_room(reason: &Reason) -> Objection {
    let (kind, text) = match reason {
        Reason::Planes { planes } => (
            "planes",
            format!(
                "The gears can't be given planes that the shafts allow: the banjo has {planes}."
            ),
        ),
        Reason::NoPlane { teeth, joined_to, planes } => (
            "planes",
            format!(
                "The {teeth} joined to the {joined_to} has no plane beside it: the banjo has {planes}."
            ),
        ),
        Reason::Studs { needed } => (
            "studs",
            format!("The train needs {needed} studs, and there are not as many places for studs."),
        ),
        _ => ("other", "It does not fit on the banjo.".to_string()),
    };
    Objection::new(kind, None, text)
}

/// By the shop's rule, without a banjo.
fn arbor(tip: u16, axis: u16, shown: &str, short: f64) -> Objection {
    let text = format!("The tip of the {tip} would be {shown} mm too near the axis of the {axis}.");
    Objection::new("axis", Some(short), text)
}

fn centres(needed: f64, distance: f64, opening: f64) -> Objection {
    let off = needed - distance;
    let text = if off > 0.0 {
        format!(
            "The two gears need {} mm between the shafts, which are {} mm apart: {} mm too large.",
            figure(needed),
            figure(distance),
            figure(off)
        )
    } else {
        format!(
            "The two gears need {} mm between the shafts, which are {} mm apart: {} mm too small, \
             where a mesh may be open by {} mm.",
            figure(needed),
            figure(distance),
            figure(-off),
            figure(opening)
        )
    };
    Objection::new("centres", Some(off.abs()), text)
}

/// A sentence begins with a capital.
pub(super) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_overlap_and_too_little_room_are_told_apart() {
        assert_eq!(
            touch("45 on stud 1", "the hub of the driving shaft", 11.0, 1.0),
            "45 on stud 1 is 11.0 mm short of clearing the hub of the driving shaft: 10.0 overlap + \
             1.0 clearance."
        );
        assert_eq!(
            touch("45 on stud 1", "\"lock pin\"", 0.3, 1.0),
            "45 on stud 1 clears \"lock pin\" by 0.7 mm only, where 1.0 mm are wanted: 0.3 mm short."
        );
    }

    #[test]
    fn shafts_that_are_too_near_or_too_far_are_told_apart() {
        assert!(
            centres(60.0, 80.0, 0.2)
                .text
                .ends_with("20.0 mm too small, where a mesh may be open by 0.2 mm.")
        );
        assert!(centres(90.0, 80.0, 0.2).text.ends_with("10.0 mm too large."));
    }
}
