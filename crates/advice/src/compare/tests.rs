use super::*;
use crate::fixture::{breaks, catalogue, disc};

fn compared(json: &str, shelf: &[Item]) -> Compared {
    compare(&serde_json::from_str(json).unwrap(), shelf, &catalogue()).unwrap()
}

fn dear(code: &str, diameter: f64, thickness: f64, grade: &str, each: i64) -> Item {
    Item {
        grade: grade.into(),
        prices: breaks(&[(1, each)]),
        ..disc(code, diameter, thickness)
    }
}

#[test]
fn a_dearer_grade_is_set_beside_the_cheaper_one() {
    let shelf = [dear("a", 20.0, 5.0, "N42", 10_000), dear("b", 20.0, 5.0, "N52", 15_000)];
    let found = compared(r#"{"kind":"compare","magnets":[{"code":"a"},{"code":"b"}]}"#, &shelf);
    let Advice::Better {
        best,
        than,
        gain,
        dearer,
        per_money,
    } = found.advice
    else {
        panic!("{:?}", found.advice);
    };
    assert_eq!((best, than, per_money), (1, 0, Some(0)));
    // On thick steel the pull goes with no more than the square of the remanence: 1.43 and 1.30 T.
    assert!((0.05..0.25).contains(&gain), "{gain}");
    assert!((dearer.unwrap() - 0.5).abs() < 1e-9);
}

#[test]
fn a_stack_is_set_beside_the_solid_piece_of_its_height() {
    let shelf = [
        dear("solid", 10.0, 6.0, "N42", 9_000),
        dear("thin", 10.0, 3.0, "N42", 4_000),
    ];
    let json = r#"{"kind":"compare","magnets":[{"code":"thin","count":2},{"code":"solid"}]}"#;
    let Advice::SolidOrStack {
        solid,
        stack,
        loses,
        dearer,
    } = compared(json, &shelf).advice
    else {
        panic!("a stack");
    };
    assert_eq!((solid, stack), (1, 0));
    assert!(loses > 0.0 && loses < 0.05, "{loses}");
    assert!((dearer.unwrap() + 1.0 / 9.0).abs() < 1e-9);
}

#[test]
fn grades_without_a_size_are_compared_in_a_size_of_the_shelf() {
    let shelf = [dear("a", 20.0, 5.0, "N42", 10_000)];
    let found = compared(
        r#"{"kind":"compare","magnets":[{"grade":"N42"},{"grade":"N52"}]}"#,
        &shelf,
    );
    assert!(found.size_assumed && found.columns[0].given.stocked && !found.columns[1].given.stocked);
    let borrowed = compared(
        r#"{"kind":"compare","magnets":[{"shape":"disc","size_mm":[12,12],"grade":"N42"},{"grade":"ferrite"}]}"#,
        &shelf,
    );
    assert!(!borrowed.size_assumed);
    let [neodymium, ferrite] = &borrowed.columns[..] else {
        panic!("two");
    };
    assert_eq!(neodymium.given.item.shape, ferrite.given.item.shape);
    // So long a piece stands its own field, and on thick steel the pull goes with the square of the remanence.
    let materials = catalogue();
    let br = |c: &Column| materials.grade_of(&c.given.item).unwrap().br_typical;
    let by_remanence = (br(neodymium) / br(ferrite)).powi(2);
    let found = neodymium.pull.mid / ferrite.pull.mid;
    assert!((found / by_remanence - 1.0).abs() < 0.2, "{found} for {by_remanence}");
}

#[test]
fn one_alone_is_set_beside_other_grades_of_its_size() {
    let found = compared(
        r#"{"kind":"compare","magnets":[{"shape":"disc","size_mm":[12,3],"grade":"N52"}]}"#,
        &[],
    );
    let grades: Vec<&str> = found.columns.iter().map(|c| c.given.item.grade.as_str()).collect();
    assert_eq!(grades, ["N52", "N35", "N42"]);
}

#[test]
fn the_lightest_and_the_one_that_stands_most_win_where_that_is_asked() {
    let magnets = r#""magnets":[{"shape":"disc","size_mm":[20,5],"grade":"N42"},{"shape":"disc","size_mm":[20,3],"grade":"N42SH"}]"#;
    for about in ["weight", "heat"] {
        let found = compared(&format!(r#"{{"kind":"compare","about":["{about}"],{magnets}}}"#), &[]);
        assert!(
            matches!(found.advice, Advice::Better { best: 1, .. }),
            "{about}: {:?}",
            found.advice
        );
    }
}

#[test]
fn equals_are_said_to_be_equal() {
    let shelf = [dear("a", 20.0, 5.0, "N42", 10_000), dear("b", 20.0, 5.0, "N42", 8_000)];
    let found = compared(r#"{"kind":"compare","magnets":[{"code":"a"},{"code":"b"}]}"#, &shelf);
    assert_eq!(found.advice, Advice::Same { cheapest: Some(1) });
}

#[test]
fn too_many_and_none_are_errors() {
    let error = |json: &str| {
        compare(&serde_json::from_str(json).unwrap(), &[], &catalogue())
            .unwrap_err()
            .field
    };
    assert_eq!(error(r#"{"kind":"compare"}"#), "/magnets");
    let nine = [r#"{"size_mm":[20,5]}"#; 9].join(",");
    assert_eq!(
        error(&format!(r#"{{"kind":"compare","magnets":[{nine}]}}"#)),
        "/magnets"
    );
}

/// The best is set beside the next best that costs less: what is weaker and dearer is no choice.
#[test]
fn the_best_is_set_beside_what_costs_less() {
    let shelf = [
        dear("a", 20.0, 5.0, "N42", 10_000),
        dear("b", 20.0, 5.0, "N52", 15_000),
        dear("c", 20.0, 5.0, "N48", 20_000),
    ];
    let magnets = r#"[{"code":"a"},{"code":"b"},{"code":"c"}]"#;
    let found = compared(&format!(r#"{{"kind":"compare","magnets":{magnets}}}"#), &shelf);
    assert!(
        matches!(found.advice, Advice::Better { best: 1, than: 0, .. }),
        "{:?}",
        found.advice
    );
}
