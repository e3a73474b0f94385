//! What strangers can reach.

use std::net::IpAddr;
use std::sync::atomic::{AtomicUsize, Ordering};

use axum::extract::ConnectInfo;

use base64::Engine;
use quantity::Units;
use sha2::Digest;
use shop::entries::Wanted;
use shop::{Released, Told};

use super::*;
use crate::desk::Wish;

struct Public {
    desk: Shared,
    server: Server,
    opened: AtomicUsize,
    _folder: tempfile::TempDir,
}

impl Public {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("shop.sqlite");
        let desk = Arc::new(Desk::new(shop::demo::open(&path).unwrap()));
        let strangers = Strangers::new(desk.clone()).unwrap();
        let sites = ["https://shop.example".parse().unwrap()];
        let server = Server(public_app(
            strangers,
            &sites,
            None,
            Proxies::new(vec![IpAddr::from([10, 0, 0, 7])]),
        ));
        Self {
            desk,
            server,
            opened: AtomicUsize::new(0),
            _folder: folder,
        }
    }

    /// The same for other settings of the shop, once strangers see them.
    async fn with(change: impl FnOnce(shop::Settings) -> shop::Settings) -> Self {
        let public = Self::new();
        let settings = change(public.desk.shop.settings().unwrap());
        public.desk.shop.set_settings(&settings).unwrap();
        // What is asked makes it look; it may not look yet.
        while public.get("/lessons/").await.status == 404 && public.get("/sheets/02-25").await.status == 404 {
            tokio::time::sleep(Duration::from_millis(100)).await;
        }
        public
    }

    /// What is opened from an address of its own each time.
    async fn get(&self, uri: &str) -> Reply {
        let k = self.opened.fetch_add(1, Ordering::Relaxed);
        let sender = format!("198.51.{}.{}", k / 200 % 200, k % 200);
        self.send_for(&sender, "GET", uri, &Value::Null).await
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

/// Whoever has its address opens a paper that was sent, and nobody can make one or ask what has changed.
#[tokio::test]
async fn strangers_open_what_was_sent_to_them() {
    let public = Public::new();
    let of = crate::links::Subject::Lesson { name: "gap".into() };
    let link = public.desk.keep_link(&of, &Units::metric()).unwrap();
    let page = public.send("GET", &link.address, &Value::Null).await;
    assert_eq!(page.status, 200);
    assert_eq!(page.body, public.desk.link_page(&link.id).unwrap().into_bytes());
    assert!(page.header("content-security-policy").contains("sandbox"));
    let subject = json!({ "kind": "lesson", "name": "gap" });
    public.send("POST", "/api/links", &subject).await.problem(404);
    let again = format!("/api/links/{}/again", link.id);
    public.send("GET", &again, &Value::Null).await.problem(404);
    public.send("GET", "/papers/nothing", &Value::Null).await.problem(404);
}

#[tokio::test]
async fn strangers_ask_and_are_told_nothing_of_the_shop() {
    let public = Public::new();
    let words = "hold 2 kg hanging below 3 mm steel, 20 pieces";
    let reply = public.send("POST", "/api/ask", &json!({ "words": words })).await;
    // Nobody after them on the same computer reads it, and no cache between keeps it.
    assert_eq!(reply.header("cache-control"), "no-store");
    let answer = reply.good();
    assert!(answer["lead"].as_str().unwrap().contains("holds"), "{answer}");
    assert!(!answer["offers"].as_array().unwrap().is_empty(), "{answer}");
    assert_eq!(answer["link"], Value::Null);
    assert!(
        public.desk.shop.list_answers(9).unwrap().is_empty(),
        "nobody said that it may be kept"
    );
    let text = answer.to_string();
    let codes = public.desk.shelf().unwrap();
    let codes = codes.items.iter().map(|item| item.code.as_str());
    for hidden in ["stock", "on hand", "\"code\"", "revision", "€"]
        .into_iter()
        .chain(codes)
    {
        assert!(!text.contains(hidden), "{hidden} in {text}");
    }
    let back = public
        .send("POST", "/api/ask", &json!({ "words": "hold something" }))
        .await
        .good();
    assert!(!back["asks"].as_array().unwrap().is_empty(), "{back}");
}

/// Behind a proxy that speaks TLS the page's own address is not the one that the server listens on.
#[tokio::test]
async fn a_declared_address_behind_tls_is_its_own_and_no_other() {
    let desk = Arc::new(Desk::new(shop::demo::in_memory().unwrap()));
    let origin = "https://ask.example".parse().unwrap();
    let server = Server(public_app(
        Strangers::new(desk).unwrap(),
        &[],
        Some(origin),
        Proxies::default(),
    ));
    let ask = async |host: &str, origin: &str| {
        let request = Request::builder()
            .method("POST")
            .uri("/api/ask")
            .header(CONTENT_TYPE, "application/json")
            .header("host", host)
            .header("origin", origin)
            .header("sec-fetch-site", "same-origin")
            .extension(ConnectInfo(SocketAddr::from(([10, 0, 0, 7], 4000))));
        let body = json!({ "words": "hold 2 kg on steel" }).to_string();
        server.request(request.body(Body::from(body)).unwrap()).await
    };
    let reply = ask("ask.example", "https://ask.example").await;
    assert!(reply.header("strict-transport-security").contains("max-age"));
    reply.good();
    for (host, origin) in [
        ("ask.example", "http://ask.example"),
        ("ask.example", "https://evil.example"),
        ("evil.example", "https://ask.example"),
        ("evil.example", "https://evil.example"),
        ("ask.example", "null"),
    ] {
        let problem = ask(host, origin).await.problem(403);
        assert!(problem["hint"].as_str().unwrap().contains("--public-origin") || host == "evil.example");
    }
}

/// What is wrong with the shop, and where its file lies, is for its people.
#[tokio::test]
async fn strangers_are_not_told_what_is_wrong_with_the_shop() {
    let public = Public::new();
    let path = public.desk.shop.path().unwrap().to_owned();
    std::fs::remove_file(&path).unwrap();
    let keep = json!({ "words": "hold 2 kg on steel", "keep": true });
    let mut failed = 0;
    for (method, uri, body) in [
        ("POST", "/api/ask", &keep),
        ("GET", "/api/answers/nothing", &Value::Null),
        ("GET", "/papers/nothing", &Value::Null),
    ] {
        let reply = public.send_for("198.51.100.9", method, uri, body).await;
        let text = String::from_utf8_lossy(&reply.body).into_owned();
        failed += usize::from(reply.status.is_server_error());
        for inner in [path.to_str().unwrap(), "shop.sqlite", "restore", "backup"] {
            assert!(!text.contains(inner), "{uri}: {text}");
        }
    }
    assert!(failed > 0, "nothing failed although the shop is gone");
}

/// A link outlives the money and the shelf that its answer was of.
#[tokio::test]
async fn an_answer_of_before_tells_no_more_than_a_new_one() {
    let public = Public::new();
    let body = json!({ "words": "hold 2 kg hanging below 3 mm steel, 20 pieces", "keep": true });
    let answer = public.send("POST", "/api/ask", &body).await.good();
    let link = format!("/api{}", answer["link"].as_str().unwrap());
    let shop = &public.desk.shop;
    let codes: Vec<String> = shop.items().unwrap().into_iter().map(|item| item.code).collect();
    let owner = Server(app(public.desk.clone(), own(None, true), None));
    let list = "code,size,grade,price 1\nZ-1,15 x 5,N42,0.50\n";
    let import = "/api/shelf/import?name=list.csv&retire_missing=true&confirmed=true";
    owner.send("POST", import, list).await.good();
    let money = shop::Settings {
        currency: "USD".parse().unwrap(),
        ..shop.settings().unwrap()
    };
    shop.set_settings(&money).unwrap();
    // Strangers see the other shelf a moment after it is there: nothing on it holds that.
    let ask = json!({ "words": "hold 2 kg hanging below 3 mm steel, 20 pieces" });
    for k in 0.. {
        let sender = format!("198.51.101.{}", k % 200);
        let now = public.send_for(&sender, "POST", "/api/ask", &ask).await.good();
        if now["offers"] != answer["offers"] {
            break;
        }
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
    let text = public.get(&link).await.good().to_string();
    for hidden in codes.iter().map(String::as_str).chain(["€", "$"]) {
        assert!(!text.contains(hidden), "{hidden} in {text}");
    }
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
    for path in [
        "/sign-in",
        "/api/openapi.json",
        "/index.html",
        "/api/desk",
        "/api/lessons",
        "/api/items/02-25/paper",
        "/lessons/",
        "/lessons/gap.html",
        "/sheets/02-25",
        "/sheets/..%2F..%2Fapi%2Fdesk",
    ] {
        public.send("GET", path, &Value::Null).await.problem(404);
    }
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

/// What is answered where the shop wants that to be told. It is kept, so that it is of the shop as it stands.
async fn answered_with(tells: &[Told], words: &str) -> Value {
    let public = Public::new();
    let settings = shop::Settings {
        public_tells: tells.iter().copied().collect(),
        ..public.desk.shop.settings().unwrap()
    };
    public.desk.shop.set_settings(&settings).unwrap();
    let body = json!({ "words": words, "keep": true });
    public.send("POST", "/api/ask", &body).await.good()
}

#[tokio::test]
async fn what_it_tells_of_grades_prices_and_stock_is_the_shops_choice() {
    let words = "hold 2 kg hanging below 3 mm steel, 20 pieces";
    let offers = |answer: &Value| answer["offers"].to_string();
    let all = answered_with(&[Told::Grades, Told::Prices, Told::Stock], words).await;
    let told = offers(&all);
    assert!(
        told.contains("N42") || told.contains("N52") || told.contains("N35"),
        "{told}"
    );
    assert!(
        told.contains(" each") && told.contains(" from ") && told.contains("in stock"),
        "{told}"
    );
    let least = answered_with(&[], words).await;
    let text = least.to_string();
    assert!(offers(&least).contains("neodymium"), "{least}");
    for hidden in ["N42", "N52", "N35", "Y30", "€", "in stock"] {
        assert!(!text.contains(hidden), "{hidden} in {text}");
    }
    let usual = answered_with(&[Told::Grades], words).await;
    assert!(
        !offers(&usual).contains("in stock") && offers(&usual).contains(", N"),
        "{usual}"
    );
    // The demo shop remarks on samarium cobalt, which alone stands that heat.
    let hot = "hold 500 g on thick steel at 200 °C";
    let remark = "brittle: for warm show cases";
    assert!(offers(&answered_with(&[Told::Notes], hot).await).contains(remark));
    assert!(
        !answered_with(&[Told::Grades, Told::Prices, Told::Stock], hot)
            .await
            .to_string()
            .contains(remark)
    );
    // A grade that the customer names is named.
    let named = answered_with(&[], "what does a 20 x 5 mm N42 disc pull?").await;
    assert!(named["lead"].as_str().unwrap().contains("N42"), "{named}");
}

#[tokio::test]
async fn what_is_kept_stands_on_the_desk_as_asked_by_themselves() {
    let public = Public::new();
    for words in ["hold 1 kg on steel", "why is twice as thick not twice as strong?"] {
        public
            .send("POST", "/api/ask", &json!({ "words": words, "keep": true }))
            .await
            .good();
        // Those without consent leave nothing.
        public
            .send("POST", "/api/ask", &json!({ "words": "hold 3 kg on steel" }))
            .await
            .good();
    }
    public
        .desk
        .reply(
            "hold 2 kg on steel",
            Wish {
                keep: true,
                ..Wish::default()
            },
            &Units::metric(),
        )
        .unwrap();
    let all = public
        .desk
        .day_work(&Wanted {
            limit: 9,
            ..Wanted::default()
        })
        .unwrap();
    let mut asked: Vec<(&str, bool)> = all
        .entries
        .iter()
        .map(|e| (e.entry.message.as_str(), e.entry.by_themselves))
        .collect();
    asked.sort_unstable();
    assert_eq!(
        asked,
        [
            ("hold 1 kg on steel", true),
            ("hold 2 kg on steel", false),
            ("why is twice as thick not twice as strong?", true)
        ]
    );
}

#[tokio::test]
async fn so_many_are_kept_from_one_address_in_a_day() {
    let public = Public::new();
    let keep = json!({ "words": "hold 1 kg on steel", "keep": true });
    for _ in 0..10 {
        public.send("POST", "/api/ask", &keep).await.good();
    }
    let problem = public.send("POST", "/api/ask", &keep).await.problem(429);
    assert!(problem["detail"].as_str().unwrap().contains("keep"), "{problem}");
    public
        .send("POST", "/api/ask", &json!({ "words": "hold 1 kg on steel" }))
        .await
        .good();
    public.send_for("198.51.100.2", "POST", "/api/ask", &keep).await.good();
}

#[tokio::test]
async fn a_changed_shelf_is_seen_soon_and_the_same_question_answered_from_it() {
    let public = Public::new();
    let words = json!({ "words": "what does a 20 x 5 mm N42 disc pull?" });
    let ask = async |k: u32| {
        let sender = format!("198.51.{}.{}", k / 200, k % 200);
        public.send_for(&sender, "POST", "/api/ask", &words).await.good()
    };
    let before = ask(0).await;
    let inch = shop::Settings {
        units: Units::inch(),
        ..public.desk.shop.settings().unwrap()
    };
    public.desk.shop.set_settings(&inch).unwrap();
    let mut k = 0;
    while ask(k).await == before {
        k += 1;
        tokio::time::sleep(Duration::from_millis(20)).await;
    }
    let after = ask(k + 1).await;
    assert!(after["lead"].as_str().unwrap().contains("lb"), "{after}");
}

#[tokio::test]
async fn lessons_that_are_released_open_and_no_others() {
    let named = |names: &[&str]| Released::Named(names.iter().map(|name| (*name).to_owned()).collect());
    let public = Public::with(|settings| shop::Settings {
        public_lessons: named(&["gap", "solid_or_stack"]),
        ..settings
    })
    .await;
    let page = public.get("/").await;
    assert!(String::from_utf8_lossy(&page.body).contains("href=\"/lessons/\""));
    let list = public.get("/lessons/").await;
    let list_text = String::from_utf8_lossy(&list.body).into_owned();
    assert_eq!(list.status, 200);
    assert_eq!(public.get("/lessons/index.html").await.body, list.body);
    assert_eq!(public.get("/lessons").await.header("location"), "/lessons/");
    let links: Vec<&str> = list_text
        .split("href=\"")
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .collect();
    assert_eq!(links, ["solid_or_stack.html", "gap.html"]);
    for name in ["gap", "solid_or_stack"] {
        let lesson = public.get(&format!("/lessons/{name}.html")).await;
        assert_eq!(lesson.status, 200);
        let text = String::from_utf8_lossy(&lesson.body).into_owned();
        // The shop tells no prices, and its own page is out of reach.
        assert!(text.contains("N42") && !text.contains('€'), "{text}");
        for link in text.split("href=\"").skip(1) {
            assert!(
                link.starts_with("gap.html") || link.starts_with("solid_or_stack.html"),
                "{link}"
            );
        }
        let (_, rest) = text.split_once("<style>").unwrap();
        let (style, body) = rest.split_once("</style>").unwrap();
        let mark = base64::engine::general_purpose::STANDARD.encode(sha2::Sha256::digest(style));
        let policy = lesson.header("content-security-policy");
        assert!(
            policy.starts_with("default-src 'none'; ") && policy.contains(&format!("style-src 'sha256-{mark}'")),
            "{policy}"
        );
        assert!(!policy.contains("unsafe") && !body.contains(" style=\"") && !text.contains("<script"));
    }
    let paper = public.get("/lessons/gap.html?form=pdf").await;
    assert!(paper.body.starts_with(b"%PDF-"));
    // What is not released and what is not there are one.
    let other = public.get("/lessons/heat.html").await.problem(404);
    assert_eq!(other, public.get("/lessons/nosuch.html").await.problem(404));
    public.get("/sheets/02-25").await.problem(404);
    public.get("/lessons/gap.html?form=odd").await.problem(422);
}

#[tokio::test]
async fn sheets_that_are_released_open_with_what_the_shop_tells() {
    let released = |tells: Vec<Told>| {
        move |settings: shop::Settings| shop::Settings {
            public_tells: tells.into_iter().collect(),
            public_sheets: Released::Named(["02-25".to_owned()].into()),
            ..settings
        }
    };
    let sheet = async |tells: Vec<Told>| {
        let public = Public::with(released(tells)).await;
        let sheet = public.get("/sheets/02-25").await;
        assert_eq!(sheet.status, 200);
        let other = public.get("/sheets/16-08").await.problem(404);
        assert_eq!(other, public.get("/sheets/nosuch").await.problem(404));
        public.get("/lessons/gap.html").await.problem(404);
        assert!(!String::from_utf8_lossy(&public.get("/").await.body).contains("/lessons/"));
        String::from_utf8_lossy(&sheet.body).into_owned()
    };
    let least = sheet(vec![Told::Grades]).await;
    let more = sheet(vec![Told::Grades, Told::Prices, Told::Stock]).await;
    for word in ["€", "Stock"] {
        assert!(!least.contains(word), "{word} in {least}");
        assert!(more.contains(word), "no {word} in {more}");
    }
    assert!(least.contains("N52") && least.contains("02-25"));
}

#[tokio::test]
async fn an_offer_leads_to_its_sheet_where_that_is_released() {
    let public = Public::with(|settings| shop::Settings {
        public_sheets: Released::All,
        ..settings
    })
    .await;
    let words = json!({ "words": "hold 2 kg hanging below 3 mm steel, 20 pieces" });
    let answer = public.send("POST", "/api/ask", &words).await.good();
    let sheets: Vec<&str> = answer["offers"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|offer| offer["sheet"].as_str())
        .collect();
    assert!(!sheets.is_empty(), "{answer}");
    for sheet in sheets {
        assert_eq!(public.get(sheet).await.status, 200, "{sheet}");
    }
    let untold = Public::new().send("POST", "/api/ask", &words).await.good();
    assert!(untold["offers"][0].get("sheet").is_none(), "{untold}");
}

#[tokio::test]
async fn whoever_guesses_what_could_be_opened_has_to_wait() {
    let public = Public::new();
    for k in 0..120 {
        let uri = match k % 3 {
            0 => format!("/api/answers/{k:026}"),
            1 => format!("/sheets/{k}"),
            _ => format!("/lessons/{k}.html"),
        };
        public.send("GET", &uri, &Value::Null).await.problem(404);
    }
    for uri in ["/api/answers/x", "/sheets/x", "/lessons/", "/lessons/x.html"] {
        let refused = public.send("GET", uri, &Value::Null).await;
        refused.problem(429);
        assert!(refused.headers.contains_key("retry-after"));
    }
    // Asking is counted by itself, and nobody else has to wait.
    public
        .send("POST", "/api/ask", &json!({ "words": "qwertz" }))
        .await
        .good();
    public.get("/sheets/x").await.problem(404);
}
