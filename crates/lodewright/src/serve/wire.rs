//! Requests and answers on the wire: bodies, parameters, errors, and work that may take a while.

use axum::Json;
use axum::extract::rejection::{BytesRejection, JsonRejection, QueryRejection};
use axum::body::Bytes;
use axum::extract::{FromRequest, FromRequestParts, Request};
use axum::http::header::CONTENT_TYPE;
use axum::http::{HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use quantity::Units;
use serde::Deserialize;
use utoipa::IntoParams;

use crate::serve::Shared;
use crate::trouble::{Kind, Trouble};

impl IntoResponse for Trouble {
    fn into_response(self) -> Response {
        let status = StatusCode::from_u16(self.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
        let mut response = (status, Json(self)).into_response();
        response.headers_mut().insert(CONTENT_TYPE, HeaderValue::from_static("application/problem+json"));
        response
    }
}

impl From<JsonRejection> for Trouble {
    fn from(rejection: JsonRejection) -> Self {
        let kind = if rejection.status() == StatusCode::PAYLOAD_TOO_LARGE { Kind::TooLarge } else { Kind::Asked };
        Self::new(kind, "the request does not read", rejection.body_text())
            .hint("see /api/openapi.json for the form of each request")
    }
}

impl From<QueryRejection> for Trouble {
    fn from(rejection: QueryRejection) -> Self {
        Self::new(Kind::Asked, "the parameters do not read", rejection.body_text())
            .hint("see /api/openapi.json for the parameters of each request")
    }
}

impl From<BytesRejection> for Trouble {
    fn from(rejection: BytesRejection) -> Self {
        let kind = if rejection.status() == StatusCode::PAYLOAD_TOO_LARGE { Kind::TooLarge } else { Kind::Asked };
        Self::new(kind, "the file was not received", rejection.body_text()).hint("a price list has at most 64 MiB")
    }
}

/// A JSON body whose errors have the form of all errors.
#[derive(FromRequest)]
#[from_request(via(Json), rejection(Trouble))]
pub struct Body<T>(pub T);

/// Parameters whose errors have the form of all errors.
#[derive(FromRequestParts)]
#[from_request(via(axum::extract::Query), rejection(Trouble))]
pub struct Params<T>(pub T);

/// A file whose errors have the form of all errors.
pub struct File(pub Bytes);

impl<S: Send + Sync> FromRequest<S> for File {
    type Rejection = Trouble;

    async fn from_request(request: Request, state: &S) -> Result<Self, Trouble> {
        Ok(Self(Bytes::from_request(request, state).await?))
    }
}

/// The units of every text in the answer.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct InUnits {
    /// `metric`, `inch`, or changes to metric such as `mm,lbf,G`; the shop's own where it is absent.
    #[param(value_type = Option<String>)]
    pub units: Option<Units>,
}

impl InUnits {
    /// The units asked for, or the shop's own.
    pub fn of(&self, desk: &Shared) -> Result<Units, Trouble> {
        self.units.map_or_else(|| Ok(desk.shelf()?.settings.units), Ok)
    }
}

/// Runs work that waits or computes on a thread of its own.
pub async fn work<T: Send + 'static>(
    desk: Shared,
    job: impl FnOnce(&Shared) -> Result<T, Trouble> + Send + 'static,
) -> Result<T, Trouble> {
    tokio::task::spawn_blocking(move || job(&desk))
        .await
        .unwrap_or_else(|_| Err(Trouble::new(Kind::Internal, "the program failed", "the request could not be finished")))
}
