//! Is any text as a list of targets taken line by line, or refused in one line that names the file?
#![no_main]

use libfuzzer_sys::fuzz_target;
use trainwright::files;

fuzz_target!(|text: &str| match files::list_of_text("list.txt", text) {
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
