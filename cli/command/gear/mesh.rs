//! How big are gears of a size, and how does each run with the next?

use super::{capital, size_in_words, undercut};
use crate::args::value::Typed;
use crate::failure::Failure;
use crate::report::{Answer, Block, Cell, Column, Report, Role, Table, Text};
use crate::words::figures::{measure, real, rough};
use solver::caliper::MeasuredOver;
use solver::involute::Pair;
use solver::{Gear, Length, ToothSize};

/// Least contact ratio that runs well (common practice, no source).
const ENOUGH: f64 = 1.2;

/// Sizes of the gears, and the meshes between neighbours.
///
/// # Errors
/// If the centres can't be read or don't suit.
pub(super) fn run(
    gears: &[Gear],
    size: &ToothSize,
    centres: Option<&Typed<Length>>,
) -> Result<Report, Failure> {
    let pairs = pairs(gears, centres)?;
    let mut report = Report::new();
    let degrees = gears.first().map(words_of_angle).unwrap_or_default();
    report.heading(format!("{}, {degrees} degrees", capital(&size_in_words(size))));
    let rows = gears.iter().map(|gear| sizes(gear, size)).collect::<Result<Vec<_>, _>>()?;
    report.table(page_of_gears(&rows));
    if !pairs.is_empty() {
        report.heading(if pairs.len() == 1 { "Mesh" } else { "Meshes" });
        report.table(page_of_meshes(&pairs));
    }
    let warnings: Vec<Text> = warnings(gears, &pairs, &mut report.answer)
        .into_iter()
        .map(|line| Text::new(Role::Warning, line))
        .collect();
    let notes = (!pairs.is_empty()).then(|| Text::from(about_play(&pairs)));
    let lines: Vec<Text> = warnings.into_iter().chain(notes).collect();
    if !lines.is_empty() {
        report.push(Block::List(lines));
    }
    report.records = Some(records(rows, &pairs, size));
    Ok(report)
}

fn words_of_angle(gear: &Gear) -> String {
    measure(&gear.angle.degrees()).marked()
}

fn pairs(gears: &[Gear], centres: Option<&Typed<Length>>) -> Result<Vec<Pair>, Failure> {
    let meshes = gears.windows(2).filter_map(|two| match two {
        [driver, driven] => Some(Pair::new(*driver, *driven)),
        _ => None,
    });
    let pairs = meshes.collect::<Result<Vec<_>, _>>()?;
    let Some(typed) = centres else { return Ok(pairs) };
    let &[pair] = pairs.as_slice() else {
        let wrong = format!("--centres `{typed}`: it takes two gears, {} given", gears.len());
        return Err(
            Failure::new(wrong).with_hint("gear 20 60 --pitch \"module 1\" --centres \"40.1 mm\"")
        );
    };
    let least = measure(&pair.standard_centres().mm()).marked();
    let apart = pair.with_centres(typed.value).map_err(|e| {
        let right = format!("{least} mm, and a little more for backlash");
        Failure::typed("--centres", &typed.text, &e).with_hint(right)
    })?;
    Ok(vec![apart])
}

/// The circles of one gear: teeth, then pitch, outside and root diameter, and what a caliper reads.
fn sizes(gear: &Gear, size: &ToothSize) -> Result<(Gear, [Cell; 4]), Failure> {
    let teeth = gear.teeth;
    let diameter = |d: solver::Length| Cell::from(measure(&d.mm()));
    let cells = [
        diameter(size.pitch_diameter(teeth)?),
        diameter(size.outside_diameter(teeth)?),
        diameter(size.root_diameter(teeth)?),
        real(MeasuredOver::Tips.reading(size, teeth)?).into(),
    ];
    Ok((*gear, cells))
}

fn page_of_gears(rows: &[(Gear, [Cell; 4])]) -> Table {
    let mut table = Table::new(vec![
        Column::new("teeth", "teeth", ""),
        Column::new("pitch_mm", "pitch circle", "mm"),
        Column::new("outside_mm", "outside", "mm"),
        Column::new("root_mm", "root", "mm"),
        Column::new("should_mm", "caliper reads", "mm"),
    ]);
    for (gear, cells) in rows {
        let teeth = Cell::from(usize::from(gear.teeth.get()));
        table.push(std::iter::once(teeth).chain(cells.iter().cloned()).collect());
    }
    table
}

