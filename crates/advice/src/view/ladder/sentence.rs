//! A ladder's request as a sentence with blanks.

use quantity::{Length, Quantity};
use serde::Serialize;
use serde_json::{Value, json};

use super::face_words;
use crate::item::Item;
use crate::ladder::{Face, LadderRequest, Measure, Rising};
use crate::question::{Conditions, Surroundings};
use crate::sentence::{Blank, BlankKind, Choice, Segment};
use crate::view::text::{Reader, count, percent};
use crate::view::ways::surroundings_words;

/// The request as a sentence; every blank's path points into the request.
pub(super) fn sentence(request: &LadderRequest, shelf: &[Item], reader: &Reader) -> Vec<Segment> {
    let mut out = vec![
        Segment::Text {
            text: "What does the next step buy for ".into(),
        },
        choice(
            "/body",
            face_words(&request.body, reader, true),
            "size",
            &request.body,
            faces(shelf, reader),
        ),
        Segment::Text { text: " of ".into() },
        choice(
            "/grade",
            request.grade.clone(),
            "grade",
            &request.grade,
            grades(request, shelf),
        ),
        Segment::Text {
            text: ", measured ".into(),
        },
    ];
    let measures = [
        (Measure::Face { probe_depth: None }, "at the face"),
        (
            Measure::Face {
                probe_depth: Some(Length::from_mm(0.5)),
            },
            "by a probe",
        ),
        (
            Measure::Field {
                distance: Length::from_mm(10.0),
            },
            "on the axis",
        ),
        (
            Measure::Pull {
                gap: Length::from_mm(0.0),
            },
            "as pull on thick steel",
        ),
    ];
    let (text, number) = match request.measure {
        Measure::Face { probe_depth: None } => (measures[0].1, None),
        Measure::Face { probe_depth: Some(d) } => (
            measures[1].1,
            Some((
                "/measure/probe_depth",
                " ",
                d,
                " deep",
                "depth of the probe's active element",
            )),
        ),
        Measure::Field { distance } => (
            measures[2].1,
            Some(("/measure/distance", " at ", distance, "", "distance from the face")),
        ),
        Measure::Pull { gap } => (
            measures[3].1,
            Some(("/measure/gap", " through ", gap, "", "what lies between")),
        ),
    };
    let options = measures
        .iter()
        .map(|(m, text)| (json!(m), (*text).to_string()))
        .collect();
    out.push(choice(
        "/measure",
        text.into(),
        "what is compared",
        &request.measure,
        options,
    ));
    if let Some((path, before, length, after, help)) = number {
        out.push(Segment::Text { text: before.into() });
        let shown = length.show(&reader.units).to_string();
        out.push(blank(
            path,
            shown.clone(),
            help,
            BlankKind::Length,
            json!(shown),
            None,
            "0.5 mm",
        ));
        if !after.is_empty() {
            out.push(Segment::Text { text: after.into() });
        }
    }
    out.push(Segment::Text { text: ", by ".into() });
    let by = [
        (Rising::Thickness, "thickness"),
        (Rising::Count, "pieces stacked"),
        (Rising::Free, "any thickness"),
    ];
    let present = by
        .iter()
        .find(|(b, _)| *b == request.by)
        .map_or("thickness", |(_, t)| t);
    out.push(choice(
        "/by",
        present.into(),
        "what rises",
        &request.by,
        by.iter().map(|(b, t)| (json!(b), (*t).to_string())).collect(),
    ));
    if request.by == Rising::Count {
        let mut items: Vec<&Item> = shelf
            .iter()
            .filter(|i| i.grade == request.grade && request.body.is_face_of(&i.shape))
            .collect();
        items.sort_by(|a, b| a.shape.height().total_cmp(&b.shape.height()));
        let name = |i: &Item| format!("{} ({})", reader.sizes(i), i.code);
        let chosen = items
            .iter()
            .find(|i| request.item.as_deref().is_none_or(|code| code == i.code));
        let text = chosen.map_or_else(|| "an item".to_string(), |i| name(i));
        out.push(Segment::Text { text: " of ".into() });
        let options = items.iter().map(|i| (json!(i.code), name(i))).collect();
        out.push(choice(
            "/item",
            text,
            "item to stack",
            &chosen.map(|i| i.code.clone()),
            options,
        ));
    }
    out.push(Segment::Text { text: ", for ".into() });
    out.push(blank(
        "/pieces",
        count(request.pieces.into()),
        "pieces bought",
        BlankKind::Count,
        json!(request.pieces),
        None,
        "200",
    ));
    out.push(Segment::Text { text: " pieces".into() });
    conditions(&mut out, &request.conditions, reader);
    out.push(Segment::Text {
        text: "? A step pays if 10\u{a0}% more money buys ".into(),
    });
    let worth: Vec<(Value, String)> = [0.1, 0.2, 0.3, 0.5, 0.8]
        .iter()
        .map(|w| (json!(w), percent(w * 0.1)))
        .collect();
    out.push(choice(
        "/worth",
        percent(request.worth * 0.1),
        "least return",
        &request.worth,
        worth,
    ));
    out.push(Segment::Text { text: " more.".into() });
    out
}

