//! The shelf: looking, importing and exporting.

use advice::detail::at_face;
use advice::question::ShapeKind;
use advice::rules::kind_of;
use advice::view::goods::{self, GoodsLine};
use advice::view::item::{self, ItemLine};
use advice::view::part::{self, PartLine};
use axum::Json;
use axum::extract::State;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use quantity::Units;
use serde::{Deserialize, Serialize};
use shop::Undone;
use utoipa::{IntoParams, ToSchema};

use crate::problem::{Kind, Problem};
use crate::serve::Shared;
use crate::serve::pools::{self, FILES};
use crate::serve::wire::{Params, work};

/// The most items of a page of the shelf.
const MOST_LISTED: usize = 500;

/// Which items to list.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct ListParams {
    /// Words that code, name, size, grade, coating or note must hold.
    #[serde(default)]
    search: String,
    /// `disc`, `ring`, `block` or `sphere`.
    #[serde(default)]
    shape: String,
    /// `code`, `price`, `size` or `stock`.
    #[serde(default)]
    sort: String,
    /// How many to pass over.
    #[serde(default)]
    offset: usize,
    /// How many to list.
    limit: Option<usize>,
    /// Units of every text.
    #[param(value_type = Option<String>)]
    units: Option<Units>,
}

/// A page of the shelf.
#[derive(Serialize, ToSchema)]
pub struct ShelfPage {
    revision: u64,
    total: usize,
    items: Vec<ItemLine>,
}

/// Items of the shelf.
#[utoipa::path(get, path = "/shelf", params(ListParams), responses((status = 200, body = ShelfPage), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn list(State(desk): State<Shared>, Params(params): Params<ListParams>) -> Result<Json<ShelfPage>, Problem> {
    work(desk, move |desk| {
        let shelf = desk.shelf()?;
        let reader = shelf.reader(&params.units.unwrap_or(shelf.settings.units));
        let shape = shape_named(&params.shape)?;
        let mut items = desk.shop.search(&params.search)?;
        items.retain(|i| shape.is_none_or(|s| kind_of(&i.shape) == s));
        match params.sort.as_str() {
            "" | "code" => {}
            "price" => items.sort_by_key(|i| i.prices.first().map_or(i64::MAX, |p| p.each.parts())),
            "size" => items.sort_by(|a, b| {
                let size = |i: &advice::Item| (i.shape.widest(), i.shape.height());
                let ((aw, ah), (bw, bh)) = (size(a), size(b));
                aw.total_cmp(&bw).then(ah.total_cmp(&bh))
            }),
            "stock" => items.sort_by_key(|i| std::cmp::Reverse(i.stock)),
            other => {
                return Err(Problem::new(
                    Kind::Asked,
                    "no such order",
                    format!("the shelf is not sorted by {other:?}"),
                )
                .hint("sort by code, price, size or stock")
                .field("sort"));
            }
        }
        let shown = items
            .iter()
            .skip(params.offset)
            .take(params.limit.unwrap_or(50).min(MOST_LISTED));
        Ok(Json(ShelfPage {
            revision: shelf.revision,
            total: items.len(),
            items: shown
                .map(|i| item::line(i, at_face(i, &shelf.catalogue), &reader))
                .collect(),
        }))
    })
    .await
}

/// Which parts or goods to list.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct PartParams {
    /// Words that code, name, kind, size, material or note must hold.
    #[serde(default)]
    search: String,
    /// Units of every text.
    #[param(value_type = Option<String>)]
    units: Option<Units>,
}

/// Steel parts of the shelf, at most 500.
#[utoipa::path(get, path = "/parts", params(PartParams), responses((status = 200, body = Vec<PartLine>), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn parts(
    State(desk): State<Shared>,
    Params(params): Params<PartParams>,
) -> Result<Json<Vec<PartLine>>, Problem> {
    work(desk, move |desk| {
        let shelf = desk.shelf()?;
        let reader = shelf.reader(&params.units.unwrap_or(shelf.settings.units));
        let parts = desk.shop.search_parts(&params.search)?;
        let lines = parts.iter().take(MOST_LISTED).map(|p| part::line(p, &reader));
        Ok(Json(lines.collect()))
    })
    .await
}

