//! What each number of gears can do for the list: the library's advice in plain entries, with the
//! nearest train for every line that is missed.

use super::Request;
use crate::answer::Entry;
use crate::failure::Failure;
use crate::progress::Progress;
use solver::buy::{self, Advice, Offer, Score};
use solver::job::SetUp;
use solver::search::{Search, Solution};
use solver::{Done, Lathe, Setting, Teeth, Travel, Watch};
use std::sync::atomic::{AtomicBool, Ordering::Relaxed};

/// The answer.
pub(super) struct Answer {
    pub(super) now: Served,
    /// For one gear, for two and for three, as far as was asked.
    pub(super) rounds: Vec<Round>,
    /// Lever positions that could not be searched, since a ratio is unknown.
    pub(super) unknown: usize,
    /// Whether Ctrl-C ended the work.
    pub(super) ended: bool,
}

/// What a box of gears does for the list.
#[derive(Debug, Clone)]
pub(super) struct Served {
    pub(super) score: Score,
    /// For each line the best train, within tolerance or not; nothing where there is none, or where it
    /// was not looked for.
    pub(super) lines: Vec<Option<LineTrain>>,
}

/// A train for a line.
#[derive(Debug, Clone)]
pub(super) struct LineTrain {
    pub(super) reached: bool,
    pub(super) entry: Entry,
}

/// The best purchases of one number of gears.
pub(super) struct Round {
    pub(super) gears: usize,
    pub(super) compared: usize,
    /// Whether not all was searched that could be.
    pub(super) cut: bool,
    /// Whether no better one can have been missed.
    pub(super) complete: bool,
    /// Whether the best of them beats what is owned and every purchase of fewer gears.
    pub(super) gains: bool,
    /// Best first; only those that beat what is owned.
    pub(super) offers: Vec<Bought>,
}

/// One purchase.
pub(super) struct Bought {
    pub(super) gears: Vec<Teeth>,
    /// For each gear: lines that would be missed without it.
    pub(super) adds: Vec<usize>,
    pub(super) served: Served,
}

impl Answer {
    /// Whether no better purchase can have been missed.
    pub(super) fn complete(&self) -> bool {
        self.rounds.iter().all(|round| round.complete)
    }

    /// The best of all purchases; of equals the fewest gears.
    pub(super) fn best(&self) -> Option<&Bought> {
        let gaining = self.rounds.iter().rfind(|round| round.gains);
        gaining.and_then(|round| round.offers.first())
    }

    /// Whether what is owned, or else the best purchase, reaches every line.
    pub(super) fn reaches_every_line(&self) -> bool {
        let served = self.best().map_or(&self.now, |bought| &bought.served);
        served.score.reached == served.lines.len()
    }
}

impl Served {
    /// Whether a line is within its tolerance.
    pub(super) fn reaches(&self, line: usize) -> bool {
        self.line(line).is_some_and(|line| line.reached)
    }

    pub(super) fn line(&self, line: usize) -> Option<&LineTrain> {
        self.lines.get(line).and_then(Option::as_ref)
    }

    /// Lines that a train reaches which is too close to call, with that train.
    pub(super) fn unsure(&self) -> impl Iterator<Item = (usize, &Entry)> {
        let lines = self.lines.iter().enumerate();
        let lines = lines.filter_map(|(at, line)| Some((at, &line.as_ref()?.entry)));
        lines.filter(|(_, entry)| entry.is_too_close())
    }

    /// Lines that are missed, or too close to call.
    pub(super) fn missed(&self) -> Vec<usize> {
        (0..self.lines.len()).filter(|line| !self.reaches(*line)).collect()
    }
}

impl Bought {
    /// Lines that become reachable.
    pub(super) fn gained(&self, now: &Served) -> Vec<usize> {
        let gained = |line: &usize| self.served.reaches(*line) && !now.reaches(*line);
        (0..now.lines.len()).filter(gained).collect()
    }

    /// Lines that were within tolerance and come closer.
    pub(super) fn closer(&self, now: &Served) -> Vec<usize> {
        let closer = |line: &usize| match (now.line(*line), self.served.line(*line)) {
            (Some(was), Some(is)) if was.reached => {
                is.entry.error.compare_size(&was.entry.error).is_lt()
            }
            _ => false,
        };
        (0..now.lines.len()).filter(closer).collect()
    }
}

/// Works it out; once `cancel` is raised, with the best so far.
pub(super) fn of(
    request: &Request,
    cancel: &AtomicBool,
    progress: &Progress,
) -> Result<Answer, Failure> {
    let refused = |e: &solver::Error| request.machine.refused(e);
    let nothing = Served { score: Score::default(), lines: Vec::new() };
    if request.wanted.is_empty() {
        return Ok(Answer { now: nothing, rounds: Vec::new(), unknown: 0, ended: false });
    }
    let desk = Desk::new(request).map_err(|e| refused(&e))?;
    let mut now = None;
    let mut best: Option<Score> = None;
    let mut rounds = Vec::new();
    let mut unknown = 0;
    for gears in 1..=request.up_to {
        // What an ended search left out is not begun.
        if cancel.load(Relaxed) && now.is_some() {
            rounds.push(Round {
                gears,
                compared: 0,
                cut: true,
                complete: false,
                gains: false,
                offers: Vec::new(),
            });
            continue;
        }
        let advice = desk.advice(gears, cancel, progress)?;
        if now.is_none() {
            now = Some(desk.now(&advice).map_err(|e| refused(&e))?);
        }
        unknown = advice.unknown;
        let before = best.unwrap_or(advice.now);
        let round = desk.round(gears, &before, &advice).map_err(|e| refused(&e))?;
        best =
            Some(round.offers.first().filter(|_| round.gains).map_or(before, |o| o.served.score));
        rounds.push(round);
    }
    Ok(Answer { now: now.unwrap_or(nothing), rounds, unknown, ended: cancel.load(Relaxed) })
}

