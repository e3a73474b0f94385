//! Ladders: builds in rising size or number, what each rung gains and what it costs, and the knee.

mod request;

use magnetics::Shape;
use quantity::{Length, Money};

use uncertainty::Band;

use crate::answer::Predicted;
use crate::answer::Warning;
use crate::catalogue::Catalogue;
use crate::check::{MOST_STACKED, QuestionError};
use crate::exposure::Exposure;
use crate::hazards::mass_of;
use crate::item::Item;
use crate::known::Known;
use crate::predict::{Prediction, Task};
use crate::question::Conditions;
use crate::warnings;
use request::half;

pub use request::{Face, LadderRequest, Measure, Rising};

/// Sizes that differ by less than this are the same, m: 0.001 in is 25 µm.
const SAME_SIZE: f64 = 5e-6;
/// Rungs of a ladder of free thickness, from a tenth of the diameter to twice it.
const FREE_RUNGS: [f64; 10] = [0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.7, 1.0, 1.5, 2.0];

/// A ladder.
#[derive(Clone, Debug, PartialEq)]
pub struct Ladder {
    /// What was asked.
    pub request: LadderRequest,
    /// What is compared, in SI.
    pub quantity: Predicted,
    /// The rungs, rising.
    pub rungs: Vec<Rung>,
    /// The last rung that pays; `None` where even the last one does.
    pub knee: Option<usize>,
    /// What no rung reaches, however long: the value of an endless piece.
    pub ceiling: f64,
    /// Solid pieces against stacks of the same height.
    pub solid_against_stack: Vec<SolidAgainstStack>,
}

/// A rung.
#[derive(Clone, Debug, PartialEq)]
pub struct Rung {
    /// Height in metres, plating included.
    pub height: f64,
    /// The item, where the shelf has it.
    pub item: Option<Item>,
    /// By what it is reckoned in place of its grade.
    pub known: Option<Known>,
    /// Pieces stacked.
    pub pieces: u32,
    /// The value with its band.
    pub band: Band,
    /// Mass in kilograms.
    pub mass: f64,
    /// Price of one build at the quantity asked.
    pub price: Option<Money>,
    /// What to mind of it in the conditions asked.
    pub warnings: Vec<Warning>,
    /// Gain over the rung below, as a part of it.
    pub gain: Option<f64>,
    /// Gain in value per gain in money from the rung below (both as logarithms); infinite where it is not dearer.
    pub return_: Option<f64>,
}

/// A solid piece and a stack of the same height.
#[derive(Clone, Debug, PartialEq)]
pub struct SolidAgainstStack {
    /// The solid item.
    pub solid: Item,
    /// Its value at the middle.
    pub solid_value: f64,
    /// Its price.
    pub solid_price: Option<Money>,
    /// The stacked item.
    pub stacked: Item,
    /// How many are stacked.
    pub pieces: u32,
    /// The stack's value at the middle.
    pub stack_value: f64,
    /// The stack's price.
    pub stack_price: Option<Money>,
}

