//! What a person states of the work, and why a job can't be made of it.

use crate::cutting::{Cut, Form, Plan, Side, Tip};
use crate::tolerance::Class;
use crate::{Error, Length, Ratio, Result, Target};

/// What is stated of the work; the rest is that of the target, usual, or not known.
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
    /// Outside of a screw's blank, bore of a nut's, as it was measured.
    pub blank: Option<Length>,
    /// The end of the tool.
    pub tip: Tip,
    /// Diameter of the three wires.
    pub wire: Option<Length>,
    /// How many passes.
    pub passes: Plan,
    /// Length over which the error of the lead is reckoned.
    pub over: Option<Length>,
    /// Spindle speed, in turns a minute.
    pub rpm: Option<u32>,
    /// Width of the undercut.
    pub undercut: Option<Length>,
    /// Seconds from seeing to acting.
    pub reaction: Option<Ratio>,
    /// From switching off to rest.
    pub coasting: Option<Coasting>,
}

impl Default for Work {
    /// A screw of which nothing is stated.
    fn default() -> Self {
        Self {
            side: Side::External,
            diameter: None,
            class: None,
            form: None,
            depth: None,
            blank: None,
            tip: Tip::Form,
            wire: None,
            passes: Plan::Usual,
            over: None,
            rpm: None,
            undercut: None,
            reaction: None,
            coasting: None,
        }
    }
}

/// The form of a groove that only its pitch names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Profile {
    /// That of a thread.
    Thread(Form),
    /// Round, as an oil groove.
    Round,
}

/// How long the spindle coasts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Coasting {
    /// Not at all: a brake.
    Braked,
    /// So many seconds.
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

/// Something stated of the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Stated {
    /// That it is a nut.
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
    /// [`Tip::Nose`].
    Nose,
    /// [`Tip::Flat`] or [`Tip::Sharp`].
    Flat,
    /// [`Work::wire`].
    Wire,
    /// [`Plan::Count`].
    Passes,
    /// [`Plan::First`].
    FirstPass,
    /// [`Work::over`].
    Over,
    /// [`Work::undercut`].
    Undercut,
}

/// Why no job can be made of what was stated.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Refused {
    /// A feed has no thread form.
    OfFeed(Stated),
    /// A round groove has none of it.
    OfRound(Stated),
    /// The depth of a round groove has to be stated.
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
    /// A taper has no one diameter.
    TaperBlank,
    /// Round grooves that would run into each other, in mm.
    TooWide {
        /// Width of the groove at its top.
        width_mm: f64,
        /// From one to the next.
        pitch_mm: f64,
    },
    /// What was stated can't be.
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
    /// Whether it goes with a target: what a thread says itself is not said again, a feed has no form.
    ///
    /// # Errors
    /// The first thing that does not.
    pub fn goes_with(&self, target: &Target) -> std::result::Result<(), Refused> {
        if target.travel().is_feed() {
            return self.of_thread().first().map_or(Ok(()), |of| Err(Refused::OfFeed(*of)));
        }
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

    /// All that is stated of a thread.
    fn of_thread(&self) -> Vec<Stated> {
        let said = [
            (Stated::Nut, self.side == Side::Internal),
            (Stated::Diameter, self.diameter.is_some()),
            (Stated::Class, self.class.is_some()),
            (Stated::Form, self.form.is_some()),
            (Stated::Depth, self.depth.is_some()),
            (Stated::Blank, self.blank.is_some()),
            (Stated::Flat, matches!(self.tip, Tip::Flat(_) | Tip::Sharp)),
            (Stated::Wire, self.wire.is_some()),
            (Stated::Passes, matches!(self.passes, Plan::Count(_))),
            (Stated::FirstPass, matches!(self.passes, Plan::First(_))),
            (Stated::Over, self.over.is_some()),
            (Stated::Undercut, self.undercut.is_some()),
        ];
        said.into_iter().filter_map(|(of, said)| said.then_some(of)).collect()
    }

    fn is_a_round_groove(&self) -> std::result::Result<(), Refused> {
        let none = [Stated::Flat, Stated::Class, Stated::Wire, Stated::Blank];
        let said = self.of_thread();
        match (none.into_iter().find(|of| said.contains(of)), self.depth) {
            (Some(of), _) => Err(Refused::OfRound(of)),
            (None, None) => Err(Refused::RoundDepth),
            _ => Ok(()),
        }
    }

    /// Whether it is a round groove, no thread.
    pub(super) fn is_round(&self) -> bool {
        self.form == Some(Profile::Round)
    }

    /// The thread to be cut; `None`: a feed, or a round groove.
    ///
    /// # Errors
    /// If its form is not known.
    pub(super) fn cut(&self, target: &Target) -> Result<Option<Cut>> {
        if target.travel().is_feed() || self.is_round() {
            return Ok(None);
        }
        let cut = Cut::of(target)?.with_side(self.side);
        let cut = match self.form {
            Some(Profile::Thread(form)) => cut.with_form(form),
            _ => cut,
        };
        Ok(Some(self.diameter.map_or(cut, |diameter| cut.with_diameter(diameter))))
    }

    /// Radius of the nose, where one is stated.
    pub(super) const fn nose(&self) -> Option<Length> {
        match self.tip {
            Tip::Nose(radius) => Some(radius),
            _ => None,
        }
    }
}
