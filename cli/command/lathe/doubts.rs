//! What is not known of a lathe, with how to find out; and what its file says that can hardly be
//! meant.

use super::{reach, words};
use crate::command::lacks;
use solver::judge;
use solver::{Dial, End, Fitted, Gear, Lack, Lathe, Place, Teeth, Travel, Turns};

/// What is not known, each with the way to find out.
pub(crate) fn unknown(lathe: &Lathe) -> Vec<String> {
    unknown_screw(lathe)
        .into_iter()
        .chain(unknown_headstock(lathe))
        .chain(unknown_levers(lathe))
        .chain(unknown_senses(lathe))
        .chain(reach::unknown(lathe))
        .collect()
}

fn unknown_screw(lathe: &Lathe) -> Option<String> {
    let parts = lathe.parts();
    let needed = if parts.screw_constant.is_some() { " (the half-nut dial needs it)" } else { "" };
    parts.lead_screw.lead.is_none().then(|| {
        format!(
            "the lead of the lead screw{needed}: count its threads in one inch (\"8 tpi\"), or \
             measure ten of them and divide (\"3 mm\")"
        )
    })
}

fn unknown_headstock(lathe: &Lathe) -> Vec<String> {
    let parts = lathe.parts();
    let unknown = parts.headstock.iter().filter(|position| position.ratio.is_none());
    let way = |name: &str| {
        let position = if name.is_empty() { String::new() } else { format!(" in position {name}") };
        format!(
            "how fast the spindle drives the first gear{position}: mark the chuck and the first \
             gear, turn the chuck ten times by hand and count"
        )
    };
    let known = parts.screw_constant.is_some();
    unknown.filter(|_| !known).map(|position| way(&position.name)).collect()
}

fn unknown_levers(lathe: &Lathe) -> Vec<String> {
    let gearbox = &lathe.parts().gearbox;
    let positions = gearbox.levers.iter().flat_map(|lever| {
        let unknown = lever.positions.iter().filter(|position| position.ratio.is_none());
        unknown.map(|position| format!("{} {}", lever.name, position.name))
    });
    let combinations = gearbox.combinations.iter().filter(|c| c.ratio.is_none());
    positions
        .chain(combinations.map(|combination| words::when(&combination.when)))
        .map(|levers| {
            format!(
                "the ratio of {levers}, left out until it is known: set it, turn the gearbox \
                 input ten times by hand and count the turns of the lead screw"
            )
        })
        .collect()
}

fn unknown_senses(lathe: &Lathe) -> Option<String> {
    let parts = lathe.parts();
    let positions = parts.gearbox.levers.iter().flat_map(|lever| &lever.positions);
    let senses = parts.headstock.iter().map(|p| p.turns).chain(positions.map(|p| p.turns));
    let any = senses.chain(parts.gearbox.combinations.iter().map(|c| c.turns));
    any.into_iter().any(|turns| turns == Turns::Unknown).then(|| {
        "which hand is cut: turn the spindle forward by hand; if the carriage moves toward the \
         headstock the thread is right-handed"
            .to_string()
    })
}

/// What can hardly be meant.
pub(crate) fn warnings(lathe: &Lathe) -> Vec<String> {
    let mut lines = Vec::new();
    if lathe.parts().lead_screw.is_doubtful() {
        lines.push(
            "the lead screw goes an inch or more in one turn: threads in one inch are TPI, \
                    such as \"8 tpi\""
                .to_string(),
        );
    }
    for travel in [Travel::Thread, Travel::LongFeed] {
        if lathe.settings(travel).is_err_and(|e| e.is_no_such()) {
            let what = if travel.is_feed() { "feeds" } else { "threads" };
            lines.push(format!("no lever position is left for {what}"));
        }
    }
    lines.extend(useless_gears(lathe));
    if let Some(fitted) = &lathe.parts().fitted {
        lines.extend(fitted_warnings(lathe, fitted));
    }
    lines.extend(lathe.parts().dials.iter().filter_map(dial_warning));
    lines.extend(odd_counts(lathe));
    if let Some(bracket) = &lathe.parts().bracket {
        lines.extend(reach::warnings(lathe, bracket));
    }
    lines
}

fn odd_counts(lathe: &Lathe) -> Vec<String> {
    let parts = lathe.parts();
    let more_sleeves = parts.sleeves.is_some_and(|sleeves| sleeves > parts.studs);
    [
        (more_sleeves, "more sleeves than studs: those left over serve no one"),
        (parts.half_nut == Some(false) && !parts.dials.is_empty(), "a dial without a half nut"),
        (
            parts.studs == 0 && !parts.gears.joined().is_empty(),
            "joined gears, but no stud to put them on",
        ),
    ]
    .into_iter()
    .filter(|(is_so, _)| *is_so)
    .map(|(_, what)| what.to_string())
    .collect()
}

/// Gears that no shaft takes.
fn useless_gears(lathe: &Lathe) -> Vec<String> {
    let parts = lathe.parts();
    let lasts =
        || std::iter::once(&parts.ends.last).chain(parts.gearbox.needs_last.iter().map(|n| &n.1));
    let goes = |gear: &Gear| {
        let at = |place, end: &End| gear.places.allow(place) && takes(end, gear.teeth);
        at(Place::First, &parts.ends.first)
            || lasts().any(|end| at(Place::Last, end))
            || (parts.studs > 0 && gear.places.stud)
    };
    let useless = parts.gears.all().filter(|gear| !goes(gear));
    useless.map(|gear| format!("the {} can go on no shaft of this lathe", gear.teeth)).collect()
}

/// Whether an end shaft takes an owned gear of this size.
fn takes(end: &End, teeth: Teeth) -> bool {
    match end {
        End::Own(_) => false,
        End::Owned(list) => list.contains(&teeth),
        _ => true,
    }
}

fn fitted_warnings(lathe: &Lathe, fitted: &Fitted) -> Vec<String> {
    let travels = [Travel::Thread, Travel::LongFeed, Travel::CrossFeed];
    let can_be = travels.iter().any(|t| !lathe.settings_as_fitted(*t).is_empty());
    // With unknown ratios no setting can be made of levers that may well be right.
    let known = unknown_levers(lathe).is_empty()
        && travels.iter().all(|travel| !lathe.settings(*travel).is_err_and(|e| e.is_unknown()));
    let mut lines = Vec::new();
    if !can_be && known && !fitted.levers.is_empty() {
        lines.push(format!("fitted levers {}: no allowed position", words::when(&fitted.levers)));
    }
    if let Ok(Some(set)) = judge::fitted(lathe) {
        lines.extend(set.given.lacks.iter().map(fitted_lack));
        lines.extend(reach::fitted(lathe, &set));
    }
    lines
}

fn fitted_lack(lack: &Lack) -> String {
    match lack {
        Lack::Studs { needed, owned } => {
            format!("the fitted train has {needed} studs, the bracket takes {owned}")
        }
        Lack::Gear { gear, needed, owned, .. } => {
            let owned = if *owned == 0 { "none".to_string() } else { owned.to_string() };
            format!("the fitted train uses {needed} x {}, owned: {owned}", gear.teeth)
        }
        lack => format!("the fitted train: {}", lacks::in_short(lack)),
    }
}

/// Line j of N on a dial gear of T teeth stands at j T / N: whole for every line only if N
/// divides T.
fn dial_warning(dial: &Dial) -> Option<String> {
    (!dial.teeth.is_multiple_of(dial.lines)).then(|| {
        format!(
            "a dial of {} teeth with {} lines: some lines stand between teeth, where the half nut \
             can't close",
            dial.teeth, dial.lines
        )
    })
}
