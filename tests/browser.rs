//! Is the page right in a real browser? Printed on A4 and Letter, and read on screens of phones and
//! desks, by a script of the test.

use crate::devtools::Tab;
use crate::util::{fresh, run};
use serde_json::{Value, json};
use std::sync::LazyLock;

/// What is looked at in a page.
const LOOK: &str = include_str!("browser/look.js");

/// What the page in a tab looks like.
pub(crate) fn look(tab: &Tab) -> Value {
    tab.value(LOOK)
}

/// What a page looks like on a screen so wide.
pub(crate) fn look_at(tab: &Tab, page: &str, width: u32) -> Value {
    tab.screen(width);
    tab.show(page);
    look(tab)
}

/// Fails where a list of what was seen is not empty.
#[track_caller]
pub(crate) fn assert_none(seen: &Value, keys: &[&str], of: &str) {
    for key in keys {
        assert_eq!(seen[key], json!([]), "{of}: {key}");
    }
}

/// Job cards: threads on each demo lathe, a nut, several starts by either method, worms, a taper, an
/// unknown form, no bracket, an unknown sense, feeds along and across, every word about the work.
const CARDS: &[&[&str]] = &[
    &["M10"],
    &["1.25 mm", "--nose", "0.1 mm", "--undercut", "3 mm", "--rpm", "70"],
    &["M10", "--lathe", "ketch"],
    &["11 tpi", "--lathe", "tug", "--diameter", "1 in", "--form", "55"],
    &["1/2-13 UNC", "--internal", "--class", "3B", "--lathe", "tug"],
    &["M30x1.5", "--internal", "--undercut", "regular", "--away", "--material", "brass"],
    &[
        "Ra 1.6",
        "--nose",
        "0.4 mm",
        "--surface",
        "30 m/min",
        "--diameter",
        "20 mm",
        "--lathe",
        "tug",
    ],
    &["Tr 40x14 (P7) LH", "--lathe", "ketch"],
    &["1 mm 3 starts", "--diameter", "30 mm", "--class", "6g"],
    &["module 1", "--diameter", "20 mm", "--wire", "1.8 mm"],
    &["NPT 3/4"],
    &["E27"],
    &["8 mm", "--hand", "left"],
    &["M6", "--gears", "20,30,40,45,50,60x2,65,127", "--screw", "8tpi"],
    &["M20", "--blank", "19.85 mm", "--wire", "1.5 mm", "--now", "wires 21.35 mm", "--reset"],
    &["M20", "--lathe", "tug", "--blank", "19.85 mm", "--now", "pitch 18.6 mm", "--reset"],
    &["Tr40x7", "--lathe", "ketch", "--now", "depth 3 mm", "--reset"],
    &["M20", "--lathe", "tug", "--now", "nut starts"],
    &["M10", "--internal", "--mate", "8.8 mm"],
    &["0.1 mm/rev"],
    &["0.004 in/rev cross", "--lathe", "tug", "--nose", "0.4 mm"],
    &["M20", "--passes", "40", "--lathe", "tug", "--flat", "0"],
];

/// Other pages: they may take several sheets.
const PAGES: &[&[&str]] = &[
    &["find", "1.25 mm", "0.1 mm/rev"],
    &["find", "M10", "--train", "20-80+80-40", "--lathe", "ketch"],
    &["threads", "9.9 mm", "1.5 mm"],
    &["gear", "40", "--outside", "52.4 mm"],
    &["lathe", "show", "--lathe", "tug"],
    &["sets"],
    &["card", "100 mm"],
    &["card", "M20x1.5", "1/2-20 UNF LH", "0.08 mm/rev", "--order", "--undercut", "regular"],
    &["buy", "M10", "0.4 mm", "0.45 mm", "--up-to", "2"],
    &["reach", "--from", "1 mm", "--to", "1.05 mm"],
    &["check", "dinghy-chart", "--lathe", "dinghy"],
    &["learn", "skiff-chart"],
];

/// Pages with wide tables, long lists or pictures of their own.
const WIDE: &[&[&str]] = &[
    &["find", "M10", "--lathe", "tug", "--long"],
    &["find", "1.25 mm", "--all"],
    &["buy", "--common", "--up-to", "2", "--count", "3", "--lathe", "dinghy"],
    &["reach", "--from", "M4", "--to", "M5", "--standard"],
    &["table", "--common", "--lathe", "tug"],
    &["table", "M4", "M5", "M6", "M8", "--plan", "best"],
    &["guide", "banjo"],
];

