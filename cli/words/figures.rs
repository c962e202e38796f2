//! The library's lengths, leads and errors as figures of a report: exact values, digits later.

use crate::report::number::{Digits, Number};
use num_rational::BigRational;
use solver::{Lead, LeadError, Length, Ratio};

/// `1 stud`, `2 studs`.
pub(crate) fn plural(count: usize, thing: &str) -> String {
    let ending = if count == 1 { "" } else { "s" };
    format!("{count} {thing}{ending}")
}

/// A length or an angle: six significant digits.
pub(crate) fn measure(ratio: &Ratio) -> Number {
    Number::measure(ratio.to_big())
}

/// A length in mm as inches, to about a thousandth.
pub(crate) fn inches(mm: &Ratio) -> Number {
    let inches = mm.to_big() / Ratio::INCH.to_big();
    let digits = match mm.to_f64() / 25.4 {
        ..0.01 => 1,
        ..0.1 => 2,
        ..1.0 => 3,
        ..10.0 => 4,
        _ => 5,
    };
    Number::new(inches, Digits::Significant(digits))
}

/// A figure of geometry in doubles: six significant digits.
pub(crate) fn real(value: f64) -> Number {
    Number::real(value, Digits::Significant(6))
}

/// The same where three digits are all that anybody uses: a contact ratio, backlash.
pub(crate) fn rough(value: f64) -> Number {
    Number::real(value, Digits::Significant(3))
}

/// By how many mm something is off: signed, to a hundredth, as calipers are read.
pub(crate) fn off_mm(value: f64) -> Number {
    Number::real(value, Digits::Error(2))
}

/// A lead in mm.
pub(crate) fn lead_mm(lead: &Lead) -> Number {
    measure(&lead.mm()).times_pi(i8::from(lead.has_pi()))
}

/// Threads per inch of a lead.
pub(crate) fn tpi(lead: &Lead) -> Number {
    let inch = Ratio::INCH.to_big();
    Number::measure(inch / lead.mm().to_big()).times_pi(-i8::from(lead.has_pi()))
}

/// A lead in inches.
pub(crate) fn lead_inch(lead: &Lead) -> Number {
    Number::measure(lead.mm().to_big() / Ratio::INCH.to_big()).times_pi(i8::from(lead.has_pi()))
}

/// An error in parts per million.
pub(crate) fn ppm(error: &LeadError) -> Number {
    scaled(error, BigRational::from_integer(1_000_000.into()), Digits::Ppm)
}

/// Whether an error is given in per cent: from 1 % on, and what would round to 10,000 ppm.
pub(crate) fn is_in_per_cent(error: &LeadError) -> bool {
    !Ratio::new(19_999, 2_000_000).is_ok_and(|ppm| error.within(&ppm))
}

/// The size of an error, given in parts of the lead, in parts per million.
pub(crate) fn error_size(size: u128, parts: u64) -> Number {
    let million = BigRational::from_integer(1_000_000.into());
    Number::new(BigRational::new(size.into(), parts.into()) * million, Digits::Significant(2))
}

/// An error in per cent.
pub(crate) fn per_cent(error: &LeadError) -> Number {
    scaled(error, BigRational::from_integer(100.into()), Digits::Error(1))
}

/// An error over a length, in micrometres.
pub(crate) fn adds_up(error: &LeadError, over: &Length) -> Number {
    scaled(error, over.mm().to_big() * BigRational::from_integer(1000.into()), Digits::Micrometres)
}

/// (cut / asked - 1) x scale.
fn scaled(error: &LeadError, scale: BigRational, digits: Digits) -> Number {
    let (quotient, pi) = error.cut_over_asked();
    Number::new(quotient * &scale, digits).times_pi(pi).plus(-scale)
}

/// A double for programs, to some decimals: what lies below is the arithmetic's.
pub(crate) fn rounded(value: f64, decimals: i32) -> f64 {
    let scale = 10_f64.powi(decimals);
    // Without the sum a rounded -1e-9 would be -0.
    (value * scale).round() / scale + 0.0
}

/// A length or an angle of the banjo, to a tenth; `~` in front where that is not all of it.
pub(crate) fn tenth(value: f64) -> String {
    let tenths = (value * 10.0).round();
    let mark = if (tenths - value * 10.0).abs() > 1e-6 { "~" } else { "" };
    // Without the sum a rounded -0.02 would be -0.0.
    format!("{mark}{:.1}", tenths / 10.0 + 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rounded_figure_says_so() {
        assert_eq!(tenth(57.5), "57.5");
        assert_eq!(tenth(38.369), "~38.4");
        assert_eq!(tenth(-0.02), "~0.0");
        assert_eq!(tenth(1.0 - 1e-9), "1.0");
    }
}
