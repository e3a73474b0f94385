//! Any words give a question, or say what keeps them from being one; and every byte is accounted for.
#![no_main]

use std::sync::LazyLock;

use advice::{Catalogue, sentence, words};
use libfuzzer_sys::fuzz_target;
use quantity::{Currency, Units};
use words::Vocabulary;

static VOCABULARY: LazyLock<Vocabulary> = LazyLock::new(|| {
    let catalogue = Catalogue::builtin().expect("the built-in data reads");
    Vocabulary::of(&catalogue, Some(Currency::EUR))
});

fuzz_target!(|text: &str| {
    let parsed = words::parse(text, &VOCABULARY);
    let mut end = 0;
    for part in &parsed.parts {
        assert_eq!(part.range.start, end, "the parts leave a gap in {text:?}");
        end = part.range.end;
        assert!(text.get(part.range.clone()).is_some());
    }
    assert_eq!(end, text.len(), "the parts stop early in {text:?}");
    for problem in &parsed.problems {
        assert!(
            text.get(problem.range.clone()).is_some(),
            "{problem:?} does not lie in {text:?}"
        );
    }
    if let Some(question) = parsed.question {
        assert!(parsed.problems.is_empty() && parsed.missing.is_empty());
        for units in [Units::metric(), Units::inch()] {
            assert!(!sentence::words(&question, &units).is_empty());
        }
    }
});
