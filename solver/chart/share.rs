//! Does a factor belong to the headstock or to a lever? And which feeds follow, with a known figure
//! and an unknown K?
//!
//! A chart tells only products. Of the lathes that cut the same, the one with its driving gear as fast
//! as the spindle is usual (common practice, no source). If a lever in every row takes over K so
//! that one of its positions becomes 1, K goes there.

use super::levers::{Found, Unknowns};
use super::reading::Kind;
use crate::{Ratio, Result};
use std::collections::BTreeSet;

impl Unknowns {
    /// The threads' constant gives those of the feeds with a known figure.
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

    /// Puts K into a lever, if that gives the usual lathe.
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

    /// An entirely unknown lever that is in every row, and of which k makes one position 1.
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

#[cfg(test)]
mod tests {
    use crate::chart::{AllowedErrors, ChartRow, Gears, Printed, Unit, learn};
    use crate::{
        Gear, GearSet, Lathe, Lead, Lever, LeverPosition, Parts, Ratio, Teeth, Travel, Turns,
    };

    /// An 8 TPI lathe with a range lever, K and both of its ratios unknown.
    fn half_known(long: Option<&str>) -> Lathe {
        let mut gears = GearSet::new();
        for teeth in [40, 50] {
            gears.add(Gear::new(Teeth::new(teeth).unwrap()), 2).unwrap();
        }
        let mut parts = Parts::plain(gears, Lead::from_tpi(Ratio::whole(8).unwrap()).unwrap());
        parts.headstock[0].ratio = None;
        let position = |name: &str| LeverPosition {
            name: name.to_owned(),
            ratio: None,
            turns: Turns::Same,
            only: None,
        };
        parts.gearbox.levers =
            vec![Lever { name: "Range".to_owned(), positions: vec![position("A"), position("B")] }];
        parts.feeds.long = long.map(|mm| Lead::new(mm.parse().unwrap()));
        Lathe::new(parts).unwrap()
    }

    fn row(text: &str, unit: Unit, travel: Travel, train: &str, range: &str) -> ChartRow {
        ChartRow::new(Printed::new(text, unit, travel).unwrap())
            .with_gears(Gears::new(train.parse().unwrap()))
            .with_lever("Range", range)
    }

    fn threads(a: [&str; 2], b: [&str; 2]) -> Vec<ChartRow> {
        let of = |text, train, range| row(text, Unit::Tpi, Travel::Thread, train, range);
        vec![
            of(a[0], "40-40", "A"),
            of(a[1], "40-50", "A"),
            of(b[0], "40-40", "B"),
            of(b[1], "40-50", "B"),
        ]
    }

    fn ratios(parts: &Parts) -> Vec<String> {
        let levers = parts.gearbox.levers.iter().flat_map(|lever| &lever.positions);
        let ratios = parts.headstock.iter().map(|p| p.ratio).chain(levers.map(|p| p.ratio));
        ratios.map(|ratio| ratio.map_or("?".to_owned(), |ratio| ratio.to_string())).collect()
    }

    #[test]
    fn k_goes_into_a_lever_that_then_has_a_one() {
        // A doubles, B is 1 to 1.
        let rows = threads(["4", "5"], ["8", "10"]);
        let learned = learn(&half_known(None), &rows, &[], &AllowedErrors::default()).unwrap();
        assert_eq!(ratios(&learned.parts), ["1", "2", "1"]);
        assert!(learned.check.holds());
        // Where no position becomes 1 the first one stays the reference.
        let rows = threads(["4", "5"], ["2", "5/2"]);
        let learned = learn(&half_known(None), &rows, &[], &AllowedErrors::default()).unwrap();
        assert_eq!(ratios(&learned.parts), ["2", "1", "2"]);
        assert!(learned.check.holds());
        // K is already 1.
        let rows = threads(["8", "10"], ["4", "5"]);
        let learned = learn(&half_known(None), &rows, &[], &AllowedErrors::default()).unwrap();
        assert_eq!(ratios(&learned.parts), ["1", "1", "2"]);
    }

    #[test]
    fn a_feed_that_is_known_stays() {
        let mut rows = threads(["4", "5"], ["8", "10"]);
        // 1 mm a turn of the screw: A feeds 2 mm.
        let feed = |text, range| row(text, Unit::Mm, Travel::LongFeed, "40-40", range);
        rows.extend([feed("2.00", "A"), feed("1.00", "B")]);
        let learned =
            learn(&half_known(Some("1 mm")), &rows, &[], &AllowedErrors::default()).unwrap();
        assert_eq!(ratios(&learned.parts), ["1", "2", "1"]);
        assert_eq!(learned.parts.feeds.long.unwrap().to_string(), "1 mm");
        assert!(learned.constants.iter().all(|constant| constant.travel == Travel::Thread));
        assert!(learned.check.holds() && learned.decided);
    }
}
