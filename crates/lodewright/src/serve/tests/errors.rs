//! Every error has one form, and says where and what would be right.

use super::*;

#[tokio::test]
async fn what_does_not_read_is_pointed_at() {
    let server = Server::small().await;
    let hold = |key: &str, value: Value| {
        let mut question = json!({ "need": { "verb": "hold", "load": "2 kg" } });
        question["need"][key] = value;
        json!({ "question": question })
    };
    let face = json!({ "what": "face" });
    let disc = json!({ "shape": "disc", "diameter": "12 mm" });
    // Where, body, field, part of the detail, part of the hint.
    let cases = [
        ("ask", hold("load", json!("2 parsecs")), "/need/load", "parsecs", "kg"),
        (
            "ask",
            hold("load", json!("2")),
            "/need/load",
            "the unit is missing",
            "kg",
        ),
        ("ask", hold("load", json!("1,000 kg")), "/need/load", "two ways", "1000"),
        ("ask", hold("load", json!("6 mm")), "/need/load", "unit of length", "kg"),
        (
            "ask",
            hold("layers", json!([{ "material": "paint", "thickness": "thin" }])),
            "/need/layers/0/thickness",
            "expected a length",
            "mm",
        ),
        (
            "ask",
            hold("lode", json!("2 kg")),
            "/need/lode",
            "there is no \"lode\"",
            "perhaps \"load\"",
        ),
        (
            "ask",
            hold("verb", json!("levitate")),
            "/need/verb",
            "\"levitate\" is not one",
            "hold",
        ),
        (
            "ask",
            hold("shared_by", json!(-1)),
            "/need/shared_by",
            "expected a whole number from 0, got -1",
            "such as 2",
        ),
        (
            "ask",
            hold("safety_factor", json!(0.5)),
            "/need/safety_factor",
            "1 to 20, got 0.5",
            "",
        ),
        ("ask", hold("load", json!("1e9 T")), "/need/load", "", ""),
        ("ask", hold("load", json!("-2 kg")), "/need/load", "", ""),
        (
            "ask",
            hold("load", json!("0 kg")),
            "/need/load",
            "the load must be",
            "2 kg",
        ),
        (
            "ask",
            hold("steel", json!({ "material": "cheese" })),
            "/need/steel/material",
            "cheese",
            "mild steel",
        ),
        (
            "ask",
            json!({ "question": { "need": { "verb": "hold" } } }),
            "/need/load",
            "\"load\" is missing",
            "",
        ),
        ("ask", json!({ "question": {} }), "/need", "\"need\" is missing", ""),
        (
            "ask",
            json!({ "wurds": "hold 2 kg" }),
            "/wurds",
            "there is no \"wurds\"",
            "words",
        ),
        (
            "ask",
            json!({ "words": 2 }),
            "/words",
            "expected a text, got 2",
            "a text",
        ),
        (
            "ladder",
            json!({ "body": disc, "grade": "N99", "measure": face }),
            "/grade",
            "N99",
            "",
        ),
        (
            "ladder",
            json!({ "body": { "shape": "disc", "diameter": "12" }, "grade": "N42", "measure": face }),
            "/body/diameter",
            "the unit is missing",
            "mm",
        ),
        (
            "ladder",
            json!({ "body": disc, "grade": "N42", "measure": { "what": "pull" } }),
            "/measure/gap",
            "\"gap\" is missing",
            "",
        ),
        (
            "ladder",
            json!({ "body": disc, "grade": "N42", "measure": face, "rise": 1 }),
            "/rise",
            "there is no \"rise\"",
            "",
        ),
        (
            "ladder",
            json!({ "body": disc, "grade": "N42", "measure": face, "pieces": 0 }),
            "/pieces",
            "",
            "",
        ),
    ];
    for (place, body, field, detail, hint) in cases {
        let problem = server.post(&format!("/api/{place}"), &body).await.problem(422);
        assert_eq!(problem["field"], field, "{body} gave {problem}");
        assert!(
            problem["detail"].as_str().unwrap().contains(detail),
            "{body} gave {problem}"
        );
        assert!(
            problem["hint"].as_str().unwrap().contains(hint),
            "{body} gave {problem}"
        );
        no_library_speaks(&problem);
    }
}

