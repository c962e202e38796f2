//! How deep is each pass, if all chips are equal?
//!
//! A chip is the area that the tool's [`Outline`] gains from one depth to the next. Depths are
//! placed so that all chips are equal: for a sharp point at h sqrt(n / N); a nose or a flat goes
//! less deep first. No pass is shallower than 0.02 mm, where a tool rubs; beyond that depth the
//! passes are even and the chips grow. Solved by halving to a millionth of a micrometre.
//!
//! Equal chips, the greatest first depth, the least last one, and the widest groove for one tool are
//! common practice, no source.

use super::{Cut, Measure, Outline, Tip};
use crate::{Error, Length, Ratio, Result, bounds};

/// Greatest depth of the first pass, in mm (0.010 in).
pub const FIRST: Ratio = Ratio::table(1, 4);
/// The same for a flat wider than 1 mm (0.005 in).
const FIRST_OF_A_FLAT: f64 = 0.125;
const WIDE_FLAT: f64 = 1.0;
/// Below this depth, in mm, a tool rubs.
const SHALLOWEST: f64 = 0.02;
/// Least number of passes that is chosen.
const FEWEST: u32 = 4;
/// Passes at the last depth, without infeed, for the spring of work and tool.
pub const SPRING_PASSES: u32 = 2;
/// A groove wider than this at its top, in mm, needs a narrower tool than its full form.
const WIDEST: f64 = 2.0;
/// A flat narrower than this, in mm, is cut in one.
const NARROWEST: f64 = 0.5;
/// Widest step aside at full depth, in mm.
const WIDEST_STEP: f64 = 0.1;
/// Precision of the whole depth.
const NEAR: f64 = 1e-9;
/// Halvings of a chip: 2^-50 of it is far below any printed digit.
const HALVINGS: u32 = 50;

/// How many passes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
#[non_exhaustive]
pub enum PassRule {
    /// The first no deeper than 0.25 mm, 0.125 mm with a flat wider than 1 mm; four at least.
    #[default]
    Usual,
    /// The first no deeper than this.
    First(Length),
    /// This many, with equal chips.
    Count(u32),
}

/// Passes of equal chips.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Passes {
    /// Depth after each pass, in mm: the last is the whole depth.
    pub marks: Vec<f64>,
    /// Whether all chips are equal; else passes would be too thin, and the last ones are even.
    pub are_equal: bool,
    /// Whether the first is deeper than 0.25 mm.
    pub is_first_deep: bool,
    /// Whether the last is thinner than 0.02 mm: it rubs.
    pub is_last_thin: bool,
}

/// A groove too wide for one tool: a narrower one of the same angle cuts the middle, then both
/// flanks.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Slot {
    /// Flat of the narrower tool: about six tenths of the groove's, to a tenth of a mm.
    pub flat: Length,
    /// Depths in the middle.
    pub passes: Passes,
    /// At full depth: distance from the middle for each pass, in mm, to one flank and then as far to
    /// the other. The last one gives the flat of the full tool.
    pub shifts: Vec<f64>,
}

impl Outline {
    /// Depths of the passes.
    ///
    /// ```
    /// use solver::cutting::{Cut, Measure, PassRule, Tip};
    /// let screw = Cut::of(&"M10".parse()?)?;
    /// let depth = Measure::from("0.9 mm".parse::<solver::Length>()?);
    /// let marks = |tip| -> solver::Result<Vec<String>> {
    ///     let passes = screw.outline(tip).passes(&depth, PassRule::Count(4))?;
    ///     Ok(passes.marks.iter().map(|mm| format!("{mm:.2}")).collect())
    /// };
    /// assert_eq!(marks(Tip::Sharp)?, ["0.45", "0.64", "0.78", "0.90"]);
    /// assert_eq!(marks(Tip::Nose("0.2 mm".parse()?))?, ["0.38", "0.59", "0.76", "0.90"]);
    /// # Ok::<(), solver::Error>(())
    /// ```
    ///
    /// # Errors
    /// If there are none or too many.
    pub fn passes(&self, depth: &Measure, plan: PassRule) -> Result<Passes> {
        let whole = depth.mm();
        let marks = match plan {
            PassRule::Count(count) => {
                bounds::PASSES.check(count.into())?;
                self.even(whole, count)
            }
            PassRule::First(first) => self.starting_with(whole, first.mm().to_f64(), 1)?,
            PassRule::Usual => self.starting_with(whole, self.usual_first(whole), FEWEST)?,
        };
        let last = marks.len().checked_sub(2).map_or(whole, |i| whole - marks[i]);
        Ok(Passes {
            is_first_deep: marks.first().is_some_and(|first| *first > FIRST.to_f64() + NEAR),
            is_last_thin: last < SHALLOWEST - NEAR,
            are_equal: self.are_equal(&marks),
            marks,
        })
    }

