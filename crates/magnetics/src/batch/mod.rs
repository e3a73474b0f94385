//! One question a line, one answer a line: fields, forces and factors for scripts.
//!
//! Each line is a JSON object with an `id` of any kind, what is wanted and the bodies; the answer carries the same `id`.
//! Lengths are millimetres, polarisations tesla, angles of arcs degrees, rotation vectors radians; the units are in the names.
//!
//! | `want` | takes | gives |
//! | --- | --- | --- |
//! | `B` | `bodies`, `points_mm`, optional `side` | `B_T` |
//! | `H` | the same | `H_A_per_m` |
//! | `gradient` | `bodies`, `points_mm` | `gradient_T_per_m`: by point, rows of `dBi/dx, dBi/dy, dBi/dz` |
//! | `mean_B` | `bodies`, `points_mm`, `element` | `B_T` |
//! | `force` | `on`, `from` | `force_N`, `torque_Nm` about the centre of `on`, `error_N` |
//! | `force_curve` | `on`, `from`, `direction`, `distances_mm` | the same, one for each distance by which `on` is moved |
//! | `work` | `on`, `from`, `direction` | `work_J` to take `on` far away |
//! | `plate_pull` | `bodies`, `gap_mm` | `force_N`, `error_N` |
//! | `demagnetising_factor` | `body` | `magnetometric`, `fluxmetric` along its axis |
//!
//! An element of `bodies` or `from` may also be an arrangement, which stands for many: `{"arrangement": "pile", "of": {body}, "count": 3}`; see
//! [`crate::arrangement`].
//!
//! A line that cannot be answered gives `{"id": ..., "error": {"message", "field", "hint"}}`, its `field` a JSON pointer into the line.
//! Bodies that overlap are answered with `warnings`; for a force that is an error.

mod arrange;
mod body;
mod read;
mod request;

use serde_json::{Map, Value};

pub use read::{LineError, Object, Place, metres};

/// The answer to a line.
#[derive(Clone, Debug, PartialEq)]
pub struct Reply {
    /// One line of JSON, without its end.
    pub text: String,
    /// Whether the line was answered; otherwise the text is its error.
    pub answered: bool,
}

/// Answer one request that is JSON already, which may also be of other kinds; its `id` comes back with the answer.
///
/// # Errors
/// What is wrong with it, and where.
pub fn answered(request: &Value, others: &[Other]) -> Result<Value, LineError> {
    let mut answer = request::answered(request, others)?;
    if let Some(id) = request.get("id") {
        answer.insert("id".into(), id.clone());
    }
    Ok(Value::Object(answer))
}

/// A kind of request that another crate answers.
#[derive(Clone, Copy, Debug)]
pub struct Other {
    /// What its lines want.
    pub want: &'static str,
    /// The answer to such a line, without its id.
    pub answer: fn(&Object) -> Result<Map<String, Value>, LineError>,
}

/// Answer one line. Any text is taken; what is wrong with it is in the reply.
#[must_use]
pub fn answer(line: &str) -> Reply {
    answer_with(line, &[])
}

/// Answer one line, which may also be of other kinds.
#[must_use]
pub fn answer_with(line: &str, others: &[Other]) -> Reply {
    match serde_json::from_str::<Value>(line) {
        Ok(value) => {
            let id = value.get("id").cloned().unwrap_or(Value::Null);
            reply(id, request::answered(&value, others))
        }
        Err(error) => {
            let message = format!("the line is not JSON: {error}");
            refusal(LineError::new(
                message,
                "",
                "one JSON object a line, without NaN or comments",
            ))
        }
    }
}

/// The bodies of a list, as a line gives them; `path` is the JSON pointer of the list, for errors.
///
/// # Errors
/// [`LineError`] for the first body that is not acceptable.
pub fn bodies(list: &Value, path: &str) -> Result<Vec<crate::Placed>, LineError> {
    body::all(&read::Place {
        value: list,
        path: path.into(),
    })
}

/// What is to be minded with the bodies of a scene, in words: which of them overlap.
#[must_use]
pub fn warnings(scene: &crate::Scene) -> Vec<String> {
    request::warnings(scene)
}

/// The reply to a line that cannot be read at all.
#[must_use]
pub fn refusal(error: LineError) -> Reply {
    reply(Value::Null, Err(error))
}

fn reply(id: Value, result: Result<Map<String, Value>, LineError>) -> Reply {
    let mut object = Map::new();
    object.insert("id".into(), id);
    let answered = result.is_ok();
    match result {
        Ok(answer) => object.extend(answer),
        Err(error) => {
            let error = serde_json::json!({ "message": error.message, "field": error.field, "hint": error.hint });
            object.insert("error".into(), error);
        }
    }
    Reply {
        text: Value::Object(object).to_string(),
        answered,
    }
}
