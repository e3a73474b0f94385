//! A simulated instrument that drops lines, sends garbage and goes away.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpListener;
use std::time::Instant;

use quantity::Units;

use super::*;

/// What the simulated instrument does when it is asked.
#[derive(Clone, Copy, PartialEq)]
enum Does {
    Answer(f64),
    Drop,
    Garble,
    Leave,
}

/// Answers what is asked over a line as it is told, beginning with that part of the script, until the line breaks or it leaves;
/// where it has come to.
fn answer(asked: impl Read, mut line: impl Write, script: &[Does], mut next: usize) -> usize {
    for asked in BufReader::new(asked).lines() {
        let Ok(asked) = asked else { break };
        if asked == "*IDN?" {
            let _ = line.write_all(b"simulated,gaussmeter,0,1\n");
            continue;
        }
        let does = script[next.min(script.len() - 1)];
        next += 1;
        let sent = match does {
            Does::Answer(tesla) => line.write_all(format!("{:+.5E}\r\n", tesla * 1e3).as_bytes()),
            Does::Drop => Ok(()),
            Does::Garble => line.write_all(b"\xff\x00@@ 12..3 bananas\n"),
            Does::Leave => break,
        };
        if sent.is_err() {
            break;
        }
    }
    next
}

/// An instrument at a port of its own that does in turn what it is told, and the last of it for ever.
fn instrument(script: &'static [Does]) -> Port {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let at = listener.local_addr().unwrap().to_string();
    thread::spawn(move || {
        let mut next = 0;
        for stream in listener.incoming() {
            let Ok(stream) = stream else { return };
            let Ok(other) = stream.try_clone() else { return };
            next = answer(other, stream, script, next);
        }
    });
    Port::Network(at)
}

fn watched(port: Port) -> Meter {
    Meter::watch(Address {
        port,
        query: "READ?".into(),
        unit: "mT".into(),
    })
}

/// Waits until the meter stands so.
fn until(meter: &Meter, wanted: impl Fn(&MeterView) -> bool) -> MeterView {
    let since = Instant::now();
    loop {
        let view = meter.view(&Units::metric());
        if wanted(&view) {
            return view;
        }
        assert!(since.elapsed() < Duration::from_secs(30), "it stays {view:?}");
        thread::sleep(Duration::from_millis(5));
    }
}

#[test]
fn a_meter_is_read_and_found_to_hold_still() {
    use Does::Answer;
    let meter = watched(instrument(&[Answer(0.1), Answer(0.2), Answer(0.28841)]));
    until(&meter, |v| v.state == MeterState::Moving);
    let still = until(&meter, |v| v.state == MeterState::Still);
    assert_eq!(still.value.as_deref(), Some("288.41 mT"));
    assert_eq!(still.identity, "simulated,gaussmeter,0,1");
}

#[test]
fn dropped_lines_garbage_and_an_instrument_that_goes_away_are_got_over() {
    use Does::{Answer, Drop, Garble, Leave};
    let script = &[Answer(0.3), Drop, Garble, Answer(0.3), Leave, Answer(0.31)];
    let meter = watched(instrument(script));
    let garbled = until(&meter, |v| v.state == MeterState::Garbled);
    assert!(
        garbled.says.contains("bananas") && garbled.value.is_none(),
        "{garbled:?}"
    );
    until(&meter, |v| v.state == MeterState::Away);
    let back = until(&meter, |v| v.state == MeterState::Still);
    assert_eq!(back.value.as_deref(), Some("310.00 mT"));
}

