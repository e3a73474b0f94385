//! Prices of the demo shop: material by mass and grade, coating by surface, handling by piece, and a markup that
//! falls with quantity.

use advice::PriceBreak;
use magnetics::Shape;
use quantity::Money;

use super::catalogue::Kind;
use super::data::{Data, data};
use super::random::Random;

/// Remanence of the plain grade, T.
const PLAIN_REMANENCE: f64 = 1.2;

/// Price breaks of a magnet: strictly falling, fewer for dear ones, with small differences between items.
pub(super) fn breaks(kind: &Kind, data: &Data, random: &mut Random) -> Vec<PriceBreak> {
    let first = cost(kind, data) * data.trade.markup * random.between(0.96, 1.04);
    let most = match first {
        first if first > 40.0 => 50,
        first if first > 8.0 => 500,
        first if first > 2.0 => 1_000,
        _ => u64::MAX,
    };
    // A few magnets are sold in tens only.
    let least = if first < 0.3 && random.share() < 0.25 { 10 } else { 1 };
    let mut breaks: Vec<PriceBreak> = Vec::new();
    for step in data
        .trade
        .breaks
        .iter()
        .filter(|step| (least..=most).contains(&step.from))
    {
        let off = step.off * random.between(0.92, 1.08);
        let each = rounded(first * (1.0 - off));
        if breaks.last().is_none_or(|before| each < before.each) {
            breaks.push(PriceBreak { from: step.from, each });
        }
    }
    breaks
}

/// What a piece costs the shop, currency units.
fn cost(kind: &Kind, data: &Data) -> f64 {
    let Some(cost) = data.cost.get(&kind.grade.family) else {
        return 0.0;
    };
    let kilograms = kind.shape.volume() * kind.grade.density;
    let stronger = ((kind.grade.br_typical - PLAIN_REMANENCE) * 10.0).max(0.0) * cost.per_tenth_tesla;
    let suffix = kind
        .grade
        .name
        .trim_start_matches('N')
        .trim_start_matches(|c: char| c.is_ascii_digit());
    let heat = data.heat.get(suffix).copied().unwrap_or(0.0);
    let material = kilograms * cost.per_kilogram * (1.0 + stronger) * (1.0 + heat);
    let coating = data.coating.get(kind.coating).map_or(0.0, |coating| {
        coating.piece + coating.square_centimetre * surface(&kind.shape) * 1e4
    });
    material + cost.handling + coating
}

/// Outer surface, m².
fn surface(shape: &Shape) -> f64 {
    match *shape {
        Shape::Sphere { diameter } => std::f64::consts::PI * diameter * diameter,
        _ => 2.0 * shape.pole_area() + shape.pole_perimeter() * shape.height(),
    }
}

/// To the steps in which small shops print prices: 0.001 below 1, 0.01 below 20, 0.1 above.
pub(super) fn rounded(amount: f64) -> Money {
    let step = match amount {
        amount if amount < 1.0 => 10.0,
        amount if amount < 20.0 => 100.0,
        _ => 1_000.0,
    };
    Money::from_parts(((amount * 1e4 / step).round().max(1.0) * step) as i64)
}

/// Breaks of the trade on the price of one, EUR, as far as each is below the one before.
pub(super) fn falling(first: f64) -> Vec<PriceBreak> {
    let mut breaks: Vec<PriceBreak> = Vec::new();
    for step in &data().trade.breaks {
        let each = rounded(first * (1.0 - step.off));
        if breaks.last().is_none_or(|before| each < before.each) {
            breaks.push(PriceBreak { from: step.from, each });
        }
    }
    breaks
}
