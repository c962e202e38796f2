//! What other pages get, and what a name in a lathe's file can do: nothing.

use super::{DINGHY, page, words};
use crate::devtools::Tab;
use crate::util::fresh;
use crate::wire::Served;
use serde_json::json;
use std::io::{Read, Write};
use std::net::TcpListener;

/// A page on another port: a server that says the same to everybody, until the tests end.
fn other_page(text: String) -> String {
    let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
    let address = format!("http://{}/", listener.local_addr().expect("a port"));
    std::thread::spawn(move || {
        for stream in listener.incoming() {
            let Ok(mut stream) = stream else { continue };
            let _ = stream.read(&mut [0; 4096]);
            let head = "HTTP/1.1 200 OK\r\nContent-Type: text/html\r\nConnection: close\r\n";
            let _ = write!(stream, "{head}Content-Length: {}\r\n\r\n{text}", text.len());
        }
    });
    address
}

/// A lathe whose name is meant to become part of a page.
const NAME: &str =
    "</title><script>window.broken=1</script>\"'><img src=x onerror=window.broken=1>";

fn lathe() -> String {
    json!({
        "format": 1, "name": NAME, "note": NAME, "lead_screw": {"lead": "8 tpi"},
        "headstock": {"ratio": 1}, "gears": {"owned": [20, 30, 40, 50, 60, 80]},
        "gearbox": {"levers": [{"name": "<b>x", "positions": {"<i>A": {"ratio": 1}, "B": {"ratio": "1/2"}}}]},
    })
    .to_string()
}

#[test]
fn a_name_with_a_script_is_a_name_on_every_page() {
    let Some(tab) = Tab::open() else { return };
    let folder = fresh();
    std::fs::write(folder.path().join("lathe.json"), lathe()).unwrap();
    let served = Served::start(folder.path(), &["--lathe", "lathe.json"]);
    let address = format!("http://{}{}", served.host, served.base);
    for place in super::looks::PAGES {
        tab.go(&format!("{address}{place}"));
        let made = "document.querySelectorAll('img, b > x, script:not([src]), i').length";
        assert_eq!(tab.value(made), 0, "{place}: {}", page(&tab));
        assert_eq!(tab.value("window.broken ?? null"), json!(null), "{place}");
        // This lathe can't be learned from what is asked; a page that says so is no error of it.
        let errors = tab.errors().into_iter().filter(|error| !error.contains("status of 400"));
        assert_eq!(errors.collect::<Vec<_>>(), [""; 0], "{place}");
    }
    tab.go(&address);
    assert_eq!(words(&tab, "h1"), NAME);
    assert_eq!(tab.text("document.title"), NAME);
    // Typed into an answer, or asked for, it comes to no more.
    tab.go(&format!("{address}lathe/new"));
    tab.fill("#a-name", NAME);
    tab.fill("#a-gears", "20,40");
    tab.fill("#a-screw", "8 tpi");
    tab.follow("button", "Look at it");
    tab.follow("a", "Use this lathe");
    assert_eq!(words(&tab, "h1"), NAME);
    tab.fill("#target", NAME);
    tab.follow(".ask button", "Find");
    assert_eq!(tab.value("window.broken ?? null"), json!(null));
    assert!(words(&tab, ".refusal").contains("window.broken"), "{}", page(&tab));
}

/// How another page would ask; each promise tells what came of it.
const ASK: &str = "
  const part = (tag, name) => new Promise((done) => {
    const made = document.createElement(tag);
    made.onload = () => done('loaded');
    made.onerror = () => done('nothing');
    made[name] = base + (tag === 'script' ? 'page.js' : 'find?target=M10');
    document.body.append(made);
  });
  const asked = (how) => fetch(base + 'find?target=M10', how).then(() => 'answered', () => 'nothing');
  window.came = Promise.all([
    part('img', 'src'), part('script', 'src'), asked({}), asked({mode: 'no-cors'}),
    asked({mode: 'no-cors', method: 'POST', body: 'text=x'}),
  ]);";

#[test]
fn another_page_gets_nothing() {
    let Some(tab) = Tab::open() else { return };
    let folder = fresh();
    let file = folder.path().join("lathe.json");
    std::fs::write(&file, lathe()).unwrap();
    let served = Served::start(folder.path(), &["--lathe", "lathe.json", "--edit"]);
    let address = format!("http://{}{}", served.host, served.base);
    let text = lathe().replace("8 tpi", "1 mm");
    let form = |button: &str| {
        format!(
            "<form method=post action=\"{address}lathe/keep\"><input name=text value='{}'>\
             <input name=was value=0><button>{button}</button></form>",
            text.replace('\'', "&#39;")
        )
    };
    let other = other_page(format!(
        "<!DOCTYPE html><meta charset=utf-8><title>other</title><body>{}\
         <iframe src=\"{address}\"></iframe><script>const base = \"{address}\";{ASK}</script>",
        form("Send")
    ));
    tab.go(&other);
    assert_eq!(tab.value("window.came"), json!(vec!["nothing"; 5]));
    // The page itself, its parts and its frame: whatever came from the server was a refusal.
    let came = tab.answers(&address);
    assert!(came.iter().any(|(_, kind)| kind == "Document"), "{came:?}");
    assert!(came.iter().all(|(status, _)| *status == 403), "{came:?}");
    tab.follow("button", "Send");
    assert!(tab.text("document.body.innerText").contains("not from another page"));
    assert_eq!(std::fs::read_to_string(&file).unwrap(), lathe());
    // A link is followed by nobody either: the address has to be opened itself.
    tab.go(&address);
    assert_eq!(words(&tab, "h1"), NAME);
    assert_eq!(tab.answers(&address)[0].0, 200);
}

/// What the same questions come to from a page of the server: the test above could see it.
#[test]
fn its_own_pages_are_answered() {
    let Some(tab) = Tab::open() else { return };
    tab.go(&DINGHY.address);
    tab.value(&format!("(() => {{ const base = {:?};{ASK} }})()", DINGHY.address));
    // A page is no picture.
    let came = json!(["nothing", "loaded", "answered", "answered", "answered"]);
    assert_eq!(tab.value("window.came"), came);
}
