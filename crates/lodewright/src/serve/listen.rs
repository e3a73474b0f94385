//! Sockets: connections are counted, headers must come and answers be taken in time, and nothing keeps the program from ending.

use std::collections::HashMap;
use std::collections::hash_map::Entry;
use std::convert::Infallible;
use std::net::{IpAddr, SocketAddr};
use std::sync::{Arc, Mutex, PoisonError};
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
use crate::serve::proxies::Proxies;

/// What connections may take.
#[derive(Clone, Copy, Debug)]
struct Limits {
    /// How many are open at once.
    connections: u32,
    /// How many of them one address may have, unless it is a proxy's or this machine's.
    of_one: u32,
    /// The header of a request must have come within so long; a connection that asks nothing is closed after it.
    header_within: Duration,
    /// A connection that takes nothing of its answer for so long is closed.
    taken_within: Duration,
}

const LIMITS: Limits = Limits {
    connections: 512,
    of_one: 64,
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

/// Connections by whose they are.
#[derive(Default)]
struct Open {
    by: Mutex<HashMap<IpAddr, u32>>,
}

/// A connection that counts as somebody's until it is dropped.
struct Counted(Arc<Open>, IpAddr);

impl Open {
    /// Counts one more of that address; `None` where it has as many as it may.
    fn another(self: &Arc<Self>, of: IpAddr, most: u32) -> Option<Counted> {
        let mut by = self.by.lock().unwrap_or_else(PoisonError::into_inner);
        let open = by.entry(of).or_default();
        (*open < most).then(|| {
            *open += 1;
            Counted(self.clone(), of)
        })
    }
}

impl Drop for Counted {
    fn drop(&mut self) {
        let mut by = self.0.by.lock().unwrap_or_else(PoisonError::into_inner);
        if let Entry::Occupied(mut open) = by.entry(self.1) {
            *open.get_mut() -= 1;
            if *open.get() == 0 {
                open.remove();
            }
        }
    }
}

/// Serves until the program is asked to stop; `ready` hears the addresses, in order. Through `proxies` come the connections of many.
///
/// # Errors
/// When an address cannot be had.
pub fn serve(sides: Vec<Side>, proxies: Proxies, ready: impl FnOnce(&[SocketAddr])) -> Result<(), Problem> {
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
            let taken = accept(listener, app, LIMITS, proxies.clone(), closing.clone());
            serving.push(tokio::spawn(taken));
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

/// Takes connections until closing, then waits for those that are open. Those that are too many of one address are closed at once.
async fn accept(
    listener: TcpListener,
    app: Router,
    limits: Limits,
    proxies: Proxies,
    mut closing: watch::Receiver<bool>,
) {
    let open = Arc::new(Open::default());
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
                    let of = peer.ip().to_canonical();
                    let most = if proxies.is_of_many(of) { limits.connections } else { limits.of_one };
                    let Some(counted) = open.another(of, most) else { continue };
                    let held = (place, counted);
                    tokio::spawn(connection((stream, peer), app.clone(), limits, closing.clone(), held));
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
    _held: (OwnedSemaphorePermit, Counted),
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
