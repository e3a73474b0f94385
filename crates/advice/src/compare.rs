//! Magnets side by side: the same figures of each, what they cost, and what the difference buys.

use magnetics::inside::Facing;
use materials::coating::{Rating, Surroundings};
use quantity::Money;
use uncertainty::Band;

use crate::catalogue::Catalogue;
use crate::check::QuestionError;
use crate::enquiry::{About, Enquiry, NamedMagnet};
use crate::given::{Given, given};
use crate::hazards::{self, Placement, mass_of};
use crate::heat;
use crate::item::Item;
use crate::known::Known;
use crate::predict::{Prediction, Task};
use crate::reference::reference;
use crate::rules::kind_of;
use crate::tell::{SHEET, Setting, things};

/// The most magnets that are set side by side.
pub const MOST_COMPARED: usize = 8;
/// A difference below this is none that a customer notices.
pub const SAME: f64 = 0.03;
/// Distance from the face at which fields are compared where none is named, m.
const FIELD_AT: f64 = 10e-3;

/// Magnets side by side.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// Under what conditions.
    pub setting: Setting,
    /// What was asked.
    pub about: Vec<About>,
    /// What decides.
    pub measure: Compare,
    /// The magnets.
    pub columns: Vec<Column>,
    /// What to make of it.
    pub advice: Advice,
    /// Whether none of them came with a size, so that a size of the shelf stands for them.
    pub size_assumed: bool,
}

/// What decides a comparison.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Compare {
    /// The pull on steel, N.
    Pull,
    /// The force between two like it, N.
    PairForce,
    /// The field at a distance, T.
    Field,
    /// The field at the face, T.
    FaceField,
    /// What it stands, °C.
    Heat,
    /// Its mass, kg, the less the better.
    Weight,
}

/// A magnet of a comparison.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// The magnet.
    pub given: Given,
    /// By what it is reckoned in place of its grade.
    pub known: Option<Known>,
    /// Pull in the customer's place, or on thick mild steel, N.
    pub pull: Band,
    /// Pull on a sheet of 1 mm where no place is named, N.
    pub sheet: Option<Band>,
    /// Force between two like it, N, where that is asked.
    pub pair: Option<Band>,
    /// Field at the middle of its face, T.
    pub face: Band,
    /// What the shop's usual probe reads there, T, by the name of the probe.
    pub read: Option<(String, Band)>,
    /// Field on its axis, T, and at which distance, m.
    pub field: (f64, Band),
    /// Mass of the build, kg.
    pub mass: f64,
    /// Height of the build, m.
    pub height: f64,
    /// What it stands by itself, °C.
    pub stands: f64,
    /// How its coating serves where it is asked for.
    pub coating: Vec<(Surroundings, Rating)>,
    /// Price of one build at the quantity asked.
    pub each: Option<Money>,
    /// The part of its strength that is lost permanently in the conditions asked.
    pub loss: Option<f64>,
    /// Figures from which cautions are drawn.
    pub hazards: crate::answer::Hazards,
}

/// What to make of a comparison.
#[derive(Clone, Debug, PartialEq)]
pub enum Advice {
    /// They are the same in what decides.
    Same {
        /// The cheapest, where prices are known.
        cheapest: Option<usize>,
    },
    /// A solid piece beside a stack of its height and material.
    SolidOrStack {
        /// The solid piece.
        solid: usize,
        /// The stack.
        stack: usize,
        /// What the stack has less, as a part.
        loses: f64,
        /// What the stack costs more, as a part.
        dearer: Option<f64>,
    },
    /// One is better in what decides.
    Better {
        /// The best.
        best: usize,
        /// The one that it is set beside: the next best of the cheaper ones, or else the next best.
        than: usize,
        /// How much more it has, as a part.
        gain: f64,
        /// How much more it costs, as a part.
        dearer: Option<f64>,
        /// Most of what decides for the money.
        per_money: Option<usize>,
    },
}

impl Column {
    /// What decides, of this magnet.
    pub fn value(&self, measure: Compare) -> f64 {
        match measure {
            Compare::Pull => self.pull.mid,
            Compare::PairForce => self.pair.as_ref().map_or(0.0, |pair| pair.mid),
            Compare::Field => self.field.1.mid,
            Compare::FaceField => self.face.mid,
            Compare::Heat => self.stands,
            Compare::Weight => self.mass,
        }
    }

    /// Pull for a unit of money, N.
    pub fn pull_per_money(&self) -> Option<f64> {
        let each = self.each?.to_f64();
        (each > 0.0).then(|| self.pull.mid / each)
    }

    /// So many of them side by side, a width apart, pull as much as `pull`, N.
    pub fn for_pull(&self, pull: f64) -> Option<u32> {
        let needed = (pull / self.pull.mid - SAME).ceil();
        (needed.is_finite() && needed <= 1000.0).then(|| needed.max(1.0) as u32)
    }
}

