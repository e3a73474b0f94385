//! The figures from which cautions are drawn.

use magnetics::Shape;
use magnetics::inside::Facing;
use materials::grade::{Family, GradeRow};
use uncertainty::Band;

use crate::answer::{Hazards, Stack};
use crate::exposure::Exposure;
use crate::heat;
use crate::item::Item;
use crate::predict::{InUse, NotComputable, PAIR_MODEL, Prediction, Task, dipole_field};
use crate::stacked::Stacked;

/// Inner diameter and depths of the small-parts cylinder, m (16 CFR 1501.4, Figure 1; from memory): a piece that passes
/// the bore and is no longer than the deep side fits in some way.
const SMALL_PARTS_BORE: f64 = 31.7e-3;
const SMALL_PARTS_DEPTH: f64 = 57.1e-3;
/// Depth of the active element of the toy-test probe below its tip, m (Canada Toys Regulations SOR/2011-17, Sch. 10).
const TOY_PROBE_DEPTH: f64 = 0.38e-3;
/// Steps from the middle of a face to its rim in which the toy-test probe is moved.
const TOY_PROBE_STEPS: u32 = 12;
/// Action level for active implants, T (Directive 2013/35/EU, Annex II, Table B4; from memory).
pub const IMPLANT_LEVEL: f64 = 0.5e-3;
/// No magnet is said to be safe nearer to an implant, m; common practice, no source.
pub const LEAST_IMPLANT_DISTANCE: f64 = 0.15;
/// Level at which bank cards and watches suffer, T (NRC, Prudent Practices in the Laboratory, 2011, Table 7.1).
pub const CARD_LEVEL: f64 = 1e-3;
/// Moment of a magnet on a wide plate of ideal steel over that of the magnet alone: its mirror image is as strong.
const WITH_IMAGE: f64 = 2.0;

/// Distances at which a parcel's field is judged, m (IATA Packing Instruction 953; 49 CFR 173.21(d)).
pub const NEAR_PARCEL: f64 = 2.1;
/// The further of the two.
pub const FAR_PARCEL: f64 = 4.5;
/// Largest flux index of a small part in a toy, T² m² (50 kG² mm²; 16 CFR 1262.3).
pub const FLUX_INDEX_LIMIT: f64 = 50.0 * 1e-2 * 1e-6;
/// Flux density at 4.5 m beyond which a parcel may not fly, T (49 CFR 173.21(d)).
pub const NEVER_FLIES: f64 = 0.525e-6;

/// Mass of one piece, kg: as listed, or from its size and the density of its grade.
pub fn mass_of(item: &Item, grade: &GradeRow) -> f64 {
    item.mass
        .map_or_else(|| item.shape.volume() * grade.density, |m| m.si())
}

/// How a build is placed, as far as its hazards follow from it.
#[derive(Clone, Copy, Debug, Default)]
pub struct Placement {
    /// Whether it sits on steel, or has a steel part.
    pub on_steel: bool,
    /// Where like poles face each other: the warmest, °C.
    pub opposed: Option<f64>,
}

/// Distance from the surface, m, beyond which bodies of that moment (A m²) in all give no more than `level` (T): on no
/// side, and however their pieces are put together.
///
/// Every part of them is a dipole, which at that distance gives its most on its axis: `mu0 m / (2 pi r³)`. For a compact
/// magnet it is 5 to 10 % too far.
fn reach(moment: f64, level: f64) -> f64 {
    (dipole_field(moment, 1.0) / level).cbrt()
}

