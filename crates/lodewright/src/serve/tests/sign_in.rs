//! Who is let in where a shop is served to others, and how far.

use axum::extract::ConnectInfo;
use shop::Role;

use super::*;
use crate::desk::seconds_now;
use crate::serve::sign_in::{CHANGE_TOKEN, change_token};

/// A shop behind its gate.
struct Gated {
    desk: Shared,
    server: Server,
}

impl Gated {
    fn new() -> Self {
        let desk = Arc::new(Desk::new(shop::demo::in_memory().unwrap()));
        let gate = Arc::new(Gate::new(desk.clone(), false).unwrap());
        let server = Server(app(desk.clone(), own(None, false), Some(gate)));
        Self { desk, server }
    }

    async fn send(&self, method: &str, uri: &str, cookie: &str, kind: &str, body: String) -> Reply {
        let request = Request::builder()
            .method(method)
            .uri(uri)
            .header("cookie", cookie)
            .header(
                CHANGE_TOKEN,
                change_token(cookie.split_once('=').map_or("", |(_, token)| token)),
            )
            .header(CONTENT_TYPE, kind)
            .extension(ConnectInfo(SocketAddr::from(([10, 0, 0, 7], 4000))));
        self.server.request(request.body(Body::from(body)).unwrap()).await
    }

    async fn get(&self, uri: &str, cookie: &str) -> Reply {
        self.send("GET", uri, cookie, "text/plain", String::new()).await
    }

    async fn json(&self, uri: &str, cookie: &str, body: &Value) -> Reply {
        self.send("POST", uri, cookie, "application/json", body.to_string())
            .await
    }

    async fn form(&self, uri: &str, cookie: &str, body: &str) -> Reply {
        let kind = "application/x-www-form-urlencoded";
        self.send("POST", uri, cookie, kind, body.to_owned()).await
    }

    /// The cookie of somebody who took an invitation.
    async fn joined(&self, name: &str, role: Role) -> String {
        self.desk.shop.invite(name, role, name, seconds_now() + 60).unwrap();
        let reply = self
            .form("/sign-in/join", "", &format!("token={name}&password=long+enough"))
            .await;
        assert_eq!(reply.status, 303, "{}", String::from_utf8_lossy(&reply.body));
        cookie(&reply)
    }
}

fn cookie(reply: &Reply) -> String {
    let set = reply.header("set-cookie");
    assert!(set.contains("HttpOnly") && set.contains("SameSite=Strict"), "{set}");
    set.split(';').next().unwrap().to_owned()
}

#[tokio::test]
async fn nobody_is_let_in_who_has_not_signed_in() {
    let gated = Gated::new();
    for cookie in ["", "lodewright=", "lodewright=guessed", "other=1"] {
        for uri in [
            "/api/shop",
            "/api/desk",
            "/api/shelf/export",
            "/api/openapi.json",
            "/api/nothing",
            "/api",
        ] {
            gated.get(uri, cookie).await.problem(401);
        }
        gated
            .json("/api/ask", cookie, &json!({ "words": "hold 1 kg" }))
            .await
            .problem(401);
        gated.form("/api/shelf/undo", cookie, "").await.problem(401);
        let page = gated.get("/", cookie).await;
        assert_eq!((page.status.as_u16(), page.header("location")), (303, "/sign-in"));
    }
    let form = gated.get("/sign-in", "").await;
    assert_eq!(form.status, 200);
    assert!(String::from_utf8_lossy(&form.body).contains("<form"));
    gated.get("/api/health", "").await.good();
}

#[tokio::test]
async fn an_invitation_lets_in_once_and_a_password_after_it() {
    let gated = Gated::new();
    let first = gated.joined("Ada", Role::Owner).await;
    gated.get("/api/shop", &first).await.good();
    let again = gated
        .form("/sign-in/join", "", "token=Ada&password=another+long+one")
        .await;
    assert_eq!(again.status, 422);
    assert_eq!(gated.get("/sign-in/join?token=Ada", "").await.status, 404);
    let wrong = gated.form("/sign-in", "", "name=Ada&password=something+else").await;
    assert_eq!((wrong.status.as_u16(), wrong.header("set-cookie")), (401, ""));
    let unknown = gated.form("/sign-in", "", "name=Eve&password=long+enough").await;
    assert_eq!(unknown.status, 401);
    let entered = gated.form("/sign-in", "", "name=Ada&password=long+enough").await;
    assert_eq!(entered.status, 303);
    let second = cookie(&entered);
    assert_ne!(first, second);
    gated.get("/api/shop", &second).await.good();
    gated.form("/sign-in/leave", &second, "").await;
    gated.get("/api/shop", &second).await.problem(401);
    gated.get("/api/shop", &first).await.good();
    gated
        .desk
        .shop
        .invite("Ada", Role::Owner, "new", seconds_now() + 60)
        .unwrap();
    let short = gated.form("/sign-in/join", "", "token=new&password=short").await;
    assert_eq!(short.status, 422);
    gated
        .form("/sign-in/join", "", "token=new&password=changed+by+link")
        .await;
    // A new password ends the sessions of before.
    gated.get("/api/shop", &first).await.problem(401);
}

