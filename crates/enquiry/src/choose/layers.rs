//! What lies between magnet and steel.

use std::cmp::Ordering;

use serde_json::{Value, json};

use super::{Partial, of_role};
use crate::lexer::Item;
use crate::named::{Class, Named as Name};
use crate::note::Notes;
use crate::places::Placed;
use crate::roles::{self, LengthAt, Role};
use crate::scene::Scene;

/// More than this lies between no magnet and its steel, mm; common practice, no source.
const THICKEST: f64 = 100.0;

/// So near to a length the name of a layer says what a gap is filled with: `gap 0.5 mm (plastic)`.
const BESIDE: f64 = 3.0;

/// The layers between, each with its thickness or asked for.
pub(crate) fn layers(scene: &Scene, placed: &[Placed], out: &mut Partial, notes: &mut Notes) {
    let mut rows: Vec<(usize, String, Option<&LengthAt>)> = Vec::new();
    for n in roles::layer_items(scene) {
        let item = &scene.items[n];
        let own = placed.iter().find(|p| p.role == Role::Layer(n)).map(|p| &p.length);
        let own = own.filter(|length| length.high_mm <= THICKEST);
        let Some(material) = layer_name(item) else { continue };
        // dust, oil or zinc lies between only where it is measured
        if own.is_none()
            && item
                .thing(Class::Layer)
                .is_some_and(|t| t.name.as_deref() == Some("film"))
        {
            continue;
        }
        let same = rows.iter_mut().find(|r| r.1 == material);
        match (own, same) {
            (Some(_), Some(row)) if row.2.is_none() => {
                row.0 = n;
                row.2 = own;
            }
            // two sheets of one material: "leather 1.5 mm and a lining of 0.5 mm"
            (Some(length), Some(row)) if row.2.is_some_and(|other| apart(other, length)) => {
                rows.push((n, material, own));
            }
            (_, Some(_)) => {}
            (_, None) => rows.push((n, material, own)),
        }
    }
    one_coat(scene, &mut rows);
    for p in placed
        .iter()
        .filter(|p| p.role == Role::Gap && p.length.high_mm <= THICKEST)
    {
        unnamed(scene, &p.length, &mut rows);
    }
    let mut list: Vec<Value> = Vec::new();
    for (n, material, own) in rows {
        match own {
            Some(length) => {
                list.push(json!({"material": material, "thickness": length.high}));
                notes.put(
                    scene,
                    length.item,
                    &format!("/question/need/layers/{}/thickness", list.len() - 1),
                    &format!("thickness of the {material}"),
                );
            }
            // paint without a thickness is on the steel; other materials without one are what things are made of
            None if matches!(material.as_str(), "paint" | "powder coat") && coats_steel(scene, n) => {
                out.ask(&format!("/question/need/layers/{}/thickness", list.len()));
                list.push(json!({"material": material}));
                notes.put(
                    scene,
                    n,
                    &format!("/question/need/layers/{}", list.len() - 1),
                    &material,
                );
            }
            None => {}
        }
    }
    if !list.iter().any(|l| l["material"] == "paper") && of_role(placed, Role::Load).is_none() {
        papers(scene, &mut list, out, notes);
    }
    if !list.is_empty() {
        out.need.insert("layers".into(), Value::Array(list));
    }
}

/// A length that lies between without a name beside it: that of the nearest layer that has none yet, in its sentence before
/// any other, or else what is reckoned as air, for none of it is magnetic.
fn unnamed<'p>(scene: &Scene, length: &'p LengthAt, rows: &mut Vec<(usize, String, Option<&'p LengthAt>)>) {
    let air = scene
        .nearest(length.item, 2.6, |x| x.is("gap") && !x.is("inside"))
        .is_some();
    let beside = |n: usize| scene.distance(n, length.item) < BESIDE;
    let open = rows
        .iter_mut()
        .filter(|r| r.2.is_none() && (!air || beside(r.0)))
        .min_by(|a, b| {
            let apart = |n: usize| (!scene.same_sentence(n, length.item), scene.distance(n, length.item));
            apart(a.0).partial_cmp(&apart(b.0)).unwrap_or(Ordering::Equal)
        });
    match open {
        Some(row) => row.2 = Some(length),
        None => rows.push((length.item, "air".into(), Some(length))),
    }
}

/// A coat that is named, and measured further on as `the coating`, is one: `a powder-coated wall (1.5 mm steel, coating
/// 0.12 mm)`.
fn one_coat(scene: &Scene, rows: &mut Vec<(usize, String, Option<&LengthAt>)>) {
    let coat = |r: &(usize, String, Option<&LengthAt>)| matches!(r.1.as_str(), "paint" | "powder coat");
    let plain = |n: usize| matches!(scene.items[n].norm.as_str(), "coating" | "coat" | "coated");
    let named = rows.iter().position(|r| coat(r) && r.2.is_none() && !plain(r.0));
    let measured = rows.iter().position(|r| coat(r) && r.2.is_some() && plain(r.0));
    if let (Some(named), Some(measured)) = (named, measured) {
        rows[named].2 = rows[measured].2;
        rows.remove(measured);
    }
}

