//! The usual set-ups of magnets and steel on one axis, as drawings.
//!
//! Plates lie below z = 0 and are named "plate"; the pull on a plate is the force on it, positive upwards. All sizes are diameters, thicknesses and gaps in metres.
//! Sizes are taken as they are: what cannot be is an error of the solve.

use crate::drawing::{Drawing, Material, Part};

/// A disc, or a ring if it has an inner diameter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    /// Outer diameter, m.
    pub outer: f64,
    /// Inner diameter, m; zero for a disc.
    pub inner: f64,
    /// Thickness, m.
    pub thickness: f64,
}

impl Size {
    /// A disc.
    #[must_use]
    pub fn disc(diameter: f64, thickness: f64) -> Self {
        Self {
            outer: diameter,
            inner: 0.0,
            thickness,
        }
    }

    fn part(self, name: impl Into<String>, bottom: f64, material: &Material) -> Part {
        let radii = [0.5 * self.inner, 0.5 * self.outer];
        Part::ring(name, radii, [bottom, bottom + self.thickness], material.clone())
    }
}

/// A piece of some material: a magnet, or steel.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Its size.
    pub size: Size,
    /// What it is made of.
    pub material: Material,
}

impl Piece {
    fn part(&self, name: impl Into<String>, bottom: f64) -> Part {
        self.size.part(name, bottom, &self.material)
    }

    fn below(&self, name: impl Into<String>) -> Part {
        self.part(name, -self.size.thickness)
    }
}

/// A cup of steel that a magnet sits in, open downwards.
#[derive(Clone, Debug, PartialEq)]
pub struct Cup {
    /// Outer diameter, m.
    pub outer: f64,
    /// Inner diameter, m: larger than the magnet's, or equal to it.
    pub inner: f64,
    /// Thickness of the floor that the magnet sits on, m.
    pub floor: f64,
    /// Diameter of a hole through the floor, m; zero for none.
    pub hole: f64,
    /// How far the rim stands out beyond the magnet's face, m; negative if the magnet stands out.
    pub rim: f64,
    /// Its steel.
    pub steel: Material,
}

/// The form of a pole tip, which narrows downwards from the magnet's face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tip {
    /// A cone, cut off at a diameter.
    Cone {
        /// Diameter at the magnet, m.
        base: f64,
        /// Diameter at the end, m; zero for a point.
        end: f64,
        /// Height, m.
        height: f64,
    },
    /// A part of a ball.
    Dome {
        /// Diameter at the magnet, m.
        base: f64,
        /// Height, m, at most half the diameter.
        height: f64,
    },
}

/// "magnet" above "plate".
#[must_use]
pub fn on_plate(magnet: &Piece, gap: f64, plate: &Piece) -> Drawing {
    Drawing::new(vec![magnet.part("magnet", gap), plate.below("plate")])
}

/// "magnet" with "back" on top, above "plate".
#[must_use]
pub fn with_back(magnet: &Piece, back: &Piece, gap: f64, plate: &Piece) -> Drawing {
    let mut drawing = on_plate(magnet, gap, plate);
    drawing.parts.push(back.part("back", gap + magnet.size.thickness));
    drawing
}

/// "magnet" in "cup", above "plate"; the gap is between the plate and what is nearest to it, the face or the rim.
#[must_use]
pub fn in_cup(magnet: &Piece, cup: &Cup, gap: f64, plate: &Piece) -> Drawing {
    let face = gap + cup.rim.max(0.0);
    let rim = face - cup.rim;
    let ceiling = face + magnet.size.thickness;
    let top = ceiling + cup.floor;
    let [hole, inner, outer] = [cup.hole, cup.inner, cup.outer].map(|d| 0.5 * d);
    let profile = vec![
        [hole, ceiling],
        [inner, ceiling],
        [inner, rim],
        [outer, rim],
        [outer, top],
        [hole, top],
    ];
    Drawing::new(vec![
        magnet.part("magnet", face),
        Part::new("cup", profile, cup.steel.clone()),
        plate.below("plate"),
    ])
}

/// "magnet" between "plate" below and "upper plate", each across its gap.
#[must_use]
pub fn between_plates(magnet: &Piece, gaps: [f64; 2], plate: &Piece, upper: &Piece) -> Drawing {
    let mut drawing = on_plate(magnet, gaps[0], plate);
    let bottom = gaps[0] + magnet.size.thickness + gaps[1];
    drawing.parts.push(upper.part("upper plate", bottom));
    drawing
}

