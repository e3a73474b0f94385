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

#[test]
fn what_is_missing_is_asked_with_its_usual_answers() {
    let messages = Messages::of("en").unwrap();
    let back = |question: &str, answers: &[&str]| QuestionBack {
        question: question.into(),
        answers: answers.iter().map(|a| (*a).to_owned()).collect(),
    };
    let asked = [
        back("How thick is the steel?", &["fridge door", "2 mm", "a", "b", "fifth"]),
        back("How much must it hold?", &[]),
    ];
    let letter = ask_back(&asked, &messages, &Sender::default());
    assert!(
        letter
            .text
            .contains("How thick is the steel? (such as: fridge door; 2 mm; a; b)"),
        "{}",
        letter.text
    );
    assert!(letter.text.contains("- How much must it hold?\n") && letter.words <= MOST_WORDS);
    let many = vec![back(&"word ".repeat(60), &[]); 9];
    assert!(
        ask_back(&many, &messages, &Sender::default())
            .text
            .matches("- word")
            .count()
            <= MOST_QUESTIONS
    );
}
