//! What the screw does: lead, hand, error, gears that come off and go on, turning by hand, from the
//! lathe file and the text of the train.

use super::{Job, each};
use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{One, Signed, ToPrimitive, Zero};
use serde_json::{Map, Value};
use std::collections::BTreeMap;

pub(super) fn fraction(text: &str) -> BigRational {
    if let Some((top, bottom)) = text.split_once('/') {
        return fraction(top) / fraction(bottom);
    }
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let digits: BigInt = format!("{whole}{part}").parse().expect("a number");
    BigRational::new(digits, BigInt::from(10).pow(u32::try_from(part.len()).expect("short")))
}

/// A length or pitch of a lathe file in mm.
fn mm(text: &str) -> BigRational {
    let (number, unit) = text.split_once(' ').expect("a unit");
    let number = fraction(number);
    match unit {
        "mm" => number,
        "in" => number * fraction("25.4"),
        "tpi" => fraction("25.4") / number,
        other => panic!("{other}"),
    }
}

/// A lathe as its file says it.
pub(super) struct Machine {
    pub(super) file: Value,
    pub(super) screw: BigRational,
}

impl Machine {
    pub(super) fn read(text: &str) -> Self {
        let file: Value = serde_json::from_str(text).expect("JSON");
        let screw = mm(file["lead_screw"]["lead"].as_str().expect("a lead"));
        Self { file, screw }
    }

    /// Ratio and sense of the headstock with a tumbler position; the tumbler is part of a feed's way
    /// too, but nobody asks which way a feed goes.
    fn headstock(&self, name: Option<&str>, tumbler: Option<&str>) -> (BigRational, i32) {
        let head = &self.file["headstock"];
        let position = match head["positions"].as_object() {
            Some(all) => &all[name.expect("a headstock position")],
            None => head,
        };
        let flip = tumbler.map_or(1, |name| sense(&head["tumbler"][name]));
        (fraction(position["ratio"].as_str().expect("a ratio")), sense(&position["turns"]) * flip)
    }

    /// Ratio and sense of the levers; none of what is set may be forbidden.
    fn levers(&self, set: &Map<String, Value>) -> (BigRational, i32) {
        let gearbox = &self.file["gearbox"];
        let (mut ratio, mut way) = (BigRational::one(), 1);
        for lever in gearbox["levers"].as_array().into_iter().flatten() {
            let at = set[lever["name"].as_str().expect("a name")].as_str().expect("a position");
            match &lever["positions"][at] {
                Value::String(own) => ratio *= fraction(own),
                own => {
                    ratio *= fraction(own["ratio"].as_str().expect("a ratio"));
                    way *= own.get("turns").map_or(1, sense);
                }
            }
        }
        for rule in gearbox["forbidden"].as_array().into_iter().flatten() {
            let rule = rule.as_object().expect("levers");
            assert!(!rule.iter().all(|(lever, at)| set[lever] == *at), "{set:?} is forbidden");
        }
        (ratio, way)
    }
}

fn sense(word: &Value) -> i32 {
    match word.as_str().expect("a sense") {
        "same" => 1,
        "opposite" => -1,
        other => panic!("{other}"),
    }
}

/// The shafts of a train in the order of the power: `40-55+50-65`.
pub(super) fn shafts(text: &str) -> Vec<Vec<u16>> {
    let gears = |shaft: &str| shaft.split('+').map(|z| z.parse().expect("teeth")).collect();
    text.split('-').map(gears).collect()
}

/// Drivers over driven: the last gear of a shaft drives the first of the next.
fn ratio(shafts: &[Vec<u16>]) -> BigRational {
    let mesh = |two: &[Vec<u16>]| {
        let driver = *two[0].last().expect("a gear");
        BigRational::new(driver.into(), two[1][0].into())
    };
    shafts.windows(2).map(mesh).product()
}

/// Each gear as often as it sits on each shaft.
fn counted(shafts: &[Vec<u16>]) -> BTreeMap<(String, u16), usize> {
    let last = shafts.len() - 1;
    let mut all = BTreeMap::new();
    for (i, gears) in shafts.iter().enumerate() {
        let shaft = match i {
            0 => "driving".to_string(),
            _ if i == last => "driven".to_string(),
            _ => format!("stud_{i}"),
        };
        for teeth in gears {
            *all.entry((shaft.clone(), *teeth)).or_default() += 1;
        }
    }
    all
}

fn placed(list: &Value) -> BTreeMap<(String, u16), usize> {
    let mut all = BTreeMap::new();
    for gear in list.as_array().expect("gears") {
        let teeth = gear["teeth"].as_u64().and_then(|z| u16::try_from(z).ok()).expect("teeth");
        let shaft = gear["shaft"].as_str().expect("a shaft").to_string();
        *all.entry((shaft, teeth)).or_default() += 1;
    }
    all
}

pub(super) fn text<'v>(value: &'v Value, path: &str) -> &'v str {
    value.pointer(path).and_then(Value::as_str).unwrap_or_else(|| panic!("{path} in {value}"))
}

pub(super) fn number(value: &Value, path: &str) -> f64 {
    value.pointer(path).and_then(Value::as_f64).unwrap_or_else(|| panic!("{path} in {value}"))
}

