//! How many: pieces to buy, magnets that share a load, and the things that they are for.

mod noun;
mod shares;
mod times;

use self::noun::{Counted, counted, is_noise, pair_follows, relevant, spoken_of_singly};
pub(crate) use self::noun::{is_pronoun, is_the_pair, numbers_a_point};
use self::shares::{asked_for, is_stacked, per_thing, shares};
pub(crate) use self::times::{Times, times};
use crate::lexer::What;
use crate::roles::is_pair;
use crate::scene::Scene;
use advice::sentence::Verb;

/// The counts of a message.
#[derive(Clone, Debug, Default)]
pub(crate) struct Counts {
    pub pieces: Option<(usize, u32)>,
    pub shared: Option<(usize, u32)>,
    /// Whether the number of pieces was worked out or may be meant otherwise.
    pub doubtful: bool,
    pub stack: Option<(usize, u32)>,
    /// Numbers of things that the magnets are for.
    pub things: Vec<(usize, u32)>,
}

pub(crate) fn counts(scene: &Scene, verb: Verb, taken: &[usize]) -> Counts {
    let mut out = Counts::default();
    let mut pieces: Option<(usize, u32, f64)> = None;
    let mut objects: Option<(bool, u32, usize)> = None;
    let offer = |slot: &mut Option<(usize, u32, f64)>, i: usize, n: u32, score: f64| {
        if slot.is_none_or(|s| score > s.2) {
            *slot = Some((i, n, score));
        }
    };
    for (i, amount) in scene.numbers() {
        if amount.low != amount.high
            || taken.contains(&i)
            || amount.high < 1.0
            || amount.high.fract() != 0.0
            || amount.high > 1e7
            || amount.low < 0.0
        {
            continue;
        }
        let n = amount.high as u32;
        if is_noise(scene, i) {
            continue;
        }
        let word_before = scene.previous(i).filter(|p| scene.items[*p].norm == "by");
        if word_before
            .and_then(|p| scene.previous(p))
            .is_some_and(|p| scene.items[p].norm == "shared")
        {
            out.shared = Some((i, n));
            continue;
        }
        let (counted, noun) = counted(scene, i);
        let quantity = scene.previous(i).is_some_and(|p| {
            let x = &scene.items[p];
            let listed =
                x.is("pieces") && !x.is("magnet") && scene.items[p + 1..i].iter().any(|m| m.what == What::Mark(':'));
            listed || x.is("quantity") && x.norm != "need" && x.norm != "amount" && !x.is("number_of")
        });
        match counted {
            Counted::Pairs if is_pair(verb) => offer(&mut pieces, i, n.saturating_mul(2), 5.0),
            Counted::Sets if is_pair(verb) && pair_follows(scene, noun) => {
                offer(&mut pieces, i, n.saturating_mul(2), 4.6)
            }
            Counted::Pairs | Counted::Sets
                if noun
                    .and_then(|x| scene.next(x))
                    .is_some_and(|x| scene.items[x].norm == "per") => {}
            Counted::Pairs if n == 1 || scene.previous(i).is_none() => {}
            Counted::Pairs | Counted::Sets => offer(&mut pieces, i, n, 4.0),
            Counted::Pieces => offer(&mut pieces, i, n, 5.0),
            Counted::Magnets => {
                if is_stacked(scene, i) {
                    out.stack = Some((i, n));
                } else if verb == Verb::Hold && shares(scene, i, noun, n) {
                    if n > 1 && out.shared.is_none() {
                        out.shared = Some((i, n));
                    }
                } else if !(is_pair(verb) && n == 2 || n == 1 && per_thing(scene, noun)) {
                    offer(&mut pieces, i, n, if n == 1 { 1.0 } else { 3.5 });
                }
            }
            // "one in each of four corners"
            Counted::Objects
                if verb == Verb::Hold
                    && n > 1
                    && noun.is_some_and(|x| scene.items[x].norm == "corners")
                    && out.shared.is_none() =>
            {
                out.shared = Some((i, n));
            }
            Counted::Objects if (n > 1 || quantity) && relevant(scene, i, noun) => {
                // of several things those that the message speaks of singly: "14 masks. A mask weighs ..."
                objects = objects.max(Some((spoken_of_singly(scene, noun), n, i)));
                out.things.push((i, n));
            }
            Counted::Objects | Counted::Nothing => {
                if verb == Verb::Hold
                    && !quantity
                    && (2..=16).contains(&n)
                    && scene
                        .next(i)
                        .is_some_and(|x| matches!(scene.items[x].norm.as_str(), "per" | "each"))
                {
                    out.shared = Some((i, n));
                } else if quantity {
                    offer(&mut pieces, i, n, 4.5);
                } else if counted == Counted::Nothing && asked_for(scene, i) {
                    offer(&mut pieces, i, n, 2.5);
                }
            }
        }
    }
    let shared = out.shared.map_or(1, |s| s.1);
    match (pieces, objects) {
        (Some((i, n, score)), Some((_, k, _))) if score < 3.0 && k > 1 => {
            out.pieces = Some((i, n.max(k.saturating_mul(shared))));
        }
        (Some((i, n, _)), _) => out.pieces = Some((i, n)),
        (None, Some((_, k, i))) if k > 1 => {
            let each = if is_pair(verb) { 2 } else { shared };
            out.pieces = Some((i, k.saturating_mul(each)));
            out.doubtful = is_pair(verb);
        }
        _ => {}
    }
    if let Some((_, s)) = out.stack
        && !(1..=8).contains(&s)
    {
        out.stack = None;
    }
    out
}

