//! Several jobs in one part: is the order the one that moves the fewest gears, of all with what is turned
//! first; and does each job begin with what the one before has left?

use super::words;
use crate::util::{fresh, one_line, run, run_in};
use serde_json::Value;
use solver::plan::{Line, TrainTable};
use solver::search::Options;
use solver::tolerance::Allowed;
use solver::{Hand, Lathe, Target, Watch};
use trainwright::files;

fn ordered(args: &[&str]) -> Value {
    let printed = run(&[&["card"], args, &["--order", "--format", "json", "--quiet"]].concat());
    assert_eq!(printed.code, 0, "{args:?}: {}", printed.err);
    serde_json::from_str(&printed.out).expect("JSON")
}

fn count(of: &Value, path: &str) -> usize {
    let count =
        of.pointer(path).and_then(Value::as_u64).unwrap_or_else(|| panic!("{path} in {of}"));
    usize::try_from(count).expect("few")
}

fn lathe(name: &str) -> Lathe {
    files::lathe(name).expect("a lathe").lathe
}

/// Every order of some lines.
fn orders(lines: &[usize]) -> Vec<Vec<usize>> {
    if lines.is_empty() {
        return vec![Vec::new()];
    }
    let with = |at: usize| {
        let mut left = lines.to_vec();
        let first = left.remove(at);
        orders(&left).into_iter().map(move |rest| [vec![first], rest].concat())
    };
    (0..lines.len()).flat_map(with).collect()
}

/// The fewest gears moved over every order with the feeds first, and over every order.
fn by_brute_force(lathe: &Lathe, targets: &[&str]) -> [usize; 2] {
    let targets: Vec<Target> = targets.iter().map(|text| text.parse().expect("a target")).collect();
    let line = |target: &Target| {
        let is_feed = target.travel().is_feed();
        let allowed = Allowed::usual(target.thread().as_ref(), target.travel());
        Line::new(target.lead())
            .with_hand((!is_feed).then(|| target.hand().unwrap_or(Hand::Right)))
            .with_travel(target.travel())
            .with_within(allowed.part())
            .with_at_worst(Some(allowed.at_worst()))
    };
    let options = Options::default().with_pairs(2);
    let lines = targets.iter().map(line).collect();
    let table = TrainTable::widened(lathe, lines, &options, Watch::none()).expect("a table");
    let all = orders(&(0..targets.len()).collect::<Vec<_>>());
    let moved = |order: &Vec<usize>| table.in_order(order).expect("a plan").cost.handled;
    let turning_first =
        |order: &&Vec<usize>| order.iter().map(|at| !targets[*at].travel().is_feed()).is_sorted();
    let first = all.iter().filter(turning_first).map(moved).min().expect("an order");
    [first, all.iter().map(moved).min().expect("an order")]
}

const PARTS: [(&str, &[&str]); 6] = [
    ("dinghy", &["M20x1.5", "1/2-20 UNF LH", "0.08 mm/rev"]),
    ("dinghy", &["1/2-13 UNC", "M10", "1/4-20 UNC", "M8"]),
    ("dinghy", &["0.1 mm/rev", "M12", "0.0385 mm/rev", "16 tpi"]),
    ("tug", &["M20x1.5", "0.2 mm/rev", "1/2-20 UNF LH"]),
    ("ketch", &["M10", "11 tpi", "0.05 mm/rev"]),
    ("ketch", &["1.5 mm LH", "1.5 mm"]),
];

#[test]
fn no_order_moves_fewer_gears() {
    for (name, targets) in PARTS {
        let args = [targets, &["--lathe", name]].concat();
        let order = ordered(&args)["order"].clone();
        let [first, any] = by_brute_force(&lathe(name), targets);
        assert_eq!(count(&order, "/gears_moved"), first, "{name} {targets:?}");
        assert!(any <= first);
        assert_eq!(order["proven"], true, "{name} {targets:?}");
        let jobs = order["jobs"].as_array().expect("jobs");
        let travels: Vec<&str> = jobs.iter().map(|job| words(job, "/target/travel")).collect();
        assert!(travels.iter().map(|travel| *travel == "thread").is_sorted(), "{travels:?}");
        let moved: usize = jobs.iter().map(|job| count(job, "/gears_moved")).sum();
        assert_eq!(moved + count(&order, "/gears_moved_back"), first, "{name} {targets:?}");
    }
}

/// Gears off and on of each step are those between the trains of the page, and the last step goes back.
#[test]
fn each_job_begins_with_what_the_one_before_has_left() {
    for (name, targets) in PARTS {
        let order = ordered(&[targets, &["--lathe", name]].concat())["order"].clone();
        let fitted = lathe(name).parts().fitted.clone().expect("a fitted set-up").train.to_string();
        let mut on = fitted.clone();
        for job in order["jobs"].as_array().expect("jobs") {
            let change = &job["card"]["change"];
            assert_eq!(words(change, "/from"), on, "{name} {targets:?}");
            on = words(job, "/card/solution/train").to_owned();
            assert_eq!(words(change, "/to"), on);
            let of = |key: &str| change[key].as_array().expect(key).len();
            let moved = of("off") + of("on") + 2 * of("shifted");
            assert_eq!(moved, count(job, "/gears_moved"), "{change}");
            assert_eq!(words(&job["card"]["back"]["change"], "/from"), on);
            assert_eq!(words(&job["card"]["back"]["change"], "/to"), fitted);
        }
    }
}

