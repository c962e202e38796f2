//! Does the picture show the train as it stands: to scale, in its place, with every word, and in SVG
//! that any reader takes? Numbers are taken out of the SVG and compared with the geometry of the
//! train, worked out here by the law of cosines (Euclid, Elements, II.12 and II.13).

use crate::util::{Run, fresh, names, run, run_in};
use roxmltree::{Document, Node};
use std::path::Path;

/// The lathe: shafts 80 mm apart, one slot, hubs of 12 and 8 mm.
const BRACKET: &str = r#""first_shaft": "80 mm", "slots": [{"from": "34 mm", "to": "70 mm"}],
    "least_stud_distance": "34 mm", "hub_radii": {"first": "12 mm", "stud": "8 mm", "last": "12 mm"}"#;
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
    lathe("Plain", &format!(r#""bracket": {{{BRACKET}}},"#), TUMBLER)
}

/// The picture of one train.
fn picture(folder: &Path, train: &str) -> String {
    let Run { out, err, .. } = run_in(folder, &["find", "1 mm", "--train", train, "-f", "svg"]);
    assert_eq!(err, "");
    out
}

fn number(node: Node<'_, '_>, name: &str) -> f64 {
    let text = node.attribute(name).unwrap_or_else(|| panic!("{name} of {node:?}"));
    text.parse().unwrap_or_else(|_| panic!("{name} is {text}"))
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 0.002
}

fn has_class(node: Node<'_, '_>, class: &str) -> bool {
    node.attribute("class").is_some_and(|all| all.split(' ').any(|one| one == class))
}

fn columns(words: &str) -> f64 {
    u32::try_from(words.chars().count()).unwrap().into()
}

/// A view with its scale and origin.
struct View<'a> {
    node: Node<'a, 'a>,
    scale: f64,
    right: f64,
    down: f64,
}

impl<'a> View<'a> {
    fn of(document: &'a Document<'a>, name: &str) -> Option<Self> {
        let class = format!("view-{name}");
        let node = document.descendants().find(|node| has_class(*node, &class))?;
        let [scale, right, down] =
            ["data-scale", "data-right", "data-down"].map(|name| number(node, name));
        Some(Self { node, scale, right, down })
    }

    /// On the paper, a place of the machine.
    fn at(&self, right: f64, up: f64) -> (f64, f64) {
        (self.right + self.scale * right, self.down - self.scale * up)
    }

    fn of_class(&self, class: &str) -> Vec<Node<'a, 'a>> {
        self.node.descendants().filter(|node| has_class(*node, class)).collect()
    }

    /// The shape whose own title this is.
    fn titled(&self, title: &str) -> Node<'a, 'a> {
        let titles = self.node.descendants().filter(|node| node.has_tag_name("title"));
        let found = titles.filter(|node| node.text() == Some(title)).collect::<Vec<_>>();
        assert_eq!(found.len(), 1, "{title}");
        found[0].parent().unwrap()
    }
}

/// Points of a path of straight strokes, stroke by stroke.
fn strokes(node: Node<'_, '_>) -> Vec<Vec<(f64, f64)>> {
    let point = |text: &str| {
        let (x, y) = text.trim_end_matches('Z').split_once(' ').unwrap();
        (x.parse().unwrap(), y.parse().unwrap())
    };
    let path = node.attribute("d").unwrap();
    path.split('M').skip(1).map(|stroke| stroke.split('L').map(point).collect()).collect()
}

fn texts<'a>(document: &'a Document<'a>) -> Vec<&'a str> {
    let texts = document.descendants().filter(|n| n.has_tag_name("text") && !has_class(*n, "halo"));
    texts.filter_map(|node| node.text()).collect()
}

fn says(svg: &str, words: &str) -> bool {
    texts(&Document::parse(svg).unwrap()).join(" ").contains(words)
}

