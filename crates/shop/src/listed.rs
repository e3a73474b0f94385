//! The sizes of a block as a price list gives them, against the sizes as magnetised.
//!
//! A list names the sides of a block length, width and thickness, and says along which of them it is magnetised.
//! Inside, the thickness of a [`Shape`] always lies along the magnetisation.

use advice::Magnetised;
use magnetics::Shape;

/// The three sides of a block as listed, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Listed {
    /// The side called length.
    pub length: f64,
    /// The side called width.
    pub width: f64,
    /// The side called thickness or height.
    pub thickness: f64,
}

impl Listed {
    /// The block as magnetised along the named side.
    pub fn magnetised(self, along: Magnetised) -> Shape {
        let Listed {
            length,
            width,
            thickness,
        } = self;
        match along {
            Magnetised::Thickness => Shape::Block {
                length,
                width,
                thickness,
            },
            Magnetised::Width => Shape::Block {
                length,
                width: thickness,
                thickness: width,
            },
            Magnetised::Length => Shape::Block {
                length: width,
                width: thickness,
                thickness: length,
            },
        }
    }

    /// The sides as listed of a block magnetised along the named side; `None` for other shapes.
    pub fn of(shape: &Shape, along: Magnetised) -> Option<Self> {
        let Shape::Block {
            length: a,
            width: b,
            thickness: t,
        } = *shape
        else {
            return None;
        };
        Some(match along {
            Magnetised::Thickness => Listed {
                length: a,
                width: b,
                thickness: t,
            },
            Magnetised::Width => Listed {
                length: a,
                width: t,
                thickness: b,
            },
            Magnetised::Length => Listed {
                length: t,
                width: a,
                thickness: b,
            },
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_and_back_for_each_side() {
        let listed = Listed {
            length: 0.020,
            width: 0.010,
            thickness: 0.005,
        };
        for along in [Magnetised::Thickness, Magnetised::Width, Magnetised::Length] {
            assert_eq!(Listed::of(&listed.magnetised(along), along), Some(listed));
        }
    }

    #[test]
    fn thickness_of_the_shape_lies_along_the_magnetisation() {
        let listed = Listed {
            length: 0.020,
            width: 0.010,
            thickness: 0.005,
        };
        assert_eq!(
            listed.magnetised(Magnetised::Length),
            Shape::Block {
                length: 0.010,
                width: 0.005,
                thickness: 0.020
            }
        );
    }
}
