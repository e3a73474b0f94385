use proptest::prelude::*;
use quantity::{Currency, Length};

use super::*;
use crate::answer::{Answer, Predicted, ShelfStamp};
use crate::fixture::{ask, ball, block, catalogue, disc, question, questions, ring, shelves};
use crate::question::Question;
use crate::search::answer;

fn shortfall_of(json: &str, shelf: &[Item]) -> (Answer, Shortfall) {
    let got = ask(json, shelf);
    let short = got.shortfall.clone().unwrap();
    (got, short)
}

fn shelf() -> Vec<Item> {
    vec![
        disc("a", 10.0, 2.0),
        disc("b", 10.0, 5.0),
        ring("r", 12.0, 5.0, 3.0),
        block("k", 10.0, 5.0, 2.0),
        ball("s", 8.0),
    ]
}

#[test]
fn the_best_is_the_strongest_that_keeps_the_limits() {
    let q = r#"{"need": {"verb": "hold", "load": "500 N"}, "limits": {"stack": 2, "tallest": "7 mm"}}"#;
    let (_, short) = shortfall_of(q, &shelf());
    let best = short.best.unwrap();
    assert_eq!((best.item.code.as_str(), best.build.pieces), ("r", 2));
    assert!((best.reaches - best.band.low / 750.0).abs() <= 1e-12);
}

#[test]
fn as_many_share_the_load_as_hold_it_together() {
    let at = |load: &str, shared: u32| {
        let q = format!(
            r#"{{"need": {{"verb": "hold", "load": "{load}", "safety_factor": 1.0, "shared_by": {shared}}}, "limits": {{"stack": 1}}}}"#
        );
        let (_, short) = shortfall_of(&q, &[disc("b", 10.0, 5.0)]);
        let low = short.best.as_ref().unwrap().band.low;
        let share = short.would_do.iter().find_map(|w| match w {
            WouldDo::Share { builds, .. } => Some(*builds),
            _ => None,
        });
        (low, share)
    };
    // Beside others each may lose a quarter of its pull.
    let (low, share) = at("100 N", 1);
    assert_eq!(share, Some((100.0 / (0.75 * low)).ceil() as u32));
    let (low, share) = at("200 N", 2);
    assert_eq!(share, Some((200.0 / (0.75 * low)).ceil() as u32));
    assert_eq!(at("100 kN", 1).1, None);
}

#[test]
fn thicker_steel_is_as_thick_as_it_says() {
    let q = |mm: f64| {
        format!(
            r#"{{"need": {{"verb": "hold", "load": "19 N", "safety_factor": 1.0, "steel": {{"material": "mild steel", "thickness": {mm}e-3}}}}, "limits": {{"stack": 1}}}}"#
        )
    };
    let (_, short) = shortfall_of(&q(0.5), &[disc("b", 10.0, 5.0)]);
    let way = short.would_do.iter().find_map(|w| match w {
        WouldDo::ThickerSteel {
            thickness,
            value,
            enough,
        } => Some((*thickness, *value, *enough)),
        _ => None,
    });
    let (thickness, value, enough) = way.unwrap();
    assert!(enough);
    let on_it = &ask(&q(thickness * 1e3), &[disc("b", 10.0, 5.0)]).candidates[0];
    assert!((on_it.band.mid / value - 1.0).abs() <= 1e-9);
}

/// Another grade loses what that grade loses in the heat, and not what the one on the shelf did.
#[test]
fn another_grade_gives_what_asking_for_it_gives() {
    let mut said = 0;
    for (warmest, load) in [
        ("20 °C", 60.0),
        ("70 °C", 22.0),
        ("75 °C", 22.0),
        ("110 °C", 22.0),
        ("-40 °C", 60.0),
    ] {
        let q = format!(
            r#"{{"need": {{"verb": "hold", "load": "{load} N", "safety_factor": 1}}, "conditions": {{"warmest": "{warmest}"}}, "limits": {{"stack": 1}}}}"#
        );
        for item in [disc("a", 10.0, 5.0), disc("b", 10.0, 3.5), disc("c", 12.0, 3.0)] {
            let short = ask(&q, std::slice::from_ref(&item)).shortfall;
            for way in short.iter().flat_map(|short| &short.would_do) {
                let WouldDo::OtherGrade { grade, value, .. } = way else {
                    continue;
                };
                let stronger = Item {
                    grade: grade.clone(),
                    ..item.clone()
                };
                let question = question(&q);
                let known = catalogue();
                let criteria = Criteria::new(&question, &known);
                let prediction = criteria.prediction(&stronger, criteria.task).unwrap();
                let asked = criteria.in_use(&prediction, 1).unwrap().value().unwrap();
                assert_eq!(asked, *value, "{grade} at {warmest}");
                said += 1;
            }
        }
    }
    assert!(said > 3, "{said}");
}

