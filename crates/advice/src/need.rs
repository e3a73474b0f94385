//! What a build must reach for a question, and what was assumed where the question is silent.

use bench::lot::LOT_SPREAD;
use bench::setup::{NOISE, OFF_CENTRE};
use quantity::STANDARD_GRAVITY;

use crate::answer::{Assumed, NeedFigure, Predicted};
use crate::predict::{
    FRICTION, FRICTION_TOLERANCE, PLACEMENT, PLACEMENT_OF_DISTANCE, SAFETY_FACTOR, SAFETY_FACTOR_FALLING, SWITCH_MARGIN,
};
use crate::question::{Direction, Need, Question};

/// What a build must reach.
pub(crate) fn need_figure(question: &Question) -> NeedFigure {
    let force = |at_least| NeedFigure {
        quantity: Predicted::Force,
        at_least,
        per_kilogram: 0.0,
        ceiling: None,
    };
    let field = |at_least, ceiling| NeedFigure {
        quantity: Predicted::FluxDensity,
        at_least,
        per_kilogram: 0.0,
        ceiling,
    };
    match &question.need {
        Need::Hold {
            load,
            direction,
            safety_factor,
            shared_by,
            ..
        } => {
            let factor = safety_factor.unwrap_or(usual_safety(*direction));
            let weight = match direction {
                Direction::HangingBelow | Direction::Sideways => STANDARD_GRAVITY,
                Direction::StraightOff => 0.0,
            };
            NeedFigure {
                per_kilogram: weight * factor,
                ..force(load.force().si() * factor / f64::from(*shared_by))
            }
        }
        Need::PullTogether { force: f, .. } | Need::PushApart { force: f, .. } => force(f.force().si()),
        Need::ReachField {
            field: b, no_more_than, ..
        } => field(b.si(), no_more_than.map(|c| c.field.si())),
        Need::SwitchSensor {
            operate,
            release,
            margin,
            ..
        } => {
            let margin = margin.unwrap_or(SWITCH_MARGIN);
            field(operate.si() * margin, Some(release.si() / margin))
        }
        Need::FaceField { field: b, .. } => field(b.si(), None),
    }
}

pub(crate) fn usual_safety(direction: Direction) -> f64 {
    if direction == Direction::HangingBelow {
        SAFETY_FACTOR_FALLING
    } else {
        SAFETY_FACTOR
    }
}

/// What the question left open and how it was filled.
pub(crate) fn assumed(question: &Question) -> Vec<Assumed> {
    let mut out = Vec::new();
    match &question.need {
        Need::Hold {
            direction,
            safety_factor: factor,
            friction,
            steel,
            ..
        } => {
            if factor.is_none() {
                let falls = *direction == Direction::HangingBelow;
                out.push(Assumed::SafetyFactor {
                    factor: usual_safety(*direction),
                    falls,
                });
            }
            if *direction == Direction::Sideways {
                let [low, mid, high] = FRICTION;
                out.push(match friction {
                    None => Assumed::Friction { low, mid, high },
                    Some(_) => Assumed::FrictionSpread {
                        part: FRICTION_TOLERANCE,
                    },
                });
            }
            if steel.thickness.is_none() {
                out.push(Assumed::ThickSteel);
            }
        }
        Need::FaceField {
            probe_depth: Some(depth),
            ..
        } if depth.si() > 0.0 => out.push(BY_HAND),
        Need::SwitchSensor { margin: None, .. } => out.push(Assumed::SwitchMargin { margin: SWITCH_MARGIN }),
        _ => {}
    }
    let placed = match &question.need {
        Need::ReachField { distance, .. } => distance.si(),
        Need::SwitchSensor { near, .. } => near.si(),
        Need::PullTogether { gap, .. } | Need::PushApart { gap, .. } => gap.si(),
        Need::Hold { .. } | Need::FaceField { .. } => 0.0,
    };
    if placed > 0.0 {
        out.push(Assumed::Placement {
            least: PLACEMENT,
            part: PLACEMENT_OF_DISTANCE,
        });
    }
    if question.conditions.warmest.is_none() {
        out.push(Assumed::RoomTemperature);
    }
    out
}

