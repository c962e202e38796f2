//! Can what is made and answered go from thread to thread?

use solver::bracket::{Fit, Geometry};
use solver::search::{
    Arrangement, Ask, Found, OneMore, Options, Remedy, Search, Solution, TradeOff,
};
use solver::{
    Bracket, Error, Gear, GearSet, Lathe, Lead, LeadError, Parts, Ratio, Series, Setting, Target,
    Thread, Train, buy, chart, cutting, dial, job, plan, reach, scratch_pass, slip, starts,
    tolerance, why,
};

const fn goes_anywhere<T: Send + Sync>() {}

/// A front end asks on one thread and shows on another. It does not compile where one can't.
#[test]
fn makings_and_answers_are_send_and_sync() {
    goes_anywhere::<(Error, Ratio, Lead, LeadError, Target)>();
    goes_anywhere::<(Gear, GearSet, Train, Bracket, Parts, Lathe, Setting)>();
    goes_anywhere::<(Search<'_>, Options, Ask, Found, Solution, TradeOff, OneMore, Remedy)>();
    goes_anywhere::<(Arrangement, Geometry, Fit)>();
    goes_anywhere::<(plan::TrainTable<'_>, plan::Plan, plan::Line, buy::Request, buy::Advice)>();
    goes_anywhere::<(reach::Span, reach::Reach<'_>, reach::Reached)>();
    goes_anywhere::<(chart::ChartRow, chart::Measured, chart::Check, chart::Learned)>();
    goes_anywhere::<(dial::HalfNut, starts::Indexing, scratch_pass::ScratchPass)>();
    goes_anywhere::<(cutting::Cut, cutting::Wires, cutting::Stop, tolerance::Limits)>();
    goes_anywhere::<(job::Request<'_>, job::Job, job::Refused)>();
    goes_anywhere::<(slip::Mounted, slip::Wrong, why::Reading, why::Question<'_>, why::Answer)>();
    goes_anywhere::<(Thread, &Series)>();
}
