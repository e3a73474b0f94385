//! The order in which builds are shown, and which of them.

use std::cmp::Ordering;
use std::collections::HashMap;
use std::mem::{Discriminant, discriminant};

use quantity::Money;

use crate::answer::{Build, NearMiss, RuledOut, Stack, Standing, Verdict};
use crate::item::Item;

/// The most candidates of each verdict that are shown for being cheapest, and the most unbeaten ones beside them.
const MOST_SURE: usize = 20;
const MOST_MIDDLE: usize = 6;
const MOST_UNBEATEN: usize = 20;
/// The most near misses that are shown, and of each rule.
const MOST_NEAR_MISSES: usize = 8;
const MOST_OF_A_RULE: usize = 3;

/// A build that will do, before it is dressed for the answer.
#[derive(Clone, Debug)]
pub(crate) struct Found<'s> {
    pub item: &'s Item,
    pub pieces: u32,
    /// The low end of its band, where it is sure.
    pub low_if_sure: Option<f64>,
    pub cost: Cost,
    /// Whether it is not put first where something else surely does ([`crate::taste`]).
    pub second_choice: bool,
    /// Width times height, m².
    pub size: f64,
    /// What is wanted most, the less of it the better; 0 where that is the price.
    pub goal: f64,
}

/// What an order of builds costs.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Cost {
    /// One build, or all that share a load.
    pub each: Option<Money>,
    /// All builds, and the least order where that is more.
    pub total: Option<Money>,
    /// Pieces bought.
    pub bought: u64,
}

/// A build that one rule put out.
#[derive(Clone, Debug)]
pub(crate) struct Missed<'s> {
    pub item: &'s Item,
    pub build: Stack,
    pub value: f64,
    pub by: RuledOut,
    pub distance: f64,
}

impl Found<'_> {
    pub(crate) fn verdict(&self) -> Verdict {
        if self.low_if_sure.is_some() {
            Verdict::Sure
        } else {
            Verdict::Middle
        }
    }
}

/// The places of `found` in order: sure ones first, second choices after the others, then by what is wanted most, then by
/// cost, those without a price last.
pub(crate) fn order(found: &[Found]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..found.len()).collect();
    let class = |f: &Found| (f.verdict(), f.second_choice);
    let cost = |f: &Found| (f.cost.total.is_none(), f.cost.total, f.pieces);
    order.sort_by(|&a, &b| {
        let (a, b) = (&found[a], &found[b]);
        class(a)
            .cmp(&class(b))
            .then_with(|| a.goal.total_cmp(&b.goal))
            .then_with(|| cost(a).cmp(&cost(b)))
            .then_with(|| a.item.code.cmp(&b.item.code))
    });
    order
}

/// Marks what no other sure build beats: none is at least as cheap, small and strong, and better in one of them.
pub(crate) fn unbeaten(found: &[Found]) -> Vec<bool> {
    let standing = |f: &Found| {
        Some(Standing {
            cost: f.cost.total?,
            size: f.size,
            low: f.low_if_sure?,
        })
    };
    let mut sure: Vec<(usize, Standing)> = found
        .iter()
        .enumerate()
        .filter_map(|(k, f)| Some((k, standing(f)?)))
        .collect();
    // What beats a build comes before it in this order.
    sure.sort_by(|(_, a), (_, b)| {
        a.cost
            .cmp(&b.cost)
            .then(a.size.total_cmp(&b.size))
            .then(b.low.total_cmp(&a.low))
    });
    let mut marks = vec![false; found.len()];
    let mut front: Vec<Standing> = Vec::new();
    for (k, own) in sure {
        if !front.iter().any(|other| other.beats(&own)) {
            marks[k] = true;
            front.push(own);
        }
    }
    marks
}

/// Chooses what is shown: the cheapest of each verdict, and unbeaten builds.
pub(crate) fn pick(order: &[usize], found: &[Found], unbeaten: &[bool]) -> Vec<usize> {
    let (mut sure, mut middle, mut extra) = (MOST_SURE, MOST_MIDDLE, MOST_UNBEATEN);
    let mut takes = |k: usize| {
        let room = if found[k].low_if_sure.is_some() {
            &mut sure
        } else {
            &mut middle
        };
        let room = if *room == 0 && unbeaten[k] { &mut extra } else { room };
        let free = *room > 0;
        *room -= usize::from(free);
        free
    };
    order.iter().copied().filter(|&k| takes(k)).collect()
}

