//! The text of a file with a few values changed.

use super::path::{KeyPath, Step};
use super::{Source, strict};
use crate::files::node::Node;
use jsonc_parser::cst::{CstInputValue, CstNode, CstObjectProp, CstRootNode};

/// The text of a file without these keys and with these values put in, each in place of what
/// stands there, else as a new key with the objects around it; all else stays as it was written. `None`:
/// a path leads through something else.
pub(in super::super) fn edited(
    source: &Source,
    out: &[String],
    put: &[(String, Node)],
) -> Option<String> {
    let root = CstRootNode::parse(&source.text, &strict()).ok()?;
    for path in out {
        let (steps, value) = (KeyPath::parse(path).0, root.value()?);
        let found = steps.iter().try_fold(value, |at, step| inside(&at, step));
        let property = found.and_then(|found| found.parent()?.as_object_prop());
        property.into_iter().for_each(CstObjectProp::remove);
    }
    for (path, value) in put {
        let steps = KeyPath::parse(path).0;
        let (mut at, mut rest) = (root.value()?, &steps[..]);
        while let [step, more @ ..] = rest
            && let Some(next) = inside(&at, step).filter(|_| !more.is_empty())
        {
            (at, rest) = (next, more);
        }
        match rest {
            [Step::Key(key), inner @ ..] => {
                let object = at.as_object()?;
                match object.get(key) {
                    Some(property) => property.set_value(input(value)),
                    None => drop(object.append(key, nested(inner, value)?)),
                }
            }
            // One more behind the last.
            [Step::Index(i)] => {
                let list = at.as_array()?;
                (*i == list.elements().len()).then(|| list.append(input(value)))?;
            }
            _ => return None,
        }
    }
    Some(root.to_string())
}

/// What stands one step inside a value.
fn inside(at: &CstNode, step: &Step) -> Option<CstNode> {
    match step {
        Step::Key(key) => at.as_object()?.get(key)?.value(),
        Step::Index(i) => at.as_array()?.elements().into_iter().nth(*i),
    }
}

fn input(value: &Node) -> CstInputValue {
    match value {
        Node::Text(text) => CstInputValue::String(text.clone()),
        Node::Number(word) if matches!(&**word, "true" | "false") => {
            CstInputValue::Bool(word == "true")
        }
        Node::Number(digits) => CstInputValue::Number(digits.clone()),
        Node::List(items) => CstInputValue::Array(items.iter().map(input).collect()),
        Node::Object(pairs) => {
            let pair = |(key, value): &(String, Node)| (key.clone(), input(value));
            CstInputValue::Object(pairs.iter().map(pair).collect())
        }
    }
}

/// A value with the objects around it.
fn nested(keys: &[Step], value: &Node) -> Option<CstInputValue> {
    keys.iter().rev().try_fold(input(value), |inner, step| match step {
        Step::Key(key) => Some(CstInputValue::Object(vec![(key.clone(), inner)])),
        Step::Index(_) => None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_changed_in_place() {
        let edited = |text: &str, out: &[&str], put: &[&str]| {
            let out: Vec<String> = out.iter().map(|path| (*path).to_owned()).collect();
            let put: Vec<_> =
                put.iter().map(|path| ((*path).to_owned(), Node::text("9"))).collect();
            edited(&Source::new("f", text), &out, &put)
        };
        let set = |text: &str, path: &str| edited(text, &[], &[path]).unwrap();
        assert_eq!(set(r#"{"a": {"b": "x"}}"#, "a.b"), r#"{"a": {"b": "9"}}"#);
        assert_eq!(set("{}", "a.b"), "{\n  \"a\": {\n    \"b\": \"9\"\n  }\n}");
        // Only the object that gets a key is laid out anew; lines and odd spaces stay.
        assert_eq!(
            set("{\"z\":  0,\n\n \"a\": [1, {\"c\" : 2}]}\n", "a[1].d"),
            "{\"z\":  0,\n\n \"a\": [1, {\n   \"c\" : 2,\n   \"d\": \"9\"\n  }]}\n"
        );
        assert_eq!(set(r#"{"a": [1]}"#, "a[1]"), r#"{"a": [1, "9"]}"#);
        assert_eq!(edited(r#"{"a": [1]}"#, &[], &["a[2]"]), None);
        assert_eq!(edited(r#"{"a": 1}"#, &[], &["a.b"]), None);
        let less = |path: &str| edited(r#"{"a": 1, "b": {"c": 2}, "d": 3}"#, &[path], &[]).unwrap();
        assert_eq!(less("a"), r#"{ "b": {"c": 2}, "d": 3}"#);
        assert_eq!(less("b.c"), r#"{"a": 1, "b": {}, "d": 3}"#);
        assert_eq!(less("d"), r#"{"a": 1, "b": {"c": 2}}"#);
        assert_eq!(less("e"), r#"{"a": 1, "b": {"c": 2}, "d": 3}"#);
    }
}
