//! Gears and levers: which gear comes off, which goes on, where the studs are clamped, what the levers
//! are set to.

use super::back;
use super::job::Job;
use super::page::Page;
use crate::answer::idler_that_may_stay;
use crate::command::drawing;
use crate::report::job::{Change, Placed};
use crate::report::{Block, Text};
use crate::words::change;
use crate::words::doubt;
use crate::words::either;
use crate::words::reasons::Speaker;
use crate::words::set_up::{assumption, levers_in_words};
use crate::words::shaft::shaft_name;
use solver::bracket::Fit;
use solver::{Control, Lathe, Pivot, Shaft, Teeth, Train};

/// From the fitted set-up to this one.
pub(super) fn change(job: &Job<'_>) -> Option<Change> {
    Some(change::of(&change::fitted(job.lathe())?, &job.entry.train))
}

/// Take off, put on, clamp.
pub(super) fn write(job: &Job<'_>, change: Option<&Change>, drawings: usize, page: &mut Page) {
    page.section("Gears");
    if let Some(doubt) = doubt::in_full(job.lathe(), &job.entry.fit) {
        page.warning(doubt);
    }
    if let Some(assumption) = assumption(job.lathe(), job.entry, job.request.arbor) {
        page.warning(assumption);
    }
    let mut steps: Vec<String> = back::to_note(job).into_iter().collect();
    let before = steps.len();
    steps.push("Cover off.".to_string());
    match change {
        Some(change) if change::is_none(change) => {
            page.note(format!("Nothing to change: {} is fitted.", change.from));
            steps.truncate(before);
        }
        Some(change) => {
            steps.extend(taking_off(job, change));
            let fitted = job.lathe().parts().fitted.as_ref();
            // One that is free may be wanted for an idler.
            let idle = job.entry.either.is_some();
            steps.extend(fitted.filter(|_| !idle).and_then(|f| spare(&f.train, &job.entry.train)));
        }
        None => steps.push("Take off what is in the way.".into()),
    }
    if steps.len() > before {
        let fitted = job.lathe().parts().fitted.as_ref().map(|fitted| &fitted.train);
        // What can't be worked out counts as it stands in the usual planes.
        let before = fitted.zip(job.fitted_fit.as_ref());
        let set_up = SetUp { before, spread: is_spread(job), ..job.set_up() };
        steps.extend(set_up.mounting(change).iter().map(|words| sentence(words)));
        steps.extend(set_up.clamping().iter().map(|words| sentence(words)));
        steps.extend(unmeasured(job));
        steps.extend(meshes(job));
    }
    page.steps(steps);
    let in_letters = drawing::in_letters(&job.entry.train, &job.entry.fit);
    page.push(Block::Picture { drawings: (0..drawings).collect(), in_letters });
    if let Some(idlers) = idlers(job) {
        page.note(idlers);
    }
}

fn taking_off(job: &Job<'_>, change: &Change) -> Vec<String> {
    let last = job.last_shaft();
    let mut steps = Vec::new();
    let idler = idler_that_may_stay(job.lathe(), job.outcome, job.entry);
    let is_idler = |gear: &&Placed| idler.is_some_and(|idler| idler.get() == gear.teeth);
    let off: Vec<Placed> = change.off.iter().filter(|gear| !is_idler(gear)).cloned().collect();
    if !off.is_empty() {
        steps.push(format!("Take off {}.", change::taken_off(&off, last)));
    }
    if let Some(idler) = idler {
        steps.push(format!("The {idler} stays as the idler, if one is needed; else take it off."));
    }
    steps.extend(shifting(change, last));
    steps
}

/// Studs that the first train needs and the second does not: they would stand in the way of its gears.
pub(super) fn spare(from: &Train, to: &Train) -> Option<String> {
    let studs = to.studs().len()..from.studs().len();
    let names: Vec<String> = studs.map(|i| format!("stud {}", i + 1)).collect();
    (!names.is_empty()).then(|| format!("Take {} off the arm.", names.join(" and ")))
}

/// Whether gears are in more than one plane, in this set-up or in the fitted one.
pub(super) fn is_spread(job: &Job<'_>) -> bool {
    let fitted = job.lathe().parts().fitted.as_ref().map(|fitted| {
        let fit = job.fitted_fit.as_ref().unwrap_or(&Fit::NotChecked);
        drawing::depth(&fitted.train, fit).1
    });
    fitted.unwrap_or(1).max(drawing::depth(&job.entry.train, &job.entry.fit).1) > 1
}

/// Gears that stay on their shaft.
pub(super) fn shifting(change: &Change, last: &str) -> Vec<String> {
    let mut steps = Vec::new();
    let (shifted, turned) = change::shifted_and_turned(&change.shifted);
    if !turned.is_empty() {
        let pair = change::put_on(&turned, last);
        steps.push(format!("The other way round: {pair}."));
    }
    if !shifted.is_empty() {
        let gears = change::put_on(&shifted, last);
        steps.push(format!("Shift to the other plane: {gears}."));
    }
    steps
}

