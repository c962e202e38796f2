//! Which trains come closest to this lead? Every train, best first, with proof.
//!
//! The leads that the gears can cut come in exact order of their error (`search/stream.rs`), from tables
//! of products (`search/products.rs`, `search/fields.rs`). All trains of one lead are a group. The answer of
//! a group is its best arrangement that fits (`search/walk.rs`, `search/rank.rs`). Where few arrangements
//! fit, the whole list of them is made instead (`search/standing.rs`); order and proof are the same.
//!
//! Why the first answer is the best: every lead not yet seen has a larger error. Every lead seen without
//! an answer had all its arrangements refused. Inside a group, all arrangements with fewer gears, or with as
//! many and an earlier key, were refused.
//!
//! Doubles find candidates, with a stated slack on the safe side; whole numbers rank them.
//!
//! ```
//! use solver::search::{Ask, Options, Search};
//! use solver::{Gear, GearSet, Lathe, Lead, Parts, Teeth, Travel};
//! let mut gears = GearSet::new();
//! for teeth in [40, 50, 65] {
//!     gears.add(Gear::new(Teeth::new(teeth)?), 1)?;
//! }
//! let lathe = Lathe::new(Parts::plain(gears, Lead::from_tpi("8".parse()?)?))?;
//! let search = Search::new(&lathe, Travel::Thread, Options::default())?;
//! let found = search.find(&Ask::new(Lead::from_tpi("13".parse()?)?))?;
//! assert_eq!(found.solutions[0].train.to_string(), "40-65"); // 8/13, exactly
//! # Ok::<(), solver::Error>(())
//! ```

mod ascending;
mod ask;
mod best;
mod count;
mod every_train;
mod fields;
mod find;
mod found;
mod line;
mod other_hand;
mod partial;
mod pass;
mod path;
mod products;
mod rank;
mod remedy;
mod same_lead;
mod scan;
mod select;
mod standing;
mod stock;
mod stream;
mod walk;

pub(crate) use ascending::Ascent;
#[doc(hidden)]
pub use ask::Tuning;
pub use ask::{Ask, Options};
pub use every_train::Arrangement;
pub(crate) use find::each;
pub use found::{Closest, Found, OneMore, Others, Proof, Solution, TradeOff};
pub use line::Line;
pub use remedy::{MachineChange, Remedies, Remedy};

use crate::bracket::Geometry;
use crate::{Cuts, Hand, Lathe, Result, Setting, Settings, Travel, Watch, bounds};
use fields::Fields;
use rank::Fitted;
use standing::Standing;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU64, Ordering::Relaxed};
use stock::Stock;

/// The number of the next search.
static NEXT: AtomicU64 = AtomicU64::new(0);

/// The tables for one lathe and one kind of travel, for any number of targets.
///
/// ```
/// use solver::{Gear, GearSet, Lathe, Lead, Parts, Teeth, Travel};
/// use solver::search::{Ask, Options, Search};
///
/// // An 8 TPI screw, driven one to one, and six gears.
/// let mut gears = GearSet::new();
/// for teeth in [20, 30, 40, 50, 60, 65] {
///     gears.add(Gear::new(Teeth::new(teeth)?), 1)?;
/// }
/// let lathe = Lathe::new(Parts::plain(gears, Lead::from_tpi("8".parse()?)?))?;
/// let search = Search::new(&lathe, Travel::Thread, Options::default())?;
///
/// let found = search.find(&Ask::new(Lead::from_tpi("13".parse()?)?))?;
/// let best = &found.solutions[0];
/// assert_eq!(best.train.to_string(), "40-65"); // 8/13, exactly
/// assert!(best.error.is_zero() && found.proof.complete);
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug)]
pub struct Search<'l> {
    /// Its own number: only it can read what it gave out.
    id: u64,
    lathe: &'l Lathe,
    travel: Travel,
    options: Options,
    settings: Vec<Setting>,
    /// Lever positions left out, since a ratio is unknown.
    unknown: usize,
    stock: Stock,
    fields: Fields,
    fitted: Fitted,
    /// By setting: whether a hand (right, left) is possible with an even and with an odd number of
    /// meshes.
    reachable: Vec<[[bool; 2]; 2]>,
    /// Choices with up to 1, 2, 3 and 4 gear pairs.
    combinations: [u128; bounds::PAIRS],
    whole: OnceLock<Option<Standing>>,
    watch: Watch<'l>,
}

impl<'l> Search<'l> {
    /// Builds the tables: quick for a usual box of gears.
    ///
    /// # Errors
    /// If the lathe leaves a needed figure unknown, or its tooth sizes have no common measure small
    /// enough.
    pub fn new(lathe: &'l Lathe, travel: Travel, options: Options) -> Result<Self> {
        Self::with_spare(lathe, travel, options, false)
    }

