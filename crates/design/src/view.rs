//! What is told of a wish, in words and in the reader's units.

mod joining;
mod outline;
mod stock;
mod words;

use quantity::{Currency, Length, Mass, Money, Quantity, Units};
use serde::Serialize;
use utoipa::ToSchema;

use crate::ask::{Assumed, Read};
use crate::family::Family;
use crate::measure::Way;
use crate::search::{Effort, Found};
use crate::stock::Shelf;
use crate::told::{Shown, Told};
use crate::wish::{Aim, Goal};

pub use outline::Outline;
pub use stock::{StockBuildView, StockPieceView, StockView};

/// A wish and what was found for it.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct DesignView {
    /// The wish as it was read.
    pub read: String,
    /// What was taken since it was not said.
    pub assumed: Vec<String>,
    /// What was found, in a sentence or two.
    pub lead: String,
    /// The limit that no magnet of the space can pass.
    pub limit: String,
    /// Whether a refined search may find better.
    pub refine: Option<String>,
    /// What is to be least, the heading of each column of `least`.
    pub aims: Vec<String>,
    /// What pieces on the shelf do it, put together.
    pub stock: StockView,
    /// The drafts, the best first.
    pub drafts: Vec<DraftView>,
    /// What to mind with any of them.
    pub notes: Vec<String>,
}

/// One draft.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct DraftView {
    /// Its family, as the interface names it.
    pub family: Family,
    /// What it is.
    pub name: String,
    /// Whether it does what was wished for.
    pub keeps: bool,
    /// Whether no other is at least as good in all that is to be least, and better in one.
    pub in_front: bool,
    /// What it does.
    pub value: String,
    /// How that was found.
    pub basis: String,
    /// Its sizes.
    pub sizes: Vec<SizeView>,
    /// What is to be least, in the order of the aims.
    pub least: Vec<String>,
    /// Mass of all.
    pub mass: String,
    /// What it may cost to make, an interval.
    pub cost: String,
    /// How near its magnets are to their knee.
    pub strain: String,
    /// The same in standard sizes, and what that costs.
    pub standard: Option<StandardView>,
    /// How it is put together, and what to mind.
    pub making: Vec<String>,
    /// Its outlines, seen from the front.
    pub outlines: Vec<Outline>,
}

/// A size.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, ToSchema)]
pub struct SizeView {
    /// What it is the size of.
    pub what: String,
    /// The size, with its unit.
    pub size: String,
}

/// A draft in standard sizes.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct StandardView {
    /// Its sizes.
    pub sizes: Vec<SizeView>,
    /// What it does.
    pub value: String,
    /// What the rounding costs.
    pub costs: String,
}

/// Significant digits of computed sizes.
const DIGITS: usize = 3;

/// A value of a goal with its unit.
fn amount(goal: &Goal, value: f64, units: &Units) -> String {
    match goal {
        Goal::Reach { .. } | Goal::Even { .. } | Goal::Gap { .. } => {
            quantity::FluxDensity(value).show(units).to_string()
        }
        Goal::Hold { .. } => quantity::Force(value).show(units).to_string(),
        Goal::Turn { .. } => format!("{}\u{a0}N\u{a0}m", figure(value)),
    }
}

/// A plain number with three significant digits.
fn figure(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return "0".into();
    }
    let digits = (DIGITS as i32 - 1 - value.abs().log10().floor() as i32).clamp(0, 9) as usize;
    format!("{value:.digits$}")
}

fn length(value: f64, units: &Units) -> String {
    Length(value).show_to(DIGITS, units).to_string()
}

/// What a draft may cost; in a currency where there is one.
fn cost_text(found: &Found, currency: Option<Currency>) -> String {
    let [low, high] = found.cost.band.map(|cost| match currency {
        Some(currency) => money(cost, currency),
        None => figure(cost),
    });
    format!("{low} to {high}")
}

/// An amount in a currency, to its coins.
fn money(amount: f64, currency: Currency) -> String {
    let parts = (amount * MONEY_PARTS).clamp(0.0, LARGEST_PARTS).round() as i64;
    Money::from_parts(parts).rounded(currency).show(currency)
}