/// Over a serial line, simulated by a pair of pseudo-terminals, it is read like any other, and unplugged it is looked for.
#[cfg(target_os = "linux")]
#[test]
fn a_meter_on_a_serial_line_is_read_until_it_is_unplugged() {
    use Does::{Answer, Drop, Garble, Leave};
    use std::os::fd::AsRawFd;

    let (one, other) = serial2::SerialPort::pair().unwrap();
    let name = |port: &serial2::SerialPort| std::fs::read_link(format!("/proc/self/fd/{}", port.as_raw_fd())).unwrap();
    let is_device = |port: &serial2::SerialPort| !name(port).ends_with("ptmx");
    let (mut instrument, device) = if is_device(&one) { (other, one) } else { (one, other) };
    let path = name(&device).to_str().unwrap().to_owned();
    instrument.set_read_timeout(Duration::from_secs(60)).unwrap();
    let port = Port::named(&path, 9600);
    assert!(matches!(&port, Port::Serial { device, baud: 9600 } if *device == path));
    let script: Vec<Does> = [Drop, Garble]
        .into_iter()
        .chain([Answer(0.28841); 12])
        .chain([Leave])
        .collect();
    thread::spawn(move || {
        let line = instrument.try_clone().unwrap();
        answer(&instrument, &line, &script, 0);
    });
    let meter = watched(port);
    until(&meter, |v| v.state == MeterState::Garbled);
    let still = until(&meter, |v| v.state == MeterState::Still);
    assert_eq!(still.value.as_deref(), Some("288.41 mT"));
    assert_eq!(still.identity, "simulated,gaussmeter,0,1");
    until(&meter, |v| v.state == MeterState::Away);
    drop(device);
}

#[test]
fn a_place_is_a_device_or_a_host() {
    for (text, serial) in [
        ("/dev/ttyUSB0", true),
        ("COM3", true),
        ("com12", true),
        ("COM", false),
        ("company:5025", false),
        ("192.168.1.20:5025", false),
    ] {
        assert_eq!(matches!(Port::named(text, 9600), Port::Serial { .. }), serial, "{text}");
    }
}

#[test]
fn one_that_is_not_there_is_looked_for_and_none_is_none() {
    let free = TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap();
    let meter = watched(Port::Network(free.to_string()));
    until(&meter, |v| v.state == MeterState::Away);
    assert_eq!(Meter::default().view(&Units::metric()), MeterView::default());
}

#[test]
fn numbers_are_read_with_their_units_and_nothing_else_is() {
    for (text, tesla) in [
        ("+2.88400E+02", 0.2884),
        ("-288.4", -0.2884),
        ("2884 G", 0.2884),
        ("2.884E3G", 0.2884),
        ("0.2884T;0", 0.2884),
        ("288.4,291.0", 0.2884),
        (" 288.4 mT ", 0.2884),
    ] {
        let got = talk::flux_density(text, "mT").unwrap_or_else(|| panic!("{text:?} is no reading"));
        assert!((got - tesla).abs() < 1e-12, "{text:?}: {got}");
    }
    for text in [
        "",
        "9.91E37",
        "9.9E37",
        "NAN",
        "1.2.3",
        "12 N",
        "E",
        "--3",
        "288.4 bananas",
        "é",
    ] {
        assert_eq!(talk::flux_density(text, "mT"), None, "{text:?}");
    }
}

/// A stream that answers from a list; `None` is a pause.
struct Script(Vec<Option<&'static str>>);

impl Read for Script {
    fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
        if self.0.is_empty() {
            return Ok(0);
        }
        match self.0.remove(0) {
            None => Err(std::io::ErrorKind::TimedOut.into()),
            Some(text) => {
                into[..text.len()].copy_from_slice(text.as_bytes());
                Ok(text.len())
            }
        }
    }
}

impl Write for Script {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        Ok(bytes.len())
    }
    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

#[test]
fn an_answer_in_pieces_is_whole_and_a_late_one_is_not_taken_for_the_next() {
    let mut line = Line::new(Script(vec![
        Some("28"),
        Some("8.4\r\n"),
        None,
        Some("1\n2\n"),
        Some("3\n"),
    ]));
    let text = |t: &str| Said::Text(t.into());
    assert_eq!(line.ask("READ?"), text("288.4"));
    assert_eq!(line.ask("READ?"), Said::Nothing);
    assert_eq!(line.ask("READ?"), text("2"), "1 was the answer before");
    assert_eq!(line.ask("READ?"), text("3"));
    assert_eq!(line.ask("READ?"), Said::Gone);

    let mut line = Line::new(Script(vec![None, Some("1\n"), None, Some("2\n")]));
    assert_eq!(line.ask("READ?"), Said::Nothing);
    assert_eq!(line.ask("READ?"), text("1"), "the one before had been dropped");
    assert_eq!(line.ask("READ?"), text("2"));
}
