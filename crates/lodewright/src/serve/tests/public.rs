//! What strangers can reach.

use std::net::IpAddr;

use axum::extract::ConnectInfo;

use super::*;

struct Public {
    desk: Shared,
    reading: Shared,
    server: Server,
    _folder: tempfile::TempDir,
}

impl Public {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("shop.sqlite");
        let desk = Arc::new(Desk::new(shop::demo::open(&path).unwrap()));
        let reading = Arc::new(Desk::new(Shop::open_for_reading(&path).unwrap()));
        let strangers = Strangers::new(reading.clone(), desk.clone());
        let sites = ["https://shop.example".parse().unwrap()];
        let server = Server(public_app(
            strangers,
            &sites,
            Proxies::new(vec![IpAddr::from([10, 0, 0, 7])]),
        ));
        Self {
            desk,
            reading,
            server,
            _folder: folder,
        }
    }

    async fn send(&self, method: &str, uri: &str, body: &Value) -> Reply {
        self.send_for("203.0.113.9", method, uri, body).await
    }

    /// What the proxy passes on for somebody.
    async fn send_for(&self, sender: &str, method: &str, uri: &str, body: &Value) -> Reply {
        let request = Request::builder()
            .method(method)
            .uri(uri)
            .header(CONTENT_TYPE, "application/json")
            .header("x-forwarded-for", sender)
            .extension(ConnectInfo(SocketAddr::from(([10, 0, 0, 7], 4000))));
        self.server
            .request(request.body(Body::from(body.to_string())).unwrap())
            .await
    }
}

#[tokio::test]
async fn strangers_ask_and_are_told_nothing_of_the_shop() {
    let public = Public::new();
    let words = "hold 2 kg hanging below 3 mm steel, 20 pieces";
    let answer = public.send("POST", "/api/ask", &json!({ "words": words })).await.good();
    assert!(answer["lead"].as_str().unwrap().contains("holds"), "{answer}");
    assert!(!answer["offers"].as_array().unwrap().is_empty(), "{answer}");
    assert_eq!(answer["link"], Value::Null);
    assert!(
        public.desk.shop.list_answers(9).unwrap().is_empty(),
        "nobody said that it may be kept"
    );
    let text = answer.to_string();
    for hidden in ["stock", "on hand", "\"code\"", "revision"] {
        assert!(!text.contains(hidden), "{hidden} in {text}");
    }
    let back = public
        .send("POST", "/api/ask", &json!({ "words": "hold something" }))
        .await
        .good();
    assert!(!back["asks"].as_array().unwrap().is_empty(), "{back}");
}

#[tokio::test]
async fn what_is_kept_with_consent_opens_by_its_link_only() {
    let public = Public::new();
    let body = json!({ "words": "hold 1 kg on steel", "keep": true });
    let answer = public.send("POST", "/api/ask", &body).await.good();
    let link = answer["link"].as_str().unwrap();
    let id = link.strip_prefix("/answers/").unwrap();
    assert_eq!(id.len(), 26);
    assert_eq!(public.desk.shop.list_answers(9).unwrap()[0].id, id);
    let opened = public.send("GET", &format!("/api{link}"), &Value::Null).await.good();
    assert_eq!(opened["lead"], answer["lead"]);
    for guess in [&id[..8], "nosuch", "%25", "../desk"] {
        public
            .send("GET", &format!("/api/answers/{guess}"), &Value::Null)
            .await
            .problem(404);
    }
}

#[tokio::test]
async fn the_rest_of_the_shop_is_out_of_reach() {
    let public = Public::new();
    let (_, description) = interface().split_for_parts();
    let paths = serde_json::to_value(&description).unwrap()["paths"]
        .as_object()
        .unwrap()
        .clone();
    for (path, methods) in &paths {
        let open = path == "/api/ask" || path == "/api/answers/{id}";
        for method in methods.as_object().unwrap().keys().filter(|_| !open) {
            let reply = public.send(&method.to_uppercase(), path, &json!({})).await;
            assert!(
                [404, 405].contains(&reply.status.as_u16()),
                "{method} {path}: {}",
                reply.status
            );
        }
    }
    assert!(paths.len() > 20);
    for path in ["/sign-in", "/api/openapi.json", "/index.html", "/api/desk"] {
        public.send("GET", path, &Value::Null).await.problem(404);
    }
    // Its own connection could not write, whatever it was asked.
    let reading = &public.reading.shop;
    assert!(reading.undo().is_err() && reading.delete_answer("x").is_err());
}

#[tokio::test]
async fn too_many_and_too_long_questions_are_refused() {
    let public = Public::new();
    let long = json!({ "words": "x".repeat(2_001) });
    public.send("POST", "/api/ask", &long).await.problem(413);
    for _ in 0..19 {
        let odd = json!({ "words": "qwertz" });
        public.send("POST", "/api/ask", &odd).await.good();
    }
    let reply = public.send("POST", "/api/ask", &json!({ "words": "hold 1 kg" })).await;
    reply.problem(429);
    assert!(reply.header("retry-after").parse::<u32>().unwrap() > 0);
}

#[tokio::test]
async fn its_page_may_stand_in_a_frame_of_the_shops_site_alone() {
    let public = Public::new();
    for uri in ["/", "/answers/abc", "/ask.js", "/ask.css", "/embed.js"] {
        let reply = public.send("GET", uri, &Value::Null).await;
        assert_eq!(reply.status, 200, "{uri}");
        let policy = reply.header("content-security-policy");
        assert!(
            policy.contains("frame-ancestors https://shop.example") && !policy.contains("unsafe"),
            "{policy}"
        );
        assert!(reply.body.len() < 4_096, "{uri} has {} bytes", reply.body.len());
    }
}

#[tokio::test]
async fn whoever_asks_too_often_waits_and_nobody_else_does() {
    let public = Public::new();
    // Counted like every other, and told at once that it is too long.
    let long = json!({ "words": "hold ".repeat(1_000) });
    let ask = async |sender: &str| public.send_for(sender, "POST", "/api/ask", &long).await;
    for _ in 0..20 {
        assert_eq!(ask("198.51.100.1").await.status, 413);
    }
    let refused = ask("198.51.100.1").await;
    assert_eq!(refused.status, 429);
    assert!(refused.headers.contains_key("retry-after"));
    assert_eq!(ask("198.51.100.2").await.status, 413, "another behind the same proxy");
}