/// Two magnets that face each other double the field along the axis half-way between.
#[test]
fn one_on_each_side_doubles_the_part_along_the_axis() {
    let q = r#"{"need": {"verb": "reach_field", "field": "300 mT", "distance": "5 mm", "off_axis": "3 mm"}, "limits": {"stack": 1}}"#;
    let (_, short) = shortfall_of(q, &[disc("b", 10.0, 5.0)]);
    let best = short.best.as_ref().unwrap();
    let both = short.would_do.iter().find_map(|w| match w {
        WouldDo::BothSides { value, .. } => Some(*value),
        _ => None,
    });
    assert!(both.unwrap() < 2.0 * best.band.mid, "the parts across the axis cancel");
    let far = r#"{"need": {"verb": "reach_field", "field": "300 mT", "distance": "5 mm",
        "no_more_than": {"field": "50 mT", "distance": "30 mm"}}}"#;
    let (_, short) = shortfall_of(far, &[disc("b", 10.0, 5.0)]);
    assert!(!short.would_do.iter().any(|w| matches!(w, WouldDo::BothSides { .. })));
}

#[test]
fn a_custom_disc_suits_the_place_and_the_heat() {
    let q = r#"{"need": {"verb": "hold", "load": "100 N"}, "conditions": {"warmest": "120 °C", "surroundings": "outdoors"}}"#;
    let (_, short) = shortfall_of(q, &[]);
    let custom = short.would_do.iter().find_map(|w| match w {
        WouldDo::Custom {
            grade,
            low,
            breaks_limits,
            ..
        } => Some((grade.clone(), *low, *breaks_limits)),
        _ => None,
    });
    let (grade, low, breaks_limits) = custom.unwrap();
    assert!(catalogue().grades.get(&grade).unwrap().max_service_celsius >= 120.0);
    assert!(low >= 150.0 && !breaks_limits);
    let ring_only = r#"{"need": {"verb": "hold", "load": "100 N"}, "limits": {"hole": "3 mm"}}"#;
    assert!(
        !shortfall_of(ring_only, &[])
            .1
            .would_do
            .iter()
            .any(|w| matches!(w, WouldDo::Custom { .. }))
    );
}

#[test]
fn no_flat_face_has_more_than_half_its_remanence() {
    let q = r#"{"need": {"verb": "face_field", "field": "2 T"}}"#;
    let flat: Vec<Item> = [(5.0, 50.0), (10.0, 5.0), (20.0, 40.0), (3.0, 30.0)]
        .iter()
        .flat_map(|&(d, t)| [disc("d", d, t), ring("r", d, d / 3.0, t), block("b", d, d, t)])
        .map(|item| Item {
            grade: "N52".into(),
            ..item
        })
        .collect();
    let (got, short) = shortfall_of(q, &flat);
    let ceiling = short.ceiling.unwrap();
    assert_eq!(ceiling.law, CeilingLaw::HalfRemanence);
    let strongest = catalogue().grades.get(&ceiling.grade).unwrap().br_max;
    assert!((ceiling.value - strongest / 2.0).abs() <= 1e-12);
    assert!(short.best.unwrap().band.mid < ceiling.value && got.candidates.is_empty());
}

/// No grade at all may have a remanence above the one that bounds, whatever its usual one is.
#[test]
fn the_ceiling_is_that_of_the_highest_remanence() {
    let q = r#"{"need": {"verb": "face_field", "field": "2 T"}}"#;
    let (_, short) = shortfall_of(q, &[disc("d", 10.0, 5.0)]);
    let catalogue = catalogue();
    let grades = catalogue.grades.rows().iter().filter(|g| g.family != Family::AlNiCo);
    let highest = grades.map(|g| g.br_max).fold(0.0, f64::max);
    assert!((short.ceiling.unwrap().value - highest / 2.0).abs() <= 1e-12);
}

