//! What is on the lathe: the words of the arguments become lengths, a class, a form.

use crate::args;
use crate::asked::typed;
use crate::failure::Failure;
use solver::cutting::{Cut, Form, Plan, Side, Tip};
use solver::tolerance::Class;
use solver::{Length, Ratio, Target, bounds};

/// Nobody takes longer to stop.
const MOST_SECONDS: u64 = 60;

/// What was said of the work.
#[derive(Debug, Clone)]
pub(super) struct Work {
    pub(super) side: Side,
    pub(super) diameter: Option<Length>,
    pub(super) class: Option<Class>,
    pub(super) form: Option<Form>,
    /// A round groove: no thread.
    pub(super) round: bool,
    /// Depth of a groove that only its pitch names.
    pub(super) depth: Option<Length>,
    /// The blank as it was measured.
    pub(super) blank: Option<Length>,
    pub(super) tip: Tip,
    pub(super) wire: Option<Length>,
    pub(super) plan: Plan,
    pub(super) over: Option<Length>,
    pub(super) rpm: Option<u32>,
    pub(super) groove: Option<Length>,
    pub(super) stopping: Stopping,
}

/// How long the spindle coasts.
#[derive(Debug, Clone, Copy)]
pub(super) enum Coasting {
    /// Not at all: a brake.
    Braked,
    /// So many seconds.
    For(Ratio),
}

impl Coasting {
    /// Seconds; `None` is 0.
    pub(super) const fn seconds(self) -> Option<Ratio> {
        match self {
            Self::Braked => None,
            Self::For(seconds) => Some(seconds),
        }
    }
}

/// Seconds from seeing to rest; `None` as the typed figure: it is assumed.
#[derive(Debug, Clone)]
pub(super) struct Stopping {
    pub(super) reaction: Option<Ratio>,
    pub(super) coasting: Option<Coasting>,
}

impl Work {
    /// Reads it.
    ///
    /// # Errors
    /// If a word can't be read, or does not go with the target.
    pub(super) fn of(typed: &args::Work, target: &Target) -> Result<Self, Failure> {
        let feed = target.travel().is_feed();
        if let Some(argument) = not_for_feeds(typed).filter(|_| feed) {
            return Err(Failure::new(format!(
                "{argument}: `{}` is a feed, it has no thread form",
                target.text()
            ))
            .with_hint(format!("leave {argument} out, or ask for a thread")));
        }
        let length = |argument, text: &Option<String>| {
            text.as_deref().map(|text| typed::length(argument, text)).transpose()
        };
        let work = Self {
            side: if typed.internal { Side::Internal } else { Side::External },
            diameter: length("--diameter", &typed.diameter)?,
            class: typed
                .class
                .as_deref()
                .map(|text| class(text, target, typed.internal))
                .transpose()?,
            form: typed.form.and_then(form),
            round: typed.form == Some(args::Form::Round),
            depth: length("--depth", &typed.depth)?,
            blank: length("--blank", &typed.blank)?,
            tip: tip(typed)?,
            wire: length("--wire", &typed.wire)?,
            plan: plan(typed)?,
            over: length("--over", &typed.over)?,
            rpm: typed.rpm.as_deref().map(rpm).transpose()?,
            groove: length("--groove", &typed.groove)?,
            stopping: Stopping {
                reaction: of_time("--reaction", typed.reaction.as_deref())?,
                coasting: match typed.coast.as_deref() {
                    Some(text) if is_zero(text) => Some(Coasting::Braked),
                    text => of_time("--coast", text)?.map(Coasting::For),
                },
            },
        };
        work.goes_with(target)?;
        Ok(work)
    }

    /// What a thread says itself is not said again.
    fn goes_with(&self, target: &Target) -> Result<(), Failure> {
        let refused = |wrong: String| {
            Failure::new(wrong)
                .with_hint("leave it out, or ask for the pitch alone, such as `1.5 mm`")
        };
        if target.thread().is_none() && self.round {
            return self.is_a_round_groove();
        }
        if self.depth.is_some() && (target.thread().is_some() || target.pitch().has_pi()) {
            return Err(refused(format!("--depth: {} has a depth of its own", target.text())));
        }
        let Some(thread) = target.thread() else { return Ok(()) };
        if let (Some(_), Some(own)) = (self.diameter, thread.diameter()) {
            return Err(Failure::new(format!("--diameter: {thread} is {own} across already"))
                .with_hint("leave --diameter out, or ask for the pitch alone, such as `1.5 mm`"));
        }
        if self.form.is_some() || self.round {
            return Err(refused(format!("--form: {thread} has a form of its own")));
        }
        Ok(())
    }

