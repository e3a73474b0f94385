//! The shelf at hand: read once at each revision, with the materials and settings that go with it.

use std::sync::{Arc, PoisonError};

use advice::catalogue::Catalogue;
use advice::detail::sheet;
use advice::question::Conditions;
use advice::view::item::ItemView;
use advice::view::text::Reader;
use advice::{Goods, Item, Part, view};
use enquiry::Vocabulary;
use quantity::Units;
use shop::{Settings, Snapshot};

use super::Desk;
use crate::problem::{Kind, Problem};

/// A shelf as it stood at a revision, with the materials and settings that go with it.
pub struct Shelf {
    /// Its revision.
    pub revision: u64,
    /// How often the shop's file had been replaced by another.
    replaced: u64,
    /// Codes of its lines that cannot be read.
    pub unread: Vec<String>,
    /// Its items.
    pub items: Vec<Item>,
    /// Its steel parts.
    pub parts: Vec<Part>,
    /// Its pots, hooks, strips and the like.
    pub goods: Vec<Goods>,
    /// Materials, the shop's own grades among them.
    pub catalogue: Catalogue,
    /// Names that a question may use.
    pub vocabulary: Vocabulary,
    /// The shop's settings.
    pub settings: Settings,
}

impl Desk {
    /// The shelf as it stands; read again only when it has changed, by one for all who wait for it.
    ///
    /// # Errors
    /// When the database fails.
    pub fn shelf(&self) -> Result<Arc<Shelf>, Problem> {
        if let Some(shelf) = self.held()? {
            return Ok(shelf);
        }
        let _alone = self.reading.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(shelf) = self.held()? {
            return Ok(shelf);
        }
        let shelf = Arc::new(self.shelf_as_kept()?);
        *self.shelf.write().unwrap_or_else(PoisonError::into_inner) = Some(shelf.clone());
        Ok(shelf)
    }

    /// The shelf at hand, where it is the one that is wanted.
    fn held(&self) -> Result<Option<Arc<Shelf>>, Problem> {
        let held = self.shelf.read().unwrap_or_else(PoisonError::into_inner).clone();
        if self.of_one_moment || held.is_none() {
            return Ok(held);
        }
        let now = (self.shop.revision()?, self.shop.replaced());
        Ok(held.filter(|shelf| (shelf.revision, shelf.replaced) == now))
    }

    /// The shelf, read from the shop.
    fn shelf_as_kept(&self) -> Result<Shelf, Problem> {
        let replaced = self.shop.replaced();
        let settings = self.shop.settings()?;
        let catalogue = Catalogue::builtin()?
            .with_grades(self.shop.grades()?)
            .with_certificates(self.shop.certificates_in_use()?)
            .map_err(|e| Problem::new(Kind::Internal, "a certificate does not fit", e.to_string()))?
            .with_probe(self.usual_probe_as_known()?);
        let Snapshot {
            revision,
            items,
            parts,
            goods,
            unread,
        } = self.shop.snapshot()?;
        let catalogue = self.with_read_lots(catalogue, &items)?;
        let vocabulary = Vocabulary::of(&catalogue, Some(settings.currency));
        Ok(Shelf {
            revision,
            replaced,
            unread: unread.into_iter().map(|line| line.code).collect(),
            items,
            parts,
            goods,
            catalogue,
            vocabulary,
            settings,
        })
    }
}

impl Shelf {
    /// The item of that code.
    ///
    /// # Errors
    /// When there is none.
    pub fn item(&self, code: &str) -> Result<&Item, Problem> {
        self.items.iter().find(|i| i.code == code).ok_or_else(|| {
            match self.unread.iter().any(|unread| unread == code) {
                true => unread_item(code),
                false => absent_item(code),
            }
        })
    }

    /// An item in the conditions given, as it is shown with what this shelf knows of it.
    ///
    /// # Errors
    /// When its grade or coating is none that is known.
    pub fn view_of(&self, item: &Item, conditions: &Conditions, units: &Units) -> Result<ItemView, Problem> {
        let sheet = sheet(item, &self.catalogue, conditions).ok_or_else(|| unread_item(&item.code))?;
        Ok(view::item::view(&sheet, &self.reader(units)))
    }

    /// A reader with those units and the shop's currency.
    pub fn reader(&self, units: &Units) -> Reader {
        Reader {
            units: *units,
            currency: self.settings.currency,
        }
    }
}

fn unread_item(code: &str) -> Problem {
    let detail = format!("the line of item {code:?} cannot be read, or has a grade or coating that is not known");
    Problem::new(Kind::Absent, "no such item", detail)
        .hint("`lodewright shelf check` says what is wrong with it; a list that has the line puts it right")
}

fn absent_item(code: &str) -> Problem {
    Problem::new(Kind::Absent, "no such item", format!("the shelf has no item {code:?}"))
        .hint("codes are those of the shop's own price list")
}
