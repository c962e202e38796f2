//! What is the best arrangement of one lead? Kept while selections are walked, best first.

use super::path::Path;
use super::rank::{Fitted, Head, Key};
use super::stock::{NO_MESH, Stock};
use super::walk::Visit;
use crate::bracket::Verdict;
use std::ops::ControlFlow;

/// An arrangement with its place in the order.
pub(super) type Ranked = (Key, Path);

/// Keeps the best arrangement that fits, and the best of those too close to call.
#[expect(clippy::struct_excessive_bools, reason = "five facts that vary by themselves")]
pub(super) struct Best<'a> {
    pub(super) stock: &'a Stock,
    pub(super) fitted: &'a Fitted,
    /// Whether the bracket is asked; if not, everything fits.
    judged: bool,
    pub(super) stands: Option<Ranked>,
    pub(super) close: Option<Ranked>,
    /// Arrangements judged, each by its work.
    pub(super) tests: u64,
    /// Whether one arrangement was not settled.
    pub(super) cut_short: bool,
    /// Of the selection being walked; `None`: not known.
    least: Option<Head>,
    /// Whether only the least step is tried: the first arrangement found is then often the best, and
    /// the walk over all others is saved.
    tight: bool,
    /// Whether of equal heads in this selection the first visited is the best,
    ordered: bool,
    /// and it has been found.
    settled: bool,
}

impl<'a> Best<'a> {
    pub(super) const fn new(stock: &'a Stock, fitted: &'a Fitted) -> Self {
        Self {
            stock,
            fitted,
            judged: true,
            stands: None,
            close: None,
            tests: 0,
            cut_short: false,
            least: None,
            tight: false,
            ordered: false,
            settled: false,
        }
    }

    /// The same, whether it fits or not.
    pub(super) const fn unjudged(stock: &'a Stock, fitted: &'a Fitted) -> Self {
        Self { judged: false, ..Self::new(stock, fitted) }
    }

    /// Begins a selection, none of whose arrangements ranks before `least`: whether to walk it.
    #[inline]
    pub(super) fn begins(&mut self, least: Head) -> bool {
        if self.stands.is_some_and(|(best, _)| least > best.head) {
            return false;
        }
        self.least = Some(least);
        self.tight = self.stands.is_none();
        self.settled = false;
        true
    }

    /// Whether this selection is as `Selection::is_ordered` says.
    pub(super) const fn ordered(&mut self, ordered: bool) {
        self.ordered = ordered;
    }

    /// Ends a walk: whether it must be walked once more, for larger steps.
    pub(super) fn again(&mut self) -> bool {
        let best = self.stands.map(|(key, _)| key.head.before_step());
        let more = !self.settled
            && self.tight
            && best.is_none_or(|b| self.least.is_some_and(|least| least.before_step() < b));
        self.tight = false;
        more
    }
}

impl Visit for Best<'_> {
    fn prunes(&self) -> bool {
        self.judged
    }

    /// Once the best is as good as this selection allows up to the largest step, only smaller or
    /// equal steps can beat it.
    fn most_step(&self) -> u32 {
        match (self.stands, self.least) {
            // No two meshing gears have a step below 1: nothing is visited any more.
            _ if self.settled => 0,
            (_, Some(least)) if self.tight => least.step(),
            (Some((best, _)), Some(least)) if least.before_step() >= best.head.before_step() => {
                best.head.step()
            }
            _ => NO_MESH - 1,
        }
    }

    fn visit(&mut self, setting: u32, path: &Path) -> ControlFlow<()> {
        let head = Head::of(path, self.stock, self.fitted);
        if self.stands.is_some_and(|(key, _)| head > key.head) {
            return ControlFlow::Continue(());
        }
        let key = Key::of(head, path, setting, self.stock);
        if self.stands.is_none_or(|(best, _)| key < best) {
            self.tests += if self.judged { path.cost(self.stock) } else { 0 };
            let verdict = if self.judged { path.verdict(self.stock) } else { Verdict::Fits };
            self.cut_short |= verdict == Verdict::CutShort;
            match verdict {
                Verdict::Fits => {
                    self.stands = Some((key, *path));
                    self.settled = self.ordered && self.least == Some(head);
                }
                Verdict::Close | Verdict::CutShort
                    if self.close.is_none_or(|(best, _)| key < best) =>
                {
                    self.close = Some((key, *path));
                }
                Verdict::Close | Verdict::CutShort | Verdict::No => {}
            }
        }
        ControlFlow::Continue(())
    }
}
