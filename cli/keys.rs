//! What the files call the things that the library speaks of: the key of a place, and what would be
//! right, as it is written in a file.

use solver::{Error, Fix, Where};

/// The key that an error is about, such as `gearbox.levers[2]`.
pub(crate) fn path(error: &Error) -> Option<String> {
    let path: String = error.place().iter().copied().map(step).collect();
    let path = path.strip_prefix('.').unwrap_or(&path);
    (!path.is_empty()).then(|| path.to_owned())
}

/// What would be right.
pub(crate) fn hint(error: &Error) -> Option<String> {
    error.fix().map(written).or_else(|| error.hint()).map(str::to_owned)
}

/// How one step is written behind those before it. Each has a key of its own, so that a place without one
/// does not compile.
fn step(step: Where) -> String {
    let key = match step {
        Where::Item(at) => return format!("[{at}]"),
        Where::Gears => "gears",
        Where::Studs => "studs",
        Where::LeadScrew => "lead_screw",
        Where::Lead => "lead",
        Where::Starts => "starts",
        Where::ScrewConstant => "screw_constant",
        Where::Feeds => "feeds",
        Where::Long => "long",
        Where::Cross => "cross",
        Where::Headstock => "headstock",
        Where::Ratio => "ratio",
        Where::Positions => "positions",
        Where::Tumbler => "tumbler",
        Where::Gearbox => "gearbox",
        Where::Levers => "levers",
        Where::Forbidden => "forbidden",
        Where::NeedsLast => "needs_driven",
        Where::Combinations => "combinations",
        Where::When => "when",
        Where::Ends => "ends",
        Where::First => "driving",
        Where::Last => "driven",
        Where::Fitted => "fitted",
        Where::Dials => "dial",
        Where::Teeth => "teeth",
        Where::Lines => "lines",
        Where::Labels => "labels",
        Where::Rows => "rows",
        Where::Measured => "measured",
        Where::Bracket => "banjo",
        Where::Planes => "planes",
        Where::FirstPlanes => "driving_planes",
        Where::LastPlanes => "driven_planes",
        Where::FirstShaft => "driving_shaft",
        Where::Pivot => "pivot",
        Where::Swing => "arm_angle",
        Where::Slots => "slots",
        Where::From => "from",
        Where::To => "to",
        Where::Offset => "offset",
        Where::Arc => "arc",
        Where::Along => "along",
        Where::Across => "across",
        Where::Radius => "radius",
        Where::LeastStud => "least_stud_distance",
        Where::HubRadii => "hub_radii",
        Where::Stud => "stud",
        Where::Clearance => "clearance",
        Where::Opening => "opening",
        Where::Least => "least",
        Where::Greatest => "greatest",
        Where::Cover => "cover",
        Where::KeepOuts => "keep_out",
        Where::Name => "name",
        Where::Circle => "circle",
        Where::Polygon => "polygon",
        Where::Right => "right",
        Where::Up => "up",
    };
    format!(".{key}")
}

const fn written(fix: Fix) -> &'static str {
    match fix {
        Fix::Positions => r#"{"A": "1", "B": "1/2"}"#,
        Fix::When => r#"such as {"Range": "A"}"#,
        Fix::Sizes => r#""any", or the sizes that go on"#,
        Fix::FirstShaft => {
            r#"its place from the axis of the driven shaft, such as {"right": "-30 mm", "up": "75 mm"}"#
        }
        Fix::OnFirst => r#""driving""#,
        Fix::OnLast => r#""driven""#,
        Fix::Slots => r#"[{"from": "34 mm", "to": "70 mm"}], or "studs": 0"#,
        Fix::CrossFeed => {
            r#"feeds.cross: cross travel for one turn of the lead screw or feed shaft, such as "0.25 mm""#
        }
        Fix::TumblerPositions => "leave it out, or describe its positions in `headstock.tumbler`",
        Fix::HeadstockPositions => {
            "leave it out, or describe its positions in `headstock.positions`"
        }
        Fix::OneToothSize => "state one `pitch` for the whole box",
        Fix::Levers => r#"its file describes none: "gearbox": {"levers": [...]}"#,
    }
}

#[cfg(test)]
mod tests {
    use solver::{Bracket, GearSet, Lathe, Lead, Lever, Parts};

    /// A place within a list, and what would be right as a file has it.
    #[test]
    fn a_place_and_what_is_right_are_as_in_a_file() {
        let mut gears = GearSet::new();
        let gear = |teeth| solver::Teeth::new(teeth).map(solver::Gear::new);
        for teeth in [20, 40] {
            gears.add(gear(teeth).unwrap(), 1).unwrap();
        }
        let mm = |text: &str| text.parse().unwrap();
        let plain = Parts::plain(gears, Lead::new(mm("3 mm")));
        let said = |parts: Parts| {
            let error = Lathe::new(parts).unwrap_err();
            (super::path(&error).unwrap(), super::hint(&error).unwrap())
        };
        let mut parts = plain.clone();
        parts.gearbox.levers.push(Lever { name: "Range".into(), positions: Vec::new() });
        let right = r#"{"A": "1", "B": "1/2"}"#;
        assert_eq!(said(parts), ("gearbox.levers[0].positions".into(), right.into()));
        let mut parts = plain;
        let mut bracket = Bracket::plain(mm("80 mm"), mm("34 mm"), mm("70 mm"));
        bracket.slots.clear();
        parts.bracket = Some(bracket);
        let right = r#"[{"from": "34 mm", "to": "70 mm"}], or "studs": 0"#;
        assert_eq!(said(parts), ("banjo.slots".into(), right.into()));
    }
}
