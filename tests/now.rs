//! What is on the machine: is it kept whole, refused where it can't be, and does every change of gears
//! start from it?

use crate::util::{Run, fresh, names, one_line, run_in};
use crate::wire::{Served, status};
use serde_json::Value;
use std::path::Path;
use tempfile::TempDir;

/// 8 TPI, one stud: every figure below follows from teeth and TPI alone.
const MINE: &str = r#"{
  "format": 1, "name": "Shed",
  "lead_screw": {"hand": "right", "lead": "8 tpi"},
  "headstock": {"ratio": "1", "tumbler": {"up": "same", "down": "opposite"}},
  "gears": {"owned": [20, 20, 30, 40, 50, 60, 65, 80]},
  "gearbox": {"levers": [{"name": "Range", "positions": {"A": "1", "B": "1/2"}}]},
  "fitted": {"train": "20-60-80", "levers": {"Range": "A"}, "tumbler": "up"}
}
"#;

fn shed() -> TempDir {
    let folder = fresh();
    std::fs::write(folder.path().join("lathe.json"), MINE).unwrap();
    folder
}

fn now(folder: &Path, words: &[&str]) -> Run {
    run_in(folder, &[&["lathe", "now"], words].concat())
}

/// The state file as JSON: it is whole, with no other file left beside it.
fn kept(folder: &Path) -> Value {
    let text = std::fs::read_to_string(folder.join("lathe.now.json")).unwrap();
    assert_eq!(names(folder), ["lathe.json", "lathe.now.json"]);
    assert_eq!(std::fs::read_to_string(folder.join("lathe.json")).unwrap(), MINE);
    serde_json::from_str(&text).unwrap()
}

fn json(folder: &Path, words: &[&str]) -> Value {
    let run = run_in(folder, &[words, &["--format", "json"]].concat());
    assert!(run.code < 2, "{words:?}: {}", run.err);
    serde_json::from_str(&run.out).unwrap()
}

#[test]
fn what_is_said_is_kept_and_the_rest_stays() {
    let folder = shed();
    let folder = folder.path();
    let shown = one_line(&now(folder, &[]).out);
    assert!(shown.contains("on it now 20-60-80, Range A, tumbler up: cuts 32 TPI"), "{shown}");
    assert_eq!(names(folder), ["lathe.json"]);

    let run = now(folder, &["--train", "30-60-40", "--lever", "Range=B", "--tumbler", "down"]);
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    let said = one_line(&run.out);
    assert!(said.contains("on it now 30-60-40, Range B, tumbler down"), "{said}");
    assert!(said.contains("fitted 20-60-80, Range A, tumbler up"), "{said}");
    let set_up = |train: &str, range: &str, tumbler: &str| {
        serde_json::json!({"format": 1,
            "now": {"train": train, "levers": {"Range": range}, "tumbler": tumbler}})
    };
    assert_eq!(kept(folder), set_up("30-60-40", "B", "down"));
    now(folder, &["--lever", "Range=A"]);
    assert_eq!(kept(folder), set_up("30-60-40", "A", "down"));
    now(folder, &["--train", "20-50-40"]);
    assert_eq!(kept(folder), set_up("20-50-40", "A", "down"));

    // The fitted set-up is no other one, however it is said.
    let fitted = serde_json::json!({"format": 1, "now": null});
    now(folder, &["--train", "20-60-80", "--tumbler", "up"]);
    assert_eq!(kept(folder), fitted);
    now(folder, &["--train", "20-50-40"]);
    assert_eq!(now(folder, &["--fitted"]).code, 0);
    assert_eq!(kept(folder), fitted);
}

