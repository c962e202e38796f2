//! Undercuts at a shoulder and in a blind bore, and cuts away from the headstock: every row of the
//! standard's table, and the hand that spindle and carriage leave on the work.

use super::{card, card_on, near, number, words};
use crate::util::{one_line, run};
use serde_json::Value;
use solver::cutting::{Side, short_undercut, undercut};
use solver::{Lead, Length, Sureness};

/// Each row of `data/din76.csv`.
fn rows() -> Vec<Vec<&'static str>> {
    let lines = include_str!("../data/din76.csv").lines();
    let lines = lines.filter(|line| !line.starts_with('#')).skip(1);
    lines.map(|line| line.split(',').collect()).collect()
}

fn mm(text: &str) -> Length {
    format!("{text} mm").parse().expect("a length")
}

/// DIN 76-1, thread undercuts: all rows, both sides, regular and short.
#[test]
fn undercuts_are_those_of_the_standard() {
    let rows = rows();
    assert_eq!(rows.len(), 48);
    for row in rows {
        let side = if row[0] == "external" { Side::External } else { Side::Internal };
        let pitch = Lead::new(mm(row[1]));
        let (regular, short) =
            (undercut(&pitch, side).expect("a row"), short_undercut(&pitch, side).expect("a row"));
        assert_eq!([regular.least, regular.most], [mm(row[2]), mm(row[3])], "{row:?}");
        assert_eq!([short.least, short.most], [mm(row[4]), mm(row[5])], "{row:?}");
        for of in [regular, short] {
            assert_eq!([of.depth_on_diameter, of.radius], [mm(row[6]), mm(row[7])], "{row:?}");
        }
        let (of_regular, of_short) = match row[8] {
            "A" => (Sureness::CrossChecked, Sureness::CrossChecked),
            "B" => (Sureness::Single, Sureness::Single),
            _ => (Sureness::CrossChecked, Sureness::Split),
        };
        assert_eq!([regular.sureness, short.sureness], [of_regular, of_short], "{row:?}");
    }
}

/// The rows again as the card has them: 12 mm more across than the pitch, the floor by hand.
#[test]
fn the_card_has_the_row_of_its_pitch() {
    for row in rows().into_iter().filter(|row| ["0.5", "1.5", "1.75", "3"].contains(&row[1])) {
        let [pitch, offset] = [1, 6].map(|at| row[at].parse::<f64>().expect("a number"));
        let across = pitch + 12.0;
        let (target, diameter) = (format!("{pitch} mm"), format!("{across} mm"));
        let internal = (row[0] == "internal").then_some("--internal");
        for (kind, at, from) in [("regular", 2, "din_76_1"), ("short", 4, "din_76_1_short")] {
            let args = [&target[..], "--diameter", &diameter, "--undercut", kind];
            let args: Vec<&str> = args.into_iter().chain(internal).collect();
            let card = card(&args);
            let sign = if internal.is_some() { 1.0 } else { -1.0 };
            near(&card, "/undercut/width/mm", row[at].parse().expect("g1"), 1e-9);
            near(&card, "/undercut/most/mm", row[at + 1].parse().expect("g2"), 1e-9);
            near(&card, "/undercut/floor/mm", across + sign * offset, 1e-9);
            assert_eq!(words(&card, "/undercut/from"), from);
            // What the speeds are reckoned with.
            assert_eq!(card["speed"]["undercut"], card["undercut"]["width"]);
        }
    }
}

/// 1/2-13 UNC: 1.5 x 25.4 / 13 is 2.931 mm, upward 3 mm; its floor is past the root. A width of one's own
/// has the floor of the standard, but neither of its widths.
#[test]
fn other_threads_have_a_pitch_and_a_half() {
    let inch = card(&["1/2-13 UNC", "--undercut", "regular"]);
    near(&inch, "/undercut/width/mm", 3.0, 1e-9);
    assert_eq!(words(&inch, "/undercut/from"), "pitches");
    assert_eq!([&inch["undercut"]["most"], &inch["undercut"]["floor"]], [&Value::Null; 2]);
    let page = one_line(&run(&["card", "1/2-13 UNC", "--undercut", "regular"]).out);
    for said in [
        "3.000 mm (0.1181 in) wide, its floor a little below the root of",
        "(1.5 pitches: common practice): the tool runs out there.",
        "Undercut 3.000 mm (0.1181 in) wide, 1.5 pitches.",
    ] {
        assert!(page.contains(said), "{said}: {page}");
    }
    let own = card(&["M10", "--undercut", "4 mm"]);
    near(&own, "/undercut/width/mm", 4.0, 1e-9);
    near(&own, "/undercut/floor/mm", 7.7, 1e-9);
    assert_eq!(own["undercut"]["most"], Value::Null);
    // Nobody spoke of one.
    assert_eq!(card(&["M10"])["undercut"], Value::Null);
    let split = run(&["card", "M12", "--internal", "--undercut", "short"]).out;
    assert!(
        one_line(&split).contains("tables disagree on the greatest width, check it"),
        "{split}"
    );
}