fn name(pair: &Pair) -> String {
    format!("{}-{}", pair.driver().teeth, pair.driven().teeth)
}

fn page_of_meshes(pairs: &[Pair]) -> Table {
    let mut table = Table::new(vec![
        Column::new("mesh", "mesh", ""),
        Column::new("ratio", "ratio", ""),
        Column::new("centres_mm", "centres", "mm"),
        Column::new("working_angle_deg", "angle", "deg"),
        Column::new("contact_ratio", "contact ratio", ""),
        Column::new("backlash_mm", "backlash", "mm"),
    ]);
    for pair in pairs {
        let mut cells = vec![name(pair).into(), pair.ratio().to_string().into()];
        cells.extend(figures(pair));
        table.push(cells);
    }
    table
}

/// Centres, working angle, contact ratio, backlash.
fn figures(pair: &Pair) -> [Cell; 4] {
    [
        measure(&pair.centres().mm()).into(),
        rough(pair.working_angle()).into(),
        rough(pair.contact_ratio()).into(),
        rough(pair.backlash()).into(),
    ]
}

fn warnings(gears: &[Gear], pairs: &[Pair], answer: &mut Answer) -> Vec<String> {
    let all: Vec<&Gear> = gears.iter().collect();
    let mut lines: Vec<String> =
        gears.first().and_then(|gear| undercut(&all, gear.angle)).into_iter().collect();
    for pair in pairs {
        let (name, contact) = (name(pair), pair.contact_ratio());
        if pair.interferes() {
            lines.push(format!(
                "{name}: the tips of one foul the roots of the other unless those are undercut or cut \
                 with a shifted profile; the contact is then less than given."
            ));
        }
        if contact < 1.0 {
            *answer = Answer::No;
            lines.push(format!("{name}: contact ratio under 1: the drive is not continuous."));
        } else if contact < ENOUGH {
            lines.push(format!("{name}: contact ratio under {ENOUGH}: it will run roughly."));
        }
    }
    lines
}

/// What opening the centres does.
fn about_play(pairs: &[Pair]) -> String {
    let tan = pairs.first().map_or(0.0, |pair| {
        let angle = pair.driver().angle.degrees().to_f64();
        angle.to_radians().tan()
    });
    format!(
        "Backlash is what the centres alone give; teeth cut thin add theirs. Every 0.1 mm that the centres \
         are opened is {:.3} mm of backlash at the pitch circle. How much is right the machine's manual \
         says.",
        0.2 * tan
    )
}

/// One row a gear, then one a mesh.
fn records(gears: Vec<(Gear, [Cell; 4])>, pairs: &[Pair], size: &ToothSize) -> Table {
    let keys = [
        "kind",
        "teeth",
        "tooth_size",
        "angle_deg",
        "pitch_mm",
        "outside_mm",
        "root_mm",
        "should_mm",
        "ratio",
        "centres_mm",
        "working_angle_deg",
        "contact_ratio",
        "backlash_mm",
    ];
    let mut table = Table::new(keys.map(|key| Column::new(key, key, "")).into());
    let empty = |n| std::iter::repeat_n(Cell::Empty, n);
    let start = |kind: &str, teeth: String, gear: &Gear| -> Vec<Cell> {
        let angle = measure(&gear.angle.degrees());
        vec![kind.into(), teeth.into(), size_in_words(size).into(), angle.into()]
    };
    for (gear, cells) in gears {
        let mut row = start("gear", gear.teeth.to_string(), &gear);
        row.extend(cells.into_iter().chain(empty(5)));
        table.push(row);
    }
    for pair in pairs {
        let mut row = start("mesh", name(pair), pair.driver());
        row.extend(empty(4).chain([measure(&pair.ratio()).into()]).chain(figures(pair)));
        table.push(row);
    }
    table
}
