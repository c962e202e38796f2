//! How much thread does a bore leave, and which drill makes it?
//!
//! Engagement is the overlap of screw and nut as a part of the whole: (major diameter - bore) / base. Two bases
//! are in use for 60 degrees: the basic overlap of ISO 68-1, 5/4 H = 1.0825 P on the diameter, and 3/4 H twice,
//! 1.299 P, by which inch tables of drills count (F. D. Jones, Turning and Boring, 1919, ch. IV: root = D -
//! 1.299/N). The 55 degree form has one, 4/3 H = 1.2807 P. Per cents of one base are not those of the other.
//!
//! Drills: metric ones in the steps of ISO 235, inch ones by fraction, number and letter (ASME B94.11M); both
//! lists are from memory. A drill cuts a little over its size, so of 60 degrees the nearest to two fifths up the
//! class is chosen: that gives each of 27 drills of a metric table (`tests/data/drills.csv`). Of other forms it is the
//! nearest to 80 per cent, without a class from 70 to 90 (common practice, no source).

use super::form::SHARP_60;
use super::{Cut, Form, Measure, Side};
use crate::tolerance::Limits;
use crate::{Length, Ratio};
use std::fmt;

/// Overlap of screw and nut, as parts of a whole thread.
///
/// ```
/// use solver::cutting::{Cut, Side};
/// let nut = Cut::of(&"M10".parse()?)?.with_side(Side::Internal);
/// let of = nut.engagement(&"8.5 mm".parse::<solver::Length>()?.into()).unwrap();
/// assert_eq!(format!("{:.1} {:.1}", 100.0 * of.of_basic, 100.0 * of.of_american.unwrap()), "92.4 77.0");
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Overlap {
    /// Of the basic overlap.
    pub of_basic: f64,
    /// That base, in pitches: 1.0825 for 60 degrees, 1.2807 for 55.
    pub basic: f64,
    /// Of 1.299 pitches, as inch tables count; `None`: not of 60 degrees.
    pub of_american: Option<f64>,
}

/// A drill of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Drill {
    name: Name,
    size: Length,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Name {
    Metric,
    Fraction,
    Number(u8),
    Letter(char),
}

/// 1.299 P: 3/4 H on both sides.
const AMERICAN: f64 = 1.5 * SHARP_60;
/// Up the class to the size of the drill.
const UP: f64 = 0.4;
/// Overlap without a class, and how far it may be off.
const USUAL: [f64; 2] = [0.8, 0.1];
/// Steps of metric drills: up to this size, by this much, in hundredths of a mm.
const METRIC: [(u64, u64); 4] = [(300, 5), (1400, 10), (3200, 25), (5100, 50)];
/// Numbers 1 to 80, in 0.0001 in.
const NUMBERS: [u64; 80] = [
    2280, 2210, 2130, 2090, 2055, 2040, 2010, 1990, 1960, 1935, 1910, 1890, 1850, 1820, 1800, 1770,
    1730, 1695, 1660, 1610, 1590, 1570, 1540, 1520, 1495, 1470, 1440, 1405, 1360, 1285, 1200, 1160,
    1130, 1110, 1100, 1065, 1040, 1015, 995, 980, 960, 935, 890, 860, 820, 810, 785, 760, 730, 700,
    670, 635, 595, 550, 520, 465, 430, 420, 410, 400, 390, 380, 370, 360, 350, 330, 320, 310, 292,
    280, 260, 250, 240, 225, 210, 200, 180, 160, 145, 135,
];
/// Letters A to Z, in 0.001 in.
const LETTERS: [u64; 26] = [
    234, 238, 242, 246, 250, 257, 261, 266, 272, 277, 281, 290, 295, 302, 316, 323, 332, 339, 348,
    358, 368, 377, 386, 397, 404, 413,
];
/// Largest fraction, in 1/64 in: 2 in.
const LARGEST: u64 = 128;

impl Drill {
    /// Its diameter.
    pub const fn size(&self) -> Length {
        self.size
    }