/// A train where it stands.
#[derive(Debug, Clone, Copy)]
pub(super) struct SetUp<'a> {
    pub(super) lathe: &'a Lathe,
    pub(super) train: &'a Train,
    pub(super) fit: &'a Fit,
    /// What the last shaft is called.
    pub(super) last: &'a str,
    /// What stood there before, where that is known.
    pub(super) before: Option<(&'a Train, &'a Fit)>,
    /// Whether planes are named though all of its gears are in one: in the set-up that it follows they
    /// are not.
    pub(super) spread: bool,
}

impl SetUp<'_> {
    /// What each shaft carries, in the order of the power path: `On stud 1: 75 inboard, 63 outboard,
    /// keyed together`; with a change also what stays.
    pub(super) fn mounting(&self, change: Option<&Change>) -> Vec<String> {
        let shafts = self.train.shafts();
        let planes = drawing::planes(self.train, self.fit);
        let spread = self.spread || drawing::depth(self.train, self.fit).1 > 1;
        let words = |(i, shaft): (usize, &Shaft)| {
            let shaft_name = shaft_name(i, shafts.len());
            let name = change::in_words(&shaft_name, self.last);
            let stays = |teeth: Teeth| match change {
                Some(change) if !moves(change, &shaft_name, teeth) && self.keeps(i, teeth) => {
                    " (stays)"
                }
                _ => "",
            };
            let joined = self.train.partner(i).map(|gear| gear.teeth);
            let at = planes.get(i).map(Vec::as_slice).unwrap_or_default();
            match shaft {
                shaft if let Some(partner) = joined => {
                    let own = shaft.driven().teeth;
                    let inner = match at {
                        [a, b] if b < a => partner,
                        _ => own,
                    };
                    let pair = change::joined_pair(own, partner);
                    let mesh = match shaft {
                        Shaft::One(_) => format!(", the {own} in mesh"),
                        Shaft::Pair { .. } => String::new(),
                    };
                    let stays = stays(own);
                    format!("on {name}: {pair}, {inner} nearest the headstock{mesh}{stays}")
                }
                Shaft::One(gear) => {
                    let place = if spread { self.place_of_one(at) } else { String::new() };
                    format!("on {name}: {}{place}{}", gear.teeth, stays(gear.teeth))
                }
                Shaft::Pair { driven, driver } => {
                    let [at_a, at_b] = self.places_of_two(at);
                    let (a, b) = (driven.teeth, driver.teeth);
                    let (stays_a, stays_b) = (stays(a), stays(b));
                    let spacer = spacer(at);
                    format!(
                        "on {name}: {a} {at_a}{stays_a}, {b} {at_b}{stays_b}, keyed together{spacer}"
                    )
                }
            }
        };
        shafts.iter().enumerate().map(words).collect()
    }

    /// How the planes are called: by number where there are more than two, as in the picture.
    fn plane(&self, plane: u8) -> String {
        match (drawing::depth(self.train, self.fit).0, plane) {
            (3.., plane) => format!("in plane {plane}"),
            (_, 1) => "inboard".into(),
            _ => "outboard".into(),
        }
    }

    /// `, inboard`, `, spacer inboard`, `, in plane 3, spacers inboard`.
    fn place_of_one(&self, planes: &[u8]) -> String {
        let spacer = spacer(planes);
        match planes {
            [plane] if spacer.is_empty() || drawing::depth(self.train, self.fit).0 > 2 => {
                format!(", {}{spacer}", self.plane(*plane))
            }
            _ => spacer.into(),
        }
    }

    fn places_of_two(&self, planes: &[u8]) -> [String; 2] {
        match planes {
            [driven, driver] => [driven, driver].map(|plane| self.plane(*plane)),
            _ => [1, 2].map(|plane| self.plane(plane)),
        }
    }

    /// Whether a gear stood in the same plane of the same shaft before. Changes are counted for the
    /// usual planes; a bracket may ask for others.
    fn keeps(&self, shaft: usize, teeth: Teeth) -> bool {
        let place = |train: &Train, fit: &Fit, shaft: Option<usize>| {
            let gears: Vec<Teeth> = train.shafts().get(shaft?)?.gears().map(|g| g.teeth).collect();
            let at = gears.iter().position(|gear| *gear == teeth)?;
            drawing::planes(train, fit).get(shaft?)?.get(at).copied()
        };
        let Some((train, fit)) = self.before else { return true };
        // The last shaft is the last of both, whatever stands between.
        let is_last = shaft + 1 == self.train.shafts().len();
        let there = if is_last { train.shafts().len().checked_sub(1) } else { Some(shaft) };
        place(self.train, self.fit, Some(shaft)) == place(train, fit, there)
    }

    /// Where the studs are clamped, and how far the arm is swung.
    pub(super) fn clamping(&self) -> Vec<String> {
        let Some(mounting) = self.fit.mounting() else { return Vec::new() };
        let speaker = Speaker::new(self.lathe, self.train);
        let mut studs = speaker.studs(mounting);
        // From the pivot outward: each stud is set against the gear before it.
        if self.lathe.parts().bracket.as_ref().is_some_and(|b| b.pivot == Pivot::Last) {
            studs.reverse();
        }
        // A stud's number and a length side by side are read twice.
        let at = |place: &str| {
            if place.starts_with("at ") || place.starts_with("in ") { "" } else { "at " }
        };
        let studs = studs.into_iter();
        let studs = studs.map(|(name, place)| format!("clamp {name} {}{place}", at(&place)));
        let swing = speaker.swing(mounting).map(|swing| format!("swing {swing}, clamp it"));
        studs.chain(swing).collect()
    }
}

