//! The server as the network meets it: who is answered, how much is read, how long is waited, what is
//! left when it is over.

use crate::util::{fresh, program};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{Shutdown, TcpStream};
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::Duration;

/// A server that runs; it ends with its test.
pub(crate) struct Served {
    child: Child,
    out: BufReader<ChildStdout>,
    /// `127.0.0.1:40123`.
    pub(crate) host: String,
    /// `/`, or `/KEY/`.
    pub(crate) base: String,
}

impl Served {
    pub(crate) fn start(folder: &Path, args: &[&str]) -> Self {
        let words = [&["serve", "--no-open", "--port", "0"], args].concat();
        let mut child = program(folder, &words)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program runs");
        let mut out = BufReader::new(child.stdout.take().unwrap());
        let mut line = String::new();
        out.read_line(&mut line).unwrap();
        let address = line.trim().strip_prefix("http://").unwrap_or_else(|| panic!("{line}"));
        let (host, path) = address.split_once('/').unwrap();
        let (host, base) = (host.to_owned(), format!("/{path}"));
        Self { child, out, host, base }
    }

    pub(crate) fn demo() -> Self {
        Self::start(fresh().path(), &["--lathe", "dinghy"])
    }

    fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(&self.host).unwrap();
        // So long nothing here takes, on the slowest machine.
        stream.set_read_timeout(Some(Duration::from_mins(2))).unwrap();
        stream
    }

    /// What comes back for these bytes, until the server closes; as much as came where it breaks off.
    fn raw(&self, bytes: &[u8]) -> String {
        let mut stream = self.connect();
        let _ = stream.write_all(bytes);
        rest(stream)
    }

    /// A request of one line and more of its head.
    fn ask(&self, method: &str, path: &str, head: &str) -> String {
        let host = &self.host;
        self.raw(
            format!("{method} {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n{head}\r\n")
                .as_bytes(),
        )
    }

    /// A page.
    pub(crate) fn get(&self, page: &str) -> String {
        self.ask("GET", &format!("{}{page}", self.base), "")
    }

    pub(crate) fn post(&self, page: &str, body: &str, origin: &str) -> String {
        let kind = "application/x-www-form-urlencoded";
        let (path, host) = (format!("{}{page}", self.base), &self.host);
        let head = format!("POST {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n");
        let length = body.len();
        let form = format!("Origin: {origin}\r\nContent-Type: {kind}\r\nContent-Length: {length}");
        self.raw(format!("{head}{form}\r\n\r\n{body}").as_bytes())
    }

    fn interrupt(&self) {
        let id = self.child.id().to_string();
        assert!(Command::new("kill").args(["-INT", &id]).status().unwrap().success());
    }

    /// Its exit code, once it has ended.
    fn ended(mut self) -> Option<i32> {
        self.child.wait().unwrap().code()
    }

    /// Open files and threads.
    #[cfg(target_os = "linux")]
    fn holds(&self) -> (usize, usize) {
        let count =
            |what| std::fs::read_dir(format!("/proc/{}/{what}", self.child.id())).unwrap().count();
        (count("fd"), count("task"))
    }

    /// Ticks of work so far, in user mode (`proc_pid_stat(5)`, field 14).
    #[cfg(target_os = "linux")]
    fn work(&self) -> u64 {
        let stat = std::fs::read_to_string(format!("/proc/{}/stat", self.child.id())).unwrap();
        stat.rsplit_once(") ").unwrap().1.split(' ').nth(11).unwrap().parse().unwrap()
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn rest(mut stream: TcpStream) -> String {
    let mut bytes = Vec::new();
    // What came before a reset counts.
    let _ = stream.read_to_end(&mut bytes);
    String::from_utf8_lossy(&bytes).into_owned()
}

pub(crate) fn status(answer: &str) -> u16 {
    answer.split(' ').nth(1).and_then(|status| status.parse().ok()).unwrap_or(0)
}

fn encoded(text: &str) -> String {
    form_urlencoded::byte_serialize(text.as_bytes()).collect()
}

/// A lathe whose search for one lead takes long.
const SLOW: &str = r#"{"format": 1, "lead_screw": {"lead": "8 tpi"}, "headstock": {"ratio": "1"}, "studs": 2,
    "gears": {"owned": [20,21,24,25,28,30,32,35,36,38,40,44,45,46,48,50,52,54,55,57,60,63,65,70,72,75,80,85,90,95,100,127]}}"#;