    /// What a round groove has not.
    fn is_a_round_groove(&self) -> Result<(), Failure> {
        let said = [
            ("--flat", matches!(self.tip, Tip::Flat(_) | Tip::Sharp)),
            ("--class", self.class.is_some()),
            ("--wire", self.wire.is_some()),
            ("--blank", self.blank.is_some()),
        ];
        if let Some((argument, _)) = said.into_iter().find(|(_, said)| *said) {
            return Err(Failure::new(format!("{argument}: not for a round groove"))
                .with_hint(format!("leave {argument} out, or another --form")));
        }
        if self.depth.is_none() {
            return Err(Failure::new("--form round: its depth is not known")
                .with_hint("--depth beside it, such as --depth 1.5mm"));
        }
        Ok(())
    }

    /// The thread to be cut; `None`: a feed, or a round groove.
    ///
    /// # Errors
    /// If its form is not known.
    pub(super) fn cut(&self, target: &Target) -> solver::Result<Option<Cut>> {
        if target.travel().is_feed() || self.round {
            return Ok(None);
        }
        let cut = Cut::of(target)?.with_side(self.side);
        let cut = self.form.map_or(cut, |form| cut.with_form(form));
        Ok(Some(self.diameter.map_or(cut, |diameter| cut.with_diameter(diameter))))
    }

    /// Radius of the nose, where one was said.
    pub(super) const fn nose(&self) -> Option<Length> {
        match self.tip {
            Tip::Nose(radius) => Some(radius),
            _ => None,
        }
    }
}

/// The first argument that says something of a thread.
fn not_for_feeds(typed: &args::Work) -> Option<&'static str> {
    let said = [
        ("--internal", typed.internal),
        ("--diameter", typed.diameter.is_some()),
        ("--class", typed.class.is_some()),
        ("--form", typed.form.is_some()),
        ("--depth", typed.depth.is_some()),
        ("--blank", typed.blank.is_some()),
        ("--flat", typed.flat.is_some()),
        ("--wire", typed.wire.is_some()),
        ("--passes", typed.passes.is_some()),
        ("--first", typed.first.is_some()),
        ("--over", typed.over.is_some()),
        ("--groove", typed.groove.is_some()),
    ];
    said.into_iter().find_map(|(argument, said)| said.then_some(argument))
}

fn class(text: &str, target: &Target, internal: bool) -> Result<Class, Failure> {
    let read = Class::read(text, target.thread().as_ref(), internal);
    read.map_err(|e| Failure::typed("--class", text, &e))
}

/// `None`: a round groove.
const fn form(form: args::Form) -> Option<Form> {
    Some(match form {
        args::Form::Sixty => Form::Sixty,
        args::Form::FiftyFive => Form::Whitworth,
        args::Form::FortySevenAndAHalf => Form::BritishAssociation,
        args::Form::Thirty => Form::Trapezoidal,
        args::Form::TwentyNine => Form::Acme,
        args::Form::Round => return None,
    })
}

fn tip(typed: &args::Work) -> Result<Tip, Failure> {
    match (&typed.nose, &typed.flat) {
        (Some(nose), _) => typed::length("--nose", nose).map(Tip::Nose),
        // A length is over 0; a flat of none is a point.
        (None, Some(flat)) if is_zero(flat) => Ok(Tip::Sharp),
        (None, Some(flat)) => typed::length("--flat", flat).map(Tip::Flat),
        (None, None) => Ok(Tip::Form),
    }
}

/// `0`, `0 mm`, `0.0in`.
fn is_zero(text: &str) -> bool {
    let digits = text.trim().trim_end_matches(|c: char| c.is_ascii_alphabetic() || c == ' ');
    !digits.is_empty() && digits.contains('0') && digits.chars().all(|c| c == '0' || c == '.')
}

fn plan(typed: &args::Work) -> Result<Plan, Failure> {
    match (&typed.passes, &typed.first) {
        (Some(passes), _) => {
            let passes = typed::whole("--passes", passes, &bounds::PASSES)?;
            Ok(Plan::Count(u32::try_from(passes).unwrap_or(u32::MAX)))
        }
        (None, Some(first)) => typed::length("--first", first).map(Plan::First),
        (None, None) => Ok(Plan::Usual),
    }
}

fn rpm(text: &str) -> Result<u32, Failure> {
    let rpm = typed::whole("--rpm", text, &bounds::SPINDLE)?;
    Ok(u32::try_from(rpm).unwrap_or(u32::MAX))
}

fn of_time(argument: &str, text: Option<&str>) -> Result<Option<Ratio>, Failure> {
    text.map(|text| seconds(argument, text)).transpose()
}

/// `1`, `1.5`, `1.5 s`.
fn seconds(argument: &str, text: &str) -> Result<Ratio, Failure> {
    let typed = |e: solver::Error| Failure::typed(argument, text, &e);
    let (number, used) = Ratio::read(text).map_err(typed)?;
    let unit = text.get(used..).unwrap_or_default().trim();
    let humanly = Ratio::whole(MOST_SECONDS).is_ok_and(|most| number <= most);
    if !matches!(unit, "" | "s") || !humanly {
        let text = crate::failure::shortened(text);
        let wrong = format!("{argument} `{text}`: seconds, up to {MOST_SECONDS}");
        return Err(Failure::new(wrong).with_hint(format!("{argument} 1.5")));
    }
    Ok(number)
}
