//! What was found on the shelf, in words.

use magnetics::Shape;
use numerics::vector::Vector;
use quantity::{Currency, Force, Mass, Quantity, Units};
use serde::Serialize;
use utoipa::ToSchema;

use super::outline::{self, Outline};
use super::{SizeView, amount, does, figure, joining, least_text, length, money, sizes, words};
use crate::family::Family;
use crate::stock::{Build, Felt, Joining, Line, Sense, Shelf, Step, Stock, Taken};
use crate::told::Told;
use crate::wish::{Aim, Goal};

/// What the shelf has for a wish.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct StockView {
    /// What was found, in a sentence or two.
    pub lead: String,
    /// The builds, those that are on hand for the whole lot first, then the cheapest.
    pub builds: Vec<StockBuildView>,
}

/// A build out of pieces of the shelf.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct StockBuildView {
    /// Its family, as the interface names it.
    pub family: Family,
    /// What it is.
    pub name: String,
    /// Whether it does what was wished for.
    pub keeps: bool,
    /// What it does.
    pub value: String,
    /// How that was found.
    pub basis: String,
    /// What it takes from the shelf.
    pub pieces: Vec<StockPieceView>,
    /// What the pieces of one build cost, joining left out.
    pub price: String,
    /// What the pieces of the whole lot cost.
    pub lot_price: String,
    /// For how many builds there are pieces.
    pub on_hand: String,
    /// Whether that is enough for the lot, as far as is known.
    pub enough: bool,
    /// Sizes that are set when it is joined.
    pub sizes: Vec<SizeView>,
    /// What is to be least, in the order of the aims.
    pub least: Vec<String>,
    /// Mass of one.
    pub mass: String,
    /// How near its magnets are to their knee.
    pub strain: String,
    /// How it is put together, step by step, with the forces that are felt.
    pub steps: Vec<String>,
    /// Jig, glue and danger.
    pub care: Vec<String>,
    /// Its outlines, seen from the front.
    pub outlines: Vec<Outline>,
}

/// Pieces of one kind.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, ToSchema)]
pub struct StockPieceView {
    /// The code of the item on the shelf.
    pub code: String,
    /// Whether it is a steel part, which has no sheet of its own.
    pub steel: bool,
    /// What it is.
    pub what: String,
    /// How many to a build.
    pub count: u64,
    /// How many are bought for the lot.
    pub bought: u64,
    /// Price of one piece at that quantity.
    pub each: String,
    /// What they cost together.
    pub sum: String,
}

/// Where the shelf has no price.
const NO_PRICE: &str = "no price on the shelf";

/// What is told of the shelf.
pub(super) fn view(told: &Told, shelf: &Shelf, units: &Units, currency: Currency) -> StockView {
    let Stock { builds, nearest, .. } = &told.stock;
    let shown = builds.iter().chain(nearest);
    StockView {
        lead: lead(told, units, currency),
        builds: shown
            .map(|build| view_of(told, build, shelf, units, currency))
            .collect(),
    }
}

fn lead(told: &Told, units: &Units, currency: Currency) -> String {
    let Stock {
        builds,
        nearest,
        pieces,
    } = &told.stock;
    let goal = &told.read.wish.goal;
    if *pieces == 0 {
        return "The shelf has no magnets of that grade for that temperature.".into();
    }
    if let Some(best) = builds.first() {
        let name = name(best);
        let value = does(&told.read, &best.found, units);
        let price = per_build(best, told.read.wish.lot, currency);
        let hand = if best.enough {
            String::new()
        } else {
            format!(" {}.", on_hand(best, told.read.wish.lot))
        };
        return format!("Out of pieces on the shelf: {name}, {value}, {price}.{hand}");
    }
    match nearest {
        Some(nearest) if !matches!(goal, Goal::Even { .. }) => {
            let wanted = amount(goal, goal.wanted(), units);
            if nearest.found.value() >= goal.wanted() {
                let strain = words::strain(nearest.found.figures.strain);
                return format!(
                    "Nothing out of pieces on the shelf does it. {} is strong enough, but {strain}.",
                    capital(&name(nearest))
                );
            }
            format!(
                "Nothing out of pieces on the shelf does it. The nearest that was found, {}, gives {}; {wanted} is wished for.",
                name(nearest),
                does(&told.read, &nearest.found, units)
            )
        }
        _ => "Nothing out of pieces on the shelf that was looked at does it.".into(),
    }
}

/// A text with a capital letter first.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// What a build is called: how many of what.
fn name(build: &Build) -> String {
    let family = build.found.draft.family;
    let count = build.found.draft.magnets.len();
    match family {
        Family::Stepped => format!("a stack of {count}"),
        other => words::family(other).into(),
    }
}

fn per_build(build: &Build, lot: u32, currency: Currency) -> String {
    build.price.map_or(NO_PRICE.into(), |price| {
        format!("{} a build", money(price.to_f64() / f64::from(lot.max(1)), currency))
    })
}

fn on_hand(build: &Build, lot: u32) -> String {
    match build.on_hand {
        None => "The shelf does not say how many are on hand".into(),
        Some(_) if build.enough => "On hand for the whole lot".into(),
        Some(1) => format!("On hand for 1 build of {lot}"),
        Some(builds) => format!("On hand for {builds} builds of {lot}"),
    }
}

