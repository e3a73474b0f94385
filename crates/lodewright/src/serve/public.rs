//! The public side: strangers ask, and open answers by their link. It reads the shop and cannot change it; a question is kept
//! only where whoever asks wants that.

mod words;

use std::net::SocketAddr;
use std::sync::Arc;
use std::time::{Duration, Instant};

use axum::extract::{ConnectInfo, DefaultBodyLimit, State};
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use axum::routing::{any, get, post};
use axum::{Json, Router};
use serde::Deserialize;

use crate::desk::Wish;
use crate::problem::{Kind, Problem};
use crate::serve::Shared;
use crate::serve::pools::{self, STRANGERS};
use crate::serve::rates::{Rates, Watched};
use crate::serve::wire::{At, Body};
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

/// What the public side has of the shop.
pub struct Strangers {
    /// The shop, for reading.
    reading: Shared,
    /// The shop, for what whoever asks wants to be kept.
    keeping: Shared,
    asked: Rates,
    kept: Rates,
}

impl Strangers {
    /// The public side of a shop, by a desk that can but read it and one that can keep an answer.
    pub fn new(reading: Shared, keeping: Shared) -> Self {
        Self {
            reading,
            keeping,
            asked: Rates::new(QUESTIONS, QUESTIONS_WITHIN),
            kept: Rates::new(KEPT, KEPT_WITHIN),
        }
    }
}

/// The page of the public side and the little that it asks for.
pub fn router(strangers: Strangers) -> Router {
    let page = || file("text/html; charset=utf-8", include_str!("public/ask.html"));
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
        .fallback(any(super::nowhere))
        .method_not_allowed_fallback(super::wrong_method)
        .layer(DefaultBodyLimit::max(MOST_BODY))
        .with_state(Arc::new(strangers))
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
    let who = [Watched::at(peer.ip())];
    let now = Instant::now();
    if let Some(seconds) = strangers.asked.wait(&who, now) {
        return Err(too_often("that many questions", seconds));
    }
    strangers.asked.note(&who, now);
    if asked.keep {
        if let Some(seconds) = strangers.kept.wait(&who, now) {
            return Err(too_often("to keep that many questions", seconds));
        }
        strangers.kept.note(&who, now);
    }
    if asked.words.chars().count() > LONGEST {
        let detail = format!("a question has at most {LONGEST} letters");
        return Err(Problem::new(Kind::TooLarge, "too long", detail).hint("say it in fewer words"));
    }
    let desk = if asked.keep {
        &strangers.keeping
    } else {
        &strangers.reading
    };
    let answer = pools::run(&STRANGERS, desk.clone(), move |desk, _| {
        let wish = Wish {
            keep: asked.keep,
            fitted: false,
        };
        let (reply, _) = desk.reply(&asked.words, wish, &desk.shelf()?.settings.units)?;
        Ok(PublicAnswer::of_reply(&reply, asked.keep))
    });
    Ok(fresh(answer.await?))
}

async fn answer(State(strangers): State<Arc<Strangers>>, At(id): At<String>) -> Result<Response, Problem> {
    let answer = pools::run(&STRANGERS, strangers.reading.clone(), move |desk, _| {
        let sheet = desk.open(&id, &desk.shelf()?.settings.units)?;
        Ok(PublicAnswer::of_sheet(&sheet))
    });
    Ok(fresh(answer.await?))
}

fn too_often(what: &str, seconds: u32) -> Problem {
    Problem::new(
        Kind::TooOften,
        "too often",
        format!("{what} cannot be taken from one address"),
    )
    .hint(format!("try again in {} min", seconds.div_ceil(60)))
    .retry_after(seconds)
}

fn fresh(answer: PublicAnswer) -> Response {
    ([(CACHE_CONTROL, "no-store")], Json(answer)).into_response()
}
