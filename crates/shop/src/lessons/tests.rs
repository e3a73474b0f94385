use crate::Shop;

#[test]
fn a_lesson_is_kept_replaced_and_taken_away() {
    let shop = Shop::in_memory().unwrap();
    shop.keep_lesson("b", "one", 1).unwrap();
    shop.keep_lesson("a", "two", 2).unwrap();
    shop.keep_lesson("b", "three", 3).unwrap();
    let texts = [("a", "two"), ("b", "three")].map(|(name, text)| (name.to_owned(), text.to_owned()));
    assert_eq!(shop.own_lessons().unwrap(), texts);
    assert_eq!(shop.remove_lesson("b").unwrap().as_deref(), Some("three"));
    assert_eq!(shop.remove_lesson("b").unwrap(), None);
    assert_eq!(shop.own_lessons().unwrap().len(), 1);
}
