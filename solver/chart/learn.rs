//! What do a chart and measured cuts tell of an unknown lathe?
//!
//! lead = screw x K x (ratio of the train) x (one ratio for each lever). The chart prints the
//! trains; `levers` and `constant` find the rest. A chart alone tells only products: screw x K (the
//! screw constant), or K x the feed figure. It tells the levers only up to a factor that may as well
//! be in the constant. Known figures of the lathe are kept.

use super::check::{Check, check};
use super::learned::{Constant, LearnedPosition, What};
use super::levers::{Found, Unknowns};
use super::measured::Measured;
use super::row::ChartRow;
use super::settle::{Settle, settle};
use super::unknown::{HalfKnown, TRAVELS, index};
use super::verdict::{AllowedErrors, HEADSTOCK};
use crate::{Error, Lathe, Lead, Length, Parts, Ratio, Result, Travel, bounds};

/// What a chart and measurements tell of a lathe.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Learned {
    /// Constants that were unknown, of threads first.
    pub constants: Vec<Constant>,
    /// Lever positions that were unknown, in the order of the lathe.
    pub positions: Vec<LearnedPosition>,
    /// The chart, judged on the lathe as learned.
    pub check: Check,
    /// Whether each measurement agrees with the lathe as learned.
    pub measured: Vec<bool>,
    /// The measurement that would decide an open figure, or confirm one with little support.
    pub settle: Option<Settle>,
    /// Whether every unknown that rows tell of is reliable.
    pub decided: bool,
    /// The lathe with the learned figures; of an undecided one the likeliest.
    pub parts: Parts,
    /// The lathe with the certain figures; the rest stays unknown.
    pub certain: Parts,
    /// A figure without a place in the lathe's parts: feeds where K is not separate.
    pub unwritten: Vec<What>,
}

/// Learns the unknown figures of a lathe.
///
/// ```
/// use solver::chart::{Gears, Printed, ChartRow, AllowedErrors, Unit, What, blank, learn};
/// use solver::{Lathe, Travel};
/// let row = |tpi: &str, train: &str| -> solver::Result<ChartRow> {
///     Ok(ChartRow::new(Printed::new(tpi, Unit::Tpi, Travel::Thread)?).with_gears(Gears::new(train.parse()?)))
/// };
/// let rows = [row("10", "24-60")?, row("11 1/2", "24-69")?, row("16", "24-96")?];
/// let learned = learn(&Lathe::new(blank(&rows)?)?, &rows, &[], &AllowedErrors::default())?;
/// assert!(learned.decided);
/// assert_eq!(learned.constants[0].what, What::ScrewConstant);
/// assert_eq!(learned.parts.screw_constant.unwrap().tpi()?.to_string(), "4");
/// # Ok::<(), solver::Error>(())
/// ```
///
/// # Errors
/// If a row (`rows[3]`) or a measurement (`measured[0]`) names something that the lathe does not
/// have, or leaves open a lever or the gears; if there is nothing to learn from; if a number is out
/// of range.
pub fn learn(
    lathe: &Lathe,
    rows: &[ChartRow],
    measured: &[Measured],
    terms: &AllowedErrors,
) -> Result<Learned> {
    if rows.is_empty() && measured.is_empty() {
        return Err(Error::conflict("there is no row and no measurement to learn from"));
    }
    bounds::CHART_ROWS.check(rows.len().max(1) as u64)?;
    let machine = HalfKnown::new(lathe, rows, measured);
    let mut unknowns = machine.unknowns(rows, measured, terms)?;
    unknowns.solve()?;
    machine.learned(&unknowns, rows, measured, terms)
}

