//! Bodies of any shape, placed anywhere, turned any way and magnetised along any direction.

use std::sync::OnceLock;

use crate::arc::ArcPolarisation;
use crate::body::{self, within_reach};
use crate::far;
use crate::kind::{Kind, dipoles, prepared};
use crate::patch::Patch;
use crate::shape::Shape;
use crate::solid::{LARGEST_PERMEABILITY, LARGEST_TURN, PlacedError, Polarisation, Solid};
use materials::MU_0;
use numerics::vector::{Turn, Vector, add, length, scale, sub};

/// Bodies without multipoles go over to point dipoles at this many bounding radii.
const GRID_REACH: f64 = 8.0;

/// One magnet, anywhere and turned any way. Cheap to ask for its field; all values are checked when it is made.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    solid: Solid,
    polarisation: Polarisation,
    centre: Vector,
    turn: Turn,
    /// Recoil permeability; 1 is rigid.
    permeability: f64,
    /// What the field needs, prepared.
    kind: Kind,
    /// Centre of the bounding ball in the body's frame, and its radius, m.
    ball: (Vector, f64),
    /// Point dipoles for far away, where they serve: places and moments, T m³; made when first asked for.
    grid: OnceLock<Vec<(Vector, Vector)>>,
}

impl Placed {
    /// A body of that form and polarisation (in its own frame, turning with it), its origin at `centre` metres,
    /// turned by the rotation vector `rotation`: axis times angle in radians.
    ///
    /// # Errors
    /// [`PlacedError`] for the first thing that is out of range.
    pub fn new(
        solid: Solid,
        polarisation: Polarisation,
        centre: [f64; 3],
        rotation: [f64; 3],
    ) -> Result<Self, PlacedError> {
        match &solid {
            Solid::Plain(shape) => shape.validate()?,
            Solid::Arc(arc) => arc.validate()?,
            Solid::Turned(_) => {}
        }
        match polarisation {
            Polarisation::Along(j) => j.iter().try_for_each(|&j| body::check_polarisation(j))?,
            Polarisation::Radial(j) => body::check_polarisation(j)?,
        }
        if !within_reach(centre) {
            return Err(PlacedError::Centre { centre });
        }
        if length(rotation) <= LARGEST_TURN {
            Self::assembled(solid, polarisation, centre, Turn::about(rotation))
        } else {
            Err(PlacedError::Rotation { rotation })
        }
    }

    fn assembled(solid: Solid, polarisation: Polarisation, centre: Vector, turn: Turn) -> Result<Self, PlacedError> {
        let kind = prepared(&solid, polarisation)?;
        let ball = match &solid {
            Solid::Plain(Shape::Block {
                length,
                width,
                thickness,
            }) => ([0.0; 3], 0.5 * length.hypot(*width).hypot(*thickness)),
            Solid::Plain(Shape::Sphere { diameter }) => ([0.0; 3], 0.5 * diameter),
            Solid::Plain(shape) => ([0.0; 3], 0.5 * shape.widest().hypot(shape.height())),
            Solid::Turned(_) => match &kind {
                Kind::Turned { body, .. } => ([0.0, 0.0, body.middle()], body.reach()),
                _ => ([0.0; 3], 0.0),
            },
            Solid::Arc(arc) => arc.ball(),
        };
        Ok(Self {
            solid,
            polarisation,
            centre,
            turn,
            permeability: 1.0,
            kind,
            ball,
            grid: OnceLock::new(),
        })
    }

    /// The same body with a straight recoil line of that relative permeability: `J = J0 + (μ_rec - 1) μ0 H`, where `J0` is the
    /// polarisation given, that in no field. It then feels its own field and that of others in [`crate::load()`] and in a scene that
    /// is [settled](crate::Scene::settled).
    ///
    /// # Errors
    /// [`PlacedError::Permeability`] below 1 or above [`LARGEST_PERMEABILITY`].
    pub fn with_recoil_permeability(self, permeability: f64) -> Result<Self, PlacedError> {
        if (1.0..=LARGEST_PERMEABILITY).contains(&permeability) {
            Ok(Self { permeability, ..self })
        } else {
            Err(PlacedError::Permeability { permeability })
        }
    }

    /// Recoil permeability; 1 is rigid.
    #[must_use]
    pub fn recoil_permeability(&self) -> f64 {
        self.permeability
    }

    /// Recoil permeability less 1.
    pub(crate) fn susceptibility(&self) -> f64 {
        self.permeability - 1.0
    }

