//! What are the measured sizes of the bracket? Where studs can be clamped, and what is in their way.
//!
//! All lengths are exact. The geometry is in `solver/bracket.rs`.
//!
//! ```text
//!   face view, from the cover end          the arm's own frame, arm at swing 0
//!   up |   (S) driving shaft                 along |  /  slot at an angle
//!      |    |                                    | |   slot with an offset across
//!      |    | line pivot - other shaft           | |
//!      |   (D) driven shaft                        (pivot)--- across, clockwise
//!      +---------- right: the operator
//! ```

use crate::{Degrees, Error, Fix, GearSet, Length, Offset, Ratio, Result, Teeth, Where, bounds};
use num_integer::Integer;

/// A place in the face view, from the axis of the driven shaft.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Spot {
    /// Toward the operator.
    pub right: Offset,
    /// Upward.
    pub up: Offset,
}

/// Where the driving shaft is, seen from the last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FirstShaft {
    /// At this distance; drawn straight above.
    Away(Length),
    /// At a place measured both ways.
    At(Spot),
}

impl FirstShaft {
    /// Its place, or the place where it is drawn.
    pub const fn spot(&self) -> Spot {
        match *self {
            Self::Away(centres) => Spot { right: Offset::ZERO, up: Offset::new(centres) },
            Self::At(spot) => spot,
        }
    }
}

/// The pivot of the bracket.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Pivot {
    /// The axis of the driven shaft: usual.
    #[default]
    Last,
    /// The axis of the driving shaft.
    First,
    /// Any other point.
    At(Spot),
}

/// A place on the arm where a stud can be clamped; angles count clockwise in the face view.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Slot {
    /// A straight slot; a hole where `from` equals `to`.
    Straight {
        /// Nearest place of a stud's axis along the slot, from the foot of the perpendicular from
        /// the pivot (with no offset: from the pivot).
        from: Offset,
        /// Furthest place.
        to: Offset,
        /// Its direction against the arm's own line.
        angle: Degrees,
        /// Its distance beside the pivot, clockwise positive.
        offset: Offset,
    },
    /// An arc slot.
    Arc {
        /// Its centre along the arm's own line, from the pivot.
        along: Offset,
        /// Its centre across that line, clockwise positive.
        across: Offset,
        /// Radius of the stud's axis.
        radius: Length,
        /// Direction of one end seen from its centre, against the arm's own line.
        from: Degrees,
        /// Direction of the other end, clockwise from the first.
        to: Degrees,
    },
}

impl Slot {
    /// Whether it is a hole: one place for a stud.
    pub fn is_hole(&self) -> bool {
        match self {
            Self::Straight { from, to, .. } => from == to,
            Self::Arc { from, to, .. } => from == to,
        }
    }
}

/// The shape of an obstacle.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Shape {
    /// A round part.
    Circle {
        /// Its middle.
        at: Spot,
        /// Its radius.
        radius: Length,
    },
    /// A polygon, by its corners.
    Polygon(Vec<Spot>),
}

/// A part of the machine beside the gears.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeepOut {
    /// Its name.
    pub name: String,
    /// Its outline.
    pub shape: Shape,
    /// The planes that it is in; empty: all.
    pub planes: Vec<u8>,
}

/// Radii of the parts that carry the gears (hub, washer or nut, whichever is largest). A gear in a
/// neighbouring plane must clear them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct HubRadii {
    /// Of the driving shaft.
    pub first: Offset,
    /// Of each stud.
    pub stud: Offset,
    /// Of the driven shaft.
    pub last: Offset,
}

/// The bracket, measured.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Bracket {
    /// The place of the driving shaft.
    pub first: FirstShaft,
    /// The pivot of the arm.
    pub pivot: Pivot,
    /// The slots and holes for studs.
    pub slots: Vec<Slot>,
    /// The arm's own line against the line from the pivot to the other shaft (to the driving shaft,
    /// where the pivot is separate), clockwise positive: least and greatest; `None`: it swings
    /// freely.
    pub swing: Option<(Degrees, Degrees)>,
    /// The least distance from the axis of a stud to that of the driving shaft.
    pub least_stud: Offset,
    /// Radii of hubs, washers, nuts.
    pub hub_radii: HubRadii,
    /// Clearance between parts that must not touch.
    pub clearance: Offset,
    /// Planes for gears, counted from the headstock outward.
    pub planes: u8,
    /// Planes for the driving shaft's gear; empty: all.
    pub first_planes: Vec<u8>,
    /// Planes for the driven shaft's gear; empty: all.
    pub last_planes: Vec<u8>,
    /// Opening of a mesh beyond the sum of the pitch radii: least and greatest. An opening of j / (2
    /// tan 20°) gives a backlash of j (geometry of the involute; from memory).
    pub opening: (Offset, Offset),
    /// The outline around all gears.
    pub cover: Option<Vec<Spot>>,
    /// The parts that gears must clear.
    pub keep_out: Vec<KeepOut>,
}

