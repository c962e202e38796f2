//! Which threads and feeds are wanted? Words, series, a file and the everyday list become one list,
//! in which each lead stands once.

use super::targets;
use crate::args::{self, value};
use crate::failure::Failure;
use crate::files;
use crate::words::figures::{lead_mm, tpi};
use solver::plan::Line;
use solver::tolerance::Allowed;
use solver::{Hand, Lead, Length, Ratio, Series, Target, Thread, Travel};
use std::ffi::OsStr;

/// Series of the everyday list, each with its first and last size.
const COMMON: [(&str, &str, &str); 5] = [
    ("metric-coarse", "M2", "M36"),
    ("unc", "#4-40 UNC", "1-8 UNC"),
    ("unf", "#4-48 UNF", "1-12 UNF"),
    ("bsw", "1/8 BSW", "1 BSW"),
    ("bsf", "3/16 BSF", "1 BSF"),
];

/// Feeds of the everyday list: from finishing to roughing on a small lathe (common practice, no
/// source).
const COMMON_FEEDS: [&str; 4] = ["0.05 mm/rev", "0.1 mm/rev", "0.15 mm/rev", "0.2 mm/rev"];

/// One line of the list.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Wanted {
    /// The first target that asked for it.
    pub(crate) target: Target,
    /// Threads that are cut by it: `M10`, `M11`; none where only a figure was given.
    pub(crate) names: Vec<String>,
    /// Every target that asked for it, once, each with what is near enough for it.
    pub(crate) asked: Vec<(Target, Allowed)>,
    /// Lead, hand, travel and tolerance.
    pub(crate) line: Line,
    /// What the tolerance rests on: of several threads that of the closest.
    pub(crate) allowed: Allowed,
}

/// The list in the order in which it was given: words, series, file, everyday list. `ends`: of each
/// series that names none itself.
///
/// # Errors
/// If something can't be read, or nothing was asked for.
pub(crate) fn read(
    asked: &args::Wanted,
    ends: [&str; 2],
    feeds: bool,
) -> Result<Vec<Wanted>, Failure> {
    let mut list = List::new(asked.within, asked.feed_within);
    for target in targets::read(&asked.targets)? {
        list.push(&target, None)?;
    }
    for series in &asked.series {
        let ends = series.ends.as_ref().map_or(ends, |own| own.each_ref().map(String::as_str));
        list.push_threads(series.value, &format!("--series {}", series.text), ends)?;
    }
    if let Some(file) = &asked.list {
        list.push_file(file)?;
    }
    if asked.common {
        list.push_common(feeds)?;
    }
    if list.lines.is_empty() {
        return Err(Failure::new("no threads or feeds were asked for")
            .with_hint("targets such as M10 \"11 tpi\", --series metric-coarse:M3..M20, --list FILE or --common"));
    }
    Ok(list.lines)
}

/// The everyday list, with its feeds or without.
///
/// # Errors
/// None: tests read the whole of it.
pub(crate) fn everyday(
    within: Ratio,
    feed_within: Ratio,
    feeds: bool,
) -> Result<Vec<Wanted>, Failure> {
    let mut list = List::new(Some(within), Some(feed_within));
    list.push_common(feeds)?;
    Ok(list.lines)
}

struct List {
    within: Option<Ratio>,
    feed_within: Option<Ratio>,
    lines: Vec<Wanted>,
}

impl List {
    const fn new(within: Option<Ratio>, feed_within: Option<Ratio>) -> Self {
        Self { within, feed_within, lines: Vec::new() }
    }

    /// Adds a target; one whose lead is there already only gives its name to that line, and its
    /// tolerance if that is closer.
    fn push(&mut self, target: &Target, within: Option<Ratio>) -> Result<(), Failure> {
        let travel = target.travel();
        let stated = within.or(if travel.is_feed() { self.feed_within } else { self.within });
        let usual = Allowed::usual(target.thread().as_ref(), travel);
        let allowed = stated.map_or(usual, |part| usual.stated(part));
        let line = Line::new(target.lead())
            .with_hand(targets::hand_of(target, None)?)
            .with_travel(travel)
            .with_within(allowed.part());
        let name = name_of(target);
        let key = |l: &Line| (l.lead, l.hand, l.travel);
        if let Some(known) = self.lines.iter_mut().find(|known| key(&known.line) == key(&line)) {
            known.names.extend(name.filter(|name| !known.names.contains(name)));
            if known.asked.iter().all(|(asked, _)| asked != target) {
                known.asked.push((target.clone(), allowed));
            }
            if line.within < known.line.within {
                (known.line.within, known.allowed) = (line.within, allowed);
            }
        } else {
            let names = name.into_iter().collect();
            let asked = vec![(target.clone(), allowed)];
            self.lines.push(Wanted { target: target.clone(), names, asked, line, allowed });
        }
        Ok(())
    }

