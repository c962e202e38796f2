//! `buy`: is the advice what an independent count says, does the bought gear do what was promised, and
//! how does it look and end in every form?

use crate::util::{Run, fresh, interrupted, one_line, run, run_in};
use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{Signed, ToPrimitive};
use serde_json::Value;
use snapbox::{assert_data_eq, file};

/// A box whose chart is lost: 10 TPI screw, headstock at half speed, so 20 TPI in all.
const HALF: &str = "24,28,32,36,40x2,44,48,52,56,60,64,72,80";

fn json(args: &[&str]) -> (i32, Value) {
    let Run { code, out, err } = run(&[args, &["-f", "json"]].concat());
    (code, serde_json::from_str(&out).unwrap_or_else(|e| panic!("{e}: {out}{err}")))
}

fn half(more: &[&str]) -> Vec<String> {
    let args = [&["buy", "25 tpi", "11.5 tpi", "--gears", HALF, "--screw", "20tpi"], more].concat();
    args.into_iter().map(str::to_owned).collect()
}

fn words(args: &[String]) -> Vec<&str> {
    args.iter().map(String::as_str).collect()
}

/// 11 1/2 per inch from 20 per inch is 40/23: a multiple of 23 makes it exact.
#[test]
fn a_gear_of_46_makes_eleven_and_a_half_exact() {
    let (code, json) = json(&words(&half(&["--from", "24"])));
    assert_eq!(code, 0);
    assert_eq!(json["now"]["reached"], 1);
    let missed = &json["now"]["lines"][1];
    assert_eq!((&missed["reached"], &missed["train"]), (&false.into(), &"52-32+60-56".into()));
    assert_eq!(format!("{:.0}", missed["error_ppm"].as_f64().unwrap()), "1116");
    let best = &json["purchases"][0]["offers"][0];
    assert_eq!((&best["text"], &best["gained"]), (&"46".into(), &vec![1].into()));
    assert_eq!((&best["adds"], &best["then"]["worst_ppm"]), (&vec![1].into(), &0.0.into()));
    let train = &best["then"]["lines"][1];
    assert_eq!((&train["train"], &train["error"]), (&"80-46".into(), &"0".into()));
    let exact =
        offers(&json, 0).into_iter().filter(|(_, reached, worst, _)| (*reached, *worst) == (2, 0));
    assert_eq!(exact.map(|(gears, ..)| gears[0]).collect::<Vec<_>>(), [46, 69, 92, 115]);
}

/// Gears, reached, worst and sum in millionths of ppm.
fn offers(json: &Value, round: usize) -> Vec<(Vec<u64>, u64, u64, u64)> {
    let offer = |offer: &Value| {
        let gears = offer["gears"].as_array().unwrap().iter().map(|z| z.as_u64().unwrap());
        let served = &offer["then"];
        let figure =
            |key: &str| format!("{:.0}", served[key].as_f64().unwrap() * 1e6).parse().unwrap();
        (
            gears.collect(),
            served["reached"].as_u64().unwrap(),
            figure("worst_ppm"),
            figure("sum_ppm"),
        )
    };
    json["purchases"][round]["offers"].as_array().unwrap().iter().map(offer).collect()
}

/// Every train of one or two gear pairs by four plain loops: the screw's lead and what is wanted in mm.
struct Count {
    screw: BigRational,
    wanted: Vec<(BigRational, BigRational)>,
}

fn q(n: i64, d: i64) -> BigRational {
    BigRational::new(n.into(), d.into())
}

impl Count {
    /// Reached, worst and sum in millionths of ppm.
    fn score(&self, gears: &[i64]) -> (usize, u64, u64) {
        let leads = self.leads(gears);
        let best = self.wanted.iter().filter_map(|(wanted, within)| {
            let error = leads.iter().map(|lead| (lead / wanted - q(1, 1)).abs()).min()?;
            (error <= *within).then_some(error)
        });
        let best: Vec<BigRational> = best.collect();
        let round = |error: BigRational| {
            (error * BigRational::from_integer(BigInt::from(10).pow(12))).round().to_integer()
        };
        let worst = best.iter().max().cloned().unwrap_or_else(|| q(0, 1));
        (best.len(), round(worst).to_u64().unwrap(), round(best.iter().sum()).to_u64().unwrap())
    }

