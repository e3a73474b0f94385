//! Whether a question can be answered at all, and if not, what would be right.

use quantity::{Length, Quantity, Units};
use thiserror::Error;

use crate::catalogue::Catalogue;
use crate::question::{Conditions, Need, Question, ShapeKind, Steelwork};

/// A question that cannot be answered as it stands.
#[derive(Clone, Debug, PartialEq, Error)]
#[error("{message}")]
pub struct QuestionError {
    /// JSON pointer to the part that is wrong.
    pub field: String,
    /// What is wrong.
    pub message: String,
    /// What would be right.
    pub hint: String,
}

fn wrong(field: impl Into<String>, message: impl Into<String>, hint: impl Into<String>) -> QuestionError {
    QuestionError {
        field: field.into(),
        message: message.into(),
        hint: hint.into(),
    }
}

/// The most pieces that one order may have.
pub const MOST_PIECES: u32 = 10_000_000;
/// The most pieces that a stack may have.
pub const MOST_STACKED: u32 = 8;

/// Limits of what is taken for a slip of the pen, SI.
mod sane {
    pub const FORCE: [f64; 2] = [1e-5, 1e5];
    pub const LENGTH: f64 = 10.0;
    pub const SIZE: [f64; 2] = [1e-6, LENGTH];
    pub const FIELD: [f64; 2] = [1e-8, 10.0];
    pub const MASS: [f64; 2] = [1e-6, 1e3];
    pub const COLDEST: f64 = -200.0;
    pub const HOTTEST: f64 = 1000.0;
}

