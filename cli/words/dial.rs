//! What the lines of a thread dial are called.

use solver::dial::{Advice, DialReading, HalfNut, LineClass};
use solver::{Dial, Lathe, Lead, Result};
use std::collections::HashSet;

/// The names of the lines of one reading.
pub(crate) struct Lines(Vec<String>);

impl Lines {
    pub(crate) fn of(lathe: &Lathe, reading: &DialReading) -> Self {
        Self(lathe.parts().dials.get(reading.dial()).map(names).unwrap_or_default())
    }

    /// How many there are.
    pub(crate) const fn count(&self) -> usize {
        self.0.len()
    }

    pub(crate) fn class(&self, class: &LineClass) -> Vec<String> {
        class.lines().map(|line| self.name(line.index)).collect()
    }

    pub(crate) fn name(&self, index: u16) -> String {
        self.0.get(usize::from(index)).cloned().unwrap_or_default()
    }
}

/// In a few words, for a chart: `anywhere`, `any line`, `same line`, `1 3 5 7 or 2 4 6 8, same set`, `keep
/// closed`.
///
/// # Errors
/// If a figure does not fit.
pub(crate) fn in_short(lathe: &Lathe, lead: &Lead, starts: u8) -> Result<String> {
    let plan = HalfNut::new(lathe, lead, starts)?;
    let reading = match plan.advice() {
        Advice::Anywhere => return Ok("anywhere".to_string()),
        Advice::Lines(reading) => reading,
        _ => return Ok("keep closed".to_string()),
    };
    let names = Lines::of(lathe, reading);
    let group = |class: &LineClass| {
        let names = names.class(class);
        names.iter().map(|name| number_alone(name)).collect::<Vec<_>>().join(" ")
    };
    let classes = reading.classes();
    let lines = match classes {
        [only] if only.lines().count() == names.count() => "any line".to_string(),
        [only] => group(only),
        many if many.iter().all(|class| class.lines().count() == 1) => "same line".to_string(),
        many => format!("{}, same set", many.iter().map(group).collect::<Vec<_>>().join(" or ")),
    };
    let which = if lathe.parts().dials.len() > 1 {
        format!("{}t: ", reading.teeth())
    } else {
        String::new()
    };
    Ok(format!("{which}{lines}"))
}

/// `line 2 (marked 5)` is 2.
fn number_alone(name: &str) -> &str {
    name.strip_prefix("line ").and_then(|rest| rest.split(' ').next()).unwrap_or(name)
}

/// What each line of a dial is called: by its mark; one without a mark by those on both sides
/// (`1-2`); where marks come twice, or there are none, by its number round the dial.
fn names(dial: &Dial) -> Vec<String> {
    let mark = |index: usize| dial.labels.get(index).filter(|label| !label.is_empty());
    let lines = usize::from(dial.lines);
    let marks: Vec<&String> = (0..lines).filter_map(mark).collect();
    let unlike: HashSet<&String> = marks.iter().copied().collect();
    let between = |index: usize| {
        let before = mark((index + lines - 1) % lines)?;
        let after = mark((index + 1) % lines)?;
        Some(format!("{before}-{after}"))
    };
    let name = |index: usize| mark(index).cloned().or_else(|| between(index));
    let named: Option<Vec<String>> = (0..lines).map(name).collect();
    let number = |index: usize| match mark(index) {
        Some(mark) => format!("line {} (marked {mark})", index + 1),
        None => format!("line {}", index + 1),
    };
    named
        .filter(|_| !marks.is_empty() && unlike.len() == marks.len())
        .unwrap_or_else(|| (0..lines).map(number).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names_of(lines: u16, labels: &[&str]) -> Vec<String> {
        let labels = labels.iter().map(ToString::to_string).collect();
        names(&Dial { teeth: 16, lines, labels })
    }

    #[test]
    fn lines_are_called_by_their_marks_where_those_tell_them_apart() {
        assert_eq!(names_of(4, &["1", "2", "3", "4"]), ["1", "2", "3", "4"]);
        assert_eq!(names_of(4, &["1", "", "2", ""]), ["1", "1-2", "2", "2-1"]);
        assert_eq!(names_of(2, &["7", "7"]), ["line 1 (marked 7)", "line 2 (marked 7)"]);
        assert_eq!(names_of(3, &["A", "", ""]), ["line 1 (marked A)", "line 2", "line 3"]);
        assert_eq!(names_of(2, &[]), ["line 1", "line 2"]);
    }
}
