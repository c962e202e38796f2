//! Random brackets and trains, drawn from a strip of numbers. Most brackets are built round the
//! train, so that it stands or nearly does; then something is changed.

use super::rig::{
    Chain, KeepOut, Pivot, Rig, Shape, Slot, Spot, Wheel, apart, giver, minus, plus, times, turned,
};
use crate::oracle::draw::Dice;

/// Numbers that one case is drawn from.
pub(crate) const STRIP: usize = 160;

/// Of these, the last ones are for joined gears: what comes before seldom goes so far.
const JOINTS: usize = 26;

/// A bracket and a train.
#[derive(Debug, Clone)]
pub(crate) struct Case {
    pub(crate) rig: Rig,
    pub(crate) chain: Chain,
}

/// Hundredths: what a file can say.
pub(crate) fn hundredths(size: f64) -> f64 {
    (size * 100.0).round() / 100.0
}

pub(crate) fn spot([right, up]: Spot) -> Spot {
    [hundredths(right), hundredths(up)]
}

/// From `from` to `to`, in hundredths.
pub(crate) fn between(dice: &mut Dice, from: f64, to: f64) -> f64 {
    let share = f64::from(u16::try_from(dice.below(10_000)).expect("small")) / 9_999.0;
    hundredths(from + share * (to - from))
}

const MODULES: [f64; 5] = [1.0, 1.25, 1.27, 0.8, 1.5];

fn wheel(dice: &mut Dice, module: f64) -> Wheel {
    let teeth = 16 + u64::try_from(dice.below(65)).expect("small");
    Wheel { teeth, module, idle: false }
}

fn draw_chain(dice: &mut Dice) -> Chain {
    let studs = dice.pick(&[1, 1, 2, 1, 0, 2, 1, 3, 1, 2]);
    let mut module = MODULES[dice.below(4)];
    let mut chain = vec![vec![wheel(dice, module)]];
    for _ in 0..studs {
        let pair = dice.once_in(2);
        let driven = wheel(dice, module);
        let other = MODULES[dice.below(MODULES.len())];
        let mixed = dice.once_in(4);
        chain.push(vec![driven]);
        if pair {
            module = if mixed { other } else { module };
            let driver = wheel(dice, module);
            chain.last_mut().expect("a stud").push(driver);
        }
    }
    chain.push(vec![wheel(dice, module)]);
    chain
}

/// On some shafts with one gear another one goes along, joined to it.
fn join(chain: &mut Chain, dice: &mut Dice) {
    let often = dice.pick(&[0, 0, 3]);
    for shaft in chain.iter_mut().filter(|shaft| shaft.len() == 1) {
        let (joined, module) = (dice.once_in(3), dice.pick(&MODULES));
        let mixed = dice.once_in(4);
        let other = wheel(dice, if mixed { module } else { shaft[0].module });
        if joined && often > 0 {
            shaft.push(Wheel { idle: true, ..other });
        }
    }
}

/// Where the shafts could be: from the driven shaft up, mesh by mesh, each open by what is drawn.
pub(crate) fn places(
    chain: &Chain,
    opening: &dyn Fn(&mut Dice) -> f64,
    dice: &mut Dice,
) -> Vec<Spot> {
    let mut places = vec![[0.0, 0.0]];
    let mut heading = between(dice, -70.0, 70.0);
    for two in chain.windows(2).rev() {
        let distance = giver(&two[0]).pitch_radius() + two[1][0].pitch_radius() + opening(dice);
        let before = places[places.len() - 1];
        places.push(plus(before, times(turned([0.0, 1.0], heading), distance)));
        heading = between(dice, 15.0, 100.0) * if heading > 0.0 { -1.0 } else { 1.0 } * 0.8;
    }
    places.reverse();
    places
}

/// How far a stud is along and across a line at an angle to the arm's own line.
pub(crate) fn seen(rig: &Rig, swing: f64, angle: f64, stud: Spot) -> Spot {
    let from_pivot = minus(stud, rig.pivot_at());
    let along = turned(rig.arm(swing), angle);
    let across = turned(along, 90.0);
    [along, across].map(|axis| axis[0] * from_pivot[0] + axis[1] * from_pivot[1])
}

