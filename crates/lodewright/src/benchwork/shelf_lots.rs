//! What the bench knows of the shelf's lots and of the usual probe, for every prediction.

use advice::Item;
use std::collections::BTreeSet;

use advice::catalogue::Catalogue;
use advice::known::{Meter, ReadLot, UsualProbe};
use bench::Lot;
use bench::session::LotEntry;
use materials::coating::CoatingTable;
use quantity::{FluxDensity, Length};
use shop::bench::{Kept, KeptParameter, Subject, magnet_key};

use super::magnet::lot_entry;
use super::opened::usual_probe;
use crate::desk::{Desk, time_text};
use crate::problem::Problem;

/// What was kept of readings of a lot, for a model that has no dead layer, the newest first; `None` where nothing of it is told of an item, its
/// grade or coating is not known, or nothing is left of the magnet.
fn read_lot(kept: &[&Kept], item: &Item, catalogue: &Catalogue) -> Option<ReadLot> {
    let first = kept.first()?;
    let Subject::Lot { lot, .. } = &first.subject else {
        return None;
    };
    let of = |parameter| kept.iter().find(|kept| kept.parameter == parameter);
    let grade = catalogue.grades.get(&item.grade)?;
    let coating = CoatingTable::builtin().ok()?.get(&item.coating)?;
    let magnet = Lot::new(lot, item.shape, grade, coating);
    let tesla = |scale: f64| Some(FluxDensity(magnet.magnetised_through(scale)? * grade.br_typical));
    let scale = of(KeptParameter::Scale);
    let thickness = of(KeptParameter::Thickness);
    scale.or(thickness)?;
    Some(ReadLot {
        lot: lot.clone(),
        br: scale.and_then(|kept| tesla(kept.value)),
        standard: scale.and_then(|kept| tesla(kept.standard)),
        thickness: thickness.map(|kept| [Length(item.shape.height() + kept.value), Length(kept.standard)]),
        readings: first.readings,
        day: day(first.kept_at),
    })
}

/// Of the values that were kept of lots of an item the newest lot's, the newest of each parameter; `results` are newest first.
///
/// # Errors
/// Where the sizes of the item cannot be written.
pub fn newest_of_item<'a>(results: &'a [Kept], item: &Item, entry: &LotEntry) -> Result<Vec<&'a Kept>, Problem> {
    if item.code.is_empty() {
        return Ok(Vec::new());
    }
    // A code that went to another magnet is reckoned with its grade.
    let key = magnet_key(Some(&item.code), entry)?;
    let mut found: Vec<&Kept> = Vec::new();
    for kept in results {
        let own = matches!(&kept.subject, Subject::Lot { magnet, .. } if *magnet == key);
        let same_lot = found.first().is_none_or(|first| first.subject == kept.subject);
        if own && same_lot && found.iter().all(|known| known.parameter != kept.parameter) {
            found.push(kept);
        }
    }
    Ok(found)
}

/// A depth to hundredths of a millimetre, as it stands in a sentence.
pub fn rounded(depth: Length) -> Length {
    Length((depth.si() * 1e5).round() / 1e5)
}

/// The day of a time, such as `2026-03-12`.
pub fn day(seconds: i64) -> String {
    time_text(seconds).get(..10).unwrap_or_default().to_owned()
}

impl Desk {
    /// Materials with what readings say of the lots of these items: of each item what was kept last.
    ///
    /// # Errors
    /// When the database fails.
    pub fn with_read_lots(&self, catalogue: Catalogue, items: &[Item]) -> Result<Catalogue, Problem> {
        let results = self.shop.results()?;
        let mut lots: Vec<(String, String, ReadLot)> = Vec::new();
        let codes: BTreeSet<String> = results.iter().filter_map(|kept| kept.subject.code()).collect();
        for item in items.iter().filter(|item| codes.contains(&item.code)) {
            let kept = newest_of_item(&results, item, &lot_entry(item, &catalogue))?;
            if let Some(read) = read_lot(&kept, item, &catalogue) {
                lots.push((item.code.clone(), item.grade.clone(), read));
            }
        }
        Ok(catalogue.with_read_lots(lots))
    }

    /// The usual probe as predictions know it.
    ///
    /// # Errors
    /// When the database fails.
    pub fn usual_probe_as_known(&self) -> Result<Option<UsualProbe>, Problem> {
        Ok(usual_probe(self)?.map(|(entered, probe)| UsualProbe {
            name: entered.probe.name,
            depth: rounded(probe.depth),
            standard: probe.depth_standard,
            meter: Meter::of(&probe),
        }))
    }
}
