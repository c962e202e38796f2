//! A chart as CSV: a header line that names the columns, then a row a line.
//!
//! Commas, semicolons or tabs; a decimal comma where the separator is no comma. Lines that begin with
//! `#` are comments, but for one: `# columns: GEAR 1 = driving, TEETH 2 = driven` gives columns of the
//! person's own names their meaning. Quotes, Windows line ends and so on are the csv crate's business.

use super::cell::{Said, gear};
use super::{Lines, OpenChart};
use crate::failure::{Failure, MOST};
use crate::files::json::nearest;
use crate::files::source::Source;
use solver::Travel;
use solver::chart::{HEADSTOCK, Unit};
use std::collections::{HashMap, HashSet};

/// What a column holds.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
enum Meaning {
    /// A figure with its unit.
    Thread,
    /// A figure in a unit.
    Figure(Unit, Travel),
    /// The whole train.
    Train,
    /// One gear: 0 is the first, then driven and driver of each stud; `None`: the last.
    Gear(Option<usize>),
    /// A lever's position.
    Lever(String),
    Starts,
    Rounded,
    Within,
    Ignored,
}

/// Words for columns, in small letters with single spaces.
const WORDS: [(&str, Meaning); 29] = [
    ("thread", Meaning::Thread),
    ("feed", Meaning::Thread),
    ("tpi", Meaning::Figure(Unit::Tpi, Travel::Thread)),
    ("mm", Meaning::Figure(Unit::Mm, Travel::Thread)),
    ("pitch mm", Meaning::Figure(Unit::Mm, Travel::Thread)),
    ("lead mm", Meaning::Figure(Unit::Mm, Travel::Thread)),
    ("in", Meaning::Figure(Unit::Inch, Travel::Thread)),
    ("pitch in", Meaning::Figure(Unit::Inch, Travel::Thread)),
    ("module", Meaning::Figure(Unit::Module, Travel::Thread)),
    ("dp", Meaning::Figure(Unit::Dp, Travel::Thread)),
    ("feed mm", Meaning::Figure(Unit::Mm, Travel::LongFeed)),
    ("feed in", Meaning::Figure(Unit::Inch, Travel::LongFeed)),
    ("cross mm", Meaning::Figure(Unit::Mm, Travel::CrossFeed)),
    ("cross in", Meaning::Figure(Unit::Inch, Travel::CrossFeed)),
    ("train", Meaning::Train),
    ("gears", Meaning::Train),
    ("driving", Meaning::Gear(Some(0))),
    ("a", Meaning::Gear(Some(0))),
    ("driven 1", Meaning::Gear(Some(1))),
    ("b", Meaning::Gear(Some(1))),
    ("driver 1", Meaning::Gear(Some(2))),
    ("c", Meaning::Gear(Some(2))),
    ("driven 2", Meaning::Gear(Some(3))),
    ("driver 2", Meaning::Gear(Some(4))),
    ("driven", Meaning::Gear(None)),
    ("d", Meaning::Gear(None)),
    ("starts", Meaning::Starts),
    ("rounded", Meaning::Rounded),
    ("within", Meaning::Within),
];

/// Words that a column may have besides.
const IGNORED: [&str; 4] = ["note", "line", "ignore", "-"];

/// Longest word of a column that is looked at.
const LONGEST: usize = 60;

impl Meaning {
    /// What a word means by itself.
    fn of(word: &str) -> Option<Self> {
        let plain = word.trim().to_lowercase().replace('_', " ");
        let plain = plain.split_whitespace().collect::<Vec<_>>().join(" ");
        if let Some((_, meaning)) = WORDS.iter().find(|(known, _)| *known == plain) {
            return Some(meaning.clone());
        }
        IGNORED.contains(&plain.as_str()).then_some(Self::Ignored)
    }

    /// What a word means on the right of a mapping, or at the head of a column.
    fn named(word: &str, column: &str, levers: &[String]) -> Option<Self> {
        let lever = |name: &str| Self::Lever(name.trim().to_owned());
        if let Some(known) = levers.iter().find(|lever| lever.as_str() == word.trim()) {
            return Some(lever(known));
        }
        if word.trim() == "lever" {
            return Some(lever(column));
        }
        if let Some(name) = word.trim().strip_prefix("lever ") {
            return Some(lever(name));
        }
        if word.trim().eq_ignore_ascii_case(HEADSTOCK) {
            return Some(lever(HEADSTOCK));
        }
        Self::of(word)
    }
}