    fn leads(&self, gears: &[i64]) -> Vec<BigRational> {
        let mut leads = Vec::new();
        for (a, first) in gears.iter().enumerate() {
            for (d, last) in gears.iter().enumerate().filter(|(d, _)| *d != a) {
                // One idler turns the hand; it changes nothing else, and there is a gear for it.
                leads.push(&self.screw * q(*first, *last));
                for (b, driven) in gears.iter().enumerate().filter(|(b, _)| *b != a && *b != d) {
                    let others = gears.iter().enumerate().filter(|(c, _)| ![a, b, d].contains(c));
                    for (_, driver) in others {
                        leads.push(&self.screw * q(first * driver, driven * last));
                    }
                }
            }
        }
        leads
    }
}

/// The whole ranking against the plain count, one gear and two.
#[test]
fn the_ranking_is_that_of_a_plain_count() {
    let owned = [30, 40, 55, 60];
    let count = Count {
        screw: q(127, 40),
        wanted: ["1.25", "1.5", "0.7", "1.75", "0.9", "1.1"]
            .map(|mm| {
                let hundredths =
                    format!("{:.0}", mm.parse::<f64>().unwrap() * 100.0).parse().unwrap();
                (q(hundredths, 100), q(1, 200))
            })
            .into(),
    };
    let list = ["1.25 mm", "1.5 mm", "0.7 mm", "1.75 mm", "0.9 mm", "1.1 mm"];
    let machine = ["--gears", "30,40,55,60", "--screw", "8tpi", "--no-fit"];
    let terms = ["--within", "0.5%", "--from", "20", "--to", "40", "--count", "400", "--not", "21"];
    let (_, json) =
        json(&[&["buy"], &list[..], &machine[..], &terms[..], &["--up-to", "2"]].concat());
    let sizes: Vec<i64> = (20..=40).filter(|z| *z != 21).collect();
    let pairs = sizes.iter().flat_map(|a| sizes.iter().map(move |b| vec![*a, *b]));
    let pairs: Vec<Vec<i64>> = pairs.filter(|pair| pair[0] <= pair[1]).collect();
    let now = count.score(&owned);
    assert_eq!(json["now"]["reached"], now.0);
    for (round, purchases) in [sizes.iter().map(|z| vec![*z]).collect(), pairs].iter().enumerate() {
        let key = |(reached, worst, sum): &(usize, u64, u64)| (usize::MAX - reached, *worst, *sum);
        let mut wanted: Vec<_> = purchases
            .iter()
            .map(|gears| (count.score(&[&owned[..], gears].concat()), gears.clone()))
            .filter(|(score, _)| key(score) < key(&now))
            .collect();
        wanted.sort_by_key(|(score, gears)| (key(score), gears.clone()));
        let found = offers(&json, round);
        assert_eq!(json["purchases"][round]["compared"], purchases.len());
        assert_eq!(found.len(), wanted.len());
        assert!(found.len() > 5, "{round}: {}", found.len());
        for (found, (score, gears)) in found.iter().zip(&wanted) {
            let gears: Vec<u64> = gears.iter().map(|z| u64::try_from(*z).unwrap()).collect();
            assert_eq!(*found, (gears, score.0 as u64, score.1, score.2));
        }
    }
}

/// What `find` says once the gear is in the box is what `buy` promised, line by line.
#[test]
fn find_with_the_bought_gears_keeps_the_promise() {
    let owned = "20,30,40x2,50,60,65,80";
    let list = ["13 tpi", "27 tpi", "1.25 mm", "1 mm", "19 tpi", "0.45 mm"];
    let machine = ["--screw", "8tpi", "--gears"];
    let (code, bought) =
        json(&[&["buy"], &list[..], &machine[..], &[owned, "--up-to", "2"]].concat());
    assert_eq!(code, 1, "not every line is reached");
    let mut compared = 0;
    for round in bought["purchases"].as_array().unwrap() {
        let best = &round["offers"][0];
        let more: Vec<String> =
            best["gears"].as_array().unwrap().iter().map(ToString::to_string).collect();
        let gears = format!("{owned},{}", more.join(","));
        let (_, found) = json(&[&["find"], &list[..], &machine[..], &[&gears]].concat());
        for (at, result) in found["results"].as_array().unwrap().iter().enumerate() {
            let promised = &best["then"]["lines"][at];
            assert_eq!(promised["error"], result["solutions"][0]["error"], "{gears}: {}", list[at]);
            assert_eq!(promised["train"], result["solutions"][0]["train"]);
            compared += 1;
        }
    }
    assert_eq!(compared, 12);
}