impl HalfKnown<'_> {
    fn learned(
        &self,
        unknowns: &Unknowns,
        rows: &[ChartRow],
        measured: &[Measured],
        terms: &AllowedErrors,
    ) -> Result<Learned> {
        let of_measured = (0..measured.len()).map(|i| holds(unknowns, i));
        let measured_holds = of_measured.collect::<Result<Vec<bool>>>()?;
        let sure = Sure { unknowns, agrees: measured_holds.iter().all(|holds| *holds) };
        let constants = self.constants(unknowns, &sure)?;
        let positions = self.positions(unknowns, &sure);
        // The product K x screw is enough to judge rows: all of it goes into the screw.
        let judge = Lathe::new(self.filled(&constants, &positions, true)?)?;
        let check = match rows {
            [] => Check { rows: Vec::new(), groups: Vec::new() },
            rows => check(&judge, rows, terms)?,
        };
        let shared = unknowns.shared.as_ref().is_none_or(|(_, ranking)| ranking.decided);
        // A feed equal to the threads is by half nut: nothing else of it is open.
        let thread = constants.iter().all(|c| c.travel != Travel::Thread || c.ranking.decided);
        let decided = shared
            && constants.iter().all(|c| c.ranking.decided || (c.what == What::HalfNut && thread))
            && positions.iter().all(|p| p.ranking.as_ref().is_none_or(|r| r.decided))
            && measured_holds.iter().all(|holds| *holds);
        Ok(Learned {
            settle: settle(&judge, &constants, &positions, rows, measured)?,
            parts: self.filled(&constants, &positions, false)?,
            certain: {
                let constants: Vec<_> = constants.iter().filter(|c| c.certain).cloned().collect();
                let positions: Vec<_> = positions.iter().filter(|p| p.certain).cloned().collect();
                self.filled(&constants, &positions, false)?
            },
            unwritten: unwritten(&constants),
            measured: measured_holds,
            constants,
            positions,
            check,
            decided,
        })
    }

    fn constants(&self, unknowns: &Unknowns, sure: &Sure<'_>) -> Result<Vec<Constant>> {
        let mut constants: Vec<Constant> = Vec::new();
        let mut k = self.k;
        let thread = unknowns.constants[0].as_ref().map(Found::value);
        for (found, travel) in unknowns.constants.iter().zip(TRAVELS) {
            let spoken = self.spoken[index(travel)];
            let Some(Found::Learned(ranking)) = found.as_ref().filter(|_| spoken) else { continue };
            let (mut what, factor) = self.meaning(travel, k);
            if what == What::Headstock {
                k = Some(ranking.best.value.over(&factor)?);
            }
            if travel == Travel::LongFeed && thread == Some(ranking.best.value) {
                what = What::HalfNut;
            }
            // K comes from the threads: a feed read with it is as sure as they are.
            let by_k = self.k.is_none() && matches!(what, What::Feed(_) | What::HalfNut);
            let threads = || constants.iter().all(|c| c.travel != Travel::Thread || c.certain);
            let certain = sure.of_constant(travel) && (!by_k || threads());
            constants.push(Constant {
                what,
                travel,
                ranking: ranking.as_ref().clone(),
                factor,
                certain,
            });
        }
        Ok(constants)
    }

    fn positions(&self, unknowns: &Unknowns, sure: &Sure<'_>) -> Vec<LearnedPosition> {
        let learned = unknowns.positions.iter().filter_map(|((l, p), found)| {
            let ranking = match found {
                Found::Known(_) => return None,
                Found::Reference => None,
                Found::Learned(ranking) => Some(ranking.as_ref().clone()),
            };
            let lever = self.levers.get(*l)?;
            let position = lever.positions.get(*p)?.name.clone();
            let certain = sure.of_position((*l, *p));
            Some(LearnedPosition { lever: lever.name.clone(), position, ranking, certain })
        });
        learned.collect()
    }

    /// The lathe's parts with the learned figures. `judged`: so that every row can be computed, with
    /// the whole constant in the screw where K is not separate.
    fn filled(
        &self,
        constants: &[Constant],
        positions: &[LearnedPosition],
        judged: bool,
    ) -> Result<Parts> {
        let mut parts = self.lathe.parts().clone();
        for position in positions {
            set_ratio(&mut parts, self.headstock, position);
        }
        for constant in constants {
            let figure = constant.figure(&constant.ranking.best)?;
            let lead = Lead::new(Length::from_mm(figure));
            match constant.what {
                What::LeadScrew => parts.lead_screw.lead = Some(lead),
                What::Headstock => set_k(&mut parts, figure),
                What::ScrewConstant if judged => {
                    parts.lead_screw.lead = Some(lead);
                    set_k(&mut parts, Ratio::ONE);
                }
                What::ScrewConstant => parts.screw_constant = Some(lead),
                What::Feed(Travel::CrossFeed) => parts.feeds.cross = Some(lead),
                What::Feed(_) => parts.feeds.long = Some(lead),
                What::FeedConstant(travel) if judged => {
                    set_k(&mut parts, Ratio::ONE);
                    match travel {
                        Travel::CrossFeed => parts.feeds.cross = Some(lead),
                        _ => parts.feeds.long = Some(lead),
                    }
                }
                What::FeedConstant(_) | What::HalfNut => {}
            }
        }
        Ok(parts)
    }
}

/// Which figures are reliable while others are open?
struct Sure<'u> {
    unknowns: &'u Unknowns,
    /// Whether all measurements agree with the learned figures.
    agrees: bool,
}

