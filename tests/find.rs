//! Does `find` say what a person at the lathe needs to hear?

mod change;
mod judged;
mod meant;
mod verdicts;

use crate::util::{Run, fresh, interrupted, one_line, program, run, run_in};

/// Sizes from 24 to 100 by fours, as in Jones' examples.
const FOURS: &str = "24,28,32,36,40,44,48,52,56,60,64,68,72,76,80,84,88,92,96,100";

/// The row of a list that has `train` in it.
fn row<'a>(out: &'a str, train: &str) -> &'a str {
    out.lines().find(|line| line.contains(train)).unwrap_or_else(|| panic!("no {train} in {out}"))
}

/// A lathe with a screw of 3 mm that turns as the spindle does, and no tumbler.
fn lathe(more: &str) -> tempfile::TempDir {
    let folder = fresh();
    let text = format!(
        r#"{{"format": 1, "name": "Plain", "lead_screw": {{"lead": "3 mm"}},
             "headstock": {{"ratio": "1", "turns": "same"}}, {more}
             "gears": {{"owned": [20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 75]}}}}"#
    );
    std::fs::write(folder.path().join("lathe.json"), text).unwrap();
    folder
}

/// F. D. Jones, Turning and Boring, 1919, ch. IV: 10 TPI on a 6 TPI screw is 24 to 40; 3 mm on a
/// 6 TPI screw is 90 to 127; 1 3/4 TPI on an 8 TPI screw takes 72 x 64 over 36 x 28.
#[test]
fn published_examples_come_out_exact_with_as_many_gears() {
    let ten = run(&["find", "10 tpi", "--gears", FOURS, "--screw", "6tpi", "--long"]);
    assert!(row(&ten.out, "2  24-40").contains("2.54"), "{}", ten.out);
    assert!(ten.out.contains("  error        exact\n"), "{}", ten.out);
    let metric = run(&["find", "3mm", "--gears", "20,90,127", "--screw", "6tpi", "--long"]);
    let listed = row(&metric.out, "2  90-127");
    assert!(listed.ends_with("exact                  0  *"), "{}", metric.out);
    let odd = run(&["find", "1 3/4 tpi", "--gears", FOURS, "--screw", "8tpi", "-f", "csv"]);
    let best: Vec<&str> = odd.out.lines().nth(1).unwrap().split(',').collect();
    assert_eq!((best[3], best[12]), ("4", "0"), "{}", odd.out);
}

/// 22/7 in place of pi is 402.5 ppm long (arithmetic: 22/7 = 3.142857, pi = 3.141593).
#[test]
fn a_worm_is_compared_with_pi() {
    let gears = "20,25,28,30,33,35,40,45,50,55,60,65,70,80";
    let worm = ["find", "module", "1", "--gears", gears, "--screw", "3mm", "--long"];
    let Run { code, out, .. } = run(&worm);
    assert_eq!(code, 0);
    assert!(out.contains("lead ~3.14159 mm"), "{out}");
    assert!(out.contains("+402 ppm: 10 µm long in 25 mm; not near enough"), "{out}");
    assert!(row(&out, "4  33-35+50-45").contains("10"), "{out}");
    assert!(row(&out, "  pi  ").ends_with("cut as 22/7"), "{out}");
}

#[test]
fn the_length_that_the_error_adds_up_over_is_asked_for() {
    let gears = ["--gears", "20,21,35,40,50,55,60", "--screw", "3mm"];
    let of =
        |over: &'static str| run(&[&["find", "module 1", "--over", over], &gears[..]].concat());
    let out = of("50 mm").out;
    assert!(out.contains("+402 ppm: 20 µm long in 50 mm; "), "{out}");
    assert!(of("1 in").out.contains("+402 ppm: 10 µm long in 25.4 mm; "));
}

