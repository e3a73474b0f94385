use shop::demo;

use super::*;

/// Stopped after some rows, and cut in the middle of a line as by a killed process, the table is taken up where it stood and is
/// the same as one that was never stopped.
#[test]
fn a_table_that_was_stopped_ends_the_same() {
    let desk = Desk::new(demo::in_memory().unwrap());
    let folder = tempfile::tempdir().unwrap();
    let (places, units) = (Places::default(), Units::metric());
    let on = |_: usize, _: usize| ControlFlow::Continue(());
    let whole = desk
        .listing(&folder.path().join("a"), &places, &units, on)
        .unwrap()
        .unwrap();
    assert_eq!(
        (whole.taken_up, whole.rows.len()),
        (0, desk.shelf().unwrap().items.len())
    );

    let part = folder.path().join("b");
    let stopped = desk.listing(&part, &places, &units, |done, _| match done >= 100 {
        true => ControlFlow::Break(()),
        false => ControlFlow::Continue(()),
    });
    assert_eq!(stopped.unwrap(), None);
    let bytes = std::fs::read(&part).unwrap();
    std::fs::write(&part, &bytes[..bytes.len() - 37]).unwrap();
    let resumed = desk.listing(&part, &places, &units, on).unwrap().unwrap();
    assert_eq!(resumed.taken_up, 127, "two chunks less the row that was cut");
    assert_eq!((resumed.headings, resumed.rows), (whole.headings, whole.rows));

    // A part of another table is none of this one.
    let other = Places {
        distances: vec![1e-3],
        ..Places::default()
    };
    let anew = desk.listing(&part, &other, &units, on).unwrap().unwrap();
    assert_eq!(anew.taken_up, 0);
}
