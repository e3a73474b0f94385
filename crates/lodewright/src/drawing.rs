//! Pictures of magnets that need not be on the shelf: the field in a plane, as SVG.

use std::ops::ControlFlow;

use advice::view::Pair;
use compute::{Budget, LineError, Place};
use magnetics::Scene;
use magnetics::lines;
use magnetics::plane::{Plane, Window};
use numerics::stop::Stop;
use paper::FieldPicture;
use paper::scene::{self, Mapped, SceneError, usual_unit};
use quantity::{Kind as QuantityKind, Units};
use serde::{Deserialize, Serialize};
use steel::drawing::Part;
use steel::solve::{Options, Solution, solve_watched};
use utoipa::ToSchema;

use crate::problem::{Kind, Problem};

/// Width of a picture where none is asked, pixels.
const WIDTH: f64 = 640.0;

/// Places at which the field of a picture is found, and those along one of its lines, about.
const CELLS: usize = 33_000;
const STEPS_OF_LINE: usize = 2_000;

/// How far a picture reaches at most, m.
const FARTHEST: f64 = 1e3;

/// Lines that start in the magnet that carries most flux, where nothing else is asked.
const LINES: usize = 12;

/// What is to be drawn.
#[derive(Clone, Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct DrawRequest {
    /// The magnets, as `lodewright compute` takes them.
    #[schema(value_type = Option<Vec<Object>>)]
    pub bodies: Option<serde_json::Value>,
    /// Instead of bodies: parts about one axis, magnets and steel, as `turned_solve` takes them.
    #[schema(value_type = Option<Vec<Object>>)]
    pub parts: Option<serde_json::Value>,
    /// The plane of the picture.
    #[serde(default)]
    pub plane: PlaneName,
    /// How far the plane lies from the origin, mm.
    #[serde(default)]
    pub offset_mm: f64,
    /// From left to right, mm; all magnets with room about them where absent.
    #[schema(value_type = Option<Pair>)]
    pub across_mm: Option<[f64; 2]>,
    /// From bottom to top, mm.
    #[schema(value_type = Option<Pair>)]
    pub up_mm: Option<[f64; 2]>,
    /// What the tint shows.
    #[serde(default)]
    pub map: MapName,
    /// How many lines of flux start in the magnet that carries most of it; 12 where absent, none for 0.
    pub lines: Option<usize>,
    /// Width of the drawing, pixels; 640 where absent.
    pub width: Option<f64>,
}

/// A plane through the origin, or beside it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum PlaneName {
    /// `x` across, `z` up.
    #[default]
    Xz,
    /// `y` across, `z` up.
    Yz,
    /// `x` across, `y` up.
    Xy,
}

/// What the tint of a picture shows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, ToSchema)]
pub enum MapName {
    /// Magnitude of the flux density.
    #[default]
    B,
    /// Magnitude of the field strength.
    H,
    /// Nothing.
    #[serde(rename = "none")]
    Nothing,
}

/// A drawing, with what a page needs to read it.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Drawing {
    /// The picture; its colours are CSS variables with values for print behind them.
    pub svg: String,
    /// What it shows, in one line.
    pub title: String,
    /// From left to right, mm.
    #[schema(value_type = Pair)]
    pub across_mm: [f64; 2],
    /// From bottom to top, mm.
    #[schema(value_type = Pair)]
    pub up_mm: [f64; 2],
    /// How far the magnets reach from bottom to top, mm: distances count from there; absent with steel.
    #[schema(value_type = Option<Pair>)]
    pub faces_mm: Option<[f64; 2]>,
    /// The magnets drawn, each by itself.
    pub magnets: usize,
    /// Magnets that share space, and what else is to be warned of.
    pub warnings: Vec<String>,
}

