//! The bench: probes, sessions, readings, what they say, and lots.

use axum::Json;
use axum::extract::State;
use axum::http::StatusCode;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use quantity::Units;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use utoipa::{IntoParams, ToSchema};

use crate::benchwork::{
    BenchSheet, BenchView, ExpectedView, FitWish, FoundView, GradeView, Imported, InspectionBody, InspectionView,
    KeepBody, KeptLine, MeasuredView, NewSession, PlaceBody, PlanBody, PlanView, ProbeBody, ProbeLine, ReadingBody,
    SessionChange, SessionView, plan_view, sheet, was_there,
};
use crate::meter::MeterView;
use crate::printing::Form;
use crate::problem::Problem;
use crate::reading;
use crate::serve::Shared;
use crate::serve::wire::{At, Body, File, InUnits, Params, in_form, work};

/// Fits readings to probe and lots, and says what to read next; the form of the body is in docs/bench.md.
#[utoipa::path(post, path = "/bench/fit", params(InUnits), request_body = Object, responses((status = 200, body = BenchSheet), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn fit(
    State(desk): State<Shared>,
    Params(units): Params<InUnits>,
    Body(session): Body<Value>,
) -> Result<Json<BenchSheet>, Problem> {
    work(desk, move |desk| {
        let session = reading::read(&session)?;
        Ok(Json(sheet(&session, &desk.shop.grades()?, &units.of(desk)?)?))
    })
    .await
}

/// The bench: probes, sessions and kept values.
#[utoipa::path(get, path = "/bench", params(InUnits), responses((status = 200, body = BenchView), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn overview(State(desk): State<Shared>, Params(units): Params<InUnits>) -> Result<Json<BenchView>, Problem> {
    work(desk, move |desk| Ok(Json(desk.bench(&units.of(desk)?)?))).await
}

/// A probe to begin with: a usual one that nobody has measured.
#[utoipa::path(get, path = "/bench/probes/start", params(InUnits), responses((status = 200, body = ProbeBody), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn probe_start(
    State(desk): State<Shared>,
    Params(units): Params<InUnits>,
) -> Result<Json<ProbeBody>, Problem> {
    work(desk, move |desk| Ok(Json(ProbeBody::usual(&units.of(desk)?)))).await
}

/// Keeps a probe under an id of the caller's making: a new one, or other values of one that is known.
#[utoipa::path(put, path = "/bench/probes/{id}", params(("id" = String, Path), InUnits), request_body = ProbeBody, responses((status = 200, body = ProbeLine), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn put_probe(
    State(desk): State<Shared>,
    At(id): At<String>,
    Params(units): Params<InUnits>,
    Body(probe): Body<ProbeBody>,
) -> Result<Json<ProbeLine>, Problem> {
    work(desk, move |desk| {
        Ok(Json(desk.put_probe(&id, &probe, &units.of(desk)?)?))
    })
    .await
}

/// Takes a probe away; its sessions stay, and it can be restored.
#[utoipa::path(delete, path = "/bench/probes/{id}", params(("id" = String, Path)), responses((status = 204), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn remove_probe(State(desk): State<Shared>, At(id): At<String>) -> Result<StatusCode, Problem> {
    done(desk, move |desk| was_there(desk.shop.remove_probe(&id)?, "probe", &id)).await
}

/// Brings a probe back.
#[utoipa::path(post, path = "/bench/probes/{id}/restore", params(("id" = String, Path)), responses((status = 204), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn restore_probe(State(desk): State<Shared>, At(id): At<String>) -> Result<StatusCode, Problem> {
    done(desk, move |desk| was_there(desk.shop.restore_probe(&id)?, "probe", &id)).await
}

/// Names the probe that the shop usually reads with.
#[utoipa::path(post, path = "/bench/probes/{id}/usual", params(("id" = String, Path)), responses((status = 204), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn usual_probe(State(desk): State<Shared>, At(id): At<String>) -> Result<StatusCode, Problem> {
    done(desk, move |desk| Ok(desk.shop.set_usual_probe(Some(&id))?)).await
}