#[test]
fn what_cant_be_on_the_lathe_is_refused_and_the_file_stays() {
    let folder = shed();
    let folder = folder.path();
    now(folder, &["--train", "30-60-40"]);
    let before = std::fs::read(folder.join("lathe.now.json")).unwrap();
    for (words, wrong) in [
        (&["--train", "45-60-40"][..], "this train uses 1 x 45, owned: none"),
        (&["--train", "40-60-40"], "this train uses 2 x 40, owned: 1"),
        (&["--train", "20-30-40-50"], "this train has 2 studs, the banjo takes 1"),
        (&["--lever", "Gate=1"], "Gate"),
        (&["--lever", "Range=C"], "C"),
        (&["--lever", "Range"], "--lever `Range`: its position is missing"),
        (&["--lever", "Range=A", "--lever", "Range=B"], "--lever Range: it is named twice"),
        (&["--tumbler", "sideways"], "the tumbler has no position sideways"),
        (&["--headstock", "low"], "the headstock has no position low"),
        (&["--train", "40"], "--train"),
        (&["--fitted", "--tumbler", "up"], "--fitted"),
    ] {
        let run = now(folder, words);
        assert_eq!((run.code, run.out.as_str()), (2, ""), "{words:?}");
        assert!(run.err.contains(wrong), "{words:?}: {}", run.err);
        assert!(run.err.contains("\ntry: "), "{words:?}: {}", run.err);
        assert_eq!(std::fs::read(folder.join("lathe.now.json")).unwrap(), before, "{words:?}");
    }
}

#[test]
fn a_train_that_does_not_fit_on_the_banjo_is_refused() {
    let folder = fresh();
    std::fs::write(folder.path().join("lathe.json"), files_of("ketch")).unwrap();
    // Module 1, the shafts 100 mm apart: 22.5 mm are far from that.
    let run = now(folder.path(), &["--train", "20-25"]);
    assert_eq!(run.code, 2, "{}", run.out);
    assert!(run.err.contains("this train does not fit on the banjo"), "{}", run.err);
    assert_eq!(names(folder.path()), ["lathe.json"]);
}

fn files_of(name: &str) -> &'static str {
    trainwright::files::LATHES.iter().find(|lathe| lathe.name == name).unwrap().text
}

#[test]
fn a_lathe_without_a_file_has_no_place_for_it() {
    let folder = shed();
    let folder = folder.path();
    for words in [
        &["lathe", "now", "--lathe", "tug"][..],
        &["lathe", "now", "--train", "40-80", "--lathe", "tug"],
        &["card", "M10", "--done", "--lathe", "tug"],
        &["card", "M10", "--put-back-done", "--lathe", "tug"],
        &["card", "10 tpi", "--done", "--screw", "8tpi", "--gears", "40,50"],
        &["card", "10 tpi", "--done", "--gears", "40,50"],
        &["card", "10 tpi", "--done", "--studs", "2"],
    ] {
        let run = run_in(folder, words);
        assert_eq!((run.code, run.out.as_str()), (2, ""), "{words:?}");
        assert!(run.err.contains("\ntry: `trainwright lathe "), "{words:?}: {}", run.err);
    }
    assert_eq!(names(folder), ["lathe.json"]);
    let nothing = fresh();
    assert_eq!(now(nothing.path(), &[]).code, 2);
    let bare = MINE.replace(
        r#",
  "fitted": {"train": "20-60-80", "levers": {"Range": "A"}, "tumbler": "up"}"#,
        "",
    );
    std::fs::write(nothing.path().join("lathe.json"), bare).unwrap();
    for words in [&["--tumbler", "up"][..], &["--fitted"]] {
        assert_eq!(now(nothing.path(), words).code, 2, "{words:?}");
    }
    assert_eq!(names(nothing.path()), ["lathe.json"]);
    assert_eq!(now(nothing.path(), &["--train", "20-60-40"]).code, 0);
    assert_eq!(now(nothing.path(), &["--tumbler", "up"]).code, 0);
}

#[test]
fn a_card_records_what_it_mounts_and_that_it_is_put_back() {
    let folder = shed();
    let folder = folder.path();
    let card = json(folder, &["card", "16 tpi"]);
    let set_up = &card["card"]["solution"];
    let run = run_in(folder, &["card", "16 tpi", "--done"]);
    assert_eq!((run.code, run.err.as_str()), (0, ""), "{}", run.out);
    let on = &kept(folder)["now"];
    assert_eq!(on["train"], set_up["train"], "{card}");
    // The card is the same again, and there is nothing left to do for it.
    let again = run_in(folder, &["card", "16 tpi"]);
    assert!(one_line(&again.out).contains("is on it now"), "{}", again.out);
    assert!(again.out.contains("On it now: "), "{}", again.out);
    // Back leads to the fitted set-up.
    let back = &json(folder, &["card", "16 tpi"])["card"]["back"];
    assert!(back.to_string().contains("20-60-80"), "{back}");
    let before = json(folder, &["find", "32 tpi"]);
    assert!(before["on_it_now"].as_str().unwrap().starts_with(on["train"].as_str().unwrap()));
    let run = run_in(folder, &["card", "16 tpi", "--put-back-done"]);
    assert_eq!(run.code, 0, "{}", run.err);
    assert_eq!(kept(folder)["now"], Value::Null);
    assert!(json(folder, &["find", "32 tpi"]).get("on_it_now").is_none());
    // A card that is none records nothing.
    let run = run_in(folder, &["card", "M10", "--within", "1ppm", "--done", "--train", "20-50-40"]);
    assert!(run.code > 0, "{}", run.out);
    assert_eq!(kept(folder)["now"], Value::Null);
    assert_eq!(run_in(folder, &["card", "16 tpi", "--done", "--put-back-done"]).code, 2);
}

