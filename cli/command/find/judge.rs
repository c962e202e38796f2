//! `--train`: what does this train cut for the target, and what speaks against it?
//!
//! Nothing is searched. Of the lever positions those are taken that the train may have and that cut
//! the hand asked; of these the one that comes nearest.

use super::Request;
use super::entry::Entry;
use crate::command::figures::{plural, tenth};
use crate::command::reasons::{Objection, arbor};
use num_traits::{Signed, ToPrimitive};
use solver::bracket::{Fit, Geometry};
use solver::{
    End, Gear, Hand, Lathe, LeadError, Ratio, Result, Setting, Shaft, Target, Teeth, Train, Turns,
};
use std::cmp::Ordering;

/// Judges a train for a target.
pub(super) fn judge(
    request: &Request,
    train: &Train,
    target: &Target,
    hand: Option<Hand>,
) -> Result<Option<Entry>> {
    let lathe = &request.machine.lathe;
    let train = from_the_box(lathe, train)?;
    let ratio = train.ratio()?;
    let settings = lathe.settings(target.travel())?.list;
    let choice = |setting| Choice::of(lathe, setting, &train, &ratio, target, hand);
    let choices = settings.iter().map(choice).collect::<Result<Vec<_>>>()?;
    // The first of equals stays.
    let Some(best) = choices.into_iter().reduce(|a, b| if b.is_before(&a) { b } else { a }) else {
        return Ok(None);
    };
    let mut entry = best.entry(lathe, &train, ratio);
    entry.fit = fit(request, &train)?;
    entry.objections = objections(request, &train, &best, hand);
    Ok(Some(entry))
}

/// A lever position with what the train gives in it.
struct Choice<'s> {
    setting: &'s Setting,
    tumbler: Option<usize>,
    hand: Option<Hand>,
    lead: solver::Lead,
    error: LeadError,
    /// Whether the position takes the train's last gear.
    takes_last: bool,
    /// Whether the hand is the one asked.
    right_hand: bool,
}

impl<'s> Choice<'s> {
    fn of(
        lathe: &Lathe,
        setting: &'s Setting,
        train: &Train,
        ratio: &Ratio,
        target: &Target,
        hand: Option<Hand>,
    ) -> Result<Self> {
        let lead = setting.constant.times(ratio)?;
        let sense = setting.turns.then(Turns::of_meshes(train.meshes()));
        let (tumbler, cut) = tumbler(lathe, sense, hand);
        let last = train.gears().last().map(|gear| gear.teeth);
        Ok(Self {
            setting,
            tumbler,
            hand: cut,
            lead,
            error: LeadError::of(&lead, &target.lead()),
            takes_last: last.is_some_and(|teeth| takes(&setting.last, teeth)),
            right_hand: hand.is_none() || cut.is_none() || cut == hand,
        })
    }

    fn is_before(&self, other: &Self) -> bool {
        let rank = |c: &Self| (!c.takes_last, !c.right_hand);
        let order = rank(self).cmp(&rank(other));
        order.then_with(|| self.error.compare_size(&other.error)) == Ordering::Less
    }

    fn entry(&self, lathe: &Lathe, train: &Train, ratio: Ratio) -> Entry {
        let owned = |(lever, position): (&str, &str)| (lever.to_string(), position.to_string());
        let tumbler = self.tumbler.and_then(|i| lathe.parts().tumbler.get(i));
        let gears = train.gears().count();
        let fitted = lathe.parts().fitted.as_ref();
        Entry {
            train: train.clone(),
            levers: lathe.lever_names(self.setting).map(owned).collect(),
            headstock: lathe.headstock_name(self.setting).map(str::to_string),
            tumbler: tumbler.map(|(name, _)| name.clone()),
            first_turns: super::entry::first_turns(lathe, self.setting.headstock, self.tumbler),
            setting: Some(self.setting.clone()),
            hand: self.hand,
            ratio,
            lead: self.lead,
            error: self.error,
            gears,
            handled: fitted.map_or(gears, |fitted| train.handled_from(&fitted.train)),
            fit: Fit::NotChecked,
            objections: Vec::new(),
            idlers: Vec::new(),
            others: None,
            arrangements: Vec::new(),
        }
    }
}

