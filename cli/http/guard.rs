//! Who is answered: only who was given the address, from a page of this server or from none.

use super::answer::Answer;
use hyper::header::{self, HeaderMap, HeaderName, HeaderValue};
use hyper::http::uri::Authority;
use hyper::{Method, Request};
use std::net::{IpAddr, SocketAddr};

/// Names and key under which the server is asked.
#[derive(Debug, Clone)]
pub(crate) struct Addresses {
    /// `127.0.0.1:7127`, as browsers name it.
    hosts: Vec<String>,
    /// What the path begins with; empty: nothing.
    key: String,
}

impl Addresses {
    /// Those of these addresses and this port, of which the loopback ones are `localhost` too.
    pub(crate) fn new(hosts: &[IpAddr], port: u16, key: String) -> Self {
        let named = |host: &IpAddr| SocketAddr::new(*host, port).to_string();
        let mut names: Vec<String> = hosts.iter().map(named).collect();
        if hosts.iter().any(IpAddr::is_loopback) {
            names.push(format!("localhost:{port}"));
        }
        // The port of the web is left out.
        let short = names.iter().filter_map(|name| Some(name.strip_suffix(":80")?.to_owned()));
        let short: Vec<String> = short.collect();
        names.extend(short);
        Self { hosts: names, key }
    }

    /// What stands before every path: `/`, or `/KEY/`.
    pub(crate) fn base(&self) -> String {
        if self.key.is_empty() { "/".to_owned() } else { format!("/{}/", self.key) }
    }

    /// The path behind the key.
    pub(super) fn path<B>(&self, request: &Request<B>) -> Result<String, Answer> {
        let head = request.headers();
        let named = one(head, header::HOST).or_else(|| request.uri().host());
        let in_line = request.uri().authority().map(Authority::as_str);
        let is_ours = |name: &str| self.hosts.iter().any(|host| host.eq_ignore_ascii_case(name));
        if !named.is_some_and(is_ours) || !in_line.is_none_or(is_ours) {
            return Err(Answer::refused(421, "This is not the address that was given."));
        }
        if from_elsewhere(head, request.method()) {
            return Err(Answer::refused(403, "Open the address itself, not from another page."));
        }
        let behind = request.uri().path().strip_prefix('/').and_then(|path| self.behind_key(path));
        behind.map(str::to_owned).ok_or_else(|| Answer::refused(404, "There is no such page."))
    }

    /// The key is compared whole, so that nobody can time how much of it was right.
    fn behind_key<'p>(&self, path: &'p str) -> Option<&'p str> {
        if self.key.is_empty() {
            return Some(path);
        }
        let (key, rest) = path.split_once('/')?;
        let differs = key.bytes().zip(self.key.bytes()).fold(0, |all, (a, b)| all | (a ^ b));
        (key.len() == self.key.len() && differs == 0).then_some(rest)
    }

    /// Whether a form that is sent comes from a page of this server. As the pages ask for no referrer,
    /// browsers name the origin of their forms `null`, and the site `same-origin`.
    pub(super) fn is_own_form<B>(&self, request: &Request<B>) -> Result<(), Answer> {
        let origin = one(request.headers(), header::ORIGIN);
        let host = origin.and_then(|origin| origin.strip_prefix("http://"));
        let site = one(request.headers(), HeaderName::from_static("sec-fetch-site"));
        let unnamed = origin == Some("null") && site == Some("same-origin");
        let own = unnamed || host.is_some_and(|host| self.hosts.iter().any(|own| own == host));
        let kind = one(request.headers(), header::CONTENT_TYPE).unwrap_or_default();
        if own && kind.starts_with("application/x-www-form-urlencoded") {
            Ok(())
        } else {
            Err(Answer::refused(403, "Send this from its own page."))
        }
    }
}

/// Whether another page asks, for itself or for whoever looks at it (Fetch Metadata Request Headers, W3C).
fn from_elsewhere(head: &HeaderMap, method: &Method) -> bool {
    let site = head.get("sec-fetch-site").map(HeaderValue::as_bytes);
    let own = site.is_none_or(|site| site == b"same-origin" || site == b"none");
    // An old browser does not say; then a form at least names its page.
    !own || (site.is_none() && *method == Method::GET && head.contains_key(header::ORIGIN))
}

