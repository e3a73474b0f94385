//! The web server: the page, and the interface under `/api`.

mod bench_routes;
mod design_routes;
mod enquiry_routes;
mod entry_routes;
mod field_routes;
mod guard;
mod import_routes;
mod lesson_routes;
mod letter_routes;
mod link_routes;
mod listen;
mod lot_routes;
mod observe;
mod paper_routes;
mod parcel_routes;
mod pools;
mod proxies;
mod public;
mod quotation_routes;
mod rates;
mod routes;
pub use routes::EXAMPLE;
mod shelf_routes;
mod sign_in;
mod wire;

use std::net::{IpAddr, SocketAddr};
use std::sync::Arc;
use std::thread;
use std::time::Duration;

use axum::Router;
use axum::body::Body;
use axum::extract::{DefaultBodyLimit, Request};
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE, ETAG, HeaderName, IF_NONE_MATCH, REFERRER_POLICY,
    STRICT_TRANSPORT_SECURITY, X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{HeaderValue, Method, StatusCode};
use axum::middleware;
use axum::response::{IntoResponse, Response};
use axum::routing::{any, get};
use tower_http::compression::CompressionLayer;
use tower_http::set_header::SetResponseHeaderLayer;
use utoipa::OpenApi;
use utoipa_axum::router::OpenApiRouter;
use utoipa_axum::routes;

use crate::desk::{Desk, seconds_now};
use crate::problem::{Kind, Problem};
pub use guard::Origin;
use guard::Own;
use proxies::Proxies;
use public::Strangers;
use sign_in::Gate;
pub use sign_in::INVITATION;

/// What every handler is given.
pub type Shared = Arc<Desk>;

/// Largest body of a question, bytes.
const MOST_QUESTION: usize = 256 << 10;
/// Largest price list, bytes.
const MOST_FILE: usize = 64 << 20;
/// What the page may load: nothing from elsewhere.
const POLICY: &str = "default-src 'self'; img-src 'self' data: blob:; object-src 'none'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'";

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
        .routes(routes!(letter_routes::reply_to_answer))
        .routes(routes!(letter_routes::reply_to_enquiry))
        .routes(routes!(letter_routes::ask_back))
        .routes(routes!(paper_routes::answer_paper))
        .routes(routes!(routes::ask_again))
        .routes(routes!(paper_routes::item_paper))
        .routes(routes!(link_routes::keep_link))
        .routes(routes!(link_routes::open_link))
        .routes(routes!(link_routes::link_again))
        .routes(routes!(
            quotation_routes::make_quotation,
            quotation_routes::list_quotations
        ))
        .routes(routes!(
            quotation_routes::open_quotation,
            quotation_routes::reissue_quotation
        ))
        .routes(routes!(quotation_routes::quotation_paper))
        .routes(routes!(quotation_routes::quotation_workbook))
        .routes(routes!(entry_routes::list_entries, entry_routes::file_entry))
        .routes(routes!(entry_routes::purge_entries))
        .routes(routes!(entry_routes::change_entry, entry_routes::delete_entry))
        .routes(routes!(entry_routes::change_entry_of_answer))
        .routes(routes!(entry_routes::restore_entry))
        .routes(routes!(entry_routes::missed_demand))
        .routes(routes!(entry_routes::hand_over_customer, entry_routes::forget_customer))
        .routes(routes!(design_routes::design))
        .routes(routes!(parcel_routes::parcel))
        .routes(routes!(parcel_routes::parcel_paper))
        .routes(routes!(lesson_routes::list_lessons, lesson_routes::keep_lesson))
        .routes(routes!(lesson_routes::open_lesson, lesson_routes::remove_lesson))
        .routes(routes!(lesson_routes::lesson_text))
        .routes(routes!(paper_routes::lesson_paper))
        .routes(routes!(paper_routes::enquiry_paper))
        .routes(routes!(routes::item))
        .routes(routes!(routes::ladder))
        .routes(routes!(routes::ladder_start))
        .routes(routes!(paper_routes::ladder_paper))
        .routes(routes!(routes::desk))
        .routes(routes!(routes::delete_answer))
        .routes(routes!(routes::restore_answer))
        .routes(routes!(routes::grades))
        .routes(routes!(field_routes::picture))
        .routes(routes!(field_routes::compute))
        .routes(routes!(field_routes::steel))
        .routes(routes!(bench_routes::fit))
        .routes(routes!(bench_routes::overview))
        .routes(routes!(bench_routes::probe_start))
        .routes(routes!(bench_routes::put_probe, bench_routes::remove_probe))
        .routes(routes!(bench_routes::restore_probe))
        .routes(routes!(bench_routes::usual_probe))
        .routes(routes!(bench_routes::begin))
        .routes(routes!(
            bench_routes::session,
            bench_routes::change,
            bench_routes::remove_session
        ))
        .routes(routes!(bench_routes::restore_session))
        .routes(routes!(bench_routes::add_reading))
        .routes(routes!(bench_routes::take_back))
        .routes(routes!(bench_routes::restore_reading))
        .routes(routes!(bench_routes::stand))
        .routes(routes!(bench_routes::expected))
        .routes(routes!(bench_routes::found))
        .routes(routes!(bench_routes::keep))
        .routes(routes!(bench_routes::remove_kept))
        .routes(routes!(bench_routes::restore_kept))
        .routes(routes!(bench_routes::grade))
        .routes(routes!(bench_routes::plan))
        .routes(routes!(bench_routes::meter))
        .routes(routes!(bench_routes::inspection))
        .routes(routes!(bench_routes::note_verdict, bench_routes::take_verdict_back))
        .routes(routes!(bench_routes::measured))
        .routes(routes!(bench_routes::measured_file))
        .routes(routes!(bench_routes::export_readings))
        .routes(routes!(shelf_routes::list))
        .routes(routes!(shelf_routes::parts))
        .routes(routes!(shelf_routes::goods))
        .routes(routes!(shelf_routes::export))
        .routes(routes!(
            import_routes::form,
            import_routes::put,
            import_routes::take_off
        ))
        .routes(routes!(shelf_routes::undo))
        .routes(routes!(shelf_routes::redo))
        .routes(routes!(observe::health))
        .routes(routes!(observe::metrics))
        .routes(routes!(lot_routes::list_lots))
        .routes(routes!(lot_routes::take_lot, lot_routes::drop_lot))
        .layer(DefaultBodyLimit::max(MOST_QUESTION));
    let files = OpenApiRouter::new()
        .routes(routes!(import_routes::preview))
        .routes(routes!(import_routes::import))
        .routes(routes!(bench_routes::import_readings))
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

