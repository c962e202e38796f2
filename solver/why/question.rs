//! What is asked, and the answer.

use super::candidate::{Candidate, Effect};
use super::cause::{Cause, Shift};
use super::explanation::Explanation;
use super::look::Look;
use super::pairs::{Bench, possible};
use super::reading::Reading;
use super::seen::{Fault, Seen};
use crate::bracket::FitState;
use crate::judge::Room;
use crate::slip::Mounted;
use crate::{Hand, Lack, Lathe, Lead, Result, Target};

/// Nearest mistakes that are named where nothing explains a reading.
const NEAREST: usize = 3;
/// Added for gears that would not fit on the banjo: it may be described wrongly, but hardly is.
const NO_ROOM: u32 = 6;
/// Subtracted from a groove beside the first where two grooves are seen.
const SEEN_DOUBLE: u32 = 6;

/// A set-up that does not do what it should, and what came out.
#[derive(Debug, Clone)]
pub struct Question<'a> {
    lathe: &'a Lathe,
    target: &'a Target,
    right: Mounted,
    reading: Option<Reading>,
    asked: Option<Hand>,
    hand: Option<Hand>,
    seen: Option<Seen>,
}

/// What it comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Verdict {
    /// It measures as it should.
    Right,
    /// One mistake explains it.
    One,
    /// Two mistakes together do.
    Two,
    /// Nothing explains it.
    Nothing,
}

/// What went wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Answer {
    /// What it comes to.
    pub verdict: Verdict,
    /// What the set-up should measure; `None`: there is no reading.
    pub should: Option<Lead>,
    /// What explains it, the most common first.
    pub explanations: Vec<Explanation>,
    /// Where nothing does: single mistakes that come nearest.
    pub nearest: Vec<Explanation>,
    /// What makes a thread look so, gearing apart.
    pub faults: &'static [Fault],
    /// The look between the first two; where there is one only, between it and the right set-up.
    pub look: Option<Look>,
}

impl Answer {
    /// The explanations that no measuring tells from the first, which is among them.
    pub fn alike(&self) -> impl Iterator<Item = &Explanation> {
        let first = self.explanations.first();
        self.explanations.iter().filter(move |one| first.is_some_and(|f| f.measures_as(one)))
    }
}

impl<'a> Question<'a> {
    /// A set-up for a target, as it should be on the lathe.
    pub const fn new(lathe: &'a Lathe, target: &'a Target, right: Mounted) -> Self {
        Self { lathe, target, right, reading: None, asked: None, hand: None, seen: None }
    }

    /// What was measured.
    #[must_use]
    pub const fn with_reading(mut self, reading: Option<Reading>) -> Self {
        self.reading = reading;
        self
    }

    /// The hand that was asked, and the one that came out.
    #[must_use]
    pub const fn with_hands(mut self, asked: Option<Hand>, came_out: Option<Hand>) -> Self {
        self.asked = asked;
        self.hand = came_out;
        self
    }

    /// What is seen on the thread.
    #[must_use]
    pub const fn with_seen(mut self, seen: Option<Seen>) -> Self {
        self.seen = seen;
        self
    }

