//! Which owned gear does a number mean? `find`, `--train`, `card`, `lathe check` and `check` have one
//! answer.

use crate::util::{fresh, one_line, run_in};

/// Each of five commands about one train on one lathe that should cut 12 tpi: exit code and all text.
fn five(lathe: &str, train: &str) -> [(&'static str, i32, String); 5] {
    let folder = fresh();
    let file = |fitted: &str| {
        format!(
            r#"{{"format": 1, "lead_screw": {{"lead": "8 tpi"}}, "headstock": {{"ratio": "1"}}, {fitted} {lathe}}}"#
        )
    };
    std::fs::write(folder.path().join("lathe.json"), file("")).unwrap();
    let fitted = format!(r#""fitted": {{"train": "{train}"}},"#);
    std::fs::write(folder.path().join("fitted.json"), file(&fitted)).unwrap();
    std::fs::write(folder.path().join("chart.csv"), format!("tpi,gears\n12,{train}\n")).unwrap();
    let of = |what, words: &[&str]| {
        let run = run_in(folder.path(), words);
        (what, run.code, one_line(&(run.out + &run.err)))
    };
    [
        of("find", &["find", "12 tpi", "-n", "50"]),
        of("judge", &["find", "12 tpi", "--train", train]),
        of("card", &["card", "12 tpi", "--train", train]),
        of("lathe", &["lathe", "check", "fitted.json"]),
        of("chart", &["check", "chart.csv"]),
    ]
}

/// `find` gave 40-60 and every other command called it impossible: each took the driving gear of a
/// number for the one that was meant.
#[test]
fn five_commands_agree_on_a_box_of_two_tooth_sizes() {
    let owned = |gears: &str| format!(r#""studs": 0, "gears": {{"owned": [{gears}]}}"#);
    let module = |teeth: u8| format!(r#"{{"teeth": {teeth}, "pitch": "module 1"}}"#);
    let dp = |teeth: u8| format!(r#"{{"teeth": {teeth}, "pitch": "20 DP"}}"#);
    let gears = [module(40), module(30), dp(40), dp(60)];
    for gears in [gears.clone(), {
        let mut back = gears;
        back.reverse();
        back
    }] {
        for (what, code, text) in five(&owned(&gears.join(", ")), "40-60") {
            assert_eq!(code, 0, "{what}: {text}");
            let said = match what {
                "find" => "40-60",
                "judge" => "Nothing speaks against it.",
                "card" => "40",
                "lathe" => "OK, a lathe",
                _ => "exact",
            };
            assert!(text.contains(said), "{what}: {text}");
            for wrong in ["their teeth", "No card", "the fitted train", "you own", "can't be"] {
                assert!(!text.contains(wrong), "{what} says {wrong}: {text}");
            }
        }
    }
    // Without the 40 of 20 DP all of them say no.
    let few = [module(40), module(30), dp(60)].join(", ");
    for (what, code, text) in five(&owned(&few), "40-60") {
        let said = match what {
            "find" => "No: the nearest train gives another thread.",
            "judge" => "40 (module 1) and 60 (20 DP) don't mesh",
            "card" => "No card",
            "lathe" => "the fitted train: 40 (module 1) and 60 (20 DP) don't mesh",
            _ => "don't mesh",
        };
        let no = i32::from(matches!(what, "find" | "judge" | "card"));
        assert!(code == no && text.contains(said), "{what}: {code} {text}");
    }
}

/// A handbook's own order of four gears, tooth size and room beside the shafts not stated: no refusal,
/// what was assumed is said. Stated both, the rule refuses (A+B >= C+15: common practice, no source).
#[test]
fn figures_that_nobody_stated_refuse_no_train() {
    let folder = fresh();
    let typed = ["24 tpi", "--screw", "6tpi", "--train", "40-80+30-60", "--gears", "40,30,80,60"];
    for command in ["find", "card"] {
        let run = run_in(folder.path(), &[&[command], &typed[..]].concat());
        let text = one_line(&run.out);
        let assumed = "Assumed: module 1 and 6.5 mm from a tip to the next shaft's axis (--clearance). By that: The \
                       tip of the 80 would be 2.5 mm too near the axis of the 60.";
        assert!(run.code == 0 && text.contains(assumed), "{command}: {text}");
    }
    let owned =
        ["40", "30", "80", "60"].map(|z| format!(r#"{{"teeth": {z}, "pitch": "module 1"}}"#));
    let lathe = format!(
        r#"{{"format": 1, "lead_screw": {{"lead": "6 tpi"}}, "headstock": {{"ratio": "1"}},
            "gears": {{"owned": [{}]}}}}"#,
        owned.join(", ")
    );
    std::fs::write(folder.path().join("lathe.json"), lathe).unwrap();
    let train = ["find", "24 tpi", "--train", "40-80+30-60"];
    assert_eq!(run_in(folder.path(), &train).code, 0);
    let stated = run_in(folder.path(), &[&train[..], &["--clearance", "6.5 mm"]].concat());
    assert!(
        stated.code == 1 && stated.out.contains("No: it can't be set up so."),
        "{}",
        stated.out
    );
}
