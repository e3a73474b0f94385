//! What the steel does to a pull, drawn and said: pull against the thickness of the plate, and what the solver says.

use quantity::{FluxDensity, Force, Length, Quantity, Units};
use serde::Serialize;
use steel::Behind;
use utoipa::ToSchema;

use crate::answer::{Answer, Candidate};
use crate::catalogue::Catalogue;
use crate::criteria::Criteria;
use crate::predict::{BEHIND, InUse, Task};
use crate::view::plot::{CurveRole, Plot, PlotAxis, PlotCurve, PlotMark};
use crate::view::text::{Reader, percent};

/// Points of the curve.
const POINTS: u32 = 48;
/// The curve ends at this many times the thickness that is enough.
const PAST_ENOUGH: f64 = 2.5;

/// A pull as the solver has it, beside the law's.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Confirmed {
    /// Pull by the solver, in newtons, with the same factors as the predicted one.
    pub value: f64,
    /// In words, with how far the law was off.
    pub text: String,
    /// Whether the two differ by no more than the stated error of the law.
    pub agrees: bool,
    /// The field behind steel of a given thickness, in words.
    pub behind: Option<String>,
}

/// Flux densities behind a sheet below this are not told, T.
const LEAST_BEHIND: f64 = 0.1e-3;

/// What is behind a sheet, at its back and [`BEHIND`] further, in words.
pub fn behind(found: &Behind, units: &Units) -> String {
    let least = FluxDensity(LEAST_BEHIND).show_to(1, units);
    if found.at_back < LEAST_BEHIND {
        return format!("behind the sheet: less than {least}");
    }
    let away = if found.away < LEAST_BEHIND {
        format!("less than {least}")
    } else {
        FluxDensity(found.away).show_to(2, units).to_string()
    };
    format!(
        "behind the sheet: about {} at its back, {away} {} away",
        FluxDensity(found.at_back).show_to(2, units),
        Length(BEHIND).show_to(2, units)
    )
}

/// Pull of a candidate against the thickness of the plate; `None` where it holds on no steel.
pub fn for_candidate(answer: &Answer, candidate: &Candidate, catalogue: &Catalogue, reader: &Reader) -> Option<Plot> {
    let criteria = Criteria::new(&answer.question, catalogue);
    let fresh = criteria.prediction(&candidate.item, criteria.task)?;
    plot(&criteria.in_use(&fresh, candidate.build.pieces).ok()?, reader)
}

/// Pull of one piece in contact with mild steel against the thickness of the plate.
pub fn for_item(in_use: &InUse, reader: &Reader) -> Option<Plot> {
    plot(&in_use.for_task(Task::thick_steel([0.0; 3])), reader)
}

/// Pull of a build against the thickness of the plate.
fn plot(in_use: &InUse, reader: &Reader) -> Option<Plot> {
    let Task::Plate { thickness, .. } = in_use.task else {
        return None;
    };
    let enough = in_use.steel()?.enough;
    let on = |plate: Option<f64>| in_use.for_task(in_use.task.on_plate(plate)).value().ok();
    let thick = on(None)?;
    let scale = |kind, top| reader.units.scale(kind, top);
    let (x, y) = (scale(Length::KIND, 0.0), scale(Force::KIND, thick));
    let end = (PAST_ENOUGH * enough).max(1.3 * thickness.unwrap_or(0.0));
    let point = |t: f64| Some([x.apply(t), y.apply(on(Some(t))?)]);
    let mut marks = vec![PlotMark {
        at: point(enough)?,
        text: format!("{}: 95\u{a0}% of thick steel", reader.about(enough)),
    }];
    if let Some(t) = thickness {
        marks.push(PlotMark {
            at: point(t)?,
            text: format!("your steel, {}", Length(t).show(&reader.units)),
        });
    }
    Some(Plot {
        title: "Pull against the thickness of the steel".into(),
        x: PlotAxis {
            label: "thickness of the steel".into(),
            unit: x.label.into(),
        },
        y: PlotAxis {
            label: "pull".into(),
            unit: y.label.into(),
        },
        curves: vec![
            PlotCurve {
                name: "pull".into(),
                role: CurveRole::Main,
                points: (1..=POINTS)
                    .map(|k| point(end * f64::from(k) / f64::from(POINTS)))
                    .collect::<Option<_>>()?,
            },
            PlotCurve {
                name: "thick steel".into(),
                role: CurveRole::Guide,
                points: vec![[0.0, y.apply(thick)], [x.apply(end), y.apply(thick)]],
            },
        ],
        marks,
        stretches: Vec::new(),
        remark: format!(
            "half of {} leaves {} of the pull on thick steel",
            reader.about(enough),
            percent(on(Some(0.5 * enough))? / thick)
        ),
    })
}

