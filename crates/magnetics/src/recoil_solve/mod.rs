//! Finite recoil permeability, exactly: the charge that a body's own field and that of others induce on its surface.
//!
//! A homogeneous body with a straight recoil line, `J = J0 + (μ_rec - 1) μ0 H`, has no charge inside but that of `J0`; what is induced
//! lies on its surface, with a density `(μ_rec - 1) μ0 H·n` of the field just within. That is an integral equation of the second
//! kind. It is solved on panels that are halved until the field of the rigid bodies is a polynomial over each, towards edges and
//! towards other bodies: rings where all bodies stand on one axis, curved rectangles otherwise. The charge of `J0` keeps its
//! closed form, so errors of the panels enter times `μ_rec - 1`.

mod panel;
mod quarter;
mod solve;
mod surface;

use thiserror::Error;

use crate::overlap::overlapping;
use crate::placed::Placed;
use crate::shape::Shape;
use crate::solid::{Polarisation, Solid};
use numerics::stop::Stop;
use numerics::vector::{Vector, add, cross, length, scale, sub};

use panel::{Cell, Ring};
use quarter::Quarter;
use solve::Layer;

/// Axes and centres that differ by less than this, in radians and by the size of the body, are one.
const COAXIAL: f64 = 1e-9;

/// Why the charge that bodies induce cannot be found.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum SettleError {
    /// Two bodies share space.
    #[error("bodies {first} and {second} overlap; with a recoil permeability above 1 bodies may only touch")]
    Overlap {
        /// Index of one.
        first: usize,
        /// Index of the other.
        second: usize,
    },
    /// More panels than are handled.
    #[error("the surfaces of the {bodies} bodies need more panels than are handled")]
    Size {
        /// How many bodies have a recoil permeability above 1.
        bodies: usize,
    },
    /// The iteration does not end.
    #[error("the induced charge does not settle")]
    Unsettled,
    /// The caller asked the work to end.
    #[error("stopped on request")]
    Stopped,
}

impl SettleError {
    /// What to do about it, for a person.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Overlap { .. } => "move the bodies apart; they may touch",
            Self::Size { .. } => "give fewer bodies, or leave the recoil permeability of those far away at 1",
            Self::Stopped => "give fewer bodies",
            Self::Unsettled => "give a recoil permeability nearer to 1",
        }
    }
}

/// Bodies that have come to rest in one another's fields.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Settled {
    /// With the polarisation whose charge no field changes.
    rigid: Vec<Placed>,
    induced: Induced,
}

impl Settled {
    /// `None` where all bodies are rigid.
    pub(crate) fn new(bodies: &[Placed], stop: &Stop) -> Result<Option<Self>, SettleError> {
        if bodies.iter().all(|body| body.susceptibility() == 0.0) {
            return Ok(None);
        }
        if let Some(&(first, second)) = overlapping(bodies).first() {
            return Err(SettleError::Overlap { first, second });
        }
        let rigid: Vec<Placed> = bodies.iter().map(Placed::rigid_part).collect();
        let induced = Induced::new(&rigid, stop)?;
        Ok(Some(Self { rigid, induced }))
    }

    /// The bodies with the polarisation whose charge no field changes.
    pub(crate) fn rigid(&self) -> &[Placed] {
        &self.rigid
    }

    /// `μ0 H` of all induced charge, T.
    pub(crate) fn field(&self, point: Vector) -> Vector {
        (0..self.rigid.len()).fold([0.0; 3], |sum, body| add(sum, self.of_body(body, point)))
    }

    /// `μ0 H` of the charge induced on one body, T.
    pub(crate) fn of_body(&self, body: usize, point: Vector) -> Vector {
        self.induced.field(&self.rigid, body, point)
    }

    /// The charges induced on one body: places in space, ways outwards, T m².
    pub(crate) fn charges(&self, body: usize) -> Vec<(Vector, Vector, f64)> {
        self.induced.charges(&self.rigid, body)
    }

