//! The look along a shelf: what is cheapest of those that do what was wished for, and what has the least of each aim.

use std::collections::BTreeMap;

use magnetics::Shape;
use numerics::stop::Stop;
use quantity::Money;
use rayon::prelude::*;

use super::assemble::Pick;
use super::joining::joining;
use super::{Build, Line, Shelf, Stock, arrange};
use crate::draft::Draft;
use crate::family::Family;
use crate::known::Known;
use crate::measure::{Way, measure, rigid, way};
use crate::recipes;
use crate::search::{Effort, Found, judged_draft};
use crate::wish::{Aim, Goal, Wish};

/// How much of each step an effort may spend on one order of one family.
struct Spending {
    /// Arrangements whose rigid value is looked at.
    looks: usize,
    /// Of these, those that are measured.
    measured: usize,
    /// Of these, those that are confirmed.
    confirmed: usize,
}

impl Spending {
    fn of(effort: Effort, family: Family, goal: &Goal) -> Self {
        // A gap is searched for each pair: as much work as a few dozen measures.
        let spaced = family.is_around() && matches!(goal, Goal::Even { .. });
        let (looks, measured, confirmed) = match effort {
            Effort::First if family.has_steel() => (500, 12, 2),
            Effort::First if spaced => (1_000, 60, 4),
            Effort::First => (5_000, 300, 4),
            Effort::Refined if family.has_steel() => (5_000, 80, 8),
            Effort::Refined if spaced => (10_000, 600, 20),
            Effort::Refined => (50_000, 3_000, 20),
        };
        Self {
            looks,
            measured,
            confirmed,
        }
    }
}

/// Most builds that are told of.
const MOST_TOLD: usize = 8;
/// What the recoil may add to a rigid value at most, as a share: below that an arrangement is not measured.
const RECOIL_ADDS: f64 = 0.02;
/// How far the field on the axis may lie below the mean over a spot before it is looked at, as a share.
const OFF_AXIS: f64 = 0.2;
/// How far a measured value may fall short of what is confirmed, by the way that it is confirmed by.
const ROUGH: f64 = 0.06;
const NEAR: f64 = 0.01;
/// Widths of a gap that are tried, and steps by which the best is closed in on.
const GAPS: usize = 12;
const CLOSER: usize = 8;
/// How much of a rigid even field the recoil may take, as a share.
const RECOIL_TAKES: f64 = 0.15;

/// Looks along a shelf for a wish. What the wish is made of counts for nothing: each piece is of its own stuff.
///
/// The same wish, shelf, effort and version give the same builds. Where it is stopped it ends with what it has; who stops it throws that away.
#[must_use]
pub fn look(wish: &Wish, shelf: &Shelf, known: &Known, effort: Effort, stop: &Stop) -> Stock {
    let families: Vec<Family> = recipes::serving(wish).collect();
    let by_family: Vec<Looked> = families
        .par_iter()
        .with_max_len(1)
        .map(|&family| {
            let look = Look {
                wish,
                shelf,
                known,
                family,
                stop,
                spending: Spending::of(effort, family, &wish.goal),
            };
            look.all()
        })
        .collect();
    let mut found: Vec<Candidate> = Vec::new();
    let mut nearest: Option<Candidate> = None;
    for looked in by_family {
        found.extend(looked.found);
        if let Some(one) = looked.nearest {
            let nearer = |other: &Candidate| one.found.value() > other.found.value();
            if nearest.as_ref().is_none_or(nearer) {
                nearest = Some(one);
            }
        }
    }
    found.sort_by_key(|one| rank(one.enough, one.price, None));
    let mut kept = worth_telling(found, &wish.aims);
    kept.truncate(MOST_TOLD);
    let builds: Vec<Build> = kept.into_par_iter().map(|one| one.build(shelf, stop)).collect();
    let nearest = nearest.filter(|_| builds.is_empty()).map(|one| one.build(shelf, stop));
    Stock {
        builds,
        nearest,
        pieces: shelf.pieces.len(),
    }
}

/// An arrangement that was judged.
struct Candidate {
    pick: Pick,
    lines: Vec<Line>,
    found: Found,
    on_hand: Option<u64>,
    enough: bool,
    price: Option<Money>,
    grade: String,
}

/// Order of arrangements: those on hand for the lot, those with a price, the price or an aim, and its place.
type Rank = (bool, bool, i64);

impl Candidate {
    fn build(self, shelf: &Shelf, stop: &Stop) -> Build {
        let joining = joining(&self.pick, shelf, &self.found.draft, stop);
        Build {
            found: self.found,
            lines: self.lines,
            grade: self.grade,
            on_hand: self.on_hand,
            enough: self.enough,
            price: self.price,
            joining,
        }
    }
}

