//! An answer as it is shown, printed and sent: the same for page, command line and interface.

use quantity::{Length, Mass};
use serde::Serialize;
use utoipa::ToSchema;

use crate::answer::{Answer, Candidate, Verdict};
use crate::question::Question;
use crate::sentence::{self, Blank, Segment};
use crate::view::band::{self, ShareView, SwingView};
use crate::view::cautions::{self, Caution};
use crate::view::goods::{self, StatedView};
use crate::view::offers::{self, OffersView};
use crate::view::silhouette::silhouette;
use crate::view::text::{Figure, Reader, Run, Runs, chance_words, count, runs};
use crate::view::with_part::{self, PartView};
use crate::view::wording::Wording;

pub use crate::view::silhouette::{Silhouette, outline};

/// An answer in words and figures for one reader.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct AnswerView {
    /// Revision of the shelf that was searched.
    pub revision: u64,
    /// Version of the program that searched it.
    pub version: String,
    /// The question, quantities in SI.
    pub question: Question,
    /// The question as typed words.
    pub words: String,
    /// The verb.
    pub verb: String,
    /// The question as a sentence with blanks.
    pub sentence: Vec<Segment>,
    /// Blanks that are not in the sentence yet.
    pub more: Vec<Blank>,
    /// What was taken for granted.
    pub assumed: Vec<Vec<Run>>,
    /// The answer in a sentence or three.
    pub lead: Vec<Run>,
    /// Why.
    pub because: Vec<Vec<Run>>,
    /// What widens the band of the first candidate.
    pub widens: Vec<Run>,
    /// The builds that an adviser names first; absent where nothing surely does.
    pub offers: Option<OffersView>,
    /// What a build must reach.
    pub need: NeedView,
    /// What the list of candidates is.
    pub heading: String,
    /// What does, or comes nearest.
    pub candidates: Vec<CandidateView>,
    /// Pots and the like that hold it by the pull that their maker states.
    pub stated: Vec<StatedView>,
    /// What one constraint ruled out.
    pub near_misses: Vec<NearMissView>,
    /// What would do when nothing will.
    pub shortfall: Option<ShortfallView>,
    /// Cautions for the first candidate.
    pub cautions: Vec<Caution>,
    /// How much was looked at.
    pub searched: String,
    /// What comes of steel parts here, in a sentence; absent while they have not been looked for.
    pub with_parts: Option<Vec<Run>>,
}

/// What the build that is put first must reach, its own weight included.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct NeedView {
    /// The least value.
    pub at_least: Figure,
    /// The most allowed further away.
    pub ceiling: Option<Figure>,
    /// In words.
    pub text: String,
}

/// A candidate as shown.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct CandidateView {
    /// Its place in the frozen answer.
    pub index: usize,
    /// The shop's code of the magnet.
    pub code: String,
    /// `one disc, 15 × 5 mm, N42`, and the steel part that it goes with.
    pub title: String,
    /// The steel part; absent for a bare build.
    pub part: Option<PartView>,
    /// Why it stands here.
    pub remark: String,
    /// `sure` or `middle`.
    #[schema(value_type = String)]
    pub verdict: Verdict,
    /// Outline to scale.
    pub silhouette: Silhouette,
    /// Middle of the band.
    pub value: Figure,
    /// Low end.
    pub low: Figure,
    /// High end.
    pub high: Figure,
    /// The band in words.
    pub range: String,
    /// Low end over the need.
    pub margin: String,
    /// Chance that a build does.
    pub chance: String,
    /// Price of one build.
    pub cost_each: Option<String>,
    /// Price of all.
    pub cost_total: Option<String>,
    /// What the total is for.
    pub cost_note: String,
    /// Outer size: `25 mm wide, 5 mm high, 13 g`.
    pub size: String,
    /// Mass of one build.
    pub mass: Figure,
    /// What is on hand.
    pub stock: String,
    /// Whether nothing beats it in cost, size and margin together.
    pub unbeaten: bool,
    /// Why it gives what it gives.
    pub because: Vec<Vec<Run>>,
    /// How its band was found.
    pub method: String,
    /// What widens its band.
    pub shares: Vec<ShareView>,
    /// What each cause does to the value by itself, the widest first.
    pub swings: Vec<SwingView>,
    /// Cautions for it.
    pub cautions: Vec<Caution>,
}

/// A near miss as shown.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct NearMissView {
    /// The shop's code.
    pub code: String,
    /// `one disc, 12 × 6 mm, N42`.
    pub title: String,
    /// What ruled it out.
    pub runs: Vec<Run>,
}

/// What would do.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct ShortfallView {
    /// Ways out.
    pub would_do: Vec<Vec<Run>>,
    /// The limit that physics sets.
    pub ceiling: Option<Vec<Run>>,
}

