//! Is a train near enough? The verdict on an error in words, the same in every command.

use super::search::part;
use crate::asked::wanted::Wanted;
use crate::report::{Role, Text};
use solver::LeadError;
use solver::tolerance::{Allowed, AllowedBasis, Verdict};
use std::collections::BTreeSet;

/// `inside class 6g (3 % of its tolerance)`.
pub(crate) fn in_words(allowed: &Allowed, error: &LeadError) -> Text {
    let verdict = allowed.verdict(error);
    let stated = allowed.basis() == AllowedBasis::Stated;
    let role = match verdict {
        Verdict::Exact | Verdict::NearEnough => Role::Good,
        _ => Role::Warning,
    };
    let limit = || part(&allowed.part());
    let words = match (verdict, of_class(allowed, error)) {
        (Verdict::Exact, _) => "exact".to_owned(),
        (Verdict::Another, _) => another(allowed).to_owned(),
        (Verdict::NearEnough, Some((class, share))) if !stated => {
            format!("inside class {class} ({share} of its tolerance)")
        }
        (Verdict::Poor, Some((class, share))) if !stated => {
            format!("poor for class {class} ({share} of its tolerance)")
        }
        (Verdict::TooFar, Some((class, share))) if !stated => {
            format!("outside class {class} ({share} of its tolerance)")
        }
        (Verdict::NearEnough, None) => format!("near enough (up to {})", limit()),
        (_, None) => format!("not near enough (over {})", limit()),
        (verdict, Some((class, share))) => {
            let over = if verdict == Verdict::NearEnough { "up to" } else { "over" };
            format!("{over} {}; {share} of the tolerance of class {class}", limit())
        }
    };
    Text::new(role, words)
}

/// What counts as near enough in a list: `a tenth of the class, feeds 1 %`.
pub(crate) fn tolerances<'w>(list: impl Iterator<Item = &'w Wanted>) -> String {
    let of = |wanted: &Wanted| {
        let limit = part(&wanted.allowed.part());
        let words = match (wanted.allowed.basis(), wanted.is_feed()) {
            (AllowedBasis::Class, _) => "a tenth of the class".to_owned(),
            (AllowedBasis::WithoutClass, _) => format!("{limit} without a class"),
            (_, false) => limit,
            (_, true) => format!("feeds {limit}"),
        };
        let in_class = wanted.allowed.basis() == AllowedBasis::Class;
        let limit = (!in_class).then_some(wanted.allowed.part());
        (wanted.is_feed(), limit, words)
    };
    let said: BTreeSet<_> = list.map(of).collect();
    said.into_iter().map(|(_, _, words)| words).collect::<Vec<_>>().join(", ")
}

/// The verdict in a word or two, for a cell; nothing where it is exact.
pub(crate) fn in_short(allowed: &Allowed, error: &LeadError) -> &'static str {
    match allowed.verdict(error) {
        Verdict::Exact => "",
        Verdict::NearEnough => "near enough",
        Verdict::Poor => "poor",
        Verdict::TooFar if allowed.class().is_some() => "outside the class",
        Verdict::TooFar => "too far off",
        Verdict::Another => another(allowed),
    }
}

/// What a lead that is far off belongs to.
pub(crate) const fn another(allowed: &Allowed) -> &'static str {
    if allowed.is_feed() { "another feed" } else { "another thread" }
}

/// The class, and the share of its tolerance that an error uses: `("6g", "3 %")`.
fn of_class(allowed: &Allowed, error: &LeadError) -> Option<(String, String)> {
    Some((allowed.class()?.to_string(), per_cent(allowed.share(error)?)))
}

/// A share in whole per cent: `under 1 %`, `12 %`.
pub(crate) fn per_cent(share: f64) -> String {
    match share * 100.0 {
        ..0.95 => "under 1 %".to_owned(),
        percent => format!("{percent:.0} %"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use solver::{Lead, Ratio, Target};

    fn said(text: &str, ppm: u128, stated: Option<Ratio>) -> String {
        let target: Target = text.parse().unwrap();
        let usual = Allowed::usual(target.thread().as_ref(), target.travel());
        let allowed = stated.map_or(usual, |part| usual.stated(part));
        let scale = Ratio::new(1_000_000 + ppm, 1_000_000).unwrap();
        let cut: Lead = target.lead().times(&scale).unwrap();
        in_words(&allowed, &LeadError::of(&cut, &target.lead())).words()
    }

    #[test]
    fn shares_are_whole_per_cent() {
        assert_eq!([0.002, 0.02, 1.25].map(per_cent), ["under 1 %", "2 %", "125 %"]);
    }

    #[test]
    fn every_verdict_has_its_words() {
        let of = |text, ppm| said(text, ppm, None);
        assert_eq!(of("M10", 0), "exact");
        assert_eq!(of("M10", 125), "inside class 6g (2 % of its tolerance)");
        assert_eq!(of("M10", 606), "poor for class 6g (12 % of its tolerance)");
        assert_eq!(of("M10", 6000), "outside class 6g (118 % of its tolerance)");
        assert_eq!(of("M10", 12_000), "another thread");
        assert_eq!(of("1.5 mm", 125), "near enough (up to 200 ppm)");
        assert_eq!(of("1.5 mm", 606), "not near enough (over 200 ppm)");
        assert_eq!(of("0.1 mm/rev", 20_000), "not near enough (over 1 %)");
        let stated = Ratio::new(1, 10_000).ok();
        assert_eq!(said("M10", 125, stated), "over 100 ppm; 2 % of the tolerance of class 6g");
        assert_eq!(
            said("M10", 20, stated),
            "up to 100 ppm; under 1 % of the tolerance of class 6g"
        );
    }
}
