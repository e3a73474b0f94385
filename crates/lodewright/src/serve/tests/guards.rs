//! Who is answered, and what a browser is told.

use std::io::Read;

use super::*;

async fn with(server: &Server, method: &str, uri: &str, headers: &[(&str, &[u8])]) -> Reply {
    let mut request = Request::builder().method(method).uri(uri);
    for (name, value) in headers {
        request = request.header(*name, HeaderValue::from_bytes(value).unwrap());
    }
    server.request(request.body(Body::empty()).unwrap()).await
}

#[tokio::test]
async fn foreign_names_and_pages_are_refused_on_this_machine() {
    let server = Server::small().await;
    let refused: [&[(&str, &[u8])]; 16] = [
        // Another port of this machine is as foreign as another machine.
        &[("host", b"127.0.0.1:7415"), ("origin", b"http://127.0.0.1:8000")],
        &[("host", b"127.0.0.1:7415"), ("origin", b"http://localhost:7415")],
        &[("host", b"127.0.0.1:7415"), ("origin", b"https://127.0.0.1:7415")],
        &[("host", b"127.0.0.1:7415"), ("host", b"evil.example")],
        &[
            ("host", b"127.0.0.1:7415"),
            ("origin", b"http://127.0.0.1:7415"),
            ("origin", b"https://evil.example"),
        ],
        &[("host", b"evil.example")],
        &[("host", b"evil.example:7415")],
        &[("host", b"127.0.0.1.evil.example")],
        &[("host", b"localhost.evil.example")],
        &[("host", b"192.168.0.7:7415")],
        &[("host", b"")],
        &[("host", b"\xff\xfe")],
        &[("host", b"127.0.0.1:7415"), ("origin", b"https://evil.example")],
        &[("host", b"127.0.0.1:7415"), ("origin", b"null")],
        &[("host", b"127.0.0.1:7415"), ("origin", b"\xff")],
        &[
            ("host", b"127.0.0.1:7415"),
            ("origin", b"http://localhost@evil.example"),
        ],
    ];
    for headers in refused {
        for (method, uri) in [("GET", "/"), ("GET", "/api/shop"), ("POST", "/api/shelf/undo")] {
            with(&server, method, uri, headers).await.problem(403);
        }
    }
    assert_eq!(
        server.get("/api/shop").await.good()["items"],
        3,
        "a refused request has changed the shelf"
    );
    let welcome: [&[(&str, &[u8])]; 6] = [
        &[],
        &[("host", b"127.0.0.1:7415")],
        &[("host", b"localhost")],
        &[("host", b"[::1]:7415")],
        &[("host", b"127.0.0.1:7415"), ("origin", b"http://127.0.0.1:7415")],
        &[("host", b"localhost:7415"), ("origin", b"http://localhost:7415")],
    ];
    for headers in welcome {
        with(&server, "GET", "/api/shop", headers).await.good();
    }
}

#[tokio::test]
async fn what_a_browser_sends_for_another_site_is_refused() {
    let server = Server::small().await;
    let home = ("host", &b"127.0.0.1:7415"[..]);
    for site in [&b"cross-site"[..], b"same-site", b"odd"] {
        for (method, uri) in [
            ("POST", "/api/shelf/undo"),
            ("POST", "/api/shelf/import?name=a.csv"),
            ("GET", "/api/shelf/export"),
        ] {
            with(&server, method, uri, &[home, ("sec-fetch-site", site)])
                .await
                .problem(403);
        }
        // A link from elsewhere may open the page.
        let page = with(&server, "GET", "/", &[home, ("sec-fetch-site", site)]).await;
        assert_eq!(page.status, 200);
    }
    for site in [&b"same-origin"[..], b"none"] {
        with(&server, "GET", "/api/shop", &[home, ("sec-fetch-site", site)])
            .await
            .good();
    }
}

#[tokio::test]
async fn a_declared_address_is_the_only_one() {
    let app = app(
        Arc::new(Desk::new(Shop::in_memory().unwrap())),
        own(Some("https://desk.example"), false),
        None,
    );
    let server = Server(app);
    let home = ("host", &b"desk.example"[..]);
    let reply = with(
        &server,
        "GET",
        "/api/shop",
        &[home, ("origin", b"https://desk.example")],
    )
    .await;
    reply.good();
    assert!(reply.header("strict-transport-security").contains("max-age"));
    for headers in [
        &[("host", &b"other.example"[..])][..],
        &[home, ("origin", b"https://other.example")],
        &[home, ("origin", b"https://desk.example.evil.example")],
    ] {
        with(&server, "GET", "/api/shop", headers).await.problem(403);
    }
}

