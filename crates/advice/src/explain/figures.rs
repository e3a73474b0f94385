//! The figures of a text, by their names.
//!
//! A name is that of a figure of the reference magnet (`pull`), or of another one with the magnet before it (`twice_pull`).

use magnetics::inside::Facing;
use materials::grade::{GradeRow, REFERENCE_CELSIUS};
use quantity::{FluxDensity, STANDARD_GRAVITY};
use uncertainty::Band;

use super::model::model;
use crate::catalogue::Catalogue;
use crate::enquiry::{NamedMagnet, SwitchKind};
use crate::exposure::Exposure;
use crate::given::Given;
use crate::hazards::{self, FAR_PARCEL, FLUX_INDEX_LIMIT, IMPLANT_LEVEL, NEAR_PARCEL, NEVER_FLIES, Placement};
use crate::heat;
use crate::item::Item;
use crate::predict::{FRICTION, InUse, Prediction, Task};
use crate::reasons;
use crate::reference::reference;
use crate::rules::FLIGHT_LIMIT;
use crate::tell::SHEET;

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

/// A figure of a text, for a reader to be put into words; quantities in SI, temperatures in °C.
#[derive(Clone, Debug, PartialEq)]
pub enum Figure {
    /// A force.
    Force(f64),
    /// The same in newtons, whatever the reader's unit.
    Newton(f64),
    /// A flux density.
    Field(f64),
    /// The same in teslas.
    Tesla(f64),
    /// The same in gauss.
    Gauss(f64),
    /// A flux density as rules of transport count it.
    FarField(f64),
    /// The lower end of an interval: that of a force, low and high.
    LowForce([f64; 2]),
    /// Its upper end.
    HighForce([f64; 2]),
    /// The lower end of an interval of a flux density.
    LowField([f64; 2]),
    /// Its upper end.
    HighField([f64; 2]),
    /// A mass.
    Mass(f64),
    /// The same in kilograms.
    Kilogram(f64),
    /// A length that is given.
    Length(f64),
    /// A length that was computed.
    About(f64),
    /// A length that must not be shown smaller than it is.
    NoLess(f64),
    /// A sheet of that thickness.
    Sheet(f64),
    /// A temperature, a limit or a whole one.
    Celsius(f64),
    /// A part, 0 to 1.
    Share(f64),
    /// What is more, or less where it is below 0, as a part.
    Gain(f64),
    /// A flux index.
    FluxIndex(f64),
    /// Pieces.
    Count(u64),
    /// A name of the data.
    Name(String),
    /// A magnet, in words.
    Magnet(Box<Item>),
    /// What a magnet costs.
    Prices(Box<Item>),
    /// Not worth a figure.
    Nothing,
}

/// The figures of a shelf.
pub struct Figures<'a> {
    /// The disc that stands for the shelf.
    pub reference: Item,
    /// Whether the shelf has it.
    pub stocked: bool,
    catalogue: &'a Catalogue,
}

impl<'a> Figures<'a> {
    /// Those of a shelf.
    pub fn new(shelf: &[Item], catalogue: &'a Catalogue) -> Self {
        let reference = reference(shelf, catalogue);
        Self {
            stocked: !reference.code.is_empty(),
            reference,
            catalogue,
        }
    }

    /// The magnet of that name beside the reference.
    pub fn given(&self, name: &str) -> Option<Given> {
        model(name, &self.reference, self.stocked, self.catalogue)
    }

    /// The same as a message would name it.
    pub fn named(&self, name: &str) -> Option<NamedMagnet> {
        self.given(name).map(|given| given.named())
    }

    /// It before anything is taken from it.
    fn whole<'g>(&'g self, given: &'g Given, task: Task) -> Option<InUse<'g>> {
        Some(self.prediction(given, task)?.undiminished(given.build.pieces))
    }

    fn prediction<'g>(&'g self, given: &'g Given, task: Task) -> Option<Prediction<'g>> {
        given.prediction(self.catalogue, task, REFERENCE_CELSIUS)
    }

