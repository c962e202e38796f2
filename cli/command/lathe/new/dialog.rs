//! The talk: one question after the other, each answer checked at once, a look at all of it before
//! anything is written. Questions go to stderr; the answer of the command is not here. What was answered
//! is kept in a file after each answer (`kept.rs`), so that a later talk goes on from it.

use super::{kept, known};
use crate::command::lathe::warnings;
use crate::failure::Failure;
use crate::files::{Draft, Given, Key, Person, Question, Said, is_no, is_unsure};
use crate::words::cautions;
use std::io::{self, BufRead, Write};
use std::path::{Path, PathBuf};

/// Asks what the draft does not say yet.
///
/// # Errors
/// If the person ends it, or there is no reading or writing.
pub(super) fn ask(draft: Draft, file: &Path, folder: &Path) -> Result<Draft, Failure> {
    let width = terminal_size::terminal_size_of(io::stderr()).map_or(80, |(w, _)| w.0.into());
    let person = Person::new(io::stdin().lock(), io::stderr().lock(), width);
    let kept = kept::beside(file);
    Talk::new(person, draft, folder, file, kept).run()
}

/// What the last question is answered with.
const IS_RIGHT_HELP: &str =
    "  yes: write it. back: to the last question. no: stop; the answers are kept.";

/// Why a talk ends early.
enum Stop {
    /// The person has had enough.
    Ended,
    /// There is no reading or writing.
    Broken(io::Error),
}

impl From<io::Error> for Stop {
    fn from(error: io::Error) -> Self {
        Self::Broken(error)
    }
}

struct Talk<'a, R, W> {
    person: Person<R, W>,
    draft: Draft,
    folder: &'a Path,
    file: &'a Path,
    /// Questions that were put, each with the draft before it: the way back.
    asked: Vec<(usize, Draft)>,
    /// Answers that were gone back over, in their order: each stands until it is said anew.
    before: Vec<(Key, String)>,
    /// Where the answers are kept.
    kept: Option<PathBuf>,
    /// Whether the last answers are there.
    is_kept: bool,
    /// Whether the caution was said.
    cautioned: bool,
}

/// Where to go after a question.
#[derive(Debug, PartialEq, Eq)]
enum Next {
    /// The same question once more: there may be another lever or slot.
    Again,
    /// The one after it.
    On,
    /// The one before it.
    Back,
    /// To the end.
    Rest,
}

impl<'a, R: BufRead, W: Write> Talk<'a, R, W> {
    const fn new(
        person: Person<R, W>,
        draft: Draft,
        folder: &'a Path,
        file: &'a Path,
        kept: Option<PathBuf>,
    ) -> Self {
        Self {
            person,
            draft,
            folder,
            file,
            asked: Vec::new(),
            before: Vec::new(),
            kept,
            is_kept: false,
            cautioned: false,
        }
    }

    fn run(mut self) -> Result<Draft, Failure> {
        match self.all() {
            Ok(()) => Ok(self.draft),
            Err(Stop::Ended) => Err(self.ended()),
            Err(Stop::Broken(e)) => Err(Failure::not_written(format!("no talk: {e}"))),
        }
    }

    fn all(&mut self) -> Result<(), Stop> {
        self.person.say(
            "Describe the lathe. Empty line: skip; ?: how to find out; back: the question before; \
             done: skip all that is left; Ctrl-D: stop.",
        )?;
        if let Some(path) = &self.kept {
            let path = path.display();
            self.person
                .say(&format!("What you answer is kept in {path} until the file is written."))?;
        }
        let given: Vec<Key> = self.draft.answers().map(|(key, _)| key).collect();
        let is_given = |key| given.contains(&key);
        let mut at = self.go_on(&given)?;
        loop {
            let open = |(_, q): &(usize, &Question)| self.draft.asks(q.key) && !is_given(q.key);
            let next = Key::questions().enumerate().skip(at).find(open);
            let next = match next {
                Some((number, question)) => {
                    at = number;
                    self.put(number, question)?
                }
                None if self.is_right()? => return Ok(()),
                None => Next::Back,
            };
            match next {
                Next::Again => {}
                Next::On => at += 1,
                Next::Rest => {
                    self.keep_the_rest()?;
                    at = Key::ALL.len();
                }
                Next::Back => at = self.back(at)?,
            }
        }
    }