fn slow() -> (tempfile::TempDir, Served) {
    let folder = fresh();
    std::fs::write(folder.path().join("lathe.json"), SLOW).unwrap();
    let served = Served::start(folder.path(), &[]);
    (folder, served)
}

/// A question that takes seconds at least.
const LONG: &str = "buy?list=0.2371+mm%0A0.2373+mm%0A0.7391+mm%0A1.3711+mm&up_to=2";

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

#[test]
fn what_is_read_has_an_end() {
    let served = Served::demo();
    let long = |bytes: usize| "x".repeat(bytes);
    assert_eq!(status(&served.get(&format!("find?target={}", long(9 << 10)))), 414);
    // What is not read to its end may be lost on the way, with what was said of it.
    let told = |answer: String, wanted| [wanted, 0].contains(&status(&answer));
    assert!(told(served.ask("GET", "/", &format!("X: {}\r\n", long(17 << 10))), 431));
    assert!(told(served.raw(&vec![b'x'; 1 << 20]), 400));
    for method in ["PUT", "DELETE", "OPTIONS", "PATCH", "BREW"] {
        assert_eq!(status(&served.ask(method, "/", "")), 405, "{method}");
    }
    let head = served.ask("HEAD", "/", "");
    assert!(status(&head) == 200 && head.ends_with("\r\n\r\n"), "{head}");
    let origin = format!("http://{}", served.host);
    assert!(told(served.post("lathe/keep", &long((1 << 20) + 1), &origin), 413));
    // Who reads two lengths, or a length and pieces, can be led to read two requests.
    let host = &served.host;
    for lengths in [
        "Content-Length: 3\r\nContent-Length: 4\r\n",
        "Content-Length: x\r\n",
        "Content-Length: -1\r\n",
    ] {
        let words = format!("POST / HTTP/1.1\r\nHost: {host}\r\n{lengths}\r\nabc");
        assert!(told(served.raw(words.as_bytes()), 400), "{lengths}");
    }
    assert_eq!(status(&served.get("")), 200);
}

#[test]
fn a_head_that_never_ends_is_not_waited_for() {
    let served = Served::demo();
    let mut slow = served.connect();
    slow.write_all(b"GET / HTTP/1.1\r\nHost: x\r\nX: ").unwrap();
    let silent = served.connect();
    assert_eq!(status(&served.get("")), 200);
    // Both are closed by the server, long before this gives up.
    assert_ne!(status(&rest(slow)), 200);
    assert_eq!(rest(silent), "");
}

#[test]
fn two_requests_at_once_and_a_closed_half_are_answered() {
    let served = Served::demo();
    let host = &served.host;
    let one = |more: &str| format!("GET /more HTTP/1.1\r\nHost: {host}\r\n{more}\r\n");
    let both = served.raw((one("") + &one("Connection: close\r\n")).as_bytes());
    assert_eq!(both.matches("HTTP/1.1 200").count(), 2, "{both}");
    let mut half = served.connect();
    half.write_all(one("").as_bytes()).unwrap();
    half.shutdown(Shutdown::Write).unwrap();
    // Answered or closed, never held.
    let answer = rest(half);
    assert!(answer.is_empty() || status(&answer) == 200, "{answer}");
    assert_eq!(status(&served.get("")), 200);
}

