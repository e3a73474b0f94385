use super::*;

#[test]
fn a_text_is_cut_between_sentences() {
    let text = "One two three. Four five. Six seven eight nine.";
    assert_eq!(opening(text, 5), "One two three. Four five.");
    assert_eq!(opening(text, 1), "One two three.");
    assert_eq!(opening(text, 100), text);
}

#[test]
fn what_is_spare_goes_from_behind() {
    let messages = Messages::of("en").unwrap();
    let long = |n: usize| one("word ".repeat(n).trim_end().into());
    let letter = fitted(
        "s".into(),
        &messages,
        &Sender::default(),
        vec![long(100)],
        vec![long(30), long(60)],
    );
    assert!(letter.words <= MOST_WORDS, "{}", letter.words);
    assert_eq!(letter.text.matches("word").count(), 130);
}
