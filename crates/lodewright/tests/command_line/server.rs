//! The web server as a program.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use crate::common::{Folder, says};

/// A server that is ended with its test.
struct Served(Child);

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

fn serve(folder: &Folder, arguments: &[&str]) -> (Served, u16) {
    let all = [arguments, &["serve", "--port", "0"]].concat();
    let mut child = folder.command(&all).stdout(Stdio::piped()).spawn().unwrap();
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
