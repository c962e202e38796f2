//! What does a lathe file say to a question now, and which text has it with another answer?

use super::super::{OpenLathe, Source, json, open_lathe};
use super::piece::NONE;
use super::{Key, Node, form, is_a_guess, is_a_lead, with_form};
use crate::failure::Failure;
use serde_json::Value;
use std::path::Path;

/// Paths that go out of a file, and what is put at others.
type Edit = (Vec<String>, Vec<(String, Node)>);

/// A lathe file with another answer to one question; all else stays as it was written. `which`: the
/// slot that is meant, from 1; `folder`: where the file is; without it no file is opened.
///
/// # Errors
/// If the answer can't be read, or the file could not be used with it.
pub fn changed(
    open: &OpenLathe,
    (key, which): (Key, Option<usize>),
    said: &str,
    folder: Option<&Path>,
) -> Result<OpenLathe, Failure> {
    let (question, said) = (key.question(), said.trim());
    if key != Key::Name && is_a_guess(said) {
        return Err(form(question, said));
    }
    let node = if question.is_left_out_by(said) {
        NONE
    } else if key == Key::Slot {
        Node::list([])
    } else {
        (question.reads)(said).map_err(Failure::anywhere)?
    };
    let (out, put) = if key == Key::Slot && node != NONE {
        slots(open, which, said)?
    } else {
        edit(open, key, node)
    };
    let text = json::edited(&open.source, &out, &put).ok_or_else(|| {
        let what =
            format!("the file says `{}` in a way that can't be changed by itself", key.name());
        Failure::wrong(what, "an editor on the file")
    })?;
    let text = if text.ends_with('\n') { text } else { text + "\n" };
    let changed = open_lathe(Source::new(&open.source.name, text), folder);
    let changed = changed.map_err(|wrong| with_form(wrong, question, said))?;
    if key == Key::Screw {
        is_a_lead(&changed.lathe.parts().lead_screw, said)?;
    }
    Ok(changed)
}

/// What goes out and what comes in.
fn edit(open: &OpenLathe, key: Key, node: Node) -> Edit {
    let at = key.question().at;
    let out = |paths: &[&str]| paths.iter().map(|path| (*path).to_owned()).collect::<Vec<_>>();
    let put = |path: &str, node| vec![(path.to_owned(), node)];
    match (key, node) {
        // Without a train nothing is fitted.
        (Key::Fitted, node) if node == NONE => (out(&["fitted"]), Vec::new()),
        (_, node) if node == NONE => (out(&[at]), Vec::new()),
        (Key::Ratio, Node::Object(positions)) => {
            let gone = out(&["headstock.ratio", "headstock.turns"]);
            (gone, put("headstock.positions", Node::Object(positions)))
        }
        (Key::Ratio, ratio) => (out(&["headstock.positions"]), put(at, ratio)),
        (Key::Lever, Node::Object(lever)) => (out(&[]), with_lever(open, lever)),
        (_, Node::Object(parts)) if open.has_object(at) => {
            let within = |name: &str| format!("{at}[{}]", Value::from(name));
            // What other questions say of the gears and the dial holds on.
            let kept = |name: &str| {
                ["pitch", "pressure_angle", "labels"].contains(&name)
                    || parts.iter().any(|(known, _)| known == name)
            };
            let old = file(open).and_then(|file| found(&file, at)?.as_object().cloned());
            let old = old.unwrap_or_default();
            let gone = old.keys().filter(|name| !kept(name)).map(|name| within(name)).collect();
            (gone, parts.iter().map(|(name, part)| (within(name), part.clone())).collect())
        }
        (_, node) => (out(&[]), put(at, node)),
    }
}

/// One slot in place of the one that is meant, or one more; without a number all of them, with `;`
/// between.
fn slots(open: &OpenLathe, which: Option<usize>, said: &str) -> Result<Edit, Failure> {
    let question = Key::Slot.question();
    let one = |said: &str| (question.reads)(said.trim()).map_err(Failure::anywhere);
    let has = open.lathe.parts().bracket.as_ref().map_or(0, |banjo| banjo.slots.len());
    let at = question.at;
    let Some(which) = which else {
        let all = said.split(';').map(one).collect::<Result<Vec<_>, _>>()?;
        if has > 1 && all.len() == 1 {
            let what = format!("the file has {has} slots: which one is not said");
            let right = "`slot.2` for the second, or all of them with ; between";
            return Err(Failure::wrong(what, right));
        }
        return Ok((Vec::new(), vec![(at.to_owned(), Node::list(all))]));
    };
    if !(1..=has + 1).contains(&which) {
        let what = format!("slot.{which}: the file has {has} slots");
        return Err(Failure::wrong(what, format!("slot.1 to slot.{}", has + 1)));
    }
    let (slot, place) = (one(said)?, format!("{at}[{}]", which - 1));
    Ok(match slot {
        Node::Object(parts) if which <= has => {
            let gone = ["from", "to", "at", "angle", "arc"].into_iter();
            let gone = gone.filter(|key| parts.iter().all(|(known, _)| known != key));
            let put = parts.iter().map(|(key, node)| (format!("{place}.{key}"), node.clone()));
            (gone.map(|key| format!("{place}.{key}")).collect(), put.collect())
        }
        slot => (Vec::new(), vec![(place, slot)]),
    })
}