    /// What the shop's probe reads at a face.
    fn reading(&self) -> Task {
        Task::read_by(&self.catalogue.usual_probe())
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
    pub fn figure(&self, name: &str) -> Option<Figure> {
        let reference = self.given("reference")?;
        // A place such as `far` has the name of what is there: it is asked first.
        if let Some(figure) = self.of_conditions(name).or_else(|| self.of_reference(name, &reference)) {
            return Some(figure);
        }
        if let Some(given) = self.given(name) {
            return Some(Figure::Magnet(Box::new(given.item)));
        }
        let (of, what) = name
            .match_indices('_')
            .map(|(at, _)| (&name[..at], &name[at + 1..]))
            .find(|(of, _)| self.given(of).is_some())?;
        self.of_magnet(what, &self.given(of)?)
    }

    /// What is known of any magnet.
    fn of_magnet(&self, what: &str, given: &Given) -> Option<Figure> {
        let thick = Task::thick_steel([0.0; 3]);
        let beside = || Some(self.mid(given, thick)? / self.mid(&self.given("reference")?, thick)?);
        Some(match what {
            "pull" => Figure::Force(self.mid(given, thick)?),
            "face" => Figure::Field(self.mid(given, Task::face())?),
            "far" => Figure::Field(self.mid(given, Task::spot(self.far(), 0.0))?),
            "stands" => Figure::Celsius(heat::stands(
                &self.prediction(given, thick)?,
                given.build.pieces,
                Facing::Nothing,
            )),
            "mass" => {
                let each = hazards::mass_of(&given.item, self.grade_row(given)?);
                Figure::Mass(each * f64::from(given.build.pieces))
            }
            "part" => Figure::Share(beside()?),
            "gain" => Figure::Gain(beside()? - 1.0),
            "loses" => Figure::Share((1.0 - beside()?).max(0.0)),
            "grade" => Figure::Name(given.item.grade.clone()),
            "curie" => Figure::Celsius(self.grade_row(given)?.curie_celsius),
            "index" => {
                let whole = self.whole(given, thick)?;
                let hazards = hazards::of_build(&whole, given.build, 1, Placement::default()).ok()?;
                Figure::FluxIndex(hazards.flux_index)
            }
            "frost_loss" => {
                let exposure = Exposure {
                    warmest: REFERENCE_CELSIUS,
                    coldest: FROST,
                    facing: Facing::Nothing,
                };
                let wear = heat::wear(&self.prediction(given, thick)?, given.build.pieces, &exposure).ok()?;
                if wear.loss < heat::LOSS_WORTH_SAYING {
                    Figure::Nothing
                } else {
                    Figure::Share(wear.loss)
                }
            }
            _ => return None,
        })
    }

    /// What is known of the reference.
    fn of_reference(&self, name: &str, given: &Given) -> Option<Figure> {
        let thick = Task::thick_steel([0.0; 3]);
        let force = |task: Task| Some(Figure::Force(self.mid(given, task)?));
        let field = Figure::Field;
        let keeps = |task: Task| Some(Figure::Share(self.mid(given, task)? / self.mid(given, thick)?));
        let takes = |task: Task| Some(Figure::Share(1.0 - self.mid(given, task)? / self.mid(given, thick)?));
        let ends = |task: Task| self.band(given, task).map(|band| [band.low, band.high]);
        let across = |gap: f64| thick.at_distance(gap);
        let on = |sheet: f64| thick.on_plate(Some(sheet));
        let grade = self.grade_row(given)?;
        let hazards_of = || {
            let whole = self.whole(given, thick)?;
            hazards::of_build(&whole, given.build, 1, Placement::default()).ok()
        };
        Some(match name {
            "disc" => Figure::Magnet(Box::new(given.item.clone())),
            "ceiling" => field(grade.br_typical / 2.0),
            "remanence" => field(grade.br_typical),
            "br_low" => field(grade.br_min),
            "br_high" => field(grade.br_max),
            "rated" => Figure::Celsius(grade.max_service_celsius),
            "covered" => Figure::Share(uncertainty::COVERAGE),
            "pull_low" => Figure::LowForce(ends(thick)?),
            "pull_high" => Figure::HighForce(ends(thick)?),
            "pull_newton" => Figure::Newton(self.mid(given, thick)?),
            "pull_mass" => Figure::Kilogram(self.mid(given, thick)? / STANDARD_GRAVITY),
            "face_tesla" => Figure::Tesla(self.mid(given, Task::face())?),
            "face_gauss" => Figure::Gauss(self.mid(given, Task::face())?),
            "reading" => field(self.mid(given, self.reading())?),
            "reading_low" => Figure::LowField(ends(self.reading())?),
            "reading_high" => Figure::HighField(ends(self.reading())?),
            "reading_less" => Figure::Share(1.0 - self.mid(given, self.reading())? / self.mid(given, Task::face())?),
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
            "enough" => Figure::About(self.whole(given, thick)?.steel()?.enough),
            "plating_takes" => reasons::plating_takes(&self.prediction(given, thick)?, 1).map(Figure::Share)?,
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
                Figure::About(lifts)
            }
            "implant" => Figure::NoLess(hazards_of()?.implant_distance),
            "cards" => Figure::NoLess(hazards_of()?.card_distance),
            "reed_reach" => self.reach(given, grade, SwitchKind::Reed.usual_points()[0].0)?,
            "hall_reach" => self.reach(given, grade, SwitchKind::Hall.usual_points()[0].0)?,
            "hot_keeps" => Figure::Share(grade.br_at(1.0, HOT).ok()?),
            "frost_keeps" => Figure::Share(grade.br_at(1.0, FROST).ok()?),
            "parcel" => Figure::FarField(hazards::parcel(&self.whole(given, thick)?, given.build).ok()?.mid),
            "fly_most" => {
                let one = hazards::parcel(&self.whole(given, thick)?, given.build).ok()?.high;
                Figure::Count((FLIGHT_LIMIT / one).floor() as u64)
            }
            "tolerance" => Figure::Length(given.item.tolerance.0),
            "price_words" => Figure::Prices(Box::new(given.item.clone())),
            // The magnets have their own.
            other => return self.of_magnet(other, given),
        })
    }

