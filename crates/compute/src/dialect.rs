//! Quantities in requests whose keys state a unit: a number in that unit, or text with a unit of its own.
//!
//! `"diameter_mm": 20` and `"diameter_mm": "20 mm"` are the same, `"2 cm"` and `"3/4 in"` are understood too; likewise
//! within lists, as in `"points_mm": [["1 in", 0, 0]]`.

use quantity::{FieldStrength, FluxDensity, Kind, Length, ParseError, Quantity, Unit, parse};
use serde_json::Value;

use crate::read::LineError;

/// Endings of keys and the units that they state.
const STATED: [(&str, Unit); 3] = [
    ("_mm", Unit::MILLIMETRE),
    ("_T", Unit::TESLA),
    ("_A_per_m", Unit::AMPERE_PER_METRE),
];

/// The request with every quantity as a number in the unit that its key states.
///
/// # Errors
/// A text under such a key that is no quantity of its kind, and where it stands.
pub fn in_stated_units(mut request: Value) -> Result<Value, LineError> {
    walk(&mut request, None, "")?;
    Ok(request)
}

fn walk(value: &mut Value, stated: Option<Unit>, at: &str) -> Result<(), LineError> {
    match value {
        Value::Object(map) => map.iter_mut().try_for_each(|(key, part)| {
            let unit = STATED.iter().find(|(end, _)| key.ends_with(end)).map(|(_, unit)| *unit);
            walk(
                part,
                unit,
                &format!("{at}/{}", key.replace('~', "~0").replace('/', "~1")),
            )
        }),
        Value::Array(items) => items
            .iter_mut()
            .enumerate()
            .try_for_each(|(index, part)| walk(part, stated, &format!("{at}/{index}"))),
        Value::String(text) => {
            let Some(unit) = stated else { return Ok(()) };
            let number = number(text, unit).map_err(|error| {
                let hint = error
                    .hint
                    .unwrap_or_else(|| format!("give a number in {} or text with a unit", unit.label()));
                LineError::new(error.message, at, hint)
            })?;
            *value = Value::from(number);
            Ok(())
        }
        _ => Ok(()),
    }
}

/// A text as a number in a unit; a number without a unit is in that unit already.
fn number(text: &str, unit: Unit) -> Result<f64, ParseError> {
    if let Ok(number) = text.trim().parse::<f64>()
        && number.is_finite()
    {
        return Ok(number);
    }
    let si = match unit.kind() {
        Kind::Length => parse::<Length>(text).map(Quantity::si),
        Kind::FluxDensity => parse::<FluxDensity>(text).map(Quantity::si),
        _ => parse::<FieldStrength>(text).map(Quantity::si),
    };
    si.map(|si| unit.from_si(si))
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn text_and_number_are_the_same_wherever_the_key_states_a_unit() {
        let request = json!({
            "bodies": [{ "shape": "disc", "diameter_mm": "20 mm", "thickness_mm": 5, "polarisation_T": [0, 0, "12 kG"] }],
            "points_mm": [["1 in", 0, "2 cm"]], "id": "7 mm", "coercivity_A_per_m": "900 kA/m", "gap_mm": "0.5",
        });
        let read = in_stated_units(request).expect("it reads");
        assert_eq!(read["bodies"][0]["diameter_mm"], 20.0);
        assert_eq!(read["bodies"][0]["polarisation_T"][2], 1.2);
        assert_eq!(read["points_mm"][0], json!([25.4, 0, 20.0]));
        assert_eq!(read["coercivity_A_per_m"], 900_000.0);
        assert_eq!((&read["id"], &read["gap_mm"]), (&json!("7 mm"), &json!(0.5)));
    }

    #[test]
    fn what_is_no_such_quantity_is_pointed_at() {
        let wrong = in_stated_units(json!({ "bodies": [{ "size_mm": [1, "2 kg", 3] }] })).unwrap_err();
        assert_eq!(wrong.field, "/bodies/0/size_mm/1");
        assert!(wrong.message.contains("kg is a unit of mass"), "{wrong:?}");
        let wrong = in_stated_units(json!({ "gap_mm": "wide" })).unwrap_err();
        assert!(!wrong.hint.contains("f64"), "the reader's own words: {}", wrong.hint);
    }
}
