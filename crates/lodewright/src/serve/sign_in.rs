//! People sign in where a shop is served to more than its own machine: who they are, what their role lets them do, and the
//! list of what they changed.

mod words;

use std::net::SocketAddr;
use std::sync::Arc;
use std::time::{Duration, Instant};

use argon2::Argon2;
use argon2::password_hash::{PasswordHash, PasswordHasher, PasswordVerifier, SaltString};
use axum::Router;
use axum::extract::{ConnectInfo, Form, Query, Request, State};
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE, COOKIE, SET_COOKIE};
use axum::http::{HeaderMap, Method, StatusCode};
use axum::middleware::{self, Next};
use axum::response::{Html, IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use serde::Deserialize;
use shop::{Deed, Person, Role};
use tokio::time::timeout;

use crate::desk::seconds_now;
use crate::problem::{Kind, Problem};
use crate::serve::Shared;
use crate::serve::pools::{self, ASKING};
use crate::serve::rates::{Rates, Watched};

/// A session lasts so long, s: a working day and the night after it.
const SESSION: i64 = 24 * 3600;
/// An invitation serves so long, s.
pub const INVITATION: i64 = 3 * 24 * 3600;
/// So many attempts to sign in may fail in so long, from one address and for one name each.
const FAILURES: usize = 8;
const FAILURES_WITHIN: Duration = Duration::from_secs(15 * 60);
/// A form must have come, and been answered, within so long.
const FORM_WITHIN: Duration = Duration::from_secs(30);
/// The shortest and longest password, characters.
const SHORTEST: usize = 10;
const LONGEST: usize = 200;

/// What stands before a shop that is served to others.
pub struct Gate {
    desk: Shared,
    /// Whether people reach it through TLS.
    secure: bool,
    /// Attempts that failed.
    attempts: Rates,
    /// A hash of no password, so that an unknown name takes as long as a known one.
    nobody: String,
}

impl Gate {
    /// The gate of a shop.
    ///
    /// # Errors
    /// When there is no randomness to be had.
    pub fn new(desk: Shared, secure: bool) -> Result<Self, Problem> {
        let nobody = hashed(&desk, &desk.shop.token()?)?;
        Ok(Self {
            desk,
            secure,
            attempts: Rates::new(FAILURES, FAILURES_WITHIN),
            nobody,
        })
    }

    fn cookie_name(&self) -> &'static str {
        // The prefix lets a browser refuse one that another name has set; it wants TLS.
        if self.secure { "__Host-lodewright" } else { "lodewright" }
    }

    fn cookie(&self, token: &str, seconds: i64) -> String {
        let secure = if self.secure { "; Secure" } else { "" };
        format!(
            "{}={token}; Path=/; HttpOnly; SameSite=Strict; Max-Age={seconds}{secure}",
            self.cookie_name()
        )
    }

    fn token(&self, headers: &HeaderMap) -> Option<String> {
        let cookies = headers.get_all(COOKIE).iter().filter_map(|value| value.to_str().ok());
        cookies
            .flat_map(|value| value.split(';'))
            .filter_map(|cookie| cookie.trim().split_once('='))
            .find(|(name, _)| *name == self.cookie_name())
            .map(|(_, token)| token.to_owned())
    }
}

fn fault(error: impl std::fmt::Display) -> Problem {
    Problem::new(Kind::Internal, "the password", format!("it cannot be kept: {error}"))
}

/// A password as it is kept.
fn hashed(desk: &Shared, password: &str) -> Result<String, Problem> {
    let salt = desk.shop.token()?;
    let salt = SaltString::encode_b64(salt.get(..16).unwrap_or(&salt).as_bytes()).map_err(fault)?;
    let hash = Argon2::default()
        .hash_password(password.as_bytes(), &salt)
        .map_err(fault)?;
    Ok(hash.to_string())
}

fn is_password(kept: &str, password: &str) -> bool {
    PasswordHash::new(kept).is_ok_and(|kept| Argon2::default().verify_password(password.as_bytes(), &kept).is_ok())
}

/// The least role that may do this.
fn needed(method: &Method, path: &str) -> Role {
    if matches!(*method, Method::GET | Method::HEAD) {
        return match path {
            "/api/shelf/export" | "/api/metrics" | "/api/entries" | "/api/customers" | "/api/missed" => Role::Adviser,
            _ if path.starts_with("/api/quotations") => Role::Adviser,
            _ => Role::Reader,
        };
    }
    let owners = [
        "/api/shelf/",
        "/api/lots/",
        "/api/settings",
        "/api/grades",
        "/api/customers",
        "/api/entries/purge",
    ];
    let readers = [
        "/api/ask",
        "/api/enquiry",
        "/api/ladder",
        "/api/field/",
        "/api/reply",
        "/api/shelf/preview",
        "/api/bench/plan",
        "/api/bench/fit",
    ];
    // What is worked out of a session of the bench changes nothing.
    let worked_out = path.starts_with("/api/bench/sessions/")
        && *method == Method::POST
        && (path.ends_with("/expected") || path.ends_with("/inspection"));
    if worked_out || readers.iter().any(|open| path.starts_with(open)) {
        Role::Reader
    } else if owners.iter().any(|own| path.starts_with(own)) {
        Role::Owner
    } else {
        Role::Adviser
    }
}

