//! The answer to a question, as data in SI.
//!
//! An [`Answer`] holds its inputs, the items it speaks of and the revision and version that made it, so that it can be
//! frozen, kept and put into words later in any units. Nothing here is text for people.

mod warning;

use std::ops::Deref;

use quantity::{Currency, Kind, Money};
use serde::{Deserialize, Serialize};
use uncertainty::Band;

use crate::item::Item;
use crate::part::Part;
use crate::question::{Question, Surroundings};

pub use warning::Warning;

/// A question answered.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Answer {
    /// The question as asked.
    pub question: Question,
    /// What was assumed where the question was silent.
    pub assumed: Vec<Assumed>,
    /// The shelf that was searched.
    pub shelf: ShelfStamp,
    /// What a build must reach.
    pub need: NeedFigure,
    /// Builds that will do, sure ones first by cost, then those that do only at their typical value.
    pub candidates: Vec<Candidate>,
    /// Items that one constraint ruled out, the closest first.
    pub near_misses: Vec<NearMiss>,
    /// What would do, when nothing on the shelf surely will.
    pub shortfall: Option<Shortfall>,
    /// How much was looked at.
    pub searched: Searched,
    /// Builds with steel parts of the shelf; `None` while they have not been looked for ([`crate::with_part`]).
    #[serde(default)]
    pub with_parts: Option<Vec<Candidate>>,
}

impl Answer {
    /// The build that is put first: one with a steel part where such a one wins, else the first bare one.
    pub fn first(&self) -> Option<&Candidate> {
        let with_part = self.with_parts.iter().flatten().next();
        with_part
            .filter(|c| c.verdict == Verdict::Sure)
            .or_else(|| self.candidates.first())
    }
}

/// Which shelf and which program made an answer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ShelfStamp {
    /// The shelf's revision.
    pub revision: u64,
    /// The program's version.
    pub version: String,
    /// What the prices are in.
    pub currency: Currency,
}

/// Something taken for granted because the question did not say.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "what", rename_all = "snake_case")]
pub enum Assumed {
    /// The load was multiplied by this.
    SafetyFactor {
        /// The factor.
        factor: f64,
        /// Whether it is the larger one, because what lets go falls.
        falls: bool,
    },
    /// Coefficient of friction, with its range.
    Friction {
        /// The value and its limits.
        low: f64,
        /// Most likely.
        mid: f64,
        /// Upper limit.
        high: f64,
    },
    /// The coefficient of friction that was named is known no better than to this part of it.
    FrictionSpread {
        /// 0 to 1.
        part: f64,
    },
    /// Distances and gaps that were asked are kept to this, either way.
    Placement {
        /// At least, m.
        least: f64,
        /// As a part of the distance, where that is more.
        part: f64,
    },
    /// The steel is thick enough.
    ThickSteel,
    /// Room temperature, 20 °C.
    RoomTemperature,
    /// The field is this many times the operating point when near, and the release point over this when far.
    SwitchMargin {
        /// The factor.
        margin: f64,
    },
}

/// What a build must reach, in SI.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct NeedFigure {
    /// Force (N) or flux density (T).
    pub quantity: Predicted,
    /// The least value, but for what the build itself weighs.
    pub at_least: f64,
    /// What every kilogram of the build adds to it, N/kg: where the load would fall or slide, the build falls with it.
    #[serde(default)]
    pub per_kilogram: f64,
    /// The most flux density allowed at the further point, in tesla.
    pub ceiling: Option<f64>,
}

impl NeedFigure {
    /// The least value for a build of that mass, kg.
    #[must_use]
    pub fn of_mass(&self, mass: f64) -> f64 {
        self.at_least + self.per_kilogram * mass
    }

    /// The part of that which is the build's own weight, 0 to 1.
    #[must_use]
    pub fn own_part(&self, mass: f64) -> f64 {
        if self.per_kilogram > 0.0 {
            self.per_kilogram * mass / self.of_mass(mass)
        } else {
            0.0
        }
    }
}

