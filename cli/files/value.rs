//! How is one value written in a lathe or gear-set file? Numbers, lengths and names as people write
//! them, read into the solver's exact types in the [`Forms`] that people give them.

use super::form::{Forms, forms};
use crate::failure::Failure;
use schemars::{JsonSchema, json_schema};
use serde::Deserialize;
use solver::{
    Degrees, Hand, Lead, Length, Offset, Place, PressureAngle, Ratio, Teeth, ToothSize, Turns,
    bounds,
};

/// The version of the file format.
#[derive(Debug, Clone, Copy)]
pub(super) struct Format;

impl Forms for Format {
    const WANTED: &'static str = "the number 1, the only format so far";

    fn number(digits: &str) -> Option<Result<Self, Failure>> {
        (digits == "1").then_some(Ok(Self))
    }
}
forms!(Format, |_| json_schema!({"const": 1}));

/// A whole number; its bounds are checked where it is used.
#[derive(Debug, Clone, Copy)]
pub(super) struct Whole(pub(super) u64);

impl Forms for Whole {
    const WANTED: &'static str = "a whole number";

    fn number(digits: &str) -> Option<Result<Self, Failure>> {
        digits.parse().ok().map(|n| Ok(Self(n)))
    }
}
forms!(Whole, |_| json_schema!({"type": "integer", "minimum": 0}));

/// A count that fits a byte once its bounds are checked.
pub(super) fn small(
    key: &str,
    given: Option<Whole>,
    default: u8,
    bounds: bounds::Bounds,
) -> Result<u8, Failure> {
    let Some(Whole(given)) = given else { return Ok(default) };
    let checked = bounds.check(given).map_err(|e| Failure::from(e).at(key))?;
    Ok(u8::try_from(checked).unwrap_or(u8::MAX))
}

/// Teeth of a gear.
#[derive(Debug, Clone, Copy)]
pub(super) struct ToothCount(pub(super) Teeth);

impl Forms for ToothCount {
    const WANTED: &'static str = "a number of teeth, such as 40";

    fn number(digits: &str) -> Option<Result<Self, Failure>> {
        let teeth = digits.parse().ok()?;
        Some(Teeth::new(teeth).map(Self).map_err(Failure::from))
    }
}
forms!(ToothCount, |_| {
    let bounds = solver::bounds::TEETH;
    json_schema!({"type": "integer", "minimum": bounds.low, "maximum": bounds.high})
});

/// A ratio: turns out for one turn in.
#[derive(Debug, Clone, Copy)]
pub(super) struct Turned(pub(super) Ratio);

impl Forms for Turned {
    const WANTED: &'static str = "a ratio such as \"1/2\" or 2";

    fn text(text: &str) -> Option<Result<Self, Failure>> {
        Some(text.parse().map(Self).map_err(|error| match text.trim_start().strip_prefix('-') {
            Some(_) => Failure::wrong(
                "a ratio is over 0",
                "leave the minus out; a sense goes into `turns`",
            ),
            None => Failure::from(error),
        }))
    }

    fn number(digits: &str) -> Option<Result<Self, Failure>> {
        Self::text(digits)
    }
}
forms!(Turned, |_| json_schema!({"anyOf": [
    {"type": "string", "examples": ["1/2", "16/23", "1"]},
    {"type": "number", "exclusiveMinimum": 0}
]}));

/// A lead or feed with its unit.
#[derive(Debug, Clone, Copy)]
pub(super) struct Travelled(pub(super) Lead);

impl Forms for Travelled {
    const WANTED: &'static str =
        "a length with its unit, such as \"3 mm\", \"1/8 in\" or \"8 tpi\"";

    fn text(text: &str) -> Option<Result<Self, Failure>> {
        Some(lead(text).and_then(Lead::checked_as_target).map(Self).map_err(Failure::from))
    }
}
forms!(Travelled, |_| json_schema!({"type": "string", "examples": ["3 mm", "1/8 in", "8 tpi"]}));

/// A length, or threads per inch: `1/8 in`, `3 mm`, `8 tpi`.
fn lead(text: &str) -> solver::Result<Lead> {
    text.parse::<Lead>().map_err(|e| match (e.hint(), text.trim()) {
        (_, number) if number.parse::<Ratio>().is_ok() => {
            e.with_hint(format!("\"{number} mm\", \"{number} in\" or \"{number} tpi\""))
        }
        (Some("mm or in"), _) => e.with_hint("mm, in or tpi"),
        _ => e,
    })
}

/// A place on the banjo, or a size that may be nothing: a length with a sign or none.
#[derive(Debug, Clone, Copy)]
pub(super) struct Mm(pub(super) Offset);

impl Forms for Mm {
    const WANTED: &'static str = "a length with its unit, such as \"34 mm\" or \"1 1/4 in\"";

    fn text(text: &str) -> Option<Result<Self, Failure>> {
        Some(text.parse().map(Self).map_err(Failure::from))
    }
}
forms!(Mm, |_| json_schema!({"type": "string", "examples": ["34 mm", "1 1/4 in", "-10 mm"]}));

/// A length over 0.
#[derive(Debug, Clone, Copy)]
pub(super) struct MmOver0(pub(super) Length);

impl Forms for MmOver0 {
    const WANTED: &'static str = Mm::WANTED;

