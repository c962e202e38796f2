//! What a book has of a card: the sheet of a set-up, which all of its threads share, and each thread in
//! a few lines.

use super::page::Page;
use super::{Card, back, by_hand, depth, gears, head, nut, sizes, starts};
use crate::command::drawing;
use crate::report::drawing::Part;
use crate::report::{Report, Role, Text};
use crate::words::set_up::{error_in_short, levers_in_words};
use crate::words::{dial, size, verdict};
use solver::cutting::Diameters;
use solver::job::Sizes;

/// Labels and values.
type Facts = Vec<(String, Text)>;

impl Card<'_> {
    /// What is done for the set-up, from the gears to the way back, with its pictures.
    ///
    /// # Errors
    /// If a figure does not fit.
    pub(in crate::command) fn sheet(&self) -> solver::Result<Report> {
        let mut page = Page::default();
        page.facts(self.in_short()?);
        head::write_safe(&mut page);
        let mut drawings =
            drawing::views(&drawing::subject(self.request, self.outcome, self.entry));
        // Of all pictures of a book they would be a quarter of the file; tip and pitch circles stay.
        for view in drawings.iter_mut().flat_map(|drawing| &mut drawing.views) {
            view.shapes.retain(|shape| shape.part != Part::Teeth);
        }
        gears::write(self, drawings.len(), &mut page);
        gears::write_levers(self, &mut page);
        if !self.is_feed() {
            by_hand::write_direction(self, &mut page);
        }
        by_hand::write_by_hand(self, &mut page);
        if let Some(nut) = &self.job.nut {
            nut::write(self, nut, &mut page);
        }
        if let Some(starts) = &self.job.starts {
            starts::write(self, starts, &mut page);
        }
        back::write(self, &mut page);
        let mut report = page.report;
        report.one_side = true;
        report.drawings = drawings;
        Ok(report)
    }

    /// What it gives, what is set, where the half nut closes.
    pub(super) fn in_short(&self) -> solver::Result<Vec<(&'static str, Text)>> {
        let levers = levers_in_words(self.lathe(), self.entry);
        let levers = (!levers.is_empty()).then(|| ("set", Text::new(Role::Strong, levers)));
        let dial = (!self.is_feed())
            .then(|| dial::in_short(self.lathe(), &self.lead(), self.target().starts()));
        let dial = dial.transpose()?.map(|words| ("half nut", Text::new(Role::Strong, words)));
        Ok(std::iter::once(head::gives(self)).chain(levers).chain(dial).collect())
    }

    /// The thread in a few lines: how far off it is, how deep, its sizes and wires.
    pub(in crate::command) fn line(&self) -> Facts {
        let off = Text::from(error_in_short(&self.entry.error));
        let error = if self.entry.error.is_zero() {
            verdict::in_words(&self.outcome.allowed, &self.entry.error)
        } else {
            let words = verdict::in_words(&self.outcome.allowed, &self.entry.error);
            let off = off.and(Role::Plain, ": ");
            words.spans().iter().fold(off, |all, span| all.and(span.role, span.text.clone()))
        };
        let mut facts = vec![("error".to_owned(), error)];
        if let Some(groove) = &self.job.groove {
            let depth = Text::new(Role::Strong, size::both(&groove.depth));
            let tool = format!(" with {}", depth::tool_end(groove));
            facts.push(("depth".to_owned(), depth.and(Role::Plain, tool)));
        }
        if let Some(sizes) = &self.job.sizes {
            facts.extend(self.sizes_in_short(sizes));
        }
        facts
    }

    /// Between limits where the class is known, else the basic sizes; of a taper those at its small end.
    fn sizes_in_short(&self, sizes: &Sizes) -> Facts {
        let basic = |d: &Diameters, label: &dyn Fn(&str) -> String| -> Facts {
            let all = [("major", d.major), ("pitch", d.pitch), ("minor", d.minor)];
            all.iter().map(|(name, size)| (label(name), size::both(size).into())).collect()
        };
        if let Some(taper) = &sizes.taper {
            return basic(&taper.small_end, &|name| format!("{name}, small end"));
        }
        let mut facts = match &self.job.limits {
            Some(limits) => {
                let all = [
                    ("major", limits.major()),
                    ("pitch", limits.pitch()),
                    ("minor", limits.minor()),
                ];
                let said =
                    all.iter().filter_map(|(name, size)| Some((*name, sizes::between(size)?)));
                said.map(|(name, words)| (name.to_owned(), Text::from(words))).collect()
            }
            None => basic(&sizes.basic, &|name| format!("{name}, basic")),
        };
        let wires = sizes.wires.as_ref().map(sizes::over_wires);
        facts.extend(wires.map(|wires| ("measure".to_owned(), wires)));
        let doubt = self.job.limits.as_ref().and_then(sizes::doubt);
        facts.extend(doubt.map(|doubt| ("tolerance".to_owned(), doubt.into())));
        facts
    }
}
