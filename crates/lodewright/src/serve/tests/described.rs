//! The description of the interface against what the interface does.

use std::collections::BTreeSet;
use std::sync::LazyLock;

use super::*;

/// Every route, as method and path.
const ROUTES: &[(&str, &str)] = &[
    ("get", "/api/health"),
    ("post", "/api/design"),
    ("post", "/api/parcel"),
    ("get", "/api/parcel/paper"),
    ("get", "/api/ladder/paper"),
    ("get", "/api/metrics"),
    ("post", "/api/shelf/redo"),
    ("get", "/api/shop"),
    ("get", "/api/start"),
    ("post", "/api/ask"),
    ("post", "/api/enquiry"),
    ("get", "/api/answers/{id}"),
    ("get", "/api/answers/{id}/candidates/{index}"),
    ("get", "/api/answers/{id}/fitted"),
    ("get", "/api/items/{code}"),
    ("post", "/api/ladder"),
    ("get", "/api/ladder/start"),
    ("get", "/api/desk"),
    ("delete", "/api/desk/{id}"),
    ("post", "/api/desk/{id}/restore"),
    ("get", "/api/grades"),
    ("post", "/api/field/picture"),
    ("post", "/api/field/compute"),
    ("post", "/api/field/steel"),
    ("post", "/api/bench/fit"),
    ("get", "/api/bench"),
    ("get", "/api/bench/probes/start"),
    ("put", "/api/bench/probes/{id}"),
    ("delete", "/api/bench/probes/{id}"),
    ("post", "/api/bench/probes/{id}/restore"),
    ("post", "/api/bench/probes/{id}/usual"),
    ("post", "/api/bench/sessions"),
    ("get", "/api/bench/sessions/{id}"),
    ("patch", "/api/bench/sessions/{id}"),
    ("delete", "/api/bench/sessions/{id}"),
    ("post", "/api/bench/sessions/{id}/restore"),
    ("post", "/api/bench/sessions/{id}/readings"),
    ("delete", "/api/bench/readings/{id}"),
    ("post", "/api/bench/readings/{id}/restore"),
    ("put", "/api/bench/readings/{id}/standing"),
    ("post", "/api/bench/sessions/{id}/expected"),
    ("get", "/api/bench/sessions/{id}/found"),
    ("post", "/api/bench/sessions/{id}/kept"),
    ("delete", "/api/bench/kept/{id}"),
    ("post", "/api/bench/kept/{id}/restore"),
    ("get", "/api/bench/sessions/{id}/grade"),
    ("post", "/api/bench/plan"),
    ("get", "/api/bench/meter"),
    ("post", "/api/bench/sessions/{id}/inspection"),
    ("put", "/api/bench/sessions/{id}/verdict"),
    ("delete", "/api/bench/sessions/{id}/verdict"),
    ("get", "/api/bench/table"),
    ("get", "/api/bench/table/file"),
    ("post", "/api/bench/sessions/{id}/import"),
    ("get", "/api/bench/sessions/{id}/export"),
    ("get", "/api/shelf"),
    ("get", "/api/parts"),
    ("get", "/api/goods"),
    ("get", "/api/shelf/export"),
    ("post", "/api/shelf/undo"),
    ("post", "/api/shelf/preview"),
    ("post", "/api/shelf/import"),
    ("get", "/api/shelf/item"),
    ("post", "/api/shelf/item"),
    ("delete", "/api/shelf/item"),
    ("get", "/api/lots"),
    ("post", "/api/lots/{code}"),
    ("delete", "/api/lots/{code}"),
    ("get", "/api/answers/{id}/reply"),
    ("get", "/api/answers/{id}/paper"),
    ("patch", "/api/answers/{id}/entry"),
    ("post", "/api/reply"),
    ("post", "/api/reply/back"),
    ("get", "/api/items/{code}/paper"),
    ("post", "/api/quotations"),
    ("get", "/api/quotations"),
    ("get", "/api/quotations/{number}"),
    ("post", "/api/quotations/{number}"),
    ("get", "/api/quotations/{number}/paper"),
    ("get", "/api/quotations/{number}/workbook"),
    ("get", "/api/lessons"),
    ("post", "/api/lessons"),
    ("get", "/api/lessons/{name}"),
    ("delete", "/api/lessons/{name}"),
    ("get", "/api/lessons/{name}/text"),
    ("get", "/api/lessons/{name}/paper"),
    ("get", "/api/enquiry/paper"),
    ("get", "/api/answers/{id}/again"),
    ("post", "/api/links"),
    ("get", "/api/links/{id}"),
    ("get", "/api/links/{id}/again"),
    ("get", "/api/entries"),
    ("post", "/api/entries"),
    ("patch", "/api/entries/{id}"),
    ("delete", "/api/entries/{id}"),
    ("post", "/api/entries/{id}/restore"),
    ("post", "/api/entries/purge"),
    ("get", "/api/missed"),
    ("get", "/api/customers"),
    ("delete", "/api/customers"),
];