    fn text(text: &str) -> Option<Result<Self, Failure>> {
        let offset = match Mm::text(text)? {
            Ok(Mm(offset)) => offset,
            Err(wrong) => return Some(Err(wrong)),
        };
        let over_0 = offset.size().filter(|_| !offset.is_negative());
        let wrong = || Failure::wrong(format!("{} is not over 0", text.trim()), Self::WANTED);
        Some(over_0.map(|mm| Self(Length::from_mm(mm))).ok_or_else(wrong))
    }
}
forms!(MmOver0, |_| json_schema!({"type": "string", "examples": ["80 mm", "3 1/8 in"]}));

/// An angle on the banjo.
#[derive(Debug, Clone, Copy)]
pub(super) struct Slant(pub(super) Degrees);

impl Forms for Slant {
    const WANTED: &'static str = "degrees from -360 to 360, such as 15 or -22.5";

    fn text(text: &str) -> Option<Result<Self, Failure>> {
        Some(text.parse().map(Self).map_err(Failure::from))
    }

    fn number(digits: &str) -> Option<Result<Self, Failure>> {
        Self::text(digits)
    }
}
forms!(Slant, |_| json_schema!({"anyOf": [
    {"type": "number", "minimum": -360, "maximum": 360},
    {"type": "string", "examples": ["22 1/2"]}
]}));

/// Tooth size.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pitch(pub(super) ToothSize);

impl Forms for Pitch {
    const WANTED: &'static str = "a tooth size such as \"module 1\" or \"20 DP\"";

    fn text(text: &str) -> Option<Result<Self, Failure>> {
        Some(text.parse().map(Self).map_err(Failure::from))
    }
}
forms!(Pitch, |_| json_schema!({"type": "string", "examples": ["module 1", "20 DP"]}));

/// Pressure angle in degrees.
#[derive(Debug, Clone, Copy)]
pub(super) struct Angle(pub(super) PressureAngle);

impl Forms for Angle {
    const WANTED: &'static str = "degrees, such as 20 or 14.5";

    fn text(text: &str) -> Option<Result<Self, Failure>> {
        Some(text.parse().and_then(PressureAngle::new).map(Self).map_err(Failure::from))
    }

    fn number(digits: &str) -> Option<Result<Self, Failure>> {
        Self::text(digits)
    }
}
forms!(Angle, |_| json_schema!({"anyOf": [
    {"type": "number", "minimum": 10, "maximum": 35},
    {"type": "string", "examples": ["14.5"]}
]}));

/// A name as it is marked on the machine: text, or a plain number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Mark(pub(super) String);

impl Forms for Mark {
    const WANTED: &'static str = "a name such as \"A\" or 8";

    fn text(text: &str) -> Option<Result<Self, Failure>> {
        let named = !text.trim().is_empty();
        named.then(|| Ok(Self(text.to_owned())))
    }

    fn number(digits: &str) -> Option<Result<Self, Failure>> {
        Some(Ok(Self(digits.to_owned())))
    }
}
forms!(Mark, |_| json_schema!({"anyOf": [{"type": "string", "minLength": 1}, {"type": "number"}]}));

/// The sense in which a shaft turns, against the one that drives it.
#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(super) enum Sense {
    /// The same way round.
    Same,
    /// The other way round.
    Opposite,
    /// Not known yet.
    Unknown,
}

impl From<Sense> for Turns {
    fn from(sense: Sense) -> Self {
        match sense {
            Sense::Same => Self::Same,
            Sense::Opposite => Self::Opposite,
            Sense::Unknown => Self::Unknown,
        }
    }
}

/// Hand of a screw.
#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(super) enum ScrewHand {
    /// The usual one.
    Right,
    /// The other one.
    Left,
}

impl From<ScrewHand> for Hand {
    fn from(hand: ScrewHand) -> Self {
        match hand {
            ScrewHand::Right => Self::Right,
            ScrewHand::Left => Self::Left,
        }
    }
}

/// Where a gear's bore or key lets it go.
#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(super) enum Where {
    /// On the shaft that the spindle drives.
    Driving,
    /// On a stud of the banjo.
    Stud,
    /// On the lead screw, or the gearbox shaft.
    Driven,
}

impl From<Where> for Place {
    fn from(place: Where) -> Self {
        match place {
            Where::Driving => Self::First,
            Where::Stud => Self::Stud,
            Where::Driven => Self::Last,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lead_mm(text: &str) -> String {
        match lead(text) {
            Ok(lead) => lead.mm().to_string(),
            Err(error) => Failure::from(error).to_string(),
        }
    }

    #[test]
    fn leads_in_three_units() {
        assert_eq!(lead_mm("1/8 in"), "127/40");
        assert_eq!(lead_mm("8 TPI"), "127/40");
        assert_eq!(lead_mm("11 1/2 tpi"), "254/115");
        assert_eq!(lead_mm(" 3mm "), "3");
        assert_eq!(lead_mm("8"), "a length needs its unit; \"8 mm\", \"8 in\" or \"8 tpi\"");
        assert_eq!(lead_mm("8 kg"), "`kg` is not a unit of length; mm, in or tpi");
    }

    #[test]
    fn decimals_are_exact() {
        let read = |text| serde_json::from_str::<Turned>(text).map(|t| t.0.to_string());
        assert_eq!(read("0.1").unwrap(), "1/10");
        assert_eq!(read("1.10000000000001").unwrap(), "110000000000001/100000000000000");
        assert_eq!(read("2").unwrap(), "2");
        assert!(read("1e30").is_ok() && read("1e39").is_err() && read("-2").is_err());
    }
}
