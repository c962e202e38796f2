//! Which shape has the groove of each form? Angle, crest and root, as parts of the pitch.
//!
//! H = P / (2 tan a) is the height of the sharp triangle, with a half its angle. Heights count from
//! the pitch line, where groove and ridge are equal:
//!
//! | form | crest of a screw | its root | crest of a nut | its root | source |
//! |---|---|---|---|---|---|
//! | 60 degrees | 3/8 H | H/3 (round, H/6) | H/4 | 3/8 H | ISO 68-1, ISO 724, ASME B1.1 |
//! | 55 | H/3 | H/3 (round) | as the screw | | BS 84, ISO 228-1, ISO 7-1 |
//! | 47.5 | 0.3 P | 0.3 P (round) | as the screw | | BS 93 |
//! | cycle, 60 | H/2 - P/6 | the same (round, P/6) | as the screw | | BS 811 |
//! | 30 | P/4 | P/4 + clearance | as the screw | | ISO 2904 |
//! | Acme, 29 | P/4 | P/4 + clearance | as the screw | | ASME B1.5 |
//! | stub Acme, 29 | 0.15 P | 0.15 P + clearance | as the screw | | ASME B1.8 |
//! | American pipe, 60 | 0.4 P | 0.4 P | as the screw | | ASME B1.20.1, from memory |
//! | worm | m | 1.25 m | as the screw | | ISO 53 proportions, from memory |
//!
//! The first seven are from open tables that quote the standards, not from the standards. The angle
//! of a worm is in the plane of the axis, as the tool is set.

use super::measure::{Factor, Measure};
use super::{Ground, Side};
use crate::thread::{acme, trapezoidal_tr};
use crate::{Error, Lead, Length, PressureAngle, Ratio, Result, Thread};
use std::f64::consts::PI;

/// The form of a thread.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Form {
    /// ISO metric and unified, 60 degrees.
    Sixty,
    /// Whitworth and its relatives (BSF, parallel and taper pipe, brass, model engineer), 55
    /// degrees.
    Whitworth,
    /// British Association, 47.5 degrees.
    BritishAssociation,
    /// Cycle, 60 degrees, round at crest and root.
    Cycle,
    /// ISO trapezoidal, 30 degrees.
    Trapezoidal,
    /// Acme, 29 degrees.
    Acme,
    /// Stub Acme, 29 degrees.
    StubAcme,
    /// American taper pipe, 60 degrees.
    AmericanPipe,
    /// A worm, with its half angle.
    Worm(PressureAngle),
}

/// From the pitch line to crest and root.
#[derive(Debug, Clone, Copy)]
pub(super) struct Legs {
    pub(super) crest: Measure,
    pub(super) root: Measure,
    /// The least root with room for the other part's crest.
    pub(super) least: Measure,
}

/// sqrt(3) / 2: H of a 60 degree thread.
pub(super) const SHARP_60: f64 = 0.866_025_403_784_438_6;

impl Form {
    /// A worm of 20 degrees (ISO 53).
    pub const WORM: Self = Self::Worm(PressureAngle::TWENTY);

    /// The form of a thread of the tables.
    ///
    /// # Errors
    /// If it is not in this library: steel conduit and lamp caps.
    pub fn of(thread: &Thread) -> Result<Self> {
        let whitworth = thread.included_angle() == Some(Ratio::table(55, 1));
        Ok(match thread.series().key() {
            "bsw" | "bsf" | "bsb" | "me" | "g" | "r" => Self::Whitworth,
            "optics" if whitworth => Self::Whitworth,
            "metric-coarse" | "metric-fine" | "unc" | "unf" | "unef" | "un" | "optics" => {
                Self::Sixty
            }
            "ba" => Self::BritishAssociation,
            "bsc" => Self::Cycle,
            "tr" => Self::Trapezoidal,
            "acme" | "acme-stock" => Self::Acme,
            "stub-acme" => Self::StubAcme,
            "npt" => Self::AmericanPipe,
            "module" | "dp" => Self::WORM,
            _ => return Err(not_known(thread)),
        })
    }

    /// Whether its tool ends in a point or a nose, without a real flat.
    pub const fn is_pointed(self) -> bool {
        !matches!(self, Self::Trapezoidal | Self::Acme | Self::StubAcme | Self::Worm(_))
    }

    /// Whether crests are as round as roots, and so fill them.
    pub(super) const fn has_round_crests(self) -> bool {
        matches!(self, Self::Whitworth | Self::BritishAssociation | Self::Cycle)
    }