/// What fills the planes inboard of a shaft's gears.
fn spacer(planes: &[u8]) -> &'static str {
    match planes.iter().min() {
        None | Some(0 | 1) => "",
        Some(2) => ", spacer inboard",
        Some(_) => ", spacers inboard",
    }
}

/// Whether a gear of the new set-up has to be put on or shifted.
fn moves(change: &Change, shaft: &str, teeth: Teeth) -> bool {
    let mut moved = change.on.iter().chain(&change.shifted);
    moved.any(|gear| gear.shaft == shaft && gear.teeth == teeth.get())
}

/// A step of its own.
pub(super) fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(letters).chain(['.']).collect()
}

/// Two gears of which nobody has measured whether they mesh directly.
fn unmeasured(job: &Job<'_>) -> Option<String> {
    job.entry.either.as_ref()?;
    Some(match job.entry.train.studs() {
        [] => "Try whether the two mesh directly: it is not measured. If not, put any idler between.",
        _ => "Try whether the two end gears mesh directly: then the idler is not needed.",
    }
    .to_string())
}

/// What is tight, and how the meshes are set.
fn meshes(job: &Job<'_>) -> Vec<String> {
    let speaker = Speaker::new(job.lathe(), &job.entry.train);
    let tightest = job.entry.fit.mounting().and_then(|mounting| speaker.tightest(mounting));
    let look = tightest.map(|gap| format!("Look: {gap}."));
    let paper = "Set each mesh with a strip of writing paper between the teeth; roll it out, clamp, \
                 turn by hand: no tight spot.";
    look.into_iter().chain([paper.to_string()]).collect()
}

/// Which other idlers would do.
fn idlers(job: &Job<'_>) -> Option<String> {
    match &job.entry.idlers[..] {
        [] | [_] => None,
        many => {
            let all: Vec<String> = many
                .iter()
                .map(|idlers| {
                    let teeth: Vec<String> = idlers.iter().map(ToString::to_string).collect();
                    teeth.join(" with ")
                })
                .collect();
            let shown = all.iter().take(MOST_IDLERS).cloned().collect::<Vec<_>>().join(", ");
            let more = if all.len() > MOST_IDLERS { " and more" } else { "" };
            let several = many.iter().any(|idlers| idlers.len() > 1);
            let order = if several { ", stud 1 first" } else { "" };
            Some(format!(
                "Idlers that reach{order}: {shown}{more}; the choice changes nothing else."
            ))
        }
    }
}

/// Idlers that a card has room for.
const MOST_IDLERS: usize = 8;

/// The levers and the tumbler.
pub(super) fn write_levers(job: &Job<'_>, page: &mut Page) {
    let entry = job.entry;
    if levers_in_words(entry).is_empty() {
        return;
    }
    page.section("Levers");
    page.note("With everything at rest; rock the chuck by hand if one won't go in.");
    let controls = back::controls(job);
    let was = |control: Control| {
        let restored = controls.iter().find(|restored| restored.control == control)?;
        Some(match (restored.job, restored.fitted?) {
            (Some(job), fitted) if job == fitted => " (as fitted)".to_string(),
            (_, fitted) => format!(" (fitted: {})", job.lathe().position_name(control, fitted)),
        })
    };
    let step = |lever: &str, position: &str, control| {
        Text::from(format!("{lever}: "))
            .and(crate::report::Role::Strong, position)
            .and(crate::report::Role::Plain, was(control).unwrap_or_default())
    };
    let headstock = entry.headstock.iter().map(|name| step("Headstock", name, Control::Headstock));
    let levers = back::way_there(job);
    let levers = levers.iter().filter_map(|i| Some((*i, entry.levers.get(*i)?)));
    let levers = levers.map(|(i, (lever, position))| step(lever, position, Control::Lever(i)));
    let open = either::tumbler_sentences(entry, job.lathe().parts().studs);
    let settled = entry.tumbler.as_ref().filter(|_| open.is_none());
    let tumbler = settled.map(|name| step("Tumbler", name, Control::Tumbler));
    let open = open.into_iter().flatten().map(Text::from);
    page.steps(headstock.chain(levers).chain(tumbler).chain(open));
}
