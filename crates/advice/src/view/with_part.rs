//! Builds with steel parts as they are shown: what they hold, cost and add, and how soon a gap takes that away.

use quantity::{FluxDensity, Force, Length, Mass, Quantity, Units};
use serde::Serialize;
use utoipa::ToSchema;

use crate::answer::{Answer, Candidate, CurvePoint, Predicted, Verdict, WithPart};
use crate::question::Steelwork;
use crate::view::band::{self, ShareView};
use crate::view::cautions::{self, Caution};
use crate::view::offers::{self, OffersView};
use crate::view::part::role;
use crate::view::plot::{CurveRole, Plot, PlotAxis, PlotCurve, PlotMark};
use crate::view::text::{Figure, Reader, Run, capital, chance_words, count, percent, runs, signed_percent};
use crate::view::wording::Wording;
use crate::with_part::best_bare;

/// A difference of sizes that is not worth a word, m.
const HARDLY: f64 = 0.05e-3;

/// The builds with steel parts that go with an answer.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct FittedSheet {
    /// What the answer says first, now that these builds are known; absent where they were not looked for.
    pub answer_lead: Option<Vec<Run>>,
    /// What an adviser names first, now that these builds are known.
    pub answer_offers: Option<OffersView>,
    /// What comes of steel parts here, in a sentence.
    pub lead: Vec<Run>,
    /// The builds, the cheapest first.
    pub builds: Vec<FittedView>,
}

/// A build with a steel part.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct FittedView {
    /// Code of the magnet.
    pub code: String,
    /// Code of the part.
    pub part: String,
    /// `One disc, 20 × 3 mm, N42, in a cup, 25 / 21 × 5 mm, 3 mm deep`.
    pub title: String,
    /// `sure` or `middle`.
    #[schema(value_type = String)]
    pub verdict: Verdict,
    /// Middle of the band.
    pub value: Figure,
    /// Low end.
    pub low: Figure,
    /// High end.
    pub high: Figure,
    /// The band in words.
    pub range: String,
    /// Low end over the need.
    pub margin: String,
    /// Chance that a build does.
    pub chance: String,
    /// What the same magnets give without the part.
    pub bare: Figure,
    /// Price of one build, magnets and part.
    pub cost_each: Option<String>,
    /// Price of all.
    pub cost_total: Option<String>,
    /// What the total is for.
    pub cost_note: String,
    /// Outer size: `25 mm wide, 5 mm high, 13 g`.
    pub size: String,
    /// What is on hand of both.
    pub stock: String,
    /// What the part adds, at the gap or distance asked and in contact.
    pub adds: Vec<Run>,
    /// How soon a gap takes that away.
    pub loses: String,
    /// How it compares with the cheapest bare build that surely does; empty where there is none.
    pub compared: String,
    /// Against the gap or distance, with the part and without.
    pub plot: Plot,
    /// What widens its band.
    pub shares: Vec<ShareView>,
    /// How its band was found.
    pub method: String,
    /// Cautions for it.
    pub cautions: Vec<Caution>,
}

/// Shows the builds with steel parts of an answer; `None` while they have not been looked for.
pub fn view(answer: &Answer, units: &Units) -> Option<FittedSheet> {
    let found = answer.with_parts.as_ref()?;
    let reader = Reader {
        units: *units,
        currency: answer.shelf.currency,
    };
    let wording = Wording {
        question: &answer.question,
        need: &answer.need,
        reader,
    };
    Some(FittedSheet {
        answer_lead: Some(wording.lead(answer)),
        answer_offers: offers::view(answer, &reader),
        lead: runs(&lead(answer, found, &reader)),
        builds: found.iter().filter_map(|c| build(answer, c, &reader)).collect(),
    })
}

/// What is said in place of the builds where shelf or program are no longer those that were asked.
pub fn moved_on() -> FittedSheet {
    FittedSheet {
        answer_lead: None,
        answer_offers: None,
        lead: runs("Shelf or program have changed since this was asked: ask again for builds with steel parts."),
        builds: Vec::new(),
    }
}

