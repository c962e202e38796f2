//! What piece of a lathe file does one answer make?

use super::super::gearset::{self, Listed};
use super::super::is_path;
use super::super::node::Node;
use super::super::wrong::Wrong;
use super::Key;

/// What is said not to be there is left out of the file.
pub(super) const NONE: Node = Node::Object(Vec::new());

/// The piece that an answer makes.
///
/// # Errors
/// If it can't be read. Whether a lathe may be so is for the reader of lathe files.
pub(super) fn piece(key: Key, said: &str) -> Result<Node, Wrong> {
    match key {
        Key::Screw | Key::Ratio | Key::Turns if is_unsure(said) => Ok(Node::text("unknown")),
        key if key.may_be_unsure() && is_unsure(said) => Ok(NONE),
        Key::Sleeves if is_no(said) => Ok(Node::number("0")),
        Key::Hand | Key::Turns => Ok(Node::text(said.to_lowercase())),
        Key::Starts | Key::Studs | Key::Sleeves | Key::Angle | Key::Ratio => Ok(Node::figure(said)),
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

/// Entries between commas or semicolons: a name, and what stands behind its `=`.
fn pairs(said: &str) -> impl Iterator<Item = (&str, Option<&str>)> {
    said.split([',', ';']).map(str::trim).filter(|entry| !entry.is_empty()).map(|entry| match entry
        .split_once('=')
    {
        Some((name, value)) => (name.trim(), Some(value.trim())),
        None => (entry, None),
    })
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

/// `up=same, down=opposite`; without a sense it is not known.
fn tumbler(said: &str) -> Result<Node, Wrong> {
    if is_no(said) {
        return Ok(NONE);
    }
    // Behind the names: not sure of their senses.
    let positions: Vec<_> = pairs(said)
        .filter(|(name, _)| !is_unsure(name))
        .map(|(name, sense)| (name.to_owned(), Node::text(or_unknown(sense).to_lowercase())))
        .collect();
    let right = "its positions, such as up=same, down=opposite; `up, down` where the way round is \
                 not known; or `no`";
    if positions.is_empty() {
        return Err(Wrong::new("no position", right));
    }
    // An answer to the question as it begins, and no name of a position.
    if let [(name, _)] = &positions[..]
        && yes_or_no(name).is_ok()
    {
        return Err(Wrong::new(format!("`{name}` names no position"), right));
    }
    Ok(Node::Object(positions))
}

/// A list of teeth, `127+120` for a joined pair; else the name of a set or a file.
fn gears(said: &str) -> Result<Node, Wrong> {
    if !said.starts_with(|c: char| c.is_ascii_digit()) || is_path(said.as_ref()) {
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

/// Whether an answer is no.
pub fn is_no(said: &str) -> bool {
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
            format!("two figures are wanted, not {}", figures.len()),
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
