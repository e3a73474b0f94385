//! What an answer warns of.

use materials::coating::{Rating, Surroundings};
use serde::{Deserialize, Serialize};

/// Something to mind, with the numbers behind it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "mind", rename_all = "snake_case")]
pub enum Warning {
    /// The grade or the coating is not rated for the heat.
    NotRated {
        /// Asked, °C.
        celsius: f64,
        /// Rated, °C.
        rated: f64,
    },
    /// The grade is not rated for the cold.
    NotRatedCold {
        /// Asked, °C.
        celsius: f64,
        /// Rated, °C.
        rated: f64,
    },
    /// Part of the flux is lost permanently.
    LosesForGood {
        /// Where most of it is lost, °C.
        celsius: f64,
        /// 0 to 1.
        part: f64,
    },
    /// The temperature coefficients of the grade are not known to hold there.
    Extrapolated {
        /// From here, °C.
        from: f64,
        /// To here, °C.
        to: f64,
    },
    /// The coating does not last, or only with care.
    Coating {
        /// Its name, or what stands for none.
        coating: String,
        /// Where.
        surroundings: Surroundings,
        /// How well it serves.
        rating: Rating,
        /// Why.
        reason: String,
    },
    /// Nothing was said of the place, and the coating is for dry rooms.
    PlaceNotSaid {
        /// Its name, or what stands for none.
        coating: String,
        /// The mildest place where it does not serve well.
        surroundings: Surroundings,
        /// Why.
        reason: String,
    },
    /// Why the grade cannot be reckoned with in heat, cold or its own field.
    NoCurve {
        /// In words.
        reason: String,
    },
}