    /// Half the included angle, in degrees.
    pub const fn half_angle(self) -> Ratio {
        match self {
            Self::Sixty | Self::Cycle | Self::AmericanPipe => Ratio::table(30, 1),
            Self::Whitworth => Ratio::table(55, 2),
            Self::BritishAssociation => Ratio::table(95, 4),
            Self::Trapezoidal => Ratio::table(15, 1),
            Self::Acme | Self::StubAcme => Ratio::table(29, 2),
            Self::Worm(angle) => angle.degrees(),
        }
    }

    /// Half the included angle, in radians.
    pub(super) fn radians(self) -> f64 {
        self.half_angle().to_f64().to_radians()
    }

    /// Half the height of the sharp triangle: from the pitch line to the point of the flanks.
    pub(super) fn to_sharp(self, pitch: &Lead) -> f64 {
        pitch.to_f64() / (4.0 * self.radians().tan())
    }

    pub(super) fn legs(self, pitch: &Lead, side: Side) -> Legs {
        let unit = Measure::from(*pitch);
        let [crest, root, least] = self.parts(side).map(|factor| {
            let unit = if matches!(self, Self::Worm(_)) { module(pitch) } else { unit };
            factor.of(&unit)
        });
        let root = self.clearance(&unit).map_or(root, |gap| root.plus(&gap));
        Legs { crest, root, least }
    }

    /// Crest, root without clearance, least root: parts of the pitch, of a worm's module.
    fn parts(self, side: Side) -> [Factor; 3] {
        let exact = |n, d| [Factor::Exact(Ratio::table(n, d)); 3];
        let rounded = |part| [Factor::Rounded(part); 3];
        match self {
            Self::Sixty => {
                let [crest, root, least] = match side {
                    Side::External => [3.0 / 8.0, 1.0 / 3.0, 1.0 / 4.0],
                    Side::Internal => [1.0 / 4.0, 3.0 / 8.0, 3.0 / 8.0],
                };
                [crest, root, least].map(|part: f64| Factor::Rounded(part * SHARP_60))
            }
            Self::Whitworth => rounded(1.0 / (6.0 * self.radians().tan())),
            Self::Cycle => rounded(SHARP_60 / 2.0 - 1.0 / 6.0),
            Self::BritishAssociation => exact(3, 10),
            Self::Trapezoidal | Self::Acme => exact(1, 4),
            Self::StubAcme => exact(3, 20),
            Self::AmericanPipe => exact(2, 5),
            Self::Worm(_) => {
                let [crest, _, least] = exact(1, 1);
                [crest, Factor::Exact(Ratio::table(5, 4)), least]
            }
        }
    }

    /// Room between the root of one part and the crest of the other.
    fn clearance(self, pitch: &Measure) -> Option<Measure> {
        let gap = match self {
            Self::Trapezoidal => trapezoidal_tr::clearance(pitch.mm()),
            Self::Acme | Self::StubAcme => acme::clearance(pitch.mm()),
            _ => return None,
        };
        Some(Measure::from(Length::from_mm(gap)))
    }

    /// The end of a tool for the form's own root: radius where the root is round, flat where it is
    /// flat.
    pub(super) fn ground(self, pitch: &Lead, side: Side) -> Ground {
        let (angle, root) = (self.radians(), self.legs(pitch, side).root.mm());
        let up = (self.to_sharp(pitch) - root).max(0.0);
        match (self, side) {
            (Self::Sixty, Side::External)
            | (Self::Whitworth | Self::BritishAssociation | Self::Cycle, _) => {
                Ground::Nose(up / (1.0 / angle.sin() - 1.0))
            }
            _ => Ground::Flat(2.0 * up * angle.tan()),
        }
    }

    /// Length of flank lost to the rounding of the crest, along the radius.
    pub(super) fn crest_rounding(self, pitch: &Lead) -> f64 {
        match (self, self.ground(pitch, Side::External)) {
            (Self::Sixty, _) | (_, Ground::Flat(_)) => 0.0,
            (_, Ground::Nose(radius)) => radius * (1.0 - self.radians().sin()),
        }
    }
}

fn not_known(thread: &Thread) -> Error {
    let standard = thread.series().standard();
    Error::unknown(format!("the form of {thread} ({}) is not known here", thread.series().name()))
        .with_hint(format!("depth and sizes from {}", standard.unwrap_or("a sample")))
}

