//! How deep is a thread cut, how is it measured, and how fast may the spindle turn?
//!
//! ```text
//!      crest ____                ____   major diameter of a screw, minor of a nut
//!                \              /   |
//!                 \            /    |  crest    depth = crest + P/(4 tan a) - tip:
//!      - - - - - - \ - P/2 - -/ - - - - - - -   on the pitch line groove and ridge are equal
//!                   \        /      |  root
//!                    \______/ _____ |
//!                     \    /  |  tip: how far the tool ends above the sharp point of its flanks
//!                      \  /   |
//!                       \/ ___|         a: half the included angle
//! ```
//!
//! Sizes are basic. Only the blank and the pitch diameter to aim at follow the class, where one is known
//! ([`Blank`]). Strength, material and cutting speed are not known here. A length is exact where its
//! formula is rational. A formula with a root, an angle or pi gives a double, right to a millionth of a
//! micrometre for any thread and marked as rounded.
//!
//! ```
//! use solver::cutting::{Cut, Tip};
//! let screw = Cut::of(&"M10".parse()?)?;
//! // A tool with a nose radius of 0.1 mm.
//! let depth = screw.depth(Tip::Nose("0.1 mm".parse()?))?;
//! assert_eq!(format!("{:.3}", depth.depth.mm()), "1.037");
//! # Ok::<(), solver::Error>(())
//! ```
//!
//! | question | where |
//! |---|---|
//! | which form has this thread; was it assumed? | [`Cut::form`], [`Cut::is_form_assumed`] |
//! | what do I turn or bore it to? | [`Blank`], [`Cut::diameters`] |
//! | how deep, with this tool; how far along the top slide? | [`Cut::depth_in`], [`Cut::top_slide`] |
//! | how deep is each pass? | [`Outline::passes`], [`Cut::slot`] |
//! | which wires, and what do I read over them? | [`Cut::wires`] |
//! | what is measured where on a taper? | [`Cut::tapered`] |
//! | how much must the tool be relieved? | [`Cut::lead_angle`] |
//! | how wide is the undercut at its end? | [`undercut()`], [`short_undercut()`] |
//! | how fast may it turn at the end of the cut? | [`Stop`], [`Pace`] |
//! | how fast may the work run past the tool? | [`SurfaceSpeed`], [`Material`] |
//! | how smooth can a feed be? | [`finish`], [`roughness`], [`feed_for_roughness`] |

use crate::{Error, Hand, Lead, Length, Ratio, Result, Target};
use std::f64::consts::PI;

mod blank;
mod cone;
mod depth;
mod drill;
mod feed;
mod form;
mod measure;
mod outline;
mod passes;
mod speed;
mod surface;
mod taper;
mod tooth;
mod undercut;
mod wires;
mod worm;

pub use blank::{Against, Blank};
pub use cone::Cone;
pub use depth::{Along, Depth, Ground, Infeed, Tip, TopSlide};
pub use drill::{Drill, Overlap};
pub use feed::{feed_for, feed_for_roughness, finish, roughness};
pub use form::Form;
pub use measure::Measure;
pub use outline::Outline;
pub use passes::{FIRST, PassRule, Passes, SPRING_PASSES, Slot};
pub use speed::{COASTING, Pace, REACTION, Stop};
pub use surface::{Material, Operation, SpeedSource, SurfaceSpeed, ToolSteel};
pub use taper::{American, Kind, Tapered};
pub use tooth::Tooth;
pub use undercut::{Undercut, short_undercut, undercut};
pub use wires::{OverWires, Wires};
pub use worm::{Normal, axial_module};

/// Outside or inside.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub enum Side {
    /// A screw.
    #[default]
    External,
    /// A nut.
    Internal,
}

impl Side {
    /// The other side.
    pub const fn other(self) -> Self {
        match self {
            Self::External => Self::Internal,
            Self::Internal => Self::External,
        }
    }
}

