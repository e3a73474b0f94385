//! What a number counts.

use advice::sentence::Verb;

use crate::lexer::What;
use crate::named::Class;
use crate::roles::is_pair;
use crate::roles::layer_items;
use crate::scene::Scene;

/// What may be counted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Counted {
    Pieces,
    Magnets,
    Pairs,
    Sets,
    Objects,
    Nothing,
}

/// Whether a `one` stands for a thing and is no number: `the cheapest one`, `that one`.
pub(crate) fn is_pronoun(scene: &Scene, i: usize) -> bool {
    scene.text[scene.items[i].range.clone()].eq_ignore_ascii_case("one")
        && scene.previous(i).is_some_and(|p| {
            let word = scene.items[p].norm.as_str();
            word.ends_with("est") || matches!(word, "this" | "that" | "which" | "right" | "same")
        })
}

/// Whether a number says of two magnets that they are a pair, and not how many are ordered: `two magnets shall attract`.
pub(crate) fn is_the_pair(scene: &Scene, i: usize, verb: Verb) -> bool {
    is_pair(verb)
        && scene.items[i].amount().is_some_and(|a| a.low == 2.0 && a.high == 2.0)
        && counted(scene, i).0 == Counted::Magnets
}

/// Whether a number counts nothing: it numbers an order or a list, or is part of a date or a telephone number.
pub(super) fn is_noise(scene: &Scene, i: usize) -> bool {
    let before = scene.previous(i);
    let after = scene.next(i);
    let direct = i.checked_sub(1).map(|p| &scene.items[p]);
    let numbered = before.is_some_and(|p| {
        scene.items[p].is("number_of") && !scene.items[p].is("quantity") && scene.distance(p, i) < 1.8
    });
    let numbered = numbered
        || i >= 2 && scene.items[i - 1].what == What::Mark('.') && scene.items[i - 2].is("number_of")
        || scene.items.get(i + 1).is_some_and(|x| x.what == What::Mark('.'))
            && (i == 0 || scene.items[i - 1].what == What::Break);
    let numbered = numbered
        || before.is_some_and(|p| {
            matches!(
                scene.items[p].norm.as_str(),
                "order" | "invoice" | "ticket" | "ref" | "no" | "job"
            )
        }) && scene.items[i].amount().is_some_and(|a| a.digits && a.high >= 1000.0);
    let month = [before, after]
        .into_iter()
        .flatten()
        .any(|n| scene.items[n].is("month") && scene.distance(n, i) < 1.6);
    let timed = after.is_some_and(|n| scene.items[n].is_any(&["time", "age"]) && !scene.items[n].is("pieces"));
    let glued = direct.is_some_and(|d| {
        d.range.end == scene.items[i].range.start && matches!(d.what, What::Mark('/' | '-' | '#' | '+' | '_'))
    });
    let digits: String = scene.text[scene.items[i].range.clone()].to_owned();
    let telephone = digits.starts_with('0') && digits.len() > 1;
    let next_glued = scene.items.get(i + 1).is_some_and(|d| {
        d.range.start == scene.items[i].range.end && matches!(d.what, What::Mark('/' | '-' | ':' | '_' | ')'))
    });
    let list_number = numbers_a_point(scene, i);
    let bare_row = next_glued && scene.items.get(i + 2).is_some_and(|x| x.amount().is_some());
    // "in 1962": a year
    let year = digits.len() == 4
        && scene.items[i]
            .amount()
            .is_some_and(|a| (1850.0..=2040.0).contains(&a.high))
        && after.is_none_or(|n| !scene.items[n].is_any(&["pieces", "magnet", "pairs", "sets"]))
        && before.is_some_and(|p| {
            matches!(
                scene.items[p].norm.as_str(),
                "in" | "since" | "from" | "of" | "a" | "year" | "the"
            )
        });
    is_pronoun(scene, i) || numbered || year || month || timed || glued || telephone || bare_row || list_number
}

/// Whether a number is that of a point in a list: the 5 of `4) 100 °C 5) dia <= 40`.
pub(crate) fn numbers_a_point(scene: &Scene, i: usize) -> bool {
    let item = &scene.items[i];
    let closed = scene
        .items
        .get(i + 1)
        .is_some_and(|d| d.what == What::Mark(')') && d.range.start == item.range.end);
    let whole = item
        .amount()
        .is_some_and(|a| a.is_bare() && a.low == a.high && a.high.fract() == 0.0 && (1.0..=30.0).contains(&a.high));
    let opened = (0..i)
        .rev()
        .find(|n| matches!(scene.items[*n].what, What::Mark('(' | ')') | What::Break))
        .is_some_and(|n| scene.items[n].what == What::Mark('('));
    closed && whole && (!opened || i > 0 && scene.items[i - 1].what == What::Mark('('))
}

