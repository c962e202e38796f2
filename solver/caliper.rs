//! Which gear is this, by its teeth and a caliper over its tips? Is it the gear that its box names?
//!
//! A full-depth gear measures m (z + 2) over the tips (ISO 53 basic rack; from memory), so the reading
//! over z + 2 is the module. With an odd count no tip is opposite another. The longest line between two
//! tips is then D cos(90°/z), from the chord of 180° - 180°/z. Jaws flat across two tips read
//! D (1 + cos(180°/z)) / 2, shorter by as much again; tips of some width bring both nearer to D. So the
//! middle value is assumed, with as much allowed either way.
//!
//! A diameter can't show the pressure angle, nor stub teeth, which are lower.
//! Diameters are exact; a reading and its results are doubles, in mm.
//!
//! ```
//! use solver::caliper::{MeasuredOver, identify};
//! use solver::{Outside, Teeth};
//! // 40 teeth, 52.4 mm over the tips: 52.4 / 42 is 1.248.
//! let found = identify(Teeth::new(40)?, Outside::new("52.4 mm".parse()?)?, MeasuredOver::Tips)?;
//! assert_eq!(found.nearest.size.to_string(), "module 1.25");
//! # Ok::<(), solver::Error>(())
//! ```

use crate::{Error, Outside, Result, Teeth, ToothSize, bounds};

/// Allowed error of a reading: caliper, wear, and tips turned slightly small (common practice, no
/// source).
pub const ALLOWANCE_MM: f64 = 0.2;

/// Tooth sizes nearer than this are easily confused: 20 DP is 1.6 % off module 1.25, 24 DP is 5.8 %
/// off module 1 (common practice, no source).
const ALIKE: f64 = 0.06;

/// Modules in mm: ISO 54 series I and II up to 10, and below 1 the same steps for small gears. From
/// memory.
const MODULES: [(u32, u32); 28] = [
    (1, 2),
    (3, 5),
    (7, 10),
    (3, 4),
    (4, 5),
    (9, 10),
    (1, 1),
    (9, 8),
    (5, 4),
    (11, 8),
    (3, 2),
    (7, 4),
    (2, 1),
    (9, 4),
    (5, 2),
    (11, 4),
    (3, 1),
    (7, 2),
    (4, 1),
    (9, 2),
    (5, 1),
    (11, 2),
    (6, 1),
    (13, 2),
    (7, 1),
    (8, 1),
    (9, 1),
    (10, 1),
];

/// Diametral pitches of change gears (common practice, no source).
const DIAMETRAL: [u32; 19] =
    [4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30, 32, 36, 40, 48];

/// The standard tooth sizes, modules first.
pub fn sizes() -> impl Iterator<Item = ToothSize> {
    let module = |(n, d)| ToothSize::table_module(n, d);
    MODULES
        .into_iter()
        .map(module)
        .chain(DIAMETRAL.into_iter().map(ToothSize::table_diametral_pitch))
}

/// Whether two different tooth sizes are easily confused.
pub fn look_alike(a: &ToothSize, b: &ToothSize) -> bool {
    let (a, b) = (a.module().mm().to_f64(), b.module().mm().to_f64());
    let apart = (a / b).max(b / a) - 1.0;
    apart > 0.0 && apart < ALIKE
}

/// How the outside diameter was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum MeasuredOver {
    /// With a caliper over two tips: reads less than the diameter where the count is odd.
    #[default]
    Tips,
    /// As the circle through all tips: turned, from a drawing, or over three tips.
    Circle,
}

impl MeasuredOver {
    /// The reading as a part of the outside diameter: 1 for an even count.
    fn part(self, teeth: Teeth) -> f64 {
        match self {
            Self::Tips if !teeth.get().is_multiple_of(2) => {
                (90.0 / f64::from(teeth.get())).to_radians().cos()
            }
            Self::Tips | Self::Circle => 1.0,
        }
    }

