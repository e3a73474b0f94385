//! The stacks of a parcel as they are drawn, seen from above.

use advice::view::text::{Reader, count};
use quantity::{Length, Quantity};
use serde::Serialize;
use utoipa::ToSchema;

use crate::judge::Parcel;
use crate::pack::North;

/// The most stacks that are drawn.
const MOST_DRAWN: usize = 600;

/// The lowest layer of stacks in its box, seen from above; millimetres from the middle.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct PackingView {
    /// Outer length and width of the box.
    pub outside: [f64; 2],
    /// Thickness of the lining; 0 for none.
    pub lining: f64,
    /// The stacks.
    pub stacks: Vec<StackView>,
    /// What the drawing shows, in words.
    pub text: String,
}

/// A stack, seen from above.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct StackView {
    /// Its middle.
    pub at: [f64; 2],
    /// Its sides.
    pub sides: [f64; 2],
    /// Whether it is drawn round.
    pub round: bool,
    /// `N` or `S` for the pole that is up; empty where it lies.
    pub up: String,
    /// To which side its north pole points where it lies; zeros where it stands.
    pub north: [f64; 2],
}

pub(super) fn view(parcel: &Parcel, reader: &Reader) -> PackingView {
    let mm = |metres: f64| (metres * 1e6).round() / 1e3;
    let stacks = &parcel.content.stacks;
    let stands = |north: North| !matches!(north, North::Along(_));
    // Standing stacks make one layer; of lying ones the lowest is whole.
    let floor = stacks.iter().map(|stack| stack.at[2]).fold(f64::INFINITY, f64::min);
    let seen = |stack: &&crate::pack::Stack| stands(stack.north) || stack.at[2] < floor + 1e-6;
    let drawn: Vec<StackView> = stacks
        .iter()
        .filter(seen)
        .take(MOST_DRAWN)
        .map(|stack| {
            let shape = &parcel.lines[stack.line].given.item.shape;
            let (up, north) = match stack.north {
                North::Up => ("N", [0.0; 2]),
                North::Down => ("S", [0.0; 2]),
                North::Along(to) => ("", to),
            };
            StackView {
                at: [mm(stack.at[0]), mm(stack.at[1])],
                sides: [mm(stack.sides[0]), mm(stack.sides[1])],
                round: stands(stack.north) && !matches!(shape, magnetics::Shape::Block { .. }),
                up: up.into(),
                north,
            }
        })
        .collect();
    let layer = match drawn.len() == stacks.len() {
        true => "all",
        false => "the lowest",
    };
    let sides = [0, 1].map(|k| Length::from_si(parcel.sides[k]).show_to(3, &reader.units).to_string());
    PackingView {
        outside: [mm(parcel.sides[0]), mm(parcel.sides[1])],
        lining: mm(parcel.request.lining()),
        text: format!(
            "The box from above, {}: {} {} stacks, each with the pole that is up or an arrow to its north pole.",
            sides.join(" × "),
            layer,
            count(drawn.len() as u64)
        ),
        stacks: drawn,
    }
}
