//! Several starts on the card: which way to the next one, and what tells one that is out of its place.

use super::{card, card_on, near, on, practice::one_line, words};
use crate::util::{one_line as joined, run};
use serde_json::{Value, json};

/// As fast as the spindle, with a tumbler.
fn headstock() -> Value {
    json!({"ratio": "1", "turns": "same", "tumbler": {"up": "same", "down": "opposite"}})
}

/// A lathe with a dial gear of 16 teeth, gears that cut 2 TPI on its 8 TPI screw, and a tumbler.
fn dialled(lines: u16) -> String {
    json!({
        "format": 1, "lead_screw": {"lead": "8 tpi"}, "headstock": headstock(),
        "gears": {"owned": [20, 40, 80]}, "half_nut": true, "dial": {"teeth": 16, "lines": lines}
    })
    .to_string()
}

/// Tr20x8 (P4) on each demo lathe: by the dial where its lines lead into both starts, else by the driving gear.
#[test]
fn two_starts_are_indexed_and_checked_on_each_demo_lathe() {
    for (lathe, way, said) in [
        ("dinghy", "driving_gear", "until the 56 is on by 28 teeth (1/2 of a turn of the spindle)"),
        (
            "ketch",
            "thread_dial",
            "start 1 on line 1 (marked 4), line 3 (marked 4); start 2 on line 2 (marked 4), line 4 (marked 4).",
        ),
        ("tug", "driving_gear", "until the 60 is on by 30 teeth (1/2 of a turn of the spindle)"),
    ] {
        let args = ["Tr20x8 (P4)", "--lathe", lathe, "--within", "5 %"];
        let made = card(&args);
        assert_eq!(words(&made, "/starts/method"), way, "{lathe}");
        // 7e of ISO 2903: 0.265 mm on the pitch diameter, half of it x tan 15 degrees, and twice that.
        near(&made, "/starts/index_error_mm", 0.1325 * 0.267_949, 1e-6);
        near(&made, "/starts/ridges_differ_mm", 0.265 * 0.267_949, 1e-6);
        // Half a pitch x the cosine of atan(8 / (pi 17.773)).
        near(
            &made,
            "/sizes/tooth/across/mm",
            2.0 * (8.0_f64 / (17.7725 * std::f64::consts::PI)).atan().cos(),
            2e-4,
        );
        let page = one_line(&args);
        for words in [
            said,
            "Tooth caliper, set 1.040 mm (0.0409 in) high: 1.980 mm (0.0779 in) where it is cut to the aim.",
            "Check: over wires all starts alike; ridges alike to 0.071 mm (0.0028 in), twice the index error.",
        ] {
            assert!(page.contains(words), "{lathe}, {words}: {page}");
        }
        assert_eq!(page.contains("in a faceplate"), way == "driving_gear", "{page}");
        let html = run(&[&["card"], &args[..], &["--format", "html"]].concat());
        let words = html.out.replace('\u{a0}', " ");
        assert!(html.code == 0 && words.contains("alike to 0.071 mm"), "{lathe}: {}", html.err);
    }
}

/// Invented: 1/4 in lead, two starts, 8 TPI, dial gear of 16 teeth: a start is one screw pitch on. Its 8 lines are
/// two pitches apart, so none leads into the other start, and the driving gear is moved; 16 lines lead there.
#[test]
fn half_way_between_two_lines_is_the_next_start() {
    let args = ["1/8 in 2 starts", "--train", "80-40"];
    let between = card_on(&dialled(8), &args);
    assert_eq!(words(&between, "/starts/method"), "driving_gear");
    near(&between, "/starts/carriage/inches", 0.125, 1e-9);
    assert_eq!(between["starts"]["lines"], json!([]));

    let by_lines = card_on(&dialled(16), &args);
    assert_eq!(words(&by_lines, "/starts/method"), "thread_dial");
    let lines = by_lines["starts"]["lines"].as_array().expect("lines");
    assert_eq!(
        lines.iter().map(|of| of.as_array().map(Vec::len)).collect::<Vec<_>>(),
        [Some(8); 2]
    );
    assert_eq!(lines[0][0], json!("line 1"));
    assert_eq!(lines[1][0], json!("line 2"));
}

