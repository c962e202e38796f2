//! Lengths for the shop: to 0.001 mm and 0.0001 in, both ways, as they are set and measured.

use crate::report::job::Size;
use crate::words::figures::rounded;
use solver::cutting::Measure;
use solver::{Lead, Length, Ratio};

/// mm in an inch (exact by definition, ISO 31-1).
const INCH: f64 = 25.4;

/// A lead or a travel.
pub(super) fn of_lead(lead: &Lead) -> Size {
    let pi = if lead.has_pi() { " pi" } else { "" };
    Size { exact_mm: Some(format!("{}{pi}", lead.mm())), ..of_mm(lead.to_f64()) }
}

/// An exact length.
pub(super) fn of_length(length: &Length) -> Size {
    Size { exact_mm: Some(length.mm().to_string()), ..of_mm(length.mm().to_f64()) }
}

/// A length that may hold a root or an angle.
pub(super) fn of_measure(measure: &Measure) -> Size {
    measure.exact().map_or_else(|| of_mm(measure.mm()), |exact| of_length(&exact))
}

/// A rounded length.
pub(super) fn of_mm(mm: f64) -> Size {
    Size { mm: rounded(mm, 6), inches: rounded(mm / INCH, 7), exact_mm: None }
}

/// `15.002 mm (0.5906 in)`.
pub(super) fn both(size: &Size) -> String {
    format!("{} mm ({} in)", mm(size), inches(size))
}

/// A feed, finer: `0.0318 mm (0.00125 in)`.
pub(super) fn fine(size: &Size) -> String {
    format!("{:.4} mm ({:.5} in)", size.mm, size.inches)
}

/// `15.002`.
pub(super) fn mm(size: &Size) -> String {
    format!("{:.3}", size.mm)
}

/// `0.5906`.
pub(super) fn inches(size: &Size) -> String {
    format!("{:.4}", size.inches)
}

/// A fraction as a mixed number, as turns and angles are counted: `2 7/60`, `29 1/2`.
pub(super) fn mixed(ratio: &Ratio) -> String {
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
        let size = of_length(&"381/2 mm".parse().unwrap());
        assert_eq!(both(&size), "190.500 mm (7.5000 in)");
        assert_eq!(size.exact_mm.as_deref(), Some("381/2"));
        let module = of_lead(&Lead::times_pi("1 mm".parse().unwrap()));
        assert_eq!(both(&module), "3.142 mm (0.1237 in)");
        assert_eq!(module.exact_mm.as_deref(), Some("1 pi"));
    }

    #[test]
    fn turns_are_mixed_numbers() {
        for (text, words) in [("127/60", "2 7/60"), ("59/2", "29 1/2"), ("3", "3"), ("1/3", "1/3")]
        {
            assert_eq!(mixed(&text.parse().unwrap()), words);
        }
    }
}
