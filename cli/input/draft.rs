//! What do a person's answers about a lathe come to as a lathe file?
//!
//! Each answer becomes a piece of the file; the file so far is then read by what reads every lathe
//! file, so that an answer is refused for the same reasons and in the same words. Who asks, and how
//! the questions are put, is not known here.

use super::gearset::{self, Listed};
use super::node::Node;
use super::wrong::Wrong;
use super::{Failure, OpenLathe, Source, json, open_lathe};
use std::path::Path;

macro_rules! keys {
    ($($(#[$what:meta])* $key:ident $name:literal),+ $(,)?) => {
        /// What an answer is about, in the order of the questions.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub(crate) enum Key {
            $($(#[$what])* $key),+
        }

        impl Key {
            /// All of them.
            pub(crate) const ALL: &'static [Self] = &[$(Self::$key),+];

            /// The word before an answer in a file of answers, and the flag that gives it.
            pub(crate) const fn name(self) -> &'static str {
                match self {
                    $(Self::$key => $name),+
                }
            }
        }
    };
}

keys! {
    /// What the lathe is called.
    Name "name",
    /// Lead of the lead screw.
    Screw "screw",
    /// Its hand.
    Hand "hand",
    /// Its starts.
    Starts "starts",
    /// Turns of the first gear for one of the spindle.
    Ratio "ratio",
    /// Positions of the tumbler.
    Tumbler "tumbler",
    /// Its sense, the tumbler apart.
    Turns "turns",
    /// The gears.
    Gears "gears",
    /// Their tooth size.
    Pitch "pitch",
    /// Their pressure angle.
    Angle "angle",
    /// Studs on the bracket.
    Studs "studs",
    /// Keyed sleeves.
    Sleeves "sleeves",
    /// One lever of the gearbox; may stand several times.
    Lever "lever",
    /// The train that is on the machine.
    Fitted "fitted",
    /// Where the levers stand with it.
    FittedLevers "fitted-levers",
    /// Whether there is a half nut.
    HalfNut "half-nut",
    /// The half-nut dial.
    Dial "dial",
    /// What stands beside its lines.
    Marks "marks",
    /// Whether the motor reverses.
    Reverse "reverse",
    /// Spindle speeds.
    Speeds "speeds",
    /// From the axis of the last shaft to that of the first.
    Shafts "shafts",
    /// One slot or hole of the bracket; may stand several times.
    Slot "slot",
    /// How far the arm swings.
    Swing "swing",
    /// The nearest that a stud comes to the first shaft.
    StudDistance "stud-distance",
    /// Hub radius of the first shaft.
    HubFirst "hub-first",
    /// Hub radius of a stud.
    HubStud "hub-stud",
    /// Hub radius of the last shaft.
    HubLast "hub-last",
}

impl Key {
    /// The key of a name.
    pub(crate) fn of(name: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|key| key.name() == name)
    }

    /// Whether it may be answered several times.
    pub(crate) const fn repeats(self) -> bool {
        matches!(self, Self::Lever | Self::Slot)
    }
}

/// One answer and the piece of the file that it makes.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Answer {
    key: Key,
    said: String,
    node: Node,
}

/// The answers so far. Together they are a lathe file that can be read, but for the gears.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Draft(Vec<Answer>);

/// A lathe that is not whole yet.
#[derive(Debug)]
pub(crate) struct Sketch {
    /// As far as it is known.
    pub(crate) open: OpenLathe,
    /// Whether gears of no meaning stand for those that were not given.
    pub(crate) lacks_gears: bool,
    /// Whether studs were left out, since no slot for them was given yet.
    pub(crate) lacks_slots: bool,
}

/// What is said not to be there is left out of the file.
const NONE: Node = Node::Object(Vec::new());

/// Any two gears: they stand for a box that nobody has described.
const ANY_GEARS: [&str; 2] = ["20", "40"];

impl Draft {
    /// With one more answer.
    ///
    /// # Errors
    /// If it can't be read, or contradicts an earlier one.
    pub(crate) fn with(&self, key: Key, said: &str, folder: &Path) -> Result<Self, Wrong> {
        let said = said.trim().to_owned();
        if !key.repeats() && self.said(key).is_some() {
            return Err(Wrong::new(format!("`{}` was answered before", key.name()), "one of them"));
        }
        let node = self.node(key, &said)?;
        let mut draft = self.clone();
        draft.0.push(Answer { key, said, node });
        draft.sketch(folder).map_err(|failure| failure.wrong)?;
        Ok(draft)
    }

