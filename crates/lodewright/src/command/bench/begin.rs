//! Probes entered and sessions begun on the command line.

use advice::enquiry::NamedMagnet;
use advice::question::ShapeKind;
use quantity::{Length, Quantity, Units};

use crate::benchwork::{ExpectedView, FitWish, NewSession, PlaceBody, ProbeBody, ProbeLine, SessionView};
use crate::command::line::{BeginArgs, ProbeArgs};
use crate::desk::Desk;
use crate::problem::{Kind, Problem};

/// Enters a probe, or corrects the one of that name.
///
/// # Errors
/// What does not read, or no probe has.
pub fn probe(desk: &Desk, args: &ProbeArgs, units: &Units) -> Result<ProbeLine, Problem> {
    let known = desk
        .bench(units)?
        .probes
        .into_iter()
        .find(|p| p.name == args.name.trim());
    let (id, entered) = match known {
        Some(probe) => (probe.id, probe.entered),
        None => (super::new_id(desk)?, ProbeBody::usual(units)),
    };
    let length = |given: Option<Length>, known: String| given.map_or(known, |l| l.show_given(units).to_string());
    let shown = |given: Option<quantity::FluxDensity>| given.map(|b| b.show_given(units).to_string());
    let body = ProbeBody {
        name: args.name.clone(),
        depth: length(args.depth, entered.depth),
        depth_within: length(args.within, entered.depth_within),
        element: args.element.clone().unwrap_or(entered.element),
        transverse: args.flat || (entered.transverse && !args.upright),
        accuracy: args.accuracy.unwrap_or(entered.accuracy),
        resolution: shown(args.resolution).unwrap_or(entered.resolution),
        zero_drift: shown(args.zero_drift).or(entered.zero_drift),
        temperature_coefficient: args.temperature_coefficient.or(entered.temperature_coefficient),
        calibrated: args.calibrated.clone().unwrap_or(entered.calibrated),
    };
    let line = desk.put_probe(&id, &body, units)?;
    if args.usual && !line.usual {
        desk.shop.set_usual_probe(Some(&id))?;
        return Ok(ProbeLine { usual: true, ..line });
    }
    Ok(line)
}

/// Begins a session; what the probe should show of one piece at its face stands beside it.
///
/// # Errors
/// A magnet or probe that is not there, and a magnet that cannot be.
pub fn begin(desk: &Desk, args: &BeginArgs, units: &Units) -> Result<(SessionView, ExpectedView), Problem> {
    let probe = match &args.probe {
        None => None,
        Some(name) => Some(probe_named(desk, name, units)?),
    };
    let body = NewSession {
        id: super::new_id(desk)?,
        probe,
        magnet: magnet(args),
        lot: args.lot.clone(),
    };
    let session = desk.begin_session(&body, units)?;
    let expected = desk.expected(&session.id, &FitWish::default(), &PlaceBody::default(), units)?;
    Ok((session, expected))
}

/// The id of the probe of that name or id.
fn probe_named(desk: &Desk, name: &str, units: &Units) -> Result<String, Problem> {
    let probes = desk.bench(units)?.probes;
    if let Some(probe) = probes.iter().find(|p| p.name == name.trim() || p.id == name) {
        return Ok(probe.id.clone());
    }
    let names: Vec<String> = probes.into_iter().map(|p| p.name).collect();
    let hint = if names.is_empty() {
        "enter it: lodewright bench probe NAME --depth 0.5mm".to_owned()
    } else {
        format!("the probes are {}", names.join(", "))
    };
    Err(Problem::new(
        Kind::Absent,
        "no such probe",
        format!("the bench has no probe {name:?}"),
    )
    .hint(hint))
}

fn magnet(args: &BeginArgs) -> NamedMagnet {
    let (shape, sizes) = match args {
        BeginArgs {
            length: Some(length),
            width,
            ..
        } => (ShapeKind::Block, vec![Some(*length), *width, args.thickness]),
        BeginArgs {
            outer: Some(outer),
            inner,
            ..
        } => (ShapeKind::Ring, vec![Some(*outer), *inner, args.thickness]),
        BeginArgs { thickness: None, .. } => (ShapeKind::Sphere, vec![args.diameter]),
        _ => (ShapeKind::Disc, vec![args.diameter, args.thickness]),
    };
    let size_mm: Vec<f64> = sizes
        .into_iter()
        .flatten()
        .map(|size| (size.si() * 1e9).round() / 1e6)
        .collect();
    NamedMagnet {
        shape: (!size_mm.is_empty()).then_some(shape),
        size_mm,
        grade: args.grade.clone(),
        coating: args.coating.clone(),
        code: args.code.clone(),
        ..NamedMagnet::default()
    }
}
