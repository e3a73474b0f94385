//! Lessons.

use axum::Json;
use axum::extract::State;
use lessons::LessonView;
use lessons::view::LessonLine;

use crate::problem::Problem;
use crate::serve::Shared;
use crate::serve::wire::{At, InUnits, Params, work};

/// The lessons.
#[utoipa::path(get, path = "/lessons", responses((status = 200, body = Vec<LessonLine>), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn list_lessons(State(desk): State<Shared>) -> Result<Json<Vec<LessonLine>>, Problem> {
    work(desk, |desk| Ok(Json(desk.lessons()))).await
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
