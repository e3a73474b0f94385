//! What is different where a question is asked again on a later shelf.

use crate::answer::{Answer, Candidate, Verdict};
use crate::view::text::{Reader, Runs, count, runs};

/// So many builds of the earlier answer are looked at.
const LOOKED_AT: usize = 8;

/// What has changed from an earlier answer to a later one of the same question, the most important first; one line that says so
/// where nothing has.
pub fn changes(before: &Answer, after: &Answer, reader: &Reader) -> Vec<Runs> {
    let mut said = Vec::new();
    let named = |c: &Candidate| format!("{} ({})", reader.build(&c.item, &c.build), c.item.code);
    match (before.first(), after.first()) {
        (Some(was), Some(is)) if !is_same(was, is) => {
            said.push(format!("First is now **{}**; it was {}.", named(is), named(was)));
        }
        (Some(was), None) => said.push(format!("Nothing will do any more; first was {}.", named(was))),
        (None, Some(is)) => said.push(format!("Now **{}** will do; nothing did.", named(is))),
        _ => {}
    }
    for was in before.candidates.iter().take(LOOKED_AT) {
        let now = after.candidates.iter().find(|c| is_same(was, c));
        match now {
            Some(is) => said.extend(differs(was, is, before, reader).map(|what| format!("{}: {what}", named(was)))),
            // What stands behind the end of a list is not known to fail.
            None if before.parts_searched && !after.parts_searched && was.build.part.is_some() => {}
            None => said.push(format!("{} is no longer among those listed.", named(was))),
        }
    }
    let new: Vec<&Candidate> = after
        .candidates
        .iter()
        .take(LOOKED_AT)
        .filter(|c| c.verdict == Verdict::Sure && !before.candidates.iter().any(|was| is_same(was, c)))
        .filter(|c| after.first().is_none_or(|first| !is_same(first, c)))
        .collect();
    said.extend(new.iter().map(|c| format!("{} is new.", named(c))));
    if said.is_empty() {
        said.push("Nothing has changed: the same magnets, values, prices and stock.".into());
    }
    said.iter().map(|text| runs(text)).collect()
}

/// Whether both are the same pieces put together in the same way, whatever they do or cost.
pub fn is_same(a: &Candidate, b: &Candidate) -> bool {
    let part = |c: &Candidate| c.build.part.as_ref().map(|part| part.code.clone());
    (&a.item.code, a.build.stack, part(a)) == (&b.item.code, b.build.stack, part(b))
}

/// How one build stands now beside how it stood.
fn differs(was: &Candidate, is: &Candidate, before: &Answer, reader: &Reader) -> Option<String> {
    let mut what = Vec::new();
    let kind = before.need.quantity;
    let value = |c: &Candidate| {
        let middle = reader.predicted(kind, c.band.mid).text;
        format!("{middle} ({})", reader.range(kind, c.band.low, c.band.high))
    };
    if value(was) != value(is) {
        what.push(format!("now {}, it was {}", value(is), value(was)));
    }
    match (was.verdict, is.verdict) {
        (Verdict::Sure, Verdict::Middle) => what.push("no longer sure".into()),
        (Verdict::Middle, Verdict::Sure) => what.push("now sure".into()),
        _ => {}
    }
    let price = |c: &Candidate| c.cost_total.map(|m| reader.money(m.rounded(reader.currency)));
    if price(was) != price(is) {
        let said = |price: Option<String>| price.unwrap_or_else(|| "no price".into());
        what.push(format!("now {} in all, it was {}", said(price(is)), said(price(was))));
    }
    if was.item.stock != is.item.stock {
        let said =
            |stock: Option<u64>| stock.map_or_else(|| "stock not known".into(), |n| format!("{} in stock", count(n)));
        what.push(format!("now {}, it was {}", said(is.item.stock), said(was.item.stock)));
    }
    (!what.is_empty()).then(|| format!("{}.", what.join("; ")))
}

#[cfg(test)]
mod tests;
