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
        let inside = way.iter().try_fold(&mut self.value, |value, step| match step {
            Step::Key(key) => value.get_mut(key),
            Step::Index(i) => value.get_mut(*i),
        });
        let taken = match (inside, last) {
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

/// Parts of a lathe file that the rest can do without, each with what goes with it.
const PARTS: [(&str, &[&str]); 8] = [
    ("banjo", &[]),
    ("fitted", &[]),
    ("dial", &[]),
    ("spindle_rpm", &[]),
    ("feeds", &[]),
    ("sleeves", &[]),
    ("ends", &["fitted"]),
    ("gearbox", &["fitted", "ends"]),
];

/// What else is wrong with the meaning of a file, beside the first: one error a part, in the order of the
/// file. `judge` reads what is left.
pub(in super::super) fn others<T: DeserializeOwned>(
    source: &Source,
    first: Failure,
    judge: impl Fn(T) -> Result<(), Failure>,
) -> Failure {
    let mut value = read(source);
    let mut found = vec![first];
    loop {
        let path = found.last().map(|wrong| KeyPath::parse(&wrong.path)).unwrap_or_default();
        let Some(Step::Key(part)) = path.0.first() else { break };
        let Some((_, with_it)) = PARTS.iter().find(|(name, _)| name == part) else { break };
        let Some(file) = value.as_object_mut() else { break };
        if file.remove(part).is_none() {
            break;
        }
        for part in *with_it {
            file.remove(*part);
        }
        let Ok(left) = T::deserialize(&value) else { break };
        match judge(left) {
            Err(wrong) if found.len() < MOST => found.push(wrong),
            _ => break,
        }
    }
    if let Ok(tree) = super::tree(source) {
        found.sort_by_key(|wrong| Found::at(&tree, &KeyPath::parse(&wrong.path)).value);
    }
    Failure::all(found).unwrap_or_else(|| Failure::new("the file can't be used"))
}
