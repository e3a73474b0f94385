//! The bench in the database.

use bench::session::{LotEntry, Sizes};
use bench::{Probe, Reading, Value};
use quantity::{FluxDensity, Length};

use super::*;
use crate::Shop;

fn probe(name: &str) -> Probe {
    Probe {
        name: name.into(),
        ..Probe::default()
    }
}

fn magnet() -> LotEntry {
    LotEntry {
        name: String::new(),
        sizes: Sizes::Disc {
            diameter: Length(0.01),
            thickness: Length(0.003),
        },
        grade: "N42".into(),
        coating: "none".into(),
        tolerance: Length(1e-4),
        measured_thickness: None,
        scale: [1.0, 0.06],
    }
}

fn session(id: &str) -> Session {
    Session {
        id: id.into(),
        probe: "p".into(),
        code: Some("16-08".into()),
        lot: "A".into(),
        magnet: magnet(),
        begun_at: 100,
    }
}

fn taken(id: &str, tesla: f64) -> Taken {
    Taken {
        id: id.into(),
        taken_at: 200,
        reading: Reading {
            pole: Some(bench::Pole::South),
            note: "by the window".into(),
            ..Reading::at_face(0, 2, Value::FluxDensity(FluxDensity(tesla)))
        },
        unit: "mT".into(),
        standing: Standing::Judged,
    }
}

fn begun() -> Shop {
    let shop = Shop::in_memory().unwrap();
    shop.put_probe("p", &probe("pen"), 1).unwrap();
    shop.begin_bench_session(&session("s")).unwrap();
    shop
}

fn ids(shop: &Shop) -> Vec<String> {
    shop.readings("s").unwrap().into_iter().map(|t| t.id).collect()
}

#[test]
fn the_first_probe_is_the_usual_one_until_another_is_named() {
    let shop = Shop::in_memory().unwrap();
    assert_eq!(shop.usual_probe().unwrap(), None);
    assert!(shop.put_probe("p", &probe("pen"), 1).unwrap().usual);
    assert!(!shop.put_probe("q", &probe("flat"), 2).unwrap().usual);
    assert_eq!(shop.usual_probe().unwrap().unwrap().id, "p");
    shop.set_usual_probe(Some("q")).unwrap();
    assert_eq!(shop.usual_probe().unwrap().unwrap().id, "q");
    assert!(shop.set_usual_probe(Some("z")).is_err());
    assert_eq!(
        shop.usual_probe().unwrap().unwrap().id,
        "q",
        "a wrong name changes nothing"
    );
    assert!(shop.remove_probe("q").unwrap());
    assert_eq!(shop.usual_probe().unwrap(), None);
    assert_eq!(shop.probes().unwrap().len(), 1);
    assert!(shop.restore_probe("q").unwrap());
    assert_eq!(shop.probes().unwrap().len(), 2);
}

#[test]
fn a_probe_that_cannot_be_is_refused() {
    let shop = Shop::in_memory().unwrap();
    shop.put_probe("p", &probe("pen"), 1).unwrap();
    let deep = Probe {
        depth: Length(1.0),
        ..probe("deep")
    };
    for (id, wrong) in [
        ("q", &probe(" ")),
        ("q", &probe("pen")),
        ("q", &deep),
        ("q r", &probe("x")),
        ("", &probe("x")),
    ] {
        assert!(
            matches!(shop.put_probe(id, wrong, 2), Err(ShopError::Bench(_))),
            "{wrong:?}"
        );
    }
    let other = Probe {
        depth: Length(0.6e-3),
        ..probe("pen")
    };
    let kept = shop.put_probe("p", &other, 3).unwrap();
    assert!(kept.usual && kept.probe == other);
    assert_eq!(shop.probes().unwrap().len(), 1);
}

#[test]
fn a_reading_sent_again_is_there_once_and_a_taken_back_one_stays_so() {
    let shop = begun();
    assert_eq!(shop.add_readings("s", &[taken("a", 0.3)]).unwrap(), 1);
    assert_eq!(shop.add_readings("s", &[taken("a", 0.3)]).unwrap(), 0);
    assert_eq!(
        shop.add_readings("s", &[taken("b", 0.3)]).unwrap(),
        1,
        "the same value again is a reading"
    );
    assert_eq!(shop.readings("s").unwrap()[0], taken("a", 0.3));
    assert!(shop.take_back("b").unwrap());
    assert!(!shop.take_back("b").unwrap());
    assert_eq!(shop.add_readings("s", &[taken("b", 0.3)]).unwrap(), 0);
    assert_eq!(ids(&shop), ["a"]);
    assert!(shop.restore_reading("b").unwrap());
    assert_eq!(ids(&shop), ["a", "b"]);
    assert!(shop.has_reading("b").unwrap() && !shop.has_reading("c").unwrap());
}

