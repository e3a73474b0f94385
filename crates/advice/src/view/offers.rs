//! The builds that an adviser names first, in words and figures; and one beside several.

use serde::Serialize;
use utoipa::ToSchema;

use crate::answer::{Answer, Candidate};
use crate::offers::{self, DEAREST, Merit, Offer};
use crate::view::part::on_magnet;
use crate::view::silhouette::{Silhouette, silhouette};
use crate::view::text::{Figure, Reader, capital, percent, shape_word, small_number};

/// A build that is named for what it is best in.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct OfferView {
    /// What it is best in: `Cheapest`, `Simplest and safest`.
    pub best: String,
    /// Why, in a few words.
    pub why: String,
    /// The build that is bought, once for each load that is held.
    pub choice: ChoiceView,
}

/// One build, or several that share a load, for one load held.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct ChoiceView {
    /// How many share the load.
    pub by: u32,
    /// The shop's code.
    pub code: String,
    /// `four discs, 15 × 5 mm, N42`.
    pub title: String,
    /// Outline of one, to scale.
    pub silhouette: Silhouette,
    /// What one must reach.
    pub need: Figure,
    /// The low end of what one reaches in its place.
    pub low: Figure,
    /// Price of all that share the load.
    pub cost_each: Option<String>,
    /// Price of the whole order.
    pub cost_total: Option<String>,
    /// Its place among the candidates; absent for several in place of one.
    pub index: Option<usize>,
}

/// The builds that are named, and for a load that may be shared one beside several.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct OffersView {
    /// At most four.
    pub named: Vec<OfferView>,
    /// One, two, three and more in place of one, the cheapest of each number; empty where that is no choice.
    pub sharing: Vec<ChoiceView>,
    /// What holds for several side by side.
    pub sharing_note: Option<String>,
}

/// What of an answer is named first; `None` where nothing surely does.
pub fn view(answer: &Answer, reader: &Reader) -> Option<OffersView> {
    let offers = offers::offers(answer);
    let cheapest = offers.iter().find(|o| o.merits.contains(&Merit::Cheapest))?;
    let one = offers::alone(answer)?;
    let choice = |offer: &Offer| choice(answer, offer, reader);
    let lost = answer.shared.iter().map(|s| 1.0 - s.low / s.candidate.band.low);
    let lost = lost.fold(0.0, f64::max);
    let mut sharing = Vec::new();
    if !answer.shared.is_empty() {
        sharing.push(choice(&one));
        sharing.extend(answer.shared.iter().map(|s| choice(&Offer::of_shared(s))));
    }
    Some(OffersView {
        named: offers
            .iter()
            .map(|offer| OfferView {
                best: merit_words(&offer.merits),
                why: why(offer, cheapest, reader),
                choice: choice(offer),
            })
            .collect(),
        sharing_note: (!sharing.is_empty()).then(|| {
            format!(
                "Several are counted {} weaker, as like poles that touch; a width apart they lose next to nothing. The load must rest evenly on all.",
                percent(lost)
            )
        }),
        sharing,
    })
}

fn merit_words(merits: &[Merit]) -> String {
    let words: Vec<&str> = merits
        .iter()
        .map(|merit| match merit {
            Merit::Cheapest => "cheapest",
            Merit::Simplest => "simplest",
            Merit::Smallest => "smallest",
            Merit::Safest => "safest",
        })
        .collect();
    capital(&match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => words.concat(),
    })
}

fn why(offer: &Offer, cheapest: &Offer, reader: &Reader) -> String {
    let c = offer.candidate;
    let of = |merit: &Merit| match merit {
        Merit::Cheapest if offer.by > 1 => format!("{} share the load", small_number(offer.by)),
        Merit::Cheapest => "the least money in all".into(),
        Merit::Simplest if c.build.pieces == 1 => "one piece to fit".into(),
        Merit::Simplest => format!("the fewest pieces: {}", small_number(c.build.pieces)),
        Merit::Smallest => format!("{} wide and {} high", reader.about(c.width), reader.about(c.height)),
        Merit::Safest if offer.candidate.cost_total == cheapest.candidate.cost_total => "the largest reserve".into(),
        Merit::Safest => format!("the largest reserve for at most {DEAREST} times the price"),
    };
    capital(&offer.merits.iter().map(of).collect::<Vec<_>>().join("; "))
}

fn choice(answer: &Answer, offer: &Offer, reader: &Reader) -> ChoiceView {
    let c = offer.candidate;
    let quantity = answer.need.quantity;
    // Beside others the whole band is lower.
    let high = c.band.high * offer.low / c.band.low;
    let [low, _] = reader.predicted_ends(quantity, offer.low, high);
    let place = |c: &Candidate| answer.candidates.iter().position(|other| std::ptr::eq(other, c));
    ChoiceView {
        by: offer.by,
        code: c.item.code.clone(),
        title: title(offer, reader),
        silhouette: silhouette(c, &answer.question.need),
        need: reader.predicted(quantity, offer.need),
        low,
        cost_each: c.cost_each.map(|m| reader.money(m)),
        cost_total: c.cost_total.map(|m| reader.money(m.rounded(reader.currency))),
        index: place(c),
    }
}

fn title(offer: &Offer, reader: &Reader) -> String {
    let (item, build) = (&offer.candidate.item, &offer.candidate.build);
    let one = reader.title(item, build.stack);
    let part = build.part.as_ref();
    let part = part.map_or_else(String::new, |part| format!(" {}", on_magnet(part, &reader.units)));
    if offer.by == 1 {
        format!("{one}{part}")
    } else if build.total_pieces() == 1 {
        let (number, kind) = (small_number(offer.by), shape_word(&item.shape, true));
        format!("{number} {kind}, {}{part}", reader.size_and_grade(item))
    } else {
        format!("{} times {one}{part}", small_number(offer.by))
    }
}