/// The lever of this name in place of the one that the file has, else one more.
fn with_lever(open: &OpenLathe, lever: Vec<(String, Node)>) -> Vec<(String, Node)> {
    let levers = &open.lathe.parts().gearbox.levers;
    let name = lever.iter().find(|(key, _)| key == "name").map(|(_, name)| name.clone());
    match levers.iter().position(|known| Some(Node::text(&known.name)) == name) {
        Some(i) => {
            let positions = lever.into_iter().filter(|(key, _)| key == "positions");
            positions.map(|(key, node)| (format!("gearbox.levers[{i}].{key}"), node)).collect()
        }
        None if levers.is_empty() => {
            vec![("gearbox.levers".into(), Node::list([Node::Object(lever)]))]
        }
        None => vec![(format!("gearbox.levers[{}]", levers.len()), Node::Object(lever))],
    }
}

/// What a lathe file says to a question, as it would be answered; `None`: nothing.
pub fn now(open: &OpenLathe, key: Key) -> Option<String> {
    let file = file(open)?;
    let at = |path: &str| found(&file, path).cloned();
    let own = at(key.question().at);
    let value = if key == Key::Ratio { own.or_else(|| at("headstock.positions")) } else { own }?;
    Some(match (key, value) {
        (Key::Gears, Value::Object(gears)) => {
            let all =
                ["owned", "joined"].into_iter().filter_map(|part| gears.get(part)?.as_array());
            all.flatten().map(gear).collect::<Vec<_>>().join(",")
        }
        (Key::Lever | Key::Slot | Key::Dial, Value::Array(all)) => {
            all.iter().map(words).collect::<Vec<_>>().join("; ")
        }
        (_, value) => words(&value),
    })
}

fn file(open: &OpenLathe) -> Option<Value> {
    serde_json::from_str(&open.source.text).ok()
}

/// What stands at a path of names.
fn found<'v>(file: &'v Value, path: &str) -> Option<&'v Value> {
    file.pointer(&format!("/{}", path.replace('.', "/")))
}

/// `20x2`, `127+120`.
fn gear(entry: &Value) -> String {
    let pair = entry.get("gears").and_then(Value::as_array);
    if let Some(pair) = pair {
        return pair.iter().map(words).collect::<Vec<_>>().join("+");
    }
    let teeth = words(entry.get("teeth").unwrap_or(entry));
    entry.get("count").map_or(teeth.clone(), |count| format!("{teeth}x{count}"))
}

/// A value in the words of an answer.
fn words(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Bool(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        Value::Null => "no".to_owned(),
        Value::Number(number) => number.to_string(),
        Value::Array(items) => items.iter().map(words).collect::<Vec<_>>().join(","),
        Value::Object(parts) => {
            let of = |part: &str| parts.get(part).map(words);
            let angle = of("angle").map(|angle| format!(" angle {angle}")).unwrap_or_default();
            if let Some((from, to)) = of("from").zip(of("to")) {
                return format!("{from} to {to}{angle}");
            }
            if let Some(at) = of("at") {
                return at + &angle;
            }
            if let Some((teeth, lines)) = of("teeth").zip(of("lines")) {
                return format!("{teeth} teeth, {lines} lines");
            }
            if let Some((name, positions)) = of("name").zip(of("positions")) {
                return format!("{name}: {positions}");
            }
            if let Some(ratio) = of("ratio") {
                let more = [of("turns"), of("only")].into_iter().flatten();
                return more.fold(ratio, |all, word| all + " " + &word);
            }
            let pair = |(name, part): (&String, &Value)| format!("{name}={}", words(part));
            parts.iter().map(pair).collect::<Vec<_>>().join(", ")
        }
    }
}