/// Whether a number is said to stand in a stack: `3 in a stack`, `up to 4 stacked`, `stack maximum three`.
pub(crate) fn in_a_stack(scene: &Scene, i: usize) -> bool {
    let before = scene.previous(i).filter(|b| scene.items[*b].is("max"));
    if before
        .and_then(|b| scene.previous(b))
        .is_some_and(|b| scene.items[b].is("stack"))
    {
        return true;
    }
    let mut at = i;
    for _ in 0..3 {
        let Some(next) = scene.next(at) else { return false };
        if scene.items[next].is("stack") {
            return true;
        }
        if !matches!(scene.items[next].norm.as_str(), "in" | "a" | "one" | "per") {
            return false;
        }
        at = next;
    }
    false
}

/// The word of a message that wants no stacks: "not stacked", "no stacks".
pub(crate) fn unstacked(scene: &Scene) -> Option<usize> {
    scene.tagged("stack").find(|s| {
        let denied = scene.nearest(*s, 2.4, |x| x.is("negation"));
        denied.is_some_and(|(n, _)| scene.same_sentence(n, *s))
    })
}

/// Whether a number counts pairs.
pub(crate) fn of_pairs(scene: &Scene, i: usize) -> bool {
    let (what, noun) = counted(scene, i);
    what == Counted::Pairs || what == Counted::Sets && pair_follows(scene, noun)
}

/// How many a set has that a number counts: the number said of it, as in `5 sets of three`, or else `usual`.
pub(crate) fn of_set(scene: &Scene, i: usize, usual: u32) -> Option<u32> {
    let (what, noun) = counted(scene, i);
    let of = noun.filter(|_| what == Counted::Sets).map(|n| scene.next(n))?;
    let said = of
        .filter(|n| scene.items[*n].norm == "of")
        .and_then(|n| scene.items[scene.next(n)?].amount())
        .filter(|a| a.is_bare() && a.high >= 1.0);
    Some(said.map_or(usual, |a| a.high as u32))
}

