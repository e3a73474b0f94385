//! A question as far as it was said, and the whole question that it makes.

use std::fmt;

use quantity::{Convention, Currency, FluxDensity, Force, Length, Load, Mass, Money, Temperature};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use utoipa::ToSchema;

use super::said::Said;
use crate::need::usual_safety;
use crate::predict::FRICTION;
use crate::question::{
    Conditions, Direction, FieldCeiling, Goal, Layer, Limits, Need, Question, ShapeKind, SteelPart, Steelwork,
    Surroundings,
};
use crate::sentence::Verb;

/// A question of which anything may be missing. A range stands for all that it holds; the whole question takes its worse end.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Draft {
    /// What the magnet must do.
    #[serde(skip_serializing_if = "is_default")]
    pub need: DraftNeed,
    /// What it must stand.
    #[serde(skip_serializing_if = "is_default")]
    pub conditions: DraftConditions,
    /// What rules a magnet out.
    #[serde(skip_serializing_if = "is_default")]
    pub limits: DraftLimits,
    /// How many builds are wanted.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pieces: Option<u32>,
}

/// The keys of every verb, side by side.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct DraftNeed {
    /// What it must do.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub verb: Option<Verb>,
    /// What is held.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub load: Option<Said<Load>>,
    /// Which way it pulls.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub direction: Option<Direction>,
    /// What the magnet sticks to.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub steel: Option<DraftSteel>,
    /// What lies between.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub layers: Vec<DraftLayer>,
    /// The load is multiplied by this.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub safety_factor: Option<f64>,
    /// How many builds share the load, or pairs the force.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub shared_by: Option<u32>,
    /// Coefficient of friction.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub friction: Option<f64>,
    /// Attraction or repulsion wanted.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub force: Option<Said<Load>>,
    /// Clear distance between two magnets, or from a magnet to its steel where nothing else is said of it.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub gap: Option<Said<Length>>,
    /// The least flux density wanted.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub field: Option<Said<FluxDensity>>,
    /// Distance from the face.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub distance: Option<Said<Length>>,
    /// Distance off the axis.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub off_axis: Option<Said<Length>>,
    /// A point further away that must stay below a value.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub no_more_than: Option<FieldCeiling>,
    /// What kind of switch, where that is all that is said of it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub switch: Option<SwitchKind>,
    /// The switch surely operates at this.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub operate: Option<Said<FluxDensity>>,
    /// The switch surely releases at this.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub release: Option<Said<FluxDensity>>,
    /// Margin on both points of a switch.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub margin: Option<f64>,
    /// Where the switch must operate.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub near: Option<Said<Length>>,
    /// Where the switch must release.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub far: Option<Said<Length>>,
    /// Depth of the active element of a probe.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub probe_depth: Option<Said<Length>>,
}

/// What a magnet sticks to, as far as it was said.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct DraftSteel {
    /// A name from the steel data.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub material: Option<String>,
    /// How thick it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub thickness: Option<Said<Length>>,
    /// How large a plate is.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub across: Option<Said<Length>>,
}

/// A layer, as far as it was said.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct DraftLayer {
    /// A name from the layer data.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub material: Option<String>,
    /// How thick it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub thickness: Option<Said<Length>>,
}

/// What a magnet must stand, as far as it was said.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct DraftConditions {
    /// The warmest it gets.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub warmest: Option<Said<Temperature>>,
    /// The coldest it gets.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub coldest: Option<Said<Temperature>>,
    /// Where it lives.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<crate::question::SurroundingsName>)]
    pub surroundings: Option<Surroundings>,
}

/// What rules a magnet out; the keys of [`Limits`].
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
#[allow(missing_docs, reason = "each key is documented at the limit of that name")]
pub struct DraftLimits {
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub widest: Option<Said<Length>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub narrowest: Option<Said<Length>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub tallest: Option<Said<Length>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub shortest: Option<Said<Length>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub shapes: Vec<ShapeKind>,
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub hole: Option<Said<Length>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub countersunk: Option<bool>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub grades: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub coating: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub without_nickel: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stack: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub mass: Option<Said<Mass>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub budget_each: Option<Price>,
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub budget_total: Option<Price>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub in_stock: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ships_by_air: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub steelwork: Option<Steelwork>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub goal: Option<Goal>,
}

