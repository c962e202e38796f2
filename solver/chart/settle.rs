//! Which one measurement would decide an open figure, and what should it read?

use super::constant::Ranking;
use super::learned::{Constant, LearnedPosition};
use super::measured::Measured;
use super::row::{ChartRow, Gears};
use crate::{Lathe, Ratio, Result, Travel, When};

/// A measurement to make.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Settle {
    /// The kind of travel: of a thread pitches of a scratch pass, of a feed turns of the spindle.
    pub travel: Travel,
    /// The gears to put on; `None`: those on the machine.
    pub gears: Option<Gears>,
    /// The levers to set.
    pub levers: When,
    /// Pitches, or turns of the spindle.
    pub count: u64,
    /// Its length in mm by the learned figures.
    pub expect: Ratio,
    /// Its length for each rival, in their order; empty: it confirms a figure with little support.
    pub otherwise: Vec<Ratio>,
    /// Whether a rule separates the first rival.
    pub clear: bool,
}

impl Settle {
    /// The precision, in mm, that separates the first rival: a quarter of the difference. `None`:
    /// there is no rival.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn reading(&self) -> Result<Option<Ratio>> {
        self.apart()?.map(|apart| apart.over(&Ratio::table(4, 1))).transpose()
    }

    /// The length, in mm, over which a rule separates the first rival. `None`: there is no rival.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn by_rule(&self) -> Result<Option<Ratio>> {
        self.apart()?.map(|apart| self.expect.times(&APART)?.over(&apart)).transpose()
    }

    fn apart(&self) -> Result<Option<Ratio>> {
        self.otherwise.first().map_or(Ok(None), |other| other.apart(&self.expect))
    }
}

/// The difference that a rule shows, in mm: four times its precision.
const APART: Ratio = Ratio::table(4, 5);
/// Longest length to measure.
const LONGEST: Ratio = Ratio::table(300, 1);
/// Length to measure where nothing must be separated.
const LONG_ENOUGH: Ratio = Ratio::table(60, 1);
/// Counts that people can keep in mind.
const COUNTS: [u64; 8] = [10, 20, 30, 40, 50, 60, 80, 100];

/// A set-up to measure with, and its travel for one turn over the constant.
struct Bench {
    gears: Option<Gears>,
    levers: When,
    per_constant: Ratio,
}

/// The measurement that decides the first open figure; else one that confirms a figure with a single
/// measurement or row.
pub(super) fn settle(
    lathe: &Lathe,
    constants: &[Constant],
    positions: &[LearnedPosition],
    rows: &[ChartRow],
    measured: &[Measured],
) -> Result<Option<Settle>> {
    let open = |ranking: &Ranking| !ranking.rivals.is_empty();
    let weak = |ranking: &Ranking| ranking.rivals.is_empty() && ranking.best.within < 2;
    for wanted in [&open as &dyn Fn(&Ranking) -> bool, &weak] {
        for constant in constants.iter().filter(|c| wanted(&c.ranking)) {
            let benches = benches(lathe, constant.travel, rows, measured, None)?;
            if let Some(found) = chosen(
                constant.travel,
                &constant.ranking,
                benches,
                Some(constant.ranking.best.value),
            )? {
                return Ok(Some(found));
            }
        }
        for position in positions {
            let Some(ranking) = position.ranking.as_ref().filter(|r| open(r) && wanted(r)) else {
                continue;
            };
            let benches = benches(lathe, Travel::Thread, rows, measured, Some(position))?;
            if let Some(found) = chosen(Travel::Thread, ranking, benches, None)? {
                return Ok(Some(found));
            }
        }
    }
    Ok(None)
}

/// Set-ups that rows and measurements name. `through`: only those in that lever position.
fn benches(
    lathe: &Lathe,
    travel: Travel,
    rows: &[ChartRow],
    measured: &[Measured],
    through: Option<&LearnedPosition>,
) -> Result<Vec<Bench>> {
    let of_rows = rows
        .iter()
        .filter(|row| row.printed.travel() == travel)
        .map(|row| (&row.gears, &row.levers));
    let of_cuts =
        measured.iter().filter(|_| travel == Travel::Thread).map(|cut| (&cut.gears, &cut.levers));
    let mut benches = Vec::new();
    for (gears, levers) in of_cuts.chain(of_rows) {
        let passes =
            |p: &LearnedPosition| levers.iter().any(|(l, at)| *l == p.lever && *at == p.position);
        if !through.is_none_or(passes) {
            continue;
        }
        let fitted = lathe.parts().fitted.as_ref().map(|fitted| &fitted.train);
        let train = gears.as_ref().map(|gears| &gears.train).or(fitted);
        let ratio = train.map_or(Ratio::ONE, crate::Train::ratio);
        // The lathe's own settings include constant and levers; one named here at most once.
        let Ok(settings) = lathe.settings(travel) else { continue };
        let named = |setting: &&crate::Setting| {
            let names: Vec<(&str, &str)> = lathe.lever_names(setting).collect();
            let head = lathe.headstock_name(setting);
            levers.iter().all(|(l, p)| names.contains(&(l, p)) || head == Some(p))
        };
        let Some(setting) = settings.list.iter().find(named) else { continue };
        benches.push(Bench {
            gears: gears.clone(),
            levers: levers.clone(),
            per_constant: setting.constant.mm().times(&ratio)?,
        });
    }
    Ok(benches)
}

/// The set-up that separates best and rival most within the length that can be measured. `constant`:
/// the value that the settings already include.
fn chosen(
    travel: Travel,
    ranking: &Ranking,
    benches: Vec<Bench>,
    constant: Option<Ratio>,
) -> Result<Option<Settle>> {
    let best = constant.unwrap_or(ranking.best.value);
    let mut found: Option<(bool, Ratio, Settle)> = None;
    for bench in benches {
        // The settings include the best value: others in proportion.
        let lead = bench.per_constant;
        let of = |value: &Ratio| lead.times(&value.over(&best)?);
        let rivals =
            ranking.rivals.iter().map(|rival| of(&rival.value)).collect::<Result<Vec<_>>>()?;
        let apart = rivals.first().map(|rival| rival.apart(&lead)).transpose()?.flatten();
        let Some((count, clear)) = count(&lead, apart)? else { continue };
        let times = |value: &Ratio| value.times(&Ratio::whole(count)?);
        let settle = Settle {
            travel,
            gears: bench.gears,
            levers: bench.levers,
            count,
            expect: times(&lead)?,
            otherwise: rivals.iter().map(times).collect::<Result<_>>()?,
            clear,
        };
        // Too near for a rule: the longest stretch shows most.
        let gap = apart.unwrap_or(lead);
        let gap = if clear { gap } else { times(&gap)? };
        let better = found.as_ref().is_none_or(|(c, g, _)| (clear, gap) > (*c, *g));
        if better {
            found = Some((clear, gap, settle));
        }
    }
    Ok(found.map(|(_, _, settle)| settle))
}

/// Number of pitches, and whether they separate the two.
fn count(lead: &Ratio, apart: Option<Ratio>) -> Result<Option<(u64, bool)>> {
    let mut most = None;
    for count in COUNTS {
        let n = Ratio::whole(count)?;
        let length = lead.times(&n)?;
        if length > LONGEST {
            break;
        }
        let enough = match &apart {
            Some(apart) => apart.times(&n)? >= APART,
            None => length >= LONG_ENOUGH,
        };
        if enough {
            return Ok(Some((count, true)));
        }
        most = Some((count, false));
    }
    Ok(most)
}
