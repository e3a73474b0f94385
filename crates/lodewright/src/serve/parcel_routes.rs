//! Parcels.

use axum::Json;
use axum::extract::State;
use axum::response::Response;
use parcels::{ParcelRequest, ParcelView};

use crate::problem::Problem;
use crate::serve::Shared;
use crate::serve::paper_routes::RequestOnPaper;
use crate::serve::wire::{Body, InUnits, Params, in_address, paper, work};

/// Holds a parcel against the rules of air transport, and says what to change so that it may fly.
#[utoipa::path(post, path = "/parcel", params(InUnits), request_body = ParcelRequest, responses((status = 200, body = ParcelView), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn parcel(
    State(desk): State<Shared>,
    Params(units): Params<InUnits>,
    Body(request): Body<ParcelRequest>,
) -> Result<Json<ParcelView>, Problem> {
    work(desk, move |desk| {
        let units = units.of(desk)?;
        Ok(Json(desk.parcel(&request, &units)?))
    })
    .await
}

/// The packing slip of a parcel.
#[utoipa::path(get, path = "/parcel/paper", params(RequestOnPaper), responses((status = 200, content((Vec<u8> = "application/pdf"), (String = "text/html"))), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn parcel_paper(State(desk): State<Shared>, Params(on): Params<RequestOnPaper>) -> Result<Response, Problem> {
    let request: ParcelRequest = in_address(&on.of, "the parcel")?;
    work(desk, move |desk| {
        let units = InUnits { units: on.units }.of(desk)?;
        paper(&desk.parcel_paper(&request, on.paper, &units)?, on.form, "parcel")
    })
    .await
}
