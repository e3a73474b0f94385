//! Magnets by name where a request wants bodies: `{"named": {"code": "16-08"}}` stands for the body that the shelf, or a
//! size and a grade, makes of it, at 20 °C and at its typical remanence.

use advice::Item;
use advice::catalogue::Catalogue;
use advice::enquiry::NamedMagnet;
use advice::given::given;
use magnetics::Shape;
use serde_json::{Map, Value, json};

use crate::desk::Desk;
use crate::problem::{Kind, Problem};
use crate::reading;

/// The request with a body in the place of every magnet that is named; what else stands beside a name stays.
///
/// # Errors
/// A name that leads to no magnet, and where it stands; a database that fails.
pub fn with_bodies(mut request: Value, desk: &Desk) -> Result<Value, Problem> {
    let shelf = desk.shelf()?;
    walk(&mut request, "", &shelf.items, &shelf.catalogue)?;
    Ok(request)
}

fn walk(value: &mut Value, at: &str, items: &[Item], catalogue: &Catalogue) -> Result<(), Problem> {
    match value {
        Value::Object(map) => {
            if let Some(named) = map.remove("named") {
                let at = format!("{at}/named");
                map.extend(body(&named, &at, items, catalogue)?);
            }
            map.iter_mut()
                .try_for_each(|(key, part)| walk(part, &format!("{at}/{key}"), items, catalogue))
        }
        Value::Array(list) => list
            .iter_mut()
            .enumerate()
            .try_for_each(|(index, part)| walk(part, &format!("{at}/{index}"), items, catalogue)),
        _ => Ok(()),
    }
}

fn body(named: &Value, at: &str, items: &[Item], catalogue: &Catalogue) -> Result<Map<String, Value>, Problem> {
    let named: NamedMagnet = reading::read(named).map_err(|misread| {
        let pointer = format!("{at}{}", misread.pointer);
        Problem::from(misread).field(pointer)
    })?;
    let given = given(&named, 0, items, catalogue).map_err(|error| {
        let pointer = format!("{at}{}", error.field.trim_start_matches("/magnets/0"));
        Problem::from(error).field(pointer)
    })?;
    let grade = catalogue.grade_of(&given.item).ok_or_else(|| {
        let detail = format!("no values are known of the grade {:?}", given.item.grade);
        Problem::new(Kind::Asked, "no such grade", detail)
            .field(format!("{at}/grade"))
            .hint("the grades are at /api/grades")
    })?;
    let mm = |metres: f64| (metres * 1e6).round() / 1e3;
    let mut body = match given.item.shape {
        Shape::Disc { diameter, thickness } => {
            json!({ "shape": "disc", "diameter_mm": mm(diameter), "thickness_mm": mm(thickness) })
        }
        Shape::Ring {
            outer_diameter,
            inner_diameter,
            thickness,
        } => json!({
            "shape": "ring",
            "outer_diameter_mm": mm(outer_diameter),
            "inner_diameter_mm": mm(inner_diameter),
            "thickness_mm": mm(thickness),
        }),
        Shape::Block {
            length,
            width,
            thickness,
        } => json!({ "shape": "block", "size_mm": [mm(length), mm(width), mm(thickness)] }),
        Shape::Sphere { diameter } => json!({ "shape": "sphere", "diameter_mm": mm(diameter) }),
    };
    body["polarisation_T"] = json!([0.0, 0.0, grade.br_typical]);
    body["recoil_permeability"] = json!(grade.recoil_permeability);
    match body {
        Value::Object(map) => Ok(map),
        _ => Ok(Map::new()),
    }
}