/// Sets the magnets of an enquiry side by side; one alone is set beside other grades of its size.
///
/// # Errors
/// Where a magnet cannot be told or made, for conditions out of reason, and for more than [`MOST_COMPARED`] magnets.
pub fn compare(enquiry: &Enquiry, shelf: &[Item], catalogue: &Catalogue) -> Result<Compared, QuestionError> {
    let wrong = |message: String, hint: &str| QuestionError {
        field: "/magnets".into(),
        message,
        hint: hint.into(),
    };
    let hint = "name them by size and grade, such as 20 x 5 mm in N42 and in N52";
    if enquiry.magnets.is_empty() {
        return Err(wrong("nothing to compare is named".into(), hint));
    }
    if enquiry.magnets.len() > MOST_COMPARED {
        let message = format!(
            "{} magnets are named; at most {MOST_COMPARED} are compared",
            enquiry.magnets.len()
        );
        return Err(wrong(message, hint));
    }
    let setting = Setting::of(&enquiry.question, catalogue)?;
    let about = things(enquiry);
    let (named, size_assumed) = completed(&enquiry.magnets, shelf, catalogue);
    let measure = measure(&about, &named, &setting);
    let mut columns = Vec::with_capacity(named.len());
    for (place, magnet) in named.iter().enumerate() {
        let given = given(magnet, place, shelf, catalogue)?;
        let column = column(given, &setting, measure, catalogue).ok_or_else(|| QuestionError {
            field: format!("/magnets/{place}"),
            message: "such a magnet cannot be reckoned with: its coating leaves nothing of it".into(),
            hint: "give other sizes, or another coating".into(),
        })?;
        columns.push(column);
    }
    Ok(Compared {
        advice: advice(&columns, measure),
        setting,
        about,
        measure,
        columns,
        size_assumed,
    })
}

/// The magnets with the size of the first that has one where they have none, or of the shelf's reference; and whether that
/// was needed for all of them.
fn completed(magnets: &[NamedMagnet], shelf: &[Item], catalogue: &Catalogue) -> (Vec<NamedMagnet>, bool) {
    let sized = |m: &&NamedMagnet| !m.size_mm.is_empty();
    let model = magnets.iter().find(sized).cloned();
    let by_code = || magnets.iter().find(|m| m.code.is_some());
    let assumed = model.is_none() && by_code().is_none();
    let from_shelf = || {
        let of_code = by_code().and_then(|m| shelf.iter().find(|item| Some(&item.code) == m.code.as_ref()));
        let item = of_code.cloned().unwrap_or_else(|| reference(shelf, catalogue));
        let given = Given {
            item,
            stocked: false,
            build: crate::answer::Stack { pieces: 1, pair: false },
            assumed: Vec::new(),
        };
        given.named()
    };
    let model = model.unwrap_or_else(from_shelf);
    let mut named: Vec<NamedMagnet> = magnets
        .iter()
        .map(|m| {
            let mut whole = m.clone();
            if m.code.is_none() && m.size_mm.is_empty() && m.shape.is_none_or(|shape| Some(shape) == model.shape) {
                whole.shape = model.shape;
                whole.size_mm.clone_from(&model.size_mm);
            }
            whole
        })
        .collect();
    if let [only] = named.as_slice()
        && only.code.is_none()
    {
        let others = ["N35", "N42", "N52"]
            .into_iter()
            .filter(|grade| only.grade.as_deref() != Some(*grade));
        let beside: Vec<NamedMagnet> = others
            .map(|grade| NamedMagnet {
                grade: Some(grade.into()),
                ..only.clone()
            })
            .collect();
        // Where no grade was said, the grades are what is compared.
        if only.grade.is_none() {
            named.clear();
        }
        named.extend(beside);
    }
    (named, assumed)
}

fn measure(about: &[About], named: &[NamedMagnet], setting: &Setting) -> Compare {
    for thing in about {
        match thing {
            About::Field | About::DistanceForField | About::KeepAway | About::Moment => return Compare::Field,
            About::FaceField => return Compare::FaceField,
            About::Heat => return Compare::Heat,
            About::Weight => return Compare::Weight,
            About::Pull | About::Price | About::Value => break,
            _ => {}
        }
    }
    if setting.opposed || named.iter().any(|m| m.pair) {
        Compare::PairForce
    } else {
        Compare::Pull
    }
}