/// What is predicted for a need.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Predicted {
    /// Pull or push in newtons.
    Force,
    /// Flux density in tesla.
    FluxDensity,
}

impl Predicted {
    /// The kind of quantity.
    pub fn kind(self) -> Kind {
        match self {
            Self::Force => Kind::Force,
            Self::FluxDensity => Kind::FluxDensity,
        }
    }
}

/// How pieces are put together to be one magnet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stack {
    /// Pieces stacked, on each side of a pair.
    pub pieces: u32,
    /// Whether two such stacks face each other.
    pub pair: bool,
}

impl Stack {
    /// Pieces in the whole.
    pub fn total_pieces(self) -> u64 {
        u64::from(self.pieces) * if self.pair { 2 } else { 1 }
    }
}

/// What is built of an item: a stack or a pair of stacks, bare or with a steel part of the shelf.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Build {
    /// The magnets.
    #[serde(flatten)]
    pub stack: Stack,
    /// The part as it stood on the shelf; `None` for a bare build.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub part: Option<Part>,
}

impl Build {
    /// A build without a steel part.
    pub fn bare(stack: Stack) -> Self {
        Self { stack, part: None }
    }
}

impl Deref for Build {
    type Target = Stack;

    fn deref(&self) -> &Stack {
        &self.stack
    }
}

/// How surely a candidate meets the need.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// At the low end of its band.
    Sure,
    /// Only in the middle of its band.
    Middle,
}

/// A build that will do.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Candidate {
    /// The item as it stood on the shelf.
    pub item: Item,
    /// How it is put together.
    pub build: Build,
    /// How surely it will do.
    pub verdict: Verdict,
    /// The predicted value with its band.
    pub band: Band,
    /// Predicted flux density at the further point, where a ceiling is asked.
    pub far: Option<Band>,
    /// Chance that a build meets the need and keeps the ceiling, 0 to 1.
    pub chance: f64,
    /// Price of one build, or of all that share a load, at the wanted quantity.
    pub cost_each: Option<Money>,
    /// Price of all builds, with the least order where that is more.
    pub cost_total: Option<Money>,
    /// Pieces that must be bought.
    pub pieces_bought: u64,
    /// Mass of one build in kilograms.
    pub mass: f64,
    /// Outer size across, m.
    pub width: f64,
    /// Height of the build in metres (one side of a pair).
    pub height: f64,
    /// What the steel part does to it; `None` for a bare build.
    pub with_part: Option<WithPart>,
    /// Whether no other build is at least as good in cost, size and margin and better in one.
    pub unbeaten: bool,
    /// Why it holds what it holds.
    pub because: Vec<Reason>,
    /// Figures behind the cautions.
    pub hazards: Hazards,
    /// What to mind of it in the conditions asked.
    #[serde(default, alias = "minded")]
    pub warnings: Vec<Warning>,
}

/// What a steel part does to a build, by the solver.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct WithPart {
    /// The value of the same stack without the part, by the solver.
    pub bare: f64,
    /// The value against the gap or the distance, with the part and without, the nearest first.
    pub curve: Vec<CurvePoint>,
    /// Straight pull in contact with the steel asked, N; `None` where nothing is held.
    pub contact: Option<f64>,
    /// Parts that must be bought.
    pub parts_bought: u64,
    /// How far the rim of a cup stands out beyond the face, m; negative where the face stands out. 0 for other parts.
    pub rim: f64,
}

impl WithPart {
    /// The value with the part across `at` (m), by straight lines between the points of its curve; `None` beyond them.
    pub fn value_at(&self, at: f64) -> Option<f64> {
        self.curve.windows(2).find_map(|pair| match pair {
            [a, b] if (a.at..=b.at).contains(&at) => Some(a.with + (b.with - a.with) * (at - a.at) / (b.at - a.at)),
            _ => None,
        })
    }
}

