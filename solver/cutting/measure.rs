//! How long is it, and is that figure exact?

use crate::{Lead, Length, Ratio};
use std::fmt;

/// A length over 0: exact where its formula is rational, else the nearest double.
///
/// ```
/// use solver::cutting::Measure;
/// let half = Measure::from("1/2 in".parse::<solver::Length>()?);
/// assert_eq!((half.mm(), half.inches()), (12.7, 0.5));
/// assert_eq!(half.to_string(), "127/10 mm");
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measure {
    mm: f64,
    exact: Option<Length>,
}

impl Measure {
    /// A rounded one.
    pub(crate) const fn rounded(mm: f64) -> Self {
        Self { mm, exact: None }
    }

    /// In mm.
    pub const fn mm(&self) -> f64 {
        self.mm
    }

    /// In inches.
    pub fn inches(&self) -> f64 {
        self.exact.and_then(|e| e.inches().ok()).map_or(self.mm / 25.4, |inches| inches.to_f64())
    }

    /// Exactly, where it is a fraction.
    pub const fn exact(&self) -> Option<Length> {
        self.exact
    }

    /// The sum: rounded where a part is, or where a fraction is out of range.
    pub(super) fn plus(&self, other: &Self) -> Self {
        let sum = |(a, b): (Length, Length)| a.mm().plus(&b.mm()).ok();
        Self::of(self.exact.zip(other.exact).and_then(sum), self.mm + other.mm)
    }

    /// The difference; `None`: nothing is left.
    pub(super) fn less(&self, other: &Self) -> Option<Self> {
        let apart = |(a, b): (Length, Length)| a.mm().apart(&b.mm()).ok().flatten();
        let left = self.mm - other.mm;
        (left > 0.0).then(|| Self::of(self.exact.zip(other.exact).and_then(apart), left))
    }

    /// Twice it.
    pub(super) fn twice(&self) -> Self {
        self.plus(self)
    }

    /// Half of it.
    pub(super) fn half(&self) -> Self {
        Factor::Exact(Ratio::table(1, 2)).of(self)
    }

    fn of(exact: Option<Ratio>, mm: f64) -> Self {
        exact.map_or(Self::rounded(mm), |exact| Self::from(Length::from_mm(exact)))
    }
}

impl From<Length> for Measure {
    fn from(length: Length) -> Self {
        Self { mm: length.mm().to_f64(), exact: Some(length) }
    }
}

impl From<Lead> for Measure {
    fn from(lead: Lead) -> Self {
        let exact = (!lead.has_pi()).then(|| Length::from_mm(lead.mm()));
        exact.map_or(Self::rounded(lead.to_f64()), Self::from)
    }
}

/// `3/2 mm`, or `about 1.29904 mm` where it is rounded.
impl fmt::Display for Measure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.exact {
            Some(exact) => exact.fmt(f),
            None => write!(f, "about {:.5} mm", self.mm),
        }
    }
}

/// A multiple: exact where it is a fraction.
#[derive(Debug, Clone, Copy)]
pub(super) enum Factor {
    Exact(Ratio),
    Rounded(f64),
}

impl Factor {
    pub(super) fn of(self, unit: &Measure) -> Measure {
        let exact = match self {
            Self::Exact(factor) => unit.exact.and_then(|u| u.mm().times(&factor).ok()),
            Self::Rounded(_) => None,
        };
        Measure::of(exact, unit.mm * self.to_f64())
    }

    fn to_f64(self) -> f64 {
        match self {
            Self::Exact(factor) => factor.to_f64(),
            Self::Rounded(factor) => factor,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fraction_that_no_longer_fits_is_rounded_and_says_so() {
        let of = |n: u128, d: u128| Measure::from(Length::from_mm(Ratio::new(n, d).unwrap()));
        let (a, b) = (of(1, u128::MAX), of(1, u128::MAX - 2));
        assert_eq!(a.plus(&b).exact(), None);
        assert_eq!(of(1, 3).plus(&of(1, 6)).exact(), Some("1/2 mm".parse().unwrap()));
        assert_eq!(Measure::rounded(1.0 / 3.0).to_string(), "about 0.33333 mm");
        let inches = [Measure::rounded(50.8).inches(), of(254, 5).inches()];
        assert!(inches.iter().all(|inch| (inch - 2.0).abs() < 1e-12), "{inches:?}");
    }

    #[test]
    fn nothing_is_left_of_as_much() {
        let mm = |text: &str| Measure::from(text.parse::<Length>().unwrap());
        assert_eq!(mm("1 mm").less(&mm("1 mm")), None);
        assert_eq!(mm("1 mm").less(&mm("2 mm")), None);
        assert_eq!(mm("1 mm").less(&mm("0.25 mm")), Some(mm("3/4 mm")));
    }
}
