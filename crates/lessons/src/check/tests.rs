use super::*;
use crate::file;

const HEAD: &str = "+++\ntopic = \"our_own\"\ntitle = \"Why us?\"\ntext = \"It holds {reference_pull}.\"\nminutes = 1\nsay = \"It holds {reference_pull}.\"\n+++\n";

fn wrong(text: &str) -> LessonError {
    checked(text, &[], &Catalogue::builtin().unwrap()).unwrap_err()
}

#[test]
fn every_lesson_of_ours_passes() {
    let catalogue = Catalogue::builtin().unwrap();
    for lesson in crate::built_in() {
        let text = file(&lesson.topic.name).unwrap();
        assert_eq!(&checked(text, &[], &catalogue).unwrap(), lesson);
    }
}

#[test]
fn a_lesson_of_a_shops_own_needs_a_title_and_a_text() {
    let lesson = checked(HEAD, &[], &Catalogue::builtin().unwrap()).unwrap();
    assert_eq!(
        (lesson.topic.name.as_str(), lesson.topic.title.as_str()),
        ("our_own", "Why us?")
    );
    assert!(wrong(&HEAD.replace("title = \"Why us?\"\n", "")).what.contains("title"));
    assert!(wrong(&HEAD.replace("Why us?", " ")).what.contains("empty"));
    for name in ["", "Our", "../x", "a b"] {
        assert!(wrong(&HEAD.replace("our_own", name)).what.contains("no name"), "{name}");
    }
}

#[test]
fn what_is_not_known_is_said_with_its_line() {
    let error = wrong(&format!("{HEAD}One.\n\nTwo of {{reference_pul}}."));
    assert_eq!(error.line, 10);
    assert!(error.what.contains("reference_pul"));
    let bars = "```chart\nkind = \"bars\"\ntitle = \"t\"\nbars = [\n  { label = \"a\", figure = \"nope\" },\n]\n```\n";
    assert_eq!(wrong(&format!("{HEAD}{bars}")).line, 12);
    let curve = "```chart\nkind = \"curve\"\nwhat = \"pull\"\nof = [\"reference\", \"nobody\"]\n```\n";
    assert_eq!(wrong(&format!("{HEAD}{curve}")).line, 11);
    assert!(
        wrong(&format!("{HEAD}{}", "x".repeat(MOST_TEXT)))
            .what
            .contains("bytes")
    );
}