/// Begins a session under an id of the caller's making. Sent again, it is the same session.
#[utoipa::path(post, path = "/bench/sessions", params(InUnits), request_body = NewSession, responses((status = 200, body = SessionView), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn begin(
    State(desk): State<Shared>,
    Params(units): Params<InUnits>,
    Body(session): Body<NewSession>,
) -> Result<Json<SessionView>, Problem> {
    work(desk, move |desk| {
        Ok(Json(desk.begin_session(&session, &units.of(desk)?)?))
    })
    .await
}

/// A session with every reading against its own band, the newest first.
#[utoipa::path(get, path = "/bench/sessions/{id}", params(("id" = String, Path), FitWish, InUnits), responses((status = 200, body = SessionView), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn session(
    State(desk): State<Shared>,
    At(id): At<String>,
    Params(wish): Params<FitWish>,
    Params(units): Params<InUnits>,
) -> Result<Json<SessionView>, Problem> {
    work(desk, move |desk| {
        Ok(Json(desk.session(&id, &wish, &units.of(desk)?)?))
    })
    .await
}

/// Changes the name of its lot, or its thickness as measured.
#[utoipa::path(patch, path = "/bench/sessions/{id}", params(("id" = String, Path), InUnits), request_body = SessionChange, responses((status = 200, body = SessionView), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn change(
    State(desk): State<Shared>,
    At(id): At<String>,
    Params(units): Params<InUnits>,
    Body(change): Body<SessionChange>,
) -> Result<Json<SessionView>, Problem> {
    work(desk, move |desk| {
        Ok(Json(desk.change_session(&id, &change, &units.of(desk)?)?))
    })
    .await
}

/// Takes a session away with its readings; it can be restored.
#[utoipa::path(delete, path = "/bench/sessions/{id}", params(("id" = String, Path)), responses((status = 204), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn remove_session(State(desk): State<Shared>, At(id): At<String>) -> Result<StatusCode, Problem> {
    done(desk, move |desk| {
        was_there(desk.shop.remove_session(&id)?, "session", &id)
    })
    .await
}

/// Brings a session back.
#[utoipa::path(post, path = "/bench/sessions/{id}/restore", params(("id" = String, Path)), responses((status = 204), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn restore_session(State(desk): State<Shared>, At(id): At<String>) -> Result<StatusCode, Problem> {
    done(desk, move |desk| {
        was_there(desk.shop.restore_session(&id)?, "session", &id)
    })
    .await
}

/// Adds a reading, which is on the disk when the answer comes. Sent again, it is the same reading.
#[utoipa::path(post, path = "/bench/sessions/{id}/readings", params(("id" = String, Path)), request_body = ReadingBody, responses((status = 204), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn add_reading(
    State(desk): State<Shared>,
    At(id): At<String>,
    Body(taken): Body<ReadingBody>,
) -> Result<StatusCode, Problem> {
    done(desk, move |desk| desk.add_readings(&id, &[taken])).await
}

/// Takes a reading back; it can be restored.
#[utoipa::path(delete, path = "/bench/readings/{id}", params(("id" = String, Path)), responses((status = 204), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn take_back(State(desk): State<Shared>, At(id): At<String>) -> Result<StatusCode, Problem> {
    done(desk, move |desk| desk.take_back(&id)).await
}

/// Brings a reading back that was taken back.
#[utoipa::path(post, path = "/bench/readings/{id}/restore", params(("id" = String, Path)), responses((status = 204), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn restore_reading(State(desk): State<Shared>, At(id): At<String>) -> Result<StatusCode, Problem> {
    done(desk, move |desk| {
        was_there(desk.shop.restore_reading(&id)?, "reading", &id)
    })
    .await
}

/// Whether a reading counts.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct StandingBody {
    /// `judged` by the others, `counted` in any case, or `left_out`.
    standing: String,
}

/// Says whether a reading counts.
#[utoipa::path(put, path = "/bench/readings/{id}/standing", params(("id" = String, Path)), request_body = StandingBody, responses((status = 204), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn stand(
    State(desk): State<Shared>,
    At(id): At<String>,
    Body(body): Body<StandingBody>,
) -> Result<StatusCode, Problem> {
    done(desk, move |desk| desk.stand(&id, &body.standing)).await
}

