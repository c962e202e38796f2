//! What is built in: gear sets, demo lathes and schemas, so that the program works with no file.

/// One file that is built in.
#[derive(Debug, Clone, Copy)]
pub struct Shipped {
    /// The name by which `--lathe` and `--gears` know it.
    pub name: &'static str,
    /// Its text.
    pub text: &'static str,
}

macro_rules! shipped {
    ($kind:literal: $($name:literal),+ $(,)?) => {
        &[$(Shipped {
            name: $name,
            text: include_str!(concat!("../../gearsets/", $name, ".", $kind, ".json")),
        }),+]
    };
}

/// Gear sets.
pub const SETS: &[Shipped] = shipped!("gears":
    "fives-20-100",
    "fives-20-120-127",
    "fours-24-100",
    "small-lathe-doubles",
    "fives-joined-127-120",
    "fives-and-63",
    "worm-71-113",
);

/// Demo lathes; the first one is used where none is given.
pub const LATHES: &[Shipped] = shipped!("lathe": "dinghy", "ketch", "tug");

/// Charts, for trying `check` and `learn`.
pub const CHARTS: &[Shipped] = &[
    Shipped { name: "dinghy-chart", text: include_str!("../../gearsets/dinghy.chart.csv") },
    Shipped { name: "skiff-chart", text: include_str!("../../gearsets/skiff.chart.csv") },
];

/// The file of this name.
pub(super) fn find(list: &[Shipped], name: &str) -> Option<Shipped> {
    list.iter().find(|s| s.name == name).copied()
}

/// The name in `list` that `given` may have meant, or all of them.
pub(super) fn nearest(list: &[Shipped], given: &str) -> String {
    let names: Vec<String> = list.iter().map(|s| s.name.to_owned()).collect();
    super::json::nearest(given, &names)
}
