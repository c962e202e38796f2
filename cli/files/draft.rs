//! What do a person's answers about a lathe come to as a lathe file?
//!
//! Each answer becomes a piece of the file; the file so far is then read by what reads every lathe
//! file, so that an answer is refused for the same reasons and in the same words. Who asks, and how
//! the questions are put, is not known here.

mod given;
mod key;
mod piece;

pub use given::{Given, answers};
pub use key::Key;

use super::node::Node;
use super::wrong::Wrong;
use super::{Failure, OpenLathe, Source, open_lathe};
use piece::{NONE, piece};
pub use piece::{is_no, is_unsure};
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
    /// With one more answer.
    ///
    /// # Errors
    /// If it can't be read, or contradicts an earlier one.
    pub fn with(&self, key: Key, said: &str, folder: &Path) -> Result<Self, Wrong> {
        let said = said.trim().to_owned();
        if !key.repeats() && self.said(key).is_some() {
            return Err(Wrong::new(format!("`{}` was answered before", key.name()), "one of them"));
        }
        self.fits_in(key)?;
        let node = piece(key, &said)?;
        let mut draft = self.clone();
        draft.0.push(Answer { key, said, node });
        let sketch = draft.sketch(folder).map_err(|failure| failure.wrong)?;
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
        self.one(Key::Tumbler).is_some_and(|tumbler| *tumbler != NONE)
    }

    /// Whether there is a half-nut dial.
    pub fn has_dial(&self) -> bool {
        self.dial().is_some()
    }

    /// The lathe so far, for looking at.
    ///
    /// # Errors
    /// If the answers contradict each other.
    pub fn sketch(&self, folder: &Path) -> Result<Sketch, Failure> {
        let source = |parts| Source::new("the answers", Node::Object(parts).to_string());
        let lacks_gears = self.said(Key::Gears).is_none();
        let lacks_slots = self.lacks_slots();
        let mut parts = self.parts();
        if lacks_gears {
            let owned = Node::list(ANY_GEARS.map(Node::number));
            parts.push(("gears".into(), Node::object([("owned", owned)])));
        }
        if lacks_slots {
            // What stands in hides what was said of the studs: that is read by itself.
            open_lathe(source(parts.clone()), folder)?;
            parts.retain(|(key, _)| key != "studs");
            parts.push(("studs".into(), Node::number("0")));
            let bracket = self.bracket(Vec::new());
            parts.push(("bracket".into(), bracket));
        }
        Ok(Sketch { open: open_lathe(source(parts), folder)?, lacks_gears, lacks_slots })
    }

    /// The file. Without gears no reader takes it.
    pub fn text(&self) -> String {
        Node::Object(self.parts()).to_string()
    }

    /// Whether the bracket has no slot for its studs: such a bracket is left out of the file.
    pub fn lacks_slots(&self) -> bool {
        let studs = self.said(Key::Studs) != Some("0");
        studs && self.said(Key::Shafts).is_some() && self.said(Key::Slot).is_none()
    }

    fn one(&self, key: Key) -> Option<&Node> {
        self.0.iter().rev().find(|a| a.key == key).map(|a| &a.node)
    }

    fn all(&self, key: Key) -> Vec<Node> {
        self.0.iter().filter(|a| a.key == key).map(|a| a.node.clone()).collect()
    }

    /// The keys of an object that were answered.
    fn given(&self, keys: &[(&str, Key)]) -> Vec<(String, Node)> {
        let given = |(name, key): &(&str, Key)| {
            let node = self.one(*key).filter(|node| **node != NONE)?;
            Some(((*name).to_owned(), node.clone()))
        };
        keys.iter().filter_map(given).collect()
    }

    /// The file, key by key.
    fn parts(&self) -> Vec<(String, Node)> {
        let or_unknown = |key| self.one(key).cloned().unwrap_or_else(|| Node::text("unknown"));
        let mut parts = vec![("format".to_owned(), Node::number("1"))];
        parts.extend(self.given(&[("name", Key::Name)]));
        let mut screw = vec![("lead".to_owned(), or_unknown(Key::Screw))];
        screw.extend(self.given(&[("hand", Key::Hand), ("starts", Key::Starts)]));
        parts.push(("lead_screw".into(), Node::Object(screw)));
        let mut headstock = vec![("ratio".to_owned(), or_unknown(Key::Ratio))];
        headstock.extend(self.given(&[("turns", Key::Turns)]));
        if self.has_tumbler() {
            // What its positions say is the whole sense.
            if self.said(Key::Turns).is_none() {
                headstock.push(("turns".into(), Node::text("same")));
            }
            headstock.extend(self.given(&[("tumbler", Key::Tumbler)]));
        }
        parts.push(("headstock".into(), Node::Object(headstock)));
        parts.extend(self.one(Key::Gears).map(|gears| ("gears".into(), self.gears(gears))));
        parts.extend(self.given(&[("studs", Key::Studs), ("sleeves", Key::Sleeves)]));
        if self.said(Key::Shafts).is_some() && !self.lacks_slots() {
            parts.push(("bracket".into(), self.bracket(self.all(Key::Slot))));
        }
        parts.extend(self.fitted().map(|fitted| ("fitted".into(), fitted)));
        let levers = self.all(Key::Lever);
        if !levers.is_empty() {
            parts.push(("gearbox".into(), Node::object([("levers", Node::List(levers))])));
        }
        parts.extend(self.given(&[("half_nut", Key::HalfNut), ("reverse", Key::Reverse)]));
        parts.extend(self.dial().map(|dial| ("dial".into(), dial)));
        parts.extend(self.given(&[("spindle_rpm", Key::Speeds)]));
        parts
    }

    /// A list with its tooth size, or a name.
    fn gears(&self, gears: &Node) -> Node {
        let Node::Object(listed) = gears else { return gears.clone() };
        let mut box_of = self.given(&[("pitch", Key::Pitch), ("pressure_angle", Key::Angle)]);
        box_of.extend(listed.iter().cloned());
        Node::Object(box_of)
    }

    fn bracket(&self, slots: Vec<Node>) -> Node {
        let mut bracket = self.given(&[("first_shaft", Key::Shafts)]);
        bracket.push(("slots".into(), Node::List(slots)));
        bracket.extend(
            self.given(&[("swing", Key::Swing), ("least_stud_distance", Key::StudDistance)]),
        );
        let hubs =
            self.given(&[("first", Key::HubFirst), ("stud", Key::HubStud), ("last", Key::HubLast)]);
        if !hubs.is_empty() {
            bracket.push(("hub_radii".into(), Node::Object(hubs)));
        }
        Node::Object(bracket)
    }

    fn fitted(&self) -> Option<Node> {
        let fitted = self.given(&[("train", Key::Fitted), ("levers", Key::FittedLevers)]);
        self.one(Key::Fitted).map(|_| Node::Object(fitted))
    }

    fn dial(&self) -> Option<Node> {
        let Node::Object(mut dial) = self.one(Key::Dial).filter(|dial| **dial != NONE)?.clone()
        else {
            return None;
        };
        dial.extend(self.given(&[("labels", Key::Marks)]));
        Some(Node::Object(dial))
    }

    /// Refuses an answer that has nothing to stand beside.
    fn fits_in(&self, key: Key) -> Result<(), Wrong> {
        let beside = match key {
            Key::Pitch | Key::Angle if self.said(Key::Gears).is_some() && !self.lists_gears() => {
                let right = "a list of teeth as the gears, such as 20,25,30x2";
                return Err(Wrong::new("a named set says its own tooth size", right));
            }
            Key::Pitch | Key::Angle | Key::Fitted => Key::Gears,
            Key::FittedLevers => Key::Fitted,
            Key::Marks => Key::Dial,
            Key::Slot
            | Key::Swing
            | Key::StudDistance
            | Key::HubFirst
            | Key::HubStud
            | Key::HubLast => Key::Shafts,
            _ => return Ok(()),
        };
        let missing = || {
            Wrong::new(
                format!("`{}` goes with `{}`", key.name(), beside.name()),
                format!("say `{}` too", beside.name()),
            )
        };
        self.said(beside).map(|_| ()).ok_or_else(missing)
    }
}

