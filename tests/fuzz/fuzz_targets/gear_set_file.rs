//! Is any text as a gear-set file taken, or refused in one line that names the file?
#![no_main]

use libfuzzer_sys::fuzz_target;
use trainwright::files;

fuzz_target!(|text: &str| {
    if let Err(failure) = files::gear_set_of_text("gears.json", text) {
        let said = failure.to_string();
        assert!(said.starts_with("gears.json:") && said.lines().count() == 1, "{said}");
    }
});
