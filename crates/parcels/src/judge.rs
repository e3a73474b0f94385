//! A parcel held against the rules.

use advice::given::{Given, given};
use advice::hazards::{self, NEAR_PARCEL};
use advice::predict::{Task, dipole_field};
use advice::{Catalogue, Item, QuestionError};
use magnetics::Shape;
use materials::grade::REFERENCE_CELSIUS;
use numerics::vector::{add, length};

use crate::field::{self, Most};
use crate::lining::{self, Lining};
use crate::pack::{self, Content, Pieces, Stack};
use crate::request::{PackedLine, ParcelRequest, wrong};
use crate::rules::{Carriage, Rule, rules};

/// Pieces of one magnet in a parcel.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// The magnet.
    pub given: Given,
    /// How many pieces.
    pub count: u32,
    /// Mass of one, kg.
    pub mass: f64,
    /// Moment of one, A m²: the lower end of its 95 % band, its middle, the upper end.
    pub moment: [f64; 3],
}

/// A field held against a rule.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The rule.
    pub rule: &'static Rule,
    /// The most over all directions, T.
    pub field: f64,
    /// The same at the unfavourable end: the strongest of the grade, pieces that differ, seams in a lining.
    pub most: f64,
}

impl Reading {
    /// Whether the rule is kept at the unfavourable end.
    pub fn within(&self) -> bool {
        self.most <= self.rule.most
    }
}

/// A packed parcel with its field.
#[derive(Clone, Debug, PartialEq)]
pub struct Parcel {
    /// What was asked.
    pub request: ParcelRequest,
    /// What is in it.
    pub lines: Vec<Line>,
    /// How it lies.
    pub content: Content,
    /// Outer sides, m.
    pub sides: [f64; 3],
    /// Its lining, where it has one.
    pub lining: Option<Lining>,
    /// The field against each rule.
    pub readings: Vec<Reading>,
    /// Direction in which it is most, at the nearest of the rules' distances.
    pub worst: Most,
    /// The moment that is left over when all are added up, A m².
    pub moment: f64,
    /// What pieces that differ within their bands may leave over beside that (95 %), A m².
    pub uneven: f64,
    /// How it may go by air.
    pub carriage: Carriage,
}

impl Parcel {
    /// Mass of the magnets, kg.
    pub fn mass(&self) -> f64 {
        self.lines.iter().map(|line| line.mass * f64::from(line.count)).sum()
    }
}

/// Packs what is asked and holds it against the rules.
///
/// # Errors
/// A request that is out of range, a magnet that is not known, a content that does not fit in its box.
pub fn judge(request: &ParcelRequest, shelf: &[Item], catalogue: &Catalogue) -> Result<Parcel, QuestionError> {
    request.check()?;
    let lines = lines(request, shelf, catalogue)?;
    weighed(request, lines)
}

fn lines(request: &ParcelRequest, shelf: &[Item], catalogue: &Catalogue) -> Result<Vec<Line>, QuestionError> {
    let one = |(at, line): (usize, &PackedLine)| {
        let place = format!("/lines/{at}/magnet");
        let single = advice::enquiry::NamedMagnet {
            count: None,
            pair: false,
            ..line.magnet.clone()
        };
        let given = given(&single, at, shelf, catalogue).map_err(|error| {
            let field = error.field.replace("/magnets/", "/lines/").replacen(
                &format!("/lines/{at}/"),
                &format!("/lines/{at}/magnet/"),
                1,
            );
            QuestionError { field, ..error }
        })?;
        let task = Task::Dipole { distance: NEAR_PARCEL };
        let Some(fresh) = given.prediction(catalogue, task, REFERENCE_CELSIUS) else {
            let message = "its grade or its coating is not known".to_owned();
            return wrong(&place, message, "name a grade such as N42");
        };
        let mass = hazards::mass_of(&given.item, fresh.grade);
        let band = match hazards::parcel(&fresh.undiminished(1), ONE_PIECE) {
            Ok(band) => band,
            Err(error) => return wrong(&place, error.to_string(), "check its sizes and its coating"),
        };
        let of = dipole_field(1.0, NEAR_PARCEL);
        Ok(Line {
            moment: [band.low, band.mid, band.high].map(|b| b / of),
            mass,
            count: line.count,
            given,
        })
    };
    request.lines.iter().enumerate().map(one).collect()
}

