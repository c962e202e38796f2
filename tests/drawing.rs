//! Does the picture show the train as it stands: to scale, in its place, with every word, and in SVG
//! that any reader takes? Numbers are taken out of the SVG and compared with the geometry of the
//! train, worked out here by the law of cosines (Euclid, Elements, II.12 and II.13).

mod sheet;
mod svg;
mod wrong;

use crate::util::{Run, fresh, run, run_in};
use roxmltree::Document;
use std::path::Path;
use svg::{View, has_class, inside, near, number, says, sense, strokes, texts};

/// The lathe: shafts 80 mm apart, one slot, hubs of 12 and 8 mm.
const BRACKET: &str = r#""driving_shaft": "80 mm", "slots": [{"from": "34 mm", "to": "70 mm"}],
    "least_stud_distance": "34 mm", "hub_radii": {"driving": "12 mm", "stud": "8 mm", "driven": "12 mm"}"#;
const TUMBLER: &str = r#""tumbler": {"up": "same", "down": "opposite"}"#;

fn lathe(name: &str, bracket: &str, headstock: &str) -> tempfile::TempDir {
    let folder = fresh();
    let text = format!(
        r#"{{"format": 1, "name": "{name}", "lead_screw": {{"lead": "16 tpi"}},
            "headstock": {{"ratio": "1", "turns": "same", {headstock}}}, "studs": 2, {bracket}
            "gears": {{"pitch": "module 1", "owned": [20, 20, 24, 25, 30, 40, 45, 50, 55, 60, 64, 65, 70, 80, 80]}}}}"#
    );
    std::fs::write(folder.path().join("lathe.json"), text).unwrap();
    folder
}

