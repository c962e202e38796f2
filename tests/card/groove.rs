//! Does the depth leave the pitch diameter that is aimed at, and do the passes take off as much as they
//! say? The tool is drawn here as points and laid into the blank; widths and areas are read off the
//! drawing.

use super::{card, near, number, words};
use crate::util::{one_line, run};
use serde_json::Value;
use solver::cutting::{Against, Blank, Cut, Form, Ground, Side, Tip};
use solver::tolerance::{Limits, Standard};
use solver::{Length, Target, Thread, thread};

/// Right half of a tool, from its end up: x is half its width, y the height above its end.
struct Drawn(Vec<(f64, f64)>);

/// Points on the nose.
const POINTS: u32 = 400;

impl Drawn {
    /// A circle about (0, r) and the line that leaves it at the flank's angle: its normal points down by
    /// that angle.
    fn nose(radius: f64, degrees: f64) -> Self {
        let angle = degrees.to_radians();
        let end = std::f64::consts::FRAC_PI_2 - angle;
        let mut points: Vec<(f64, f64)> = (0..=POINTS)
            .map(|i| end * f64::from(i) / f64::from(POINTS))
            .map(|turned| (radius * turned.sin(), radius - radius * turned.cos()))
            .collect();
        points.push(flank(points[points.len() - 1], angle));
        Self(points)
    }

    fn flat(width: f64, degrees: f64) -> Self {
        let corner = (width / 2.0, 0.0);
        Self(vec![(0.0, 0.0), corner, flank(corner, degrees.to_radians())])
    }

    fn of(cut: &Cut, tip: Tip) -> Self {
        let degrees = cut.form().half_angle().to_f64();
        match (tip, cut.ground()) {
            (Tip::Nose(radius), _) => Self::nose(radius.mm().to_f64(), degrees),
            (Tip::Flat(width), _) => Self::flat(width.mm().to_f64(), degrees),
            (Tip::Form, Ground::Nose(radius)) => Self::nose(radius, degrees),
            (Tip::Form, Ground::Flat(width)) => Self::flat(width, degrees),
            _ => Self::flat(0.0, degrees),
        }
    }

    /// Half its width at a height; `None` below its end.
    fn half(&self, height: f64) -> Option<f64> {
        let upper = self.0.iter().position(|(_, y)| *y > height)?;
        let ((x0, y0), (x1, y1)) = (self.0[upper.checked_sub(1)?], self.0[upper]);
        Some(x0 + (x1 - x0) * (height - y0) / (y1 - y0))
    }

    /// The height at which the groove is so wide: by halving.
    fn height_of(&self, width: f64) -> f64 {
        let (mut low, mut high) = (0.0, 1000.0);
        for _ in 0..100 {
            let middle = f64::midpoint(low, high);
            if 2.0 * self.half(middle).unwrap() < width { low = middle } else { high = middle }
        }
        high
    }
}

fn flank((x, y): (f64, f64), angle: f64) -> (f64, f64) {
    (x + 2000.0 * angle.sin(), y + 2000.0 * angle.cos())
}

/// Pitch diameter of the groove: where it is half a pitch wide.
fn pitch_diameter(tool: &Drawn, side: Side, blank: f64, depth: f64, pitch: f64) -> f64 {
    let up = tool.height_of(pitch / 2.0);
    match side {
        Side::External => blank - 2.0 * (depth - up),
        Side::Internal => blank + 2.0 * (depth - up),
    }
}

/// Every thread with a class, each usual class of it, screw and nut: the blank lies inside the class, and
/// the groove has the middle of the pitch diameter's limits, with four tools, from five blanks.
#[test]
fn the_pitch_diameter_is_the_middle_of_every_class() {
    let mut checked = 0;
    // Every seventh row of the long tables, so that each series and size is met.
    for thread in thread::all().step_by(7) {
        let Some(standard) = Standard::of(thread.series()) else { continue };
        for (side, internal) in [(Side::External, false), (Side::Internal, true)] {
            for class in standard.classes(internal) {
                let Ok(limits) = Limits::of(&thread, *class) else { continue };
                let Ok(cut) = cut_of(&thread, side) else { continue };
                checked += holds(&cut, &limits, &format!("{thread} {class}"));
            }
        }
    }
    assert!(checked > 4000, "{checked}");
}

