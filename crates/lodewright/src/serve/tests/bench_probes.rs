//! Probes of the bench over the web, and pulls from described plates.

use super::bench_sessions::{begun, take, whole_job};
use super::*;

/// All that a maker's sheet says of a probe can be entered, comes back as it was, and stays where it is not said again.
#[tokio::test]
async fn a_probe_has_the_shape_of_its_element_its_zero_and_its_warmth() {
    let server = begun(&[]).await;
    let mut body = whole_job()[1].3.clone().unwrap();
    body["name"] = "flat".into();
    body["element"] = "1.5 mm × 0.5 mm".into();
    body["zero_drift"] = "0.4 mT".into();
    body["temperature_coefficient"] = json!(-0.05);
    let entered = |line: &Value| line["entered"].clone();
    let first = server
        .json("PUT", "/api/bench/probes/q?units=metric", &body)
        .await
        .good();
    for (key, value) in [
        ("element", json!("1.5\u{a0}mm × 0.5\u{a0}mm")),
        ("zero_drift", json!("0.4\u{a0}mT")),
        ("temperature_coefficient", json!(-0.05)),
    ] {
        assert_eq!(entered(&first)[key], value, "{first}");
    }
    // As the page sends it back; and by somebody who does not know of zero and warmth.
    let again = server
        .json("PUT", "/api/bench/probes/q?units=metric", &entered(&first))
        .await
        .good();
    assert_eq!(entered(&again), entered(&first));
    for key in ["zero_drift", "temperature_coefficient"] {
        body.as_object_mut().unwrap().remove(key);
    }
    let silent = server
        .json("PUT", "/api/bench/probes/q?units=metric", &body)
        .await
        .good();
    assert_eq!(entered(&silent), entered(&first));
}

/// A pull from a described plate is a reading like others: expected before it, kept, written and read in again.
#[tokio::test]
async fn a_pull_from_a_described_plate_is_a_reading() {
    let server = begun(&[]).await;
    let thin = json!({ "kind": "pull", "plate": { "thickness": "1 mm", "across": "40 mm", "paint": "0.1 mm" } });
    let expected = |place: &Value| {
        let (server, place) = (&server, place.clone());
        async move {
            server
                .post("/api/bench/sessions/s/expected?units=metric", &place)
                .await
                .good()
        }
    };
    let (thick, sheet) = (expected(&json!({ "kind": "pull" })).await, expected(&thin).await);
    let mid = |view: &Value| view["before"]["mid"]["value"].as_f64().unwrap();
    assert!(mid(&sheet) < 0.8 * mid(&thick), "{sheet}");
    assert_eq!(
        sheet["what"],
        "one piece, pull from 1\u{a0}mm of mild steel, 40\u{a0}mm across, painted 0.1\u{a0}mm"
    );
    take(&server, "p", "20 N", thin.clone()).await;
    take(&server, "q", "45 N", json!({ "kind": "pull" })).await;
    let view = server.get("/api/bench/sessions/s?units=metric").await.good();
    let plate = &view["rows"][1]["place"]["plate"];
    assert_eq!(
        (&plate["thickness"], &plate["steel"]),
        (&json!("1\u{a0}mm"), &json!("mild steel"))
    );
    assert_eq!(view["rows"][0]["place"]["plate"], Value::Null);
    // The place goes back as it came.
    let place = json!({ "kind": "pull", "plate": plate });
    assert_eq!(mid(&expected(&place).await), mid(&sheet));
    let file = server.get("/api/bench/sessions/s/export?units=metric").await;
    let text = String::from_utf8(file.body).unwrap();
    assert!(text.contains(",1,40,0.1,mild steel,"), "{text}");
    let came = server.send("POST", "/api/bench/sessions/s/import", text).await.good();
    assert_eq!(came["added"], 2);
    let view = server.get("/api/bench/sessions/s?units=metric").await.good();
    assert_eq!(view["rows"][1]["place"]["plate"], *plate);
    for plate in [json!({ "steel": "cheese" }), json!({ "across": "5 mm" })] {
        let place = json!({ "kind": "pull", "plate": plate });
        server.post("/api/bench/sessions/s/expected", &place).await.problem(422);
    }
}
