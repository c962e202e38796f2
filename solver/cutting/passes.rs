//! How deep is each pass, if every one takes off as much?
//!
//! A pointed tool at depth h has taken off an area that grows with h squared, so that equal chips mean
//! marks at h sqrt(n / N): geometry of similar triangles. For forms with flat roots the first passes
//! take off more. That chips should be equal is common practice, no source.

use super::Measure;
use crate::{Length, Result, bounds};

/// Marks on the dial after each pass: the last is the whole depth.
///
/// ```
/// use solver::cutting::{Measure, passes};
/// let depth = Measure::from("0.9 mm".parse::<solver::Length>()?);
/// let marks: Vec<String> = passes(&depth, 4)?.iter().map(|mm| format!("{mm:.2}")).collect();
/// assert_eq!(marks, ["0.45", "0.64", "0.78", "0.90"]);
/// # Ok::<(), solver::Error>(())
/// ```
///
/// # Errors
/// If there are none or too many.
pub fn passes(depth: &Measure, count: u32) -> Result<Vec<f64>> {
    bounds::PASSES.check(count.into())?;
    let whole = f64::from(count);
    Ok((1..=count).map(|n| depth.mm() * (f64::from(n) / whole).sqrt()).collect())
}

/// The fewest passes of which the first is no deeper than `first`; within [`bounds::PASSES`].
///
/// ```
/// use solver::cutting::{Measure, passes_for};
/// let depth = Measure::from("0.9 mm".parse::<solver::Length>()?);
/// assert_eq!(passes_for(&depth, "0.3 mm".parse()?), 9); // 0.9 / sqrt(9)
/// # Ok::<(), solver::Error>(())
/// ```
pub fn passes_for(depth: &Measure, first: Length) -> u32 {
    let times = depth.mm() / first.mm().to_f64();
    // A depth of exactly n firsts is n squared passes, whatever the last bit says.
    let count = (times * times - 1e-9).ceil();
    let most = u32::try_from(bounds::PASSES.high).unwrap_or(u32::MAX);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
    let count = count.clamp(1.0, f64::from(most)) as u32;
    count
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(text: &str) -> Length {
        text.parse().unwrap()
    }

    /// The area under a depth is a triangle: h squared times a constant.
    #[test]
    fn every_pass_takes_off_as_much() {
        let marks = passes(&mm("1.3 mm").into(), 13).unwrap();
        let areas: Vec<f64> = marks.iter().map(|h| h * h).collect();
        let mut before = 0.0;
        for area in areas {
            assert!((area - before - 1.69 / 13.0).abs() < 1e-12);
            before = area;
        }
        assert!((marks[12] - 1.3).abs() < 1e-12);
    }

    #[test]
    fn passes_are_bounded() {
        let depth = mm("1 mm").into();
        assert!(passes(&depth, 0).unwrap_err().is_range());
        assert!(passes(&depth, 201).unwrap_err().is_range());
        assert_eq!(passes_for(&depth, mm("2 mm")), 1);
        assert_eq!(passes_for(&depth, mm("0.001 mm")), 200);
        assert_eq!(passes_for(&depth, mm("0.5 mm")), 4);
        assert_eq!(passes_for(&depth, mm("0.499 mm")), 5);
    }
}
