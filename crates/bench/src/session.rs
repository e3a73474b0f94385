//! Probe, lots and readings as people write them.

use magnetics::Shape;
use materials::coating::CoatingTable;
use materials::grade::GradeTable;
use quantity::{FluxDensity, Force, Length, Temperature, parse};
use serde::{Deserialize, Serialize};
use thiserror::Error;
use uncertainty::Band;

use crate::error::SetupError;
use crate::expected::{Needed, expected, expected_roughly, needed};
use crate::fit::{Fit, FitError, Options, Parameter, fit, repeatability, within_limits};
use crate::lot::{LOT_SPREAD, Lot, USUAL_TOLERANCE};
use crate::next::{self, AtHand, Next};
use crate::plate::Plate;
use crate::probe::Probe;
use crate::reading::{Pole, Reading, Value};
use crate::setup::Setup;

/// Outer sizes of a magnet with its plating.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", tag = "shape", deny_unknown_fields)]
pub enum Sizes {
    /// A disc.
    Disc {
        /// Diameter.
        diameter: Length,
        /// Thickness, along the magnetisation.
        thickness: Length,
    },
    /// A ring.
    Ring {
        /// Diameter of the rim.
        outer_diameter: Length,
        /// Diameter of the hole.
        inner_diameter: Length,
        /// Thickness, along the magnetisation.
        thickness: Length,
    },
    /// A block.
    Block {
        /// Length.
        length: Length,
        /// Width.
        width: Length,
        /// Thickness, along the magnetisation.
        thickness: Length,
    },
    /// A ball.
    Sphere {
        /// Diameter.
        diameter: Length,
    },
}

impl From<Sizes> for Shape {
    fn from(sizes: Sizes) -> Self {
        match sizes {
            Sizes::Disc { diameter, thickness } => Self::Disc {
                diameter: diameter.si(),
                thickness: thickness.si(),
            },
            Sizes::Ring {
                outer_diameter,
                inner_diameter,
                thickness,
            } => Self::Ring {
                outer_diameter: outer_diameter.si(),
                inner_diameter: inner_diameter.si(),
                thickness: thickness.si(),
            },
            Sizes::Block {
                length,
                width,
                thickness,
            } => Self::Block {
                length: length.si(),
                width: width.si(),
                thickness: thickness.si(),
            },
            Sizes::Sphere { diameter } => Self::Sphere {
                diameter: diameter.si(),
            },
        }
    }
}

/// A thickness as measured.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Measured {
    /// The mean.
    pub value: Length,
    /// Its standard uncertainty.
    pub standard: Length,
}

/// A lot as written.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LotEntry {
    /// Name.
    #[serde(default)]
    pub name: String,
    /// Sizes.
    pub sizes: Sizes,
    /// Name of the grade on the label.
    pub grade: String,
    /// Name of the coating.
    #[serde(default = "uncoated")]
    pub coating: String,
    /// Largest deviation of a size.
    #[serde(default = "usual_tolerance")]
    pub tolerance: Length,
    /// Thickness as measured.
    #[serde(default)]
    pub measured_thickness: Option<Measured>,
    /// Effective remanence over the usual one of the grade: value and standard uncertainty.
    #[serde(default = "usual_scale")]
    pub scale: [f64; 2],
}

fn uncoated() -> String {
    "none".into()
}
fn usual_tolerance() -> Length {
    Length(USUAL_TOLERANCE)
}
fn usual_scale() -> [f64; 2] {
    [1.0, LOT_SPREAD]
}

/// A probe, lots, readings, and what is wanted of them.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Session {
    /// The probe.
    #[serde(default)]
    pub probe: Probe,
    /// The lots.
    pub lots: Vec<LotEntry>,
    /// The readings.
    #[serde(default)]
    pub readings: Vec<Reading>,
    /// How to fit.
    #[serde(default)]
    pub fit: Options,
    /// What is at hand for a next reading.
    #[serde(default)]
    pub at_hand: AtHand,
    /// The parameter that a next reading is to narrow; the depth of the probe where none is named.
    #[serde(default)]
    pub wanted: Option<Parameter>,
}

/// Why a session cannot be worked out.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum SessionError {
    /// No such grade.
    #[error("lot {lot}: there is no grade {name}; try N42, or a grade of your own list")]
    Grade {
        /// Number of the lot, from 0.
        lot: usize,
        /// The name given.
        name: String,
    },
    /// No such coating.
    #[error("lot {lot}: there is no coating {name}; try Ni-Cu-Ni, zinc, epoxy or none")]
    Coating {
        /// Number of the lot, from 0.
        lot: usize,
        /// The name given.
        name: String,
    },
    /// A row of a table of readings.
    #[error("readings, row {row}: {problem}")]
    Row {
        /// Row in the text, from 1, with the headings as row 1.
        row: usize,
        /// What is wrong and what would be right.
        problem: String,
    },
    /// A lot or reading that cannot be.
    #[error("{what} {number}: {problem}")]
    Setup {
        /// `lot` or `reading`.
        what: &'static str,
        /// Its number, from 0.
        number: usize,
        /// What is wrong.
        problem: SetupError,
    },
    /// The fit.
    #[error(transparent)]
    Fit(#[from] FitError),
}