fn cut_of(thread: &Thread, side: Side) -> solver::Result<Cut> {
    let target: Target = thread.designation().parse()?;
    let cut = Cut::of(&target)?.with_side(side);
    if cut.taper().is_some() {
        return Err("taper".parse::<Target>().unwrap_err());
    }
    Ok(cut)
}

fn holds(cut: &Cut, limits: &Limits, name: &str) -> u32 {
    let (least, greatest) = (limits.pitch().least().unwrap(), limits.pitch().greatest().unwrap());
    let middle = f64::midpoint(least.mm().to_f64(), greatest.mm().to_f64());
    let advised = Blank::advised(cut, Some(limits)).unwrap();
    let crest = if cut.side() == Side::External { limits.major() } else { limits.minor() };
    let mut blanks = vec![advised];
    if let Some((least, greatest)) = crest.least().zip(crest.greatest()) {
        assert_eq!(advised.against_class(), Some(Against::Within), "{name}");
        let ends = [least, greatest];
        blanks.extend(ends.map(|end| Blank::measured(cut, Some(limits), end).unwrap()));
    }
    let pitch = cut.pitch().to_f64();
    let mut checked = 0;
    for tip in [Tip::Form, Tip::Sharp, Tip::Nose(part(cut, 12)), Tip::Flat(part(cut, 9))] {
        for blank in &blanks {
            let depth = cut.depth_in(blank, tip).unwrap().depth.mm();
            let tool = Drawn::of(cut, tip);
            let got = pitch_diameter(&tool, cut.side(), blank.across().mm(), depth, pitch);
            assert!((got - middle).abs() < 1e-6, "{name} {tip:?} {blank:?}: {got}, {middle}");
            checked += 1;
        }
    }
    checked
}

/// A part of the pitch, to a thousandth of a mm.
fn part(cut: &Cut, of: u32) -> Length {
    format!("{:.3} mm", (cut.pitch().to_f64() / f64::from(of)).max(0.001)).parse().unwrap()
}

/// Where no class is known the groove has the basic pitch diameter, whatever the blank: every form.
#[test]
fn without_a_class_the_pitch_diameter_is_the_basic_one() {
    let forms = [
        Form::Sixty,
        Form::Whitworth,
        Form::BritishAssociation,
        Form::Cycle,
        Form::Trapezoidal,
        Form::Acme,
        Form::StubAcme,
        Form::WORM,
    ];
    for form in forms {
        for side in [Side::External, Side::Internal] {
            let target: Target = "3 mm".parse().unwrap();
            let cut = Cut::of(&target).unwrap().with_form(form).with_side(side);
            let cut = cut.with_diameter("40 mm".parse().unwrap());
            let basic = cut.diameters().unwrap();
            let advised = Blank::advised(&cut, None).unwrap();
            assert_eq!((advised.against_class(), advised.is_of_class()), (None, false));
            assert!((advised.across().mm() - basic.blank(side).mm()).abs() <= 0.005, "{form:?}");
            let other = format!("{:.3} mm", basic.blank(side).mm() + 0.1).parse().unwrap();
            for blank in [advised, Blank::measured(&cut, None, other).unwrap()] {
                for tip in
                    [Tip::Form, Tip::Sharp, Tip::Nose(part(&cut, 12)), Tip::Flat(part(&cut, 9))]
                {
                    let depth = cut.depth_in(&blank, tip).unwrap().depth.mm();
                    let got = pitch_diameter(
                        &Drawn::of(&cut, tip),
                        side,
                        blank.across().mm(),
                        depth,
                        3.0,
                    );
                    assert!(
                        (got - basic.pitch.mm()).abs() < 1e-6,
                        "{form:?} {side:?} {tip:?} {got}"
                    );
                }
            }
        }
    }
}

