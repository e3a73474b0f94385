//! Messages by name, filled in, from the file of a language.

use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::{FluentArgs, FluentResource, FluentValue};

/// The message files: the tag of the language and its text.
const FILES: [(&str, &str); 1] = [("en", include_str!("../data/en.ftl"))];

/// Why there are no messages.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LanguageError {
    /// No file of that language.
    #[error("there are no messages in {asked:?}; there are some in {known}")]
    Unknown {
        /// The tag asked for.
        asked: String,
        /// Those that there are.
        known: String,
    },
    /// A file that does not read.
    #[error("the messages in {language} do not read: {what}")]
    Damaged {
        /// The tag of the language.
        language: String,
        /// What is wrong with it.
        what: String,
    },
}

/// The messages of one language.
pub struct Messages {
    bundle: FluentBundle<FluentResource>,
}

/// A value to fill into a message.
#[derive(Clone, Debug)]
pub enum Filling<'a> {
    /// As it stands.
    Text(&'a str),
    /// A number that plurals go by.
    Count(usize),
}

impl<'a> From<&'a str> for Filling<'a> {
    fn from(text: &'a str) -> Self {
        Self::Text(text)
    }
}

impl<'a> From<&'a String> for Filling<'a> {
    fn from(text: &'a String) -> Self {
        Self::Text(text)
    }
}

impl From<usize> for Filling<'_> {
    fn from(count: usize) -> Self {
        Self::Count(count)
    }
}

impl Messages {
    /// The messages of the language of that tag, such as `en`.
    ///
    /// # Errors
    /// A language that there is no file of, or a file that does not read.
    pub fn of(language: &str) -> Result<Self, LanguageError> {
        let (tag, text) = FILES
            .iter()
            .find(|(tag, _)| *tag == language)
            .ok_or_else(|| LanguageError::Unknown {
                asked: language.into(),
                known: FILES.map(|(tag, _)| tag).join(", "),
            })?;
        Self::read(tag, text)
    }

    /// Messages in a file's text.
    ///
    /// # Errors
    /// A tag or a text that does not read.
    pub fn read(tag: &str, text: &str) -> Result<Self, LanguageError> {
        let damaged = |what: String| LanguageError::Damaged {
            language: tag.into(),
            what,
        };
        let language = tag.parse().map_err(|e| damaged(format!("{e}")))?;
        let resource =
            FluentResource::try_new(text.into()).map_err(|(_, errors)| damaged(format!("{:?}", errors.first())))?;
        let mut bundle = FluentBundle::new_concurrent(vec![language]);
        // Marks of direction around every figure would stand in the text that is sent.
        bundle.set_use_isolating(false);
        bundle
            .add_resource(resource)
            .map_err(|errors| damaged(format!("{:?}", errors.first())))?;
        Ok(Self { bundle })
    }

    /// The message of that name with its values; where it has none or lacks a value, what is known of it.
    pub fn text(&self, name: &str, values: &[(&str, Filling)]) -> String {
        self.filled(name, values).unwrap_or_else(|_| {
            let values: Vec<&str> = values
                .iter()
                .filter_map(|(_, value)| match value {
                    Filling::Text(text) => Some(*text),
                    Filling::Count(_) => None,
                })
                .collect();
            values.join(" ")
        })
    }

    /// The message of that name, whole.
    ///
    /// # Errors
    /// A name that there is no message of, or what could not be filled in.
    pub fn filled(&self, name: &str, values: &[(&str, Filling)]) -> Result<String, String> {
        let message = self.bundle.get_message(name).and_then(|m| m.value());
        let pattern = message.ok_or_else(|| format!("there is no message {name:?}"))?;
        let mut args = FluentArgs::new();
        for (key, value) in values {
            let value = match value {
                Filling::Text(text) => FluentValue::from(*text),
                Filling::Count(count) => FluentValue::from(*count),
            };
            args.set(*key, value);
        }
        let mut errors = Vec::new();
        let text = self
            .bundle
            .format_pattern(pattern, Some(&args), &mut errors)
            .into_owned();
        match errors.first() {
            Some(error) => Err(format!("message {name:?}: {error}")),
            None => Ok(text),
        }
    }
}

#[cfg(test)]
mod tests;
