//! What somebody with bad intent sends, to every route that is described. Sockets that are held open are in `listen`, work that is too
//! much in `budgets`, workbooks that unpack to too much in `shop`, strangers in `public`, passwords that are guessed in `sign_in`.

use super::*;

/// Every route with something in the place of what its address names.
fn routes() -> Vec<(String, String)> {
    let description = serde_json::to_value(description()).unwrap();
    let paths = description["paths"].as_object().unwrap();
    let filled = |path: &str| {
        let parts = path.split(['{', '}']).enumerate();
        parts
            .map(|(k, part)| if k % 2 == 0 { part } else { "x" })
            .collect::<String>()
    };
    let of_path = |(path, methods): (&String, &Value)| {
        let methods = methods.as_object().unwrap().keys();
        methods
            .map(|method| (method.to_uppercase(), filled(path)))
            .collect::<Vec<_>>()
    };
    paths.iter().flat_map(of_path).collect()
}

#[tokio::test]
async fn no_route_takes_anything_from_the_pages_of_others() {
    let server = Server::small().await;
    let home = ("host", "127.0.0.1:7415");
    let attacks: [(&str, &[(&str, &str)]); 7] = [
        ("a form of another site", &[home, ("origin", "https://evil.example")]),
        (
            "a form of a page without an address",
            &[home, ("origin", "null"), ("content-type", "text/plain")],
        ),
        (
            "a picture or script of another site",
            &[home, ("sec-fetch-site", "cross-site")],
        ),
        ("a page on another port", &[home, ("origin", "http://127.0.0.1:8080")]),
        (
            "a name that leads to this machine by now",
            &[("host", "evil.example:7415")],
        ),
        ("two names", &[home, ("host", "evil.example")]),
        (
            "two origins",
            &[
                home,
                ("origin", "http://127.0.0.1:7415"),
                ("origin", "https://evil.example"),
            ],
        ),
    ];
    let before = server.get("/api/shop").await.good();
    let routes = routes();
    assert!(routes.len() > 60);
    for (method, path) in &routes {
        for (attack, headers) in attacks {
            let mut request = Request::builder().method(method.as_str()).uri(path);
            for (name, value) in headers {
                request = request.header(*name, *value);
            }
            let reply = server.request(request.body(Body::from("{}")).unwrap()).await;
            assert_eq!(reply.status, 403, "{attack}: {method} {path}");
        }
    }
    assert_eq!(server.get("/api/shop").await.good(), before);
}

#[tokio::test]
async fn no_body_brings_a_route_down() {
    let server = Server::small().await;
    let deep = "[".repeat(100_000);
    let deep_object = "{\"a\":".repeat(40_000);
    let many = format!("[{}]", vec!["{}"; 5_000].join(","));
    let long = json!({ "words": "hold ".repeat(45_000) }).to_string();
    let digits = format!("{{\"words\": {}}}", "9".repeat(200_000));
    let bodies = [
        deep,
        deep_object,
        many,
        long,
        digits,
        "\u{0}".into(),
        "\"\\ud800\"".into(),
    ];
    let routes = routes();
    for (method, path) in routes
        .iter()
        .filter(|(method, _)| method != "GET" && method != "DELETE")
    {
        for body in &bodies {
            let request = Request::builder()
                .method(method.as_str())
                .uri(path)
                .header(CONTENT_TYPE, "application/json");
            let reply = server.request(request.body(Body::from(body.clone())).unwrap()).await;
            let start: String = body.chars().take(20).collect();
            assert!(
                !reply.status.is_server_error(),
                "{method} {path} with {start}: {} {}",
                reply.status,
                String::from_utf8_lossy(&reply.body)
            );
        }
    }
    server.get("/api/health").await.good();
}
