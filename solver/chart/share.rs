//! A factor that could stand in the headstock or in a lever: where is it put? And feeds whose figure is
//! known while K is not.
//!
//! A chart speaks of products alone. Of the lathes that cut the same, the one whose first gear turns as
//! fast as the spindle is the usual one (common practice, no source): if a lever that every row uses
//! takes up K so that one of its positions becomes 1, it is put there.

use super::constant::Kind;
use super::levers::{Found, Unknowns};
use crate::{Ratio, Result};
use std::collections::BTreeSet;

impl Unknowns {
    /// Once the threads' constant is known so are those of feeds whose figure is.
    pub(super) fn tie_feeds(&mut self) -> Result<()> {
        let Some(Found::Learned(thread)) = &self.constants[0] else { return Ok(()) };
        let thread = thread.best.value;
        for (constant, tie) in self.constants.iter_mut().zip(self.ties) {
            if let (Some(tie), None | Some(Found::Known(_))) = (tie, &constant) {
                *constant = Some(Found::Known(thread.times(&tie)?));
            }
        }
        Ok(())
    }

    /// Puts K into a lever, if that makes the usual lathe of it.
    pub(super) fn make_usual(&mut self) -> Result<()> {
        let reading = self.readings[0];
        let Some(Found::Learned(thread)) = &self.constants[0] else { return Ok(()) };
        if reading.kind != Kind::Ratio {
            return Ok(());
        }
        let k = thread.best.value.over(&reading.factor)?;
        let Some(lever) = self.lever_for(&k)?.filter(|_| k != Ratio::ONE) else { return Ok(()) };
        let ranking = thread.clone();
        for (at, found) in &mut self.positions {
            match found {
                Found::Reference if at.0 == lever => {
                    let mut own = ranking.clone();
                    own.scale(&reading.factor.recip())?;
                    *found = Found::Learned(own);
                }
                Found::Learned(own) if at.0 == lever => own.scale(&k)?,
                _ => {}
            }
        }
        for constant in self.constants.iter_mut().flatten() {
            match constant {
                Found::Known(value) => *value = value.over(&k)?,
                Found::Learned(own) => own.scale(&k.recip())?,
                Found::Reference => {}
            }
        }
        Ok(())
    }

    /// A lever of which nothing was known, that stands in every row, and of which k makes one position 1.
    fn lever_for(&self, k: &Ratio) -> Result<Option<usize>> {
        let levers: BTreeSet<usize> = self.positions.keys().map(|at| at.0).collect();
        for lever in levers {
            let own = || self.positions.iter().filter(|(at, _)| at.0 == lever).map(|(_, f)| f);
            let free = own().all(|found| !matches!(found, Found::Known(_)))
                && own().any(|found| *found == Found::Reference);
            let uses = |at: &[(usize, usize)]| at.iter().any(|p| p.0 == lever);
            let everywhere =
                self.items.iter().all(|i| uses(&i.at)) && self.hard.iter().all(|h| uses(&h.at));
            let ones: Vec<bool> = own()
                .map(|found| Ok(found.value().times(k)? == Ratio::ONE))
                .collect::<Result<_>>()?;
            if free && everywhere && ones.contains(&true) {
                return Ok(Some(lever));
            }
        }
        Ok(None)
    }
}
