//! The desk as the day's work.

use axum::Json;
use axum::extract::State;
use axum::http::StatusCode;
use serde::Deserialize;
use shop::entries::{Change, Gone, Missed, Purged, Wanted};
use utoipa::{IntoParams, ToSchema};

use crate::daywork::{DayWork, EntryView, FileRequest, FiledAs, MOST_LISTED, start_of, status_named};
use crate::problem::{Kind, Problem};
use crate::serve::Shared;
use crate::serve::wire::{At, Body, InUnits, Params, work};

/// Which entries are wanted.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct EntryParams {
    /// Words that an entry holds, by their beginnings.
    #[serde(default)]
    search: String,
    /// `open`, `sent`, `ordered` or `returned`.
    status: Option<String>,
    /// Only those that are marked.
    #[serde(default)]
    star: bool,
    /// Only those to follow up on or before that day, `2026-05-21`.
    due: Option<String>,
    /// Only those that the shelf could not meet.
    #[serde(default)]
    missed: bool,
    /// So many are left out.
    #[serde(default)]
    offset: usize,
    /// At most so many; 50 where absent, never more than 200.
    limit: Option<usize>,
}

/// The entries, newest first, with how many there are.
#[utoipa::path(get, path = "/entries", params(EntryParams), responses((status = 200, body = DayWork), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn list_entries(
    State(desk): State<Shared>,
    Params(asked): Params<EntryParams>,
) -> Result<Json<DayWork>, Problem> {
    work(desk, move |desk| {
        let wanted = Wanted {
            search: asked.search,
            status: asked.status.as_deref().map(status_named).transpose()?,
            star: asked.star,
            due: asked.due,
            missed: asked.missed,
            offset: asked.offset,
            limit: asked.limit.unwrap_or(50).min(MOST_LISTED),
        };
        Ok(Json(desk.day_work(&wanted)?))
    })
    .await
}

/// Files an enquiry that is no choice of magnets; a choice is filed when its answer is kept.
#[utoipa::path(post, path = "/entries", params(InUnits), request_body = FileRequest, responses((status = 200, body = FiledAs), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn file_entry(
    State(desk): State<Shared>,
    Params(units): Params<InUnits>,
    Body(request): Body<FileRequest>,
) -> Result<Json<FiledAs>, Problem> {
    work(desk, move |desk| {
        let id = desk.file_enquiry(&request, &units.of(desk)?)?;
        Ok(Json(FiledAs { id }))
    })
    .await
}

/// Changes an entry: customer, note, status, day to follow up, mark, what went out.
#[utoipa::path(patch, path = "/entries/{id}", params(("id" = String, Path)), request_body = Change, responses((status = 200, body = EntryView), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn change_entry(
    State(desk): State<Shared>,
    At(id): At<String>,
    Body(change): Body<Change>,
) -> Result<Json<EntryView>, Problem> {
    work(desk, move |desk| Ok(Json(desk.change_entry(&id, &change)?))).await
}

/// Changes the newest entry of a kept answer.
#[utoipa::path(patch, path = "/answers/{id}/entry", params(("id" = String, Path)), request_body = Change, responses((status = 200, body = EntryView), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn change_entry_of_answer(
    State(desk): State<Shared>,
    At(id): At<String>,
    Body(change): Body<Change>,
) -> Result<Json<EntryView>, Problem> {
    work(desk, move |desk| {
        let entry = desk.shop.entry_of_answer(&id)?.ok_or_else(|| {
            Problem::new(
                Kind::Absent,
                "no such entry",
                format!("answer {id:?} has no entry on the desk"),
            )
        })?;
        Ok(Json(desk.change_entry(&entry, &change)?))
    })
    .await
}

/// Takes an entry off the desk; it can be restored.
#[utoipa::path(delete, path = "/entries/{id}", params(("id" = String, Path)), responses((status = 204), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn delete_entry(State(desk): State<Shared>, At(id): At<String>) -> Result<StatusCode, Problem> {
    work(desk, move |desk| {
        desk.mark_entry(&id, true).map(|()| StatusCode::NO_CONTENT)
    })
    .await
}

/// Brings an entry back.
#[utoipa::path(post, path = "/entries/{id}/restore", params(("id" = String, Path)), responses((status = 204), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn restore_entry(State(desk): State<Shared>, At(id): At<String>) -> Result<StatusCode, Problem> {
    work(desk, move |desk| {
        desk.mark_entry(&id, false).map(|()| StatusCode::NO_CONTENT)
    })
    .await
}

/// How far back.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct MissedParams {
    /// Days; 30 where absent.
    days: Option<u32>,
}

/// What was asked and the shelf could not give, grouped by what would have met it.
#[utoipa::path(get, path = "/missed", params(MissedParams), responses((status = 200, body = Vec<Missed>), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn missed_demand(
    State(desk): State<Shared>,
    Params(asked): Params<MissedParams>,
) -> Result<Json<Vec<Missed>>, Problem> {
    work(desk, move |desk| Ok(Json(desk.missed(asked.days.unwrap_or(30))?))).await
}

/// Whose data.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct Whose {
    /// The customer's name, exactly.
    customer: String,
}

/// All that is kept of a customer, to hand over.
#[utoipa::path(get, path = "/customers", params(Whose), responses((status = 200, body = Vec<EntryView>), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn hand_over_customer(
    State(desk): State<Shared>,
    Params(whose): Params<Whose>,
) -> Result<Json<Vec<EntryView>>, Problem> {
    work(desk, move |desk| Ok(Json(desk.hand_over(&whose.customer)?))).await
}

/// Deletes all entries of a customer for good; quotations are kept.
#[utoipa::path(delete, path = "/customers", params(Whose), responses((status = 200, body = Gone), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn forget_customer(State(desk): State<Shared>, Params(whose): Params<Whose>) -> Result<Json<Gone>, Problem> {
    work(desk, move |desk| Ok(Json(desk.forget(&whose.customer)?))).await
}

/// What is purged.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PurgeBody {
    /// Entries of before that day, `2026-05-21`.
    before: String,
    /// Whether they are only counted.
    #[serde(default)]
    count_only: bool,
}

/// Deletes old entries for good; those that are marked stay.
#[utoipa::path(post, path = "/entries/purge", request_body = PurgeBody, responses((status = 200, body = Purged), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn purge_entries(State(desk): State<Shared>, Body(body): Body<PurgeBody>) -> Result<Json<Purged>, Problem> {
    work(desk, move |desk| {
        let before = start_of(&body.before).ok_or_else(|| {
            Problem::new(Kind::Asked, "no such day", format!("{:?} is no day", body.before))
                .hint("such as 2026-05-21")
                .field("/before")
        })?;
        Ok(Json(if body.count_only {
            desk.shop.count_older(before)?
        } else {
            desk.shop.purge_older(before)?
        }))
    })
    .await
}