/// What the libraries that read requests would say.
fn no_library_speaks(problem: &Value) {
    let text = format!("{} {}", problem["detail"], problem["hint"]);
    for word in [
        "f64",
        "u32",
        "usize",
        "struct ",
        "variant",
        "deserialize",
        "invalid type",
        "EOF",
        "untagged",
    ] {
        assert!(!text.contains(word), "{word}: {problem}");
    }
}

#[tokio::test]
async fn quantities_are_taken_with_a_unit_or_in_the_one_stated() {
    let server = Server::small().await;
    let pull = |magnet: Value, gap: Value| json!({ "magnet": magnet, "plate": { "diameter_mm": 40, "thickness_mm": "3 mm" }, "gap_mm": gap });
    let numbers = json!({ "diameter_mm": 12.7, "thickness_mm": 5, "polarisation_T": 1.3 });
    let texts = json!({ "diameter_mm": "1/2 in", "thickness_mm": "0.5 cm", "polarisation_T": "13 kG" });
    let as_numbers = server.post("/api/field/steel", &pull(numbers, json!(0.5))).await.good();
    let as_texts = server
        .post("/api/field/steel", &pull(texts, json!("0.5 mm")))
        .await
        .good();
    assert_eq!(as_numbers["pull"], as_texts["pull"]);
    let field = |disc: Value| json!({ "want": "B", "bodies": [disc], "points_mm": [[0, 0, "1 cm"]] });
    let disc =
        json!({ "shape": "disc", "diameter_mm": "10 mm", "thickness_mm": "5 mm", "polarisation_T": [0, 0, "1200 mT"] });
    let reading = server.post("/api/field/compute", &field(disc)).await.good();
    let bare = json!({ "shape": "disc", "diameter_mm": 10, "thickness_mm": 5, "polarisation_T": [0, 0, 1.2] });
    let same = server
        .post(
            "/api/field/compute",
            &json!({ "want": "B", "bodies": [bare], "points_mm": [[0, 0, 10]] }),
        )
        .await
        .good();
    assert_eq!(reading, same);
    let wide = json!({ "shape": "disc", "diameter_mm": "wide", "thickness_mm": 5, "polarisation_T": [0, 0, 1.2] });
    for (route, body) in [
        ("picture", json!({ "bodies": [wide] })),
        (
            "compute",
            json!({ "want": "B", "bodies": [wide], "points_mm": [[0, 0, 10]] }),
        ),
    ] {
        let problem = server.post(&format!("/api/field/{route}"), &body).await.problem(422);
        assert_eq!(problem["field"], "/bodies/0/diameter_mm", "{problem}");
        assert!(problem["hint"].as_str().unwrap().contains("mm"), "{problem}");
        no_library_speaks(&problem);
    }
    let tall = json!({ "bodies": [], "width": "wide" });
    let problem = server.post("/api/field/picture", &tall).await.problem(422);
    assert_eq!(
        (&problem["field"], &problem["detail"]),
        (&json!("/width"), &json!("expected a number, got the text \"wide\""))
    );
}

