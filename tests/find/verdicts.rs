//! Does the JSON of `find` judge each error by the class, and say what the judgement rests on?

use crate::util::run;
use std::collections::BTreeSet;

/// Tolerance of the pitch diameter of M10 6g: 132 µm (ISO 965-1, table of Td2). 125 ppm of 15 mm, the
/// longest N, are 1.875 µm, at 60° on the diameter 3.25 µm: 2.5 %.
#[test]
fn json_judges_each_error_by_the_class() {
    let results = |words: &[&str]| {
        let out = run(&[&["find", "--lathe", "dinghy", "-f", "json"], words].concat()).out;
        let json: serde_json::Value = serde_json::from_str(&out).unwrap();
        json["results"].as_array().unwrap().clone()
    };
    let usual = results(&["M10", "1.5 mm", "0.1 mm/rev", "0.05 mm"]);
    let by = |result: &serde_json::Value| {
        let class = result["class"].as_str().map(str::to_owned);
        (class, result["allowed_by"].as_str().unwrap().to_owned())
    };
    let class = |class: &str, by: &str| (Some(class.to_owned()), by.to_owned());
    let none = |by: &str| (None, by.to_owned());
    assert_eq!(
        usual.iter().map(by).collect::<Vec<_>>(),
        [class("6g", "class"), none("without class"), none("feed"), none("without class")]
    );
    assert_eq!(by(&results(&["M10", "--within", "100ppm"])[0]), class("6g", "stated"));
    let first = |result: &serde_json::Value| result["solutions"][0].clone();
    let share = first(&usual[0])["share_of_class"].as_f64().unwrap();
    assert!((share - 0.0246).abs() < 0.0001, "{share}");
    assert!(first(&usual[1])["share_of_class"].is_null());
    assert_eq!(first(&usual[3])["verdict"], "another lead");
    // In all lists, by the size of the error: 508 ppm are a tenth of 6g, 5084 ppm all of it.
    let mut seen = BTreeSet::new();
    let all = results(&["M10", "8 tpi", "-n", "300"]);
    for (result, tenth, whole) in [(&all[0], 508.0, 5084.0), (&all[1], 200.0, 200.0)] {
        for entry in
            ["solutions", "trade_off"].iter().flat_map(|key| result[key].as_array().unwrap())
        {
            let ppm = entry["error_ppm"].as_f64().unwrap().abs();
            let wanted = match ppm {
                0.0 => "exact",
                _ if ppm <= tenth => "near enough",
                _ if ppm > 10_000.0 => "another lead",
                _ if ppm <= whole => "poor",
                _ => "too far",
            };
            assert_eq!(entry["verdict"], wanted, "{entry}");
            seen.insert(wanted);
        }
    }
    assert_eq!(seen.len(), 5, "{seen:?}");
}
