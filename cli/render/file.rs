//! Files that are written: whole or not at all, and nothing but plain files is written over.

use crate::failure::Failure;
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

/// A plain file that is written over.
struct Existing {
    /// Where it is: what a link points to.
    path: PathBuf,
    /// It keeps them.
    permissions: std::fs::Permissions,
}

impl Existing {
    /// What is at a path; nothing: it is free.
    ///
    /// # Errors
    /// If something is there that is never written over: a folder, a device, what may not be written.
    fn of(path: &Path) -> Result<Option<Self>, Failure> {
        let Ok(about) = path.metadata() else { return Ok(None) };
        let refused = |why: &str| Err(Failure::not_written(format!("{}: {why}", path.display())));
        if about.is_dir() {
            return refused("is a folder");
        }
        if !about.is_file() {
            return refused("is no plain file; - is the standard output");
        }
        if about.permissions().readonly() {
            return refused("may not be written");
        }
        let path = path.canonicalize().unwrap_or_else(|_| path.to_path_buf());
        Ok(Some(Self { path, permissions: about.permissions() }))
    }
}

/// Whether two paths are one file, however they are spelled; neither has to be there.
pub(crate) fn is_same_file(one: &Path, other: &Path) -> bool {
    let whole = |path: &Path| {
        let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
        let folder = folder.unwrap_or(Path::new(".")).canonicalize().ok()?;
        let there = path.canonicalize().ok();
        there.or_else(|| Some(folder.join(path.file_name()?)))
    };
    one == other || whole(one).is_some_and(|one| whole(other) == Some(one))
}

/// Writes a text over a file that may be there: whole or not at all. What a link points to is written,
/// not the link.
///
/// # Errors
/// If it can't be written; the file is then as it was.
pub(crate) fn overwrite(path: &Path, text: &str) -> Result<(), Failure> {
    self::text(path, text, true)?.keep()
}

/// A text, ready to be kept.
///
/// # Errors
/// If it can't be written.
pub(crate) fn text(path: &Path, text: &str, force: bool) -> Result<Ready, Failure> {
    let write = |out: &mut dyn Write| out.write_all(text.as_bytes()).map(Ok);
    written(path, force, write).map(|((), ready)| ready)
}

/// A file that was written whole, beside its place.
#[derive(Debug)]
pub(crate) struct Ready {
    file: tempfile::NamedTempFile,
    path: PathBuf,
    force: bool,
}

impl Ready {
    /// Puts it into its place.
    ///
    /// # Errors
    /// If it can't be; what was there is then as it was.
    pub(crate) fn keep(self) -> Result<(), Failure> {
        let Self { file, path, force } = self;
        if force {
            return file.persist(&path).map(drop).map_err(|e| failed(&path, &e.error));
        }
        file.persist_noclobber(&path).map(drop).map_err(|e| match e.error.kind() {
            io::ErrorKind::AlreadyExists => exists(&path),
            _ => failed(&path, &e.error),
        })
    }
}

/// Writes beside the file; it is there when it is kept, and then whole.
///
/// # Errors
/// If it can't be written, or `write` fails.
pub(super) fn written<T>(
    path: &Path,
    force: bool,
    write: impl FnOnce(&mut dyn Write) -> io::Result<Result<T, Failure>>,
) -> Result<(T, Ready), Failure> {
    let there = Existing::of(path)?;
    let path = there.as_ref().map_or(path, |there| &there.path);
    let failed = |e: io::Error| failed(path, &e);
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty());
    let mut file = temporary(folder.unwrap_or(Path::new("."))).map_err(failed)?;
    let mut out = BufWriter::new(anstream::StripStream::new(file.as_file_mut()));
    let done = write(&mut out).and_then(|done| out.flush().map(|()| done));
    drop(out);
    let done = done.map_err(failed)??;
    if let Some(there) = &there {
        file.as_file().set_permissions(there.permissions.clone()).map_err(failed)?;
    }
    Ok((done, Ready { file, path: path.to_path_buf(), force }))
}

fn failed(path: &Path, error: &io::Error) -> Failure {
    let why = match error.kind() {
        io::ErrorKind::NotFound => "its folder is not there".to_string(),
        // The error's own text names the temporary file.
        kind => kind.to_string(),
    };
    Failure::not_written(format!("{}: {why}", path.display()))
}

/// A temporary file with the rights that a plain new file would have.
fn temporary(folder: &Path) -> io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".trainwright-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(std::fs::Permissions::from_mode(0o666));
        builder.tempfile_in(folder)
    }
    #[cfg(not(unix))]
    builder.tempfile_in(folder)
}

/// A file that is there is kept, unless it may be overwritten.
pub(super) fn is_free(path: &Path, force: bool) -> Result<(), Failure> {
    if !force && path.symlink_metadata().is_ok() {
        return Err(exists(path));
    }
    Existing::of(path).map(drop)
}

fn exists(path: &Path) -> Failure {
    Failure::new(format!("{} exists and was left as it is", path.display()))
        .with_hint("another name, or --force to overwrite it")
}
