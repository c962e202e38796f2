//! Is any text as a search among the threads answered with rows that have a name and a pitch, or
//! refused in one line?
#![no_main]

use libfuzzer_sys::fuzz_target;
use solver::thread::search;

fuzz_target!(|words: &str| match search(words) {
    Ok(listing) => {
        for thread in &listing.threads {
            assert!(!thread.designation().is_empty() && thread.pitch().to_f64() > 0.0);
        }
    }
    Err(error) => assert_eq!(error.to_string().lines().count(), 1, "{error}"),
});
