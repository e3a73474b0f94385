//! How many magnets follow from so many for each of so many things.

use super::noun::{Counted, counted, is_noise};
use super::{of_pairs, of_the_same};
use crate::lexer::{Amount, What};
use crate::roles::is_pair;
use crate::scene::Scene;
use advice::sentence::Verb;

/// So many magnets for each of so many things.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Times {
    /// The items of the numbers: those for each first, then how many things there are.
    pub items: Vec<usize>,
    /// The numbers themselves.
    pub numbers: Vec<u32>,
    /// How many magnets in all.
    pub all: u32,
    /// Whether the same things are counted twice, by different numbers.
    pub doubtful: bool,
}

/// The most things that are counted so.
const MOST_THINGS: f64 = 1e6;
/// How many things may stand in each other: magnets in hatches in trucks in depots.
const DEPTH: usize = 3;

/// What a number is for each of.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Each {
    /// Of a thing that is named: `2 per machine`.
    Thing(usize),
    /// Of the things that were counted last: `12 flaps and one magnet on each`.
    Those,
}

/// Magnets for each of some things, where the same things are counted: `2 per machine, 14 machines`, `11 doors, each gets one
/// pair`, `25 trucks, 2 hatches a truck, 1 magnet per hatch`.
pub(crate) fn times(scene: &Scene, verb: Verb) -> Option<Times> {
    packed(scene).or_else(|| for_each(scene, verb))
}

/// What holds several magnets when it is ordered.
const PACKS: [&str; 8] = [
    "sets", "packs", "boxes", "bags", "lots", "batches", "bundles", "packets",
];

/// Magnets that are ordered by the pack: `5 packs of 100 pieces`, `2 sets of 4`.
fn packed(scene: &Scene) -> Option<Times> {
    let whole = |i: usize| scene.items[i].amount().filter(|a| a.is_bare() && is_whole(scene, i, a));
    scene.numbers().find_map(|(i, _)| {
        let each = whole(i).filter(|_| {
            matches!(
                counted(scene, i).0,
                Counted::Nothing | Counted::Magnets | Counted::Pieces
            )
        })?;
        let of = scene.previous(i).filter(|of| scene.items[*of].norm == "of")?;
        let pack = scene
            .previous(of)
            .filter(|p| PACKS.contains(&scene.items[*p].norm.as_str()))?;
        let n = scene.previous(pack)?;
        let packs = whole(n)?;
        let numbers = vec![each.high as u32, packs.high as u32];
        Some(Times {
            items: vec![i, n],
            all: numbers[0].saturating_mul(numbers[1]),
            numbers,
            doubtful: false,
        })
    })
}

fn for_each(scene: &Scene, verb: Verb) -> Option<Times> {
    eaches(scene).find_map(|(i, each)| {
        let mut items = vec![i];
        let mut numbers = vec![each];
        let mut of = each_of(scene, i)?;
        let mut doubtful = false;
        for _ in 0..DEPTH {
            let Some((n, things)) = number_of(scene, of, &items) else {
                break;
            };
            doubtful |= scene.numbers().any(|(m, a)| {
                f64::from(things) != a.high
                    && is_whole(scene, m, a)
                    && of_the_same(scene, m, n)
                    && counts_things(scene, m)
            });
            items.push(n);
            numbers.push(things);
            // hatches that are counted for each truck
            match each_of(scene, n) {
                Some(further) => of = further,
                None => break,
            }
        }
        // a closure is a pair: "60 bags, 2 closures a bag"
        let paired = of_pairs(scene, i) || is_pair(verb) && counted(scene, i).0 == Counted::Objects;
        let pairs = if paired { 2 } else { 1 };
        let all = numbers.iter().copied().fold(pairs, u32::saturating_mul);
        (numbers.len() > 1).then_some(Times {
            items,
            numbers,
            all,
            doubtful,
        })
    })
}