/// What the magnets must stand, where it is said.
fn conditions(out: &mut Vec<Segment>, conditions: &Conditions, reader: &Reader) {
    for (path, before, label, value) in [
        (
            "/conditions/coldest",
            ", down to ",
            "the coldest it gets",
            conditions.coldest,
        ),
        (
            "/conditions/warmest",
            ", up to ",
            "the warmest it gets",
            conditions.warmest,
        ),
    ] {
        let Some(value) = value else { continue };
        let shown = value.show(&reader.units).to_string();
        out.push(Segment::Text { text: before.into() });
        out.push(blank(
            path,
            shown.clone(),
            label,
            BlankKind::Temperature,
            json!(shown),
            None,
            "60 °C",
        ));
    }
    if let Some(place) = conditions.surroundings {
        let places = [
            Surroundings::Dry,
            Surroundings::Damp,
            Surroundings::Outdoors,
            Surroundings::Food,
        ];
        let options = places
            .iter()
            .map(|p| (json!(p), surroundings_words(*p).to_string()))
            .collect();
        out.push(Segment::Text { text: ", ".into() });
        out.push(choice(
            "/conditions/surroundings",
            surroundings_words(place).into(),
            "where it lives",
            &place,
            options,
        ));
    }
}

fn blank(
    path: &str,
    text: String,
    label: &str,
    kind: BlankKind,
    value: Value,
    options: Option<Vec<Choice>>,
    example: &str,
) -> Segment {
    Segment::Blank {
        blank: Blank {
            path: path.into(),
            text,
            label: label.into(),
            kind,
            options,
            value,
            optional: false,
            assumed: false,
            help: label.into(),
            example: example.into(),
        },
    }
}

fn choice<T: Serialize>(path: &str, text: String, label: &str, value: &T, options: Vec<(Value, String)>) -> Segment {
    let options: Vec<Choice> = options
        .into_iter()
        .map(|(value, text)| Choice { value, text })
        .collect();
    let example = options.first().map_or_else(String::new, |o| o.text.clone());
    blank(
        path,
        text,
        label,
        BlankKind::Choice,
        json!(value),
        Some(options),
        &example,
    )
}

/// The faces of which the shelf has at least two thicknesses in one grade, discs first, by size.
fn faces(shelf: &[Item], reader: &Reader) -> Vec<(Value, String)> {
    let mut seen: Vec<(Face, Vec<(&str, f64)>)> = Vec::new();
    for item in shelf {
        let Some(face) = Face::of(&item.shape) else { continue };
        let member = (item.grade.as_str(), item.shape.height());
        match seen.iter_mut().find(|(f, _)| f.is_face_of(&item.shape)) {
            Some((_, members)) => members.push(member),
            None => seen.push((face, vec![member])),
        }
    }
    seen.retain(|(_, members)| {
        members
            .iter()
            .any(|(g, h)| members.iter().any(|(g2, h2)| g == g2 && (h - h2).abs() > 1e-5))
    });
    let kind = |f: &Face| match f {
        Face::Disc { .. } => 0,
        Face::Ring { .. } => 1,
        Face::Block { .. } => 2,
    };
    seen.sort_by(|(a, _), (b, _)| {
        kind(a).cmp(&kind(b)).then(
            a.with_thickness(1.0)
                .widest()
                .total_cmp(&b.with_thickness(1.0).widest()),
        )
    });
    seen.iter()
        .map(|(f, _)| (json!(f), face_words(f, reader, true)))
        .collect()
}

/// The grades in which the shelf has this face.
fn grades(request: &LadderRequest, shelf: &[Item]) -> Vec<(Value, String)> {
    let mut names: Vec<&str> = shelf
        .iter()
        .filter(|i| request.body.is_face_of(&i.shape))
        .map(|i| i.grade.as_str())
        .collect();
    names.sort_unstable();
    names.dedup();
    names.into_iter().map(|n| (json!(n), n.to_string())).collect()
}