/// What an instrument is expected to show, before it does.
#[utoipa::path(post, path = "/bench/sessions/{id}/expected", params(("id" = String, Path), FitWish, InUnits), request_body = PlaceBody, responses((status = 200, body = ExpectedView), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn expected(
    State(desk): State<Shared>,
    At(id): At<String>,
    Params(wish): Params<FitWish>,
    Params(units): Params<InUnits>,
    Body(place): Body<PlaceBody>,
) -> Result<Json<ExpectedView>, Problem> {
    work(desk, move |desk| {
        Ok(Json(desk.expected(&id, &wish, &place, &units.of(desk)?)?))
    })
    .await
}

/// What the readings of a session say; nothing where there are none.
#[derive(Serialize, ToSchema)]
pub struct Found {
    /// It.
    found: Option<FoundView>,
}

/// What the readings of a session say, what they cannot tell apart, and what to read next.
#[utoipa::path(get, path = "/bench/sessions/{id}/found", params(("id" = String, Path), FitWish, InUnits), responses((status = 200, body = Found), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn found(
    State(desk): State<Shared>,
    At(id): At<String>,
    Params(wish): Params<FitWish>,
    Params(units): Params<InUnits>,
) -> Result<Json<Found>, Problem> {
    work(desk, move |desk| {
        Ok(Json(Found {
            found: desk.found(&id, &wish, &units.of(desk)?)?,
        }))
    })
    .await
}

/// Keeps a value that the readings tell: it is used from then on, and can be removed.
#[utoipa::path(post, path = "/bench/sessions/{id}/kept", params(("id" = String, Path), FitWish, InUnits), request_body = KeepBody, responses((status = 200, body = KeptLine), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn keep(
    State(desk): State<Shared>,
    At(id): At<String>,
    Params(wish): Params<FitWish>,
    Params(units): Params<InUnits>,
    Body(body): Body<KeepBody>,
) -> Result<Json<KeptLine>, Problem> {
    work(desk, move |desk| {
        Ok(Json(desk.keep_found(&id, &wish, &body, &units.of(desk)?)?))
    })
    .await
}

/// Removes a value that was kept; it can be restored.
#[utoipa::path(delete, path = "/bench/kept/{id}", params(("id" = String, Path)), responses((status = 204), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn remove_kept(State(desk): State<Shared>, At(id): At<String>) -> Result<StatusCode, Problem> {
    done(desk, move |desk| {
        was_there(desk.shop.remove_result(&id)?, "kept value", &id)
    })
    .await
}

/// Brings a removed value back.
#[utoipa::path(post, path = "/bench/kept/{id}/restore", params(("id" = String, Path)), responses((status = 204), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn restore_kept(State(desk): State<Shared>, At(id): At<String>) -> Result<StatusCode, Problem> {
    done(desk, move |desk| {
        was_there(desk.shop.restore_result(&id)?, "kept value", &id)
    })
    .await
}

/// What the lot of a session is by its readings: the chance of each grade.
#[utoipa::path(get, path = "/bench/sessions/{id}/grade", params(("id" = String, Path), InUnits), responses((status = 200, body = GradeView), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn grade(
    State(desk): State<Shared>,
    At(id): At<String>,
    Params(units): Params<InUnits>,
) -> Result<Json<GradeView>, Problem> {
    work(desk, move |desk| Ok(Json(desk.grade(&id, &units.of(desk)?)?))).await
}

/// The sampling plan for a lot, with its operating curve.
#[utoipa::path(post, path = "/bench/plan", request_body = PlanBody, responses((status = 200, body = PlanView), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn plan(State(desk): State<Shared>, Body(body): Body<PlanBody>) -> Result<Json<PlanView>, Problem> {
    work(desk, move |_| Ok(Json(plan_view(&body)?))).await
}

/// The lot of a session while it is inspected.
#[utoipa::path(post, path = "/bench/sessions/{id}/inspection", params(("id" = String, Path), InUnits), request_body = InspectionBody, responses((status = 200, body = InspectionView), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn inspection(
    State(desk): State<Shared>,
    At(id): At<String>,
    Params(units): Params<InUnits>,
    Body(body): Body<InspectionBody>,
) -> Result<Json<InspectionView>, Problem> {
    work(desk, move |desk| {
        Ok(Json(desk.inspection(&id, &body, &units.of(desk)?)?))
    })
    .await
}

