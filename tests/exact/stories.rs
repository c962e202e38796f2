//! What does the search say to people with a lathe, a box of gears and a job?
//!
//! One row of `data/stories.toml` is one case. Lathes and boxes are invented; the figures are exact
//! arithmetic, worked out apart from this program. What stands on the bracket is asked in
//! `stories/fit.rs`.

mod fit;

use crate::worked::{
    Outcome, all_hold, any_arrangement, arrangements, lead, nearest, prints, same,
};
use serde::Deserialize;
use serde_json::Value;
use solver::search::{Ask, Search, Solution};
use solver::{Hand, Lathe, Lead, LeadError, Length, Ratio, Shaft, Target, Train};
use std::collections::{BTreeMap, BTreeSet};
use std::error::Error;
use trainwright::files;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Stories {
    lathes: BTreeMap<String, String>,
    ask: Vec<Asked>,
    given: Vec<Given>,
    chuck: Vec<Chuck>,
    bracket: Vec<fit::Measured>,
    stand: Vec<fit::Stand>,
    fit: Vec<fit::Orders>,
    mount: Vec<fit::Mount>,
}

/// What is asked of the search.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Asked {
    id: String,
    lathe: String,
    /// Gears bought.
    #[serde(default)]
    more: Vec<Value>,
    target: String,
    /// Most gears in a train.
    gears: Option<usize>,
    ratio: Option<String>,
    cuts: Option<String>,
    mm: Option<String>,
    tpi: Option<String>,
    ppm: Option<String>,
    over: Option<String>,
    um: Option<String>,
    turns: Option<String>,
    /// Orders by number of gears.
    trains: Option<BTreeMap<String, usize>>,
    among: Vec<String>,
    #[serde(default)]
    then: Vec<String>,
    #[serde(default)]
    trade_off: Vec<Fewer>,
}

/// The best with so many gears.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Fewer {
    gears: usize,
    ratio: String,
    ppm: String,
    among: String,
}

/// What somebody puts on.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Given {
    id: String,
    lathe: String,
    train: String,
    #[serde(default)]
    levers: String,
    target: String,
    ratio: Option<String>,
    cuts: Option<String>,
    mm: Option<String>,
    ppm: Option<String>,
    over: Option<String>,
    um: Option<String>,
    turns: Option<String>,
}

/// An unknown headstock: equal gears, a scratch cut, a rule laid on.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Chuck {
    id: String,
    screw: String,
    pitches: u64,
    measured: [String; 2],
    between: [String; 2],
    denominators: u64,
    only: String,
    constant: String,
    longer: Longer,
}

/// A longer check.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Longer {
    pitches: u64,
    measures: String,
}

/// The figures of one train.
struct Figures<'s> {
    cuts: Option<&'s String>,
    mm: Option<&'s String>,
    tpi: Option<&'s String>,
    ppm: Option<&'s String>,
    over: Option<&'s String>,
    um: Option<&'s String>,
    turns: Option<&'s String>,
}

impl Figures<'_> {
    fn hold(&self, cut: &Lead, error: &LeadError, lathe: &Lathe) -> Outcome {
        if let Some(cuts) = self.cuts {
            same("cuts", *cut, lead(cuts)?)?;
        }
        if let Some(mm) = self.mm {
            prints("mm", cut.to_f64(), mm)?;
        }
        if let Some(tpi) = self.tpi {
            prints("TPI", cut.tpi()?.to_f64(), tpi)?;
        }
        if let Some(ppm) = self.ppm {
            prints("ppm", error.ppm(), ppm)?;
            let exact = ppm.trim_start_matches(['+', '0', '.']).is_empty();
            same("exact", error.is_zero(), exact)?;
        }
        self.adds_up(error)?;
        if let Some(turns) = self.turns {
            let screw = lathe.parts().lead_screw.lead.ok_or("no screw")?;
            same("turns of the screw", cut.mm().over(&screw.mm())?, turns.parse()?)?;
        }
        Ok(())
    }

    fn adds_up(&self, error: &LeadError) -> Outcome {
        match (self.over, self.um) {
            (Some(over), Some(um)) => {
                let over: Length = over.parse()?;
                prints("um", error.ppm() * over.mm().to_f64() / 1e3, um)
            }
            (None, None) => Ok(()),
            _ => Err("`over` and `um` go together".into()),
        }
    }
}

