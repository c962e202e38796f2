//! Does the other hand come closer? Idlers and studs may give one hand only where the other is
//! needed.

use super::found::Solution;
use super::{Ask, Search};
use crate::{LeadError, Ratio, Result};

/// The other hand is worth a word if it is closer by this factor (common practice, no source).
const CLOSER: u128 = 10;
/// Unit of the comparison of the two errors, as a part of the lead.
const PARTS: u64 = 1_000_000_000;

impl Search<'_> {
    /// The best train of the other hand, where the chosen one is not within `near` and the other is
    /// far closer: within `near`, or with a tenth of the error at most. `None` for a feed.
    ///
    /// # Errors
    /// As [`Search::find`].
    pub fn other_hand(
        &self,
        ask: &Ask,
        chosen: Option<&Solution>,
        near: &Ratio,
    ) -> Result<Option<Solution>> {
        let Some(hand) = ask.hand else { return Ok(None) };
        if chosen.is_some_and(|chosen| chosen.error.within(near)) {
            return Ok(None);
        }
        let other = Ask { hand: Some(hand.other()), within: None, count: 1, ..ask.clone() };
        let found = self.find(&other)?;
        let Some(other) = found.solutions.into_iter().find(Solution::fits) else {
            return Ok(None);
        };
        let size = |error: &LeadError| error.size_in(PARTS);
        let much_closer = chosen
            .is_none_or(|chosen| size(&other.error).saturating_mul(CLOSER) <= size(&chosen.error));
        let served = other.hand != Some(hand);
        Ok(Some(other).filter(|other| served && (other.error.within(near) || much_closer)))
    }
}
