//! Lots one after the other, readings of every kind and place, and the table as measured.

use super::bench_sessions::{begun, take, texts};
use super::*;

const LEAST: &str = "380 mT";

/// A plan of two pieces that are all read: no bad one is allowed.
fn plan() -> Value {
    json!({ "lot_size": 2, "aql": 1.0 })
}

/// Reads a lot of two pieces in a session of its own and notes its verdict.
async fn lot(server: &Server, id: &str, values: [f64; 2], severity: Option<&str>) {
    let begin = json!({ "id": id, "magnet": { "code": "14-07" }, "lot": format!("lot {id}") });
    server.post("/api/bench/sessions", &begin).await.good();
    for (k, value) in values.iter().enumerate() {
        let body = json!({ "id": format!("{id}-{k}"), "value": format!("{value} mT") });
        let reply = server.post(&format!("/api/bench/sessions/{id}/readings"), &body).await;
        assert_eq!(reply.status, 204);
    }
    let mut plan = plan();
    plan["severity"] = severity.map_or(Value::Null, Value::from);
    let body = json!({ "plan": plan, "least": LEAST });
    let uri = format!("/api/bench/sessions/{id}/verdict");
    let reply = server.json("PUT", &uri, &body).await;
    assert_eq!(reply.status, 204, "{}", String::from_utf8_lossy(&reply.body));
}

async fn proposal(server: &Server, session: &str) -> Value {
    let uri = format!("/api/bench/sessions/{session}/inspection?units=metric");
    let body = json!({ "plan": plan(), "least": LEAST });
    let view = server.post(&uri, &body).await.good();
    assert_eq!(view["plan"]["severity"], view["proposal"]["severity"]);
    view["proposal"].clone()
}

/// The switching rules of MIL-STD-105E, 4.7, over the lots of one magnet that were noted.
#[tokio::test]
async fn the_next_lot_is_inspected_as_those_before_ask_for() {
    let server = begun(&[]).await;
    let (good, bad) = ([391.0, 392.0], [391.0, 330.0]);
    let first = proposal(&server, "s").await;
    assert_eq!((&first["severity"], &first["lots"]), (&json!("normal"), &json!([])));
    assert!(texts(&first["says"]).contains("No lot of this magnet"));
    lot(&server, "a", bad, None).await;
    assert_eq!(proposal(&server, "s").await["severity"], "normal");
    lot(&server, "b", bad, None).await;
    let tightened = proposal(&server, "s").await;
    assert_eq!(tightened["severity"], "tightened");
    assert!(texts(&tightened["says"]).contains("Two of the last five lots were sent back"));
    assert_eq!(tightened["lots"][0]["lot"], "lot b");
    assert_eq!(tightened["lots"][0]["accepted"], false);
    // A lot is judged by those before it, not by itself or those after it.
    let own = proposal(&server, "b").await;
    assert_eq!(
        (&own["severity"], own["lots"].as_array().unwrap().len()),
        (&json!("normal"), 1)
    );
    assert!(own["noted"]["says"].as_str().unwrap().contains("sent back"), "{own}");
    // Taken back, it counts no longer; noted again, it does.
    assert_eq!(
        server.send("DELETE", "/api/bench/sessions/b/verdict", "").await.status,
        204
    );
    assert_eq!(proposal(&server, "s").await["severity"], "normal");
    server
        .send("DELETE", "/api/bench/sessions/b/verdict", "")
        .await
        .problem(404);
    let again = json!({ "plan": plan(), "least": LEAST });
    assert_eq!(
        server.json("PUT", "/api/bench/sessions/b/verdict", &again).await.status,
        204
    );
    for id in ["c", "d", "e", "f", "g"] {
        assert_eq!(proposal(&server, "s").await["severity"], "tightened", "{id}");
        lot(&server, id, good, None).await;
    }
    let normal = proposal(&server, "s").await;
    assert_eq!(normal["severity"], "normal");
    assert!(texts(&normal["says"]).contains("Five lots in a row were accepted"));
    // The inspector may choose otherwise, and then it is counted from there.
    lot(&server, "h", good, Some("reduced")).await;
    assert_eq!(proposal(&server, "s").await["severity"], "reduced");
    lot(&server, "i", bad, None).await;
    assert_eq!(proposal(&server, "s").await["severity"], "normal");
    // Another magnet has a history of its own.
    let other = json!({ "id": "other", "magnet": { "code": "14-08" } });
    server.post("/api/bench/sessions", &other).await.good();
    assert_eq!(proposal(&server, "other").await["lots"], json!([]));
}

#[tokio::test]
async fn a_verdict_needs_its_readings_and_a_limit() {
    let server = begun(&[391.0]).await;
    let uri = "/api/bench/sessions/s/verdict";
    let body = json!({ "plan": plan(), "least": LEAST });
    let problem = server.json("PUT", uri, &body).await.problem(422);
    assert!(problem["detail"].as_str().unwrap().contains("1 pieces"), "{problem}");
    let problem = server.json("PUT", uri, &json!({ "plan": plan() })).await.problem(422);
    assert_eq!(problem["field"], "/least");
}

