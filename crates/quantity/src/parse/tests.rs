//! What is read, what is refused and where, and that no text upsets the readers.

use proptest::prelude::*;

use super::*;

/// Within two units in the last place: one rounding each for reading and converting.
fn close(got: f64, expected: f64) -> bool {
    (got - expected).abs() <= 4.0 * f64::EPSILON * expected.abs()
}

fn reads<Q: Quantity>(table: &[(&str, f64)]) {
    for (text, si) in table {
        match parse::<Q>(text) {
            Ok(quantity) => assert!(close(quantity.si(), *si), "{text}: {}", quantity.si()),
            Err(error) => panic!("{text}: {}\n{}", error.one_line(), error.caret(text)),
        }
        let tail = format!("{text} of it");
        match scan::<Q>(&tail) {
            Some(Ok((quantity, len))) => {
                assert!(close(quantity.si(), *si), "{tail}");
                assert_eq!(len, text.len(), "{tail}");
            }
            other => panic!("{tail}: {:?}", other.map(|found| found.map(|(_, len)| len))),
        }
    }
}

#[test]
fn lengths() {
    reads::<Length>(&[
        ("6mm", 0.006),
        ("6 mm", 0.006),
        ("6 MM", 0.006),
        ("6-mm", 0.006),
        ("6\u{a0}mm", 0.006),
        (" +6  mm", 0.006),
        ("0,4 mm", 0.0004),
        (".4 mm", 0.0004),
        ("2 cm", 0.02),
        ("1e-3 m", 0.001),
        ("1E−3 m", 0.001),
        ("1e+0 m", 1.0),
        ("15 µm", 15e-6),
        ("15 μm", 15e-6),
        ("15um", 15e-6),
        ("15 microns", 15e-6),
        ("1/2 in", 0.0127),
        ("1⁄2 in", 0.0127),
        ("1/2-inch", 0.0127),
        ("1-1/8\"", 0.028575),
        ("1\u{2011}1/8″", 0.028575),
        ("1 1/8 in", 0.028575),
        ("1⅛ in", 0.028575),
        ("1 ⅛ IN", 0.028575),
        ("1-⅛ inches", 0.028575),
        ("-1 1/8 in", -0.028575),
        ("½\"", 0.0127),
        ("¼ Inch", 0.00635),
        ("¾”", 0.01905),
        ("0.25 in.", 0.00635),
        ("0.25''", 0.00635),
        ("0.25’’", 0.00635),
        ("250 mil", 0.00635),
        ("250thou", 0.00635),
        ("6 ft", 1.8288),
        ("6'", 1.8288),
        ("2 Metres", 2.0),
        ("12\u{202f}500 mm", 12.5),
    ]);
}

#[test]
fn fields() {
    reads::<FluxDensity>(&[
        ("3500 G", 0.35),
        ("3500 Gauss", 0.35),
        ("3500Gs", 0.35),
        ("3.5 kG", 0.35),
        ("350 mT", 0.35),
        ("0.35 T", 0.35),
        ("0,35 tesla", 0.35),
        ("−50 µT", -50e-6),
        ("500 mG", 5e-5),
    ]);
    reads::<FieldStrength>(&[
        ("950 kA/m", 950e3),
        ("950 ka/m", 950e3),
        ("9.5 A/cm", 950.0),
        ("1 MA/m", 1e6),
        ("12 kOe", 12e6 / (4.0 * std::f64::consts::PI)),
        ("12 oe", 12e3 / (4.0 * std::f64::consts::PI)),
    ]);
}

#[test]
fn forces_and_masses() {
    reads::<Force>(&[
        ("20 N", 20.0),
        ("20 newtons", 20.0),
        ("0.02 kN", 20.0),
        ("2 kgf", 19.6133),
        ("2 kp", 19.6133),
        ("5 lbf", 22.2411080763025),
        ("16 ozf", 4.4482216152605),
    ]);
    reads::<Mass>(&[
        ("2kg", 2.0),
        ("2 Kg", 2.0),
        ("2 kilos", 2.0),
        ("800 g", 0.8),
        ("500 mg", 0.0005),
        ("4.4 lb", 1.995806428),
        ("4.4 LBS", 1.995806428),
        ("70 oz", 1.984466618750),
    ]);
}

#[test]
fn temperatures() {
    reads::<Temperature>(&[
        ("80 C", 353.15),
        ("80c", 353.15),
        ("80°C", 353.15),
        ("80 ° C", 353.15),
        ("80ºC", 353.15),
        ("80 ℃", 353.15),
        ("80 deg C", 353.15),
        ("80 degrees Celsius", 353.15),
        ("−5 °C", 268.15),
        ("–5 °C", 268.15),
        ("176 °F", 353.15),
        ("353 K", 353.0),
        ("0 K", 0.0),
        ("-273.15 °C", 0.0),
        ("-459.67 °F", 0.0),
    ]);
}

