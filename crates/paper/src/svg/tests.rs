use super::*;
use crate::picture::{PictureError, Spot};

fn picture() -> FieldPicture {
    let (columns, rows) = (40, 30);
    let value = |k: usize| {
        let (x, y) = ((k % columns) as f64 - 20.0, (k / columns) as f64 - 15.0);
        100.0 / (1.0 + x * x + y * y)
    };
    let map = FieldMap::new(columns, rows, (0..columns * rows).map(value).collect(), "|B|", "mT");
    FieldPicture {
        title: "A disc & its <field>".into(),
        across: [-20.0, 20.0],
        up: [-15.0, 15.0],
        map: map.ok(),
        lines: vec![vec![[0.0, -15.0], [0.0, 0.0], [0.0, 15.0]]],
        parts: vec![Part {
            kind: PartKind::Magnet { towards: [0.0, 1.0] },
            outlines: vec![vec![[-5.0, -2.5], [5.0, -2.5], [5.0, 2.5], [-5.0, 2.5]]],
            name: String::new(),
        }],
        spots: vec![Spot {
            at: [0.0, 6.0],
            text: "here".into(),
        }],
        inch: false,
    }
}

#[test]
fn it_is_well_formed_and_says_what_it_shows() {
    let svg = picture().svg(400.0, "p1").expect("drawn");
    assert!(svg.starts_with("<svg ") && svg.ends_with("</svg>"));
    assert!(svg.contains("A disc &amp; its &lt;field&gt;"), "the title is escaped");
    assert_eq!(svg.matches("<g ").count(), svg.matches("</g>").count());
    for wanted in ["here", "5 mm", "|B|, mT", "data:image/png;base64,iVBOR", "p1-field"] {
        assert!(svg.contains(wanted), "{wanted} is missing");
    }
    assert!(!svg.contains("NaN") && !svg.contains("inf"));
}

/// Where a letter stands, pixels.
fn letter(svg: &str, letter: &str) -> Option<[f64; 2]> {
    let before = &svg[..svg.find(&format!(">{letter}</text>"))?];
    let tag = &before[before.rfind("<text ")?..];
    let number = |name: &str| tag.split(&format!("{name}=\"")).nth(1)?.split('"').next()?.parse().ok();
    Some([number("x")?, number("y")?])
}

#[test]
fn poles_are_named_at_the_ends_of_the_arrow_where_there_is_room() {
    let drawn = |towards: [f64; 2], width: f64| {
        let mut picture = picture();
        picture.parts[0].kind = PartKind::Magnet { towards };
        picture.parts[0].outlines = vec![vec![[-5.0, -5.0], [5.0, -5.0], [5.0, 5.0], [-5.0, 5.0]]];
        let svg = picture.svg(width, "p").expect("drawn");
        (letter(&svg, "N"), letter(&svg, "S"))
    };
    let (Some(north), Some(south)) = drawn([0.0, 1.0], 400.0) else {
        panic!("both poles")
    };
    assert!(
        north[1] < south[1] && north[0] == south[0],
        "upwards: {north:?} {south:?}"
    );
    let (Some(north), Some(south)) = drawn([-1.0, 0.0], 400.0) else {
        panic!("both poles")
    };
    assert!(
        north[0] < south[0] && north[1] == south[1],
        "to the left: {north:?} {south:?}"
    );
    assert_eq!(drawn([0.0, 1.0], 80.0), (None, None));
}

#[test]
fn the_middle_of_the_window_is_the_middle_of_the_drawing() {
    let frame = Frame::new(&picture(), 400.0);
    assert_eq!(frame.at([0.0, 0.0]), [200.0, 150.0]);
    assert_eq!(frame.at([-20.0, 15.0]), [0.0, 0.0]);
}

#[test]
fn a_window_without_room_and_coordinates_that_are_none_are_refused() {
    let empty = FieldPicture {
        across: [3.0, 3.0],
        ..picture()
    };
    assert!(matches!(empty.svg(400.0, "p"), Err(PictureError::Window { .. })));
    let lost = FieldPicture {
        lines: vec![vec![[f64::NAN, 0.0]]],
        ..picture()
    };
    assert_eq!(lost.svg(400.0, "p"), Err(PictureError::NotFinite("a line of flux")));
}

#[test]
fn figures_are_short_and_rules_are_round() {
    assert_eq!(figure(0.05), "0.05");
    assert_eq!(figure(200.0), "200");
    assert_eq!(figure(1e-6), "0.000001");
    assert_eq!([round_below(8.0), round_below(2.0), round_below(0.9)], [5.0, 2.0, 0.5]);
}

#[test]
fn lines_of_equal_value_lie_where_the_value_is() {
    let map = picture().map.expect("there is one");
    let radius = (100.0f64 / 10.0 - 1.0).sqrt();
    let lines = map.isolines(10.0);
    assert!(!lines.is_empty());
    for [column, row] in lines.into_iter().flatten() {
        // Cells stand for their middles.
        let away = (column - 20.5).hypot(row - 15.5);
        assert!((away - radius).abs() < 0.3, "{away} against {radius}");
    }
}