/// The closest misses, with no rule named too often.
pub(crate) fn near_misses(mut missed: Vec<Missed>) -> Vec<NearMiss> {
    let closest = |a: &Missed, b: &Missed| -> Ordering {
        a.distance
            .total_cmp(&b.distance)
            .then_with(|| a.item.code.cmp(&b.item.code))
    };
    missed.sort_by(closest);
    let mut named: HashMap<(Discriminant<RuledOut>, Option<&str>), usize> = HashMap::new();
    let mut seldom = |by: &RuledOut| {
        let limit = match by {
            RuledOut::Limit { limit, .. } => Some(limit.path()),
            _ => None,
        };
        let times = named.entry((discriminant(by), limit)).or_default();
        *times += 1;
        *times <= MOST_OF_A_RULE
    };
    missed
        .into_iter()
        .filter(|miss| seldom(&miss.by))
        .take(MOST_NEAR_MISSES)
        .map(
            |Missed {
                 item, build, value, by, ..
             }| NearMiss {
                item: item.clone(),
                build: Build::bare(build),
                value,
                ruled_out_by: by,
            },
        )
        .collect()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::fixture::{broken, disc};
    use crate::limits::Has;

    fn found(item: &Item, cost: Option<i64>, size: f64, low_if_sure: Option<f64>) -> Found<'_> {
        let total = cost.map(Money::from_parts);
        Found {
            item,
            pieces: 1,
            low_if_sure,
            cost: Cost {
                each: total,
                total,
                bought: 1,
            },
            second_choice: false,
            size,
            goal: 0.0,
        }
    }

    fn beats(a: &Found, b: &Found) -> bool {
        let (Some(ca), Some(cb), Some(la), Some(lb)) = (a.cost.total, b.cost.total, a.low_if_sure, b.low_if_sure)
        else {
            return false;
        };
        ca <= cb && a.size <= b.size && la >= lb && (ca < cb || a.size < b.size || la > lb)
    }

    proptest! {
        /// Against the definition, over small numbers so that ties are frequent.
        #[test]
        fn unbeaten_is_what_nothing_beats(
            rows in prop::collection::vec((prop::option::weighted(0.9, 1..6_i64), 1..6_u8, prop::option::weighted(0.9, 1..6_u8)), 0..40)
        ) {
            let item = disc("a", 10.0, 5.0);
            let all: Vec<Found> =
                rows.iter().map(|&(c, s, l)| found(&item, c, f64::from(s), l.map(f64::from))).collect();
            for (k, mark) in unbeaten(&all).into_iter().enumerate() {
                let counts = all[k].cost.total.is_some() && all[k].low_if_sure.is_some();
                prop_assert_eq!(mark, counts && !all.iter().any(|other| beats(other, &all[k])));
            }
        }

        #[test]
        fn what_is_shown_is_in_order_and_holds_the_cheapest(
            rows in prop::collection::vec((prop::option::weighted(0.9, 1..60_i64), 1..60_u8, prop::option::weighted(0.7, 1..60_u8)), 0..90)
        ) {
            let item = disc("a", 10.0, 5.0);
            let all: Vec<Found> =
                rows.iter().map(|&(c, s, l)| found(&item, c, f64::from(s), l.map(f64::from))).collect();
            let order = order(&all);
            prop_assert!(order.windows(2).all(|w| all[w[0]].verdict() <= all[w[1]].verdict()));
            let shown = pick(&order, &all, &unbeaten(&all));
            prop_assert!(shown.len() <= MOST_SURE + MOST_MIDDLE + MOST_UNBEATEN);
            for verdict in [Verdict::Sure, Verdict::Middle] {
                let of = |list: &[usize]| list.iter().copied().filter(|&k| all[k].verdict() == verdict).collect::<Vec<_>>();
                let least = if verdict == Verdict::Sure { MOST_SURE } else { MOST_MIDDLE };
                let (listed, wanted) = (of(&shown), of(&order));
                let head = wanted.len().min(least);
                prop_assert_eq!(&listed[..head], &wanted[..head]);
            }
        }
    }

    /// What is wanted most goes before the price, and after whether it is sure.
    #[test]
    fn the_goal_goes_before_the_price() {
        let item = disc("a", 10.0, 5.0);
        let row = |cost, low, goal| Found {
            goal,
            ..found(&item, Some(cost), 1.0, low)
        };
        let all = [
            row(1, Some(1.0), 5.0),
            row(9, Some(1.0), 2.0),
            row(3, Some(1.0), 2.0),
            row(2, None, 1.0),
        ];
        assert_eq!(order(&all), [2, 1, 0, 3]);
    }

    /// A dearer build has a star for what it is smaller or stronger by more than 1 %, and for nothing less.
    #[test]
    fn no_star_hangs_on_a_rounding() {
        let item = disc("a", 10.0, 5.0);
        let dearer = |size: f64, low: f64| {
            let all = [
                found(&item, Some(1), 1.0, Some(1.0)),
                found(&item, Some(2), size, Some(low)),
            ];
            unbeaten(&all)[1]
        };
        assert!(!dearer(1.0, 1.0) && !dearer(0.991, 1.0) && !dearer(1.0, 1.009));
        assert!(dearer(0.989, 1.0) && dearer(1.0, 1.011));
    }

    #[test]
    fn near_misses_are_the_closest_of_every_rule() {
        let too_wide = |has| broken("/limits/widest", Has::Length(has));
        let wrong_grade = || broken("/limits/grades", Has::Nothing);
        let item = disc("a", 10.0, 5.0);
        let miss = |by: RuledOut, distance| Missed {
            item: &item,
            build: Stack { pieces: 1, pair: true },
            value: 1.0,
            by,
            distance,
        };
        let wide = |d: f64| miss(too_wide(d), d);
        let shown = near_misses(vec![
            wide(0.3),
            wide(0.1),
            miss(wrong_grade(), 0.25),
            wide(0.2),
            wide(0.15),
        ]);
        let rules: Vec<RuledOut> = shown.iter().map(|m| m.ruled_out_by.clone()).collect();
        assert_eq!(rules, [too_wide(0.1), too_wide(0.15), too_wide(0.2), wrong_grade()]);
        assert!(shown[0].build.pair);
    }
}