    fn push_threads(
        &mut self,
        series: &'static Series,
        argument: &str,
        [from, to]: [&str; 2],
    ) -> Result<(), Failure> {
        let threads: Vec<Thread> = series.threads().collect();
        let last = threads.len().saturating_sub(1);
        let low = end(argument, series, &threads, from)?;
        let high = end(argument, series, &threads, to)?;
        // Numbers such as those of BA fall as the size grows: 0BA..8BA.
        let turned = low.zip(high).is_some_and(|(low, high)| low.0 > high.1);
        let (low, high) = if turned { (high, low) } else { (low, high) };
        let first = low.map_or(0, |end| end.0);
        let last = high.map_or(last, |end| end.1);
        let wanted = threads.get(first..=last).unwrap_or_default();
        if wanted.is_empty() {
            let wrong = format!("{argument}: no thread lies between {from} and {to}");
            return Err(Failure::new(wrong).with_hint("a wider range"));
        }
        for thread in wanted {
            // Each designation reads back as its thread: a test of the tables holds it.
            self.push(&thread.designation().parse::<Target>()?, None)?;
        }
        Ok(())
    }

    fn push_file(&mut self, file: &OsStr) -> Result<(), Failure> {
        let open = files::list(file)?;
        for listed in open.lines {
            let place = format!("{}: ", listed.place);
            let target: Target = listed
                .target
                .parse()
                .map_err(|e| Failure::typed("target", &listed.target, &e).under(&place))?;
            let within = listed.within.as_deref().map(|w| value::tolerance("tolerance", w));
            self.push(&target, within.transpose().map_err(|e| e.under(&place))?)?;
        }
        Ok(())
    }

    fn push_common(&mut self, feeds: bool) -> Result<(), Failure> {
        for (key, from, to) in COMMON {
            self.push_threads(value::series("--common", key)?, "--common", [from, to])?;
        }
        if feeds {
            for feed in COMMON_FEEDS {
                self.push(&feed.parse::<Target>()?, None)?;
            }
        }
        Ok(())
    }
}

/// First and last place in the series of an end of a range: a thread of it, or a diameter. Nothing
/// where the end is left open.
fn end(
    argument: &str,
    series: &Series,
    threads: &[Thread],
    text: &str,
) -> Result<Option<(usize, usize)>, Failure> {
    if text.is_empty() {
        return Ok(None);
    }
    let places = |of: &dyn Fn(&Thread) -> bool| {
        let first = threads.iter().position(of)?;
        threads.iter().rposition(of).map(|last| (first, last))
    };
    if let Ok(diameter) = text.parse::<Length>() {
        let of = |t: &Thread| t.diameter();
        let first = threads.iter().position(|t| of(t).is_some_and(|d| d >= diameter));
        let last = threads.iter().rposition(|t| of(t).is_some_and(|d| d <= diameter));
        // Past the one end or the other: an empty range, or an open one.
        return Ok(Some((first.unwrap_or(threads.len()), last.unwrap_or(0))));
    }
    // By name; `M10` stands for all pitches of its size, also in a series whose names carry them.
    let spoken = |t: &Thread| t.designation().eq_ignore_ascii_case(text);
    let sized = |t: &Thread| sizes(t.designation()).any(|size| size.eq_ignore_ascii_case(text));
    let read = text.parse::<Target>().ok().and_then(|t| t.thread());
    let same = |t: &Thread| read == Some(*t);
    let found = places(&spoken).or_else(|| places(&same)).or_else(|| places(&sized));
    found.map(Some).ok_or_else(|| {
        let shown = crate::failure::shortened(text);
        let example = threads.first().map_or("", |t| t.designation());
        Failure::new(format!("{argument}: `{shown}` is no size of {}", series.name()))
            .with_hint(format!("a thread of it such as {example}, or a diameter such as 6mm"))
    })
}

/// Whether a lead is an inch measure: an inch is 127/5 mm, so 127 stands above the line.
pub(crate) fn is_inch(lead: &Lead) -> bool {
    lead.mm().numer().is_multiple_of(127)
}

/// What may be the size in a designation: `M10x1.25`, `1 1/8-7 UNC`, `1 1/4 NPT`, `G 1/4`.
fn sizes(designation: &str) -> impl Iterator<Item = &str> {
    let before = |sign: char| designation.split_once(sign).map(|(size, _)| size);
    let after = designation.split_once(' ').map(|(_, size)| size);
    let without = designation.rsplit_once(' ').map(|(size, _)| size);
    [before('x'), before('-'), without, after].into_iter().flatten()
}