/// The whole card: its blank, its depth and its tool give the pitch diameter that it says.
#[test]
fn a_card_s_figures_go_together() {
    for (args, half_angle) in [
        (&["M10"][..], 30.0),
        (&["M10", "--blank", "9.7 mm", "--nose", "0.1 mm"][..], 30.0),
        (&["M10", "--internal", "--blank", "8.6 mm"][..], 30.0),
        (&["1/2-13 UNC", "--internal", "--class", "3B", "--lathe", "tug"][..], 30.0),
        (&["1/2 BSW"][..], 27.5),
        (&["0 BA", "--flat", "0.1 mm"][..], 23.75),
        (&["Tr 20x4", "--lathe", "ketch"][..], 15.0),
        (&["3/4-6 ACME"][..], 14.5),
        (&["module 1", "--diameter", "20 mm"][..], 20.0),
    ] {
        let card = card(args);
        let size = card["tool"]["tip_size"]["mm"].as_f64().unwrap_or(0.0);
        let tool = match words(&card, "/tool/tip") {
            "nose" => Drawn::nose(size, half_angle),
            _ => Drawn::flat(size, half_angle),
        };
        let nut = card["sizes"]["part"] == "nut";
        let side = if nut { Side::Internal } else { Side::External };
        let lead = number(&super::document(args), "/target/lead_mm_rounded");
        let [blank, depth] = ["/blank/across/mm", "/tool/depth/mm"].map(|path| number(&card, path));
        let got = pitch_diameter(&tool, side, blank, depth, lead);
        near(&card, "/tool/aim/pitch/mm", got, 1e-5);
        let sign = if nut { 1.0 } else { -1.0 };
        near(&card, "/tool/root_diameter/mm", blank + sign * 2.0 * depth, 2e-6);
        let pitch = |which: &str| card["sizes"]["pitch"][which]["mm"].as_f64();
        let aim = match (pitch("least"), pitch("greatest")) {
            (Some(least), Some(greatest)) => f64::midpoint(least, greatest),
            _ => pitch("basic").unwrap(),
        };
        near(&card, "/tool/aim/pitch/mm", aim, 2e-6);
    }
}

/// Slices of the groove: what all positions of the tool so far have taken off, by the outermost edges.
const SLICES: u32 = 4000;

fn area(tool: &Drawn, at: &[(f64, f64)], deepest: f64) -> f64 {
    let step = deepest / f64::from(SLICES);
    let slice = |i: u32| {
        let below = (f64::from(i) + 0.5) * step;
        let edges = at.iter().filter_map(|(x, depth)| {
            let half = tool.half(depth - below)?;
            Some((x - half, x + half))
        });
        let (left, right) =
            edges.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, r), (a, b)| (l.min(a), r.max(b)));
        (right - left).max(0.0) * step
    };
    (0..SLICES).map(slice).sum()
}

/// Areas that each position adds to those before it.
fn chips(tool: &Drawn, at: &[(f64, f64)]) -> Vec<f64> {
    let deepest = at.iter().map(|(_, depth)| *depth).fold(0.0, f64::max);
    let upto: Vec<f64> = (0..=at.len()).map(|n| area(tool, &at[..n], deepest)).collect();
    upto.windows(2).map(|pair| pair[1] - pair[0]).collect()
}

fn list(card: &Value, path: &str) -> Vec<f64> {
    let all = card.pointer(path).and_then(Value::as_array).unwrap_or_else(|| panic!("{path}"));
    all.iter().map(|mm| mm.as_f64().unwrap()).collect()
}

/// With a nose or a flat too, straight and along the swung top slide: the first chip was up to twice the
/// last when depths went by the square root.
#[test]
fn passes_take_equal_chips_with_the_tool_of_the_card() {
    for (args, half_angle) in [
        (&["M10"][..], 30.0),
        (&["M10", "--nose", "0.1 mm", "--passes", "9"][..], 30.0),
        (&["M10", "--flat", "0", "--passes", "9"][..], 30.0),
        (&["M10", "--internal"][..], 30.0),
        (&["1/2 BSW", "--first", "0.3 mm"][..], 27.5),
        (&["Tr 10x2", "--lathe", "ketch"][..], 15.0),
    ] {
        let card = card(args);
        let size = card["tool"]["tip_size"]["mm"].as_f64().unwrap_or(0.0);
        let tool = match words(&card, "/tool/tip") {
            "nose" => Drawn::nose(size, half_angle),
            _ => Drawn::flat(size, half_angle),
        };
        let swung = (half_angle - 0.5).to_radians();
        let straight: Vec<(f64, f64)> =
            list(&card, "/tool/passes_mm").into_iter().map(|depth| (0.0, depth)).collect();
        let angled: Vec<(f64, f64)> = list(&card, "/tool/slide/passes_mm")
            .into_iter()
            .map(|travel| (travel * swung.sin(), travel * swung.cos()))
            .collect();
        near(&card, "/tool/depth/mm", straight[straight.len() - 1].1, 1e-5);
        assert_eq!(card["tool"]["equal_chips"], true, "{args:?}");
        for at in [straight, angled] {
            let chips = chips(&tool, &at);
            let mean = chips.iter().sum::<f64>() / f64::from(u32::try_from(chips.len()).unwrap());
            for chip in &chips {
                assert!((chip / mean - 1.0).abs() < 0.01, "{args:?}: {chips:?}");
            }
        }
    }
}