    /// Whether it is of the metric list.
    pub const fn is_metric(&self) -> bool {
        matches!(self.name, Name::Metric)
    }

    fn metric() -> impl Iterator<Item = Self> {
        let from = [20, 300, 1400, 3200];
        from.into_iter()
            .zip(METRIC)
            .flat_map(|(from, (to, step))| {
                let sizes = (from..to).step_by(usize::try_from(step).unwrap_or(usize::MAX));
                sizes.map(|size| Length::from_mm(Ratio::table(size, 100)))
            })
            .map(|size| Self { name: Name::Metric, size })
    }

    fn inch() -> impl Iterator<Item = Self> {
        let fractions = (1..=LARGEST).map(|parts| (Name::Fraction, Ratio::table(parts, 64)));
        let numbers = (1..).zip(NUMBERS);
        let numbers = numbers.map(|(n, size)| (Name::Number(n), Ratio::table(size, 10_000)));
        let letters = ('A'..='Z').zip(LETTERS);
        let letters = letters.map(|(n, size)| (Name::Letter(n), Ratio::table(size, 1000)));
        fractions
            .chain(numbers)
            .chain(letters)
            .filter_map(|(name, inches)| Some(Self { name, size: Length::from_inch(inches).ok()? }))
    }
}

/// `8.5 mm`, `27/64 in`, `number 7`, `letter F`.
impl fmt::Display for Drill {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.name, self.size.inches()) {
            (Name::Number(number), _) => write!(f, "number {number}"),
            (Name::Letter(letter), _) => write!(f, "letter {letter}"),
            (Name::Fraction, Ok(inches))
                if inches.numer() > inches.denom() && !inches.is_whole() =>
            {
                let (whole, rest) =
                    (inches.numer() / inches.denom(), inches.numer() % inches.denom());
                write!(f, "{whole} {rest}/{} in", inches.denom())
            }
            (Name::Fraction, Ok(inches)) => write!(f, "{inches} in"),
            _ => write!(f, "{} mm", self.size.mm().to_f64()),
        }
    }
}

impl Cut {
    /// How much of a whole thread a bore leaves; `None`: no diameter is known, a taper, or a form that is not
    /// tapped from a drilled hole.
    pub fn engagement(&self, bore: &Measure) -> Option<Overlap> {
        if self.cone().is_some() || !self.form().is_pointed() {
            return None;
        }
        let of = self.with_side(Side::Internal).diameters().ok()?;
        let (whole, pitch) = (of.major.mm() - of.minor.mm(), self.pitch().to_f64());
        let left = of.major.mm() - bore.mm();
        let american = (self.form() == Form::Sixty).then_some(AMERICAN * pitch);
        Some(Overlap {
            of_basic: left / whole,
            basic: whole / pitch,
            of_american: american.map(|american| left / american),
        })
    }

    /// Tap drills for a nut, a metric and an inch one: the nearest inside its class, of those lists that have one.
    pub fn tap_drills(&self, limits: Option<&Limits>) -> Vec<Drill> {
        let Some([least, greatest, aim]) = self.drilled(limits) else { return Vec::new() };
        let nearest = |list: &mut dyn Iterator<Item = Drill>| {
            let off = |drill: &Drill| (drill.size.mm().to_f64() - aim).abs();
            let inside =
                list.filter(|drill| (least..=greatest).contains(&drill.size.mm().to_f64()));
            inside.min_by(|a, b| off(a).total_cmp(&off(b)))
        };
        [nearest(&mut Drill::metric()), nearest(&mut Drill::inch())].into_iter().flatten().collect()
    }

