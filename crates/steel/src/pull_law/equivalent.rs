//! Which disc or ring stands for a magnet of any shape, and what that costs in accuracy.

use std::f64::consts::PI;

use magnetics::Shape;

use super::{OnPlate, PullLaw, pole_flux_density};

/// Relative error that standing for a ball adds on foil: `examples/distil stand-ins` found the law up to 8 % below solves of balls on plates of 2 % of their diameter.
const BALL: f64 = 0.08;
/// A ball and the cylinder of its volume and diameter have the same middle: the cylinder's face is this part of the diameter further from the steel.
const BALL_RISE: f64 = 1.0 / 6.0;

/// The disc or ring that stands for a magnet on a plate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Equivalent {
    diameter: f64,
    bore: f64,
    height: f64,
    rise: f64,
    area: f64,
    /// Longest side of the face over the diameter.
    reach: f64,
    /// Length over width of a block.
    oblong: Option<f64>,
    error: f64,
}

impl Equivalent {
    /// That of a bare magnet.
    ///
    /// Discs and rings stand for themselves. A block stands as a disc between the one of its pole area and the one of its pole area over rim, which is smaller: near a thick
    /// plate the area counts, on foil the rim that the flux leaves through. What it holds beside that disc is [`super::Block`]. A ball stands as the cylinder of its diameter and volume about
    /// the same middle.
    #[must_use]
    pub fn of(shape: &Shape) -> Self {
        let area = shape.pole_area();
        let same = |diameter: f64, bore: f64, error: f64| Self {
            diameter,
            bore,
            height: shape.height(),
            rise: 0.0,
            area,
            reach: 1.0,
            oblong: None,
            error,
        };
        match *shape {
            Shape::Disc { diameter, .. } => same(diameter, 0.0, 0.0),
            Shape::Ring {
                outer_diameter,
                inner_diameter,
                ..
            } => same(outer_diameter, inner_diameter, 0.0),
            Shape::Block { length, width, .. } => {
                let by_area = (4.0 * area / PI).sqrt();
                let by_rim = 4.0 * area / shape.pole_perimeter();
                let diameter = (by_area * by_rim).sqrt();
                let longest = length.max(width);
                Self {
                    reach: longest / diameter,
                    oblong: Some(longest / length.min(width)),
                    ..same(diameter, 0.0, 0.0)
                }
            }
            Shape::Sphere { diameter } => Self {
                height: diameter / 1.5,
                rise: BALL_RISE * diameter,
                ..same(diameter, 0.0, BALL)
            },
        }
    }

    /// Its outer diameter, m.
    #[must_use]
    pub fn diameter(&self) -> f64 {
        self.diameter
    }

    /// Its place on a plate: `gap` metres of air between magnet and steel, a plate of so many metres (`None` is thick), the effective polarisation (T), the recoil
    /// permeability and the pull of the mirror image (N).
    #[must_use]
    pub fn on_plate(&self, gap: f64, plate: Option<f64>, polarisation: f64, permeability: f64, mirror: f64) -> OnPlate {
        OnPlate {
            height: self.height / self.diameter,
            bore: self.bore / self.diameter,
            oblong: self.oblong,
            gap: (gap + self.rise) / self.diameter,
            plate: plate.map_or(super::PLATE[1], |t| t / self.diameter),
            across: f64::INFINITY,
            polarisation,
            permeability,
            flux_density: pole_flux_density(mirror, self.area),
        }
    }

    /// The same place on a plate so many metres across, the magnet in its middle: a round one of that diameter, for a block a square one of that side; `None` is wide.
    #[must_use]
    pub fn on_small(&self, at: OnPlate, across: Option<f64>) -> OnPlate {
        OnPlate {
            across: across.map_or(f64::INFINITY, |d| d / (self.diameter * self.reach)),
            ..at
        }
    }

    /// Half width of the 95 % interval of the relative error of a law there, with that of standing for the magnet: this matters as far as the plate is too thin.
    #[must_use]
    pub fn error(&self, law: &PullLaw, at: &OnPlate) -> f64 {
        law.error_at(at).hypot(self.error * law.crowding(at))
    }

    /// Whether it stands for a magnet of another shape.
    #[must_use]
    pub fn is_stand_in(&self) -> bool {
        self.oblong.is_some() || self.error > 0.0
    }

    /// Whether the error on thin plates is that of solves of the magnet itself.
    #[must_use]
    pub fn is_measured(&self) -> bool {
        self.error == 0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(shape: Shape) -> OnPlate {
        Equivalent::of(&shape).on_plate(1e-3, Some(2e-3), 1.2, 1.05, 20.0)
    }

    #[test]
    fn a_disc_and_a_ring_stand_for_themselves() {
        let at = place(Shape::Ring {
            outer_diameter: 20e-3,
            inner_diameter: 8e-3,
            thickness: 5e-3,
        });
        for (got, wanted) in [(at.height, 0.25), (at.bore, 0.4), (at.gap, 0.05), (at.plate, 0.1)] {
            assert!((got - wanted).abs() <= 1e-12);
        }
        let thick = Equivalent::of(&Shape::Disc {
            diameter: 20e-3,
            thickness: 5e-3,
        })
        .on_plate(0.0, None, 1.2, 1.05, 20.0);
        assert_eq!((thick.plate, thick.bore), (1.0, 0.0));
    }

    #[test]
    fn a_block_stands_between_area_and_rim_and_a_ball_by_its_volume() {
        let block = Shape::Block {
            length: 30e-3,
            width: 10e-3,
            thickness: 5e-3,
        };
        // 4 A / P = 4 * 300 / 80 mm, and the disc of 300 mm2.
        let (by_rim, by_area) = (15e-3, (1200e-6 / PI).sqrt());
        let got = Equivalent::of(&block);
        assert!((got.diameter() - f64::sqrt(by_rim * by_area)).abs() <= 1e-12);
        assert!(got.is_stand_in() && got.is_measured());
        // Whichever side is named first.
        let turned = Equivalent::of(&Shape::Block {
            length: 10e-3,
            width: 30e-3,
            thickness: 5e-3,
        });
        assert_eq!(got, turned);
        assert_eq!(place(block).oblong, Some(3.0));
        let ball = Shape::Sphere { diameter: 12e-3 };
        let at = place(ball);
        assert!(Equivalent::of(&ball).is_stand_in() && !Equivalent::of(&ball).is_measured() && at.oblong.is_none());
        // Volume pi/6 D^3 = pi/4 D^2 h; the middle at gap + D/2 = gap' + h/2.
        assert!((at.height - 2.0 / 3.0).abs() <= 1e-12);
        assert!((at.gap * 12.0 + 4.0 - (1.0 + 6.0)).abs() <= 1e-9);
    }

    /// A plate counts by its side over the length of a block, whichever side is named first; for its disc it is as wide as it is.
    #[test]
    fn a_block_feels_the_end_of_its_plate_by_its_length() {
        for (length, width) in [(28e-3, 10e-3), (10e-3, 28e-3)] {
            let long = Equivalent::of(&Shape::Block {
                length,
                width,
                thickness: 5e-3,
            });
            let at = long.on_small(long.on_plate(0.1e-3, Some(5e-3), 1.2, 1.05, 60.0), Some(35e-3));
            assert!((at.across - 1.25).abs() <= 1e-12, "{at:?}");
            assert!((at.of_disc().across * long.diameter() - 35e-3).abs() <= 1e-12, "{at:?}");
            assert_eq!(long.on_small(at, None).across, f64::INFINITY);
        }
    }
}