/// The value that stands once.
fn one(head: &HeaderMap, name: header::HeaderName) -> Option<&str> {
    let mut all = head.get_all(name).iter();
    let first = all.next()?;
    if all.next().is_some() { None } else { first.to_str().ok() }
}

/// Letters of a random key: none that is taken for another.
const LETTERS: &[u8; 32] = b"abcdefghijkmnpqrstuvwxyz23456789";

/// A key of 100 random bits, as 20 letters and digits.
///
/// # Errors
/// If the system has no random numbers.
pub(crate) fn random() -> Result<String, getrandom::Error> {
    let mut bytes = [0; 20];
    getrandom::fill(&mut bytes)?;
    let letter = |byte: &u8| char::from(LETTERS[usize::from(*byte) % LETTERS.len()]);
    Ok(bytes.iter().map(letter).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(addresses: &Addresses, path: &str, head: &[(&str, &str)]) -> Result<String, u16> {
        let mut request = Request::builder().uri(path);
        for (name, value) in head {
            request = request.header(*name, *value);
        }
        let request = request.body(()).unwrap();
        addresses.path(&request).map_err(|answer| answer.response(true).status().as_u16())
    }

    fn shop() -> Addresses {
        Addresses::new(&["127.0.0.1".parse().unwrap()], 7127, "abcdefghijkmnpqrstuv".into())
    }

    const OURS: (&str, &str) = ("host", "127.0.0.1:7127");

    #[test]
    fn the_key_and_the_name_open_the_door() {
        let shop = shop();
        let path = "/abcdefghijkmnpqrstuv/find";
        assert_eq!(asked(&shop, path, &[OURS]).as_deref(), Ok("find"));
        assert_eq!(asked(&shop, path, &[("host", "LOCALHOST:7127")]).as_deref(), Ok("find"));
        for wrong in ["/", "/find", "/abcdefghijkmnpqrstux/find", "/abcdefghijkmnpqrstuv"] {
            assert_eq!(asked(&shop, wrong, &[OURS]), Err(404), "{wrong}");
        }
        for wrong in ["evil.example:7127", "127.0.0.1", "127.0.0.1:7128", ""] {
            assert_eq!(asked(&shop, path, &[("host", wrong)]), Err(421), "{wrong}");
        }
        assert_eq!(asked(&shop, path, &[OURS, OURS]), Err(421));
        assert_eq!(asked(&shop, path, &[]), Err(421));
        let whole = format!("http://evil.example{path}");
        assert_eq!(asked(&shop, &whole, &[OURS]), Err(421));
    }

    #[test]
    fn other_pages_get_nothing() {
        let path = "/abcdefghijkmnpqrstuv/";
        for site in ["cross-site", "same-site", "nonsense"] {
            let head = [OURS, ("sec-fetch-site", site)];
            assert_eq!(asked(&shop(), path, &head), Err(403), "{site}");
        }
        for site in ["same-origin", "none"] {
            let head = [OURS, ("sec-fetch-site", site)];
            assert!(asked(&shop(), path, &head).is_ok(), "{site}");
        }
        let head = [OURS, ("origin", "http://evil.example")];
        assert_eq!(asked(&shop(), path, &head), Err(403));
    }

    #[test]
    fn a_form_names_its_page() {
        let form = "application/x-www-form-urlencoded";
        let from = |origin: &str, kind: &str, site: &str| {
            let request = Request::builder().header("origin", origin).header("content-type", kind);
            let request = request.header("sec-fetch-site", site);
            shop().is_own_form(&request.body(()).unwrap()).is_ok()
        };
        let sent = |origin: &str, kind: &str| from(origin, kind, "none");
        assert!(from("null", form, "same-origin"));
        assert!(!from("http://evil.example", form, "same-origin"));
        assert!(sent("http://127.0.0.1:7127", form));
        assert!(!sent("http://evil.example", form));
        assert!(!sent("null", form));
        assert!(!sent("http://127.0.0.1:7127", "text/plain"));
    }

    #[test]
    fn a_key_is_long_and_never_the_same() {
        let (one, other) = (random().unwrap(), random().unwrap());
        assert!(one.len() == 20 && one != other, "{one} {other}");
    }

    #[test]
    fn an_ipv6_address_stands_in_brackets() {
        let shop = Addresses::new(&["::1".parse().unwrap()], 80, String::new());
        assert!(shop.hosts.contains(&"[::1]:80".into()) && shop.hosts.contains(&"[::1]".into()));
    }
}
