//! A disc or ring on a steel plate, bare, under a back-plate or in a cup: solved, drawn, and compared over gap and thickness.

use advice::answer::BEHIND;
use advice::view::plot::{CurveRole, Plot, PlotAxis, PlotCurve, PlotMark};
use advice::view::steel::behind;
use advice::view::text::{Figure, capital, percent};
use quantity::{Force, Kind as QuantityKind, Length, Quantity, Units};
use rayon::prelude::*;
use serde::{Deserialize, Serialize};
use steel::drawing::{Drawing as Parts, Material};
use steel::setups::{Cup, Piece, Size, in_cup, on_plate, with_back};
use steel::solve::{Options, SolveError, solve};
use utoipa::ToSchema;

use crate::drawing::{Drawing, steel_drawing};
use crate::problem::{Kind, Problem};
use crate::side_by_side::{self, SideBySide};

/// Gaps of the chart, as shares of the greatest.
const GAPS: [f64; 9] = [0.0, 0.02, 0.06, 0.13, 0.23, 0.36, 0.53, 0.74, 1.0];
/// The chart of gaps goes so far, as a share of the magnet's diameter, or to this multiple of the gap asked.
const FARTHEST_GAP: f64 = 0.3;
const GAP_MULTIPLE: f64 = 2.5;
/// Thicknesses of the chart, as shares of the magnet's diameter.
const THICKNESSES: [f64; 9] = [0.01, 0.02, 0.035, 0.055, 0.08, 0.12, 0.18, 0.28, 0.45];
/// The share of the pull on thick steel at which a plate counts as thick enough.
const ENOUGH: f64 = 0.95;

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
    /// In a sentence.
    pub lead: String,
    /// The field behind the plate, and the flux that it carries, in words.
    pub behind: String,
    /// The pull of two of them side by side; absent where none is asked.
    pub beside: Option<SideBySide>,
    /// Pull on the plate.
    pub pull: Figure,
    /// Pull of the magnet without what it carries, at the same gap.
    pub bare: Option<Figure>,
    /// Estimated relative error of the solve.
    pub error_estimate: f64,
    /// Pull against the gap: as it is, bare, and on thick steel.
    pub against_gap: Plot,
    /// Pull against the thickness of the plate.
    pub against_thickness: Plot,
}

struct Setup {
    magnet: Piece,
    plate: Piece,
    carries: Carries,
    steel: Material,
}

impl Setup {
    fn of(request: &SteelRequest) -> Result<Self, Problem> {
        let table = steel::SteelTable::builtin().map_err(|e| Problem::new(Kind::Internal, "steels", e.to_string()))?;
        let holding: Vec<&str> = table
            .all()
            .iter()
            .filter(|s| s.holds())
            .map(|s| s.name.as_str())
            .collect();
        if let Some(steel) = table.of_curve(&request.steel).filter(|s| !s.holds()) {
            return Err(
                Problem::new(Kind::Asked, "not magnetic", format!("{} holds no magnet", steel.name))
                    .field("/steel")
                    .hint(format!("put a plate of steel on it that does: {}", holding.join(", "))),
            );
        }
        let Some(named) = table.curve(&request.steel) else {
            return Err(Problem::new(
                Kind::Asked,
                "no such steel",
                format!("no curve is known for {:?}", request.steel),
            )
            .field("/steel")
            .hint(format!("there are {}", holding.join(", "))));
        };
        let steel = Material::Steel(named.curve.clone());
        let MagnetSize {
            diameter_mm,
            hole_mm,
            thickness_mm,
            polarisation,
            recoil_permeability,
        } = request.magnet;
        Ok(Self {
            magnet: Piece {
                size: Size {
                    outer: diameter_mm * 1e-3,
                    inner: hole_mm * 1e-3,
                    thickness: thickness_mm * 1e-3,
                },
                material: Material::Magnet {
                    polarisation,
                    recoil_permeability,
                },
            },
            plate: piece(request.plate.diameter_mm, request.plate.thickness_mm, &steel),
            carries: request.carries,
            steel,
        })
    }

    fn parts(&self, carries: Carries, gap: f64, plate: &Piece) -> Parts {
        match carries {
            Carries::Nothing => on_plate(&self.magnet, gap, plate),
            Carries::BackPlate {
                diameter_mm,
                thickness_mm,
            } => with_back(&self.magnet, &piece(diameter_mm, thickness_mm, &self.steel), gap, plate),
            Carries::Cup {
                outer_mm,
                inner_mm,
                floor_mm,
                rim_mm,
            } => {
                let cup = Cup {
                    outer: outer_mm * 1e-3,
                    inner: inner_mm * 1e-3,
                    floor: floor_mm * 1e-3,
                    hole: 0.0,
                    rim: rim_mm * 1e-3,
                    steel: self.steel.clone(),
                };
                in_cup(&self.magnet, &cup, gap, plate)
            }
        }
    }

