//! Gears and levers: which gear comes off, which goes on, where the studs are clamped, what the levers
//! are set to.

use super::back;
use super::job::Job;
use super::page::Page;
use crate::command::change;
use crate::command::doubt;
use crate::command::drawing::{self, shaft_name};
use crate::command::find::either::{self, Branch};
use crate::command::find::{idler_that_may_stay, levers_in_words};
use crate::command::reasons::Speaker;
use crate::report::job::{Change, Placed};
use crate::report::{Block, Text};
use solver::bracket::Fit;
use solver::{Control, Lathe, Shaft, Teeth, Train};

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
    if let Some(assumption) = job.entry.assumption(job.lathe(), job.request.arbor) {
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
        Some(change) => steps.extend(taking_off(job, change)),
        None => steps.push("Take off what is in the way.".into()),
    }
    if steps.len() > before {
        let fitted = job.lathe().parts().fitted.as_ref().map(|fitted| &fitted.train);
        // What can't be worked out counts as it stands in the usual planes.
        let set_up = SetUp { before: fitted.zip(job.fitted_fit.as_ref()), ..job.set_up() };
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
}

impl SetUp<'_> {
    /// What each shaft carries, in the order of the power path: `On stud 1: 75 inboard, 63 outboard,
    /// keyed together`; with a change also what stays.
    pub(super) fn mounting(&self, change: Option<&Change>) -> Vec<String> {
        let shafts = self.train.shafts();
        let beside = drawing::beside(self.train, self.fit);
        let planes = drawing::planes(self.train, self.fit);
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
            match shaft {
                shaft if let Some(partner) = joined => {
                    let own = shaft.driven().teeth;
                    let inner = match planes.get(i).map(Vec::as_slice) {
                        Some([a, b]) if b < a => partner,
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
                    let at = beside.get(i).filter(|words| !words.is_empty());
                    let at = at.map(|words| format!(", {words}")).unwrap_or_default();
                    format!("on {name}: {}{at}{}", gear.teeth, stays(gear.teeth))
                }
                Shaft::Pair { driven, driver } => {
                    let outboard = match planes.get(i).map(Vec::as_slice) {
                        Some([driven, driver]) => driver > driven,
                        _ => true,
                    };
                    let at =
                        if outboard { ["inboard", "outboard"] } else { ["outboard", "inboard"] };
                    let gears = [driven.teeth, driver.teeth];
                    let [a, b] = gears.map(|teeth| (teeth, stays(teeth)));
                    let ([at_a, at_b], (a, stays_a), (b, stays_b)) = (at, a, b);
                    format!("on {name}: {a} {at_a}{stays_a}, {b} {at_b}{stays_b}, keyed together")
                }
            }
        };
        shafts.iter().enumerate().map(words).collect()
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
        let studs = speaker.studs(mounting).into_iter();
        let studs = studs.map(|(name, place)| format!("clamp {name} {place}"));
        let swing = speaker.swing(mounting).map(|swing| format!("swing {swing}, clamp it"));
        studs.chain(swing).collect()
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
            Some(format!("Idlers that reach: {shown}{more}; the choice changes nothing else."))
        }
    }
}

/// Idlers that a card has room for.
const MOST_IDLERS: usize = 8;

/// Where nobody has measured whether two gears mesh directly, and the tumbler hangs on it: both cases.
fn open_tumbler(job: &Job<'_>) -> Option<[String; 2]> {
    let set = |branch: &Branch| branch.tumbler.is_some();
    job.entry.either.as_ref().filter(|both| both.iter().any(set))?;
    either::sentences(job.entry, job.lathe().parts().studs)
}

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
    let levers = entry.levers.iter().enumerate();
    let levers = levers.map(|(i, (lever, position))| step(lever, position, Control::Lever(i)));
    let open = open_tumbler(job);
    let settled = entry.tumbler.as_ref().filter(|_| open.is_none());
    let tumbler = settled.map(|name| step("Tumbler", name, Control::Tumbler));
    let open = open.into_iter().flatten().map(Text::from);
    page.steps(headstock.chain(levers).chain(tumbler).chain(open));
}
