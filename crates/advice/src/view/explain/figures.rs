//! The figures of a text, by their names.
//!
//! A name is that of a figure of the reference magnet (`pull`), or of another one with the magnet before it (`twice_pull`).

use magnetics::inside::Facing;
use materials::grade::GradeRow;
use quantity::{FluxDensity, Force, Length, Mass, Quantity, STANDARD_GRAVITY, Units};
use uncertainty::Band;

use super::model::model;
use crate::catalogue::Catalogue;
use crate::enquiry::{NamedMagnet, SwitchKind};
use crate::exposure::Exposure;
use crate::given::Given;
use crate::hazards::{self, FAR_PARCEL, FLUX_INDEX_LIMIT, IMPLANT_LEVEL, NEAR_PARCEL, NEVER_FLIES, Placement};
use crate::heat;
use crate::item::Item;
use crate::predict::{FRICTION, InUse, PROBE_DEPTH_TOLERANCE, Prediction, Task};
use crate::reasons;
use crate::reference::reference;
use crate::rules::FLIGHT_LIMIT;
use crate::tell::{PROBE_DEPTH, SHEET};
use crate::view::text::{Reader, count, percent, shape_word};
use materials::grade::REFERENCE_CELSIUS;

/// A gap that customers speak of, and one as thin as paint, m.
const GAP: f64 = 1e-3;
const THIN_GAP: f64 = 0.1e-3;
/// The thinner of two sheets, m.
const THIN_SHEET: f64 = 0.5e-3;
/// Between the magnets of a pair, m.
const PAIR_GAP: f64 = 5e-3;
/// A warm place and a hard frost, °C.
const HOT: f64 = 60.0;
const FROST: f64 = -40.0;

/// The figures of a shelf.
pub(super) struct Figures<'a> {
    reference: Item,
    stocked: bool,
    catalogue: &'a Catalogue,
    reader: &'a Reader,
}

impl<'a> Figures<'a> {
    pub(super) fn new(shelf: &[Item], catalogue: &'a Catalogue, reader: &'a Reader) -> Self {
        let reference = reference(shelf, catalogue);
        Self {
            stocked: !reference.code.is_empty(),
            reference,
            catalogue,
            reader,
        }
    }

    /// The magnet of that name beside the reference.
    pub(super) fn given(&self, name: &str) -> Option<Given> {
        model(name, &self.reference, self.stocked, self.catalogue)
    }

    /// The same as a message would name it.
    pub(super) fn named(&self, name: &str) -> Option<NamedMagnet> {
        self.given(name).map(|given| given.named())
    }

    /// What the figures are of.
    pub(super) fn subject(&self) -> String {
        let item = self.reader.item(&self.reference);
        if self.stocked {
            format!(
                "figures of this shelf's {item} ({}), at {}",
                self.reference.code,
                self.reader.celsius(REFERENCE_CELSIUS)
            )
        } else {
            format!(
                "figures of a magnet that the shelf does not have: {item}, at {}",
                self.reader.celsius(REFERENCE_CELSIUS)
            )
        }
    }

    /// The text with its figures; a name that is not known stays in its braces, which a test excludes.
    pub(super) fn fill(&self, text: &str) -> String {
        let mut out = String::with_capacity(text.len() * 2);
        let mut rest = text;
        while let Some((before, after)) = rest.split_once('{') {
            out.push_str(before);
            let Some((name, behind)) = after.split_once('}') else {
                out.push('{');
                rest = after;
                continue;
            };
            match self.figure(name) {
                Some(figure) => out.push_str(&figure),
                None => {
                    out.push('{');
                    out.push_str(name);
                    out.push('}');
                }
            }
            rest = behind;
        }
        out.push_str(rest);
        out
    }

    /// It before anything is taken from it.
    fn whole<'g>(&'g self, given: &'g Given, task: Task) -> Option<InUse<'g>> {
        Some(self.prediction(given, task)?.undiminished(given.build.pieces))
    }

    fn prediction<'g>(&'g self, given: &'g Given, task: Task) -> Option<Prediction<'g>> {
        given.prediction(self.catalogue, task, REFERENCE_CELSIUS)
    }