/// How a reading by a hand-held meter is spread beside what is known of magnet and probe.
pub(crate) const BY_HAND: Assumed = Assumed::ByHand {
    lot: LOT_SPREAD,
    repeat: NOISE,
    aside: OFF_CENTRE[2],
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::question;

    #[test]
    fn loads_are_multiplied_by_their_factor_and_shared() {
        let need = |q: &str| need_figure(&question(q)).at_least;
        let hold = |rest: &str| need(&format!(r#"{{"need": {{"verb": "hold", "load": "12 N"{rest}}}}}"#));
        assert_eq!(hold(""), 18.0);
        assert_eq!(hold(r#", "direction": "hanging_below""#), 24.0);
        assert_eq!(
            hold(r#", "direction": "sideways", "safety_factor": 3.0, "shared_by": 4"#),
            9.0
        );
        // A kilogram weighs 9.80665 N (standard gravity, CGPM 1901).
        let kilogram = need(r#"{"need": {"verb": "hold", "load": "1 kg", "safety_factor": 1.0}}"#);
        assert!((kilogram - 9.80665).abs() <= 1e-12);
    }

    /// What falls or slides takes its magnet along; a pull in any direction does not say where down is.
    #[test]
    fn what_hangs_or_slides_carries_its_own_weight() {
        let need = |rest: &str| {
            let q = format!(
                r#"{{"need": {{"verb": "hold", "load": "12 N", "shared_by": 3, "safety_factor": 2.0{rest}}}}}"#
            );
            need_figure(&question(&q))
        };
        for direction in ["hanging_below", "sideways"] {
            let got = need(&format!(r#", "direction": "{direction}""#));
            // 12 N times 2 over 3, and the whole weight of 100 g times 2.
            assert!((got.of_mass(0.1) - (8.0 + 2.0 * 0.980_665)).abs() <= 1e-12);
            assert!((got.own_part(0.1) - 1.96133 / 9.96133).abs() <= 1e-12);
        }
        assert_eq!((need("").of_mass(0.1), need("").own_part(0.1)), (8.0, 0.0));
    }

    #[test]
    fn switching_points_get_a_margin_on_both_sides() {
        let q = question(
            r#"{"need": {"verb": "switch_sensor", "operate": "10 mT", "release": "4 mT", "near": "3 mm", "far": "20 mm"}}"#,
        );
        let need = need_figure(&q);
        assert!((need.at_least - 20e-3).abs() <= 1e-15 && (need.ceiling.unwrap() - 2e-3).abs() <= 1e-15);
        assert_eq!(
            assumed(&q),
            [
                Assumed::SwitchMargin { margin: 2.0 },
                Assumed::Placement {
                    least: 0.1e-3,
                    part: 0.02
                },
                Assumed::RoomTemperature
            ]
        );
    }

    #[test]
    fn a_meter_is_assumed_to_be_held_by_hand() {
        let read = |probe: &str| {
            let json = format!(r#"{{"need": {{"verb": "face_field", "field": "0.2 T"{probe}}}}}"#);
            assumed(&question(&json))
        };
        assert_eq!(
            read(r#", "probe_depth": "0.5 mm""#),
            [BY_HAND, Assumed::RoomTemperature]
        );
        assert_eq!(read(""), [Assumed::RoomTemperature]);
    }

    #[test]
    fn what_the_question_says_is_not_assumed() {
        let silent = question(r#"{"need": {"verb": "hold", "load": "12 N", "direction": "sideways"}}"#);
        assert_eq!(assumed(&silent).len(), 4);
        let full = question(
            r#"{"need": {"verb": "hold", "load": "12 N", "direction": "sideways", "safety_factor": 2.0, "friction": 0.3,
                "steel": {"material": "mild steel", "thickness": "3 mm"}}, "conditions": {"warmest": "60 °C"}}"#,
        );
        // But for how well the friction that it names is known.
        assert_eq!(assumed(&full), [Assumed::FrictionSpread { part: 0.15 }]);
    }
}