/// On the axis of an endless square rod: `B = J/π asin(a²/(a² + d²))` with half side a, from the solid angle of a
/// square; half the remanence at contact, and 5 mm above a face of 10 mm a third of it.
#[test]
fn an_endless_rod_bounds_the_field() {
    let at = |mm: u32| {
        let q = format!(
            r#"{{"need": {{"verb": "reach_field", "field": "2 T", "distance": "{mm} mm"}}, "limits": {{"widest": "10 mm"}}}}"#
        );
        let (_, short) = shortfall_of(&q, &[block("b", 10.0, 10.0, 40.0)]);
        (short.ceiling.unwrap(), short.best.unwrap().band.mid)
    };
    let (contact, _) = at(0);
    let (above, best) = at(5);
    assert_eq!(above.law, CeilingLaw::EndlessRod);
    assert!((above.value / contact.value - 1.0 / 3.0).abs() <= 1e-12);
    assert!(best < above.value && best > 0.8 * above.value);
}

/// Whether asking for so many pieces of an item finds that they surely do.
fn surely_does(asked: &Question, item: &Item, pieces: u32) -> bool {
    let known = catalogue();
    let criteria = Criteria::new(asked, &known);
    let prediction = criteria.prediction(item, criteria.task).unwrap();
    matches!(criteria.low_if_sure(&prediction, pieces), Ok(Some(_)))
}

