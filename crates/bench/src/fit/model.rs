//! Readings and what was known beforehand as residuals of the parameters.

use nalgebra::{DMatrix, RowDVector};
use uncertainty::{Distribution, Input};

use super::{FitError, MOST_PARAMETERS, MOST_PIECES, MOST_READINGS, Parameter};
use crate::error::SetupError;
use crate::least_squares::Residuals;
use crate::lot::Lot;
use crate::probe::Probe;
use crate::reading::{Reading, Value};
use crate::setup::{At, Setup, place};

/// Step of a length for slopes, m: 30 nm, so that the error of a slope is some parts in a million.
const STEP: f64 = 3e-8;

/// One parameter of a fit. The solver sees its distance from where it started in units of `unit`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Unknown {
    pub(crate) parameter: Parameter,
    pub(crate) start: f64,
    pub(crate) unit: f64,
    pub(crate) prior: Option<[f64; 2]>,
}

impl Unknown {
    pub(crate) fn physical(&self, x: f64) -> f64 {
        self.start + x * self.unit
    }
}

/// All of a fit.
pub(crate) struct Model<'a> {
    pub(crate) probe: &'a Probe,
    pub(crate) lots: &'a [Lot],
    pub(crate) readings: &'a [Reading],
    pub(crate) parameters: Vec<Unknown>,
    /// Free parameters that no reading feels.
    pub(crate) untold: Vec<Parameter>,
    setups: Vec<Setup<'a>>,
    middles: Vec<At>,
    /// For each reading the unknowns that it feels and the inputs that they move.
    felt: Vec<Vec<(usize, usize)>>,
    /// Standard uncertainty of each reading, in SI.
    pub(crate) standards: Vec<f64>,
    pub(crate) weights: Vec<f64>,
}

/// Mean and standard deviation of an input.
pub(crate) fn moments(input: &Input) -> [f64; 2] {
    match input.distribution {
        Distribution::Normal { mid, standard } => [mid, standard],
        Distribution::Limits { low, mid, high } => {
            let (down, up) = (mid - low, high - mid);
            let more = 0.25 * (up - down);
            [mid + more, ((up * up + down * down) / 6.0 - more * more).sqrt()]
        }
    }
}

/// The input that a parameter moves.
fn input_of(parameter: Parameter) -> usize {
    match parameter {
        Parameter::Depth => place::DEPTH,
        Parameter::Gain => place::GAIN,
        Parameter::FallOff => place::FALL_OFF,
        Parameter::Steel => place::STEEL,
        Parameter::Scale(_) => place::SCALE,
        Parameter::FaceLoss(_) => place::PLATING,
        Parameter::Joint(_) => place::JOINT,
        Parameter::Thickness(_) => place::THICKNESS,
    }
}

/// The lot that a parameter is of.
pub(crate) fn lot_of(parameter: Parameter) -> Option<usize> {
    match parameter {
        Parameter::Scale(lot) | Parameter::FaceLoss(lot) | Parameter::Joint(lot) | Parameter::Thickness(lot) => {
            Some(lot)
        }
        Parameter::Depth | Parameter::Gain | Parameter::FallOff | Parameter::Steel => None,
    }
}

/// Whether a reading feels a parameter.
fn feels(reading: &Reading, parameter: Parameter) -> bool {
    let kind = match parameter {
        Parameter::Depth | Parameter::Gain | Parameter::FallOff => matches!(reading.value, Value::FluxDensity(_)),
        Parameter::Steel => matches!(reading.value, Value::Pull(_)),
        Parameter::Joint(_) => reading.pieces > 1 && !matches!(reading.value, Value::Moment(_)),
        _ => true,
    };
    kind && lot_of(parameter).is_none_or(|lot| lot == reading.lot)
}

/// What is known of a parameter beforehand from the inputs of a reading that feels it: value, and standard uncertainty.
fn known(parameter: Parameter, inputs: &[Input; place::COUNT]) -> [f64; 2] {
    let of = |k: usize| moments(&inputs[k]);
    match parameter {
        Parameter::FaceLoss(_) => {
            let ([a, u], [b, v]) = (of(place::PLATING), of(place::DEAD_LAYER));
            [a + b, u.hypot(v)]
        }
        other => of(input_of(other)),
    }
}

/// The length or part that a parameter is measured in by the solver.
fn unit_of(parameter: Parameter) -> f64 {
    match parameter {
        Parameter::Depth => 1e-4,
        Parameter::Gain | Parameter::FallOff | Parameter::Steel | Parameter::Scale(_) => 0.02,
        Parameter::FaceLoss(_) | Parameter::Joint(_) | Parameter::Thickness(_) => 2e-5,
    }
}

fn few(what: &'static str, got: usize, most: usize) -> Result<(), FitError> {
    if got > most {
        Err(FitError::TooMany { what, got, most })
    } else {
        Ok(())
    }
}

/// Refuses more than is handled, before anything is computed.
pub(crate) fn within_limits(readings: &[Reading]) -> Result<(), FitError> {
    few("readings", readings.len(), MOST_READINGS)?;
    let pieces = readings.iter().map(|r| r.pieces as usize).sum();
    few("pieces in all stacks together", pieces, MOST_PIECES)
}

