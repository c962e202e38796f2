//! Tumbler, hand and put-back: what was once said wrongly on a card or a page.

use crate::util::{fresh, one_line, run_in};
use serde_json::Value;

/// A lathe with a tumbler whose bracket is not described; `more` in front of the gears.
fn lathe(headstock: &str, more: &str) -> tempfile::TempDir {
    let folder = fresh();
    let text = format!(
        r#"{{"format": 1, "name": "Plain", "lead_screw": {{"lead": "8 tpi"}},
            "headstock": {{{headstock}, "tumbler": {{"up": "same", "down": "opposite"}}}}, {more}
            "gears": {{"pitch": "module 1", "owned": [20, 20, 30, 40, 50, 60, 60, 80, 80, 127]}}}}"#
    );
    std::fs::write(folder.path().join("lathe.json"), text).unwrap();
    folder
}

const ONE_TO_ONE: &str = r#""ratio": "1", "turns": "same""#;
const TWO_WAYS: &str = r#""positions": {"normal": {"ratio": "1", "turns": "same"},
    "coarse": {"ratio": "8", "turns": "same"}}"#;

fn text(folder: &tempfile::TempDir, args: &[&str]) -> String {
    one_line(&run_in(folder.path(), args).out)
}

fn json(folder: &tempfile::TempDir, args: &[&str]) -> Value {
    let out = run_in(folder.path(), &[args, &["--format", "json"]].concat()).out;
    serde_json::from_str(&out).unwrap()
}

