//! What readings, fits and their parts are called.

use bench::fit::{Cure, FACTOR, Finding, Fitted};
use bench::next::Next;
use bench::session::{Compared, LotEntry, Report};
use bench::setup::place;
use bench::{Fit, Lot, Needed, Parameter, Plate, Reading, Value};
use quantity::{FluxDensity, Force, Length, Quantity, Units};
use serde::Serialize;
use uncertainty::Band;
use utoipa::ToSchema;

use advice::view::band::cause_words;
use advice::view::text::capital;

/// Significant digits of what is read and fitted.
pub const DIGITS: usize = 3;
/// Pairs that are not told apart which are named.
const MOST_PAIRS: usize = 3;

/// A reading against what was expected before it.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct ReadingLine {
    /// Of what, and where.
    pub what: String,
    /// What was read.
    pub read: String,
    /// What was expected.
    pub expected: String,
    /// Its 95 % band.
    pub band: String,
    /// Whether it lies in the band.
    pub inside: bool,
    /// What the fit gives; empty without one.
    pub fitted: String,
    /// Where it lies outside: what would have to be off, the likeliest first.
    pub reasons: Vec<String>,
}

/// A parameter as fitted.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct ParameterLine {
    /// Which.
    pub name: String,
    /// Its value.
    pub value: String,
    /// Its 95 % interval.
    pub interval: String,
    /// What was known beforehand, as a 95 % interval, or that it was free.
    pub before: String,
}

/// What things are called.
pub struct Words<'a> {
    /// The lots as written.
    pub entries: &'a [LotEntry],
    /// The lots.
    pub lots: &'a [Lot],
    /// Units of every text.
    pub units: &'a Units,
}

/// A part in per cent with one decimal, a negative one with the sign of the trade's print.
fn tenths(part: f64) -> String {
    // Adding 0 turns a negative zero about.
    let percent = (1000.0 * part).round() / 10.0 + 0.0;
    format!("{percent:.1} %").replace('-', "−")
}

