//! Rules that a lathe must keep, each refused with the key of the lathe file at fault.

use super::{Dial, End, Lathe, When};
use crate::{Error, Lead, Result, bounds};
use std::collections::BTreeSet;

impl Lathe {
    pub(super) fn check_when(&self, when: &When) -> Result<()> {
        let levers = &self.parts.gearbox.levers;
        if when.is_empty() {
            return Err(Error::conflict("names no lever").with_hint("such as {\"Range\": \"A\"}"));
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
        let at = |path: String| move |e: Error| e.at(path);
        for (path, rules) in [
            ("gearbox.forbidden", gearbox.forbidden.len()),
            ("gearbox.needs_last", gearbox.needs_last.len()),
            ("gearbox.combinations", gearbox.combinations.len()),
        ] {
            bounds::LEVER_RULES.check(rules as u64).map_err(at(path.into()))?;
        }
        for (i, when) in gearbox.forbidden.iter().enumerate() {
            self.check_when(when).map_err(at(format!("gearbox.forbidden[{i}]")))?;
        }
        for (i, (when, _)) in gearbox.needs_last.iter().enumerate() {
            self.check_when(when).map_err(at(format!("gearbox.needs_last[{i}].when")))?;
        }
        for (i, combination) in gearbox.combinations.iter().enumerate() {
            let path = format!("gearbox.combinations[{i}].when");
            self.check_when(&combination.when).map_err(at(path.clone()))?;
            // Two that can hold at once must not speak of the same lever.
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
                    .at(path));
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
                    .with_hint("\"any\", or the sizes that go on"));
            }
            for teeth in list {
                let place = if first { crate::Place::First } else { crate::Place::Last };
                if !self.parts.gears.all().any(|g| g.teeth == *teeth && g.places.allow(place)) {
                    return Err(Error::no_such(format!(
                        "{teeth} is none of the gears owned that go there"
                    ))
                    .with_hint(
                        "a list names owned gears; a single number is the machine's own gear",
                    ));
                }
            }
            Ok(())
        };
        owned(&self.parts.ends.first, true).map_err(|e| e.at("ends.first"))?;
        owned(&self.parts.ends.last, false).map_err(|e| e.at("ends.last"))?;
        for (i, (_, end)) in self.parts.gearbox.needs_last.iter().enumerate() {
            owned(end, false).map_err(|e| e.at(format!("gearbox.needs_last[{i}].last")))?;
        }
        Ok(())
    }
}

/// Every lead that is searched is a fraction.
pub(super) fn check_fraction(lead: Option<Lead>) -> Result<()> {
    match lead {
        Some(lead) if lead.has_pi() => Err(Error::conflict(format!("{lead} is no fraction"))
            .with_hint("what a rule shows, in mm or inches: pi in it would be lost")),
        _ => Ok(()),
    }
}

pub(super) fn check_dial(dial: &Dial) -> Result<()> {
    bounds::DIAL_TEETH.check(dial.teeth.into()).map_err(|e| e.at("teeth"))?;
    if dial.lines == 0 || dial.lines > dial.teeth {
        return Err(Error::conflict(format!(
            "a dial of {} teeth can't have {} lines",
            dial.teeth, dial.lines
        ))
        .at("lines"));
    }
    if !dial.labels.is_empty() && dial.labels.len() != usize::from(dial.lines) {
        return Err(Error::conflict(format!(
            "{} labels for {} lines",
            dial.labels.len(),
            dial.lines
        ))
        .with_hint("one label a line, or none")
        .at("labels"));
    }
    Ok(())
}

pub(super) fn unique<'a>(
    path: &str,
    what: &str,
    names: impl Iterator<Item = &'a String>,
) -> Result<()> {
    let mut seen = BTreeSet::new();
    for name in names {
        if !seen.insert(name) {
            return Err(Error::conflict(format!("{what} {name} stands here twice"))
                .with_hint("each name once")
                .at(path));
        }
    }
    Ok(())
}
