use super::*;

#[test]
fn the_file_reads_and_every_row_names_its_source() {
    let file: Rules = toml::from_str(include_str!("../../data/rules.toml")).unwrap();
    assert_eq!(
        (file.rule.len(), file.way.len()),
        (rules().rule.len(), rules().way.len())
    );
    for rule in &file.rule {
        assert!(
            !rule.clause.is_empty() && !rule.source.is_empty() && rule.distance > 2.0,
            "{}",
            rule.name
        );
        assert!(rule.beyond > Carriage::Free, "{}", rule.name);
    }
    for beyond in [Carriage::Ask, Carriage::Declared, Carriage::Never] {
        assert!(file.rule.iter().any(|rule| rule.beyond == beyond), "{beyond:?}");
    }
    assert!(
        file.way
            .iter()
            .all(|way| !way.source.is_empty() && !way.text.is_empty())
    );
}

/// 0.002 G at 7 ft; 0.00525 G at 15 ft (49 CFR 173.21(d)), in tesla, and metres that are not further away than feet.
#[test]
fn limits_are_those_of_the_regulations() {
    let limits: Vec<(f64, f64)> = rules().rule.iter().map(|rule| (rule.distance, rule.most)).collect();
    let close = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-9;
    for (distance, gauss) in [(2.1, 0.002), (2.1, 0.00525), (4.5, 0.00525), (4.6, 0.00525)] {
        let found = limits.iter().any(|(d, b)| *d == distance && close(*b, gauss * 1e-4));
        assert!(found, "{distance} m, {gauss} G: {limits:?}");
    }
    for (metres, feet) in [(4.5, 15.0), (2.1, 7.0)] {
        assert!(metres < feet * 0.3048, "{metres} m, {feet} ft");
    }
}