/// Reads the rows into `chart`.
pub(super) fn read(
    source: &Source,
    levers: &[String],
    chart: &mut OpenChart,
) -> Result<(), Failure> {
    let (text, mapped) = without_comments(source)?;
    let lines = Lines::of(&text);
    let delimiter = delimiter(&text);
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes());
    let mut record = csv::StringRecord::new();
    let mut header: Option<Vec<Meaning>> = None;
    let mut wrong = Vec::new();
    while wrong.len() < MOST {
        let from = usize::try_from(reader.position().byte()).unwrap_or(text.len());
        let fail = |offset, wrong: Failure| wrong.placed(source.place(offset));
        match reader.read_record(&mut record) {
            Ok(true) => {}
            Ok(false) => break,
            // Text in memory is UTF-8 and rows may have any length: nothing is left that can fail.
            Err(error) => return Err(fail(from, Failure::wrong(error.to_string(), "a CSV file"))),
        }
        let at = start_of_row(&text, from);
        if record.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        let cells = Cells { text: &text, at, delimiter, record: &record };
        match &header {
            None => match columns(&cells, &mapped, levers) {
                Ok(columns) => header = Some(columns),
                Err(found) => {
                    wrong.extend(found.into_iter().map(|(offset, wrong)| fail(offset, wrong)));
                    break;
                }
            },
            Some(columns) => match cells.row(columns) {
                Ok(row) => chart.push(lines.place(at), row)?,
                Err(found) => {
                    wrong.extend(found.into_iter().map(|(offset, wrong)| fail(offset, wrong)));
                }
            },
        }
    }
    Failure::all(wrong).map_or(Ok(()), Err)
}

/// What a column is called, and what that means.
type Mapping = (String, String, usize);

/// The text with its comments blanked out, so that places stay as they are; and the mappings in them.
fn without_comments(source: &Source) -> Result<(String, Vec<Mapping>), Failure> {
    let mut text = String::with_capacity(source.text.len());
    let mut mapped = Vec::new();
    for line in source.text.split_inclusive('\n') {
        let Some(comment) = line.strip_prefix('#') else {
            text.push_str(line);
            continue;
        };
        if let Some(list) = comment.trim_start().strip_prefix("columns:") {
            let start = text.len() + line.len() - list.len();
            for part in list.split([',', ';']).filter(|part| !part.trim().is_empty()) {
                let at = start + (part.as_ptr().addr() - list.as_ptr().addr());
                let Some((column, word)) = part.split_once('=') else {
                    let wrong = Failure::wrong(
                        format!("`{}` maps no column", part.trim()),
                        "# columns: STUD = driving, SCREW = driven",
                    );
                    return Err(wrong.placed(source.place(at)));
                };
                mapped.push((column.trim().to_owned(), word.trim().to_owned(), at));
            }
        }
        // As many bytes as before, so that offsets hold.
        let ends = line.len() - line.trim_end_matches(['\r', '\n']).len();
        text.push_str(&" ".repeat(line.len() - ends));
        text.push_str(&line[line.len() - ends..]);
    }
    Ok((text, mapped))
}

/// What separates the columns: of tab, semicolon and comma the first that the header has.
fn delimiter(text: &str) -> u8 {
    let header = text.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    [b'\t', b';'].into_iter().find(|d| header.contains(char::from(*d))).unwrap_or(b',')
}

/// The first byte of a row: empty lines before it are no part of it.
fn start_of_row(text: &str, from: usize) -> usize {
    let mut at = from;
    for line in text.get(from..).unwrap_or_default().split_inclusive('\n') {
        if !line.trim().is_empty() {
            break;
        }
        at += line.len();
    }
    at
}

/// One row of cells, and where it stands.
struct Cells<'a> {
    text: &'a str,
    at: usize,
    delimiter: u8,
    record: &'a csv::StringRecord,
}

