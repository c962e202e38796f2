//! What the card says: the order of the work, the same figures as in the document, and when there is
//! no card.

use super::{card, document, number, on};
use crate::util::{one_line, run};
use proptest::prelude::*;
use serde_json::Value;
use snapbox::{assert_data_eq, file};

/// Cards of every kind.
const KINDS: &[&[&str]] = &[
    &["M10"],
    &["M10", "--internal", "--class", "6G", "--lathe", "tug"],
    &["Tr 40x14 (P7) LH", "--lathe", "ketch"],
    &["2 mm 3 starts", "--diameter", "30 mm", "--class", "6g"],
    &["module 1", "--diameter", "20 mm", "--wire", "1.8 mm"],
    &["NPT 3/4"],
    &["E27"],
    &["M6", "--gears", "20,30,40,45,50,60x2,65,127", "--screw", "8tpi"],
    &["0.1 mm/rev"],
    &["0.004 in/rev cross", "--lathe", "tug", "--nose", "0.4 mm"],
    &["8 mm"],
    &["8 mm", "--form", "round", "--depth", "1.5 mm"],
    &["M20", "--lathe", "tug", "--blank", "19.9 mm", "--passes", "40"],
    &["1.5 mm", "--depth", "0.8 mm", "--first", "0.2 mm"],
    &["11 tpi", "--form", "55", "--diameter", "1 in", "--rpm", "80", "--undercut", "5 mm"],
];

#[test]
fn the_document_keeps_its_schema() {
    let schema = run(&["schema", "card"]).out;
    assert_eq!(schema, include_str!("../../gearsets/card.schema.json"));
    let schema: Value = serde_json::from_str(&schema).unwrap();
    for args in KINDS {
        let document = document(args);
        jsonschema::validate(&schema, &document).unwrap_or_else(|e| panic!("{args:?}: {e}"));
    }
    let refused = run(&["card", "100 mm", "--format", "json"]);
    let document: Value = serde_json::from_str(&refused.out).unwrap();
    assert_eq!((refused.code, &document["card"]), (1, &Value::Null));
    jsonschema::validate(&schema, &document).unwrap();
    let mut wrong = document;
    wrong["reasons"] = Value::Null;
    assert!(jsonschema::validate(&schema, &wrong).is_err());
}

#[test]
fn a_whole_card_in_every_form() {
    let card = |args: &[&str]| run(&[&["card"], args].concat()).out;
    let tr = ["Tr 40x14 (P7) LH", "--lathe", "ketch"];
    let worm = ["module 1", "--diameter", "20 mm", "--wire", "1.8 mm"];
    let nut = ["1/2-13 UNC", "--internal", "--class", "3B", "--lathe", "tug"];
    let feed = ["0.1 mm/rev", "--lathe", "tug", "--format", "markdown"];
    assert_data_eq!(card(&tr), file!["../snapshots/card-starts.txt": Text].raw());
    assert_data_eq!(card(&worm), file!["../snapshots/card-worm.txt": Text].raw());
    assert_data_eq!(card(&nut), file!["../snapshots/card-nut.txt": Text].raw());
    assert_data_eq!(card(&feed), file!["../snapshots/card-feed.md": Text].raw());
    let csv = card(&["M10", "--format", "csv"]);
    assert_data_eq!(csv, file!["../snapshots/card.csv": Text].raw());
}

/// Blank, make safe, gears, levers, direction, by hand, scratch pass, nut, tool, starts, sizes, speed, back.
const ORDER: [&str; 14] = [
    "Blank",
    "Make safe",
    "Gears",
    "Levers",
    "Direction",
    "Turn it by hand",
    "Scratch pass",
    "Half nut",
    "Tool and depth",
    "Sizes",
    "Next start",
    "Speed",
    "Finish",
    "Put back",
];

#[test]
fn sections_come_in_the_order_of_the_work() {
    for args in KINDS {
        let text = run(&[&["card"], *args].concat()).out;
        let headings: Vec<&str> = text
            .lines()
            .filter(|line| line.starts_with(|c: char| c.is_ascii_digit()))
            .filter_map(|line| line.split_once(' '))
            .filter(|(_, name)| ORDER.contains(name))
            .map(|(_, name)| name)
            .collect();
        let numbers: Vec<usize> = text
            .lines()
            .filter_map(|line| line.split_once(' '))
            .filter(|(_, name)| ORDER.contains(name))
            .filter_map(|(number, _)| number.parse().ok())
            .collect();
        assert_eq!(numbers, (1..=headings.len()).collect::<Vec<_>>(), "{args:?}");
        let places: Vec<_> = headings.iter().map(|h| ORDER.iter().position(|o| o == h)).collect();
        assert!(places.is_sorted(), "{args:?}: {headings:?}");
        for always in ["Make safe", "Gears", "Turn it by hand", "Put back"] {
            assert!(headings.contains(&always), "{args:?} lacks {always}");
        }
    }
}