/// What the number at `i` counts, and the noun.
pub(super) fn counted(scene: &Scene, i: usize) -> (Counted, Option<usize>) {
    let mut at = i;
    for step in 0..4 {
        let Some(next) = scene.next(at) else { break };
        let item = &scene.items[next];
        if step > 0 && (item.amount().is_some() && !item.is("pieces")) {
            // "300 pcs of 12 mm discs" has stopped before; "four 10 mm magnets" goes on
            at = next;
            continue;
        }
        if item.size().is_some() {
            at = next;
            continue;
        }
        if item.is("pairs") {
            return (Counted::Pairs, Some(next));
        }
        if item.is("sets") {
            return (Counted::Sets, Some(next));
        }
        if item.is("magnet") || (item.is_magnet() && item.norm.ends_with('s')) {
            return (Counted::Magnets, Some(next));
        }
        if item.is("pieces") {
            return (Counted::Pieces, Some(next));
        }
        if item.is_magnet() && !item.of(Class::Object) {
            return (Counted::Magnets, Some(next));
        }
        let plural = item.norm.ends_with('s') && item.norm.len() > 3;
        let dimension = item.is_any(&["thick", "wide", "high", "deep", "long", "dia"]);
        if dimension {
            return (Counted::Nothing, None);
        }
        if item.of(Class::Object)
            || (plural
                && !item.is_any(&["time", "age", "safety", "times", "each", "weigh", "hold"])
                && (!layer_items(scene).contains(&next) || spoken_of_singly(scene, Some(next))))
        {
            let sheets = matches!(
                item.norm.as_str(),
                "sheets"
                    | "pages"
                    | "layers"
                    | "papers"
                    | "coats"
                    | "sides"
                    | "magnets"
                    | "ways"
                    | "times"
                    | "is"
                    | "has"
                    | "wires"
                    | "this"
                    | "plus"
            );
            if sheets {
                return (Counted::Nothing, None);
            }
            return (Counted::Objects, Some(next));
        }
        let stops = matches!(
            item.norm.as_str(),
            "of" | "to"
                | "for"
                | "in"
                | "on"
                | "at"
                | "and"
                | "or"
                | "with"
                | "per"
                | "as"
                | "is"
                | "are"
                | "should"
                | "each"
                | "a"
                | "i"
                | "we"
                | "it"
                | "but"
                | "by"
                | "that"
                | "which"
                | "from"
        );
        if stops {
            let of_them = item.norm == "of"
                && scene
                    .next(next)
                    .is_some_and(|n| matches!(scene.items[n].norm.as_str(), "them" | "those" | "these"));
            if of_them {
                return (Counted::Pieces, Some(next));
            }
            break;
        }
        at = next;
    }
    (Counted::Nothing, None)
}

/// Whether what is counted has to do with the order: a known thing, or a sentence about magnets.
pub(super) fn relevant(scene: &Scene, i: usize, noun: Option<usize>) -> bool {
    // doors and shelves are counted where each gets its magnet
    let stands = noun.is_some_and(|n| {
        !scene.items[n].of(Class::Object) && (scene.items[n].of(Class::Surface) || scene.items[n].of(Class::Perhaps))
    });
    if stands && !scene.any(|x| x.is("each") || x.norm == "per") && !scene.text.contains("one magnet a") {
        return false;
    }
    let known = stands || noun.is_some_and(|n| scene.items[n].of(Class::Object)) || spoken_of_singly(scene, noun);
    known
        || (0..scene.items.len()).any(|n| {
            scene.same_sentence(n, i)
                && (scene.items[n].is("magnet")
                    || matches!(
                        scene.items[n].norm.as_str(),
                        "need" | "order" | "want" | "quote" | "offer" | "plan" | "each"
                    ))
        })
}

/// Whether the singular of a plural stands after `per`, `each` or `a`.
pub(super) fn spoken_of_singly(scene: &Scene, noun: Option<usize>) -> bool {
    let Some(singular) = noun.and_then(|n| scene.items[n].norm.strip_suffix('s')) else {
        return false;
    };
    scene.items.iter().enumerate().any(|(n, x)| {
        x.norm == singular && matches!(scene.word(scene.previous(n)), "per" | "each" | "every" | "a" | "one")
    })
}

/// Whether a set is one of two: `sets of 2`.
pub(super) fn pair_follows(scene: &Scene, noun: Option<usize>) -> bool {
    noun.and_then(|n| scene.next(n))
        .is_some_and(|n| scene.items[n].norm == "of")
        && noun.is_some_and(|n| {
            scene
                .nearest(n, 3.0, |x| x.amount().is_some_and(|a| a.high == 2.0))
                .is_some()
        })
}
