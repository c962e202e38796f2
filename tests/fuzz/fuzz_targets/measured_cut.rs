//! Is any text as a measured cut read, or refused in one line? What is read says a lead, and a lathe
//! learns from it or says why not.
#![no_main]

use libfuzzer_sys::fuzz_target;
use solver::chart::{Measured, AllowedErrors, learn};
use solver::{Gear, GearSet, Lathe, Lead, Parts, Teeth};
use std::sync::OnceLock;

static LATHE: OnceLock<Lathe> = OnceLock::new();

fn lathe() -> solver::Result<Lathe> {
    let mut gears = GearSet::new();
    for teeth in [20, 40, 50, 60] {
        gears.add(Gear::new(Teeth::new(teeth)?), 2)?;
    }
    Lathe::new(Parts::plain(gears, Lead::from_tpi("8".parse()?)?))
}

fuzz_target!(|text: &str| match text.parse::<Measured>() {
    Ok(cut) => {
        let lead = cut.lead().expect("it was read");
        assert!(lead.low() <= lead.high(), "{cut:?}");
        let lathe = LATHE.get_or_init(|| lathe().expect("an ordinary lathe"));
        if let Err(error) = learn(lathe, &[], &[cut], &AllowedErrors::default()) {
            assert_eq!(error.to_string().lines().count(), 1, "{error}");
        }
    }
    Err(error) => assert_eq!(error.to_string().lines().count(), 1, "{error}"),
});
