//! Reading JSON so that every error says where it is and what would be right.

use serde_json::{Map, Value};

/// What is wrong with a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineError {
    /// What was wrong.
    pub message: String,
    /// JSON pointer to the part that is wrong; empty for the whole line.
    pub field: String,
    /// What would be right.
    pub hint: String,
}

impl LineError {
    /// An error at that place.
    #[must_use]
    pub fn new(message: impl Into<String>, field: impl Into<String>, hint: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            field: field.into(),
            hint: hint.into(),
        }
    }
}

/// A value and its place in the line.
#[derive(Clone, Debug)]
pub struct Place<'a> {
    /// The value.
    pub value: &'a Value,
    /// JSON pointer to it.
    pub path: String,
}

/// An object and its place in the line.
#[derive(Clone, Debug)]
pub struct Object<'a> {
    map: &'a Map<String, Value>,
    /// JSON pointer to it.
    pub path: String,
}

impl<'a> Place<'a> {
    /// A whole line.
    #[must_use]
    pub fn line(value: &'a Value) -> Self {
        Self {
            value,
            path: String::new(),
        }
    }

    /// An error here: something else was wanted.
    #[must_use]
    pub fn wrong(&self, wanted: &str) -> LineError {
        LineError::new(
            format!("{} must be {wanted}, got {}", self.name(), kind(self.value)),
            &self.path,
            format!("give {wanted}"),
        )
    }

    fn name(&self) -> &str {
        match self.path.rsplit('/').next() {
            Some(name) if !name.is_empty() => name,
            _ => "the line",
        }
    }

    /// The value as an object.
    ///
    /// # Errors
    /// [`LineError`] at this place when it is something else.
    pub fn object(&self) -> Result<Object<'a>, LineError> {
        match self.value {
            Value::Object(map) => Ok(Object {
                map,
                path: self.path.clone(),
            }),
            _ => Err(self.wrong("an object")),
        }
    }

    /// The value as a finite number.
    ///
    /// # Errors
    /// [`LineError`] at this place when it is something else.
    pub fn number(&self) -> Result<f64, LineError> {
        self.value
            .as_f64()
            .filter(|n| n.is_finite())
            .ok_or_else(|| self.wrong("a number"))
    }

    /// A whole number from 0.
    pub(crate) fn whole(&self) -> Result<usize, LineError> {
        self.value
            .as_u64()
            .and_then(|n| usize::try_from(n).ok())
            .ok_or_else(|| self.wrong("a whole number from 0"))
    }

    /// A whole number, also below 0.
    pub(crate) fn small_whole(&self) -> Result<i32, LineError> {
        self.value
            .as_i64()
            .and_then(|n| i32::try_from(n).ok())
            .ok_or_else(|| self.wrong("a whole number"))
    }

    /// Two whole numbers from 0.
    pub(crate) fn wholes(&self) -> Result<[usize; 2], LineError> {
        match self.list()?.as_slice() {
            [a, b] => Ok([self.item(a, 0).whole()?, self.item(b, 1).whole()?]),
            _ => Err(self.wrong("a list of 2 whole numbers")),
        }
    }

    pub(crate) fn truth(&self) -> Result<bool, LineError> {
        self.value.as_bool().ok_or_else(|| self.wrong("true or false"))
    }

    /// The value as a list.
    ///
    /// # Errors
    /// [`LineError`] at this place when it is something else.
    pub fn list(&self) -> Result<&'a Vec<Value>, LineError> {
        match self.value {
            Value::Array(list) => Ok(list),
            _ => Err(self.wrong("a list")),
        }
    }

    /// The place of an item of this list.
    #[must_use]
    pub fn item(&self, value: &'a Value, index: usize) -> Place<'a> {
        Place {
            value,
            path: format!("{}/{index}", self.path),
        }
    }

    /// A list of exactly `N` numbers.
    ///
    /// # Errors
    /// [`LineError`] at this place when it is something else.
    pub fn numbers<const N: usize>(&self) -> Result<[f64; N], LineError> {
        let list = self.list()?;
        if list.len() != N {
            return Err(self.wrong(&format!("a list of {N} numbers")));
        }
        let mut numbers = [0.0; N];
        for (i, (number, value)) in numbers.iter_mut().zip(list).enumerate() {
            // The place is only made where something is wrong: lists of points are long.
            *number = match value.as_f64() {
                Some(n) if n.is_finite() => n,
                _ => return Err(self.item(value, i).wrong("a number")),
            };
        }
        Ok(numbers)
    }
}

impl<'a> Object<'a> {
    /// Refuse keys that are not among these.
    ///
    /// # Errors
    /// [`LineError`] at the first other key.
    pub fn only(&self, keys: &[&str]) -> Result<(), LineError> {
        match self.map.keys().find(|key| !keys.contains(&key.as_str())) {
            None => Ok(()),
            Some(key) => Err(LineError::new(
                format!("{key} is not known here"),
                format!("{}/{key}", self.path),
                format!("known are {}", keys.join(", ")),
            )),
        }
    }

    /// The value of a key that may be left out.
    #[must_use]
    pub fn get(&self, key: &str) -> Option<Place<'a>> {
        self.map.get(key).map(|value| Place {
            value,
            path: format!("{}/{key}", self.path),
        })
    }

    /// The value of a key.
    ///
    /// # Errors
    /// [`LineError`] at its place when it is missing.
    pub fn need(&self, key: &str) -> Result<Place<'a>, LineError> {
        self.get(key).ok_or_else(|| {
            LineError::new(
                format!("{key} is missing"),
                format!("{}/{key}", self.path),
                format!("add {key}"),
            )
        })
    }

    /// The word of a key.
    ///
    /// # Errors
    /// [`LineError`] at its place when it is missing or something else.
    pub fn word(&self, key: &str) -> Result<&'a str, LineError> {
        let place = self.need(key)?;
        place.value.as_str().ok_or_else(|| place.wrong("a word"))
    }

    /// The number of a key.
    ///
    /// # Errors
    /// [`LineError`] at its place when it is missing or something else.
    pub fn number(&self, key: &str) -> Result<f64, LineError> {
        self.need(key)?.number()
    }

    /// A length given in millimetres, in metres.
    ///
    /// # Errors
    /// [`LineError`] at its place when it is missing or something else.
    pub fn metres(&self, key: &str) -> Result<f64, LineError> {
        self.number(key).map(metres)
    }
}

/// Millimetres in metres, rounded once.
#[must_use]
pub fn metres(millimetres: f64) -> f64 {
    millimetres / 1000.0
}

fn kind(value: &Value) -> String {
    match value {
        Value::Array(list) => format!("a list of {}", list.len()),
        Value::Object(_) => "an object".into(),
        Value::String(text) if text.chars().count() > 40 => "a long text".into(),
        other => other.to_string(),
    }
}
