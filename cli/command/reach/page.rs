//! The page: first what the leads come to, then which standard pitches are met, then the first rows.

use super::row::Row;
use super::survey::{Standard, State, Survey, share};
use super::{Request, Sort};
use crate::answer::Entry;
use crate::report::number::{Digits, Number, grouped};
use crate::report::{Block, Cell, Column, Report, Role, Table, Text};
use crate::words::doubt;
use crate::words::either;
use crate::words::figures::{lead_inch, lead_mm, tpi};
use crate::words::search::part;
use crate::words::set_up::{error_in_short, levers_in_words};
use num_rational::BigRational;
use solver::reach::Beside;
use solver::{Lathe, Lead, Series, Travel};

/// Threads named for a pitch; of more the number is said.
const NAMED: usize = 3;

/// Pitches missed that the short page names.
const MISSED: usize = 12;

/// What is said at the end.
fn more(request: &Request) -> Text {
    let more = Text::from("More: ")
        .and(Role::Typed, "trainwright find")
        .and(Role::Plain, " (trains for one of these)");
    if request.long {
        return more;
    }
    more.and(Role::Plain, ", ").and(Role::Typed, "--long").and(Role::Plain, " (series, more rows)")
}

/// The whole page.
pub(super) fn write(request: &Request, survey: &Survey, rows: &[Row], report: &mut Report) {
    report.note(request.machine.line());
    report.push(Block::Title(title(request, survey)));
    if let Some(longer) = longer(request, survey) {
        report.note(longer);
    }
    if survey.ended {
        report.note(Text::new(Role::Warning, ended(survey)));
    }
    for left_out in &survey.left_out {
        report.note(Text::new(Role::Warning, format!("NOT COMPLETE: {left_out}.")));
    }
    // In letters nothing stands in its place.
    report.push(Block::Picture { drawings: vec![0], in_letters: String::new() });
    report.push(Block::Facts(facts(request, survey)));
    write_standards(request, survey, report);
    write_rows(request, survey, rows, report);
    // The table of pitches missed names tumblers too.
    let missed = survey.standards.iter().filter(|_| request.standard);
    let missed = missed.filter_map(|standard| standard.nearest.as_ref());
    if let Some(meaning) =
        either::meaning(&request.machine.lathe, rows.iter().map(|row| &row.entry).chain(missed))
    {
        report.note(meaning);
    }
    report.note(more(request));
    report.brief = rows.iter().map(|row| in_one_line(request, row)).collect();
}

/// `1.25 mm (20.32 TPI): 40-80+63-80`.
fn in_one_line(request: &Request, row: &Row) -> Text {
    Text::from(format!("{}: {}", both(request, &row.entry.lead), row.entry.train))
}

fn title(request: &Request, survey: &Survey) -> String {
    let what = match request.travel {
        Travel::Thread => "All that can be cut",
        Travel::LongFeed => "All longitudinal feeds",
        Travel::CrossFeed => "All feeds of the cross slide",
    };
    if survey.possible > survey.pairs {
        format!("{what} with {}", pairs(survey.pairs))
    } else {
        what.to_string()
    }
}

fn pairs(pairs: usize) -> String {
    match pairs {
        1 => "one gear pair".into(),
        pairs => format!("up to {pairs} gear pairs"),
    }
}

/// What is left out where the studs take longer trains.
fn longer(request: &Request, survey: &Survey) -> Option<Text> {
    let most = survey.possible;
    (most > request.pairs).then(|| {
        let words = "The studs take longer trains, which cut more, finer and closer to a pitch: ";
        Text::new(Role::Warning, words).and(Role::Typed, format!("--pairs {most}"))
    })
}

/// Ctrl-C was pressed.
fn ended(survey: &Survey) -> String {
    match survey.longest {
        Some(longest) => {
            format!("Ended early: nothing past {} mm was looked at.", lead_mm(&longest).marked())
        }
        None => "Ended early: no lead was looked at yet.".to_string(),
    }
}

/// A lead in both units; a feed in inches a turn.
pub(super) fn both(request: &Request, lead: &Lead) -> String {
    let mm = lead_mm(lead).marked();
    if request.travel.is_feed() {
        format!("{mm} mm ({} in)", lead_inch(lead).marked())
    } else {
        format!("{mm} mm ({} TPI)", tpi(lead).marked())
    }
}

