//! A band as it is shown: its ends, how it was found, and what each cause does to it.

use quantity::{Kind, Quantity};
use serde::Serialize;
use uncertainty::{Band, Cause, Method};
use utoipa::ToSchema;

use crate::view::text::{Figure, Reader, signed_percent};

/// A predicted value with its band.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct BandView {
    /// What is predicted.
    pub label: String,
    /// Middle of the band.
    pub value: Figure,
    /// Low end.
    pub low: Figure,
    /// High end.
    pub high: Figure,
    /// The band in words.
    pub range: String,
    /// How it was found.
    pub method: String,
    /// What widens it, by falling share.
    pub shares: Vec<ShareView>,
    /// What each cause does to the value by itself, the widest first.
    pub swings: Vec<SwingView>,
}

/// A cause of the band's width.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct ShareView {
    /// In words.
    pub cause: String,
    /// `±5 %` of the value.
    pub text: String,
    /// Part of the variance.
    pub share: f64,
}

/// What a cause does to a value by itself: between which values it moves it in 95 % of pieces.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct SwingView {
    /// In words.
    pub cause: String,
    /// The lowest value, in the unit of the middle.
    pub low: f64,
    /// The highest value, in the unit of the middle.
    pub high: f64,
}

/// Shows a band of a quantity to a reader.
pub fn view<Q: Quantity>(label: &str, band: &Band, reader: &Reader) -> BandView {
    let [low, high] = reader.ends::<Q>(band.low, band.high);
    BandView {
        label: label.into(),
        value: reader.figure::<Q>(band.mid),
        low,
        high,
        range: Q::show_range(Q::from_si(band.low), Q::from_si(band.high), &reader.units).to_string(),
        method: method_words(band.method).into(),
        shares: shares(Q::KIND, band),
        swings: swings(Q::KIND, band, reader),
    }
}

/// What widens a band, by falling share; crumbs of less than a thousandth of the variance are left out.
pub fn shares(kind: Kind, band: &Band) -> Vec<ShareView> {
    // A part of a temperature above absolute zero says nothing.
    let text = |half_width: f64| match kind {
        Kind::Temperature => format!("±{half_width:.0}\u{a0}K"),
        _ => signed_percent(half_width / band.mid).replacen('+', "±", 1),
    };
    band.shares
        .iter()
        .filter(|s| s.share >= 1e-3)
        .map(|s| ShareView {
            cause: cause_words(s.cause).to_string(),
            text: text(s.half_width),
            share: s.share,
        })
        .collect()
}

/// What each cause does to the value by itself, the widest first.
pub fn swings(kind: Kind, band: &Band, reader: &Reader) -> Vec<SwingView> {
    let scale = reader.units.scale(kind, band.mid.abs());
    let mut swings: Vec<SwingView> = band
        .shares
        .iter()
        .filter(|s| s.share >= 1e-3)
        .map(|s| SwingView {
            cause: cause_words(s.cause).to_string(),
            low: scale.apply(s.low),
            high: scale.apply(s.high),
        })
        .collect();
    swings.sort_by(|a, b| (b.high - b.low).total_cmp(&(a.high - a.low)));
    swings
}

/// How a band was found, in words.
pub fn method_words(method: Method) -> &'static str {
    match method {
        Method::FirstOrder => "first order, JCGM 100",
        Method::SecondOrder => "second order, JCGM 100",
        Method::MonteCarlo => "drawn, JCGM 101",
    }
}

/// A cause in words.
pub fn cause_words(cause: Cause) -> &'static str {
    match cause {
        Cause::Grade => "the grade",
        Cause::Coercivity => "the coercivity",
        Cause::Size => "its sizes",
        Cause::Part => "the sizes of the steel part",
        Cause::Plating => "the plating",
        Cause::Gap => "the gap",
        Cause::Placement => "its placement",
        Cause::ProbeDepth => "the probe's depth",
        Cause::Calibration => "the probe's calibration",
        Cause::Temperature => "the temperature",
        Cause::Coefficient => "what heat takes",
        Cause::Friction => "friction",
        Cause::Model => "steel and model",
        Cause::Lot => "the lot",
        Cause::DeadLayer => "the dead layer at its surface",
        Cause::Repeatability => "tilt, and piece to piece",
    }
}

#[cfg(test)]
mod tests {
    use quantity::{Currency, FluxDensity, Units};
    use uncertainty::{Input, propagate};

    use super::*;

    #[test]
    fn swings_are_in_the_unit_of_the_value_and_fall_in_width() {
        let reader = Reader {
            units: Units::metric(),
            currency: Currency::EUR,
        };
        let inputs = [
            Input::plus_minus(Cause::Grade, 1.0, 0.02),
            Input::plus_minus(Cause::Gap, 0.0, 0.1),
        ];
        let band = propagate(&inputs, |x| 0.05 * x[0] * (-x[1]).exp()).unwrap();
        let got = view::<FluxDensity>("field", &band, &reader);
        assert_eq!(got.value.unit, "mT");
        let [gap, grade] = &got.swings[..] else {
            panic!("{got:?}")
        };
        assert_eq!((gap.cause.as_str(), grade.cause.as_str()), ("the gap", "the grade"));
        assert!((gap.low - 50.0 * (-0.095f64).exp()).abs() <= 0.05 && (gap.high - 50.0 * 0.095f64.exp()).abs() <= 0.05);
        assert!((grade.low - 49.05).abs() <= 0.02 && (grade.high - 50.95).abs() <= 0.02);
        assert!(got.low.value < gap.low && got.high.value > gap.high);
    }
}
