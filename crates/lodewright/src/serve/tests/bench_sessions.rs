//! The bench over the web: probes, sessions, readings, what they say, and lots.

use super::*;

/// A table of readings.
pub const TABLE: &str = "value (mT),pieces,spacer,note\n390,1,,\n295,1,1 mm,\"by hand, twice\"\n\"481,5\",2,,\n";

/// One step of a job: method, path of the description (`..` for that of a session), address, body.
type Step = (&'static str, &'static str, String, Option<Value>);

/// Every route of the bench in an order that works.
pub fn whole_job() -> Vec<Step> {
    let probe = json!({
        "name": "pen", "depth": "0.5 mm", "depth_within": "0.3 mm", "element": "0.8 mm", "accuracy": 1.5,
        "resolution": "0.1 mT", "calibrated": "spring"
    });
    let of = |rest: &str| format!("/api/bench{rest}");
    let reading =
        |id: &str, value: &str| json!({ "id": id, "value": value, "place": { "pieces": 1 }, "taken_at": 1700000000 });
    let plan = json!({ "lot_size": 500, "level": "II", "aql": 1.0, "severity": "normal" });
    vec![
        ("get", "/api/bench/probes/start", of("/probes/start"), None),
        ("put", "/api/bench/probes/{id}", of("/probes/p"), Some(probe)),
        ("delete", "/api/bench/probes/{id}", of("/probes/p"), None),
        ("post", "/api/bench/probes/{id}/restore", of("/probes/p/restore"), None),
        ("post", "/api/bench/probes/{id}/usual", of("/probes/p/usual"), None),
        (
            "post",
            "/api/bench/sessions",
            of("/sessions"),
            Some(json!({ "id": "s", "magnet": { "code": "14-07" }, "lot": "B-118" })),
        ),
        (
            "post",
            "../readings",
            of("/sessions/s/readings"),
            Some(reading("r", "391 mT")),
        ),
        ("delete", "/api/bench/readings/{id}", of("/readings/r"), None),
        (
            "post",
            "/api/bench/readings/{id}/restore",
            of("/readings/r/restore"),
            None,
        ),
        (
            "put",
            "/api/bench/readings/{id}/standing",
            of("/readings/r/standing"),
            Some(json!({ "standing": "counted" })),
        ),
        ("post", "../import", of("/sessions/s/import"), None),
        ("get", "../export", of("/sessions/s/export"), None),
        (
            "post",
            "../expected",
            of("/sessions/s/expected"),
            Some(json!({ "pieces": 2, "spacer": "1 mm", "pole": "north" })),
        ),
        ("get", "../found", of("/sessions/s/found?free=depth&wanted=depth"), None),
        (
            "post",
            "../kept",
            of("/sessions/s/kept"),
            Some(json!({ "id": "k", "parameter": "scale" })),
        ),
        ("delete", "/api/bench/kept/{id}", of("/kept/k"), None),
        ("post", "/api/bench/kept/{id}/restore", of("/kept/k/restore"), None),
        ("get", "../grade", of("/sessions/s/grade"), None),
        ("post", "/api/bench/plan", of("/plan"), Some(plan.clone())),
        (
            "post",
            "../inspection",
            of("/sessions/s/inspection?units=mm,G"),
            Some(json!({ "plan": plan, "least": "380 mT" })),
        ),
        (
            "put",
            "../verdict",
            of("/sessions/s/verdict"),
            Some(json!({ "plan": { "lot_size": 2 }, "least": "380 mT" })),
        ),
        ("delete", "../verdict", of("/sessions/s/verdict"), None),
        ("get", "/api/bench/table", of("/table"), None),
        ("get", "/api/bench/table/file", of("/table/file?form=csv"), None),
        (
            "patch",
            "/api/bench/sessions/{id}",
            of("/sessions/s"),
            Some(json!({ "measured_thickness": "4.98 mm" })),
        ),
        ("get", "/api/bench/sessions/{id}", of("/sessions/s?units=inch"), None),
        ("delete", "/api/bench/sessions/{id}", of("/sessions/s"), None),
        ("post", "../restore", of("/sessions/s/restore"), None),
        ("get", "/api/bench", of(""), None),
        ("get", "/api/bench/meter", of("/meter"), None),
    ]
}