/// Pots, hooks, strips and the like on the shelf, at most 500. Nothing is computed for them: their pull is the maker's.
#[utoipa::path(get, path = "/goods", params(PartParams), responses((status = 200, body = Vec<GoodsLine>), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn goods(
    State(desk): State<Shared>,
    Params(params): Params<PartParams>,
) -> Result<Json<Vec<GoodsLine>>, Problem> {
    work(desk, move |desk| {
        let shelf = desk.shelf()?;
        let reader = shelf.reader(&params.units.unwrap_or(shelf.settings.units));
        let found = desk.shop.search_goods(&params.search)?;
        let lines = found.iter().take(MOST_LISTED).map(|g| goods::line(g, &reader));
        Ok(Json(lines.collect()))
    })
    .await
}

fn shape_named(name: &str) -> Result<Option<ShapeKind>, Problem> {
    if name.is_empty() {
        return Ok(None);
    }
    let all = ShapeKind::ALL.map(ShapeKind::name);
    ShapeKind::named(name).map(Some).ok_or_else(|| {
        Problem::new(
            Kind::Asked,
            "no such shape",
            format!("{name:?} is not a shape of the shelf"),
        )
        .hint(format!("the shapes are {}", all.join(", ")))
        .field("shape")
    })
}

/// The revision after a change.
#[derive(Serialize, ToSchema)]
pub struct Revision {
    /// Its number.
    pub revision: u64,
}

/// A change that was taken back or done again.
#[derive(Serialize, ToSchema)]
pub struct UndoneChange {
    /// The revision now.
    pub revision: u64,
    /// Name of the price list, or `settings`.
    pub what: String,
}

impl From<Undone> for UndoneChange {
    fn from(undone: Undone) -> Self {
        Self {
            revision: undone.revision,
            what: undone.what,
        }
    }
}

/// Does again what was taken back last, unless the shelf was changed since.
#[utoipa::path(post, path = "/shelf/redo", responses((status = 200, body = UndoneChange), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn redo(State(desk): State<Shared>) -> Result<Json<UndoneChange>, Problem> {
    work(desk, |desk| Ok(Json(desk.shop.redo()?.into()))).await
}

/// Takes the last import or change of settings back.
#[utoipa::path(post, path = "/shelf/undo", responses((status = 200, body = UndoneChange), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn undo(State(desk): State<Shared>) -> Result<Json<UndoneChange>, Problem> {
    work(desk, |desk| Ok(Json(desk.shop.undo()?.into()))).await
}

/// In which form to export.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct ExportParams {
    /// `csv` or `xlsx`.
    #[serde(default)]
    format: String,
}

/// The shelf as a file that can be imported again.
#[utoipa::path(get, path = "/shelf/export", params(ExportParams), responses((status = 200, content_type = "application/octet-stream"), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn export(State(desk): State<Shared>, Params(params): Params<ExportParams>) -> Result<Response, Problem> {
    pools::run(&FILES, desk, move |desk, _| {
        let (bytes, mime, name) = match params.format.as_str() {
            "" | "csv" => (shop::export::csv(&desk.shop)?, "text/csv; charset=utf-8", "shelf.csv"),
            "xlsx" => (
                shop::export::xlsx(&desk.shop)?,
                "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
                "shelf.xlsx",
            ),
            other => {
                return Err(Problem::new(
                    Kind::Asked,
                    "no such format",
                    format!("the shelf is not exported as {other:?}"),
                )
                .hint("csv or xlsx")
                .field("format"));
            }
        };
        let headers = [
            (CONTENT_TYPE, mime.to_string()),
            (CONTENT_DISPOSITION, format!("attachment; filename=\"{name}\"")),
        ];
        Ok((headers, bytes).into_response())
    })
    .await
}