fn refusal(error: ParseError) -> (Range<usize>, String, String) {
    (error.span, error.message, error.hint.unwrap_or_default())
}

fn refuses<Q: Quantity>(text: &str, span: Range<usize>, message: &str, hint: &str) {
    match parse::<Q>(text) {
        Ok(quantity) => panic!("{text} was read as {}", quantity.si()),
        Err(error) => {
            assert_eq!(refusal(error), (span, message.to_owned(), hint.to_owned()), "{text}");
        }
    }
}

#[test]
fn refuses_with_place_and_hint() {
    const UNITS: &str = "mm, cm, m, µm, in, mil or ft";
    let write = format!("write a number and a unit: {UNITS}");
    let using = format!("use {UNITS}");
    let one = "give one number and one unit";
    let plain = "write the number without separators of thousands, as 1234.5";
    let size = |text, span, message, hint| refuses::<Length>(text, span, message, hint);
    size("", 0..0, "expected a length, got nothing", &write);
    size("   ", 0..0, "expected a length, got nothing", &write);
    size(" thin", 1..5, "expected a length, got `thin`", &write);
    size("mm 6", 0..2, "expected a length, got `mm`", &write);
    size("-", 0..1, "expected a length, got `-`", &write);
    size("NaN mm", 0..3, "expected a length, got `NaN`", &write);
    size("inf mm", 0..3, "expected a length, got `inf`", &write);
    size("6", 1..1, "the unit is missing", &using);
    size("6 ", 1..1, "the unit is missing", &using);
    size("6 furlongs", 2..10, "unknown unit `furlongs`", &using);
    size("½ mmx", 3..6, "unknown unit `mmx`", &using);
    size("6 M", 2..3, "unknown unit `M`", "did you mean m (length)?");
    size("6 Mm", 2..4, "unknown unit `Mm`", "did you mean mm (length)?");
    size("6 kg", 2..4, "kg is a unit of mass, expected a length", &using);
    size("6 mm thick", 5..10, "unexpected `thick` after the value", one);
    size("6 mm 7 mm", 5..9, "unexpected `7 mm` after the value", one);
    size("25 in stock", 3..5, "unknown unit `in`", &using);
    size(
        "3,175 mm",
        0..5,
        "the number can be read two ways",
        "write 3.175 or 3175",
    );
    size("-1.2.3 mm", 1..6, "the digits are not grouped as a number", plain);
    size("1e400 mm", 0..5, "the number is too large", "");
    size("-1e308 ft", 0..9, "the number is too large", "");
    size(
        "1/0 in",
        2..3,
        "a fraction cannot have 0 below the line",
        "write it as 1/2",
    );
    size(
        "2 1/0 in",
        4..5,
        "a fraction cannot have 0 below the line",
        "write it as 1/2",
    );
    size(
        "1-9/8 in",
        2..5,
        "the fraction of a mixed number must be below 1",
        "write it as 1-1/8, or put a comma between two numbers",
    );
    let both = "did you mean kG (flux density) or kg (mass)?";
    refuses::<Mass>("2 KG", 2..4, "unknown unit `KG`", both);
    refuses::<FluxDensity>("350 MT", 4..6, "unknown unit `MT`", "did you mean mT (flux density)?");
    refuses::<Temperature>(
        "-300 °C",
        0..8,
        "the temperature is below absolute zero",
        "absolute zero is −273.15 °C",
    );
    refuses::<Temperature>("80°", 2..4, "unknown unit `°`", "use °C, °F or K");
    refuses::<Force>(
        "2 kg",
        2..4,
        "kg is a unit of mass, expected a force",
        "use N, kgf, lbf or ozf",
    );
}

#[test]
fn overlong_digits_are_too_large_not_infinite() {
    let digits = "9".repeat(400);
    for text in [
        format!("{digits} mm"),
        format!("{digits}/3 in"),
        format!("1/{digits} in"),
    ] {
        let error = parse::<Length>(&text).unwrap_err();
        assert_eq!(error.message, "the number is too large", "{text}");
    }
}

#[test]
fn a_stated_unit_serves_numbers_without_one() {
    let read = |text| parse_with_default::<Length>(text, Unit::MILLIMETRE);
    assert_eq!(read("6"), Ok(Length(0.006)));
    assert_eq!(read(" 0,4 "), Ok(Length(0.0004)));
    assert_eq!(read("1/2 in"), Ok(Length(0.0127)));
    assert_eq!(read("6 x").map_err(|error| error.span), Err(2..3));
    assert_eq!(read("").map_err(|error| error.span), Err(0..0));
    let error = parse_with_default::<Length>("6", Unit::KILOGRAM).unwrap_err();
    assert_eq!(error.message, "kg is a unit of mass, expected a length");
}

