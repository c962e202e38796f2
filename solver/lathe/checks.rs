//! Which rules must a lathe keep? Each is refused with the place at fault.

use super::{Dial, End, Gearbox, Lathe, Parts, When};
use crate::{Error, Fix, Lead, Result, Where, bounds};
use std::collections::BTreeSet;

impl Parts {
    /// Rules for each part by itself.
    pub(super) fn check(&self) -> Result<()> {
        bounds::STUDS.check(self.studs.into()).map_err(|e| e.at(&[Where::Studs]))?;
        bounds::STARTS
            .check(self.lead_screw.starts.into())
            .map_err(|e| e.context("lead screw").at(&[Where::LeadScrew, Where::Starts]))?;
        let leads: [(&[Where], _); 4] = [
            (&[Where::LeadScrew, Where::Lead], self.lead_screw.lead),
            (&[Where::ScrewConstant], self.screw_constant),
            (&[Where::Feeds, Where::Long], self.feeds.long),
            (&[Where::Feeds, Where::Cross], self.feeds.cross),
        ];
        for (place, lead) in leads {
            check_fraction(lead).map_err(|e| e.at(place))?;
        }
        self.gears.check().map_err(|e| e.at(&[Where::Gears]))?;
        unique(
            &[Where::Headstock, Where::Positions],
            "headstock position",
            self.headstock.iter().map(|p| &p.name),
        )?;
        unique(
            &[Where::Headstock, Where::Tumbler],
            "tumbler position",
            self.tumbler.iter().map(|p| &p.0),
        )?;
        if self.headstock.is_empty() {
            return Err(Error::conflict("the headstock has no position")
                .at(&[Where::Headstock, Where::Positions]));
        }
        self.gearbox.check().map_err(|e| e.at(&[Where::Gearbox]))?;
        if let Some(bracket) = &self.bracket {
            bracket
                .check(self.studs)
                .and_then(|()| bracket.steps_per_mm(&self.gears).map(drop))
                .map_err(|e| e.at(&[Where::Bracket]))?;
        }
        Ok(())
    }
}

impl Gearbox {
    fn check(&self) -> Result<()> {
        bounds::LEVERS.check(self.levers.len() as u64).map_err(|e| e.at(&[Where::Levers]))?;
        unique(&[Where::Levers], "lever", self.levers.iter().map(|l| &l.name))?;
        for (i, lever) in self.levers.iter().enumerate() {
            let place = &[Where::Levers, Where::Item(i), Where::Positions];
            if lever.positions.is_empty() {
                return Err(Error::conflict(format!("lever {} has no position", lever.name))
                    .with_fix(Fix::Positions)
                    .at(place));
            }
            unique(place, "position", lever.positions.iter().map(|p| &p.name))?;
        }
        Ok(())
    }
}

impl Lathe {
    pub(super) fn check_when(&self, when: &When) -> Result<()> {
        let levers = &self.parts.gearbox.levers;
        if when.is_empty() {
            return Err(Error::conflict("names no lever").with_fix(Fix::When));
        }
        for (name, position) in when {
            let list = |names: Vec<&str>| names.join(", ");
            let lever = levers.iter().find(|l| l.name == *name).ok_or_else(|| {
                Error::no_such(format!("there is no lever {name}")).with_hint(format!(
                    "levers: {}",
                    list(levers.iter().map(|l| l.name.as_str()).collect())
                ))
            })?;
            if !lever.positions.iter().any(|p| p.name == *position) {
                let known = list(lever.positions.iter().map(|p| p.name.as_str()).collect());
                return Err(Error::no_such(format!("lever {name} has no position {position}"))
                    .with_hint(format!("positions: {known}")));
            }
        }
        Ok(())
    }

