//! The program: reads what was typed, runs it, writes the answer or one error; nothing else.
//!
//! [`files`] is open to another front end: lathes, gear sets, charts and lists as the program reads
//! them.

mod answer;
mod args;
mod asked;
mod command;
mod document;
mod failure;
pub mod files;
mod http;
mod interrupt;
mod keys;
mod progress;
mod render;
mod report;
mod words;

use asked::context::Context;
use failure::Failure;
use report::{Answer, Report};
use std::ffi::OsStr;
use std::io::Write;
use std::path::Path;
use std::process::ExitCode;

/// What the program does, from its arguments to its exit code.
pub fn main() -> ExitCode {
    let args = match args::Args::read(std::env::args_os()) {
        Ok(args) => args,
        Err(error) => return refused(&error),
    };
    match run(&args) {
        Ok(code) => code,
        Err(failure) => {
            say(&failure.told());
            failure.exit_code()
        }
    }
}

fn run(args: &args::Args) -> Result<ExitCode, Failure> {
    let target = render::Target::of(&args.output, args.command.writes_as_it_is())?;
    if target.is_picture() && !args.command.draws() {
        return Err(render::no_picture());
    }
    let drawing = args.command.drawing().map(|path| render::Target::of_drawing(path, &args.output));
    let drawing = drawing.transpose()?;
    let lathe = args.command.lathe_file();
    let lathe = lathe.map(|(name, path)| render::Target::of_lathe(name, path, &args.output));
    let lathe = lathe.transpose()?;
    for file in [Some(&target), drawing.as_ref(), lathe.as_ref()].into_iter().flatten() {
        is_not_read(file.path(), &args.command.inputs())?;
    }
    let progress = progress::Progress::new(args.output.quiet || args.command.talks());
    let asks = asked::context::Asks {
        answers: may_ask(&args.output),
        picture: target.is_picture() || drawing.is_some(),
        drawn: target.shows_pictures(),
    };
    let report = command::run(&args.command, &Context { progress: &progress, asks, given: None });
    // The line is gone before anything is said.
    drop(progress);
    let report = report?;
    let mut report = if target.takes_rows() { report } else { report.into_page()? };
    if args.output.quiet && target.is_for_people() && !report.brief.is_empty() {
        report.keep_brief();
    }
    asides(&args.output, &report, target.is_for_people());
    // The picture first: where it can't be written there is no answer that promises it.
    let mut ready = Vec::new();
    if let Some(drawing) = drawing {
        ready.extend(drawing.deliver(&report)?.1);
    }
    if let (Some(lathe), Some(text)) = (lathe, &report.lathe_file) {
        ready.extend(lathe.deliver_text(text)?);
    }
    if let Some((path, text)) = &report.rewritten {
        ready.push(render::text(path, text, true)?);
    }
    let (answer, file) = target.deliver(&report)?;
    // All were written whole: now all are kept.
    ready.into_iter().chain(file).try_for_each(render::Ready::keep)?;
    if let Some(path) = &report.spent {
        // It may not be there, and nobody needs it any more.
        let _ = std::fs::remove_file(path);
    }
    Ok(interrupt::exit_code().unwrap_or(match answer {
        Answer::Yes => ExitCode::SUCCESS,
        Answer::No => ExitCode::from(1),
    }))
}

/// Refuses to write over what is read.
fn is_not_read(file: Option<&Path>, inputs: &[&OsStr]) -> Result<(), Failure> {
    let Some(file) = file else { return Ok(()) };
    let is_read = |input: &&&OsStr| render::is_same_file(file, Path::new(input));
    inputs.iter().find(is_read).map_or(Ok(()), |input| {
        let wrong =
            format!("{}: it is read too, as {}", file.display(), Path::new(input).display());
        Err(Failure::new(wrong).with_hint("another name for the output"))
    })
}

/// Questions are for people: a script has no terminal at both ends.
fn may_ask(output: &args::Output) -> bool {
    use std::io::IsTerminal;
    !output.no_input && std::io::stdin().is_terminal() && std::io::stderr().is_terminal()
}

/// What belongs beside the answer, on stderr.
fn asides(output: &args::Output, report: &Report, for_people: bool) {
    // Text and Markdown carry them themselves.
    if !output.quiet && !for_people {
        report.asides.iter().for_each(|line| say(line));
    }
    if output.verbose > 0 {
        report.details.iter().for_each(|line| say(line));
    }
}

/// Writes to stderr; where that is closed there is nobody left to tell.
fn say(line: &str) {
    let _ = writeln!(std::io::stderr(), "{line}");
}

/// Help and version are answers; everything else is one error.
fn refused(error: &clap::Error) -> ExitCode {
    use clap::error::ErrorKind;
    match error.kind() {
        ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => match error.print() {
            Err(e) if e.kind() != std::io::ErrorKind::BrokenPipe => {
                let failure = Failure::not_written(format!("standard output: {e}"));
                say(&failure.told());
                failure.exit_code()
            }
            _ => ExitCode::SUCCESS,
        },
        ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand => {
            let _ = error.print();
            ExitCode::from(failure::BAD_INPUT)
        }
        _ => {
            let failure = Failure::from(error);
            say(&failure.told());
            failure.exit_code()
        }
    }
}