    /// The depths that are left from a depth already reached, in mm: equal chips, none larger than the
    /// first of a plan unless a pass would be shallower than 0.02 mm. Empty: nothing is left.
    pub fn rest(&self, reached: f64, whole: &Measure, plan: &Passes) -> Vec<f64> {
        let whole = whole.mm();
        if reached > whole - NEAR {
            return Vec::new();
        }
        let from = self.area(reached);
        let left = self.area(whole) - from;
        let chip = self.area(plan.marks.first().copied().unwrap_or(whole));
        let marks = |count: u32| -> Vec<f64> {
            let mark = |n: u32| match n {
                _ if n == count => whole,
                _ => {
                    self.depth_of(from + left * f64::from(n) / f64::from(count), whole).max(reached)
                }
            };
            (1..=count).map(mark).collect()
        };
        let thinnest = |marks: &[f64]| {
            let before = std::iter::once(&reached).chain(marks);
            before.zip(marks).map(|(from, to)| to - from).fold(f64::INFINITY, f64::min)
        };
        let needed = (1..=most()).find(|n| chip * f64::from(*n) >= left * (1.0 - NEAR));
        let thick = (2..=needed.unwrap_or_else(most))
            .rev()
            .map(marks)
            .find(|of| thinnest(of) >= SHALLOWEST);
        thick.unwrap_or_else(|| vec![whole])
    }

    /// To a thousandth of the chip.
    fn are_equal(&self, marks: &[f64]) -> bool {
        let chip = self.area(marks.first().copied().unwrap_or_default());
        let next = marks.iter().zip(marks.iter().skip(1));
        next.map(|(from, to)| self.area(*to) - self.area(*from))
            .all(|other| (other - chip).abs() <= chip * 1e-3)
    }

    /// Deeper only to limit the number of passes: a groove of about 50 mm.
    fn usual_first(&self, whole: f64) -> f64 {
        let wide = self.flat().is_some_and(|width| width > WIDE_FLAT);
        let first = if wide { FIRST_OF_A_FLAT } else { FIRST.to_f64() };
        first.max(evenly(whole))
    }

    /// Equal chips, however thin.
    fn even(&self, whole: f64, count: u32) -> Vec<f64> {
        let area = self.area(whole);
        let mark = |n: u32| match n {
            _ if n == count => whole,
            _ => self.depth_of(area * f64::from(n) / f64::from(count), whole),
        };
        (1..=count).map(mark).collect()
    }

    /// As few as possible with such a first pass, `fewest` where they are no thinner than 0.02 mm.
    fn starting_with(&self, whole: f64, first: f64, fewest: u32) -> Result<Vec<f64>> {
        let most = most();
        let least = SHALLOWEST.max(evenly(whole)).min(first);
        let needed = self.walk(whole, self.area(first), least, most).len();
        let needed = u32::try_from(needed).unwrap_or(u32::MAX);
        let usual = (1..=fewest).rev().find(|n| f64::from(*n) * SHALLOWEST <= whole).unwrap_or(1);
        let count = needed.max(usual);
        if count > most {
            return Err(Error::conflict(format!(
                "a first pass of {first} mm makes more than {most} passes of {whole:.3} mm"
            ))
            .with_hint("a deeper first pass: 0.05 mm to 0.25 mm are usual"));
        }
        if f64::from(count) * least < whole - NEAR {
            return Ok(self.evened(whole, least, count));
        }
        // All of them have the least depth: even, and one fewer where the first allows it.
        let fewer = (1..=count).rev().find(|n| f64::from(*n) * least <= whole + NEAR);
        let count = fewer.filter(|n| whole / f64::from(*n) <= first).unwrap_or(count);
        Ok((1..=count).map(|n| whole * f64::from(n) / f64::from(count)).collect())
    }

    /// Depths of equal chips, none shallower than `least`, until the whole depth: at most one more
    /// than `most`.
    fn walk(&self, whole: f64, chip: f64, least: f64, most: u32) -> Vec<f64> {
        let mut marks = Vec::new();
        let mut at = 0.0;
        while at < whole - NEAR && marks.len() <= most as usize {
            at = self.depth_of(self.area(at) + chip, whole).max(at + least).min(whole);
            marks.push(at);
        }
        marks
    }

    /// The chip with which `count` passes end at the whole depth.
    fn evened(&self, whole: f64, least: f64, count: u32) -> Vec<f64> {
        let (mut low, mut high) = (0.0, self.area(whole) / f64::from(count));
        for _ in 0..HALVINGS {
            let chip = f64::midpoint(low, high);
            if self.walk(whole, chip, least, count).len() > count as usize {
                low = chip;
            } else {
                high = chip;
            }
        }
        let mut marks = self.walk(whole, high, least, count);
        marks.truncate(count as usize);
        if let Some(last) = marks.last_mut() {
            *last = whole;
        }
        marks
    }
}

