//! What are the limits of the three diameters? Basic size, deviation and tolerance together.

use super::basic::less;
use super::class::Kind;
use super::{Basic, Class};
use crate::thread::Sureness;
use crate::{Length, Ratio, Result};

/// The least and the greatest allowed diameter.
///
/// Where a standard has no limit for the root, its depth depends on the tool: a bolt's minor
/// diameter has then only a greatest, a nut's major diameter only a least.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limit {
    pub(super) least: Option<Length>,
    pub(super) greatest: Option<Length>,
}

impl Limit {
    /// The least allowed.
    pub const fn least(&self) -> Option<Length> {
        self.least
    }

    /// The greatest allowed.
    pub const fn greatest(&self) -> Option<Length> {
        self.greatest
    }

    pub(super) const fn at_least(least: Length) -> Self {
        Self { least: Some(least), greatest: None }
    }

    pub(super) const fn at_most(greatest: Length) -> Self {
        Self { least: None, greatest: Some(greatest) }
    }

    pub(super) fn down(from: &Length, by: &Ratio) -> Result<Self> {
        let least = Length::from_mm(less(&from.mm(), by)?);
        Ok(Self { least: Some(least), greatest: Some(*from) })
    }

    pub(super) fn up(from: &Length, by: &Ratio) -> Result<Self> {
        Ok(Self { least: Some(*from), greatest: Some(Length::from_mm(from.mm().plus(by)?)) })
    }
}

/// Limits of the three diameters of a thread, by class.
///
/// ```
/// use solver::thread;
/// use solver::tolerance::Limits;
/// let m10 = thread::all().find(|t| t.designation() == "M10").unwrap();
/// let bolt = Limits::of(&m10, "6g".parse()?)?;
/// assert_eq!(bolt.pitch().greatest(), Some("8.994 mm".parse()?));
/// assert_eq!(bolt.pitch().least(), Some("8.862 mm".parse()?));
/// assert_eq!(bolt.major().greatest(), Some("9.968 mm".parse()?));
///
/// let unc = thread::all().find(|t| t.designation() == "1/4-20 UNC").unwrap();
/// let bolt = Limits::of(&unc, "2A".parse()?)?;
/// assert_eq!(bolt.pitch().greatest().unwrap().inches()?, "0.2164".parse()?);
///
/// let whitworth = thread::all().find(|t| t.designation() == "1/2 BSW").unwrap();
/// assert!(Limits::of(&whitworth, "2A".parse()?).unwrap_err().is_no_such());
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    class: Class,
    pub(super) major: Limit,
    pitch: Limit,
    pub(super) minor: Limit,
    tolerance: Length,
    sureness: Sureness,
}

impl Limits {
    /// The class.
    pub const fn class(&self) -> Class {
        self.class
    }

    /// Major diameter: over a bolt's crests, or to a nut's roots.
    pub const fn major(&self) -> Limit {
        self.major
    }

    /// Pitch diameter; it has both limits.
    pub const fn pitch(&self) -> Limit {
        self.pitch
    }

    /// Minor diameter: at a bolt's roots, or the bore of a nut.
    pub const fn minor(&self) -> Limit {
        self.minor
    }

    /// Tolerance of the pitch diameter: greatest minus least.
    pub const fn pitch_tolerance(&self) -> Length {
        self.tolerance
    }

    /// Source of the tolerance of the pitch diameter. Tolerances of the crests and the metric
    /// deviations are all from memory, tested against the formulas of their standard.
    pub const fn sureness(&self) -> Sureness {
        self.sureness
    }
}

/// The three tolerances of a class, and its distance from the basic size.
pub(super) struct Figures {
    pub(super) deviation: Option<Ratio>,
    pub(super) pitch: Ratio,
    pub(super) crest: Ratio,
}

/// A bolt is below the basic profile.
pub(super) fn bolt(
    class: Kind,
    basic: &Basic,
    figures: &Figures,
    sureness: Sureness,
) -> Result<Limits> {
    let begins = |at: Length| match &figures.deviation {
        Some(by) => less(&at.mm(), by).map(Length::from_mm),
        None => Ok(at),
    };
    Ok(Limits {
        class: Class(class),
        major: Limit::down(&begins(basic.major())?, &figures.crest)?,
        pitch: Limit::down(&begins(basic.pitch())?, &figures.pitch)?,
        minor: Limit::at_most(begins(basic.minor())?),
        tolerance: Length::from_mm(figures.pitch),
        sureness,
    })
}

