//! What is on the lathe, from what was typed; and why no card can be made of it.

use super::taper;
use crate::args;
use crate::failure::Failure;
use solver::Target;
use solver::cutting::{Form, PassRule, Side, Tip};
use solver::job::{Profile, Refused, Stated, StatedSurface, Work};
use solver::tolerance::Class;

/// What was said of it.
///
/// # Errors
/// If the class can't be read, or something does not go with the target.
pub(super) fn of(said: &args::Work, target: &Target) -> Result<Work, Failure> {
    let class_of = |text| class(text, target, said.internal);
    let work = Work {
        side: if said.internal { Side::Internal } else { Side::External },
        diameter: said.diameter,
        class: said.class.as_deref().map(class_of).transpose()?,
        form: said.form.map(form),
        depth: said.depth,
        blank: said.blank,
        taper: said.taper,
        centres: said.centres,
        tip: said.nose.map(Tip::Nose).or(said.flat).unwrap_or(Tip::Form),
        wire: said.wire,
        passes: match (said.passes, said.first) {
            (Some(passes), _) => PassRule::Count(passes),
            (None, first) => first.map_or(PassRule::Usual, PassRule::First),
        },
        over: said.over,
        rpm: said.rpm,
        undercut: said.undercut,
        away: said.away,
        now: said.now.clone(),
        mate: said.mate,
        reset: said.reset,
        reaction: said.reaction,
        coasting: said.coast,
        surface: match (said.surface, said.material) {
            (Some(speed), _) => Some(StatedSurface::Speed(speed)),
            (None, material) => material.map(|of| StatedSurface::Of(of, said.tool)),
        },
        roughness: None,
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
        of => match taper::refused(of, text) {
            Some(said) => said,
            None => return speed_refused(of, text),
        },
    };
    Failure::new(wrong).with_hint(hint)
}

/// The same of undercut and speed.
fn speed_refused(why: &Refused, text: &str) -> Failure {
    let (wrong, hint) = match why {
        Refused::SurfaceDiameter => (
            format!("--diameter: a surface speed needs the diameter of `{text}`"),
            "--diameter beside it, such as --diameter \"30 mm\"",
        ),
        Refused::NoSurfaceSpeed(of) => (
            format!("--tool: no speed is held for {} with it", of.name),
            "leave --tool out, or --surface",
        ),
        Refused::NoShortUndercut => (
            format!("--undercut short: DIN 76-1 has none for the pitch of {text}"),
            "--undercut regular, or a width such as --undercut 4mm",
        ),
        _ => return Failure::new("no card can be made of this"),
    };
    Failure::wrong(wrong, hint)
}

const fn argument(of: Stated) -> &'static str {
    match of {
        Stated::Nut => "--internal",
        Stated::Diameter => "--diameter",
        Stated::Class => "--class",
        Stated::Form => "--form",
        Stated::Depth => "--depth",
        Stated::Blank => "--blank",
        Stated::Taper => "--taper",
        Stated::Centres => "--centres",
        Stated::Nose => "--nose",
        Stated::Flat => "--flat",
        Stated::Wire => "--wire",
        Stated::Passes => "--passes",
        Stated::FirstPass => "--first",
        Stated::Over => "--over",
        Stated::Undercut => "--undercut",
        Stated::Away => "--away",
        Stated::Now => "--now",
        Stated::Mate => "--mate",
        Stated::Reset => "--reset",
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
