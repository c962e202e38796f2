//! Of several set-ups: in which is the next start reached most easily?

use super::SetUp;
use crate::starts::{Ease, ease, first_shaft_turns};
use crate::{Lathe, Result};
use std::ops::Deref;

/// The set-up in which the next start is reached most easily; the first of equals, `None` of none.
///
/// # Errors
/// If the starts are out of bounds, or the lathe's figures too large.
pub fn easiest<'s, S: Deref<Target = SetUp>>(
    lathe: &Lathe,
    starts: u8,
    set_ups: impl IntoIterator<Item = &'s S>,
) -> Result<Option<&'s S>> {
    let mut best: Option<(Ease, &S)> = None;
    for set_up in set_ups {
        let k = first_shaft_turns(lathe, &set_up.setting)?;
        let ease = ease(&set_up.train, k, starts)?;
        if best.is_none_or(|(least, _)| ease < least) {
            best = Some((ease, set_up));
        }
    }
    Ok(best.map(|(_, set_up)| set_up))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::search::{Ask, Options, Search};
    use crate::{Gear, GearSet, Lead, Parts, Target, Teeth};

    struct Found(SetUp);

    impl Deref for Found {
        type Target = SetUp;

        fn deref(&self) -> &SetUp {
            &self.0
        }
    }

    /// Two starts: 45 teeth can't be halved, 30 can, whichever comes first.
    #[test]
    fn the_first_gear_that_can_be_divided_is_easier() {
        let mut gears = GearSet::new();
        for teeth in [30, 40, 45, 60] {
            gears.add(Gear::new(Teeth::new(teeth).unwrap()), 1).unwrap();
        }
        let lead = Lead::new("4 mm".parse().unwrap());
        let lathe = Lathe::new(Parts::plain(gears, lead)).unwrap();
        let target: Target = "3 mm".parse().unwrap();
        let search = Search::new(&lathe, target.travel(), Options::default()).unwrap();
        let ask = Ask::new(target.lead());
        let best = search.find(&ask).unwrap().solutions.remove(0);
        let (all, _) = search.all(&ask, &best, 100).unwrap();
        let all = all.iter().map(|one| Found(SetUp::of(&search, one).unwrap()));
        let mut all: Vec<Found> =
            all.filter(|one| ["30-40", "45-60"].contains(&&*one.train.to_string())).collect();
        assert_eq!(all.len(), 2);
        for _ in 0..2 {
            let best = easiest(&lathe, 2, &all).unwrap().unwrap();
            assert_eq!(best.train.to_string(), "30-40");
            all.reverse();
        }
        assert!(easiest(&lathe, 2, &all[..0]).unwrap().is_none());
    }
}
