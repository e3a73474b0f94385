//! The probe that the shop usually reads with, wherever a reading at the face is told.

use advice::enquiry::{About, Enquiry, Subject};
use advice::given::given;
use advice::ladder::{LadderRequest, Measure};
use advice::question::Need;
use advice::view::tell::TellView;
use advice::view::text::{Fact, percent, runs};
use advice::{Item, Question};
use bench::session::LotEntry;
use bench::{Lot, Probe, Reading, Setup, Value, expected, needed};
use quantity::{FluxDensity, Length, Quantity, Units};
use shop::bench::Kept;

use super::expected::what;
use super::magnet::lot_entry;
use super::opened::{amend_lot, usual_probe};
use super::shelf_lots::{newest_of_item, rounded};
use super::words::{DIGITS, Words};
use crate::desk::{Desk, Shelf};
use crate::problem::{Kind, Problem};

/// Usual reasons that are named.
const REASONS: usize = 3;
/// Chance from which a reading is no surprise.
const NO_SURPRISE: f64 = 0.05;

/// A lot with the entry that it was made of.
struct Told {
    entry: LotEntry,
    lot: Lot,
}

impl Told {
    /// An item with what was kept of its lot.
    fn of(item: &Item, shelf: &Shelf, results: &[Kept]) -> Option<Self> {
        let mut entry = lot_entry(item, &shelf.catalogue);
        for kept in newest_of_item(results, item, &entry).ok()? {
            amend_lot(&mut entry, kept);
        }
        let coatings = materials::coating::CoatingTable::builtin().ok()?;
        let session = bench::Session {
            lots: vec![entry.clone()],
            ..bench::Session::default()
        };
        let lot = session.lots(&shelf.catalogue.grades, coatings).ok()?.pop()?;
        Some(Self { entry, lot })
    }
}

fn face(pieces: u32, tesla: f64) -> Reading {
    Reading::at_face(0, pieces, Value::FluxDensity(FluxDensity(tesla)))
}

impl Desk {
    /// A question as it is begun: a reading at the face is by the shop's usual probe.
    ///
    /// # Errors
    /// When the database fails.
    pub fn with_usual_probe(&self, mut question: Question) -> Result<Question, Problem> {
        if let Need::FaceField { probe_depth, .. } = &mut question.need
            && let Some((_, probe)) = usual_probe(self)?
        {
            *probe_depth = Some(rounded(probe.depth));
        }
        Ok(question)
    }

    /// A question that was read from a message: where it names no probe, a reading at the face is by the shop's usual one.
    ///
    /// # Errors
    /// When the database fails.
    pub fn as_the_shop_reads(&self, question: Question) -> Result<Question, Problem> {
        match question.need {
            Need::FaceField { probe_depth: None, .. } => self.with_usual_probe(question),
            _ => Ok(question),
        }
    }

    /// A ladder as it is begun: a reading at the face is by the shop's usual probe.
    ///
    /// # Errors
    /// When the database fails.
    pub fn ladder_with_usual_probe(&self, mut request: LadderRequest) -> Result<LadderRequest, Problem> {
        if let Measure::Face { probe_depth } = &mut request.measure
            && let Some((_, probe)) = usual_probe(self)?
        {
            *probe_depth = Some(rounded(probe.depth));
        }
        Ok(request)
    }

    /// What the shop's usual probe shows at the face of one piece of an item, beside which the true field stands already;
    /// nothing where the shop has named no probe.
    ///
    /// # Errors
    /// When the database fails.
    pub fn shown_at_face(&self, item: &Item, units: &Units) -> Result<Option<Fact>, Problem> {
        let Some((entered, probe)) = usual_probe(self)? else {
            return Ok(None);
        };
        let shelf = self.shelf()?;
        let Some(told) = Told::of(item, &shelf, &self.shop.results()?) else {
            return Ok(None);
        };
        let reading = face(1, 1.0);
        let band = Setup::new(&probe, &told.lot, &reading).and_then(|setup| expected(&setup));
        Ok(band.ok().map(|band| Fact {
            label: format!("{} shows at its face", entered.probe.name),
            text: format!(
                "{}; 95 % of readings from {}",
                FluxDensity(band.mid).show_to(DIGITS, units),
                FluxDensity::show_range(FluxDensity(band.low), FluxDensity(band.high), units)
            ),
        }))
    }

    /// Where an enquiry about the field at a face names a reading, adds what was expected, how likely the reading is, and the
    /// usual reasons, the likeliest first.
    ///
    /// # Errors
    /// When the database fails.
    pub fn judge_reading(&self, enquiry: &Enquiry, view: &mut TellView, units: &Units) -> Result<(), Problem> {
        let need = &enquiry.question.need;
        let fields = [About::FaceField, About::Field];
        let asked = fields
            .iter()
            .any(|thing| enquiry.about.contains(&Subject::Thing(*thing)));
        let (true, Some(said), Some(named)) = (asked, need.field, enquiry.magnets.first()) else {
            return Ok(());
        };
        let shelf = self.shelf()?;
        let given = given(named, 0, &shelf.items, &shelf.catalogue)?;
        let Some(told) = Told::of(&given.item, &shelf, &self.shop.results()?) else {
            return Ok(());
        };
        let (name, mut probe) = match usual_probe(self)? {
            Some((entered, probe)) => (entered.probe.name, probe),
            None => ("a usual hand-held probe".into(), Probe::default()),
        };
        if let Some(depth) = need.probe_depth {
            let (_, within) = shelf.catalogue.meter_at(depth.high.si());
            (probe.depth, probe.depth_standard) = (depth.high, Length(within / 3f64.sqrt()));
        }
        let value = 0.5 * (said.low.si() + said.high.si()).abs();
        let reading = Reading {
            along: need.distance.map_or(Length(0.0), |away| away.high),
            ..face(given.build.pieces, value)
        };
        let wrong = |e: bench::SetupError| Problem::new(Kind::Asked, "no reading can be expected", e.to_string());
        let setup = Setup::new(&probe, &told.lot, &reading).map_err(wrong)?;
        let band = expected(&setup).map_err(wrong)?;
        let below = band
            .spread
            .as_ref()
            .map_or(0.5, |spread| spread.below(value))
            .clamp(0.0, 1.0);
        let chance = 2.0 * below.min(1.0 - below);
        let b = |si: f64| FluxDensity(si).show_to(DIGITS, units).to_string();
        let verdict = if chance >= NO_SURPRISE {
            format!(
                "**Yes**: of such readings {} lie as far from the middle or farther",
                percent(chance)
            )
        } else {
            format!(
                "**Hardly**: only {} of such readings lie so far from the middle",
                percent(chance)
            )
        };
        let lead = format!(
            "**{}** is to be expected from {} on {name}, whose element lies {} deep; 95 % of readings lie from {}. Is **{}** right? {verdict}. ",
            b(band.mid),
            what(&reading, units),
            probe.depth.show_to(2, units),
            FluxDensity::show_range(FluxDensity(band.low), FluxDensity(band.high), units),
            b(value),
        );
        let mut all = runs(&lead);
        all.append(&mut view.lead);
        view.lead = all;
        let words = Words {
            entries: std::slice::from_ref(&told.entry),
            lots: std::slice::from_ref(&told.lot),
            units,
        };
        let reasons = needed(&setup, value);
        let lines = reasons.iter().take(REASONS).enumerate().map(|(k, reason)| {
            runs(&format!(
                "{}. {}.",
                k + 1,
                advice::view::text::capital(&words.needed(reason, &reading))
            ))
        });
        view.because.splice(0..0, lines);
        Ok(())
    }
}
