//! The chart that a known lathe should have: the everyday threads and feeds by the fewest different
//! trains, and every position of the levers that these leave out.

use crate::asked::wanted::Wanted;
use crate::files::OpenChart;
use solver::bracket::Fit;
use solver::chart::{self, AllowedErrors, ChartRow, Gears, HEADSTOCK, Printed, Unit};
use solver::plan::{Step, TrainTable};
use solver::search::Options;
use solver::{Lathe, Lead, Result, Setting, Shaft, Train, Travel, Watch};

/// A feed on a chart: four decimals.
const FEED: &str = "1.0000";

/// The rows for these lines, inch threads first, then metric ones, then feeds; after them what the
/// other positions of the levers cut.
///
/// # Errors
/// If the lathe leaves something unknown that is needed.
pub(super) fn chart(lathe: &Lathe, wanted: &[Wanted], terms: &AllowedErrors) -> Result<OpenChart> {
    let lines = wanted.iter().map(|w| w.line.clone()).collect();
    let table = TrainTable::new(lathe, lines, &Options::default().with_pairs(2), Watch::none())?;
    let plan = table.fewest_trains()?;
    let mut rows = Vec::new();
    for step in &plan.steps {
        rows.extend(row_of(lathe, &table, step)?);
    }
    rows.sort_by_cached_key(|row| (place(row.printed.unit(), row.printed.travel()), down(row)));
    for travel in [Travel::Thread, Travel::LongFeed, Travel::CrossFeed] {
        for setting in settings(lathe, travel) {
            let levers = levers_of(lathe, &setting);
            let known = |row: &ChartRow| row.levers == levers && row.printed.travel() == travel;
            if !levers.is_empty() && !rows.iter().any(known) {
                rows.extend(standing(lathe, travel, &setting, terms)?);
            }
        }
    }
    Ok(OpenChart::of_rows(format!("of {}", lathe.parts().name), rows))
}

/// Inch threads, metric threads, feeds.
const fn place(unit: Unit, travel: Travel) -> (Travel, bool) {
    (travel, !matches!(unit, Unit::Tpi | Unit::Inch))
}

/// Coarse threads first.
fn down(row: &ChartRow) -> std::cmp::Reverse<Option<Lead>> {
    std::cmp::Reverse(row.printed.lead().ok())
}

/// The settings for a travel, where the lathe has it.
fn settings(lathe: &Lathe, travel: Travel) -> Vec<Setting> {
    lathe.settings(travel).map(|settings| settings.list).unwrap_or_default()
}

/// The levers as a row names them.
fn levers_of(lathe: &Lathe, setting: &Setting) -> solver::When {
    let headstock = lathe.headstock_name(setting).map(|name| (HEADSTOCK, name));
    let names = headstock.into_iter().chain(lathe.lever_names(setting));
    names.map(|(lever, position)| (lever.to_owned(), position.to_owned())).collect()
}

/// The row of a line that is reached.
fn row_of(lathe: &Lathe, table: &TrainTable<'_>, step: &Step) -> Result<Option<ChartRow>> {
    let Some((line, search)) = table.lines().get(step.line).zip(table.search(step.line)) else {
        return Ok(None);
    };
    let Some(printed) = printed(&line.lead, line.travel)? else { return Ok(None) };
    let mut row = ChartRow::new(printed).with_gears(Gears::new(step.solution.train.clone()));
    let setting = search.settings().get(step.solution.setting);
    row.levers = setting.map(|setting| levers_of(lathe, setting)).unwrap_or_default();
    Ok(Some(row))
}

/// What a setting cuts with the train that is fitted, or with another last gear in it where the
/// setting wants one. Nothing where no such train stands.
fn standing(
    lathe: &Lathe,
    travel: Travel,
    setting: &Setting,
    terms: &AllowedErrors,
) -> Result<Option<ChartRow>> {
    let Some(fitted) = lathe.parts().fitted.as_ref() else { return Ok(None) };
    let levers = levers_of(lathe, setting);
    for train in trains(lathe, &fitted.train) {
        // Any figure will do to learn what is cut.
        let any = Printed::new("1", Unit::Mm, travel)?;
        let mut row = ChartRow::new(any).with_gears(Gears::new(train));
        row.levers.clone_from(&levers);
        let check = chart::check(lathe, std::slice::from_ref(&row), terms)?;
        let Some(checked) = check.rows.first() else { continue };
        let stands = checked.lacks.is_empty() && !matches!(checked.fit, Fit::Refused(_));
        if let Some(cut) = checked.cut.as_ref().filter(|_| stands)
            && let Some(printed) = printed(&cut.lead, travel)?
        {
            row.printed = printed;
            return Ok(Some(row));
        }
    }
    Ok(None)
}

/// The fitted train, then the same with every other last gear.
fn trains(lathe: &Lathe, fitted: &Train) -> Vec<Train> {
    let mut trains = vec![fitted.clone()];
    let Some((_, before)) = fitted.shafts().split_last() else { return trains };
    for gear in lathe.parts().gears.all() {
        let shafts = before.iter().copied().chain([Shaft::One(*gear)]).collect();
        trains.extend(Train::new(shafts).ok());
    }
    trains
}

/// A lead as a chart prints it: threads exactly, in TPI where that is the shorter figure; feeds in mm
/// to four decimals. Nothing where too little is left of a feed.
fn printed(lead: &Lead, travel: Travel) -> Result<Option<Printed>> {
    let (like, units) = match (travel, lead.has_pi()) {
        (Travel::Thread, true) => ("1", &[Unit::Module][..]),
        (Travel::Thread, false) => ("1", &[Unit::Mm, Unit::Tpi][..]),
        _ => (FEED, &[Unit::Mm][..]),
    };
    let mut shortest: Option<(String, Unit)> = None;
    for &unit in units {
        let draft = Printed::new(like, unit, travel)?;
        let Some((text, exact)) = chart::right(&draft, lead)? else { continue };
        let whole = draft.value_of(lead)?.filter(|_| !exact && !travel.is_feed());
        let text = whole.map_or(text, |value| value.to_string());
        if shortest.as_ref().is_none_or(|(known, _)| text.len() < known.len()) {
            shortest = Some((text, unit));
        }
    }
    Ok(shortest.and_then(|(text, unit)| Printed::new(&text, unit, travel).ok()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(lead: &str, travel: Travel) -> Option<String> {
        let lead = Lead::new(lead.parse().unwrap());
        let printed = printed(&lead, travel).unwrap()?;
        Some(format!("{} {}", printed.text(), printed.unit()))
    }

    #[test]
    fn figures_are_those_of_a_plate() {
        let of = |lead| shown(lead, Travel::Thread).unwrap();
        assert_eq!(of("1.25 mm"), "1.25 mm");
        assert_eq!(of("127/60 mm"), "12 tpi");
        assert_eq!(of("254/115 mm"), "11.5 tpi");
        assert_eq!(of("7/6 mm"), "1 1/6 mm");
        assert_eq!(shown("0.1 mm", Travel::LongFeed).unwrap(), "0.1000 mm");
        assert_eq!(shown("1/3 mm", Travel::LongFeed).unwrap(), "0.3333 mm");
    }
}
