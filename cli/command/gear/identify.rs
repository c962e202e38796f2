//! Which gear is this, or is it what it should be? From a count and a caliper.

use super::{capital, mm, size_in_words, undercut};
use crate::args::value::Typed;
use crate::failure::Failure;
use crate::report::{Answer, Block, Column, Report, Role, Table, Text};
use crate::words::figures::{measure, off_mm, real};
use solver::caliper::{self, CheckedGear, Identified, MeasuredOver, PossibleGear};
use solver::{Gear, Outside, PressureAngle, Teeth, ToothSize};

/// Tooth sizes shown to a person: the rest are farther off than anyone measures.
const NEAREST: usize = 4;

/// Answers for one gear: which size it has, or whether it has the one stated.
///
/// # Errors
/// If there is not one gear, or its diameter can't be read.
pub(super) fn run(
    teeth: &[Teeth],
    outside: &Typed<Outside>,
    circle: bool,
    stated: Option<ToothSize>,
    angle: Option<PressureAngle>,
) -> Result<Report, Failure> {
    let &[teeth] = teeth else {
        let wrong = format!("--outside `{outside}`: of which of the {} gears?", teeth.len());
        return Err(
            Failure::new(wrong).with_hint("one number of teeth: gear 40 --outside \"42 mm\"")
        );
    };
    let read = outside.value;
    let over = if circle { MeasuredOver::Circle } else { MeasuredOver::Tips };
    let mut report = Report::new();
    let what = if circle { "full diameter" } else { "over the tips" };
    report.heading(format!("{teeth} teeth, {} mm {what}", measure(&read.length().mm()).marked()));
    match stated {
        Some(size) => check(&caliper::check(teeth, size, read, over)?, read, &mut report),
        None => identify(&caliper::identify(teeth, read, over)?, read, &mut report),
    }
    let gear = angle.map(|angle| Gear::new(teeth).with_angle(angle));
    let undercut = gear.and_then(|gear| undercut(&[&gear], gear.angle));
    report.push(Block::List(
        doubts(teeth, over).into_iter().chain(undercut).map(Text::from).collect(),
    ));
    Ok(report)
}

/// What a diameter does not tell, and what was done about an odd count.
fn doubts(teeth: Teeth, over: MeasuredOver) -> Vec<String> {
    let odd = !teeth.get().is_multiple_of(2) && over == MeasuredOver::Tips;
    let odd = odd.then(|| {
        format!(
            "{teeth} is odd, so no tip is opposite another and a caliper reads less than the \
             diameter: allowed for. (--circle where --outside is the full diameter.)"
        )
    });
    let always = "The pressure angle (20 or 14.5 degrees) can't be told from a diameter; stub teeth and \
                  worn or turned-down tips read small. Try it against a gear that is known: they \
                  should roll together without rocking or binding.";
    odd.into_iter().chain([always.to_string()]).collect()
}

fn identify(found: &Identified, read: Outside, report: &mut Report) {
    let module = real(found.module_mm).marked();
    let dp = real(25.4 / found.module_mm).marked();
    write_answer(found, report);
    report.note(format!(
        "Measured module {module}, which is {dp} DP. Standard sizes, nearest first:"
    ));
    report.table(page(found.candidates.iter().take(NEAREST)));
    report.records = Some(records("candidate", &found.candidates, read));
}

/// The size, or that none fits.
fn write_answer(found: &Identified, report: &mut Report) {
    let (nearest, next) = (&found.nearest, &found.next);
    if !nearest.fits() {
        report.answer = Answer::No;
        let none = Text::new(Role::Warning, none_fits(nearest));
        report.brief = vec![none.clone()];
        report.note(none);
        return;
    }
    let role = if found.is_sure() { Role::Good } else { Role::Warning };
    let name = format!("{}.", capital(&size_in_words(&nearest.size)));
    let turned = format!(
        " The next, {}, would read {}: if {} were in truth {} the answer would turn.",
        size_in_words(&next.size),
        mm(next.should_mm),
        mm(found.read_mm),
        more(found.turned_by_mm())
    );
    report.brief = vec![Text::new(role, name.clone())];
    report.note(Text::new(role, name).and(Role::Plain, turned));
    if !found.is_sure() {
        let unsure = format!(
            "Both lie within what a caliper and a worn gear leave open ({}): not certain. Measure a \
             larger gear of the same box, where they lie farther apart.",
            mm(nearest.allowed_mm)
        );
        report.note(Text::new(Role::Warning, unsure));
    }
}