/// Most passes.
fn most() -> u32 {
    u32::try_from(bounds::PASSES.high).unwrap_or(u32::MAX)
}

/// The least depth of a pass for that many; with one to spare for rounding.
fn evenly(whole: f64) -> f64 {
    whole / f64::from(most() - 1)
}

impl Cut {
    /// The passes for a groove too wide for one tool: flat roots only, where the groove is over 2 mm
    /// wide at its top. `None`: the tool cuts it alone.
    ///
    /// ```
    /// use solver::cutting::{Cut, PassRule, Tip};
    /// let screw = Cut::of(&"Tr40x7".parse()?)?;
    /// let slot = screw.slot(Tip::Form, &screw.depth(Tip::Form)?.depth, PassRule::Usual)?.unwrap();
    /// assert_eq!(slot.flat, "1.3 mm".parse()?); // of a root 2.294 mm wide
    /// assert_eq!(format!("{:.3}", slot.shifts.last().unwrap()), "0.497");
    /// let fine = Cut::of(&"Tr10x2".parse()?)?;
    /// assert!(fine.slot(Tip::Form, &fine.depth(Tip::Form)?.depth, PassRule::Usual)?.is_none());
    /// # Ok::<(), solver::Error>(())
    /// ```
    ///
    /// # Errors
    /// If there are no passes or too many.
    pub fn slot(&self, tip: Tip, depth: &Measure, plan: PassRule) -> Result<Option<Slot>> {
        let outline = self.outline(tip);
        let wide = !self.form().is_pointed() && outline.width(depth.mm()) > WIDEST;
        let Some(whole) = outline.flat().filter(|flat| wide && *flat >= NARROWEST) else {
            return Ok(None);
        };
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "0.5 mm to 1 m"
        )]
        let tenths = ((whole * 6.0 + NEAR).floor() as u64).max(1);
        let flat = Length::from_mm(Ratio::new(tenths.into(), 10)?);
        let narrow = outline.with_flat(flat.mm().to_f64());
        let passes = narrow.passes(depth, plan)?;
        let aside = (whole - narrow.flat().unwrap_or(whole)) / 2.0;
        // A step aside removes step x depth: as much as a pass in the middle.
        let chip = narrow.area(passes.marks.first().copied().unwrap_or(depth.mm()));
        let step = (chip / depth.mm()).clamp(SHALLOWEST, WIDEST_STEP);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a few hundred"
        )]
        let steps = (aside / step - NEAR).ceil().clamp(1.0, 1000.0) as u32;
        let shift = |n| aside * f64::from(n) / f64::from(steps);
        Ok(Some(Slot { flat, passes, shifts: (1..=steps).map(shift).collect() }))
    }
}

#[cfg(test)]
mod tests {
    use super::super::Side;
    use super::super::tests::cut;
    use super::*;
    use proptest::prelude::*;

    fn mm(text: &str) -> Length {
        text.parse().unwrap()
    }

    fn depth(mm: f64) -> Measure {
        Measure::rounded(mm)
    }

    fn chips(outline: &Outline, marks: &[f64]) -> Vec<f64> {
        let before = std::iter::once(0.0).chain(marks.iter().copied());
        before.zip(marks).map(|(from, to)| outline.area(*to) - outline.area(from)).collect()
    }

    #[test]
    fn passes_are_bounded() {
        let point = cut("M10").outline(Tip::Sharp);
        let of = |plan| point.passes(&depth(1.0), plan);
        assert!(of(PassRule::Count(0)).unwrap_err().is_range());
        assert!(of(PassRule::Count(201)).unwrap_err().is_range());
        let count = |first: &str| of(PassRule::First(mm(first))).map(|p| p.marks.len());
        assert_eq!(count("2 mm").unwrap(), 1);
        assert_eq!(count("0.5 mm").unwrap(), 4);
        assert_eq!(count("0.499 mm").unwrap(), 5);
        assert!(count("0.001 mm").unwrap_err().is_conflict());
    }

    /// A hair of metal is no pass, and a fine thread takes more than one.
    #[test]
    fn fine_threads_have_four_passes_and_none_rubs() {
        for (name, count) in [("M1.6", 4), ("0.1 mm", 3), ("0.05 mm", 1)] {
            let cut = cut(name);
            let whole = cut.depth(Tip::Form).unwrap().depth;
            let passes = cut.outline(Tip::Form).passes(&whole, PassRule::Usual).unwrap();
            assert_eq!(passes.marks.len(), count, "{name} {passes:?}");
            assert!(!passes.is_last_thin, "{name}");
        }
    }

