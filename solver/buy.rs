//! Which gears are worth buying for a list of threads and feeds?
//!
//! The best purchase reaches the most lines within their tolerances. Among equals the worst error
//! decides, then the sum of the errors. Errors are compared in parts of 10^15, rounded down.
//!
//! Every purchase of the asked number of gears is compared, also a second gear of an owned size. Solving
//! for the open gears gives a score that the purchase can't beat (`buy/bound.rs`). The whole search runs
//! on the purchases in the order of these scores, until the next one can't enter the list. So the
//! ranking is exact for trains of up to two gear pairs.
//!
//! ```
//! use solver::buy::{Request, best};
//! use solver::search::{Line, Options};
//! use solver::{Gear, GearSet, Lathe, Lead, Parts, Teeth, Watch};
//!
//! // 11 1/2 threads per inch on an 8 TPI screw at half speed want a multiple of 23.
//! let mut gears = GearSet::new();
//! for teeth in [20, 24, 28, 32, 36, 40, 48, 52, 56, 60, 64, 72, 80] {
//!     gears.add(Gear::new(Teeth::new(teeth)?), 1)?;
//! }
//! let lathe = Lathe::new(Parts::plain(gears, Lead::from_tpi("16".parse()?)?))?;
//! let sizes = (16..=130).filter_map(|z| Teeth::new(z).ok()).collect();
//! let lines = vec![Line::new(Lead::from_tpi("11.5".parse()?)?)];
//! let request = Request::new(lines, sizes).with_options(Options::default());
//!
//! let advice = best(&lathe, &request, Watch::none())?;
//! assert_eq!(advice.now.reached, 0);
//! assert_eq!(advice.offers[0].gears, [Teeth::new(23)?]);
//! assert_eq!(advice.offers[0].score.worst, 0); // exact
//! # Ok::<(), solver::Error>(())
//! ```

mod bound;

use crate::search::{Ask, Line, Options, Search, Solution, each};
use crate::{Done, Lathe, LeadError, Parts, Result, Teeth, Travel, Watch, bounds};
use bound::{NOTHING, Open, parts};
use std::collections::BTreeMap;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering::Relaxed};

/// Unit of errors, as a part of the lead.
pub const PARTS: u64 = 1_000_000_000_000_000;
/// Most gear pairs in a train.
pub const PAIRS: usize = 2;
/// Purchases searched side by side.
const BATCH: usize = 8;

/// The list, and the sizes on sale.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Request {
    /// Threads and feeds with their tolerances.
    pub lines: Vec<Line>,
    /// Sizes on sale; an owned size may be bought again.
    pub sizes: Vec<Teeth>,
    /// Number of gears to buy: one to three.
    pub gears: usize,
    /// Number of offers.
    pub count: usize,
    /// Which trains count; up to two gear pairs.
    pub options: Options,
}

impl Request {
    /// One gear of these sizes; the ten best.
    pub fn new(lines: Vec<Line>, sizes: Vec<Teeth>) -> Self {
        Self { lines, sizes, gears: 1, count: 10, options: Options::default() }
    }

    /// With this many gears at once.
    pub fn with_gears(self, gears: usize) -> Self {
        Self { gears, ..self }
    }

    /// With this many offers.
    pub fn with_count(self, count: usize) -> Self {
        Self { count, ..self }
    }

    /// With other options.
    pub fn with_options(self, options: Options) -> Self {
        Self { options, ..self }
    }
}

/// How well a box of gears covers the list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
#[non_exhaustive]
pub struct Score {
    /// Lines reached within their tolerances.
    pub reached: usize,
    /// The worst |error| of these, in parts of 10^15.
    pub worst: u128,
    /// Sum of their |errors|, in the same parts.
    pub sum: u128,
}

impl Score {
    fn of(lines: &[Option<Solution>]) -> Self {
        Self::of_sizes(lines.iter().flatten().map(|s| s.error.size_in(PARTS)))
    }

    fn of_sizes(sizes: impl Iterator<Item = u128>) -> Self {
        sizes.fold(Self { reached: 0, worst: 0, sum: 0 }, |score, size| Self {
            reached: score.reached + 1,
            worst: score.worst.max(size),
            sum: score.sum.saturating_add(size),
        })
    }

    /// Whether it is better than another: see the top of the module.
    pub fn is_better(&self, other: &Self) -> bool {
        self.order(other).is_lt()
    }

    /// Best first.
    fn order(&self, other: &Self) -> std::cmp::Ordering {
        let key = |s: &Self| (std::cmp::Reverse(s.reached), s.worst, s.sum);
        key(self).cmp(&key(other))
    }
}

