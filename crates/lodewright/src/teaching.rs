//! Lessons over the shop's own shelf.

use lessons::LessonView;
use lessons::html::{Publisher, file_name, index, page};
use lessons::view::{LessonLine, line, view};
use quantity::Units;

use crate::desk::{Desk, VERSION, seconds_now, time_text};
use crate::printing::imprint;
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

    /// Every lesson as a page of HTML that needs nothing beside it, and the page that lists them: names of files with what stands
    /// in them.
    ///
    /// # Errors
    /// When the database fails.
    pub fn lesson_pages(&self, units: &Units) -> Result<Vec<(String, String)>, Problem> {
        let settings = self.shop.settings()?;
        let listed = self.lessons();
        let day = imprint(&settings, "", &time_text(seconds_now())).day;
        let made_of = format!("{day}, shelf revision {}, Lodewright {VERSION}", self.shelf()?.revision);
        let by = Publisher {
            shop: &settings.name,
            address: &settings.letterhead.address,
            made_of: &made_of,
            lessons: &listed,
        };
        let mut out = vec![(file_name("index"), index("Lessons", &by))];
        for line in &listed {
            out.push((file_name(&line.name), page(&self.lesson(&line.name, units)?, &by)));
        }
        Ok(out)
    }
}
