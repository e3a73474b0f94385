//! Pieces laid out in stacks or closed rings, and the dipoles that stand for them far away.
//!
//! At two metres a piece is a dipole to a part in a thousand while it is smaller than 100 mm. A stack of equal dipoles is told
//! from two of half its moment each, at the distance that keeps its second moment, only in the fourth power of its length over
//! the distance.

use crate::request::Arrangement;

/// Card between two stacks, m; common practice, no source.
pub const CARD: f64 = 2e-3;

/// Pieces of one kind.
#[derive(Clone, Debug, PartialEq)]
pub struct Pieces {
    /// How many.
    pub count: u32,
    /// Sides across the direction of magnetisation and along it, m.
    pub sides: [f64; 3],
    /// Moment of one, A m².
    pub moment: f64,
}

/// A dipole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Source {
    /// Where it is, m.
    pub at: [f64; 3],
    /// Its moment, A m².
    pub moment: [f64; 3],
}

/// Where the north pole of a stack points, seen from above.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum North {
    /// To the viewer.
    Up,
    /// Away from the viewer.
    Down,
    /// Along the floor of the box, to that side.
    Along([f64; 2]),
}

/// A stack as it stands or lies in the box, seen from above; the middle of the content is the origin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stack {
    /// Which kind of pieces it is of.
    pub line: usize,
    /// How many pieces.
    pub pieces: u32,
    /// Its middle, m.
    pub at: [f64; 3],
    /// Its sides, m.
    pub sides: [f64; 3],
    /// Where its north pole points.
    pub north: North,
}

/// What lies in a parcel.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Content {
    /// The stacks.
    pub stacks: Vec<Stack>,
    /// Length, width and height of all together, m.
    pub size: [f64; 3],
}

/// Lays out each kind beside the last; so many pieces in a stack where that is said.
pub fn pack(lines: &[Pieces], arrangement: Arrangement, per_stack: Option<u32>) -> Content {
    let mut out = Content::default();
    let mut end = 0.0;
    for (line, pieces) in lines.iter().enumerate() {
        let block = match arrangement {
            Arrangement::Rings if pieces.count >= Arrangement::Rings.of() => rings(line, pieces, per_stack),
            _ => columns(line, pieces, arrangement, per_stack),
        };
        let card = if line == 0 { 0.0 } else { CARD };
        let shift = end + card + 0.5 * block.size[0];
        out.stacks.extend(block.stacks.into_iter().map(|mut stack| {
            stack.at[0] += shift;
            stack
        }));
        end += card + block.size[0];
        out.size = [end, out.size[1].max(block.size[1]), out.size[2].max(block.size[2])];
    }
    for stack in &mut out.stacks {
        stack.at[0] -= 0.5 * end;
    }
    out
}

/// So many shared out as evenly as can be: how many the stack of that place has.
fn share(count: u32, stacks: u32, place: u32) -> u32 {
    count / stacks + u32::from(place < count % stacks)
}

/// Stacks standing in rows.
fn columns(line: usize, pieces: &Pieces, arrangement: Arrangement, per_stack: Option<u32>) -> Content {
    let [a, b, t] = pieces.sides;
    let cell = [a + CARD, b + CARD];
    let count = pieces.count.max(1);
    let stacks = match per_stack {
        Some(n) => count.div_ceil(n.max(1)),
        None => {
            // As high as it is wide.
            let side = (f64::from(count) * cell[0] * cell[1] * t).cbrt();
            let high = ((side / t).round().max(1.0) as u32).min(count);
            let stacks = count.div_ceil(high);
            // Turned ones need others beside them, in equal number.
            stacks.next_multiple_of(arrangement.of().min(2)).min(count)
        }
    };
    let mut across = ((f64::from(stacks) * cell[1] / cell[0]).sqrt().ceil() as u32).clamp(1, stacks);
    if arrangement == Arrangement::Paired {
        across = across.next_multiple_of(2).min(stacks.max(2));
    }
    let rows = stacks.div_ceil(across);
    let size = [f64::from(across) * cell[0] - CARD, f64::from(rows) * cell[1] - CARD];
    let of = |place: u32| match per_stack {
        Some(n) => n.min(count - place * n),
        None => share(count, stacks, place),
    };
    let made: Vec<Stack> = (0..stacks)
        .map(|place| {
            let row = place / across;
            let along = place % across;
            // To and fro, so that one stack and the next are neighbours at the end of a row, too.
            let to_and_fro = arrangement != Arrangement::Paired && row % 2 == 1;
            let along = if to_and_fro { across - 1 - along } else { along };
            let turned = arrangement != Arrangement::OneWay && place % 2 == 1;
            let pieces = of(place);
            Stack {
                line,
                pieces,
                at: [
                    (f64::from(along) + 0.5) * cell[0] - 0.5 * cell[0] - 0.5 * size[0] + 0.5 * a,
                    (f64::from(row) + 0.5) * cell[1] - 0.5 * cell[1] - 0.5 * size[1] + 0.5 * b,
                    0.0,
                ],
                sides: [a, b, t * f64::from(pieces)],
                north: if turned { North::Down } else { North::Up },
            }
        })
        .collect();
    let high = made.iter().map(|stack| stack.sides[2]).fold(0.0, f64::max);
    Content {
        // All stand on the same floor.
        stacks: made
            .into_iter()
            .map(|s| Stack {
                at: [s.at[0], s.at[1], 0.5 * (s.sides[2] - high)],
                ..s
            })
            .collect(),
        size: [size[0], size[1], high],
    }
}

