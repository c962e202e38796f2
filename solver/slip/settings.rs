//! Headstock, levers or tumbler in another position.

use super::kind::{self, Slip};
use crate::{Lathe, Setting};

/// The settings in which one or two of headstock and levers are elsewhere, with what is, and the points.
pub(crate) fn other_settings<'s>(
    settings: &'s [Setting],
    right: &Setting,
    most: usize,
) -> Vec<(Vec<Slip>, u32, &'s Setting)> {
    let of = |other: &'s Setting| {
        let moved = moved(right, other);
        let few = (1..=most).contains(&moved.len());
        let points = moved.iter().map(|(_, points)| *points).sum();
        few.then(|| (moved.into_iter().map(|(slip, _)| slip).collect(), points, other))
    };
    settings.iter().filter_map(of).collect()
}

fn moved(right: &Setting, other: &Setting) -> Vec<(Slip, u32)> {
    let levers = right.levers.iter().zip(&other.levers).enumerate();
    let levers = levers.filter(|(_, (own, wrong))| own != wrong);
    let levers = levers.map(|(lever, (own, &position))| {
        let next = own.abs_diff(position) == 1;
        let points = if next { kind::NEXT_POSITION } else { kind::POSITION };
        (Slip::Lever { lever, position }, points)
    });
    let headstock = (other.headstock != right.headstock)
        .then_some((Slip::Headstock(other.headstock), kind::HEADSTOCK));
    levers.chain(headstock).collect()
}

/// The other positions of the tumbler, where the right one is known.
pub(crate) fn other_tumblers(
    lathe: &Lathe,
    tumbler: Option<usize>,
) -> impl Iterator<Item = (Slip, u32, usize)> {
    let positions = 0..lathe.parts().tumbler.len();
    let others = positions.filter(move |at| tumbler.is_some_and(|own| own != *at));
    others.map(|at| (Slip::Tumbler(at), kind::TUMBLER, at))
}