    fn band(&self, given: &Given, task: Task) -> Option<Band> {
        self.whole(given, task)?.band().ok()
    }

    fn mid(&self, given: &Given, task: Task) -> Option<f64> {
        self.whole(given, task)?.value().ok()
    }

    fn grade_row(&self, given: &Given) -> Option<&GradeRow> {
        self.catalogue.grade_of(&given.item)
    }

    fn far(&self) -> f64 {
        2.0 * self.reference.shape.widest()
    }

    /// A figure by its name; `None` where there is none of that name.
    fn figure(&self, name: &str) -> Option<String> {
        let reference = self.given("reference")?;
        if let Some(figure) = self.of_reference(name, &reference).or_else(|| self.of_conditions(name)) {
            return Some(figure);
        }
        if let Some(given) = self.given(name) {
            return Some(self.described(&given));
        }
        let (of, what) = name
            .match_indices('_')
            .map(|(at, _)| (&name[..at], &name[at + 1..]))
            .find(|(of, _)| self.given(of).is_some())?;
        self.of_magnet(what, &self.given(of)?)
    }

    /// `disc of 20 × 5 mm, N42`.
    fn described(&self, given: &Given) -> String {
        let shape = shape_word(&given.item.shape, false);
        format!("{shape} of {}", self.reader.size_and_grade(&given.item))
    }

    /// What is known of any magnet.
    fn of_magnet(&self, what: &str, given: &Given) -> Option<String> {
        let reader = self.reader;
        let thick = Task::thick_steel([0.0; 3]);
        let beside = || Some(self.mid(given, thick)? / self.mid(&self.given("reference")?, thick)?);
        Some(match what {
            "pull" => reader.text::<Force>(self.mid(given, thick)?),
            "face" => reader.text::<FluxDensity>(self.mid(given, face(0.0))?),
            "far" => reader.text::<FluxDensity>(self.mid(given, spot(self.far()))?),
            "stands" => reader.celsius(heat::stands(
                &self.prediction(given, thick)?,
                given.build.pieces,
                Facing::Nothing,
            )),
            "mass" => {
                let each = hazards::mass_of(&given.item, self.grade_row(given)?);
                reader.text::<Mass>(each * f64::from(given.build.pieces))
            }
            "part" => percent(beside()?),
            "gain" => {
                let gain = beside()? - 1.0;
                let more = if gain < 0.0 { "less" } else { "more" };
                format!("{} {more}", percent(gain.abs()))
            }
            "loses" => percent((1.0 - beside()?).max(0.0)),
            "grade" => given.item.grade.clone(),
            "curie" => reader.celsius(self.grade_row(given)?.curie_celsius),
            "index" => {
                let whole = self.whole(given, thick)?;
                let hazards = hazards::of_build(&whole, given.build, 1, Placement::default()).ok()?;
                index(hazards.flux_index)
            }
            "frost_loss" => {
                let exposure = Exposure {
                    warmest: REFERENCE_CELSIUS,
                    coldest: FROST,
                    facing: Facing::Nothing,
                };
                let wear = heat::wear(&self.prediction(given, thick)?, given.build.pieces, &exposure).ok()?;
                if wear.loss < heat::LOSS_WORTH_SAYING {
                    "nothing".into()
                } else {
                    percent(wear.loss)
                }
            }
            _ => return None,
        })
    }