impl Cells<'_> {
    /// The byte at which a cell begins.
    fn place(&self, index: usize) -> usize {
        let (mut cell, mut quoted) = (0_usize, false);
        let row = self.text.get(self.at..).unwrap_or_default();
        for (i, byte) in row.bytes().enumerate() {
            if cell == index {
                return self.at + i;
            }
            match byte {
                b'"' => quoted = !quoted,
                _ if byte == self.delimiter && !quoted => cell += 1,
                _ => {}
            }
        }
        self.at
    }

    /// A cell as it is; an empty one is none.
    fn get(&self, index: usize) -> Option<String> {
        let cell = self.record.get(index).map(str::trim).filter(|cell| !cell.is_empty())?;
        // A decimal comma; a list of such is none.
        let plain = self.delimiter != b',' && cell.matches(',').count() == 1;
        Some(if plain { cell.replace(',', ".") } else { cell.to_owned() })
    }

    /// The row, or each of its cells that can't be read.
    fn row(&self, columns: &[Meaning]) -> Result<solver::chart::ChartRow, Vec<(usize, Failure)>> {
        if let Some(extra) = (columns.len()..self.record.len()).find(|i| self.get(*i).is_some()) {
            let what = format!("a cell more than the {} columns of the header", columns.len());
            let right = "quotes around a cell that holds a separator";
            return Err(vec![(self.place(extra), Failure::wrong(what, right))]);
        }
        let mut said = Said::default();
        let mut gears: Vec<Option<String>> = Vec::new();
        let mut last = None;
        let mut first_gear = None;
        let mut wrong = Vec::new();
        for (i, meaning) in columns.iter().enumerate() {
            let Some(cell) = self.get(i) else { continue };
            let read = match meaning {
                Meaning::Thread => said.figure(&cell),
                Meaning::Figure(unit, travel) => said.number(&cell, *unit, *travel),
                Meaning::Train => said.train(&cell),
                Meaning::Gear(at) => {
                    first_gear = first_gear.or(Some(i));
                    let read = gear(&cell).map(drop);
                    match at {
                        None => last = Some(cell),
                        Some(at) => {
                            gears.resize(gears.len().max(at + 1), None);
                            gears[*at] = Some(cell);
                        }
                    }
                    read
                }
                // The cell itself: a position may be called 1,5.
                Meaning::Lever(name) => {
                    said.levers.push((name.clone(), self.record[i].trim().to_owned()));
                    Ok(())
                }
                Meaning::Starts => said.starts(&cell),
                Meaning::Rounded => said.flag(&cell),
                Meaning::Within => said.within(&cell),
                Meaning::Ignored => Ok(()),
            };
            wrong.extend(read.err().map(|wrong| (self.place(i), wrong)));
        }
        if !wrong.is_empty() {
            return Err(wrong);
        }
        if let Some(first) = first_gear {
            gears.resize(if gears.len() > 3 { 5 } else { 3 }, None);
            gears.push(last);
            said.columns(&gears).map_err(|wrong| vec![(self.place(first), wrong)])?;
        }
        said.row().map_err(|wrong| vec![(self.at, wrong)])
    }
}

/// What the columns of the header mean, or each that means nothing.
fn columns(
    cells: &Cells<'_>,
    mapped: &[Mapping],
    levers: &[String],
) -> Result<Vec<Meaning>, Vec<(usize, Failure)>> {
    // The first mapping of a name holds.
    let meant: HashMap<&str, (&str, usize)> =
        mapped.iter().rev().map(|(name, word, at)| (name.as_str(), (word.as_str(), *at))).collect();
    let names = || cells.record.iter().map(str::trim);
    let found: HashSet<&str> = names().filter(|name| meant.contains_key(name)).collect();
    if let Some((column, _, at)) = mapped.iter().find(|(name, ..)| !found.contains(name.as_str())) {
        let names: Vec<String> = names().map(str::to_owned).collect();
        let what = format!("the header has no column `{column}`");
        return Err(vec![(*at, Failure::wrong(what, nearest(column, &names)))]);
    }
    let (mut columns, mut seen, mut wrong) = (Vec::new(), HashSet::new(), Vec::new());
    for (i, name) in names().enumerate() {
        if wrong.len() >= MOST {
            break;
        }
        let meaning = match meant.get(name) {
            Some((word, at)) => {
                Meaning::named(word, name, levers).ok_or_else(|| (*at, unknown(word, levers)))
            }
            None if name.is_empty() => Ok(Meaning::Ignored),
            None => Meaning::named(name, name, levers)
                .ok_or_else(|| (cells.place(i), unknown(name, levers))),
        };
        match meaning {
            Ok(meaning) if meaning != Meaning::Ignored && !seen.insert(meaning.clone()) => {
                let what = format!("a second column means the same as `{name}`");
                wrong.push((cells.place(i), Failure::wrong(what, "each once")));
            }
            Ok(meaning) => columns.push(meaning),
            Err(unknown) => wrong.push(unknown),
        }
    }
    if wrong.is_empty() { Ok(columns) } else { Err(wrong) }
}

fn unknown(word: &str, levers: &[String]) -> Failure {
    let word: String = word.chars().take(LONGEST).collect();
    let mut known: Vec<String> = WORDS.iter().map(|(known, _)| (*known).to_owned()).collect();
    known.extend(levers.iter().cloned());
    let near = nearest(&word, &known);
    let how = format!(
        "a lever is `lever {word}`; `# columns: {word} = tpi` maps a column, `= ignore` leaves it out"
    );
    let is_near = near.starts_with("did") || near.starts_with("its");
    let right = if is_near { near } else { how };
    Failure::wrong(format!("the column `{word}` is not known"), right)
}
