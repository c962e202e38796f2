//! Lengths for the shop: to 0.001 mm and 0.0001 in, both ways, as they are set and measured.

use crate::words::figures::rounded;
use solver::cutting::Measure;
use solver::{Lead, Length, Ratio};

/// mm in an inch (exact by definition, ISO 31-1).
const INCH: f64 = 25.4;

/// A length of any kind.
pub(crate) trait Mm {
    /// In mm.
    fn value(&self) -> f64;

    /// In mm, rounded to a millionth.
    fn mm_rounded(&self) -> f64 {
        rounded(self.value(), 6)
    }

    /// In inches, rounded to a ten-millionth.
    fn inches_rounded(&self) -> f64 {
        rounded(self.value() / INCH, 7)
    }
}

impl Mm for f64 {
    fn value(&self) -> f64 {
        *self
    }
}

impl Mm for Length {
    fn value(&self) -> f64 {
        self.mm().to_f64()
    }
}

impl Mm for Lead {
    fn value(&self) -> f64 {
        self.to_f64()
    }
}

impl Mm for Measure {
    fn value(&self) -> f64 {
        self.mm()
    }
}

/// `15.002 mm (0.5906 in)`.
pub(crate) fn both(length: &impl Mm) -> String {
    format!("{} mm ({} in)", mm(length), inches(length))
}

/// A feed, finer: `0.0318 mm (0.00125 in)`.
pub(crate) fn fine(length: &impl Mm) -> String {
    format!("{:.4} mm ({:.5} in)", length.mm_rounded(), length.inches_rounded())
}

/// `15.002`.
pub(crate) fn mm(length: &impl Mm) -> String {
    format!("{:.3}", length.mm_rounded())
}

/// `0.5906`.
pub(crate) fn inches(length: &impl Mm) -> String {
    format!("{:.4}", length.inches_rounded())
}

/// `9.732 to 9.968 mm (0.3831 to 0.3924 in)`.
pub(crate) fn range([least, greatest]: [&impl Mm; 2]) -> String {
    format!("{} to {} mm ({} to {} in)", mm(least), mm(greatest), inches(least), inches(greatest))
}

/// A fraction as a mixed number, as turns and angles are counted: `2 7/60`, `29 1/2`.
pub(crate) fn mixed(ratio: &Ratio) -> String {
    let (whole, rest) = (ratio.numer() / ratio.denom(), ratio.numer() % ratio.denom());
    match (whole, rest) {
        (_, 0) => whole.to_string(),
        (0, _) => format!("{rest}/{}", ratio.denom()),
        _ => format!("{whole} {rest}/{}", ratio.denom()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_said_both_ways() {
        let length: Length = "381/2 mm".parse().unwrap();
        assert_eq!(both(&length), "190.500 mm (7.5000 in)");
        let module = Lead::times_pi("1 mm".parse().unwrap());
        assert_eq!(both(&module), "3.142 mm (0.1237 in)");
    }

    #[test]
    fn turns_are_mixed_numbers() {
        for (text, words) in [("127/60", "2 7/60"), ("59/2", "29 1/2"), ("3", "3"), ("1/3", "1/3")]
        {
            assert_eq!(mixed(&text.parse().unwrap()), words);
        }
    }
}