/// One purchase.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Offer {
    /// The gears, ascending.
    pub gears: Vec<Teeth>,
    /// The list with these gears owned.
    pub score: Score,
    /// For each line the best train within tolerance.
    pub lines: Vec<Option<Solution>>,
    /// For each gear: lines lost without it.
    pub adds: Vec<usize>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Advice {
    /// The list with the present gears.
    pub now: Score,
    /// For each line the best train within tolerance, with the present gears.
    pub lines: Vec<Option<Solution>>,
    /// Best first; of equals the smaller gears.
    pub offers: Vec<Offer>,
    /// Purchases compared.
    pub purchases: usize,
    /// Lever positions with an unknown ratio, not searched. `complete` ignores them.
    pub unknown: usize,
    /// Whether no better purchase is missing.
    pub complete: bool,
}

/// The best purchases; cancelled, the best so far.
///
/// # Errors
/// If the lathe leaves something unknown that is needed, the list, the number of gears or the number
/// of purchases is out of bounds, or a purchase would make too many gears.
pub fn best(lathe: &Lathe, request: &Request, watch: Watch<'_>) -> Result<Advice> {
    bounds::PURCHASE.check(request.gears as u64)?;
    bounds::LINES.check(request.lines.len() as u64)?;
    let (purchases, hopes) = counts(request);
    bounds::PURCHASES.check(purchases)?;
    bounds::HOPES.check(hopes)?;
    let shop = Shop::new(lathe, request)?;
    let sizes = shop.sizes();
    let table = Table::new(&shop, &sizes);
    let mut purchases = shop.hopes(&table, watch);
    let looked = purchases.len();
    purchases.sort_by(|a, b| a.0.order(&b.0).then_with(|| a.1.cmp(&b.1)));
    let mut offers: Vec<Offer> = Vec::new();
    let mut complete = !watch.is_cancelled();
    let mut searched = 0;
    for batch in purchases.chunks(BATCH) {
        let full = offers.len() >= request.count;
        let worst = offers.last().filter(|_| full).map(|offer| offer.score);
        let could = |hope: &Score| worst.map_or(!full, |worst| !worst.is_better(hope));
        // No later purchase can enter.
        if !could(&batch[0].0) {
            break;
        }
        let possible = purchases.partition_point(|(hope, _)| could(hope));
        watch.tell(Done::Searched(searched, possible as u64));
        searched += batch.len() as u64;
        if watch.is_cancelled() && !offers.is_empty() {
            complete = false;
            break;
        }
        let tried = each(batch, |(_, which)| shop.offer(&table, which));
        for offer in tried {
            offers.push(offer?);
        }
        offers.sort_by(|a, b| a.score.order(&b.score).then_with(|| a.gears.cmp(&b.gears)));
        offers.truncate(request.count.max(1));
    }
    offers.truncate(request.count);
    shop.count_adds(&table, &mut offers)?;
    let now = Score::of(&shop.lines);
    complete &= !shop.missed.load(Relaxed);
    let unknown = shop.unknown;
    Ok(Advice { now, lines: shop.lines, offers, purchases: looked, unknown, complete })
}

/// The present lathe, and the lines that its gears reach.
struct Shop<'r> {
    parts: Parts,
    request: &'r Request,
    options: Options,
    /// The best train within tolerance for each line.
    lines: Vec<Option<Solution>>,
    /// The best possible error of each line with any idler added.
    idle: Vec<u64>,
    open: Vec<(Travel, Open)>,
    /// Lever positions of unknown ratio: of the travel with the most.
    unknown: usize,
    /// Whether some search gave up.
    missed: AtomicBool,
}

impl<'r> Shop<'r> {
    fn new(lathe: &Lathe, request: &'r Request) -> Result<Self> {
        let options = request.options.clone();
        let pairs = options.pairs.min(PAIRS);
        let options = options.with_pairs(pairs);
        let everything = vec![true; request.lines.len()];
        let solved = solve(lathe, request, &options, &everything)?;
        let free = options.clone().with_arbor(None).with_bracket(false);
        let mut open: Vec<(Travel, Open)> = Vec::new();
        let mut idle = vec![NOTHING; request.lines.len()];
        let mut unknown = 0;
        for (at, line) in request.lines.iter().enumerate() {
            if open.iter().any(|(travel, _)| *travel == line.travel) {
                continue;
            }
            let search = Search::new(lathe, line.travel, free.clone())?;
            unknown = unknown.max(lathe.settings(line.travel)?.unknown);
            open.push((line.travel, Open::new(&search, request.gears)));
            for (idle, line) in idle.iter_mut().zip(&request.lines).skip(at) {
                if line.travel == search_travel(&open) {
                    *idle = with_any_idler(&search, line)?;
                }
            }
        }
        let Solved { lines, complete } = solved;
        let missed = AtomicBool::new(!complete);
        let parts = lathe.parts().clone();
        Ok(Self { parts, request, options, lines, idle, open, unknown, missed })
    }

