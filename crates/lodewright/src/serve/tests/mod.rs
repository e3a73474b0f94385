//! The interface as a router, without a socket.

mod attacks;
mod bench;
mod bench_kept;
mod bench_lots;
mod bench_probes;
mod bench_sessions;
mod budgets;
mod described;
mod enquiry;
mod errors;
mod guards;
mod main_job;
mod public;
mod shelf;
mod sign_in;

use axum::body::{Body, to_bytes};
use axum::http::header::CONTENT_TYPE;
use axum::http::{HeaderMap, Request, StatusCode};
use serde_json::{Value, json};
use shop::Shop;
use tower::ServiceExt;

use super::*;

/// Three items, one of them out of most reach.
const LIST: &str = "\
code,shape,diameter (mm),hole (mm),thickness (mm),grade,coating,stock,price 1,price 100
14-07,disc,15,,5,N42,Ni-Cu-Ni,1240,0.95,0.65
14-08,disc,15,,3,N42,Ni-Cu-Ni,40,0.60,
20-01,ring,20,10,5,Y30,none,,0.30,
";

/// What a server knows of its own address.
fn own(origin: Option<&str>, loopback: bool) -> Own {
    Own {
        declared: origin.map(|origin| origin.parse().unwrap()),
        declared_by: "--origin",
        loopback,
        proxies: Proxies::default(),
    }
}

/// What came back.
struct Reply {
    status: StatusCode,
    headers: HeaderMap,
    body: Vec<u8>,
}

impl Reply {
    fn header(&self, name: &str) -> &str {
        self.headers.get(name).and_then(|v| v.to_str().ok()).unwrap_or_default()
    }

    fn json(&self) -> Value {
        serde_json::from_slice(&self.body).unwrap_or_else(|e| panic!("{e} in {}", String::from_utf8_lossy(&self.body)))
    }

    /// The body of a reply that must be a success.
    #[track_caller]
    fn good(&self) -> Value {
        assert!(
            self.status.is_success(),
            "{} {}",
            self.status,
            String::from_utf8_lossy(&self.body)
        );
        self.json()
    }

    /// The problem of a reply that must be one, in the form of all of them.
    #[track_caller]
    fn problem(&self, status: u16) -> Value {
        let text = String::from_utf8_lossy(&self.body).into_owned();
        assert_eq!(self.status, status, "{text}");
        assert_eq!(self.header("content-type"), "application/problem+json", "{text}");
        let problem = self.json();
        assert_eq!(problem["status"], status, "{text}");
        for part in ["title", "detail"] {
            assert!(
                problem[part].as_str().is_some_and(|t| !t.is_empty()),
                "no {part} in {text}"
            );
        }
        for part in ["field", "span", "hint"] {
            assert!(problem.get(part).is_some(), "no {part} in {text}");
        }
        problem
    }
}

/// A server for a shop on this machine.
struct Server(Router);

impl Server {
    fn demo() -> Self {
        Self::of(shop::demo::in_memory().unwrap())
    }

    /// A shop with three items.
    async fn small() -> Self {
        let server = Self::of(Shop::in_memory().unwrap());
        let done = server
            .send("POST", "/api/shelf/import?name=list.csv", LIST)
            .await
            .good();
        assert_eq!((&done["new"], &done["revision"]), (&json!(3), &json!(1)));
        server
    }

    fn of(shop: Shop) -> Self {
        Self(app(Arc::new(Desk::new(shop)), own(None, true), None))
    }

    async fn request(&self, request: Request<Body>) -> Reply {
        let response = self.0.clone().oneshot(request).await.unwrap();
        let (parts, body) = response.into_parts();
        let body = to_bytes(body, usize::MAX).await.unwrap().to_vec();
        Reply {
            status: parts.status,
            headers: parts.headers,
            body,
        }
    }

    async fn send(&self, method: &str, uri: &str, body: impl Into<Body>) -> Reply {
        self.request(Request::builder().method(method).uri(uri).body(body.into()).unwrap())
            .await
    }

    async fn get(&self, uri: &str) -> Reply {
        self.send("GET", uri, Body::empty()).await
    }

    async fn post(&self, uri: &str, body: &Value) -> Reply {
        self.post_text(uri, body.to_string()).await
    }

    async fn json(&self, method: &str, uri: &str, body: &Value) -> Reply {
        let request = Request::builder()
            .method(method)
            .uri(uri)
            .header(CONTENT_TYPE, "application/json");
        self.request(request.body(body.to_string().into()).unwrap()).await
    }

    async fn post_text(&self, uri: &str, body: impl Into<Body>) -> Reply {
        let request = Request::builder()
            .method("POST")
            .uri(uri)
            .header(CONTENT_TYPE, "application/json");
        self.request(request.body(body.into()).unwrap()).await
    }

    async fn patch(&self, uri: &str, body: &Value) -> Reply {
        let request = Request::builder()
            .method("PATCH")
            .uri(uri)
            .header(CONTENT_TYPE, "application/json");
        self.request(request.body(body.to_string().into()).unwrap()).await
    }

    async fn ask(&self, words: &str) -> Value {
        self.post("/api/ask", &json!({ "words": words })).await.good()
    }
}

/// The UTF-16 code units from and to, as a page cuts them.
fn cut(text: &str, start: &Value, end: &Value) -> String {
    let units: Vec<u16> = text.encode_utf16().collect();
    let at = |v: &Value| usize::try_from(v.as_u64().unwrap()).unwrap();
    String::from_utf16(&units[at(start)..at(end)]).unwrap()
}
