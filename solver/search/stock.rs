//! Which gears can a train use? Kinds, joints, tooth classes, and the arbor rule.
//!
//! A kind is one tooth count with tooth size, angle and places, however many are owned. The two
//! sides of a joint are separate kinds; the machine's own end gears come last.

use crate::bracket::{Geometry, Seats, Wheel};
use crate::lathe::Counted;
use crate::{End, Gear, GearSet, Lathe, Ratio, Result, Setting, ShaftClearance};
use std::sync::atomic::{AtomicBool, Ordering::Relaxed};

/// Index of a kind.
pub(super) type KindId = u16;

/// One side of a joint.
#[derive(Debug, Clone, Copy)]
pub(super) struct Side {
    /// Which joint.
    pub(super) joint: u8,
    /// The kind that it is joined to.
    pub(super) partner: KindId,
    /// Whether it may drive on a stud, with its partner driven.
    pub(super) may_drive: bool,
    /// Whether it may be driven on a stud, with its partner driving.
    pub(super) may_be_driven: bool,
}

#[derive(Debug, Clone)]
pub(super) struct Kind {
    pub(super) gear: Gear,
    pub(super) teeth: u16,
    /// Gears of one class mesh with each other and with no others.
    pub(super) class: u8,
    /// How many a train may use.
    pub(super) usable: u8,
    /// How many are owned: fewer than usable only where one more is imagined.
    pub(super) owned: u8,
    pub(super) side: Option<Side>,
    /// Its sizes in the arbor rule, where that is asked.
    counted: Counted,
}

#[derive(Debug)]
pub(super) struct Stock {
    pub(super) kinds: Vec<Kind>,
    /// Number of kinds in the box; the machine's own gears follow.
    pub(super) boxed: usize,
    pub(super) classes: usize,
    /// How many gears beyond those owned a train may use.
    pub(super) spare: u8,
    /// Teeth of each kind, in one array.
    teeth: Vec<u16>,
    /// [`Stock::step`] of every two kinds.
    steps: Vec<u32>,
    /// Which kinds go on an end shaft, by [`EndGear::Among`].
    filters: Vec<Vec<bool>>,
    /// Most loose pairs at once.
    pub(super) sleeves: usize,
    /// Joints owned, by joint.
    joints: Vec<u8>,
    /// The bracket, where it is asked; the arbor rule is then off.
    pub(super) bracket: Option<Mounts>,
    /// The arbor rule, where it is asked.
    arbor: Option<ShaftClearance>,
    /// Whether some train was left unsettled.
    cut_short: AtomicBool,
}

/// The bracket with the sizes of the kinds.
#[derive(Debug)]
pub(super) struct Mounts {
    pub(super) geometry: Geometry,
    wheels: Vec<Wheel>,
    /// The kind joined to each kind; the kind's own number: none.
    partners: Vec<KindId>,
    /// Where along the power path two kinds can mesh, as [`Geometry::seats`] says, also for the
    /// kinds joined to them.
    seats: Vec<Seats>,
}

impl Mounts {
    fn new(geometry: Geometry, kinds: &[Kind]) -> Self {
        let wheels: Vec<Wheel> = kinds.iter().map(|k| geometry.wheel(&k.gear)).collect();
        let partner = |(i, kind): (usize, &Kind)| kind.side.map_or(kind_id(i), |s| s.partner);
        let partners: Vec<KindId> = kinds.iter().enumerate().map(partner).collect();
        let of = |i: usize| (&wheels[i], kinds[i].side.map(|s| &wheels[usize::from(s.partner)]));
        let seats = |driver: usize, driven: usize| {
            let ((a, beside_a), (b, beside_b)) = (of(driver), of(driven));
            let mut seats = geometry.seats(a, b);
            if let Some(beside) = beside_a {
                seats = seats.and(geometry.seats_joined(a, beside, b, true));
            }
            if let Some(beside) = beside_b {
                seats = seats.and(geometry.seats_joined(b, beside, a, false));
            }
            seats
        };
        let all = 0..kinds.len();
        let pairs = all.clone().flat_map(|a| all.clone().map(move |b| (a, b)));
        let seats = pairs.map(|(a, b)| seats(a, b)).collect();
        Self { geometry, wheels, partners, seats }
    }

    /// The kind joined to a kind.
    #[inline]
    pub(super) fn partner(&self, kind: KindId) -> Option<KindId> {
        Some(self.partners[usize::from(kind)]).filter(|partner| *partner != kind)
    }