    /// The expected reading over a gear of this size, in mm.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn reading(self, size: &ToothSize, teeth: Teeth) -> Result<f64> {
        Ok(size.outside_diameter(teeth)?.mm().to_f64() * self.part(teeth))
    }
}

/// A possible gear.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct PossibleGear {
    /// Its teeth.
    pub teeth: Teeth,
    /// Its tooth size.
    pub size: ToothSize,
    /// The expected reading, in mm.
    pub should_mm: f64,
    /// The reading minus the expected one, in mm.
    pub off_mm: f64,
    /// Allowed error: [`ALLOWANCE_MM`], and for an odd count the difference by the position of the
    /// jaws.
    pub allowed_mm: f64,
}

impl PossibleGear {
    fn new(teeth: Teeth, size: ToothSize, read_mm: f64, over: MeasuredOver) -> Result<Self> {
        let outside = size.outside_diameter(teeth)?.mm().to_f64();
        let should_mm = outside * over.part(teeth);
        let allowed_mm = ALLOWANCE_MM + (outside - should_mm);
        Ok(Self { teeth, size, should_mm, off_mm: read_mm - should_mm, allowed_mm })
    }

    /// Whether the reading fits it.
    pub fn fits(&self) -> bool {
        self.off_mm.abs() <= self.allowed_mm
    }
}

/// Nearest first; of two as near the earlier one.
fn sort(candidates: &mut [PossibleGear]) {
    candidates.sort_by(|a, b| a.off_mm.abs().total_cmp(&b.off_mm.abs()));
}

/// The possible sizes of a gear.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Identified {
    /// The module that was measured, in mm: D over z + 2.
    pub module_mm: f64,
    /// The reading, in mm.
    pub read_mm: f64,
    /// The nearest standard tooth size.
    pub nearest: PossibleGear,
    /// The second nearest.
    pub next: PossibleGear,
    /// Every standard tooth size, those two first.
    pub candidates: Vec<PossibleGear>,
}

impl Identified {
    /// How much more the reading would have to be for the next one to be nearest: up to the middle
    /// between the two.
    pub fn turned_by_mm(&self) -> f64 {
        f64::midpoint(self.nearest.should_mm, self.next.should_mm) - self.read_mm
    }

    /// Whether the nearest fits and the next does not.
    pub fn is_sure(&self) -> bool {
        self.nearest.fits() && !self.next.fits()
    }
}

/// The standard tooth sizes, by distance from the reading over a gear of `teeth` teeth.
///
/// ```
/// use solver::caliper::{MeasuredOver, identify};
/// use solver::{Outside, Teeth};
/// let read = Outside::new("52.4 mm".parse()?)?;
/// let found = identify(Teeth::new(40)?, read, MeasuredOver::Tips)?;
/// assert_eq!(found.nearest.size.to_string(), "module 1.25");
/// assert_eq!(found.next.size.to_string(), "20 DP");
/// # Ok::<(), solver::Error>(())
/// ```
///
/// # Errors
/// None for teeth and diameters within bounds.
pub fn identify(teeth: Teeth, outside: Outside, over: MeasuredOver) -> Result<Identified> {
    let read_mm = outside.length().mm().to_f64();
    let each = sizes().map(|size| PossibleGear::new(teeth, size, read_mm, over));
    let mut candidates = each.collect::<Result<Vec<_>>>()?;
    sort(&mut candidates);
    let module_mm = read_mm / over.part(teeth) / (f64::from(teeth.get()) + 2.0);
    let &[nearest, next, ..] = candidates.as_slice() else {
        return Err(Error::no_such("fewer than two standard tooth sizes"));
    };
    Ok(Identified { module_mm, read_mm, nearest, next, candidates })
}

/// A reading against the size on the box.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct CheckedGear {
    /// The gear on the box.
    pub stated: PossibleGear,
    /// Where that does not fit: other gears, nearest first: the same size with another count, or the
    /// same count with another standard size.
    pub others: Vec<PossibleGear>,
}

