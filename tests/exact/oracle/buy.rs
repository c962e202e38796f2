//! What to buy, against buying everything: each choice of gears is put into the box and the whole list
//! searched again.

use super::compare::{lathe_of, small, travel_of};
use super::draw::{Dice, STRIP, lathe};
use super::number::q;
use super::question::LIMIT;
use super::rank::Shop;
use super::sheet::{Sheet, Travel};
use crate::runs::runs;
use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{Signed, ToPrimitive};
use solver::buy::{PARTS, Request, best};
use solver::search::{Line, Options, Search};
use solver::{Hand, Lathe, Lead, Length, Teeth, Watch};

const DRAWS: u32 = 16;

/// How many cases must show what.
const QUOTAS: [(&str, usize); 7] = [
    ("one gear", 80),
    ("two gears", 80),
    ("three gears", 40),
    ("an owned size again", 30),
    ("more lines reached", 100),
    ("closer only", 20),
    ("a bracket", 15),
];

/// Reached (negated, so that more comes first), worst and sum.
type Score = (isize, u128, u128);

fn score(lathe: &Lathe, request: &Request) -> Score {
    let mut sizes: Vec<u128> = Vec::new();
    for line in &request.lines {
        let options = request.options.clone().with_pairs(2);
        let search = Search::new(lathe, line.travel, options).expect("as before");
        let found = search.find(&line.ask()).expect("small numbers");
        let best = found.solutions.iter().find(|s| s.fits());
        sizes.extend(best.map(|s| {
            let error: BigRational = s.error.exact().expect("no pi").abs();
            let parts = (error * BigRational::from_integer(BigInt::from(PARTS))).to_integer();
            parts.to_u128().expect("small")
        }));
    }
    let reached = isize::try_from(sizes.len()).expect("few lines");
    (-reached, sizes.iter().copied().max().unwrap_or(0), sizes.iter().sum())
}

fn with(lathe: &Lathe, gears: &[Teeth]) -> Lathe {
    let mut parts = lathe.parts().clone();
    for &teeth in gears {
        let gear = parts.gears.usual(teeth);
        parts.gears.add(gear, 1).expect("few gears");
    }
    Lathe::new(parts).expect("as before")
}

fn choices(sizes: &[Teeth], count: usize) -> Vec<Vec<Teeth>> {
    if count == 0 {
        return vec![Vec::new()];
    }
    let from = |at: usize| {
        let rest = choices(&sizes[at..], count - 1);
        rest.into_iter().map(move |more| [vec![sizes[at]], more].concat()).collect::<Vec<_>>()
    };
    (0..sizes.len()).flat_map(from).collect()
}

/// A request; nothing if the lathe can't be searched or has too many trains.
fn draw(strip: &[u16]) -> Option<(Lathe, Request, String)> {
    let file = lathe(strip);
    let shop = Shop::open(Sheet::read(&file), None, LIMIT / 20)?;
    let mut dice = Dice::of_question(strip);
    let gears = dice.pick(&[1, 2, 1, 2, 3]);
    let mut lines = Vec::new();
    for _ in 0..=dice.below(4) {
        let travel = dice.pick(&[Travel::Thread, Travel::Thread, Travel::Long]);
        let leads = shop.leads(travel);
        let lead = leads.get(dice.below(1000) % leads.len().max(1))?;
        let factor = q(i64::try_from(900 + dice.below(400)).expect("small"), 1000);
        let near = ((lead * factor) * q(1000, 1)).round() / q(1000, 1);
        let mm = if dice.once_in(3) { lead.clone() } else { near.max(q(1, 100)) };
        let hand = if dice.once_in(5) { Hand::Left } else { Hand::Right };
        let hand = (travel == Travel::Thread).then_some(hand);
        let within = dice.pick(&[(1, 100), (1, 1000), (1, 30), (1, 300)]);
        let lead = Lead::new(Length::from_mm(small(&mm)));
        let line = Line::new(lead).with_hand(hand).with_travel(travel_of(travel));
        lines.push(line.with_within(small(&q(within.0, within.1))));
    }
    let owned = dice.pick(&[20, 25, 30, 40, 60, 37]);
    let sizes: Vec<u64> = match gears {
        1 => (owned..=owned + 23).collect(),
        2 => (owned..owned + 7).collect(),
        _ => (owned..owned + 4).collect(),
    };
    let mut sizes: Vec<Teeth> =
        sizes.into_iter().map(|z| Teeth::new(z).expect("ordinary")).collect();
    let arbor = if dice.once_in(2) { None } else { Options::default().arbor };
    let options = Options::default().with_arbor(arbor);
    let request =
        Request::new(lines, Vec::new()).with_gears(gears).with_count(3).with_options(options);
    let mut lathe = lathe_of(&file).ok()?;
    // A second one of something owned.
    sizes.extend(lathe.parts().gears.loose().iter().take(2).map(|(gear, _)| gear.teeth));
    sizes.sort_unstable();
    sizes.dedup();
    let mut request = request;
    request.sizes = sizes;
    if dice.once_in(4) {
        let bracket = lathe_with_bracket(&lathe)?;
        lathe = bracket;
    }
    let fine = request.lines.iter().all(|line| lathe.settings(line.travel).is_ok());
    fine.then_some((lathe, request, file))
}

