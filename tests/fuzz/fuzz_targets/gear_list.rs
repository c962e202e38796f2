//! Is any list of gears as it is typed, `20,25,30x2`, taken within the limits or refused in one line?
#![no_main]

use libfuzzer_sys::fuzz_target;
use solver::bounds;
use trainwright::files;

fuzz_target!(|text: &str| {
    // What is no list is the name of a file, which is none of this.
    if !text.trim_start().starts_with(|c: char| c.is_ascii_digit())
        || text.contains(['/', '\0', '.'])
    {
        return;
    }
    match files::gear_set(text) {
        Ok(set) => {
            assert!(bounds::KINDS.holds(set.gears.all().count() as u64));
            assert!(set.gears.all().all(|gear| bounds::TEETH.holds(gear.teeth.get().into())));
        }
        Err(failure) => assert_eq!(failure.to_string().lines().count(), 1, "{failure}"),
    }
});
