//! Magnets made to a wish: the wish as it is asked, and what is found for it.

use design::ask::{self, AskError};
use design::cost::{CostModel, LEAST_PRICES, Priced};
use design::family::Family;
use design::known::{Known, USUAL_STEEL};
use design::search::{Effort, Progress, SearchError};
use design::sizes;
use design::stuff::Stuff;
use design::told::tell;
use design::view::{DesignView, view};
use design::wish::Aim;
use materials::grade::REFERENCE_CELSIUS;
use numerics::stop::Stop;
use quantity::Units;
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
        let fitted = costs(&known.costs, &shelf, read.wish.lot);
        let currency = fitted.is_some().then_some(shelf.settings.currency);
        if let Some(fitted) = fitted {
            known.costs = fitted;
        }
        let effort = if request.refined {
            Effort::Refined
        } else {
            Effort::First
        };
        let told = tell(&read, &known, series(request)?, effort, stop, progress)?;
        Ok(view(&told, units, currency))
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