/// The span in words.
pub(super) fn span(request: &Request) -> String {
    let both = |lead: &Lead| both(request, lead);
    match (&request.from, &request.to) {
        (Some(from), Some(to)) => format!("from {} to {}", both(from), both(to)),
        (Some(from), None) => format!("from {} up", both(from)),
        (None, Some(to)) => format!("up to {}", both(to)),
        (None, None) => "of any length".to_string(),
    }
}

fn facts(request: &Request, survey: &Survey) -> Vec<(String, Text)> {
    let what = if request.travel.is_feed() { "feeds" } else { "leads" };
    let count = grouped(survey.leads.into());
    let mut facts = vec![
        ("asked".to_string(), format!("{what} {}, {}", span(request), pairs(request.pairs)).into()),
        (what.to_string(), Text::new(Role::Strong, count).and(Role::Plain, " different ones")),
    ];
    let mut fact = |label: &str, text: String| facts.push((label.to_string(), text.into()));
    if survey.too_close > 0 {
        let count = grouped(survey.too_close.into());
        fact(doubt::TOO_CLOSE, format!("{count} more; find says what to measure for each"));
    }
    if survey.refused > 0 && request.long {
        fact("left out", refused(request, survey));
    }
    if let Some((shortest, longest)) = survey.shortest.zip(survey.longest) {
        fact("shortest", both(request, &shortest));
        fact("longest", both(request, &longest));
    }
    if let Some(gap) = &survey.gap {
        let [from, to] = [gap.0, gap.1].map(|lead| lead_mm(&lead).marked());
        let per_cent = share(gap) * BigRational::from_integer(100.into());
        let per_cent = Number::new(per_cent, Digits::Significant(2)).shown().text;
        fact("widest gap", format!("{from} to {to} mm, {per_cent} %"));
    }
    if !survey.standards.is_empty() {
        fact("standard pitches", standards_in_short(request, survey));
    }
    for (standard, entry) in beyond(request, survey).filter(|_| request.long) {
        let mm = lead_mm(&entry.lead).marked();
        let words = format!("{} is met by {mm} mm, {}", pitch(standard), entry.train);
        fact("just beyond", words);
    }
    facts
}

/// Pitches at an end of the span that are met by a lead beyond it, which is no row.
fn beyond<'s>(
    request: &Request,
    survey: &'s Survey,
) -> impl Iterator<Item = (&'s Standard, &'s Entry)> {
    let (from, to, within) = (request.from, request.to, request.within);
    survey.standards.iter().filter_map(move |standard| {
        let nearest = standard.nearest.as_ref()?;
        let outside =
            from.is_some_and(|from| nearest.lead < from) || to.is_some_and(|to| nearest.lead > to);
        let met = standard.state(&within).is_some_and(State::is_met);
        (outside && met).then_some((standard, nearest))
    })
}

/// Why some leads are none.
fn refused(request: &Request, survey: &Survey) -> String {
    let count = grouped(survey.refused.into());
    let parts = request.machine.lathe.parts();
    let why = match (request.fit, parts.bracket.is_some()) {
        (true, true) => "no train for them fits on the banjo",
        (true, false) => "no train for them clears the neighbouring shafts",
        (false, _) => "no train for them turns the right way",
    };
    let hand = request.hand.map_or("", |_| " and cuts this hand");
    if request.fit { format!("{count}: {why}{hand}") } else { format!("{count}: {why}") }
}

fn standards_in_short(request: &Request, survey: &Survey) -> String {
    let count = |state| survey.count(request, state, &|_| true);
    let (exact, near, missed) = (count(State::Exact), count(State::Near), count(State::Missed));
    let within = part(&request.within);
    let all = survey.standards.len();
    let words = format!(
        "{} of {all} met: {exact} exact, {near} within {within}; {missed} missed",
        exact + near
    );
    let unsure = count(State::TooClose);
    let unknown = all.saturating_sub(exact + near + missed + unsure);
    let more = [(unsure, doubt::TOO_CLOSE), (unknown, "not looked at")].into_iter();
    let more = more.filter(|(count, _)| *count > 0);
    more.fold(words, |words, (count, state)| format!("{words}, {count} {state}"))
}

