//! Any message gives the same reading twice; its phrases lie in the text, and its enquiry is written and read back as JSON.
#![no_main]

use std::sync::LazyLock;

use advice::Catalogue;
use advice::enquiry::Enquiry;
use enquiry::{Vocabulary, read};
use libfuzzer_sys::fuzz_target;

static VOCABULARY: LazyLock<Vocabulary> = LazyLock::new(|| {
    let catalogue = Catalogue::builtin().expect("the built-in data reads");
    Vocabulary::of(&catalogue, None)
});

fuzz_target!(|text: &str| {
    let reading = read(text, &VOCABULARY);
    for range in reading.phrases.iter().map(|p| &p.range).chain(&reading.left_out) {
        assert!(text.get(range.clone()).is_some(), "{range:?} does not lie in {text:?}");
    }
    assert!(reading.asks.len() < 50, "{:?}", reading.asks);
    let json = serde_json::to_value(&reading.enquiry).expect("an enquiry is JSON");
    let back: Enquiry = serde_json::from_value(json.clone()).expect("its own JSON is an enquiry");
    assert_eq!(serde_json::to_value(back).expect("an enquiry is JSON"), json);
    let again = serde_json::to_value(read(text, &VOCABULARY).enquiry).expect("an enquiry is JSON");
    assert_eq!(again, json);
});
