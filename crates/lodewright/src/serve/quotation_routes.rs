//! Quotations.

use axum::Json;
use axum::extract::State;
use axum::response::Response;
use serde::Deserialize;
use sheets::quotation::Quotation;
use shop::{Issued, Paper};
use utoipa::IntoParams;

use crate::printing::Form;
use crate::problem::Problem;
use crate::quoting::QuotationRequest;
use crate::serve::Shared;
use crate::serve::wire::{At, Body, InUnits, Params, attachment, paper, work};

/// The most quotations that are listed.
const MOST_LISTED: usize = 500;

/// Which issue of a quotation.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct OfIssue {
    /// Its number from 1; the last where it is absent.
    issue: Option<u32>,
    /// `a4` or `letter`; the shop's own where it is absent.
    #[param(value_type = Option<String>)]
    paper: Option<Paper>,
    /// `pdf`, or `html` for one page that needs nothing beside it; PDF where it is absent.
    #[param(value_type = Option<String>)]
    form: Option<Form>,
}

/// Makes a quotation from kept answers, in those units.
#[utoipa::path(post, path = "/quotations", params(InUnits), request_body = QuotationRequest, responses((status = 200, body = Quotation), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn make_quotation(
    State(desk): State<Shared>,
    Params(units): Params<InUnits>,
    Body(request): Body<QuotationRequest>,
) -> Result<Json<Quotation>, Problem> {
    work(desk, move |desk| {
        Ok(Json(desk.quote(&request, None, &units.of(desk)?)?))
    })
    .await
}

/// The quotations so far, newest first.
#[utoipa::path(get, path = "/quotations", responses((status = 200, body = Vec<Issued>), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn list_quotations(State(desk): State<Shared>) -> Result<Json<Vec<Issued>>, Problem> {
    work(desk, |desk| Ok(Json(desk.quotations(MOST_LISTED)?))).await
}

/// Opens a quotation as it left.
#[utoipa::path(get, path = "/quotations/{number}", params(("number" = String, Path), OfIssue), responses((status = 200, body = Quotation), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn open_quotation(
    State(desk): State<Shared>,
    At(number): At<String>,
    Params(of): Params<OfIssue>,
) -> Result<Json<Quotation>, Problem> {
    work(desk, move |desk| Ok(Json(desk.quotation(&number, of.issue)?))).await
}

/// Makes a new issue of a quotation; the ones before stay as they left.
#[utoipa::path(post, path = "/quotations/{number}", params(("number" = String, Path), InUnits), request_body = QuotationRequest, responses((status = 200, body = Quotation), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn reissue_quotation(
    State(desk): State<Shared>,
    At(number): At<String>,
    Params(units): Params<InUnits>,
    Body(request): Body<QuotationRequest>,
) -> Result<Json<Quotation>, Problem> {
    work(desk, move |desk| {
        Ok(Json(desk.quote(&request, Some(&number), &units.of(desk)?)?))
    })
    .await
}

/// A quotation on paper.
#[utoipa::path(get, path = "/quotations/{number}/paper", params(("number" = String, Path), OfIssue), responses((status = 200, content((Vec<u8> = "application/pdf"), (String = "text/html"))), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn quotation_paper(
    State(desk): State<Shared>,
    At(number): At<String>,
    Params(of): Params<OfIssue>,
) -> Result<Response, Problem> {
    work(desk, move |desk| {
        paper(&desk.quotation_paper(&number, of.issue, of.paper)?, of.form, &number)
    })
    .await
}

/// A quotation as a workbook.
#[utoipa::path(get, path = "/quotations/{number}/workbook", params(("number" = String, Path), OfIssue), responses((status = 200, body = Vec<u8>, content_type = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn quotation_workbook(
    State(desk): State<Shared>,
    At(number): At<String>,
    Params(of): Params<OfIssue>,
) -> Result<Response, Problem> {
    const KIND: &str = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";
    work(desk, move |desk| {
        let book = desk.quotation_xlsx(&number, of.issue)?;
        Ok(attachment(KIND, false, &format!("{number}.xlsx"), book))
    })
    .await
}
