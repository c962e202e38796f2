//! What is worth buying, for people: what the box does now, the best purchase of each number of gears
//! with what it adds, the ranking, and what it rests on.

use super::Request;
use super::answer::{Answer, Bought, LineTrain, Round, Served};
use super::grounds::{self, name, takes_longer};
use crate::asked::wanted::Wanted;
use crate::report::number::grouped;
use crate::report::{Block, Cell, Column, Report, Role, Says, Table, Text};
use crate::words::doubt;
use crate::words::figures::{error_size, plural};
use crate::words::set_up::{error_in_short, levers_in_words};
use solver::Teeth;
use solver::buy::{PAIRS, PARTS};

/// What is best, in words.
pub(super) const OBJECTIVE: &str = "the most lines within tolerance, then the least error of the \
    worst of these, then the least sum of their errors";

/// What is said where the search was ended.
pub(super) const NOT_COMPLETE: &str =
    "NOT COMPLETE: not all was searched; a better purchase may have been missed.";

/// Purchases that the short page ranks.
const BEST: usize = 3;

/// Rows of a list that a page shows, short and long; JSON has all.
const ROWS: (usize, usize) = (5, 40);

/// The page: what to buy and what it changes; with `--long` every number of gears and what the box does
/// now.
pub(super) fn write(request: &Request, answer: &Answer, report: &mut Report) {
    for line in request.machine.lines() {
        report.note(line);
    }
    report.push(Block::Title(format!("What to buy for {}", listed(request))));
    if request.wanted.is_empty() {
        write_aside(request, report);
        let nothing = Text::new(Role::Good, "Buy nothing: the whole list can be cut.");
        report.brief = vec![nothing.clone()];
        report.note(nothing);
        return;
    }
    let verdict = verdict(request, answer);
    report.brief = vec![verdict.clone()];
    report.note(verdict);
    write_aside(request, report);
    if !answer.complete() {
        report.note(Text::new(Role::Warning, NOT_COMPLETE));
    }
    if request.long {
        report.note(format!("Best is: {OBJECTIVE}."));
        write_now(request, &answer.now, report);
        for round in &answer.rounds {
            write_round(request, answer, round, report);
        }
        report.heading("What it rests on");
    } else {
        write_best(request, answer, report);
    }
    report.push(Block::List(grounds::of(request, answer).into_iter().map(Text::from).collect()));
    if !request.long {
        report.note(
            Text::from("More: ")
                .and(Role::Typed, "--long")
                .and(Role::Plain, " (the rest), ")
                .and(Role::Typed, "trainwright table")
                .and(Role::Plain, " (with your gears)"),
        );
    }
}

/// What the best purchase changes, and the next best; without one what is missed now.
fn write_best(request: &Request, answer: &Answer, report: &mut Report) {
    let round = answer.rounds.iter().rfind(|round| round.gains);
    match round.and_then(|round| Some((round, round.offers.first()?))) {
        Some((round, best)) => {
            write_gains(request, answer, best, report);
            write_still_missed(request, best, report);
            write_ranking(request, answer, round, report);
        }
        None => write_missed(request, &answer.now, report),
    }
}

/// What the box cuts by trains that are too long to be weighed against a purchase.
fn write_aside(request: &Request, report: &mut Report) {
    if request.aside.is_empty() {
        return;
    }
    let lines: Vec<String> = request.aside.iter().map(Wanted::lead).collect();
    report.note(format!(
        "Set aside: {} that your gears cut already, by trains of more than {}: {}.",
        plural(lines.len(), "line"),
        plural(PAIRS, "gear pair"),
        lines.join(", ")
    ));
}

/// `9 threads`, `1 feed`, `35 threads and 4 feeds`.
fn listed(request: &Request) -> String {
    let all = || request.wanted.iter().chain(&request.aside);
    let feeds = all().filter(|wanted| wanted.is_feed()).count();
    let threads = all().count().saturating_sub(feeds);
    let said = |(count, thing): &(usize, &str)| (*count > 0).then(|| plural(*count, thing));
    let both = [(threads, "thread"), (feeds, "feed")];
    both.iter().filter_map(said).collect::<Vec<_>>().join(" and ")
}

/// What `-v` says.
pub(super) fn details(answer: &Answer) -> Vec<String> {
    let of = |round: &Round| {
        let all = if round.complete { "none better can have been missed" } else { "not all" };
        format!("{}: {} compared, {all}", name(round.gears), grouped(round.compared as u128))
    };
    answer.rounds.iter().map(of).collect()
}

