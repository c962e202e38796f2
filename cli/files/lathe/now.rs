//! What is on the machine: the small file beside the lathe's, written by the program.

use super::FittedSetUp;
use crate::failure::Failure;
use crate::files::form::Braced;
use crate::files::node::Node;
use crate::files::value::Format;
use crate::files::{Source, json};
use schemars::JsonSchema;
use serde::Deserialize;
use solver::Fitted;
use std::path::{Path, PathBuf};

/// What is on the lathe whose file is beside this one: `lathe.now.json` beside `lathe.json`.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "On the lathe now")]
pub(in crate::files) struct NowFile {
    /// Where the schema of this file is; for editors, not read.
    #[serde(rename = "$schema", default)]
    #[schemars(example = &"now.schema.json")]
    _schema: Option<String>,
    /// Version of this format: 1.
    #[serde(rename = "format")]
    #[schemars(example = 1)]
    _format: Format,
    /// What is on the machine; null or left out: the fitted set-up.
    now: Option<Braced<FittedSetUp>>,
}

/// The file that says what is on the lathe of a file.
pub(in crate::files) fn beside(lathe: &Path) -> PathBuf {
    let is_json = lathe.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("json"));
    let name = if is_json { lathe.file_stem() } else { lathe.file_name() };
    let mut name = name.unwrap_or_default().to_owned();
    name.push(".now.json");
    lathe.with_file_name(name)
}

/// What it says; `None`: there is no such file, or the fitted set-up is on.
///
/// # Errors
/// If it can't be read: where, what is wrong, how to write it anew.
pub(in crate::files) fn read(path: &Path) -> Result<Option<Fitted>, Failure> {
    if !path.exists() {
        return Ok(None);
    }
    let file: Result<NowFile, _> = Source::file(path).and_then(|source| json::read(&source));
    let file = file.map_err(|wrong| {
        let right = wrong.right.as_ref().map(|right| format!("{right}; or ")).unwrap_or_default();
        wrong.with_hint(format!(
            "{right}`trainwright lathe now --train TRAIN` or `--fitted` writes it anew"
        ))
    })?;
    Ok(file.now.map(|now| now.0.fitted()))
}

/// The text of the file; `None`: the fitted set-up is on.
pub(crate) fn written(now: Option<&Fitted>) -> String {
    let mut file = Node::object([("format", Node::number("1"))]);
    let Some(now) = now else {
        file.put("now", Node::number("null"));
        return file.to_string();
    };
    let mut set_up = vec![("train".to_owned(), Node::text(now.train.to_string()))];
    let levers = now.levers.iter().map(|(lever, at)| (lever.clone(), Node::text(at)));
    let levers: Vec<_> = levers.collect();
    set_up.extend((!levers.is_empty()).then(|| ("levers".to_owned(), Node::Object(levers))));
    let others = [("headstock", &now.headstock), ("tumbler", &now.tumbler)];
    let others = others.into_iter().filter_map(|(key, at)| Some((key, at.as_ref()?)));
    set_up.extend(others.map(|(key, at)| (key.to_owned(), Node::text(at))));
    file.put("now", Node::Object(set_up));
    file.to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_beside_the_file_of_the_lathe() {
        for (lathe, now) in [
            ("lathe.json", "lathe.now.json"),
            ("shop/shed.JSON", "shop/shed.now.json"),
            ("shed", "shed.now.json"),
            ("my.shed", "my.shed.now.json"),
        ] {
            assert_eq!(beside(Path::new(lathe)), Path::new(now));
        }
    }

    #[test]
    fn what_is_written_is_read_again() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("x.now.json");
        let mut set_up = Fitted::new("40-80+63-80".parse().unwrap(), Vec::new());
        let mut all = vec![None, Some(set_up.clone())];
        set_up.levers = vec![("Ra\"nge".into(), "B".into()), ("Step".into(), "1".into())];
        (set_up.headstock, set_up.tumbler) = (Some("low".into()), Some("up".into()));
        all.push(Some(set_up));
        assert_eq!(read(&path).unwrap(), None);
        for set_up in all {
            std::fs::write(&path, written(set_up.as_ref())).unwrap();
            assert_eq!(read(&path).unwrap(), set_up);
        }
    }
}