/// A thread to be cut.
///
/// ```
/// use solver::Target;
/// use solver::cutting::{Cut, Side, Tip};
/// let target: Target = "M10".parse()?;
/// let screw = Cut::of(&target)?;
/// assert_eq!(format!("{:.3}", screw.diameters()?.pitch.mm()), "9.026");
///
/// // A nose of 0.1 mm goes deeper than the 0.920 mm of the standard's root.
/// let depth = screw.depth(Tip::Nose("0.1 mm".parse()?))?;
/// assert_eq!(format!("{:.3}", depth.depth.mm()), "1.037");
///
/// let nut = screw.with_side(Side::Internal);
/// assert_eq!(format!("{:.3}", nut.diameters()?.blank(Side::Internal).mm()), "8.376");
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cut {
    form: Form,
    assumed: bool,
    taper: Option<taper::Taper>,
    pitch: Lead,
    lead: Lead,
    hand: Hand,
    side: Side,
    diameter: Option<Length>,
}

/// Basic diameters of a thread.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Diameters {
    /// Over the crests of the screw.
    pub major: Measure,
    /// Where groove and ridge are equally wide.
    pub pitch: Measure,
    /// Over the crests of the nut.
    pub minor: Measure,
    /// At the root of the cut groove: below the minor diameter in a screw, at or above the major
    /// diameter in a nut.
    pub root: Measure,
}

impl Diameters {
    /// The diameter turned (screw) or bored (nut) before the thread is cut. Basic: a nut is often
    /// bored slightly larger, within its class.
    pub const fn blank(&self, side: Side) -> Measure {
        match side {
            Side::External => self.major,
            Side::Internal => self.minor,
        }
    }
}

/// The coarsest pitch with an assumed form, in mm.
const COARSEST_ASSUMED: f64 = 6.0;

impl Cut {
    /// The thread of a target: a screw, right-handed unless stated, with the diameter of its name.
    /// Where the target names only a pitch the 60 degree form is assumed; a worm has 20 degrees.
    ///
    /// # Errors
    /// For a feed, and for a thread without a form in this library.
    pub fn of(target: &Target) -> Result<Self> {
        if target.travel().is_feed() {
            return Err(Error::conflict(format!("{target} is a feed: it has no thread form"))
                .with_hint("a thread such as M10 or 1.5 mm"));
        }
        let (thread, pitch) = (target.thread(), target.pitch());
        let form = match thread {
            Some(thread) => Form::of(&thread)?,
            None if pitch.has_pi() => Form::WORM,
            None => Form::Sixty,
        };
        Ok(Self {
            form,
            assumed: thread.is_none() && !pitch.has_pi(),
            taper: thread.as_ref().and_then(taper::Taper::of),
            pitch,
            lead: target.lead(),
            hand: target.hand().unwrap_or(Hand::Right),
            side: Side::External,
            diameter: thread.and_then(|t| t.diameter()),
        })
    }

    /// The same as a nut or a screw.
    pub const fn with_side(self, side: Side) -> Self {
        Self { side, ..self }
    }

    /// The same in another hand.
    pub const fn with_hand(self, hand: Hand) -> Self {
        Self { hand, ..self }
    }

    /// Another major diameter: over the crests of the screw.
    pub const fn with_diameter(self, diameter: Length) -> Self {
        Self { diameter: Some(diameter), ..self }
    }

    /// Another form, which is then no longer assumed.
    pub const fn with_form(self, form: Form) -> Self {
        Self { form, assumed: false, ..self }
    }

    /// Its form.
    pub const fn form(&self) -> Form {
        self.form
    }

    /// Whether the form was assumed, since only a pitch was named: a page must say so.
    pub const fn is_form_assumed(&self) -> bool {
        self.assumed
    }

