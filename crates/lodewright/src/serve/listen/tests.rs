use std::io::{Read, Write};
use std::net::TcpStream as Stream;

use axum::routing::get;
use tokio::task::spawn_blocking;

use super::*;

/// More than the system holds for a connection that takes nothing.
const LONG: usize = 64 << 20;

/// A side with those limits on a port of its own; it ends with what is returned.
async fn side(limits: Limits) -> (SocketAddr, watch::Sender<bool>, tokio::task::JoinHandle<()>) {
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let at = listener.local_addr().unwrap();
    let (close, closing) = watch::channel(false);
    let long = || async { vec![b'.'; LONG] };
    let app = Router::new()
        .route("/", get(|| async { "here" }))
        .route("/long", get(long));
    (
        at,
        close,
        tokio::spawn(accept(listener, app, limits, Proxies::default(), closing)),
    )
}

/// What comes back when this is written and nothing more.
async fn said(at: SocketAddr, text: impl Into<String>) -> String {
    let text = text.into();
    spawn_blocking(move || {
        let mut stream = Stream::connect(at).unwrap();
        stream.set_read_timeout(Some(Duration::from_secs(60))).unwrap();
        stream.write_all(text.as_bytes()).unwrap();
        let mut back = String::new();
        stream.read_to_string(&mut back).unwrap();
        back
    })
    .await
    .unwrap()
}

const WHOLE: &str = "GET / HTTP/1.1\r\nHost: localhost\r\n\r\n";

#[tokio::test]
async fn headers_that_do_not_come_and_idle_connections_are_closed() {
    let limits = Limits {
        header_within: Duration::from_millis(50),
        ..LIMITS
    };
    let (at, _close, _) = side(limits).await;
    for slow in ["", "GET / HTTP/1.1\r\nHost: local"] {
        let back = said(at, slow).await;
        assert!(!back.contains("here"), "{back}");
    }
    // It is answered, and closed when nothing more is asked.
    assert!(said(at, WHOLE).await.ends_with("here"));
}

#[tokio::test]
async fn a_connection_beyond_the_most_waits_for_a_place() {
    let limits = Limits {
        connections: 1,
        header_within: Duration::from_millis(200),
        ..LIMITS
    };
    let (at, _close, _) = side(limits).await;
    let holds = spawn_blocking(move || Stream::connect(at).unwrap()).await.unwrap();
    assert!(said(at, WHOLE).await.ends_with("here"));
    drop(holds);
}

/// Somebody who opens more and more connections leaves places for others.
#[test]
fn one_address_has_no_more_than_its_share_of_the_connections() {
    let open = Arc::new(Open::default());
    let (one, other) = (IpAddr::from([198, 51, 100, 7]), IpAddr::from([198, 51, 100, 8]));
    let held: Vec<Counted> = (0..LIMITS.of_one)
        .map_while(|_| open.another(one, LIMITS.of_one))
        .collect();
    assert_eq!(held.len(), LIMITS.of_one as usize);
    const { assert!(LIMITS.of_one <= LIMITS.connections / 4) };
    assert!(open.another(one, LIMITS.of_one).is_none());
    assert!(open.another(other, LIMITS.of_one).is_some());
    drop(held);
    assert!(open.another(one, LIMITS.of_one).is_some());
    assert!(open.by.lock().unwrap().is_empty(), "whoever has left is not remembered");
    // A proxy and this machine speak for many.
    let proxies = Proxies::new(vec![one]);
    assert!(proxies.is_of_many(one) && proxies.is_of_many([127, 0, 0, 1].into()) && !proxies.is_of_many(other));
}

#[tokio::test]
async fn whoever_does_not_take_the_answer_loses_the_connection() {
    let limits = Limits {
        connections: 1,
        taken_within: Duration::from_millis(100),
        ..LIMITS
    };
    let (at, _close, _) = side(limits).await;
    let holds = spawn_blocking(move || {
        let mut stream = Stream::connect(at).unwrap();
        stream
            .write_all(WHOLE.replace("GET /", "GET /long").as_bytes())
            .unwrap();
        stream
    });
    let mut holds = holds.await.unwrap();
    // The only place is free again, although the first is still there.
    let next = WHOLE.replace("\r\n\r\n", "\r\nConnection: close\r\n\r\n");
    assert!(said(at, next).await.ends_with("here"));
    let got = spawn_blocking(move || {
        let mut got = Vec::new();
        // It ends in the midst, in one way or another.
        let _ = holds.read_to_end(&mut got);
        got.len()
    });
    assert!(got.await.unwrap() < LONG);
}

#[tokio::test]
async fn closing_ends_idle_connections() {
    let (at, close, serving) = side(LIMITS).await;
    let idle = spawn_blocking(move || Stream::connect(at).unwrap()).await.unwrap();
    close.send(true).unwrap();
    serving.await.unwrap();
    drop(idle);
}
