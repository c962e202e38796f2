//! What is stated of the work, and why is a job refused?

use super::stated::{StatedSurface, StatedUndercut};
use super::trial::Now;
use crate::cutting::{Cone, Cut, Form, Material, PassRule, Side, Tip};
use crate::tolerance::{self, Class};
use crate::{Error, Length, Ratio, Result, Target};

/// The stated work; the rest follows from the target, is usual, or stays unknown.
#[derive(Debug, Clone, PartialEq)]
pub struct Work {
    /// Screw or nut.
    pub side: Side,
    /// Major diameter, for a pitch alone.
    pub diameter: Option<Length>,
    /// Class of the limits.
    pub class: Option<Class>,
    /// Form of the groove, for a pitch alone.
    pub form: Option<Profile>,
    /// Depth of the groove, for a pitch alone.
    pub depth: Option<Length>,
    /// Outside of a screw's blank, bore of a nut's, as measured.
    pub blank: Option<Length>,
    /// Taper of the thread, for a pitch alone.
    pub taper: Option<Cone>,
    /// Length of tapered work between its centres, where the tailstock is set over.
    pub centres: Option<Length>,
    /// The end of the tool.
    pub tip: Tip,
    /// Diameter of the three wires.
    pub wire: Option<Length>,
    /// Number of passes.
    pub passes: PassRule,
    /// Length of engagement for the lead error.
    pub over: Option<Length>,
    /// Spindle speed, in turns a minute.
    pub rpm: Option<u32>,
    /// The undercut.
    pub undercut: Option<StatedUndercut>,
    /// Whether the tool runs away from the headstock, out of the undercut.
    pub away: bool,
    /// What was measured or tried on the half-cut thread.
    pub now: Option<Now>,
    /// Pitch diameter of the screw that a nut is cut to.
    pub mate: Option<Length>,
    /// The tool or the work was taken out: the thread is picked up again.
    pub reset: bool,
    /// Reaction time in seconds.
    pub reaction: Option<Ratio>,
    /// Seconds from switching off to rest.
    pub coasting: Option<Coasting>,
    /// The surface speed.
    pub surface: Option<StatedSurface>,
    /// Ra that a feed is to leave.
    pub roughness: Option<Length>,
}

impl Default for Work {
    /// A screw with nothing else stated.
    fn default() -> Self {
        Self {
            side: Side::External,
            diameter: None,
            class: None,
            form: None,
            depth: None,
            blank: None,
            taper: None,
            centres: None,
            tip: Tip::Form,
            wire: None,
            passes: PassRule::Usual,
            over: None,
            rpm: None,
            undercut: None,
            away: false,
            now: None,
            mate: None,
            reset: false,
            reaction: None,
            coasting: None,
            surface: None,
            roughness: None,
        }
    }
}

/// The form of a groove where only the pitch is named.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Profile {
    /// The form of a thread.
    Thread(Form),
    /// Round, as an oil groove.
    Round,
}

/// Coasting time of the spindle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Coasting {
    /// None: a brake.
    Braked,
    /// This many seconds.
    For(Ratio),
}

impl Coasting {
    /// Seconds; `None` is 0.
    pub const fn seconds(self) -> Option<Ratio> {
        match self {
            Self::Braked => None,
            Self::For(seconds) => Some(seconds),
        }
    }
}

/// One stated thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Stated {
    /// A nut.
    Nut,
    /// [`Work::diameter`].
    Diameter,
    /// [`Work::class`].
    Class,
    /// [`Work::form`].
    Form,
    /// [`Work::depth`].
    Depth,
    /// [`Work::blank`].
    Blank,
    /// [`Work::taper`].
    Taper,
    /// [`Work::centres`].
    Centres,
    /// [`Tip::Nose`].
    Nose,
    /// [`Tip::Flat`] or [`Tip::Sharp`].
    Flat,
    /// [`Work::wire`].
    Wire,
    /// [`PassRule::Count`].
    Passes,
    /// [`PassRule::First`].
    FirstPass,
    /// [`Work::over`].
    Over,
    /// [`Work::undercut`].
    Undercut,
    /// [`Work::away`].
    Away,
    /// [`Work::now`].
    Now,
    /// [`Work::mate`].
    Mate,
    /// [`Work::reset`].
    Reset,
}

