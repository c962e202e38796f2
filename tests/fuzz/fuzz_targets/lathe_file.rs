//! Is any text as a lathe file taken, or refused in one line that names the file? A lathe that is
//! taken must have settings or say why not.
#![no_main]

#[path = "../../../cli/input.rs"]
#[allow(dead_code, reason = "the program uses what this does not")]
mod input;

use libfuzzer_sys::fuzz_target;
use solver::Travel;

fuzz_target!(|text: &str| {
    match input::lathe_of_text("lathe.json", text) {
        Ok(open) => {
            let lathe = &open.lathe;
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
