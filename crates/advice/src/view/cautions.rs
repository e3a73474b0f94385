//! Cautions in words, from `data/cautions.toml` and the figures of a build.

use std::sync::OnceLock;

use materials::coating::Rating;
use quantity::{Force, Length};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::answer::{Candidate, Hazards, Reason, Warning};
use crate::hazards::{FLUX_INDEX_LIMIT, NEVER_FLIES};
use crate::question::{Direction, Need, Question};
use crate::rules::FLIGHT_LIMIT;
use crate::view::text::{Reader, Run, capital, percent, percent_up, runs};
use crate::view::ways::surroundings_words;

/// From this attraction on, skin is pinched, N; common practice, no source.
const PINCH: f64 = 50.0;

/// A layer as thin as a coat of paint, m.
const THIN_LAYER: f64 = 0.1e-3;
/// A pull that falls below this share across such a layer falls steeply.
const STEEP: f64 = 0.9;

/// What a caution guards.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// People.
    Harm,
    /// Things.
    Damage,
    /// Good to know.
    Note,
}

/// A caution with the rule it rests on.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct Caution {
    /// What to mind.
    pub runs: Vec<Run>,
    /// The rule behind it.
    pub rule: String,
    /// What it guards.
    pub severity: Severity,
    /// The same in few words, for a message.
    pub short: String,
    /// How much it matters among those that are said of one use: 1 most.
    pub rank: u8,
    /// What it is about, in a word or two.
    pub about: String,
    /// Whether it is among the few that are said at once; the others are named by what they are about, and told when asked.
    pub leads: bool,
}

/// So many cautions are said at once.
const LEADING: usize = 2;
/// What stands at this rank is said at once however many there are: the build does not stand its use.
const ALWAYS: u8 = 1;

/// Those that matter most first, people before things where they matter alike; the first few lead.
fn ranked(mut all: Vec<Caution>) -> Vec<Caution> {
    all.sort_by_key(|caution| (caution.rank, weight(caution.severity)));
    for (place, caution) in all.iter_mut().enumerate() {
        caution.leads = place < LEADING || caution.rank <= ALWAYS;
    }
    all
}

/// What those that do not lead are about, each once: `children`, `fingers`.
pub fn folded(cautions: &[Caution]) -> Vec<&str> {
    let mut names: Vec<&str> = Vec::new();
    for caution in cautions.iter().filter(|caution| !caution.leads) {
        if !names.contains(&caution.about.as_str()) {
            names.push(&caution.about);
        }
    }
    names
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
enum When {
    Pinch,
    Shatter,
    Dust,
    Brittle,
    SteelSnaps,
    SteelFalls,
    Swallow,
    SwallowWeak,
    Implant,
    Scanner,
    Cards,
    Overhead,
    Lifting,
    Lever,
    Adhesive,
    Heat,
    Opposed,
    AirOrder,
    AirNever,
    Nickel,
    Estimate,
    NotRated,
    NotRatedCold,
    LosesForGood,
    Extrapolated,
    CoatingFails,
    CoatingWithCare,
    PlaceNotSaid,
    NoCurve,
}

#[derive(Deserialize)]
struct Row {
    when: When,
    severity: Severity,
    rank: u8,
    text: String,
    about: String,
    short: String,
    rule: String,
}

impl Row {
    /// The caution with its figures put in.
    fn filled(&self, fill: impl Fn(&str) -> String) -> Caution {
        Caution {
            runs: runs(&fill(&self.text)),
            rule: self.rule.clone(),
            severity: self.severity,
            short: fill(&self.short),
            rank: self.rank,
            about: self.about.clone(),
            leads: true,
        }
    }
}

#[derive(Deserialize)]
struct File {
    caution: Vec<Row>,
}

fn rows() -> &'static [Row] {
    static ROWS: OnceLock<Vec<Row>> = OnceLock::new();
    // A test reads the embedded data, so that it cannot be broken in a release.
    ROWS.get_or_init(|| {
        toml::from_str(include_str!("../../data/cautions.toml")).map_or_else(|_| Vec::new(), |f: File| f.caution)
    })
}

