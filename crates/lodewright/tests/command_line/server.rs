//! The web server as a program.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use crate::common::{Folder, json, says};

/// A server that is ended with its test.
pub struct Served(pub Child);

impl Drop for Served {
    fn drop(&mut self) {
        // It may have ended already.
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn fetch(port: u16, host: &str, path: &str) -> String {
    let mut stream = TcpStream::connect(("127.0.0.1", port)).unwrap();
    stream.set_read_timeout(Some(Duration::from_secs(20))).unwrap();
    write!(
        stream,
        "GET {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"
    )
    .unwrap();
    let mut text = String::new();
    stream.read_to_string(&mut text).unwrap();
    text
}

/// The port in `http://127.0.0.1:PORT/`.
fn port_in(text: &str) -> Option<u16> {
    text.split_once("http://127.0.0.1:")?.1.split_once('/')?.0.parse().ok()
}

/// Serves a folder's shop; the server, and its port.
pub fn serve(folder: &Folder, arguments: &[&str]) -> (Served, u16) {
    let all = [arguments, &["serve", "--port", "0"]].concat();
    said_by(folder.command(&all).stdout(Stdio::piped()).spawn().unwrap())
}

/// A server that is starting, and the port that it says.
pub fn said_by(mut child: Child) -> (Served, u16) {
    let lines = BufReader::new(child.stdout.take().unwrap()).lines();
    let port = lines
        .map_while(Result::ok)
        .find_map(|line| port_in(&line))
        .expect("it says where it is");
    (Served(child), port)
}

#[test]
fn a_server_answers_and_stops_when_told() {
    let folder = Folder::with_shop();
    for arguments in [&[][..], &["--demo"], &["--json"]] {
        let (mut served, port) = serve(&folder, arguments);
        let shop = fetch(port, &format!("127.0.0.1:{port}"), "/api/shop");
        assert!(shop.starts_with("HTTP/1.1 200"), "{shop}");
        says(&shop, &["\"version\"", "nosniff"]);
        says(&fetch(port, "localhost", "/"), &["HTTP/1.1 200", "<!doctype html>"]);
        says(
            &fetch(port, "evil.example", "/"),
            &["HTTP/1.1 403", "application/problem+json"],
        );
        #[cfg(unix)]
        {
            let killed = Command::new("kill")
                .args(["-TERM", &served.0.id().to_string()])
                .status()
                .unwrap();
            assert!(killed.success());
            let since = Instant::now();
            let status = loop {
                if let Some(status) = served.0.try_wait().unwrap() {
                    break status;
                }
                assert!(since.elapsed() < Duration::from_secs(20), "it does not stop");
                std::thread::sleep(Duration::from_millis(20));
            };
            assert_eq!(status.code(), Some(0));
        }
    }
}

#[test]
fn the_log_has_a_line_for_each_request_and_nobodys_words() {
    let folder = Folder::with_shop();
    let log = std::fs::File::create(folder.path("log")).unwrap();
    let mut child = folder
        .command(&["serve", "--port", "0", "--log", "info"])
        .stdout(Stdio::piped())
        .stderr(log)
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap())
        .lines()
        .map_while(Result::ok);
    let served = Served(child);
    let port = lines.find_map(|line| port_in(&line)).unwrap();
    let message = r#"{"words": "hold 1 kg on steel for Zanzibar", "customer": "Zanzibar"}"#;
    says(&sent(port, "POST", "/api/ask", message), &["HTTP/1.1"]);
    let message = r#"{"words": "hold 1 kg on steel, says Zanzibar"}"#;
    says(&sent(port, "POST", "/api/ask", message), &["HTTP/1.1 200"]);
    for path in [
        "/api/entries?search=Zanzibar",
        "/api/answers/Zanzibar",
        "/api/customers?customer=Zanzibar",
        "/api/Zanzibar",
        "/Zanzibar",
    ] {
        says(&fetch(port, "localhost", path), &["HTTP/1.1"]);
    }
    drop(served);
    let log = std::fs::read_to_string(folder.path("log")).unwrap();
    says(
        &log,
        &[
            "INFO request",
            "method=POST",
            "/api/ask",
            "status=200",
            "/api/answers/{id}",
        ],
    );
    assert_eq!(log.matches("request method=").count(), 7, "{log}");
    assert!(!log.contains("Zanzibar"), "{log}");
}

#[test]
fn a_port_that_is_taken_is_told() {
    let folder = Folder::new();
    let (_served, port) = serve(&folder, &["--demo"]);
    let ran = folder.run(&["--demo", "serve", "--port", &port.to_string()]);
    assert_eq!(ran.code, Some(2), "{ran:?}");
    says(&ran.err, &[&port.to_string(), "--port"]);
}

/// Sends a request and leaves its answer unread.
fn send(port: u16, path: &str, body: &str) -> TcpStream {
    let mut stream = TcpStream::connect(("127.0.0.1", port)).unwrap();
    let length = body.len();
    write!(
        stream,
        "POST {path} HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: {length}\r\n\r\n{body}"
    )
    .unwrap();
    stream
}

/// The answer to a request with a body.
fn sent(port: u16, method: &str, path: &str, body: &str) -> String {
    let mut stream = TcpStream::connect(("127.0.0.1", port)).unwrap();
    stream.set_read_timeout(Some(Duration::from_secs(20))).unwrap();
    let length = body.len();
    write!(
        stream,
        "{method} {path} HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\nContent-Type: application/json\r\nContent-Length: {length}\r\n\r\n{body}"
    )
    .unwrap();
    let mut text = String::new();
    stream.read_to_string(&mut text).unwrap();
    text
}

/// What was read at the page's bench is there on the command line, while the server runs and after it.
#[test]
fn sessions_of_the_bench_are_listed_shown_written_and_read_in() {
    let folder = Folder::with_shop();
    let nothing = folder.run(&["bench", "list"]).done();
    says(&nothing, &["None: enter one", "None: begin one"]);
    let (served, port) = serve(&folder, &[]);
    let probe = fetch(port, "localhost", "/api/bench/probes/start");
    let probe = probe.split_once("\r\n\r\n").unwrap().1;
    let body = probe.find('{').map_or("", |at| &probe[at..=probe.rfind('}').unwrap()]);
    says(&sent(port, "PUT", "/api/bench/probes/p1", body), &["HTTP/1.1 200"]);
    let session = r#"{"id": "s1", "probe": "p1", "magnet": {"code": "14-07"}, "lot": "A7"}"#;
    says(&sent(port, "POST", "/api/bench/sessions", session), &["HTTP/1.1 200"]);
    for (id, value, spacer) in [
        ("r1", "391 mT", "0 mm"),
        ("r2", "388 mT", "0 mm"),
        ("r3", "305 mT", "1 mm"),
    ] {
        let reading = format!(r#"{{"id": "{id}", "value": "{value}", "place": {{"spacer": "{spacer}"}}}}"#);
        let path = "/api/bench/sessions/s1/readings";
        says(&sent(port, "POST", path, &reading), &["HTTP/1.1 204"]);
    }
    drop(served);
    says(
        &folder.run(&["bench", "list"]).done(),
        &["hand probe", "s1", "lot A7", "3"],
    );
    let shown = folder.run(&["bench", "show", "s1"]).done();
    says(
        &shown,
        &[
            "N42, lot A7",
            "391 mT",
            "one piece, on 1 mm",
            "Fitted",
            "effective remanence",
            "Read next",
        ],
    );
    let told = json(&folder.run(&["bench", "show", "s1", "--free", "depth", "--json"]).done());
    assert_eq!(told["session"]["rows"].as_array().map(Vec::len), Some(3));
    let free = |line: &serde_json::Value| line["name"] == "depth of the probe" && line["before"] == "free";
    assert!(
        told["found"]["parameters"].as_array().unwrap().iter().any(free),
        "{told}"
    );
    // What goes out comes in again, and only once.
    let printed = folder.run(&["bench", "export", "s1"]).done();
    says(
        &folder.run(&["bench", "export", "s1", "--out", "out.csv"]).done(),
        &["out.csv"],
    );
    let written = std::fs::read_to_string(folder.path("out.csv")).unwrap();
    assert_eq!(written, format!("\u{feff}{printed}"));
    says(
        &folder.run(&["bench", "import", "s1", "out.csv"]).done(),
        &["Took 3 readings."],
    );
    says(
        &folder.run(&["bench", "import", "s1", "out.csv"]).done(),
        &["Took 0 readings.", "was there already"],
    );
    let told = json(&folder.run(&["bench", "show", "s1", "--json"]).done());
    assert_eq!(told["session"]["count"], 6);
    says(&folder.run(&["bench", "table", "--out", "t.pdf"]).done(), &["t.pdf"]);
    assert!(std::fs::read(folder.path("t.pdf")).unwrap().starts_with(b"%PDF-"));
    for (arguments, said) in [
        (["show", "s2"].as_slice(), "s2"),
        (&["export", "s2"], "s2"),
        (&["import", "s1", "none.csv"], "none.csv"),
        (&["export", "s1", "--out", "out.csv"], "exists"),
    ] {
        says(&folder.run(&[&["bench"], arguments].concat()).problem(), &[said]);
    }
}

/// A magnet close to a thin sheet takes the solver long.
const LONG: &str = r#"{"magnet": {"diameter_mm": 30, "thickness_mm": 10, "polarisation_T": 1.3},
    "plate": {"diameter_mm": 200, "thickness_mm": 0.3}, "gap_mm": 0.02}"#;

#[cfg(unix)]
#[test]
fn ending_does_not_wait_for_work_and_questions_do_not_either() {
    let folder = Folder::new();
    let (mut served, port) = serve(&folder, &["--demo"]);
    let _held: Vec<TcpStream> = (0..2).map(|_| send(port, "/api/field/steel", LONG)).collect();
    while !fetch(port, "localhost", "/api/metrics").contains("running{room=\"solving\"} 1") {
        std::thread::sleep(Duration::from_millis(20));
    }
    says(&fetch(port, "localhost", "/api/shop"), &["HTTP/1.1 200"]);
    let killed = Command::new("kill")
        .args(["-TERM", &served.0.id().to_string()])
        .status()
        .unwrap();
    assert!(killed.success());
    let since = Instant::now();
    while served.0.try_wait().unwrap().is_none() {
        assert!(since.elapsed() < Duration::from_secs(20), "it does not stop");
        std::thread::sleep(Duration::from_millis(20));
    }
}

#[test]
fn a_shop_served_to_others_prints_a_link_for_its_first_owner() {
    let folder = Folder::with_shop();
    let mut child = folder
        .command(&["serve", "--port", "0", "--sign-in", "--public", "127.0.0.1:0"])
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap())
        .lines()
        .map_while(Result::ok);
    let _served = Served(child);
    let port = port_in(&lines.next().unwrap()).unwrap();
    let public = port_in(&lines.next().unwrap()).unwrap();
    let link = lines.find(|line| line.contains("/sign-in/join?token=")).unwrap();
    let path = link.split_once(&port.to_string()).unwrap().1;
    says(&fetch(port, "localhost", path), &["HTTP/1.1 200", "Welcome, owner"]);
    says(&fetch(port, "localhost", "/api/shop"), &["HTTP/1.1 401"]);
    says(
        &fetch(public, "localhost", "/"),
        &["HTTP/1.1 200", "What is the magnet for?"],
    );
    says(&fetch(public, "localhost", "/api/shop"), &["HTTP/1.1 404"]);
}
