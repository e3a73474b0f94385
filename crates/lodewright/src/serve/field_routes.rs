//! Fields of magnets that need not be on the shelf: pictures, and what `lodewright compute` answers.

use axum::Json;
use axum::extract::State;
use serde_json::Value;

use crate::drawing::{DrawRequest, Drawing, draw};
use crate::problem::Problem;
use crate::serve::Shared;
use crate::serve::wire::{Body, InUnits, Params, Stated, work};
use crate::steelwork::{SteelRequest, SteelSheet, sheet};

/// Draws the field of magnets in a plane.
#[utoipa::path(post, path = "/field/picture", params(InUnits), request_body = DrawRequest, responses((status = 200, body = Drawing), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn picture(
    State(desk): State<Shared>,
    Params(units): Params<InUnits>,
    Stated(request): Stated<DrawRequest>,
) -> Result<Json<Drawing>, Problem> {
    work(desk, move |desk| Ok(Json(draw(&request, &units.of(desk)?)?))).await
}

/// Answers one request of `lodewright compute`; its errors have the form of all errors.
#[utoipa::path(post, path = "/field/compute", request_body = Object, responses((status = 200, body = Object), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn compute(State(desk): State<Shared>, Body(request): Body<Value>) -> Result<Json<Value>, Problem> {
    work(desk, move |_| {
        compute::answer(&request).map(Json).map_err(Problem::from)
    })
    .await
}

/// Solves a magnet on a steel plate, bare, under a back-plate or in a cup, and compares it over gap and thickness.
#[utoipa::path(post, path = "/field/steel", params(InUnits), request_body = SteelRequest, responses((status = 200, body = SteelSheet), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn steel(
    State(desk): State<Shared>,
    Params(units): Params<InUnits>,
    Stated(request): Stated<SteelRequest>,
) -> Result<Json<SteelSheet>, Problem> {
    work(desk, move |desk| Ok(Json(sheet(&request, &units.of(desk)?)?))).await
}