    /// What is known of the reference.
    fn of_reference(&self, name: &str, given: &Given) -> Option<String> {
        let reader = self.reader;
        let thick = Task::thick_steel([0.0; 3]);
        let force = |task: Task| Some(reader.text::<Force>(self.mid(given, task)?));
        let field = |si: f64| reader.text::<FluxDensity>(si);
        let keeps = |task: Task| Some(percent(self.mid(given, task)? / self.mid(given, thick)?));
        let takes = |task: Task| Some(percent(1.0 - self.mid(given, task)? / self.mid(given, thick)?));
        let across = |gap: f64| thick.at_distance(gap);
        let on = |sheet: f64| thick.on_plate(Some(sheet));
        let grade = self.grade_row(given)?;
        let hazards_of = || {
            let whole = self.whole(given, thick)?;
            hazards::of_build(&whole, given.build, 1, Placement::default()).ok()
        };
        Some(match name {
            "disc" => self.described(given),
            "ceiling" => field(grade.br_typical / 2.0),
            "remanence" => field(grade.br_typical),
            "br_low" => field(grade.br_min),
            "br_high" => field(grade.br_max),
            "rated" => reader.celsius(grade.max_service_celsius),
            "pull_low" => reader.text::<Force>(self.band(given, thick)?.low),
            "pull_high" => reader.text::<Force>(self.band(given, thick)?.high),
            "pull_newton" => in_units(Force(self.mid(given, thick)?), "N")?,
            "pull_mass" => Mass(self.mid(given, thick)? / STANDARD_GRAVITY)
                .show_to(2, &Units::metric())
                .to_string(),
            "face_tesla" => in_units(FluxDensity(self.mid(given, face(0.0))?), "T")?,
            "face_gauss" => in_units(FluxDensity(self.mid(given, face(0.0))?), "G")?,
            "reading" => field(self.mid(given, face(PROBE_DEPTH))?),
            "reading_low" => field(self.band(given, face(PROBE_DEPTH))?.low),
            "reading_high" => field(self.band(given, face(PROBE_DEPTH))?.high),
            "reading_less" => percent(1.0 - self.mid(given, face(PROBE_DEPTH))? / self.mid(given, face(0.0))?),
            "gap_pull" => force(across(GAP))?,
            "gap_takes" => takes(across(GAP))?,
            "thin_gap_pull" => force(across(THIN_GAP))?,
            "thin_gap_takes" => takes(across(THIN_GAP))?,
            "sheet_pull" => force(on(SHEET))?,
            "sheet_keeps" => keeps(on(SHEET))?,
            "thin_sheet_pull" => force(on(THIN_SHEET))?,
            "thin_sheet_keeps" => keeps(on(THIN_SHEET))?,
            "sliding" => force(thick.sliding(FRICTION))?,
            "sheet_sliding" => force(on(SHEET).sliding(FRICTION))?,
            "ferritic_pull" => {
                let law = self
                    .catalogue
                    .steels
                    .find("ferritic stainless steel")
                    .and_then(steel::Steel::law)?;
                force(thick.on_law(law))?
            }
            "enough" => reader.about(self.whole(given, thick)?.steel()?.enough),
            "plating_takes" => reasons::plating_takes(&self.prediction(given, thick)?, 1).map(percent)?,
            "contact" => force(Task::pair(0.0))?,
            "pair_gap_force" => force(Task::pair(PAIR_GAP))?,
            "pair_gap_steel" => force(across(PAIR_GAP))?,
            "repel" => force(Task::Pair {
                gap: PAIR_GAP,
                opposed: true,
            })?,
            "jump_magnet" => {
                let pair = self.whole(given, Task::pair(0.0))?;
                let weight = hazards::mass_of(&given.item, grade) * STANDARD_GRAVITY;
                let lifts = crate::tell::farthest(|gap| pair.at_distance(gap).value().unwrap_or(0.0), weight);
                reader.about(lifts)
            }
            "implant" => reader.no_less::<Length>(hazards_of()?.implant_distance),
            "cards" => reader.no_less::<Length>(hazards_of()?.card_distance),
            "reed_reach" => self.reach(given, grade, SwitchKind::Reed.usual_points()[0].0)?,
            "hall_reach" => self.reach(given, grade, SwitchKind::Hall.usual_points()[0].0)?,
            "hot_keeps" => percent(grade.br_at(1.0, HOT).ok()?),
            "frost_keeps" => percent(grade.br_at(1.0, FROST).ok()?),
            "parcel" => reader.microtesla(hazards::parcel(&self.whole(given, thick)?, given.build).ok()?.mid),
            "fly_most" => {
                let one = hazards::parcel(&self.whole(given, thick)?, given.build).ok()?.high;
                count((FLIGHT_LIMIT / one).floor() as u64)
            }
            "tolerance" => reader.text::<Length>(given.item.tolerance.0),
            "price_words" => self.price_words(given),
            // The magnets have their own.
            other => return self.of_magnet(other, given),
        })
    }