/// Four stacks lying head to tail in a square, such squares beside and above each other.
fn rings(line: usize, pieces: &Pieces, per_stack: Option<u32>) -> Content {
    let [a, b, t] = pieces.sides;
    let count = pieces.count;
    // Twice as long as wide, which leaves little room in the middle.
    let usual = ((2.0 * a / t).round().max(1.0) as u32).min(count / 4);
    let long = per_stack.unwrap_or(usual).clamp(1, count / 4);
    let squares = count.div_ceil(4 * long);
    let length = f64::from(count.div_ceil(4 * squares)) * t;
    let cell = [length + a + CARD, length + a + CARD, b + CARD];
    let side = (f64::from(squares) * cell[0] * cell[1] * cell[2]).cbrt();
    let across = ((side / cell[0]).round().max(1.0) as u32).min(squares);
    let deep = ((side / cell[1]).round().max(1.0) as u32).min(squares.div_ceil(across));
    let high = squares.div_ceil(across * deep);
    let size = [across, deep, high];
    let size: [f64; 3] = std::array::from_fn(|k| f64::from(size[k]) * cell[k] - CARD);
    let stacks = (0..4 * squares)
        .map(|place| {
            let (square, side) = (place / 4, place % 4);
            let [column, row, layer] = [square % across, square / across % deep, square / (across * deep)];
            let pieces = share(count, 4 * squares, place);
            let (half, back) = (0.5 * length, -0.5 * a);
            let (at, north) = match side {
                0 => ([back, -half], [1.0, 0.0]),
                1 => ([half, back], [0.0, 1.0]),
                2 => ([-back, half], [-1.0, 0.0]),
                _ => ([-half, -back], [0.0, -1.0]),
            };
            let middle = |k: usize, place: u32| (f64::from(place) + 0.5) * cell[k] - 0.5 * (size[k] + CARD);
            let own = t * f64::from(pieces);
            Stack {
                line,
                pieces,
                at: [middle(0, column) + at[0], middle(1, row) + at[1], middle(2, layer)],
                sides: if side % 2 == 0 { [own, a, b] } else { [a, own, b] },
                north: North::Along(north),
            }
        })
        .collect();
    Content { stacks, size }
}

impl Content {
    /// The dipoles that stand for it.
    pub fn sources(&self, lines: &[Pieces]) -> Vec<Source> {
        self.stacks
            .iter()
            .flat_map(|stack| {
                let pieces = &lines[stack.line];
                let along = match stack.north {
                    North::Up => [0.0, 0.0, 1.0],
                    North::Down => [0.0, 0.0, -1.0],
                    North::Along([x, y]) => [x, y, 0.0],
                };
                let n = f64::from(stack.pieces);
                // Second moment of n points a thickness apart.
                let reach = pieces.sides[2] * ((n * n - 1.0) / 12.0).max(0.0).sqrt();
                let moment = along.map(|c| 0.5 * c * n * pieces.moment);
                [-reach, reach].map(|by| Source {
                    at: [0, 1, 2].map(|k| stack.at[k] + by * along[k]),
                    moment,
                })
            })
            .collect()
    }
}

#[cfg(test)]
mod tests;
