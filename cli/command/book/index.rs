//! How a thread is looked up: by its name, and by its pitch.

use super::found::{Found, Thread};
use crate::asked::wanted::Wanted;
use crate::command::table;
use crate::report::book::{Entry, Group, Index};
use crate::words::set_up::error_in_short;
use solver::{Hand, Series};

/// Names beside a pitch.
const NAMES: usize = 4;

/// Both indexes, without the kinds that do not occur.
pub(super) fn of(wanted: &[Wanted], found: &Found) -> Vec<Index> {
    let threads = || found.threads.iter().enumerate();
    let mut named: Vec<(usize, &Thread)> =
        threads().filter(|(_, thread)| thread.target.thread().is_some()).collect();
    named.sort_by_key(|(_, thread)| place(thread));
    let named = named.into_iter().filter_map(|(row, thread)| {
        let line = wanted.get(thread.line)?;
        Some((thread.kind, entry(row, thread, thread.name.clone(), line.lead())))
    });
    let mut pitches: Vec<(usize, &Thread)> = threads().collect();
    pitches.dedup_by_key(|(_, thread)| thread.line);
    let pitches = pitches.into_iter().filter_map(|(row, thread)| {
        let line = wanted.get(thread.line)?;
        let also = names(line);
        Some((table::Group::of(line).name(), entry(row, thread, line.lead(), also)))
    });
    let indexes = [index("By name", named), index("By pitch", pitches)];
    indexes.into_iter().filter(|index| !index.groups.is_empty()).collect()
}

fn index(name: &'static str, entries: impl Iterator<Item = (&'static str, Entry)>) -> Index {
    let mut groups: Vec<Group> = Vec::new();
    for (kind, entry) in entries {
        match groups.iter_mut().find(|group| group.name == kind) {
            Some(group) => group.entries.push(entry),
            None => groups.push(Group { name: kind, entries: vec![entry] }),
        }
    }
    Index { name, groups }
}

fn entry(row: usize, thread: &Thread, name: String, also: String) -> Entry {
    // A pitch that was asked for by itself has no other name.
    let also = if also == name { String::new() } else { also };
    let train = thread.entry.train.to_string();
    Entry { name, also, train, error: error_in_short(&thread.entry.error), row }
}

/// The threads of a pitch: `M10, M12x1.5 +3`.
fn names(line: &Wanted) -> String {
    let shown: Vec<&str> = line.names.iter().take(NAMES).map(String::as_str).collect();
    let more = line.names.len() - shown.len();
    let more = if more > 0 { format!(" +{more}") } else { String::new() };
    format!("{}{more}", shown.join(", "))
}

/// By series, then by size, coarse before fine.
fn place(thread: &Thread) -> impl Ord + use<> {
    let of = thread.target.thread();
    let series = of.and_then(|of| Series::all().iter().position(|s| *s == of.series()));
    let pitch = std::cmp::Reverse(thread.target.pitch());
    let left = thread.target.hand() == Some(Hand::Left);
    (series, of.and_then(|of| of.diameter()), pitch, thread.target.starts(), left)
}
