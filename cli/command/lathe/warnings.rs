//! What is not known of a lathe, with how to find out, and what can hardly be meant: the library's
//! findings in words.

use crate::words::reasons::Speaker;
use crate::words::shaft::driven_shaft;
use crate::words::shop as words;
use crate::words::{doubt, lacks};
use solver::judge::Set;
use solver::warnings::{Unknown, Warning};
use solver::{Lack, Lathe, Place, Travel};

/// What is not known, each with the way to find out.
pub(crate) fn unknown(lathe: &Lathe) -> Vec<String> {
    solver::warnings::unknown(lathe).iter().map(way_to_know).collect()
}

fn way_to_know(unknown: &Unknown) -> String {
    match unknown {
        Unknown::LeadScrew { constant } => {
            let needed = if *constant { " (the thread dial needs it)" } else { "" };
            format!(
                "the lead of the lead screw{needed}: count its threads in one inch (\"8 tpi\"), or \
                 measure ten of them and divide (\"3 mm\")"
            )
        }
        Unknown::Headstock { position } => {
            let position = match position.as_str() {
                "" => String::new(),
                name => format!(" in position {name}"),
            };
            format!(
                "how fast the spindle drives the driving gear{position}: mark the chuck and the \
                 driving gear, turn the chuck ten times by hand and count"
            )
        }
        Unknown::Levers(when) => format!(
            "the ratio of {}, left out until it is known: set it, turn the gearbox shaft ten times \
             by hand and count the turns of the lead screw",
            words::when(when)
        ),
        Unknown::Hand => "which hand is cut: turn the spindle forward by hand; if the carriage moves \
                          toward the headstock the thread is right-handed"
            .to_owned(),
        Unknown::Bracket => {
            "the banjo, so that nobody knows whether a train reaches: with calipers, the outsides of \
             the two end shafts less half of each diameter is \"driving_shaft\"; with a rule, from the \
             axis that the banjo swings on to the nearest and the furthest place of a stud's axis is \
             a slot's \"from\" and \"to\": \"banjo\": {\"driving_shaft\": \"80 mm\", \"slots\": \
             [{\"from\": \"34 mm\", \"to\": \"70 mm\"}]}"
                .to_owned()
        }
        _ => OTHER.to_owned(),
    }
}

/// What a later library finds and has no words here.
const OTHER: &str = "something that this program has no words for";

/// What can hardly be meant.
pub(crate) fn warnings(lathe: &Lathe) -> Vec<String> {
    let all = solver::warnings::warnings(lathe);
    all.iter().map(|warning| sentence(lathe, warning)).collect()
}

fn sentence(lathe: &Lathe, warning: &Warning) -> String {
    match warning {
        Warning::LeadScrew { .. } => {
            "the lead screw goes an inch or more in one turn: threads in one \
                                      inch are TPI, such as \"8 tpi\""
                .to_owned()
        }
        Warning::NoPosition(travel) => {
            let what = if *travel == Travel::Thread { "threads" } else { "feeds" };
            format!("no lever position is left for {what}")
        }
        Warning::Gear(gear) => format!("the {} can go on no shaft of this lathe", gear.teeth),
        Warning::FittedLevers(levers) => {
            format!("fitted levers {}: no allowed position", words::when(levers))
        }
        Warning::FittedLacks(lack) => lacking(lathe, lack, FITTED),
        Warning::FittedFit(set) => fit(lathe, set, FITTED),
        Warning::DialLines { teeth, lines } => format!(
            "a dial of {teeth} teeth with {lines} lines: some lines lie between teeth, where the \
             half nut can't close"
        ),
        Warning::Sleeves { .. } => "more sleeves than studs".to_owned(),
        Warning::DialWithoutHalfNut => "a dial without a half nut".to_owned(),
        Warning::JoinedWithoutStud => "joined gears, but no stud to put them on".to_owned(),
        warning => of_bracket(driven_shaft(lathe), warning),
    }
}

