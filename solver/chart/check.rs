//! Is each row of a chart right for a known lathe?

use super::cause::Explanation;
use super::explain::explain;
use super::group::{RowGroup, groups};
use super::machine::Machine;
use super::row::{ChartRow, Gears};
use super::verdict::{AllowedErrors, RowCut, Verdict};
use crate::bracket::{Fit, FitState};
use crate::judge::{Room, Set, set};
use crate::{End, Error, Gear, Lack, Lathe, Result, Shaft, Teeth, Train, Where, bounds};

/// A judged row.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct CheckedRow {
    /// The verdict.
    pub verdict: Verdict,
    /// The lead that it cuts; `None` if unknown.
    pub cut: Option<RowCut>,
    /// What it needs and is missing.
    pub lacks: Vec<Lack>,
    /// Whether the train fits on the bracket; with a free idler the best owned one.
    pub fit: Fit,
    /// The idler of `fit`, where the row leaves it free.
    pub idler: Option<Teeth>,
    /// Possible slips, likeliest first.
    pub explanations: Vec<Explanation>,
}

impl CheckedRow {
    /// The train of `fit`: the row's, with the chosen idler where the row leaves it free; `None`:
    /// the row names no gears.
    pub fn train(&self, row: &ChartRow) -> Option<Train> {
        let train = &row.gears.as_ref()?.train;
        self.idler.map_or_else(|| Some(train.clone()), |idler| with_idler(train, idler))
    }

    /// The likeliest explanations; several where they are equally likely.
    pub fn likeliest(&self) -> &[Explanation] {
        let first = self.explanations.first();
        let tied =
            self.explanations.iter().take_while(|e| first.is_some_and(|f| f.is_as_likely_as(e)));
        self.explanations.get(..tied.count()).unwrap_or_default()
    }
}

/// A judged chart.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Check {
    /// The rows in their order.
    pub rows: Vec<CheckedRow>,
    /// Wrong rows with the same factor of error.
    pub groups: Vec<RowGroup>,
}

impl Check {
    /// Whether every row is right.
    pub fn holds(&self) -> bool {
        self.rows.iter().all(|row| row.verdict.holds())
    }
}

/// Judges every row of a chart against a lathe.
///
/// ```
/// use solver::chart::{Cause, Gears, Printed, ChartRow, AllowedErrors, Unit, Verdict, check};
/// use solver::{Gear, GearSet, Lathe, Lead, Parts, Teeth, Travel};
/// let mut gears = GearSet::new();
/// for teeth in [20, 36, 38, 40] {
///     gears.add(Gear::new(Teeth::new(teeth)?), 1)?;
/// }
/// let lathe = Lathe::new(Parts::plain(gears, Lead::from_tpi("10".parse()?)?))?;
/// let row = |tpi: &str, train: &str| -> solver::Result<ChartRow> {
///     Ok(ChartRow::new(Printed::new(tpi, Unit::Tpi, Travel::Thread)?).with_gears(Gears::new(train.parse()?)))
/// };
/// let checked = check(&lathe, &[row("20", "20-40")?, row("18", "20-38")?], &AllowedErrors::default())?;
/// assert_eq!(checked.rows[0].verdict, Verdict::Exact);
/// assert_eq!(checked.rows[1].verdict, Verdict::Wrong);
/// assert!((checked.rows[1].cut.as_ref().unwrap().error.ppm() + 52_631.6).abs() < 0.1);
/// let Cause::Teeth { right, .. } = checked.rows[1].explanations[0].cause else { panic!() };
/// assert_eq!(right.get(), 36);
/// # Ok::<(), solver::Error>(())
/// ```
///
/// # Errors
/// If a row names a lever or a position that the lathe does not have (`rows[3]`), a number does not
/// fit, or there are no rows or too many.
pub fn check(lathe: &Lathe, rows: &[ChartRow], terms: &AllowedErrors) -> Result<Check> {
    bounds::CHART_ROWS.check(rows.len() as u64)?;
    let machine = Machine::new(lathe)?;
    let at = |i: usize| move |e: Error| e.at(&[Where::Rows, Where::Item(i)]);
    let mut checked = Vec::with_capacity(rows.len());
    for (i, row) in rows.iter().enumerate() {
        let beside = [i.checked_sub(1), i.checked_add(1)].map(|j| j.and_then(|j| rows.get(j)));
        checked.push(machine.judge(row, beside, terms).map_err(at(i))?);
    }
    let wrong: Vec<Option<&RowCut>> =
        checked.iter().map(|row| row.cut.as_ref().filter(|_| !row.verdict.holds())).collect();
    let groups = groups(&machine, rows, &wrong, terms)?;
    Ok(Check { rows: checked, groups })
}

