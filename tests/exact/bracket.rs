//! Does the bracket's geometry say what a slow, obvious solver says? That solver shares no code with
//! the library and uses no formula beside the distance of two points.

mod built;
mod by_hand;
pub(crate) mod dense;
pub(crate) mod draw;
mod invariants;
mod regression;
pub(crate) mod rig;
pub(crate) mod stand;
mod verify;

use crate::runs::{self, Counts, enough};
use draw::{Case, STRIP};
use rig::{Wheel, gears, train};
use solver::bracket::{Fit, Geometry, Part, Reason};
use stand::judge;
use verify::hold;

/// Each batch has a seed of its own, so that batches run side by side and always the same.
const BATCHES: u8 = 50;
const CASES: u32 = 100;

/// How many cases must show what, of 5,000.
const QUOTAS: [(&str, usize); 31] = [
    ("fits", 1250),
    ("refused", 1250),
    ("gears touch", 50),
    ("a gear touches a hub", 50),
    ("a gear touches a keep-out", 50),
    ("a gear touches the cover", 50),
    ("too near the driving shaft", 50),
    ("beyond the end of the slot", 50),
    ("off the slot", 50),
    ("too short", 50),
    ("too unequal", 50),
    ("centres", 50),
    ("swing", 50),
    ("planes", 50),
    ("too few slots", 50),
    ("fits without a stud", 50),
    ("fits with one stud", 400),
    ("fits with two studs", 150),
    ("fits with three studs", 50),
    ("fits about the driving shaft", 100),
    ("fits about a point", 100),
    ("fits in a hole", 50),
    ("fits in an arc", 100),
    ("fits on a fixed arm", 50),
    ("an idle gear on an end shaft", 100),
    ("an idle gear on a stud", 40),
    ("two idle gears", 30),
    ("an idle gear touches", 100),
    ("no plane for an idle gear", 10),
    ("fits, by boxes", 200),
    ("does not fit, by boxes", 400),
];

/// Cases that are too close to tell, or that the rule leaves open, of 5,000: at most.
const UNDECIDED: usize = 500;

#[test]
fn the_geometry_says_what_the_slow_solver_says() {
    let (counts, failures) = sweep(BATCHES, CASES, &compare);
    assert!(failures.is_empty(), "{}", failures.join("\n\n"));
    enough(&counts, &QUOTAS);
    let undecided = counts.get("undecided").copied().unwrap_or(0);
    assert!(undecided <= UNDECIDED, "{undecided} undecided");
}

/// Draws so many cases; counts what they show; those that fail in words.
fn sweep(
    batches: u8,
    cases: u32,
    check: &(dyn Fn(&Case) -> Result<Vec<&'static str>, String> + Sync),
) -> (Counts, Vec<String>) {
    runs::sweep(0..batches, cases, STRIP, |strip| {
        let case = Case::draw(strip);
        let Case { rig, chain } = &case;
        check(&case)
            .map_err(|why| format!("{why}\n{}\n{} {chain:?}", rig.text(), train(chain, rig.unit)))
    })
}

/// Compares one case; what it shows.
pub(crate) fn compare(case: &Case) -> Result<Vec<&'static str>, String> {
    let Case { rig, chain } = case;
    let train = train(chain, rig.unit);
    let bracket = rig.bracket();
    let geometry = Geometry::new(&bracket, &gears(&train)).map_err(|e| e.to_string())?;
    let fit = geometry.fit(&train);
    let verdict = judge(rig, chain);
    let mut marks = Vec::new();
    // Three studs take their time.
    if dense::is_asked(rig, chain) && chain.len() < 5 {
        let boxes = dense::fits(rig, chain);
        let against = match &fit {
            Fit::Fits(_) => Some(false),
            Fit::Refused(_) => Some(true),
            _ => None,
        };
        hold("divided into boxes", boxes.is_none() || boxes != against, (boxes, &fit))?;
        marks.push(match boxes {
            Some(true) => "fits, by boxes",
            Some(false) => "does not fit, by boxes",
            None => "not known, by boxes",
        });
    }
    match (&fit, verdict.fits()) {
        (Fit::Fits(mounting), said) => {
            verify::fits(rig, chain, mounting)?;
            hold("it does not stand", said != Some(false), (&verdict, mounting))?;
            marks.extend(marks_of_fit(case));
            marks.extend(said.is_none().then_some("undecided"));
        }
        (Fit::TooClose(mounting), _) => {
            verify::gaps(rig, chain, mounting)?;
            let close = verdict.least.abs() < 1e-3 || verdict.fits().is_none();
            hold("it is not close", close, (&verdict, mounting))?;
            marks.push("too close");
        }
        (Fit::Refused(refusal), said) => {
            hold("it stands", said != Some(true), (&verdict, refusal))?;
            hold("no reason", !refusal.reasons.is_empty(), refusal)?;
            marks.push("refused");
            marks.extend(refusal.reasons.iter().map(mark_of));
            marks.extend(said.is_none().then_some("undecided"));
        }
        (fit, _) => return Err(format!("{fit:?}")),
    }
    marks.sort_unstable();
    marks.dedup();
    Ok(marks)
}

fn marks_of_fit(Case { rig, chain }: &Case) -> Vec<&'static str> {
    let studs = chain.len() - 2;
    let hole = rig.slots.iter().all(rig::Slot::is_hole);
    let arc = rig.slots.iter().any(|slot| matches!(slot, rig::Slot::Arc { .. }));
    let idle = |shaft: usize| chain[shaft].iter().any(|wheel: &Wheel| wheel.idle);
    let marks = [
        ("fits", true),
        ("fits without a stud", studs == 0),
        ("fits with one stud", studs == 1),
        ("fits with two studs", studs == 2),
        ("fits with three studs", studs == 3),
        ("fits about the driving shaft", studs > 0 && rig.pivot == rig::Pivot::First),
        ("fits about a point", studs > 0 && matches!(rig.pivot, rig::Pivot::At(_))),
        ("fits in a hole", studs > 0 && hole),
        ("fits in an arc", studs > 0 && arc),
        ("fits on a fixed arm", studs > 0 && rig.fixed_swing().is_some()),
        ("an idle gear on an end shaft", idle(0) || idle(studs + 1)),
        ("an idle gear on a stud", (1..=studs).any(idle)),
        ("two idle gears", (0..chain.len()).filter(|shaft| idle(*shaft)).count() > 1),
    ];
    marks.into_iter().filter(|mark| mark.1).map(|mark| mark.0).collect()
}

fn mark_of(reason: &Reason) -> &'static str {
    match reason {
        Reason::Touch { gear: Part::Idle { .. }, .. }
        | Reason::Touch { other: Part::Idle { .. }, .. } => "an idle gear touches",
        Reason::NoPlane { .. } => "no plane for an idle gear",
        Reason::Touch { other: Part::Gear { .. }, .. } => "gears touch",
        Reason::Touch { other: Part::Hub { .. }, .. } => "a gear touches a hub",
        Reason::Touch { other: Part::KeepOut(_), .. } => "a gear touches a keep-out",
        Reason::Touch { other: Part::Cover, .. } => "a gear touches the cover",
        Reason::NearFirst { .. } => "too near the driving shaft",
        Reason::SlotEnd { .. } => "beyond the end of the slot",
        Reason::OffSlot { .. } => "off the slot",
        Reason::TooShort { .. } => "too short",
        Reason::TooUnequal { .. } => "too unequal",
        Reason::Centres { .. } => "centres",
        Reason::Swing { .. } => "swing",
        Reason::Planes { .. } => "planes",
        Reason::Studs { .. } => "too few slots",
        _ => "another reason",
    }
}
