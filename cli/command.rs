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
mod now;
mod reach;
mod schema;
mod scripts;
mod serve;
mod sets;
mod table;
mod threads;
mod why;

use crate::args::{Command, Lathe};
use crate::asked::context::Context;
use crate::failure::Failure;
use crate::report::Report;

/// Runs the command that was typed.
///
/// # Errors
/// If something typed or read can't be used.
pub(crate) fn run(command: &Command, context: &Context<'_>) -> Result<Report, Failure> {
    match command {
        Command::Find(find) => find::run(find, context),
        Command::Card(card) => card::run(card, context),
        Command::Book(book) => book::run(book, context),
        Command::Buy(buy) => buy::run(buy, context),
        Command::Reach(reach) => reach::run(reach, context),
        Command::Threads(threads) => threads::run(threads),
        Command::Gear(gear) => gear::run(gear),
        Command::Table(table) => table::run(table, context),
        Command::Check(check) => chart::check(check, context),
        Command::Learn(learn) => chart::learn(learn, context),
        Command::Why(why) => why::run(why, context),
        Command::Serve(serve) => serve::run(serve),
        Command::Sets(sets) => sets::run(sets),
        Command::Lathe(Lathe::New(new)) => lathe::new(new, context.asks.answers, context.progress),
        Command::Lathe(Lathe::Set(set)) => lathe::set(set),
        Command::Lathe(Lathe::Now(now)) => now::run(now, context),
        Command::Lathe(Lathe::Show { machine }) => lathe::show(machine, context),
        Command::Lathe(Lathe::Check { file }) => lathe::check(file),
        Command::Guide { page } => guide::run(page.as_deref()),
        Command::Schema(which) => Ok(schema::run(*which)),
        Command::Config { lathe } => config::run(lathe.as_deref()),
        Command::Completions { shell } => scripts::completions(*shell),
        Command::Man { command } => scripts::manual(command),
    }
}
