//! The amounts of a message, the places that each may have, and what the rules give each place.

use advice::sentence::Verb;
use quantity::Kind;

use crate::bounds::bound;
use crate::counts;
use crate::evidence;
use crate::learned::Weights;
use crate::lexer::What;
use crate::loads;
use crate::magnets::Named;
use crate::named::Class;
use crate::roles::{self, LengthAt, Role};
use crate::scene::Scene;

/// What a place gets that the rules do not think of.
const UNTHOUGHT: f64 = -4.0;
/// Standard gravity, m/s², by ISO 80000-3.
const GRAVITY: f64 = 9.806_65;
/// What a count or a load gets that the rules choose.
const CHOSEN: f64 = 3.0;

/// An amount that competes for places.
#[derive(Clone, Debug)]
pub(crate) struct Candidate {
    pub length: LengthAt,
    /// The low and the high end: mm of a length, N of a load, the number of a count.
    pub ends: [f64; 2],
    /// What the rules give each place that it may have.
    pub rules: Vec<(Role, f64)>,
    pub features: Vec<String>,
}

/// The places of lengths that a verb has.
fn of_lengths(verb: Verb) -> Vec<Role> {
    let own: &[Role] = match verb {
        Verb::Hold => &[Role::SteelThickness, Role::SteelAcross, Role::Gap],
        Verb::PullTogether | Verb::PushApart => &[Role::Gap],
        Verb::ReachField => &[Role::Distance, Role::OffAxis],
        Verb::SwitchSensor => &[Role::Near, Role::Far, Role::OffAxis],
        Verb::FaceField => &[Role::Probe],
    };
    let common = [
        Role::Nobody,
        Role::Widest,
        Role::Narrowest,
        Role::Tallest,
        Role::Shortest,
        Role::Hole,
    ];
    common.into_iter().chain(own.iter().copied()).collect()
}

