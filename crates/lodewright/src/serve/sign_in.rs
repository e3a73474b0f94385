//! People sign in where a shop is served to more than its own machine: who they are, what their role lets them do, and the
//! list of what they changed.

mod words;

use std::net::SocketAddr;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use argon2::password_hash::{self, Output, PasswordHash, PasswordHasher, SaltString};
use argon2::{Algorithm, Argon2, Block, Params, Version};
use axum::Router;
use axum::extract::{ConnectInfo, Form, Query, Request, State};
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE, COOKIE, SET_COOKIE};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode};
use axum::middleware::{self, Next};
use axum::response::{Html, IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use shop::{Deed, Person, Role};
use tokio::time::timeout;
use utoipa::ToSchema;

use crate::desk::seconds_now;
use crate::problem::{Kind, Problem};
use crate::serve::Shared;
use crate::serve::pools::{self, ASKING, ENTERING};
use crate::serve::rates::{Rates, Watched};

/// A session lasts so long, s: a working day and the night after it.
const SESSION: i64 = 24 * 3600;
/// An invitation serves so long, s.
pub const INVITATION: i64 = 3 * 24 * 3600;
/// So many attempts to sign in may fail in so long, from one address and for one name: for a name more, since strangers
/// who guess from many addresses must not keep its owner out.
const FAILURES: usize = 8;
const FAILURES_OF_NAME: usize = 100;
const FAILURES_WITHIN: Duration = Duration::from_secs(15 * 60);
/// The most letters of a file's name that are noted.
const LONGEST_NAME: usize = 100;
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
    /// Attempts that failed or are under way, from addresses and for names.
    from: Rates,
    named: Rates,
    /// The memory of one password that is looked at, used again and again.
    blocks: Mutex<Vec<Block>>,
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
            from: Rates::new(FAILURES, FAILURES_WITHIN),
            named: Rates::new(FAILURES_OF_NAME, FAILURES_WITHIN),
            blocks: Mutex::default(),
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

/// The header in which a page says that it is the shop's own: what a foreign page cannot know or send.
pub const CHANGE_TOKEN: &str = "x-change-token";

/// Who is signed in, as the page is told.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct SignedIn {
    name: String,
    role: String,
    /// What every request that is no GET sends in `x-change-token`.
    change_token: String,
}

/// What a page of the session with that token sends with what it changes; the session cannot be told from it.
pub fn change_token(token: &str) -> String {
    let digest = Sha256::digest(format!("change {token}"));
    digest.iter().take(16).map(|byte| format!("{byte:02x}")).collect()
}

/// Somebody who tries to sign in.
struct Attempt {
    from: Watched,
    named: Watched,
    at: Instant,
}

impl Gate {
    /// Takes an attempt up, or says how many seconds are to be waited.
    fn begin(&self, attempt: &Attempt) -> Result<(), u32> {
        self.from.take(&attempt.from, attempt.at)?;
        self.named.take(&attempt.named, attempt.at).inspect_err(|_| {
            self.from.give_back(&attempt.from, attempt.at);
        })
    }