impl Sure<'_> {
    fn is_decided(found: &Found) -> bool {
        !matches!(found, Found::Learned(ranking) if !ranking.decided)
    }

    fn position_is_decided(&self, at: &(usize, usize)) -> bool {
        let shared = self.unknowns.shared.as_ref();
        let open = shared.is_some_and(|(lever, ranking)| *lever == at.0 && !ranking.decided);
        !open && self.unknowns.positions.get(at).is_some_and(Self::is_decided)
    }

    fn constant_is_decided(&self, travel: usize) -> bool {
        self.unknowns.constants.get(travel).and_then(Option::as_ref).is_some_and(Self::is_decided)
    }

    /// Whether some row or measurement tells of it through decided figures alone.
    fn is_spoken(&self, mut of: impl FnMut(usize, &[(usize, usize)]) -> bool) -> bool {
        let rows = self.unknowns.items.iter().map(|item| (item.travel, &item.at));
        let cuts = self.unknowns.hard.iter().map(|cut| (cut.travel, &cut.at));
        self.agrees
            && rows.chain(cuts).any(|(travel, at)| {
                of(travel, at)
                    && self.constant_is_decided(travel)
                    && at.iter().all(|p| self.position_is_decided(p))
            })
    }

    fn of_constant(&self, travel: Travel) -> bool {
        self.is_spoken(|t, _| t == index(travel))
    }

    fn of_position(&self, at: (usize, usize)) -> bool {
        self.is_spoken(|_, all| all.contains(&at))
    }
}

/// Feeds without a place: only their product with K is known, and K is not.
fn unwritten(constants: &[Constant]) -> Vec<What> {
    let all = constants.iter().map(|constant| constant.what);
    all.filter(|what| matches!(what, What::FeedConstant(_))).collect()
}

/// Whether a measurement agrees with the learned figures; false if it could not be computed.
fn holds(unknowns: &Unknowns, index: usize) -> Result<bool> {
    let (Some(hard), Some(constant)) = (unknowns.hard.get(index), &unknowns.constants[0]) else {
        return Ok(false);
    };
    let mut lead = constant.value();
    for at in &hard.at {
        match unknowns.positions.get(at) {
            Some(found) => lead = lead.times(&found.value())?,
            None => return Ok(false),
        }
    }
    Ok(hard.allowed.holds(&lead))
}

fn set_k(parts: &mut Parts, k: Ratio) {
    parts.headstock.iter_mut().for_each(|position| position.ratio = Some(k));
}

fn set_ratio(parts: &mut Parts, headstock: bool, learned: &LearnedPosition) {
    let ratio = Some(learned.ratio());
    if headstock && learned.lever == HEADSTOCK {
        let mut positions = parts.headstock.iter_mut();
        if let Some(position) = positions.find(|p| p.name == learned.position) {
            position.ratio = ratio;
        }
        return;
    }
    let mut levers = parts.gearbox.levers.iter_mut();
    let lever = levers.find(|l| l.name == learned.lever);
    let position = lever.and_then(|l| l.positions.iter_mut().find(|p| p.name == learned.position));
    if let Some(position) = position {
        position.ratio = ratio;
    }
}

#[cfg(test)]
mod tests {
    use super::super::interval::Interval;
    use super::super::levers::Hard;
    use super::super::reading::Reading;
    use super::*;
    use std::collections::BTreeMap;

    fn ratio(text: &str) -> Ratio {
        text.parse().unwrap()
    }

    /// A constant of 3 mm, a lever with positions of 1/2 and of a reference; a cut in one of them.
    fn cut(constant: Option<&str>, at: &[(usize, usize)], low: &str, high: &str) -> Unknowns {
        let allowed = Interval::new(ratio(low), ratio(high)).unwrap();
        Unknowns {
            items: Vec::new(),
            hard: vec![Hard { travel: 0, allowed, at: at.to_vec() }],
            // A feed tells nothing of a thread.
            constants: [constant.map(|c| Found::Known(ratio(c))), Some(Found::Reference), None],
            readings: [Reading::LEVER; 3],
            ties: [None, None, None],
            positions: BTreeMap::from([
                ((0, 0), Found::Known(ratio("1/2"))),
                ((1, 0), Found::Reference),
            ]),
            shared: None,
        }
    }

    #[test]
    fn a_measurement_holds_where_it_allows_the_constant_through_its_levers() {
        let of =
            |at: &[(usize, usize)], low, high| holds(&cut(Some("3"), at, low, high), 0).unwrap();
        assert!(of(&[], "2.9", "3.1") && !of(&[], "1.4", "1.6"));
        assert!(of(&[(0, 0)], "1.4", "1.6") && !of(&[(0, 0)], "2.9", "3.1"));
        // A reference counts as 1; the ends of what is allowed hold.
        assert!(of(&[(0, 0), (1, 0)], "1.5", "1.6") && of(&[(1, 0)], "2.9", "3"));
        assert!(!of(&[(0, 0)], "1.51", "1.6") && !of(&[(0, 0)], "1.4", "1.49"));
        // An unknown figure agrees with nothing; nor does one that was not measured.
        assert!(!of(&[(0, 1)], "0.001", "100"));
        assert!(!holds(&cut(None, &[], "0.001", "100"), 0).unwrap());
        assert!(!holds(&cut(Some("3"), &[], "2.9", "3.1"), 1).unwrap());
    }
}
