//! `turned_solve`: a drawing in one line of JSON, its force and field in the answer.

use std::ops::ControlFlow;
use std::sync::Arc;

use materials::MU_0;
use materials::curve::{self, Curve, CurveNumber};
use materials::grade::USUAL_SQUARENESS;
use serde_json::{Map, Value, json};
use steel::drawing::{Drawing, DrawingError, Material, Part};
use steel::solve::{Options, SolveError, solve_watched};
use steel::{BhCurve, SteelTable};

use crate::budget::Budget;
use crate::read::{LineError, Object, Place, metres};

/// The most parts of a drawing, and the most corners of one.
const MOST_PARTS: usize = 40;
const MOST_CORNERS: usize = 200;
/// The most points of a curve of steel.
const MOST_OF_CURVE: usize = 1_000;

/// Key of a magnet's intrinsic coercivity.
const COERCIVITY: &str = "coercivity_A_per_m";

/// The answer to a line that wants it, without its id.
pub(crate) fn solved(line: &Object, budget: &Budget) -> Result<Map<String, Value>, LineError> {
    line.only(&["id", "want", "parts", "applied_T", "force_on", "points_mm"])?;
    let drawing = Drawing {
        parts: parts(&line.need("parts")?)?,
        applied: line.get("applied_T").map_or(Ok(0.0), |place| place.number())?,
    };
    let force_on = line.get("force_on").map(|_| line.word("force_on")).transpose()?;
    let points = line.get("points_mm").map(|place| points(&place)).transpose()?;
    if let Some(points) = &points {
        budget.counted(points.len(), "/points_mm")?;
    }
    if force_on.is_none() && points.is_none() {
        return Err(LineError::new(
            "neither force_on nor points_mm is given",
            "/force_on",
            "add force_on, points_mm or both",
        ));
    }
    let options = Options {
        force_on: force_on.map(str::to_owned),
        points: points.clone().unwrap_or_default(),
        ..Options::default()
    };
    let mut watch = |_| match budget.stop.is_set() {
        true => ControlFlow::Break(()),
        false => ControlFlow::Continue(()),
    };
    let solution = solve_watched(&drawing, &options, &mut watch).map_err(|error| refused(&error))?;
    let mut answer = Map::new();
    if let Some(name) = force_on {
        let force = solution.force_on(name).map_err(|error| refused(&error))?;
        answer.insert("force_N".into(), json!(force));
    }
    if let Some(points) = points {
        let fields: Vec<[f64; 2]> = points.iter().map(|&[r, z]| solution.flux_density(r, z)).collect();
        answer.insert("B_T".into(), json!(fields));
    }
    let past_knee: Map<String, Value> = drawing
        .parts
        .iter()
        .filter_map(|part| Some((part.name.clone(), json!(solution.past_knee(&part.name)?))))
        .collect();
    if !past_knee.is_empty() {
        answer.insert("past_knee".into(), Value::Object(past_knee));
    }
    answer.insert("error_estimate".into(), json!(solution.error_estimate()));
    answer.insert("iterations".into(), json!(solution.iterations()));
    answer.insert("unknowns".into(), json!(solution.unknowns()));
    Ok(answer)
}

/// The parts of a list, as a line gives them.
///
/// # Errors
/// [`LineError`] for the first that is not acceptable by itself.
pub fn parts(place: &Place) -> Result<Vec<Part>, LineError> {
    let steels = SteelTable::builtin().map_err(|e| LineError::new(e.to_string(), "", "build the program anew"))?;
    let list = place.list()?;
    if list.len() > MOST_PARTS {
        return Err(place.wrong(&format!("a list of at most {MOST_PARTS} parts")));
    }
    list.iter()
        .enumerate()
        .map(|(i, value)| part(&place.item(value, i), &steels))
        .collect()
}