/// The page that a command writes.
fn page(args: &[&str]) -> String {
    let printed = run(&[args, &["--format", "html"]].concat());
    assert!(printed.code < 2, "{args:?}: {}", printed.err);
    printed.out
}

/// Every page, with the command that writes it.
static EVERY_PAGE: LazyLock<Vec<(String, String)>> = LazyLock::new(|| {
    let cards = CARDS.iter().map(|args| [&["card"], *args].concat());
    let others = PAGES.iter().chain(WIDE).map(|args| args.to_vec());
    cards.chain(others).map(|args| (args.join(" "), page(&args))).collect()
});

#[test]
fn a_card_is_one_side_of_paper() {
    let Some(tab) = Tab::open() else { return };
    for (args, page) in &EVERY_PAGE[..CARDS.len()] {
        tab.show(page);
        for paper in ["A4", "Letter"] {
            assert_eq!(tab.sheets(paper), 1, "{args} on {paper}");
        }
        // A twelfth wider, as where there is no Arial or the like.
        tab.show(&page.replacen("</style>", "body *{letter-spacing:.04em}</style>", 1));
        assert_eq!(tab.sheets("Letter"), 1, "{args} in wide letters");
    }
}

/// Phones, a tablet and a desk.
#[test]
fn no_column_is_cut_off_and_nothing_scrolls_sideways() {
    let Some(tab) = Tab::open() else { return };
    for (args, page) in &*EVERY_PAGE {
        tab.show(page);
        for width in [360, 412, 768, 1200] {
            tab.screen(width);
            let (seen, of) = (look(&tab), format!("{args} at {width} px"));
            assert_eq!(seen["width"], width, "{of}");
            assert_none(&seen, &["outside", "sideways"], &of);
        }
    }
}

#[test]
fn every_page_can_be_read_on_a_phone() {
    let Some(tab) = Tab::open() else { return };
    for (args, page) in &*EVERY_PAGE {
        let seen = look_at(&tab, page, 360);
        // Contrast below 4.5, letters below 9 px, links too low for a thumb.
        assert_none(&seen, &["pale", "small", "targets"], args);
        assert_eq!((tab.errors(), tab.requests()), (vec![], vec![]), "{args}");
    }
}

/// The picture is there, and its letters can be read; the bar leads to every section.
#[test]
fn a_card_holds_its_picture_and_leads_to_every_section() {
    let Some(tab) = Tab::open() else { return };
    for (args, pictures) in [
        (&["M10"][..], 2),
        (&["0.1 mm/rev", "--lathe", "tug"][..], 2),
        (&["M6", "--gears", "20,30,40,60x2,65,127", "--screw", "8tpi"][..], 1),
    ] {
        let seen = look_at(&tab, &page(&[&["card"], args].concat()), 360);
        assert_eq!(seen["pictures"], pictures, "{args:?}");
        let (links, sections) = (&seen["links"], &seen["sections"]);
        assert_eq!(links, sections, "{args:?}");
        assert!(sections.as_array().is_some_and(|all| all.len() > 5), "{sections}");
    }
}

/// What does not fit on the rest of a sheet goes onto the next, whole.
#[test]
fn a_picture_is_not_cut_by_the_end_of_a_sheet() {
    let Some(tab) = Tab::open() else { return };
    let page = page(&["find", "1.25 mm"]);
    let above = page.replacen("<figure>", "<div style=\"height:200mm\"></div><figure>", 1);
    // Two sheets hold it, if the first has a part of the picture.
    let below = "<div style=\"clear:both;height:170mm\"></div></main>";
    for paper in ["A4", "Letter"] {
        tab.show(&page);
        assert_eq!(tab.sheets(paper), 1, "{paper}");
        tab.show(&above.replacen("</main>", below, 1));
        assert_eq!(tab.sheets(paper), 3, "{paper}");
    }
}

/// A4 within its margins, in pixels of a 96th of an inch.
const SHEET: (u32, f64) = (748, 1077.0);

#[test]
fn no_printed_letters_are_below_seven_points_and_no_sheet_is_nearly_empty() {
    let Some(tab) = Tab::open() else { return };
    let (width, height) = SHEET;
    for (args, page) in &*EVERY_PAGE {
        tab.media("print");
        let seen = look_at(&tab, page, width);
        let letters = seen["letters"].as_f64().expect("letters");
        assert!(letters * 0.75 > 6.98, "{args}: {} pt", letters * 0.75);
        assert_none(&seen, &["outside", "spilling"], args);
        // Of all sheets a fifth is lost where something has to stay whole.
        let sheets = seen["height"].as_f64().expect("a height") / height;
        if sheets > 1.0 {
            let most = (sheets * 1.2).ceil();
            tab.media("");
            let count = u32::try_from(tab.sheets("A4")).expect("sheets");
            assert!(f64::from(count) <= most, "{args}: {count} sheets for {sheets}");
        }
    }
}

