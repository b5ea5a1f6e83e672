//! Who may send requests: for this address only, changes from this page only, and with `--share` only who has the token.

use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;

use axum::extract::{Request, State};
use axum::http::header::{self, HeaderMap, HeaderName, HeaderValue};
use axum::http::{Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};

/// Longest a request may take, its body included.
const LONGEST: Duration = Duration::from_secs(20);
/// Bytes of randomness in a token.
const TOKEN_BYTES: usize = 16;

/// Nothing from elsewhere, nothing inline, nobody may frame it.
const CONTENT_POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; \
    connect-src 'self'; manifest-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'";

/// What a request must show.
#[derive(Clone, Debug)]
pub struct Guard {
    hosts: Vec<String>,
    cookie: String,
    token: Option<String>,
}

impl Guard {
    /// For a page at this address; with a token, only who has it gets in.
    pub fn new(address: SocketAddr, token: Option<String>) -> Self {
        let mut hosts = vec![address.to_string()];
        if address.ip().is_loopback() {
            hosts.push(format!("localhost:{}", address.port()));
        }
        if address.port() == 80 {
            let bare: Vec<String> = hosts.iter().filter_map(|h| Some(h.strip_suffix(":80")?.to_string())).collect();
            hosts.extend(bare);
        }
        Self { hosts, cookie: format!("icefront_{}", address.port()), token }
    }

    /// What is wrong with a request, if anything.
    fn refusal(&self, request: &Request) -> Option<(StatusCode, &'static str)> {
        let headers = request.headers();
        let authority = request.uri().authority().map(|authority| authority.as_str());
        let host_ok = |host: &str| self.hosts.iter().any(|own| own.eq_ignore_ascii_case(host));
        if !only(headers, header::HOST).is_some_and(host_ok) || !authority.is_none_or(host_ok) {
            return Some((StatusCode::MISDIRECTED_REQUEST, "this page answers only under its own address"));
        }
        if !matches!(*request.method(), Method::GET | Method::HEAD | Method::POST) {
            return Some((StatusCode::METHOD_NOT_ALLOWED, "only GET, HEAD and POST are known here"));
        }
        let own_page = |origin: &str| origin.strip_prefix("http://").is_some_and(host_ok);
        if *request.method() == Method::POST && !only(headers, header::ORIGIN).is_some_and(own_page) {
            return Some((StatusCode::FORBIDDEN, "only this page itself may send something"));
        }
        match &self.token {
            Some(token) if !self.holds(headers, token) => {
                Some((StatusCode::FORBIDDEN, "open the whole link that `icefront page --share` shows, token included"))
            }
            _ => None,
        }
    }

    /// Whether the cookie has the token.
    fn holds(&self, headers: &HeaderMap, token: &str) -> bool {
        let cookies = headers.get_all(header::COOKIE).iter().filter_map(|value| value.to_str().ok());
        let mut pairs = cookies.flat_map(|line| line.split(';')).filter_map(|pair| pair.trim().split_once('='));
        pairs.any(|(name, value)| name == self.cookie && same(value, token))
    }

    /// A request with the token in its link gets the cookie, and the token leaves the address bar.
    fn welcome(&self, request: &Request) -> Option<Response> {
        let token = self.token.as_ref()?;
        let given = request.uri().query()?.split('&').find_map(|pair| pair.strip_prefix("token="))?;
        if *request.method() != Method::GET || !same(given, token) {
            return None;
        }
        // Lax, not Strict: a link followed from a message must work; changes are kept to this page by Origin
        let cookie = format!("{}={token}; Path=/; HttpOnly; SameSite=Lax", self.cookie);
        let mut response = Redirect::to("/").into_response();
        response.headers_mut().insert(header::SET_COOKIE, HeaderValue::from_str(&cookie).ok()?);
        Some(response)
    }
}

/// Lets a request through, or says why not; every answer carries the policies, and none takes for ever.
pub async fn check(State(guard): State<Arc<Guard>>, request: Request, next: Next) -> Response {
    let host_only = Guard { token: None, ..Guard::clone(&guard) };
    let mut response = match (host_only.refusal(&request), guard.welcome(&request), guard.refusal(&request)) {
        (Some(refusal), ..) | (None, None, Some(refusal)) => refused(refusal),
        (None, Some(welcome), _) => welcome,
        (None, None, None) => match tokio::time::timeout(LONGEST, next.run(request)).await {
            Ok(response) => response,
            Err(_) => (StatusCode::SERVICE_UNAVAILABLE, "that took too long").into_response(),
        },
    };
    for (name, value) in POLICIES {
        response.headers_mut().insert(name, HeaderValue::from_static(value));
    }
    response
}

