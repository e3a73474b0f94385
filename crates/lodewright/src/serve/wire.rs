//! Requests and answers on the wire: bodies, parameters, errors, and work that may take a while.

use std::time::Duration;

use axum::Json;
use axum::body::Bytes;
use axum::extract::rejection::{BytesRejection, PathRejection, QueryRejection};
use axum::extract::{FromRequest, FromRequestParts, Request};
use axum::http::header::{CACHE_CONTROL, CONTENT_DISPOSITION, CONTENT_TYPE, RETRY_AFTER};
use axum::http::{HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use press::Document;
use quantity::Units;
use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::Value;
use tokio::time::timeout;
use utoipa::IntoParams;

use crate::complaint::{Complaint, missing_key, plain};
use crate::printing::Form;
use crate::problem::{Kind, Problem};
use crate::reading;
use crate::serve::Shared;
use crate::serve::pools::{self, ASKING};

/// The body of a question must have come within so long, and that of a price list.
const QUESTION_WITHIN: Duration = Duration::from_secs(20);
const FILE_WITHIN: Duration = Duration::from_secs(300);

impl IntoResponse for Problem {
    fn into_response(self) -> Response {
        let status = StatusCode::from_u16(self.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
        let retry_after = self.more.retry_after;
        let mut response = (status, Json(self)).into_response();
        let headers = response.headers_mut();
        headers.insert(CONTENT_TYPE, HeaderValue::from_static("application/problem+json"));
        headers.insert(CACHE_CONTROL, HeaderValue::from_static("no-store"));
        if let Some(seconds) = retry_after {
            headers.insert(RETRY_AFTER, HeaderValue::from(seconds));
        }
        response
    }
}

impl From<QueryRejection> for Problem {
    fn from(rejection: QueryRejection) -> Self {
        let text = rejection.body_text();
        let (name, complaint) = of_parameter(&text);
        let problem = Self::new(Kind::Asked, "the parameters do not read", complaint.message).hint(
            complaint
                .hint
                .unwrap_or_else(|| "see /api/openapi.json for the parameters of each request".into()),
        );
        match name {
            Some(name) => problem.field(name),
            None => problem,
        }
    }
}

/// The parameter to blame and the complaint about it, of a rejection: `...: limit: invalid digit found in string`.
fn of_parameter(rejection: &str) -> (Option<&str>, Complaint) {
    let said = rejection.split_once(": ").map_or(rejection, |(_, said)| said);
    if let Some(name) = missing_key(said) {
        return (Some(name), plain(said));
    }
    let is_name = |name: &str| !name.is_empty() && name.bytes().all(|b| b.is_ascii_lowercase() || b == b'_');
    match said.split_once(": ") {
        Some((name, said)) if is_name(name) => (Some(name), plain(said)),
        _ => (None, plain(said)),
    }
}

impl From<PathRejection> for Problem {
    fn from(rejection: PathRejection) -> Self {
        Self::new(Kind::Absent, "no such place", rejection.body_text())
            .hint("the interface is described at /api/openapi.json")
    }
}

impl From<BytesRejection> for Problem {
    fn from(rejection: BytesRejection) -> Self {
        if rejection.status() == StatusCode::PAYLOAD_TOO_LARGE {
            return Self::new(
                Kind::TooLarge,
                "too large",
                "the body of the request is larger than is taken here",
            )
            .hint("a question has at most 256 KiB, a price list at most 64 MiB");
        }
        Self::new(Kind::Malformed, "the body was not received", rejection.body_text()).hint("send it again")
    }
}

/// A JSON body; its errors have the form of all errors and point to the part that is wrong.
pub struct Body<T>(pub T);

impl<S: Send + Sync, T: DeserializeOwned> FromRequest<S> for Body<T> {
    type Rejection = Problem;

    async fn from_request(request: Request, state: &S) -> Result<Self, Problem> {
        Ok(Self(reading::read(&json(request, state).await?)?))
    }
}

/// A JSON body whose keys state the units of its numbers, as in `diameter_mm`: text with a unit is taken in their place.
pub struct Stated<T>(pub T);

impl<S: Send + Sync, T: DeserializeOwned> FromRequest<S> for Stated<T> {
    type Rejection = Problem;

    async fn from_request(request: Request, state: &S) -> Result<Self, Problem> {
        Ok(Self(reading::read_stated(json(request, state).await?)?))
    }
}

async fn json<S: Send + Sync>(request: Request, state: &S) -> Result<Value, Problem> {
    // A page elsewhere can send a form without asking, but not JSON.
    let kind = request
        .headers()
        .get(CONTENT_TYPE)
        .and_then(|v| v.to_str().ok())
        .unwrap_or_default();
    if !kind
        .split(';')
        .next()
        .unwrap_or_default()
        .trim()
        .eq_ignore_ascii_case("application/json")
    {
        return Err(
            Problem::new(Kind::Media, "not JSON", format!("the content type is {kind:?}"))
                .hint("send JSON with content-type: application/json"),
        );
    }
    let bytes = received(request, state, QUESTION_WITHIN).await?;
    serde_json::from_slice(&bytes).map_err(|e| {
        Problem::new(
            Kind::Malformed,
            "not JSON",
            format!("the body is not JSON from line {}, column {}", e.line(), e.column()),
        )
        .hint("see /api/openapi.json for the form of each request")
    })
}

/// The whole body, where it comes within that time.
async fn received<S: Send + Sync>(request: Request, state: &S, within: Duration) -> Result<Bytes, Problem> {
    timeout(within, Bytes::from_request(request, state))
        .await
        .map_err(|_| {
            let detail = format!("the body of the request did not come within {} s", within.as_secs());
            Problem::new(Kind::Slow, "the body was not received", detail).hint("send it again")
        })?
        .map_err(Problem::from)
}

/// Parts of the path; where they do not read there is no such place.
#[derive(FromRequestParts)]
#[from_request(via(axum::extract::Path), rejection(Problem))]
pub struct At<T>(pub T);

/// Parameters whose errors have the form of all errors.
#[derive(FromRequestParts)]
#[from_request(via(axum::extract::Query), rejection(Problem))]
pub struct Params<T>(pub T);

/// A file whose errors have the form of all errors.
pub struct File(pub Bytes);

impl<S: Send + Sync> FromRequest<S> for File {
    type Rejection = Problem;

    async fn from_request(request: Request, state: &S) -> Result<Self, Problem> {
        Ok(Self(received(request, state, FILE_WITHIN).await?))
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
    pub fn of(&self, desk: &Shared) -> Result<Units, Problem> {
        self.units.map_or_else(|| Ok(desk.shelf()?.settings.units), Ok)
    }
}

/// What an address carries as JSON in `for`.
pub fn in_address<T: DeserializeOwned>(text: &str, what: &str) -> Result<T, Problem> {
    let value: Value = serde_json::from_str(text)
        .map_err(|e| Problem::new(Kind::Malformed, "not JSON", format!("{what} is not JSON: {e}")).field("for"))?;
    Ok(reading::read(&value)?)
}

/// A document in that form: PDF is shown by the browser, a page of HTML is saved.
///
/// # Errors
/// When it cannot be made.
pub fn paper(document: &Document, form: Option<Form>, name: &str) -> Result<Response, Problem> {
    let form = form.unwrap_or_default();
    Ok(in_form(form, name, form.written(document)?))
}

/// A file in that form, under that name with the form's end.
pub fn in_form(form: Form, name: &str, bytes: Vec<u8>) -> Response {
    // HTML is not shown: it would stand among the server's own pages.
    let shown = form == Form::Pdf;
    attachment(form.media_type(), shown, &format!("{name}.{}", form.end()), bytes)
}

/// A file, shown by the browser or else saved at once, under that name.
pub fn attachment(kind: &'static str, shown: bool, name: &str, bytes: Vec<u8>) -> Response {
    let plain: String = name
        .chars()
        .map(|c| {
            if c.is_ascii_alphanumeric() || "-_.".contains(c) {
                c
            } else {
                '-'
            }
        })
        .collect();
    let place = if shown { "inline" } else { "attachment" };
    let headers = [
        (CONTENT_TYPE, kind.to_owned()),
        (CONTENT_DISPOSITION, format!("{place}; filename=\"{plain}\"")),
    ];
    (headers, bytes).into_response()
}

/// Does work that is quick, or waits for the database, on a thread beside those of the connections.
pub async fn work<T: Send + 'static>(
    desk: Shared,
    job: impl FnOnce(&Shared) -> Result<T, Problem> + Send + 'static,
) -> Result<T, Problem> {
    pools::run(&ASKING, desk, |desk, _| job(desk)).await
}

#[cfg(test)]
mod tests {
    use std::convert::Infallible;
    use std::pin::Pin;
    use std::task::{Context, Poll};

    use axum::body::Body as Sent;
    use hyper::body::{Body as Parts, Frame};

    use super::*;

    /// A body of which nothing ever comes.
    struct Never;

    impl Parts for Never {
        type Data = Bytes;
        type Error = Infallible;

        fn poll_frame(self: Pin<&mut Self>, _: &mut Context<'_>) -> Poll<Option<Result<Frame<Bytes>, Infallible>>> {
            Poll::Pending
        }
    }

    #[tokio::test]
    async fn a_body_that_does_not_come_is_given_up() {
        let request = Request::new(Sent::new(Never));
        let problem = received(request, &(), Duration::from_millis(10)).await.unwrap_err();
        assert_eq!(problem.status, 408);
        assert!(problem.detail.contains("did not come"), "{problem}");
    }
}