impl Machine<'_> {
    fn judge(
        &self,
        row: &ChartRow,
        beside: [Option<&ChartRow>; 2],
        terms: &AllowedErrors,
    ) -> Result<CheckedRow> {
        self.check_names(row)?;
        let mut checked = CheckedRow {
            verdict: Verdict::Wrong,
            cut: None,
            lacks: Vec::new(),
            fit: Fit::NotChecked,
            idler: None,
            explanations: Vec::new(),
        };
        let all = match self.settings(row.printed.travel()) {
            Ok(all) => all,
            Err(error) if error.is_unknown() || error.is_no_such() => {
                checked.verdict = Verdict::Unknown(error);
                return Ok(checked);
            }
            Err(error) => return Err(error),
        };
        let Some(cut) = self.cut(row, all)? else {
            let why = Error::conflict(
                "no setting has these lever positions, or a ratio of theirs is unknown",
            );
            checked.verdict = Verdict::Impossible(why);
            return Ok(checked);
        };
        checked.verdict = Verdict::of(&row.printed, &cut.lead, &terms.of(row))?;
        if let Some(gears) = &row.gears {
            let (set, idler) = self.set(gears, &cut.setting.last)?;
            (checked.lacks, checked.fit, checked.idler) = (set.given.lacks, set.fit, idler);
        }
        if !checked.verdict.holds() {
            checked.explanations = explain(self, row, beside, &cut, terms)?;
        }
        checked.cut = Some(cut);
        Ok(checked)
    }

    /// The train from the box and on the bracket; with a free idler the first owned one that fits.
    fn set(&self, gears: &Gears, last: &End) -> Result<(Set, Option<Teeth>)> {
        let plain = set(self.lathe, &self.room, &gears.train, last)?;
        if !gears.free_idler {
            return Ok((plain, None));
        }
        let lacks = plain.given.lacks.len();
        let mut nearest = (Set { fit: Fit::NotChecked, ..plain }, None);
        if matches!(self.room, Room::Unasked) {
            return Ok(nearest);
        }
        let mut idlers: Vec<Teeth> = self.lathe.parts().gears.all().map(|g| g.teeth).collect();
        idlers.sort_unstable();
        idlers.dedup();
        for idler in idlers {
            let Some(train) = with_idler(&gears.train, idler) else { continue };
            let with = set(self.lathe, &self.room, &train, last)?;
            if with.given.lacks.len() > lacks {
                continue;
            }
            let state = with.fit.state();
            // What is too close to call comes before what does not fit.
            let closer = state.is_open() && !nearest.0.fit.state().is_open();
            let fits = state == FitState::Fits;
            if fits || closer || nearest.1.is_none() {
                nearest = (with, Some(idler));
            }
            if fits {
                break;
            }
        }
        Ok(nearest)
    }
}

/// The train with an idler behind its driving gear.
fn with_idler(train: &Train, idler: Teeth) -> Option<Train> {
    let mut shafts = train.shafts().to_vec();
    shafts.insert(1, Shaft::One(Gear::new(idler)));
    Train::new(shafts).ok()
}

#[cfg(test)]
mod tests {
    use super::super::cause::Cause;
    use super::super::row::Unit;
    use super::*;
    use crate::chart::Printed;
    use crate::{GearSet, Gearbox, Lever, LeverPosition, Parts, Turns};
    use crate::{Lead, Travel};

    /// Range 1, 1/2, 1/3, 1/6 and Cone 1, 2/3, 3/4 after a screw of 8 TPI.
    fn two_levers() -> Lathe {
        let mut gears = GearSet::new();
        gears.add(Gear::new(Teeth::new(40).unwrap()), 2).unwrap();
        let lever = |name: &str, ratios: &[&str]| {
            let at = |(i, ratio): (usize, &&str)| {
                let ratio = Some(ratio.parse().unwrap());
                LeverPosition::new(format!("{}", i + 1), ratio, Turns::Same)
            };
            let positions = ratios.iter().enumerate().map(at).collect();
            Lever { name: name.to_owned(), positions }
        };
        let mut parts = Parts::plain(gears, Lead::from_tpi("8".parse().unwrap()).unwrap());
        let levers =
            vec![lever("Range", &["1", "1/2", "1/3", "1/6"]), lever("Cone", &["1", "2/3", "3/4"])];
        parts.gearbox = Gearbox { levers, ..Gearbox::default() };
        Lathe::new(parts).unwrap()
    }

    /// Positions of both levers that correct a row with both at 1, likeliest first; each with
    /// whether it is as likely as the one before.
    fn right_levers(tpi: &str) -> Vec<(Vec<usize>, bool)> {
        let lathe = two_levers();
        let printed = Printed::new(tpi, Unit::Tpi, Travel::Thread).unwrap();
        let at_1 = |lever: &str| (lever.to_owned(), "1".to_owned());
        let mut row = ChartRow::new(printed).with_gears(Gears::new("40-40".parse().unwrap()));
        row.levers = vec![at_1("Range"), at_1("Cone")];
        let checked = check(&lathe, &[row], &AllowedErrors::default()).unwrap();
        assert_eq!(checked.rows[0].verdict, Verdict::Wrong);
        let mut before: Option<Explanation> = None;
        let mut found = Vec::new();
        for explanation in &checked.rows[0].explanations {
            let Cause::Levers(setting) = &explanation.cause else { continue };
            let same = before.as_ref().is_some_and(|b| b.is_as_likely_as(explanation));
            found.push((setting.levers.clone(), same));
            before = Some(explanation.clone());
        }
        found
    }

    #[test]
    fn two_levers_moved_at_once_are_less_likely_than_one() {
        // 32 TPI, 1/4 in all: no position of one lever gives it, 1/3 x 3/4 does.
        assert_eq!(right_levers("32"), [(vec![2, 2], false)]);
        // 24 TPI, 1/3 in all: Range alone, two positions further; or Range and Cone, 1/2 x 2/3.
        assert_eq!(right_levers("24"), [(vec![2, 0], false), (vec![1, 1], false)]);
        // 48 TPI, 1/6 in all: Range alone, at its end; no pair of positions.
        assert_eq!(right_levers("48"), [(vec![3, 0], false)]);
        // 72 TPI, 1/9 in all: 1/6 x 2/3.
        assert_eq!(right_levers("72"), [(vec![3, 1], false)]);
    }
}
