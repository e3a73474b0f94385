//! What one request may take: its work is foretold from its bodies and points, and refused where it is too much.

use magnetics::placed::Placed;
use magnetics::shape::Shape;
use magnetics::solid::Solid;
use numerics::stop::Stop;

use crate::read::LineError;

/// What one request may take, and what ends it.
#[derive(Clone, Debug)]
pub struct Budget {
    /// The most bodies, counted with those of arrangements.
    pub bodies: usize,
    /// The most points or distances.
    pub points: usize,
    /// The most processor time that is foretold, s.
    pub seconds: f64,
    /// Set by somebody else, it ends the work.
    pub stop: Stop,
}

impl Budget {
    /// For one who shares the machine with others: a second or so, and at most some ten.
    #[must_use]
    pub fn shared(stop: &Stop) -> Self {
        Self {
            bodies: 1_000,
            points: 20_000,
            seconds: 10.0,
            stop: stop.clone(),
        }
    }

    /// For scripts on one's own machine: all but what would fill the memory, or would not end within the day.
    #[must_use]
    pub fn own() -> Self {
        Self {
            bodies: 50_000,
            points: 2_000_000,
            seconds: 36_000.0,
            stop: Stop::new(),
        }
    }

    /// Refuses a list at `field` that is longer than may be.
    pub(crate) fn counted(&self, count: usize, field: &str) -> Result<(), LineError> {
        if count <= self.points {
            return Ok(());
        }
        Err(LineError::new(
            format!("there are {count} of them, at most {} are taken at a time", self.points),
            field,
            "spread them over several requests",
        ))
    }

    /// Refuses a picture whose field would take longer to find than may be; `points` are cells and steps of its lines.
    ///
    /// # Errors
    /// [`LineError`] that says how long it would take.
    pub fn picture(&self, bodies: &[Placed], points: usize) -> Result<(), LineError> {
        let of = format!("a picture of {} magnets", bodies.len());
        // A picture leaves the bodies magnetised as they are: nothing comes to rest before it.
        let seconds = points as f64 * bodies.iter().map(evaluation).sum::<f64>();
        self.afford(seconds, &of, "/bodies")
    }

    /// Refuses work that would take more than may be; `of` says what it is, `field` what there is too much of.
    pub(crate) fn afford(&self, seconds: f64, of: &str, field: &str) -> Result<(), LineError> {
        if seconds <= self.seconds {
            return Ok(());
        }
        Err(LineError::new(
            format!(
                "{of} would take about {seconds:.0} s of processor time, at most {:.0} s are given",
                self.seconds
            ),
            field,
            "ask for less at a time, or run `lodewright compute` on a machine of your own",
        ))
    }
}

/// What is done at a point, as a number of plain evaluations of the field.
#[derive(Clone, Copy, Debug)]
pub(crate) enum AtPoint {
    /// The field.
    Once,
    /// Its slopes.
    Slopes,
    /// Its limit from a side.
    Limit,
    /// Its mean over an element, by adaptive quadrature.
    Mean,
}

impl AtPoint {
    fn evaluations(self) -> f64 {
        match self {
            Self::Once => 1.0,
            Self::Slopes => 8.0,
            Self::Limit => 22.0,
            Self::Mean => 900.0,
        }
    }
}

/// Processor time of one evaluation of the field of a body, s: rough, measured on one machine, upper ends of what was seen.
fn evaluation(body: &Placed) -> f64 {
    match body.solid() {
        Solid::Plain(Shape::Sphere { .. }) => 3e-8,
        Solid::Plain(Shape::Block { .. }) => 3e-7,
        Solid::Plain(_) => 3e-7,
        Solid::Turned(profile) => 2e-5 * profile.corners().len() as f64,
        Solid::Arc(_) => 1e-4,
    }
}

/// Nodes that the surface of a body with a recoil permeability commonly needs, and the most that all have together.
const NODES: f64 = 700.0;
const MOST_NODES: f64 = 8_000.0;
/// Processor time of the field of one node, s.
const NODE: f64 = 3e-8;

fn nodes(bodies: &[Placed]) -> f64 {
    let permeable = bodies.iter().filter(|body| body.recoil_permeability() > 1.0).count();
    (NODES * permeable as f64).min(MOST_NODES)
}

/// One evaluation of the field of them all, s.
fn of_all(bodies: &[Placed]) -> f64 {
    bodies.iter().map(evaluation).sum::<f64>() + NODE * nodes(bodies)
}

/// Bringing bodies to rest in one another's fields, s.
fn settling(bodies: &[Placed]) -> f64 {
    let nodes = nodes(bodies);
    6.0 * nodes * of_all(bodies) + 4.0 * NODE * nodes * nodes
}

/// The field of bodies at points, s.
pub(crate) fn of_fields(bodies: &[Placed], points: usize, at: AtPoint) -> f64 {
    settling(bodies) + points as f64 * at.evaluations() * of_all(bodies)
}

/// Evaluations of a field that a load between two bodies without a closed form takes, about.
const LOAD: f64 = 20_000.0;

/// The load on bodies from others, `times` over, s.
pub(crate) fn of_loads(on: &[Placed], from: &[Placed], times: usize) -> f64 {
    let sum = |bodies: &[Placed]| bodies.iter().map(evaluation).sum::<f64>();
    let pairs = on.len() as f64 * sum(from) + from.len() as f64 * sum(on);
    let all: Vec<Placed> = on.iter().chain(from).cloned().collect();
    times as f64 * (0.5 * LOAD * pairs + settling(&all))
}