/// "magnet" with "tip" on its lower face; the tip ends at z = 0.
#[must_use]
pub fn with_tip(magnet: &Piece, tip: Tip, steel: &Material) -> Drawing {
    /// Pieces that stand for the arc of a dome.
    const ARC: usize = 24;
    let (height, profile) = match tip {
        Tip::Cone { base, end, height } => {
            let mut profile = vec![[0.0, height], [0.0, 0.0]];
            if end > 0.0 {
                profile.push([0.5 * end, 0.0]);
            }
            profile.push([0.5 * base, height]);
            (height, profile)
        }
        Tip::Dome { base, height } => {
            let half = 0.5 * base;
            let radius = (half * half + height * height) / (2.0 * height);
            let whole = half.atan2(radius - height);
            let arc = (0..=ARC).map(|k| {
                let (sin, cos) = (whole * k as f64 / ARC as f64).sin_cos();
                [radius * sin, radius * (1.0 - cos)]
            });
            (height, std::iter::once([0.0, height]).chain(arc).collect())
        }
    };
    Drawing::new(vec![
        magnet.part("magnet", height),
        Part::new("tip", profile, steel.clone()),
    ])
}

/// Magnets "magnet 1", "magnet 2", ... upwards from z = 0 with steel "disc 1", ... between them.
#[must_use]
pub fn stack_with_discs(magnets: &[Piece], disc: &Piece) -> Drawing {
    let mut parts = Vec::new();
    let mut bottom = 0.0;
    for (k, magnet) in magnets.iter().enumerate() {
        if k > 0 {
            parts.push(disc.part(format!("disc {k}"), bottom));
            bottom += disc.size.thickness;
        }
        parts.push(magnet.part(format!("magnet {}", k + 1), bottom));
        bottom += magnet.size.thickness;
    }
    Drawing::new(parts)
}

/// "ring" with "keeper" below it across a gap.
#[must_use]
pub fn with_keeper(ring: &Piece, gap: f64, keeper: &Piece) -> Drawing {
    Drawing::new(vec![ring.part("ring", gap), keeper.below("keeper")])
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::SteelTable;
    use crate::solve::{Options, solve};

    fn piece(diameter: f64, inner: f64, thickness: f64, material: &Material) -> Piece {
        Piece {
            size: Size {
                outer: diameter * 1e-3,
                inner: inner * 1e-3,
                thickness: thickness * 1e-3,
            },
            material: material.clone(),
        }
    }

    /// Every set-up solves, pulls its parts together and balances.
    #[test]
    fn every_set_up_pulls_together_and_balances() {
        let curve = &SteelTable::builtin().unwrap().curve("team13").unwrap().curve.clone();
        let steel = &Material::Steel(Arc::clone(curve));
        let up = &Material::Magnet {
            polarisation: 1.3,
            recoil_permeability: 1.05,
        };
        let magnet = &piece(20.0, 0.0, 5.0, up);
        let plate = &piece(60.0, 0.0, 3.0, steel);
        let cup = Cup {
            outer: 26e-3,
            inner: 21e-3,
            floor: 2e-3,
            hole: 4e-3,
            rim: 0.2e-3,
            steel: steel.clone(),
        };
        let cone = Tip::Cone {
            base: 20e-3,
            end: 6e-3,
            height: 5e-3,
        };
        let dome = Tip::Dome {
            base: 20e-3,
            height: 4e-3,
        };
        let ring = piece(20.0, 8.0, 5.0, up);
        for (drawing, pulled, upwards) in [
            (on_plate(magnet, 1e-3, plate), "plate", true),
            (
                with_back(magnet, &piece(20.0, 0.0, 2.0, steel), 1e-3, plate),
                "plate",
                true,
            ),
            (in_cup(magnet, &cup, 0.5e-3, plate), "plate", true),
            (between_plates(magnet, [1e-3, 2e-3], plate, plate), "upper plate", false),
            (with_tip(magnet, cone, steel), "tip", true),
            (with_tip(magnet, dome, steel), "tip", true),
            (
                stack_with_discs(&[magnet.clone(), magnet.clone()], &piece(20.0, 0.0, 1.0, steel)),
                "magnet 2",
                false,
            ),
            (
                with_keeper(&ring, 0.5e-3, &piece(24.0, 0.0, 2.0, steel)),
                "keeper",
                true,
            ),
        ] {
            let solution = solve(&drawing, &Options::force_on(pulled)).unwrap();
            let force = solution.force_on(pulled).unwrap();
            assert!(force.abs() > 1.0 && (force > 0.0) == upwards, "{pulled}: {force} N");
            let sum: f64 = drawing
                .parts
                .iter()
                .map(|part| solution.force_on(&part.name).unwrap())
                .sum();
            let most = drawing
                .parts
                .iter()
                .map(|part| solution.force_on(&part.name).unwrap().abs())
                .fold(0.0, f64::max);
            assert!(sum.abs() <= 0.05 * most, "{pulled}: {sum} N are left of {most} N");
        }
    }
}