    /// The sizes that can be bought, ascending.
    fn sizes(&self) -> Vec<Teeth> {
        let mut sizes = self.request.sizes.clone();
        sizes.sort_unstable();
        sizes.dedup();
        sizes
    }

    /// Every purchase with its best possible score.
    fn hopes(&self, table: &Table, watch: Watch<'_>) -> Vec<(Score, Vec<usize>)> {
        let all = purchases(table.sizes.len(), self.request.gears);
        let done = AtomicU64::new(0);
        let total = all.len() as u64;
        let chunks: Vec<&[Vec<usize>]> = all.chunks(1024).collect();
        let hoped = each(&chunks, |chunk| {
            let hoped: Vec<(Score, Vec<usize>)> = chunk
                .iter()
                .take_while(|_| !watch.is_cancelled())
                .map(|which| (table.hope(self, which), which.clone()))
                .collect();
            let so_far = done.fetch_add(chunk.len() as u64, Relaxed) + chunk.len() as u64;
            watch.tell(Done::Looked(so_far, total));
            hoped
        });
        hoped.into_iter().flatten().collect()
    }

    /// The best for a line with the present gears.
    fn now(&self, line: usize) -> u64 {
        self.lines[line].as_ref().map_or(NOTHING, |s| size(&s.error))
    }

    fn open(&self, line: usize) -> Option<&Open> {
        let travel = self.request.lines[line].travel;
        self.open.iter().find(|(t, _)| *t == travel).map(|(_, open)| open)
    }

    /// A searched purchase.
    fn offer(&self, table: &Table, which: &[usize]) -> Result<Offer> {
        let lines = self.with(table, which)?;
        let (gears, score) = (table.gears(which), Score::of(&lines));
        Ok(Offer { gears, score, lines, adds: Vec::new() })
    }

    /// The list with some more gears, sizes by index.
    fn with(&self, table: &Table, which: &[usize]) -> Result<Vec<Option<Solution>>> {
        let mut parts = self.parts.clone();
        for teeth in table.gears(which) {
            let gear = parts.gears.usual(teeth);
            parts.gears.add(gear, 1)?;
        }
        // Only lines that the purchase may improve.
        let hope = |line: usize| {
            let least = table.least(self, which, line);
            least <= table.within[line] && least < table.now[line]
        };
        let wanted: Vec<bool> = (0..self.lines.len()).map(hope).collect();
        let solved = solve(&Lathe::new(parts)?, self.request, &self.options, &wanted)?;
        self.missed.fetch_or(!solved.complete, Relaxed);
        let mut lines = solved.lines;
        for (line, now) in lines.iter_mut().zip(&self.lines) {
            if line.is_none() {
                line.clone_from(now);
            }
        }
        Ok(lines)
    }

    /// The share of each gear in each offer.
    fn count_adds(&self, table: &Table, offers: &mut [Offer]) -> Result<()> {
        let mut known: BTreeMap<Vec<usize>, usize> = BTreeMap::new();
        known.insert(Vec::new(), Score::of(&self.lines).reached);
        for offer in offers {
            let which: Vec<usize> =
                offer.gears.iter().filter_map(|g| table.sizes.binary_search(g).ok()).collect();
            for at in 0..which.len() {
                let mut rest = which.clone();
                rest.remove(at);
                let reached = match known.get(&rest) {
                    Some(reached) => *reached,
                    None => Score::of(&self.with(table, &rest)?).reached,
                };
                known.insert(rest, reached);
                offer.adds.push(offer.score.reached.saturating_sub(reached));
            }
        }
        Ok(())
    }
}

/// Exact: the present gears are compared with themselves.
fn size(error: &LeadError) -> u64 {
    u64::try_from(error.size_in(PARTS)).unwrap_or(NOTHING)
}

fn search_travel(open: &[(Travel, Open)]) -> Travel {
    open.last().map_or(Travel::Thread, |(travel, _)| *travel)
}

/// |error| of the nearest lead of a train with a stud left for one more idler, of any hand, fitting
/// or not.
fn with_any_idler(free: &Search<'_>, line: &Line) -> Result<u64> {
    let studs = usize::from(free.lathe().parts().studs);
    if studs == 0 {
        return Ok(NOTHING);
    }
    let ask = Ask { hand: None, ..line.ask() }.with_gears(2 * studs.min(PAIRS)).with_count(1);
    let closest = free.closest(&ask)?;
    let none = if closest.complete { NOTHING } else { 0 };
    Ok(closest.fits.map_or(none, |s| size(&s.error)))
}

/// The best train within tolerance for each line, and whether no closer one is missing.
#[derive(Debug, Clone)]
struct Solved {
    lines: Vec<Option<Solution>>,
    complete: bool,
}