    /// What was said.
    pub(crate) fn said(&self, key: Key) -> Option<&str> {
        self.0.iter().rev().find(|a| a.key == key).map(|a| a.said.as_str())
    }

    /// All answers, in the order in which they were given.
    pub(crate) fn answers(&self) -> impl Iterator<Item = (Key, &str)> {
        self.0.iter().map(|a| (a.key, a.said.as_str()))
    }

    /// Whether these gears are listed and not named.
    pub(crate) fn lists_gears(&self) -> bool {
        self.one(Key::Gears).is_some_and(|node| matches!(node, Node::Object(_)))
    }

    /// Whether there is a tumbler.
    pub(crate) fn has_tumbler(&self) -> bool {
        self.one(Key::Tumbler).is_some_and(|tumbler| *tumbler != NONE)
    }

    /// Whether there is a half-nut dial.
    pub(crate) fn has_dial(&self) -> bool {
        self.dial().is_some()
    }

    /// The lathe so far, for looking at.
    ///
    /// # Errors
    /// If the answers contradict each other.
    pub(crate) fn sketch(&self, folder: &Path) -> Result<Sketch, Failure> {
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
    pub(crate) fn text(&self) -> String {
        Node::Object(self.parts()).to_string()
    }

    /// Whether the bracket has no slot for its studs: such a bracket is left out of the file.
    pub(crate) fn lacks_slots(&self) -> bool {
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
        let given = |(name, key): &(&str, Key)| Some(((*name).to_owned(), self.one(*key)?.clone()));
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

    /// The piece of the file that an answer makes.
    fn node(&self, key: Key, said: &str) -> Result<Node, Wrong> {
        self.fits_in(key)?;
        match key {
            Key::Hand | Key::Turns => Ok(Node::text(said.to_lowercase())),
            Key::Starts | Key::Studs | Key::Sleeves | Key::Angle | Key::Ratio => {
                Ok(Node::figure(said))
            }
            Key::Tumbler => tumbler(said),
            Key::Gears => gears(said),
            Key::Lever => lever(said),
            Key::FittedLevers => fitted_levers(said),
            Key::HalfNut | Key::Reverse => yes_or_no(said),
            Key::Dial => dial(said),
            Key::Marks => Ok(Node::list(said.split(',').map(|mark| Node::text(mark.trim())))),
            Key::Speeds => Ok(speeds(said)),
            Key::Slot => Ok(slot(said)),
            Key::Swing => swing(said),
            _ => Ok(Node::text(said)),
        }
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

/// Entries between commas or semicolons: a name, and what stands behind its `=`.
fn pairs(said: &str) -> impl Iterator<Item = (&str, Option<&str>)> {
    said.split([',', ';']).map(str::trim).filter(|entry| !entry.is_empty()).map(|entry| match entry
        .split_once('=')
    {
        Some((name, value)) => (name.trim(), Some(value.trim())),
        None => (entry, None),
    })
}

/// `unknown` for what is empty or a question mark.
fn or_unknown(said: Option<&str>) -> &str {
    said.filter(|said| !matches!(*said, "" | "?")).unwrap_or("unknown")
}

/// `up=same, down=opposite`; without a sense it is not known.
fn tumbler(said: &str) -> Result<Node, Wrong> {
    if is_no(said) {
        return Ok(NONE);
    }
    let positions: Vec<_> = pairs(said)
        .map(|(name, sense)| (name.to_owned(), Node::text(or_unknown(sense).to_lowercase())))
        .collect();
    if positions.is_empty() {
        return Err(Wrong::new("no position", "up=same, down=opposite; or `no`"));
    }
    Ok(Node::Object(positions))
}

/// A list of teeth, `127+120` for a joined pair; else the name of a set or a file.
fn gears(said: &str) -> Result<Node, Wrong> {
    if !said.starts_with(|c: char| c.is_ascii_digit()) || super::is_path(said.as_ref()) {
        return Ok(Node::text(said));
    }
    let (mut owned, mut joined) = (Vec::new(), Vec::new());
    for entry in gearset::listed(said)? {
        match entry {
            Listed::Loose(teeth, count @ 1..=4) => {
                owned.extend((0..count).map(|_| Node::number(teeth.to_string())));
            }
            Listed::Loose(teeth, count) => {
                let (teeth, count) = (Node::number(teeth.to_string()), count.to_string());
                owned.push(Node::object([("teeth", teeth), ("count", Node::number(count))]));
            }
            Listed::Joined(pair) => {
                let pair = Node::list(pair.map(|teeth| Node::number(teeth.to_string())));
                joined.push(Node::object([("gears", pair)]));
            }
        }
    }
    let mut gears = vec![("owned".to_owned(), Node::List(owned))];
    if !joined.is_empty() {
        gears.push(("joined".into(), Node::List(joined)));
    }
    Ok(Node::Object(gears))
}

/// `Range: A=1, B=1/2, C=unknown`; behind a ratio `opposite`, `threads` or `feeds`.
fn lever(said: &str) -> Result<Node, Wrong> {
    let wrong = |what: &str| Wrong::new(what, "Range: A=1, B=1/2, C=unknown");
    let (name, positions) =
        said.split_once(':').ok_or_else(|| wrong("the lever's name with a `:` is missing"))?;
    let positions: Vec<_> =
        pairs(positions).map(|(name, way)| (name.to_owned(), lever_way(way))).collect();
    if positions.is_empty() {
        return Err(wrong("no position"));
    }
    let mut seen: Vec<&str> = Vec::new();
    for (position, _) in &positions {
        if seen.contains(&position.as_str()) {
            return Err(wrong(&format!("{position} stands here twice")));
        }
        seen.push(position);
    }
    let positions = Node::Object(positions);
    Ok(Node::object([("name", Node::text(name.trim())), ("positions", positions)]))
}

fn lever_way(said: Option<&str>) -> Node {
    let (mut ratio, mut turns, mut only) = (Vec::new(), None, None);
    for word in or_unknown(said).split_whitespace() {
        match word {
            "same" | "opposite" => turns = Some(word),
            "thread" | "threads" => only = Some("thread"),
            "feed" | "feeds" => only = Some("feed"),
            _ => ratio.push(word),
        }
    }
    let text = ratio.join(" ");
    let ratio = Node::text(or_unknown(Some(text.as_str())));
    if turns.is_none() && only.is_none() {
        return ratio;
    }
    let more = [("turns", turns), ("only", only)].into_iter();
    let more = more.filter_map(|(key, word)| Some((key.to_owned(), Node::text(word?))));
    Node::Object(std::iter::once(("ratio".to_owned(), ratio)).chain(more).collect())
}

/// `Range=A, Step=3`.
fn fitted_levers(said: &str) -> Result<Node, Wrong> {
    let lever = |(name, position): (&str, Option<&str>)| {
        let right = "each lever with its position: Range=A, Step=3";
        let position =
            position.ok_or_else(|| Wrong::new(format!("`{name}` has no position"), right))?;
        Ok((name.to_owned(), Node::text(position)))
    };
    pairs(said).map(lever).collect::<Result<_, _>>().map(Node::Object)
}

fn is_no(said: &str) -> bool {
    ["no", "n", "none"].iter().any(|no| said.eq_ignore_ascii_case(no))
}

fn yes_or_no(said: &str) -> Result<Node, Wrong> {
    match said.to_lowercase().as_str() {
        "yes" | "y" | "true" => Ok(Node::Number("true".into())),
        "no" | "n" | "false" => Ok(Node::Number("false".into())),
        _ => Err(Wrong::new(format!("`{said}` is neither yes nor no"), "say yes or no")),
    }
}

/// `16 teeth, 8 lines`, or `no`.
fn dial(said: &str) -> Result<Node, Wrong> {
    if is_no(said) {
        return Ok(NONE);
    }
    let figures: Vec<&str> =
        said.split(|c: char| !c.is_ascii_digit()).filter(|figure| !figure.is_empty()).collect();
    let [teeth, lines] = figures.as_slice() else {
        return Err(Wrong::new(
            format!("{} figures, not two", figures.len()),
            "teeth of the dial's gear and lines on its face: 16 teeth, 8 lines; or `no`",
        ));
    };
    Ok(Node::object([("teeth", Node::number(*teeth)), ("lines", Node::number(*lines))]))
}

/// `60, 120, 250`, or `50 to 1200`.
fn speeds(said: &str) -> Node {
    match said.split_once("to").or_else(|| said.split_once('-')) {
        Some((from, to)) => {
            Node::object([("from", Node::figure(from.trim())), ("to", Node::figure(to.trim()))])
        }
        None => {
            Node::list(said.split([',', ' ']).filter(|speed| !speed.is_empty()).map(Node::figure))
        }
    }
}

/// `34 mm to 70 mm`, `34 to 70 mm angle 24`, or `60 mm` for a hole.
fn slot(said: &str) -> Node {
    let (place, angle) = match said.split_once("angle") {
        Some((place, angle)) => (place.trim(), Some(angle.trim())),
        None => (said, None),
    };
    let mut slot = match place.split_once("to") {
        Some((from, to)) => {
            let (from, to) = (from.trim(), to.trim());
            vec![
                ("from".to_owned(), Node::text(with_unit_of(to, from))),
                ("to".into(), Node::text(to)),
            ]
        }
        None => vec![("at".to_owned(), Node::text(place))],
    };
    slot.extend(angle.map(|angle| ("angle".to_owned(), Node::figure(angle))));
    Node::Object(slot)
}

/// A length without a unit takes that of the other.
fn with_unit_of(other: &str, length: &str) -> String {
    let unit = other.trim_start_matches(|c: char| !c.is_alphabetic() && c != '"');
    let bare = !length.contains(|c: char| c.is_alphabetic() || c == '"');
    if bare && !unit.is_empty() { format!("{length} {unit}") } else { length.to_owned() }
}

/// `-15 to 75`.
fn swing(said: &str) -> Result<Node, Wrong> {
    let (from, to) = said
        .split_once("to")
        .ok_or_else(|| Wrong::new("one end of the swing is missing", "two angles: -15 to 75"))?;
    Ok(Node::object([("from", Node::figure(from.trim())), ("to", Node::figure(to.trim()))]))
}

/// An answer of a file of answers: its key, the answer, and where it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Given {
    /// What it is about.
    pub(crate) key: Key,
    /// What was said.
    pub(crate) said: String,
    /// `file:line`, or the flag.
    pub(crate) place: String,
}

/// The answers of a file, or of standard input (`-`): one a line, `key: answer`; `#` opens a line
/// that is not read, and a key without an answer is skipped.
///
/// # Errors
/// If it can't be read, or a line has no key that is known.
pub(crate) fn answers(path: &Path) -> Result<Vec<Given>, Failure> {
    let source = if path.as_os_str() == "-" {
        Source::answers_on_standard_input()?
    } else {
        Source::file(path)?
    };
    answers_of(&source)
}

fn answers_of(source: &Source) -> Result<Vec<Given>, Failure> {
    let lines = source.text.lines().enumerate().map(|(i, line)| (i + 1, line.trim()));
    let said = lines.filter(|(_, line)| !line.is_empty() && !line.starts_with('#'));
    let given = said.map(|(number, line)| {
        let place = format!("{}:{number}", source.name);
        let (word, said) = line.split_once(':').unwrap_or((line, ""));
        let key = Key::of(word.trim()).ok_or_else(|| Failure {
            place: place.clone(),
            wrong: Wrong::new(format!("`{}` is no question", word.trim()), nearest_key(word)),
        })?;
        Ok(Given { key, said: said.trim().to_owned(), place })
    });
    let given: Vec<Given> = given.collect::<Result<_, Failure>>()?;
    Ok(given.into_iter().filter(|given| !given.said.is_empty()).collect())
}

fn nearest_key(word: &str) -> String {
    let names: Vec<String> = Key::ALL.iter().map(|key| key.name().to_owned()).collect();
    json::nearest(word.trim(), &names)
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
        assert!(wrong(Key::Studs, "9").contains("9 is not in 0..=3"), "{}", wrong(Key::Studs, "9"));
        assert!(wrong(Key::Fitted, "twenty-40").contains("number"));
        assert!(wrong(Key::Gears, "20").contains("answered before"));
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

    #[test]
    fn a_file_of_answers_says_where_it_is_wrong() {
        let read = |text: &str| answers_of(&Source::new("f", text));
        let given = read("# the Dinghy\nname: a: b\n\nhand:\nscrew : 8 tpi\n").unwrap();
        let said: Vec<_> = given.iter().map(|g| (g.key, g.said.as_str(), &*g.place)).collect();
        assert_eq!(said, [(Key::Name, "a: b", "f:2"), (Key::Screw, "8 tpi", "f:5")]);
        let wrong = read("name: x\nscrw: 8 tpi").unwrap_err().to_string();
        assert!(
            wrong.starts_with("f:2: `scrw` is no question") && wrong.contains("screw"),
            "{wrong}"
        );
    }
}
