//! What is on the lathe.

use crate::{Hand, Lathe, Lead, Result, Setting, Train};

/// Gears, levers and tumbler as they are.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Mounted {
    /// Headstock and levers.
    pub setting: Setting,
    /// The gears.
    pub train: Train,
    /// Index of the tumbler's position; `None`: there is none, or it is not known.
    pub tumbler: Option<usize>,
}

impl Mounted {
    /// These together.
    pub const fn new(setting: Setting, train: Train, tumbler: Option<usize>) -> Self {
        Self { setting, train, tumbler }
    }

    /// The lead that is cut, exact.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn lead(&self) -> Result<Lead> {
        self.setting.constant.times(&self.train.ratio())
    }

    /// The hand that is cut; `None`: a direction is unknown.
    pub fn hand(&self, lathe: &Lathe) -> Option<Hand> {
        lathe.hand_cut(&self.setting, self.train.meshes(), self.tumbler)
    }

    /// The same with another train.
    #[must_use]
    pub fn with_train(&self, train: Train) -> Self {
        Self { train, ..self.clone() }
    }

    /// The same in another setting.
    #[must_use]
    pub fn with_setting(&self, setting: Setting) -> Self {
        Self { setting, ..self.clone() }
    }

    /// The same with the tumbler elsewhere.
    #[must_use]
    pub fn with_tumbler(&self, tumbler: Option<usize>) -> Self {
        Self { tumbler, ..self.clone() }
    }
}