/// Page and interface for a shop, for the pages of its own address; behind a gate, for those who have signed in.
pub fn app(desk: Shared, own: Own, gate: Option<Arc<Gate>>) -> Router {
    let (router, description) = interface().split_for_parts();
    let description = description.to_json().unwrap_or_default();
    let described = move || async move { ([(CONTENT_TYPE, "application/json")], description) };
    let mut router = router
        .route("/api/openapi.json", get(described))
        .route("/papers/{id}", get(link_routes::page))
        .route("/api/{*rest}", any(nowhere))
        .method_not_allowed_fallback(wrong_method)
        .fallback(page_file)
        .with_state(desk)
        .layer(CompressionLayer::new());
    if let Some(gate) = gate {
        router = router
            .merge(sign_in::pages(gate.clone()))
            .layer(middleware::from_fn_with_state(gate, sign_in::signed_in_only));
    }
    guarded(router, own, POLICY, "same-origin")
}

/// The public side, in a frame of those sites only; `origin` is the address that people type, where that is another than theirs.
fn public_app(strangers: Strangers, sites: &[Origin], origin: Option<Origin>, proxies: Proxies) -> Router {
    let sites: Vec<&str> = sites.iter().map(Origin::text).collect();
    let frame = if sites.is_empty() {
        "'none'".into()
    } else {
        sites.join(" ")
    };
    let policy =
        format!("default-src 'self'; object-src 'none'; form-action 'self'; base-uri 'none'; frame-ancestors {frame}");
    let own = Own {
        declared: origin,
        declared_by: "--public-origin",
        loopback: false,
        proxies,
    };
    guarded(public::router(strangers), own, &policy, "cross-origin")
}