fn rank(enough: bool, price: Option<Money>, value: Option<f64>) -> Rank {
    // Nanograms, nanometres and the like: whole, so that they can be compared.
    let value = value.map(|value| (value * 1e12).clamp(0.0, 9e18) as i64);
    let by = value.unwrap_or_else(|| price.map_or(i64::MAX, Money::parts));
    (!enough, price.is_none(), by)
}

/// Of a list in order the first of each family, since joining is in no price, and those that no other beats in being on hand, in price and in all that is to be least.
fn worth_telling(found: Vec<Candidate>, aims: &[Aim]) -> Vec<Candidate> {
    let figures = |one: &Candidate| -> Vec<f64> {
        let price = one.price.map_or(f64::INFINITY, Money::to_f64);
        let others = aims.iter().filter(|aim| **aim != Aim::Cost);
        let others = others.map(|&aim| one.found.least(aim));
        [f64::from(u8::from(!one.enough)), price]
            .into_iter()
            .chain(others)
            .collect()
    };
    let all: Vec<Vec<f64>> = found.iter().map(figures).collect();
    let beats = |a: &[f64], b: &[f64]| {
        let pairs = || a.iter().zip(b);
        pairs().all(|(a, b)| a <= b) && pairs().any(|(a, b)| a < b)
    };
    let beaten: Vec<bool> = all
        .iter()
        .map(|one| all.iter().any(|other| beats(other, one)))
        .collect();
    let mut seen: Vec<Family> = Vec::new();
    let mut told = |one: &Candidate, beaten: bool| {
        let family = one.found.draft.family;
        let first = !seen.contains(&family);
        seen.push(family);
        first || !beaten
    };
    found
        .into_iter()
        .zip(beaten)
        .filter_map(|(one, beaten)| told(&one, beaten).then_some(one))
        .collect()
}

/// What was found of one family.
struct Looked {
    found: Vec<Candidate>,
    nearest: Option<Candidate>,
}

/// What is looked for.
struct Look<'a> {
    wish: &'a Wish,
    shelf: &'a Shelf,
    known: &'a Known,
    family: Family,
    stop: &'a Stop,
    spending: Spending,
}

/// An arrangement with what is known of it before it is measured.
struct Seen {
    pick: Pick,
    lines: Vec<Line>,
    on_hand: Option<u64>,
    enough: bool,
    price: Option<Money>,
    /// By aim that follows from its sizes.
    least: Vec<f64>,
}

/// What became of a look.
enum Judged {
    /// It does what was wished for.
    Keeps(Box<(Pick, Found)>),
    /// It does not.
    Misses,
}