/// Whether a value is as a schema says (JSON Schema 2020-12, the words of it that the description uses).
fn fits(document: &Value, schema: &Value, value: &Value, at: &str) -> Result<(), String> {
    if let Some(reference) = schema["$ref"].as_str() {
        let target = document
            .pointer(reference.trim_start_matches('#'))
            .ok_or(format!("{reference} leads nowhere"))?;
        return fits(document, target, value, at);
    }
    let all = |word: &str| schema[word].as_array().cloned();
    if let Some(parts) = all("allOf") {
        return parts.iter().try_for_each(|part| fits(document, part, value, at));
    }
    if let Some(ways) = all("oneOf").or(all("anyOf")) {
        let tries: Vec<_> = ways.iter().map(|way| fits(document, way, value, at)).collect();
        let fitting = tries.iter().filter(|t| t.is_ok()).count();
        return if fitting == 1 {
            Ok(())
        } else {
            Err(format!("{at}: {fitting} of {} forms fit: {tries:?}", ways.len()))
        };
    }
    if all("enum").is_some_and(|names| !names.contains(value)) {
        return Err(format!("{at}: {value} is none of {}", schema["enum"]));
    }
    let kind = match value {
        Value::Null => "null",
        Value::Bool(_) => "boolean",
        Value::Number(n) if n.is_u64() || n.is_i64() => "integer",
        Value::Number(_) => "number",
        Value::String(_) => "string",
        Value::Array(_) => "array",
        Value::Object(_) => "object",
    };
    let named = |k: &str| k == kind || (k == "number" && kind == "integer");
    let right = match &schema["type"] {
        Value::String(one) => named(one),
        Value::Array(several) => several.iter().filter_map(Value::as_str).any(named),
        _ => true,
    };
    if !right {
        return Err(format!("{at}: {value} is not {}", schema["type"]));
    }
    if let Value::Array(items) = value {
        let each = &schema["items"];
        let within = |word: &str, fits: fn(u64, u64) -> bool| {
            schema[word]
                .as_u64()
                .is_none_or(|bound| fits(items.len() as u64, bound))
        };
        if !within("minItems", |n, least| n >= least) || !within("maxItems", |n, most| n <= most) {
            return Err(format!("{at}: {} items are not as many as described", items.len()));
        }
        return items
            .iter()
            .enumerate()
            .try_for_each(|(k, item)| fits(document, each, item, &format!("{at}/{k}")));
    }
    let Value::Object(map) = value else { return Ok(()) };
    let lacking = schema["required"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(Value::as_str)
        .find(|k| !map.contains_key(*k));
    if let Some(key) = lacking {
        return Err(format!("{at}: {key} is missing"));
    }
    let Some(known) = schema["properties"].as_object() else {
        return Ok(());
    };
    for (key, part) in map {
        match known.get(key) {
            Some(schema) => fits(document, schema, part, &format!("{at}/{key}"))?,
            None if schema["additionalProperties"] == false => return Err(format!("{at}: {key} is not described")),
            None => {}
        }
    }
    Ok(())
}

fn described() -> &'static Value {
    static DESCRIBED: LazyLock<Value> =
        LazyLock::new(|| serde_json::from_str(&description().to_json().unwrap()).unwrap());
    &DESCRIBED
}