/// A point of the curve of a build with a steel part.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct CurvePoint {
    /// Layers together, or the distance, m.
    pub at: f64,
    /// The value with the part.
    pub with: f64,
    /// The value of the same stack without it.
    pub bare: f64,
}

/// A reason that names the number which decided.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "reason", rename_all = "snake_case")]
pub enum Reason {
    /// Layers take this part of the bare pull.
    LayersTake {
        /// 0 to 1.
        part: f64,
    },
    /// The steel gives at least 95 % of the pull on thick steel.
    SteelCarries {
        /// Thickness that gives 95 %, m.
        enough: f64,
    },
    /// The steel is too thin for the flux.
    SteelThin {
        /// Pull over that on thick steel.
        keeps: f64,
        /// Thickness that gives 95 % of that, m.
        enough: f64,
    },
    /// The plate is smaller than the magnet reaches.
    SteelSmall {
        /// Its diameter, m.
        across: f64,
        /// Pull over that on a wide plate.
        keeps: f64,
    },
    /// The pull law of the steel covers it only by a stand-in of another shape, or by its nearest sizes.
    SteelEstimate {
        /// Half width of the 95 % interval of the law's error, 0 to 1.
        error: f64,
    },
    /// At the warmest it keeps this part of its strength.
    Warm {
        /// °C.
        celsius: f64,
        /// 0 to 1.
        keeps: f64,
        /// Nothing to speak of is lost for good up to here, °C; capped by the limits of grade and coating.
        clear_up_to: f64,
    },
    /// It is reckoned with the certificate of its lot, not with its grade.
    Certified {
        /// The lot.
        lot: String,
        /// Remanence of the certificate, T.
        br: f64,
        /// Intrinsic coercivity of the certificate, A/m.
        hcj: Option<f64>,
    },
    /// Heat, cold or what it faces takes this part for good, if its coercivity is the least of its grade.
    LostForGood {
        /// 0 to 1.
        part: f64,
        /// Where most of it is lost, °C.
        celsius: f64,
    },
    /// Its own field takes this part off what its remanence promises, before any heat.
    OwnField {
        /// 0 to 1.
        part: f64,
    },
    /// The plating takes this part of the value against a bare piece of the same outer size.
    PlatingTakes {
        /// 0 to 1.
        part: f64,
    },
    /// One piece fewer in the stack would not do.
    FewerWouldNot {
        /// Pieces in that smaller stack.
        pieces: u32,
        /// Value of that stack at the middle.
        value: f64,
    },
    /// Plating inside the stack costs this part against one solid piece.
    PlatingInStack {
        /// 0 to 1.
        part: f64,
    },
    /// The build itself weighs on its hold.
    OwnWeight {
        /// Its mass, kg.
        mass: f64,
        /// The part of what is needed that it is, 0 to 1.
        part: f64,
    },
    /// Only this part of the pull holds sideways.
    Friction {
        /// Coefficient.
        coefficient: f64,
        /// The straight pull, N.
        pull: f64,
    },
    /// The field at the further point.
    StaysBelow {
        /// Upper end of its band, T.
        high: f64,
        /// What is allowed, T.
        allowed: f64,
    },
    /// A ring is read over the middle of its metal, not over its hole.
    ReadOverMetal {
        /// Distance from the axis, m.
        radius: f64,
    },
    /// Buying more up to the next break costs less in all.
    NextBreak {
        /// Pieces of the break.
        pieces: u64,
        /// What they cost in all.
        total: Money,
    },
    /// The quantity brings the price down by this part from that of the least order.
    QuantityPrice {
        /// 0 to 1.
        saves: f64,
        /// Pieces bought.
        pieces: u64,
    },
}

