//! Which pitch diameter gives a reading over wires, on a thread that is not yet finished?
//!
//! The reading grows with the pitch diameter, so it is found by halving on the exact contact of the
//! parent module, to a millionth of a micrometre. A groove that is half cut is nowhere half a pitch wide:
//! its pitch line then lies outside of the blank, and the flanks are still those of that pitch diameter.

use super::{STEEPEST, Wires, halved};
use crate::cutting::Measure;
use crate::{Error, Result};

/// Parts of a pitch that a contact may be past an edge: rounding.
const SLACK: f64 = 1e-9;

impl Wires {
    /// The pitch diameter with this reading over wires, whether or not the wires sit well: see
    /// [`Wires::sit`]. `None`: no thread of this pitch and form reads so.
    ///
    /// ```
    /// use solver::Length;
    /// use solver::cutting::{Cut, Measure};
    /// let wires = Cut::of(&"M10".parse()?)?.wires()?;
    /// let [wire, over] = ["0.9 mm", "10.352 mm"].map(|text| text.parse::<Length>().map(Measure::from));
    /// let (wire, over) = (wire?, over?);
    /// let pitch = wires.pitch_diameter(&wire, &over).unwrap();
    /// // 10.352 - 3 x 0.9 + 0.866 x 1.5 = 8.951, less 0.002 for the lead angle.
    /// assert_eq!(format!("{:.3}", pitch.mm()), "8.949");
    /// assert!((wires.over(&wire, &pitch)?.over.mm() - 10.352).abs() < 1e-9);
    /// # Ok::<(), solver::Error>(())
    /// ```
    pub fn pitch_diameter(&self, wire: &Measure, over: &Measure) -> Option<Measure> {
        let reading = |pitch: f64| Some(2.0 * self.rest(wire.mm() / 2.0, pitch / 2.0)? + wire.mm());
        // A lead lifts the wires, so without it the pitch diameter comes out too large.
        let high = over.mm() - self.constant(wire) + SLACK * self.pitch;
        let low = high / 4.0;
        let is_above = |pitch: f64| reading(pitch).is_some_and(|of| of >= over.mm());
        let is_between =
            high > 0.0 && is_above(high) && reading(low).is_none_or(|of| of <= over.mm());
        if !is_between {
            return None;
        }
        Some(Measure::rounded(halved(low, high, is_above).1))
    }

    /// Whether wires sit on the flanks of a thread of this pitch diameter, on a blank of this size.
    ///
    /// # Errors
    /// If they rest on the edges of the crests, sink below the crests or reach the root, or if the thread
    /// is too steep.
    pub fn sit(&self, wire: &Measure, pitch_diameter: &Measure, across: &Measure) -> Result<()> {
        let (ball, radius) = (wire.mm() / 2.0, pitch_diameter.mm() / 2.0);
        let (crest, slack) = (across.mm() / 2.0, SLACK * self.pitch);
        if self.slope(radius) > STEEPEST {
            return Err(Error::conflict("a lead angle over 40 degrees is too steep for wires")
                .with_hint("measure over balls, or against the mate"));
        }
        let said = |what: &str, hint: &str| {
            Err(Error::conflict(format!("wires of {:.3} mm {what}", wire.mm())).with_hint(hint))
        };
        let contact = self.contact(ball, radius).zip(self.rest(ball, radius));
        match contact {
            Some((contact, _)) if contact > crest + slack => said(
                "rest on the edges of the crests: the groove is not deep enough for them yet",
                "thinner wires, or measure after more passes",
            ),
            Some((_, centre)) if centre + ball < crest - slack => {
                said("sink below the crests: the micrometer touches the crests", "thicker wires")
            }
            Some((contact, _)) if contact < radius - self.below - slack => {
                said("touch the root, not the flanks", "thicker wires")
            }
            Some(_) => Ok(()),
            None => said("have no place in the groove", "thinner wires"),
        }
    }
}
