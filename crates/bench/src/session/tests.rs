use proptest::prelude::*;

use super::*;

const FILE: &str = r#"{
  "probe": { "name": "hand probe", "depth": "0.5 mm", "depth_standard": "0.1 mm" },
  "lots": [
    { "name": "A", "sizes": { "shape": "disc", "diameter": "10 mm", "thickness": "5 mm" }, "grade": "N42", "coating": "Ni-Cu-Ni" }
  ],
  "readings": [
    { "value": { "flux_density": "390 mT" } },
    { "spacer": "1 mm", "value": { "flux_density": "2950 G" } },
    { "pieces": 2, "temperature": "22 °C", "pole": "south", "value": { "flux_density": "-480 mT" } }
  ],
  "fit": { "free": ["depth", { "scale": 0 }] },
  "at_hand": { "coil": true }
}"#;

fn report(session: &Session) -> Report {
    session
        .report(GradeTable::builtin().unwrap(), CoatingTable::builtin().unwrap())
        .unwrap()
}

#[test]
fn a_session_is_read_and_worked_out() {
    let session: Session = serde_json::from_str(FILE).unwrap();
    let report = report(&session);
    assert_eq!(report.readings.len(), 3);
    let fit = report.fit.as_ref().unwrap();
    assert!(fit.get(Parameter::Depth).unwrap().standard > 0.0);
    assert!(report.next.len() == 5 && report.next[0].gain >= report.next[4].gain);
    // It is written as JSON, and a session comes back as it was.
    serde_json::to_string(&report).unwrap();
    let again: Session = serde_json::from_str(&serde_json::to_string(&session).unwrap()).unwrap();
    assert_eq!(again, session);
}

#[test]
fn a_table_of_readings_says_the_same() {
    let mut session: Session = serde_json::from_str(FILE).unwrap();
    let listed = std::mem::take(&mut session.readings);
    let table = "lot,pieces,spacer,temperature,pole,value\nA,,,,,390 mT\n0,1,1 mm,,,2950 G\nA,2,,22 °C,S,-480 mT\n";
    session.add_table(table).unwrap();
    for (a, b) in session.readings.iter().zip(&listed) {
        assert_eq!((a.lot, a.pieces, a.spacer, a.pole), (b.lot, b.pieces, b.spacer, b.pole));
        assert!((a.value.si() - b.value.si()).abs() < 1e-12 && (a.celsius() - b.celsius()).abs() < 1e-9);
    }
    let table = "value,plate,plate_across,paint,steel\n12 N,1 mm,40 mm,0.1 mm,grey cast iron\n12 N,,,,\n";
    session.add_table(table).unwrap();
    let plates: Vec<_> = session.readings[3..].iter().map(|r| r.plate.clone()).collect();
    let described = Plate {
        thickness: Some(Length::from_mm(1.0)),
        across: Some(Length::from_mm(40.0)),
        paint: Length::from_mm(0.1),
        steel: "grey cast iron".into(),
    };
    assert_eq!(plates, [Some(described), None]);
    assert_eq!(read_value("12 N"), Ok(Value::Pull(Force(12.0))));
    assert_eq!(read_value("0.05 A m2"), Ok(Value::Moment(0.05)));
}

#[test]
fn a_row_that_cannot_be_read_is_named_and_nothing_is_added() {
    let mut session: Session = serde_json::from_str(FILE).unwrap();
    for (table, row) in [
        ("value\n390 mT\nmuch", 3),
        ("value,colour\n390 mT,red", 1),
        ("value,lot\n390 mT,B", 2),
        ("value,pieces\n390 mT,two", 2),
        ("value,spacer\n390 mT,5 kg", 2),
        ("value,pole\n390 mT,W", 2),
        ("value\n0 mT", 2),
    ] {
        match session.add_table(table) {
            Err(SessionError::Row { row: got, .. }) => assert_eq!(got, row, "{table}"),
            other => panic!("{table}: {other:?}"),
        }
    }
    assert_eq!(session.readings.len(), 3);
}

#[test]
fn what_cannot_be_is_refused_with_a_reason() {
    let session: Session = serde_json::from_str(FILE).unwrap();
    let (grades, coatings) = (GradeTable::builtin().unwrap(), CoatingTable::builtin().unwrap());
    let mut other = session.clone();
    other.lots[0].grade = "N99".into();
    assert!(matches!(
        other.report(grades, coatings),
        Err(SessionError::Grade { lot: 0, .. })
    ));
    let mut other = session.clone();
    other.readings[1].lot = 7;
    assert!(other.report(grades, coatings).is_err());
    let mut other = session.clone();
    other.fit.free.push(Parameter::Scale(3));
    assert!(other.report(grades, coatings).is_err());
    let mut other = session.clone();
    other.probe.depth.0 = f64::NAN;
    assert!(other.report(grades, coatings).is_err());
    let mut other = session;
    other.lots[0].tolerance.0 = 3e-3;
    assert!(other.report(grades, coatings).is_err());
}

