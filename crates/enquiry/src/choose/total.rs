//! A length that a message says is the sum of others: `leather 1.5 mm on both sides, so 3 mm between`.

use crate::bounds::bound;
use crate::lexer::What;
use crate::roles::{self, LengthAt};
use crate::scene::Scene;

/// How many lengths to each side a sum may be of.
const REACH: usize = 5;

/// The sum of lengths, where one is said to be it.
pub(super) fn total(scene: &Scene) -> Option<LengthAt> {
    let all = roles::lengths(scene, &[]);
    all.iter()
        .enumerate()
        .find(|(at, length)| {
            let from = at.saturating_sub(REACH);
            let to = (at + REACH + 1).min(all.len());
            let parts: Vec<f64> = (from..to).filter(|n| n != at).map(|n| all[n].high_mm).collect();
            bound(scene, length.item).is_none() && says_sum(scene, length.item) && adds_up(length.high_mm, &parts)
        })
        .map(|(_, length)| length.clone())
}

/// Whether the words by a length say that it is a sum.
pub(super) fn says_sum(scene: &Scene, i: usize) -> bool {
    let mut lead = scene.previous(i);
    while lead.is_some_and(|n| {
        matches!(
            scene.items[n].norm.as_str(),
            "a" | "an" | "about" | "of" | "that" | "there" | "is" | "say" | "around"
        )
    }) {
        lead = lead.and_then(|n| scene.previous(n));
    }
    let total = scene.nearest(i, 2.4, |x| x.is("total")).is_some();
    let led = matches!(
        scene.word(lead),
        "so" | "is"
            | "makes"
            | "gives"
            | "total"
            | "gap"
            | "gap of"
            | "distance of"
            | "i.e"
            | "thus"
            | "hence"
            | "leaves"
    );
    let marked = scene
        .items
        .get(i.wrapping_sub(1))
        .is_some_and(|x| matches!(x.what, What::Mark('=' | '→')));
    total || led || marked
}

/// Whether a length is that of one part on two sides, or of two or three parts, once or on two sides.
fn adds_up(sum: f64, parts: &[f64]) -> bool {
    let same = |a: f64| (a - sum).abs() <= 0.02 * sum;
    let both = |a: f64| same(a) || same(2.0 * a);
    parts.iter().enumerate().any(|(n, a)| {
        same(2.0 * a)
            || parts[n + 1..]
                .iter()
                .enumerate()
                .any(|(m, b)| both(a + b) || parts[n + m + 2..].iter().any(|c| same(a + b + c)))
    })
}
