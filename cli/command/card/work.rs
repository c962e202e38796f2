//! What is on the lathe: the words of the arguments become lengths, a class, a form.

use crate::args;
use crate::command::words;
use crate::failure::Failure;
use solver::cutting::{Cut, Form, Side, Tip};
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
    pub(super) tip: Tip,
    pub(super) wire: Option<Length>,
    pub(super) passes: Option<u32>,
    pub(super) over: Option<Length>,
    pub(super) rpm: Option<u32>,
    pub(super) groove: Option<Length>,
    pub(super) reaction: Ratio,
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
            text.as_deref().map(|text| words::length(argument, text)).transpose()
        };
        let work = Self {
            side: if typed.internal { Side::Internal } else { Side::External },
            diameter: length("--diameter", &typed.diameter)?,
            class: typed
                .class
                .as_deref()
                .map(|text| class(text, target, typed.internal))
                .transpose()?,
            form: typed.form.map(form),
            tip: tip(typed)?,
            wire: length("--wire", &typed.wire)?,
            passes: typed.passes.as_deref().map(passes).transpose()?,
            over: length("--over", &typed.over)?,
            rpm: typed.rpm.as_deref().map(rpm).transpose()?,
            groove: length("--groove", &typed.groove)?,
            reaction: seconds(&typed.reaction)?,
        };
        work.goes_with(target)?;
        Ok(work)
    }

    /// What a thread says itself is not said again.
    fn goes_with(&self, target: &Target) -> Result<(), Failure> {
        let Some(thread) = target.thread() else { return Ok(()) };
        if let (Some(_), Some(own)) = (self.diameter, thread.diameter()) {
            return Err(Failure::new(format!("--diameter: {thread} is {own} across already"))
                .with_hint("leave --diameter out, or ask for the pitch alone, such as `1.5 mm`"));
        }
        if self.form.is_some() {
            return Err(Failure::new(format!("--form: {thread} has a form of its own"))
                .with_hint("leave --form out, or ask for the pitch alone, such as `1.5 mm`"));
        }
        Ok(())
    }

    /// The thread to be cut; `None`: a feed.
    ///
    /// # Errors
    /// If its form is not known.
    pub(super) fn cut(&self, target: &Target) -> solver::Result<Option<Cut>> {
        if target.travel().is_feed() {
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
        ("--flat", typed.flat.is_some()),
        ("--wire", typed.wire.is_some()),
        ("--passes", typed.passes.is_some()),
        ("--over", typed.over.is_some()),
        ("--groove", typed.groove.is_some()),
    ];
    said.into_iter().find_map(|(argument, said)| said.then_some(argument))
}

fn class(text: &str, target: &Target, internal: bool) -> Result<Class, Failure> {
    let read = Class::read(text, target.thread().as_ref(), internal);
    read.map_err(|e| Failure::typed("--class", text, &e))
}

const fn form(form: args::Form) -> Form {
    match form {
        args::Form::Sixty => Form::Sixty,
        args::Form::FiftyFive => Form::Whitworth,
        args::Form::FortySevenAndAHalf => Form::BritishAssociation,
        args::Form::Thirty => Form::Trapezoidal,
        args::Form::TwentyNine => Form::Acme,
    }
}

fn tip(typed: &args::Work) -> Result<Tip, Failure> {
    match (&typed.nose, &typed.flat) {
        (Some(nose), _) => words::length("--nose", nose).map(Tip::Nose),
        // A length is over 0; a flat of none is a point.
        (None, Some(flat)) if is_zero(flat) => Ok(Tip::Sharp),
        (None, Some(flat)) => words::length("--flat", flat).map(Tip::Flat),
        (None, None) => Ok(Tip::Form),
    }
}

/// `0`, `0 mm`, `0.0in`.
fn is_zero(text: &str) -> bool {
    let digits = text.trim().trim_end_matches(|c: char| c.is_ascii_alphabetic() || c == ' ');
    !digits.is_empty() && digits.contains('0') && digits.chars().all(|c| c == '0' || c == '.')
}

fn passes(text: &str) -> Result<u32, Failure> {
    let passes = words::whole("--passes", text, &bounds::PASSES)?;
    Ok(u32::try_from(passes).unwrap_or(u32::MAX))
}

fn rpm(text: &str) -> Result<u32, Failure> {
    let rpm = words::whole("--rpm", text, &bounds::SPINDLE)?;
    Ok(u32::try_from(rpm).unwrap_or(u32::MAX))
}

/// `1`, `1.5`, `1.5 s`.
fn seconds(text: &str) -> Result<Ratio, Failure> {
    let typed = |e: solver::Error| Failure::typed("--reaction", text, &e);
    let (number, used) = Ratio::read(text).map_err(typed)?;
    let unit = text.get(used..).unwrap_or_default().trim();
    let humanly = Ratio::whole(MOST_SECONDS).is_ok_and(|most| number <= most);
    if !matches!(unit, "" | "s") || !humanly {
        let text = crate::failure::shortened(text);
        let wrong = format!("--reaction `{text}`: seconds, up to {MOST_SECONDS}");
        return Err(Failure::new(wrong).with_hint("--reaction 1.5"));
    }
    Ok(number)
}
