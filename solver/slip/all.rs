//! Every single slip of a set-up.

use super::gears::trains;
use super::kind::Wrong;
use super::mounted::Mounted;
use super::settings::{other_settings, other_tumblers};
use crate::{Lathe, Setting};

/// Every single slip, the most common first: `settings` are those that the lathe has for this travel.
pub fn singles(lathe: &Lathe, settings: &[Setting], right: &Mounted) -> Vec<Wrong> {
    let mut all = Vec::new();
    for (slips, points, other) in other_settings(settings, &right.setting, 1) {
        let wrong = |slip| Wrong::new(slip, points, right.with_setting(other.clone()));
        all.extend(slips.into_iter().map(wrong));
    }
    for (slip, points, at) in other_tumblers(lathe, right.tumbler) {
        all.push(Wrong::new(slip, points, right.with_tumbler(Some(at))));
    }
    for (slip, points, train) in trains(lathe, &right.setting.last, &right.train) {
        all.push(Wrong::new(slip, points, right.with_train(train)));
    }
    all.sort_by_key(|wrong| wrong.points);
    all
}
