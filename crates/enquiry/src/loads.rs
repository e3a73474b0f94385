//! Loads, masses, fields, temperatures and money: which amount is which.

use quantity::{Kind, Unit};

use crate::bounds::bound;
use crate::lexer::{Amount, Measure, What};
use crate::named::Class;
use crate::roles::{is_pair, plain};
use crate::scene::Scene;
use advice::sentence::Verb;

/// An amount chosen for a place.
#[derive(Clone, Debug)]
pub(crate) struct Chosen {
    pub item: usize,
    /// As a draft has it.
    pub text: String,
    pub si: f64,
    pub score: f64,
}

/// An amount with its unit as a draft has it.
pub(crate) fn text(amount: &Amount, high: bool) -> Option<String> {
    let value = if high { amount.high } else { amount.low };
    match amount.measure {
        Measure::Unit(unit) => Some(format!("{} {}", plain(value), unit.label())),
        _ => None,
    }
}

/// The loads that a message may name, the surest first.
pub(crate) fn loads(scene: &Scene, verb: Verb) -> Vec<Chosen> {
    let mut out: Vec<Chosen> = Vec::new();
    for (i, item) in scene.items.iter().enumerate() {
        let Some(amount) = item.amount() else { continue };
        let kind = amount.kind();
        if !matches!(kind, Some(Kind::Mass | Kind::Force)) || amount.high <= 0.0 {
            continue;
        }
        let (Some(si), Some(text)) = (amount.si(), text(amount, true)) else {
            continue;
        };
        let score = load_score(scene, i, amount, verb) + 0.01 * i as f64 / scene.items.len().max(1) as f64;
        out.push(Chosen {
            item: i,
            text,
            si,
            score,
        });
    }
    out.sort_by(|a, b| b.score.total_cmp(&a.score));
    out
}

/// Whether a mass or force is said that is zero or less.
pub(crate) fn not_positive(scene: &Scene) -> bool {
    let amounts = || scene.amounts(Kind::Mass).chain(scene.amounts(Kind::Force));
    amounts().any(|(_, a)| a.high <= 0.0) && !amounts().any(|(_, a)| a.high > 0.0)
}

fn load_score(scene: &Scene, i: usize, amount: &Amount, verb: Verb) -> f64 {
    let near = |tags: &[&str], reach: f64| {
        scene
            .nearest(i, reach, |x| x.is_any(tags) && !x.is("inside"))
            .filter(|(n, _)| scene.same_sentence(i, *n) || *n < i)
    };
    let mut score = 1.0;
    if amount.kind() == Some(Kind::Force) {
        score += 1.6;
    }
    // the nearer the word that says what the amount is, the more it counts
    let closeness = |tags: &[&str], reach: f64, weight: f64| {
        near(tags, reach).map_or(0.0, |(_, d)| weight * (1.0 - 0.6 * d / reach))
    };
    score += closeness(&["pull"], 5.0, 2.6);
    score += closeness(&["hold"], 4.5, 1.6);
    score += closeness(&["weigh"], 4.5, 1.0);
    let word = |w: &[&str], reach: f64| scene.nearest(i, reach, |x| w.contains(&x.norm.as_str())).is_some();
    if word(&["heaviest", "heavy", "heavier"], 4.0) {
        score += 1.2;
    }
    if word(
        &["enough", "plenty", "suffices", "sufficient", "calculated", "required"],
        3.5,
    ) {
        score += 1.0;
    }
    if word(&["maybe", "so", "say", "better"], 1.6) {
        score += 0.5;
    }
    // "80 g paper" is its grammage
    if scene
        .next(i)
        .is_some_and(|n| scene.items[n].norm == "paper" || scene.items[n].norm == "gsm")
        && amount.high >= 60.0
    {
        score -= 4.0;
    }
    if is_pair(verb) && near(&["pull"], 5.0).is_some() {
        score += 0.5;
    }
    // a machine, a car
    if amount.si().is_some_and(|si| si > 500.0) {
        score -= 2.0;
    }
    // "our old ones held 18 kg"
    if word(&["old", "previous", "last"], 3.0) {
        score -= 0.6;
    }
    score
}

