//! What heat and its own field do to a build, as it is shown: the curve with its load line, flux against temperature, and a map
//! of the inside.

use magnetics::inside::{Detail, Facing, Inside};
use magnetics::{Shape, demag, inside};
use materials::MU_0;
use materials::curve::{Curve, Material};
use materials::grade::REFERENCE_CELSIUS;
use quantity::{FieldStrength, FluxDensity, Kind, Temperature};
use serde::Serialize;
use utoipa::ToSchema;

use crate::exposure::{Exposure, LOSS_ALLOWED};
use crate::heat::{self, LOSS_WORTH_SAYING, LimitedBy};
use crate::predict::Prediction;
use crate::view::Pair;
use crate::view::plot::{CurveRole, Plot, PlotAxis, PlotCurve, PlotMark, PlotStretch};
use crate::view::text::{Fact, Reader, Run, percent, runs};

/// Points of each branch of a curve.
const CURVE_POINTS: u32 = 60;
/// Points of the chart against temperature.
const TEMPERATURE_POINTS: u32 = 30;
/// The chart against temperature goes this far beyond what the build stands, K.
const BEYOND: f64 = 40.0;
/// Slenderness of the cylinder by which GB/T 13560-2017, 3.4 defines a maximum working temperature.
const BY_DEFINITION: f64 = 0.7;
/// Two temperatures closer than this are drawn as one, K.
const SAME: f64 = 0.5;

/// What heat and its own field do to a build.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct HeatView {
    /// In words.
    pub lead: Vec<Run>,
    /// What it stands, alone, on steel, opposed; what its grade is.
    pub facts: Vec<Fact>,
    /// The demagnetisation curve, B and J, at each temperature of the use, with load line and working points.
    pub curve: Plot,
    /// Flux against temperature: while it is hot, what of that comes back, and what is left when it is cold again.
    pub temperature: Plot,
    /// A section of the inside with what is at risk.
    pub inside: InsideView,
}

/// A section through the axis of a build with the field of each cell as a share of that at the knee, at the worst temperature of its use.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct InsideView {
    /// What is shown.
    pub title: String,
    /// Edges of the cells from the axis (a ring: from its hole; a block: from its middle along its length), mm.
    pub across_mm: Vec<f64>,
    /// Edges of the cells from the lower face, mm.
    pub along_mm: Vec<f64>,
    /// Demagnetising field over that at the knee, 1 is at the knee: rows from the lower face upwards, each from the axis outwards.
    pub cells: Vec<Vec<f64>>,
    /// Share of the remanence that each cell keeps for good, in the same order.
    pub kept: Vec<Vec<f64>>,
    /// The outline of the section right of the axis, `[x, z]` in mm.
    #[schema(value_type = Vec<Pair>)]
    pub outline_mm: Vec<[f64; 2]>,
    /// Share of the volume past the knee.
    pub past_knee: f64,
    /// In words.
    pub text: String,
}

/// What an exposure does to so many pieces; `None` where their grade has no curve at some temperature of it.
#[must_use]
pub fn view(prediction: &Prediction, pieces: u32, exposure: &Exposure, reader: &Reader) -> Option<HeatView> {
    let magnet = prediction
        .item
        .shape
        .shrunk(prediction.coating.thickness.typical)
        .ok()?;
    let shown = Shown {
        prediction,
        pieces,
        exposure,
        reader,
        material: Material::least_coercive(prediction.grade),
        factor: demag::of_stack(&magnet, pieces as usize).ok()?,
        magnet,
    };
    let fine = Inside::new(&shown.magnet, pieces as usize, exposure.facing, Detail::Fine).ok()?;
    let heated = fine
        .heated(&shown.material, &[exposure.warmest, exposure.coldest])
        .ok()?;
    let coarse = Inside::new(&shown.magnet, pieces as usize, exposure.facing, Detail::Coarse).ok()?;
    let most = prediction.grade.curie_celsius - 1.0;
    let stands = inside::highest_celsius(&coarse, &shown.material, LOSS_ALLOWED, REFERENCE_CELSIUS, most);
    Some(HeatView {
        lead: runs(&shown.lead(heated.loss, heated.short)),
        facts: shown.facts(),
        curve: shown.curve()?,
        temperature: shown.temperature(&coarse, stands)?,
        inside: shown.inside(&fine, &heated)?,
    })
}

struct Shown<'a> {
    prediction: &'a Prediction<'a>,
    pieces: u32,
    exposure: &'a Exposure,
    reader: &'a Reader,
    material: Material<'a>,
    factor: f64,
    magnet: Shape,
}

