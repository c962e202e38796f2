//! What do a book's train, pitch or figure come to, and what does the search make of its gears?

use super::{Outcome, any_arrangement, arrangements, counted, lathe, lead, nearest, prints, same};
use serde::Deserialize;
use solver::dial::{HalfNut, Landing, Repeat};
use solver::search::{Ask, Search};
use solver::{Lead, LeadError, Ratio, Target, Train};
use std::cmp::Ordering;
use std::error::Error;

/// A train of a book: what it cuts, and that the search over the book's gears finds it.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Cuts {
    constant: String,
    target: String,
    train: String,
    #[serde(default)]
    gears: Vec<u16>,
    ratio: String,
    pitch: Option<Pitch>,
    ppm: Option<String>,
}

/// One pitch in three units.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Pitch {
    mm: String,
    tpi: String,
    inch: String,
}

impl Cuts {
    pub(super) fn run(&self) -> Outcome {
        let train: Train = self.train.parse()?;
        let (constant, asked) = (lead(&self.constant)?, lead(&self.target)?);
        let ratio = train.ratio();
        same("ratio", ratio, self.ratio.parse()?)?;
        let cut = constant.times(&ratio)?;
        if let Some(pitch) = &self.pitch {
            pitch.is_of(&cut)?;
        }
        let error = LeadError::of(&cut, &asked);
        match &self.ppm {
            None => same("exact", error.is_zero(), true)?,
            Some(ppm) => prints("ppm", error.ppm(), ppm)?,
        }
        self.is_found(&train, constant, &error)
    }

    /// The search finds a lead at least as near, and lists the book's own train. For each train
    /// here that is only near, no other use of its wheels comes nearer.
    fn is_found(&self, train: &Train, constant: Lead, error: &LeadError) -> Outcome {
        let own = || train.gears().map(|gear| gear.teeth.get());
        let gears =
            if self.gears.is_empty() { counted(own()) } else { counted(self.gears.clone()) };
        let lathe = lathe(&gears, constant, train.studs().len().max(1))?;
        let search = Search::new(&lathe, solver::Travel::Thread, any_arrangement())?;
        let ask = Ask::new(lead(&self.target)?).with_hand(None).with_count(1);
        let found = nearest(&search, &ask)?;
        let best = found.first().ok_or("nothing found")?;
        same("best against the book's", best.error.compare_size(error), Ordering::Equal)?;
        let all = arrangements(&search, &ask, best)?;
        let listed = all.iter().any(|solution| solution.train == *train);
        same("the book's train is listed", listed, true)
    }
}

impl Pitch {
    fn is_of(&self, cut: &Lead) -> Outcome {
        same("mm", cut.mm(), self.mm.parse()?)?;
        same("TPI", cut.tpi()?, self.tpi.parse()?)?;
        same("inch", cut.tpi()?.recip(), self.inch.parse()?)
    }
}

/// A thread of several starts: gears are chosen for its lead.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct LeadOfStarts {
    target: String,
    lead: String,
    pitch: String,
    starts: u8,
}

impl LeadOfStarts {
    pub(super) fn run(&self) -> Outcome {
        let target: Target = self.target.parse()?;
        same("lead", target.lead(), lead(&self.lead)?)?;
        same("pitch", target.pitch(), lead(&self.pitch)?)?;
        same("starts", target.starts(), self.starts)
    }
}

/// The carriage is moved with the half nut open, one pitch and some leads along: the nut closes
/// where the shift holds a whole number of the screw's threads (Jones, ch. IV).
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Shift {
    pitch: String,
    lead: String,
    leads: usize,
    /// Pitch and leads together.
    moves: String,
    /// TPI of the screws.
    closes_on: Vec<u64>,
    stays_open_on: Vec<u64>,
    /// Where no other shift brings the next start either.
    #[serde(default)]
    reaches_no_start_on: Vec<u64>,
}

impl Shift {
    pub(super) fn run(&self) -> Outcome {
        let one = lead(&self.lead)?.mm();
        let shift = (0..self.leads).try_fold(lead(&self.pitch)?.mm(), |sum, _| sum.plus(&one))?;
        same("shift", shift, lead(&self.moves)?.mm())?;
        let closes = |tpi: &u64| -> solver::Result<bool> {
            let screw = Lead::from_tpi(Ratio::whole(*tpi)?)?;
            Ok(shift.over(&screw.mm())?.is_whole())
        };
        for tpi in &self.closes_on {
            same(&format!("closes on {tpi} TPI"), closes(tpi)?, true)?;
            self.falls_into_the_next_start(*tpi, &shift)?;
        }
        for tpi in &self.stays_open_on {
            same(&format!("closes on {tpi} TPI"), closes(tpi)?, false)?;
        }
        for tpi in &self.reaches_no_start_on {
            same("to the next start", self.repeat(*tpi)?.to_next_start(), None)?;
        }
        Ok(())
    }

    fn repeat(&self, tpi: u64) -> Result<Repeat, Box<dyn Error>> {
        let (pitch, lead) = (lead(&self.pitch)?, lead(&self.lead)?);
        let starts = lead.mm().over(&pitch.mm())?.numer();
        let screw = Lead::from_tpi(Ratio::whole(tpi)?)?;
        let lathe = lathe(&counted([40, 50]), screw, 1)?;
        let plan = HalfNut::new(&lathe, &lead, u8::try_from(starts)?)?;
        plan.repeat().copied().ok_or_else(|| "nothing repeats".into())
    }

    /// Moved by the book's shift or by the library's, which may be shorter, the tool is in the next
    /// start.
    fn falls_into_the_next_start(&self, tpi: u64, shift: &Ratio) -> Outcome {
        let repeat = self.repeat(tpi)?;
        let book = shift.over(&repeat.screw_pitch().mm())?.numer();
        same("the book's shift", repeat.landing(book), Landing::OtherStart(1))?;
        let own = repeat.to_next_start().ok_or("the nut does not reach every start")?;
        same("the library's is no longer", own <= book, true)
    }
}