fn part(place: &Place, steels: &SteelTable) -> Result<Part, LineError> {
    let object = place.object()?;
    object.only(&["name", "profile_mm", "magnet", "steel"])?;
    let material = match (object.get("magnet"), object.get("steel")) {
        (Some(_), Some(steel)) => {
            return Err(LineError::new(
                "a part is a magnet or of steel",
                steel.path,
                "leave one out",
            ));
        }
        (Some(place), None) => magnet(&place)?,
        (None, Some(place)) => Material::Steel(steel(&place, steels)?),
        (None, None) => Material::Air,
    };
    let profile = object.need("profile_mm")?;
    if profile.list()?.len() > MOST_CORNERS {
        return Err(profile.wrong(&format!("a list of at most {MOST_CORNERS} corners")));
    }
    Ok(Part::new(object.word("name")?, points(&profile)?, material))
}

/// A magnet by its remanence and recoil line, and where it has a coercivity by its whole curve.
fn magnet(place: &Place) -> Result<Material, LineError> {
    let magnet = place.object()?;
    magnet.only(&["polarisation_T", "recoil_permeability", COERCIVITY, "squareness"])?;
    let polarisation = magnet.number("polarisation_T")?;
    let or = |key: &str, usual: f64| magnet.get(key).map_or(Ok(usual), |place| place.number());
    let recoil_permeability = or("recoil_permeability", 1.0)?;
    let squareness = or("squareness", USUAL_SQUARENESS)?;
    if magnet.get(COERCIVITY).is_none() {
        return match magnet.get("squareness") {
            None => Ok(Material::Magnet {
                polarisation,
                recoil_permeability,
            }),
            Some(place) => Err(LineError::new(
                "a squareness without a coercivity says nothing",
                place.path,
                format!("add {COERCIVITY}, or leave the squareness out"),
            )),
        };
    }
    let coercivity = magnet.number(COERCIVITY)?;
    match Curve::with_knee(polarisation.abs(), coercivity, recoil_permeability, squareness) {
        Ok(curve) => Ok(Material::Kneed {
            curve,
            downwards: polarisation < 0.0,
        }),
        Err(error) => {
            let (key, hint) = match &error {
                curve::CurveError::Number { what, .. } => match what {
                    CurveNumber::Remanence => ("polarisation_T", "a usual magnet has 0.2 to 1.5 T"),
                    CurveNumber::Coercivity => (
                        COERCIVITY,
                        "a usual magnet has 150e3 to 3000e3 A/m; leave it out for a straight line",
                    ),
                    CurveNumber::RecoilPermeability => ("recoil_permeability", "a usual magnet has 1.02 to 1.2"),
                    CurveNumber::Squareness => ("squareness", "a usual magnet has 0.75 to 0.98"),
                },
                _ => ("", "give numbers of a usual magnet"),
            };
            Err(LineError::new(error.to_string(), format!("{}/{key}", place.path), hint))
        }
    }
}

/// A steel by name, or by its curve.
fn steel(place: &Place, steels: &SteelTable) -> Result<Arc<BhCurve>, LineError> {
    if let Some(name) = place.value.as_str() {
        return match steels.curve(name) {
            Some(named) => Ok(Arc::clone(&named.curve)),
            None => {
                let known: Vec<&str> = steels.curves().iter().map(|c| c.name.as_str()).collect();
                let known = known.join(", ");
                Err(LineError::new(
                    format!("no magnetisation curve is known for {name:?}"),
                    &place.path,
                    format!("give {known} or a curve {{\"B_T\": [...], \"H_A_per_m\": [...]}}"),
                ))
            }
        };
    }
    let object = match place.object() {
        Ok(object) => object,
        Err(_) => return Err(place.wrong("the name of a steel or its curve")),
    };
    object.only(&["B_T", "H_A_per_m", "end_slope"])?;
    let column = |key: &str| -> Result<Vec<f64>, LineError> {
        let place = object.need(key)?;
        let list = place.list()?;
        if list.len() > MOST_OF_CURVE {
            return Err(place.wrong(&format!("a list of at most {MOST_OF_CURVE} numbers")));
        }
        list.iter()
            .enumerate()
            .map(|(i, value)| place.item(value, i).number())
            .collect()
    };
    let end = match object.get("end_slope") {
        None => MU_0,
        // No dB/dH reaches 1 T per A/m, no relative permeability is below 1: the number tells which it is.
        Some(place) => match place.number()? {
            relative if relative >= 1.0 => relative * MU_0,
            slope => slope,
        },
    };
    let curve = BhCurve::new(&column("B_T")?, &column("H_A_per_m")?, end);
    curve
        .map(Arc::new)
        .map_err(|error| LineError::new(error.to_string(), &place.path, error.hint()))
}

