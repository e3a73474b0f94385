//! Readings and where they are taken, as they come in and go out.

use advice::question::Amount;
use bench::session::read_value;
use bench::{Plate, Pole, Reading, Value};
use quantity::{FluxDensity, Force, Length, Quantity, Temperature, Unit, Units};
use serde::{Deserialize, Serialize};
use shop::bench::{Standing, Taken};
use utoipa::ToSchema;

use super::words::significant;
use crate::problem::{Kind, Problem};

/// What an instrument reads.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ReadingKind {
    /// Flux density by a probe.
    #[default]
    FluxDensity,
    /// Pull by a tester from a plate.
    Pull,
    /// Magnetic moment by a coil pair.
    Moment,
}

impl ReadingKind {
    /// The kind of a value.
    pub fn of(value: Value) -> Self {
        match value {
            Value::FluxDensity(_) => Self::FluxDensity,
            Value::Pull(_) => Self::Pull,
            Value::Moment(_) => Self::Moment,
        }
    }

    /// A value of this kind, in SI.
    pub fn value(self, si: f64) -> Value {
        match self {
            Self::FluxDensity => Value::FluxDensity(FluxDensity(si)),
            Self::Pull => Value::Pull(Force(si)),
            Self::Moment => Value::Moment(si),
        }
    }
}

/// Which pole faces the probe.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum PoleName {
    /// The one that seeks north.
    North,
    /// The other.
    South,
}

impl From<PoleName> for Pole {
    fn from(pole: PoleName) -> Self {
        match pole {
            PoleName::North => Self::North,
            PoleName::South => Self::South,
        }
    }
}

impl From<Pole> for PoleName {
    fn from(pole: Pole) -> Self {
        match pole {
            Pole::North => Self::North,
            Pole::South => Self::South,
        }
    }
}

/// What a pull tester pulls from; what is left out is thick, wide, bare and of mild steel.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct PlateBody {
    /// Thickness.
    #[schema(value_type = Option<Amount>)]
    pub thickness: Option<Length>,
    /// Its diameter, or the smaller of its sides.
    #[schema(value_type = Option<Amount>)]
    pub across: Option<Length>,
    /// Thickness of its paint.
    #[schema(value_type = Option<Amount>)]
    pub paint: Option<Length>,
    /// Its steel.
    pub steel: Option<String>,
}

impl PlateBody {
    /// The plate; `None` for a usual one.
    fn plate(&self) -> Option<Plate> {
        let steel = self
            .steel
            .as_ref()
            .map(|name| name.trim())
            .filter(|name| !name.is_empty());
        let plate = Plate {
            thickness: self.thickness,
            across: self.across,
            paint: self.paint.unwrap_or_default(),
            steel: steel.map_or_else(|| Plate::default().steel, str::to_owned),
        };
        (!plate.is_usual()).then_some(plate)
    }
}

/// A plate as it goes out: texts that [`PlateBody`] takes.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct PlateView {
    /// Thickness; absent for a thick one.
    pub thickness: Option<String>,
    /// Its size; absent for a wide one.
    pub across: Option<String>,
    /// Thickness of its paint; absent for none.
    pub paint: Option<String>,
    /// Its steel.
    pub steel: String,
}

impl PlateView {
    fn of(plate: &Plate, units: &Units) -> Self {
        let length = |l: Length| l.show_given(units).to_string();
        Self {
            thickness: plate.thickness.map(length),
            across: plate.across.map(length),
            paint: (plate.paint.si() != 0.0).then(|| length(plate.paint)),
            steel: plate.steel.clone(),
        }
    }
}

/// How many pieces, where, and by what a reading is taken; what is left out is one piece at the middle of its face, at 20 °C.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct PlaceBody {
    /// By what.
    pub kind: ReadingKind,
    /// Pieces in the stack.
    #[schema(minimum = 1, maximum = 1000)]
    pub pieces: Option<u32>,
    /// What lies between face and probe and touches both.
    #[schema(value_type = Option<Amount>)]
    pub spacer: Option<Length>,
    /// A distance set by a stand or a ruler, beyond the spacer.
    #[schema(value_type = Option<Amount>)]
    pub along: Option<Length>,
    /// From the axis, along the length of a block.
    #[schema(value_type = Option<Amount>)]
    pub across: Option<Length>,
    /// Which pole.
    pub pole: Option<PoleName>,
    /// What a pull tester pulls from.
    pub plate: Option<PlateBody>,
    /// Temperature of magnet and probe.
    #[schema(value_type = Option<Amount>)]
    pub temperature: Option<Temperature>,
}

impl PlaceBody {
    /// A reading there; its value only tells the kind.
    ///
    /// # Errors
    /// What is out of range.
    pub fn reading(&self) -> Result<Reading, Problem> {
        let usual = Reading::at_face(0, self.pieces.unwrap_or(1), self.kind.value(1.0));
        let reading = Reading {
            spacer: self.spacer.unwrap_or_default(),
            along: self.along.unwrap_or_default(),
            across: self.across.unwrap_or_default(),
            pole: self.pole.map(Pole::from),
            plate: self
                .plate
                .as_ref()
                .filter(|_| self.kind == ReadingKind::Pull)
                .and_then(PlateBody::plate),
            temperature: self.temperature.unwrap_or(usual.temperature),
            ..usual
        };
        reading.validate().map_err(|error| wrong(&error))?;
        Ok(reading)
    }
}

