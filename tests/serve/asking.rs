//! A thread is asked for, a card is worked through, a chart is checked.

use super::{DINGHY, on_phone, page, words};
use crate::devtools::Tab;
use serde_json::json;

#[test]
fn a_thread_is_found_by_the_box() {
    let Some(tab) = on_phone("") else { return };
    tab.fill("#target", "M10");
    tab.follow(".ask button", "Find");
    assert!(words(&tab, "h1").starts_with("M10"), "{}", words(&tab, "h1"));
    assert!(page(&tab).contains("48-64+63-80"), "{}", page(&tab));
    assert_eq!(tab.text("document.getElementById('target').value"), "M10");
    tab.follow("a", "Job card");
    assert!(page(&tab).contains("Cover off."), "{}", page(&tab));
    // What can't be read is said on the page, beside the box.
    tab.fill("#target", "M10 of what");
    tab.follow(".ask button", "Find");
    assert!(words(&tab, ".refusal").contains("M10 of what"), "{}", page(&tab));
}

/// On a slow phone, and the last letter counts.
#[test]
fn a_line_answers_while_one_types() {
    let Some(tab) = on_phone("") else { return };
    tab.slowed(4);
    let hint = "document.querySelector('.hint').textContent";
    tab.click("#target", "");
    tab.types("M1");
    tab.wait(&format!("{hint}.startsWith('M1: ')"));
    tab.types("0");
    tab.wait(&format!("{hint} === 'M10: 48-64+63-80, +125 ppm'"));
    tab.fill("#target", "M10 of what");
    tab.wait(&format!("{hint} === ''"));
    // Without a network the box goes on taking letters.
    tab.offline();
    tab.fill("#target", "M8");
    assert_eq!(tab.text("document.getElementById('target').value"), "M8");
}

#[test]
fn ticks_of_a_card_stay_until_they_are_cleared() {
    let Some(tab) = on_phone("card?target=M10") else { return };
    let ticked = || tab.value("document.querySelectorAll('.steps input:checked').length");
    let all = tab.value("document.querySelectorAll('.steps input').length");
    assert_eq!(ticked(), 0);
    // A reading of the slide too: ticked, and kept, but no step.
    tab.click(".tick", "0.234");
    tab.click(".steps label", "Cover off.");
    tab.click(".steps label", "On the driving shaft: 48, inner.");
    assert!(
        words(&tab, ".handy").contains(&format!("2 of {all} done")),
        "{}",
        words(&tab, ".handy")
    );
    tab.reload();
    assert_eq!(ticked(), 2);
    assert_eq!(tab.value("document.querySelectorAll('.tick input:checked').length"), 1);
    let first = "document.querySelector('.steps input:checked').parentElement.innerText.trim()";
    assert_eq!(tab.text(first), "Cover off.");
    // Another card has its own; so has another person.
    tab.go(&format!("{}card?target=M8", DINGHY.address));
    assert_eq!(ticked(), 0);
    let other = on_phone("card?target=M10").expect("a browser");
    assert_eq!(other.value("document.querySelectorAll('.steps input:checked').length"), 0);
    tab.go(&format!("{}card?target=M10", DINGHY.address));
    assert_eq!(ticked(), 2);
    tab.click("button", "Clear ticks");
    assert_eq!(ticked(), 0);
    tab.reload();
    assert_eq!(ticked(), 0);
    assert_eq!(tab.errors(), [""; 0]);
}

/// Four rows of the Dinghy's chart, of which two have a fault that was planted there.
const ROWS: [[&str; 2]; 4] =
    [["8 tpi", "40-*-32"], ["14 tpi", "40-*-63"], ["27 tpi", "36-44+40-72"], ["20 tpi", "40-*-80"]];

fn type_rows(tab: &Tab) {
    for (i, row) in ROWS.iter().enumerate() {
        for (at, cell) in row.iter().enumerate() {
            tab.fill(&format!(".row:nth-child({}) [name=c{at}]", i + 1), cell);
        }
    }
}

#[track_caller]
fn rows_are_judged(tab: &Tab) {
    let said = |row: usize| words(tab, &format!(".row:nth-child({row}) .said"));
    let value = |row: usize| {
        let boxes = format!(".row:nth-child({row}) input");
        tab.value(&format!("[...document.querySelectorAll({boxes:?})].map((box) => box.value)"))
    };
    for (i, row) in ROWS.iter().enumerate() {
        assert_eq!(value(i + 1), json!(row));
    }
    assert_eq!(said(1), "exact");
    assert!(
        said(2).starts_with("wrong") && said(2).contains("56 in place of the 63"),
        "{}",
        said(2)
    );
    assert!(said(3).starts_with("wrong") && said(3).contains("cuts 22 tpi"), "{}", said(3));
    assert_eq!(said(4), "exact");
    assert_eq!(said(5), "");
    assert_eq!(value(5), json!(["", ""]));
}

