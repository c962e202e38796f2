//! A set-up in words: what each shaft carries, where the studs are clamped.

use super::Card;
use super::page::capital;
use crate::command::drawing;
use crate::words::reasons::Speaker;
use crate::words::{change, shaft};
use solver::bracket::Fit;
use solver::{GearChange, Lathe, OnShaft, Pivot, Shaft, Teeth, Train};

/// A train where it stands.
#[derive(Debug, Clone, Copy)]
pub(super) struct SetUp<'a> {
    pub(super) lathe: &'a Lathe,
    pub(super) train: &'a Train,
    pub(super) fit: &'a Fit,
    /// What the driven shaft is called.
    pub(super) last: &'static str,
    /// What stood there before, where that is known.
    pub(super) before: Option<(&'a Train, &'a Fit)>,
    /// Whether planes are named though all of its gears are in one: in the set-up that it follows they
    /// are not.
    pub(super) spread: bool,
}

impl SetUp<'_> {
    /// What each shaft carries, in the order of the power path: `On stud 1: 75 inner, 63 outer,
    /// keyed together`; with a change also what stays.
    pub(super) fn mounting(&self, change: Option<&GearChange>) -> Vec<String> {
        let shafts = self.train.shafts();
        let planes = drawing::planes(self.train, self.fit);
        let spread = self.spread || drawing::depth(self.train, self.fit).1 > 1;
        let words = |(i, carries): (usize, &Shaft)| {
            let on = OnShaft::of(i, shafts.len());
            let name = shaft::in_words(on, self.last);
            let stays = |teeth: Teeth| match change {
                Some(change) if !change.brings(on, teeth) && self.keeps(i, teeth) => " (stays)",
                _ => "",
            };
            let joined = self.train.partner(i).map(|gear| gear.teeth);
            let at = planes.get(i).map(Vec::as_slice).unwrap_or_default();
            match carries {
                carries if let Some(partner) = joined => {
                    let own = carries.driven().teeth;
                    let inner = match at {
                        [a, b] if b < a => partner,
                        _ => own,
                    };
                    let pair = change::joined_pair(own, partner);
                    let mesh = match carries {
                        Shaft::One(_) => format!(", the {own} in mesh"),
                        Shaft::Pair { .. } => String::new(),
                    };
                    let stays = stays(own);
                    format!("on {name}: {pair}, {inner} nearest the headstock{mesh}{stays}")
                }
                Shaft::One(gear) => {
                    let place = if spread { self.place_of_one(at) } else { String::new() };
                    format!("on {name}: {}{place}{}", gear.teeth, stays(gear.teeth))
                }
                Shaft::Pair { driven, driver } => {
                    let [at_a, at_b] = self.places_of_two(at);
                    let (a, b) = (driven.teeth, driver.teeth);
                    let (stays_a, stays_b) = (stays(a), stays(b));
                    let spacer = spacer(at);
                    format!(
                        "on {name}: {a} {at_a}{stays_a}, {b} {at_b}{stays_b}, keyed together{spacer}"
                    )
                }
            }
        };
        shafts.iter().enumerate().map(words).collect()
    }

    /// How the planes are called: by number where there are more than two, as in the picture.
    fn plane(&self, plane: u8) -> String {
        match (drawing::depth(self.train, self.fit).0, plane) {
            (3.., plane) => format!("in plane {plane}"),
            (_, 1) => "inner".into(),
            _ => "outer".into(),
        }
    }

    /// `, inner`, `, spacer inner`, `, in plane 3, spacers inner`.
    fn place_of_one(&self, planes: &[u8]) -> String {
        let spacer = spacer(planes);
        match planes {
            [plane] if spacer.is_empty() || drawing::depth(self.train, self.fit).0 > 2 => {
                format!(", {}{spacer}", self.plane(*plane))
            }
            _ => spacer.into(),
        }
    }

    fn places_of_two(&self, planes: &[u8]) -> [String; 2] {
        match planes {
            [driven, driver] => [driven, driver].map(|plane| self.plane(*plane)),
            _ => [1, 2].map(|plane| self.plane(plane)),
        }
    }

    /// Whether a gear stood in the same plane of the same shaft before. Changes are counted for the
    /// usual planes; a banjo may ask for others.
    fn keeps(&self, shaft: usize, teeth: Teeth) -> bool {
        let place = |train: &Train, fit: &Fit, shaft: Option<usize>| {
            let gears: Vec<Teeth> = train.shafts().get(shaft?)?.gears().map(|g| g.teeth).collect();
            let at = gears.iter().position(|gear| *gear == teeth)?;
            drawing::planes(train, fit).get(shaft?)?.get(at).copied()
        };
        let Some((train, fit)) = self.before else { return true };
        // The driven shaft is the last of both, whatever stands between.
        let is_last = shaft + 1 == self.train.shafts().len();
        let there = if is_last { train.shafts().len().checked_sub(1) } else { Some(shaft) };
        place(self.train, self.fit, Some(shaft)) == place(train, fit, there)
    }

    /// Where the studs are clamped, and how far the arm is swung.
    pub(super) fn clamping(&self) -> Vec<String> {
        let Some(mounting) = self.fit.mounting() else { return Vec::new() };
        let speaker = Speaker::new(self.lathe, self.train);
        let mut studs = speaker.studs(mounting);
        // From the pivot outward: each stud is set against the gear before it.
        if self.lathe.parts().bracket.as_ref().is_some_and(|b| b.pivot == Pivot::Last) {
            studs.reverse();
        }
        // A stud's number and a length side by side are read twice.
        let at = |place: &str| {
            if place.starts_with("at ") || place.starts_with("in ") { "" } else { "at " }
        };
        let studs = studs.into_iter();
        let studs = studs.map(|(name, place)| format!("clamp {name} {}{place}", at(&place)));
        let swing = speaker.swing(mounting).map(|swing| format!("swing the arm {swing}, clamp it"));
        studs.chain(swing).collect()
    }
}

