//! The charts of a lesson, computed for a shelf.

use advice::answer::{Along, Curve};
use advice::catalogue::Catalogue;
use advice::enquiry::Enquiry;
use advice::explain::{Figure, Figures};
use advice::ladder::{self, Face, LadderRequest, Measure, Rising};
use advice::question::Conditions;
use advice::view::ladder::{self as ladder_view, LadderView};
use advice::view::plot::{CurveRole, Plot, PlotAxis, PlotCurve};
use advice::view::text::{Reader, capital};
use advice::{Item, tell};
use quantity::{FluxDensity, Force, Kind, Length, Quantity};
use serde::Serialize;
use serde_json::json;
use utoipa::ToSchema;

use crate::read::{By, Chart, Compared, What};

/// A chart of a lesson.
#[derive(Clone, Debug, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ChartView {
    /// Figures side by side.
    Bars(BarsView),
    /// Curves over one another.
    Plot(Box<Plot>),
    /// What each step brings, with its price.
    Ladder(Box<LadderView>),
}

/// Figures side by side.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct BarsView {
    /// What they are.
    pub title: String,
    /// The figures.
    pub bars: Vec<BarView>,
}

/// A figure beside others.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct BarView {
    /// What it is of.
    pub label: String,
    /// It over the largest, 0 to 1.
    pub share: f64,
    /// It in words.
    pub text: String,
}

/// What charts are computed from.
pub struct Source<'a> {
    /// The shelf.
    pub shelf: &'a [Item],
    /// Its materials.
    pub catalogue: &'a Catalogue,
    /// Its figures.
    pub figures: &'a Figures<'a>,
    /// For whom.
    pub reader: &'a Reader,
}

impl Source<'_> {
    /// A chart; `None` where this shelf has nothing to show in it. `fill` puts figures into texts.
    pub fn chart(&self, chart: &Chart, fill: impl Fn(&str) -> String) -> Option<ChartView> {
        match chart {
            Chart::Bars { title, bars } => {
                let found: Vec<(String, f64, String)> = bars
                    .iter()
                    .filter_map(|bar| {
                        let value = number(&self.figures.figure(&bar.figure)?)?;
                        Some((bar.label.clone(), value, fill(&format!("{{{}}}", bar.figure))))
                    })
                    .collect();
                let most = found.iter().map(|(_, value, _)| *value).fold(0.0, f64::max);
                if found.len() < 2 || most <= 0.0 {
                    return None;
                }
                let bars = found.into_iter().map(|(label, value, text)| BarView {
                    label,
                    share: (value / most).max(0.0),
                    text,
                });
                Some(ChartView::Bars(BarsView {
                    title: title.clone(),
                    bars: bars.collect(),
                }))
            }
            Chart::Curve { what, of } => self.curves(*what, of).map(|plot| ChartView::Plot(Box::new(plot))),
            Chart::Ladder { by, measure } => {
                let request = self.request(*by, *measure)?;
                let found = ladder::ladder(&request, self.shelf, self.catalogue).ok()?;
                let view = ladder_view::view(&found, self.shelf, self.reader);
                Some(ChartView::Ladder(Box::new(view)))
            }
        }
    }

    fn request(&self, by: By, measure: Compared) -> Option<LadderRequest> {
        let reference = &self.figures.reference;
        Some(LadderRequest {
            body: Face::of(&reference.shape)?,
            grade: reference.grade.clone(),
            measure: match measure {
                Compared::Face => Measure::Face { probe_depth: None },
                Compared::Pull => Measure::Pull { gap: Length(0.0) },
            },
            by: match by {
                By::Thickness => Rising::Thickness,
                By::Free => Rising::Free,
            },
            item: None,
            pieces: 100,
            worth: 0.5,
            conditions: Conditions::default(),
        })
    }

    fn curves(&self, what: What, of: &[String]) -> Option<Plot> {
        let found: Vec<(String, Curve)> = of
            .iter()
            .filter_map(|name| {
                let given = self.figures.given(name)?;
                let title = capital(&self.reader.title(&given.item, given.build));
                Some((title, self.curve(what, name)?))
            })
            .collect();
        // One scale for all of them, and one end.
        let most = |pick: fn(&Curve) -> &[f64]| {
            let values = found.iter().flat_map(|(_, curve)| pick(curve).iter().copied());
            values.filter(|v| v.is_finite()).fold(0.0, f64::max)
        };
        let (farthest, highest) = (most(|c| &c.at), most(|c| &c.mid));
        let units = &self.reader.units;
        let kind = match what {
            What::Field => FluxDensity::KIND,
            What::Pull => Force::KIND,
        };
        let (x, y) = (units.scale(Kind::Length, farthest), units.scale(kind, highest));
        let first = found.first()?;
        let end = first.1.at.last().copied().unwrap_or(farthest);
        let label = |of_field: &'static str, of_pull: &'static str| match what {
            What::Field => of_field,
            What::Pull => of_pull,
        };
        Some(Plot {
            title: label(
                "Field on the axis against the distance",
                "Pull on thick steel against the gap",
            )
            .into(),
            x: PlotAxis {
                label: label("distance from the face", "gap to the steel").into(),
                unit: x.label.into(),
            },
            y: PlotAxis {
                label: label("field on the axis", "pull").into(),
                unit: y.label.into(),
            },
            curves: found
                .iter()
                .enumerate()
                .map(|(k, (title, curve))| PlotCurve {
                    name: title.clone(),
                    role: if k == 0 { CurveRole::Main } else { CurveRole::Beside },
                    points: curve
                        .at
                        .iter()
                        .zip(&curve.mid)
                        .filter(|(at, _)| **at <= end * 1.000_001)
                        .map(|(at, value)| [x.apply(*at), y.apply(*value)])
                        .collect(),
                })
                .collect(),
            marks: Vec::new(),
            stretches: Vec::new(),
            remark: String::new(),
        })
    }

    fn curve(&self, what: What, name: &str) -> Option<Curve> {
        let (about, along) = match what {
            What::Field => ("field", Along::Field),
            What::Pull => ("pull", Along::Plate),
        };
        let named = self.figures.named(name)?;
        let enquiry = json!({ "kind": "tell", "about": [about], "magnets": [named] });
        let enquiry: Enquiry = serde_json::from_value(enquiry).ok()?;
        let told = tell::tell(&enquiry, self.shelf, self.catalogue).ok()?;
        let curves = told.curves(self.catalogue).curves;
        curves.into_iter().find(|curve| curve.along == along)
    }
}

/// The number of a figure, for a length on paper; `None` for what is no number.
fn number(figure: &Figure) -> Option<f64> {
    match figure {
        Figure::Force(v)
        | Figure::LowForce([v, _])
        | Figure::HighForce([_, v])
        | Figure::LowField([v, _])
        | Figure::HighField([_, v])
        | Figure::Newton(v)
        | Figure::Field(v)
        | Figure::Tesla(v)
        | Figure::Gauss(v)
        | Figure::FarField(v)
        | Figure::Mass(v)
        | Figure::Kilogram(v)
        | Figure::Length(v)
        | Figure::About(v)
        | Figure::NoLess(v)
        | Figure::Sheet(v)
        | Figure::Celsius(v)
        | Figure::Share(v)
        | Figure::Gain(v)
        | Figure::FluxIndex(v) => Some(*v).filter(|v| v.is_finite()),
        Figure::Count(n) => Some(*n as f64),
        Figure::Name(_) | Figure::Magnet(_) | Figure::Prices(_) | Figure::Nothing => None,
    }
}
