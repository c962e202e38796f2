//! The gears of one train as the geometry sees them: radii, and the planes that they stand in.

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
    /// Bit `i`: shaft `i` carries a pair.
    pairs: u8,
    len: u8,
}

/// The plane of each mesh.
pub(super) type Planes = [u8; SHAFTS - 1];

/// A part of the train that takes room.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Piece {
    /// A gear, by the mesh whose plane it stands in.
    Gear { shaft: usize, plane: u8 },
    /// What holds a shaft's gears, in a plane where there is none.
    Hub { shaft: usize },
}

impl Wheels {
    /// The next shaft, with one gear or with a pair.
    #[inline]
    pub(crate) fn push(&mut self, driven: Wheel, driver: Option<Wheel>) {
        let at = usize::from(self.len);
        self.driven[at] = driven;
        self.driver[at] = driver.unwrap_or(driven);
        self.pairs |= u8::from(driver.is_some()) << at;
        self.len += 1;
    }

    /// How many shafts.
    #[inline]
    pub(super) fn shafts(&self) -> usize {
        self.len.into()
    }

    pub(super) fn studs(&self) -> usize {
        self.shafts().saturating_sub(2)
    }

    /// Bit `i`: stud `i` (from 0) carries a pair.
    pub(super) fn stud_pairs(&self) -> usize {
        usize::from(self.pairs >> 1)
    }

    /// The sum of the pitch radii of mesh `i`.
    #[inline]
    pub(super) fn nominal(&self, mesh: usize) -> f64 {
        self.driver[mesh].pitch + self.driven[mesh + 1].pitch
    }

    /// The gears of a shaft: plane and tip radius.
    #[inline]
    pub(super) fn gears(&self, shaft: usize, planes: Planes) -> ([(u8, f64); 2], usize) {
        let last = self.shafts() - 1;
        let driven = (planes[shaft.saturating_sub(1)], self.driven[shaft].tip);
        let driver = (planes[shaft.min(last - 1)], self.driver[shaft].tip);
        let pair = self.pairs >> shaft & 1 == 1;
        ([driven, driver], if pair { 2 } else { 1 })
    }

    /// Every two parts of shafts `a` and `b` (a < b) that must stay clear of each other, with the
    /// sum of their radii: in each plane gear against gear unless they mesh, gear against hub.
    #[inline]
    pub(super) fn touches(
        &self,
        (a, b): (usize, usize),
        planes: Planes,
        hubs: impl Fn(usize) -> f64,
        mut give: impl FnMut(Piece, Piece, f64),
    ) {
        let ((on_a, count_a), (on_b, count_b)) = (self.gears(a, planes), self.gears(b, planes));
        let (on_a, on_b) = (&on_a[..count_a], &on_b[..count_b]);
        for &(plane, tip) in on_a {
            let gear = Piece::Gear { shaft: a, plane };
            match on_b.iter().find(|g| g.0 == plane) {
                Some(_) if b == a + 1 && plane == planes[a] => {}
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

/// Every way to give planes to the meshes of a train with so many studs, of which `pairs` carry
/// pairs: gears of a pair stand in neighbouring planes. Fewest planes first, then inboard first.
pub(super) fn plane_choices(
    studs: usize,
    pairs: usize,
    planes: u8,
    first: impl Fn(u8) -> bool,
    last: impl Fn(u8) -> bool,
) -> Vec<Planes> {
    let mut all: Vec<Vec<u8>> = (1..=planes).filter(|p| first(*p)).map(|p| vec![p]).collect();
    for stud in 0..studs {
        let pair = pairs >> stud & 1 == 1;
        let steps: &[i16] = if pair { &[1, -1] } else { &[0] };
        all = all
            .iter()
            .flat_map(|meshes| steps.iter().map(move |step| (meshes, *step)))
            .filter_map(|(meshes, step)| {
                let next = u8::try_from(i16::from(*meshes.last()?) + step).ok()?;
                (1..=planes).contains(&next).then(|| [&meshes[..], &[next]].concat())
            })
            .collect();
    }
    all.retain(|meshes| meshes.last().is_some_and(|p| last(*p)));
    let span = |m: &Vec<u8>| m.iter().max().unwrap_or(&0) - m.iter().min().unwrap_or(&0);
    all.sort_by_key(|meshes| (span(meshes), meshes.clone()));
    all.iter()
        .map(|meshes| {
            let mut choice = Planes::default();
            choice[..meshes.len()].copy_from_slice(meshes);
            choice
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pairs_take_neighbouring_planes() {
        let any = |_| true;
        assert_eq!(plane_choices(0, 0, 2, any, any), [[1, 0, 0, 0], [2, 0, 0, 0]]);
        assert_eq!(plane_choices(1, 1, 2, any, any), [[1, 2, 0, 0], [2, 1, 0, 0]]);
        assert_eq!(plane_choices(1, 1, 2, any, |p| p == 1), [[2, 1, 0, 0]]);
        assert_eq!(plane_choices(1, 1, 1, any, any), [[0_u8; 4]; 0]);
        assert_eq!(plane_choices(2, 0b11, 3, |p| p == 1, any), [[1, 2, 1, 0], [1, 2, 3, 0]]);
        assert_eq!(plane_choices(2, 0b10, 2, |p| p == 1, any), [[1, 1, 2, 0]]);
    }
}
