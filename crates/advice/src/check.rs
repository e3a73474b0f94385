//! Whether a question can be answered at all, and if not, what would be right.

use quantity::Length;

use crate::catalogue::Catalogue;
use crate::limits;
use crate::question::{Conditions, Need, Question};
use crate::sane::{self, length_or_zero, within, wrong};

pub use crate::sane::{MOST_PIECES, MOST_STACKED, QuestionError};

/// Checks every part of a question.
///
/// # Errors
/// The first part that is not finite, out of its range, contradicts another, or names a material that is not known.
pub fn check(question: &Question, catalogue: &Catalogue) -> Result<(), QuestionError> {
    check_need(&question.need, catalogue)?;
    limits::check(question, catalogue)?;
    if !(1..=MOST_PIECES).contains(&question.pieces) {
        return Err(wrong(
            "/pieces",
            format!(
                "the number of pieces must be 1 to {MOST_PIECES}, got {}",
                question.pieces
            ),
            "say how many builds the customer wants, such as 200 pieces",
        ));
    }
    Ok(())
}

fn factor(
    field: &str,
    what: &str,
    value: Option<f64>,
    range: std::ops::RangeInclusive<f64>,
    hint: &str,
) -> Result<(), QuestionError> {
    match value {
        Some(v) if !range.contains(&v) => Err(wrong(
            field,
            format!("{what} must be {} to {}, got {v}", range.start(), range.end()),
            hint,
        )),
        _ => Ok(()),
    }
}

fn check_need(need: &Need, catalogue: &Catalogue) -> Result<(), QuestionError> {
    let force = |field, what, load: &quantity::Load| {
        within::<quantity::Force>(
            field,
            what,
            load.force().si(),
            sane::FORCE,
            "give a load such as 2 kg, 20 N or 4.4 lb",
        )
    };
    let field_value = |field, what, b: quantity::FluxDensity| {
        within::<quantity::FluxDensity>(
            field,
            what,
            b.si(),
            sane::FIELD,
            "give a flux density such as 50 mT or 500 G",
        )
    };
    match need {
        Need::Hold {
            load,
            steel,
            layers,
            safety_factor,
            shared_by,
            friction,
            ..
        } => {
            force("/need/load", "the load", load)?;
            factor(
                "/need/safety_factor",
                "the safety factor",
                *safety_factor,
                1.0..=20.0,
                "2 is usual where something would fall; local rules for lifting and overhead loads go first",
            )?;
            factor(
                "/need/friction",
                "the coefficient of friction",
                *friction,
                0.02..=1.5,
                "0.2 is usual for plated magnets on smooth paint",
            )?;
            if !(1..=1000).contains(shared_by) {
                return Err(wrong(
                    "/need/shared_by",
                    format!("the load must be shared by 1 to 1000 magnets, got {shared_by}"),
                    "say how many magnets hold the load together, such as shared by 4",
                ));
            }
            let known = catalogue.steels.find(&steel.material).ok_or_else(|| {
                let names: Vec<&str> = catalogue.steels.all().iter().map(|s| s.name.as_str()).collect();
                wrong(
                    "/need/steel/material",
                    format!("no steel is known by the name {:?}", steel.material),
                    format!("known are {}", names.join(", ")),
                )
            })?;
            if !known.holds() {
                return Err(wrong(
                    "/need/steel/material",
                    format!("{} is not magnetic enough to hold a magnet", known.name),
                    "hold on mild steel, glue on a mild steel plate, or pull together with a second magnet behind it",
                ));
            }
            if let Some(thickness) = steel.thickness {
                within::<Length>(
                    "/need/steel/thickness",
                    "the thickness of the steel",
                    thickness.si(),
                    sane::SIZE,
                    "give a thickness such as 3 mm, or leave it out for thick steel",
                )?;
            }
            if let Some(across) = steel.across {
                within::<Length>(
                    "/need/steel/across",
                    "the size of the plate across",
                    across.si(),
                    sane::SIZE,
                    "give the diameter of a round plate or the side of a square one, such as 30 mm, or leave it out for a wide one",
                )?;
            }
            for (k, layer) in layers.iter().enumerate() {
                length_or_zero(
                    &format!("/need/layers/{k}/thickness"),
                    "the thickness of a layer",
                    layer.thickness,
                )?;
                if catalogue.layer(&layer.material).is_none() {
                    let names: Vec<&str> = catalogue.layers.iter().map(|l| l.name.as_str()).collect();
                    return Err(wrong(
                        format!("/need/layers/{k}/material"),
                        format!("no layer is known by the name {:?}", layer.material),
                        format!(
                            "known are {}; anything not magnetic counts as air of its thickness",
                            names.join(", ")
                        ),
                    ));
                }
            }
            Ok(())
        }
        Need::PullTogether { force: f, gap } | Need::PushApart { force: f, gap } => {
            force("/need/force", "the force", f)?;
            length_or_zero("/need/gap", "the gap", *gap)
        }
        Need::ReachField {
            field,
            distance,
            off_axis,
            no_more_than,
        } => {
            field_value("/need/field", "the flux density", *field)?;
            length_or_zero("/need/distance", "the distance", *distance)?;
            length_or_zero("/need/off_axis", "the distance off the axis", *off_axis)?;
            if let Some(ceiling) = no_more_than {
                field_value("/need/no_more_than/field", "the flux density allowed", ceiling.field)?;
                length_or_zero("/need/no_more_than/distance", "the further distance", ceiling.distance)?;
                if ceiling.distance.si() <= distance.si() {
                    return Err(wrong(
                        "/need/no_more_than/distance",
                        "the place where the field must stay low is not further away than the place where it must be reached",
                        "give a distance beyond the first, such as no more than 0.5 mT at 100 mm",
                    ));
                }
            }
            Ok(())
        }
        Need::SwitchSensor {
            operate,
            release,
            margin,
            near,
            far,
        } => {
            field_value("/need/operate", "the operating point", *operate)?;
            field_value("/need/release", "the release point", *release)?;
            factor(
                "/need/margin",
                "the margin",
                *margin,
                1.0..=10.0,
                "2 is usual: twice the operating point when near, half the release point when far",
            )?;
            length_or_zero("/need/near", "the near distance", *near)?;
            length_or_zero("/need/far", "the far distance", *far)?;
            if release.si() > operate.si() {
                return Err(wrong(
                    "/need/release",
                    "the release point is above the operating point",
                    "a switch releases at less than it operates at, such as operate 5 mT, release 2 mT",
                ));
            }
            if far.si() <= near.si() {
                return Err(wrong(
                    "/need/far",
                    "the far distance is not beyond the near one",
                    "the switch operates near and releases far, such as near 4 mm, far 15 mm",
                ));
            }
            Ok(())
        }
        Need::FaceField { field, probe_depth } => {
            field_value("/need/field", "the flux density", *field)?;
            length_or_zero(
                "/need/probe_depth",
                "the probe depth",
                probe_depth.unwrap_or(Length(0.0)),
            )
        }
    }
}

/// Checks that conditions are within reason.
///
/// # Errors
/// [`QuestionError`] for the first that is not.
pub fn conditions(conditions: &Conditions) -> Result<(), QuestionError> {
    limits::check_conditions(conditions)
}
