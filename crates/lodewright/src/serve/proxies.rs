//! Who sends a request: the other end of the connection, or where that is a declared proxy, whom the proxy names.
//!
//! Without this all that comes through a proxy would share the limits of one address.

use std::net::{IpAddr, SocketAddr};
use std::sync::Arc;

use axum::extract::{ConnectInfo, Request, State};
use axum::http::HeaderMap;
use axum::middleware::Next;
use axum::response::Response;

/// Where a proxy says whom it passes on, the nearest last.
const FORWARDED_FOR: &str = "x-forwarded-for";

/// The addresses of the proxies whose word is taken.
#[derive(Clone, Debug, Default)]
pub struct Proxies(Arc<[IpAddr]>);

impl Proxies {
    /// Those proxies, and no other.
    pub fn new(addresses: Vec<IpAddr>) -> Self {
        Self(addresses.into())
    }

    /// Whether the connections of an address may be those of many: it is a proxy's, or this machine's.
    pub fn is_of_many(&self, address: IpAddr) -> bool {
        address.is_loopback() || self.0.contains(&address)
    }

    /// Who sends a request that comes from `peer`: the nearest that is no proxy. A name that is no address is not taken, nor is
    /// anything before it, since anybody may have written that.
    fn sender(&self, peer: SocketAddr, headers: &HeaderMap) -> SocketAddr {
        let mut nearest = peer;
        let named = headers.get_all(FORWARDED_FOR).iter().rev();
        let mut named = named.flat_map(|value| value.to_str().unwrap_or("").rsplit(','));
        while self.0.contains(&nearest.ip().to_canonical()) {
            match named.next().map(|name| name.trim().parse::<IpAddr>()) {
                Some(Ok(address)) => nearest = SocketAddr::new(address, 0),
                _ => break,
            }
        }
        nearest
    }
}

/// Puts who sends a request in the place of the other end of its connection.
pub async fn sender_named(State(proxies): State<Proxies>, mut request: Request, next: Next) -> Response {
    if let Some(ConnectInfo(peer)) = request.extensions().get::<ConnectInfo<SocketAddr>>().copied() {
        let sender = proxies.sender(peer, request.headers());
        request.extensions_mut().insert(ConnectInfo(sender));
    }
    next.run(request).await
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sender(peer: &str, forwarded: &[&str]) -> String {
        let proxies = Proxies::new(vec!["127.0.0.1".parse().unwrap(), "10.0.0.2".parse().unwrap()]);
        let mut headers = HeaderMap::new();
        for value in forwarded {
            headers.append(FORWARDED_FOR, value.parse().unwrap());
        }
        let peer = SocketAddr::new(peer.parse().unwrap(), 4000);
        proxies.sender(peer, &headers).ip().to_string()
    }

    #[test]
    fn a_declared_proxy_says_who_asks() {
        assert_eq!(sender("127.0.0.1", &["203.0.113.9"]), "203.0.113.9");
        assert_eq!(sender("127.0.0.1", &["203.0.113.9, 10.0.0.2"]), "203.0.113.9");
        assert_eq!(sender("127.0.0.1", &["203.0.113.9", "2001:db8::7"]), "2001:db8::7");
        assert_eq!(sender("::ffff:127.0.0.1", &["203.0.113.9"]), "203.0.113.9");
    }

    #[test]
    fn what_somebody_else_writes_there_is_not_taken() {
        assert_eq!(sender("198.51.100.4", &["203.0.113.9"]), "198.51.100.4");
        // Whoever asks wrote the first; the proxy added the last.
        assert_eq!(
            sender("127.0.0.1", &["127.0.0.1, 192.0.2.1, 203.0.113.9"]),
            "203.0.113.9"
        );
        for odd in ["", "unknown", "203.0.113.9, _hidden", "203.0.113.9:80"] {
            assert_eq!(sender("127.0.0.1", &[odd]), "127.0.0.1", "{odd}");
        }
        assert_eq!(sender("127.0.0.1", &[]), "127.0.0.1");
    }
}