/// A nut is above the basic profile.
pub(super) fn nut(
    class: Kind,
    basic: &Basic,
    figures: &Figures,
    sureness: Sureness,
) -> Result<Limits> {
    let begins = |at: Length| match &figures.deviation {
        Some(by) => at.mm().plus(by).map(Length::from_mm),
        None => Ok(at),
    };
    Ok(Limits {
        class: Class(class),
        major: Limit::at_least(begins(basic.major())?),
        pitch: Limit::up(&begins(basic.pitch())?, &figures.pitch)?,
        minor: Limit::up(&begins(basic.minor())?, &figures.crest)?,
        tolerance: Length::from_mm(figures.pitch),
        sureness,
    })
}

#[cfg(test)]
mod tests {
    use super::super::tests::named;
    use super::*;
    use crate::thread;
    use crate::tolerance::Standard;
    use proptest::prelude::*;

    fn limits(designation: &str, class: &str) -> Limits {
        Limits::of(&named(designation), class.parse().unwrap())
            .unwrap_or_else(|e| panic!("{designation} {class}: {e}"))
    }

    /// Greatest and least, in mm or inches; 0 is none.
    fn is(limit: Limit, unit: &str, printed: [&str; 2]) {
        let length = |text: &str| (text != "0").then(|| format!("{text} {unit}").parse().unwrap());
        assert_eq!([limit.greatest(), limit.least()], printed.map(length), "{printed:?}");
    }

    /// ISO 965-2 and tables of 4g6g; from memory, except the pitch diameters and tolerances that are
    /// in the file of printed limits too.
    #[test]
    fn metric_limits_as_printed() {
        for (name, class, major, pitch, minor) in [
            ("M10", "6g", ["9.968", "9.732"], ["8.994", "8.862"], ["8.344", "0"]),
            ("M10", "6H", ["0", "10"], ["9.206", "9.026"], ["8.676", "8.376"]),
            ("M6", "6g", ["5.974", "5.794"], ["5.324", "5.212"], ["4.891", "0"]),
            ("M6", "6H", ["0", "6"], ["5.5", "5.35"], ["5.153", "4.917"]),
            ("M20", "6g", ["19.958", "19.623"], ["18.334", "18.164"], ["17.252", "0"]),
            ("M20", "6H", ["0", "20"], ["18.6", "18.376"], ["17.744", "17.294"]),
            ("M8", "4g6g", ["7.972", "7.76"], ["7.16", "7.085"], ["6.619", "0"]),
            ("M10", "6h", ["10", "9.764"], ["9.026", "8.894"], ["8.376", "0"]),
            ("M10", "6G", ["0", "10.032"], ["9.238", "9.058"], ["8.708", "8.408"]),
        ] {
            let limits = limits(name, class);
            is(limits.major(), "mm", major);
            is(limits.pitch(), "mm", pitch);
            is(limits.minor(), "mm", minor);
        }
    }

    /// ASME B1.1, table of limits of standard series; crests from memory.
    #[test]
    fn unified_limits_as_printed() {
        for (name, class, major, pitch, minor) in [
            ("1/4-20 UNC", "1A", ["0.2489", "0.2367"], ["0.2164", "0.2108"], ["0.1948", "0"]),
            ("1/4-20 UNC", "2A", ["0.2489", "0.2408"], ["0.2164", "0.2127"], ["0.1948", "0"]),
            ("1/4-20 UNC", "3A", ["0.25", "0.2419"], ["0.2175", "0.2147"], ["0.1959", "0"]),
            ("1/4-20 UNC", "2B", ["0", "0.25"], ["0.2224", "0.2175"], ["0.207", "0.196"]),
            ("1/4-20 UNC", "3B", ["0", "0.25"], ["0.2211", "0.2175"], ["0.2067", "0.196"]),
            ("1/2-13 UNC", "2A", ["0.4985", "0.4876"], ["0.4485", "0.4435"], ["0.4152", "0"]),
            ("1/2-13 UNC", "2B", ["0", "0.5"], ["0.4565", "0.45"], ["0.434", "0.417"]),
            ("1/2-13 UNC", "3B", ["0", "0.5"], ["0.4548", "0.45"], ["0.4284", "0.417"]),
            ("#0-80 UNF", "2B", ["0", "0.06"], ["0.0542", "0.0519"], ["0.0514", "0.0465"]),
            ("#6-32 UNC", "2B", ["0", "0.138"], ["0.1214", "0.1177"], ["0.114", "0.104"]),
            ("#10-24 UNC", "2B", ["0", "0.19"], ["0.1672", "0.1629"], ["0.156", "0.145"]),
            ("#10-24 UNC", "3B", ["0", "0.19"], ["0.1661", "0.1629"], ["0.1555", "0.145"]),
            ("1-8 UNC", "2A", ["0.998", "0.983"], ["0.9168", "0.91"], ["0.8627", "0"]),
            ("1-8 UNC", "2B", ["0", "1"], ["0.9276", "0.9188"], ["0.89", "0.865"]),
            ("1-8 UNC", "3B", ["0", "1"], ["0.9254", "0.9188"], ["0.8797", "0.865"]),
        ] {
            let limits = limits(name, class);
            is(limits.major(), "in", major);
            // The printed pitch diameters may be 0.0001 in off ours in one row of twenty.
            let near = |ours: Option<Length>, printed: &str| {
                let printed = format!("{printed} in").parse::<Length>().unwrap().mm();
                ours.unwrap()
                    .mm()
                    .apart(&printed)
                    .unwrap()
                    .is_none_or(|by| by <= Ratio::table(127, 50_000))
            };
            assert!(near(limits.pitch().greatest(), pitch[0]), "{name} {class}");
            assert!(near(limits.pitch().least(), pitch[1]), "{name} {class}");
            is(limits.minor(), "in", minor);
        }
    }

