//! Is every number of the job card right? Each is worked out here again, by other means, or is a
//! published one; lathes are invented.

mod bores;
mod figures;
mod groove;
mod mate;
mod next_cut;
mod order;
mod pick_up;
mod practice;
mod speeds;
mod starts;
mod stories;
mod tapers;
mod tried;
mod undercut;
mod wide;
mod words;
mod worms;

use crate::util::{Run, fresh, run, run_in};
use serde_json::Value;

/// A card that is made: its document.
fn document(args: &[&str]) -> Value {
    let printed = run(&[&["card"], args, &["--format", "json", "--quiet"]].concat());
    assert_eq!(printed.code, 0, "{args:?}: {}", printed.err);
    serde_json::from_str(&printed.out).expect("JSON")
}

fn card(args: &[&str]) -> Value {
    document(args)["card"].clone()
}

/// A card on a lathe of one's own.
fn card_on(lathe: &str, args: &[&str]) -> Value {
    let printed = on(lathe, &[args, &["--format", "json"]].concat());
    assert_eq!(printed.code, 0, "{args:?}: {}", printed.err);
    let document: Value = serde_json::from_str(&printed.out).expect("JSON");
    document["card"].clone()
}

fn on(lathe: &str, args: &[&str]) -> Run {
    let folder = fresh();
    std::fs::write(folder.path().join("lathe.json"), lathe).expect("a file");
    run_in(folder.path(), &[&["card"], args].concat())
}

/// A number of the document by its path: `/tool/depth/mm`.
fn number(card: &Value, path: &str) -> f64 {
    let value = card.pointer(path).unwrap_or_else(|| panic!("{path} in {card}"));
    value.as_f64().unwrap_or_else(|| panic!("{path} is {value}"))
}

#[track_caller]
fn near(card: &Value, path: &str, wanted: f64, by: f64) {
    let got = number(card, path);
    assert!((got - wanted).abs() <= by, "{path}: {got}, wanted {wanted}");
}

fn words<'v>(card: &'v Value, path: &str) -> &'v str {
    card.pointer(path).and_then(Value::as_str).unwrap_or_else(|| panic!("{path} in {card}"))
}
