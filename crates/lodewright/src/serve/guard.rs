//! Whose pages may speak to a server: those of its own origin, and no other's.
//!
//! A browser tells where a request comes from in `Origin` and `Sec-Fetch-Site`; both are looked at always. A page on another
//! port of this machine is a stranger like any other.

use std::net::IpAddr;
use std::str::FromStr;
use std::sync::Arc;

use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderName, Method, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use crate::problem::{Kind, Problem};
use crate::serve::proxies::Proxies;

/// The address under which people reach a server, such as `https://desk.example`: scheme, name and port.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Origin {
    text: String,
}

impl Origin {
    /// That of a server on this machine.
    pub fn this_machine(port: u16) -> Self {
        Self {
            text: format!("http://127.0.0.1:{port}"),
        }
    }

    /// Scheme, name and port as a browser writes them.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Name and port, as in the header `Host`.
    fn authority(&self) -> &str {
        self.text.split_once("://").map_or("", |(_, authority)| authority)
    }

    /// Whether it is reached through TLS.
    pub fn is_secure(&self) -> bool {
        self.text.starts_with("https://")
    }
}

impl std::fmt::Display for Origin {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        f.write_str(&self.text)
    }
}

impl FromStr for Origin {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let text = text.trim_end_matches('/').to_ascii_lowercase();
        let right = || "an origin has the form https://desk.example or http://10.0.0.5:7415".to_string();
        let (scheme, authority) = text.split_once("://").ok_or_else(right)?;
        let named = !authority.is_empty()
            && authority
                .bytes()
                .all(|b| b.is_ascii_alphanumeric() || b"-.:[]".contains(&b));
        if !matches!(scheme, "http" | "https") || !named {
            return Err(right());
        }
        Ok(Self { text })
    }
}

/// What a server knows of its own address.
#[derive(Clone, Debug)]
pub struct Own {
    /// The origin that was declared.
    pub declared: Option<Origin>,
    /// The option that declares it.
    pub declared_by: &'static str,
    /// Whether it listens to its own machine only.
    pub loopback: bool,
    /// The proxies that stand before it.
    pub proxies: Proxies,
}

/// `Sec-Fetch-Site`: how a browser sees the page that asks.
const FETCH_SITE: HeaderName = HeaderName::from_static("sec-fetch-site");

/// Refuses what does not come from the server's own pages.
pub async fn own_pages_only(State(own): State<Arc<Own>>, request: Request, next: Next) -> Response {
    match own.check(request.headers(), request.method(), request.uri().path()) {
        Ok(()) => next.run(request).await,
        Err(problem) => problem.into_response(),
    }
}

/// The one value of a header; `None` where there is none.
fn single<'a>(headers: &'a HeaderMap, name: &HeaderName) -> Result<Option<&'a str>, Problem> {
    let mut values = headers.get_all(name).iter();
    let Some(first) = values.next() else { return Ok(None) };
    match (first.to_str(), values.next()) {
        (Ok(text), None) => Ok(Some(text)),
        _ => Err(refused(&format!(
            "the header {name} is no plain text, or is there more than once"
        ))),
    }
}

fn refused(why: &str) -> Problem {
    Problem::new(Kind::Refused, "refused", why)
}

/// Whether an authority, name and port, is one of this machine.
fn is_local(authority: &str) -> bool {
    let host = authority
        .rsplit_once(':')
        .filter(|(_, port)| port.bytes().all(|b| b.is_ascii_digit()))
        .map_or(authority, |(host, _)| host);
    host == "localhost"
        || host
            .trim_matches(['[', ']'])
            .parse::<IpAddr>()
            .is_ok_and(|ip| ip.is_loopback())
}

impl Own {
    fn check(&self, headers: &HeaderMap, method: &Method, path: &str) -> Result<(), Problem> {
        let host = single(headers, &header::HOST)?;
        let known = |host: &str| {
            let declared = self.declared.as_ref().map(Origin::authority);
            match declared {
                Some(declared) => host.eq_ignore_ascii_case(declared) || (self.loopback && is_local(host)),
                None => !self.loopback || is_local(host),
            }
        };
        if !host.is_none_or(known) {
            let hint = match &self.declared {
                Some(origin) => format!("open it as {}", origin.text()),
                None => format!(
                    "open it as http://127.0.0.1, or serve it with --listen or {} for others",
                    self.declared_by
                ),
            };
            return Err(refused("this shop does not answer under that name").hint(hint));
        }
        let by_host = |origin: &str, host: &str| origin.strip_prefix("http://") == Some(host);
        let own_page = |origin: &str| match &self.declared {
            // Beside the declared one only this machine's own: what comes without TLS may be anybody's.
            Some(own) => {
                own.text() == origin
                    || self.loopback && host.is_some_and(|host| is_local(host) && by_host(origin, host))
            }
            None => host.is_some_and(|host| by_host(origin, host)),
        };
        if !single(headers, &header::ORIGIN)?.is_none_or(own_page) {
            return Err(self.foreign("use the shop's own page, http://127.0.0.1 with its port"));
        }
        // A link from elsewhere may open the page, and nothing else.
        let opens_page = matches!(*method, Method::GET | Method::HEAD) && !path.starts_with("/api/");
        match single(headers, &FETCH_SITE)? {
            None | Some("same-origin" | "none") => Ok(()),
            Some(_) if opens_page => Ok(()),
            Some(_) => Err(self.foreign("open http://127.0.0.1 with its port itself")),
        }
    }

    /// What the page of another address is told.
    fn foreign(&self, what_to_do: &str) -> Problem {
        let hint = format!("{what_to_do}, or the address declared with {}", self.declared_by);
        refused("a page of another address has sent this").hint(hint)
    }
}