/// The kinds of field switch whose usual points are known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum SwitchKind {
    /// Two reeds in a glass tube.
    Reed,
    /// A Hall switch.
    Hall,
}

impl SwitchKind {
    /// Flux density at which one of its kind surely operates, and at which it surely releases, where its data sheet is
    /// not at hand: common practice, no source.
    pub fn usual_points(self) -> [FluxDensity; 2] {
        let [operate, release] = match self {
            Self::Reed => [3.0, 0.8],
            Self::Hall => [7.0, 2.0],
        };
        [FluxDensity::from_mt(operate), FluxDensity::from_mt(release)]
    }
}

/// An amount of money with the currency that was said, if any: `"0.80 EUR"`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Price {
    /// How much.
    pub amount: Money,
    /// Of what; `None` is the shop's own.
    pub currency: Option<Currency>,
}

impl Price {
    /// The amount where it is in that currency.
    pub fn in_currency(self, currency: Currency) -> Option<Money> {
        self.currency.is_none_or(|own| own == currency).then_some(self.amount)
    }
}

impl fmt::Display for Price {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let amount = String::from(self.amount);
        match self.currency {
            Some(currency) => write!(f, "{amount} {}", currency.code()),
            None => f.write_str(&amount),
        }
    }
}

impl Serialize for Price {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Price {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        let (amount, currency) =
            Money::parse_with_currency(&text, Convention::Auto).map_err(|error| de::Error::custom(error.one_line()))?;
        Ok(Self { amount, currency })
    }
}

impl Draft {
    /// The whole question for a shop whose prices are in `currency`: every range at its worse end, and an unsaid way of
    /// pulling as [`Direction::StraightOff`].
    ///
    /// # Errors
    /// JSON pointers into the draft of what is missing, or is in another currency.
    pub fn question(&self, currency: Currency) -> Result<Question, Vec<String>> {
        let mut missing = Missing(Vec::new());
        let need = self.need.whole(&mut missing);
        let limits = self.limits.whole(currency, &mut missing);
        match need {
            Some(need) if missing.0.is_empty() => Ok(Question {
                need,
                conditions: self.conditions.whole(),
                limits,
                pieces: self.pieces.unwrap_or(1),
            }),
            _ => Err(missing.0),
        }
    }
}

/// Pointers to what is missing.
struct Missing(Vec<String>);

impl Missing {
    fn or<T>(&mut self, value: Option<T>, pointer: &str) -> Option<T> {
        if value.is_none() {
            self.0.push(pointer.into());
        }
        value
    }
}

fn low<Q: Copy>(said: Option<Said<Q>>) -> Option<Q> {
    said.map(|s| s.low)
}

fn high<Q: Copy>(said: Option<Said<Q>>) -> Option<Q> {
    said.map(|s| s.high)
}

impl DraftNeed {
    /// The two points of its switch: as said, or else as its kind usually has them.
    pub fn switch_points(&self) -> [Option<FluxDensity>; 2] {
        let usual = self.switch.map(SwitchKind::usual_points);
        [
            high(self.operate).or(usual.map(|[operate, _]| operate)),
            low(self.release).or(usual.map(|[_, release]| release)),
        ]
    }

    fn whole(&self, missing: &mut Missing) -> Option<Need> {
        let verb = missing.or(self.verb, "/need/verb")?;
        let zero = Length(0.0);
        match verb {
            Verb::Hold => self.hold(missing),
            Verb::PullTogether => Some(Need::PullTogether {
                force: missing.or(self.force_of_each(), "/need/force")?,
                gap: high(self.gap).unwrap_or(zero),
            }),
            Verb::PushApart => Some(Need::PushApart {
                force: missing.or(self.force_of_each(), "/need/force")?,
                gap: high(self.gap).unwrap_or(zero),
            }),
            Verb::ReachField => {
                let field = missing.or(high(self.field), "/need/field");
                let distance = missing.or(high(self.distance), "/need/distance");
                Some(Need::ReachField {
                    field: field?,
                    distance: distance?,
                    off_axis: high(self.off_axis).unwrap_or(zero),
                    no_more_than: self.no_more_than,
                })
            }
            Verb::SwitchSensor => {
                let [operate, release] = self.switch_points();
                let operate = missing.or(operate, "/need/operate");
                let release = missing.or(release, "/need/release");
                let near = missing.or(high(self.near), "/need/near");
                let far = missing.or(low(self.far), "/need/far");
                Some(Need::SwitchSensor {
                    operate: operate?,
                    release: release?,
                    margin: self.margin,
                    near: near?,
                    far: far?,
                })
            }
            Verb::FaceField => Some(Need::FaceField {
                field: missing.or(high(self.field), "/need/field")?,
                probe_depth: high(self.probe_depth),
            }),
        }
    }

