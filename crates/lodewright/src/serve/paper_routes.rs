//! What leaves the shop as documents: on paper, or as one page of HTML.

use advice::enquiry::Enquiry;
use advice::ladder::LadderRequest;
use axum::extract::State;
use axum::response::Response;
use quantity::Units;
use serde::Deserialize;
use shop::Paper;
use utoipa::IntoParams;

use crate::printing::Form;
use crate::problem::Problem;
use crate::serve::Shared;
use crate::serve::wire::{At, InUnits, Params, in_address, in_form, paper, work};

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
    /// `pdf`, or `html` for one page that needs nothing beside it; of answers, ladders and comparisons `csv` and `xlsx` too, for their list; PDF
    /// where it is absent.
    #[param(value_type = Option<String>)]
    form: Option<Form>,
}

/// A kept answer on paper.
#[utoipa::path(get, path = "/answers/{id}/paper", params(("id" = String, Path), OnPaper), responses((status = 200, content((Vec<u8> = "application/pdf"), (String = "text/html"), (String = "text/csv"), (Vec<u8> = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"))), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn answer_paper(
    State(desk): State<Shared>,
    At(id): At<String>,
    Params(on): Params<OnPaper>,
) -> Result<Response, Problem> {
    work(desk, move |desk| {
        let units = InUnits { units: on.units }.of(desk)?;
        let form = on.form.unwrap_or_default();
        let bytes = form.made(
            || desk.answer_paper(&id, on.paper, &units),
            || desk.answer_list(&id, &units),
        )?;
        Ok(in_form(form, &format!("answer-{id}"), bytes))
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
    /// `pdf`, or `html` for one page that needs nothing beside it; of answers, ladders and comparisons `csv` and `xlsx` too, for their list; PDF
    /// where it is absent.
    #[param(value_type = Option<String>)]
    pub form: Option<Form>,
}

/// A ladder on paper.
#[utoipa::path(get, path = "/ladder/paper", params(RequestOnPaper), responses((status = 200, content((Vec<u8> = "application/pdf"), (String = "text/html"), (String = "text/csv"), (Vec<u8> = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"))), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn ladder_paper(State(desk): State<Shared>, Params(on): Params<RequestOnPaper>) -> Result<Response, Problem> {
    let request: LadderRequest = in_address(&on.of, "the ladder")?;
    work(desk, move |desk| {
        let units = InUnits { units: on.units }.of(desk)?;
        let form = on.form.unwrap_or_default();
        let bytes = form.made(
            || desk.ladder_paper(&request, on.paper, &units),
            || desk.ladder_list(&request, &units),
        )?;
        Ok(in_form(form, "ladder", bytes))
    })
    .await
}

/// The sheet of an item on paper.
#[utoipa::path(get, path = "/items/{code}/paper", params(("code" = String, Path), OnPaper), responses((status = 200, content((Vec<u8> = "application/pdf"), (String = "text/html"))), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn item_paper(
    State(desk): State<Shared>,
    At(code): At<String>,
    Params(on): Params<OnPaper>,
) -> Result<Response, Problem> {
    work(desk, move |desk| {
        let units = InUnits { units: on.units }.of(desk)?;
        paper(&desk.item_paper(&code, on.paper, &units)?, on.form, &code)
    })
    .await
}

/// What is told, compared, explained or refused, on paper.
#[utoipa::path(get, path = "/enquiry/paper", params(RequestOnPaper), responses((status = 200, content((Vec<u8> = "application/pdf"), (String = "text/html"), (String = "text/csv"), (Vec<u8> = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"))), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn enquiry_paper(
    State(desk): State<Shared>,
    Params(on): Params<RequestOnPaper>,
) -> Result<Response, Problem> {
    let enquiry: Enquiry = in_address(&on.of, "the enquiry")?;
    work(desk, move |desk| {
        let units = InUnits { units: on.units }.of(desk)?;
        let form = on.form.unwrap_or_default();
        let bytes = form.made(
            || desk.enquiry_paper(&enquiry, on.paper, &units),
            || desk.comparison_list(&enquiry, &units),
        )?;
        Ok(in_form(form, "told", bytes))
    })
    .await
}

/// A lesson as a hand-out.
#[utoipa::path(get, path = "/lessons/{name}/paper", params(("name" = String, Path), OnPaper), responses((status = 200, content((Vec<u8> = "application/pdf"), (String = "text/html"))), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn lesson_paper(
    State(desk): State<Shared>,
    At(name): At<String>,
    Params(on): Params<OnPaper>,
) -> Result<Response, Problem> {
    work(desk, move |desk| {
        let units = InUnits { units: on.units }.of(desk)?;
        paper(&desk.lesson_paper(&name, on.paper, &units)?, on.form, &name)
    })
    .await
}