    /// Offers to go on from the answers that are kept, but for those that flags gave; the number of the
    /// question to begin with.
    fn go_on(&mut self, given: &[Key]) -> Result<usize, Stop> {
        let Some(path) = self.kept.clone().filter(|path| path.exists()) else { return Ok(0) };
        let answers = match kept::read(&path) {
            Ok(answers) if answers.is_empty() => return Ok(0),
            Ok(answers) => answers,
            Err(wrong) => {
                self.person.say(&format!("\nThe kept answers can't be read: {wrong}"))?;
                return Ok(0);
            }
        };
        self.person.say(&format!("\n{} holds answers:", path.display()))?;
        for Given { key, said, .. } in &answers {
            self.person.say(&format!("  {}: {said}", key.name()))?;
        }
        if !self.is_yes("Go on from them? (yes, no: from the beginning)", "go-on")? {
            return Ok(0);
        }
        let mut at = 0;
        for Given { key, said, .. } in answers {
            if given.contains(&key) {
                continue;
            }
            let number = Key::ALL.iter().position(|of| *of == key).unwrap_or(0);
            let before = (number, self.draft.clone());
            if self.take(key, &said)? {
                self.asked.push(before);
                at = at.max(number + usize::from(!key.question().repeats));
            }
        }
        Ok(at)
    }

    /// Asks until it is yes or no.
    fn is_yes(&mut self, question: &str, prompt: &str) -> Result<bool, Stop> {
        loop {
            self.person.say(question)?;
            match self.person.ask(prompt)? {
                Said::End => return Err(Stop::Ended),
                Said::Answer(said) if ["yes", "y"].contains(&&*said.to_lowercase()) => {
                    return Ok(true);
                }
                Said::Answer(said) if is_no(&said) => return Ok(false),
                _ => {}
            }
        }
    }

    /// Keeps what was answered, also what was gone back over. Where it can't be kept the talk goes on:
    /// its end shows the answers.
    fn keep(&mut self) {
        let gone = self
            .before
            .iter()
            .filter(|(key, _)| key.question().repeats || self.draft.said(*key).is_none());
        let gone = gone.map(|(key, said)| (*key, said.as_str()));
        let answers = self.draft.answers().chain(gone);
        self.is_kept = self.kept.as_ref().is_some_and(|path| kept::write(path, answers).is_ok());
    }

    /// Puts one question; before the first that sends a hand into the machine the caution.
    fn put(&mut self, number: usize, question: &Question) -> Result<Next, Stop> {
        if question.key.sends_a_hand_in() && !self.cautioned {
            self.cautioned = true;
            self.person.say(&format!("\n{}", cautions::HANDS))?;
        }
        if self.draft.said(question.key).is_some() {
            self.person.say("\nOne more? An empty line ends them.")?;
        } else {
            self.person.say(&format!("\n{}\n  such as: {}", question.asks, question.such_as))?;
        }
        if let Some(said) = self.said_before(question.key) {
            let said = format!("  before: {said} (Enter keeps it, skip leaves it out)");
            self.person.say(&said)?;
        }
        let before = (number, self.draft.clone());
        let next = self.answer(question)?;
        if next != Next::Back {
            self.asked.push(before);
        }
        Ok(next)
    }

    /// What a question comes to: it stays until it is answered, skipped or left.
    fn answer(&mut self, question: &Question) -> Result<Next, Stop> {
        loop {
            match self.person.ask(question.key.name())? {
                Said::End => return Err(Stop::Ended),
                Said::Back => return Ok(Next::Back),
                Said::Rest => return Ok(Next::Rest),
                Said::Nothing => {
                    let Some(said) = self.said_before(question.key).cloned() else {
                        return Ok(Next::On);
                    };
                    if self.take(question.key, &said)? {
                        return Ok(self.answered(question.key));
                    }
                    self.forget(question.key);
                }
                Said::Help => self.person.say(&format!("  {}", question.help))?,
                // `Has it a gearbox?` - `no`.
                Said::Answer(said) if question.may_be_none && is_no(&said) => {
                    self.before.retain(|(key, _)| *key != question.key);
                    return Ok(Next::On);
                }
                Said::Answer(said)
                    if said.eq_ignore_ascii_case("skip")
                        && self.said_before(question.key).is_some() =>
                {
                    return Ok(self.answered(question.key));
                }
                Said::Answer(said) => {
                    if self.take(question.key, &said)? {
                        return Ok(self.answered(question.key));
                    }
                }
            }
        }
    }

    /// What was said to a question before it was gone back over.
    fn said_before(&self, key: Key) -> Option<&String> {
        self.before.iter().find(|(of, _)| *of == key).map(|(_, said)| said)
    }

    fn forget(&mut self, key: Key) {
        if let Some(at) = self.before.iter().position(|(of, _)| *of == key) {
            self.before.remove(at);
        }
    }

    /// On from a question that is answered: of levers and slots there may be more.
    fn answered(&mut self, key: Key) -> Next {
        self.forget(key);
        if key.question().repeats && self.draft.has(key) { Next::Again } else { Next::On }
    }

