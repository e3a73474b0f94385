//! One item as it is shown: its facts, curves, picture and cautions.

use magnetics::inside::Facing;
use quantity::{FluxDensity, Force, Length, Mass, Quantity, Temperature};
use serde::Serialize;
use utoipa::ToSchema;

use crate::answer::Stack;
use crate::catalogue::Catalogue;
use crate::exposure::Exposure;
use crate::hazards::{self, Placement};
use crate::heat;
use crate::item::Item;
use crate::ladder::{Face, LadderRequest, Measure, Rising};
use crate::predict::{Prediction, Task};
use crate::question::Conditions;
use crate::reasons;
use crate::view::answer::{Silhouette, outline};
use crate::view::band::{self, BandView};
use crate::view::cautions::{self, Caution};
use crate::view::chart::{self, Chart};
use crate::view::heat::{self as heat_view, HeatView};
use crate::view::picture::{self, Picture};
use crate::view::plot::Plot;
use crate::view::steel;
use crate::view::text::{Fact, Figure, Reader, count, percent};
use crate::view::ways::surroundings_words;
use crate::warnings;
use materials::grade::REFERENCE_CELSIUS;

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
    /// lose strength for good, where its grade's curve is straight.
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

fn at_face(item: &Item, catalogue: &Catalogue) -> Option<f64> {
    let (grade, coating) = (catalogue.grade_of(item)?, catalogue.coatings.get(&item.coating)?);
    let task = Task::Spot {
        distance: 0.0,
        off_axis: 0.0,
        tolerance: 0.0,
        axial_only: true,
    };
    let room = Prediction::new(item, grade, coating, task, REFERENCE_CELSIUS);
    room.undiminished(1).value().ok()
}

/// An item as a line of a list.
pub fn line(item: &Item, catalogue: &Catalogue, reader: &Reader) -> ItemLine {
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
        face: at_face(item, catalogue).map(|b| reader.figure::<FluxDensity>(b)),
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

/// An item in full, as it is in the conditions given; `None` where its grade or coating is not known.
pub fn view(item: &Item, catalogue: &Catalogue, conditions: &Conditions, reader: &Reader) -> Option<ItemView> {
    let (grade, coating) = (catalogue.grade_of(item)?, catalogue.coatings.get(&item.coating)?);
    let spot = Task::Spot {
        distance: 0.0,
        off_axis: 0.0,
        tolerance: 0.0,
        axial_only: true,
    };
    let room = Prediction::new(item, grade, coating, spot, REFERENCE_CELSIUS);
    let exposure = Exposure::alone(conditions);
    let celsius = |c: f64| reader.text::<Temperature>(Temperature::from_celsius(c.round()).si());
    let fresh = Prediction {
        celsius: exposure.warmest,
        ..room
    };
    // Without a curve nothing is known of what it loses, which a caution says.
    let in_use = fresh.in_use(1, &exposure).unwrap_or(fresh.undiminished(1));
    let plate = Task::thick_steel([0.0; 3]);
    let flux = |si: f64| reader.text::<FluxDensity>(si);
    let on_face = match item.shape {
        magnetics::Shape::Ring { .. } => "field over the metal",
        _ => "field at the face",
    };
    let bands: Vec<BandView> = [
        (
            in_use.band().ok()?,
            band::view::<FluxDensity> as fn(&str, &uncertainty::Band, &Reader) -> BandView,
            on_face,
        ),
        (
            in_use.for_task(plate).band().ok()?,
            band::view::<Force>,
            "pull on thick steel",
        ),
    ]
    .iter()
    .filter(|(band, ..)| band.mid > 0.0)
    .map(|(band, view, label)| view(label, band, reader))
    .collect();
    let rated = Temperature::from_celsius(grade.max_service_celsius.min(coating.max_celsius)).si();
    let limit = heat::limit_band(&room, 1, Facing::Nothing);
    let limit_beyond = limit.as_ref().is_some_and(|band| band.low > rated);
    let limit = limit.map(|limit| band::view::<Temperature>("limit of its shape", &limit, reader));
    let banded = |k: usize| {
        bands.get(k).map_or_else(
            || format!("nothing is left at {}", celsius(exposure.warmest)),
            |b| format!("{} ({})", b.value.text, b.range),
        )
    };
    let stack = room.undiminished(1).stack().ok()?;
    let factor = stack.demagnetising_factor();
    let stands = heat::stands(&room, 1, Facing::Nothing);
    let thickness = coating.thickness;
    let micrometres = |m: f64| format!("{:.0}", m * 1e6);
    let part = |p: &Prediction<'_>| reasons::plating_takes(p, 1).map(percent);
    let plating = match (part(&room), part(&Prediction { task: plate, ..room })) {
        (Some(field), Some(pull)) => format!("{field} of the field at the face, {pull} of the pull"),
        _ => "nothing".into(),
    };
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
        ("permeance coefficient", format!("{:.2}", (1.0 - factor) / factor)),
        (
            "stands",
            format!(
                "{} by itself; the grade is rated {}",
                celsius(stands),
                celsius(grade.max_service_celsius)
            ),
        ),
        (
            "limit of its shape",
            limit.as_ref().map_or_else(
                || "not known: its curve is bent".into(),
                |b| {
                    if limit_beyond {
                        "beyond what its grade and coating are rated for".into()
                    } else {
                        format!(
                            "{} ({}), where a twentieth would be lost for good",
                            b.value.text, b.range
                        )
                    }
                },
            ),
        ),
        ("mass", reader.text::<Mass>(hazards::mass_of(item, grade))),
        ("stock", item.stock.map_or_else(|| "not listed".into(), count)),
        ("values of the grade", grade.source.clone()),
    ];
    if let Some(certificate) = catalogue.certificate_of(item) {
        let hcj = certificate
            .hcj
            .map_or_else(String::new, |h| format!(", coercivity {}", h.show(&reader.units)));
        let text = format!(
            "{}: remanence {}{hcj}",
            certificate.lot,
            certificate.br.show(&reader.units)
        );
        facts.insert(2, ("certificate of lot", text));
    }
    if *conditions != Conditions::default() {
        facts.insert(0, ("in use", conditions_words(conditions, reader)));
    }
    let build = Stack { pieces: 1, pair: false };
    let hazards = hazards::of_build(&room.undiminished(1), build, 1, Placement::default()).ok()?;
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
        bands: bands.into_iter().chain(limit.filter(|_| !limit_beyond)).collect(),
        prices: item
            .prices
            .iter()
            .map(|p| PriceView {
                from: count(p.from),
                each: reader.money(p.each),
            })
            .collect(),
        charts: chart::for_item(&in_use, reader),
        steel: steel::for_item(&in_use, reader),
        picture: picture::for_item(&room.undiminished(1)),
        silhouette: outline(&item.shape, 1),
        heat: heat_view::view(&fresh, 1, &exposure, reader),
        cautions: cautions::for_item(&hazards, &warnings::warnings(&fresh, 1, conditions), reader),
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
    })
}
