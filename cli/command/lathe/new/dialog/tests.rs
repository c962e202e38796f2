//! Talks with somebody who types these lines.

use super::*;

/// A talk with someone who types these lines; what came of it, and what was shown.
fn talk(lines: &str) -> (Result<Draft, String>, String) {
    let mut shown = Vec::new();
    let person = Person::new(lines.as_bytes(), &mut shown, 80);
    let (folder, file) = (Path::new(""), Path::new("lathe.json"));
    let talk = Talk::new(person, Draft::default(), folder, file, None);
    let draft = talk.run().map_err(|failure| failure.to_string());
    (draft, String::from_utf8(shown).unwrap())
}

#[test]
fn wrong_answers_are_asked_for_again_and_understood_ones_echoed() {
    let (draft, shown) = talk("Shed\n8\n?\n8 tpi\nrest\n20,40\nyes\n");
    let draft = draft.unwrap();
    assert_eq!(draft.said(Key::Screw), Some("8 tpi"));
    assert!(shown.contains("Refused: a length needs its unit"), "{shown}");
    assert!(shown.contains("Lay a rule along the lead screw"), "{shown}");
    assert!(shown.contains("= lead screw: 8 TPI (3.175 mm), right hand"), "{shown}");
}

#[test]
fn back_takes_the_last_answer_back() {
    let (draft, shown) = talk("back\nShed\nback\nBarn\n8 tpi\nback\n3 mm\nrest\n20,40\nyes\n");
    let draft = draft.unwrap();
    let said: Vec<_> = draft.answers().collect();
    assert_eq!(said, [(Key::Name, "Barn"), (Key::Screw, "3 mm"), (Key::Gears, "20,40")]);
    assert!(shown.contains("This is the first question."));
    // Also from the end, over what was skipped.
    let (draft, _) = talk("rest\n20,40\nback\nBarn\nrest\n20,40\nyes\n");
    assert_eq!(draft.unwrap().said(Key::Name), Some("Barn"));
}

#[test]
fn what_was_gone_back_over_stands_until_it_is_said_anew() {
    // Name, screw, hand and starts; back to the screw, another one; Enter keeps the hand, the
    // starts are left out.
    let said = "Shed\n8 tpi\nleft\n2\nback\nback\nback\n6 tpi\n\nskip\nrest\n20,40\nyes\n";
    let (draft, shown) = talk(said);
    let said: Vec<_> = draft.unwrap().answers().map(|(k, s)| (k, s.to_owned())).collect();
    let wanted = [(Key::Name, "Shed"), (Key::Screw, "6 tpi"), (Key::Hand, "left")];
    let wanted = wanted.into_iter().chain([(Key::Gears, "20,40")]);
    assert_eq!(said, wanted.map(|(k, s)| (k, s.to_owned())).collect::<Vec<_>>(), "{shown}");
    assert!(shown.contains("before: left (Enter keeps it, skip leaves it out)"), "{shown}");
    // From the end, over levers and all.
    let lines = "\n\n\n\n\n\n\n20,40\n\n\n\n\nRange: A=1\nStep: 1=1\n\nrest\nback\nrest\nyes\n";
    let (draft, shown) = talk(lines);
    assert_eq!(draft.unwrap().answers().count(), 3, "{shown}");
    let back = "back\n".repeat(4) + "\n\n\nrest\nyes\n";
    let (draft, shown) = talk(&lines.replace("back\nrest\nyes\n", &back));
    assert_eq!(draft.unwrap().answers().count(), 3, "{shown}");
}

#[test]
fn who_stops_gets_the_answers_back_and_no_file() {
    for lines in ["Shed\n8 tpi\n", "Shed\n8 tpi\nrest\n20,40\nno\n", "Shed\n8 tpi\nrest\n\n"] {
        let (draft, shown) = talk(lines);
        assert!(draft.unwrap_err().contains("lathe.json was not written"));
        assert!(shown.contains("name: Shed\nscrew: 8 tpi\n"), "{shown}");
    }
}

#[test]
fn levers_and_slots_are_asked_for_until_there_are_no_more() {
    let skipped = "\n".repeat(12);
    let answers = "\n\n\n\n\n\n\n20,40\n\n\n\n\nRange: A=1, B=1/2\nStep: 1=1\n\n";
    let (draft, shown) = talk(&format!("{answers}{skipped}yes\n"));
    let draft = draft.unwrap();
    assert_eq!(draft.answers().filter(|(key, _)| *key == Key::Lever).count(), 2, "{shown}");
}

#[test]
fn where_the_fitted_set_up_has_positions_they_are_asked_for() {
    // Ratio, tumbler, gears (tooth size, angle, studs, sleeves, levers skipped) and the train.
    let asked = |ratio: &str, tumbler: &str, more: &str| {
        let sense = if tumbler == "no" && !ratio.contains('=') { "\n" } else { "" };
        let lines =
            format!("\n\n\n\n{ratio}\n{tumbler}\n{sense}20,40\n\n\n\n\n\n20-40\n{more}rest\nyes\n");
        let (draft, shown) = talk(&lines);
        let draft = draft.unwrap();
        let said = |key| draft.said(key).map(str::to_owned);
        assert!(said(Key::Fitted).is_some(), "{shown}");
        [said(Key::FittedHeadstock), said(Key::FittedTumbler)]
    };
    let some = |said: &str| Some(said.to_owned());
    let both = asked("low=1, high=8", "up, down", "high\nnot sure\n");
    assert_eq!(both, [some("high"), some("not sure")]);
    assert_eq!(asked("1", "up, down", "down\n"), [None, some("down")]);
    assert_eq!(asked("low=1, high=8", "no", "low\n"), [some("low"), None]);
    assert_eq!(asked("1", "no", ""), [None, None]);
}