/// One more wheel between reverses (J. Rose, Modern Machine-Shop Practice, 1887, on left-hand
/// threads): from the same sense, an even number of meshes is right hand.
#[test]
fn without_a_tumbler_an_idler_makes_the_hand() {
    let folder = lathe("");
    let right = run_in(folder.path(), &["find", "1.25 mm", "-f", "csv", "-n", "1"]);
    let left =
        run_in(folder.path(), &["find", "1.25 mm", "--hand", "left", "-f", "csv", "-n", "1"]);
    let row = |run: &Run| run.out.lines().nth(1).unwrap().to_string();
    assert!(row(&right).starts_with("1.25 mm,1,25-") && row(&right).contains(",3,,,,,right,"));
    let directly = "25-60,2,,,,direct.hand=left; with_idler.hand=right,left,";
    assert!(row(&left).starts_with(&format!("1.25 mm,1,{directly}")), "{}", row(&left));
    let lh = run_in(folder.path(), &["find", "1.25", "mm", "LH", "-f", "csv", "-n", "1"]);
    assert!(row(&lh).contains(directly), "{}", row(&lh));
}

#[test]
fn a_hand_that_can_not_be_had_is_a_no_with_its_reason() {
    let folder = lathe("");
    let args = ["find", "1.25 mm", "--gears", "25,60"];
    let Run { code, out, .. } = run_in(folder.path(), &args);
    assert_eq!(code, 1);
    assert!(out.contains("No: no train of these gears cuts that hand"), "{out}");
}

#[test]
fn an_idler_is_named_and_a_direct_mesh_may_take_one() {
    let folder = lathe("");
    let right = run_in(folder.path(), &["find", "1.25 mm", "-n", "1"]).out;
    assert!(right.contains("an idler, which drives 60"), "{right}");
    let left = run_in(folder.path(), &["find", "1.25 mm", "--hand", "left", "-n", "1"]).out;
    let left = one_line(&left);
    assert!(
        left.contains(
            "25 on the driving shaft drives 60 on the lead screw. Not measured: do they mesh directly, \
             or is an idler needed? If they mesh directly: left hand. If an idler is needed: right \
             hand."
        ),
        "{left}"
    );
}