fn lead(answer: &Answer, found: &[Candidate], reader: &Reader) -> String {
    let wanted = answer.question.limits.steelwork;
    let Some(first) = found.first() else {
        return match wanted {
            Some(Steelwork::Bare) => "No steel parts are wanted.".into(),
            Some(wanted) => format!("Nothing on the shelf does this {} within the limits.", wanted.text()),
            None if answer.question.need.steelwork().is_empty() => "Steel parts are not reckoned for this need.".into(),
            None => "No steel part of the shelf makes this cheaper, smaller or surer.".into(),
        };
    };
    let cost = first
        .cost_each
        .map_or_else(String::new, |m| format!(", at **{}** each", reader.money(m)));
    let does = match first.verdict {
        Verdict::Sure => "surely does",
        Verdict::Middle => "meets the need only at its typical value",
    };
    let bare = match best_bare(answer) {
        Some(_) => String::new(),
        None => " where nothing bare surely does".into(),
    };
    format!("**{}** {does}{cost}{bare}.", reader.build(&first.item, &first.build))
}

fn build(answer: &Answer, c: &Candidate, reader: &Reader) -> Option<FittedView> {
    let (f, part) = (c.with_part.as_ref()?, c.build.part.as_ref()?);
    let quantity = answer.need.quantity;
    let figure = |si| reader.predicted(quantity, si);
    let loses = loses(f, reader);
    Some(FittedView {
        code: c.item.code.clone(),
        part: part.code.clone(),
        title: reader.build(&c.item, &c.build),
        verdict: c.verdict,
        value: figure(c.band.mid),
        low: figure(c.band.low),
        high: figure(c.band.high),
        range: reader.range(quantity, c.band.low, c.band.high),
        margin: signed_percent(c.band.low / answer.need.of_mass(c.mass) - 1.0),
        chance: format!("{} of pieces", chance_words(c.chance)),
        bare: figure(f.bare),
        cost_each: c.cost_each.map(|m| reader.money(m)),
        cost_total: c.cost_total.map(|m| reader.money(m.rounded(reader.currency))),
        cost_note: format!(
            "for {} magnets and {} parts",
            count(c.pieces_bought),
            count(f.parts_bought)
        ),
        size: format!(
            "{} wide, {} high, {}",
            reader.figure::<Length>(c.width).text,
            reader.figure::<Length>(c.height).text,
            reader.text::<Mass>(c.mass)
        ),
        stock: format!(
            "magnets: {}; parts: {}",
            stock(c.item.stock, c.pieces_bought),
            stock(part.stock, f.parts_bought)
        ),
        adds: runs(&adds(answer, c.band.mid, f, reader)),
        compared: best_bare(answer).map_or_else(String::new, |bare| compared(c, bare, reader)),
        plot: plot(answer, c, f, &loses, reader),
        loses,
        shares: band::shares(quantity.kind(), &c.band),
        method: band::method_words(c.band.method).into(),
        cautions: cautions::for_candidate(&answer.question, c, reader),
    })
}

fn stock(has: Option<u64>, needs: u64) -> String {
    match has {
        None => "not listed".into(),
        Some(0) => "out of stock".into(),
        Some(n) if n < needs => format!("only {} of {} in stock", count(n), count(needs)),
        Some(n) => format!("{} in stock", count(n)),
    }
}

/// What the part does to a value, such as `adds **35 %** to`.
fn does(with: f64, bare: f64) -> String {
    let gain = with / bare - 1.0;
    if gain >= 0.0 {
        format!("adds **{}** to", percent(gain))
    } else {
        format!("takes **{}** off", percent(-gain))
    }
}