/// A bench with a probe and a session of the 15 × 5 mm disc, its readings those in mT.
pub async fn begun(readings: &[f64]) -> Server {
    let server = Server::small().await;
    for (method, _, uri, body) in whole_job().into_iter().take(6) {
        let reply = match body {
            Some(body) => server.json(&method.to_uppercase(), &uri, &body).await,
            None => server.send(&method.to_uppercase(), &uri, "").await,
        };
        assert!(reply.status.is_success(), "{uri}");
    }
    for (k, value) in readings.iter().enumerate() {
        take(&server, &format!("r{k}"), &format!("{value} mT"), json!({})).await;
    }
    server
}

pub async fn take(server: &Server, id: &str, value: &str, place: Value) {
    let reply = server
        .post(
            "/api/bench/sessions/s/readings",
            &json!({ "id": id, "value": value, "place": place }),
        )
        .await;
    assert_eq!(reply.status, 204, "{}", String::from_utf8_lossy(&reply.body));
}

async fn session(server: &Server) -> Value {
    server.get("/api/bench/sessions/s?units=metric").await.good()
}

async fn found(server: &Server, query: &str) -> Value {
    server
        .get(&format!("/api/bench/sessions/s/found?units=metric&{query}"))
        .await
        .good()["found"]
        .clone()
}

async fn expected(server: &Server, place: Value) -> Value {
    server
        .post("/api/bench/sessions/s/expected?units=metric", &place)
        .await
        .good()
}

#[tokio::test]
async fn a_reading_stands_against_its_band_and_is_never_doubled() {
    let server = begun(&[]).await;
    assert_eq!(session(&server).await["rows"], json!([]));
    assert_eq!(found(&server, "").await, Value::Null);
    let before = expected(&server, json!({})).await;
    assert_eq!((&before["lot"], &before["what"]), (&Value::Null, &json!("one piece")));
    let mid = before["before"]["mid"]["value"].as_f64().unwrap();
    let text = format!("{mid:.1} mT");
    for _ in 0..3 {
        take(&server, "a", &text, json!({})).await;
    }
    let rows = session(&server).await["rows"].clone();
    assert_eq!(rows.as_array().unwrap().len(), 1);
    assert_eq!(
        (&rows[0]["given"], &rows[0]["inside"]),
        (&json!(text.replace(' ', "\u{a0}")), &json!(true))
    );
    assert!(rows[0]["at"].as_f64().unwrap().abs() < 0.1, "{}", rows[0]);
    // Taken back it stays away, however often it is sent and taken back; and it can be brought back.
    for _ in 0..2 {
        let reply = server.send("DELETE", "/api/bench/readings/a", "").await;
        assert_eq!(reply.status, 204);
    }
    take(&server, "a", &text, json!({})).await;
    assert_eq!(session(&server).await["count"], 0);
    server.send("POST", "/api/bench/readings/a/restore", "").await;
    assert_eq!(session(&server).await["count"], 1);
    let other = json!({ "id": "a", "value": "100 mT" });
    let problem = server.post("/api/bench/sessions/s/readings", &other).await.problem(422);
    assert!(problem["detail"].as_str().unwrap().contains("another reading"));
}

#[tokio::test]
async fn readings_move_and_narrow_what_is_expected() {
    let server = begun(&[]).await;
    let mid = expected(&server, json!({})).await["before"]["mid"]["value"]
        .as_f64()
        .unwrap();
    for k in 0..8 {
        // A lot 5 % weaker than usual.
        let value = format!("{:.2} mT", 0.95 * mid * (1.0 + 0.004 * f64::from(k % 3 - 1)));
        take(&server, &format!("r{k}"), &value, json!({})).await;
    }
    let after = expected(&server, json!({})).await;
    let of = |bar: &str, end: &str| after[bar][end]["value"].as_f64().unwrap();
    assert!((of("lot", "mid") / mid - 0.95).abs() < 0.005, "{after}");
    let width = |bar: &str| of(bar, "high") - of(bar, "low");
    assert!(width("lot") < 0.4 * width("before"));
    let rows = session(&server).await["rows"].clone();
    assert!(
        rows.as_array()
            .unwrap()
            .iter()
            .all(|r| r["by_lot"] == true && r["inside"] == true)
    );
}