fn plain() -> tempfile::TempDir {
    lathe("Plain", &format!(r#""banjo": {{{BRACKET}}},"#), TUMBLER)
}

/// The picture of one train.
fn picture(folder: &Path, train: &str) -> String {
    let Run { out, err, .. } = run_in(folder, &["find", "1 mm", "--train", train, "-f", "svg"]);
    assert_eq!(err, "");
    out
}

/// Where the stud of 45-55+50-65 stands: 57.5 mm from the driven shaft, 50 mm from the first.
fn stud() -> (f64, f64, f64) {
    let (c, a, b) = (80.0_f64, 50.0, 57.5);
    let cos = (c * c + b * b - a * a) / (2.0 * c * b);
    let swing = cos.acos();
    (b * swing.sin(), b * swing.cos(), swing.to_degrees())
}

#[test]
fn gears_stand_where_the_law_of_cosines_puts_them_and_are_to_scale() {
    let svg = picture(plain().path(), "45-55+50-65");
    let document = Document::parse(&svg).unwrap();
    let face = View::of(&document, "face").unwrap();
    let (right, up, swing) = stud();
    for (title, class, (x, y), teeth) in [
        ("45 teeth, driving shaft, plane 1", "gear-driver", (0.0, 80.0), 45.0),
        ("55 teeth, stud 1, plane 1", "gear-driven", (right, up), 55.0),
        ("50 teeth, stud 1, plane 2", "gear-driver", (right, up), 50.0),
        ("65 teeth, lead screw, plane 2", "gear-driven", (0.0, 0.0), 65.0),
    ] {
        let circle = face.titled(title);
        assert!(has_class(circle, class), "{title}: {circle:?}");
        let (cx, cy) = face.at(x, y);
        assert!(near(number(circle, "cx"), cx) && near(number(circle, "cy"), cy), "{title}");
        // ISO 53: the tip circle is two modules larger than the pitch circle.
        assert!(near(number(circle, "r"), face.scale * (teeth + 2.0) / 2.0), "{title}");
        // What stands behind has a broken outline.
        assert_eq!(has_class(circle, "b1"), title.ends_with("plane 1"), "{title}");
    }
    assert!(face.scale >= 0.5, "{}", face.scale);
    let pitch: Vec<f64> =
        face.of_class("pitch").iter().filter_map(|n| n.attribute("r")?.parse().ok()).collect();
    assert_eq!(pitch.len(), 4);
    assert!(pitch.iter().any(|r| near(*r, face.scale * 32.5)), "{pitch:?}");
    let words = texts(&document);
    for word in [
        "45",
        "55",
        "50",
        "65",
        "driving shaft",
        "lead screw",
        "stud 1, driven",
        "stud 1, drives",
        "57.5 mm",
    ] {
        assert!(words.contains(&word), "{word}: {words:?}");
    }
    assert!(words.contains(&format!("~{swing:.1}°").as_str()), "{words:?}");
}

#[test]
fn every_tooth_is_hinted_between_root_and_tip() {
    let svg = picture(plain().path(), "45-55+50-65");
    let document = Document::parse(&svg).unwrap();
    let face = View::of(&document, "face").unwrap();
    let mut counts = Vec::new();
    for teeth in face.of_class("teeth") {
        let strokes = strokes(teeth);
        counts.push(strokes.len());
        for stroke in &strokes {
            let length = (stroke[0].0 - stroke[1].0).hypot(stroke[0].1 - stroke[1].1);
            // ISO 53: a whole depth of 2.25 modules.
            assert!((length - 2.25 * face.scale).abs() < 0.004, "{length}");
        }
    }
    counts.sort_unstable();
    assert_eq!(counts, [45, 50, 55, 65]);
    assert!(svg.len() < 60_000, "{} bytes", svg.len());
}

#[test]
fn arrows_turn_as_the_spindle_and_each_mesh_turn_them() {
    let turns = |headstock: &str, hand: &str| {
        let folder = lathe("Plain", &format!(r#""banjo": {{{BRACKET}}},"#), headstock);
        let args = ["find", "1 mm", "--train", "45-55+50-65", "--hand", hand, "-f", "svg"];
        let svg = run_in(folder.path(), &args).out;
        let document = Document::parse(&svg).unwrap();
        let face = View::of(&document, "face").unwrap();
        let arrows = face.of_class("turn");
        let senses = arrows.iter().map(|a| sense(&strokes(*a)[0]) > 0.0).collect::<Vec<_>>();
        let words = arrows.iter().map(|a| {
            let title = a.children().find(|n| n.has_tag_name("title")).unwrap();
            title.text().unwrap().ends_with(" turns clockwise")
        });
        assert_eq!(senses, words.collect::<Vec<_>>());
        (senses, says(&svg, "spindle forward"), says(&svg, "is not known here"))
    };
    // Spindle forward is clockwise from the cover end; two meshes: the screw turns as the driving gear.
    assert_eq!(turns(TUMBLER, "right"), (vec![true, false, true], true, false));
    assert_eq!(turns(TUMBLER, "left"), (vec![false, true, false], true, false));
    let unknown = r#""tumbler": {"up": "unknown"}"#;
    assert_eq!(turns(unknown, "right"), (vec![true, false, true], false, true));
    // A feed goes either way: nobody says how the tumbler stands.
    let feed = ["find", "0.1 mm/rev", "--train", "45-55+50-65", "-f", "svg"];
    assert!(says(&run_in(plain().path(), &feed).out, "is not known here"));
}

#[test]
fn on_edge_bars_are_to_scale_touch_where_they_mesh_and_planes_go_outward() {
    let svg = picture(plain().path(), "45-55+50-65");
    let document = Document::parse(&svg).unwrap();
    let edge = View::of(&document, "edge").unwrap();
    let bar = |title: &str| {
        let points = strokes(edge.titled(title)).remove(0);
        let fold = |f: fn(f64, f64) -> f64, from, of: fn(&(f64, f64)) -> f64| {
            points.iter().map(of).fold(from, f)
        };
        let (left, top) = (fold(f64::min, 1e9, |p| p.0), fold(f64::min, 1e9, |p| p.1));
        (left, top, fold(f64::max, -1e9, |p| p.1))
    };
    let bars = [
        ("45 teeth, driving shaft, plane 1", 45.0),
        ("55 teeth, stud 1, plane 1", 55.0),
        ("50 teeth, stud 1, plane 2", 50.0),
        ("65 teeth, lead screw, plane 2", 65.0),
    ]
    .map(|(title, teeth)| {
        let (left, top, bottom) = bar(title);
        assert!(near(bottom - top, edge.scale * (teeth + 2.0)), "{title}");
        (left, top, bottom)
    });
    let [first, driven, driver, last] = bars;
    assert!(first.0 < driver.0 && near(first.0, driven.0) && near(driver.0, last.0));
    // Pitch circles touch: tips overlap by two modules.
    assert!(
        near(first.2 - driven.1, 2.0 * edge.scale) && near(driver.2 - last.1, 2.0 * edge.scale)
    );
    let spacer = strokes(edge.titled("lead screw: spacer in plane 1")).remove(0);
    assert!(spacer.iter().all(|p| p.0 < last.0), "{spacer:?}");
    assert_eq!(edge.of_class("spacer").len(), 1);
    for word in ["headstock", "1 inner", "2 outer", "cover", "keyed together", "spacer inner"] {
        assert!(texts(&document).contains(&word), "{word}");
    }
}

/// Brackets of every make; the stud must lie in its slot as drawn.
#[test]
fn the_stud_stands_in_the_slot_as_drawn() {
    let slots = [
        r#""driving_shaft": "80 mm", "slots": [{"from": "30 mm", "to": "75 mm"}]"#,
        r#""driving_shaft": "80 mm", "slots": [{"from": "30 mm", "to": "75 mm", "angle": 25, "offset": "12 mm"}]"#,
        r#""driving_shaft": "80 mm", "slots": [{"from": "30 mm", "to": "75 mm", "angle": -40, "offset": "-9 mm"}]"#,
        r#""driving_shaft": {"right": "-30 mm", "up": "70 mm"}, "slots": [{"from": "30 mm", "to": "75 mm", "angle": 10}]"#,
        r#""driving_shaft": "80 mm", "pivot": "driving", "slots": [{"from": "30 mm", "to": "75 mm", "offset": "5 mm"}]"#,
        r#""driving_shaft": "80 mm", "pivot": {"right": "-60 mm", "up": "20 mm"}, "slots": [{"from": "60 mm", "to": "130 mm"}]"#,
        r#""driving_shaft": "80 mm", "slots": [{"arc": {"along": "50 mm", "across": "-20 mm", "radius": "30 mm", "from": -80, "to": 140}}]"#,
        r#""driving_shaft": "80 mm", "slots": [{"at": "57.5 mm", "angle": 20}]"#,
    ];
    for slot in slots {
        let folder = lathe("Any", &format!(r#""banjo": {{{slot}}},"#), TUMBLER);
        let svg = picture(folder.path(), "45-55+50-65");
        assert!(!says(&svg, "DOES NOT FIT"), "{slot}");
        let document = Document::parse(&svg).unwrap();
        let face = View::of(&document, "face").unwrap();
        let gear = face.titled("55 teeth, stud 1, plane 1");
        let at = (number(gear, "cx"), number(gear, "cy"));
        let outline = strokes(face.of_class("slot")[0]).remove(0);
        assert!(inside(&outline, at), "{slot}: {at:?}");
    }
}

#[test]
fn every_part_has_its_looks_and_is_drawn_somewhere() {
    let surroundings = r#""keep_out": [{"name": "pin", "circle": {"right": "-50 mm", "up": "40 mm", "radius": "6 mm"}},
        {"name": "casting", "polygon": [{"right": "60 mm", "up": "-30 mm"}, {"right": "80 mm", "up": "-30 mm"}, {"right": "70 mm", "up": "-10 mm"}]}],
        "cover": [{"right": "-90 mm", "up": "-90 mm"}, {"right": "100 mm", "up": "-90 mm"}, {"right": "100 mm", "up": "140 mm"}, {"right": "-90 mm", "up": "140 mm"}]"#;
    let folder = lathe("Full", &format!(r#""banjo": {{{BRACKET}, {surroundings}}},"#), TUMBLER);
    let trains = ["45-55+20-64", "20-80+20-80", "45-70-65"];
    let all: String = trains.map(|train| picture(folder.path(), train)).concat();
    for part in [
        "gear-driver",
        "gear-driven",
        "idler",
        "teeth",
        "pitch",
        "hub",
        "spacer",
        "slot",
        "arm",
        "keep-out",
        "cover",
        "clash",
        "gap",
        "label",
        "dimension",
        "turn",
    ] {
        assert!(all.contains(&format!(".{part}{{")), "{part} has no looks");
        assert!(all.contains(&format!("class=\"{part}")), "{part} is not drawn");
    }
    assert!(says(&picture(folder.path(), "45-55+50-65"), "casting"));
}

/// The same in letters, for a terminal.
#[test]
fn the_page_says_where_the_stud_goes_and_shows_the_edge_view() {
    let folder = plain();
    let out = run_in(folder.path(), &["find", "1 mm", "--train", "45-55+50-65"]).out;
    for words in [
        "\nIt fits.\n",
        "\n  stud 1     57.5 mm from the pivot along the slot",
        "\n  arm angle  ~38.4° clockwise from the line between the shafts",
        "\n  clearance  50 on stud 1 clears the hub of the driving shaft by 12.0 mm",
        "\n  plane          1 inner    2 outer\n  driving shaft  45                    inner\n                 |\n  \
         stud 1         55 ======= 50         keyed together\n                            |\n  \
         lead screw     [spacer]   65         spacer inner\n",
    ] {
        assert!(out.contains(words), "{words}\n{out}");
    }
    for lathe in ["dinghy", "ketch", "tug"] {
        let out = run(&["find", "1 mm", "--lathe", lathe, "--long"]).out;
        let at = out.find("\n  plane ").unwrap_or_else(|| panic!("{lathe}: {out}"));
        for line in out[at + 1..].lines().take_while(|line| !line.is_empty()) {
            assert!(line.chars().count() <= 60, "{line}");
        }
    }
}
