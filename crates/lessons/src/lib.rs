//! Lessons: standing questions as pages with charts.
//!
//! A lesson is a Markdown file with chart blocks ([`read`]): those in `data/`, and a shop's own. It begins with the text of its
//! standing question (`advice::explain`), so that both are one source. Its texts hold figures in braces: every figure and every
//! chart is computed from the shelf when the lesson is shown ([`view`]), on a screen, on paper or for a site ([`paper`]).

mod chart;
pub mod check;
pub mod paper;
pub mod read;
pub mod view;

use std::sync::OnceLock;

pub use read::{Lesson, LessonError};
pub use view::LessonView;

/// The files, in the order in which they are listed.
const FILES: [(&str, &str); 17] = [
    ("twice_thickness", include_str!("../data/twice_thickness.md")),
    ("solid_or_stack", include_str!("../data/solid_or_stack.md")),
    ("grade_meaning", include_str!("../data/grade_meaning.md")),
    ("gap", include_str!("../data/gap.md")),
    ("wide_or_thick", include_str!("../data/wide_or_thick.md")),
    ("meter_less", include_str!("../data/meter_less.md")),
    ("gauss_vs_pull", include_str!("../data/gauss_vs_pull.md")),
    ("thin_sheet", include_str!("../data/thin_sheet.md")),
    ("sideways", include_str!("../data/sideways.md")),
    ("heat", include_str!("../data/heat.md")),
    ("safe_distance", include_str!("../data/safe_distance.md")),
    (
        "beyond_half_remanence",
        include_str!("../data/beyond_half_remanence.md"),
    ),
    ("north_pole", include_str!("../data/north_pole.md")),
    ("coatings_rust", include_str!("../data/coatings_rust.md")),
    ("drilling", include_str!("../data/drilling.md")),
    ("gluing", include_str!("../data/gluing.md")),
    ("storing", include_str!("../data/storing.md")),
];

/// All lessons of a shop: those that come with the program and its own.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lessons {
    all: Vec<Lesson>,
    /// Texts of the shop's own that do not read any more, with why.
    pub unread: Vec<(String, LessonError)>,
}

impl Lessons {
    /// Those that come with the program, and a shop's own by name and text: one of an equal name stands in its place, others
    /// follow.
    pub fn with_own<'a>(own: impl IntoIterator<Item = (&'a str, &'a str)>) -> Self {
        let mut lessons = Self {
            all: built_in().to_vec(),
            unread: Vec::new(),
        };
        for (name, text) in own {
            match Lesson::read(text) {
                Ok(lesson) => {
                    let lesson = Lesson { own: true, ..lesson };
                    match lessons.all.iter_mut().find(|l| l.topic.name == lesson.topic.name) {
                        Some(place) => *place = lesson,
                        None => lessons.all.push(lesson),
                    }
                }
                Err(error) => lessons.unread.push((name.to_owned(), error)),
            }
        }
        lessons
    }

    /// All of them, as they are listed.
    pub fn all(&self) -> &[Lesson] {
        &self.all
    }

    /// The lesson on that question.
    pub fn named(&self, topic: &str) -> Option<&Lesson> {
        self.all.iter().find(|lesson| lesson.topic.name == topic)
    }
}

/// The lessons that come with the program. A test reads every file, so that none can be broken in a release.
pub fn built_in() -> &'static [Lesson] {
    static LESSONS: OnceLock<Vec<Lesson>> = OnceLock::new();
    LESSONS.get_or_init(|| FILES.iter().filter_map(|(_, text)| Lesson::read(text).ok()).collect())
}

/// The file of a lesson that comes with the program.
pub fn file(topic: &str) -> Option<&'static str> {
    FILES.iter().find(|(name, _)| *name == topic).map(|(_, text)| *text)
}

#[cfg(test)]
mod tests;
