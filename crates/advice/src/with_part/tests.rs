use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use proptest::prelude::*;
use quantity::Money;
use steel::drawing::Material;
use steel::solve::{Options, solve};

use super::fits::{self, Fit};
use super::solved::{Named, Setting};
use super::*;
use crate::answer::{CurvePoint, Verdict};
use crate::fixture::{ask, ball, catalogue, cone, cup, disc, plate, ring};
use crate::part::Form;
use crate::predict::{NotComputable, Prediction, State};

fn fitted_of(json: &str, shelf: &[Item], parts: &[Part]) -> (Answer, Vec<Candidate>) {
    let answer = ask(json, shelf);
    let found = find(&answer, shelf, parts, &catalogue(), &|| true).unwrap();
    (answer, found)
}

fn priced(mut item: Item, parts: i64) -> Item {
    item.prices = crate::fixture::breaks(&[(1, parts)]);
    item
}

fn hold(newton: f64, limits: &str) -> String {
    format!(
        r#"{{"need": {{"verb": "hold", "load": "{newton} N", "safety_factor": 1}}, "limits": {{{limits}}}, "pieces": 10}}"#
    )
}

/// A cheap flat magnet in a cup does what a bare one does for much more money.
#[test]
fn what_is_cheaper_than_the_cheapest_bare_build_is_offered() {
    let shelf = [
        priced(disc("flat", 20.0, 3.0), 6_000),
        priced(disc("thick", 25.0, 12.0), 60_000),
    ];
    let parts = [cup("cup", [25.0, 21.0, 5.0, 3.0]), plate("back", 20.0, 2.0)];
    let (answer, found) = fitted_of(&hold(85.0, r#""stack": 1"#), &shelf, &parts);
    let bare = answer.best_bare().unwrap();
    assert_eq!(bare.item.code, "thick");
    let first = &found[0];
    assert_eq!(
        (
            first.item.code.as_str(),
            first.build.part.as_ref().unwrap().code.as_str(),
            first.build.pieces
        ),
        ("flat", "cup", 1)
    );
    assert_eq!(first.verdict, Verdict::Sure);
    assert_eq!(first.cost_each, Some(Money::from_parts(11_000)));
    assert_eq!(first.cost_total, Some(Money::from_parts(110_000)));
    assert!(
        first.band.low >= 85.0 && first.band.mid > 1.5 * first.with_part.as_ref().unwrap().bare,
        "{first:?}"
    );
    assert!(found.iter().all(|f| f.cost_total <= bare.cost_total));
    // In contact the cup adds most.
    let gain = |p: &CurvePoint| p.with / p.bare;
    let (near, far) = (
        first.with_part.as_ref().unwrap().curve.first().unwrap(),
        first.with_part.as_ref().unwrap().curve.last().unwrap(),
    );
    assert!(
        gain(near) > 1.5 && gain(far) < 0.5 * gain(near),
        "{:?}",
        first.with_part.as_ref().unwrap().curve
    );
    assert!(first.band.shares.iter().any(|s| s.cause == uncertainty::Cause::Part));
}

#[test]
fn what_wins_nothing_is_not_offered_but_shown_where_it_is_wanted() {
    let shelf = [priced(disc("a", 20.0, 5.0), 6_000)];
    let parts = [plate("back", 20.0, 2.0)];
    assert!(fitted_of(&hold(20.0, ""), &shelf, &parts).1.is_empty());
    let (_, wanted) = fitted_of(&hold(20.0, r#""steelwork": "back_plate""#), &shelf, &parts);
    assert_eq!(wanted[0].build.part.as_ref().unwrap().code, "back");
    assert!(
        fitted_of(&hold(20.0, r#""steelwork": "bare""#), &shelf, &parts)
            .1
            .is_empty()
    );
    assert!(
        fitted_of(&hold(20.0, r#""steelwork": "cup""#), &shelf, &parts)
            .1
            .is_empty()
    );
}

#[test]
fn where_nothing_bare_surely_does_parts_are_offered_whatever_they_cost() {
    let mut dear = cup("cup", [25.0, 21.0, 7.0, 5.0]);
    dear.prices = crate::fixture::breaks(&[(1, 900_000)]);
    let shelf = [disc("a", 20.0, 5.0)];
    let (answer, found) = fitted_of(&hold(110.0, r#""stack": 1"#), &shelf, &[dear]);
    assert!(answer.best_bare().is_none());
    assert_eq!(found.len(), 1);
}

#[test]
fn limits_hold_for_the_build_as_a_whole() {
    let shelf = [disc("a", 20.0, 5.0)];
    let parts = [cup("cup", [25.0, 21.0, 7.0, 5.0])];
    let shown = |limits: &str| {
        !fitted_of(&hold(20.0, &format!(r#""steelwork": "cup"{limits}"#)), &shelf, &parts)
            .1
            .is_empty()
    };
    assert!(shown(""));
    assert!(shown(r#", "widest": "25 mm""#) && !shown(r#", "widest": "24 mm""#));
    assert!(shown(r#", "narrowest": "25 mm""#) && !shown(r#", "narrowest": "26 mm""#));
    assert!(shown(r#", "tallest": "7.1 mm""#) && !shown(r#", "tallest": "6.9 mm""#));
    // 11.8 g of magnet and 16 g of cup.
    assert!(shown(r#", "mass": "30 g""#) && !shown(r#", "mass": "25 g""#));
    assert!(shown(r#", "budget_each": "1.50""#) && !shown(r#", "budget_each": "1.49""#));
    assert!(!shown(r#", "hole": "3 mm""#));
    let few = Part {
        stock: Some(9),
        ..parts[0].clone()
    };
    let question = hold(20.0, r#""steelwork": "cup", "in_stock": true"#);
    assert!(fitted_of(&question, &shelf, &[few]).1.is_empty());
}

#[test]
fn tips_and_backs_raise_a_field_and_are_solved_on_the_axis() {
    let shelf = [disc("a", 10.0, 10.0), ring("b", 20.0, 8.0, 5.0), ball("c", 20.0)];
    let parts = [cone("tip", [10.0, 0.5, 3.0]), plate("back", 10.0, 3.0)];
    let ask = |kind: &str, field: &str, distance: &str| {
        let json = format!(
            r#"{{"need": {{"verb": "reach_field", "field": "{field}", "distance": "{distance}"}}, "limits": {{"steelwork": "{kind}"}}}}"#
        );
        fitted_of(&json, &shelf, &parts).1
    };
    let tip = &ask("pole_tip", "600 mT", "0.1 mm")[0];
    assert_eq!(
        (tip.item.code.as_str(), tip.build.part.as_ref().unwrap().code.as_str()),
        ("a", "tip")
    );
    assert!(tip.band.mid > 1.2 * tip.with_part.as_ref().unwrap().bare, "{tip:?}");
    let back = &ask("back_plate", "400 mT", "0.5 mm")[0];
    assert!(
        back.band.mid > back.with_part.as_ref().unwrap().bare
            && back.band.mid < 1.5 * back.with_part.as_ref().unwrap().bare,
        "{back:?}"
    );
}

#[test]
fn a_ceiling_further_away_holds_with_the_part_too() {
    let shelf = [disc("a", 10.0, 5.0)];
    let parts = [plate("back", 10.0, 3.0)];
    let ask = |ceiling: &str| {
        let json = format!(
            r#"{{"need": {{"verb": "reach_field", "field": "150 mT", "distance": "3 mm",
                "no_more_than": {{"field": "{ceiling}", "distance": "20 mm"}}}},
                "limits": {{"steelwork": "back_plate", "stack": 1}}}}"#
        );
        fitted_of(&json, &shelf, &parts).1
    };
    let quiet = ask("20 mT");
    assert!(quiet[0].far.as_ref().unwrap().high < 20e-3 && quiet[0].verdict == Verdict::Sure);
    assert!(ask("0.5 mT").is_empty());
}

#[test]
fn a_question_that_wants_what_cannot_be_is_refused_with_a_reason() {
    let refused = |json: &str| {
        let question = crate::fixture::question(json);
        crate::check::check(&question, &catalogue()).unwrap_err()
    };
    let error = refused(&hold(20.0, r#""steelwork": "pole_tip""#));
    assert_eq!(error.field, "/limits/steelwork");
    assert!(error.hint.contains("in a cup"), "{error:?}");
    let error = refused(&hold(20.0, r#""steelwork": "cup", "shapes": ["block", "sphere"]"#));
    assert!(error.message.contains("discs and rings only"), "{error:?}");
    let pair = r#"{"need": {"verb": "pull_together", "force": "20 N"}, "limits": {"steelwork": "cup"}}"#;
    assert!(refused(pair).hint.contains("leave it out"));
}

#[test]
fn an_answer_kept_before_there_were_parts_still_loads() {
    let answer = ask(&hold(20.0, ""), &[disc("a", 20.0, 5.0)]);
    let mut json = serde_json::to_value(&answer).unwrap();
    json.as_object_mut().unwrap().remove("parts_searched");
    assert_eq!(serde_json::from_value::<Answer>(json).unwrap(), answer);
}

fn steel() -> SteelTable {
    SteelTable::builtin().unwrap()
}

/// A setting of N42 and mild steel with the state at its middle.
fn middle<'a>(
    item: &'a Item,
    pieces: u32,
    form: &'a Form,
    task: Task,
    table: &'a SteelTable,
    catalogue: &'a Catalogue,
) -> Option<(Setting<'a>, State, Fit, Prediction<'a>)> {
    let fit = fits::fit(&item.shape, pieces, form)?;
    let grade = catalogue.grade_of(item)?;
    let coating = catalogue.coatings.get(&item.coating)?;
    let prediction = Prediction::new(item, grade, coating, task, 20.0);
    let mild = Named::from(table.curve("mild steel")?);
    let setting = Setting {
        shape: &item.shape,
        pieces,
        permeability: grade.recoil_permeability,
        part: Some((form, mild)),
        rim: fit.rim,
        plate: Some(mild),
        task: prediction.task,
        go_on: &|| true,
    };
    Some((
        setting,
        prediction.undiminished(pieces).fitted_middle().0,
        fit,
        prediction,
    ))
}

/// Platings and air spread over the height, against the pieces and the part one by one.
#[test]
fn a_stack_drawn_as_one_pulls_as_its_pieces_do() {
    let (table, catalogue) = (steel(), catalogue());
    for (pieces, gap) in [(1, 0.0), (2, 0.0), (3, 0.5e-3)] {
        let item = disc("a", 15.0, 3.0);
        let back = plate("p", 18.0, 2.0);
        let task = Task::thick_steel([gap; 3]);
        let (setting, state, ..) = middle(&item, pieces, &back.form, task, &table, &catalogue).unwrap();
        let got = setting.value(&state).unwrap();
        let curve = &table.curve("mild steel").unwrap().curve;
        let (p, face) = (state.plating(), state.gap());
        let mut parts = Vec::new();
        for k in 0..pieces {
            let bottom = face + f64::from(k) * 3e-3 + p;
            let magnet = Material::Magnet {
                polarisation: state.br(),
                recoil_permeability: setting.permeability,
            };
            let radii = [0.0, 7.5e-3 - p];
            parts.push(steel::drawing::Part::ring(
                format!("magnet {k}"),
                radii,
                [bottom, bottom + 3e-3 - 2.0 * p],
                magnet,
            ));
        }
        let top = face + f64::from(pieces) * 3e-3 + crate::predict::SEAT_GAP[1];
        let iron = || Material::Steel(Arc::clone(curve));
        parts.push(steel::drawing::Part::ring(
            "back",
            [0.0, 9e-3],
            [top, top + 2e-3],
            iron(),
        ));
        parts.push(steel::drawing::Part::ring("plate", [0.0, 75e-3], [-18e-3, 0.0], iron()));
        let drawing = steel::drawing::Drawing::new(parts);
        let wanted = solve(&drawing, &Options::force_on("plate"))
            .unwrap()
            .force_on("plate")
            .unwrap();
        assert!(
            (got / wanted - 1.0).abs() <= 0.01,
            "{pieces} pieces: {got} for {wanted}"
        );
    }
}

/// The sum of parabolas against the solver, with everything moved at once.
#[test]
fn the_local_model_follows_the_solver() {
    let (table, catalogue) = (steel(), catalogue());
    let item = disc("a", 20.0, 5.0);
    for part in [cup("c", [25.0, 21.0, 7.0, 5.0]), plate("p", 20.0, 2.0)] {
        let task = Task::thick_steel([0.18e-3, 0.2e-3, 0.22e-3]);
        let (setting, _, _, prediction) = middle(&item, 1, &part.form, task, &table, &catalogue).unwrap();
        let in_use = prediction.undiminished(1);
        let about = in_use.about_middle(0.1e-3, |middle, states| Ok(setting.ratios(middle, states)?.ratios));
        let band = about
            .unwrap()
            .band(setting.value(&in_use.fitted_middle().0).unwrap())
            .unwrap();
        let (low, high) = (band.low / band.mid, band.high / band.mid);
        assert!((0.6..0.95).contains(&low) && (1.02..1.3).contains(&high), "{band:?}");
        assert!((band.shares.iter().map(|s| s.share).sum::<f64>() - 1.0).abs() <= 1e-9);
    }
}

/// A fine value begins on the rough mesh, and is that of a mesh made for it.
#[test]
fn a_fine_value_does_not_depend_on_the_mesh_that_it_begins_on() {
    let (table, catalogue) = (steel(), catalogue());
    let item = disc("a", 20.0, 5.0);
    let mut rough_is_off = false;
    for part in [cup("c", [25.0, 21.0, 7.0, 5.0]), plate("p", 20.0, 2.0)] {
        for gap in [0.0, 0.3e-3, 2e-3] {
            let task = Task::thick_steel([gap; 3]).on_plate(Some(2e-3));
            let (setting, state, ..) = middle(&item, 1, &part.form, task, &table, &catalogue).unwrap();
            let closely = Options {
                tolerance: 5e-4,
                ..Options::force_on("plate")
            };
            let solution = solve(&setting.drawing(&state).unwrap(), &closely).unwrap();
            let wanted = solution.force_on("plate").unwrap();
            let off = |value: f64| (value / wanted - 1.0).abs();
            let fine = setting.value(&state).unwrap();
            assert!(off(fine) <= 1e-3, "{:?} at {gap}: {fine} for {wanted}", part.form);
            rough_is_off |= off(setting.rough_value(&state).unwrap()) > 1e-3;
        }
    }
    assert!(rough_is_off, "a rough mesh would do");
}

/// What moves a value is told by one rough mesh as by the solver, state by state.
#[test]
fn ratios_are_those_of_the_solver() {
    let (table, catalogue) = (steel(), catalogue());
    let item = disc("a", 20.0, 5.0);
    for part in [cup("c", [25.0, 21.0, 7.0, 5.0]), plate("p", 20.0, 2.0)] {
        for gap in [0.0, 0.3e-3] {
            let task = Task::thick_steel([0.8 * gap, gap, 1.2 * gap]);
            let (setting, _, _, prediction) = middle(&item, 1, &part.form, task, &table, &catalogue).unwrap();
            let mut states = Vec::new();
            let in_use = prediction.undiminished(1);
            let fine = |state: &State| setting.value(state);
            let about = in_use.about_middle(0.1e-3, |middle, moved| {
                states = [&[*middle], moved].concat();
                Ok(setting.ratios(middle, moved)?.ratios)
            });
            assert!(about.is_ok());
            assert!(states.len() > 8);
            let ratios = setting.ratios(&states[0], &states[1..]).unwrap().ratios;
            let value = fine(&states[0]).unwrap();
            let rough = setting.rough_value(&states[0]).unwrap();
            assert!(
                (rough / value - 1.0).abs() <= solved::ROUGH_SLACK,
                "{rough} on a rough mesh for {value}"
            );
            for (state, ratio) in states[1..].iter().zip(&*ratios) {
                let wanted = fine(state).unwrap() / value;
                assert!(
                    (ratio / wanted - 1.0).abs() <= 0.025,
                    "{:?} at {gap}: {ratio} for {wanted}",
                    part.form
                );
            }
        }
    }
}

/// A search that nobody waits for is stopped, and is no search that found nothing.
#[test]
fn a_search_that_is_stopped_says_so() {
    let shelf = [disc("a", 20.0, 5.0)];
    let parts = [cup("cup", [25.0, 21.0, 7.0, 5.0])];
    let answer = ask(&hold(20.0, r#""steelwork": "cup""#), &shelf);
    assert_eq!(find(&answer, &shelf, &parts, &catalogue(), &|| false), Err(Stopped));
    let steps = AtomicUsize::new(0);
    let a_few = || steps.fetch_add(1, Ordering::Relaxed) < 5;
    assert_eq!(find(&answer, &shelf, &parts, &catalogue(), &a_few), Err(Stopped));
    assert!(steps.load(Ordering::Relaxed) < 20, "it went on all the same");
}

/// The plate round a flat magnet carries its flux back to the front and holds there too.
#[test]
fn a_back_plate_wider_than_its_magnet_does_not_pass_the_bound() {
    let (table, catalogue) = (steel(), catalogue());
    let item = disc("a", 26.1935, 2.0955);
    let back = plate("p", 41.2237, 10.2916);
    let task = Task::thick_steel([0.0; 3]);
    let (setting, state, fit, prediction) = middle(&item, 1, &back.form, task, &table, &catalogue).unwrap();
    let value = setting.value(&state).unwrap();
    let most = bound::at_most(&item.shape, 1, &back.form, &fit, prediction.task, &state).unwrap();
    assert!(value <= most, "{value} above {most}");
}

/// At a point the field of a solve grows with its mesh; what is refused is not shown, and is no weak build either.
#[test]
fn a_tip_that_ends_in_a_point_or_passes_saturation_is_refused() {
    let (table, catalogue) = (steel(), catalogue());
    let item = disc("a", 4.0, 3.006);
    let at = |tip: &Part, distance: f64, off_axis: f64| {
        let task = Task::spot(distance, off_axis);
        let (setting, state, ..) = middle(&item, 1, &tip.form, task, &table, &catalogue).unwrap();
        setting.value(&state)
    };
    let point = cone("point", [4.0, 0.0, 1.087]);
    assert_eq!(at(&point, 0.0, 0.0), Err(NotComputable::PointedTip));
    assert_eq!(at(&point, 0.1e-3, 0.0), Err(NotComputable::PointedTip));
    let blunt = cone("blunt", [4.0, 1.0, 1.087]);
    assert_eq!(at(&blunt, 0.0, 0.5e-3), Err(NotComputable::EdgeOfSteel));
    assert!(at(&blunt, 0.0, 0.0).is_ok());
    // Near the edge the field rises without limit; wherever it is looked at, nothing passes what steel carries.
    for end in [0.1, 0.2, 0.5, 1.0] {
        for (distance, off_axis) in [(0.0, 0.0), (0.0, 0.46), (0.01, 0.47), (0.02, 0.53)] {
            let tip = cone("tip", [4.0, end, 1.087]);
            match at(&tip, distance * end * 1e-3, off_axis * end * 1e-3) {
                Ok(value) => assert!(value <= solved::STRONGEST, "{end} mm: {value}"),
                Err(error) => assert!(
                    matches!(error, NotComputable::AboveSaturation(_) | NotComputable::EdgeOfSteel),
                    "{end} mm: {error}"
                ),
            }
        }
    }
    let json = r#"{"need": {"verb": "face_field", "field": "500 mT"}, "limits": {"steelwork": "pole_tip"}}"#;
    assert!(fitted_of(json, &[item], &[point]).1.is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// What spares solves never spares one that would have done.
    #[test]
    fn the_bound_is_never_passed_by_the_solver(
        diameter in 4.0..40.0f64, flat in 0.08..1.2f64, pieces in 1..4u32, gap in prop_oneof![Just(0.0), 0.01..0.2f64],
        kind in 0..4u32, wide in 0.0..1.0f64, thick in 0.05..0.4f64, rim in 0.0..1.0f64, hole in prop_oneof![Just(0.0), 0.2..0.6f64],
    ) {
        let (table, catalogue) = (steel(), catalogue());
        let thickness = (flat * diameter / f64::from(pieces)).max(1.0);
        let height = thickness * f64::from(pieces);
        let is_ring = hole > 0.0 && kind < 2;
        let item = if is_ring { ring("a", diameter, hole * diameter, thickness) } else { disc("a", diameter, thickness) };
        let inner = diameter + 0.1 + wide * (0.3 * diameter - 0.1).max(0.0);
        let depth = (height - 0.28 + 0.75 * rim).max(0.1);
        let form = match kind {
            0 => plate("p", diameter * (0.9 + 0.7 * wide), thick * diameter).form,
            1 => cup("p", [inner + 2.0 * thick * diameter, inner, depth + thick * diameter, depth]).form,
            2 => cone("p", [diameter, diameter * wide.min(0.95), diameter * thick]).form,
            _ => plate("p", diameter * (0.9 + 0.7 * wide), thick * diameter).form,
        };
        let distance = gap * diameter * 1e-3;
        let task = if kind < 2 {
            Task::thick_steel([distance; 3])
        } else {
            Task::spot(distance, 0.0)
        };
        let Some((setting, state, fit, prediction)) = middle(&item, pieces, &form, task, &table, &catalogue) else {
            return Ok(());
        };
        let Ok(value) = setting.value(&state) else { return Ok(()) };
        let most = bound::at_most(&item.shape, pieces, &form, &fit, prediction.task, &state).unwrap();
        prop_assert!(value <= most, "{:?} with {:?} at {}: {} above {}", item.shape, form, distance, value, most);
    }
}
