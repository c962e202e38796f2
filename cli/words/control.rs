//! What a job sets beside the gears.

use solver::Lathe;
use solver::job::Note;

/// What no lathe file describes: which of the power feeds is engaged.
pub(crate) const FEED_SELECTOR: &str = "feed selector";

/// Controls that the job sets, of which the lathe file does not say how they were.
pub(crate) fn as_noted(lathe: &Lathe, note: &Note) -> Vec<String> {
    let names = note.controls.iter().map(|control| lathe.control_name(*control).to_string());
    names.chain(note.feed_selector.then(|| FEED_SELECTOR.to_string())).collect()
}
