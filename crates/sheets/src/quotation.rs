//! A quotation: builds of one or more answers with prices by quantity, frozen when it is made.

mod page;
mod workbook;

use advice::Item;
use advice::answer::{Answer, Candidate};
use advice::rules::FLIGHT_LIMIT;
use advice::view::answer::AnswerView;
use advice::view::text::plain;
use letters::{Messages, choose};
use quantity::{Currency, Money, Units};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

pub use page::paper;
pub use workbook::{WorkbookError, xlsx};

/// The most lines of a quotation.
pub const MOST_LINES: usize = 40;
/// The most prices by quantity of a line.
const MOST_BREAKS: usize = 3;
/// The most cautions of a line.
const MOST_CAUTIONS: usize = 2;

/// What is offered to a customer, as it was offered.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Quotation {
    /// Its number, such as `Q-2026-0007`.
    pub number: String,
    /// Which issue of it, from 1.
    pub issue: u32,
    /// For whom.
    pub customer: String,
    /// The customer's reference.
    pub reference: String,
    /// What else is said.
    pub note: String,
    /// The day it was made, `2026-05-21`.
    pub date: String,
    /// The last day on which it holds.
    pub valid_until: String,
    /// What the prices are in.
    #[schema(value_type = String)]
    pub currency: Currency,
    /// The units of its texts.
    #[schema(value_type = String)]
    pub units: Units,
    /// Terms of the shop as they were.
    pub terms: String,
    /// Revision of the shelf that it was made on.
    pub revision: u64,
    /// The lines.
    pub lines: Vec<Line>,
}

/// A build that is offered.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Line {
    /// The answer that it is from.
    pub answer: String,
    /// Its place among the candidates of that answer.
    pub candidate: usize,
    /// The shop's codes.
    pub codes: String,
    /// `one disc, 15 × 5 mm, N42`.
    pub title: String,
    /// The request in words.
    pub asked: String,
    /// What it does, with its band.
    pub does: String,
    /// The band in words.
    pub range: String,
    /// What is needed, in words.
    pub needed: String,
    /// Low end, middle and high end of the band, SI.
    pub band: [f64; 3],
    /// What is needed, SI.
    pub need: f64,
    /// How many builds are offered.
    pub quantity: u64,
    /// Prices by quantity; the one offered is among them.
    pub breaks: Vec<Break>,
    /// Mass of all, kg.
    pub mass_kg: f64,
    /// What is on hand, in words.
    pub stock: String,
    /// What was assumed.
    pub assumed: Vec<String>,
    /// What to mind, each with its rule.
    pub cautions: Vec<[String; 2]>,
    /// Whether the line by itself may be more than an ordinary parcel by air.
    pub magnetised_by_air: bool,
    /// The item as it stood on the shelf.
    #[schema(value_type = serde_json::Value)]
    pub item: Item,
    /// Pieces stacked in one build.
    pub stacked: u32,
}

/// A price at a quantity.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Break {
    /// How many builds.
    pub quantity: u64,
    /// Price of one build; absent where the shelf lists none.
    #[schema(value_type = Option<String>)]
    pub each: Option<Money>,
    /// Price of all of them, with the least order where that is more.
    #[schema(value_type = Option<String>)]
    pub total: Option<Money>,
}

impl Line {
    /// A line of the candidate at that place of a kept answer, for so many builds or as many as were asked; `None` where there
    /// is no such candidate.
    pub fn of(
        (id, answer, view): (&str, &Answer, &AnswerView),
        index: usize,
        quantity: Option<u64>,
        units: &Units,
        messages: &Messages,
    ) -> Option<Self> {
        let candidate = answer.candidates.get(index)?;
        let shown = view.candidates.iter().find(|c| c.index == index)?;
        let said = choose::said(answer, view, index, units, messages)?;
        let quantity = quantity.unwrap_or_else(|| u64::from(answer.question.builds())).max(1);
        let [_, most] = candidate.hazards.order_range_at_2_1_m;
        // The field of an order goes with the number in it.
        let more = quantity as f64 / f64::from(answer.question.builds().max(1));
        Some(Self {
            answer: id.into(),
            candidate: index,
            codes: said.codes,
            title: shown.title.clone(),
            asked: view.words.clone(),
            does: said.does,
            range: said.range,
            needed: said.needed,
            band: [candidate.band.low, candidate.band.mid, candidate.band.high],
            need: answer.need.of_mass(candidate.mass),
            quantity,
            breaks: quantities(candidate, quantity)
                .into_iter()
                .map(|n| price(candidate, n))
                .collect(),
            mass_kg: candidate.mass * quantity as f64,
            stock: shown.stock.clone(),
            assumed: view.assumed.iter().map(|words| plain(words)).collect(),
            cautions: shown
                .cautions
                .iter()
                .take(MOST_CAUTIONS)
                .map(|caution| [caution.short.clone(), caution.rule.clone()])
                .collect(),
            magnetised_by_air: most * more.max(1.0) > FLIGHT_LIMIT,
            item: candidate.item.clone(),
            stacked: candidate.build.pieces,
        })
    }

    /// The price at the quantity that is offered.
    pub fn offered(&self) -> Option<&Break> {
        self.breaks.iter().find(|b| b.quantity == self.quantity)
    }
}

impl Quotation {
    /// The price of all lines that have one, and how many have none.
    pub fn total(&self) -> (Option<Money>, usize) {
        let mut total = Some(Money::default());
        let mut without = 0;
        for line in &self.lines {
            match line.offered().and_then(|b| b.total) {
                Some(amount) => {
                    let amount = amount.rounded(self.currency);
                    total = total.and_then(|sum| sum.plus(amount).ok());
                }
                None => without += 1,
            }
        }
        (total, without)
    }

    /// Mass of all lines, kg.
    pub fn mass_kg(&self) -> f64 {
        self.lines.iter().map(|line| line.mass_kg).sum()
    }
}

/// The quantities that are priced: the one offered, and the next at which the magnets cost less.
fn quantities(candidate: &Candidate, offered: u64) -> Vec<u64> {
    let in_one = candidate.build.total_pieces().max(1);
    let mut out = vec![offered];
    for step in &candidate.item.prices {
        let builds = step.from.div_ceil(in_one);
        if builds > offered && out.len() < MOST_BREAKS {
            out.push(builds);
        }
    }
    out.sort_unstable();
    out.dedup();
    out
}

/// What so many builds cost.
fn price(candidate: &Candidate, quantity: u64) -> Break {
    let in_one = candidate.build.total_pieces().max(1);
    let none = Break {
        quantity,
        each: None,
        total: None,
    };
    let Some(pieces) = in_one.checked_mul(quantity) else {
        return none;
    };
    let magnets = |least: u64| {
        let bought = pieces.max(least);
        let each = candidate.item.price_each(bought)?;
        Some((each.times(in_one).ok()?, each.times(bought).ok()?))
    };
    let Some((mut each, mut total)) = magnets(candidate.item.least_order()) else {
        return none;
    };
    if let Some(part) = &candidate.build.part {
        let parts_in_one = if candidate.build.pair { 2 } else { 1 };
        let parts = quantity.saturating_mul(parts_in_one).max(part.least_order());
        let of_part = part.price_each(parts).and_then(|p| {
            let each = each.plus(p.times(parts_in_one).ok()?).ok()?;
            Some((each, total.plus(p.times(parts).ok()?).ok()?))
        });
        let Some(with_part) = of_part else { return none };
        (each, total) = with_part;
    }
    Break {
        quantity,
        each: Some(each),
        total: Some(total),
    }
}
