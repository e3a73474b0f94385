//! The answer to a question, as data in SI.
//!
//! An [`Answer`] holds its inputs, the items it speaks of and the revision and version that made it, so that it can be
//! frozen, kept and put into words later in any units. Nothing here is text for people.

mod build;
mod detail;
mod miss;
mod shared;
mod shortfall;
mod standing;
mod warning;

use quantity::{Currency, Kind, Money};
use serde::{Deserialize, Serialize};
use uncertainty::Band;

use crate::goods::StatedOffer;
use crate::item::Item;
use crate::known::ReadLot;
use crate::question::{Goal, Question, Steelwork};
use crate::taste::{self, Look, SecondChoice};

pub use build::{Build, CurvePoint, Stack, WithPart};
pub use detail::{
    Along, BEHIND, Branches, Closer, CrossSection, Curve, Detail, Heat, InsideField, LimitedBy, Magnet, NEXT,
    PlateCurve, Solved, Stands, Warming,
};
pub use miss::{NearMiss, RuledOut};
pub use shared::Shared;
pub use shortfall::{Best, Ceiling, CeilingLaw, Shortfall, WouldDo};
pub(crate) use standing::Standing;
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
    /// Builds that will do: bare ones, sure ones first by cost, then those that do only at their typical value; behind them
    /// those with steel parts. [`Self::order`] is how they are shown.
    pub candidates: Vec<Candidate>,
    /// Several that share the load of one, the cheapest kind for each number; empty where that is no choice.
    #[serde(default)]
    pub shared: Vec<Shared>,
    /// Goods that hold it by the pull that their maker states, cheapest first; nothing of them is computed.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub stated: Vec<StatedOffer>,
    /// Items that one constraint ruled out, the closest first.
    pub near_misses: Vec<NearMiss>,
    /// What would do, when nothing on the shelf surely will.
    pub shortfall: Option<Shortfall>,
    /// How much was looked at.
    pub searched: Searched,
    /// Whether builds with steel parts of the shelf were looked for ([`crate::with_part`]).
    #[serde(default)]
    pub parts_searched: bool,
}

impl Answer {
    /// The places of the candidates in the order in which they are shown: sure ones first, then what has the steel asked for,
    /// second choices after the others, then by what is wanted most, then by cost, those without a price last.
    pub fn order(&self) -> Vec<usize> {
        let limits = &self.question.limits;
        let wanted = limits.steelwork.filter(|wanted| *wanted != Steelwork::Bare);
        let class = |c: &Candidate| {
            let second = c.second_choice(&self.question);
            let other = wanted.is_some() && c.steelwork() != wanted;
            (c.verdict, other, second.is_some())
        };
        // At the same price a part is offered for the room that it saves.
        let cost = |c: &Candidate| (c.cost_total.is_none(), c.cost_total, c.build.part.is_none());
        let mut order: Vec<usize> = (0..self.candidates.len()).collect();
        // What differs in nothing stays as it was found.
        order.sort_by(|&a, &b| {
            let (a, b) = (&self.candidates[a], &self.candidates[b]);
            let goal = |c: &Candidate| c.goal(limits.goal);
            class(a)
                .cmp(&class(b))
                .then_with(|| goal(a).total_cmp(&goal(b)))
                .then_with(|| cost(a).cmp(&cost(b)))
        });
        order
    }

    /// The build that is put first.
    pub fn first(&self) -> Option<&Candidate> {
        self.candidates.get(*self.order().first()?)
    }

    /// The bare build that is put first, where it surely does.
    pub fn best_bare(&self) -> Option<&Candidate> {
        let bare = self.candidates.iter().find(|c| c.build.part.is_none());
        bare.filter(|c| c.verdict == Verdict::Sure)
    }

    /// Builds with steel parts, the best first.
    pub fn with_parts(&self) -> impl Iterator<Item = &Candidate> {
        self.candidates.iter().filter(|c| c.build.part.is_some())
    }

    /// Adds the builds with steel parts that were found, and looks again at what is unbeaten.
    pub fn join(&mut self, found: Vec<Candidate>) {
        self.candidates.extend(found);
        self.parts_searched = true;
        let all: Vec<Option<Standing>> = self.candidates.iter().map(Candidate::standing).collect();
        for (c, own) in self.candidates.iter_mut().zip(&all) {
            let beaten = |own: &Standing| all.iter().flatten().any(|other| other.beats(own));
            // Of the bare ones more were found than are kept.
            let may_be = c.unbeaten || c.build.part.is_some();
            c.unbeaten = may_be && own.as_ref().is_some_and(|own| !beaten(own));
        }
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
    /// A hand-held meter reads it: how far a lot is from its grade and a reading from its like, as standard uncertainties and
    /// parts of the reading, and how far the probe is off its place at most, m.
    ByHand {
        /// Of the lot.
        lot: f64,
        /// Of tilt, and piece to piece.
        repeat: f64,
        /// Off its place, m.
        aside: f64,
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
    /// A closer look at it; `None` while nobody took one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub detail: Option<Box<Detail>>,
}

impl Candidate {
    /// How it stands beside others; `None` where it is not sure, or has no price.
    fn standing(&self) -> Option<Standing> {
        Some(Standing {
            cost: self.cost_total.filter(|_| self.verdict == Verdict::Sure)?,
            size: self.width * self.height,
            low: self.band.low,
        })
    }

    /// Why it is not put first; `None` where it may be.
    pub fn second_choice(&self, question: &Question) -> Option<SecondChoice> {
        let look = Look {
            item: &self.item,
            pieces: self.build.pieces,
            bought: self.pieces_bought,
            mass: self.mass,
        };
        taste::second_choice(question, look)
    }

    /// What its part makes of it; `None` for a bare build.
    pub fn steelwork(&self) -> Option<Steelwork> {
        self.build.part.as_ref().map(|part| part.form.steelwork())
    }

    /// What is wanted most of it, the less the better; 0 where that is the price.
    fn goal(&self, goal: Option<Goal>) -> f64 {
        match goal {
            None | Some(Goal::Cheapest) => 0.0,
            Some(Goal::Smallest) => self.width * self.height,
            Some(Goal::Thinnest) => self.height,
            Some(Goal::Lightest) => self.mass,
            Some(Goal::Strongest) if self.verdict == Verdict::Sure => -self.band.low,
            Some(Goal::Strongest) => 0.0,
        }
    }
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
        /// Nothing to speak of is lost permanently up to here, °C; capped by the limits of grade and coating.
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
    /// It is reckoned by readings of its lot, not with its grade.
    ByReadings(ReadLot),
    /// Heat, cold or what it faces takes this part permanently, if its coercivity is the least of its grade.
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
    /// The adhesive on one face is counted as a layer between magnet and steel.
    Adhesive {
        /// Its usual thickness, m.
        usual: f64,
        /// The most that it may have, m.
        most: f64,
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
    /// Part that two such builds lose permanently when like poles are pressed together at the warmest; 0 where none are.
    #[serde(default)]
    pub opposed_loss: f64,
}

fn yes() -> bool {
    true
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
    /// Items that would do but for the strength that they would lose permanently.
    #[serde(default)]
    pub past_knee: usize,
}
