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