    /// `B` and `μ0 H` from those of the rigid bodies, T.
    pub(crate) fn with(&self, point: Vector, (b, h): (Vector, Vector)) -> (Vector, Vector) {
        let induced = self.field(point);
        let (mut b, h) = (add(b, induced), add(h, induced));
        for body in self
            .rigid
            .iter()
            .filter(|body| body.susceptibility() > 0.0 && body.contains(point))
        {
            // The rigid part of a radial polarisation is J0 / μ_rec; the rest is here.
            let more = add(h, body.radial_at(point));
            b = add(b, scale(more, body.susceptibility()));
        }
        (b, h)
    }
}

/// The charge induced on every body of a scene, by its index.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Induced {
    /// Bodies on one axis.
    Rings(Vec<Option<Layer<Ring>>>),
    /// Upright blocks on one axis.
    Quarters(Vec<Option<Layer<Quarter>>>),
    /// Any others.
    Cells(Vec<Option<Layer<Cell>>>),
}

impl Induced {
    /// The charge that bodies, of which none overlap, induce on one another and themselves.
    ///
    /// `bodies` carry the polarisation that keeps its closed form: [`rigid_part`].
    pub(crate) fn new(bodies: &[Placed], stop: &Stop) -> Result<Self, SettleError> {
        if coaxial(bodies) {
            let make = |body: &Placed| {
                let outline = surface::outline(body.solid()).unwrap_or_default();
                outline.into_iter().map(Ring::new).collect()
            };
            Ok(Self::Rings(solve::layers(bodies, make, stop)?))
        } else if quarter::upright(bodies) {
            Ok(Self::Quarters(solve::layers(bodies, Quarter::of, stop)?))
        } else {
            let make = |body: &Placed| surface::facets(body.solid()).into_iter().map(Cell::new).collect();
            Ok(Self::Cells(solve::layers(bodies, make, stop)?))
        }
    }

    /// `μ0 H` of the charge induced on one of the bodies, T.
    pub(crate) fn field(&self, bodies: &[Placed], body: usize, point: Vector) -> Vector {
        match self {
            Self::Rings(layers) => of(layers, bodies, body).map(|(layer, placed)| layer.field(placed, point)),
            Self::Quarters(layers) => of(layers, bodies, body).map(|(layer, placed)| layer.field(placed, point)),
            Self::Cells(layers) => of(layers, bodies, body).map(|(layer, placed)| layer.field(placed, point)),
        }
        .unwrap_or_default()
    }

    /// The charges induced on one of the bodies: places in space, ways outwards, T m².
    pub(crate) fn charges(&self, bodies: &[Placed], body: usize) -> Vec<(Vector, Vector, f64)> {
        match self {
            Self::Rings(layers) => of(layers, bodies, body).map(|(layer, placed)| layer.charges(placed)),
            Self::Quarters(layers) => of(layers, bodies, body).map(|(layer, placed)| layer.charges(placed)),
            Self::Cells(layers) => of(layers, bodies, body).map(|(layer, placed)| layer.charges(placed)),
        }
        .unwrap_or_default()
    }
}

/// A body that carries induced charge, with it.
fn of<'a, P>(layers: &'a [Option<Layer<P>>], bodies: &'a [Placed], body: usize) -> Option<(&'a Layer<P>, &'a Placed)> {
    Some((layers.get(body)?.as_ref()?, bodies.get(body)?))
}

/// Whether all bodies are turned ones about one axis and polarised along it.
fn coaxial(bodies: &[Placed]) -> bool {
    let turned = |body: &Placed| {
        let round = !matches!(body.solid(), Solid::Plain(Shape::Block { .. }) | Solid::Arc(_));
        round && matches!(body.polarisation(), Polarisation::Along([x, y, _]) if x == 0.0 && y == 0.0)
    };
    let Some(first) = bodies.first() else {
        return true;
    };
    let axis = first.turn().out([0.0, 0.0, 1.0]);
    bodies.iter().all(|body| {
        let (apart, size) = (sub(body.centre(), first.centre()), body.bounding_ball().1);
        let off = length(cross(axis, apart));
        turned(body) && length(cross(axis, body.turn().out([0.0, 0.0, 1.0]))) <= COAXIAL && off <= COAXIAL * size
    })
}
