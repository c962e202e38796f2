//! What piece of a lathe file does one answer make?

#![expect(clippy::unnecessary_wraps, reason = "one table holds them, so they are of one shape")]

use super::super::gearset::{self, LIST, Listed};
use super::super::is_path;
use super::super::node::Node;
use crate::failure::{Failure, shortened};

/// What is said not to be there is left out of the file.
pub(super) const NONE: Node = Node::Object(Vec::new());

/// Words as they were said.
pub(super) fn text(said: &str) -> Result<Node, Failure> {
    Ok(Node::text(said))
}

/// A number.
pub(super) fn figure(said: &str) -> Result<Node, Failure> {
    Ok(Node::figure(said))
}

/// A lead, or `unknown`.
pub(super) fn lead(said: &str) -> Result<Node, Failure> {
    Ok(Node::text(if is_unsure(said) { "unknown" } else { said }))
}

/// One of a few words, or `unknown`.
pub(super) fn word(said: &str) -> Result<Node, Failure> {
    lead(&said.to_lowercase())
}

/// `right`, `r`, `right handed`; of words that it does not know the reader says what is wrong.
pub(super) fn hand(said: &str) -> Result<Node, Failure> {
    let letters: String = said.to_lowercase().replace(['-', ' ', '.'], "");
    let short = letters.trim_end_matches("handed").trim_end_matches("hand");
    Ok(Node::text(match short {
        "r" | "rh" | "right" => "right",
        "l" | "lh" | "left" => "left",
        _ => said,
    }))
}

/// A number, `no` for none.
pub(super) fn sleeves(said: &str) -> Result<Node, Failure> {
    figure(if is_no(said) { "0" } else { said })
}

/// Entries between commas, some of them empty.
pub(super) fn marks(said: &str) -> Result<Node, Failure> {
    Ok(Node::list(said.split(',').map(|mark| Node::text(mark.trim()))))
}

/// Entries between commas or semicolons: a name, and what stands behind its `=`. A second `=` is
/// refused with the form.
fn pairs<'s>(said: &'s str, form: &str) -> Result<Vec<(&'s str, Option<&'s str>)>, Failure> {
    let pair = |entry: &'s str| match entry.split_once('=') {
        Some((_, value)) if value.contains('=') => {
            let wrong = format!("`{}`: a comma is missing between two positions", shortened(entry));
            Err(Failure::wrong(wrong, form))
        }
        Some((name, value)) => Ok((name.trim(), Some(value.trim()))),
        None => Ok((entry, None)),
    };
    let entries = said.split([',', ';']).map(str::trim).filter(|entry| !entry.is_empty());
    entries.map(pair).collect()
}

/// `unknown` for what is empty, or what nobody is sure of.
fn or_unknown(said: Option<&str>) -> &str {
    said.filter(|said| !said.is_empty() && !is_unsure(said)).unwrap_or("unknown")
}

/// Words of a person who does not know.
pub fn is_unsure(said: &str) -> bool {
    const UNSURE: [&str; 10] = [
        "?",
        "unknown",
        "not known",
        "not sure",
        "unsure",
        "don't know",
        "dont know",
        "do not know",
        "no idea",
        "dunno",
    ];
    let said = said.trim().trim_end_matches('.').to_lowercase().replace('\u{2019}', "'");
    UNSURE.contains(&said.as_str())
}

/// Words of a person who guesses: no figure for a file.
pub(super) fn is_a_guess(said: &str) -> bool {
    let said = said.trim().to_lowercase();
    ["i think", "i guess", "maybe", "perhaps", "probably"].iter().any(|word| said.starts_with(word))
}

