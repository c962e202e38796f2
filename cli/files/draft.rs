//! What do a person's answers about a lathe come to as a lathe file?
//!
//! Each answer becomes a piece of the file; the file so far is then read by what reads every lathe
//! file, so that an answer is refused for the same reasons and in the same words. Who asks, and how
//! the questions are put, is not known here.

mod change;
mod given;
mod piece;
mod questions;

pub use change::{changed, now};
pub use given::{Given, answers};

use super::form::CANT_STAND;
use super::node::Node;
use super::{OpenLathe, Source, open_lathe};
use crate::failure::{Failure, shortened};
use piece::{NONE, is_a_guess};
pub use piece::{is_no, is_unsure};
pub use questions::{Key, Question};
use solver::LeadScrew;
use std::path::Path;

/// One answer and the piece of the file that it makes.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Answer {
    key: Key,
    said: String,
    node: Node,
}

/// The answers so far. Together they are a lathe file that can be read, but for the gears.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Draft(Vec<Answer>);

/// A lathe that is not whole yet.
#[derive(Debug)]
pub struct Sketch {
    /// As far as it is known.
    pub open: OpenLathe,
    /// Whether gears of no meaning stand for those that were not given.
    pub lacks_gears: bool,
    /// Whether studs were left out, since no slot for them was given yet.
    pub lacks_slots: bool,
}

/// Any two gears: they stand for a box that nobody has described.
const ANY_GEARS: [&str; 2] = ["20", "40"];

impl Draft {
    /// With one more answer. `folder`: where a gear-set file may stand; without it none is opened.
    ///
    /// # Errors
    /// If it can't be read, or contradicts an earlier one.
    pub fn with(&self, key: Key, said: &str, folder: Option<&Path>) -> Result<Self, Failure> {
        let said = said.trim().to_owned();
        let question = key.question();
        if !question.repeats && self.said(key).is_some() {
            return Err(Failure::wrong(
                format!("`{}` was answered before", key.name()),
                "one of them",
            ));
        }
        self.fits_in(question)?;
        if key != Key::Name && is_a_guess(&said) {
            return Err(form(question, &said));
        }
        let node = if question.is_left_out_by(&said) {
            NONE
        } else {
            (question.reads)(&said).map_err(Failure::anywhere)?
        };
        let mut draft = self.clone();
        draft.0.push(Answer { key, said, node });
        let sketch = draft
            .sketch(folder)
            .map_err(|wrong| with_form(wrong, question, draft.said(key).unwrap_or_default()))?;
        if key == Key::Screw {
            is_a_lead(&sketch.open.lathe.parts().lead_screw, draft.said(key).unwrap_or_default())?;
        }
        Ok(draft)
    }

    /// What was said.
    pub fn said(&self, key: Key) -> Option<&str> {
        self.0.iter().rev().find(|a| a.key == key).map(|a| a.said.as_str())
    }

    /// All answers, in the order in which they were given.
    pub fn answers(&self) -> impl Iterator<Item = (Key, &str)> {
        self.0.iter().map(|a| (a.key, a.said.as_str()))
    }

    /// Whether these gears are listed and not named.
    pub fn lists_gears(&self) -> bool {
        self.one(Key::Gears).is_some_and(|node| matches!(node, Node::Object(_)))
    }

    /// Whether there is a tumbler.
    pub fn has_tumbler(&self) -> bool {
        self.has(Key::Tumbler)
    }

    /// Whether the headstock has positions to choose from.
    pub(crate) fn has_headstock_positions(&self) -> bool {
        matches!(self.one(Key::Ratio), Some(Node::Object(positions)) if positions.len() > 1)
    }

    /// Whether there is a thread dial.
    pub fn has_dial(&self) -> bool {
        self.has(Key::Dial)
    }

    /// The lathe so far, for looking at.
    ///
    /// # Errors
    /// If the answers contradict each other.
    pub fn sketch(&self, folder: Option<&Path>) -> Result<Sketch, Failure> {
        let open = |file: &Node| open_lathe(Source::new("the answers", file.to_string()), folder);
        let (lacks_gears, lacks_slots) = (self.said(Key::Gears).is_none(), self.lacks_slots());
        let mut file = self.file(!lacks_slots);
        let any = Node::object([("owned", Node::list(ANY_GEARS.map(Node::number)))]);
        if lacks_gears {
            file.put("gears", any.clone());
        }
        if lacks_slots {
            // What stands in hides what was said of the studs: that is read by itself.
            open(&file)?;
            file = self.file(true);
            file.put("studs", Node::number("0"));
            if lacks_gears {
                file.put("gears", any);
            }
        }
        Ok(Sketch { open: open(&file)?, lacks_gears, lacks_slots })
    }