/// A mass that limits the magnet itself.
pub(crate) fn mass_limit(scene: &Scene, verb: Verb, loads: &[Chosen]) -> Option<Chosen> {
    let carries = verb == Verb::Hold || is_pair(verb);
    loads
        .iter()
        .find(|l| {
            let Some(amount) = scene.items[l.item].amount() else {
                return false;
            };
            let bound =
                bound(scene, l.item) == Some(true) || scene.previous(l.item).is_some_and(|p| scene.items[p].is("max"));
            // "mass budget 15 g per magnet"
            let budget = matches!(
                scene.word(scene.previous(l.item)),
                "mass budget" | "weight budget" | "budget"
            );
            let itself = scene
                .nearest(l.item, 4.0, |x| {
                    x.is("magnet")
                        || matches!(
                            x.norm.as_str(),
                            "itself" | "lightest" | "drone" | "heavier than" | "mass" | "magnet mass"
                        )
                })
                .is_some();
            let heavier = scene
                .previous(l.item)
                .is_some_and(|p| scene.items[p].norm.ends_with("heavier than"));
            let holds = scene
                .nearest(l.item, 3.5, |x| x.is_any(&["hold", "pull"]) && x.norm != "for")
                .is_some();
            let weighs = scene
                .nearest(l.item, 3.0, |x| {
                    x.is_any(&["weigh", "each"]) && !matches!(x.norm.as_str(), "mass")
                })
                .is_some();
            // "the float can take 12 g of magnet"
            let of_magnet = scene.next(l.item).filter(|n| scene.items[*n].norm == "of");
            if of_magnet
                .and_then(|n| scene.next(n))
                .is_some_and(|n| scene.items[n].is("magnet"))
            {
                return amount.kind() == Some(Kind::Mass);
            }
            if budget && itself {
                return amount.kind() == Some(Kind::Mass);
            }
            // nothing is carried, so that what may weigh so much is the magnet
            if !carries && bound {
                return amount.kind() == Some(Kind::Mass);
            }
            amount.kind() == Some(Kind::Mass) && bound && (itself || heavier) && !holds && (!weighs || heavier)
        })
        .cloned()
}

/// The coldest and the warmest that a message names.
#[derive(Clone, Debug, Default)]
pub(crate) struct Temperatures {
    pub warmest: Option<Chosen>,
    pub coldest: Option<Chosen>,
}

/// Hotter than any magnet stands, °C; from memory: alnico works up to about 550 °C.
const HOTTEST: f64 = 1000.0;
/// More than any magnet is used at, °C: AlNiCo is, up to 550 °C; common practice, no source.
const STOOD: f64 = 600.0;
/// A place colder than this is named for its cold, °C; common practice, no source.
const COLD: f64 = 9.0;
/// The warm end of what may still be the coldest that it gets, °C; common practice, no source.
const COOL: f64 = 30.0;

