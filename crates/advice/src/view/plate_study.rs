//! A magnet on a steel plate in figures and words: what it pulls, what its steel is worth over gap and thickness, what is
//! behind the plate, and what two of them side by side pull.

use quantity::{Force, Kind, Length, Quantity, Units};
use serde::Serialize;
use utoipa::ToSchema;

use crate::plate_study::{self, AtGap, ENOUGH, Study};
use crate::view::plot::{CurveRole, Plot, PlotAxis, PlotCurve, PlotMark};
use crate::view::steel::behind;
use crate::view::text::{Figure, capital, percent};

/// A solved set-up with what its parts are worth.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct StudyView {
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

/// The pull of two equal magnets side by side on one plate: an estimate, see `docs/steel.md`.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct SideBySide {
    /// Pull of both, poles alternating.
    pub alternating: Between,
    /// Pull of both, poles alike.
    pub alike: Between,
    /// In words.
    pub text: String,
}

/// A pull with the interval that it surely lies in, in the unit shown.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Between {
    /// Middle of the interval.
    pub value: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// The unit.
    pub unit: String,
    /// The interval in words.
    pub text: String,
}

/// Shows a solved set-up.
pub fn view(study: &Study, units: &Units) -> StudyView {
    StudyView {
        lead: lead(study, units),
        behind: behind_words(study, units),
        beside: study
            .beside
            .as_ref()
            .map(|(distance, found)| side_by_side(*distance, found, units)),
        pull: force(study.pull, units),
        bare: study.bare.map(|bare| force(bare, units)),
        error_estimate: study.solution.error_estimate(),
        against_gap: against_gap(study, units),
        against_thickness: against_thickness(study, units),
    }
}

fn force(si: f64, units: &Units) -> Figure {
    let scale = units.scale(Force::KIND, si);
    Figure {
        value: scale.apply(si),
        unit: scale.label.into(),
        text: pull_text(si, units),
    }
}

fn pull_text(si: f64, units: &Units) -> String {
    Force(si).show(units).to_string()
}

fn lead(study: &Study, units: &Units) -> String {
    let mut lead = format!("It pulls {} there", pull_text(study.pull, units));
    if let Some(bare) = study.bare {
        let times = study.pull / bare;
        lead.push_str(&format!(
            "; bare it would pull {}, so its steel makes that {times:.2} times as much",
            pull_text(bare, units)
        ));
    }
    lead.push_str(&match study.enough {
        Some([thickness, _]) => format!(
            ". A plate of {} would already take {} of what thick steel does.",
            Length(thickness).show_to(2, units),
            percent(ENOUGH)
        ),
        None => ". Thicker steel would still pull more.".to_string(),
    });
    if let Some(edge) = study.edge {
        let kept = |[least, most]: [f64; 2]| format!("{} to {}", percent(least), percent(most));
        lead.push_str(&format!(
            " Near a straight edge of a wide plate as thick it keeps {} of its pull with its rim flush with the edge, {} with a quarter of it over the edge and {} with its middle over the edge.",
            kept(edge.rim),
            kept(edge.quarter),
            kept(edge.middle)
        ));
    }
    lead
}

fn side_by_side(distance: f64, found: &plate_study::SideBySide, units: &Units) -> SideBySide {
    let between = |pull: plate_study::Between| {
        let scale = units.scale(Force::KIND, pull.value);
        Between {
            value: scale.apply(pull.value),
            low: scale.apply(pull.low),
            high: scale.apply(pull.high),
            unit: scale.label.into(),
            text: Force::show_range(Force(pull.low), Force(pull.high), units).to_string(),
        }
    };
    let (alternating, alike) = (between(found.alternating), between(found.alike));
    let place = if distance > 0.0 {
        format!("{} apart", Length(distance).show(units))
    } else {
        "touching".into()
    };
    let text = format!(
        "Two of them side by side, {place}, pull {} with poles alternating and {} with poles alike, where two far apart pull {}: an estimate, wide where the plate is thin",
        alternating.text,
        alike.text,
        Force(found.singles).show(units)
    );
    SideBySide {
        alternating,
        alike,
        text,
    }
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

fn against_gap(study: &Study, units: &Units) -> Plot {
    let all = &study.against_gap;
    let values = all.iter().flat_map(|at| [at.pull, at.bare.unwrap_or(0.0), at.thick]);
    let most = values.fold(0.0, f64::max);
    let (x, y) = (units.scale(Kind::Length, 0.0), units.scale(Force::KIND, most));
    let points = |pull: fn(&AtGap) -> Option<f64>| -> Vec<[f64; 2]> {
        all.iter()
            .filter_map(|at| Some([x.apply(at.gap), y.apply(pull(at)?)]))
            .collect()
    };
    let mut curves = vec![curve("as it is", CurveRole::Main, points(|at| Some(at.pull)))];
    let bare = points(|at| at.bare);
    if !bare.is_empty() {
        curves.push(curve("bare magnet", CurveRole::Beside, bare));
    }
    curves.push(curve("on thick steel", CurveRole::Guide, points(|at| Some(at.thick))));
    let here = all.iter().find(|at| at.gap == study.gap);
    Plot {
        title: "Its pull against the gap".into(),
        x: axis("gap", x.label),
        y: axis("pull", y.label),
        curves,
        marks: here
            .map(|at| PlotMark {
                at: [x.apply(at.gap), y.apply(at.pull)],
                text: pull_text(at.pull, units),
            })
            .into_iter()
            .collect(),
        stretches: Vec::new(),
        remark: "Each point is solved with the steel in it; between them the line is straight.".into(),
    }
}

fn against_thickness(study: &Study, units: &Units) -> Plot {
    let all = &study.against_thickness;
    let most = all.iter().map(|p| p[1]).fold(0.0, f64::max);
    let (x, y) = (units.scale(Kind::Length, 0.0), units.scale(Force::KIND, most));
    let point = |[thickness, pull]: [f64; 2]| [x.apply(thickness), y.apply(pull)];
    let here = all.iter().find(|p| p[0] == study.thickness);
    let mut marks: Vec<PlotMark> = here
        .map(|&[thickness, pull]| PlotMark {
            at: point([thickness, pull]),
            text: format!("your plate: {}", pull_text(pull, units)),
        })
        .into_iter()
        .collect();
    if let Some(enough) = study.enough {
        marks.push(PlotMark {
            at: point(enough),
            text: format!("{} from {}", percent(ENOUGH), Length(enough[0]).show_to(2, units)),
        });
    }
    Plot {
        title: "Its pull against the thickness of the steel".into(),
        x: axis("thickness of the plate", x.label),
        y: axis("pull", y.label),
        curves: vec![curve("pull", CurveRole::Main, all.iter().copied().map(point).collect())],
        marks,
        stretches: Vec::new(),
        remark: "Steel that is too thin cannot carry the flux: it saturates, and the rest leaks out behind it.".into(),
    }
}

fn behind_words(study: &Study, units: &Units) -> String {
    study.behind.as_ref().map_or(String::new(), |found| {
        format!(
            "{}; the plate carries {} of the flux of the face",
            capital(&behind([found.at_back, found.away], units)),
            percent(found.carried)
        )
    })
}

#[cfg(test)]
mod tests;