#[test]
fn a_tumbler_is_set_for_the_hand() {
    let folder = lathe("");
    let text = std::fs::read_to_string(folder.path().join("lathe.json")).unwrap();
    let turns = r#""turns": "same", "tumbler": {"in": "same", "out": "opposite"}"#;
    let text = text.replace(r#""turns": "same""#, turns);
    std::fs::write(folder.path().join("lathe.json"), text).unwrap();
    for (hand, position) in [("right", "out"), ("left", "in")] {
        let args = ["find", "1.25 mm", "--hand", hand, "-n", "1", "--long"];
        let Run { out, .. } = run_in(folder.path(), &args);
        let other = if position == "in" { "out" } else { "in" };
        let set = format!("If they mesh directly: tumbler {position}.");
        assert!(row(&out, "  levers  ").contains(&set), "{hand}: {out}");
        assert!(out.contains(&format!("20.32 TPI, {hand} hand")), "{hand}: {out}");
        let out = one_line(&out);
        assert!(out.contains(&format!("If an idler is needed: tumbler {other}.")), "{out}");
    }
}

#[test]
fn an_unknown_sense_is_said_with_the_test_for_it() {
    let Run { out, .. } = run(&["find", "1.25 mm", "--gears", "20,25,50,60", "--screw", "3mm"]);
    let out = one_line(&out);
    assert!(out.contains("Which hand it cuts is not known"), "{out}");
    assert!(out.contains("carriage toward the headstock = right hand"), "{out}");
}

#[test]
fn a_feed_asks_for_no_hand_and_takes_the_feed_figure() {
    let folder = lathe(r#""feeds": {"long": "0.4 mm", "cross": "0.2 mm"},"#);
    for (feed, figure) in [("0.2 mm/rev", "1/2"), ("0.1 mm/rev cross", "1/2")] {
        let Run { code, out, .. } = run_in(folder.path(), &["find", feed, "-n", "1", "-f", "json"]);
        let json: serde_json::Value = serde_json::from_str(&out).unwrap();
        let best = &json["results"][0]["solutions"][0];
        assert_eq!((code, best["ratio"].as_str()), (0, Some(figure)), "{feed}");
        assert!(best["hand"].is_null() && best["tumbler"].is_null());
    }
    let text = run_in(folder.path(), &["find", "0.2 mm/rev", "--long"]).out;
    assert!(!text.contains("hand,") && !text.contains("Which hand"), "{text}");
    assert!(row(&text, "  feeds  ").contains("0.2 mm = ~0.00787402 in per turn"), "{text}");
}

#[test]
fn one_stud_is_taken_and_said_where_none_is_stated() {
    let said = |out: &str| out.contains("1 stud is assumed");
    let folder = lathe("");
    let one = run_in(folder.path(), &["find", "1.25 mm", "--long"]).out;
    assert!(said(&one), "{one}");
    let two = run_in(folder.path(), &["find", "1.25 mm", "--studs", "2", "--long"]).out;
    assert!(!said(&two) && two.contains("up to 2 keyed pairs"), "{two}");
    let folder = lathe(r#""studs": 1,"#);
    assert!(!said(&run_in(folder.path(), &["find", "1.25 mm", "--long"]).out));
}

#[test]
fn fit_is_said_for_what_it_is() {
    let gears = ["--gears", "20x2,25,30", "--screw", "3mm"];
    let asked = |more: &[&'static str]| run(&[&["find", "1.6 mm"], more, &gears].concat()).out;
    let words = |text: String| one_line(&text);
    assert!(words(asked(&[])).contains("reach not checked: the banjo is not described"));
    let free = words(asked(&["--no-fit"]));
    assert!(free.contains("Neither clearance nor reach was checked (--no-fit)"), "{free}");
    assert!(asked(&["--no-fit", "-f", "json"]).contains("\"state\": \"not checked\""));
    assert!(asked(&["-f", "json"]).contains("\"state\": \"not checked\""));
    // Pair 25 + 20 between 20 and 30: 1 x (20 + 25) / 2 - (20 + 2) / 2 = 11.5 mm, which is 8.5 mm
    // less than 20 mm.
    let tight = words(asked(&["--clearance", "20 mm", "--long"]));
    assert!(
        tight.contains(
            "Closer, but does not fit - 20-25+20-30, exact: The tip of the 20 would \
                            be 8.5 mm too near the axis of the 20."
        ),
        "{tight}"
    );
    assert!(tight.contains("nothing closer fits."), "{tight}");
}

#[test]
fn a_gear_that_would_help_is_a_hint_and_never_an_answer() {
    // 1 mm on 4 mm is 1/4 = 20/40 x 20/40, but there is one 20 and one 40.
    let gears = "20,40,30,45";
    let Run { out, .. } = run(&["find", "2 mm", "--gears", gears, "--screw", "4.5mm"]);
    // 4/9 = 20/45 stands; nothing is missing.
    assert!(out.contains("20-45") && !out.contains("needs 2 x"), "{out}");
    let Run { out, .. } = run(&["find", "1 mm", "--gears", "20,40,50", "--screw", "2.5mm"]);
    let exact = out.contains("20-50");
    assert!(exact && !out.contains("needs 2 x"), "{out}");
    let Run { out, .. } = run(&["find", "1 mm", "--gears", "20,40,80", "--screw", "8mm"]);
    // 1/8 = 20/80 x 20/40: a second 20.
    let hint = "One more 20 would come closer: 20-40+20-80 needs 2 x 20, you own 1: exact.";
    let words = one_line(&out);
    assert!(words.contains(hint) || words.contains(&hint.replace("40+20-80", "80+20-40")), "{out}");
    assert!(!out.contains("  1  20-40+20-80"), "{out}");
}

#[test]
fn a_lever_position_of_unknown_ratio_is_said_to_be_left_out() {
    let levers = r#""levers": [{"name": "Range", "positions": {"A": "1", "B": "unknown"}}]"#;
    let folder = lathe(&format!("\"gearbox\": {{{levers}}},"));
    for more in [&[][..], &["--long"]] {
        let asked = [&["find", "1.25 mm"], more].concat();
        let Run { code, out, .. } = run_in(folder.path(), &asked);
        assert_eq!(code, 0);
        assert!(one_line(&out).contains("1 lever position could not be searched"), "{out}");
    }
}

#[test]
fn gears_that_do_not_mesh_are_told_apart() {
    let folder = lathe("");
    let file = folder.path().join("lathe.json");
    let text = std::fs::read_to_string(&file).unwrap();
    let owned = r#""pitch": "module 1", "owned": [{"teeth": 25, "pitch": "20 DP"}, {"teeth": 60, "pitch": "20 DP"}, "#;
    let text = text.replace(r#""owned": [20, 25, "#, owned).replace("55, 60,", "55,");
    std::fs::write(&file, text).unwrap();
    let out = run_in(folder.path(), &["find", "1.25 mm LH", "-n", "1"]).out;
    let out = one_line(&out);
    assert!(out.contains("25 (20 DP, 20°) on the driving shaft drives 60 (20 DP, 20°)"), "{out}");
}

#[test]
fn the_lathe_is_the_one_asked_for_else_that_of_the_folder_else_a_demo() {
    let named = |args: &[&str], folder: &std::path::Path, variable: Option<&str>| {
        let mut command = program(folder, args);
        if let Some(value) = variable {
            command.env("TRAINWRIGHT_LATHE", value);
        }
        let run: Run = command.output().unwrap().into();
        run.out.lines().next().unwrap_or_default().to_string()
    };
    let folder = lathe("");
    let path = folder.path();
    let args = ["find", "M10"];
    assert!(named(&args, path, None).starts_with("Lathe: Plain (lathe.json in this folder"));
    assert!(named(&args, path, Some("tug")).contains("from the variable"));
    let asked = named(&["find", "M10", "--lathe", "ketch"], path, Some("tug"));
    assert!(asked.starts_with("Lathe: Ketch"), "{asked}");
    let demo = named(&args, fresh().path(), None);
    assert!(demo.starts_with("Demo lathe: Dinghy"), "{demo}");
    // Gears may replace those of a lathe that is the person's own, never those of the demo.
    let gears = ["find", "1.25 mm", "--gears", "25,30,60"];
    let mine = run_in(path, &gears).out;
    let words = one_line(&mine);
    assert!(words.contains("gears 25,30,60 in place of its own"), "{mine}");
    assert!(mine.contains("25-30-60"), "{mine}");
    assert_eq!(run(&gears).code, 2);
}

#[test]
fn what_is_unknown_is_an_error_with_its_place_in_the_file() {
    let folder = lathe("");
    let file = folder.path().join("lathe.json");
    let text = std::fs::read_to_string(&file).unwrap().replace(r#""3 mm""#, r#""unknown""#);
    std::fs::write(&file, text).unwrap();
    let Run { code, out, err } = run_in(folder.path(), &["find", "M10"]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.starts_with("trainwright: lathe.json:1:"), "{err}");
    assert!(err.contains("lead_screw.lead: the lead of the lead screw is unknown"), "{err}");
    assert!(err.contains("\ntry: "), "{err}");
}

#[test]
fn a_thread_of_one_table_only_is_marked() {
    let Run { out, .. } = run(&["find", "M10x1.12"]);
    assert!(out.contains("one source only; look it up once more"), "{out}");
    assert!(!run(&["find", "M10"]).out.contains("look it up"));
}

/// ISO 228-1: G 1/4 is 13.157 mm over its thread, 19 to the inch.
#[test]
fn a_thread_that_was_measured_is_named_nearest_first() {
    let Run { code, out, .. } = run(&["threads", "13.1", "mm", "19", "tpi"]);
    assert_eq!(code, 0);
    let first = out.lines().find(|line| line.contains("13.157")).unwrap();
    assert!(first.trim_start().starts_with("G 1/4"), "{out}");
    assert!(out.lines().nth(3).unwrap().contains("G 1/4"), "{out}");
    let json = run(&["threads", "m10", "-f", "json"]).out;
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(json["rows"][0]["pitch_mm"], 1.5);
    assert_eq!(json["rows"][0]["pitch_mm_exact"], "3/2");
}

#[test]
fn a_large_error_is_a_different_thread() {
    // 20/40 and 20/20 of 3 mm: nothing near 1 mm.
    let gears = ["--gears", "20x2,40", "--screw", "3mm"];
    let Run { code, out, .. } = run(&[&["find", "1 mm"], &gears[..]].concat());
    assert_eq!(code, 1);
    assert!(out.contains("No: the nearest train gives another thread."), "{out}");
    assert!(out.contains("+50.0 %: another thread"), "{out}");
    // Nothing is to be mounted or cut.
    for wrong in ["mount", "Unplug", "Job card", "meant as a feed", "+500000", "12500"] {
        assert!(!out.contains(wrong), "{wrong}: {out}");
    }
    let quiet = run(&[&["find", "1 mm", "-q"], &gears[..]].concat());
    assert_eq!((quiet.code, &*quiet.out), (1, "1 mm: 20-40, +50.0 %, another thread\n"));
    for more in [&[][..], &["--long"]] {
        let fine = run(&[&["find", "0.05 mm", "--lathe", "dinghy"], more].concat()).out;
        assert_eq!(fine.matches("If it is meant as a feed: 0.05 mm/rev.").count(), 1, "{fine}");
        // Where the best is far off too, nothing is said of fewer gears.
        let far = run(&[&["find", "0.0001 mm", "--lathe", "dinghy"], more].concat()).out;
        assert!(far.contains("another thread") && !far.contains("With fewer gears"), "{far}");
    }
    // A feed that is as far off as that is another one: no set-up, no card, exit code 1.
    let feed = run(&[&["find", "1 mm/rev"], &gears[..]].concat());
    assert_eq!(feed.code, 1, "{}", feed.out);
    assert!(feed.out.contains("No: the nearest train gives another feed."), "{}", feed.out);
    assert!(feed.out.contains("+50.0 %: another feed"), "{}", feed.out);
    for wrong in ["mount", "Unplug", "Job card"] {
        assert!(!feed.out.contains(wrong), "{wrong}: {}", feed.out);
    }
    // Up to a tenth it is the nearest of that feed.
    let near = run(&["find", "1.4 mm/rev", "--gears", "20,40", "--screw", "3 mm"]);
    assert_eq!(near.code, 0, "{}", near.out);
    // JSON keeps every row and the full figures.
    let json = run(&[&["find", "1 mm", "-f", "json"], &gears[..]].concat()).out;
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(json["results"][0]["solutions"][0]["error"], "1/2");
}

#[test]
fn rows_that_are_far_off_are_left_out_where_more_gears_do_better() {
    // 1/16 = 20/80 x 20/80; two gears come no closer than 1/4.
    let gears = ["--gears", "20x2,80x2", "--screw", "8mm"];
    let out = run(&[&["find", "0.5 mm", "--long"], &gears[..]].concat()).out;
    assert!(out.contains("With fewer gears it is more than 10 % off."), "{out}");
    assert!(!out.contains("      2  20-80"), "{out}");
    let json = run(&[&["find", "0.5 mm", "-f", "json"], &gears[..]].concat()).out;
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(json["results"][0]["trade_off"].as_array().map(Vec::len), Some(2));
}

#[test]
fn a_feed_is_near_enough_within_one_per_cent() {
    let folder = lathe(r#""feeds": {"long": "0.3 mm"},"#);
    let near = |feed: &str| run_in(folder.path(), &["find", feed, "-n", "1", "--long"]).out;
    // 20/60 of 0.3 mm is 0.1 mm, 0.9 % below 0.1009 mm.
    assert!(
        near("0.1009 mm/rev").contains("fewest gears within 1 %."),
        "{}",
        near("0.1009 mm/rev")
    );
    assert!(one_line(&near("0.1009 mm/rev")).contains("2 20-60"), "{}", near("0.1009 mm/rev"));
    assert!(!near("0.1009 mm/rev").contains("adds up"));
    let strict = run_in(folder.path(), &["find", "0.1009 mm/rev", "--within", "2000ppm"]).out;
    assert!(strict.contains("near enough (up to 2000 ppm)"), "{strict}");
    assert!(one_line(&strict).contains("fewer gears 20-60: -8920 ppm, too far off"), "{strict}");
}

#[test]
fn a_taper_and_a_coarse_lead_are_cautioned() {
    let taper = "the taper takes an attachment";
    assert!(run(&["find", "3/4 NPT"]).out.contains(taper));
    assert!(run(&["find", "R 1/2"]).out.contains(taper));
    assert!(!run(&["find", "G 1/2"]).out.contains(taper));
    let coarse = "Coarse: turn the spindle by hand";
    assert!(run(&["find", "4 mm"]).out.contains(coarse));
    assert!(!run(&["find", "2.5 mm"]).out.contains(coarse));
    // 900 mm can't be cut: there is nothing to be careful of.
    assert!(!run(&["find", "900 mm"]).out.contains(coarse));
}

#[test]
fn what_is_the_same_for_all_targets_is_said_once() {
    let targets = ["find", "M10", "M12", "0.1 mm/rev"];
    let short = run(&targets).out;
    let long = run(&[&targets[..], &["--long"]].concat()).out;
    let (both, lists) = (["Unplug or lock off", "Job card: "], ["Legend", "The fit rests"]);
    for once in both {
        assert_eq!(short.matches(once).count(), 1, "{once}: {short}");
    }
    for once in both.iter().chain(&lists) {
        assert_eq!(long.matches(once).count(), 1, "{once}: {long}");
    }
    // The rest of the cautions is on the card, that of the chuck only where it is cut in reverse.
    let chuck = "screwed-on chuck";
    assert!(run(&["card", "M10"]).out.contains(chuck));
    for quiet in [&["find", "M10"], &["find", "0.1 mm/rev"], &["card", "0.1 mm/rev"]] {
        assert!(!run(quiet).out.contains(chuck), "{quiet:?}");
    }
}

#[test]
fn an_error_names_the_target_that_asked_for_it() {
    let Run { code, err, .. } = run(&["find", "M10", "0.1 mm/rev cross", "--lathe", "ketch"]);
    assert_eq!(code, 2);
    assert!(err.contains("is not described (asked for by `0.1 mm/rev cross`)"), "{err}");
}

#[test]
fn a_column_with_nothing_in_it_is_left_out() {
    let head = |words: &[&str]| run(&[&["threads"], words].concat()).out;
    assert!(!head(&["bsw"]).contains("note"), "{}", head(&["bsw"]));
    assert!(head(&["m10"]).contains("one source only"));
}

#[test]
fn a_no_says_that_nothing_comes_nearer() {
    let Run { code, out, .. } = run(&["find", "M10", "--within", "50ppm"]);
    assert_eq!(code, 1);
    assert!(out.contains("nothing comes nearer."), "{out}");
}

/// Three hundred leads of four gear pairs: minutes, if nobody stops it. What was not begun is no proven no.
#[cfg(target_os = "linux")]
#[test]
fn ctrl_c_ends_find_with_what_it_has() {
    let gears: Vec<String> = (20..90).map(|teeth| teeth.to_string()).collect();
    let gears = gears.join(",");
    let leads: Vec<String> = (101..401).map(|lead| format!("0.0{lead}17mm")).collect();
    let leads: Vec<&str> = leads.iter().map(String::as_str).collect();
    let lathe = ["--gears", &gears, "--screw", "8tpi", "--studs", "3", "-f", "json"];
    let Run { code, out, err } = interrupted(&[&["find"], &leads[..], &lathe].concat());
    assert_eq!(code, 130, "{err}");
    let document: serde_json::Value = serde_json::from_str(&out).unwrap();
    let last = document["results"].as_array().unwrap().last().unwrap();
    let searched = &last["searched"];
    assert_eq!(searched["complete"], false);
    let why = searched["left_out"][0].as_str().unwrap();
    assert!(why.starts_with("Ctrl-C ended the work"), "{why}");
}

/// The answer, its cautions and what comes next are on one screen, whatever is asked.
#[test]
fn an_answer_fits_a_screen_on_every_demo_lathe() {
    const TARGETS: [&str; 12] = [
        "M10",
        "M64",
        "1.25 mm",
        "3 mm",
        "0.37 mm",
        "11 1/2 tpi",
        "module 1",
        "Tr 40x14 (P7)",
        "1/2-13 UNC",
        "M10 LH",
        "0.1 mm/rev",
        "0.02 mm/rev",
    ];
    for lathe in ["dinghy", "ketch", "tug"] {
        for target in TARGETS {
            let out = run(&["find", target, "--lathe", lathe]).out;
            assert!(out.lines().count() <= 24, "{lathe}, {target}:\n{out}");
            assert!(
                out.lines().all(|line| line.chars().count() <= 80),
                "{lathe}, {target}:\n{out}"
            );
        }
    }
}

#[test]
fn quiet_prints_a_line_a_target() {
    let shown = run(&["find", "M10", "8 tpi", "--lathe", "dinghy", "-q"]).out;
    assert_eq!(shown, "M10: 48-64+63-80, +125 ppm\n8 tpi: 40-76-32, exact\n");
}