/// What fills the planes inner of a shaft's gears.
fn spacer(planes: &[u8]) -> &'static str {
    match planes.iter().min() {
        None | Some(0 | 1) => "",
        Some(2) => ", spacer inner",
        Some(_) => ", spacers inner",
    }
}

/// A step of its own.
pub(super) fn sentence(words: &str) -> String {
    format!("{}.", capital(words))
}

/// Studs that the first train needs and the second does not: they would stand in the way of its gears.
pub(super) fn spare(from: &Train, to: &Train) -> Option<String> {
    let studs = to.studs().len()..from.studs().len();
    let names: Vec<String> = studs.map(|i| format!("stud {}", i + 1)).collect();
    (!names.is_empty()).then(|| format!("Take {} off the arm.", names.join(" and ")))
}

/// Whether gears are in more than one plane, in this set-up, in the fitted one or in what is on it now.
pub(super) fn is_spread(card: &Card<'_>) -> bool {
    let (change, lathe) = (&card.job.change, card.lathe());
    let fitted = (lathe.parts().fitted.as_ref(), &change.fitted_fit);
    let others = [fitted, (lathe.on_now(), &change.now_fit)].into_iter().filter_map(|(of, fit)| {
        Some(drawing::depth(&of?.train, fit.as_ref().unwrap_or(&Fit::NotChecked)).1)
    });
    others.max().unwrap_or(1).max(drawing::depth(&card.entry.train, &card.entry.fit).1) > 1
}

/// Gears that stay on their shaft.
pub(super) fn shifting(change: &GearChange, last: &'static str) -> Vec<String> {
    let mut steps = Vec::new();
    let (shifted, turned) = change.shifted_and_turned();
    if !turned.is_empty() {
        let pair = change::put_on(&turned, last);
        steps.push(format!("The other way round: {pair}."));
    }
    if !shifted.is_empty() {
        let gears = change::put_on(&shifted, last);
        steps.push(format!("Shift to the other plane: {gears}."));
    }
    steps
}