/// Notes the verdict on the lot of a session, for how strictly the next lot of its magnet is inspected.
#[utoipa::path(put, path = "/bench/sessions/{id}/verdict", params(("id" = String, Path), InUnits), request_body = InspectionBody, responses((status = 204), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn note_verdict(
    State(desk): State<Shared>,
    At(id): At<String>,
    Params(units): Params<InUnits>,
    Body(body): Body<InspectionBody>,
) -> Result<StatusCode, Problem> {
    done(desk, move |desk| desk.note_verdict(&id, &body, &units.of(desk)?)).await
}

/// Takes back what was noted of the lot of a session.
#[utoipa::path(delete, path = "/bench/sessions/{id}/verdict", params(("id" = String, Path)), responses((status = 204), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn take_verdict_back(State(desk): State<Shared>, At(id): At<String>) -> Result<StatusCode, Problem> {
    done(desk, move |desk| {
        was_there(desk.shop.remove_inspection(&id)?, "noted verdict of session", &id)
    })
    .await
}

/// The table as measured: what the shop's meters read on its magnets, beside what was predicted.
#[utoipa::path(get, path = "/bench/table", params(InUnits), responses((status = 200, body = MeasuredView), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn measured(
    State(desk): State<Shared>,
    Params(units): Params<InUnits>,
) -> Result<Json<MeasuredView>, Problem> {
    work(desk, move |desk| Ok(Json(desk.measured(&units.of(desk)?)?))).await
}

/// The form of a file, and the units of its figures.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct TableFile {
    /// `csv`, `xlsx`, `pdf` or `html`.
    #[param(value_type = String)]
    form: Form,
    /// `metric`, `inch`, or changes to metric such as `mm,lbf,G`; the shop's own where it is absent.
    #[param(value_type = Option<String>)]
    units: Option<Units>,
}

/// The table as measured, as a file.
#[utoipa::path(get, path = "/bench/table/file", params(TableFile), responses((status = 200, body = Vec<u8>, content_type = "application/octet-stream"), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn measured_file(State(desk): State<Shared>, Params(file): Params<TableFile>) -> Result<Response, Problem> {
    work(desk, move |desk| {
        let units = InUnits { units: file.units }.of(desk)?;
        let bytes = desk.measured_file(file.form, &units)?;
        Ok(in_form(file.form, "as-measured", bytes))
    })
    .await
}

/// What the instrument that is read live said last, and whether it holds still.
#[utoipa::path(get, path = "/bench/meter", params(InUnits), responses((status = 200, body = MeterView), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn meter(State(desk): State<Shared>, Params(units): Params<InUnits>) -> Result<Json<MeterView>, Problem> {
    work(desk, move |desk| Ok(Json(desk.meter.view(&units.of(desk)?)))).await
}

/// Adds the readings of a table, comma-separated or a workbook: all of them, or none. The same file adds nothing again.
#[utoipa::path(post, path = "/bench/sessions/{id}/import", params(("id" = String, Path)), request_body(content = Vec<u8>, content_type = "application/octet-stream"), responses((status = 200, body = Imported), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn import_readings(
    State(desk): State<Shared>,
    At(id): At<String>,
    File(bytes): File,
) -> Result<Json<Imported>, Problem> {
    work(desk, move |desk| Ok(Json(desk.import_readings(&id, &bytes)?))).await
}

/// The readings of a session as a table that can be read in again.
#[utoipa::path(get, path = "/bench/sessions/{id}/export", params(("id" = String, Path), InUnits), responses((status = 200, content_type = "text/csv"), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn export_readings(
    State(desk): State<Shared>,
    At(id): At<String>,
    Params(units): Params<InUnits>,
) -> Result<Response, Problem> {
    work(desk, move |desk| {
        let text = desk.export_readings(&id, &units.of(desk)?)?;
        let headers = [
            (CONTENT_TYPE, "text/csv; charset=utf-8".to_string()),
            (CONTENT_DISPOSITION, "attachment; filename=\"readings.csv\"".to_string()),
        ];
        Ok((headers, format!("\u{feff}{text}")).into_response())
    })
    .await
}

/// Work that answers nothing.
async fn done(
    desk: Shared,
    job: impl FnOnce(&Shared) -> Result<(), Problem> + Send + 'static,
) -> Result<StatusCode, Problem> {
    work(desk, move |desk| job(desk).map(|()| StatusCode::NO_CONTENT)).await
}