/// The amounts that compete, without those that are taken already.
pub(crate) fn candidates(scene: &Scene, verb: Verb, named: &[Named], taken: &[usize]) -> Vec<Candidate> {
    let lengths = roles::lengths(scene, taken);
    let mut not_counted: Vec<usize> = taken.to_vec();
    not_counted.extend(lengths.iter().map(|l| l.item));
    not_counted.extend((0..scene.items.len()).filter(|i| scene.items[*i].amount().is_some_and(|a| !a.is_bare())));
    let counts = counts::counts(scene, verb, &not_counted);
    let safety = loads::safety(scene).map(|s| s.0);
    let loads = loads::loads(scene, verb);
    let limit = loads::mass_limit(scene, verb, &loads).map(|l| l.item);
    let several = scene
        .numbers()
        .any(|(i, a)| a.high >= 2.0 && counts::of_things(scene, i));
    let holed = says_a_hole(scene);
    let wholes = counts::wholes(scene);
    let mut out = Vec::new();
    for (i, item) in scene.items.iter().enumerate() {
        if item.size().is_some() {
            out.push(of_size(scene, verb, i, named));
        }
        let Some(amount) = item
            .amount()
            .filter(|_| !taken.contains(&i) && !counts::numbers_a_point(scene, i))
        else {
            continue;
        };
        let own = lengths.iter().find(|l| l.item == i).cloned();
        let kind = amount.kind();
        let bare = amount.is_bare();
        let mut rules: Vec<(Role, f64)> = Vec::new();
        let mut features = evidence::features(scene, i);
        features.push(format!("verb:{}", verb.name()));
        let length = own
            .clone()
            .or_else(|| roles::as_length(scene, i).filter(|_| amount.digits && !counts::of_things(scene, i)));
        let mut ends = [amount.low, amount.high];
        let mut said = LengthAt {
            item: i,
            low_mm: amount.low,
            high_mm: amount.high,
            high: loads::text(amount, true).unwrap_or_else(|| roles::plain(amount.high)),
            low: loads::text(amount, false).unwrap_or_else(|| roles::plain(amount.low)),
        };
        if let Some(length) = &length {
            said = length.clone();
            if !bare || own.is_some() {
                ends = [length.low_mm, length.high_mm];
            }
            let given = roles::scores(scene, verb, length);
            rules.extend(of_lengths(verb).into_iter().map(|r| {
                let score = given.iter().find(|g| g.0 == r).map_or(UNTHOUGHT, |g| g.1);
                (r, score)
            }));
            if matches!(verb, Verb::Hold | Verb::PullTogether) {
                let air = |r: Role| matches!(r, Role::Layer(n) if roles::layer_of(scene, n) == Some("air"));
                let best = given.iter().filter(|g| air(g.0)).map(|g| g.1).fold(UNTHOUGHT, f64::max);
                rules
                    .iter_mut()
                    .filter(|r| r.0 == Role::Gap)
                    .for_each(|r| r.1 = r.1.max(best));
                rules.extend(given.iter().filter(|g| matches!(g.0, Role::Layer(_)) && !air(g.0)));
            }
        }
        if bare {
            if length.is_none() {
                rules.push((Role::Nobody, 0.0));
            }
            if own.is_none() {
                features.push("count".into());
            }
            features.extend(counts::features(scene, i, &wholes));
            let is = |slot: Option<(usize, u32)>| {
                if slot.is_some_and(|s| s.0 == i) {
                    CHOSEN
                } else {
                    UNTHOUGHT
                }
            };
            let things = counts.things.iter().any(|t| t.0 == i);
            let whole = amount.high.fract() == 0.0
                && amount.high >= 1.0
                && amount.low == amount.high
                && !counts::is_pronoun(scene, i)
                && !counts::is_the_pair(scene, i, verb);
            if amount.low >= 1.0 {
                rules.push((Role::SafetyFactor, if safety == Some(i) { CHOSEN } else { UNTHOUGHT }));
            }
            if counts::is_spare(scene, i) {
                continue;
            }
            // "no more than 3 in a stack" measures nothing
            if whole && counts::in_a_stack(scene, i) {
                rules.retain(|(role, _)| *role == Role::Nobody);
                rules.push((Role::Stack, 2.0 * CHOSEN));
                out.push(Candidate {
                    length: said,
                    ends,
                    rules,
                    features,
                });
                continue;
            }
            if !whole {
                out.push(Candidate {
                    length: said,
                    ends,
                    rules,
                    features,
                });
                continue;
            }
            // one is ordered where nothing is counted: "one magnet for each basket, ten baskets"
            let only = amount.high == 1.0 && several;
            if !only {
                rules.push((Role::Pieces, if things { UNTHOUGHT } else { is(counts.pieces) }));
            }
            rules.push((Role::Things, if things { CHOSEN } else { UNTHOUGHT }));
            rules.push((Role::Stack, is(counts.stack)));
            if amount.high >= 2.0 && matches!(verb, Verb::Hold | Verb::PullTogether | Verb::PushApart) {
                rules.push((Role::SharedBy, is(counts.shared)));
            }
        } else if matches!(kind, Some(Kind::Mass | Kind::Force)) {
            let Some(load) = loads.iter().find(|l| l.item == i) else {
                continue;
            };
            let newtons = if kind == Some(Kind::Mass) {
                load.si * GRAVITY
            } else {
                load.si
            };
            ends = [amount.low / amount.high * newtons, newtons];
            let rank = if loads[0].item == i { 1.0 } else { 0.0 };
            if matches!(verb, Verb::Hold | Verb::PullTogether | Verb::PushApart) {
                rules.push((Role::Load, load.score + rank));
            }
            if kind == Some(Kind::Mass) {
                rules.push((Role::Mass, if limit == Some(i) { CHOSEN } else { UNTHOUGHT }));
            }
            rules.push((Role::Nobody, 0.0));
        } else if length.is_none() {
            continue;
        }
        if limits_the_magnet(scene, i) {
            rules.retain(|(role, _)| *role != Role::SteelAcross);
        }
        if !holed {
            rules.retain(|(role, _)| *role != Role::Hole);
        }
        out.push(Candidate {
            length: said,
            ends,
            rules,
            features,
        });
    }
    out
}

