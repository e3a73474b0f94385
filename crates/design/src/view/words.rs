//! The words themselves.

use crate::family::Family;
use crate::measure::Way;
use crate::wish::{Aim, Area, Goal};

/// Where nothing could be computed at all.
pub(super) const NOTHING: &str = "Nothing that fits this space could be computed.";
/// What a longer search may do.
pub(super) const REFINE: &str = "This is a first look. A refined search takes up to 20 s and may find lighter drafts.";
/// What to mind with every draft.
const NOTES: [&str; 3] = [
    "A maker says what can be pressed, ground, magnetised and plated. Plating takes its thickness from every size.",
    "Magnets of this kind jump together, pinch and shatter. Keep them from children, from people with implants, and from cards and watches.",
    "Local codes and qualified people decide on machines, lifting and transport.",
];

/// What to mind, the costs first.
pub(super) fn notes(fitted_to: usize, lot: u32, joining: &str) -> Vec<String> {
    let from = match fitted_to {
        0 => "invented figures".to_owned(),
        count => format!("{count} prices of the shelf"),
    };
    let cost = format!("Cost is an estimate from {from}, for one out of a lot of {lot}. It is no price.");
    let joining = format!("How things are put together, jig and glue: {joining}.");
    [cost, joining].into_iter().chain(NOTES.map(str::to_owned)).collect()
}

/// What a family is.
pub(super) fn family(family: Family) -> &'static str {
    match family {
        Family::Disc => "a disc",
        Family::Ring => "a ring",
        Family::Block => "a block",
        Family::Stepped => "three discs of falling diameter",
        Family::Taper => "a cylinder that narrows to a cut cone",
        Family::PoleTip => "a disc with a pole tip of steel",
        Family::Opposed => "two blocks, like poles towards each other",
        Family::Focused => "an upright block between two that point to it",
        Family::HalbachRow => "a Halbach row of five blocks",
        Family::AlternatingRow => "a row of four blocks, poles alternating",
        Family::BackPlate => "a disc with a back-plate of steel",
        Family::Cup => "a disc in a cup of steel",
        Family::FacingDiscs => "two discs that face each other",
        Family::FacingRings => "two rings that face each other",
        Family::FacingBlocks => "two blocks that face each other",
        Family::FacingTapers => "two cut cones that face each other",
        Family::Yoke => "two discs in a closed yoke of steel",
        Family::Coupling => "a coupling of two rotors with arcs on their faces",
    }
}

/// What is to be least.
pub(super) fn aim(aim: Aim) -> &'static str {
    match aim {
        Aim::Volume => "volume of magnet",
        Aim::Mass => "mass",
        Aim::Cost => "cost",
        Aim::Height => "height",
        Aim::Stray => "stray field 50 mm away",
    }
}

/// How a value was found.
pub(super) fn basis(way: Way) -> &'static str {
    match way {
        Way::Recoil => "closed form, with the recoil solved for",
        Way::Elements => "solved by finite elements",
        Way::Law => "by the mirror image and the pull law; not solved",
        Way::FirstOrder => "closed form, the recoil to first order: 1 % of it is uncertain",
    }
}

/// How near the knee the magnets are.
pub(super) fn strain(strain: f64) -> String {
    let share = (100.0 * strain).round();
    if strain > 1.0 {
        format!("past the knee: its own field reaches {share}\u{a0}% of that of the knee, and it loses for good")
    } else {
        format!("the field inside reaches {share}\u{a0}% of that of the knee")
    }
}

/// What rounding costs, in per cent of the mass.
pub(super) fn rounding(series: &str, more: f64, keeps: bool) -> String {
    let mass = if more >= 0.0 {
        format!("{more:.1}\u{a0}% more mass")
    } else {
        let less = -more;
        format!("{less:.1}\u{a0}% less mass")
    };
    let misses = if keeps {
        ""
    } else {
        ", and it no longer does what is wished for"
    };
    format!("in {series}: {mass}{misses}")
}

/// What stands beside the best one.
pub(super) fn front(count: usize) -> String {
    match count {
        0 | 1 => String::new(),
        more => format!(" {more} drafts are beaten by no other in all that is to be least."),
    }
}

/// Why there is no limit.
pub(super) fn no_limit(goal: &Goal) -> &'static str {
    match goal {
        Goal::Hold { .. } => "In contact there is no limit but the finest poles that can be magnetised.",
        Goal::Turn { .. } => "For a torque no limit is known here.",
        _ => "At a point on the face there is no limit; over a spot there is.",
    }
}

/// The limit.
pub(super) fn limit(grade: &str, limit: &str, with_steel: Option<&str>, below: bool) -> String {
    let steel = with_steel.map_or(String::new(), |limit| format!(", with saturated steel in it {limit}"));
    let verdict = if below { " That is less than is wished for." } else { "" };
    format!("However it is magnetised, {grade} in this space cannot pass {limit}{steel}.{verdict}")
}

/// An area or a space across, with lengths shown.
pub(super) fn across(area: &Area, length: &dyn Fn(f64) -> String) -> String {
    match *area {
        Area::Round(diameter) => format!("{} diameter", length(diameter)),
        Area::Box([a, b]) => format!("{} × {}", length(a), length(b)),
    }
}
