//! Magnets made to a wish: the wish as it is asked, and what is found for it.

use advice::part::Form;
use design::ask::{self, AskError, Assumed, Read};
use design::cost::{CostModel, LEAST_PRICES, Priced};
use design::family::Family;
use design::known::{Known, USUAL_STEEL};
use design::search::{Effort, Progress, SearchError};
use design::sizes;
use design::stock::{self, Bought, MOST_ALIKE, Offer, Plate};
use design::stuff::Stuff;
use design::told::tell;
use design::view::{DesignView, view};
use design::wish::Aim;
use magnetics::Shape;
use materials::grade::REFERENCE_CELSIUS;
use numerics::stop::Stop;
use quantity::{Money, Units};
use serde::Deserialize;
use utoipa::ToSchema;

use crate::desk::{Desk, Shelf};
use crate::problem::{Kind, Problem};

/// A wish for a magnet that is made.
#[derive(Clone, Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct DesignRequest {
    /// The wish in words, such as: reach 0.63 T at the face on 25 mm in N52.
    pub wish: String,
    /// What is to be least, the first before the others; mass where nothing is said.
    #[serde(default)]
    pub least: Vec<Aim>,
    /// The families to look at; all where nothing is said.
    #[serde(default)]
    pub families: Vec<Family>,
    /// The series of standard sizes, by its name; whole and half millimetres where nothing is said.
    #[serde(default)]
    pub sizes: Option<String>,
    /// Whether to search longer, up to 20 s.
    #[serde(default)]
    pub refined: bool,
}

impl Desk {
    /// What is found for a wish. `progress` is told of each family that was looked at.
    ///
    /// # Errors
    /// A wish that does not read or is out of range, and a search that is stopped.
    pub fn design(
        &self,
        request: &DesignRequest,
        units: &Units,
        stop: &Stop,
        progress: &(impl Fn(Progress) + Sync),
    ) -> Result<DesignView, Problem> {
        let shelf = self.shelf()?;
        let mut read = ask::read(&request.wish, &shelf.catalogue.grades, &request.least)?;
        read.wish.families.clone_from(&request.families);
        let mut known = Known::of_steel(USUAL_STEEL)
            .map_err(|error| Problem::new(Kind::Internal, "the steel or the costs", error.to_string()))?;
        if let Some(fitted) = costs(&known.costs, &shelf, read.wish.lot) {
            known.costs = fitted;
        }
        let stock = stock(&shelf, &read);
        let effort = if request.refined {
            Effort::Refined
        } else {
            Effort::First
        };
        let told = tell(&read, &known, &stock, series(request)?, effort, stop, progress)?;
        Ok(view(&told, &stock, units, shelf.settings.currency))
    }
}

/// The series of standard sizes that is asked for.
fn series(request: &DesignRequest) -> Result<&'static sizes::Series, Problem> {
    let all = sizes::series();
    let found = match &request.sizes {
        Some(name) => sizes::named(name),
        None => all.first(),
    };
    found.ok_or_else(|| {
        let names: Vec<&str> = all.iter().map(|series| series.name.as_str()).collect();
        Problem::new(Kind::Asked, "no such sizes", "there is no series of that name")
            .field("/sizes")
            .hint(format!("there are {}", names.join(", ")))
    })
}

/// The costs fitted to the prices of the shelf at a lot, where it has enough of them.
fn costs(model: &CostModel, shelf: &Shelf, lot: u32) -> Option<CostModel> {
    let list: Vec<Priced> = shelf
        .items
        .iter()
        .filter_map(|item| {
            let grade = shelf.catalogue.grades.get(&item.grade)?;
            let lot = u64::from(lot).max(item.least_order());
            Some(Priced {
                shape: item.shape,
                stuff: Stuff::of_grade(grade, REFERENCE_CELSIUS).ok()?,
                price: item.price_each(lot)?.to_f64(),
            })
        })
        .filter(|priced| priced.price > 0.0)
        .collect();
    if list.len() < LEAST_PRICES {
        return None;
    }
    model.fitted(&list).ok()
}

/// The magnets of the shelf that a wish may be made of: of its grade where that was said, of any that stands the temperature where not.
/// Balls, countersunk rings and pieces of unknown grade or coating are left out, and steel of another kind than all is computed with.
fn stock(shelf: &Shelf, read: &Read) -> stock::Shelf {
    let any = read.assumed.iter().any(|one| matches!(one, Assumed::Grade(_)));
    let mut found = stock::Shelf::default();
    for item in &shelf.items {
        let of_grade = any || item.grade == read.wish.stuff.name;
        let form = !matches!(item.shape, Shape::Sphere { .. }) && !item.is_countersunk();
        let material = shelf.catalogue.grade_of(item).filter(|_| of_grade && form);
        let coating = shelf.catalogue.coatings.get(&item.coating);
        let (Some(material), Some(coating)) = (material, coating) else {
            continue;
        };
        if let Ok(stuff) = Stuff::of_grade(material, read.celsius) {
            let offer = offer(&item.code, item.stock, item.least_order(), read.wish.lot, |pieces| {
                item.price_each(pieces)
            });
            found.add(item.shape, coating.thickness.typical, stuff, offer);
        }
    }
    for part in &shelf.parts {
        if let (Form::Disc { diameter, thickness }, USUAL_STEEL) = (part.form, part.steel.as_str()) {
            let offer = offer(&part.code, part.stock, part.least_order(), read.wish.lot, |pieces| {
                part.price_each(pieces)
            });
            found.plates.push(Plate {
                diameter,
                thickness,
                offer,
            });
        }
    }
    found
}

/// What a lot costs of which every build takes one piece, two, and so on: breaks go by pieces, not by builds.
fn offer(
    code: &str,
    on_hand: Option<u64>,
    least_order: u64,
    lot: u32,
    price_each: impl Fn(u64) -> Option<Money>,
) -> Offer {
    let bought = (1..=MOST_ALIKE as u64).map(|count| {
        let pieces = (u64::from(lot) * count).max(least_order);
        Bought {
            pieces,
            each: price_each(pieces),
        }
    });
    Offer {
        code: code.to_owned(),
        on_hand,
        bought: bought.collect(),
    }
}

impl From<AskError> for Problem {
    fn from(error: AskError) -> Self {
        Self::new(Kind::Asked, "the wish does not read", error.to_string())
            .field("/wish")
            .hint(error.hint())
    }
}

impl From<SearchError> for Problem {
    fn from(error: SearchError) -> Self {
        match error {
            SearchError::Wish(wish) => Self::new(Kind::Asked, "the wish is out of range", wish.to_string())
                .field("/wish")
                .hint(wish.hint()),
            SearchError::Stopped => {
                Self::new(Kind::Busy, "stopped", "the search was given up").hint("ask again, or for fewer families")
            }
        }
    }
}

#[cfg(test)]
mod tests;
