use super::*;
use proptest::prelude::*;

fn target(text: &str) -> Target {
    text.parse().unwrap_or_else(|e| panic!("{text}: {e}"))
}

/// Lead in mm (times pi), canonical form.
fn reads(text: &str, lead: &str, canonical: &str) {
    let target = target(text);
    assert_eq!(target.lead().to_string(), lead, "{text}");
    assert_eq!(target.to_string(), canonical, "{text}");
}

#[test]
fn figures_are_exact() {
    for (text, lead, canonical) in [
        ("1.25 mm", "5/4 mm", "1.25 mm"),
        ("  1.25MM ", "5/4 mm", "1.25 mm"),
        ("1 1/4 mm", "5/4 mm", "1.25 mm"),
        ("1.25 mm pitch", "5/4 mm", "1.25 mm"),
        ("11.5 tpi", "254/115 mm", "11.5 tpi"),
        ("11 1/2 TPI", "254/115 mm", "11.5 tpi"),
        ("11-1/2 tpi", "254/115 mm", "11.5 tpi"),
        ("20 threads", "127/100 mm", "20 tpi"),
        ("20 threads/in", "127/100 mm", "20 tpi"),
        ("20 threads per inch", "127/100 mm", "20 tpi"),
        ("0.05 in", "127/100 mm", "0.05 in"),
        ("1/20\"", "127/100 mm", "0.05 in"),
        ("1/3 inch", "127/15 mm", "1/3 in"),
        ("module 1.5", "3/2 pi mm", "module 1.5"),
        ("mod 1.5 worm", "3/2 pi mm", "module 1.5"),
        ("1.5 module", "3/2 pi mm", "module 1.5"),
        ("20 DP worm", "127/100 pi mm", "20 DP"),
        ("dp 20", "127/100 pi mm", "20 DP"),
        ("module 1.37", "137/100 pi mm", "module 1.37"),
    ] {
        reads(text, lead, canonical);
    }
}

#[test]
fn designations_in_every_order() {
    for (text, lead, canonical) in [
        ("M10", "3/2 mm", "M10"),
        ("m10x1.5", "3/2 mm", "M10"),
        ("M10x1.25", "5/4 mm", "M10x1.25"),
        ("M10 × 1.25", "5/4 mm", "M10x1.25"),
        ("M 10-1.25", "5/4 mm", "M10x1.25"),
        ("1/2-13 UNC", "127/65 mm", "1/2-13 UNC"),
        ("1/2-13unc", "127/65 mm", "1/2-13 UNC"),
        ("1/2-13", "127/65 mm", "1/2-13 UNC"),
        ("0.5 x 13", "127/65 mm", "1/2-13 UNC"),
        ("UNC 1/2", "127/65 mm", "1/2-13 UNC"),
        ("1/2 UNF", "127/100 mm", "1/2-20 UNF"),
        ("1-1/8-7 UNC", "127/35 mm", "1 1/8-7 UNC"),
        ("2-4 1/2 UNC", "254/45 mm", "2-4.5 UNC"),
        ("#10-32", "127/160 mm", "#10-32 UNF"),
        ("10-32 UNF", "127/160 mm", "#10-32 UNF"),
        ("#0-80", "127/400 mm", "#0-80 UNF"),
        ("4-4 UNC", "127/20 mm", "4-4 UNC"),
        ("4-40 UNC", "127/200 mm", "#4-40 UNC"),
        ("1/4 BSW", "127/100 mm", "1/4 BSW"),
        ("1/4-20 Whitworth", "127/100 mm", "1/4 BSW"),
        ("2BA", "81/100 mm", "2 BA"),
        ("BA 2", "81/100 mm", "2 BA"),
        ("0 ba", "1 mm", "0 BA"),
        ("G1/2", "127/70 mm", "G 1/2"),
        ("BSP 1/2", "127/70 mm", "G 1/2"),
        ("1/2 BSPT", "127/70 mm", "R 1/2"),
        ("NPT 3/4", "127/70 mm", "3/4 NPT"),
        ("3/4-14 npt", "127/70 mm", "3/4 NPT"),
        ("1-11 1/2 NPT", "254/115 mm", "1 NPT"),
        ("Tr 40x7", "7 mm", "Tr40x7"),
        ("Acme 3/4-6", "127/30 mm", "3/4-6 ACME"),
        ("3/4-6 Stub Acme", "127/30 mm", "3/4-6 STUB ACME"),
        ("1/4 x 40 ME", "127/200 mm", "1/4-40 ME"),
        ("Pg13.5", "127/90 mm", "Pg 13.5"),
        ("E26", "127/35 mm", "E27"),
        ("c-mount", "127/160 mm", "C-mount 1-32 UN"),
        ("RMS", "127/180 mm", "RMS 0.8-36 W"),
    ] {
        reads(text, lead, canonical);
    }
}

