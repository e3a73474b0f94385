//! Holding on steel: where a stack stands in the law of its steel, and what the solver says of it.

use steel::SteelTable;
use steel::pull_law::{Equivalent, OnPlate, PullLaw};
use steel::solve::Options;

use super::on_steel::OnSteel;
use super::{InUse, Prediction, SEAT_GAP, Task};
use crate::answer::{BEHIND, Solved};

/// Flux density at a pole over remanence, for the weight of errors only.
const POLE_FLUX: f64 = 0.6;

/// What the steel does to a pull.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SteelShare {
    /// Pull over that on a thick plate of the same steel and width.
    pub of_thick: f64,
    /// Pull over that on a wide plate of the same thickness.
    pub of_wide: f64,
    /// Thickness that gives 95 % of the pull on a thick plate, m.
    pub enough: f64,
    /// Half width of the 95 % interval of the error of the law, as a part of the pull.
    pub error: f64,
    /// Whether the law covers shape, sizes and strength, so that its error is a measured one.
    pub covered: bool,
}

impl InUse<'_> {
    /// Where it stands in the law of its steel, with all inputs in the middle.
    fn on_steel(&self) -> Option<(&'static PullLaw, Equivalent, OnPlate)> {
        let Task::Plate {
            layers,
            thickness,
            across,
            law: Some(law),
            ..
        } = self.task
        else {
            return None;
        };
        let on = OnSteel::new(&self.stack().ok()?).ok()?;
        let gap = layers[1] + SEAT_GAP[1];
        let mirror = on.pull.plate_pull(gap).ok()?;
        let place = on.place(gap, [thickness, across], 1.0, self.grade.recoil_permeability, mirror);
        Some((law, on.equivalent, place))
    }

    /// What the steel does to its pull; `None` where nothing is to be held on steel.
    pub fn steel(&self) -> Option<SteelShare> {
        let Task::Plate { thickness, .. } = self.task else {
            return None;
        };
        let (law, equivalent, place) = self.on_steel()?;
        let thick = law.factor(&place.on_thick());
        let of_thick = law.factor(&place) / thick;
        let enough = law.enough(&place) * equivalent.diameter();
        let thin = thickness.is_some_and(|t| t < enough);
        Some(SteelShare {
            of_thick,
            of_wide: law.factor(&place) / law.factor(&place.on_wide()),
            enough,
            error: equivalent.error(law, &place),
            covered: law.covers(&place) && (equivalent.is_measured() || !thin),
        })
    }

    /// Its pull by the solver; `None` where nothing is to be held on steel, or where it finds nothing.
    pub fn confirmed(&self, steels: &SteelTable) -> Option<Solved> {
        let (law, equivalent, place) = self.on_steel()?;
        let curve = &steels.curve(law.curve())?.curve;
        let predicted = self.value().ok()?;
        let solution = place.solution(curve, &Options::default())?;
        // A block is solved itself on its plate, in three dimensions; elsewhere the disc or ring that stands for a magnet.
        let itself = place.oblong.and_then(|_| spatial::share_of_mirror(&place, curve).ok());
        let part = match itself {
            Some(share) => share.value / law.factor(&place),
            None => place.factor_of(&solution)? / law.factor(&place.of_disc()),
        };
        let behind = match self.task {
            Task::Plate { thickness: Some(_), .. } => place.behind(&solution, BEHIND / equivalent.diameter()),
            _ => None,
        };
        Some(Solved {
            predicted,
            value: predicted * part,
            error: equivalent.error(law, &place),
            stand_in: equivalent.is_stand_in() && itself.is_none(),
            behind: behind.map(|behind| [behind.at_back, behind.away]),
        })
    }
}

impl Prediction<'_> {
    /// Half width of the 95 % interval of the error of the law, as a part of the pull, for one piece; 0 without a law.
    pub(super) fn law_error(&self) -> f64 {
        let Task::Plate {
            layers,
            thickness,
            across,
            law: Some(law),
            ..
        } = self.task
        else {
            return 0.0;
        };
        let equivalent = Equivalent::of(&self.item.shape);
        let br = self.grade.br_typical;
        let place = equivalent.on_plate(layers[1], thickness, br, self.grade.recoil_permeability, 0.0);
        let place = equivalent.on_small(place, across);
        let flux_density = POLE_FLUX * br;
        equivalent.error(law, &OnPlate { flux_density, ..place })
    }
}
