//! Arrangements out of pieces that are on a shelf: which of them do what is wished for, what they cost, and how they are put together.
//!
//! What a family's drafts are made of freely is made here of what there is: single pieces, stacks of falling diameter, rows and facing pairs of equal pieces, a disc on a back-plate.
//! Each is computed and confirmed as the drafts are ([`crate::measure`], [`crate::search::judged_draft`]), of the magnet inside the plating, at the place that the plating leaves it.
//! Within a family the cheapest that does it is found, and the one with the least of each aim; work is counted in looks, so that the same shelf gives the same builds.

mod arrange;
mod assemble;
mod joining;
mod look;

use magnetics::Shape;
use quantity::Money;

use crate::search::Found;
use crate::stuff::Stuff;
use crate::wish::Aim;

pub use arrange::{MOST_ALIKE, MOST_PIECES};
pub use joining::{Felt, Joining, Sense, Step};
pub use look::look;

/// Pieces of one kind for a whole lot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bought {
    /// Pieces bought: what the lot needs, or the least that is sold.
    pub pieces: u64,
    /// Price of one piece at that quantity; `None` where the shelf has none.
    pub each: Option<Money>,
}

impl Bought {
    /// What they cost together; `None` without a price, or where it is more than can be written down.
    #[must_use]
    pub fn sum(&self) -> Option<Money> {
        self.each?.times(self.pieces).ok()
    }
}

/// How something is offered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offer {
    /// Its code on the shelf.
    pub code: String,
    /// Pieces on hand; `None` where the shelf does not say.
    pub on_hand: Option<u64>,
    /// What a lot costs of which every build takes one piece, two, and so on up to [`MOST_ALIKE`].
    pub bought: Vec<Bought>,
}

/// A magnet of the shelf.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Its form as it is sold, plating included, magnetised along its thickness: a disc, a ring or a block.
    pub shape: Shape,
    /// Thickness of the plating on each side, m.
    pub plating: f64,
    /// Which of the shelf's stuffs it is made of.
    pub stuff: usize,
    /// How it is offered.
    pub offer: Offer,
}

/// A disc of steel of the shelf.
#[derive(Clone, Debug, PartialEq)]
pub struct Plate {
    /// Diameter, m.
    pub diameter: f64,
    /// Thickness, m.
    pub thickness: f64,
    /// How it is offered.
    pub offer: Offer,
}

/// What there is.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shelf {
    /// What the magnets are made of, at the temperature of use.
    stuffs: Vec<Stuff>,
    /// The magnets.
    pub pieces: Vec<Piece>,
    /// Discs of the steel that all is computed with.
    pub plates: Vec<Plate>,
}

impl Shelf {
    /// Adds a magnet.
    pub fn add(&mut self, shape: Shape, plating: f64, stuff: Stuff, offer: Offer) {
        let known = self.stuffs.iter().rposition(|known| *known == stuff);
        let stuff = known.unwrap_or_else(|| {
            self.stuffs.push(stuff);
            self.stuffs.len() - 1
        });
        self.pieces.push(Piece {
            shape,
            plating,
            stuff,
            offer,
        });
    }

    /// What the magnets are made of.
    #[must_use]
    pub fn stuffs(&self) -> &[Stuff] {
        &self.stuffs
    }
}

/// What is taken from the shelf for one build.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Taken {
    /// The magnet of that index.
    Magnet(usize),
    /// The plate of that index.
    Plate(usize),
}

/// Pieces of one kind in a build.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// What.
    pub taken: Taken,
    /// How many to a build.
    pub count: usize,
    /// What the lot takes of them.
    pub bought: Bought,
}

/// A build out of pieces of the shelf.
#[derive(Clone, Debug, PartialEq)]
pub struct Build {
    /// The build with all that is known of it. What it may cost to make says nothing here.
    pub found: Found,
    /// What it takes.
    pub lines: Vec<Line>,
    /// Name of what its magnets are made of.
    pub grade: String,
    /// For how many builds there are pieces; `None` where the shelf does not say.
    pub on_hand: Option<u64>,
    /// Whether that is enough for the lot, as far as is known.
    pub enough: bool,
    /// What the pieces of the whole lot cost; `None` where one has no price.
    pub price: Option<Money>,
    /// How it is put together.
    pub joining: Joining,
}

impl Build {
    /// What is to be least: m³, kg, money for the lot, m or T.
    #[must_use]
    pub fn least(&self, aim: Aim) -> f64 {
        match aim {
            Aim::Cost => self.price.map_or(f64::INFINITY, Money::to_f64),
            other => self.found.least(other),
        }
    }
}

/// What was found on a shelf.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stock {
    /// The cheapest build of each family that does what was wished for, and those that no other beats in price and in all that is to be least, the cheapest first.
    /// What is not on hand for the whole lot is there only where nothing of its family is.
    pub builds: Vec<Build>,
    /// Where none does it, the one that comes nearest.
    pub nearest: Option<Build>,
    /// How many magnets of the shelf were looked at.
    pub pieces: usize,
}

#[cfg(test)]
mod tests;
