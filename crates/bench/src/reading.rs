//! One reading.

use quantity::{FluxDensity, Force, Length, Temperature};
use serde::{Deserialize, Serialize};

use crate::error::SetupError;
use crate::plate::Plate;

/// What was read; the sign does not count.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Value {
    /// Flux density by a probe.
    FluxDensity(FluxDensity),
    /// Pull by a pull tester on a plate.
    Pull(Force),
    /// Magnetic moment by a coil pair, A m².
    Moment(f64),
}

impl Value {
    /// The magnitude in SI: T, N or A m².
    #[must_use]
    pub fn si(self) -> f64 {
        match self {
            Self::FluxDensity(b) => b.si().abs(),
            Self::Pull(force) => force.si().abs(),
            Self::Moment(moment) => moment.abs(),
        }
    }

    /// A value of the same kind, in SI.
    #[must_use]
    pub fn with(self, si: f64) -> Self {
        match self {
            Self::FluxDensity(_) => Self::FluxDensity(FluxDensity(si)),
            Self::Pull(_) => Self::Pull(Force(si)),
            Self::Moment(_) => Self::Moment(si),
        }
    }
}

/// Which pole faced the probe.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Pole {
    /// The one that seeks north.
    North,
    /// The other.
    South,
}

/// One reading, of what and where.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reading {
    /// Number of the lot, from 0.
    #[serde(default)]
    pub lot: usize,
    /// Pieces in the stack.
    #[serde(default = "one")]
    pub pieces: u32,
    /// Thickness of what lies between face and probe, or face and plate, and touches both.
    #[serde(default)]
    pub spacer: Length,
    /// Distance between face and probe that was set by a stand or a ruler, beyond the spacer.
    #[serde(default)]
    pub along: Length,
    /// From the axis, along the length of a block.
    #[serde(default)]
    pub across: Length,
    /// Which pole.
    #[serde(default)]
    pub pole: Option<Pole>,
    /// What a pull tester pulls from; a thick, wide and bare plate of mild steel where it is absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plate: Option<Plate>,
    /// Temperature of magnet and probe.
    #[serde(default = "room")]
    pub temperature: Temperature,
    /// What was read.
    pub value: Value,
    /// Anything to remember.
    #[serde(default)]
    pub note: String,
}

fn one() -> u32 {
    1
}

fn room() -> Temperature {
    Temperature(ROOM_CELSIUS + 273.15)
}

/// Temperature of a room, °C.
pub const ROOM_CELSIUS: f64 = 20.0;

impl Reading {
    /// A reading at the middle of the face of so many pieces of a lot.
    #[must_use]
    pub fn at_face(lot: usize, pieces: u32, value: Value) -> Self {
        Self {
            lot,
            pieces,
            spacer: Length(0.0),
            along: Length(0.0),
            across: Length(0.0),
            pole: None,
            plate: None,
            temperature: room(),
            value,
            note: String::new(),
        }
    }

    /// The same place and stack, with another value (SI).
    #[must_use]
    pub fn with_value(&self, si: f64) -> Self {
        Self {
            value: self.value.with(si),
            ..self.clone()
        }
    }

    /// Temperature, °C.
    #[must_use]
    pub fn celsius(&self) -> f64 {
        self.temperature.si() - 273.15
    }

    /// Whether two readings differ in nothing but their values: pieces of one lot in turn, or one piece again.
    #[must_use]
    pub fn repeats(&self, other: &Self) -> bool {
        let place = |r: &Self| (r.spacer, r.along, r.across, r.temperature);
        std::mem::discriminant(&self.value) == std::mem::discriminant(&other.value)
            && (self.lot, self.pieces, place(self), &self.plate)
                == (other.lot, other.pieces, place(other), &other.plate)
    }

    /// Checks that its values are finite and in range.
    ///
    /// # Errors
    /// [`SetupError::Range`] for the first that is not.
    pub fn validate(&self) -> Result<(), SetupError> {
        SetupError::check("pieces", f64::from(self.pieces), 1.0, 1000.0)?;
        SetupError::check("spacer", self.spacer.si(), 0.0, 1.0)?;
        SetupError::check("along", self.along.si(), 0.0, 1.0)?;
        SetupError::check("across", self.across.si(), -1.0, 1.0)?;
        self.plate.as_ref().map_or(Ok(()), Plate::validate)?;
        SetupError::check("temperature", self.celsius(), -273.15, 1000.0)?;
        SetupError::check("value", self.value.si(), f64::MIN_POSITIVE, 1e6)
    }
}
