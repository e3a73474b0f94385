//! A server that is killed over and over while it takes price lists, readings and quotations, and restores that are: what was
//! acknowledged is there, and nothing is half there.

use std::io::{Read, Write};
use std::net::TcpStream;
use std::process::Stdio;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};

use serde_json::{Value, json};

use crate::common::{Folder, LIST, says};
use crate::server::serve;

/// How often each kind of work is cut off.
const KILLS: u64 = 25;

/// A different part of a while for each round, so that every stage of the work is hit.
fn part_of(round: u64, whole: Duration) -> Duration {
    whole * u32::try_from(round * 37 % 101).unwrap() / 100
}

/// Sends a request; its body where it was acknowledged, and nothing where the server was gone or refused it.
fn asked(port: u16, method: &str, path: &str, body: &str) -> Option<String> {
    let mut stream = TcpStream::connect(("127.0.0.1", port)).ok()?;
    stream.set_read_timeout(Some(Duration::from_secs(60))).ok()?;
    let length = body.len();
    write!(
        stream,
        "{method} {path} HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\nContent-Type: application/json\r\n\
         Content-Length: {length}\r\n\r\n{body}"
    )
    .ok()?;
    let mut text = String::new();
    // The status alone acknowledges; what came of the rest is taken.
    let _ = stream.read_to_string(&mut text);
    let (head, body) = text.split_once("\r\n\r\n")?;
    head.starts_with("HTTP/1.1 2").then(|| body.to_owned())
}

fn json_of(port: u16, path: &str) -> Value {
    let body = asked(port, "GET", path, "").unwrap_or_else(|| panic!("{path} is not answered"));
    serde_json::from_str(&body).unwrap()
}

/// Serves the shop, works until the server is killed, and looks whether all that was acknowledged is there; over and over.
fn cut_off(folder: &Folder, work: impl Fn(u16, &str) -> Option<String> + Sync, there: impl Fn(u16) -> Vec<String>) {
    let mut acknowledged: Vec<String> = Vec::new();
    for round in 0..=KILLS {
        let (mut served, port) = serve(folder, &[]);
        let found = there(port);
        for one in &acknowledged {
            assert!(found.contains(one), "round {round}: {one} was acknowledged and is lost");
        }
        if round == KILLS {
            break;
        }
        let begun = Instant::now();
        let acknowledgements = AtomicU64::new(0);
        let done = std::thread::scope(|scope| {
            let worker = scope.spawn(|| {
                let steps = (0..).map(|k| work(port, &format!("{round}-{k}")));
                let acknowledged = steps.map_while(|step| step).inspect(|_| {
                    acknowledgements.fetch_add(1, Ordering::Relaxed);
                });
                acknowledged.collect::<Vec<_>>()
            });
            // After so many, in the midst of the next.
            while acknowledgements.load(Ordering::Relaxed) < round % 3 + 1 && !worker.is_finished() {
                std::thread::sleep(Duration::from_millis(1));
            }
            std::thread::sleep(part_of(round, begun.elapsed() / 2));
            served.0.kill().unwrap();
            served.0.wait().unwrap();
            worker.join().unwrap()
        });
        acknowledged.extend(done);
    }
    assert!(
        acknowledged.len() as u64 >= KILLS,
        "hardly anything was done: {acknowledged:?}"
    );
    says(&folder.run(&["shelf", "check"]).done(), &["is whole"]);
}

#[test]
fn no_acknowledged_reading_is_lost() {
    let folder = Folder::with_shop();
    let (served, port) = serve(&folder, &[]);
    let probe = json!({ "name": "pen", "depth": "0.5 mm", "depth_within": "0.3 mm", "element": "0.8 mm", "accuracy": 1.5,
        "resolution": "0.1 mT", "calibrated": "spring" });
    asked(port, "PUT", "/api/bench/probes/p", &probe.to_string()).unwrap();
    asked(port, "POST", "/api/bench/probes/p/usual", "").unwrap();
    let session = json!({ "id": "s", "magnet": { "code": "14-07" }, "lot": "B-118" });
    asked(port, "POST", "/api/bench/sessions", &session.to_string()).unwrap();
    drop(served);
    let work = |port, id: &str| {
        let reading = json!({ "id": id, "value": "391 mT", "place": { "pieces": 1 } });
        asked(port, "POST", "/api/bench/sessions/s/readings", &reading.to_string()).map(|_| id.to_owned())
    };
    let there = |port| {
        let session = json_of(port, "/api/bench/sessions/s");
        let rows = session["rows"].as_array().unwrap_or_else(|| panic!("{session}"));
        rows.iter().map(|row| row["id"].as_str().unwrap().to_owned()).collect()
    };
    cut_off(&folder, work, there);
}

