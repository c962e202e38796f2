//! The trains of one line, as the searches give them: within its tolerance, longer ones, the nearest.

use crate::search::{Arrangement, Ask, Line, Options, Search, Solution};
use crate::{Lead, LeadError, Result, Watch};
use std::ops::ControlFlow;

/// Most gear pairs of a train for a line that nothing else reaches.
const MOST_PAIRS: usize = 3;

/// What the candidates of a line lack.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
#[expect(clippy::struct_excessive_bools, reason = "four facts that vary by themselves")]
pub(super) struct Lacks {
    /// There were too many: the closest are there.
    pub(super) further: bool,
    /// The search was cancelled.
    pub(super) rest: bool,
    /// Longer trains: the tables would be too large.
    pub(super) longer: bool,
    /// The nearest train of an unreachable line: the search gave up.
    pub(super) nearest: bool,
}

impl Lacks {
    /// Whether candidates may be missing.
    pub(super) const fn any(self) -> bool {
        self.further || self.rest || self.longer
    }
}

/// Finds longer trains for the lines without one.
pub(super) fn widen<'l>(
    searches: &mut Vec<Search<'l>>,
    lines: &[Line],
    found: &mut [Found],
    options: &Options,
    most: usize,
    watch: Watch<'l>,
) -> Result<()> {
    let usual = searches.len();
    for at in 0..usual {
        let (travel, lathe) = (searches[at].travel(), searches[at].lathe());
        let longest = MOST_PAIRS.min(lathe.pairs_at_once() + 1);
        for pairs in options.pairs.saturating_add(1)..=longest {
            let open = |found: &Found| found.search == at && found.arrangements.is_empty();
            if watch.is_cancelled() || !found.iter().any(open) {
                break;
            }
            searches.push(
                Search::new(lathe, travel, options.clone().with_pairs(pairs))?.watched(watch),
            );
            let search = searches.len() - 1;
            for (line, found) in lines.iter().zip(found.iter_mut()).filter(|(_, f)| open(f)) {
                found.widen(searches, search, line, most, watch)?;
            }
        }
    }
    Ok(())
}

/// Stores the result of the search for one line.
#[derive(Default)]
pub(super) struct Found {
    pub(super) arrangements: Vec<(Arrangement, u32)>,
    /// The search that found it, and the nearest that fits.
    pub(super) nearest: Option<(usize, Solution)>,
    pub(super) unsure: Option<Solution>,
    pub(super) idlers: usize,
    pub(super) lacks: Lacks,
    pub(super) search: usize,
    pub(super) wider: bool,
    pub(super) widened: bool,
}

