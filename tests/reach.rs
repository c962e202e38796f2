//! `reach`: are all leads there, each once; are the standard pitches that are met and missed the
//! right ones; does every form of the answer hold them; does a long run end well?

mod ending;
mod figures;
mod forms;
mod picture;

use crate::util::{Run, run};
use serde_json::Value;

/// One of every size, one twice, on a lead screw of 3 mm: with one stud at most two gear pairs.
const PLAIN: [&str; 7] = [
    "--gears",
    "20x2,25,30,35,38,40,45,50,63,80,127",
    "--screw",
    "3mm",
    "--studs",
    "1",
    "--no-fit",
];

fn reach(args: &[&str]) -> Run {
    run(&[&["reach"], args].concat())
}

/// The document of a run that answers.
fn document(args: &[&str]) -> Value {
    let printed = reach(&[args, &["--format", "json", "--quiet"]].concat());
    assert_eq!(printed.code, 0, "{args:?}: {}", printed.err);
    serde_json::from_str(&printed.out).expect("JSON")
}

fn leads(document: &Value) -> Vec<&str> {
    let leads = document["leads"].as_array().expect("leads");
    leads.iter().map(|lead| lead["lead_mm"].as_str().expect("a lead")).collect()
}

/// A lathe with so many lever positions and twenty gears: hundreds of leads a position, each
/// found in a moment. Ratios are n/d with primes above the line, so hardly any two agree.
fn many_levers(positions: usize) -> String {
    let primes = (131_u32..).filter(|n| (2..=n.isqrt()).all(|d| n % d != 0));
    let levers: Vec<String> =
        primes.take(positions).enumerate().map(|(i, p)| format!(r#""{i}": "{p}/1024""#)).collect();
    format!(
        r#"{{"format": 1, "lead_screw": {{"lead": "3 mm"}}, "studs": 1,
            "headstock": {{"ratio": "1", "turns": "same"}},
            "gearbox": {{"levers": [{{"name": "Pitch", "positions": {{{}}}}}]}},
            "gears": {{"owned": [20, 21, 22, 23, 24, 25, 26, 27, 28, 29, 30, 31, 32, 33, 34, 35, 36,
                37, 38, 39]}}}}"#,
        levers.join(", ")
    )
}