#[track_caller]
pub(super) fn near(value: &Value, path: &str, wanted: f64, by: f64) {
    let got = number(value, path);
    assert!((got - wanted).abs() <= by, "{path}: {got}, wanted {wanted}");
}

/// The lead that is asked in mm, and whether pi is to be multiplied in.
pub(super) fn asked(job: &Job) -> (BigRational, bool) {
    match job.lead.strip_suffix(" pi") {
        Some(number) => (fraction(number), true),
        None => (fraction(job.lead), false),
    }
}

pub(super) fn cut(card: &Value) -> BigRational {
    fraction(text(card, "/solution/lead_mm"))
}

#[test]
fn lead_and_hand_are_those_of_the_gears_and_levers() {
    each(70, |machine, job, card| {
        let solution = &card["solution"];
        let shafts = shafts(text(solution, "/train"));
        let tumbler = solution["tumbler"].as_str();
        let (k, head) = machine.headstock(solution["headstock"].as_str(), tumbler);
        let (g, levers) = machine.levers(solution["levers"].as_object().expect("levers"));
        let travel = match (job.hand, machine.file["feeds"]["long"].as_str()) {
            (None, Some(feed)) => mm(feed),
            _ => machine.screw.clone(),
        };
        let lead = travel * k * ratio(&shafts) * g;
        assert_eq!(lead, cut(card));
        let (asked, pi) = asked(job);
        let wanted = asked.to_f64().unwrap() * if pi { std::f64::consts::PI } else { 1.0 };
        let ppm = (lead.to_f64().unwrap() / wanted - 1.0) * 1e6;
        near(solution, "/error_ppm", ppm, 1e-3 + 1e-9 * ppm.abs());
        if !pi {
            assert_eq!(fraction(text(solution, "/error")), (&lead - &asked) / &asked);
        }
        let Some(hand) = job.hand else { return };
        let screw = if machine.file["lead_screw"]["hand"] == "left" { -1 } else { 1 };
        let meshes = if shafts.len() % 2 == 1 { 1 } else { -1 };
        let cuts = if screw * head * levers * meshes == 1 { "right" } else { "left" };
        assert_eq!((text(solution, "/hand"), cuts), (hand, hand));
        let toward = if hand == "right" { "headstock" } else { "tailstock" };
        assert_eq!(text(card, "/carriage"), toward);
    });
}

/// What comes off and goes on is the difference of the two set-ups, and back again.
#[test]
fn gears_moved_are_the_difference_of_two_set_ups() {
    each(70, |machine, _, card| {
        let Some(fitted) = machine.file["fitted"]["train"].as_str() else {
            assert!(card["change"].is_null() && card["back"].is_null());
            return;
        };
        let [before, after] = [fitted, text(card, "/solution/train")].map(|t| counted(&shafts(t)));
        let without = |a: &BTreeMap<_, usize>, b: &BTreeMap<_, usize>| -> BTreeMap<_, usize> {
            let left = |(gear, n): (&(String, u16), &usize)| {
                let left = n.saturating_sub(b.get(gear).copied().unwrap_or(0));
                (left > 0).then(|| (gear.clone(), left))
            };
            a.iter().filter_map(left).collect()
        };
        for (change, from, to) in
            [(&card["change"], &before, &after), (&card["back"]["change"], &after, &before)]
        {
            let (off, on) = (placed(&change["off"]), placed(&change["on"]));
            // A gear that goes to another plane may be named as well as one that stays.
            assert_eq!(off, without(from, to), "{change}");
            assert_eq!(on, without(to, from), "{change}");
        }
    });
}

#[test]
fn turning_by_hand_and_the_scratch_pass_measure_the_lead() {
    each(70, |machine, job, card| {
        let lead = cut(card).to_f64().unwrap();
        let turns = card["by_hand"]["turns"].as_u64().expect("turns");
        near(card, "/by_hand/travel/mm", f64::from(u32::try_from(turns).unwrap()) * lead, 1e-6);
        if job.hand.is_none() {
            return;
        }
        let of_the_screw = fraction(text(card, "/by_hand/turns_for_one_of_the_screw"));
        assert_eq!(of_the_screw, &machine.screw / cut(card));
        let starts = if job.args[0].contains("2 starts") || job.args[0].contains("(P7)") {
            2.0
        } else {
            1.0
        };
        let grooves = card["scratch"]["leads"].as_u64().expect("leads");
        let grooves = f64::from(u32::try_from(grooves).unwrap());
        // A scratch pass cuts one start, so its lines are a lead apart.
        near(card, "/scratch/length/mm", grooves * lead, 1e-6);
        for slip in card["scratch"]["slips"].as_array().expect("slips") {
            let Some(factor) = slip["factor"].as_str() else { continue };
            let factor = fraction(factor);
            assert!(!factor.is_zero() && factor.is_positive());
            near(slip, "/length/mm", grooves * lead * factor.to_f64().unwrap(), 1e-5);
        }
        let error = &card["error"];
        let over = number(error, "/over/mm");
        let along = over * number(card, "/solution/error_ppm") * 1e-6;
        near(error, "/along_mm", along, 1e-6 + 1e-3 * along.abs());
        if starts > 1.0 {
            near(card, "/starts/pitch/mm", lead / starts, 0.02 * lead);
        }
    });
}
