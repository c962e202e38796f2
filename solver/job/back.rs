//! What is moved for the job, and how is everything put back?

use super::SetUp;
use crate::bracket::Fit;
use crate::judge::{Room, fitted_train, set, train_now};
use crate::{Control, End, Fitted, GearChange, Lathe, Lead, Restored, Travel};

/// From what is on the machine to the set-up of the job, and back to the fitted one.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Changeover {
    /// The bracket's verdict on what is on the machine; `None`: nobody has said what that is, or it
    /// can't be worked out.
    pub now_fit: Option<Fit>,
    /// The same of the fitted set-up.
    pub fitted_fit: Option<Fit>,
    /// Gears moved for the job, from the train on the machine with the gears that its numbers mean;
    /// `None`: nobody has said.
    pub there: Option<GearChange>,
    /// Gears moved back to the fitted train; `None`: the lathe has none.
    pub back: Option<GearChange>,
    /// Every control, with its position for the job, before it and after it.
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
        let room = if brackets { Room::on_bracket(lathe) } else { Ok(Room::Unasked) };
        let room = room.ok();
        let fit = |of: Option<&Fitted>| {
            let set = set(lathe, room.as_ref()?, &of?.train, &End::Any);
            set.ok().map(|set| set.fit)
        };
        let fitted_fit = fit(fitted);
        let now_fit =
            if lathe.not_as_fitted().is_some() { fit(lathe.on_now()) } else { fitted_fit.clone() };
        let controls = lathe.restored(&set_up.setting, set_up.tumbler);
        let is_lever = |restored: &&Restored| matches!(restored.control, Control::Lever(_));
        let levers: Vec<Restored> = controls.iter().filter(is_lever).copied().collect();
        let all = |of: fn(&Restored) -> Option<usize>| levers.iter().map(of).collect::<Vec<_>>();
        let [now, set, after] = [all(|r| r.now), all(|r| r.job), all(|r| r.fitted)];
        let order = lathe.lever_moves(&set, &after);
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
        let feed = |travel| lathe.lead_of(fitted?, travel).ok().flatten();
        Self {
            there: train_now(lathe).map(|train| GearChange::between(&train, &set_up.train)),
            back: fitted_train(lathe).map(|train| GearChange::between(&set_up.train, &train)),
            levers_there: lathe.lever_moves(&now, &set),
            controls_back: controls.iter().map(next).collect(),
            note: Note {
                gears: fitted.is_none(),
                clamped: fitted.is_none() || moves && !stands,
                controls: controls.iter().filter(unknown).map(|of| of.control).collect(),
                feed_selector: has_other_feed_selector(lathe),
            },
            feeds: [Travel::LongFeed, Travel::CrossFeed].map(feed),
            now_fit,
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