impl<'a> Model<'a> {
    pub(crate) fn new(
        probe: &'a Probe,
        lots: &'a [Lot],
        readings: &'a [Reading],
        free: &[Parameter],
        noise: f64,
    ) -> Result<Self, FitError> {
        if let Some(&parameter) = free.iter().find(|&&p| lot_of(p).is_some_and(|lot| lot >= lots.len())) {
            return Err(FitError::NoLot {
                parameter,
                lots: lots.len(),
            });
        }
        within_limits(readings)?;
        let mut setups = Vec::with_capacity(readings.len());
        for (k, reading) in readings.iter().enumerate() {
            let lot = lots.get(reading.lot).ok_or(SetupError::NoLot {
                reading: k,
                lot: reading.lot,
                lots: lots.len(),
            })?;
            setups.push(Setup::new(probe, lot, reading)?.with_noise(noise));
        }
        let inputs: Vec<[Input; place::COUNT]> = setups.iter().map(Setup::inputs).collect();
        let own = |lot| {
            [
                Parameter::Scale(lot),
                Parameter::FaceLoss(lot),
                Parameter::Joint(lot),
                Parameter::Thickness(lot),
            ]
        };
        let shared = [Parameter::Depth, Parameter::Gain, Parameter::FallOff, Parameter::Steel];
        let mut parameters = Vec::new();
        for parameter in shared.into_iter().chain((0..lots.len()).flat_map(own)) {
            let Some(first) = readings.iter().position(|reading| feels(reading, parameter)) else {
                continue;
            };
            let [start, standard] = known(parameter, &inputs[first]);
            let is_free = free.contains(&parameter);
            if is_free || standard > 0.0 {
                parameters.push(Unknown {
                    parameter,
                    start,
                    unit: unit_of(parameter),
                    prior: (!is_free).then_some([start, standard]),
                });
            }
        }
        few("parameters", parameters.len(), MOST_PARAMETERS)?;
        let untold = free
            .iter()
            .filter(|&&wanted| parameters.iter().all(|u| u.parameter != wanted))
            .copied()
            .collect();
        let felt = readings
            .iter()
            .map(|reading| {
                let felt = parameters
                    .iter()
                    .enumerate()
                    .filter(|(_, u)| feels(reading, u.parameter));
                felt.map(|(k, u)| (k, input_of(u.parameter))).collect()
            })
            .collect();
        let middles = setups
            .iter()
            .zip(&inputs)
            .map(|(setup, inputs)| {
                let mut at = inputs.each_ref().map(|input| moments(input)[0]);
                // The face loss stands in the place of the plating.
                at[place::PLATING] += at[place::DEAD_LAYER];
                at[place::DEAD_LAYER] = 0.0;
                // What a hand off the centre does to the mean hardly depends on the parameters.
                let beside = setup.value(&at);
                at[place::OFF_CENTRE] = 0.0;
                let part = beside / setup.value(&at);
                if part.is_finite() && part > 0.0 {
                    at[place::PLACING] *= part;
                }
                at
            })
            .collect();
        let mut model = Self {
            probe,
            lots,
            readings,
            parameters,
            untold,
            setups,
            middles,
            felt,
            standards: Vec::new(),
            weights: vec![1.0; readings.len()],
        };
        model.set_starts();
        model.set_standards(&model.start());
        Ok(model)
    }

    /// Lets free scales start where their lot's readings lie on the whole.
    fn set_starts(&mut self) {
        let x = self.start();
        let parts: Vec<f64> = (0..self.readings.len())
            .map(|k| self.readings[k].value.si() / self.value_of(k, &x))
            .collect();
        for unknown in &mut self.parameters {
            let (Parameter::Scale(lot), None) = (unknown.parameter, unknown.prior) else {
                continue;
            };
            let power = |r: &Reading| if matches!(r.value, Value::Pull(_)) { 0.5 } else { 1.0 };
            let mut own: Vec<f64> = self
                .readings
                .iter()
                .zip(&parts)
                .filter(|(r, part)| r.lot == lot && part.is_finite())
                .map(|(r, part)| part.powf(power(r)))
                .collect();
            own.sort_by(f64::total_cmp);
            if let Some(&median) = own.get(own.len() / 2) {
                unknown.start *= median;
            }
        }
    }

    pub(crate) fn start(&self) -> Vec<f64> {
        vec![0.0; self.parameters.len()]
    }

    pub(crate) fn free_count(&self) -> usize {
        self.parameters.iter().filter(|u| u.prior.is_none()).count()
    }

    /// The solver's parameters for these physical values; those not named stay where they start.
    pub(crate) fn at(&self, value: impl Fn(Parameter) -> Option<f64>) -> Vec<f64> {
        self.parameters
            .iter()
            .map(|u| value(u.parameter).map_or(0.0, |v| (v - u.start) / u.unit))
            .collect()
    }

