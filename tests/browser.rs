//! Is the page right in a real browser? Chromium, headless: printed on A4 and Letter, and read on a
//! screen of 360 pixels, by a script of the test that stands outside the page.
//!
//! Where no Chromium is installed these tests say so and pass, unless `TRAINWRIGHT_BROWSER=required`,
//! which the gate sets.

pub(crate) mod chromium;

use crate::util::{fresh, run};
use chromium::Chromium;
use serde_json::Value;
use std::path::Path;

/// Job cards: threads on each demo lathe, a nut, several starts by either method, worms, a taper, an
/// unknown form, no bracket, an unknown sense, feeds along and across, every word about the work.
const CARDS: &[&[&str]] = &[
    &["M10"],
    &["1.25 mm", "--nose", "0.1 mm", "--undercut", "3 mm", "--rpm", "70"],
    &["M10", "--lathe", "ketch"],
    &["11 tpi", "--lathe", "tug", "--diameter", "1 in", "--form", "55"],
    &["1/2-13 UNC", "--internal", "--class", "3B", "--lathe", "tug"],
    &["Tr 40x14 (P7) LH", "--lathe", "ketch"],
    &["1 mm 3 starts", "--diameter", "30 mm", "--class", "6g"],
    &["module 1", "--diameter", "20 mm", "--wire", "1.8 mm"],
    &["NPT 3/4"],
    &["E27"],
    &["8 mm", "--hand", "left"],
    &["M6", "--gears", "20,30,40,45,50,60x2,65,127", "--screw", "8tpi"],
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

#[test]
fn a_card_is_one_side_of_paper() {
    let Some(chromium) = Chromium::found() else { return };
    let full = std::env::var_os("TRAINWRIGHT_ORACLE").is_some_and(|value| value == "full");
    for (at, args) in CARDS.iter().enumerate() {
        let page = page(&[&["card"], *args].concat());
        // A twelfth wider, as where there is no Arial or the like.
        let wider = page.replacen("</style>", "body *{letter-spacing:.04em}</style>", 1);
        assert_eq!(chromium.pages(&wider, "Letter"), 1, "{args:?} in wide letters");
        // A browser starts for each print: as with random cases, one in four is enough by day.
        if at % 4 == 0 || full {
            for paper in ["A4", "Letter"] {
                let pages = chromium.pages(&page, paper);
                assert_eq!(pages, 1, "{args:?} on {paper}");
            }
        }
    }
}

/// Every page, with the command that writes it.
fn every_page() -> Vec<(Vec<&'static str>, String)> {
    let cards = CARDS.iter().map(|args| [&["card"], *args].concat());
    let others = PAGES.iter().chain(WIDE).map(|args| args.to_vec());
    cards.chain(others).map(|args| (args.clone(), page(&args))).collect()
}

/// Phones, a tablet and a desk.
#[test]
fn no_column_is_cut_off_and_nothing_scrolls_sideways() {
    let Some(chromium) = Chromium::found() else { return };
    let pages = every_page();
    for width in [360, 412, 768, 1200] {
        let framed: Vec<_> = pages.iter().map(|(_, page)| (page.clone(), width)).collect();
        for ((args, _), seen) in pages.iter().zip(chromium.look_all(&framed)) {
            assert_eq!(seen["width"], width, "{args:?}");
            assert_eq!(seen["outside"], serde_json::json!([]), "{args:?}: cut off at {width} px");
            assert_eq!(seen["sideways"], serde_json::json!([]), "{args:?} at {width} px");
        }
    }
}

#[test]
fn every_page_can_be_read_on_a_phone() {
    let Some(chromium) = Chromium::found() else { return };
    let (all, framed): (Vec<_>, Vec<_>) =
        every_page().into_iter().map(|(args, page)| (args, (page, 360))).unzip();
    for (args, seen) in all.iter().zip(chromium.look_all(&framed)) {
        assert_eq!(seen["errors"], serde_json::json!([]), "{args:?}");
        assert_eq!(seen["requests"], serde_json::json!([]), "{args:?}: asks the network");
        assert_eq!(seen["pale"], serde_json::json!([]), "{args:?}: contrast below 4.5");
        assert_eq!(seen["small"], serde_json::json!([]), "{args:?}: letters below 9 px");
        assert_eq!(seen["targets"], serde_json::json!([]), "{args:?}: below 44 px for a thumb");
    }
}

/// The picture is there, and its letters can be read; the bar leads to every section.
#[test]
fn a_card_holds_its_picture_and_leads_to_every_section() {
    let Some(chromium) = Chromium::found() else { return };
    for (args, pictures) in [
        (&["M10"][..], 2),
        (&["0.1 mm/rev", "--lathe", "tug"][..], 2),
        (&["M6", "--gears", "20,30,40,60x2,65,127", "--screw", "8tpi"][..], 1),
    ] {
        let seen = chromium.look(&page(&[&["card"], args].concat()), 360);
        assert_eq!(seen["pictures"], pictures, "{args:?}");
        let (links, sections) = (&seen["links"], &seen["sections"]);
        assert_eq!(links, sections, "{args:?}");
        assert!(sections.as_array().is_some_and(|all| all.len() > 5), "{sections}");
    }
}

/// What does not fit on the rest of a sheet goes onto the next, whole.
#[test]
fn a_picture_is_not_cut_by_the_end_of_a_sheet() {
    let Some(chromium) = Chromium::found() else { return };
    let page = page(&["find", "1.25 mm"]);
    let above = page.replacen("<figure>", "<div style=\"height:200mm\"></div><figure>", 1);
    // Two sheets hold it, if the first has a part of the picture.
    let below = "<div style=\"clear:both;height:170mm\"></div></main>";
    for paper in ["A4", "Letter"] {
        assert_eq!(chromium.pages(&page, paper), 1, "{paper}");
        assert_eq!(chromium.pages(&above.replacen("</main>", below, 1), paper), 3, "{paper}");
    }
}

/// A page as it is printed, for a look through a frame as wide as the paper of A4 within its margins.
fn in_print(page: &str) -> (String, u32) {
    (page.replace("@media print", "@media all").replace("@media screen", "@media not all"), 748)
}

/// Height of A4 within its margins, in pixels of a 96th of an inch.
const SHEET: f64 = 1077.0;

#[test]
fn no_printed_letters_are_below_seven_points_and_no_sheet_is_nearly_empty() {
    let Some(chromium) = Chromium::found() else { return };
    let pages = every_page();
    let printed: Vec<_> = pages.iter().map(|(_, page)| in_print(page)).collect();
    for ((args, page), seen) in pages.iter().zip(chromium.look_all(&printed)) {
        let letters = seen["letters"].as_f64().expect("letters");
        assert!(letters * 0.75 > 6.98, "{args:?}: {} pt", letters * 0.75);
        assert_eq!(seen["outside"], serde_json::json!([]), "{args:?}: cut off");
        // Of all sheets a fifth is lost where something has to stay whole.
        let sheets = seen["height"].as_f64().expect("a height") / SHEET;
        if sheets > 1.0 {
            let most = (sheets * 1.2).ceil();
            let count = u32::try_from(chromium.pages(page, "A4")).expect("sheets");
            assert!(f64::from(count) <= most, "{args:?}: {count} sheets for {sheets}");
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
    let Some(chromium) = Chromium::found() else { return };
    let seen = chromium.look(
        r#"<!DOCTYPE html><html><head><meta name="viewport" content="width=device-width"></head><body>
        <div style="width:900px">wide</div><table><td style="padding-left:400px">cut</table>
        <pre style="overflow-x:auto;width:90px">a line that is longer than its place</pre><p style="color:#aaa">pale</p>
        <p style="font-size:6px">small</p><nav><a href="\#s1">x</a></nav>
        <script>throw new Error("broken")</script></body></html>"#,
        360,
    );
    let none = |key: &str| seen[key].as_array().is_none_or(Vec::is_empty);
    assert!(seen["width"].as_u64() > Some(360), "{seen}");
    assert!(!none("outside") && !none("sideways"), "{seen}");
    assert!(!none("pale") && !none("small") && !none("targets") && !none("errors"), "{seen}");
    let twice = format!("<p>{}</p>", "<p>line</p>".repeat(200));
    assert!(chromium.pages(&twice, "A4") > 1);
}

/// Nothing but the page: no address, no script, no style sheet, no picture from elsewhere.
#[test]
fn a_page_holds_all_that_it_needs() {
    for args in CARDS.iter().map(|args| [&["card"], *args].concat()) {
        let page = page(&args);
        for outside in ["http:", "https:", "<script", "<link", "<img", "@import", "src=", "url(h"] {
            assert!(!page.contains(outside), "{args:?}: {outside}");
        }
        assert!(page.starts_with("<!DOCTYPE html><html lang=\"en\">"), "{args:?}");
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

/// One key of what was seen, for the modules below.
fn text<'v>(value: &'v Value, key: &str) -> &'v str {
    value[key].as_str().unwrap_or_default()
}

fn write(folder: &Path, name: &str, text: &str) -> String {
    let path = folder.join(name);
    std::fs::write(&path, text).expect("a file");
    format!("file://{}", path.display())
}