pub(crate) fn temperatures(scene: &Scene) -> Temperatures {
    let mut out = Temperatures::default();
    for (i, item) in scene.items.iter().enumerate() {
        let Some(amount) = item.amount() else { continue };
        let unit = match amount.measure {
            Measure::Unit(unit) if unit.kind() == Kind::Temperature => unit,
            // "-20, in the sun 55": bare numbers that can be nothing else
            Measure::Bare if amount.low < 0.0 && amount.digits && amount.low > -280.0 => Unit::CELSIUS,
            Measure::Bare if is_bare_heat(scene, i, amount) => Unit::CELSIUS,
            // "20 below Fahrenheit", "30 below (F)"
            Measure::Bare
                if scene.next(i).is_some_and(|n| scene.items[n].norm == "below") && cold_scale(scene, i).is_some() =>
            {
                cold_scale(scene, i).unwrap_or(Unit::CELSIUS)
            }
            _ => continue,
        };
        // "23 ± 2 °C": how far it strays
        let before = scene.text[..item.range.start].trim_end();
        if before.ends_with('±') || before.ends_with("+/-") {
            continue;
        }
        // sharp corners, not heat
        if scene.next(i).is_some_and(|n| {
            matches!(
                scene.items[n].norm.as_str(),
                "angle" | "countersink" | "bend" | "corner" | "tilt"
            )
        }) || scene
            .previous(i)
            .is_some_and(|n| matches!(scene.items[n].norm.as_str(), "tilted" | "rotated" | "turned" | "angle"))
        {
            continue;
        }
        let celsius = |value: f64| unit.to_si(value) - 273.15;
        // no magnet lives there, and no degree is said: a number of an order or a drawing
        if celsius(amount.high) > HOTTEST && !scene.text[item.range.clone()].contains(['°', 'd']) {
            continue;
        }
        let low = amount.low != amount.high;
        let below = scene.next(i).is_some_and(|n| scene.items[n].norm == "below") && amount.high > 0.0;
        let mut put = |value: f64, cold: bool| {
            let chosen = Chosen {
                item: i,
                text: format!("{} {}", plain(value), unit.label()),
                si: unit.to_si(value),
                score: 1.0,
            };
            let slot = if cold { &mut out.coldest } else { &mut out.warmest };
            // of several, what no magnet stands is the heat of something else: "870 °C inside, the wall is at 200 °C"
            let stood = |si: f64| si - 273.15 <= STOOD;
            let better = slot
                .as_ref()
                .is_none_or(|s| match (cold, stood(s.si), stood(chosen.si)) {
                    (true, ..) => chosen.si < s.si,
                    (false, false, true) => true,
                    (false, true, false) => false,
                    (false, ..) => chosen.si > s.si,
                });
            if better {
                *slot = Some(chosen);
            }
        };
        if low {
            // "75-80 °C" says how warm it gets, and nothing of the cold
            if celsius(amount.low) < COOL {
                put(amount.low, true);
            }
            put(amount.high, false);
            continue;
        }
        if below {
            put(-amount.high, true);
            continue;
        }
        let minimum = scene.previous(i).is_some_and(|p| {
            let x = &scene.items[p];
            x.is("cold") && !x.is("warm") && x.norm != "winter"
        });
        let cool = celsius(amount.high);
        put(amount.high, cool < COLD || (minimum && cool < COOL));
    }
    out
}

/// The scale named after `20 below`.
fn cold_scale(scene: &Scene, i: usize) -> Option<Unit> {
    let below = scene.next(i)?;
    let scale = scene.next(below)?;
    match scene.items[scale].norm.as_str() {
        "f" | "fahrenheit" => Some(Unit::FAHRENHEIT),
        "c" | "celsius" | "zero" | "freezing" => Some(Unit::CELSIUS),
        _ => None,
    }
}

fn is_bare_heat(scene: &Scene, i: usize, amount: &Amount) -> bool {
    let signed = amount.low < 0.0;
    let at = scene.items[i].range.start;
    // "1 pair + 1 spare pair" adds up
    let own_sign = scene.text[at..]
        .strip_prefix('+')
        .is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()));
    let signed_up = amount.digits && (scene.text[..at].ends_with('+') || own_sign);
    let sun = signed_up
        || scene.previous(i).is_some_and(|p| {
            matches!(
                scene.items[p].norm.as_str(),
                "sun"
                    | "summer"
                    | "heat"
                    | "temp"
                    | "temperature"
                    | "tmax"
                    | "hot"
                    | "sometimes"
                    | "even"
                    | "peak"
                    | "peaks"
            )
        });
    let other = scene.amounts(Kind::Temperature).next().is_some() || scene.numbers().any(|(_, a)| a.low < 0.0);
    let mut lead = scene.previous(i);
    while lead.is_some_and(|n| {
        matches!(
            scene.items[n].norm.as_str(),
            "maybe" | "about" | "say" | "to" | "up to" | "around"
        )
    }) {
        lead = lead.and_then(|n| scene.previous(n));
    }
    let warm = matches!(scene.word(lead), "warm" | "hot") && scene.next(i).is_none();
    signed
        || warm && amount.digits && (30.0..300.0).contains(&amount.high)
        || (sun
            && other
            && scene.next(i).is_none_or(|n| !scene.items[n].is_magnet())
            && (if signed_up { 1.0 } else { 20.0 }..300.0).contains(&amount.high))
}

