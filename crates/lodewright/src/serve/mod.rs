//! The web server: the page, and the interface under `/api`.

mod bench_routes;
mod enquiry_routes;
mod field_routes;
mod lot_routes;
mod routes;
pub use routes::EXAMPLE;
mod shelf_routes;
mod wire;

use std::net::{IpAddr, SocketAddr};
use std::sync::Arc;

use axum::Router;
use axum::body::Body;
use axum::extract::{DefaultBodyLimit, Request};
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE, ETAG, IF_NONE_MATCH, REFERRER_POLICY, X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{HeaderValue, Method, StatusCode};
use axum::middleware::{self, Next};
use axum::response::{IntoResponse, Response};
use axum::routing::{any, get};
use tower_http::compression::CompressionLayer;
use tower_http::set_header::SetResponseHeaderLayer;
use utoipa::OpenApi;
use utoipa_axum::router::OpenApiRouter;
use utoipa_axum::routes;

use crate::desk::Desk;
use crate::problem::{Kind, Problem};

/// What every handler is given.
pub type Shared = Arc<Desk>;

/// Largest body of a question, bytes.
const MOST_QUESTION: usize = 256 << 10;
/// Largest price list, bytes.
const MOST_FILE: usize = 64 << 20;
/// What the page may load: nothing from elsewhere.
const POLICY: &str = "default-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; frame-ancestors 'none'; base-uri 'none'";

#[derive(OpenApi)]
#[openapi(
    info(
        title = "Lodewright",
        description = "From a customer's question to the magnet that will do. Quantities in requests are strings with a unit, such as \"2 kg\" or \"1/2 in\", or numbers in SI; every error has the form of `Problem`, as application/problem+json.",
        license(name = "Apache-2.0", identifier = "Apache-2.0")
    ),
    components(schemas(Problem))
)]
struct Described;

/// The program's interface with its description.
fn interface() -> OpenApiRouter<Shared> {
    let questions = OpenApiRouter::new()
        .routes(routes!(routes::shop))
        .routes(routes!(routes::start))
        .routes(routes!(routes::ask))
        .routes(routes!(enquiry_routes::enquiry))
        .routes(routes!(routes::open_answer))
        .routes(routes!(routes::candidate))
        .routes(routes!(routes::fitted))
        .routes(routes!(routes::item))
        .routes(routes!(routes::ladder))
        .routes(routes!(routes::ladder_start))
        .routes(routes!(routes::desk))
        .routes(routes!(routes::delete_answer))
        .routes(routes!(routes::restore_answer))
        .routes(routes!(routes::grades))
        .routes(routes!(field_routes::picture))
        .routes(routes!(field_routes::compute))
        .routes(routes!(field_routes::steel))
        .routes(routes!(bench_routes::fit))
        .routes(routes!(shelf_routes::list))
        .routes(routes!(shelf_routes::parts))
        .routes(routes!(shelf_routes::export))
        .routes(routes!(shelf_routes::undo))
        .routes(routes!(lot_routes::list_lots))
        .routes(routes!(lot_routes::take_lot, lot_routes::drop_lot))
        .layer(DefaultBodyLimit::max(MOST_QUESTION));
    let files = OpenApiRouter::new()
        .routes(routes!(shelf_routes::preview))
        .routes(routes!(shelf_routes::import))
        .layer(DefaultBodyLimit::max(MOST_FILE));
    // What is asked for now may be otherwise a moment later.
    let fresh = SetResponseHeaderLayer::if_not_present(CACHE_CONTROL, HeaderValue::from_static("no-store"));
    OpenApiRouter::with_openapi(Described::openapi())
        .nest("/api", questions.merge(files))
        .layer(fresh)
}

/// The description of the interface, OpenAPI 3.1.
pub fn description() -> utoipa::openapi::OpenApi {
    interface().into_openapi()
}

/// Page and interface for a shop. `loopback` refuses requests that come under a foreign host name.
pub fn app(desk: Shared, loopback: bool) -> Router {
    let (router, description) = interface().split_for_parts();
    let description = description.to_json().unwrap_or_default();
    let described = move || async move { ([(CONTENT_TYPE, "application/json")], description) };
    let mut app = router
        .route("/api/openapi.json", get(described))
        .route("/api/{*rest}", any(nowhere))
        .method_not_allowed_fallback(wrong_method)
        .fallback(page_file)
        .with_state(desk)
        .layer(CompressionLayer::new());
    if loopback {
        app = app.layer(middleware::from_fn(only_local));
    }
    app.layer(SetResponseHeaderLayer::if_not_present(
        CONTENT_SECURITY_POLICY,
        HeaderValue::from_static(POLICY),
    ))
    .layer(SetResponseHeaderLayer::if_not_present(
        X_CONTENT_TYPE_OPTIONS,
        HeaderValue::from_static("nosniff"),
    ))
    .layer(SetResponseHeaderLayer::if_not_present(
        REFERRER_POLICY,
        HeaderValue::from_static("no-referrer"),
    ))
}

