use std::io::{Read, Write};
use std::net::TcpStream as Stream;

use axum::routing::get;
use tokio::task::spawn_blocking;

use super::*;

/// A side with those limits on a port of its own; it ends with what is returned.
async fn side(limits: Limits) -> (SocketAddr, watch::Sender<bool>, tokio::task::JoinHandle<()>) {
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let at = listener.local_addr().unwrap();
    let (close, closing) = watch::channel(false);
    let app = Router::new().route("/", get(|| async { "here" }));
    (at, close, tokio::spawn(accept(listener, app, limits, closing)))
}

/// What comes back when this is written and nothing more.
async fn said(at: SocketAddr, text: &'static str) -> String {
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
    };
    let (at, _close, _) = side(limits).await;
    let holds = spawn_blocking(move || Stream::connect(at).unwrap()).await.unwrap();
    assert!(said(at, WHOLE).await.ends_with("here"));
    drop(holds);
}

#[tokio::test]
async fn closing_ends_idle_connections() {
    let (at, close, serving) = side(LIMITS).await;
    let idle = spawn_blocking(move || Stream::connect(at).unwrap()).await.unwrap();
    close.send(true).unwrap();
    serving.await.unwrap();
    drop(idle);
}
