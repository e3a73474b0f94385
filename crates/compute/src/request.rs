//! What a line wants, and the answer to it.

use serde::Serialize;
use serde_json::{Map, Value, json};

use crate::read::{LineError, Object, Place, metres};
use crate::{arrange, body, turned};
use magnetics::assembly::FieldError;
use magnetics::fluxmetric;
use magnetics::load::{Load, LoadError, load, plate_pull};
use magnetics::overlap::overlapping;
use magnetics::scene::{Element, Scene};
use magnetics::solid::Solid;
use magnetics::work::{WorkError, load_curve, work_to_separate};

const WANTS: &str = "B, H, gradient, mean_B, force, force_curve, work, plate_pull, demagnetising_factor, turned_solve";

/// The answer without its id.
pub(crate) fn answered(value: &Value) -> Result<Map<String, Value>, LineError> {
    let line = Place::line(value).object()?;
    match line.word("want")? {
        "B" => match side(&line)? {
            None => fields(&line, "B_T", &[], Scene::flux_densities),
            Some(side) => fields(&line, "B_T", &["side"], |scene, points| {
                scene.at_all(points, |scene, point| {
                    Ok::<_, FieldError>(scene.limits(point, side)?.flux_density)
                })
            }),
        },
        "H" => match side(&line)? {
            None => fields(&line, "H_A_per_m", &[], |scene, points| {
                scene.at_all(points, Scene::field_strength)
            }),
            Some(side) => fields(&line, "H_A_per_m", &["side"], |scene, points| {
                scene.at_all(points, |scene, point| {
                    Ok::<_, FieldError>(scene.limits(point, side)?.field_strength)
                })
            }),
        },
        "gradient" => fields(&line, "gradient_T_per_m", &[], |scene, points| {
            scene.at_all(points, Scene::gradient)
        }),
        "mean_B" => {
            let element = element(&line)?;
            fields(&line, "B_T", &["element"], |scene, points| {
                scene.at_all(points, |scene, point| scene.mean_flux_density(point, element))
            })
        }
        "force" => force(&line),
        "force_curve" => curve(&line),
        "work" => work(&line),
        "plate_pull" => pull(&line),
        "demagnetising_factor" => factor(&line),
        "turned_solve" => turned::solved(&line),
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
    name: &str,
    more: &[&str],
    field: impl FnOnce(&Scene, &[[f64; 3]]) -> Result<Vec<T>, (usize, E)>,
) -> Result<Map<String, Value>, LineError> {
    let keys: Vec<&str> = ["id", "want", "bodies", "points_mm"]
        .iter()
        .chain(more)
        .copied()
        .collect();
    line.only(&keys)?;
    let scene = Scene::new(arrange::all(&line.need("bodies")?)?)
        .settled()
        .map_err(|error| LineError::new(error.to_string(), "/bodies", error.hint()))?;
    let place = line.need("points_mm")?;
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

fn force(line: &Object) -> Result<Map<String, Value>, LineError> {
    line.only(&["id", "want", "on", "from"])?;
    let on = body::placed(&line.need("on")?)?;
    let from = arrange::all(&line.need("from")?)?;
    let load = load(&on, &from).map_err(|error| at_load(&error))?;
    let mut answer = Map::new();
    answer.insert("force_N".into(), json!(load.force));
    answer.insert("torque_Nm".into(), json!(load.torque));
    answer.insert("error_N".into(), json!(load.error));
    Ok(answer)
}

/// The same with the body moved by each distance.
fn curve(line: &Object) -> Result<Map<String, Value>, LineError> {
    line.only(&["id", "want", "on", "from", "direction", "distances_mm"])?;
    let on = body::placed(&line.need("on")?)?;
    let from = arrange::all(&line.need("from")?)?;
    let place = line.need("distances_mm")?;
    let distances: Vec<f64> = place
        .list()?
        .iter()
        .enumerate()
        .map(|(i, distance)| place.item(distance, i).number().map(metres))
        .collect::<Result<_, _>>()?;
    let loads = load_curve(&on, &from, line.need("direction")?.numbers()?, &distances).map_err(|e| at_work(&e))?;
    let every = |value: fn(&Load) -> Value| -> Value { loads.iter().map(value).collect() };
    let mut answer = Map::new();
    answer.insert("force_N".into(), every(|load| json!(load.force)));
    answer.insert("torque_Nm".into(), every(|load| json!(load.torque)));
    answer.insert("error_N".into(), every(|load| json!(load.error)));
    Ok(answer)
}

fn work(line: &Object) -> Result<Map<String, Value>, LineError> {
    line.only(&["id", "want", "on", "from", "direction"])?;
    let on = body::placed(&line.need("on")?)?;
    let from = arrange::all(&line.need("from")?)?;
    let work = work_to_separate(&on, &from, line.need("direction")?.numbers()?).map_err(|e| at_work(&e))?;
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

fn pull(line: &Object) -> Result<Map<String, Value>, LineError> {
    line.only(&["id", "want", "bodies", "gap_mm"])?;
    let bodies = arrange::all(&line.need("bodies")?)?;
    let (force, error) = plate_pull(&bodies, line.metres("gap_mm")?).map_err(|error| {
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
