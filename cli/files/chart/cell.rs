//! What one cell of a chart says, and what the cells of a row come to.

use crate::failure::Failure;
use solver::chart::{ChartRow, Gears, Printed, Unit};
use solver::{Gear, Ratio, Shaft, Teeth, Train, Travel, bounds};

/// What the cells of one row said so far.
#[derive(Debug, Clone, Default)]
pub(super) struct Said {
    printed: Option<(String, Unit, Travel)>,
    gears: Option<Gears>,
    pub(super) levers: Vec<(String, String)>,
    starts: Option<u8>,
    pub(super) rounded: Option<bool>,
    within: Option<Ratio>,
}

const FIGURE: &str =
    "a figure with its unit: 11 1/2 tpi, 1.25 mm, module 1, 0.1 mm/rev, 0.004 in/rev cross";
const TRAIN: &str =
    "gears in power-path order: 40-65, 80-50-30, 25-*-20 (any idler) or 40-55+50-65";

impl Said {
    /// A figure with its unit.
    pub(super) fn figure(&mut self, text: &str) -> Result<(), Failure> {
        let (number, unit, travel) = with_unit(text)?;
        self.number(&number, unit, travel)
    }

    /// A figure whose unit is known.
    pub(super) fn number(&mut self, text: &str, unit: Unit, travel: Travel) -> Result<(), Failure> {
        if self.printed.is_some() {
            let right = "one thread or feed a row; a row of its own for the other";
            return Err(Failure::wrong("a second figure in one row", right));
        }
        Printed::new(text, unit, travel)?;
        self.printed = Some((text.trim().to_owned(), unit, travel));
        Ok(())
    }

    /// `40-55+50-65`, `25-*-20`.
    pub(super) fn train(&mut self, text: &str) -> Result<(), Failure> {
        let text = &with_marks(text)?;
        let parts: Vec<&str> = text.split('-').map(str::trim).collect();
        let free = parts.iter().filter(|part| matches!(**part, "*" | "any")).count();
        if free > 1 {
            return Err(Failure::wrong("more than one idler is left free", TRAIN));
        }
        let fixed: Vec<&str> = parts.into_iter().filter(|p| !matches!(*p, "*" | "any")).collect();
        let train: Train = if free == 0 { text.parse() } else { fixed.join("-").parse() }?;
        self.gears = Some(Gears { train, free_idler: free == 1 });
        Ok(())
    }

    /// Gears as columns: first, then driven and driver of each stud, then last.
    pub(super) fn columns(&mut self, columns: &[Option<String>]) -> Result<(), Failure> {
        let dash = |cell: &Option<String>| cell.as_deref().is_some_and(is_dash);
        let teeth = |cell: &Option<String>| cell.as_deref().map_or(Ok(None), gear);
        if columns.iter().all(|cell| cell.is_none() || dash(cell)) {
            return Ok(());
        }
        let [first, studs @ .., last] = columns else { return Ok(()) };
        let missing = || {
            Failure::wrong(
                "the driving or the driven gear is missing",
                "a number of teeth in both columns",
            )
        };
        let first = teeth(first)?.ok_or_else(missing)?;
        let last = teeth(last)?.ok_or_else(missing)?;
        let mut shafts = vec![Shaft::One(first)];
        // Nothing between two end gears is an idler of any size: the shafts stand too far apart.
        let mut free = studs.iter().all(Option::is_none);
        for stud in studs.chunks(2) {
            let [driven, driver] = stud else { continue };
            match (teeth(driven)?, teeth(driver)?) {
                (Some(driven), Some(driver)) => shafts.push(Shaft::Pair { driven, driver }),
                (Some(idler), None) | (None, Some(idler)) => shafts.push(Shaft::One(idler)),
                (None, None) => free |= dash(driven) || dash(driver),
            }
        }
        shafts.push(Shaft::One(last));
        self.gears =
            Some(Gears { free_idler: free && shafts.len() == 2, train: Train::new(shafts)? });
        Ok(())
    }

    /// Starts.
    pub(super) fn starts(&mut self, text: &str) -> Result<(), Failure> {
        let starts: u64 = text.trim().parse().map_err(|_| {
            Failure::wrong(format!("`{text}` is no number of starts"), "a whole number")
        })?;
        self.starts = Some(u8::try_from(bounds::STARTS.check(starts)?).unwrap_or(u8::MAX));
        Ok(())
    }

    /// `yes`, `no`, `x`.
    pub(super) fn flag(&mut self, text: &str) -> Result<(), Failure> {
        self.rounded = Some(match text.to_ascii_lowercase().as_str() {
            "yes" | "y" | "true" | "1" | "x" | "rounded" => true,
            "no" | "n" | "false" | "0" | "exact" => false,
            _ => {
                return Err(Failure::wrong(format!("`{text}` is neither yes nor no"), "yes or no"));
            }
        });
        Ok(())
    }