/// Who is refused keeps no connection.
fn refused((status, words): (StatusCode, &'static str)) -> Response {
    (status, [(header::CONNECTION, "close")], words).into_response()
}

const POLICIES: [(HeaderName, &str); 7] = [
    (header::CONTENT_SECURITY_POLICY, CONTENT_POLICY),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::X_FRAME_OPTIONS, "DENY"),
    // with no-referrer a browser would send no Origin along with a form
    (header::REFERRER_POLICY, "same-origin"),
    (header::CACHE_CONTROL, "no-store"),
    (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
];

/// A header that is there exactly once.
fn only(headers: &HeaderMap, name: HeaderName) -> Option<&str> {
    let mut values = headers.get_all(name).iter();
    let value = values.next()?.to_str().ok()?;
    values.next().is_none().then_some(value)
}

/// Compares in constant time, so that the time says nothing of where two texts differ.
fn same(given: &str, token: &str) -> bool {
    let differ = given.bytes().zip(token.bytes()).fold(0, |differ, (a, b)| differ | (a ^ b));
    given.len() == token.len() && std::hint::black_box(differ) == 0
}

/// A fresh token, as hexadecimal digits.
pub fn fresh_token() -> Result<String, getrandom::Error> {
    let mut bytes = [0; TOKEN_BYTES];
    getrandom::fill(&mut bytes)?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::body::Body;

    fn guard(token: Option<&str>) -> Guard {
        Guard::new(SocketAddr::from(([127, 0, 0, 1], 8000)), token.map(String::from))
    }

    fn request(method: &str, headers: &[(&str, &str)]) -> Request {
        let builder = Request::builder().method(method).uri("/");
        headers.iter().fold(builder, |b, (name, value)| b.header(*name, *value)).body(Body::empty()).unwrap()
    }

    #[test]
    fn foreign_hosts_and_origins_are_refused() {
        let own = ("host", "127.0.0.1:8000");
        for (method, headers, status) in [
            ("GET", vec![own], None),
            ("GET", vec![("host", "LOCALHOST:8000")], None),
            ("GET", vec![], Some(421)),
            ("GET", vec![("host", "example.org")], Some(421)),
            ("GET", vec![("host", "127.0.0.1")], Some(421)),
            ("GET", vec![("host", "127.0.0.1:8001")], Some(421)),
            ("GET", vec![own, ("host", "example.org")], Some(421)),
            ("PUT", vec![own], Some(405)),
            ("POST", vec![own], Some(403)),
            ("POST", vec![own, ("origin", "null")], Some(403)),
            ("POST", vec![own, ("origin", "http://example.org")], Some(403)),
            ("POST", vec![own, ("origin", "https://127.0.0.1:8000")], Some(403)),
            ("POST", vec![own, ("origin", "http://127.0.0.1:8000")], None),
        ] {
            let refusal = guard(None).refusal(&request(method, &headers)).map(|(status, _)| status.as_u16());
            assert_eq!(refusal, status, "{method} {headers:?}");
        }
    }

    #[test]
    fn the_token_is_needed_whole() {
        let guard = guard(Some("0123abcd"));
        for (cookie, inside) in [
            ("icefront_8000=0123abcd", true),
            ("a=b; icefront_8000=0123abcd", true),
            ("icefront_8000=0123abc", false),
            ("icefront_8000=", false),
            ("icefront_80=0123abcd", false),
            ("0123abcd", false),
        ] {
            let sent = request("GET", &[("host", "127.0.0.1:8000"), ("cookie", cookie)]);
            assert_eq!(guard.refusal(&sent).is_none(), inside, "{cookie}");
        }
        assert!(guard.refusal(&request("GET", &[("host", "127.0.0.1:8000")])).is_some());
    }

    #[test]
    fn tokens_are_fresh() {
        let (first, second) = (fresh_token().unwrap(), fresh_token().unwrap());
        assert_ne!(first, second);
        assert_eq!(first.len(), 2 * TOKEN_BYTES);
    }
}