/// The answer in a sentence or two.
fn verdict(request: &Request, answer: &Answer) -> Text {
    let now = &answer.now;
    match answer.best() {
        Some(best) => advised(request, answer, best),
        None if !answer.complete() => {
            Text::new(Role::Warning, "No purchase that gains anything was found so far.")
        }
        None if now.missed().is_empty() => {
            let most = most(request);
            let (reached, pairs) = (reached(request, now), up_to_pairs(request));
            let words = format!("Buy nothing: {reached}; {most} would come no closer{pairs}.");
            Text::new(Role::Good, words)
        }
        None => {
            let most = most(request);
            // What is too close to call is no gain, and is not denied.
            let bracket = request.machine.lathe.parts().bracket.is_some();
            let sure = if bracket { " that is sure to fit" } else { "" };
            let words = format!(
                "Nothing is gained by {most}{}: not a line more{sure}, and none closer.",
                up_to_pairs(request)
            );
            Text::new(Role::Warning, words)
        }
    }
}

/// What purchases are weighed with, where the lathe takes longer trains.
fn up_to_pairs(request: &Request) -> String {
    if takes_longer(request) {
        format!(" with trains of up to {}", plural(PAIRS, "gear pair"))
    } else {
        String::new()
    }
}

/// What was left out, for programs: a sentence each.
pub(super) fn left_out(answer: &Answer) -> Vec<String> {
    let cut = match (answer.rounds.iter().any(|round| round.cut), answer.ended) {
        (false, _) => None,
        (true, true) => Some("Ctrl-C ended the work: not all purchases were searched"),
        (true, false) => Some("a search was cut short, or had no room for the longest trains"),
    };
    let unknown = doubt::unknown(answer.unknown);
    cut.map(str::to_owned).into_iter().chain(unknown).collect()
}

/// The best purchase, and what fewer gears would do.
fn advised(request: &Request, answer: &Answer, best: &Bought) -> Text {
    let text = Text::from("Buy ").and(Role::Good, names(request, &best.gears)).and(
        Role::Plain,
        format!(": {}; {} now.", reached(request, &best.served), counted(&answer.now)),
    );
    let fewer = answer.rounds.iter().find(|round| round.gains && round.gears < best.gears.len());
    let Some(fewer) = fewer.and_then(|round| round.offers.first()) else { return text };
    let alone = names(request, &fewer.gears);
    text.and(Role::Plain, format!(" {alone} alone: {}.", counted(&fewer.served)))
}

/// `one gear`, `up to two gears`, of which sizes.
fn most(request: &Request) -> String {
    let gears = name(request.up_to).to_lowercase();
    let up_to = if request.up_to > 1 { "up to " } else { "" };
    format!("{up_to}{gears} from {} to {} teeth", request.from, request.to)
}

/// `21 of 26 lines`.
fn counted(served: &Served) -> String {
    format!("{} of {}", served.score.reached, plural(served.lines.len(), "line"))
}

/// `21 of 26 lines within tolerance, the worst M6 x 1 by -83.0 ppm`.
fn reached(request: &Request, served: &Served) -> String {
    let unsure = match served.unsure().count() {
        0 => String::new(),
        n => format!(", {n} {}", doubt::TOO_CLOSE),
    };
    let counted = counted(served);
    let within = served.lines.iter().zip(&request.wanted);
    let within = within.filter_map(|(line, wanted)| Some((line.as_ref()?, wanted)));
    let worst = within
        .filter(|(line, _)| line.reached)
        .max_by(|a, b| a.0.entry.error.compare_size(&b.0.entry.error));
    match worst {
        None => format!("{counted} within tolerance{unsure}"),
        Some((line, _)) if line.entry.error.is_zero() => {
            format!("{counted} within tolerance, all of them exact{unsure}")
        }
        Some((line, wanted)) => {
            let error = error_in_short(&line.entry.error);
            format!("{counted} within tolerance, the worst {} by {error}{unsure}", wanted.lead())
        }
    }
}

/// Gears in words; one of an owned size says which one it is: `46`, `a second 40`.
pub(super) fn names(request: &Request, gears: &[Teeth]) -> String {
    let owned = &request.machine.lathe.parts().gears;
    let name = |(at, teeth): (usize, &Teeth)| {
        let before = gears.iter().take(at).filter(|g| *g == teeth).count();
        match owned.loose_of(*teeth).saturating_add(before) {
            0 => teeth.to_string(),
            1 => format!("a second {teeth}"),
            2 => format!("a third {teeth}"),
            _ => format!("one more {teeth}"),
        }
    };
    gears.iter().enumerate().map(name).collect::<Vec<_>>().join(" and ")
}