/// The pull of a candidate by the solver; `None` where it holds on no steel, or where the solver gives nothing.
pub fn confirm(answer: &Answer, candidate: &Candidate, catalogue: &Catalogue, reader: &Reader) -> Option<Confirmed> {
    let criteria = Criteria::new(&answer.question, catalogue);
    let fresh = criteria.prediction(&candidate.item, criteria.task)?;
    let in_use = criteria.in_use(&fresh, candidate.build.pieces).ok()?;
    let found = in_use.confirmed(&catalogue.steels)?;
    let difference = found.value / found.predicted - 1.0;
    let agrees = difference.abs() <= found.error;
    let amount = percent(difference.abs());
    let stands = if found.stand_in {
        " for the disc that stands for it"
    } else {
        ""
    };
    let value = reader.text::<Force>(found.value);
    let text = match (agrees, difference < 0.0) {
        (true, _) => format!("solved{stands}: {value}, within {amount} of the quick law"),
        (false, true) => {
            format!("solved{stands}: {value}, {amount} less than the quick law, more than its stated error")
        }
        (false, false) => {
            format!("solved{stands}: {value}, {amount} more than the quick law, more than its stated error")
        }
    };
    Some(Confirmed {
        value: found.value,
        text,
        agrees,
        behind: found.behind.map(|found| behind(&found, &reader.units)),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::{ask, catalogue, disc};

    fn held(steel: &str) -> (Answer, Reader) {
        let question = format!(
            r#"{{"need": {{"verb": "hold", "load": "1 N", "steel": {{"material": "mild steel", "thickness": "{steel}"}}}}}}"#
        );
        let reader = Reader {
            units: quantity::Units::metric(),
            currency: quantity::Currency::EUR,
        };
        (ask(&question, &[disc("a", 20.0, 5.0)]), reader)
    }

    #[test]
    fn the_curve_rises_to_thick_steel_and_names_what_is_enough() {
        let (answer, reader) = held("1 mm");
        let plot = for_candidate(&answer, &answer.candidates[0], &catalogue(), &reader).unwrap();
        let points = &plot.curves[0].points;
        assert!(points.windows(2).all(|w| w[1][1] >= 0.99 * w[0][1]));
        let thick = plot.curves[1].points[0][1];
        assert!((plot.marks[0].at[1] / thick - 0.95).abs() <= 2e-3);
        assert!((points[POINTS as usize - 1][1] / thick - 1.0).abs() <= 0.05);
        assert!(plot.marks[1].text.contains("your steel"));
    }

    #[test]
    fn the_solver_confirms_what_the_law_says() {
        let (answer, reader) = held("1 mm");
        let candidate = &answer.candidates[0];
        let confirmed = confirm(&answer, candidate, &catalogue(), &reader).unwrap();
        assert!(
            (confirmed.value / candidate.band.mid - 1.0).abs() <= 0.05,
            "{confirmed:?}"
        );
        assert!(confirmed.agrees && confirmed.text.contains("within"), "{confirmed:?}");
    }

    #[test]
    fn what_leaks_through_thin_steel_is_told_and_thick_steel_leaks_nothing() {
        let behind = |steel: &str| {
            let (answer, reader) = held(steel);
            let confirmed = confirm(&answer, &answer.candidates[0], &catalogue(), &reader).unwrap();
            confirmed.behind.unwrap()
        };
        let thin = behind("0.5 mm");
        assert!(
            thin.contains("mT at its back") && thin.ends_with("10\u{a0}mm away"),
            "{thin}"
        );
        // What is left behind thick steel comes around its rim.
        assert!(behind("10 mm").contains("about 0."), "{}", behind("10 mm"));
        let nothing = Behind {
            at_back: 0.05e-3,
            away: 0.01e-3,
            carried: 1.0,
        };
        let said = super::behind(&nothing, &Units::metric());
        assert_eq!(said, "behind the sheet: less than 0.1\u{a0}mT");
    }
}
