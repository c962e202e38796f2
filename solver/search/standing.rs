//! Which trains fit at all? The whole list, by ratio. It is made where few trains fit, since the
//! stream of leads would find nothing for long. An empty list proves at once that nothing fits.

#![expect(
    clippy::cast_precision_loss,
    reason = "doubles find candidates; the slack covers rounding"
)]

use super::best::Best;
use super::fields::Constant;
use super::path::Path;
use super::scan::Window;
use super::stock::{EndGear, Stock, kind_id};
use super::stream::{Hit, Source, Wanted, index};
use super::walk::{Plan, Pruned, Visit};
use crate::bracket::Verdict;
use crate::{Lead, Length, Ratio, Result, Setting};
use std::cmp::Ordering;
use std::ops::ControlFlow;
use std::sync::atomic::{AtomicU64, Ordering::Relaxed};

mod grow;

/// Trains held at most: 20 bytes each.
const MOST_PATHS: u64 = 2_000_000;
/// Most arrangements tried for the list: about a second.
const MOST_TRIED: u64 = 20_000_000;

/// How many more may be held and tried. Shared, so that the list is made or refused alike on any
/// number of cores.
struct Left {
    paths: AtomicU64,
    tries: AtomicU64,
}

impl Left {
    fn take(of: &AtomicU64, count: u64) -> ControlFlow<()> {
        // Slightly below zero: the count wraps at no size that matters.
        let before = of.fetch_sub(count, Relaxed);
        if before < count || before > u64::MAX / 2 {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    }

    fn tries(&self, count: u64) -> ControlFlow<()> {
        Self::take(&self.tries, count)
    }

    fn one_path(&self) -> ControlFlow<()> {
        Self::take(&self.paths, 1)
    }
}

/// The trains for the settings with the same last gears.
#[derive(Debug)]
struct Block {
    /// Settings with their constants (in mm).
    settings: Vec<(u32, Ratio)>,
    /// Drivers over driven, in lowest terms, ascending.
    ratios: Vec<Ratio>,
    approx: Vec<f64>,
    start: Vec<u32>,
    paths: Vec<Path>,
}

#[derive(Debug)]
pub(super) struct Standing {
    blocks: Vec<Block>,
}

impl Standing {
    /// The list, or `None` if it would be too long.
    pub(super) fn new(
        stock: &Stock,
        settings: &[Setting],
        constants: &[Constant],
        studs: usize,
        pairs: usize,
    ) -> Option<Self> {
        let mut ends: Vec<(EndGear, EndGear)> =
            constants.iter().map(|c| (c.first, c.last)).collect();
        ends.sort_unstable();
        ends.dedup();
        let left = Left { paths: MOST_PATHS.into(), tries: MOST_TRIED.into() };
        let start = stock.bracket.as_ref().and_then(|mounts| mounts.geometry.start());
        let mut blocks = Vec::new();
        for ends in ends {
            let paths = match &start {
                Some(start) => grow::list(stock, start, ends, (studs, pairs), &left)?,
                None => list(stock, ends, (studs, pairs), &left)?,
            };
            let of = constants
                .iter()
                .filter(|c| (c.first, c.last) == ends)
                .map(|c| (c.setting, settings[c.setting as usize].constant.mm()));
            blocks.push(Block::new(of.collect(), paths));
        }
        Some(Self { blocks })
    }
}

/// Every arrangement with these end gears, with up to as many pairs and idlers as the studs allow.
fn walk_all(
    stock: &Stock,
    (first, last): (EndGear, EndGear),
    (studs, pairs): (usize, usize),
    visit: &mut impl Visit,
) -> ControlFlow<()> {
    let all = || (0..stock.boxed).map(|k| (kind_id(k), stock.kinds[k].usable)).collect::<Vec<_>>();
    for pairs in 1..=pairs.min(studs + 1) {
        for idlers in 0..=studs + 1 - pairs {
            let (drivers, driven) = (&mut all(), &mut all());
            let (setting, counted) = (0, false);
            Plan { stock, setting, pairs, idlers, first, last, drivers, driven, counted }
                .walk(visit)?;
        }
    }
    ControlFlow::Continue(())
}

/// Every arrangement that fits with these end gears.
fn list(
    stock: &Stock,
    ends: (EndGear, EndGear),
    size: (usize, usize),
    left: &Left,
) -> Option<Vec<(Ratio, Path)>> {
    let mut found = Vec::new();
    let mut kept = Pruned(|_: u32, path: &Path| keep(stock, path, &mut found, left));
    let flow = walk_all(stock, ends, size, &mut kept);
    flow.is_continue().then_some(found)
}

/// Tries every arrangement one by one, up to `limit`: how many were tried, and how many fit. For the
/// benches: shows what the search saves.
pub(super) fn try_all(
    stock: &Stock,
    ends: (EndGear, EndGear),
    size: (usize, usize),
    limit: u64,
) -> (u64, u64) {
    let (mut tried, mut stand) = (0, 0);
    // Ends at the limit: the counts say so.
    let _ = walk_all(stock, ends, size, &mut |_: u32, path: &Path| {
        tried += 1;
        stand += u64::from(path.fits(stock));
        if tried < limit { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
    });
    (tried, stand)
}

/// Keeps a path that fits; ends where the list becomes too long.
fn keep(
    stock: &Stock,
    path: &Path,
    found: &mut Vec<(Ratio, Path)>,
    left: &Left,
) -> ControlFlow<()> {
    left.tries(path.cost(stock))?;
    // A train too close to call is kept too: the search judges it again.
    if path.verdict(stock) != Verdict::No {
        left.one_path()?;
        let (drivers, driven) = path.products(stock);
        if let Ok(ratio) = Ratio::new(drivers.into(), driven.into()) {
            found.push((ratio, *path));
        }
    }
    ControlFlow::Continue(())
}

impl Block {
    fn new(settings: Vec<(u32, Ratio)>, mut found: Vec<(Ratio, Path)>) -> Self {
        found.sort_by_key(|f| f.0);
        let mut block = Self {
            settings,
            ratios: Vec::new(),
            approx: Vec::new(),
            start: Vec::new(),
            paths: Vec::new(),
        };
        for (ratio, path) in found {
            if block.ratios.last() != Some(&ratio) {
                block.ratios.push(ratio);
                block.approx.push(ratio.numer() as f64 / ratio.denom() as f64);
                block.start.push(index(block.paths.len()));
            }
            block.paths.push(path);
        }
        block.start.push(index(block.paths.len()));
        block
    }
}

impl Standing {
    /// Trains held.
    pub(super) fn len(&self) -> usize {
        self.blocks.iter().map(|block| block.paths.len()).sum()
    }
}

impl Source for Standing {
    fn collect(&self, asked: f64, _gears: usize, window: &Window, hits: &mut Vec<Hit>) -> bool {
        for (field, block) in (0_u32..).zip(&self.blocks) {
            for (row, (_, constant)) in (0_u32..).zip(&block.settings) {
                let wanted = asked / (constant.numer() as f64 / constant.denom() as f64);
                let from = block.approx.partition_point(|r| *r < wanted * (1.0 - window.to));
                for (at, &ratio) in block.approx.iter().enumerate().skip(from) {
                    let error = (ratio - wanted) / wanted;
                    if error > window.to {
                        break;
                    }
                    if error.abs() > window.over {
                        hits.push(Hit { error, field, row, at: index(at) });
                        if hits.len() > window.most {
                            return false;
                        }
                    }
                }
            }
        }
        true
    }

    fn least_gears(&self, _hits: &[Hit]) -> usize {
        2
    }

    fn compare(&self, a: &Hit, b: &Hit) -> Ordering {
        match (self.lead(a), self.lead(b)) {
            (Ok(x), Ok(y)) => x.cmp(&y),
            _ => Ordering::Equal,
        }
    }

    fn lead(&self, hit: &Hit) -> Result<Ratio> {
        let block = &self.blocks[hit.field as usize];
        let constant = Lead::new(Length::from_mm(block.settings[hit.row as usize].1));
        Ok(constant.times(&block.ratios[hit.at as usize])?.mm())
    }

    fn extent(&self, _gears: usize) -> (f64, f64) {
        let (mut count, mut longest) = (0.0, 0.0_f64);
        for block in &self.blocks {
            count += (block.settings.len() * block.ratios.len()) as f64;
            for (_, c) in &block.settings {
                longest = longest.max(block.approx.last().copied().unwrap_or(0.0) * c.to_f64());
            }
        }
        (count, longest)
    }

    fn best(
        &self,
        wanted: &Wanted<'_, impl Fn(u32, usize) -> bool>,
        hits: &[Hit],
        _work: &mut u64,
        best: &mut Best<'_>,
    ) {
        for hit in hits {
            let block = &self.blocks[hit.field as usize];
            let setting = block.settings[hit.row as usize].0;
            let (from, to) = (block.start[hit.at as usize], block.start[hit.at as usize + 1]);
            for path in &block.paths[from as usize..to as usize] {
                if path.gears() == wanted.gears && (wanted.accepts)(setting, path.meshes()) {
                    // Never ends early.
                    let _ = best.visit(setting, path);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bracket::some_bracket;
    use crate::gearset::Joined;
    use crate::lathe::{End, Ends};
    use crate::search::{Options, Search};
    use crate::{Gear, GearSet, Lathe, Parts, Teeth, ToothSize, Travel};
    use proptest::prelude::*;

    fn gear(teeth: u64) -> Gear {
        let size: ToothSize = "module 1".parse().unwrap();
        Gear::new(Teeth::new(teeth).unwrap()).with_size(Some(size))
    }

    fn end() -> impl Strategy<Value = Option<u64>> {
        // None: any gear; else the machine's own.
        prop_oneof![2 => Just(None), 1 => (20_u64..60).prop_map(Some)]
    }

    /// The trains that fit for each pair of ends, in an order of its own.
    fn sorted(paths: Option<Vec<(Ratio, Path)>>) -> Vec<String> {
        let mut told: Vec<String> = paths.unwrap().iter().map(|path| format!("{path:?}")).collect();
        told.sort();
        told
    }

    proptest! {
        #![proptest_config(ProptestConfig {
            failure_persistence: None, cases: 500, ..ProptestConfig::default()
        })]

        /// Grown from the pivot or walked one by one: the same trains, each once.
        #[test]
        fn what_is_grown_is_what_stands(
            bracket in some_bracket(),
            owned in proptest::collection::vec((18_u64..70, 1_u64..3), 2..5),
            joint in proptest::option::of((20_u64..70, 20_u64..70, any::<bool>())),
            studs in 1_u8..3,
            sleeves in proptest::option::of(0_u8..2),
            (first, last) in (end(), end()),
        ) {
            let mut gears = GearSet::new();
            for (teeth, count) in owned {
                gears.add(gear(teeth), count).unwrap();
            }
            if let Some((driven, driver, turn_round)) = joint {
                gears.join(Joined { turn_round, ..Joined::new(gear(driven), gear(driver)) }).unwrap();
            }
            let own = |teeth: Option<u64>| {
                teeth.map_or(End::Any, |teeth| End::Own(Teeth::new(teeth).unwrap()))
            };
            let lathe = Lathe::new(Parts {
                studs,
                sleeves,
                ends: Ends { first: own(first), last: own(last) },
                bracket: Some(bracket),
                ..Parts::plain(gears, Lead::new("3 mm".parse().unwrap()))
            });
            prop_assume!(lathe.is_ok());
            let lathe = lathe.unwrap();
            let search = Search::new(&lathe, Travel::Thread, Options::default()).unwrap();
            let stock = &search.stock;
            let start = stock.bracket.as_ref().and_then(|mounts| mounts.geometry.start());
            prop_assume!(start.is_some());
            let left = Left { paths: MOST_PATHS.into(), tries: MOST_TRIED.into() };
            let of = &search.fields.constants[0];
            let (ends, size) = ((of.first, of.last), (usize::from(studs), 3));
            let grown = grow::list(stock, &start.unwrap(), ends, size, &left);
            prop_assert_eq!(sorted(grown), sorted(list(stock, ends, size, &left)));
        }
    }

    #[test]
    fn a_list_ends_where_it_is_too_long() {
        let left = |paths: u64, tries: u64| Left { paths: paths.into(), tries: tries.into() };
        assert!(left(2, 9).one_path().is_continue() && left(0, 9).one_path().is_break());
        let short = left(1, 3);
        assert!(short.one_path().is_continue() && short.one_path().is_break());
        // Also after it is below zero, for any caller.
        assert!(short.one_path().is_break());
        assert!(short.tries(3).is_continue() && short.tries(1).is_break());
    }
}