/// The fields that a message names.
pub(crate) fn fields(scene: &Scene) -> Vec<(usize, Chosen)> {
    let mut out: Vec<(usize, Chosen)> = scene
        .items
        .iter()
        .enumerate()
        .filter_map(|(i, item)| {
            let amount = item.amount()?;
            let si = match amount.kind()? {
                Kind::FluxDensity => amount.si()?,
                // a field strength in air
                Kind::FieldStrength => amount.si()? * 4e-7 * std::f64::consts::PI,
                _ => return None,
            };
            let text = match amount.kind()? {
                Kind::FluxDensity => text(amount, true)?,
                _ => format!("{} mT", plain(si * 1e3)),
            };
            Some((
                i,
                Chosen {
                    item: i,
                    text,
                    si,
                    score: 1.0,
                },
            ))
        })
        .collect();
    if out.is_empty() && scene.says(&["gauss", "tesla", "gs", "mt"]) {
        // "surface gauss 8000", "gauss 3000"
        let bare = scene.numbers().find(|(i, a)| {
            a.digits
                && a.high >= 5.0
                && scene
                    .nearest(*i, 2.4, |x| matches!(x.norm.as_str(), "gauss" | "gs"))
                    .is_some()
        });
        if let Some((i, a)) = bare {
            out.push((
                i,
                Chosen {
                    item: i,
                    text: format!("{} G", plain(a.high)),
                    si: a.high * 1e-4,
                    score: 1.0,
                },
            ));
        }
    }
    out
}

/// Operate and release of a switch among its fields.
pub(crate) fn switching(scene: &Scene, fields: &[(usize, Chosen)]) -> (Option<Chosen>, Option<Chosen>) {
    let mut operate: Option<(Chosen, f64)> = None;
    let mut release: Option<(Chosen, f64)> = None;
    for (i, field) in fields {
        let side = |tag: &str| {
            scene
                .nearest(*i, 6.0, |x| x.is(tag) && x.norm != "at" && x.norm != "on")
                .map_or(9.0, |(n, d)| if n < *i { d - 1.0 } else { d + 0.8 })
        };
        let (o, r) = (side("operate"), side("release"));
        if r < o {
            if release.as_ref().is_none_or(|x| r < x.1) {
                release = Some((field.clone(), r));
            }
        } else if operate.as_ref().is_none_or(|x| o < x.1) {
            operate = Some((field.clone(), o));
        }
    }
    let (mut operate, mut release) = (operate.map(|x| x.0), release.map(|x| x.0));
    // two fields and both on one side: the higher operates
    if fields.len() == 2 && (operate.is_none() || release.is_none()) {
        let mut two = [fields[0].1.clone(), fields[1].1.clone()];
        two.sort_by(|a, b| b.si.total_cmp(&a.si));
        let [high, low] = two;
        operate = Some(high);
        release = Some(low);
    }
    (operate, release)
}

/// An amount of money, with the item that says it.
pub(crate) type Price = (usize, String);