#[test]
fn mistakes_of_a_chart_are_shown_beside_their_rows() {
    let Some(tab) = on_phone("check") else { return };
    type_rows(&tab);
    tab.follow("button", "Is it right?");
    rows_are_judged(&tab);
    // A cell that can't be read is refused beside its row, and the others stay as they were typed.
    tab.fill(".row:nth-child(4) [name=c1]", "40-x-80");
    tab.follow("button", "Is it right?");
    let said = words(&tab, ".row:nth-child(4) .said");
    assert!(said.starts_with("a number of teeth was expected"), "{}", page(&tab));
    assert_eq!(tab.text("document.querySelector('.row:nth-child(2) [name=c1]').value"), "40-*-63");
}

/// As where somebody has turned scripts off.
#[test]
fn all_of_it_works_without_scripts() {
    let Some(tab) = on_phone("") else { return };
    tab.scripts(false);
    tab.reload();
    tab.fill("#target", "M10");
    tab.until_loaded(|| tab.press("Enter"));
    assert!(page(&tab).contains("48-64+63-80"), "{}", page(&tab));
    tab.follow("a", "Job card");
    tab.click(".steps label", "Cover off.");
    assert_eq!(tab.value("document.querySelectorAll('.steps input:checked').length"), 1);
    // What only a script could do is not there.
    assert_eq!(words(&tab, ".handy"), "");
    tab.click("summary", "What you have and how you work");
    tab.fill("#passes", "7");
    tab.follow("button", "Work it out");
    assert!(page(&tab).contains("7, equal chips"), "{}", page(&tab));
    tab.follow("nav a", "Check a chart");
    type_rows(&tab);
    tab.follow("button", "Is it right?");
    rows_are_judged(&tab);
    super::describing::describe(&tab);
}

/// With the Tab key alone: the box, its button, the links, what is next; each is seen to be there.
#[test]
fn keys_alone_reach_everything_in_order() {
    let Some(tab) = on_phone("") else { return };
    let mut met = Vec::new();
    loop {
        tab.press("Tab");
        let at = tab.text(
            "(() => { const e = document.activeElement; if (e === document.body) return ''; \
             const ring = getComputedStyle(e); \
             return (ring.outlineStyle === 'solid' && parseFloat(ring.outlineWidth) >= 2 ? '' : 'unseen ') + \
             (e.id || e.innerText.trim().split('\\n')[0]); })()",
        );
        if at.is_empty() || met.first() == Some(&at) {
            break;
        }
        met.push(at);
    }
    let first = [
        "target",
        "Find",
        "Threads",
        "Wall chart",
        "Check a chart",
        "What to buy",
        "More",
        "The lathe",
        "Describe your lathe",
    ];
    assert_eq!(met[..first.len()], first, "{met:?}");
    let count = "[...document.querySelectorAll('a, button, summary, input:not([type=hidden])')]\
                 .filter((e) => e.checkVisibility()).length";
    assert_eq!(tab.value(count), met.len(), "{met:?}");
    tab.reload();
    tab.press("Tab");
    tab.types("M8");
    tab.until_loaded(|| tab.press("Enter"));
    assert!(words(&tab, "h1").starts_with("M8"), "{}", words(&tab, "h1"));
}

/// Measured, taken out, and cut on: the answer comes on the page that it was asked on, its boxes kept.
#[test]
fn a_half_cut_thread_is_asked_on_the_card() {
    let Some(tab) = on_phone("card?target=M20") else { return };
    tab.click("summary", "Half cut: what comes next?");
    tab.fill("#now-value", "21.35");
    tab.fill("#now-wire", "1.5 mm");
    tab.fill("#now-blank", "19.85 mm");
    tab.click(".entry label", "The tool or the work was taken out");
    tab.follow("button", "What comes next?");
    // Without its unit: said on the page, with the boxes open under it.
    assert!(words(&tab, ".refusal").contains("needs its unit"), "{}", page(&tab));
    assert_eq!(tab.text("document.getElementById('now-wire').value"), "1.5 mm");
    tab.fill("#now-value", "21.35 mm");
    tab.follow("button", "What comes next?");
    assert!(words(&tab, "main h2").starts_with("1 Next cut"), "{}", page(&tab));
    assert!(page(&tab).contains("Pick up the thread"), "{}", page(&tab));
    // The answer is on the first screen.
    let top = tab.value("document.querySelector('main h2').getBoundingClientRect().top");
    assert!(top.as_f64().is_some_and(|top| top < 844.0), "{top}");
    // What else is said keeps it.
    tab.click("summary", "What you have and how you work");
    tab.fill("#passes", "7");
    tab.follow("button", "Work it out");
    assert!(words(&tab, "main h2").starts_with("1 Next cut"), "{}", page(&tab));
}