/// Axial pitch over pi.
pub(super) fn module(pitch: &Lead) -> Measure {
    if pitch.has_pi() {
        Measure::from(Length::from_mm(pitch.mm()))
    } else {
        Measure::rounded(pitch.to_f64() / PI)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::thread;

    /// The tables have angles of their own.
    #[test]
    fn every_thread_has_a_form_of_its_own_angle_or_is_named_here() {
        let mut without = std::collections::BTreeSet::new();
        for row in thread::all() {
            match Form::of(&row) {
                Ok(Form::Worm(_)) => assert_eq!(row.included_angle(), None, "{row}"),
                Ok(form) => {
                    let both = form.half_angle().times(&Ratio::table(2, 1)).unwrap();
                    assert_eq!(row.included_angle(), Some(both), "{row}");
                }
                Err(error) => {
                    assert!(error.is_unknown() && error.to_string().contains("not known here"));
                    without.insert(row.series().key());
                }
            }
        }
        assert_eq!(without.into_iter().collect::<Vec<_>>(), ["edison", "pg"]);
    }

    /// The angle alone does not identify stub Acme: 0.3 P against 0.5 P.
    #[test]
    fn stock_acme_is_no_stub() {
        for row in thread::all().filter(|t| t.designation().contains("ACME")) {
            let stub = row.designation().contains("STUB");
            assert_eq!(Form::of(&row).unwrap() == Form::StubAcme, stub, "{row}");
        }
    }

    /// Height of the sharp triangle over P: ISO 68-1 0.866025, BS 84 0.960491, BS 93 1.136336 (read in
    /// open texts); 30 degrees 1.866025, 29 degrees 1.933357 (trade tables of Tr and Acme).
    #[test]
    fn sharp_heights_are_as_published() {
        let one = Lead::new("1 mm".parse().unwrap());
        for (form, height) in [
            (Form::Sixty, "0.866025"),
            (Form::Whitworth, "0.960491"),
            (Form::BritishAssociation, "1.136336"),
            (Form::Trapezoidal, "1.866025"),
            (Form::Acme, "1.933357"),
        ] {
            assert_eq!(format!("{:.6}", 2.0 * form.to_sharp(&one)), height, "{form:?}");
        }
    }

    /// Radius over P: ISO 68-1 root H/6 = 0.144338, BS 84 0.137329, BS 93 0.180834, BS 811 1/6; flats: ISO
    /// 68-1 nut P/8, ISO 2904 0.366 P - 0.536 clearance, ASME B1.5 0.3707 P - 0.259 x 0.020 in. From
    /// memory but for BS 811.
    #[test]
    fn tools_are_ground_as_published() {
        let one = Lead::new("1 mm".parse().unwrap());
        let ten = Lead::from_tpi("10".parse().unwrap()).unwrap();
        let nose = |form: Form, side| match form.ground(&one, side) {
            Ground::Nose(radius) => radius,
            Ground::Flat(_) => f64::NAN,
        };
        let flat = |form: Form, pitch, side| match form.ground(pitch, side) {
            Ground::Flat(width) => width,
            Ground::Nose(_) => f64::NAN,
        };
        let near =
            |got: f64, wanted: f64, by: f64| assert!((got - wanted).abs() < by, "{got} {wanted}");
        near(nose(Form::Sixty, Side::External), 0.144_338, 1e-6);
        near(nose(Form::Whitworth, Side::Internal), 0.137_329, 1e-6);
        near(nose(Form::BritishAssociation, Side::External), 0.180_834, 1e-6);
        near(nose(Form::Cycle, Side::External), 1.0 / 6.0, 1e-9);
        near(flat(Form::Sixty, &one, Side::Internal), 0.125, 1e-9);
        near(flat(Form::Trapezoidal, &one, Side::External), 0.366 - 0.536 * 0.15, 1e-4);
        near(flat(Form::Acme, &ten, Side::External) / 25.4, 0.037_07 - 0.259 * 0.020, 1e-5);
    }

    #[test]
    fn clearances_change_where_the_tables_do() {
        for (pitch, gap) in [
            (1.5, (3, 20)),
            (2.0, (1, 4)),
            (5.0, (1, 4)),
            (6.0, (1, 2)),
            (12.0, (1, 2)),
            (14.0, (1, 1)),
        ] {
            assert_eq!(trapezoidal_tr::clearance(pitch), Ratio::table(gap.0, gap.1), "{pitch}");
        }
        let gap = |tpi: &str| {
            let pitch = Lead::from_tpi(tpi.parse().unwrap()).unwrap();
            let gap = Form::Acme.clearance(&Measure::from(pitch)).unwrap();
            gap.exact().unwrap().inches().unwrap().to_string()
        };
        assert_eq!((gap("10"), gap("12")), ("1/100".into(), "1/200".into()));
    }
}