    /// An attempt that did not fail does not count.
    fn take_back(&self, attempt: &Attempt) {
        self.from.give_back(&attempt.from, attempt.at);
        self.named.give_back(&attempt.named, attempt.at);
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

/// Whether that is the password of a kept hash, worked out in the memory that is given.
fn is_password(kept: &str, password: &str, blocks: &mut Vec<Block>) -> password_hash::Result<bool> {
    let kept = PasswordHash::new(kept)?;
    let (Some(salt), Some(right)) = (kept.salt, kept.hash) else {
        return Ok(false);
    };
    let version = kept.version.map_or(Ok(Version::default()), Version::try_from)?;
    let argon2 = Argon2::new(Algorithm::try_from(kept.algorithm)?, version, Params::try_from(&kept)?);
    blocks.resize(argon2.params().block_count().max(blocks.len()), Block::new());
    let mut bytes = [0; 64];
    let salt = salt.decode_b64(&mut bytes)?;
    let found = Output::init_with(right.len(), |out| {
        Ok(argon2.hash_password_into_with_memory(password.as_bytes(), salt, out, &mut blocks[..])?)
    })?;
    // Both are compared whole, however early they differ.
    Ok(found == right)
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

/// Whether a program of this machine asks, for itself and not for somebody as a proxy does.
fn is_of_this_machine(request: &Request) -> bool {
    let peer = request.extensions().get::<ConnectInfo<SocketAddr>>();
    let passed_on = request.headers().keys().any(|name| {
        let name = name.as_str();
        name == "forwarded" || name == "via" || name.starts_with("x-forwarded-")
    });
    peer.is_some_and(|ConnectInfo(peer)| peer.ip().is_loopback()) && !passed_on
}

/// Lets in who is signed in, as far as the role goes, and notes what was changed.
pub async fn signed_in_only(State(gate): State<Arc<Gate>>, mut request: Request, next: Next) -> Response {
    let (path, query) = (
        request.uri().path().to_owned(),
        request.uri().query().map(str::to_owned),
    );
    // The page's own files tell nothing of the shop.
    let open = path.starts_with("/sign-in")
        || path == "/api/health"
        || path == "/api/metrics" && is_of_this_machine(&request)
        || !(path == "/" || path.starts_with("/api"));
    if open {
        return next.run(request).await;
    }
    let method = request.method().clone();
    let token = gate.token(request.headers());
    let person = match token.clone() {
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
    let change_token = change_token(&token.unwrap_or_default());
    let sent = request.headers().get(CHANGE_TOKEN).map(HeaderValue::as_bytes);
    if !matches!(method, Method::GET | Method::HEAD) && sent != Some(change_token.as_bytes()) {
        let detail = format!("the header {CHANGE_TOKEN} is not that of this session");
        return Problem::new(Kind::Refused, "not from this shop's page", detail)
            .hint("send what /api/shop tells as signed_in.change_token")
            .into_response();
    }
    request.extensions_mut().insert(SignedIn {
        name: person.name.clone(),
        role: person.role.name().into(),
        change_token,
    });
    let response = next.run(request).await;
    let changes = !matches!(method, Method::GET | Method::HEAD) && needed(&method, &path) > Role::Reader;
    if changes && response.status().is_success() {
        let named = query.as_deref().and_then(file_named).unwrap_or_default();
        note(&gate.desk, person.name, move |desk| {
            Ok(format!("{method} {path}{named}, revision {}", desk.shop.revision()?))
        })
        .await;
    }
    response
}

/// The name of the file that is imported, as it stands in an address. Nothing else of it is noted: it may name customers.
fn file_named(query: &str) -> Option<String> {
    let name = query.split('&').find_map(|part| part.strip_prefix("name="))?;
    Some(format!(" {}", name.chars().take(LONGEST_NAME).collect::<String>()))
}

/// Notes who did what; what cannot be noted is in the log.
async fn note(desk: &Shared, person: String, what: impl FnOnce(&Shared) -> Result<String, Problem> + Send + 'static) {
    let noted = pools::run(&ASKING, desk.clone(), move |desk, _| {
        let what = what(desk)?;
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
    // An attempt counts from its beginning, so that no more are under way at once than may fail.
    let attempt = Attempt {
        from: Watched::at(peer.ip()),
        named: Watched::Name(name.to_lowercase()),
        at: Instant::now(),
    };
    if let Err(seconds) = gate.begin(&attempt) {
        let minutes = seconds.div_ceil(60);
        let text = format!("Too many attempts have failed. Try again in {minutes} min.");
        let mut response = shown(&gate, StatusCode::TOO_MANY_REQUESTS, words::sign_in(Some(&text))).await;
        response.headers_mut().insert("retry-after", seconds.into());
        return response;
    }
    let (inside, typed) = (gate.clone(), name.clone());
    let entered = pools::run(&ENTERING, gate.desk.clone(), move |desk, _| {
        let kept = desk.shop.secret_of(&typed)?;
        let mut blocks = inside.blocks.lock().unwrap_or_else(PoisonError::into_inner);
        let looked = is_password(kept.as_deref().unwrap_or(&inside.nobody), &password, &mut blocks);
        let right = looked.map_err(fault)? && kept.is_some();
        right.then(|| begun(desk, &typed)).transpose()
    });
    let entered = entered.await;
    if !matches!(entered, Ok(None)) {
        gate.take_back(&attempt);
    }
    match entered {
        Ok(Some(token)) => {
            note(&gate.desk, name, |_| Ok("signed in".into())).await;
            let cookie = gate.cookie(&token, SESSION);
            ([(SET_COOKIE, cookie)], Redirect::to("/")).into_response()
        }
        Ok(None) => {
            let from = peer.ip();
            note(&gate.desk, String::new(), move |_| {
                Ok(format!("a sign-in failed from {from}"))
            })
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
    let joined = pools::run(&ENTERING, gate.desk.clone(), move |desk, _| {
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
            note(&gate.desk, name, |_| Ok("joined".into())).await;
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