    /// Least, greatest and aimed bore, in mm.
    fn drilled(&self, limits: Option<&Limits>) -> Option<[f64; 3]> {
        let of = self.with_side(Side::Internal).diameters().ok()?;
        let basic = self.engagement(&of.minor)?.basic * self.pitch().to_f64();
        let limit = limits.map(Limits::minor);
        let both = limit.and_then(|limit| limit.least().zip(limit.greatest()));
        let [part, off] = USUAL;
        let bore = |part: f64| of.major.mm() - part * basic;
        let [least, greatest] = both.map_or_else(
            || [bore(part + off), bore(part - off)],
            |(least, greatest)| [least, greatest].map(|of| of.mm().to_f64()),
        );
        let up = both.is_some() && self.form() == Form::Sixty;
        Some([least, greatest, if up { least + UP * (greatest - least) } else { bore(part) }])
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::cut;
    use super::*;
    use crate::tolerance::default_class;

    fn drills(text: &str) -> Vec<String> {
        let target: crate::Target = text.parse().unwrap();
        let limits = target
            .thread()
            .and_then(|thread| Limits::of(&thread, default_class(&thread, true)?).ok());
        let nut = cut(text).with_side(Side::Internal);
        nut.tap_drills(limits.as_ref()).iter().map(ToString::to_string).collect()
    }

    /// Usual drills of inch tables (common practice, no source): the lists and the choice at once. Of #6-32 tables
    /// have number 36; 7/64 in is a tenth of a thousandth nearer.
    #[test]
    fn inch_drills_are_the_usual_ones() {
        for (thread, usual) in [
            ("1/4-20 UNC", "number 7"),
            ("1/4-28 UNF", "number 3"),
            ("5/16-18 UNC", "letter F"),
            ("3/8-16 UNC", "5/16 in"),
            ("7/16-14 UNC", "letter U"),
            ("1/2-13 UNC", "27/64 in"),
            ("#10-24 UNC", "number 25"),
            ("#10-32 UNF", "number 21"),
            ("#8-32 UNC", "number 29"),
        ] {
            assert_eq!(drills(thread).last().map(String::as_str), Some(usual), "{thread}");
        }
        assert_eq!(drills("1 1/2-6 UNC"), ["34 mm", "1 21/64 in"]);
    }

    /// Numbers and letters run one way and overlap nowhere: Z is over 13/32 in, A over number 1.
    #[test]
    fn lists_of_drills_run_one_way() {
        assert!(NUMBERS.is_sorted_by(|a, b| a > b) && LETTERS.is_sorted_by(|a, b| a < b));
        assert!(LETTERS[0] * 10 > NUMBERS[0] && NUMBERS[79] == 135 && LETTERS[25] == 413);
        let metric: Vec<Drill> = Drill::metric().collect();
        assert!(metric.is_sorted_by(|a, b| a.size < b.size));
        assert_eq!(metric.len(), 56 + 110 + 72 + 38);
        assert_eq!(Drill::inch().count(), 128 + 80 + 26);
    }

    /// ISO 68-1: 5/8 H and 3/4 H on each side. Whitworth has the same depth in screw and nut.
    #[test]
    fn each_form_has_its_bases() {
        let of = |text: &str| {
            let cut = cut(text).with_side(Side::Internal);
            let minor = cut.diameters().unwrap().minor;
            cut.engagement(&minor).unwrap()
        };
        let metric = of("M10");
        assert!((metric.of_basic - 1.0).abs() < 1e-12 && (metric.basic - 1.082_532).abs() < 1e-6);
        assert!((metric.of_american.unwrap() - 5.0 / 6.0).abs() < 1e-12);
        let whitworth = of("1/2 BSW");
        assert!((whitworth.basic - 1.280_655).abs() < 1e-6 && whitworth.of_american.is_none());
        assert!((of("0 BA").basic - 1.2).abs() < 1e-12);
    }

    #[test]
    fn what_is_not_tapped_has_no_drill() {
        for text in ["Tr 20x4", "1/2 NPT", "1.5 mm", "module 1"] {
            assert!(drills(text).is_empty(), "{text}");
        }
        // Between 0.729 and 0.803 mm lies no fraction, but a number.
        assert_eq!(drills("M1"), ["0.75 mm", "number 69"]);
    }
}
