//! Price lists and single items brought onto the shelf.

use axum::Json;
use axum::extract::State;
use quantity::Units;
use serde::{Deserialize, Serialize};
use shop::import::{self, Filled, Map, Options, Outcome, Preview, ReadOptions};
use shop::{Shop, ShopError};
use utoipa::{IntoParams, ToSchema};

use crate::desk::Desk;
use crate::problem::{Kind, Problem};
use crate::serve::Shared;
use crate::serve::pools::{self, FILES};
use crate::serve::shelf_routes::Revision;
use crate::serve::wire::{Body, File, Params, work};

/// How a price list is to be read.
#[derive(Clone, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct FileParams {
    /// Name of the file, for print.
    #[serde(default)]
    name: String,
    /// Unit of sizes that state none, such as `mm`.
    #[serde(default)]
    length_unit: String,
    /// `point`, `comma`, or absent to find it out.
    #[serde(default)]
    decimal: String,
    /// Which sheet of a workbook.
    #[serde(default)]
    sheet: String,
    /// Revision of the shelf that the importer has seen.
    revision: Option<u64>,
    /// Whether items that the file does not have are taken off the shelf.
    #[serde(default)]
    retire_missing: bool,
    /// What columns hold, as a JSON array of choices, each with a heading, a field such as `grade` or `price from 10` (empty for
    /// one that is not to be read) and perhaps a unit. Absent for what was said of an earlier file with the same headings.
    #[serde(default)]
    map: String,
    /// The line that names the columns, from 1; 0 where none does; absent to find it by its words.
    heading_line: Option<u32>,
    /// Whether the lines that cannot be read are left out.
    #[serde(default)]
    skip_bad: bool,
    /// Whether the consequences that the preview tells have been seen and are wanted.
    #[serde(default)]
    confirmed: bool,
    /// Units of every text.
    #[param(value_type = Option<String>)]
    units: Option<Units>,
}

/// A list as it is to be read.
struct List {
    table: import::Table,
    columns: Vec<import::Column>,
    /// What is said of it, and whether that was kept from an earlier one.
    map: Map,
    is_kept: bool,
}

impl FileParams {
    fn read(&self, shop: &Shop, bytes: &[u8]) -> Result<List, Problem> {
        let given = |text: &str| (!text.is_empty()).then(|| text.to_string());
        let options = ReadOptions {
            sheet: given(&self.sheet),
            heading_line: self.heading_line,
            ..ReadOptions::default()
        };
        let said = Map {
            columns: self.choices()?,
            length_unit: self.length_unit.clone(),
            decimal: self.decimal.clone(),
        };
        let mut table = import::read(bytes, &self.name, &options)?;
        let (map, is_kept) = if self.map.is_empty() {
            said.or_kept(shop, &table)?
        } else {
            (said, false)
        };
        let mut columns = import::recognise(&table);
        map.over(&mut table, &mut columns)?;
        Ok(List {
            table,
            columns,
            map,
            is_kept,
        })
    }

    fn choices(&self) -> Result<Vec<import::Choice>, Problem> {
        if self.map.is_empty() {
            return Ok(Vec::new());
        }
        serde_json::from_str(&self.map).map_err(|error| {
            Problem::new(
                Kind::Malformed,
                "the map of the columns does not read",
                error.to_string(),
            )
            .hint("a JSON array such as [{\"heading\": \"VK1\", \"field\": \"price from 1\"}]")
            .field("map")
        })
    }

    fn options(&self) -> Options {
        Options {
            retire_missing: self.retire_missing,
            revision: self.revision,
            units: self.units.unwrap_or_default(),
            confirmed: self.confirmed,
            skip_bad: self.skip_bad,
            keep: None,
        }
    }
}

/// Shows what an import of the file would change; changes nothing.
#[utoipa::path(post, path = "/shelf/preview", params(FileParams), request_body(content = Vec<u8>, content_type = "application/octet-stream"), responses((status = 200, body = Preview), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn preview(
    State(desk): State<Shared>,
    Params(params): Params<FileParams>,
    File(bytes): File,
) -> Result<Json<Preview>, Problem> {
    pools::run(&FILES, desk, move |desk, _| {
        let list = params.read(&desk.shop, &bytes)?;
        let options = Options {
            revision: None,
            ..params.options()
        };
        let preview = import::preview(&desk.shop, &list.table, &list.columns, &options)?;
        Ok(Json(Preview {
            kept: Some(list.map).filter(|_| list.is_kept),
            ..preview
        }))
    })
    .await
}

