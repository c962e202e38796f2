//! One case, asked of the library at three settings of its window and budget, against the
//! enumeration.

use super::beyond::Beyond;
use super::marks::listed;
use super::number::Q;
use super::question::Case;
use super::rank::{Group, Row, fewest, trade_off};
use super::sheet::{Kind, Sense, Setting, Travel};
use solver::search::{Ask, Options, Search, Solution, Tuning};
use solver::{Gear, Hand, Lathe, Lead, Length, Place, Ratio, Turns};
use std::fmt::Debug;
use trainwright::files;

/// What is wrong, in words.
pub(crate) type Verdict = Result<(), String>;

#[expect(clippy::needless_pass_by_value, reason = "most callers hold values made for this")]
fn same<T: PartialEq + Debug>(what: &str, found: T, wanted: T) -> Verdict {
    if found == wanted {
        return Ok(());
    }
    Err(format!("{what}:\n  search      {found:?}\n  enumeration {wanted:?}"))
}

/// First window, growth and budget: the search must answer the same at each.
pub(crate) fn tunings() -> [Tuning; 3] {
    [
        Tuning { first: 1e-7, growth: 2.0, budget: 0, halvings: None },
        Tuning::default(),
        Tuning { budget: u64::MAX, ..Tuning::default() },
    ]
}

/// One row in terms that both sides share.
#[derive(PartialEq)]
struct Line {
    shafts: Vec<Vec<Wheel>>,
    setting: usize,
    tumbler: Option<usize>,
    hand: Sense,
    lead: Q,
    /// Cut over asked, and the power of pi beside it.
    quotient: (Q, i8),
    gears: usize,
    handled: usize,
}

impl Debug for Line {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let shaft =
            |shaft: &Vec<Wheel>| shaft.iter().map(Wheel::text).collect::<Vec<_>>().join("+");
        let train = self.shafts.iter().map(shaft).collect::<Vec<_>>().join("-");
        let Self { setting, tumbler, hand, lead, gears, handled, .. } = self;
        write!(f, "{train} setting {setting} tumbler {tumbler:?} hand {hand:?} lead {lead}")?;
        write!(f, " gears {gears} handled {handled}")
    }
}

/// A gear.
#[derive(PartialEq)]
struct Wheel {
    teeth: u64,
    module: Q,
    angle: Q,
    places: [bool; 3],
}

impl Wheel {
    fn text(&self) -> String {
        let places: String = "fsl".chars().zip(self.places).filter(|p| p.1).map(|p| p.0).collect();
        format!("{}(m{} {}deg {places})", self.teeth, self.module, self.angle)
    }
}

fn big(ratio: &Ratio) -> Q {
    Q::new(ratio.numer().into(), ratio.denom().into())
}

pub(crate) fn small(value: &Q) -> Ratio {
    let side = |side: &num_bigint::BigInt| side.try_into().expect("a drawn number is small");
    Ratio::new(side(value.numer()), side(value.denom())).expect("not zero")
}

fn wheel_found(gear: &Gear) -> Wheel {
    Wheel {
        teeth: gear.teeth.get().into(),
        module: big(&gear.module()),
        angle: big(&gear.angle.degrees()),
        places: [Place::First, Place::Stud, Place::Last].map(|place| gear.places.allow(place)),
    }
}

fn wheel_wanted(kind: &Kind) -> Wheel {
    Wheel {
        teeth: kind.teeth,
        module: kind.module(),
        angle: kind.angle.clone(),
        places: kind.places,
    }
}

fn hand_found(hand: Option<Hand>) -> Sense {
    hand.map(|hand| if hand == Hand::Right { 1 } else { -1 })
}

fn line_found(solution: &Solution) -> Line {
    let (quotient, pi) = solution.error.cut_over_asked();
    let shaft = |shaft: &solver::Shaft| shaft.gears().map(wheel_found).collect();
    Line {
        shafts: solution.train.shafts().iter().map(shaft).collect(),
        setting: solution.setting,
        tumbler: solution.tumbler,
        hand: hand_found(solution.hand),
        lead: big(&solution.lead.mm()),
        quotient: (quotient.clone(), pi),
        gears: solution.gears,
        handled: solution.handled,
    }
}

