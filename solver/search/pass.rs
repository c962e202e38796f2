//! Which leads have a train that fits? One pass over the leads in order, until enough are answered.
//! Where that takes too much work, the whole list replaces the stream.

use super::best::{Best, Ranked};
use super::found::Solution;
use super::path::Path;
use super::stock::{Clash, KindId};
use super::stream::{Group, Hit, Source, Stream, Wanted};
use super::{Ask, Search};
use crate::bracket::{Fit, Reason, Refusal};
use crate::{Done, Lead, LeadError, Ratio, Result, Train};
use std::cmp::Ordering;
use std::ops::RangeInclusive;

/// Most leads in the first window.
const MOST_WANTED: usize = 10_000;

/// Most selections tried before a search gives up and says so.
const MOST_WORK: u64 = 5_000_000;

/// The answer of a group.
pub(super) enum Answer {
    Stands(Ranked),
    Close(Ranked),
    Nothing,
}

/// A lead with its arrangement.
pub(super) struct Answered {
    pub(super) lead: Lead,
    pub(super) error: LeadError,
    pub(super) ranked: Ranked,
    /// Whether it fits beyond doubt.
    pub(super) stands: bool,
}

/// The work for an answer.
#[derive(Default)]
pub(super) struct Work {
    /// Selections and arrangements tried.
    pub(super) done: u64,
    /// Whether one arrangement was not settled.
    pub(super) cut_short: bool,
}

/// The result of one pass over a stream.
#[derive(Default)]
pub(super) struct Pass {
    pub(super) answers: Vec<Answered>,
    /// How many of them fit beyond doubt.
    pub(super) stand: usize,
    pub(super) refused: Vec<Answered>,
    /// How many of them came before the present run of equal errors.
    pub(super) refused_before: usize,
    pub(super) work: Work,
    pub(super) gave_up: bool,
    /// Whether it was cancelled.
    pub(super) stopped: bool,
    /// Leads looked at.
    leads: u64,
    /// Whether something too close to call was left out, as there were enough of them.
    pub(super) unlisted: bool,
}

impl Pass {
    /// Orders the answers from `run` on, and the latest refused ones, all of equal error. Of the
    /// refused the wanted number is kept; none if a train of equal error fits.
    fn settle(&mut self, run: usize, refused: usize) {
        settle(&mut self.answers[run..]);
        settle(&mut self.refused[self.refused_before..]);
        let kept = if self.stand > 0 { self.refused_before } else { refused };
        self.refused.truncate(kept.max(self.refused_before));
        self.refused_before = self.refused.len();
    }

    /// Whether nothing asked for is missing.
    pub(super) const fn is_complete(&self) -> bool {
        !self.gave_up && !self.work.cut_short && !self.stopped
    }

    /// Whether everything wanted has been found.
    const fn is_full(&self, stop: &Stop<'_>) -> bool {
        if stop.count == 0 { self.refused.len() >= stop.refused } else { self.stand >= stop.count }
    }

    /// Drops everything after the last wanted answer.
    fn cut(&mut self, count: usize) {
        let mut stand = 0;
        self.answers.retain(|a| {
            let wanted = stand < count;
            stand += usize::from(a.stands);
            wanted
        });
    }
}

/// Where a pass stops.
pub(super) struct Stop<'a> {
    /// Answers wanted; 0: only refused ones are wanted, and no lead before the stop has a train that
    /// fits.
    pub(super) count: usize,
    pub(super) within: Option<&'a Ratio>,
    /// Only errors smaller than this.
    pub(super) below: Option<&'a LeadError>,
    /// Only errors no larger than this.
    pub(super) at_most: Option<&'a LeadError>,
    pub(super) work: u64,
    /// Refused leads wanted.
    pub(super) refused: usize,
}