/// One reading against what was expected before it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Compared {
    /// Its number, from 0.
    pub reading: usize,
    /// What was read, in SI.
    pub value: f64,
    /// What was expected, in SI, with its 95 % band.
    pub expected: Band,
    /// Whether it lies in the band.
    pub inside: bool,
    /// Where it lies outside: what would have to be off, the likeliest first.
    pub needed: Vec<Needed>,
}

/// All that a session tells.
#[derive(Clone, Debug, Serialize)]
pub struct Report {
    /// Each reading against what was expected.
    pub readings: Vec<Compared>,
    /// Noise found from repeats, with its degrees of freedom.
    pub repeats: Option<(f64, usize)>,
    /// The fit; `None` without readings.
    pub fit: Option<Fit>,
    /// The readings that would narrow the wanted parameter most, the best first.
    pub next: Vec<Next>,
}

/// Proposed readings that are reported.
const PROPOSED: usize = 5;
/// Pieces in all stacks together from which bands are rough where they would have to be drawn, and reasons are not looked for.
const LONG: usize = 500;
/// Reasons that are reported of a reading outside its band.
const REASONS: usize = 3;

impl Session {
    /// The lots with their grades and coatings looked up.
    ///
    /// # Errors
    /// [`SessionError`] for a grade or coating that is not there, and for a lot that cannot be.
    pub fn lots(&self, grades: &GradeTable, coatings: &CoatingTable) -> Result<Vec<Lot>, SessionError> {
        self.lots
            .iter()
            .enumerate()
            .map(|(number, entry)| {
                let grade = grades.get(&entry.grade).ok_or_else(|| SessionError::Grade {
                    lot: number,
                    name: entry.grade.clone(),
                })?;
                let coating = coatings.get(&entry.coating).ok_or_else(|| SessionError::Coating {
                    lot: number,
                    name: entry.coating.clone(),
                })?;
                let mut lot = Lot::new(&entry.name, entry.sizes.into(), grade, coating);
                lot.tolerance = entry.tolerance.si();
                lot.scale = entry.scale;
                if let Some(measured) = entry.measured_thickness {
                    lot = lot.measured(measured.value, measured.standard);
                }
                lot.validate().map_err(|problem| SessionError::Setup {
                    what: "lot",
                    number,
                    problem,
                })?;
                Ok(lot)
            })
            .collect()
    }

    /// Works it out: every reading against what was expected, the fit, and what to read next.
    ///
    /// # Errors
    /// [`SessionError`].
    pub fn report(&self, grades: &GradeTable, coatings: &CoatingTable) -> Result<Report, SessionError> {
        let lots = self.lots(grades, coatings)?;
        within_limits(&self.readings)?;
        let pieces: usize = self.readings.iter().map(|r| r.pieces as usize).sum();
        let long = pieces > LONG;
        let mut compared = Vec::with_capacity(self.readings.len());
        for (number, reading) in self.readings.iter().enumerate() {
            let wrong = |problem| SessionError::Setup {
                what: "reading",
                number,
                problem,
            };
            let lot = lots.get(reading.lot).ok_or_else(|| {
                wrong(SetupError::NoLot {
                    reading: number,
                    lot: reading.lot,
                    lots: lots.len(),
                })
            })?;
            let setup = Setup::new(&self.probe, lot, reading).map_err(wrong)?;
            let band = if long {
                expected_roughly(&setup)
            } else {
                expected(&setup)
            };
            let band = band.map_err(wrong)?;
            let value = reading.value.si();
            let inside = value >= band.low && value <= band.high;
            let mut reasons = if inside || long {
                Vec::new()
            } else {
                needed(&setup, value)
            };
            reasons.truncate(REASONS);
            compared.push(Compared {
                reading: number,
                value,
                expected: band,
                inside,
                needed: reasons,
            });
        }
        let mut report = Report {
            readings: compared,
            repeats: repeatability(&self.readings),
            fit: None,
            next: Vec::new(),
        };
        if self.readings.is_empty() {
            return Ok(report);
        }
        let found = fit(&self.probe, &lots, &self.readings, &self.fit)?;
        report.next = next::rank(
            &self.probe,
            &lots,
            &self.readings,
            &self.fit,
            &found,
            self.wanted.unwrap_or(Parameter::Depth),
            &self.at_hand.feasible(lots.len()),
        )?;
        report.next.truncate(PROPOSED);
        report.fit = Some(found);
        Ok(report)
    }