#[cfg(target_os = "linux")]
#[test]
fn a_thousand_connections_leave_nothing_behind() {
    let served = Served::demo();
    assert_eq!(status(&served.get("")), 200);
    let (files, _) = served.holds();
    for i in 0..1000 {
        // Where there is no room any more the server says so or closes.
        let Ok(mut stream) = TcpStream::connect(&served.host) else { continue };
        if i % 3 == 0 {
            let _ = stream.write_all(b"GET / HT");
        }
    }
    let settled = || {
        (0..600).any(|_| {
            std::thread::sleep(Duration::from_millis(100));
            served.holds().0 <= files
        })
    };
    assert!(settled(), "{:?} open files, {files} before", served.holds());
    assert_eq!(status(&served.get("")), 200);
    // Sixteen at work, the server, and those of a search.
    let most = 20 + std::thread::available_parallelism().unwrap().get();
    assert!(served.holds().1 <= most, "{:?} threads", served.holds());
}

#[test]
fn many_clients_are_all_answered() {
    let served = Served::demo();
    served.get("");
    for clients in [1, 4, 16] {
        std::thread::scope(|scope| {
            for _ in 0..clients {
                scope.spawn(|| {
                    for i in 0..200 / clients {
                        let page =
                            ["more", "find?target=M10", "lathe", "threads?words=19+tpi"][i % 4];
                        let answer = served.get(page);
                        assert_eq!(status(&answer), 200, "{page}");
                        assert!(answer.ends_with("</html>"), "{page}");
                    }
                });
            }
        });
    }
}

#[cfg(target_os = "linux")]
#[test]
fn more_than_sixteen_at_once_are_told_so_and_who_leaves_ends_the_work() {
    let (_folder, served) = slow();
    let words = format!("GET /{LONG} HTTP/1.1\r\nHost: {}\r\n\r\n", served.host);
    let waiting: Vec<TcpStream> = (0..16)
        .map(|_| {
            let mut stream = served.connect();
            stream.write_all(words.as_bytes()).unwrap();
            stream
        })
        .collect();
    let busy = || {
        (0..600).any(|_| {
            std::thread::sleep(Duration::from_millis(50));
            status(&served.get("more")) == 503
        })
    };
    assert!(busy());
    assert!(served.get("more").contains("retry-after: 1"));
    drop(waiting);
    let free = || {
        (0..600).any(|_| {
            std::thread::sleep(Duration::from_millis(50));
            status(&served.get("more")) == 200
        })
    };
    assert!(free());
    // Nothing is worked on for those who left.
    let idle = || {
        (0..300).any(|_| {
            let before = served.work();
            std::thread::sleep(Duration::from_millis(400));
            served.work() <= before + 1
        })
    };
    assert!(idle());
}

#[cfg(unix)]
#[test]
fn ctrl_c_ends_it_in_good_order() {
    let served = Served::demo();
    assert_eq!(status(&served.get("")), 200);
    let idle = served.connect();
    served.interrupt();
    assert_eq!(served.ended(), Some(0));
    drop(idle);
    // Long work does not hold it.
    let (_folder, served) = slow();
    let mut waiting = served.connect();
    let words = format!("GET /{LONG} HTTP/1.1\r\nHost: {}\r\n\r\n", served.host);
    waiting.write_all(words.as_bytes()).unwrap();
    std::thread::sleep(Duration::from_millis(300));
    served.interrupt();
    assert_eq!(served.ended(), Some(0));
}

#[test]
fn a_port_in_use_is_one_clear_line() {
    let served = Served::demo();
    let port = served.host.split(':').nth(1).unwrap();
    let run = crate::util::run(&["serve", "--no-open", "--port", port]);
    assert_eq!((run.code, run.out.as_str()), (2, ""));
    let wanted = format!("trainwright: --port {port}: another program answers on it\ntry: ");
    assert!(run.err.starts_with(&wanted) && run.err.lines().count() == 2, "{}", run.err);
    let run = crate::util::run(&["serve", "--no-open", "--share=203.0.113.7"]);
    assert_eq!(run.code, 2);
    assert!(run.err.contains("203.0.113.7 is no address of this computer"), "{}", run.err);
    let run = crate::util::run(&["serve", "--no-open", "--lathe", "tug", "--edit"]);
    assert_eq!(run.code, 2);
    assert!(run.err.contains("is no lathe file"), "{}", run.err);
}

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
        "card?target=M20&kind=wires&value=20.9+mm&wire=1.5+mm&reset=1",
        "card?target=M20&kind=pitch&value=18.1+mm",
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