/// What may be the number of each: whole numbers, and the one of `a pair of discs per foot`.
fn eaches(scene: &Scene) -> impl Iterator<Item = (usize, u32)> {
    scene
        .items
        .iter()
        .enumerate()
        .filter_map(|(i, item)| match item.amount() {
            Some(amount) => (amount.is_bare() && is_whole(scene, i, amount)).then_some((i, amount.high as u32)),
            None => {
                let article = matches!(item.norm.as_str(), "a" | "an");
                // "a pair of wet socks" is no pair of magnets
                let of_others = |n: usize| {
                    let of = scene.next(n).filter(|of| scene.items[*of].norm == "of");
                    of.and_then(|of| scene.next(of))
                        .is_some_and(|what| !scene.items[what].is_magnet())
                };
                let magnet = |n: usize| matches!(scene.items[n].norm.as_str(), "magnet" | "disc");
                let one = |n: usize| magnet(n) || scene.items[n].is("pairs") && !of_others(n);
                (article && scene.next(i).is_some_and(one)).then_some((i, 1))
            }
        })
}

/// How a number is said of each of something: whether of a thing that another number counts, of one that none does, or of those
/// that were counted before.
pub(super) fn way(scene: &Scene, i: usize) -> &'static str {
    match each_of(scene, i) {
        None => "no",
        Some(of) if number_of(scene, of, &[i]).is_some() => "counted",
        Some(Each::Thing(_)) => "thing",
        Some(Each::Those) => "those",
    }
}

fn is_whole(scene: &Scene, i: usize, amount: &Amount) -> bool {
    amount.low == amount.high
        && amount.high.fract() == 0.0
        && (1.0..=MOST_THINGS).contains(&amount.high)
        && !is_noise(scene, i)
}

/// The number that counts the things, and that is not taken yet.
fn number_of(scene: &Scene, of: Each, taken: &[usize]) -> Option<(usize, u32)> {
    let first = *taken.first()?;
    let mut numbers = scene
        .numbers()
        .filter(|(n, a)| !taken.contains(n) && a.high >= 2.0 && is_whole(scene, *n, a));
    let (n, amount) = match of {
        Each::Thing(thing) => {
            let name = scene.items[thing].norm.as_str();
            numbers.find(|(n, _)| *n != thing && counts(scene, *n, name))?
        }
        Each::Those => numbers.filter(|(n, _)| *n < first && counts_things(scene, *n)).last()?,
    };
    Some((n, amount.high as u32))
}

/// Whether a number counts things that magnets are for, none of them a part of a measure.
fn counts_things(scene: &Scene, i: usize) -> bool {
    counted(scene, i).0 == Counted::Objects
}

/// The little words between a number of magnets and the things that each has so many.
const PLACES: [&str; 13] = [
    "in", "on", "for", "to", "at", "by", "under", "behind", "inside", "into", "onto", "with", "of",
];

/// What a number of magnets is for each of: the machine of `2 per machine`, the cube of `six magnets a cube`, the pouch of `two
/// magnets at the back of each pouch`, the doors of `11 doors, each gets one pair`.
fn each_of(scene: &Scene, i: usize) -> Option<Each> {
    after(scene, i).or_else(|| before(scene, i))
}

/// The most words between a number and `each`.
const BETWEEN: usize = 6;

fn after(scene: &Scene, i: usize) -> Option<Each> {
    let mut at = i;
    // whether all words since the number say what is counted, and whether a little word has led on to where that is
    let (mut named, mut led) = (true, false);
    for _ in 0..BETWEEN {
        let next = scene.next(at)?;
        let item = &scene.items[next];
        let word = item.norm.as_str();
        if matches!(word, "per" | "each" | "every") {
            // "500 g each": a load is no count; "each of them"
            return of_each(scene, next, word);
        }
        if matches!(word, "a" | "an") && named && !led {
            return thing(scene, scene.next(next)?).map(Each::Thing);
        }
        // "8 magnets for one tile"
        let one = item.amount().is_some_and(|a| a.is_bare() && !a.digits && a.high == 1.0);
        if one && led {
            return thing(scene, scene.next(next)?).map(Each::Thing);
        }
        if item.amount().is_some() || item.size().is_some() {
            return None;
        }
        if PLACES.contains(&word) {
            led = true;
        } else if !matches!(word, "the" | "a" | "an") {
            named = named && (item.is_magnet() || item.is_any(&["pieces", "pairs", "sets"]) || at == i);
        }
        at = next;
    }
    None
}

