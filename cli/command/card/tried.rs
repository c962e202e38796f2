//! A nut was tried on the half-cut screw, or a screw in the nut: what follows.

use super::Card;
use super::page::{Page, strong};
use super::rest;
use crate::report::{Role, Text};
use crate::words::size;
use solver::cutting::Side;
use solver::job::{Goes, Rest, Tried};

/// The section, where a mate was tried.
pub(super) fn write(card: &Card<'_>, page: &mut Page) {
    let Some(tried) = &card.job.tried else { return };
    page.section("Next cut");
    let facts = vec![
        ("tried", Text::from(what(tried))),
        ("pitch now", pitch(tried)),
        ("left", left(card, tried)),
    ];
    rest::write(&facts, &tried.rest, tried.aside.is_some(), page);
    page.note(no_gauge(tried));
    if tried.crests_bind {
        let turn = match tried.trial.mate {
            Side::Internal => "The blank is larger than the nut's least root: turn its crests down",
            Side::External => {
                "The bore is smaller than the screw's greatest root: bore its crests out"
            }
        };
        page.warning(format!("{turn} before another cut."));
    }
    page.steps(steps(tried));
}

/// `nut goes on 2 turns, then binds; nuts of class 6H: pitch diameter 9.026 to 9.206 mm (...)`.
fn what(tried: &Tried) -> String {
    let word = tried.trial.word();
    let into = match tried.trial.mate {
        Side::Internal => "on",
        Side::External => "in",
    };
    let goes = match tried.trial.goes {
        Goes::Not => "does not start".to_owned(),
        Goes::Turns(None) => "starts, then binds".to_owned(),
        Goes::Turns(Some(turns)) => {
            let unit = if turns <= solver::Ratio::ONE { "turn" } else { "turns" };
            format!("goes {into} {} {unit}, then binds", size::mixed(&turns))
        }
        Goes::On => format!("goes {into} all the way"),
    };
    let [least, greatest] = &tried.mate;
    let mates = match tried.class {
        Some(class) => {
            let range = size::range([least, greatest]);
            // The internal thread of a pipe has one class, without a name.
            let of = match class.to_string() {
                name if name == "internal" => class.standard().to_string(),
                name => format!("class {name}"),
            };
            format!("{word}s of {of}: pitch diameter {range}")
        }
        None => format!("its own {word}: pitch diameter {}", size::both(least)),
    };
    format!("{word} {goes}; {mates}")
}

fn pitch(tried: &Tried) -> Text {
    match (&tried.least, &tried.greatest) {
        (Some(least), Some(greatest)) => {
            Text::from("from ").and(Role::Strong, size::range([least, greatest]))
        }
        (Some(least), None) => strong(size::both(least)).and(Role::Plain, " or more"),
        (None, Some(greatest)) => strong(size::both(greatest)).and(Role::Plain, " or less"),
        (None, None) => "not known".into(),
    }
}

fn left(card: &Card<'_>, tried: &Tried) -> Text {
    let limits = card.job.limits.filter(|_| card.job.mate.is_none());
    let aim = match (limits, &card.job.mate) {
        (Some(limits), _) => format!("to the middle of class {}", limits.class()),
        (None, Some(_)) => "to the size for its screw".to_owned(),
        (None, None) => "to the basic size".to_owned(),
    };
    let some = |left: Option<f64>| left.filter(|left| *left > 0.0);
    let figure = match tried.left.map(some) {
        [Some(least), Some(most)] => strong(size::range([&least, &most])),
        [Some(least), None] => strong(size::both(&least)).and(Role::Plain, " at least"),
        [None, Some(most)] => Text::from("perhaps nothing, ")
            .and(Role::Strong, size::both(&most))
            .and(Role::Plain, " at most"),
        [None, None] => "nothing for sure,".into(),
    };
    figure.and(Role::Plain, format!(" {aim}, square to the axis"))
}

fn no_gauge(tried: &Tried) -> &'static str {
    match tried.trial.mate {
        Side::Internal => {
            "A nut is no gauge: it can't show undersize, and high or rough crests stop it too."
        }
        Side::External => {
            "A screw is no gauge: it can't show oversize, and high or rough crests stop it too."
        }
    }
}

/// Common practice, no source.
fn steps(tried: &Tried) -> Vec<String> {
    let word = tried.trial.word();
    let (measure, past) = match tried.trial.mate {
        Side::Internal => ("over wires or by a thread micrometer", "undersize"),
        Side::External => ("by a thread plug gauge", "oversize"),
    };
    if tried.trial.goes == Goes::On {
        return vec![format!(
            "It may be finished, or {past} already: cut no more before you measure it, {measure}."
        )];
    }
    let clean = format!(
        "Spindle stopped, tool clear: take off burrs, brush the thread clean, try the {word} again."
    );
    if tried.rest == Rest::default() {
        return vec![clean, format!("It still binds: measure it before another cut, {measure}.")];
    }
    let much = (tried.trial.goes == Goes::Not).then(|| {
        "Far more may be left: the slide's dial shows the depth so far (--now \"depth 0.6 mm\").".to_owned()
    });
    let cut = format!("It still binds: cut the passes above, then measure {measure}.");
    let by_trial = format!(
        "Nothing to measure with: 0.02 mm more at a time, and the {word} after each. Stop when it goes by \
         hand."
    );
    [Some(clean), much, Some(cut), Some(by_trial)].into_iter().flatten().collect()
}
