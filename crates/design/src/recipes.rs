//! How a draft of each family is drawn: which sizes are free, within which bounds, and the bodies that follow from them.
//!
//! A family is free in numbers from 0 to 1, each a share of what the space and the sizes before it leave, so that whatever the search tries can be made.

mod coupling;
mod pairs;
mod rows;
mod single;
mod tapered;
mod with_steel;

use crate::draft::{Dimension, Draft};
use crate::family::{ALL, Family};
use crate::wish::{Area, Space, Wish};

pub(crate) use pairs::gaps;

/// Thinnest piece that is made, m; common practice, no source.
pub const THINNEST: f64 = 0.5e-3;

/// How many numbers of a family are free for a wish; `None` where it does not serve it, or the space is too small for it.
#[must_use]
pub fn free(family: Family, wish: &Wish) -> Option<usize> {
    match family {
        Family::Disc | Family::Ring | Family::Block => single::free(family, wish),
        Family::Stepped | Family::Taper => tapered::free(family, wish),
        Family::PoleTip | Family::BackPlate | Family::Cup | Family::Yoke => with_steel::free(family, wish),
        Family::Opposed | Family::Focused | Family::HalbachRow | Family::AlternatingRow => rows::free(family, wish),
        Family::FacingDiscs | Family::FacingRings | Family::FacingBlocks | Family::FacingTapers => {
            pairs::free(family, wish)
        }
        Family::Coupling => coupling::free(wish),
    }
}

/// In how many ways a family can be made that no number from 0 to 1 tells; the last of the numbers of such a draft says which, from 0.
#[must_use]
pub fn choices(family: Family) -> usize {
    match family {
        Family::Coupling => coupling::CHOICES,
        _ => 1,
    }
}

/// The draft of these numbers, each from 0 to 1 but an index of [`choices`]; `None` where the family does not serve the wish or their count is wrong.
#[must_use]
pub fn draft(family: Family, wish: &Wish, shares: &[f64]) -> Option<Draft> {
    snapped(family, wish, shares, &|_, size| size)
}

/// As [`draft`], each size that can be made as one likes made as `snap` says. It may then no longer lie within the space.
#[must_use]
pub fn snapped(family: Family, wish: &Wish, shares: &[f64], snap: Snap) -> Option<Draft> {
    if shares.len() != free(family, wish)? {
        return None;
    }
    let mut shares = Chooser {
        shares: shares.iter(),
        snap,
        sizes: Vec::new(),
    };
    match family {
        Family::Disc | Family::Ring | Family::Block => single::draft(family, wish, &mut shares),
        Family::Stepped | Family::Taper => tapered::draft(family, wish, &mut shares),
        Family::PoleTip | Family::BackPlate | Family::Cup | Family::Yoke => {
            with_steel::draft(family, wish, &mut shares)
        }
        Family::Opposed | Family::Focused | Family::HalbachRow | Family::AlternatingRow => {
            rows::draft(family, wish, &mut shares)
        }
        Family::FacingDiscs | Family::FacingRings | Family::FacingBlocks | Family::FacingTapers => {
            pairs::draft(family, wish, &mut shares)
        }
        Family::Coupling => coupling::draft(wish, &mut shares),
    }
}

/// The families that serve a wish, of those that it names or of all.
pub fn serving(wish: &Wish) -> impl Iterator<Item = Family> + '_ {
    ALL.into_iter()
        .filter(|family| wish.families.is_empty() || wish.families.contains(family))
        .filter(|&family| free(family, wish).is_some())
}

/// Turns free numbers into sizes, one by one, and notes each as it is made.
struct Chooser<'a> {
    shares: std::slice::Iter<'a, f64>,
    snap: Snap<'a>,
    sizes: Vec<Dimension>,
}

/// What a size becomes that is noted as the one of that index: itself, or a standard one beside it.
pub type Snap<'a> = &'a dyn Fn(usize, f64) -> f64;

impl Chooser<'_> {
    fn next(&mut self) -> Option<f64> {
        self.shares.next().map(|share| share.clamp(0.0, 1.0))
    }

    /// Notes a size that can be made as one likes, and says as what it is made.
    fn note(&mut self, what: &'static str, value: f64) -> f64 {
        let value = (self.snap)(self.sizes.len(), value);
        self.given(what, value)
    }

    /// Notes a size that is given.
    fn given(&mut self, what: &'static str, value: f64) -> f64 {
        self.sizes.push(Dimension { what, value });
        value
    }

    /// The next number as a size between two, evenly in ratio; the lower one where the space leaves nothing.
    fn size(&mut self, low: f64, high: f64) -> Option<f64> {
        let share = self.next()?;
        Some(if high > low {
            low * (high / low).powf(share)
        } else {
            low
        })
    }

    /// The next number as it is, an index.
    fn index(&mut self) -> Option<usize> {
        self.shares.next().map(|share| *share as usize)
    }

    /// As [`Self::size`], noted.
    fn chosen(&mut self, what: &'static str, low: f64, high: f64) -> Option<f64> {
        let value = self.size(low, high)?;
        Some(self.note(what, value))
    }

    /// The next number as a size across the axis, as wide as the space allows or is asked, noted.
    fn across(&mut self, what: &'static str, least: f64, space: &Space) -> Option<f64> {
        let most = space.diameter();
        self.chosen(what, space.narrowest(least, most), most)
    }

    /// The next number as a share between two.
    fn part(&mut self, low: f64, high: f64) -> Option<f64> {
        Some(low + self.next()? * (high - low))
    }

    /// The next number as a part of a size, noted.
    fn part_of(&mut self, what: &'static str, whole: f64, [low, high]: [f64; 2]) -> Option<f64> {
        let value = whole * self.part(low, high)?;
        Some(self.note(what, value))
    }

    /// The sizes noted.
    fn taken(&mut self) -> Vec<Dimension> {
        std::mem::take(&mut self.sizes)
    }
}

/// Whether a draft lies within a space, to a billionth.
#[must_use]
pub fn fits(draft: &Draft, space: &Space) -> bool {
    let slack = 1.0 + 1e-9;
    let [x, y] = draft.reach();
    let round = draft.is_turned() || draft.family == Family::Coupling;
    let across = match space.across {
        Area::Round(d) if round => 2.0 * x <= d * slack,
        Area::Round(d) => 2.0 * x.hypot(y) <= d * slack,
        Area::Box([a, b]) => 2.0 * x <= a * slack && 2.0 * y <= b * slack,
    };
    across && draft.height() <= space.height * slack
}

#[cfg(test)]
mod tests;
