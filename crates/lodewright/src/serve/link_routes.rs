//! Papers as links that can be sent.

use axum::Json;
use axum::extract::State;
use axum::http::header::{CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};

use crate::desk::Desk;
use crate::links::{LinkChanges, LinkView, Subject};
use crate::problem::Problem;
use crate::serve::Shared;
use crate::serve::wire::{At, Body, InUnits, Params, work};

/// What a kept paper may do in a browser: show itself, and lead on where somebody presses.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; sandbox allow-popups allow-top-navigation-by-user-activation";

/// Keeps a paper as it stands now, to be sent as a link.
#[utoipa::path(post, path = "/links", params(InUnits), request_body = Subject, responses((status = 200, body = LinkView), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn keep_link(
    State(desk): State<Shared>,
    Params(units): Params<InUnits>,
    Body(of): Body<Subject>,
) -> Result<Json<LinkView>, Problem> {
    work(desk, move |desk| Ok(Json(desk.keep_link(&of, &units.of(desk)?)?))).await
}

/// A paper that was sent as a link: what it is, when it was made, and where it is opened.
#[utoipa::path(get, path = "/links/{id}", params(("id" = String, Path)), responses((status = 200, body = LinkView), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn open_link(State(desk): State<Shared>, At(id): At<String>) -> Result<Json<LinkView>, Problem> {
    work(desk, move |desk| Ok(Json(desk.link(&id)?))).await
}

/// What of it is otherwise on the shelf as it stands now.
#[utoipa::path(get, path = "/links/{id}/again", params(("id" = String, Path)), responses((status = 200, body = LinkChanges), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn link_again(State(desk): State<Shared>, At(id): At<String>) -> Result<Json<LinkChanges>, Problem> {
    work(desk, move |desk| Ok(Json(desk.link_again(&id)?))).await
}

/// The page of a kept paper, for whoever has its address.
pub async fn page(State(desk): State<Shared>, At(id): At<String>) -> Result<Response, Problem> {
    work(desk, move |desk| shown(desk, &id)).await
}

/// The page of a kept paper as it is sent.
pub fn shown(desk: &Desk, id: &str) -> Result<Response, Problem> {
    let page = desk.link_page(id)?;
    let headers = [
        (CONTENT_TYPE, "text/html; charset=utf-8"),
        (CONTENT_SECURITY_POLICY, POLICY),
        (CACHE_CONTROL, "no-store"),
    ];
    Ok((headers, page).into_response())
}