/// `up=same, down=opposite`; without a sense it is not known.
pub(super) fn tumbler(said: &str) -> Result<Node, Failure> {
    if is_no(said) {
        return Ok(NONE);
    }
    // Behind the names: not sure of their senses.
    let positions: Vec<_> = pairs(said, "up=same, down=opposite")?
        .into_iter()
        .filter(|(name, _)| !is_unsure(name))
        .map(|(name, sense)| (name.to_owned(), Node::text(or_unknown(sense).to_lowercase())))
        .collect();
    let right = "its positions, such as up=same, down=opposite; `up, down` where the way round is \
                 not known; or `no`";
    if positions.is_empty() {
        return Err(Failure::wrong("no position", right));
    }
    // An answer to the question as it begins, and no name of a position.
    if let [(name, _)] = &positions[..]
        && yes_or_no(name).is_ok()
    {
        return Err(Failure::wrong(format!("`{name}` names no position"), right));
    }
    Ok(Node::Object(positions))
}

/// A list of teeth, `127+120` for a joined pair; else the name of a set or a file.
pub(super) fn gears(said: &str) -> Result<Node, Failure> {
    if is_unsure(said) {
        let right = "count the teeth of each: 20,25,30x2; or the name of a set";
        return Err(Failure::wrong("without gears no file can be written", right));
    }
    if is_no(said) {
        return Err(Failure::wrong("at least two gears are needed", LIST));
    }
    // No set is called by several words.
    let is_listed = said.starts_with(|c: char| c.is_ascii_digit()) || said.contains([' ', ',']);
    if !is_listed || is_path(said.as_ref()) {
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
pub(super) fn lever(said: &str) -> Result<Node, Failure> {
    const FORM: &str = "Range: A=1, B=1/2, C=unknown";
    let wrong = |what: &str| Failure::wrong(what, FORM);
    let (name, positions) =
        said.split_once(':').ok_or_else(|| wrong("the lever's name with a `:` is missing"))?;
    let positions = pairs(positions, FORM)?.into_iter();
    let positions: Vec<_> =
        positions.map(|(name, way)| (name.to_owned(), lever_way(way))).collect();
    if positions.is_empty() {
        return Err(wrong("no position"));
    }
    each_once(&positions).map_err(|twice| wrong(&twice))?;
    let positions = Node::Object(positions);
    Ok(Node::object([("name", Node::text(name.trim())), ("positions", positions)]))
}

/// A ratio; or `low=1 same, high=8 opposite`, one for each position of the headstock.
pub(super) fn headstock(said: &str) -> Result<Node, Failure> {
    const FORM: &str = "low=1 same, high=8 opposite";
    if !said.contains('=') {
        return if is_unsure(said) { lead(said) } else { figure(said) };
    }
    let way = |said| match lever_way(said) {
        Node::Object(way) => Node::Object(way),
        ratio => Node::object([("ratio", ratio)]),
    };
    let positions = pairs(said, FORM)?.into_iter();
    let positions: Vec<_> = positions.map(|(name, said)| (name.to_owned(), way(said))).collect();
    each_once(&positions).map_err(|twice| Failure::wrong(twice, FORM))?;
    Ok(Node::Object(positions))
}

/// Refuses a name that comes twice.
fn each_once(positions: &[(String, Node)]) -> Result<(), String> {
    let mut seen: Vec<&str> = Vec::new();
    for (position, _) in positions {
        if seen.contains(&position.as_str()) {
            return Err(format!("{position} appears twice"));
        }
        seen.push(position);
    }
    Ok(())
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
pub(super) fn fitted_levers(said: &str) -> Result<Node, Failure> {
    let right = "each lever with its position: Range=A, Step=3";
    let lever = |(name, position): (&str, Option<&str>)| {
        let position =
            position.ok_or_else(|| Failure::wrong(format!("`{name}` has no position"), right))?;
        Ok((name.to_owned(), Node::text(position)))
    };
    pairs(said, right)?.into_iter().map(lever).collect::<Result<_, _>>().map(Node::Object)
}

/// Whether an answer is no.
pub fn is_no(said: &str) -> bool {
    ["no", "n", "none"].iter().any(|no| said.eq_ignore_ascii_case(no))
}

pub(super) fn yes_or_no(said: &str) -> Result<Node, Failure> {
    match said.to_lowercase().as_str() {
        "yes" | "y" | "true" => Ok(Node::Number("true".into())),
        "no" | "n" | "false" => Ok(Node::Number("false".into())),
        _ => Err(Failure::wrong(format!("`{said}` is neither yes nor no"), "yes, no or not sure")),
    }
}

/// `16 teeth, 8 lines`, or `no`.
pub(super) fn dial(said: &str) -> Result<Node, Failure> {
    if is_no(said) {
        return Ok(NONE);
    }
    // A decimal point is part of its figure, which is then refused.
    let figures: Vec<&str> = said
        .split(|c: char| !c.is_ascii_digit() && c != '.')
        .filter(|figure| figure.contains(|c: char| c.is_ascii_digit()))
        .collect();
    let [teeth, lines] = figures.as_slice() else {
        return Err(Failure::wrong(
            format!("two figures are wanted, not {}", figures.len()),
            "teeth of the dial's gear and lines on its face: 16 teeth, 8 lines; or `no`",
        ));
    };
    Ok(Node::object([("teeth", Node::figure(teeth)), ("lines", Node::figure(lines))]))
}

/// Both ends of a range: `34 to 70`, `34 - 70`. A minus before the first is its own.
fn ends(said: &str) -> Option<(&str, &str)> {
    let hyphen = || {
        let (at, dash) =
            said.char_indices().skip(1).find(|(_, c)| matches!(c, '-' | '\u{2013}'))?;
        Some((said.get(..at)?, said.get(at + dash.len_utf8()..)?))
    };
    let (from, to) = said.split_once("to").or_else(hyphen)?;
    Some((from.trim(), to.trim()))
}

/// `60, 120, 250`, or `50 to 1200`.
pub(super) fn speeds(said: &str) -> Result<Node, Failure> {
    Ok(match ends(said) {
        Some((from, to)) => Node::object([("from", Node::figure(from)), ("to", Node::figure(to))]),
        None => {
            Node::list(said.split([',', ' ']).filter(|speed| !speed.is_empty()).map(Node::figure))
        }
    })
}

/// `34 mm to 70 mm`, `34 to 70 mm angle 24`, or `60 mm` for a hole.
pub(super) fn slot(said: &str) -> Result<Node, Failure> {
    let (place, angle) = match said.split_once("angle") {
        Some((place, angle)) => (place.trim(), Some(angle.trim())),
        None => (said, None),
    };
    // `1-1/2 in` is one length.
    let is_one = place.parse::<solver::Offset>().is_ok();
    let mut slot = match ends(place).filter(|_| !is_one) {
        Some((from, to)) => vec![
            ("from".to_owned(), Node::text(with_unit_of(to, from))),
            ("to".into(), Node::text(to)),
        ],
        None => vec![("at".to_owned(), Node::text(place))],
    };
    slot.extend(angle.map(|angle| ("angle".to_owned(), Node::figure(angle))));
    Ok(Node::Object(slot))
}

/// A length without a unit takes that of the other.
fn with_unit_of(other: &str, length: &str) -> String {
    let unit = other.trim_start_matches(|c: char| !c.is_alphabetic() && c != '"');
    let bare = !length.contains(|c: char| c.is_alphabetic() || c == '"');
    if bare && !unit.is_empty() { format!("{length} {unit}") } else { length.to_owned() }
}

/// `-15 to 75`.
pub(super) fn swing(said: &str) -> Result<Node, Failure> {
    let (from, to) = ends(said).ok_or_else(|| {
        Failure::wrong("one end of the arm angle is missing", "two angles: -15 to 75")
    })?;
    Ok(Node::object([("from", Node::figure(from)), ("to", Node::figure(to))]))
}
