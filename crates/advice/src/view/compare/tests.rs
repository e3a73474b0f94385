use super::*;

#[test]
fn the_better_of_a_row_is_the_greatest_or_the_smallest_where_they_differ() {
    let values = [Some(2.0), None, Some(3.0), Some(1.0)];
    assert_eq!(best(&values, false), Some(2));
    assert_eq!(best(&values, true), Some(3));
    // Less than half a per cent is no difference, and one alone is not better.
    assert_eq!(best(&[Some(1.0), Some(1.004)], false), None);
    assert_eq!(best(&[Some(1.0), None], true), None);
}
