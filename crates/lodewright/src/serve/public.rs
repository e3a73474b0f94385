//! The public side: strangers ask, open answers by their link, and read the lessons and sheets that the shop releases. It reads the shop as it stood a moment ago and cannot change
//! it; a question is kept only where whoever asks wants that.

mod answers;
mod pages;
mod released;
mod sight;
mod words;

use std::net::SocketAddr;
use std::sync::Arc;
use std::time::{Duration, Instant};

use axum::Router;
use axum::body::{Bytes, to_bytes};
use axum::extract::{ConnectInfo, DefaultBodyLimit, State};
use axum::http::StatusCode;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE, RETRY_AFTER};
use axum::middleware;
use axum::response::{IntoResponse, Response};
use axum::routing::{any, get, post};
use numerics::stop::Stop;
use serde::Deserialize;

use crate::desk::{Asker, Desk, Wish};
use crate::problem::{Kind, Problem};
use crate::serve::Shared;
use crate::serve::link_routes;
use crate::serve::pools::{self, RENEWING, STRANGERS};
use crate::serve::rates::{Rates, Watched};
use crate::serve::wire::{At, Body};
use sight::{Sight, Sights};
use words::PublicAnswer;

/// Largest body of a question, bytes, and longest question, characters.
const MOST_BODY: usize = 16 << 10;
const LONGEST: usize = 2_000;
/// So many questions in so long from one address.
const QUESTIONS: usize = 20;
const QUESTIONS_WITHIN: Duration = Duration::from_secs(60);
/// So many questions are kept in so long from one address.
const KEPT: usize = 10;
const KEPT_WITHIN: Duration = Duration::from_secs(24 * 3600);

/// So many answers, papers, lessons and sheets are opened in so long from one address.
const OPENED: usize = 120;
const OPENED_WITHIN: Duration = Duration::from_secs(60);

/// What the public side has of the shop.
pub struct Strangers {
    /// The shop as it stood a moment ago.
    sights: Sights,
    /// The shop, for what whoever asks wants to be kept.
    keeping: Shared,
    asked: Rates,
    kept: Rates,
    opened: Rates,
}

impl Strangers {
    /// The public side of a shop, by a desk that can keep an answer.
    ///
    /// # Errors
    /// When the shop cannot be read.
    pub fn new(keeping: Shared) -> Result<Self, Problem> {
        Ok(Self {
            sights: Sights::of(&keeping.shop)?,
            keeping,
            asked: Rates::new(QUESTIONS, QUESTIONS_WITHIN),
            kept: Rates::new(KEPT, KEPT_WITHIN),
            opened: Rates::new(OPENED, OPENED_WITHIN),
        })
    }

    /// Counts that somebody opens something.
    ///
    /// # Errors
    /// When they have done so too often.
    fn count_opened(&self, peer: SocketAddr) -> Result<(), Problem> {
        count(
            &self.opened,
            peer,
            Instant::now(),
            "that many answers, lessons and sheets",
        )
    }

    /// The shop as it stood a moment ago; where it may have changed since, it is looked at anew meanwhile.
    fn sight(self: &Arc<Self>) -> Arc<Sight> {
        if self.sights.is_due(Instant::now()) {
            let strangers = self.clone();
            tokio::spawn(async move {
                let work = strangers.clone();
                let renewed = pools::run(&RENEWING, strangers.keeping.clone(), move |_, stop| {
                    work.sights.renew(stop)
                });
                if let Err(problem) = renewed.await.or_else(not_busy) {
                    tracing::warn!(%problem, "the public side still sees the shop as it was");
                }
            });
        }
        self.sights.now()
    }
}

/// Where somebody is at it already, nothing is wrong.
fn not_busy(problem: Problem) -> Result<(), Problem> {
    if problem.status == 503 { Ok(()) } else { Err(problem) }
}

/// The page of the public side and the little that it asks for.
pub fn router(strangers: Strangers) -> Router {
    Router::new()
        .route("/", get(page))
        .route("/answers/{id}", get(page))
        .route("/ask.css", get(|| file("text/css", include_str!("public/ask.css"))))
        .route(
            "/ask.js",
            get(|| file("text/javascript", include_str!("public/ask.js"))),
        )
        .route(
            "/embed.js",
            get(|| file("text/javascript", include_str!("public/embed.js"))),
        )
        .route("/api/ask", post(ask))
        .route("/api/answers/{id}", get(answer))
        .merge(released::router())
        .route("/papers/{id}", get(paper))
        .fallback(any(super::nowhere))
        .method_not_allowed_fallback(super::wrong_method)
        .layer(DefaultBodyLimit::max(MOST_BODY))
        .layer(middleware::map_response(without_inner_matters))
        .with_state(Arc::new(strangers))
}