#[tokio::test]
async fn an_odd_reading_is_left_out_and_can_be_counted() {
    let server = begun(&[391.0, 389.0, 392.0, 390.0, 388.0, 391.5, 330.0]).await;
    let view = session(&server).await;
    let odd = &view["rows"][0];
    assert_eq!(
        (&odd["odd"], &odd["counts"], &odd["inside"]),
        (&json!(true), &json!(false), &json!(false))
    );
    assert!(odd["says"].as_str().unwrap().contains("below its band"));
    assert!(!odd["reasons"].as_array().unwrap().is_empty());
    assert_eq!(view["left_out"], 1);
    let labels = |found: &Value| {
        found["findings"]
            .as_array()
            .unwrap()
            .iter()
            .map(|f| f["label"].clone())
            .collect::<Vec<_>>()
    };
    assert!(labels(&found(&server, "").await).contains(&json!("left out")));
    let stand = |standing: &'static str| {
        let server = &server;
        async move {
            server
                .json(
                    "PUT",
                    "/api/bench/readings/r6/standing",
                    &json!({ "standing": standing }),
                )
                .await
                .status
        }
    };
    assert_eq!(stand("counted").await, 204);
    let view = session(&server).await;
    assert_eq!(
        (&view["rows"][0]["counts"], &view["left_out"]),
        (&json!(true), &json!(0))
    );
    assert!(!labels(&found(&server, "").await).contains(&json!("left out")));
    assert_eq!(stand("left_out").await, 204);
    let view = session(&server).await;
    assert_eq!(
        (&view["rows"][0]["counts"], &view["rows"][0]["odd"]),
        (&json!(false), &json!(false))
    );
    assert_eq!(stand("sideways").await, 422);
}

/// What is kept of one session moves and narrows another of the same lot and probe, and no longer when it is removed.
#[tokio::test]
async fn what_is_kept_is_used_elsewhere_until_it_is_removed() {
    let server = begun(&[372.0, 371.0, 373.0, 372.5, 371.5]).await;
    let keep = json!({ "id": "k", "parameter": "scale" });
    let line = server
        .post("/api/bench/sessions/s/kept?units=metric", &keep)
        .await
        .good();
    assert!(line["text"].as_str().unwrap().contains("effective remanence"), "{line}");
    assert!(line["from"].as_str().unwrap().starts_with("5 readings of 15"), "{line}");
    let own = expected(&server, json!({})).await;
    let again = json!({ "id": "t", "magnet": { "code": "14-07" }, "lot": "B-118" });
    let other = server.post("/api/bench/sessions?units=metric", &again).await.good();
    assert_eq!(other["used"].as_array().unwrap().len(), 1);
    let of = |id: &'static str| {
        let server = &server;
        async move {
            let uri = format!("/api/bench/sessions/{id}/expected?units=metric");
            let view = server.post(&uri, &json!({})).await.good();
            ["low", "mid", "high"].map(|end| view["before"][end]["value"].as_f64().unwrap())
        }
    };
    let [low, mid, high] = of("t").await;
    let own = ["low", "mid", "high"].map(|end| own["before"][end]["value"].as_f64().unwrap());
    assert!(
        (mid - 372.0).abs() < 2.0 && high - low < 0.9 * (own[2] - own[0]),
        "{low} {mid} {high} against {own:?}"
    );
    let stranger = json!({ "id": "u", "magnet": { "code": "14-07" }, "lot": "C" });
    server.post("/api/bench/sessions", &stranger).await.good();
    assert_eq!(of("u").await, own, "another lot knows nothing of it");
    assert_eq!(server.send("DELETE", "/api/bench/kept/k", "").await.status, 204);
    assert_eq!(of("t").await, own);
    let problem = server
        .post(
            "/api/bench/sessions/t/kept",
            &json!({ "id": "l", "parameter": "depth" }),
        )
        .await
        .problem(422);
    assert_eq!(problem["field"], "/parameter");
}