fn write_standards(request: &Request, survey: &Survey, report: &mut Report) {
    if survey.standards.is_empty() {
        return;
    }
    if request.long {
        report.heading("Standard pitches by series");
        report.table(by_series(request, survey));
    }
    let of = |state| {
        let of = move |s: &&Standard| s.state(&request.within) == Some(state);
        survey.standards.iter().filter(of).collect::<Vec<_>>()
    };
    let (unsure, missed) = (of(State::TooClose), of(State::Missed));
    if !unsure.is_empty() {
        let words: Vec<String> = unsure.iter().map(|standard| pitch(standard)).collect();
        let words = format!("Too close to call, neither met nor missed: {}.", words.join(", "));
        report.note(Text::new(Role::Warning, words));
    }
    if missed.is_empty() {
        return;
    }
    if request.standard {
        report.heading("Standard pitches missed");
        report.table(missed_in_full(&request.machine.lathe, &missed));
    } else {
        let shown = if request.long { missed.len() } else { MISSED };
        let words: Vec<String> =
            missed.iter().take(shown).map(|standard| pitch(standard)).collect();
        let more = match missed.len().saturating_sub(shown) {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        report.note(
            Text::from(format!("Missed: {}{more}. ", words.join(", ")))
                .and(Role::Typed, "--standard")
                .and(Role::Plain, " says what comes nearest."),
        );
    }
}

fn by_series(request: &Request, survey: &Survey) -> Table {
    let within = part(&request.within);
    let head = |state: State| match state {
        State::Near => format!("within {within}"),
        State::TooClose => doubt::TOO_CLOSE.to_string(),
        state => state.word().to_string(),
    };
    let states = State::ALL.into_iter();
    // Hardly ever there.
    let states = states
        .filter(|state| *state != State::TooClose || survey.count(request, *state, &|_| true) > 0);
    let states: Vec<State> = states.collect();
    let columns = [Column::new("series", "series", ""), Column::new("pitches", "pitches", "")];
    let of_states = states.iter().map(|state| Column::new(state.word(), head(*state), ""));
    let mut table = Table::new(columns.into_iter().chain(of_states).collect());
    for series in Series::all() {
        let of = |thread: &solver::Thread| thread.series() == *series;
        let all = survey.standards.iter().filter(|standard| standard.threads.iter().any(of));
        let all = all.count();
        if all > 0 {
            let counts = states.iter().map(|state| survey.count(request, *state, &of).into());
            table.push([series.name().into(), all.into()].into_iter().chain(counts).collect());
        }
    }
    table
}

/// A pitch in its own unit: `1.25 mm`, `11.5 TPI`, and what has pi by its thread.
pub(super) fn pitch(standard: &Standard) -> String {
    let lead = &standard.lead;
    if lead.has_pi() {
        return standard.threads.first().map_or("", |thread| thread.designation()).to_string();
    }
    if is_inch(lead) {
        format!("{} TPI", tpi(lead).shown().text)
    } else {
        format!("{} mm", lead_mm(lead).shown().text)
    }
}

/// An inch is 127/5 mm: every inch lead has 127 above the line.
pub(super) fn is_inch(lead: &Lead) -> bool {
    !lead.has_pi() && lead.mm().numer().is_multiple_of(127)
}

fn missed_in_full(lathe: &Lathe, missed: &[&Standard]) -> Table {
    let mut table = Table::new(vec![
        Column::new("pitch", "pitch", ""),
        Column::new("threads", "threads", ""),
        Column::new("nearest_mm", "nearest", "mm"),
        Column::new("train", "train", ""),
        Column::new("error", "error", ""),
        Column::new("levers", "set", "").second(),
    ]);
    for standard in missed {
        let nearest = standard.nearest.as_ref();
        table.push(vec![
            Text::new(Role::Strong, pitch(standard)).into(),
            names(standard).into(),
            nearest.map(|entry| lead_mm(&entry.lead)).into(),
            nearest.map(|entry| entry.train.to_string()).into(),
            standard.error().map(|error| error_in_short(&error)).into(),
            nearest
                .map(|entry| levers_in_words(lathe, entry))
                .filter(|words| !words.is_empty())
                .into(),
        ]);
    }
    table.drop_empty();
    table
}

/// What a pitch is for: `M6, M7, 12 more`.
fn names(standard: &Standard) -> String {
    let mut names: Vec<String> =
        standard.threads.iter().take(NAMED).map(|t| t.designation().to_string()).collect();
    let more = standard.threads.len().saturating_sub(NAMED);
    if more > 0 {
        names.push(format!("{more} more"));
    }
    names.join(", ")
}

fn write_rows(request: &Request, survey: &Survey, rows: &[Row], report: &mut Report) {
    if rows.is_empty() {
        let nothing = match (survey.is_complete(), request.standard) {
            (false, _) => "No such lead was found, but not all was looked at.".to_string(),
            (true, true) => {
                format!("No lead is within {} of a standard thread.", part(&request.within))
            }
            (true, false) if survey.possible > survey.pairs => {
                format!("Nothing can be cut there with {}.", pairs(survey.pairs))
            }
            (true, false) => "Nothing can be cut there.".to_string(),
        };
        report.note(Text::new(Role::Warning, nothing));
        return;
    }
    report.heading(heading(request));
    let same = same_set(&request.machine.lathe, rows);
    report.table(table(request, rows, same.is_none() && request.long));
    if let Some(same) = same.filter(|words| !words.is_empty()) {
        report.note(format!("For all of these: {same}."));
    }
    let hidden = survey.listed.saturating_sub(rows.len() as u64);
    if hidden > 0 {
        report.note(
            Text::from(format!("{} more: ", grouped(hidden.into())))
                .and(Role::Typed, "--count N")
                .and(Role::Plain, ", ")
                .and(Role::Typed, "--from")
                .and(Role::Plain, ", ")
                .and(Role::Typed, "--to")
                .and(Role::Plain, "; all: ")
                .and(Role::Typed, "--format csv")
                .and(Role::Plain, "."),
        );
    }
}

fn heading(request: &Request) -> String {
    let what = match (request.travel.is_feed(), request.standard) {
        (true, _) => "Feeds",
        (false, false) => "Leads",
        (false, true) => "Leads near a standard thread",
    };
    let order = match request.sort {
        Sort::Lead => "shortest first",
        Sort::Error => "nearest to a standard thread first",
        Sort::Gears => "fewest gears first",
    };
    format!("{what}, {order}")
}

/// How levers stand, where it is the same in all rows.
fn same_set(lathe: &Lathe, rows: &[Row]) -> Option<String> {
    let mut sets = rows.iter().map(|row| set(lathe, &row.entry));
    let first = sets.next()?;
    sets.all(|words| words == first).then_some(first)
}

/// What is to be set, and a doubt about it.
fn set(lathe: &Lathe, entry: &Entry) -> String {
    let unsure = entry.is_too_close().then(|| doubt::in_short(&entry.fit).to_string());
    let words = Some(levers_in_words(lathe, entry)).filter(|words| !words.is_empty());
    words.into_iter().chain(unsure).collect::<Vec<_>>().join("; ")
}

fn table(request: &Request, rows: &[Row], with_set: bool) -> Table {
    let feed = request.travel.is_feed();
    let mut columns = if feed {
        vec![Column::new("lead_mm", "feed", "mm"), Column::new("feed_in", "feed", "in")]
    } else {
        vec![Column::new("lead_mm", "lead", "mm"), Column::new("tpi", "TPI", "")]
    };
    columns.push(Column::new("train", "train", ""));
    if request.long {
        columns.push(Column::new("gears", "gears", ""));
    }
    if !feed {
        columns.push(Column::new("below", "error against", ""));
    }
    if !feed && request.long {
        columns.push(Column::new("above", "and", ""));
    }
    columns.push(Column::new("levers", "set", "").second());
    let mut table = Table::new(columns);
    for row in rows {
        let set = with_set.then(|| set(&request.machine.lathe, &row.entry));
        table.push(cells(row, request, set));
    }
    table.drop_empty();
    table
}

/// In short only the nearer of the two threads beside a lead.
fn cells(row: &Row, request: &Request, set: Option<String>) -> Vec<Cell> {
    let (entry, feed) = (&row.entry, request.travel.is_feed());
    let lead = &entry.lead;
    let mut cells: Vec<Cell> = vec![
        lead_mm(lead).into(),
        if feed { lead_inch(lead) } else { tpi(lead) }.into(),
        Text::new(Role::Strong, entry.train.to_string()).into(),
    ];
    if request.long {
        cells.push(entry.gears().into());
    }
    let both = [row.below.as_ref(), row.above.as_ref()];
    match (feed, request.long) {
        (true, _) => {}
        (false, true) => cells.extend(both.map(|one| Cell::from(one.map(beside)))),
        (false, false) => {
            let nearer =
                both.into_iter().flatten().min_by_key(|one| one.error.size_in(1_000_000_000));
            cells.push(nearer.map(beside).into());
        }
    }
    cells.push(set.filter(|words| !words.is_empty()).into());
    cells
}

/// A thread beside a lead, with the error against it.
fn beside(beside: &Beside) -> Text {
    let role = if beside.error.is_zero() { Role::Good } else { Role::Plain };
    let thread = format!("{} ", beside.thread.designation());
    Text::from(thread).and(role, error_in_short(&beside.error))
}
