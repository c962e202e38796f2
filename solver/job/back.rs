//! What is moved for the job, and how everything is put back.

use super::SetUp;
use crate::bracket::Fit;
use crate::judge::{Room, fitted_train, set};
use crate::{Control, End, GearChange, Lathe, Lead, Restored, Travel};

/// From the fitted set-up to that of the job, and back.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Change {
    /// What the bracket says of it; `None`: there is none, or it can't be worked out.
    pub fitted_fit: Option<Fit>,
    /// Gears moved for the job, from the fitted train with the gears that its numbers mean; `None`: the
    /// lathe has none.
    pub there: Option<GearChange>,
    /// Gears moved back.
    pub back: Option<GearChange>,
    /// Every control, with what the job sets it to and how it was.
    pub controls: Vec<Restored>,
    /// Levers, by their index, in the order in which they are moved for the job: none of the ways there is
    /// forbidden, where there is such an order.
    pub levers_there: Vec<usize>,
    /// The controls, the levers in the order in which they are moved back.
    pub controls_back: Vec<Restored>,
    /// What is noted before anything is moved, since the lathe does not say it.
    pub note: Note,
    /// What the fitted set-up feeds, along and across: what is most likely wanted back.
    pub feeds: [Option<Lead>; 2],
}

/// What a person has to note.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Note {
    /// Which gears sit where.
    pub gears: bool,
    /// Where studs and arm are clamped.
    pub clamped: bool,
    /// How these are set.
    pub controls: Vec<Control>,
    /// How the selector of power feeds is set, which no lathe describes.
    pub feed_selector: bool,
}

impl Change {
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
        // A feed may have to be turned the other way by the tumbler.
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

/// Whether there are power feeds, and no lever of the gearbox is described that engages them.
fn has_other_feed_selector(lathe: &Lathe) -> bool {
    let parts = lathe.parts();
    let feeds = parts.feeds.long.is_some() || parts.feeds.cross.is_some();
    let mut positions = parts.gearbox.levers.iter().flat_map(|lever| &lever.positions);
    feeds && !positions.any(|position| position.only.is_some())
}