/// Builds a ladder from a shelf.
///
/// # Errors
/// [`QuestionError`] for sizes or figures out of range, an unknown grade or item, or a shelf without such magnets.
pub fn ladder(request: &LadderRequest, shelf: &[Item], catalogue: &Catalogue) -> Result<Ladder, QuestionError> {
    check(request, catalogue)?;
    let task = request.measure.task(catalogue);
    let exposure = Exposure::alone(&request.conditions);
    let predict = |item: &Item, pieces: u32| {
        let prediction = fresh(item, catalogue, task, exposure.warmest)?;
        prediction.in_use(pieces, &exposure).ok()?.band().ok()
    };
    let family = family(request, shelf, catalogue);
    let rung = |item: &Item, pieces: u32, stocked: bool| -> Option<Rung> {
        let prediction = fresh(item, catalogue, task, exposure.warmest)?;
        Some(Rung {
            height: item.shape.height() * f64::from(pieces),
            item: stocked.then(|| item.clone()),
            known: catalogue.known_of(item),
            pieces,
            // A coating may leave no magnet.
            band: predict(item, pieces).filter(|b| b.mid > 0.0)?,
            mass: mass_of(item, prediction.grade) * f64::from(pieces),
            // All steps have the coating that was chosen.
            warnings: warnings::warnings(&prediction, pieces, &request.conditions)
                .into_iter()
                .filter(|w| !matches!(w, Warning::PlaceNotSaid { .. }))
                .collect(),
            price: price(item, pieces, request.pieces),
            gain: None,
            return_: None,
        })
    };
    let mut rungs: Vec<Rung> = match request.by {
        Rising::Thickness => family.iter().filter_map(|item| rung(item, 1, true)).collect(),
        Rising::Count => {
            let item = stacked_item(request, &family)?;
            (1..=MOST_STACKED).filter_map(|n| rung(item, n, true)).collect()
        }
        Rising::Free => {
            let width = request.body.with_thickness(1.0).widest();
            FREE_RUNGS
                .iter()
                .filter_map(|part| rung(&made(request, width * part), 1, false))
                .collect()
        }
    };
    if rungs.is_empty() {
        return Err(QuestionError {
            field: "/body".into(),
            message: format!("the shelf has no such magnets in {}", request.grade),
            hint: "choose a size and grade that the shelf has, or let the thickness be free".into(),
        });
    }
    for k in 1..rungs.len() {
        let (below, this) = (&rungs[k - 1], &rungs[k]);
        let gain = this.band.mid / below.band.mid;
        let money = match (below.price, this.price) {
            (Some(a), Some(b)) => b.to_f64() / a.to_f64(),
            _ => this.mass / below.mass,
        };
        let return_ = if money > 1.0 {
            gain.ln() / money.ln()
        } else {
            f64::INFINITY
        };
        (rungs[k].gain, rungs[k].return_) = (Some(gain - 1.0), Some(return_));
    }
    let last_paying = rungs
        .iter()
        .rposition(|r| r.return_.is_none_or(|x| x >= request.worth))
        .unwrap_or(0);
    let endless = made(request, 40.0 * request.body.with_thickness(1.0).widest());
    Ok(Ladder {
        quantity: request.measure.quantity(),
        knee: (last_paying + 1 < rungs.len()).then_some(last_paying),
        ceiling: predict(&endless, 1).map_or(0.0, |b| b.mid),
        solid_against_stack: solid_against_stack(request, &family, &predict),
        rungs,
        request: request.clone(),
    })
}

/// An item that has lost nothing yet.
fn fresh<'a>(item: &'a Item, catalogue: &'a Catalogue, task: Task, celsius: f64) -> Option<Prediction<'a>> {
    let (grade, coating) = (catalogue.grade_of(item)?, catalogue.coatings.get(&item.coating)?);
    Some(Prediction::new(item, grade, coating, task, celsius).of_lot(catalogue.read_pieces(item)))
}

/// A ladder that the shelf can surely show: the face and grade with most thicknesses.
pub fn start(shelf: &[Item]) -> Option<LadderRequest> {
    let mut best: Option<(usize, &Item)> = None;
    for item in shelf.iter().filter(|i| matches!(i.shape, Shape::Disc { .. })) {
        let face = Face::of(&item.shape)?;
        let mut heights: Vec<i64> = shelf
            .iter()
            .filter(|i| i.grade == item.grade && face.is_face_of(&i.shape))
            .map(|i| (i.shape.height() * 1e6) as i64)
            .collect();
        heights.sort_unstable();
        heights.dedup();
        if best.is_none_or(|(n, _)| heights.len() > n) {
            best = Some((heights.len(), item));
        }
    }
    let (_, item) = best?;
    Some(LadderRequest {
        body: Face::of(&item.shape)?,
        grade: item.grade.clone(),
        measure: Measure::Face {
            probe_depth: Some(Length::from_mm(0.5)),
        },
        by: Rising::Thickness,
        item: None,
        pieces: 100,
        worth: half(),
        conditions: Conditions::default(),
    })
}

/// The shelf's items of that face and grade by thickness, the cheapest of each thickness.
fn family(request: &LadderRequest, shelf: &[Item], catalogue: &Catalogue) -> Vec<Item> {
    let grade = catalogue.grades.get(&request.grade).map(|g| g.name.as_str());
    let mut items: Vec<&Item> = shelf
        .iter()
        .filter(|i| {
            request.body.is_face_of(&i.shape) && catalogue.grades.get(&i.grade).map(|g| g.name.as_str()) == grade
        })
        .collect();
    let cost = |i: &Item| price(i, 1, request.pieces).unwrap_or(Money::from_parts(i64::MAX));
    items.sort_by(|a, b| {
        let step = |i: &Item| (i.shape.height() / SAME_SIZE).round() as i64;
        (step(a), cost(a), &a.code).cmp(&(step(b), cost(b), &b.code))
    });
    items.dedup_by(|later, first| (later.shape.height() - first.shape.height()).abs() <= SAME_SIZE);
    items.into_iter().cloned().collect()
}