/// Small print where there is much to say, large letters where there is room.
#[test]
fn letters_are_as_large_as_one_side_allows() {
    let letters = |args: &[&str]| -> f64 {
        let page = page(&[&["card"], args].concat());
        let (_, points) = page.split_once("--letters:").expect("one side");
        points.split_once("pt").and_then(|(points, _)| points.parse().ok()).expect("points")
    };
    assert!(letters(&["0.1 mm/rev"]) > 9.4);
    let much = letters(&["1 mm 3 starts", "--diameter", "30 mm", "--class", "6g"]);
    assert!((7.0..8.0).contains(&much), "{much}");
}

#[test]
fn no_line_ends_inside_a_train_or_before_a_unit() {
    let page = page(&["card", "M10"]);
    for whole in [
        "Now <span class=\"whole\">24-76+24-80</span> is on again",
        "1.500\u{a0}mm (0.0591\u{a0}in)",
    ] {
        assert!(page.contains(whole), "{whole}\n{page}");
    }
    assert!(page.contains(">(--wire).</span>"), "{page}");
}

/// What the test's own eye must see: a page with every fault.
#[test]
fn the_look_sees_faults() {
    let Some(tab) = Tab::open() else { return };
    let faults = r#"<!DOCTYPE html><html><head><meta name="viewport" content="width=device-width"></head><body>
        <div style="width:900px">wide</div><table><td style="padding-left:400px">cut</table>
        <pre style="overflow-x:auto;width:90px">a line that is longer than its place</pre><p style="color:#aaa">pale</p>
        <p style="font-size:6px">small</p><nav><a href="\#s1">x</a></nav><img src="elsewhere.png">
        <input placeholder="M10" style="background:#777"><script>throw new Error("broken")</script></body></html>"#;
    let seen = look_at(&tab, faults, 360);
    assert!(seen["width"].as_u64() > Some(360), "{seen}");
    for key in ["outside", "sideways", "small", "targets"] {
        assert_ne!(seen[key], json!([]), "{key}: {seen}");
    }
    assert_eq!(seen["pale"], json!(["pale", "M10"]));
    assert!(tab.requests()[0].ends_with("elsewhere.png"));
    assert!(tab.errors().iter().any(|error| error.contains("broken")));
    let twice = format!("<p>{}</p>", "<p>line</p>".repeat(200));
    tab.show(&twice);
    assert!(tab.sheets("A4") > 1);
}

/// Nothing but the page: no address, no script, no style sheet, no picture from elsewhere.
#[test]
fn a_page_holds_all_that_it_needs() {
    for (args, page) in &EVERY_PAGE[..CARDS.len()] {
        for outside in ["http:", "https:", "<script", "<link", "<img", "@import", "src=", "url(h"] {
            assert!(!page.contains(outside), "{args}: {outside}");
        }
        assert!(page.starts_with("<!DOCTYPE html><html lang=\"en\">"), "{args}");
    }
}

#[test]
fn names_can_not_break_out_of_the_page() {
    let folder = fresh();
    let lathe = r#"{"format": 1, "name": "<script>alert(1)</script> & \"x\"",
        "lead_screw": {"lead": "8 tpi"}, "headstock": {"ratio": 1}, "gears": {"owned": [20, 40, 60, 80]}}"#;
    std::fs::write(folder.path().join("lathe.json"), lathe).unwrap();
    let printed = crate::util::run_in(folder.path(), &["card", "16 tpi", "--format", "html"]);
    assert_eq!(printed.code, 0, "{}", printed.err);
    assert!(!printed.out.contains("<script"), "{}", printed.out);
    assert!(printed.out.contains("&lt;script&gt;alert(1)&lt;/script&gt; &amp; "));
}

/// By its ending.
#[test]
fn a_file_that_ends_in_html_is_a_page() {
    let folder = fresh();
    let printed = crate::util::run_in(folder.path(), &["card", "M10", "--output", "m10.html"]);
    assert_eq!((printed.code, printed.out.as_str()), (0, ""));
    let page = std::fs::read_to_string(folder.path().join("m10.html")).unwrap();
    assert!(page.contains("<h1>M10: "), "{page}");
}