    fn with_spare(
        lathe: &'l Lathe,
        travel: Travel,
        options: Options,
        one_more: bool,
    ) -> Result<Self> {
        let Settings { list: settings, unknown, .. } = lathe.settings(travel)?;
        let parts = lathe.parts();
        let bracket = parts.bracket.as_ref().filter(|_| options.bracket);
        let geometry = bracket.map(|b| Geometry::of_checked(b, &parts.gears)).transpose()?;
        let geometry = match options.tuning.halvings {
            Some(halvings) => geometry.map(|geometry| geometry.with_work(halvings)),
            None => geometry,
        };
        let mut stock = Stock::new(lathe, &settings, options.arbor, geometry, one_more)?;
        let mut fields = Fields::new(lathe, &mut stock, &settings, options.pairs)?;
        fields.measure_twins();
        let fitted = Fitted::new(lathe.on_now().map(|now| &now.train));
        let combinations = count::combinations(&stock, &fields.constants);
        let mut search = Self {
            id: NEXT.fetch_add(1, Relaxed),
            lathe,
            travel,
            options,
            settings,
            unknown,
            stock,
            fields,
            fitted,
            reachable: Vec::new(),
            combinations,
            whole: OnceLock::new(),
            watch: Watch::none(),
        };
        let reach = |setting, hand| {
            [2, 3].map(|meshes| search.sense(Some(hand), setting, meshes).is_some())
        };
        search.reachable = (0..search.settings.len())
            .map(|s| [Hand::Right, Hand::Left].map(|hand| reach(s, hand)))
            .collect();
        Ok(search)
    }

    /// With a watch, which may end the search early and hears its progress. The answer is then the
    /// best so far, and not complete.
    #[must_use]
    pub const fn watched(mut self, watch: Watch<'l>) -> Self {
        self.watch = watch;
        self
    }

    pub(crate) const fn watch(&self) -> Watch<'l> {
        self.watch
    }

    /// The lever positions that are searched.
    pub fn settings(&self) -> &[Setting] {
        &self.settings
    }

    /// The drive of the tool.
    pub const fn travel(&self) -> Travel {
        self.travel
    }

    /// The lathe.
    pub const fn lathe(&self) -> &'l Lathe {
        self.lathe
    }

    /// For the benches and tests: how many trains the whole list holds; `None`: too many.
    #[doc(hidden)]
    pub fn standing(&self) -> Option<usize> {
        self.whole().map(Standing::len)
    }

    /// For the benches and tests: arrangements tried one by one, and how many of them fit.
    #[doc(hidden)]
    pub fn try_all(&self, limit: u64) -> (u64, u64) {
        let ends = self.fields.constants.first().map(|c| (c.first, c.last));
        let studs = usize::from(self.lathe.parts().studs);
        let size = (studs, self.fields.pairs);
        ends.map_or((0, 0), |ends| standing::try_all(&self.stock, ends, size, limit))
    }

    /// What the proof of an answer covers.
    pub fn proof(&self, gears: usize) -> Proof {
        let pairs = self.fields.pairs.min(gears / 2);
        Proof {
            combinations: pairs.checked_sub(1).map_or(0, |p| self.combinations[p]),
            positions: self.settings.len(),
            unknown: self.unknown,
            pairs,
            possible: self.fields.possible.min(gears / 2),
            allowed: self.fields.allowed.min(gears / 2),
            complete: !self.is_cut(gears),
            settled: true,
            stopped: false,
        }
    }

    /// Whether every train so far is settled, if only as too close to call: no search for stud
    /// places ended early.
    pub fn is_settled(&self) -> bool {
        self.stock.is_settled()
    }

    /// Whether trains with this many gears are left out, since the tables would be too large.
    fn is_cut(&self, gears: usize) -> bool {
        self.fields.allowed.min(gears / 2) > self.fields.pairs
    }

    fn whole(&self) -> Option<&Standing> {
        let studs = usize::from(self.lathe.parts().studs);
        let make = || {
            Standing::new(
                &self.stock,
                &self.settings,
                &self.fields.constants,
                studs,
                self.fields.pairs,
            )
        };
        self.whole.get_or_init(make).as_ref()
    }

    /// Whether the asked hand is possible in a setting with this many meshes.
    #[inline]
    fn accepts(&self, hand: Option<Hand>, setting: u32, meshes: usize) -> bool {
        hand.is_none_or(|h| {
            self.reachable[setting as usize][usize::from(h == Hand::Left)][meshes % 2]
        })
    }

    /// The tumbler position and the hand for this many meshes in a setting; `None` if the asked hand
    /// is impossible.
    fn sense(&self, hand: Option<Hand>, setting: usize, meshes: usize) -> Option<Cuts> {
        let cuts = self.lathe.cuts(&self.settings[setting], meshes, hand);
        cuts.gives(hand).then_some(cuts)
    }
}
