//! Brackets built so that a train fits: a swing, places of studs and openings are chosen first, then
//! the sizes. What was chosen is proof enough, and the geometry must find it.

use super::draw::{Case, STRIP, between, hundredths, places, seen, spot};
use super::rig::{Chain, Pivot, Rig, Slot, Spot, Wheel, apart, gears, giver, minus, train};
use super::stand::{clear, in_range, patterns};
use super::verify;
use crate::oracle::draw::Dice;
use crate::runs::{batches, runner, strips};
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::Config;
use rayon::prelude::*;
use solver::bracket::{Fit, Geometry};

/// Batches that run side by side, each with a seed of its own.
const BATCHES: u8 = 20;

/// A way for a train to fit: the slot of each stud, then the swing and the place of each stud.
#[derive(Debug, Clone)]
struct Way {
    slots: Vec<usize>,
    at: Vec<f64>,
}

/// What is built.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Kind {
    /// A pivot of its own, all studs in slots.
    Own,
    /// The same, with a slot nearly square to the mesh: where one branch ends.
    End,
    /// A stud in a hole.
    Hole,
    /// An arm that can't swing.
    Fixed,
}

fn draw_chain(dice: &mut Dice, studs: usize) -> Chain {
    let wheel = |dice: &mut Dice| Wheel {
        teeth: 20 + u64::try_from(dice.below(50)).expect("small"),
        module: 1.0,
        idle: false,
    };
    let mut chain = vec![vec![wheel(dice)]];
    for _ in 0..studs {
        let more = dice.once_in(2).then(|| wheel(dice));
        chain.push([wheel(dice)].into_iter().chain(more).collect());
    }
    chain.push(vec![wheel(dice)]);
    chain
}

fn build(kind: Kind, dice: &mut Dice) -> Option<(Case, Way)> {
    let studs = match kind {
        Kind::Own | Kind::End => dice.pick(&[2, 2, 2, 3]),
        Kind::Hole | Kind::Fixed => dice.pick(&[1, 2, 2, 3]),
    };
    let chain = draw_chain(dice, studs);
    let tied = matches!(kind, Kind::Hole | Kind::Fixed);
    let opening = if tied { [0.0, 0.2] } else { dice.pick(&[[0.0, 0.2], [0.05, 0.2]]) };
    let open = |dice: &mut Dice| {
        if tied { between(dice, opening[0] + 0.02, opening[1] - 0.02) } else { opening[0] }
    };
    let places = places(&chain, &open, dice);
    let about = spot([between(dice, -40.0, 40.0), between(dice, -40.0, 40.0)]);
    let pivots = [Pivot::At(about), Pivot::Last, Pivot::First];
    let mut rig = Rig {
        first: spot(places[0]),
        pivot: pivots[if tied { dice.below(3) } else { 0 }],
        slots: Vec::new(),
        clearance: between(dice, 0.0, 1.0),
        planes: dice.pick(&[2, 3, 4]),
        opening,
        hubs: [0; 3].map(|_| between(dice, 0.0, 6.0)),
        ..Rig::default()
    };
    let swing = between(dice, -60.0, 60.0);
    rig.swing = match kind {
        Kind::Fixed => Some([swing; 2]),
        _ if dice.once_in(3) => {
            let room = [between(dice, 0.5, 20.0), between(dice, 0.5, 20.0)];
            Some([hundredths(swing - room[0]), hundredths(swing + room[1])])
        }
        _ => None,
    };
    let heading = |way: Spot| way[0].atan2(way[1]).to_degrees();
    let share = !tied && studs == 2 && dice.once_in(3);
    for stud in 1..=studs {
        let line = match kind {
            _ if share => minus(places[2], places[1]),
            Kind::End => {
                let mesh = minus(places[stud], places[stud + 1]);
                [mesh[1], -mesh[0]]
            }
            _ => rig.arm(swing),
        };
        let off = match kind {
            _ if share => 0.0,
            Kind::End => between(dice, -1.5, 1.5),
            _ => dice.pick(&[0.0, 7.5, -15.0, 22.5, -40.0, 90.0]),
        };
        let angle = hundredths((heading(line) - heading(rig.arm(swing)) + off) % 360.0);
        let [along, offset] = seen(&rig, swing, angle, places[stud]).map(hundredths);
        let slack = [between(dice, 0.1, 20.0), between(dice, 0.1, 20.0)];
        let hole = kind == Kind::Hole && (stud == 1 || dice.once_in(3));
        let slack = if hole { [0.0; 2] } else { slack };
        rig.slots.push(Slot::Straight {
            from: hundredths(along - slack[0]),
            to: hundredths(along + slack[1]),
            angle,
            offset,
        });
    }
    let along: Vec<f64> = (0..studs)
        .map(|stud| {
            let Slot::Straight { angle, .. } = rig.slots[stud] else { unreachable!("no arcs") };
            seen(&rig, swing, angle, places[stud + 1])[0]
        })
        .collect();
    if share {
        let ends = |from: bool| {
            let all = rig.slots.iter().map(|slot| match slot {
                Slot::Straight { from: low, .. } if from => *low,
                Slot::Straight { to, .. } | Slot::Arc { to, .. } => *to,
            });
            let pick = if from { f64::min } else { f64::max };
            all.reduce(pick).expect("a slot")
        };
        let Slot::Straight { angle, offset, .. } = rig.slots[0] else { unreachable!("no arcs") };
        rig.slots = vec![Slot::Straight { from: ends(true), to: ends(false), angle, offset }];
    }
    let slots = if share { vec![0; studs] } else { (0..studs).collect() };
    let mut way = Way { slots, at: [vec![swing], along].concat() };
    let case = Case { rig, chain };
    if tied {
        // A hole is where it was rounded to.
        for (at, slot) in way.at[1..].iter_mut().zip(&way.slots) {
            if let Slot::Straight { from, .. } = case.rig.slots[*slot]
                && case.rig.slots[*slot].is_hole()
            {
                *at = from;
            }
        }
    } else {
        way = closed(&case, way)?;
    }
    (room(&case, &way, tied) > 0.02).then_some((case, way))
}