    /// The file. Without gears no reader takes it.
    pub fn text(&self) -> String {
        self.file(!self.lacks_slots()).to_string()
    }

    /// Whether the banjo has no slot for its studs: such a banjo is left out of the file.
    pub fn lacks_slots(&self) -> bool {
        let studs = self.said(Key::Studs) != Some("0");
        studs && self.has(Key::Shafts) && !self.has(Key::Slot)
    }

    fn one(&self, key: Key) -> Option<&Node> {
        self.0.iter().rev().find(|a| a.key == key).map(|a| &a.node)
    }

    /// Whether something of it goes into the file.
    pub(crate) fn has(&self, key: Key) -> bool {
        self.0.iter().any(|a| a.key == key && a.node != NONE)
    }

    /// The file, with the banjo or without.
    fn file(&self, with_bracket: bool) -> Node {
        let mut file = Node::object([("format", Node::number("1"))]);
        for question in Key::questions() {
            let at = match (question.key, self.one(question.key)) {
                (Key::Ratio, Some(Node::Object(_))) => "headstock.positions",
                _ => question.at,
            };
            let is_there = with_bracket || !at.starts_with("banjo.");
            if let Some(node) = self.piece(question.key).filter(|_| is_there) {
                file.put(at, node);
            }
        }
        file
    }

    /// What stands in the file for an answer, or where there is none.
    fn piece(&self, key: Key) -> Option<Node> {
        let said_so = |a: &&Answer| a.key == key && a.node != NONE;
        let all = || self.0.iter().filter(said_so).map(|a| a.node.clone());
        let said = || all().next_back();
        let by_position = || matches!(self.one(Key::Ratio), Some(Node::Object(_)));
        match key {
            Key::Screw | Key::Ratio => said().or_else(|| Some(Node::text("unknown"))),
            // What a tumbler's positions say is the whole sense; of a headstock with positions each has
            // its own.
            Key::Turns if self.has_tumbler() && !by_position() => {
                said().or_else(|| Some(Node::text("same")))
            }
            Key::Marks if !self.has_dial() => None,
            Key::Slot => self.has(Key::Shafts).then(|| Node::list(all())),
            Key::Lever => said().map(|_| Node::list(all())),
            _ => said(),
        }
    }

    /// Whether a question makes sense after these answers.
    pub fn asks(&self, key: Key) -> bool {
        let has = |key| self.has(key);
        let studs = || self.said(Key::Studs) != Some("0");
        key.question().beside.is_none_or(has)
            && match key {
                Key::Pitch | Key::Angle => self.lists_gears(),
                Key::Turns => {
                    !self.has_tumbler()
                        && !self.has_headstock_positions()
                        && !self.said(Key::Tumbler).is_some_and(is_unsure)
                }
                Key::Sleeves | Key::Slot | Key::StudDistance | Key::HubStud => studs(),
                Key::FittedLevers => has(Key::Lever),
                Key::FittedHeadstock => self.has_headstock_positions(),
                Key::FittedTumbler => self.has_tumbler(),
                Key::Marks => self.has_dial(),
                _ => true,
            }
    }

    /// Refuses an answer that has nothing to stand beside.
    fn fits_in(&self, question: &Question) -> Result<(), Failure> {
        let key = question.key;
        let named = self.said(Key::Gears).is_some() && !self.lists_gears();
        if named && matches!(key, Key::Pitch | Key::Angle) {
            let right = "a list of teeth as the gears, such as 20,25,30x2";
            return Err(Failure::wrong("a named set says its own tooth size", right));
        }
        let Some(beside) = question.beside else { return Ok(()) };
        let missing = || {
            Failure::wrong(
                format!("`{}` goes with `{}`", key.name(), beside.name()),
                format!("say `{}` too", beside.name()),
            )
        };
        if self.has(beside) { Ok(()) } else { Err(missing()) }
    }
}

