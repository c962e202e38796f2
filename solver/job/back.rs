//! What is moved for the job, and how is everything put back?

use super::SetUp;
use crate::bracket::Fit;
use crate::judge::{Room, fitted_train, set};
use crate::{Control, End, GearChange, Lathe, Lead, Restored, Travel};

/// From the fitted set-up to that of the job, and back.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Changeover {
    /// The bracket's verdict on it; `None`: there is no fitted set-up, or it can't be worked out.
    pub fitted_fit: Option<Fit>,
    /// Gears moved for the job, from the fitted train with the gears that its numbers mean; `None`:
    /// the lathe has none.
    pub there: Option<GearChange>,
    /// Gears moved back.
    pub back: Option<GearChange>,
    /// Every control, with its position for the job and before.
    pub controls: Vec<Restored>,
    /// Levers, by their index, in their order of moving for the job: no combination on the way is
    /// forbidden, where such an order exists.
    pub levers_there: Vec<usize>,
    /// The controls, the levers in their order of moving back.
    pub controls_back: Vec<Restored>,
    /// What to note before anything is moved, as the lathe file does not say it.
    pub note: Note,
    /// The feeds of the fitted set-up, along and across: most likely wanted back.
    pub feeds: [Option<Lead>; 2],
}

/// Something to note.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Note {
    /// The place of each gear.
    pub gears: bool,
    /// The places of studs and arm.
    pub clamped: bool,
    /// The positions of these controls.
    pub controls: Vec<Control>,
    /// The position of the feed selector, which no lathe file describes.
    pub feed_selector: bool,
}

impl Changeover {
    pub(super) fn of(lathe: &Lathe, set_up: &SetUp, is_feed: bool, brackets: bool) -> Self {
        let fitted = lathe.parts().fitted.as_ref();
        let train = fitted_train(lathe);
        let room = if brackets { Room::on_bracket(lathe) } else { Ok(Room::Unasked) };
        let fit = fitted.zip(room.ok());
        let fit = fit.and_then(|(of, room)| set(lathe, &room, &of.train, &End::Any).ok());
        let fitted_fit = fit.map(|set| set.fit);
        let controls = lathe.restored(&set_up.setting, set_up.tumbler);
        let is_lever = |restored: &&Restored| matches!(restored.control, Control::Lever(_));
        let levers: Vec<Restored> = controls.iter().filter(is_lever).copied().collect();
        let (was, set): (Vec<_>, Vec<_>) = levers.iter().map(|r| (r.fitted, r.job)).unzip();
        let order = lathe.lever_moves(&set, &was);
        let mut moved = order.into_iter().filter_map(|i| levers.get(i).copied());
        let next = |own: &Restored| match own.control {
            Control::Lever(_) => moved.next().unwrap_or(*own),
            _ => *own,
        };
        let stands = fitted_fit.as_ref().is_some_and(|fit| fit.mounting().is_some());
        let moves = fitted.is_some_and(|fitted| fitted.train != set_up.train);
        // A feed may need the other tumbler position.
        let turns = |of: &Restored| is_feed && of.control == Control::Tumbler;
        let unknown = |of: &&Restored| (of.job.is_some() || turns(of)) && of.fitted.is_none();
        let feed = |travel| lathe.fitted_lead(travel).ok().flatten();
        Self {
            there: train.as_ref().map(|train| GearChange::between(train, &set_up.train)),
            back: train.as_ref().map(|train| GearChange::between(&set_up.train, train)),
            levers_there: lathe.lever_moves(&was, &set),
            controls_back: controls.iter().map(next).collect(),
            note: Note {
                gears: fitted.is_none(),
                clamped: fitted.is_none() || moves && !stands,
                controls: controls.iter().filter(unknown).map(|of| of.control).collect(),
                feed_selector: has_other_feed_selector(lathe),
            },
            feeds: [Travel::LongFeed, Travel::CrossFeed].map(feed),
            fitted_fit,
            controls,
        }
    }
}

/// Whether there are power feeds without a described lever that engages them.
fn has_other_feed_selector(lathe: &Lathe) -> bool {
    let parts = lathe.parts();
    let feeds = parts.feeds.long.is_some() || parts.feeds.cross.is_some();
    let mut positions = parts.gearbox.levers.iter().flat_map(|lever| &lever.positions);
    feeds && !positions.any(|position| position.only.is_some())
}
