//! Which gears are moved from one train to another?

use super::{OnShaft, Train};
use crate::Teeth;

/// A gear on a shaft.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub struct GearAt {
    /// Its shaft.
    pub shaft: OnShaft,
    /// Its teeth.
    pub teeth: Teeth,
    /// The gear joined to it: both come off and go on together.
    pub partner: Option<Teeth>,
}

/// Gears moved, each list in power-path order. Gears are identified by their teeth and by the gear
/// joined to them; places are as in [`Train::places`]. A joined pair is moved as one: both of its
/// gears are listed where both work, else the working one.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub struct GearChange {
    /// The train before.
    pub from: Train,
    /// The train after.
    pub to: Train,
    /// Taken off.
    pub off: Vec<GearAt>,
    /// Put on.
    pub on: Vec<GearAt>,
    /// On the same shaft in the other plane: taken off and put on again.
    pub shifted: Vec<GearAt>,
}

impl GearChange {
    /// From one train to another.
    ///
    /// ```
    /// use solver::{GearChange, Train};
    /// let train = |text: &str| text.parse::<Train>();
    /// let change = GearChange::between(&train("40-60-80")?, &train("40-60+50-80")?);
    /// assert_eq!((change.on.len(), change.off.len(), change.shifted.len()), (1, 0, 1));
    /// assert_eq!(change.moved(), 3); // the 80 changes its plane: off and on
    /// # Ok::<(), solver::Error>(())
    /// ```
    pub fn between(from: &Train, to: &Train) -> Self {
        let (old, new) = (pieces(from), pieces(to));
        let moved = |here: &[Piece], there: &[Piece], shifted: bool| {
            let gone = here.iter().filter(|piece| !there.iter().any(|other| piece.is_at(other)));
            // The same piece is on the same shaft in the other train, and in no place that it keeps.
            let is_shifted = |piece: &&Piece| {
                let there = there.iter().filter(|other| piece.is_same(other));
                there.filter(|other| !here.iter().any(|own| own.is_at(other))).count() > 0
            };
            let gone = gone.filter(|piece| is_shifted(piece) == shifted);
            gone.flat_map(Piece::gears).collect()
        };
        Self {
            from: from.clone(),
            to: to.clone(),
            off: moved(&old, &new, false),
            on: moved(&new, &old, false),
            shifted: moved(&new, &old, true),
        }
    }

    /// Whether nothing is moved.
    pub const fn is_none(&self) -> bool {
        self.off.is_empty() && self.on.is_empty() && self.shifted.is_empty()
    }

    /// Whether a gear is put on that shaft, or shifted.
    pub fn brings(&self, shaft: OnShaft, teeth: Teeth) -> bool {
        let mut moved = self.on.iter().chain(&self.shifted);
        moved.any(|gear| gear.shaft == shaft && gear.teeth == teeth)
    }

    /// Of those that stay on their shaft: gears that change their plane, and joined pairs that are
    /// turned round.
    pub fn shifted_and_turned(&self) -> (Vec<GearAt>, Vec<GearAt>) {
        self.shifted.iter().partition(|gear| gear.partner.is_none())
    }

    /// Number of gears moved, as in [`Train::handled_from`].
    pub fn moved(&self) -> usize {
        let twice = self.shifted.len().saturating_mul(2);
        self.off.len().saturating_add(self.on.len()).saturating_add(twice)
    }
}

/// A piece moved as one: a gear, or a joined pair.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Piece {
    shaft: OnShaft,
    /// The working gears, each with whether it is in the outer plane as in [`Train::places`].
    works: Vec<(bool, Teeth)>,
    /// The gear joined to the first of them.
    partner: Option<Teeth>,
}

fn pieces(train: &Train) -> Vec<Piece> {
    let mut places = train.places().into_iter();
    let mut pieces: Vec<Piece> = Vec::new();
    for (i, shaft) in train.shafts().iter().enumerate() {
        let partner = train.partner(i).map(|gear| gear.teeth);
        let on = places.by_ref().take(shaft.gears().count());
        let on = on.map(|(place, teeth)| (place.shaft, (place.outer, teeth)));
        for (at, (shaft, gear)) in on.enumerate() {
            match pieces.last_mut().filter(|_| at > 0 && partner.is_some()) {
                Some(pair) => pair.works.push(gear),
                None => pieces.push(Piece { shaft, works: vec![gear], partner }),
            }
        }
    }
    pieces
}

impl Piece {
    fn gears(&self) -> impl Iterator<Item = GearAt> {
        let teeth: Vec<Teeth> = self.works.iter().map(|(_, teeth)| *teeth).collect();
        let (shaft, partner) = (self.shaft, self.partner);
        let first = teeth.first().copied();
        (0..).zip(teeth).map(move |(i, teeth)| {
            let partner = if i == 0 { partner } else { partner.and(first) };
            GearAt { shaft, teeth, partner }
        })
    }

    /// Its gears, working or not, the smaller first.
    fn made_of(&self) -> (Option<Teeth>, Option<Teeth>) {
        let own = self.works.first().map(|(_, teeth)| *teeth);
        (self.partner.and(own.min(self.partner)), own.max(self.partner))
    }

    /// Whether the two are one piece on one shaft.
    fn is_same(&self, other: &Self) -> bool {
        self.shaft == other.shaft && self.made_of() == other.made_of()
    }

    /// Whether it keeps its place: for a joined pair one gear is enough.
    fn is_at(&self, other: &Self) -> bool {
        let there = |gear: &(bool, Teeth)| other.works.contains(gear);
        self.is_same(other) && self.works.iter().any(there)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A joined pair comes off, goes on and is turned round as one, and is not a loose gear.
    #[test]
    fn a_joined_pair_is_moved_as_one() {
        let gear = |teeth| crate::Gear::new(Teeth::new(teeth).unwrap());
        let train = |text: &str| text.parse::<Train>().unwrap();
        let pair = train("40-127+120-60").with_partner(1, gear(120));
        let teeth = |gears: &[GearAt]| -> Vec<(u16, Option<u16>)> {
            gears.iter().map(|g| (g.teeth.get(), g.partner.map(Teeth::get))).collect()
        };
        // A loose 127 in its place: both come off.
        let loose = GearChange::between(&pair, &train("40-127-60"));
        assert_eq!(teeth(&loose.off), [(127, Some(120)), (120, Some(127))]);
        assert_eq!(teeth(&loose.on), [(127, None)]);
        // The 127 of the pair alone: it stays, and the 120 with it.
        let alone = train("40-127-60").with_partner(1, gear(120));
        let same = GearChange::between(&pair, &alone);
        assert!(same.off.is_empty() && same.on.is_empty(), "{same:?}");
        // Turned round.
        let round = train("40-120+127-60").with_partner(1, gear(127));
        let turned = GearChange::between(&pair, &round);
        assert_eq!(teeth(&turned.shifted), [(120, Some(127)), (127, Some(120))]);
        assert!(turned.off.is_empty() && turned.on.is_empty(), "{turned:?}");
    }

    #[test]
    fn what_is_moved_is_what_is_counted() {
        let trains = ["20-80+20-80", "45-75+63-80", "40-60-80", "40-60+50-80", "40-80", "80-60-40"];
        let trains = trains.map(|text| text.parse::<Train>().unwrap());
        for (from, to) in trains.iter().flat_map(|a| trains.iter().map(move |b| (a, b))) {
            let change = GearChange::between(from, to);
            assert_eq!(change.moved(), to.handled_from(from), "{from} {to}");
            assert_eq!(change.is_none(), from == to, "{from} {to}");
        }
    }
}