fn wrong(error: &bench::SetupError) -> Problem {
    Problem::new(Kind::Asked, "no such reading", error.to_string())
}

/// A place as it goes out: texts that [`PlaceBody`] takes.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct PlaceView {
    /// By what.
    pub kind: ReadingKind,
    /// Pieces in the stack.
    pub pieces: u32,
    /// What lies between; absent for nothing.
    pub spacer: Option<String>,
    /// A distance beyond it; absent for none.
    pub along: Option<String>,
    /// From the axis; absent on it.
    pub across: Option<String>,
    /// Which pole.
    pub pole: Option<PoleName>,
    /// What a pull tester pulls from; absent for a usual plate.
    pub plate: Option<PlateView>,
    /// Temperature of magnet and probe, where it is not that of a room.
    pub temperature: Option<String>,
}

impl PlaceView {
    /// The place of a reading.
    pub fn of(reading: &Reading, units: &Units) -> Self {
        let length = |l: Length| (l.si() != 0.0).then(|| l.show_given(units).to_string());
        let usual = Reading::at_face(0, 1, reading.value).temperature;
        Self {
            kind: ReadingKind::of(reading.value),
            pieces: reading.pieces,
            spacer: length(reading.spacer),
            along: length(reading.along),
            across: length(reading.across),
            pole: reading.pole.map(PoleName::from),
            plate: reading.plate.as_ref().map(|plate| PlateView::of(plate, units)),
            temperature: (reading.temperature != usual).then(|| reading.temperature.show(units).to_string()),
        }
    }
}

/// A reading as it comes in.
#[derive(Clone, Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ReadingBody {
    /// Its id, made by whoever takes it: 1 to 64 letters, digits, `-` or `_`. Sent again, it is the same reading.
    pub id: String,
    /// What the instrument showed, with its unit: `288.4 mT`, `2884 G`, `12 N`, `0.05 A m2`. The sign does not count.
    pub value: String,
    /// Where.
    #[serde(default)]
    pub place: PlaceBody,
    /// When, in seconds since 1970-01-01 UTC; now where it is absent.
    #[serde(default)]
    pub taken_at: Option<i64>,
    /// Anything to remember.
    #[serde(default)]
    pub note: String,
}

impl ReadingBody {
    /// The reading, taken `now` unless it says when.
    ///
    /// # Errors
    /// What does not read, or is out of range.
    pub fn taken(&self, now: i64) -> Result<Taken, Problem> {
        let text = self.value.trim();
        let value = read_value(text).map_err(|right| {
            Problem::new(Kind::Asked, "this does not read", format!("{text:?} is not a reading"))
                .hint(format!("write {}", right.split(", got").next().unwrap_or_default()))
                .field("/value")
        })?;
        let place = PlaceBody {
            kind: ReadingKind::of(value),
            ..self.place.clone()
        };
        let reading = Reading {
            note: self.note.trim().into(),
            ..place.reading()?.with_value(value.si())
        };
        reading.validate().map_err(|error| wrong(&error).field("/value"))?;
        let unit = text.trim_start_matches(|c: char| !c.is_alphabetic());
        Ok(Taken {
            id: self.id.clone(),
            taken_at: self.taken_at.unwrap_or(now),
            reading,
            unit: unit.chars().take(12).collect(),
            standing: Standing::default(),
        })
    }
}

/// A value as the instrument showed it, in the unit that it was given in.
pub fn as_given(taken: &Taken) -> String {
    let value = taken.reading.value;
    match (value, Unit::named(&taken.unit)) {
        (Value::FluxDensity(_) | Value::Pull(_), Some(unit)) => {
            format!("{}\u{a0}{}", trimmed(unit.from_si(value.si())), unit.label())
        }
        _ => format!("{}\u{a0}A m²", trimmed(value.si())),
    }
}

/// Up to six significant digits, without zeros at the end.
fn trimmed(value: f64) -> String {
    let digits = (5 - value.abs().max(f64::MIN_POSITIVE).log10().floor() as i32).clamp(0, 9) as usize;
    let text = format!("{value:.digits$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// A value in the reader's units: the number, the unit, and both as text.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct ValueView {
    /// In the unit shown.
    pub value: f64,
    /// The unit.
    pub unit: String,
    /// Number and unit, rounded to what makes sense.
    pub text: String,
}

/// A value in SI as a reader sees it. `largest` decides the unit, so that values beside each other share it.
pub fn shown(value: Value, si: f64, largest: f64, units: &Units) -> ValueView {
    let of = |kind: quantity::Kind, text: String| {
        let scale = units.scale(kind, largest.abs());
        ValueView {
            value: scale.apply(si),
            unit: scale.label.to_string(),
            text,
        }
    };
    match value {
        Value::FluxDensity(_) => of(
            FluxDensity::KIND,
            FluxDensity(si).show_to(super::words::DIGITS, units).to_string(),
        ),
        Value::Pull(_) => of(Force::KIND, Force(si).show_to(super::words::DIGITS, units).to_string()),
        Value::Moment(_) => ValueView {
            value: si,
            unit: "A m²".into(),
            text: format!("{}\u{a0}A m²", significant(si)),
        },
    }
}
