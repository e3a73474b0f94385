use super::*;
use crate::fixture::{ball, catalogue, disc, question, ring};

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
        axial_only: true,
        ..
    } = got
    else {
        panic!("{got:?}")
    };
    assert_eq!(tolerance, PROBE_DEPTH_TOLERANCE);
    assert!(matches!(got.at_distance(0.05e-3), Task::Spot { tolerance, .. } if tolerance == 0.05e-3));
}

#[test]
fn a_ring_is_read_over_its_metal() {
    let catalogue = catalogue();
    let (grade, coating) = (
        catalogue.grades.get("N42").unwrap(),
        catalogue.coatings.get("none").unwrap(),
    );
    let face = Task::Spot {
        distance: 0.0,
        off_axis: 0.0,
        tolerance: 0.0,
        axial_only: true,
    };
    let item = ring("r", 20.0, 10.0, 5.0);
    let over_metal = Prediction::new(&item, grade, coating, face, ROOM_CELSIUS);
    assert!(matches!(over_metal.task, Task::Spot { off_axis: 7.5e-3, .. }));
    let over_hole = Prediction {
        task: face,
        ..over_metal
    };
    assert!(over_metal.mid(1) > 0.25 && over_metal.mid(1) > 2.0 * over_hole.mid(1));
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
    let spot = Task::Spot {
        distance: 5e-3,
        off_axis: 0.0,
        tolerance: 0.0,
        axial_only: false,
    };
    let got = Prediction::new(&ball("s", 10.0), &grade, coating, spot, ROOM_CELSIUS).mid(1);
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
    let spot = Task::Spot {
        distance: 5e-3,
        off_axis: 0.0,
        tolerance: 0.0,
        axial_only: false,
    };
    for (task, want) in [(spot, keeps), (Task::Pair { gap: 1e-3 }, keeps * keeps)] {
        let at = |celsius| Prediction::new(&item, grade, coating, task, celsius).mid(1);
        assert!((at(70.0) / at(20.0) - want).abs() <= 1e-12);
    }
    let beyond_curie = Prediction::new(&item, grade, coating, spot, 400.0);
    assert_eq!((beyond_curie.mid(1), beyond_curie.band(1).high), (0.0, 0.0));
}