/// Draws what is asked.
///
/// # Errors
/// Magnets that are none, a window without room, more magnets than a picture holds.
pub fn draw(request: &DrawRequest, units: &Units, budget: &Budget) -> Result<Drawing, Problem> {
    let drawn = match (&request.bodies, &request.parts) {
        (Some(bodies), None) => in_air(request, bodies, units, budget)?,
        (None, Some(parts)) => with_steel(request, parts, units, &budget.stop)?,
        (Some(_), Some(_)) => {
            let hint = "leave bodies out where there is steel; magnets are parts there";
            return Err(wrong("a picture is of bodies or of parts", "/parts", hint));
        }
        (None, None) => {
            let hint = "give bodies in air, or parts about one axis with steel among them";
            return Err(wrong("there is nothing to draw", "/bodies", hint));
        }
    };
    let width = request.width.unwrap_or(WIDTH);
    if !(100.0..=4000.0).contains(&width) {
        let detail = format!("a drawing is 100 to 4000 pixels wide, got {width}");
        return Err(wrong(&detail, "/width", "such as 640"));
    }
    written(drawn, width, units)
}

/// The drawing of a solved set-up, `lines` of flux on each side; 12 where none are given.
///
/// # Errors
/// A picture that cannot be written.
pub fn steel_drawing(solution: &Solution, lines: Option<usize>, units: &Units) -> Result<Drawing, Problem> {
    let unit = usual_unit(Mapped::FluxDensity, in_gauss(units));
    let window = paper::steel::window(solution);
    let picture = paper::steel::picture(solution, window, unit, lines.unwrap_or(LINES));
    written((picture, magnets_of(solution), saturated(solution), None), WIDTH, units)
}

fn written((mut picture, magnets, warnings, faces_mm): Drawn, width: f64, units: &Units) -> Result<Drawing, Problem> {
    picture.inch = units.scale(QuantityKind::Length, 0.0).label == "in";
    let svg = picture
        .svg(width, "field")
        .map_err(|e| wrong(&e.to_string(), "", "give finite sizes"))?;
    Ok(Drawing {
        svg,
        title: picture.title,
        across_mm: picture.across,
        up_mm: picture.up,
        faces_mm,
        magnets,
        warnings,
    })
}

fn magnets_of(solution: &Solution) -> usize {
    let is_magnet = |part: &&Part| part.material.recoil_line().is_some();
    solution.drawing().parts.iter().filter(is_magnet).count()
}

/// What part of each steel is past its knee, in words.
fn saturated(solution: &Solution) -> Vec<String> {
    let past = |part: &Part| {
        let share = 100.0 * solution.saturation(&part.name)?.share;
        (share >= 1.0).then(|| format!("{share:.0} % of {} is past the knee of its steel", part.name))
    };
    solution.drawing().parts.iter().filter_map(past).collect()
}

/// A picture with the number of its magnets, and warnings.
type Drawn = (FieldPicture, usize, Vec<String>, Option<[f64; 2]>);

