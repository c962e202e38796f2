//! What does one row of a chart print, and with which set-up?

use super::interval::Interval;
use crate::{Error, Lead, Length, Ratio, Result, Train, Travel, When, bounds};
use std::fmt;

/// The unit of a printed figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Unit {
    /// Millimetres: of a pitch, of a lead, of feed in one turn.
    Mm,
    /// Inches.
    Inch,
    /// Threads, or turns of feed, in one inch.
    Tpi,
    /// Module of a worm: a pitch of pi times the module in mm.
    Module,
    /// Diametral pitch of a worm: a pitch of pi inches over it.
    Dp,
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Mm => "mm",
            Self::Inch => "in",
            Self::Tpi => "tpi",
            Self::Module => "module",
            Self::Dp => "DP",
        })
    }
}

/// pi is between these two (convergents of its continued fraction; Hardy and Wright, An Introduction
/// to the Theory of Numbers, ch. X, from memory; checked against `Lead` in a test).
const PI: [(u64, u64); 2] = [(103_993, 33_102), (104_348, 33_215)];

/// A figure as a chart prints it, held exactly.
///
/// ```
/// use solver::Travel;
/// use solver::chart::{Printed, Unit};
/// let thread = Printed::new("11 1/2", Unit::Tpi, Travel::Thread)?;
/// assert_eq!(thread.lead()?.to_string(), "254/115 mm");
/// assert!(thread.half_digit().is_none()); // a thread is meant exactly
///
/// let feed = Printed::new("0.0049", Unit::Inch, Travel::LongFeed)?;
/// assert_eq!(feed.half_digit().unwrap().to_string(), "1/20000"); // a feed is a rounded figure
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Printed {
    text: String,
    value: Ratio,
    unit: Unit,
    travel: Travel,
    starts: u8,
    half: Option<Ratio>,
}

impl Printed {
    /// A figure as printed: `11 1/2`, `0.0049`, `1.25`. A thread is exact, a feed is rounded to its
    /// last digit.
    ///
    /// # Errors
    /// If it can't be read, or is no lead that a lathe cuts.
    pub fn new(text: &str, unit: Unit, travel: Travel) -> Result<Self> {
        let text = text.trim().to_owned();
        let value: Ratio = text.parse()?;
        let half = if travel.is_feed() { Some(half_of_last_digit(&text, &value)?) } else { None };
        let printed = Self { text, value, unit, travel, starts: 1, half };
        printed.lead()?.checked_as_target()?;
        Ok(printed)
    }

    /// The same figure, as the pitch of a thread of several starts.
    ///
    /// # Errors
    /// If the starts are out of bounds, or the lead is.
    pub fn with_starts(mut self, starts: u8) -> Result<Self> {
        bounds::STARTS.check(starts.into())?;
        self.starts = starts;
        self.lead()?.checked_as_target()?;
        Ok(self)
    }

