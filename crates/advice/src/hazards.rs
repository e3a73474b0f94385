//! The figures from which cautions are drawn.

use magnetics::grade::{Family, GradeRow};
use magnetics::{Shape, StackField};

use crate::answer::{Build, Hazards};
use crate::item::Item;
use crate::predict::{Prediction, reading_radius};
use crate::stacked::Stacked;

/// Inner diameter and depths of the small-parts cylinder, m (16 CFR 1501.4, Figure 1; from memory): a piece that passes
/// the bore and is no longer than the deep side fits in some way.
const SMALL_PARTS_BORE: f64 = 31.7e-3;
const SMALL_PARTS_DEPTH: f64 = 57.1e-3;
/// Depth of the active element of the toy-test probe below its tip, m (Canada Toys Regulations SOR/2011-17, Sch. 10).
const TOY_PROBE_DEPTH: f64 = 0.38e-3;
/// Action level for active implants, T (Directive 2013/35/EU, Annex II, Table B4; from memory).
const IMPLANT_LEVEL: f64 = 0.5e-3;
/// Level at which bank cards and watches suffer, T (NRC, Prudent Practices in the Laboratory, 2011, Table 7.1).
const CARD_LEVEL: f64 = 1e-3;

/// Mass of one piece, kg: as listed, or from its size and the density of its grade.
pub fn mass_of(item: &Item, grade: &GradeRow) -> f64 {
    item.mass.map_or_else(|| item.shape.volume() * grade.density, |m| m.si())
}

/// Flux density on the axis `distance` metres away, of `pieces` of the stack's pieces as one dipole.
pub fn far_field(stack: &Stacked, pieces: u64, stacked: u32, distance: f64) -> f64 {
    let moment = stack.moment() / f64::from(stacked) * pieces as f64;
    2e-7 * moment / distance.powi(3)
}

/// Distance from the face on the axis beyond which the field stays below `level`; 0 where it never reaches it.
fn reach(field: &StackField, level: f64) -> f64 {
    // From far away inwards in small steps, so that the turning field over the hole of a ring cannot mislead.
    const STEP: f64 = 0.9;
    let above = |distance: f64| field.on_axis(distance).abs() > level;
    let mut high = 10.0;
    while !above(high * STEP) {
        high *= STEP;
        if high < 1e-6 {
            return 0.0;
        }
    }
    let mut low = high * STEP;
    for _ in 0..40 {
        let middle = low.midpoint(high);
        if above(middle) { low = middle } else { high = middle }
    }
    high
}

/// The figures of one build; `builds` are ordered together, and `opposed` builds face like poles.
pub fn of_build(prediction: &Prediction, build: Build, builds: u32, opposed: bool) -> Hazards {
    let item = prediction.item;
    let (Some(stack), Some(one)) = (prediction.stack(build.pieces), prediction.stack(1)) else {
        return Hazards::default();
    };
    let reach = |level| stack.field().map_or(0.0, |field| reach(&field, level));
    let order = build.total_pieces() * u64::from(builds);
    let mut sides = match item.shape {
        Shape::Block { length, width, thickness } => [length, width, thickness],
        Shape::Sphere { diameter } => [diameter; 3],
        Shape::Disc { diameter, thickness } => [diameter, diameter, thickness],
        Shape::Ring { outer_diameter, thickness, .. } => [outer_diameter, outer_diameter, thickness],
    };
    sides.sort_by(f64::total_cmp);
    let across = if matches!(item.shape, Shape::Block { .. }) { sides[0].hypot(sides[1]) } else { sides[1] };
    let face = one.flux_density(reading_radius(&item.shape), TOY_PROBE_DEPTH);
    Hazards {
        contact_force: stack.pair_force(0.0),
        implant_distance: reach(IMPLANT_LEVEL),
        card_distance: reach(CARD_LEVEL),
        small_part: across <= SMALL_PARTS_BORE && sides[2] <= SMALL_PARTS_DEPTH,
        flux_index: face[1] * face[1] * item.shape.pole_area(),
        at_2_1_m: far_field(&stack, build.total_pieces(), build.pieces, 2.1),
        order_at_2_1_m: far_field(&stack, order, build.pieces, 2.1),
        order_at_4_5_m: far_field(&stack, order, build.pieces, 4.5),
        brittle: prediction.grade.family != Family::BondedNdFeB,
        nickel: prediction.coating.contains_nickel,
        opposed,
        max_celsius: prediction.grade.max_service_celsius.min(prediction.coating.max_celsius),
    }
}
