use materials::grade::GradeTable;

use super::*;

#[test]
fn a_grade_weakens_with_heat_and_has_a_limit() {
    let n42 = GradeTable::builtin().unwrap().get("N42").unwrap();
    let cold = Stuff::of_grade(n42, 20.0).unwrap();
    let warm = Stuff::of_grade(n42, 80.0).unwrap();
    assert_eq!(cold.remanence, n42.br_typical);
    assert!(warm.remanence < cold.remanence && warm.curve.knee() < cold.curve.knee());
    assert!(Stuff::of_grade(n42, 305.0).is_err());
}

#[test]
fn numbers_that_no_material_has_are_refused() {
    assert!(Stuff::given("mine", 1.2, 1e6, 1.05, 7500.0).is_ok());
    assert_eq!(
        Stuff::given("mine", 1.2, 1e6, 0.5, 7500.0),
        Err(StuffError::Permeability(0.5))
    );
    assert_eq!(Stuff::given("mine", 1.2, 1e6, 1.05, 1.0), Err(StuffError::Density(1.0)));
    assert!(matches!(
        Stuff::given("mine", f64::NAN, 1e6, 1.05, 7500.0),
        Err(StuffError::Curve(_))
    ));
}
