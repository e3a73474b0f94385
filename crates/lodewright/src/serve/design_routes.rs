//! Magnets made to a wish.

use axum::Json;
use axum::extract::State;
use design::view::DesignView;

use crate::designing::DesignRequest;
use crate::problem::Problem;
use crate::serve::Shared;
use crate::serve::pools::{self, SOLVING};
use crate::serve::wire::{Body, InUnits, Params};

/// Searches magnets that would do a wish, with free sizes, and the limit that no magnet of the space can pass. A first answer takes seconds; a refined one up to 20 s.
#[utoipa::path(post, path = "/design", params(InUnits), request_body = DesignRequest, responses((status = 200, body = DesignView), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn design(
    State(desk): State<Shared>,
    Params(units): Params<InUnits>,
    Body(request): Body<DesignRequest>,
) -> Result<Json<DesignView>, Problem> {
    pools::run(&SOLVING, desk, move |desk, stop| {
        let units = units.of(desk)?;
        Ok(Json(desk.design(&request, &units, stop, &|_| {})?))
    })
    .await
}
