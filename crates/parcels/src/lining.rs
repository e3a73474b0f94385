//! What a closed lining of mild steel keeps in: an estimate, with its limits.
//!
//! A shell of radius `R`, thickness `t` and relative permeability `μ` weakens a steady field through it by `1 + 2 μ t / (3 R)`
//! where `t` is much smaller than `R` (a classical result for the sphere; from memory), whichever side its source is on. The
//! flux of a dipole `m` in its middle that such a shell carries around its waist is `3 μ0 m / (4 R)`: the field in the steel
//! is that over `2 π R t`.

use std::f64::consts::PI;

use materials::MU_0;

/// Relative permeability of mild steel in a weak field; from memory.
pub const PERMEABILITY: f64 = 200.0;
/// From this flux density on the steel carries no more as if it were weakly magnetised, T; common practice, no source.
pub const SATURATES: f64 = 1.5;
/// Seams, a lid and holes may let through as much again; common practice, no source.
pub const SEAMS: f64 = 2.0;

/// What a lining does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lining {
    /// Its thickness, m.
    pub thickness: f64,
    /// By how much it weakens the field outside, at least 1.
    pub weakens: f64,
    /// The same with seams, at least 1.
    pub at_least: f64,
    /// Flux density in the steel, T; above [`SATURATES`] the estimate does not hold and nothing is counted on.
    pub in_steel: f64,
}

/// A lining of that thickness in a box with those sides, m, around a moment, A m², that is not cancelled within it.
pub fn lining(thickness: f64, sides: [f64; 3], moment: f64) -> Lining {
    let half = sides.map(|side| (0.5 * side).max(f64::MIN_POSITIVE));
    let (smallest, largest) = (half[0].min(half[1]).min(half[2]), half[0].max(half[1]).max(half[2]));
    let in_steel = match thickness > 0.0 {
        true => 3.0 * MU_0 * moment / (8.0 * PI * smallest * smallest * thickness),
        false => 0.0,
    };
    // The larger the shell, the less it keeps in.
    let weakens = match in_steel <= SATURATES {
        true => 1.0 + 2.0 * PERMEABILITY * thickness / (3.0 * largest),
        false => 1.0,
    };
    Lining {
        thickness,
        weakens,
        at_least: (weakens / SEAMS).max(1.0),
        in_steel,
    }
}

#[cfg(test)]
mod tests;