/// The same with a bracket and a lathe file: what does not fit is not promised.
#[test]
fn the_promise_holds_on_a_bracket() {
    let folder = fresh();
    let lathe = include_str!("../gearsets/dinghy.lathe.json");
    let list = ["0.45 mm", "0.6 mm", "M30", "M10", "27 tpi"];
    let in_folder = |args: &[&str]| -> Value {
        let Run { out, err, .. } = run_in(folder.path(), &[args, &["-f", "json"]].concat());
        serde_json::from_str(&out).unwrap_or_else(|e| panic!("{e}: {err}"))
    };
    let bought = in_folder(&[&["buy"], &list[..], &["--lathe", "dinghy"]].concat());
    let best = &bought["purchases"][0]["offers"][0];
    let with = lathe.replace("76, 80]", &format!("76, 80, {}]", best["gears"][0]));
    assert_ne!(with, lathe);
    std::fs::write(folder.path().join("more.json"), with).unwrap();
    let found = in_folder(&[&["find"], &list[..], &["--lathe", "more.json"]].concat());
    for (at, result) in found["results"].as_array().unwrap().iter().enumerate() {
        let promised = &best["then"]["lines"][at];
        assert_eq!(promised["error"], result["solutions"][0]["error"], "{}", list[at]);
    }
    // Without the bracket more is promised.
    let free = in_folder(&[&["buy"], &list[..], &["--lathe", "dinghy", "--no-fit"]].concat());
    assert_ne!(free["purchases"][0]["offers"][0]["then"], best["then"]);
}

#[test]
fn text_markdown_csv_json_and_html() {
    let form = |form: &str| {
        let Run { code, out, err } = run(&words(&half(&["--up-to", "2", "-n", "3", "-f", form])));
        assert_eq!((code, err.as_str()), (0, ""), "{form}");
        out
    };
    assert_data_eq!(form("text"), file!["snapshots/buy.txt": Text].raw());
    assert_data_eq!(form("markdown"), file!["snapshots/buy.md": Text].raw());
    assert_data_eq!(form("csv"), file!["snapshots/buy.csv": Text].raw());
    assert_data_eq!(form("json"), file!["snapshots/buy.json": Text].raw());
    let html = run(&words(&half(&["--up-to", "2", "-n", "3", "--long", "-f", "html"]))).out;
    assert!(html.contains("<h1") && html.contains("52-32+60-56"), "{html}");
    let Run { code, err, .. } = run(&words(&half(&["-f", "svg"])));
    assert_eq!((code, err.lines().count()), (2, 2), "{err}");
}

#[test]
fn json_keeps_to_its_schema() {
    let schema = run(&["schema", "buy"]);
    assert_eq!(schema.out, include_str!("../gearsets/buy.schema.json"));
    let schema: Value = serde_json::from_str(&schema.out).unwrap();
    let list = ["M6", "0.1 mm/rev", "1.5 mm LH", "module 1", "11 tpi"];
    for lathe in ["dinghy", "ketch"] {
        let (_, made) = json(&[&["buy"], &list[..], &["--lathe", lathe, "--up-to", "2"]].concat());
        jsonschema::validate(&schema, &made).unwrap_or_else(|e| panic!("{lathe}: {e}"));
        assert_eq!(made["complete"], true, "{lathe}");
        let of = |key: &str| made[key].as_array().unwrap().clone();
        let all = [of("lines"), of("set_aside")].concat();
        assert_eq!(all.len(), 5);
        assert_eq!(all.iter().filter(|line| line["target"]["pi"] == 1).count(), 1);
    }
    let (_, mut made) = json(&["buy", "M6", "--lathe", "dinghy"]);
    made["extra"] = 1.into();
    assert!(jsonschema::validate(&schema, &made).is_err());
}

#[test]
fn every_demo_lathe_answers() {
    for lathe in ["dinghy", "ketch", "tug"] {
        let Run { code, out, err } = run(&["buy", "--common", "--lathe", lathe]);
        assert!(code < 2, "{lathe}: {err}");
        // The code says whether every line is reached in the end.
        let (_, json) = json(&["buy", "--common", "--lathe", lathe]);
        let count = |key: &str| json[key].as_array().unwrap().len();
        let lines = count("lines");
        assert_eq!(lines + count("set_aside"), 39, "{lathe}");
        assert!(out.contains(&format!("{lines} lines within tolerance")), "{out}");
        assert_eq!(json["every_line_reached"], code == 0, "{lathe}");
        let round = &json["purchases"][0];
        let last = if round["gains"] == true { &round["offers"][0]["then"] } else { &json["now"] };
        assert_eq!(last["reached"] == lines, code == 0, "{lathe}");
    }
}

