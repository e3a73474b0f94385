//! Enquiries of every kind, as they were read.

use advice::enquiry::Enquiry;
use axum::Json;
use axum::extract::State;

use crate::desk::Wish;
use crate::enquiries::EnquirySheet;
use crate::problem::Problem;
use crate::serve::Shared;
use crate::serve::pools::{self, ASKING};
use crate::serve::wire::{Body, InUnits, Params};

/// Answers an enquiry as it was read: `choose`, `tell`, `compare`, `explain` or `refuse`. Nothing of it goes on the desk.
#[utoipa::path(post, path = "/enquiry", params(InUnits), request_body = Enquiry, responses((status = 200, body = EnquirySheet), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn enquiry(
    State(desk): State<Shared>,
    Params(units): Params<InUnits>,
    Body(enquiry): Body<Enquiry>,
) -> Result<Json<EnquirySheet>, Problem> {
    pools::run(&ASKING, desk, move |desk, stop| {
        let wish = Wish {
            stop: stop.clone(),
            ..Wish::default()
        };
        Ok(Json(desk.enquire(&enquiry, wish, &units.of(desk)?)?))
    })
    .await
}
