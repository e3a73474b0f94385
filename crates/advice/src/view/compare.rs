//! Magnets side by side, as they are shown.

use materials::coating::Rating;
use quantity::{FluxDensity, Force, Length, Mass, Quantity};
use serde::Serialize;
use serde_json::json;
use utoipa::ToSchema;

use crate::compare::{Advice, Column, Compare, Compared};
use crate::enquiry::About;
use crate::view::answer::{Silhouette, outline};
use crate::view::cautions::{self, Caution};
use crate::view::known;
use crate::view::row::{NextPlace, NextView, assumed_words, by_usual_hand, ladder_of};
use crate::view::text::{Reader, Run, Runs, capital, percent, runs};
use crate::view::ways::surroundings_words;

/// Magnets side by side, for one reader.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct CompareView {
    /// What to make of it, in a sentence or two.
    pub lead: Vec<Run>,
    /// The magnets.
    pub columns: Vec<ColumnView>,
    /// Their figures, a row for each thing.
    pub rows: Vec<CompareRow>,
    /// What was taken for granted.
    pub assumed: Vec<Vec<Run>>,
    /// What to mind of the strongest.
    pub cautions: Vec<Caution>,
    /// Where it leads on to.
    pub next: Vec<NextView>,
}

/// A magnet of a comparison.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct ColumnView {
    /// `one disc, 15 × 5 mm, N42`.
    pub title: String,
    /// The shop's code, where the shelf has it.
    pub code: Option<String>,
    /// Outline.
    pub silhouette: Silhouette,
}

/// A figure of every magnet.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct CompareRow {
    /// What it is.
    pub label: String,
    /// How much, in the order of the magnets.
    pub cells: Vec<String>,
    /// The band of each, where it has one.
    pub ranges: Vec<Option<String>>,
    /// Which is best; absent where there is no better.
    pub best: Option<usize>,
    /// What in an enquiry asks for it; absent for what is only said beside.
    pub about: Option<About>,
}

/// Shows magnets side by side to a reader.
pub fn view(compared: &Compared, reader: &Reader) -> CompareView {
    let columns = &compared.columns;
    let strongest = columns.iter().max_by(|a, b| a.pull.mid.total_cmp(&b.pull.mid));
    let mut assumed: Vec<Runs> = Vec::new();
    if compared.size_assumed
        && let Some(first) = columns.first()
    {
        assumed.push(runs(&format!(
            "size **{}**, as no size is said",
            reader.sizes(&first.given.item)
        )));
    }
    for column in columns {
        let lot = column
            .known
            .iter()
            .map(|lot| runs(&format!("{}: {}", column.given.item.code, known::sentence(lot, reader))));
        for words in assumed_words(&column.given).into_iter().chain(lot) {
            if !assumed.contains(&words) {
                assumed.push(words);
            }
        }
    }
    if columns.iter().any(|column| column.read.is_some()) {
        assumed.extend(by_usual_hand(reader));
    }
    CompareView {
        lead: runs(&lead(compared, reader)),
        columns: columns
            .iter()
            .map(|c| ColumnView {
                title: reader.title(&c.given.item, c.given.build),
                code: c.given.stocked.then(|| c.given.item.code.clone()),
                silhouette: outline(&c.given.item.shape, c.given.build.pieces),
            })
            .collect(),
        rows: rows(compared, reader),
        assumed,
        cautions: strongest.map_or_else(Vec::new, |c| cautions::for_item(&c.hazards, &[], reader)),
        next: next(columns),
    }
}

fn next(columns: &[Column]) -> Vec<NextView> {
    let mut out: Vec<NextView> = columns
        .iter()
        .filter(|c| c.given.stocked)
        .map(|c| {
            NextView::new(
                NextPlace::Item,
                format!("all about {}", c.given.item.code),
                json!(c.given.item.code),
            )
        })
        .collect();
    out.extend(columns.first().and_then(|c| ladder_of(&c.given)));
    let magnets: Vec<_> = columns.iter().map(|c| c.given.named()).collect();
    out.push(NextView::new(
        NextPlace::Field,
        "their fields drawn",
        json!({ "magnets": magnets }),
    ));
    out
}

/// The names by which the columns are told apart in a sentence: what differs between them.
fn names(columns: &[Column], reader: &Reader) -> Vec<String> {
    let all_same = |of: &dyn Fn(&Column) -> String| columns.windows(2).all(|pair| of(&pair[0]) == of(&pair[1]));
    let size = |c: &Column| {
        reader
            .title(&c.given.item, c.given.build)
            .rsplit_once(", ")
            .map_or_else(String::new, |(size, _)| size.to_string())
    };
    let grade = |c: &Column| c.given.item.grade.clone();
    let coating = |c: &Column| c.given.item.coating.clone();
    columns
        .iter()
        .map(|c| {
            let mut parts = Vec::new();
            if !all_same(&size) {
                parts.push(size(c));
            }
            if !all_same(&grade) {
                parts.push(grade(c));
            }
            if !all_same(&coating) && parts.len() < 2 {
                parts.push(coating(c));
            }
            if parts.is_empty() {
                reader.title(&c.given.item, c.given.build)
            } else {
                parts.join(", ")
            }
        })
        .collect()
}