#[test]
fn a_second_gear_of_an_owned_size_is_offered_by_name() {
    // Equal gears cut the screw's own lead: with one gear of each size only a second one does it.
    let list =
        ["buy", "8 tpi", "--gears", "30,40", "--screw", "8tpi", "--from", "30", "--to", "40"];
    let Run { code, out, .. } = run(&list);
    assert_eq!(code, 0);
    assert!(
        out.contains("Buy a second 30: 1 of 1 line within tolerance, all of them exact; 0 of 1")
    );
    let two =
        ["buy", "8 tpi", "--gears", "30,40,50", "--screw", "4tpi", "--from", "45", "--to", "45"];
    let Run { out, .. } = run(&[&two[..], &["--up-to", "2"]].concat());
    assert!(!out.contains("45 and 45"), "{out}");
}

#[test]
fn nothing_to_gain_is_said() {
    let exact = run(&["buy", "8 tpi", "--gears", "40x2,50", "--screw", "8tpi"]);
    assert_eq!(exact.code, 0);
    let said = "Buy nothing: 1 of 1 line within tolerance, all of them exact; one gear from 16 to \
                130 teeth would come no closer.";
    assert!(one_line(&exact.out).contains(said), "{}", exact.out);
    let never = run(&["buy", "200 mm", "--gears", "40x2,50", "--screw", "8tpi", "--to", "60"]);
    assert_eq!(never.code, 1);
    let said =
        "Nothing is gained by one gear from 16 to 60 teeth: not a line more, and none closer.";
    assert!(one_line(&never.out).contains(said), "{}", never.out);
}

/// 100/101 is 49.07 ppm short of what is wanted, 101/102 is 48.96 ppm over: a ninth of a ppm closer is
/// closer.
#[test]
fn a_gain_of_less_than_a_millionth_counts() {
    let machine = ["--gears", "100,101", "--screw", "1mm", "--studs", "0"];
    let list = ["buy", "0.9901476 mm", "--from", "102", "--to", "102"];
    let (code, json) = json(&[&list[..], &machine[..]].concat());
    assert_eq!(code, 0);
    let best = &json["purchases"][0]["offers"][0];
    assert_eq!((&best["gained"], &best["closer"]), (&Vec::<u64>::new().into(), &vec![0].into()));
    let worst = |served: &Value| served["worst_ppm"].as_f64().unwrap();
    let (now, then) = (worst(&json["now"]), worst(&best["then"]));
    assert!(then < now && now - then < 0.2 && now < 49.1, "{now} {then}");
    assert_eq!(best["then"]["lines"][0]["train"], "101-102");
}

/// Two gears that do no better than one are not advised.
#[test]
fn the_fewest_gears_that_do_it_are_advised() {
    let Run { out, .. } =
        run(&words(&half(&["--up-to", "3", "--from", "20", "--to", "50", "--long"])));
    assert!(out.contains("Buy 23: 2 of 2 lines"), "{out}");
    assert_eq!(out.matches("No better than fewer gears.").count(), 2, "{out}");
}

#[test]
fn the_words_of_the_list_give_names_and_tolerances() {
    let folder = fresh();
    std::fs::write(folder.path().join("list.csv"), "M6, 1%\n0.1 mm/rev\n# no\n11 1/2 tpi\n")
        .unwrap();
    let args = ["buy", "--list", "list.csv", "--lathe", "dinghy", "-f", "json"];
    let json: Value = serde_json::from_str(&run_in(folder.path(), &args).out).unwrap();
    let within: Vec<&Value> =
        json["lines"].as_array().unwrap().iter().map(|line| &line["within"]).collect();
    assert_eq!(within, ["1/100", "1/100", "1/5000"]);
    assert_eq!(json["lines"][0]["names"][0], "M6");
}

#[test]
fn every_example_of_the_help_runs() {
    let help = run(&["buy", "--help"]).out;
    let examples: Vec<&str> =
        help.lines().filter_map(|line| line.strip_prefix("  trainwright ")).collect();
    assert_eq!(examples.len(), 4);
    for example in examples {
        let parts = example.split('"').enumerate();
        let words: Vec<&str> = parts
            .flat_map(
                |(i, part)| {
                    if i % 2 == 1 { vec![part] } else { part.split_whitespace().collect() }
                },
            )
            .collect();
        let Run { code, err, .. } = run(&words);
        assert!(code < 2, "{example}: {err}");
    }
}

