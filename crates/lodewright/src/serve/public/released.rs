//! Lessons and sheets that the shop releases, as pages that need nothing beside them.

use std::net::SocketAddr;
use std::sync::Arc;

use axum::Router;
use axum::extract::{ConnectInfo, State};
use axum::http::header::{CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use press::Document;
use serde::Deserialize;
use sha2::{Digest, Sha256};

use super::Strangers;
use crate::desk::Desk;
use crate::printing::Form;
use crate::problem::Problem;
use crate::serve::pools::{self, STRANGERS};
use crate::serve::wire::{At, Params, paper};

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

async fn lessons(
    State(strangers): State<Arc<Strangers>>,
    ConnectInfo(peer): ConnectInfo<SocketAddr>,
    Params(wanted): Params<InForm>,
) -> Result<Response, Problem> {
    opened(&strangers, peer, wanted, "lessons", Desk::released_lessons).await
}

async fn lesson(
    State(strangers): State<Arc<Strangers>>,
    ConnectInfo(peer): ConnectInfo<SocketAddr>,
    At(file): At<String>,
    Params(wanted): Params<InForm>,
) -> Result<Response, Problem> {
    let name = file.strip_suffix(".html").unwrap_or(&file).to_owned();
    opened(&strangers, peer, wanted, &name.clone(), move |desk| {
        match lessons::paper::file_name("index") == file {
            true => desk.released_lessons(),
            false => desk.released_lesson(&name),
        }
    })
    .await
}

async fn sheet(
    State(strangers): State<Arc<Strangers>>,
    ConnectInfo(peer): ConnectInfo<SocketAddr>,
    At(code): At<String>,
    Params(wanted): Params<InForm>,
) -> Result<Response, Problem> {
    opened(&strangers, peer, wanted, &code.clone(), move |desk| {
        desk.released_sheet(&code)
    })
    .await
}

/// A document in the form that is wanted, made where strangers are answered.
async fn opened(
    strangers: &Arc<Strangers>,
    peer: SocketAddr,
    wanted: InForm,
    name: &str,
    make: impl FnOnce(&Desk) -> Result<Document, Problem> + Send + 'static,
) -> Result<Response, Problem> {
    strangers.count_opened(peer)?;
    let name = name.to_owned();
    pools::run(&STRANGERS, strangers.sight().desk.clone(), move |desk, _| {
        let document = make(desk)?;
        match wanted.form.unwrap_or(Form::Html) {
            Form::Html => Ok(shown(&document)),
            Form::Pdf => paper(&document, Some(Form::Pdf), &name),
        }
    })
    .await
}

/// A document as a page that may use its own style and nothing else.
fn shown(document: &Document) -> Response {
    let page = document.page();
    let style = STANDARD.encode(Sha256::digest(page.style.as_bytes()));
    let policy = format!(
        "default-src 'none'; style-src 'sha256-{style}'; img-src data:; form-action 'none'; base-uri 'none'; frame-ancestors 'none'"
    );
    let headers = [
        (CONTENT_TYPE, "text/html; charset=utf-8".to_owned()),
        (CACHE_CONTROL, "no-cache".to_owned()),
        (CONTENT_SECURITY_POLICY, policy),
    ];
    (headers, page.text).into_response()
}