#[test]
fn no_acknowledged_quotation_is_lost() {
    let folder = Folder::with_shop();
    let (served, port) = serve(&folder, &[]);
    let question = json!({ "words": "hold 1 kg on steel, 20 pieces" });
    let answer = asked(port, "POST", "/api/ask", &question.to_string()).unwrap();
    let answer: Value = serde_json::from_str(&answer).unwrap();
    drop(served);
    let request = json!({ "customer": "A. Person", "lines": [{ "answer": answer["id"] }] }).to_string();
    let work = |port, _: &str| {
        let made = asked(port, "POST", "/api/quotations", &request)?;
        // Cut off behind its head, it is made nevertheless, and its number is not known.
        let made: Value = serde_json::from_str(&made).ok()?;
        Some(made["number"].as_str().unwrap().to_owned())
    };
    let there = |port| {
        let all = json_of(port, "/api/quotations");
        let numbers: Vec<String> = all
            .as_array()
            .unwrap()
            .iter()
            .map(|one| one["number"].as_str().unwrap().to_owned())
            .collect();
        let mut alone = numbers.clone();
        alone.sort_unstable();
        alone.dedup();
        assert_eq!(alone.len(), numbers.len(), "a number was given twice: {numbers:?}");
        numbers
    };
    cut_off(&folder, work, there);
}

/// A price list of many lines, each at this price.
fn long_list(cents: u64) -> String {
    let lines = (0..400).map(|k| format!("K-{k},disc,15,,5,N42,Ni-Cu-Ni,10,{}.{:02},\n", cents / 100, cents % 100));
    let heading = LIST.lines().next().unwrap().to_owned() + "\n";
    std::iter::once(heading).chain(lines).collect()
}

#[test]
fn an_import_that_is_cut_off_is_whole_or_nothing() {
    let folder = Folder::with_shop();
    let price = |port: u16, code: &str| {
        let item = json_of(port, &format!("/api/items/{code}"));
        item["prices"][0]["each"].as_str().unwrap().to_owned()
    };
    let work = |port, id: &str| {
        let cents = id.bytes().fold(100, |sum, b| (sum * 7 + u64::from(b)) % 900 + 100);
        asked(
            port,
            "POST",
            "/api/shelf/import?name=list.csv&confirmed=true",
            &long_list(cents),
        )
        .map(|outcome| {
            let outcome: Value = serde_json::from_str(&outcome).unwrap_or_default();
            format!("at least {}", outcome["revision"].as_u64().unwrap_or_default())
        })
    };
    let there = |port| {
        let shop = json_of(port, "/api/shop");
        // The three at first, or the long list besides: never a part of it.
        let items = shop["items"].as_u64().unwrap();
        assert!([3, 403].contains(&items), "{items} items");
        if items == 403 {
            assert_eq!(price(port, "K-0"), price(port, "K-399"));
        }
        (0..=shop["revision"].as_u64().unwrap())
            .map(|revision| format!("at least {revision}"))
            .collect()
    };
    cut_off(&folder, work, there);
}

#[test]
fn a_restore_that_is_cut_off_is_whole_or_nothing() {
    let folder = Folder::with_shop();
    folder.run(&["shelf", "backup", "three.sqlite"]).done();
    folder.write("long.csv", long_list(150));
    folder.run(&["shelf", "import", "long.csv"]).done();
    folder.run(&["shelf", "backup", "long.sqlite"]).done();
    let begun = Instant::now();
    folder.run(&["shelf", "restore", "three.sqlite"]).done();
    let whole = begun.elapsed();
    let mut seen = [false; 2];
    for round in 0..KILLS {
        let file = ["long.sqlite", "three.sqlite"][(round % 2) as usize];
        let mut child = folder
            .command(&["shelf", "restore", file])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        // Each fifth comes to its end.
        if round % 5 > 0 {
            std::thread::sleep(part_of(round, whole));
            // It may have ended already.
            let _ = child.kill();
        }
        child.wait().unwrap();
        let list = folder.run(&["--json", "shelf", "list"]).done();
        let lines = serde_json::from_str::<Value>(&list).unwrap().as_array().unwrap().len();
        assert!([3, 403].contains(&lines), "round {round}: {lines} lines");
        seen[usize::from(lines == 403)] = true;
        says(&folder.run(&["shelf", "check"]).done(), &["is whole"]);
    }
    assert_eq!(seen, [true; 2], "each comes to its end now and then");
}
