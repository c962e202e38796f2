//! Can this set-up be on the machine, and what do changes of gears then start from?
//!
//! A lathe has its fitted set-up on it unless another one was put on ([`put_on`]). That one is checked
//! as the fitted set-up is: levers and positions that exist, gears that are owned, a train that fits on
//! the bracket.

use crate::bracket::Fit;
use crate::warnings::{self, Warning};
use crate::{Error, Fitted, Lathe};

/// Why a set-up can't be on a lathe.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Refused {
    /// A lever or a position that the lathe does not have.
    Unknown(Error),
    /// Levers that never go together, something missing, or a train that does not fit; at least one.
    Against(Vec<Warning>),
}

/// The lathe with a set-up on it. One that is too close to call is on it, as whoever mounted it has seen.
///
/// ```
/// use solver::now::put_on;
/// use solver::{Fitted, Gear, GearSet, Lathe, Lead, Parts, Teeth};
/// let mut gears = GearSet::new();
/// for teeth in [20, 40, 60] {
///     gears.add(Gear::new(Teeth::new(teeth)?), 1)?;
/// }
/// let mut parts = Parts::plain(gears, Lead::from_tpi("8".parse()?)?);
/// parts.fitted = Some(Fitted::new("20-60".parse()?, Vec::new()));
/// let lathe = Lathe::new(parts)?;
/// let set_up = |train: &str| Fitted::new(train.parse().unwrap(), Vec::new());
/// let other = put_on(lathe.clone(), set_up("40-60")).unwrap();
/// assert_eq!(other.on_now(), Some(&set_up("40-60")));
/// assert_eq!(other.as_fitted(), lathe);
/// // There is no second 40.
/// assert!(put_on(lathe.clone(), set_up("40-40")).is_err());
/// // The fitted set-up is nothing else.
/// assert_eq!(put_on(lathe.clone(), set_up("20-60")).unwrap(), lathe);
/// # Ok::<(), solver::Error>(())
/// ```
///
/// # Errors
/// If it can't be on this lathe.
pub fn put_on(lathe: Lathe, set_up: Fitted) -> Result<Lathe, Refused> {
    lathe.check_controls(&set_up).map_err(Refused::Unknown)?;
    let mut against = warnings::of_set_up(&lathe, &set_up);
    against.retain(|warning| match warning {
        Warning::FittedFit(set) => matches!(set.fit, Fit::Refused(_)),
        _ => true,
    });
    if against.is_empty() { Ok(lathe.with(set_up)) } else { Err(Refused::Against(against)) }
}
