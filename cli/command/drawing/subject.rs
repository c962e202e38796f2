//! What is drawn of a set-up that was found, and the words that go with it.

use super::Subject;
use crate::answer::{Entry, Outcome, Request};
use crate::words::figures::{lead_inch, lead_mm, tpi};
use crate::words::reasons::Speaker;
use crate::words::shaft::driven_shaft;
use crate::words::{cautions, doubt, set_up};
use solver::bracket::Fit;

/// What is to be drawn of a set-up.
pub(in crate::command) fn of<'a>(
    request: &'a Request,
    outcome: &Outcome,
    entry: &'a Entry,
) -> Subject<'a> {
    let lathe = &request.machine.lathe;
    let speaker = Speaker::new(lathe, &entry.train);
    let reasons = set_up::reasons(lathe, entry);
    let warning = match (&entry.fit, reasons.is_empty()) {
        _ if entry.is_unfit() => Some("DOES NOT FIT".to_string()),
        (_, false) => Some("CAN'T BE SET UP SO".to_string()),
        (fit @ Fit::TooClose(_), true) => Some(doubt::verdict(fit).to_string()),
        (_, true) if outcome.nearest.is_some() => Some("Not within the tolerance".to_string()),
        (_, true) => None,
    };
    // Nothing is mounted then.
    let caution = reasons.is_empty().then_some(cautions::HANDS);
    let mut notes: Vec<String> = reasons.into_iter().map(|reason| reason.text).collect();
    notes.extend(doubt::measures(lathe, &entry.fit));
    if let Some(mounting) = entry.fit.mounting() {
        let studs = speaker.studs(mounting).into_iter();
        notes.extend(studs.map(|(name, place)| format!("{name}: {place}")));
        notes.extend(speaker.swing(mounting).map(|swing| format!("arm angle: {swing}")));
        notes.extend(speaker.tightest(mounting).map(|gap| format!("least clearance: {gap}")));
    }
    Subject {
        driven: driven_shaft(lathe),
        train: &entry.train,
        fit: &entry.fit,
        bracket: lathe.parts().bracket.as_ref(),
        first_turns: lathe.first_turns(entry.setting.headstock, entry.tumbler),
        title: format!("{}: {}", outcome.target.text(), entry.train),
        caution,
        warning,
        facts: facts(request, outcome, entry),
        notes,
    }
}

fn facts(request: &Request, outcome: &Outcome, entry: &Entry) -> Vec<String> {
    let mm = lead_mm(&entry.lead).marked();
    let cuts = if outcome.target.travel().is_feed() {
        format!("feeds {mm} mm = {} in per turn", lead_inch(&entry.lead).marked())
    } else {
        let hand = entry.settled_hand().map(|hand| format!(", {hand} hand")).unwrap_or_default();
        format!("cuts {mm} mm = {} TPI{hand}", tpi(&entry.lead).marked())
    };
    let levers = set_up::levers_in_words(&request.machine.lathe, entry);
    let set = (!levers.is_empty()).then(|| format!("set {levers}"));
    let error = format!("{cuts}; error: {}", set_up::error_in_short(&entry.error));
    [request.machine.name().to_string(), error].into_iter().chain(set).collect()
}
