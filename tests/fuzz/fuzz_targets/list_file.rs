//! Is any text as a list of targets taken line by line, or refused in one line that names the file?
#![no_main]

#[path = "../../../cli/input.rs"]
#[allow(dead_code, unused_imports, reason = "the program uses what this does not")]
mod input;

use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| match input::list_of_text("list.txt", text) {
    Ok(open) => {
        assert!(!open.lines.is_empty());
        for line in &open.lines {
            assert!(line.place.starts_with("list.txt:") && !line.target.is_empty(), "{line:?}");
        }
    }
    Err(failure) => {
        let said = failure.to_string();
        assert!(said.starts_with("list.txt") && said.lines().count() == 1, "{said}");
    }
});