/// Parts of one unit of money.
const MONEY_PARTS: f64 = 1e4;
/// As much as is shown.
const LARGEST_PARTS: f64 = 1e15;

fn least_text(found: &Found, aim: Aim, units: &Units, currency: Option<Currency>) -> String {
    match aim {
        Aim::Volume => format!("{}\u{a0}cm³", figure(found.least(aim) * 1e6)),
        Aim::Mass => Mass(found.mass).show(units).to_string(),
        Aim::Cost => cost_text(found, currency),
        Aim::Height => length(found.least(aim), units),
        Aim::Stray => quantity::FluxDensity(found.least(aim)).show(units).to_string(),
    }
}

fn sizes(found: &Found, units: &Units) -> Vec<SizeView> {
    found
        .draft
        .sizes
        .iter()
        .map(|size| SizeView {
            what: size.what.into(),
            size: length(size.value, units),
        })
        .collect()
}

/// What a find does: its value, and for an even field its least and largest.
fn does(read: &Read, found: &Found, units: &Units) -> String {
    let goal = &read.wish.goal;
    match goal {
        Goal::Even { field, .. } => {
            let confirmed = found.confirmed.filter(|confirmed| confirmed.value.is_some());
            let [low, high] = confirmed.map_or(found.figures.spread, |confirmed| confirmed.spread);
            let show = |share: f64| amount(goal, share * field, units);
            format!("{} to {}", show(low), show(high))
        }
        _ => amount(goal, found.value(), units),
    }
}

fn basis(found: &Found) -> &'static str {
    let way = found.confirmed.map_or(Way::FirstOrder, |confirmed| confirmed.way);
    words::basis(way)
}

fn draft(told: &Told, shown: &Shown, units: &Units, currency: Option<Currency>) -> DraftView {
    let (read, found) = (&told.read, &shown.found);
    let standard = shown.standard.as_ref().map(|standard| {
        let more = 100.0 * (standard.mass / found.mass - 1.0);
        StandardView {
            sizes: sizes(standard, units),
            value: does(read, standard, units),
            costs: words::rounding(&told.series, more, standard.keeps),
        }
    });
    DraftView {
        family: found.draft.family,
        name: words::family(found.draft.family).into(),
        keeps: found.keeps,
        in_front: found.in_front,
        value: does(read, found, units),
        basis: basis(found).into(),
        sizes: sizes(found, units),
        least: read
            .wish
            .aims
            .iter()
            .map(|&aim| least_text(found, aim, units, currency))
            .collect(),
        mass: Mass(found.mass).show(units).to_string(),
        cost: cost_text(found, currency),
        strain: words::strain(found.figures.strain),
        standard,
        making: joining::care(found.draft.family),
        outlines: outline::outlines(&found.draft),
    }
}

/// The wish as it was read, in a sentence.
fn read_text(read: &Read, units: &Units) -> String {
    let wish = &read.wish;
    let goal = &wish.goal;
    let wanted = amount(goal, goal.wanted(), units);
    let at = |distance: f64| {
        if distance > 0.0 {
            format!("{} in front of the face", length(distance, units))
        } else {
            "at the face".into()
        }
    };
    let over = |spot: f64| {
        if spot > 0.0 {
            format!(" over {}", length(spot, units))
        } else {
            String::new()
        }
    };
    let what = match goal {
        Goal::Reach { distance, spot, .. } => format!("Reach {wanted} {}{}", at(*distance), over(*spot)),
        Goal::Hold { gap, plate, .. } => {
            let steel = plate.map_or("thick steel".into(), |t| format!("{} of steel", length(t, units)));
            let gap = if *gap > 0.0 {
                format!("across {}", length(*gap, units))
            } else {
                "in contact".into()
            };
            format!("Hold {wanted} on {steel} {gap}")
        }
        Goal::Even {
            distance,
            area,
            tolerance,
            ..
        } => format!(
            "Keep {wanted} over {} within {}\u{a0}%, {} from the nearest magnet",
            words::across(area, &|l| length(l, units)),
            figure(100.0 * tolerance),
            length(*distance, units)
        ),
        Goal::Gap { gap, spot, .. } => {
            format!(
                "Reach {wanted} in the middle of a gap of {}{}",
                length(*gap, units),
                over(*spot)
            )
        }
        Goal::Turn { gap, .. } => format!("Turn {wanted} across {}", length(*gap, units)),
    };
    let filled = if wish.space.filled { ", as wide as that" } else { "" };
    format!(
        "{what}, in a space of {} and {} high{filled}, of {} at {}.",
        words::across(&wish.space.across, &|l| length(l, units)),
        length(wish.space.height, units),
        wish.stuff.name,
        quantity::Temperature(read.celsius + ICE_POINT).show(units)
    )
}

