use super::*;

fn plain(lines: &[Line]) -> Vec<String> {
    lines
        .iter()
        .map(|line| line.pieces.iter().map(|(text, _)| text.as_str()).collect())
        .collect()
}

#[test]
fn lines_are_no_wider_than_asked_and_lose_no_word() {
    let text = Text::new("A disc of twice the thickness holds ", Style::BODY)
        .and("26\u{a0}% more", Style::BODY.strong())
        .and(", not twice as much; the rest is far from the steel.", Style::BODY);
    for widest in [60.0, 100.0, 200.0, 1000.0] {
        let lines = lines(&text, widest);
        assert!(lines.iter().all(|line| line.width <= widest + 0.5), "{widest}");
        assert_eq!(plain(&lines).join(" "), text.plain());
    }
    assert_eq!(lines(&text, 1000.0).len(), 1);
}

#[test]
fn styles_that_touch_stay_together() {
    let text = Text::new("holds ", Style::BODY)
        .and("34\u{a0}N", Style::BODY.strong())
        .and(".", Style::BODY);
    let narrow = text.widest_word() + 0.1;
    assert_eq!(plain(&lines(&text, narrow)), ["holds", "34\u{a0}N."]);
}

#[test]
fn a_word_of_three_hundred_letters_is_broken() {
    let text = Text::new("W".repeat(300), Style::BODY);
    let lines = lines(&text, 100.0);
    assert!(lines.len() > 10);
    assert!(lines.iter().all(|line| line.width <= 100.5));
    assert_eq!(plain(&lines).concat().len(), 300);
}

#[test]
fn what_does_not_fit_on_its_line_ends_with_dots() {
    let style = Style::BODY;
    assert_eq!(shortened("short", style, 100.0), "short");
    for long in ["W".repeat(300), "שלום ".repeat(60), "😀".repeat(300)] {
        let cut = shortened(&long, style, 100.0);
        assert!(cut.ends_with('…') && cut.chars().count() > 5, "{cut}");
        assert!(Text::new(cut, style).width() <= 100.5);
    }
}

#[test]
fn a_line_end_ends_the_line() {
    assert_eq!(plain(&lines(&Text::new("a b\nc", Style::BODY), 100.0)), ["a b", "c"]);
    assert!(lines(&Text::new(" \n ", Style::BODY), 100.0).is_empty());
}
