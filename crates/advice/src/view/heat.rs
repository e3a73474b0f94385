//! What heat and its own field do to a build, as it is shown: the curve with its load line, flux against temperature, and a map
//! of the inside.

use materials::MU_0;
use quantity::{FieldStrength, FluxDensity, Kind, Temperature};
use serde::Serialize;
use utoipa::ToSchema;

use crate::answer::{Branches, Heat, LimitedBy, Warming};
use crate::exposure::LOSS_ALLOWED;
use crate::heat::LOSS_WORTH_SAYING;
use crate::view::Pair;
use crate::view::plot::{CurveRole, Plot, PlotAxis, PlotCurve, PlotMark, PlotStretch};
use crate::view::text::{Fact, Reader, Run, percent, runs};

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
    /// Share of the remanence that each cell keeps permanently, in the same order.
    pub kept: Vec<Vec<f64>>,
    /// The outline of the section right of the axis, `[x, z]` in mm.
    #[schema(value_type = Vec<Pair>)]
    pub outline_mm: Vec<[f64; 2]>,
    /// Share of the volume past the knee.
    pub past_knee: f64,
    /// In words.
    pub text: String,
}

/// What heat and its own field do to a build, for a reader.
#[must_use]
pub fn view(found: &Heat, reader: &Reader) -> HeatView {
    let shown = Shown { found, reader };
    HeatView {
        lead: runs(&shown.lead()),
        facts: shown.facts(),
        curve: shown.curve(),
        temperature: shown.temperature(),
        inside: shown.inside(),
    }
}

struct Shown<'a> {
    found: &'a Heat,
    reader: &'a Reader,
}

