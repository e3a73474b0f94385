use crate::drawing::Anchor;
use crate::{Document, Drawing, Flow, Style, Table, Text};

fn document(flows: Vec<Flow>) -> String {
    Document {
        title: "Discs & <rings>".into(),
        language: "en".into(),
        link: "https://shop.example/#/item/A".into(),
        foot: "\"made\"".into(),
        flows,
        ..Document::default()
    }
    .html()
}

/// The words of a page, without its tags.
fn words(html: &str) -> String {
    let body = html.split_once("<body>").map_or(html, |(_, body)| body);
    let mut out = String::new();
    let mut inside = false;
    for letter in body.chars() {
        match letter {
            '<' => inside = true,
            '>' => inside = false,
            other if !inside => out.push(other),
            _ => {}
        }
    }
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn every_block_says_what_it_says_on_paper_in_its_order() {
    let table = Table {
        head: vec![Text::new("Size", Style::SMALL), Text::new("Pull", Style::SMALL)],
        rows: vec![vec![
            Text::new("5 × 2 mm", Style::BODY),
            Text::new("9.1 N", Style::BODY),
        ]],
        align: vec![Anchor::Start, Anchor::End],
        bare: false,
    };
    let html = document(vec![
        Flow::title("One"),
        Flow::Together(vec![Flow::heading("Two"), Flow::body("Three")]),
        Flow::Columns(vec![(1.0, vec![Flow::body("Four")]), (2.0, vec![Flow::Table(table)])]),
        Flow::Drawing(Drawing::new(10.0, 10.0, "a disc")),
        Flow::Paragraph(Text::new("strong", Style::BODY.strong()).and(" and not", Style::BODY)),
    ]);
    assert_eq!(
        words(&html),
        "One Two Three Four Size Pull 5 × 2 mm 9.1 N strong and not \"made\" https://shop.example/#/item/A"
            .replace('"', "&quot;")
    );
    assert!(html.contains("<h1") && html.contains("<h2") && html.contains("<th") && html.contains("text-align:right"));
    assert!(html.contains("aria-label=\"a disc\""));
    assert!(html.contains("<a href=\"https://shop.example/#/item/A\">"));
}

/// A request that stands in an address is led to as a whole, and does not fill the foot.
#[test]
fn a_long_address_is_led_to_as_a_whole_and_shown_in_part() {
    let link = format!("https://shop.example/#/ladder?for={}", "%22a%22".repeat(60));
    let html = Document {
        link: link.clone(),
        ..Document::default()
    }
    .html();
    assert!(html.contains(&format!("<a href=\"{link}\">")), "{html}");
    assert!(
        words(&html).ends_with('…') && words(&html).chars().count() < 100,
        "{}",
        words(&html)
    );
}

#[test]
fn nothing_in_a_text_is_taken_for_html() {
    let html = document(vec![Flow::body("<script>alert(1)</script> & \"x\"")]);
    assert!(!html.contains("<script"), "{html}");
    assert!(html.contains("&lt;script&gt;alert(1)&lt;/script&gt; &amp;"));
    assert!(html.contains("<title>Discs &amp; &lt;rings&gt;</title>"));
}

#[test]
fn nothing_is_fetched_from_elsewhere() {
    let html = document(vec![Flow::body("text")]);
    for word in ["src=", "url(", "@import", "<link", "<script"] {
        assert!(!html.contains(word), "{word}");
    }
}

#[test]
fn styles_stand_in_one_place_and_on_no_element() {
    let text = "a style=\"color:red\" of its own";
    let flows = vec![
        Flow::title("One"),
        Flow::body(text),
        Flow::body("Two"),
        Flow::Drawing(Drawing::new(10.0, 10.0, "a disc")),
    ];
    let document = Document {
        flows,
        ..Document::default()
    };
    let page = document.page();
    assert_eq!(page.text, document.html());
    let (head, body) = page.text.split_once("<body>").unwrap();
    assert!(head.contains(&format!("<style>{}</style>", page.style)));
    assert_eq!(page.text.matches("<style").count(), 1);
    assert!(!body.contains("style=\""), "{body}");
    assert!(words(&page.text).contains("a style=&quot;color:red&quot; of its own"));
    // Equal styles are one class, and each class is told once.
    let classes = |text: &str| text.matches("<p class=\"s1\">").count();
    assert_eq!(classes(body), 2, "{body}");
    assert_eq!(page.style.matches(".s1{").count(), 1);
}