#[tokio::test]
async fn a_table_is_read_in_whole_once_and_comes_out_as_it_went_in() {
    let server = begun(&[]).await;
    let uri = "/api/bench/sessions/s/import";
    let done = server.send("POST", uri, TABLE).await.good();
    assert_eq!((&done["added"], &done["known"]), (&json!(3), &json!(0)));
    let done = server.send("POST", uri, TABLE).await.good();
    assert_eq!((&done["added"], &done["known"]), (&json!(0), &json!(3)));
    let rows = session(&server).await["rows"].clone();
    assert_eq!(rows[0]["given"], "481.5\u{a0}mT");
    assert_eq!(
        (&rows[1]["what"], &rows[1]["note"]),
        (&json!("one piece, on 1\u{a0}mm"), &json!("by hand, twice"))
    );

    let wrong = "value,pieces,pole\n300 mT,1,N\n300 kg,0.5,N\n,1,\n300 mT,1,W\n";
    let problem = server.send("POST", uri, wrong).await.problem(422);
    let lines: Vec<u64> = problem["problems"]
        .as_array()
        .unwrap()
        .iter()
        .map(|p| p["line"].as_u64().unwrap())
        .collect();
    assert_eq!(lines, [3, 4, 5], "{problem}");
    for (text, said) in [
        ("", "no line"),
        ("pieces\n1\n", "value"),
        ("value,weather\n1 mT,fine\n", "weather"),
        ("value\n", "no reading"),
    ] {
        let problem = server.send("POST", uri, text).await.problem(422).to_string();
        assert!(problem.contains(said) || text.is_empty(), "{problem}");
    }
    assert_eq!(session(&server).await["count"], 3);

    let file = server.get("/api/bench/sessions/s/export").await;
    assert!(file.header("content-type").starts_with("text/csv"));
    let again = json!({ "id": "t", "magnet": { "code": "14-07" } });
    server.post("/api/bench/sessions", &again).await.good();
    let done = server
        .send("POST", "/api/bench/sessions/t/import", file.body)
        .await
        .good();
    assert_eq!(done["added"], 3);
    let copy = server.get("/api/bench/sessions/t?units=metric").await.good();
    let plain = |rows: &Value| {
        let of = |row: &Value| (row["given"].clone(), row["place"].clone(), row["note"].clone());
        rows.as_array().unwrap().iter().map(of).collect::<Vec<_>>()
    };
    assert_eq!(plain(&copy["rows"]), plain(&rows));
}

#[tokio::test]
async fn the_grade_is_told_and_what_speaks_against_the_label() {
    let server = begun(&[]).await;
    assert_eq!(
        server.get("/api/bench/sessions/s/grade").await.problem(422)["title"],
        "no readings"
    );
    let mid = expected(&server, json!({})).await["before"]["mid"]["value"]
        .as_f64()
        .unwrap();
    for k in 0..6 {
        take(&server, &format!("r{k}"), &format!("{:.2} mT", 0.78 * mid), json!({})).await;
    }
    let view = server.get("/api/bench/sessions/s/grade").await.good();
    let grades = view["grades"].as_array().unwrap();
    let sum: f64 = grades.iter().map(|g| g["chance"].as_f64().unwrap()).sum();
    assert!((0.9..=1.0 + 1e-9).contains(&sum), "{sum}");
    let label = grades.iter().find(|g| g["label"] == true).unwrap();
    assert!(label["chance"].as_f64().unwrap() < 0.05, "{label}");
    assert!(
        view["findings"][0]["text"]
            .as_str()
            .unwrap()
            .contains("N42 is hardly so"),
        "{view}"
    );
    // How surely such readings find out a weaker lot under that label stands beside it: sound lots at the risk of 5 %.
    let found_out = |g: &Value| g["found_out"].as_f64().unwrap();
    assert!((found_out(label) - 0.05).abs() < 1e-6, "{label}");
    assert!(grades.iter().all(|g| found_out(g) >= found_out(label)));
    let findings = view["findings"].as_array().unwrap();
    let surely = findings.iter().find(|f| f["label"] == "how surely").unwrap();
    let text = surely["text"].as_str().unwrap();
    assert!(
        text.contains("of lots of N40 that are sold as N42") && text.contains("of sound ones they call 5"),
        "{text}"
    );
}

