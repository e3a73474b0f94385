use super::*;

#[test]
fn every_file_reads_and_all_have_the_same_names() {
    let names = |text: &str| -> Vec<String> {
        text.lines()
            .filter(|line| !line.starts_with([' ', '#', '-', '}', '[', '*']))
            .filter_map(|line| line.split_once(" = ").map(|(name, _)| name.to_owned()))
            .collect()
    };
    let first = names(FILES[0].1);
    assert!(first.len() > 20, "{first:?}");
    for (tag, text) in FILES {
        let messages = Messages::read(tag, text).unwrap();
        assert_eq!(names(text), first, "{tag}");
        for name in &first {
            assert!(messages.bundle.has_message(name), "{tag}: {name}");
        }
    }
}

#[test]
fn values_are_filled_in_without_marks() {
    let messages = Messages::of("en").unwrap();
    assert_eq!(
        messages.filled("opening", &[("question", "hold 2 kg".into())]).unwrap(),
        "Thank you for your enquiry: hold 2 kg."
    );
    assert_eq!(
        messages.filled("suggest", &[("count", 1.into())]).unwrap(),
        "We suggest:"
    );
    assert_eq!(
        messages.filled("suggest", &[("count", 3.into())]).unwrap(),
        "We suggest one of these:"
    );
}

#[test]
fn what_is_missing_is_said() {
    assert!(matches!(Messages::of("tlh"), Err(LanguageError::Unknown { .. })));
    assert!(matches!(
        Messages::read("en", "= nothing"),
        Err(LanguageError::Damaged { .. })
    ));
    let messages = Messages::of("en").unwrap();
    assert!(messages.filled("no-such-message", &[]).is_err());
    assert!(messages.filled("opening", &[]).is_err());
}
