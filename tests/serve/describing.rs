//! A lathe is described, changed, and written into its file.

use super::{DINGHY, on_phone, page, words};
use crate::devtools::Tab;
use crate::util::{fresh, run};
use crate::wire::Served;

/// The gears of a lathe that nobody has seen, from which its first answer is made by hand: 2 mm lead
/// screw, so that 30 to 40 cuts 1.5 mm.
const GEARS: &str = "20,30,40,50,60,65,80";

/// From the first page to the first answer, by links, boxes and buttons alone.
pub(super) fn describe(tab: &Tab) {
    tab.go(&DINGHY.address);
    tab.follow("a", "Describe your lathe");
    for (question, answer) in [
        ("name", "Punt"),
        ("screw", "2 mm"),
        ("ratio", "1"),
        ("turns", "same"),
        ("tumbler", "up=same, down=opposite"),
        ("gears", GEARS),
        ("studs", "1"),
    ] {
        tab.fill(&format!("#a-{question}"), answer);
    }
    tab.follow("button", "Look at it");
    let echo = words(tab, "#a-screw ~ .echo");
    assert!(echo.contains('2'), "{}", page(tab));
    assert_eq!(tab.text("document.querySelector('#a-gears').value"), GEARS);
    tab.follow("a", "Use this lathe");
    assert_eq!(words(tab, "h1"), "Punt");
    tab.fill("#target", "M10");
    tab.follow(".ask button", "Find");
    let typed = ["find", "M10", "-q", "--screw", "2 mm", "--gears", GEARS];
    let printed = run(&typed).out;
    let train = printed.trim().split([' ', ',']).find(|word| word.contains('-')).expect("a train");
    assert!(page(tab).contains(train), "{train}: {}", page(tab));
    // The lathe goes along from page to page.
    tab.follow("a", "Job card");
    assert!(page(tab).contains("Punt"), "{}", page(tab));
    tab.follow("nav a", "The lathe");
    assert!(page(tab).contains("Punt"), "{}", page(tab));
}

#[test]
fn a_lathe_is_described_from_nothing_to_its_first_answer() {
    let Some(tab) = on_phone("") else { return };
    describe(&tab);
    assert_eq!(tab.errors(), [""; 0]);
}

#[test]
fn a_refused_answer_is_told_below_its_question_and_nothing_is_lost() {
    let Some(tab) = on_phone("lathe/new") else { return };
    tab.fill("#a-screw", "eight");
    tab.fill("#a-gears", "20,30,40");
    tab.follow("button", "Look at it");
    let refused =
        "document.querySelector('#a-screw').parentElement.querySelector('.refusal')?.innerText";
    assert!(tab.text(refused).contains("a number was expected"), "{}", page(&tab));
    assert_eq!(tab.text("document.querySelector('#a-screw').value"), "eight");
    assert_eq!(tab.text("document.querySelector('#a-gears').value"), "20,30,40");
    assert!(page(&tab).contains("1 answer is refused"), "{}", page(&tab));
}

#[test]
fn a_changed_answer_is_used() {
    let Some(tab) = on_phone("lathe") else { return };
    tab.follow("a", "Change an answer");
    assert_eq!(tab.text("document.querySelector('#a-screw').value"), "10 tpi");
    tab.fill("#a-screw", "4 mm");
    tab.follow("button", "Look at it");
    assert!(words(&tab, "#a-screw ~ .echo").contains("4 mm"), "{}", page(&tab));
    tab.follow("a", "Use this lathe");
    tab.fill("#target", "4 mm");
    tab.follow(".ask button", "Find");
    // Equal gears cut the lead of the lead screw.
    assert!(page(&tab).contains("exact"), "{}", page(&tab));
    tab.follow("nav a", "The lathe");
    assert!(page(&tab).contains("4 mm"), "{}", page(&tab));
    // The lathe that is served is as it was.
    tab.go(&format!("{}lathe", DINGHY.address));
    assert!(page(&tab).contains("10 TPI"), "{}", page(&tab));
}

#[test]
fn two_tabs_can_not_overwrite_each_other() {
    let Some((one, two)) = Tab::open().zip(Tab::open()) else { return };
    let folder = fresh();
    let path = folder.path().join("lathe.json");
    let text = r#"{"format": 1, "name": "Punt", "lead_screw": {"lead": "8 tpi"}, "headstock": {"ratio": 1},
        "gears": {"owned": [20, 40, 60, 80]}}"#;
    std::fs::write(&path, text).unwrap();
    let served = Served::start(folder.path(), &["--lathe", "lathe.json", "--edit"]);
    let change = format!("http://{}{}lathe/change", served.host, served.base);
    for (tab, screw) in [(&one, "6 tpi"), (&two, "4 tpi")] {
        tab.phone(390);
        tab.go(&change);
        tab.fill("#a-screw", screw);
        tab.follow("button", "Look at it");
    }
    let write = "Write it into the lathe's file";
    one.follow("button", write);
    assert!(page(&one).contains("6 TPI"), "{}", one.text("document.body.innerText"));
    two.follow("button", write);
    assert!(page(&two).contains("was changed since this page was shown"), "{}", page(&two));
    let read = |name: &str| std::fs::read_to_string(folder.path().join(name)).unwrap();
    assert!(read("lathe.json").contains("6 tpi"), "{}", read("lathe.json"));
    assert_eq!(read("lathe.json.before"), text);
    // From the page as it is now it can be changed.
    two.go(&change);
    two.fill("#a-screw", "4 tpi");
    two.follow("button", "Look at it");
    two.follow("button", write);
    assert!(read("lathe.json").contains("4 tpi"), "{}", read("lathe.json"));
}