/// Whether a message speaks of a hole, of what goes through one, or of magnets that have one.
fn says_a_hole(scene: &Scene) -> bool {
    const HOLED: [&str; 7] = ["hollow", "bored", "pierced", "drilled", "screwed", "tube", "pipe"];
    scene.any(|x| {
        x.is_any(&["hole", "countersunk", "inner", "ring"])
            || x.of(Class::Through)
            || HOLED.contains(&x.norm.as_str())
            || x.norm
                .strip_prefix('m')
                .is_some_and(|size| !size.is_empty() && size.chars().all(|c| c.is_ascii_digit()))
    })
}

/// Whether an amount is the most that something may measure, in a clause that does not speak of the steel: "on 3 mm steel, no
/// wider than 25 mm".
fn limits_the_magnet(scene: &Scene, i: usize) -> bool {
    let clause = scene.items[..i]
        .iter()
        .rev()
        .take_while(|item| !matches!(item.what, What::Break | What::Amount(_) | What::Mark(',' | ';' | '.')));
    bound(scene, i) == Some(true) && !clause.into_iter().any(roles::is_steel)
}

/// A size such as `20x10`: of the magnet, of the steel, or of anything else.
fn of_size(scene: &Scene, verb: Verb, i: usize, named: &[Named]) -> Candidate {
    let of_magnet = named.iter().any(|n| n.written && n.items.contains(&i));
    let steel = roles::steel_beside(scene, i);
    let mut rules = vec![
        (Role::MagnetSize, if of_magnet { CHOSEN } else { 0.0 }),
        (Role::Nobody, 1.0),
    ];
    if verb == Verb::Hold {
        rules.push((Role::SteelSize, if steel { CHOSEN } else { 0.0 }));
    }
    let text = scene.text[scene.items[i].range.clone()].to_owned();
    let mut features = evidence::features(scene, i);
    features.push(format!("verb:{}", verb.name()));
    Candidate {
        length: LengthAt {
            item: i,
            low_mm: 0.0,
            high_mm: 0.0,
            high: text.clone(),
            low: text,
        },
        ends: [0.0, 0.0],
        rules,
        features,
    }
}

/// An amount with the place that it got.
#[derive(Clone, Debug)]
pub(crate) struct Placed {
    pub length: LengthAt,
    pub role: Role,
    /// How likely the place is, of 1.
    pub score: f64,
    /// How likely each place was before any was taken.
    pub chances: Vec<(Role, f64)>,
    /// The place that the rules alone would give it.
    pub ruled: Role,
}

/// Most rounds in which amounts whose place is taken look for another.
const ROUNDS: usize = 24;
/// A need that nothing else meets takes what is so likely for it, though likelier for nobody.
const WANTED: f64 = 0.15;

/// The same of a count.
const WANTED_COUNT: f64 = 0.4;

