//! Parcels.

use axum::Json;
use axum::extract::State;
use axum::response::Response;
use parcels::{ParcelRequest, ParcelView};
use quantity::Units;
use serde::Deserialize;
use shop::Paper;
use utoipa::IntoParams;

use crate::problem::Problem;
use crate::serve::Shared;
use crate::serve::wire::{Body, InUnits, PDF, Params, attachment, in_address, work};

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

/// The parcel, the paper, and the units of every text on it.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct Slip {
    /// The parcel as JSON, in the form of the body of `/parcel`.
    #[serde(rename = "for")]
    of: String,
    /// `a4` or `letter`; the shop's own where it is absent.
    #[param(value_type = Option<String>)]
    paper: Option<Paper>,
    /// `metric`, `inch`, or changes to metric such as `mm,lbf,G`; the shop's own where it is absent.
    #[param(value_type = Option<String>)]
    units: Option<Units>,
}

/// The packing slip of a parcel.
#[utoipa::path(get, path = "/parcel/paper", params(Slip), responses((status = 200, body = Vec<u8>, content_type = "application/pdf"), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn parcel_paper(State(desk): State<Shared>, Params(slip): Params<Slip>) -> Result<Response, Problem> {
    let request: ParcelRequest = in_address(&slip.of, "the parcel")?;
    work(desk, move |desk| {
        let units = InUnits { units: slip.units }.of(desk)?;
        Ok(attachment(
            PDF,
            true,
            "parcel.pdf",
            desk.parcel_pdf(&request, slip.paper, &units)?,
        ))
    })
    .await
}
