//! Which radii and planes has each gear of a train?

/// Most shafts of a train: three studs between two ends.
pub(crate) const SHAFTS: usize = 5;

/// Pitch and tip radius, in steps.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Wheel {
    pub(super) pitch: f64,
    pub(super) tip: f64,
}

impl Wheel {
    /// `half`: half the module, in steps. r = m z / 2, tip m (z + 2) / 2 (ISO 53: addendum 1 m).
    pub(crate) fn new(half: f64, teeth: u16) -> Self {
        Self { pitch: half * f64::from(teeth), tip: half * (f64::from(teeth) + 2.0) }
    }
}

impl Wheel {
    /// Sum of the pitch radii.
    #[inline]
    pub(super) fn nominal(&self, other: &Self) -> f64 {
        self.pitch + other.pitch
    }
}

/// A train in power-path order.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Wheels {
    /// The gear that takes the motion on each shaft (on the first: its only gear).
    driven: [Wheel; SHAFTS],
    /// The gear that gives it on; the same where the shaft carries one gear.
    driver: [Wheel; SHAFTS],
    /// Tip radius of the gear without work, joined to the working one.
    idle: [f64; SHAFTS],
    /// Bit `i`: shaft `i` carries a pair with both gears working.
    pairs: u8,
    /// Bit `i`: shaft `i` carries a gear without work.
    idles: u8,
    len: u8,
}

/// The plane of each mesh.
type Meshes = [u8; SHAFTS - 1];

/// The plane of every gear.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Planes {
    /// The plane of each mesh.
    pub(super) meshes: Meshes,
    /// By shaft, the plane of its gear without work; 0: it has none.
    pub(super) idle: [u8; SHAFTS],
}

/// A part of the train that takes room.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Piece {
    /// A gear, by the mesh whose plane it is in.
    Gear { shaft: usize, plane: u8 },
    /// The hub of a shaft, in a plane without a gear.
    Hub { shaft: usize },
}

impl Wheels {
    /// Adds a shaft, with one gear or with a pair.
    #[inline]
    pub(crate) fn push(&mut self, driven: Wheel, driver: Option<Wheel>) {
        let at = usize::from(self.len);
        self.driven[at] = driven;
        self.driver[at] = driver.unwrap_or(driven);
        self.pairs |= u8::from(driver.is_some()) << at;
        self.len += 1;
    }

    /// Joins this gear to the only gear of the driven shaft.
    #[inline]
    pub(crate) fn push_idle(&mut self, idle: Wheel) {
        let at = usize::from(self.len) - 1;
        self.idle[at] = idle.tip;
        self.idles |= 1 << at;
    }

    /// Number of shafts.
    #[inline]
    pub(super) fn shafts(&self) -> usize {
        self.len.into()
    }

    pub(super) fn studs(&self) -> usize {
        self.shafts().saturating_sub(2)
    }

    /// Bit `i`: stud `i` (from 0) carries a pair with both gears working.
    pub(super) fn stud_pairs(&self) -> usize {
        usize::from(self.pairs >> 1)
    }

    /// Bit `i`: shaft `i` carries a gear without work.
    pub(super) fn idles(&self) -> usize {
        self.idles.into()
    }

    /// The sum of the pitch radii of mesh `i`.
    #[inline]
    pub(super) fn nominal(&self, mesh: usize) -> f64 {
        self.driver[mesh].pitch + self.driven[mesh + 1].pitch
    }

    /// The gears of a shaft: plane and tip radius.
    #[inline]
    pub(super) fn gears(&self, shaft: usize, planes: &Planes) -> ([(u8, f64); 2], usize) {
        let last = self.shafts() - 1;
        let driven = (planes.meshes[shaft.saturating_sub(1)], self.driven[shaft].tip);
        let idle = planes.idle[shaft];
        let other = if idle == 0 {
            (planes.meshes[shaft.min(last - 1)], self.driver[shaft].tip)
        } else {
            (idle, self.idle[shaft])
        };
        let two = (self.pairs | self.idles) >> shaft & 1 == 1;
        ([driven, other], if two { 2 } else { 1 })
    }

    /// Every two parts of shafts `a` and `b` (a < b) that must not touch, with the sum of their
    /// radii: in each plane gear against gear unless they mesh, gear against hub. A gear without
    /// work is never in the plane of a mesh of its shaft.
    #[inline]
    pub(super) fn touches(
        &self,
        (a, b): (usize, usize),
        planes: &Planes,
        hubs: impl Fn(usize) -> f64,
        mut give: impl FnMut(Piece, Piece, f64),
    ) {
        let ((on_a, count_a), (on_b, count_b)) = (self.gears(a, planes), self.gears(b, planes));
        let (on_a, on_b) = (&on_a[..count_a], &on_b[..count_b]);
        for &(plane, tip) in on_a {
            let gear = Piece::Gear { shaft: a, plane };
            match on_b.iter().find(|g| g.0 == plane) {
                Some(_) if b == a + 1 && plane == planes.meshes[a] => {}
                Some((_, other)) => give(gear, Piece::Gear { shaft: b, plane }, tip + other),
                None => give(gear, Piece::Hub { shaft: b }, tip + hubs(b)),
            }
        }
        for &(plane, tip) in on_b {
            if on_a.iter().all(|g| g.0 != plane) {
                give(Piece::Gear { shaft: b, plane }, Piece::Hub { shaft: a }, tip + hubs(a));
            }
        }
    }
}