/// What decides, in words: `pulls 12 % more than`.
fn more_words(measure: Compare, gain: f64) -> String {
    let part = percent(gain.abs());
    match measure {
        Compare::Pull => format!("pulls **{part} more** than"),
        Compare::PairForce => format!("has **{part} more** force between two of it than"),
        Compare::Field => format!("gives **{part} more** field there than"),
        Compare::FaceField => format!("has **{part} more** field at its face than"),
        Compare::Heat => "withstands **more heat** than".into(),
        Compare::Weight => format!("weighs **{part} less** than"),
    }
}

fn money_words(dearer: f64) -> String {
    if dearer.abs() < 0.01 {
        "costs the same".into()
    } else if dearer > 0.0 {
        format!("costs **{} more**", percent(dearer))
    } else {
        format!("costs {} less", percent(-dearer))
    }
}

fn lead(compared: &Compared, reader: &Reader) -> String {
    let names = names(&compared.columns, reader);
    let name = |k: usize| names.get(k).map_or("", String::as_str);
    match &compared.advice {
        Advice::Same { cheapest } => {
            let choose = cheapest.map_or_else(
                || "take whichever is at hand".into(),
                |k| format!("take the cheaper, {}", name(k)),
            );
            format!("In what was asked there is **no difference** that anybody would notice: {choose}.")
        }
        Advice::SolidOrStack {
            solid,
            stack,
            loses,
            dearer,
        } => {
            let cost = dearer.map_or_else(String::new, |d| format!(" and {}", money_words(d)));
            let weaker = if *loses < 0.01 {
                "is as strong as".to_string()
            } else {
                format!("has **{} less** than", percent(*loses))
            };
            format!(
                "The stack ({}) {weaker} the solid piece ({}){cost}: the coatings inside a stack are gaps. A stack is worth it where the pieces are at hand or the height must change.",
                name(*stack),
                name(*solid)
            )
        }
        Advice::Better {
            best,
            than,
            gain,
            dearer,
            per_money,
        } => {
            let first = format!(
                "{} {} {}",
                capital(name(*best)),
                more_words(compared.measure, *gain),
                name(*than)
            );
            let cost = match dearer {
                Some(d) => format!(" and {}", money_words(*d)),
                None if compared.columns.iter().any(|c| c.given.stocked) => {
                    "; not all of them are on the shelf with a price".into()
                }
                None => String::new(),
            };
            let money = match per_money {
                Some(k) if k != best => format!(" For the money {} pulls most.", name(*k)),
                Some(_) => " It is also the one that pulls most for the money.".into(),
                None => String::new(),
            };
            let heat = heat_words(compared, *best, *than, reader);
            format!("{first}{cost}.{money}{heat}")
        }
    }
}

/// What the better one stands less, where that may matter.
fn heat_words(compared: &Compared, best: usize, than: usize, reader: &Reader) -> String {
    let stands = |k: usize| compared.columns[k].stands;
    if compared.measure != Compare::Heat && stands(best) < stands(than) - 5.0 {
        format!(
            " It may be used only up to {}, the other up to {}.",
            reader.up_to_celsius(stands(best)),
            reader.up_to_celsius(stands(than))
        )
    } else {
        String::new()
    }
}

/// Which value is the greatest, or with `least` the smallest, where they differ by what anybody would notice.
fn best(values: &[Option<f64>], least: bool) -> Option<usize> {
    let known: Vec<(usize, f64)> = values
        .iter()
        .enumerate()
        .filter_map(|(k, v)| Some((k, (*v)?)))
        .collect();
    let better = |a: &&(usize, f64), b: &&(usize, f64)| a.1.total_cmp(&b.1);
    let (top, bottom) = (known.iter().max_by(better)?, known.iter().min_by(better)?);
    let differ = known.len() > 1 && top.1 > bottom.1 * 1.005;
    differ.then_some(if least { bottom.0 } else { top.0 })
}

/// A value, its text and its range in words.
type Banded = (f64, String, String);