fn stories() -> Stories {
    toml::from_str(include_str!("../data/stories.toml")).unwrap()
}

impl Stories {
    /// A lathe, with more gears in its box.
    fn lathe(&self, name: &str, more: &[Value]) -> Result<Lathe, Box<dyn Error>> {
        let text = self.lathes.get(name).ok_or_else(|| format!("no lathe {name}"))?;
        let mut file: Value = serde_json::from_str(text)?;
        let owned = file["gears"]["owned"].as_array_mut().ok_or("no gears")?;
        owned.extend_from_slice(more);
        let open = files::lathe_of_text(name, &file.to_string()).map_err(|e| e.to_string())?;
        Ok(open.lathe)
    }
}

/// Lever positions in one word, lever by lever: `III1`.
fn levers(search: &Search, setting: usize) -> String {
    let setting = &search.settings()[setting];
    search.lathe().lever_names(setting).map(|(_, position)| position).collect()
}

/// A train with its levers: `30-127-60 at III1`.
fn named(search: &Search, solution: &Solution) -> String {
    match levers(search, solution.setting) {
        levers if levers.is_empty() => solution.train.to_string(),
        levers => format!("{} at {levers}", solution.train),
    }
}

/// Whether some stud carries two gears of one size: an idler in two planes.
fn has_equal_pair(train: &Train) -> bool {
    train.studs().iter().any(|stud| match stud {
        Shaft::Pair { driven, driver } => driven.teeth == driver.teeth,
        Shaft::One(_) => false,
    })
}

impl Asked {
    fn run(&self, stories: &Stories) -> Outcome {
        let lathe = stories.lathe(&self.lathe, &self.more)?;
        let target: Target = self.target.parse()?;
        let search = Search::new(&lathe, target.travel(), any_arrangement())?;
        let hand = target.hand().unwrap_or(Hand::Right);
        let mut ask = Ask::new(target.lead())
            .with_hand((!target.travel().is_feed()).then_some(hand))
            .with_count(1 + self.then.len());
        ask.gears = self.gears.unwrap_or(ask.gears);
        let found = nearest(&search, &ask)?;
        let [best, next @ ..] = &found[..] else { return Err("nothing found".into()) };
        if let Some(ratio) = &self.ratio {
            same("ratio", best.train.ratio(), ratio.parse()?)?;
        }
        self.figures().hold(&best.lead, &best.error, &lathe)?;
        self.is_among(&search, &arrangements(&search, &ask, best)?)?;
        for (then, next) in self.then.iter().zip(next) {
            same("next ratio", next.train.ratio(), then.parse()?)?;
        }
        same("next ratios", next.len(), self.then.len())?;
        if self.trade_off.is_empty() { Ok(()) } else { self.trades_off(&search, &ask) }
    }

    const fn figures(&self) -> Figures<'_> {
        Figures {
            cuts: self.cuts.as_ref(),
            mm: self.mm.as_ref(),
            tpi: self.tpi.as_ref(),
            ppm: self.ppm.as_ref(),
            over: self.over.as_ref(),
            um: self.um.as_ref(),
            turns: self.turns.as_ref(),
        }
    }

    fn is_among(&self, search: &Search, all: &[Solution]) -> Outcome {
        let names: BTreeSet<_> = all.iter().map(|solution| named(search, solution)).collect();
        same("trains listed once", names.len(), all.len())?;
        for train in &self.among {
            same(&format!("{train} is listed"), names.contains(train), true)?;
        }
        let Some(wanted) = &self.trains else { return Ok(()) };
        let mut counts = BTreeMap::new();
        for solution in all.iter().filter(|solution| !has_equal_pair(&solution.train)) {
            *counts.entry(solution.gears.to_string()).or_insert(0) += 1;
        }
        same("orders by number of gears", &counts, wanted)
    }

    fn trades_off(&self, search: &Search, ask: &Ask) -> Outcome {
        let rows = search.trade_off(ask)?.rows;
        same("rows of the trade-off", rows.len(), self.trade_off.len())?;
        for (row, wanted) in rows.iter().zip(&self.trade_off) {
            same("gears", row.gears, wanted.gears)?;
            same("ratio", row.train.ratio(), wanted.ratio.parse()?)?;
            prints("ppm", row.error.ppm(), &wanted.ppm)?;
            let all = arrangements(search, ask, row)?;
            let listed = all.iter().any(|solution| named(search, solution) == wanted.among);
            same(&format!("{} is listed", wanted.among), listed, true)?;
        }
        Ok(())
    }
}

