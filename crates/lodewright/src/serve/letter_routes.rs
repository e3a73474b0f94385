//! Replies to customers.

use advice::enquiry::Enquiry;
use axum::Json;
use axum::extract::State;
use letters::Letter;
use letters::told::QuestionBack;
use quantity::Units;
use serde::Deserialize;
use utoipa::{IntoParams, ToSchema};

use crate::letter::LANGUAGE;
use crate::problem::Problem;
use crate::serve::Shared;
use crate::serve::wire::{At, Body, InUnits, Params, work};

/// The language of a message, and the units of every text in it.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct InLanguage {
    /// Its tag, such as `en`, which it is where absent.
    language: Option<String>,
    /// `metric`, `inch`, or changes to metric such as `mm,lbf,G`; the shop's own where it is absent.
    #[param(value_type = Option<String>)]
    units: Option<Units>,
}

impl InLanguage {
    fn of(self, desk: &Shared) -> Result<(String, Units), Problem> {
        let units = InUnits { units: self.units }.of(desk)?;
        Ok((self.language.unwrap_or_else(|| LANGUAGE.into()), units))
    }
}

/// The reply to a kept answer, to look over and to send.
#[utoipa::path(get, path = "/answers/{id}/reply", params(("id" = String, Path), InLanguage), responses((status = 200, body = Letter), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn reply_to_answer(
    State(desk): State<Shared>,
    At(id): At<String>,
    Params(params): Params<InLanguage>,
) -> Result<Json<Letter>, Problem> {
    work(desk, move |desk| {
        let (language, units) = params.of(desk)?;
        Ok(Json(desk.letter(&id, &language, &units)?))
    })
    .await
}

/// The reply to an enquiry of the kind `tell`, `compare`, `explain` or `refuse`, to look over and to send.
#[utoipa::path(post, path = "/reply", params(InLanguage), request_body = Enquiry, responses((status = 200, body = Letter), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn reply_to_enquiry(
    State(desk): State<Shared>,
    Params(params): Params<InLanguage>,
    Body(enquiry): Body<Enquiry>,
) -> Result<Json<Letter>, Problem> {
    work(desk, move |desk| {
        let (language, units) = params.of(desk)?;
        Ok(Json(desk.letter_to(&enquiry, &language, &units)?))
    })
    .await
}

/// What is asked back of a customer.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct BackBody {
    /// The questions, the most important first.
    questions: Vec<QuestionBack>,
}

/// The letter that asks back what an enquiry lacks, to look over and to send.
#[utoipa::path(post, path = "/reply/back", params(InLanguage), request_body = BackBody, responses((status = 200, body = Letter), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn ask_back(
    State(desk): State<Shared>,
    Params(params): Params<InLanguage>,
    Body(body): Body<BackBody>,
) -> Result<Json<Letter>, Problem> {
    work(desk, move |desk| {
        let (language, _) = params.of(desk)?;
        Ok(Json(desk.letter_back(&body.questions, &language)?))
    })
    .await
}
