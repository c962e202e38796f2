//! How help looks: two lines to begin with, commands by what people want, examples before options.

use super::Args;
use clap::{Command, CommandFactory};

/// The help of the program. A test holds it to 30 lines of 80 columns and to the commands that there are.
const TOP: &str = "\
{about}

Start    trainwright lathe new   describe your lathe, once
         trainwright find M10    gears for a thread; at first on a demo lathe
         trainwright guide start from an empty folder to a job card
Cut      find     gears for a thread or a feed, best first
         card     job card: all of one thread, in the order of the work
         table    a list of threads with few gears moved; the wall chart
         book     the book of a lathe: all of it in one file for the phone
         serve    all of this as pages, for the phone at the lathe
Know     threads  the known threads; which one is this?
         gear     which gear is this; is the box of gears what it says?
         reach    all leads that can be cut
         check    is the chart on the lathe right?
         learn    an unknown lead screw or ratio, from the chart and test cuts
         why      the scratch pass measures wrong: which mistake is it?
Own      lathe    describe, show or check your lathe
         buy      which gears are worth buying
Read     guide    how to measure a banjo, read a card, write a file
Helpers  sets     gear sets, demo lathes and charts that come with the program
         config   which lathe is used, and why
         schema   JSON Schema of each file; completions, man: for the shell

Options
  -o, --output FILE  write the answer to a file: .txt .json .csv .md .html .svg
  -f, --format FORM  text, json, csv, markdown, html or svg
  -q, --quiet        the answer in one line a target
  -h, --help         after a command: its options      -V, --version

Exit: 0 yes; 1 some answer is no; 2 bad input; 74 not written; 130 interrupted
";

/// The help of one command: what it does, examples, then how it is typed.
const ONE: &str = "{about}{after-help}\n\n{usage-heading} {usage}\n\n{all-args}";

/// Commands with a page of the guide, which their help names last.
const WITH_GUIDE: [&str; 11] =
    ["find", "card", "table", "threads", "gear", "reach", "check", "learn", "lathe", "buy", "why"];

/// The commands with their help, for all that reads or shows them.
pub(crate) fn command() -> Command {
    examples_first(Args::command()).help_template(TOP)
}

fn examples_first(command: Command) -> Command {
    command.mut_subcommands(|one| {
        // A command of commands lists them where its arguments would be.
        let guide = WITH_GUIDE.iter().find(|name| **name == one.get_name());
        let guide = guide.map(|name| format!("\n\nGuide: trainwright guide {name}"));
        let words = one.get_after_help().map(|words| joined(&words.to_string()));
        let one = words.into_iter().fold(one, Command::after_help);
        examples_first(one).help_template(format!("{ONE}{}", guide.unwrap_or_default()))
    })
}

/// Each paragraph on one line, so that it is broken once, where the terminal ends. Lines that are set in
/// stay as they are.
fn joined(text: &str) -> String {
    let is_prose = |line: &str| !line.is_empty() && !line.starts_with(' ');
    let mut joined = String::new();
    let mut last = "";
    for line in text.lines() {
        if !joined.is_empty() {
            joined.push(if is_prose(last) && is_prose(line) { ' ' } else { '\n' });
        }
        joined += line;
        last = line;
    }
    joined
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_help_names_every_command_and_fits_a_screen() {
        let command = command();
        for name in command.get_subcommands().map(Command::get_name) {
            let named = TOP.split([' ', ',', ':', '\n']).any(|word| word == name);
            assert!(named, "{name}");
        }
        let help = command.clone().render_help().to_string();
        assert!(help.lines().count() <= 30, "{}", help.lines().count());
        assert!(help.lines().all(|line| line.chars().count() <= 80), "{help}");
    }

    #[test]
    fn a_paragraph_is_one_line_and_an_example_stays_one() {
        assert_eq!(joined("One\ntwo.\n\nList:\n  a\n  b\nEnd"), "One two.\n\nList:\n  a\n  b\nEnd");
    }

    #[test]
    fn examples_come_before_the_options() {
        for one in command().get_subcommands_mut() {
            let help = one.render_help().to_string();
            let (examples, usage) = (help.find("Examples:"), help.find("Usage:"));
            assert!(examples.is_some() && examples < usage, "{}: {help}", one.get_name());
            let guide = format!("\n\nGuide: trainwright guide {}\n", one.get_name());
            let named = WITH_GUIDE.contains(&one.get_name());
            assert_eq!(format!("{}\n", help.trim_end()).ends_with(&guide), named, "{help}");
        }
    }
}
