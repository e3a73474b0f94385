//! Lessons, and those that the shop writes itself.

use axum::Json;
use axum::extract::State;
use lessons::LessonView;
use lessons::view::LessonLine;
use serde::Deserialize;
use utoipa::ToSchema;

use crate::problem::Problem;
use crate::serve::Shared;
use crate::serve::wire::{At, Body, InUnits, Params, work};
use crate::teaching::LessonText;

/// The lessons.
#[utoipa::path(get, path = "/lessons", responses((status = 200, body = Vec<LessonLine>), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn list_lessons(State(desk): State<Shared>) -> Result<Json<Vec<LessonLine>>, Problem> {
    work(desk, |desk| Ok(Json(desk.lessons()?))).await
}

/// A lesson with figures and charts of today's shelf.
#[utoipa::path(get, path = "/lessons/{name}", params(("name" = String, Path), InUnits), responses((status = 200, body = LessonView), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn open_lesson(
    State(desk): State<Shared>,
    At(name): At<String>,
    Params(units): Params<InUnits>,
) -> Result<Json<LessonView>, Problem> {
    work(desk, move |desk| Ok(Json(desk.lesson(&name, &units.of(desk)?)?))).await
}

/// A lesson that a shop writes.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct LessonBody {
    /// Its text: a head, then Markdown with chart blocks.
    text: String,
}

/// The text of a lesson, to be edited.
#[utoipa::path(get, path = "/lessons/{name}/text", params(("name" = String, Path)), responses((status = 200, body = LessonText), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn lesson_text(State(desk): State<Shared>, At(name): At<String>) -> Result<Json<LessonText>, Problem> {
    work(desk, move |desk| Ok(Json(desk.lesson_text(&name)?))).await
}

/// Keeps a lesson of the shop's own, in the place of one of the same name, and shows it.
#[utoipa::path(post, path = "/lessons", params(InUnits), request_body = LessonBody, responses((status = 200, body = LessonView), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn keep_lesson(
    State(desk): State<Shared>,
    Params(units): Params<InUnits>,
    Body(body): Body<LessonBody>,
) -> Result<Json<LessonView>, Problem> {
    work(desk, move |desk| {
        Ok(Json(desk.keep_lesson(&body.text, &units.of(desk)?)?))
    })
    .await
}

/// Takes a lesson of the shop's own away, and gives its text, so that it can be kept again.
#[utoipa::path(delete, path = "/lessons/{name}", params(("name" = String, Path)), responses((status = 200, body = LessonText), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn remove_lesson(State(desk): State<Shared>, At(name): At<String>) -> Result<Json<LessonText>, Problem> {
    work(desk, move |desk| Ok(Json(desk.remove_lesson(&name)?))).await
}