/// Half the groove at the surface: the form's flat and two flanks of 30 degrees. M10 with a point:
/// depth x tan 30.
#[test]
fn the_side_of_the_tool_stays_off_the_shoulder() {
    for (more, flat) in [("0", 0.0), ("0.2 mm", 0.1)] {
        let card = card(&["M10", "--undercut", "regular", "--flat", more]);
        let reach = flat + number(&card, "/tool/depth/mm") / 3.0_f64.sqrt();
        near(&card, "/undercut/reach_mm", reach, 1e-5);
    }
    let page = |args: &[&str]| one_line(&run(&[&["card"], args].concat()).out);
    let stops = page(&["M10", "--undercut", "regular", "--flat", "0"]);
    assert!(stops.contains("The point stops 0.7 to 3.2 mm from the shoulder"), "{stops}");
    let begins = page(&["M10 LH", "--undercut", "regular", "--flat", "0"]);
    assert!(begins.contains("The point begins 0.7 to 2.5 mm from the shoulder"), "{begins}");
    let narrow = page(&["M10", "--undercut", "0.5 mm"]);
    assert!(narrow.contains("Too narrow: the tool's side reaches"), "{narrow}");
}

const DEMOS: [(&str, &str); 3] = [
    ("dinghy", include_str!("../../gearsets/dinghy.lathe.json")),
    ("ketch", include_str!("../../gearsets/ketch.lathe.json")),
    ("tug", include_str!("../../gearsets/tug.lathe.json")),
];

const fn sense(is_same: bool) -> f64 {
    if is_same { 1.0 } else { -1.0 }
}

/// How the lead screw turns for one turn of the spindle: each mesh turns it round, and headstock, tumbler
/// and levers where the file says so.
fn screw_turns(file: &Value, solution: &Value) -> f64 {
    let same = |value: &Value| sense(value.as_str() != Some("opposite"));
    let head = &file["headstock"];
    let tumbler = solution["tumbler"].as_str().map_or(1.0, |at| same(&head["tumbler"][at]));
    let meshes = words(solution, "/train").matches('-').count();
    let mut turns = same(&head["turns"]) * tumbler * sense(meshes.is_multiple_of(2));
    for lever in file["gearbox"]["levers"].as_array().into_iter().flatten() {
        let at = words(solution, &format!("/levers/{}", words(lever, "/name"))).to_string();
        turns *= same(&lever["positions"][&at]["turns"]);
    }
    turns
}

/// Turned on paper: z is from the headstock to the tailstock, angles grow against the clock as seen from
/// the tailstock, which is how the spindle turns forward. A right-hand screw that turns so would come
/// towards the tailstock if it could: its nut goes to the headstock. Returns the carriage's travel for a
/// turn in the cut, and whether the groove's angle on the work grows with z, as on a right-hand screw.
fn turned(file: &Value, card: &Value) -> (f64, bool) {
    let spindle = sense(words(card, "/spindle") == "forward");
    let screw_is_right = sense(file["lead_screw"]["hand"] != "left");
    let travel = -spindle * screw_turns(file, &card["solution"]) * screw_is_right;
    // On the work the tool goes round the other way.
    let angle = -spindle;
    (travel, angle / travel > 0.0)
}

/// M30x1.5 in a blind bore and as a screw, both hands, toward the headstock and away from it.
#[test]
fn the_hand_on_the_work_is_the_one_that_was_asked() {
    for (name, text) in DEMOS {
        let file: Value = serde_json::from_str(text).expect("JSON");
        for (target, is_right) in [("M30x1.5", true), ("M30x1.5 LH", false)] {
            for away in [false, true] {
                for internal in [false, true] {
                    let more = [away.then_some("--away"), internal.then_some("--internal")];
                    let args = [target, "--lathe", name].into_iter();
                    let args: Vec<&str> = args.chain(more.into_iter().flatten()).collect();
                    let card = card(&args);
                    let (travel, right) = turned(&file, &card);
                    assert_eq!(right, is_right, "{args:?}");
                    let to_the_tailstock = travel > 0.0;
                    assert_eq!(words(&card, "/carriage") == "tailstock", to_the_tailstock);
                    assert_eq!(to_the_tailstock, away || !is_right, "{args:?}");
                    // Gears and tumbler don't depend on it.
                    assert_eq!(card["solution"], self::card(&args_without(&args))["solution"]);
                }
            }
        }
    }
}

