//! Is any text as a gear-set file, and as a list of gears on the command line, taken or refused in
//! one line?
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
    // A word without a comma or a digit is the name of a file, which is none of this.
    if text.contains(',') && !text.contains(['/', '\0']) {
        if let Err(failure) = input::gear_set(text) {
            assert_eq!(failure.to_string().lines().count(), 1, "{failure}");
        }
    }
});