#[test]
fn the_page_says_the_order_and_why() {
    let args = ["card", "M20x1.5", "1/2-20 UNF LH", "0.08 mm/rev", "--order"];
    let page = one_line(&run(&args).out);
    let order = ordered(&args[1..4])["order"].clone();
    let jobs = order["jobs"].as_array().expect("jobs");
    let names: Vec<&str> = jobs.iter().map(|job| words(job, "/target/text")).collect();
    assert!(page.starts_with(&format!("Order of work: {}", names.join(", "))), "{page}");
    // The blanks are ready once all is turned.
    let sections = [names[0], "Blanks, before the threads", names[1], names[2]];
    let headings = sections.iter().enumerate().map(|(at, name)| format!(" {} {name} ", at + 1));
    let places: Vec<usize> = headings.map(|said| page.find(&said).expect(&said)).collect();
    assert!(places.is_sorted() && page.find(" 5 Put back ") > places.last().copied(), "{page}");
    for said in [
        "Unplug or lock off the lathe",
        "turning first; then the threads in the order that moves the fewest gears, proven",
        "put back included",
        "M20x1.5: turn to 19.850 mm (0.7815 in).",
        "Lathe isolated, half nut open",
        "Left hand: with the spindle forward the carriage runs toward the tailstock.",
        "Now 24-76+24-80 is on again.",
        "Turn it by hand, take a scratch pass, stop, measure.",
    ] {
        assert!(page.contains(said), "{said}: {page}");
    }
    let undercut = one_line(&run(&[&args[..], &["--undercut", "regular"]].concat()).out);
    for said in [
        "M20x1.5: undercut at the headstock end, 3.2 to 5.2 mm wide, floor 17.7 mm (h13) across",
        "1/2-20 UNF LH: the point begins",
    ] {
        assert!(undercut.contains(said) && !page.contains(said), "{said}: {undercut}");
    }
    // Without anything turned, nothing of it is said.
    let threads = one_line(&run(&["card", "M10", "M8", "--order"]).out);
    assert!(
        threads.contains("why the threads in the order") && threads.contains(" 1 Blanks"),
        "{threads}"
    );
    // What the short form has no room for is named.
    let more = one_line(&run(&["card", "M8", "3 mm 2 starts", "--order", "--away"]).out);
    for said in [
        "2 starts: the card of this job alone says how the next is reached.",
        "After each pass: tool out, back; stop in the undercut, before the shoulder; tool in.",
        "The cut turns in reverse: a screwed-on chuck comes off.",
    ] {
        assert!(more.contains(said) && !page.contains(said), "{said}: {more}");
    }
    let html = run(&[&args[..], &["--format", "html"]].concat());
    assert_eq!(html.code, 0);
    assert!(html.out.contains("Order of work") && html.out.contains("Put back"));
}

#[test]
fn what_is_on_now_is_where_it_begins() {
    let folder = fresh();
    let file = r#"{"format": 1, "lead_screw": {"lead": "8 tpi"}, "headstock": {"ratio": "1",
        "turns": "same", "tumbler": {"up": "same", "down": "opposite"}},
        "gears": {"owned": [20, 30, 40, 50, 60, 65, 80]}, "studs": 1,
        "fitted": {"train": "20-60-80"}}"#;
    std::fs::write(folder.path().join("lathe.json"), file).expect("a file");
    assert_eq!(run_in(folder.path(), &["lathe", "now", "--train", "40-60-80"]).code, 0);
    let args = ["card", "16 tpi", "32 tpi", "--order", "--format", "json", "--no-fit"];
    let printed = run_in(folder.path(), &args);
    assert_eq!(printed.code, 0, "{}", printed.err);
    let order: Value = serde_json::from_str(&printed.out).expect("JSON");
    // 16 tpi is on: 40-80; then the 20 for the 40, which is the fitted set-up.
    assert_eq!(words(&order, "/order/jobs/0/card/change/from"), "40-60-80");
    assert_eq!(words(&order, "/order/jobs/0/target/text"), "16 tpi");
    assert_eq!(order["order"]["gears_moved"], 2);
}

#[test]
fn jobs_that_can_t_be_ordered_are_one_error_or_a_no() {
    let nine = ["M3", "M4", "M5", "M6", "M8", "M10", "M12", "M16", "M20"];
    for (args, wrong) in [
        (&["M10"][..], "--order: 1 job named, it orders 2 to 8"),
        (&nine, "--order: 9 jobs named"),
        (&["M10", "0.1 mm/rev", "--train", "40-80"], "--train"),
        (&["M10", "0.1 mm/rev", "--internal", "--class", "6g"], "6g"),
        (&["M10", "Ra 1.6"], "a roughness is no thread"),
    ] {
        let printed = run(&[&["card"], args, &["--order"]].concat());
        assert_eq!((printed.code, &printed.out[..]), (2, ""), "{args:?}");
        assert!(printed.err.contains(wrong), "{}", printed.err);
    }
    let none = run(&["card", "M10", "90 mm", "--order"]);
    assert_eq!(none.code, 1, "{}", none.err);
    assert!(none.out.contains("No order.") && none.out.contains("90 mm:"), "{}", none.out);
}