impl Bracket {
    /// A bracket that pivots on the driven shaft, with one straight slot toward the stud and no
    /// obstacles. Two planes and 1 mm of clearance are assumed (common practice, no source). Meshes
    /// open by up to 0.2 mm where nothing can move.
    pub fn plain(first: Length, from: Length, to: Length) -> Self {
        let slot = Slot::Straight {
            from: from.into(),
            to: to.into(),
            angle: Degrees::ZERO,
            offset: Offset::ZERO,
        };
        Self::of(FirstShaft::Away(first), vec![slot])
    }

    /// The same with any place of the driving shaft, and any slots and holes.
    pub fn of(first: FirstShaft, slots: Vec<Slot>) -> Self {
        Self {
            first,
            pivot: Pivot::Last,
            slots,
            swing: None,
            least_stud: Offset::ZERO,
            hub_radii: HubRadii::default(),
            clearance: Self::usual_clearance(),
            planes: 2,
            first_planes: Vec::new(),
            last_planes: Vec::new(),
            opening: (Offset::ZERO, Self::usual_opening()),
            cover: None,
            keep_out: Vec::new(),
        }
    }

    /// Clearance assumed where none is stated: 1 mm (common practice, no source).
    pub const fn usual_clearance() -> Offset {
        Offset::new(Length::from_mm(crate::Ratio::ONE))
    }

    /// Greatest opening of a mesh where none is stated: 0.2 mm, a backlash of 0.15 mm (common
    /// practice, no source: texts say 0.03 to 0.2 mm).
    pub const fn usual_opening() -> Offset {
        Offset::new(Length::from_mm(crate::Ratio::table(1, 5)))
    }

    /// Checks it for a lathe with `studs` studs, with places within the bracket.
    pub(crate) fn check(&self, studs: u8) -> Result<()> {
        bounds::PLANES.check(self.planes.into()).map_err(|e| e.at(&[Where::Planes]))?;
        self.check_first()?;
        self.check_pivot().map_err(|e| e.at(&[Where::Pivot]))?;
        self.check_slots(studs)?;
        if let Some((from, to)) = &self.swing {
            check_turn(from, to, "leave it out where the arm swings freely")
                .map_err(|e| e.at(&[Where::Swing]))?;
        }
        self.check_sizes()?;
        for (end, planes) in
            [(Where::FirstPlanes, &self.first_planes), (Where::LastPlanes, &self.last_planes)]
        {
            self.check_planes(planes).map_err(|e| e.at(&[end]))?;
        }
        self.check_surroundings()
    }

    fn check_sizes(&self) -> Result<()> {
        for (place, size) in self.sizes() {
            not_negative(&size).and_then(|()| held(&size)).map_err(|e| e.at(place))?;
        }
        if self.opening.0 > self.opening.1 {
            return Err(upside_down(&self.opening.0, &self.opening.1).at(&[Where::Opening]));
        }
        Ok(())
    }

    /// Steps in a millimetre such that every length of the bracket and every half module of the
    /// gears is a whole number of steps. Sums and comparisons of lengths are then exact in doubles.
    ///
    /// # Errors
    /// If the steps were too fine: ten metres must be below 2^53 of them.
    pub(crate) fn steps_per_mm(&self, gears: &GearSet) -> Result<u64> {
        let mut steps = 1_u128;
        let own = Teeth::new(bounds::TEETH.low).map(|t| gears.usual(t))?;
        for gear in gears.all().chain(std::iter::once(&own)) {
            steps = common(steps, &gear.module().over(&Ratio::table(2, 1))?)?;
        }
        for (place, size) in self.lengths() {
            if let Some(size) = size.size() {
                steps = common(steps, &size).map_err(|e| e.at(&place))?;
            }
        }
        u64::try_from(steps).map_err(|_| Error::too_large("the common measure"))
    }

