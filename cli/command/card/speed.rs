//! How fast the carriage comes to the end of the thread.

use super::job::Job;
use super::page::Page;
use super::size;
use crate::command::figures::{measure, rounded};
use crate::command::find::OUTRUNS;
use crate::report::job::{Pace, Speed};
use crate::report::{Cell, Column, Role, Table, Text};
use solver::cutting::{self, Stop};
use solver::{Length, Ratio, Result, Speeds};

/// A groove of so many pitches, where none was stated (common practice, no source).
const PITCHES: u64 = 3;
/// Speeds that the card shows.
const ROWS: usize = 3;

/// `None` for a feed.
///
/// # Errors
/// If a figure does not fit.
pub(super) fn of(job: &Job<'_>) -> Result<Option<Speed>> {
    if job.is_feed() {
        return Ok(None);
    }
    let groove = job.work.groove.map_or_else(|| usual_groove(job), Ok)?;
    let stop = Stop::new(job.lead(), groove, job.work.reaction);
    let speeds = job.lathe().parts().speeds.as_ref();
    let fastest = speeds.map(|speeds| stop.fastest(speeds)).transpose()?.flatten();
    let enough = whole(stop.rpm());
    let at = rpms(job, fastest, enough).into_iter().map(|rpm| pace(job, groove, &stop, rpm));
    Ok(Some(Speed {
        groove: size::of_length(&groove),
        groove_stated: job.work.groove.is_some(),
        reaction_s: job.work.reaction.to_string(),
        enough_time_rpm: enough,
        fastest_rpm: fastest,
        at: at.collect::<Result<_>>()?,
        screw_outruns_spindle: job.outruns(),
    }))
}

/// Three pitches, to a tenth of a mm upward; pi is 22/7 for that.
fn usual_groove(job: &Job<'_>) -> Result<Length> {
    let pitch = job.target().pitch();
    let pi = if pitch.has_pi() { Ratio::new(22, 7)? } else { Ratio::ONE };
    let mm = pitch.mm().times(&Ratio::whole(PITCHES)?)?.times(&pi)?;
    let tenths = mm.times(&Ratio::whole(10)?)?;
    let up = tenths.numer().div_ceil(tenths.denom());
    Ok(Length::from_mm(Ratio::new(up, 10)?))
}

/// Turns a minute, rounded down.
fn whole(rpm: f64) -> u32 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
    let rpm = rpm.clamp(0.0, f64::from(u32::MAX)) as u32;
    rpm
}

/// Speeds worth a row: that which was asked; else the lathe's own about the fastest that leaves
/// time; else that one.
fn rpms(job: &Job<'_>, fastest: Option<u32>, enough: u32) -> Vec<u32> {
    if let Some(rpm) = job.work.rpm {
        return vec![rpm];
    }
    match job.lathe().parts().speeds.as_ref() {
        Some(Speeds::List(list)) => {
            let mut list = list.clone();
            list.sort_unstable();
            let slower =
                list.iter().filter(|rpm| fastest.is_some_and(|most| **rpm <= most)).count();
            let from = slower.saturating_sub(ROWS - 1);
            list.into_iter().skip(from).take(ROWS).collect()
        }
        Some(Speeds::Range(range)) => {
            let mut two = vec![*range.start(), fastest.unwrap_or(*range.start())];
            two.dedup();
            two
        }
        _ if enough > 0 => vec![enough],
        _ => Vec::new(),
    }
}

fn pace(job: &Job<'_>, groove: Length, stop: &Stop, rpm: u32) -> Result<Pace> {
    let pace = cutting::Pace::new(job.lead(), rpm)?;
    Ok(Pace {
        rpm,
        mm_per_s: rounded(pace.mm_per_second(), 6),
        groove_s: rounded(pace.seconds_in(groove), 6),
        enough: stop.allows(rpm)?,
    })
}

/// The slowest speed of the lathe.
pub(super) fn slowest(job: &Job<'_>) -> Option<u32> {
    match job.lathe().parts().speeds.as_ref()? {
        Speeds::Range(range) => Some(*range.start()),
        Speeds::List(list) => list.iter().min().copied(),
        _ => None,
    }
}

/// The section.
pub(super) fn write(job: &Job<'_>, speed: &Speed, page: &mut Page) {
    page.section("Speed");
    if speed.screw_outruns_spindle {
        page.warning(OUTRUNS);
    }
    let columns = ["rpm", "mm/s", "s in the groove", ""].map(|name| Column::new(name, name, ""));
    let mut table = Table::new(columns.into());
    for at in &speed.at {
        let enough = if at.enough { Cell::from("time to stop") } else { "too fast".into() };
        table.push(vec![
            Cell::from(at.rpm.to_string()),
            Cell::from(format!("{:.1}", at.mm_per_s)),
            Cell::from(format!("{:.1}", at.groove_s)),
            enough,
        ]);
    }
    if !speed.at.is_empty() {
        page.table(table);
    }
    page.note(rule(job, speed));
}

fn rule(job: &Job<'_>, speed: &Speed) -> Text {
    let stated = if speed.groove_stated { "" } else { ", three pitches, taken" };
    let most = match speed.enough_time_rpm {
        0 => "no speed leaves time: turn it by hand".to_string(),
        rpm => format!("up to {rpm} rpm leaves time"),
    };
    let seconds = measure(&job.work.reaction).marked();
    Text::from(format!(
        "Groove {}{stated}, {seconds} s to stop (common practice): ",
        size::both(&speed.groove)
    ))
    .and(Role::Strong, most)
    .and(Role::Plain, ". A stop on the bed is better than a quick hand.")
}