/// Gears in their places of a simple or compound train of one plane each shaft.
fn places(train: &str) -> Vec<(usize, usize, String)> {
    let shafts: Vec<&str> = train.split('-').collect();
    let last = shafts.len() - 1;
    let mut outer = 0;
    let mut all = Vec::new();
    for (at, shaft) in shafts.iter().enumerate() {
        let at = if at == last { 9 } else { at };
        for (i, teeth) in shaft.split('+').enumerate() {
            outer ^= usize::from(i > 0);
            all.push((at, outer, teeth.to_owned()));
        }
    }
    all
}

fn moved(from: &str, to: &str) -> usize {
    let (from, to) = (places(from), places(to));
    let common = from.iter().filter(|gear| to.contains(gear)).count();
    from.len() + to.len() - 2 * common
}

#[test]
fn gears_moved_count_from_what_is_on_it() {
    let folder = shed();
    let folder = folder.path();
    now(folder, &["--train", "30-60-40", "--lever", "Range=B"]);
    let found = json(folder, &["find", "16 tpi", "10 tpi"]);
    let mut counted = 0;
    for target in found["results"].as_array().unwrap() {
        for solution in target["solutions"].as_array().unwrap() {
            let train = solution["train"].as_str().unwrap();
            assert_eq!(solution["gears_moved"], moved("30-60-40", train), "{train}");
            counted += 1;
        }
    }
    assert!(counted > 3, "{found}");
    let text = run_in(folder, &["find", "16 tpi"]).out;
    assert!(text.contains("On it now: 30-60-40, Range B, tumbler up."), "{text}");
    let buy = run_in(folder, &["buy", "16 tpi", "11.5 tpi"]).out;
    assert!(buy.contains("On it now: 30-60-40"), "{buy}");
    // Commands that move no gears don't speak of it.
    for words in [&["reach", "--within", "200ppm"][..], &["lathe", "show"], &["table", "16 tpi"]] {
        let out = run_in(folder, words).out;
        assert!(!out.contains("On it now"), "{words:?}: {out}");
    }
}

/// A book is used for years: its sheets begin with what is fitted, whatever is on it today.
#[test]
fn a_book_begins_with_the_fitted_set_up() {
    let folder = shed();
    let folder = folder.path();
    let book = |words: &[&str]| {
        let page = run_in(folder, &[&["book", "16 tpi", "--format", "html"], words].concat());
        assert!(page.code < 2, "{}", page.err);
        page
    };
    let before = book(&[]).out;
    now(folder, &["--train", "30-60-40", "--lever", "Range=B"]);
    let Run { out, err, .. } = book(&[]);
    assert_eq!(out, before);
    assert!(!err.contains("On it now"), "{err}");
    let begins = |page: &str, with: &str, train: &str| {
        page.contains(&format!("<dt>{with}</dt><dd><span class=\"whole\">{train},</span>"))
    };
    assert!(begins(&out, "fitted", "20-60-80"), "{out}");
    let today = book(&["--from-now"]);
    assert!(begins(&today.out, "on it now", "30-60-40"), "{}", today.out);
    let text = run_in(folder, &["book", "16 tpi", "--from-now"]).out;
    assert!(text.contains("On it now: 30-60-40"), "{text}");
}

/// Every order of every choice of trains, from what is on it and back to the fitted set-up.
fn fewest(at: &str, lines: &[Vec<String>], home: &str) -> usize {
    if lines.is_empty() {
        return moved(at, home);
    }
    let ways = (0..lines.len()).flat_map(|next| lines[next].iter().map(move |train| (next, train)));
    let ways = ways.map(|(next, train)| {
        let mut left = lines.to_vec();
        left.remove(next);
        moved(at, train) + fewest(train, &left, home)
    });
    ways.min().unwrap()
}

