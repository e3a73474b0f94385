//! Why a build gives what it gives: the reasons, each with the number that decided.

use bench::Band;
use magnetics::MU_0;
use magnetics::grade::GradeRow;

use crate::answer::Because;
use crate::predict::{Prediction, ROOM_CELSIUS, SEAT_GAP, Task};
use crate::rank::Found;
use crate::search::{KNEE, Search};
use crate::stacked::Stacked;

/// Mean field inside a stack over the least coercivity of its grade, both at temperature: 1 is the end of it.
///
/// The mean field from the magnetometric factor of the stack, alone in air; steel or an attracting partner lowers it.
pub fn knee_ratio(stack: &Stacked, grade: &GradeRow, celsius: f64) -> f64 {
    let inside = stack.demagnetising_factor() * stack.polarisation() / MU_0;
    let coercivity = grade.hcj_at(celsius).unwrap_or(0.0);
    if coercivity > 0.0 {
        inside / coercivity
    } else {
        f64::INFINITY
    }
}

/// The highest temperature, °C, at which a stack of that many pieces stays clear of the knee, no more than the grade's
/// own limit and the coating's.
pub fn clear_up_to(prediction: &Prediction, pieces: u32) -> f64 {
    let most = prediction.grade.max_service_celsius.min(prediction.coating.max_celsius);
    let clear = |celsius| {
        Prediction { celsius, ..*prediction }
            .stack(pieces)
            .is_some_and(|stack| knee_ratio(&stack, prediction.grade, celsius) <= KNEE)
    };
    if clear(most) {
        return most;
    }
    let (mut low, mut high) = (prediction.celsius.min(ROOM_CELSIUS), most);
    while high - low > 0.25 {
        let middle = (low + high) / 2.0;
        if clear(middle) { low = middle } else { high = middle }
    }
    low
}

/// The reasons for a candidate, the most telling first.
pub(crate) fn reasons(search: &Search, prediction: &Prediction, found: &Found, far: Option<&Band>) -> Vec<Because> {
    let pieces = found.pieces;
    let mut out = Vec::new();
    let value = prediction.mid(pieces);
    match prediction.task {
        Task::Plate {
            layers,
            thickness,
            usable,
            friction,
        } => {
            let bare = Prediction {
                task: prediction.task.at_distance(0.0),
                ..*prediction
            }
            .mid(pieces);
            if layers[1] > 0.0 && value < bare {
                out.push(Because::LayersTake {
                    part: 1.0 - value / bare,
                });
            }
            if let (Some(thickness), Some(stack)) = (thickness, prediction.stack(pieces)) {
                let thin = prediction.thin(stack.plate_pull(layers[1] + SEAT_GAP[1]), usable, thickness);
                out.push(if thin.factor < 1.0 {
                    Because::SteelThin {
                        keeps: thin.factor,
                        enough: thin.enough,
                    }
                } else {
                    Because::SteelCarries { enough: thin.enough }
                });
            }
            if let Some([_, coefficient, _]) = friction {
                out.push(Because::Friction {
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
            out.push(Because::ReadOverMetal { radius: off_axis });
        }
        _ => {}
    }
    if pieces > 1 {
        let fewer = prediction.band(pieces - 1);
        let would_not = if found.sure_low.is_some() { fewer.low } else { fewer.mid } < search.need.at_least;
        if would_not {
            out.push(Because::FewerWouldNot {
                pieces: pieces - 1,
                value: fewer.mid,
            });
        }
        if let Some(solid) = prediction.solid(pieces).filter(|solid| value < *solid) {
            out.push(Because::PlatingInStack {
                part: 1.0 - value / solid,
            });
        }
    }
    if search.question.conditions.warmest.is_some() {
        let keeps = prediction.grade.br_at(1.0, search.celsius).unwrap_or(0.0);
        out.push(Because::Warm {
            celsius: search.celsius,
            keeps,
            clear_up_to: clear_up_to(prediction, pieces),
        });
    }
    if let (Some(far), Some(allowed)) = (far, search.need.ceiling) {
        out.push(Because::StaysBelow {
            high: far.high,
            allowed,
        });
    }
    let item = prediction.item;
    if let (Some(first), Some(price)) = (item.prices.first(), item.price_each(found.cost.bought))
        && price < first.each
    {
        let saves = 1.0 - price.to_f64() / first.each.to_f64();
        out.push(Because::QuantityPrice {
            saves,
            pieces: found.cost.bought,
        });
    }
    out
}
