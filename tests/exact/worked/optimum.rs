//! Does the search find the published optimum of the four-gear design problem?
//!
//! A ratio is asked of two pairs of gears, any number of each size; the goal is the least squared
//! error of the ratio itself.

use super::{Outcome, any_arrangement, arrangements, lathe, nearest, same};
use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{Signed, ToPrimitive};
use serde::Deserialize;
use solver::search::{Ask, Search, Solution};
use solver::{Lead, Length, Ratio, Travel};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Optimum {
    ratio: String,
    teeth: (u16, u16),
    drivers: [u16; 2],
    driven: [u16; 2],
    squared_error: Option<String>,
    millionths: Option<String>,
}

/// A screw of 16 mm keeps the longest of these ratios, as a lead, within the bounds of a target.
const SCREW_MM: u64 = 16;

impl Optimum {
    pub(super) fn run(&self) -> Outcome {
        let (ratio, screw): (Ratio, _) = (self.ratio.parse()?, Ratio::whole(SCREW_MM)?);
        let gears = (self.teeth.0..=self.teeth.1).map(|teeth| (teeth, 4)).collect();
        let lathe = lathe(&gears, Lead::new(Length::from_mm(screw)), 1)?;
        let search = Search::new(&lathe, Travel::Thread, any_arrangement())?;
        let asked = Lead::new(Length::from_mm(ratio.times(&screw)?)).checked_as_target()?;
        let ask = Ask::new(asked).with_hand(None).with_count(1);
        let found = nearest(&search, &ask)?;
        let best = found.first().ok_or("nothing found")?;
        same("every order of the two pairs", arrangements(&search, &ask, best)?.len(), 4)?;
        self.is_of(best)?;
        self.errs(&(best.train.ratio().to_big() - ratio.to_big()))
    }

    fn is_of(&self, best: &Solution) -> Outcome {
        let (mut drivers, mut driven): (Vec<_>, Vec<_>) =
            best.train.mesh_pairs().map(|(a, b)| (a.teeth.get(), b.teeth.get())).unzip();
        drivers.sort_unstable();
        driven.sort_unstable();
        same("drivers", &drivers[..], &self.drivers)?;
        same("driven", &driven[..], &self.driven)
    }

    fn errs(&self, error: &BigRational) -> Outcome {
        if let Some(squared) = &self.squared_error {
            let got = (error * error).to_f64().ok_or("no double")?;
            same("squared error", &format!("{got:.6e}"), squared)?;
        }
        if let Some(millionths) = &self.millionths {
            same(
                "error x 10^6",
                &cut_off(&(error.abs() * BigInt::from(1_000_000)), millionths),
                millionths,
            )?;
        }
        same("a figure is checked", self.squared_error.is_some() || self.millionths.is_some(), true)
    }
}

/// A figure with as many decimals as `like` has, the rest cut off.
fn cut_off(figure: &BigRational, like: &str) -> String {
    let places = like.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let scaled = figure * BigInt::from(10).pow(u32::try_from(places).unwrap());
    let digits = format!("{:0>width$}", scaled.to_integer(), width = places + 1);
    let (whole, decimals) = digits.split_at(digits.len() - places);
    format!("{whole}.{decimals}")
}
