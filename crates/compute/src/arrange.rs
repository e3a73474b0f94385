//! Arrangements in a list of bodies: `{"arrangement": ..., "of": ...}` stands for many.

use crate::body;
use crate::read::{LineError, Object, Place, metres};
use magnetics::arrangement::{ArrangementError, circle, facing_pair, grid, halbach_row, pile, tower};
use magnetics::placed::Placed;
use serde_json::Value;

const KINDS: &str = "pile, tower, grid, circle, facing_pair or halbach_row";

/// How deep arrangements may stand in one another.
const DEEPEST: usize = 8;

/// The bodies of a list, arrangements spread out, as a line gives them; `path` is the JSON pointer of the list, for errors.
/// At most `most` of them are taken.
///
/// # Errors
/// [`LineError`] for the first body that is not acceptable, or too many.
pub fn bodies(list: &Value, path: &str, most: usize) -> Result<Vec<Placed>, LineError> {
    let place = Place {
        value: list,
        path: path.into(),
    };
    all(&place, most)
}

/// The bodies of the list that stands there.
pub(crate) fn all(place: &Place, most: usize) -> Result<Vec<Placed>, LineError> {
    list(place, 0, most)
}

/// The bodies of an element of a list, one or many.
fn element(place: &Place, depth: usize, most: usize) -> Result<Vec<Placed>, LineError> {
    let object = place.object()?;
    if object.get("arrangement").is_none() {
        return Ok(vec![body::placed(place)?]);
    }
    if depth >= DEEPEST {
        return Err(LineError::new(
            format!("arrangements stand in one another more than {DEEPEST} deep"),
            &object.path,
            "arrange a list of bodies",
        ));
    }
    let of = object.need("of")?;
    let group = if of.value.is_array() {
        list(&of, depth + 1, most)?
    } else {
        element(&of, depth + 1, most)?
    };
    arranged(&object, &group)
}

/// The bodies of a list whose elements are bodies or arrangements.
fn list(place: &Place, depth: usize, most: usize) -> Result<Vec<Placed>, LineError> {
    let mut bodies = Vec::new();
    for (i, value) in place.list()?.iter().enumerate() {
        let place = place.item(value, i);
        bodies.extend(element(&place, depth, most)?);
        if bodies.len() > most {
            return Err(LineError::new(
                format!("there are more than {most} bodies, counted with those of arrangements"),
                place.path,
                "give fewer bodies, or ask in several requests and add the fields",
            ));
        }
    }
    Ok(bodies)
}

fn arranged(object: &Object, group: &[Placed]) -> Result<Vec<Placed>, LineError> {
    let only = |more: &[&str]| object.only(&[&["arrangement", "of"], more].concat());
    let length = |key: &str| object.get(key).map_or(Ok(0.0), |place| place.number()).map(metres);
    let whole = |key: &str| object.need(key)?.whole();
    let alternating = || object.get("alternating").map_or(Ok(false), |place| place.truth());
    let made = match object.word("arrangement")? {
        "pile" => {
            only(&["count", "gap_mm"])?;
            pile(group, whole("count")?, length("gap_mm")?)
        }
        "tower" => {
            only(&["gap_mm"])?;
            tower(group, length("gap_mm")?)
        }
        "grid" => {
            only(&["counts", "pitch_mm", "alternating"])?;
            let [across, deep] = object.need("counts")?.wholes()?;
            let pitch = object.need("pitch_mm")?.numbers()?.map(metres);
            grid(group, [across, deep], pitch, alternating()?)
        }
        "circle" => {
            only(&["count", "radius_mm", "extra_turns", "alternating"])?;
            let turns = object.get("extra_turns").map_or(Ok(0), |place| place.small_whole())?;
            circle(
                group,
                whole("count")?,
                object.metres("radius_mm")?,
                turns,
                alternating()?,
            )
        }
        "facing_pair" => {
            only(&["gap_mm", "like_poles"])?;
            let like = object.get("like_poles").map_or(Ok(false), |place| place.truth())?;
            facing_pair(group, length("gap_mm")?, like)
        }
        "halbach_row" => {
            only(&["count", "pitch_mm", "step_deg"])?;
            let step = object.get("step_deg").map_or(Ok(90.0), |place| place.number())?;
            halbach_row(group, whole("count")?, object.metres("pitch_mm")?, step.to_radians())
        }
        other => {
            return Err(LineError::new(
                format!("arrangement must be one of {KINDS}, got {other:?}"),
                format!("{}/arrangement", object.path),
                format!("give {KINDS}"),
            ));
        }
    };
    made.map_err(|error| {
        let key = match &error {
            ArrangementError::Count(_) if object.get("counts").is_some() => "/counts",
            ArrangementError::Count(_) if object.get("count").is_some() => "/count",
            ArrangementError::Size { what: "gap", .. } => "/gap_mm",
            ArrangementError::Size { what: "radius", .. } => "/radius_mm",
            ArrangementError::Size { what: "step", .. } => "/step_deg",
            ArrangementError::Size { .. } => "/pitch_mm",
            _ => "/of",
        };
        LineError::new(error.to_string(), format!("{}{key}", object.path), error.hint())
    })
}