/// Too much is refused before anything is computed.
#[test]
fn too_much_is_refused() {
    let mut session: Session = serde_json::from_str(FILE).unwrap();
    let (grades, coatings) = (GradeTable::builtin().unwrap(), CoatingTable::builtin().unwrap());
    session.readings = vec![session.readings[0].clone(); 6000];
    assert!(matches!(
        session.report(grades, coatings),
        Err(SessionError::Fit(FitError::TooMany { .. }))
    ));
    session.readings.truncate(30);
    for reading in &mut session.readings {
        reading.pieces = 1000;
    }
    assert!(matches!(
        session.report(grades, coatings),
        Err(SessionError::Fit(FitError::TooMany { .. }))
    ));
}

#[test]
fn what_no_reading_feels_is_said() {
    let mut session: Session = serde_json::from_str(FILE).unwrap();
    session.readings.truncate(2);
    session.fit.free.push(Parameter::Joint(0));
    let fit = report(&session).fit.unwrap();
    let wanted = crate::fit::Finding::NotTold {
        parameter: Parameter::Joint(0),
    };
    assert!(fit.findings.contains(&wanted));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Whatever is in range gives a report or an error, never a panic, and never a band without numbers.
    #[test]
    fn nothing_panics(
        sizes in (0.5..40.0_f64, 0.2..30.0_f64, 0.1..0.9_f64),
        shape in 0..4_u8,
        probe in (0.0..2.0_f64, 0.0..0.5_f64, -0.05..0.05_f64),
        places in prop::collection::vec((1..6_u32, 0.0..20.0_f64, 0.0..5.0_f64, 0..3_u8, 1e-4..2.0_f64), 1..8),
        free in prop::collection::vec(0..8_u8, 0..6),
        robust in any::<bool>(),
    ) {
        let (a, b, part) = (Length::from_mm(sizes.0), Length::from_mm(sizes.1), sizes.2);
        let inner = Length(part * a.si());
        let sizes = match shape {
            0 => Sizes::Disc { diameter: a, thickness: b },
            1 => Sizes::Ring { outer_diameter: a, inner_diameter: inner, thickness: b },
            2 => Sizes::Block { length: a, width: inner, thickness: b },
            _ => Sizes::Sphere { diameter: a },
        };
        let parameters = [
            Parameter::Depth,
            Parameter::Gain,
            Parameter::FallOff,
            Parameter::Steel,
            Parameter::Scale(0),
            Parameter::FaceLoss(0),
            Parameter::Joint(0),
            Parameter::Thickness(0),
        ];
        let session = Session {
            probe: Probe {
                depth: Length::from_mm(probe.0),
                depth_standard: Length::from_mm(probe.1),
                fall_off: probe.2,
                ..Probe::default()
            },
            lots: vec![LotEntry {
                name: String::new(),
                sizes,
                grade: "N42".into(),
                coating: "Ni-Cu-Ni".into(),
                tolerance: Length::from_mm(0.05),
                measured_thickness: None,
                scale: [1.0, 0.06],
            }],
            readings: places
                .into_iter()
                .map(|(pieces, spacer, across, kind, value)| Reading {
                    spacer: Length::from_mm(spacer),
                    across: Length::from_mm(across),
                    ..Reading::at_face(0, pieces, match kind {
                        0 => Value::FluxDensity(FluxDensity(value)),
                        1 => Value::Pull(Force(100.0 * value)),
                        _ => Value::Moment(value),
                    })
                })
                .collect(),
            fit: Options {
                free: free.into_iter().map(|k| parameters[usize::from(k)]).collect(),
                robust,
                ..Options::default()
            },
            ..Session::default()
        };
        if let Ok(report) = session.report(GradeTable::builtin().unwrap(), CoatingTable::builtin().unwrap()) {
            for compared in &report.readings {
                let band = &compared.expected;
                prop_assert!(band.low <= band.mid && band.mid <= band.high && band.high.is_finite(), "{band:?}");
            }
            let fit = report.fit.unwrap();
            prop_assert!(fit.parameters.iter().all(|p| p.value.is_finite()), "{fit:?}");
        }
    }
}
