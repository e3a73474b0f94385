//! What is told of a given magnet, as it is shown.

mod lead;
mod rows;
#[cfg(test)]
mod tests;

use serde::Serialize;
use serde_json::json;
use utoipa::ToSchema;

use crate::enquiry::{About, NamedMagnet};
use crate::given::Given;
use crate::tell::{Carriage, Curves, Finding, Told};
use crate::view::answer::{Silhouette, outline};
use crate::view::cautions::{self, Caution};
use crate::view::chart::{self, Chart};
use crate::view::known;
use crate::view::picture::{self, Picture};
use crate::view::row::{NextPlace, NextView, RowView, assumed_words, by_usual_hand, ladder_of};
use crate::view::text::{Reader, Run, Runs, percent, runs};

/// What is told of a given magnet, for one reader.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct TellView {
    /// `one disc, 15 × 5 mm, N42`.
    pub title: String,
    /// The shop's code, where the shelf has it.
    pub code: Option<String>,
    /// What was asked of it.
    pub about: Vec<About>,
    /// The answer in a sentence or two.
    pub lead: Vec<Run>,
    /// The figures.
    pub figures: Vec<RowView>,
    /// Why.
    pub because: Vec<Vec<Run>>,
    /// What was taken for granted.
    pub assumed: Vec<Vec<Run>>,
    /// Values against a distance.
    pub charts: Vec<Chart>,
    /// Lines of flux of one piece.
    pub picture: Option<Picture>,
    /// Outline.
    pub silhouette: Silhouette,
    /// What to mind, those for people first.
    pub cautions: Vec<Caution>,
    /// Where it leads on to.
    pub next: Vec<NextView>,
}

/// Shows what is told of a magnet to a reader.
pub fn view(told: &Told, found: &Curves, reader: &Reader) -> TellView {
    let given = &told.given;
    TellView {
        title: reader.title(&given.item, given.build),
        code: given.stocked.then(|| given.item.code.clone()),
        about: told.about.clone(),
        lead: runs(&lead::lead(told, reader)),
        figures: told.findings.iter().flat_map(|f| rows::rows(f, told, reader)).collect(),
        because: because(told, reader),
        assumed: assumed(told, reader),
        charts: found
            .curves
            .iter()
            .map(|curve| chart::at(curve, told.setting.said_along(curve.along), reader))
            .collect(),
        picture: found
            .section
            .as_ref()
            .map(|section| picture::alone(section, &given.item.shape)),
        silhouette: outline(&given.item.shape, given.build.pieces),
        cautions: told_cautions(told, reader),
        next: next(told, reader),
    }
}

/// All that is to be minded of the magnets; of its parcel where that is asked.
fn told_cautions(told: &Told, reader: &Reader) -> Vec<Caution> {
    cautions::for_item(&told.hazards, &told.warnings, reader)
}

fn assumed(told: &Told, reader: &Reader) -> Vec<Runs> {
    let mut out = assumed_words(&told.given);
    let pulls_on_any =
        |finding: &Finding| matches!(finding, Finding::Pull { place, .. } if place.steel.thickness.is_none());
    if told.setting.on_steel && told.findings.iter().any(pulls_on_any) {
        out.push(runs("steel thick enough to carry all flux"));
    }
    if told.findings.iter().any(|finding| {
        matches!(
            finding,
            Finding::FaceField {
                probe_depth: Some(_),
                ..
            }
        )
    }) {
        out.extend(by_usual_hand(reader));
    }
    if told.setting.conditions().warmest.is_none() && !told.about.contains(&About::Weight) {
        out.push(runs(&format!("room temperature, {}", reader.celsius(20.0))));
    }
    out
}

