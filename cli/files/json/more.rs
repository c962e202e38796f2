//! All that is wrong with a file. What was found is taken out, the rest is read again; what is then wrong
//! only because something was taken out is not said.

use super::path::{Found, KeyPath, Step};
use super::{Source, UNKNOWN_KEY, located, nearest, reworded};
use crate::failure::{Failure, MOST};
use jsonc_parser::ast::Value as Tree;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

/// Most times that a file is read again.
const ROUNDS: usize = 100;

type Refused = serde_path_to_error::Error<serde_json::Error>;

/// Everything that keeps a text from being a `T`, in the order of the file. `first`: what was found first.
pub(super) fn all<T: DeserializeOwned>(
    source: &Source,
    tree: &Tree<'_>,
    first: Refused,
) -> Failure {
    let mut found = Vec::new();
    let mut rest = Rest { value: read(source), gone: Vec::new() };
    let mut error = Some(first);
    for _ in 0..ROUNDS {
        let Some(refused) = error.take().filter(|_| found.len() < MOST) else { break };
        let at = KeyPath::of(refused.path());
        let original = rest.original(&at);
        let said = refused.inner().to_string();
        let missing = said.strip_prefix("missing field `").and_then(|m| m.split('`').next());
        let known = missing.is_some_and(|key| rest.is_gone(&original, key));
        if !known {
            let by_name = said.starts_with(UNKNOWN_KEY);
            let place = Found::at(tree, &original);
            let offset = place.name.filter(|_| by_name).unwrap_or(place.value);
            let wrong = reworded(refused.inner());
            found.push((offset, located(source, tree, &original, wrong, by_name)));
        }
        if !rest.take_out(&at, original, missing) {
            break;
        }
        error = serde_path_to_error::deserialize::<_, T>(&rest.value).err();
    }
    found.sort_by_key(|(offset, _)| *offset);
    let all = Failure::all(found.into_iter().map(|(_, wrong)| wrong));
    all.unwrap_or_else(|| Failure::new("the file can't be read").placed(&source.name))
}

fn read(source: &Source) -> Value {
    serde_json::from_str(&source.text).unwrap_or_default()
}

/// What is left of a file.
struct Rest {
    value: Value,
    /// What was taken out, by its path in the file.
    gone: Vec<KeyPath>,
}

impl Rest {
    /// Takes out what stands at a path; where a key is missing, the object that lacks it. Of the whole
    /// file the key is put in. Whether it could be.
    fn take_out(&mut self, at: &KeyPath, original: KeyPath, missing: Option<&str>) -> bool {
        let Some((last, way)) = at.0.split_last() else {
            let (Some(key), Some(file)) = (missing, self.value.as_object_mut()) else {
                return false;
            };
            return file.insert(key.to_owned(), stand_in(key)).is_none();
        };
        let taken = match (inside(&mut self.value, way), last) {
            (Some(Value::Object(object)), Step::Key(key)) => object.remove(key).is_some(),
            (Some(Value::Array(list)), Step::Index(i)) if *i < list.len() => {
                list.remove(*i);
                true
            }
            _ => false,
        };
        self.gone.push(original);
        taken
    }

    /// Whether a key of an object was taken out, by its name or by one mistyped.
    fn is_gone(&self, object: &KeyPath, key: &str) -> bool {
        self.gone.iter().any(|path| match path.0.split_last() {
            Some((Step::Key(gone), way)) => {
                way == object.0 && nearest(gone, &[key.to_owned()]).starts_with("did")
            }
            _ => false,
        })
    }

    /// The path in the file: items of lists that were taken out count there.
    fn original(&self, at: &KeyPath) -> KeyPath {
        let mut path = KeyPath::default();
        for step in &at.0 {
            let step = match step {
                Step::Index(i) => Step::Index(self.original_index(&path, *i)),
                key @ Step::Key(_) => key.clone(),
            };
            path.0.push(step);
        }
        path
    }

    fn original_index(&self, list: &KeyPath, left: usize) -> usize {
        let of_list = |path: &KeyPath| match path.0.split_last() {
            Some((Step::Index(i), way)) if way == list.0 => Some(*i),
            _ => None,
        };
        let mut gone: Vec<usize> = self.gone.iter().filter_map(of_list).collect();
        gone.sort_unstable();
        gone.into_iter().fold(left, |index, gone| index + usize::from(gone <= index))
    }
}

/// What lets the rest of a file be read where a key at its top is missing.
fn stand_in(key: &str) -> Value {
    match key {
        "format" => json!(1),
        "gears" => json!({"owned": [20, 40]}),
        "rows" => json!([]),
        _ => json!("x"),
    }
}

/// A part of a lathe file, and how the rest is read without it.
struct FilePart {
    name: &'static str,
    /// What can be left out of it by itself: nothing else depends on it.
    alone: &'static [&'static str],
    /// What goes with the whole part.
    with_it: &'static [&'static str],
}

const fn part(
    name: &'static str,
    alone: &'static [&'static str],
    with_it: &'static [&'static str],
) -> FilePart {
    FilePart { name, alone, with_it }
}