    #[test]
    fn a_nut_of_the_smallest_metric_thread() {
        is(limits("M1", "5H").pitch(), "mm", ["0.894", "0.838"]);
    }

    /// ISO 228-1, table 1.
    #[test]
    fn pipe_limits_as_printed() {
        is(limits("G 1/2", "A").major(), "mm", ["20.955", "20.671"]);
        is(limits("G 1/2", "A").pitch(), "mm", ["19.793", "19.651"]);
        is(limits("G 1/2", "B").pitch(), "mm", ["19.793", "19.509"]);
        is(limits("G 1/2", "internal").pitch(), "mm", ["19.935", "19.793"]);
        is(limits("G 1/2", "internal").minor(), "mm", ["19.172", "18.631"]);
        is(limits("G 1", "internal").minor(), "mm", ["30.931", "30.291"]);
    }

    #[test]
    fn refusals_say_what_would_be_right() {
        for (name, class, words, hint) in [
            ("M10", "2A", "2A is a class of ASME B1.1; M10 has those of ISO 965-1", "6g, 6h"),
            ("1/4-20 UNC", "6g", "1/4-20 UNC has those of ASME B1.1", "2A, 3A, 1A, 2B"),
            ("G 1/2", "2B", "those of ISO 228-1", "A, B, internal"),
            ("Tr40x7", "6g", "6g is a class of ISO 965-1; Tr40x7 has those of ISO 2903", "7e, 8e"),
            ("1/2 BSW", "6g", "no limits are known here for 1/2 BSW", "metric, unified, G, Tr"),
            ("module 1", "6g", "no limits are known here", "standard"),
            ("G 1 3/8", "A", "G 1 3/8: ISO 228-1 has no such size", "G 1/16 to G 6"),
            (
                "M10x0.5",
                "6g",
                "no grade 6 for the pitch diameter at 10 mm x 1/2 mm",
                "0.75, 1, 1.25, 1.5",
            ),
            ("M3", "8H", "no grade 8 for the pitch diameter", "grade 4, 5, 6, 7"),
            ("M3", "6g8g", "no grade 8 for the major diameter", "grade 4, 6"),
            ("M1.6x0.2", "6H", "no grade 6 for the pitch diameter", "there it has grade 4"),
            ("M2", "6e", "no position e", "position h"),
        ] {
            let error = Limits::of(&named(name), class.parse().unwrap()).unwrap_err();
            assert!(error.to_string().contains(words), "{name} {class}: {error}");
            assert!(error.hint().unwrap().contains(hint), "{name} {class}: {:?}", error.hint());
        }
        let size: Length = "400 mm".parse().unwrap();
        let pitch = "4 mm".parse().unwrap();
        let error = Limits::of_size(&size, &pitch, "6g".parse().unwrap()).unwrap_err();
        assert!(error.hint().unwrap().contains("355 mm"), "{error}");
        assert!(Limits::of_size(&size, &pitch, "A".parse().unwrap()).unwrap_err().is_conflict());
    }

    /// Tables with a source and one without.
    #[test]
    fn a_limit_says_how_sure_it_is() {
        assert_eq!(limits("M10", "6g").sureness(), Sureness::CrossChecked);
        assert_eq!(limits("M10", "5g6g").sureness(), Sureness::Single);
        assert_eq!(limits("M12x1.25", "6H").sureness(), Sureness::Split);
        assert_eq!(limits("M64", "6g").sureness(), Sureness::Memory);
    }

