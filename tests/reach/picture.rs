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

/// Marks as they are drawn: state, side, height, each to a hundredth of a mm.
fn marks(svg: &Document<'_>) -> Vec<(&'static str, bool, i64)> {
    let (_, bottom) = axis(svg);
    let middle = |node: Node<'_, '_>| {
        if node.has_tag_name("circle") {
            return (number(node, "cx"), number(node, "cy"));
        }
        let points = points(node);
        let count = f64::from(u32::try_from(points.len()).unwrap());
        let sum = |of: fn(&(f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / count;
        (sum(|p| p.0), sum(|p| p.1))
    };
    let classes =
        [("exact", "exact"), ("near", "near"), ("missed", "missed"), ("unsure", "too close")];
    let mut all = Vec::new();
    let mut places: Vec<(&str, f64, f64)> = Vec::new();
    for (class, state) in classes {
        // Below the axis is the legend.
        for (x, y) in of_class(svg, class).map(middle).filter(|at| at.1 <= bottom + 0.01) {
            all.push((state, x > 90.0, hundredths(y)));
            places.push((state, x, y));
        }
    }
    // A mark lies 1.2 mm to each side of its middle: no other covers it.
    for (i, a) in places.iter().enumerate() {
        for b in &places[i + 1..] {
            assert!((a.1 - b.1).hypot(a.2 - b.2) > 2.4, "{a:?} {b:?}");
        }
    }
    all.sort_unstable();
    all
}

#[expect(clippy::cast_possible_truncation, reason = "a sheet of paper")]
fn hundredths(mm: f64) -> i64 {
    (mm * 100.0).round() as i64
}

/// 1.25 mm, which is missed, was drawn under the rings of pitches beside it that are met.
#[test]
fn a_picture_marks_as_met_what_the_list_says_is_met() {
    let mut drawn = 20_261_130_u64;
    let mut draw = |below: u32| {
        drawn =
            drawn.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        u32::try_from(drawn >> 33).unwrap() % below
    };
    let mut seen = [0; 3];
    for _ in 0..14 {
        let teeth: Vec<String> = (0..5 + draw(9)).map(|_| (20 + draw(70)).to_string()).collect();
        let (gears, screw) =
            (teeth.join(","), ["8tpi", "3mm", "6mm", "10tpi"][usize::try_from(draw(4)).unwrap()]);
        let from = 20 + draw(200);
        let to = format!("{} mm", f64::from(from + 10 + draw(400)) / 100.0);
        let from = format!("{} mm", f64::from(from) / 100.0);
        let within = ["20ppm", "200ppm", "1%"][usize::try_from(draw(3)).unwrap()];
        let own = ["--gears", &gears, "--screw", screw, "--studs", "1", "--no-fit"];
        let demo =
            ["--lathe", ["dinghy", "skiff", "ketch", "tug"][usize::try_from(draw(4)).unwrap()]];
        let lathe: &[&str] = if draw(3) == 0 { &demo } else { &own };
        let args = [lathe, &["--from", &from, "--to", &to, "--within", within]].concat();
        let run = reach(&[&args[..], &["-f", "json", "-q"]].concat());
        let found: serde_json::Value = serde_json::from_str(&run.out).unwrap();
        let standards = found["summary"]["standards"].as_array().unwrap();
        let text = reach(&[&args[..], &["-f", "svg", "-q"]].concat()).out;
        let svg = Document::parse(&text).unwrap();
        if of_class(&svg, "scale").next().is_none() {
            continue;
        }
        let (top, bottom) = axis(&svg);
        let mm = |of: &str| of.trim_end_matches(" mm").parse::<f64>().unwrap();
        let (low, high) = (mm(&from).ln(), mm(&to).ln());
        let fraction = |text: &str| {
            let (n, d) = text.split_once('/').unwrap_or((text, "1"));
            (n.parse::<f64>().unwrap(), d.parse::<f64>().unwrap())
        };
        let allowed = fraction(found["asked"]["within"].as_str().unwrap());
        let mut wanted = Vec::new();
        for standard in standards {
            let state = standard["state"].as_str().unwrap();
            // What the list says is what its own figures say.
            let ppm = standard["nearest"]["error_ppm"].as_f64().map_or(f64::MAX, f64::abs);
            let met = ppm <= allowed.0 / allowed.1 * 1e6 + 1e-9;
            assert_eq!(met, ["exact", "near"].contains(&state), "{standard}");
            let (n, d) = fraction(standard["lead_mm"].as_str().unwrap());
            let pi = standard["pi"] == 1;
            let lead = n / d * if pi { std::f64::consts::PI } else { 1.0 };
            let place = (lead.ln() - low) / (high - low) * (bottom - top) + top;
            let state = ["exact", "near", "missed"].into_iter().find(|s| *s == state).unwrap();
            seen[["exact", "near", "missed"].iter().position(|s| *s == state).unwrap()] += 1;
            wanted.push((state, !pi && n % 127.0 == 0.0, hundredths(place)));
        }
        wanted.sort_unstable();
        let marks = marks(&svg);
        assert_eq!(marks.len(), wanted.len(), "{args:?}");
        for (mark, wanted) in marks.iter().zip(&wanted) {
            let same = (mark.0, mark.1) == (wanted.0, wanted.1) && (mark.2 - wanted.2).abs() <= 1;
            assert!(same, "{args:?}: {mark:?}, {wanted:?}");
        }
        // And the page counts what is drawn.
        let page = reach(&[&args[..], &["-f", "markdown"]].concat()).out;
        let met = wanted.iter().filter(|mark| mark.0 != "missed").count();
        let said = format!("{met} of {} met", wanted.len());
        assert!(wanted.is_empty() || page.contains(&said), "{said}: {page}");
    }
    assert!(seen.iter().all(|n| *n > 20), "{seen:?}");
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
