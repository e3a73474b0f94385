//! The lengths of a message.

use quantity::{Kind, Unit};

use super::{LengthAt, is_steel, plain};
use crate::lexer::{Amount, Measure, What};
use crate::magnets::dimension;
use crate::named::{Class, Named};
use crate::scene::Scene;

/// The unit of bare numbers: inches where all lengths are in inches.
fn usual_unit(scene: &Scene) -> Unit {
    let mut inch = false;
    for item in &scene.items {
        let unit = match (item.amount(), item.size()) {
            (Some(a), _) => match a.measure {
                Measure::Unit(u) if u.kind() == Kind::Length => Some(u),
                _ => None,
            },
            (_, Some(s)) => s.unit,
            _ => None,
        };
        match unit {
            Some(u) if u == Unit::INCH => inch = true,
            Some(u) if u == Unit::MIL => {}
            Some(_) => return Unit::MILLIMETRE,
            None => {}
        }
    }
    if inch { Unit::INCH } else { Unit::MILLIMETRE }
}

/// The lengths of a message; a bare number is one where a word for a dimension, a bound, a steel or a layer stands by it.
pub(crate) fn lengths(scene: &Scene, taken: &[usize]) -> Vec<LengthAt> {
    let usual = usual_unit(scene);
    let mut out = Vec::new();
    for (i, item) in scene.items.iter().enumerate() {
        let Some(amount) = item.amount().filter(|_| !taken.contains(&i)) else {
            continue;
        };
        let Some(length) = length(scene, i, amount, usual) else {
            continue;
        };
        out.push(length);
    }
    out
}

/// A bare number as a length, whatever stands by it.
pub(crate) fn as_length(scene: &Scene, i: usize) -> Option<LengthAt> {
    let amount = scene.items[i].amount().filter(|a| a.is_bare() && a.high > 0.0)?;
    let unit = if amount.fraction && amount.digits {
        Unit::INCH
    } else {
        usual_unit(scene)
    };
    Some(in_unit(i, amount, unit))
}

fn in_unit(i: usize, amount: &Amount, unit: Unit) -> LengthAt {
    let label = if unit == Unit::INCH { "in" } else { unit.label() };
    LengthAt {
        item: i,
        low_mm: unit.to_si(amount.low) * 1e3,
        high_mm: unit.to_si(amount.high) * 1e3,
        high: format!("{} {label}", plain(amount.high)),
        low: format!("{} {label}", plain(amount.low)),
    }
}

fn length(scene: &Scene, i: usize, amount: &Amount, usual: Unit) -> Option<LengthAt> {
    if let Measure::Gauge = amount.measure {
        let mm = gauge_mm(amount.high)?;
        return Some(LengthAt {
            item: i,
            low_mm: mm,
            high_mm: mm,
            high: format!("{} mm", plain(mm)),
            low: format!("{} mm", plain(mm)),
        });
    }
    let unit = match amount.measure {
        // said of millimetres where nothing is in inches
        Measure::Unit(unit)
            if unit == Unit::MIL
                && usual != Unit::INCH
                && !scene.text[scene.items[i].range.clone()].contains("thou") =>
        {
            Unit::MILLIMETRE
        }
        Measure::Unit(unit) if unit.kind() == Kind::Length => unit,
        Measure::Bare if is_bare_length(scene, i, amount) => {
            if amount.fraction && amount.digits {
                Unit::INCH
            } else {
                usual
            }
        }
        _ => return None,
    };
    if amount.high < 0.0 {
        return None;
    }
    Some(in_unit(i, amount, unit))
}

/// Sheet gauge of plain steel in mm: the manufacturers' standard gauge, from memory.
fn gauge_mm(gauge: f64) -> Option<f64> {
    const TABLE: [(u32, f64); 15] = [
        (8, 4.18),
        (10, 3.42),
        (11, 3.04),
        (12, 2.66),
        (13, 2.28),
        (14, 1.90),
        (15, 1.71),
        (16, 1.52),
        (18, 1.21),
        (20, 0.91),
        (22, 0.76),
        (24, 0.61),
        (26, 0.45),
        (28, 0.38),
        (30, 0.30),
    ];
    TABLE
        .iter()
        .find(|(g, _)| f64::from(*g) == gauge.round())
        .map(|(_, mm)| *mm)
}

