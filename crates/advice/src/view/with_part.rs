//! What is shown of the steel part of a build: what it adds, and how soon a gap takes that away.

use quantity::{FluxDensity, Force, Length, Quantity};
use serde::Serialize;
use utoipa::ToSchema;

use crate::answer::{Answer, Candidate, CurvePoint, Predicted, Verdict, WithPart};
use crate::question::Steelwork;
use crate::view::part::role;
use crate::view::plot::{CurveRole, Plot, PlotAxis, PlotCurve, PlotMark};
use crate::view::text::{Figure, Reader, Run, capital, percent, runs};

/// A difference of sizes that is not worth a word, m.
const HARDLY: f64 = 0.05e-3;

/// The steel part of a build: what it adds, and how soon a gap takes that away.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct PartView {
    /// Code of the part.
    pub code: String,
    /// What the same magnets give without it.
    pub bare: Figure,
    /// What it adds, at the gap or distance asked and in contact.
    pub adds: Vec<Run>,
    /// How soon a gap takes that away.
    pub loses: String,
    /// How the build compares with the cheapest bare one that surely does; empty where there is none.
    pub compared: String,
    /// Against the gap or distance, with the part and without.
    pub plot: Plot,
}

/// Shows the steel part of a candidate; `None` for a bare build.
pub fn view(answer: &Answer, c: &Candidate, reader: &Reader) -> Option<PartView> {
    let (f, part) = (c.with_part.as_ref()?, c.build.part.as_ref()?);
    let loses = loses(f, reader);
    Some(PartView {
        code: part.code.clone(),
        bare: reader.predicted(answer.need.quantity, f.bare),
        adds: runs(&adds(answer, c.band.mid, f, reader)),
        compared: answer
            .best_bare()
            .map_or_else(String::new, |bare| compared(c, bare, reader)),
        plot: plot(answer, c, f, &loses, reader),
        loses,
    })
}

/// What is said where shelf or program are no longer those that were asked.
pub fn moved_on() -> Vec<Run> {
    runs("Shelf or program have changed since this was asked: ask again for builds with steel parts.")
}

/// What comes of steel parts, in a sentence, once they were looked for.
pub(super) fn found(answer: &Answer, reader: &Reader) -> String {
    let wanted = answer.question.limits.steelwork;
    let Some(first) = answer.with_parts().next() else {
        return match wanted {
            Some(Steelwork::Bare) => "No steel parts are wanted.".into(),
            Some(wanted) => format!("Nothing on the shelf does this {} within the limits.", wanted.text()),
            None if answer.question.need.steelwork().is_empty() => "Steel parts are not reckoned for this need.".into(),
            None => "No steel part of the shelf makes this cheaper, smaller or surer.".into(),
        };
    };
    let cost = first
        .cost_each
        .map_or_else(String::new, |m| format!(", at **{}** each", reader.money(m)));
    let does = match first.verdict {
        Verdict::Sure => "surely does",
        Verdict::Middle => "meets the need only at its typical value",
    };
    let bare = match answer.best_bare() {
        Some(_) => String::new(),
        None => " where nothing bare surely does".into(),
    };
    format!(
        "**{}** {does}{cost}{bare}.",
        capital(&reader.build(&first.item, &first.build))
    )
}

/// What the part does to a value, such as `adds **35 %** to`.
fn does(with: f64, bare: f64) -> String {
    let gain = with / bare - 1.0;
    if gain >= 0.0 {
        format!("adds **{}** to", percent(gain))
    } else {
        format!("takes **{}** off", percent(-gain))
    }
}

