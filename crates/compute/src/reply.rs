//! The reply to a line.

use serde_json::{Map, Value};

use crate::budget::Budget;
use crate::dialect::in_stated_units;
use crate::read::LineError;
use crate::request;

/// The answer to a line.
#[derive(Clone, Debug, PartialEq)]
pub struct Reply {
    /// One line of JSON, without its end.
    pub text: String,
    /// Whether the line was answered; otherwise the text is its error.
    pub answered: bool,
}

/// Answer one request that is JSON already; its `id` comes back with the answer.
///
/// # Errors
/// What is wrong with it, and where; also more work than the budget has.
pub fn answer(request: &Value, budget: &Budget) -> Result<Value, LineError> {
    let mut answer = request::answered(&in_stated_units(request.clone())?, budget)?;
    if let Some(id) = request.get("id") {
        answer.insert("id".into(), id.clone());
    }
    Ok(Value::Object(answer))
}

/// Answer one line, for somebody on a machine of their own. Any text is taken; what is wrong with it is in the reply.
#[must_use]
pub fn answer_line(line: &str) -> Reply {
    match serde_json::from_str::<Value>(line) {
        Ok(value) => {
            let id = value.get("id").cloned().unwrap_or(Value::Null);
            reply(
                id,
                in_stated_units(value).and_then(|value| request::answered(&value, &Budget::own())),
            )
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

/// The reply to a line that cannot be read at all.
pub(crate) fn refusal(error: LineError) -> Reply {
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
