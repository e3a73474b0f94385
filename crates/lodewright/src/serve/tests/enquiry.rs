use super::*;

#[tokio::test]
async fn every_kind_is_answered_and_nothing_is_kept() {
    let server = Server::small().await;
    let magnet = json!({ "shape": "disc", "size_mm": [15, 5] });
    let stocked = json!({ "code": "14-08" });
    for (enquiry, kind, part) in [
        (
            json!({ "kind": "tell", "about": ["pull"], "magnets": [magnet] }),
            "tell",
            "/figures/0/value",
        ),
        (
            json!({ "kind": "tell", "magnets": [magnet, stocked] }),
            "compare",
            "/rows/0/cells/1",
        ),
        (
            json!({ "kind": "compare", "magnets": [magnet, stocked] }),
            "compare",
            "/columns/1/code",
        ),
        (
            json!({ "kind": "explain", "about": ["thin_sheet"] }),
            "explain",
            "/title",
        ),
        (
            json!({ "kind": "refuse", "reason": "not_magnetic" }),
            "refuse",
            "/reason",
        ),
        (
            json!({ "kind": "choose", "question": { "need": { "verb": "hold", "load": "1 kg" } } }),
            "choose",
            "/words",
        ),
    ] {
        let reply = server.post("/api/enquiry", &enquiry).await.good();
        assert_eq!(reply["kind"], kind, "{enquiry}");
        assert!(reply.pointer(part).is_some_and(Value::is_string), "{part} of {reply}");
    }
    assert_eq!(server.get("/api/desk").await.good()["entries"], json!([]));
}

#[tokio::test]
async fn what_is_missing_is_pointed_at() {
    let server = Server::small().await;
    for (enquiry, field) in [
        (json!({ "kind": "tell" }), "/magnets"),
        (
            json!({ "kind": "tell", "magnets": [{ "shape": "disc", "size_mm": [20] }] }),
            "/magnets/0/size_mm",
        ),
        (json!({ "kind": "explain", "about": ["cheese"] }), "/about"),
        (json!({ "kind": "refuse" }), "/reason"),
        (
            json!({ "kind": "choose", "question": { "need": { "verb": "hold" } } }),
            "/question/need/load",
        ),
        (
            json!({ "kind": "choose", "question": { "need": { "verb": "hold", "load": "2 parsecs" } } }),
            "/question/need/load",
        ),
        (json!({ "kind": "muse" }), "/kind"),
    ] {
        let problem = server.post("/api/enquiry", &enquiry).await.problem(422);
        assert_eq!(problem["field"], field, "{problem}");
    }
}
