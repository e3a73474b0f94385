//! A parcel in words and figures.

mod packing;

use advice::view::text::{Reader, Run, capital, count, runs};
use quantity::{Length, Mass, Quantity};
use serde::Serialize;
use utoipa::ToSchema;

pub use packing::{PackingView, StackView};

use crate::changes::{Change, Deed, changes};
use crate::judge::{Parcel, Reading};
use crate::lining::{PERMEABILITY, SATURATES};
use crate::request::{Arrangement, ParcelRequest};
use crate::rules::{Carriage, Way, rules};

/// A parcel as it is shown.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct ParcelView {
    /// What was asked, quantities in SI.
    pub request: ParcelRequest,
    /// What is in it, in a few words.
    pub title: String,
    /// How it may go by air.
    pub carriage: Carriage,
    /// The answer in a sentence or two.
    pub lead: Vec<Run>,
    /// The field against each rule.
    pub rules: Vec<RuleView>,
    /// What to change so that it goes more freely.
    pub changes: Vec<ChangeView>,
    /// What is in it.
    pub contents: Vec<ContentView>,
    /// Sizes, masses, the arrangement.
    pub facts: Vec<FactView>,
    /// How it is packed, a step each.
    pub steps: Vec<String>,
    /// How the stacks lie.
    pub packing: PackingView,
    /// Other ways to send it.
    pub ways: Vec<Way>,
    /// What was taken for granted.
    pub assumed: Vec<String>,
    /// What to mind.
    pub cautions: Vec<String>,
    /// The ways in which stacks can lie, to choose from.
    pub arrangements: Vec<ArrangementView>,
}

/// A rule with the field that it is held against.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct RuleView {
    /// What it is called.
    pub name: String,
    /// Where it is measured.
    pub at: String,
    /// The most that it allows.
    pub limit: String,
    /// The field, the most over all directions.
    pub field: String,
    /// The same at the unfavourable end.
    pub most: String,
    /// Whether it is kept at the unfavourable end.
    pub within: bool,
    /// That in words.
    pub verdict: String,
    /// What it says, and where.
    pub clause: String,
    /// Where that was read.
    pub source: String,
}

impl RuleView {
    /// Its row of a table: name, place, limit, field, the most of it, verdict.
    pub fn cells(&self) -> Vec<String> {
        let cells = [
            &self.name,
            &self.at,
            &self.limit,
            &self.field,
            &self.most,
            &self.verdict,
        ];
        cells.into_iter().cloned().collect()
    }
}

/// A change with what it leads to.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct ChangeView {
    /// What is done, and what it leads to.
    pub text: Vec<Run>,
    /// How it may go by air then.
    pub carriage: Carriage,
    /// The parcel to ask about.
    pub request: ParcelRequest,
}

/// Pieces of one magnet.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct ContentView {
    /// The shop's code; absent for one that the shelf has not.
    pub code: Option<String>,
    /// What it is.
    pub title: String,
    /// How many.
    pub count: String,
    /// Mass of all of them.
    pub mass: String,
}

/// A label with its value.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct FactView {
    /// What it is.
    pub label: String,
    /// How much.
    pub text: String,
}

/// A way in which stacks can lie.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct ArrangementView {
    /// Its name in a request.
    pub name: Arrangement,
    /// In words.
    pub text: String,
}

/// A parcel for one reader.
pub fn view(parcel: &Parcel, reader: &Reader) -> ParcelView {
    ParcelView {
        request: parcel.request.clone(),
        title: title(parcel, reader),
        carriage: parcel.carriage,
        lead: runs(&lead(parcel)),
        rules: parcel.readings.iter().map(rule).collect(),
        changes: changes(parcel).iter().map(|change| changed(change, reader)).collect(),
        contents: contents(parcel, reader),
        facts: facts(parcel, reader),
        steps: steps(parcel, reader),
        packing: packing::view(parcel, reader),
        ways: rules().way.clone(),
        assumed: assumed(parcel, reader),
        cautions: CAUTIONS.map(str::to_owned).to_vec(),
        arrangements: Arrangement::ALL
            .map(|name| ArrangementView {
                name,
                text: so(name).into(),
            })
            .to_vec(),
    }
}

