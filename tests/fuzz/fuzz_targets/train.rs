//! Is any text as a train read, or refused in one line? What is read is printed so that it reads
//! the same again.
#![no_main]

use libfuzzer_sys::fuzz_target;
use solver::Train;

fuzz_target!(|text: &str| match text.parse::<Train>() {
    Ok(train) => {
        assert_eq!(train.to_string().parse::<Train>().as_ref(), Ok(&train));
        assert_eq!(train.handled_from(&train), 0);
        let _ = train.ratio();
    }
    Err(error) => assert_eq!(error.to_string().lines().count(), 1, "{error}"),
});
