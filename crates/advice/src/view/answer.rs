//! An answer as it is shown, printed and sent: the same for page, command line and interface.

use magnetics::Shape;
use serde::Serialize;
use utoipa::ToSchema;

use crate::answer::{Answer, Candidate, Verdict};
use crate::question::{Need, Question};
use crate::sentence::{self, Blank, Segment};
use crate::view::band::{self, ShareView, SwingView};
use crate::view::cautions::{self, Caution};
use crate::view::offers::{self, OffersView};
use crate::view::text::{Figure, Reader, Run, Runs, chance_words, count};
use crate::view::with_part::{self, FittedSheet};
use crate::view::wording::Wording;

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
    /// What one constraint ruled out.
    pub near_misses: Vec<NearMissView>,
    /// What would do when nothing will.
    pub shortfall: Option<ShortfallView>,
    /// Cautions for the first candidate.
    pub cautions: Vec<Caution>,
    /// How much was looked at.
    pub searched: String,
    /// Builds with steel parts; absent while they have not been looked for.
    pub fitted: Option<FittedSheet>,
}

/// What a build must reach.
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
    /// The shop's code.
    pub code: String,
    /// `one disc, 15 × 5 mm, N42`.
    pub title: String,
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

/// Outline of a build, in millimetres whatever the units shown.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Silhouette {
    /// `disc`, `ring`, `block` or `sphere`.
    pub shape: String,
    /// Width of one piece.
    pub width_mm: f64,
    /// Height of one piece along its magnetisation.
    pub height_mm: f64,
    /// Pieces stacked.
    pub pieces: u32,
    /// Hole of a ring.
    pub hole_mm: f64,
    /// The gap and poles of a pair.
    pub pair: Option<PairView>,
}

/// How two builds face each other.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct PairView {
    /// Between the faces.
    pub gap_mm: f64,
    /// Whether like poles face.
    pub like_poles: bool,
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
            at_least: reader.predicted(answer.need.quantity, answer.need.at_least),
            ceiling: answer.need.ceiling.map(field),
            text: wording.need_text(&answer.assumed),
        },
        heading: wording.heading(answer),
        candidates: (0..answer.candidates.len())
            .map(|k| candidate(answer, &wording, k))
            .collect(),
        near_misses: answer
            .near_misses
            .iter()
            .map(|m| NearMissView {
                code: m.item.code.clone(),
                title: reader.title(&m.item, m.build.stack),
                runs: wording.near_miss(m),
            })
            .collect(),
        shortfall: answer.shortfall.as_ref().map(|s| ShortfallView {
            would_do: s.would_do.iter().map(|w| wording.would_do(w)).collect(),
            ceiling: wording.ceiling(s),
        }),
        cautions: first.map_or_else(Vec::new, |c| cautions::for_candidate(&answer.question, c, &reader)),
        searched: wording.searched(&answer.searched),
        fitted: with_part::view(answer, units),
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
    let figure = |si| reader.predicted(answer.need.quantity, si);
    CandidateView {
        index,
        code: c.item.code.clone(),
        title: reader.title(&c.item, c.build.stack),
        remark: wording.remark(answer, index),
        verdict: c.verdict,
        silhouette: silhouette(c, &answer.question.need),
        value: figure(c.band.mid),
        low: figure(c.band.low),
        high: figure(c.band.high),
        range: wording.range(&c.band),
        margin: wording.margin(&c.band, c.mass),
        chance: format!("{} of pieces", chance_words(c.chance)),
        cost_each: c.cost_each.map(|m| reader.money(m)),
        cost_total: c.cost_total.map(|m| reader.money(m.rounded(reader.currency))),
        cost_note: cost_note(answer, c),
        mass: reader.figure::<quantity::Mass>(c.mass),
        stock: stock_words(c),
        unbeaten: c.unbeaten,
        because: c.because.iter().map(|b| wording.because(b)).collect(),
        method: band::method_words(c.band.method).into(),
        shares: band::shares(answer.need.quantity.kind(), &c.band),
        swings: band::swings(answer.need.quantity.kind(), &c.band, &reader),
        cautions: cautions::for_candidate(&answer.question, c, &reader),
    }
}

fn cost_note(answer: &Answer, c: &Candidate) -> String {
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
    match c.item.stock {
        None => "stock not listed".into(),
        Some(0) => "out of stock".into(),
        Some(n) if n < c.pieces_bought => format!("only {} of {} in stock", count(n), count(c.pieces_bought)),
        Some(n) => format!("{} in stock", count(n)),
    }
}

/// The outline of a candidate.
pub(super) fn silhouette(c: &Candidate, need: &Need) -> Silhouette {
    let pair = match need {
        Need::PullTogether { gap, .. } => Some(PairView {
            gap_mm: gap.si() * 1e3,
            like_poles: false,
        }),
        Need::PushApart { gap, .. } => Some(PairView {
            gap_mm: gap.si() * 1e3,
            like_poles: true,
        }),
        _ => None,
    };
    Silhouette {
        pair,
        ..outline(&c.item.shape, c.build.pieces)
    }
}

/// The outline of so many stacked pieces.
pub fn outline(shape: &Shape, pieces: u32) -> Silhouette {
    let (name, hole) = match *shape {
        Shape::Disc { .. } => ("disc", 0.0),
        Shape::Ring { inner_diameter, .. } => ("ring", inner_diameter),
        Shape::Block { .. } => ("block", 0.0),
        Shape::Sphere { .. } => ("sphere", 0.0),
    };
    Silhouette {
        shape: name.into(),
        width_mm: shape.widest() * 1e3,
        height_mm: shape.height() * 1e3,
        pieces,
        hole_mm: hole * 1e3,
        pair: None,
    }
}