#[tokio::test]
async fn the_description_that_is_served_holds_every_route() {
    let served = Server::small().await.get("/api/openapi.json").await;
    assert_eq!(served.header("content-type"), "application/json");
    let document = served.good();
    assert_eq!(&document, described());
    assert_eq!(document["openapi"], "3.1.0");
    assert_eq!(document["info"]["version"], crate::desk::VERSION);
    let paths = document["paths"].as_object().unwrap();
    let found: BTreeSet<(&str, &str)> = paths
        .iter()
        .flat_map(|(path, item)| {
            item.as_object()
                .unwrap()
                .keys()
                .map(move |method| (method.as_str(), path.as_str()))
        })
        .collect();
    assert_eq!(found, ROUTES.iter().copied().collect());
    let mut ids = BTreeSet::new();
    for &(method, path) in ROUTES {
        let operation = &paths[path][method];
        assert!(
            ids.insert(operation["operationId"].as_str().unwrap()),
            "{path}: its operation has the name of another"
        );
        assert!(
            operation["summary"]
                .as_str()
                .or(operation["description"].as_str())
                .is_some_and(|t| !t.is_empty()),
            "{path}"
        );
        let problem = &operation["responses"]["default"]["content"]["application/problem+json"]["schema"]["$ref"];
        assert_eq!(problem, "#/components/schemas/Problem", "{path}");
        let named: Vec<&str> = path.split(['{', '}']).skip(1).step_by(2).collect();
        for name in named {
            let of_path = |p: &&Value| p["in"] == "path" && p["name"] == name;
            assert!(
                operation["parameters"].as_array().unwrap().iter().any(|p| of_path(&p)),
                "{path}: {name}"
            );
        }
    }
}

#[test]
fn every_reference_leads_somewhere_and_nothing_is_left_open() {
    fn walk(document: &Value, value: &Value, seen: &mut BTreeSet<String>) {
        match value {
            Value::Object(map) => {
                if let Some(Value::String(reference)) = map.get("$ref") {
                    assert!(
                        document.pointer(reference.trim_start_matches('#')).is_some(),
                        "{reference} leads nowhere"
                    );
                    seen.insert(reference.rsplit('/').next().unwrap_or_default().to_string());
                }
                map.values().for_each(|v| walk(document, v, seen));
            }
            Value::Array(items) => items.iter().for_each(|v| walk(document, v, seen)),
            _ => {}
        }
    }
    let document = described();
    let mut seen = BTreeSet::new();
    walk(document, document, &mut seen);
    let schemas = document["components"]["schemas"].as_object().unwrap();
    let unused: Vec<&String> = schemas.keys().filter(|name| !seen.contains(*name)).collect();
    assert!(unused.is_empty(), "described and not used: {unused:?}");
    for name in [
        "Question",
        "Need",
        "Limits",
        "Conditions",
        "LadderRequest",
        "Face",
        "Measure",
        "Segment",
        "Blank",
        "Run",
    ] {
        let schema = schemas.get(name).unwrap_or_else(|| panic!("{name} is not described"));
        assert!(
            schema.get("properties").or(schema.get("oneOf")).is_some(),
            "{name} is left open: {schema}"
        );
    }
}

/// What a request is to be and what came of it, against the description.
async fn try_route(server: &Server, route: (&str, &str), uri: &str, body: Option<&Value>) -> Value {
    let document = described();
    let operation = &document["paths"][route.1][route.0];
    if let Some(body) = body {
        let schema = &operation["requestBody"]["content"]["application/json"]["schema"];
        fits(document, schema, body, "").unwrap_or_else(|e| panic!("request of {uri}: {e}"));
    }
    let reply = match body {
        Some(body) if route.0 == "patch" => server.patch(uri, body).await,
        Some(body) => server.json(&route.0.to_uppercase(), uri, body).await,
        None if uri.contains("/bench/") => server.send(&route.0.to_uppercase(), uri, bench_sessions::TABLE).await,
        None => server.send(&route.0.to_uppercase(), uri, LIST).await,
    };
    assert!(
        reply.status.is_success(),
        "{uri}: {}",
        String::from_utf8_lossy(&reply.body)
    );
    let response = &operation["responses"][reply.status.as_str()];
    assert!(response.is_object(), "{uri}: {} is not described", reply.status);
    let Some(schema) = response["content"].get("application/json").map(|c| &c["schema"]) else {
        return Value::Null;
    };
    assert_eq!(reply.header("content-type"), "application/json");
    let value = reply.json();
    fits(document, schema, &value, "").unwrap_or_else(|e| panic!("answer of {uri}: {e}"));
    value
}

/// JSON as it stands in an address.
fn in_address(value: &Value) -> String {
    let byte = |b: u8| match b {
        b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' => char::from(b).to_string(),
        _ => format!("%{b:02X}"),
    };
    value.to_string().bytes().map(byte).collect()
}

