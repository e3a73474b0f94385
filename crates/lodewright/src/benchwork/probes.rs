//! Probes as they are entered and shown.

use bench::{Element, Probe};
use quantity::{FluxDensity, Length, Quantity, Units};
use serde::{Deserialize, Serialize};
use shop::bench::KeptProbe;
use utoipa::ToSchema;

use super::absent::parsed;
use crate::desk::{Desk, seconds_now};
use crate::problem::{Kind, Problem};

/// A probe.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct ProbeLine {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Whether it is the one that the shop usually reads with.
    pub usual: bool,
    /// What is known of it, in a sentence.
    pub says: String,
    /// As it was entered, to be changed.
    pub entered: ProbeBody,
}

/// A probe as it is entered: texts with units.
#[derive(Clone, Debug, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ProbeBody {
    /// Name.
    pub name: String,
    /// From the tip, or the flat that touches the face, to the element, such as `0.5 mm`.
    pub depth: String,
    /// By how much the depth may be off (95 %), such as `0.3 mm`.
    pub depth_within: String,
    /// Diameter of the active element, such as `0.8 mm`, or length and width of a rectangular one, such as `1.5 mm × 0.5 mm`.
    pub element: String,
    /// Whether the stem lies flat on the face (transverse) rather than standing on it (axial).
    #[serde(default)]
    pub transverse: bool,
    /// Accuracy as stated, per cent of the reading (95 %).
    pub accuracy: f64,
    /// Step of the display, such as `0.1 mT`.
    pub resolution: String,
    /// How far the zero drifts (95 %), such as `0.2 mT`; what is known stays where it is absent.
    #[serde(default)]
    pub zero_drift: Option<String>,
    /// Change of the reading with warmth, per cent per kelvin away from 23 °C; what is known stays where it is absent.
    #[serde(default)]
    pub temperature_coefficient: Option<f64>,
    /// When and by what it was calibrated.
    #[serde(default)]
    pub calibrated: String,
}

/// Between length and width of an element.
const TIMES: [char; 3] = ['×', 'x', '*'];

/// The element that a text names.
fn element_of(text: &str) -> Result<Element, Problem> {
    Ok(match text.split_once(TIMES) {
        None => Element::Disc {
            diameter: parsed("element", text)?,
        },
        Some((length, width)) => Element::Rectangle {
            length: parsed("element", length)?,
            width: parsed("element", width)?,
        },
    })
}

/// Digits that an entered number keeps: those of a number that was divided and multiplied again.
fn tidy(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}

impl ProbeBody {
    /// A usual probe that nobody has measured.
    pub fn usual(units: &Units) -> Self {
        Self::of(
            &Probe {
                name: "hand probe".into(),
                ..Probe::default()
            },
            units,
        )
    }

    fn of(probe: &Probe, units: &Units) -> Self {
        let length = |l: Length| l.show_given(units).to_string();
        Self {
            name: probe.name.clone(),
            depth: length(probe.depth),
            depth_within: length(Length(2.0 * probe.depth_standard.si())),
            element: match probe.element {
                Element::Disc { diameter } => length(diameter),
                Element::Rectangle { length: long, width } => format!("{} × {}", length(long), length(width)),
            },
            transverse: probe.stem == bench::Stem::Transverse,
            accuracy: tidy(200.0 * probe.gain_standard),
            resolution: FluxDensity(probe.resolution).show(units).to_string(),
            zero_drift: Some(FluxDensity(2.0 * probe.zero_drift).show(units).to_string()),
            temperature_coefficient: Some(tidy(100.0 * probe.temperature_coefficient)),
            calibrated: probe.calibrated.clone(),
        }
    }

    /// The probe; of one that is known, what is not entered stays.
    fn probe(&self, known: Option<&Probe>) -> Result<Probe, Problem> {
        if !(self.accuracy > 0.0 && self.accuracy <= 50.0) {
            let got = format!(
                "the accuracy must be from 0 to 50 % of the reading, got {}",
                self.accuracy
            );
            return Err(Problem::new(Kind::Asked, "this does not read", got).field("/accuracy"));
        }
        let known = known.cloned().unwrap_or_default();
        let zero_drift = match &self.zero_drift {
            Some(text) => parsed::<FluxDensity>("zero_drift", text)?.si() / 2.0,
            None => known.zero_drift,
        };
        Ok(Probe {
            name: self.name.trim().into(),
            depth: parsed("depth", &self.depth)?,
            depth_standard: Length(parsed::<Length>("depth_within", &self.depth_within)?.si() / 2.0),
            element: element_of(&self.element)?,
            stem: if self.transverse {
                bench::Stem::Transverse
            } else {
                bench::Stem::Axial
            },
            gain_standard: self.accuracy / 200.0,
            resolution: parsed::<FluxDensity>("resolution", &self.resolution)?.si(),
            calibrated: self.calibrated.trim().into(),
            zero_drift,
            temperature_coefficient: self
                .temperature_coefficient
                .map_or(known.temperature_coefficient, |percent| percent / 100.0),
            ..known
        })
    }
}

/// What is known of a probe, in a sentence.
fn probe_words(probe: &Probe, units: &Units) -> String {
    let within = Length(2.0 * probe.depth_standard.si());
    let depth = probe.depth.show_to(2, units);
    let place = if within > probe.depth {
        // Above the tip there is no element.
        let deepest = Length(probe.depth.si() + within.si());
        format!(
            "element {depth} below the tip, or down to {}",
            deepest.show_to(2, units)
        )
    } else {
        format!("element {depth} ± {} below the tip", within.show_to(2, units))
    };
    let mut text = format!("{place}, accurate to {:.1} %", 200.0 * probe.gain_standard);
    if !probe.calibrated.is_empty() {
        text += &format!(", calibrated {}", probe.calibrated);
    }
    text
}

impl Desk {
    /// Keeps a probe: a new one, or other values of one that is known.
    ///
    /// # Errors
    /// What does not read, or no probe has.
    pub fn put_probe(&self, id: &str, body: &ProbeBody, units: &Units) -> Result<ProbeLine, Problem> {
        let known = self.shop.probe(id)?;
        let probe = body.probe(known.as_ref().map(|k| &k.probe))?;
        let kept = self.shop.put_probe(id, &probe, seconds_now())?;
        Ok(probe_line(kept, units))
    }
}

/// A probe in a list.
pub fn probe_line(kept: KeptProbe, units: &Units) -> ProbeLine {
    ProbeLine {
        says: probe_words(&kept.probe, units),
        entered: ProbeBody::of(&kept.probe, units),
        name: kept.probe.name,
        id: kept.id,
        usual: kept.usual,
    }
}
