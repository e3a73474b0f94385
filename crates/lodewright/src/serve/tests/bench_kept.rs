//! Values kept at the bench, wherever they move a prediction.

use super::bench_sessions::{begun, take, texts, whole_job};
use super::*;

/// Readings of a lot that is a twentieth weaker than the usual one, in mT: the middle of what is expected, less 5 %.
async fn weak_lot() -> Server {
    let server = begun(&[]).await;
    read_weak(&server).await;
    server
}

async fn read_weak(server: &Server) {
    let expected = server
        .post("/api/bench/sessions/s/expected?units=metric", &json!({}))
        .await
        .good();
    let mid = expected["before"]["mid"]["value"].as_f64().unwrap();
    for k in 0..8 {
        let value = 0.95 * mid * (1.0 + 0.004 * f64::from(k % 3 - 1));
        take(server, &format!("r{k}"), &format!("{value:.2} mT"), json!({})).await;
    }
}

async fn keep(server: &Server, parameter: &str) -> Value {
    let body = json!({ "id": format!("k-{parameter}"), "parameter": parameter });
    server
        .post("/api/bench/sessions/s/kept?units=metric", &body)
        .await
        .good()
}

/// A lot of ferrite discs, of a grade with a wide bracket, that is 5 % weaker than usual, read with a probe that is known well.
async fn weak_ferrite() -> Server {
    let server = Server::small().await;
    let list = format!("{LIST}30-01,disc,15,,5,Y10T,none,10,0.20,0.10\n");
    server.send("POST", "/api/shelf/import?name=b.csv", list).await.good();
    let mut probe = whole_job()[1].3.clone().unwrap();
    (probe["depth_within"], probe["accuracy"]) = ("0.04 mm".into(), json!(0.4));
    server.json("PUT", "/api/bench/probes/p", &probe).await.good();
    let begin = json!({ "id": "s", "magnet": { "code": "30-01" }, "lot": "B-118" });
    server.post("/api/bench/sessions", &begin).await.good();
    read_weak(&server).await;
    server
}

/// What is asked of the item in every manner: middle, low and high end where they are told apart, and all that is said.
async fn everywhere(server: &Server) -> Vec<(&'static str, [f64; 3], String)> {
    let ask = json!({ "question": { "need": { "verb": "pull_together", "force": "0.2 N", "gap": "2 mm" } } });
    let answer = server.post("/api/ask?units=metric", &ask).await.good();
    let candidate = of_code(&answer["candidates"], "30-01");
    let item = server.get("/api/items/30-01?units=metric").await.good();
    let request = json!({
        "body": { "shape": "disc", "diameter": "15 mm" }, "grade": "Y10T", "pieces": 1,
        "measure": { "what": "pull", "gap": "1 mm" }, "by": "thickness" });
    let ladder = server.post("/api/ladder?units=metric", &request).await.good();
    let rung = of_code(&ladder["rungs"], "30-01");
    let named = |magnets: Value| json!({ "kind": "tell", "about": ["pull"], "magnets": magnets });
    let told = server
        .post("/api/enquiry?units=metric", &named(json!([{ "code": "30-01" }])))
        .await
        .good();
    let two = json!([{ "code": "30-01" }, { "code": "30-01", "count": 2 }]);
    let compared = server.post("/api/enquiry?units=metric", &named(two)).await.good();
    let band = |of: &Value| [&of["value"], &of["low"], &of["high"]].map(|figure| figure["value"].as_f64().unwrap());
    let said = |parts: &[&Value]| parts.iter().map(|part| said(part)).collect::<String>();
    vec![
        ("answer", band(&candidate), said(&[&candidate["because"]])),
        ("item", band(&item["bands"][0]), said(&[&item["facts"]])),
        ("ladder", band(&rung), said(&[&rung["detail"]])),
        ("tell", [0.0; 3], said(&[&told["because"], &told["figures"]])),
        ("compare", [0.0; 3], said(&[&compared["assumed"], &compared["rows"]])),
    ]
}

/// The one of that item.
fn of_code(list: &Value, code: &str) -> Value {
    let found = list.as_array().unwrap().iter().find(|one| one["code"] == code);
    found.unwrap_or_else(|| panic!("{list}")).clone()
}

/// All texts in it, one behind the other.
fn said(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Array(list) => list.iter().map(said).collect(),
        Value::Object(map) => map.values().map(said).collect(),
        _ => String::new(),
    }
}