/// What belongs to every parcel.
const CAUTIONS: [&str; 3] = [
    "The carrier and the regulations in force decide. The clauses are quoted from memory or second hand where it says so: look them up before you declare or sign anything.",
    "Measure the packed parcel before it leaves, with a compass or a meter that shows 0.1 µT, away from steel and currents.",
    "Magnets that are turned against each other jump: one at a time, with card between them, eye protection and gloves.",
];

/// How the stacks lie, as it follows `packed`.
fn so(arrangement: Arrangement) -> &'static str {
    match arrangement {
        Arrangement::OneWay => "all one way",
        Arrangement::Alternating => "with every second stack turned over",
        Arrangement::Paired => "in couples of opposite poles",
        Arrangement::Rings => "in closed rings of four stacks",
    }
}

/// A flux density as rules of transport count.
fn microtesla(tesla: f64) -> String {
    let micro = tesla * 1e6;
    if micro < 0.001 {
        "less than 0.001\u{a0}µT".into()
    } else if micro < 0.1 {
        format!("{micro:.3}\u{a0}µT")
    } else {
        format!("{micro:.2}\u{a0}µT")
    }
}

/// The same, not less than it is.
fn no_less(tesla: f64) -> String {
    let digits = if tesla < 0.1e-6 { 1e9 } else { 1e8 };
    microtesla((tesla * digits - 1e-6).ceil() / digits)
}

/// A limit, without zeros at its end.
fn limit(tesla: f64) -> String {
    let text = format!("{:.3}", tesla * 1e6);
    format!("{}\u{a0}µT", text.trim_end_matches('0').trim_end_matches('.'))
}

fn title(parcel: &Parcel, reader: &Reader) -> String {
    let kinds: Vec<String> = parcel
        .lines
        .iter()
        .map(|line| format!("{} × {}", count(line.count.into()), reader.item(&line.given.item)))
        .collect();
    kinds.join(", ")
}

/// The most field at the unfavourable end of the rules that a parcel of that kind would break, and the rule's limit.
fn against(parcel: &Parcel, beyond: Carriage) -> (String, String, String) {
    let of = parcel.readings.iter().filter(|reading| reading.rule.beyond == beyond);
    let worst = of.max_by(|a, b| a.most.total_cmp(&b.most));
    worst.map_or_else(Default::default, |reading| {
        let at = format!("{}\u{a0}m", reading.rule.distance);
        (no_less(reading.most), at, limit(reading.rule.most))
    })
}

fn lead(parcel: &Parcel) -> String {
    let pieces = parcel.request.pieces();
    let them = match pieces {
        1 => "This one piece".to_owned(),
        n => format!("These {}", count(n)),
    };
    let packed = so(parcel.request.arrangement);
    let (older, at, asked) = against(parcel, Carriage::Ask);
    let (near, _, declared) = against(parcel, Carriage::Declared);
    let (far, far_at, never) = against(parcel, Carriage::Never);
    let estimate = match parcel.lining {
        Some(_) => " The lining is an estimate: measure.",
        None => "",
    };
    let said = match parcel.carriage {
        Carriage::Free => format!(
            "{them}, packed {packed}, **may fly unrestricted by their field**: no more than **{older}** at {at}, where some carriers ask from {asked} and the regulations from {declared}. The carrier decides."
        ),
        Carriage::Ask => format!(
            "{them}, packed {packed}, may fly under the current wording, **but ask the carrier**: up to **{older}** at {at} is below {declared}, and above the {asked} of the older wording."
        ),
        Carriage::Declared => format!(
            "{them}, packed {packed}, are **magnetised material, UN 2807**: up to **{near}** at {at}, above {declared}. They fly as cargo, marked and agreed with the operator beforehand: at {far_at} they give no more than {far}, within {never}."
        ),
        Carriage::Never => format!(
            "{them}, packed {packed}, **may not fly**: up to **{far}** at {far_at}, above {never}. It takes another packing, or another way."
        ),
    };
    said + estimate
}

