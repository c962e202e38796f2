//! Is the sheet one that can be read and printed, with the words around the picture, and the file whole?

use super::svg::{View, columns, has_class, near, number, says, strokes, texts};
use super::{BRACKET, TUMBLER, lathe, picture, plain};
use crate::util::{Run, names, run, run_in};
use roxmltree::{Document, Node};

#[test]
fn odd_names_are_escaped_and_come_back_whole() {
    let name = r#"Ä <b> & \"two\" 'x' 宽 \u0007 \ufffe ]]>"#;
    let folder = lathe(name, &format!(r#""banjo": {{{BRACKET}}},"#), TUMBLER);
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

/// A box of words: left, right, low and high end, as wide as in `DejaVu Sans`, whose letters are wide.
fn box_of(text: &Node<'_, '_>) -> [f64; 4] {
    let (x, y, size) = (number(*text, "x"), number(*text, "y"), number(*text, "font-size"));
    let letter = if text.attribute("font-weight").is_some() { 0.64 } else { 0.54 };
    let wide = columns(text.text().unwrap()) * size * letter;
    let left = match text.attribute("text-anchor").unwrap() {
        "start" => x,
        "middle" => x - wide / 2.0,
        _ => x - wide,
    };
    [left, left + wide, y, y - size * 0.72]
}

#[test]
fn no_words_of_a_picture_hide_others() {
    let mut seen = 0;
    for (machine, train) in [
        ("dinghy", "24-80+63-48"),
        ("dinghy", "24-76+80-40"),
        ("dinghy", "28-64+36-80"),
        ("dinghy", "48-64+63-80"),
        ("ketch", "20-75+20-80+40-80"),
        ("ketch", "20-80+20-95"),
        ("ketch", "20-75-80"),
        ("ketch", "40-75-80"),
        ("tug", "60-70-60"),
        ("tug", "30-70-60"),
        ("tug", "60-127+120-60"),
        ("tug", "40-127+120-60"),
    ] {
        let args = ["find", "1 mm", "--lathe", machine, "--train", train, "-f", "svg"];
        let svg = run(&args).out;
        let document = Document::parse(&svg).unwrap();
        let words = document
            .descendants()
            .filter(|n| n.has_tag_name("text") && !has_class(*n, "halo"))
            .map(|n| (n.text().unwrap(), box_of(&n)));
        let words: Vec<_> = words.collect();
        seen += words.len();
        for (i, (a, [left, right, low, high])) in words.iter().enumerate() {
            for (b, other) in &words[..i] {
                let apart = *left >= other[1]
                    || *right <= other[0]
                    || *low <= other[3]
                    || *high >= other[2];
                assert!(apart, "{machine} {train}: {a} and {b}");
            }
        }
    }
    assert!(seen >= 240, "{seen} words");
}

/// Its lines are no longer than the arm: 24-76+24-80 on the dinghy has a short one.
#[test]
fn the_pointer_stays_within_the_arm() {
    let bracket = r#""driving_shaft": "80 mm", "slots": [{"from": "34 mm", "to": "51 mm"}]"#;
    let folder = lathe("Short", &format!(r#""banjo": {{{bracket}}},"#), TUMBLER);
    let svg = picture(folder.path(), "45-55+20-64");
    let document = Document::parse(&svg).unwrap();
    let face = View::of(&document, "face").unwrap();
    let (x, y) = face.at(0.0, 0.0);
    let from_pivot = |n: &Node<'_, '_>| n.has_tag_name("path") && near(strokes(*n)[0][0].0, x);
    let lines = face.of_class("dimension").into_iter().filter(from_pivot);
    let lines = lines.map(|n| strokes(n).remove(0)).filter(|line| near(line[0].1, y));
    let long: Vec<f64> = lines.map(|l| (l[1].0 - l[0].0).hypot(l[1].1 - l[0].1)).collect();
    assert!(long.len() > 1, "{long:?}");
    assert!(long.iter().all(|long| *long <= 51.0 * face.scale + 0.01), "{long:?}");
}

#[test]
fn several_views_stand_one_below_the_other() {
    let folder = plain();
    let svg = run_in(folder.path(), &["card", "1 mm", "-f", "svg"]).out;
    let document = Document::parse(&svg).unwrap();
    let sheets: Vec<_> = document.descendants().filter(|n| has_class(*n, "sheet")).collect();
    assert_eq!(sheets.len(), 2);
    assert_eq!(sheets[0].attribute("transform"), Some("translate(0 0)"));
    let down = sheets[1].attribute("transform").unwrap();
    let down: f64 = down.trim_start_matches("translate(0 ").trim_end_matches(')').parse().unwrap();
    let low = sheets[0].descendants().filter(|n| n.has_tag_name("text"));
    assert!(low.map(|n| number(n, "y")).all(|y| y < down) && down < number_of_height(&document));
    assert_eq!(svg, run_in(folder.path(), &["card", "1 mm", "-f", "svg"]).out);
}

#[test]
fn one_picture_is_of_one_target() {
    let folder = plain();
    let hint = "try: name one target, or --output x.html for all of them";
    for more in [&["-f", "svg"][..], &["-o", "both.svg"], &["--drawing", "both.svg"]] {
        let refused = run_in(folder.path(), &[&["find", "1 mm", "1.5 mm"], more].concat());
        assert_eq!((refused.code, refused.out.as_str()), (2, ""), "{more:?}");
        let lines: Vec<&str> = refused.err.lines().collect();
        assert_eq!(lines.len(), 2, "{}", refused.err);
        assert!(lines[0].contains("a picture is of one target, not of several"), "{}", lines[0]);
        assert_eq!(lines[1], hint);
    }
    assert_eq!(names(folder.path()), ["lathe.json"]);
    let page = run_in(folder.path(), &["find", "1 mm", "1.5 mm", "-f", "html"]).out;
    assert_eq!(page.matches("<svg class=\"drawing\"").count(), 4, "two views each");
}

fn number_of_height(document: &Document<'_>) -> f64 {
    document.root_element().attribute("height").unwrap().trim_end_matches("mm").parse().unwrap()
}

#[test]
fn the_cautions_and_the_source_of_the_distances_are_on_every_sheet() {
    let svg = picture(plain().path(), "45-55+50-65");
    for words in [
        "Unplug or lock off the lathe before opening the cover.",
        "Distances from the lathe file: check with a strip of paper between the teeth.",
        "from the cover end; operator",
        "cuts ~0.999126 mm = ~25.4222 TPI, right hand; error: -874 ppm",
        "set tumbler up",
    ] {
        assert!(says(&svg, words), "{words}");
    }
}

#[test]
fn the_scale_bar_is_as_long_as_it_says_and_no_ratio_is_claimed() {
    let svg = picture(plain().path(), "45-55+50-65");
    let document = Document::parse(&svg).unwrap();
    let face = View::of(&document, "face").unwrap();
    // A length alone: `50 mm`. Paper scales, so that "1:2" would be false.
    let bare = |t: &&str| t.strip_suffix(" mm").is_some_and(|n| n.parse::<f64>().is_ok());
    let words = face.node.descendants().filter(|n| n.has_tag_name("text"));
    let size = words.filter_map(|node| node.text()).rfind(bare).unwrap();
    let size: f64 = size.trim_end_matches(" mm").parse().unwrap();
    assert!(texts(&document).iter().all(|t| !t.contains("scale ")));
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
    assert!(out.contains("\n  train "), "{out}");
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

/// On a page the words stand beside the picture, in the letters of the page; a file of it has all on it.
#[test]
fn a_page_has_the_views_alone_with_the_words_beside_them() {
    let folder = plain();
    let page = run_in(folder.path(), &["find", "1 mm", "-o", "x.html", "--drawing", "x.svg"]);
    assert_eq!(page.code, 0, "{}", page.err);
    let read = |name| std::fs::read_to_string(folder.path().join(name)).unwrap();
    let (page, sheet) = (read("x.html"), read("x.svg"));
    let first = page.find("<svg").unwrap();
    let caution = page.find("Unplug or lock off the lathe").unwrap();
    assert!(caution < first, "the caution comes before the picture");
    assert_eq!(page.matches("Unplug or lock off").count(), 1);
    let last = page.rfind("</svg>").unwrap();
    assert!(page[last..].contains("Arrows: spindle forward, which is clockwise here."), "{page}");
    let words = |text: &str| text.contains(">Unplug or lock off the lathe before");
    assert!(words(&sheet) && !words(&page[first..last]), "{sheet}");
}
