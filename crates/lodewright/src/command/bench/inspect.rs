//! Receiving inspection on the command line.

use quantity::{FluxDensity, Quantity, Units};

use crate::benchwork::{InspectionBody, InspectionView, PlanBody, Strictness};
use crate::command::line::{PlanArgs, SeverityName};
use crate::desk::Desk;
use crate::problem::Problem;

/// For which lot a plan is wanted.
pub fn plan(args: &PlanArgs) -> PlanBody {
    PlanBody {
        lot_size: args.lot_size,
        level: args.level.clone(),
        aql: args.aql,
        severity: args.severity.map(|name| match name {
            SeverityName::Normal => Strictness::Normal,
            SeverityName::Tightened => Strictness::Tightened,
            SeverityName::Reduced => Strictness::Reduced,
        }),
    }
}

/// Inspects the lot of a session, and notes the verdict where that is wanted.
///
/// # Errors
/// A plan or limit that cannot be, a verdict that is not there yet, and when the database fails.
pub fn inspect(
    desk: &Desk,
    session: &str,
    args: &PlanArgs,
    limits: [Option<FluxDensity>; 2],
    note: bool,
    units: &Units,
) -> Result<InspectionView, Problem> {
    let [least, most] = limits.map(|limit| limit.map(|b| b.show_given(units).to_string()));
    let body = InspectionBody {
        plan: plan(args),
        least,
        most,
    };
    if note {
        desk.note_verdict(session, &body, units)?;
    }
    desk.inspection(session, &body, units)
}