impl CheckedGear {
    /// Whether the reading contradicts the box.
    pub fn contradicts(&self) -> bool {
        !self.stated.fits()
    }

    /// Possible gears instead: the others that fit.
    pub fn likely(&self) -> impl Iterator<Item = &PossibleGear> {
        self.others.iter().filter(|other| other.fits())
    }
}

/// Whether the reading fits a gear of these teeth and this size; if not, the possible gears.
///
/// ```
/// use solver::caliper::{MeasuredOver, check};
/// use solver::{Outside, Teeth};
/// // Its box says 20 DP; 40 teeth of that are 53.34 mm over the tips.
/// let read = Outside::new("52.5 mm".parse()?)?;
/// let checked = check(Teeth::new(40)?, "20 DP".parse()?, read, MeasuredOver::Tips)?;
/// assert!(checked.contradicts());
/// assert_eq!(checked.likely().next().unwrap().size.to_string(), "module 1.25");
/// # Ok::<(), solver::Error>(())
/// ```
///
/// # Errors
/// If a number is out of range.
pub fn check(
    teeth: Teeth,
    size: ToothSize,
    outside: Outside,
    over: MeasuredOver,
) -> Result<CheckedGear> {
    let read_mm = outside.length().mm().to_f64();
    let stated = PossibleGear::new(teeth, size, read_mm, over)?;
    let mut others = Vec::new();
    if !stated.fits() {
        others.extend(other_count(teeth, size, read_mm, over)?);
        let named = identify(teeth, outside, over)?.candidates;
        others.extend(named.into_iter().find(|c| c.size.module() != size.module()));
        sort(&mut others);
    }
    Ok(CheckedGear { stated, others })
}

