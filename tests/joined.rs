//! Joined pairs of which one gear works alone: the other one is a disc beside it, and has to go
//! somewhere.

use crate::util::{Run, fresh, one_line, run_in};

/// A lathe of module 1 with these gears; `more`: further keys.
fn lathe(gears: &str, more: &str) -> String {
    format!(
        r#"{{"format": 1, "lead_screw": {{"lead": "3 mm"}},
        "headstock": {{"ratio": "1", "turns": "same"}}, "studs": 1,
        "gears": {{"pitch": "module 1", {gears}}}{more}}}"#
    )
}

fn banjo(first_shaft: &str, from: &str, to: &str, planes: u8) -> String {
    format!(
        r#", "banjo": {{"driving_shaft": "{first_shaft}", "planes": {planes},
        "slots": [{{"from": "{from}", "to": "{to}"}}]}}"#
    )
}

fn find(lathe: &str, args: &[&str]) -> Run {
    let folder = fresh();
    std::fs::write(folder.path().join("lathe.json"), lathe).unwrap();
    run_in(folder.path(), &[&["find"], args].concat())
}

/// Each gear of the first answer that goes along without work: shaft, the gear that works, the idle one
/// and its plane (0: not known).
fn idle(lathe: &str, target: &str) -> (String, Vec<[u64; 4]>) {
    let Run { out, err, .. } = find(lathe, &[target, "-f", "json"]);
    let read: serde_json::Value = serde_json::from_str(&out).unwrap_or_else(|_| panic!("{err}"));
    let first = &read["results"][0]["solutions"][0];
    let number = |value: &serde_json::Value| value.as_u64().unwrap_or(0);
    let joined = first["joined"].as_array().unwrap();
    let keys = ["shaft", "works", "idle", "plane"];
    let of = |gear: &serde_json::Value| keys.map(|key| number(&gear[key]));
    (first["train"].as_str().unwrap().to_owned(), joined.iter().map(of).collect())
}

/// The idler 40 of a joined 40/127 was said to fit: the 127 (tip radius 64.5 mm) is 35 mm from the
/// driving shaft and 45 mm from the lead screw.
#[test]
fn the_second_gear_of_a_joined_pair_is_in_the_way() {
    let gears = r#""owned": [30, 50], "joined": [{"gears": [40, 127]}]"#;
    let lathe = lathe(gears, &banjo("80 mm", "30 mm", "75 mm", 2));
    let Run { out, code, .. } = find(&lathe, &["1.8 mm", "--long"]);
    let out = one_line(&out);
    assert_eq!(code, 1, "{out}");
    // 64.5 + 1 - 35, and 64.5 + 1 - 45.
    assert!(
        out.contains("The 127 joined to the 40 on stud 1 is 30.5 mm short of clearing"),
        "{out}"
    );
    assert!(
        out.contains("The 127 joined to the 40 on stud 1 is 20.5 mm short of clearing"),
        "{out}"
    );
    let typed = one_line(&find(&lathe, &["1.8 mm", "--train", "30-40-50"]).out);
    assert!(typed.contains("The 127 joined to the 40 on stud 1 is 30.5 mm short"), "{typed}");
    // A loose 40 does: it comes first wherever both are owned.
    let loose = lathe.replace("[30, 50]", "[30, 40, 50]");
    assert_eq!(idle(&loose, "1.8 mm"), ("30-40-50".to_owned(), Vec::new()));
}

/// The smaller gear of a pair is seldom in the way: it is told where it is.
#[test]
fn a_gear_without_work_is_shown_where_it_is() {
    let gears = r#""owned": [70, 75], "joined": [{"gears": [80, 40]}]"#;
    let room = lathe(gears, &banjo("130 mm", "30 mm", "95 mm", 2));
    let out = find(&room, &["2.8 mm", "--long"]).out;
    assert!(out.contains("  stud 1         80 ======= (40)       joined pair"), "{out}");
    assert!(one_line(&out).contains("drives 80 of the joined pair 80/40, an idler,"), "{out}");
    assert_eq!(idle(&room, "2.8 mm"), ("70-80-75".to_owned(), vec![[1, 80, 40, 2]]));
    // Nearer the headstock as well as further from it, but not where there is no plane.
    let keep_out = r#""keep_out": [{"name": "pin", "planes": [PLANE],
        "circle": {"right": "0 mm", "up": "65 mm", "radius": "60 mm"}}], "planes": 3,
        "driving_planes": [2]"#;
    for (plane, other) in [("1", 3), ("3", 1)] {
        let blocked = room.replace(r#""planes": 2"#, &keep_out.replace("PLANE", plane));
        assert_eq!(idle(&blocked, "2.8 mm").1, [[1, 80, 40, other]], "{plane}");
    }
    let one = find(&room.replace(r#""planes": 2"#, r#""planes": 1"#), &["2.8 mm"]);
    let words = "The 40 joined to the 80 has no plane beside it: the banjo has 1.";
    assert!(one_line(&one.out).contains(words), "{}", one.out);
}

/// Without a banjo the shop's rule asks for room at the shaft beside.
#[test]
fn the_rule_without_a_banjo_knows_the_gear_without_work() {
    let gears = r#""owned": [30, 50], "joined": [{"gears": [40, 127]}]"#;
    let lathe = lathe(gears, "");
    // 64.5 + 6.5 - 35 mm.
    let typed = one_line(&find(&lathe, &["1.8 mm", "--train", "30-40-50"]).out);
    let words = "The tip of the 127 joined to the 40 is 36.0 mm too near the axis of the 30.";
    assert!(typed.contains(words), "{typed}");
    // (30 + 127) / 2 - 21 = 57.5 mm; with the 40 in mesh the 127 would be over the axis.
    assert_eq!(idle(&lathe, "1.8 mm"), ("30-127-50".to_owned(), vec![[1, 127, 40, 0]]));
}
