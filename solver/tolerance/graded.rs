//! What are the limits of trapezoidal, Acme and British Association threads? Their roots have limits
//! too.

use super::basic::less;
use super::class::{Grade, Kind};
use super::limits::{Figures, Limit, Limits, bolt, nut};
use super::{Basic, Class, Standard, b1_5, bs93, iso2903};
use crate::thread::{Sureness, acme, trapezoidal_tr};
use crate::{Error, Length, Ratio, Result};

/// Of a class of ISO 2903, ASME B1.5 or BS 93.
pub(super) fn of(basic: &Basic, pitch: &Length, grade: Grade, internal: bool) -> Result<Limits> {
    match (Class(Kind::Graded { grade, internal })).standard() {
        Standard::Iso2903 => trapezoidal(basic, pitch, grade, internal),
        Standard::AsmeB15 => acme_limits(basic, pitch, grade, internal),
        _ => association(basic, pitch, grade, internal),
    }
}

/// The major diameter begins at the basic size; so does the root, one clearance away from the mate's
/// crest.
fn trapezoidal(basic: &Basic, pitch: &Length, grade: Grade, internal: bool) -> Result<Limits> {
    let of = iso2903::tolerances(&basic.major(), pitch, grade, internal)?;
    let room = trapezoidal_tr::clearance(pitch.mm().to_f64()).times(&Ratio::table(2, 1))?;
    let deviation = (!internal).then_some(of.deviation);
    let figures = Figures { deviation, pitch: of.pitch, crest: of.crest };
    let class = Kind::Graded { grade, internal };
    if internal {
        let mut limits = nut(class, basic, &figures, Sureness::Memory)?;
        limits.major = Limit::at_least(Length::from_mm(basic.major().mm().plus(&room)?));
        return Ok(limits);
    }
    let mut limits = bolt(class, basic, &figures, Sureness::Memory)?;
    limits.major = Limit::down(&basic.major(), &of.crest)?;
    let root = Length::from_mm(less(&basic.minor().mm(), &room)?);
    limits.minor = Limit::down(&root, &of.pitch.times(&Ratio::table(5, 4))?.plus(&of.deviation)?)?;
    Ok(limits)
}

fn acme_limits(basic: &Basic, pitch: &Length, grade: Grade, internal: bool) -> Result<Limits> {
    let of = b1_5::tolerances(&basic.major(), pitch, grade)?;
    let room = acme::clearance(pitch.mm().to_f64()).times(&Ratio::table(2, 1))?;
    let class = Kind::Graded { grade, internal };
    let crest = if internal { of.nut } else { of.screw };
    let deviation = (!internal).then(|| of.allowance.mm());
    let figures = Figures { deviation, pitch: of.pitch.mm(), crest: crest.mm() };
    if internal {
        let mut limits = nut(class, basic, &figures, Sureness::Memory)?;
        let root = Length::from_mm(basic.major().mm().plus(&room)?);
        limits.major = Limit::up(&root, &room)?;
        return Ok(limits);
    }
    let mut limits = bolt(class, basic, &figures, Sureness::Memory)?;
    limits.major = Limit::down(&basic.major(), &crest.mm())?;
    let root = Length::from_mm(less(&basic.minor().mm(), &room)?);
    limits.minor = Limit::down(&root, &of.root.mm())?;
    Ok(limits)
}

fn association(basic: &Basic, pitch: &Length, grade: Grade, internal: bool) -> Result<Limits> {
    if basic.major().mm() < bs93::SMALLEST {
        return Err(
            Error::no_such("no tolerance is known here below 10 BA").with_hint("0 BA to 10 BA")
        );
    }
    let of = bs93::tolerances(&pitch.mm(), grade, internal)?;
    let figures = Figures { deviation: of.allowance, pitch: of.pitch, crest: of.crest };
    let class = Kind::Graded { grade, internal };
    if internal {
        return nut(class, basic, &figures, Sureness::Single);
    }
    let mut limits = bolt(class, basic, &figures, Sureness::Single)?;
    if let (Some(greatest), Some(root)) = (limits.minor.greatest(), of.root) {
        limits.minor = Limit::down(&greatest, &root)?;
    }
    Ok(limits)
}

