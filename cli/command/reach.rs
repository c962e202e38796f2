//! `reach`: which threads or feeds can be cut at all, and which standard pitches can't?
//!
//! The words become a request here; `reach/walk.rs` goes through the leads, `reach/survey.rs` keeps
//! what they come to, `reach/row.rs` the rows that come first. All is worked out when it is written
//! (`reach/data.rs`): for people as a page (`reach/page.rs`) with a picture (`reach/picture.rs`), for
//! programs row by row.

mod data;
mod page;
mod picture;
mod row;
mod survey;
mod walk;

use crate::args::{self, Sort};
use crate::asked::context::Context;
use crate::asked::machine::Machine;
use crate::failure::Failure;
use crate::interrupt::Cancel;
use crate::report::Report;
use solver::reach::Span;
use solver::search::Options;
use solver::{Hand, Lead, Ratio, Target, Travel};

/// From a very fine thread to 4 TPI, what small lathes cut (common practice, no source).
const THREADS: (&str, &str) = ("0.2 mm", "4 tpi");
/// From finishing to roughing (common practice, no source).
const FEEDS: (&str, &str) = ("0.02 mm", "1 mm");

/// What was asked, understood.
#[derive(Debug)]
struct Request {
    machine: Machine,
    travel: Travel,
    from: Option<Lead>,
    to: Option<Lead>,
    hand: Option<Hand>,
    pairs: usize,
    fit: bool,
    /// What counts as a standard pitch that is met.
    within: Ratio,
    /// Only what is so near to one.
    standard: bool,
    sort: Sort,
    count: Option<usize>,
    /// What ends it early.
    cancel: Cancel,
    /// Whether the page has the standard pitches by series, and more rows.
    long: bool,
}

/// Answers `reach`.
///
/// # Errors
/// If something typed or read can't be used.
pub(super) fn run(reach: &args::Reach, context: &Context<'_>) -> Result<Report, Failure> {
    let request = Request::of(reach, context)?;
    let mut report = Report::new();
    report.asides.extend(request.machine.demo_line());
    report.stream = Some(Box::new(data::Leads { request, quiet: context.progress.is_quiet() }));
    Ok(report)
}

impl Request {
    fn of(reach: &args::Reach, context: &Context<'_>) -> Result<Self, Failure> {
        let travel = match (reach.which.feeds, reach.which.cross) {
            (true, _) => Travel::LongFeed,
            (_, true) => Travel::CrossFeed,
            _ => Travel::Thread,
        };
        if travel.is_feed() && reach.sort == Sort::Error {
            return Err(Failure::new("--sort error: there are no standard feeds to err from")
                .with_hint("--sort lead or --sort gears"));
        }
        let (from, to) = ends(&reach.which, travel)?;
        Ok(Self {
            travel,
            from,
            to,
            hand: (!travel.is_feed()).then(|| reach.hand.unwrap_or(Hand::Right)),
            pairs: reach.pairs,
            fit: !reach.no_fit,
            within: reach.within,
            standard: reach.standard,
            sort: reach.sort,
            count: reach.count,
            long: reach.long,
            machine: context.machine(&reach.machine)?,
            cancel: context.progress.cancel().clone(),
        })
    }

    /// What the search heeds.
    fn options(&self) -> Options {
        let options = Options::default().with_pairs(self.pairs);
        if self.fit { options } else { options.with_arbor(None).with_bracket(false) }
    }

    /// The leads asked.
    fn span(&self) -> Span {
        self.between(self.from, self.to)
    }

    fn between(&self, from: Option<Lead>, to: Option<Lead>) -> Span {
        let mut span = Span::all().with_hand(self.hand);
        span.from = from.unwrap_or(span.from);
        span.to = to;
        span
    }
}

/// Both ends of the span: as typed, else the usual one; none where that lies beyond the other end.
fn ends(which: &args::Which, travel: Travel) -> Result<(Option<Lead>, Option<Lead>), Failure> {
    let (usual_from, usual_to) = if travel.is_feed() { FEEDS } else { THREADS };
    let usual = |text: &str| Ok::<_, Failure>(text.parse::<Target>()?.lead());
    let (usual_from, usual_to) = (usual(usual_from)?, usual(usual_to)?);
    let said = |argument, target: &Option<Target>| {
        target.as_ref().map(|target| end(argument, target, travel)).transpose()
    };
    let (from, to) = (said("--from", &which.from)?, said("--to", &which.to)?);
    if from.zip(to).is_some_and(|(from, to)| from > to) {
        let texts = [&which.from, &which.to].map(|end| end.as_ref().map_or("", Target::text));
        let [from, to] = texts.map(crate::failure::shortened);
        return Err(Failure::new(format!("--from `{from}` --to `{to}`: no lead lies between"))
            .with_hint("the shorter lead first: --from \"40 tpi\" --to \"8 tpi\""));
    }
    let from_or = from.or_else(|| Some(usual_from).filter(|f| to.is_none_or(|to| *f <= to)));
    let to_or = to.or_else(|| Some(usual_to).filter(|t| from.is_none_or(|from| from <= *t)));
    Ok((from_or, to_or))
}

/// A lead that was typed as an end of the span.
fn end(argument: &str, target: &Target, travel: Travel) -> Result<Lead, Failure> {
    let wrong = |why: &str, hint: &str| {
        let shown = crate::failure::shortened(target.text());
        Err(Failure::new(format!("{argument} `{shown}`: {why}")).with_hint(hint))
    };
    match target.travel() {
        Travel::Thread if target.hand() == Some(Hand::Left) => {
            wrong("a hand is said once, for all", "--hand left, and the lead alone")
        }
        Travel::Thread => Ok(target.lead()),
        other if other == travel => Ok(target.lead()),
        Travel::CrossFeed => wrong("is a feed of the cross slide", "--cross beside it"),
        Travel::LongFeed => wrong("is a longitudinal feed", "--feeds beside it"),
    }
}