/// One piece by itself.
const ONE_PIECE: advice::answer::Stack = advice::answer::Stack { pieces: 1, pair: false };

/// Sides across the magnetisation and along it, m.
fn sides(shape: &Shape) -> [f64; 3] {
    match *shape {
        Shape::Disc { diameter, thickness } => [diameter, diameter, thickness],
        Shape::Ring {
            outer_diameter,
            thickness,
            ..
        } => [outer_diameter, outer_diameter, thickness],
        Shape::Block {
            length,
            width,
            thickness,
        } => [length, width, thickness],
        Shape::Sphere { diameter } => [diameter; 3],
    }
}

/// The same lines packed and judged as that request says.
pub(crate) fn weighed(request: &ParcelRequest, lines: Vec<Line>) -> Result<Parcel, QuestionError> {
    let pieces: Vec<Pieces> = lines
        .iter()
        .map(|line| Pieces {
            count: line.count,
            sides: sides(&line.given.item.shape),
            moment: line.moment[1],
        })
        .collect();
    let content = pack::pack(&pieces, request.arrangement, request.per_stack);
    let around = 2.0 * (request.filler() + request.lining());
    let needed = content.size.map(|side| side + around);
    let sides = request.sides.map_or(needed, |sides| sides.map(|side| side.0));
    if (0..3).any(|k| needed[k] > sides[k] + 1e-9) {
        let mm = needed.map(|side| (side * 1e3).ceil().to_string()).join(" × ");
        let message = format!("the content with its filler needs a box of {mm} mm");
        return wrong(
            "/box",
            message,
            "give a larger box, less filler, or another number of pieces in a stack",
        );
    }
    let sources = content.sources(&pieces);
    let left = sources.iter().fold([0.0; 3], |sum, source| add(sum, source.moment));
    let moment = length(left);
    let half_band = |line: &Line| 0.5 * (line.moment[2] - line.moment[0]);
    let uneven = lines
        .iter()
        .map(|line| f64::from(line.count) * half_band(line).powi(2))
        .sum::<f64>()
        .sqrt();
    let stronger = lines
        .iter()
        .map(|line| line.moment[2] / line.moment[1])
        .fold(1.0, f64::max);
    let tallest = content
        .stacks
        .iter()
        .map(|stack: &Stack| f64::from(stack.pieces) * pieces[stack.line].moment)
        .fold(0.0, f64::max);
    let lining = Some(request.lining())
        .filter(|thickness| *thickness > 0.0)
        .map(|thickness| lining::lining(thickness, sides, moment.max(tallest) * stronger + uneven));
    let (weakens, at_least) = lining.map_or((1.0, 1.0), |lining| (lining.weakens, lining.at_least));
    let half = sides.map(|side| 0.5 * side);
    let nearest = half[0].min(half[1]).min(half[2]);
    let mut found: Vec<(f64, Most)> = Vec::new();
    for rule in &rules().rule {
        if !found.iter().any(|(distance, _)| *distance == rule.distance) {
            found.push((rule.distance, field::most(&sources, half, rule.distance)));
        }
    }
    let readings: Vec<Reading> = rules()
        .rule
        .iter()
        .filter_map(|rule| {
            let (_, most) = found.iter().find(|(distance, _)| *distance == rule.distance)?;
            let field = most.flux_density;
            let left_over = dipole_field(uneven, rule.distance + nearest);
            Some(Reading {
                rule,
                field: field / weakens,
                most: (field * stronger + left_over) / at_least,
            })
        })
        .collect();
    let carriage = readings
        .iter()
        .filter(|reading| !reading.within())
        .map(|reading| reading.rule.beyond)
        .max()
        .unwrap_or(Carriage::Free);
    let worst = found
        .iter()
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map_or_else(Most::default, |(_, most)| *most);
    Ok(Parcel {
        request: request.clone(),
        lines,
        content,
        sides,
        lining,
        readings,
        worst,
        moment,
        uneven,
        carriage,
    })
}

#[cfg(test)]
mod tests;