/// Where the stud of 45-55+50-65 stands: 57.5 mm from the last shaft, 50 mm from the first.
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
        ("45 teeth, first, plane 1", "gear-driver", (0.0, 80.0), 45.0),
        ("55 teeth, stud 1, plane 1", "gear-driven", (right, up), 55.0),
        ("50 teeth, stud 1, plane 2", "gear-driver", (right, up), 50.0),
        ("65 teeth, last, plane 2", "gear-driven", (0.0, 0.0), 65.0),
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
    for word in
        ["45", "55", "50", "65", "first", "last", "stud 1, driven", "stud 1, drives", "57.5 mm"]
    {
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

/// The sense of an arrow: above zero is clockwise on the paper, where y runs down.
fn sense(points: &[(f64, f64)]) -> f64 {
    let middle = points.len() / 2;
    let [a, b, c] = [points[0], points[middle], points[points.len() - 1]];
    (b.0 - a.0) * (c.1 - b.1) - (b.1 - a.1) * (c.0 - b.0)
}

#[test]
fn arrows_turn_as_the_spindle_and_each_mesh_turn_them() {
    let turns = |headstock: &str, hand: &str| {
        let folder = lathe("Plain", &format!(r#""bracket": {{{BRACKET}}},"#), headstock);
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
    // Spindle forward is clockwise from the cover end; two meshes: the screw turns as the first gear.
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
        ("45 teeth, first, plane 1", 45.0),
        ("55 teeth, stud 1, plane 1", 55.0),
        ("50 teeth, stud 1, plane 2", 50.0),
        ("65 teeth, last, plane 2", 65.0),
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
    let spacer = strokes(edge.titled("last: spacer in plane 1")).remove(0);
    assert!(spacer.iter().all(|p| p.0 < last.0), "{spacer:?}");
    assert_eq!(edge.of_class("spacer").len(), 1);
    for word in
        ["headstock", "1 inboard", "2 outboard", "cover", "keyed together", "spacer inboard"]
    {
        assert!(texts(&document).contains(&word), "{word}");
    }
}

/// 20-80+20-80: the 80 on the stud reaches 41 mm, the hub 12 mm, the centres are 50 mm apart: an
/// overlap of 3 mm, and 1 mm of clearance.
#[test]
fn a_clash_is_crossed_hatched_and_measured() {
    let svg = picture(plain().path(), "20-80+20-80");
    let document = Document::parse(&svg).unwrap();
    let face = View::of(&document, "face").unwrap();
    let clash = face.of_class("clash");
    let shared = clash.iter().find(|n| n.attribute("d").unwrap().ends_with('Z')).unwrap();
    let (x, y) = face.at(0.0, 0.0);
    let gear = face.titled("80 teeth, stud 1, plane 1");
    let (sx, sy) = (number(gear, "cx"), number(gear, "cy"));
    for (px, py) in strokes(*shared).concat() {
        assert!((px - x).hypot(py - y) <= 12.0 * face.scale + 0.002, "in the hub");
        assert!((px - sx).hypot(py - sy) <= 41.0 * face.scale + 0.002, "in the gear");
    }
    // The cross stands in the middle of the overlap, from 9 to 12 mm.
    let cross = clash.iter().map(|n| strokes(*n)).find(|strokes| strokes.len() == 2).unwrap();
    let middle =
        (f64::midpoint(cross[0][0].0, cross[0][1].0), f64::midpoint(cross[0][0].1, cross[0][1].1));
    assert!(near((middle.0 - x).hypot(middle.1 - y), 10.5 * face.scale), "{middle:?}");
    let words = texts(&document);
    let title = document.root_element().children().find(|n| n.has_tag_name("title")).unwrap();
    assert_eq!(title.text(), Some("1 mm: 20-80+20-80 - DOES NOT FIT"));
    assert!(words.contains(&"DOES NOT FIT") && words.contains(&"4.0 mm too near"), "{words:?}");
    assert!(says(
        &svg,
        "80 on stud 1 is 4.0 mm short of clearing the hub of the last shaft: 3.0 overlap + 1.0 clearance."
    ));
    // What can't be set up gets no sizes to set.
    assert!(!words.contains(&"50.0 mm"), "{words:?}");
}

/// Three meshes cut the other hand: the train stands, but not for this.
#[test]
fn what_fits_and_does_not_serve_is_told_apart_from_what_does_not_fit() {
    let folder = lathe("No tumbler", &format!(r#""bracket": {{{BRACKET}}},"#), r#""tumbler": {}"#);
    let args = ["find", "1 mm", "--train", "45-55+50-65", "--hand", "left", "-f"];
    let Run { code, out, .. } = run_in(folder.path(), &[&args[..], &["svg"]].concat());
    assert_eq!(code, 1);
    assert!(says(&out, "CAN'T BE SET UP SO") && !says(&out, "DOES NOT FIT"));
    assert!(says(&out, "It cuts a right hand thread here, not a left one"));
    let json = run_in(folder.path(), &[&args[..], &["json"]].concat()).out;
    assert!(json.contains(r#""state": "fits""#) && json.contains(r#""kind": "hand""#), "{json}");
}

/// 25 mm and 32.5 mm bridge 57.5 mm of 80 mm.
#[test]
fn a_mesh_that_can_not_close_stands_open() {
    let svg = picture(plain().path(), "20-30+40-25");
    let document = Document::parse(&svg).unwrap();
    assert!(texts(&document).contains(&"22.5 mm open"), "{:?}", texts(&document));
    let face = View::of(&document, "face").unwrap();
    let line = face.of_class("gap").into_iter().find(|n| n.has_tag_name("path")).unwrap();
    let ends = strokes(line).remove(0);
    let length = (ends[0].0 - ends[1].0).hypot(ends[0].1 - ends[1].1);
    assert!(near(length, 22.5 * face.scale), "{length}");
}

/// The 55 on the stud reaches 28.5 mm and the hub of the last shaft 12 mm; 20 + 64 stand 42 mm apart.
#[test]
fn little_room_is_marked_with_its_size() {
    let svg = picture(plain().path(), "45-55+20-64");
    let document = Document::parse(&svg).unwrap();
    assert!(texts(&document).contains(&"1.5 mm"), "{:?}", texts(&document));
    let face = View::of(&document, "face").unwrap();
    let gaps = face.of_class("gap");
    assert!(gaps.iter().any(|n| n.has_tag_name("circle")), "{}", gaps.len());
    let roomy = picture(plain().path(), "45-55+50-65");
    let document = Document::parse(&roomy).unwrap();
    assert!(View::of(&document, "face").unwrap().of_class("gap").is_empty());
}

/// Whether a point lies in an outline: a ray to the right crosses it an odd number of times.
fn inside(outline: &[(f64, f64)], (x, y): (f64, f64)) -> bool {
    let next = outline.iter().cycle().skip(1);
    let crossed = outline.iter().zip(next).filter(|((ax, ay), (bx, by))| {
        (*ay > y) != (*by > y) && x < ax + (y - ay) / (by - ay) * (bx - ax)
    });
    crossed.count() % 2 == 1
}

/// Brackets of every make; the stud must lie in its slot as drawn.
#[test]
fn the_stud_stands_in_the_slot_as_drawn() {
    let slots = [
        r#""first_shaft": "80 mm", "slots": [{"from": "30 mm", "to": "75 mm"}]"#,
        r#""first_shaft": "80 mm", "slots": [{"from": "30 mm", "to": "75 mm", "angle": 25, "offset": "12 mm"}]"#,
        r#""first_shaft": "80 mm", "slots": [{"from": "30 mm", "to": "75 mm", "angle": -40, "offset": "-9 mm"}]"#,
        r#""first_shaft": {"right": "-30 mm", "up": "70 mm"}, "slots": [{"from": "30 mm", "to": "75 mm", "angle": 10}]"#,
        r#""first_shaft": "80 mm", "pivot": "first", "slots": [{"from": "30 mm", "to": "75 mm", "offset": "5 mm"}]"#,
        r#""first_shaft": "80 mm", "pivot": {"right": "-60 mm", "up": "20 mm"}, "slots": [{"from": "60 mm", "to": "130 mm"}]"#,
        r#""first_shaft": "80 mm", "slots": [{"arc": {"along": "50 mm", "across": "-20 mm", "radius": "30 mm", "from": -80, "to": 140}}]"#,
        r#""first_shaft": "80 mm", "slots": [{"at": "57.5 mm", "angle": 20}]"#,
    ];
    for slot in slots {
        let folder = lathe("Any", &format!(r#""bracket": {{{slot}}},"#), TUMBLER);
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
    let folder = lathe("Full", &format!(r#""bracket": {{{BRACKET}, {surroundings}}},"#), TUMBLER);
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

#[test]
fn odd_names_are_escaped_and_come_back_whole() {
    let name = r#"Ä <b> & \"two\" 'x' 宽 \u0007 \ufffe ]]>"#;
    let folder = lathe(name, &format!(r#""bracket": {{{BRACKET}}},"#), TUMBLER);
    let svg = picture(folder.path(), "45-55+50-65");
    let document = Document::parse(&svg).unwrap();
    let words = texts(&document);
    let wanted = "Ä <b> & \"two\" 'x' 宽 \u{fffd} \u{fffd} ]]>";
    assert!(words.contains(&wanted), "{words:?}");
    let root = document.root_element();
    assert_eq!(root.tag_name().namespace(), Some("http://www.w3.org/2000/svg"));
    assert_eq!(root.attribute("role"), Some("img"));
    let first = |name: &str| root.children().find(|n| n.has_tag_name(name)).unwrap().text();
    assert_eq!(first("title"), Some("1 mm: 45-55+50-65"));
    assert!(first("desc").unwrap().contains("stud 1: 55 in plane 1 and 50 in plane 2"));
}

/// 1/36 of the width is 10 pixels on a phone of 360.
#[test]
fn letters_are_large_enough_and_stay_on_the_paper() {
    for train in ["45-55+50-65", "20-80+20-80", "20-30+40-25", "45-70-65"] {
        let svg = picture(plain().path(), train);
        let document = Document::parse(&svg).unwrap();
        let sheet: Vec<f64> = document
            .root_element()
            .attribute("viewBox")
            .unwrap()
            .split(' ')
            .map(|n| n.parse().unwrap())
            .collect();
        let (width, height) = (sheet[2], sheet[3]);
        for text in document.descendants().filter(|n| n.has_tag_name("text")) {
            let size = number(text, "font-size");
            assert!(size * 36.0 >= width, "{size}");
            let words = text.text().unwrap();
            let long = columns(words) * size * 0.5;
            let x = number(text, "x");
            let (left, right) = match text.attribute("text-anchor").unwrap() {
                "start" => (x, x + long),
                "middle" => (x - long / 2.0, x + long / 2.0),
                _ => (x - long, x),
            };
            assert!(left >= -1.0 && right <= width + 1.0, "{words}: {left} to {right}");
            assert!((0.0..=height).contains(&number(text, "y")), "{words}");
        }
    }
}

/// Width and height of the boxes are an average letter's: half as wide as high.
#[test]
fn no_tooth_count_hides_another() {
    let mut seen = 0;
    for (machine, train) in [
        ("dinghy", "20-80+63-50"),
        ("ketch", "20-75+20-80+40-80"),
        ("ketch", "20-80+20-95"),
        ("tug", "60-70-60"),
        ("tug", "30-70-60"),
        ("dinghy", "20-80+80-40"),
    ] {
        let args = ["find", "1 mm", "--lathe", machine, "--train", train, "-f", "svg"];
        let svg = run(&args).out;
        let document = Document::parse(&svg).unwrap();
        for view in ["face", "edge"] {
            let view = View::of(&document, view).unwrap();
            let counts = view.node.descendants().filter(|n| {
                let number = n.text().is_some_and(|text| text.parse::<u16>().is_ok());
                n.has_tag_name("text") && !has_class(*n, "halo") && number
            });
            let boxes: Vec<(f64, f64, f64, f64)> = counts
                .filter(|n| n.attribute("font-weight").is_some())
                .map(|n| {
                    let (size, letters) = (number(n, "font-size"), columns(n.text().unwrap()));
                    (number(n, "x"), number(n, "y"), letters * size * 0.5, size * 0.72)
                })
                .collect();
            seen += boxes.len();
            for (i, a) in boxes.iter().enumerate() {
                for b in &boxes[..i] {
                    let apart = (a.0 - b.0).abs() >= f64::midpoint(a.2, b.2)
                        || (a.1 - b.1).abs() >= f64::midpoint(a.3, b.3);
                    assert!(apart, "{machine} {train}: {a:?} and {b:?}");
                }
            }
        }
    }
    assert!(seen >= 40, "{seen} counts");
}

#[test]
fn without_a_bracket_there_is_the_edge_view_alone() {
    let folder = lathe("Bare", "", TUMBLER);
    let svg = picture(folder.path(), "45-55+50-65");
    let document = Document::parse(&svg).unwrap();
    assert!(View::of(&document, "face").is_none() && View::of(&document, "edge").is_some());
    assert!(texts(&document).contains(&"Bracket not described: no face view."));
    let unchecked = ["find", "1 mm", "--no-fit", "-f", "svg"];
    let unchecked = run_in(plain().path(), &unchecked).out;
    assert!(says(&unchecked, "Fit not checked: no face view."));
    // A pair takes two planes.
    let flat = format!(r#""bracket": {{{BRACKET}, "planes": 1}},"#);
    let flat = picture(lathe("Flat", &flat, TUMBLER).path(), "45-55+50-65");
    assert!(says(&flat, "DOES NOT FIT") && says(&flat, "No place for its shafts: no face view."));
}

#[test]
fn several_targets_stand_one_below_the_other() {
    let folder = plain();
    let svg = run_in(folder.path(), &["find", "1 mm", "1.5 mm", "-f", "svg"]).out;
    let document = Document::parse(&svg).unwrap();
    let sheets: Vec<_> = document.descendants().filter(|n| has_class(*n, "sheet")).collect();
    assert_eq!(sheets.len(), 2);
    assert_eq!(sheets[0].attribute("transform"), Some("translate(0 0)"));
    let down = sheets[1].attribute("transform").unwrap();
    let down: f64 = down.trim_start_matches("translate(0 ").trim_end_matches(')').parse().unwrap();
    let low = sheets[0].descendants().filter(|n| n.has_tag_name("text"));
    assert!(low.map(|n| number(n, "y")).all(|y| y < down) && down < number_of_height(&document));
    assert_eq!(svg, run_in(folder.path(), &["find", "1 mm", "1.5 mm", "-f", "svg"]).out);
}

fn number_of_height(document: &Document<'_>) -> f64 {
    document.root_element().attribute("height").unwrap().trim_end_matches("mm").parse().unwrap()
}

#[test]
fn the_cautions_and_the_source_of_the_distances_are_on_every_sheet() {
    let svg = picture(plain().path(), "45-55+50-65");
    for words in [
        "Isolate the machine before you open the cover; covers back on before power.",
        "Distances from the lathe file: check with a strip of paper between the teeth.",
        "from the cover end; operator",
        "cuts ~0.999126 mm = ~25.4222 TPI, right hand; error: -874.1 ppm",
        "set tumbler up",
    ] {
        assert!(says(&svg, words), "{words}");
    }
}

#[test]
fn the_scale_bar_is_as_long_as_it_says() {
    let svg = picture(plain().path(), "45-55+50-65");
    let document = Document::parse(&svg).unwrap();
    let face = View::of(&document, "face").unwrap();
    let words = texts(&document).into_iter().find(|t| t.contains("mm, scale ")).unwrap();
    let (size, scale) = words.split_once(" mm, scale ").unwrap();
    let (paper, machine) = scale.split_once(':').unwrap();
    let [size, paper, machine] = [size, paper, machine].map(|n| n.parse::<f64>().unwrap());
    assert!(near(paper / machine, face.scale));
    let long = |n: &Node<'_, '_>| {
        let stroke = strokes(*n).remove(0);
        near((stroke[0].0 - stroke[1].0).abs(), size * face.scale) && strokes(*n).len() == 3
    };
    assert!(face.of_class("dimension").iter().any(long));
}

#[test]
fn a_picture_goes_beside_the_answer_whole_or_not_at_all() {
    let folder = plain();
    let args = ["find", "1 mm", "--drawing", "a.svg"];
    let Run { code, out, err } = run_in(folder.path(), &args);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(out.contains("Fewest gears first"));
    let svg = std::fs::read_to_string(folder.path().join("a.svg")).unwrap();
    assert_eq!(svg, run_in(folder.path(), &["find", "1 mm", "-f", "svg"]).out);
    let again = run_in(folder.path(), &args);
    assert_eq!((again.code, again.out.as_str()), (2, ""));
    assert!(again.err.contains("a.svg exists") && again.err.contains("--force"), "{}", again.err);
    let forced = run_in(folder.path(), &[&args[..], &["--force"]].concat());
    assert_eq!(forced.code, 0);
    let by_ending = run_in(folder.path(), &["find", "1 mm", "-o", "b.svg"]);
    assert_eq!((by_ending.code, by_ending.out.as_str()), (0, ""));
    assert_eq!(std::fs::read_to_string(folder.path().join("b.svg")).unwrap(), svg);
    let missing = run_in(folder.path(), &["find", "1 mm", "--drawing", "no/a.svg"]);
    assert_eq!((missing.code, missing.out.as_str()), (74, ""));
    assert_eq!(names(folder.path()), ["a.svg", "b.svg", "lathe.json"]);
    let same = run_in(folder.path(), &["find", "1 mm", "-o", "c", "--drawing", "c"]);
    assert!(same.code == 2 && same.err.contains("the answer goes there"), "{}", same.err);
    assert_eq!(run(&["threads", "m10", "-f", "svg"]).code, 2);
}

#[test]
fn the_rank_says_which_answer_is_drawn() {
    let folder = plain();
    let title = |more: &[&'static str]| {
        let svg = run_in(folder.path(), &[&["find", "1 mm", "-f", "svg"], more].concat()).out;
        let document = Document::parse(&svg).unwrap();
        texts(&document)[0].to_string()
    };
    let csv = run_in(folder.path(), &["find", "1 mm", "-f", "csv"]).out;
    let trains: Vec<&str> = csv.lines().skip(1).map(|l| l.split(',').nth(2).unwrap()).collect();
    for (rank, number) in [(0, "1"), (2, "3")] {
        let wanted = format!("1 mm: {}", trains[rank]);
        let args: &[&'static str] = if number == "1" { &["--rank", "1"] } else { &["--rank", "3"] };
        assert_eq!(title(args), wanted);
    }
    let past = run_in(folder.path(), &["find", "1 mm", "--rank", "6"]);
    assert_eq!(past.code, 2);
    assert!(past.err.contains("--rank 6: only 5 answers are listed"), "{}", past.err);
}

#[test]
fn what_nothing_answers_is_drawn_with_what_is_in_the_way() {
    let tight =
        r#""bracket": {"first_shaft": "400 mm", "slots": [{"from": "34 mm", "to": "70 mm"}]},"#;
    let folder = lathe("Tight", tight, TUMBLER);
    let Run { code, out, .. } = run_in(folder.path(), &["find", "1 mm", "-f", "svg"]);
    assert_eq!(code, 1);
    let document = Document::parse(&out).unwrap();
    assert!(texts(&document).contains(&"DOES NOT FIT"), "{:?}", texts(&document));
    // The hand can't be had: nothing is closer either.
    let none = lathe("None", "", r#""tumbler": {"up": "opposite"}"#);
    let args = ["find", "1 mm", "-f", "svg", "--gears", "25,60", "--studs", "0"];
    let Run { code, out, .. } = run_in(none.path(), &args);
    let document = Document::parse(&out).unwrap();
    assert!(code <= 1 && !texts(&document).is_empty());
}

/// The same in letters, for a terminal.
#[test]
fn the_page_says_where_the_stud_goes_and_shows_the_edge_view() {
    let folder = plain();
    let out = run_in(folder.path(), &["find", "1 mm", "--train", "45-55+50-65"]).out;
    for words in [
        "It fits.",
        "stud 1    57.5 mm from the pivot along the slot",
        "swing     the arm ~38.4° clockwise from the line between the shafts",
        "tightest  50 on stud 1 clears the hub of the first shaft by 12.0 mm",
        "\n  plane    1 inboard  2 outboard\n  first    45                    inboard\n           |\n  \
         stud 1   55 ======= 50         keyed together\n                      |\n  \
         last     [spacer]   65         spacer inboard\n",
    ] {
        assert!(out.contains(words), "{words}\n{out}");
    }
    for lathe in ["dinghy", "ketch", "tug"] {
        let out = run(&["find", "1 mm", "--lathe", lathe]).out;
        let at = out.find("\n  plane ").unwrap_or_else(|| panic!("{lathe}: {out}"));
        for line in out[at + 1..].lines().take_while(|line| !line.is_empty()) {
            assert!(line.chars().count() <= 60, "{line}");
        }
    }
}