/// Money that a message allows: for one, and in total.
pub(crate) fn money(scene: &Scene) -> (Option<Price>, Option<Price>) {
    let (mut each, mut total) = (None, None);
    let is_money = |i: &usize| {
        scene.items[*i]
            .amount()
            .is_some_and(|a| matches!(a.measure, Measure::Money { .. }))
            || is_pounds_sterling(scene, *i)
    };
    let amounts: Vec<usize> = (0..scene.items.len()).filter(is_money).collect();
    // of several sums of money those count by which something is allowed
    let allowed = |i: usize| {
        bound(scene, i) == Some(true)
            || scene
                .nearest(i, 5.0, |x| x.is_any(&["budget", "max", "or_less", "each", "total"]))
                .is_some_and(|(n, _)| scene.same_sentence(i, n))
    };
    let several = amounts.iter().any(|i| allowed(*i));
    for i in amounts {
        let item = &scene.items[i];
        if several && !allowed(i) {
            continue;
        }
        let Some(amount) = item.amount() else { continue };
        let (code, cents) = match amount.measure {
            Measure::Money { code, cents } => (code, cents),
            _ => ("GBP", false),
        };
        let value = if cents { amount.high / 100.0 } else { amount.high };
        let code = if cents {
            scene_currency(scene).unwrap_or(code)
        } else {
            code
        };
        let text = format!("{value:.2} {code}");
        // what something else cost, or costs now, is no budget
        const SPENT: [&str; 14] = [
            "paid", "paying", "worth", "sell", "sells", "sold", "fine", "deposit", "shipping", "last", "invoice",
            "was", "damage", "repair",
        ];
        let spent = scene.nearest(i, 4.0, |x| SPENT.contains(&x.norm.as_str()));
        // "anything cheap is fine"
        let fine = |n: usize| matches!(scene.word(scene.previous(n)), "is" | "are" | "be" | "also");
        if spent.is_some_and(|(n, _)| scene.items[n].norm != "fine" || !fine(n)) {
            continue;
        }
        let near = |tag: &str, reach: f64| scene.nearest(i, reach, |x| x.is(tag)).map(|(_, d)| d);
        // "2 dollars a magnet"
        let of_one = scene.next(i).filter(|n| {
            let single = |m: usize| scene.items[m].amount().is_some_and(|a| a.is_bare() && a.high == 1.0);
            let one = scene.items[*n].norm == "for" && scene.next(*n).is_some_and(single);
            one || matches!(scene.items[*n].norm.as_str(), "a" | "per" | "each" | "the")
        });
        let of_one = of_one
            .and_then(|n| scene.next(n))
            .is_some_and(|n| scene.items[n].is_magnet() || scene.items[n].is("pieces"));
        let per = of_one
            || match (near("each", 3.2), near("total", 4.5)) {
                (Some(e), Some(t)) => e <= t,
                (Some(_), None) => true,
                (None, Some(_)) => false,
                (None, None) => {
                    scene
                        .next(i)
                        .is_some_and(|n| matches!(scene.items[n].norm.as_str(), "a" | "the" | "per"))
                        || i + 1 < scene.items.len() && scene.items[i + 1].what == What::Mark('/')
                        || value < 5.0
                }
            };
        let slot = if per { &mut each } else { &mut total };
        if slot.is_none() {
            *slot = Some((i, text));
        }
    }
    (each, total)
}

/// Whether `pound` is said of money rather than of a mass: `not expensive, 1 pound each at the most`.
fn is_pounds_sterling(scene: &Scene, i: usize) -> bool {
    let item = &scene.items[i];
    let pounds = item.amount().is_some_and(|a| a.kind() == Some(Kind::Mass))
        && scene.text[item.range.clone()].to_lowercase().contains("pound");
    let of_money = |x: &crate::lexer::Item| {
        x.is("budget") && x.norm != "not over" || ["expensive", "cheap", "dear", "dearer"].contains(&x.norm.as_str())
    };
    let said = scene.nearest(i, 9.0, of_money);
    let carried = scene.near(i, &["hold", "weigh", "pull"], 4.0);
    pounds && said.is_some_and(|(n, _)| scene.same_sentence(i, n)) && carried.is_none()
}

fn scene_currency(scene: &Scene) -> Option<&'static str> {
    if scene.says(&["eur", "euro", "euros"]) || scene.text.contains('€') {
        return Some("EUR");
    }
    if scene.text.contains('$') || scene.says(&["usd", "dollar", "dollars"]) {
        return Some("USD");
    }
    let inches = scene.any(|x| matches!(x.amount().map(|a| a.measure), Some(Measure::Unit(Unit::INCH))));
    inches.then_some("USD")
}