fn adds(answer: &Answer, value: f64, f: &WithPart, reader: &Reader) -> String {
    let bare = reader.predicted(answer.need.quantity, f.bare).text;
    let at = answer.question.need.distance();
    let here = if at > 0.0 {
        format!("Across {}", Length(at).show(&reader.units))
    } else if answer.need.quantity == Predicted::Force {
        "In contact".into()
    } else {
        "At the face".into()
    };
    let said = format!(
        "{here} the part {} the {bare} of the same magnets bare",
        does(value, f.bare)
    );
    match f.curve.first().filter(|_| at > 0.0) {
        Some(near) if answer.need.quantity == Predicted::Force => {
            format!("{said}; in contact it {} what they pull.", does(near.with, near.bare))
        }
        Some(near) => format!("{said}; at the face it {} their field.", does(near.with, near.bare)),
        None => format!("{said}."),
    }
}

/// Where a quantity that falls along the curve passes a line, by straight lines between its points.
fn passes(curve: &[CurvePoint], line: f64) -> Option<f64> {
    let gain = |p: &CurvePoint| p.with / p.bare - 1.0;
    curve.windows(2).find_map(|pair| match pair {
        [a, b] if gain(a) > line && gain(b) <= line => {
            Some(a.at + (b.at - a.at) * (gain(a) - line) / (gain(a) - gain(b)))
        }
        _ => None,
    })
}

fn loses(f: &WithPart, reader: &Reader) -> String {
    let Some(near) = f.curve.first() else {
        return String::new();
    };
    let gain = near.with / near.bare - 1.0;
    if gain <= 0.0 {
        return "It adds nothing even in contact.".into();
    }
    let half = passes(&f.curve, 0.5 * gain);
    let none = passes(&f.curve, 0.0);
    let far = f.curve.last().map_or(0.0, |p| p.at);
    match (half, none) {
        (Some(half), Some(none)) => format!(
            "Half of what it adds is gone at {}; from {} on the bare magnets do better.",
            reader.about(half),
            reader.about(none)
        ),
        (Some(half), None) => format!("Half of what it adds is gone at {}.", reader.about(half)),
        (None, Some(none)) => format!("From {} on the bare magnets do better.", reader.about(none)),
        (None, None) => format!("It keeps more than half of what it adds up to {}.", reader.about(far)),
    }
}

fn compared(f: &Candidate, bare: &Candidate, reader: &Reader) -> String {
    let mut said = Vec::new();
    if let (Some(own), Some(other)) = (f.cost_each, bare.cost_each) {
        let (less, more) = (other.minus(own), own.minus(other));
        match (less, more) {
            (Ok(less), _) if less > quantity::Money::ZERO => said.push(format!("{} less each", reader.money(less))),
            (_, Ok(more)) if more > quantity::Money::ZERO => said.push(format!("{} more each", reader.money(more))),
            _ => said.push("the same price each".into()),
        }
    }
    let mut size = |own: f64, other: f64, [small, large]: [&str; 2]| {
        if (own - other).abs() > HARDLY {
            let word = if own < other { small } else { large };
            said.push(format!("{} {word}", reader.about((own - other).abs())));
        }
    };
    size(f.width, bare.width, ["narrower", "wider"]);
    size(f.height, bare.height, ["lower", "higher"]);
    format!(
        "Against the cheapest bare build, {}: {}.",
        bare.item.code,
        said.join(", ")
    )
}

fn plot(answer: &Answer, c: &Candidate, f: &WithPart, loses: &str, reader: &Reader) -> Plot {
    let force = answer.need.quantity == Predicted::Force;
    let kind = if force { Force::KIND } else { FluxDensity::KIND };
    let most = f.curve.iter().map(|p| p.with.max(p.bare)).fold(0.0, f64::max);
    let (x, y) = (
        reader.units.scale(<Length as Quantity>::KIND, 0.0),
        reader.units.scale(kind, most),
    );
    let curve = |name: &str, role, value: fn(&CurvePoint) -> f64| PlotCurve {
        name: name.into(),
        role,
        points: f.curve.iter().map(|p| [x.apply(p.at), y.apply(value(p))]).collect(),
    };
    let (what, along) = if force {
        ("pull", "gap")
    } else {
        ("flux density", "distance")
    };
    let at = answer.question.need.distance();
    Plot {
        title: format!("{} against the {along}, with the part and without", capital(what)),
        x: PlotAxis {
            label: along.into(),
            unit: x.label.into(),
        },
        y: PlotAxis {
            label: what.into(),
            unit: y.label.into(),
        },
        curves: vec![
            curve(
                c.build
                    .part
                    .as_ref()
                    .map_or("", |part| role(part.form.kind()).trim_start_matches("a ")),
                CurveRole::Main,
                |p| p.with,
            ),
            curve("bare", CurveRole::Beside, |p| p.bare),
        ],
        marks: vec![PlotMark {
            at: [x.apply(at), y.apply(c.band.mid)],
            text: format!("asked: {}", reader.predicted(answer.need.quantity, c.band.mid).text),
        }],
        stretches: Vec::new(),
        remark: loses.into(),
    }
}