fn because(told: &Told, reader: &Reader) -> Vec<Runs> {
    let mut out: Vec<String> = told.known.iter().map(|lot| known::sentence(lot, reader)).collect();
    let mut pulls = told.findings.iter().filter_map(|finding| match finding {
        Finding::Pull { place, band, share } => Some((place, band, share)),
        _ => None,
    });
    if let Some((place, band, share)) = pulls.next() {
        if let Some((_, bare, _)) = pulls
            .next()
            .filter(|(bare, ..)| !place.layers.is_empty() && bare.layers.is_empty())
            && bare.mid > 0.0
        {
            let part = percent(1.0 - band.mid / bare.mid);
            out.push(format!(
                "what lies between takes **{part}** of its pull on the bare steel"
            ));
        }
        if let Some(share) = share {
            let enough = reader.about(share.enough);
            out.push(match place.steel.thickness {
                Some(_) if share.of_thick < 0.95 => format!(
                    "this steel is too thin to carry its flux: it leaves **{}** of the pull on thick steel; {enough} would do",
                    percent(share.of_thick)
                ),
                _ => format!("steel of **{enough}** carries enough of its flux for 95\u{a0}% of the full pull"),
            });
        }
        if place.sliding {
            out.push("along a wall only friction holds it, which is a part of its pull".into());
        }
    }
    if let Some(warmest) = told.setting.conditions().warmest {
        for finding in &told.findings {
            if let Finding::Heated { celsius, keeps, .. } = finding
                && (*celsius - warmest.celsius()).abs() < 0.5
            {
                out.push(format!(
                    "at {} it has **{}** of its strength at {}, which comes back when it cools",
                    reader.celsius(*celsius),
                    percent(*keeps),
                    reader.celsius(20.0)
                ));
            }
        }
    }
    out.iter().map(|marked| runs(marked)).collect()
}

/// The carriage of the order, where it was asked for.
pub(super) fn carriage(told: &Told) -> Option<Carriage> {
    told.findings.iter().find_map(|finding| match finding {
        Finding::Parcel { carriage, .. } => Some(*carriage),
        _ => None,
    })
}

/// One piece of it, as it is named: by its code where the shelf has it.
fn one_piece(given: &Given) -> NamedMagnet {
    match given.stocked {
        true => NamedMagnet {
            code: Some(given.item.code.clone()),
            ..NamedMagnet::default()
        },
        false => NamedMagnet {
            count: None,
            pair: false,
            ..given.named()
        },
    }
}

/// The parcel of the magnets that were asked about, piece by piece.
fn parcel_of(told: &Told) -> serde_json::Value {
    let given = &told.given;
    let magnet = one_piece(given);
    let count = given.build.total_pieces() * u64::from(told.setting.pieces());
    json!({ "lines": [{ "magnet": magnet, "count": count }] })
}

fn next(told: &Told, reader: &Reader) -> Vec<NextView> {
    let given = &told.given;
    let mut out = Vec::new();
    if given.stocked {
        let text = format!("all about {}", given.item.code);
        out.push(NextView::new(NextPlace::Item, text, json!(given.item.code)));
    }
    for finding in &told.findings {
        if let Finding::Nearest { code, item, .. } = finding {
            out.push(NextView::new(
                NextPlace::Item,
                format!("{code}: {}", reader.item(item)),
                json!(code),
            ));
        }
    }
    if told
        .about
        .iter()
        .any(|about| matches!(about, About::FaceField | About::Field))
    {
        let called = match given.stocked {
            true => given.item.code.clone(),
            false => reader.item(&given.item),
        };
        let request = json!({ "magnet": one_piece(given), "called": called });
        out.push(NextView::new(NextPlace::Bench, "read it at the bench", request));
    }
    out.extend(ladder_of(given));
    let named = given.named();
    let packed = NextView::new(NextPlace::Parcel, "packed to be sent", parcel_of(told));
    // Whoever asks whether they may fly wants that first.
    let place = if told.about.contains(&About::Fly) { 0 } else { out.len() };
    out.insert(place, packed);
    let field = json!({ "magnets": [named] });
    out.push(NextView::new(NextPlace::Field, "its field drawn", field));
    let grades: Vec<_> = ["N35", "N52"]
        .iter()
        .filter(|grade| **grade != given.item.grade)
        .map(|grade| json!({ "grade": grade, "shape": named.shape, "size_mm": named.size_mm }))
        .collect();
    let magnets: Vec<_> = std::iter::once(json!(named)).chain(grades).collect();
    let enquiry = json!({ "kind": "compare", "about": ["value"], "magnets": magnets });
    out.push(NextView::new(NextPlace::Compare, "beside other grades", enquiry));
    out
}