fn write_now(request: &Request, now: &Served, report: &mut Report) {
    report.heading("What the box does now");
    report.note(format!("{}.", reached(request, now)));
    write_missed(request, now, report);
}

/// Lines that are missed, each with the nearest train.
fn write_missed(request: &Request, served: &Served, report: &mut Report) {
    let missed = served.missed();
    if missed.is_empty() {
        return;
    }
    report.note(match served.unsure().next() {
        Some(_) => "Missed or too close to call, with the nearest:",
        None => "Missed, with the nearest:",
    });
    report.table(lines_table(request, &missed, &[("off by", served)], served));
    write_more(request, missed.len(), report);
    for (at, entry) in served.unsure().take(rows(request)) {
        let words = doubt::in_full(&request.machine.lathe, &entry.fit);
        let lead = request.wanted.get(at).map(Wanted::lead).unwrap_or_default();
        let words = format!("{lead} by {}: {}", entry.train, words.unwrap_or_default());
        report.note(Text::new(Role::Warning, words));
    }
}

/// Rows of a list that the page shows.
const fn rows(request: &Request) -> usize {
    if request.long { ROWS.1 } else { ROWS.0 }
}

fn write_more(request: &Request, lines: usize, report: &mut Report) {
    let shown = rows(request);
    if lines > shown {
        let all = if request.long { "--format json has all" } else { "--long" };
        report.note(format!("{} more lines: {all}.", lines - shown));
    }
}

