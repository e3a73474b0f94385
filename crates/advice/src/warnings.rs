//! What is to be warnings of a build in the customer's conditions.

use materials::coating::{Rating, Surroundings};
use serde::{Deserialize, Serialize};

use crate::heat::{self, Exposure, LOSS_WORTH_SAYING};
use crate::predict::Prediction;
use crate::question::Conditions;
use crate::rules;

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
    /// Part of the flux is lost for good.
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
    /// Why the grade cannot be reckoned with in heat, cold or its own field.
    NoCurve {
        /// In words.
        reason: String,
    },
}

/// What to mind of so many pieces in those conditions, facing nothing.
#[must_use]
pub fn warnings(prediction: &Prediction, pieces: u32, conditions: &Conditions) -> Vec<Warning> {
    let (grade, coating) = (prediction.grade, prediction.coating);
    let exposure = Exposure::alone(conditions);
    let mut out = Vec::new();
    let rated = grade.max_service_celsius.min(coating.max_celsius);
    if exposure.warmest > rated {
        out.push(Warning::NotRated {
            celsius: exposure.warmest,
            rated,
        });
    }
    if exposure.coldest < grade.min_service_celsius {
        out.push(Warning::NotRatedCold {
            celsius: exposure.coldest,
            rated: grade.min_service_celsius,
        });
    }
    match heat::wear(prediction, pieces, &exposure) {
        Ok(wear) if wear.loss >= LOSS_WORTH_SAYING => out.push(Warning::LosesForGood {
            celsius: wear.celsius,
            part: wear.loss,
        }),
        Ok(_) => {}
        Err(error) => out.push(Warning::NoCurve {
            reason: error.to_string(),
        }),
    }
    let [from, to] = grade.coefficients_hold();
    if exposure.warmest > to || exposure.coldest < from {
        out.push(Warning::Extrapolated { from, to });
    }
    if let Some(surroundings) = conditions.surroundings {
        let suits = coating.suitability(surroundings);
        let bare_and_lasting = suits.rating == Rating::Poor && rules::suits(grade, coating, surroundings);
        if suits.rating != Rating::Good && !bare_and_lasting {
            out.push(Warning::Coating {
                coating: if coating.thickness.max == 0.0 {
                    "a bare piece".into()
                } else {
                    coating.name.clone()
                },
                surroundings,
                rating: suits.rating,
                reason: suits.reason.clone(),
            });
        }
    }
    out
}
