//! An instrument that is read live: SCPI over TCP or a serial line (IEEE 488.2 messages, one a line).
//!
//! A thread asks it again and again and keeps the last that it said. A line that is dropped, one that makes no sense, and an
//! instrument that goes away are states, not failures: it is asked again, and connected to again.

mod port;
mod talk;

use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::Duration;

use quantity::{FluxDensity, Quantity, Units};
use serde::Serialize;
use utoipa::ToSchema;

pub use port::Port;
use talk::{Line, Said};

/// How long an answer is waited for.
const PATIENCE: Duration = Duration::from_millis(700);
/// Between two questions.
const PAUSE: Duration = Duration::from_millis(150);
/// Before an instrument that went away is looked for again, at first and at most.
const AWAY: [Duration; 2] = [Duration::from_millis(250), Duration::from_secs(4)];
/// Readings that must agree for a meter to hold still.
const STILL: usize = 4;
/// Part of the reading within which they agree.
const AGREE: f64 = 0.002;

/// Where an instrument is and how it is asked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Address {
    /// Over which line.
    pub port: Port,
    /// The query for one reading.
    pub query: String,
    /// The unit of numbers that state none.
    pub unit: String,
}

/// How a meter stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum MeterState {
    /// No instrument was named when the program was started.
    #[default]
    None,
    /// It does not answer; it is looked for.
    Away,
    /// What it said makes no sense.
    Garbled,
    /// Its reading moves.
    Moving,
    /// Its last readings agree.
    Still,
}

/// What a meter said last.
#[derive(Clone, Debug, Default, PartialEq, Serialize, ToSchema)]
pub struct MeterView {
    /// How it stands.
    pub state: MeterState,
    /// The same in words.
    pub says: String,
    /// Its reading in the unit of its kind, with the unit, to be taken; absent where there is none.
    pub value: Option<String>,
    /// The number alone.
    pub number: Option<String>,
    /// The unit.
    pub unit: String,
    /// What it says that it is.
    pub identity: String,
}

/// What is known of a meter.
#[derive(Debug, Default)]
struct Known {
    state: MeterState,
    identity: String,
    garbled: String,
    /// The last readings, T, the newest last.
    last: Vec<f64>,
}

/// A meter that is being read.
#[derive(Clone, Debug, Default)]
pub struct Meter(Option<Arc<Mutex<Known>>>);

impl Meter {
    /// Begins to read an instrument; it need not be there yet.
    pub fn watch(address: Address) -> Self {
        let known = Arc::new(Mutex::new(Known {
            state: MeterState::Away,
            ..Known::default()
        }));
        let shared = Arc::downgrade(&known);
        thread::spawn(move || {
            let mut wait = AWAY[0];
            // It is read for as long as somebody looks.
            while let Some(known) = shared.upgrade() {
                let heard = session(&address, &known);
                lock(&known).state = MeterState::Away;
                lock(&known).last.clear();
                drop(known);
                wait = if heard { AWAY[0] } else { (wait * 2).min(AWAY[1]) };
                thread::sleep(wait);
            }
        });
        Self(Some(known))
    }

    /// What it said last.
    pub fn view(&self, units: &Units) -> MeterView {
        let Some(known) = &self.0 else {
            return MeterView::default();
        };
        let known = lock(known);
        let newest = known.last.last().copied();
        let scale = units.scale(FluxDensity::KIND, newest.unwrap_or(0.1));
        let number = newest.map(|b| talk::shown(scale.apply(b)));
        let says = match known.state {
            MeterState::None => String::new(),
            MeterState::Away => "the meter does not answer; it is looked for".into(),
            MeterState::Garbled => format!("the meter says {:?}, which is no reading", known.garbled),
            MeterState::Moving => "the reading moves".into(),
            MeterState::Still => "holds still".into(),
        };
        MeterView {
            state: known.state,
            says,
            value: number.as_ref().map(|n| format!("{n} {}", scale.label)),
            number,
            unit: scale.label.into(),
            identity: known.identity.clone(),
        }
    }
}

fn lock(known: &Mutex<Known>) -> std::sync::MutexGuard<'_, Known> {
    known.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Talks to an instrument until it goes away; whether it said anything.
fn session(address: &Address, known: &Arc<Mutex<Known>>) -> bool {
    let Some(stream) = address.port.open(PATIENCE) else {
        return false;
    };
    let mut line = Line::new(stream);
    if let Said::Text(identity) = line.ask("*IDN?") {
        lock(known).identity = identity;
    }
    let mut heard = false;
    // Somebody beside this thread must want it still.
    while Arc::strong_count(known) > 1 {
        match line.ask(&address.query) {
            Said::Gone => return heard,
            Said::Nothing => {}
            Said::Text(text) => {
                heard = true;
                take(known, &text, &address.unit);
            }
        }
        thread::sleep(PAUSE);
    }
    heard
}

/// Takes note of what a meter said.
fn take(known: &Mutex<Known>, text: &str, unit: &str) {
    let mut known = lock(known);
    match talk::flux_density(text, unit) {
        None => {
            known.garbled = text.to_owned();
            known.state = MeterState::Garbled;
            known.last.clear();
        }
        Some(b) => {
            known.last.push(b.abs());
            let extra = known.last.len().saturating_sub(STILL);
            known.last.drain(..extra);
            let (low, high) = known
                .last
                .iter()
                .fold((f64::INFINITY, 0.0_f64), |(low, high), &b| (low.min(b), high.max(b)));
            let still = known.last.len() == STILL && high > 0.0 && high - low <= AGREE * high;
            known.state = if still { MeterState::Still } else { MeterState::Moving };
        }
    }
}

#[cfg(test)]
mod tests;
