//! Is any text as a target read, or refused in one line? What is read is within the limits that the
//! search relies on, and reads the same from its own text.
#![no_main]

use libfuzzer_sys::fuzz_target;
use solver::{Target, bounds};

fuzz_target!(|text: &str| match text.parse::<Target>() {
    Ok(target) => {
        assert!(target.lead().mm().fits(bounds::TARGET_BITS));
        assert!(bounds::STARTS.holds(target.starts().into()));
        assert_eq!(target.text().parse::<Target>().as_ref(), Ok(&target));
        let _ = (target.thread(), target.lead().tpi());
    }
    Err(error) => assert_eq!(error.to_string().lines().count(), 1, "{error}"),
});