    fn pull(&self, carries: Carries, gap: f64, plate: &Piece) -> Result<f64, Problem> {
        let solution = solve(&self.parts(carries, gap, plate), &Options::force_on("plate")).map_err(refused)?;
        solution.force_on("plate").map_err(refused)
    }

    /// The plate with another thickness.
    fn plated(&self, thickness: f64) -> Piece {
        Piece {
            size: Size {
                thickness,
                ..self.plate.size
            },
            ..self.plate.clone()
        }
    }
}

fn piece(diameter_mm: f64, thickness_mm: f64, steel: &Material) -> Piece {
    Piece {
        size: Size::disc(diameter_mm * 1e-3, thickness_mm * 1e-3),
        material: steel.clone(),
    }
}

fn refused(error: SolveError) -> Problem {
    Problem::new(Kind::Asked, "not solved", error.to_string()).hint(error.hint())
}

/// Solves a magnet on steel, and what its parts are worth over gap and thickness.
///
/// # Errors
/// Sizes that do not fit, a steel that is not known, a solve that does not arrive.
pub fn sheet(request: &SteelRequest, units: &Units) -> Result<SteelSheet, Problem> {
    let setup = Setup::of(request)?;
    let gap = request.gap_mm * 1e-3;
    let solution = solve(
        &setup.parts(setup.carries, gap, &setup.plate),
        &Options::force_on("plate"),
    )
    .map_err(refused)?;
    let pull = solution.force_on("plate").map_err(refused)?;
    let carried = setup.carries != Carries::Nothing;
    let bare = carried
        .then(|| setup.pull(Carries::Nothing, gap, &setup.plate))
        .transpose()?;
    let against_gap = against_gap(&setup, gap, units)?;
    let beside = match (request.beside_mm, carried) {
        (None, _) => None,
        (Some(_), true) => {
            return Err(Problem::new(
                Kind::Asked,
                "not estimated",
                "two side by side are estimated for bare magnets only",
            )
            .field(side_by_side::FIELD)
            .hint("let it carry nothing, or ask for one alone"));
        }
        (Some(distance), false) => Some(side_by_side::estimate(
            &setup.magnet,
            &setup.plate,
            gap,
            distance * 1e-3,
            units,
        )?),
    };
    let (against_thickness, enough) = against_thickness(&setup, gap, units)?;
    let force = |si: f64| {
        let scale = units.scale(Force::KIND, si);
        Figure {
            value: scale.apply(si),
            unit: scale.label.into(),
            text: pull_text(si, units),
        }
    };
    let mut lead = format!("It pulls {} there", force(pull).text);
    if let Some(bare) = bare {
        let times = pull / bare;
        lead.push_str(&format!(
            "; bare it would pull {}, so its steel makes that {times:.2} times as much",
            force(bare).text
        ));
    }
    lead.push_str(&match enough {
        Some(thickness) => format!(
            ". A plate of {} would already take {} of what thick steel does.",
            Length(thickness).show_to(2, units),
            percent(ENOUGH)
        ),
        None => ". Thicker steel would still pull more.".to_string(),
    });
    let behind = solution
        .behind("magnet", "plate", BEHIND)
        .map_or(String::new(), |found| {
            format!(
                "{}; the plate carries {} of the flux of the face",
                capital(&behind([found.at_back, found.away], units)),
                percent(found.carried)
            )
        });
    Ok(SteelSheet {
        drawing: steel_drawing(&solution, None, units)?,
        lead,
        behind,
        beside,
        pull: force(pull),
        bare: bare.map(force),
        error_estimate: solution.error_estimate(),
        against_gap,
        against_thickness,
    })
}

fn pull_text(si: f64, units: &Units) -> String {
    Force(si).show(units).to_string()
}

fn curve(name: &str, role: CurveRole, points: Vec<[f64; 2]>) -> PlotCurve {
    PlotCurve {
        name: name.into(),
        role,
        points,
    }
}

fn axis(label: &str, unit: &str) -> PlotAxis {
    PlotAxis {
        label: label.into(),
        unit: unit.into(),
    }
}

