//! Readings of the bench.

use axum::Json;
use axum::extract::State;
use serde_json::Value;

use crate::benchwork::{BenchSheet, sheet};
use crate::problem::Problem;
use crate::reading;
use crate::serve::Shared;
use crate::serve::wire::{Body, InUnits, Params, work};

/// Fits readings to probe and lots, and says what to read next; the form of the body is in docs/bench.md.
#[utoipa::path(post, path = "/bench/fit", params(InUnits), request_body = Object, responses((status = 200, body = BenchSheet), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn fit(
    State(desk): State<Shared>,
    Params(units): Params<InUnits>,
    Body(session): Body<Value>,
) -> Result<Json<BenchSheet>, Problem> {
    work(desk, move |desk| {
        let session = reading::read(&session)?;
        Ok(Json(sheet(&session, &desk.shop.grades()?, &units.of(desk)?)?))
    })
    .await
}