/// The cautions for a candidate in its use, those that matter most first; with the pull that a steel part gives it.
pub fn for_candidate(question: &Question, candidate: &Candidate, reader: &Reader) -> Vec<Caution> {
    let mut hazards = candidate.hazards;
    let mut of_part = Vec::new();
    let with_part = candidate.with_part.as_ref();
    if let Some((part, contact, near)) = with_part.and_then(|p| Some((p, p.contact?, p.curve.first()?))) {
        hazards.contact_force = hazards.contact_force.max(contact);
        let mut say = |when: When, name: &str, value: String| {
            let said = rows().iter().filter(|row| row.when == when);
            of_part.extend(said.map(|row| row.filled(|text| text.replace(name, &value))));
        };
        if contact >= PINCH {
            say(When::SteelSnaps, "{contact_pull}", reader.no_less::<Force>(contact));
        }
        let left = part.value_at(THIN_LAYER).unwrap_or(candidate.band.mid) / near.with;
        if left < STEEP {
            say(When::SteelFalls, "{left}", percent(left));
        }
    }
    let estimated = candidate
        .because
        .iter()
        .any(|b| matches!(b, Reason::SteelEstimate { .. }));
    let mut out = cautions(&hazards, &candidate.warnings, reader, |when| match when {
        When::Estimate => estimated,
        _ => is_for(when, &question.need),
    });
    out.extend(of_part);
    ranked(out)
}

/// Whether a caution about a way of holding is for that need; all others are.
fn is_for(when: When, need: &Need) -> bool {
    let holds = match need {
        Need::Hold { direction, .. } => Some(*direction),
        _ => None,
    };
    match when {
        When::Overhead => matches!(holds, Some(Direction::HangingBelow | Direction::Sideways)),
        When::Lifting => holds == Some(Direction::HangingBelow),
        When::Lever => holds == Some(Direction::Sideways),
        _ => true,
    }
}

fn weight(severity: Severity) -> u8 {
    match severity {
        Severity::Harm => 0,
        Severity::Damage => 1,
        Severity::Note => 2,
    }
}

/// The cautions for an item whatever its use, with what is to be warnings in its conditions.
pub fn for_item(hazards: &Hazards, warnings: &[Warning], reader: &Reader) -> Vec<Caution> {
    ranked(cautions(hazards, warnings, reader, |when| {
        !matches!(
            when,
            When::Overhead | When::Lifting | When::Lever | When::Estimate | When::AirOrder | When::AirNever
        )
    }))
}

/// What is to be warnings of a build in its conditions, in words; all of it is said at once.
pub fn for_conditions(warnings: &[Warning], reader: &Reader) -> Vec<Caution> {
    let words = |mind: &Warning| -> Option<Caution> {
        let (when, filled): (When, Vec<(&str, String)>) = match mind {
            Warning::NotRated { celsius: asked, rated } => (
                When::NotRated,
                vec![("{asked}", reader.celsius(*asked)), ("{rated}", reader.celsius(*rated))],
            ),
            Warning::NotRatedCold { celsius: asked, rated } => (
                When::NotRatedCold,
                vec![("{asked}", reader.celsius(*asked)), ("{rated}", reader.celsius(*rated))],
            ),
            Warning::LosesForGood { celsius: at, part } => (
                When::LosesForGood,
                vec![("{asked}", reader.celsius(*at)), ("{part}", percent_up(*part))],
            ),
            Warning::Extrapolated { from, to } => (
                When::Extrapolated,
                vec![("{from}", reader.celsius(*from)), ("{to}", reader.celsius(*to))],
            ),
            Warning::Coating {
                coating,
                surroundings,
                rating,
                reason,
            } => (
                if *rating == Rating::Poor {
                    When::CoatingFails
                } else {
                    When::CoatingWithCare
                },
                vec![
                    ("{coating}", capital(coating)),
                    ("{place}", surroundings_words(*surroundings).into()),
                    ("{reason}", reason.clone()),
                ],
            ),
            Warning::PlaceNotSaid {
                coating,
                surroundings,
                reason,
            } => (
                When::PlaceNotSaid,
                vec![
                    ("{coating}", capital(coating)),
                    ("{place}", surroundings_words(*surroundings).into()),
                    ("{reason}", reason.clone()),
                ],
            ),
            Warning::NoCurve { reason } => (When::NoCurve, vec![("{reason}", reason.clone())]),
        };
        let row = rows().iter().find(|row| row.when == when)?;
        Some(row.filled(|text| {
            let put = |text: String, (name, value): &(&str, String)| text.replace(name, value);
            filled.iter().fold(text.to_owned(), put)
        }))
    };
    warnings.iter().filter_map(words).collect()
}