/// Checks every part of a question.
///
/// # Errors
/// The first part that is not finite, out of its range, contradicts another, or names a material that is not known.
pub fn check(question: &Question, catalogue: &Catalogue) -> Result<(), QuestionError> {
    check_need(&question.need, catalogue)?;
    self::conditions(&question.conditions)?;
    check_limits(question, catalogue)?;
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

fn show<Q: Quantity>(si: f64) -> String {
    Q::from_si(si).show(&Units::metric()).to_string()
}

fn within<Q: Quantity>(field: &str, what: &str, value: f64, range: [f64; 2], hint: &str) -> Result<(), QuestionError> {
    let [least, most] = range;
    if (least..=most).contains(&value) {
        return Ok(());
    }
    let [least, most, value] = [least, most, value].map(show::<Q>);
    Err(wrong(
        field,
        format!("{what} must be {least} to {most}, got {value}"),
        hint,
    ))
}

fn length_or_zero(field: &str, what: &str, value: Length) -> Result<(), QuestionError> {
    let v = value.si();
    if v.is_finite() && (0.0..=sane::LENGTH).contains(&v) {
        return Ok(());
    }
    Err(wrong(
        field,
        format!(
            "{what} must be 0 or more and at most {}, got {}",
            show::<Length>(sane::LENGTH),
            show::<Length>(v)
        ),
        "give a length such as 2 mm or 1/8 in; 0 mm is contact",
    ))
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
    for (field, what, value) in [
        ("/conditions/warmest", "the warmest", conditions.warmest),
        ("/conditions/coldest", "the coldest", conditions.coldest),
    ] {
        if let Some(t) = value
            && !(sane::COLDEST..=sane::HOTTEST).contains(&t.celsius())
        {
            return Err(wrong(
                field,
                format!(
                    "{what} temperature must be {} to {} °C, got {}",
                    sane::COLDEST,
                    sane::HOTTEST,
                    show::<quantity::Temperature>(t.si())
                ),
                "give a temperature such as 60 °C or 140 °F",
            ));
        }
    }
    if let (Some(cold), Some(warm)) = (conditions.coldest, conditions.warmest)
        && cold.celsius() > warm.celsius()
    {
        return Err(wrong(
            "/conditions/coldest",
            "the coldest temperature is above the warmest",
            "give the range from cold to warm, such as −20 to 60 °C",
        ));
    }
    Ok(())
}

/// Whether the steel that is wanted serves the need, and a magnet that it goes with is allowed.
fn check_steelwork(question: &Question) -> Result<(), QuestionError> {
    let field = "/limits/steelwork";
    let Some(wanted) = question.limits.steelwork.filter(|w| *w != Steelwork::Bare) else {
        return Ok(());
    };
    let serves = question.need.steelwork();
    if !serves.contains(&wanted) {
        let choice: Vec<&str> = serves.iter().map(|s| s.text()).collect();
        let message = format!("a build {} is not reckoned for this need", wanted.text());
        let hint = if choice.is_empty() {
            "steel parts are reckoned for holding on steel and for fields; leave it out here".to_string()
        } else {
            format!("for this need: {}", choice.join(", or "))
        };
        return Err(wrong(field, message, hint));
    }
    let round = |kind: &ShapeKind| match wanted {
        Steelwork::PoleTip => *kind == ShapeKind::Disc,
        _ => matches!(kind, ShapeKind::Disc | ShapeKind::Ring),
    };
    let shapes = &question.limits.shapes;
    if !shapes.is_empty() && !shapes.iter().any(round) {
        let with = if wanted == Steelwork::PoleTip {
            "discs"
        } else {
            "discs and rings"
        };
        return Err(wrong(
            field,
            format!(
                "a build {} is reckoned for {with} only: its field is solved about one axis",
                wanted.text()
            ),
            format!("allow {with}, or leave the steel out"),
        ));
    }
    Ok(())
}

fn check_limits(question: &Question, catalogue: &Catalogue) -> Result<(), QuestionError> {
    let limits = &question.limits;
    check_steelwork(question)?;
    for (field, what, value) in [
        ("/limits/widest", "the largest width", limits.widest),
        ("/limits/narrowest", "the smallest width", limits.narrowest),
        ("/limits/tallest", "the largest height", limits.tallest),
        ("/limits/shortest", "the smallest height", limits.shortest),
        ("/limits/hole", "the hole", limits.hole),
    ] {
        if let Some(v) = value {
            within::<Length>(
                field,
                what,
                v.si(),
                sane::SIZE,
                "give a length such as 25 mm or 1 in, or leave it out",
            )?;
        }
    }
    let crossed =
        |low: Option<Length>, high: Option<Length>| matches!((low, high), (Some(l), Some(h)) if l.si() > h.si());
    if crossed(limits.narrowest, limits.widest) {
        return Err(wrong(
            "/limits/narrowest",
            "the smallest width is above the largest",
            "give the smaller size as the smallest",
        ));
    }
    if crossed(limits.shortest, limits.tallest) {
        return Err(wrong(
            "/limits/shortest",
            "the smallest height is above the largest",
            "give the smaller size as the smallest",
        ));
    }
    if let Some(n) = limits.stack
        && !(1..=MOST_STACKED).contains(&n)
    {
        return Err(wrong(
            "/limits/stack",
            format!("a stack has 1 to {MOST_STACKED} pieces, got {n}"),
            "1 means not stacked",
        ));
    }
    if let Some(mass) = limits.mass {
        within::<quantity::Mass>(
            "/limits/mass",
            "the largest mass",
            mass.si(),
            sane::MASS,
            "give a mass such as 20 g, or leave it out",
        )?;
    }
    for (field, budget) in [
        ("/limits/budget_each", limits.budget_each),
        ("/limits/budget_total", limits.budget_total),
    ] {
        if let Some(money) = budget
            && money <= quantity::Money::ZERO
        {
            return Err(wrong(
                field,
                "a budget must be greater than 0",
                "give an amount such as 0.80, or leave it out",
            ));
        }
    }
    if let Some(name) = &limits.coating
        && catalogue.coatings.get(name).is_none()
    {
        let names: Vec<&str> = catalogue.coatings.rows().iter().map(|c| c.name.as_str()).collect();
        return Err(wrong(
            "/limits/coating",
            format!("no coating is known by the name {name:?}"),
            format!("known are {}", names.join(", ")),
        ));
    }
    for (k, name) in limits.grades.iter().enumerate() {
        if catalogue.wanted(name).is_none() {
            let near = catalogue.like(name);
            let hint = if near.is_empty() {
                "name a grade such as N42 or a family such as ferrite".to_string()
            } else {
                format!("did you mean {}?", near.join(", "))
            };
            return Err(wrong(
                format!("/limits/grades/{k}"),
                format!("no grade or family is known by the name {name:?}"),
                hint,
            ));
        }
    }
    Ok(())
}
