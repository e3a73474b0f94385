use super::*;

fn fields(headings: &[&str]) -> Vec<Option<Field>> {
    let headings: Vec<String> = headings.iter().map(|heading| (*heading).to_owned()).collect();
    columns(&headings).into_iter().map(|column| column.field).collect()
}

const fn price(from: u64) -> Option<Field> {
    Some(Field::Price { from, per: 1 })
}

#[test]
fn headings_in_six_languages() {
    use Field::*;
    let expected = [
        Code,
        Name,
        Shape,
        Diameter,
        InnerDiameter,
        Length,
        Width,
        Thickness,
        Grade,
        Coating,
        Stock,
        Note,
    ]
    .map(Some);
    for list in [
        [
            "Item code",
            "Description",
            "Shape",
            "OD (mm)",
            "Hole (mm)",
            "Length (mm)",
            "Width (mm)",
            "Thickness [mm]",
            "Grade",
            "Plating",
            "In stock",
            "Remarks",
        ],
        [
            "Artikel-Nr.",
            "Bezeichnung",
            "Form",
            "Außendurchmesser",
            "Innen-Ø",
            "Länge",
            "Breite",
            "Höhe (mm)",
            "Güte",
            "Beschichtung",
            "Lagerbestand",
            "Bemerkung",
        ],
        [
            "Référence",
            "Désignation",
            "Forme",
            "Diamètre extérieur",
            "Diamètre intérieur",
            "Longueur",
            "Largeur",
            "Épaisseur",
            "Nuance",
            "Revêtement",
            "Quantité en stock",
            "Remarques",
        ],
        [
            "Código",
            "Descripción",
            "Forma",
            "Diámetro exterior",
            "Diámetro interior",
            "Largo",
            "Ancho",
            "Espesor",
            "Calidad",
            "Recubrimiento",
            "Existencias",
            "Observaciones",
        ],
        [
            "Codice",
            "Descrizione",
            "Forma",
            "Diametro esterno",
            "Diametro interno",
            "Lunghezza",
            "Larghezza",
            "Spessore",
            "Grado",
            "Rivestimento",
            "Giacenza",
            "Nota",
        ],
        [
            "Artikelcode",
            "Omschrijving",
            "Vorm",
            "Buitendiameter",
            "Binnendiameter",
            "Lengte",
            "Breedte",
            "Dikte",
            "Kwaliteit",
            "Deklaag",
            "Voorraad",
            "Opmerking",
        ],
    ] {
        assert_eq!(fields(&list), expected, "{list:?}");
    }
}

#[test]
fn units_stand_in_brackets_or_last() {
    for (heading, field, label) in [
        ("Ø (mm)", Field::Diameter, "mm"),
        ("thickness [in]", Field::Thickness, "in"),
        ("mass g", Field::Mass, "g"),
        ("Dicke/mm", Field::Thickness, "mm"),
        ("Stärke, cm", Field::Thickness, "cm"),
        ("diameter in mm", Field::Diameter, "mm"),
        ("diameter in", Field::Diameter, "in"),
        ("Ø mm", Field::Diameter, "mm"),
        ("Weight (kg)", Field::Mass, "kg"),
        ("Gewicht [G]", Field::Mass, "g"),
        ("Tolerance ± (mm)", Field::Tolerance, "mm"),
        ("size (inches)", Field::Size, "in"),
        ("thickness_mm", Field::Thickness, "mm"),
        ("W (mm)", Field::Width, "mm"),
    ] {
        let column = column(heading);
        assert_eq!(
            (column.field, column.unit.map(Unit::label)),
            (Some(field), Some(label)),
            "{heading}"
        );
    }
}

#[test]
fn prices_with_their_quantities() {
    for (heading, from) in [
        ("price", 1),
        ("price 1", 1),
        ("Price 10+", 10),
        ("price from 100", 100),
        ("10 pcs", 10),
        ("€/100", 100),
        ("ab 100 Stk", 100),
        ("Preis ab 1.000 St.", 1_000),
        ("1,000+", 1_000),
        ("50-99 pcs", 50),
        ("Prix unitaire", 1),
        ("prezzo da 50 pz", 50),
        ("vanaf 25", 25),
        ("precio (EUR)", 1),
        ("qty 500", 500),
        ("500", 500),
        ("VK netto", 1),
        ("100pcs", 100),
    ] {
        assert_eq!(fields(&[heading]), [price(from)], "{heading}");
    }
    assert_eq!(fields(&["price per 100"]), [Some(Field::Price { from: 1, per: 100 })]);
    assert_eq!(
        fields(&["Preis pro 1000 Stück"]),
        [Some(Field::Price { from: 1, per: 1_000 })]
    );
    assert_eq!(column("price (USD)").currency, Some(Currency::USD));
    assert_eq!(column("€ from 10").currency, Some(Currency::EUR));
}

#[test]
fn letters_depend_on_the_other_columns() {
    use Field::*;
    assert_eq!(
        fields(&["ID", "OD", "H"]),
        [InnerDiameter, Diameter, Thickness].map(Some)
    );
    assert_eq!(fields(&["ID", "shape", "grade"]), [Code, Shape, Grade].map(Some));
    assert_eq!(
        fields(&["code", "D", "d", "h"]),
        [Code, Diameter, InnerDiameter, Thickness].map(Some)
    );
    assert_eq!(fields(&["code", "d", "t"]), [Code, Diameter, Thickness].map(Some));
    assert_eq!(
        fields(&["code", "L", "W", "T"]),
        [Code, Length, Width, Thickness].map(Some)
    );
}

#[test]
fn other_fields() {
    use Field::*;
    for (heading, field) in [
        ("MOQ", LeastOrder),
        ("Mindestbestellmenge", LeastOrder),
        ("direction of magnetisation", Magnetised),
        ("Magnetisierungsrichtung", Magnetised),
        ("Size", Size),
        ("Abmessungen (mm)", Size),
        ("Tolerance", Tolerance),
        ("URL", Link),
        ("stock code", Code),
        ("quantity in stock", Stock),
        ("Magnet grade (NdFeB)", Grade),
    ] {
        assert_eq!(fields(&[heading]), [Some(field)], "{heading}");
    }
    assert_eq!(fields(&["colour", "", "EAN"]), [None, None, None]);
}

#[test]
fn the_second_column_of_a_field_is_not_read() {
    let columns = columns(&["code".to_owned(), "thickness".to_owned(), "height".to_owned()]);
    assert_eq!(columns[2].field, None);
    assert_eq!(
        columns[2].remark.as_deref(),
        Some("not read, because \"thickness\" is the thickness already")
    );
}

#[test]
fn no_name_stands_for_two_fields() {
    let mut seen: HashMap<&Vec<String>, Field> = HashMap::new();
    for (name, field) in &LEXICON.fields {
        let before = seen.insert(name, *field);
        assert!(
            before.is_none_or(|before| before == *field),
            "{name:?}: {before:?} and {field:?}"
        );
    }
}

proptest::proptest! {
    #[test]
    fn never_panics(heading in "\\PC{0,40}", letters in "[a-zØ€()\\[\\] /,0-9+-]{0,20}") {
        columns(&[heading, letters]);
    }
}
