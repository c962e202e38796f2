//! How far is a long search, and should it go on?
//!
//! Long work heeds a [`Watch`]. A search gets one by [`Search::watched`](crate::search::Search::watched), for
//! everything asked of it; a table of plans and a purchase get one when they are made. Cancelled work
//! answers with the best so far and says that it is not complete.
//!
//! ```
//! use solver::search::{Ask, Options, Search};
//! use solver::{Gear, GearSet, Lathe, Lead, Parts, Done, Teeth, Travel, Watch};
//! use std::sync::atomic::{AtomicBool, AtomicU64, Ordering::Relaxed};
//!
//! let mut gears = GearSet::new();
//! for teeth in [20, 30, 40, 50, 60, 65] {
//!     gears.add(Gear::new(Teeth::new(teeth)?), 1)?;
//! }
//! let lathe = Lathe::new(Parts::plain(gears, Lead::from_tpi("8".parse()?)?))?;
//!
//! // Ends after the third lead.
//! let (cancel, leads) = (AtomicBool::new(false), AtomicU64::new(0));
//! let hear = |far| {
//!     if let Done::Leads(done) = far {
//!         leads.store(done, Relaxed);
//!         cancel.store(done >= 3, Relaxed);
//!     }
//! };
//! let watch = Watch::cancelled_by(&cancel).hearing(&hear);
//! let search = Search::new(&lathe, Travel::Thread, Options::default())?.watched(watch);
//! let found = search.find(&Ask::new(Lead::from_tpi("13".parse()?)?))?;
//! assert!(found.proof.stopped && !found.proof.complete);
//! assert_eq!((found.solutions.len(), leads.load(Relaxed)), (3, 3));
//! # Ok::<(), solver::Error>(())
//! ```

use std::fmt;
use std::sync::atomic::{AtomicBool, Ordering::Relaxed};

/// The progress of some work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Done {
    /// Leads searched for the present question.
    Leads(u64),
    /// Leads counted.
    Counted(u64),
    /// Lines of a list searched, of how many.
    Lines(u64, u64),
    /// Purchases compared, of how many.
    Looked(u64, u64),
    /// Purchases searched, of how many that could still enter the list: better ones make these
    /// fewer.
    Searched(u64, u64),
}

/// Ends work early, and hears of its progress.
#[derive(Clone, Copy)]
pub struct Watch<'w> {
    cancel: Option<&'w AtomicBool>,
    hear: Option<&'w (dyn Fn(Done) + Sync)>,
}

impl<'w> Watch<'w> {
    /// Without a flag and a listener.
    pub const fn none() -> Self {
        Self { cancel: None, hear: None }
    }

    /// The work ends soon after the flag is raised.
    pub const fn cancelled_by(cancel: &'w AtomicBool) -> Self {
        Self { cancel: Some(cancel), hear: None }
    }

    /// Called now and then with the progress; parallel work calls it from several threads at once.
    pub const fn hearing(self, hear: &'w (dyn Fn(Done) + Sync)) -> Self {
        Self { hear: Some(hear), ..self }
    }

    /// Whether the work should end.
    #[inline]
    pub fn is_cancelled(&self) -> bool {
        self.cancel.is_some_and(|cancel| cancel.load(Relaxed))
    }

    /// Tells the progress.
    #[inline]
    pub(crate) fn tell(&self, progress: Done) {
        if let Some(hear) = self.hear {
            hear(progress);
        }
    }
}

impl fmt::Debug for Watch<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Watch")
            .field("cancel", &self.cancel)
            .field("hear", &self.hear.is_some())
            .finish()
    }
}
