//! Is any text as a chart taken, or refused in one line that names the file? Rows that are taken are
//! judged on a lathe and learnt from, or there is a reason in one line.
#![no_main]

use libfuzzer_sys::fuzz_target;
use solver::Lathe;
use solver::chart::{self, AllowedErrors};
use std::sync::OnceLock;
use trainwright::files;

static DINGHY: OnceLock<Lathe> = OnceLock::new();

/// Rows that are learnt from: how long that takes is no question of this target.
const FEW: usize = 12;

fn one_line(said: &str) {
    assert_eq!(said.lines().count(), 1, "{said}");
}

fuzz_target!(|text: &str| {
    let open = match files::chart_of_text("chart.csv", text, &["Range".to_owned()]) {
        Ok(open) => open,
        Err(failure) => {
            let said = failure.to_string();
            assert!(said.starts_with("chart.csv"), "{said}");
            return one_line(&said);
        }
    };
    let dinghy = DINGHY.get_or_init(|| files::lathe("dinghy").expect("built in").lathe);
    let rows = &open.rows[..open.rows.len().min(FEW)];
    match chart::check(dinghy, rows, &AllowedErrors::default()) {
        Ok(check) => assert_eq!(check.rows.len(), rows.len()),
        Err(error) => one_line(&error.to_string()),
    }
    let blank = chart::blank(rows).and_then(Lathe::new);
    let learnt = blank.and_then(|lathe| chart::learn(&lathe, rows, &[], &AllowedErrors::default()));
    if let Err(error) = learnt {
        one_line(&error.to_string());
    }
});
