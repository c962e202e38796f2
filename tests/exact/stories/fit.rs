//! The stories with their brackets: what stands, where; what does not, by how many mm.

use super::{Stories, has_equal_pair, stories};
use crate::bracket::rig::{Rig, Wheel};
use crate::bracket::stand::judge;
use crate::oracle::json::Json;
use crate::worked::{Outcome, all_hold, any_arrangement, arrangements, prints, same};
use num_traits::ToPrimitive;
use serde::Deserialize;
use serde_json::Value;
use solver::bracket::{Fit, Geometry, Part, Reason};
use solver::search::{Ask, Options, Search};
use solver::{End, Hand, Lathe, Parts, Ratio, Shaft, Target, Teeth, Train};
use std::collections::BTreeSet;
use std::error::Error;

/// A bracket for one of the lathes.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Measured {
    name: String,
    lathe: String,
    sizes: String,
}

/// One train on a bracket.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Stand {
    pub(super) id: String,
    bracket: String,
    train: String,
    /// Distances of the axes.
    #[serde(default)]
    meshes: Vec<String>,
    /// Where the studs stand in their slots.
    #[serde(default)]
    along: Vec<String>,
    swing: Option<String>,
    /// Why it can't stand; none: it stands.
    #[serde(default)]
    reasons: Vec<String>,
}

/// All orders of one ratio.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Orders {
    pub(super) id: String,
    bracket: String,
    target: String,
    #[serde(default)]
    left: bool,
    ratio: String,
    count: Option<usize>,
    gears: usize,
    /// Only trains with these end gears.
    ends: Option<[String; 2]>,
    fit: Option<BTreeSet<String>>,
    many: Option<usize>,
}

/// What the search recommends.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Mount {
    pub(super) id: String,
    bracket: String,
    /// The only gears that the driving shaft takes.
    first: Option<Vec<u64>>,
    target: String,
    ratio: String,
    ppm: Option<String>,
    #[serde(default)]
    then: Vec<String>,
}

type Found<T> = Result<T, Box<dyn Error>>;

/// A lathe with its bracket, and the bracket in the tests' own terms.
struct Shop {
    lathe: Lathe,
    rig: Rig,
}

impl Shop {
    fn open(stories: &Stories, name: &str, first: Option<&Vec<u64>>) -> Found<Self> {
        let measured = stories.bracket.iter().find(|b| b.name == name).ok_or("no such bracket")?;
        let rig = Rig::read(&Json::read(&measured.sizes));
        let lathe = stories.lathe(&measured.lathe, &[] as &[Value])?;
        let mut parts: Parts = lathe.parts().clone();
        parts.bracket = Some(rig.bracket());
        if let Some(first) = first {
            let teeth = first.iter().map(|&teeth| Teeth::new(teeth)).collect::<Result<_, _>>()?;
            parts.ends.first = End::Owned(teeth);
        }
        Ok(Self { lathe: Lathe::new(parts)?, rig })
    }

    fn geometry(&self) -> Found<Geometry> {
        let bracket = self.lathe.parts().bracket.as_ref().ok_or("no bracket")?;
        Ok(Geometry::new(bracket, &self.lathe.parts().gears)?)
    }

    /// A train as it is written, with the tooth size of the lathe's gears.
    fn train(&self, text: &str) -> Found<Train> {
        let size = self.lathe.parts().gears.all().next().ok_or("no gears")?.size;
        let sized = |shaft: &Shaft| match shaft {
            Shaft::One(gear) => Shaft::One(gear.with_size(size)),
            Shaft::Pair { driven, driver } => {
                Shaft::Pair { driven: driven.with_size(size), driver: driver.with_size(size) }
            }
        };
        Ok(Train::new(text.parse::<Train>()?.shafts().iter().map(sized).collect())?)
    }

    /// What the slow solver says; nothing: too close.
    fn slow(&self, train: &Train) -> Found<Option<bool>> {
        let wheel = |gear: &solver::Gear| -> Found<Wheel> {
            let module = gear.module();
            let side = |side: u128| side.to_f64().ok_or("a module");
            let module = side(module.numer())? / side(module.denom())?;
            Ok(Wheel { teeth: gear.teeth.get().into(), module, idle: false })
        };
        let chain = train
            .shafts()
            .iter()
            .map(|shaft| shaft.gears().map(wheel).collect())
            .collect::<Found<_>>()?;
        Ok(judge(&self.rig, &chain).fits())
    }
}

