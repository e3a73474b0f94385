//! How many: pieces to buy, magnets that share a load, and the things that they are for.

use crate::named::Class;
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

/// What a number counts.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Counted {
    Pieces,
    Magnets,
    Pairs,
    Sets,
    Objects,
    Nothing,
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
            let listed = x.is("pieces")
                && !x.is("magnet")
                && scene.items[p + 1..i]
                    .iter()
                    .any(|m| m.what == crate::lexer::What::Mark(':'));
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

/// The word of a message that wants no stacks: "not stacked", "no stacks".
pub(crate) fn unstacked(scene: &Scene) -> Option<usize> {
    scene
        .tagged("stack")
        .find(|s| scene.previous(*s).is_some_and(|p| scene.items[p].is("negation")))
}

/// Whether a number counts pairs.
pub(crate) fn of_pairs(scene: &Scene, i: usize) -> bool {
    let (what, noun) = counted(scene, i);
    what == Counted::Pairs || what == Counted::Sets && pair_follows(scene, noun)
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
    if i == 0 || scene.items[i - 1].what == crate::lexer::What::Break {
        out.push(format!("leads&counts:{what}"));
    }
    if scene.next(i).is_none() {
        out.push(format!("ends&{few}"));
    }
    out
}

fn is_noise(scene: &Scene, i: usize) -> bool {
    let before = scene.previous(i);
    let after = scene.next(i);
    let direct = i.checked_sub(1).map(|p| &scene.items[p]);
    let numbered = before.is_some_and(|p| {
        scene.items[p].is("number_of") && !scene.items[p].is("quantity") && scene.distance(p, i) < 1.8
    });
    let numbered = numbered
        || i >= 2 && scene.items[i - 1].what == crate::lexer::What::Mark('.') && scene.items[i - 2].is("number_of")
        || scene
            .items
            .get(i + 1)
            .is_some_and(|x| x.what == crate::lexer::What::Mark('.'))
            && (i == 0 || scene.items[i - 1].what == crate::lexer::What::Break);
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
        d.range.end == scene.items[i].range.start
            && matches!(d.what, crate::lexer::What::Mark('/' | '-' | '#' | '+' | '_'))
    });
    let digits: String = scene.text[scene.items[i].range.clone()].to_owned();
    let telephone = digits.starts_with('0') && digits.len() > 1;
    let next_glued = scene.items.get(i + 1).is_some_and(|d| {
        d.range.start == scene.items[i].range.end
            && matches!(d.what, crate::lexer::What::Mark('/' | '-' | ':' | '_' | ')'))
    });
    let list_number = scene
        .items
        .get(i + 1)
        .is_some_and(|d| d.what == crate::lexer::What::Mark(')'))
        && (i == 0 || scene.items[i - 1].what == crate::lexer::What::Break);
    let bare_row = next_glued && scene.items.get(i + 2).is_some_and(|x| x.amount().is_some());
    numbered || month || timed || glued || telephone || bare_row || list_number
}