    /// What belongs to no magnet.
    fn of_conditions(&self, name: &str) -> Option<String> {
        let reader = self.reader;
        let length = |metres: f64| reader.text::<Length>(metres);
        let field = |b: FluxDensity| reader.text::<FluxDensity>(b.0);
        let [reed, hall] = [SwitchKind::Reed, SwitchKind::Hall].map(SwitchKind::usual_points);
        Some(match name {
            "gap" => length(GAP),
            "thin_gap" => length(THIN_GAP),
            "sheet" => format!("{} sheet", length(SHEET)),
            "thin_sheet" => format!("{} sheet", length(THIN_SHEET)),
            "pair_gap" => length(PAIR_GAP),
            "probe" => length(PROBE_DEPTH),
            "far" => length(self.far()),
            "friction" => percent(FRICTION[1]),
            "hot" => reader.celsius(HOT),
            "frost" => reader.celsius(FROST),
            "implant_level" => reader.text::<FluxDensity>(IMPLANT_LEVEL),
            "flux_limit" => index(FLUX_INDEX_LIMIT),
            "parcel_near" => length(NEAR_PARCEL),
            "parcel_far" => length(FAR_PARCEL),
            "parcel_ask" => reader.microtesla(FLIGHT_LIMIT),
            "parcel_never" => reader.microtesla(NEVER_FLIES),
            "reed_operate" => field(reed[0]),
            "reed_release" => field(reed[1]),
            "hall_operate" => field(hall[0]),
            "strongest" => self.strongest()?.name.clone(),
            "strongest_br" => reader.text::<FluxDensity>(self.strongest()?.br_max),
            "strong" => self.given("strong")?.item.grade,
            _ => return None,
        })
    }

    /// The grade with the largest remanence.
    fn strongest(&self) -> Option<&GradeRow> {
        let rows = self.catalogue.grades.rows();
        rows.iter().max_by(|a, b| a.br_typical.total_cmp(&b.br_typical))
    }

    /// How far from its face it gives a flux density, with the largest remanence of its grade.
    fn reach(&self, given: &Given, grade: &GradeRow, level: f64) -> Option<String> {
        let whole = self.whole(given, spot(0.0))?;
        let field = whole.stack_of_remanence(grade.br_max).ok()?.field().ok()?;
        Some(self.reader.about(crate::tell::reach(&field, level)))
    }

    fn price_words(&self, given: &Given) -> String {
        let prices = &given.item.prices;
        let (Some(first), Some(last)) = (prices.first(), prices.last()) else {
            return "This shelf lists no price for such a disc.".into();
        };
        let disc = self.described(given);
        let price = |each| self.reader.money(each);
        if last.each >= first.each {
            return format!("A {disc} costs {} each.", price(first.each));
        }
        format!(
            "A {disc} costs {} each for {}, and {} each from {} on: {} less.",
            price(first.each),
            count(first.from),
            price(last.each),
            count(last.from),
            percent(1.0 - last.each.to_f64() / first.each.to_f64())
        )
    }
}

/// A flux index as the rules for toys count it.
fn index(si: f64) -> String {
    format!("{:.0}\u{a0}kG²\u{a0}mm²", si / 1e-8)
}

fn spot(distance: f64) -> Task {
    Task::Spot {
        distance,
        off_axis: 0.0,
        tolerance: 0.0,
        axial_only: false,
    }
}

fn face(depth: f64) -> Task {
    Task::Spot {
        distance: depth,
        off_axis: 0.0,
        tolerance: depth.min(PROBE_DEPTH_TOLERANCE),
        axial_only: true,
    }
}

/// A quantity in a unit of its own, whatever the reader's.
fn in_units<Q: Quantity>(quantity: Q, unit: &str) -> Option<String> {
    let units: Units = unit.parse().ok()?;
    Some(quantity.show(&units).to_string())
}
