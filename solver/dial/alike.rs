//! Which dial gears close at the same lines?

use super::{DialReading, HalfNut};

impl HalfNut {
    /// Teeth of the dial gears for which the same advice holds as for a reading, each once: those of
    /// its own dial, and where any line is right, all of which that is true.
    pub fn gears_alike(&self, reading: &DialReading) -> Vec<u16> {
        let any_line =
            |reading: &DialReading| reading.classes().len() == 1 && reading.blind().is_empty();
        let alike = |other: &&DialReading| {
            other.dial() == reading.dial() || any_line(reading) && any_line(other)
        };
        let mut teeth = Vec::new();
        for one in self.usable_dials().into_iter().filter(alike).map(DialReading::teeth) {
            if !teeth.contains(&one) {
                teeth.push(one);
            }
        }
        teeth
    }
}
