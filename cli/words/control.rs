//! What a job sets beside the gears.

use solver::Lathe;
use solver::job::Note;

/// Controls that the job sets, of which the lathe file does not say how they were.
pub(crate) fn as_noted(lathe: &Lathe, note: &Note) -> Vec<String> {
    let names = note.controls.iter().map(|control| lathe.control_name(*control).to_string());
    names.chain(note.feed_selector.then(|| "feed selector".to_string())).collect()
}
