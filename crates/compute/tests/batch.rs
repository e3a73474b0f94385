//! Lines as scripts send them.

use compute::answer_line;
use serde_json::{Value, json};

fn ask(line: Value) -> Value {
    let reply = answer_line(&line.to_string());
    let value: Value = serde_json::from_str(&reply.text).expect("a reply is JSON");
    assert_eq!(value.get("error").is_none(), reply.answered, "{value}");
    assert!(!reply.text.contains('\n'));
    value
}

fn number(value: &Value, pointer: &str) -> f64 {
    value
        .pointer(pointer)
        .and_then(Value::as_f64)
        .unwrap_or_else(|| panic!("{pointer} in {value}"))
}

fn disc() -> Value {
    json!({"shape": "disc", "diameter_mm": 10, "thickness_mm": 10, "polarisation_T": [0, 0, 1]})
}

/// A ball of recoil permeability 1.05 has J0 / (1 + 0.05 / 3): B = 2/3 of that within and at its poles.
#[test]
fn recoil_permeability_is_heeded_or_refused() {
    let ball = r#"{"shape":"sphere","diameter_mm":10,"polarisation_T":[0,0,1],"recoil_permeability":1.05"#;
    let line = format!(r#"{{"want":"B","bodies":[{ball}}}],"points_mm":[[0,0,1],[0,0,10]]}}"#);
    let reply = answer_line(&line);
    let value: serde_json::Value = serde_json::from_str(&reply.text).expect("JSON");
    let within = value["B_T"][0][2].as_f64().expect("a number");
    let strength = 1.0 / (1.0 + 0.05 / 3.0);
    assert!((within - 2.0 / 3.0 * strength).abs() <= 1e-5, "{within}");
    let above = value["B_T"][1][2].as_f64().expect("a number");
    assert!((above - 2.0 / 24.0 * strength).abs() <= 1e-5, "{above}");
    let refused = |line: &str, field: &str| {
        let reply = answer_line(line);
        assert!(!reply.answered && reply.text.contains(field), "{}", reply.text);
    };
    refused(&line.replace("1.05", "0.5"), "/bodies/0/recoil_permeability");
    refused(&line.replace("\"B\"", "\"gradient\""), "/bodies/0/recoil_permeability");
    refused(
        &format!(r#"{{"want":"demagnetising_factor","body":{ball}}}}}"#),
        "/body/recoil_permeability",
    );
    let twice = line
        .replace("\"points_mm\"", "\"id\":1,\"points_mm\"")
        .replace("}],", &format!("}},{ball}}}],"));
    refused(&twice, "\"field\":\"/bodies\"");
}

#[test]
fn fields_of_a_disc() {
    let b = ask(json!({"id": "a", "want": "B", "bodies": [disc()], "points_mm": [[0, 0, 5], [2.5, 0, 6]]}));
    assert_eq!(b["id"], "a");
    assert!((number(&b, "/B_T/0/2") - 0.2_f64.sqrt()).abs() <= 1e-15, "{b}");
    assert!((number(&b, "/B_T/1/0") - 0.1188047704).abs() <= 1e-10, "{b}");
    let h = ask(json!({"id": 7, "want": "H", "bodies": [disc()], "points_mm": [[0, 0, 5]]}));
    assert_eq!(h["id"], 7);
    assert!(
        (number(&h, "/H_A_per_m/0/2") - 0.2_f64.sqrt() / materials::MU_0).abs() <= 1e-8,
        "{h}"
    );
    let gradient = ask(json!({"id": 7, "want": "gradient", "bodies": [disc()], "points_mm": [[0, 0, 20]]}));
    let (across, along) = (
        number(&gradient, "/gradient_T_per_m/0/0/0"),
        number(&gradient, "/gradient_T_per_m/0/2/2"),
    );
    assert!(
        along < 0.0 && (along + 2.0 * across).abs() <= 1e-9 * along.abs(),
        "{gradient}"
    );
    let none = ask(json!({"want": "B", "bodies": [], "points_mm": []}));
    assert_eq!(none, json!({"id": null, "B_T": []}));
}

#[test]
fn every_form_has_a_field() {
    let along = json!([0, 0, 1]);
    let forms = [
        json!({"shape": "ring", "outer_diameter_mm": 20, "inner_diameter_mm": 10, "thickness_mm": 5, "polarisation_T": [1, 0, 1]}),
        json!({"shape": "block", "size_mm": [20, 10, 5], "polarisation_T": [0.1, 0.2, 1]}),
        json!({"shape": "sphere", "diameter_mm": 8, "polarisation_T": [0, 1, 0]}),
        json!({"shape": "frustum", "bottom_diameter_mm": 20, "top_diameter_mm": 10, "thickness_mm": 8, "polarisation_T": along}),
        json!({"shape": "countersunk", "outer_diameter_mm": 20, "hole_diameter_mm": 4.5, "sink_diameter_mm": 9, "sink_depth_mm": 2.2, "thickness_mm": 5, "polarisation_T": along}),
        json!({"shape": "turned", "profile_mm": [[0, 0], [6, 3], [2, 7]], "polarisation_T": along}),
        json!({"shape": "arc", "outer_diameter_mm": 40, "inner_diameter_mm": 30, "angle_deg": 60, "thickness_mm": 10, "polarisation_T": [1, 0, 0]}),
        json!({"shape": "arc", "outer_diameter_mm": 40, "inner_diameter_mm": 30, "angle_deg": 60, "thickness_mm": 10, "radial_polarisation_T": 1.2,
               "centre_mm": [1, 2, 3], "rotation_vector_rad": [0.1, 0, 0]}),
    ];
    for form in forms {
        let b = ask(json!({"id": 1, "want": "B", "bodies": [form], "points_mm": [[3, 4, 9]]}));
        assert!(number(&b, "/B_T/0/2").abs() > 1e-4, "{form} {b}");
    }
}

#[test]
fn forces_means_and_factors() {
    let upper = json!({"shape": "disc", "diameter_mm": 10, "thickness_mm": 5, "polarisation_T": [0, 0, 1], "centre_mm": [0, 0, 6]});
    let lower = json!({"shape": "disc", "diameter_mm": 10, "thickness_mm": 5, "polarisation_T": [0, 0, 1]});
    let force = ask(json!({"id": 1, "want": "force", "on": upper, "from": [lower]}));
    assert!((number(&force, "/force_N/2") + 11.242024755).abs() <= 1e-8, "{force}");
    assert!(
        number(&force, "/torque_Nm/0").abs() <= 1e-12 && number(&force, "/error_N") <= 1e-7,
        "{force}"
    );
    let pull = ask(json!({"id": 1, "want": "plate_pull", "bodies": [lower], "gap_mm": 0.5}));
    assert!((number(&pull, "/force_N") - 11.242024755).abs() <= 1e-8, "{pull}");
    let factor = ask(
        json!({"id": 1, "want": "demagnetising_factor", "body": {"shape": "disc", "diameter_mm": 10, "thickness_mm": 10}}),
    );
    assert!(
        (number(&factor, "/magnetometric") - 0.31157739).abs() <= 1e-8,
        "{factor}"
    );
    assert!((number(&factor, "/fluxmetric") - 0.23221078).abs() <= 1e-8, "{factor}");
    let mean = |element: Value| {
        ask(json!({"id": 1, "want": "mean_B", "bodies": [disc()], "element": element, "points_mm": [[0, 0, 10]]}))
    };
    for element in [
        json!({"shape": "disc", "diameter_mm": 0.001}),
        json!({"shape": "square", "side_mm": 0.001}),
    ] {
        assert!((number(&mean(element), "/B_T/0/2") - 0.1207882584).abs() <= 1e-8);
    }
    assert!(number(&mean(json!({"shape": "disc", "diameter_mm": 1})), "/B_T/0/2") < 0.1207);
}

/// On the face H jumps by J, on the side B does; on the rim what diverges is null.
#[test]
fn sides_of_surfaces_and_edges() {
    let ask_side = |want: &str, point: [f64; 3], side: [f64; 3]| {
        ask(json!({"want": want, "bodies": [disc()], "points_mm": [point], "side": side}))
    };
    let on_face = |side: f64| number(&ask_side("H", [1.0, 2.0, 5.0], [0.0, 0.0, side]), "/H_A_per_m/0/2");
    assert!((materials::MU_0 * (on_face(1.0) - on_face(-1.0)) - 1.0).abs() <= 1e-9);
    let beside = |side: f64| number(&ask_side("B", [5.0, 0.0, 1.0], [side, 0.0, 0.0]), "/B_T/0/2");
    assert!((beside(-1.0) - beside(1.0) - 1.0).abs() <= 1e-9);
    let rim = ask_side("B", [5.0, 0.0, 5.0], [0.0, 0.0, 1.0]);
    assert!(rim["B_T"][0][0].is_null(), "{rim}");
    assert!(number(&rim, "/B_T/0/2").is_finite());
}

#[test]
fn curves_and_work() {
    let upper = json!({"shape": "disc", "diameter_mm": 10, "thickness_mm": 5, "polarisation_T": [0, 0, 1], "centre_mm": [0, 0, 6]});
    let lower = json!({"shape": "disc", "diameter_mm": 10, "thickness_mm": 5, "polarisation_T": [0, 0, 1]});
    let curve = ask(
        json!({"want": "force_curve", "on": upper, "from": [lower], "direction": [0, 0, 2], "distances_mm": [0, 4]}),
    );
    assert!((number(&curve, "/force_N/0/2") + 11.242024755).abs() <= 1e-8, "{curve}");
    assert!((number(&curve, "/force_N/1/2") + 2.912118094).abs() <= 1e-8, "{curve}");
    assert!(number(&curve, "/error_N/1") <= 1e-7 && number(&curve, "/torque_Nm/1/0").abs() <= 1e-12);
    let work = |z: f64| {
        let on = json!({"shape": "disc", "diameter_mm": 10, "thickness_mm": 5, "polarisation_T": [0, 0, 1], "centre_mm": [0, 0, z]});
        number(
            &ask(json!({"want": "work", "on": on, "from": [lower], "direction": [0, 0, 1]})),
            "/work_J",
        )
    };
    // The slope of the work is the pull.
    let slope = (work(5.998) - 8.0 * work(5.999) + 8.0 * work(6.001) - work(6.002)) / (12.0 * 1e-6);
    assert!((slope + 11.242024755).abs() <= 1e-4, "{slope}");
}

#[test]
fn an_arc_has_its_factors() {
    let factor = |shape: Value| ask(json!({"want": "demagnetising_factor", "body": shape}));
    let arc = factor(
        json!({"shape": "arc", "outer_diameter_mm": 20, "inner_diameter_mm": 10, "angle_deg": 360, "thickness_mm": 5}),
    );
    let ring = factor(json!({"shape": "ring", "outer_diameter_mm": 20, "inner_diameter_mm": 10, "thickness_mm": 5}));
    for key in ["/magnetometric", "/fluxmetric"] {
        assert!((number(&arc, key) - number(&ring, key)).abs() <= 1e-9, "{arc} {ring}");
    }
}

#[test]
fn what_is_wrong_is_said_in_its_place() {
    let with = |change: &dyn Fn(&mut Value)| {
        let mut line = json!({"id": "x", "want": "B", "bodies": [disc()], "points_mm": [[0, 0, 9]]});
        change(&mut line);
        line
    };
    for (line, field) in [
        (with(&|l| l["want"] = json!("b")), "/want"),
        (with(&|l| l["point_mm"] = json!([])), "/point_mm"),
        (
            with(&|l| l["bodies"][0]["diameter_mm"] = json!(0)),
            "/bodies/0/diameter_mm",
        ),
        (
            with(&|l| l["bodies"][0]["diameter_mm"] = json!("10 kg")),
            "/bodies/0/diameter_mm",
        ),
        (
            with(&|l| l["bodies"][0]["diameter_mm"] = Value::Null),
            "/bodies/0/diameter_mm",
        ),
        (with(&|l| l["bodies"][0]["colour"] = json!(1)), "/bodies/0/colour"),
        (with(&|l| l["bodies"][0]["shape"] = json!("cube")), "/bodies/0/shape"),
        (
            with(&|l| l["bodies"][0]["polarisation_T"] = json!([0, 0])),
            "/bodies/0/polarisation_T",
        ),
        (
            with(&|l| l["bodies"][0]["polarisation_T"] = json!([0, 0, 99])),
            "/bodies/0/polarisation_T",
        ),
        (
            with(&|l| l["bodies"][0]["centre_mm"] = json!([0, 0, 1e300])),
            "/bodies/0/centre_mm",
        ),
        (
            with(&|l| l["bodies"][0]["rotation_vector_rad"] = json!([0, 0, 1e300])),
            "/bodies/0/rotation_vector_rad",
        ),
        (with(&|l| l["bodies"] = json!({})), "/bodies"),
        (with(&|l| l["points_mm"][0] = json!([0, 0])), "/points_mm/0"),
        (with(&|l| l["points_mm"][0] = json!([0, null, 0])), "/points_mm/0/1"),
        (
            with(&|l| l["points_mm"] = json!([[0, 0, 9], [5, 0, 5]])),
            "/points_mm/1",
        ),
        (json!([]), ""),
        (
            json!({"want": "gradient", "bodies": [disc()], "points_mm": [[0, 0, 5]]}),
            "/points_mm/0",
        ),
        (with(&|l| l["side"] = json!([0, 0, 0])), "/side"),
        (with(&|l| l["side"] = json!("up")), "/side"),
        (
            json!({"want": "work", "on": disc(), "from": [], "direction": [0, 0, 0]}),
            "/direction",
        ),
        (
            json!({"want": "force_curve", "on": disc(), "from": [], "direction": [0, 0, 1], "distances_mm": [1, "2 kg"]}),
            "/distances_mm/1",
        ),
        (json!({"want": "force", "on": disc(), "from": [disc()]}), "/from/0"),
        (json!({"want": "plate_pull", "bodies": [], "gap_mm": 1}), "/bodies"),
        (
            json!({"want": "plate_pull", "bodies": [disc()], "gap_mm": -1}),
            "/gap_mm",
        ),
        (
            json!({"want": "mean_B", "bodies": [disc()], "points_mm": [], "element": {"shape": "dot"}}),
            "/element/shape",
        ),
        (
            json!({"want": "demagnetising_factor", "body": {"shape": "ring", "outer_diameter_mm": 5, "inner_diameter_mm": 6, "thickness_mm": 1}}),
            "/body/inner_diameter_mm",
        ),
        (
            json!({"want": "demagnetising_factor", "body": {"shape": "countersunk", "outer_diameter_mm": 5, "hole_diameter_mm": 2, "sink_diameter_mm": 6, "sink_depth_mm": 1, "thickness_mm": 2}}),
            "/body/outer_diameter_mm",
        ),
    ] {
        let reply = ask(line.clone());
        let error = &reply["error"];
        assert_eq!(error["field"], field, "{line} {reply}");
        assert!(
            error["message"].as_str().is_some_and(|m| m.len() > 5)
                && error["hint"].as_str().is_some_and(|h| h.len() > 3),
            "{reply}"
        );
    }
    for garbage in [
        "",
        "{",
        "NaN",
        "{\"id\":1,\"want\":\"B\",\"points_mm\":[[NaN,0,0]]}",
        "\u{0}",
    ] {
        let reply = answer_line(garbage);
        assert!(
            !reply.answered && reply.text.starts_with("{\"") && reply.text.contains("not JSON"),
            "{garbage:?} {}",
            reply.text
        );
    }
}

#[test]
fn overlapping_bodies_are_warned_of() {
    let reply = ask(json!({"id": 1, "want": "B", "bodies": [disc(), disc()], "points_mm": [[0, 0, 9]]}));
    assert_eq!(reply["warnings"].as_array().map(Vec::len), Some(1), "{reply}");
    assert!(reply.get("B_T").is_some());
}

#[test]
fn an_arrangement_stands_for_its_bodies() {
    let disc = r#"{"shape":"disc","diameter_mm":10,"thickness_mm":5,"polarisation_T":[0,0,1.2]}"#;
    let at = r#""points_mm":[[0,0,20]]"#;
    let of = |bodies: &str| answer_line(&format!(r#"{{"id":1,"want":"B","bodies":[{bodies}],{at}}}"#));
    let long =
        of(r#"{"shape":"disc","diameter_mm":10,"thickness_mm":15,"polarisation_T":[0,0,1.2],"centre_mm":[0,0,5]}"#);
    let pile = of(&format!(r#"{{"arrangement":"pile","of":{disc},"count":3}}"#));
    let value = |reply: &compute::Reply| {
        let json: serde_json::Value = serde_json::from_str(&reply.text).expect("JSON");
        json["B_T"][0][2].as_f64().expect("a number")
    };
    assert!(
        (value(&pile) - value(&long)).abs() <= 1e-14,
        "{} {}",
        pile.text,
        long.text
    );
    let nested = of(&format!(
        r#"{{"arrangement":"grid","of":{{"arrangement":"pile","of":[{disc}],"count":2}},"counts":[2,2],"pitch_mm":[12,12],"alternating":true}}"#
    ));
    assert!(nested.answered, "{}", nested.text);
}

#[test]
fn an_arrangement_that_is_none_says_where_and_what() {
    let disc = r#"{"shape":"disc","diameter_mm":10,"thickness_mm":5,"polarisation_T":[0,0,1.2]}"#;
    let wrong = |arrangement: &str| {
        let reply = answer_line(&format!(
            r#"{{"id":1,"want":"B","bodies":[{arrangement}],"points_mm":[[0,0,20]]}}"#
        ));
        let json: serde_json::Value = serde_json::from_str(&reply.text).expect("JSON");
        (json["error"]["field"].clone(), json["error"]["message"].to_string())
    };
    for (arrangement, field) in [
        (
            format!(r#"{{"arrangement":"heap","of":{disc}}}"#),
            "/bodies/0/arrangement",
        ),
        (format!(r#"{{"arrangement":"pile","of":{disc}}}"#), "/bodies/0/count"),
        (
            format!(r#"{{"arrangement":"pile","of":{disc},"count":1000000}}"#),
            "/bodies/0/count",
        ),
        (
            format!(r#"{{"arrangement":"pile","of":{disc},"count":2,"gap_mm":-1}}"#),
            "/bodies/0/gap_mm",
        ),
        (
            format!(r#"{{"arrangement":"pile","of":{disc},"count":2,"pitch_mm":1}}"#),
            "/bodies/0/pitch_mm",
        ),
        (r#"{"arrangement":"pile","of":[],"count":2}"#.into(), "/bodies/0/of"),
        (
            format!(r#"{{"arrangement":"halbach_row","of":{disc},"count":2,"pitch_mm":0}}"#),
            "/bodies/0/pitch_mm",
        ),
        (
            r#"{"arrangement":"pile","of":{"shape":"disc"},"count":2}"#.into(),
            "/bodies/0/of/diameter_mm",
        ),
    ] {
        let (got, message) = wrong(&arrangement);
        assert_eq!(got, field, "{arrangement}: {message}");
    }
    let deep = (0..20).fold(disc.to_string(), |inner, _| {
        format!(r#"{{"arrangement":"pile","of":{inner},"count":1}}"#)
    });
    assert!(wrong(&deep).1.contains("deep"));
}
