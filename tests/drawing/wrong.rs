//! Is what does not fit, or can't be drawn, shown for what it is?

use super::svg::{View, near, number, says, strokes, texts};
use super::{BRACKET, TUMBLER, lathe, picture, plain};
use crate::util::{Run, run_in};
use roxmltree::Document;

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
        "80 on stud 1 is 4.0 mm short of clearing the hub of the lead screw: 3.0 overlap + 1.0 clearance."
    ));
    // What can't be set up gets no sizes to set.
    assert!(!words.contains(&"50.0 mm"), "{words:?}");
}

/// Three meshes cut the other hand: the train stands, but not for this.
#[test]
fn what_fits_and_does_not_serve_is_told_apart_from_what_does_not_fit() {
    let folder = lathe("No tumbler", &format!(r#""banjo": {{{BRACKET}}},"#), r#""tumbler": {}"#);
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

/// The 55 on the stud reaches 28.5 mm and the hub of the lead screw 12 mm; 20 + 64 stand 42 mm apart.
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

#[test]
fn without_a_bracket_there_is_the_edge_view_alone() {
    let folder = lathe("Bare", "", TUMBLER);
    let svg = picture(folder.path(), "45-55+50-65");
    let document = Document::parse(&svg).unwrap();
    assert!(View::of(&document, "face").is_none() && View::of(&document, "edge").is_some());
    assert!(texts(&document).contains(&"Banjo not described: no face view."));
    let unchecked = ["find", "1 mm", "--no-fit", "-f", "svg"];
    let unchecked = run_in(plain().path(), &unchecked).out;
    assert!(says(&unchecked, "Fit not checked: no face view."));
    // A pair takes two planes.
    let flat = format!(r#""banjo": {{{BRACKET}, "planes": 1}},"#);
    let flat = picture(lathe("Flat", &flat, TUMBLER).path(), "45-55+50-65");
    assert!(says(&flat, "DOES NOT FIT") && says(&flat, "No place for its shafts: no face view."));
}

#[test]
fn what_nothing_answers_is_drawn_with_what_is_in_the_way() {
    let tight =
        r#""banjo": {"driving_shaft": "400 mm", "slots": [{"from": "34 mm", "to": "70 mm"}]},"#;
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
