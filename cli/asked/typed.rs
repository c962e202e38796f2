//! What do the numbers mean that were typed for an argument? Each error names the argument.

use crate::args::Clearance;
use crate::failure::Failure;
use solver::bounds::Bounds;
use solver::{Lead, LeastClearance, Length, Ratio};

pub(crate) use crate::args::value::whole;

/// The same, to count with.
pub(crate) fn count(argument: &str, text: &str, bounds: &Bounds) -> Result<usize, Failure> {
    whole(argument, text, bounds).map(|number| usize::try_from(number).unwrap_or(usize::MAX))
}

/// A length with its unit.
pub(crate) fn length(argument: &str, text: &str) -> Result<Length, Failure> {
    text.parse().map_err(|e| Failure::typed(argument, text, &e))
}

/// The room that a gear on a stud leaves the next shaft; nothing where no fit is checked.
pub(crate) fn arbor(clearance: &Clearance) -> Result<Option<LeastClearance>, Failure> {
    let typed = clearance.arbor.as_deref().map(|typed| length("--arbor", typed)).transpose()?;
    let arbor = typed.map_or(LeastClearance::Assumed, |typed| LeastClearance::Stated(typed.mm()));
    Ok((!clearance.no_fit).then_some(arbor))
}

/// The lead of a lead screw: `8tpi`, `3mm`, `1/8 in`.
pub(crate) fn lead(argument: &str, text: &str) -> Result<Lead, Failure> {
    let typed = |e: solver::Error| Failure::typed(argument, text, &e);
    let (number, used) = Ratio::read(text).map_err(typed)?;
    let unit = text.get(used..).unwrap_or_default().trim();
    let lead = match unit.to_ascii_lowercase().as_str() {
        "tpi" => Lead::from_tpi(number).map_err(typed)?,
        _ => Lead::new(text.parse::<Length>().map_err(|e| {
            typed(e).with_hint(format!("{argument} 8tpi, {argument} 3mm or {argument} 1/8in"))
        })?),
    };
    lead.checked_as_target().map_err(typed)
}

/// A tolerance as a fraction: `200ppm`, `0.02%`.
pub(crate) fn tolerance(argument: &str, text: &str) -> Result<Ratio, Failure> {
    let typed = |e: solver::Error| Failure::typed(argument, text, &e);
    let hint = format!("{argument} 200ppm or {argument} 0.02%");
    let (number, used) = Ratio::read(text).map_err(|e| typed(e).with_hint(hint.clone()))?;
    let unit = text.get(used..).unwrap_or_default().trim();
    let whole = match unit.to_ascii_lowercase().as_str() {
        "ppm" => 1_000_000,
        "%" => 100,
        _ => {
            let wrong = "a tolerance is given in ppm or %";
            return Err(
                Failure::new(format!("{argument} {}: {wrong}", quoted(text))).with_hint(hint)
            );
        }
    };
    let tolerance = Ratio::whole(whole).and_then(|w| number.over(&w)).map_err(typed)?;
    if tolerance > Ratio::ONE {
        let wrong = "more than the whole lead";
        return Err(Failure::new(format!("{argument} {}: {wrong}", quoted(text))).with_hint(hint));
    }
    Ok(tolerance)
}

fn quoted(text: &str) -> String {
    format!("`{}`", crate::failure::shortened(text))
}