/// Lets in who is signed in, as far as the role goes, and notes what was changed.
pub async fn signed_in_only(State(gate): State<Arc<Gate>>, request: Request, next: Next) -> Response {
    let path = request.uri().path().to_owned();
    // The page's own files tell nothing of the shop.
    let open = path.starts_with("/sign-in") || path == "/api/health" || !(path == "/" || path.starts_with("/api"));
    if open {
        return next.run(request).await;
    }
    let method = request.method().clone();
    let person = match gate.token(request.headers()) {
        Some(token) => {
            let found = pools::run(&ASKING, gate.desk.clone(), move |desk, _| {
                Ok(desk.shop.signed_in(&token, seconds_now())?)
            });
            match found.await {
                Ok(person) => person,
                Err(problem) => return problem.into_response(),
            }
        }
        None => None,
    };
    let Some(person) = person else {
        if path == "/" {
            return Redirect::to("/sign-in").into_response();
        }
        return Problem::new(
            Kind::Unknown,
            "not signed in",
            "this shop answers those who have signed in",
        )
        .hint("sign in at /sign-in")
        .into_response();
    };
    let least = needed(&method, &path);
    if person.role < least {
        let detail = format!(
            "{} is {} of the shop, this needs the {}",
            person.name,
            person.role.name(),
            least.name()
        );
        return Problem::new(Kind::Refused, "not allowed", detail)
            .hint("ask the shop's owner")
            .into_response();
    }
    let response = next.run(request).await;
    let changes = !matches!(method, Method::GET | Method::HEAD) && needed(&method, &path) > Role::Reader;
    if changes && response.status().is_success() {
        note(&gate.desk, person.name, format!("{method} {path}")).await;
    }
    response
}

/// Notes who did what; what cannot be noted is in the log.
async fn note(desk: &Shared, person: String, what: String) {
    let noted = pools::run(&ASKING, desk.clone(), move |desk, _| {
        Ok(desk.shop.note_deed(&Deed {
            at: seconds_now(),
            person,
            what,
        })?)
    });
    if let Err(problem) = noted.await {
        tracing::warn!(%problem, "who did what is not noted");
    }
}

/// The pages on which people sign in.
pub fn pages(gate: Arc<Gate>) -> Router {
    let style = || async { ([(CONTENT_TYPE, "text/css")], include_str!("sign_in/page.css")) };
    Router::new()
        .route("/sign-in", get(form).post(enter))
        .route("/sign-in/join", get(invitation).post(join))
        .route("/sign-in/leave", post(leave))
        .route("/sign-in.css", get(style))
        .layer(middleware::from_fn(soon))
        .with_state(gate)
}

/// Gives a form up that does not come.
async fn soon(request: Request, next: Next) -> Response {
    timeout(FORM_WITHIN, next.run(request)).await.unwrap_or_else(|_| {
        let detail = format!("the form did not come within {} s", FORM_WITHIN.as_secs());
        Problem::new(Kind::Slow, "the form was not received", detail)
            .hint("send it again")
            .into_response()
    })
}

async fn shown(gate: &Gate, status: StatusCode, body: words::Html) -> Response {
    let name = pools::run(&ASKING, gate.desk.clone(), |desk, _| Ok(desk.shop.settings()?.name));
    match name.await {
        Ok(name) => (status, [(CACHE_CONTROL, "no-store")], Html(words::page(&name, &body))).into_response(),
        Err(problem) => problem.into_response(),
    }
}

async fn form(State(gate): State<Arc<Gate>>, headers: HeaderMap) -> Response {
    let known = match gate.token(&headers) {
        Some(token) => {
            let found = pools::run(&ASKING, gate.desk.clone(), move |desk, _| {
                Ok(desk.shop.signed_in(&token, seconds_now())?)
            });
            found.await.ok().flatten()
        }
        None => None,
    };
    let body = known.map_or_else(|| words::sign_in(None), |person| words::signed_in(&person));
    shown(&gate, StatusCode::OK, body).await
}

/// What is typed to sign in.
#[derive(Deserialize)]
struct Entering {
    name: String,
    password: String,
}

