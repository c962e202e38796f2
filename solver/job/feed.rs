//! Which finish does a feed leave, and which is the finest feed of the gears?

use crate::cutting;
use crate::search::{Ask, Options, Search};
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
    /// The finest feed that fits, in the same direction; `None`: a finer one may be missing.
    pub finest: Option<Finest>,
}

/// Finish with one nose.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct Finish {
    /// Radius of the nose.
    pub nose: Length,
    /// Height of the ridges; `None`: the feed is too coarse for the nose, or through a worm.
    pub ridges: Option<Length>,
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
        nose: Option<Length>,
    ) -> Result<Self> {
        let noses = nose.map_or_else(|| NOSES.to_vec(), |nose| vec![nose]);
        let exact = (!feed.has_pi()).then(|| Length::from_mm(feed.mm()));
        let ridges = |nose| exact.and_then(|feed| cutting::finish(feed, nose).ok());
        Ok(Self {
            finish: noses.into_iter().map(|nose| Finish { nose, ridges: ridges(nose) }).collect(),
            finest: finest(lathe, travel, options)?,
        })
    }
}

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