/// The largest flux index of one piece, T² m²: the area of a pole times the square of the most that the toy-test probe reads
/// square to the surface, moved all over it. Within 1 % low for the steps, and some per cent high for a rigid magnet.
fn flux_index(piece: &Stacked) -> f64 {
    let Ok(assembly) = piece.assembly() else {
        return 0.0;
    };
    let outer = piece.outer();
    let height = outer.height();
    let read = |point: [f64; 3], along: usize| assembly.flux_density(point).map_or(0.0, |b| b[along].abs());
    // Closer and closer towards the rim, where a flat magnet reads most.
    let steps = |from: f64, to: f64| {
        (0..=TOY_PROBE_STEPS).map(move |k| {
            let left = 1.0 - f64::from(k) / f64::from(TOY_PROBE_STEPS);
            to + (from - to) * left * left
        })
    };
    let face = height + TOY_PROBE_DEPTH;
    let down = || steps(0.5 * height, height);
    let most = |readings: &mut dyn Iterator<Item = f64>| readings.fold(0.0, f64::max);
    let round = |inner: f64, radius: f64| {
        let out = radius + TOY_PROBE_DEPTH;
        let bore = inner - TOY_PROBE_DEPTH;
        let metal = 0.5 * (inner + radius);
        let to_bore = steps(metal, inner).filter(|_| inner > 0.0);
        let middle = steps(if inner > 0.0 { metal } else { 0.0 }, radius);
        let mut readings = middle
            .chain(to_bore)
            .map(|r| read([r, 0.0, face], 2))
            .chain(down().map(|z| read([out, 0.0, z], 0)))
            .chain(down().filter(|_| bore > 0.0).map(|z| read([bore, 0.0, z], 0)));
        most(&mut readings)
    };
    let flux_density = match outer {
        Shape::Disc { diameter, .. } => round(0.0, 0.5 * diameter),
        Shape::Ring {
            outer_diameter,
            inner_diameter,
            ..
        } => round(0.5 * inner_diameter, 0.5 * outer_diameter),
        Shape::Sphere { .. } => read([0.0, 0.0, face], 2),
        Shape::Block { length, width, .. } => {
            let [a, b] = [0.5 * length, 0.5 * width];
            let mut readings = steps(0.0, a)
                .flat_map(|x| steps(0.0, b).map(move |y| (x, y)))
                .map(|(x, y)| read([x, y, face], 2))
                .chain(
                    down()
                        .flat_map(|z| steps(0.0, b).map(move |y| (y, z)))
                        .map(|(y, z)| read([a + TOY_PROBE_DEPTH, y, z], 0)),
                )
                .chain(
                    down()
                        .flat_map(|z| steps(0.0, a).map(move |x| (x, z)))
                        .map(|(x, z)| read([x, b + TOY_PROBE_DEPTH, z], 1)),
                );
            most(&mut readings)
        }
    };
    flux_density * flux_density * outer.pole_area()
}

/// The figures of one build, at their unfavourable end; `builds` are ordered together.
///
/// # Errors
/// [`NotComputable`] where its sizes make no magnet.
pub fn of_build(in_use: &InUse, build: Stack, builds: u32, used: Placement) -> Result<Hazards, NotComputable> {
    let prediction: &Prediction = in_use;
    let item = prediction.item;
    let (stack, one) = (prediction.strongest(build.pieces)?, prediction.strongest(1)?);
    let images = if used.on_steel { WITH_IMAGE } else { 1.0 };
    let moment = images * one.moment() * build.total_pieces() as f64;
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
    let tolerance = item.tolerance.si();
    let small_part = across - tolerance <= SMALL_PARTS_BORE && sides[2] - tolerance <= SMALL_PARTS_DEPTH;
    let family = prediction.grade.family;
    let parcel = parcel(in_use, build)?;
    let order = f64::from(builds);
    Ok(Hazards {
        contact_force: stack.pair_force(0.0)? * PAIR_MODEL[2],
        implant_distance: reach(moment, IMPLANT_LEVEL).max(LEAST_IMPLANT_DISTANCE),
        card_distance: reach(moment, CARD_LEVEL),
        small_part,
        flux_index: if small_part { flux_index(&one) } else { 0.0 },
        at_2_1_m: parcel.mid,
        order_at_2_1_m: parcel.mid * order,
        order_range_at_2_1_m: [parcel.low * order, parcel.high * order],
        order_at_4_5_m: at_far_parcel(parcel.mid * order),
        brittle: family != Family::BondedNdFeB,
        burns: matches!(family, Family::NdFeB | Family::BondedNdFeB | Family::SmCo),
        nickel: prediction.coating.contains_nickel,
        opposed: used.opposed.is_some(),
        max_celsius: heat::stands(prediction, build.pieces, Facing::Nothing),
        opposed_loss: used
            .opposed
            .map_or(0.0, |warmest| pressed_together(prediction, build.pieces, warmest)),
    })
}

