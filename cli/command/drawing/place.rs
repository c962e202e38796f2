//! Where can words stand so that they can be read? A few hundred places are tried for each, and the
//! one that crosses least is taken; all in mm of paper, right and up.

use super::shapes::{direction, length, minus, plus, times, turned};
use super::width_of;
use crate::report::drawing::{Lettering, Point};

/// A box of words round its middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct WordBox {
    pub(super) middle: Point,
    /// Width and height.
    pub(super) size: Point,
}

impl WordBox {
    /// The box of some lines, each with its lettering.
    pub(super) fn of(lines: &[(&str, Lettering)]) -> Self {
        let width =
            lines.iter().map(|(text, letters)| width_of(text, *letters)).fold(0.0, f64::max);
        let height: f64 = lines.iter().map(|(_, letters)| letters.height * 1.15).sum();
        let (width, height) = (width + 1.0, height + 1.0);
        Self { middle: (0.0, 0.0), size: (width, height) }
    }

    pub(super) fn at(self, middle: Point) -> Self {
        Self { middle, ..self }
    }

    /// How far it reaches into the other: zero if they are apart.
    fn overlap(&self, other: &Self) -> f64 {
        let way = minus(self.middle, other.middle);
        let x = f64::midpoint(self.size.0, other.size.0) - way.0.abs();
        let y = f64::midpoint(self.size.1, other.size.1) - way.1.abs();
        x.min(y).max(0.0)
    }

    /// Least and greatest distance of its points from `p`.
    fn distances(&self, p: Point) -> (f64, f64) {
        let way = minus(p, self.middle);
        let (dx, dy) = (way.0.abs(), way.1.abs());
        let (w, h) = (self.size.0 / 2.0, self.size.1 / 2.0);
        let least = length(((dx - w).max(0.0), (dy - h).max(0.0)));
        (least, length((dx + w, dy + h)))
    }

    /// Whether a circle's line runs through it.
    fn is_cut_by(&self, (centre, radius): (Point, f64)) -> bool {
        let way = minus(centre, self.middle);
        let (dx, dy) = (way.0.abs(), way.1.abs());
        let (w, h) = (self.size.0 / 2.0, self.size.1 / 2.0);
        let least = square(((dx - w).max(0.0), (dy - h).max(0.0)));
        least < radius * radius && radius * radius < square((dx + w, dy + h))
    }

    /// Whether a straight line runs through it: at one of its points a millimetre apart, so that one that
    /// grazes a corner does not count.
    fn is_crossed_by(&self, [from, to]: [Point; 2]) -> bool {
        let (w, h) = (self.size.0 / 2.0, self.size.1 / 2.0);
        let apart = |from: f64, to: f64, middle: f64, half: f64| {
            from.max(to) < middle - half || from.min(to) > middle + half
        };
        // Most lines pass far off.
        if apart(from.0, to.0, self.middle.0, w) || apart(from.1, to.1, self.middle.1, h) {
            return false;
        }
        let (far, way) = (length(minus(to, from)), direction(from, to));
        // How far along it is between left and right, and between below and above.
        let between = |from: f64, way: f64, middle: f64, half: f64| {
            if way == 0.0 {
                return (0.0, far);
            }
            let (a, b) = ((middle - half - from) / way, (middle + half - from) / way);
            (a.min(b), a.max(b))
        };
        let across = between(from.0, way.0, self.middle.0, w);
        let up = between(from.1, way.1, self.middle.1, h);
        let first = across.0.max(up.0).max(0.0).ceil();
        first <= across.1.min(up.1).min(far)
    }

    /// Its point nearest to `p`.
    pub(super) fn edge_toward(&self, p: Point) -> Point {
        let (w, h) = (self.size.0 / 2.0, self.size.1 / 2.0);
        let clamp = |x: f64, middle: f64, half: f64| x.clamp(middle - half, middle + half);
        (clamp(p.0, self.middle.0, w), clamp(p.1, self.middle.1, h))
    }
}

/// What is on the sheet already.
#[derive(Debug, Default)]
pub(super) struct Crowd {
    /// Lines of circles: crossing one is a little bad.
    pub(super) circles: Vec<(Point, f64)>,
    /// Straight lines: so is crossing one of these.
    pub(super) lines: Vec<[Point; 2]>,
    /// Words and arrows: crossing one is very bad.
    pub(super) blocks: Vec<WordBox>,
    /// Lower left and upper right corner of the paper.
    pub(super) paper: (Point, Point),
}

impl Crowd {
    /// How bad a place is; infinitely where it is no better than `most`. What is soonest told comes first.
    fn cost(&self, block: &WordBox, most: f64) -> f64 {
        let ((left, low), (right, high)) = self.paper;
        let (w, h) = (block.size.0 / 2.0, block.size.1 / 2.0);
        let (x, y) = block.middle;
        let off = [left + w - x, x + w - right, low + h - y, y + h - high];
        let off = off.into_iter().map(|over| if over > 0.0 { 100.0 + over } else { 0.0 });
        let hit = self.blocks.iter().map(|other| {
            let overlap = other.overlap(block);
            if overlap > 0.0 { 40.0 + overlap } else { 0.0 }
        });
        let cut = self.circles.iter().filter(|circle| block.is_cut_by(**circle)).map(|_| 3.0);
        let crossed = self.lines.iter().filter(|line| block.is_crossed_by(**line)).map(|_| 4.0);
        let mut sum = 0.0;
        for bad in off.chain(hit).chain(cut).chain(crossed) {
            sum += bad;
            if sum >= most {
                return f64::INFINITY;
            }
        }
        sum
    }

