//! A report becomes bytes, and the bytes go to the terminal or into a file: whole or not at all.
//!
//! It sees reports only, no gear and no lathe. Colour is decided by `anstream` for each stream
//! (`NO_COLOR`, `CLICOLOR_FORCE`, `TERM=dumb`); a file is never coloured.

mod csv;
mod file;
mod html;
mod json;
mod markdown;
mod svg;
mod terminal;
mod wall;

pub(crate) use file::{Ready, is_same_file, overwrite, text};
pub(crate) use html::{Frame, SCRIPTS};

use crate::args::{Color, Format, Output};
use crate::failure::Failure;
use crate::report::{Answer, Report};
use std::io::{self, BufWriter, IsTerminal, Write};
use std::path::{Path, PathBuf};

/// One form of the answer.
trait Renderer {
    /// Writes the report, and gives its answer; colour is stripped later where none is wanted.
    fn render(&self, report: &Report, out: &mut dyn Write) -> io::Result<Answer>;
}

/// What came of writing: the answer, or what ended the work that made it.
type Written = io::Result<Result<Answer, Failure>>;

/// A picture was asked for of what has none.
pub(crate) fn no_picture() -> Failure {
    Failure::wrong(
        "--format svg: there is no picture of this",
        "trainwright find \"1.25 mm\" --format svg",
    )
}

/// Where the answer goes, and in which form.
#[derive(Debug)]
pub(crate) struct Target {
    format: Format,
    color: anstream::ColorChoice,
    file: Option<PathBuf>,
    force: bool,
}

impl Target {
    /// What was asked for; an output file that exists is refused before any work is done.
    /// `as_it_is`: the answer is a text of a kind of its own, for a file of any ending.
    ///
    /// # Errors
    /// If the file exists, or the form can't be told.
    pub(crate) fn of(output: &Output, as_it_is: bool) -> Result<Self, Failure> {
        let file = output.file.clone().filter(|path| path.as_os_str() != "-");
        if let Some(path) = &file {
            file::is_free(path, output.force)?;
        }
        let format = match (output.format, &file) {
            (Some(format), _) => format,
            (None, Some(path)) if !as_it_is => format_of(path)?,
            (None, _) => Format::Text,
        };
        Ok(Self {
            format,
            color: match output.color {
                Color::Auto => anstream::ColorChoice::Auto,
                Color::Always => anstream::ColorChoice::Always,
                Color::Never => anstream::ColorChoice::Never,
            },
            file,
            force: output.force,
        })
    }

    /// A picture beside the answer, into a file of its own.
    ///
    /// # Errors
    /// If the file exists, or the answer goes there.
    pub(crate) fn of_drawing(path: &Path, output: &Output) -> Result<Self, Failure> {
        let hint = "--format svg alone, or --drawing with a file of its own";
        Self::beside("--drawing", path, output, Format::Svg, hint)
    }

    /// A lathe file beside the answer, named by an argument.
    ///
    /// # Errors
    /// If the file exists, or the answer goes there.
    pub(crate) fn of_lathe(argument: &str, path: &Path, output: &Output) -> Result<Self, Failure> {
        let hint = format!("{argument} with a file of its own");
        Self::beside(argument, path, output, Format::Json, &hint)
    }

    fn beside(
        argument: &str,
        path: &Path,
        output: &Output,
        format: Format,
        hint: &str,
    ) -> Result<Self, Failure> {
        let is_answer = output.file.as_deref().is_some_and(|file| file::is_same_file(file, path));
        if path.as_os_str() == "-" || is_answer {
            let wrong = format!("{argument} {}: the answer goes there", path.display());
            return Err(Failure::new(wrong).with_hint(hint));
        }
        file::is_free(path, output.force)?;
        Ok(Self {
            format,
            color: anstream::ColorChoice::Never,
            file: Some(path.to_path_buf()),
            force: output.force,
        })
    }

    /// Whether the answer is for reading: then it carries everything itself.
    pub(crate) fn is_for_people(&self) -> bool {
        matches!(self.format, Format::Text | Format::Markdown | Format::Html)
    }

    /// Whether it takes rows one by one, as they are worked out.
    pub(crate) fn takes_rows(&self) -> bool {
        matches!(self.format, Format::Csv | Format::Json)
    }

    /// Whether the answer is a picture.
    pub(crate) fn is_picture(&self) -> bool {
        self.format == Format::Svg
    }

    /// Whether pictures are seen in it.
    pub(crate) fn shows_pictures(&self) -> bool {
        matches!(self.format, Format::Svg | Format::Html)
    }

