//! Is any text as a gear-set file taken, or refused in one line that names the file?
#![no_main]

#[path = "../../../cli/input.rs"]
#[allow(dead_code, unused_imports, reason = "the program uses what this does not")]
mod input;

use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    if let Err(failure) = input::gear_set_of_text("gears.json", text) {
        let said = failure.to_string();
        assert!(said.starts_with("gears.json:") && said.lines().count() == 1, "{said}");
    }
});