/// The tumbler position for a hand, and the hand that is cut; a feed needs neither.
fn tumbler(lathe: &Lathe, sense: Turns, hand: Option<Hand>) -> (Option<usize>, Option<Hand>) {
    let cut = |turns: Turns| match sense.then(turns) {
        Turns::Same => Some(Hand::Right),
        Turns::Opposite => Some(Hand::Left),
        Turns::Unknown => None,
    };
    let Some(hand) = hand else { return (None, None) };
    let tumbler = &lathe.parts().tumbler;
    match tumbler.iter().position(|(_, turns)| cut(*turns) == Some(hand)) {
        Some(at) => (Some(at), Some(hand)),
        None => match tumbler.first() {
            Some((_, turns)) => (Some(0), cut(*turns)),
            None => (None, cut(Turns::Same)),
        },
    }
}

fn takes(end: &End, teeth: Teeth) -> bool {
    match end {
        End::Own(own) => *own == teeth,
        End::Owned(list) => list.contains(&teeth),
        _ => true,
    }
}

/// The train with the tooth sizes of the box: of several gears with as many teeth the first that
/// meshes with the one before.
fn from_the_box(lathe: &Lathe, train: &Train) -> Result<Train> {
    let set = &lathe.parts().gears;
    let mut before: Option<Gear> = None;
    let mut shafts = Vec::new();
    let kind = |teeth: Teeth, before: Option<Gear>| {
        let mut kinds = set.all().filter(|gear| gear.teeth == teeth);
        let first = kinds.next().copied();
        let meshes = |gear: &Gear| before.is_none_or(|b| b.meshes_with(gear));
        let fitting = first.into_iter().chain(kinds.copied()).find(meshes);
        fitting.or(first).unwrap_or_else(|| set.usual(teeth))
    };
    for shaft in train.shafts() {
        let driven = kind(shaft.driven().teeth, before);
        let (shaft, driver) = match shaft {
            Shaft::One(_) => (Shaft::One(driven), driven),
            Shaft::Pair { driver, .. } => {
                let driver = kind(driver.teeth, None);
                (Shaft::Pair { driven, driver }, driver)
            }
        };
        before = Some(driver);
        shafts.push(shaft);
    }
    Train::new(shafts)
}

/// What the bracket says of a train, with the tooth sizes of the box.
///
/// # Errors
/// If its gears can't be.
pub(in crate::command) fn fit_of(request: &Request, train: &Train) -> Result<Fit> {
    fit(request, &from_the_box(&request.machine.lathe, train)?)
}

/// What the bracket says.
fn fit(request: &Request, train: &Train) -> Result<Fit> {
    let parts = request.machine.lathe.parts();
    match parts.bracket.as_ref().filter(|_| request.arbor.is_some()) {
        Some(bracket) => Ok(Geometry::new(bracket, &parts.gears)?.fit(train)),
        None => Ok(Fit::NotChecked),
    }
}

/// All that speaks against it beside the bracket.
fn objections(
    request: &Request,
    train: &Train,
    choice: &Choice<'_>,
    hand: Option<Hand>,
) -> Vec<Objection> {
    let lathe = &request.machine.lathe;
    let mut all = unmeshed(train);
    all.extend(not_owned(lathe, train, choice));
    all.extend(wrong_ends(lathe, train, choice));
    all.extend(too_few_carriers(lathe, train));
    if let (false, Some(hand)) = (choice.right_hand, hand) {
        let text = format!(
            "It cuts a {} hand thread here, not a {hand} one: it takes one idler more or less.",
            hand.other()
        );
        all.push(Objection::new("hand", None, text));
    }
    if lathe.parts().bracket.is_none()
        && let Some(least) = &request.arbor
    {
        all.extend(train.shafts().windows(3).flat_map(|w| near_axes(w, least)));
    }
    all
}

/// Gears that would have to mesh and can't.
fn unmeshed(train: &Train) -> Vec<Objection> {
    let unlike = train.mesh_pairs().filter(|(a, b)| !a.meshes_with(b));
    let size = |gear: &Gear| gear.size.map_or_else(String::new, |size| format!(" ({size})"));
    let text = |(a, b): (&Gear, &Gear)| {
        format!("{}{} and {}{} don't mesh: their teeth differ.", a.teeth, size(a), b.teeth, size(b))
    };
    unlike.map(|pair| Objection::new("tooth size", None, text(pair))).collect()
}

