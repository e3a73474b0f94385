use super::*;

fn request(carries: Carries, thickness_mm: f64) -> SteelRequest {
    SteelRequest {
        magnet: MagnetSize {
            diameter_mm: 20.0,
            hole_mm: 0.0,
            thickness_mm: 5.0,
            polarisation: 1.3,
            recoil_permeability: 1.05,
        },
        plate: PlateSize {
            diameter_mm: 60.0,
            thickness_mm,
        },
        gap_mm: 0.3,
        steel: "team13".into(),
        carries,
        beside_mm: None,
    }
}

fn ask(request: &SteelRequest) -> Result<SteelSheet, Problem> {
    sheet(request, &|| true, &Units::metric())
}

#[test]
fn millimetres_become_a_sheet_with_its_picture() {
    let cup = Carries::Cup {
        outer_mm: 25.0,
        inner_mm: 21.5,
        floor_mm: 2.5,
        rim_mm: 0.0,
    };
    let cup = ask(&request(cup, 8.0)).unwrap();
    let bare = cup.view.bare.unwrap().value;
    assert!(
        cup.view.pull.value > 1.5 * bare,
        "{} against {bare}",
        cup.view.pull.value
    );
    assert!(cup.drawing.svg.contains("cup") && cup.drawing.magnets == 1);
    let thin = ask(&request(Carries::Nothing, 0.5)).unwrap();
    assert!(!thin.drawing.warnings.is_empty(), "a sheet this thin saturates");
    assert!(thin.view.pull.value < bare);
}

#[test]
fn what_does_not_fit_is_said() {
    let mut wrong = request(Carries::Nothing, 2.0);
    for steel in ["austenitic", "304", "stainless steel"] {
        wrong.steel = steel.into();
        let problem = ask(&wrong).unwrap_err();
        assert!(problem.detail.contains("holds no magnet"), "{}", problem.detail);
    }
    wrong.steel = "cheese".into();
    assert_eq!(ask(&wrong).unwrap_err().more.field.as_deref(), Some("/steel"));
    let tight = Carries::Cup {
        outer_mm: 18.0,
        inner_mm: 15.0,
        floor_mm: 2.0,
        rim_mm: 0.0,
    };
    assert!(ask(&request(tight, 2.0)).is_err());
    assert!(ask(&request(Carries::Nothing, -1.0)).is_err());
    let back = Carries::BackPlate {
        diameter_mm: 20.0,
        thickness_mm: 2.0,
    };
    for (carries, distance) in [(Carries::Nothing, -1.0), (back, 1.0)] {
        let beside = SteelRequest {
            beside_mm: Some(distance),
            ..request(carries, 5.0)
        };
        assert_eq!(ask(&beside).unwrap_err().more.field.as_deref(), Some("/beside_mm"));
    }
}