#[test]
fn readings_are_added_all_or_none() {
    let shop = begun();
    shop.add_readings("s", &[taken("a", 0.3)]).unwrap();
    for wrong in [taken("a", 0.4), taken("c", f64::NAN), taken("c", 0.0), taken("", 0.3)] {
        let both = [taken("b", 0.3), wrong];
        assert!(shop.add_readings("s", &both).is_err(), "{both:?}");
    }
    assert!(shop.add_readings("t", &[taken("b", 0.3)]).is_err(), "no such session");
    assert_eq!(ids(&shop), ["a"]);
    // The next one is as safe as the first.
    let connection = shop.lock().unwrap();
    let level: i64 = connection
        .query_row("PRAGMA synchronous", [], |row| row.get(0))
        .unwrap();
    assert_eq!(level, 1);
}

#[test]
fn readings_outlive_the_program() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shop.db");
    let shop = Shop::open(&path).unwrap();
    shop.put_probe("p", &probe("pen"), 1).unwrap();
    shop.begin_bench_session(&session("s")).unwrap();
    shop.add_readings("s", &[taken("a", 0.3)]).unwrap();
    // Another opens the file while the first has not closed it, as after a kill.
    let again = Shop::open(&path).unwrap();
    assert_eq!(ids(&again), ["a"]);
}

#[test]
fn whether_a_reading_counts_is_kept() {
    let shop = begun();
    shop.add_readings("s", &[taken("a", 0.3)]).unwrap();
    for standing in [Standing::LeftOut, Standing::Counted, Standing::Judged] {
        assert!(shop.set_standing("a", standing).unwrap());
        assert_eq!(shop.readings("s").unwrap()[0].standing, standing);
    }
    assert!(!shop.set_standing("z", Standing::Counted).unwrap());
}

#[test]
fn a_session_is_begun_once_listed_amended_taken_away_and_brought_back() {
    let shop = begun();
    let other = Session {
        lot: "B".into(),
        ..session("s")
    };
    assert_eq!(
        shop.begin_bench_session(&other).unwrap().lot,
        "A",
        "it is known already"
    );
    shop.add_readings("s", &[taken("a", 0.3), taken("b", 0.3)]).unwrap();
    shop.take_back("b").unwrap();
    let list = shop.sessions(10).unwrap();
    assert_eq!((list.len(), list[0].readings, list[0].last_at), (1, 1, Some(200)));
    assert!(shop.amend_session("s", " C ", &magnet()).unwrap());
    assert_eq!(shop.session("s").unwrap().unwrap().lot, "C");
    assert!(shop.amend_session("s", &"x".repeat(61), &magnet()).is_err());
    assert!(shop.remove_session("s").unwrap());
    assert_eq!(shop.session("s").unwrap(), None);
    assert!(shop.begin_bench_session(&session("s")).is_err(), "it was taken away");
    assert!(shop.restore_session("s").unwrap());
    assert_eq!(ids(&shop), ["a"]);
    assert!(
        shop.begin_bench_session(&Session {
            probe: "z".into(),
            ..session("t")
        })
        .is_err()
    );
    // Of two that were begun in the same second the later one is the newer.
    shop.begin_bench_session(&session("z")).unwrap();
    let newest: Vec<String> = shop.sessions(10).unwrap().into_iter().map(|s| s.session.id).collect();
    assert_eq!(newest, ["z", "s"]);
}

#[test]
fn values_are_kept_removed_and_brought_back() {
    let shop = begun();
    let kept = |id: &str, value: f64, standard: f64| Kept {
        id: id.into(),
        session: "s".into(),
        subject: Subject::Probe("p".into()),
        parameter: KeptParameter::Depth,
        value,
        standard,
        readings: 12,
        kept_at: 300,
    };
    shop.keep_result(&kept("a", 5e-4, 1e-5)).unwrap();
    let of_lot = Kept {
        subject: Subject::Lot {
            magnet: session("s").magnet_key().unwrap(),
            lot: "A".into(),
        },
        parameter: KeptParameter::Scale,
        ..kept("b", 0.97, 0.01)
    };
    shop.keep_result(&of_lot).unwrap();
    shop.keep_result(&of_lot).unwrap();
    assert_eq!(shop.results().unwrap(), [of_lot, kept("a", 5e-4, 1e-5)]);
    for wrong in [
        kept("c", f64::NAN, 1.0),
        kept("c", 1.0, f64::INFINITY),
        kept("c", 1.0, 0.0),
    ] {
        assert!(
            matches!(shop.keep_result(&wrong), Err(ShopError::Bench(_))),
            "{wrong:?}"
        );
    }
    assert!(shop.remove_result("b").unwrap());
    assert_eq!(shop.results().unwrap().len(), 1);
    assert!(shop.restore_result("b").unwrap());
    assert_eq!(shop.results().unwrap().len(), 2);
}