fn slot_at(rig: &Rig, swing: f64, stud: Spot, dice: &mut Dice) -> Slot {
    let kind = dice.below(10);
    let angle = dice.pick(&[0.0, 0.0, 7.5, -15.0, 22.5, -40.0, 90.0]);
    let slack = [between(dice, -0.6, 20.0), between(dice, -0.6, 20.0)];
    if kind < 2 {
        let middle = [between(dice, 10.0, 60.0), between(dice, -40.0, 40.0)];
        let [along, across] = seen(rig, swing, 0.0, stud);
        let rest = [along - middle[0], across - middle[1]];
        let at = rest[1].atan2(rest[0]).to_degrees().round();
        return Slot::Arc {
            along: middle[0],
            across: middle[1],
            radius: hundredths(rest[0].hypot(rest[1]).max(1.0)),
            from: at - (slack[0] * 3.0).round().max(-1.0),
            to: at + (slack[1] * 3.0).round().max(2.0),
        };
    }
    let [along, offset] = seen(rig, swing, angle, stud).map(hundredths);
    let slack = if kind < 4 { [0.0, 0.0] } else { slack };
    let (from, to) = (hundredths(along - slack[0]), hundredths(along + slack[1]));
    Slot::Straight { from, to: to.max(from), angle, offset }
}

fn surroundings(rig: &mut Rig, places: &[Spot], dice: &mut Dice) {
    if dice.once_in(4) {
        let far = |axis: usize, sign: f64| {
            let reach = places.iter().map(|place| place[axis] * sign).fold(0.0, f64::max);
            (reach + 55.0) * sign
        };
        let trim = [0; 4].map(|_| between(dice, -25.0, 12.0));
        let (left, right) = (far(0, -1.0) + trim[0], far(0, 1.0) - trim[1]);
        let (low, high) = (far(1, -1.0) + trim[2], far(1, 1.0) - trim[3]);
        let corners = [[left, low], [right, low], [right + 4.0, f64::midpoint(low, high)]];
        let corners = [corners.as_slice(), &[[right, high], [left, high]]].concat();
        rig.cover = Some(corners.into_iter().map(spot).collect());
    }
    for _ in 0..dice.pick(&[0, 0, 1, 0, 2]) {
        let middle = [between(dice, -110.0, 110.0), between(dice, -50.0, 150.0)];
        let shape = if dice.once_in(2) {
            Shape::Circle(middle, between(dice, 2.0, 12.0))
        } else {
            // One corner turned in.
            let by = between(dice, 4.0, 20.0);
            let corners = [[-by, -by], [by, -by], [0.0, 0.0], [by, by], [-by, by]];
            Shape::Polygon(corners.map(|corner| spot(plus(middle, corner))).to_vec())
        };
        let planes = match dice.below(3) {
            1 => vec![1],
            2 => vec![rig.planes],
            _ => Vec::new(),
        };
        rig.keep_outs.push(KeepOut { shape, planes });
    }
}

fn swing_limits(swing: f64, dice: &mut Dice) -> Option<[f64; 2]> {
    let room = [between(dice, -4.0, 40.0), between(dice, -4.0, 40.0)];
    let round = |degrees: f64| (degrees * 4.0).round() / 4.0;
    let limits = [round(swing - room[0]), round(swing + room[1])];
    let fixed = [hundredths(swing); 2];
    match dice.below(10) {
        0..3 if limits[0] < limits[1] => Some(limits),
        3 => Some(fixed),
        _ => None,
    }
}

impl Case {
    pub(crate) fn draw(strip: &[u16]) -> Self {
        let mut dice = Dice::new(strip);
        let mut chain = draw_chain(&mut dice);
        let mut rig = round(&chain, &mut dice);
        spoil(&mut rig, &mut chain, &mut dice);
        join(&mut chain, &mut Dice::new(&strip[STRIP - JOINTS..]));
        Self { rig, chain }
    }
}