/// Why a job is refused.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Refused {
    /// A feed has no thread form.
    OfFeed(Stated),
    /// It does not apply to a round groove.
    OfRound(Stated),
    /// The depth of a round groove must be stated.
    RoundDepth,
    /// The thread has a depth of its own.
    OwnDepth,
    /// The thread has a diameter of its own.
    OwnDiameter(Length),
    /// The thread has a form of its own.
    OwnForm,
    /// The class is one for the mate.
    ClassOfMate(Class),
    /// A pitch without a diameter has no limits.
    ClassOfPitch(Class),
    /// The class has no limits for the thread.
    Class(Class, Error),
    /// A taper has more than one diameter.
    TaperBlank,
    /// The thread has a taper of its own.
    OwnTaper(Cone),
    /// The thread has a diameter of its own; a taper begins with its blank.
    TaperOfNamed,
    /// A taper begins with its blank, which is not stated.
    TaperWithoutBlank,
    /// A taper begins with its blank, not with its major diameter.
    TaperDiameter,
    /// A parallel thread needs no set-over.
    CentresOfParallel,
    /// A nut is not between centres.
    CentresOfNut,
    /// Round grooves that overlap, in mm.
    TooWide {
        /// Width of the groove at its top.
        width_mm: f64,
        /// From one groove to the next.
        pitch_mm: f64,
    },
    /// No diameter is known for a surface speed.
    SurfaceDiameter,
    /// The table has no surface speed for the material with the stated tool.
    NoSurfaceSpeed(&'static Material),
    /// DIN 76-1 has no short undercut for the pitch.
    NoShortUndercut,
    /// The stated figure is impossible.
    Stated(Stated, Error),
    /// The lathe or its numbers can't be used for it.
    Lathe(Error),
}

impl From<Error> for Refused {
    fn from(error: Error) -> Self {
        Self::Lathe(error)
    }
}

impl Work {
    /// Whether it goes with a target: the thread's own figures are not stated again, and a feed has
    /// no form.
    ///
    /// # Errors
    /// The first thing that does not.
    pub fn goes_with(&self, target: &Target) -> std::result::Result<(), Refused> {
        if target.travel().is_feed() {
            // Turns a minute need a diameter.
            let goes = |of: &Stated| *of == Stated::Diameter && self.surface.is_some();
            let wrong = self.of_thread().into_iter().find(|of| !goes(of));
            return wrong.map_or(Ok(()), |of| Err(Refused::OfFeed(of)));
        }
        self.tapers_with(target)?;
        let Some(thread) = target.thread() else {
            return match (self.is_round(), self.depth) {
                (true, _) => self.is_a_round_groove(),
                (false, Some(_)) if target.pitch().has_pi() => Err(Refused::OwnDepth),
                _ => Ok(()),
            };
        };
        match (self.diameter, thread.diameter()) {
            _ if self.depth.is_some() => Err(Refused::OwnDepth),
            (Some(_), Some(own)) => Err(Refused::OwnDiameter(own)),
            _ if self.form.is_some() => Err(Refused::OwnForm),
            _ => Ok(()),
        }
    }

    /// All stated figures that concern a thread.
    fn of_thread(&self) -> Vec<Stated> {
        let said = [
            (Stated::Nut, self.side == Side::Internal),
            (Stated::Diameter, self.diameter.is_some()),
            (Stated::Class, self.class.is_some()),
            (Stated::Form, self.form.is_some()),
            (Stated::Depth, self.depth.is_some()),
            (Stated::Blank, self.blank.is_some()),
            (Stated::Taper, self.taper.is_some()),
            (Stated::Centres, self.centres.is_some()),
            (Stated::Flat, matches!(self.tip, Tip::Flat(_) | Tip::Sharp)),
            (Stated::Wire, self.wire.is_some()),
            (Stated::Passes, matches!(self.passes, PassRule::Count(_))),
            (Stated::FirstPass, matches!(self.passes, PassRule::First(_))),
            (Stated::Over, self.over.is_some()),
            (Stated::Undercut, self.undercut.is_some()),
            (Stated::Away, self.away),
            (Stated::Now, self.now.is_some()),
            (Stated::Mate, self.mate.is_some()),
            (Stated::Reset, self.reset),
        ];
        said.into_iter().filter_map(|(of, said)| said.then_some(of)).collect()
    }

    /// Whether what is stated of a taper goes with a target.
    fn tapers_with(&self, target: &Target) -> std::result::Result<(), Refused> {
        if self.is_round() {
            return Ok(());
        }
        let own = Cut::of(target).ok().and_then(|cut| cut.cone());
        match (self.taper, own) {
            (Some(_), Some(own)) => return Err(Refused::OwnTaper(own)),
            (Some(_), None) if target.thread().is_some() => return Err(Refused::TaperOfNamed),
            (Some(_), None) if self.diameter.is_some() => return Err(Refused::TaperDiameter),
            (Some(_), None) if self.blank.is_none() => return Err(Refused::TaperWithoutBlank),
            _ => {}
        }
        match (self.centres, self.taper.or(own)) {
            (Some(_), None) => Err(Refused::CentresOfParallel),
            (Some(_), Some(_)) if self.side == Side::Internal => Err(Refused::CentresOfNut),
            _ => Ok(()),
        }
    }

    fn is_a_round_groove(&self) -> std::result::Result<(), Refused> {
        let none = [
            Stated::Flat,
            Stated::Class,
            Stated::Wire,
            Stated::Blank,
            Stated::Taper,
            Stated::Centres,
            Stated::Now,
            Stated::Mate,
        ];
        let said = self.of_thread();
        match (none.into_iter().find(|of| said.contains(of)), self.depth) {
            (Some(of), _) => Err(Refused::OfRound(of)),
            (None, None) => Err(Refused::RoundDepth),
            _ => Ok(()),
        }
    }