fn is_bare_length(scene: &Scene, i: usize, amount: &Amount) -> bool {
    let next = scene.next(i);
    let counted = next.is_some_and(|n| {
        let x = &scene.items[n];
        x.is_any(&["pieces", "pairs", "sets", "time", "age", "month"]) || (x.is("magnet") && !x.is("disc"))
    });
    if !amount.digits || amount.high > 500.0 || counted || amount.high < 0.01 {
        return false;
    }
    if amount.fraction
        && amount.high < 10.0
        && !next.is_some_and(|n| matches!(scene.items[n].norm.as_str(), "of" | "time" | "page"))
    {
        return true;
    }
    let area = next.is_some_and(|n| {
        matches!(scene.items[n].norm.as_str(), "square" | "sq")
            && scene
                .next(n)
                .is_some_and(|m| scene.items[m].norm.starts_with("met") || scene.items[m].norm.starts_with("f"))
    });
    if area {
        return false;
    }
    let numbered = scene
        .previous(i)
        .is_some_and(|p| scene.items[p].is("number_of") && !scene.items[p].is("thick"));
    if numbered {
        return false;
    }
    // "2.6 kg x 6 panels"
    let multiplied = scene
        .previous(i)
        .filter(|x| scene.items[*x].norm == "x")
        .and_then(|x| scene.previous(x))
        .is_some_and(|x| scene.items[x].amount().is_some_and(|a| a.kind() == Some(Kind::Mass)));
    if multiplied {
        return false;
    }
    if dimension(scene, i).is_some_and(|d| d != "inner" || amount.high < 100.0) {
        return true;
    }
    let sign_before = i > 0 && matches!(scene.items[i - 1].what, What::Mark('Ø' | 'ø' | '⌀'));
    if sign_before {
        return true;
    }
    let before = scene.previous(i);
    let decimal = amount.high.fract() != 0.0 || amount.high < 1.0;
    // "through-hole 6.4"
    if decimal && before.is_some_and(|b| scene.items[b].is("hole") && scene.distance(b, i) < 1.6) {
        return true;
    }
    // "paint 0.05", "coating 0.1", "sheet 0.5", "painted (0.2)"
    let owner = before.filter(|b| scene.distance(*b, i) <= 2.4).is_some_and(|b| {
        let x = &scene.items[b];
        x.of(Class::Layer)
            || x.of(Class::Surface)
            || x.norm == "coating"
            || x.names.iter().any(|n| matches!(n, Named::Layer(_)))
    });
    if owner && decimal {
        return true;
    }
    // "0.7 steel", "1.2 laminate", "steel, 1.5, upright"
    let thin = decimal && amount.high < 12.0;
    let follows = next.into_iter().chain(next.and_then(|n| scene.next(n))).any(|n| {
        scene.distance(i, n) < 2.8
            && (is_steel(&scene.items[n])
                || scene.items[n].of(Class::Layer)
                || scene.items[n].norm.starts_with("stainless"))
    });
    let beside = scene
        .nearest(i, 2.8, |x| {
            is_steel(x) || x.norm.starts_with("stainless") || x.names.iter().any(|n| matches!(n, Named::Layer(_)))
        })
        .is_some_and(|(n, _)| n < i && scene.same_sentence(i, n));
    if thin && (follows || beside) && next.is_none_or(|n| !scene.items[n].is_any(&["safety", "friction", "weigh"])) {
        return true;
    }
    if before.is_some_and(|b| {
        let norm = &scene.items[b].norm;
        [
            "wider", "thicker", "higher", "taller", "narrower", "longer", "thinner", "deeper", "smaller",
        ]
        .iter()
        .any(|w| norm.contains(w))
            && norm.ends_with("than")
    }) {
        return true;
    }
    // "a 20 hole in the back"
    if next.is_some_and(|n| scene.items[n].of(Class::Recess) && scene.items[n].norm != "holes")
        && amount.high >= 2.0
        && amount.high <= 60.0
    {
        return true;
    }
    let max = before.is_some_and(|b| scene.items[b].is("max"));
    let or_less = next.is_some_and(|n| scene.items[n].is("or_less") && !scene.items[n].is("max"));
    let about_size = scene
        .nearest(i, 7.0, |x| x.is_magnet() || x.is_any(&["dia", "thick", "high"]))
        .is_some();
    let range_of_dia = amount.low != amount.high && scene.nearest(i, 2.5, |x| x.is("dia")).is_some();
    ((max || or_less)
        && about_size
        && next.is_none_or(|n| {
            scene.items[n].is_any(&["max", "or_less", "dia", "thick", "wide"]) || scene.distance(i, n) > 1.5
        }))
        || range_of_dia
}
