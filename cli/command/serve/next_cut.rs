//! The boxes of a half-cut thread on the card's page: what was measured, or what its mate does.

use super::frame::{MOST_LETTERS, hidden};
use super::visit::Visit;
use maud::{Markup, html};

/// What the boxes are called in an address.
pub(super) const NAMES: [&str; 3] = ["kind", "value", "reset"];
/// The boxes of the card's other form that are here too.
const BOTH: [(&str, &str, &str); 2] = [
    ("wire", "Wires, where you measured over wires", "0.9 mm"),
    ("blank", "Blank as measured", "9.86 mm"),
];
/// What can be said: how `--now` begins, and its words.
const KINDS: [(&str, &str); 6] = [
    ("wires", "Over three wires"),
    ("pitch", "Pitch diameter"),
    ("root", "Across the root"),
    ("depth", "Depth so far"),
    ("nut", "A nut was tried"),
    ("screw", "Its screw was tried"),
];

impl Visit<'_> {
    /// The boxes as options of the card.
    pub(super) fn next_cut_words(&self) -> Vec<String> {
        let (kind, value) = (self.value("kind"), self.value("value"));
        let now = (!value.is_empty()).then(|| format!("--now={kind} {value}"));
        let reset = (!self.value("reset").is_empty()).then(|| "--reset".to_owned());
        now.into_iter().chain(reset).collect()
    }

    /// The form; `asked`: all that was asked of the card. It is open where nothing came of it: what came is
    /// on the first screen of a phone.
    pub(super) fn next_cut_boxes(&self, asked: &[(&str, &str)], is_answered: bool) -> Markup {
        let own = |name: &str| NAMES.contains(&name) || BOTH.iter().any(|(both, ..)| *both == name);
        let is_open = !is_answered && !self.next_cut_words().is_empty();
        html! {
            details.boxes open[is_open] {
                summary { "Half cut: what comes next?" }
                form action=(self.place.own("card")) {
                    @for (name, value) in asked.iter().filter(|(name, _)| !own(name)) {
                        input type="hidden" name=(name) value=(value);
                    }
                    (hidden(&self.place))
                    p.entry {
                        label for="kind" { "What you did" }
                        select #kind name="kind" {
                            @for (kind, words) in KINDS {
                                option value=(kind) selected[self.value("kind") == kind] { (words) }
                            }
                        }
                    }
                    (self.line("value", "Reading, or how far it goes", "10.45 mm; 10.45, 10.40 mm over 15 mm; 2 turns"))
                    @for (name, label, such_as) in BOTH { (self.line(name, label, such_as)) }
                    p.entry { label {
                        input type="checkbox" name="reset" value="1" checked[!self.value("reset").is_empty()];
                        " The tool or the work was taken out"
                    } }
                    button { "What comes next?" }
                }
            }
        }
    }

    /// A box; its mark is its own, since the other form has a box of the same name.
    fn line(&self, name: &str, label: &str, such_as: &str) -> Markup {
        let mark = format!("now-{name}");
        html! {
            p.entry {
                label for=(mark) { (label) }
                input id=(mark) name=(name) value=(self.value(name)) placeholder=(such_as)
                    maxlength=(MOST_LETTERS) autocomplete="off" autocapitalize="off" spellcheck="false";
            }
        }
    }
}
