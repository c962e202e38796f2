//! How heavy is the book for a phone? What it has to lay out is counted; how long that takes is only printed
//! (`cargo test --test program -- book::load --nocapture`), as that is another on every computer.

use super::{four_hundred, page};
use crate::devtools::Tab;

/// When the page was loaded, and when something of it was first seen, in ms.
const TIMES: &str = "new Promise((done) => requestAnimationFrame(() => setTimeout(() => done([
    performance.getEntriesByType('navigation')[0].loadEventEnd,
    performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? 0,
]), 0)))";

/// Aim: under 2 s on a processor a sixth as fast. What is off the screen is laid out when it is come to.
#[test]
#[expect(clippy::print_stdout, reason = "it reports to the person who asks for it")]
fn a_phone_has_no_more_to_lay_out_than_it_can() {
    let Some(tab) = Tab::open() else { return };
    tab.phone(390);
    let many = [&four_hundred()[..], &["--lathe", "tug"]].concat();
    for (name, list, most) in [("everyday threads", vec![], 16_000), ("400 threads", many, 40_000)]
    {
        let page = page(&list);
        for slower in [1, 6] {
            tab.slowed(slower);
            let mut best = [f64::INFINITY; 2];
            for _ in 0..3 {
                tab.show(&page);
                let times: [f64; 2] = serde_json::from_value(tab.value(TIMES)).unwrap();
                best = [best[0].min(times[0]), best[1].min(times[1])];
            }
            let [loaded, seen] = best;
            println!(
                "book of {name}, {slower} times slower: loaded {loaded:.0} ms, seen {seen:.0} ms"
            );
        }
        tab.slowed(1);
        let nodes = tab.value("document.querySelectorAll('*').length").as_u64().unwrap();
        println!("book of {name}: {nodes} elements, {} bytes", page.len());
        assert!(nodes <= most, "{name}: {nodes} elements");
        // Sides, and entries of the index, all but those that are on the screen.
        let later = "[...document.querySelectorAll('.side:not(.contents), .entries li')]\
                     .every((part) => getComputedStyle(part).contentVisibility === 'auto')";
        assert_eq!(tab.value(later), true, "{name}");
    }
}