#[test]
fn the_best_order_from_now_is_that_of_brute_force() {
    let folder = shed();
    let folder = folder.path();
    let targets = ["16 tpi", "10 tpi", "24 tpi"];
    // Teeth that give each lead in either range, with every idler that is owned, and none.
    let owned = [20_u32, 20, 30, 40, 50, 60, 65, 80];
    let trains = |tpi: u32| -> Vec<String> {
        let mut all = Vec::new();
        let idlers = owned.map(Some).into_iter().chain([None]);
        let idlers: Vec<_> = idlers.collect();
        for (a, b, range) in
            owned.iter().flat_map(|a| owned.iter().flat_map(move |b| [(*a, *b, 1), (*a, *b, 2)]))
        {
            if tpi * a != 8 * range * b {
                continue;
            }
            for idler in &idlers {
                let used = [Some(a), Some(b), *idler];
                let enough = used.iter().flatten().all(|teeth| {
                    let needed = used.iter().flatten().filter(|other| *other == teeth).count();
                    needed <= owned.iter().filter(|other| *other == teeth).count()
                });
                if enough {
                    all.push(match idler {
                        Some(idler) => format!("{a}-{idler}-{b}"),
                        None => format!("{a}-{b}"),
                    });
                }
            }
        }
        all.sort();
        all.dedup();
        all
    };
    let lines: Vec<_> = [16, 10, 24].map(trains).into();
    assert!(lines.iter().all(|line| !line.is_empty()));
    let words = ["table", targets[0], targets[1], targets[2], "--pairs", "1", "--no-fit"];
    let best = |from_now: &[&str]| {
        let all = [&words[..], &["--plan", "best"], from_now].concat();
        let table = json(folder, &all);
        let plans = table["plans"].as_array().unwrap();
        let plan = plans.iter().find(|plan| plan["way"] == "best").unwrap();
        usize::try_from(plan["gears_moved"].as_u64().unwrap()).unwrap()
    };
    for on in ["20-60-80", "30-60-40", "20-40", "50-65-80", "80-20-65"] {
        assert_eq!(now(folder, &["--train", on]).code, 0);
        assert_eq!(best(&["--from-now"]), fewest(on, &lines, "20-60-80"), "{on}");
        assert_eq!(best(&[]), fewest("20-60-80", &lines, "20-60-80"), "{on}");
    }
    let text = run_in(folder, &[&words[..], &["--from-now"]].concat()).out;
    let text = one_line(&text);
    assert!(text.contains("from 80-20-65, on it now, and back to 20-60-80"), "{text}");
}

#[test]
fn where_the_lathe_has_changed_it_is_said_and_the_fitted_set_up_counts() {
    let folder = shed();
    let folder = folder.path();
    now(folder, &["--train", "30-60-65"]);
    let less = MINE.replace(" 60, 65,", " 60,");
    std::fs::write(folder.join("lathe.json"), less).unwrap();
    let said = "30-60-65 was recorded as on it now, but the lathe file has changed: this train uses \
                1 x 65, owned: none. Started from the fitted set-up.";
    for words in [
        &["find", "16 tpi"][..],
        &["card", "16 tpi"],
        &["buy", "16 tpi", "11.5 tpi"],
        &["book", "16 tpi", "--from-now"],
        &["table", "16 tpi", "--from-now"],
        &["lathe", "now"],
    ] {
        let run = run_in(folder, words);
        assert!(run.code < 2, "{words:?}: {}", run.err);
        assert!(one_line(&run.out).contains(said), "{words:?}: {}", run.out);
        assert!(!run.out.contains("On it now: "), "{words:?}: {}", run.out);
        let csv = run_in(folder, &[words, &["--format", "csv"]].concat());
        assert_eq!(csv.err.matches(said).count(), 1, "{words:?}: {}", csv.err);
    }
    let found = json(folder, &["find", "16 tpi"]);
    let train = found["results"][0]["solutions"][0]["train"].as_str().unwrap();
    let first = &found["results"][0]["solutions"][0];
    assert_eq!(first["gears_moved"], moved("20-60-80", train));
    // A word puts it right.
    assert_eq!(now(folder, &["--train", "30-60-40"]).code, 0);
    assert!(!run_in(folder, &["find", "16 tpi"]).out.contains("has changed"));
}

