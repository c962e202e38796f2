//! The picture, read back: a stroke where there is a lead, a mark for each standard pitch at its
//! place, and labels that can be read.

use super::{document, reach};
use roxmltree::{Document, Node};

fn number(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap().parse().unwrap()
}

/// Points of a path of strokes and lines.
fn points(node: Node<'_, '_>) -> Vec<(f64, f64)> {
    let path = node.attribute("d").unwrap().replace(['M', 'L', 'Z'], " ");
    let numbers: Vec<f64> = path.split_whitespace().map(|n| n.parse().unwrap()).collect();
    numbers.chunks(2).map(|pair| (pair[0], pair[1])).collect()
}

fn of_class<'a>(svg: &'a Document<'a>, class: &'a str) -> impl Iterator<Item = Node<'a, 'a>> {
    svg.descendants().filter(move |node| node.attribute("class") == Some(class))
}

/// Words with where they stand, without the white below them.
fn texts<'a>(svg: &'a Document<'a>) -> Vec<Node<'a, 'a>> {
    svg.descendants()
        .filter(|node| node.has_attribute("data-part") && node.has_tag_name("text"))
        .collect()
}

/// Upper and lower end of the axis: the frame.
fn axis(svg: &Document<'_>) -> (f64, f64) {
    let frame = points(of_class(svg, "scale").next().unwrap());
    let downs = || frame.iter().map(|point| point.1);
    (downs().fold(f64::MAX, f64::min), downs().fold(f64::MIN, f64::max))
}

#[test]
fn a_stroke_stands_where_there_is_a_lead() {
    let span = ["--lathe", "ketch", "--from", "1 mm", "--to", "1.2 mm"];
    let found = document(&span);
    let text = reach(&[&span[..], &["-f", "svg", "-q"]].concat()).out;
    let svg = Document::parse(&text).unwrap();
    let (top, bottom) = axis(&svg);
    let place = |mm: f64| top + mm.ln() / 1.2_f64.ln() * (bottom - top);
    let strokes = points(of_class(&svg, "lead").next().unwrap());
    let strokes: Vec<f64> = strokes.iter().step_by(2).map(|point| point.1).collect();
    let leads = found["leads"].as_array().unwrap();
    let places: Vec<f64> =
        leads.iter().map(|lead| place(lead["lead_mm_rounded"].as_f64().unwrap())).collect();
    assert!(strokes.len() > 100 && strokes.len() <= places.len());
    // No lead is farther from a stroke than the pen is wide, and no stroke from a lead.
    let near = |all: &[f64], at: f64| all.iter().any(|other| (other - at).abs() < 0.12);
    assert!(places.iter().all(|place| near(&strokes, *place)));
    assert!(strokes.iter().all(|stroke| near(&places, *stroke)));
}

#[test]
fn a_mark_stands_for_each_standard_pitch() {
    let found = document(&["--lathe", "dinghy"]);
    let text = reach(&["--lathe", "dinghy", "-f", "svg", "-q"]).out;
    let svg = Document::parse(&text).unwrap();
    let standards = found["summary"]["standards"].as_array().unwrap();
    for (class, state) in [("exact", "exact"), ("near", "near"), ("missed", "missed")] {
        let wanted = standards.iter().filter(|s| s["state"] == state).count();
        assert!(wanted > 10);
        // One more in the legend.
        assert_eq!(of_class(&svg, class).count(), wanted + 1, "{state}");
    }
    // 20 TPI is 1.27 mm, cut exactly: its mark is level with it.
    let (top, bottom) = axis(&svg);
    let place = top + (1.27_f64 / 0.2).ln() / (6.35_f64 / 0.2).ln() * (bottom - top);
    let level = |node: Node<'_, '_>| (number(node, "cy") - place).abs() < 0.01;
    assert!(of_class(&svg, "exact").any(level));
}

#[test]
fn labels_do_not_overlap() {
    for lathe in ["dinghy", "ketch", "tug"] {
        let spans: [&[&str]; 4] =
            [&[], &["--from", "1 mm", "--to", "1.5 mm"], &["--from", "10 mm"], &["--feeds"]];
        for span in spans {
            let text = reach(&[&["--lathe", lathe, "-f", "svg", "-q"], span].concat()).out;
            let svg = Document::parse(&text).unwrap();
            let root = svg.root_element();
            let size: Vec<f64> =
                root.attribute("viewBox").unwrap().split(' ').map(|n| n.parse().unwrap()).collect();
            let boxes: Vec<[f64; 4]> = texts(&svg).into_iter().map(room).collect();
            assert!(boxes.len() > 3);
            for (i, a) in boxes.iter().enumerate() {
                assert!(
                    a[0] >= 0.0 && a[2] <= size[2] && a[3] <= size[3],
                    "{lathe} {span:?}: {a:?}"
                );
                for b in &boxes[i + 1..] {
                    let apart = a[2] <= b[0] || b[2] <= a[0] || a[3] <= b[1] || b[3] <= a[1];
                    assert!(apart, "{lathe} {span:?}: {a:?} {b:?}");
                }
            }
        }
    }
}

/// Left, top, right, bottom of words: letters are 0.56 of their height wide on the average, in Arial.
fn room(node: Node<'_, '_>) -> [f64; 4] {
    let words = node.text().unwrap_or_default();
    let height = number(node, "font-size");
    let count: f64 = u32::try_from(words.chars().count()).unwrap().into();
    let wide = count * height * 0.56;
    let (x, y) = (number(node, "x"), number(node, "y"));
    let left = match node.attribute("text-anchor") {
        Some("end") => x - wide,
        Some("middle") => x - wide / 2.0,
        _ => x,
    };
    [left, y - height * 0.75, left + wide, y + height * 0.2]
}