#[tokio::test]
async fn what_is_no_question_is_refused() {
    let server = Server::small().await;
    for body in [
        json!({}),
        json!({ "words": "hold 2 kg", "question": { "need": { "verb": "hold", "load": "2 kg" } } }),
    ] {
        let problem = server.post("/api/ask", &body).await.problem(422);
        assert!(problem["hint"].as_str().unwrap().contains("words"), "{problem}");
    }
    for text in ["", "{", "{\"words\": \"hold 2 kg\"} more", "\u{0}"] {
        let problem = server.post_text("/api/ask", text).await.problem(400);
        assert!(problem["detail"].as_str().unwrap().contains("not JSON"), "{problem}");
    }
    server.post_text("/api/ask", vec![0xff, 0xfe]).await.problem(400);
    server.post("/api/ask", &json!([])).await.problem(422);
    server.post("/api/ask", &Value::Null).await.problem(422);
    // A form can be sent by any page without asking.
    server
        .send("POST", "/api/ask", "{\"words\": \"hold 2 kg\"}")
        .await
        .problem(415);
    // So deep that a reader by recursion would fall.
    server.post_text("/api/ask", "[".repeat(100_000)).await.problem(400);
}

#[tokio::test]
async fn what_is_not_there_is_named() {
    let server = Server::small().await;
    let id = server.ask("hold 0.1 kg").await["id"].as_str().unwrap().to_string();
    for (method, uri, named) in [
        ("GET", "/api/answers/nosuch", "nosuch"),
        ("GET", "/api/answers/nosuch/candidates/0", "nosuch"),
        ("GET", &format!("/api/answers/{id}/candidates/999"), "999"),
        ("GET", &format!("/api/answers/{id}/candidates/first"), "first"),
        ("GET", "/api/answers/%ff", ""),
        ("GET", "/api/items/99-99", "99-99"),
        ("GET", "/api/items/%2e%2e%2fetc%2fpasswd", "passwd"),
        ("DELETE", "/api/desk/nosuch", "nosuch"),
        ("POST", "/api/desk/nosuch/restore", "nosuch"),
        ("POST", &format!("/api/desk/{id}/restore"), &id),
        ("GET", "/api/nothing/here", "/api/nothing/here"),
        ("PATCH", "/api/nothing", "/api/nothing"),
        ("GET", "/api", "/api"),
        ("GET", "/nothing.js", "/nothing.js"),
        ("GET", "/../Cargo.toml", "Cargo.toml"),
    ] {
        let problem = server.send(method, uri, Body::empty()).await.problem(404);
        assert!(
            problem["detail"].as_str().unwrap().contains(named),
            "{method} {uri} gave {problem}"
        );
    }
}

#[tokio::test]
async fn wrong_methods_and_parameters_have_the_same_form() {
    let server = Server::small().await;
    for (method, uri) in [
        ("POST", "/api/shop"),
        ("GET", "/api/ask"),
        ("DELETE", "/api/shelf/undo"),
        ("PUT", "/api/items/14-07"),
        ("POST", "/api/openapi.json"),
        ("POST", "/"),
        ("DELETE", "/index.html"),
    ] {
        let problem = server.send(method, uri, Body::empty()).await.problem(405);
        assert!(
            problem["detail"].as_str().unwrap().contains(method),
            "{method} {uri} gave {problem}"
        );
    }
    for (uri, field, named) in [
        ("/api/start?verb=levitate", "verb", "levitate"),
        ("/api/start", "verb", "verb"),
        ("/api/shelf?units=ell", "units", "ell"),
        ("/api/shelf?shape=heart", "shape", "heart"),
        ("/api/shelf?sort=beauty", "sort", "beauty"),
        ("/api/shelf?limit=-1", "limit", "whole number"),
        ("/api/shelf/export?format=ods", "format", "ods"),
        ("/api/items/14-07?units=mm,mm,parsec", "units", "parsec"),
        ("/api/items/14-07?warmest=hot", "warmest", "temperature"),
    ] {
        let problem = server.get(uri).await.problem(422);
        assert_eq!(problem["field"], field, "{uri} gave {problem}");
        no_library_speaks(&problem);
        assert!(
            problem["detail"].as_str().unwrap().contains(named),
            "{uri} gave {problem}"
        );
    }
}

