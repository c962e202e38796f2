//! Which gears are in the box? How many of each, and which are joined to each other.

#![deny(clippy::float_arithmetic, clippy::arithmetic_side_effects)]

use crate::{Error, Fix, Gear, Outside, PressureAngle, Result, Teeth, ToothSize, bounds};

/// Two gears permanently fixed to each other, such as 127/120. Where only one of them works, the
/// other turns beside it, one plane nearer to the headstock or one plane further from it.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Joined {
    /// The two gears; on a stud the first is driven and the second drives.
    pub gears: [Gear; 2],
    /// Whether the second may be the driven one instead. This decides which gear drives where both
    /// work, not which one is nearest the headstock: that is free.
    pub turn_round: bool,
    /// How many such joints are owned.
    pub count: u8,
}

impl Joined {
    /// One joint of two gears that may be turned round.
    pub const fn new(driven: Gear, driver: Gear) -> Self {
        Self { gears: [driven, driver], turn_round: true, count: 1 }
    }

    /// The same joint, with the driven side fixed or not.
    pub const fn with_turn_round(mut self, turn_round: bool) -> Self {
        self.turn_round = turn_round;
        self
    }
}

/// A box of gears.
///
/// ```
/// use solver::{Gear, GearSet, Teeth};
/// let mut set = GearSet::new();
/// for teeth in [20, 20, 25] {
///     set.add(Gear::new(Teeth::new(teeth)?), 1)?;
/// }
/// assert_eq!(set.loose()[0].1, 2); // two 20s
/// assert_eq!(set.total(), 3);
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GearSet {
    loose: Vec<(Gear, u8)>,
    joined: Vec<Joined>,
    /// Beside the gears: gears of one kind stay one kind, whatever the caliper reads.
    measured: Vec<(Gear, Outside)>,
    size: Option<ToothSize>,
    angle: PressureAngle,
}

impl Default for GearSet {
    fn default() -> Self {
        Self::new()
    }
}

impl GearSet {
    /// An empty box.
    pub const fn new() -> Self {
        Self {
            loose: Vec::new(),
            joined: Vec::new(),
            measured: Vec::new(),
            size: None,
            angle: PressureAngle::TWENTY,
        }
    }

    /// The same box, with its usual tooth size and pressure angle.
    pub const fn with_usual(mut self, size: Option<ToothSize>, angle: PressureAngle) -> Self {
        self.size = size;
        self.angle = angle;
        self
    }

    /// A usual gear of this box, such as the machine's own end gears. Where no tooth size is stated
    /// for the box, it has that of the driving gear.
    pub fn usual(&self, teeth: Teeth) -> Gear {
        let size = self.size.or_else(|| self.all().next().and_then(|g| g.size));
        Gear::new(teeth).with_size(size).with_angle(self.angle)
    }

    /// Puts `count` gears in; equal gears are counted together, in the order first seen.
    ///
    /// # Errors
    /// If there are too many of one kind, or too many kinds.
    pub fn add(&mut self, gear: Gear, count: u64) -> Result<()> {
        let teeth = gear.teeth;
        let add = |have: u8| {
            bounds::COPIES
                .check(u64::from(have).saturating_add(count))
                .map_err(|e| e.context(format!("gear {teeth}")))
                .map(|n| u8::try_from(n).unwrap_or(u8::MAX))
        };
        if let Some((_, have)) = self.loose.iter_mut().find(|(g, _)| *g == gear) {
            *have = add(*have)?;
        } else {
            self.kinds_with(1)?;
            self.loose.push((gear, add(0)?));
        }
        Ok(())
    }

    /// Puts a joint in.
    ///
    /// # Errors
    /// If there are no such joints or too many, or too many kinds of gear.
    pub fn join(&mut self, joined: Joined) -> Result<()> {
        let [driven, driver] = joined.gears.map(|gear| gear.teeth);
        bounds::COPIES
            .check(joined.count.into())
            .map_err(|e| e.context(format!("joint {driven}/{driver}")))?;
        self.kinds_with(2)?;
        self.joined.push(joined);
        Ok(())
    }

