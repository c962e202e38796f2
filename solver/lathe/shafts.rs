//! How far must a gear on a stud be from the next shaft, where no bracket is described? Search and
//! judge both use this rule.

use crate::{Error, Gear, Ratio, Result, Shaft, Teeth, Train};
use num_integer::Integer;
use num_traits::ToPrimitive;

/// The least distance from the tip of a gear to the axis of the next shaft, where no bracket is
/// described: stated, or assumed.
///
/// ```
/// use solver::LeastClearance;
/// assert_eq!(LeastClearance::Assumed.mm().to_string(), "13/2");
/// assert!(LeastClearance::Stated("13/2".parse()?) != LeastClearance::Assumed);
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LeastClearance {
    /// In mm.
    Stated(Ratio),
    /// 6.5 mm; at module 1 the usual rule "the sum must exceed the next gear by 15" (common
    /// practice, no source).
    #[default]
    Assumed,
}

impl LeastClearance {
    /// In mm.
    pub const fn mm(&self) -> Ratio {
        match self {
            Self::Stated(mm) => *mm,
            Self::Assumed => Ratio::table(13, 2),
        }
    }
}

/// A gear beside another on its shaft, with its tip too near to the axis of the next shaft.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct TooNear {
    /// The gear with that tip,
    pub tip: Teeth,
    /// the gear joined to it, if it has no work,
    pub joined_to: Option<Teeth>,
    /// and the gear on the axis.
    pub axis: Teeth,
    /// The missing distance in mm; the least distance is included.
    pub short: Ratio,
}

/// A gear in whole numbers: its module in units of the rule, and its teeth.
pub(crate) type Counted = (i128, u16);

/// The least distance between the tip of a gear and the axis of the shaft that the gear beside it
/// meshes with. Tooth sizes are whole numbers of one unit.
///
/// ```
/// use solver::{Ratio, ShaftClearance, Train};
/// let train: Train = "40-80+30-60".parse()?; // module 1 where nothing is stated
/// let rule = ShaftClearance::new(train.gears(), "6.5".parse()?)?;
/// // (30 + 60)/2 - (80 + 2)/2 = 4 mm
/// let near = rule.too_near(&train);
/// assert_eq!((near[0].tip.get(), near[0].axis.get(), near[0].short), (80, 60, "2.5".parse()?));
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ShaftClearance {
    /// Units in a mm.
    unit: Ratio,
    /// Twice the least distance, in units.
    least: i128,
}

impl ShaftClearance {
    /// The rule for these gears, with a least distance in mm.
    ///
    /// # Errors
    /// If the tooth sizes have no common measure small enough.
    pub fn new<'g>(gears: impl IntoIterator<Item = &'g Gear>, least: Ratio) -> Result<Self> {
        let denoms = gears.into_iter().map(|gear| gear.module().denom());
        let mut unit = 1_u128;
        for denom in denoms.chain([least.denom()]) {
            // 2^60 leaves room for 400 teeth and a 20-bit module; two such have a common multiple that fits.
            if denom >> 60 == 0 {
                unit = unit.lcm(&denom);
            }
            if denom >> 60 != 0 || unit >> 60 != 0 {
                return Err(too_large());
            }
        }
        let mut rule = Self { unit: Ratio::new(unit, 1)?, least: 0 };
        let least = rule.units(&least)?;
        if least >> 100 != 0 {
            return Err(too_large());
        }
        rule.least = least.saturating_mul(2);
        Ok(rule)
    }

    fn units(&self, mm: &Ratio) -> Result<i128> {
        mm.times(&self.unit)?.numer().to_i128().ok_or_else(too_large)
    }

    /// One of the gears of the rule.
    pub(crate) fn counted(&self, gear: &Gear) -> Result<Counted> {
        Ok((self.units(&gear.module())?, gear.teeth.get()))
    }

    /// `gear` meshes with `other`, and `beside` is on the same shaft as `gear`. The tip of `beside`
    /// must clear the axis of `other`: m(A+B)/2 - m(C+2)/2 >= least. With 6.5 mm at module 1 that is
    /// A+B >= C+15 (common practice, no source). The missing distance in half units; above zero it
    /// is too near.
    #[inline]
    pub(crate) fn short(&self, gear: Counted, other: Counted, beside: Counted) -> i128 {
        // Modules have at most 80 bits, teeth nine, the least 101.
        let [a, b, c] = [gear.1, other.1, beside.1].map(i128::from);
        let sum = gear.0.saturating_mul(a.saturating_add(b));
        let tip = beside.0.saturating_mul(c.saturating_add(2));
        self.least.saturating_add(tip).saturating_sub(sum)
    }

    /// A shortage in half units, in mm.
    pub(crate) fn mm(&self, short: i128) -> Ratio {
        let half = Ratio::new(short.unsigned_abs().max(1), 2).unwrap_or(Ratio::ONE);
        half.over(&self.unit).unwrap_or(half)
    }

    /// Every gear too near to the axis beside it, in power-path order of the meshes: the other gear
    /// of a keyed pair, or one without work, joined to the gear in mesh.
    pub fn too_near(&self, train: &Train) -> Vec<TooNear> {
        let shafts = train.shafts();
        let beside = |at: usize, gear: &Gear| match shafts.get(at)? {
            Shaft::Pair { driven, driver } => {
                Some((if gear == driven { *driver } else { *driven }, None))
            }
            Shaft::One(own) => train.idle(at).map(|idle| (*idle, Some(own.teeth))),
        };
        let near = |at: usize, gear: &Gear, other: &Gear| {
            let (beside, joined_to) = beside(at, gear)?;
            let counted = [gear, other, &beside].map(|gear| self.counted(gear));
            let [Ok(a), Ok(b), Ok(c)] = counted else { return None };
            let short = self.short(a, b, c);
            (short > 0).then(|| TooNear {
                tip: beside.teeth,
                joined_to,
                axis: other.teeth,
                short: self.mm(short),
            })
        };
        let meshes = shafts.windows(2).enumerate().filter_map(|(at, two)| match two {
            [a, b] => Some((at, a.driver(), b.driven())),
            _ => None,
        });
        meshes
            .flat_map(|(at, a, b)| [near(at, a, b), near(at.saturating_add(1), b, a)])
            .flatten()
            .collect()
    }
}

fn too_large() -> Error {
    Error::too_large("the common measure of the tooth sizes").with_hint("simpler tooth sizes")
}