/// A plain bracket on which some trains stand.
fn lathe_with_bracket(lathe: &Lathe) -> Option<Lathe> {
    let demo = lathe_of(&std::fs::read_to_string("gearsets/dinghy.lathe.json").ok()?).ok()?;
    let mut parts = lathe.parts().clone();
    parts.bracket = Some(demo.parts().bracket.clone()?);
    parts.studs = 1;
    Lathe::new(parts).ok()
}

fn run(strip: &[u16]) -> Result<Vec<&'static str>, String> {
    let Some((lathe, request, file)) = draw(strip) else { return Ok(Vec::new()) };
    let advice = best(&lathe, &request, Watch::none()).map_err(|e| format!("{e}\n{file}"))?;
    let now = score(&lathe, &request);
    let key = |s: &solver::buy::Score| -> Score {
        (-isize::try_from(s.reached).expect("few"), s.worst, s.sum)
    };
    let mut all: Vec<(Score, Vec<Teeth>)> = choices(&request.sizes, request.gears)
        .into_iter()
        .map(|gears| (score(&with(&lathe, &gears), &request), gears))
        .collect();
    all.sort();
    let found: Vec<(Score, Vec<Teeth>)> =
        advice.offers.iter().map(|o| (key(&o.score), o.gears.clone())).collect();
    let right = key(&advice.now) == now
        && found == all[..request.count.min(all.len())]
        && advice.purchases == all.len()
        && advice.complete;
    if !right {
        return Err(format!(
            "{found:?} now {:?}\nall {:?} now {now:?}\n{file}\n{request:?}",
            advice.now,
            &all[..all.len().min(6)]
        ));
    }
    for offer in &advice.offers {
        for (at, adds) in offer.adds.iter().enumerate() {
            let mut rest = offer.gears.clone();
            rest.remove(at);
            let without = score(&with(&lathe, &rest), &request).0;
            if *adds != usize::try_from(without - key(&offer.score).0).expect("no loss") {
                return Err(format!("{:?} adds {:?}\n{file}", offer.gears, offer.adds));
            }
        }
    }
    let (best, gears) = &all[0];
    let again = gears.iter().any(|z| lathe.parts().gears.all().any(|g| g.teeth == *z));
    let marks = [
        ("one gear", request.gears == 1),
        ("two gears", request.gears == 2),
        ("three gears", request.gears == 3),
        ("an owned size again", again && *best < now),
        ("more lines reached", best.0 < now.0),
        ("closer only", best.0 == now.0 && *best < now),
        ("a bracket", lathe.parts().bracket.is_some() && *best < now),
    ];
    Ok(marks.into_iter().filter(|mark| mark.1).map(|mark| mark.0).collect())
}

#[test]
fn offers_are_what_buying_everything_finds() {
    runs(100..132, DRAWS, STRIP, &QUOTAS, run);
}