/// The request with the lever settings of its kinds of travel.
struct Desk<'r> {
    request: &'r Request,
    settings: Vec<(Travel, Vec<Setting>)>,
}

impl<'r> Desk<'r> {
    fn new(request: &'r Request) -> solver::Result<Self> {
        let mut settings: Vec<(Travel, Vec<Setting>)> = Vec::new();
        for wanted in &request.wanted {
            let travel = wanted.line.travel;
            if !settings.iter().any(|(known, _)| *known == travel) {
                settings.push((travel, request.machine.lathe.settings(travel)?.list));
            }
        }
        Ok(Self { request, settings })
    }

    fn advice(
        &self,
        gears: usize,
        cancel: &AtomicBool,
        progress: &Progress,
    ) -> Result<Advice, Failure> {
        let request = self.request;
        let lines = request.wanted.iter().map(|wanted| wanted.line.clone()).collect();
        let asked = buy::Request::new(lines, request.sizes.clone())
            .with_gears(gears)
            .with_count(request.count)
            .with_options(request.options.clone());
        let hear = |far| match far {
            Done::Looked(done, of) => progress.at("looking at purchases", done, of),
            Done::Searched(done, of) => progress.at("searching the most promising", done, of),
            _ => (),
        };
        let watch = Watch::cancelled_by(cancel).hearing(&hear);
        buy::best(&request.machine.lathe, &asked, watch).map_err(|e| {
            let failure = request.machine.refused(&e);
            if e.is_range() && gears > 1 {
                let hint = "a narrower --from and --to, or a shorter list";
                failure.under(&format!("--up-to {gears}: ")).with_hint(hint)
            } else {
                failure
            }
        })
    }

    fn now(&self, advice: &Advice) -> solver::Result<Served> {
        self.served(&self.request.machine.lathe, advice.now, &advice.lines, true)
    }

    fn round(&self, gears: usize, before: &Score, advice: &Advice) -> solver::Result<Round> {
        let better = advice.offers.iter().filter(|offer| offer.score.is_better(&advice.now));
        let offers: Vec<Bought> = better
            .enumerate()
            .map(|(rank, offer)| self.bought(offer, rank == 0))
            .collect::<solver::Result<_>>()?;
        Ok(Round {
            gears,
            compared: advice.purchases,
            cut: !advice.complete,
            complete: advice.complete && advice.unknown == 0,
            gains: offers.first().is_some_and(|best| best.served.score.is_better(before)),
            offers,
        })
    }

    fn bought(&self, offer: &Offer, first: bool) -> solver::Result<Bought> {
        let mut parts = self.request.machine.lathe.parts().clone();
        for &teeth in &offer.gears {
            let gear = parts.gears.usual(teeth);
            parts.gears.add(gear, 1)?;
        }
        let served = self.served(&Lathe::new(parts)?, offer.score, &offer.lines, first)?;
        Ok(Bought { gears: offer.gears.clone(), adds: offer.adds.clone(), served })
    }

    /// What was found, and for missed lines the nearest, if asked for.
    fn served(
        &self,
        lathe: &Lathe,
        score: Score,
        found: &[Option<Solution>],
        nearest: bool,
    ) -> solver::Result<Served> {
        let mut lines = Vec::new();
        for (at, solution) in found.iter().enumerate() {
            lines.push(solution.as_ref().and_then(|s| self.line(lathe, at, s, true)));
        }
        if nearest {
            for (at, solution) in self.nearest(lathe, &lines)? {
                if let Some(line) = lines.get_mut(at) {
                    *line = self.line(lathe, at, &solution, false);
                }
            }
        }
        Ok(Served { score, lines })
    }

    fn line(&self, lathe: &Lathe, at: usize, found: &Solution, reached: bool) -> Option<LineTrain> {
        let travel = self.request.wanted.get(at)?.line.travel;
        let (_, settings) = self.settings.iter().find(|(known, _)| *known == travel)?;
        let entry = Entry::new(lathe, SetUp::among(settings, found)?);
        Some(LineTrain { reached, entry })
    }

    /// For each missed line the train within tolerance that is too close to call, else the nearest.
    fn nearest(
        &self,
        lathe: &Lathe,
        lines: &[Option<LineTrain>],
    ) -> solver::Result<Vec<(usize, Solution)>> {
        let mut found = Vec::new();
        for (travel, _) in &self.settings {
            let missed = |(at, wanted): &(usize, &super::Wanted)| {
                wanted.line.travel == *travel && lines.get(*at).is_some_and(Option::is_none)
            };
            let missed: Vec<_> = self.request.wanted.iter().enumerate().filter(missed).collect();
            if missed.is_empty() {
                continue;
            }
            let options = self.request.options.clone().with_pairs(buy::PAIRS);
            let search = Search::new(lathe, *travel, options)?;
            for (at, wanted) in missed {
                let ask = wanted.line.ask();
                let shown = match search.closest(&ask)?.unsure {
                    Some(unsure) => Some(unsure),
                    None => search.closest(&ask.with_within(None))?.fits,
                };
                found.extend(shown.map(|solution| (at, solution)));
            }
        }
        Ok(found)
    }
}
