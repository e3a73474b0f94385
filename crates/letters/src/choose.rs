//! The reply to a question: one to three builds of its answer, what they do, what was assumed, what to mind and what to ask.

use advice::answer::{Answer, Assumed, Candidate, Predicted, Verdict};
use advice::goods::StatedOffer;
use advice::offers::{self, Offer};
use advice::question::{Direction, Need};
use advice::sentence;
use advice::view::answer::{AnswerView, CandidateView};
use advice::view::cautions::Caution;
use advice::view::goods::StatedView;
use advice::view::text::{Reader, capital, count, percent, plain};
use quantity::{Length, Load, Mass, Quantity, STANDARD_GRAVITY, Units};

use crate::letter::{Block, Letter, MOST_WORDS};
use crate::messages::{Filling, Messages};

/// The most builds of a message.
const MOST_OFFERS: usize = 3;
/// The most cautions of a message.
const MOST_CAUTIONS: usize = 2;
/// The most questions back.
const MOST_ASKS: usize = 2;
/// A question in words is said again where it has no more than these.
const SHORT_QUESTION: usize = 40;

/// Who writes: the lines below a message.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sender {
    /// The shop's name and how it is reached, a line each.
    pub lines: Vec<String>,
}

/// The reply to a question, from its answer as it is shown in those units.
pub fn letter(answer: &Answer, view: &AnswerView, units: &Units, messages: &Messages, sender: &Sender) -> Letter {
    let say = Words {
        answer,
        view,
        messages,
        reader: Reader {
            units: *units,
            currency: answer.shelf.currency,
        },
    };
    let mut parts = say.parts();
    let subject = messages.text("subject-choose", &[("question", (&short_subject(&view.words)).into())]);
    loop {
        let letter = Letter::new(subject.clone(), &parts.blocks(messages, sender));
        if letter.words <= MOST_WORDS || !parts.shorten() {
            return letter;
        }
    }
}

/// What is said of one build of an answer, in what the customer speaks of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    /// The shop's codes of magnet and part.
    pub codes: String,
    /// What it does, with its band.
    pub does: String,
    /// The band by itself.
    pub range: String,
    /// What is needed.
    pub needed: String,
}

/// What is said of the candidate at that place of an answer; `None` where there is none.
pub fn said(answer: &Answer, view: &AnswerView, index: usize, units: &Units, messages: &Messages) -> Option<Said> {
    let say = Words {
        answer,
        view,
        messages,
        reader: Reader {
            units: *units,
            currency: answer.shelf.currency,
        },
    };
    let candidate = answer.candidates.get(index)?;
    Some(Said {
        codes: codes(candidate),
        does: say.does(candidate),
        range: say.range(candidate.band.low, candidate.band.high),
        needed: say.needed(),
    })
}

/// The start of a question, for a subject line.
fn short_subject(words: &str) -> String {
    let start = words.split(',').next().unwrap_or(words);
    start.chars().take(100).collect()
}

/// What a message is made of, before it is cut to its length.
#[derive(Default)]
struct Parts {
    opening: String,
    opening_short: String,
    heading: String,
    offers: Vec<String>,
    heading_other: String,
    others: Vec<String>,
    stated: Option<String>,
    needed: Option<String>,
    assumed: Option<String>,
    cautions: Vec<String>,
    asks: Vec<String>,
}

impl Parts {
    fn blocks(&self, messages: &Messages, sender: &Sender) -> Vec<Block> {
        let lines = |lines: Vec<String>| Block::Lines(lines);
        let one = |text: &str| Block::Lines(Some(text.to_owned()).filter(|t| !t.is_empty()).into_iter().collect());
        let known: Vec<String> = self.needed.iter().chain(&self.assumed).cloned().collect();
        let known: Vec<String> = Some(known.join(" ")).filter(|t| !t.is_empty()).into_iter().collect();
        let mut closing = vec![messages.text("closing", &[])];
        closing.extend(sender.lines.iter().cloned());
        vec![
            one(&messages.text("greeting", &[])),
            one(&self.opening),
            one(&self.heading),
            Block::List(self.offers.clone()),
            one(&self.heading_other),
            Block::List(self.others.clone()),
            lines(self.stated.iter().cloned().collect()),
            lines(known),
            lines(self.cautions.clone()),
            lines(
                Some(self.asks.join(" "))
                    .filter(|t| !t.is_empty())
                    .into_iter()
                    .collect(),
            ),
            lines(closing),
        ]
    }