/// F. D. Jones, Turning and Boring (1919), ch. IV: 1 in lead, two starts, thread of 5 in: the carriage goes back
/// 5 1/2 in, which an even screw takes. The shortest way on 4 TPI is 1/2 in; 3 TPI takes none.
#[test]
fn an_even_screw_takes_half_an_inch() {
    let lathe = |screw: &str, owned: Value| {
        json!({
            "format": 1, "lead_screw": {"lead": screw}, "headstock": headstock(),
            "gears": {"owned": owned}, "half_nut": true
        })
        .to_string()
    };
    let args = ["1/2 in 2 starts"];
    let even = card_on(&lathe("4 tpi", json!([20, 80])), &args);
    near(&even, "/starts/carriage/inches", 0.5, 1e-9);
    assert_eq!(words(&even, "/starts/method"), "carriage");
    let said = joined(&on(&lathe("4 tpi", json!([20, 80])), &args).out);
    let move_it = "move the carriage 12.700 mm (0.5000 in) (2 lead-screw pitches) back, close the nut; keep it \
                   closed until the next start.";
    assert!(said.contains(move_it), "{said}");
    let odd = card_on(&lathe("3 tpi", json!([20, 60])), &args);
    assert_eq!(
        (&odd["starts"]["carriage"], words(&odd, "/starts/method")),
        (&json!(null), "driving_gear")
    );
}

/// The same, Fig. 13: 1/2, 1/3 and 1/4 of a turn of the faceplate; 96 teeth moved on by 48, 32 and 24. A driving
/// gear of 40 can't be divided by 3: the top slide goes 2 mm for a lead of 6.
#[test]
fn faceplate_gear_and_top_slide_go_one_start_on() {
    let lathe = |gears: Value| {
        json!({
            "format": 1, "lead_screw": {"lead": "3 mm"}, "headstock": headstock(),
            "gears": {"owned": gears}
        })
        .to_string()
    };
    for (starts, degrees, teeth) in [("2", 180.0, "48"), ("3", 120.0, "32"), ("4", 90.0, "24")] {
        let asked = format!("6 mm lead {starts} starts");
        let card = card_on(&lathe(json!([96, 48])), &[&asked, "--train", "96-48"]);
        near(&card, "/starts/faceplate_degrees", degrees, 1e-9);
        assert_eq!(words(&card, "/starts/teeth"), teeth, "{asked}");
    }
    let args = ["6 mm lead 3 starts", "--train", "40-20"];
    let slide = card_on(&lathe(json!([40, 20])), &args);
    assert_eq!(words(&slide, "/starts/method"), "top_slide");
    near(&slide, "/starts/pitch/mm", 2.0, 1e-9);
    let said = joined(&on(&lathe(json!([40, 20])), &args).out);
    assert!(said.contains("Or, between centres: 120° on in a faceplate."), "{said}");
    assert!(said.contains("Check: over wires all starts alike; ridges alike."), "{said}");
    // Half as fast as the spindle: 40 x 1/2 x 1/2 = 10 teeth.
    let slow = json!({
        "format": 1, "lead_screw": {"lead": "3 mm"}, "gears": {"owned": [40, 20]},
        "headstock": {"ratio": "1/2", "turns": "same", "tumbler": {"up": "same", "down": "opposite"}}
    });
    let card = card_on(&slow.to_string(), &["3 mm lead 2 starts", "--train", "40-20"]);
    assert_eq!(words(&card, "/starts/teeth"), "10");
    for (gear, teeth) in [(45, "15"), (60, "20")] {
        let train = format!("{gear}-20");
        let lead = format!("{}/20 mm lead 3 starts", 3 * gear);
        let card = card_on(&lathe(json!([gear, 20])), &[&lead, "--train", &train]);
        assert_eq!(words(&card, "/starts/teeth"), teeth, "{train}");
    }
}
