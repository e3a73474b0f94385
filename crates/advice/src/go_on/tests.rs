use std::sync::atomic::{AtomicUsize, Ordering};

use quantity::Currency;

use super::*;
use crate::answer::{Answer, ShelfStamp};
use crate::fixture::{catalogue, disc, question};
use crate::item::Item;
use crate::search;

/// Answers a question until it was asked so often whether that is still wanted; with how often it was asked in all.
fn answered(json: &str, shelf: &[Item], until: usize) -> (Result<Answer, NoAnswer>, usize) {
    let stamp = ShelfStamp {
        revision: 1,
        version: "test".into(),
        currency: Currency::EUR,
    };
    let asked = AtomicUsize::new(0);
    let go_on = || asked.fetch_add(1, Ordering::Relaxed) < until;
    let got = search::answer(&question(json), shelf, &catalogue(), stamp, &go_on);
    (got, asked.into_inner())
}

#[test]
fn a_question_ends_at_the_item_where_it_is_not_wanted_any_more() {
    let shelf: Vec<Item> = (0..400)
        .map(|k| disc(&format!("d{k}"), 5.0 + f64::from(k % 40), 1.0 + f64::from(k % 9)))
        .collect();
    // One that many meet and several may share, and one that nothing meets.
    for json in [
        r#"{"need": {"verb": "hold", "load": "2 kg"}}"#,
        r#"{"need": {"verb": "hold", "load": "900 kg"}, "limits": {"widest": "60 mm"}}"#,
    ] {
        let (whole, asked) = answered(json, &shelf, usize::MAX);
        assert!(whole.is_ok() && asked > shelf.len(), "{json}: asked {asked} times");
        // In the look at the shelf, in what comes after it, and just before the end.
        for until in [0, 1, 200, 399, 401, asked / 2, asked - 1] {
            let (got, asked) = answered(json, &shelf, until);
            assert_eq!(got.unwrap_err(), NoAnswer::Stopped(Stopped), "{json} until {until}");
            // Each thread, and each step on the way out, may ask once more.
            let more = asked - until;
            assert!(
                more <= 16 + 2 * rayon::current_num_threads(),
                "{json} until {until}: {more} more"
            );
        }
    }
}
