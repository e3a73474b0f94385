//! Sockets: connections are counted, headers must come and answers be taken in time, and nothing keeps the program from ending.

use std::convert::Infallible;
use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::body::Body;
use axum::extract::ConnectInfo;
use axum::http::Request;
use hyper::body::Incoming;
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper_util::rt::{TokioIo, TokioTimer};
use tokio::net::{TcpListener, TcpStream};
use tokio::runtime::Runtime;
use tokio::sync::{OwnedSemaphorePermit, Semaphore, watch};
use tokio::time::{sleep, timeout};
use tokio_io_timeout::TimeoutStream;
use tower::Service;

use crate::problem::{Kind, Problem};

/// What connections may take.
#[derive(Clone, Copy, Debug)]
struct Limits {
    /// How many are open at once.
    connections: u32,
    /// The header of a request must have come within so long; a connection that asks nothing is closed after it.
    header_within: Duration,
    /// A connection that takes nothing of its answer for so long is closed.
    taken_within: Duration,
}

const LIMITS: Limits = Limits {
    connections: 512,
    header_within: Duration::from_secs(15),
    taken_within: Duration::from_secs(30),
};
/// The most bytes of a header.
const MOST_HEADER: usize = 64 << 10;
/// Requests that run when the program is to end have so long; what is still at work then is given up.
const LAST_WORDS: Duration = Duration::from_secs(3);
const LAST_WORK: Duration = Duration::from_millis(500);
/// Where no connection can be taken, as without file handles, it is tried again after so long.
const BREATH: Duration = Duration::from_millis(100);

/// An address with what is served on it.
pub struct Side {
    /// The address.
    pub address: SocketAddr,
    /// What is served.
    pub app: Box<dyn FnOnce(SocketAddr) -> Router>,
}

/// Serves until the program is asked to stop; `ready` hears the addresses, in order.
///
/// # Errors
/// When an address cannot be had.
pub fn serve(sides: Vec<Side>, ready: impl FnOnce(&[SocketAddr])) -> Result<(), Problem> {
    let failed = |what: String| {
        move |e: std::io::Error| {
            Problem::new(Kind::Internal, "the server", format!("cannot serve{what}: {e}"))
                .hint("choose another port with --port, or 0 for any that is free")
        }
    };
    let runtime = Runtime::new().map_err(failed(String::new()))?;
    let served = runtime.block_on(async {
        let (close, closing) = watch::channel(false);
        let mut bound = Vec::new();
        for Side { address, app } in sides {
            let on = || failed(format!(" on {address}"));
            let listener = TcpListener::bind(address).await.map_err(on())?;
            let at = listener.local_addr().map_err(on())?;
            bound.push((listener, at, app(at)));
        }
        let addresses: Vec<SocketAddr> = bound.iter().map(|(_, at, _)| *at).collect();
        let mut serving = Vec::new();
        for (listener, _, app) in bound {
            serving.push(tokio::spawn(accept(listener, app, LIMITS, closing.clone())));
        }
        ready(&addresses);
        asked_to_stop().await;
        // Nobody hears it where no connection is left.
        let _ = close.send(true);
        let all = async {
            for side in serving {
                let _ = side.await;
            }
        };
        let _ = timeout(LAST_WORDS, all).await;
        Ok(())
    });
    runtime.shutdown_timeout(LAST_WORK);
    served
}

/// Takes connections until closing, then waits for those that are open.
async fn accept(listener: TcpListener, app: Router, limits: Limits, mut closing: watch::Receiver<bool>) {
    let places = Arc::new(Semaphore::new(limits.connections as usize));
    loop {
        let next = async {
            let place = places.clone().acquire_owned().await;
            (place, listener.accept().await)
        };
        tokio::select! {
            _ = closing.changed() => break,
            (place, taken) = next => match (place, taken) {
                (Ok(place), Ok((stream, peer))) => {
                    tokio::spawn(connection((stream, peer), app.clone(), limits, closing.clone(), place));
                }
                _ => sleep(BREATH).await,
            }
        }
    }
    drop(listener);
    // It is an error only where the places were closed, which they never are.
    let _ = places.acquire_many(limits.connections).await;
}

async fn connection(
    (stream, peer): (TcpStream, SocketAddr),
    app: Router,
    limits: Limits,
    mut closing: watch::Receiver<bool>,
    _place: OwnedSemaphorePermit,
) {
    let service = service_fn(move |request: Request<Incoming>| {
        let mut request = request.map(Body::new);
        request.extensions_mut().insert(ConnectInfo(peer));
        let mut app = app.clone();
        async move { Ok::<_, Infallible>(app.call(request).await.unwrap_or_else(|never| match never {})) }
    });
    let mut stream = TimeoutStream::new(stream);
    stream.set_write_timeout(Some(limits.taken_within));
    let connection = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(limits.header_within)
        .max_buf_size(MOST_HEADER)
        .serve_connection(TokioIo::new(Box::pin(stream)), service);
    tokio::pin!(connection);
    let ended = tokio::select! {
        _ = connection.as_mut() => true,
        _ = closing.changed() => false,
    };
    if !ended {
        connection.as_mut().graceful_shutdown();
        // Whoever left meanwhile needs no answer.
        let _ = connection.await;
    }
}

async fn asked_to_stop() {
    let interrupt = tokio::signal::ctrl_c();
    #[cfg(unix)]
    {
        let terminate = async {
            match tokio::signal::unix::signal(tokio::signal::unix::SignalKind::terminate()) {
                Ok(mut signal) => signal.recv().await,
                Err(_) => std::future::pending().await,
            }
        };
        tokio::select! { _ = interrupt => {}, _ = terminate => {} }
    }
    #[cfg(not(unix))]
    let _ = interrupt.await;
}

#[cfg(test)]
mod tests;
