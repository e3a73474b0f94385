use super::*;
use crate::exact::millimetres;

fn read(text: &str) -> Told {
    let grades = GradeTable::builtin().unwrap();
    let coatings = CoatingTable::builtin().unwrap();
    let tables = Tables {
        grades,
        coatings,
        unit: Unit::MILLIMETRE,
        convention: Convention::Auto,
    };
    told(text, &tables)
}

/// Shape, sizes in mm with the initial of the side that is named, grade and coating, as one text.
fn short(text: &str) -> String {
    let told = read(text);
    let side = |part: &Part| part.side.map_or(String::new(), |side| format!("{side:?}:"));
    let sizes: Vec<String> = told
        .sizes
        .iter()
        .map(|part| format!("{}{}", side(part), millimetres(part.metres)))
        .collect();
    let unclear = told
        .unclear
        .map_or(String::new(), |misfit| format!(" ! {}", misfit.wrong));
    format!(
        "{} {} {} {}{unclear}",
        told.shape.map_or("-", ShapeWord::name),
        sizes.join(" "),
        told.grade.as_deref().unwrap_or("-"),
        told.coating.as_deref().unwrap_or("-"),
    )
}

#[test]
fn descriptions_in_seven_languages() {
    let cases = [
        // English
        (
            "Ring magnet 40/20 x 10 mm N42 Ni",
            "ring Diameter:40 InnerDiameter:20 10 N42 nickel",
        ),
        (
            "Neodymium disc magnet Ø10 x 5mm, N52, nickel plated",
            "disc Diameter:10 5 N52 nickel-copper-nickel",
        ),
        ("Block 20 x 10 x 5 mm N45SH epoxy", "block 20 10 5 N45SH epoxy"),
        (
            "Rod magnet, 5 mm diameter, 25 mm long, N35",
            "disc Diameter:5 Length:25 N35 -",
        ),
        (
            "1/2\" x 1/8\" disc N42 gold plated",
            "disc 12.7 3.175 N42 gold over nickel",
        ),
        ("Ball magnet 12.7 mm N38", "sphere 12.7 N38 -"),
        ("Disc D20 H5 N 42 zinc", "disc Diameter:20 Thickness:5 N42 zinc"),
        (
            "Ring OD 30 ID 16 H 5 Y30",
            "ring Diameter:30 InnerDiameter:16 Thickness:5 Y30 -",
        ),
        (
            "Disc 15 x 5 mm (±0.1 mm) N42 up to 80 °C, 3.9 kg pull, pack of 10",
            "disc 15 5 N42 -",
        ),
        (
            "Ferrite ring D60 x d24 x h13 mm Y35",
            "ring Diameter:60 InnerDiameter:24 Thickness:13 Y35 -",
        ),
        (
            "Disc 20 x 5 mm with hole 4.2 mm N42",
            "ring 20 5 InnerDiameter:4.2 N42 -",
        ),
        (
            "Countersunk magnet 25x5mm hole dia 5.5, N45SH",
            "ring 25 5 InnerDiameter:5.5 N45SH -",
        ),
        (
            "Disc 25 mm hole 4 mm thickness 5 mm N42",
            "ring InnerDiameter:4 Thickness:5 25 N42 -",
        ),
        (
            "20 mm diameter 5 mm thick disc N42",
            "disc Diameter:20 Thickness:5 N42 -",
        ),
        (
            "Ring Ø10/Ø5.5 x 5 N48 (black epoxy)",
            "ring Diameter:10 InnerDiameter:5.5 5 N48 epoxy",
        ),
        (
            "RING OD20 ID4.2 X 5MM N 48M ZN",
            "ring InnerDiameter:4.2 5 Diameter:20 N48M zinc",
        ),
        ("D10 H10 DISK - N35 - ZINC", "disc Diameter:10 Thickness:10 N35 zinc"),
        ("12mm dia x 2mm Round disc N42-SH", "disc Diameter:12 2 N42SH -"),
        (
            "L2 W2 H2 CUBE - N50 - NICUNI",
            "cube Length:2 Width:2 Thickness:2 N50 nickel-copper-nickel",
        ),
        // German
        (
            "Neodym Scheibenmagnet 20x5 mm N45 vernickelt",
            "disc 20 5 N45 nickel-copper-nickel",
        ),
        (
            "Quadermagnete 40 x 20 x 10mm, N42, epoxid schwarz",
            "block 40 20 10 N42 epoxy",
        ),
        (
            "Ringmagnet Ø 27 mm, Bohrung 16 mm, Höhe 5 mm, N42",
            "ring Diameter:27 InnerDiameter:16 Thickness:5 N42 -",
        ),
        (
            "Stabmagnet Ø 6 x 25 mm AlNiCo 5 unbeschichtet",
            "disc Diameter:6 25 AlNiCo 5 none",
        ),
        ("Würfel 10 mm N48 vergoldet", "cube 10 N48 gold over nickel"),
        ("Kugelmagnet 8 mm N40", "sphere 8 N40 -"),
        // French
        (
            "Aimant disque diamètre 15 mm, épaisseur 3 mm, N42, nickelé",
            "disc Diameter:15 Thickness:3 N42 nickel-copper-nickel",
        ),
        ("Aimant bloc 50x15x15 mm N38 zingué", "block 50 15 15 N38 zinc"),
        ("Anneau Ø 20/10 x 5 mm N45", "ring Diameter:20 InnerDiameter:10 5 N45 -"),
        // Spanish
        (
            "Imán anillo diámetro 25 mm agujero 8 mm espesor 4 mm N35 niquelado",
            "ring Diameter:25 InnerDiameter:8 Thickness:4 N35 nickel-copper-nickel",
        ),
        ("Imán bloque 30 x 10 x 3 mm N42 cincado", "block 30 10 3 N42 zinc"),
        // Italian
        (
            "Magnete disco 12 x 2 mm N52 nichelato",
            "disc 12 2 N52 nickel-copper-nickel",
        ),
        (
            "Magnete blocco 20x10x2 mm N45 dorato",
            "block 20 10 2 N45 gold over nickel",
        ),
        // Dutch
        (
            "Schijfmagneet 18 x 4 mm N42 vernikkeld",
            "disc 18 4 N42 nickel-copper-nickel",
        ),
        (
            "Ringmagneet buiten 15 mm binnen 6 mm hoogte 6 mm N45",
            "ring Diameter:15 InnerDiameter:6 Thickness:6 N45 -",
        ),
        // Polish
        (
            "Magnes walcowy fi 10 x 4 mm N38 nikiel",
            "disc Diameter:10 4 N38 nickel-copper-nickel",
        ),
        (
            "Magnes pierścieniowy 25/8 x 5 mm N42 cynk",
            "ring Diameter:25 InnerDiameter:8 5 N42 zinc",
        ),
        (
            "Magnes płytkowy 40 x 10 x 4 mm N38 złoto",
            "block 40 10 4 N38 gold over nickel",
        ),
    ];
    let wrong: Vec<_> = cases
        .iter()
        .map(|(text, expected)| (text, short(text), expected))
        .filter(|(_, read, expected)| read != *expected)
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn what_can_be_read_two_ways_is_not_read() {
    for (text, wrong) in [
        ("Disc 20 x 5 or 25 x 5 mm N42", "the description has two sizes"),
        (
            "Block 40 x 20 x 10 mm, reach 15 mm, N42",
            "it is not clear what \"15\" is the size of",
        ),
        (
            "Block 40 x 20 x 10 x 5 mm N42",
            "the description has 4 numbers that could be sizes",
        ),
    ] {
        assert_eq!(
            read(text).unclear.map(|misfit| misfit.wrong).as_deref(),
            Some(wrong),
            "{text}"
        );
    }
    let two = read("Disc 20 x 5 mm N42 or N45");
    assert_eq!(two.grade, None);
    assert!(two.unclear_grade.unwrap().wrong.contains("two grades"));
    let strange = read("Disc 20 x 5 mm N47 Ni").unclear_grade.unwrap();
    assert_eq!(strange.wrong, "unknown grade \"N47\"");
    assert!(strange.right.contains("N45"), "{}", strange.right);
}

#[test]
fn a_size_in_two_units_is_one() {
    assert_eq!(short("Disc 1/2 x 1/4 in (12.7 x 6.35 mm) N42"), "disc 12.7 6.35 N42 -");
}

#[test]
fn codes_counts_threads_and_amounts_are_no_sizes() {
    for text in [
        "AB-123 disc 10 x 5 mm N42",
        "disc 10 x 5 mm N42 SKU 4471",
        "10 pcs disc 10 x 5 mm N42",
        "2 x disc 10 x 5 mm N42",
        "disc 10 x 5 mm N42 1.5 kg 80°C",
        "disc 10 x 5 mm N42 VE 50",
        "disc X200 10 x 5 mm N42",
    ] {
        assert_eq!(short(text), "disc 10 5 N42 -", "{text}");
    }
}

#[test]
fn a_letter_before_a_size_is_not_part_of_the_grade() {
    assert_eq!(short("disc D 10 N52 H 5 mm"), "disc Diameter:10 Thickness:5 N52 -");
    assert_eq!(read("disc 10 x 5 mm N45 SH").grade.as_deref(), Some("N45SH"));
}

#[test]
fn directions_and_tolerances() {
    let told = read("Block 20x10x5 mm ±0,05 mm N42 magnetised through the width");
    assert_eq!(told.direction, Some(DirectionWord::Width));
    assert_eq!(told.tolerance, Some(Length(0.000_05)));
    assert_eq!(read("Disc 10 x 5 N42 axial").direction, Some(DirectionWord::Axial));
    assert_eq!(
        read("Disc 10 x 5 N42 diametral").direction,
        Some(DirectionWord::Unsupported)
    );
    assert_eq!(read("Disc, diameter 10, thickness 5, N42").direction, None);
}

#[test]
fn what_one_text_lacks_another_may_say() {
    let both = read("Ring 40/20 x 10 mm").or(read("N42 disc 10 x 5 gold"));
    assert_eq!(both.sizes.len(), 3);
    assert_eq!(
        (both.shape, both.grade.as_deref()),
        (Some(ShapeWord::Ring), Some("N42"))
    );
    assert_eq!(both.coating.as_deref(), Some("gold over nickel"));
}

proptest::proptest! {
    #[test]
    fn any_text_is_read_or_not_and_none_panics(
        text in "\\PC{0,80}",
        near in "(Ring|disc|Ø|N42|Ni|x|/| |mm|in|[0-9.,]{1,6}|M|±|-|hole|h){0,14}",
    ) {
        for text in [text, near] {
            let told = read(&text);
            assert!(told.sizes.len() <= 3 && told.sizes.iter().all(|part| part.metres > 0.0));
        }
    }
}