/// Sizes used more often than owned.
fn not_owned(lathe: &Lathe, train: &Train, choice: &Choice<'_>) -> Vec<Objection> {
    let parts = lathe.parts();
    let mut used: Vec<Teeth> = train.gears().map(|gear| gear.teeth).collect();
    // The machine's own end gears are none of the box.
    if matches!(choice.setting.last, End::Own(_)) {
        used.pop();
    }
    if matches!(parts.ends.first, End::Own(_)) && !used.is_empty() {
        used.remove(0);
    }
    used.sort_unstable();
    let mut all = Vec::new();
    for same in used.chunk_by(|a, b| a == b) {
        let (teeth, needed) = (same[0], same.len());
        let loose = parts.gears.loose().iter().filter(|(gear, _)| gear.teeth == teeth);
        let loose: usize = loose.map(|(_, count)| usize::from(*count)).sum();
        let joined = parts.gears.joined().iter().flat_map(|j| j.gears.map(|g| (g, j.count)));
        let joined = joined.filter(|(gear, _)| gear.teeth == teeth);
        let owned = loose + joined.map(|(_, count)| usize::from(count)).sum::<usize>();
        if owned < needed {
            let text = format!("The train takes {needed} x {teeth}, you own {owned}.");
            all.push(Objection::new("owned", None, text));
        }
    }
    all
}

/// End shafts that take other gears.
fn wrong_ends(lathe: &Lathe, train: &Train, choice: &Choice<'_>) -> Vec<Objection> {
    let first = train.gears().next().map(|gear| gear.teeth);
    let last = train.gears().last().map(|gear| gear.teeth);
    let ends = [("first", first, &lathe.parts().ends.first), ("last", last, &choice.setting.last)];
    let wrong = ends.into_iter().filter_map(|(name, teeth, end)| Some((name, teeth?, end)));
    let wrong = wrong.filter(|(_, teeth, end)| !takes(end, *teeth));
    let text = |(name, teeth, end): (&str, Teeth, &End)| {
        let takes = match end {
            End::Own(own) => format!("its own {own}"),
            End::Owned(list) => list.iter().map(ToString::to_string).collect::<Vec<_>>().join(", "),
            _ => "any".to_string(),
        };
        format!("The {name} shaft does not take the {teeth}: it takes {takes}.")
    };
    wrong.map(|end| Objection::new("end gear", None, text(end))).collect()
}

/// Studs and sleeves beyond those there are.
fn too_few_carriers(lathe: &Lathe, train: &Train) -> Vec<Objection> {
    let parts = lathe.parts();
    let studs = train.studs().len();
    let pairs = train.studs().iter().filter(|s| matches!(s, Shaft::Pair { .. })).count();
    let mut all = Vec::new();
    if studs > usize::from(parts.studs) {
        let text =
            format!("The train takes {}, the lathe has {}.", plural(studs, "stud"), parts.studs);
        all.push(Objection::new("studs", None, text));
    }
    let joints: usize = parts.gears.joined().iter().map(|j| usize::from(j.count)).sum();
    let sleeves = usize::from(parts.sleeves.unwrap_or(parts.studs)) + joints;
    if pairs > sleeves {
        let pairs = plural(pairs, "keyed pair");
        let text = format!("The train takes {pairs}, there are sleeves for {sleeves}.");
        all.push(Objection::new("sleeves", None, text));
    }
    all
}

/// The shop's rule on both sides of a stud with a pair: the centres of a mesh less the tip radius of
/// the other gear on the stud are `least` or more.
fn near_axes(shafts: &[Shaft], least: &Ratio) -> Vec<Objection> {
    let [before, Shaft::Pair { driven, driver }, after] = shafts else { return Vec::new() };
    let (before, after) = (before.driver(), after.driven());
    let half = |gear: &Gear, teeth: u16| {
        gear.module().to_big() * num_rational::BigRational::new(teeth.into(), 2.into())
    };
    let short = |a: &Gear, b: &Gear, tip: &Gear| {
        let centres = half(a, a.teeth.get() + b.teeth.get());
        least.to_big() + half(tip, tip.teeth.get() + 2) - centres
    };
    let sides = [(before, driven, driver), (after, driver, driven)];
    let near = sides.map(|(axis, other, tip)| (axis, tip, short(axis, other, tip)));
    let near = near.into_iter().filter(|(_, _, short)| short.is_positive());
    let objection = |(axis, tip, short): (&Gear, &Gear, num_rational::BigRational)| {
        let short = short.to_f64().unwrap_or(f64::NAN);
        arbor(tip.teeth.get(), axis.teeth.get(), &tenth(short), short)
    };
    near.map(objection).collect()
}
