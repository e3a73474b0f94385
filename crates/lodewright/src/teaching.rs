//! Lessons over the shop's own shelf.

use lessons::LessonView;
use lessons::view::{LessonLine, line, view};
use quantity::Units;

use crate::desk::Desk;
use crate::problem::{Kind, Problem};

impl Desk {
    /// The lessons, as they are listed.
    pub fn lessons(&self) -> Vec<LessonLine> {
        lessons::lessons().iter().map(line).collect()
    }

    /// A lesson with figures and charts of the shelf as it stands.
    ///
    /// # Errors
    /// When there is none of that name, or the database fails.
    pub fn lesson(&self, name: &str, units: &Units) -> Result<LessonView, Problem> {
        let lesson = lessons::lesson(name).ok_or_else(|| {
            Problem::new(Kind::Absent, "no such lesson", format!("there is no lesson {name:?}"))
                .hint("the lessons are listed at /lessons, and by `lodewright lesson`")
        })?;
        let shelf = self.shelf()?;
        Ok(view(lesson, &shelf.items, &shelf.catalogue, &shelf.reader(units)))
    }
}
