//! The bands of predictions against random draws of their inputs.

mod cases;

/// Width within 5 % and coverage between 93 and 97 %, over fifty cases of a hundred thousand draws; the chance of
/// reaching a level between the ends within 2 %; the middle somewhere near the median.
#[test]
fn bands_agree_with_random_draws() {
    let checked = cases::check_all();
    assert!(checked.len() >= 50);
    let mut wrong = String::new();
    for c in &checked {
        let right = (c.width - 1.0).abs() <= 0.05
            && (0.93..=0.97).contains(&c.inside)
            && c.chance_off <= 0.02
            && (0.3..=0.7).contains(&c.above_mid);
        if !right {
            wrong += &format!(
                "{}: width {:.3}, inside {:.4}, chance off by {:.3}, {:.3} above the middle, {:?}\n",
                c.name, c.width, c.inside, c.chance_off, c.above_mid, c.band
            );
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}
