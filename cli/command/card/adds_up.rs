//! Does the error of the lead matter? A figure and words, never a verdict where something carries load.

use super::Card;
use super::page::Page;
use crate::report::{Role, Text};
use crate::words::size::{self, Mm};
use crate::words::verdict::per_cent;
use solver::job::{Basis, ErrorOverLength};
use solver::tolerance::LengthBasis;

/// Two lines at the head of the card.
pub(super) fn facts(card: &Card<'_>, adds_up: &ErrorOverLength) -> Vec<(&'static str, Text)> {
    if card.entry.error.is_zero() {
        return Vec::new();
    }
    let basis = match adds_up.basis {
        Basis::Stated => "as stated",
        Basis::Usual(LengthBasis::GroupN) => "the longest normal engagement",
        Basis::Usual(LengthBasis::Diameter) => "one diameter",
        Basis::Usual(LengthBasis::NinePitches) => "nine pitches",
        Basis::Usual(_) => "assumed; --over for another",
    };
    let way = if adds_up.along_mm < 0.0 { "short" } else { "long" };
    let along = format!(
        "{} µm {way} over {} ({basis})",
        micrometres(adds_up.along_mm.abs()),
        size::both(&adds_up.over)
    );
    let on_diameter = adds_up.on_diameter_mm.map(|mm| {
        let takes = format!(", which is {} µm on the pitch diameter", micrometres(mm));
        match (adds_up.share, &adds_up.tolerance, card.job.limits) {
            (Some(share), Some(tolerance), Some(limits)) => format!(
                "{takes}: {} of the {} µm that {} allows",
                per_cent(share),
                micrometres(tolerance.mm_rounded()),
                limits.class()
            ),
            _ => takes,
        }
    });
    let all_of_it = adds_up.share.is_some_and(|share| share > 1.0);
    let role = if all_of_it { Role::Warning } else { Role::Plain };
    let text = Text::from(along).and(role, on_diameter.unwrap_or_default());
    vec![("adds up to", text)]
}

/// What is said where there is an error.
pub(super) fn write(card: &Card<'_>, page: &mut Page) {
    if !card.entry.error.is_zero() && !card.is_feed() {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_figures_keep_a_decimal_and_large_ones_don_t() {
        assert_eq!([0.0019, 0.00994, 0.132].map(micrometres), ["1.9", "9.9", "132"]);
    }
}
