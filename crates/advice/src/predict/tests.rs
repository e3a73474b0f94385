use magnetics::{Placed, Polarisation, Scene, Solid, load};
use materials::grade::REFERENCE_CELSIUS;

use super::*;
use crate::catalogue::Catalogue;
use crate::fixture::{ball, catalogue, disc, question, ring};
use crate::known::{Meter, PROBE_DEPTH_TOLERANCE, UsualProbe};

fn task(json: &str) -> Task {
    Task::of(&question(json), &catalogue())
}

#[test]
fn layers_add_up_with_their_tolerances() {
    let got = task(
        r#"{"need": {"verb": "hold", "load": "1 N", "layers": [
            {"material": "paint", "thickness": "0.4 mm"}, {"material": "glass", "thickness": "2 mm"}]}}"#,
    );
    let Task::Plate {
        layers,
        thickness: None,
        friction: None,
        ..
    } = got
    else {
        panic!("{got:?}")
    };
    for (got, want) in layers.iter().zip([2.2e-3, 2.4e-3, 2.6e-3]) {
        assert!((got - want).abs() <= 1e-12, "{layers:?}");
    }
    assert_eq!(got.distance(), layers[1]);
}

#[test]
fn a_probe_never_reads_inside_the_magnet() {
    let got = task(r#"{"need": {"verb": "face_field", "field": "0.2 T", "probe_depth": "0.5 mm"}}"#);
    let Task::Spot {
        tolerance,
        meter: Some(_),
        ..
    } = got
    else {
        panic!("{got:?}")
    };
    assert_eq!(tolerance, PROBE_DEPTH_TOLERANCE);
    assert!(matches!(got.at_distance(0.05e-3), Task::Spot { tolerance, .. } if tolerance == 0.05e-3));
}

/// What a meter shows is what the bench expects of the same probe on the same magnet, and its band that of the bench; the true
/// field has a band of its own.
#[test]
fn a_reading_is_what_the_bench_expects() {
    let probe = bench::Probe {
        depth: quantity::Length::from_mm(0.62),
        depth_standard: quantity::Length::from_mm(0.03),
        gain: 0.99,
        fall_off: 0.02,
        ..bench::Probe::default()
    };
    let usual = UsualProbe {
        name: "pen".into(),
        depth: probe.depth,
        standard: probe.depth_standard,
        meter: Meter::of(&probe),
    };
    read_as_at_the_bench(&probe, &catalogue().with_probe(Some(usual)));
    // Where the shop has named none, both take one that nobody has measured.
    read_as_at_the_bench(&bench::Probe::default(), &catalogue());
}

fn read_as_at_the_bench(probe: &bench::Probe, catalogue: &Catalogue) {
    for (item, pieces) in [
        (disc("disc", 15.0, 5.0), 1),
        (disc("thin", 6.0, 1.0), 4),
        (ring("ring", 20.0, 10.0, 5.0), 1),
        (crate::fixture::block("block", 20.0, 10.0, 5.0), 2),
        (ball("ball", 10.0), 1),
    ] {
        let grade = catalogue.grades.get(&item.grade).unwrap();
        let coating = catalogue.coatings.get(&item.coating).unwrap();
        let across = quantity::Length(reading_radius(&item.shape));
        let lot = bench::Lot {
            tolerance: item.tolerance.si(),
            ..bench::Lot::new("", item.shape, grade, coating)
        };
        let reading = bench::Reading {
            across,
            ..bench::Reading::at_face(0, pieces, bench::Value::FluxDensity(quantity::FluxDensity(0.1)))
        };
        let setup = bench::Setup::new(probe, &lot, &reading).unwrap();
        let want = bench::expected(&setup).unwrap();
        let band = |task: Task| {
            let room = Prediction::new(&item, grade, coating, task, REFERENCE_CELSIUS);
            room.undiminished(pieces).band().unwrap()
        };
        let got = band(Task::read_by(&catalogue.usual_probe()));
        let named = band(Task::read_at_face(probe.depth.si(), catalogue));
        assert!(catalogue.probe.is_none() || named == got, "{named:?} {got:?}");
        for (got, want) in [(got.mid, want.mid), (got.low, want.low), (got.high, want.high)] {
            assert!((got / want - 1.0).abs() < 1e-3, "{}: {got} {want}", item.code);
        }
        let causes =
            |band: &uncertainty::Band| -> Vec<uncertainty::Cause> { band.shares.iter().map(|s| s.cause).collect() };
        let by_hand = [uncertainty::Cause::Lot, uncertainty::Cause::Repeatability];
        assert!(by_hand.iter().all(|cause| causes(&got).contains(cause)), "{got:?}");
        let face = band(Task::face());
        assert!(by_hand.iter().all(|cause| !causes(&face).contains(cause)), "{face:?}");
        assert!(face.high / face.low < got.high / got.low, "{face:?} {got:?}");
    }
}

/// What a pull tester reads from a described plate is what an answer says of that plate, but for the dead layer.
#[test]
fn a_pull_by_a_tester_is_what_an_answer_says() {
    let catalogue = catalogue();
    let item = disc("disc", 20.0, 5.0);
    let grade = catalogue.grades.get(&item.grade).unwrap();
    let coating = catalogue.coatings.get(&item.coating).unwrap();
    let lot = bench::Lot::new("", item.shape, grade, coating);
    let mm = quantity::Length::from_mm;
    for (thickness, across, paint) in [(None, None, 0.0), (Some(1.0), None, 0.2), (Some(2.0), Some(40.0), 0.0)] {
        let plate = bench::Plate {
            thickness: thickness.map(mm),
            across: across.map(mm),
            paint: mm(paint),
            ..bench::Plate::default()
        };
        let reading = bench::Reading {
            plate: Some(plate),
            ..bench::Reading::at_face(0, 1, bench::Value::Pull(quantity::Force(1.0)))
        };
        let probe = bench::Probe::default();
        let setup = bench::Setup::new(&probe, &lot, &reading).unwrap();
        let mut at = setup.middle();
        at[bench::setup::place::DEAD_LAYER] = 0.0;
        let layers = [0.75, 1.0, 1.25].map(|part| part * paint * 1e-3);
        let Task::Plate { law, friction, .. } = Task::thick_steel(layers) else {
            panic!()
        };
        let task = Task::Plate {
            layers,
            thickness: thickness.map(|t| t * 1e-3),
            across: across.map(|d| d * 1e-3),
            law,
            friction,
        };
        let answer = Prediction::new(&item, grade, coating, task, REFERENCE_CELSIUS);
        let (got, want) = (setup.value(&at), answer.undiminished(1).value().unwrap());
        assert!((got / want - 1.0).abs() < 2e-3, "{thickness:?}: {got} {want}");
    }
}

#[test]
fn a_ring_is_read_over_its_metal() {
    let catalogue = catalogue();
    let (grade, coating) = (
        catalogue.grades.get("N42").unwrap(),
        catalogue.coatings.get("none").unwrap(),
    );
    let face = Task::face();
    let item = ring("r", 20.0, 10.0, 5.0);
    let over_metal = Prediction::new(&item, grade, coating, face, REFERENCE_CELSIUS);
    assert!(matches!(over_metal.task, Task::Spot { off_axis: 7.5e-3, .. }));
    let over_hole = Prediction {
        task: face,
        ..over_metal
    };
    let value = |of: Prediction| of.undiminished(1).value().unwrap();
    assert!(value(over_metal) > 0.25 && value(over_metal) > 2.0 * value(over_hole));
}

/// Sphere: B = 2 J/3 (R/r)³ beyond its surface, exactly that of a dipole (Jackson, Classical Electrodynamics,
/// 5.10; from memory).
#[test]
fn a_ball_is_a_dipole() {
    let catalogue = catalogue();
    let (row, coating) = (
        catalogue.grades.get("N42").unwrap(),
        catalogue.coatings.get("none").unwrap(),
    );
    let grade = GradeRow {
        recoil_permeability: 1.0,
        ..row.clone()
    };
    let spot = Task::spot(5e-3, 0.0);
    let got = Prediction::new(&ball("s", 10.0), &grade, coating, spot, REFERENCE_CELSIUS)
        .undiminished(1)
        .value()
        .unwrap();
    assert!((got - 2.0 / 3.0 * grade.br_typical / 8.0).abs() <= 1e-12);
}

#[test]
fn heat_lowers_fields_as_the_remanence_and_pulls_as_its_square() {
    let catalogue = catalogue();
    let (grade, coating) = (
        catalogue.grades.get("N42").unwrap(),
        catalogue.coatings.get("Ni-Cu-Ni").unwrap(),
    );
    let item = disc("a", 10.0, 5.0);
    let keeps = grade.br_at(1.0, 70.0).unwrap();
    let spot = Task::spot(5e-3, 0.0);
    for (task, want) in [(spot, keeps), (Task::pair(1e-3), keeps * keeps)] {
        let at = |celsius| {
            let warm = Prediction::new(&item, grade, coating, task, celsius);
            warm.undiminished(1).value().unwrap()
        };
        assert!((at(70.0) / at(20.0) - want).abs() <= 1e-12);
    }
    let beyond_curie = Prediction::new(&item, grade, coating, spot, 400.0).undiminished(1);
    assert_eq!(
        (beyond_curie.value().unwrap(), beyond_curie.band().unwrap().high),
        (0.0, 0.0)
    );
}

/// Against the surface-charge solve, which `magnetics` holds against finite elements.
#[test]
fn recoil_is_as_uneven_as_the_solve_has_it() {
    let catalogue = catalogue();
    let coating = catalogue.coatings.get("none").unwrap();
    let row = catalogue.grades.get("N42").unwrap();
    let grade = GradeRow {
        recoil_permeability: 1.1,
        ..row.clone()
    };
    let placed = |shape: Shape, z: f64, along: f64| {
        let along = Polarisation::Along([0.0, 0.0, along * grade.br_typical]);
        let body = Placed::new(Solid::Plain(shape), along, [0.0, 0.0, z], [0.0; 3]).unwrap();
        body.with_recoil_permeability(grade.recoil_permeability).unwrap()
    };
    for item in [
        disc("thin", 10.0, 0.5),
        disc("half", 10.0, 5.0),
        disc("rod", 5.0, 25.0),
        ring("r", 20.0, 8.0, 5.0),
    ] {
        let (shape, half) = (item.shape, 0.5 * item.shape.height());
        let mid = |task| {
            let room = Prediction::new(&item, &grade, coating, task, REFERENCE_CELSIUS);
            room.undiminished(1).value().unwrap()
        };
        let scene = Scene::new(vec![placed(shape, 0.0, 1.0)]).settled().unwrap();
        let off_axis = reading_radius(&shape);
        for distance in [0.0, shape.widest()] {
            let want = scene.flux_density([off_axis, 0.0, half + distance]).unwrap()[2];
            let got = mid(Task::Spot {
                distance,
                off_axis: 0.0,
                tolerance: 0.0,
                axial_only: true,
                meter: None,
            });
            assert!(
                (got / want - 1.0).abs() <= 3e-3,
                "{} at {distance}: {got} {want}",
                item.code
            );
        }
        let gap = 1e-3;
        for opposed in [false, true] {
            // The faces of a pair have a seat.
            let apart = 0.5 * (gap + SEAT_GAP[1]);
            let upper = placed(shape, half + apart, if opposed { -1.0 } else { 1.0 });
            let want = load::load(&upper, &[placed(shape, -half - apart, 1.0)]).unwrap().force[2].abs();
            let got = mid(Task::Pair { gap, opposed });
            assert!(
                (got / want - 1.0).abs() <= 4e-3,
                "{} {opposed}: {got} {want}",
                item.code
            );
        }
    }
}

/// The band of a question on a small bare disc with no tolerance, whose pieces are all alike.
fn band_of_alike(json: &str) -> (uncertainty::Band, [f64; 3]) {
    let catalogue = catalogue();
    let row = catalogue.grades.get("N42").unwrap();
    let grade = GradeRow {
        br_min: row.br_typical,
        br_max: row.br_typical,
        recoil_permeability: 1.0,
        ..row.clone()
    };
    let item = crate::Item {
        tolerance: quantity::Length(0.0),
        ..disc("a", 10.0, 5.0)
    };
    let bare = catalogue.coatings.get("none").unwrap();
    let of = |json: &str| Prediction::new(&item, &grade, bare, task(json), REFERENCE_CELSIUS);
    let stack = Stacked::new(item.shape, 0.0, 1, grade.br_typical, 1.0).unwrap();
    let at = |distance: f64| match of(json).task {
        Task::Pair { .. } => stack.pair_force(distance).unwrap(),
        _ => stack.flux_density(0.0, distance).unwrap()[1],
    };
    let x = of(json).task.distance();
    (
        of(json).undiminished(1).band().unwrap(),
        [(x - 0.1e-3).max(0.0), x, x + 0.1e-3].map(at),
    )
}

/// A distance that is asked is kept to 0.1 mm, and nearly alone makes 95 % of that range.
#[test]
fn a_distance_that_is_asked_has_a_tolerance() {
    let (band, [near, _, far]) =
        band_of_alike(r#"{"need": {"verb": "reach_field", "field": "50 mT", "distance": "2 mm"}}"#);
    let part = (band.high - band.low) / (near - far);
    assert!((0.94..0.96).contains(&part), "{part} {band:?}");
    assert_eq!(placement_tolerance(2e-3), 0.1e-3);
    assert!((placement_tolerance(20e-3) - 0.4e-3).abs() <= 1e-12);
    assert_eq!((placement_tolerance(0.05e-3), placement_tolerance(0.0)), (0.05e-3, 0.0));
    assert!(
        band.shares
            .iter()
            .any(|s| s.cause == uncertainty::Cause::Placement && s.share > 0.9),
        "{band:?}"
    );
}

/// Faces that touch have a seat as faces on a plate do, and a gap has its tolerance besides.
#[test]
fn pairs_have_a_seat_and_a_tolerance_on_their_gap() {
    let touching = r#"{"need": {"verb": "pull_together", "force": "10 N"}}"#;
    let (band, [_, flat, _]) = band_of_alike(touching);
    let seated = Stacked::new(disc("a", 10.0, 5.0).shape, 0.0, 1, 1.3, 1.0).unwrap();
    let seat = seated.pair_force(SEAT_GAP[1]).unwrap() / seated.pair_force(0.0).unwrap();
    assert!((band.mid / flat - seat).abs() <= 1e-4, "{band:?} {flat} {seat}");
    let causes = |band: &uncertainty::Band| {
        let of = |cause| band.shares.iter().any(|s| s.cause == cause && s.share > 0.0);
        [uncertainty::Cause::Gap, uncertainty::Cause::Placement].map(of)
    };
    assert_eq!(causes(&band), [true, false]);
    let apart = touching.replace("\"10 N\"", "\"10 N\", \"gap\": \"1 mm\"");
    assert_eq!(causes(&band_of_alike(&apart).0), [true, true]);
}

#[test]
fn a_friction_that_is_named_has_a_spread() {
    let got = task(r#"{"need": {"verb": "hold", "load": "1 N", "direction": "sideways", "friction": 0.4}}"#);
    let Task::Plate {
        friction: Some([low, mid, high]),
        ..
    } = got
    else {
        panic!("{got:?}")
    };
    assert!((low - 0.34).abs() <= 1e-12 && mid == 0.4 && (high - 0.46).abs() <= 1e-12);
}

/// An adhesive lies between magnet and steel, and rubber slides less than metal where no friction is named; fields know neither.
#[test]
fn an_adhesive_is_a_layer_more_and_rubber_slides_less() {
    let catalogue = catalogue();
    let item = disc("disc", 15.0, 5.0);
    let grade = catalogue.grades.get(&item.grade).unwrap();
    let of = |coating: &str, task: Task| {
        let coating = catalogue.coatings.get(coating).unwrap();
        Prediction::new(&item, grade, coating, task, REFERENCE_CELSIUS)
    };
    let thick = Task::thick_steel([0.0; 3]);
    let layers = |coating: &str| match of(coating, thick).task {
        Task::Plate { layers, .. } => layers,
        other => panic!("{other:?}"),
    };
    assert_eq!(
        (layers("zinc"), layers("zinc, self-adhesive")),
        ([0.0; 3], [0.05e-3, 0.2e-3, 1.0e-3])
    );
    let value = |coating: &str, task: Task| of(coating, task).undiminished(1).value().unwrap();
    assert!(value("zinc, self-adhesive", thick) < 0.95 * value("zinc", thick));
    let face = Task::face();
    assert_eq!(value("zinc, self-adhesive", face), value("zinc", face));
    let friction = |coating: &str, task: Task| match of(coating, task).task {
        Task::Plate { friction, .. } => friction,
        other => panic!("{other:?}"),
    };
    assert_eq!(friction("rubber cover", thick.sliding(FRICTION)), Some([0.4, 0.5, 0.7]));
    assert_eq!(
        friction("rubber cover", thick.sliding(friction_of(0.3))),
        Some(friction_of(0.3))
    );
    assert_eq!(friction("zinc", thick.sliding(FRICTION)), Some(FRICTION));
    assert_eq!(friction("rubber cover", thick), None);
}
