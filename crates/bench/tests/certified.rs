//! Least squares against certified non-linear regressions: NIST Statistical Reference Datasets (public domain), values from
//! memory and confirmed by their own certified sums of squares.

// Marked as a test so that helpers, too, may unwrap.
#![cfg(test)]

use bench::least_squares::{Residuals, central, solve};
use nalgebra::DMatrix;

struct Set {
    name: &'static str,
    model: fn(&[f64], f64) -> f64,
    starts: &'static [&'static [f64]],
    certified: &'static [f64],
    standards: &'static [f64],
    sum_of_squares: f64,
    /// y, x.
    data: &'static [[f64; 2]],
}

impl Residuals for Set {
    fn residuals(&self, at: &[f64]) -> Option<Vec<f64>> {
        Some(self.data.iter().map(|&[y, x]| (self.model)(at, x) - y).collect())
    }

    fn slopes(&self, at: &[f64]) -> Option<DMatrix<f64>> {
        let steps: Vec<f64> = at.iter().map(|b| 1e-5 * b.abs()).collect();
        central(|at| self.residuals(at), at, &steps)
    }
}

const SETS: [Set; 5] = [
    Set {
        name: "Misra1a",
        model: |b, x| b[0] * (1.0 - (-b[1] * x).exp()),
        starts: &[&[500.0, 0.0001], &[250.0, 0.0005]],
        certified: &[2.3894212918E+02, 5.5015643181E-04],
        standards: &[2.7070075241E+00, 7.2668688436E-06],
        sum_of_squares: 1.2455138894E-01,
        data: &[
            [10.07, 77.6],
            [14.73, 114.9],
            [17.94, 141.1],
            [23.93, 190.8],
            [29.61, 239.9],
            [35.18, 289.0],
            [40.02, 332.8],
            [44.82, 378.4],
            [50.76, 434.8],
            [55.05, 477.3],
            [61.01, 536.8],
            [66.40, 593.1],
            [75.47, 689.1],
            [81.78, 760.0],
        ],
    },
    Set {
        name: "Thurber",
        model: |b, x| {
            (b[0] + b[1] * x + b[2] * x * x + b[3] * x.powi(3)) / (1.0 + b[4] * x + b[5] * x * x + b[6] * x.powi(3))
        },
        starts: &[
            &[1000.0, 1000.0, 400.0, 40.0, 0.7, 0.3, 0.03],
            &[1300.0, 1500.0, 500.0, 75.0, 1.0, 0.4, 0.05],
        ],
        certified: &[
            1.2881396800E+03,
            1.4910792535E+03,
            5.8323836877E+02,
            7.5416644291E+01,
            9.6629502864E-01,
            3.9797285797E-01,
            4.9727297349E-02,
        ],
        standards: &[
            4.6647963344E+00,
            3.9571156086E+01,
            2.8698696102E+01,
            5.5675370270E+00,
            3.1333340687E-02,
            1.4984928198E-02,
            6.5842344623E-03,
        ],
        sum_of_squares: 5.6427082397E+03,
        data: &[
            [80.574, -3.067],
            [84.248, -2.981],
            [87.264, -2.921],
            [87.195, -2.912],
            [89.076, -2.840],
            [89.608, -2.797],
            [89.868, -2.702],
            [90.101, -2.699],
            [92.405, -2.633],
            [95.854, -2.481],
            [100.696, -2.363],
            [101.060, -2.322],
            [401.672, -1.501],
            [390.724, -1.460],
            [567.534, -1.274],
            [635.316, -1.212],
            [733.054, -1.100],
            [759.087, -1.046],
            [894.206, -0.915],
            [990.785, -0.714],
            [1090.109, -0.566],
            [1080.914, -0.545],
            [1122.643, -0.400],
            [1178.351, -0.309],
            [1260.531, -0.109],
            [1273.514, -0.103],
            [1288.339, 0.010],
            [1327.543, 0.119],
            [1353.863, 0.377],
            [1414.509, 0.790],
            [1425.208, 0.963],
            [1421.384, 1.006],
            [1442.962, 1.115],
            [1464.350, 1.572],
            [1468.705, 1.841],
            [1447.894, 2.047],
            [1457.628, 2.200],
        ],
    },
    Set {
        name: "Rat42",
        model: |b, x| b[0] / (1.0 + (b[1] - b[2] * x).exp()),
        starts: &[&[100.0, 1.0, 0.1], &[75.0, 2.5, 0.07]],
        certified: &[7.2462237576E+01, 2.6180768402E+00, 6.7359200066E-02],
        standards: &[1.7340283401E+00, 8.8295217536E-02, 3.4465663377E-03],
        sum_of_squares: 8.0565229338E+00,
        data: &[
            [8.930, 9.0],
            [10.800, 14.0],
            [18.590, 21.0],
            [22.330, 28.0],
            [39.350, 42.0],
            [56.110, 57.0],
            [61.730, 63.0],
            [64.620, 70.0],
            [67.080, 79.0],
        ],
    },
    Set {
        name: "BoxBOD",
        model: |b, x| b[0] * (1.0 - (-b[1] * x).exp()),
        starts: &[&[100.0, 0.75]],
        certified: &[2.1380940889E+02, 5.4723748542E-01],
        standards: &[1.2354515176E+01, 1.0455993237E-01],
        sum_of_squares: 1.1680088766E+03,
        data: &[
            [109.0, 1.0],
            [149.0, 2.0],
            [149.0, 3.0],
            [191.0, 5.0],
            [213.0, 7.0],
            [224.0, 10.0],
        ],
    },
    Set {
        name: "MGH09",
        model: |b, x| b[0] * (x * x + x * b[1]) / (x * x + x * b[2] + b[3]),
        starts: &[&[0.25, 0.39, 0.415, 0.39]],
        certified: &[1.9280693458E-01, 1.9128232873E-01, 1.2305650693E-01, 1.3606233068E-01],
        standards: &[1.1435312227E-02, 1.9633220911E-01, 8.0842031232E-02, 9.0025542308E-02],
        sum_of_squares: 3.0750560385E-04,
        data: &[
            [0.1957, 4.0],
            [0.1947, 2.0],
            [0.1735, 1.0],
            [0.16, 0.5],
            [0.0844, 0.25],
            [0.0627, 0.167],
            [0.0456, 0.125],
            [0.0342, 0.1],
            [0.0323, 0.0833],
            [0.0235, 0.0714],
            [0.0246, 0.0625],
        ],
    },
];

/// Parameters, their standard deviations and the sum of squares to 6 digits; the certified ones have 11.
#[test]
fn certified_regressions_are_met() {
    for set in &SETS {
        for start in set.starts {
            let found = solve(set, start).unwrap_or_else(|error| panic!("{} from {start:?}: {error}", set.name));
            let sum = found.sum_of_squares();
            assert!((sum / set.sum_of_squares - 1.0).abs() <= 1e-8, "{}: {sum}", set.name);
            let variance = sum / (set.data.len() - set.certified.len()) as f64;
            for (k, (&want, &standard)) in set.certified.iter().zip(set.standards).enumerate() {
                let got = found.values[k];
                assert!(
                    (got / want - 1.0).abs() <= 1e-6,
                    "{} b{}: {got} for {want}",
                    set.name,
                    k + 1
                );
                let got = (variance * found.covariance[(k, k)]).sqrt();
                assert!(
                    (got / standard - 1.0).abs() <= 1e-4,
                    "{} standard deviation of b{}: {got} for {standard}",
                    set.name,
                    k + 1
                );
            }
        }
    }
}