/// What is against a set-up that is recorded as on the machine.
pub(crate) fn against(lathe: &Lathe, all: &[Warning]) -> Vec<String> {
    let one = |warning: &Warning| match warning {
        Warning::FittedLevers(levers) => {
            format!("{}: no allowed position of the levers", words::when(levers))
        }
        Warning::FittedLacks(lack) => lacking(lathe, lack, NOW),
        Warning::FittedFit(set) => fit(lathe, set, NOW),
        other => sentence(lathe, other),
    };
    all.iter().map(one).collect()
}

/// Whose train it is.
const FITTED: &str = "the fitted train";
const NOW: &str = "this train";

fn lacking(lathe: &Lathe, lack: &Lack, whose: &str) -> String {
    match lack {
        Lack::Studs { needed, owned } => {
            format!("{whose} has {needed} studs, the banjo takes {owned}")
        }
        Lack::Gear { gear, needed, owned, .. } => {
            let owned = if *owned == 0 { "none".to_string() } else { owned.to_string() };
            format!("{whose} uses {needed} x {}, owned: {owned}", gear.teeth)
        }
        lack => format!("{whose}: {}", lacks::in_short(lathe, lack)),
    }
}

/// A train that is said to be on the machine and does not fit.
fn fit(lathe: &Lathe, set: &Set, whose: &str) -> String {
    let train = &set.given.train;
    if let Some(doubt) = doubt::in_full(lathe, &set.fit) {
        return format!("{whose} {train}: {doubt}");
    }
    let speaker = Speaker::new(lathe, train);
    let reasons = set.fit.reasons().iter().map(|reason| speaker.objection(reason).text);
    let reasons: Vec<String> = reasons.collect();
    format!(
        "{whose} does not fit on the banjo: one of the two is not as on the machine. {}",
        reasons.join(" ")
    )
}

fn of_bracket(driven: &'static str, warning: &Warning) -> String {
    match warning {
        Warning::Hubs(whose) => {
            let whose: Vec<&str> = whose.iter().map(|place| shaft(driven, *place)).collect();
            format!(
                "hub radii of 0 mm ({}): gears would be let run into them; with calipers, half the \
                 diameter of the hub, washer or nut, whichever is largest",
                whose.join(", ")
            )
        }
        Warning::SlotTooNear { slot, least } => format!(
            "slot {}: no stud in it comes as far from the driving shaft as the {} of \
             `least_stud_distance`",
            slot + 1,
            words::size(least)
        ),
        Warning::SlotsOverlap { slots: [one, other] } => format!(
            "slots {} and {} share places: measure both from the axis of the pivot, and leave out \
             what is there twice",
            one + 1,
            other + 1
        ),
        Warning::Holes { studs, holes } => {
            let holes = match holes {
                1 => "one stud hole".to_owned(),
                holes => format!("{holes} stud holes"),
            };
            format!("{studs} studs, but {holes} and no slot: a hole takes one")
        }
        Warning::Unbridged { apart, bridged } => format!(
            "the driving shaft is {apart:.1} mm from the {driven}: the largest gears in line bridge \
             {:.1} mm",
            bridged.to_f64()
        ),
        Warning::OnePlane => {
            "one plane: no two gears can share a stud, only trains of idlers fit".to_owned()
        }
        Warning::NoOpening => "opening of 0 mm: where nothing can be moved two gears then mesh \
                               without backlash or not at all; 0.1 to 0.2 mm is usual"
            .to_owned(),
        Warning::OutsideCover(end) => format!("the {} is outside the cover", shaft(driven, *end)),
        Warning::InsidePart { shaft: end, part } => {
            format!("the {} is inside the {part}", shaft(driven, *end))
        }
        Warning::CoverCrossed => crossed("cover"),
        Warning::PartCrossed { part } => crossed(part),
        _ => OTHER.to_owned(),
    }
}

fn crossed(what: &str) -> String {
    format!("the outline of the {what} crosses itself: corners in order, going round")
}

const fn shaft(driven: &'static str, place: Place) -> &'static str {
    match place {
        Place::First => "driving shaft",
        Place::Stud => "studs",
        Place::Last => driven,
    }
}
