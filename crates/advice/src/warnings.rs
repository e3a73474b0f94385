//! What is to be minded of a build in the conditions asked: its warnings.

use materials::coating::{Rating, Surroundings};

use crate::answer::Warning;
use crate::exposure::Exposure;
use crate::heat::{self, LOSS_WORTH_SAYING};
use crate::predict::Prediction;
use crate::question::Conditions;
use crate::rules;

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
    let name = || {
        if coating.thickness.max == 0.0 {
            "a bare piece".into()
        } else {
            coating.name.clone()
        }
    };
    // Why it does not serve well there.
    let weak = |surroundings: Surroundings| {
        let suits = coating.suitability(surroundings);
        let bare_and_lasting = suits.rating == Rating::Poor && rules::suits(grade, coating, surroundings);
        (suits.rating != Rating::Good && !bare_and_lasting).then_some(suits)
    };
    match conditions.surroundings {
        Some(surroundings) => out.extend(weak(surroundings).map(|suits| Warning::Coating {
            coating: name(),
            surroundings,
            rating: suits.rating,
            reason: suits.reason.clone(),
        })),
        None => {
            let wet = [Surroundings::Damp, Surroundings::Outdoors];
            out.extend(wet.into_iter().find_map(|surroundings| {
                Some(Warning::PlaceNotSaid {
                    coating: name(),
                    surroundings,
                    reason: weak(surroundings)?.reason.clone(),
                })
            }));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::{catalogue, disc};
    use crate::item::Item;
    use crate::predict::Task;
    use materials::grade::REFERENCE_CELSIUS;

    /// What is said of corrosion by a piece of that grade and coating.
    fn of_place(grade: &str, coating: &str, surroundings: Option<Surroundings>) -> Option<Surroundings> {
        let catalogue = catalogue();
        let item = Item {
            grade: grade.into(),
            coating: coating.into(),
            ..disc("a", 10.0, 5.0)
        };
        let (grade, coating) = (
            catalogue.grades.get(grade).unwrap(),
            catalogue.coatings.get(coating).unwrap(),
        );
        let prediction = Prediction::new(&item, grade, coating, Task::pair(0.0), REFERENCE_CELSIUS);
        let conditions = Conditions {
            surroundings,
            ..Conditions::default()
        };
        warnings(&prediction, 1, &conditions).into_iter().find_map(|w| match w {
            Warning::PlaceNotSaid { surroundings, .. } => Some(surroundings),
            _ => None,
        })
    }

    #[test]
    fn what_rusts_is_said_where_nothing_was_said_of_the_place() {
        assert_eq!(of_place("N42", "Ni-Cu-Ni", None), Some(Surroundings::Damp));
        assert_eq!(of_place("N42", "epoxy", None), Some(Surroundings::Outdoors));
        assert_eq!(of_place("N42", "none", None), Some(Surroundings::Damp));
        // Ferrite needs no coating against water, and a place that was named has its own caution.
        assert_eq!(of_place("Y30", "none", None), None);
        assert_eq!(of_place("N42", "Ni-Cu-Ni", Some(Surroundings::Dry)), None);
    }
}