    #[inline]
    pub(super) fn wheel(&self, kind: KindId) -> &Wheel {
        &self.wheels[usize::from(kind)]
    }

    /// Where along the power path the two can mesh.
    #[inline]
    pub(super) fn seats(&self, driver: KindId, driven: KindId) -> Seats {
        self.seats[usize::from(driver) * self.wheels.len() + usize::from(driven)]
    }
}

/// The gear of an end shaft.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum EndGear {
    /// The machine's own gear.
    Own(KindId),
    /// A gear from the box, among those of a filter.
    Among(u16),
}

impl EndGear {
    /// The machine's own gear, if it is that.
    pub(super) const fn own(self) -> Option<KindId> {
        match self {
            Self::Own(kind) => Some(kind),
            Self::Among(_) => None,
        }
    }
}

/// A gear beside a meshing one, with its tip too near to an axis.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Clash {
    /// The gear whose tip is too near.
    pub(super) tip: KindId,
    /// The gear joined to it, if it has no work.
    pub(super) joined_to: Option<KindId>,
    /// The gear on that axis.
    pub(super) axis: KindId,
    /// How much is missing, in mm.
    pub(super) short: Ratio,
}

impl Stock {
    /// `one_more`: with one more gear of any loose kind than owned.
    pub(super) fn new(
        lathe: &Lathe,
        settings: &[Setting],
        arbor: Option<Ratio>,
        bracket: Option<Geometry>,
        one_more: bool,
    ) -> Result<Self> {
        let parts = lathe.parts();
        let mut kinds = in_box(&parts.gears, one_more);
        let boxed = kinds.len();
        let ends = std::iter::once(&parts.ends.first).chain(settings.iter().map(|s| &s.last));
        for end in ends {
            if let End::Own(teeth) = end
                && !kinds[boxed..].iter().any(|k| k.gear.teeth == *teeth)
            {
                kinds.push(Kind::of(parts.gears.usual(*teeth), 0));
            }
        }
        let classes = classify(&mut kinds);
        let arbor = arbor.filter(|_| bracket.is_none());
        let rule = |least| ShaftClearance::new(kinds.iter().map(|kind| &kind.gear), least);
        let arbor = arbor.map(rule).transpose()?;
        for kind in &mut kinds {
            if let Some(arbor) = &arbor {
                kind.counted = arbor.counted(&kind.gear)?;
            }
        }
        Ok(Self {
            teeth: kinds.iter().map(|k| k.teeth).collect(),
            steps: steps(&kinds),
            bracket: bracket.map(|geometry| Mounts::new(geometry, &kinds)),
            kinds,
            filters: Vec::new(),
            boxed,
            classes,
            spare: u8::from(one_more),
            sleeves: lathe.loose_pairs_at_once(),
            joints: parts.gears.joined().iter().map(|j| j.count).collect(),
            arbor,
            cut_short: AtomicBool::new(false),
        })
    }

    /// Notes that one train was left unsettled.
    pub(super) fn cut_short(&self) {
        self.cut_short.store(true, Relaxed);
    }

    pub(super) fn is_settled(&self) -> bool {
        !self.cut_short.load(Relaxed)
    }

    #[inline]
    pub(super) fn kind(&self, id: KindId) -> &Kind {
        &self.kinds[usize::from(id)]
    }

    #[inline]
    pub(super) fn teeth(&self, id: KindId) -> u16 {
        self.teeth[usize::from(id)]
    }

    /// The step from one gear to the one it meshes with: max/min as a whole number that keeps the
    /// order; [`NO_MESH`] where they don't mesh.
    #[inline]
    pub(super) fn step(&self, a: KindId, b: KindId) -> u32 {
        self.steps[usize::from(a) * self.kinds.len() + usize::from(b)]
    }

    pub(super) fn joints_owned(&self, joint: u8) -> u8 {
        self.joints[usize::from(joint)]
    }

    /// The gear of an end shaft, as the search needs it.
    pub(super) fn end(&mut self, end: &End, first: bool) -> EndGear {
        let list = match end {
            End::Own(teeth) => {
                // `new` has added the machine's own gears.
                let own = self.kinds[self.boxed..].iter().position(|k| k.gear.teeth == *teeth);
                return EndGear::Own(kind_id(self.boxed + own.unwrap_or(0)));
            }
            End::Any => None,
            End::Owned(list) => Some(list),
        };
        let goes = |k: &Kind| if first { k.gear.places.first } else { k.gear.places.last };
        let listed = |k: &Kind| list.is_none_or(|l| l.contains(&k.gear.teeth));
        let filter: Vec<bool> =
            self.kinds[..self.boxed].iter().map(|k| goes(k) && listed(k)).collect();
        let known = self.filters.iter().position(|f| *f == filter).unwrap_or_else(|| {
            self.filters.push(filter);
            self.filters.len() - 1
        });
        EndGear::Among(kind_id(known))
    }