    /// However coarse: the number of passes stays within its limit.
    #[test]
    fn the_coarsest_find_room() {
        for (name, tip) in [("M64", Tip::Sharp), ("50 mm", Tip::Sharp), ("50 mm", Tip::Form)] {
            let cut = cut(name);
            let passes = cut.outline(tip).passes(&cut.depth(tip).unwrap().depth, PassRule::Usual);
            let passes = passes.unwrap();
            assert!(passes.marks.len() <= 200 && !passes.is_first_deep, "{name}");
        }
    }

    #[test]
    fn a_stated_count_is_kept_and_what_it_does_is_known() {
        let cut = cut("M36");
        let passes = |tip, count| {
            let whole = cut.depth(tip).unwrap().depth;
            cut.outline(tip).passes(&whole, PassRule::Count(count)).unwrap()
        };
        assert!(passes(Tip::Sharp, 16).is_first_deep && !passes(Tip::Sharp, 16).is_last_thin);
        assert!(passes(Tip::Sharp, 190).is_last_thin);
    }

    /// Slot and shifts together remove the whole groove.
    #[test]
    fn a_wide_groove_is_slotted_and_widened() {
        for name in ["Tr40x7", "Tr 20x4", "3/4-6 ACME", "module 1", "module 5", "1-5 STUB ACME"] {
            for side in [Side::External, Side::Internal] {
                let cut = cut(name).with_side(side);
                let whole = cut.depth(Tip::Form).unwrap().depth;
                let slot = cut.slot(Tip::Form, &whole, PassRule::Usual).unwrap().expect(name);
                let groove = cut.outline(Tip::Form);
                let narrow = groove.with_flat(slot.flat.mm().to_f64());
                let aside = slot.shifts.last().unwrap();
                let taken = narrow.area(whole.mm()) + 2.0 * aside * whole.mm();
                assert!((taken - groove.area(whole.mm())).abs() < 1e-9, "{name}");
                assert!(narrow.flat() < groove.flat(), "{name}");
                let most = slot.passes.marks[0];
                assert!(most <= 0.25 && slot.shifts[0] <= 0.25, "{name} {slot:?}");
            }
        }
        for name in ["M36", "1 BSW", "Tr10x2", "module 0.5"] {
            let cut = cut(name);
            let whole = cut.depth(Tip::Form).unwrap().depth;
            assert_eq!(cut.slot(Tip::Form, &whole, PassRule::Usual).unwrap(), None, "{name}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        /// Depths rise to the whole depth; the first is no deeper than asked; no pass rubs; chips
        /// are equal unless a pass would be too thin.
        #[test]
        fn marks_keep_the_rules(
            name in prop::sample::select(vec!["0.5 mm", "M10", "M36", "1/2 BSW", "0 BA", "Tr10x2"]),
            tip in prop::sample::select(vec![Tip::Form, Tip::Sharp]),
            hundredths in 3_u64..40, count in 1_u32..60,
        ) {
            let cut = cut(name);
            let (whole, outline) = (cut.depth(tip).unwrap().depth, cut.outline(tip));
            let first = Length::from_mm(Ratio::table(hundredths, 100));
            let marks = outline.passes(&whole, PassRule::First(first)).unwrap().marks;
            prop_assert!(marks.is_sorted_by(|a, b| a < b));
            prop_assert!((marks[marks.len() - 1] - whole.mm()).abs() < 1e-12);
            prop_assert!(marks[0] <= first.mm().to_f64() + 1e-6);
            let equal = outline.passes(&whole, PassRule::First(first)).unwrap().are_equal;
            let chips = chips(&outline, &marks);
            prop_assert_eq!(equal, chips.iter().all(|chip| (chip / chips[0] - 1.0).abs() < 1e-3));
            for (i, chip) in chips.iter().enumerate().skip(1) {
                let step = marks[i] - marks[i - 1];
                prop_assert!(step > 0.02 - 1e-6 || marks.len() == 1, "{step}");
                prop_assert!((chip - chips[0]).abs() < 1e-5 || step < 0.022, "{chips:?}");
            }
            // One pass fewer would begin deeper.
            if marks.len() > 1 {
                let fewer = outline.passes(&whole, PassRule::Count(u32::try_from(marks.len()).unwrap() - 1));
                let rubs = marks.windows(2).any(|w| w[1] - w[0] < 0.022);
                prop_assert!(rubs || fewer.unwrap().marks[0] > first.mm().to_f64());
            }
            let even = outline.passes(&whole, PassRule::Count(count)).unwrap().marks;
            let even = self::chips(&outline, &even);
            prop_assert!(even.iter().all(|chip| (chip - even[0]).abs() < 1e-6));
        }
    }
}
