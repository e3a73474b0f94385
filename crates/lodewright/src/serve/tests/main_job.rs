//! From a question to a kept answer, and back to it.

use super::*;

const HOLD: &str = "hold 1.2 kg hanging below 3 mm steel through 0.4 mm paint, 200 pieces";

#[tokio::test]
async fn words_and_the_structured_question_have_one_answer() {
    let server = Server::small().await;
    let told = server.ask(HOLD).await;
    let question = json!({ "question": told["question"] });
    let again = server.post("/api/ask", &question).await.good();
    assert_eq!(again["understood"], Value::Null);
    for part in ["id", "words", "lead", "candidates", "near_misses", "because", "need"] {
        assert_eq!(told[part], again[part], "{part}");
    }
    let first = &told["candidates"][0];
    assert_eq!(first["code"], "14-07");
    let (low, value, high) = (
        &first["low"]["value"],
        &first["value"]["value"],
        &first["high"]["value"],
    );
    assert!(
        low.as_f64() < value.as_f64() && value.as_f64() < high.as_f64(),
        "{first}"
    );
    assert!(
        first["low"]["value"].as_f64() >= told["need"]["at_least"]["value"].as_f64(),
        "{first}"
    );
    let typed = json!({ "question": { "need": { "verb": "hold", "load": "1.2 kg", "direction": "hanging_below",
        "steel": { "material": "mild steel", "thickness": "3 mm" }, "layers": [{ "material": "paint", "thickness": "0.4 mm" }] },
        "pieces": 200 } });
    assert_eq!(server.post("/api/ask", &typed).await.good()["id"], told["id"]);
}

#[tokio::test]
async fn every_verb_starts_with_a_question_that_can_be_asked() {
    let server = Server::demo();
    for verb in server.get("/api/shop").await.good()["verbs"].as_array().unwrap() {
        let verb = verb["verb"].as_str().unwrap();
        let start = server.get(&format!("/api/start?verb={verb}")).await.good();
        let answer = server.post("/api/ask", &start).await.good();
        assert_eq!(answer["verb"], verb);
        assert!(
            !answer["candidates"].as_array().unwrap().is_empty(),
            "{verb}: {}",
            answer["lead"]
        );
        let again = server.ask(answer["words"].as_str().unwrap()).await;
        assert_eq!(again["id"], answer["id"], "the words of {verb} are another question");
    }
}

#[tokio::test]
async fn an_answer_goes_to_the_desk_unless_told_otherwise() {
    let server = Server::small().await;
    let loose = server
        .post("/api/ask", &json!({ "words": HOLD, "keep": false }))
        .await
        .good();
    assert_eq!(loose["id"], Value::Null);
    assert_eq!(server.get("/api/desk").await.good(), json!({ "entries": [] }));

    let kept = server
        .post("/api/ask", &json!({ "words": HOLD, "keep": true }))
        .await
        .good();
    let id = kept["id"].as_str().unwrap();
    let desk = server.get("/api/desk").await.good();
    let entry = &desk["entries"][0];
    assert_eq!(
        (&entry["id"], &entry["words"], &entry["pieces"]),
        (&kept["id"], &kept["words"], &json!(200))
    );
    server.ask(HOLD).await;
    assert_eq!(
        server.get("/api/desk").await.good()["entries"]
            .as_array()
            .unwrap()
            .len(),
        1,
        "asked twice, kept twice"
    );

    let gone = server.send("DELETE", &format!("/api/desk/{id}"), Body::empty()).await;
    assert_eq!((gone.status.as_u16(), gone.body.len()), (204, 0));
    server.get(&format!("/api/answers/{id}")).await.problem(404);
    assert_eq!(server.get("/api/desk").await.good(), json!({ "entries": [] }));
    let back = server
        .send("POST", &format!("/api/desk/{id}/restore"), Body::empty())
        .await;
    assert_eq!(back.status, 204);
    server.get(&format!("/api/answers/{id}")).await.good();
}

#[tokio::test]
async fn a_kept_answer_stays_as_it_was_when_the_shelf_changes() {
    let server = Server::small().await;
    let before = server.ask(HOLD).await;
    let id = before["id"].as_str().unwrap();
    let at = format!("/api/answers/{id}");
    assert_eq!(server.get(&at).await.good()["stale"], false);
    let curve = server.get(&format!("{at}/candidates/0")).await.good();

    let dearer = LIST
        .replace("14-07,disc,15,,5", "14-07,disc,18,,6")
        .replace("0.65", "0.99");
    server
        .send("POST", "/api/shelf/import?name=list.csv&retire_missing=true", dearer)
        .await
        .good();
    let after = server.get(&at).await.good();
    assert_eq!((&after["stale"], &before["stale"]), (&json!(true), &json!(false)));
    for (part, value) in before
        .as_object()
        .unwrap()
        .iter()
        // How the message was read goes with the message, not with the answer.
        .filter(|(k, _)| !["stale", "understood", "kind", "about", "magnets", "asks"].contains(&k.as_str()))
    {
        assert_eq!(&after[part], value, "{part} has changed");
    }
    assert_eq!(server.get(&format!("{at}/candidates/0")).await.good(), curve);
    let new = server.ask(HOLD).await;
    assert_ne!(new["id"], before["id"]);
    assert_ne!(new["candidates"][0]["title"], before["candidates"][0]["title"]);
}