    /// The best place of some words that belong to a circle: inside it, or outside with a line to
    /// it. Whether such a line is needed is told too.
    pub(super) fn seat(&mut self, block: WordBox, centre: Point, radius: f64) -> (WordBox, bool) {
        let mut best = (f64::INFINITY, block, false);
        let ways: [Point; 24] = ways((0.0, 1.0), 15.0);
        let corner = length(block.size) / 2.0;
        let mut far = 0.0;
        while far < radius + 60.0 {
            // Whatever is there, no place so far out is better than this.
            let least = if far < radius {
                beside_rim(0.0).min(far * 0.01)
            } else {
                beside_rim(far - corner - radius)
            };
            if least >= best.0 {
                break;
            }
            for way in ways {
                let middle = plus(centre, times(way, far));
                let block = block.at(middle);
                let (least, most) = block.distances(centre);
                let inside = most < radius;
                let away = if inside { far * 0.01 } else { beside_rim((least - radius).abs()) };
                if away >= best.0 {
                    continue;
                }
                let own = away + self.foreign(middle, centre, radius);
                if own >= best.0 {
                    continue;
                }
                let cost = self.cost(&block, best.0 - own) + own;
                if cost < best.0 {
                    best = (cost, block, !inside);
                }
            }
            far += 3.0;
        }
        self.blocks.push(best.1);
        (best.1, best.2)
    }

    /// Words inside another gear would be taken for that gear's.
    fn foreign(&self, middle: Point, centre: Point, radius: f64) -> f64 {
        let inside = self.circles.iter().filter(|c| square(minus(middle, c.0)) < c.1 * c.1);
        let own = |c: &(Point, f64)| c.0 == centre && (c.1 - radius).abs() < 1e-9;
        let others = inside.filter(|c| !own(c));
        others.map(|c| if c.0 == centre && c.1 > radius { 0.2 } else { 2.0 }).sum()
    }

    /// The best place of some words beside a point, near it.
    pub(super) fn beside(&mut self, block: WordBox, point: Point) -> WordBox {
        let mut best = (f64::INFINITY, block);
        let ways: [Point; 16] = ways((1.0, 0.0), 22.5);
        for ring in 0..8_u32 {
            let gap = 2.0 + 3.0 * f64::from(ring);
            for way in ways {
                let reach = (way.0 * block.size.0 / 2.0, way.1 * block.size.1 / 2.0);
                let block = block.at(plus(plus(point, reach), times(way, gap)));
                let cost = gap.mul_add(0.5, self.cost(&block, best.0 - gap * 0.5));
                if cost < best.0 {
                    best = (cost, block);
                }
            }
        }
        self.blocks.push(best.1);
        best.1
    }
}

/// How bad it is that words are outside their circle, so far from its rim.
fn beside_rim(far: f64) -> f64 {
    2.0 + far.max(0.0) * 0.12
}

/// Directions clockwise from this one, so many degrees apart.
fn ways<const N: usize>(from: Point, apart: f64) -> [Point; N] {
    let mut degrees = 0.0;
    [(); N].map(|()| {
        let way = turned(from, degrees);
        degrees += apart;
        way
    })
}

/// Of its length.
fn square((x, y): Point) -> f64 {
    x * x + y * y
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::drawing::Anchor;

    const BOLD: Lettering = Lettering { height: 8.0, bold: true, anchor: Anchor::Middle };

    fn crowd() -> Crowd {
        Crowd { paper: ((-100.0, -100.0), (100.0, 100.0)), ..Crowd::default() }
    }

    #[test]
    fn words_stand_inside_a_large_gear_and_beside_a_small_one() {
        let words = WordBox::of(&[("127", BOLD)]);
        let round = |radius: f64| Crowd { circles: vec![((0.0, 0.0), radius)], ..crowd() };
        let (inside, line) = round(40.0).seat(words, (0.0, 0.0), 40.0);
        assert!(!line && inside.distances((0.0, 0.0)).1 < 40.0);
        let (outside, line) = round(5.0).seat(words, (0.0, 0.0), 5.0);
        assert!(line && outside.distances((0.0, 0.0)).0 > 5.0);
    }

    #[test]
    fn words_keep_off_each_other_and_stay_on_the_paper() {
        let mut crowd = Crowd { paper: ((-36.0, -36.0), (36.0, 36.0)), ..Crowd::default() };
        let words = WordBox::of(&[("45", BOLD)]);
        for _ in 0..6 {
            let _ = crowd.beside(words, (20.0, 20.0));
        }
        for (i, block) in crowd.blocks.iter().enumerate() {
            assert!(crowd.blocks[..i].iter().all(|other| other.overlap(block) <= 0.0));
            assert!(block.middle.0 + block.size.0 / 2.0 <= 36.0, "{block:?}");
        }
    }
}