/// The likeliest places of all amounts together. Once a place is taken, those that wanted it too compete for what is left.
pub(crate) fn assign(weights: &Weights, verb: Verb, candidates: &[Candidate]) -> Vec<Placed> {
    let all: Vec<Vec<(Role, f64)>> = candidates.iter().map(|c| chances(weights, c)).collect();
    let mut placed: Vec<Option<Placed>> = vec![None; candidates.len()];
    let mut taken: Vec<Role> = Vec::new();
    for round in 0..ROUNDS {
        let mut offers: Vec<(f64, usize, Role)> = Vec::new();
        for (index, own) in all.iter().enumerate().filter(|c| placed[c.0].is_none()) {
            let free = || own.iter().filter(|c| !taken.contains(&c.0));
            let sum: f64 = free().map(|c| c.1).sum();
            offers.extend(free().map(|(role, chance)| (chance / sum.max(f64::MIN_POSITIVE), index, *role)));
        }
        offers.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut again = false;
        for (chance, index, role) in offers {
            if placed[index].is_some() {
                continue;
            }
            if taken.contains(&role) {
                again = true;
                if round + 1 < ROUNDS {
                    // it looks for another place in the next round, before those that are less sure
                    break;
                }
                continue;
            }
            if !many(role) {
                taken.push(role);
            }
            placed[index] = Some(Placed {
                length: candidates[index].length.clone(),
                role,
                score: chance,
                chances: all[index].clone(),
                ruled: ruled(&candidates[index]),
            });
        }
        if !again {
            break;
        }
    }
    let mut placed: Vec<Placed> = placed.into_iter().flatten().collect();
    let needs: &[Role] = match verb {
        Verb::Hold => &[Role::Load, Role::SteelThickness, Role::SharedBy, Role::Pieces],
        Verb::PullTogether | Verb::PushApart => &[Role::Load, Role::Gap, Role::Pieces],
        Verb::ReachField => &[Role::Distance, Role::Pieces],
        Verb::SwitchSensor => &[Role::Near, Role::Far, Role::Pieces],
        Verb::FaceField => &[Role::Pieces],
    };
    for need in needs.iter().filter(|n| !taken.contains(n)) {
        let counted =
            *need == Role::Pieces && (taken.contains(&Role::SharedBy) || placed.iter().any(|p| p.role == Role::Things));
        if counted || placed.iter().any(|p| p.role == *need) {
            continue;
        }
        let chance = |p: &Placed| p.chances.iter().find(|c| c.0 == *need).map_or(0.0, |c| c.1);
        let best = placed
            .iter_mut()
            .filter(|p| p.role == Role::Nobody)
            .map(|p| (chance(p), p))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        let least = match need {
            Role::SharedBy | Role::Pieces => WANTED_COUNT,
            _ => WANTED,
        };
        if let Some((chance, p)) = best.filter(|b| b.0 >= least) {
            p.role = *need;
            p.score = chance;
        }
    }
    placed
}

/// The place that the rules like best.
fn ruled(candidate: &Candidate) -> Role {
    let best = candidate.rules.iter().max_by(|a, b| a.1.total_cmp(&b.1));
    best.map_or(Role::Nobody, |b| b.0)
}

/// Whether several amounts may have a place.
fn many(role: Role) -> bool {
    matches!(
        role,
        Role::Nobody | Role::Gap | Role::Distance | Role::Near | Role::Far | Role::Things | Role::MagnetSize
    )
}

/// How likely each place of an amount is; of several layers the one that suits best has the chance of all.
fn chances(weights: &Weights, candidate: &Candidate) -> Vec<(Role, f64)> {
    let mut best: Vec<(&'static str, f64)> = Vec::new();
    for (role, rule) in &candidate.rules {
        match best.iter_mut().find(|b| b.0 == role.name()) {
            Some(b) => b.1 = b.1.max(*rule),
            None => best.push((role.name(), *rule)),
        }
    }
    let chances = weights.chances(&candidate.features, &best);
    let mut out: Vec<(Role, f64)> = candidate
        .rules
        .iter()
        .filter_map(|(role, rule)| {
            let at = best.iter().position(|b| b.0 == role.name())?;
            Some((*role, chances[at] * (rule - best[at].1).exp()))
        })
        .collect();
    ordered_together(&mut out);
    out
}

/// A number of magnets and one of the things that they are for say how many are ordered alike: where that is likelier than
/// nothing, the likelier of both has the chance of both.
fn ordered_together(chances: &mut [(Role, f64)]) {
    let of = |role: Role| chances.iter().find(|c| c.0 == role).map_or(0.0, |c| c.1);
    let (pieces, things, nobody) = (of(Role::Pieces), of(Role::Things), of(Role::Nobody));
    if pieces.max(things) < nobody && pieces + things > nobody {
        let likelier = if pieces > things { Role::Pieces } else { Role::Things };
        chances
            .iter_mut()
            .filter(|c| c.0 == likelier)
            .for_each(|c| c.1 = pieces + things);
    }
}

#[cfg(test)]
mod tests;
