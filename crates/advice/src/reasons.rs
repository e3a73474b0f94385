//! Why a build gives what it gives: the reasons, each with the number that decided.

use quantity::Money;
use uncertainty::Band;

use crate::answer::Reason;
use crate::criteria::Criteria;
use crate::heat::{self, LOSS_WORTH_SAYING};
use crate::item::Item;
use crate::known::Known;
use crate::predict::{InUse, NotComputable, Prediction, Task};
use crate::rank::Found;

/// A part that the plating takes is worth a word from here on.
const PLATING_WORTH_SAYING: f64 = 0.02;

/// A build's own weight is worth a word from this part of what is needed on.
const WEIGHT_WORTH_SAYING: f64 = 0.01;

/// A small plate is worth a word where it keeps less than this of the pull on a wide one.
const SMALL_WORTH_SAYING: f64 = 0.98;

/// The reasons for a bare build, the most telling first.
///
/// # Errors
/// [`NotComputable`] where one of the values that it is compared with is.
pub(crate) fn of_bare(
    criteria: &Criteria,
    in_use: &InUse,
    found: &Found,
    far: Option<&Band>,
) -> Result<Vec<Reason>, NotComputable> {
    let prediction: &Prediction = in_use;
    let pieces = found.pieces;
    let mut out = Vec::new();
    let value = in_use.value()?;
    match prediction.task {
        Task::Plate {
            layers,
            thickness,
            across,
            friction,
            ..
        } => {
            let bare = in_use.at_distance(0.0).value()?;
            if layers[1] > 0.0 && value < bare {
                out.push(Reason::LayersTake {
                    part: 1.0 - value / bare,
                });
            }
            if let Some(pad) = prediction.coating.pad {
                out.push(Reason::Adhesive {
                    usual: pad.typical,
                    most: pad.max,
                });
            }
            if let Some(steel) = in_use.steel() {
                let (keeps, enough) = (steel.of_thick, steel.enough);
                if let Some(thickness) = thickness {
                    out.push(if thickness < enough {
                        Reason::SteelThin { keeps, enough }
                    } else {
                        Reason::SteelCarries { enough }
                    });
                }
                if let Some(across) = across
                    && steel.of_wide < SMALL_WORTH_SAYING
                {
                    out.push(Reason::SteelSmall {
                        across,
                        keeps: steel.of_wide,
                    });
                }
                if !steel.covered {
                    out.push(Reason::SteelEstimate { error: steel.error });
                }
            }
            if let Some([_, coefficient, _]) = friction {
                out.push(Reason::Friction {
                    coefficient,
                    pull: value / coefficient,
                });
            }
        }
        Task::Spot {
            axial_only: true,
            off_axis,
            ..
        } if off_axis > 0.0 => {
            out.push(Reason::ReadOverMetal { radius: off_axis });
        }
        _ => {}
    }
    if pieces > 1 {
        let fewer = criteria.in_use(prediction, pieces - 1).and_then(|fewer| fewer.band());
        if let Ok(fewer) = fewer {
            let reached = if found.low_if_sure.is_some() {
                fewer.low
            } else {
                fewer.mid
            };
            if reached < criteria.needed(prediction, pieces - 1) {
                out.push(Reason::FewerWouldNot {
                    pieces: pieces - 1,
                    value: fewer.mid,
                });
            }
        }
        if let Some(solid) = in_use.solid().filter(|solid| value < *solid) {
            out.push(Reason::PlatingInStack {
                part: 1.0 - value / solid,
            });
        }
    }
    if let Some(part) = plating_takes(prediction, pieces).filter(|part| *part >= PLATING_WORTH_SAYING) {
        out.push(Reason::PlatingTakes { part });
    }
    let mass = criteria.mass(prediction, pieces);
    out.extend(of_use(criteria, in_use, mass, found.cost.bought, far));
    Ok(out)
}