/// The best train within tolerance for each line that is `wanted`.
fn solve(lathe: &Lathe, request: &Request, options: &Options, wanted: &[bool]) -> Result<Solved> {
    let mut complete = true;
    let mut lines: Vec<Option<Solution>> = vec![None; request.lines.len()];
    let mut travels: Vec<Travel> = request.lines.iter().map(|l| l.travel).collect();
    travels.sort_unstable();
    travels.dedup();
    for travel in travels {
        let of_travel = |i: &usize| wanted[*i] && request.lines[*i].travel == travel;
        let these: Vec<usize> = (0..lines.len()).filter(of_travel).collect();
        let search = Search::new(lathe, travel, options.clone())?;
        let found = each(&these, |&i| search.closest(&request.lines[i].ask()));
        for (i, found) in these.into_iter().zip(found) {
            let found = found?;
            lines[i] = found.fits;
            complete &= found.complete;
        }
    }
    Ok(Solved { lines, complete })
}

/// The best possible error with one and with two new gears, line by line.
struct Table {
    sizes: Vec<Teeth>,
    /// By line: with each gear, and with each two, the smaller first.
    one: Vec<Vec<u64>>,
    two: Vec<Vec<u64>>,
    /// With the present gears, and with any idler added.
    now: Vec<u64>,
    idle: Vec<u64>,
    within: Vec<u64>,
}

impl Table {
    fn new(shop: &Shop<'_>, sizes: &[Teeth]) -> Self {
        let lines: Vec<usize> = (0..shop.request.lines.len()).collect();
        let of = |line: usize, gears: &[Teeth]| {
            let lead = shop.request.lines[line].lead.to_f64();
            shop.open(line).map_or(NOTHING, |open| open.all_of(lead, gears))
        };
        let one = each(&lines, |&line| sizes.iter().map(|&a| of(line, &[a])).collect());
        let pairs = shop.request.gears > 1;
        let two = each(&lines, |&line| {
            let all = sizes.iter().flat_map(|&a| sizes.iter().map(move |&b| (a, b)));
            let both = |(a, b)| if pairs && a <= b { of(line, &[a, b]) } else { NOTHING };
            if pairs { all.map(both).collect() } else { Vec::new() }
        });
        let now = each(&lines, |&line| shop.now(line));
        // One part more covers the rounding.
        let within = |line: &Line| parts(line.within.to_f64() + 2e-12).saturating_add(1);
        let within = shop.request.lines.iter().map(within).collect();
        Self { sizes: sizes.to_vec(), one, two, now, idle: shop.idle.clone(), within }
    }

    /// The best possible score of a purchase (sizes by index, ascending).
    fn hope(&self, shop: &Shop<'_>, which: &[usize]) -> Score {
        let least = (0..self.now.len()).map(|line| (line, self.least(shop, which, line)));
        let near = least.filter(|(line, least)| *least <= self.within[*line]);
        Score::of_sizes(near.map(|(_, least)| least.into()))
    }

    fn gears(&self, which: &[usize]) -> Vec<Teeth> {
        which.iter().map(|&i| self.sizes[i]).collect()
    }

    fn least(&self, shop: &Shop<'_>, which: &[usize], line: usize) -> u64 {
        let one = which.iter().map(|&i| self.one[line][i]);
        let mut least = one.fold(self.now[line].min(self.idle[line]), u64::min);
        for (at, &a) in which.iter().enumerate() {
            for &b in &which[at + 1..] {
                least = least.min(self.two[line][a * self.sizes.len() + b]);
            }
        }
        if which.len() > 2 && least > 0 {
            let gears = self.gears(which);
            let lead = shop.request.lines[line].lead.to_f64();
            least = least.min(shop.open(line).map_or(NOTHING, |open| open.all_of(lead, &gears)));
        }
        least
    }
}

/// Number of purchases of a request (choices of sizes, with repeats), and number of errors kept for
/// two gears.
fn counts(request: &Request) -> (u64, u64) {
    let mut sizes = request.sizes.clone();
    sizes.sort_unstable();
    sizes.dedup();
    let (sizes, lines) = (sizes.len() as u64, request.lines.len() as u64);
    match request.gears {
        1 => (sizes, 0),
        2 => (sizes * (sizes + 1) / 2, sizes * sizes * lines),
        _ => (sizes * (sizes + 1) * (sizes + 2) / 6, sizes * sizes * lines),
    }
}

/// Every choice of `count` of `sizes` sizes, with repeats, ascending.
fn purchases(sizes: usize, count: usize) -> Vec<Vec<usize>> {
    let mut all = vec![Vec::new()];
    for _ in 0..count {
        all = all
            .into_iter()
            .flat_map(|chosen: Vec<usize>| {
                let from = chosen.last().copied().unwrap_or(0);
                (from..sizes).map(move |next| [&chosen[..], &[next]].concat())
            })
            .collect();
    }
    all
}