fn stacked_item<'a>(request: &LadderRequest, family: &'a [Item]) -> Result<&'a Item, QuestionError> {
    let wanted = match &request.item {
        Some(code) => family.iter().find(|i| i.code == *code),
        None => family.first(),
    };
    wanted.ok_or_else(|| QuestionError {
        field: "/item".into(),
        message: "no such item of this size and grade is on the shelf".into(),
        hint: "choose one of the items of this size, or leave it out for the thinnest".into(),
    })
}

/// A piece of that face made to a thickness, plated as usual.
fn made(request: &LadderRequest, thickness: f64) -> Item {
    Item::made(request.body.with_thickness(thickness), &request.grade, "Ni-Cu-Ni")
}

fn price(item: &Item, stacked: u32, builds: u32) -> Option<Money> {
    let pieces = u64::from(stacked) * u64::from(builds);
    item.price_each(pieces.max(item.least_order()))?
        .times(u64::from(stacked))
        .ok()
}

fn solid_against_stack(
    request: &LadderRequest,
    family: &[Item],
    predict: &dyn Fn(&Item, u32) -> Option<Band>,
) -> Vec<SolidAgainstStack> {
    let pair = |solid: &Item| {
        // The family rises in thickness, so the first that fits has the most pieces and shows the plating best.
        let (stacked, pieces) = family
            .iter()
            .find_map(|stacked| Some((stacked, pieces_as_high(stacked, solid)?)))?;
        Some(SolidAgainstStack {
            solid: solid.clone(),
            solid_value: predict(solid, 1)?.mid,
            solid_price: price(solid, 1, request.pieces),
            stacked: stacked.clone(),
            pieces,
            stack_value: predict(stacked, pieces)?.mid,
            stack_price: price(stacked, pieces, request.pieces),
        })
    };
    family.iter().filter_map(pair).collect()
}

/// How many pieces, 2 or more, stand as high as the solid one; `None` where no whole number does.
fn pieces_as_high(piece: &Item, solid: &Item) -> Option<u32> {
    let pieces = (solid.shape.height() / piece.shape.height()).round() as u32;
    let same = (piece.shape.height() * f64::from(pieces) - solid.shape.height()).abs() <= SAME_SIZE * 4.0;
    ((2..=MOST_STACKED).contains(&pieces) && same).then_some(pieces)
}

fn check(request: &LadderRequest, catalogue: &Catalogue) -> Result<(), QuestionError> {
    let wrong = |field: &str, message: String, hint: &str| QuestionError {
        field: field.into(),
        message,
        hint: hint.into(),
    };
    if let Err(e) = request.body.with_thickness(1e-3).validate() {
        return Err(wrong("/body", e.to_string(), e.hint()));
    }
    if catalogue.grades.get(&request.grade).is_none() {
        let like = catalogue.like(&request.grade).join(", ");
        return Err(wrong(
            "/grade",
            format!("no grade is known by the name {:?}", request.grade),
            &format!("known are such as N42; written much like it: {like}"),
        ));
    }
    let (field, length) = match request.measure {
        Measure::Face { probe_depth } => ("/measure/probe_depth", probe_depth.unwrap_or_default()),
        Measure::Field { distance } => ("/measure/distance", distance),
        Measure::Pull { gap } => ("/measure/gap", gap),
    };
    if !(0.0..=10.0).contains(&length.si()) {
        return Err(wrong(
            field,
            "the distance must be 0 or more and at most 10 m".into(),
            "give a length such as 0.5 mm",
        ));
    }
    if !(1..=crate::check::MOST_PIECES).contains(&request.pieces) {
        return Err(wrong(
            "/pieces",
            "the number of pieces must be at least 1".into(),
            "say how many are bought, such as 200",
        ));
    }
    crate::check::conditions(&request.conditions)?;
    if !(0.01..=10.0).contains(&request.worth) {
        return Err(wrong(
            "/worth",
            format!("the least return must be 0.01 to 10, got {}", request.worth),
            "0.5 means that 10 % more money must buy at least 5 % more",
        ));
    }
    Ok(())
}

#[cfg(test)]
mod tests;