#[tokio::test]
async fn too_large_bodies_are_refused() {
    let server = Server::small().await;
    let question = json!({ "words": "x".repeat(super::MOST_QUESTION) });
    server.post("/api/ask", &question).await.problem(413);
    for place in ["preview", "import"] {
        let file = vec![b'x'; super::MOST_FILE + 1];
        server
            .send("POST", &format!("/api/shelf/{place}?name=big.csv"), file)
            .await
            .problem(413);
    }
    // Just below the limit it is read, and found not to be a question.
    let long = json!({ "words": "wobbly ".repeat(30_000) });
    server.post("/api/ask", &long).await.good();
}

#[tokio::test]
async fn phrases_are_marked_where_a_page_cuts_them() {
    let server = Server::demo();
    let text = "🧲 wobbly hold ½ kg on steel 🧲 zzyzx, 20 pieces";
    let answer = server.ask(text).await;
    assert_eq!(answer["kind"], "choose");
    assert_eq!(answer["question"]["need"]["load"]["mass_kg"], 0.5);
    let understood = &answer["understood"];
    assert_eq!(understood["text"], text);
    let parts = understood["parts"].as_array().unwrap();
    let known: Vec<String> = parts.iter().map(|p| cut(text, &p["start"], &p["end"])).collect();
    for word in ["½ kg", "20"] {
        assert!(known.iter().any(|k| k == word), "{word} is not among {known:?}");
    }
    let load = parts.iter().find(|p| p["place"] == "/question/need/load").unwrap();
    assert_eq!(load["meaning"], "load");
}

#[tokio::test]
async fn what_is_missing_is_asked_with_usual_answers() {
    let server = Server::demo();
    let reply = server.ask("🧲 hold something on a wall").await;
    assert_eq!((&reply["kind"], &reply["id"]), (&json!("choose"), &Value::Null));
    assert_eq!(reply["question"]["need"]["direction"], "sideways");
    let asks = reply["asks"].as_array().unwrap();
    let load = asks.iter().find(|a| a["place"] == "/question/need/load").unwrap();
    assert!(load["question"].as_str().unwrap().ends_with('?'));
    assert!((2..=4).contains(&load["answers"].as_array().unwrap().len()));
    let refused = server.ask("qwertz").await;
    assert_eq!(
        (&refused["kind"], &refused["reason"]),
        (&json!("refuse"), &json!("off_topic"))
    );
    let told = server.ask("what does a disc 20x5 N42 weigh?").await;
    assert_eq!((&told["kind"], &told["about"]), (&json!("tell"), &json!(["weight"])));
    assert_eq!(told["magnets"][0]["size_mm"], json!([20.0, 5.0]));
    assert!(told["told"].is_object(), "{told}");
}

#[tokio::test]
async fn a_magnet_may_be_named_where_a_body_is_wanted() {
    let server = Server::demo();
    let field = |body: Value| json!({ "want": "B", "bodies": [{ "arrangement": "facing_pair", "gap_mm": 10, "of": body }], "points_mm": [[0, 0, 20]] });
    let named = json!({ "named": { "shape": "disc", "size_mm": [20, 5], "grade": "N42" } });
    let reading = server.post("/api/field/compute", &field(named)).await.good();
    let grades = server.get("/api/grades").await.good();
    let n42 = grades.as_array().unwrap().iter().find(|g| g["name"] == "N42").unwrap();
    let body = json!({ "shape": "disc", "diameter_mm": 20, "thickness_mm": 5,
        "polarisation_T": [0, 0, n42["br_typical"]], "recoil_permeability": n42["recoil_permeability"] });
    assert_eq!(reading, server.post("/api/field/compute", &field(body)).await.good());
    for (named, place) in [
        (json!({ "code": "99-99" }), "/bodies/0/of/named/code"),
        (
            json!({ "shape": "disc", "size_mm": [20] }),
            "/bodies/0/of/named/size_mm",
        ),
        (json!({ "size": 3 }), "/bodies/0/of/named/size"),
    ] {
        let problem = server
            .post("/api/field/compute", &field(json!({ "named": named })))
            .await
            .problem(422);
        assert_eq!(problem["field"], place, "{problem}");
    }
}
