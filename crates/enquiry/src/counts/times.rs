//! How many magnets follow from so many for each of so many things.

use super::noun::is_noise;
use super::of_pairs;
use crate::lexer::Amount;
use crate::scene::Scene;

/// So many magnets for each of so many things.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Times {
    /// The items of both numbers.
    pub items: [usize; 2],
    /// How many for each, and how many things.
    pub numbers: [u32; 2],
    /// How many magnets in all.
    pub all: u32,
}

/// The most things that are counted so.
const MOST_THINGS: f64 = 1e6;

/// Magnets for each of some things, where the same things are counted: `2 per machine, 14 machines`, `12 a board and make 10
/// boards`.
pub(crate) fn times(scene: &Scene) -> Option<Times> {
    let whole = |i: usize, a: &Amount| {
        a.low == a.high && a.high.fract() == 0.0 && (1.0..=MOST_THINGS).contains(&a.high) && !is_noise(scene, i)
    };
    scene.numbers().filter(|(i, a)| whole(*i, a)).find_map(|(i, each)| {
        let thing = thing_of_each(scene, i)?;
        let name = scene.items[thing].norm.as_str();
        let (n, things) = scene
            .numbers()
            .find(|(n, a)| *n != i && *n != thing && a.high >= 2.0 && whole(*n, a) && counts(scene, *n, name))?;
        let pairs = if of_pairs(scene, i) { 2 } else { 1 };
        let numbers = [each.high as u32, things.high as u32];
        Some(Times {
            items: [i, n],
            numbers,
            all: numbers[0].saturating_mul(numbers[1]).saturating_mul(pairs),
        })
    })
}

/// The thing for each of which a number of magnets is said: the machine of `2 per machine`, the cube of `six magnets a cube`.
fn thing_of_each(scene: &Scene, i: usize) -> Option<usize> {
    let mut at = scene.next(i)?;
    let magnet = |n: usize| scene.items[n].is_magnet() || scene.items[n].is_any(&["pieces", "pairs"]);
    let mut counted = true;
    for _ in 0..3 {
        if scene.items[at].is("each")
            || matches!(scene.items[at].norm.as_str(), "a" | "an" | "per" | "in" | "on" | "for")
        {
            break;
        }
        counted = magnet(at);
        at = scene.next(at)?;
    }
    let word = scene.items[at].norm.as_str();
    let thing = match word {
        "per" | "each" | "every" => scene.next(at)?,
        "a" | "an" if counted => scene.next(at)?,
        "in" | "on" | "for" => {
            let each = scene
                .next(at)
                .filter(|n| matches!(scene.items[*n].norm.as_str(), "each" | "every"))?;
            scene.next(each)?
        }
        _ => return None,
    };
    let item = &scene.items[thing];
    let stands = item.amount().is_none()
        && item.norm.len() > 2
        && !item.is_any(&["magnet", "pieces", "pairs"])
        && !item.is_any(&["time", "age", "month"]);
    (counted && stands).then_some(thing)
}

/// Whether a number counts several of a thing: `14 machines`, `30 wooden cubes`.
fn counts(scene: &Scene, i: usize, thing: &str) -> bool {
    let plural = |n: Option<usize>| {
        let word = scene.word(n).rsplit(' ').next().unwrap_or_default();
        let plain = word == format!("{thing}s") || word == format!("{thing}es");
        plain || thing.strip_suffix('y').is_some_and(|stem| word == format!("{stem}ies"))
    };
    let next = scene.next(i);
    plural(next)
        || next
            .filter(|n| scene.items[*n].amount().is_none())
            .is_some_and(|n| plural(scene.next(n)))
}
