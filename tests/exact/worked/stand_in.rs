//! How good are the pairs that stand in for 127/100 and its kind, and for pi?
//!
//! Checked with a continued fraction and a Stern-Brocot walk of this file's own.
//! B. Hayes, "On the Teeth of Wheels", American Scientist 88(4), 2000.

use super::{Outcome, any_arrangement, lathe, lead, nearest, prints, same};
use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{One, Signed, Zero};
use serde::Deserialize;
use solver::search::{Ask, Search};
use solver::{Lead, LeadError, Train, Travel};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct StandIn {
    /// The ratio wanted, or `pi`.
    value: String,
    pair: String,
    ppm: String,
    role: Role,
}

#[derive(Deserialize, Clone, Copy, PartialEq, Eq, Debug)]
#[serde(rename_all = "snake_case")]
enum Role {
    /// Of the continued fraction.
    Convergent,
    /// On the way between two convergents.
    Mediant,
}

impl StandIn {
    pub(super) fn run(&self) -> Outcome {
        let pair: Train = self.pair.parse()?;
        let asked = match self.value.as_str() {
            "pi" => lead("module 1")?,
            ratio => lead(&format!("{ratio} mm"))?,
        };
        let screw = lead("1 mm")?;
        let error = LeadError::of(&screw.times(&pair.ratio())?, &asked);
        prints("ppm", error.ppm(), &self.ppm)?;
        is_found(&pair, screw, asked, &error)?;
        let value = exact(&self.value)?;
        let fraction = pair.ratio().to_big();
        same("role", role(&fraction, &value), Some(self.role))?;
        is_best_for_its_size(&fraction, &value, self.role)
    }
}

/// With these two gears only, the search gives this pair and this error.
fn is_found(pair: &Train, screw: Lead, asked: Lead, error: &LeadError) -> Outcome {
    let gears = pair.gears().map(|gear| (gear.teeth.get(), 1)).collect();
    let lathe = lathe(&gears, screw, 1)?;
    let search = Search::new(&lathe, Travel::Thread, any_arrangement())?;
    let found = nearest(&search, &Ask::new(asked).with_hand(None).with_count(1))?;
    let best = found.first().ok_or("nothing found")?;
    same("train", &best.train, pair)?;
    same("error", &best.error, error)
}

/// 40 decimals of pi: Abramowitz & Stegun, Handbook of Mathematical Functions, table 1.1.
const PI: &str = "3.1415926535897932384626433832795028841971";

fn exact(value: &str) -> Result<BigRational, Box<dyn std::error::Error>> {
    if value != "pi" {
        return Ok(value.parse()?);
    }
    let (whole, decimals) = PI.split_once('.').ok_or("no point")?;
    let scale = BigInt::from(10).pow(u32::try_from(decimals.len())?);
    Ok(BigRational::new(format!("{whole}{decimals}").parse()?, scale))
}

/// Convergents, up to the value itself.
fn convergents(value: &BigRational) -> Vec<BigRational> {
    let (mut before, mut last) = ((BigInt::zero(), BigInt::one()), (BigInt::one(), BigInt::zero()));
    let mut rest = value.clone();
    let mut all = Vec::new();
    loop {
        let whole = rest.floor().to_integer();
        let next = (&whole * &last.0 + before.0, &whole * &last.1 + before.1);
        before = std::mem::replace(&mut last, next);
        all.push(BigRational::new(last.0.clone(), last.1.clone()));
        let left = rest - BigRational::from_integer(whole);
        if left.is_zero() {
            return all;
        }
        rest = left.recip();
    }
}

/// Whether the Stern-Brocot walk towards `value` passes through `fraction`.
fn on_the_way(fraction: &BigRational, value: &BigRational) -> bool {
    let (mut low, mut high) = ((BigInt::zero(), BigInt::one()), (BigInt::one(), BigInt::zero()));
    loop {
        let mediant = (&low.0 + &high.0, &low.1 + &high.1);
        let here = BigRational::new(mediant.0.clone(), mediant.1.clone());
        if here == *fraction {
            return true;
        }
        if here == *value || mediant.1 > *fraction.denom() {
            return false;
        }
        if here < *value { low = mediant } else { high = mediant }
    }
}

fn role(fraction: &BigRational, value: &BigRational) -> Option<Role> {
    if convergents(value).contains(fraction) {
        return Some(Role::Convergent);
    }
    on_the_way(fraction, value).then_some(Role::Mediant)
}

/// No fraction with a smaller denominator comes as near: a convergent against all, a mediant
/// against those on its own side.
fn is_best_for_its_size(fraction: &BigRational, value: &BigRational, role: Role) -> Outcome {
    let error = (fraction - value).abs();
    let above = fraction > value;
    let mut size = BigInt::one();
    while size < *fraction.denom() {
        let times = value * &size;
        for (nearest, is_above) in [(times.floor(), false), (times.ceil(), true)] {
            let other = nearest / &size;
            let nearer = (&other - value).abs() <= error;
            if nearer && (role == Role::Convergent || is_above == above) {
                return Err(format!("{other} is as near").into());
            }
        }
        size += 1;
    }
    Ok(())
}

#[test]
fn the_walk_knows_its_own_marks() {
    let of = |text: &str| text.parse::<BigRational>().unwrap();
    let value = of("127/100");
    // 127/100 = [1; 3, 1, 2, 2, 1, 2], by hand.
    let by_hand = ["1", "4/3", "5/4", "14/11", "33/26", "47/37", "127/100"].map(of);
    assert_eq!(convergents(&value), by_hand);
    assert_eq!(role(&of("19/15"), &value), Some(Role::Mediant)); // of 5/4 and 14/11
    assert_eq!(role(&of("81/64"), &value), None);
    assert!(is_best_for_its_size(&of("14/11"), &value, Role::Convergent).is_ok());
    assert!(is_best_for_its_size(&of("19/15"), &value, Role::Convergent).is_err());
}