fn points(rig: &Rig, way: &Way) -> Vec<Spot> {
    let studs = way.slots.iter().zip(&way.at[1..]);
    let studs = studs.map(|(slot, along)| rig.in_slot(&rig.slots[*slot], way.at[0], *along));
    [rig.first].into_iter().chain(studs).chain([[0.0, 0.0]]).collect()
}

/// How far each mesh is open.
fn opened(case: &Case, way: &Way) -> Vec<f64> {
    let points = points(&case.rig, way);
    (0..points.len() - 1)
        .map(|mesh| {
            let (driver, driven) = (giver(&case.chain[mesh]), case.chain[mesh + 1][0]);
            apart(points[mesh], points[mesh + 1]) - driver.pitch_radius() - driven.pitch_radius()
        })
        .collect()
}

/// The way near this one with every mesh at its least opening: Newton's method, with differences.
fn closed(case: &Case, mut way: Way) -> Option<Way> {
    let least = case.rig.opening[0];
    let gaps = |way: &Way| opened(case, way).into_iter().map(|gap| gap - least).collect::<Vec<_>>();
    for _ in 0..30 {
        let now = gaps(&way);
        if now.iter().all(|gap| gap.abs() < 1e-10) {
            return Some(way);
        }
        let columns: Vec<Vec<f64>> = (0..way.at.len())
            .map(|i| {
                let mut moved = way.clone();
                moved.at[i] += 1e-6;
                gaps(&moved).iter().zip(&now).map(|(a, b)| (a - b) / 1e-6).collect()
            })
            .collect();
        for (at, step) in way.at.iter_mut().zip(solved(&columns, &now)?) {
            *at -= step.clamp(-5.0, 5.0);
        }
    }
    None
}