/// A safety factor.
pub(crate) fn safety(scene: &Scene) -> Option<(usize, f64)> {
    if scene.says(&["double", "twice"]) {
        let doubled = scene.items.iter().enumerate().find(|(i, x)| {
            matches!(x.norm.as_str(), "double" | "twice") && scene.nearest(*i, 1.6, |y| y.is("safety")).is_some()
        });
        if let Some((i, _)) = doubled {
            return Some((i, 2.0));
        }
    }
    // "calculate threefold"
    const FOLDS: [(&str, f64); 4] = [
        ("twofold", 2.0),
        ("threefold", 3.0),
        ("fourfold", 4.0),
        ("fivefold", 5.0),
    ];
    let fold = scene.items.iter().enumerate().find_map(|(i, x)| {
        let factor = FOLDS.iter().find(|f| f.0 == x.norm)?.1;
        Some((i, factor))
    });
    if fold.is_some() {
        return fold;
    }
    // "figure 3:1"
    let ratio = scene.numbers().find(|(i, a)| {
        let is = |n: usize, what: &What| scene.items.get(n).is_some_and(|x| x.what == *what);
        (1.5..=12.0).contains(&a.high)
            && is(i + 1, &What::Mark(':'))
            && scene
                .items
                .get(i + 2)
                .and_then(|x| x.amount())
                .is_some_and(|b| b.is_bare() && b.high == 1.0)
    });
    if let Some((i, a)) = ratio {
        return Some((i, a.high));
    }
    // "take five times the weight", "must stand 3x its weight", "2.5 times security"
    let times = scene.numbers().find(|(i, a)| {
        (1.5..=20.0).contains(&a.high)
            && a.low == a.high
            && scene.next(*i).is_some_and(|n| {
                let own = scene.items[n].is("times") && scene.distance(*i, n) < 1.6;
                own && times_the_load(scene, n)
            })
    });
    if let Some((i, a)) = times {
        return Some((i, a.high));
    }
    let near_safety = |i: usize| {
        scene
            .nearest(i, 7.0, |x| x.is("safety") && (x.norm != "margin") && !x.is("inside"))
            .filter(|(n, _)| {
                !scene.items[n + 1..]
                    .iter()
                    .take(1)
                    .any(|y| matches!(y.norm.as_str(), "guard" | "sheet" | "glass" | "switch"))
            })
    };
    scene
        .numbers()
        .filter(|(_, a)| (1.0..=20.0).contains(&a.high))
        .filter_map(|(i, a)| Some((i, a.high, near_safety(i)?.1)))
        .filter(|(i, _, _)| {
            scene.next(*i).is_none_or(|n| {
                !scene.items[n].is_any(&["pieces", "magnet", "pairs"]) && !scene.items[n].of(Class::Object)
            })
        })
        .min_by(|a, b| a.2.total_cmp(&b.2))
        .map(|(i, value, _)| (i, value))
}

/// Whether `times` is said of the load or of safety: `times the weight`, `x its weight`, `times security`.
fn times_the_load(scene: &Scene, times: usize) -> bool {
    const OF: [&str; 8] = [
        "weight",
        "load",
        "security",
        "safety",
        "reserve",
        "safe",
        "force",
        "own weight",
    ];
    let mut at = times;
    for _ in 0..3 {
        let Some(next) = scene.next(at) else { return false };
        let word = scene.items[next].norm.as_str();
        if OF.contains(&word) {
            return true;
        }
        if !matches!(word, "the" | "its" | "of" | "their" | "own" | "that" | "as") {
            return false;
        }
        at = next;
    }
    false
}

/// A coefficient of friction.
pub(crate) fn friction(scene: &Scene) -> Option<(usize, f64)> {
    scene
        .numbers()
        .find(|(i, a)| {
            let near = |reach: f64| scene.near(*i, &["friction"], reach);
            a.high < 1.5
                && a.high > 0.0
                && (near(3.5).is_some()
                    || a.high < 1.0 && a.digits && near(8.0).is_some_and(|(n, _)| scene.same_sentence(*i, n)))
        })
        .map(|(i, a)| (i, a.high))
}

/// A margin of a switch.
pub(crate) fn margin(scene: &Scene) -> Option<(usize, f64)> {
    if let Some((i, _)) = scene.items.iter().enumerate().find(|(i, x)| {
        matches!(x.norm.as_str(), "double" | "twice")
            && scene
                .nearest(*i, 3.0, |y| matches!(y.norm.as_str(), "field" | "operate" | "needed"))
                .is_some()
    }) {
        return Some((i, 2.0));
    }
    scene
        .numbers()
        .find(|(i, a)| {
            (1.0..=10.0).contains(&a.high) && scene.nearest(*i, 2.6, |x| x.norm.contains("margin")).is_some()
        })
        .map(|(i, a)| (i, a.high))
}
