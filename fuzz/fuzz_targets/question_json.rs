//! Any JSON that reads as a question is answered or refused with a reason; an answer can be kept, read back and shown.
#![no_main]

use std::sync::LazyLock;

use advice::answer::{ShelfStamp, Verdict};
use advice::check::check;
use advice::go_on::NoAnswer;
use advice::{Answer, Catalogue, Item, Question, search, view};
use libfuzzer_sys::fuzz_target;
use quantity::{Currency, Units};

static CATALOGUE: LazyLock<Catalogue> = LazyLock::new(|| Catalogue::builtin().expect("the built-in data reads"));
static SHELF: LazyLock<Vec<Item>> = LazyLock::new(|| shop::demo::generate(20, 1));

fuzz_target!(|text: &str| {
    let Ok(question) = serde_json::from_str::<Question>(text) else {
        return;
    };
    let stamp = ShelfStamp {
        revision: 1,
        version: "0".into(),
        currency: Currency::EUR,
    };
    let checked = check(&question, &CATALOGUE);
    let answer = match search::answer(&question, &SHELF, &CATALOGUE, stamp, &|| true) {
        Ok(answer) => answer,
        Err(NoAnswer::Question(error)) => {
            assert!(checked.is_err());
            assert!(!error.message.is_empty() && error.field.starts_with('/'), "{error:?}");
            return;
        }
        Err(NoAnswer::Stopped(_)) => panic!("nobody stopped it"),
    };
    assert!(checked.is_ok());
    for candidate in &answer.candidates {
        let band = &candidate.band;
        assert!(band.low <= band.mid && band.mid <= band.high, "{band:?}");
        assert!((0.0..=1.0).contains(&candidate.chance));
        if candidate.verdict == Verdict::Sure {
            assert!(
                band.low >= answer.need.at_least,
                "{band:?} is not sure of {:?}",
                answer.need
            );
        }
    }
    let kept = serde_json::to_string(&answer).expect("an answer can be kept");
    let read: Answer = serde_json::from_str(&kept).expect("a kept answer reads");
    assert_eq!(read, answer);
    for units in [Units::metric(), Units::inch()] {
        let shown = serde_json::to_string(&view::answer::view(&answer, &units)).expect("an answer can be shown");
        assert!(!shown.contains("NaN"), "{shown}");
    }
});