#[cfg(test)]
mod tests {
    use quantity::Units;

    use super::*;
    use crate::fixture::{ask, catalogue, cup, disc, plate};
    use crate::view::answer::AnswerView;
    use crate::view::text::plain;

    fn shown(limits: &str, layer: &str) -> AnswerView {
        let shelf = [disc("flat", 20.0, 3.0), disc("thick", 25.0, 12.0)];
        let parts = [cup("cup", [25.0, 21.0, 5.0, 3.0]), plate("back", 20.0, 2.0)];
        let json = format!(
            r#"{{"need": {{"verb": "hold", "load": "20 N", "safety_factor": 1, "layers": [{layer}]}}, "limits": {{{limits}}}}}"#
        );
        let mut answer = ask(&json, &shelf);
        assert_eq!(view(&answer).with_parts, None);
        answer.join(crate::with_part::find(&answer, &shelf, &parts, &catalogue(), &|| true).unwrap());
        view(&answer)
    }

    fn view(answer: &Answer) -> AnswerView {
        crate::view::answer::view(answer, &Units::metric())
    }

    #[test]
    fn a_build_joins_the_others_with_what_it_adds_and_how_soon_it_loses_that() {
        let all = shown(
            r#""steelwork": "cup""#,
            r#"{"material": "paint", "thickness": "0.2 mm"}"#,
        );
        // The cup that was asked for is put before what is bare.
        let first = &all.candidates[0];
        let part = first.part.as_ref().unwrap();
        let text = plain(&part.adds).replace('\u{a0}', " ");
        assert!(
            text.contains("Across 0.2 mm the part adds") && text.contains("in contact it adds"),
            "{text}"
        );
        assert!(part.loses.contains("Half of what it adds is gone at"), "{}", part.loses);
        assert!(first.title.contains("in a cup"), "{}", first.title);
        assert!(
            part.compared.contains("Against the cheapest bare build, flat"),
            "{}",
            part.compared
        );
        assert_eq!(part.plot.curves.len(), 2);
        assert_eq!(part.plot.curves[0].name, "cup");
        let said: String = first.cautions.iter().map(|c| plain(&c.runs)).collect();
        assert!(said.contains("paint") && said.contains("snaps"), "{said}");
        assert!(plain(&all.lead).contains("in a cup"), "{:?}", all.lead);
        assert!(all.candidates.iter().any(|c| c.part.is_none()));
    }

    #[test]
    fn what_was_not_found_is_said() {
        let empty = shown("", "");
        assert!(empty.candidates.iter().all(|c| c.part.is_none()));
        let said = |shown: AnswerView| plain(&shown.with_parts.unwrap());
        assert!(said(empty).contains("No steel part of the shelf"));
        assert!(said(shown(r#""steelwork": "bare""#, "")).contains("wanted"));
    }

    #[test]
    fn the_gain_passes_a_line_between_two_points() {
        let point = |at: f64, with: f64| CurvePoint { at, with, bare: 1.0 };
        let curve = [point(0.0, 2.0), point(1.0, 1.0), point(2.0, 0.8)];
        assert!((passes(&curve, 0.5).unwrap() - 0.5).abs() <= 1e-12);
        assert_eq!(passes(&curve, -0.5), None);
    }
}