/// Figures from which cautions are drawn, for one build: all at their unfavourable end, with the largest sizes, the thinnest
/// plating and the highest remanence of the grade at the coldest.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Hazards {
    /// Attraction of two such builds in contact, N.
    pub contact_force: f64,
    /// Distance from the surface beyond which there is nowhere more than 0.5 mT, in use or with its pieces packed together,
    /// m; never less than is common practice.
    pub implant_distance: f64,
    /// The same for 1 mT, m.
    pub card_distance: f64,
    /// Whether one piece fits the small-parts cylinder.
    pub small_part: bool,
    /// Flux index of one piece that is a small part, T² m², at the strongest place of its surface.
    pub flux_index: f64,
    /// Flux density at 2.1 m from one build on its axis, T.
    pub at_2_1_m: f64,
    /// The same for the whole order with all moments aligned, T.
    pub order_at_2_1_m: f64,
    /// The ends of the band of that, T.
    #[serde(default)]
    pub order_range_at_2_1_m: [f64; 2],
    /// The middle of the same at 4.5 m, T.
    pub order_at_4_5_m: f64,
    /// Whether the material is brittle: sintered or cast.
    pub brittle: bool,
    /// Whether its dust burns: neodymium and samarium cobalt. Kept answers that do not know say so.
    #[serde(default = "yes")]
    pub burns: bool,
    /// Whether the coating holds nickel.
    pub nickel: bool,
    /// Whether two such builds push each other's working point towards the knee in this use.
    pub opposed: bool,
    /// Highest temperature that grade, coating and the shape of the build stand, °C.
    pub max_celsius: f64,
    /// Part that two such builds lose for good when like poles are pressed together at the warmest; 0 where none are.
    #[serde(default)]
    pub opposed_loss: f64,
}

fn yes() -> bool {
    true
}

/// An item that one constraint ruled out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct NearMiss {
    /// The item as it stood on the shelf.
    pub item: Item,
    /// The build looked at.
    pub build: Build,
    /// Its value at the middle of the band.
    pub value: f64,
    /// What ruled it out.
    pub ruled_out_by: RuledOut,
}

/// The constraint that ruled a build out, with what it has and what was allowed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "rule", rename_all = "snake_case")]
pub enum RuledOut {
    /// Too weak: the part of the need that it reaches.
    TooWeak {
        /// Value over need, below 1.
        reaches: f64,
    },
    /// Too much field at the further point, T.
    TooMuchFar {
        /// Its value, T.
        has: f64,
    },
    /// Wider than allowed, m.
    TooWide {
        /// Its size.
        has: f64,
    },
    /// Narrower than allowed, m.
    TooNarrow {
        /// Its size.
        has: f64,
    },
    /// Wider than the plate that it sticks to, so that part of its face has no steel under it, m.
    Overhangs {
        /// Its size.
        has: f64,
    },
    /// Taller than allowed, m.
    TooTall {
        /// Its height.
        has: f64,
    },
    /// Shorter than allowed, m.
    TooShort {
        /// Its height.
        has: f64,
    },
    /// Another shape than asked.
    WrongShape,
    /// No hole, or too small a one, m.
    HoleTooSmall {
        /// Its hole; 0 for none.
        has: f64,
    },
    /// Another grade than asked.
    WrongGrade,
    /// Another coating than asked.
    WrongCoating,
    /// A hole without a countersink, or none at all.
    NotCountersunk,
    /// Its grade or coating does not stand the heat, °C.
    TooHot {
        /// What it stands.
        stands: f64,
    },
    /// Its grade does not stand the cold, °C.
    TooCold {
        /// What it stands.
        stands: f64,
    },
    /// Its own field takes too much of it past its knee at this temperature.
    PastKnee {
        /// Share of its flux that is lost for good.
        loss: f64,
        /// °C.
        celsius: f64,
    },
    /// Its coating does not suit the surroundings.
    Coating {
        /// Where it would live.
        surroundings: Surroundings,
    },
    /// More pieces stacked than allowed.
    StackTooHigh {
        /// Pieces needed.
        pieces: u32,
    },
    /// Heavier than allowed, kg.
    TooHeavy {
        /// Its mass.
        has: f64,
    },
    /// Dearer each than allowed.
    OverBudgetEach {
        /// Its price.
        has: Money,
    },
    /// Dearer in total than allowed.
    OverBudgetTotal {
        /// Its price.
        has: Money,
    },
    /// Without a price while there is a budget.
    NoPrice,
    /// Not enough on hand.
    NotInStock {
        /// On hand.
        has: u64,
        /// Needed.
        needs: u64,
    },
    /// One build alone is magnetised material in air transport; flux density at 2.1 m, T.
    Flight {
        /// Its value.
        has: f64,
    },
    /// The item's data cannot be computed with.
    NotComputable,
}