fn line_wanted(case: &Case, group: &Group, row: &Row) -> Line {
    let kinds = &case.shop.sheet.kinds;
    let shaft = |shaft: &Vec<usize>| shaft.iter().map(|&k| wheel_wanted(&kinds[k])).collect();
    let target = &case.ask.target;
    Line {
        shafts: row.shafts.iter().map(shaft).collect(),
        setting: row.order.setting,
        tumbler: row.tumbler,
        hand: row.hand,
        lead: group.lead.clone(),
        quotient: (&group.lead / &target.mm, if target.pi { -1 } else { 0 }),
        gears: row.order.gears,
        handled: row.order.handled,
    }
}

/// The question in the library's terms.
fn ask_of(case: &Case) -> Ask {
    let length = Length::from_mm(small(&case.ask.target.mm));
    let lead = if case.ask.target.pi { Lead::times_pi(length) } else { Lead::new(length) };
    let hand = case.ask.hand.map(|hand| if hand > 0 { Hand::Right } else { Hand::Left });
    Ask::new(lead.checked_as_target().expect("a drawn target is ordinary"))
        .with_hand(hand)
        .with_gears(case.ask.gears)
        .with_count(case.count)
        .with_within(case.within.as_ref().map(small))
}

pub(crate) fn travel_of(travel: Travel) -> solver::Travel {
    match travel {
        Travel::Thread => solver::Travel::Thread,
        Travel::Long => solver::Travel::LongFeed,
        Travel::Cross => solver::Travel::CrossFeed,
    }
}

/// The lathe as the program reads it.
pub(crate) fn lathe_of(file: &str) -> Result<Lathe, String> {
    let opened = files::lathe_of_text("case.json", file);
    opened.map(|open| open.lathe).map_err(|failure| format!("the file is refused: {failure:?}"))
}

/// Asks everything at every setting of the search's window and budget.
pub(crate) fn compare(case: &Case, groups: &[Group]) -> Verdict {
    let mut lathe = lathe_of(&case.file)?;
    if let Some(stands) = &case.shop.sheet.bracket {
        let mut parts = lathe.parts().clone();
        parts.bracket = Some(stands.rig.bracket());
        lathe = Lathe::new(parts).map_err(|e| e.to_string())?;
    }
    let beyond = Beyond::of(case, groups);
    tunings().iter().enumerate().try_for_each(|(at, tuning)| {
        let options =
            Options::default().with_arbor(case.arbor.as_ref().map(small)).with_tuning(*tuning);
        compare_with(case, groups, &beyond, &lathe, options)
            .map_err(|e| format!("tuning {at}: {e}"))
    })
}

fn compare_with(
    case: &Case,
    groups: &[Group],
    beyond: &Beyond,
    lathe: &Lathe,
    options: Options,
) -> Verdict {
    let settings = case.shop.sheet.settings(case.ask.travel);
    let search = match Search::new(lathe, travel_of(case.ask.travel), options) {
        Ok(search) => search,
        Err(e) if settings.is_empty() && (e.is_unknown() || e.is_no_such()) => return Ok(()),
        Err(e) => return Err(format!("the search refuses the lathe: {e}")),
    };
    same("settings", settings_found(&search), settings_wanted(&settings))?;
    let check = Check { case, groups, beyond, search, ask: ask_of(case) };
    check.ranking()?;
    check.others()?;
    check.everything()?;
    check.trade_off()?;
    check.fewest()?;
    check.beyond()?;
    check.proof()
}

type Position = (usize, Vec<usize>, Q, Sense);

fn settings_found(search: &Search) -> Vec<Position> {
    let sense = |turns| match turns {
        Turns::Same => Some(1),
        Turns::Opposite => Some(-1),
        Turns::Unknown => None,
    };
    let one = |s: &solver::Setting| {
        (s.headstock, s.levers.clone(), big(&s.constant.mm()), sense(s.turns))
    };
    search.settings().iter().map(one).collect()
}

fn settings_wanted(settings: &[Setting]) -> Vec<Position> {
    settings.iter().map(|s| (s.headstock, s.levers.clone(), s.constant.clone(), s.sense)).collect()
}

struct Check<'a> {
    case: &'a Case,
    groups: &'a [Group],
    beyond: &'a Beyond,
    search: Search<'a>,
    ask: Ask,
}

