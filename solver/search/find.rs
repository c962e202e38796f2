//! Which leads are nearest? The best trains, the best for each number of gears, one gear more.

use super::found::{Found, OneMore, Solution, TradeOff};
use super::pass::Stop;
use super::{Ask, Search};
use crate::{Result, bounds};

impl Search<'_> {
    /// The best trains, one for each different lead.
    ///
    /// # Errors
    /// If the number of answers is out of bounds; else only if a lead can't be held, which the
    /// limits on the numbers rule out.
    pub fn find(&self, ask: &Ask) -> Result<Found> {
        bounds::ANSWERS.check(ask.count as u64)?;
        let stop = Stop {
            count: ask.count,
            within: ask.within.as_ref(),
            below: None,
            at_most: None,
            work: self.options.tuning.budget,
            refused: 5,
        };
        let pass = self.run(ask, &stop)?;
        let mut proof = self.proof(ask.gears);
        (proof.settled, proof.stopped) = (!pass.work.cut_short, pass.stopped);
        proof.complete &= pass.is_complete();
        let mut found = Found {
            solutions: self.solutions(ask, &pass.answers)?,
            refused: self.solutions(ask, &pass.refused)?,
            nearest: None,
            unlisted: pass.unlisted,
            proof,
        };
        // Here the whole list may include trains that are too close to call.
        found.refused.retain(|r| !r.fit.reasons().is_empty());
        if !found.solutions.iter().any(Solution::fits) && ask.within.is_some() {
            let free = Ask { within: None, count: 1, ..ask.clone() };
            let nearest = self.find(&free)?;
            found.nearest = nearest.solutions.into_iter().find(Solution::fits);
            // "Nothing fits" is only known if that search did not give up.
            found.proof.complete &= found.nearest.is_some() || nearest.proof.complete;
            found.proof.settled &= found.nearest.is_some() || nearest.proof.settled;
            found.proof.stopped |= nearest.proof.stopped;
        }
        Ok(found)
    }

    /// Several targets at once, on all cores; the answers are those of [`Search::find`].
    ///
    /// # Errors
    /// As [`Search::find`].
    pub fn find_each(&self, asks: &[Ask]) -> Vec<Result<Found>> {
        each(asks, |ask| self.find(ask))
    }

    /// For each number of gears the best train, if it is closer than with fewer gears. Fewest gears
    /// first.
    ///
    /// # Errors
    /// As [`Search::find`].
    pub fn trade_off(&self, ask: &Ask) -> Result<TradeOff> {
        let mut rows: Vec<Solution> = Vec::new();
        let mut complete = true;
        for gears in 2..=ask.gears.min(2 * bounds::PAIRS) {
            let one = Ask { count: 1, gears, within: None, ..ask.clone() };
            let stop = Stop {
                count: 1,
                within: None,
                below: rows.last().map(|r| &r.error),
                at_most: None,
                work: self.options.tuning.budget,
                refused: 0,
            };
            let mut pass = self.run(&one, &stop)?;
            complete &= pass.is_complete();
            pass.answers.retain(|a| a.stands);
            rows.extend(self.solutions(ask, &pass.answers)?);
            if rows.last().is_some_and(|r| r.error.is_zero()) {
                break;
            }
        }
        Ok(TradeOff { rows, complete: complete && !self.is_cut(ask.gears) })
    }

    /// The best train with one more gear of an owned size, if it is closer than `than` (or than
    /// nothing), and the teeth of that gear.
    ///
    /// # Errors
    /// As [`Search::find`].
    pub fn one_more(&self, ask: &Ask, than: Option<&Solution>) -> Result<OneMore> {
        if than.is_some_and(|t| t.error.is_zero()) {
            return Ok(OneMore { better: None, complete: true });
        }
        if self.watch.is_cancelled() {
            return Ok(OneMore { better: None, complete: false });
        }
        let richer = Self::with_spare(self.lathe, self.travel, self.options.clone(), true)?;
        let richer = richer.watched(self.watch);
        let stop = Stop {
            count: 1,
            within: ask.within.as_ref(),
            below: than.map(|t| &t.error),
            at_most: None,
            work: self.options.tuning.budget,
            refused: 0,
        };
        let pass = richer.run(ask, &stop)?;
        let first = pass.answers.iter().find(|a| a.stands);
        let missing = first.and_then(|a| Some((a, a.ranked.1.missing(&richer.stock)?)));
        let better = missing.map(|(answered, kind)| {
            Ok((richer.solution(ask, answered)?, richer.stock.kind(kind).gear.teeth))
        });
        let complete = (better.is_some() || !pass.gave_up)
            && !pass.work.cut_short
            && !pass.stopped
            && !richer.is_cut(ask.gears);
        Ok(OneMore { better: better.transpose()?, complete })
    }
}

/// One answer for each, in order; on all cores where threads exist.
pub(crate) fn each<T: Sync, R: Send>(list: &[T], one: impl Fn(&T) -> R + Sync + Send) -> Vec<R> {
    #[cfg(feature = "parallel")]
    {
        use rayon::prelude::*;
        list.par_iter().map(one).collect()
    }
    #[cfg(not(feature = "parallel"))]
    list.iter().map(one).collect()
}