/// The nearest count at the same tooth size.
fn other_count(
    teeth: Teeth,
    size: ToothSize,
    read_mm: f64,
    over: MeasuredOver,
) -> Result<Option<PossibleGear>> {
    let counts = (bounds::TEETH.low..=bounds::TEETH.high).map(Teeth::new);
    let each = counts.map(|z| PossibleGear::new(z?, size, read_mm, over));
    let mut counts = each.collect::<Result<Vec<_>>>()?;
    counts.retain(|candidate| candidate.teeth != teeth);
    sort(&mut counts);
    Ok(counts.first().copied())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn teeth(teeth: u64) -> Teeth {
        Teeth::new(teeth).unwrap()
    }

    fn size(text: &str) -> ToothSize {
        text.parse().unwrap()
    }

    fn outside(text: &str) -> Outside {
        Outside::new(text.parse().unwrap()).unwrap()
    }

    /// A reading as a caliper shows it: in hundredths of a millimetre.
    fn read(mm: f64) -> Outside {
        outside(&format!("{mm:.2} mm"))
    }

    fn names(z: u64, reading: Outside, over: MeasuredOver) -> Vec<String> {
        let found = identify(teeth(z), reading, over).unwrap();
        found.candidates.iter().take(2).map(|c| c.size.to_string()).collect()
    }

    /// 25.4/20 = 1.27, and m (z + 2): 53.34 mm for 40 teeth, against 52.5.
    #[test]
    fn close_rivals_and_what_would_turn_the_answer() {
        let found = identify(teeth(40), outside("52.4 mm"), MeasuredOver::Tips).unwrap();
        let (first, second) = (found.nearest, found.next);
        assert_eq!((first.size, second.size), (size("module 1.25"), size("20 DP")));
        assert!((first.off_mm + 0.1).abs() < 1e-9 && (second.off_mm + 0.94).abs() < 1e-9);
        assert!((found.turned_by_mm() - 0.52).abs() < 1e-9);
        assert!((found.module_mm - 52.4 / 42.0).abs() < 1e-12);
        assert!(found.is_sure());
        let turned = |mm: &str| names(40, outside(mm), MeasuredOver::Tips);
        assert_eq!(turned("52.91 mm"), ["module 1.25", "20 DP"]);
        assert_eq!(turned("52.93 mm"), ["20 DP", "module 1.25"]);
        // Between the two nothing is sure.
        assert!(!identify(teeth(40), outside("52.92 mm"), MeasuredOver::Tips).unwrap().is_sure());
        // 28 DP and module 0.9 differ by 0.16 mm at 20 teeth: less than the allowed error of a
        // caliper.
        assert!(!identify(teeth(20), outside("19.8 mm"), MeasuredOver::Tips).unwrap().is_sure());
    }

    /// An odd gear reads D cos(90°/z) (chord of a circle): 10.294 mm for 11 teeth of module 0.8, which
    /// without the correction is nearer to 32 DP (10.319 mm).
    #[test]
    fn odd_counts_read_less() {
        assert_eq!(names(11, outside("10.294 mm"), MeasuredOver::Tips)[0], "module 0.8");
        assert_eq!(names(11, outside("10.294 mm"), MeasuredOver::Circle)[0], "32 DP");
        let reading = MeasuredOver::Tips.reading(&size("module 1"), teeth(21)).unwrap();
        assert!((reading - 22.935_687).abs() < 1e-6, "{reading}");
        let even = MeasuredOver::Tips.reading(&size("module 1"), teeth(22)).unwrap();
        assert!((even - 24.0).abs() < f64::EPSILON, "{even}");
    }

    /// The two positions of the jaws on an odd gear, from the places of its tips.
    #[test]
    fn the_play_of_an_odd_gear_holds_both_ways_of_measuring() {
        for z in [5_u32, 11, 21, 63] {
            let tip = |i: u32| (f64::from(i) * std::f64::consts::TAU / f64::from(z)).sin_cos();
            let longest = (0..z)
                .map(|i| (tip(i).0 - tip(0).0).hypot(tip(i).1 - tip(0).1))
                .fold(0.0, f64::max);
            // One jaw on tip 0, at cos = 1; the other flat across the two tips opposite.
            let lowest = (0..z).map(|i| tip(i).1).fold(0.0, f64::min);
            let flat = 1.0 - lowest;
            let radius = f64::from(z + 2) / 2.0;
            let (size, z) = (size("module 1"), teeth(z.into()));
            let should = MeasuredOver::Tips.reading(&size, z).unwrap();
            let of =
                |over| PossibleGear::new(z, size, should, over).unwrap().allowed_mm - ALLOWANCE_MM;
            let play = of(MeasuredOver::Tips);
            assert!(of(MeasuredOver::Circle).abs() < 1e-9);
            assert!((should - radius * longest).abs() < 1e-9, "{z}: {should}");
            assert!((should - play) <= radius * flat, "{z}: {play}");
            assert!((should + play - 2.0 * radius).abs() < 1e-9, "{z}: {play}");
        }
        let even =
            PossibleGear::new(teeth(20), size("module 1"), 22.0, MeasuredOver::Tips).unwrap();
        assert!((even.allowed_mm - ALLOWANCE_MM).abs() < 1e-9);
    }

    #[test]
    fn a_wrong_description_gets_the_likeliest_gear() {
        let check = |z, stated: &str, read: &str| {
            super::check(teeth(z), size(stated), outside(read), MeasuredOver::Tips).unwrap()
        };
        let likely = |checked: &CheckedGear| -> Vec<String> {
            checked.likely().map(|c| format!("{} of {}", c.teeth, c.size)).collect()
        };
        let right = check(40, "module 1.25", "52.4 mm");
        assert!(!right.contradicts() && right.others.is_empty());
        // 53.34 mm is 40 teeth of 20 DP; 41 teeth of module 1.25 would read 53.71.
        let mixed = check(40, "module 1.25", "53.3 mm");
        assert!(mixed.contradicts());
        assert_eq!(likely(&mixed), ["40 of 20 DP"]);
        // 39 teeth of module 1 read 40.967, and 40 of 26 DP 41.031.
        let counted = check(40, "module 1", "40.96 mm");
        assert_eq!(likely(&counted), ["39 of module 1", "40 of 26 DP"]);
        // Nothing fits: measure again.
        let neither = check(40, "module 1", "42.5 mm");
        assert!(neither.contradicts() && neither.others.len() == 2);
        assert_eq!(likely(&neither), Vec::<String>::new());
        // Another name for the same teeth is no other size.
        let same = check(40, "module 1.27", "60 mm");
        assert!(same.others.iter().all(|c| c.size != size("20 DP")));
    }

    #[test]
    fn what_fits_ends_at_the_allowance() {
        let fits = |read: &str| {
            let checked = check(teeth(40), size("module 1"), outside(read), MeasuredOver::Tips);
            !checked.unwrap().contradicts()
        };
        assert!(fits("41.81 mm") && fits("42.19 mm"));
        assert!(!fits("41.79 mm") && !fits("42.21 mm"));
    }

    #[test]
    fn sizes_that_look_alike() {
        let alike = |a: &str, b: &str| look_alike(&size(a), &size(b));
        assert!(alike("20 DP", "module 1.25") && alike("module 1", "24 DP"));
        assert!(alike("10 DP", "module 2.5") && alike("32 DP", "module 0.8"));
        assert!(!alike("20 DP", "module 1.27") && !alike("module 1", "module 1.125"));
        assert!(!alike("20 DP", "18 DP") && !alike("14 DP", "module 2"));
    }

    #[test]
    fn no_two_standard_sizes_are_equal() {
        let mut modules: Vec<_> = sizes().map(|size| size.module()).collect();
        let count = modules.len();
        modules.sort_unstable();
        modules.dedup();
        assert_eq!((modules.len(), count), (count, 47));
    }

    /// Every size and every count of a change gear, with an error of the caliper.
    #[test]
    fn each_standard_gear_is_named_first() {
        for z in 10..=150 {
            for stated in sizes() {
                let should = MeasuredOver::Tips.reading(&stated, teeth(z)).unwrap();
                for off in [-0.02, 0.02] {
                    let found = identify(teeth(z), read(should + off), MeasuredOver::Tips).unwrap();
                    let first = found.nearest;
                    assert_eq!(first.size, stated, "{z} teeth, {off}");
                    assert!(first.off_mm.abs() < 0.026 && first.fits());
                    assert!((found.module_mm / stated.module().mm().to_f64() - 1.0).abs() < 0.01);
                }
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn candidates_come_nearest_first_and_turn_where_said(z in 5_u64..=400, hundredths in 100_u64..500_000) {
            let reading = outside(&format!("{hundredths}e-2 mm"));
            let found = identify(teeth(z), reading, MeasuredOver::Tips).unwrap();
            prop_assert_eq!(found.candidates.len(), sizes().count());
            prop_assert!(found.candidates.is_sorted_by(|a, b| a.off_mm.abs() <= b.off_mm.abs()));
            let (first, second) = (found.nearest, found.next);
            let at = found.read_mm + found.turned_by_mm();
            prop_assert!(((at - first.should_mm).abs() - (at - second.should_mm).abs()).abs() < 1e-6);
        }

        #[test]
        fn a_check_never_offers_what_was_stated(z in 5_u64..=400, hundredths in 100_u64..500_000, at in 0_usize..47) {
            let reading = outside(&format!("{hundredths}e-2 mm"));
            let stated = sizes().nth(at).unwrap();
            let checked = check(teeth(z), stated, reading, MeasuredOver::Tips).unwrap();
            prop_assert_eq!(checked.contradicts(), checked.others.len() == 2);
            prop_assert!(checked.others.iter().all(|c| (c.teeth, c.size) != (teeth(z), stated)));
        }
    }
}