#[tokio::test]
async fn guessing_passwords_has_to_wait() {
    let gated = Gated::new();
    gated.joined("Ada", Role::Owner).await;
    for _ in 0..8 {
        assert_eq!(gated.form("/sign-in", "", "name=Ada&password=guess").await.status, 401);
    }
    let reply = gated.form("/sign-in", "", "name=Ada&password=long+enough").await;
    assert_eq!(reply.status, 429);
    assert!(reply.header("retry-after").parse::<u32>().unwrap() > 0);
}

/// Hashing takes memory and time: a burst of guesses gets no more of either than guesses one after the other.
#[tokio::test]
async fn no_more_passwords_are_looked_at_than_may_fail_however_many_come_at_once() {
    let gated = Arc::new(Gated::new());
    gated.joined("Ada", Role::Owner).await;
    let guesses: Vec<_> = (0..50)
        .map(|_| {
            let gated = gated.clone();
            tokio::spawn(async move { gated.form("/sign-in", "", "name=Ada&password=guess").await.status })
        })
        .collect();
    let mut looked_at = 0;
    for guess in guesses {
        let status = guess.await.unwrap();
        assert!([401, 429].contains(&status.as_u16()), "{status}");
        looked_at += usize::from(status == 401);
    }
    assert_eq!(looked_at, 8);
}

/// Attempts that succeed do not count, and strangers who guess from elsewhere do not keep somebody out.
#[tokio::test]
async fn who_knows_the_password_comes_in_although_others_guess() {
    let gated = Gated::new();
    gated.joined("Ada", Role::Owner).await;
    let from = async |host: u8, password: &str| {
        let request = Request::builder()
            .method("POST")
            .uri("/sign-in")
            .header(CONTENT_TYPE, "application/x-www-form-urlencoded")
            .extension(ConnectInfo(SocketAddr::from(([10, 0, 1, host], 4000))));
        let body = Body::from(format!("name=Ada&password={password}"));
        gated.server.request(request.body(body).unwrap()).await.status
    };
    for _ in 0..9 {
        from(1, "guess").await;
    }
    assert_eq!(from(1, "long+enough").await, 429);
    for _ in 0..9 {
        assert_eq!(from(2, "long+enough").await, 303);
    }
}