/// What a line is called beside its lead: only what says more than the lead does.
fn name_of(target: &Target) -> Option<String> {
    let thread = target.thread()?;
    (!thread.pitch().has_pi()).then(|| target.to_string())
}

impl Wanted {
    /// Its lead as it is said: `1.5 mm`, `16 tpi`, `module 1`, `0.1 mm/rev`; a left-hand thread says so.
    pub(crate) fn lead(&self) -> String {
        let lead = self.line.lead;
        if self.target.thread().is_none() || lead.has_pi() {
            return self.target.to_string();
        }
        let figure = if is_inch(&lead) {
            format!("{} tpi", tpi(&lead).marked())
        } else {
            format!("{} mm", lead_mm(&lead).marked())
        };
        match self.line.hand {
            Some(Hand::Left) => format!("{figure} LH"),
            _ => figure,
        }
    }

    /// Whether it is a feed.
    pub(crate) fn is_feed(&self) -> bool {
        self.line.travel != Travel::Thread
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use solver::tolerance::AllowedBasis;

    fn asked(targets: &[&str], series: Option<value::Sizes>) -> args::Wanted {
        let within = None;
        let targets = targets.iter().map(ToString::to_string).collect();
        let series = series.into_iter().collect();
        args::Wanted { targets, series, list: None, common: false, within, feed_within: None }
    }

    fn leads(series: &str) -> Vec<String> {
        let series = value::sizes("--series", series).unwrap();
        let list = read(&asked(&[], Some(series)), [""; 2], false).unwrap();
        list.iter().map(Wanted::lead).collect()
    }

    #[test]
    fn a_range_is_named_by_threads_sizes_or_diameters() {
        for (series, wanted) in [
            ("unc:1/4..3/8", &["20 tpi", "18 tpi", "16 tpi"][..]),
            ("unc:1/4-20 UNC..3/8-16 UNC", &["20 tpi", "18 tpi", "16 tpi"]),
            ("unc:6mm..10mm", &["20 tpi", "18 tpi", "16 tpi"]),
            ("unc:1 1/8..1 1/4", &["7 tpi"]),
            ("npt:1..1 1/4", &["11.5 tpi"]),
            ("g:1/4..1/2", &["19 tpi", "14 tpi"]),
            ("module:1..1.25", &["module 1", "module 1.25"]),
            ("BA:2ba..0BA", &["1 mm", "0.9 mm", "0.81 mm"]),
            ("metric-coarse:..M1", &["0.25 mm"]),
        ] {
            let mut found = leads(series);
            let mut wanted: Vec<String> = wanted.iter().map(ToString::to_string).collect();
            found.sort();
            wanted.sort();
            assert_eq!(found, wanted, "{series}");
        }
    }

    /// M20x1.5 has a wider tolerance than M10, over a longer engagement (ISO 965-1).
    #[test]
    fn of_several_threads_the_closest_tolerance_holds() {
        let read = |asked: &args::Wanted| read(asked, [""; 2], false).unwrap();
        let part = |targets: &[&str]| {
            let list = read(&asked(targets, None));
            assert_eq!(list.len(), 1);
            let [wanted] = &list[..] else { unreachable!() };
            assert_eq!(wanted.line.within, wanted.allowed.part());
            (wanted.allowed.part().to_string(), wanted.allowed.basis())
        };
        let m10 = part(&["M10"]);
        assert_eq!(m10, ("127/250000".to_owned(), AllowedBasis::Class));
        let both = [part(&["M10", "M10x1.5", "1.5 mm"]), part(&["1.5 mm", "M10"])];
        assert_eq!(both, [(); 2].map(|()| ("1/5000".to_owned(), AllowedBasis::WithoutClass)));
        let fine = part(&["M10", "M20x1.5"]);
        assert_eq!(fine, part(&["M20x1.5"]));
        assert_ne!(fine, m10);
        let stated = args::Wanted { within: Ratio::new(1, 1000).ok(), ..asked(&["M10"], None) };
        assert_eq!(read(&stated)[0].allowed.basis(), AllowedBasis::Stated);
        let feed = part(&["0.1 mm/rev"]);
        assert_eq!(feed, ("1/100".to_owned(), AllowedBasis::Feed));
    }

    #[test]
    fn a_lead_stands_once_with_all_its_names() {
        let asked = asked(&["M10", "1.5 mm", "M11", "M10 LH", "16 tpi"], None);
        let list = read(&asked, [""; 2], false).unwrap();
        let lines: Vec<(String, String)> =
            list.iter().map(|w| (w.lead(), w.names.join(" "))).collect();
        let line = |lead: &str, names: &str| (lead.to_owned(), names.to_owned());
        assert_eq!(
            lines,
            [line("1.5 mm", "M10 M11"), line("1.5 mm LH", "M10 LH"), line("16 tpi", "")]
        );
    }
}