    /// The force of one pair: that of all, shared by as many pairs as are said, as often as is said for safety. What was said as
    /// a load counts too. One that pulls along the faces is held by friction alone, at the least that is usual and with the
    /// usual safety where nothing is said of them.
    fn force_of_each(&self) -> Option<Load> {
        let shared = f64::from(self.shared_by.unwrap_or(1).max(1));
        let times = match self.direction {
            Some(along @ Direction::Sideways) => {
                self.safety_factor.unwrap_or(usual_safety(along))
                    / self.friction.filter(|f| *f > 0.0).unwrap_or(FRICTION[0])
            }
            _ => self.safety_factor.unwrap_or(1.0),
        };
        high(self.force.or(self.load)).map(|force| match force {
            Load::Mass(mass) => Load::Mass(Mass(mass.0 * times / shared)),
            Load::Force(force) => Load::Force(Force(force.0 * times / shared)),
        })
    }

    fn hold(&self, missing: &mut Missing) -> Option<Need> {
        let load = missing.or(high(self.load.or(self.force)), "/need/load");
        let layers = self.whole_layers(|pointer| missing.0.push(pointer));
        Some(Need::Hold {
            load: load?,
            direction: self.direction.unwrap_or_default(),
            steel: self.whole_steel(),
            layers,
            safety_factor: self.safety_factor,
            shared_by: self.shared_by.unwrap_or(1),
            friction: self.friction,
        })
    }

    /// Its steel, thick and wide where nothing is said.
    pub fn whole_steel(&self) -> SteelPart {
        let said = self.steel.clone().unwrap_or_default();
        SteelPart {
            material: said.material.unwrap_or_else(|| SteelPart::default().material),
            thickness: low(said.thickness),
            across: low(said.across),
        }
    }

    /// Its layers at their thickest, with a clear gap as air; the pointer to each whose thickness is not said is given to `lacks`.
    pub fn whole_layers(&self, mut lacks: impl FnMut(String)) -> Vec<Layer> {
        let layer = |material: Option<&String>, thickness| Layer {
            material: material.map_or_else(|| "air".into(), Clone::clone),
            thickness,
        };
        let mut layers = Vec::new();
        for (k, said) in self.layers.iter().enumerate() {
            match high(said.thickness) {
                Some(thickness) => layers.push(layer(said.material.as_ref(), thickness)),
                None => lacks(format!("/need/layers/{k}/thickness")),
            }
        }
        layers.extend(high(self.gap).filter(|gap| gap.0 > 0.0).map(|gap| layer(None, gap)));
        layers
    }
}

impl DraftConditions {
    /// The conditions, each range at its worse end.
    pub fn whole(&self) -> Conditions {
        Conditions {
            warmest: high(self.warmest),
            coldest: low(self.coldest),
            surroundings: self.surroundings,
        }
    }
}

impl DraftLimits {
    fn whole(&self, currency: Currency, missing: &mut Missing) -> Limits {
        let mut money = |price: Option<Price>, pointer: &str| {
            let price = price?;
            missing.or(price.in_currency(currency), pointer)
        };
        Limits {
            widest: low(self.widest),
            narrowest: high(self.narrowest),
            tallest: low(self.tallest),
            shortest: high(self.shortest),
            shapes: self.shapes.clone(),
            hole: high(self.hole),
            countersunk: self.countersunk.unwrap_or_default(),
            grades: self.grades.clone(),
            coating: self.coating.clone(),
            without_nickel: self.without_nickel.unwrap_or_default(),
            stack: self.stack,
            mass: low(self.mass),
            budget_each: money(self.budget_each, "/limits/budget_each"),
            budget_total: money(self.budget_total, "/limits/budget_total"),
            in_stock: self.in_stock.unwrap_or_default(),
            ships_by_air: self.ships_by_air.unwrap_or_default(),
            steelwork: self.steelwork,
            goal: self.goal,
        }
    }
}