    /// Notes a caliper's reading over the tips of a gear. [`GearSet::add`] adds the gear itself.
    ///
    /// ```
    /// use solver::{Gear, GearSet, Outside, Teeth};
    /// let gear = Gear::new(Teeth::new(40)?);
    /// let mut set = GearSet::new();
    /// set.add(gear, 2)?;
    /// set.note_outside(gear, Outside::new("42.0 mm".parse()?)?);
    /// assert_eq!(set.loose(), [(gear, 2)]);
    /// assert_eq!(set.measured().len(), 1);
    /// # Ok::<(), solver::Error>(())
    /// ```
    pub fn note_outside(&mut self, gear: Gear, outside: Outside) {
        self.measured.push((gear, outside));
    }

    /// The caliper's readings over the tips, in the order noted.
    pub fn measured(&self) -> &[(Gear, Outside)] {
        &self.measured
    }

    fn kinds_with(&self, more: usize) -> Result<()> {
        let kinds = self
            .loose
            .len()
            .saturating_add(self.joined.len().saturating_mul(2))
            .saturating_add(more);
        bounds::KINDS.check(kinds as u64).map(drop)
    }

    /// Whether the tooth size of [`GearSet::usual`] is certain: stated, or the same for every gear.
    pub fn usual_is_certain(&self) -> bool {
        let mut sizes = self.all().map(Gear::module);
        let first = sizes.next();
        self.size.is_some() || sizes.all(|size| Some(size) == first)
    }

    /// The loose gears, each kind once with the number owned.
    pub fn loose(&self) -> &[(Gear, u8)] {
        &self.loose
    }

    /// The joined gears.
    pub fn joined(&self) -> &[Joined] {
        &self.joined
    }

    /// Number of gears; a joint counts as two.
    pub fn total(&self) -> usize {
        self.count(|_| true)
    }

    /// Number of gears of a kind, loose or joined.
    ///
    /// ```
    /// use solver::{Gear, GearSet, Joined, Teeth};
    /// let [a, b] = [Gear::new(Teeth::new(120)?), Gear::new(Teeth::new(127)?)];
    /// let mut set = GearSet::new();
    /// set.add(a, 2)?;
    /// set.join(Joined::new(b, a))?;
    /// assert_eq!(set.count(|gear| gear.teeth.get() == 120), 3);
    /// # Ok::<(), solver::Error>(())
    /// ```
    pub fn count(&self, of: impl Fn(&Gear) -> bool) -> usize {
        let loose = self.loose.iter().filter(|(gear, _)| of(gear));
        let loose = loose.map(|(_, count)| usize::from(*count));
        let sides = self.joined.iter().map(|joined| {
            let sides = joined.gears.iter().filter(|gear| of(gear)).count();
            sides.saturating_mul(joined.count.into())
        });
        loose.chain(sides).sum()
    }

    /// Number of loose gears with these teeth, of any tooth size.
    ///
    /// ```
    /// use solver::{Gear, GearSet, Joined, Teeth};
    /// let [a, b] = [Gear::new(Teeth::new(120)?), Gear::new(Teeth::new(127)?)];
    /// let mut set = GearSet::new();
    /// set.add(a, 2)?;
    /// set.join(Joined::new(b, a))?;
    /// assert_eq!((set.loose_of(a.teeth), set.loose_of(b.teeth)), (2, 0));
    /// # Ok::<(), solver::Error>(())
    /// ```
    pub fn loose_of(&self, teeth: Teeth) -> usize {
        let loose = self.loose.iter().filter(|(gear, _)| gear.teeth == teeth);
        loose.map(|(_, count)| usize::from(*count)).sum()
    }

    /// Checks that the gears can be told apart from each other and used.
    ///
    /// # Errors
    /// If there is no gear, or some gears state their tooth size and others don't.
    pub fn check(&self) -> Result<()> {
        let mut all = self.all();
        let Some(first) = all.next() else {
            return Err(
                Error::conflict("the box holds no gear").with_hint("owned: at least two gears")
            );
        };
        if let Some(other) = all.find(|g| g.size.is_some() != first.size.is_some()) {
            let (with, without) =
                if first.size.is_some() { (first, other) } else { (other, first) };
            return Err(Error::conflict(format!(
                "the {} states its tooth size and the {} does not",
                with.teeth, without.teeth
            ))
            .with_fix(Fix::OneToothSize));
        }
        Ok(())
    }

    /// Every kind of gear, joined ones after the loose ones.
    pub fn all(&self) -> impl Iterator<Item = &Gear> {
        self.loose.iter().map(|(g, _)| g).chain(self.joined.iter().flat_map(|j| &j.gears))
    }
}