/// A router behind what every request passes: the look at where it comes from, the count, the headers; `loaded_by` says whose pages may
/// load its files.
fn guarded(router: Router, own: Own, policy: &str, loaded_by: &str) -> Router {
    let secure = own.declared.as_ref().is_some_and(Origin::is_secure);
    let proxies = own.proxies.clone();
    let mut router = router
        .layer(middleware::from_fn_with_state(Arc::new(own), guard::own_pages_only))
        .layer(middleware::from_fn_with_state(proxies, proxies::sender_named))
        .layer(middleware::from_fn(observe::counted));
    let always = [
        (CONTENT_SECURITY_POLICY, policy),
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (REFERRER_POLICY, "same-origin"),
        (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
        (HeaderName::from_static("cross-origin-resource-policy"), loaded_by),
    ];
    let tls = (STRICT_TRANSPORT_SECURITY, "max-age=31536000");
    for (name, value) in always.into_iter().chain(secure.then_some(tls)) {
        if let Ok(value) = HeaderValue::from_str(value) {
            router = router.layer(SetResponseHeaderLayer::if_not_present(name, value));
        }
    }
    router
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

/// Where and how a shop is served.
#[derive(Clone, Debug)]
pub struct Serving {
    /// The address of the owner's side.
    pub address: SocketAddr,
    /// The origin under which people reach it, where that is another.
    pub origin: Option<Origin>,
    /// The public side, where there is one.
    pub public: Option<Public>,
    /// The addresses of the proxies that stand before either side.
    pub proxies: Vec<IpAddr>,
    /// Whether people sign in even on this machine; they do always where it is served to others.
    pub sign_in: bool,
}

/// Where and how the public side of a shop is served.
#[derive(Clone, Debug)]
pub struct Public {
    /// Its address.
    pub address: SocketAddr,
    /// The origin under which people reach it, where that is another.
    pub origin: Option<Origin>,
    /// The sites whose pages may show its ask box in a frame.
    pub frames: Vec<Origin>,
}

impl Serving {
    /// Whether people sign in.
    pub fn is_gated(&self) -> bool {
        self.sign_in || self.origin.is_some() || !self.address.ip().is_loopback()
    }
}

/// Serves a shop until the program is asked to stop; `ready` hears the addresses, that of the owner's side first.
///
/// # Errors
/// When an address cannot be had.
pub fn serve(desk: Desk, serving: Serving, ready: impl FnOnce(&[SocketAddr])) -> Result<(), Problem> {
    let desk = Arc::new(desk);
    let keeping = desk.clone();
    let secure = serving.origin.as_ref().is_some_and(Origin::is_secure);
    let gate = match serving.is_gated() {
        true => Some(Arc::new(Gate::new(desk.clone(), secure)?)),
        false => None,
    };
    let proxies = Proxies::new(serving.proxies);
    let (before_public, passed_on) = (proxies.clone(), proxies.clone());
    keep_to_age(&desk);
    let owner = listen::Side {
        address: serving.address,
        app: Box::new(move |at: SocketAddr| {
            let own = Own {
                declared: serving.origin,
                declared_by: "--origin",
                loopback: at.ip().is_loopback(),
                proxies,
            };
            app(desk, own, gate)
        }),
    };
    let mut sides = vec![owner];
    if let Some(Public {
        address,
        origin,
        frames,
    }) = serving.public
    {
        let strangers = Strangers::new(keeping)?;
        sides.push(listen::Side {
            address,
            app: Box::new(move |_| public_app(strangers, &frames, origin, before_public)),
        });
    }
    listen::serve(sides, passed_on, ready)
}

/// How often it is looked whether something is older than the shop keeps things.
const AGE_EVERY: Duration = Duration::from_secs(6 * 3600);

/// Purges what is older than the shop keeps things, now and every few hours, as long as the desk is there.
fn keep_to_age(desk: &Shared) {
    let desk = Arc::downgrade(desk);
    let look = move || {
        while let Some(desk) = desk.upgrade() {
            match desk.purge_by_age(seconds_now()) {
                Ok(purged) if purged.entries + purged.answers > 0 => {
                    tracing::info!(purged.entries, purged.answers, "purged by age");
                }
                Ok(_) => {}
                Err(problem) => tracing::warn!(%problem, "what is too old could not be purged"),
            }
            drop(desk);
            thread::sleep(AGE_EVERY);
        }
    };
    if let Err(error) = thread::Builder::new().name("age".into()).spawn(look) {
        tracing::warn!(%error, "nobody looks at what is too old");
    }
}

#[cfg(test)]
mod tests;