    /// Whether the answer goes onto a terminal.
    fn is_terminal(&self) -> bool {
        self.file.is_none() && io::stdout().is_terminal()
    }

    /// Writes the report and gives its answer, with the file that is then to be kept; a closed pipe is no
    /// failure.
    ///
    /// # Errors
    /// If it could not be written, or the work that is done meanwhile failed.
    pub(crate) fn deliver(&self, report: &Report) -> Result<(Answer, Option<Ready>), Failure> {
        if self.is_picture() && report.sheets().is_empty() && report.wall.is_none() {
            return Err(no_picture());
        }
        match &self.file {
            Some(path) => {
                let (answer, ready) =
                    file::written(path, self.force, |out| self.write(report, out))?;
                Ok((answer, Some(ready)))
            }
            None => match self.write_stdout(report) {
                Ok(answered) => answered.map(|answer| (answer, None)),
                Err(e) if e.kind() == io::ErrorKind::BrokenPipe => Ok((report.answer, None)),
                Err(e) => Err(Failure::not_written(format!("standard output: {e}"))),
            },
        }
    }

    /// Work that failed while it was written says so itself.
    fn write(&self, report: &Report, out: &mut dyn Write) -> Written {
        let written = self.renderer().render(report, out);
        match written.and_then(|answer| out.flush().map(|()| answer)) {
            Ok(answer) => Ok(Ok(answer)),
            Err(error) => error.downcast().map(Err),
        }
    }

    /// Writes a text as it is, into the file that is then to be kept.
    ///
    /// # Errors
    /// If it could not be written.
    pub(crate) fn deliver_text(&self, text: &str) -> Result<Option<Ready>, Failure> {
        let path = self.file.as_deref();
        path.map(|path| file::text(path, text, self.force)).transpose()
    }

    /// The file that it goes to.
    pub(crate) fn path(&self) -> Option<&Path> {
        self.file.as_deref()
    }

    fn renderer(&self) -> Box<dyn Renderer> {
        match self.format {
            Format::Text => Box::new(terminal::Terminal::new(self.width())),
            Format::Json => Box::new(json::Json { on_terminal: self.is_terminal() }),
            Format::Csv => Box::new(csv::Csv { on_terminal: self.is_terminal() }),
            Format::Markdown => Box::new(markdown::Markdown),
            Format::Html => Box::new(html::Html),
            Format::Svg => Box::new(svg::Svg),
        }
    }

    /// Columns of the terminal; in a pipe those of `COLUMNS`, which somebody has set on purpose;
    /// `None` where nothing is said.
    fn width(&self) -> Option<usize> {
        let stated = || std::env::var("COLUMNS").ok()?.parse().ok().filter(|&n| n > 0);
        if self.file.is_some() {
            return None;
        }
        if !io::stdout().is_terminal() {
            return stated();
        }
        terminal_size::terminal_size()
            .map(|(width, _)| usize::from(width.0))
            .filter(|&width| width > 0)
            .or_else(stated)
            .or(Some(terminal::USUAL_WIDTH))
    }

    fn write_stdout(&self, report: &Report) -> Written {
        let mut out = BufWriter::new(anstream::AutoStream::new(io::stdout(), self.color));
        self.write(report, &mut out)
    }
}

/// Forms by the endings of their files; the first of each is the usual one.
const ENDINGS: [(&[&str], Format); 6] = [
    (&["txt", "text"], Format::Text),
    (&["json"], Format::Json),
    (&["csv"], Format::Csv),
    (&["md", "markdown"], Format::Markdown),
    (&["html", "htm"], Format::Html),
    (&["svg"], Format::Svg),
];

/// The form that a file's ending names; text where there is none.
fn format_of(path: &Path) -> Result<Format, Failure> {
    let Some(ending) = path.extension() else { return Ok(Format::Text) };
    let is_named = |names: &[&str]| names.iter().any(|name| ending.eq_ignore_ascii_case(name));
    let named = ENDINGS.iter().find(|(names, _)| is_named(names)).map(|(_, format)| *format);
    named.ok_or_else(|| {
        let usual = ENDINGS.iter().filter_map(|(names, _)| names.first());
        let usual: Vec<String> = usual.map(|name| format!(".{name}")).collect();
        let hint = if is_named(&["pdf"]) {
            "an .html file, printed to PDF in a browser".to_owned()
        } else if is_named(&["png", "jpg", "jpeg"]) {
            "an .svg file: every browser shows it".to_owned()
        } else {
            format!("one of {}, or --format beside it", usual.join(" "))
        };
        Failure::new(format!("--output {}: no form of the answer ends so", path.display()))
            .with_hint(hint)
    })
}
