//! What is wrong with a row, and what was learned, in words for the owner of the machine.

use crate::words::figures;
use crate::words::shop as words;
use solver::chart::{Cause, ChartRow, Explanation, Printed, RowGroup, Unit, Verdict};
use solver::{Lathe, Lead, Length, Ratio, Travel};

/// A word for programs, the same for all verdicts of a kind.
pub(super) const fn verdict(verdict: &Verdict) -> &'static str {
    match verdict {
        Verdict::Exact => "exact",
        Verdict::Rounded => "rounded",
        Verdict::Approximate => "near",
        Verdict::Wrong => "wrong",
        Verdict::Impossible(_) => "impossible",
        _ => "unknown",
    }
}

/// `11 1/2 tpi`, `module 1`, `0.1 mm/rev cross`: as a chart file says it.
pub(super) fn printed(printed: &Printed) -> String {
    figure(printed, printed.text())
}

/// The same with other digits.
pub(super) fn figure(printed: &Printed, digits: &str) -> String {
    let unit = match printed.unit() {
        Unit::Module => return format!("module {digits}"),
        Unit::Dp => format!("{digits} DP"),
        unit => format!("{digits} {unit}"),
    };
    match printed.travel() {
        Travel::Thread => unit,
        // Turns of feed in one inch, too, are said of one turn of the spindle.
        Travel::LongFeed => format!("{unit}/rev"),
        Travel::CrossFeed => format!("{unit}/rev cross"),
    }
}

/// The gears as a chart file says them.
pub(super) fn train(row: &ChartRow) -> Option<String> {
    row.gears.as_ref().map(|gears| with_idler(row, &gears.train))
}

/// The set-up of a row: gears and levers.
pub(super) fn set_up(row: &ChartRow) -> String {
    let levers = (!row.levers.is_empty()).then(|| words::when(&row.levers));
    let parts: Vec<String> = train(row).into_iter().chain(levers).collect();
    if parts.is_empty() { "the gears on the machine".to_owned() } else { parts.join(", ") }
}

/// A kind of cause, for programs.
pub(super) const fn kind(cause: &Cause) -> &'static str {
    match cause {
        Cause::Teeth { .. } => "teeth",
        Cause::Partner { .. } => "partner",
        Cause::PairForIdler { .. } => "pair for idler",
        Cause::IdlerForPair { .. } => "idler for pair",
        Cause::TurnedRound { .. } => "turned round",
        Cause::Swapped { .. } => "swapped",
        Cause::Value { .. } => "value",
        Cause::Unit(_) => "unit",
        Cause::Levers(_) => "levers",
        _ => "approximation",
    }
}

/// What may be wrong, and what would be right.
///
/// `box_known`: whether it is known which gears are owned.
pub(super) fn explanation(
    lathe: &Lathe,
    row: &ChartRow,
    explanation: &Explanation,
    box_known: bool,
) -> String {
    let not_owned = if explanation.owned || !box_known { "" } else { " (not owned)" };
    let text = match &explanation.cause {
        Cause::Teeth { says, right, train, .. } => {
            format!("{right} in place of the {says}: {}{not_owned}", with_idler(row, train))
        }
        Cause::Partner { says, right, train } => {
            format!("a {right} beside the 127, not a {says}: {train}{not_owned}")
        }
        Cause::PairForIdler { train } => {
            format!("two gears keyed together, not an idler alone: {train}{not_owned}")
        }
        Cause::IdlerForPair { train } => {
            format!("an idler alone, not two gears keyed together: {train}{not_owned}")
        }
        Cause::TurnedRound { train } => {
            format!("gears in each other's place: {}", with_idler(row, train))
        }
        Cause::Swapped { gears: [a, b], train } => {
            format!("the {a} and the {b} in each other's place: {}", with_idler(row, train))
        }
        Cause::Value { right, exact } => {
            let about = if *exact { "" } else { "about " };
            format!("the figure: this set-up cuts {about}{}", figure(&row.printed, right))
        }
        Cause::Unit(unit) => match unit {
            Unit::Module => format!("the unit: module {}", row.printed.text()),
            unit => format!("the unit: {} {unit}", row.printed.text()),
        },
        Cause::Levers(setting) => {
            let names: Vec<String> =
                lathe.lever_names(setting).map(|(l, p)| format!("{l} {p}")).collect();
            let head = lathe.headstock_name(setting).map(|name| format!("headstock {name}"));
            let all: Vec<String> = head.into_iter().chain(names).collect();
            format!("the levers: {}", all.join(", "))
        }
        _ => "nothing: the maker came no nearer".to_owned(),
    };
    if explanation.exact || matches!(explanation.cause, Cause::Value { .. }) {
        text
    } else {
        format!("{text} (near)")
    }
}

/// A train with the free idler of a row: `40-*-57`.
fn with_idler(row: &ChartRow, train: &solver::Train) -> String {
    let free = row.gears.as_ref().is_some_and(|gears| gears.free_idler);
    let text = train.to_string();
    match text.split_once('-') {
        Some((first, rest)) if free => format!("{first}-*-{rest}"),
        _ => text,
    }
}

/// Rows for another machine.
pub(super) fn group(lathe: &Lathe, group: &RowGroup, lines: &str, feed: bool) -> String {
    let parts = lathe.parts();
    let count = group.rows.len();
    let right = if group.exact == count { "exact" } else { "right" };
    let rows = format!("{count} rows are for another lathe (lines {lines})");
    match (group.screw, parts.lead_screw.lead, parts.screw_constant) {
        (Some(screw), _, _) if feed => {
            format!("{rows}: they are {right} with a feed of {} in one turn.", words::feed(&screw))
        }
        (Some(screw), Some(own), None) => format!(
            "{rows}: with a lead screw of {} they are {right}; this lathe has {}.",
            words::lead(&screw),
            words::lead(&own)
        ),
        (Some(constant), _, Some(own)) => format!(
            "{rows}: they are {right} where equal gears cut {}; here equal gears cut {}.",
            words::lead(&constant),
            words::lead(&own)
        ),
        _ => {
            let factor = figures::measure(&group.factor).marked();
            format!("{rows}: one that cuts {factor} times as long a lead.")
        }
    }
}

/// A length that was learned, both ways.
pub(super) fn length(mm: &Ratio, feed: bool) -> String {
    let lead = Lead::new(Length::from_mm(*mm));
    if feed { words::feed(&lead) } else { words::lead(&lead) }
}

/// Line numbers: `13-22, 25`.
pub(super) fn lines(all: &[usize]) -> String {
    let runs = all.chunk_by(|a, b| a + 1 == *b);
    let words = runs.filter_map(|run| match (run.first()?, run.last()?) {
        (a, b) if a == b => Some(a.to_string()),
        (a, b) => Some(format!("{a}-{b}")),
    });
    words.collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_in_a_row_are_named_by_their_ends() {
        assert_eq!(lines(&[3, 4, 5, 7, 9, 10]), "3-5, 7, 9-10");
        assert_eq!(lines(&[]), "");
    }
}
