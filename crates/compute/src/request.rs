//! What a line wants, and the answer to it.

use serde::Serialize;
use serde_json::{Map, Value, json};

use crate::budget::{self, AtPoint, Budget};
use crate::read::{LineError, Object, Place, metres};
use crate::{arrange, body, turned};
use magnetics::assembly::FieldError;
use magnetics::fluxmetric;
use magnetics::load::{Load, LoadError, load_until, plate_pull_until};
use magnetics::overlap::overlapping;
use magnetics::placed::Placed;
use magnetics::scene::{Element, Scene};
use magnetics::solid::Solid;
use magnetics::work::{WorkError, load_curve, work_to_separate};

/// Loads that the work to take a body away is summed of.
const LOADS_OF_WORK: usize = 60;

const WANTS: &str = "B, H, gradient, mean_B, force, force_curve, work, plate_pull, demagnetising_factor, turned_solve";

/// The answer without its id.
pub(crate) fn answered(value: &Value, budget: &Budget) -> Result<Map<String, Value>, LineError> {
    let line = Place::line(value).object()?;
    match line.word("want")? {
        "B" => match side(&line)? {
            None => fields(&line, budget, "B_T", AtPoint::Once, Scene::flux_densities),
            Some(side) => fields(&line, budget, "B_T", AtPoint::Limit, |scene, points| {
                scene.at_all(points, |scene, point| {
                    Ok::<_, FieldError>(scene.limits(point, side)?.flux_density)
                })
            }),
        },
        "H" => match side(&line)? {
            None => fields(&line, budget, "H_A_per_m", AtPoint::Once, |scene, points| {
                scene.at_all(points, Scene::field_strength)
            }),
            Some(side) => fields(&line, budget, "H_A_per_m", AtPoint::Limit, |scene, points| {
                scene.at_all(points, |scene, point| {
                    Ok::<_, FieldError>(scene.limits(point, side)?.field_strength)
                })
            }),
        },
        "gradient" => fields(&line, budget, "gradient_T_per_m", AtPoint::Slopes, |scene, points| {
            scene.at_all(points, Scene::gradient)
        }),
        "mean_B" => {
            let element = element(&line)?;
            fields(&line, budget, "B_T", AtPoint::Mean, |scene, points| {
                scene.at_all(points, |scene, point| scene.mean_flux_density(point, element))
            })
        }
        "force" => force(&line, budget),
        "force_curve" => curve(&line, budget),
        "work" => work(&line, budget),
        "plate_pull" => pull(&line, budget),
        "demagnetising_factor" => factor(&line),
        "turned_solve" => turned::solved(&line, budget),
        want => Err(LineError::new(
            format!("want must be one of {WANTS}, got {want:?}"),
            "/want",
            format!("give one of {WANTS}"),
        )),
    }
}

/// A vector at each point.
fn fields<T: Serialize, E: Pointed>(
    line: &Object,
    budget: &Budget,
    name: &str,
    at: AtPoint,
    field: impl FnOnce(&Scene, &[[f64; 3]]) -> Result<Vec<T>, (usize, E)>,
) -> Result<Map<String, Value>, LineError> {
    let more: &[&str] = match at {
        AtPoint::Once | AtPoint::Slopes => &[],
        AtPoint::Limit => &["side"],
        AtPoint::Mean => &["element"],
    };
    line.only(&[&["id", "want", "bodies", "points_mm"], more].concat())?;
    let bodies = arrange::all(&line.need("bodies")?, budget.bodies)?;
    let place = line.need("points_mm")?;
    let count = place.list()?.len();
    budget.counted(count, &place.path)?;
    let of = format!("the field of {} bodies at {count} points", bodies.len());
    budget.afford(budget::of_fields(&bodies, count, at), &of, &place.path)?;
    let scene = Scene::new(bodies)
        .until(&budget.stop)
        .settled()
        .map_err(|error| LineError::new(error.to_string(), "/bodies", error.hint()))?;
    let points: Result<Vec<[f64; 3]>, LineError> = place
        .list()?
        .iter()
        .enumerate()
        .map(|(i, point)| {
            let item = Place {
                value: point,
                path: String::new(),
            };
            match item.numbers() {
                Ok(point) => Ok(point.map(metres)),
                // The place is only made where something is wrong: lists of points are long.
                Err(_) => place.item(point, i).numbers(),
            }
        })
        .collect();
    let vectors = field(&scene, &points?).map_err(|(index, error)| error.at(&format!("{}/{index}", place.path)))?;
    let mut answer = Map::new();
    answer.insert(name.into(), json!(vectors));
    warn(&mut answer, &scene);
    Ok(answer)
}

