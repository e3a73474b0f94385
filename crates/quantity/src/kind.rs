//! What a quantity can be a quantity of, and the constants that fix units.

/// Standard gravity, m/s². Exact by definition: 3rd CGPM (1901), resolution 2.
pub const STANDARD_GRAVITY: f64 = 9.80665;

/// Kelvin at 0 °C. Exact by definition: BIPM, The International System of Units, 9th ed. (2019).
pub(crate) const ICE_POINT: f64 = 273.15;

/// What a quantity is a quantity of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// Metres.
    Length,
    /// Teslas.
    FluxDensity,
    /// Amperes per metre.
    FieldStrength,
    /// Newtons.
    Force,
    /// Kilograms.
    Mass,
    /// Kelvins.
    Temperature,
}

impl Kind {
    /// Every kind, in the order in which units are listed.
    pub const ALL: [Kind; 6] = [
        Kind::Length,
        Kind::FluxDensity,
        Kind::FieldStrength,
        Kind::Force,
        Kind::Mass,
        Kind::Temperature,
    ];

    /// The kind in words, without an article: `flux density`.
    pub fn name(self) -> &'static str {
        match self {
            Kind::Length => "length",
            Kind::FluxDensity => "flux density",
            Kind::FieldStrength => "field strength",
            Kind::Force => "force",
            Kind::Mass => "mass",
            Kind::Temperature => "temperature",
        }
    }

    /// The units to offer when one is missing or does not fit, as a phrase.
    pub(crate) fn unit_list(self) -> &'static str {
        match self {
            Kind::Length => "mm, cm, m, µm, in, mil or ft",
            Kind::FluxDensity => "mT, T, G or kG",
            Kind::FieldStrength => "kA/m, A/m, Oe or kOe",
            Kind::Force => "N, kgf, lbf or ozf",
            Kind::Mass => "g, kg, lb or oz",
            Kind::Temperature => "°C, °F or K",
        }
    }
}