    /// Whether it is too coarse for the assumed form. A bare pitch over 6 mm may mean an oil groove,
    /// a worm or the like, so no depth is assumed (common practice, no source; ISO 261 has no coarse
    /// pitch over 6 mm).
    pub fn is_form_open(&self) -> bool {
        self.assumed && self.pitch.to_f64() > COARSEST_ASSUMED
    }

    /// Growth of its diameter along the axis: it needs a taper attachment. Its diameters are those
    /// of the gauge plane.
    pub const fn taper(&self) -> Option<Ratio> {
        match self.cone() {
            Some(cone) => Some(cone.on_diameter()),
            None => None,
        }
    }

    /// Whether its last threads run out on the pipe, as ASME B1.20.1 has it.
    pub(crate) const fn runs_out_on_pipe(&self) -> bool {
        matches!(self.taper, Some(taper::Taper::American { .. }))
    }

    /// The same as a cone.
    pub const fn cone(&self) -> Option<Cone> {
        match self.taper {
            Some(taper) => Some(taper.cone()),
            None => None,
        }
    }

    /// Another taper than that of a pipe: a screw from the `blank` at its small end, a nut from the bore at its
    /// face, over a length.
    pub const fn with_taper(self, cone: Cone, blank: Length, over: Length) -> Self {
        Self { taper: Some(taper::Taper::Own { cone, blank, over }), ..self }
    }

    /// Sizes and lengths of a taper thread; `None`: it is parallel.
    ///
    /// ```
    /// use solver::cutting::Cut;
    /// let of = Cut::of(&"1/2 NPT".parse()?)?.tapered()?.unwrap();
    /// assert_eq!(format!("{:.5}", of.small_end.pitch.inches()), "0.75843"); // E0 of ASME B1.20.1
    /// assert_eq!(format!("{:.5}", of.gauge_plane.pitch.inches()), "0.77843"); // E1
    /// # Ok::<(), solver::Error>(())
    /// ```
    ///
    /// # Errors
    /// If its gauge length is not in this library.
    pub fn tapered(&self) -> Result<Option<Tapered>> {
        let pipe = self.taper.map(|pipe| pipe.tapered(self.diameters()?, &self.pitch));
        pipe.transpose()
    }

    /// From one thread to the next.
    pub const fn pitch(&self) -> Lead {
        self.pitch
    }

    /// Travel in one turn.
    pub const fn lead(&self) -> Lead {
        self.lead
    }

    /// Its hand.
    pub const fn hand(&self) -> Hand {
        self.hand
    }

    /// Screw or nut.
    pub const fn side(&self) -> Side {
        self.side
    }

    /// Basic diameters.
    ///
    /// # Errors
    /// If no diameter is known, or the thread is too coarse for it; and for an American taper pipe
    /// thread without a gauge length here.
    pub fn diameters(&self) -> Result<Diameters> {
        let [screw, nut, own] =
            [Side::External, Side::Internal, self.side].map(|s| self.form.legs(&self.pitch, s));
        let major = match self.taper {
            Some(taper) => {
                let crests = screw.crest.plus(&nut.crest).twice();
                taper.major(self.diameter, &self.pitch, self.side, &crests)?
            }
            None => Measure::from(self.diameter.ok_or_else(|| {
                Error::unknown("the diameter is not stated")
                    .with_hint("the major diameter, over the crests of the screw, such as 20 mm")
            })?),
        };
        let within = |measure: Measure, part: Measure| {
            measure.less(&part.twice()).ok_or_else(|| self.too_coarse(&major))
        };
        let pitch = within(major, screw.crest)?;
        let minor = within(pitch, nut.crest)?;
        let root = match self.side {
            Side::External => within(pitch, own.root)?,
            Side::Internal => pitch.plus(&own.root.twice()),
        };
        Ok(Diameters { major, pitch, minor, root })
    }

    fn too_coarse(&self, major: &Measure) -> Error {
        Error::conflict(format!("a pitch of {} leaves nothing of {major}", self.pitch))
            .with_hint("a larger diameter or a finer pitch")
    }