/// Shows an answer to a reader.
pub fn view(answer: &Answer, units: &quantity::Units) -> AnswerView {
    let reader = Reader {
        units: *units,
        currency: answer.shelf.currency,
    };
    let wording = Wording {
        question: &answer.question,
        need: &answer.need,
        reader,
    };
    let first = answer.first();
    let surely_does = first.is_some_and(|c| c.verdict == Verdict::Sure);
    let field = |si| reader.figure::<quantity::FluxDensity>(si);
    AnswerView {
        revision: answer.shelf.revision,
        version: answer.shelf.version.clone(),
        words: sentence::words(&answer.question, units),
        verb: sentence::verb(&answer.question.need).to_string(),
        sentence: sentence::segments(&answer.question, units, &answer.assumed),
        more: open_blanks(answer, units),
        assumed: answer.assumed.iter().map(|a| wording.assumed(a)).collect(),
        lead: wording.lead(answer),
        because: first.map_or_else(Vec::new, |c| c.because.iter().map(|b| wording.because(b)).collect()),
        widens: first.map_or_else(Runs::new, |c| wording.widens(&c.band)),
        offers: offers::view(answer, &reader),
        need: NeedView {
            at_least: reader.predicted(answer.need.quantity, answer.need.of_mass(first.map_or(0.0, |c| c.mass))),
            ceiling: answer.need.ceiling.map(field),
            text: wording.need_text(&answer.assumed, first),
        },
        heading: wording.heading(answer),
        candidates: answer
            .order()
            .into_iter()
            .map(|k| candidate(answer, &wording, k))
            .collect(),
        stated: goods::stated(answer, &reader),
        near_misses: answer
            .near_misses
            .iter()
            .map(|m| NearMissView {
                code: m.item.code.clone(),
                title: reader.title(&m.item, m.build.stack),
                runs: wording.near_miss(m),
            })
            .collect(),
        // A part may make up for what is bare and falls short.
        shortfall: answer
            .shortfall
            .as_ref()
            .filter(|_| !surely_does)
            .map(|s| ShortfallView {
                would_do: s.would_do.iter().map(|w| wording.would_do(w)).collect(),
                ceiling: wording.ceiling(s),
            }),
        cautions: first.map_or_else(Vec::new, |c| cautions::for_candidate(&answer.question, c, &reader)),
        searched: wording.searched(&answer.searched),
        with_parts: answer.parts_searched.then(|| runs(&with_part::found(answer, &reader))),
        question: answer.question.clone(),
    }
}

/// The blanks that may be added: those that are neither given nor stand in the sentence as assumed.
fn open_blanks(answer: &Answer, units: &quantity::Units) -> Vec<Blank> {
    let shown = sentence::segments(&answer.question, units, &answer.assumed);
    let stands = |path: &str| {
        shown
            .iter()
            .any(|s| matches!(s, Segment::Blank { blank } if blank.path == path))
    };
    sentence::more(&answer.question, units)
        .into_iter()
        .filter(|blank| !stands(&blank.path))
        .collect()
}

fn candidate(answer: &Answer, wording: &Wording, index: usize) -> CandidateView {
    let c = &answer.candidates[index];
    let reader = wording.reader;
    let quantity = answer.need.quantity;
    let [low, high] = reader.predicted_ends(quantity, c.band.low, c.band.high);
    CandidateView {
        index,
        code: c.item.code.clone(),
        title: reader.build(&c.item, &c.build),
        part: with_part::view(answer, c, &reader),
        remark: wording.remark(answer, c),
        verdict: c.verdict,
        silhouette: silhouette(c, &answer.question.need),
        value: reader.predicted(quantity, c.band.mid),
        low,
        high,
        range: wording.range(&c.band),
        margin: wording.margin(&c.band, c.mass),
        chance: format!("{} of pieces", chance_words(c.chance)),
        cost_each: c.cost_each.map(|m| reader.money(m)),
        cost_total: c.cost_total.map(|m| reader.money(m.rounded(reader.currency))),
        cost_note: cost_note(answer, c),
        size: format!(
            "{} wide, {} high, {}",
            reader.figure::<Length>(c.width).text,
            reader.figure::<Length>(c.height).text,
            reader.text::<Mass>(c.mass)
        ),
        mass: reader.figure::<Mass>(c.mass),
        stock: stock_words(c),
        unbeaten: c.unbeaten,
        because: c.because.iter().map(|b| wording.because(b)).collect(),
        method: band::method_words(c.band.method).into(),
        shares: band::shares(quantity.kind(), &c.band),
        swings: band::swings(quantity.kind(), &c.band, &reader),
        cautions: cautions::for_candidate(&answer.question, c, &reader),
    }
}

fn cost_note(answer: &Answer, c: &Candidate) -> String {
    if let Some(with_part) = &c.with_part {
        return format!(
            "for {} magnets and {} parts",
            count(c.pieces_bought),
            count(with_part.parts_bought)
        );
    }
    let wanted = c.build.total_pieces() * u64::from(answer.question.builds());
    if c.pieces_bought > wanted {
        format!("for {}, the least that is sold", count(c.pieces_bought))
    } else if wanted != u64::from(answer.question.pieces) {
        format!("for {} pieces", count(wanted))
    } else {
        format!("for {}", count(answer.question.pieces.into()))
    }
}

fn stock_words(c: &Candidate) -> String {
    let magnets = stock(c.item.stock, c.pieces_bought);
    match (&c.build.part, &c.with_part) {
        (Some(part), Some(with_part)) => {
            format!(
                "magnets: {magnets}; parts: {}",
                stock(part.stock, with_part.parts_bought)
            )
        }
        _ => magnets,
    }
}

/// What is on hand of what is needed.
fn stock(has: Option<u64>, needs: u64) -> String {
    match has {
        None => "stock not listed".into(),
        Some(0) => "out of stock".into(),
        Some(n) if n < needs => format!("only {} of {} in stock", count(n), count(needs)),
        Some(n) => format!("{} in stock", count(n)),
    }
}