/// Magnets in air, in any plane.
fn in_air(request: &DrawRequest, bodies: &serde_json::Value, units: &Units, budget: &Budget) -> Result<Drawn, Problem> {
    let scene = Scene::new(compute::bodies(bodies, "/bodies", scene::MOST_BODIES)?).until(&budget.stop);
    let steps = request.lines.unwrap_or(LINES).saturating_mul(STEPS_OF_LINE);
    budget.picture(scene.bodies(), CELLS.saturating_add(steps))?;
    let offset = request.offset_mm * 1e-3;
    if !(-FARTHEST..=FARTHEST).contains(&offset) {
        return Err(wrong("the plane is too far away", "/offset_mm", "give millimetres"));
    }
    let plane = match request.plane {
        PlaneName::Xz => Plane::xz(offset),
        PlaneName::Yz => Plane::yz(offset),
        PlaneName::Xy => Plane::xy(offset),
    };
    let usual = scene::window(&scene, &plane).map_err(|e| {
        let hint = match &e {
            SceneError::Empty => "add a body",
            SceneError::Bodies(_) => "draw a part of them",
        };
        wrong(&e.to_string(), "/bodies", hint)
    })?;
    let shown = shown(request, usual)?;
    let mapped = match request.map {
        MapName::B => Mapped::FluxDensity,
        MapName::H => Mapped::FieldStrength,
        MapName::Nothing => Mapped::Nothing,
    };
    let [[left, right], [bottom, top]] = shown.map(|side| side.map(|c| c * 1e-3));
    let window = Window {
        left,
        right,
        bottom,
        top,
    };
    let flux = match request.lines.unwrap_or(LINES) {
        0 => Vec::new(),
        count => lines::of(&scene, &plane, window, count).map_err(|e| {
            let hint = "ask for 1 to 200 lines, and for 0 where there are very many magnets";
            wrong(&e.to_string(), "/lines", hint)
        })?,
    };
    let unit = usual_unit(mapped, in_gauss(units));
    if budget.stop.is_set() {
        return Err(wrong("stopped on request", "", "draw fewer magnets or lines"));
    }
    let picture = scene::picture(&scene, &plane, shown, mapped, unit, &flux)
        .map_err(|e| wrong(&e.to_string(), "/bodies", "draw fewer of them"))?;
    let [_, faces] = scene::extent(&scene, &plane).map_err(|e| wrong(&e.to_string(), "/bodies", "add a body"))?;
    Ok((picture, scene.bodies().len(), compute::warnings(&scene), Some(faces)))
}

/// Magnets and steel about one axis, solved by finite elements.
fn with_steel(request: &DrawRequest, parts: &serde_json::Value, units: &Units, stop: &Stop) -> Result<Drawn, Problem> {
    let place = Place {
        value: parts,
        path: "/parts".into(),
    };
    if request.map == MapName::H {
        return Err(wrong("with steel the tint shows B", "/map", "give B or none"));
    }
    let drawing = steel::drawing::Drawing::new(compute::parts(&place)?);
    let mut watch = |_| match stop.is_set() {
        true => ControlFlow::Break(()),
        false => ControlFlow::Continue(()),
    };
    let solution =
        solve_watched(&drawing, &Options::default(), &mut watch).map_err(|error| compute::refused(&error))?;
    let shown = shown(request, paper::steel::window(&solution))?;
    let unit = usual_unit(Mapped::FluxDensity, in_gauss(units));
    let count = request.lines.unwrap_or(LINES);
    if count > lines::MOST_LINES {
        return Err(wrong("that is too many lines", "/lines", "ask for at most 200"));
    }
    let mut picture = paper::steel::picture(&solution, shown, unit, count);
    if request.map == MapName::Nothing {
        picture.map = None;
    }
    Ok((picture, magnets_of(&solution), saturated(&solution), None))
}

/// The window asked for, or the usual one.
fn shown(request: &DrawRequest, usual: [[f64; 2]; 2]) -> Result<[[f64; 2]; 2], Problem> {
    let shown = [request.across_mm.unwrap_or(usual[0]), request.up_mm.unwrap_or(usual[1])];
    for ([low, high], field) in shown.into_iter().zip(["/across_mm", "/up_mm"]) {
        if !(high - low > 0.0 && low.abs().max(high.abs()) * 1e-3 <= FARTHEST) {
            let detail = format!("the window must run from less to more, got {low} to {high} mm");
            return Err(wrong(&detail, field, "give [from, to] in millimetres"));
        }
    }
    Ok(shown)
}

fn in_gauss(units: &Units) -> bool {
    units.scale(QuantityKind::FluxDensity, 0.1).label == "G"
}

fn wrong(detail: &str, field: &str, hint: &str) -> Problem {
    Problem::new(Kind::Asked, "no picture", detail).field(field).hint(hint)
}

impl From<LineError> for Problem {
    fn from(error: LineError) -> Self {
        Self::new(Kind::Asked, "no picture", error.message)
            .field(error.field)
            .hint(error.hint)
    }
}