    /// What belongs to no magnet.
    fn of_conditions(&self, name: &str) -> Option<Figure> {
        let length = Figure::Length;
        let field = |b: FluxDensity| Figure::Field(b.0);
        let [reed, hall] = [SwitchKind::Reed, SwitchKind::Hall].map(SwitchKind::usual_points);
        Some(match name {
            "gap" => length(GAP),
            "thin_gap" => length(THIN_GAP),
            "sheet" => Figure::Sheet(SHEET),
            "thin_sheet" => Figure::Sheet(THIN_SHEET),
            "pair_gap" => length(PAIR_GAP),
            "probe" => length(self.catalogue.usual_probe().depth.si()),
            "far" => length(self.far()),
            "friction" => Figure::Share(FRICTION[1]),
            "hot" => Figure::Celsius(HOT),
            "frost" => Figure::Celsius(FROST),
            "implant_level" => Figure::Field(IMPLANT_LEVEL),
            "flux_limit" => Figure::FluxIndex(FLUX_INDEX_LIMIT),
            "parcel_near" => length(NEAR_PARCEL),
            "parcel_far" => length(FAR_PARCEL),
            "parcel_ask" => Figure::FarField(FLIGHT_LIMIT),
            "parcel_never" => Figure::FarField(NEVER_FLIES),
            "reed_operate" => field(reed[0]),
            "reed_release" => field(reed[1]),
            "hall_operate" => field(hall[0]),
            "strongest" => Figure::Name(self.strongest()?.name.clone()),
            "strongest_br" => Figure::Field(self.strongest()?.br_max),
            "strong" => Figure::Name(self.given("strong")?.item.grade),
            _ => return None,
        })
    }

    /// The grade with the largest remanence.
    fn strongest(&self) -> Option<&GradeRow> {
        let rows = self.catalogue.grades.rows();
        rows.iter().max_by(|a, b| a.br_typical.total_cmp(&b.br_typical))
    }

    /// How far from its face it gives a flux density, with the largest remanence of its grade.
    fn reach(&self, given: &Given, grade: &GradeRow, level: f64) -> Option<Figure> {
        let whole = self.whole(given, Task::spot(0.0, 0.0))?;
        let field = whole.stack_of_remanence(grade.br_max).ok()?.field().ok()?;
        Some(Figure::About(crate::tell::reach(&field, level)))
    }
}
