//! The units in which a reader wants to see each kind of quantity.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::error::excerpt;
use crate::kind::Kind;
use crate::unit::Unit;

/// How lengths are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LengthUnit {
    /// mm.
    Millimetre,
    /// in, as a fraction where one fits.
    Inch,
}

/// How flux densities are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FluxUnit {
    /// mT.
    Millitesla,
    /// T.
    Tesla,
    /// G.
    Gauss,
}

/// How field strengths are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FieldUnit {
    /// kA/m.
    KiloamperePerMetre,
    /// Oe.
    Oersted,
}

/// How forces are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ForceUnit {
    /// N.
    Newton,
    /// kgf.
    KilogramForce,
    /// lbf.
    PoundForce,
}

/// How masses are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MassUnit {
    /// g below 1 kg, kg from there.
    Gram,
    /// oz below 1 lb, lb from there.
    Ounce,
}

/// How temperatures are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TemperatureUnit {
    /// °C.
    Celsius,
    /// °F.
    Fahrenheit,
}

/// The units of every kind.
///
/// As text, and so in JSON: `metric`, `inch`, or a list of changes to metric such as
/// `mm,lbf,G` or `inch,mT`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Units {
    /// For lengths.
    pub length: LengthUnit,
    /// For flux densities.
    pub flux: FluxUnit,
    /// For field strengths.
    pub field: FieldUnit,
    /// For forces.
    pub force: ForceUnit,
    /// For masses.
    pub mass: MassUnit,
    /// For temperatures.
    pub temperature: TemperatureUnit,
}

/// The conversion of SI values to shown values: shown = `factor` × SI + `offset`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// Shown unit per SI unit.
    pub factor: f64,
    /// In the shown unit; zero for all but temperatures.
    pub offset: f64,
    /// The shown unit.
    pub label: &'static str,
}

impl Scale {
    /// The shown value of an SI value.
    pub fn apply(self, si: f64) -> f64 {
        self.factor * si + self.offset
    }
}

impl Units {
    /// mm, mT, kA/m, N, g and kg, °C.
    pub const fn metric() -> Units {
        Units {
            length: LengthUnit::Millimetre,
            flux: FluxUnit::Millitesla,
            field: FieldUnit::KiloamperePerMetre,
            force: ForceUnit::Newton,
            mass: MassUnit::Gram,
            temperature: TemperatureUnit::Celsius,
        }
    }

    /// in, G, Oe, lbf, oz and lb, °F.
    pub const fn inch() -> Units {
        Units {
            length: LengthUnit::Inch,
            flux: FluxUnit::Gauss,
            field: FieldUnit::Oersted,
            force: ForceUnit::PoundForce,
            mass: MassUnit::Ounce,
            temperature: TemperatureUnit::Fahrenheit,
        }
    }

    /// The unit in which a quantity of size `si` (SI, either sign) is shown; the size matters for
    /// masses only.
    pub fn unit(&self, kind: Kind, si: f64) -> Unit {
        let or_large = |small: Unit, large: Unit| if large.from_si(si.abs()) < 1.0 { small } else { large };
        match kind {
            Kind::Length => match self.length {
                LengthUnit::Millimetre => Unit::MILLIMETRE,
                LengthUnit::Inch => Unit::INCH,
            },
            Kind::FluxDensity => match self.flux {
                FluxUnit::Millitesla => Unit::MILLITESLA,
                FluxUnit::Tesla => Unit::TESLA,
                FluxUnit::Gauss => Unit::GAUSS,
            },
            Kind::FieldStrength => match self.field {
                FieldUnit::KiloamperePerMetre => Unit::KILOAMPERE_PER_METRE,
                FieldUnit::Oersted => Unit::OERSTED,
            },
            Kind::Force => match self.force {
                ForceUnit::Newton => Unit::NEWTON,
                ForceUnit::KilogramForce => Unit::KILOGRAM_FORCE,
                ForceUnit::PoundForce => Unit::POUND_FORCE,
            },
            Kind::Mass => match self.mass {
                MassUnit::Gram => or_large(Unit::GRAM, Unit::KILOGRAM),
                MassUnit::Ounce => or_large(Unit::OUNCE, Unit::POUND),
            },
            Kind::Temperature => match self.temperature {
                TemperatureUnit::Celsius => Unit::CELSIUS,
                TemperatureUnit::Fahrenheit => Unit::FAHRENHEIT,
            },
        }
    }

    /// The conversion for a whole array, as of a chart, whose largest size is `largest_si`.
    pub fn scale(&self, kind: Kind, largest_si: f64) -> Scale {
        let unit = self.unit(kind, largest_si);
        let (factor, offset) = unit.line();
        Scale {
            factor,
            offset,
            label: unit.label(),
        }
    }