    /// The body with the polarisation whose charge no field changes. Away from a curved inside, a radial polarisation spreads,
    /// and its charge within draws the body's own against it: what is left of it is `J0 / μ_rec`.
    pub(crate) fn rigid_part(&self) -> Self {
        let mut part = self.clone();
        if let (Polarisation::Radial(j), Kind::Arc { arc, .. }) = (self.polarisation, &self.kind) {
            let left = j / self.permeability;
            part.polarisation = Polarisation::Radial(left);
            part.kind = Kind::Arc {
                arc: *arc,
                along: ArcPolarisation::Radial(left),
            };
            part.grid = OnceLock::new();
        }
        part
    }

    /// The form of the body.
    #[must_use]
    pub fn solid(&self) -> &Solid {
        &self.solid
    }

    /// Its polarisation in its own frame.
    #[must_use]
    pub fn polarisation(&self) -> Polarisation {
        self.polarisation
    }

    /// Its origin, m.
    #[must_use]
    pub fn centre(&self) -> [f64; 3] {
        self.centre
    }

    /// Volume, m³.
    #[must_use]
    pub fn volume(&self) -> f64 {
        match &self.solid {
            Solid::Plain(shape) => shape.volume(),
            Solid::Turned(profile) => profile.volume(),
            Solid::Arc(arc) => arc.volume(),
        }
    }

    /// Magnetic dipole moment, A m².
    #[must_use]
    pub fn moment(&self) -> [f64; 3] {
        let local = match (self.polarisation, &self.solid) {
            (Polarisation::Along(j), _) => scale(j, self.volume() / MU_0),
            (Polarisation::Radial(j), Solid::Arc(arc)) => {
                let mean = (0.5 * arc.angle).sin() / (0.5 * arc.angle);
                [j * mean * arc.volume() / MU_0, 0.0, 0.0]
            }
            (Polarisation::Radial(_), _) => [0.0; 3],
        };
        self.turn.out(local)
    }

    /// Centre of a ball that holds the body and its radius, m.
    #[must_use]
    pub fn bounding_ball(&self) -> ([f64; 3], f64) {
        (self.to_space(self.ball.0), self.ball.1)
    }

    /// Whether a point lies strictly inside; a point on the surface does not.
    #[must_use]
    pub fn contains(&self, point: [f64; 3]) -> bool {
        self.kind.contains(self.to_body(point))
    }

    pub(crate) fn to_body(&self, point: Vector) -> Vector {
        self.turn.back(sub(point, self.centre))
    }

    pub(crate) fn to_space(&self, point: Vector) -> Vector {
        add(self.turn.out(point), self.centre)
    }

    pub(crate) fn turn(&self) -> &Turn {
        &self.turn
    }

    /// The same body moved by so much, m.
    ///
    /// # Errors
    /// [`PlacedError::Centre`] where it would come to stand out of range.
    pub fn moved(&self, by: [f64; 3]) -> Result<Self, PlacedError> {
        let centre = add(self.centre, by);
        if !within_reach(centre) {
            return Err(PlacedError::Centre { centre });
        }
        Ok(self.shifted(by))
    }

    /// As [`Self::moved`], however far: where the field of others is nothing any more, it stays nothing.
    pub(crate) fn shifted(&self, by: Vector) -> Self {
        Self {
            centre: add(self.centre, by),
            ..self.clone()
        }
    }

    /// The same body turned over about the origin of space, so that up is down.
    pub(crate) fn upside_down(&self) -> Self {
        let [x, y, z] = self.centre;
        Self {
            centre: [x, -y, -z],
            turn: self.turn.upside_down(),
            ..self.clone()
        }
    }

    /// The same body turned about the origin of space.
    pub(crate) fn checked_turn(&self, rotation: Vector) -> Result<Self, PlacedError> {
        let size = length(rotation);
        if size.is_nan() || size > LARGEST_TURN {
            return Err(PlacedError::Rotation { rotation });
        }
        let by = Turn::about(rotation);
        Ok(Self {
            centre: by.out(self.centre),
            turn: self.turn.then(&by),
            ..self.clone()
        })
    }