fn rule(reading: &Reading) -> RuleView {
    let rule = reading.rule;
    RuleView {
        name: rule.name.clone(),
        // The regulations count in metres.
        at: format!("{}\u{a0}m", rule.distance),
        limit: limit(rule.most),
        field: microtesla(reading.field),
        most: no_less(reading.most),
        within: reading.within(),
        verdict: if reading.within() { "within" } else { "above" }.into(),
        clause: rule.clause.clone(),
        source: rule.source.clone(),
    }
}

fn changed(change: &Change, reader: &Reader) -> ChangeView {
    let sheet = |thickness: f64| Length(thickness).show(&reader.units);
    let deed = match &change.deed {
        Deed::Arrange(arrangement) => format!("pack them **{}**", so(*arrangement)),
        Deed::Line(thickness) => format!(
            "line the box with **{} of steel**, closed on all sides",
            sheet(*thickness)
        ),
        Deed::ArrangeAndLine(arrangement, thickness) => {
            format!(
                "pack them **{}** and line the box with **{} of steel**",
                so(*arrangement),
                sheet(*thickness)
            )
        }
        Deed::Fill(filler) => {
            let sides = box_words(change.after.sides, reader);
            format!("leave **{} of filler** on every side, a box of {sides}", sheet(*filler))
        }
        Deed::Split(most) => format!("send **at most {} in each parcel**", count((*most).into())),
    };
    let (near, at, _) = against(&change.after, Carriage::Declared);
    let leads = match change.after.carriage {
        Carriage::Free => "unrestricted",
        Carriage::Ask => "unrestricted under the current wording; ask the carrier",
        Carriage::Declared => "magnetised material, UN 2807, as cargo",
        Carriage::Never => "not by air",
    };
    ChangeView {
        text: runs(&format!(
            "{}: then no more than {near} at {at}, {leads}",
            capital(&deed)
        )),
        carriage: change.after.carriage,
        request: change.after.request.clone(),
    }
}

fn contents(parcel: &Parcel, reader: &Reader) -> Vec<ContentView> {
    let one = |line: &crate::judge::Line| ContentView {
        code: line.given.stocked.then(|| line.given.item.code.clone()),
        title: reader.item(&line.given.item),
        count: count(line.count.into()),
        mass: reader.text::<Mass>(line.mass * f64::from(line.count)),
    };
    parcel.lines.iter().map(one).collect()
}

fn box_words(sides: [f64; 3], reader: &Reader) -> String {
    let up = |side: f64| reader.text::<Length>((side * 1e3 - 1e-6).ceil() * 1e-3);
    sides.map(up).join(" × ")
}

/// Whereto the field is most, by its direction from the middle.
fn whither(direction: [f64; 3]) -> &'static str {
    let most = (0..3).max_by(|a, b| direction[*a].abs().total_cmp(&direction[*b].abs()));
    match most {
        Some(k) if direction[k].abs() < 0.9 => "slantwise, over an edge or a corner",
        Some(0) => "beyond the ends of its length",
        Some(1) => "beyond the sides of its width",
        _ => "above and below",
    }
}

