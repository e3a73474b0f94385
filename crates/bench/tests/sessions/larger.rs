//! Larger discs read by a probe whose element lies deeper than a usual one, as a person meets them who knows nothing of it.

use bench::fit::{Finding, fit};
use bench::next::rank;
use bench::{Lot, Options, Parameter, Probe, Reading, Setup, expected};

use crate::truth::{Dice, Truth, at, lot};

/// Depths of the probe, m: the ends of the range of hand-held ones, and between.
const DEPTHS: [f64; 5] = [0.1e-3, 0.3e-3, 0.5e-3, 0.7e-3, 1.0e-3];

/// Two series of lots.
fn series() -> [Vec<Lot>; 2] {
    [
        vec![
            lot("N42", 20e-3, 3e-3),
            lot("N42", 20e-3, 5e-3),
            lot("N42", 25e-3, 5e-3),
        ],
        vec![
            lot("N45", 15e-3, 3e-3),
            lot("N45", 15e-3, 5e-3),
            lot("N45", 30e-3, 10e-3),
        ],
    ]
}

/// One, two and three pieces of each lot, read once at the middle of the face.
fn read(lots: &[Lot], depth: f64, seed: u64) -> (Truth, Vec<Reading>) {
    let mut dice = Dice(seed);
    let probe = Probe::default();
    let truth = Truth {
        depth,
        ..Truth::drawn(&mut dice, &probe, lots)
    };
    let places = (0..lots.len()).flat_map(|lot| [1, 2, 3].map(|pieces| at(lot, pieces, 0.0)));
    let readings = places
        .map(|what| truth.reading(&mut dice, &probe, lots, &what))
        .collect();
    (truth, readings)
}

/// So many sessions of each series with a probe of that depth, none with the draws of another.
fn each_session(depth: f64, seeds: u64, mut check: impl FnMut(&[Lot], &Truth, &[Reading])) {
    for (which, lots) in (0..).zip(series()) {
        for seed in 1..=seeds {
            let (truth, readings) = read(&lots, depth, depth.to_bits() ^ (which * seeds + seed));
            check(&lots, &truth, &readings);
        }
    }
}

#[test]
fn bands_found_beforehand_hold_larger_discs() {
    let (mut inside, mut all) = (0, 0);
    for depth in DEPTHS {
        each_session(depth, 6, |lots, _, readings| {
            for reading in readings {
                let band = expected(&Setup::new(&Probe::default(), &lots[reading.lot], reading).unwrap()).unwrap();
                inside += usize::from((band.low..=band.high).contains(&reading.value.si()));
                all += 1;
                assert!(band.high - band.low < 0.4 * band.mid, "{band:?}");
            }
        });
    }
    println!("{inside} of {all} in their bands");
    assert!(10 * inside >= 9 * all, "{inside} of {all}");
}

/// As the page fits where nothing is ticked: remanences free, the depth as it is known of a usual probe. However deep a
/// hand-held probe lies, nine lots in ten lie in their intervals, no sound session is called odd more often than stated, and
/// hardly a lot is blamed surely for the probe.
#[test]
fn the_usual_fit_of_larger_discs_blames_no_lot() {
    let (mut sessions, mut odd) = (0, 0);
    for depth in DEPTHS {
        let (mut held, mut blamed, mut lots_fitted) = (0, 0, 0);
        each_session(depth, 30, |lots, truth, readings| {
            let options = Options {
                free: (0..lots.len()).map(Parameter::Scale).collect(),
                ..Options::default()
            };
            let found = fit(&Probe::default(), lots, readings, &options).unwrap();
            sessions += 1;
            odd += usize::from(found.findings.iter().any(|f| matches!(f, Finding::OddReading { .. })));
            for (k, scale) in truth.scale.iter().enumerate() {
                let fitted = found.get(Parameter::Scale(k)).unwrap();
                let [low, high] = fitted.interval();
                lots_fitted += 1;
                held += usize::from((low..=high).contains(scale));
                assert!(
                    (fitted.value - scale).abs() < 4.0 * fitted.standard,
                    "{fitted:?} {scale}"
                );
                for finding in &found.findings {
                    if let Finding::OutsideGrade { lot, surely: true, .. } = finding {
                        let row = &lots[*lot].grade;
                        let remanence = truth.scale[*lot] * row.br_typical;
                        let can_be = (row.br_min..=row.br_max).contains(&remanence);
                        blamed += usize::from(*lot == k && can_be);
                    }
                }
            }
        });
        println!("{depth} m: {held} held, {blamed} blamed of {lots_fitted}");
        assert!(20 * blamed <= lots_fitted, "{blamed} of {lots_fitted} at {depth} m");
        // Nine in ten, less what 180 lots in 60 sessions scatter.
        assert!(100 * held >= 87 * lots_fitted, "{held} of {lots_fitted} at {depth} m");
    }
    println!("{odd} odd of {sessions}");
    assert!(50 * odd <= sessions, "{odd} of {sessions}");
}

/// One depth for all, remanence and face loss free for each lot: each reading that counts within 4 %, and a sound one is left
/// out as odd in no more sessions than stated, one in a hundred; from all others within 5 %.
#[test]
fn fits_reproduce_larger_discs() {
    let (mut far, mut all, mut odd) = (0, 0, 0);
    for depth in DEPTHS {
        each_session(depth, 4, |lots, _, readings| {
            let mut free = vec![Parameter::Depth];
            free.extend((0..lots.len()).flat_map(|k| [Parameter::Scale(k), Parameter::FaceLoss(k)]));
            let whole = Options {
                free,
                ..Options::default()
            };
            for reading in &fit(&Probe::default(), lots, readings, &whole).unwrap().readings {
                if reading.weight == 0.0 {
                    odd += 1;
                } else {
                    assert!((reading.fitted / reading.value - 1.0).abs() <= 0.04, "{reading:?}");
                }
            }
            let options = Options {
                free: vec![Parameter::Depth],
                ..Options::default()
            };
            for (k, reading) in readings.iter().enumerate() {
                let mut others = readings.to_vec();
                others.remove(k);
                let found = fit(&Probe::default(), lots, &others, &options).unwrap();
                let next = rank(
                    &Probe::default(),
                    lots,
                    &others,
                    &options,
                    &found,
                    Parameter::Depth,
                    std::slice::from_ref(reading),
                )
                .unwrap();
                all += 1;
                far += usize::from((next[0].reading.value.si() / reading.value.si() - 1.0).abs() > 0.05);
            }
        });
    }
    println!("{far} of {all} farther than 5 %, {odd} left out as odd");
    // One in a hundred of 40 sessions: three would come about once in a hundred times.
    assert!(odd <= 2, "{odd} of 40 sessions");
    // Noise of 1.35 % in the reading and in what foretells it passes 5 % once in a hundred times.
    assert!(50 * far <= all, "{far} of {all}");
}
