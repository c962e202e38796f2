//! What does a typed target mean? Read from left to right: the thread or figure, then hand, starts
//! and feed direction in any order. Every error has its byte.

use super::extras::Extras;
use super::reader::{Reader, placed};
use super::subject::{EXAMPLES, Subject};
use super::{Said, Target, Unit};
use crate::{Error, Lead, Ratio, Result, Travel};

/// Longest target, in bytes: far above any real one.
const LONGEST: usize = 200;
/// Reads a whole target.
pub(super) fn target(text: &str) -> Result<Target> {
    if text.len() > LONGEST {
        let at = text.floor_char_boundary(LONGEST);
        return Err(Error::syntax(at, format!("a target has at most {LONGEST} characters"))
            .with_hint(EXAMPLES));
    }
    let mut reader = Reader { text, at: 0 };
    let subject = reader.subject()?;
    let extras = reader.extras(subject.said.is_worm())?;
    assemble(text, &subject, &extras)
}

/// The lead of a screw.
pub(super) fn lead(text: &str) -> Result<Lead> {
    let mut reader = Reader { text, at: 0 };
    let (number, used) = Ratio::read(text)?;
    reader.at = used;
    if reader.unit() == Some(Unit::Tpi) && reader.rest().trim().is_empty() {
        return Lead::from_tpi(number);
    }
    text.parse().map(Lead::new)
}

fn assemble(text: &str, subject: &Subject, extras: &Extras) -> Result<Target> {
    let travel = travel_of(subject, extras)?;
    let named = match subject.said {
        Said::Thread(thread) => thread.starts(),
        Said::Figure(..) => 1,
    };
    let starts = match (subject.starts, extras.starts) {
        (Some(_), Some((_, at))) => {
            return Err(Error::syntax(at, "lead and pitch already give the starts"));
        }
        (said, later) => said.or(later.map(|(starts, _)| starts)).unwrap_or(named),
    };
    let count = Ratio::whole(starts.into())?;
    let said = match subject.said {
        Said::Figure(number, Unit::Tpi) if subject.is_lead => {
            Said::Figure(number.times(&count)?, Unit::Tpi)
        }
        Said::Figure(number, unit) if subject.is_lead => Said::Figure(number.over(&count)?, unit),
        said => said,
    };
    let held = |lead: Result<Lead>| {
        lead.and_then(Lead::checked_as_target).map_err(|e| placed(e, subject.at))
    };
    let pitch = held(said.pitch())?;
    let lead = held(pitch.times(&count))?;
    let hand = extras.hand.map(|(hand, _)| hand);
    Ok(Target { text: text.trim().to_owned(), said, pitch, lead, starts, hand, travel })
}

fn travel_of(subject: &Subject, extras: &Extras) -> Result<Travel> {
    if !subject.feed {
        return match extras.travel {
            None => Ok(Travel::Thread),
            Some((_, at)) => Err(Error::syntax(at, "only a feed goes along or across")
                .with_hint("a feed is travel per turn: `0.1 mm/rev cross`")),
        };
    }
    if let Some((_, at)) = extras.hand {
        return Err(Error::syntax(at, "a feed has no hand")
            .with_hint("`0.1 mm/rev`, or for a thread `0.1 mm LH`"));
    }
    if let Some((_, at)) = extras.starts {
        return Err(Error::syntax(at, "a feed has no starts"));
    }
    Ok(extras.travel.map_or(Travel::LongFeed, |(travel, _)| travel))
}
