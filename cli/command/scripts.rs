//! `completions`, `man`: how does a shell, or the manual, know the commands? From the definitions
//! that read what is typed, so that none of them can be stale.

use crate::args::help;
use crate::failure::Failure;
use crate::report::{Block, Report};
use clap_complete::Shell;

/// Answers `completions`.
///
/// # Errors
/// If the script is not text.
pub(super) fn completions(shell: Shell) -> Result<Report, Failure> {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut help::command(), "trainwright", &mut script);
    verbatim(script)
}

/// Answers `man`, for the program or for the command that the words name.
///
/// # Errors
/// If there is no such command.
pub(super) fn manual(words: &[String]) -> Result<Report, Failure> {
    let mut whole = help::command();
    whole.build();
    let mut command = &whole;
    for word in words {
        command = command.find_subcommand(word).ok_or_else(|| no_such(word, command))?;
    }
    let mut page = Vec::new();
    clap_mangen::Man::new(command.clone())
        .render(&mut page)
        .map_err(|e| Failure::not_written(format!("the manual page could not be made: {e}")))?;
    verbatim(page)
}

/// Names the nearest command, else all of them.
fn no_such(word: &str, among: &clap::Command) -> Failure {
    let names: Vec<&str> = among.get_subcommands().map(clap::Command::get_name).collect();
    let near = |name: &&str| strsim::jaro_winkler(word, name);
    let nearest = names.iter().copied().max_by(|a, b| near(a).total_cmp(&near(b)));
    let hint = match nearest.filter(|name| near(name) > 0.7) {
        Some(name) => format!("`{name}`"),
        None if names.is_empty() => format!("`{}` has no commands of its own", among.get_name()),
        None => format!("one of {}", names.join(", ")),
    };
    Failure::new(format!("man: there is no command `{word}`")).with_hint(hint)
}

fn verbatim(bytes: Vec<u8>) -> Result<Report, Failure> {
    let text = String::from_utf8(bytes)
        .map_err(|_| Failure::not_written("what was made is not text".to_string()))?;
    let mut report = Report::new();
    report.push(Block::Verbatim(text));
    Ok(report)
}