    /// The mistakes that explain it.
    ///
    /// # Errors
    /// If the set-up itself can't be worked out on this lathe.
    pub fn answer(&self) -> Result<Answer> {
        let settings = self.lathe.settings(self.target.travel())?.list;
        let right = Candidate::right(self.right.clone());
        let bench = Bench {
            lathe: self.lathe,
            settings: &settings,
            reading: self.reading.as_ref(),
            starts: self.target.starts(),
            hand_seen: self.hand.is_some(),
            shifts: !self.target.travel().is_feed()
                && matches!(self.seen, None | Some(Seen::Double)),
            right: right.clone(),
        };
        let should = match &self.reading {
            Some(reading) => Some(right.measures(reading, bench.starts)?),
            None => None,
        };
        let judge = Judge::new(self, &right)?;
        let faults = self.seen.map_or(&[][..], Seen::faults);
        let mut answer = Answer {
            verdict: Verdict::Right,
            should: should.map(|should| should.least),
            explanations: Vec::new(),
            nearest: Vec::new(),
            faults,
            look: None,
        };
        let is_right = judge.explanation(right)?.is_some();
        if is_right && self.seen != Some(Seen::Double) {
            return Ok(answer);
        }
        let singles = bench.singles()?;
        (answer.verdict, answer.explanations) = (Verdict::One, judge.explanations(&singles)?);
        if answer.explanations.is_empty() && !is_right {
            (answer.verdict, answer.explanations) =
                (Verdict::Two, judge.explanations(&bench.pairs()?)?);
        }
        if answer.explanations.is_empty() {
            answer.verdict = if is_right { Verdict::Right } else { Verdict::Nothing };
            answer.nearest = judge.nearest(&singles)?;
        }
        answer.look = match &answer.explanations[..] {
            [] => None,
            [one] => Look::at_one(one, &self.right),
            [a, b, ..] => Look::between(a, b),
        };
        Ok(answer)
    }
}

/// Holds candidates against what came out.
struct Judge<'a> {
    asked: &'a Question<'a>,
    room: Room,
    /// What the right set-up lacks itself.
    lacks: usize,
    right: Lead,
}

impl<'a> Judge<'a> {
    fn new(asked: &'a Question<'a>, right: &Candidate) -> Result<Self> {
        let room = Room::on_bracket(asked.lathe)?;
        let mut judge = Self { asked, room, lacks: usize::MAX, right: right.mounted.lead()? };
        judge.lacks = judge.lacks(&right.mounted)?.len();
        Ok(judge)
    }

    /// What is missing for a set-up.
    fn lacks(&self, mounted: &Mounted) -> Result<Vec<Lack>> {
        let ways = self.asked.lathe.give(&mounted.train, &mounted.setting.last)?;
        Ok(ways.into_iter().next().map(|way| way.lacks).unwrap_or_default())
    }

    /// Those that agree, the most common first; of the same set-up the first.
    fn explanations(&self, all: &[Candidate]) -> Result<Vec<Explanation>> {
        let mut found: Vec<Explanation> = Vec::new();
        let mut sorted: Vec<&Candidate> = all.iter().collect();
        sorted.sort_by_key(|candidate| candidate.points);
        for candidate in sorted {
            let same = |one: &Explanation| {
                one.mounted == candidate.mounted
                    && candidate.effect == Effect::None
                    && one.causes.iter().all(|cause| matches!(cause, Cause::Gearing(_)))
            };
            // A later one of the same set-up is not more common.
            if found.iter().any(same) {
                continue;
            }
            let explanation = self.explanation(candidate.clone())?;
            found.extend(explanation.map(|one| self.with_room(one)).transpose()?.flatten());
        }
        found.sort_by(|a, b| a.points.cmp(&b.points).then_with(|| self.closer(a, b)));
        Ok(found)
    }

    /// The order of how well they agree.
    fn closer(&self, a: &Explanation, b: &Explanation) -> std::cmp::Ordering {
        let read = self.asked.reading.as_ref().map(|reading| Lead::new(reading.length));
        let error = |one: &Explanation| Some(one.measures?.nearer(read.as_ref()?));
        match (error(a), error(b)) {
            (Some(a), Some(b)) => a.compare_size(&b),
            _ => std::cmp::Ordering::Equal,
        }
    }

    /// The candidate, if it agrees with all that came out. Whether its gears can be mounted is asked
    /// apart.
    fn explanation(&self, candidate: Candidate) -> Result<Option<Explanation>> {
        let Some(one) = self.described(candidate)? else { return Ok(None) };
        let of_groove = one.causes.iter().any(|cause| matches!(cause, Cause::Groove(_)));
        let double = self.asked.seen == Some(Seen::Double);
        let agrees = match (&self.asked.reading, &one.measures) {
            // Two grooves without a figure: anything that sets the second beside the first.
            (None, _) if double => of_groove,
            (Some(reading), Some(measures))
                if double && of_groove && self.reads_right(reading)? =>
            {
                measures.least != measures.greatest || !measures.agrees(reading)
            }
            (Some(reading), Some(measures)) => measures.agrees(reading),
            _ => one.lead == self.right,
        };
        Ok((self.is_of_the_hand(&one) && agrees).then_some(one))
    }

