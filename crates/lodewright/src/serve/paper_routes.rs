//! Sheets as PDF.

use advice::ladder::LadderRequest;
use axum::extract::State;
use axum::response::Response;
use quantity::Units;
use serde::Deserialize;
use shop::Paper;
use utoipa::IntoParams;

use crate::problem::Problem;
use crate::serve::Shared;
use crate::serve::wire::{At, InUnits, PDF, Params, attachment, in_address, work};

/// The paper, and the units of every text on it.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct OnPaper {
    /// `a4` or `letter`; the shop's own where it is absent.
    #[param(value_type = Option<String>)]
    paper: Option<Paper>,
    /// `metric`, `inch`, or changes to metric such as `mm,lbf,G`; the shop's own where it is absent.
    #[param(value_type = Option<String>)]
    units: Option<Units>,
}

/// A kept answer on paper.
#[utoipa::path(get, path = "/answers/{id}/paper", params(("id" = String, Path), OnPaper), responses((status = 200, body = Vec<u8>, content_type = "application/pdf"), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn answer_paper(
    State(desk): State<Shared>,
    At(id): At<String>,
    Params(on): Params<OnPaper>,
) -> Result<Response, Problem> {
    let name = format!("answer-{id}.pdf");
    work(desk, move |desk| {
        let units = InUnits { units: on.units }.of(desk)?;
        Ok(attachment(PDF, true, &name, desk.answer_pdf(&id, on.paper, &units)?))
    })
    .await
}

/// A request that stands in the address, the paper, and the units of every text on it.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct RequestOnPaper {
    /// The request as JSON, in the form of the body that the address without `/paper` takes.
    #[serde(rename = "for")]
    pub of: String,
    /// `a4` or `letter`; the shop's own where it is absent.
    #[param(value_type = Option<String>)]
    pub paper: Option<Paper>,
    /// `metric`, `inch`, or changes to metric such as `mm,lbf,G`; the shop's own where it is absent.
    #[param(value_type = Option<String>)]
    pub units: Option<Units>,
}

/// A ladder on paper.
#[utoipa::path(get, path = "/ladder/paper", params(RequestOnPaper), responses((status = 200, body = Vec<u8>, content_type = "application/pdf"), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn ladder_paper(State(desk): State<Shared>, Params(on): Params<RequestOnPaper>) -> Result<Response, Problem> {
    let request: LadderRequest = in_address(&on.of, "the ladder")?;
    work(desk, move |desk| {
        let units = InUnits { units: on.units }.of(desk)?;
        Ok(attachment(
            PDF,
            true,
            "ladder.pdf",
            desk.ladder_pdf(&request, on.paper, &units)?,
        ))
    })
    .await
}

/// The sheet of an item on paper.
#[utoipa::path(get, path = "/items/{code}/paper", params(("code" = String, Path), OnPaper), responses((status = 200, body = Vec<u8>, content_type = "application/pdf"), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn item_paper(
    State(desk): State<Shared>,
    At(code): At<String>,
    Params(on): Params<OnPaper>,
) -> Result<Response, Problem> {
    let name = format!("{code}.pdf");
    work(desk, move |desk| {
        let units = InUnits { units: on.units }.of(desk)?;
        Ok(attachment(PDF, true, &name, desk.item_pdf(&code, on.paper, &units)?))
    })
    .await
}
