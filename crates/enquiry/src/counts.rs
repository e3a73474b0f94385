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
    let after = [scene.next(i), scene.next(i).and_then(|n| scene.next(n))];
    let kept = after
        .into_iter()
        .flatten()
        .any(|n| matches!(scene.items[n].norm.as_str(), "spare" | "spares" | "reserve" | "extra"));
    let range = scene.items[i].range.clone();
    let before = scene.text[..range.start].trim_end();
    kept && (scene.text[range].starts_with('+') || ["+", "plus", "Plus", "PLUS"].iter().any(|w| before.ends_with(w)))
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

/// What a number counts, as features.
pub(crate) fn features(scene: &Scene, i: usize) -> Vec<String> {
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