/// Solves for as many unknowns as equations.
pub(super) fn solved(columns: &[Vec<f64>], right: &[f64]) -> Option<Vec<f64>> {
    let n = right.len();
    let mut rows: Vec<Vec<f64>> = (0..n)
        .map(|i| columns.iter().map(|column| column[i]).chain([right[i]]).collect())
        .collect();
    for at in 0..n {
        let best = (at..n).max_by(|a, b| rows[*a][at].abs().total_cmp(&rows[*b][at].abs()))?;
        rows.swap(at, best);
        let pivot = rows[at].clone();
        if pivot[at].abs() < 1e-9 {
            return None;
        }
        for row in rows.iter_mut().enumerate().filter(|(i, _)| *i != at).map(|(_, row)| row) {
            let factor = row[at] / pivot[at];
            for (cell, over) in row.iter_mut().zip(&pivot) {
                *cell -= factor * over;
            }
        }
    }
    Some((0..n).map(|i| rows[i][n] / rows[i][i]).collect())
}

/// By how much all that is asked holds (mm; degrees of swing count as mm); `open`: whether meshes
/// may be open by any amount in their range, which is then asked to hold by a fifth of itself.
fn room(case: &Case, way: &Way, open: bool) -> f64 {
    let (rig, chain) = (&case.rig, &case.chain);
    let mut room = f64::INFINITY;
    if open {
        let [least, most] = rig.opening;
        for opened in opened(case, way) {
            room = room.min(5.0 * (opened - least).min(most - opened));
        }
    }
    for (slot, along) in way.slots.iter().zip(&way.at[1..]) {
        if !rig.slots[*slot].is_hole() {
            room = room.min(in_range(&rig.slots[*slot], *along));
        }
    }
    if let (Some([from, to]), None) = (rig.swing, rig.fixed_swing()) {
        let turns = [-360.0, 0.0, 360.0].map(|turn| way.at[0] + turn);
        let inside = turns.map(|swing| (swing - from).min(to - swing));
        room = room.min(inside.into_iter().fold(f64::NEG_INFINITY, f64::max));
    }
    let points = points(rig, way);
    let clear = |planes: Vec<Vec<u8>>| clear(rig, chain, &planes, &points);
    room.min(patterns(rig, chain).into_iter().map(clear).fold(f64::NEG_INFINITY, f64::max))
}

/// So many of a kind that are built to fit, all found.
fn all_are_found(kind: Kind, count: usize) {
    let each = count / usize::from(BATCHES);
    let batch = |batch: u8| {
        let mut runner = runner(batch, Config::default());
        let mut found = 0;
        while found < each {
            let strip = strips(STRIP).new_tree(&mut runner).expect("a strip").current();
            let Some((case, way)) = build(kind, &mut Dice::new(&strip)) else { continue };
            let train = train(&case.chain, case.rig.unit);
            let bracket = case.rig.bracket();
            let geometry = Geometry::new(&bracket, &gears(&train)).expect("a bracket");
            match geometry.fit(&train) {
                Fit::Fits(mounting) => {
                    verify::fits(&case.rig, &case.chain, &mounting)
                        .map_err(|why| format!("{why}\n{train} {}", case.rig.text()))?;
                }
                fit => return Err(format!("{train} {}\n{way:?}\n{fit:?}", case.rig.text())),
            }
            found += 1;
        }
        Ok(())
    };
    let missed: Vec<String> =
        batches(0..BATCHES).into_par_iter().filter_map(|seed| batch(seed).err()).collect();
    assert!(missed.is_empty(), "{}", missed.join("\n\n"));
}

#[test]
fn every_train_built_to_fit_about_a_pivot_of_its_own_is_found() {
    all_are_found(Kind::Own, 2_000);
}

#[test]
fn every_train_built_to_fit_where_a_branch_ends_is_found() {
    all_are_found(Kind::End, 1_000);
}

#[test]
fn every_train_built_to_fit_with_a_stud_in_a_hole_is_found() {
    all_are_found(Kind::Hole, 1_000);
}

#[test]
fn every_train_built_to_fit_on_a_fixed_arm_is_found() {
    all_are_found(Kind::Fixed, 1_000);
}
