//! Are all starts where they belong? What is measured on the ridges between them.
//!
//! A start out of its place by e makes the ridge on one side wider by e and the one on the other side narrower.
//! It asks for as much room as an error of the pitch, e cot a on the pitch diameter (a: half the included angle;
//! ISO 965-1 annexes and any text on threads, from memory). Where each start is cut to the middle of its class,
//! half the tolerance of the pitch diameter is left for that. Of n ridges that differ by d at most, the starts
//! are out of place by no more than d k (n - k) / n, with k half of n rounded down: k ridges are the widest, the
//! others the narrowest.

use crate::cutting::{Cut, Side};
use crate::tolerance::Limits;

/// The check between the starts.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Ridges {
    /// By how much the widest and the narrowest ridge may differ, along the axis, in mm; `None`: no class is
    /// known.
    pub differ_mm: Option<f64>,
    /// How far a start may be out of its place, in mm.
    pub index_mm: Option<f64>,
}

impl Ridges {
    /// `None`: a single start, a nut, or a taper.
    pub(super) fn of(cut: Option<&Cut>, limits: Option<&Limits>, starts: u8) -> Option<Self> {
        let plain = |cut: &&Cut| cut.side() == Side::External && cut.cone().is_none();
        let cut = cut.filter(plain).filter(|_| starts > 1)?;
        let slope = cut.form().half_angle().to_f64().to_radians().tan();
        let index_mm = limits.map(|limits| limits.pitch_tolerance().mm().to_f64() / 2.0 * slope);
        Some(Self { differ_mm: index_mm.map(|index| index / spread(starts)), index_mm })
    }
}

/// How far starts can be out of place, for ridges that differ by 1.
fn spread(starts: u8) -> f64 {
    let (all, wide) = (f64::from(starts), f64::from(starts / 2));
    wide * (all - wide) / all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tolerance::default_class;

    /// Every choice of widest and narrowest ridges, added up around the work.
    #[test]
    fn no_ridges_put_a_start_further_off() {
        for starts in 2..=10_u8 {
            let mut most: f64 = 0.0;
            for choice in 0..1_u32 << starts {
                let wide: Vec<f64> =
                    (0..starts).map(|i| f64::from(u8::from(choice & (1 << i) != 0))).collect();
                let mean = wide.iter().sum::<f64>() / f64::from(starts);
                let mut at = 0.0;
                let mut places = vec![0.0_f64];
                places.extend(wide.iter().map(|wide| {
                    at += wide - mean;
                    at
                }));
                let [low, high] = [f64::min, f64::max]
                    .map(|pick| places.iter().copied().reduce(pick).unwrap_or_default());
                most = most.max(high - low);
            }
            assert!((most - spread(starts)).abs() < 1e-9, "{starts}: {most}");
        }
    }

    /// Tr20x8 (P4), 7e: tolerance 0.265 mm of the pitch diameter (ISO 2903), 15 degrees.
    #[test]
    fn two_ridges_may_differ_by_twice_the_index_error() {
        let target: crate::Target = "Tr20x8 (P4)".parse().unwrap();
        let thread = target.thread().unwrap();
        let limits = Limits::of(&thread, default_class(&thread, false).unwrap()).unwrap();
        let cut = Cut::of(&target).unwrap();
        let of = |cut: &Cut, starts| Ridges::of(Some(cut), Some(&limits), starts);
        let ridges = of(&cut, 2).unwrap();
        assert!((ridges.index_mm.unwrap() - 0.1325 * 0.267_949).abs() < 1e-6);
        assert!((ridges.differ_mm.unwrap() - 2.0 * ridges.index_mm.unwrap()).abs() < 1e-12);
        assert_eq!((of(&cut, 1), of(&cut.with_side(Side::Internal), 2)), (None, None));
    }
}