/// Another size under the same code is another magnet.
#[test]
fn a_lot_is_that_of_its_magnet() {
    let mut other = session("s");
    other.magnet.sizes = Sizes::Disc {
        diameter: Length(0.012),
        thickness: Length(0.003),
    };
    assert_ne!(session("s").magnet_key().unwrap(), other.magnet_key().unwrap());
    other.magnet = LotEntry {
        measured_thickness: Some(bench::session::Measured {
            value: Length(0.00298),
            standard: Length(1e-5),
        }),
        ..magnet()
    };
    assert_eq!(session("s").magnet_key().unwrap(), other.magnet_key().unwrap());
}

/// What moves predictions is a revision of its own; what does not is none.
#[test]
fn what_is_kept_and_the_usual_probe_are_revisions() {
    let shop = begun();
    let kept = |id: &str, parameter| Kept {
        id: id.into(),
        session: "s".into(),
        subject: Subject::Lot {
            magnet: session("s").magnet_key().unwrap(),
            lot: "A".into(),
        },
        parameter,
        value: 0.97,
        standard: 0.01,
        readings: 9,
        kept_at: 300,
    };
    let mut last = shop.revision().unwrap();
    let mut moved = |what: &str, moves: bool| {
        let now = shop.revision().unwrap();
        assert_eq!(now > last, moves, "{what}");
        last = now;
    };
    shop.keep_result(&kept("k", KeptParameter::Scale)).unwrap();
    moved("kept", true);
    shop.keep_result(&kept("k", KeptParameter::Scale)).unwrap();
    moved("kept again", false);
    assert_eq!(kept("k", KeptParameter::Scale).subject.code().as_deref(), Some("16-08"));
    assert_eq!(Subject::Probe("p".into()).code(), None);
    shop.remove_result("k").unwrap();
    moved("removed", true);
    assert!(!shop.remove_result("k").unwrap());
    moved("removed again", false);
    shop.restore_result("k").unwrap();
    moved("brought back", true);
    shop.put_probe("p", &probe("pen"), 5).unwrap();
    moved("the same probe", false);
    let deeper = Probe {
        depth: Length(0.8e-3),
        ..probe("pen")
    };
    shop.put_probe("p", &deeper, 5).unwrap();
    moved("another depth of the usual probe", true);
    shop.put_probe("q", &probe("stick"), 6).unwrap();
    moved("a second probe", false);
    shop.set_usual_probe(Some("q")).unwrap();
    moved("another usual probe", true);
    shop.remove_probe("p").unwrap();
    moved("one that was not usual put away", false);
    shop.remove_probe("q").unwrap();
    moved("the usual one put away", true);
}

#[test]
fn inspected_lots_are_noted_once_taken_back_and_noted_again() {
    use bench::sampling::Severity;
    let shop = begun();
    let lot = |session: &str, bad: u32, noted_at: i64| Inspected {
        session: session.into(),
        lot_size: 500,
        level: "II".into(),
        aql: 1.0,
        severity: Severity::Tightened,
        bad,
        noted_at,
    };
    shop.begin_bench_session(&session("t")).unwrap();
    shop.note_inspection(&lot("t", 0, 10)).unwrap();
    shop.note_inspection(&lot("s", 2, 20)).unwrap();
    let noted = || -> Vec<Inspected> { shop.inspections().unwrap().into_iter().map(|(_, lot)| lot).collect() };
    assert_eq!(noted(), [lot("t", 0, 10), lot("s", 2, 20)]);
    // Noted again it keeps its place among the lots.
    shop.note_inspection(&lot("t", 1, 30)).unwrap();
    assert_eq!(noted(), [lot("t", 1, 10), lot("s", 2, 20)]);
    assert!(shop.remove_inspection("t").unwrap() && !shop.remove_inspection("t").unwrap());
    assert_eq!(noted(), [lot("s", 2, 20)]);
    shop.note_inspection(&lot("t", 0, 40)).unwrap();
    assert_eq!(noted(), [lot("s", 2, 20), lot("t", 0, 40)]);
    // A session that was taken away has been inspected all the same.
    shop.remove_session("s").unwrap();
    assert_eq!(noted().len(), 2);
    assert!(shop.note_inspection(&lot("nosuch", 0, 1)).is_err());
}
