//! The wall chart: its page in a browser, on paper and on a phone, and its picture.

use super::{LATHES, all, json, number, text};
use crate::browser::{assert_none, look_at};
use crate::devtools::Tab;
use crate::util::{Run, one_line, run};
use serde_json::Value;

fn page(args: &[&str]) -> String {
    let Run { code, out, err } = run(&[&["table"], args, &["--format", "html"]].concat());
    assert!(code < 2, "{err}");
    out
}

/// Every demo lathe's chart on every paper: one side, also where letters are wider.
#[test]
fn a_wall_chart_is_one_side_of_its_paper() {
    let Some(tab) = Tab::open() else { return };
    for lathe in LATHES {
        for (paper, name) in [("a4", "A4"), ("a3", "A3"), ("letter", "Letter")] {
            let page = page(&["--common", "--lathe", lathe, "--paper", paper]);
            tab.show(&page);
            assert_eq!(tab.sheets(name), 1, "{lathe} on {name}");
            tab.show(&page.replacen("</style>", "body *{letter-spacing:.03em}</style>", 1));
            assert_eq!(tab.sheets(name), 1, "{lathe} on {name} in wide letters");
        }
        tab.show(&page(&["--common", "--lathe", lathe, "--plan", "best"]));
        assert_eq!(tab.sheets("A4"), 1, "{lathe} in the best order");
    }
}

#[test]
fn a_wall_chart_can_be_read_on_a_phone() {
    let Some(tab) = Tab::open() else { return };
    for lathe in LATHES {
        let seen = look_at(&tab, &page(&["--common", "--lathe", lathe]), 360);
        assert_eq!(seen["width"], 360, "{lathe}: scrolls sideways");
        assert_none(&seen, &["pale", "small", "targets", "hollow"], lathe);
        assert_eq!((tab.errors(), tab.requests()), (vec![], vec![]), "{lathe}");
    }
}

/// Filter and sort, as a person does it.
#[test]
fn a_wall_chart_is_filtered_and_sorted() {
    let Some(tab) = Tab::open() else { return };
    let page = page(&["--common", "--lathe", "tug"]);
    let after = |script: &str| {
        tab.screen(900);
        tab.show(&page);
        let told = tab.value(&format!(
            "(() => {{ const set = (id, value) => {{ const e = document.getElementById(id); e.value = value; \
             e.dispatchEvent(new Event('input', {{bubbles: true}})); }}; {script}; \
             const shown = (e) => e.getClientRects().length > 0; \
             const all = (css) => [...document.querySelectorAll(css)].filter(shown); \
             return {{leads: all('td.lead').map((e) => e.textContent), swaps: all('td.swap').length, \
             loose: all('#loose').length > 0, none: all('#none').length > 0}}; }})()"
        ));
        assert_eq!(tab.errors(), [""; 0]);
        told
    };
    let leads = |told: &Value| -> Vec<String> {
        all(&told["leads"]).iter().map(|lead| text(lead).to_string()).collect()
    };
    let whole = after("");
    assert_eq!(
        (leads(&whole).len(), &whole["loose"], &whole["none"]),
        (39, &false.into(), &false.into())
    );
    assert_eq!(number(&whole["swaps"]), 39);
    let m10 = after("set('words', 'm10')");
    assert_eq!(leads(&m10), ["1.5 mm"]);
    // Out of its order nothing is said of what to swap.
    assert_eq!((&m10["loose"], number(&m10["swaps"])), (&true.into(), 0));
    let two = after("set('words', 'M10, 11 tpi')");
    assert_eq!(leads(&two), ["11 tpi", "1.5 mm"]);
    let feeds = after("set('kind', 'Longitudinal feeds')");
    assert_eq!(leads(&feeds), ["0.2 mm/rev", "0.15 mm/rev", "0.1 mm/rev", "0.05 mm/rev"]);
    assert_eq!(feeds["loose"], false);
    let fine = after("set('kind', 'Longitudinal feeds'); set('order', 'up')");
    assert_eq!(leads(&fine), ["0.05 mm/rev", "0.1 mm/rev", "0.15 mm/rev", "0.2 mm/rev"]);
    let nothing = after("set('words', 'M99')");
    assert_eq!((leads(&nothing).len(), &nothing["none"]), (0, &true.into()));
    let back =
        after("set('words', 'M10'); set('words', ''); set('order', 'up'); set('order', 'plan')");
    assert_eq!((leads(&back), &back["loose"]), (leads(&whole), &false.into()));
}