/// At most 0.25 mm (0.010 in) at first, 0.125 mm with a wide flat, none under 0.02 mm, however coarse the
/// thread; before, sixteen passes at most made it 0.61 mm on an M36.
#[test]
fn the_first_pass_is_shallow_and_none_rubs() {
    for args in [
        &["M1.6"][..],
        &["M10"][..],
        &["M36"][..],
        &["M36", "--flat", "0"][..],
        &["8 mm", "--form", "60"][..],
        &["Tr 40x14 (P7) LH", "--lathe", "ketch"][..],
        &["module 1"][..],
        &["8 mm", "--form", "round", "--depth", "1.5 mm"][..],
    ] {
        let card = card(args);
        let marks = list(&card, "/tool/passes_mm");
        let mut before = 0.0;
        for mark in &marks {
            assert!(
                mark - before > 0.02 - 1e-5 && mark - before < 0.25 + 1e-5,
                "{args:?} {marks:?}"
            );
            before = *mark;
        }
        near(&card, "/tool/depth/mm", before, 1e-5);
        assert_eq!(
            (&card["tool"]["first_is_deep"], &card["tool"]["last_is_thin"]),
            (&false.into(), &false.into())
        );
        assert_eq!(card["tool"]["spring_passes"], 2);
    }
    assert!(
        list(&card(&["Tr 40x14 (P7) LH", "--lathe", "ketch"]), "/tool/passes_mm")[0] < 0.125_001
    );
    let stated = one_line(&run(&["card", "M36", "--flat", "0", "--passes", "16"]).out);
    assert!(stated.contains("First pass 0.742 mm (0.0292 in): over 0.25 mm"), "{stated}");
    let many = one_line(&run(&["card", "M10", "--flat", "0", "--passes", "100"]).out);
    assert!(many.contains("Last pass under 0.02 mm"), "{many}");
    let first = one_line(&run(&["card", "M10", "--first", "0.4 mm"]).out);
    assert!(!first.contains("over 0.25 mm"), "{first}");
}

/// Slot in the middle, then aside both ways: what the tool of the card would have cut in one go is gone.
#[test]
fn a_wide_groove_is_whole_when_it_has_been_widened() {
    for (args, half_angle) in [
        (&["Tr 40x14 (P7) LH", "--lathe", "ketch"][..], 15.0),
        (&["3/4-6 ACME"][..], 14.5),
        (&["module 1", "--diameter", "20 mm"][..], 20.0),
        (&["Tr 20x4", "--lathe", "ketch", "--internal"][..], 15.0),
    ] {
        let card = card(args);
        let whole = Drawn::flat(number(&card, "/tool/tip_size/mm"), half_angle);
        let narrow = Drawn::flat(number(&card, "/tool/slot/flat/mm"), half_angle);
        let depth = number(&card, "/tool/depth/mm");
        let mut at: Vec<(f64, f64)> =
            list(&card, "/tool/passes_mm").into_iter().map(|depth| (0.0, depth)).collect();
        for way in [1.0, -1.0] {
            at.extend(list(&card, "/tool/slot/shifts_mm").iter().map(|shift| (way * shift, depth)));
        }
        let (got, wanted) = (area(&narrow, &at, depth), area(&whole, &[(0.0, depth)], depth));
        assert!((got - wanted).abs() < 1e-4, "{args:?}: {got}, {wanted}");
        assert_eq!(card["tool"]["slide"], Value::Null, "{args:?}: the top slide moves it aside");
        // Each step aside takes off no more than 0.1 mm x the depth.
        let shifts = list(&card, "/tool/slot/shifts_mm");
        assert!(shifts.windows(2).all(|pair| pair[1] - pair[0] < 0.1 + 1e-5), "{shifts:?}");
    }
}

