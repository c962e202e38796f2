//! Of several set-ups: in which is the next start reached most easily?

use super::SetUp;
use crate::starts::{Ease, ease, first_shaft_turns};
use crate::{Lathe, Result};
use std::ops::Deref;

/// The set-up in which the next start is reached most easily; the first of equals, `None` of none.
///
/// # Errors
/// If the starts are out of bounds, or the lathe's figures too large.
pub fn easiest<'s, S: Deref<Target = SetUp>>(
    lathe: &Lathe,
    starts: u8,
    set_ups: impl IntoIterator<Item = &'s S>,
) -> Result<Option<&'s S>> {
    let mut best: Option<(Ease, &S)> = None;
    for set_up in set_ups {
        let k = first_shaft_turns(lathe, &set_up.setting)?;
        let ease = ease(&set_up.train, k, starts)?;
        if best.is_none_or(|(least, _)| ease < least) {
            best = Some((ease, set_up));
        }
    }
    Ok(best.map(|(_, set_up)| set_up))
}
