//! What is on the lathe: the words of the arguments become lengths, a class, a form.

use crate::args;
use crate::asked::typed;
use crate::failure::Failure;
use solver::cutting::{Form, PassRule, Side, Tip};
use solver::job::{Coasting, Profile, Refused, Stated, Work};
use solver::tolerance::Class;
use solver::{Ratio, Target, bounds};

/// Nobody takes longer to stop.
const MOST_SECONDS: u64 = 60;

/// Reads it.
///
/// # Errors
/// If a word can't be read, or does not go with the target.
pub(super) fn of(typed: &args::Work, target: &Target) -> Result<Work, Failure> {
    let length = |argument, text: &Option<String>| {
        text.as_deref().map(|text| typed::length(argument, text)).transpose()
    };
    let class_of = |text| class(text, target, typed.internal);
    let work = Work {
        side: if typed.internal { Side::Internal } else { Side::External },
        diameter: length("--diameter", &typed.diameter)?,
        class: typed.class.as_deref().map(class_of).transpose()?,
        form: typed.form.map(form),
        depth: length("--depth", &typed.depth)?,
        blank: length("--blank", &typed.blank)?,
        tip: tip(typed)?,
        wire: length("--wire", &typed.wire)?,
        passes: passes(typed)?,
        over: length("--over", &typed.over)?,
        rpm: typed.rpm.as_deref().map(rpm).transpose()?,
        undercut: length("--groove", &typed.groove)?,
        reaction: of_time("--reaction", typed.reaction.as_deref())?,
        coasting: match typed.coast.as_deref() {
            Some(text) if is_zero(text) => Some(Coasting::Braked),
            text => of_time("--coast", text)?.map(Coasting::For),
        },
    };
    work.goes_with(target).map_err(|why| refused(&why, target))?;
    Ok(work)
}

/// Why no card can be made of it, by the argument.
pub(super) fn refused(why: &Refused, target: &Target) -> Failure {
    let text = target.text();
    let thread = || target.thread().map_or_else(|| text.to_string(), |t| t.to_string());
    let without = "leave it out, or ask for the pitch alone, such as `1.5 mm`";
    let (wrong, hint) = match why {
        Refused::OfFeed(of) => {
            let of = argument(*of);
            return Failure::new(format!("{of}: `{text}` is a feed, it has no thread form"))
                .with_hint(format!("leave {of} out, or ask for a thread"));
        }
        Refused::OfRound(of) => {
            let of = argument(*of);
            return Failure::new(format!("{of}: not for a round groove"))
                .with_hint(format!("leave {of} out, or another --form"));
        }
        Refused::RoundDepth => (
            "--form round: its depth is not known".to_string(),
            "--depth beside it, such as --depth 1.5mm",
        ),
        Refused::OwnDepth => (format!("--depth: {text} has a depth of its own"), without),
        Refused::OwnForm => (format!("--form: {} has a form of its own", thread()), without),
        Refused::OwnDiameter(own) => (
            format!("--diameter: {} is {own} across already", thread()),
            "leave --diameter out, or ask for the pitch alone, such as `1.5 mm`",
        ),
        Refused::ClassOfMate(class) if class.is_internal() => (
            format!("--class {class}: it is a class for a nut"),
            "6g or 2A, or --internal beside it",
        ),
        Refused::ClassOfMate(class) => {
            (format!("--class {class}: it is a class for a screw"), "a class such as 6H or 2B")
        }
        Refused::ClassOfPitch(class) => (
            format!("--class {class}: a pitch alone has no limits"),
            "--diameter \"30 mm\" beside it, or a named thread such as M10",
        ),
        Refused::TaperBlank => {
            ("--blank: a taper has no one diameter".to_string(), "leave --blank out")
        }
        Refused::TooWide { width_mm, pitch_mm } => (
            format!("--depth: the groove is {width_mm:.3} mm wide, the pitch {pitch_mm:.3} mm"),
            "a smaller --nose or --depth",
        ),
        Refused::Class(class, e) => return Failure::typed("--class", &class.to_string(), e),
        Refused::Stated(of, e) => return Failure::from(e).under(&format!("{}: ", argument(*of))),
        Refused::Lathe(e) => return Failure::from(e),
        _ => return Failure::new("no card can be made of this"),
    };
    Failure::new(wrong).with_hint(hint)
}

const fn argument(of: Stated) -> &'static str {
    match of {
        Stated::Nut => "--internal",
        Stated::Diameter => "--diameter",
        Stated::Class => "--class",
        Stated::Form => "--form",
        Stated::Depth => "--depth",
        Stated::Blank => "--blank",
        Stated::Nose => "--nose",
        Stated::Flat => "--flat",
        Stated::Wire => "--wire",
        Stated::Passes => "--passes",
        Stated::FirstPass => "--first",
        Stated::Over => "--over",
        Stated::Undercut => "--groove",
    }
}

fn class(text: &str, target: &Target, internal: bool) -> Result<Class, Failure> {
    let read = Class::read(text, target.thread().as_ref(), internal);
    read.map_err(|e| Failure::typed("--class", text, &e))
}

const fn form(form: args::Form) -> Profile {
    Profile::Thread(match form {
        args::Form::Sixty => Form::Sixty,
        args::Form::FiftyFive => Form::Whitworth,
        args::Form::FortySevenAndAHalf => Form::BritishAssociation,
        args::Form::Thirty => Form::Trapezoidal,
        args::Form::TwentyNine => Form::Acme,
        args::Form::Round => return Profile::Round,
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

fn passes(typed: &args::Work) -> Result<PassRule, Failure> {
    match (&typed.passes, &typed.first) {
        (Some(passes), _) => {
            let passes = typed::whole("--passes", passes, &bounds::PASSES)?;
            Ok(PassRule::Count(u32::try_from(passes).unwrap_or(u32::MAX)))
        }
        (None, Some(first)) => typed::length("--first", first).map(PassRule::First),
        (None, None) => Ok(PassRule::Usual),
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
