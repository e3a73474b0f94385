//! Bodies as they stand in a line.

use crate::read::{LineError, Object, Place, metres};
use magnetics::arc::Arc;
use magnetics::placed::Placed;
use magnetics::profile::{Profile, ProfileError};
use magnetics::shape::{Shape, ShapeError};
use magnetics::solid::{PlacedError, Polarisation, Solid};

/// Keys of every body besides its sizes.
const EVERY: [&str; 5] = [
    "shape",
    "polarisation_T",
    "recoil_permeability",
    "centre_mm",
    "rotation_vector_rad",
];

const SHAPES: &str = "disc, ring, block, sphere, frustum, countersunk, turned or arc";

/// The form of a body.
pub(crate) fn solid(object: &Object) -> Result<Solid, LineError> {
    let shape = object.word("shape")?;
    let sizes: &[&str] = match shape {
        "disc" => &["diameter_mm", "thickness_mm"],
        "ring" => &["outer_diameter_mm", "inner_diameter_mm", "thickness_mm"],
        "block" => &["size_mm"],
        "sphere" => &["diameter_mm"],
        "frustum" => &["bottom_diameter_mm", "top_diameter_mm", "thickness_mm"],
        "countersunk" => &[
            "outer_diameter_mm",
            "hole_diameter_mm",
            "sink_diameter_mm",
            "sink_depth_mm",
            "thickness_mm",
        ],
        "turned" => &["profile_mm"],
        "arc" => &[
            "outer_diameter_mm",
            "inner_diameter_mm",
            "angle_deg",
            "thickness_mm",
            "radial_polarisation_T",
        ],
        other => {
            let message = format!("shape must be one of {SHAPES}, got {other:?}");
            return Err(LineError::new(
                message,
                format!("{}/shape", object.path),
                format!("give {SHAPES}"),
            ));
        }
    };
    let keys: Vec<&str> = EVERY.iter().chain(sizes).copied().collect();
    object.only(&keys)?;
    let size = |key: &str| object.metres(key);
    let profile = |made: Result<Profile, ProfileError>| made.map(Solid::Turned).map_err(|e| at_profile(object, &e));
    let solid = match shape {
        "disc" => Solid::Plain(Shape::Disc {
            diameter: size("diameter_mm")?,
            thickness: size("thickness_mm")?,
        }),
        "ring" => Solid::Plain(Shape::Ring {
            outer_diameter: size("outer_diameter_mm")?,
            inner_diameter: size("inner_diameter_mm")?,
            thickness: size("thickness_mm")?,
        }),
        "block" => {
            let [length, width, thickness] = object.need("size_mm")?.numbers()?.map(metres);
            Solid::Plain(Shape::Block {
                length,
                width,
                thickness,
            })
        }
        "sphere" => Solid::Plain(Shape::Sphere {
            diameter: size("diameter_mm")?,
        }),
        "frustum" => profile(Profile::frustum(
            size("bottom_diameter_mm")?,
            size("top_diameter_mm")?,
            size("thickness_mm")?,
        ))?,
        "countersunk" => profile(Profile::countersunk(
            size("outer_diameter_mm")?,
            size("hole_diameter_mm")?,
            size("sink_diameter_mm")?,
            size("sink_depth_mm")?,
            size("thickness_mm")?,
        ))?,
        "turned" => {
            let place = object.need("profile_mm")?;
            let corners: Result<Vec<[f64; 2]>, LineError> = place
                .list()?
                .iter()
                .enumerate()
                .map(|(i, corner)| Ok(place.item(corner, i).numbers()?.map(metres)))
                .collect();
            profile(Profile::new(&corners?))?
        }
        _ => Solid::Arc(Arc {
            outer_diameter: size("outer_diameter_mm")?,
            inner_diameter: size("inner_diameter_mm")?,
            angle: object.number("angle_deg")?.to_radians(),
            thickness: size("thickness_mm")?,
        }),
    };
    match &solid {
        Solid::Plain(shape) => shape.validate(),
        Solid::Arc(arc) => arc.validate(),
        Solid::Turned(_) => Ok(()),
    }
    .map_err(|e| at_shape(object, &e))?;
    Ok(solid)
}

/// A body, placed.
pub(crate) fn placed(place: &Place) -> Result<Placed, LineError> {
    let object = place.object()?;
    let solid = solid(&object)?;
    let vector = |key: &str| object.get(key).map_or(Ok([0.0; 3]), |place| place.numbers());
    let polarisation = match object.get("radial_polarisation_T") {
        Some(radial) if object.get("polarisation_T").is_some() => {
            return Err(LineError::new(
                "an arc is polarised either along a vector or radially",
                radial.path,
                "leave one out",
            ));
        }
        Some(radial) => Polarisation::Radial(radial.number()?),
        None => Polarisation::Along(object.need("polarisation_T")?.numbers()?),
    };
    let centre = vector("centre_mm")?.map(metres);
    let rotation = vector("rotation_vector_rad")?;
    let permeability = object
        .get("recoil_permeability")
        .map_or(Ok(1.0), |place| place.number())?;
    let made = Placed::new(solid, polarisation, centre, rotation);
    made.and_then(|body| body.with_recoil_permeability(permeability))
        .map_err(|error| {
            let key = match &error {
                PlacedError::Shape(ShapeError::Polarisation { .. })
                | PlacedError::Across { .. }
                | PlacedError::Radial => "/polarisation_T",
                PlacedError::Shape(_) => "",
                PlacedError::Centre { .. } => "/centre_mm",
                PlacedError::Permeability { .. } => "/recoil_permeability",
                PlacedError::Rotation { .. } => "/rotation_vector_rad",
            };
            LineError::new(error.to_string(), format!("{}{key}", object.path), error.hint())
        })
}

fn at_shape(object: &Object, error: &ShapeError) -> LineError {
    let key = match error {
        ShapeError::Size { size, .. } => {
            let key = format!("{}_mm", size.replace(' ', "_"));
            if object.get(&key).is_some() {
                key
            } else {
                "size_mm".into()
            }
        }
        ShapeError::Hole { .. } => "inner_diameter_mm".into(),
        ShapeError::Angle { .. } => "angle_deg".into(),
        ShapeError::Plating { .. } | ShapeError::Pieces { .. } | ShapeError::Polarisation { .. } => "shape".into(),
    };
    LineError::new(error.to_string(), format!("{}/{key}", object.path), error.hint())
}

fn at_profile(object: &Object, error: &ProfileError) -> LineError {
    let key = match error {
        ProfileError::Fit { what, .. } => format!("/{}_mm", what.replace(' ', "_")),
        _ if object.get("profile_mm").is_some() => match error {
            ProfileError::Corner { corner, .. } => format!("/profile_mm/{corner}"),
            _ => "/profile_mm".into(),
        },
        _ => String::new(),
    };
    LineError::new(error.to_string(), format!("{}{key}", object.path), error.hint())
}