    /// Adds readings from a table: comma-separated text with headings `value` (with its unit: `159 mT`, `1590 G`, `12 N`,
    /// `0.05 A m2`) and, as needed, `lot` (name, or number from 0), `pieces`, `spacer`, `along`, `across`, `pole` (`N` or
    /// `S`), `plate` (its thickness), `plate_across`, `paint`, `steel`, `temperature`, `note`. All or nothing.
    ///
    /// # Errors
    /// [`SessionError::Row`] for the first row that cannot be read.
    pub fn add_table(&mut self, text: &str) -> Result<(), SessionError> {
        let mut reader = csv::ReaderBuilder::new()
            .trim(csv::Trim::All)
            .flexible(true)
            .from_reader(text.as_bytes());
        let wrong = |row: usize, problem: String| SessionError::Row { row, problem };
        let headings = reader.headers().map_err(|e| wrong(1, e.to_string()))?.clone();
        const KNOWN: [&str; 13] = [
            "lot",
            "pieces",
            "spacer",
            "along",
            "across",
            "pole",
            "plate",
            "plate_across",
            "paint",
            "steel",
            "temperature",
            "value",
            "note",
        ];
        if let Some(other) = headings.iter().find(|h| !KNOWN.contains(h)) {
            let problem = format!("there is no column {other}; columns are {}", KNOWN.join(", "));
            return Err(wrong(1, problem));
        }
        let column = |name: &str| headings.iter().position(|h| h == name);
        let mut added = Vec::new();
        for (k, record) in reader.records().enumerate() {
            let row = k + 2;
            let record = record.map_err(|e| wrong(row, e.to_string()))?;
            let cell = |name: &str| column(name).and_then(|c| record.get(c)).filter(|c| !c.is_empty());
            let length = |name: &str| match cell(name) {
                None => Ok(Length(0.0)),
                Some(text) => parse::<Length>(text).map_err(|e| wrong(row, format!("{name}: {}", e.one_line()))),
            };
            let value = cell("value").ok_or_else(|| wrong(row, "value is missing; write it with its unit".into()))?;
            let mut reading = Reading::at_face(0, 1, read_value(value).map_err(|e| wrong(row, e))?);
            if let Some(text) = cell("lot") {
                reading.lot = self
                    .lots
                    .iter()
                    .position(|lot| lot.name == text)
                    .or_else(|| text.parse().ok().filter(|&n: &usize| n < self.lots.len()))
                    .ok_or_else(|| {
                        wrong(
                            row,
                            format!("there is no lot {text}; give its name or its number from 0"),
                        )
                    })?;
            }
            if let Some(text) = cell("pieces") {
                reading.pieces = text
                    .parse()
                    .map_err(|_| wrong(row, format!("pieces must be a whole number, got {text}")))?;
            }
            reading.spacer = length("spacer")?;
            reading.along = length("along")?;
            reading.across = length("across")?;
            reading.pole = match cell("pole") {
                None => None,
                Some("N" | "n") => Some(Pole::North),
                Some("S" | "s") => Some(Pole::South),
                Some(other) => return Err(wrong(row, format!("pole must be N or S, got {other}"))),
            };
            let said = |name: &str| cell(name).map(|_| length(name)).transpose();
            let plate = Plate {
                thickness: said("plate")?,
                across: said("plate_across")?,
                paint: length("paint")?,
                steel: cell("steel").map_or_else(|| Plate::default().steel, str::to_owned),
            };
            reading.plate = (!plate.is_usual()).then_some(plate);
            if let Some(text) = cell("temperature") {
                reading.temperature =
                    parse::<Temperature>(text).map_err(|e| wrong(row, format!("temperature: {}", e.one_line())))?;
            }
            cell("note").unwrap_or_default().clone_into(&mut reading.note);
            reading.validate().map_err(|e| wrong(row, e.to_string()))?;
            added.push(reading);
        }
        self.readings.extend(added);
        Ok(())
    }
}

/// A value with its unit: `159 mT`, `1590 G`, `12 N`, `0.05 A m2`. The sign does not count.
///
/// # Errors
/// What would be right.
pub fn read_value(text: &str) -> Result<Value, String> {
    let plain = text.trim_start_matches('-').trim();
    for unit in ["A m²", "A·m²", "Am²", "A m2", "A*m2", "Am2"] {
        if let Some(number) = plain.strip_suffix(unit) {
            let number: Result<f64, _> = number.trim().parse();
            return number
                .map(Value::Moment)
                .map_err(|_| format!("a moment such as 0.05 A m2, got {text}"));
        }
    }
    parse::<FluxDensity>(plain)
        .map(Value::FluxDensity)
        .or_else(|_| parse::<Force>(plain).map(Value::Pull))
        .map_err(|_| format!("a value with its unit such as 159 mT, 1590 G, 12 N or 0.05 A m2, got {text}"))
}

#[cfg(test)]
mod tests;
