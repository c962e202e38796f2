//! Which finish does a feed leave, and which is the finest feed of the gears?

use super::work::Work;
use crate::cutting::{self, Measure};
use crate::search::{Ask, Options, Search, Solution};
use crate::{Lathe, Lead, Length, Ratio, Result, Setting, Train, Travel, bounds};

/// Usual nose radii (common practice, no source).
const NOSES: [Length; 3] = [
    Length::from_mm(Ratio::table(2, 10)),
    Length::from_mm(Ratio::table(4, 10)),
    Length::from_mm(Ratio::table(8, 10)),
];

/// A feed of a millionth of a mm: below any train.
const FINER_THAN_ALL: u64 = 1 << 20;
const _: () = assert!(FINER_THAN_ALL < 1 << bounds::TARGET_BITS);

/// Finish of a feed.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Feed {
    /// The height of the ridges for each nose.
    pub finish: Vec<Finish>,
    /// The roughness that is wanted; `None`: a feed was asked for.
    pub wanted: Option<Smooth>,
    /// The finest feed that fits, in the same direction; `None`: a finer one may be missing.
    pub finest: Option<Finest>,
}

/// A roughness that is wanted, and what reaches it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Smooth {
    /// Ra.
    pub ra: Length,
    /// The coarsest feed that leaves it, by theory.
    pub limit: Measure,
    /// The coarsest up to that with the gears that are on the machine, with its levers; `None`: none.
    pub by_levers: Option<(Lead, Setting)>,
}

/// Finish with one nose.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Finish {
    /// Radius of the nose.
    pub nose: Length,
    /// Height of the ridges; `None`: the feed is too coarse for the nose, or through a worm.
    pub ridges: Option<Length>,
    /// Ra of the ridges; `None`: as they are.
    pub roughness: Option<Measure>,
}

/// The finest feed.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Finest {
    /// Travel for one turn of the spindle.
    pub travel: Lead,
    /// The train.
    pub train: Train,
    /// Headstock and levers.
    pub setting: Setting,
}

impl Finish {
    /// Ra in micrometres, rounded.
    pub fn roughness_um(&self) -> Option<f64> {
        self.roughness.map(|ra| ra.mm() * 1000.0)
    }

    /// The height of the ridges in micrometres, rounded.
    pub fn ridges_um(&self) -> Option<f64> {
        self.ridges.map(|ridges| ridges.mm().to_f64() * 1000.0)
    }
}

impl Feed {
    pub(super) fn of(
        lathe: &Lathe,
        travel: Travel,
        options: &Options,
        feed: &Lead,
        work: &Work,
    ) -> Result<Self> {
        let nose = work.nose();
        let noses = nose.map_or_else(|| NOSES.to_vec(), |nose| vec![nose]);
        let exact = (!feed.has_pi()).then(|| Length::from_mm(feed.mm()));
        let ridges = |nose| exact.and_then(|feed| cutting::finish(feed, nose).ok());
        let roughness = |nose| exact.and_then(|feed| cutting::roughness(feed, nose).ok());
        let finish = |nose| Finish { nose, ridges: ridges(nose), roughness: roughness(nose) };
        let wanted = work.roughness.zip(nose);
        Ok(Self {
            finish: noses.into_iter().map(finish).collect(),
            wanted: wanted.map(|(ra, nose)| Smooth::of(lathe, travel, ra, nose)).transpose()?,
            finest: finest(lathe, travel, options)?,
        })
    }
}

impl Smooth {
    fn of(lathe: &Lathe, travel: Travel, ra: Length, nose: Length) -> Result<Self> {
        let limit = cutting::feed_for_roughness(ra, nose)?;
        let most = below(&limit)?;
        let mut by_levers: Option<(Lead, Setting)> = None;
        if let Some(now) = lathe.on_now() {
            let last = now.train.gears().last().map(|gear| gear.teeth);
            for setting in lathe.settings(travel)?.list {
                let feed = setting.constant.times(&now.train.ratio())?;
                let takes = last.is_some_and(|teeth| setting.last.takes(teeth));
                let coarser = by_levers.as_ref().is_none_or(|(best, _)| feed > *best);
                if takes && coarser && feed <= most {
                    by_levers = Some((feed, setting));
                }
            }
        }
        Ok(Self { ra, limit, by_levers })
    }
}

/// A limit as a fraction, a millionth of a mm or less below it: a root of rational figures that is never
/// rational itself, so nothing lies on it.
fn below(limit: &Measure) -> Result<Lead> {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
    let millionths = (limit.mm() * 1e6).clamp(1.0, 1e12) as u128;
    Ok(Lead::new(Length::from_mm(Ratio::new(millionths, 1_000_000)?)))
}

/// The coarsest feed of the gears that leaves this roughness, never coarser than the theory allows;
/// `None`: all that fit are coarser, or a finer one may be missing.
///
/// # Errors
/// If the lathe has no such feed, or the roughness is too coarse for the nose.
pub fn coarsest_for(
    lathe: &Lathe,
    travel: Travel,
    options: &Options,
    ra: Length,
    nose: Length,
) -> Result<Option<Lead>> {
    let most = below(&cutting::feed_for_roughness(ra, nose)?)?;
    let search = Search::new(lathe, travel, options.clone())?;
    let mut count = FIRST_TRIED;
    loop {
        // The nearest come first, so the first that is not coarser is the coarsest of these.
        let found = search.find(&Ask::new(most).with_hand(None).with_count(count))?;
        let fits = |solution: &&Solution| solution.fits() && solution.lead <= most;
        if let Some(best) = found.solutions.iter().find(fits) {
            return Ok(Some(best.lead));
        }
        if found.solutions.len() < count || !bounds::ANSWERS.holds(10 * count as u64) {
            return Ok(None);
        }
        count *= 10;
    }
}

/// Nearest feeds looked at first.
const FIRST_TRIED: usize = 10;

fn finest(lathe: &Lathe, travel: Travel, options: &Options) -> Result<Option<Finest>> {
    let search = Search::new(lathe, travel, options.clone())?;
    // Every feed is coarser than this, so the nearest is the finest.
    let nothing = Lead::new(Length::from_mm(Ratio::table(1, FINER_THAN_ALL)));
    let found = search.find(&Ask::new(nothing).with_hand(None).with_count(1))?;
    let proven = found.proof.complete && found.proof.unknown == 0;
    let best = found.solutions.into_iter().find(|solution| solution.fits() && proven);
    Ok(best.and_then(|best| {
        let setting = search.settings().get(best.setting)?.clone();
        Some(Finest { travel: best.lead, train: best.train, setting })
    }))
}