    /// `0.5%`, `2000ppm`.
    pub(super) fn within(&mut self, text: &str) -> Result<(), Failure> {
        let right = "0.5% or 2000ppm";
        let (number, used) = Ratio::read(text)?;
        let whole = match text.get(used..).unwrap_or_default().trim() {
            "%" => 100,
            "ppm" => 1_000_000,
            _ => return Err(Failure::wrong(format!("`{text}` is no tolerance"), right)),
        };
        let within = number.over(&Ratio::whole(whole)?)?;
        if within >= Ratio::new(1, 5)? {
            return Err(Failure::wrong(format!("`{text}`: a fifth or more of the thread"), right));
        }
        self.within = Some(within);
        Ok(())
    }

    /// The row.
    pub(super) fn row(self) -> Result<ChartRow, Failure> {
        let Some((text, unit, travel)) = self.printed else {
            return Err(Failure::wrong(
                "the row says no thread and no feed",
                "a figure in one column",
            ));
        };
        let mut printed = Printed::new(&text, unit, travel)?;
        if let Some(starts) = self.starts {
            printed = printed.with_starts(starts)?;
        }
        if let Some(rounded) = self.rounded {
            printed = printed.with_rounded(rounded)?;
        }
        let mut row = ChartRow::new(printed);
        row.gears = self.gears;
        for (i, (lever, position)) in self.levers.into_iter().enumerate() {
            if row.levers.iter().any(|(name, _)| *name == lever) {
                return Err(Failure::wrong(
                    format!("lever {lever} is named twice (entry {})", i + 1),
                    "each lever once",
                ));
            }
            row = row.with_lever(lever, position);
        }
        row.within = self.within;
        Ok(row)
    }
}

/// Gears with nothing but spaces between them: two or three can be read in one way only.
fn with_marks(text: &str) -> Result<String, Failure> {
    let gears: Vec<&str> = text.split_whitespace().collect();
    let bare = gears.iter().all(|gear| gear.bytes().all(|b| b.is_ascii_digit()));
    match gears.len() {
        2 | 3 if bare => Ok(gears.join("-")),
        4.. if bare => Err(Failure::wrong(
            "only spaces between the gears: which mesh, and which share a stud?",
            "40-55+50-65, where 55 and 50 share a stud; 40-55-50-65, where both are idlers",
        )),
        _ => Ok(text.to_owned()),
    }
}

/// Whether a cell stands for no gear, or for an idler of any size.
fn is_dash(cell: &str) -> bool {
    matches!(cell, "-" | "*" | "–" | "—")
}

/// The gear of a cell; `None`: a dash.
pub(super) fn gear(cell: &str) -> Result<Option<Gear>, Failure> {
    if is_dash(cell) {
        return Ok(None);
    }
    let digits: u64 = cell.parse().map_err(|_| {
        let what = format!("`{cell}` is no number of teeth");
        Failure::wrong(what, "a whole number, or - where there is no gear or any idler goes")
    })?;
    Ok(Some(Gear::new(Teeth::new(digits)?)))
}

/// `11 1/2 tpi` taken apart: the number as printed, its unit, and what moves.
fn with_unit(text: &str) -> Result<(String, Unit, Travel), Failure> {
    let lower = text.trim().to_lowercase();
    for (word, unit) in [("module", Unit::Module), ("mod", Unit::Module), ("dp", Unit::Dp)] {
        if let Some(rest) = lower.strip_prefix(word) {
            return Ok((rest.trim().to_owned(), unit, Travel::Thread));
        }
    }
    let (_, used) = Ratio::read(text)?;
    let number = text.get(..used).unwrap_or_default().trim().to_owned();
    let rest = text.get(used..).unwrap_or_default().trim().to_lowercase();
    let mut words = rest.split_whitespace();
    let first = words.next().unwrap_or_default();
    let cross = words.clone().any(|word| word == "cross");
    let per_rev = first.ends_with("/rev") || words.clone().any(|w| matches!(w, "/rev" | "feed"));
    let unit = match first.trim_end_matches("/rev") {
        "mm" => Unit::Mm,
        "in" | "inch" | "\"" | "″" => Unit::Inch,
        "tpi" => Unit::Tpi,
        "module" | "mod" => Unit::Module,
        "dp" => Unit::Dp,
        "" => return Err(Failure::wrong(format!("`{}` has no unit", text.trim()), FIGURE)),
        other => return Err(Failure::wrong(format!("`{other}` is no unit"), FIGURE)),
    };
    if let Some(word) =
        words.find(|word| !matches!(*word, "cross" | "long" | "/rev" | "feed" | "worm"))
    {
        return Err(Failure::wrong(format!("`{word}` can't be read"), FIGURE));
    }
    let travel = match (per_rev, cross) {
        (_, true) => Travel::CrossFeed,
        (true, false) => Travel::LongFeed,
        (false, false) => Travel::Thread,
    };
    Ok((number, unit, travel))
}
