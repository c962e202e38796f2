//! Is any text as a lathe file taken, or refused in one line that names the file? A lathe that is
//! taken must have settings or say why not; on its bracket a train stands, or there is a reason.
#![no_main]

use libfuzzer_sys::fuzz_target;
use solver::bracket::{Fit, Geometry};
use solver::{Lathe, Train, Travel};
use trainwright::files;

fn fits_or_says_why(lathe: &Lathe) {
    let Some(bracket) = &lathe.parts().bracket else { return };
    let geometry = Geometry::new(bracket, &lathe.parts().gears).expect("a checked banjo");
    for train in ["40-60", "20-80-40", "40-55+50-65", "20-30-40-50", "20-60+25-75+30-90"] {
        let train: Train = train.parse().expect("a train");
        match geometry.fit(&train) {
            Fit::Refused(refusal) => assert!(!refusal.reasons.is_empty()),
            Fit::Fits(at) | Fit::TooClose(at) => {
                assert!(at.shafts.iter().all(|s| s.right.is_finite() && s.up.is_finite()));
            }
            other => panic!("{other:?}"),
        }
    }
}

fuzz_target!(|text: &str| {
    match files::lathe_of_text("lathe.json", text) {
        Ok(open) => {
            let lathe = &open.lathe;
            fits_or_says_why(lathe);
            for travel in [Travel::Thread, Travel::LongFeed, Travel::CrossFeed] {
                if let Err(error) = lathe.settings(travel) {
                    assert!(error.is_unknown() || error.is_no_such(), "{error}");
                }
            }
        }
        Err(failure) => {
            let said = failure.to_string();
            assert!(said.starts_with("lathe.json:") && said.lines().count() == 1, "{said}");
        }
    }
});
