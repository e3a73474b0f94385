//! The lots of a magnet so far, one mean each, with control limits.

use advice::view::plot::{CurveRole, Plot, PlotAxis, PlotCurve, PlotMark};
use bench::lots::{control_chart, spread};
use quantity::{FluxDensity, Quantity, Units};
use shop::bench::{Standing, Taken};

use super::opened::{Opened, at_face};
use crate::desk::{Desk, time_text};
use crate::problem::Problem;

/// Lots from which they are charted.
const CHARTED: usize = 3;
/// Sessions that are looked through.
const MOST_LOTS: usize = 30;

impl Desk {
    /// The means of the lots of the same magnet, the oldest first, this one among them.
    ///
    /// # Errors
    /// When the database fails.
    pub fn lots_before(&self, opened: &Opened, units: &Units) -> Result<Option<Plot>, Problem> {
        let own = opened.session.magnet_key()?;
        let mut means = Vec::new();
        for entry in self.shop.sessions(MOST_LOTS)? {
            let session = entry.session;
            if session.magnet_key()? != own || session.probe != opened.session.probe {
                continue;
            }
            let values = face_values(&self.shop.readings(&session.id)?);
            if let Ok(spread) = spread(&values) {
                let name = if session.lot.is_empty() {
                    time_text(session.begun_at).get(..10).unwrap_or_default().to_owned()
                } else {
                    session.lot
                };
                means.push((name, spread.mean));
            }
        }
        means.reverse();
        if means.len() < CHARTED {
            return Ok(None);
        }
        let values: Vec<f64> = means.iter().map(|(_, mean)| *mean).collect();
        let Ok(chart) = control_chart(&values) else {
            return Ok(None);
        };
        let scale = units.scale(FluxDensity::KIND, chart.limits[1].abs());
        let ends = [1.0, means.len() as f64];
        let level = |name: &str, si: f64, role| PlotCurve {
            name: name.into(),
            role,
            points: ends.iter().map(|&x| [x, scale.apply(si)]).collect(),
        };
        let at = |k: usize| [k as f64 + 1.0, scale.apply(means[k].1)];
        Ok(Some(Plot {
            title: "The lots so far".into(),
            x: PlotAxis {
                label: "lot, in order".into(),
                unit: String::new(),
            },
            y: PlotAxis {
                label: "mean of one piece at its face".into(),
                unit: scale.label.into(),
            },
            curves: vec![
                PlotCurve {
                    name: String::new(),
                    role: CurveRole::Main,
                    points: (0..means.len()).map(at).collect(),
                },
                level("upper limit", chart.limits[1], CurveRole::Limit),
                level("lower limit", chart.limits[0], CurveRole::Limit),
                level("mean", chart.centre, CurveRole::Guide),
            ],
            marks: means
                .iter()
                .enumerate()
                .map(|(k, (name, _))| PlotMark {
                    at: at(k),
                    text: name.clone(),
                })
                .collect(),
            stretches: Vec::new(),
            remark: match chart.outside.len() {
                0 => "Limits by the mean moving range; no lot is outside.".into(),
                1 => "Limits by the mean moving range; one lot is outside.".into(),
                n => format!("Limits by the mean moving range; {n} lots are outside."),
            },
        }))
    }
}

/// Readings of one piece at its face that are not left out, in T.
pub fn face_values(taken: &[Taken]) -> Vec<f64> {
    taken
        .iter()
        .filter(|t| t.standing != Standing::LeftOut && t.reading.pieces == 1 && at_face(&t.reading))
        .map(|t| t.reading.value.si())
        .collect()
}