fn against_gap(setup: &Setup, gap: f64, units: &Units) -> Result<Plot, Problem> {
    let farthest = (FARTHEST_GAP * setup.magnet.size.outer).max(GAP_MULTIPLE * gap);
    let mut gaps: Vec<f64> = GAPS.iter().map(|share| share * farthest).collect();
    if !gaps.contains(&gap) {
        gaps.push(gap);
        gaps.sort_by(f64::total_cmp);
    }
    let thick = setup.plated(setup.plate.size.thickness.max(0.5 * setup.magnet.size.outer));
    let carried = setup.carries != Carries::Nothing;
    let solved: Vec<[f64; 3]> = gaps
        .par_iter()
        .map(|&g| {
            Ok([
                setup.pull(setup.carries, g, &setup.plate)?,
                if carried {
                    setup.pull(Carries::Nothing, g, &setup.plate)?
                } else {
                    0.0
                },
                setup.pull(setup.carries, g, &thick)?,
            ])
        })
        .collect::<Result<_, Problem>>()?;
    let most = solved.iter().flatten().copied().fold(0.0, f64::max);
    let (x, y) = (units.scale(QuantityKind::Length, 0.0), units.scale(Force::KIND, most));
    let points = |k: usize| {
        gaps.iter()
            .zip(&solved)
            .map(|(g, pulls)| [x.apply(*g), y.apply(pulls[k])])
            .collect::<Vec<_>>()
    };
    let mut curves = vec![curve("as it is", CurveRole::Main, points(0))];
    if carried {
        curves.push(curve("bare magnet", CurveRole::Beside, points(1)));
    }
    curves.push(curve("on thick steel", CurveRole::Guide, points(2)));
    let here = gaps.iter().position(|g| *g == gap).and_then(|k| solved.get(k));
    Ok(Plot {
        title: "Its pull against the gap".into(),
        x: axis("gap", x.label),
        y: axis("pull", y.label),
        curves,
        marks: here
            .map(|pulls| PlotMark {
                at: [x.apply(gap), y.apply(pulls[0])],
                text: pull_text(pulls[0], units),
            })
            .into_iter()
            .collect(),
        stretches: Vec::new(),
        remark: "Each point is solved with the steel in it; between them the line is straight.".into(),
    })
}