impl Shown<'_> {
    fn celsius(&self, celsius: f64) -> String {
        self.reader
            .text::<Temperature>(Temperature::from_celsius(celsius.round()).si())
    }

    /// The temperatures of the use, room temperature first.
    fn temperatures(&self) -> Vec<f64> {
        let mut out: Vec<f64> = vec![REFERENCE_CELSIUS];
        for celsius in [self.exposure.warmest, self.exposure.coldest] {
            if out.iter().all(|t| (t - celsius).abs() > SAME) {
                out.push(celsius);
            }
        }
        out
    }

    /// A temperature that it stands, with what sets it.
    fn limit_words(&self, (celsius, by): (f64, LimitedBy)) -> String {
        let stands = self.celsius(celsius.floor());
        match by {
            LimitedBy::Shape => format!("{stands}, by its shape"),
            LimitedBy::Grade => format!("{stands}, what its grade is rated for"),
            LimitedBy::Coating => format!("{stands}, what its coating is rated for"),
        }
    }

    fn lead(&self, loss: f64, short: f64) -> String {
        let limit = heat::limit(self.prediction, self.pieces, self.exposure.facing);
        let mut text = format!("It stands **{}**", self.limit_words(limit));
        if limit.1 == LimitedBy::Shape {
            let rated = self.prediction.grade.max_service_celsius;
            text += &format!("; its grade is rated {}", self.celsius(rated));
        }
        text.push('.');
        if loss >= LOSS_WORTH_SAYING {
            text += &format!(
                " In this use up to **{}** of its flux is lost for good, if its coercivity is the least of its grade.",
                percent(loss)
            );
        }
        if short - loss >= LOSS_WORTH_SAYING {
            text += &format!(
                " Its own field takes **{}** as soon as it stands alone.",
                percent(short - loss)
            );
        }
        text
    }

    fn facts(&self) -> Vec<Fact> {
        let (prediction, grade) = (self.prediction, self.prediction.grade);
        let most = grade.curie_celsius - 1.0;
        let plating = prediction.coating.thickness.typical;
        let faced = |facing| self.limit_words(heat::limit(prediction, self.pieces, facing));
        let strength = |a: f64| self.reader.text::<FieldStrength>(a);
        let [from, to] = grade.coefficients_hold();
        let per_kelvin = |share: f64| format!("{:+.3}\u{a0}%/K", share * 100.0).replace('-', "−");
        let mut facts = vec![
            (
                "permeance coefficient",
                format!("{:.2} in the mean", (1.0 - self.factor) / self.factor),
            ),
            ("stands alone", faced(Facing::Nothing)),
            ("stands on thick steel", faced(Facing::Steel { gap: plating })),
            (
                "stands with like poles pressed together",
                faced(Facing::Opposing { gap: 2.0 * plating }),
            ),
        ];
        let cylinder = Shape::Disc {
            diameter: 10e-3,
            thickness: BY_DEFINITION * 10e-3,
        };
        if let Ok(cells) = Inside::new(&cylinder, 1, Facing::Nothing, Detail::Coarse) {
            let common = Material::typical(grade);
            let celsius = inside::highest_celsius(&cells, &common, LOSS_ALLOWED, REFERENCE_CELSIUS, most);
            let rated = grade.max_service_celsius;
            let by_loss = if celsius > rated {
                format!("more than the {} that it is rated for", self.celsius(rated))
            } else {
                self.celsius(celsius)
            };
            facts.push((
                "the grade by definition",
                format!("{by_loss} in common pieces of L/D 0.7 with 5\u{a0}% loss (GB/T 13560-2017, 3.4)"),
            ));
        }
        facts.push((
            "coercivity HcJ",
            match grade.hcj_max {
                Some(largest) => format!(
                    "{} at least, {} commonly, up to {}",
                    strength(grade.hcj_min),
                    strength(grade.hcj_typical()),
                    strength(largest)
                ),
                None => format!("{} at least", strength(grade.hcj_min)),
            },
        ));
        facts.push((
            "temperature coefficients",
            format!(
                "Br {}, HcJ {}, straight from {} to {}",
                per_kelvin(grade.alpha_br_per_k),
                per_kelvin(grade.beta_hcj_per_k),
                self.celsius(from),
                self.celsius(to)
            ),
        ));
        let bent = format!("recoil permeability {}, bent curve", grade.recoil_permeability);
        facts.push((
            "its curve",
            if grade.linear {
                format!(
                    "recoil permeability {}, squareness {}",
                    grade.recoil_permeability, grade.squareness
                )
            } else {
                bent
            },
        ));
        facts
            .into_iter()
            .map(|(label, text)| Fact {
                label: label.into(),
                text,
            })
            .collect()
    }

    /// The second quadrant with the load line.
    fn curve(&self) -> Option<Plot> {
        let curves: Vec<(f64, Curve)> = self
            .temperatures()
            .into_iter()
            .map(|t| Some((t, self.material.curve(t).ok()?)))
            .collect::<Option<_>>()?;
        let widest = curves.iter().map(|(_, c)| c.coercivity()).fold(0.0, f64::max);
        let highest = curves.iter().map(|(_, c)| c.remanence()).fold(0.0, f64::max);
        let x = self.reader.units.scale(Kind::FieldStrength, widest);
        let y = self.reader.units.scale(Kind::FluxDensity, highest);
        let at = |h: f64, b: f64| [x.apply(-h), y.apply(b)];
        let last = curves.len() - 1;
        let (mut lines, mut marks) = (Vec::new(), Vec::new());
        for (k, (celsius, curve)) in curves.iter().enumerate() {
            let role = if k == last { CurveRole::Main } else { CurveRole::Beside };
            let steps = || (0..=CURVE_POINTS).map(|i| curve.coercivity() * f64::from(i) / f64::from(CURVE_POINTS));
            let branch = |value: &dyn Fn(f64) -> f64| -> Vec<[f64; 2]> {
                steps()
                    .map(|h| (h, value(h)))
                    .take_while(|(_, v)| *v >= 0.0)
                    .map(|(h, v)| at(h, v))
                    .collect()
            };
            let name = |letter: &str| format!("{letter} at {}", self.celsius(*celsius));
            lines.push(PlotCurve {
                name: name("B"),
                role,
                points: branch(&|h| curve.flux_density(h)),
            });
            lines.push(PlotCurve {
                name: name("J"),
                role,
                points: branch(&|h| curve.polarisation(h).max(0.0)),
            });
            let (h, kept) = curve.settle(self.factor, 0.0, 1.0);
            let b = curve.recoiled(kept, h) - MU_0 * h;
            marks.push(PlotMark {
                at: at(h, b),
                text: format!(
                    "works at {}, {} in the mean at {}",
                    self.reader.text::<FluxDensity>(b),
                    self.reader.text::<FieldStrength>(-h),
                    self.celsius(*celsius)
                ),
            });
        }
        // B = -μ0 H (1 - N) / N, up to the top of the chart or its left end.
        let steep = MU_0 * (1.0 - self.factor) / self.factor;
        let end = (highest / steep).min(widest);
        lines.push(PlotCurve {
            name: "load line".into(),
            role: CurveRole::Guide,
            points: vec![at(0.0, 0.0), at(end, steep * end)],
        });
        lines.sort_by_key(|line| line.role != CurveRole::Main);
        Some(Plot {
            title: format!("The curve of {} and where this shape works on it", self.prediction.grade.name),
            x: axis("field inside, H", x.label),
            y: axis("B and J", y.label),
            curves: lines,
            marks,
            stretches: Vec::new(),
            remark: "Where the load line meets B past its bend, strength is lost for good; the middle of the face feels more than the mean.".into(),
        })
    }

    /// Flux against temperature, in per cent of the fresh flux at 20 °C.
    fn temperature(&self, cells: &Inside, stands: f64) -> Option<Plot> {
        let grade = self.prediction.grade;
        let room = self.material.curve_at_reference().ok()?;
        let fresh = cells.as_delivered(&room);
        let low = self.exposure.coldest.min(0.0);
        let high =
            (stands.max(self.exposure.warmest).max(grade.max_service_celsius) + BEYOND).min(grade.curie_celsius - 1.0);
        let x = self.reader.units.scale(Kind::Temperature, 0.0);
        let place = |celsius: f64| x.apply(Temperature::from_celsius(celsius).si());
        let share = |j: f64| 100.0 * j / fresh.polarisation;
        let (mut hot, mut reversible, mut after) = (Vec::new(), Vec::new(), Vec::new());
        for k in 0..=TEMPERATURE_POINTS {
            let celsius = low + (high - low) * f64::from(k) / f64::from(TEMPERATURE_POINTS);
            // Beyond the last temperature with a curve there is nothing left to draw.
            let Ok(curve) = self.material.curve(celsius) else { break };
            let then = cells.settle(&curve, Some(&fresh));
            let cold = cells.settle(&room, Some(&then));
            hot.push([place(celsius), share(then.polarisation)]);
            reversible.push([
                place(celsius),
                share(fresh.polarisation * curve.remanence() / room.remanence()),
            ]);
            after.push([place(celsius), share(cold.polarisation)]);
        }
        let line = |name: &str, role, points| PlotCurve {
            name: name.into(),
            role,
            points,
        };
        let mut marks = Vec::new();
        if stands < high {
            marks.push(PlotMark {
                at: [place(stands), 100.0 * (1.0 - LOSS_ALLOWED)],
                text: format!("stands {}: 5\u{a0}% are lost for good", self.celsius(stands)),
            });
        }
        let rated = grade.max_service_celsius.min(self.prediction.coating.max_celsius);
        let stretches = if rated < high {
            vec![PlotStretch {
                from: place(rated),
                to: place(high),
                text: format!("not rated above {}", self.celsius(rated)),
            }]
        } else {
            Vec::new()
        };
        Some(Plot {
            title: "Its flux when it is heated once".into(),
            x: axis("temperature", x.label),
            y: axis("flux, of that at 20 °C", "%"),
            curves: vec![
                line("while it is there", CurveRole::Main, hot),
                line("back at 20 °C", CurveRole::Limit, after),
                line("if all came back", CurveRole::Beside, reversible),
            ],
            marks,
            stretches,
            remark: "What lies between the upper two while it is hot comes back; what is missing back at 20 °C is lost for good.".into(),
        })
    }

    fn inside(&self, cells: &Inside, heated: &inside::Heated) -> Option<InsideView> {
        let visits = [self.exposure.warmest, self.exposure.coldest];
        // The visit with the larger part past the knee, or the larger field where none is.
        let shares = |k: usize| -> Option<(f64, f64)> {
            let state = heated.visits.get(k)?;
            Some((
                state.past_knee,
                state.worst / self.material.curve(visits[k]).ok()?.knee(),
            ))
        };
        let worst = usize::from(shares(1)? > shares(0)?);
        let (state, celsius) = (heated.visits.get(worst)?, visits[worst]);
        let knee = self.material.curve(celsius).ok()?.knee();
        let places = cells.cells();
        let (across, levels) = (places.across.len() - 1, places.along.len() - 1);
        let rows = |value: &dyn Fn(usize) -> f64| -> Vec<Vec<f64>> {
            let upper: Vec<Vec<f64>> = (0..levels)
                .map(|z| (0..across).map(|x| round(value(x * levels + z))).collect())
                .collect();
            if places.halved {
                upper.iter().rev().cloned().chain(upper.iter().cloned()).collect()
            } else {
                upper
            }
        };
        let millimetres = |edges: &[f64]| -> Vec<f64> { edges.iter().map(|e| round(e * 1e3)).collect() };
        let along = if places.halved {
            let top = places.along.last().copied()?;
            let lower = places.along.iter().rev().map(|e| top - e);
            lower.chain(places.along.iter().skip(1).map(|e| top + e)).collect()
        } else {
            places.along.clone()
        };
        let (left, right) = (places.across.first()? * 1e3, places.across.last()? * 1e3);
        let top = along.last()? * 1e3;
        Some(InsideView {
            title: format!(
                "The field inside, as a share of that at the knee, at {}",
                self.celsius(celsius)
            ),
            across_mm: millimetres(&places.across),
            along_mm: millimetres(&along),
            cells: rows(&|k| state.field.get(k).map_or(0.0, |h| h / knee)),
            kept: rows(&|k| heated.after.retained.get(k).copied().unwrap_or(1.0)),
            outline_mm: [[left, 0.0], [right, 0.0], [right, top], [left, top]]
                .map(|[x, z]| [round(x), round(z)])
                .to_vec(),
            past_knee: state.past_knee,
            text: if state.past_knee > 0.0 {
                format!("{} of the volume is past the knee", percent(state.past_knee))
            } else {
                format!(
                    "no part is past the knee: the worst uses {} of what it has",
                    percent(state.worst / knee)
                )
            },
        })
    }
}

fn axis(label: &str, unit: &str) -> PlotAxis {
    PlotAxis {
        label: label.into(),
        unit: unit.into(),
    }
}

/// Three decimals are enough for a picture.
fn round(value: f64) -> f64 {
    (value * 1e3).round() / 1e3
}