impl Shown<'_> {
    /// A temperature that it stands, with what sets it.
    fn limit_words(&self, (celsius, by): (f64, LimitedBy)) -> String {
        let stands = self.reader.up_to_celsius(celsius);
        match by {
            LimitedBy::Shape => format!("{stands}, the limit for this shape"),
            LimitedBy::Grade => format!("{stands}, what its grade is rated for"),
            LimitedBy::Coating => format!("{stands}, what its coating is rated for"),
        }
    }

    fn lead(&self) -> String {
        let Heat { loss, short, .. } = *self.found;
        let limit = self.found.in_use;
        let mut text = format!("It may be used up to **{}**", self.limit_words(limit));
        if limit.1 == LimitedBy::Shape {
            let rated = self.found.grade.max_service_celsius;
            text += &format!("; its grade is rated {}", self.reader.celsius(rated));
        }
        text.push('.');
        if loss >= LOSS_WORTH_SAYING {
            text += &format!(
                " In this use up to **{}** of its flux is lost permanently, where its coercivity is the least of its grade.",
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
        let Heat { grade, factor, .. } = self.found;
        let [alone, on_steel, opposed] = self.found.stands.map(|stands| self.limit_words(stands));
        let strength = |a: f64| self.reader.text::<FieldStrength>(a);
        let [from, to] = grade.coefficients_hold();
        let per_kelvin = |share: f64| format!("{:+.3}\u{a0}%/K", share * 100.0).replace('-', "−");
        let mut facts = vec![
            (
                "permeance coefficient",
                format!("{:.2} in the mean", (1.0 - factor) / factor),
            ),
            ("max. working temperature alone", alone),
            ("on thick steel", on_steel),
            ("with like poles pressed together", opposed),
        ];
        if let Some(celsius) = self.found.by_definition {
            let rated = grade.max_service_celsius;
            let by_loss = if celsius > rated {
                format!("more than the {} that it is rated for", self.reader.celsius(rated))
            } else {
                self.reader.celsius(celsius)
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
                self.reader.celsius(from),
                self.reader.celsius(to)
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
    fn curve(&self) -> Plot {
        let Heat { curves, factor, .. } = self.found;
        let most = |of: fn(&Branches) -> f64| curves.iter().map(of).fold(0.0, f64::max);
        let (widest, highest) = (most(|c| c.ends[0]), most(|c| c.ends[1]));
        let x = self.reader.units.scale(Kind::FieldStrength, widest);
        let y = self.reader.units.scale(Kind::FluxDensity, highest);
        let at = |[h, b]: [f64; 2]| [x.apply(-h), y.apply(b)];
        let (mut lines, mut marks) = (Vec::new(), Vec::new());
        for (k, branches) in curves.iter().enumerate() {
            let role = if k + 1 == curves.len() {
                CurveRole::Main
            } else {
                CurveRole::Beside
            };
            let celsius = self.reader.celsius(branches.celsius);
            lines.extend(
                [("B", &branches.b), ("J", &branches.j)].map(|(letter, points)| PlotCurve {
                    name: format!("{letter} at {celsius}"),
                    role,
                    points: points.iter().copied().map(at).collect(),
                }),
            );
            let [h, b] = branches.works;
            marks.push(PlotMark {
                at: at([h, b]),
                text: format!(
                    "works at {}, {} in the mean at {celsius}",
                    self.reader.text::<FluxDensity>(b),
                    self.reader.text::<FieldStrength>(-h),
                ),
            });
        }
        // B = -μ0 H (1 - N) / N, up to the top of the chart or its left end.
        let steep = MU_0 * (1.0 - factor) / factor;
        let end = (highest / steep).min(widest);
        lines.push(PlotCurve {
            name: "load line".into(),
            role: CurveRole::Guide,
            points: vec![at([0.0, 0.0]), at([end, steep * end])],
        });
        lines.sort_by_key(|line| line.role != CurveRole::Main);
        Plot {
            title: format!("The curve of {} and where this shape works on it", self.found.grade.name),
            x: axis("field inside, H", x.label),
            y: axis("B and J", y.label),
            curves: lines,
            marks,
            stretches: Vec::new(),
            remark: "Where the load line meets B past its bend, strength is lost permanently; the middle of the face feels more than the mean.".into(),
        }
    }

    /// Flux against temperature, in per cent of the fresh flux at 20 °C.
    fn temperature(&self) -> Plot {
        let Warming { points, end, stands } = &self.found.warming;
        let x = self.reader.units.scale(Kind::Temperature, 0.0);
        let place = |celsius: f64| x.apply(Temperature::from_celsius(celsius).si());
        let line = |name: &str, role, column: usize| PlotCurve {
            name: name.into(),
            role,
            points: points.iter().map(|p| [place(p[0]), 100.0 * p[column]]).collect(),
        };
        let mut marks = Vec::new();
        if stands < end {
            marks.push(PlotMark {
                at: [place(*stands), 100.0 * (1.0 - LOSS_ALLOWED)],
                text: format!("{}: 5\u{a0}% are lost permanently", self.reader.up_to_celsius(*stands)),
            });
        }
        let rated = self.found.rated;
        let stretches = if rated < *end {
            vec![PlotStretch {
                from: place(rated),
                to: place(*end),
                text: format!("not rated above {}", self.reader.celsius(rated)),
            }]
        } else {
            Vec::new()
        };
        Plot {
            title: "Its flux when it is heated once".into(),
            x: axis("temperature", x.label),
            y: axis("flux, of that at 20 °C", "%"),
            curves: vec![
                line("while it is there", CurveRole::Main, 1),
                line("back at 20 °C", CurveRole::Limit, 3),
                line("if all came back", CurveRole::Beside, 2),
            ],
            marks,
            stretches,
            remark: "What lies between the upper two while it is hot comes back; what is missing back at 20 °C is lost permanently.".into(),
        }
    }

    fn inside(&self) -> InsideView {
        let found = &self.found.inside;
        let millimetres = |edges: &[f64]| -> Vec<f64> { edges.iter().map(|e| round(e * 1e3)).collect() };
        let rows = |rows: &[Vec<f64>]| {
            rows.iter()
                .map(|row| row.iter().copied().map(round).collect())
                .collect()
        };
        let end = |edges: &[f64]| edges.last().map_or(0.0, |e| e * 1e3);
        let left = found.across.first().map_or(0.0, |e| e * 1e3);
        let (right, top) = (end(&found.across), end(&found.along));
        InsideView {
            title: format!(
                "The field inside, as a share of that at the knee, at {}",
                self.reader.celsius(found.celsius)
            ),
            across_mm: millimetres(&found.across),
            along_mm: millimetres(&found.along),
            cells: rows(&found.cells),
            kept: rows(&found.kept),
            outline_mm: [[left, 0.0], [right, 0.0], [right, top], [left, top]]
                .map(|[x, z]| [round(x), round(z)])
                .to_vec(),
            past_knee: found.past_knee,
            text: if found.past_knee > 0.0 {
                format!("{} of the volume is past the knee", percent(found.past_knee))
            } else {
                format!(
                    "no part is past the knee: the worst uses {} of what it has",
                    percent(found.worst)
                )
            },
        }
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
