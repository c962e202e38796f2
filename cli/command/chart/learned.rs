//! What was learned: figures, what else they could be, the measurement that would settle it, and the
//! rows that disagree.

use super::{complete, judged, words};
use crate::asked::machine::Machine;
use crate::document::{self, Head, records};
use crate::failure::Failure;
use crate::files::OpenChart;
use crate::report::number::{Digits, Number};
use crate::report::{Block, Report, Role, Text};
use crate::words::figures::{self, plural};
use solver::chart::{Constant, Learned, LearnedPosition, Measured, Ranking, Settle, What};
use solver::{Lathe, Ratio, Travel};
use std::fmt::Write as _;

/// Columns of the records of `learn`.
const KEYS: [&str; 10] = [
    "what",
    "lever",
    "position",
    "value",
    "text",
    "decided",
    "rows_exact",
    "rows_within",
    "rows",
    "rivals",
];

/// What was asked and what was found.
pub(super) struct LearnedPage<'a> {
    pub(super) lathe: &'a Lathe,
    pub(super) machine: Option<&'a Machine>,
    pub(super) chart: Option<&'a OpenChart>,
    pub(super) measured: &'a [Measured],
    pub(super) found: &'a Learned,
    pub(super) asked_for_file: bool,
}

impl LearnedPage<'_> {
    pub(super) fn report(&self) -> Result<Report, Failure> {
        let mut report = Report::new();
        let judge = self.judge();
        let page = self.chart.map(|chart| {
            judged::JudgedPage::new(&judge, chart, &self.found.check, self.machine.is_some())
        });
        let document = self.document(page.as_ref())?;
        report.records = Some(records::table(&KEYS, &document.figures));
        report.document = Some(Box::new(document));
        report.push(Block::Title(self.title()));
        self.write_verdict(&mut report);
        self.write_figures(&mut report)?;
        self.write_measured(&mut report);
        self.write_settle(&mut report)?;
        if let Some(page) = &page {
            report.heading("The chart on the lathe as learned");
            report.note(page.summary());
            page.write_wrong(true, &mut report);
        }
        self.write_cautions(&mut report);
        self.write_file(&mut report);
        report.answer = judged::answer(self.found.decided && self.found.check.holds());
        Ok(report)
    }

    /// The lathe on which the rows were judged: names of its levers are all that is asked of it.
    fn judge(&self) -> Lathe {
        Lathe::new(self.found.parts.clone()).unwrap_or_else(|_| self.lathe.clone())
    }

    fn title(&self) -> String {
        let of = self.name();
        match (self.chart, self.measured.len()) {
            (Some(chart), 0) => format!("What the chart {} says of {of}", chart.name),
            (Some(chart), _) => {
                format!("What the chart {} and the measured cuts say of {of}", chart.name)
            }
            (None, 1) => format!("What the measured cut says of {of}"),
            (None, _) => format!("What the measured cuts say of {of}"),
        }
    }

    fn name(&self) -> &str {
        self.machine.map_or("its lathe", Machine::name)
    }

    fn write_verdict(&self, report: &mut Report) {
        let found = self.found;
        report.note(if found.constants.is_empty() && found.positions.is_empty() {
            let speaks = if self.chart.is_some() { "the chart speaks of" } else { "was measured" };
            Text::from(format!(
                "Nothing that {speaks} is unknown: the lathe is assumed as described. What is to \
                 be learned has to be \"unknown\" in the lathe file (--lathe)."
            ))
        } else if found.decided {
            Text::new(Role::Good, "Decided: nothing else explains it nearly as well.")
        } else {
            Text::new(
                Role::Warning,
                "Not decided: more than one lathe explains it, or too little speaks for it.",
            )
        });
    }

    fn write_figures(&self, report: &mut Report) -> Result<(), Failure> {
        let mut facts = Vec::new();
        for constant in &self.found.constants {
            facts.push((title(constant.what).to_owned(), figure_text(constant)?));
        }
        for position in &self.found.positions {
            let label = format!("{} {}", position.lever, position.position);
            facts.push((label, position_text(position)));
        }
        let line =
            |(label, text): &(String, Text)| Text::from(format!("{label}: {}", text.words()));
        report.brief = facts.iter().map(line).collect();
        if !facts.is_empty() {
            report.push(Block::Facts(facts));
        }
        Ok(())
    }

    fn write_measured(&self, report: &mut Report) {
        let lines = self.measured.iter().zip(&self.found.measured).map(|(cut, agrees)| {
            let said = if cut.said { "" } else { " (give or take 0.2 mm, as a rule is read)" };
            match agrees {
                true => Text::new(Role::Plain, format!("{}{said}: agrees", cut.text())),
                false => Text::new(
                    Role::Warning,
                    format!("{}{said}: does not agree with the rest", cut.text()),
                ),
            }
        });
        let lines: Vec<Text> = lines.collect();
        if !lines.is_empty() {
            report.heading("Measured");
            report.push(Block::List(lines));
        }
    }

    fn write_settle(&self, report: &mut Report) -> Result<(), Failure> {
        if let Some(settle) = &self.found.settle {
            report.heading(if settle.otherwise.is_empty() {
                "To make sure"
            } else {
                "One measurement settles it"
            });
            report.note(settle_text(settle)?);
        }
        for constant in &self.found.constants {
            if let Some(text) = stand_in_text(constant)? {
                report.note(text);
            }
        }
        Ok(())
    }

    fn write_cautions(&self, report: &mut Report) {
        let is = |what: What| self.found.constants.iter().any(|c| c.what == what);
        let mut lines: Vec<Text> = Vec::new();
        if is(What::ScrewConstant) {
            lines.push("From a chart only the thread that equal gears cut can be known: lead screw times headstock. \
                 It serves for every train; the thread dial still needs the lead screw itself: count its threads.".into());
        }
        if !self.found.unwritten.is_empty() {
            lines.push("The feed is known times the headstock's ratio only, and that is not known: it is not written into a lathe file.".into());
        }
        let hanging = self.found.positions.iter().filter(|p| p.ranking.is_none());
        let hanging: Vec<String> = hanging.map(|p| format!("{} {}", p.lever, p.position)).collect();
        if !hanging.is_empty() {
            let verb = if hanging.len() == 1 { "is" } else { "are" };
            lines.push(format!("{} {verb} assumed to be 1: only products of levers can be known from a chart, so that a true ratio \
                 may stand in another lever or in the screw. What is cut is the same.", hanging.join(" and ")).into());
        }
        lines.push("A chart may hang on another machine: turn the chuck by hand, take a scratch pass and measure it before you trust a figure.".into());
        report.heading("Mind");
        report.push(Block::List(lines));
    }

    fn write_file(&self, report: &mut Report) {
        if !self.asked_for_file {
            return;
        }
        let (before, certain) = (self.lathe.parts(), &self.found.certain);
        let open = self.left_open();
        let note = if !self.found.decided && certain == before {
            Err("No lathe file is written: nothing is decided.")
        } else if self.machine.is_none()
            && self.chart.is_some_and(|c| c.rows.iter().all(|row| row.gears.is_none()))
        {
            Err(
                "No lathe file is written: the chart names no gears. Give --lathe FILE with \"unknown\" where a figure is not known.",
            )
        } else {
            complete::file(self.machine, before, certain)
                .ok_or("No lathe file is written: --gears, --screw and --studs are in no file; describe the lathe in a file first.")
        };
        match note {
            Ok(text) => {
                report.lathe_file = Some(text);
                if open.is_empty() {
                    report.note("The completed lathe file is written.");
                } else {
                    let note = format!(
                        "The lathe file is written. Not decided, and left unknown in it: {}.",
                        open.join(", ")
                    );
                    report.note(Text::new(Role::Warning, note.as_str()));
                    report.asides.push(note);
                }
            }
            Err(why) => {
                report.note(Text::new(Role::Warning, why));
                report.asides.push(why.to_owned());
            }
        }
    }

    /// Figures that are not written, as they are not decided.
    fn left_open(&self) -> Vec<String> {
        let constants = self.found.constants.iter().filter(|c| !c.certain);
        let constants = constants.map(|c| title(c.what).to_owned());
        let positions = self.found.positions.iter().filter(|p| !p.certain);
        constants.chain(positions.map(|p| format!("{} {}", p.lever, p.position))).collect()
    }

    fn figures(&self) -> Result<Vec<document::learn::Figure>, Failure> {
        let mut figures = Vec::new();
        for constant in &self.found.constants {
            let (ranking, bounds) = (&constant.ranking, constant.bounds()?);
            let value = constant.figure(&ranking.best)?;
            let rivals = ranking.rivals.iter().map(|r| Ok(constant.figure(r)?.to_string()));
            figures.push(document::learn::Figure {
                what: kind(constant.what),
                lever: None,
                position: None,
                value: value.to_string(),
                text: value_text(constant, &value),
                decided: ranking.decided,
                rows_exact: ranking.best.exact,
                rows_within: ranking.best.within,
                rows: ranking.rows,
                bounds: Some((bounds.low().to_string(), bounds.high().to_string())),
                rivals: rivals.collect::<Result<_, solver::Error>>()?,
            });
        }
        for position in &self.found.positions {
            let ranking = position.ranking.as_ref();
            figures.push(document::learn::Figure {
                what: "lever",
                lever: Some(position.lever.clone()),
                position: Some(position.position.clone()),
                value: position.ratio().to_string(),
                text: position.ratio().to_string(),
                decided: ranking.is_none_or(|r| r.decided),
                rows_exact: ranking.map_or(0, |r| r.best.exact),
                rows_within: ranking.map_or(0, |r| r.best.within),
                rows: ranking.map_or(0, |r| r.rows),
                bounds: ranking.map(|r| (r.bounds.low().to_string(), r.bounds.high().to_string())),
                rivals: ranking.map_or_else(Vec::new, |r| {
                    r.rivals.iter().map(|c| c.value.to_string()).collect()
                }),
            });
        }
        Ok(figures)
    }

    fn head(&self) -> Head {
        let of_chart = || Head::new(&self.lathe.parts().name, "the chart");
        self.machine.map_or_else(of_chart, Head::of)
    }

    fn document(
        &self,
        page: Option<&judged::JudgedPage<'_>>,
    ) -> Result<document::learn::Learned, Failure> {
        let empty = || document::check::Judged {
            holds: true,
            counts: std::collections::BTreeMap::new(),
            rows: Vec::new(),
            groups: Vec::new(),
        };
        Ok(document::learn::Learned {
            head: self.head(),
            chart: self.chart.map(|chart| chart.name.clone()),
            decided: self.found.decided,
            figures: self.figures()?,
            measured: self
                .measured
                .iter()
                .zip(&self.found.measured)
                .map(|(cut, agrees)| document::learn::Measured {
                    text: cut.text().to_owned(),
                    agrees: *agrees,
                })
                .collect(),
            settle: self
                .found
                .settle
                .as_ref()
                .map(|settle| {
                    Ok::<_, Failure>(document::learn::Settle {
                        train: settle.gears.as_ref().map(|gears| gears.train.to_string()),
                        levers: settle.levers.iter().cloned().collect(),
                        count: settle.count,
                        expect_mm: settle.expect.to_string(),
                        otherwise_mm: settle.otherwise.iter().map(Ratio::to_string).collect(),
                        text: settle_text(settle)?,
                    })
                })
                .transpose()?,
            check: page.map_or_else(empty, judged::JudgedPage::document),
        })
    }
}

