//! One item as it is shown: its facts, curves, picture and cautions.

use magnetics::inside::Facing;
use quantity::{FluxDensity, Length, Mass, Temperature};
use serde::Serialize;
use utoipa::ToSchema;

use crate::answer::{Build, Predicted};
use crate::catalogue::Catalogue;
use crate::hazards;
use crate::heat;
use crate::item::Item;
use crate::ladder::{Face, LadderRequest, Measure, Rising};
use crate::predict::{Prediction, ROOM_CELSIUS, Task};
use crate::view::answer::{Silhouette, outline};
use crate::view::band::{self, BandView};
use crate::view::cautions::{self, Caution};
use crate::view::chart::{self, Chart};
use crate::view::picture::{self, Picture};
use crate::view::text::{Figure, Reader, count};

/// An item in words, figures, curves and a picture.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct ItemView {
    /// The shop's code.
    pub code: String,
    /// `Disc, 15 × 5 mm, N42`.
    pub title: String,
    /// What the shop calls it.
    pub name: String,
    /// What is known and predicted.
    pub facts: Vec<Fact>,
    /// What is predicted: the field at its face and its pull on thick steel.
    pub bands: Vec<BandView>,
    /// Prices by quantity.
    pub prices: Vec<PriceView>,
    /// Field against distance, pull against gap.
    pub charts: Vec<Chart>,
    /// Lines of flux.
    pub picture: Option<Picture>,
    /// Outline.
    pub silhouette: Silhouette,
    /// Cautions.
    pub cautions: Vec<Caution>,
    /// Where to read more.
    pub link: Option<String>,
    /// The shop's remark.
    pub note: Option<String>,
    /// The ladder of its family.
    pub ladder: Option<LadderRequest>,
}

/// A fact with its label.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Fact {
    /// What it is.
    pub label: String,
    /// Its value in words.
    pub text: String,
}

/// A price from a quantity on.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct PriceView {
    /// From so many pieces.
    pub from: String,
    /// Each.
    pub each: String,
}

/// An item as a line of a list.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct ItemLine {
    /// The shop's code.
    pub code: String,
    /// `Disc, 15 × 5 mm, N42`.
    pub title: String,
    /// `disc`, `ring`, `block` or `sphere`.
    pub shape: String,
    /// Outer sizes.
    pub size: String,
    /// Grade.
    pub grade: String,
    /// Coating.
    pub coating: String,
    /// On hand.
    pub stock: Option<u64>,
    /// Price at the least order.
    pub price_from: Option<String>,
    /// Price at the largest break.
    pub price_least: Option<String>,
    /// Flux density at the middle of its face.
    pub face: Option<Figure>,
}

fn at_face(item: &Item, catalogue: &Catalogue) -> Option<f64> {
    let (grade, coating) = (
        catalogue.grades.get(&item.grade)?,
        catalogue.coatings.get(&item.coating)?,
    );
    let task = Task::Spot {
        distance: 0.0,
        off_axis: 0.0,
        tolerance: 0.0,
        axial_only: true,
    };
    Some(Prediction::new(item, grade, coating, task, ROOM_CELSIUS).mid(1))
}

/// An item as a line of a list.
pub fn line(item: &Item, catalogue: &Catalogue, reader: &Reader) -> ItemLine {
    ItemLine {
        code: item.code.clone(),
        title: reader.item(item),
        shape: outline(&item.shape, 1).shape,
        size: reader.sizes(item),
        grade: item.grade.clone(),
        coating: item.coating.clone(),
        stock: item.stock,
        price_from: item.prices.first().map(|p| reader.money(p.each)),
        price_least: item.prices.last().map(|p| reader.money(p.each)),
        face: at_face(item, catalogue).map(|b| reader.figure::<FluxDensity>(b)),
    }
}

