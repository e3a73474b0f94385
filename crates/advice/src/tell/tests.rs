use super::*;
use crate::fixture::{ball, catalogue, disc, item};
use crate::predict::Task;
use crate::question::Surroundings;
use crate::stacked::Stacked;
use magnetics::Shape;
use uncertainty::Band;

fn enquiry(json: &str) -> Enquiry {
    serde_json::from_str(json).unwrap()
}

/// What is told of a disc of that many millimetres on a small shelf.
fn told_of(about: &str, question: &str, magnet: &str) -> Told {
    let shelf = [disc("a", 20.0, 5.0), disc("b", 10.0, 5.0), ball("c", 10.0)];
    let json = format!(r#"{{"kind":"tell","about":{about},"question":{question},"magnets":[{magnet}]}}"#);
    tell(&enquiry(&json), &shelf, &catalogue()).unwrap()
}

fn disc_20(about: &str, question: &str) -> Told {
    told_of(about, question, r#"{"code":"a"}"#)
}

fn bands(told: &Told) -> Vec<Band> {
    told.findings
        .iter()
        .filter_map(|finding| match finding {
            Finding::Pull { band, .. }
            | Finding::PairForce { band, .. }
            | Finding::Field { band, .. }
            | Finding::FaceField { band, .. }
            | Finding::Moment { band }
            | Finding::Contact { band, .. } => Some(band.clone()),
            _ => None,
        })
        .collect()
}

/// On the axis of a uniformly magnetised cylinder: `B = J/2 ((z+L)/sqrt(R²+(z+L)²) - z/sqrt(R²+z²))`, with the polarisation
/// that its recoil leaves.
#[test]
fn the_field_of_a_disc_is_that_of_the_closed_form() {
    let told = told_of(
        r#"["field","face_field"]"#,
        r#"{"need":{"distance":"10 mm"}}"#,
        r#"{"shape":"disc","size_mm":[20,5],"grade":"N42","coating":"none"}"#,
    );
    let grade = catalogue().grades.get("N42").unwrap().clone();
    let shape = Shape::Disc {
        diameter: 20e-3,
        thickness: 5e-3,
    };
    let stack = Stacked::new(shape, 0.0, 1, grade.br_typical, grade.recoil_permeability).unwrap();
    let closed = |z: f64| {
        let (r, l) = (10e-3_f64, 5e-3_f64);
        stack.polarisation() / 2.0 * ((z + l) / r.hypot(z + l) - z / r.hypot(z))
    };
    let found = bands(&told);
    // Recoil that is not even moves the field by some per cent near the face.
    assert!(
        (found[0].mid / closed(10e-3) - 1.0).abs() < 0.02,
        "{} {}",
        found[0].mid,
        closed(10e-3)
    );
    assert!(
        (found[1].mid / closed(0.0) - 1.0).abs() < 0.05,
        "{} {}",
        found[1].mid,
        closed(0.0)
    );
    assert!(found[2].mid < found[1].mid, "a probe reads less");
    assert!(found.iter().all(|band| band.low < band.mid && band.mid < band.high));
}

/// 7500 kg/m³ for sintered neodymium is what its trade reckons with: common practice, no source.
#[test]
fn weight_is_volume_by_density() {
    let told = disc_20(r#"["weight"]"#, r#"{"pieces":200}"#);
    let Finding::Weight { each, builds } = told.findings[0] else {
        panic!("a weight");
    };
    let volume = std::f64::consts::PI * 10e-3_f64.powi(2) * 5e-3;
    assert!((each / (volume * 7500.0) - 1.0).abs() < 0.02, "{each}");
    assert_eq!(builds, 200);
}

/// D5 L3 at 1.2 T: 302 kG² mm² without plating or recoil, as in the tests of the hazards; N42 has more remanence and less for
/// its plating.
#[test]
fn a_small_disc_is_no_part_of_a_toy_and_a_large_one_no_small_part() {
    let verdict = |size: &str| {
        let magnet = format!(r#"{{"shape":"disc","size_mm":{size},"grade":"N42"}}"#);
        match told_of(r#"["toy"]"#, "{}", &magnet).findings[0] {
            Finding::Toy { flux_index, verdict } => (flux_index.map(|index| index / 1e-8), verdict),
            _ => panic!("a toy"),
        }
    };
    let (index, small) = verdict("[5,3]");
    assert_eq!(small, Toy::Excluded);
    assert!(index.is_some_and(|index| (250.0..900.0).contains(&index)), "{index:?}");
    assert_eq!(verdict("[40,5]"), (None, Toy::LargePart));
    assert_eq!(verdict("[1.5,0.5]").1, Toy::SmallPart);
}

/// `2e-7 m / r³` on the axis of a dipole: 0.2 µT at 2.1 m belong to 9.26 A m².
#[test]
fn parcels_are_judged_by_their_moment() {
    let told = disc_20(r#"["fly","moment"]"#, r#"{"pieces":1000}"#);
    let Finding::Parcel {
        near,
        far,
        carriage,
        most,
        ..
    } = &told.findings[0]
    else {
        panic!("a parcel");
    };
    let Finding::Moment { band } = &told.findings[1] else {
        panic!("a moment");
    };
    assert!((near.mid / (1000.0 * 2e-7 * band.mid / 2.1_f64.powi(3)) - 1.0).abs() < 1e-9);
    assert!((near.high / far / (4.5_f64 / 2.1).powi(3) - 1.0).abs() < 1e-9);
    assert_eq!(*carriage, Carriage::Never);
    assert!(
        (0.5..=1.0).contains(&(f64::from(*most) * band.mid / 9.26)),
        "{most} of {}",
        band.mid
    );
    // J V / mu0 with about 1.3 T.
    let volume = std::f64::consts::PI * 10e-3_f64.powi(2) * 5e-3;
    assert!(
        (band.mid / (1.26 * volume / 4e-7 / std::f64::consts::PI) - 1.0).abs() < 0.06,
        "{}",
        band.mid
    );
    let one = disc_20(r#"["fly"]"#, "{}");
    assert!(matches!(
        one.findings[0],
        Finding::Parcel {
            carriage: Carriage::Free,
            ..
        }
    ));
}

#[test]
fn where_nothing_is_said_thick_steel_a_sheet_and_a_wall_are_told() {
    let found = bands(&disc_20(r#"["pull"]"#, "{}"));
    let [thick, sheet, wall] = &found[..] else {
        panic!("three pulls");
    };
    assert!(thick.mid > sheet.mid && sheet.mid > wall.mid);
    // Friction of a fifth.
    assert!((wall.mid / sheet.mid - 0.2).abs() < 1e-9);
}

#[test]
fn the_place_that_is_said_is_the_place_that_is_told() {
    let question = r#"{"need":{"steel":{"thickness":"0.5..0.8 mm"},"layers":[{"material":"paint","thickness":"0.3 mm"}],
        "direction":"sideways","friction":0.3}}"#;
    let told = disc_20(r#"["pull"]"#, question);
    let Finding::Pull { place, band, .. } = &told.findings[0] else {
        panic!("a pull");
    };
    assert!(place.sliding && (place.steel.thickness.unwrap().0 - 0.5e-3).abs() < 1e-12);
    let plain = bands(&disc_20(r#"["pull"]"#, r#"{"need":{"steel":{"thickness":"0.5 mm"}}}"#));
    assert!(band.mid < 0.3 * plain[0].mid);
}

#[test]
fn a_pair_is_told_across_its_gap_and_in_contact() {
    let told = told_of(
        r#"["pull"]"#,
        r#"{"need":{"gap":"3 mm"}}"#,
        r#"{"code":"a","pair":true}"#,
    );
    let found = bands(&told);
    assert!(matches!(told.findings[0], Finding::PairForce { opposed: false, .. }));
    assert!(found.len() == 2 && found[0].mid < found[1].mid);
    let repelled = disc_20(r#"["pull"]"#, r#"{"need":{"verb":"push_apart","gap":"3 mm"}}"#);
    assert!(matches!(repelled.findings[0], Finding::PairForce { opposed: true, .. }));
}

/// Fifteen centimetres at least from implants: common practice, no source.
#[test]
fn distances_to_keep_are_no_nearer_than_the_field_on_the_axis() {
    let told = told_of(
        r#"["keep_away","distance_for_field"]"#,
        "{}",
        r#"{"shape":"disc","size_mm":[40,20],"grade":"N52"}"#,
    );
    let kept = |wanted: bool| {
        told.findings.iter().find_map(|finding| match finding {
            Finding::KeepAway { implants, distance, .. } if *implants == wanted => Some(*distance),
            _ => None,
        })
    };
    let reached = |wanted: f64| {
        told.findings.iter().find_map(|finding| match finding {
            Finding::Reach { level, distance } if (*level - wanted).abs() < 1e-9 => Some(*distance),
            _ => None,
        })
    };
    for (implants, level) in [(true, 0.5e-3), (false, 1e-3)] {
        let (kept, [low, mid, high]) = (kept(implants).unwrap(), reached(level).unwrap());
        assert!(
            low < mid && mid < high && high < kept && kept < 1.3 * high,
            "{low} {mid} {high} {kept}"
        );
    }
    let small = told_of(r#"["keep_away"]"#, "{}", r#"{"code":"b"}"#);
    assert!(matches!(small.findings[0], Finding::KeepAway { distance, .. } if distance >= 0.15));
}

#[test]
fn heat_takes_for_good_what_a_flat_plain_piece_does_not_stand() {
    let told = told_of(
        r#"["heat"]"#,
        r#"{"conditions":{"warmest":"120 °C"}}"#,
        r#"{"shape":"disc","size_mm":[20,2],"grade":"N42"}"#,
    );
    let Finding::Heated { celsius, keeps, loss } = told.findings[0] else {
        panic!("heat");
    };
    assert!((celsius - 120.0).abs() < 1e-9 && (0.8..0.95).contains(&keeps));
    assert!(loss.unwrap() > 0.05, "{loss:?}");
    assert!(!told.warnings.is_empty());
    let cool = disc_20(r#"["heat"]"#, r#"{"conditions":{"warmest":"40 °C"}}"#);
    assert!(matches!(cool.findings[0], Finding::Heated { loss: Some(loss), .. } if loss < 0.005));
}

#[test]
fn a_magnet_that_is_not_on_the_shelf_is_priced_by_its_neighbours() {
    let told = told_of(
        r#"["price"]"#,
        r#"{"pieces":50}"#,
        r#"{"shape":"disc","size_mm":[18,5],"grade":"N42"}"#,
    );
    assert!(matches!(&told.findings[0], Finding::Nearest { code, .. } if code == "a"));
    let listed = disc_20(r#"["price"]"#, r#"{"pieces":50}"#);
    assert!(matches!(
        &listed.findings[0],
        Finding::Price {
            bought: 50,
            total: Some(_),
            ..
        }
    ));
}

#[test]
fn a_jump_ends_where_the_pull_is_the_weight() {
    let told = disc_20(r#"["jump"]"#, "{}");
    let Finding::Jump { lifts, slides, .. } = told.findings[0] else {
        panic!("a jump");
    };
    assert!(slides > lifts && lifts > 5e-3, "{lifts} {slides}");
    let catalogue = catalogue();
    let prediction = told
        .given
        .prediction(&catalogue, Task::thick_steel([lifts; 3]), 20.0)
        .unwrap();
    let weight = std::f64::consts::PI * 10e-3_f64.powi(2) * 5e-3 * 7500.0 * 9.80665;
    assert!((prediction.undiminished(1).value().unwrap() / weight - 1.0).abs() < 0.03);
}

/// Two magnets that jump together: how they jump to each other comes first; one magnet: how it jumps to steel.
#[test]
fn a_jump_of_two_magnets_is_told_of_each_other_first() {
    let first = |magnet: &str| match told_of(r#"["jump"]"#, "{}", magnet).findings[0] {
        Finding::Jump { onto, .. } => onto,
        _ => panic!("a jump"),
    };
    assert_eq!(first(r#"{"code":"a","pair":true}"#), Onto::Magnet);
    assert_eq!(first(r#"{"code":"a"}"#), Onto::Steel);
}

#[test]
fn coatings_are_told_for_the_place_that_is_said_and_else_for_all() {
    assert_eq!(disc_20(r#"["corrosion"]"#, "{}").findings.len(), 4);
    let outdoors = disc_20(r#"["corrosion"]"#, r#"{"conditions":{"surroundings":"outdoors"}}"#);
    assert!(matches!(
        outdoors.findings[..],
        [Finding::Coating {
            surroundings: Surroundings::Outdoors,
            ..
        }]
    ));
}

#[test]
fn grades_rise_in_pull_and_name_the_one_given() {
    let told = disc_20(r#"["value"]"#, "{}");
    let Finding::Grades(grades) = &told.findings[0] else {
        panic!("grades");
    };
    assert!(grades.windows(2).all(|pair| pair[0].pull <= pair[1].pull));
    assert_eq!(grades.iter().filter(|grade| grade.own).count(), 1);
    assert!(grades.len() >= 5 && grades.last().unwrap().grade == "N52");
}

#[test]
fn every_thing_is_told_of_every_shape_and_material() {
    let all = r#"["pull","field","face_field","distance_for_field","heat","weight","fly","toy","steel_mm","machine","price",
        "corrosion","keep_away","jump","moment","danger","value","card"]"#;
    for magnet in [
        r#"{"shape":"disc","size_mm":[20,5]}"#,
        r#"{"shape":"ring","size_mm":[20,10,5],"grade":"ferrite","count":3}"#,
        r#"{"shape":"block","size_mm":[20,10,5],"grade":"samarium cobalt"}"#,
        r#"{"shape":"sphere","size_mm":[10]}"#,
        r#"{"shape":"disc","size_mm":[10,40],"grade":"AlNiCo"}"#,
    ] {
        let told = told_of(all, "{}", magnet);
        assert!(told.findings.len() > 25, "{magnet}: {}", told.findings.len());
        assert!(
            bands(&told)
                .iter()
                .all(|b| b.mid.is_finite() && b.low <= b.mid && b.mid <= b.high),
            "{magnet}"
        );
    }
}

#[test]
fn what_cannot_be_told_is_pointed_at() {
    let field = |json: &str| tell(&enquiry(json), &[], &catalogue()).unwrap_err().field;
    assert_eq!(field(r#"{"kind":"tell"}"#), "/magnets");
    let magnet = r#""magnets":[{"shape":"disc","size_mm":[20,5]}]"#;
    let question = |need: &str| field(&format!(r#"{{"kind":"tell",{magnet},"question":{{"need":{need}}}}}"#));
    assert_eq!(
        question(r#"{"steel":{"material":"cheese"}}"#),
        "/question/need/steel/material"
    );
    assert_eq!(
        question(r#"{"layers":[{"material":"wood"}]}"#),
        "/question/need/layers/0/thickness"
    );
    assert_eq!(question(r#"{"distance":"80 m"}"#), "/question/need/distance");
}

#[test]
fn a_coating_thicker_than_the_magnet_is_an_error() {
    let thin = Item {
        coating: "rubber cover".into(),
        ..item(
            "t",
            Shape::Disc {
                diameter: 5e-3,
                thickness: 0.5e-3,
            },
        )
    };
    let error = tell(
        &enquiry(r#"{"kind":"tell","magnets":[{"code":"t"}]}"#),
        &[thin],
        &catalogue(),
    )
    .unwrap_err();
    assert_eq!(error.field, "/magnets/0");
}
