//! How far is the tailstock set over for a taper, and what does that do to the lead?

use super::work::{Refused, Stated, Work};
use crate::cutting::{Cut, Measure, Tapered};
use crate::{Error, Length};

/// Tapered work between centres, without a taper attachment.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct SetOver {
    /// Length of the work between its centres.
    pub between: Length,
    /// How far the tailstock goes aside.
    pub aside: Measure,
    /// Length of the thread; `None`: unknown.
    pub thread: Option<Measure>,
    /// How much the thread is short over its length, in mm: its lead along the axis is finer.
    pub short_mm: Option<f64>,
}

impl SetOver {
    /// `None`: no length between centres is stated.
    pub(super) fn of(
        cut: Option<&Cut>,
        taper: Option<&Tapered>,
        work: &Work,
    ) -> Result<Option<Self>, Refused> {
        let cone = cut.and_then(Cut::cone);
        let Some((between, cone)) = work.centres.zip(cone) else { return Ok(None) };
        let thread = taper.map(|of| match of.american {
            Some(american) => american.whole,
            None => of.gauge_length.into(),
        });
        if let Some(thread) = thread.filter(|thread| thread.mm() > between.mm().to_f64()) {
            let short = format!("{between} between centres is shorter than the thread of {thread}");
            let error = Error::conflict(short).with_hint("the whole length of the work");
            return Err(Refused::Stated(Stated::Centres, error));
        }
        Ok(Some(Self {
            between,
            aside: cone.set_over(&between),
            short_mm: thread.map(|thread| -cone.set_over_ppm() / 1e6 * thread.mm()),
            thread,
        }))
    }
}
