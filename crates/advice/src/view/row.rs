//! What the answers about magnets share: rows of figures, ways on, and how a given magnet is called.

use quantity::{FluxDensity, Force, Length, Mass, Quantity, STANDARD_GRAVITY, Temperature};
use serde::Serialize;
use serde_json::Value;
use uncertainty::Band;
use utoipa::ToSchema;

use crate::answer::Assumed;
use crate::given::{AssumedOfMagnet, Given};
use crate::ladder::{Face, LadderRequest, Measure, Rising};
use crate::need::BY_HAND;
use crate::question::Conditions;
use crate::view::text::{Reader, Run, Runs, percent, runs, shape_word, small_number};

/// A figure with its label.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct RowView {
    /// What it is.
    pub label: String,
    /// How much.
    pub value: String,
    /// Between which values 95 % of pieces lie; absent for what is certain or not known so exactly.
    pub range: Option<String>,
    /// What to know of it.
    pub remark: Vec<Run>,
}

impl RowView {
    pub(super) fn new(label: impl Into<String>, value: impl Into<String>) -> Self {
        Self {
            label: label.into(),
            value: value.into(),
            range: None,
            remark: Runs::new(),
        }
    }

    pub(super) fn range(self, range: String) -> Self {
        Self {
            range: Some(range),
            ..self
        }
    }

    pub(super) fn remark(self, marked: &str) -> Self {
        Self {
            remark: runs(marked),
            ..self
        }
    }
}

/// Where an answer leads on to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum NextPlace {
    /// A ladder; the request is one of a ladder.
    Ladder,
    /// The field of a magnet; the request names magnets.
    Field,
    /// A comparison; the request is an enquiry.
    Compare,
    /// What is known of a magnet; the request is an enquiry.
    Tell,
    /// A standing question; the request is an enquiry.
    Explain,
    /// An item of the shelf; the request is its code.
    Item,
    /// A parcel; the request says what is in it.
    Parcel,
    /// Readings at the bench; the request has the magnet and what it is called.
    Bench,
}

/// A way on.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct NextView {
    /// Where to.
    pub to: NextPlace,
    /// In words.
    pub text: String,
    /// What to send there.
    #[schema(value_type = serde_json::Value)]
    pub request: Value,
}

impl NextView {
    pub(super) fn new(to: NextPlace, text: impl Into<String>, request: Value) -> Self {
        Self {
            to,
            text: text.into(),
            request,
        }
    }
}

impl Reader {
    /// A temperature in whole degrees.
    pub(super) fn celsius(&self, celsius: f64) -> String {
        self.text::<Temperature>(Temperature::from_celsius(celsius.round()).si())
    }

    /// A temperature that must not be passed, in whole degrees Celsius below it.
    pub(super) fn up_to_celsius(&self, celsius: f64) -> String {
        self.celsius((celsius + 1e-6).floor())
    }

    /// A force with the mass that weighs as much: `47.1 N (4.8 kg)`.
    pub(super) fn force(&self, newtons: f64) -> String {
        let mass = Mass(newtons / STANDARD_GRAVITY).show_to(2, &self.units);
        format!("{} ({mass})", self.text::<Force>(newtons))
    }

    /// The ends of a band.
    pub(super) fn band<Q: Quantity>(&self, band: &Band) -> String {
        Q::show_range(Q::from_si(band.low), Q::from_si(band.high), &self.units).to_string()
    }

    /// A row of a force.
    pub(super) fn force_row(&self, label: impl Into<String>, band: &Band) -> RowView {
        RowView::new(label, self.force(band.mid)).range(self.band::<Force>(band))
    }

    /// A row of a flux density.
    pub(super) fn field_row(&self, label: impl Into<String>, band: &Band) -> RowView {
        RowView::new(label, self.text::<FluxDensity>(band.mid)).range(self.band::<FluxDensity>(band))
    }

    /// A magnet as it begins a sentence about one: `One disc of 15 × 8 mm, N42 (16-08)`, `A stack of two discs of ...`.
    pub(super) fn magnet(&self, given: &Given) -> String {
        let shape = &given.item.shape;
        let words = match given.build.pieces {
            1 => format!("One {}", shape_word(shape, false)),
            n => format!("A stack of {} {}", small_number(n), shape_word(shape, true)),
        };
        let code = if given.stocked {
            format!(" ({})", given.item.code)
        } else {
            String::new()
        };
        format!("{words} of {}{code}", self.size_and_grade(&given.item))
    }

    /// A microtesla figure, as rules of transport count.
    pub(super) fn microtesla(&self, tesla: f64) -> String {
        let micro = tesla * 1e6;
        if micro < 0.001 {
            "less than 0.001\u{a0}µT".into()
        } else if micro < 0.1 {
            format!("{micro:.3}\u{a0}µT")
        } else {
            format!("{micro:.2}\u{a0}µT")
        }
    }
}

/// What was assumed of a given magnet.
pub(super) fn assumed_words(given: &Given) -> Vec<Runs> {
    let marked = |assumed: &AssumedOfMagnet| match assumed {
        AssumedOfMagnet::Grade(grade) if given.stocked => {
            format!("grade **{grade}**, as the shelf has this size ({})", given.item.code)
        }
        AssumedOfMagnet::Grade(grade) => format!("grade **{grade}**, the usual one"),
        AssumedOfMagnet::Coating(coating) if coating == "none" => "no coating".into(),
        AssumedOfMagnet::Coating(coating) => format!("coating **{coating}**, the usual one"),
        AssumedOfMagnet::Shape(shape) => format!("shape **{}**, by its sizes", shape.name()),
        AssumedOfMagnet::ThroughThickness => "magnetised through its last size".into(),
    };
    given.assumed.iter().map(|assumed| runs(&marked(assumed))).collect()
}

/// `a meter held by hand: ...`, of standard uncertainties of the lot and of a repeat, and how far the probe is off its place, m.
pub(super) fn by_hand([lot, repeat]: [f64; 2], aside: f64, reader: &Reader) -> String {
    format!(
        "a meter held by hand: lots differ by **{}** from their grade and readings by **{}** from each other (standard \
         uncertainties), and the probe is up to **{}** off its place",
        percent(lot),
        percent(repeat),
        reader.about(aside)
    )
}

/// The same where it is usual.
pub(super) fn by_usual_hand(reader: &Reader) -> Option<Runs> {
    match BY_HAND {
        Assumed::ByHand { lot, repeat, aside } => Some(runs(&by_hand([lot, repeat], aside, reader))),
        _ => None,
    }
}

/// The ladder of thicknesses with that magnet's face; `None` for a ball.
pub(super) fn ladder_of(given: &Given) -> Option<NextView> {
    let request = LadderRequest {
        body: Face::of(&given.item.shape)?,
        grade: given.item.grade.clone(),
        measure: Measure::Pull { gap: Length(0.0) },
        by: Rising::Free,
        item: None,
        pieces: 100,
        worth: 0.5,
        conditions: Conditions::default(),
    };
    let request = serde_json::to_value(&request).ok()?;
    Some(NextView::new(
        NextPlace::Ladder,
        "what more thickness would give",
        request,
    ))
}