impl Check<'_> {
    fn wanted(&self, group: usize, row: usize) -> Line {
        line_wanted(self.case, &self.groups[group], &self.groups[group].rows[row])
    }

    /// The list of the best leads, what it proves, and the nearest where nothing is near enough.
    fn ranking(&self) -> Verdict {
        let found = self.search.find(&self.ask).map_err(|e| e.to_string())?;
        let lines: Vec<Line> = found.solutions.iter().map(line_found).collect();
        let wanted: Vec<Line> =
            (0..listed(self.case, self.groups)).map(|group| self.wanted(group, 0)).collect();
        if let Some(at) = (0..lines.len().min(wanted.len())).find(|&i| lines[i] != wanted[i]) {
            return same(&format!("answer {}", at + 1), &lines[at], &wanted[at]);
        }
        same("answers", lines.len(), wanted.len())?;
        let nearest = self.case.within.is_some() && wanted.is_empty() && !self.groups.is_empty();
        let nearest = nearest.then(|| self.wanted(0, 0));
        same("nearest", found.nearest.as_ref().map(line_found), nearest)?;
        same("positions", found.proof.positions, self.search.settings().len())?;
        same("complete", found.proof.complete, true)
    }

    fn others(&self) -> Verdict {
        for solution in &self.search.find(&self.ask).map_err(|e| e.to_string())?.solutions {
            let lead = big(&solution.lead.mm());
            let group = self.groups.iter().find(|g| g.lead == lead).expect("a listed lead");
            let others = self.search.others(&self.ask, solution, 1_000_000);
            let others = others.map_err(|e| e.to_string())?;
            let wanted = (group.rows.len() as u64 - 1, false);
            let what = format!("others of {}", solution.train);
            same(&what, (others.count, others.at_least), wanted)?;
        }
        Ok(())
    }

    /// Every train of the first lead; and the list cut short.
    fn everything(&self) -> Verdict {
        let found = self.search.find(&self.ask).map_err(|e| e.to_string())?;
        let Some(first) = found.solutions.first() else { return Ok(()) };
        let rows = self.groups[0].rows.len();
        for limit in [rows + 1, rows, rows.div_ceil(2)] {
            let all = self.search.all(&self.ask, first, limit);
            let (all, cut) = all.map_err(|e| e.to_string())?;
            let wanted: Vec<Line> = (0..rows.min(limit)).map(|row| self.wanted(0, row)).collect();
            let all: Vec<Line> = all.iter().map(line_found).collect();
            if let Some(at) = (0..all.len().min(wanted.len())).find(|&i| all[i] != wanted[i]) {
                return same(&format!("train {} of the first lead", at + 1), &all[at], &wanted[at]);
            }
            same("trains of the first lead", (all.len(), cut), (wanted.len(), limit < rows))?;
        }
        Ok(())
    }

    /// What does not stand or is not owned, but would be closer.
    fn beyond(&self) -> Verdict {
        let found = self.search.find(&self.ask).map_err(|e| e.to_string())?;
        if let Some(refused) = &self.beyond.refused {
            let wanted: Vec<Line> =
                refused.iter().map(|g| line_wanted(self.case, g, &g.rows[0])).collect();
            let lines = found.refused.iter().map(line_found).collect();
            same("refused", lines, wanted)?;
        }
        let Some(more) = &self.beyond.one_more else { return Ok(()) };
        let found = self.search.one_more(&self.ask, found.solutions.first());
        let found = found.map_err(|e| e.to_string())?;
        let found =
            found.better.map(|(solution, teeth)| (teeth.get().into(), line_found(&solution)));
        let wanted = more.first().map(|(teeth, g)| (*teeth, line_wanted(self.case, g, &g.rows[0])));
        same("one more gear", found, wanted)
    }

    fn proof(&self) -> Verdict {
        let found = self.search.proof(self.case.ask.gears);
        same("pairs", found.pairs, self.beyond.pairs)?;
        same("combinations", found.combinations, self.beyond.combinations)
    }

    fn trade_off(&self) -> Verdict {
        let found = self.search.trade_off(&self.ask).map_err(|e| e.to_string())?;
        let found: Vec<Line> = found.rows.iter().map(line_found).collect();
        let wanted: Vec<Line> = trade_off(self.groups)
            .into_iter()
            .map(|(group, row)| self.wanted(group, row))
            .collect();
        same("trade-off", found, wanted)
    }

    /// The first row of the trade-off that is near enough has the fewest gears that are.
    fn fewest(&self) -> Verdict {
        let tolerance = small(&self.case.tolerance);
        let found = self.search.trade_off(&self.ask).map_err(|e| e.to_string())?;
        let found = found.rows.iter().find(|solution| solution.error.within(&tolerance));
        let wanted = fewest(self.groups, &self.case.tolerance);
        let wanted = wanted.map(|(group, row)| self.wanted(group, row));
        same("fewest gears", found.map(line_found), wanted)
    }
}
