//! A table as measured: what this shop's meters read on its own magnets, beside what was predicted.

use std::collections::HashMap;

use advice::view::text::{percent, signed_percent};
use bench::session::LotEntry;
use bench::{Lot, Probe, Reading, Setup, expected::expected_roughly};
use press::Document;
use quantity::Units;
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};
use serde::Serialize;
use sheets::list::{Cell, List};
use sheets::measured::Measured;
use shop::bench::{Session, Standing};
use utoipa::ToSchema;

use super::expected::{Spot, what};
use super::magnet::sizes_text;
use super::opened::probe_as_known;
use super::shelf_lots::day;
use super::wire::{ValueView, shown};
use crate::desk::Desk;
use crate::printing::{Form, imprint, maker, messages, now};
use crate::problem::{Kind, Problem};

/// Sessions that are looked through, the newest ones.
const MOST_SESSIONS: usize = 500;

/// The table.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct MeasuredView {
    /// What it shows and leaves out, in a sentence.
    pub says: String,
    /// Its rows: by magnet, then by place.
    pub rows: Vec<MeasuredRow>,
}

/// What was read of one lot at one place with one probe.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct MeasuredRow {
    /// The shop's code of the magnet.
    pub code: Option<String>,
    /// Sizes and grade.
    pub magnet: String,
    /// The lot.
    pub lot: String,
    /// Of how many pieces, and where.
    pub what: String,
    /// Name of the probe.
    pub probe: String,
    /// Readings.
    pub readings: usize,
    /// Their mean.
    pub mean: ValueView,
    /// Their standard deviation as a part of the mean; absent for one reading.
    pub spread: Option<String>,
    /// What was to be expected by the grade, the sizes and the probe.
    pub predicted: ValueView,
    /// Low end of its 95 % band.
    pub low: ValueView,
    /// High end.
    pub high: ValueView,
    /// Mean over prediction, less one, in per cent.
    pub off: String,
    /// Whether the mean lies in the band.
    pub inside: bool,
    /// The day of the newest reading.
    pub day: String,
}

/// Readings of one lot at one place with one probe.
struct Group {
    session: Session,
    probe: Probe,
    lot: Lot,
    reading: Reading,
    values: Vec<f64>,
    newest: i64,
}

impl Desk {
    /// What the shop's meters read on its magnets, beside what was predicted of the grade.
    ///
    /// # Errors
    /// When the database fails.
    pub fn measured(&self, units: &Units) -> Result<MeasuredView, Problem> {
        let groups = self.measured_groups()?;
        let mut rows: Vec<MeasuredRow> = groups.par_iter().filter_map(|group| row(group, units)).collect();
        rows.sort_by(|a, b| (&a.code, &a.magnet, &a.lot, &a.probe).cmp(&(&b.code, &b.magnet, &b.lot, &b.probe)));
        Ok(MeasuredView {
            says: "Mean of the readings that were not left out by hand, beside what the grade, the sizes and the probe promise; nothing that was kept of a lot is used.".into(),
            rows,
        })
    }

    fn measured_groups(&self) -> Result<Vec<Group>, Problem> {
        let results = self.shop.results()?;
        let shelf = self.shelf()?;
        let coatings = materials::coating::CoatingTable::builtin()
            .map_err(|e| Problem::new(Kind::Internal, "coatings", e.to_string()))?;
        let mut groups: Vec<Group> = Vec::new();
        let mut places: HashMap<(String, String, String, Spot), usize> = HashMap::new();
        for entry in self.shop.sessions(MOST_SESSIONS)? {
            let session = entry.session;
            let Some(entered) = self.shop.probe(&session.probe)? else {
                continue;
            };
            let probe = probe_as_known(&entered, &results);
            // A grade that is not known any more predicts nothing.
            let Some(lot) = lot_of(&session.magnet, &shelf.catalogue.grades, coatings) else {
                continue;
            };
            for taken in self.shop.readings(&session.id)? {
                if taken.standing == Standing::LeftOut {
                    continue;
                }
                let key = (
                    session.magnet_key()?,
                    session.lot.clone(),
                    session.probe.clone(),
                    Spot::of(&taken.reading),
                );
                let at = *places.entry(key).or_insert_with(|| {
                    groups.push(Group {
                        session: session.clone(),
                        probe: probe.clone(),
                        lot: lot.clone(),
                        reading: taken.reading.clone(),
                        values: Vec::new(),
                        newest: taken.taken_at,
                    });
                    groups.len() - 1
                });
                if let Some(group) = groups.get_mut(at) {
                    group.values.push(taken.reading.value.si());
                    group.newest = group.newest.max(taken.taken_at);
                }
            }
        }
        Ok(groups)
    }

