//! The shelf: looking, importing, taking back, exporting.

use super::*;

#[tokio::test]
async fn an_import_is_shown_done_and_taken_back() {
    let server = Server::small().await;
    let changed = LIST.replace("0.65", "0.60").replace("20-01,ring", "20-02,ring");
    let seen = server
        .send("POST", "/api/shelf/preview?name=list.csv", changed.clone())
        .await
        .good();
    for (part, value) in [
        ("rows", 3),
        ("new", 1),
        ("changed", 1),
        ("unchanged", 1),
        ("bad", 0),
        ("missing", 1),
        ("revision", 1),
    ] {
        assert_eq!(seen[part], value, "{part} of {seen}");
    }
    assert_eq!(seen["may_import"], true);
    let line = seen["sample"]
        .as_array()
        .unwrap()
        .iter()
        .find(|s| s["state"] == "changed")
        .unwrap();
    assert_eq!((&line["code"], &line["line"]), (&json!("14-07"), &json!(2)));
    assert!(line["changes"][0].as_str().unwrap().contains("0.60"), "{line}");
    assert_eq!(
        server.get("/api/shop").await.good()["revision"],
        1,
        "looking has changed the shelf"
    );

    let done = server
        .send("POST", "/api/shelf/import?name=list.csv&revision=1", changed.clone())
        .await
        .good();
    assert_eq!(
        done,
        json!({ "revision": 2, "new": 1, "changed": 1, "unchanged": 1, "retired": 0, "skipped": 0 })
    );
    let codes = |page: Value| -> Vec<String> {
        page["items"]
            .as_array()
            .unwrap()
            .iter()
            .map(|i| i["code"].as_str().unwrap().to_string())
            .collect()
    };
    assert_eq!(
        codes(server.get("/api/shelf").await.good()),
        ["14-07", "14-08", "20-01", "20-02"]
    );
    let price = server.get("/api/items/14-07").await.good()["prices"][1]["each"].clone();
    assert!(price.as_str().unwrap().contains("0.60"), "{price}");

    assert_eq!(
        server.send("POST", "/api/shelf/undo", Body::empty()).await.good()["revision"],
        3
    );
    assert_eq!(
        codes(server.get("/api/shelf").await.good()),
        ["14-07", "14-08", "20-01"]
    );
    assert!(
        server.get("/api/items/14-07").await.good()["prices"][1]["each"]
            .as_str()
            .unwrap()
            .contains("0.65")
    );

    let retired = server
        .send(
            "POST",
            "/api/shelf/import?name=list.csv&retire_missing=true&confirmed=true",
            changed,
        )
        .await
        .good();
    assert_eq!((&retired["retired"], &retired["new"]), (&json!(1), &json!(1)));
}

#[tokio::test]
async fn an_import_seen_at_another_revision_is_refused() {
    let server = Server::small().await;
    let again = LIST.replace("0.95", "0.99");
    let problem = server
        .send("POST", "/api/shelf/import?name=list.csv&revision=0", again.clone())
        .await
        .problem(409);
    assert!(
        problem["detail"].as_str().unwrap().contains("changed since"),
        "{problem}"
    );
    assert_eq!(server.get("/api/shop").await.good()["revision"], 1);
    server
        .send("POST", "/api/shelf/import?name=list.csv&revision=1", again)
        .await
        .good();
}

#[tokio::test]
async fn a_file_with_a_bad_line_changes_nothing_and_says_which() {
    let server = Server::small().await;
    let bad = LIST.replace("15,,3,", "15,,-3,").replace("0.65", "0.60");
    let seen = server
        .send("POST", "/api/shelf/preview?name=list.csv", bad.clone())
        .await
        .good();
    assert_eq!((&seen["bad"], &seen["may_import"]), (&json!(1), &json!(false)));
    let problem = server
        .send("POST", "/api/shelf/import?name=list.csv", bad)
        .await
        .problem(422);
    let problem = &problem["problems"][0];
    assert_eq!(
        (&problem["line"], &problem["column"]),
        (&json!(3), &json!("thickness (mm)")),
        "{problem}"
    );
    for part in ["wrong", "right", "value"] {
        assert!(
            problem[part].as_str().is_some_and(|t| !t.is_empty()),
            "no {part} in {problem}"
        );
    }
    assert_eq!(server.get("/api/shop").await.good()["revision"], 1);
    for (uri, body, named) in [
        ("/api/shelf/import?name=x.png", "\u{89}PNG".as_bytes().to_vec(), ""),
        ("/api/shelf/import?name=x.csv", Vec::new(), ""),
        ("/api/shelf/import?name=x.csv&decimal=dot", LIST.into(), "dot"),
        ("/api/shelf/import?name=x.csv&revision=first", LIST.into(), "revision"),
    ] {
        let problem = server.send("POST", uri, body).await.problem(422);
        let said = format!("{} {}", problem["detail"], problem["field"]);
        assert!(said.contains(named), "{uri}: {problem}");
    }
}