fn facts(parcel: &Parcel, reader: &Reader) -> Vec<FactView> {
    let fact = |label: &str, text: String| FactView {
        label: label.into(),
        text,
    };
    let stacks = &parcel.content.stacks;
    let most = stacks.iter().map(|stack| stack.pieces).max().unwrap_or(0);
    let am2 = |moment: f64| format!("{}\u{a0}A\u{a0}m²", three(moment));
    let mut out = vec![
        fact("arrangement", so(parcel.request.arrangement).into()),
        fact(
            "stacks",
            format!("{}, of up to {} pieces", count(stacks.len() as u64), count(most.into())),
        ),
        fact("content", box_words(parcel.content.size, reader)),
        fact("box, outside", box_words(parcel.sides, reader)),
        fact("magnets weigh", reader.text::<Mass>(parcel.mass())),
        fact(
            "moment that is left over",
            format!(
                "{}; pieces that differ may leave {} more",
                am2(parcel.moment),
                am2(parcel.uneven)
            ),
        ),
        fact("field is most", whither(parcel.worst.direction).into()),
    ];
    if let Some(lining) = parcel.lining {
        let text = match lining.in_steel <= SATURATES {
            true => format!(
                "weakens the field about {:.1} times, {:.1} times with seams; steel at {:.1}\u{a0}T",
                lining.weakens, lining.at_least, lining.in_steel
            ),
            false => format!(
                "too thin: {:.1}\u{a0}T in the steel saturate it, and it is not counted on",
                lining.in_steel
            ),
        };
        let thickness = Length(lining.thickness).show(&reader.units);
        out.push(fact(&format!("lining, {thickness} of mild steel"), text));
    }
    out
}

/// Three digits.
fn three(value: f64) -> String {
    if value < 1e-6 {
        return "0".into();
    }
    let digits = (2.0 - value.log10().floor()).clamp(0.0, 8.0) as usize;
    format!("{value:.digits$}")
}

fn steps(parcel: &Parcel, reader: &Reader) -> Vec<String> {
    let filler = Length(parcel.request.filler()).show(&reader.units).to_string();
    let lay = match parcel.request.arrangement {
        Arrangement::OneWay => "Stand the stacks side by side as they come, north poles up, with card between them.",
        Arrangement::Alternating => {
            "Stand the stacks side by side with card between them and turn every second one over, to the side and behind: north beside south, as the fields of a chessboard."
        }
        Arrangement::Paired => {
            "Put two stacks side by side, one turned over, so that they hold each other through a card; lay the couples all alike."
        }
        Arrangement::Rings => {
            "Lay four stacks head to tail in a square, the north pole of each against the side of the next, with card between the squares."
        }
    };
    let mut out = vec![lay.to_owned()];
    out.push(format!(
        "Put them in the middle of the box with {filler} of filler at least on every side, wedged so that nothing can move."
    ));
    if let Some(lining) = parcel.lining {
        let thickness = Length(lining.thickness).show(&reader.units);
        out.push(format!(
            "Line all six walls with {thickness} of mild steel, edges touching, inside the cardboard and outside the filler."
        ));
    }
    let (_, at, asked) = against(parcel, Carriage::Ask);
    let (_, _, declared) = against(parcel, Carriage::Declared);
    out.push(format!(
        "Close it, and measure at {at} from every surface: above {declared} it is magnetised material; above {asked} ask the carrier."
    ));
    out
}

fn assumed(parcel: &Parcel, reader: &Reader) -> Vec<String> {
    let mut out = vec![
        format!(
            "the moment of each piece at {}; none is weakened by its neighbours, which is on the safe side",
            reader.text::<quantity::Temperature>(quantity::Temperature::from_celsius(20.0).si())
        ),
        "at the unfavourable end all are as strong as 95 % of their grade at most, and differ from piece to piece as much as the grade allows".into(),
        "every piece is taken as a dipole, which holds within 0.2 % for pieces up to 100 mm across".into(),
    ];
    if parcel.request.filler.is_none() {
        let filler = Length(parcel.request.filler()).show(&reader.units);
        out.push(format!("{filler} of filler on every side, since none was named"));
    }
    if parcel.lining.is_some() {
        out.push(format!(
            "the lining as a closed shell without gaps, of relative permeability {PERMEABILITY:.0} (from memory), as if it were round; at the unfavourable end seams let twice as much through"
        ));
    }
    out
}

#[cfg(test)]
mod tests;
