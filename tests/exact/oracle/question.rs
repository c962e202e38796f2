//! A lathe with a question, both drawn: targets that are cut exactly, that lie midway between two
//! leads (equal errors on both sides), that are ordinary threads, worms, and far from everything.

use super::draw::{Dice, lathe};
use super::number::{Q, Target, q};
use super::rank::{Ask, Shop};
use super::sheet::{Sheet, Travel};
use num_traits::One;

/// Most trains, and most trains times lever positions, of one case.
pub(crate) const LIMIT: usize = 20_000;

/// One case.
#[derive(Debug)]
pub(crate) struct Case {
    /// The lathe file.
    pub(crate) file: String,
    pub(crate) shop: Shop,
    pub(crate) ask: Ask,
    pub(crate) arbor: Option<Q>,
    /// Different leads wanted.
    pub(crate) count: usize,
    /// Largest error wanted.
    pub(crate) within: Option<Q>,
    /// Error at which the fewest gears are wanted.
    pub(crate) tolerance: Q,
}

impl Case {
    /// A case in words: a right-hand thread (or a feed) of so many mm, without the arbor rule.
    pub(crate) fn plain(file: &str, travel: Travel, target: Target, count: usize) -> Self {
        let shop = Shop::open(Sheet::read(file), None, LIMIT).expect("few trains");
        let hand = (travel == Travel::Thread).then_some(1);
        let ask = Ask { travel, target, hand, gears: 8 };
        let (arbor, within, tolerance) = (None, None, q(1, 5000));
        Self { file: file.to_owned(), shop, ask, arbor, count, within, tolerance }
    }

    /// The case that a strip stands for; nothing if it has too many trains.
    pub(crate) fn draw(strip: &[u16]) -> Option<Self> {
        let file = lathe(strip);
        let mut dice = Dice::of_question(strip);
        let arbor = match dice.below(8) {
            0..4 => None,
            4 | 5 => Some(q(13, 2)),
            6 => Some(q(3, 1)),
            _ => Some(q(20, 1)),
        };
        let shop = Shop::open(Sheet::read(&file), arbor.as_ref(), LIMIT)?;
        Self::ask(file, shop, Shop::leads, arbor, &mut dice)
    }

    /// A question for a shop; the target is drawn from the leads.
    pub(crate) fn ask(
        file: String,
        shop: Shop,
        leads: impl Fn(&Shop, Travel) -> Vec<Q>,
        arbor: Option<Q>,
        dice: &mut Dice,
    ) -> Option<Self> {
        let travel = dice.pick(&[Travel::Thread, Travel::Thread, Travel::Long, Travel::Thread]);
        let travel = if dice.once_in(12) { Travel::Cross } else { travel };
        let hand = dice.pick(&[1, 1, -1]);
        let hand = (travel == Travel::Thread).then_some(hand);
        let gears = dice.pick(&[8, 8, 8, 6, 4, 2, 3, 5, 7]);
        if shop.rows(travel) > LIMIT {
            return None;
        }
        let leads = leads(&shop, travel);
        let (target, between) = target(&leads, dice);
        let count = 1 + dice.below(30);
        // Midway between two leads with others between them: the two tie behind those.
        let count = between.filter(|_| !dice.once_in(3)).map_or(count, |others| others + 1);
        let within = dice.once_in(3).then(|| tolerance(&leads, &target, dice));
        let tolerance = tolerance(&leads, &target, dice);
        let ask = Ask { travel, target, hand, gears };
        Some(Self { file, shop, ask, arbor, count, within, tolerance })
    }
}

/// The target; where it lies midway between two leads, how many others lie between them.
fn target(leads: &[Q], dice: &mut Dice) -> (Target, Option<usize>) {
    let way = dice.below(12);
    let (at, apart, fine) = (dice.below(usize::from(u16::MAX)), dice.below(4), dice.below(200));
    let fine = i64::try_from(fine).expect("small") + 1;
    let ordinary = Target::plain(q(fine, 40));
    let Some(lead) = leads.get(at % leads.len().max(1)) else { return (ordinary, None) };
    let above = &leads[(at % leads.len() + apart + 1).min(leads.len() - 1)];
    let exact = |mm: Q, pi: bool| fits(&mm).then_some(Target { mm, pi });
    let drawn = match way {
        0 | 1 => exact(lead.clone(), false),
        2..6 => exact((lead + above) / q(2, 1), false),
        6 => None,
        7 => Some(Target::plain(q(254, 10) / q(fine + 8, 2))),
        // Close to a lead, so that pi has to be known well, or a whole module.
        8 => exact(lead * q(113, 355), true),
        9 => exact((lead * q(640, 22) * q(7, 10)).round() / q(64, 1), true),
        10 => exact(q(fine, 20), true),
        _ => exact((lead * q(fine, 1)).round() + q(1, 3), false),
    };
    let drawn = drawn.filter(|target| target.mm > q(1, 5000) && target.mm < q(50_000, 1));
    let between = drawn.as_ref().filter(|_| (2..6).contains(&way)).map(|_| apart);
    (drawn.unwrap_or(ordinary), between)
}

/// What the library takes as a target: 44 bits a side.
fn fits(mm: &Q) -> bool {
    mm.numer().bits() <= 44 && mm.denom().bits() <= 44
}

/// A tolerance: round, too small for most, or just the error of some lead (which is within it).
fn tolerance(leads: &[Q], target: &Target, dice: &mut Dice) -> Q {
    let (way, at) = (dice.below(6), dice.below(1000));
    let some = leads.get(at % leads.len().max(1));
    let error = some
        .map(|lead| (lead / &target.mm - Q::one()) * q(if lead < &target.mm { -1 } else { 1 }, 1));
    match (way, error) {
        (0, _) => q(1, 5000),
        (1, _) => q(1, 50),
        (2, _) => q(1, 10_000_000),
        (3, _) => q(1, 200),
        (_, Some(error)) if error > q(0, 1) && !target.pi && fits(&error) => error,
        _ => q(1, 10),
    }
}