    /// The table as a list, for a file.
    ///
    /// # Errors
    /// When the database fails.
    fn measured_list(&self, units: &Units) -> Result<List, Problem> {
        let view = self.measured(units)?;
        let headings = [
            "code",
            "magnet",
            "lot",
            "place",
            "probe",
            "readings",
            "mean",
            "unit",
            "spread",
            "predicted",
            "low",
            "high",
            "off, %",
            "inside",
            "day",
        ];
        let text = |text: &str| Cell::Text(text.replace('\u{a0}', " "));
        let number = |value: &ValueView| Cell::Number(rounded(value.value));
        let rows = view.rows.iter().map(|row| {
            vec![
                row.code.as_deref().map_or(Cell::Nothing, text),
                text(&row.magnet),
                text(&row.lot),
                text(&row.what),
                text(&row.probe),
                Cell::Number(row.readings as f64),
                number(&row.mean),
                text(&row.mean.unit),
                row.spread.as_deref().map_or(Cell::Nothing, text),
                number(&row.predicted),
                number(&row.low),
                number(&row.high),
                Cell::Number(((row.mean.value / row.predicted.value - 1.0) * 1000.0).round() / 10.0),
                text(if row.inside { "yes" } else { "no" }),
                text(&row.day),
            ]
        });
        Ok(List {
            name: "as measured",
            headings: headings.map(str::to_owned).to_vec(),
            rows: rows.collect(),
        })
    }

    /// The table as a file.
    ///
    /// # Errors
    /// When the database fails, or the file cannot be made.
    pub fn measured_file(&self, form: Form, units: &Units) -> Result<Vec<u8>, Problem> {
        form.made(|| self.measured_paper(units), || self.measured_list(units))
    }

    /// The table on paper.
    fn measured_paper(&self, units: &Units) -> Result<Document, Problem> {
        let view = self.measured(units)?;
        let rows: Vec<Measured> = view.rows.iter().map(on_paper).collect();
        let settings = self.shop.settings()?;
        let (maker, imprint) = (maker(&settings, None), imprint(&settings, "#/bench?table=all", &now()));
        let revision = self.shelf()?.revision;
        Ok(sheets::measured::paper(
            &view.says,
            &rows,
            &maker,
            &imprint,
            revision,
            &messages()?,
        ))
    }
}

/// A row as it stands on paper.
fn on_paper(row: &MeasuredRow) -> Measured {
    let lot = Some(format!("lot {}", row.lot)).filter(|_| !row.lot.is_empty());
    let magnet: Vec<String> = row.code.iter().chain([&row.magnet]).cloned().chain(lot).collect();
    let times = match row.readings {
        1 => "once".to_owned(),
        n => format!("{n} times"),
    };
    Measured {
        magnet: magnet.join(", "),
        place: row.what.clone(),
        read: format!("{times}, {}, {}", row.probe, row.day),
        mean: match &row.spread {
            Some(spread) => format!("{} (spread {spread})", row.mean.text),
            None => row.mean.text.clone(),
        },
        predicted: row.predicted.text.clone(),
        band: format!("{} to {}", row.low.text, row.high.text),
        off: row.off.clone(),
        inside: row.inside,
    }
}

fn lot_of(
    magnet: &LotEntry,
    grades: &materials::grade::GradeTable,
    coatings: &materials::coating::CoatingTable,
) -> Option<Lot> {
    let session = bench::Session {
        lots: vec![magnet.clone()],
        ..bench::Session::default()
    };
    session.lots(grades, coatings).ok()?.pop()
}

fn row(group: &Group, units: &Units) -> Option<MeasuredRow> {
    let setup = Setup::new(&group.probe, &group.lot, &group.reading).ok()?;
    let band = expected_roughly(&setup).ok()?;
    let count = group.values.len();
    let mean = group.values.iter().sum::<f64>() / count as f64;
    let spread = bench::lots::spread(&group.values).ok();
    let value = |si: f64| shown(group.reading.value, si, band.high, units);
    let session = &group.session;
    Some(MeasuredRow {
        code: session.code.clone(),
        magnet: format!("{} {}", sizes_text(&session.magnet, units), session.magnet.grade),
        lot: session.lot.clone(),
        what: what(&group.reading, units),
        probe: group.probe.name.clone(),
        readings: count,
        mean: value(mean),
        spread: spread.filter(|_| count > 1).map(|s| percent(s.deviation / mean)),
        predicted: value(band.mid),
        low: value(band.low),
        high: value(band.high),
        off: signed_percent(mean / band.mid - 1.0),
        inside: (band.low..=band.high).contains(&mean),
        day: day(group.newest),
    })
}

/// A number to five digits.
fn rounded(value: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    let scale = 10f64.powf(4.0 - value.abs().log10().floor());
    (value * scale).round() / scale
}
