//! What is unknown of this lathe, and which of its figures are doubtful?
//!
//! Neither is an error: the lathe is used as its description says. Here are the facts; a front end puts
//! them into words.
//!
//! ```
//! use solver::warnings::{Unknown, Warning, unknown, warnings};
//! use solver::{Dial, Gear, GearSet, Lathe, Lead, Parts, Teeth};
//! let mut gears = GearSet::new();
//! for teeth in [20, 40] {
//!     gears.add(Gear::new(Teeth::new(teeth)?), 1)?;
//! }
//! let mut parts = Parts::plain(gears, Lead::from_tpi("8".parse()?)?);
//! parts.dials = vec![Dial { teeth: 16, lines: 6, labels: Vec::new() }];
//! let lathe = Lathe::new(parts)?;
//! assert_eq!(warnings(&lathe), [Warning::DialLines { teeth: 16, lines: 6 }]);
//! assert_eq!(unknown(&lathe), [Unknown::Hand, Unknown::Bracket]);
//! # Ok::<(), solver::Error>(())
//! ```

mod bracket;
#[cfg(test)]
mod tests;

use crate::bracket::Fit;
use crate::judge::{self, Set};
use crate::{Dial, End, Fitted, Gear, Lack, Lathe, Lead, Offset, Place, Travel, Turns, When};

/// An unknown figure.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Unknown {
    /// The lead of the lead screw.
    LeadScrew {
        /// Whether its screw constant is known: then only the thread dial needs the lead.
        constant: bool,
    },
    /// How fast the spindle drives the driving shaft.
    Headstock {
        /// The headstock position; empty where there is only one.
        position: String,
    },
    /// The ratio of a lever position or of a combination; settings with it are left out until it is
    /// known.
    Levers(When),
    /// The hand that is cut: some direction of turning is unknown.
    Hand,
    /// The bracket, and so whether a train fits.
    Bracket,
}

/// A doubtful figure.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Warning {
    /// The lead screw goes an inch or more in one turn ([`crate::LeadScrew::is_doubtful`]).
    LeadScrew {
        /// Its lead.
        lead: Lead,
    },
    /// No lever position works for a kind of travel.
    NoPosition(Travel),
    /// No shaft takes an owned gear.
    Gear(Gear),
    /// No allowed position agrees with the fitted levers.
    FittedLevers(When),
    /// The fitted train needs something that is missing.
    FittedLacks(Lack),
    /// The fitted train does not fit the described bracket, or is too close to call.
    FittedFit(Box<Set>),
    /// Some lines of a thread dial are between teeth, where the half nut can't close: line j of N on
    /// a gear of T teeth is at j T / N, whole for every line only if N divides T.
    DialLines {
        /// Teeth of the dial gear.
        teeth: u16,
        /// Its lines.
        lines: u16,
    },
    /// There are more sleeves than studs.
    Sleeves {
        /// Keyed sleeves.
        sleeves: u8,
        /// Studs.
        studs: u8,
    },
    /// A thread dial without a half nut.
    DialWithoutHalfNut,
    /// Joined gears, but no stud to put them on.
    JoinedWithoutStud,
    /// Hub radii of 0 on a bracket of several planes: gears could run into the hubs.
    Hubs(Vec<Place>),
    /// No stud in a slot can be as far from the driving shaft as the bracket requires.
    SlotTooNear {
        /// Index of the slot.
        slot: usize,
        /// The least distance from the axis of a stud to that of the driving shaft.
        least: Offset,
    },
    /// Two slots lie on one line or one arc and share places: one of them was probably measured from
    /// elsewhere, or entered twice.
    SlotsOverlap {
        /// Indices of the two.
        slots: [usize; 2],
    },
    /// There are fewer stud holes than studs, and no slot.
    Holes {
        /// Studs.
        studs: u8,
        /// Holes.
        holes: usize,
    },
    /// The end shafts are further apart than the largest gears can bridge.
    Unbridged {
        /// From axis to axis in mm, the nearest double: usually a square root.
        apart: f64,
        /// Pitch radii of the largest end gears and pitch diameters of the largest gears on the studs.
        bridged: Offset,
    },
    /// There is one plane, so no two gears can share a stud, but there are pairs for studs.
    OnePlane,
    /// Meshes can't be opened: where nothing can move they have no backlash, or don't mesh.
    NoOpening,
    /// An end shaft is outside the cover.
    OutsideCover(Place),
    /// An end shaft is inside a part that all gears must clear.
    InsidePart {
        /// The shaft.
        shaft: Place,
        /// Name of the part.
        part: String,
    },
    /// The outline of the cover crosses itself.
    CoverCrossed,
    /// The outline of a part crosses itself.
    PartCrossed {
        /// Name of the part.
        part: String,
    },
}

