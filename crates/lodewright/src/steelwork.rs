//! A magnet on a steel plate as it is asked for, in millimetres, and the sheet that answers it.

use advice::go_on::GoOn;
use advice::plate_study::{self, StudyError, study};
use advice::view::plate_study::{StudyView, view};
use quantity::Units;
use serde::{Deserialize, Serialize};
use steel::drawing::Material;
use steel::setups::{Cup, Piece, Size};
use utoipa::ToSchema;

use crate::drawing::{Drawing, steel_drawing};
use crate::problem::{Kind, Problem};

/// Field of a request that asks for two side by side.
const BESIDE: &str = "/beside_mm";
/// That of the gap.
const GAP: &str = "/gap_mm";

/// A magnet on a plate of steel.
#[derive(Clone, Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SteelRequest {
    /// The magnet.
    pub magnet: MagnetSize,
    /// The plate below it.
    pub plate: PlateSize,
    /// Between magnet and plate, or between the rim of a cup and the plate, mm.
    #[serde(default)]
    pub gap_mm: f64,
    /// The steel of everything: a name of a curve.
    #[serde(default = "usual_steel")]
    pub steel: String,
    /// What the magnet carries.
    #[serde(default)]
    pub carries: Carries,
    /// Distance between its rim and that of an equal one beside it, mm, if there is one; for a bare magnet.
    #[serde(default)]
    pub beside_mm: Option<f64>,
}

fn usual_steel() -> String {
    "mild steel".into()
}

/// A disc or ring magnetised along its axis.
#[derive(Clone, Copy, Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct MagnetSize {
    /// Outer diameter, mm.
    pub diameter_mm: f64,
    /// Hole, mm; 0 for a disc.
    #[serde(default)]
    pub hole_mm: f64,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Remanent polarisation, T.
    #[serde(rename = "polarisation_T")]
    pub polarisation: f64,
    /// Recoil permeability; 1.05 where absent.
    #[serde(default = "usual_recoil")]
    pub recoil_permeability: f64,
}

fn usual_recoil() -> f64 {
    1.05
}

/// A round plate of steel.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PlateSize {
    /// Diameter, mm.
    pub diameter_mm: f64,
    /// Thickness, mm.
    pub thickness_mm: f64,
}

/// What steel the magnet carries.
#[derive(Clone, Copy, Debug, Default, PartialEq, Deserialize, ToSchema)]
#[serde(tag = "what", rename_all = "snake_case", deny_unknown_fields)]
pub enum Carries {
    /// None.
    #[default]
    Nothing,
    /// A plate on its back.
    BackPlate {
        /// Diameter, mm.
        diameter_mm: f64,
        /// Thickness, mm.
        thickness_mm: f64,
    },
    /// A cup that it sits in.
    Cup {
        /// Outer diameter, mm.
        outer_mm: f64,
        /// Inner diameter, mm.
        inner_mm: f64,
        /// Thickness of the floor, mm.
        floor_mm: f64,
        /// How far the rim stands out beyond the magnet's face, mm; negative if the face stands out.
        #[serde(default)]
        rim_mm: f64,
    },
}

/// The solved set-up with what its parts are worth.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct SteelSheet {
    /// The picture.
    pub drawing: Drawing,
    /// What it pulls, and what its parts are worth.
    #[serde(flatten)]
    pub view: StudyView,
}

/// The steel of that name.
fn steel_named(name: &str) -> Result<Material, Problem> {
    let table = steel::SteelTable::builtin().map_err(|e| Problem::new(Kind::Internal, "steels", e.to_string()))?;
    let holding: Vec<&str> = table
        .all()
        .iter()
        .filter(|s| s.holds())
        .map(|s| s.name.as_str())
        .collect();
    if let Some(steel) = table.of_curve(name).filter(|s| !s.holds()) {
        return Err(
            Problem::new(Kind::Asked, "not magnetic", format!("{} holds no magnet", steel.name))
                .field("/steel")
                .hint(format!("put a plate of steel on it that does: {}", holding.join(", "))),
        );
    }
    let named = table.curve(name).ok_or_else(|| {
        Problem::new(Kind::Asked, "no such steel", format!("no curve is known for {name:?}"))
            .field("/steel")
            .hint(format!("there are {}", holding.join(", ")))
    })?;
    Ok(Material::Steel(named.curve.clone()))
}

fn plate(diameter_mm: f64, thickness_mm: f64, steel: &Material) -> Piece {
    Piece {
        size: Size::disc(diameter_mm * 1e-3, thickness_mm * 1e-3),
        material: steel.clone(),
    }
}

impl SteelRequest {
    fn setup(&self) -> Result<plate_study::Setup, Problem> {
        let steel = steel_named(&self.steel)?;
        let magnet = self.magnet;
        Ok(plate_study::Setup {
            magnet: Piece {
                size: Size {
                    outer: magnet.diameter_mm * 1e-3,
                    inner: magnet.hole_mm * 1e-3,
                    thickness: magnet.thickness_mm * 1e-3,
                },
                material: Material::Magnet {
                    polarisation: magnet.polarisation,
                    recoil_permeability: magnet.recoil_permeability,
                },
            },
            plate: plate(self.plate.diameter_mm, self.plate.thickness_mm, &steel),
            carries: self.carries.of(&steel),
            gap: self.gap_mm * 1e-3,
            beside: self.beside_mm.map(|distance| distance * 1e-3),
        })
    }
}

impl Carries {
    fn of(self, steel: &Material) -> plate_study::Carries {
        match self {
            Self::Nothing => plate_study::Carries::Nothing,
            Self::BackPlate {
                diameter_mm,
                thickness_mm,
            } => plate_study::Carries::BackPlate(plate(diameter_mm, thickness_mm, steel)),
            Self::Cup {
                outer_mm,
                inner_mm,
                floor_mm,
                rim_mm,
            } => plate_study::Carries::Cup(Cup {
                outer: outer_mm * 1e-3,
                inner: inner_mm * 1e-3,
                floor: floor_mm * 1e-3,
                hole: 0.0,
                rim: rim_mm * 1e-3,
                steel: steel.clone(),
            }),
        }
    }
}

impl From<StudyError> for Problem {
    fn from(error: StudyError) -> Self {
        let title = match error {
            StudyError::Solve(_) | StudyError::GapTooNarrow(_) => "not solved",
            StudyError::Beside(_) | StudyError::BesideCarried => "not estimated",
        };
        let problem = Self::new(Kind::Asked, title, error.to_string()).hint(error.hint());
        match error {
            StudyError::GapTooNarrow(_) => problem.field(GAP),
            _ if error.is_about_distance() => problem.field(BESIDE),
            _ => problem,
        }
    }
}

/// Solves a magnet on steel, and what its parts are worth over gap and thickness, while it is wanted.
///
/// # Errors
/// Sizes that do not fit, a steel that is not known, a solve that does not arrive or is stopped.
pub fn sheet(request: &SteelRequest, go_on: GoOn, units: &Units) -> Result<SteelSheet, Problem> {
    let setup = request.setup()?;
    let found = study(&setup, go_on)?;
    Ok(SteelSheet {
        drawing: steel_drawing(&found.solution, None, units)?,
        view: view(&found, units),
    })
}

#[cfg(test)]
mod tests;