/// What is set and measured stands in the text as it stands in the document.
#[test]
fn the_text_has_the_figures_of_the_document() {
    for args in KINDS {
        let text = run(&[&["card"], *args].concat()).out;
        let flat = one_line(&text);
        let card = card(args);
        let mut figures = vec![format!("{:.3} mm", number(&card, "/by_hand/travel/mm"))];
        for path in [
            "/blank/across/mm",
            "/tool/depth/mm",
            "/tool/aim/pitch/mm",
            "/tool/slide/travel/mm",
            "/half_nut/distance/mm",
        ] {
            let closed = card["half_nut"]["advice"] == "keep_closed";
            if let Some(mm) = card.pointer(path).and_then(Value::as_f64)
                && (closed || !path.contains("half_nut"))
            {
                figures.push(format!("{mm:.3} mm"));
            }
        }
        for slip in card["scratch"]["slips"].as_array().into_iter().flatten() {
            figures.push(format!("{:.3} ", number(slip, "/length/mm")));
        }
        for limit in ["/sizes/pitch/least/mm", "/sizes/pitch/greatest/mm", "/sizes/major/least/mm"]
        {
            figures
                .extend(card.pointer(limit).and_then(Value::as_f64).map(|mm| format!("{mm:.3}")));
        }
        let at = card["speed"]["at"].as_array().into_iter().flatten();
        // A left-hand thread is not timed in the undercut where none was stated.
        let timed = card["carriage"] != "tailstock" || card["speed"]["undercut_stated"] == true;
        for at in at.filter(|_| timed) {
            figures.push(format!(
                "{} {:.1} {:.1}",
                at["rpm"],
                number(at, "/mm_per_s"),
                number(at, "/undercut_s")
            ));
        }
        for figure in figures {
            assert!(flat.contains(&figure), "{args:?}: {figure} is not in\n{text}");
        }
    }
}

/// The cautions that stand on every card.
#[test]
fn every_card_cautions() {
    for args in KINDS {
        let text = run(&[&["card"], *args].concat()).out;
        let flat = one_line(&text);
        for caution in [
            "Unplug or lock off the lathe",
            "chuck key and crank out",
            "Cover on, still no power",
            "never engage feed and half nut together",
            "The machine's manual and local rules come first",
        ] {
            assert!(flat.contains(caution), "{args:?}: {caution}");
        }
    }
    let off = one_line(&run(&["card", "M10"]).out);
    assert!(off.contains("a qualified person and the standard decide"));
}

#[test]
fn there_is_no_card_for_what_can_not_be_set_up() {
    for (args, reason) in [
        (&["M10", "--train", "36-48+63-80"][..], "short of clearing the hub of the driving shaft"),
        (&["M10", "--within", "1ppm"][..], "the nearest is 48-64+63-80: +125 ppm"),
        (&["100 mm"][..], "gives another thread"),
        (&["0.002 mm/rev"][..], "24-76+24-80, gives another feed"),
        (&["M10", "--train", "23-80"][..], "you own 0"),
    ] {
        let text = run(&[&["card"], args].concat());
        assert_eq!(text.code, 1, "{args:?}");
        let flat = one_line(&text.out);
        assert!(flat.contains("No card.") && flat.contains(reason), "{args:?}: {}", text.out);
        assert!(!flat.contains("Make safe"), "{args:?}");
    }
}