#[tokio::test]
async fn a_lot_is_inspected_by_its_plan() {
    let plan = |size: u64| json!({ "lot_size": size, "level": "II", "aql": 1.0, "severity": "normal" });
    let server = begun(&[391.0, 389.0, 340.0, 392.0]).await;
    // MIL-STD-105E, tables I and II-A: 500 pieces, level II, letter H, 50 pieces, accept 1, reject 2.
    let view = server.post("/api/bench/plan", &plan(500)).await.good();
    let of = ["letter", "sample", "accept", "reject"].map(|key| view[key].clone());
    assert_eq!(of, [json!("H"), json!(50), json!(1), json!(2)]);
    let uri = "/api/bench/sessions/s/inspection?units=metric";
    let asked = |least: &str| json!({ "plan": plan(500), "least": least });
    let view = server.post(uri, &asked("380 mT")).await.good();
    assert_eq!(
        (&view["bad"], &view["left"], &view["verdict"]),
        (&json!(1), &json!(46), &json!("reading"))
    );
    // Within the meter's own uncertainty of the limit a piece is read again.
    let view = server.post(uri, &asked("391.5 mT")).await.good();
    let states: Vec<&str> = view["pieces"]
        .as_array()
        .unwrap()
        .iter()
        .map(|p| p["state"].as_str().unwrap())
        .collect();
    assert_eq!(states, ["again", "again", "bad", "good"]);
    take(&server, "x", "341 mT", json!({})).await;
    let view = server.post(uri, &asked("380 mT")).await.good();
    assert_eq!((&view["bad"], &view["verdict"]), (&json!(2), &json!("reject")));
    let labels: Vec<&str> = view["certificate"]
        .as_array()
        .unwrap()
        .iter()
        .map(|f| f["label"].as_str().unwrap())
        .collect();
    for wanted in ["magnet", "plan", "instrument", "Cpk", "date"] {
        assert!(labels.contains(&wanted), "{labels:?}");
    }
    for (body, field) in [
        (json!({ "plan": plan(1) }), "/lot_size"),
        (json!({ "plan": { "lot_size": 500, "aql": 3.0 } }), "/aql"),
        (json!({ "plan": { "lot_size": 500, "level": "IV" } }), "/level"),
        (json!({ "plan": plan(500), "least": "tall" }), "/least"),
        (
            json!({ "plan": plan(500), "least": "400 mT", "most": "300 mT" }),
            "/most",
        ),
    ] {
        assert_eq!(server.post(uri, &body).await.problem(422)["field"], field);
    }
}

#[tokio::test]
async fn what_does_not_fit_is_refused_with_its_place() {
    let server = begun(&[]).await;
    let probe = |key: &str, value: &str| {
        let mut body = whole_job()[1].3.clone().unwrap();
        body[key] = value.into();
        body
    };
    for (key, value) in [
        ("depth", "deep"),
        ("element", "2 kg"),
        ("element", "1 mm × wide"),
        ("resolution", ""),
        ("zero_drift", "far"),
    ] {
        let problem = server
            .json("PUT", "/api/bench/probes/q", &probe(key, value))
            .await
            .problem(422);
        assert_eq!(problem["field"], format!("/{key}"));
    }
    server
        .json("PUT", "/api/bench/probes/q", &probe("name", "pen"))
        .await
        .problem(422);
    for (body, field) in [
        (json!({ "id": "x", "magnet": { "code": "99-99" } }), "/magnet/code"),
        (
            json!({ "id": "x", "magnet": { "shape": "disc", "size_mm": [10, 3], "grade": "N99" } }),
            "/magnet/grade",
        ),
    ] {
        assert_eq!(
            server.post("/api/bench/sessions", &body).await.problem(422)["field"],
            field
        );
    }
    for value in ["", "288.4", "tall", "3 kPa", "0 mT", "1e400 mT"] {
        let body = json!({ "id": "x", "value": value });
        server.post("/api/bench/sessions/s/readings", &body).await.problem(422);
    }
    let place = json!({ "pieces": 0 });
    server.post("/api/bench/sessions/s/expected", &place).await.problem(422);
    for uri in [
        "/api/bench/sessions/z",
        "/api/bench/sessions/z/found",
        "/api/bench/sessions/z/grade",
    ] {
        server.get(uri).await.problem(404);
    }
    for uri in [
        "/api/bench/readings/z",
        "/api/bench/kept/z",
        "/api/bench/probes/z",
        "/api/bench/sessions/z",
    ] {
        server.send("DELETE", uri, "").await.problem(404);
    }
    let changed = server
        .json(
            "PATCH",
            "/api/bench/sessions/s",
            &json!({ "measured_thickness": "50 mm" }),
        )
        .await
        .problem(422);
    assert_eq!(changed["field"], "/measured_thickness");
    server
        .get("/api/bench/sessions/s/found?free=weather")
        .await
        .problem(422);
}

