//! Which command answers: one arm a subcommand, each from what was typed to a report.

mod book;
mod buy;
mod card;
mod chart;
mod config;
mod drawing;
mod find;
mod gear;
mod guide;
mod lathe;
mod reach;
mod schema;
mod scripts;
mod sets;
mod table;
mod threads;

use crate::args::{Command, Lathe};
use crate::failure::Failure;
use crate::progress::Progress;
use crate::report::Report;

/// What is asked for beside the command.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Asks {
    /// There is someone who can answer questions.
    pub(crate) answers: bool,
    /// The answer is to be a picture, or one goes beside it.
    pub(crate) picture: bool,
    /// Pictures are shown somewhere: else none is drawn, as finding places for their words takes longer
    /// than most searches.
    pub(crate) drawn: bool,
}

/// Runs the command that was typed.
///
/// # Errors
/// If something typed or read can't be used.
pub(crate) fn run(command: &Command, asks: Asks, progress: &Progress) -> Result<Report, Failure> {
    match command {
        Command::Find(find) => find::run(find, asks, progress),
        Command::Card(card) => card::run(card, asks.drawn, progress),
        Command::Book(book) => book::run(book, asks.drawn, progress),
        Command::Buy(buy) => buy::run(buy, progress),
        Command::Reach(reach) => reach::run(reach, progress),
        Command::Threads(threads) => threads::run(threads),
        Command::Gear(gear) => gear::run(gear),
        Command::Table(table) => table::run(table, progress),
        Command::Check(check) => chart::check(check),
        Command::Learn(learn) => chart::learn(learn),
        Command::Sets(sets) => sets::run(sets),
        Command::Lathe(Lathe::New(new)) => lathe::new(new, asks.answers, progress),
        Command::Lathe(Lathe::Set(set)) => lathe::set(set),
        Command::Lathe(Lathe::Show { machine }) => lathe::show(machine),
        Command::Lathe(Lathe::Check { file }) => lathe::check(file),
        Command::Guide { page } => guide::run(page.as_deref()),
        Command::Schema(which) => Ok(schema::run(*which)),
        Command::Config { lathe } => config::run(lathe.as_deref()),
        Command::Completions { shell } => scripts::completions(*shell),
        Command::Man { command } => scripts::manual(command),
    }
}