    /// Whether the hand is the one that came out. Where a direction is unknown the right set-up cuts the
    /// hand that was asked, and each slip of the hand turns it round.
    fn is_of_the_hand(&self, one: &Explanation) -> bool {
        let turned = one
            .causes
            .iter()
            .filter(|cause| matches!(cause, Cause::Gearing(slip) if slip.is_of_the_hand()));
        let by_slips = || {
            let asked = self.asked.asked?;
            Some(if turned.count().is_multiple_of(2) { asked } else { asked.other() })
        };
        let hand = one.hand.or_else(by_slips);
        [hand, self.asked.hand].contains(&None) || hand == self.asked.hand
    }

    /// Whether the reading is that of the right set-up.
    fn reads_right(&self, reading: &Reading) -> Result<bool> {
        let right = Candidate::right(self.asked.right.clone());
        Ok(right.measures(reading, self.asked.target.starts())?.agrees(reading))
    }

    /// The candidate with its figures; `None`: they are out of range.
    fn described(&self, candidate: Candidate) -> Result<Option<Explanation>> {
        let Some(lead) = possible(candidate.mounted.lead())? else { return Ok(None) };
        let starts = self.asked.target.starts();
        let reading = self.asked.reading.as_ref();
        let measures = reading.map(|reading| candidate.measures(reading, starts)).transpose();
        let Some(measures) = possible(measures)? else { return Ok(None) };
        let feeds = self.asked.target.travel().is_feed();
        let mut points = candidate.points;
        if let (Some(reading), Some(measures)) = (reading, &measures) {
            points = points.saturating_add(measures.points(reading)?);
        }
        let of_groove =
            |cause: &Cause| matches!(cause, Cause::Groove(shift) if *shift != Shift::AngledInfeed);
        if self.asked.seen == Some(Seen::Double) && candidate.causes.iter().any(of_groove) {
            points = points.saturating_sub(SEEN_DOUBLE);
        }
        let hand = candidate.mounted.hand(self.asked.lathe).filter(|_| !feeds);
        let Candidate { causes, mounted, .. } = candidate;
        Ok(Some(Explanation { causes, mounted, lead, hand, measures, points, fits: true }))
    }

    /// With what the banjo says of it; `None`: its gears can't be put together.
    fn with_room(&self, mut one: Explanation) -> Result<Option<Explanation>> {
        if one.mounted.train == self.asked.right.train
            && one.mounted.setting.last == self.asked.right.setting.last
        {
            return Ok(Some(one));
        }
        let (train, last) = (&one.mounted.train, &one.mounted.setting.last);
        let Some(given) = self.asked.lathe.give(train, last)?.into_iter().next() else {
            return Ok(None);
        };
        if given.lacks.len() > self.lacks {
            return Ok(None);
        }
        one.fits = self.room.fit(&given)?.state() != FitState::DoesNotFit;
        one.points = one.points.saturating_add(if one.fits { 0 } else { NO_ROOM });
        Ok(Some(one))
    }

    /// The single mistakes whose measure comes nearest to the reading.
    fn nearest(&self, all: &[Candidate]) -> Result<Vec<Explanation>> {
        let mut found = Vec::new();
        for candidate in all {
            if let Some(one) = self.described(candidate.clone())? {
                let is_of_the_hand = self.is_of_the_hand(&one);
                found.extend(is_of_the_hand.then_some(one));
            }
        }
        found.sort_by(|a, b| self.closer(a, b).then_with(|| a.points.cmp(&b.points)));
        let mut nearest: Vec<Explanation> = Vec::new();
        for one in found {
            let known = nearest.iter().any(|other| other.measures_as(&one));
            if !known && nearest.len() < NEAREST {
                nearest.extend(self.with_room(one)?);
            }
        }
        Ok(nearest)
    }
}