/// 18 TPI on a 4 mm screw is 25.4/72 = 127/45 x 25/75 x 30/80, and nothing shorter within 200 ppm: no
/// gear is bought for it.
#[test]
fn what_a_longer_train_cuts_is_not_bought_for() {
    let owned = "20,25,30,35,40x2,45,47,50,55,60,65,70,75,80,127";
    let args = |list: &[&'static str]| {
        [&["buy"], list, &["--gears", owned, "--screw", "4mm", "--studs", "2", "--count", "1"]]
            .concat()
    };
    let Run { code, out, err } = run(&args(&["18 tpi"]));
    assert_eq!(code, 0, "{err}");
    assert!(out.contains("Set aside: 1 line that your gears cut already"), "{out}");
    assert!(out.contains("Buy nothing"), "{out}");
    let with = args(&["18 tpi", "1 mm", "27 tpi"]);
    let json = run(&[&with[..], &["-f", "json"]].concat());
    let json: Value = serde_json::from_str(&json.out).unwrap();
    assert_eq!(json["set_aside"][0]["target"]["text"], "18 tpi");
    assert_eq!(
        json["lines"].as_array().unwrap().len() + json["set_aside"].as_array().unwrap().len(),
        3
    );
    // One stud has no longer train.
    let one = [&["buy", "18 tpi", "--gears", owned, "--screw", "4mm", "--count", "1"][..]].concat();
    assert!(!run(&one).out.contains("Set aside"));
}

/// The first Ctrl-C ends a search of millions of purchases with what is known by then.
#[cfg(target_os = "linux")]
#[test]
fn an_interrupt_gives_the_best_so_far() {
    let long =
        ["buy", "--common", "--lathe", "dinghy", "--up-to", "3", "--from", "16", "--to", "240"];
    let Run { code, out, err } = interrupted(&[&long[..], &["-f", "json", "-q"]].concat());
    assert_eq!(code, 130, "{err}");
    let json: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(json["complete"], false);
    assert_eq!(json["now"]["reached"], 34);
    let rounds = json["purchases"].as_array().unwrap();
    assert_eq!((rounds.len(), &rounds[2]["complete"]), (3, &false.into()));
}

/// What a lever position of unknown ratio would cut nobody knows: it may make a better purchase, or none
/// needed.
#[test]
fn lever_positions_of_unknown_ratio_leave_the_advice_incomplete() {
    let folder = fresh();
    let advice = |ratio: &str| {
        let lathe = format!(
            r#"{{"format": 1, "lead_screw": {{"lead": "8 tpi"}}, "headstock": {{"ratio": "1/2"}},
                "gearbox": {{"levers": [{{"name": "Range", "positions": {{"A": "1", "B": {ratio}}}}}]}},
                "gears": {{"owned": [20, 24, 32, 40, 48, 64]}}}}"#
        );
        std::fs::write(folder.path().join("lathe.json"), lathe).unwrap();
        let args = ["buy", "20 tpi", "11.5 tpi", "--from", "40", "--to", "50", "-f"];
        let [json, csv, page] = ["json", "csv", "text"]
            .map(|form| run_in(folder.path(), &[&args[..], &[form]].concat()));
        let json: Value = serde_json::from_str(&json.out).unwrap();
        let csv: Vec<String> = csv
            .out
            .lines()
            .skip(1)
            .filter_map(|row| Some(row.rsplit_once(',')?.1.to_owned()))
            .collect();
        assert_eq!(json["purchases"][0]["offers"][0]["gears"][0], 46);
        (json, csv, one_line(&page.out))
    };
    let (json, csv, page) = advice("\"1/2\"");
    assert_eq!((&json["complete"], &json["left_out"]), (&true.into(), &Value::Array(vec![])));
    assert!(csv.iter().all(|complete| complete == "true"), "{csv:?}");
    assert!(!page.contains("NOT COMPLETE"), "{page}");
    let (json, csv, page) = advice("\"unknown\"");
    let left_out = "1 lever position could not be searched: a ratio is unknown";
    assert_eq!((&json["complete"], &json["left_out"]), (&false.into(), &vec![left_out].into()));
    assert_eq!(json["purchases"][0]["complete"], false);
    assert!(csv.iter().all(|complete| complete == "false"), "{csv:?}");
    assert!(page.contains("NOT COMPLETE") && page.contains(&format!("{left_out}.")), "{page}");
}
