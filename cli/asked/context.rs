//! What a command works with beside what was typed.

use super::machine::Machine;
use crate::args;
use crate::failure::Failure;
use crate::files::{self, OpenChart, OpenLathe};
use crate::progress::Progress;
use solver::Fitted;
use std::ffi::OsStr;

/// All of it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Context<'c> {
    pub(crate) progress: &'c Progress,
    pub(crate) asks: Asks,
    /// What stands in place of all files; none: files are opened.
    pub(crate) given: Option<&'c Given>,
}

/// What is asked for beside the command.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Asks {
    /// There is someone who can answer questions.
    pub(crate) answers: bool,
    /// The answer is to be a picture, or one goes beside it.
    pub(crate) picture: bool,
    /// The answer shows pictures: else none is drawn, as finding places for their words takes longer than
    /// most searches.
    pub(crate) drawn: bool,
}

/// What stands in place of files, for who must not open any.
#[derive(Debug, Clone)]
pub(crate) struct Given {
    pub(crate) lathe: OpenLathe,
    /// Where the lathe came from, in words.
    pub(crate) from: String,
    /// Whether it is a demo lathe, which is nobody's.
    pub(crate) demo: bool,
    /// What is recorded as on it; `None`: the fitted set-up.
    pub(crate) now: Option<Fitted>,
    /// The text of a chart.
    pub(crate) chart: String,
}

impl Context<'_> {
    /// The lathe that is given, else that of the words typed.
    ///
    /// # Errors
    /// If a file can't be used, or a word can't be read.
    pub(crate) fn machine(&self, words: &args::Machine) -> Result<Machine, Failure> {
        match self.given {
            Some(Given { lathe, from, demo, .. }) => {
                Ok(Machine::given(lathe.clone(), from.clone(), *demo))
            }
            None => Machine::of(words),
        }
    }

    /// The chart that is given, else that of a file or a name. `levers`: those of the lathe.
    ///
    /// # Errors
    /// If it can't be used.
    pub(crate) fn chart(&self, spec: &OsStr, levers: &[String]) -> Result<OpenChart, Failure> {
        match self.given {
            Some(given) => files::chart_of_text("as typed", &given.chart, levers)
                .map(OpenChart::without_heading),
            None => files::chart(spec, levers),
        }
    }
}
