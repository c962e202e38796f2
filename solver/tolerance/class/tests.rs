use super::super::tests::named;
use super::*;
use proptest::prelude::*;

fn class(text: &str) -> Class {
    text.parse().unwrap_or_else(|e| panic!("{text}: {e}"))
}

#[test]
fn read_and_printed() {
    for text in ["6g", "6H", "4g6g", "3h4h", "9g8g", "7H", "5H6H", "6e", "8G", "2A", "1B", "A"] {
        assert_eq!(class(text).to_string(), text);
    }
    assert_eq!(class("6g6g").to_string(), "6g");
    assert_eq!(class("3b"), class("3B"));
    assert_eq!(class("internal").standard(), Standard::Iso228);
}

#[test]
fn the_usual_class_comes_first() {
    let of = |standard: Standard| {
        [false, true].map(|internal| standard.default_class(internal).to_string())
    };
    assert_eq!(of(Standard::Iso965), ["6g", "6H"]);
    assert_eq!(of(Standard::AsmeB11), ["2A", "2B"]);
    assert_eq!(of(Standard::Iso228), ["A", "internal"]);
    assert_eq!(of(Standard::Iso2903), ["7e", "7H"]);
    assert_eq!(of(Standard::AsmeB15), ["2G", "2G"]);
    assert_eq!(of(Standard::Bs93), ["normal", "normal"]);
}

#[test]
fn listed_classes_read_back_and_are_of_their_standard() {
    for (standard, thread) in [
        (Standard::Iso965, "M10"),
        (Standard::AsmeB11, "1/2-13 UNC"),
        (Standard::Iso228, "G 1/2"),
        (Standard::Iso2903, "Tr40x7"),
        (Standard::AsmeB15, "1/2-10 ACME"),
        (Standard::Bs93, "0 BA"),
    ] {
        let thread = named(thread);
        for internal in [false, true] {
            for listed in standard.classes(internal) {
                let read = Class::read(&listed.to_string(), Some(&thread), internal);
                assert_eq!(read.unwrap(), *listed);
                assert_eq!((listed.standard(), listed.is_internal()), (standard, internal));
            }
        }
    }
}

/// A nut's class for a screw is still that nut's: the caller refuses it.
#[test]
fn a_name_that_standards_share_is_read_beside_its_thread() {
    let read = |text: &str, thread: &str, internal| {
        let class = Class::read(text, Some(&named(thread)), internal).unwrap();
        (class.standard(), class.is_internal())
    };
    assert_eq!(read("4G", "1/2-10 ACME", false), (Standard::AsmeB15, false));
    assert_eq!(read("4G", "1/2-10 ACME", true), (Standard::AsmeB15, true));
    assert_eq!(read("4G", "M10", true), (Standard::Iso965, true));
    assert_eq!(read("8e", "Tr40x7", false), (Standard::Iso2903, false));
    assert_eq!(read("8H", "Tr40x7", false), (Standard::Iso2903, true));
    assert_eq!(read("Close", "2 BA", false), (Standard::Bs93, false));
    assert_eq!(read("6g", "Tr40x7", false), (Standard::Iso965, false));
    assert_eq!(Class::read("8e", None, false).unwrap(), class("8e"));
    assert!(Class::read("2G", Some(&named("M10")), false).is_err());
}

#[test]
fn refused_with_the_place_and_what_would_be_right() {
    for (text, at, words, hint) in [
        ("", 0, "expected", "6g"),
        ("6", 0, "expected", "6g"),
        ("g6", 0, "expected", "6g"),
        ("6x", 1, "expected", "6g"),
        ("6E", 1, "expected", "6g"),
        ("6g6", 0, "expected", "6g"),
        ("2C", 1, "expected", "2A"),
        ("6gx6", 2, "expected", "6g"),
        ("6g6x", 3, "expected", "6g"),
        ("6g6H", 3, "same position", "6g6g or 6H6H"),
        ("4h6g", 3, "same position", "4h6h or 4g6g"),
        ("5g", 0, "no grade 5 for the major", "5g4g, 5g6g or 5g8g"),
        ("5g7g", 2, "no grade 7 for the major", "5g6g"),
        ("6H9H", 2, "no grade 9 for the minor", "6H8H"),
        ("3H", 0, "no grade 3 for the pitch", "4, 5, 6, 7 or 8"),
        ("2g6g", 0, "no grade 2 for the pitch", "3, 4"),
        ("½½", 0, "expected", "6g"),
    ] {
        let error = text.parse::<Class>().expect_err(text);
        assert_eq!(error.offset(), Some(at), "{text}");
        assert!(error.to_string().contains(words), "{text}: {error}");
        assert!(error.hint().is_some_and(|h| h.contains(hint)), "{text}: {:?}", error.hint());
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_text_breaks_it(text in "[0-9a-hA-Hx½]{0,5}") {
        match text.parse::<Class>() {
            Ok(read) => prop_assert_eq!(read.to_string().parse::<Class>().unwrap(), read),
            Err(error) => prop_assert!(text.is_char_boundary(error.offset().unwrap())),
        }
    }
}