    /// Leaves out what can be spared first; whether there was something.
    fn shorten(&mut self) -> bool {
        if self.offers.len() > 2 || self.others.len() > 2 {
            self.offers.truncate(2);
            self.others.truncate(2);
        } else if self.asks.len() > 1 {
            self.asks.truncate(1);
        } else if self.opening != self.opening_short {
            self.opening.clone_from(&self.opening_short);
        } else if self.cautions.len() > 1 {
            self.cautions.truncate(1);
        } else if self.assumed.is_some() {
            self.assumed = None;
        } else if self.stated.is_some() {
            self.stated = None;
        } else if self.offers.len() > 1 || self.others.len() > 1 {
            self.offers.truncate(1);
            self.others.truncate(1);
        } else {
            return false;
        }
        true
    }
}

/// The words about one answer.
struct Words<'a> {
    answer: &'a Answer,
    view: &'a AnswerView,
    messages: &'a Messages,
    reader: Reader,
}

impl Words<'_> {
    fn text(&self, name: &str, values: &[(&str, Filling)]) -> String {
        self.messages.text(name, values)
    }

    fn parts(&self) -> Parts {
        let opening_short = self.text("opening-short", &[]);
        let words = self.view.words.trim_end_matches('.');
        let opening = if crate::letter::count_words(words) <= SHORT_QUESTION {
            self.text("opening", &[("question", words.into())])
        } else {
            opening_short.clone()
        };
        let mut parts = Parts {
            opening,
            opening_short,
            cautions: cautions(&self.view.cautions, self.messages),
            ..Parts::default()
        };
        match self.answer.first() {
            Some(first) if first.verdict == Verdict::Sure => {
                parts.offers = self.offers(first);
                parts.heading = self.text("suggest", &[("count", parts.offers.len().into())]);
            }
            Some(first) => {
                let chance = percent(first.chance);
                let offer = self.offer(first, None).unwrap_or_default();
                let chance = self.text("would-be", &[("chance", (&chance).into())]);
                parts.heading = self.text("nearest", &[]);
                parts.offers = vec![format!("{offer} {chance}")];
            }
            None => parts.heading = self.text("nothing", &[]),
        }
        if let Some(short) = &self.view.shortfall {
            parts.others = short
                .would_do
                .iter()
                .take(MOST_OFFERS)
                .map(|way| capital(&plain(way)))
                .collect();
            parts.heading_other = match parts.others.is_empty() {
                true => String::new(),
                false => self.text("would-do", &[]),
            };
        }
        let stated = self.answer.stated.first().zip(self.view.stated.first());
        parts.stated = stated.map(|(offer, goods)| self.stated(offer, goods));
        parts.needed = Some(self.needed());
        // The factor stands with what is needed.
        let said = |a: &Assumed| !matches!(a, Assumed::SafetyFactor { .. } | Assumed::Placement { .. });
        let assumed: Vec<String> = self
            .answer
            .assumed
            .iter()
            .zip(&self.view.assumed)
            .filter(|(a, _)| said(a))
            .map(|(_, words)| plain(words))
            .collect();
        if !assumed.is_empty() {
            parts.assumed = Some(self.text("assumed", &[("what", (&assumed.join("; ")).into())]));
        }
        parts.asks = self.asks();
        parts
    }

    /// The build that the answer leads with, then those that are best in something.
    fn offers(&self, first: &Candidate) -> Vec<String> {
        let named = offers::offers(self.answer);
        let shown = self.view.offers.as_ref().map_or(&[][..], |o| &o.named);
        let is_first =
            |offer: &Offer| offer.by == self.answer.question.need.shared_by() && std::ptr::eq(offer.candidate, first);
        let mut out: Vec<String> = self.offer(first, None).into_iter().collect();
        for (offer, shown) in named.iter().zip(shown) {
            if out.len() == MOST_OFFERS {
                break;
            }
            if is_first(offer) {
                continue;
            }
            if offer.by > 1 && offer.by != self.answer.question.need.shared_by() {
                out.push(self.shared(offer, &shown.best, &shown.choice.title));
            } else {
                out.extend(self.offer(offer.candidate, Some(&shown.best)));
            }
        }
        out
    }

    fn shown(&self, candidate: &Candidate) -> Option<&CandidateView> {
        let index = self.answer.candidates.iter().position(|c| std::ptr::eq(c, candidate))?;
        self.view.candidates.iter().find(|shown| shown.index == index)
    }

    fn offer(&self, candidate: &Candidate, best: Option<&str>) -> Option<String> {
        let shown = self.shown(candidate)?;
        let does = self.does(candidate);
        let title = capital(&shown.title);
        let cost = self.cost(candidate, self.answer.question.need.shared_by(), &shown.stock);
        Some(self.text(
            "offer",
            &[
                ("best", best.unwrap_or("none").into()),
                ("title", if best.is_some() { &shown.title } else { &title }.into()),
                ("code", (&codes(candidate)).into()),
                ("does", (&does).into()),
                ("cost", (&cost).into()),
            ],
        ))
    }

    /// Goods whose stated pull is enough.
    fn stated(&self, offer: &StatedOffer, goods: &StatedView) -> String {
        let no_price = self.text("stated-no-price", &[]);
        let cost = goods.cost_each.as_ref().unwrap_or(&no_price);
        let said = self.text(
            "stated",
            &[
                ("title", (&goods.title).into()),
                ("code", (&goods.code).into()),
                ("pull", (&self.amount(offer.pull)).into()),
                ("need", (&self.amount(offer.need)).into()),
                ("cost", cost.into()),
            ],
        );
        match goods.takes_less {
            true => format!("{said} {}", self.text("stated-less", &[])),
            false => said,
        }
    }

    /// Several that share one load.
    fn shared(&self, offer: &Offer, best: &str, title: &str) -> String {
        let candidate = offer.candidate;
        let does = self.text(
            "does-shared",
            &[
                ("low", (&self.low(offer.low)).into()),
                ("need", (&self.amount(offer.need)).into()),
            ],
        );
        let stock = candidate.item.stock.map_or_else(String::new, |n| {
            let short = n < candidate.pieces_bought;
            format!("{}{} in stock", if short { "only " } else { "" }, count(n))
        });
        let cost = self.cost(candidate, offer.by, &stock);
        self.text(
            "offer",
            &[
                ("best", best.into()),
                ("title", title.into()),
                ("code", (&codes(candidate)).into()),
                ("does", (&does).into()),
                ("cost", (&cost).into()),
            ],
        )
    }

    /// What it costs where so many share a load.
    fn cost(&self, candidate: &Candidate, shared: u32, stock: &str) -> String {
        let bought = candidate.pieces_bought / candidate.build.total_pieces().max(1);
        let pieces = match shared {
            1 => u64::from(self.answer.question.pieces),
            _ => bought,
        };
        let cost = match (candidate.cost_total, candidate.cost_each) {
            (Some(total), Some(each)) => self.text(
                "cost",
                &[
                    (
                        "total",
                        (&self.reader.money(total.rounded(self.reader.currency))).into(),
                    ),
                    ("each", (&self.reader.money(each)).into()),
                    ("pieces", (&count(pieces)).into()),
                    ("shared", (shared as usize).into()),
                    ("stock", stock.into()),
                ],
            ),
            _ => self.text("no-price", &[("stock", stock.into())]),
        };
        cost.replace(", .", ".")
    }

    fn does(&self, candidate: &Candidate) -> String {
        let need = &self.answer.question.need;
        let gap = self.reader.text::<Length>(need.distance());
        let band = &candidate.band;
        self.text(
            "does",
            &[
                ("verb", sentence::verb(need).into()),
                ("value", (&self.amount(band.mid)).into()),
                ("gap", (&gap).into()),
                ("range", (&self.range(band.low, band.high)).into()),
            ],
        )
    }

    /// Whether the customer speaks of a mass where the answer speaks of a force.
    fn in_mass(&self) -> bool {
        let load = match &self.answer.question.need {
            Need::Hold { load, .. } => load,
            Need::PullTogether { force, .. } | Need::PushApart { force, .. } => force,
            _ => return false,
        };
        self.answer.need.quantity == Predicted::Force && matches!(load, Load::Mass(_))
    }

    /// A value in what the customer speaks of.
    fn amount(&self, si: f64) -> String {
        if self.in_mass() {
            self.reader.text::<Mass>(si / STANDARD_GRAVITY)
        } else {
            self.reader.predicted(self.answer.need.quantity, si).text
        }
    }

    fn range(&self, low: f64, high: f64) -> String {
        if self.in_mass() {
            let [low, high] = [low, high].map(|si| Mass(si / STANDARD_GRAVITY));
            Mass::show_range(low, high, &self.reader.units).to_string()
        } else {
            self.reader.range(self.answer.need.quantity, low, high)
        }
    }

    /// The low end of a band, rounded down.
    fn low(&self, si: f64) -> String {
        if self.in_mass() {
            let [low, _] = self
                .reader
                .ends::<Mass>(si / STANDARD_GRAVITY, si / STANDARD_GRAVITY * 1.5);
            low.text
        } else {
            let [low, _] = self.reader.predicted_ends(self.answer.need.quantity, si, si * 1.5);
            low.text
        }
    }

    fn needed(&self) -> String {
        let need = &self.answer.question.need;
        let amount = self.amount(self.answer.need.at_least);
        let Need::Hold {
            load, safety_factor, ..
        } = need
        else {
            return self.text(
                "needed",
                &[
                    ("verb", sentence::verb(need).into()),
                    ("need", (&amount).into()),
                    ("load", "".into()),
                    ("factor", "".into()),
                ],
            );
        };
        let assumed = self.answer.assumed.iter().find_map(|a| match a {
            Assumed::SafetyFactor { factor, .. } => Some(*factor),
            _ => None,
        });
        let factor = safety_factor.or(assumed).unwrap_or(1.0).to_string();
        let load = load.show(&self.reader.units).to_string();
        let shared = need.shared_by();
        let values = [
            ("verb", Filling::from("hold")),
            ("need", (&amount).into()),
            ("load", (&load).into()),
            ("factor", (&factor).into()),
            ("shared", (shared as usize).into()),
        ];
        self.text(if shared > 1 { "needed-shared" } else { "needed" }, &values)
    }

    fn asks(&self) -> Vec<String> {
        let mut asks: Vec<&str> = Vec::new();
        let has = |wanted: fn(&Assumed) -> bool| self.answer.assumed.iter().any(wanted);
        let sure = self.answer.first().is_some_and(|c| c.verdict == Verdict::Sure);
        if !sure {
            asks.push("which-limit");
        }
        if let Need::Hold { layers, direction, .. } = &self.answer.question.need {
            if has(|a| matches!(a, Assumed::ThickSteel)) {
                asks.push("ask-steel");
            }
            if *direction == Direction::Sideways && has(|a| matches!(a, Assumed::Friction { .. })) {
                asks.push("ask-friction");
            }
            if layers.is_empty() {
                asks.push("ask-layers");
            }
        }
        if self.answer.question.pieces == 1 {
            asks.push("ask-pieces");
        }
        if has(|a| matches!(a, Assumed::RoomTemperature)) {
            asks.push("ask-warmest");
        }
        if sure {
            asks.push("try-one");
        }
        asks.truncate(MOST_ASKS);
        asks.into_iter().map(|name| self.text(name, &[])).collect()
    }
}

fn codes(candidate: &Candidate) -> String {
    match &candidate.build.part {
        Some(part) => format!("{} + {}", candidate.item.code, part.code),
        None => candidate.item.code.clone(),
    }
}

/// The one or two cautions that matter most, which stand first, with their rules.
pub(crate) fn cautions(all: &[Caution], messages: &Messages) -> Vec<String> {
    all.iter()
        .take(MOST_CAUTIONS)
        .map(|caution| {
            messages.text(
                "mind",
                &[("what", (&caution.short).into()), ("rule", (&caution.rule).into())],
            )
        })
        .collect()
}

#[cfg(test)]
mod tests;