/// Whether a number says how many are ordered to spare beside those that are needed: the 4 of `36 + 4 spare`.
pub(crate) fn is_spare(scene: &Scene, i: usize) -> bool {
    let mut after = std::iter::successors(scene.next(i), |n| scene.next(*n)).take(3);
    let kept = after.any(|n| matches!(scene.items[n].norm.as_str(), "spare" | "spares" | "reserve" | "extra"));
    let range = scene.items[i].range.clone();
    let before = scene.text[..range.start].trim_end();
    let before = before
        .strip_suffix("please")
        .map_or(before, str::trim_end)
        .to_lowercase();
    kept && (scene.text[range].starts_with('+') || ["+", "plus", " and"].iter().any(|w| before.ends_with(w)))
}

/// How many are ordered to spare; none where their sum with those that are needed is said too.
pub(crate) fn spare(scene: &Scene, needed: u32) -> Option<(usize, u32)> {
    let (item, amount) = scene.numbers().find(|(i, a)| a.low == a.high && is_spare(scene, *i))?;
    let paired = |i: usize| if of_pairs(scene, i) { 2 } else { 1 };
    let number = amount.high as u32 * paired(item);
    let last = scene.numbers().filter(|(i, _)| *i < item).last();
    let follows = last.is_some_and(|(i, a)| a.high * f64::from(paired(i)) == f64::from(needed));
    let whole = f64::from(needed.saturating_add(number));
    let summed = scene.numbers().any(|(_, a)| a.high == whole);
    (follows && !summed && number <= needed.max(2)).then_some((item, number))
}

/// Whether a number counts magnets or pieces.
pub(crate) fn of_magnets(scene: &Scene, i: usize) -> bool {
    matches!(counted(scene, i).0, Counted::Magnets | Counted::Pieces)
}

/// Whether a number counts things that magnets are for.
pub(crate) fn of_things(scene: &Scene, i: usize) -> bool {
    counted(scene, i).0 == Counted::Objects
}

/// A whole number of a message, and what it counts.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Whole {
    item: usize,
    number: f64,
    counts: Counted,
}

/// The whole numbers of a message that are no dates, points of a list and the like.
pub(crate) fn wholes(scene: &Scene) -> Vec<Whole> {
    scene
        .numbers()
        .filter(|(i, a)| a.low == a.high && a.high.fract() == 0.0 && a.high >= 1.0 && !is_noise(scene, *i))
        .map(|(item, a)| Whole {
            item,
            number: a.high,
            counts: counted(scene, item).0,
        })
        .collect()
}

/// What the other numbers of a message say of one: what they count, and whether it is the least or the greatest of them.
fn beside_others(i: usize, number: f64, what: &str, wholes: &[Whole]) -> Vec<String> {
    let others = || wholes.iter().filter(|w| w.item != i);
    let mut out = vec![format!("numbers:{}&counts:{what}", others().count().min(3))];
    let mut kinds: Vec<String> = others().map(|w| format!("{:?}", w.counts)).collect();
    kinds.sort_unstable();
    kinds.dedup();
    out.extend(kinds.iter().map(|k| format!("other:{k}&counts:{what}")));
    if others().next().is_some() {
        let greatest = others().all(|w| w.number < number);
        let least = others().all(|w| w.number > number);
        let rank = if greatest {
            "greatest"
        } else if least {
            "least"
        } else {
            "between"
        };
        out.push(format!("{rank}&counts:{what}"));
        out.extend(kinds.iter().map(|k| format!("{rank}&other:{k}&counts:{what}")));
    }
    if others().any(|w| w.number == number) {
        out.push(format!("again&counts:{what}"));
    }
    out
}

