//! Readings of the bench over the web.

use super::*;

/// A disc at its face, on a spacer and doubled.
pub fn session() -> Value {
    json!({
        "probe": { "depth": "0.5 mm" },
        "lots": [{ "name": "A", "sizes": { "shape": "disc", "diameter": "10 mm", "thickness": "5 mm" }, "grade": "N42" }],
        "readings": [
            { "value": { "flux_density": "390 mT" } },
            { "spacer": "1 mm", "value": { "flux_density": "295 mT" } },
            { "pieces": 2, "value": { "flux_density": "480 mT" } }
        ],
        "fit": { "free": ["depth", { "scale": 0 }] }
    })
}

#[tokio::test]
async fn readings_are_fitted_and_told() {
    let server = Server::small().await;
    let sheet = server.post("/api/bench/fit?units=mT", &session()).await.good();
    assert_eq!(sheet["readings"].as_array().unwrap().len(), 3);
    assert_eq!(sheet["readings"][1]["what"], "1 × A, on 1\u{a0}mm");
    let named: Vec<&str> = sheet["parameters"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|p| p["name"].as_str())
        .collect();
    assert!(named.contains(&"depth of the probe") && named.contains(&"A: effective remanence"));
    assert!(!sheet["next"].as_array().unwrap().is_empty());
    assert!(sheet["report"]["fit"]["covariance"].is_array());
}

#[tokio::test]
async fn what_cannot_be_fitted_is_refused_with_a_reason() {
    let server = Server::small().await;
    let mut session = session();
    session["lots"][0]["grade"] = "N99".into();
    let problem = server.post("/api/bench/fit", &session).await.problem(422);
    assert!(problem["detail"].as_str().unwrap().contains("N99"), "{problem}");
    session["lots"][0]["grade"] = "N42".into();
    session["readings"][0]["spacer"] = "1 kg".into();
    let reply = server.post("/api/bench/fit", &session).await;
    assert!(reply.status.is_client_error());
}
