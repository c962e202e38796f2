//! Threads that are half cut, with a known pitch diameter, measured with noise.

use super::super::dice::Dice;
use super::*;
use crate::scratch_pass::Spindle;
use crate::tolerance::default_class;
use crate::{Length, Ratio};

/// Over wires by trying: the centre of a ball moves out until its least distance to the flank, a
/// straight line screwed along the axis, is its radius. No formula of `wires.rs`.
fn over_by_trying(cut: &Cut, wire: f64, pitch_diameter: f64) -> f64 {
    let (pitch, rise) = (cut.pitch().to_f64(), cut.lead().to_f64() / std::f64::consts::TAU);
    let slope = cut.form().half_angle().to_f64().to_radians().tan();
    let distance = |centre: f64, turn: f64| {
        let at = pitch / 4.0 - pitch_diameter / 2.0 * slope + rise * turn;
        let radius = (centre * turn.cos() - at * slope) / (1.0 + slope * slope);
        let aside = radius.mul_add(radius, centre * (centre - 2.0 * radius * turn.cos()));
        (aside + (at + radius * slope).powi(2)).max(0.0).sqrt()
    };
    let nearest = |centre: f64| {
        let (mut low, mut high) = (-1.0, 1.0);
        for _ in 0..90 {
            let [a, b] = [low + (high - low) * 0.4, low + (high - low) * 0.6];
            if distance(centre, a) < distance(centre, b) { high = b } else { low = a }
        }
        distance(centre, low)
    };
    let (mut low, mut high) =
        (pitch_diameter / 2.0 - wire / 4.0, pitch_diameter / 2.0 + 2.0 * wire);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if nearest(middle) < wire / 2.0 { low = middle } else { high = middle }
    }
    2.0 * high + wire
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a length of some millimetres"
)]
fn millionths(mm: f64) -> Length {
    Length::from_mm(Ratio::new((mm * 1e6).round() as u128, 1_000_000).unwrap())
}

/// Threads of all tables, half cut, read with an error of up to 0.01 mm and to 0.001 mm.
#[test]
fn the_pitch_diameter_lies_between_its_bounds() {
    let (mut dice, mut tried, mut inside) = (Dice(7), 0, 0);
    let threads: Vec<_> = crate::thread::all().collect();
    for _ in 0..3000 {
        let thread = threads[dice.below(threads.len())];
        let Some(class) = default_class(&thread, false) else { continue };
        let Ok(limits) = Limits::of(&thread, class) else { continue };
        let target: Target = thread.designation().parse().unwrap();
        let Ok(cut) = Cut::of(&target) else { continue };
        let Ok(groove) =
            Groove::of(&cut, (Some(&limits), None), &Work::default(), true, Spindle::Forward)
        else {
            continue;
        };
        let (Some(blank), Ok(wires)) = (groove.blank, cut.wires()) else { continue };
        let truth = blank.pitch().mm() + groove.depth.mm() * (dice.part() * 0.5 - 0.1);
        let wire = wires.best(&cut.diameters().unwrap().pitch).mm() * (0.95 + 0.3 * dice.part());
        let wire = millionths((wire * 1000.0).round() / 1000.0);
        let noise = 0.01 * ((dice.part() + dice.part() + dice.part()) / 1.5 - 1.0);
        let reading = over_by_trying(&cut, wire.mm().to_f64(), truth) + noise;
        let now = Some(Now::Measured(Measured {
            gauge: Gauge::Wires,
            readings: vec![millionths((reading * 1000.0).round() / 1000.0)],
            along: None,
            stated: None,
        }));
        let work = Work { wire: Some(wire), now, ..Work::default() };
        let next = NextCut::of(&target, Some(&cut), Some(&groove), (Some(&limits), None), &work);
        let Ok(Some(next)) = next else { continue };
        tried += 1;
        let of = next.pitch;
        inside += usize::from((of.least..=of.greatest).contains(&truth));
        assert!(of.greatest - of.least <= 2.0 * 0.02, "{thread}: {of:?}");
        assert!((of.likely - truth).abs() < 0.0125, "{thread}: {of:?} {truth}");
        if tried == 300 {
            break;
        }
    }
    assert_eq!(tried, 300);
    assert!(inside * 100 >= tried * 99, "{inside} of {tried}");
}
