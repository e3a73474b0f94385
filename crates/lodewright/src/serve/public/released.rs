//! Lessons and sheets that the shop releases, as pages that need nothing beside them.

use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Instant;

use axum::Router;
use axum::extract::{ConnectInfo, State};
use axum::http::header::{CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE, InvalidHeaderValue};
use axum::http::{HeaderMap, HeaderValue};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use press::{Document, Page};
use serde::Deserialize;
use sha2::{Digest, Sha256};

use super::Strangers;
use super::pages::Made;
use crate::desk::Desk;
use crate::printing::Form;
use crate::problem::{Kind, Problem};
use crate::serve::pools::{self, STRANGERS};
use crate::serve::wire::{At, Params};

/// The addresses of what is released.
pub fn router() -> Router<Arc<Strangers>> {
    Router::new()
        .route("/lessons", get(|| async { Redirect::permanent("/lessons/") }))
        .route("/lessons/", get(lessons))
        .route("/lessons/{file}", get(lesson))
        .route("/sheets/{code}", get(sheet))
}

/// In which form a document is wanted.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct InForm {
    /// A page of HTML where it is absent.
    form: Option<Form>,
}

/// What is opened.
#[derive(Clone, Debug)]
enum What {
    /// The list of lessons.
    Lessons,
    /// The lesson of that name.
    Lesson(String),
    /// The sheet of the item of that code.
    Sheet(String),
}

impl What {
    fn made(&self, desk: &Desk) -> Result<Document, Problem> {
        match self {
            Self::Lessons => desk.released_lessons(),
            Self::Lesson(name) => desk.released_lesson(name),
            Self::Sheet(code) => desk.released_sheet(code),
        }
    }
}

async fn lessons(
    State(strangers): State<Arc<Strangers>>,
    ConnectInfo(peer): ConnectInfo<SocketAddr>,
    Params(wanted): Params<InForm>,
) -> Result<Response, Problem> {
    opened(&strangers, peer, What::Lessons, wanted).await
}

async fn lesson(
    State(strangers): State<Arc<Strangers>>,
    ConnectInfo(peer): ConnectInfo<SocketAddr>,
    At(file): At<String>,
    Params(wanted): Params<InForm>,
) -> Result<Response, Problem> {
    let what = match file == lessons::paper::file_name("index") {
        true => What::Lessons,
        false => What::Lesson(file.strip_suffix(".html").unwrap_or(&file).to_owned()),
    };
    opened(&strangers, peer, what, wanted).await
}

async fn sheet(
    State(strangers): State<Arc<Strangers>>,
    ConnectInfo(peer): ConnectInfo<SocketAddr>,
    At(code): At<String>,
    Params(wanted): Params<InForm>,
) -> Result<Response, Problem> {
    opened(&strangers, peer, What::Sheet(code), wanted).await
}

/// A document in the form that is wanted, made once of each moment, where strangers are answered.
async fn opened(strangers: &Arc<Strangers>, peer: SocketAddr, what: What, wanted: InForm) -> Result<Response, Problem> {
    strangers.count_opened(peer)?;
    let (sight, now) = (strangers.sight(), Instant::now());
    let form = wanted.form.unwrap_or(Form::Html);
    let place = format!("{what:?}.{}", form.end());
    if let Some(made) = sight.pages.get(&place, now) {
        return Ok(made.into_response());
    }
    let made = pools::run(&STRANGERS, sight.desk.clone(), move |desk, _| {
        written(&what.made(desk)?, form)
    });
    let made = made.await?;
    sight.pages.hold(place, made.clone(), now);
    Ok(made.into_response())
}

/// A document as it is sent.
fn written(document: &Document, form: Form) -> Result<Made, Problem> {
    let (policy, bytes) = match form {
        Form::Html => {
            let page = document.page();
            (Some(policy(&page)), page.text.into_bytes())
        }
        other => (None, other.written(document)?),
    };
    let odd = |error: InvalidHeaderValue| Problem::new(Kind::Internal, "the page cannot be sent", error.to_string());
    let mut headers = HeaderMap::new();
    headers.insert(CONTENT_TYPE, HeaderValue::from_static(form.media_type()));
    headers.insert(CACHE_CONTROL, HeaderValue::from_static("no-cache"));
    if let Some(policy) = policy {
        headers.insert(CONTENT_SECURITY_POLICY, HeaderValue::try_from(policy).map_err(odd)?);
    }
    Ok((headers, bytes.into()))
}

/// What a page may use: its own style, by its mark, and nothing else.
fn policy(page: &Page) -> String {
    let style = STANDARD.encode(Sha256::digest(page.style.as_bytes()));
    format!(
        "default-src 'none'; style-src 'sha256-{style}'; img-src data:; form-action 'none'; base-uri 'none'; frame-ancestors 'none'"
    )
}