/// What is wrong with the shop is for its people: it goes to the log, and strangers are told that it is so.
async fn without_inner_matters(response: Response) -> Response {
    let status = response.status();
    if !status.is_server_error() {
        return response;
    }
    let wait = response.headers().get(RETRY_AFTER).cloned();
    let told = to_bytes(response.into_body(), MOST_BODY).await.unwrap_or_default();
    tracing::warn!(problem = %String::from_utf8_lossy(&told), "strangers could not be answered");
    let kind = match status {
        StatusCode::SERVICE_UNAVAILABLE => Kind::Busy,
        _ => Kind::Internal,
    };
    let problem = Problem::new(kind, "not now", "the shop cannot answer at the moment").hint("try again in a while");
    let mut response = problem.into_response();
    if let Some(wait) = wait {
        response.headers_mut().insert(RETRY_AFTER, wait);
    }
    response
}

/// The page; it leads to the lessons where some are released.
async fn page(State(strangers): State<Arc<Strangers>>) -> Result<impl IntoResponse, Problem> {
    let shelf = strangers.sight().desk.shelf()?;
    let lessons = match shelf.settings.public_lessons.is_some() {
        true => include_str!("public/lessons.html"),
        false => "",
    };
    let text = include_str!("public/ask.html").replace("{lessons}", lessons);
    Ok((
        [(CONTENT_TYPE, "text/html; charset=utf-8"), (CACHE_CONTROL, "no-cache")],
        text,
    ))
}

async fn file(kind: &'static str, text: &'static str) -> impl IntoResponse {
    ([(CONTENT_TYPE, kind), (CACHE_CONTROL, "no-cache")], text)
}

/// What a stranger asks.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Asked {
    words: String,
    /// Whether question and answer may be kept.
    #[serde(default)]
    keep: bool,
}

async fn ask(
    State(strangers): State<Arc<Strangers>>,
    ConnectInfo(peer): ConnectInfo<SocketAddr>,
    Body(asked): Body<Asked>,
) -> Result<Response, Problem> {
    let now = Instant::now();
    count(&strangers.asked, peer, now, "that many questions")?;
    if asked.keep {
        count(&strangers.kept, peer, now, "to keep that many questions")?;
    }
    if asked.words.chars().count() > LONGEST {
        let detail = format!("a question has at most {LONGEST} letters");
        return Err(Problem::new(Kind::TooLarge, "too long", detail).hint("say it in fewer words"));
    }
    let Asked { words, keep } = asked;
    if keep {
        let told = pools::run(&STRANGERS, strangers.keeping.clone(), move |desk, stop| {
            told(desk, &words, true, stop)
        });
        return Ok(fresh(told.await?));
    }
    let sight = strangers.sight();
    let answer = sight.answers.place(&words, now);
    // Whoever asks the same meanwhile waits for one answer, and takes no place in the room.
    let told = answer.get_or_try_init(|| {
        pools::run(&STRANGERS, sight.desk.clone(), move |desk, stop| {
            told(desk, &words, false, stop)
        })
    });
    Ok(fresh(told.await?.clone()))
}

/// What a stranger is told, as it is sent.
fn told(desk: &Desk, words: &str, keep: bool, stop: &Stop) -> Result<Bytes, Problem> {
    let shelf = desk.shelf()?;
    let wish = Wish {
        keep,
        asker: Asker::Customer,
        fitted: false,
        stop: stop.clone(),
    };
    let (reply, _) = desk.reply(words, wish, &shelf.settings.units)?;
    sent(&PublicAnswer::of_reply(&reply, words, keep, &shelf))
}

fn sent(answer: &PublicAnswer) -> Result<Bytes, Problem> {
    let text = serde_json::to_vec(answer)
        .map_err(|error| Problem::new(Kind::Internal, "the answer cannot be sent", error.to_string()))?;
    Ok(text.into())
}

async fn answer(
    State(strangers): State<Arc<Strangers>>,
    ConnectInfo(peer): ConnectInfo<SocketAddr>,
    At(id): At<String>,
) -> Result<Response, Problem> {
    strangers.count_opened(peer)?;
    let answer = pools::run(&STRANGERS, strangers.sight().desk.clone(), move |desk, _| {
        let shelf = desk.shelf()?;
        let sheet = desk.open(&id, &shelf.settings.units)?;
        sent(&PublicAnswer::of_sheet(&sheet, &shelf))
    });
    Ok(fresh(answer.await?))
}

/// A paper that the shop has sent as a link.
async fn paper(
    State(strangers): State<Arc<Strangers>>,
    ConnectInfo(peer): ConnectInfo<SocketAddr>,
    At(id): At<String>,
) -> Result<Response, Problem> {
    strangers.count_opened(peer)?;
    let keeping = strangers.keeping.clone();
    pools::run(&STRANGERS, keeping, move |desk, _| link_routes::shown(desk, &id)).await
}

/// Counts what somebody does, or says that they have done it too often.
fn count(rates: &Rates, peer: SocketAddr, now: Instant, what: &str) -> Result<(), Problem> {
    let Err(seconds) = rates.take(&Watched::at(peer.ip()), now) else {
        return Ok(());
    };
    let detail = format!("{what} cannot be taken from one address");
    Err(Problem::new(Kind::TooOften, "too often", detail)
        .hint(format!("try again in {} min", seconds.div_ceil(60)))
        .retry_after(seconds))
}

fn fresh(answer: Bytes) -> Response {
    let headers = [(CACHE_CONTROL, "no-store"), (CONTENT_TYPE, "application/json")];
    (headers, answer).into_response()
}