/// What the number at `i` counts, and the noun.
fn counted(scene: &Scene, i: usize) -> (Counted, Option<usize>) {
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
                && (!crate::roles::layer_items(scene).contains(&next) || spoken_of_singly(scene, Some(next))))
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
fn relevant(scene: &Scene, i: usize, noun: Option<usize>) -> bool {
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
fn spoken_of_singly(scene: &Scene, noun: Option<usize>) -> bool {
    let Some(singular) = noun.and_then(|n| scene.items[n].norm.strip_suffix('s')) else {
        return false;
    };
    scene.items.iter().enumerate().any(|(n, x)| {
        x.norm == singular && matches!(scene.word(scene.previous(n)), "per" | "each" | "every" | "a" | "one")
    })
}

fn pair_follows(scene: &Scene, noun: Option<usize>) -> bool {
    noun.and_then(|n| scene.next(n))
        .is_some_and(|n| scene.items[n].norm == "of")
        && noun.is_some_and(|n| {
            scene
                .nearest(n, 3.0, |x| x.amount().is_some_and(|a| a.high == 2.0))
                .is_some()
        })
}

fn is_stacked(scene: &Scene, i: usize) -> bool {
    scene.nearest(i, 4.5, |x| x.is("stack")).is_some()
}

/// Whether a number of magnets carries the load together.
fn shares(scene: &Scene, i: usize, noun: Option<usize>, n: u32) -> bool {
    let before = scene.previous(i);
    let lead = scene.word(before);
    if matches!(
        lead,
        "with"
            | "using"
            | "by"
            | "over"
            | "across"
            | "w"
            | "on"
            | "between"
            | "among"
            | "take"
            | "up to"
            | "be"
            | "has"
            | "have"
            | "needs"
            | "gets"
            | "put"
            | "use"
            | "glue"
            | "glued"
            | "screw"
            | "planned"
    ) {
        let only = n == 1;
        return !only;
    }
    let Some(noun) = noun else { return false };
    let mut at = noun;
    for _ in 0..3 {
        let Some(after) = scene.next(at) else { break };
        let x = &scene.items[after];
        // "magnets which each carry 1.5 kg", "400 magnets for 200 doors"
        if matches!(x.norm.as_str(), "which" | "that" | "who") || x.amount().is_some_and(crate::lexer::Amount::is_bare)
        {
            break;
        }
        if x.is("each")
            || matches!(
                x.norm.as_str(),
                "glued"
                    | "behind"
                    | "per"
                    | "screwed"
                    | "share"
                    | "sharing"
                    | "together"
                    | "all"
                    | "round"
                    | "around"
                    | "underneath"
                    | "altogether"
                    | "total"
                    | "on"
                    | "in"
                    | "at"
                    | "for"
            )
        {
            if matches!(x.norm.as_str(), "in" | "on" | "for" | "at") {
                let place = scene.next(after);
                let whole = place.is_some_and(|p| {
                    matches!(
                        scene.items[p].norm.as_str(),
                        "the" | "each" | "its" | "every" | "a" | "it" | "back" | "all" | "top"
                    )
                });
                let stock = scene.word(place) == "stock";
                return n <= 16 && whole && !stock && !wanted(scene, before);
            }
            return true;
        }
        at = after;
    }
    if scene
        .nearest(i, 2.4, |x| {
            matches!(x.norm.as_str(), "each" | "per" | "every" | "corner" | "corners")
        })
        .is_some()
        && n <= 16
    {
        return true;
    }
    let each = scene
        .nearest(noun, 2.4, |x| x.norm == "each")
        .is_some_and(|(e, _)| e > noun);
    !each && n > 1 && n <= 12 && !wanted(scene, before)
}

/// Whether what stands before a number says that so many are wanted.
fn wanted(scene: &Scene, before: Option<usize>) -> bool {
    let Some(b) = before else { return false };
    let word = scene.items[b].norm.as_str();
    matches!(
        word,
        "need"
            | "want"
            | "order"
            | "buy"
            | "quote"
            | "for"
            | "require"
            | "needs"
            | "after"
            | "need about"
            | "get"
            | "wanted"
            | "purchase"
            | "about"
            | "pls"
    ) && !matches!(scene.word(scene.previous(b)), "with")
}

fn per_thing(scene: &Scene, noun: Option<usize>) -> bool {
    noun.and_then(|n| scene.next(n)).is_some_and(|n| {
        scene.items[n].is("each") || matches!(scene.items[n].norm.as_str(), "per" | "a" | "for" | "in" | "on")
    })
}

/// `need 24`, `we take 1000`, `x2`, `I buy 300`, a number alone in its sentence.
fn asked_for(scene: &Scene, i: usize) -> bool {
    let word = scene.word(scene.previous(i));
    let wants = matches!(
        word,
        "need"
            | "want"
            | "buy"
            | "order"
            | "require"
            | "quantity"
            | "qty"
            | "x"
            | "we'd need"
            | "take"
            | "for"
            | "say"
            | "about"
            | "need about"
            | "like"
            | "of"
    );
    let lead_ok = scene.previous(i).is_none_or(|p| {
        matches!(scene.items[p].norm.as_str(), "a" | "one" | "just" | "only") && scene.previous(p).is_none()
    });
    let alone = lead_ok
        && scene.next(i).is_none_or(|n| {
            scene.items[n].norm == "of" && scene.next(n).is_none()
                || matches!(scene.items[n].norm.as_str(), "please" | "pls")
        });
    let amount_ok = scene.items[i]
        .amount()
        .is_some_and(|a| a.high <= 200_000.0 && (a.high >= 2.0));
    let before_for = word == "for" || word == "of" || word == "about" || word == "say" || word == "like";
    let open = scene.next(i).is_none_or(|n| {
        matches!(
            scene.items[n].norm.as_str(),
            "of" | "please" | "pls" | "as" | "to" | "for" | "in" | "by" | "and"
        )
    });
    amount_ok
        && ((wants && !before_for && open)
            || (alone && i > 0 && scene.items[i].amount().is_some_and(|a| !a.digits || a.high < 2000.0)))
}