#[tokio::test]
async fn a_kept_answer_reads_in_any_units() {
    let server = Server::small().await;
    let metric = server.ask(HOLD).await;
    let at = format!("/api/answers/{}", metric["id"].as_str().unwrap());
    let inch = server.get(&format!("{at}?units=inch")).await.good();
    let value = |answer: &Value| answer["candidates"][0]["value"].clone();
    let (newton, pound) = (value(&metric), value(&inch));
    assert_eq!((&newton["unit"], &pound["unit"]), (&json!("N"), &json!("lbf")));
    let ratio = newton["value"].as_f64().unwrap() / pound["value"].as_f64().unwrap();
    // The pound-force is 4.4482216152605 N exactly.
    assert!((ratio - 4.4482216152605).abs() < 1e-9, "{ratio}");
    assert!(
        inch["candidates"][0]["title"].as_str().unwrap().contains("in"),
        "{}",
        inch["candidates"][0]["title"]
    );
    assert_eq!(metric["question"], inch["question"], "the question itself is in SI");

    let mixed = server.get("/api/items/14-07?units=G").await.good();
    let facts = mixed["facts"].to_string();
    assert!(facts.contains(" G") || facts.contains("\u{a0}G"), "{facts}");
    assert!(facts.contains("mm"), "{facts}");
    let curve = server.get(&format!("{at}/candidates/0?units=inch")).await.good();
    assert_eq!(curve["chart"]["x"]["unit"], "in");
}

#[tokio::test]
async fn a_blank_can_be_set_where_it_points() {
    let server = Server::small().await;
    let answer = server.ask(HOLD).await;
    let blanks = answer["sentence"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|s| s.get("blank"));
    let offered = answer["more"].as_array().unwrap();
    let mut seen = 0;
    for blank in blanks.chain(offered) {
        let path = blank["path"].as_str().unwrap();
        let value = if blank["value"].is_null() {
            continue;
        } else {
            blank["value"].clone()
        };
        let mut question = answer["question"].clone();
        let (parent, key) = path.rsplit_once('/').unwrap();
        let parent = question
            .pointer_mut(parent)
            .unwrap_or_else(|| panic!("{path} leads nowhere"));
        parent.as_object_mut().unwrap().insert(key.into(), value);
        server
            .post("/api/ask", &json!({ "question": question, "keep": false }))
            .await
            .good();
        seen += 1;
    }
    assert!(seen >= 4, "{seen} blanks");
}

#[tokio::test]
async fn a_ladder_of_the_shelf_or_of_free_thickness() {
    let server = Server::demo();
    let start = server.get("/api/ladder/start").await.good();
    let ladder = server.post("/api/ladder", &start).await.good();
    assert_eq!(ladder["request"], start);
    let values: Vec<f64> = ladder["rungs"]
        .as_array()
        .unwrap()
        .iter()
        .map(|r| r["value"]["value"].as_f64().unwrap())
        .collect();
    assert!(values.len() > 2 && values.is_sorted() && values.last() < ladder["ceiling"]["value"].as_f64().as_ref());
    let empty = Server::of(Shop::in_memory().unwrap());
    empty.get("/api/ladder/start").await.problem(404);
    let free = json!({ "body": { "shape": "disc", "diameter": "12 mm" }, "grade": "N42", "measure": { "what": "field", "distance": "10 mm" }, "by": "free" });
    assert_eq!(
        empty.post("/api/ladder", &free).await.good()["rungs"]
            .as_array()
            .unwrap()
            .len(),
        10
    );
}

#[tokio::test]
async fn an_empty_shelf_is_said_to_be_empty() {
    let server = Server::of(Shop::in_memory().unwrap());
    let answer = server.ask(HOLD).await;
    assert_eq!(answer["candidates"], json!([]));
    assert_eq!(server.get("/api/shelf").await.good()["total"], 0);
}

/// A grade of the shop's own, by its typical remanence, T.
fn own_grade(name: &str, br: f64) -> String {
    let (least, most) = (br - 0.03, br + 0.03);
    format!(
        "[[grade]]\nname = \"{name}\"\nfamily = \"ndfeb\"\nbr_min = {least}\nbr_typical = {br}\nbr_max = {most}\n\
         hcj_min = 960e3\nrecoil_permeability = 1.05\nalpha_br_per_k = -0.0012\nbeta_hcj_per_k = -0.006\n\
         max_service_celsius = 80\nmin_service_celsius = -100\ncurie_celsius = 310\ndensity = 7500\nlinear = true\n\
         source = \"measured\"\n"
    )
}