    /// Angle of the thread against a plane square to the axis, in degrees, at a diameter. A tool
    /// needs more relief by this angle on the leading side, less on the other. It is steepest at the
    /// smallest diameter. tan = lead / (pi d): unwinding a helix.
    pub fn lead_angle(&self, at: &Measure) -> f64 {
        (self.lead.to_f64() / (PI * at.mm())).atan().to_degrees()
    }

    /// The module of a worm: axial pitch over pi. `None` for other threads.
    pub fn module(&self) -> Option<Measure> {
        matches!(self.form, Form::Worm(_)).then(|| form::module(&self.pitch))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    pub(super) fn cut(text: &str) -> Cut {
        Cut::of(&text.parse().unwrap()).unwrap()
    }

    #[test]
    fn a_feed_is_no_thread() {
        let error = Cut::of(&"0.1 mm/rev".parse().unwrap()).unwrap_err();
        assert!(error.is_conflict() && error.to_string().contains("0.1 mm/rev is a feed"));
    }

    #[test]
    fn an_unnamed_thread_is_taken_as_sixty_degrees_and_that_is_known() {
        for (text, form, assumed) in [
            ("1.5 mm", Form::Sixty, true),
            ("11 tpi", Form::Sixty, true),
            ("M10", Form::Sixty, false),
            ("module 1.37", Form::WORM, false),
            ("20 DP", Form::WORM, false),
        ] {
            let cut = cut(text);
            assert_eq!((cut.form(), cut.is_form_assumed()), (form, assumed), "{text}");
        }
        assert!(!cut("1.5 mm").with_form(Form::Whitworth).is_form_assumed());
    }

    #[test]
    fn the_form_of_a_coarse_pitch_is_open() {
        for (text, open) in
            [("6 mm", false), ("6.1 mm", true), ("4 tpi", true), ("module 3", false)]
        {
            assert_eq!(cut(text).is_form_open(), open, "{text}");
        }
        assert!(
            !cut("25 mm").with_form(Form::Sixty).is_form_open() && !cut("Tr40x7").is_form_open()
        );
    }

    #[test]
    fn pipe_tapers_are_said_and_nothing_else_is_one() {
        let one_in_sixteen = Some(Ratio::table(1, 16));
        for (text, taper) in
            [("R 1/2", one_in_sixteen), ("3/4 NPT", one_in_sixteen), ("G 1/2", None), ("M10", None)]
        {
            assert_eq!(cut(text).taper(), taper, "{text}");
        }
    }

    #[test]
    fn what_is_missing_or_impossible_is_said() {
        let error = cut("1.5 mm").diameters().unwrap_err();
        assert!(error.is_unknown() && error.hint().unwrap().contains("20 mm"), "{error}");
        assert!(cut("8 NPT").diameters().unwrap_err().is_unknown());
        let thin = cut("1.5 mm").with_diameter("1.5 mm".parse().unwrap());
        let error = thin.diameters().unwrap_err();
        assert!(
            error.is_conflict() && error.to_string().contains("3/2 mm leaves nothing of 3/2 mm")
        );
        // 1.5 x 1.0825 = 1.624 is the minor diameter's share, 1.840 the root's of a screw.
        let nut = cut("1.5 mm").with_side(Side::Internal);
        assert!(nut.with_diameter("1.7 mm".parse().unwrap()).diameters().is_ok());
        assert!(cut("1.5 mm").with_diameter("1.7 mm".parse().unwrap()).diameters().is_err());
    }

    /// By hand: 16 starts of module 1 on 20 mm, lead 16 pi: tan = 16/20.
    #[test]
    fn lead_angle_is_by_lead_not_by_pitch() {
        let worm = cut("module 1 16 starts");
        let angle = worm.lead_angle(&Measure::from("20 mm".parse::<Length>().unwrap()));
        assert!((angle - 0.8_f64.atan().to_degrees()).abs() < 1e-12, "{angle}");
    }

    #[test]
    fn rational_forms_stay_exact() {
        let exact = |m: Measure| m.exact().map(|l| l.to_string());
        let of = |text: &str| cut(text).diameters().unwrap();
        assert_eq!(exact(of("Tr40x7").root), Some("32 mm".into()));
        assert_eq!(
            exact(of("2 BA").minor),
            Some("932/250 mm".parse::<Length>().unwrap().to_string())
        );
        assert_eq!(exact(of("1/2-10 ACME").root), Some("2413/250 mm".into()));
        assert_eq!(exact(of("M10").pitch), None);
        let worm = cut("module 2").with_diameter("24 mm".parse().unwrap()).diameters().unwrap();
        assert_eq!(
            (exact(worm.pitch), exact(worm.root)),
            (Some("20 mm".into()), Some("15 mm".into()))
        );
    }

    /// Every thread of every table that has a form and a diameter, screw and nut.
    #[test]
    fn diameters_are_in_order_and_apart_by_the_depth() {
        let mut count = 0;
        for thread in crate::thread::all() {
            for side in [Side::External, Side::Internal] {
                let named = Cut::of(&thread.designation().parse().unwrap());
                let Ok(cut) = named.map(|cut| cut.with_side(side)) else { continue };
                let Ok(of) = cut.diameters() else { continue };
                let [minor, pitch, major] = [of.minor, of.pitch, of.major].map(|m| m.mm());
                assert!(minor < pitch && pitch < major, "{thread}");
                let depth = cut.depth(Tip::Form).unwrap();
                let apart = (of.blank(side).mm() - of.root.mm()).abs() / 2.0;
                assert!((depth.depth.mm() - apart).abs() < 1e-9, "{thread}");
                // The other part's crest has room.
                assert!(!depth.is_too_blunt(), "{thread}");
                count += 1;
            }
        }
        // All but 41 worms, 6 American pipe threads, 10 conduit threads and 5 lamp caps.
        assert_eq!(count, 2 * (1500 - 41 - 6 - 10 - 5));
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        /// Sizes that no thread has are refused or computed; nothing panics, no figure is NaN.
        #[test]
        fn no_size_breaks_it(
            sides in prop::array::uniform8(prop_oneof![1_u128..1000, 1_u128..=u128::MAX]),
            text in prop::sample::select(vec!["M10", "Tr40x7 LH", "1/2-10 ACME", "module 1.37 5 starts", "1e-4 mm", "1e5 mm", "R 1/2"]),
            internal: bool,
        ) {
            let length = |i: usize| Length::from_mm(Ratio::new(sides[i], sides[i + 1]).unwrap());
            let side = if internal { Side::Internal } else { Side::External };
            let cut = cut(text).with_diameter(length(0)).with_side(side);
            for tip in [Tip::Form, Tip::Sharp, Tip::Nose(length(2)), Tip::Flat(length(2))] {
                if let Ok(depth) = cut.depth(tip) {
                    prop_assert!(depth.depth.mm() > 0.0 && depth.depth.mm().is_finite());
                    prop_assert!(cut.top_slide(&depth.depth).unwrap().travel > 0.0);
                }
            }
            if let Ok(of) = cut.diameters() {
                prop_assert!(of.root.mm() > 0.0 && of.root.mm().is_finite());
                prop_assert!((0.0..=90.0).contains(&cut.lead_angle(&of.root)));
            }
            if let Ok(wires) = cut.wires() {
                let _ = wires.over(&length(4).into(), &length(0).into());
            }
            let stop = Stop::new(cut.lead(), length(4), length(6).mm());
            let _ = (stop.fastest(&crate::Speeds::Range(1..=5000)), stop.rpm());
            let _ = (finish(length(4), length(6)), feed_for(length(4), length(6)));
            let _ = axial_module(length(4), 3, length(6));
        }
    }
}
