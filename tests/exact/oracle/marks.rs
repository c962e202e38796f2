//! What a case shows: each kind of difficulty has to come up often enough.

use super::number::Q;
use super::question::Case;
use super::rank::{Group, Row, Shop};
use super::sheet::{End, Owner, Setting};

/// How many leads the list holds: as many as asked, of those near enough.
pub(crate) fn listed(case: &Case, groups: &[Group]) -> usize {
    let near = |g: &&Group| case.within.as_ref().is_none_or(|within| g.miss.within(within));
    groups.iter().take_while(near).count().min(case.count)
}

/// What a case shows, for counting.
pub(crate) fn marks(case: &Case, groups: &[Group]) -> Vec<&'static str> {
    let shown = listed(case, groups);
    let best: Vec<&Row> = groups[..shown].iter().map(|g| &g.rows[0]).collect();
    let shop = &case.shop;
    let settings = shop.sheet.settings(case.ask.travel);
    let any = |holds: &dyn Fn(&Row) -> bool| best.iter().any(|row| holds(row));
    let tie = groups.len() > shown
        && shown == case.count
        && groups[shown - 1].miss.compare(&groups[shown].miss).is_eq();
    let marks = [
        ("a joined pair in an answer", any(&|row| has_joint(shop, row))),
        ("an idle gear of a joined pair", any(&|row| has_idle(shop, row))),
        ("a size on both sides", any(&|row| size_on_both_sides(shop, row))),
        ("an idler forced by the hand", idler_forced(case, &groups[..shown])),
        ("a special last gear", any(&|row| special_last(&settings, row))),
        ("mixed pitch in an answer", any(&|row| mixed_pitch(shop, row))),
        ("a tie at the last answer", tie),
        ("no train at all", groups.is_empty()),
        ("nothing near enough", shown == 0 && !groups.is_empty()),
        ("a target with pi", case.ask.target.pi),
        ("three studs in an answer", any(&|row| row.shafts.len() == 5)),
        ("eight gears in an answer", any(&|row| row.order.gears == 8)),
        ("a feed", case.ask.hand.is_none() && shown > 0),
        ("hand not known", case.ask.hand.is_some() && any(&|row| row.hand.is_none())),
        ("a combination of settings", settings.len() > 1 && shown > 1),
    ];
    marks.into_iter().filter(|mark| mark.1).map(|mark| mark.0).collect()
}

fn has_joint(shop: &Shop, row: &Row) -> bool {
    let joined = |kind: &usize| matches!(shop.sheet.kinds[*kind].owner, Owner::Joint(_));
    row.shafts.iter().any(|shaft| shaft.len() == 2 && shaft.iter().all(joined))
}

fn has_idle(shop: &Shop, row: &Row) -> bool {
    row.shafts.iter().any(|shaft| shop.sheet.idle(shaft).is_some())
}

/// Idlers apart: they drive and are driven.
fn size_on_both_sides(shop: &Shop, row: &Row) -> bool {
    let teeth = |kind: &usize| shop.sheet.kinds[*kind].teeth;
    let (last, others) = row.shafts.split_last().expect("two shafts");
    let (first, studs) = others.split_first().expect("two shafts");
    let pairs: Vec<&Vec<usize>> = studs.iter().filter(|stud| stud.len() == 2).collect();
    let drivers: Vec<u64> =
        first.iter().chain(pairs.iter().map(|pair| &pair[1])).map(teeth).collect();
    pairs.iter().map(|pair| &pair[0]).chain(last).map(teeth).any(|size| drivers.contains(&size))
}

/// An answer for which fewer gears would do if the hand did not matter.
fn idler_forced(case: &Case, shown: &[Group]) -> bool {
    if case.ask.hand.is_none() {
        return false;
    }
    let idlers = |row: &Row| {
        let (_, studs) = row.shafts[..row.shafts.len() - 1].split_first().expect("two shafts");
        studs.iter().filter(|stud| stud.len() == 1).count()
    };
    let free = case.shop.groups_of_any_hand(&case.ask);
    let easier = |group: &Group| {
        let same = free.iter().find(|g| g.lead == group.lead).expect("fewer are refused");
        same.rows[0].order.gears < group.rows[0].order.gears && idlers(&group.rows[0]) > 0
    };
    shown.iter().any(easier)
}

fn special_last(settings: &[Setting], row: &Row) -> bool {
    let setting = &settings[row.order.setting];
    setting.special && setting.last != End::Any
}

fn mixed_pitch(shop: &Shop, row: &Row) -> bool {
    let modules: Vec<Q> =
        row.shafts.concat().iter().map(|&kind| shop.sheet.kinds[kind].module()).collect();
    modules.iter().any(|module| *module != modules[0])
}
