//! What is true of simulated sessions, and readings of it with noise.

use bench::setup::place;
use bench::{Lot, Parameter, Probe, Reading, Setup, Value};
use magnetics::Shape;
use materials::coating::CoatingTable;
use materials::grade::GradeTable;
use quantity::{FluxDensity, Length};

/// Normal values from a fixed seed: SplitMix64 and Box and Muller's method.
pub struct Dice(pub u64);

impl Dice {
    pub fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn normal(&mut self) -> f64 {
        let (u, v) = (self.even().max(1e-300), self.even());
        (-2.0 * u.ln()).sqrt() * (std::f64::consts::TAU * v).cos()
    }
}

pub const NOISE: f64 = 0.0135;

pub fn lot(grade: &str, diameter: f64, thickness: f64) -> Lot {
    let (grades, coatings) = (GradeTable::builtin().unwrap(), CoatingTable::builtin().unwrap());
    let shape = Shape::Disc { diameter, thickness };
    Lot::new(
        grade,
        shape,
        grades.get(grade).unwrap(),
        coatings.get("Ni-Cu-Ni").unwrap(),
    )
}

pub fn at(lot: usize, pieces: u32, spacer_mm: f64) -> Reading {
    Reading {
        spacer: Length::from_mm(spacer_mm),
        ..Reading::at_face(lot, pieces, Value::FluxDensity(FluxDensity(1.0)))
    }
}

/// What is true of one session.
#[derive(Clone)]
pub struct Truth {
    pub depth: f64,
    pub gain: f64,
    pub fall_off: f64,
    pub scale: Vec<f64>,
    pub loss: Vec<f64>,
    pub joint: Vec<f64>,
    pub thickness: Vec<f64>,
}

impl Truth {
    /// Drawn from what is known of probe and lots, but for what is free: depth and scales.
    pub fn drawn(dice: &mut Dice, probe: &Probe, lots: &[Lot]) -> Self {
        let stacked = |lot| at(lot, 2, 0.0);
        let mut drawn = |lot: usize, k: usize| {
            let reading = stacked(lot);
            let setup = Setup::new(probe, &lots[lot], &reading).unwrap();
            setup.inputs()[k]
                .distribution
                .quantile(dice.even().clamp(1e-9, 1.0 - 1e-9))
        };
        let mut each = |k: usize| (0..lots.len()).map(|lot| drawn(lot, k)).collect::<Vec<f64>>();
        let (plating, dead) = (each(place::PLATING), each(place::DEAD_LAYER));
        let loss = plating.iter().zip(dead).map(|(a, b)| a + b).collect();
        let (joint, thickness) = (each(place::JOINT), each(place::THICKNESS));
        let scale = lots.iter().map(|_| 0.97 + 0.05 * dice.normal()).collect();
        Self {
            depth: 0.6e-3,
            gain: probe.gain + probe.gain_standard * dice.normal(),
            fall_off: probe.fall_off + probe.fall_off_standard * dice.normal(),
            scale,
            loss,
            joint,
            thickness,
        }
    }

    pub fn reading(&self, dice: &mut Dice, probe: &Probe, lots: &[Lot], what: &Reading) -> Reading {
        let setup = Setup::new(probe, &lots[what.lot], what).unwrap();
        let mut at = setup.middle();
        at[place::DEPTH] = self.depth;
        at[place::GAIN] = self.gain;
        at[place::FALL_OFF] = self.fall_off;
        at[place::SCALE] = self.scale[what.lot];
        at[place::PLATING] = self.loss[what.lot];
        at[place::DEAD_LAYER] = 0.0;
        at[place::JOINT] = self.joint[what.lot];
        at[place::THICKNESS] = self.thickness[what.lot];
        // Noise of every cause that a fit takes as the reading's own.
        let own = |k: usize| setup.inputs()[k].distribution;
        for k in [
            place::OFF_CENTRE,
            place::DISTANCE,
            place::WARMER,
            place::COEFFICIENT,
            place::ZERO,
        ] {
            at[k] = own(k).quantile(dice.even().clamp(1e-9, 1.0 - 1e-9));
        }
        at[place::PLACING] = 1.0 + NOISE * dice.normal();
        what.with_value(setup.value(&at))
    }

    pub fn of(&self, parameter: Parameter) -> f64 {
        match parameter {
            Parameter::Depth => self.depth,
            Parameter::Scale(lot) => self.scale[lot],
            other => panic!("{other:?} is not asked"),
        }
    }
}