fn points(place: &Place) -> Result<Vec<[f64; 2]>, LineError> {
    place
        .list()?
        .iter()
        .enumerate()
        .map(|(i, point)| Ok(place.item(point, i).numbers()?.map(metres)))
        .collect()
}

/// What is wrong with a drawing, at its place in the line.
pub fn refused(error: &SolveError) -> LineError {
    let field = match error {
        SolveError::Drawing(DrawingError::Applied(_)) => "/applied_T".into(),
        SolveError::Drawing(drawing) => {
            let part = drawing.part().map(|part| format!("/{part}")).unwrap_or_default();
            let key = match drawing {
                DrawingError::Corner { corner, .. } => format!("/profile_mm/{corner}"),
                DrawingError::Name { .. } => "/name".into(),
                DrawingError::Magnet { .. } => "/magnet".into(),
                DrawingError::Empty | DrawingError::Narrow { .. } => String::new(),
                _ => "/profile_mm".into(),
            };
            format!("/parts{part}{key}")
        }
        SolveError::NoPart(_) => "/force_on".into(),
        _ => String::new(),
    };
    LineError::new(error.to_string(), field, error.hint())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reply::answer_line;

    fn ask(line: &str) -> Value {
        serde_json::from_str(&answer_line(line).text).unwrap()
    }

    const MAGNET: &str = r#"{"name":"magnet","profile_mm":[[0,1],[10,1],[10,6],[0,6]],"magnet":{"polarisation_T":1.3,"recoil_permeability":1.05}}"#;

    fn with(plate: &str, rest: &str) -> Value {
        ask(&format!(
            r#"{{"id":7,"want":"turned_solve","parts":[{MAGNET},{plate}]{rest}}}"#
        ))
    }

    const PLATE: &str = r#"{"name":"plate","profile_mm":[[0,-2],[30,-2],[30,0],[0,0]],"steel":"team13"}"#;

    #[test]
    fn a_magnet_over_a_plate_pulls_it_up_and_sends_its_flux_through_the_gap() {
        let got = with(PLATE, r#","force_on":"plate","points_mm":[[0,0.5],[40,0]]"#);
        assert_eq!(got["id"], 7);
        let force = got["force_N"].as_f64().unwrap();
        assert!((37.9..38.3).contains(&force), "{got}");
        let b = &got["B_T"];
        assert!(
            b[0][1].as_f64().unwrap() > 0.3 && b[0][0].as_f64().unwrap().abs() <= 1e-6,
            "{got}"
        );
        assert!(got["error_estimate"].as_f64().unwrap() <= 2e-3);
        assert!(got["iterations"].as_u64().unwrap() > 2 && got["unknowns"].as_u64().unwrap() > 100);
    }

    #[test]
    fn a_curve_may_be_given_with_its_end_slope_either_way() {
        let force = |steel: &str| {
            let plate = PLATE.replace("\"team13\"", steel);
            with(&plate, r#","force_on":"plate""#)["force_N"].as_f64().unwrap()
        };
        let relative = force(r#"{"B_T":[1],"H_A_per_m":[7.957747],"end_slope":100000}"#);
        let slope = force(r#"{"B_T":[0,1],"H_A_per_m":[0,7.957747],"end_slope":0.12566371}"#);
        assert!((relative - slope).abs() <= 1e-6 * slope);
        assert!(relative > force("\"mild steel\"") && force("\"austenitic\"") < 0.02 * slope);
    }

    #[test]
    fn errors_point_to_the_part_that_is_wrong() {
        let error = |plate: &str, rest: &str| {
            let got = with(plate, rest);
            (
                got["error"]["field"].as_str().unwrap().to_owned(),
                got["error"]["message"].as_str().unwrap().to_owned(),
            )
        };
        let on = r#","force_on":"plate""#;
        for (from, to, field, says) in [
            ("[30,0],[0,0]", "[30,2],[0,2]", "/parts/1/profile_mm", "overlap"),
            ("[0,-2]", "[-1,-2]", "/parts/1/profile_mm/0", "negative radius"),
            (
                "[30,-2],[30,0]",
                "[30,0],[30,-2]",
                "/parts/1/profile_mm",
                "meets itself",
            ),
            (
                "[30,0],[0,0]",
                "[30,-2],[0,-2]",
                "/parts/1/profile_mm",
                "different corners",
            ),
            (
                "\"name\":\"plate\"",
                "\"name\":\"magnet\"",
                "/parts/1/name",
                "two parts",
            ),
            ("\"team13\"", "\"cheese\"", "/parts/1/steel", "no magnetisation curve"),
            (
                "\"team13\"",
                "{\"B_T\":[1,0.5],\"H_A_per_m\":[1,2]}",
                "/parts/1/steel",
                "does not rise",
            ),
            ("\"team13\"", "3", "/parts/1/steel", "the name of a steel"),
            ("[30,-2]", "[30,\"x\"]", "/parts/1/profile_mm/1/1", "a length"),
        ] {
            let plate = PLATE.replace(from, to);
            assert_ne!(plate, PLATE);
            let (place, message) = error(&plate, on);
            assert_eq!(place, field, "{from} -> {to}: {message}");
            assert!(message.contains(says), "{message}");
        }
        assert_eq!(error(PLATE, r#","force_on":"lid""#).0, "/force_on");
        assert_eq!(error(PLATE, "").0, "/force_on");
        assert!(error(&PLATE.replace("\"steel\"", "\"iron\""), on).1.contains("iron"));
    }

    #[test]
    fn a_magnet_with_a_coercivity_tells_how_much_of_it_is_past_its_knee() {
        let ask_with = |more: &str| {
            let magnet = MAGNET.replace(
                "\"recoil_permeability\":1.05",
                &format!("\"recoil_permeability\":1.05{more}"),
            );
            ask(&format!(
                r#"{{"id":7,"want":"turned_solve","parts":[{magnet},{PLATE}],"force_on":"plate"}}"#
            ))
        };
        let line = ask_with("");
        assert!(line.get("past_knee").is_none());
        let hard = ask_with(r#","coercivity_A_per_m":2000e3"#);
        assert_eq!(hard["past_knee"], json!({"magnet": 0.0}));
        let forces = [&line, &hard].map(|got| got["force_N"].as_f64().unwrap());
        assert!((forces[1] / forces[0] - 1.0).abs() <= 1e-6, "{forces:?}");
        let soft = ask_with(r#","coercivity_A_per_m":500e3,"squareness":0.9"#);
        let share = soft["past_knee"]["magnet"].as_f64().unwrap();
        assert!(
            (0.05..0.95).contains(&share) && soft["force_N"].as_f64().unwrap() < 0.95 * forces[0],
            "{soft}"
        );
        for (more, key) in [
            (r#","coercivity_A_per_m":-1"#, "coercivity_A_per_m"),
            (r#","coercivity_A_per_m":20e6"#, "coercivity_A_per_m"),
            (r#","coercivity_A_per_m":500e3,"squareness":1.2"#, "squareness"),
            (r#","squareness":0.9"#, "squareness"),
            (r#","coercivity_A_per_m":"hard""#, "coercivity_A_per_m"),
        ] {
            let error = &ask_with(more)["error"];
            assert_eq!(error["field"], format!("/parts/0/magnet/{key}"), "{error}");
            assert!(!error["hint"].as_str().unwrap().is_empty());
        }
    }
}