/// A page says a few of many passes, a file all of them.
#[test]
fn many_passes_are_shown_in_short_and_kept_whole() {
    let args = ["card", "M20", "--lathe", "tug", "--flat", "0", "--passes", "40"];
    let card = card(&args[1..]);
    let marks = list(&card, "/tool/passes_mm");
    assert_eq!(marks.len(), 40);
    let text = one_line(&run(&args).out);
    let csv = run(&[&args[..], &["--format", "csv"]].concat()).out;
    let all: Vec<String> = marks.iter().map(|mm| format!("{mm:.3}")).collect();
    assert!(csv.contains(&all.join(" ")), "{csv}");
    assert!(!text.contains(&all.join(" ")) && text.contains(&format!("40: {}", all[39])), "{text}");
    let inches: Vec<String> = marks.iter().map(|mm| format!("{:.4}", mm / 25.4)).collect();
    assert!(csv.contains(&inches.join(" ")), "{csv}");
}

#[test]
fn a_blank_outside_of_its_class_is_warned_of() {
    for (args, warned) in [
        (&["M10", "--blank", "9.7 mm"][..], "Outside of its class: the crests are lower"),
        (&["M10", "--blank", "10 mm"][..], "Blank over its class: turn it smaller"),
        (&["M10", "--internal", "--blank", "8.3 mm"][..], "Bore under its class: bore it larger"),
        (&["M10", "--internal", "--blank", "8.7 mm"][..], "Outside of its class: the crests"),
        (&["1/2 BSW"][..], "the basic size: no class is known here"),
    ] {
        let text = one_line(&run(&[&["card"], args].concat()).out);
        assert!(text.contains(warned), "{args:?}: {text}");
    }
    let within = run(&["card", "M10", "--blank", "9.9 mm"]).out;
    assert!(!within.contains("its class:"), "{within}");
    assert_eq!(card(&["M10", "--blank", "9.7 mm"])["blank"]["in_class"], "under");
}

/// A pitch over 6 mm alone may be an oil groove: no depth is made up for it.
#[test]
fn a_coarse_pitch_alone_has_no_depth_until_its_form_is_said() {
    let text = one_line(&run(&["card", "8 mm"]).out);
    assert!(text.contains("No depth: say the form and depth, --form ... --depth ..."), "{text}");
    assert_eq!(card(&["8 mm"])["tool"], Value::Null);
    near(&card(&["8 mm", "--form", "60"]), "/tool/depth/mm", 0.613_435 * 8.0, 1e-5);
    let own = card(&["8 mm", "--form", "30", "--depth", "2 mm"]);
    near(&own, "/tool/depth/mm", 2.0, 1e-9);
    assert_eq!(own["tool"]["depth_stated"], true);
    // Half a disc of 1.5 mm; a quarter of the width is cut at first.
    let oil = card(&["8 mm", "--form", "round", "--depth", "1.5 mm"]);
    near(&oil, "/tool/tip_size/mm", 1.5, 1e-9);
    assert_eq!(
        (&oil["tool"]["included_angle"], &oil["tool"]["root"]),
        (&Value::Null, &Value::Null)
    );
    let tool = Drawn::nose(1.5, 0.0);
    let at: Vec<(f64, f64)> =
        list(&oil, "/tool/passes_mm").into_iter().map(|depth| (0.0, depth)).collect();
    let chips = chips(&tool, &at);
    let whole = std::f64::consts::PI * 1.5 * 1.5 / 2.0;
    assert!((chips.iter().sum::<f64>() / whole - 1.0).abs() < 1e-3, "{chips:?}");
    assert!(chips.iter().all(|chip| (chip / chips[0] - 1.0).abs() < 0.01), "{chips:?}");
}
