//! One item as it is shown: its facts, curves, picture and cautions.

use magnetics::Shape;
use quantity::{FluxDensity, Force, Length, Mass, Quantity, Temperature};
use serde::Serialize;
use utoipa::ToSchema;

use crate::detail::Sheet;
use crate::item::Item;
use crate::ladder::{Face, LadderRequest, Measure, Rising};
use crate::question::Conditions;
use crate::view::answer::{Silhouette, outline};
use crate::view::band::{self, BandView};
use crate::view::cautions::{self, Caution};
use crate::view::chart::{self, Chart};
use crate::view::heat::{self, HeatView};
use crate::view::known;
use crate::view::picture::{self, Picture};
use crate::view::plot::Plot;
use crate::view::steel;
use crate::view::text::{Fact, Figure, Reader, count, percent};
use crate::view::ways::surroundings_words;

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
    /// What is predicted: the field at its face, its pull on thick steel, and the temperature at which its shape would
    /// lose strength permanently, where its grade's curve is straight.
    pub bands: Vec<BandView>,
    /// Prices by quantity.
    pub prices: Vec<PriceView>,
    /// Field against distance, pull against gap.
    pub charts: Vec<Chart>,
    /// Pull against the thickness of the steel.
    pub steel: Option<Plot>,
    /// Lines of flux.
    pub picture: Option<Picture>,
    /// Outline.
    pub silhouette: Silhouette,
    /// What heat and its own field do to it; absent where its grade has no curve.
    pub heat: Option<HeatView>,
    /// Cautions, those for the conditions first among their kind.
    pub cautions: Vec<Caution>,
    /// Where to read more.
    pub link: Option<String>,
    /// The shop's remark.
    pub note: Option<String>,
    /// The ladder of its family.
    pub ladder: Option<LadderRequest>,
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
    /// Outline.
    pub silhouette: Silhouette,
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

/// An item as a line of a list, with the flux density at its face, T, where it is known.
pub fn line(item: &Item, at_face: Option<f64>, reader: &Reader) -> ItemLine {
    ItemLine {
        code: item.code.clone(),
        title: reader.item(item),
        shape: outline(&item.shape, 1).shape,
        silhouette: outline(&item.shape, 1),
        size: reader.sizes(item),
        grade: item.grade.clone(),
        coating: item.coating.clone(),
        stock: item.stock,
        price_from: item.prices.first().map(|p| reader.money(p.each)),
        price_least: item.prices.last().map(|p| reader.money(p.each)),
        face: at_face.map(|b| reader.figure::<FluxDensity>(b)),
    }
}

/// `up to 80 °C, outdoors`.
pub(super) fn conditions_words(conditions: &Conditions, reader: &Reader) -> String {
    let shown = |before: &str, t: Option<Temperature>| t.map(|t| format!("{before}{}", t.show(&reader.units)));
    [
        shown("down to ", conditions.coldest),
        shown("up to ", conditions.warmest),
        conditions.surroundings.map(|place| surroundings_words(place).into()),
    ]
    .into_iter()
    .flatten()
    .collect::<Vec<_>>()
    .join(", ")
}

/// An item in full, as it is in the conditions given.
pub fn view(sheet: &Sheet, reader: &Reader) -> ItemView {
    let Sheet {
        item,
        grade,
        coating,
        conditions,
        ..
    } = *sheet;
    let flux = |si: f64| reader.text::<FluxDensity>(si);
    let on_face = match item.shape {
        Shape::Ring { .. } => "field over the metal",
        _ => "field at the face",
    };
    let bands: Vec<BandView> = [
        (
            &sheet.face,
            band::view::<FluxDensity> as fn(&str, &uncertainty::Band, &Reader) -> BandView,
            on_face,
        ),
        (&sheet.pull, band::view::<Force>, "pull on thick steel"),
    ]
    .iter()
    .filter(|(band, ..)| band.mid > 0.0)
    .map(|(band, view, label)| view(label, band, reader))
    .collect();
    let rated = Temperature::from_celsius(grade.max_service_celsius.min(coating.max_celsius)).si();
    let limit_beyond = sheet.limit.as_ref().is_some_and(|band| band.low > rated);
    let limit = sheet
        .limit
        .as_ref()
        .map(|limit| band::view::<Temperature>("limit of its shape", limit, reader));
    let banded = |k: usize| {
        bands.get(k).map_or_else(
            || format!("nothing is left at {}", reader.celsius(sheet.warmest)),
            |b| format!("{} ({})", b.value.text, b.range),
        )
    };
    let thickness = coating.thickness;
    let micrometres = |m: f64| format!("{:.0}", m * 1e6);
    let plating = sheet.plating_takes.map_or_else(
        || "nothing".into(),
        |[field, pull]| {
            format!(
                "{} of the field at the face, {} of the pull",
                percent(field),
                percent(pull)
            )
        },
    );
    let mut facts = vec![
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
                let spray = coating.salt_spray_hours.map_or_else(String::new, |[least, most]| {
                    format!(", {least} to {most}\u{a0}h of salt spray")
                });
                format!(
                    "{}, {} to {}\u{a0}µm a side{spray}",
                    coating.name,
                    micrometres(thickness.min),
                    micrometres(thickness.max)
                )
            },
        ),
        (on_face, banded(0)),
        ("pull on thick steel", banded(1)),
        ("plating takes", plating),
        (
            "permeance coefficient",
            format!("{:.2}", (1.0 - sheet.factor) / sheet.factor),
        ),
        (
            "max. working temperature",
            format!(
                "{} by itself; the grade is rated {}",
                reader.up_to_celsius(sheet.stands),
                reader.celsius(grade.max_service_celsius)
            ),
        ),
        ("mass", reader.text::<Mass>(sheet.mass)),
        ("stock", item.stock.map_or_else(|| "not listed".into(), count)),
        ("values of the grade", grade.source.clone()),
    ];
    if let Some(lot) = &sheet.known {
        facts.insert(2, known::fact(lot, reader));
    }
    if *conditions != Conditions::default() {
        facts.insert(0, ("in use", conditions_words(conditions, reader)));
    }
    ItemView {
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
        bands: bands.into_iter().chain(limit.filter(|_| !limit_beyond)).collect(),
        prices: item
            .prices
            .iter()
            .map(|p| PriceView {
                from: count(p.from),
                each: reader.money(p.each),
            })
            .collect(),
        charts: chart::for_item(sheet, reader),
        steel: sheet.plate.as_ref().map(|plate| steel::plot(plate, reader)),
        picture: sheet
            .section
            .as_ref()
            .map(|section| picture::alone(section, &item.shape)),
        silhouette: outline(&item.shape, 1),
        heat: sheet.heat.as_ref().map(|heat| heat::view(heat, reader)),
        cautions: cautions::for_item(&sheet.hazards, &sheet.warnings, reader),
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
            conditions: conditions.clone(),
        }),
    }
}