impl Given {
    fn run(&self, stories: &Stories) -> Outcome {
        let lathe = stories.lathe(&self.lathe, &[])?;
        let target: Target = self.target.parse()?;
        let search = Search::new(&lathe, target.travel(), any_arrangement())?;
        let setting = (0..search.settings().len())
            .find(|setting| levers(&search, *setting) == self.levers)
            .ok_or("no such levers")?;
        let ratio = self.train.parse::<Train>()?.ratio();
        if let Some(wanted) = &self.ratio {
            same("ratio", ratio, wanted.parse()?)?;
        }
        let cut = search.settings()[setting].constant.times(&ratio)?;
        self.figures().hold(&cut, &LeadError::of(&cut, &target.lead()), &lathe)
    }

    const fn figures(&self) -> Figures<'_> {
        Figures {
            cuts: self.cuts.as_ref(),
            mm: self.mm.as_ref(),
            tpi: None,
            ppm: self.ppm.as_ref(),
            over: self.over.as_ref(),
            um: self.um.as_ref(),
            turns: self.turns.as_ref(),
        }
    }
}

impl Chuck {
    fn run(&self) -> Outcome {
        let screw = lead(&self.screw)?;
        let all = Lead::times(&screw, &Ratio::whole(self.pitches)?)?;
        let mut bounds = Vec::new();
        for (measured, printed) in self.measured.iter().zip(&self.between) {
            let bound = lead(measured)?.mm().over(&all.mm())?;
            prints("ratio between", bound.to_f64(), printed)?;
            bounds.push(bound);
        }
        let [low, high] = bounds[..] else { return Err("two measures".into()) };
        let simple = (1..=self.denominators).flat_map(|q| (1..=2 * q).map(move |p| (p, q)));
        let inside: BTreeSet<Ratio> = simple
            .map(|(p, q)| Ratio::new(p.into(), q.into()))
            .filter(|k| k.as_ref().is_ok_and(|k| (low..=high).contains(k)))
            .collect::<solver::Result<_>>()?;
        let only: Ratio = self.only.parse()?;
        same("simple ratios inside", inside, [only].into())?;
        let constant = screw.times(&only)?;
        same("constant", constant, lead(&self.constant)?)?;
        let longer = constant.times(&Ratio::whole(self.longer.pitches)?)?;
        same("longer check", longer, lead(&self.longer.measures)?)
    }
}

#[test]
fn every_answer_is_the_one_worked_out() {
    let stories = stories();
    all_hold(&stories.ask, |row| row.run(&stories), |row| row.id.clone());
}

#[test]
fn every_given_train_cuts_what_was_worked_out() {
    let stories = stories();
    all_hold(&stories.given, |row| row.run(&stories), |row| row.id.clone());
}

#[test]
fn an_unknown_headstock_is_told_from_a_scratch_cut() {
    all_hold(&stories().chuck, Chuck::run, |row| row.id.clone());
}

/// None is lost, and every lathe serves.
#[test]
fn every_story_is_a_case() {
    let stories = stories();
    assert_eq!((stories.ask.len(), stories.given.len(), stories.chuck.len()), (27, 21, 1));
    assert_eq!((stories.stand.len(), stories.fit.len(), stories.mount.len()), (15, 5, 5));
    let ids = stories.ask.iter().map(|row| &row.id).chain(stories.given.iter().map(|row| &row.id));
    let distinct: BTreeSet<_> = ids.collect();
    assert_eq!(distinct.len(), stories.ask.len() + stories.given.len());
    let used = stories.ask.iter().map(|row| &row.lathe);
    let used: BTreeSet<_> = used.chain(stories.given.iter().map(|row| &row.lathe)).collect();
    assert_eq!(used, stories.lathes.keys().collect());
}
