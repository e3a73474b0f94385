//! Answers, ladders and items on a terminal.

use advice::enquiry::Kind;
use advice::ladder::Rising;
use advice::question::Steelwork;
use advice::sentence::Segment;
use advice::view::answer::{AnswerView, CandidateView};
use advice::view::item::ItemView;
use advice::view::ladder::{LadderView, RungView};
use advice::view::offers::{ChoiceView, OfferView, OffersView};
use advice::view::text::plain;

use crate::problem::UnderstoodPart;
use crate::reply::Reply;
use crate::terminal::Page;
use crate::terminal::cautions::cautions;

/// How words were read: the kind where it is no choice, what each phrase became, what was left out, and what is asked back.
pub fn reading(page: &mut Page, reply: &Reply) {
    let understood = reply
        .understood
        .as_ref()
        .or(reply.sheet.as_ref().and_then(|s| s.understood.as_ref()));
    let Some(understood) = understood else { return };
    let units: Vec<u16> = understood.text.encode_utf16().collect();
    let words = |part: &UnderstoodPart| {
        let words = units
            .get(part.start..part.end)
            .map_or_else(String::new, String::from_utf16_lossy);
        words.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    if reply.sheet.is_none() {
        let wants = match reply.kind {
            Kind::Choose => "a magnet to be chosen",
            Kind::Tell => "something about a given magnet",
            Kind::Compare => "magnets side by side",
            Kind::Explain => "an explanation",
            Kind::Refuse => "what cannot be had",
        };
        page.line(&format!("Read as: {wants}"));
        for part in &understood.parts {
            if let Some(meaning) = &part.meaning {
                page.line(&format!("  {}: {meaning}", words(part)));
            }
        }
    }
    for part in understood.parts.iter().filter(|p| p.meaning.is_none()) {
        page.line(&format!("Left out: {}", words(part)));
    }
    for ask in &reply.asks {
        let answers: Vec<&str> = ask.answers.iter().map(|a| a.label.as_str()).collect();
        page.line(&format!("To be asked: {}", ask.question));
        if !answers.is_empty() {
            page.hanging(&format!("usual answers: {}", answers.join("; ")), "  ", "    ");
        }
        if let Some(meanwhile) = &ask.meanwhile {
            page.hanging(&format!("the answer below takes: {meanwhile}"), "  ", "    ");
        }
    }
    if !reply.asks.is_empty() {
        page.blank();
    }
}

/// An answer with at most so many candidates.
pub fn answer(page: &mut Page, view: &AnswerView, most: usize) {
    page.line(&view.words);
    page.blank();
    page.runs("", &view.lead, "");
    page.blank();
    for reason in &view.because {
        page.runs("because ", reason, "  ");
    }
    if !view.widens.is_empty() {
        page.runs("main sources of uncertainty: ", &view.widens, "  ");
    }
    for assumed in &view.assumed {
        page.runs("assumed: ", assumed, "  ");
    }
    if let Some(shortfall) = &view.shortfall {
        page.heading("What would do");
        for way in &shortfall.would_do {
            page.runs("- ", way, "  ");
        }
        if let Some(ceiling) = &shortfall.ceiling {
            page.runs("", ceiling, "  ");
        }
    }
    if let Some(view) = &view.offers {
        offers(page, view);
    }
    if !view.candidates.is_empty() {
        page.heading(&view.heading);
        let shown: Vec<&CandidateView> = view.candidates.iter().take(most).collect();
        candidates(page, &shown);
        if view.candidates.iter().take(most).any(|c| c.unbeaten) {
            page.line("* nothing else is at least as cheap, small and strong");
        }
        if view.candidates.len() > most {
            page.line(&format!("and {} more", view.candidates.len() - most));
        }
    }
    if let Some(found) = view.with_parts.as_ref().filter(|_| asks_for_parts(view)) {
        page.runs("", found, "");
    }
    if !view.stated.is_empty() {
        page.heading("Also sold, by the maker's stated pull");
        for one in &view.stated {
            let cost = one.cost_each.as_deref().unwrap_or("no price");
            let said = format!(
                "{} ({}): {} stated where {} is needed; {cost}. {}",
                one.title, one.code, one.pull.text, one.need.text, one.remark
            );
            page.hanging(&said, "  ", "    ");
        }
    }
    if !view.near_misses.is_empty() {
        page.heading("Near misses");
        for miss in &view.near_misses {
            page.runs(&format!("{} ({}) ", miss.title, miss.code), &miss.runs, "  ");
        }
    }
    cautions(page, &view.cautions);
    page.blank();
    page.line(&format!(
        "{} (shelf revision {}, lodewright {})",
        view.searched, view.revision, view.version
    ));
}

/// The builds with steel parts of an answer that was printed before they were found, at most so many; where one of them is
/// put first now, the answer says so.
pub fn with_parts(page: &mut Page, view: &AnswerView, most: usize) {
    let found: Vec<&CandidateView> = view.candidates.iter().filter(|c| c.part.is_some()).collect();
    if !found.is_empty() {
        page.heading("Builds with steel parts");
    }
    if view.candidates.first().is_some_and(|c| c.part.is_some()) {
        page.runs("", &view.lead, "");
        page.blank();
    } else if let Some(said) = &view.with_parts {
        page.runs("", said, "");
    }
    if !found.is_empty() {
        candidates(page, &found[..found.len().min(most)]);
    }
}

/// What an adviser would name first, and one beside several.
fn offers(page: &mut Page, view: &OffersView) {
    let said = |choice: &ChoiceView| {
        let each = if choice.by > 1 { "each " } else { "" };
        let cost = choice.cost_each.as_deref().unwrap_or("no price");
        format!(
            "{} ({}): {each}at least {} where {} is needed; {cost}",
            choice.title, choice.code, choice.low.text, choice.need.text
        )
    };
    page.heading("What to order");
    for OfferView { best, why, choice } in &view.named {
        page.hanging(&format!("{best}: {}. {why}", said(choice)), "  ", "    ");
    }
    if view.sharing.len() > 1 {
        page.heading("One, or several that share the load");
        for choice in &view.sharing {
            page.hanging(&said(choice), "  ", "    ");
        }
        if let Some(note) = &view.sharing_note {
            page.hanging(note, "  ", "  ");
        }
    }
}

/// Whether steel parts were asked for.
fn asks_for_parts(view: &AnswerView) -> bool {
    let wanted = view.question.limits.steelwork;
    wanted.is_some_and(|wanted| wanted != Steelwork::Bare)
}

/// Candidates, with what a steel part adds to those that have one.
fn candidates(page: &mut Page, shown: &[&CandidateView]) {
    let rows = shown.iter().map(|c| {
        let mark = if c.unbeaten { "*" } else { "" };
        let code = match &c.part {
            Some(part) => format!("{} + {}{mark}", c.code, part.code),
            None => format!("{}{mark}", c.code),
        };
        let dash = || "-".to_string();
        let cells = vec![
            code,
            c.value.text.clone(),
            c.range.clone(),
            c.margin.clone(),
            c.chance.replace(" of pieces", "").replace("over ", ">\u{202f}"),
            c.cost_each.clone().unwrap_or_else(dash),
            c.cost_total.clone().unwrap_or_else(dash),
        ];
        let about = [&c.title, &c.stock, &c.remark].map(String::as_str);
        let about: Vec<&str> = about.into_iter().filter(|text| !text.is_empty()).collect();
        (cells, about.join("; "))
    });
    let headings = ["code", "value", "95 % of pieces", "margin", "chance", "each", "in all"];
    page.noted_table(&headings, rows.collect(), &[1, 2, 3, 4, 5, 6]);
    let mut cautioned: Vec<&str> = Vec::new();
    for (c, part) in shown.iter().filter_map(|c| Some((c, c.part.as_ref()?))) {
        page.hanging(
            &format!("{} + {}: {} {}", c.code, part.code, plain(&part.adds), part.loses),
            "  ",
            "    ",
        );
        if !part.compared.is_empty() {
            page.hanging(&part.compared, "    ", "    ");
        }
        for caution in &c.cautions {
            // Each kind once, for the first that it holds for.
            let told = caution.leads || page.is_unfolded();
            if told && !cautioned.contains(&caution.rule.as_str()) {
                let text = format!("mind: {} [{}]", plain(&caution.runs), caution.rule);
                page.hanging(&text, "    ", "      ");
                cautioned.push(&caution.rule);
            }
        }
    }
}

/// A ladder.
pub fn ladder(page: &mut Page, view: &LadderView) {
    let words = view.sentence.iter().map(|segment| match segment {
        Segment::Text { text } => text.as_str(),
        Segment::Blank { blank } => blank.text.as_str(),
    });
    page.line(&words.collect::<String>());
    page.blank();
    page.runs("", &view.lead, "");
    page.blank();
    // Only the steps of a shelf are made of different items.
    let of_shelf = view.request.by == Rising::Thickness;
    let row = |r: &RungView| {
        let dash = || "-".to_string();
        let mut row = vec![r.label.clone()];
        if of_shelf {
            row.push(r.detail.clone());
        }
        let numbers = [
            r.value.text.clone(),
            r.gain.clone().unwrap_or_else(dash),
            r.total_gain.clone(),
            r.price_text.clone(),
            r.cost_multiple.clone().unwrap_or_else(dash),
            r.mass.text.clone(),
            r.gain_per_money.clone().unwrap_or_else(dash),
        ];
        row.extend(numbers);
        let tier = match r.tier.as_str() {
            "knee" => "knee",
            "poor" => "past it",
            _ => "",
        };
        row.push(tier.into());
        row
    };
    let numbers = [
        view.y.label.as_str(),
        "gain",
        "in all",
        "each",
        "cost",
        "mass",
        "gain per money",
        "",
    ];
    let words: &[&str] = if of_shelf { &["step", "made of"] } else { &["step"] };
    let headings = [words, &numbers].concat();
    let right: Vec<usize> = (words.len()..headings.len() - 1).collect();
    page.table(&headings, view.rungs.iter().map(row).collect(), &right);
    page.blank();
    if let Some(knee) = &view.knee {
        page.runs("", knee, "");
    }
    page.line(&view.ceiling.text);
    for rung in view.rungs.iter().filter(|r| !r.cautions.is_empty()) {
        for caution in &rung.cautions {
            page.hanging(&format!("{}: {}", rung.label, plain(&caution.runs)), "  ", "    ");
        }
    }
    if !view.solid_against_stack.is_empty() {
        page.heading("Solid against stacked, of the same height");
        let mut rows = view.solid_against_stack.clone();
        // The first of each height has the most pieces, and so the greatest loss.
        rows.dedup_by(|next, first| next.height == first.height);
        let rows = rows
            .iter()
            .map(|s| {
                vec![
                    s.height.clone(),
                    format!("{} ({})", s.solid.text, s.solid_code),
                    format!("{}, {}", s.stack.text, s.stack_text),
                    s.loss.clone(),
                ]
            })
            .collect();
        page.table(&["height", "solid", "stacked", "plating's loss"], rows, &[3]);
    }
}

/// One item in full.
pub fn item(page: &mut Page, view: &ItemView) {
    page.heading(&format!("{} ({})", view.title, view.code));
    if !view.name.is_empty() {
        page.line(&view.name);
    }
    for fact in &view.facts {
        page.hanging(&format!("{}: {}", fact.label, fact.text), "  ", "    ");
    }
    for band in &view.bands {
        let causes: Vec<String> = band
            .shares
            .iter()
            .map(|s| format!("{} ({})", s.cause, s.text))
            .collect();
        let text = format!("what widens its {}: {}; {}", band.label, causes.join(", "), band.method);
        page.hanging(&text, "  ", "    ");
    }
    if let Some(note) = &view.note {
        page.hanging(note, "  ", "  ");
    }
    if let Some(heat) = &view.heat {
        page.heading("Heat and its own field");
        page.runs("", &heat.lead, "  ");
        for fact in &heat.facts {
            page.hanging(&format!("{}: {}", fact.label, fact.text), "  ", "    ");
        }
        page.hanging(&format!("inside: {}", heat.inside.text), "  ", "    ");
    }
    page.heading("Prices");
    let rows = view
        .prices
        .iter()
        .map(|p| vec![format!("from {}", p.from), p.each.clone()])
        .collect();
    page.table(&["pieces", "each"], rows, &[1]);
    cautions(page, &view.cautions);
}