/// 0 °C, K.
const ICE_POINT: f64 = 273.15;

fn assumed_text(assumed: &Assumed, units: &Units) -> String {
    match assumed {
        Assumed::Height(height) => format!("a space {} high", length(*height, units)),
        Assumed::Grade(name) => format!("grade {name}"),
        Assumed::Tolerance(share) => format!("within {}\u{a0}%", figure(100.0 * share)),
        Assumed::Spot(spot) => format!("the mean over {} at the face", length(*spot, units)),
        Assumed::AtTheFace => "at the face".into(),
        Assumed::ThickSteel => "thick steel".into(),
        Assumed::Lot(lot) => format!("a lot of {lot}"),
    }
}

fn lead(told: &Told, units: &Units, currency: Option<Currency>) -> String {
    let read = &told.read;
    let Some(best) = told.drafts.first().map(|shown| &shown.found) else {
        return words::NOTHING.into();
    };
    let name = words::family(best.draft.family);
    let value = does(read, best, units);
    let aim = read.wish.aims.first().copied().unwrap_or(Aim::Mass);
    if best.keeps {
        let in_front = told.drafts.iter().filter(|shown| shown.found.in_front).count();
        let others = words::front(in_front);
        format!(
            "With the least {}: {name}, {value}, {}.{others}",
            words::aim(aim),
            least_text(best, aim, units, currency)
        )
    } else {
        let wanted = amount(&read.wish.goal, read.wish.goal.wanted(), units);
        format!("None that was found does it. The nearest, {name}, gives {value}; {wanted} is wished for.")
    }
}

fn limit(told: &Told, units: &Units) -> String {
    let goal = &told.read.wish.goal;
    let Some(limit) = told.limit else {
        return words::no_limit(goal).into();
    };
    let with_steel = told
        .drafts
        .iter()
        .any(|shown| shown.found.draft.family.has_steel())
        .then_some(told.steel_limit)
        .flatten();
    words::limit(
        &told.read.wish.stuff.name,
        &amount(goal, limit, units),
        with_steel.map(|limit| amount(goal, limit, units)).as_deref(),
        limit < goal.wanted(),
    )
}

/// What is told of a wish and of the shelf that was looked along, in the reader's units and the currency of its prices.
#[must_use]
pub fn view(told: &Told, shelf: &Shelf, units: &Units, shop: Currency) -> DesignView {
    // Invented costs are in no currency.
    let currency = (told.fitted_to > 0).then_some(shop);
    let refine = match told.effort {
        Effort::First => Some(words::REFINE.to_owned()),
        Effort::Refined => None,
    };
    DesignView {
        read: read_text(&told.read, units),
        assumed: told.read.assumed.iter().map(|one| assumed_text(one, units)).collect(),
        lead: lead(told, units, currency),
        limit: limit(told, units),
        refine,
        aims: told.read.wish.aims.iter().map(|&aim| words::aim(aim).into()).collect(),
        stock: stock::view(told, shelf, units, shop),
        drafts: told
            .drafts
            .iter()
            .map(|shown| draft(told, shown, units, currency))
            .collect(),
        notes: words::notes(told.fitted_to, told.read.wish.lot, joining::source()),
    }
}

#[cfg(test)]
mod tests;