/// What is said of stacks is said of stacks: fourteen stacks of eight are not fourteen pieces.
#[test]
fn what_shares_a_load_is_named_with_its_stacks() {
    let q = r#"{"need": {"verb": "hold", "load": "400 N", "safety_factor": 1}, "limits": {"stack": 3}}"#;
    let (answer, short) = shortfall_of(q, &[disc("flat", 10.0, 2.0)]);
    let way = short
        .would_do
        .iter()
        .find(|w| matches!(w, WouldDo::Share { .. }))
        .unwrap();
    let WouldDo::Share { build, builds, .. } = way else {
        panic!("{way:?}")
    };
    assert_eq!(build.pieces, 3);
    let view = crate::view::answer::view(&answer, &quantity::Units::metric());
    let said: Vec<String> = view
        .shortfall
        .unwrap()
        .would_do
        .iter()
        .map(|runs| crate::view::text::plain(runs))
        .collect();
    let stacks = format!("{builds} stacks of three discs");
    assert!(said.iter().any(|text| text.contains(&stacks)), "{said:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn what_would_do_does_and_nothing_passes_the_ceiling(q in questions(), shelf in shelves()) {
        let catalogue = catalogue();
        let stamp = ShelfStamp { revision: 1, version: "test".into(), currency: Currency::EUR };
        let Ok(got) = answer(&q, &shelf, &catalogue, stamp, &|| true) else { return Ok(()) };
        let Some(short) = got.shortfall else { return Ok(()) };
        let criteria = Criteria::new(&q, &catalogue);
        let need = criteria.need.at_least;
        // The best of all allowed builds, one by one.
        let (mut strongest, mut slack) = (None::<f64>, 0.0);
        for item in &shelf {
            let Some(prediction) = criteria.prediction(item, criteria.task) else { continue };
            if !criteria.item_rules(&prediction).is_empty() {
                continue;
            }
            slack = prediction.slack();
            for n in (1..=criteria.stack_limit()).filter(|&n| criteria.build_rules(&prediction, n).is_empty()) {
                let in_use = criteria.in_use(&prediction, n).unwrap();
                // At the thick end of its plating no magnet may be left.
                let Ok(value) = in_use.band().map(|band| band.mid) else { continue };
                let reaches = value / criteria.needed(&prediction, n);
                strongest = Some(strongest.unwrap_or(0.0).max(reaches));
            }
        }
        prop_assert_eq!(short.best.is_some(), strongest.is_some());
        if let (Some(best), Some(most)) = (&short.best, strongest) {
            let prediction = criteria.prediction(&best.item, criteria.task).unwrap();
            let reaches = best.band.mid / criteria.needed(&prediction, best.build.pieces);
            prop_assert!(reaches >= (1.0 - slack) * most && reaches <= (1.0 + 1e-9) * most);
        }
        if let Some(ceiling) = &short.ceiling {
            for item in &shelf {
                let Some(prediction) = criteria.prediction(item, criteria.task) else { continue };
                let ball = matches!(item.shape, Shape::Sphere { .. }) && criteria.need.quantity == Predicted::FluxDensity;
                if !ball && criteria.item_rules(&prediction).is_empty() {
                    // A coating may leave no magnet.
                    let passes = prediction.undiminished(8).value().is_ok_and(|value| value > ceiling.value);
                    prop_assert!(!passes, "{item:?} {ceiling:?}");
                }
            }
        }
        for way in &short.would_do {
            match way {
                WouldDo::Custom { diameter, thickness, grade, low, breaks_limits } => {
                    let grade = catalogue.grades.get(grade).unwrap();
                    let item = disc("", diameter * 1e3, thickness * 1e3);
                    prop_assert!(*low >= need);
                    prop_assert!(grade.max_service_celsius >= criteria.celsius);
                    let limits = &q.limits;
                    let over = |limit: Option<Length>, has: f64| limit.is_some_and(|l| has > l.si() + 1e-6);
                    let under = |limit: Option<Length>, has: f64| limit.is_some_and(|l| has < l.si() - 1e-6);
                    let broken = over(limits.widest, *diameter) || under(limits.narrowest, *diameter)
                        || over(limits.tallest, *thickness) || under(limits.shortest, *thickness);
                    prop_assert!(*breaks_limits || !broken, "{item:?}");
                }
                WouldDo::Share {
                    builds, item, build, ..
                } => {
                    let Need::Hold { shared_by, .. } = q.need else { return Err(TestCaseError::fail("only loads are shared")) };
                    let best = short.best.as_ref().unwrap();
                    let prediction = criteria.prediction(&best.item, criteria.task).unwrap();
                    let own = criteria.needed(&prediction, best.build.pieces) - need;
                    // Like poles in a row take up to a fifth from each other.
                    prop_assert!(f64::from(*builds) * (0.8 * best.band.low - own) >= need * f64::from(shared_by) * (1.0 - 1e-12));
                    prop_assert!(*builds > shared_by);
                    let mut asked = q.clone();
                    if let Need::Hold { shared_by, .. } = &mut asked.need {
                        *shared_by = *builds;
                    }
                    prop_assert!(surely_does(&asked, item, build.pieces), "{builds} of {build:?} of {item:?}");
                }
                WouldDo::OtherGrade { grade, value, enough } => {
                    let best = short.best.as_ref().unwrap();
                    let stronger = Item { grade: grade.clone(), ..best.item.clone() };
                    prop_assert!(value.is_finite());
                    prop_assert_eq!(*enough, surely_does(&q, &stronger, best.build.pieces), "{:?}", stronger);
                }
                WouldDo::ThickerSteel { thickness, value, enough } => {
                    let best = short.best.as_ref().unwrap();
                    let mut asked = q.clone();
                    if let Need::Hold { steel, .. } = &mut asked.need {
                        steel.thickness = Some(Length(*thickness));
                    }
                    prop_assert!(value.is_finite());
                    prop_assert!(!enough || surely_does(&asked, &best.item, best.build.pieces), "{thickness} {best:?}");
                }
                WouldDo::BothSides { value, enough } => {
                    let best = short.best.as_ref().unwrap();
                    prop_assert!(value.is_finite());
                    if let Need::Hold { layers, direction: crate::question::Direction::StraightOff, .. } = &q.need && *enough {
                        let force = quantity::Load::Force(quantity::Force(need));
                        let gap = Length(layers.iter().map(|l| l.thickness.si()).sum());
                        let asked = Question { need: Need::PullTogether { force, gap }, ..q.clone() };
                        prop_assert!(surely_does(&asked, &best.item, best.build.pieces), "{best:?}");
                    }
                }
                WouldDo::BackSteel { value } => prop_assert!(value.is_finite()),
                WouldDo::Relax { miss } => {
                    let does = miss.value >= need;
                    prop_assert!(does, "{miss:?}");
                }
            }
        }
    }
}

#[test]
fn questions_with_sure_answers_have_no_shortfall() {
    let q = r#"{"need": {"verb": "hold", "load": "1 N"}}"#;
    assert!(ask(q, &shelf()).shortfall.is_none());
    assert!(question(q).limits.shapes.is_empty());
}
