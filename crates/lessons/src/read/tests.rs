use super::*;

const HEAD: &str = "+++\ntopic = \"gap\"\nminutes = 1\nsay = \"Mind the {gap}.\"\nnext = [\"heat\"]\n+++\n";

#[test]
fn every_part_is_read() {
    let text = format!(
        "{HEAD}\nOne\nparagraph.\n\n## A heading\n- first\n- second\n  goes on\n\nAnother.\n\n```chart\nkind = \"curve\"\nwhat = \"pull\"\nof = [\"reference\"]\n```\n"
    );
    let lesson = Lesson::read(&text).unwrap();
    assert_eq!((lesson.topic.name.as_str(), lesson.minutes), ("gap", 1));
    assert_eq!(
        lesson.blocks,
        [
            Block::Paragraph("One paragraph.".into()),
            Block::Heading("A heading".into()),
            Block::List(vec!["first".into(), "second goes on".into()]),
            Block::Paragraph("Another.".into()),
            Block::Chart(Chart::Curve {
                what: What::Pull,
                of: vec!["reference".into()]
            }),
        ]
    );
}

#[test]
fn what_is_wrong_is_said_with_its_line() {
    let wrong = |text: &str| Lesson::read(text).unwrap_err();
    assert_eq!(wrong("").line, 1);
    assert_eq!(wrong("+++\ntopic = \"gap\"\n").line, 1);
    assert!(
        wrong("+++\ntopic = \"none\"\nminutes = 1\nsay = \"\"\n+++\n")
            .what
            .contains("none")
    );
    assert!(
        wrong("+++\ntopic = \"gap\"\nminutes = 1\nsay = \"\"\nnext = [\"none\"]\n+++\n")
            .what
            .contains("none")
    );
    assert_eq!(wrong(&format!("{HEAD}# Title")).line, 7);
    assert_eq!(wrong(&format!("{HEAD}```chart\nkind = \"curve\"")).line, 7);
    assert!(
        wrong(&format!("{HEAD}```chart\nkind = \"pie\"\n```"))
            .what
            .contains("pie")
    );
    assert!(wrong(&format!("{HEAD}```rust\n```")).what.contains("rust"));
}