fn column(given: Given, setting: &Setting, measure: Compare, catalogue: &Catalogue) -> Option<Column> {
    let grade = catalogue.grade_of(&given.item)?;
    let coating = catalogue.coatings.get(&given.item.coating)?;
    let pieces = given.build.pieces;
    let exposure = setting.exposure();
    let plate = if setting.on_steel {
        setting.plate(catalogue)
    } else {
        Task::thick_steel([0.0; 3])
    };
    let lot = catalogue.read_pieces(&given.item);
    let fresh = |task: Task| Prediction::new(&given.item, grade, coating, task, exposure.warmest).of_lot(lot);
    let whole = fresh(plate).undiminished(pieces);
    let in_use = fresh(plate).in_use(pieces, &exposure).ok();
    let band = |task: Task| {
        let task = fresh(task).task;
        in_use.unwrap_or(whole).for_task(task).band().ok()
    };
    let at = setting.distance.unwrap_or(FIELD_AT);
    let wanted = given.build.total_pieces() * u64::from(setting.pieces());
    let price = given.item.price_each(wanted.max(given.item.least_order()));
    let places = match setting.conditions().surroundings {
        Some(place) => vec![place],
        None => vec![Surroundings::Damp, Surroundings::Outdoors],
    };
    let opposed = setting.opposed;
    Some(Column {
        pull: band(plate)?,
        sheet: band(plate.on_plate(Some(SHEET))).filter(|_| !setting.on_steel),
        pair: band(Task::Pair {
            gap: setting.gap.unwrap_or(0.0),
            opposed,
        })
        .filter(|_| measure == Compare::PairForce),
        face: band(Task::face())?,
        read: catalogue.probe.as_ref().and_then(|probe| {
            let read = band(Task::read_by(probe))?;
            Some((probe.name.clone(), read))
        }),
        field: (at, band(Task::spot(at, 0.0))?),
        mass: mass_of(&given.item, grade) * given.build.total_pieces() as f64,
        height: given.item.shape.height() * f64::from(pieces),
        stands: heat::stands(&fresh(plate), pieces, Facing::Nothing),
        coating: places
            .into_iter()
            .map(|place| (place, coating.suitability(place).rating))
            .collect(),
        each: price.and_then(|p| p.times(given.build.total_pieces()).ok()),
        loss: in_use.map(|in_use| in_use.wear().loss),
        hazards: hazards::of_build(&whole, given.build, setting.pieces(), Placement::default()).ok()?,
        known: catalogue.known_of(&given.item),
        given,
    })
}

/// What a stack and a solid piece of its height and material have in common.
fn is_stack_of(stack: &Column, solid: &Column) -> bool {
    let face = |c: &Column| (c.given.item.shape.pole_area() * 1e9).round();
    stack.given.build.pieces > 1
        && solid.given.build.pieces == 1
        && kind_of(&stack.given.item.shape) == kind_of(&solid.given.item.shape)
        && face(stack) == face(solid)
        && stack.given.item.grade == solid.given.item.grade
        && (stack.height - solid.height).abs() <= 0.1e-3
}

fn advice(columns: &[Column], measure: Compare) -> Advice {
    let value = |k: usize| columns[k].value(measure);
    let cost = |k: usize| columns[k].each.map(Money::to_f64);
    let dearer = |a: usize, b: usize| Some(cost(a)? / cost(b)? - 1.0).filter(|d| d.is_finite());
    let places = || 0..columns.len();
    for stack in places() {
        if let Some(solid) = places().find(|solid| is_stack_of(&columns[stack], &columns[*solid])) {
            return Advice::SolidOrStack {
                solid,
                stack,
                loses: 1.0 - value(stack) / value(solid),
                dearer: dearer(stack, solid),
            };
        }
    }
    // Where less is better the order turns round.
    let rank = |k: usize| {
        if measure == Compare::Weight {
            -value(k)
        } else {
            value(k)
        }
    };
    let mut order: Vec<usize> = places().collect();
    order.sort_by(|a, b| rank(*b).total_cmp(&rank(*a)));
    let (Some(&best), Some(&worst)) = (order.first(), order.last()) else {
        return Advice::Same { cheapest: None };
    };
    let cheapest = places()
        .filter(|k| cost(*k).is_some())
        .min_by(|a, b| cost(*a).partial_cmp(&cost(*b)).unwrap_or(std::cmp::Ordering::Equal));
    let spread = (value(best) / value(worst) - 1.0).abs();
    if best == worst || spread < SAME {
        return Advice::Same { cheapest };
    }
    let than = order
        .iter()
        .copied()
        .skip(1)
        .find(|k| dearer(best, *k).is_some_and(|d| d > 0.0))
        .unwrap_or(order[1]);
    let for_money = |k: usize| columns[k].pull_per_money();
    let priced = places().filter(|k| for_money(*k).is_some());
    let per_money = priced.max_by(|a, b| {
        for_money(*a)
            .partial_cmp(&for_money(*b))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    Advice::Better {
        best,
        than,
        gain: value(best) / value(than) - 1.0,
        dearer: dearer(best, than),
        per_money: per_money.filter(|_| matches!(measure, Compare::Pull)),
    }
}

#[cfg(test)]
mod tests;
