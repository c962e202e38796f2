//! Does the error of the lead matter? A figure and words, never a verdict where something carries load.

use super::job::Job;
use super::page::Page;
use super::size;
use crate::report::job::Error;
use crate::report::{Role, Text};
use crate::words::figures::rounded;
use solver::tolerance::{self, LengthBasis};
use solver::{Length, Result};

/// What the error comes to over the length that the mate holds; `None` for a feed.
///
/// # Errors
/// None for the angles of threads.
pub(super) fn of(job: &Job<'_>) -> Result<Option<Error>> {
    if job.is_feed() {
        return Ok(None);
    }
    let (over, over_is) = length(job);
    let half = job.cut.map(|cut| cut.form().half_angle());
    let drift = half.map(|half| tolerance::drift(&job.entry.error, &over, &half)).transpose()?;
    let tolerance = job.limits.map(|limits| limits.pitch_tolerance());
    let along = job.entry.error.ppm() / 1e6 * over.mm().to_f64();
    let share = drift.zip(tolerance).map(|(drift, tolerance)| drift.share(&tolerance));
    Ok(Some(Error {
        over: size::of_length(&over),
        over_is,
        along_mm: rounded(along, 7),
        on_diameter_mm: drift.map(|drift| rounded(drift.on_diameter(), 7)),
        tolerance: tolerance.map(|tolerance| size::of_length(&tolerance)),
        share: share.map(|share| rounded(share, 7)),
    }))
}

fn length(job: &Job<'_>) -> (Length, &'static str) {
    if let Some(over) = job.work.over {
        return (over, "stated");
    }
    let (length, basis) = tolerance::default_length(job.target().thread().as_ref());
    let word = match basis {
        LengthBasis::GroupN => "group N",
        LengthBasis::Diameter => "diameter",
        _ => "unnamed",
    };
    (length, word)
}

/// Two lines at the head of the card.
pub(super) fn facts(job: &Job<'_>, error: &Error) -> Vec<(&'static str, Text)> {
    if job.entry.error.is_zero() {
        return Vec::new();
    }
    let basis = match error.over_is {
        "stated" => "as stated",
        "group N" => "the longest normal engagement",
        "diameter" => "one diameter",
        _ => "assumed; --over for another",
    };
    let way = if error.along_mm < 0.0 { "short" } else { "long" };
    let drift = format!(
        "{} µm {way} over {} ({basis})",
        micrometres(error.along_mm.abs()),
        size::both(&error.over)
    );
    let on_diameter = error.on_diameter_mm.map(|mm| {
        let takes = format!(", which is {} µm on the pitch diameter", micrometres(mm));
        match (error.share, &error.tolerance, job.limits) {
            (Some(share), Some(tolerance), Some(limits)) => format!(
                "{takes}: {} of the {} µm that {} allows",
                per_cent(share),
                micrometres(tolerance.mm),
                limits.class()
            ),
            _ => takes,
        }
    });
    let all_of_it = error.share.is_some_and(|share| share > 1.0);
    let role = if all_of_it { Role::Warning } else { Role::Plain };
    let text = Text::from(drift).and(role, on_diameter.unwrap_or_default());
    vec![("drift", text)]
}

/// What is said where there is an error.
pub(super) fn write(job: &Job<'_>, page: &mut Page) {
    if !job.entry.error.is_zero() && !job.is_feed() {
        page.note(
            "Is that near enough? Where pressure, lifting, vehicles, aircraft, firearms or structures \
             depend on it, a qualified person and the standard decide.",
        );
    }
}

/// mm as micrometres with two or three digits.
fn micrometres(mm: f64) -> String {
    let um = mm * 1000.0;
    match um {
        ..9.95 => format!("{um:.1}"),
        _ => format!("{um:.0}"),
    }
}

fn per_cent(share: f64) -> String {
    match share * 100.0 {
        ..0.95 => "under 1 %".to_string(),
        percent => format!("{percent:.0} %"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_figures_keep_a_decimal_and_large_ones_don_t() {
        assert_eq!([0.0019, 0.00994, 0.132].map(micrometres), ["1.9", "9.9", "132"]);
        assert_eq!([0.002, 0.02, 1.25].map(per_cent), ["under 1 %", "2 %", "125 %"]);
    }
}