#[tokio::test]
async fn a_shop_served_to_others_answers_under_any_name() {
    let app = app(Arc::new(Desk::new(Shop::in_memory().unwrap())), own(None, false), None);
    with(&Server(app), "GET", "/api/shop", &[("host", b"magnets.example")])
        .await
        .good();
}

#[tokio::test]
async fn page_and_interface_say_what_a_browser_may_do() {
    let server = Server::small().await;
    for uri in [
        "/",
        "/api/shop",
        "/api/openapi.json",
        "/api/nothing",
        "/nothing",
        "/api/shelf/export",
    ] {
        let reply = server.get(uri).await;
        let policy = reply.header("content-security-policy");
        assert!(
            policy.contains("default-src 'self'") && policy.contains("frame-ancestors 'none'"),
            "{uri}: {policy}"
        );
        assert!(
            !policy.contains("script-src") && !policy.contains("style-src") && !policy.contains("unsafe"),
            "{uri}: {policy}"
        );
        for part in ["object-src 'none'", "form-action 'self'", "base-uri 'none'"] {
            assert!(policy.contains(part), "{uri}: {policy}");
        }
        assert_eq!(reply.header("x-content-type-options"), "nosniff", "{uri}");
        // With no referrer at all a browser sends the forms of the page itself as if from nowhere.
        assert_eq!(reply.header("referrer-policy"), "same-origin", "{uri}");
        assert_eq!(reply.header("cross-origin-opener-policy"), "same-origin", "{uri}");
        assert_eq!(reply.header("cross-origin-resource-policy"), "same-origin", "{uri}");
    }
    let refused = with(&server, "GET", "/", &[("host", b"evil.example")]).await;
    assert_eq!(refused.header("x-content-type-options"), "nosniff");
    for uri in ["/api/shop", "/api/nothing", "/api/shelf/export"] {
        assert_eq!(server.get(uri).await.header("cache-control"), "no-store", "{uri}");
    }
}

/// A kept paper stands by itself: nothing of it is run, and it reaches nothing of the server.
#[tokio::test]
async fn a_paper_that_was_sent_runs_nothing() {
    let server = Server::demo();
    let subject = json!({ "kind": "lesson", "name": "gap" });
    let link = server.json("POST", "/api/links", &subject).await.good();
    let address = link["address"].as_str().unwrap();
    let page = server.get(address).await;
    assert_eq!(
        (page.status.as_u16(), page.header("content-type")),
        (200, "text/html; charset=utf-8")
    );
    let policy = page.header("content-security-policy");
    assert!(
        policy.contains("default-src 'none'") && policy.contains("sandbox"),
        "{policy}"
    );
    assert!(
        !policy.contains("allow-scripts") && !policy.contains("allow-same-origin"),
        "{policy}"
    );
    assert!(String::from_utf8(page.body).unwrap().contains("</html>"));
    server.get("/papers/nothing").await.problem(404);
    server.get("/api/links/nothing/again").await.problem(404);
    let unknown = json!({ "kind": "item", "code": "nothing" });
    server.json("POST", "/api/links", &unknown).await.problem(404);
}

#[tokio::test]
async fn the_page_is_sent_once_and_then_known() {
    let server = Server::small().await;
    let page = server.get("/").await;
    assert_eq!(page.status, 200);
    assert_eq!(page.header("content-type"), "text/html; charset=utf-8");
    assert_eq!(page.header("cache-control"), "no-cache");
    let tag = page.header("etag").to_string();
    let again = with(&server, "GET", "/", &[("if-none-match", tag.as_bytes())]).await;
    assert_eq!((again.status.as_u16(), again.body.len()), (304, 0));
    assert_eq!(again.header("etag"), tag);
    assert_eq!(
        with(&server, "GET", "/", &[("if-none-match", b"\"other\"")])
            .await
            .status,
        200
    );
    assert_eq!(with(&server, "HEAD", "/", &[]).await.status, 200);
}

#[tokio::test]
async fn long_answers_are_packed_for_whom_can_unpack_them() {
    let server = Server::demo();
    let plain = with(&server, "GET", "/api/shelf?limit=100", &[]).await;
    assert_eq!(plain.header("content-encoding"), "");
    let packed = with(&server, "GET", "/api/shelf?limit=100", &[("accept-encoding", b"gzip")]).await;
    assert_eq!(packed.header("content-encoding"), "gzip");
    assert!(
        packed.body.len() * 3 < plain.body.len(),
        "{} of {}",
        packed.body.len(),
        plain.body.len()
    );
    let mut unpacked = Vec::new();
    flate2::read::GzDecoder::new(packed.body.as_slice())
        .read_to_end(&mut unpacked)
        .unwrap();
    assert_eq!(unpacked, plain.body);
}
