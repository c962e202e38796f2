//! Which files are read and written: that of the lathe, where it was allowed, and no other.

use super::{SLOW, Served, encoded, status};
use crate::util::fresh;

#[test]
fn no_file_is_opened_by_a_name_from_the_network() {
    let folder = fresh();
    let secret = folder.path().join("secret.json");
    std::fs::write(&secret, r#"{"format": 1, "gears": {"owned": [33, 77]}}"#).unwrap();
    std::fs::write(folder.path().join("list.txt"), "M10\n").unwrap();
    let served = Served::start(folder.path(), &["--lathe", "dinghy"]);
    let path = encoded(secret.to_str().unwrap());
    for page in [
        format!("lathe/new?a-screw=8tpi&a-gears={path}"),
        "lathe/new?a-screw=8tpi&a-gears=secret.json".to_owned(),
        "lathe/new?a-screw=8tpi&a-gears=-".to_owned(),
    ] {
        let answer = served.get(&page);
        assert!(answer.contains("no built-in gear set"), "{answer}");
        assert!(!answer.contains("77"), "{answer}");
    }
    let packed = |text: &str| {
        // Stored, not deflated (RFC 1951, 3.2.4).
        let length = u16::try_from(text.len()).unwrap();
        let mut bytes = vec![1];
        bytes.extend(length.to_le_bytes());
        bytes.extend((!length).to_le_bytes());
        bytes.extend(text.bytes());
        base64url(&bytes)
    };
    let named = r#"{"format": 1, "lead_screw": {"lead": "8 tpi"}, "headstock": {"ratio": "1"}, "gears": "secret.json"}"#;
    let answer = served.get(&format!("find?target=M10&lathe={}", packed(named)));
    assert_eq!(status(&answer), 400);
    assert!(answer.contains("no built-in gear set"), "{answer}");
    let listed = r#"{"format": 1, "lead_screw": {"lead": "8 tpi"}, "headstock": {"ratio": "1"}, "gears": {"owned": [40, 75, 63, 80]}, "studs": 1}"#;
    let answer = served.get(&format!("find?target=8+tpi&lathe={}", packed(listed)));
    assert_eq!(status(&answer), 200, "{answer}");
    // What could be an option or a file is what it is named: a thread, a chart, a list.
    for page in [
        "find?target=--lathe%3Dsecret.json",
        "find?target=-",
        "find?target=M10&hand=left%20--lathe%3Dtug",
        "chart?list=--list%3Dlist.txt",
        "chart?list=-",
        "buy?list=--gears%3Dsecret.json",
        "threads?words=--help",
        "gear?teeth=--gears%3Dsecret.json",
        "card?target=M10&class=6g%20--lathe%20tug",
        "card?target=M10&train=secret.json",
        "check?c0=--print&c1=secret.json",
        "learn?measured=%40secret.json",
        "reach?from=--lathe%3Dtug",
    ] {
        let answer = served.get(page);
        let body = answer.split("\r\n\r\n").nth(1).unwrap();
        assert!([200, 400].contains(&status(&answer)), "{page}: {answer}");
        assert!(!body.contains("Usage:") && !body.contains("Tug"), "{page}: {body}");
    }
}

/// RFC 4648, section 5, without padding.
fn base64url(bytes: &[u8]) -> String {
    const LETTERS: &[u8] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
    let group = |three: &[u8]| {
        let bits =
            three.iter().enumerate().fold(0, |all, (i, b)| all | u32::from(*b) << (16 - 8 * i));
        (0..=three.len())
            .map(|i| char::from(LETTERS[(bits >> (18 - 6 * i) & 63) as usize]))
            .collect::<String>()
    };
    bytes.chunks(3).map(group).collect()
}

#[test]
fn the_file_is_changed_only_where_that_is_allowed() {
    let folder = fresh();
    let file = folder.path().join("lathe.json");
    std::fs::write(&file, SLOW).unwrap();
    let text = SLOW.replace("8 tpi", "6 tpi");
    let served = Served::start(folder.path(), &[]);
    let origin = format!("http://{}", served.host);
    let body = format!("text={}&was=0", encoded(&text));
    assert_eq!(status(&served.post("lathe/keep", &body, &origin)), 405);
    drop(served);

    let served = Served::start(folder.path(), &["--edit"]);
    let origin = format!("http://{}", served.host);
    let page = served.get("lathe/change?a-screw=6+tpi");
    let was =
        page.split("name=\"was\" value=\"").nth(1).expect("a form").split('"').next().unwrap();
    let body = format!("text={}&was={was}", encoded(&text));
    assert_eq!(status(&served.post("lathe/keep", &body, "http://evil.example")), 403);
    assert_eq!(status(&served.post("lathe/keep", &body, "null")), 403);
    assert_eq!(status(&served.post("find", &body, &origin)), 405);
    assert_eq!(status(&served.post("lathe/keep", &body.replace(was, "0"), &origin)), 409);
    assert_eq!(status(&served.post("lathe/keep", &format!("text=x&was={was}"), &origin)), 409);
    let told = format!("lathe={}", "x".repeat(20));
    assert_eq!(status(&served.post(&format!("lathe/keep?{told}"), &body, &origin)), 400);
    assert_eq!(std::fs::read_to_string(&file).unwrap(), SLOW);

    assert_eq!(status(&served.post("lathe/keep", &body, &origin)), 303);
    assert_eq!(std::fs::read_to_string(&file).unwrap(), text);
    let before = folder.path().join("lathe.json.before");
    assert_eq!(std::fs::read_to_string(before).unwrap(), SLOW);
    assert!(served.get("lathe").contains("6\u{a0}TPI"));
    // The same page once more, from a tab that was left open.
    assert_eq!(status(&served.post("lathe/keep", &body, &origin)), 409);
}
