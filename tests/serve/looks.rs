//! Every page on phones: nothing juts out, everything can be read, and read out.

use super::{DINGHY, TUG};
use crate::browser::{assert_none, look};
use crate::devtools::Tab;
use serde_json::Value;
use std::path::PathBuf;
use std::sync::LazyLock;

/// Every page, with what is asked of it.
pub(super) const PAGES: [&str; 20] = [
    "",
    "find?target=M10",
    "find?target=1.25+mm&long=1",
    "card?target=M10",
    "card?target=1%2F2-13+UNC&internal=1&class=3B",
    "chart",
    "chart?list=M4%0AM5%0AM6&plan=best",
    "check",
    "check?c0=8+tpi&c1=40-*-32&c0=14+tpi&c1=40-*-63&c0=27+tpi&c1=36-44%2B40-72",
    "learn",
    "learn?c0=8+tpi&c1=40-*-40&c0=16+tpi&c1=40-*-80",
    "buy",
    "buy?list=M10%0A0.4+mm",
    "reach?from=1+mm&to=1.05+mm",
    "threads?words=9.9+mm",
    "gear?teeth=40&outside=52.4+mm",
    "lathe",
    "lathe/new",
    "lathe/change",
    "more",
];

/// Pages of which only one lathe is looked at, or that say no.
const MORE: [&str; 7] = [
    "learn?measured=10+pitches+%3D+15.9+%2B-+0.2+mm+with+40-80",
    "lathe/new?a-name=Punt&a-screw=8+tpi&a-ratio=1&a-gears=20x2%2C30%2C40%2C65%2C80&a-studs=1&a-hand=none",
    "lathe/change?a-screw=6+tpi&a-gears=20%2C40%2C60%2C80",
    "find?target=a+thread+that+nobody+has+ever+heard+of",
    "check?c0=8+tpi&c1=40-x-40",
    "card?target=M20&kind=wires&value=21.35+mm&wire=1.5+mm&blank=19.85+mm&reset=1",
    "nowhere",
];

/// What was seen of a page.
struct Seen {
    /// Its lathe and address.
    of: String,
    /// How it looks, by the width of the screen.
    looks: Vec<(u32, Value)>,
    errors: Vec<String>,
    title: String,
    /// As it is read out.
    nodes: Vec<Value>,
}

/// Every page of two lathes, each opened once; `None`: there is no browser.
static SEEN: LazyLock<Option<Vec<Seen>>> = LazyLock::new(|| {
    let tab = Tab::open()?;
    let of = |lathe: &'static str, address: &'static str| {
        PAGES.iter().map(move |page| (format!("{lathe} {page}"), format!("{address}{page}")))
    };
    let more =
        MORE.iter().map(|page| (format!("dinghy {page}"), format!("{}{page}", DINGHY.address)));
    let all = of("dinghy", &DINGHY.address).chain(of("tug", &TUG.address)).chain(more);
    Some(all.enumerate().map(|(at, (of, address))| seen(&tab, at, of, &address)).collect())
});

fn seen(tab: &Tab, at: usize, of: String, address: &str) -> Seen {
    tab.phone(390);
    tab.go(address);
    // For the eye: what is ugly no test finds.
    if let Some(folder) = std::env::var_os("TRAINWRIGHT_PICTURES").map(PathBuf::from) {
        let name: String =
            of.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '_' }).collect();
        let name: String = name.chars().take(60).collect();
        std::fs::write(folder.join(format!("{at:02}_{name}.png")), tab.picture()).expect("a file");
    }
    // Also what is folded away.
    tab.value("document.querySelectorAll('details').forEach((part) => { part.open = true; })");
    let at_width = |width| {
        tab.phone(width);
        (width, look(tab))
    };
    let looks = [360, 412].map(at_width).to_vec();
    let title = tab.text("document.title");
    Seen { of, looks, errors: tab.errors(), title, nodes: tab.read_out() }
}

#[test]
fn nothing_juts_out_on_a_phone() {
    for page in SEEN.iter().flatten() {
        for (width, look) in &page.looks {
            let of = format!("{} at {width} px", page.of);
            assert_none(look, &["jutting", "outside", "sideways"], &of);
            assert_eq!(look["width"], *width, "{of}");
        }
    }
}

#[test]
fn everything_can_be_read_and_touched() {
    for page in SEEN.iter().flatten() {
        for (width, look) in &page.looks {
            let of = format!("{} at {width} px", page.of);
            assert_none(look, &["pale", "small", "targets", "hollow"], &of);
        }
    }
}

/// No script that is kept from the page, nothing that is missing; a page that says no is the exception.
#[test]
fn no_page_has_an_error() {
    for page in SEEN.iter().flatten() {
        let refused = ["nobody", "-x-", "nowhere", "measured"];
        let says_no = refused.iter().any(|word| page.of.contains(word));
        let errors: Vec<&String> = page
            .errors
            .iter()
            .filter(|error| !(says_no && error.contains("status of 40")))
            .collect();
        assert_eq!(errors, Vec::<&String>::new(), "{}", page.of);
    }
}

#[test]
fn every_page_has_one_heading_and_every_control_a_name() {
    const CONTROLS: [&str; 9] = [
        "textbox",
        "searchbox",
        "checkbox",
        "combobox",
        "button",
        "link",
        "DisclosureTriangle",
        "radio",
        "spinbutton",
    ];
    for page in SEEN.iter().flatten() {
        assert!(page.title.len() > 3, "{}", page.of);
        let role = |node: &Value| node["role"]["value"].as_str().unwrap_or_default().to_owned();
        let level = |node: &Value| {
            let all = node["properties"].as_array().cloned().unwrap_or_default();
            all.into_iter()
                .find(|one| one["name"] == "level")
                .map(|one| one["value"]["value"].clone())
        };
        let heads = page.nodes.iter().filter(|node| role(node) == "heading");
        let first = heads.filter(|node| level(node) == Some(1.into())).count();
        assert_eq!(first, 1, "{}: headings of the first rank", page.of);
        let controls = page.nodes.iter().filter(|node| CONTROLS.contains(&role(node).as_str()));
        let mut count = 0;
        for control in controls {
            let name = control["name"]["value"].as_str().unwrap_or_default().trim();
            assert!(!name.is_empty(), "{}: {control}", page.of);
            count += 1;
        }
        // The links of every page, the box and its button.
        assert!(count >= 8, "{}: {count} controls", page.of);
    }
}