#[test]
fn hand_and_starts_stand_anywhere_after() {
    let of = |text: &str| {
        let t = target(text);
        (t.lead().to_string(), t.starts(), t.hand(), t.to_string())
    };
    let said = |lead: &str, starts, hand, text: &str| (lead.into(), starts, hand, text.into());
    let (left, right) = (Some(Hand::Left), Some(Hand::Right));
    assert_eq!(of("M10 lh"), said("3/2 mm", 1, left, "M10 LH"));
    assert_eq!(of("M10-LH"), said("3/2 mm", 1, left, "M10 LH"));
    assert_eq!(of("M10x1.25 - LH"), said("5/4 mm", 1, left, "M10x1.25 LH"));
    assert_eq!(of("2BA right-hand"), said("81/100 mm", 1, right, "2 BA RH"));
    assert_eq!(of("1.5 mm 2 starts"), said("3 mm", 2, None, "1.5 mm 2 starts"));
    assert_eq!(of("1.5mm LH x 2-start"), said("3 mm", 2, left, "1.5 mm 2 starts LH"));
    assert_eq!(of("3 mm lead two-start"), said("3 mm", 2, None, "1.5 mm 2 starts"));
    assert_eq!(of("8 tpi lead 2 starts"), said("127/40 mm", 2, None, "16 tpi 2 starts"));
    assert_eq!(of("module 1 3 starts"), said("3 pi mm", 3, None, "module 1 3 starts"));
    assert_eq!(of("Tr 40x14 (P7) LH"), said("14 mm", 2, left, "Tr40x14 (P7) LH"));
    assert_eq!(of("tr40x14p7"), said("14 mm", 2, None, "Tr40x14 (P7)"));
    assert_eq!(of("M16xPh3P1.5"), said("3 mm", 2, None, "M16x1.5 2 starts"));
    assert_eq!(of("M10 x 2 starts"), said("3 mm", 2, None, "M10 2 starts"));
}

#[test]
fn feeds() {
    let of = |text: &str| (target(text).lead().to_string(), target(text).travel());
    assert_eq!(of("0.1 mm/rev"), ("1/10 mm".into(), Travel::LongFeed));
    assert_eq!(of("0.08 mm per rev"), ("2/25 mm".into(), Travel::LongFeed));
    assert_eq!(of("0.1 mm/rev long"), ("1/10 mm".into(), Travel::LongFeed));
    assert_eq!(of("0.004 in/rev cross"), ("127/1250 mm".into(), Travel::CrossFeed));
    assert_eq!(target("0.004 IN / REV CROSS").to_string(), "0.004 in/rev cross");
}

#[test]
fn the_row_of_the_table_is_known() {
    let row = |text: &str| target(text).thread().map(|t| t.designation());
    assert_eq!(row("Tr 40x14 (P7)"), Some("Tr40x7"));
    assert_eq!(row("module 1 2 starts"), Some("module 1 2 starts"));
    assert_eq!(row("module 1.5 2 starts"), Some("module 1.5"));
    assert_eq!(row("module 1.37"), None);
    assert_eq!(row("1.5 mm"), None);
    assert_eq!(target(" M10 ").text(), "M10");
}