/// A figure, what speaks for it, and what else it could be.
fn figure_text(constant: &Constant) -> Result<Text, Failure> {
    let ranking = &constant.ranking;
    let mut text = Text::new(Role::Strong, value_text(constant, &constant.figure(&ranking.best)?));
    text = text.and(Role::Plain, format!(" ({})", support(ranking)));
    if ranking.best.exact == 0 {
        let bounds = constant.bounds()?;
        let ends = [bounds.low(), bounds.high()].map(|end| figures::measure(&end).marked());
        let unit = if constant.is_length() { " mm" } else { "" };
        text = text.and(Role::Plain, format!(", between {} and {}{unit}", ends[0], ends[1]));
    }
    if !ranking.rivals.is_empty() {
        let rivals = ranking.rivals.iter().map(|r| Ok(value_text(constant, &constant.figure(r)?)));
        let rivals = rivals.collect::<Result<Vec<_>, solver::Error>>()?;
        text = text.and(Role::Warning, format!("; it could also be {}", rivals.join(", or ")));
    }
    Ok(text)
}

/// What a figure is, for people.
const fn title(what: What) -> &'static str {
    match what {
        What::LeadScrew => "lead screw",
        What::Headstock => "headstock",
        What::ScrewConstant => "equal gears cut",
        What::Feed(Travel::CrossFeed) => "cross feed",
        What::FeedConstant(Travel::CrossFeed) => "cross feed with equal gears",
        What::FeedConstant(_) => "feed with equal gears",
        What::HalfNut => "feed by half nut",
        _ => "feed",
    }
}

