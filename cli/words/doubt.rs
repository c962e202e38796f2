//! What is neither yes nor no, and what a search left out: every command says it in these words.

use crate::words::figures::{plural, tenth as figure};
use crate::words::reasons::Speaker;
use solver::bracket::{Fit, FitState, Mounting, Reason};
use solver::search::Proof;
use solver::{Lathe, Shaft, Train};

/// In a cell, or within a sentence.
pub(crate) const TOO_CLOSE: &str = "too close to call";

/// The same, where the search for places of the studs was cut short.
const NOT_SETTLED: &str = "not settled";

/// What a train is that is neither yes nor no, in a cell or within a sentence.
pub(crate) fn in_short(fit: &Fit) -> &'static str {
    if fit.state() == FitState::CutShort { NOT_SETTLED } else { TOO_CLOSE }
}

/// By itself, where there is little room.
const MEASURE_IT: &str = "Too close to call: measure it on the machine.";

/// The same, where the search for places of the studs was cut short.
const TRY_IT: &str = "Not settled whether it fits: try it on the machine.";

/// What is said first of a train that is neither yes nor no.
pub(crate) fn verdict(fit: &Fit) -> &'static str {
    if fit.state() == FitState::CutShort { TRY_IT } else { MEASURE_IT }
}

/// In full: what to measure for a train that is too close to call, a sentence each; else nothing.
pub(crate) fn measures(lathe: &Lathe, fit: &Fit) -> Vec<String> {
    let Some(train) = fit.mounting().and_then(standing) else { return Vec::new() };
    let speaker = Speaker::new(lathe, &train);
    let mut sentences: Vec<String> = Vec::new();
    for sentence in fit.doubts().iter().map(|doubt| measure(&speaker, doubt)) {
        // Two margins of one place are one measurement.
        if !sentences.contains(&sentence) {
            sentences.push(sentence);
        }
    }
    sentences
}

/// The train as it was placed.
fn standing(mounting: &Mounting) -> Option<Train> {
    let shaft = |gears: &[(solver::Gear, u8)]| match gears {
        [(one, _)] => Some(Shaft::One(*one)),
        [(driven, _), (driver, _)] => Some(Shaft::Pair { driven: *driven, driver: *driver }),
        _ => None,
    };
    let shafts: Option<Vec<Shaft>> = mounting.shafts.iter().map(|s| shaft(&s.gears)).collect();
    Train::new(shafts?).ok()
}

/// The same in one paragraph, with the verdict before it.
pub(crate) fn in_full(lathe: &Lathe, fit: &Fit) -> Option<String> {
    let measures = measures(lathe, fit);
    (!measures.is_empty()).then(|| [&[verdict(fit).to_string()], &measures[..]].concat().join(" "))
}

/// How to find out: with a shim where there is a clearance, else with a strip of paper.
fn measure(speaker: &Speaker<'_>, doubt: &Reason) -> String {
    const PAPER: &str = "try a strip of paper in the mesh";
    match *doubt {
        Reason::Touch { gear, other, clearance, .. } => {
            let (gear, other) = (speaker.part(gear), speaker.part(other));
            if clearance > 0.0 {
                let room = figure(clearance);
                format!(
                    "Between {gear} and {other}: try a shim of {room} mm, the clearance wanted."
                )
            } else {
                format!("Between {gear} and {other}: try a strip of paper.")
            }
        }
        Reason::NearFirst { stud, least, .. } => format!(
            "From the driving shaft to {}: measure it; the least is {} mm.",
            speaker.shaft(stud),
            figure(least)
        ),
        Reason::SlotEnd { stud, slot, .. } => format!(
            "{} at the end of {}: clamp it there and {PAPER}.",
            speaker.stud(stud),
            speaker.slot(slot)
        ),
        Reason::OffSlot { stud, slot, .. } => {
            format!("{} in {}: clamp it there and {PAPER}.", speaker.stud(stud), speaker.slot(slot))
        }
        Reason::Swing { limit, .. } => {
            format!("The arm at its limit of {}°: clamp it there and {PAPER}.", figure(limit))
        }
        Reason::Centres { needed, .. } => {
            format!("The two gears at {} mm from axis to axis: {PAPER}.", figure(needed))
        }
        Reason::TooShort { .. } | Reason::TooUnequal { .. } => {
            format!("The gears between the end shafts: put them on and {PAPER}.")
        }
        Reason::CutShort => {
            format!("Not all places of the studs were tried: put the gears on and {PAPER}.")
        }
        _ => format!("Put the gears on and {PAPER}."),
    }
}

/// What a search did not look at, by its own account: a sentence each.
pub(crate) fn left_out(proof: &Proof) -> Vec<String> {
    let longer = longer_left_out(proof.pairs, proof.allowed);
    let rest = unknown(proof.unknown).into_iter().chain(unsettled(proof.settled));
    ended(proof.stopped).into_iter().chain(longer).chain(rest).collect()
}

/// Work that was ended by hand.
pub(crate) fn ended(stopped: bool) -> Option<String> {
    stopped.then(|| "Ctrl-C ended the work: not all was looked at".to_string())
}

/// Trains for which the search for places of their studs was cut short.
pub(crate) fn unsettled(settled: bool) -> Option<String> {
    (!settled).then(|| {
        "it is not settled whether each train fits: not all places of the studs were tried"
            .to_string()
    })
}