/// A bracket built round a train; it stands more often than not.
pub(crate) fn round(chain: &Chain, dice: &mut Dice) -> Rig {
    let opening = dice.pick(&[[0.0, 0.2], [0.05, 0.2], [0.1, 0.5], [0.0, 0.0]]);
    let mut rig = Rig { opening, ..Rig::default() };
    let places = places(chain, &|_| f64::midpoint(opening[0], opening[1]), dice);
    let studs = &places[1..places.len() - 1];
    rig.first = spot(places[0]);
    if dice.once_in(2) {
        rig.first = [0.0, hundredths(apart(places[0], [0.0, 0.0])).max(1.0)];
    }
    let about = [between(dice, -40.0, 40.0), between(dice, -40.0, 40.0)];
    // A pivot of its own with many studs is slow to look through.
    let rarely = dice.once_in(4);
    let pivots = if studs.len() < 2 || (studs.len() == 2 && rarely) { 4 } else { 3 };
    rig.pivot = [Pivot::Last, Pivot::First, Pivot::Last, Pivot::At(about)][dice.below(pivots)];
    let swing = between(dice, -50.0, 50.0);
    rig.slots = studs.iter().map(|&stud| slot_at(&rig, swing, stud, dice)).collect();
    share_slots(&mut rig, swing, studs, dice);
    rig.swing = swing_limits(swing, dice);
    rig.planes = dice.pick(&[2, 3, 2, 3, 2, 4, 2, 3, 4, 2, 3, 1]);
    rig.hubs = [0; 3].map(|_| between(dice, 0.0, 12.0));
    rig.clearance = between(dice, 0.0, 2.0);
    rig.least_stud = if dice.once_in(3) { between(dice, 20.0, 45.0) } else { 0.0 };
    for end in 0..2 {
        if dice.once_in(6) {
            rig.end_planes[end] = vec![1];
        }
    }
    surroundings(&mut rig, &places, dice);
    if rig.slots.is_empty() {
        rig.slots = vec![Slot::Straight { from: 30.0, to: 90.0, angle: 0.0, offset: 0.0 }];
    }
    rig
}

/// Two studs in one slot through both places; or a slot more, which serves nobody.
fn share_slots(rig: &mut Rig, swing: f64, studs: &[Spot], dice: &mut Dice) {
    let (share, more) = (dice.once_in(3), dice.once_in(5));
    if let ([a, b, ..], true) = (studs, share) {
        let line = minus(*b, *a);
        let arm = rig.arm(swing);
        let heading = |v: Spot| v[0].atan2(v[1]).to_degrees();
        let angle = hundredths(heading(line) - heading(arm));
        let angle = if angle.abs() > 360.0 { 0.0 } else { angle };
        let [from, offset] = seen(rig, swing, angle, *a).map(hundredths);
        let [to, _] = seen(rig, swing, angle, *b).map(hundredths);
        let slack = between(dice, 0.0, 10.0);
        let (from, to) = (hundredths(from - slack), hundredths(to + slack));
        rig.slots.splice(
            0..2,
            [Slot::Straight { from, to: to.max(hundredths(from + 1.0)), angle, offset }],
        );
    }
    if more {
        let from = between(dice, 20.0, 60.0);
        rig.slots.push(Slot::Straight {
            from,
            to: hundredths(from + 20.0),
            angle: -30.0,
            offset: 0.0,
        });
    }
}

/// Changes something, half of the time.
fn spoil(rig: &mut Rig, chain: &mut Chain, dice: &mut Dice) {
    let (way, by) = (dice.below(26), between(dice, -25.0, 25.0));
    let shaft = dice.below(chain.len());
    let more = u64::try_from(dice.below(30)).expect("small");
    match way {
        10 | 11 => rig.first[1] = hundredths(rig.first[1] + by).max(5.0),
        12 => chain[shaft][0].teeth += more,
        13 => chain[shaft][0].teeth = 16 + more,
        14 => rig.first[1] = hundredths(rig.first[1].abs() + 60.0 + by),
        15 => rig.first = [0.0, hundredths(12.0 + by.abs() / 2.0)],
        16 if chain.len() > 3 => {
            rig.slots = vec![Slot::Straight { from: 60.0, to: 60.0, angle: 0.0, offset: 0.0 }];
        }
        17 => {
            if let Some(Slot::Straight { offset, .. }) = rig.slots.first_mut() {
                *offset = hundredths(*offset + 2.0 * by);
            }
        }
        19 if chain.len() > 2 => rig.slots.clear(),
        18 => rig.least_stud = hundredths(50.0 + by),
        _ => {}
    }
}