/// The card said "Tumbler: down" and no word of an idler, `find` put an idler between with the tumbler
/// up, `table` wrote an idler with the tumbler up.
#[test]
fn two_gears_that_nobody_measured_are_an_open_question_everywhere() {
    let folder = lathe(ONE_TO_ONE, r#""fitted": {"train": "20-80+20-80"},"#);
    let both = ["If they mesh directly: tumbler down.", "If an idler is needed: tumbler up."];
    let check = "carriage toward the headstock = right hand";
    for command in ["find", "card"] {
        let out = text(&folder, &[command, "20 tpi"]);
        for said in both.into_iter().chain([check]) {
            assert!(out.contains(said), "{command}: {said}: {out}");
        }
        assert!(!out.contains("Tumbler: down") && !out.contains("Tumbler: up"), "{out}");
    }
    // The check comes before the scratch pass.
    let card = text(&folder, &["card", "20 tpi"]);
    assert!(card.find(check) < card.find("Scratch pass"), "{card}");
    let table = text(&folder, &["table", "20 tpi", "16 tpi"]);
    assert!(table.contains("20-80-50"), "{table}");
    assert!(table.contains("tumbler up (no idler: down)") && table.contains(check), "{table}");
    let found = json(&folder, &["find", "20 tpi"]);
    let either = &found["results"][0]["solutions"][0]["either"];
    assert_eq!(either["direct"], serde_json::json!({"tumbler": "down", "hand": "right"}));
    assert_eq!(either["with_idler"], serde_json::json!({"tumbler": "up", "hand": "right"}));
    let planned = json(&folder, &["table", "20 tpi", "16 tpi"]);
    assert_eq!(planned["lines"][0]["either"]["direct"]["tumbler"], "down");
    // A compound train is settled.
    let compound = json(&folder, &["find", "20 tpi", "--train", "20-80+20-80"]);
    assert_eq!(compound["results"][0]["nearest"]["either"], Value::Null);
}

/// `check` said nothing of it, `buy` and `reach` a short form without its meaning, `find` both cases twice.
#[test]
fn both_cases_are_said_once_on_each_page() {
    let folder = lathe(ONE_TO_ONE, r#""fitted": {"train": "20-80+20-80"},"#);
    let meaning = "Tumbler down (idler: up): down if they mesh directly, up if an idler is needed.";
    let reach = ["reach", "--from", "1.2 mm", "--to", "1.3 mm"];
    for args in [&["buy", "20 tpi", "13 tpi"][..], &reach, &["table", "19 tpi", "16 tpi"]] {
        let out = text(&folder, args);
        let times = usize::from(out.contains("(idler: up)"));
        assert_eq!(out.matches(meaning).count(), times, "{args:?}: {out}");
        assert!(args[0] == "table" || times == 1, "{args:?}: {out}");
    }
    let found = text(&folder, &["find", "20 tpi"]);
    assert_eq!(found.matches("If they mesh directly").count(), 1, "{found}");
    assert!(!found.contains("set tumbler down (idler"), "{found}");
    let chart = "thread,train\n10 tpi,20-80+50-20\n20 tpi,20-50\n";
    std::fs::write(folder.path().join("chart.csv"), chart).unwrap();
    let checked = text(&folder, &["check", "chart.csv"]);
    let both = "The hand is not checked. The banjo is not measured: two gears may mesh directly, or \
                need an idler. Right hand by 20-50 (line 3): If they mesh directly: tumbler down. If \
                an idler is needed: tumbler up. Check the hand before the scratch pass";
    assert_eq!(checked.matches(both).count(), 1, "{checked}");
    // Where the row says what goes between, and no tumbler turns it round, nothing is open.
    let settled = "thread,train\n10 tpi,20-80+50-20\n";
    std::fs::write(folder.path().join("chart.csv"), settled).unwrap();
    assert!(!text(&folder, &["check", "chart.csv"]).contains("The hand is not checked"));
}

#[test]
fn without_a_tumbler_each_case_cuts_its_hand() {
    let folder = fresh();
    let file = r#"{"format": 1, "lead_screw": {"lead": "8 tpi"}, "studs": 2,
        "headstock": {"ratio": "1", "turns": "opposite"}, "gears": {"owned": [20, 50, 60]}}"#;
    std::fs::write(folder.path().join("lathe.json"), file).unwrap();
    let card = text(&folder, &["card", "20 tpi"]);
    assert!(card.contains("If they mesh directly: right hand."), "{card}");
    assert!(card.contains("If an idler is needed: left hand; two idlers: right hand."), "{card}");
    assert!(!card.contains("with the spindle forward the carriage runs"), "{card}");
}

/// `find` said that nothing need be changed, the card took off the idler.
#[test]
fn gears_that_are_right_already_stay_on_the_card_too() {
    let folder = lathe(ONE_TO_ONE, r#""fitted": {"train": "60-127-60", "tumbler": "up"},"#);
    let find = text(&folder, &["find", "8 tpi"]);
    assert!(find.contains("none needed: the fitted 60-127-60 does the same, with the tumbler up"));
    let card = text(&folder, &["card", "8 tpi"]);
    assert!(card.contains("Nothing to change: 60-127-60 is fitted."), "{card}");
    assert!(!card.contains("Take off") && card.contains("Tumbler: up (as fitted)"), "{card}");
    // Where an end gear goes the idler may stay; both say so.
    let find = text(&folder, &["find", "16 tpi"]);
    assert!(find.contains("the 127 may stay as the idler") && !find.contains("take off 60, 127"));
    let card = text(&folder, &["card", "16 tpi"]);
    assert!(card.contains("The 127 stays as the idler, if one is needed"), "{card}");
    assert!(!card.contains("Take off the 60 from the driving shaft; the 127"), "{card}");
}

/// The job's back gear was left in, and the feed was reckoned without it.
#[test]
fn all_that_a_job_changes_is_put_back_and_feeds_as_it_then_does() {
    let with = |fitted: &str| {
        let more = format!(
            r#""feeds": {{"long": "0.02 in"}}, "fitted": {{"train": "60-127-60"{fitted}}},"#
        );
        let folder = lathe(TWO_WAYS, &more);
        (text(&folder, &["card", "1 tpi"]), json(&folder, &["card", "1 tpi"])["card"].clone())
    };
    // 0.02 in x 1, and x 8.
    for (at, feeds) in [("normal", "0.5080 mm"), ("coarse", "4.0640 mm")] {
        let (card, data) = with(&format!(r#", "headstock": "{at}", "tumbler": "down""#));
        assert!(card.contains(&format!("Set headstock {at}, tumbler down.")), "{card}");
        assert!(card.contains(&format!("Then: longitudinal feed {feeds}")), "{card}");
        assert!(!card.contains("Note how it is now: headstock"), "{card}");
        assert_eq!(
            (&data["back"]["headstock"], &data["back"]["as_noted"]),
            (&at.into(), &serde_json::json!(["feed selector"]))
        );
    }
    // What is not known is noted before, and no feed is reckoned from a guess.
    let (card, data) = with("");
    assert!(card.contains("Note how it is now: headstock; tumbler; feed selector."), "{card}");
    assert!(card.contains("Back as you noted: headstock, tumbler, feed selector."), "{card}");
    assert!(card.find("Note how it is now") < card.find("Headstock: coarse"), "{card}");
    assert_eq!(data["back"]["restores"], serde_json::json!([]));
}

/// 0.2 mm right hand was far off, and nobody said that left hand would be exact.
#[test]
fn the_hand_that_comes_out_exact_is_named() {
    let folder = fresh();
    let file = r#"{"format": 1, "lead_screw": {"lead": "3 mm"},
        "headstock": {"ratio": "1", "turns": "opposite"},
        "gears": {"owned": [20, 20, 24, 80, 90]}}"#;
    std::fs::write(folder.path().join("lathe.json"), file).unwrap();
    // 3 mm x 20/80 x 24/90 is 0.2 mm; two meshes and a driving gear that turns round: left hand.
    let said = "Left hand would be exact: 20-80+24-90.";
    let find = text(&folder, &["find", "0.2 mm"]);
    assert!(find.contains(said), "{find}");
    let found = json(&folder, &["find", "0.2 mm"]);
    assert_eq!(found["results"][0]["other_hand"]["train"], "20-80+24-90");
    let card = text(&folder, &["card", "0.2 mm"]);
    assert!(card.contains(said), "{card}");
    // Not where the hand asked is exact, nor for a feed.
    for target in ["0.2 mm LH", "0.2 mm/rev"] {
        assert!(!text(&folder, &["find", target]).contains("hand would be"), "{target}");
        assert_eq!(json(&folder, &["find", target])["results"][0]["other_hand"], Value::Null);
    }
}

/// "Double: a lever or a pair", also where there is neither; the card told to reverse a motor of which
/// nobody had said that it reverses.
#[test]
fn what_is_said_of_a_lathe_is_known_of_it() {
    let folder = lathe(TWO_WAYS, "");
    let data = json(&folder, &["card", "16 tpi", "--train", "30-60"])["card"].clone();
    let slips = data["scratch"]["slips"].as_array().unwrap();
    let said: Vec<_> = slips.iter().map(|s| (s["what"].as_str(), s["factor"].as_str())).collect();
    // The tumbler hangs on the idler here; the end gears exchanged cut 60/30 in place of 30/60.
    let wanted = [("headstock at coarse", "8"), ("30 and 60 exchanged", "4")];
    assert_eq!(said, wanted.map(|(what, factor)| (Some(what), Some(factor))));
    let card = text(&folder, &["card", "20 tpi"]);
    assert!(
        card.contains("If the motor reverses: reverse it. If not: turn back by hand"),
        "{card}"
    );
    let show = text(&folder, &["lathe", "show"]);
    assert!(show.contains("motor reverses not known") && show.contains("half nut not known"));
}

/// The undercut of a left-hand thread is where the tool begins; it and all else of the blank come while
/// the fitted gears still feed.
#[test]
fn the_blank_is_ready_before_the_gears_come_off() {
    let folder = lathe(ONE_TO_ONE, "");
    for (target, more, said) in [
        ("20 tpi", None, "Undercut at the headstock end: the tool runs out there."),
        ("20 tpi LH", None, "Undercut at the headstock end: the thread starts there."),
        ("20 tpi", Some("--internal"), "Bore it first"),
        ("20 tpi LH", Some("--internal"), "Undercut at the bottom of a blind bore"),
    ] {
        let args: Vec<&str> = ["card", target].into_iter().chain(more).collect();
        let card = text(&folder, &args);
        let at = card.find(said).unwrap_or_else(|| panic!("{said}: {card}"));
        assert!(at < card.find("Cover off").unwrap(), "{card}");
    }
    assert!(!text(&folder, &["card", "0.5 mm/rev"]).contains("Blank"));
}