fn rows(compared: &Compared, reader: &Reader) -> Vec<CompareRow> {
    let columns = &compared.columns;
    let banded = |label: String, of: &dyn Fn(&Column) -> Option<Banded>| {
        let found: Vec<_> = columns.iter().map(of).collect();
        found.iter().any(Option::is_some).then(|| CompareRow {
            label,
            best: best(
                &found.iter().map(|f| f.as_ref().map(|f| f.0)).collect::<Vec<_>>(),
                false,
            ),
            cells: found
                .iter()
                .map(|f| f.as_ref().map_or_else(|| "-".into(), |f| f.1.clone()))
                .collect(),
            ranges: found.into_iter().map(|f| f.map(|f| f.2)).collect(),
            about: None,
        })
    };
    let plain = |label: &str, least: bool, of: &dyn Fn(&Column) -> Option<(f64, String)>| {
        let found: Vec<_> = columns.iter().map(of).collect();
        found.iter().any(Option::is_some).then(|| CompareRow {
            label: label.into(),
            best: best(
                &found.iter().map(|f| f.as_ref().map(|f| f.0)).collect::<Vec<_>>(),
                least,
            ),
            ranges: vec![None; found.len()],
            cells: found
                .into_iter()
                .map(|f| f.map_or_else(|| "-".into(), |f| f.1))
                .collect(),
            about: None,
        })
    };
    let force = |band: &uncertainty::Band| (band.mid, reader.force(band.mid), reader.band::<Force>(band));
    let field = |band: &uncertainty::Band| {
        (
            band.mid,
            reader.text::<FluxDensity>(band.mid),
            reader.band::<FluxDensity>(band),
        )
    };
    let place = if compared.setting.on_steel {
        "pull in that place"
    } else {
        "pull on thick mild steel"
    };
    let at = columns.first().map_or(0.0, |c| c.field.0);
    let probe = columns
        .first()
        .and_then(|c| c.read.as_ref())
        .map_or("", |(name, _)| name.as_str());
    let strongest = columns.iter().map(|c| c.pull.mid).fold(0.0, f64::max);
    let money = |c: &Column| Some((c.each?.to_f64(), reader.money(c.each?)));
    let mut out: Vec<Option<CompareRow>> = vec![
        of(
            About::Pull,
            banded("force between two".into(), &|c| c.pair.as_ref().map(force)),
        ),
        of(About::Pull, banded(place.into(), &|c| Some(force(&c.pull)))),
        banded("pull on 1\u{a0}mm steel sheet".into(), &|c| c.sheet.as_ref().map(force)),
        of(
            About::FaceField,
            banded("field at its face".into(), &|c| Some(field(&c.face))),
        ),
        banded(format!("{probe} reads at its face"), &|c| {
            c.read.as_ref().map(|(_, read)| field(read))
        }),
        of(
            About::Field,
            banded(format!("field {} from it", Length(at).show(&reader.units)), &|c| {
                Some(field(&c.field.1))
            }),
        ),
        of(
            About::Weight,
            plain("weight", true, &|c| Some((c.mass, reader.text::<Mass>(c.mass)))),
        ),
        plain("height", true, &|c| Some((c.height, reader.text::<Length>(c.height)))),
        of(
            About::Heat,
            plain("max. working temperature", false, &|c| {
                Some((c.stands, reader.up_to_celsius(c.stands)))
            }),
        ),
    ];
    if compared.setting.conditions().warmest.is_some() || compared.setting.conditions().coldest.is_some() {
        out.push(plain("lost permanently there", true, &|c| {
            Some((c.loss?, percent(c.loss?)))
        }));
    }
    let coatings = columns.first().map_or_else(Vec::new, |c| c.coating.clone());
    for (k, (surroundings, _)) in coatings.iter().enumerate() {
        let rated = |c: &Column| {
            let words = match c.coating.get(k)?.1 {
                Rating::Good => (2.0, "lasts"),
                Rating::Fair => (1.0, "with care"),
                Rating::Poor => (0.1, "does not last"),
            };
            Some((words.0, words.1.to_string()))
        };
        let label = format!("coating {}", surroundings_words(*surroundings));
        out.push(of(About::Corrosion, plain(&label, false, &rated)));
    }
    out.push(of(About::Price, plain("price each", true, &money)));
    out.push(plain("pull for the money", false, &|c| {
        let per = c.pull_per_money()?;
        Some((
            per,
            format!(
                "{} for {}",
                reader.text::<Force>(per),
                reader.money(quantity::Money::from_parts(10_000))
            ),
        ))
    }));
    out.push(plain("as many side by side pull the same", true, &|c| {
        let n = c.for_pull(strongest)?;
        let cost = c.each.and_then(|each| each.times(n.into()).ok());
        let price = cost.map_or_else(String::new, |cost| format!(", {}", reader.money(cost)));
        Some((f64::from(n), format!("{n}{price}")))
    }));
    let mut rows: Vec<CompareRow> = out.into_iter().flatten().collect();
    // What was asked stands first.
    let decides = match compared.measure {
        Compare::Pull | Compare::PairForce => About::Pull,
        Compare::Field => About::Field,
        Compare::FaceField => About::FaceField,
        Compare::Heat => About::Heat,
        Compare::Weight => About::Weight,
    };
    let asked = |about: About| about == decides || compared.about.contains(&about);
    rows.sort_by_key(|row| !row.about.is_some_and(asked));
    rows
}

/// A row that answers what an enquiry asks for.
fn of(about: About, row: Option<CompareRow>) -> Option<CompareRow> {
    Some(CompareRow {
        about: Some(about),
        ..row?
    })
}

#[cfg(test)]
mod tests;