const PARTS: [FilePart; 12] = [
    part(
        "banjo",
        &[
            "slots",
            "keep_out",
            "cover",
            "clearance",
            "opening",
            "hub_radii",
            "arm_angle",
            "least_stud_distance",
            "driving_planes",
            "driven_planes",
        ],
        &[],
    ),
    part("fitted", &[], &[]),
    part("dial", &[], &[]),
    part("spindle_rpm", &[], &[]),
    part("feeds", &["long", "cross"], &[]),
    part("sleeves", &[], &[]),
    part("ends", &["driving", "driven"], &["fitted"]),
    part("gearbox", &["forbidden", "needs_driven", "combinations"], &["fitted", "ends"]),
    part("gears", &[], &["fitted", "ends", "gearbox"]),
    part("headstock", &[], &["fitted"]),
    part("lead_screw", &["starts", "hand"], &[]),
    part("studs", &[], &["fitted", "sleeves"]),
];

/// What else is wrong with the meaning of a file, beside the first, in the order of the file: what was
/// found is left out, alone where nothing depends on it, and `judge` reads the rest.
pub(in super::super) fn others<T: DeserializeOwned>(
    source: &Source,
    first: Failure,
    judge: impl Fn(T) -> Result<(), Failure>,
) -> Failure {
    let mut rest = Rest { value: read(source), gone: Vec::new() };
    let mut at = KeyPath::parse(&first.path);
    let mut found = first.each();
    while found.len() < MOST && rest.is_left_without::<T>(&at) {
        let Ok(left) = T::deserialize(&rest.value) else { break };
        let Err(mut wrong) = judge(left) else { break };
        at = KeyPath::parse(&wrong.path);
        wrong.path = rest.original(&at).to_string();
        found.extend(super::locate(source, wrong).each());
    }
    if let Ok(tree) = super::tree(source) {
        found.sort_by_key(|wrong| Found::at(&tree, &KeyPath::parse(&wrong.path)).value);
    }
    Failure::all(found).unwrap_or_else(|| Failure::new("the file can't be used"))
}

impl Rest {
    /// Leaves out what is at fault: as little as can be. Whether a part is left out that was there.
    fn is_left_without<T: DeserializeOwned>(&mut self, at: &KeyPath) -> bool {
        let [Step::Key(name), inner @ ..] = &at.0[..] else { return false };
        let Some(part) = PARTS.iter().find(|part| part.name == name) else { return false };
        let is_alone = matches!(inner.first(), Some(Step::Key(key)) if part.alone.contains(&&**key))
            || (part.name == "dial" && !inner.is_empty());
        // An item of a list, or a key: what is further inside makes one thing with what is beside it, as
        // the corners of a cover do.
        let most =
            if matches!(inner.first(), Some(Step::Key(key)) if key == "cover") { 2 } else { 3 };
        for length in (2..=at.0.len().min(most)).rev().filter(|_| is_alone) {
            let at = KeyPath(at.0[..length].to_vec());
            if self.is_read_without::<T>(&at) {
                return true;
            }
        }
        let Some(file) = self.value.as_object_mut() else { return false };
        let constant = file.contains_key("screw_constant");
        let was_there = match part.name {
            "gears" => file.insert("gears".into(), stand_in("gears")).is_some(),
            "headstock" if !constant => {
                file.insert("headstock".into(), json!({"ratio": 1})).is_some()
            }
            "lead_screw" if !constant => {
                file.insert("lead_screw".into(), json!({"lead": "3 mm"})).is_some()
            }
            name => file.remove(name).is_some(),
        };
        for part in part.with_it {
            file.remove(*part);
        }
        // What stands in is not at fault again.
        let again = self.gone.contains(&KeyPath(vec![Step::Key(name.clone())]));
        self.gone.push(KeyPath(vec![Step::Key(name.clone())]));
        was_there && !again
    }

    /// Leaves out one value, if the file can be read without it. The only one of a list is no list.
    fn is_read_without<T: DeserializeOwned>(&mut self, at: &KeyPath) -> bool {
        let original = self.original(at);
        let Some((last, way)) = at.0.split_last() else { return false };
        let Some(inside) = inside(&mut self.value, way) else { return false };
        match (inside, last) {
            (Value::Object(object), Step::Key(key)) => {
                let Some(taken) = object.remove(key) else { return false };
                if T::deserialize(&self.value).is_err() {
                    if let Some(Value::Object(object)) = self::inside(&mut self.value, way) {
                        object.insert(key.clone(), taken);
                    }
                    return false;
                }
            }
            (Value::Array(list), Step::Index(i)) if list.len() > 1 && *i < list.len() => {
                let taken = list.remove(*i);
                if T::deserialize(&self.value).is_err() {
                    if let Some(Value::Array(list)) = self::inside(&mut self.value, way) {
                        list.insert(*i, taken);
                    }
                    return false;
                }
            }
            _ => return false,
        }
        self.gone.push(original);
        true
    }
}

/// The value at a path.
fn inside<'v>(value: &'v mut Value, way: &[Step]) -> Option<&'v mut Value> {
    way.iter().try_fold(value, |value, step| match step {
        Step::Key(key) => value.get_mut(key),
        Step::Index(i) => value.get_mut(*i),
    })
}
