//! What stands on the pages, as they come over the network.

use super::{Served, encoded, rest, status};
use crate::util::fresh;
use std::io::Write;

/// What a page shows: text without marks, looks and scripts.
pub(crate) fn shown(page: &str) -> String {
    let mut out = String::new();
    let mut rest = page.split("\r\n\r\n").nth(1).unwrap_or_default();
    while let Some((text, tag)) = rest.split_once('<') {
        out.push_str(text);
        out.push(' ');
        let end = if tag.starts_with("style") { "</style>" } else { ">" };
        rest = tag.split_once(end).map_or("", |(_, rest)| rest);
    }
    out
}

#[test]
fn what_is_in_reach_is_a_whole_page() {
    let page = shown(&Served::demo().get("reach"));
    for words in ["Leads, shortest first", "standard pitches", "widest gap"] {
        assert!(page.contains(words), "{words}: {page}");
    }
}

#[test]
fn an_empty_list_is_the_everyday_one() {
    let served = Served::demo();
    assert!(!served.get("buy").contains("What to buy for"));
    assert!(served.get("buy?list=").contains("What to buy for"));
    assert!(served.get("chart?list=").contains("M10"));
}

#[test]
fn a_page_has_links_where_a_terminal_has_words_to_type() {
    let served = Served::demo();
    for page in [
        "",
        "find?target=M10",
        "find?target=M10&long=1",
        "find?target=2.37+mm",
        "find?target=12+mm",
        "find?target=0.5+mm/rev",
        "card?target=M10",
        "card?target=1.5+mm",
        "card?target=Tr+40x14+(P7)",
        "card?target=NPT+1/2",
        "card?target=12+mm",
        "card?target=M20&kind=pitch&value=18.1+mm&reset=1",
        "card?target=M20&kind=nut&value=starts",
        "card?target=M20&internal=1&mate=18.13+mm",
        "why?target=M10&measured=10+pitches+=+15.877+mm",
        "why?target=M10&measured=10+pitches+=+14.3+mm",
        "why?target=M10&measured=10+pitches+=+4.321+mm",
        "why?target=M10+LH&hand=right&seen=torn",
        "why?target=12+mm&measured=10+pitches+=+15.877+mm",
        "chart",
        "chart?plan=best&list=M10%0AM8%0A13+mm",
        "check?c0=8+tpi&c1=40-*-40&c0=10+tpi&c1=40-*-56&c0=zz",
        "check?c0=8+tpi&c1=40-*-40&c0=10+tpi&c1=40-*-56",
        "learn?c0=8+tpi&c1=40-*-40&measured=10+pitches+=+25+mm+with+40-40",
        "buy?list=M3.5%0AM2.2",
        "reach",
        "reach?from=0.5+mm&to=0.6+mm",
        "threads?words=19+tpi",
        "threads?words=6.2+20",
        "gear?teeth=40&outside=52.4+mm",
        "gear?teeth=20+60&tooth=module+1",
        "lathe",
        "lathe/new?a-gears=20,40&a-screw=8+tpi",
        "lathe/change?a-studs=9",
        "more",
    ] {
        let text = shown(&served.get(page));
        assert!(text.len() > 100, "{page}: {text}");
        let option = text
            .match_indices("--")
            .find(|(at, _)| text[at + 2..].starts_with(|c: char| c.is_ascii_lowercase()));
        let command = option.or(text.match_indices("trainwright ").next());
        let near = command.map(|(at, _)| text[..at].chars().rev().take(80).collect::<String>());
        let near = near.map(|near| near.chars().rev().collect::<String>());
        assert_eq!(near, None, "{page}");
    }
}

/// The card asks what the scratch measured; the answer is a page of its own, whose boxes keep what was typed.
#[test]
fn the_card_leads_to_what_went_wrong() {
    let served = Served::demo();
    let card = served.get("card?target=M10");
    assert!(card.contains("What did the scratch measure?"));
    assert!(card.contains("action=\"/why\"") || card.contains("/why\""), "{card}");
    let page = served.get("why?target=M10&measured=10+pitches+=+15.5+mm");
    assert_eq!(status(&page), 200);
    let text = shown(&page);
    assert!(text.contains("what went wrong?") && text.contains("should measure"), "{text}");
    assert!(page.contains("value=\"10 pitches = 15.5 mm\""), "{page}");
    // A reading without a unit, a word that looks like an option, an empty form.
    for wrong in ["10+pitches+=+15", "--lathe=tug", ""] {
        let page = served.get(&format!("why?target=M10&measured={wrong}"));
        assert_eq!(status(&page), 400, "{wrong}");
    }
}