/// Every way to give planes to the meshes of a train with `studs` studs, of which `pairs` carry
/// pairs, and to the gears without work on the shafts `idles`. Gears of a pair are in neighbouring
/// planes. Fewest planes first, then inner ones first.
pub(super) fn plane_choices(
    studs: usize,
    (pairs, idles): (usize, usize),
    planes: u8,
    first: impl Fn(u8) -> bool,
    last: impl Fn(u8) -> bool,
) -> Vec<Planes> {
    let mut choices = mesh_planes(studs, pairs, planes, first);
    choices.retain(|choice| last(choice.meshes[studs]));
    for shaft in (0..studs + 2).filter(|shaft| idles >> shaft & 1 == 1) {
        choices = choices
            .iter()
            .flat_map(|choice| {
                let own = choice.meshes[shaft.saturating_sub(1)];
                [own + 1, own - 1].map(|plane| {
                    let mut choice = *choice;
                    choice.idle[shaft] = plane;
                    (plane, choice)
                })
            })
            .filter(|(plane, _)| (1..=planes).contains(plane))
            .map(|(_, choice)| choice)
            .collect();
    }
    let span = |choice: &Planes| {
        let used = || choice.meshes.iter().chain(&choice.idle).filter(|plane| **plane > 0);
        used().max().unwrap_or(&0) - used().min().unwrap_or(&0)
    };
    choices.sort_by_key(|choice| (span(choice), choice.meshes));
    choices
}

/// Every way to give planes to the meshes alone: a stud with one gear keeps the plane, a pair leads
/// to the next plane inward or outward.
fn mesh_planes(studs: usize, pairs: usize, planes: u8, first: impl Fn(u8) -> bool) -> Vec<Planes> {
    let start = |plane| Planes { meshes: [plane, 0, 0, 0], ..Planes::default() };
    let mut choices: Vec<Planes> = (1..=planes).filter(|p| first(*p)).map(start).collect();
    for stud in 0..studs {
        let pair = pairs >> stud & 1 == 1;
        let next = |choice: &Planes| {
            let plane = choice.meshes[stud];
            // Plane 0 is none.
            let steps = if pair { [plane + 1, plane - 1] } else { [plane, 0] };
            let choice = *choice;
            steps.into_iter().filter(|plane| (1..=planes).contains(plane)).map(move |plane| {
                let mut choice = choice;
                choice.meshes[stud + 1] = plane;
                choice
            })
        };
        choices = choices.iter().flat_map(next).collect();
    }
    choices
}

#[cfg(test)]
mod tests {
    use super::*;

    fn meshes(studs: usize, pairs: usize, planes: u8, last: impl Fn(u8) -> bool) -> Vec<Meshes> {
        let first = |p: u8| studs < 2 || p == 1;
        let choices = plane_choices(studs, (pairs, 0), planes, first, last);
        choices.iter().map(|choice| choice.meshes).collect()
    }

    #[test]
    fn pairs_take_neighbouring_planes() {
        let any = |_| true;
        assert_eq!(meshes(0, 0, 2, any), [[1, 0, 0, 0], [2, 0, 0, 0]]);
        assert_eq!(meshes(1, 1, 2, any), [[1, 2, 0, 0], [2, 1, 0, 0]]);
        assert_eq!(meshes(1, 1, 2, |p| p == 1), [[2, 1, 0, 0]]);
        assert_eq!(meshes(1, 1, 1, any), [[0_u8; 4]; 0]);
        assert_eq!(meshes(2, 0b11, 3, any), [[1, 2, 1, 0], [1, 2, 3, 0]]);
        assert_eq!(meshes(2, 0b10, 2, any), [[1, 1, 2, 0]]);
    }

    #[test]
    fn a_gear_without_work_is_beside_its_partner() {
        let any = |_| true;
        let of = |studs, pairs_and_idles, planes: u8| -> Vec<(u8, [u8; SHAFTS])> {
            let choices = plane_choices(studs, pairs_and_idles, planes, any, any);
            choices.iter().map(|choice| (choice.meshes[0], choice.idle)).collect()
        };
        assert_eq!(of(1, (0, 0b010), 1), []);
        assert_eq!(of(1, (0, 0b010), 2), [(1, [0, 2, 0, 0, 0]), (2, [0, 1, 0, 0, 0])]);
        let three =
            [(1, 2), (2, 3), (2, 1), (3, 2)].map(|(plane, idle)| (plane, [idle, 0, 0, 0, 0]));
        assert_eq!(of(1, (0, 0b001), 3), three);
        // Both in one plane, or one on each side.
        assert_eq!(of(0, (0, 0b11), 3).len(), 6);
        // After a pair: the last gear is in the outer plane, with its partner inside.
        assert_eq!(of(1, (1, 0b100), 2), [(1, [0, 0, 1, 0, 0]), (2, [0, 0, 2, 0, 0])]);
    }
}
