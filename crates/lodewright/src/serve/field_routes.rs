//! Fields of magnets that need not be on the shelf: pictures, and what `lodewright compute` answers.

use axum::Json;
use axum::extract::State;
use compute::Budget;
use serde_json::Value;

use crate::drawing::{DrawRequest, Drawing, draw};
use crate::named_bodies::with_bodies;
use crate::problem::Problem;
use crate::reading;
use crate::serve::Shared;
use crate::serve::pools::{self, DRAWING, SOLVING};
use crate::serve::wire::{Body, InUnits, Params, Stated};
use crate::steelwork::{SteelRequest, SteelSheet, sheet};

/// Draws the field of magnets in a plane. `{"named": ...}` with a code of the shelf, or sizes and a grade, may stand for a body.
#[utoipa::path(post, path = "/field/picture", params(InUnits), request_body = DrawRequest, responses((status = 200, body = Drawing), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn picture(
    State(desk): State<Shared>,
    Params(units): Params<InUnits>,
    Body(request): Body<Value>,
) -> Result<Json<Drawing>, Problem> {
    let room = if request.get("parts").is_some() {
        &SOLVING
    } else {
        &DRAWING
    };
    pools::run(room, desk, move |desk, stop| {
        let request: DrawRequest = reading::read_stated(with_bodies(request, desk)?)?;
        Ok(Json(draw(&request, &units.of(desk)?, &Budget::shared(stop))?))
    })
    .await
}

/// Answers one request of `lodewright compute`; its errors have the form of all errors. Magnets may be named as in a picture.
#[utoipa::path(post, path = "/field/compute", request_body = Object, responses((status = 200, body = Object), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn compute(State(desk): State<Shared>, Body(request): Body<Value>) -> Result<Json<Value>, Problem> {
    let room = match request.get("want").and_then(Value::as_str) {
        Some("turned_solve") => &SOLVING,
        _ => &DRAWING,
    };
    pools::run(room, desk, move |desk, stop| {
        compute::answer(&with_bodies(request, desk)?, &Budget::shared(stop))
            .map(Json)
            .map_err(Problem::from)
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
    pools::run(&SOLVING, desk, move |desk, stop| {
        Ok(Json(sheet(&request, &|| !stop.is_set(), &units.of(desk)?)?))
    })
    .await
}