    /// Whether a gear from the box can be the end gear.
    #[inline]
    pub(super) fn among(&self, end: EndGear, kind: KindId) -> bool {
        match end {
            EndGear::Own(_) => false,
            EndGear::Among(filter) => self.filters[usize::from(filter)][usize::from(kind)],
        }
    }

    /// The arbor rule for one mesh: `gear` meshes with `other`, and `beside` is on the same shaft as
    /// `gear`. The missing distance, in the units of [`Stock::short_mm`].
    #[inline]
    pub(super) fn arbor_short(&self, gear: KindId, other: KindId, beside: KindId) -> i128 {
        let Some(arbor) = &self.arbor else { return 0 };
        let [a, b, c] = [gear, other, beside].map(|kind| self.kind(kind).counted);
        arbor.short(a, b, c)
    }

    /// A shortage from [`Stock::arbor_short`], in mm.
    pub(super) fn short_mm(&self, short: i128) -> Ratio {
        self.arbor.as_ref().map_or(Ratio::ONE, |arbor| arbor.mm(short))
    }
}

impl Kind {
    fn of(gear: Gear, owned: u8) -> Self {
        Self {
            gear,
            teeth: gear.teeth.get(),
            class: 0,
            usable: owned,
            owned,
            side: None,
            counted: (0, 0),
        }
    }
}

/// The kinds in the box: loose gears, then the two sides of each joined pair.
fn in_box(gears: &GearSet, one_more: bool) -> Vec<Kind> {
    let loose = gears.loose().iter().map(|(gear, owned)| Kind {
        usable: owned.saturating_add(u8::from(one_more)),
        ..Kind::of(*gear, *owned)
    });
    let mut kinds: Vec<Kind> = loose.collect();
    for (joint, joined) in (0_u8..).zip(gears.joined()) {
        let first = kind_id(kinds.len());
        for (i, gear) in (0_u16..).zip(joined.gears) {
            let side = Side {
                joint,
                partner: first.saturating_add(1 - i),
                may_drive: i == 1 || joined.turn_round,
                may_be_driven: i == 0 || joined.turn_round,
            };
            kinds.push(Kind { side: Some(side), ..Kind::of(gear, joined.count) });
        }
    }
    kinds
}

/// The step between gears that don't mesh: larger than any other.
pub(super) const NO_MESH: u32 = u32::MAX;

/// max/min as a whole number that keeps the order: two different steps of gears up to 400 teeth
/// differ by at least 1/160,000, far more than 2^-22.
fn whole_step(a: u16, b: u16) -> u32 {
    let (low, high) = if a < b { (a, b) } else { (b, a) };
    (u32::from(high) << 22) / u32::from(low.max(1))
}

fn steps(kinds: &[Kind]) -> Vec<u32> {
    let step = |a: &Kind, b: &Kind| {
        if a.class == b.class { whole_step(a.teeth, b.teeth) } else { NO_MESH }
    };
    kinds.iter().flat_map(|a| kinds.iter().map(move |b| step(a, b))).collect()
}

/// The box holds at most 250 kinds, and the machine few gears of its own.
pub(super) fn kind_id(index: usize) -> KindId {
    KindId::try_from(index).unwrap_or(KindId::MAX)
}

/// Numbers the classes of gears that mesh, and counts them.
fn classify(kinds: &mut [Kind]) -> usize {
    let mut heads: Vec<Gear> = Vec::new();
    for kind in kinds {
        let class = heads.iter().position(|h| h.meshes_with(&kind.gear)).unwrap_or_else(|| {
            heads.push(kind.gear);
            heads.len() - 1
        });
        kind.class = u8::try_from(class).unwrap_or(u8::MAX);
    }
    heads.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_keep_their_order() {
        // The closest two steps there are: 400/399 against 399/398.
        assert!(whole_step(399, 400) < whole_step(398, 399));
        assert_eq!(whole_step(20, 40), whole_step(200, 100));
        assert!(whole_step(5, 400) < NO_MESH);
    }
}