#[test]
fn what_does_not_go_together_is_refused_by_its_name() {
    for (args, message, hint) in [
        (&["M10", "M12"][..], "a card is for one job", "one card after the other"),
        (&["M10", "--class", "6H"][..], "--class 6H: it is a class for a nut", "--internal"),
        (
            &["M10", "--internal", "--class", "6g"][..],
            "--class 6g: it is a class for a screw",
            "6H",
        ),
        (&["1.5 mm", "--class", "6g"][..], "--class 6g: a pitch alone has no limits", "--diameter"),
        (&["1/2 BSW", "--class", "6g"][..], "--class `6g`: no limits are known here", "standard"),
        (&["M10", "--diameter", "3 mm"][..], "--diameter: M10 is 10 mm across already", "leave"),
        (&["M10", "--form", "55"][..], "--form: M10 has a form of its own", "leave"),
        (&["M10", "--nose", "2 mm"][..], "--nose: a nose of 2 mm is too wide", "0.217 mm"),
        (&["M10", "--wire", "3 mm"][..], "--wire: a wire of 3 mm is outside", "0.866 mm"),
        (&["M10", "--passes", "0"][..], "--passes `0`: passes are 1 to 200", ""),
        (&["M10", "--first", "0.001 mm"][..], "--first: a first pass of 0.001 mm", "0.05 mm"),
        (&["M10", "--blank", "12 mm"][..], "--blank: 12.000 mm (0.4724 in) is no blank", "9.85 mm"),
        (&["M10", "--blank", "10.3 mm"][..], "is no blank", "9.18 mm to 10.22 mm"),
        (&["M10", "--internal", "--blank", "10 mm"][..], "is no bore for this thread", "8.53 mm"),
        (&["1.5 mm", "--blank", "10 mm"][..], "--blank: the diameter is not stated", "20 mm"),
        (&["0.1 mm/rev", "--blank", "10 mm"][..], "--blank: `0.1 mm/rev` is a feed", "leave"),
        (&["M10", "--depth", "1 mm"][..], "--depth: M10 has a depth of its own", "leave"),
        (&["M10", "--form", "round"][..], "--form: M10 has a form of its own", "leave"),
        (&["1.5 mm", "--depth", "2 mm"][..], "--depth: at a depth of 2 mm the groove is", "0.920"),
        (&["8 mm", "--form", "round"][..], "--form round: its depth is not known", "--depth 1.5mm"),
        (
            &["8 mm", "--form", "round", "--depth", "1 mm", "--flat", "1 mm"][..],
            "--flat: not for a round groove",
            "leave --flat out",
        ),
        (
            &["8 mm", "--form", "round", "--depth", "5 mm"][..],
            "--depth: the groove is 10.000 mm wide, the pitch 8.000 mm",
            "a smaller",
        ),
        (&["M10", "--reaction", "99"][..], "--reaction `99`: seconds, up to 60", "1.5"),
        (&["M10", "--rpm", "0"][..], "--rpm `0`: spindle speed are 1 to 100000", ""),
        (&["0.1 mm/rev", "--internal"][..], "--internal: `0.1 mm/rev` is a feed", "leave"),
        (&["0.1 mm/rev", "--undercut", "3 mm"][..], "--undercut: `0.1 mm/rev` is a feed", "leave"),
        (&["M10", "--rank", "9999999"][..], "--rank", ""),
        (&["M10", "--nose", "thick"][..], "--nose `thick`", ""),
    ] {
        let printed = run(&[&["card"], args].concat());
        assert_eq!((printed.code, printed.out.as_str()), (2, ""), "{args:?}: {}", printed.err);
        assert!(printed.err.contains(message), "{args:?}: {}", printed.err);
        assert!(printed.err.contains(hint), "{args:?}: {}", printed.err);
    }
}

#[test]
fn a_lathe_without_a_fitted_set_up_gets_a_card_too() {
    let lathe = r#"{"format": 1, "name": "Bare", "lead_screw": {"lead": "8 tpi"},
        "headstock": {"ratio": 1}, "gears": {"owned": [20, 40, 60, 80]}, "studs": 1}"#;
    let printed = on(lathe, &["16 tpi", "--no-fit"]);
    assert_eq!(printed.code, 0, "{}", printed.err);
    for said in
        ["as you noted them", "Note how it is now: which gears sit where", "Try it: half nut"]
    {
        let flat = one_line(&printed.out);
        assert!(flat.contains(said), "{said}: {}", printed.out);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever is asked: a card, a no, or one clear refusal.
    #[test]
    fn nothing_that_is_asked_breaks_it(
        target in prop::sample::select(vec![
            "M3", "M10", "M20x1.5", "1/4-20 UNC", "2BA", "G 1/2", "Tr 20x4", "3/4-6 ACME", "module 0.8",
            "20 DP", "NPT 1/8", "1.3 mm 3 starts", "0.07 mm/rev", "0.003 in/rev cross", "E14", "40 tpi",
        ]),
        lathe in prop::sample::select(vec!["dinghy", "ketch", "tug"]),
        option in prop::sample::select(vec!["--nose", "--flat", "--undercut", "--over", "--wire", "--diameter"]),
        hundredths in 1_u32..3000,
        internal: bool,
        left: bool,
    ) {
        let size = format!("{}.{:02} mm", hundredths / 100, hundredths % 100);
        let mut args = vec!["card", target, "--lathe", lathe, option, &size, "--format", "json"];
        if internal { args.push("--internal"); }
        if left { args.extend(["--hand", "left"]); }
        let printed = run(&args);
        prop_assert!(matches!(printed.code, 0..=2), "{args:?}: {}", printed.err);
        if printed.code == 2 {
            prop_assert!(printed.out.is_empty() && printed.err.starts_with("trainwright: "), "{}", printed.err);
        } else {
            prop_assert!(serde_json::from_str::<Value>(&printed.out).is_ok());
        }
    }
}
