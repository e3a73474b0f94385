//! The figures from which cautions are drawn.

use magnetics::inside::Facing;
use magnetics::{Shape, StackField};
use materials::grade::{Family, GradeRow};
use uncertainty::Band;

use crate::answer::{Build, Hazards};
use crate::heat::{self, Exposure};
use crate::item::Item;
use crate::predict::{Prediction, Task, reading_radius};

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

/// Distances at which a parcel's field is judged, m (IATA Packing Instruction 953; 49 CFR 173.21(d)).
pub const NEAR_PARCEL: f64 = 2.1;
const FAR_PARCEL: f64 = 4.5;

/// Mass of one piece, kg: as listed, or from its size and the density of its grade.
pub fn mass_of(item: &Item, grade: &GradeRow) -> f64 {
    item.mass
        .map_or_else(|| item.shape.volume() * grade.density, |m| m.si())
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

/// The figures of one build; `builds` are ordered together. Where like poles face each other, `opposed` is the warmest, °C.
pub fn of_build(prediction: &Prediction, build: Build, builds: u32, opposed: Option<f64>) -> Hazards {
    let item = prediction.item;
    let (Some(stack), Some(one)) = (prediction.stack(build.pieces), prediction.stack(1)) else {
        return Hazards::default();
    };
    let reach = |level| stack.field().map_or(0.0, |field| reach(&field, level));
    let mut sides = match item.shape {
        Shape::Block {
            length,
            width,
            thickness,
        } => [length, width, thickness],
        Shape::Sphere { diameter } => [diameter; 3],
        Shape::Disc { diameter, thickness } => [diameter, diameter, thickness],
        Shape::Ring {
            outer_diameter,
            thickness,
            ..
        } => [outer_diameter, outer_diameter, thickness],
    };
    sides.sort_by(f64::total_cmp);
    let across = if matches!(item.shape, Shape::Block { .. }) {
        sides[0].hypot(sides[1])
    } else {
        sides[1]
    };
    let face = one.flux_density(reading_radius(&item.shape), TOY_PROBE_DEPTH);
    let parcel = parcel(prediction, build);
    let order = f64::from(builds);
    Hazards {
        contact_force: stack.pair_force(0.0),
        implant_distance: reach(IMPLANT_LEVEL),
        card_distance: reach(CARD_LEVEL),
        small_part: across <= SMALL_PARTS_BORE && sides[2] <= SMALL_PARTS_DEPTH,
        flux_index: face[1] * face[1] * item.shape.pole_area(),
        at_2_1_m: parcel.mid,
        order_at_2_1_m: parcel.mid * order,
        order_range_at_2_1_m: [parcel.low * order, parcel.high * order],
        order_at_4_5_m: parcel.mid * order * (NEAR_PARCEL / FAR_PARCEL).powi(3),
        brittle: prediction.grade.family != Family::BondedNdFeB,
        nickel: prediction.coating.contains_nickel,
        opposed: opposed.is_some(),
        max_celsius: heat::stands(prediction, build.pieces, Facing::Nothing),
        opposed_loss: opposed.map_or(0.0, |warmest| pressed_together(prediction, build.pieces, warmest)),
    }
}

/// The band of the flux density at [`NEAR_PARCEL`] from one build, T. The pieces of an order are taken as alike, so that
/// many builds have as wide a band as one.
pub fn parcel(prediction: &Prediction, build: Build) -> Band {
    let stack = Prediction {
        task: Task::Dipole { distance: NEAR_PARCEL },
        ..*prediction
    };
    stack
        .band(build.pieces)
        .scaled(build.total_pieces() as f64 / f64::from(build.pieces))
}

/// The part that two builds lose for good when like poles are pressed together at the warmest.
fn pressed_together(prediction: &Prediction, pieces: u32, warmest: f64) -> f64 {
    let touching = Exposure {
        warmest,
        coldest: warmest,
        facing: Facing::Opposing {
            gap: 2.0 * prediction.coating.thickness.typical,
        },
    };
    heat::wear(prediction, pieces, &touching).map_or(0.0, |wear| wear.loss)
}

#[cfg(test)]
mod tests {
    use materials::coating::Coating;

    use super::*;
    use crate::fixture::{ball, block, catalogue, disc, ring};
    use crate::predict::dipole_field;
    use crate::stacked::Stacked;

    /// Hazards of bare pieces of that remanence, without recoil.
    fn rigid(item: &Item, br: f64, pieces: u32, builds: u32) -> Hazards {
        let catalogue = catalogue();
        let row = catalogue.grades.get("N42").unwrap();
        let grade = GradeRow {
            br_typical: br,
            recoil_permeability: 1.0,
            ..row.clone()
        };
        let bare: &Coating = catalogue.coatings.get("none").unwrap();
        let task = Task::pair(0.0);
        of_build(
            &Prediction::new(item, &grade, bare, task, 20.0),
            Build { pieces, pair: false },
            builds,
            None,
        )
    }

    /// D10 L5 at 1.3 T: 0.5 mT at 51.9 mm and 1 mT at 40.6 mm on the axis, 0.00874 µT at 2.1 m; computed.
    #[test]
    fn distances_agree_with_the_field_on_the_axis() {
        let got = rigid(&disc("a", 10.0, 5.0), 1.3, 1, 1);
        assert!((got.implant_distance - 51.9e-3).abs() <= 0.05e-3, "{got:?}");
        assert!((got.card_distance - 40.6e-3).abs() <= 0.05e-3, "{got:?}");
        let stack = Stacked::new(disc("a", 10.0, 5.0).shape, 0.0, 1, 1.3, 1.0).unwrap();
        let exact = stack.flux_density(0.0, 2.1)[1];
        assert!((exact - 0.00874e-6).abs() <= 0.000005e-6, "{exact}");
        // A dipole at the face is half its height too near, and so on the safe side.
        assert!(got.at_2_1_m > exact && got.at_2_1_m < 1.005 * exact, "{got:?}");
        assert!((got.at_2_1_m / got.order_at_4_5_m - (4.5f64 / 2.1).powi(3)).abs() <= 1e-9);
        assert!(got.order_range_at_2_1_m[0] < got.at_2_1_m && got.order_range_at_2_1_m[1] > got.at_2_1_m);
        let order = rigid(&disc("a", 10.0, 5.0), 1.3, 2, 50);
        assert!((order.order_at_2_1_m / got.at_2_1_m - 100.0).abs() <= 1e-9);
        assert!((order.at_2_1_m / got.at_2_1_m - 2.0).abs() <= 1e-9);
    }

    /// kG² mm² at 0.38 mm on the axis with 1.2 T, without plating or recoil; computed.
    #[test]
    fn flux_index_of_small_discs() {
        for (diameter, thickness, index) in [
            (3.0, 1.0, 47.4),
            (5.0, 1.0, 78.4),
            (5.0, 3.0, 302.0),
            (10.0, 2.0, 354.0),
        ] {
            let got = rigid(&disc("a", diameter, thickness), 1.2, 1, 1).flux_index / 1e-8;
            assert!(
                (got / index - 1.0).abs() <= 2e-3,
                "D{diameter} L{thickness}: {got} for {index}"
            );
        }
    }

    /// A moment of 24.31 A m² gives 0.525 µT at 2.1 m on its axis: 2e-7 m / r³; computed.
    #[test]
    fn a_moment_of_24_reaches_the_limit_of_air_transport() {
        let item = disc("a", 60.0, 10.0);
        let catalogue = catalogue();
        let (grade, bare) = (
            catalogue.grades.get("N42").unwrap(),
            catalogue.coatings.get("none").unwrap(),
        );
        let stack = Prediction::new(&item, grade, bare, Task::pair(0.0), 20.0)
            .stack(1)
            .unwrap();
        let got = dipole_field(stack.moment(), 2.1) * 24.31 / stack.moment();
        assert!((got - 0.525e-6).abs() <= 0.0005e-6, "{got}");
    }

    /// The cylinder of 16 CFR 1501.4 is 31.7 mm wide and at most 57.1 mm deep.
    #[test]
    fn small_parts_pass_the_bore_in_some_way() {
        let small = |item: &Item| rigid(item, 1.0, 1, 1).small_part;
        assert!(small(&disc("a", 31.0, 10.0)) && small(&disc("a", 5.0, 57.0)) && small(&ball("a", 31.0)));
        assert!(!small(&disc("a", 33.0, 2.0)) && !small(&disc("a", 5.0, 60.0)) && !small(&ring("a", 40.0, 20.0, 5.0)));
        // The long block goes in end first, if its end does not jam by its diagonal.
        assert!(small(&block("a", 50.0, 20.0, 20.0)) && !small(&block("a", 50.0, 25.0, 25.0)));
    }

    /// Over the hole of a ring the field turns about; the distance is still the outermost one.
    #[test]
    fn distances_of_rings_are_the_outermost_ones() {
        let ring = ring("a", 60.0, 50.0, 2.0);
        let got = rigid(&ring, 1.3, 1, 1);
        let stack = Stacked::new(ring.shape, 0.0, 1, 1.3, 1.0).unwrap();
        let b = |x: f64| stack.flux_density(0.0, x)[1].abs();
        assert!((b(got.card_distance) - 1e-3).abs() <= 1e-9);
        assert!((1..200).all(|k| b(got.card_distance + 1e-4 + f64::from(k) * 1e-3) < 1e-3));
    }

    #[test]
    fn what_never_reaches_a_level_keeps_no_distance() {
        let faint = rigid(&disc("a", 10.0, 0.001), 0.1, 1, 1);
        assert_eq!((faint.implant_distance, faint.card_distance), (0.0, 0.0));
    }
}
