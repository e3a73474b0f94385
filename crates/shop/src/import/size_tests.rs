use super::*;
use proptest::prelude::*;

fn shape(text: &str, named: Option<ShapeWord>) -> Result<Shape, Misfit> {
    let mut sizes = Sizes::default();
    sizes.add(&split(text, Unit::MILLIMETRE, Convention::Auto)?, named)?;
    of(&sizes, named, Magnetised::Thickness)
}

fn of(sizes: &Sizes, named: Option<ShapeWord>, along: Magnetised) -> Result<Shape, Misfit> {
    sizes.shape(named, along).map_err(|(_, misfit)| misfit)
}

fn mm(value: f64) -> f64 {
    exact::length(Length::from_mm(value)).0
}

fn disc(diameter: f64, thickness: f64) -> Result<Shape, Misfit> {
    Ok(Shape::Disc {
        diameter: mm(diameter),
        thickness: mm(thickness),
    })
}

fn ring(outer: f64, inner: f64, thickness: f64) -> Result<Shape, Misfit> {
    Ok(Shape::Ring {
        outer_diameter: mm(outer),
        inner_diameter: mm(inner),
        thickness: mm(thickness),
    })
}

fn block(length: f64, width: f64, thickness: f64) -> Result<Shape, Misfit> {
    Ok(Shape::Block {
        length: mm(length),
        width: mm(width),
        thickness: mm(thickness),
    })
}

#[test]
fn combined_sizes_without_a_shape() {
    assert_eq!(shape("10x5", None), disc(10.0, 5.0));
    assert_eq!(shape("10 X 5", None), disc(10.0, 5.0));
    assert_eq!(shape("20 x 10 x 5 mm", None), block(20.0, 10.0, 5.0));
    assert_eq!(shape("20*10*5", None), block(20.0, 10.0, 5.0));
    assert_eq!(shape("Ø10×5", None), disc(10.0, 5.0));
    assert_eq!(shape("Ø 10 x 5 mm", None), disc(10.0, 5.0));
    assert_eq!(shape("D10x5", None), disc(10.0, 5.0));
    assert_eq!(shape("d=10 x h=5", None), disc(10.0, 5.0));
    assert_eq!(shape("10mm x 5mm", None), disc(10.0, 5.0));
    assert_eq!(shape("0,5x3", None), disc(0.5, 3.0));
    assert_eq!(shape("1/2 x 1/8 in", None), disc(12.7, 3.175));
    assert_eq!(shape("1/2\" x 1/8\"", None), disc(12.7, 3.175));
    assert_eq!(shape("1-1/2 x 1/4 in", None), disc(38.1, 6.35));
    assert_eq!(shape("1 x 1/2 x 1/4 in", None), block(25.4, 12.7, 6.35));
    assert_eq!(shape("0.5 by 0.125 inch", None), disc(12.7, 3.175));
    assert_eq!(shape("20/10x5", None), ring(20.0, 10.0, 5.0));
    assert_eq!(shape("Ø20/10 x 5 mm", None), ring(20.0, 10.0, 5.0));
    assert_eq!(shape("OD20 x ID10 x 5", None), ring(20.0, 10.0, 5.0));
    assert_eq!(shape("Ø20xØ10x5", None), ring(20.0, 10.0, 5.0));
    assert_eq!(shape("20 dia x 5 thick", None), disc(20.0, 5.0));
    assert_eq!(shape("D5 x L25", None), disc(5.0, 25.0));
    assert_eq!(shape("Ø 16 h 4,5", None), disc(16.0, 4.5));
    assert_eq!(shape("Ø10 ép. 1 mm", None), disc(10.0, 1.0));
    assert_eq!(shape("Ø ext 10 Ø int 4 h 5", None), ring(10.0, 4.0, 5.0));
    assert_eq!(shape("L20 x W10 x H5", None), block(20.0, 10.0, 5.0));
}

