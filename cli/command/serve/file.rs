//! The lathe's file, where the page may change it: that one and no other.

use crate::failure::Failure;
use crate::files::{self, OpenLathe};
use crate::render;
use std::fs;
use std::hash::{BuildHasher, RandomState};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

/// A lathe file that may be changed.
#[derive(Debug)]
pub(super) struct File {
    path: PathBuf,
    /// Makes a mark of a text that nobody else can make.
    marks: RandomState,
    /// Held while the file is looked at and written.
    writing: Mutex<()>,
}

impl File {
    /// The file that a lathe came from.
    ///
    /// # Errors
    /// If it came from none.
    pub(super) fn of(open: &OpenLathe) -> Result<Self, Failure> {
        let path = open.path().ok_or_else(|| {
            let wrong = format!("--edit: {} is no lathe file", open.source.name);
            let right = "--lathe lathe.json beside it; `trainwright lathe new` makes one";
            Failure::new(wrong).with_hint(right)
        })?;
        Ok(Self { path, marks: RandomState::new(), writing: Mutex::default() })
    }

    /// The mark of a text: only this run of the program can make it.
    pub(super) fn mark(&self, text: &str) -> String {
        format!("{:016x}", self.marks.hash_one(text))
    }

    /// Writes a lathe over the file, the version before beside it. `was`: the mark of the text that was
    /// shown when the change was made.
    ///
    /// # Errors
    /// If the text is no lathe, the file has changed since, or it can't be written.
    pub(super) fn keep(&self, text: &str, was: &str) -> Result<OpenLathe, Failure> {
        let _writing = self.writing.lock().unwrap_or_else(PoisonError::into_inner);
        let name = self.path.display().to_string();
        let open = files::lathe_of_text(&name, text)?;
        let now = fs::read_to_string(&self.path)
            .map_err(|e| Failure::not_written(format!("{name}: {e}")))?;
        if self.mark(&now) != was {
            let wrong = format!("{name} was changed since this page was shown");
            return Err(Failure::wrong(wrong, "open the lathe's page again, and change it there"));
        }
        render::overwrite(&before(&self.path), &now)?;
        render::overwrite(&self.path, text)?;
        Ok(open)
    }

    /// Writes what is on the machine into the file beside this one. `now`: what is recorded, with the
    /// lathe; `was`: the mark of that when the page was shown.
    ///
    /// # Errors
    /// If that has changed since, or the file can't be written.
    pub(super) fn keep_now(
        &self,
        (path, text): &(PathBuf, String),
        now: impl Fn() -> Result<String, Failure>,
        was: &str,
    ) -> Result<(), Failure> {
        let _writing = self.writing.lock().unwrap_or_else(PoisonError::into_inner);
        if self.mark(&now()?) != was {
            let wrong = "what is on the machine was changed since this page was shown";
            return Err(Failure::wrong(wrong, "open the card again"));
        }
        render::overwrite(path, text)
    }
}

/// Where the version before is kept.
fn before(path: &Path) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(".before");
    path.with_file_name(name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_pages_cant_overwrite_each_other() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("lathe.json");
        let text = |screw: &str| {
            format!(
                r#"{{"format": 1, "lead_screw": {{"lead": "{screw}"}}, "headstock": {{"ratio": "1"}}, "gears": {{"owned": [20, 40]}}}}"#
            )
        };
        fs::write(&path, text("8 tpi")).unwrap();
        let open = files::lathe(&path).unwrap();
        let file = File::of(&open).unwrap();
        let shown = file.mark(&text("8 tpi"));
        file.keep(&text("6 tpi"), &shown).unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), text("6 tpi"));
        assert_eq!(fs::read_to_string(before(&path)).unwrap(), text("8 tpi"));
        let late = file.keep(&text("4 tpi"), &shown).unwrap_err().to_string();
        assert!(late.contains("was changed since"), "{late}");
        let other = File::of(&open).unwrap();
        assert!(file.keep(&text("4 tpi"), &other.mark(&text("6 tpi"))).is_err());
        assert!(file.keep("{}", &file.mark(&text("6 tpi"))).is_err());
        assert_eq!(fs::read_to_string(&path).unwrap(), text("6 tpi"));
    }
}
