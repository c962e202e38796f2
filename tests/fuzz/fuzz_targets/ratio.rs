//! Is any text as a ratio, a length or a tooth size read, or refused in one line? What is read is
//! printed so that it reads the same again, and reckoning with it fails in words.
#![no_main]

use libfuzzer_sys::fuzz_target;
use solver::{Length, Ratio, ToothSize};

fuzz_target!(|text: &str| {
    match text.parse::<Ratio>() {
        Ok(ratio) => {
            assert_eq!(ratio.to_string().parse::<Ratio>().as_ref(), Ok(&ratio));
            assert_eq!(ratio.recip().recip(), ratio);
            let _ = (ratio.times(&ratio), ratio.over(&ratio), ratio.plus(&ratio));
        }
        Err(error) => assert_eq!(error.to_string().lines().count(), 1, "{error}"),
    }
    if let Err(error) = text.parse::<Length>() {
        assert_eq!(error.to_string().lines().count(), 1, "{error}");
    }
    if let Err(error) = text.parse::<ToothSize>() {
        assert_eq!(error.to_string().lines().count(), 1, "{error}");
    }
});
