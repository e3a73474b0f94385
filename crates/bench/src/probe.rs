//! A gaussmeter's probe.

use quantity::Length;
use serde::{Deserialize, Serialize};

use crate::error::SetupError;

/// Outline of the active element, which lies parallel to the face.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Element {
    /// Round.
    Disc {
        /// Diameter.
        diameter: Length,
    },
    /// Rectangular.
    Rectangle {
        /// Size along `x`, the length of a block.
        length: Length,
        /// Size along `y`.
        width: Length,
    },
}

/// Which way the probe's stem stands to the field that it reads.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Stem {
    /// The stem stands on the face: the field along it is read.
    Axial,
    /// The stem lies flat on the face: the field across it is read.
    Transverse,
}

/// A probe as a thing: where its element lies and how true it reads.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Probe {
    /// Name.
    #[serde(default)]
    pub name: String,
    /// From the tip, or the flat that touches the face, to the element.
    pub depth: Length,
    /// Standard uncertainty of the depth.
    #[serde(default = "usual_depth_standard")]
    pub depth_standard: Length,
    /// The active element.
    #[serde(default = "usual_element")]
    pub element: Element,
    /// How the stem stands.
    #[serde(default = "usual_stem")]
    pub stem: Stem,
    /// Reading over field at low field.
    #[serde(default = "one")]
    pub gain: f64,
    /// Standard uncertainty of the gain: half of an accuracy that is stated with a coverage factor of 2.
    #[serde(default = "usual_gain_standard")]
    pub gain_standard: f64,
    /// Part of the reading that is missing at 1 T; it grows as the square of the field.
    #[serde(default)]
    pub fall_off: f64,
    /// Standard uncertainty of the fall-off.
    #[serde(default = "usual_fall_off_standard")]
    pub fall_off_standard: f64,
    /// Step of the display, T.
    #[serde(default = "usual_resolution")]
    pub resolution: f64,
    /// Standard uncertainty of the zero, T.
    #[serde(default = "usual_zero_drift")]
    pub zero_drift: f64,
    /// Change of the gain as a part per kelvin away from 23 °C.
    #[serde(default)]
    pub temperature_coefficient: f64,
    /// When and by what it was calibrated.
    #[serde(default)]
    pub calibrated: String,
}

/// Depth of a usual probe, m, and its standard uncertainty: the toy-test probe of Canada Toys Regulations SOR/2011-17,
/// Schedule 10, has its active area 0.38 mm ± 0.13 mm from the tip; hand-held ones lie from 0.1 mm to 1 mm deep (common
/// practice, no source). The uncertainty is so large that of lots read by a probe at either end of that range nine in ten
/// lie in their intervals, see the tests; 0.25 mm, of which the range is two, held seven in ten at 1 mm.
pub const USUAL_DEPTH: [f64; 2] = [0.5e-3, 0.35e-3];
/// Diameter of that probe's active area, m.
pub const USUAL_ELEMENT: f64 = 0.76e-3;
/// Standard uncertainty of a gain: sold as accurate to 1 to 2 % with a coverage factor of 2; common practice, no source.
pub const USUAL_GAIN_STANDARD: f64 = 0.0075;
/// Standard uncertainty of the fall-off at 1 T; common practice, no source.
pub const USUAL_FALL_OFF_STANDARD: f64 = 0.01;
/// Temperature at which a probe's gain is stated, °C; common practice, no source.
pub const CALIBRATION_CELSIUS: f64 = 23.0;

fn usual_depth_standard() -> Length {
    Length(USUAL_DEPTH[1])
}
fn usual_element() -> Element {
    Element::Disc {
        diameter: Length(USUAL_ELEMENT),
    }
}
fn usual_stem() -> Stem {
    Stem::Axial
}
fn one() -> f64 {
    1.0
}
fn usual_gain_standard() -> f64 {
    USUAL_GAIN_STANDARD
}
fn usual_fall_off_standard() -> f64 {
    USUAL_FALL_OFF_STANDARD
}
fn usual_resolution() -> f64 {
    0.1e-3
}
fn usual_zero_drift() -> f64 {
    0.1e-3
}

impl Default for Probe {
    /// A usual probe that nobody has measured.
    fn default() -> Self {
        Self {
            name: String::new(),
            depth: Length(USUAL_DEPTH[0]),
            depth_standard: usual_depth_standard(),
            element: usual_element(),
            stem: usual_stem(),
            gain: 1.0,
            gain_standard: USUAL_GAIN_STANDARD,
            fall_off: 0.0,
            fall_off_standard: USUAL_FALL_OFF_STANDARD,
            resolution: usual_resolution(),
            zero_drift: usual_zero_drift(),
            temperature_coefficient: 0.0,
            calibrated: String::new(),
        }
    }
}

impl Probe {
    /// What the meter shows for a mean field `b` (T, 0 to 3) over its element, T: `gain b (1 - fall_off (b / 1 T)²)`.
    #[must_use]
    pub fn shows(gain: f64, fall_off: f64, b: f64) -> f64 {
        gain * b * (1.0 - fall_off * b * b)
    }

    /// Standard uncertainty of its zero and of the step of its display, T; a step is a rectangular distribution of its width.
    #[must_use]
    pub fn zero_standard(&self) -> f64 {
        self.zero_drift.hypot(self.resolution / 12f64.sqrt())
    }

    /// Checks that its values are finite and in range.
    ///
    /// # Errors
    /// [`SetupError::Range`] for the first that is not.
    pub fn validate(&self) -> Result<(), SetupError> {
        let check = |what, value: f64, [low, high]: [f64; 2]| SetupError::check(what, value, low, high);
        check("depth of the probe", self.depth.si(), [0.0, 0.05])?;
        check("depth_standard of the probe", self.depth_standard.si(), [0.0, 0.01])?;
        match self.element {
            Element::Disc { diameter } => check("diameter of the element", diameter.si(), [0.0, 0.05])?,
            Element::Rectangle { length, width } => {
                check("length of the element", length.si(), [0.0, 0.05])?;
                check("width of the element", width.si(), [0.0, 0.05])?;
            }
        }
        check("gain of the probe", self.gain, [0.2, 5.0])?;
        check("gain_standard of the probe", self.gain_standard, [0.0, 0.3])?;
        check("fall_off of the probe", self.fall_off, [-0.2, 0.2])?;
        check("fall_off_standard of the probe", self.fall_off_standard, [0.0, 0.2])?;
        check("resolution of the probe", self.resolution, [0.0, 0.1])?;
        check("zero_drift of the probe", self.zero_drift, [0.0, 0.1])?;
        check(
            "temperature_coefficient of the probe",
            self.temperature_coefficient,
            [-0.02, 0.02],
        )
    }
}
