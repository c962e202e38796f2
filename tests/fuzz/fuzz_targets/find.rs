//! Is every question on a random small lathe answered in order, by trains that read back and stand?
//!
//! The lathe is drawn as in the comparison with plain enumeration; half of them get a bracket. What
//! the answer should be is known there, here only what every answer must be.
#![no_main]

#[path = "../../exact/oracle/draw.rs"]
mod draw;

use draw::{Dice, STRIP};
use libfuzzer_sys::fuzz_target;
use solver::search::{Ask, Options, Search, Solution};
use solver::{Hand, Lathe, Ratio, Train, Travel};
use std::ops::ControlFlow;
use trainwright::files;

const TARGETS: [&str; 12] = [
    "1 mm",
    "1.25 mm",
    "11 1/2 tpi",
    "19 tpi",
    "module 1",
    "16 dp",
    "Tr 40x14 (P7) LH",
    "M10",
    "1000 tpi",
    "500 mm",
    "0.05 mm",
    "127/60 mm",
];

/// Numbers from bytes; zeros where they end.
fn strip(bytes: &[u8]) -> Vec<u16> {
    let pairs =
        bytes.chunks(2).map(|c| u16::from(c[0]) | c.get(1).map_or(0, |b| u16::from(*b) << 8));
    pairs.chain(std::iter::repeat(0)).take(STRIP).collect()
}

fn bracket(dice: &mut Dice) -> String {
    let (first, from) = (40 + dice.below(120), 15 + dice.below(60));
    let (long, clear, planes) = (10 + dice.below(80), dice.below(4), 1 + dice.below(4));
    format!(
        r#", "banjo": {{"driving_shaft": "{first} mm", "slots": [{{"from": "{from} mm", "to": "{} mm"}}],
        "arm_angle": {{"from": -20, "to": {}}}, "hub_radii": {{"driving": "8 mm", "stud": "8 mm", "driven": "8 mm"}},
        "clearance": "{clear} mm", "planes": {planes}}}}}"#,
        from + long,
        dice.below(90)
    )
}

/// The drawn lathe; with its bracket if that can be (a lathe without studs has none).
fn lathe(strip: &[u16], dice: &mut Dice) -> Option<Lathe> {
    let file = draw::lathe(strip);
    let open = |text: &str| files::lathe_of_text("case.json", text).map(|open| open.lathe);
    if dice.once_in(2) {
        let braced = format!("{}{}", file.strip_suffix('}').unwrap_or(&file), bracket(dice));
        if let Ok(lathe) = open(&braced) {
            return Some(lathe);
        }
    }
    // A lathe that is refused is no case: its file has a target of its own.
    open(&file).ok()
}

fn ask(dice: &mut Dice) -> (Ask, Options) {
    let target: solver::Target = dice.pick(&TARGETS).parse().expect("a target");
    let hand = dice.pick(&[Some(Hand::Right), None, Some(Hand::Left)]);
    let within = dice.pick(&[None, Some("1/1000000"), Some("1/100"), Some("1/2")]);
    let within = within.map(|w| w.parse::<Ratio>().expect("a ratio"));
    let ask = Ask::new(target.lead())
        .with_hand(hand)
        .with_count(1 + dice.below(12))
        .with_gears(2 + dice.below(7))
        .with_within(within);
    let arbor = dice.pick(&[None, Some("13/2"), Some("3"), Some("20")]);
    let arbor = arbor.map(|a| a.parse::<Ratio>().expect("a ratio"));
    let options = Options::default().with_arbor(arbor).with_pairs(1 + dice.below(4));
    (ask, options.with_bracket(!dice.once_in(4)))
}

fn in_order(solutions: &[Solution]) {
    for pair in solutions.windows(2) {
        assert!(pair[0].error.compare_size(&pair[1].error).is_le(), "{pair:?}");
    }
    for solution in solutions {
        let text = solution.train.to_string();
        assert!(text.parse::<Train>().is_ok(), "{text}");
        assert!(solution.train.gears().count() == solution.gears && solution.gears >= 2);
        assert!(solution.error.ppm().is_finite());
    }
}

fn everything(search: &Search<'_>, ask: &Ask) -> solver::Result<()> {
    let found = search.find(ask)?;
    in_order(&found.solutions);
    in_order(&found.refused);
    if let Some(within) = &ask.within {
        assert!(found.solutions.iter().all(|s| s.error.within(within)));
    }
    in_order(&search.trade_off(ask)?.rows.iter().rev().cloned().collect::<Vec<_>>());
    if let Some(best) = found.solutions.first() {
        let others = search.others(ask, best, 2_000)?;
        let (all, more) = search.all(ask, best, 30)?;
        assert!(more || others.at_least || all.len() as u64 <= others.count + 1);
        search.idlers(ask, best)?;
    }
    search.one_more(ask, found.solutions.first())?;
    search.remedies(ask, &found.refused)?;
    let mut left = 50_usize;
    search.within(ask, 1, &mut |_, arrangements| {
        left = left.saturating_sub(arrangements.len().max(1));
        if left == 0 { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    })
}

fuzz_target!(|bytes: &[u8]| {
    let (question, lathe_bytes) = bytes.split_at(bytes.len().min(32));
    let (strip, question) = (strip(lathe_bytes), strip(question));
    let dice = &mut Dice::new(&question);
    let Some(lathe) = lathe(&strip, dice) else { return };
    let (ask, options) = ask(dice);
    let travel = dice.pick(&[Travel::Thread, Travel::Thread, Travel::LongFeed, Travel::CrossFeed]);
    match Search::new(&lathe, travel, options) {
        Ok(search) => everything(&search, &ask).expect("within the limits on the numbers"),
        Err(error) => assert!(error.is_unknown() || error.is_no_such(), "{error}"),
    }
});