impl Search<'_> {
    pub(super) fn solution(&self, ask: &Ask, answered: &Answered) -> Result<Solution> {
        let Answered { lead, error, ranked: (key, path), .. } = answered;
        let setting = key.setting as usize;
        let cuts = self.sense(ask.hand, setting, path.meshes()).unwrap_or_default();
        let train = path.train(&self.stock)?;
        let fit = self.fit(path, &train);
        let either = match fit.mounting() {
            Some(_) => None,
            None => self.lathe.either(&self.settings[setting], &train, ask.hand),
        };
        Ok(Solution {
            train,
            setting,
            tumbler: cuts.tumbler,
            hand: cuts.hand,
            either,
            lead: *lead,
            error: *error,
            gears: key.head.gears(),
            handled: key.head.handled(),
            fit,
        })
    }

    pub(super) fn solutions(&self, ask: &Ask, answers: &[Answered]) -> Result<Vec<Solution>> {
        answers.iter().map(|answered| self.solution(ask, answered)).collect()
    }

    /// The verdict of the bracket; without one, of the arbor rule.
    fn fit(&self, path: &Path, train: &Train) -> Fit {
        if let Some(mounts) = &self.stock.bracket {
            return mounts.geometry.fit(train);
        }
        let Some(Clash { tip, joined_to, axis, short }) = path.clash(&self.stock) else {
            return Fit::NotChecked;
        };
        let teeth = |kind: KindId| self.stock.kind(kind).gear.teeth;
        let reason = Reason::Arbor {
            tip: teeth(tip),
            joined_to: joined_to.map(teeth),
            axis: teeth(axis),
            short: short.to_f64(),
        };
        Fit::Refused(Box::new(Refusal { reasons: vec![reason], attempt: None }))
    }

    /// Streams leads until the stop; uses the whole list if that takes too much work.
    pub(super) fn run(&self, ask: &Ask, stop: &Stop<'_>) -> Result<Pass> {
        // Once made, the list answers sooner than the stream.
        let whole = if let Some(Some(whole)) = self.whole.get() {
            whole
        } else {
            let pass = self.pass(&self.fields, ask, stop)?;
            if !pass.gave_up || pass.stopped {
                return Ok(pass);
            }
            let Some(whole) = self.whole() else {
                let more = Stop { work: MOST_WORK.max(stop.work), ..*stop };
                return self.pass(&self.fields, ask, &more);
            };
            whole
        };
        let mut pass = self.pass(whole, ask, &Stop { work: u64::MAX, ..*stop })?;
        // The whole list holds only trains that fit; closer ones that do not come from the stream.
        if stop.refused > 0 {
            let first = pass.answers.iter().find(|a| a.stands).map(|a| a.error);
            let below = first.as_ref().or(stop.below);
            let closer = Stop { count: 0, below, work: MOST_WORK / 10, ..*stop };
            let closer = self.pass(&self.fields, ask, &closer)?;
            (pass.refused, pass.stopped) = (closer.refused, pass.stopped || closer.stopped);
        }
        Ok(pass)
    }

    pub(super) fn pass<S: Source>(&self, source: &S, ask: &Ask, stop: &Stop<'_>) -> Result<Pass> {
        let mut pass = Pass { stopped: self.watch.is_cancelled(), ..Pass::default() };
        if pass.stopped {
            return Ok(pass);
        }
        let mut stream = Stream::new(
            source,
            &ask.lead,
            ask.gears,
            stop.count.min(MOST_WANTED),
            &self.options.tuning,
        );
        // Answers with the error of the last one: they are ordered at the end of the run.
        let mut run = 0;
        let mut last: Option<LeadError> = None;
        while let Some(groups) = stream.window()? {
            for (i, group) in groups.iter().enumerate() {
                let tied = match (i.checked_sub(1), &last) {
                    (Some(before), _) => stream.ties(&groups[before], group)?,
                    (None, Some(last)) => {
                        stream.error(group)?.compare_size(last) == Ordering::Equal
                    }
                    (None, None) => false,
                };
                if !tied {
                    pass.settle(run, stop.refused);
                    run = pass.answers.len();
                    if pass.is_full(stop) || beyond(&stream, group, stop)? {
                        pass.cut(stop.count);
                        return Ok(pass);
                    }
                    pass.gave_up = pass.work.done > stop.work;
                    pass.stopped = self.watch.is_cancelled();
                    if pass.gave_up || pass.stopped {
                        return Ok(pass);
                    }
                }
                self.take(source, &stream, group, ask, stop, &mut pass)?;
                pass.leads += 1;
                self.watch.tell(Done::Leads(pass.leads));
            }
            if let Some(group) = groups.last() {
                last = Some(stream.error(group)?);
            }
        }
        pass.settle(run, stop.refused);
        pass.cut(stop.count);
        Ok(pass)
    }

    /// Answers one group.
    fn take<S: Source>(
        &self,
        source: &S,
        stream: &Stream<'_, S>,
        group: &Group,
        ask: &Ask,
        stop: &Stop<'_>,
        pass: &mut Pass,
    ) -> Result<()> {
        let hits = &stream.hits[group.hits.clone()];
        let answer = if stop.count == 0 {
            Answer::Nothing
        } else {
            self.answer(source, ask, hits, &mut pass.work)
        };
        let (ranked, stands) = match answer {
            Answer::Stands(ranked) => (Some(ranked), true),
            Answer::Close(ranked) => (Some(ranked), false),
            Answer::Nothing => (None, false),
        };
        let refused = ranked.is_none() && pass.stand == 0 && pass.refused_before < stop.refused;
        let ranked =
            if refused { self.would_be(source, ask, hits, &mut pass.work) } else { ranked };
        if let Some(ranked) = ranked {
            let (lead, error) = (stream.lead(group)?, stream.error(group)?);
            let answered = Answered { lead, error, ranked, stands };
            // At most as many that are too close to call as answers.
            if !refused && !stands && pass.answers.len() - pass.stand >= stop.count {
                pass.unlisted = true;
                return Ok(());
            }
            pass.stand += usize::from(stands);
            if refused { &mut pass.refused } else { &mut pass.answers }.push(answered);
        }
        Ok(())
    }

    /// The best arrangement of a group that fits, fewest gears first.
    pub(super) fn answer<S: Source>(
        &self,
        source: &S,
        ask: &Ask,
        hits: &[Hit],
        work: &mut Work,
    ) -> Answer {
        let mut close: Option<Ranked> = None;
        for gears in self.gears(source, ask, hits) {
            let mut best = Best::new(&self.stock, &self.fitted);
            self.ask(source, ask, hits, gears, work, &mut best);
            if let Some(best) = best.stands {
                return Answer::Stands(best);
            }
            close = close.or(best.close);
        }
        close.map_or(Answer::Nothing, Answer::Close)
    }

    /// The best arrangement of a group if all fitted.
    fn would_be<S: Source>(
        &self,
        source: &S,
        ask: &Ask,
        hits: &[Hit],
        work: &mut Work,
    ) -> Option<Ranked> {
        self.gears(source, ask, hits).find_map(|gears| {
            let mut best = Best::unjudged(&self.stock, &self.fitted);
            self.ask(source, ask, hits, gears, work, &mut best);
            best.stands
        })
    }

    /// Possible numbers of gears for a train of a group.
    fn gears<S: Source>(&self, source: &S, ask: &Ask, hits: &[Hit]) -> RangeInclusive<usize> {
        let studs = usize::from(self.lathe.parts().studs);
        source.least_gears(hits)..=ask.gears.min(2 * (studs + 1))
    }

    fn ask<S: Source>(
        &self,
        source: &S,
        ask: &Ask,
        hits: &[Hit],
        gears: usize,
        work: &mut Work,
        best: &mut Best<'_>,
    ) {
        let studs = usize::from(self.lathe.parts().studs);
        let accepts = |setting, meshes| self.accepts(ask.hand, setting, meshes);
        let wanted = Wanted { stock: &self.stock, studs, gears, accepts };
        source.best(&wanted, hits, &mut work.done, best);
        work.done += best.tests;
        work.cut_short |= best.cut_short;
    }
}

/// Whether this group, and so every later one, has an error beyond the stop.
fn beyond<S: Source>(stream: &Stream<'_, S>, group: &Group, stop: &Stop<'_>) -> Result<bool> {
    if stop.within.is_none() && stop.below.is_none() && stop.at_most.is_none() {
        return Ok(false);
    }
    let error = stream.error(group)?;
    Ok(stop.within.is_some_and(|w| !error.within(w))
        || stop.below.is_some_and(|b| error.compare_size(b) != Ordering::Less)
        || stop.at_most.is_some_and(|most| error.compare_size(most) == Ordering::Greater))
}

/// Orders answers of equal |error|: gears, gears moved, kindness, then longer before shorter.
fn settle(run: &mut [Answered]) {
    if run.len() > 1 {
        run.sort_by(|a, b| {
            let heads = a.ranked.0.head.cmp(&b.ranked.0.head);
            heads.then_with(|| b.error.is_longer().cmp(&a.error.is_longer()))
        });
    }
}