    /// The same figure, rounded to its last digit or exact.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn with_rounded(mut self, rounded: bool) -> Result<Self> {
        self.half = if rounded { Some(half_of_last_digit(&self.text, &self.value)?) } else { None };
        Ok(self)
    }

    /// As it is printed.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The number.
    pub const fn value(&self) -> Ratio {
        self.value
    }

    /// Its unit.
    pub const fn unit(&self) -> Unit {
        self.unit
    }

    /// A thread, or a longitudinal feed or across.
    pub const fn travel(&self) -> Travel {
        self.travel
    }

    /// Starts; 1 if not stated.
    pub const fn starts(&self) -> u8 {
        self.starts
    }

    /// Half of the last digit, where the figure is rounded.
    pub const fn half_digit(&self) -> Option<Ratio> {
        self.half
    }

    /// The lead, or the feed in one turn, of a value in this figure's unit.
    fn lead_of(&self, value: &Ratio) -> Result<Lead> {
        let pitch = match self.unit {
            Unit::Mm => Lead::new(Length::from_mm(*value)),
            Unit::Inch => Lead::new(Length::from_inch(*value)?),
            Unit::Tpi => Lead::from_tpi(*value)?,
            Unit::Module => Lead::times_pi(Length::from_mm(*value)),
            Unit::Dp => Lead::times_pi(Length::from_inch(value.recip())?),
        };
        pitch.times(&Ratio::whole(self.starts.into())?)
    }

    /// The lead, or the feed in one turn, exactly as printed.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn lead(&self) -> Result<Lead> {
        self.lead_of(&self.value)
    }

    /// The number that this row would print for a lead; `None`: the two differ by a factor of pi.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn value_of(&self, lead: &Lead) -> Result<Option<Ratio>> {
        let one = self.lead_of(&Ratio::ONE)?;
        if one.has_pi() != lead.has_pi() {
            return Ok(None);
        }
        let value = lead.mm().over(&one.mm())?;
        Ok(Some(match self.unit {
            Unit::Tpi | Unit::Dp => value.recip(),
            _ => value,
        }))
    }

    /// The least and the greatest lead that the printed digits allow; equal where the figure is
    /// exact.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn digits(&self) -> Result<(Lead, Lead)> {
        let Some(half) = self.half else { return Ok((self.lead()?, self.lead()?)) };
        let values = Interval::give_or_take(self.value, half)?;
        let (a, b) = (self.lead_of(&values.low())?, self.lead_of(&values.high())?);
        Ok((a.min(b), a.max(b)))
    }

    /// Every possible lead of the row, in mm: within its digits, or the printed thread with the
    /// maker's approximation, a part of it, on both sides.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn allows(&self, approximation: &Ratio) -> Result<Interval> {
        let (low, high) = self.digits()?;
        let low = mm_side(&low, 0)?;
        let high = mm_side(&high, 1)?;
        let digits = Interval::new(low, high)?;
        if self.half.is_some() {
            return Ok(digits);
        }
        let (low, high) =
            (Interval::about(low, *approximation)?, Interval::about(high, *approximation)?);
        Interval::new(low.low(), high.high())
    }

    /// The lead in mm if it is exact and without pi: a constant can be read from it.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn exactly(&self) -> Result<Option<Ratio>> {
        let lead = self.lead()?;
        Ok((self.half.is_none() && !lead.has_pi()).then(|| lead.mm()))
    }
}

/// A lead in mm; one with pi by the bound of pi below (0) or above (1) it.
fn mm_side(lead: &Lead, side: usize) -> Result<Ratio> {
    match PI.get(side).filter(|_| lead.has_pi()) {
        Some((numer, denom)) => lead.mm().times(&Ratio::table(*numer, *denom)),
        None => Ok(lead.mm()),
    }
}

/// Half of one in the last printed place: 0.0049 may be 0.00485 to 0.00495.
fn half_of_last_digit(text: &str, value: &Ratio) -> Result<Ratio> {
    let plain = text.chars().all(|c| c.is_ascii_digit() || c == '.');
    let places = text.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    // A fraction is printed to its denominator.
    let denom = if plain {
        u32::try_from(places).ok().and_then(|places| 10_u128.checked_pow(places))
    } else {
        Some(value.denom())
    };
    let denom = denom.and_then(|d| d.checked_mul(2)).ok_or_else(|| Error::too_large("a number"))?;
    Ratio::new(1, denom)
}

impl fmt::Display for Printed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.unit {
            Unit::Module => write!(f, "module {}", self.text)?,
            unit => write!(f, "{} {unit}", self.text)?,
        }
        f.write_str(match self.travel {
            Travel::Thread => "",
            Travel::LongFeed => " feed",
            Travel::CrossFeed => " cross feed",
        })?;
        if self.starts > 1 { write!(f, " x {} starts", self.starts) } else { Ok(()) }
    }
}

/// The gears of a row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gears {
    /// From the driving gear to the last.
    pub train: Train,
    /// Whether one idler of free size is somewhere between, as charts print by a dash.
    pub free_idler: bool,
}

impl Gears {
    /// A train without a free idler.
    pub const fn new(train: Train) -> Self {
        Self { train, free_idler: false }
    }
}