/// Whether two thicknesses are those of two layers: neither is said again, or is both sides of the other.
fn apart(a: &LengthAt, b: &LengthAt) -> bool {
    let (thin, thick) = (a.high_mm.min(b.high_mm), a.high_mm.max(b.high_mm));
    [1.0, 2.0]
        .iter()
        .all(|times| (thick - times * thin).abs() > 0.02 * thick)
}

/// Whether a coat is on what the magnet sticks to: steel or the like is named by it, and nobody paints something else.
fn coats_steel(scene: &Scene, n: usize) -> bool {
    let steel = |x: &Item| roles::is_steel(x) || x.of(Class::Perhaps);
    let near = steel(&scene.items[n])
        || scene
            .nearest(n, 7.0, steel)
            .is_some_and(|(m, _)| scene.same_sentence(m, n));
    // a coating without a thickness is the magnet's own
    let plain = matches!(scene.items[n].norm.as_str(), "coating" | "coated");
    let painter = matches!(scene.word(scene.previous(n)), "i" | "we" | "to" | "who" | "spray");
    near && !plain && !painter && !denied(scene, n)
}

/// Whether a coat is said to be missing: `no paint`, `without any lacquer`.
fn denied(scene: &Scene, n: usize) -> bool {
    let before = scene.previous(n);
    [before, before.and_then(|b| scene.previous(b))]
        .into_iter()
        .flatten()
        .any(|b| scene.items[b].is("negation") && scene.same_clause(b, n))
}

/// Thickness of a sheet of office paper, mm, and mass of an A4 sheet of it, g: 80 g/m² by ISO 216; thickness common practice, no source.
const SHEET: [f64; 2] = [0.1, 5.0];

/// Sheets of paper under a magnet: a layer, and a load where none is said.
fn papers(scene: &Scene, list: &mut Vec<Value>, out: &mut Partial, notes: &mut Notes) {
    const WORDS: [&str; 33] = [
        "sheets of a4",
        "sheet of a4",
        "sheets a4",
        "a4 sheets",
        "a4 sheet",
        "a4 paper",
        "paper",
        "papers",
        "sheet of paper",
        "sheets of paper",
        "printer paper",
        "notes",
        "note",
        "drawing",
        "drawings",
        "photo",
        "photos",
        "postcard",
        "postcards",
        "prints",
        "circulars",
        "receipts",
        "business card",
        "card",
        "notice",
        "notices",
        "leaflet",
        "leaflets",
        "poster",
        "posters",
        "note cards",
        "a4",
        "letters",
    ];
    let Some(at) = scene
        .items
        .iter()
        .enumerate()
        .position(|(n, i)| WORDS.contains(&i.norm.as_str()) && !i.is("inside") && !names_another(scene, n))
    else {
        return;
    };
    let flat = scene.any(|i| i.of(Class::Surface));
    if !flat
        || scene.says(&["clip", "paper clip", "paperclip"])
        || matches!(scene.items[at].norm.as_str(), "card" | "note" | "poster" | "posters")
    {
        return;
    }
    let sheets = scene.numbers().find(|(i, a)| {
        (1.0..=60.0).contains(&a.high)
            && [scene.next(*i), scene.next(*i).and_then(|n| scene.next(n))]
                .into_iter()
                .flatten()
                .any(|n| {
                    matches!(
                        scene.items[n].norm.as_str(),
                        "sheet"
                            | "sheets"
                            | "papers"
                            | "paper"
                            | "a4"
                            | "sheets of paper"
                            | "sheet of paper"
                            | "pages"
                            | "a4 papers"
                            | "sheets of a4"
                            | "sheet of a4"
                            | "sheets a4"
                            | "a4 sheets"
                            | "a4 sheet"
                    )
                })
    });
    let place = list.len();
    notes.put(
        scene,
        at,
        &format!("/question/need/layers/{place}"),
        "paper under the magnet",
    );
    match sheets {
        Some((i, a)) => {
            let [thickness, mass] = SHEET;
            list.push(json!({"material": "paper", "thickness": format!("{} mm", roles::plain(a.high * thickness))}));
            if !out.need.contains_key("load") {
                out.need
                    .insert("load".into(), json!(format!("{} g", roles::plain(a.high * mass))));
                notes.put(scene, i, "/question/need/load", "mass of so many sheets");
            }
        }
        None => list.push(json!({"material": "paper"})),
    }
    out.ask(&format!("/question/need/layers/{place}/thickness"));
}

/// Whether a word for a sheet only names what follows it: `drawing no. 7`, `paper lanterns`.
fn names_another(scene: &Scene, n: usize) -> bool {
    let next = scene.next(n).filter(|m| scene.distance(n, *m) < 1.3);
    next.is_some_and(|m| {
        let x = &scene.items[m];
        x.is("number_of") || x.norm == "rev" || x.of(Class::Object) || x.of(Class::Perhaps)
    })
}

fn layer_name(item: &Item) -> Option<String> {
    item.thing(Class::Layer).and_then(|t| t.material.clone()).or_else(|| {
        item.names.iter().find_map(|n| match n {
            Name::Layer(name) => Some(name.clone()),
            _ => None,
        })
    })
}
