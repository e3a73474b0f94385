//! Lots and their certificates.

use advice::known::Certificate;
use axum::Json;
use axum::extract::State;
use serde::Deserialize;
use utoipa::ToSchema;

use crate::lots::LotLine;
use crate::problem::Problem;
use crate::serve::Shared;
use crate::serve::shelf_routes::Revision;
use crate::serve::wire::{At, Body, InUnits, Params, work};

/// All lots.
#[utoipa::path(get, path = "/lots", params(InUnits), responses((status = 200, body = Vec<LotLine>), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn list_lots(
    State(desk): State<Shared>,
    Params(units): Params<InUnits>,
) -> Result<Json<Vec<LotLine>>, Problem> {
    work(desk, move |desk| Ok(Json(desk.lots(None, &units.of(desk)?)?))).await
}

/// A lot that an item is to be reckoned with.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TakeLot {
    /// What its certificate says.
    certificate: Certificate,
    /// Remark.
    #[serde(default)]
    note: String,
    /// Whether the values of a lot that is known are replaced by others.
    #[serde(default)]
    replace: bool,
}

/// Reckons an item with the certificate of a lot, from now on.
#[utoipa::path(post, path = "/lots/{code}", params(("code" = String, Path)), request_body = TakeLot, responses((status = 200, body = Revision), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn take_lot(
    State(desk): State<Shared>,
    At(code): At<String>,
    Body(lot): Body<TakeLot>,
) -> Result<Json<Revision>, Problem> {
    work(desk, move |desk| {
        let revision = desk.shop.use_lot(&code, &lot.certificate, &lot.note, lot.replace)?;
        Ok(Json(Revision { revision }))
    })
    .await
}

/// Reckons an item with its grade again; its lots stay known.
#[utoipa::path(delete, path = "/lots/{code}", params(("code" = String, Path)), responses((status = 200, body = Revision), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn drop_lot(State(desk): State<Shared>, At(code): At<String>) -> Result<Json<Revision>, Problem> {
    work(desk, move |desk| {
        Ok(Json(Revision {
            revision: desk.shop.switch_lot(&code, None)?,
        }))
    })
    .await
}