/// A word that can't stand in a place says how an answer to the question looks.
fn with_form(wrong: Failure, question: &Question, said: &str) -> Failure {
    if wrong.what.ends_with(CANT_STAND) { form(question, said) } else { wrong.anywhere() }
}

/// How an answer to a question looks.
fn form(question: &Question, said: &str) -> Failure {
    let wrong = format!("`{}` is no answer to this question", shortened(said));
    Failure::wrong(wrong, format!("such as {}", question.such_as))
}

/// An inch and more in one turn: threads in one inch were meant.
fn is_a_lead(screw: &LeadScrew, said: &str) -> Result<(), Failure> {
    let Some(lead) = screw.lead.filter(|_| screw.is_doubtful()) else { return Ok(()) };
    let number: String = said.chars().take_while(|c| c.is_ascii_digit() || *c == '.').collect();
    let wrong = format!("the carriage would go {} mm in one turn", lead.mm().to_f64());
    Err(Failure::wrong(wrong, format!("{number} tpi for {number} threads in one inch?")))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn draft(answers: &[(Key, &str)]) -> Result<Draft, String> {
        let with = |draft: Draft, (key, said): &(Key, &str)| {
            draft.with(*key, said, None).map_err(|wrong| wrong.to_string())
        };
        answers.iter().try_fold(Draft::default(), with)
    }

    #[test]
    fn nothing_but_gears_is_a_lathe_of_which_little_is_known() {
        let text = draft(&[(Key::Gears, "20,40x2")]).unwrap().text();
        let lathe = super::super::lathe_of_text("f", &text).unwrap().lathe;
        assert!(lathe.parts().lead_screw.lead.is_none());
        assert_eq!(lathe.parts().gears.total(), 3);
    }

    #[test]
    fn an_answer_is_refused_in_the_words_of_the_file() {
        let wrong = |key, said| draft(&[(Key::Gears, "20,40"), (key, said)]).unwrap_err();
        assert_eq!(
            wrong(Key::Screw, "8"),
            "a length needs its unit; \"8 mm\", \"8 in\" or \"8 tpi\", or \"unknown\""
        );
        assert!(
            wrong(Key::Studs, "9").contains("9 is outside 0 to 3"),
            "{}",
            wrong(Key::Studs, "9")
        );
        assert!(wrong(Key::Fitted, "twenty-40").contains("number"));
        assert!(wrong(Key::Gears, "20").contains("answered before"));
        assert!(wrong(Key::Tumbler, "yes").contains("`yes` names no position"));
        assert!(wrong(Key::Slot, "34 mm to 70 mm").contains("`slot` goes with `shafts`"));
        assert!(
            wrong(Key::Hand, "sinister").contains("sinister"),
            "{}",
            wrong(Key::Hand, "sinister")
        );
    }

    #[test]
    fn a_bracket_waits_for_its_slots() {
        let answers = [(Key::Gears, "20,40"), (Key::Shafts, "92 mm")];
        let waits = draft(&answers).unwrap();
        assert!(waits.lacks_slots() && !waits.text().contains("banjo"));
        assert!(waits.sketch(None).unwrap().open.lathe.parts().bracket.is_some());
        let slot = waits.with(Key::Slot, "34 to 70 mm angle 24", None).unwrap();
        assert!(slot.text().contains(r#"{"from": "34 mm", "to": "70 mm", "angle": 24}"#));
        let hole = waits.with(Key::Slot, "60 mm", None).unwrap();
        assert!(hole.text().contains(r#"{"at": "60 mm"}"#));
    }

    #[test]
    fn levers_with_all_that_can_be_said_of_them() {
        let said = "Drive: lead screw=1 threads, feed rod=1/2 opposite feeds, mystery";
        let text = draft(&[(Key::Gears, "20,40"), (Key::Lever, said)]).unwrap().text();
        let feed = r#""feed rod": {"ratio": "1/2", "turns": "opposite", "only": "feed"}"#;
        assert!(text.contains(feed) && text.contains(r#""mystery": "unknown""#), "{text}");
        assert!(draft(&[(Key::Lever, "Drive A=1")]).unwrap_err().contains("`:` is missing"));
        assert!(draft(&[(Key::Lever, "D: A=1, A=2")]).unwrap_err().contains("A appears twice"));
    }
}
