//! What the steel does to a pull, drawn and said: pull against the thickness of the plate, and what the solver says.

use quantity::{FluxDensity, Force, Length, Quantity, Units};
use serde::Serialize;
use utoipa::ToSchema;

use crate::answer::{BEHIND, PlateCurve, Solved};
use crate::view::plot::{CurveRole, Plot, PlotAxis, PlotCurve, PlotMark};
use crate::view::text::{Reader, percent};

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
pub fn behind([at_back, away]: [f64; 2], units: &Units) -> String {
    let least = FluxDensity(LEAST_BEHIND).show_to(1, units);
    if at_back < LEAST_BEHIND {
        return format!("behind the sheet: less than {least}");
    }
    let away = if away < LEAST_BEHIND {
        format!("less than {least}")
    } else {
        FluxDensity(away).show_to(2, units).to_string()
    };
    format!(
        "behind the sheet: about {} at its back, {away} {} away",
        FluxDensity(at_back).show_to(2, units),
        Length(BEHIND).show_to(2, units)
    )
}

/// Pull of a build against the thickness of the plate.
pub fn plot(found: &PlateCurve, reader: &Reader) -> Plot {
    let (x, y) = (
        reader.units.scale(Length::KIND, 0.0),
        reader.units.scale(Force::KIND, found.thick),
    );
    let point = |[thickness, pull]: [f64; 2]| [x.apply(thickness), y.apply(pull)];
    let [enough, _] = found.enough;
    let end = found.points.last().map_or(enough, |[thickness, _]| *thickness);
    let mut marks = vec![PlotMark {
        at: point(found.enough),
        text: format!("{}: 95\u{a0}% of thick steel", reader.about(enough)),
    }];
    marks.extend(found.asked.map(|asked| PlotMark {
        at: point(asked),
        text: format!("your steel, {}", Length(asked[0]).show(&reader.units)),
    }));
    Plot {
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
                points: found.points.iter().copied().map(point).collect(),
            },
            PlotCurve {
                name: "thick steel".into(),
                role: CurveRole::Guide,
                points: [0.0, end].map(|thickness| point([thickness, found.thick])).into(),
            },
        ],
        marks,
        stretches: Vec::new(),
        remark: format!(
            "half of {} leaves {} of the pull on thick steel",
            reader.about(enough),
            percent(found.on_half / found.thick)
        ),
    }
}

/// A pull by the solver, beside the law's.
pub fn confirmed(found: &Solved, reader: &Reader) -> Confirmed {
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
    Confirmed {
        value: found.value,
        text,
        agrees,
        behind: found.behind.map(|found| behind(found, &reader.units)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answer::{Detail, Reason};
    use crate::detail::{Depth, detail};
    use crate::fixture::{ask, block, catalogue, disc};

    fn held(steel: &str) -> (f64, Detail, Reader) {
        let question = format!(
            r#"{{"need": {{"verb": "hold", "load": "1 N", "steel": {{"material": "mild steel", "thickness": "{steel}"}}}}}}"#
        );
        let reader = Reader {
            units: quantity::Units::metric(),
            currency: quantity::Currency::EUR,
        };
        let answer = ask(&question, &[disc("a", 20.0, 5.0)]);
        let candidate = &answer.candidates[0];
        let found = detail(&answer, candidate, &catalogue(), Depth::Whole).unwrap();
        (candidate.band.mid, found, reader)
    }

    fn solved(found: &Detail, reader: &Reader) -> Confirmed {
        confirmed(&found.closer.as_ref().unwrap().solved.unwrap(), reader)
    }

    #[test]
    fn the_curve_rises_to_thick_steel_and_names_what_is_enough() {
        let (_, found, reader) = held("1 mm");
        let plot = plot(found.plate.as_ref().unwrap(), &reader);
        let points = &plot.curves[0].points;
        assert!(points.windows(2).all(|w| w[1][1] >= 0.99 * w[0][1]));
        let thick = plot.curves[1].points[0][1];
        assert!((plot.marks[0].at[1] / thick - 0.95).abs() <= 2e-3);
        assert!((points.last().unwrap()[1] / thick - 1.0).abs() <= 0.05);
        assert!(plot.marks[1].text.contains("your steel"));
    }

    #[test]
    fn the_solver_confirms_what_the_law_says() {
        let (mid, found, reader) = held("1 mm");
        let confirmed = solved(&found, &reader);
        assert!((confirmed.value / mid - 1.0).abs() <= 0.05, "{confirmed:?}");
        assert!(confirmed.agrees && confirmed.text.contains("within"), "{confirmed:?}");
    }

    /// A block on a wide plate is solved itself, in three dimensions.
    #[test]
    fn a_block_on_thin_steel_is_no_guess_and_is_confirmed() {
        let question =
            r#"{"need": {"verb": "hold", "load": "1 N", "steel": {"material": "mild steel", "thickness": "0.5 mm"}}}"#;
        let answer = ask(question, &[block("a", 50.0, 10.0, 5.0)]);
        let candidate = &answer.candidates[0];
        let guessed = |because: &Reason| matches!(because, Reason::SteelEstimate { .. });
        assert!(!candidate.because.iter().any(guessed), "{:?}", candidate.because);
        let found = detail(&answer, candidate, &catalogue(), Depth::Whole).unwrap();
        let solved = found.closer.as_ref().unwrap().solved.unwrap();
        assert!(!solved.stand_in && solved.error < 0.03, "{solved:?}");
        assert!(
            (solved.value / solved.predicted - 1.0).abs() <= solved.error,
            "{solved:?}"
        );
    }

    /// So is a block on a small plate, on that plate.
    #[test]
    fn a_block_on_a_small_plate_is_solved_on_that_plate() {
        let on = |across: &str| {
            let question = format!(
                r#"{{"need": {{"verb": "hold", "load": "1 N", "steel": {{"material": "mild steel", "thickness": "2 mm"{across}}}}}}}"#
            );
            let answer = ask(&question, &[block("a", 50.0, 10.0, 5.0)]);
            let found = detail(&answer, &answer.candidates[0], &catalogue(), Depth::Whole).unwrap();
            found.closer.as_ref().unwrap().solved.unwrap()
        };
        let (small, wide) = (on(r#", "across": "52 mm""#), on(""));
        assert!(!small.stand_in && small.error < 0.2, "{small:?}");
        assert!(small.value < 0.99 * wide.value, "{small:?} {wide:?}");
        assert!((small.value / small.predicted - 1.0).abs() <= small.error, "{small:?}");
    }

    #[test]
    fn what_leaks_through_thin_steel_is_told_and_thick_steel_leaks_nothing() {
        let behind = |steel: &str| {
            let (_, found, reader) = held(steel);
            solved(&found, &reader).behind.unwrap()
        };
        let thin = behind("0.5 mm");
        assert!(
            thin.contains("mT at its back") && thin.ends_with("10\u{a0}mm away"),
            "{thin}"
        );
        // What is left behind thick steel comes around its rim.
        assert!(behind("10 mm").contains("about 0."), "{}", behind("10 mm"));
        let said = super::behind([0.05e-3, 0.01e-3], &Units::metric());
        assert_eq!(said, "behind the sheet: less than 0.1\u{a0}mT");
    }
}