fn element(line: &Object) -> Result<Element, LineError> {
    let object = line.need("element")?.object()?;
    match object.word("shape")? {
        "disc" => {
            object.only(&["shape", "diameter_mm"])?;
            Ok(Element::Disc {
                diameter: object.metres("diameter_mm")?,
            })
        }
        "square" => {
            object.only(&["shape", "side_mm"])?;
            Ok(Element::Square {
                side: object.metres("side_mm")?,
            })
        }
        other => Err(LineError::new(
            format!("an element is a disc or a square, got {other:?}"),
            format!("{}/shape", object.path),
            "give disc or square",
        )),
    }
}

/// The side from which points are approached, where one is given.
fn side(line: &Object) -> Result<Option<[f64; 3]>, LineError> {
    let Some(place) = line.get("side") else {
        return Ok(None);
    };
    let side = place.numbers()?;
    if side == [0.0; 3] {
        let error = FieldError::Side { side };
        return Err(LineError::new(error.to_string(), place.path, error.hint()));
    }
    Ok(Some(side))
}

fn force(line: &Object, budget: &Budget) -> Result<Map<String, Value>, LineError> {
    line.only(&["id", "want", "on", "from"])?;
    let on = body::placed(&line.need("on")?)?;
    let from = sources(line, &on, 1, budget)?;
    let load = load_until(&on, &from, &budget.stop).map_err(|error| at_load(&error))?;
    let mut answer = Map::new();
    answer.insert("force_N".into(), json!(load.force));
    answer.insert("torque_Nm".into(), json!(load.torque));
    answer.insert("error_N".into(), json!(load.error));
    Ok(answer)
}

/// The bodies whose load on another is wanted so many times.
fn sources(line: &Object, on: &Placed, times: usize, budget: &Budget) -> Result<Vec<Placed>, LineError> {
    let place = line.need("from")?;
    let from = arrange::all(&place, budget.bodies)?;
    let of = format!("{times} loads from {} bodies", from.len());
    budget.afford(
        budget::of_loads(std::slice::from_ref(on), &from, times),
        &of,
        &place.path,
    )?;
    Ok(from)
}

/// The same with the body moved by each distance.
fn curve(line: &Object, budget: &Budget) -> Result<Map<String, Value>, LineError> {
    line.only(&["id", "want", "on", "from", "direction", "distances_mm"])?;
    let on = body::placed(&line.need("on")?)?;
    let place = line.need("distances_mm")?;
    let count = place.list()?.len();
    budget.counted(count, &place.path)?;
    let from = sources(line, &on, count, budget)?;
    let distances: Vec<f64> = place
        .list()?
        .iter()
        .enumerate()
        .map(|(i, distance)| place.item(distance, i).number().map(metres))
        .collect::<Result<_, _>>()?;
    let direction = line.need("direction")?.numbers()?;
    let loads = load_curve(&on, &from, direction, &distances, &budget.stop).map_err(|e| at_work(&e))?;
    let every = |value: fn(&Load) -> Value| -> Value { loads.iter().map(value).collect() };
    let mut answer = Map::new();
    answer.insert("force_N".into(), every(|load| json!(load.force)));
    answer.insert("torque_Nm".into(), every(|load| json!(load.torque)));
    answer.insert("error_N".into(), every(|load| json!(load.error)));
    Ok(answer)
}

fn work(line: &Object, budget: &Budget) -> Result<Map<String, Value>, LineError> {
    line.only(&["id", "want", "on", "from", "direction"])?;
    let on = body::placed(&line.need("on")?)?;
    let from = sources(line, &on, LOADS_OF_WORK, budget)?;
    let direction = line.need("direction")?.numbers()?;
    let work = work_to_separate(&on, &from, direction, &budget.stop).map_err(|e| at_work(&e))?;
    let mut answer = Map::new();
    answer.insert("work_J".into(), json!(work));
    Ok(answer)
}