/// The reasons that hold for a build of that mass (kg) with a steel part as for a bare one: what its use, its weight and its price do.
pub(crate) fn of_use(criteria: &Criteria, in_use: &InUse, mass: f64, bought: u64, far: Option<&Band>) -> Vec<Reason> {
    let prediction: &Prediction = in_use;
    let wear = in_use.wear();
    let mut out = Vec::new();
    let part = criteria.need.own_part(mass);
    if part >= WEIGHT_WORTH_SAYING {
        out.push(Reason::OwnWeight { mass, part });
    }
    match criteria.catalogue.known_of(prediction.item) {
        Some(Known::Certificate(certificate)) => out.push(Reason::Certified {
            lot: certificate.lot,
            br: certificate.br.si(),
            hcj: certificate.hcj.map(|h| h.si()),
        }),
        Some(Known::Readings(lot)) => out.push(Reason::ByReadings(lot)),
        None => {}
    }
    if criteria.question.conditions.warmest.is_some() {
        let keeps = prediction.grade.br_at(1.0, criteria.celsius).unwrap_or(0.0);
        out.push(Reason::Warm {
            celsius: criteria.celsius,
            keeps,
            clear_up_to: heat::stands(prediction, in_use.pieces(), criteria.exposure.facing),
        });
    }
    if wear.loss >= LOSS_WORTH_SAYING {
        out.push(Reason::LostForGood {
            part: wear.loss,
            celsius: wear.celsius,
        });
    }
    let own = 1.0 - wear.kept / (1.0 - wear.loss);
    if own >= LOSS_WORTH_SAYING {
        out.push(Reason::OwnField { part: own });
    }
    if let (Some(far), Some(allowed)) = (far, criteria.need.ceiling) {
        out.push(Reason::StaysBelow {
            high: far.high,
            allowed,
        });
    }
    let item = prediction.item;
    if let (Some(first), Some(price)) = (item.prices.first(), item.price_each(bought))
        && price < first.each
    {
        let saves = 1.0 - price.to_f64() / first.each.to_f64();
        out.push(Reason::QuantityPrice { saves, pieces: bought });
    }
    if let Some(total) = item.price_each(bought).and_then(|price| price.times(bought).ok())
        && let Some(reason) = next_break(item, bought, total)
    {
        out.push(reason);
    }
    out
}

/// A larger order that costs less in all, the cheapest of them, within what is in stock.
fn next_break(item: &Item, bought: u64, total: Money) -> Option<Reason> {
    item.prices
        .iter()
        .filter(|price| price.from > bought && item.stock.is_none_or(|stock| price.from <= stock))
        .filter_map(|price| Some((price.from, price.each.times(price.from).ok()?)))
        .filter(|(_, cost)| *cost < total)
        .min_by_key(|(_, cost)| *cost)
        .map(|(pieces, total)| Reason::NextBreak { pieces, total })
}

/// The part that the plating takes of a value, against bare pieces of the same outer size; `None` where there is no plating.
pub(crate) fn plating_takes(prediction: &Prediction, pieces: u32) -> Option<f64> {
    let coating = prediction.coating;
    if coating.thickness.max == 0.0 {
        return None;
    }
    let bare = coating.bare();
    let without = Prediction {
        coating: &bare,
        ..*prediction
    };
    let value = |of: &Prediction| of.undiminished(pieces).value().ok().filter(|value| *value > 0.0);
    Some(1.0 - value(prediction)? / value(&without)?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::{breaks, disc};

    /// 95 at 1.00 cost 95.00, and 100 at 0.90 cost 90.00; 90 at 1.00 cost as much as 100 and so nothing is saved.
    #[test]
    fn a_larger_order_is_offered_where_it_costs_less() {
        let item = Item {
            prices: breaks(&[(1, 10_000), (100, 9_000), (1000, 8_000)]),
            stock: Some(100),
            ..disc("a", 10.0, 5.0)
        };
        let offer = |pieces: i64| next_break(&item, pieces as u64, Money::from_parts(pieces * 10_000));
        let hundred = Reason::NextBreak {
            pieces: 100,
            total: Money::from_parts(900_000),
        };
        assert_eq!(offer(90), None);
        assert_eq!(offer(91), Some(hundred));
        let out_of_stock = Item {
            stock: Some(99),
            ..item
        };
        assert_eq!(next_break(&out_of_stock, 91, Money::from_parts(910_000)), None);
    }
}