    /// Whether it is a round groove.
    pub(super) fn is_round(&self) -> bool {
        self.form == Some(Profile::Round)
    }

    /// The thread to be cut; `None`: a feed, or a round groove.
    ///
    /// # Errors
    /// If its form is unknown.
    pub(super) fn cut(&self, target: &Target) -> Result<Option<Cut>> {
        if target.travel().is_feed() || self.is_round() {
            return Ok(None);
        }
        let cut = Cut::of(target)?.with_side(self.side);
        let cut = match self.form {
            Some(Profile::Thread(form)) => cut.with_form(form),
            _ => cut,
        };
        let cut = match (self.taper, self.blank) {
            (Some(cone), Some(blank)) => {
                let over = self.over.unwrap_or_else(|| tolerance::default_length(None).0);
                cut.with_taper(cone, blank, over)
            }
            _ => cut,
        };
        Ok(Some(self.diameter.map_or(cut, |diameter| cut.with_diameter(diameter))))
    }

    /// Radius of the nose, where stated.
    pub(super) const fn nose(&self) -> Option<Length> {
        match self.tip {
            Tip::Nose(radius) => Some(radius),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refused(target: &str, work: &Work) -> Option<Refused> {
        work.goes_with(&target.parse().unwrap()).err()
    }

    #[test]
    fn a_thread_says_what_it_is_itself() {
        let some = Some("1 mm".parse().unwrap());
        let of_depth = Work { depth: some, ..Work::default() };
        assert_eq!(refused("M10", &of_depth), Some(Refused::OwnDepth));
        assert_eq!(refused("module 1", &of_depth), Some(Refused::OwnDepth));
        assert_eq!(refused("6 mm", &of_depth), None);
        let of_diameter = Work { diameter: some, ..Work::default() };
        let own = "10 mm".parse().unwrap();
        assert_eq!(refused("M10", &of_diameter), Some(Refused::OwnDiameter(own)));
        let of_form = Work { form: Some(Profile::Thread(Form::Acme)), ..Work::default() };
        assert_eq!(refused("M10", &of_form), Some(Refused::OwnForm));
        assert_eq!(refused("5 mm", &of_form), None);
    }

    #[test]
    fn a_taper_is_stated_once_and_with_its_blank() {
        let of = |cone: &str| Work { taper: cone.parse().ok(), ..Work::default() };
        let some = |text: &str| Some(text.parse::<Length>().unwrap());
        let with_blank = Work { blank: some("20 mm"), ..of("1:16") };
        assert_eq!(refused("1.5 mm", &with_blank), None);
        assert_eq!(refused("1.5 mm", &of("1:16")), Some(Refused::TaperWithoutBlank));
        assert_eq!(refused("1/2 NPT", &with_blank), Some(Refused::OwnTaper(Cone::PIPE)));
        assert_eq!(refused("M10", &with_blank), Some(Refused::TaperOfNamed));
        let across = Work { diameter: some("20 mm"), ..with_blank.clone() };
        assert_eq!(refused("1.5 mm", &across), Some(Refused::TaperDiameter));
        assert_eq!(refused("0.1 mm/rev", &of("1:16")), Some(Refused::OfFeed(Stated::Taper)));
        let round = Work { form: Some(Profile::Round), depth: some("1 mm"), ..of("1:16") };
        assert_eq!(refused("8 mm", &round), Some(Refused::OfRound(Stated::Taper)));

        let centres = Work { centres: some("200 mm"), ..Work::default() };
        assert_eq!(refused("1/2 NPT", &centres), None);
        assert_eq!(refused("M10", &centres), Some(Refused::CentresOfParallel));
        let nut = Work { side: Side::Internal, ..centres };
        assert_eq!(refused("1/2 NPT", &nut), Some(Refused::CentresOfNut));
    }

    #[test]
    fn a_feed_and_a_round_groove_are_no_threads() {
        let nut = Work { side: Side::Internal, ..Work::default() };
        assert_eq!(refused("0.1 mm/rev", &nut), Some(Refused::OfFeed(Stated::Nut)));
        let nose = Work { tip: Tip::Nose("0.4 mm".parse().unwrap()), ..Work::default() };
        assert_eq!(refused("0.1 mm/rev", &nose), None);
        let round = Work { form: Some(Profile::Round), ..Work::default() };
        assert_eq!(refused("8 mm", &round), Some(Refused::RoundDepth));
        let flat = Work { tip: Tip::Sharp, ..round.clone() };
        assert_eq!(refused("8 mm", &flat), Some(Refused::OfRound(Stated::Flat)));
        let deep = Work { depth: Some("1 mm".parse().unwrap()), ..round };
        assert_eq!(refused("8 mm", &deep), None);
    }
}