/// On paper there are no controls, and nothing asks the network.
#[test]
fn a_wall_chart_holds_all_that_it_needs() {
    let page = page(&["--common", "--date", "1 May <b>"]);
    for outside in ["http:", "https:", "<link", "<img", "@import", "src=", "url(h"] {
        assert!(!page.contains(outside), "{outside}");
    }
    assert!(page.contains("<form class=\"controls\" hidden>"), "{page}");
    assert!(page.contains("@media print{") && page.contains(".controls{display:none!important}"));
    assert!(page.contains("Date: 1 May &lt;b&gt;"));
    for caution in ["Unplug or lock off the lathe", "chuck key and crank out"] {
        assert!(page.contains(caution), "{caution}");
    }
}

/// What moves for the first line moves from the fitted set-up, levers too; by itself each line does, and
/// a gear that changes its plane is named on the way back.
#[test]
fn boxes_and_the_way_back_say_all_that_moves() {
    let bare = |text: &str| text.replace("<span>", "").replace("</span>", "");
    let rows = |plan: &str| -> Vec<String> {
        let page = bare(&page(&["8 tpi", "16 tpi", "9 tpi", "--lathe", "tug", "--plan", plan]));
        page.split("<tr data-at").skip(1).map(str::to_owned).collect()
    };
    // Fitted: Cone 1, Range IV.
    let listed = rows("listed");
    assert!(listed[0].contains("data-head=\"Cone\">1</td>"), "{}", listed[0]);
    assert!(listed[0].contains("data-head=\"Range\"><b>II</b>"), "{}", listed[0]);
    assert!(listed[1].contains("data-head=\"Range\"><b>III</b>"), "{}", listed[1]);
    for row in rows("single") {
        assert!(row.contains("data-head=\"Range\"><b>"), "{row}");
        assert_eq!(row.contains("data-head=\"Cone\"><b>2</b>"), row.contains(">9 tpi<"), "{row}");
    }
    let whole = page(&["M10", "--lathe", "tug"]);
    assert!(whole.contains("In a box: what is changed from the line above."), "{whole}");
    let alone = page(&["M10", "--lathe", "tug", "--plan", "single"]);
    assert!(alone.contains("In a box: what is changed from the fitted gears."), "{alone}");
    assert!(whole.contains("off 127/120; on 70; shift 60."), "{whole}");
    let text = run(&["table", "M10", "--lathe", "tug"]).out;
    let words = one_line(&text);
    assert!(
        words.contains(
            "After the last line back to the fitted 60-70-60: off 127/120; on 70; shift 60."
        ),
        "{words}"
    );
}

/// The picture is well-formed, and its numbers are those of the plan.
#[test]
fn the_picture_holds_every_line() {
    for lathe in LATHES {
        let picture = run(&["table", "--common", "--lathe", lathe, "-f", "svg"]).out;
        let parsed = roxmltree::Document::parse(&picture).unwrap();
        let words: Vec<&str> = parsed.descendants().filter_map(|node| node.text()).collect();
        for line in all(&json(&["--common", "--lathe", lathe])["lines"]) {
            assert!(words.contains(&text(&line["target"]["text"])), "{line}");
        }
        let wide: f64 = parsed
            .root_element()
            .attribute("width")
            .unwrap()
            .trim_end_matches("mm")
            .parse()
            .unwrap();
        assert!((wide - 210.0).abs() < 1e-9);
        let high: f64 = parsed
            .root_element()
            .attribute("height")
            .unwrap()
            .trim_end_matches("mm")
            .parse()
            .unwrap();
        assert!((high - 297.0).abs() < 1e-9, "{lathe}: {high}");
    }
}