#[test]
fn scans_any_kind_and_says_how_far() {
    for (text, any, len) in [
        ("2 kg hanging", Any::Mass(Mass(2.0)), 4),
        ("  20 N", Any::Force(Force(20.0)), 6),
        ("350mT, at", Any::FluxDensity(FluxDensity(0.35)), 5),
        ("950 kA/m.", Any::FieldStrength(FieldStrength(950e3)), 8),
        ("80 °C outdoors", Any::Temperature(Temperature(353.15)), 6),
        ("10mmx5mm", Any::Length(Length(0.01)), 4),
        ("10 x 5 mm", Any::Number(10.0), 2),
        ("10x5 mm", Any::Number(10.0), 2),
        ("200 pieces", Any::Number(200.0), 3),
        ("2-pole", Any::Number(2.0), 1),
        ("50%", Any::Number(50.0), 2),
        ("25 in stock", Any::Number(25.0), 2),
        ("3 in series", Any::Number(3.0), 1),
        ("1/2", Any::Number(0.5), 3),
        ("5 N·m", Any::Number(5.0), 1),
    ] {
        assert_eq!(scan_any(text), Some(Ok((any, len))), "{text}");
    }
    for text in ["", "hold", "42SH", "3rd", "1/2/3", "- 5 mm", "N42"] {
        assert_eq!(scan_any(text), None, "{text}");
    }
    for (text, span) in [("3,500 G", 0..5), ("2 KG.", 2..4), ("-300 °C", 0..8), ("1e999", 0..5)] {
        let error = scan_any(text).and_then(Result::err).map(|error| error.span);
        assert_eq!(error, Some(span), "{text}");
    }
}

#[test]
fn scans_one_kind_only() {
    assert!(matches!(scan::<Length>("2 kg hanging"), Some(Err(error)) if error.span == (2..4)));
    assert!(matches!(scan::<Length>("2"), Some(Err(error)) if error.span == (1..1)));
    assert_eq!(scan::<Length>("thin"), None);
}

#[test]
fn any_knows_its_kind() {
    for kind in Kind::ALL {
        assert_eq!(Any::of(kind, 1.0).kind(), Some(kind));
    }
    assert_eq!(Any::Number(1.0).kind(), None);
}

/// Arbitrary text, and text made of the pieces that the grammar knows.
fn texts() -> impl Strategy<Value = String> {
    let pieces = prop::sample::select(vec![
        "1",
        "23",
        "456",
        "0",
        ".",
        ",",
        " ",
        "\u{a0}",
        "\u{202f}",
        "-",
        "−",
        "+",
        "/",
        "⁄",
        "½",
        "⅛",
        "e",
        "E",
        "x",
        "mm",
        "m",
        "in",
        "in.",
        " stock",
        "\"",
        "''",
        "'",
        "°",
        "C",
        "deg ",
        "K",
        "k",
        "G",
        "KG",
        "kg",
        "N",
        "·",
        "^",
        "²",
        "lb",
        "ft-",
        "µ",
        "é",
        "\n",
        "999999999999",
    ]);
    prop_oneof![
        any::<String>(),
        prop::collection::vec(pieces, 0..12).prop_map(|v| v.concat())
    ]
}

fn check<Q: Quantity>(text: &str) -> Result<(), TestCaseError> {
    let results = [parse::<Q>(text), parse_with_default::<Q>(text, Unit::INCH)];
    for result in results {
        match result {
            Ok(quantity) => prop_assert!(quantity.si().is_finite()),
            Err(error) => {
                prop_assert!(text.get(error.span.clone()).is_some(), "{error:?}");
                prop_assert!(error.caret(text).contains('^'));
            }
        }
    }
    if let Some(Ok((quantity, len))) = scan::<Q>(text) {
        prop_assert!(quantity.si().is_finite() && len > 0 && text.is_char_boundary(len));
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn any_text_is_read_or_refused_in_place(text in texts()) {
        check::<Length>(&text)?;
        check::<Mass>(&text)?;
        check::<Temperature>(&text)?;
        match scan_any(&text) {
            Some(Ok((_, len))) => prop_assert!(text.is_char_boundary(len)),
            Some(Err(error)) => prop_assert!(text.get(error.span).is_some()),
            None => {}
        }
    }

    #[test]
    fn whatever_parses_also_scans(text in texts()) {
        if let Ok(Length(si)) = parse::<Length>(&text) {
            let scanned = scan::<Length>(&text);
            prop_assert_eq!(scanned, Some(Ok((Length(si), text.trim_end().len()))));
        }
    }
}