/// More than a page has room for is refused with what is right, not cut.
#[test]
fn what_is_too_much_for_a_page_is_said() {
    let served = Served::demo();
    let said = |page: &str| {
        let answer = served.get(page);
        (status(&answer), shown(&answer).split_whitespace().collect::<Vec<_>>().join(" "))
    };
    let (code, text) = said("find?target=M10&count=80");
    assert_eq!(code, 400);
    let right = "80 answers are too many for a page Right would be: 50 at most";
    assert!(text.contains(right), "{text}");
    for (page, words) in [
        ("find?target=M10&count=x", "count"),
        ("chart?pairs=9", "pairs"),
        ("reach?pairs=9", "pairs"),
        (&format!("chart?list={}", encoded(&"M10\n".repeat(201))), "200 at most"),
        (&format!("check?{}", "c0=8+tpi&c1=40-*-40&".repeat(121)), "120 at most"),
    ] {
        let (code, text) = said(page);
        assert_eq!(code, 400, "{page}: {text}");
        assert!(text.contains(words), "{page}: {text}");
    }
    assert_eq!(said("find?target=M10&count=50").0, 200);
    assert_eq!(said("reach?from=1+mm&to=1.05+mm&pairs=1").0, 200);
    // As many as are asked for: the list of one lead is shorter.
    let list = |count: &str| said(&format!("find?target=M10&long=1&count={count}")).1.len();
    assert!(list("1") < list("20"));
}

#[test]
fn browsers_get_an_icon() {
    let served = Served::demo();
    let page = served.get("more");
    assert!(
        page.contains("<link rel=\"icon\" type=\"image/svg+xml\" href=\"/icon.svg\">"),
        "{page}"
    );
    for path in ["icon.svg", "favicon.ico"] {
        let icon = served.get(path);
        assert_eq!(status(&icon), 200, "{path}");
        assert!(icon.contains("content-type: image/svg+xml") && icon.contains("<svg "), "{icon}");
    }
}

/// 40 and 60 of module 1 need 50 mm; the shafts are (30, 40) apart, and no mesh may be opened: neither yes
/// nor no. The terminal names the card of such a train, so the page links to it.
#[test]
fn the_card_is_offered_where_the_terminal_offers_it() {
    let folder = fresh();
    let lathe = r#"{"format": 1, "lead_screw": {"lead": "3 mm"}, "studs": 1,
        "headstock": {"ratio": "1", "turns": "same"}, "fitted": {"train": "40-60"},
        "gears": {"pitch": "module 1", "owned": [40, 60]},
        "banjo": {"driving_shaft": {"right": "30 mm", "up": "40 mm"}, "planes": 1,
            "slots": [{"from": "30 mm", "to": "60 mm"}], "opening": {"greatest": "0 mm"}}}"#;
    std::fs::write(folder.path().join("lathe.json"), lathe).unwrap();
    let served = Served::start(folder.path(), &["--edit"]);
    for (target, offered) in [("2 mm LH", true), ("1.37 mm", false)] {
        let terminal = crate::util::run_in(folder.path(), &["find", target]).out;
        assert_eq!(terminal.contains("Job card: "), offered, "{terminal}");
        let page = served.get(&format!("find?target={}", encoded(target)));
        assert_eq!(page.contains(">Job card</a>"), offered, "{target}: {page}");
    }
    let card = served.get(&format!("card?target={}", encoded("2 mm LH")));
    assert!(card.contains("Too close to call"), "{card}");
    assert!(card.contains("This is on the machine now"), "{card}");
}

/// Where nobody has described a lathe the page says so, and what a cut on it needs.
#[test]
fn a_demo_lathe_says_what_it_is_and_what_to_do() {
    let folder = fresh();
    let served = Served::start(folder.path(), &[]);
    for page in ["find?target=M10", "card?target=M10", "chart", "check?c0=8+tpi&c1=40-*-40"] {
        let text = shown(&served.get(page)).to_lowercase();
        assert!(text.contains("demo lathe"), "{page}: {text}");
    }
    let answer = served.get("learn?measured=10+pitches+=+15.9+mm+with+40-40");
    assert_eq!(status(&answer), 400);
    let text = shown(&answer).split_whitespace().collect::<Vec<_>>().join(" ");
    let said = "this is a demo lathe, which nobody measured Right would be: rows of your chart beside \
                the cut, or your lathe described first (The lathe)";
    assert!(text.to_lowercase().contains(&said.to_lowercase()), "{text}");
    let charted = "learn?c0=8+tpi&c1=40-*-40&measured=10+pitches+=+15.9+mm+with+40-40";
    assert_eq!(status(&served.get(charted)), 200);
}

/// Answers of one connection come whole and in their order, also where all was asked before one came.
#[test]
fn pages_asked_at_once_come_in_their_order() {
    let served = Served::demo();
    let host = &served.host;
    let ask =
        |page: &str, more: &str| format!("GET /{page} HTTP/1.1\r\nHost: {host}\r\n{more}\r\n");
    let mut stream = served.connect();
    let all =
        ask("find?target=M10", "") + &ask("more", "") + &ask("nowhere", "Connection: close\r\n");
    stream.write_all(all.as_bytes()).unwrap();
    let came = rest(stream);
    let at = |words: &str| came.find(words).unwrap_or_else(|| panic!("{words}: {came}"));
    assert!(
        at("<title>M10") < at("<title>More") && at("<title>More") < at("<title>There is no such")
    );
}
