//! What is known of a lathe, part by part.

use crate::asked::machine::set_up;
use crate::report::number::grouped;
use crate::words::figures::plural;
use crate::words::shaft::driven_shaft;
use crate::words::shop::{self as words, Say};
use solver::{
    Control, Fitted, Gearbox, Lathe, Lead, LeverPosition, Ratio, Setting, Speeds, Travel, Turns,
};

/// Every part with what is known of it, from the spindle to the dial.
pub(in crate::command) fn of(lathe: &Lathe) -> Vec<(String, String)> {
    let mut facts = Vec::new();
    let mut say = |part: &str, value: String| facts.push((part.to_string(), value));
    say("lead screw", lead_screw(lathe));
    spindle(lathe, &mut say);
    say("gears", words::gears(&lathe.parts().gears));
    say("teeth", words::tooth(&lathe.parts().gears));
    studs(lathe, &mut say);
    super::bracket::facts(lathe, &mut say);
    if !lathe.parts().gearbox.levers.is_empty() {
        gearbox(&lathe.parts().gearbox, &mut say);
    }
    settings(lathe, &mut say);
    feeds(lathe, &mut say);
    carriage(lathe, &mut say);
    if let Some(set_up) = &lathe.parts().fitted {
        say("fitted", fitted(lathe, set_up));
    }
    facts
}

/// The lathe in one line.
pub(super) fn summary(lathe: &Lathe) -> String {
    let parts = lathe.parts();
    let name = if parts.name.is_empty() { "without a name" } else { &parts.name };
    let threads = lathe.settings(Travel::Thread).map_or(0, |s| s.list.len());
    format!(
        "{name}: {}, {} gears, {}, {} for threads",
        lead_screw(lathe),
        parts.gears.total(),
        plural(parts.studs.into(), "stud"),
        positions(threads)
    )
}

fn lead_screw(lathe: &Lathe) -> String {
    let parts = lathe.parts();
    let lead = match (&parts.lead_screw.lead, &parts.screw_constant) {
        (Some(lead), _) => words::lead(lead),
        (None, Some(constant)) => {
            format!("lead unknown; equal gears cut {} (screw constant)", words::lead(constant))
        }
        (None, None) => "lead unknown".into(),
    };
    let starts = match parts.lead_screw.starts {
        1 => String::new(),
        n => format!(", {n} starts"),
    };
    format!("{lead}, {} hand{starts}", parts.lead_screw.hand)
}

fn spindle(lathe: &Lathe, say: &mut Say<'_>) {
    let parts = lathe.parts();
    for position in &parts.headstock {
        let part = match position.name.as_str() {
            "" => "driving gear".to_string(),
            name => format!("driving gear, {name}"),
        };
        let ratio = match (&position.ratio, &parts.screw_constant) {
            (Some(ratio), _) if *ratio == Ratio::ONE => "as fast as the spindle".to_string(),
            (Some(ratio), _) => format!("{ratio} times as fast as the spindle"),
            (None, Some(_)) => "how fast lies in the screw constant".into(),
            (None, None) => "how fast is not known".into(),
        };
        // With a tumbler its positions tell the way round, but for what turns it once more.
        let told = !parts.tumbler.is_empty() && position.turns == Turns::Same;
        let turns =
            if told { String::new() } else { format!(", {}", words::turns(position.turns)) };
        say(&part, ratio + &turns);
    }
    let tumbler =
        parts.tumbler.iter().map(|(name, turns)| format!("{name}: {}", words::turns(*turns)));
    let tumbler: Vec<String> = tumbler.collect();
    say("tumbler", if tumbler.is_empty() { "none".into() } else { tumbler.join("; ") });
}

fn studs(lathe: &Lathe, say: &mut Say<'_>) {
    let parts = lathe.parts();
    let stated = if parts.studs_stated { "" } else { " (not stated: one is assumed)" };
    let sleeves = match parts.sleeves {
        Some(n) => format!("; keyed sleeves for pairs of loose gears: {n}"),
        None => String::new(),
    };
    say("studs", format!("{}{stated}{sleeves}", parts.studs));
    say("on driving shaft", words::end(&parts.ends.first));
    say(&format!("on {}", driven_shaft(lathe)), words::end(&parts.ends.last));
}

fn gearbox(gearbox: &Gearbox, say: &mut Say<'_>) {
    for lever in &gearbox.levers {
        let positions: Vec<String> = lever.positions.iter().map(lever_position).collect();
        say(&format!("lever {}", lever.name), positions.join(", "));
    }
    for when in &gearbox.forbidden {
        say("never set", words::when(when));
    }
    for (when, last) in &gearbox.needs_last {
        say("special driven gear", format!("{}: {}", words::when(when), words::end(last)));
    }
    for combination in &gearbox.combinations {
        let ratio = ratio_or_unknown(combination.ratio.as_ref());
        say("special ratio", format!("{}: {ratio}", words::when(&combination.when)));
    }
}

fn lever_position(position: &LeverPosition) -> String {
    let sense = match position.turns {
        Turns::Same => "",
        Turns::Opposite => " reversed",
        Turns::Unknown => " (sense unknown)",
    };
    let only = match position.only {
        None => "",
        Some(Travel::Thread) => " (threads only)",
        Some(_) => " (feeds only)",
    };
    let ratio = ratio_or_unknown(position.ratio.as_ref());
    format!("{}={ratio}{sense}{only}", position.name)
}