#[test]
fn combined_sizes_of_a_named_shape() {
    assert_eq!(shape("20x10x5", Some(ShapeWord::Ring)), ring(20.0, 10.0, 5.0));
    assert_eq!(shape("10x5", Some(ShapeWord::Disc)), disc(10.0, 5.0));
    assert_eq!(
        shape("10", Some(ShapeWord::Sphere)),
        Ok(Shape::Sphere { diameter: mm(10.0) })
    );
    assert_eq!(
        shape("Ø 1/2 in", Some(ShapeWord::Sphere)),
        Ok(Shape::Sphere { diameter: mm(12.7) })
    );
    assert_eq!(shape("10 mm", Some(ShapeWord::Cube)), block(10.0, 10.0, 10.0));
    assert_eq!(shape("10x10x10", Some(ShapeWord::Cube)), block(10.0, 10.0, 10.0));
}

#[test]
fn sizes_that_do_not_fit_are_explained() {
    for (text, named, word) in [
        ("10", None, "1 numbers"),
        ("10x5", Some(ShapeWord::Block), "2 numbers"),
        ("10x5x3x2", None, "too many"),
        ("10/20x5", Some(ShapeWord::Ring), "not smaller"),
        ("20x20x5", Some(ShapeWord::Ring), "not smaller"),
        ("0x5", None, "greater than 0"),
        ("-3x5", None, "greater than 0"),
        ("abc", None, "not the name of a side"),
        ("10 kg x 5", None, "kg"),
        ("99999x5", None, "between"),
        ("", None, "expected"),
    ] {
        let misfit = shape(text, named).unwrap_err();
        assert!(misfit.wrong.contains(word), "{text}: {}", misfit.wrong);
        assert!(!misfit.right.is_empty(), "{text}");
    }
}

#[test]
fn columns_make_the_shape_that_they_fill() {
    let round = Sizes {
        diameter: Some(0.01),
        thickness: Some(0.005),
        ..Sizes::default()
    };
    assert_eq!(of(&round, None, Magnetised::Thickness), disc(10.0, 5.0));
    let rod = Sizes {
        diameter: Some(0.01),
        length: Some(0.025),
        ..Sizes::default()
    };
    assert_eq!(of(&rod, None, Magnetised::Thickness), disc(10.0, 25.0));
    let hollow = Sizes {
        inner_diameter: Some(0.004),
        ..round
    };
    assert_eq!(of(&hollow, None, Magnetised::Thickness), ring(10.0, 4.0, 5.0));
    let bare = Sizes {
        diameter: Some(0.01),
        ..Sizes::default()
    };
    let (side, misfit) = bare.shape(None, Magnetised::Thickness).unwrap_err();
    assert_eq!(
        (side, misfit.wrong.as_str()),
        (Some(Side::Thickness), "the thickness is missing")
    );
    assert_eq!(
        of(&bare, Some(ShapeWord::Sphere), Magnetised::Thickness),
        Ok(Shape::Sphere { diameter: mm(10.0) })
    );
    let sides = Sizes {
        length: Some(0.02),
        width: Some(0.01),
        thickness: Some(0.005),
        ..Sizes::default()
    };
    assert_eq!(of(&sides, None, Magnetised::Width), block(20.0, 5.0, 10.0));
}

#[test]
fn a_side_that_two_columns_give_differently_is_refused() {
    let mut sizes = Sizes {
        thickness: Some(0.004),
        ..Sizes::default()
    };
    let parts = split("D10 x H5", Unit::MILLIMETRE, Convention::Auto).unwrap();
    let misfit = sizes.add(&parts, None).unwrap_err();
    assert_eq!(
        misfit.wrong,
        "the thickness is 5 mm here and 4 mm elsewhere in the line"
    );
}

proptest! {
    #[test]
    fn never_panics(text in "\\PC{0,40}") {
        let _ = shape(&text, None);
        let _ = shape(&text, Some(ShapeWord::Ring));
    }

    #[test]
    fn never_panics_on_text_like_sizes(text in "[0-9xXØ×/., DdLHmin\"½-]{0,20}") {
        let _ = shape(&text, None);
        let _ = shape(&text, Some(ShapeWord::Block));
    }
}