#[tokio::test]
async fn every_route_takes_and_gives_what_is_described() {
    let server = Server::small().await;
    let mut left: BTreeSet<(&str, &str)> = ROUTES.iter().copied().collect();
    let mut took = |route: (&'static str, &'static str)| {
        left.remove(&route);
        route
    };
    let words = json!({ "words": "hold 0.5 kg hanging below 3 mm steel, wobbly, 200 pieces" });
    let id = try_route(&server, took(("post", "/api/ask")), "/api/ask", Some(&words)).await["id"].clone();
    let id = id.as_str().unwrap();
    let quotation = json!({ "customer": "The boathouse", "lines": [{ "answer": id, "quantity": 80 }] });
    let made = try_route(
        &server,
        took(("post", "/api/quotations")),
        "/api/quotations",
        Some(&quotation),
    )
    .await;
    let number = format!("/api/quotations/{}", made["number"].as_str().unwrap());
    try_route(
        &server,
        took(("post", "/api/quotations/{number}")),
        &number,
        Some(&quotation),
    )
    .await;
    let lesson = json!({ "kind": "explain", "about": ["gap"] });
    try_route(&server, took(("post", "/api/reply")), "/api/reply", Some(&lesson)).await;
    let back = json!({ "questions": [{ "question": "How thick is the steel?", "answers": ["2 mm"] }] });
    try_route(
        &server,
        took(("post", "/api/reply/back")),
        "/api/reply/back",
        Some(&back),
    )
    .await;
    let told = json!({ "message": "Why does a gap matter?", "enquiry": lesson });
    let entry = try_route(&server, took(("post", "/api/entries")), "/api/entries", Some(&told)).await;
    let entry = format!("/api/entries/{}", entry["id"].as_str().unwrap());
    let change = json!({ "customer": "A. Person", "status": "sent", "follow_up": "2026-05-21", "star": true });
    try_route(&server, took(("patch", "/api/entries/{id}")), &entry, Some(&change)).await;
    let sent = json!({ "sent": "Hello," });
    let of_answer = format!("/api/answers/{id}/entry");
    try_route(
        &server,
        took(("patch", "/api/answers/{id}/entry")),
        &of_answer,
        Some(&sent),
    )
    .await;
    let purge = json!({ "before": "2000-01-01", "count_only": true });
    try_route(
        &server,
        took(("post", "/api/entries/purge")),
        "/api/entries/purge",
        Some(&purge),
    )
    .await;
    for (route, uri) in [
        (
            ("get", "/api/answers/{id}/reply"),
            format!("/api/answers/{id}/reply?language=en"),
        ),
        (
            ("get", "/api/answers/{id}/paper"),
            format!("/api/answers/{id}/paper?paper=letter"),
        ),
        (("get", "/api/answers/{id}/again"), format!("/api/answers/{id}/again")),
        (
            ("get", "/api/items/{code}/paper"),
            "/api/items/20-01/paper?units=inch".into(),
        ),
        (("get", "/api/quotations"), "/api/quotations".into()),
        (("get", "/api/quotations/{number}"), format!("{number}?issue=1")),
        (("get", "/api/quotations/{number}/paper"), format!("{number}/paper")),
        (
            ("get", "/api/quotations/{number}/workbook"),
            format!("{number}/workbook"),
        ),
        (("get", "/api/lessons"), "/api/lessons".into()),
        (("get", "/api/lessons/{name}"), "/api/lessons/gap?units=inch".into()),
        (("get", "/api/lessons/{name}/text"), "/api/lessons/gap/text".into()),
        (
            ("get", "/api/lessons/{name}/paper"),
            "/api/lessons/gap/paper?form=html".into(),
        ),
        (
            ("get", "/api/entries"),
            "/api/entries?search=gap&status=sent&star=true&limit=10".into(),
        ),
        (("delete", "/api/entries/{id}"), entry.clone()),
        (("post", "/api/entries/{id}/restore"), format!("{entry}/restore")),
        (("get", "/api/missed"), "/api/missed?days=365".into()),
        (("get", "/api/customers"), "/api/customers?customer=A.%20Person".into()),
        (
            ("delete", "/api/customers"),
            "/api/customers?customer=A.%20Person".into(),
        ),
        (("get", "/api/shop"), "/api/shop".into()),
        (("get", "/api/start"), "/api/start?verb=hold".into()),
        (("get", "/api/answers/{id}"), format!("/api/answers/{id}?units=inch")),
        (
            ("get", "/api/answers/{id}/candidates/{index}"),
            format!("/api/answers/{id}/candidates/0"),
        ),
        (
            ("get", "/api/items/{code}"),
            "/api/items/20-01?warmest=80%20%C2%B0C&surroundings=outdoors".into(),
        ),
        (("get", "/api/ladder/start"), "/api/ladder/start".into()),
        (("get", "/api/desk"), "/api/desk".into()),
        (("get", "/api/grades"), "/api/grades".into()),
        (("get", "/api/shelf"), "/api/shelf?search=n42&sort=price".into()),
        (("get", "/api/answers/{id}/fitted"), format!("/api/answers/{id}/fitted")),
        (("get", "/api/parts"), "/api/parts?search=cup".into()),
        (("get", "/api/goods"), "/api/goods?search=pot".into()),
        (("get", "/api/shelf/export"), "/api/shelf/export?format=csv".into()),
        (("delete", "/api/desk/{id}"), format!("/api/desk/{id}")),
        (("post", "/api/desk/{id}/restore"), format!("/api/desk/{id}/restore")),
        (
            ("post", "/api/shelf/preview"),
            "/api/shelf/preview?name=list.csv".into(),
        ),
        (("post", "/api/shelf/import"), "/api/shelf/import?name=list.csv".into()),
        (("post", "/api/shelf/undo"), "/api/shelf/undo".into()),
        (("post", "/api/shelf/redo"), "/api/shelf/redo".into()),
        (("get", "/api/health"), "/api/health".into()),
        (("get", "/api/metrics"), "/api/metrics".into()),
    ] {
        try_route(&server, took(route), &uri, None).await;
    }
    let one = json!({ "new": true, "cells": [
        { "heading": "code", "text": "n-1" },
        { "heading": "size", "text": "10 x 2" },
        { "heading": "grade", "text": "N42" },
    ] });
    try_route(
        &server,
        took(("post", "/api/shelf/item")),
        "/api/shelf/item",
        Some(&one),
    )
    .await;
    for method in ["get", "delete"] {
        try_route(
            &server,
            took((method, "/api/shelf/item")),
            "/api/shelf/item?code=n-1",
            None,
        )
        .await;
    }
    let ladder = try_route(&server, ("get", "/api/ladder/start"), "/api/ladder/start", None);
    server
        .send("POST", "/api/shelf/import?name=list.csv", LIST)
        .await
        .good();
    let request = ladder.await;
    try_route(&server, took(("post", "/api/ladder")), "/api/ladder", Some(&request)).await;
    let wish = json!({ "wish": "100 mT at 5 mm in a space of 30 x 20 mm", "families": ["disc"] });
    try_route(&server, took(("post", "/api/design")), "/api/design", Some(&wish)).await;
    let parcel = json!({ "lines": [{ "magnet": { "code": "14-07" }, "count": 20 }] });
    try_route(&server, took(("post", "/api/parcel")), "/api/parcel", Some(&parcel)).await;
    let subject = json!({ "kind": "parcel", "request": parcel });
    let link = try_route(
        &server,
        took(("post", "/api/links")),
        "/api/links?units=inch",
        Some(&subject),
    )
    .await;
    let link = format!("/api/links/{}", link["id"].as_str().unwrap());
    try_route(&server, took(("get", "/api/links/{id}")), &link, None).await;
    try_route(
        &server,
        took(("get", "/api/links/{id}/again")),
        &format!("{link}/again"),
        None,
    )
    .await;
    let own = "+++\ntopic = \"gap\"\nminutes = 1\nsay = \"Mind the {gap}.\"\n+++\n";
    try_route(
        &server,
        took(("post", "/api/lessons")),
        "/api/lessons",
        Some(&json!({ "text": own })),
    )
    .await;
    try_route(
        &server,
        took(("delete", "/api/lessons/{name}")),
        "/api/lessons/gap",
        None,
    )
    .await;
    let told = json!({ "kind": "explain", "about": ["gap"] });
    for (path, of) in [
        ("/api/ladder/paper", &request),
        ("/api/parcel/paper", &parcel),
        ("/api/enquiry/paper", &told),
    ] {
        let uri = format!("{path}?for={}", in_address(of));
        try_route(&server, took(("get", path)), &uri, None).await;
    }
    let disc = json!({ "shape": "disc", "diameter_mm": 10, "thickness_mm": 5, "polarisation_T": [0, 0, 1.2] });
    for (route, body) in [
        (
            "/api/field/picture",
            json!({ "bodies": [disc], "plane": "xz", "lines": 4 }),
        ),
        (
            "/api/field/compute",
            json!({ "want": "B", "bodies": [disc], "points_mm": [[0, 0, 9]] }),
        ),
        (
            "/api/field/steel",
            json!({ "magnet": { "diameter_mm": 10, "thickness_mm": 5, "polarisation_T": 1.2 },
                "plate": { "diameter_mm": 30, "thickness_mm": 2 }, "gap_mm": 0.5,
                "carries": { "what": "back_plate", "diameter_mm": 10, "thickness_mm": 2 } }),
        ),
        ("/api/bench/fit", bench::session()),
    ] {
        try_route(&server, took(("post", route)), route, Some(&body)).await;
    }
    took(("post", "/api/enquiry"));
    for enquiry in [
        json!({ "kind": "tell", "about": ["pull", "heat"], "magnets": [{ "code": "14-07" }] }),
        json!({ "kind": "compare", "magnets": [{ "code": "14-07" }, { "grade": "N52" }] }),
        json!({ "kind": "explain", "about": ["gap"] }),
        json!({ "kind": "refuse", "reason": "stable_float" }),
        json!({ "kind": "choose", "question": { "need": { "verb": "hold", "load": "1..2 kg" }, "limits": { "goal": "cheapest" } } }),
    ] {
        try_route(&server, ("post", "/api/enquiry"), "/api/enquiry", Some(&enquiry)).await;
    }
    let lot = json!({ "certificate": { "lot": "B2231", "br": "1.31 T", "hcj": "1020 kA/m" } });
    let of_lot = "/api/lots/20-01";
    try_route(&server, took(("post", "/api/lots/{code}")), of_lot, Some(&lot)).await;
    try_route(&server, took(("get", "/api/lots")), "/api/lots", None).await;
    try_route(&server, took(("delete", "/api/lots/{code}")), of_lot, None).await;
    let session = "/api/bench/sessions/{id}";
    for (method, path, uri, body) in bench_sessions::whole_job() {
        let path = match path.strip_prefix("..") {
            Some(rest) => ROUTES
                .iter()
                .map(|(_, p)| *p)
                .find(|p| *p == format!("{session}{rest}")),
            None => ROUTES.iter().map(|(_, p)| *p).find(|p| *p == path),
        };
        let route = took((method, path.expect("a route")));
        try_route(&server, route, &uri, body.as_ref()).await;
    }
    assert!(left.is_empty(), "not tried: {left:?}");

    let server = Server::demo();
    for verb in [
        "hold",
        "pull_together",
        "push_apart",
        "reach_field",
        "switch_sensor",
        "face_field",
    ] {
        let start = try_route(&server, ("get", "/api/start"), &format!("/api/start?verb={verb}"), None).await;
        let answer = try_route(&server, ("post", "/api/ask"), "/api/ask", Some(&start)).await;
        let uri = format!("/api/answers/{}/candidates/0", answer["id"].as_str().unwrap());
        try_route(&server, ("get", "/api/answers/{id}/candidates/{index}"), &uri, None).await;
    }
    let in_a_cup = json!({ "words": "hold 2 kg straight off 5 mm steel, in a cup, 200 pieces" });
    let answer = try_route(&server, ("post", "/api/ask"), "/api/ask", Some(&in_a_cup)).await;
    let uri = format!("/api/answers/{}/fitted", answer["id"].as_str().unwrap());
    let sheet = try_route(&server, ("get", "/api/answers/{id}/fitted"), &uri, None).await;
    assert!(sheet["candidates"][0]["part"].is_object(), "{sheet}");
    let document = described();
    for text in ["{}", "{", "{\"words\": 2}"] {
        let problem = server.post_text("/api/ask", text).await.json();
        let schema = &document["components"]["schemas"]["Problem"];
        fits(document, schema, &problem, "").unwrap_or_else(|e| panic!("problem of {text}: {e}"));
    }
    let hopeless = json!({ "question": { "need": { "verb": "hold", "load": "3000 kg" }, "limits": { "widest": "25 mm", "shapes": ["disc"] } } });
    let answer = try_route(&server, ("post", "/api/ask"), "/api/ask", Some(&hopeless)).await;
    assert!(answer["shortfall"].is_object(), "{}", answer["lead"]);
}