/// The same for programs.
const fn kind(what: What) -> &'static str {
    match what {
        What::LeadScrew => "lead screw",
        What::Headstock => "headstock",
        What::ScrewConstant => "screw constant",
        What::Feed(Travel::CrossFeed) => "cross feed",
        What::FeedConstant(Travel::CrossFeed) => "cross feed x headstock",
        What::FeedConstant(_) => "long feed x headstock",
        What::HalfNut => "half nut",
        _ => "long feed",
    }
}

/// `10 TPI (2.54 mm)`, `1/2 turn of the driving gear for one of the spindle`.
fn value_text(constant: &Constant, figure: &Ratio) -> String {
    match constant.what {
        What::Headstock if *figure == Ratio::ONE => {
            "the driving gear turns as fast as the spindle".to_owned()
        }
        What::Headstock => format!("{figure} turns of the driving gear for one of the spindle"),
        what => words::length(figure, matches!(what, What::Feed(_) | What::FeedConstant(_))),
    }
}

fn support(ranking: &Ranking) -> String {
    let (best, rows) = (&ranking.best, ranking.rows);
    let near = best.within - best.exact;
    let mut parts = Vec::new();
    if rows > 0 {
        let exact = (best.exact > 0).then(|| format!("{} exact", best.exact));
        let near = (near > 0).then(|| format!("{near} within"));
        let none = (best.within == 0).then(|| "none agrees".to_owned());
        let said: Vec<String> = exact.into_iter().chain(near).chain(none).collect();
        parts.push(format!("of {}: {}", plural(rows, "row"), said.join(", ")));
    }
    if ranking.measured > 0 {
        parts.push(format!("{} measured", ranking.measured));
    }
    parts.join("; ")
}