impl Words<'_> {
    /// The name of a lot.
    pub fn lot(&self, number: usize) -> String {
        match self.entries.get(number).map(|entry| entry.name.trim()) {
            Some(name) if !name.is_empty() => name.to_owned(),
            _ => format!("lot {number}"),
        }
    }

    /// A length that was computed.
    pub fn length(&self, si: f64) -> String {
        Length(si).show_to(DIGITS, self.units).to_string()
    }

    /// A value of that kind, in SI.
    pub fn value(&self, kind: Value, si: f64) -> String {
        match kind {
            Value::FluxDensity(_) => FluxDensity(si).show_to(DIGITS, self.units).to_string(),
            Value::Pull(_) => Force(si).show_to(DIGITS, self.units).to_string(),
            Value::Moment(_) => format!("{} A m²", significant(si)),
        }
    }

    /// An interval of values of that kind.
    pub fn range(&self, kind: Value, [low, high]: [f64; 2]) -> String {
        format!("{} to {}", self.value(kind, low), self.value(kind, high))
    }

    /// Of what, and where.
    pub fn place(&self, reading: &Reading) -> String {
        let mut text = format!("{} × {}", reading.pieces, self.lot(reading.lot));
        if reading.spacer.si() > 0.0 {
            text += &format!(", on {}", self.length(reading.spacer.si()));
        }
        if reading.along.si() > 0.0 {
            text += &format!(", {} away", self.length(reading.along.si()));
        }
        if reading.across.si() != 0.0 {
            text += &format!(", {} off the axis", self.length(reading.across.si()));
        }
        text + &match (reading.value, &reading.plate) {
            (Value::FluxDensity(_), _) => String::new(),
            (Value::Pull(_), None) => ", by a pull tester".into(),
            (Value::Pull(_), Some(plate)) => format!(", by a pull tester from {}", plate_words(plate, self.units)),
            (Value::Moment(_), _) => ", by a coil pair".into(),
        }
    }

    /// A reading against what was expected.
    pub fn reading(&self, compared: &Compared, reading: &Reading, report: &Report) -> ReadingLine {
        let Band { mid, low, high, .. } = compared.expected;
        let fitted = report.fit.as_ref().and_then(|fit| fit.readings.get(compared.reading));
        ReadingLine {
            what: self.place(reading),
            read: self.value(reading.value, compared.value),
            expected: self.value(reading.value, mid),
            band: self.range(reading.value, [low, high]),
            inside: compared.inside,
            fitted: fitted.map_or_else(String::new, |f| self.value(reading.value, f.fitted)),
            reasons: compared.needed.iter().map(|n| self.needed(n, reading)).collect(),
        }
    }

    /// What an input would have to be.
    pub fn needed(&self, needed: &Needed, reading: &Reading) -> String {
        let spoken = |value: f64| match needed.place {
            place::SCALE => self.spoken(Parameter::Scale(reading.lot), value),
            place::THICKNESS => self.spoken(Parameter::Thickness(reading.lot), value),
            place::GAIN | place::PLACING | place::STEEL | place::LAW => format!("{value:.3}"),
            place::FALL_OFF | place::COEFFICIENT => tenths(value),
            place::ZERO => FluxDensity(value).show_to(DIGITS, self.units).to_string(),
            place::WARMER => format!("{value:+.1} K"),
            _ => self.length(value),
        };
        format!(
            "{} alone: {} instead of {}, {:.1} standard uncertainties off",
            cause_words(needed.cause),
            spoken(needed.value),
            spoken(needed.usual),
            needed.standards
        )
    }

    /// What a parameter is called.
    pub fn name(&self, parameter: Parameter) -> String {
        match parameter {
            Parameter::Depth => "depth of the probe".into(),
            Parameter::Gain => "gain of the probe".into(),
            Parameter::FallOff => "what the probe misses at 1 T".into(),
            Parameter::Steel => "pull over that by the law of its steel".into(),
            Parameter::Scale(lot) => format!("{}: effective remanence", self.lot(lot)),
            Parameter::FaceLoss(lot) => format!("{}: plating and dead layer, a side", self.lot(lot)),
            Parameter::Joint(lot) => format!("{}: air in a joint", self.lot(lot)),
            Parameter::Thickness(lot) => format!("{}: thickness of a piece", self.lot(lot)),
        }
    }

    /// A parameter's value as it is spoken of.
    pub fn spoken(&self, parameter: Parameter, value: f64) -> String {
        let lot = |number: usize| self.lots.get(number);
        match parameter {
            Parameter::Depth | Parameter::FaceLoss(_) | Parameter::Joint(_) => self.length(value),
            Parameter::Thickness(l) => self.length(value + lot(l).map_or(0.0, |lot| lot.shape.height())),
            Parameter::Scale(l) => {
                let remanence = value * lot(l).map_or(1.0, |lot| lot.grade.br_typical);
                FluxDensity(remanence).show_to(DIGITS, self.units).to_string()
            }
            Parameter::Gain | Parameter::Steel => format!("{value:.3}"),
            Parameter::FallOff => tenths(value),
        }
    }

    /// An interval of a parameter.
    pub fn interval(&self, parameter: Parameter, [low, high]: [f64; 2]) -> String {
        format!("{} to {}", self.spoken(parameter, low), self.spoken(parameter, high))
    }

    /// A parameter as fitted.
    pub fn parameter(&self, fitted: &Fitted) -> ParameterLine {
        let parameter = fitted.parameter;
        ParameterLine {
            name: self.name(parameter),
            value: self.spoken(parameter, fitted.value),
            interval: if fitted.standard.is_finite() {
                self.interval(parameter, fitted.interval())
            } else {
                "not told".into()
            },
            before: match fitted.prior {
                Some([value, standard]) => {
                    self.interval(parameter, [value - FACTOR * standard, value + FACTOR * standard])
                }
                None => "free".into(),
            },
        }
    }

    /// What is to be said of a fit, a sentence each.
    pub fn findings(&self, findings: &[Finding], readings: &[Reading]) -> Vec<String> {
        let pair = |f: &&Finding| matches!(f, Finding::NotToldApart { .. });
        let rest = findings.iter().filter(|f| !pair(f));
        let pairs = findings.iter().filter(pair).take(MOST_PAIRS);
        rest.chain(pairs).map(|f| capital(&self.finding(f, readings))).collect()
    }

    /// Something that is to be said of a fit, in a sentence.
    pub fn finding(&self, finding: &Finding, readings: &[Reading]) -> String {
        let sure = |surely: bool| {
            if surely {
                "by more than its uncertainty"
            } else {
                "though not by more than its uncertainty"
            }
        };
        match finding {
            Finding::OddReading {
                reading, from_others, ..
            } => match readings.get(*reading) {
                Some(odd) => format!(
                    "reading {} ({}) is odd: {}, and the others give {}. It was left out.",
                    reading + 1,
                    self.place(odd),
                    self.value(odd.value, odd.value.si()),
                    self.value(odd.value, *from_others)
                ),
                None => format!("reading {} is odd and was left out.", reading + 1),
            },
            Finding::Scatter { factor } => format!(
                "the readings scatter {factor:.1} times as much as stated; all uncertainties are enlarged by that."
            ),
            Finding::OutsideGrade {
                lot,
                remanence,
                bracket: [low, high],
                surely,
                no_magnet,
                ..
            } => {
                let grade = self.lots.get(*lot).map_or("its grade", |lot| lot.grade.name.as_str());
                let tesla = |si: f64| FluxDensity(si).show_to(DIGITS, self.units).to_string();
                format!(
                    "{}: an effective remanence of {} is {} what {grade} has, {} to {}, {}.{}",
                    self.lot(*lot),
                    tesla(*remanence),
                    if remanence < low { "below" } else { "above" },
                    tesla(*low),
                    tesla(*high),
                    sure(*surely),
                    if *no_magnet {
                        " No magnet of any kind has it."
                    } else {
                        ""
                    }
                )
            }
            Finding::OutsideRange {
                parameter,
                value,
                range,
                surely,
                ..
            } => format!(
                "{}: {} is outside what can be, {}, {}.",
                self.name(*parameter),
                self.spoken(*parameter, *value),
                self.interval(*parameter, *range),
                sure(*surely)
            ),
            Finding::MeasureThickness { lot } => format!(
                "{}: measure thickness and plating; of so thin a magnet a tenth of a millimetre is much.",
                self.lot(*lot)
            ),
            Finding::NotToldApart {
                first,
                second,
                correlation,
                cures,
            } => {
                let cures: Vec<&str> = cures.iter().map(|&cure| cure_words(cure)).collect();
                format!(
                    "{} and {} are hardly told apart (correlation {correlation:.2}). What would: {}.",
                    self.name(*first),
                    self.name(*second),
                    cures.join(", or ")
                )
            }
            Finding::NotTold { parameter } => format!("no reading tells {}.", self.name(*parameter)),
        }
    }

    /// What to read next, a sentence each.
    pub fn next(&self, wanted: Parameter, fit: &Fit, next: &[Next]) -> Vec<String> {
        let before = fit.get(wanted).map_or(f64::NAN, |f| f.standard);
        next.iter()
            .map(|next| {
                format!(
                    "{}: the uncertainty of {} falls to {:.0} % of what it is.",
                    capital(&self.place(&next.reading)),
                    self.name(wanted),
                    100.0 * (next.standard / before).min(1.0)
                )
            })
            .collect()
    }
}