/// Each kind of reading is expected, typed and fitted, on the axis and off it.
#[tokio::test]
async fn every_kind_and_place_is_expected_typed_and_fitted() {
    let server = begun(&[]).await;
    let places = [
        json!({ "across": "3 mm" }),
        json!({ "across": "7.5 mm" }),
        json!({ "across": "-7.5 mm" }),
        json!({ "along": "10 mm" }),
        json!({ "kind": "pull" }),
        json!({ "kind": "pull", "spacer": "1 mm" }),
        json!({ "kind": "moment" }),
        json!({ "kind": "moment", "pieces": 2 }),
    ];
    for (k, place) in places.iter().enumerate() {
        let view = server
            .post("/api/bench/sessions/s/expected?units=metric", place)
            .await
            .good();
        let [low, mid, high] = ["low", "mid", "high"].map(|end| view["before"][end]["value"].as_f64().unwrap());
        assert!(0.0 < low && low < mid && mid < high, "{place}: {view}");
        let unit = view["before"]["mid"]["unit"].as_str().unwrap().to_owned();
        let wanted = match place["kind"].as_str() {
            Some("pull") => "N",
            Some("moment") => "A m²",
            _ => "mT",
        };
        assert_eq!(unit, wanted);
        // A lot that is 3 % weaker; a pull goes as the square.
        let part: f64 = if wanted == "N" { 0.97 * 0.97 } else { 0.97 };
        take(
            &server,
            &format!("k{k}"),
            &format!("{} {unit}", mid * part),
            place.clone(),
        )
        .await;
    }
    let session = server.get("/api/bench/sessions/s?units=metric").await.good();
    assert_eq!(session["edge"], "7.5\u{a0}mm");
    for row in session["rows"].as_array().unwrap() {
        assert_eq!((&row["inside"], &row["counts"]), (&json!(true), &json!(true)), "{row}");
    }
    let found = server.get("/api/bench/sessions/s/found?units=metric").await.good()["found"].clone();
    let scale = &found["fit"]["parameters"]
        .as_array()
        .unwrap()
        .iter()
        .find(|p| p["parameter"] == json!({ "scale": 0 }))
        .unwrap()["value"];
    // The middle of a band is that of its inputs' modes; their means lie a little beside it.
    assert!((scale.as_f64().unwrap() / 0.97 - 1.0).abs() < 0.02, "{scale}");
    let across = &found["across"];
    assert_eq!(across["dots"].as_array().unwrap().len(), 3, "{across}");
    let (xs, mid) = (&across["xs"], &across["before"]["mid"]);
    let count = xs.as_array().unwrap().len();
    let at = |list: &Value, k: usize| list[k].as_f64().unwrap();
    for k in 0..count {
        assert!((at(xs, k) + at(xs, count - 1 - k)).abs() < 1e-9);
        assert!((at(mid, k) / at(mid, count - 1 - k) - 1.0).abs() < 1e-6, "{mid}");
        assert!(at(&across["before"]["low"], k) < at(mid, k) && at(mid, k) < at(&across["before"]["high"], k));
    }
}

/// What was read stands beside what the grade promises, once for each place, as a page and as files.
#[tokio::test]
async fn the_table_as_measured_holds_every_place_once() {
    let server = begun(&[390.0, 392.0, 388.0]).await;
    take(&server, "x", "300 mT", json!({ "spacer": "1 mm" })).await;
    take(&server, "y", "100 mT", json!({ "spacer": "2 mm" })).await;
    let stand = json!({ "standing": "left_out" });
    server.json("PUT", "/api/bench/readings/y/standing", &stand).await;
    let before = server.get("/api/bench/table?units=metric").await.good();
    let rows = before["rows"].as_array().unwrap();
    assert_eq!(rows.len(), 2, "{before}");
    let face = rows.iter().find(|row| row["what"] == "one piece").unwrap();
    assert_eq!((&face["readings"], &face["code"]), (&json!(3), &json!("14-07")));
    assert!((face["mean"]["value"].as_f64().unwrap() - 390.0).abs() < 1e-9);
    // The standard deviation of 390, 392 and 388 is 2: 0.5 % of the mean.
    assert!(face["spread"].as_str().unwrap().starts_with("0.5"), "{face}");
    let [low, mid, high] = ["low", "predicted", "high"].map(|end| face[end]["value"].as_f64().unwrap());
    assert!(low < mid && mid < high);
    // What is kept of the lot would be the readings against themselves.
    let keep = json!({ "id": "k", "parameter": "scale" });
    server.post("/api/bench/sessions/s/kept", &keep).await.good();
    assert_eq!(server.get("/api/bench/table?units=metric").await.good(), before);
    let file = server.get("/api/bench/table/file?form=csv&units=metric").await;
    assert!(file.header("content-type").starts_with("text/csv"));
    let text = String::from_utf8(file.body).unwrap();
    let line = text.lines().find(|line| line.contains("one piece,")).unwrap();
    assert!(
        line.starts_with("14-07,15 × 5 mm N42,B-118,one piece,pen,3,390,mT,"),
        "{line}"
    );
    let book = server.get("/api/bench/table/file?form=xlsx&units=metric").await;
    assert_eq!(book.body.get(..2), Some(b"PK".as_slice()));
    let problem = server.get("/api/bench/table/file?form=doc").await.problem(422);
    assert_eq!(problem["field"], "form");
}
