//! By what an item is reckoned in place of its grade, in words.

use quantity::{FieldStrength, FluxDensity, Length, Quantity};

use crate::known::{Certificate, Known, ReadLot};
use crate::view::text::Reader;

/// `remanence 1.31 T, coercivity 1100 kA/m` of a certificate.
fn of_certificate(br: f64, hcj: Option<f64>, reader: &Reader) -> String {
    let hcj = hcj.map_or_else(String::new, |h| {
        format!(", coercivity {}", reader.text::<FieldStrength>(h))
    });
    format!("remanence {}{hcj}", reader.text::<FluxDensity>(br))
}

/// `15 readings of lot **A**, kept 2026-03-12`.
fn readings(lot: &ReadLot) -> String {
    let count = match lot.readings {
        1 => "one reading".to_owned(),
        n => format!("{n} readings"),
    };
    let of = match lot.lot.trim() {
        "" => String::new(),
        name => format!(" of lot **{name}**"),
    };
    format!("{count}{of}, kept {}", lot.day)
}

/// `effective remanence 1.29 T (95 %: 1.27 to 1.31 T), thickness 0.98 mm (95 %: 0.96 to 1 mm)`, as far as it was kept.
fn effective(lot: &ReadLot, reader: &Reader) -> String {
    fn told<Q: Quantity>(name: &str, known: [f64; 2], reader: &Reader) -> String {
        let [low, high] = crate::known::ends(known).map(Q::from_si);
        format!(
            "{name} {} (95\u{a0}%: {})",
            reader.text::<Q>(known[0]),
            Q::show_range(low, high, &reader.units)
        )
    }
    let remanence = lot
        .remanence()
        .map(|br| told::<FluxDensity>("effective remanence", br, reader));
    let thickness = lot
        .thickness
        .map(|all| told::<Length>("thickness", all.map(|l| l.si()), reader));
    let all: Vec<String> = remanence.into_iter().chain(thickness).collect();
    all.join(", ")
}

/// A reason: it is reckoned with the certificate of a lot.
pub(super) fn certified(lot: &str, br: f64, hcj: Option<f64>, reader: &Reader) -> String {
    format!(
        "it is reckoned with the certificate of lot **{lot}**: {}",
        of_certificate(br, hcj, reader)
    )
}

/// A reason: it is reckoned by readings.
pub(super) fn read(lot: &ReadLot, reader: &Reader) -> String {
    format!("it is reckoned by {}: {}", readings(lot), effective(lot, reader))
}

/// By what it is reckoned, in a sentence.
pub(super) fn sentence(known: &Known, reader: &Reader) -> String {
    match known {
        Known::Certificate(Certificate { lot, br, hcj }) => certified(lot, br.si(), hcj.map(|h| h.si()), reader),
        Known::Readings(lot) => read(lot, reader),
    }
}

/// By what it is reckoned, as a fact with its label.
pub(super) fn fact(known: &Known, reader: &Reader) -> (&'static str, String) {
    match known {
        Known::Certificate(Certificate { lot, br, hcj }) => (
            "certificate of lot",
            format!("{lot}: {}", of_certificate(br.si(), hcj.map(|h| h.si()), reader)),
        ),
        Known::Readings(lot) => (
            "reckoned by",
            format!("{}: {}", readings(lot).replace("**", ""), effective(lot, reader)),
        ),
    }
}

/// By what a rung of a ladder is reckoned, in a few words.
pub(super) fn short(known: &Known) -> String {
    match known {
        Known::Certificate(certificate) => format!("by the certificate of lot {}", certificate.lot),
        Known::Readings(lot) => format!("by {}", readings(lot).replace("**", "")),
    }
}