#[test]
fn no_is_an_answer_where_something_may_not_be_there() {
    let lines = "\n\n\n\n\nno\n\n20,40\n\n\n\nnone\nno\nno\nyes\nno\nrest\nyes\n";
    let (draft, shown) = talk(lines);
    let draft = draft.unwrap();
    assert!(!shown.contains("Refused"), "{shown}");
    assert_eq!((draft.said(Key::Sleeves), draft.said(Key::Lever)), (Some("none"), None));
    assert_eq!((draft.said(Key::Fitted), draft.said(Key::Dial)), (None, Some("no")));
    assert!(draft.text().contains("\"sleeves\": 0"), "{}", draft.text());
}

#[test]
fn one_caution_stands_before_the_first_question_that_sends_a_hand_in() {
    let (_, shown) = talk("Shed\n\n\n\n?\n1\ndone\n20,40\nyes\n");
    let shown = shown.split_whitespace().collect::<Vec<_>>().join(" ");
    let at = |words: &str| shown.find(words).unwrap_or_else(|| panic!("{words}: {shown}"));
    assert!(at("What do you call the lathe?") < at(cautions::HANDS));
    assert!(at(cautions::HANDS) < at("How far does the carriage go"));
    assert_eq!(shown.matches(cautions::HANDS).count(), 1);
    assert_eq!(shown.to_lowercase().matches("unplug").count(), 1);
}

#[test]
fn nothing_is_shown_as_said_that_was_not() {
    let (_, shown) = talk("Shed\n8 tpi\ndone\n20,40\nyes\n");
    let facts: Vec<&str> = shown
        .lines()
        .filter_map(|line| line.split_once(": ").filter(|(part, _)| part.starts_with("  ")))
        .map(|(part, _)| part.trim())
        .filter(|part| !part.starts_with("such as"))
        .collect();
    let said = ["= lead screw", "lead screw", "gears", "cross feed"];
    assert!(facts.iter().all(|part| said.contains(part) || part.contains("gears")), "{facts:?}");
    assert!(shown.contains("lead screw: 8 TPI (3.175 mm), right hand assumed"), "{shown}");
    let (_, shown) = talk("Shed\n8 tpi\nright\ndone\n20,40\nyes\n");
    let summary = shown.split("So far:").nth(1).unwrap_or_default();
    assert!(summary.contains("right hand\n") && !summary.contains("assumed"), "{shown}");
}

#[test]
fn everything_may_be_skipped_but_the_gears() {
    let open = Key::questions().filter(|q| Draft::default().asks(q.key)).count();
    let (draft, shown) = talk(&format!("{}20,40\nyes\n", "\n".repeat(open)));
    let draft = draft.unwrap();
    assert_eq!(draft.answers().count(), 1, "{shown}");
    assert!(crate::files::lathe_of_text("f", &draft.text()).is_ok());
}

/// What a first user typed, and what was said to it.
#[test]
fn a_refusal_says_what_would_be_right() {
    let after = |answers: &str, said: &str| {
        let lines = format!("Shed\n8 tpi\nr\n1\n1\nno\nsame\n{answers}\nrest\n20,40\nyes\n");
        let (_, shown) = talk(&lines);
        assert!(shown.split_whitespace().collect::<Vec<_>>().join(" ").contains(said), "{shown}");
    };
    after("20,30,40..65", "Refused: `40..65` is a range: write every gear; sizes with commas");
    after("20 to 65", "Refused: `to` is no gear; sizes with commas");
    after("two twenties, 30", "Refused: `two` is no gear; sizes with commas");
    after("no", "Refused: at least two gears are needed; sizes with commas");
    after("20,40\nmodule 1\n8 mm", "Refused: a number alone is wanted here; 1.25, 3/4 or 11 1/2");
    after("20,40\nmodule 1\n20\none", "Refused: `one` is no answer to this question; such as 1");
    after("20,40\nmodule 1\n20\n1\n1\nno\nno idea", "fitted> = not known");
    let to_dial = "20,40\nmodule 1\n20\n1\n1\nno\n20-40\n";
    after(
        &format!("{to_dial}perhaps"),
        "Refused: `perhaps` is no answer to this question; such as yes",
    );
    after(&format!("{to_dial}2"), "Refused: `2` is neither yes nor no; yes, no or not sure");
    after(
        &format!("{to_dial}y\n0.04"),
        "Refused: two figures are wanted, not 1; teeth of the dial",
    );
    after(&format!("{to_dial}y\n1.5 teeth, 8 lines"), "Refused: `1.5 teeth, 8 lines` is no answer");
}

#[test]
fn the_last_question_says_what_it_can_be_answered_with() {
    let (_, shown) = talk("Shed\n8 tpi\nrest\n20,40\nwhat\nyes\n");
    assert!(shown.contains("yes: write it. back: to the last question."), "{shown}");
}
