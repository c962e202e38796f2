//! What the leads come to: how many, how far apart, and which standard pitches they meet.

use super::Request;
use super::row::Row;
use crate::answer::Entry;
use crate::words::doubt;
use num_rational::BigRational;
use solver::search::Search;
use solver::{Lead, LeadError, Ratio, Thread, thread};

/// Doubles that differ by more than they err decide between two gaps.
const SLACK: f64 = 1e-12;

/// Marks that a picture can hold along its axis.
const MARKS: f64 = 2500.0;
/// How close two marks may be where the span has no end: as a share of the lead.
const USUAL_STEP: f64 = 0.0015;

/// A standard pitch in the span.
#[derive(Debug, Clone)]
pub(super) struct Standard {
    pub(super) lead: Lead,
    /// Every thread that has it, in the order of the tables.
    pub(super) threads: Vec<Thread>,
    /// The lead that comes nearest.
    pub(super) nearest: Option<Entry>,
    /// What comes nearest of those that are too close to call.
    pub(super) unsure: Option<Entry>,
    /// Whether all leads near it were looked at.
    known: bool,
}

/// How well a standard pitch is met.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum State {
    Exact,
    /// Within the tolerance.
    Near,
    /// Only by a train that is too close to call.
    TooClose,
    Missed,
}

impl State {
    pub(super) const ALL: [Self; 4] = [Self::Exact, Self::Near, Self::TooClose, Self::Missed];

    /// Whether a train that is sure to fit meets it.
    pub(super) const fn is_met(self) -> bool {
        matches!(self, Self::Exact | Self::Near)
    }

    pub(super) const fn word(self) -> &'static str {
        match self {
            Self::Exact => "exact",
            Self::Near => "near",
            Self::TooClose => "too close",
            Self::Missed => "missed",
        }
    }
}

impl Standard {
    /// The error of what comes nearest.
    pub(super) fn error(&self) -> Option<LeadError> {
        self.nearest.as_ref().map(|nearest| LeadError::of(&nearest.lead, &self.lead))
    }

    /// How well it is met; nothing where the work ended before that was known.
    pub(super) fn state(&self, within: &Ratio) -> Option<State> {
        let unsure = self.unsure.as_ref().map(|entry| LeadError::of(&entry.lead, &self.lead));
        match (self.error(), unsure) {
            (Some(error), _) if error.is_zero() => Some(State::Exact),
            (Some(error), _) if error.within(within) => Some(State::Near),
            (_, Some(error)) if self.known && error.within(within) => Some(State::TooClose),
            _ => self.known.then_some(State::Missed),
        }
    }
}

/// What the leads come to.
#[derive(Debug)]
pub(super) struct Survey {
    /// Whether Ctrl-C ended it before all was looked at.
    pub(super) ended: bool,
    /// Most gear pairs that were searched, and that the lathe takes.
    pub(super) pairs: usize,
    pub(super) possible: usize,
    /// What the search did not look at, a sentence each.
    pub(super) left_out: Vec<String>,
    /// Leads in the span.
    pub(super) leads: u64,
    /// Leads besides whose trains are all too close to call.
    pub(super) too_close: u64,
    /// Those that were asked for, these among them,
    pub(super) listed: u64,
    /// and without these.
    pub(super) sure: u64,
    /// Those whose trains can't stand, or don't give the hand.
    pub(super) refused: u64,
    pub(super) shortest: Option<Lead>,
    pub(super) longest: Option<Lead>,
    /// The widest gap.
    pub(super) gap: Option<(Lead, Lead)>,
    /// Ascending.
    pub(super) standards: Vec<Standard>,
    /// Places on a logarithmic axis where there are leads, no closer than a picture shows.
    pub(super) marks: Vec<f64>,
    step: f64,
    widest: f64,
    /// The leads that are sure, and those that are too close to call.
    passing: [Passing; 2],
}

/// How far leads have come along the standard pitches.
#[derive(Debug, Default)]
struct Passing {
    /// Standards behind the last lead.
    passed: usize,
    last: Option<Entry>,
}

impl Survey {
    pub(super) fn new(request: &Request, search: &Search<'_>) -> Self {
        let proof = search.proof(request.span().gears);
        let ends = request.from.zip(request.to).map(|(from, to)| to.to_f64() / from.to_f64());
        Self {
            ended: false,
            pairs: proof.pairs,
            possible: proof.possible,
            left_out: doubt::left_out(&proof),
            leads: 0,
            too_close: 0,
            listed: 0,
            sure: 0,
            refused: 0,
            shortest: None,
            longest: None,
            gap: None,
            standards: standards(request),
            marks: Vec::new(),
            step: ends.map_or(USUAL_STEP, |ratio| ratio.ln() / MARKS),
            widest: 0.0,
            passing: [Passing::default(), Passing::default()],
        }
    }

