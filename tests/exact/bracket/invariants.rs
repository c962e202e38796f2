//! What must stay the same, whatever the bracket: seen in a mirror, made larger, turned round, given
//! more room.

use super::draw::Case;
use super::rig::{Chain, Pivot, Rig, Slot, gears, train};
use super::sweep;
use super::verify::hold;
use crate::runs::{self, Counts};
use solver::bracket::{Fit, Geometry, Mounting};

const BATCHES: u8 = 30;
const CASES: u32 = 100;

fn fit(rig: &Rig, chain: &Chain) -> Fit {
    let train = train(chain, rig.unit);
    let geometry = Geometry::new(&rig.bracket(), &gears(&train)).expect("a bracket");
    geometry.fit(&train)
}

fn state(fit: &Fit) -> &'static str {
    match fit {
        Fit::Fits(_) => "fits",
        Fit::TooClose(_) => "too close",
        Fit::Refused(_) => "refused",
        _ => "not checked",
    }
}

/// Whether both fit or both don't; a case too close either way says nothing.
fn agree(what: &str, a: &Fit, b: &Fit) -> Result<(), String> {
    let close = [a, b].iter().any(|fit| matches!(fit, Fit::TooClose(_)));
    hold(what, close || state(a) == state(b), (a, b))
}

/// The room of the tightest place: any of several ways to stand may be told, but none with less room.
fn tightest(mounting: &Mounting) -> f64 {
    mounting.tightest.as_ref().map_or(f64::INFINITY, |gap| gap.mm)
}

fn as_tight(what: &str, a: &Fit, b: &Fit, times: f64) -> Result<(), String> {
    let (Fit::Fits(a), Fit::Fits(b)) = (a, b) else { return Ok(()) };
    let (a, b) = (tightest(a) * times, tightest(b));
    let nothing_near = a.is_infinite() && b.is_infinite();
    hold(what, nothing_near || (a - b).abs() < 1e-5 * times.max(1.0), (a, b))
}

/// Cases with an answer, and the answers, enough of each.
fn enough((counts, failures): (Counts, Vec<String>)) {
    assert!(failures.is_empty(), "{}", failures.join("\n\n"));
    runs::enough(&counts, &[("fits", 500), ("refused", 500)]);
}

#[test]
fn a_mirror_changes_nothing() {
    enough(sweep(BATCHES, CASES, &|Case { rig, chain }| {
        let (a, b) = (fit(rig, chain), fit(&rig.mirrored(), chain));
        agree("in the mirror", &a, &b)?;
        as_tight("room in the mirror", &a, &b, 1.0)?;
        Ok(vec![state(&a)])
    }));
}

#[test]
fn size_changes_nothing() {
    enough(sweep(BATCHES, CASES, &|Case { rig, chain }| {
        let a = fit(rig, chain);
        let inch = Rig { unit: "in", ..rig.clone() };
        for (times, rig, by) in
            [(2.0, rig.scaled(2.0), 2.0), (0.5, rig.scaled(0.5), 0.5), (25.4, inch, 1.0)]
        {
            let chain: Chain = chain
                .iter()
                .map(|shaft| shaft.iter().map(|wheel| wheel.scaled(by)).collect())
                .collect();
            let b = fit(&rig, &chain);
            agree("made larger", &a, &b)?;
            as_tight("room made larger", &a, &b, times)?;
        }
        Ok(vec![state(&a)])
    }));
}

#[test]
fn a_machine_turned_round_takes_the_train_turned_round() {
    enough(sweep(BATCHES, CASES, &|Case { rig, chain }| {
        if matches!(rig.pivot, Pivot::At(_)) {
            return Ok(Vec::new());
        }
        let rig = Rig { least_stud: 0.0, ..rig.clone() };
        let mut back = chain.clone();
        back.reverse();
        for shaft in &mut back {
            if !shaft.iter().any(|wheel| wheel.idle) {
                shaft.reverse();
            }
        }
        let (a, b) = (fit(&rig, chain), fit(&rig.reversed(), &back));
        agree("turned round", &a, &b)?;
        // Where meshes may be open by any amount, any of many places is told.
        let tied = rig.fixed_swing().is_some() || rig.slots.iter().any(Slot::is_hole);
        if !tied {
            as_tight("room turned round", &a, &b, 1.0)?;
        }
        Ok(vec![state(&a)])
    }));
}

/// Every way to ask for less.
fn relaxed(rig: &Rig) -> Vec<(&'static str, Rig)> {
    let with = |change: &dyn Fn(&mut Rig)| {
        let mut rig = rig.clone();
        change(&mut rig);
        rig
    };
    let longer = |slot: &mut Slot| {
        // A hole made a slot is another rule: what could not be moved is now moved.
        if let Slot::Straight { from, to, .. } | Slot::Arc { from, to, .. } = slot
            && *from < *to
        {
            *from = (*from - 8.0).round();
            *to = (*to + 8.0).round();
        }
    };
    let more = Slot::Straight { from: 25.0, to: 70.0, angle: 12.5, offset: 3.0 };
    vec![
        ("longer slots", with(&|rig| rig.slots.iter_mut().for_each(longer))),
        ("one more slot", with(&|rig| rig.slots.push(more))),
        (
            "wider swing",
            with(&|rig| {
                // An arm that is fixed opens its meshes, which one that swings does not.
                let freed = rig.swing.filter(|[from, to]| from < to);
                rig.swing = freed.map(|[from, to]| [from - 10.0, to + 10.0]).or(rig.swing);
            }),
        ),
        ("nothing kept clear of", with(&|rig| rig.keep_outs.clear())),
        ("no cover", with(&|rig| rig.cover = None)),
        ("smaller hubs", with(&|rig| rig.hubs = rig.hubs.map(|hub| hub / 2.0))),
        ("less clearance", with(&|rig| rig.clearance /= 2.0)),
        ("nearer studs", with(&|rig| rig.least_stud /= 2.0)),
        ("one more plane", with(&|rig| rig.planes = (rig.planes + 1).min(4))),
        ("any planes", with(&|rig| rig.end_planes = [Vec::new(), Vec::new()])),
        ("wider openings", with(&|rig| rig.opening[1] += 0.1)),
    ]
}

#[test]
fn more_room_never_loses_a_fit() {
    enough(sweep(BATCHES, CASES, &|Case { rig, chain }| {
        let a = fit(rig, chain);
        if matches!(a, Fit::Fits(_)) {
            for (what, rig) in relaxed(rig) {
                let b = fit(&rig, chain);
                let kept = matches!(b, Fit::Fits(_) | Fit::TooClose(_));
                hold(what, kept, (&a, &b, rig.text()))?;
            }
        }
        Ok(vec![state(&a)])
    }));
}