    /// Every length that is compared with a distance, with its place.
    fn lengths(&self) -> Vec<(Vec<Where>, Offset)> {
        let mut all: Vec<_> =
            self.sizes().into_iter().map(|(place, size)| (place.to_vec(), size)).collect();
        if let FirstShaft::Away(centres) = self.first {
            all.push((vec![Where::FirstShaft], centres.into()));
        }
        for (i, slot) in self.slots.iter().enumerate() {
            let place = vec![Where::Slots, Where::Item(i)];
            match slot {
                Slot::Straight { from, to, offset, .. } => {
                    all.extend([from, to, offset].map(|size| (place.clone(), *size)));
                }
                Slot::Arc { along, across, radius, .. } => {
                    let radius = (*radius).into();
                    all.extend([*along, *across, radius].map(|size| (place.clone(), size)));
                }
            }
        }
        all
    }

    /// Sizes that may be zero but not less, with their places.
    const fn sizes(&self) -> [(&'static [Where], Offset); 7] {
        let hubs = &self.hub_radii;
        [
            (&[Where::LeastStud], self.least_stud),
            (&[Where::HubRadii, Where::First], hubs.first),
            (&[Where::HubRadii, Where::Stud], hubs.stud),
            (&[Where::HubRadii, Where::Last], hubs.last),
            (&[Where::Clearance], self.clearance),
            (&[Where::Opening, Where::Least], self.opening.0),
            (&[Where::Opening, Where::Greatest], self.opening.1),
        ]
    }

    fn check_first(&self) -> Result<()> {
        match &self.first {
            FirstShaft::Away(centres) => held(&(*centres).into()),
            FirstShaft::At(spot) if is_origin(spot) => {
                Err(Error::conflict("the driving shaft can't be where the driven shaft is")
                    .with_fix(Fix::FirstShaft))
            }
            FirstShaft::At(spot) => held_spot(spot),
        }
        .map_err(|e| e.at(&[Where::FirstShaft]))
    }

    fn check_pivot(&self) -> Result<()> {
        match &self.pivot {
            Pivot::Last | Pivot::First => Ok(()),
            Pivot::At(spot) if is_origin(spot) => {
                Err(Error::conflict("this is the axis of the driven shaft").with_fix(Fix::OnLast))
            }
            Pivot::At(spot) if *spot == self.first.spot() => {
                Err(Error::conflict("this is the axis of the driving shaft").with_fix(Fix::OnFirst))
            }
            Pivot::At(spot) => held_spot(spot),
        }
    }

    fn check_slots(&self, studs: u8) -> Result<()> {
        bounds::SLOTS.check(self.slots.len() as u64).map_err(|e| e.at(&[Where::Slots]))?;
        if self.slots.is_empty() && studs > 0 {
            return Err(Error::conflict(format!(
                "no slot or hole for the studs, of which there can be {studs}"
            ))
            .with_fix(Fix::Slots)
            .at(&[Where::Slots]));
        }
        for (i, slot) in self.slots.iter().enumerate() {
            check_slot(slot)
                .and_then(
                    |()| if self.slots[..i].contains(slot) { Err(slot_twice()) } else { Ok(()) },
                )
                .map_err(|e| e.at(&[Where::Slots, Where::Item(i)]))?;
        }
        Ok(())
    }

    fn check_planes(&self, planes: &[u8]) -> Result<()> {
        let known = 1..=self.planes;
        match planes.iter().enumerate().find(|(_, plane)| !known.contains(plane)) {
            Some((i, plane)) => {
                Err(Error::conflict(format!("plane {plane}, but planes: {}", self.planes))
                    .with_hint("they are counted from the headstock outward, from 1")
                    .at(&[Where::Item(i)]))
            }
            None => Ok(()),
        }
    }

    fn check_surroundings(&self) -> Result<()> {
        if let Some(cover) = &self.cover {
            check_outline(cover).map_err(|e| e.at(&[Where::Cover]))?;
        }
        bounds::KEEP_OUTS
            .check(self.keep_out.len() as u64)
            .map_err(|e| e.at(&[Where::KeepOuts]))?;
        for (i, keep_out) in self.keep_out.iter().enumerate() {
            if self.keep_out[..i].iter().any(|other| other.name == keep_out.name) {
                return Err(Error::conflict(format!("{} appears twice", keep_out.name))
                    .with_hint("a name of its own for each part: answers say which is in the way")
                    .at(&[Where::KeepOuts, Where::Item(i), Where::Name]));
            }
            self.check_planes(&keep_out.planes)
                .map_err(|e| e.at(&[Where::Planes]))
                .and_then(|()| match &keep_out.shape {
                    Shape::Circle { at, radius } => held_spot(at)
                        .and_then(|()| held(&(*radius).into()))
                        .map_err(|e| e.at(&[Where::Circle])),
                    Shape::Polygon(corners) => {
                        check_outline(corners).map_err(|e| e.at(&[Where::Polygon]))
                    }
                })
                .map_err(|e| e.at(&[Where::KeepOuts, Where::Item(i)]))?;
        }
        Ok(())
    }
}

fn is_origin(spot: &Spot) -> bool {
    spot.right == Offset::ZERO && spot.up == Offset::ZERO
}

fn upside_down(from: &impl std::fmt::Display, to: &impl std::fmt::Display) -> Error {
    Error::conflict(format!("it runs down, from {from} to {to}"))
        .with_hint(format!("the least first: from {to} to {from}"))
}

fn not_negative(size: &Offset) -> Result<()> {
    if size.is_negative() {
        return Err(Error::conflict(format!("{size} is below zero")).with_hint("0 mm or more"));
    }
    Ok(())
}

/// Up to ten metres.
fn held(size: &Offset) -> Result<()> {
    let Some(mm) = size.size() else { return Ok(()) };
    let metres = mm.over(&Ratio::table(1000, 1)).unwrap_or(Ratio::ONE);
    if metres > Ratio::table(10, 1) {
        return Err(Error::conflict(format!("{size} is over 10 m"))
            .with_hint("what a rule or calipers show, with its unit"));
    }
    Ok(())
}

fn held_spot(spot: &Spot) -> Result<()> {
    held(&spot.right).map_err(|e| e.at(&[Where::Right]))?;
    held(&spot.up).map_err(|e| e.at(&[Where::Up]))
}

fn check_outline(corners: &[Spot]) -> Result<()> {
    bounds::CORNERS.check(corners.len() as u64)?;
    for (i, corner) in corners.iter().enumerate() {
        held_spot(corner)
            .and_then(|()| if corners[..i].contains(corner) { Err(corner_twice()) } else { Ok(()) })
            .map_err(|e| e.at(&[Where::Item(i)]))?;
    }
    Ok(())
}

fn corner_twice() -> Error {
    Error::conflict("this corner appears twice")
        .with_hint("each corner once, going round; from the last the outline closes by itself")
}

fn slot_twice() -> Error {
    Error::conflict("this slot or hole appears twice")
        .with_hint("each once; two studs can share a slot")
}

/// From one direction clockwise to another, a full turn at most.
fn check_turn(from: &Degrees, to: &Degrees, right: &str) -> Result<()> {
    if from > to {
        return Err(upside_down(&format_args!("{from}°"), &format_args!("{to}°")));
    }
    if from.more_than_a_turn_to(to) {
        return Err(Error::conflict(format!("from {from}° to {to}° is more than a full turn"))
            .with_hint(right));
    }
    Ok(())
}

/// The finer of two: these steps a millimetre and those that a length needs.
fn common(steps: u128, size: &Ratio) -> Result<u128> {
    let finer = if size.denom() > FINEST { size.denom() } else { steps.lcm(&size.denom()) };
    if finer > FINEST {
        return Err(Error::conflict("too fine for the common measure of all lengths of the banjo")
            .with_hint("thousandths of a millimetre or of an inch are fine enough"));
    }
    Ok(finer)
}

/// Steps a millimetre: ten metres of them stay below 2^53.
const FINEST: u128 = 1 << 38;

fn check_slot(slot: &Slot) -> Result<()> {
    match slot {
        Slot::Straight { from, to, offset, .. } => {
            held(from).map_err(|e| e.at(&[Where::From]))?;
            held(to).map_err(|e| e.at(&[Where::To]))?;
            held(offset).map_err(|e| e.at(&[Where::Offset]))?;
            if from > to {
                return Err(upside_down(from, to));
            }
            if from == to && *from == Offset::ZERO && *offset == Offset::ZERO {
                return Err(Error::conflict("a stud can't be on the pivot")
                    .with_hint("its distance from the pivot"));
            }
            Ok(())
        }
        Slot::Arc { along, across, radius, from, to } => {
            held(along).map_err(|e| e.at(&[Where::Arc, Where::Along]))?;
            held(across).map_err(|e| e.at(&[Where::Arc, Where::Across]))?;
            held(&(*radius).into()).map_err(|e| e.at(&[Where::Arc, Where::Radius]))?;
            check_turn(from, to, "from -180 to 180 is all round")
                .map_err(|e| e.at(&[Where::Arc]))?;
            if *along == Offset::ZERO && *across == Offset::ZERO {
                return Err(Error::conflict("an arc round the pivot only adds to the swing")
                    .with_hint(
                        "a hole at that radius, and swing limits wider by the length of the arc",
                    )
                    .at(&[Where::Arc]));
            }
            Ok(())
        }
    }
}