impl Found {
    pub(super) fn new(
        searches: &[Search<'_>],
        at: usize,
        line: &Line,
        most: usize,
        watch: Watch<'_>,
    ) -> Result<Self> {
        let search = &searches[at];
        let ask = line.ask();
        let studs = usize::from(search.lathe().parts().studs);
        let mut found = Self { search: at, ..Self::default() };
        found.lacks.longer = !search.proof(ask.gears).complete;
        if watch.is_cancelled() {
            found.lacks.rest = true;
            return Ok(found);
        }
        for idlers in 1..=studs.max(1) {
            found.idlers = idlers;
            search.within(&ask, idlers, &mut |lead, arrangements| {
                found.take(ppb(lead, &ask.lead), arrangements, most, watch)
            })?;
            found.lacks.rest |= watch.is_cancelled();
            if !found.arrangements.is_empty() || found.lacks.rest {
                return Ok(found);
            }
        }
        found.unsure = search.closest(&ask)?.unsure;
        found.come_near(searches, at, &ask)?;
        found.lacks.rest |= watch.is_cancelled();
        Ok(found)
    }

    /// Without a train: the nearest that fits; of equally near ones that of the first search.
    fn come_near(&mut self, searches: &[Search<'_>], at: usize, ask: &Ask) -> Result<()> {
        let nearest = searches[at].find(&Ask { within: None, ..ask.clone() })?;
        self.lacks.nearest = !nearest.proof.complete;
        let known = self.nearest.as_ref().map(|(_, known)| known.error);
        let nearer = |near: &Solution| {
            near.fits() && known.is_none_or(|known| near.error.compare_size(&known).is_lt())
        };
        if let Some(nearest) = nearest.solutions.into_iter().find(Solution::fits).filter(nearer) {
            self.nearest = Some((at, nearest));
        }
        Ok(())
    }

    /// The one step beyond the tolerance: without a train all that err as the nearest does, where the line
    /// allows that error.
    pub(super) fn take_nearest(
        &mut self,
        searches: &[Search<'_>],
        line: &Line,
        most: usize,
        watch: Watch<'_>,
    ) -> Result<()> {
        let open = self.arrangements.is_empty() && self.unsure.is_none() && !self.lacks.rest;
        let Some((at, nearest)) = self.nearest.as_ref().filter(|_| open) else { return Ok(()) };
        if !line.at_worst.is_some_and(|most| nearest.error.within(&most)) {
            return Ok(());
        }
        let (at, error) = (*at, nearest.error);
        let search = &searches[at];
        // The closest come first: none of those before the nearest fits.
        let ask = Ask { within: None, ..line.ask() };
        for idlers in 1..=usize::from(search.lathe().parts().studs).max(1) {
            self.idlers = idlers;
            search.within(&ask, idlers, &mut |lead, arrangements| {
                if LeadError::of(lead, &ask.lead).compare_size(&error).is_gt() {
                    return ControlFlow::Break(());
                }
                self.take(ppb(lead, &ask.lead), arrangements, most, watch)
            })?;
            if !self.arrangements.is_empty() {
                (self.wider, self.search, self.widened) = (at != self.search, at, true);
                break;
            }
        }
        self.lacks.rest |= watch.is_cancelled();
        Ok(())
    }

    /// The closest trains of a search for longer ones, or the nearest.
    fn widen(
        &mut self,
        searches: &[Search<'_>],
        at: usize,
        line: &Line,
        most: usize,
        watch: Watch<'_>,
    ) -> Result<()> {
        let search = &searches[at];
        // Without a tolerance the closest come first and the rest is never visited.
        let ask = Ask { within: None, ..line.ask() };
        let longer = !search.proof(ask.gears).complete;
        search.within(&ask, 1, &mut |lead, arrangements| {
            if !LeadError::of(lead, &ask.lead).within(&line.within) {
                return ControlFlow::Break(());
            }
            self.take(ppb(lead, &ask.lead), arrangements, most, watch)
        })?;
        self.lacks.longer |= longer;
        self.lacks.rest |= watch.is_cancelled();
        if !self.arrangements.is_empty() {
            (self.search, self.wider) = (at, true);
            return Ok(());
        }
        if self.unsure.is_none() {
            self.unsure = search.closest(&line.ask())?.unsure;
            self.search = if self.unsure.is_some() { at } else { self.search };
        }
        self.come_near(searches, at, &ask)?;
        self.lacks.rest |= watch.is_cancelled();
        Ok(())
    }

    fn take(
        &mut self,
        ppb: u32,
        arrangements: &[Arrangement],
        most: usize,
        watch: Watch<'_>,
    ) -> ControlFlow<()> {
        let room = most.saturating_sub(self.arrangements.len());
        self.lacks.further |= arrangements.len() > room;
        self.lacks.rest |= watch.is_cancelled();
        let kept = arrangements.iter().take(room.max(usize::from(self.arrangements.is_empty())));
        self.arrangements.extend(kept.map(|a| (*a, ppb)));
        if self.lacks.further || self.lacks.rest {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    }
}

/// |error| in parts per 10^9, for the last tie-break between plans only.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
fn ppb(cut: &Lead, asked: &Lead) -> u32 {
    let error = cut.to_f64() / asked.to_f64() - 1.0;
    (error.abs() * 1e9).round().clamp(0.0, 4e9) as u32
}