async fn enter(
    State(gate): State<Arc<Gate>>,
    ConnectInfo(peer): ConnectInfo<SocketAddr>,
    Form(Entering { name, password }): Form<Entering>,
) -> Response {
    let watched = [Watched::at(peer.ip()), Watched::Name(name.to_lowercase())];
    if let Some(seconds) = gate.attempts.wait(&watched, Instant::now()) {
        let minutes = seconds.div_ceil(60);
        let text = format!("Too many attempts have failed. Try again in {minutes} min.");
        let mut response = shown(&gate, StatusCode::TOO_MANY_REQUESTS, words::sign_in(Some(&text))).await;
        response.headers_mut().insert("retry-after", seconds.into());
        return response;
    }
    let (inside, typed) = (gate.clone(), name.clone());
    let entered = pools::run(&ASKING, gate.desk.clone(), move |desk, _| {
        let kept = desk.shop.secret_of(&typed)?;
        let right = is_password(kept.as_deref().unwrap_or(&inside.nobody), &password) && kept.is_some();
        right.then(|| begun(desk, &typed)).transpose()
    });
    match entered.await {
        Ok(Some(token)) => {
            note(&gate.desk, name, "signed in".into()).await;
            let cookie = gate.cookie(&token, SESSION);
            ([(SET_COOKIE, cookie)], Redirect::to("/")).into_response()
        }
        Ok(None) => {
            gate.attempts.note(&watched, Instant::now());
            note(
                &gate.desk,
                String::new(),
                format!("a sign-in failed from {}", peer.ip()),
            )
            .await;
            let text = "Name or password is not right.";
            shown(&gate, StatusCode::UNAUTHORIZED, words::sign_in(Some(text))).await
        }
        Err(problem) => problem.into_response(),
    }
}

/// Begins a session and gives its token.
fn begun(desk: &Shared, name: &str) -> Result<String, Problem> {
    let (token, now) = (desk.shop.token()?, seconds_now());
    desk.shop.begin_session(&token, name, now, now + SESSION)?;
    Ok(token)
}

/// The token of an invitation, in its link.
#[derive(Deserialize)]
struct Invited {
    #[serde(default)]
    token: String,
}

async fn invitation(State(gate): State<Arc<Gate>>, Query(Invited { token }): Query<Invited>) -> Response {
    let asked = token.clone();
    let person = pools::run(&ASKING, gate.desk.clone(), move |desk, _| {
        Ok(desk.shop.invited(&asked, seconds_now())?)
    });
    match person.await {
        Ok(Some(person)) => shown(&gate, StatusCode::OK, words::join(&person, &token, SHORTEST, None)).await,
        Ok(None) => shown(&gate, StatusCode::NOT_FOUND, words::no_invitation()).await,
        Err(problem) => problem.into_response(),
    }
}

/// What somebody who was invited chooses.
#[derive(Deserialize)]
struct Joining {
    token: String,
    password: String,
}

async fn join(State(gate): State<Arc<Gate>>, Form(Joining { token, password }): Form<Joining>) -> Response {
    let joined = pools::run(&ASKING, gate.desk.clone(), move |desk, _| {
        let Some(person) = desk.shop.invited(&token, seconds_now())? else {
            return Ok(Err(words::no_invitation()));
        };
        if !(SHORTEST..=LONGEST).contains(&password.chars().count()) {
            let text = format!("A password has {SHORTEST} to {LONGEST} letters.");
            return Ok(Err(words::join(&person, &token, SHORTEST, Some(&text))));
        }
        let secret = hashed(desk, &password)?;
        let Some(Person { name, .. }) = desk.shop.join(&token, &secret, seconds_now())? else {
            return Ok(Err(words::no_invitation()));
        };
        Ok(Ok((begun(desk, &name)?, name)))
    });
    match joined.await {
        Ok(Ok((token, name))) => {
            note(&gate.desk, name, "joined".into()).await;
            let cookie = gate.cookie(&token, SESSION);
            ([(SET_COOKIE, cookie)], Redirect::to("/")).into_response()
        }
        Ok(Err(body)) => shown(&gate, StatusCode::UNPROCESSABLE_ENTITY, body).await,
        Err(problem) => problem.into_response(),
    }
}

async fn leave(State(gate): State<Arc<Gate>>, headers: HeaderMap) -> Response {
    if let Some(token) = gate.token(&headers) {
        let ended = pools::run(&ASKING, gate.desk.clone(), move |desk, _| {
            Ok(desk.shop.end_session(&token)?)
        });
        if let Err(problem) = ended.await {
            return problem.into_response();
        }
    }
    ([(SET_COOKIE, gate.cookie("", 0))], Redirect::to("/sign-in")).into_response()
}
