//! What stands on the pages, as they come over the network.

use super::{Served, status};

/// What a page shows: text without marks, looks and scripts.
fn shown(page: &str) -> String {
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