    /// The inputs of a reading at parameters.
    fn inputs_at(&self, reading: usize, x: &[f64]) -> At {
        let mut at = self.middles[reading];
        for &(k, input) in &self.felt[reading] {
            at[input] = self.parameters[k].physical(x[k]);
        }
        at
    }

    /// Standard uncertainty of every reading by itself at parameters: placing, zero, place, distance, temperature, and
    /// what steel and seat add to a pull.
    pub(crate) fn set_standards(&mut self, x: &[f64]) {
        self.standards = (0..self.readings.len())
            .map(|k| own_standard(&self.setups[k], &self.inputs_at(k, x)))
            .collect();
    }

    /// Model less reading over its standard uncertainty, without weights and without what was known.
    pub(crate) fn plain_residuals(&self, x: &[f64]) -> Option<Vec<f64>> {
        (0..self.readings.len())
            .map(|k| {
                let got = self.value_of(k, x);
                let residual = (got - self.readings[k].value.si()) / self.standards[k];
                residual.is_finite().then_some(residual)
            })
            .collect()
    }

    /// A reading at parameters, in SI.
    pub(crate) fn value_of(&self, reading: usize, x: &[f64]) -> f64 {
        self.setups[reading].value(&self.inputs_at(reading, x))
    }

    /// Slopes of one reading over its standard uncertainty, without its weight.
    pub(crate) fn slope_of(&self, reading: usize, x: &[f64]) -> RowDVector<f64> {
        let mut row = RowDVector::zeros(self.parameters.len());
        let setup = &self.setups[reading];
        let at = self.inputs_at(reading, x);
        let Some(physical) = setup.physical(&at) else {
            row.fill(f64::NAN);
            return row;
        };
        let here = setup.shown(&at, physical);
        for &(k, input) in &self.felt[reading] {
            let mut moved = at;
            let slope = match input {
                place::GAIN | place::FALL_OFF | place::STEEL => {
                    moved[input] += 1e-4;
                    (setup.shown(&moved, physical) - here) / 1e-4
                }
                // The field and the moment are proportional to the scale; a pull is less than its square where steel saturates.
                place::SCALE if !matches!(setup.reading.value, Value::Pull(_)) => {
                    let part = 1e-6;
                    (setup.shown(&at, physical * (1.0 + part)) - here) / (part * at[input])
                }
                place::SCALE => {
                    moved[input] *= 1.0 + 1e-5;
                    (setup.value(&moved) - here) / (moved[input] - at[input])
                }
                _ => {
                    moved[input] += STEP;
                    (setup.value(&moved) - here) / STEP
                }
            };
            row[k] = slope * self.parameters[k].unit / self.standards[reading];
        }
        row
    }
}

/// Standard uncertainty of a reading by itself, in SI.
pub(crate) fn own_standard(setup: &Setup<'_>, at: &At) -> f64 {
    let inputs = setup.inputs();
    let own = [
        place::ZERO,
        place::OFF_CENTRE,
        place::DISTANCE,
        place::WARMER,
        place::COEFFICIENT,
        place::PLACING,
        place::SEAT,
        place::LAW,
        place::PAINT,
    ];
    let mut at = *at;
    for k in [place::OFF_CENTRE, place::PLACING] {
        [at[k], _] = moments(&inputs[k]);
    }
    let mut variance = 0.0;
    for k in own {
        let [_, standard] = moments(&inputs[k]);
        if standard > 0.0 {
            let mut moved = at;
            moved[k] += standard;
            let up = setup.value(&moved);
            moved[k] -= standard;
            let change = up - setup.value(&moved);
            variance += change * change;
        }
    }
    variance.sqrt().max(f64::MIN_POSITIVE)
}

impl Residuals for Model<'_> {
    fn residuals(&self, x: &[f64]) -> Option<Vec<f64>> {
        let mut residuals = self.plain_residuals(x)?;
        for (residual, weight) in residuals.iter_mut().zip(&self.weights) {
            *residual *= weight.sqrt();
        }
        residuals.extend(self.parameters.iter().zip(x).filter_map(|(u, &x)| {
            let [value, standard] = u.prior?;
            Some((u.physical(x) - value) / standard)
        }));
        // The solver wants a residual for every parameter.
        let missing = self.parameters.len().saturating_sub(residuals.len());
        residuals.extend(std::iter::repeat_n(0.0, missing));
        Some(residuals)
    }

    fn slopes(&self, x: &[f64]) -> Option<DMatrix<f64>> {
        let n = self.parameters.len();
        let known = self.parameters.iter().filter(|u| u.prior.is_some()).count();
        let mut slopes = DMatrix::zeros((self.readings.len() + known).max(n), n);
        for (k, weight) in self.weights.iter().enumerate().filter(|(_, weight)| **weight > 0.0) {
            slopes.set_row(k, &(self.slope_of(k, x) * weight.sqrt()));
        }
        let mut row = self.readings.len();
        for (k, unknown) in self.parameters.iter().enumerate() {
            if let Some([_, standard]) = unknown.prior {
                slopes[(row, k)] = unknown.unit / standard;
                row += 1;
            }
        }
        Some(slopes)
    }
}