    /// Every class, of bolts and of nuts.
    fn classes(internal: bool) -> Vec<Class> {
        let grades = |side: &str, positions: &str| -> Vec<Class> {
            let each = |p: char| {
                ('3'..='9').flat_map(move |a| ('3'..='9').map(move |b| format!("{a}{p}{b}{p}")))
            };
            let metric = positions.chars().flat_map(each);
            let unified = ('1'..='3').map(|n| format!("{n}{side}"));
            metric.chain(unified).filter_map(|text| text.parse().ok()).collect()
        };
        let standards = [Standard::Iso2903, Standard::AsmeB15, Standard::Bs93];
        let mut all = if internal { grades("B", "GH") } else { grades("A", "efgh") };
        all.extend(standards.iter().flat_map(|standard| standard.classes(internal)));
        all
    }

    fn width(limit: Limit) -> Option<Ratio> {
        limit.greatest()?.mm().apart(&limit.least()?.mm()).unwrap()
    }

    #[test]
    fn limits_are_ordered_and_a_bolt_enters_its_nut() {
        let (bolts, nuts) = (classes(false), classes(true));
        assert_eq!((bolts.len(), nuts.len()), (4 * 21 + 3 + 7, 2 * 25 + 3 + 6));
        let mut checked = 0;
        for thread in thread::all().filter(|t| Standard::of(t.series()).is_some()) {
            let basic = Basic::of(&thread).unwrap().unwrap();
            let of = |classes: &[Class]| -> Vec<Limits> {
                classes.iter().filter_map(|class| Limits::of(&thread, *class).ok()).collect()
            };
            for bolt in of(&bolts) {
                assert!(bolt.major().greatest() <= Some(basic.major()), "{thread}");
                assert!(bolt.pitch().greatest() <= Some(basic.pitch()), "{thread}");
                assert!(bolt.pitch().greatest() < bolt.major().greatest(), "{thread}");
                assert!(bolt.minor().greatest() < bolt.pitch().greatest(), "{thread}");
                assert_eq!(width(bolt.pitch()), Some(bolt.pitch_tolerance().mm()), "{thread}");
                assert!(bolt.major().least() < bolt.major().greatest(), "{thread}");
                checked += 1;
            }
            for nut in of(&nuts) {
                assert!(nut.major().least() >= Some(basic.major()), "{thread}");
                assert!(nut.pitch().least() >= Some(basic.pitch()), "{thread}");
                assert!(nut.minor().least() < nut.minor().greatest(), "{thread}");
                assert!(nut.minor().greatest() < nut.major().least(), "{thread}");
                assert_eq!(width(nut.pitch()), Some(nut.pitch_tolerance().mm()), "{thread}");
                checked += 1;
            }
        }
        assert!(checked > 20_000, "{checked}");
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn a_coarser_grade_is_wider(index in 0_usize..895, a in 3_u8..=9, b in 3_u8..=9, side in "[gh]|[GH]") {
            let thread = thread::all().nth(index).unwrap();
            let of = |pitch: u8| Limits::of(&thread, format!("{pitch}{side}6{side}").parse().ok()?).ok();
            if let (Some(x), Some(y)) = (of(a), of(b)) {
                prop_assert_eq!(a.cmp(&b), x.pitch_tolerance().cmp(&y.pitch_tolerance()));
                prop_assert_eq!(x.major(), y.major());
                prop_assert_eq!(x.minor(), y.minor());
            }
        }

        #[test]
        fn closer_unified_classes_are_narrower(index in 501_usize..895, side in "[AB]") {
            let thread = thread::all().nth(index).unwrap();
            let of = |n: u8| Limits::of(&thread, format!("{n}{side}").parse().unwrap()).unwrap();
            prop_assert!(of(1).pitch_tolerance() > of(2).pitch_tolerance());
            prop_assert!(of(2).pitch_tolerance() > of(3).pitch_tolerance());
        }

        /// Every request gives limits or an error.
        #[test]
        fn no_size_breaks_it(n in 1_u64.., d in 1_u64.., p in 1_u64.., q in 1_u64.., class in "[1-9][efghGHAB]") {
            let (diameter, pitch) = (Length::from_mm(Ratio::table(n, d)), Length::from_mm(Ratio::table(p, q)));
            if let Ok(class) = class.parse::<Class>()
                && let Ok(limits) = Limits::of_size(&diameter, &pitch, class)
            {
                prop_assert!(limits.pitch().least() < limits.pitch().greatest());
            }
        }
    }
}