    /// Shows the kind of `unit` in `unit`; `false` when that is not one of the choices.
    fn choose(&mut self, unit: Unit) -> bool {
        match unit {
            Unit::MILLIMETRE => self.length = LengthUnit::Millimetre,
            Unit::INCH => self.length = LengthUnit::Inch,
            Unit::MILLITESLA => self.flux = FluxUnit::Millitesla,
            Unit::TESLA => self.flux = FluxUnit::Tesla,
            Unit::GAUSS => self.flux = FluxUnit::Gauss,
            Unit::KILOAMPERE_PER_METRE => self.field = FieldUnit::KiloamperePerMetre,
            Unit::OERSTED => self.field = FieldUnit::Oersted,
            Unit::NEWTON => self.force = ForceUnit::Newton,
            Unit::KILOGRAM_FORCE => self.force = ForceUnit::KilogramForce,
            Unit::POUND_FORCE => self.force = ForceUnit::PoundForce,
            Unit::GRAM | Unit::KILOGRAM => self.mass = MassUnit::Gram,
            Unit::OUNCE | Unit::POUND => self.mass = MassUnit::Ounce,
            Unit::CELSIUS => self.temperature = TemperatureUnit::Celsius,
            Unit::FAHRENHEIT => self.temperature = TemperatureUnit::Fahrenheit,
            _ => return false,
        }
        true
    }
}

impl Default for Units {
    fn default() -> Self {
        Units::metric()
    }
}

/// A name in a list of units that is not one of the choices.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "unknown choice of units `{0}`, expected metric, inch, or any of mm, in, mT, T, G, kA/m, Oe, N, \
     kgf, lbf, g, oz, °C, °F with commas between"
)]
pub struct UnitsError(String);

impl FromStr for Units {
    type Err = UnitsError;

    /// Reads the list from left to right, starting from metric; `inch` alone, or at the start, is
    /// the preset and `in` is the unit of length.
    fn from_str(text: &str) -> Result<Self, UnitsError> {
        let mut units = Units::metric();
        for (place, name) in text.split(',').map(str::trim).enumerate() {
            let known = match name.to_ascii_lowercase().as_str() {
                "metric" if place == 0 => true,
                "inch" if place == 0 => {
                    units = Units::inch();
                    true
                }
                _ => Unit::named(name).is_some_and(|unit| units.choose(unit)),
            };
            if !known {
                return Err(UnitsError(excerpt(name)));
            }
        }
        Ok(units)
    }
}

impl fmt::Display for Units {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        if *self == Units::metric() {
            return f.write_str("metric");
        }
        if *self == Units::inch() {
            return f.write_str("inch");
        }
        for (place, kind) in Kind::ALL.into_iter().enumerate() {
            let comma = if place == 0 { "" } else { "," };
            write!(f, "{comma}{}", self.unit(kind, 0.0).label())?;
        }
        Ok(())
    }
}

impl TryFrom<String> for Units {
    type Error = UnitsError;

    fn try_from(text: String) -> Result<Self, UnitsError> {
        text.parse()
    }
}

impl From<Units> for String {
    fn from(units: Units) -> String {
        units.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Units {
        text.parse().unwrap()
    }

    #[test]
    fn names_and_changes() {
        assert_eq!(read("metric"), Units::metric());
        assert_eq!(read("Inch"), Units::inch());
        assert_eq!(
            read("in"),
            Units {
                length: LengthUnit::Inch,
                ..Units::metric()
            }
        );
        assert_eq!(
            read("inch, mT"),
            Units {
                flux: FluxUnit::Millitesla,
                ..Units::inch()
            }
        );
        assert_eq!(
            read("mm,lbf,G"),
            Units {
                force: ForceUnit::PoundForce,
                flux: FluxUnit::Gauss,
                ..Units::metric()
            }
        );
    }

    #[test]
    fn refuses_other_names() {
        for (text, name) in [("", ""), ("imperial", "imperial"), ("mm,mil", "mil"), ("mm,,G", "")] {
            let error = text.parse::<Units>().unwrap_err();
            assert_eq!(error, UnitsError(name.to_owned()));
        }
        let error = "mm,furlong".parse::<Units>().unwrap_err().to_string();
        assert!(error.starts_with("unknown choice of units `furlong`, expected metric, inch, or"));
    }

    #[test]
    fn every_choice_survives_its_own_text() {
        for length in ["mm", "in"] {
            for flux in ["mT", "T", "G"] {
                for field in ["kA/m", "Oe"] {
                    for force in ["N", "kgf", "lbf"] {
                        for mass in ["g", "oz"] {
                            for temperature in ["°C", "°F"] {
                                let list = [length, flux, field, force, mass, temperature].join(",");
                                let units = read(&list);
                                assert_eq!(read(&units.to_string()), units, "{list}");
                            }
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn json_is_the_text() {
        assert_eq!(serde_json::to_string(&Units::inch()).unwrap(), "\"inch\"");
        assert_eq!(serde_json::from_str::<Units>("\"metric\"").unwrap(), Units::metric());
        assert!(serde_json::from_str::<Units>("\"ell\"").is_err());
    }

    #[test]
    fn masses_change_unit_at_one_kilogram_and_one_pound() {
        let label = |units: Units, kg| units.unit(Kind::Mass, kg).label();
        assert_eq!(label(Units::metric(), 0.999), "g");
        assert_eq!(label(Units::metric(), -1.0), "kg");
        assert_eq!(label(Units::inch(), 0.4535), "oz");
        assert_eq!(label(Units::inch(), 0.453_592_37), "lb");
    }

    #[test]
    fn a_scale_converts_arrays() {
        let scale = Units::inch().scale(Kind::Temperature, 400.0);
        assert_eq!(scale.label, "°F");
        assert!((scale.apply(353.15) - 176.0).abs() <= 1e-10);
        let scale = Units::metric().scale(Kind::FluxDensity, 1.0);
        assert_eq!((scale.label, scale.apply(0.35)), ("mT", 350.0));
    }
}