fn cautions(hazards: &Hazards, warnings: &[Warning], reader: &Reader, in_use: impl Fn(When) -> bool) -> Vec<Caution> {
    let over_index = hazards.flux_index >= FLUX_INDEX_LIMIT;
    // At the high end of the band an order is surely below.
    let [low, high] = hazards.order_range_at_2_1_m;
    let wide = (high / hazards.order_at_2_1_m).max(1.0);
    let never = hazards.order_at_4_5_m * wide > NEVER_FLIES;
    let applies = |when: When| match when {
        When::Pinch => hazards.contact_force >= PINCH,
        When::Shatter => hazards.brittle && hazards.burns,
        When::Dust => hazards.burns,
        When::Brittle => hazards.brittle && !hazards.burns,
        When::Swallow => hazards.small_part && over_index,
        When::SwallowWeak => hazards.small_part && !over_index,
        When::Implant | When::Scanner | When::Heat | When::Adhesive => true,
        When::Cards => hazards.card_distance > 0.0,
        When::Opposed => hazards.opposed,
        When::AirNever => never,
        When::AirOrder => !never && hazards.order_at_2_1_m * wide > FLIGHT_LIMIT,
        When::Nickel => hazards.nickel,
        When::Overhead | When::Lifting | When::Lever | When::Estimate => true,
        // Said of the conditions or of a steel part, not of the magnets alone.
        When::SteelSnaps
        | When::SteelFalls
        | When::NotRated
        | When::NotRatedCold
        | When::LosesForGood
        | When::Extrapolated
        | When::CoatingFails
        | When::CoatingWithCare
        | When::PlaceNotSaid
        | When::NoCurve => false,
    };
    let fill = |text: &str| {
        text.replace("{contact_force}", &reader.no_less::<Force>(hazards.contact_force))
            .replace("{flux_index}", &format!("{:.0}", (hazards.flux_index / 1e-8).ceil()))
            .replace(
                "{implant_distance}",
                &reader.no_less::<Length>(hazards.implant_distance),
            )
            .replace("{card_distance}", &reader.no_less::<Length>(hazards.card_distance))
            .replace("{max_temperature}", &reader.up_to_celsius(hazards.max_celsius))
            .replace("{opposed_loss}", &percent_up(hazards.opposed_loss))
            .replace("{order_field}", &format!("{:.2}\u{a0}µT", hazards.order_at_2_1_m * 1e6))
            .replace(
                "{order_range}",
                &format!("{:.2} to {:.2}\u{a0}µT", low * 1e6, high * 1e6),
            )
    };
    let of_build = rows()
        .iter()
        .filter(|row| applies(row.when) && in_use(row.when))
        .map(|row| row.filled(fill));
    for_conditions(warnings, reader).into_iter().chain(of_build).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::view::text::plain;
    use materials::coating::Surroundings;
    use quantity::{Currency, Units};

    const READER: Reader = Reader {
        units: Units::metric(),
        currency: Currency::EUR,
    };

    fn every_mind() -> Vec<Warning> {
        let coating = |rating| Warning::Coating {
            coating: "zinc".into(),
            surroundings: Surroundings::Outdoors,
            rating,
            reason: "thin zinc does not last".into(),
        };
        vec![
            Warning::NotRated {
                celsius: 120.0,
                rated: 80.0,
            },
            Warning::NotRatedCold {
                celsius: -80.0,
                rated: -40.0,
            },
            Warning::LosesForGood {
                celsius: 80.0,
                part: 0.12,
            },
            Warning::Extrapolated { from: -40.0, to: 80.0 },
            coating(Rating::Poor),
            coating(Rating::Fair),
            Warning::PlaceNotSaid {
                coating: "zinc".into(),
                surroundings: Surroundings::Damp,
                reason: "zinc is used up".into(),
            },
            Warning::NoCurve {
                reason: "the curve is not listed".into(),
            },
        ]
    }

    #[test]
    fn what_is_minded_is_said_with_its_numbers() {
        let got = for_conditions(&every_mind(), &READER);
        assert_eq!(got.len(), every_mind().len());
        assert!(got.iter().all(|c| !plain(&c.runs).contains('{') && !c.rule.is_empty()));
        let text: String = got.iter().map(|c| plain(&c.runs)).collect();
        for word in ["120", "80", "12", "outdoors", "thin zinc"] {
            assert!(text.contains(word), "{word}: {text}");
        }
    }

    #[test]
    fn every_row_reads_and_leaves_no_name_open() {
        let file: File = toml::from_str(include_str!("../../data/cautions.toml")).unwrap();
        assert_eq!(file.caution.len(), rows().len());
        let loud = Hazards {
            contact_force: 80.0,
            implant_distance: 0.08,
            card_distance: 0.06,
            small_part: true,
            flux_index: 3e-6,
            order_at_2_1_m: 1e-6,
            order_range_at_2_1_m: [0.9e-6, 1.1e-6],
            brittle: true,
            burns: true,
            nickel: true,
            opposed: true,
            max_celsius: 80.0,
            ..Hazards::default()
        };
        let got = cautions(&loud, &every_mind(), &READER, |_| true);
        assert!(got.len() >= 9);
        assert!(got.iter().all(|c| !plain(&c.runs).contains('{') && !c.rule.is_empty()));
        assert!(rows().iter().all(|row| !row.about.is_empty() && !row.short.is_empty()));
    }

    /// What its conditions take of it is said whatever else there is; of the rest the two that matter most, people before
    /// things where they matter alike, and the others are named.
    #[test]
    fn few_cautions_lead_and_the_others_are_named() {
        let loud = Hazards {
            contact_force: 80.0,
            small_part: true,
            flux_index: 3e-6,
            brittle: true,
            burns: true,
            nickel: true,
            max_celsius: 80.0,
            ..Hazards::default()
        };
        let of = |all: Vec<Caution>| {
            let all = ranked(all);
            assert!(all.is_sorted_by_key(|c| (c.rank, weight(c.severity))));
            let leads: Vec<String> = all.iter().filter(|c| c.leads).map(|c| c.about.clone()).collect();
            let folded: Vec<String> = folded(&all).into_iter().map(str::to_owned).collect();
            (leads, folded)
        };
        let (leads, folded) = of(cautions(&loud, &[], &READER, |_| true));
        assert_eq!(leads, ["what hangs above people", "loads that stand off"]);
        for about in ["children", "fingers", "pacemakers and implants", "scanners", "heat"] {
            assert_eq!(
                folded.iter().filter(|name| *name == about).count(),
                1,
                "{about}: {folded:?}"
            );
        }
        let not_in_use = |when| !matches!(when, When::Overhead | When::Lever | When::Lifting | When::Estimate);
        let (leads, _) = of(cautions(&loud, &[], &READER, not_in_use));
        assert_eq!(leads, ["children", "fingers"]);
        // As many as do not stand the use lead all of them.
        let (leads, folded) = of(cautions(&loud, &every_mind(), &READER, not_in_use));
        assert_eq!(leads, ["heat", "cold", "strength lost to heat", "the coating"]);
        assert!(folded.contains(&"children".to_owned()));
    }

    /// What is said of those hazards, in one text.
    fn said(hazards: &Hazards) -> String {
        let said = cautions(hazards, &[], &READER, |_| true);
        said.iter().map(|c| plain(&c.runs) + "\n").collect()
    }

    /// Whether a caution appears from a figure on, and not a hair below.
    fn begins(at: f64, words: &str, hazards: impl Fn(f64) -> Hazards) {
        assert!(!said(&hazards(at * (1.0 - 1e-9))).contains(words), "{words} below {at}");
        assert!(said(&hazards(at * (1.0 + 1e-9))).contains(words), "{words} above {at}");
    }

    #[test]
    fn cautions_begin_where_their_rules_do() {
        begins(50.0, "skin is pinched", |contact_force| Hazards {
            contact_force,
            ..Hazards::default()
        });
        begins(50.0 * 1e-8, "two swallowed pieces can kill", |flux_index| Hazards {
            small_part: true,
            flux_index,
            ..Hazards::default()
        });
        // The high end of the order decides, 5 % above its middle.
        let order = |far: f64| Hazards {
            order_at_2_1_m: far / 1.05,
            order_range_at_2_1_m: [far / 1.1, far],
            order_at_4_5_m: far / 1.05 * (2.1f64 / 4.5).powi(3),
            ..Hazards::default()
        };
        begins(0.2e-6, "magnetised material in air transport", order);
        begins(0.525e-6 * (4.5f64 / 2.1).powi(3), "may not fly without approval", order);
    }

    /// Strong neodymium shatters and burns whatever it is pulled with; ferrite does neither.
    #[test]
    fn strong_neodymium_is_said_to_shatter_and_burn_and_ferrite_is_not() {
        let of = |burns: bool, contact_force: f64| {
            said(&Hazards {
                brittle: true,
                burns,
                contact_force,
                ..Hazards::default()
            })
        };
        for force in [1.0, 49.0, 51.0, 500.0] {
            let (neodymium, ferrite) = (of(true, force), of(false, force));
            assert!(
                neodymium.contains("dust burns") && neodymium.contains("chips fly"),
                "{force}"
            );
            assert!(neodymium.contains("Do not drill"), "{force}");
            for never in ["burns", "chips fly", "drill"] {
                assert!(!ferrite.contains(never), "{force}: {never}");
            }
            assert!(ferrite.contains("brittle"));
        }
    }

    #[test]
    fn every_magnet_is_kept_from_scanners_and_from_hot_glue() {
        let text = said(&Hazards {
            max_celsius: 80.0,
            implant_distance: 0.15,
            ..Hazards::default()
        });
        for words in [
            "magnetic resonance",
            "must not cure hotter than 80\u{a0}°C",
            "at least 150\u{a0}mm",
        ] {
            assert!(text.contains(words), "{words}: {text}");
        }
    }

    /// What must not be shown smaller is rounded up.
    #[test]
    fn figures_of_hazards_are_rounded_outwards() {
        let text = said(&Hazards {
            contact_force: 101.0,
            implant_distance: 0.1801,
            card_distance: 0.0901,
            small_part: true,
            flux_index: 50.1e-8,
            ..Hazards::default()
        });
        for words in ["110\u{a0}N", "190\u{a0}mm", "91\u{a0}mm", "51 kG²"] {
            assert!(text.contains(words), "{words}: {text}");
        }
    }

    #[test]
    fn ways_of_holding_have_their_own_cautions() {
        let need = |direction| Need::Hold {
            load: quantity::Load::Force(Force(10.0)),
            direction,
            steel: crate::question::SteelPart::default(),
            layers: Vec::new(),
            safety_factor: None,
            shared_by: 1,
            friction: None,
        };
        let of = |need: &Need| [When::Overhead, When::Lifting, When::Lever].map(|when| is_for(when, need));
        assert_eq!(of(&need(Direction::StraightOff)), [false; 3]);
        assert_eq!(of(&need(Direction::HangingBelow)), [true, true, false]);
        assert_eq!(of(&need(Direction::Sideways)), [true, false, true]);
        let pair = Need::PullTogether {
            force: quantity::Load::Force(Force(10.0)),
            gap: quantity::Length(1e-3),
        };
        assert_eq!(of(&pair), [false; 3]);
    }

    /// 50 kG² mm² is 0.5 T² mm² (EN 71-1).
    #[test]
    fn flux_index_limit_agrees_in_both_units() {
        assert!((FLUX_INDEX_LIMIT - 0.5e-6).abs() <= 1e-18);
    }

    #[test]
    fn weak_small_parts_are_still_named() {
        let quiet = Hazards {
            small_part: true,
            flux_index: 1e-7,
            ..Hazards::default()
        };
        let text: String = cautions(&quiet, &[], &READER, |_| true)
            .iter()
            .map(|c| plain(&c.runs))
            .collect();
        assert!(text.contains("swallow") && text.contains("laboratory"));
    }
}
