//! What one request may take.

use super::*;

fn disc() -> Value {
    json!({ "shape": "disc", "diameter_mm": 20, "thickness_mm": 5, "polarisation_T": [0, 0, 1.3] })
}

fn turned(applied: f64) -> Value {
    json!({ "want": "turned_solve", "applied_T": applied, "points_mm": [[0, 0]], "parts": [
        { "name": "plate", "profile_mm": [[0, -2], [30, -2], [30, 0], [0, 0]], "steel": "mild steel" } ] })
}

#[tokio::test]
async fn work_is_foretold_and_refused_where_it_is_too_much() {
    let server = Server::small().await;
    let many = |count: usize| json!({ "arrangement": "pile", "count": count, "of": disc(), "gap_mm": 1 });
    let points = |count: usize| (0..count).map(|k| json!([k, 0, 0])).collect::<Vec<_>>();
    // What is asked, the part to blame, and what is said of it.
    let cases = [
        (
            json!({ "want": "B", "bodies": vec![many(1000); 2], "points_mm": [[0, 0, 9]] }),
            "/bodies/1",
            "more than 1000 bodies",
        ),
        (
            json!({ "want": "B", "bodies": [disc()], "points_mm": points(20_001) }),
            "/points_mm",
            "20001",
        ),
        (
            json!({ "want": "B", "bodies": [many(1000)], "points_mm": points(19_000), "side": [0, 0, 1] }),
            "/points_mm",
            "s of processor time",
        ),
        (
            json!({ "want": "mean_B", "bodies": [many(500)], "points_mm": points(500),
                "element": { "shape": "disc", "diameter_mm": 1 } }),
            "/points_mm",
            "s of processor time",
        ),
        (
            json!({ "want": "plate_pull", "bodies": [many(600)], "gap_mm": 1 }),
            "/bodies",
            "s of processor time",
        ),
        (
            json!({ "want": "work", "on": disc(), "direction": [0, 0, 1],
                "from": [{ "arrangement": "pile", "count": 900, "of": { "shape": "block", "size_mm": [9, 9, 9],
                    "polarisation_T": [0, 1, 1], "centre_mm": [0, 40, 0] } }] }),
            "/from",
            "s of processor time",
        ),
    ];
    for (request, field, said) in cases {
        let problem = server.post("/api/field/compute", &request).await.problem(422);
        assert_eq!(problem["field"], field, "{problem}");
        assert!(problem["detail"].as_str().unwrap().contains(said), "{problem}");
        assert!(!problem["hint"].as_str().unwrap().is_empty(), "{problem}");
    }
    let honest = json!({ "want": "B", "bodies": [many(20)], "points_mm": points(2_000) });
    server.post("/api/field/compute", &honest).await.good();
}

#[tokio::test]
async fn numbers_out_of_reason_are_refused_where_they_stand() {
    let server = Server::small().await;
    for applied in [1e200, -1e200, 101.0] {
        let problem = server.post("/api/field/compute", &turned(applied)).await.problem(422);
        assert_eq!(problem["field"], "/applied_T", "{problem}");
    }
    server.post("/api/field/compute", &turned(0.1)).await.good();
    let far = json!({ "bodies": [disc()], "offset_mm": 1e200 });
    assert_eq!(
        server.post("/api/field/picture", &far).await.problem(422)["field"],
        "/offset_mm"
    );
    let wide = json!({ "bodies": [disc()], "across_mm": [-1e300, 1e300] });
    assert_eq!(
        server.post("/api/field/picture", &wide).await.problem(422)["field"],
        "/across_mm"
    );
}

#[tokio::test]
async fn steel_of_any_size_ends_in_an_answer_or_a_refusal() {
    let server = Server::small().await;
    for size in [1e-300, 1e-9, 1e9, 1e300] {
        for place in ["diameter_mm", "thickness_mm", "polarisation_T"] {
            let mut magnet = json!({ "diameter_mm": 20, "thickness_mm": 5, "polarisation_T": 1.3 });
            magnet[place] = json!(size);
            let request = json!({ "magnet": magnet, "plate": { "diameter_mm": 40, "thickness_mm": 3 } });
            let reply = server.post("/api/field/steel", &request).await;
            assert!(
                [200, 422].contains(&reply.status.as_u16()),
                "{place} {size}: {}",
                reply.status
            );
        }
    }
}