#[cfg(test)]
mod tests {
    use super::super::tests::named;
    use super::*;

    /// Greatest and least, in mm or inches; 0 is none.
    fn is(limit: Limit, unit: &str, printed: [&str; 2]) {
        let length = |text: &str| (text != "0").then(|| format!("{text} {unit}").parse().unwrap());
        assert_eq!([limit.greatest(), limit.least()], printed.map(length), "{printed:?}");
    }

    fn read(designation: &str, class: &str, internal: bool) -> Result<Limits> {
        let thread = named(designation);
        Limits::of(&thread, Class::read(class, Some(&thread), internal)?)
    }

    /// ISO 2903, Tr40x7 (screw root: 1.25 x 355 + 125 = 569); from memory. The basic sizes 36.5, 33,
    /// 32 are from a table.
    #[test]
    fn trapezoidal_limits_as_remembered() {
        let screw = read("Tr40x7", "7e", false).unwrap();
        is(screw.major(), "mm", ["40", "39.575"]);
        is(screw.pitch(), "mm", ["36.375", "36.02"]);
        is(screw.minor(), "mm", ["32", "31.43125"]);
        is(read("Tr40x7", "8e", false).unwrap().pitch(), "mm", ["36.375", "35.925"]);
        let nut = read("Tr40x7", "7H", true).unwrap();
        is(nut.major(), "mm", ["0", "41"]);
        is(nut.pitch(), "mm", ["36.975", "36.5"]);
        is(nut.minor(), "mm", ["33.56", "33"]);
        // Its deviations differ from the formula above a pitch of 12 mm.
        assert!(read("Tr60x14", "7e", false).unwrap_err().is_no_such());
    }

    /// ASME B1.5, table of limiting dimensions, 1/2-10; from memory.
    #[test]
    fn acme_limits_as_remembered() {
        for (class, pitch, root) in [
            ("2G", ["0.4443", "0.4306"], ["0.38", "0.3594"]),
            ("3G", ["0.4458", "0.4394"], ["0.38", "0.3704"]),
            ("4G", ["0.4472", "0.4426"], ["0.38", "0.3731"]),
        ] {
            let screw = read("1/2-10 ACME", class, false).unwrap();
            is(screw.major(), "in", ["0.5", "0.495"]);
            is(screw.pitch(), "in", pitch);
            is(screw.minor(), "in", root);
            let nut = read("1/2-10 ACME", class, true).unwrap();
            is(nut.major(), "in", ["0.54", "0.52"]);
            is(nut.minor(), "in", ["0.405", "0.4"]);
            assert_eq!(nut.pitch_tolerance(), screw.pitch_tolerance());
        }
    }

    /// BS 93, 0 BA: pitch diameter by published formulas, crests from memory.
    #[test]
    fn association_limits_by_the_formulas() {
        let screw = |class: &str| read("0 BA", class, false).unwrap();
        is(screw("close").pitch(), "mm", ["5.4", "5.3"]);
        is(screw("close").major(), "mm", ["6", "5.85"]);
        is(screw("normal").pitch(), "mm", ["5.375", "5.25"]);
        is(screw("normal").major(), "mm", ["5.975", "5.775"]);
        let nut = read("0 BA", "normal", true).unwrap();
        is(nut.pitch(), "mm", ["5.55", "5.4"]);
        is(nut.minor(), "mm", ["5.175", "4.8"]);
        assert!(read("11 BA", "close", false).unwrap_err().is_no_such());
    }

    #[test]
    fn they_say_how_sure_they_are() {
        let sureness = |name, class| read(name, class, false).unwrap().sureness();
        assert_eq!(sureness("Tr40x7", "7e"), Sureness::Memory);
        assert_eq!(sureness("1/2-10 ACME", "2G"), Sureness::Memory);
        assert_eq!(sureness("2 BA", "normal"), Sureness::Single);
    }
}
