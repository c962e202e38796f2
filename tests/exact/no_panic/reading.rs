//! Everything that is read from text.

use super::none_panics;
use proptest::prelude::*;
use solver::chart::{Measured, Printed, Unit};
use solver::cutting::Cone;
use solver::cutting::Cut;
use solver::job::Now;
use solver::tolerance::{Class, Limits};
use solver::{Degrees, Lead, Length, Offset, Ratio, Target, ToothSize, Train, Travel, thread};

/// Reads the text as everything that can be read.
fn read(text: &str) {
    let _ = text.parse::<Ratio>();
    let _ = text.parse::<Cone>();
    if let Ok((_, used)) = Ratio::read(text) {
        assert!(text.is_char_boundary(used), "{text:?}");
    }
    let _ = text.parse::<Length>();
    let _ = text.parse::<Lead>();
    let _ = text.parse::<Offset>();
    let _ = text.parse::<Degrees>();
    let _ = text.parse::<ToothSize>();
    if let Ok(train) = text.parse::<Train>() {
        let _ = (train.ratio(), train.places(), train.handled_from(&train), train.to_string());
    }
    if let Ok(target) = text.parse::<Target>() {
        let _ = (target.lead().to_f64(), target.pitch(), target.thread(), target.to_string());
        let _ = target.perhaps_tpi();
        let _ = Cut::of(&target).map(|cut| (cut.diameters(), cut.wires(), cut.ground()));
    }
    if let Ok(class) = text.parse::<Class>() {
        for thread in thread::all().step_by(97) {
            let _ = Limits::of(&thread, class);
        }
    }
    if let Ok(measured) = text.parse::<Measured>() {
        let _ = measured.lead();
    }
    let _ = text.parse::<Now>();
    let _ = format!("nut {text}").parse::<Now>();
    let _ = format!("wires {text}").parse::<Now>();
    for unit in [Unit::Mm, Unit::Inch, Unit::Tpi, Unit::Module, Unit::Dp] {
        for travel in [Travel::Thread, Travel::LongFeed] {
            if let Ok(printed) = Printed::new(text, unit, travel) {
                let _ = (printed.digits(), printed.exactly(), printed.allows(&Ratio::ONE));
            }
        }
    }
    let _ = thread::search(text);
}

/// What nobody means, or nearly says.
#[rustfmt::skip]
const ODD: &[&str] = &[
    "", " ", "\0", "-", "+", ".", "/", "e", "x", "×", "\u{a0}", "½", "０", "٣", "\u{202e}8", "0",
    "-0", "0/0", "1/0", "0/1", "1e", "1e-", "1e+", "1e4294967295", "1e-4294967296", "NaN", "inf",
    "-inf", "1e308 mm", "1e-308 mm", "-1 mm", "− mm", "0 mm", "1 1/0", "1-1/2/3", "1/1/1",
    "00000000000000000000000000000000000000000000001", "1.25é", "é1.25", "8 tpié", "M", "M0",
    "M-1", "M8x", "M8x0", "M8x-1", "M99999999999999999999", "MÉ8", "Tr", "Tr 40x14 (P",
    "Tr40x14(P0)", "Tr40x14 (P7) LH LH", "Tr40x0 (P0)", "Tr40x(P7)", "module", "module 0", "DP",
    "DP 0", "0 starts", "1 mm x 0 starts", "1 mm x 100 starts", "1 mm x 255 starts",
    "1 mm x 99999999999999999999999999999999999999999 starts", "1 mm/rev", "0.00001 mm",
    "100001 m", "G", "G 1/0", "R 0", "NPT", "BA", "-1 BA", "999 BA", "#0", "#99-80", "1/4-0",
    "1/4-20-20", "6g", "6H/6g", "4h6h", "2A", "0A", "99999999999H", "gg", "6é", "B é", "40-",
    "-40", "40--50", "40+50", "40-55+", "0-0", "4-401", "99999999999999999999999-40",
    "40/50 x 60-70", "40×50", "10 pitches", "10 pitches =", "10 pitches = 0 mm",
    "10 pitches = 1 mm +- 1 mm", "10 pitches = 1 mm +-", "0 turns move 1 mm",
    "1e38 turns move 1e-38 mm +- 1e-39 mm", "1 turn move 1 mm with", "1 turn move 1 mm with ,",
    "1 turn move 1 mm with 40-40,,A", "1 turn = 1 mm ± é with é", "1:", "1:0", "1:16:16", "1 in é", "1 in per ft é",
    "45 deg", "1e-30 deg", "0.1°é",
];

#[test]
fn hostile_texts_are_refused_in_words() {
    let number = "340282366920938463463374607431768211455";
    let mut texts: Vec<String> = ODD.iter().map(|text| (*text).to_owned()).collect();
    for unit in ["", " mm", " in", " tpi", " DP", " module", "\"", "/1", " starts", "-40", " BA"] {
        texts.extend([
            format!("{number}{unit}"),
            format!("1/{number}{unit}"),
            format!("{number}/{number}{unit}"),
            format!("{number} 1/{number}{unit}"),
            format!("{number}0{unit}"),
            format!("0.{number}{unit}"),
        ]);
    }
    texts.push("9".repeat(100_000));
    texts.push(" ".repeat(100_000));
    texts.push("40-".repeat(50_000));
    texts.push("M8 ".repeat(30_000));
    texts.push(format!("1.{}1", "0".repeat(50_000)));
    none_panics(texts.into_iter().map(|t| (t.chars().take(60).collect(), t)), |text| read(text));
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_text_panics(text in "\\PC{0,20}") {
        read(&text);
    }

    #[test]
    fn no_text_of_the_trade_panics(
        parts in prop::collection::vec(
            prop::sample::select(vec![
                "M", "Tr", "G", "R", "BA", "UNC", "x", "(P", ")", "LH", " ", "-", "+", "/", ".", "0", "7", "40",
                "127", "999999999999999999999", "mm", "in", "\"", "tpi", "module", "DP", "starts", "feed", "/rev",
                "pitches", "=", "+-", "with", ",", "6", "g", "H", "2A", "e", "#", "é",
            ]),
            0..8,
        ),
    ) {
        read(&parts.concat());
    }
}