/// Everything unknown, from the lead screw to the bracket.
pub fn unknown(lathe: &Lathe) -> Vec<Unknown> {
    let parts = lathe.parts();
    let constant = parts.screw_constant.is_some();
    let screw = parts.lead_screw.lead.is_none().then_some(Unknown::LeadScrew { constant });
    let headstock = parts.headstock.iter().filter(|p| p.ratio.is_none() && !constant);
    let headstock = headstock.map(|p| Unknown::Headstock { position: p.name.clone() });
    let bracket = parts.bracket.is_none().then_some(Unknown::Bracket);
    screw
        .into_iter()
        .chain(headstock)
        .chain(unknown_levers(lathe).map(Unknown::Levers))
        .chain(has_unknown_sense(lathe).then_some(Unknown::Hand))
        .chain(bracket)
        .collect()
}

/// Lever positions and combinations of unknown ratio.
fn unknown_levers(lathe: &Lathe) -> impl Iterator<Item = When> {
    let gearbox = &lathe.parts().gearbox;
    let positions = gearbox.levers.iter().flat_map(|lever| {
        let unknown = lever.positions.iter().filter(|position| position.ratio.is_none());
        unknown.map(|position| vec![(lever.name.clone(), position.name.clone())])
    });
    let combinations = gearbox.combinations.iter().filter(|c| c.ratio.is_none());
    positions.chain(combinations.map(|combination| combination.when.clone()))
}

fn has_unknown_sense(lathe: &Lathe) -> bool {
    let parts = lathe.parts();
    let positions = parts.gearbox.levers.iter().flat_map(|lever| &lever.positions);
    let senses = parts.headstock.iter().map(|p| p.turns).chain(positions.map(|p| p.turns));
    let mut all = senses.chain(parts.gearbox.combinations.iter().map(|c| c.turns));
    all.any(|turns| turns == Turns::Unknown)
}

/// Everything doubtful, from the lead screw to the bracket.
pub fn warnings(lathe: &Lathe) -> Vec<Warning> {
    let parts = lathe.parts();
    let screw = &parts.lead_screw;
    let long = screw.lead.filter(|_| screw.is_doubtful()).map(|lead| Warning::LeadScrew { lead });
    let mut all: Vec<Warning> = long.into_iter().collect();
    let travels = [Travel::Thread, Travel::LongFeed].into_iter();
    let none = travels.filter(|travel| lathe.settings(*travel).is_err_and(|e| e.is_no_such()));
    all.extend(none.map(Warning::NoPosition));
    all.extend(parts.gears.all().filter(|gear| !goes_on(lathe, gear)).copied().map(Warning::Gear));
    all.extend(parts.fitted.iter().flat_map(|fitted| of_set_up(lathe, fitted)));
    all.extend(parts.dials.iter().filter_map(of_dial));
    all.extend(odd_counts(lathe));
    all.extend(parts.bracket.iter().flat_map(|bracket| bracket::warnings(lathe, bracket)));
    all
}

/// Whether some shaft takes an owned gear.
fn goes_on(lathe: &Lathe, gear: &Gear) -> bool {
    let parts = lathe.parts();
    let at = |place, end: &End| {
        !matches!(end, End::Own(_)) && gear.places.allow(place) && end.takes(gear.teeth)
    };
    at(Place::First, &parts.ends.first)
        || lathe.last_ends().any(|end| at(Place::Last, end))
        || (parts.studs > 0 && gear.places.stud)
}

/// What is against a set-up, such as the fitted one.
pub(crate) fn of_set_up(lathe: &Lathe, fitted: &Fitted) -> Vec<Warning> {
    let travels = [Travel::Thread, Travel::LongFeed, Travel::CrossFeed];
    let can_be = travels.iter().any(|t| !lathe.settings_as_in(fitted, *t).is_empty());
    // With unknown ratios there may be no setting, although the levers are right.
    let known = unknown_levers(lathe).next().is_none()
        && travels.iter().all(|travel| !lathe.settings(*travel).is_err_and(|e| e.is_unknown()));
    let mut all = Vec::new();
    if !can_be && known && !fitted.levers.is_empty() {
        all.push(Warning::FittedLevers(fitted.levers.clone()));
    }
    if let Ok(set) = judge::mounted(lathe, fitted) {
        all.extend(set.given.lacks.iter().cloned().map(Warning::FittedLacks));
        if matches!(set.fit, Fit::Refused(_) | Fit::TooClose(_)) {
            all.push(Warning::FittedFit(Box::new(set)));
        }
    }
    all
}

fn of_dial(dial: &Dial) -> Option<Warning> {
    let (teeth, lines) = (dial.teeth, dial.lines);
    (!teeth.is_multiple_of(lines)).then_some(Warning::DialLines { teeth, lines })
}

fn odd_counts(lathe: &Lathe) -> impl Iterator<Item = Warning> {
    let parts = lathe.parts();
    let studs = parts.studs;
    let sleeves = parts.sleeves.filter(|sleeves| *sleeves > studs);
    let no_nut = parts.half_nut == Some(false) && !parts.dials.is_empty();
    let no_stud = studs == 0 && !parts.gears.joined().is_empty();
    let sleeves = sleeves.map(|sleeves| Warning::Sleeves { sleeves, studs });
    let no_nut = no_nut.then_some(Warning::DialWithoutHalfNut);
    [sleeves, no_nut, no_stud.then_some(Warning::JoinedWithoutStud)].into_iter().flatten()
}
