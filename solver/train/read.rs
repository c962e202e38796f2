//! What does a typed train mean?

use super::{Shaft, Train};
use crate::{Error, Gear, Result, Teeth, bounds};
use std::str::FromStr;

const HINT: &str = "gears in power-path order: 40-65, 80-50-30, 40-55+50-65 or 40/55 x 50/65";

/// Reads `40-55+50-65` and the fraction form `40/55 x 50/65`; an idler may be in brackets, as lists
/// print it: `20-(75)-40`. Tooth sizes stay open.
impl FromStr for Train {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let mut typed =
            Typed { text, at: 0, gears: Vec::new(), marks: Vec::new(), idlers: Vec::new() };
        typed.read()?;
        Self::new(typed.shafts()?)
    }
}

/// The gears and the marks between them, as typed.
struct Typed<'t> {
    text: &'t str,
    /// The place reached in the text.
    at: usize,
    gears: Vec<Gear>,
    marks: Vec<char>,
    /// In brackets: which gear, and where.
    idlers: Vec<(usize, usize)>,
}

impl<'t> Typed<'t> {
    fn read(&mut self) -> Result<()> {
        loop {
            self.gear()?;
            let Some(mark) = self.rest().chars().next() else { return Ok(()) };
            self.mark(mark)?;
            if self.marks.len() > 2 * bounds::PAIRS {
                return Err(wrong(self.at, "more gears than the longest train has (8)"));
            }
        }
    }

    /// The rest of the text, from the next character that is no space.
    fn rest(&mut self) -> &'t str {
        let rest = self.text.get(self.at..).unwrap_or("").trim_start();
        self.at = self.text.len().saturating_sub(rest.len());
        rest
    }

    /// Reads the next character if it is this one.
    fn eat(&mut self, mark: char) -> bool {
        let found = self.rest().starts_with(mark);
        self.at = self.at.saturating_add(if found { mark.len_utf8() } else { 0 });
        found
    }

    /// A number of teeth, in brackets or not.
    fn gear(&mut self) -> Result<()> {
        self.rest();
        let start = self.at;
        let open = self.eat('(');
        if open {
            self.idlers.push((self.gears.len(), start));
        }
        let rest = self.rest();
        let digits = rest.trim_start_matches(|c: char| c.is_ascii_digit()).len();
        let digits = rest.get(..rest.len().saturating_sub(digits)).unwrap_or("");
        let number =
            digits.parse().map_err(|_| wrong(self.at, "a number of teeth was expected"))?;
        self.gears.push(Gear::new(Teeth::new(number).map_err(|e| e.with_hint(HINT))?));
        self.at = self.at.saturating_add(digits.len());
        if open && !self.eat(')') {
            return Err(wrong(self.at, "`)` was expected"));
        }
        Ok(())
    }

    fn mark(&mut self, mark: char) -> Result<()> {
        self.marks.push(match mark {
            '-' | '+' | '/' => mark,
            'x' | 'X' | '×' | '*' | '·' => 'x',
            _ => return Err(wrong(self.at, format!("`{mark}` is no part of a train"))),
        });
        self.at = self.at.saturating_add(mark.len_utf8());
        Ok(())
    }

    /// The gears of each shaft.
    fn shafts(&self) -> Result<Vec<Shaft>> {
        let fraction = self.marks.contains(&'/');
        let (mesh, joins) = if fraction { ('/', 'x') } else { ('-', '+') };
        let mut shafts = Vec::new();
        let mut driven: Option<Gear> = None;
        for (i, gear) in self.gears.iter().enumerate() {
            match self.marks.get(i) {
                Some(mark) if *mark == joins && driven.is_none() => {
                    driven = Some(*gear);
                    continue;
                }
                Some(mark) if *mark != mesh => {
                    return Err(wrong(0, format!("`{mark}` can't stand after the {}", gear.teeth)));
                }
                _ => {}
            }
            let is_idler = driven.is_none() && i > 0 && i < self.marks.len();
            // The first of a pair is handled with the second.
            let bracketed = self
                .idlers
                .iter()
                .find(|(gear, _)| *gear == i || (driven.is_some() && gear.saturating_add(1) == i));
            if let Some((_, at)) = bracketed.filter(|_| !is_idler) {
                return Err(wrong(*at, "only an idler goes in brackets"));
            }
            shafts.push(match driven.take() {
                Some(driven) => Shaft::Pair { driven, driver: *gear },
                None => Shaft::One(*gear),
            });
        }
        Ok(shafts)
    }
}

fn wrong(at: usize, what: impl Into<String>) -> Error {
    Error::syntax(at, what).with_hint(HINT)
}