    pub(super) fn check_lever_rules(&self) -> Result<()> {
        let gearbox = &self.parts.gearbox;
        for (rule, rules) in [
            (Where::Forbidden, gearbox.forbidden.len()),
            (Where::NeedsLast, gearbox.needs_last.len()),
            (Where::Combinations, gearbox.combinations.len()),
        ] {
            bounds::LEVER_RULES.check(rules as u64).map_err(|e| e.at(&[Where::Gearbox, rule]))?;
        }
        for (i, when) in gearbox.forbidden.iter().enumerate() {
            self.check_when(when)
                .map_err(|e| e.at(&[Where::Gearbox, Where::Forbidden, Where::Item(i)]))?;
        }
        for (i, (when, _)) in gearbox.needs_last.iter().enumerate() {
            self.check_when(when).map_err(|e| {
                e.at(&[Where::Gearbox, Where::NeedsLast, Where::Item(i), Where::When])
            })?;
        }
        for (i, combination) in gearbox.combinations.iter().enumerate() {
            let place = &[Where::Gearbox, Where::Combinations, Where::Item(i), Where::When];
            self.check_when(&combination.when).map_err(|e| e.at(place))?;
            // Two rules that can hold at once must not name the same lever.
            for other in &gearbox.combinations[..i] {
                let shared =
                    |w: &When| w.iter().any(|(n, _)| other.when.iter().any(|(m, _)| n == m));
                let clash = |w: &When| {
                    w.iter().any(|(n, p)| other.when.iter().any(|(m, q)| n == m && p != q))
                };
                if shared(&combination.when) && !clash(&combination.when) {
                    return Err(Error::conflict(
                        "two combinations can hold at once and name the same lever",
                    )
                    .with_hint("let each name all the levers that it depends on")
                    .at(place));
                }
            }
        }
        Ok(())
    }

    pub(super) fn check_ends(&self) -> Result<()> {
        let owned = |end: &End, first: bool| -> Result<()> {
            let End::Owned(list) = end else { return Ok(()) };
            if list.is_empty() {
                return Err(Error::conflict("an empty list leaves no gear for this shaft")
                    .with_fix(Fix::Sizes));
            }
            for teeth in list {
                let place = if first { crate::Place::First } else { crate::Place::Last };
                if !self.parts.gears.all().any(|g| g.teeth == *teeth && g.places.allow(place)) {
                    return Err(Error::no_such(format!(
                        "{teeth} is not an owned gear for this shaft"
                    ))
                    .with_hint(
                        "a list names owned gears; a single number is the machine's own gear",
                    ));
                }
            }
            Ok(())
        };
        owned(&self.parts.ends.first, true).map_err(|e| e.at(&[Where::Ends, Where::First]))?;
        owned(&self.parts.ends.last, false).map_err(|e| e.at(&[Where::Ends, Where::Last]))?;
        for (i, (_, end)) in self.parts.gearbox.needs_last.iter().enumerate() {
            owned(end, false).map_err(|e| {
                e.at(&[Where::Gearbox, Where::NeedsLast, Where::Item(i), Where::Last])
            })?;
        }
        Ok(())
    }
}

/// Every searched lead is a fraction.
fn check_fraction(lead: Option<Lead>) -> Result<()> {
    match lead {
        Some(lead) if lead.has_pi() => Err(Error::conflict(format!("{lead} is no fraction"))
            .with_hint("what a rule shows, in mm or inches: pi in it would be lost")),
        _ => Ok(()),
    }
}

pub(super) fn check_dial(dial: &Dial) -> Result<()> {
    bounds::DIAL_TEETH.check(dial.teeth.into()).map_err(|e| e.at(&[Where::Teeth]))?;
    if dial.lines == 0 || dial.lines > dial.teeth {
        return Err(Error::conflict(format!(
            "a dial of {} teeth can't have {} lines",
            dial.teeth, dial.lines
        ))
        .at(&[Where::Lines]));
    }
    if !dial.labels.is_empty() && dial.labels.len() != usize::from(dial.lines) {
        return Err(Error::conflict(format!(
            "{} labels for {} lines",
            dial.labels.len(),
            dial.lines
        ))
        .with_hint("one label a line, or none")
        .at(&[Where::Labels]));
    }
    Ok(())
}

fn unique<'a>(place: &[Where], what: &str, names: impl Iterator<Item = &'a String>) -> Result<()> {
    let mut seen = BTreeSet::new();
    for name in names {
        if !seen.insert(name) {
            return Err(Error::conflict(format!("{what} {name} appears twice"))
                .with_hint("each name once")
                .at(place));
        }
    }
    Ok(())
}