#[tokio::test]
async fn the_curve_of_a_kept_answer_stays_when_the_shop_changes_its_grades() {
    let desk = Arc::new(Desk::new(Shop::in_memory().unwrap()));
    let server = Server(app(desk.clone(), own(None, true), None));
    desk.shop.set_own_grades(&own_grade("House", 1.30)).unwrap();
    let list = "code,size,grade,price\na,15x5,House,0.5\n";
    server
        .send("POST", "/api/shelf/import?name=list.csv", list)
        .await
        .good();
    let before = server.ask(HOLD).await;
    let at = format!("/api/answers/{}/candidates/0", before["id"].as_str().unwrap());
    let curve = server.get(&at).await.good();
    assert_eq!(before["first"]["chart"], curve["chart"]);
    assert!(curve["confirmed"].is_object() && before["first"]["confirmed"].is_null());

    desk.shop.set_own_grades(&own_grade("House", 1.10)).unwrap();
    assert_eq!(server.get(&at).await.good(), curve);
    let fresh = server.ask(HOLD).await;
    assert_ne!(fresh["first"]["chart"]["mid"], curve["chart"]["mid"]);
}

/// Magnets with a cup that makes much of the flat one.
const WITH_CUP: &str = "\
code,shape,diameter (mm),inner diameter (mm),thickness (mm),cavity depth (mm),grade,price 1
flat,disc,20,,3,,N42,0.60
thick,disc,25,,12,,N42,6.00
cup,steel cup,25,21,5,3,mild steel,0.50
";
const STRONG: &str = "Hold 85 N straight off thick mild steel, with a safety factor of 1, not stacked. 10 pieces.";

#[tokio::test]
async fn builds_with_steel_parts_come_after_the_answer_and_stay_with_it() {
    let server = Server::of(Shop::in_memory().unwrap());
    server
        .send("POST", "/api/shelf/import?name=list.csv", WITH_CUP)
        .await
        .good();
    let answer = server.ask(STRONG).await;
    assert_eq!(answer["with_parts"], Value::Null, "typing does not wait for the solver");
    assert_eq!(answer["candidates"][0]["code"], "thick");
    let place = format!("/api/answers/{}/fitted", answer["id"].as_str().unwrap());
    let whole = server.get(&place).await.good();
    let first = &whole["candidates"][0];
    assert_eq!(
        (&first["code"], &first["part"]["code"]),
        (&json!("flat"), &json!("cup")),
        "{whole}"
    );
    assert_eq!(first["cost_each"], "€\u{a0}1.10");
    assert!(first["part"]["plot"]["curves"][0]["points"].as_array().unwrap().len() > 5);
    // It stands where it is found before those that were there, and each keeps its place in the answer.
    assert_eq!(
        (&whole["candidates"][1]["code"], &whole["candidates"][1]["index"]),
        (&json!("thick"), &json!(0))
    );
    assert!(whole["with_parts"].is_array() && whole["lead"].to_string().contains("in a cup"));
    let detail = format!(
        "/api/answers/{}/candidates/{}",
        answer["id"].as_str().unwrap(),
        first["index"]
    );
    assert!(server.get(&detail).await.good()["heat"].is_object());
    let opened = server
        .get(&format!("/api/answers/{}", answer["id"].as_str().unwrap()))
        .await
        .good();
    assert_eq!(opened["candidates"], whole["candidates"]);
    let at_once = json!({ "words": STRONG, "keep": false, "fitted": true });
    assert_eq!(
        server.post("/api/ask", &at_once).await.good()["candidates"],
        whole["candidates"]
    );
    // What was found is kept, and what was not looked for in time is not made up.
    let later = server.ask(&STRONG.replace("85", "60")).await;
    server.post("/api/shelf/undo", &json!({})).await.good();
    assert_eq!(server.get(&place).await.good()["candidates"], whole["candidates"]);
    let late = server
        .get(&format!("/api/answers/{}/fitted", later["id"].as_str().unwrap()))
        .await
        .good();
    assert_eq!(late["candidates"], later["candidates"]);
    assert!(late["with_parts"].to_string().contains("ask again"), "{late}");
    server.get("/api/answers/nothing/fitted").await.problem(404);
}

#[tokio::test]
async fn steel_that_does_not_serve_is_refused_where_it_stands() {
    let server = Server::small().await;
    let body =
        json!({ "question": { "need": { "verb": "hold", "load": "2 kg" }, "limits": { "steelwork": "pole_tip" } } });
    let problem = server.post("/api/ask", &body).await.problem(422);
    assert_eq!(problem["field"], "/limits/steelwork");
    let body =
        json!({ "question": { "need": { "verb": "hold", "load": "2 kg" }, "limits": { "steelwork": "brass" } } });
    assert!(!server.post("/api/ask", &body).await.status.is_success());
}