/// Text, byte offset of the error, part of the message, part of the hint.
const BAD: &[(&str, usize, &str, &str)] = &[
    ("", 0, "missing", "`M10x1.25`"),
    ("   ", 3, "missing", "`1/2-13 UNC`"),
    ("1.25", 0, "no unit", "`1.25 tpi` (= 20.32 mm)"),
    ("1/2", 0, "no unit", "`1/2 UNC`"),
    ("11 1/2 LH", 0, "no unit", "`11 1/2 tpi` (about 2.2087 mm)"),
    ("10", 0, "no unit", "`M10`"),
    ("1,25 mm", 1, "comma", "full stop"),
    ("M10x1,25", 5, "comma", "full stop"),
    ("m 1.5", 0, "thread or a worm", "`module 1.5`"),
    ("M1.5", 1, "not a size", "M1.4, M1.6"),
    (
        "M10x1.3",
        4,
        "not in the thread tables",
        "1.5 (coarse), 1.25, 1.12, 1, 0.75, 0.5 mm; for any other",
    ),
    ("M11.5", 1, "not a size", "M11, M12"),
    ("1/2-14 UNC", 4, "not in the thread tables", "1/2 comes with 13 (UNC), 20 (UNF)"),
    ("M40x7", 4, "not in the thread tables", "there is Tr40x7"),
    ("M10x0.35", 4, "not in the thread tables", "0.5 mm; for any other pitch say `0.35 mm`"),
    ("1/4-40", 4, "not in the thread tables", "1/4-40 ME"),
    ("2 1/3 BSW", 0, "not a size", "2 1/4 BSW, 2 1/2 BSW"),
    ("BA 30", 3, "not a size", "25 BA"),
    ("G 1/3", 2, "not a size", "G 1/4, G 3/8"),
    ("#11-24", 0, "not a size", "#10-24 UNC, #12-24 UNC"),
    ("#10", 3, "must follow", "`#10-32`"),
    ("M15", 1, "which pitch", "M15x1.5, M15x1"),
    ("1/2 UN", 0, "which pitch", "1/2-16 UN"),
    ("Tr40", 2, "which pitch", "Tr40x10, Tr40x7, Tr40x3"),
    ("Tr40x14", 5, "not in the thread tables", "`Tr 40x14 (P7)`"),
    ("Tr40x14 (P5)", 10, "not in the thread tables", "10, 7, 3 mm"),
    ("Tr40x15 (P7)", 5, "no multiple", "starts"),
    ("Tr40x14 (P7", 11, "`)`", "(P7)"),
    ("Tr40x14 (7)", 9, "`P`", "(P7)"),
    ("M", 1, "size must follow", "`M2.5`"),
    ("M10x", 4, "number was expected", "1.25"),
    ("M10-4g6g", 3, "tolerance class (`4g6g`)", "leave it out"),
    ("1/2-13 UNC-2A", 10, "tolerance class (`2A`)", "leave it out"),
    ("G 1/2 A", 6, "tolerance class (`A`)", "leave it out"),
    ("1.25 foo", 5, "`foo`", "tpi"),
    ("1.25 mm foo", 8, "`foo`", "`LH`"),
    ("1.25 mm LH RH", 11, "twice", ""),
    ("1.5 mm 0 starts", 7, "at least one", ""),
    ("1.5 mm 100 starts", 7, "1 to 99", ""),
    ("1.5 mm 1.5 starts", 7, "whole", "`2 starts`"),
    ("Tr40x14 (P7) 2 starts", 13, "already", ""),
    ("0.1 mm/rev LH", 11, "no hand", "LH"),
    ("0.1 mm/rev 2 starts", 11, "no starts", ""),
    ("0.1 mm cross", 7, "only a feed", "/rev"),
    ("0.1 mm/min", 7, "`min`", "/rev"),
    ("20 tpi/rev", 6, "not TPI", "mm/rev"),
    ("0 mm", 0, "is 0", "over 0"),
    ("module 0", 7, "is 0", "over 0"),
    ("1/0 mm", 0, "is 0", "over 0"),
    ("-1 mm", 0, "over 0", "LH"),
    ("1e400 mm", 0, "too large", ""),
    ("1e30 mm", 0, "between", ""),
    ("1e-30 mm", 0, "between", ""),
    ("1.00000000000000000000001 mm", 0, "too large", "fewer digits"),
    ("NaN", 0, "`NaN`", "`1.25 mm`"),
    ("inf mm", 0, "`inf`", "`1.25 mm`"),
    ("१.२५ mm", 0, "is not", "`1.25 mm`"),
    ("😀", 0, "`😀`", "`1.25 mm`"),
];