/// An inch and more in one turn: threads in one inch were meant.
fn is_a_lead(screw: &LeadScrew, said: &str) -> Result<(), Wrong> {
    let Some(lead) = screw.lead.filter(|_| screw.is_doubtful()) else { return Ok(()) };
    let number: String = said.chars().take_while(|c| c.is_ascii_digit() || *c == '.').collect();
    let wrong = format!("the carriage would go {} mm in one turn", lead.mm().to_f64());
    Err(Wrong::new(wrong, format!("{number} tpi for {number} threads in one inch?")))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn draft(answers: &[(Key, &str)]) -> Result<Draft, String> {
        let with = |draft: Draft, (key, said): &(Key, &str)| {
            draft.with(*key, said, Path::new("")).map_err(|wrong| wrong.to_string())
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
        assert!(waits.lacks_slots() && !waits.text().contains("bracket"));
        assert!(waits.sketch(Path::new("")).unwrap().open.lathe.parts().bracket.is_some());
        let slot = waits.with(Key::Slot, "34 to 70 mm angle 24", Path::new("")).unwrap();
        assert!(slot.text().contains(r#"{"from": "34 mm", "to": "70 mm", "angle": 24}"#));
        let hole = waits.with(Key::Slot, "60 mm", Path::new("")).unwrap();
        assert!(hole.text().contains(r#"{"at": "60 mm"}"#));
    }

    #[test]
    fn levers_with_all_that_can_be_said_of_them() {
        let said = "Drive: lead screw=1 threads, feed rod=1/2 opposite feeds, mystery";
        let text = draft(&[(Key::Gears, "20,40"), (Key::Lever, said)]).unwrap().text();
        let feed = r#""feed rod": {"ratio": "1/2", "turns": "opposite", "only": "feed"}"#;
        assert!(text.contains(feed) && text.contains(r#""mystery": "unknown""#), "{text}");
        assert!(draft(&[(Key::Lever, "Drive A=1")]).unwrap_err().contains("`:` is missing"));
        assert!(draft(&[(Key::Lever, "D: A=1, A=2")]).unwrap_err().contains("A stands here twice"));
    }
}