fn adds(answer: &Answer, value: f64, f: &WithPart, reader: &Reader) -> String {
    let bare = reader.predicted(answer.need.quantity, f.bare).text;
    let at = answer.question.need.distance();
    let here = if at > 0.0 {
        format!("Across {}", Length(at).show(&reader.units))
    } else if answer.need.quantity == Predicted::Force {
        "In contact".into()
    } else {
        "At the face".into()
    };
    let said = format!(
        "{here} the part {} the {bare} of the same magnets bare",
        does(value, f.bare)
    );
    match f.curve.first().filter(|_| at > 0.0) {
        Some(near) if answer.need.quantity == Predicted::Force => {
            format!("{said}; in contact it {} what they pull.", does(near.with, near.bare))
        }
        Some(near) => format!("{said}; at the face it {} their field.", does(near.with, near.bare)),
        None => format!("{said}."),
    }
}

/// Where a quantity that falls along the curve passes a line, by straight lines between its points.
fn passes(curve: &[CurvePoint], line: f64) -> Option<f64> {
    let gain = |p: &CurvePoint| p.with / p.bare - 1.0;
    curve.windows(2).find_map(|pair| match pair {
        [a, b] if gain(a) > line && gain(b) <= line => {
            Some(a.at + (b.at - a.at) * (gain(a) - line) / (gain(a) - gain(b)))
        }
        _ => None,
    })
}

fn loses(f: &WithPart, reader: &Reader) -> String {
    let Some(near) = f.curve.first() else {
        return String::new();
    };
    let gain = near.with / near.bare - 1.0;
    if gain <= 0.0 {
        return "It adds nothing even in contact.".into();
    }
    let half = passes(&f.curve, 0.5 * gain);
    let none = passes(&f.curve, 0.0);
    let far = f.curve.last().map_or(0.0, |p| p.at);
    match (half, none) {
        (Some(half), Some(none)) => format!(
            "Half of what it adds is gone at {}; from {} on the bare magnets do better.",
            reader.about(half),
            reader.about(none)
        ),
        (Some(half), None) => format!("Half of what it adds is gone at {}.", reader.about(half)),
        (None, Some(none)) => format!("From {} on the bare magnets do better.", reader.about(none)),
        (None, None) => format!("It keeps more than half of what it adds up to {}.", reader.about(far)),
    }
}

fn compared(f: &Candidate, bare: &Candidate, reader: &Reader) -> String {
    let mut said = Vec::new();
    if let (Some(own), Some(other)) = (f.cost_each, bare.cost_each) {
        let (less, more) = (other.minus(own), own.minus(other));
        match (less, more) {
            (Ok(less), _) if less > quantity::Money::ZERO => said.push(format!("{} less each", reader.money(less))),
            (_, Ok(more)) if more > quantity::Money::ZERO => said.push(format!("{} more each", reader.money(more))),
            _ => said.push("the same price each".into()),
        }
    }
    let mut size = |own: f64, other: f64, [small, large]: [&str; 2]| {
        if (own - other).abs() > HARDLY {
            let word = if own < other { small } else { large };
            said.push(format!("{} {word}", reader.about((own - other).abs())));
        }
    };
    size(f.width, bare.width, ["narrower", "wider"]);
    size(f.height, bare.height, ["lower", "higher"]);
    format!(
        "Against the cheapest bare build, {}: {}.",
        bare.item.code,
        said.join(", ")
    )
}