#[tokio::test]
async fn nothing_to_take_back_is_said() {
    let server = Server::of(Shop::in_memory().unwrap());
    let problem = server.send("POST", "/api/shelf/undo", Body::empty()).await.problem(422);
    assert!(
        problem["detail"]
            .as_str()
            .unwrap()
            .contains("no import and no change of settings, grades or lots to undo"),
        "{problem}"
    );
}

#[tokio::test]
async fn what_is_exported_can_be_imported_again() {
    let server = Server::small().await;
    for (format, mime) in [
        ("csv", "text/csv; charset=utf-8"),
        (
            "xlsx",
            "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
        ),
    ] {
        let file = server.get(&format!("/api/shelf/export?format={format}")).await;
        assert_eq!((file.status.as_u16(), file.header("content-type")), (200, mime));
        assert_eq!(
            file.header("content-disposition"),
            format!("attachment; filename=\"shelf.{format}\"")
        );
        let uri = format!("/api/shelf/preview?name=shelf.{format}");
        let seen = server.send("POST", &uri, file.body).await.good();
        assert_eq!(
            (&seen["unchanged"], &seen["new"], &seen["bad"]),
            (&json!(3), &json!(0), &json!(0)),
            "{seen}"
        );
    }
}

#[tokio::test]
async fn items_are_found_sorted_and_paged() {
    let server = Server::demo();
    let codes = |page: &Value| -> Vec<String> {
        page["items"]
            .as_array()
            .unwrap()
            .iter()
            .map(|i| i["code"].as_str().unwrap().to_string())
            .collect()
    };
    let first = server.get("/api/shelf?limit=5").await.good();
    let next = server.get("/api/shelf?limit=5&offset=3").await.good();
    assert_eq!(codes(&first).len(), 5);
    assert_eq!(codes(&first)[3..], codes(&next)[..2]);
    assert_eq!(first["total"], server.get("/api/shop").await.good()["items"]);
    let rings = server.get("/api/shelf?shape=ring&search=n42&limit=500").await.good();
    let items = rings["items"].as_array().unwrap();
    assert!(!items.is_empty() && items.len() as u64 == rings["total"].as_u64().unwrap());
    assert!(
        items
            .iter()
            .all(|i| i["shape"] == "ring" && i["grade"].as_str().unwrap().contains("N42"))
    );
    let stock = server.get("/api/shelf?sort=stock&limit=500").await.good();
    let counts: Vec<u64> = stock["items"]
        .as_array()
        .unwrap()
        .iter()
        .map(|i| i["stock"].as_u64().unwrap_or(0))
        .collect();
    assert!(counts.is_sorted_by(|a, b| a >= b));
    let far = server.get("/api/shelf?offset=18446744073709551615").await.good();
    assert_eq!(far["items"], json!([]));
    for sort in ["code", "price", "size"] {
        server.get(&format!("/api/shelf?sort={sort}")).await.good();
    }
}

#[tokio::test]
async fn steel_parts_lie_on_the_shelf_beside_the_magnets() {
    let server = Server::demo();
    let shop = server.get("/api/shop").await.good();
    let all = server.get("/api/parts").await.good();
    assert_eq!(all.as_array().unwrap().len() as u64, shop["parts"].as_u64().unwrap());
    let cups = server.get("/api/parts?search=cup").await.good();
    let cups = cups.as_array().unwrap();
    assert!(!cups.is_empty() && cups.iter().all(|part| part["kind"] == "steel cup"));
    assert!(cups[0]["title"].as_str().unwrap().contains("deep"), "{}", cups[0]);
    let inches = server.get("/api/parts?search=cup&units=inch").await.good();
    assert!(inches[0]["size"].as_str().unwrap().contains("in"), "{inches}");
}

