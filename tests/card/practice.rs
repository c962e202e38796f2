//! What the trade's tables say, on the card: tapers, classes, wires, undercuts, and the words of them.

use super::{card, near, run, words};
use serde_json::json;

pub(super) fn one_line(args: &[&str]) -> String {
    let text = run(&[&["card"], args].concat());
    assert_eq!(text.code, 0, "{args:?}: {}", text.err);
    text.out.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// ASME B1.20.1, 1/2 NPT: E0 0.75843, E1 0.77843, L1 0.320, L2 0.5337, L4 0.7816 in, h 0.8 p. The name is
/// that of the pipe; nobody has to say a diameter.
#[test]
fn a_taper_pipe_thread_has_its_sizes_by_its_name_alone() {
    let npt = card(&["1/2 NPT"]);
    near(&npt, "/sizes/taper/small_end/1/inches", 0.758_43, 5e-6);
    near(&npt, "/sizes/pitch/basic/inches", 0.778_43, 5e-6);
    near(&npt, "/sizes/taper/small_end/0/inches", 0.758_43 + 0.8 / 14.0, 5e-6);
    near(&npt, "/sizes/taper/gauge_length/inches", 0.32, 1e-9);
    near(&npt, "/sizes/taper/effective_length/inches", 0.5337, 5e-5);
    near(&npt, "/sizes/taper/whole_length/inches", 0.7816, 5e-5);
    near(&npt, "/tool/depth/inches", 0.8 / 14.0, 1e-6);
    near(&npt, "/sizes/taper/half_angle_degrees", 1.789_911, 1e-6);
    // cos(atan(1/32)) is 487.9 ppm short of 1.
    near(&npt, "/sizes/taper/tailstock_set_over_ppm", -487.9, 0.05);
    assert_eq!(npt["sizes"]["wires"], json!(null));
    // No undercut: it is stopped in the run-out, L4 less L2, 2 s of 1/14 in a turn.
    assert_eq!(npt["speed"]["undercut_from"], "run_out");
    near(&npt, "/speed/undercut/inches", 0.7816 - 0.5337, 1e-4);
    assert_eq!(npt["speed"]["enough_time_rpm"], 104);
    assert_eq!(card(&["1/2 NPT", "--hand", "left"])["speed"]["undercut_from"], "pitches");
    assert_eq!(card(&["1/2 NPT", "--internal"])["speed"]["undercut_from"], "pitches");
    let said = one_line(&["1/2 NPT"]);
    for words in ["1.7899°", "3.125 mm aside in 100 mm", "488 ppm short", "Gauge plane 8.128 mm"] {
        assert!(said.contains(words), "{words}: {said}");
    }
}

/// ISO 7-1, 3/4: 26.441 mm at the gauge plane, 9.5 mm from the small end; of a nut that is the face.
#[test]
fn a_british_taper_is_gauged_at_its_plane() {
    let screw = card(&["R 3/4"]);
    near(&screw, "/sizes/major/basic/mm", 26.441, 1e-9);
    near(&screw, "/sizes/taper/small_end/0/mm", 25.847, 5e-4);
    near(&screw, "/sizes/taper/gauge_length/mm", 9.5, 1e-9);
    assert_eq!(screw["sizes"]["taper"]["whole_length"], json!(null));
    let said = one_line(&["Rc 3/4", "--internal"]);
    assert!(said.contains("24.118 mm (0.9495 in) at the face"), "{said}");
}

/// A figure that is read once, the lead angle in it: worked out apart from the program as a ball between
/// the flanks. The first term of the series is 3 and 137 micrometres too much.
#[test]
fn over_steep_threads_the_wires_are_solved() {
    for (args, over, adds) in [
        (&["Tr40x14 (P7)", "--wire", "3.6 mm"][..], 41.04109, 0.09394),
        (&["module 3 4 starts", "--diameter", "36 mm", "--wire", "5 mm"][..], 37.56717, 0.89533),
    ] {
        let card = card(&[args, &["--lathe", "ketch", "--within", "10 %"]].concat());
        near(&card, "/sizes/wires/over_basic/mm", over, 1e-5);
        near(&card, "/sizes/wires/lead_angle_adds_mm", adds, 1e-5);
    }
    assert!(one_line(&["M10"]).contains("lead angle included"));
}

/// ISO 2903, ASME B1.5, BS 93; a series whose standard was not read says so.
#[test]
fn classes_of_the_trade() {
    for (args, class, least, greatest) in [
        (&["Tr 40x7"][..], "7e", 36.02, 36.375),
        (&["Tr 40x7", "--class", "8e"][..], "8e", 35.925, 36.375),
        (&["1/2-10 ACME", "--class", "3g"][..], "3G", 0.4394 * 25.4, 0.4458 * 25.4),
        (&["0 BA", "--class", "close"][..], "close", 5.3, 5.4),
    ] {
        let card = card(args);
        assert_eq!(words(&card, "/sizes/class"), class);
        near(&card, "/sizes/pitch/least/mm", least, 1e-6);
        near(&card, "/sizes/pitch/greatest/mm", greatest, 1e-6);
    }
    assert!(one_line(&["Tr 40x7"]).contains("Tolerance: unverified. Check it in ISO 2903."));
    assert!(one_line(&["0 BA"]).contains("Tolerance: one source only. Check it in BS 93."));
    assert!(one_line(&["1/2 BSW"]).contains("no class is known here"));
}

/// The blank of a taper was told under the sizes only, and the taper twice. ASME B1.20.1, table 2: 1/2 NPT,
/// E0 0.75843 in, and 0.8/14 in of thread on it. L1 of 8 NPT is not in the table here.
#[test]
fn a_taper_is_said_once_with_its_blank() {
    let once = |args: &[&str]| {
        let said = one_line(args);
        assert_eq!(said.matches("1 in 16").count(), 1, "{args:?}: {said}");
        said
    };
    let screw = once(&["1/2 NPT"]);
    let blank =
        screw.find("turn to 20.716 mm (0.8156 in) at the small end; 21.336 mm").expect("a blank");
    assert!(Some(blank) < screw.find("Make safe"), "{screw}");
    assert!(once(&["1/2 NPT", "--internal"]).contains("bore to 18.321 mm (0.7213 in) at the face"));
    let unknown = one_line(&["8 NPT"]);
    for said in
        ["its size is not known here (see Sizes)", "they hang on L1", "ASME B1.20.1 tabulates"]
    {
        assert!(unknown.contains(said), "{said}: {unknown}");
    }
    assert_eq!(unknown.matches("1 in 16 on the diameter").count(), 1, "{unknown}");
}

/// Coasting was counted also where the half nut is opened: the carriage stops there. 12 TPI on 8 TPI with a
/// dial: 3.2 mm at 25.4/12 mm a turn: 60 x 3.2 / (2.11667 x 1) = 90.7; with a second of coasting 45.
#[test]
fn coasting_counts_only_while_the_nut_is_closed() {
    let speed = |args: &[&str]| card(args)["speed"].clone();
    let opens = speed(&["12 tpi"]);
    assert_eq!((&opens["enough_time_rpm"], &opens["nut_opened_rpm"]), (&json!(45), &json!(90)));
    let said = one_line(&["12 tpi"]);
    assert!(
        said.contains("with the nut opened in time no coasting counts, up to 90 rpm"),
        "{said}"
    );
    assert!(one_line(&["12 tpi", "--rpm", "60"]).contains("time to open the nut"));
    assert!(one_line(&["12 tpi", "--rpm", "100"]).contains("too fast"));
    // Metric on an inch screw: it stays closed.
    assert_eq!(speed(&["M10"])["nut_opened_rpm"], json!(null));
    assert!(!one_line(&["M10"]).contains("nut opened"));
}

/// DIN 76-1: 3.2 mm at least for a pitch of 1.5 mm, 6 mm in a nut; else 1.5 pitches, upward to a tenth. A
/// second to act and one to coast.
#[test]
fn an_undercut_that_nobody_cut_promises_nothing() {
    for (args, mm, from) in [
        (&["M10"][..], 3.2, "din_76_1"),
        (&["M10", "--internal"][..], 6.0, "din_76_1"),
        (&["module 1"][..], 4.8, "pitches"),
        (&["12 tpi"][..], 3.2, "pitches"),
        (&["M10", "--undercut", "4 mm"][..], 4.0, "stated"),
    ] {
        let card = card(args);
        near(&card, "/speed/undercut/mm", mm, 1e-9);
        assert_eq!(words(&card, "/speed/undercut_from"), from, "{args:?}");
    }
    // 60 x 3.2 / (1.5001875 x 2) = 63.99.
    assert_eq!(card(&["M10"])["speed"]["enough_time_rpm"], 63);
    let said = one_line(&["M10"]);
    assert!(
        said.contains("if it is 3.2 mm wide") && said.contains("63 rpm leaves time if"),
        "{said}"
    );
    // A brake: one second alone.
    assert_eq!(card(&["M10", "--coast", "0"])["speed"]["enough_time_rpm"], 127);
    let stated = one_line(&["M10", "--undercut", "4 mm"]);
    assert!(!stated.contains("leaves time if") && !stated.contains("if it is"), "{stated}");
}

/// Half nut closed, the carriage is driven: a fixed stop would break something.
#[test]
fn no_stop_is_advised_while_the_half_nut_is_closed() {
    for args in [&["M10"][..], &["8 mm"][..], &["Tr 40x14 (P7) LH", "--lathe", "ketch"][..]] {
        for command in ["card", "find"] {
            let said = run(&[&[command], args].concat()).out;
            let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
            for advice in ["set a stop", "stop on the bed", "A stop"] {
                assert!(!said.contains(advice), "{command} {args:?}: {said}");
            }
        }
        let never = "Never run into a fixed stop with the half nut closed.";
        assert!(one_line(args).contains(never), "{args:?}");
    }
}

/// One line in each set: the same line; else the sets by name. Never "any line of its group".
#[test]
fn the_thread_dial_says_same_line_or_names_the_set() {
    for (target, words) in [
        ("8.25 tpi", "Begin on any line; close always on the same line that you began with."),
        ("11 tpi", "Close on 1 3 5 7, or 2 4 6 8: stay with the set that you began with."),
        ("18 tpi", "Close on any line of the dial."),
    ] {
        let said = one_line(&[target, "--lathe", "tug"]);
        let nut = said.split("Half nut").nth(1).unwrap().split("Tool and depth").next().unwrap();
        assert!(nut.contains(words) && !nut.contains(" | "), "{target}: {said}");
    }
}

/// A row of a spreadsheet is read by itself.
#[test]
fn each_row_of_the_csv_says_its_unit() {
    let csv = run(&["card", "M10", "--format", "csv"]).out;
    for row in [
        "9 Sizes,row,major; least 9.732 mm; greatest 9.968 mm; least 0.3831 in; greatest 0.3924 in",
        "10 Speed,row,speed 50 rpm; carriage 1.3 mm/s; in undercut 2.6 s; ",
    ] {
        let tail = row.split_once(' ').map_or(row, |(_, tail)| tail);
        assert!(csv.contains(tail), "{row}: {csv}");
    }
}
