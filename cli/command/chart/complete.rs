//! The lathe file with what was learned: the person's own file with a few values put in, or a new one
//! where there was none.

use crate::asked::machine::Machine;
use crate::files::Node;
use solver::{Lead, Parts, Ratio};

/// The completed file. `None`: it can't be written so that it reads back as `after`.
pub(super) fn file(machine: Option<&Machine>, before: &Parts, after: &Parts) -> Option<String> {
    let text = match machine {
        Some(machine) => {
            let open = machine.file()?;
            let (out, put) = changes(before, after, |path| open.has_object(path));
            open.completed(&out, &put)?
        }
        None => whole(after),
    };
    let read =
        crate::files::lathe_of_text_in("the completed file", &text, Some("".as_ref())).ok()?;
    // Names and notes aside it must say what was learned, no more and no less.
    let parts = read.lathe.parts();
    let mut same = parts.clone();
    same.name.clone_from(&after.name);
    same.note.clone_from(&after.note);
    same.studs_stated = after.studs_stated;
    let by_constant = after.screw_constant.is_some();
    (same == *after || (by_constant && without_k(&same) == without_k(after))).then_some(text)
}

/// With the screw constant there is no K to be compared.
fn without_k(parts: &Parts) -> Parts {
    let mut parts = parts.clone();
    parts.headstock.iter_mut().for_each(|position| position.ratio = None);
    parts
}

/// Keys to be taken out, and values to be put in.
fn changes(
    before: &Parts,
    after: &Parts,
    is_object: impl Fn(&str) -> bool,
) -> (Vec<String>, Vec<(String, String)>) {
    let (mut out, mut put) = (Vec::new(), Vec::new());
    let several = after.headstock.len() > 1 || after.headstock.iter().any(|p| !p.name.is_empty());
    let way = |name: &str| {
        let name = serde_json::Value::from(name).to_string();
        if several {
            format!("headstock.positions[{name}].ratio")
        } else {
            "headstock.ratio".to_owned()
        }
    };
    if after.screw_constant != before.screw_constant {
        // The constant holds the headstock's ratio; the file must not say both.
        out.extend(after.headstock.iter().map(|position| way(&position.name)));
        put.extend(
            after.screw_constant.map(|constant| ("screw_constant".to_owned(), lead(&constant))),
        );
    }
    if after.lead_screw.lead != before.lead_screw.lead {
        put.extend(after.lead_screw.lead.map(|l| ("lead_screw.lead".to_owned(), lead(&l))));
    }
    for (new, old) in after.headstock.iter().zip(&before.headstock) {
        if new.ratio != old.ratio {
            put.extend(new.ratio.map(|ratio| (way(&new.name), ratio.to_string())));
        }
    }
    for (i, (new, old)) in after.gearbox.levers.iter().zip(&before.gearbox.levers).enumerate() {
        for (new, old) in new.positions.iter().zip(&old.positions) {
            if let Some(ratio) = new.ratio.filter(|_| new.ratio != old.ratio) {
                let name = serde_json::Value::from(new.name.as_str());
                let path = format!("gearbox.levers[{i}].positions[{name}]");
                let path = if is_object(&path) { format!("{path}.ratio") } else { path };
                put.push((path, ratio.to_string()));
            }
        }
    }
    let feeds = [
        ("feeds.long", after.feeds.long, before.feeds.long),
        ("feeds.cross", after.feeds.cross, before.feeds.cross),
    ];
    for (path, new, old) in feeds {
        put.extend(new.filter(|_| new != old).map(|feed| (path.to_owned(), lead(&feed))));
    }
    (out, put)
}

/// A lead as a file says it: `8 tpi` where that is plain, else mm.
fn lead(lead: &Lead) -> String {
    let plain = |tpi: &Ratio| tpi.denom() <= 4 && lead.mm().denom() > 4 && *tpi >= Ratio::ONE;
    match lead.tpi() {
        Ok(tpi) if plain(&tpi) => format!("{tpi} tpi"),
        _ => format!("{} mm", lead.mm()),
    }
}

/// A file of its own, with all that a chart shows: gears, levers, and what was learned.
fn whole(parts: &Parts) -> String {
    let unknown = || "unknown".to_owned();
    let ratio = |ratio: Option<Ratio>| Node::text(ratio.map_or_else(unknown, |r| r.to_string()));
    let name = Node::text("lathe learned from its chart");
    let mut file = Node::object([("format", Node::number("1")), ("name", name)]);
    if let Some(constant) = parts.screw_constant {
        file.put("screw_constant", Node::text(lead(&constant)));
    } else {
        let screw = parts.lead_screw.lead.map_or_else(unknown, |screw| lead(&screw));
        file.put("lead_screw.lead", Node::text(screw));
        file.put("headstock.ratio", ratio(parts.headstock.first().and_then(|p| p.ratio)));
    }
    let levers = parts.gearbox.levers.iter().map(|lever| {
        let positions = lever.positions.iter().map(|p| (p.name.clone(), ratio(p.ratio)));
        let positions = Node::Object(positions.collect());
        Node::object([("name", Node::text(&lever.name)), ("positions", positions)])
    });
    let levers: Vec<Node> = levers.collect();
    if !levers.is_empty() {
        file.put("gearbox.levers", Node::List(levers));
    }
    for (key, feed) in [("feeds.long", parts.feeds.long), ("feeds.cross", parts.feeds.cross)] {
        if let Some(feed) = feed {
            file.put(key, Node::text(lead(&feed)));
        }
    }
    file.put("studs", Node::number(parts.studs.to_string()));
    let owned = parts.gears.loose().iter().flat_map(|(gear, count)| {
        std::iter::repeat_n(Node::number(gear.teeth.to_string()), usize::from(*count))
    });
    file.put("gears.owned", Node::list(owned));
    file.to_string()
}