pub fn texts(runs: &Value) -> String {
    runs.as_array()
        .unwrap()
        .iter()
        .map(|run| run["text"].as_str().unwrap())
        .collect()
}

#[tokio::test]
async fn the_usual_probe_stands_wherever_a_reading_at_the_face_is_told() {
    let server = Server::small().await;
    let labels = |item: Value| -> Vec<String> {
        let facts = item["facts"].as_array().unwrap().clone();
        facts.iter().map(|f| f["label"].as_str().unwrap().to_owned()).collect()
    };
    let depth_of = |value: &Value| value["probe_depth"].as_f64().unwrap();
    let item = || async { server.get("/api/items/14-07").await.good() };
    let start = || async { server.get("/api/start?verb=face_field").await.good()["question"]["need"].clone() };
    assert!(!labels(item().await).iter().any(|l| l.contains("shows at its face")));
    assert_eq!(depth_of(&start().await), 0.5e-3);
    let mut probe = whole_job()[1].3.clone().unwrap();
    probe["depth"] = "0.8 mm".into();
    server.json("PUT", "/api/bench/probes/p", &probe).await.good();
    assert!(labels(item().await).contains(&"pen shows at its face".to_owned()));
    assert_eq!(depth_of(&start().await), 0.8e-3);
    let ladder = server.get("/api/ladder/start").await.good();
    assert_eq!(depth_of(&ladder["measure"]), 0.8e-3, "{ladder}");
}

/// My meter shows so much on such a magnet: is that right?
#[tokio::test]
async fn a_reading_in_an_enquiry_is_judged() {
    let server = Server::small().await;
    let told = |field: &'static str| {
        let server = &server;
        async move {
            let enquiry = json!({
                "kind": "tell", "about": ["face_field"],
                "magnets": [{ "shape": "disc", "size_mm": [10, 5], "grade": "N42" }],
                "question": { "need": { "verb": "face_field", "field": field } }
            });
            server.post("/api/enquiry?units=mm,G", &enquiry).await.good()
        }
    };
    let low = told("3100 G").await;
    let lead = texts(&low["lead"]);
    assert!(
        lead.contains("is to be expected") && lead.contains("Is 3100\u{a0}G right? Hardly"),
        "{lead}"
    );
    let reasons: Vec<String> = low["because"].as_array().unwrap().iter().map(texts).collect();
    for (k, start) in ["1. ", "2. "].iter().enumerate() {
        assert!(
            reasons[k].starts_with(start) && reasons[k].contains("alone"),
            "{reasons:?}"
        );
    }
    // One band for one thing: that of the sentence is that of the row below it.
    let rows = low["figures"].as_array().unwrap();
    let row = rows.iter().find(|row| row["label"] == "as a meter reads it").unwrap();
    let range = row["range"].as_str().unwrap();
    assert!(lead.contains(&format!("readings lie from {range}.")), "{lead} {row}");
    let right = texts(&told("3900 G").await["lead"]);
    assert!(right.contains("right? Yes"), "{right}");
    // The same in a customer's words.
    let words = json!({ "words": "My meter shows 3100 G on a 10 x 5 mm N42 disc, is that right?" });
    let asked = server.post("/api/ask?units=mm,G", &words).await.good();
    let lead = texts(&asked["told"]["lead"]);
    assert!(lead.contains("Is 3100\u{a0}G right? Hardly"), "{asked}");
    let none = server
        .post(
            "/api/enquiry",
            &json!({ "kind": "tell", "about": ["face_field"], "magnets": [{ "code": "14-07" }] }),
        )
        .await
        .good();
    assert!(!texts(&none["lead"]).contains("right?"));
}