/// The chart, and the thickness from which a plate pulls nearly as thick steel does, m.
fn against_thickness(setup: &Setup, gap: f64, units: &Units) -> Result<(Plot, Option<f64>), Problem> {
    let asked = setup.plate.size.thickness;
    let mut all: Vec<f64> = THICKNESSES
        .iter()
        .map(|share| share * setup.magnet.size.outer)
        .collect();
    if !all.contains(&asked) {
        all.push(asked);
        all.sort_by(f64::total_cmp);
    }
    let pulls: Vec<f64> = all
        .par_iter()
        .map(|&t| setup.pull(setup.carries, gap, &setup.plated(t)))
        .collect::<Result<_, Problem>>()?;
    let most = pulls.iter().copied().fold(0.0, f64::max);
    let line = ENOUGH * most;
    let enough = all.windows(2).zip(pulls.windows(2)).find_map(|(t, p)| match (t, p) {
        (&[t0, t1], &[p0, p1]) if p0 < line && p1 >= line => Some(t0 + (t1 - t0) * (line - p0) / (p1 - p0)),
        _ => None,
    });
    let (x, y) = (units.scale(QuantityKind::Length, 0.0), units.scale(Force::KIND, most));
    let here = all.iter().position(|t| *t == asked).and_then(|k| pulls.get(k)).copied();
    let mut marks: Vec<PlotMark> = here
        .map(|p| PlotMark {
            at: [x.apply(asked), y.apply(p)],
            text: format!("your plate: {}", pull_text(p, units)),
        })
        .into_iter()
        .collect();
    if let Some(t) = enough {
        marks.push(PlotMark {
            at: [x.apply(t), y.apply(line)],
            text: format!("{} from {}", percent(ENOUGH), Length(t).show_to(2, units)),
        });
    }
    let points = all
        .iter()
        .zip(&pulls)
        .map(|(t, p)| [x.apply(*t), y.apply(*p)])
        .collect();
    let plot = Plot {
        title: "Its pull against the thickness of the steel".into(),
        x: axis("thickness of the plate", x.label),
        y: axis("pull", y.label),
        curves: vec![curve("pull", CurveRole::Main, points)],
        marks,
        stretches: Vec::new(),
        remark: "Steel that is too thin cannot carry the flux: it saturates, and the rest leaks out behind it.".into(),
    };
    Ok((plot, enough))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn request(carries: Carries, thickness_mm: f64) -> SteelRequest {
        SteelRequest {
            magnet: MagnetSize {
                diameter_mm: 20.0,
                hole_mm: 0.0,
                thickness_mm: 5.0,
                polarisation: 1.3,
                recoil_permeability: 1.05,
            },
            plate: PlateSize {
                diameter_mm: 60.0,
                thickness_mm,
            },
            gap_mm: 0.3,
            steel: "team13".into(),
            carries,
            beside_mm: None,
        }
    }

    #[test]
    fn a_cup_adds_most_in_contact_and_is_worth_less_across_a_gap() {
        let cup = Carries::Cup {
            outer_mm: 25.0,
            inner_mm: 21.5,
            floor_mm: 2.5,
            rim_mm: 0.0,
        };
        let sheet = sheet(&request(cup, 8.0), &Units::metric()).expect("solved");
        let bare = sheet.bare.expect("it carries steel").value;
        assert!(sheet.pull.value > 1.5 * bare, "{} against {bare}", sheet.pull.value);
        let (with, without) = (&sheet.against_gap.curves[0].points, &sheet.against_gap.curves[1].points);
        let gain = |k: usize| with[k][1] / without[k][1];
        let last = with.len() - 1;
        assert!(gain(0) > gain(last), "{} to {}", gain(0), gain(last));
        assert!(sheet.drawing.svg.contains("cup") && sheet.lead.contains("times"));
    }

    #[test]
    fn a_thin_sheet_takes_less_and_the_sheet_says_what_would_do() {
        let thin = sheet(&request(Carries::Nothing, 0.5), &Units::metric()).expect("solved");
        let thick = sheet(&request(Carries::Nothing, 8.0), &Units::metric()).expect("solved");
        assert!(thin.pull.value < 0.7 * thick.pull.value);
        assert!(thin.lead.contains("95"), "{}", thin.lead);
        assert!(!thin.drawing.warnings.is_empty(), "a sheet this thin saturates");
    }

    #[test]
    fn what_is_behind_a_sheet_and_what_two_side_by_side_pull_is_said() {
        let ask = |thickness_mm, beside_mm| {
            let request = SteelRequest {
                beside_mm,
                ..request(Carries::Nothing, thickness_mm)
            };
            sheet(&request, &Units::metric())
        };
        let thin = ask(0.5, None).expect("solved");
        assert!(
            thin.behind.contains("mT at its back") && thin.behind.contains("of the flux"),
            "{}",
            thin.behind
        );
        assert!(thin.beside.is_none());
        let two = ask(5.0, Some(0.0)).expect("solved");
        let beside = two.beside.expect("asked for");
        assert!(beside.alternating.low > 2.0 * two.pull.value && beside.alike.high < 2.0 * two.pull.value);
        assert!(
            beside.text.contains("touching") && beside.text.contains("estimate"),
            "{}",
            beside.text
        );
        let problem = ask(5.0, Some(-1.0)).expect_err("no such distance");
        assert_eq!(problem.more.field.as_deref(), Some("/beside_mm"));
        let carried = Carries::BackPlate {
            diameter_mm: 20.0,
            thickness_mm: 2.0,
        };
        let both = SteelRequest {
            beside_mm: Some(1.0),
            ..request(carried, 5.0)
        };
        assert!(sheet(&both, &Units::metric()).is_err());
    }

    #[test]
    fn what_does_not_fit_is_said() {
        let mut wrong = request(Carries::Nothing, 2.0);
        for steel in ["austenitic", "304", "stainless steel"] {
            wrong.steel = steel.into();
            let problem = sheet(&wrong, &Units::metric()).expect_err("it holds no magnet");
            assert!(problem.detail.contains("holds no magnet"), "{}", problem.detail);
        }
        wrong.steel = "cheese".into();
        let problem = sheet(&wrong, &Units::metric()).expect_err("no such steel");
        assert_eq!(problem.more.field.as_deref(), Some("/steel"));
        let tight = Carries::Cup {
            outer_mm: 18.0,
            inner_mm: 15.0,
            floor_mm: 2.0,
            rim_mm: 0.0,
        };
        assert!(sheet(&request(tight, 2.0), &Units::metric()).is_err());
        assert!(sheet(&request(Carries::Nothing, -1.0), &Units::metric()).is_err());
    }
}