/// What would tell two parameters apart, in words.
fn cure_words(cure: Cure) -> &'static str {
    match cure {
        Cure::KnowDepth => "a probe whose depth is known, from a reference magnet with shims",
        Cure::Coil => "the moment by a coil pair",
        Cure::FarReading => "a reading one to three diameters away",
        Cure::Spacers => "readings on spacers of known thickness",
        Cure::MeasureThickness => "thickness by a micrometer",
        Cure::OtherCounts => "readings of one piece and of stacks",
        Cure::Calibration => "a calibrated field for the probe",
    }
}

/// `1 mm of mild steel, 40 mm across, painted 0.1 mm`.
pub fn plate_words(plate: &Plate, units: &Units) -> String {
    let mut text = match plate.thickness {
        Some(thickness) => format!("{} of {}", thickness.show_given(units), plate.steel),
        None => format!("thick {}", plate.steel),
    };
    if let Some(across) = plate.across {
        text += &format!(", {} across", across.show_given(units));
    }
    if plate.paint.si() > 0.0 {
        text += &format!(", painted {}", plate.paint.show_given(units));
    }
    text
}

/// Three significant digits.
pub fn significant(value: f64) -> String {
    if value == 0.0 {
        return "0".into();
    }
    let digits = (DIGITS as i32 - 1 - value.abs().log10().floor() as i32).clamp(0, 9) as usize;
    format!("{value:.digits$}")
}

/// A small count in words, a larger one in figures.
pub fn count_words(count: u32) -> String {
    const WORDS: [&str; 13] = [
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    ];
    WORDS
        .get(count as usize)
        .map_or_else(|| count.to_string(), |word| (*word).to_owned())
}
