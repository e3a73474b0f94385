//! Whether magnets that are counted share a load or are wanted.

use crate::scene::Scene;

/// Whether a number of magnets stands on each other.
pub(super) fn is_stacked(scene: &Scene, i: usize) -> bool {
    scene.nearest(i, 4.5, |x| x.is("stack")).is_some()
}

/// Whether a number of magnets carries the load together.
pub(super) fn shares(scene: &Scene, i: usize, noun: Option<usize>, n: u32) -> bool {
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

/// Whether what is counted is one for each of something.
pub(super) fn per_thing(scene: &Scene, noun: Option<usize>) -> bool {
    noun.and_then(|n| scene.next(n)).is_some_and(|n| {
        scene.items[n].is("each") || matches!(scene.items[n].norm.as_str(), "per" | "a" | "for" | "in" | "on")
    })
}

/// `need 24`, `we take 1000`, `x2`, `I buy 300`, a number alone in its sentence.
pub(super) fn asked_for(scene: &Scene, i: usize) -> bool {
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
        let first = match scene.items[p].norm.as_str() {
            // "just the one"
            "the" => scene
                .previous(p)
                .filter(|x| matches!(scene.items[*x].norm.as_str(), "just" | "only")),
            "a" | "one" | "just" | "only" => Some(p),
            _ => None,
        };
        first.is_some_and(|p| scene.previous(p).is_none())
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