fn position_text(position: &LearnedPosition) -> Text {
    let Some(ranking) = &position.ranking else {
        return Text::new(Role::Strong, "1").and(Role::Plain, " (assumed as the reference)");
    };
    let text = Text::new(Role::Strong, position.ratio().to_string())
        .and(Role::Plain, format!(" ({})", support(ranking)));
    if ranking.rivals.is_empty() {
        return text;
    }
    let rivals: Vec<String> = ranking.rivals.iter().map(|r| r.value.to_string()).collect();
    text.and(Role::Warning, format!("; it could also be {}", rivals.join(", or ")))
}

/// What to do, and what to read.
fn settle_text(settle: &Settle) -> Result<String, Failure> {
    let gears = settle.gears.as_ref().map(|gears| {
        let text = gears.train.to_string();
        if gears.free_idler { format!("{text} with any idler") } else { text }
    });
    let gears =
        gears.map_or_else(|| "leave the gears as they are".to_owned(), |g| format!("put {g} on"));
    let levers = if settle.levers.is_empty() {
        String::new()
    } else {
        format!(", set {}", crate::words::shop::when(&settle.levers))
    };
    let mm = |value: &Ratio| figures::measure(value).marked();
    let measure = match settle.travel {
        Travel::Thread => format!("take a scratch pass and measure {} pitches", settle.count),
        _ => format!(
            "turn the spindle {} times by hand and measure how far the tool goes",
            settle.count
        ),
    };
    let mut text = format!(
        "Isolate the lathe, {gears}{levers}, close the cover; then {measure}: {} mm if it is as learned",
        mm(&settle.expect)
    );
    if !settle.otherwise.is_empty() {
        let others: Vec<String> =
            settle.otherwise.iter().map(|v| format!("{} mm", mm(v))).collect();
        text = format!("{text}; {} if it is not", others.join(" or "));
    }
    if let (false, Some(reading), Some(length)) =
        (settle.clear, settle.reading()?, settle.by_rule()?)
    {
        let reading = Number::new(reading.to_big(), Digits::Significant(1)).shown().text;
        let _ = write!(
            text,
            ". A rule needs {} mm for that: use a gauge that reads {reading} mm",
            length.numer().div_ceil(length.denom())
        );
    }
    text.push('.');
    Ok(text)
}

/// The way out where all rows share a stand-in for a 127, and no rule tells two screws apart.
fn stand_in_text(constant: &Constant) -> Result<Option<String>, Failure> {
    let Some(pair) = &constant.ranking.stand_in else { return Ok(None) };
    let usual = value_text(constant, &pair.usual.over(&constant.factor)?);
    // As a fraction: rounded, nobody sees that it is another.
    let unit = if constant.is_length() { " mm" } else { "" };
    let implied = format!("{}{unit}", pair.implied.over(&constant.factor)?);
    let rows = format!(
        "The rows are exact with {implied}, and near with {usual}: gears that replace a 127 do that, \
         on every row alike."
    );
    Ok(Some(match constant.what {
        What::LeadScrew | What::ScrewConstant => format!(
            "{rows} {usual} is usual, {implied} is not. Count the threads of the lead screw along \
             1 in, and enter what you find as the lead screw in the lathe file."
        ),
        _ => rows,
    }))
}
