use super::*;
use crate::enquiry::Enquiry;
use crate::fixture::{catalogue, disc};
use crate::item::Item;
use crate::view::compare as side_by_side;
use crate::view::text::plain;
use quantity::{Currency, Units};

const ALL: [&str; 18] = [
    "pull",
    "field",
    "face_field",
    "distance_for_field",
    "heat",
    "weight",
    "fly",
    "toy",
    "steel_mm",
    "machine",
    "price",
    "corrosion",
    "keep_away",
    "jump",
    "moment",
    "danger",
    "value",
    "card",
];

fn shelf() -> Vec<Item> {
    vec![disc("a", 20.0, 5.0), disc("b", 10.0, 5.0)]
}

fn reader() -> Reader {
    Reader {
        units: Units::metric(),
        currency: Currency::EUR,
    }
}

fn shown(about: &str, question: &str, magnet: &str) -> TellView {
    let json = format!(r#"{{"kind":"tell","about":["{about}"],"question":{question},"magnets":[{magnet}]}}"#);
    let enquiry: Enquiry = serde_json::from_str(&json).unwrap();
    let catalogue = catalogue();
    let told = crate::tell::tell(&enquiry, &shelf(), &catalogue).unwrap();
    view(&told, &told.curves(&catalogue), &reader())
}

fn sound(text: &str) {
    for odd in ["NaN", "inf", "  ", "**", "__", "{", "}", "None", ". .", ".."] {
        assert!(!text.contains(odd), "{odd:?} in {text:?}");
    }
    assert!(!text.trim().is_empty());
}

#[test]
fn every_thing_has_a_lead_figures_and_cautions_that_read_well() {
    for magnet in [
        r#"{"code":"a"}"#,
        r#"{"shape":"ring","size_mm":[20,10,5],"grade":"ferrite","count":3}"#,
        r#"{"shape":"block","size_mm":[20,10,5],"pair":true}"#,
        r#"{"shape":"sphere","size_mm":[10]}"#,
    ] {
        for about in ALL {
            let view = shown(about, r#"{"pieces":100}"#, magnet);
            sound(&plain(&view.lead));
            assert!(plain(&view.lead).ends_with('.'), "{about}: {}", plain(&view.lead));
            assert!(!plain(&view.lead).contains("nothing was found"), "{about} {magnet}");
            assert!(!view.figures.is_empty(), "{about} {magnet}");
            for row in &view.figures {
                sound(&row.label);
                sound(&row.value);
            }
            assert!(!view.cautions.is_empty() && !view.next.is_empty());
        }
    }
}

#[test]
fn cautions_are_there_where_they_must_be() {
    let text = |about: &str, question: &str, magnet: &str| {
        let view = shown(about, question, magnet);
        let rows: Vec<String> = view
            .figures
            .iter()
            .map(|r| format!("{} {} {}", r.label, r.value, plain(&r.remark)))
            .collect();
        let cautions: Vec<String> = view
            .cautions
            .iter()
            .map(|c| format!("{} [{}]", plain(&c.runs), c.rule))
            .collect();
        format!("{} {} {}", plain(&view.lead), rows.join(" "), cautions.join(" "))
    };
    let small = r#"{"shape":"disc","size_mm":[5,3],"grade":"N42"}"#;
    for (about, question, magnet, words) in [
        (
            "toy",
            "{}",
            small,
            &["16 CFR 1262.3", "accredited laboratory", "swallow"][..],
        ),
        (
            "fly",
            r#"{"pieces":1000}"#,
            r#"{"code":"a"}"#,
            &["IATA", "49 CFR 173.21(d)", "carrier"][..],
        ),
        ("keep_away", "{}", small, &["2013/35/EU", "doctor"][..]),
        ("danger", "{}", r#"{"code":"a"}"#, &["pinched", "2013/35/EU"][..]),
        ("machine", "{}", small, &["burns", "brittle"][..]),
        (
            "heat",
            r#"{"conditions":{"warmest":"150 °C"}}"#,
            small,
            &["permanently"][..],
        ),
        (
            "corrosion",
            r#"{"conditions":{"surroundings":"outdoors"}}"#,
            small,
            &["outdoors", "does not last"][..],
        ),
    ] {
        let text = text(about, question, magnet).replace('\u{a0}', " ");
        for word in words {
            assert!(text.contains(word), "{about} lacks {word:?}: {text}");
        }
    }
}

#[test]
fn a_load_that_is_said_is_judged_at_the_low_end() {
    let lead = |load: &str| {
        let question = format!(r#"{{"need":{{"verb":"hold","load":"{load}","steel":{{"thickness":"3 mm"}}}}}}"#);
        plain(&shown("pull", &question, r#"{"code":"a"}"#).lead)
    };
    assert!(
        lead("1 kg").contains("That is enough for 1\u{a0}kg"),
        "{}",
        lead("1 kg")
    );
    assert!(lead("90 kg").contains("That is not enough"), "{}", lead("90 kg"));
    // Nothing is said of a load that nobody named.
    assert!(!plain(&shown("pull", "{}", r#"{"code":"a"}"#).lead).contains("enough"));
}

#[test]
fn comparisons_read_well() {
    let catalogue = catalogue();
    for magnets in [
        r#"{"code":"a"},{"code":"b"}"#,
        r#"{"grade":"N42"},{"grade":"N52"},{"grade":"ferrite"}"#,
        r#"{"shape":"disc","size_mm":[10,2.5],"grade":"N42","count":2},{"code":"b"}"#,
        r#"{"code":"a"},{"code":"a"}"#,
    ] {
        for about in ["pull", "field", "heat", "weight", "value"] {
            let json = format!(r#"{{"kind":"compare","about":["{about}"],"magnets":[{magnets}]}}"#);
            let found = crate::compare::compare(&serde_json::from_str(&json).unwrap(), &shelf(), &catalogue).unwrap();
            let view = side_by_side::view(&found, &reader());
            sound(&plain(&view.lead));
            for row in &view.rows {
                sound(&row.label);
                assert_eq!(row.cells.len(), view.columns.len());
                assert!(row.best.is_none_or(|k| k < row.cells.len()));
                row.cells.iter().for_each(|cell| sound(cell));
            }
        }
    }
}

/// What was asked stands first and decides; the rest keeps its order, whatever was asked.
#[test]
fn what_was_asked_for_heads_a_comparison() {
    let catalogue = catalogue();
    let labels = |about: &str| -> Vec<String> {
        let json = format!(r#"{{"kind":"compare","about":[{about}],"magnets":[{{"code":"a"}},{{"code":"b"}}]}}"#);
        let found = crate::compare::compare(&serde_json::from_str(&json).unwrap(), &shelf(), &catalogue).unwrap();
        side_by_side::view(&found, &reader())
            .rows
            .into_iter()
            .map(|row| row.label)
            .collect()
    };
    let usual = labels("");
    assert_eq!(usual[0], "pull on thick mild steel");
    for (about, first) in [
        (r#""pull""#, vec!["pull on thick mild steel"]),
        (r#""heat""#, vec!["max. working temperature"]),
        (r#""weight""#, vec!["weight"]),
        (r#""face_field""#, vec!["field at its face"]),
        (r#""weight","price""#, vec!["weight", "price each"]),
    ] {
        let got = labels(about);
        assert_eq!(got[..first.len()], first, "{about}: {got:?}");
        let rest: Vec<&String> = got[first.len()..].iter().collect();
        let kept: Vec<&String> = usual.iter().filter(|label| !first.contains(&label.as_str())).collect();
        assert_eq!(rest, kept, "{about}");
    }
}

#[test]
fn a_distance_that_is_asked_for_is_marked_on_the_curve() {
    let pair = shown(
        "pull",
        r#"{"need": {"verb": "pull_together", "gap": "10 mm"}}"#,
        r#"{"shape": "disc", "size_mm": [20, 5], "grade": "N42"}"#,
    );
    assert_eq!(pair.charts[0].here.as_ref().map(|here| here.x), Some(10.0));
    let spot = shown(
        "field",
        r#"{"need": {"distance": "30 mm"}}"#,
        r#"{"shape": "disc", "size_mm": [20, 5], "grade": "N42"}"#,
    );
    assert_eq!(spot.charts[0].here.as_ref().map(|here| here.x), Some(30.0));
    let bare = shown("pull", "{}", r#"{"shape": "disc", "size_mm": [20, 5], "grade": "N42"}"#);
    assert!(bare.charts[0].here.is_none());
}

#[test]
fn thick_steel_is_assumed_only_where_a_pull_on_it_is_told() {
    let assumes = |question: &str, pair: bool| {
        let magnet = format!(r#"{{"shape": "disc", "size_mm": [20, 5], "grade": "N42", "pair": {pair}}}"#);
        let told = shown("pull", question, &magnet);
        told.assumed
            .iter()
            .any(|runs| plain(runs).contains("steel thick enough"))
    };
    assert!(assumes(r#"{"need": {"direction": "straight_off"}}"#, false));
    assert!(assumes(r#"{"need": {"gap": "10 mm"}}"#, false));
    assert!(!assumes(r#"{"need": {"steel": {"thickness": "2 mm"}}}"#, false));
    assert!(!assumes(r#"{"need": {"gap": "10 mm"}}"#, true));
}
