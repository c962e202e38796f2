//! How smooth is a turned face? The ridges of a round nose between two turns.
//!
//! Height f² / (8 r): the arc's sagitta for small feeds (any text on turning; from memory). Below a
//! feed of r it is at most 7 % too low. Real faces are rougher by chatter, a built-up edge or a worn
//! nose.

use super::Measure;
use crate::{Error, Length, Ratio, Result};

/// Height of the ridges of a feed, exact.
///
/// ```
/// use solver::cutting::finish;
/// // 0.2 mm a turn with a nose of 0.8 mm: 6.25 micrometres.
/// assert_eq!(finish("0.2 mm".parse()?, "0.8 mm".parse()?)?, "0.00625 mm".parse()?);
/// # Ok::<(), solver::Error>(())
/// ```
///
/// # Errors
/// If the feed is coarser than the nose's radius: the formula no longer holds.
pub fn finish(feed: Length, nose: Length) -> Result<Length> {
    if feed > nose {
        return Err(Error::conflict(format!(
            "a feed of {feed} is too coarse for a nose of {nose}"
        ))
        .with_hint("a feed below the radius of the nose"));
    }
    let squared = feed.mm().times(&feed.mm())?;
    Ok(Length::from_mm(squared.over(&nose.mm().times(&Ratio::table(8, 1))?)?))
}

/// The feed with ridges of this height: sqrt(8 r h).
///
/// ```
/// use solver::cutting::feed_for;
/// let feed = feed_for("0.00625 mm".parse()?, "0.8 mm".parse()?)?;
/// assert_eq!(format!("{:.6}", feed.mm()), "0.200000");
/// # Ok::<(), solver::Error>(())
/// ```
///
/// # Errors
/// If ridges of that height need a feed coarser than the nose's radius.
pub fn feed_for(height: Length, nose: Length) -> Result<Measure> {
    let (high, radius) = (height.mm().to_f64(), nose.mm().to_f64());
    // sqrt(8 r h) > r, without a root: 8 h > r.
    if 8.0 * high > radius {
        return Err(Error::conflict(format!("ridges of {height} need no nose of {nose}"))
            .with_hint("ridges below an eighth of the radius"));
    }
    Ok(Measure::rounded((8.0 * radius * high).sqrt()))
}

/// Ra of those ridges: f² / (18 sqrt(3) r), the mean height of arcs taken as parabolas about their mean
/// line. The usual f² / (32 r) is 2.6 % lower.
///
/// ```
/// use solver::cutting::roughness;
/// let ra = roughness("0.2 mm".parse()?, "0.4 mm".parse()?)?;
/// assert_eq!(format!("{:.3}", 1000.0 * ra.mm()), "3.208"); // micrometres
/// # Ok::<(), solver::Error>(())
/// ```
///
/// # Errors
/// As [`finish`].
pub fn roughness(feed: Length, nose: Length) -> Result<Measure> {
    let ridges = finish(feed, nose)?;
    Ok(Measure::rounded(ridges.mm().to_f64() * 8.0 / (18.0 * 3.0_f64.sqrt())))
}

/// The feed with this Ra: sqrt(18 sqrt(3) r Ra). By theory only: real faces are rougher.
///
/// ```
/// use solver::cutting::feed_for_roughness;
/// let feed = feed_for_roughness("0.0016 mm".parse()?, "0.4 mm".parse()?)?;
/// assert_eq!(format!("{:.4}", feed.mm()), "0.1413");
/// # Ok::<(), solver::Error>(())
/// ```
///
/// # Errors
/// If that is coarser than the nose's radius: the formula no longer holds.
pub fn feed_for_roughness(ra: Length, nose: Length) -> Result<Measure> {
    let (ra_mm, radius) = (ra.mm().to_f64(), nose.mm().to_f64());
    let feed = (18.0 * 3.0_f64.sqrt() * radius * ra_mm).sqrt();
    if feed > radius {
        return Err(Error::conflict(format!("a nose of {nose} is too small for this roughness"))
            .with_hint("a finer roughness, or a larger nose: the feed stays below its radius"));
    }
    Ok(Measure::rounded(feed))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn mm(text: &str) -> Length {
        text.parse().unwrap()
    }

    #[test]
    fn past_the_radius_of_the_nose_the_formula_is_refused() {
        assert!(finish(mm("0.4 mm"), mm("0.4 mm")).is_ok());
        assert!(finish(mm("0.41 mm"), mm("0.4 mm")).unwrap_err().is_conflict());
        assert!(feed_for(mm("0.05 mm"), mm("0.4 mm")).is_ok());
        assert!(feed_for(mm("0.051 mm"), mm("0.4 mm")).unwrap_err().is_conflict());
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        /// Two circles, one feed apart, cross at r - sqrt(r² - f²/4): never below the formula.
        #[test]
        fn ridges_are_where_two_arcs_cross(feed in 1_u64..=400, more in 0_u64..2000) {
            let of = |thousandths| Length::from_mm(Ratio::table(thousandths, 1000));
            let (f, r) = (of(feed), of(feed + more));
            let height = finish(f, r).unwrap().mm().to_f64();
            let (half, radius) = (f.mm().to_f64() / 2.0, r.mm().to_f64());
            let true_height = radius - (radius * radius - half * half).sqrt();
            prop_assert!(height <= true_height + 1e-12 && height > 0.93 * true_height);
            if let Ok(back) = feed_for(finish(f, r).unwrap(), r) {
                prop_assert!((back.mm() - f.mm().to_f64()).abs() < 1e-9);
            }
        }
    }
}