/// Imports the file: all of it, or nothing.
#[utoipa::path(post, path = "/shelf/import", params(FileParams), request_body(content = Vec<u8>, content_type = "application/octet-stream"), responses((status = 200, body = Outcome), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn import(
    State(desk): State<Shared>,
    Params(params): Params<FileParams>,
    File(bytes): File,
) -> Result<Json<Outcome>, Problem> {
    pools::run(&FILES, desk, move |desk, _| {
        let list = params.read(&desk.shop, &bytes)?;
        let options = Options {
            keep: Some(Map::of(&list.columns, &list.map.length_unit, &list.map.decimal)),
            ..params.options()
        };
        Ok(Json(import::apply(&desk.shop, &list.table, &list.columns, &options)?))
    })
    .await
}

/// Which item to fill in.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct FormParams {
    /// Code of an item or part of the shelf; absent for a new one.
    #[serde(default)]
    code: String,
}

/// The cells of one item, to be filled in or corrected, and what a revision they are of.
#[derive(Serialize, ToSchema)]
pub struct ItemForm {
    revision: u64,
    cells: Vec<Filled>,
}

/// The cells of an item or part of the shelf as an exported list has them, or those of a new one.
#[utoipa::path(get, path = "/shelf/item", params(FormParams), responses((status = 200, body = ItemForm), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn form(State(desk): State<Shared>, Params(params): Params<FormParams>) -> Result<Json<ItemForm>, Problem> {
    work(desk, move |desk| {
        let revision = desk.shop.revision()?;
        let cells =
            import::form(&desk.shop, &params.code)?.ok_or_else(|| ShopError::NotOnShelf(params.code.clone()))?;
        Ok(Json(ItemForm { revision, cells }))
    })
    .await
}

/// One item to be put on the shelf.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ItemEntry {
    /// What stands under which heading, as in a price list. What is absent stays as it is.
    cells: Vec<Filled>,
    /// Revision of the shelf that was seen.
    #[serde(default)]
    revision: Option<u64>,
    /// Whether it is a new one: its code must not be on the shelf.
    #[serde(default)]
    new: bool,
    /// Whether what would be lost has been seen and is wanted.
    #[serde(default)]
    confirmed: bool,
}

/// Puts one item on the shelf, new or over the one of its code; it can be taken back as an import can.
#[utoipa::path(post, path = "/shelf/item", request_body = ItemEntry, responses((status = 200, body = Outcome), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn put(State(desk): State<Shared>, Body(entry): Body<ItemEntry>) -> Result<Json<Outcome>, Problem> {
    work(desk, move |desk| Ok(Json(put_one(desk, &entry)?))).await
}

fn put_one(desk: &Desk, entry: &ItemEntry) -> Result<Outcome, Problem> {
    let table = import::one_line(&entry.cells)?;
    let code = entry.cells.iter().find(|cell| cell.heading == "code");
    if entry.new
        && let Some(code) = code
        && desk.shop.product(code.text.trim())?.is_some()
    {
        let detail = format!("the shelf has an item with the code \"{}\" already", code.text.trim());
        return Err(Problem::new(Kind::Conflict, "the code is taken", detail)
            .hint("another code; or open that item and correct it")
            .field("code"));
    }
    let options = Options {
        revision: entry.revision,
        confirmed: entry.confirmed,
        ..Options::default()
    };
    Ok(import::put(&desk.shop, &table, &options)?)
}

/// Takes an item or part off the shelf; it can be taken back as an import can.
#[utoipa::path(delete, path = "/shelf/item", params(FormParams), responses((status = 200, body = Revision), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn take_off(
    State(desk): State<Shared>,
    Params(params): Params<FormParams>,
) -> Result<Json<Revision>, Problem> {
    work(desk, move |desk| {
        let revision = import::take_off(&desk.shop, &params.code)?;
        Ok(Json(Revision { revision }))
    })
    .await
}