#[tokio::test]
async fn pots_and_hooks_are_told_by_the_pull_that_is_stated_and_stay_with_a_kept_answer() {
    let server = Server::demo();
    let shop = server.get("/api/shop").await.good();
    let all = server.get("/api/goods").await.good();
    assert_eq!(all.as_array().unwrap().len() as u64, shop["goods"].as_u64().unwrap());
    let hooks = server.get("/api/goods?search=hook").await.good();
    assert_eq!(hooks[0]["kind"], "hook magnet");
    assert_eq!(hooks[0]["stated_pull"]["text"].as_str().unwrap(), "280\u{a0}N");
    let answer = server.ask("hold 5 kg hanging below 3 mm steel").await;
    let stated = answer["stated"].as_array().unwrap();
    let codes: Vec<&str> = stated.iter().map(|one| one["code"].as_str().unwrap()).collect();
    assert_eq!(codes, ["91-02", "91-03"], "{answer}");
    assert!(stated[0]["remark"].as_str().unwrap().contains("not computed"));
    let id = answer["id"].as_str().unwrap();
    let kept = server.get(&format!("/api/answers/{id}")).await.good();
    assert_eq!(kept["stated"], answer["stated"]);
}

#[tokio::test]
async fn a_question_is_answered_where_its_answer_cannot_be_kept() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shop.sqlite");
    drop(shop::demo::open(&path).unwrap());
    let server = Server::of(Shop::open_for_reading(&path).unwrap());
    assert_eq!(server.get("/api/shop").await.good()["writable"], false);
    let answer = server.ask("hold 1 kg on steel").await;
    assert_eq!(answer["id"], Value::Null);
    assert!(
        answer["not_kept"].as_str().unwrap().contains("right to write"),
        "{}",
        answer["not_kept"]
    );
    assert!(!answer["candidates"].as_array().unwrap().is_empty());
    let problem = server
        .send("POST", "/api/shelf/import?name=list.csv&confirmed=true", LIST)
        .await
        .problem(507);
    assert!(problem["detail"].as_str().unwrap().contains("shop.sqlite"), "{problem}");
    assert_eq!(server.get("/api/health").await.good()["writable"], false);
}

#[tokio::test]
async fn a_server_sees_what_a_restore_and_another_program_change() {
    let folder = tempfile::tempdir().unwrap();
    let (path, copy) = (folder.path().join("shop.sqlite"), folder.path().join("copy.sqlite"));
    let server = Server::of(Shop::open(&path).unwrap());
    server
        .send("POST", "/api/shelf/import?name=list.csv", LIST)
        .await
        .good();
    let other = Shop::open(&path).unwrap();
    other.backup(&copy, false).unwrap();
    server
        .send(
            "POST",
            "/api/shelf/import?name=more.csv",
            LIST.replace("14-07", "99-07"),
        )
        .await
        .good();
    assert_eq!(server.get("/api/shop").await.good()["items"], 4);
    shop::restore(&path, &copy).unwrap();
    assert_eq!(server.get("/api/shop").await.good()["items"], 3);
    let dollars = shop::Settings {
        currency: quantity::Currency::USD,
        ..other.settings().unwrap()
    };
    other.set_settings(&dollars).unwrap();
    assert_eq!(server.get("/api/shop").await.good()["currency"], "USD");
    server.send("POST", "/api/shelf/undo", "").await.good();
    assert_eq!(server.get("/api/shop").await.good()["currency"], "EUR");
}

/// It said that all was well of a file that was gone over with something else, because the shelf was held.
#[tokio::test]
async fn health_is_not_well_of_a_file_that_cannot_be_read() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shop.sqlite");
    let server = Server::of(Shop::open(&path).unwrap());
    server
        .send("POST", "/api/shelf/import?name=list.csv", LIST)
        .await
        .good();
    server.get("/api/health").await.good();
    std::fs::write(&path, "Dear shop, this was your shelf.".repeat(400)).unwrap();
    let unwell = server.get("/api/health").await;
    assert_eq!(unwell.status, 503);
    // It is told to whoever asks, signed in or not.
    assert!(!String::from_utf8_lossy(&unwell.body).contains("sqlite"));
}

#[tokio::test]
async fn an_import_with_consequences_is_confirmed() {
    let server = Server::small().await;
    let dear = LIST.replace("0.95", "9.50");
    let preview = server
        .send("POST", "/api/shelf/preview?name=a.csv", dear.clone())
        .await
        .good();
    assert_eq!(preview["consequences"]["prices_moved"], 1);
    let problem = server
        .send("POST", "/api/shelf/import?name=a.csv", dear.clone())
        .await
        .problem(409);
    assert_eq!(problem["field"], "confirmed", "{problem}");
    server
        .send("POST", "/api/shelf/import?name=a.csv&confirmed=true", dear)
        .await
        .good();
    assert_eq!(server.send("POST", "/api/shelf/undo", "").await.good()["what"], "a.csv");
    assert_eq!(server.send("POST", "/api/shelf/redo", "").await.good()["what"], "a.csv");
}