#[test]
fn a_file_that_cant_be_read_is_one_error_and_can_be_written_anew() {
    let folder = shed();
    let folder = folder.path();
    for (text, wrong) in [
        ("{", "lathe.now.json:1"),
        (r#"{"format": 2}"#, "format"),
        (r#"{"format": 1, "on": {}}"#, "on"),
        (r#"{"format": 1, "now": {"train": "20"}}"#, "now.train"),
        (r#"{"format": 1, "now": {"levers": {"Range": "A"}}}"#, "train"),
    ] {
        std::fs::write(folder.join("lathe.now.json"), text).unwrap();
        for words in [&["find", "16 tpi"][..], &["lathe", "now"]] {
            let run = run_in(folder, words);
            assert_eq!((run.code, run.out.as_str()), (2, ""), "{text}");
            assert!(run.err.contains(wrong), "{text}: {}", run.err);
            assert!(run.err.contains("`trainwright lathe now --train TRAIN`"), "{}", run.err);
        }
        assert_eq!(now(folder, &["--train", "30-60-40"]).code, 0);
        assert_eq!(kept(folder)["now"]["train"], "30-60-40");
    }
}

/// The form with the two buttons: where it goes, and its mark.
fn form(page: &str) -> Option<(String, String)> {
    let form = page.split("<form").find(|form| form.contains("card/now"))?;
    let value = |before: &str| {
        let from = form.split(before).nth(1).unwrap();
        from.split('"').next().unwrap().replace("&amp;", "&")
    };
    Some((value("action=\"/"), value("name=\"was\" value=\"")))
}

#[test]
fn the_buttons_of_a_served_card_record_it() {
    let folder = shed();
    let folder = folder.path();
    let looked_at = Served::start(folder, &[]);
    let page = looked_at.get("card?target=16+tpi");
    assert!(status(&page) == 200 && form(&page).is_none());
    let own = format!("http://{}", looked_at.host);
    let sent = looked_at.post("card/now?target=16+tpi", "is=done&was=0", &own);
    assert_eq!(status(&sent), 405);

    let served = Served::start(folder, &["--edit"]);
    let own = format!("http://{}", served.host);
    let page = served.get("card?target=16+tpi");
    assert!(page.contains("This is on the machine now") && page.contains("It is put back"));
    let (place, was) = form(&page).unwrap();
    let done = format!("is=done&was={was}");
    assert_eq!(status(&served.post(&place, &done, "http://evil.example")), 403);
    assert_eq!(status(&served.post(&place, "is=done&was=0123456789abcdef", &own)), 409);
    assert_eq!(status(&served.post(&place, &format!("is=gone&was={was}"), &own)), 400);
    assert_eq!(names(folder), ["lathe.json"]);
    let sent = served.post(&place, &done, &own);
    assert_eq!(status(&sent), 303, "{sent}");
    assert!(sent.contains("location: /card?target=16+tpi"), "{sent}");
    let on = kept(folder)["now"]["train"].as_str().unwrap().to_owned();
    let home = served.get("");
    assert!(home.contains(&on), "{home}");
    // Both servers see it; an old page can't write over it.
    assert!(looked_at.get("").contains(&on));
    assert_eq!(status(&served.post(&place, &done, &own)), 409);
    let page = served.get("card?target=16+tpi");
    assert!(page.contains("is on it now"), "{page}");
    let (place, was) = form(&page).unwrap();
    assert_eq!(status(&served.post(&place, &format!("is=back&was={was}"), &own)), 303);
    assert_eq!(kept(folder)["now"], Value::Null);
    // Of a lathe that is described in the address nothing is recorded.
    let (place, was) = form(&served.get("card?target=16+tpi")).unwrap();
    let other = format!("{place}&lathe=q1ZKyy_KTSxRsjLUUQIA");
    assert_ne!(status(&served.post(&other, &format!("is=done&was={was}"), &own)), 303);
    assert_eq!(kept(folder)["now"], Value::Null);
    // What can't be on it any more is said at home too.
    now(folder, &["--train", "30-60-65"]);
    std::fs::write(folder.join("lathe.json"), MINE.replace(" 60, 65,", " 60,")).unwrap();
    let again = Served::start(folder, &["--edit"]);
    assert!(again.get("").contains("the lathe file has changed"));
}