/// What follows `each`, `per` or `every`.
fn of_each(scene: &Scene, each: usize, word: &str) -> Option<Each> {
    let next = scene.next(each);
    let Some(next) = next else {
        return (word == "each").then_some(Each::Those);
    };
    if let Some(named) = thing(scene, next) {
        return Some(Each::Thing(named));
    }
    let pronoun = matches!(scene.items[next].norm.as_str(), "one" | "of" | "for" | "and");
    (pronoun && word != "per").then_some(Each::Those)
}

/// The most words between `each` and the number of magnets that each has.
const HAS: usize = 4;

/// What has a number of magnets: `11 doors, each gets one pair`, `in each corner two rings`, `house has 9 windows`.
fn before(scene: &Scene, i: usize) -> Option<Each> {
    let nothing = counted(scene, i).0 == Counted::Nothing;
    let mut at = i;
    for _ in 0..HAS {
        let Some(last) = scene.previous(at).filter(|_| !nothing) else {
            break;
        };
        if scene.items[last].amount().is_some() || scene.items[last].size().is_some() {
            break;
        }
        // "4 magnets on each = 120 pcs"
        if scene.items[last..at].iter().any(|x| x.what == What::Mark('=')) {
            break;
        }
        if matches!(scene.items[last].norm.as_str(), "each" | "every") {
            // "each gets one pair", "each corner two rings"
            let named = (at != i).then(|| thing(scene, at)).flatten();
            let has = scene.next(at).is_some_and(|n| n == i) && VERBS.contains(&scene.items[at].norm.as_str());
            return Some(named.filter(|_| !has).map_or(Each::Those, Each::Thing));
        }
        at = last;
    }
    // "house has 9 windows", "roller having 4 pockets"
    let verb = scene
        .previous(i)
        .filter(|v| !nothing && VERBS.contains(&scene.items[*v].norm.as_str()))?;
    let owner = thing(scene, scene.previous(verb)?)?;
    (!scene.items[owner].norm.ends_with('s')).then_some(Each::Thing(owner))
}

/// Words by which a thing has a number of others.
const VERBS: [&str; 17] = [
    "gets", "get", "has", "have", "takes", "needs", "need", "carries", "wants", "having", "receives", "uses", "is",
    "holds", "with", "makes", "contains",
];

/// A word that can name a thing which has magnets.
fn thing(scene: &Scene, i: usize) -> Option<usize> {
    let item = &scene.items[i];
    let little = PLACES.contains(&item.norm.as_str())
        || matches!(
            item.norm.as_str(),
            "one" | "and" | "or" | "is" | "are" | "side" | "other"
        );
    let stands = item.what == What::Word
        && !little
        && item.norm.len() > 2
        && !item.is_any(&["magnet", "pieces", "pairs", "time", "age", "month"]);
    stands.then_some(i)
}

/// Whether a number counts several of a thing: `14 machines`, `30 wooden cubes`.
fn counts(scene: &Scene, i: usize, thing: &str) -> bool {
    let plural = |n: Option<usize>| {
        let word = scene.word(n).rsplit(' ').next().unwrap_or_default();
        let thing = thing.rsplit(' ').next().unwrap_or_default();
        let plain = word == format!("{thing}s") || word == format!("{thing}es") || word == "feet" && thing == "foot";
        plain || thing.strip_suffix('y').is_some_and(|stem| word == format!("{stem}ies"))
    };
    let next = scene.next(i);
    plural(next)
        || next
            .filter(|n| scene.items[*n].amount().is_none())
            .is_some_and(|n| plural(scene.next(n)))
}