    /// Of what was gone back over all that still goes with the rest.
    fn keep_the_rest(&mut self) -> Result<(), Stop> {
        for (key, said) in std::mem::take(&mut self.before) {
            self.take(key, &said)?;
        }
        Ok(())
    }

    /// Takes an answer and says how it was understood, or why it was not.
    fn take(&mut self, key: Key, said: &str) -> Result<bool, Stop> {
        match self.draft.with(key, said, Some(self.folder)) {
            Err(wrong) => {
                self.person.say(&format!("  Refused: {wrong}"))?;
                Ok(false)
            }
            Ok(draft) => {
                let before = known(&self.draft, Some(self.folder));
                let now = known(&draft, Some(self.folder));
                self.draft = draft;
                self.keep();
                let news = now.iter().filter(|fact| !before.contains(fact));
                if is_unsure(said) && news.clone().next().is_none() {
                    self.person.say("  = not known")?;
                }
                news.into_iter().try_for_each(|(part, value)| {
                    self.person.say(&format!("  = {part}: {value}"))
                })?;
                Ok(true)
            }
        }
    }

    /// To the question before, its answer taken back.
    fn back(&mut self, at: usize) -> Result<usize, Stop> {
        let Some((number, draft)) = self.asked.pop() else {
            self.person.say("  This is the first question.")?;
            return Ok(at);
        };
        let kept = draft.answers().count();
        let gone = self.draft.answers().skip(kept).map(|(key, said)| (key, said.to_owned()));
        let gone: Vec<_> = gone.collect();
        self.before.splice(0..0, gone);
        self.draft = draft;
        self.keep();
        Ok(number)
    }

    /// Shows all of it, and asks whether it may be written; without gears it can't be.
    fn is_right(&mut self) -> Result<bool, Stop> {
        if self.draft.said(Key::Gears).is_none() {
            self.person.say("\nOne thing is missing: without gears no file can be written.")?;
            return self.gears_after_all();
        }
        self.person.say("\nSo far:")?;
        for (part, value) in known(&self.draft, Some(self.folder)) {
            self.person.say(&format!("  {part}: {value}"))?;
        }
        let sketch = self.draft.sketch(Some(self.folder)).ok();
        for warning in sketch.iter().flat_map(|s| warnings::warnings(&s.open.lathe)) {
            self.person.say(&format!("  doubtful: {warning}"))?;
        }
        if self.draft.lacks_slots() {
            self.person.say("  The banjo is left out: it has no slot for its studs.")?;
        }
        let question = match self.file.as_os_str() {
            name if name == "-" => "\nPrint this? (yes, back, no)".to_owned(),
            name => format!("\nWrite this to {}? (yes, back, no)", name.display()),
        };
        loop {
            self.person.say(&question)?;
            match self.person.ask("write")? {
                Said::Back => return Ok(false),
                Said::End => return Err(Stop::Ended),
                Said::Answer(said) => match said.to_lowercase().as_str() {
                    "yes" | "y" => return Ok(true),
                    "no" | "n" => return Err(Stop::Ended),
                    _ => self.person.say(IS_RIGHT_HELP)?,
                },
                Said::Nothing | Said::Help | Said::Rest => self.person.say(IS_RIGHT_HELP)?,
            }
        }
    }

    /// Asks for the gears once more; a second time without an answer it is over.
    fn gears_after_all(&mut self) -> Result<bool, Stop> {
        let question = Key::Gears.question();
        self.person.say(&format!("{}\n  such as: {}", question.asks, question.such_as))?;
        match self.answer(question)? {
            Next::Back => Ok(false),
            Next::On if self.draft.said(Key::Gears).is_some() => self.is_right(),
            _ => Err(Stop::Ended),
        }
    }

    /// Nothing is written; what was said is shown so that it is not lost.
    fn ended(&mut self) -> Failure {
        let said: Vec<String> =
            self.draft.answers().map(|(key, said)| format!("{}: {said}", key.name())).collect();
        let wrong = format!("lathe new: ended; {} was not written", self.file.display());
        if let Some(path) = self.kept.as_ref().filter(|path| self.is_kept && path.exists()) {
            let hint = format!(
                "trainwright lathe new again: it goes on from your answers in {}",
                path.display()
            );
            return Failure::wrong(wrong, hint);
        }
        if !said.is_empty() {
            // Where it can't be shown there is nobody left to tell.
            let _ = self
                .person
                .say(&format!("\nYour answers, as a file for --answers:\n{}", said.join("\n")));
        }
        Failure::new(wrong)
    }
}

#[cfg(test)]
mod tests;
