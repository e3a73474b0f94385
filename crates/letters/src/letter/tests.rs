use super::*;

fn lines(lines: &[&str]) -> Vec<String> {
    lines.iter().map(|line| (*line).to_owned()).collect()
}

#[test]
fn text_and_html_say_the_same() {
    let letter = Letter::new(
        "A\nsubject".into(),
        &[
            Block::Lines(lines(&["Hello,"])),
            Block::Lines(lines(&["We suggest:"])),
            Block::List(lines(&["one <disc>", "two & more"])),
            Block::Lines(Vec::new()),
            Block::Lines(lines(&["Kind regards", "\"Shop\""])),
        ],
    );
    assert_eq!(letter.subject, "A subject");
    assert_eq!(
        letter.text,
        "Hello,\n\nWe suggest:\n- one <disc>\n- two & more\n\nKind regards\n\"Shop\"\n"
    );
    assert_eq!(
        letter.html,
        "<p>Hello,</p>\n<p>We suggest:</p>\n<ul>\n<li>one &lt;disc&gt;</li>\n<li>two &amp; more</li>\n</ul>\n<p>Kind regards<br>\n&quot;Shop&quot;</p>\n"
    );
    assert_eq!(letter.words, 10);
}

#[test]
fn a_figure_with_its_unit_is_one_word() {
    assert_eq!(count_words("holds 2\u{a0}kg – and more"), 4);
}