impl Look<'_> {
    /// The cheapest and the least of each aim, and the strongest where none does it.
    fn all(&self) -> Looked {
        // What strays is known only of what was measured.
        let aims: Vec<Aim> = self
            .wish
            .aims
            .iter()
            .copied()
            .filter(|aim| !matches!(aim, Aim::Cost | Aim::Stray))
            .collect();
        let seen: Vec<Seen> = arrange::picks(self.wish, self.family, self.shelf)
            .into_iter()
            .filter_map(|pick| self.seen(pick, &aims))
            .collect();
        let mut judged: BTreeMap<usize, Judged> = BTreeMap::new();
        let mut strongest: Option<(f64, usize)> = None;
        let orders = std::iter::once(None).chain((0..aims.len()).map(Some));
        for order in orders {
            let mut places: Vec<usize> = (0..seen.len()).collect();
            let key = |place: &usize| {
                let one = &seen[*place];
                rank(one.enough, one.price, order.map(|aim| one.least[aim]))
            };
            places.sort_by_key(|place| (key(place), *place));
            self.walk(&seen, &places, &mut judged, &mut strongest);
        }
        let none = !judged.values().any(|one| matches!(one, Judged::Keeps(_)));
        let nearest = strongest.filter(|_| none).and_then(|(_, place)| {
            let one = seen.get(place)?;
            let (pick, found) = self.judged(&one.pick)?;
            Some(self.candidate(one, pick, found))
        });
        let found = judged
            .into_iter()
            .filter_map(|(place, one)| match one {
                Judged::Keeps(kept) => {
                    let (pick, found) = *kept;
                    Some(self.candidate(seen.get(place)?, pick, found))
                }
                Judged::Misses => None,
            })
            .collect();
        Looked { found, nearest }
    }

    fn seen(&self, pick: Pick, aims: &[Aim]) -> Option<Seen> {
        let draft = pick.draft(self.shelf, true)?;
        let stuff = self
            .shelf
            .stuffs()
            .get(self.shelf.pieces.get(*pick.pieces.first()?)?.stuff)?;
        let lines = pick.lines(self.shelf)?;
        let price = lines
            .iter()
            .try_fold(Money::ZERO, |sum, line| sum.plus(line.bought.sum()?).ok());
        let on_hand = arrange::on_hand(&pick, self.shelf);
        let least = |aim: &Aim| match aim {
            Aim::Volume => draft.magnet_volume(),
            Aim::Height => draft.height(),
            _ => draft.mass(stuff.density),
        };
        Some(Seen {
            least: aims.iter().map(least).collect(),
            lines,
            on_hand,
            enough: on_hand.is_none_or(|builds| builds >= u64::from(self.wish.lot)),
            price,
            pick,
        })
    }

    /// Goes along an order until one does what was wished for, or what may be spent is.
    fn walk(
        &self,
        seen: &[Seen],
        places: &[usize],
        judged: &mut BTreeMap<usize, Judged>,
        strongest: &mut Option<(f64, usize)>,
    ) {
        let Spending {
            looks: mut looks_left,
            measured: mut measures_left,
            confirmed: mut confirms_left,
        } = self.spending;
        for &place in places {
            match judged.get(&place) {
                Some(Judged::Keeps(_)) => return,
                Some(Judged::Misses) => continue,
                None => {}
            }
            let Some(one) = seen.get(place) else { continue };
            if self.stop.is_set() || looks_left == 0 || measures_left == 0 || confirms_left == 0 {
                return;
            }
            // Where nothing is strong enough the strongest of all is told of.
            let mut note = |value: f64| {
                if strongest.is_none_or(|(most, _)| value > most) {
                    *strongest = Some((value, place));
                }
            };
            let on_axis = self.on_axis(&one.pick);
            if on_axis < (1.0 - OFF_AXIS) * self.wish.goal.wanted() {
                note(on_axis);
                continue;
            }
            looks_left -= 1;
            let Some((wish, pick, draft)) = self.set(&one.pick) else {
                continue;
            };
            let Some(value) = self.promise(&wish, &draft, &pick) else {
                continue;
            };
            // Of uneven fields none is nearest.
            if !matches!(wish.goal, Goal::Even { .. }) {
                note(value);
            }
            if value < (1.0 - RECOIL_ADDS) * wish.goal.wanted() {
                continue;
            }
            measures_left -= 1;
            let mut kept = None;
            if self.nearly(&wish, &draft) {
                confirms_left -= 1;
                kept = self.judged(&pick).filter(|(_, found)| found.keeps);
            }
            let keeps = kept.is_some();
            judged.insert(place, kept.map_or(Judged::Misses, |kept| Judged::Keeps(Box::new(kept))));
            if keeps {
                return;
            }
        }
    }

    /// The wish with the stuff of a pick, the pick with its best gap, and its bodies.
    fn set(&self, pick: &Pick) -> Option<(Wish, Pick, Draft)> {
        let stuff = self.shelf.pieces.get(*pick.pieces.first()?)?.stuff;
        let wish = Wish {
            stuff: self.shelf.stuffs().get(stuff)?.clone(),
            ..self.wish.clone()
        };
        let pick = if pick.family.is_around() {
            self.with_best_gap(&wish, pick)?
        } else {
            pick.clone()
        };
        let draft = pick.draft(self.shelf, true)?;
        Some((wish, pick, draft))
    }

    /// The rigid field of a stack on its axis, T: closed form, so that thousands can be passed over. Without end where it says nothing of the goal.
    fn on_axis(&self, pick: &Pick) -> f64 {
        let (Goal::Reach { distance, .. }, Family::Stepped) = (&self.wish.goal, self.family) else {
            return f64::INFINITY;
        };
        let mut depth = *distance;
        let mut field = 0.0;
        for &index in pick.pieces.iter().rev() {
            let Some(piece) = self.shelf.pieces.get(index) else {
                return 0.0;
            };
            let remanence = self
                .shelf
                .stuffs()
                .get(piece.stuff)
                .map_or(0.0, |stuff| stuff.remanence);
            let far = depth + piece.shape.height();
            let cosines = |diameter: f64| far / far.hypot(0.5 * diameter) - depth / depth.hypot(0.5 * diameter);
            let share = match piece.shape {
                Shape::Ring {
                    outer_diameter,
                    inner_diameter,
                    ..
                } => cosines(outer_diameter) - cosines(inner_diameter),
                ref round => cosines(round.widest()),
            };
            field += 0.5 * remanence * share;
            depth = far;
        }
        field
    }

    /// What an arrangement gives at most, in the unit of the goal; `None` where it is none to look at.
    fn promise(&self, wish: &Wish, draft: &Draft, pick: &Pick) -> Option<f64> {
        match wish.goal {
            Goal::Even { field, tolerance, .. } => {
                let share = rigid(wish, draft, self.stop).ok()? / field;
                let near = 1.0 - tolerance - RECOIL_ADDS..=1.0 + tolerance + RECOIL_TAKES;
                near.contains(&share).then_some(field)
            }
            Goal::Hold { .. } if pick.plate.is_some() => {
                let bare = Draft {
                    family: Family::Disc,
                    steel: Vec::new(),
                    ..draft.clone()
                };
                let alone = measure(wish, &bare, self.known, self.stop).ok()?.value;
                // What holds enough bare needs no plate, and no plate doubles it.
                (alone < wish.goal.wanted()).then_some(2.0 * alone)
            }
            Goal::Hold { .. } => Some(measure(wish, draft, self.known, self.stop).ok()?.value),
            _ => rigid(wish, draft, self.stop).ok(),
        }
    }

    /// Whether what is measured may do what was wished for once it is confirmed.
    fn nearly(&self, wish: &Wish, draft: &Draft) -> bool {
        let Ok(figures) = measure(wish, draft, self.known, self.stop) else {
            return false;
        };
        let slack = match way(&wish.goal, self.family) {
            Way::Elements => ROUGH,
            Way::Recoil => NEAR,
            Way::Law | Way::FirstOrder => 0.0,
        };
        match wish.goal {
            Goal::Even { tolerance, .. } => missed(figures.spread, tolerance) <= slack,
            _ => figures.value >= (1.0 - slack) * wish.goal.wanted(),
        }
    }

    fn judged(&self, pick: &Pick) -> Option<(Pick, Found)> {
        let (wish, pick, draft) = self.set(pick)?;
        let found = judged_draft(&wish, draft, Vec::new(), self.known, self.stop)?;
        Some((pick, found))
    }

    fn candidate(&self, seen: &Seen, pick: Pick, found: Found) -> Candidate {
        let stuff = pick
            .pieces
            .first()
            .and_then(|&index| self.shelf.pieces.get(index))
            .map(|piece| piece.stuff);
        let stuff = stuff.and_then(|index| self.shelf.stuffs().get(index));
        Candidate {
            pick,
            lines: seen.lines.clone(),
            found,
            on_hand: seen.on_hand,
            enough: seen.enough,
            price: seen.price,
            grade: stuff.map(|stuff| stuff.name.clone()).unwrap_or_default(),
        }
    }

    /// The pick with the gap at which an even field strays least, about where the rigid one has the wanted value; `None` where it has that at no gap.
    /// Of a wish with a gap the pick as it is.
    fn with_best_gap(&self, wish: &Wish, pick: &Pick) -> Option<Pick> {
        let Goal::Even { field, tolerance, .. } = wish.goal else {
            return Some(pick.clone());
        };
        let [low, high] = recipes::gaps(wish)?;
        let pieces = pick.pieces.iter().filter_map(|&index| self.shelf.pieces.get(index));
        let thick: f64 = pieces.map(|piece| piece.shape.height()).sum();
        let high = high.min(wish.space.height - thick).max(low);
        let at = |share: f64| Pick {
            gap: low * (high / low).powf(share),
            ..pick.clone()
        };
        let step = 1.0 / (GAPS - 1) as f64;
        let above: Vec<bool> = (0..GAPS)
            .map(|k| {
                let draft = at(k as f64 * step).draft(self.shelf, true)?;
                Some(rigid(wish, &draft, self.stop).ok()? >= field)
            })
            .collect::<Option<_>>()?;
        let crossing = above.windows(2).rposition(|pair| pair[0] != pair[1])?;
        let strays = |share: f64| {
            at(share)
                .draft(self.shelf, true)
                .and_then(|draft| measure(wish, &draft, self.known, self.stop).ok())
                .map_or(f64::INFINITY, |figures| missed(figures.spread, tolerance))
        };
        // The recoil takes some of the field, so that the best gap is a little narrower.
        let mut low = (crossing as f64 - 1.0).max(0.0) * step;
        let mut high = (crossing + 1) as f64 * step;
        for _ in 0..CLOSER {
            let third = (high - low) / 3.0;
            if strays(low + third) <= strays(high - third) {
                high -= third;
            } else {
                low += third;
            }
        }
        Some(at(0.5 * (low + high)))
    }
}

/// By how much a field strays further than it may, as a share of the wanted one; below 0 where it does not.
fn missed([low, high]: [f64; 2], tolerance: f64) -> f64 {
    (1.0 - tolerance - low).max(high - 1.0 - tolerance)
}
