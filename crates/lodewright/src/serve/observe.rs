//! What a server tells of itself: a line in the log for each request, its health, and counts for a monitor.
//!
//! The log at its usual level holds methods, places and times, and no words of customers.

use std::fmt::Write;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Instant;

use axum::Json;
use axum::extract::{MatchedPath, Request, State};
use axum::http::StatusCode;
use axum::http::header::CONTENT_TYPE;
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use serde::Serialize;
use utoipa::ToSchema;

use crate::desk::VERSION;
use crate::problem::Problem;
use crate::serve::Shared;
use crate::serve::pools::{self, ASKING, DRAWING, ENTERING, FILES, RENEWING, SOLVING, STRANGERS};

/// Requests by the first digit of their status, and the time that they took, µs.
static REQUESTS: [AtomicU64; 6] = [const { AtomicU64::new(0) }; 6];
static MICROSECONDS: AtomicU64 = AtomicU64::new(0);

/// Counts and logs a request.
pub async fn counted(request: Request, next: Next) -> Response {
    let since = Instant::now();
    let method = request.method().clone();
    // The pattern of the place: what stands in it is the customer's.
    let place = request
        .extensions()
        .get::<MatchedPath>()
        .map_or_else(|| "a file of the page".to_owned(), |path| path.as_str().to_owned());
    let response = next.run(request).await;
    let status = response.status();
    let took = since.elapsed();
    let class = usize::from(status.as_u16() / 100);
    if let Some(count) = REQUESTS.get(class) {
        count.fetch_add(1, Ordering::Relaxed);
    }
    MICROSECONDS.fetch_add(u64::try_from(took.as_micros()).unwrap_or(u64::MAX), Ordering::Relaxed);
    let (status, ms) = (status.as_u16(), took.as_secs_f64() * 1e3);
    if class == 5 {
        tracing::warn!(%method, place, status, ms, "request");
    } else {
        tracing::info!(%method, place, status, ms, "request");
    }
    response
}

/// How a server is.
#[derive(Serialize, ToSchema)]
pub struct Health {
    /// `ok`, or what is wrong.
    status: String,
    version: String,
    /// Version of the form of the shop's data.
    schema: usize,
    /// Revision of the shelf.
    revision: Option<u64>,
    /// Whether the shop's file can be changed.
    writable: bool,
}

/// Whether the server is well: 200 where it can answer, 503 where its shop cannot be read.
#[utoipa::path(get, path = "/health", responses((status = 200, body = Health), (status = 503, body = Health), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn health(State(desk): State<Shared>) -> Result<Response, Problem> {
    pools::run(&ASKING, desk, |desk, _| {
        // What is held of a shelf does not say that its file can be read.
        let looked = desk.shop.look().map_err(Problem::from);
        let revision = looked.and_then(|()| desk.shelf()).map(|shelf| shelf.revision);
        let well = revision.is_ok();
        let health = Health {
            status: match &revision {
                Ok(_) => "ok".into(),
                Err(problem) => {
                    // Whoever asks need not have signed in: where the file lies is for the log.
                    tracing::warn!(%problem, "the shop cannot be read");
                    "the shop cannot be read; the log says why".into()
                }
            },
            version: VERSION.into(),
            schema: desk.shop.schema(),
            revision: revision.ok(),
            writable: desk.shop.is_writable().unwrap_or(false),
        };
        let status = if well {
            StatusCode::OK
        } else {
            StatusCode::SERVICE_UNAVAILABLE
        };
        Ok((status, Json(health)).into_response())
    })
    .await
}

/// Counts for a monitor, in the text form of Prometheus.
#[utoipa::path(get, path = "/metrics", responses((status = 200, body = String, content_type = "text/plain"), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn metrics() -> Response {
    let mut text = String::new();
    let mut line = |name: &str, labels: &str, value: String| {
        // Writing to a text does not fail.
        let _ = writeln!(text, "lodewright_{name}{labels} {value}");
    };
    for (class, count) in REQUESTS.iter().enumerate().skip(2) {
        let labels = format!("{{status=\"{class}xx\"}}");
        line("requests_total", &labels, count.load(Ordering::Relaxed).to_string());
    }
    let seconds = MICROSECONDS.load(Ordering::Relaxed) as f64 * 1e-6;
    line("request_seconds_total", "", seconds.to_string());
    let rooms = [
        (&ASKING, "asking"),
        (&STRANGERS, "strangers"),
        (&ENTERING, "entering"),
        (&RENEWING, "renewing"),
        (&DRAWING, "drawing"),
        (&SOLVING, "solving"),
        (&FILES, "files"),
    ];
    for (room, name) in rooms {
        let [running, waiting] = room.taken();
        line("running", &format!("{{room=\"{name}\"}}"), running.to_string());
        line("waiting", &format!("{{room=\"{name}\"}}"), waiting.to_string());
    }
    ([(CONTENT_TYPE, "text/plain; version=0.0.4; charset=utf-8")], text).into_response()
}