/// An item in full; `None` where its grade or coating is not known.
pub fn view(item: &Item, catalogue: &Catalogue, reader: &Reader) -> Option<ItemView> {
    let (grade, coating) = (
        catalogue.grades.get(&item.grade)?,
        catalogue.coatings.get(&item.coating)?,
    );
    let spot = Task::Spot {
        distance: 0.0,
        off_axis: 0.0,
        tolerance: 0.0,
        axial_only: true,
    };
    let prediction = Prediction::new(item, grade, coating, spot, ROOM_CELSIUS);
    let plate = Task::Plate {
        layers: [0.0; 3],
        thickness: None,
        usable: 1.0,
        friction: None,
    };
    let field = prediction.band(1);
    let pull = Prediction {
        task: plate,
        ..prediction
    }
    .band(1);
    let celsius = |c: f64| reader.text::<Temperature>(Temperature::from_celsius(c.round()).si());
    let flux = |si: f64| reader.text::<FluxDensity>(si);
    let on_face = match item.shape {
        magnetics::Shape::Ring { .. } => "field over the metal",
        _ => "field at the face",
    };
    let bands = [
        band::view(on_face, Predicted::FluxDensity, &field, reader),
        band::view("pull on thick steel", Predicted::Force, &pull, reader),
    ];
    let banded = |b: &BandView| format!("{} ({})", b.value.text, b.range);
    let stack = prediction.stack(1)?;
    let factor = stack.demagnetising_factor();
    let stands = heat::stands(&prediction, 1, Facing::Nothing);
    let thickness = coating.thickness;
    let micrometres = |m: f64| format!("{:.0}", m * 1e6);
    let facts = vec![
        (
            "size",
            format!(
                "{}, ±{}",
                reader.sizes(item),
                reader.text::<Length>(item.tolerance.si())
            ),
        ),
        (
            "grade",
            format!(
                "{}: remanence {} to {}",
                grade.name,
                flux(grade.br_min),
                flux(grade.br_max)
            ),
        ),
        (
            "coating",
            if thickness.max == 0.0 {
                coating.name.clone()
            } else {
                format!(
                    "{}, {} to {}\u{a0}µm a side",
                    coating.name,
                    micrometres(thickness.min),
                    micrometres(thickness.max)
                )
            },
        ),
        (on_face, banded(&bands[0])),
        ("pull on thick steel", banded(&bands[1])),
        ("permeance coefficient", format!("{:.2}", (1.0 - factor) / factor)),
        (
            "stands",
            format!(
                "{} by itself; the grade is rated {}",
                celsius(stands),
                celsius(grade.max_service_celsius)
            ),
        ),
        ("mass", reader.text::<Mass>(hazards::mass_of(item, grade))),
        ("stock", item.stock.map_or_else(|| "not listed".into(), count)),
        ("values of the grade", grade.source.clone()),
    ];
    let build = Build { pieces: 1, pair: false };
    let hazards = hazards::of_build(&prediction, build, 1, None);
    Some(ItemView {
        code: item.code.clone(),
        title: reader.item(item),
        name: item.name.clone(),
        facts: facts
            .into_iter()
            .map(|(label, text)| Fact {
                label: label.into(),
                text,
            })
            .collect(),
        bands: bands.into(),
        prices: item
            .prices
            .iter()
            .map(|p| PriceView {
                from: count(p.from),
                each: reader.money(p.each),
            })
            .collect(),
        charts: chart::for_item(&prediction, reader),
        picture: picture::for_item(&prediction),
        silhouette: outline(&item.shape, 1),
        cautions: cautions::for_item(&hazards, reader),
        link: item.link.clone(),
        note: item.note.clone(),
        ladder: Face::of(&item.shape).map(|body| LadderRequest {
            body,
            grade: grade.name.clone(),
            measure: Measure::Face {
                probe_depth: Some(Length::from_mm(0.5)),
            },
            by: Rising::Thickness,
            item: None,
            pieces: 100,
            worth: 0.5,
        }),
    })
}