/// Kept readings of a lot move and narrow every answer about its item, which say by what they are reckoned; removed, all is as
/// it was, and brought back it counts again.
#[tokio::test]
async fn a_kept_lot_moves_and_narrows_every_prediction_until_it_is_removed() {
    let server = weak_ferrite().await;
    let before = everywhere(&server).await;
    keep(&server, "scale").await;
    let after = everywhere(&server).await;
    for ((what, [mid, low, high], then), (_, [now, least, most], said)) in before.iter().zip(&after) {
        assert!(said.contains("8 readings of lot B-118"), "{what}: {said}");
        assert_ne!(said, then);
        if *mid > 0.0 {
            assert!(now / mid < 0.98 && now / mid > 0.85, "{what}: {mid} {now}");
            assert!(
                most - least < 0.97 * (high - low),
                "{what}: {low} {high} against {least} {most}"
            );
        }
    }
    let remove = || async { server.send("DELETE", "/api/bench/kept/k-scale", "").await.status };
    assert_eq!(remove().await, 204);
    assert_eq!(everywhere(&server).await, before);
    assert_eq!(
        server.send("POST", "/api/bench/kept/k-scale/restore", "").await.status,
        204
    );
    assert_eq!(everywhere(&server).await, after);
}

/// A code that goes to another magnet is reckoned with its grade, and an answer that was kept opens as it was.
#[tokio::test]
async fn kept_readings_belong_to_their_magnet_and_answers_to_their_day() {
    let server = weak_lot().await;
    keep(&server, "scale").await;
    let ask = json!({ "words": "hold 1 kg on steel, N42" });
    let answer = server.post("/api/ask?units=metric", &ask).await.good();
    let id = answer["id"].as_str().unwrap().to_owned();
    let open = || async {
        let uri = format!("/api/answers/{id}?units=metric");
        server.get(&uri).await.good()["candidates"].clone()
    };
    let then = open().await;
    assert!(said(&then).contains("8 readings of lot"), "{then}");
    server.send("DELETE", "/api/bench/kept/k-scale", "").await;
    assert_eq!(open().await, then);
    server.send("POST", "/api/bench/kept/k-scale/restore", "").await;
    let facts = || async { server.get("/api/items/14-07").await.good()["facts"].to_string() };
    assert!(facts().await.contains("8 readings of lot"));
    let other = "code,size,grade,price 1\n14-07,15 x 6,N42,0.50\n";
    server
        .send("POST", "/api/shelf/import?name=b.csv&confirmed=true", other)
        .await
        .good();
    assert!(!facts().await.contains("8 readings"));
}

/// A depth that was kept of the usual probe is what readings at a face are asked with, and as sure as it was found.
#[tokio::test]
async fn the_kept_depth_of_the_usual_probe_stands_in_questions_about_the_face() {
    let server = begun(&[]).await;
    let start = || async { server.get("/api/start?verb=face_field").await.good()["question"].clone() };
    let asked = |question: Value| {
        let server = &server;
        async move {
            let mut question = question;
            question["need"]["field"] = "200 mT".into();
            let answer = server
                .post("/api/ask?units=metric", &json!({ "question": question }))
                .await
                .good();
            let found = of_code(&answer["candidates"], "14-07");
            let end = |end: &str| found[end]["value"].as_f64().unwrap();
            end("high") - end("low")
        }
    };
    let before = start().await;
    let width = asked(before.clone()).await;
    // What a probe shows whose element lies 0.12 mm deeper.
    for (k, spacer) in [0.0, 0.5, 1.0, 2.0, 5.0].iter().cycle().take(20).enumerate() {
        let deeper = json!({ "spacer": format!("{:.2} mm", spacer + 0.12) });
        let view = server
            .post("/api/bench/sessions/s/expected?units=metric", &deeper)
            .await
            .good();
        let value = view["before"]["mid"]["text"].as_str().unwrap();
        take(
            &server,
            &format!("r{k}"),
            value,
            json!({ "spacer": format!("{spacer} mm") }),
        )
        .await;
    }
    keep(&server, "depth").await;
    let after = start().await;
    assert_ne!(after["need"]["probe_depth"], before["need"]["probe_depth"]);
    assert!(asked(after).await < width);
    server.send("DELETE", "/api/bench/kept/k-depth", "").await;
    let again = start().await;
    assert_eq!(again["need"]["probe_depth"], before["need"]["probe_depth"]);
    assert_eq!(asked(again).await, width);
    // What is told of a face names the probe's depth, and a comparison its reading.
    let told = json!({ "kind": "tell", "about": ["face_field"], "magnets": [{ "code": "14-07" }, { "code": "14-07", "count": 2 }] });
    let compared = server.post("/api/enquiry?units=metric", &told).await.good();
    assert!(
        compared["rows"].to_string().contains("pen"),
        "{}",
        texts(&compared["lead"])
    );
}
