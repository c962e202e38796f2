//! How is a file written that people will read and change? JSON with its keys in the order in which
//! they were put in: one line a key, and what fits on a line stays on one.

use std::fmt;

/// Columns that a line keeps to where it can.
const WIDTH: usize = 96;

/// A piece of JSON.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Node {
    /// Text.
    Text(String),
    /// A number, `true` or `false`, as it is written.
    Number(String),
    /// A list.
    List(Vec<Node>),
    /// An object.
    Object(Vec<(String, Node)>),
}

impl Node {
    /// Text.
    pub(crate) fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    /// A number that is known to be one.
    pub(crate) fn number(digits: impl Into<String>) -> Self {
        Self::Number(digits.into())
    }

    /// A number where it is one, else text: whoever reads it says what is wrong with that.
    pub(crate) fn figure(said: &str) -> Self {
        match serde_json::from_str::<serde_json::Number>(said) {
            Ok(_) => Self::Number(said.to_owned()),
            Err(_) => Self::Text(said.to_owned()),
        }
    }

    /// A list.
    pub(crate) fn list(items: impl IntoIterator<Item = Self>) -> Self {
        Self::List(items.into_iter().collect())
    }

    /// An object.
    pub(crate) fn object<const N: usize>(pairs: [(&str, Self); N]) -> Self {
        Self::Object(pairs.map(|(key, value)| (key.to_owned(), value)).into())
    }

    /// Puts a value at a path of names, `lead_screw.hand`, with the objects on the way.
    pub(crate) fn put(&mut self, path: &str, value: Self) {
        let Self::Object(pairs) = self else { return };
        let (name, rest) = path.split_once('.').unwrap_or((path, ""));
        if !pairs.iter().any(|(key, _)| key == name) {
            pairs.push((name.to_owned(), Self::Object(Vec::new())));
        }
        let Some((_, inner)) = pairs.iter_mut().find(|(key, _)| key == name) else { return };
        match rest {
            "" => *inner = value,
            rest => inner.put(rest, value),
        }
    }

    /// On one line.
    fn line(&self) -> String {
        match self {
            Self::Text(text) => quoted(text),
            Self::Number(digits) => digits.clone(),
            Self::List(items) => {
                let items: Vec<String> = items.iter().map(Self::line).collect();
                format!("[{}]", items.join(", "))
            }
            Self::Object(pairs) => {
                let pair =
                    |(key, value): &(String, Self)| format!("{}: {}", quoted(key), value.line());
                let pairs: Vec<String> = pairs.iter().map(pair).collect();
                format!("{{{}}}", pairs.join(", "))
            }
        }
    }

    /// On one line where there is room for it, else one line an entry.
    fn written(&self, depth: usize, before: usize) -> String {
        let line = self.line();
        let whole = depth > 0 && depth * 2 + before + line.chars().count() <= WIDTH;
        let indent = "  ".repeat(depth + 1);
        let entries: Vec<String> = match self {
            _ if whole => return line,
            Self::Text(_) | Self::Number(_) => return line,
            Self::List(items) => items.iter().map(|i| i.written(depth + 1, 0)).collect(),
            Self::Object(pairs) => pairs.iter().map(|(k, v)| pair(k, v, depth + 1)).collect(),
        };
        let (open, close) = if matches!(self, Self::List(_)) { ('[', ']') } else { ('{', '}') };
        let entries = entries.join(&format!(",\n{indent}"));
        format!("{open}\n{indent}{entries}\n{}{close}", "  ".repeat(depth))
    }
}

fn pair(key: &str, value: &Node, depth: usize) -> String {
    let key = format!("{}: ", quoted(key));
    let value = value.written(depth, key.chars().count());
    key + &value
}

fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}

/// A file: it ends in a newline.
impl fmt::Display for Node {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{}", self.written(0, 0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_line_a_key_and_what_is_long_in_lines() {
        let long = Node::list((0..40).map(|n| Node::number(n.to_string())));
        let file = Node::object([
            ("b", Node::text("x\"\n")),
            ("a", Node::list([Node::figure("1.5"), Node::figure("1/2")])),
            ("long", long),
        ]);
        let text = file.to_string();
        assert!(
            text.starts_with(
                "{\n  \"b\": \"x\\\"\\n\",\n  \"a\": [1.5, \"1/2\"],\n  \"long\": [\n    0,"
            ),
            "{text}"
        );
        assert!(text.ends_with("    39\n  ]\n}\n"), "{text}");
        assert!(serde_json::from_str::<serde_json::Value>(&text).is_ok());
    }
}