/// A page elsewhere may not reach a local shop, neither under another name nor by a form of its own.
async fn only_local(request: Request, next: Next) -> Response {
    if is_local(&request) {
        return next.run(request).await;
    }
    Problem::new(Kind::Refused, "refused", "this shop answers on its own machine only")
        .hint("open it as http://127.0.0.1, or serve it with --listen for others")
        .into_response()
}

/// Whether a request names this machine as its host, and comes from a page of this machine.
fn is_local(request: &Request) -> bool {
    // A value that is no text is nobody's name.
    let header = |name| {
        request
            .headers()
            .get(name)
            .map(|v: &HeaderValue| v.to_str().unwrap_or_default())
    };
    let local = |authority: &str| {
        let host = authority
            .rsplit_once(':')
            .filter(|(_, port)| port.bytes().all(|b| b.is_ascii_digit()))
            .map_or(authority, |(h, _)| h);
        host == "localhost"
            || host
                .trim_matches(['[', ']'])
                .parse::<IpAddr>()
                .is_ok_and(|ip| ip.is_loopback())
    };
    let host_ok = header("host").is_none_or(local);
    let origin_ok = header("origin").is_none_or(|o| o.split_once("://").is_some_and(|(_, authority)| local(authority)));
    host_ok && origin_ok
}

async fn nowhere(request: Request) -> Problem {
    Problem::new(
        Kind::Absent,
        "no such place",
        format!("nothing is at {}", request.uri().path()),
    )
    .hint("the interface is described at /api/openapi.json")
}

async fn wrong_method(request: Request) -> Problem {
    let (method, path) = (request.method(), request.uri().path());
    Problem::new(Kind::Method, "no such method", format!("{path} does not take {method}"))
        .hint("the interface is described at /api/openapi.json")
}

async fn page_file(request: Request) -> Response {
    if !matches!(*request.method(), Method::GET | Method::HEAD) {
        return wrong_method(request).await.into_response();
    }
    let path = request.uri().path();
    let Some(asset) = page::file(path) else {
        return Problem::new(Kind::Absent, "no such place", format!("nothing is at {path}")).into_response();
    };
    let cache = if asset.immutable {
        "public, max-age=31536000, immutable"
    } else {
        "no-cache"
    };
    let fresh = request
        .headers()
        .get(IF_NONE_MATCH)
        .is_some_and(|tag| tag.as_bytes() == asset.etag.as_bytes());
    let headers = [
        (CONTENT_TYPE, asset.mime),
        (ETAG, asset.etag),
        (CACHE_CONTROL, cache.to_string()),
    ];
    if fresh {
        return (StatusCode::NOT_MODIFIED, headers).into_response();
    }
    (headers, Body::from(asset.bytes.into_owned())).into_response()
}

/// Serves a shop until the program is asked to stop; `ready` hears the address.
///
/// # Errors
/// When the address cannot be had.
pub fn serve(desk: Desk, address: SocketAddr, ready: impl FnOnce(SocketAddr)) -> Result<(), Problem> {
    let failed = |e: std::io::Error| {
        Problem::new(Kind::Internal, "the server", format!("cannot serve on {address}: {e}"))
            .hint("choose another port with --port, or 0 for any that is free")
    };
    let runtime = tokio::runtime::Runtime::new().map_err(failed)?;
    runtime.block_on(async {
        let listener = tokio::net::TcpListener::bind(address).await.map_err(failed)?;
        let at = listener.local_addr().map_err(failed)?;
        let app = app(Arc::new(desk), at.ip().is_loopback());
        ready(at);
        axum::serve(listener, app)
            .with_graceful_shutdown(asked_to_stop())
            .await
            .map_err(failed)
    })
}

async fn asked_to_stop() {
    let interrupt = tokio::signal::ctrl_c();
    #[cfg(unix)]
    {
        let terminate = async {
            match tokio::signal::unix::signal(tokio::signal::unix::SignalKind::terminate()) {
                Ok(mut signal) => signal.recv().await,
                Err(_) => std::future::pending().await,
            }
        };
        tokio::select! { _ = interrupt => {}, _ = terminate => {} }
    }
    #[cfg(not(unix))]
    let _ = interrupt.await;
}

#[cfg(test)]
mod tests;