#[tokio::test]
async fn what_changes_something_says_that_it_is_the_shops_page() {
    let gated = Gated::new();
    let cookie = gated.joined("Ona", Role::Owner).await;
    let token = gated.get("/api/shop", &cookie).await.good()["signed_in"].clone();
    assert_eq!((&token["name"], &token["role"]), (&json!("Ona"), &json!("owner")));
    let change = async |sent: Option<&str>| {
        let mut request = Request::builder()
            .method("POST")
            .uri("/api/ask")
            .header(CONTENT_TYPE, "application/json")
            .header("cookie", &cookie);
        if let Some(sent) = sent {
            request = request.header(CHANGE_TOKEN, sent);
        }
        gated
            .server
            .request(request.body(Body::from(r#"{"words": "hold 1 kg on steel"}"#)).unwrap())
            .await
    };
    change(None).await.problem(403);
    change(Some("guessed")).await.problem(403);
    // Not that of another session either, nor the cookie itself.
    let other = gated.joined("Avi", Role::Owner).await;
    let other = gated.get("/api/shop", &other).await.good()["signed_in"]["change_token"].clone();
    change(other.as_str()).await.problem(403);
    change(cookie.split_once('=').map(|(_, token)| token))
        .await
        .problem(403);
    change(token["change_token"].as_str()).await.good();
}

#[tokio::test]
async fn a_monitor_of_this_machine_reads_the_counts_and_nobody_elses() {
    let gated = Gated::new();
    let counts = async |peer: [u8; 4], passed_on: Option<&str>| {
        let mut request = Request::builder().uri("/api/metrics");
        if let Some(sender) = passed_on {
            request = request.header("x-forwarded-for", sender);
        }
        let request = request.extension(ConnectInfo(SocketAddr::from((peer, 4000))));
        gated.server.request(request.body(Body::empty()).unwrap()).await.status
    };
    assert_eq!(counts([127, 0, 0, 1], None).await, 200);
    assert_eq!(counts([127, 0, 0, 1], Some("198.51.100.7")).await, 401);
    assert_eq!(counts([10, 0, 0, 9], None).await, 401);
}

#[tokio::test]
async fn each_role_may_do_its_own_and_what_it_changes_is_noted() {
    let gated = Gated::new();
    let mut cookies = Vec::new();
    for (name, role) in [("Rea", Role::Reader), ("Avi", Role::Adviser), ("Ona", Role::Owner)] {
        cookies.push(gated.joined(name, role).await);
    }
    let ask = json!({ "words": "hold 1 kg on steel" });
    let list = "code,size,grade,price 1\nC-1,15 x 5,N42,0.50\n".to_owned();
    for (rank, cookie) in cookies.iter().enumerate() {
        let id = gated.json("/api/ask", cookie, &ask).await.good()["id"]
            .as_str()
            .unwrap()
            .to_owned();
        let may = |least: usize| rank >= least;
        let delete = gated
            .send("DELETE", &format!("/api/desk/{id}"), cookie, "", String::new())
            .await;
        assert_eq!(delete.status.is_success(), may(1), "{rank}");
        assert_eq!(gated.get("/api/shelf/export", cookie).await.status.is_success(), may(1));
        let import = gated
            .send("POST", "/api/shelf/import?name=a.csv", cookie, "", list.clone())
            .await;
        assert_eq!(import.status.is_success(), may(2), "{rank}");
        if !may(2) {
            import.problem(403);
        }
    }
    let deeds = gated.desk.shop.deeds(100).unwrap();
    let of = |name: &str, what: &str| deeds.iter().any(|deed| deed.person == name && deed.what.contains(what));
    assert!(
        of("Ona", "POST /api/shelf/import a.csv, revision 2") && of("Avi", "DELETE /api/desk/") && of("Rea", "joined")
    );
    assert!(!of("Avi", "import") && !of("Rea", "DELETE"), "{deeds:?}");
}

/// What is worked out at the bench and changes nothing is for readers too; what is kept is not.
#[tokio::test]
async fn a_reader_may_look_at_the_bench_and_change_nothing() {
    let gated = Gated::new();
    let reader = gated.joined("Rea", Role::Reader).await;
    let adviser = gated.joined("Avi", Role::Adviser).await;
    let probe = json!({
        "name": "pen", "depth": "0.5 mm", "depth_within": "0.3 mm", "element": "0.8 mm", "accuracy": 1.5,
        "resolution": "0.1 mT"
    });
    let put = gated
        .send(
            "PUT",
            "/api/bench/probes/p",
            &adviser,
            "application/json",
            probe.to_string(),
        )
        .await;
    assert!(put.status.is_success());
    let begin = json!({ "id": "s", "magnet": { "shape": "disc", "size_mm": [10, 5], "grade": "N42" } });
    gated.json("/api/bench/sessions", &reader, &begin).await.problem(403);
    gated.json("/api/bench/sessions", &adviser, &begin).await.good();
    let plan = json!({ "lot_size": 500 });
    for (path, body) in [
        ("plan", plan.clone()),
        ("sessions/s/expected", json!({})),
        ("sessions/s/inspection", json!({ "plan": plan })),
    ] {
        gated.json(&format!("/api/bench/{path}"), &reader, &body).await.good();
    }
    let reading = json!({ "id": "r", "value": "390 mT" });
    gated
        .json("/api/bench/sessions/s/readings", &reader, &reading)
        .await
        .problem(403);
    gated
        .json(
            "/api/bench/sessions/s/kept",
            &reader,
            &json!({ "id": "k", "parameter": "scale" }),
        )
        .await
        .problem(403);
    let deeds = gated.desk.shop.deeds(100).unwrap();
    assert!(
        !deeds
            .iter()
            .any(|deed| deed.person == "Rea" && deed.what.contains("bench"))
    );
}

#[tokio::test]
async fn a_cookie_alone_does_not_serve_a_foreign_page() {
    let gated = Gated::new();
    let cookie = gated.joined("Ona", Role::Owner).await;
    for (name, value) in [("origin", "http://evil.example"), ("sec-fetch-site", "cross-site")] {
        let request = Request::builder()
            .method("POST")
            .uri("/api/shelf/undo")
            .header("host", "desk.example")
            .header("cookie", &cookie)
            .header(name, value);
        gated
            .server
            .request(request.body(Body::empty()).unwrap())
            .await
            .problem(403);
    }
}