fn plot(answer: &Answer, c: &Candidate, f: &WithPart, loses: &str, reader: &Reader) -> Plot {
    let force = answer.need.quantity == Predicted::Force;
    let kind = if force { Force::KIND } else { FluxDensity::KIND };
    let most = f.curve.iter().map(|p| p.with.max(p.bare)).fold(0.0, f64::max);
    let (x, y) = (
        reader.units.scale(<Length as Quantity>::KIND, 0.0),
        reader.units.scale(kind, most),
    );
    let curve = |name: &str, role, value: fn(&CurvePoint) -> f64| PlotCurve {
        name: name.into(),
        role,
        points: f.curve.iter().map(|p| [x.apply(p.at), y.apply(value(p))]).collect(),
    };
    let (what, along) = if force {
        ("pull", "gap")
    } else {
        ("flux density", "distance")
    };
    let at = answer.question.need.distance();
    Plot {
        title: format!("{} against the {along}, with the part and without", capital(what)),
        x: PlotAxis {
            label: along.into(),
            unit: x.label.into(),
        },
        y: PlotAxis {
            label: what.into(),
            unit: y.label.into(),
        },
        curves: vec![
            curve(
                c.build
                    .part
                    .as_ref()
                    .map_or("", |part| role(part.form.kind()).trim_start_matches("a ")),
                CurveRole::Main,
                |p| p.with,
            ),
            curve("bare", CurveRole::Beside, |p| p.bare),
        ],
        marks: vec![PlotMark {
            at: [x.apply(at), y.apply(c.band.mid)],
            text: format!("asked: {}", reader.predicted(answer.need.quantity, c.band.mid).text),
        }],
        stretches: Vec::new(),
        remark: loses.into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::{ask, catalogue, cup, disc, plate};
    use crate::view::text::plain;

    fn sheet(limits: &str, layer: &str) -> (Answer, FittedSheet) {
        let shelf = [disc("flat", 20.0, 3.0), disc("thick", 25.0, 12.0)];
        let parts = [cup("cup", [25.0, 21.0, 5.0, 3.0]), plate("back", 20.0, 2.0)];
        let json = format!(
            r#"{{"need": {{"verb": "hold", "load": "20 N", "safety_factor": 1, "layers": [{layer}]}}, "limits": {{{limits}}}}}"#
        );
        let mut answer = ask(&json, &shelf);
        answer.with_parts = Some(crate::with_part::find(&answer, &shelf, &parts, &catalogue()));
        let sheet = view(&answer, &Units::metric()).unwrap();
        (answer, sheet)
    }

    #[test]
    fn a_build_is_shown_with_what_it_adds_and_how_soon_it_loses_that() {
        let (_, sheet) = sheet(
            r#""steelwork": "cup""#,
            r#"{"material": "paint", "thickness": "0.2 mm"}"#,
        );
        let first = &sheet.builds[0];
        let text = plain(&first.adds).replace('\u{a0}', " ");
        assert!(
            text.contains("Across 0.2 mm the part adds") && text.contains("in contact it adds"),
            "{text}"
        );
        assert!(
            first.loses.contains("Half of what it adds is gone at"),
            "{}",
            first.loses
        );
        assert!(first.title.contains("in a cup"), "{}", first.title);
        assert!(
            first.compared.contains("Against the cheapest bare build, flat"),
            "{}",
            first.compared
        );
        assert_eq!(first.plot.curves.len(), 2);
        assert_eq!(first.plot.curves[0].name, "cup");
        let said: String = first.cautions.iter().map(|c| plain(&c.runs)).collect();
        assert!(said.contains("paint") && said.contains("snaps"), "{said}");
    }

    #[test]
    fn what_was_not_looked_for_is_not_shown_and_what_was_not_found_is_said() {
        let (mut answer, empty) = sheet("", "");
        assert!(empty.builds.is_empty());
        assert!(plain(&empty.lead).contains("No steel part of the shelf"));
        answer.with_parts = None;
        assert!(view(&answer, &Units::metric()).is_none());
        let (_, bare) = sheet(r#""steelwork": "bare""#, "");
        assert!(plain(&bare.lead).contains("wanted"));
    }

    #[test]
    fn the_gain_passes_a_line_between_two_points() {
        let point = |at: f64, with: f64| CurvePoint { at, with, bare: 1.0 };
        let curve = [point(0.0, 2.0), point(1.0, 1.0), point(2.0, 0.8)];
        assert!((passes(&curve, 0.5).unwrap() - 0.5).abs() <= 1e-12);
        assert_eq!(passes(&curve, -0.5), None);
    }
}
