//! Sizes and masses snapped to decimals, so that what is exported reads back as the very same number.

use quantity::{Length, Mass};

/// Steps a metre: 0.1 nm. Holds every 1/128 in, 198437.5 nm, exactly.
const STEPS_PER_METRE: f64 = 1e10;
/// Steps a kilogram: 1 µg.
const STEPS_PER_KILOGRAM: f64 = 1e9;

/// The nearest length of whole tenths of a nanometre.
pub(crate) fn length(length: Length) -> Length {
    Length((length.0 * STEPS_PER_METRE).round() / STEPS_PER_METRE)
}

/// The nearest mass of whole micrograms.
pub(crate) fn mass(mass: Mass) -> Mass {
    Mass((mass.0 * STEPS_PER_KILOGRAM).round() / STEPS_PER_KILOGRAM)
}

/// A length in millimetres, as the shortest decimal that reads back as the same snapped length.
pub(crate) fn millimetres(metres: f64) -> f64 {
    (metres * STEPS_PER_METRE).round() / (STEPS_PER_METRE / 1e3)
}

/// A mass in grams, as the shortest decimal that reads back as the same snapped mass.
pub(crate) fn grams(kilograms: f64) -> f64 {
    (kilograms * STEPS_PER_KILOGRAM).round() / (STEPS_PER_KILOGRAM / 1e3)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_snapped_length_survives_print_and_parse_in_mm(metres in 1e-6..10.0f64) {
            let snapped = length(Length(metres));
            let printed = millimetres(snapped.0).to_string();
            let read = length(quantity::parse(&format!("{printed} mm")).unwrap());
            prop_assert_eq!(snapped, read);
        }

        #[test]
        fn a_snapped_mass_survives_print_and_parse_in_g(kilograms in 1e-6..100.0f64) {
            let snapped = mass(Mass(kilograms));
            let printed = grams(snapped.0).to_string();
            let read = mass(quantity::parse(&format!("{printed} g")).unwrap());
            prop_assert_eq!(snapped, read);
        }
    }

    #[test]
    fn a_sixty_fourth_of_an_inch_is_exact() {
        assert_eq!(length(Length(0.0254 / 64.0)), Length(0.000_396_875));
        assert_eq!(millimetres(0.000_396_875), 0.396_875);
    }
}
