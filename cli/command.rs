//! Which command answers: one arm a subcommand, each from what was typed to a report.

mod card;
mod change;
mod chart;
mod drawing;
mod figures;
mod find;
mod gear;
mod lathe;
mod machine;
mod reach;
mod reasons;
mod schema;
mod sets;
mod table;
mod targets;
mod threads;
mod wanted;
mod words;

use crate::args::{Command, Lathe};
use crate::failure::Failure;
use crate::progress::Progress;
use crate::render::Target;
use crate::report::Report;

/// Runs the command that was typed.
///
/// # Errors
/// If something typed or read can't be used.
pub(crate) fn run(
    command: &Command,
    target: &Target,
    progress: &Progress,
) -> Result<Report, Failure> {
    match command {
        Command::Find(find) => find::run(find, progress),
        Command::Card(card) => card::run(card, progress),
        Command::Reach(reach) => reach::run(reach, target, progress),
        Command::Threads(threads) => threads::run(threads),
        Command::Gear(gear) => gear::run(gear),
        Command::Table(table) => table::run(table, progress),
        Command::Check(check) => chart::check(check),
        Command::Learn(learn) => chart::learn(learn),
        Command::Sets(sets) => sets::run(sets),
        Command::Lathe(Lathe::Show { machine }) => lathe::show(machine),
        Command::Lathe(Lathe::Check { file }) => lathe::check(file),
        Command::Schema(which) => Ok(schema::run(*which)),
    }
}
