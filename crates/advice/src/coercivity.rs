//! How far the coercivity of a grade reaches, and whether a piece keeps all of its strength.

use materials::MU_0;
use materials::curve::Material;
use materials::grade::GradeRow;

/// What a cell may lose before the cells are worth their time.
pub(crate) const NO_LOSS: f64 = 1e-3;
/// How far sizes and temperature may take the field that demagnetises beyond what coercivity and remanence do.
const BEYOND: f64 = 0.03;

/// From where to where the coercivity of a grade reaches over its remanence, as a part of what is usual.
pub(crate) fn span(grade: &GradeRow) -> [f64; 2] {
    let [low, high] = range(grade);
    [
        low * (1.0 - BEYOND) * grade.br_typical / grade.br_max,
        high * (1.0 + BEYOND) * grade.br_typical / grade.br_min,
    ]
}

/// The least and the largest coercivity of a grade, as a part of the usual one.
pub(crate) fn range(grade: &GradeRow) -> [f64; 2] {
    let usual = grade.hcj_typical();
    [grade.hcj_min / usual, grade.hcj_max.unwrap_or(usual) / usual]
}

/// A piece of a grade with the usual remanence and that part of the usual coercivity.
pub(crate) fn piece_at(grade: &GradeRow, part: f64) -> Material<'_> {
    Material::with(grade, grade.br_typical, part * grade.hcj_typical())
}

/// Whether a straight curve keeps all in that field of its own, in remanences.
pub(crate) fn keeps_all(material: &Material, celsius: f64, factor: f64) -> bool {
    material
        .curve(celsius)
        .is_ok_and(|curve| curve.retained(factor * curve.remanence() / MU_0) >= 1.0 - NO_LOSS)
}
