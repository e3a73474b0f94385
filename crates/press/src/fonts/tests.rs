use super::*;

const FACES: [Face; 5] = [
    Face::Plain,
    Face::PlainStrong,
    Face::Book,
    Face::BookStrong,
    Face::BookItalic,
];

fn letters(text: &str) -> String {
    shape(text, Face::Plain)
        .iter()
        .flat_map(|run| &run.glyphs)
        .map(|g| g.letter)
        .collect()
}

#[test]
fn every_typeface_is_there_and_has_the_signs_of_the_trade() {
    assert_eq!(files().len(), 6);
    for face in FACES {
        let signs = "×ø±−µ²³°€£$→–—…“”’½Ωαβ";
        let runs = shape(signs, face);
        let set: String = runs.iter().flat_map(|run| &run.glyphs).map(|g| g.letter).collect();
        assert_eq!(set, signs, "{face:?}");
    }
}

#[test]
fn no_text_is_without_glyphs() {
    for text in [
        "שלום עולם",
        "مرحبا",
        "日本語",
        "😀👩‍👩‍👧",
        "a\u{202e}b",
        "\u{0}\u{7}",
        "\u{301}",
    ] {
        for face in FACES {
            let runs = shape(text, face);
            assert!(runs.iter().all(|run| run.width.is_finite() && run.width >= 0.0));
            assert!(runs.iter().flat_map(|run| &run.glyphs).all(|g| g.id != 0), "{text:?}");
        }
    }
}

#[test]
fn text_from_the_right_is_set_from_the_right() {
    assert_eq!(letters("אב"), "בא");
    assert_eq!(letters("ab אב 12"), "ab 12 בא");
    assert_eq!(letters("a b"), "a b");
}

#[test]
fn a_longer_text_is_wider() {
    assert!(width("mm", Face::Plain) > width("m", Face::Plain));
    assert!(width("", Face::Plain) == 0.0);
}