/// The flux density of a dipole at 4.5 m, T, from that at [`NEAR_PARCEL`].
pub(crate) fn at_far_parcel(near: f64) -> f64 {
    near * (NEAR_PARCEL / FAR_PARCEL).powi(3)
}

/// The band of the flux density at [`NEAR_PARCEL`] from one build, T. The pieces of an order are taken as alike, so that
/// many builds have as wide a band as one.
///
/// # Errors
/// [`NotComputable`] where its sizes make no magnet.
pub fn parcel(in_use: &InUse, build: Stack) -> Result<Band, NotComputable> {
    let far = in_use.for_task(Task::Dipole { distance: NEAR_PARCEL });
    let stacks = build.total_pieces() as f64 / f64::from(build.pieces);
    Ok(far.band()?.scaled(stacks))
}

/// The part that two builds lose permanently when like poles are pressed together at the warmest.
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

    /// Hazards of bare pieces of exactly that size and remanence.
    fn rigid(item: &Item, br: f64, pieces: u32, builds: u32) -> Hazards {
        used(item, br, Stack { pieces, pair: false }, builds, Placement::default())
    }

    fn used(item: &Item, br: f64, build: Stack, builds: u32, used: Placement) -> Hazards {
        let catalogue = catalogue();
        let row = catalogue.grades.get("N42").unwrap();
        let grade = GradeRow {
            br_min: br,
            br_typical: br,
            br_max: br,
            recoil_permeability: 1.0,
            ..row.clone()
        };
        let item = Item {
            tolerance: quantity::Length(0.0),
            ..item.clone()
        };
        let bare: &Coating = catalogue.coatings.get("none").unwrap();
        of_build(
            &Prediction::new(&item, &grade, bare, Task::pair(0.0), 20.0).undiminished(build.pieces),
            build,
            builds,
            used,
        )
        .unwrap()
    }

    /// The most that bodies give at that distance from their surface, on a fine net about them; T.
    fn most_at(bodies: &[magnetics::Body], distance: f64) -> f64 {
        let assembly = magnetics::Assembly::new(bodies.to_vec()).unwrap();
        let half = bodies.iter().map(|b| 0.5 * b.shape.widest()).fold(0.0, f64::max);
        let [bottom, top] = [assembly.bottom(), assembly.top()];
        let mut most: f64 = 0.0;
        for k in 0..=60 {
            let part = f64::from(k) / 60.0;
            let (sin, cos) = (part * std::f64::consts::FRAC_PI_2).sin_cos();
            // Over the face, round the rim, and down the side.
            for point in [
                [part * half, 0.0, top + distance],
                [half + distance * sin, 0.0, top + distance * cos],
                [half + distance, 0.0, bottom + part * (top - bottom)],
            ] {
                let b = assembly.flux_density(point).unwrap();
                most = most.max(b.iter().map(|x| x * x).sum::<f64>().sqrt());
            }
        }
        most
    }

    /// A stack of bodies from the bottom at `from` upwards.
    fn stacked_from(shape: Shape, pieces: u32, br: f64, from: f64, along: f64) -> Vec<magnetics::Body> {
        (0..pieces)
            .map(|k| magnetics::Body {
                shape,
                polarisation: along * br,
                centre: [0.0, 0.0, from + (f64::from(k) + 0.5) * shape.height()],
            })
            .collect()
    }

    /// Nowhere beyond its distance does a build give more than the level: alone, with its pieces packed together, facing
    /// across a gap in either way, and on steel with its mirror image; and for compact ones the distance is not idle.
    #[test]
    fn beyond_its_distance_a_build_keeps_the_level_on_every_side() {
        let br = 1.45;
        for item in [
            disc("flat", 30.0, 2.0),
            disc("a", 15.0, 8.0),
            disc("rod", 5.0, 25.0),
            ring("r", 60.0, 50.0, 5.0),
            block("b", 40.0, 10.0, 5.0),
            ball("s", 12.0),
        ] {
            let (shape, height) = (item.shape, item.shape.height());
            for pieces in [1, 3] {
                let tall = f64::from(pieces) * height;
                let stack = || stacked_from(shape, pieces, br, 0.0, 1.0);
                let facing = |gap: f64, along: f64| {
                    let mut both = stack();
                    both.extend(stacked_from(shape, pieces, br, tall + gap, along));
                    both
                };
                let build = |pair| Stack { pieces, pair };
                let on_steel = Placement {
                    on_steel: true,
                    opposed: None,
                };
                for (got, bodies) in [
                    (used(&item, br, build(false), 1, Placement::default()), stack()),
                    (used(&item, br, build(true), 1, Placement::default()), facing(0.0, 1.0)),
                    (used(&item, br, build(true), 1, Placement::default()), facing(5e-3, 1.0)),
                    (
                        used(&item, br, build(true), 1, Placement::default()),
                        facing(5e-3, -1.0),
                    ),
                    // The plate is the plane between the two.
                    (used(&item, br, build(false), 1, on_steel), facing(1e-3, 1.0)),
                ] {
                    for part in [1.0, 1.2, 2.0] {
                        let most = most_at(&bodies, part * got.card_distance);
                        assert!(most <= CARD_LEVEL, "{} {pieces}: {most} {got:?}", item.code);
                    }
                    let most = most_at(&bodies, got.implant_distance);
                    assert!(most <= IMPLANT_LEVEL, "{} {pieces}: {most} {got:?}", item.code);
                }
                let alone = rigid(&item, br, pieces, 1).card_distance;
                let idle = most_at(&stack(), 0.75 * alone);
                assert!(
                    idle >= CARD_LEVEL || item.code == "rod" || item.code == "r",
                    "{} {idle}",
                    item.code
                );
            }
        }
    }

    /// D10 L5 at 1.3 T: 0.5 mT at 51.9 mm and 1 mT at 40.6 mm on the axis, 0.00874 µT at 2.1 m; computed.
    #[test]
    fn distances_reach_beyond_the_field_on_the_axis() {
        let got = rigid(&disc("a", 10.0, 5.0), 1.3, 1, 1);
        assert!((40.6e-3..1.08 * 40.6e-3).contains(&got.card_distance), "{got:?}");
        let implant = reach(
            1.3 * disc("a", 10.0, 5.0).shape.volume() / materials::MU_0,
            IMPLANT_LEVEL,
        );
        assert!((51.9e-3..1.08 * 51.9e-3).contains(&implant), "{implant}");
        let stack = Stacked::new(disc("a", 10.0, 5.0).shape, 0.0, 1, 1.3, 1.0).unwrap();
        let exact = stack.flux_density(0.0, 2.1).unwrap()[1];
        assert!((exact - 0.00874e-6).abs() <= 0.000005e-6, "{exact}");
        // A dipole at the face is half its height too near, and so on the safe side.
        assert!(got.at_2_1_m > exact && got.at_2_1_m < 1.005 * exact, "{got:?}");
        assert!((got.at_2_1_m / got.order_at_4_5_m - (4.5f64 / 2.1).powi(3)).abs() <= 1e-9);
        let order = rigid(&disc("a", 10.0, 5.0), 1.3, 2, 50);
        assert!((order.order_at_2_1_m / got.at_2_1_m - 100.0).abs() <= 1e-9);
        assert!((order.at_2_1_m / got.at_2_1_m - 2.0).abs() <= 1e-9);
    }

    /// 15 cm is the least; a moment of 8.4375 A m² reaches it: 2e-7 m / r³ = 0.5 mT. Computed.
    #[test]
    fn small_magnets_keep_the_least_distance_to_implants() {
        let sphere = |moment: f64| {
            let volume = moment * materials::MU_0 / 1.3;
            ball("a", (6.0 * volume / std::f64::consts::PI).cbrt() * 1e3)
        };
        let below = rigid(&sphere(8.4), 1.3, 1, 1).implant_distance;
        let above = rigid(&sphere(8.5), 1.3, 1, 1).implant_distance;
        assert_eq!(below, 0.15);
        assert!(above > 0.15 && above < 0.151, "{above}");
    }

    /// What is said holds for the strongest piece of a grade, not only for the usual one.
    #[test]
    fn hazards_are_those_of_the_strongest_piece_in_the_cold() {
        let catalogue = catalogue();
        let (grade, coating) = (
            catalogue.grades.get("N52").unwrap(),
            catalogue.coatings.get("Ni-Cu-Ni").unwrap(),
        );
        let item = Item {
            grade: "N52".into(),
            ..disc("a", 15.0, 8.0)
        };
        let pair = Stack { pieces: 1, pair: true };
        let at = |celsius| {
            let prediction = Prediction::new(&item, grade, coating, Task::pair(20e-3), celsius);
            of_build(&prediction.undiminished(pair.pieces), pair, 1, Placement::default()).unwrap()
        };
        let (room, cold) = (at(20.0), at(-40.0));
        // Pieces 0.1 mm larger with 10 µm of plating, packed as one rod; by the magnetics.
        let rod = Stacked::new(disc("a", 15.1, 16.2).shape, 10e-6, 1, grade.br_max, 1.0).unwrap();
        let alone = |level: f64| {
            let field = rod.field().unwrap();
            (1..4000)
                .map(|k| f64::from(k) * 1e-4)
                .find(|x| field.on_axis(*x) < level)
                .unwrap()
        };
        let needed = alone(CARD_LEVEL);
        assert!(
            (needed..1.15 * needed).contains(&room.card_distance),
            "{needed} {room:?}"
        );
        assert!(room.implant_distance >= alone(IMPLANT_LEVEL));
        let usual = Prediction::new(&item, grade, coating, Task::pair(0.0), 20.0)
            .undiminished(1)
            .value()
            .unwrap();
        assert!(room.contact_force > 1.05 * usual, "{} {usual}", room.contact_force);
        assert!(cold.contact_force > room.contact_force && cold.card_distance > room.card_distance);
    }

    /// kG² mm² at 0.38 mm on the axis with 1.2 T, without plating or recoil; computed. The most on the surface is near the
    /// rim of a wide flat disc, and higher.
    #[test]
    fn flux_index_is_that_of_the_strongest_place() {
        for (diameter, thickness, on_axis) in [
            (3.0, 1.0, 47.4),
            (5.0, 1.0, 78.4),
            (5.0, 3.0, 302.0),
            (10.0, 2.0, 354.0),
        ] {
            let item = disc("a", diameter, thickness);
            let got = rigid(&item, 1.2, 1, 1).flux_index / 1e-8;
            // The most on a fine net over face and side, square to each.
            let piece = Stacked::new(item.shape, 0.0, 1, 1.2, 1.0).unwrap().assembly().unwrap();
            let read = |point: [f64; 3], along: usize| piece.flux_density(point).unwrap()[along].abs();
            let (radius, height) = (0.5e-3 * diameter, 1e-3 * thickness);
            let most = (0..=2000)
                .map(|k| f64::from(k) / 2000.0)
                .map(|part| {
                    let face = read([part * radius, 0.0, height + 0.38e-3], 2);
                    face.max(read([radius + 0.38e-3, 0.0, part * height], 0))
                })
                .fold(0.0, f64::max);
            let index = most * most * item.shape.pole_area() / 1e-8;
            assert!(
                got >= 0.998 * on_axis && (diameter < 10.0 || got > 1.2 * on_axis),
                "D{diameter} L{thickness}: {got} for {on_axis} on the axis"
            );
            assert!(
                (got / index - 1.0).abs() <= 1e-2,
                "D{diameter} L{thickness}: {got} for {index}"
            );
        }
        // A block is read along its edges too: 5 x 5 x 1 no less than the disc that it holds.
        // A ring is read along its bore too.
        for (outer, inner, thickness) in [(10.0, 3.0, 3.0), (12.0, 6.0, 2.0), (20.0, 5.0, 10.0)] {
            let item = ring("a", outer, inner, thickness);
            let piece = Stacked::new(item.shape, 0.0, 1, 1.2, 1.0).unwrap().assembly().unwrap();
            let read = |point: [f64; 3], along: usize| piece.flux_density(point).unwrap()[along].abs();
            let (from, to, height) = (0.5e-3 * inner, 0.5e-3 * outer, 1e-3 * thickness);
            let most = (0..=2000)
                .map(|k| f64::from(k) / 2000.0)
                .map(|part| {
                    let face = read([from + part * (to - from), 0.0, height + 0.38e-3], 2);
                    let side = read([to + 0.38e-3, 0.0, part * height], 0);
                    face.max(side).max(read([from - 0.38e-3, 0.0, part * height], 0))
                })
                .fold(0.0, f64::max);
            let index = most * most * item.shape.pole_area() / 1e-8;
            let got = rigid(&item, 1.2, 1, 1).flux_index / 1e-8;
            assert!(
                (got / index - 1.0).abs() < 0.02,
                "{outer} / {inner} × {thickness}: {got} {index}"
            );
        }
        let square = rigid(&block("a", 5.0, 5.0, 1.0), 1.2, 1, 1).flux_index;
        assert!(square > rigid(&disc("a", 5.0, 1.0), 1.2, 1, 1).flux_index);
        // What is no small part is not read.
        assert_eq!(rigid(&disc("a", 40.0, 5.0), 1.2, 1, 1).flux_index, 0.0);
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
            .undiminished(1)
            .stack()
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

    /// On the very edge of the cylinder: a hundredth of a millimetre below it is a small part, as much above it is none, and a piece that
    /// may come smaller by its tolerance is judged by its smallest.
    #[test]
    fn a_small_part_ends_where_the_cylinder_does() {
        let small = |item: &Item| rigid(item, 1.0, 1, 1).small_part;
        for (fits, too_large) in [
            (disc("a", 31.69, 10.0), disc("a", 31.71, 10.0)),
            (disc("a", 5.0, 57.09), disc("a", 5.0, 57.11)),
            (ball("a", 31.69), ball("a", 31.71)),
            (ring("a", 31.69, 10.0, 5.0), ring("a", 31.71, 10.0, 5.0)),
            // 19.02 × 25.36 mm has a diagonal of 31.7 mm; by hand.
            (block("a", 57.09, 19.02, 25.35), block("a", 57.09, 19.02, 25.38)),
            (block("a", 57.09, 19.02, 25.35), block("a", 57.11, 19.02, 25.35)),
        ] {
            assert!(small(&fits), "{:?}", fits.shape);
            assert!(!small(&too_large), "{:?}", too_large.shape);
        }
        let catalogue = catalogue();
        let (grade, bare) = (
            catalogue.grades.get("N42").unwrap(),
            catalogue.coatings.get("none").unwrap(),
        );
        let with_tolerance = |diameter: f64| {
            let item = Item {
                tolerance: quantity::Length(0.1e-3),
                ..disc("a", diameter, 10.0)
            };
            let one = Prediction::new(&item, grade, bare, Task::pair(0.0), 20.0).undiminished(1);
            let alone = Stack { pieces: 1, pair: false };
            of_build(&one, alone, 1, Placement::default()).unwrap().small_part
        };
        assert!(with_tolerance(31.79) && !with_tolerance(31.82));
    }

    #[test]
    fn dust_of_rare_earths_burns_and_that_of_ferrite_does_not() {
        let catalogue = catalogue();
        let bare = catalogue.coatings.get("none").unwrap();
        let item = disc("a", 40.0, 20.0);
        let of = |grade: &str| {
            let grade = catalogue.grades.get(grade).unwrap();
            let build = Stack { pieces: 1, pair: false };
            let got = of_build(
                &Prediction::new(&item, grade, bare, Task::pair(0.0), 20.0).undiminished(1),
                build,
                1,
                Placement::default(),
            )
            .unwrap();
            (got.burns, got.brittle)
        };
        assert_eq!(of("N52"), (true, true));
        assert_eq!(of("SmCo5-18"), (true, true));
        assert_eq!(of("Y30"), (false, true));
    }
}