/// One row of a chart.
///
/// ```
/// use solver::Travel;
/// use solver::chart::{Gears, Printed, ChartRow, Unit};
/// let printed = Printed::new("1.75", Unit::Mm, Travel::Thread)?;
/// let row = ChartRow::new(printed).with_gears(Gears::new("28-127+120-48".parse()?));
/// assert_eq!(row.gears.unwrap().train.ratio().to_string(), "70/127");
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct ChartRow {
    /// What is printed.
    pub printed: Printed,
    /// The gears; `None`: those on the machine, as for the plate of a gearbox.
    pub gears: Option<Gears>,
    /// Levers that the row names, each with its position.
    pub levers: When,
    /// The maker's approximation in this row, where it differs from the chart's.
    pub within: Option<Ratio>,
}

impl ChartRow {
    /// A row that names no gears and no levers.
    pub const fn new(printed: Printed) -> Self {
        Self { printed, gears: None, levers: Vec::new(), within: None }
    }

    /// The same row with these gears.
    pub fn with_gears(mut self, gears: Gears) -> Self {
        self.gears = Some(gears);
        self
    }

    /// The same row with this lever in this position.
    pub fn with_lever(mut self, lever: impl Into<String>, position: impl Into<String>) -> Self {
        self.levers.push((lever.into(), position.into()));
        self
    }

    /// The same row with an approximation of its own.
    pub const fn with_within(mut self, within: Ratio) -> Self {
        self.within = Some(within);
        self
    }

    /// The position of a lever that the row names.
    pub fn position(&self, lever: &str) -> Option<&str> {
        self.levers.iter().find(|(name, _)| name == lever).map(|(_, position)| position.as_str())
    }

    /// Turns of the last gear for one of the first; 1 where no gears are named.
    pub(super) fn ratio(&self, standing: Option<&Train>) -> Ratio {
        let train = self.gears.as_ref().map(|gears| &gears.train).or(standing);
        train.map_or(Ratio::ONE, Train::ratio)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn printed(text: &str, unit: Unit, travel: Travel) -> Printed {
        Printed::new(text, unit, travel).unwrap()
    }

    fn ratio(text: &str) -> Ratio {
        text.parse().unwrap()
    }

    #[test]
    fn pi_lies_between_its_bounds() {
        let pi = Lead::times_pi("1 mm".parse().unwrap());
        let of = |(n, d)| Lead::new(Length::from_mm(Ratio::table(n, d)));
        assert!(of(PI[0]) < pi && pi < of(PI[1]));
    }

    #[test]
    fn rounded_figures_allow_half_of_their_last_digit() {
        let feed = printed("0.10", Unit::Mm, Travel::LongFeed);
        let allowed = feed.allows(&Ratio::table(1, 500)).unwrap();
        assert_eq!((allowed.low(), allowed.high()), (ratio("0.095"), ratio("0.105")));
        let whole = printed("20", Unit::Tpi, Travel::CrossFeed).allows(&Ratio::ONE).unwrap();
        assert_eq!((whole.low(), whole.high()), (ratio("25.4/20.5"), ratio("25.4/19.5")));
        let eighth = printed("1/8", Unit::Inch, Travel::LongFeed);
        assert_eq!(eighth.half_digit(), Some(ratio("1/16")));
        let exact = feed.with_rounded(false).unwrap();
        assert_eq!(exact.exactly().unwrap(), Some(ratio("0.1")));
    }

    #[test]
    fn threads_are_meant_exactly_give_or_take_the_makers_approximation() {
        let thread = printed("2", Unit::Mm, Travel::Thread).with_starts(3).unwrap();
        let allowed = thread.allows(&Ratio::table(1, 500)).unwrap();
        assert_eq!((allowed.low(), allowed.high()), (ratio("5.988"), ratio("6.012")));
        let worm = printed("1", Unit::Module, Travel::Thread);
        assert_eq!(worm.exactly().unwrap(), None);
        assert!(worm.allows(&Ratio::table(1, 500)).unwrap().holds(&ratio("22/7")));
        assert_eq!(thread.value_of(&Lead::new("9 mm".parse().unwrap())).unwrap(), Some(ratio("3")));
        assert_eq!(worm.value_of(&Lead::new("9 mm".parse().unwrap())).unwrap(), None);
    }

    #[test]
    fn what_is_no_figure_is_refused() {
        for text in ["", "x", "0", "-1", "1,25", "1e9"] {
            assert!(Printed::new(text, Unit::Mm, Travel::Thread).is_err(), "{text}");
        }
    }
}
