//! The expected reading, before the probe touches.

use std::collections::HashMap;

use advice::view::band::{ShareView, shares};
use advice::view::text::{Run, runs};
use bench::{Foretold, Reading, Setup, Value, expected::expected_roughly, foretell};
use quantity::{FluxDensity, Force, Kind as QuantityKind, Length, Quantity, Units};
use serde::Serialize;
use uncertainty::Band;
use utoipa::ToSchema;

use super::opened::Opened;
use super::wire::{PlaceBody, PlaceView, ValueView, shown};
use super::words::{count_words, plate_words};
use crate::problem::{Kind, Problem};

/// The longest stack of which a band is drawn where it bends; of longer ones it is outlined.
const LONG: u32 = 12;

/// A band on a line.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Bar {
    /// Low end.
    pub low: ValueView,
    /// Middle.
    pub mid: ValueView,
    /// High end.
    pub high: ValueView,
    /// In a few words.
    pub text: String,
}

/// What an instrument is expected to show.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct ExpectedView {
    /// Where.
    pub place: PlaceView,
    /// Of what and where, in words.
    pub what: String,
    /// In a sentence.
    pub says: Vec<Run>,
    /// What was expected before the first reading: the grade, the sizes and the probe as they are known.
    pub before: Bar,
    /// What this lot on this probe shows by its readings, where there are enough.
    pub lot: Option<Bar>,
    /// What widens the band before the first reading, by falling share.
    pub shares: Vec<ShareView>,
}

/// Bands that were found beforehand, each once.
#[derive(Default)]
pub struct Beforehand(HashMap<Spot, Band>);

/// What makes two readings repeats of each other, as bits.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Spot([u64; 9], String);

impl Spot {
    /// That of a reading.
    pub fn of(reading: &Reading) -> Self {
        let kind = match reading.value {
            Value::FluxDensity(_) => 0,
            Value::Pull(_) => 1,
            Value::Moment(_) => 2,
        };
        let plate = reading.plate.as_ref();
        let bits = |length: Option<Length>| length.map_or(u64::MAX, |l| l.si().to_bits());
        let numbers = [
            kind,
            u64::from(reading.pieces),
            reading.spacer.si().to_bits(),
            reading.along.si().to_bits(),
            reading.across.si().to_bits(),
            reading.temperature.si().to_bits(),
            bits(plate.and_then(|plate| plate.thickness)),
            bits(plate.and_then(|plate| plate.across)),
            bits(plate.map(|plate| plate.paint)),
        ];
        Self(numbers, plate.map_or_else(String::new, |plate| plate.steel.clone()))
    }
}

impl Beforehand {
    /// The band of a reading by what was known before the first one.
    ///
    /// # Errors
    /// Where the magnet has no such reading.
    pub fn band(&mut self, opened: &Opened, reading: &Reading) -> Result<&Band, Problem> {
        match self.0.entry(Spot::of(reading)) {
            std::collections::hash_map::Entry::Occupied(known) => Ok(known.into_mut()),
            std::collections::hash_map::Entry::Vacant(free) => {
                let setup = Setup::new(&opened.probe, opened.lot(), reading).map_err(|e| cannot(&e))?;
                let band = if reading.pieces > LONG {
                    expected_roughly(&setup)
                } else {
                    bench::expected(&setup)
                };
                Ok(free.insert(band.map_err(|e| cannot(&e))?))
            }
        }
    }
}

fn cannot(error: &bench::SetupError) -> Problem {
    Problem::new(Kind::Asked, "no reading can be expected", error.to_string())
}

/// What the session's readings say of others; nothing where there are too few.
///
/// # Errors
/// A reading that is out of range.
pub fn by_lot(opened: &Opened, others: &[Reading]) -> Result<Vec<Option<Foretold>>, Problem> {
    match &opened.fit {
        Some(fit) if opened.tells() => foretell(
            &opened.probe,
            &opened.lots,
            &opened.readings,
            &opened.options,
            fit,
            others,
        )
        .map_err(|e| Problem::new(Kind::Asked, "no reading can be expected", e.to_string())),
        _ => Ok(vec![None; others.len()]),
    }
}

/// A band as a bar.
pub fn bar(value: Value, [low, mid, high]: [f64; 3], largest: f64, units: &Units) -> Bar {
    let of = |si: f64| shown(value, si, largest, units);
    let (low, mid, high) = (of(low), of(mid), of(high));
    Bar {
        text: format!("{}, between {} and {}", mid.text, number(&low), high.text),
        low,
        mid,
        high,
    }
}

/// The number of a value without its unit.
fn number(value: &ValueView) -> &str {
    value
        .text
        .strip_suffix(&value.unit)
        .map_or(value.text.as_str(), str::trim_end)
}

/// What an instrument is expected to show there.
///
/// # Errors
/// A place that cannot be, or a magnet that has no such reading.
pub fn expected_view(opened: &Opened, place: &PlaceBody, units: &Units) -> Result<ExpectedView, Problem> {
    let reading = place.reading()?;
    let mut beforehand = Beforehand::default();
    let band = beforehand.band(opened, &reading)?;
    let told = by_lot(opened, std::slice::from_ref(&reading))?
        .into_iter()
        .next()
        .flatten();
    let largest = band.high.max(told.map_or(0.0, |t| t.interval()[1]));
    let before = bar(reading.value, [band.low, band.mid, band.high], largest, units);
    let lot = told.map(|t| {
        let [low, high] = t.interval();
        bar(reading.value, [low, t.value, high], largest, units)
    });
    let kind = match reading.value {
        Value::FluxDensity(_) => FluxDensity::KIND,
        Value::Pull(_) => Force::KIND,
        // Shares are parts of the value; a moment has no unit among the quantities.
        Value::Moment(_) => QuantityKind::Force,
    };
    let says = match &lot {
        Some(bar) => format!(
            "Expected **{}**: 95 % of readings of this lot lie between **{}** and **{}**. Before its first reading: {}.",
            bar.mid.text,
            number(&bar.low),
            bar.high.text,
            before.text
        ),
        None => format!(
            "Expected **{}**: 95 % of such magnets read between **{}** and **{}** on this probe.",
            before.mid.text,
            number(&before.low),
            before.high.text
        ),
    };
    Ok(ExpectedView {
        place: PlaceView::of(&reading, units),
        what: what(&reading, units),
        says: runs(&says),
        shares: shares(kind, band),
        before,
        lot,
    })
}

/// Of how many pieces and where, in words.
pub fn what(reading: &Reading, units: &Units) -> String {
    let mut text = match reading.pieces {
        1 => "one piece".to_owned(),
        n => format!("{} pieces", count_words(n)),
    };
    if reading.spacer.si() > 0.0 {
        text += &format!(", on {}", reading.spacer.show_given(units));
    }
    if reading.along.si() > 0.0 {
        text += &format!(", {} away", reading.along.show_given(units));
    }
    if reading.across.si() != 0.0 {
        text += &format!(", {} off the axis", reading.across.show_given(units));
    }
    text + &match reading.value {
        Value::FluxDensity(_) => String::new(),
        Value::Pull(_) => match &reading.plate {
            None => ", pull".into(),
            Some(plate) => format!(", pull from {}", plate_words(plate, units)),
        },
        Value::Moment(_) => ", moment".into(),
    }
}