/// Lever positions that can't be searched.
pub(crate) fn unknown(positions: usize) -> Option<String> {
    let positions = (positions > 0).then(|| plural(positions, "lever position"));
    positions.map(|positions| format!("{positions} could not be searched: a ratio is unknown"))
}

/// Trains that the tables had no room for: `searched` gear pairs of those `allowed`.
pub(crate) fn longer_left_out(searched: usize, allowed: usize) -> Option<String> {
    (searched < allowed).then(|| {
        format!(
            "trains with more gear pairs were left out (searched: up to {}; the lathe takes {allowed})",
            plural(searched, "gear pair")
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use solver::search::{Ask, Found, Options, Search, Tuning};
    use solver::{
        Bracket, FirstShaft, Gear, GearSet, Lead, Length, Offset, Parts, Pivot, Ratio, Slot, Spot,
        Teeth, Travel,
    };

    fn mm(size: &str) -> Offset {
        size.parse().unwrap()
    }

    fn straight(from: &str, to: &str, offset: &str) -> Slot {
        Slot::Straight {
            from: mm(from),
            to: mm(to),
            angle: "0".parse().unwrap(),
            offset: mm(offset),
        }
    }

    /// Only the train of these teeth, without a keyed pair.
    fn lathe(bracket: Bracket, teeth: [u64; 4]) -> Lathe {
        let mut gears = GearSet::new();
        for teeth in teeth {
            gears.add(Gear::new(Teeth::new(teeth).unwrap()), 1).unwrap();
        }
        let mut parts = Parts::plain(gears, Lead::new("3 mm".parse().unwrap()));
        (parts.studs, parts.sleeves, parts.bracket) = (2, Some(0), Some(bracket));
        Lathe::new(parts).unwrap()
    }

    /// About a point: 60-78-34-52 would fit but for the end of the slot.
    fn about_a_point() -> Lathe {
        let first = Spot { right: mm("6.135 mm"), up: mm("92.582 mm") };
        let slots = vec![straight("10 mm", "90 mm", "9 mm")];
        let mut bracket = Bracket::of(FirstShaft::At(first), slots);
        bracket.pivot = Pivot::At(Spot { right: mm("-7.992 mm"), up: mm("51.957 mm") });
        lathe(bracket, [60, 78, 34, 52])
    }

    /// A hole beside a slot: 50-44-36-44 fits where meshes may be opened by 0.1 mm.
    fn with_a_hole(greatest: &str) -> Lathe {
        let slots =
            vec![straight("5 mm", "30 mm", "38 mm"), straight("52.91 mm", "52.91 mm", "38 mm")];
        let mut bracket = Bracket::of(FirstShaft::Away("100 mm".parse().unwrap()), slots);
        bracket.opening = (Offset::ZERO, mm(greatest));
        lathe(bracket, [50, 44, 36, 44])
    }

    fn found(lathe: &Lathe, (driver, driven): (u128, u128), halvings: Option<u32>) -> Found {
        let tuning = Tuning { halvings, ..Tuning::default() };
        let options = Options::default().with_tuning(tuning);
        let search = Search::new(lathe, Travel::Thread, options).unwrap();
        let lead = Lead::new(Length::from_mm(Ratio::new(3 * driver, driven).unwrap()));
        let ask = Ask::new(lead)
            .with_hand(None)
            .with_count(1)
            .with_within(Some("1/100000".parse().unwrap()));
        let found = search.find(&ask).unwrap();
        if found.proof.settled {
            assert!(found.proof.complete && left_out(&found.proof).is_empty());
        } else {
            assert!(!found.proof.complete && !search.is_settled());
            assert!(!search.closest(&ask).unwrap().complete);
        }
        found
    }

    /// Work that ran out is no figure that is too close: the answer is not complete, and says why.
    #[test]
    fn a_search_that_is_cut_short_is_not_too_close_to_call() {
        let mut cut_short = [0, 0];
        let holes = ["0.05 mm", "0.06 mm", "0.07 mm", "0.08 mm", "0.09 mm", "0.3 mm"];
        let cases = std::iter::once((0, about_a_point(), (60, 52)))
            .chain(holes.map(|greatest| (1, with_a_hole(greatest), (50, 44))));
        for (kind, lathe, ratio) in cases {
            assert!(found(&lathe, ratio, None).proof.settled);
            let cut = found(&lathe, ratio, Some(0));
            if cut.proof.settled {
                continue;
            }
            let why =
                "it is not settled whether each train fits: not all places of the studs were tried";
            assert_eq!(left_out(&cut.proof), [why]);
            for fit in cut.solutions.iter().map(|s| &s.fit).filter(|fit| fit.state().is_open()) {
                assert_eq!((fit.state(), in_short(fit)), (FitState::CutShort, NOT_SETTLED));
                let said = in_full(&lathe, fit).unwrap();
                assert!(said.starts_with(TRY_IT) && !said.contains("oo close"), "{said}");
                assert!(said.contains("Not all places of the studs were tried"), "{said}");
                cut_short[kind] += 1;
            }
        }
        assert!(cut_short.iter().sum::<usize>() > 0, "{cut_short:?}");
    }
}
