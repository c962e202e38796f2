//! Five lathes of different habits, all invented.

/// Metric screw, no 127, two dial gears, one stud on a banjo.
const PUNT: &str = r#"{"format": 1, "name": "Punt",
    "lead_screw": {"lead": "3 mm"},
    "headstock": {"ratio": "1", "turns": "same", "tumbler": {"up": "same", "down": "opposite"}},
    "gears": {"pitch": "module 1",
        "owned": [20, 20, 25, 30, 35, 36, 40, 40, 45, 46, 50, 55, 60, 63, 65, 66, 70, 75, 80, 80]},
    "studs": 1,
    "banjo": {"driving_shaft": "90 mm", "slots": [{"from": "34 mm", "to": "80 mm"}], "planes": 2,
        "hub_radii": {"driving": "9 mm", "stud": "8 mm", "driven": "9 mm"}, "clearance": "1 mm"},
    "fitted": {"train": "20-80+20-80"},
    "feeds": {"long": "0.4 mm", "cross": "0.2 mm"},
    "dial": [{"teeth": 14, "lines": 7}, {"teeth": 15, "lines": 5}, {"teeth": 16, "lines": 8}],
    "spindle_rpm": {"from": 60, "to": 1500}}"#;

/// Gearbox with forbidden levers, a gear of its own on the box, 127/120, a feed rod; the motor does
/// not reverse.
const BARGE: &str = r#"{"format": 1, "name": "Barge",
    "lead_screw": {"lead": "6 tpi"},
    "headstock": {"ratio": "1", "turns": "same", "tumbler": {"ahead": "same", "astern": "opposite"}},
    "gears": {"owned": [24, 28, 30, 32, 35, 36, 40, 44, 45, 46, 48, 52, 60],
        "joined": [{"gears": [127, 120]}]},
    "studs": 1,
    "ends": {"driving": "any", "driven": 48},
    "gearbox": {"levers": [
        {"name": "Row", "positions": {"I": "1", "II": "8/9", "III": "4/5", "IV": "2/3", "V": "4/7"}},
        {"name": "Step", "positions": {"low": "1/2", "mid": "1", "high": "2"}},
        {"name": "Drive", "positions": {"screw": {"ratio": "1", "only": "thread"},
            "rod": {"ratio": "1/4", "turns": "opposite", "only": "feed"}}}],
        "forbidden": [{"Row": "V", "Step": "high"}, {"Row": "I", "Step": "low"}]},
    "fitted": {"train": "24-60-48", "levers": {"Row": "IV", "Step": "low", "Drive": "rod"}},
    "feeds": {"long": "1.2 mm", "cross": "0.6 mm"},
    "reverse": false,
    "dial": {"teeth": 24, "lines": 8, "labels": ["1", "", "2", "", "3", "", "4", ""]},
    "spindle_rpm": [40, 65, 100, 160, 250, 400, 630, 1000]}"#;

/// The driving shaft turns half as fast as the spindle, and eight times that with back gear in.
const LUGGER: &str = r#"{"format": 1, "name": "Lugger",
    "lead_screw": {"lead": "4 tpi"},
    "headstock": {"positions": {"direct": {"ratio": "1/2", "turns": "same"},
        "back gear": {"ratio": "4", "turns": "opposite"}},
        "tumbler": {"in": "same", "out": "opposite"}},
    "gears": {"pitch": "16 DP",
        "owned": [20, 24, 25, 30, 32, 35, 36, 40, 40, 44, 45, 46, 48, 50, 52, 55, 60, 60, 65, 70, 80, 127]},
    "studs": 1,
    "banjo": {"driving_shaft": "130 mm", "slots": [{"from": "45 mm", "to": "125 mm"}], "planes": 2,
        "hub_radii": {"driving": "12 mm", "stud": "11 mm", "driven": "12 mm"}, "clearance": "1 mm"},
    "fitted": {"train": "20-60+24-80"},
    "feeds": {"long": "0.02 in"},
    "dial": {"teeth": 16, "lines": 8},
    "spindle_rpm": [30, 55, 90, 150, 240, 400]}"#;

/// A left-hand lead screw, two studs, no tumbler: the hand comes from the count of meshes.
const YAWL: &str = r#"{"format": 1, "name": "Yawl",
    "lead_screw": {"lead": "4 mm", "hand": "left"},
    "headstock": {"ratio": "1", "turns": "same"},
    "gears": {"pitch": "module 1", "owned": [20, 24, 25, 28, 30, 32, 35, 36, 40, 45, 48, 50, 54, 55, 60,
        63, 65, 70, 72, 75, 80, 90, 127]},
    "studs": 2,
    "banjo": {"driving_shaft": "105 mm", "slots": [{"from": "36 mm", "to": "130 mm"}], "planes": 3,
        "hub_radii": {"driving": "9 mm", "stud": "8 mm", "driven": "10 mm"}, "clearance": "1 mm"},
    "fitted": {"train": "20-65-80"},
    "half_nut": true,
    "dial": {"teeth": 15, "lines": 3},
    "spindle_rpm": [45, 90, 180, 360, 720]}"#;

/// Nothing is described but the screw, the gears and a tumbler.
const PRAM: &str = r#"{"format": 1, "name": "Pram",
    "lead_screw": {"lead": "10 tpi"},
    "headstock": {"ratio": "1", "turns": "same", "tumbler": {"up": "same", "down": "opposite"}},
    "gears": {"owned": [20, 20, 21, 24, 25, 30, 32, 35, 38, 40, 44, 45, 48, 50, 50, 55, 60, 63, 65, 70, 80]}}"#;

pub(super) const ALL: [(&str, &str); 5] =
    [("Punt", PUNT), ("Barge", BARGE), ("Lugger", LUGGER), ("Yawl", YAWL), ("Pram", PRAM)];
