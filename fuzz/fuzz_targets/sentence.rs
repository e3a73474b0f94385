//! Any words give a reading whose phrases lie in the text; a whole question has a sentence that reads back.
#![no_main]

use std::sync::LazyLock;

use advice::{Catalogue, sentence};
use enquiry::{Vocabulary, read};
use libfuzzer_sys::fuzz_target;
use quantity::{Currency, Units};

static VOCABULARY: LazyLock<Vocabulary> = LazyLock::new(|| {
    let catalogue = Catalogue::builtin().expect("the built-in data reads");
    Vocabulary::of(&catalogue, Some(Currency::EUR))
});

fuzz_target!(|text: &str| {
    let reading = read(text, &VOCABULARY);
    for phrase in &reading.phrases {
        assert!(
            text.get(phrase.range.clone()).is_some(),
            "{phrase:?} does not lie in {text:?}"
        );
    }
    if let Some(question) = reading.question {
        for units in [Units::metric(), Units::inch()] {
            assert!(!sentence::words(&question, &units).is_empty());
        }
    }
});
