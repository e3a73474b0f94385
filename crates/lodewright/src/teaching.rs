//! Lessons over the shop's own shelf: shown, put on paper, published, and written by the shop itself.

use lessons::check::checked;
use lessons::paper::{Publisher, file_name, index, lesson};
use lessons::view::{LessonLine, line, view};
use lessons::{LessonView, Lessons};
use press::Document;
use quantity::Units;
use serde::Serialize;
use sheets::Imprint;
use shop::{Paper, Settings};
use utoipa::ToSchema;

use crate::desk::{Desk, seconds_now, time_text};
use crate::links::Subject;
use crate::printing::{imprint, maker, messages};
use crate::problem::{Kind, Problem};

/// The text of a lesson, to be edited.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, ToSchema)]
pub struct LessonText {
    /// The name of its question.
    pub name: String,
    /// Its text: a head, then Markdown with chart blocks.
    pub text: String,
    /// Whether the shop has written it; otherwise it came with the program.
    pub own: bool,
    /// Whether one came with the program, which stands again when the shop's own is taken away.
    pub built_in: bool,
    /// Why the shop's own text does not read any more; ours is shown until it does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unread: Option<String>,
}

impl Desk {
    /// All lessons, the shop's own among them.
    ///
    /// # Errors
    /// When the database fails.
    pub fn all_lessons(&self) -> Result<Lessons, Problem> {
        let own = self.shop.own_lessons()?;
        Ok(Lessons::with_own(
            own.iter().map(|(name, text)| (name.as_str(), text.as_str())),
        ))
    }

    /// The lessons, as they are listed.
    ///
    /// # Errors
    /// When the database fails.
    pub fn lessons(&self) -> Result<Vec<LessonLine>, Problem> {
        Ok(self.all_lessons()?.all().iter().map(line).collect())
    }

    /// A lesson with figures and charts of the shelf as it stands.
    ///
    /// # Errors
    /// When there is none of that name, or the database fails.
    pub fn lesson(&self, name: &str, units: &Units) -> Result<LessonView, Problem> {
        let lessons = self.all_lessons()?;
        let lesson = lessons.named(name).ok_or_else(|| absent(name))?;
        let shelf = self.shelf()?;
        Ok(view(
            lesson,
            &lessons,
            &shelf.items,
            &shelf.catalogue,
            &shelf.reader(units),
        ))
    }

    /// A lesson as a hand-out, on that paper or the shop's own.
    ///
    /// # Errors
    /// As [`Self::lesson`].
    pub fn lesson_paper(&self, name: &str, paper: Option<Paper>, units: &Units) -> Result<Document, Problem> {
        let settings = self.shop.settings()?;
        let imprint = imprint(&settings, &place(name), &time_text(seconds_now()));
        let view = self.lesson(name, units)?;
        self.published(&settings, &imprint, paper, &[], |by| lesson(&view, by))
    }

    /// Every lesson as a page of HTML that needs nothing beside it, and the page that lists them: names of files with what stands
    /// in them.
    ///
    /// # Errors
    /// When the database fails.
    pub fn lesson_pages(&self, units: &Units) -> Result<Vec<(String, String)>, Problem> {
        let settings = self.shop.settings()?;
        let listed = self.lessons()?;
        let imprint = |place: &str| imprint(&settings, place, &time_text(seconds_now()));
        let title = messages()?.text("lessons", &[]);
        let list = self.published(&settings, &imprint("#/lessons"), None, &listed, |by| index(&title, by))?;
        let mut out = vec![(file_name("index"), list.html())];
        for line in &listed {
            let view = self.lesson(&line.name, units)?;
            let place = imprint(&place(&line.name));
            let document = self.published(&settings, &place, None, &listed, |by| lesson(&view, by))?;
            out.push((file_name(&line.name), document.html()));
        }
        Ok(out)
    }

    /// A document of these lessons, as the shop publishes it.
    ///
    /// # Errors
    /// When the database fails.
    pub fn published(
        &self,
        settings: &Settings,
        imprint: &Imprint,
        paper: Option<Paper>,
        beside: &[LessonLine],
        make: impl Fn(&Publisher) -> Document,
    ) -> Result<Document, Problem> {
        let (maker, messages) = (maker(settings, paper), messages()?);
        let by = Publisher {
            maker: &maker,
            imprint,
            revision: self.shelf()?.revision,
            beside,
            messages: &messages,
        };
        Ok(make(&by))
    }

    /// The text of a lesson: the shop's own, or else the one that came with the program.
    ///
    /// # Errors
    /// When there is none of that name, or the database fails.
    pub fn lesson_text(&self, name: &str) -> Result<LessonText, Problem> {
        let own = self.shop.own_lessons()?.into_iter().find(|(own, _)| own == name);
        let file = lessons::file(name);
        let (text, is_own) = match own {
            Some((_, text)) => (text, true),
            None => (file.ok_or_else(|| absent(name))?.to_owned(), false),
        };
        let unread = lessons::Lesson::read(&text).err().map(|e| e.to_string());
        Ok(LessonText {
            name: name.into(),
            text,
            own: is_own,
            built_in: file.is_some(),
            unread,
        })
    }

    /// Keeps a lesson of the shop's own, in the place of one of the same name, and shows it.
    ///
    /// # Errors
    /// What is wrong with the text, and in which line; a database that fails.
    pub fn keep_lesson(&self, text: &str, units: &Units) -> Result<LessonView, Problem> {
        let shelf = self.shelf()?;
        let lesson = checked(text, &shelf.items, &shelf.catalogue).map_err(|error| {
            Problem::new(Kind::Asked, "the lesson does not read", error.to_string())
                .field("/text")
                .hint("the text of any lesson that comes with the program shows the form")
        })?;
        let name = &lesson.topic.name;
        self.shop.keep_lesson(name, text, seconds_now())?;
        self.lesson(name, units)
    }

    /// Takes a lesson of the shop's own away; one that came with the program under its name stands again.
    ///
    /// # Errors
    /// When the shop has none of that name, or the database fails.
    pub fn remove_lesson(&self, name: &str) -> Result<LessonText, Problem> {
        let before = self.lesson_text(name)?;
        match self.shop.remove_lesson(name)? {
            Some(_) => Ok(before),
            None => Err(Problem::new(
                Kind::Absent,
                "no such lesson",
                format!("the shop has written no lesson {name:?}"),
            )),
        }
    }
}

/// The place of the page that shows a lesson.
fn place(name: &str) -> String {
    Subject::Lesson { name: name.into() }.place()
}

fn absent(name: &str) -> Problem {
    Problem::new(Kind::Absent, "no such lesson", format!("there is no lesson {name:?}"))
        .hint("the lessons are listed at /lessons, and by `lodewright lesson`")
}

#[cfg(test)]
mod tests;