    /// Whether all was looked at.
    pub(super) const fn is_complete(&self) -> bool {
        !self.ended && self.left_out.is_empty()
    }

    /// Takes a lead of the span; they come ascending.
    pub(super) fn take(&mut self, row: &Row) {
        let lead = row.entry.lead;
        if row.entry.is_too_close() {
            self.too_close += 1;
            self.meet(&row.entry);
            return;
        }
        self.leads += 1;
        if let Some(longest) = self.longest {
            self.widen(longest, lead);
        }
        self.shortest = self.shortest.or(Some(lead));
        self.longest = Some(lead);
        let place = lead.to_f64().ln();
        if self.marks.last().is_none_or(|last| place - last >= self.step) {
            self.marks.push(place);
        }
        self.meet(&row.entry);
    }

    fn widen(&mut self, from: Lead, to: Lead) {
        let ratio = to.to_f64() / from.to_f64();
        if ratio < self.widest * (1.0 - SLACK) {
            return;
        }
        let surely = ratio > self.widest * (1.0 + SLACK);
        if surely || self.gap.as_ref().is_none_or(|gap| share(&(from, to)) > share(gap)) {
            (self.gap, self.widest) = (Some((from, to)), ratio);
        }
    }

    /// Holds a lead, the next in order, against the standard pitches.
    pub(super) fn meet(&mut self, entry: &Entry) {
        let unsure = entry.is_too_close();
        let Passing { passed, last } = &mut self.passing[usize::from(unsure)];
        while let Some(standard) = self.standards.get_mut(*passed) {
            if standard.lead > entry.lead {
                break;
            }
            let nearest = nearer(standard.lead, last.as_ref(), Some(entry)).cloned();
            if unsure {
                standard.unsure = nearest;
            } else {
                // What lies farther off, sure or not, is no nearer.
                (standard.nearest, standard.known) = (nearest, true);
            }
            *passed += 1;
        }
        *last = Some(entry.clone());
    }

    /// All leads came, or no more will.
    pub(super) fn finish(&mut self, ended: bool) {
        self.ended = ended;
        let [sure, unsure] = &self.passing;
        for standard in self.standards.iter_mut().skip(sure.passed) {
            standard.nearest.clone_from(&sure.last);
            standard.known = !ended;
        }
        for standard in self.standards.iter_mut().skip(unsure.passed) {
            standard.unsure.clone_from(&unsure.last);
        }
    }

    /// How many standard pitches of those chosen are met so.
    pub(super) fn count(
        &self,
        request: &Request,
        state: State,
        of: &dyn Fn(&Thread) -> bool,
    ) -> usize {
        let chosen = self.standards.iter().filter(|standard| standard.threads.iter().any(of));
        chosen.filter(|standard| standard.state(&request.within) == Some(state)).count()
    }
}

/// Of two leads that which is nearer to a third; of equals the shorter.
fn nearer<'e>(wanted: Lead, a: Option<&'e Entry>, b: Option<&'e Entry>) -> Option<&'e Entry> {
    let error = |entry: &Entry| LeadError::of(&entry.lead, &wanted);
    a.into_iter().chain(b).min_by(|a, b| error(a).compare_size(&error(b)))
}

/// By how much the longer of two leads is longer, as a share of the shorter; both have pi or none has.
pub(super) fn share((short, long): &(Lead, Lead)) -> BigRational {
    LeadError::of(long, short).exact().unwrap_or_default()
}

/// The standard pitches of the span; feeds have none.
fn standards(request: &Request) -> Vec<Standard> {
    let mut standards: Vec<Standard> = Vec::new();
    if request.travel.is_feed() {
        return standards;
    }
    let from = |t: &Thread| request.from.is_none_or(|from| from <= t.lead());
    let to = |t: &Thread| request.to.is_none_or(|to| t.lead() <= to);
    let mut threads: Vec<Thread> = thread::all().filter(|t| from(t) && to(t)).collect();
    threads.sort_by_cached_key(Thread::lead);
    for thread in threads {
        let lead = thread.lead();
        match standards.last_mut().filter(|standard| standard.lead == lead) {
            Some(standard) => standard.threads.push(thread),
            None => standards.push(Standard {
                lead,
                threads: vec![thread],
                nearest: None,
                unsure: None,
                known: false,
            }),
        }
    }
    standards
}