    /// The same body with another polarisation, in its own frame.
    ///
    /// # Errors
    /// [`PlacedError`] for one that is out of range or that its form cannot have.
    pub fn with_polarisation(&self, polarisation: Polarisation) -> Result<Self, PlacedError> {
        match polarisation {
            Polarisation::Along(j) => j.iter().try_for_each(|&j| body::check_polarisation(j))?,
            Polarisation::Radial(j) => body::check_polarisation(j)?,
        }
        let made = Self::assembled(self.solid.clone(), polarisation, self.centre, self.turn)?;
        Ok(Self {
            polarisation: made.polarisation,
            kind: made.kind,
            ball: made.ball,
            grid: OnceLock::new(),
            ..self.clone()
        })
    }

    /// The mirror image in an ideal plate whose face is at `z = plate`: its charge is opposite, so polarisation along `z` stays.
    pub(crate) fn mirrored(&self, plate: f64) -> Result<Self, PlacedError> {
        let solid = match &self.solid {
            Solid::Turned(profile) => Solid::Turned(profile.mirrored()),
            other => other.clone(),
        };
        let polarisation = match self.polarisation {
            Polarisation::Along([x, y, z]) => Polarisation::Along([-x, -y, z]),
            Polarisation::Radial(j) => Polarisation::Radial(-j),
        };
        let [x, y, z] = self.centre;
        let image = Self::assembled(solid, polarisation, [x, y, 2.0 * plate - z], self.turn.mirrored())?;
        Ok(Self {
            permeability: self.permeability,
            ..image
        })
    }

    /// Height of the lowest point, m.
    #[must_use]
    pub fn bottom(&self) -> f64 {
        let up = self.turn.upwards();
        let across = up[0].hypot(up[1]);
        let turned = |outline: &mut dyn Iterator<Item = [f64; 2]>| {
            outline
                .map(|[r, z]| z * up[2] - r * across)
                .fold(f64::INFINITY, f64::min)
        };
        let below = match &self.kind {
            &Kind::Cylinder { outer, half, .. } => turned(&mut [[outer, -half], [outer, half]].into_iter()),
            Kind::Block { half, .. } => -(0..3).map(|i| half[i] * up[i].abs()).sum::<f64>(),
            Kind::Sphere { radius, .. } => -radius,
            Kind::Turned { body, .. } => turned(&mut body.profile().corners().iter().copied()),
            Kind::Arc { arc, .. } => arc.lowest(up),
        };
        self.centre[2] + below
    }

    /// The polarisation of a radially polarised body at a point in space within it, T.
    pub(crate) fn radial_at(&self, point: Vector) -> Vector {
        let Polarisation::Radial(j) = self.polarisation else {
            return [0.0; 3];
        };
        let [x, y, _] = self.to_body(point);
        self.turn.out(scale([x, y, 0.0], j / x.hypot(y)))
    }

    /// Whether the charge is not on the surface alone.
    pub(crate) fn is_charged_within(&self) -> bool {
        matches!(self.polarisation, Polarisation::Radial(_))
    }

    /// The charged pieces of the body, in its frame; a volume that is charged as `panels` groups of sections.
    pub(crate) fn patches(&self, panels: u8) -> Vec<Patch> {
        self.kind.patches(panels)
    }

    /// Centre in the body's frame and radius of the bounding ball.
    pub(crate) fn ball(&self) -> (Vector, f64) {
        self.ball
    }

    /// Distance from the middle from which point dipoles stand for the body, m.
    pub(crate) fn far_from(&self) -> f64 {
        GRID_REACH * self.ball.1
    }

    /// Point dipoles that stand for the body far away: places in its frame and moments, T m³.
    pub(crate) fn dipoles(&self) -> &[(Vector, Vector)] {
        self.grid.get_or_init(|| dipoles(&self.kind))
    }

    pub(crate) fn kind(&self) -> &Kind {
        &self.kind
    }

    /// `B` and `μ0 H` of this body alone, T; `None` on an edge, where they diverge.
    pub(crate) fn fields(&self, point: Vector) -> Option<(Vector, Vector)> {
        let p = self.to_body(point);
        let (b, h) = self.local_fields(p)?;
        Some((self.turn.out(b), self.turn.out(h)))
    }

    fn local_fields(&self, p: Vector) -> Option<(Vector, Vector)> {
        if self.kind.wants_dipoles() && length(sub(p, self.ball.0)) > self.far_from() {
            let b = self.dipoles().iter().fold([0.0; 3], |sum, &(place, moment)| {
                add(sum, far::any_dipole(moment, sub(p, place)))
            });
            return Some((b, b));
        }
        self.kind.fields(p)
    }
}