fn none_fits(nearest: &PossibleGear) -> String {
    format!(
        "No standard size reads so: {} comes nearest and should read {}, this reads {}. Count the teeth \
         and measure again; worn, turned-down and stub teeth read small.",
        size_in_words(&nearest.size),
        mm(nearest.should_mm),
        more(nearest.off_mm)
    )
}

/// `0.52 mm more`.
fn more(by: f64) -> String {
    let word = if by < 0.0 { "less" } else { "more" };
    format!("{:.2} mm {word}", by.abs())
}

fn check(checked: &CheckedGear, read: Outside, report: &mut Report) {
    let role = if checked.contradicts() { Role::Warning } else { Role::Good };
    let verdict = Text::new(role, verdict(checked));
    report.brief = vec![verdict.clone()];
    report.note(verdict);
    report.table(page(std::iter::once(&checked.stated).chain(&checked.others)));
    let mut table = records("stated", [&checked.stated], read);
    table.rows.extend(records("instead", &checked.others, read).rows);
    report.records = Some(table);
    if checked.contradicts() {
        report.answer = Answer::No;
    }
}

/// Whether a gear is what it should be, in words.
pub(super) fn verdict(checked: &CheckedGear) -> String {
    let stated = &checked.stated;
    let gear = |c: &PossibleGear| format!("{} teeth of {}", c.teeth, size_in_words(&c.size));
    let should = format!("{}: should read {}", gear(stated), mm(stated.should_mm));
    if !checked.contradicts() {
        return format!("{should}: it agrees.");
    }
    let likely: Vec<String> =
        checked.likely().map(|c| format!("{} ({})", gear(c), mm(c.should_mm))).collect();
    let instead = match (checked.others.first(), likely.as_slice()) {
        (Some(nearest), []) => format!(
            "Nearest is {} ({}), which does not fit either: count and measure again.",
            gear(nearest),
            mm(nearest.should_mm)
        ),
        _ => format!("Likelier: {}.", likely.join(", or ")),
    };
    format!("{should}, it reads {}. {instead}", more(stated.off_mm))
}

/// The table for people.
fn page<'a>(candidates: impl IntoIterator<Item = &'a PossibleGear>) -> Table {
    Table::of(
        candidates,
        [
            (Column::named("teeth", ""), &|c| usize::from(c.teeth.get()).into()),
            (Column::new("tooth_size", "tooth size", ""), &|c| {
                Text::new(Role::Strong, size_in_words(&c.size)).into()
            }),
            (Column::new("should_mm", "should read", "mm"), &|c| real(c.should_mm).into()),
            (Column::new("off_mm", "it is off", "mm"), &|c| off_mm(c.off_mm).into()),
            (Column::new("fits", "", ""), &|c| (if c.fits() { "fits" } else { "" }).into()),
        ],
    )
}

/// The table for programs.
fn records<'a>(
    kind: &str,
    candidates: impl IntoIterator<Item = &'a PossibleGear>,
    read: Outside,
) -> Table {
    Table::keyed(
        candidates,
        [
            ("kind", &|_| kind.into()),
            ("teeth", &|c| usize::from(c.teeth.get()).into()),
            ("tooth_size", &|c| size_in_words(&c.size).into()),
            ("module_mm", &|c| measure(&c.size.module().mm()).into()),
            ("read_mm", &|_| measure(&read.length().mm()).into()),
            ("should_mm", &|c| real(c.should_mm).into()),
            ("off_mm", &|c| off_mm(c.off_mm).into()),
            ("fits", &|c| (if c.fits() { "yes" } else { "no" }).into()),
        ],
    )
}
