//! What is sent back, always with the words that keep other pages out.

use http_body_util::Full;
use hyper::body::Bytes;
use hyper::header::{self, HeaderName, HeaderValue};
use hyper::{Response, StatusCode};
use maud::{DOCTYPE, html};

/// Words that every answer carries. Styles may stand in a page (a picture brings its own), scripts may
/// not.
const ALWAYS: [(HeaderName, &str); 7] = [
    (
        header::CONTENT_SECURITY_POLICY,
        "default-src 'none'; style-src 'self' 'unsafe-inline'; script-src 'self'; img-src 'self'; \
         connect-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'",
    ),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, "no-referrer"),
    (header::X_FRAME_OPTIONS, "DENY"),
    (header::CACHE_CONTROL, "no-store"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
];

/// One answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Answer {
    status: u16,
    /// What it is: `text/html; charset=utf-8`.
    kind: &'static str,
    body: Vec<u8>,
    /// One more word of its head.
    more: Option<(HeaderName, String)>,
}

impl Answer {
    /// A page.
    pub(crate) fn page(text: String) -> Self {
        Self::of_kind("text/html; charset=utf-8", text)
    }

    /// Something else than a page.
    pub(crate) fn of_kind(kind: &'static str, body: impl Into<Vec<u8>>) -> Self {
        Self { status: 200, kind, body: body.into(), more: None }
    }

    /// The same, to be kept as a file of this name (letters, digits, `.` and `-`).
    pub(crate) fn kept_as(mut self, file: &str) -> Self {
        let words = format!("attachment; filename=\"{file}\"");
        self.more = Some((header::CONTENT_DISPOSITION, words));
        self
    }

    /// The same, with another status.
    pub(crate) const fn with_status(mut self, status: u16) -> Self {
        self.status = status;
        self
    }

    /// Go on there.
    pub(crate) fn see(place: String) -> Self {
        let more = Some((header::LOCATION, place));
        Self { status: 303, kind: "text/plain; charset=utf-8", body: Vec::new(), more }
    }

    /// A plain page that says no.
    pub(crate) fn refused(status: u16, words: &str) -> Self {
        let page = html! {
            (DOCTYPE)
            html lang="en" {
                head { meta charset="utf-8"; title { (words) } }
                body { p { (words) } }
            }
        };
        Self::page(page.into_string()).with_status(status)
    }

    /// Too many ask at once.
    pub(super) fn busy() -> Self {
        let answer = Self::refused(503, "Too many questions at once. Try again in a moment.");
        Self { more: Some((header::RETRY_AFTER, "1".to_owned())), ..answer }
    }

    /// A way of asking that nothing here takes.
    pub(super) fn not_allowed() -> Self {
        let answer = Self::refused(405, "This can only be looked at.");
        Self { more: Some((header::ALLOW, "GET, HEAD, POST".to_owned())), ..answer }
    }

    /// As it goes out; of a HEAD request only the head.
    pub(super) fn response(self, is_head: bool) -> Response<Full<Bytes>> {
        let length = self.body.len();
        let body = if is_head { Vec::new() } else { self.body };
        let mut response = Response::new(Full::new(Bytes::from(body)));
        *response.status_mut() =
            StatusCode::from_u16(self.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
        let head = response.headers_mut();
        for (name, words) in ALWAYS {
            head.insert(name, HeaderValue::from_static(words));
        }
        head.insert(header::CONTENT_TYPE, HeaderValue::from_static(self.kind));
        if is_head {
            head.insert(header::CONTENT_LENGTH, HeaderValue::from(length));
        }
        if let Some((name, words)) = self.more
            && let Ok(words) = HeaderValue::try_from(words)
        {
            head.insert(name, words);
        }
        response
    }
}