fn at_load(error: &LoadError) -> LineError {
    match error {
        LoadError::Overlap { other } => LineError::new(
            format!("the body overlaps body {other} of from"),
            format!("/from/{other}"),
            "move the bodies apart; they may touch",
        ),
        LoadError::Induced(error) => LineError::new(error.to_string(), "/from", error.hint()),
        other => LineError::new(other.to_string(), "/on", "move the bodies apart a little"),
    }
}

fn at_work(error: &WorkError) -> LineError {
    match error {
        WorkError::Load(error) => at_load(error),
        WorkError::Direction { .. } => LineError::new(error.to_string(), "/direction", "such as [0, 0, 1]"),
        WorkError::Distance { .. } => LineError::new(error.to_string(), "/distances_mm", "give millimetres"),
    }
}

fn pull(line: &Object, budget: &Budget) -> Result<Map<String, Value>, LineError> {
    line.only(&["id", "want", "bodies", "gap_mm"])?;
    let place = line.need("bodies")?;
    let bodies = arrange::all(&place, budget.bodies)?;
    let of = format!("the pull of {} bodies", bodies.len());
    budget.afford(budget::of_loads(&bodies, &bodies, 1), &of, &place.path)?;
    let gap = line.metres("gap_mm")?;
    let (force, error) = plate_pull_until(&bodies, gap, &budget.stop).map_err(|error| {
        let (field, hint) = match &error {
            LoadError::Induced(error) => ("/bodies", error.hint()),
            LoadError::Gap { .. } => ("/gap_mm", "0 is contact"),
            LoadError::Empty => ("/bodies", "add a body"),
            _ => ("/bodies", "move the bodies apart"),
        };
        LineError::new(error.to_string(), field, hint)
    })?;
    let mut answer = Map::new();
    answer.insert("force_N".into(), json!(force));
    answer.insert("error_N".into(), json!(error));
    warn(&mut answer, &Scene::new(bodies));
    Ok(answer)
}

fn factor(line: &Object) -> Result<Map<String, Value>, LineError> {
    line.only(&["id", "want", "body"])?;
    let object = line.need("body")?.object()?;
    if let Some(place) = object.get("recoil_permeability") {
        return Err(LineError::new(
            "a demagnetising factor is that of a uniform polarisation, whatever the permeability",
            place.path,
            "leave it out",
        ));
    }
    let factors = match body::solid(&object)? {
        Solid::Plain(shape) => fluxmetric::of_shape(&shape).ok(),
        Solid::Turned(profile) => fluxmetric::of_profile(&profile),
        Solid::Arc(arc) => fluxmetric::of_arc(&arc).ok(),
    };
    let factors = factors.ok_or_else(|| {
        LineError::new(
            "the factors cannot be summed",
            &object.path,
            "give a body that is not as thin",
        )
    })?;
    let mut answer = Map::new();
    answer.insert("magnetometric".into(), json!(factors.magnetometric));
    answer.insert("fluxmetric".into(), json!(factors.fluxmetric));
    Ok(answer)
}

/// An error that belongs to a point, or to a body.
trait Pointed {
    /// The error, where `point` is the place of the point.
    fn at(&self, point: &str) -> LineError;
}

impl Pointed for FieldError {
    fn at(&self, point: &str) -> LineError {
        let field = match self {
            Self::Permeable { body } => format!("/bodies/{body}/recoil_permeability"),
            _ => point.into(),
        };
        LineError::new(self.to_string(), field, self.hint())
    }
}

fn warn(answer: &mut Map<String, Value>, scene: &Scene) {
    let warnings = warnings(scene);
    if !warnings.is_empty() {
        answer.insert("warnings".into(), json!(warnings));
    }
}

/// What is to be minded with the bodies of a scene, in words: which of them overlap.
#[must_use]
pub fn warnings(scene: &Scene) -> Vec<String> {
    overlapping(scene.bodies())
        .into_iter()
        .map(|(a, b)| format!("bodies {a} and {b} overlap; their fields are added as if each were alone"))
        .collect()
}