fn ratio_or_unknown(ratio: Option<&Ratio>) -> String {
    ratio.map_or_else(|| "unknown".into(), Ratio::to_string)
}

fn positions(count: usize) -> String {
    match count {
        1 => "one lever position".into(),
        n => format!("{} lever positions", grouped(n as u128)),
    }
}

fn settings(lathe: &Lathe, say: &mut Say<'_>) {
    let Ok(found) = lathe.settings(Travel::Thread) else { return };
    let constants = found.list.iter().map(|setting| setting.constant);
    let Some((finest, coarsest)) = constants.clone().min().zip(constants.max()) else { return };
    let equal = if finest == coarsest {
        words::lead(&finest)
    } else {
        format!("{} to {}", words::lead(&finest), words::lead(&coarsest))
    };
    say("equal gears cut", equal);
    let with_levers = !lathe.parts().gearbox.levers.is_empty() || lathe.parts().headstock.len() > 1;
    if with_levers {
        let left_out = format!("; forbidden {}, unknown {}", found.forbidden, found.unknown);
        say("for threads", positions(found.list.len()) + &left_out);
    }
}

fn feeds(lathe: &Lathe, say: &mut Say<'_>) {
    let parts = lathe.parts();
    let shaft = "for one turn of the lead screw or feed shaft";
    let feed = |lead: &Lead| format!("{} {shaft}", words::feed(lead));
    let by_nut = || "by half nut on the lead screw".to_string();
    say("longitudinal feed", parts.feeds.long.as_ref().map_or_else(by_nut, feed));
    say("cross feed", parts.feeds.cross.as_ref().map_or_else(|| "not described".into(), feed));
}

fn carriage(lathe: &Lathe, say: &mut Say<'_>) {
    let parts = lathe.parts();
    let yes_no = |known: Option<bool>, no: &str| match known {
        Some(true) => "yes".to_string(),
        Some(false) => no.to_string(),
        None => "not known".to_string(),
    };
    say("half nut", yes_no(parts.half_nut, "none"));
    say("motor reverses", yes_no(parts.reverse, "no: turn back by hand"));
    for dial in &parts.dials {
        let labels: Vec<&str> =
            dial.labels.iter().map(String::as_str).filter(|label| !label.is_empty()).collect();
        let marked = if labels.is_empty() {
            String::new()
        } else {
            format!(", marked {}", labels.join(" "))
        };
        say("dial", format!("{} teeth, {} lines{marked}", dial.teeth, dial.lines));
    }
    match &parts.speeds {
        Some(Speeds::Range(range)) => {
            say("spindle", format!("{} to {} turns a minute", range.start(), range.end()));
        }
        Some(Speeds::List(list)) => {
            let list: Vec<String> = list.iter().map(u32::to_string).collect();
            say("spindle", format!("{} turns a minute", list.join(", ")));
        }
        _ => {}
    }
}

/// A set-up with what it cuts and feeds.
pub(in crate::command) fn fitted(lathe: &Lathe, fitted: &Fitted) -> String {
    let gives = all_that_it_gives(lathe, fitted);
    let gives =
        if gives.is_empty() { "what it cuts is not known".into() } else { gives.join("; ") };
    format!("{}: {gives}", set_up(lathe, fitted))
}

/// What a set-up cuts and feeds, one after the other.
pub(in crate::command) fn all_that_it_gives(lathe: &Lathe, fitted: &Fitted) -> Vec<String> {
    let travels = [Travel::Thread, Travel::LongFeed, Travel::CrossFeed];
    travels.into_iter().filter_map(|travel| gives(lathe, fitted, travel)).collect()
}

fn gives(lathe: &Lathe, fitted: &Fitted, travel: Travel) -> Option<String> {
    let lead = lathe.lead_of(fitted, travel).ok()??;
    let setting = lathe.setting_of(fitted, travel)?;
    Some(match travel {
        Travel::Thread => format!("cuts {}{}", words::lead(&lead), hands(lathe, fitted, &setting)),
        Travel::LongFeed => format!("longitudinal feed {}", crate::words::size::fine(&lead)),
        Travel::CrossFeed => format!("cross feed {}", crate::words::size::fine(&lead)),
    })
}

/// Which hand it cuts; where the tumbler's place is not known, in each of its positions.
fn hands(lathe: &Lathe, fitted: &Fitted, setting: &Setting) -> String {
    let hand = |tumbler| lathe.hand_cut(setting, fitted.train.meshes(), tumbler);
    let tumbler = &lathe.parts().tumbler;
    let at = lathe.position_in(fitted, Control::Tumbler);
    if tumbler.is_empty() || at.is_some() {
        return hand(at).map_or(String::new(), |hand| format!(", {hand} hand"));
    }
    let known = tumbler.iter().enumerate();
    let known = known.filter_map(|(at, (name, _))| Some((name, hand(Some(at))?)));
    let known: Vec<String> =
        known.map(|(name, hand)| format!(", {hand} hand with the tumbler {name}")).collect();
    known.concat()
}