/// What speaks for and against a number of pieces: what else is counted in the message and was not taken, what is said of each
/// of something, and how the number follows from others.
pub(crate) fn signs(scene: &Scene, pieces: Option<u32>, used: &[usize]) -> Vec<String> {
    let Some(pieces) = pieces.map(f64::from) else {
        return Vec::new();
    };
    let all = wholes(scene);
    let unused = all.iter().filter(|w| !used.contains(&w.item) && w.number > 1.0);
    let mut out: Vec<String> = unused.map(|w| format!("unused:{:?}", w.counts)).collect();
    out.extend(all.iter().map(|w| format!("each:{}", self::times::way(scene, w.item))));
    let above = all.iter().filter(|w| w.number > pieces);
    out.extend(above.map(|w| format!("fewer than:{:?}", w.counts)));
    let said = all.iter().filter(|w| w.number == pieces);
    out.extend(said.map(|w| format!("as said of:{:?}", w.counts)));
    if !all.iter().any(|w| w.number == pieces) {
        out.push("worked out".into());
    }
    let recounted = scene.items.iter().filter(|x| x.is("recount"));
    out.extend(recounted.map(|x| format!("recount:{}", x.norm)));
    out.push(format!("recount:{}", scene.tagged("recount").count().min(3)));
    let divides = all
        .iter()
        .any(|w| w.number > 1.0 && w.number < pieces && pieces % w.number == 0.0);
    out.push(format!("divides:{divides}"));
    out.push(format!(
        "few:{}",
        [2.0, 3.0, 9.0, 25.0, 200.0]
            .iter()
            .filter(|end| pieces >= **end)
            .count()
    ));
    out
}

/// Whether two numbers count things of the same name.
pub(crate) fn of_the_same(scene: &Scene, i: usize, other: usize) -> bool {
    let noun = |n: usize| counted(scene, n).1.map(|noun| scene.items[noun].norm.as_str());
    noun(i).is_some() && noun(i) == noun(other)
}

/// Whether a number counts magnets, pieces, pairs, sets or things.
pub(crate) fn counts_anything(scene: &Scene, i: usize) -> bool {
    !is_noise(scene, i) && counted(scene, i).0 != Counted::Nothing
}

/// What a number counts, as features; `wholes` are the numbers of the message.
pub(crate) fn features(scene: &Scene, i: usize, wholes: &[Whole]) -> Vec<String> {
    let mut out = Vec::new();
    let Some(amount) = scene.items[i].amount() else {
        return out;
    };
    let n = amount.high;
    let few = match n {
        _ if n.fract() != 0.0 => "part",
        _ if n < 2.0 => "one",
        _ if n < 3.0 => "two",
        _ if n < 9.0 => "few",
        _ if n < 25.0 => "some",
        _ if n < 200.0 => "many",
        _ => "lots",
    };
    let round = n >= 10.0 && n % 10.0 == 0.0;
    let (what, noun) = counted(scene, i);
    let what = if is_noise(scene, i) {
        "noise".to_owned()
    } else {
        format!("{what:?}")
    };
    let same = |tags: &[&str]| (0..scene.items.len()).any(|k| scene.same_sentence(k, i) && scene.items[k].is_any(tags));
    out.push(format!("few:{few}"));
    out.push(format!("counts:{what}"));
    out.push(format!("counts:{what}&{few}"));
    if round {
        out.push(format!("round&counts:{what}"));
    }
    if let Some(noun) = noun {
        let item = &scene.items[noun];
        out.push(format!("noun:{}", item.norm));
        let next = scene.next(noun).map_or("none", |k| scene.items[k].norm.as_str());
        out.push(format!("after noun:{next}"));
        out.push(format!("after noun:{next}&{few}"));
        if spoken_of_singly(scene, Some(noun)) {
            out.push(format!("singly&counts:{what}"));
        }
    }
    let each = self::times::way(scene, i);
    out.push(format!("each:{each}&counts:{what}"));
    out.push(format!("each:{each}&{few}"));
    out.extend(beside_others(i, n, &what, wholes));
    let sentence = [
        ("magnet", same(&["magnet"])),
        ("each", same(&["each"])),
        ("quantity", same(&["quantity"])),
    ];
    for (name, _) in sentence.iter().filter(|s| s.1) {
        out.push(format!("beside:{name}&counts:{what}"));
    }
    if i == 0 || scene.items[i - 1].what == What::Break {
        out.push(format!("leads&counts:{what}"));
    }
    if scene.next(i).is_none() {
        out.push(format!("ends&{few}"));
    }
    out
}