/// How far the shelf falls short and what would do.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Shortfall {
    /// The best that the shelf reaches within all constraints, with its part of the need.
    pub best: Option<Best>,
    /// What would do, most practical first.
    pub would_do: Vec<WouldDo>,
    /// What physics allows at all, in the unit of the need.
    pub ceiling: Option<Ceiling>,
}

/// The strongest build within all constraints.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Best {
    /// The item.
    pub item: Item,
    /// The build.
    pub build: Build,
    /// Its value with its band.
    pub band: Band,
    /// Low end over need.
    pub reaches: f64,
}

/// Something that would meet the need.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "way", rename_all = "snake_case")]
pub enum WouldDo {
    /// Relax one constraint: an item that then does.
    Relax {
        /// The near miss.
        miss: Box<NearMiss>,
    },
    /// Share the load among more of the best builds.
    Share {
        /// How many.
        builds: u32,
        /// Of this item.
        item: Box<Item>,
        /// Each put together so.
        build: Build,
    },
    /// A second magnet on the other side in place of the steel, or one on each side of the spot.
    BothSides {
        /// Value at the middle.
        value: f64,
        /// Whether that is surely enough.
        enough: bool,
    },
    /// Steel behind the magnet: no more than this, and never surely enough before a plate is named.
    BackSteel {
        /// Value at the middle with ideal steel.
        value: f64,
    },
    /// Thicker steel to hold on, m.
    ThickerSteel {
        /// Thickness that carries the flux.
        thickness: f64,
        /// Value at the middle on it.
        value: f64,
        /// Whether that is surely enough.
        enough: bool,
    },
    /// The same size in a stronger grade.
    OtherGrade {
        /// Its name.
        grade: String,
        /// Value at the middle.
        value: f64,
        /// Whether that is surely enough.
        enough: bool,
    },
    /// A disc made to size.
    Custom {
        /// Diameter, m.
        diameter: f64,
        /// Thickness, m.
        thickness: f64,
        /// Grade.
        grade: String,
        /// Low end of its band.
        low: f64,
        /// Whether it is wider or taller than the question allows.
        breaks_limits: bool,
    },
}

/// A limit that no magnet passes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Ceiling {
    /// The limit in the unit of the need.
    pub value: f64,
    /// For this grade, the strongest in the table.
    pub grade: String,
    /// Which law sets it.
    pub law: CeilingLaw,
}

/// What sets a ceiling.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CeilingLaw {
    /// Half the remanence at a free flat face.
    HalfRemanence,
    /// An endless rod with a flat face of the largest width allowed.
    EndlessRod,
    /// Remanence over the whole face: B² A / (2 mu0).
    FullFace,
}

/// How much was looked at.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Searched {
    /// Items on the shelf.
    pub items: usize,
    /// Builds that those items allow.
    pub builds: usize,
    /// Builds that surely do.
    pub sure: usize,
    /// Builds that do in the middle only.
    pub middle: usize,
    /// Items whose grade or coating is not rated for the heat asked.
    #[serde(default)]
    pub too_hot: usize,
    /// Items that would do but for the strength that they would lose for good.
    #[serde(default)]
    pub past_knee: usize,
}
