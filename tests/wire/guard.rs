//! Who is answered: only who was given the address, from its own pages or from none.

use super::{Served, status};
use crate::util::fresh;
use std::io::BufRead;

#[test]
fn every_answer_keeps_other_pages_out() {
    let served = Served::demo();
    let wrong_host =
        served.raw(b"GET / HTTP/1.1\r\nHost: evil.example\r\nConnection: close\r\n\r\n");
    let answers = [
        (200, served.get("")),
        (200, served.get("find?target=M10")),
        (200, served.get("page.js")),
        (200, served.get("lathe/file")),
        (400, served.get("find?target=zz")),
        (404, served.get("nowhere")),
        (405, served.ask("DELETE", "/", "")),
        (421, wrong_host),
    ];
    for (wanted, answer) in answers {
        let head = answer.split("\r\n\r\n").next().unwrap().to_lowercase();
        assert_eq!(status(&answer), wanted, "{head}");
        for words in [
            "content-security-policy: default-src 'none'; style-src 'self' 'unsafe-inline'; script-src 'self';",
            "frame-ancestors 'none'",
            "x-content-type-options: nosniff",
            "referrer-policy: no-referrer",
            "cross-origin-resource-policy: same-origin",
            "cache-control: no-store",
        ] {
            assert!(head.contains(words), "{words}: {head}");
        }
        assert!(!head.contains("set-cookie") && !head.contains("access-control"), "{head}");
    }
}

#[test]
fn only_the_address_that_was_given_is_answered() {
    let served = Served::demo();
    let asked =
        |host: &str| {
            status(&served.raw(
                format!("GET / HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n").as_bytes(),
            ))
        };
    let port = served.host.split(':').nth(1).unwrap();
    assert_eq!(asked(&served.host), 200);
    assert_eq!(asked(&format!("localhost:{port}")), 200);
    for wrong in ["evil.example", "localhost", "127.0.0.1", &format!("127.0.0.1.evil:{port}")] {
        assert_eq!(asked(wrong), 421, "{wrong}");
    }
    assert_eq!(status(&served.raw(b"GET / HTTP/1.0\r\n\r\n")), 421);
    let whole = "GET http://evil.example/ HTTP/1.1";
    let head = format!("{whole}\r\nHost: {}\r\nConnection: close\r\n\r\n", served.host);
    assert_eq!(status(&served.raw(head.as_bytes())), 421);
    for site in ["cross-site", "same-site"] {
        assert_eq!(status(&served.ask("GET", "/", &format!("Sec-Fetch-Site: {site}\r\n"))), 403);
    }
}

#[test]
fn who_is_in_the_network_needs_the_key_too() {
    let folder = fresh();
    let mut served = Served::start(folder.path(), &["--lathe", "dinghy", "--share=127.0.0.1"]);
    let key = served.base.trim_matches('/').to_owned();
    assert_eq!(key.len(), 20, "{key}");
    let mut said = String::new();
    while !said.contains("Ctrl-C") {
        assert!(served.out.read_line(&mut said).unwrap() > 0, "{said}");
    }
    assert!(said.contains("Whoever is in this network"), "{said}");
    // A light border, so that a camera finds it.
    let rows: Vec<&str> = said.lines().filter(|line| line.contains('\u{2588}')).collect();
    assert!(
        rows.len() > 12 && rows[0].chars().all(|c| "\u{2588}\u{2580}\u{2584}".contains(c)),
        "{said}"
    );
    assert_eq!(status(&served.get("")), 200);
    assert_eq!(status(&served.get("find?target=M10")), 200);
    for wrong in ["/", "/find?target=M10", "/page.js", &format!("/{key}"), &format!("/{key}x/")] {
        assert_eq!(status(&served.ask("GET", wrong, "")), 404, "{wrong}");
    }
    let page = served.get("find?target=M10");
    let links = page.split("href=\"").skip(1).chain(page.split("action=\"").skip(1));
    assert!(links.clone().count() > 5);
    for link in links {
        assert!(link.starts_with(&served.base) || link.starts_with('#'), "{}", &link[..40]);
    }
}