/// Rows of a list of lines: the line, its errors, and the train that cuts it. Columns with nothing to
/// say are left out.
fn lines_table(
    request: &Request,
    lines: &[usize],
    errors: &[(&'static str, &Served)],
    cut: &Served,
) -> Table {
    let shown = || lines.iter().take(rows(request));
    let entry = |at: &usize| cut.line(*at).map(|line| &line.entry);
    let levers = |at: &usize| {
        let words = entry(at).map(|entry| levers_in_words(&request.machine.lathe, entry));
        words.filter(|words| !words.is_empty())
    };
    let names = |at: &usize| request.wanted.get(*at).and_then(names_of);
    let mut table = Table::default();
    let mut add = |column: Column, cells: Vec<Cell>| {
        if cells.iter().any(|cell| *cell != Cell::Empty) {
            table.columns.push(column);
            table.rows.resize(cells.len(), Vec::new());
            table.rows.iter_mut().zip(cells).for_each(|(row, cell)| row.push(cell));
        }
    };
    let lead = |at: &usize| request.wanted.get(*at).map(Wanted::lead).into();
    add(Column::new("line", "line", ""), shown().map(lead).collect());
    for (name, served) in errors {
        let error = |at: &usize| served.line(*at).map_or_else(|| "none found".into(), error_cell);
        add(Column::new(*name, *name, ""), shown().map(error).collect());
    }
    let train =
        |at: &usize| entry(at).map(|entry| Text::new(Role::Strong, entry.train.to_string())).into();
    add(Column::new("train", "train", ""), shown().map(train).collect());
    let second = |key: &'static str, name| Column::new(key, name, "").second();
    add(second("levers", "levers"), shown().map(|at| levers(at).into()).collect());
    add(second("names", "for"), shown().map(|at| names(at).into()).collect());
    table
}

/// Threads that a line cuts; of many the first.
fn names_of(wanted: &Wanted) -> Option<String> {
    match wanted.names.as_slice() {
        [] => None,
        [first, second, _, rest @ ..] if !rest.is_empty() => {
            Some(format!("{first}, {second} and {} more", rest.len() + 1))
        }
        all => Some(all.join(", ")),
    }
}

/// By how much a line is off, or that this is not the question.
fn off(line: &LineTrain) -> String {
    if line.entry.is_too_close() {
        return doubt::in_short(&line.entry.fit).to_string();
    }
    error_in_short(&line.entry.error)
}

fn error_cell(line: &LineTrain) -> Cell {
    let role = if line.reached { Role::Good } else { Role::Warning };
    Text::new(role, off(line)).into()
}

fn write_round(request: &Request, answer: &Answer, round: &Round, report: &mut Report) {
    report.heading(name(round.gears));
    let Some(best) = round.offers.first() else {
        report.note(match (round.complete, round.compared) {
            (true, _) => "Gains nothing.",
            (false, 0) => "Not looked at: the search was ended before.",
            (false, _) => "Nothing was found that gains anything, but not all was searched.",
        });
        return;
    };
    if round.gains {
        // Of one round the verdict says it.
        if request.up_to > 1 {
            let words = format!(": {}.", reached(request, &best.served));
            let buy = Text::from("Buy ").and(Role::Strong, names(request, &best.gears));
            report.note(buy.and(Role::Plain, words));
        }
        write_gains(request, answer, best, report);
        write_still_missed(request, best, report);
    } else {
        report.note(if round.complete {
            "No better than fewer gears."
        } else {
            "Nothing better than fewer gears was found, but not all was searched."
        });
        return;
    }
    write_ranking(request, answer, round, report);
}

/// What the best purchase changes, line by line: first what was missed.
/// Heads the lines that were near enough before.
const CLOSER: &str = "Comes closer:";

fn write_gains(request: &Request, answer: &Answer, best: &Bought, report: &mut Report) {
    let (gained, closer) = (best.gained(&answer.now), best.closer(&answer.now));
    let kinds = [("Reached with it, missed before:", gained), (CLOSER, closer)];
    for (said, lines) in kinds {
        // In short these are only counted, above the best.
        let counted = said == CLOSER && !request.long;
        if lines.is_empty() || counted {
            continue;
        }
        report.note(said);
        let errors = [("now", &answer.now), ("then", &best.served)];
        report.table(lines_table(request, &lines, &errors, &best.served));
        write_more(request, lines.len(), report);
    }
}

fn write_still_missed(request: &Request, best: &Bought, report: &mut Report) {
    let missed = best.served.missed();
    let line = |at: &usize| {
        let nearest = best.served.line(*at).map(off);
        let lead = request.wanted.get(*at).map(Wanted::lead).unwrap_or_default();
        format!("{lead} ({})", nearest.unwrap_or_else(|| "none found".to_owned()))
    };
    let shown: Vec<String> = missed.iter().take(rows(request)).map(line).collect();
    if !shown.is_empty() {
        report.note(format!("Still missed: {}.", shown.join(", ")));
        write_more(request, missed.len(), report);
    }
}

fn write_ranking(request: &Request, answer: &Answer, round: &Round, report: &mut Report) {
    let best = match round.offers.len() {
        _ if !round.complete => "The best that were found:".to_owned(),
        // As many as were asked for: there may be more.
        1 if request.count > 1 => "The only one that gains anything:".to_owned(),
        1 => "The best:".to_owned(),
        n if request.long => format!("The {n} best:"),
        n => format!("The {} best:", n.min(BEST)),
    };
    let closer = round.offers.first().map_or(0, |best| best.closer(&answer.now).len());
    report.note(match closer {
        1 if !request.long => format!("1 line comes closer (--long). {best}"),
        2.. if !request.long => format!("{closer} lines come closer (--long). {best}"),
        _ => best,
    });
    let several = request.long && round.gears > 1;
    let error = |size| error_size(size, PARTS).unmarked().into();
    let columns: [(Column, Says<'_, (usize, &Bought)>); 7] = [
        (Column::new("rank", "", ""), &|(at, _)| (at + 1).into()),
        (Column::named("buy", ""), &|(_, bought)| {
            Text::new(Role::Strong, names(request, &bought.gears)).into()
        }),
        (Column::named("reached", "lines"), &|(_, bought)| bought.served.score.reached.into()),
        (Column::new("worst_ppm", "worst", "ppm"), &|(_, bought)| error(bought.served.score.worst)),
        (Column::new("sum_ppm", "sum", "ppm"), &|(_, bought)| error(bought.served.score.sum)),
        (Column::named("gained", "lines"), &|(_, bought)| bought.gained(&answer.now).len().into()),
        (Column::new("adds", "missed without", ""), &|(_, bought)| {
            several.then(|| adds(bought)).into()
        }),
    ];
    let shown = if request.long { round.offers.len() } else { BEST };
    let mut table = Table::of(round.offers.iter().enumerate().take(shown), columns);
    table.drop_empty();
    report.table(table);
    let first = round.offers.first().map(|best| best.served.score);
    let as_good = round.offers.iter().filter(|bought| Some(bought.served.score) == first);
    if as_good.count() > 1 {
        report.note("Same figures: equally good, the smaller gears first.");
    }
    if several {
        report.note(
            "Missed without: how many lines would be missed if that gear alone were left out.",
        );
    }
}

/// `46: 2, 63: 1`.
pub(super) fn adds(bought: &Bought) -> String {
    let each =
        bought.gears.iter().zip(&bought.adds).map(|(gear, lines)| format!("{gear}: {lines}"));
    each.collect::<Vec<_>>().join(", ")
}