/// Three decimals, without those that are zero.
fn mm(size: f64) -> String {
    let text = format!("{size:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn part(part: &Part) -> String {
    match part {
        Part::Gear { teeth, .. } | Part::Idle { teeth, .. } => teeth.to_string(),
        Part::Hub { shaft } => format!("the hub of shaft {shaft}"),
        other => format!("{other:?}"),
    }
}

fn words(reason: &Reason) -> String {
    match reason {
        Reason::Touch { gear, other, short, .. } => {
            format!("{} hits {} by {}", part(gear), part(other), mm(*short))
        }
        Reason::NearFirst { distance, .. } => format!("{} from the driving shaft", mm(*distance)),
        Reason::SlotEnd { along, end, .. } => {
            format!("{} in a slot that ends at {}", mm(*along), mm(*end))
        }
        Reason::TooShort { sum, distance, .. } => format!("{} for {}", mm(*sum), mm(*distance)),
        other => format!("{other:?}"),
    }
}

impl Stand {
    fn run(&self, stories: &Stories) -> Outcome {
        let shop = Shop::open(stories, &self.bracket, None)?;
        let train = shop.train(&self.train)?;
        same("the slow solver's verdict", shop.slow(&train)?, Some(self.reasons.is_empty()))?;
        let fit = shop.geometry()?.fit(&train);
        let reasons: BTreeSet<String> = fit.reasons().iter().map(words).collect();
        same("reasons", &reasons, &self.reasons.iter().cloned().collect())?;
        let Fit::Fits(mounting) = fit else {
            return same("it fits", self.reasons.is_empty(), false);
        };
        for (at, wanted) in self.meshes.iter().enumerate() {
            prints("distance of a mesh", mounting.meshes[at].centres, wanted)?;
        }
        for (stud, wanted) in mounting.shafts[1..].iter().zip(&self.along) {
            prints("place of a stud", stud.slot.ok_or("no slot")?.along, wanted)?;
        }
        match &self.swing {
            Some(swing) => prints("swing", mounting.swing.ok_or("no swing")?.abs(), swing),
            None => Ok(()),
        }
    }
}

impl Orders {
    fn run(&self, stories: &Stories) -> Outcome {
        let shop = Shop::open(stories, &self.bracket, None)?;
        let target: Target = self.target.parse()?;
        let search =
            Search::new(&shop.lathe, target.travel(), any_arrangement().with_bracket(false))?;
        let ask = ask(&target, self.left).with_count(20);
        let ratio: Ratio = self.ratio.parse()?;
        let found = search.find(&ask)?.solutions;
        let of_ratio = |s: &&solver::search::Solution| s.train.ratio() == ratio;
        let group = found.iter().find(of_ratio).ok_or("no train has that ratio")?;
        let geometry = shop.geometry()?;
        let (mut orders, mut fit) = (0, BTreeSet::new());
        for solution in arrangements(&search, &ask, group)? {
            let train = &solution.train;
            let name = train.to_string();
            let between = |ends: &[String; 2]| {
                name.starts_with(&format!("{}-", ends[0]))
                    && name.ends_with(&format!("-{}", ends[1]))
            };
            let left_out = has_equal_pair(train) || self.ends.as_ref().is_some_and(|e| !between(e));
            if solution.gears != self.gears || left_out {
                continue;
            }
            orders += 1;
            let fits = matches!(geometry.fit(train), Fit::Fits(_));
            if let Some(said) = shop.slow(train)? {
                same(&format!("the slow solver on {name}"), said, fits)?;
            }
            fit.extend(fits.then_some(name));
        }
        same("orders", orders, self.count.unwrap_or(orders))?;
        same("orders that fit", fit.len(), self.many.unwrap_or(fit.len()))?;
        same("fit", &fit, self.fit.as_ref().unwrap_or(&fit))
    }
}

fn ask(target: &Target, left: bool) -> Ask {
    let hand = if left { Hand::Left } else { target.hand().unwrap_or(Hand::Right) };
    Ask::new(target.lead()).with_hand((!target.travel().is_feed()).then_some(hand))
}

impl Mount {
    fn run(&self, stories: &Stories) -> Outcome {
        let shop = Shop::open(stories, &self.bracket, self.first.as_ref())?;
        let target: Target = self.target.parse()?;
        let search = Search::new(&shop.lathe, target.travel(), Options::default())?;
        let found = search.find(&ask(&target, false).with_count(1 + self.then.len()))?;
        same("complete", found.proof.complete, true)?;
        let ratios = found.solutions.iter().map(|s| s.train.ratio()).collect::<Vec<_>>();
        let wanted = std::iter::once(&self.ratio).chain(&self.then).map(|r| r.parse());
        same("ratios", ratios, wanted.collect::<Result<Vec<Ratio>, _>>()?)?;
        for solution in &found.solutions {
            same("it stands", matches!(solution.fit, Fit::Fits(_)), true)?;
            same("the slow solver", shop.slow(&solution.train)?, Some(true))?;
        }
        for solution in &found.refused {
            same("a refusal has reasons", solution.fit.reasons().is_empty(), false)?;
            same("the slow solver on what is refused", shop.slow(&solution.train)?, Some(false))?;
        }
        match &self.ppm {
            Some(ppm) => prints("ppm", found.solutions[0].error.ppm(), ppm),
            None => Ok(()),
        }
    }
}

#[test]
fn every_train_stands_or_not_as_worked_out() {
    let stories = stories();
    all_hold(&stories.stand, |row| row.run(&stories), |row| row.id.clone());
}

#[test]
fn every_order_fits_or_not_as_worked_out() {
    let stories = stories();
    all_hold(&stories.fit, |row| row.run(&stories), |row| row.id.clone());
}

#[test]
fn what_is_recommended_stands() {
    let stories = stories();
    all_hold(&stories.mount, |row| row.run(&stories), |row| row.id.clone());
}
