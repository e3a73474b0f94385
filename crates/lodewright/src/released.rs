//! Lessons and sheets as strangers may open them: those that the shop releases, with what it tells of prices and stock.

use advice::Item;
use advice::question::Conditions;
use lessons::paper::{index, lesson};
use lessons::view::{line, view};
use lessons::{Lesson, Lessons};
use press::Document;
use sheets::Imprint;
use shop::{Released, Settings, Told};

use crate::desk::{Desk, Shelf};
use crate::printing::{self, imprint, item_document, messages};
use crate::problem::{Kind, Problem};

impl Desk {
    /// The page that lists the lessons which are released.
    ///
    /// # Errors
    /// When none is, or the database fails.
    pub fn released_lessons(&self) -> Result<Document, Problem> {
        let shelf = self.shelf()?;
        let lessons = self.all_lessons()?;
        let listed: Vec<_> = released(&lessons, &shelf.settings).map(line).collect();
        if listed.is_empty() {
            return Err(nothing_there());
        }
        let title = messages()?.text("lessons", &[]);
        self.published(&shelf.settings, &of_today(&shelf.settings), None, &listed, |by| {
            index(&title, by)
        })
    }

    /// A lesson that is released, with figures and charts of the shelf.
    ///
    /// # Errors
    /// When none of that name is, or the database fails.
    pub fn released_lesson(&self, name: &str) -> Result<Document, Problem> {
        let shelf = self.shelf()?;
        let lessons = self.all_lessons()?;
        let wanted = released(&lessons, &shelf.settings).find(|lesson| lesson.topic.name == name);
        let wanted = wanted.ok_or_else(nothing_there)?;
        let items: Vec<Item> = shelf.items.iter().map(|item| shelf.told_of(item)).collect();
        let reader = shelf.reader(&shelf.settings.units);
        let view = view(wanted, &lessons, &items, &shelf.catalogue, &reader);
        let listed: Vec<_> = released(&lessons, &shelf.settings).map(line).collect();
        self.published(&shelf.settings, &of_today(&shelf.settings), None, &listed, |by| {
            lesson(&view, by)
        })
    }

    /// The sheet of an item, where that is released.
    ///
    /// # Errors
    /// When none of that code is, or the database fails.
    pub fn released_sheet(&self, code: &str) -> Result<Document, Problem> {
        let shelf = self.shelf()?;
        let item = shelf.released_item(code).ok_or_else(nothing_there)?;
        let item = shelf.told_of(item);
        let units = shelf.settings.units;
        let mut view = shelf.view_of(&item, &Conditions::default(), &units)?;
        if !shelf.tells(Told::Stock) {
            view.facts.retain(|fact| fact.label != "stock");
        }
        item_document(&item, &view, None, &units, &of_today(&shelf.settings), &shelf)
    }

    /// Whether all that settings release besides what was released before is there.
    ///
    /// # Errors
    /// The first that is not; a database that fails.
    pub fn check_released(&self, before: &Settings, after: &Settings) -> Result<(), Problem> {
        let (shelf, lessons) = (self.shelf()?, self.all_lessons()?);
        let mut newly = after
            .public_lessons
            .names()
            .filter(|name| !before.public_lessons.has(name));
        let lesson = newly.find(|name| lessons.named(name).is_none());
        let mut newly = after
            .public_sheets
            .names()
            .filter(|code| !before.public_sheets.has(code));
        let sheet = newly.find(|code| shelf.item(code).is_err());
        let unknown = |what: &str, name: &str, hint: &str| {
            Err(Problem::new(
                Kind::Absent,
                "it cannot be released",
                format!("there is no {what} {name:?}"),
            )
            .hint(hint))
        };
        match (lesson, sheet) {
            (Some(name), _) => unknown("lesson", name, "`lodewright lesson` lists them"),
            (_, Some(code)) => unknown("item", code, "`lodewright shelf list` lists them"),
            (None, None) => Ok(()),
        }
    }
}

impl Shelf {
    /// Whether strangers are told this.
    pub fn tells(&self, told: Told) -> bool {
        self.settings.public_tells.contains(&told)
    }

    /// The item of that code, where its sheet is released.
    pub fn released_item(&self, code: &str) -> Option<&Item> {
        let is_released = self.settings.public_sheets.has(code);
        self.items.iter().find(|item| is_released && item.code == code)
    }

    /// An item with what strangers are told of it.
    fn told_of(&self, item: &Item) -> Item {
        Item {
            prices: match self.tells(Told::Prices) {
                true => item.prices.clone(),
                false => Vec::new(),
            },
            stock: item.stock.filter(|_| self.tells(Told::Stock)),
            note: item.note.clone().filter(|_| self.tells(Told::Notes)),
            ..item.clone()
        }
    }
}

/// The lessons that are released.
fn released<'a>(lessons: &'a Lessons, settings: &'a Settings) -> impl Iterator<Item = &'a Lesson> {
    let released: &Released = &settings.public_lessons;
    lessons.all().iter().filter(|lesson| released.has(&lesson.topic.name))
}

/// An imprint without the address of the shop's own page, which strangers do not reach.
fn of_today(settings: &Settings) -> Imprint {
    Imprint {
        link: String::new(),
        ..imprint(settings, "", &printing::now())
    }
}

/// What is not there and what is not released are one to strangers.
fn nothing_there() -> Problem {
    Problem::new(Kind::Absent, "no such place", "nothing is shown here").hint("ask the shop for it")
}