fn view_of(told: &Told, build: &Build, shelf: &Shelf, units: &Units, currency: Currency) -> StockBuildView {
    let (read, found) = (&told.read, &build.found);
    let lot = read.wish.lot;
    let family = found.draft.family;
    let least = |aim: Aim| match aim {
        Aim::Cost => per_build(build, lot, currency),
        other => least_text(found, other, units, None),
    };
    let mut care = joining::care(family);
    care.extend(pinched(&build.joining, units));
    StockBuildView {
        family,
        name: name(build),
        keeps: found.keeps,
        value: does(read, found, units),
        basis: super::basis(found).into(),
        pieces: build
            .lines
            .iter()
            .map(|line| piece(line, build, shelf, units, currency))
            .collect(),
        price: per_build(build, lot, currency),
        lot_price: build
            .price
            .map_or(NO_PRICE.into(), |price| price.rounded(currency).show(currency)),
        on_hand: on_hand(build, lot),
        enough: build.enough,
        sizes: sizes(found, units),
        least: read.wish.aims.iter().map(|&aim| least(aim)).collect(),
        mass: Mass(found.mass).show(units).to_string(),
        strain: words::strain(found.figures.strain),
        steps: steps(build, shelf, units),
        care,
        outlines: outline::outlines(&found.draft),
    }
}

fn code(taken: Taken, shelf: &Shelf) -> &str {
    let offer = match taken {
        Taken::Magnet(index) => shelf.pieces.get(index).map(|piece| &piece.offer),
        Taken::Plate(index) => shelf.plates.get(index).map(|plate| &plate.offer),
    };
    offer.map_or("", |offer| offer.code.as_str())
}

/// A piece in words, as it is sold.
fn what(taken: Taken, shelf: &Shelf, grade: &str, units: &Units) -> String {
    let show = |size: f64| length(size, units);
    match taken {
        Taken::Plate(index) => shelf.plates.get(index).map_or(String::new(), |plate| {
            format!("steel disc {} × {}", show(plate.diameter), show(plate.thickness))
        }),
        Taken::Magnet(index) => match shelf.pieces.get(index).map(|piece| piece.shape) {
            Some(Shape::Disc { diameter, thickness }) => {
                format!("disc {} × {}, {grade}", show(diameter), show(thickness))
            }
            Some(Shape::Ring {
                outer_diameter,
                inner_diameter,
                thickness,
            }) => format!(
                "ring {} / {} × {}, {grade}",
                show(outer_diameter),
                show(inner_diameter),
                show(thickness)
            ),
            Some(Shape::Block {
                length: long,
                width,
                thickness,
            }) => format!(
                "block {} × {} × {}, poles on the faces {} apart, {grade}",
                show(long),
                show(width),
                show(thickness),
                show(thickness)
            ),
            _ => String::new(),
        },
    }
}

fn piece(line: &Line, build: &Build, shelf: &Shelf, units: &Units, currency: Currency) -> StockPieceView {
    let text = |amount: Option<quantity::Money>| amount.map_or(NO_PRICE.into(), |amount| amount.show(currency));
    StockPieceView {
        code: code(line.taken, shelf).into(),
        steel: matches!(line.taken, Taken::Plate(_)),
        what: what(line.taken, shelf, &build.grade, units),
        count: line.count as u64,
        bought: line.bought.pieces,
        each: text(line.bought.each),
        sum: text(line.bought.sum()),
    }
}

/// Where a north pole points.
fn pole([x, _, z]: Vector) -> &'static str {
    if z > 0.5 {
        "up"
    } else if z < -0.5 {
        "down"
    } else if x > 0.0 {
        "to the right"
    } else {
        "to the left"
    }
}

fn steps(build: &Build, shelf: &Shelf, units: &Units) -> Vec<String> {
    let family = build.found.draft.family;
    let step = |(place, step): (usize, &Step)| {
        let text = joining::step(family, place == 0)?;
        let direction = step.pole.map_or("", pole);
        let text = text
            .replace("{piece}", code(step.taken, shelf))
            .replace("{pole}", direction);
        Some(format!("{text}{}", felt(step.felt, units)))
    };
    let mut texts: Vec<String> = build.joining.steps.iter().enumerate().filter_map(step).collect();
    if let (Some(force), Some(words)) = (build.joining.closed, joining::felt()) {
        texts.push(words.closed.replace("{force}", &newtons(force, units)));
    }
    texts
}

fn newtons(force: f64, units: &Units) -> String {
    Force(force).show(units).to_string()
}

/// Torque below which nothing is felt, N m; common practice, no source.
const UNFELT: f64 = 1e-3;

/// What is felt, in words, with a space before.
fn felt(felt: Option<Felt>, units: &Units) -> String {
    let (Some(felt), Some(words)) = (felt, joining::felt()) else {
        return String::new();
    };
    let text = match felt.sense {
        Sense::In => &words.pulled,
        Sense::Away => &words.pushed,
        Sense::Down => &words.down,
        Sense::Up => &words.up,
    };
    let text = text.replace("{force}", &newtons(felt.force, units));
    if felt.torque < UNFELT {
        return format!(" {text}");
    }
    let torque = format!("{}\u{a0}N\u{a0}m", figure(felt.torque));
    format!(" {text} {}", words.turned.replace("{torque}", &torque))
}

/// The caution against pinching where a force on the way, or of a gap that closes, is large enough.
fn pinched(joining: &Joining, units: &Units) -> Option<String> {
    let limit = joining::pinch();
    let forces = joining.steps.iter().filter_map(|step| step.felt).map(|felt| felt.force);
    let largest = forces.chain(joining.closed).fold(0.0, f64::max);
    let words = joining::felt().filter(|_| largest >= limit)?;
    Some(words.pinched.replace("{force}", &newtons(limit, units)))
}