#[test]
fn bad_targets_say_where_what_and_what_would_be_right() {
    for (text, at, message, hint) in BAD {
        let error = text.parse::<Target>().expect_err(text);
        assert_eq!(error.offset(), Some(*at), "{text}: {error}");
        assert!(error.to_string().contains(message), "{text}: {error}");
        let given = error.hint().unwrap_or("");
        assert!(given.contains(hint), "{text}: {given}");
    }
}

#[test]
fn a_long_text_is_cut_off() {
    let junk = "ü".repeat(5_000);
    let error = junk.parse::<Target>().unwrap_err();
    assert_eq!(error.offset(), Some(200));
    assert!(error.to_string().len() < 100);
}

#[test]
fn every_row_of_every_table_reads_as_itself() {
    for row in thread::all() {
        let designation = row.designation();
        for text in [
            designation.to_owned(),
            designation.to_uppercase(),
            format!(" {} ", designation.to_lowercase().replace('x', " × ")),
        ] {
            let target = target(&text);
            assert_eq!(target.thread(), Some(row), "{text}");
            assert_eq!((target.lead(), target.starts()), (row.lead(), row.starts()), "{text}");
            assert_eq!(target.to_string(), designation, "{text}");
        }
    }
}

#[test]
fn numbered_sizes_go_without_their_sign() {
    for row in thread::all().filter(|t| t.size().gauge) {
        let text = row.designation().trim_start_matches('#');
        assert_eq!(target(text).thread(), Some(row), "{text}");
    }
}

/// What may follow a thread or figure.
fn extras() -> impl Strategy<Value = (String, bool)> {
    let starts = prop::option::of(2_u8..=99);
    let hand = prop::option::of(prop::sample::select(vec![" LH", " rh", " left hand"]));
    (starts, hand).prop_map(|(starts, hand)| {
        let starts = starts.map(|n| format!(" {n} starts")).unwrap_or_default();
        (starts + hand.unwrap_or_default(), hand.is_some())
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_figure_reads_back_from_its_canonical_form(
        number in 1_u32..5_000_000,
        over in 1_u32..100_000,
        unit in prop::sample::select(vec!["mm", "in", "tpi", "mm/rev", "in/rev cross", "DP"]),
        (extras, _) in extras(),
    ) {
        let extras = if unit.contains("rev") { String::new() } else { extras };
        if let Ok(target) = format!("{number}/{over} {unit}{extras}").parse::<Target>() {
            let back: Target = target.to_string().parse().unwrap();
            prop_assert_eq!(&back, &target);
            prop_assert_eq!(back.to_string(), target.to_string());
        }
    }

    #[test]
    fn a_thread_reads_back_from_its_canonical_form(
        index in 0_usize..1500,
        (extras, _) in extras(),
    ) {
        let row = thread::all().nth(index).unwrap();
        let target: Result<Target> = format!("{row}{extras}").parse();
        // Rows that state their starts refuse others.
        prop_assert!(target.is_ok() || row.starts() > 1);
        if let Ok(target) = target {
            let back: Target = target.to_string().parse().unwrap();
            prop_assert_eq!(back, target);
        }
    }

    #[test]
    fn no_text_breaks_it(text in "\\PC{0,40}") {
        check_any(&text)?;
    }

    #[test]
    fn no_mix_of_known_words_breaks_it(words in prop::collection::vec(prop::sample::select(vec![
        "M", "Tr", "G", "BA", "UNC", "module", "DP", "1", "10", "1/2", "0", "1.25", "#", "-",
        "x", "×", "(", "P7", ")", "/rev", "mm", "in", "tpi", "LH", "2 starts", "cross", "lead",
        " ", ",", "e9", "½", "stub",
    ]), 0..9)) {
        check_any(&words.concat())?;
        check_any(&words.join(" "))?;
    }
}

/// It is read and reads back, or is refused with a place inside the text.
fn check_any(text: &str) -> std::result::Result<(), TestCaseError> {
    match text.parse::<Target>() {
        Ok(target) => {
            let back: Target = target.to_string().parse().unwrap();
            prop_assert_eq!(back, target);
        }
        Err(error) => {
            let at = error.offset().expect("a place");
            prop_assert!(text.is_char_boundary(at), "{}: {}", error, at);
        }
    }
    Ok(())
}