fn args_without<'a>(args: &[&'a str]) -> Vec<&'a str> {
    args.iter().filter(|arg| **arg != "--away").copied().collect()
}

/// A blind bore away from the headstock on each demo lathe, as it is read.
#[test]
fn a_blind_bore_is_threaded_from_its_bottom() {
    for (name, _) in DEMOS {
        let args = ["card", "M30x1.5", "--internal", "--away", "--lathe", name];
        let page = one_line(&run(&args).out);
        for said in [
            "Undercut at the bottom of the bore, 6 to 7.8 mm wide, floor 30.5 mm (H13) across",
            "The tool begins in it and runs away from the chuck.",
            "Right hand, spindle in reverse: the carriage runs toward the tailstock.",
            "a screwed-on chuck comes off. Only with a chuck that is bolted, locked or on a cam lock.",
            "upside down, or upright at the back of the work",
            "relieve the side toward the tailstock",
            "feeding outward and toward the tailstock",
            "stop in the undercut, before the bottom; tool in.",
            "The tool runs out at the tailstock end",
        ] {
            assert!(page.contains(said), "{name}: {said}: {page}");
        }
        let no_motor =
            page.contains("The motor does not reverse: turn the spindle backward by hand.");
        assert_eq!(no_motor, name == "tug", "{page}");
        let html = run(&[&args[..], &["--format", "html"]].concat());
        assert_eq!(html.code, 0);
        assert!(html.out.contains("spindle in reverse"), "{name}");
    }
    // Toward the headstock nothing of it is said.
    let usual = one_line(&run(&["card", "M30x1.5", "--internal"]).out);
    assert!(!usual.contains("reverse:") && !usual.contains("upside down"), "{usual}");
}

/// A left-hand thread runs away from the headstock with the spindle forward already.
#[test]
fn a_left_hand_thread_needs_no_reverse() {
    let left = card(&["M30x1.5 LH", "--away"]);
    assert_eq!([words(&left, "/spindle"), words(&left, "/carriage")], ["forward", "tailstock"]);
    let page = one_line(&run(&["card", "M30x1.5 LH", "--away"]).out);
    assert!(!page.contains("spindle in reverse") && !page.contains("upside down"), "{page}");
}

/// With the nut closed the way back ends at the shoulder: 60 x 3.2 mm in 2 s of 1.5 mm a turn are 64 rpm.
#[test]
fn the_way_back_is_timed_in_the_undercut() {
    let lathe = r#"{"format": 1, "lead_screw": {"lead": "8 tpi"},
        "headstock": {"ratio": "1", "turns": "same", "tumbler": {"up": "same", "down": "opposite"}},
        "gears": {"owned": [60, 127, 40, 80]}, "half_nut": true, "reverse": true}"#;
    let args = ["1.5 mm", "--diameter", "20 mm", "--train", "60-127", "--away"];
    let card = card_on(lathe, &args);
    assert_eq!(card["speed"]["enough_time_rpm"], 64);
    let page = one_line(&super::on(lathe, &args).out);
    assert!(
        page.contains("Back to the undercut, 3.200 mm (0.1260 in) wide: up to 64 rpm"),
        "{page}"
    );
    assert!(page.contains("tool out, stop, spindle forward; stop in the undercut"), "{page}");
}

#[test]
fn what_can_t_be_is_one_error() {
    for (args, wrong, right) in [
        (
            &["M10", "--undercut", "wide"][..],
            "--undercut `wide`: it is no undercut",
            "regular, short",
        ),
        (&["1/2-13 UNC", "--undercut", "short"], "--undercut short: DIN 76-1 has none", "regular"),
        (&["0.1 mm/rev", "--away"], "--away: `0.1 mm/rev` is a feed", "leave"),
        (&["M10", "--undercut", "4"], "--undercut", "unit"),
    ] {
        let printed = run(&[&["card"], args].concat());
        assert_eq!((printed.code, &printed.out[..]), (2, ""), "{args:?}");
        assert!(printed.err.contains(wrong) && printed.err.contains(right), "{}", printed.err);
    }
}