fn is_default<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn draft(json: &str) -> Draft {
        serde_json::from_str(json).unwrap()
    }

    #[test]
    fn a_range_becomes_its_worse_end() {
        let question = draft(
            r#"{"need":{"verb":"hold","load":"2..3 kg","steel":{"thickness":"0.4..0.8 mm"},
                "layers":[{"material":"paint","thickness":"0.1..0.3 mm"}]},
                "conditions":{"warmest":"40..60 °C"},"limits":{"widest":"20..25 mm"}}"#,
        )
        .question(Currency::EUR)
        .unwrap();
        let Need::Hold {
            load, steel, layers, ..
        } = question.need
        else {
            panic!("a hold");
        };
        assert_eq!(load, Load::Mass(Mass(3.0)));
        assert_eq!(steel.thickness, Some(Length::from_mm(0.4)));
        assert_eq!(layers[0].thickness, Length::from_mm(0.3));
        assert_eq!(question.conditions.warmest, Some(Temperature::from_celsius(60.0)));
        assert_eq!(question.limits.widest, Some(Length::from_mm(20.0)));
    }

    #[test]
    fn pairs_that_share_a_force_give_their_part_of_it_each() {
        let force = |json: &str| match draft(json).question(Currency::EUR).unwrap().need {
            Need::PullTogether { force, .. } | Need::PushApart { force, .. } => force,
            other => panic!("{other:?}"),
        };
        for verb in ["pull_together", "push_apart"] {
            let asked = |force: &str, rest: &str| {
                format!(r#"{{"need":{{"verb":"{verb}","force":"{force}","gap":"1 mm"{rest}}}}}"#)
            };
            assert_eq!(force(&asked("180 N", r#","shared_by":6"#)), Load::Force(Force(30.0)));
            assert_eq!(force(&asked("3 kg", r#","shared_by":2"#)), Load::Mass(Mass(1.5)));
            assert_eq!(force(&asked("12 N", "")), Load::Force(Force(12.0)));
            assert_eq!(force(&asked("12 N", r#","shared_by":0"#)), Load::Force(Force(12.0)));
        }
        assert_eq!(
            force(r#"{"need":{"verb":"pull_together","load":"5 N"}}"#),
            Load::Force(Force(5.0))
        );
    }

    #[test]
    fn what_pulls_along_two_magnets_is_held_by_friction() {
        let newtons = |json: &str| match draft(json).question(Currency::EUR).unwrap().need {
            Need::PullTogether { force, .. } => force.force().0,
            other => panic!("{other:?}"),
        };
        let along = r#"{"need":{"verb":"pull_together","direction":"sideways","load":"6 N""#;
        let usual = usual_safety(Direction::Sideways) / FRICTION[0];
        assert!((newtons(&format!("{along}}}}}")) - 6.0 * usual).abs() < 1e-9);
        let said = format!(r#"{along},"friction":0.5,"safety_factor":3,"shared_by":2}}}}"#);
        assert!((newtons(&said) - 18.0).abs() < 1e-9);
        let straight = r#"{"need":{"verb":"pull_together","force":"6 N","safety_factor":3}}"#;
        assert!((newtons(straight) - 18.0).abs() < 1e-9);
    }

    #[test]
    fn what_is_missing_is_named_and_nothing_more() {
        let missing = |json: &str| draft(json).question(Currency::EUR).unwrap_err();
        assert_eq!(missing("{}"), ["/need/verb"]);
        assert_eq!(
            missing(r#"{"need":{"verb":"hold","layers":[{"material":"wood"}]}}"#),
            ["/need/load", "/need/layers/0/thickness"]
        );
        assert_eq!(
            missing(r#"{"need":{"verb":"switch_sensor","switch":"reed","near":"5 mm"}}"#),
            ["/need/far"]
        );
        assert_eq!(
            missing(r#"{"need":{"verb":"face_field","field":"300 mT"},"limits":{"budget_each":"2 USD"}}"#),
            ["/limits/budget_each"]
        );
    }

    #[test]
    fn money_and_limits_read_back() {
        let json = r#"{"limits":{"coating":"epoxy","countersunk":true,"goal":"cheapest","budget_each":"0.80 EUR"},"pieces":20}"#;
        let read = draft(json);
        assert_eq!(draft(&serde_json::to_string(&read).unwrap()), read);
        assert_eq!(read.limits.budget_each.unwrap().to_string(), "0.8 EUR");
    }

    #[test]
    fn an_empty_draft_is_an_empty_object() {
        assert_eq!(serde_json::to_string(&Draft::default()).unwrap(), "{}");
    }
}
