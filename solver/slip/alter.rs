//! A train with one thing changed, and which figures are taken for one another.

use crate::{Gear, Shaft, Teeth, Train};

/// The shaft of each gear along the power path, and whether the gear drives.
pub(crate) fn places(train: &Train) -> Vec<(usize, bool)> {
    let mut places = Vec::new();
    for (i, shaft) in train.shafts().iter().enumerate() {
        match shaft {
            Shaft::One(_) => places.push((i, i == 0)),
            Shaft::Pair { .. } => places.extend([(i, false), (i, true)]),
        }
    }
    places
}

/// The train with another tooth count in one place.
pub(crate) fn with_teeth(train: &Train, index: usize, teeth: Teeth) -> Option<Train> {
    let mut at = 0_usize;
    let mut put = |gear: &Gear| {
        let here = at == index;
        at = at.saturating_add(1);
        if here { Gear::new(teeth) } else { *gear }
    };
    let shafts = train.shafts().iter().map(|shaft| match shaft {
        Shaft::One(gear) => Shaft::One(put(gear)),
        Shaft::Pair { driven, driver } => {
            let driven = put(driven);
            Shaft::Pair { driven, driver: put(driver) }
        }
    });
    Train::new(shafts.collect()).ok()
}

/// The train with other gears on one shaft.
pub(crate) fn with_shaft(train: &Train, index: usize, shaft: Shaft) -> Option<Train> {
    let mut shafts = train.shafts().to_vec();
    *shafts.get_mut(index)? = shaft;
    Train::new(shafts).ok()
}

/// Whether one may be misread or mis-struck for the other: one digit differs, two neighbours are
/// swapped, a digit or the point is lost or doubled.
pub(crate) fn misread(a: &str, b: &str) -> bool {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    let (short, long) = if a.len() <= b.len() { (&a, &b) } else { (&b, &a) };
    if short.len() == long.len() {
        let differ: Vec<(char, char)> =
            a.iter().copied().zip(b.iter().copied()).filter(|(x, y)| x != y).collect();
        let beside = a.windows(2).zip(b.windows(2)).any(|(x, y)| x != y && [x[1], x[0]] == *y);
        return match differ[..] {
            [_] => true,
            [(a, b), (c, d)] => beside && (a, b) == (d, c),
            _ => false,
        };
    }
    let without =
        |at: usize| long.iter().enumerate().filter(move |(i, _)| *i != at).map(|(_, c)| c);
    long.len().abs_diff(short.len()) == 1 && (0..long.len()).any(|at| without(at).eq(short.iter()))
}

/// Whether a gear may be taken for another: a digit differs, or its size by a twentieth at most.
pub(crate) fn looks_alike(a: Teeth, b: Teeth) -> bool {
    let [x, y] = [a, b].map(|teeth| u32::from(teeth.get()));
    let apart = x.abs_diff(y).saturating_mul(20);
    apart <= x.max(y) || misread(&a.to_string(), &b.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_of_the_eye_and_of_the_punch() {
        for (a, b) in [("36", "38"), ("36", "63"), ("20", "200"), ("1.25", "125"), ("0.5", "0.05")]
        {
            assert!(misread(a, b) && misread(b, a), "{a} {b}");
        }
        for (a, b) in [("44", "22"), ("36", "36"), ("20", "2000"), ("127", "120120")] {
            assert!(!misread(a, b), "{a} {b}");
        }
    }
}
