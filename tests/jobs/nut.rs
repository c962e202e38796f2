//! Half nut and thread dial: screw and work are turned until nut and thread meet, pitch by pitch.

use super::gearing::{cut, text};
use super::{Machine, each};
use num_rational::BigRational;
use num_traits::ToPrimitive;
use serde_json::Value;

/// Whether a tool that came back by so many screw pitches falls into its own groove.
fn meets(pitches: u64, screw: &BigRational, lead: &BigRational) -> bool {
    (BigRational::from_integer(pitches.into()) * screw / lead).is_integer()
}

/// The lines of a dial at which the nut can close, in groups: each line of a group may follow each
/// other one, however often the dial has turned meanwhile. `None`: a line does not even follow itself.
fn groups(
    teeth: u64,
    lines: u64,
    screw: &BigRational,
    lead: &BigRational,
) -> Option<Vec<Vec<u64>>> {
    let at: Vec<u64> = (0..lines).filter(|j| (j * teeth).is_multiple_of(lines)).collect();
    let place = |line: u64| line * teeth / lines;
    let safe = |from: u64, to: u64| {
        let ahead = (place(to) + teeth - place(from)) % teeth;
        (0..400).all(|turns| meets(ahead + turns * teeth, screw, lead))
    };
    if !at.iter().all(|line| safe(*line, *line)) {
        return None;
    }
    let mut groups: Vec<Vec<u64>> = Vec::new();
    for line in at {
        match groups.iter_mut().find(|group| safe(group[0], line)) {
            Some(group) => group.push(line),
            None => groups.push(vec![line]),
        }
    }
    Some(groups)
}

/// Teeth and lines of the dials.
fn dials(machine: &Machine) -> Vec<(u64, u64)> {
    let dial = &machine.file["dial"];
    let all = dial.as_array().cloned().unwrap_or_else(|| vec![dial.clone()]);
    let of = |dial: &Value| Some((dial["teeth"].as_u64()?, dial["lines"].as_u64()?));
    all.iter().filter_map(of).collect()
}

#[test]
fn the_nut_closes_where_screw_and_work_meet() {
    let mut seen = [0; 3];
    each(70, |machine, job, card| {
        if job.hand.is_none() {
            return;
        }
        let (screw, lead) = (&machine.screw, cut(card));
        let nut = &card["half_nut"];
        // The first place where it falls into its own groove again.
        let first = (1..100_000).find(|n| meets(*n, screw, &lead)).expect("a fraction");
        if first == 1 {
            seen[0] += 1;
            assert_eq!(text(nut, "/advice"), "anywhere");
            return;
        }
        assert_eq!(text(nut, "/pitches"), first.to_string());
        let distance = BigRational::from_integer(first.into()) * screw;
        assert!(
            (nut["distance"]["mm"].as_f64().unwrap() - distance.to_f64().unwrap()).abs() < 1e-6
        );
        let serving = |(teeth, lines): &(u64, u64)| groups(*teeth, *lines, screw, &lead);
        if !dials(machine).iter().any(|dial| serving(dial).is_some()) {
            seen[1] += 1;
            assert_eq!(text(nut, "/advice"), "keep_closed");
            return;
        }
        seen[2] += 1;
        assert_eq!(text(nut, "/advice"), "lines");
        let teeth = nut["dial_teeth"].as_u64().expect("a dial");
        let lines = dials(machine).into_iter().find(|(own, _)| *own == teeth).expect("ours").1;
        let mut wanted: Vec<usize> =
            groups(teeth, lines, screw, &lead).expect("it serves").iter().map(Vec::len).collect();
        let classes = nut["classes"].as_array().expect("classes");
        let mut got: Vec<usize> = classes.iter().map(|c| c.as_array().unwrap().len()).collect();
        wanted.sort_unstable();
        got.sort_unstable();
        assert_eq!(got, wanted, "{nut}");
    });
    assert!(seen.iter().all(|n| *n > 2), "{seen:?}");
}
