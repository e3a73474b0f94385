//! A whole shelf as one table of specifications, for a web shop: a row for each item, numbers as numbers, the unit in the heading.

pub mod files;
#[cfg(test)]
mod tests;

use advice::answer::Stack;
use advice::exposure::Exposure;
use advice::hazards::{self, FLUX_INDEX_LIMIT, NEVER_FLIES, Placement};
use advice::predict::{NotComputable, Prediction, Task};
use advice::question::Conditions;
use advice::rules::FLIGHT_LIMIT;
use advice::view::text::sizes;
use advice::{Catalogue, Item};
use letters::Messages;
use materials::grade::REFERENCE_CELSIUS;
use parcels::rules::{Carriage, rules};
use quantity::{FluxDensity, Force, Kind, Length, Mass, Quantity, Temperature, Units};
use serde::{Deserialize, Serialize};

use crate::list::rounded;

/// T² m² in a kG² mm², in which the rules for toys count.
const KILOGAUSS_MM: f64 = 1e-8;

/// At which places a table gives fields and pulls, m.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Places {
    /// Distances from the face at which the field is given.
    pub distances: Vec<f64>,
    /// Thicknesses of mild steel on which the pull is given; `None` is thick.
    pub plates: Vec<Option<f64>>,
    /// Gaps across which it is given.
    pub gaps: Vec<f64>,
}

impl Default for Places {
    fn default() -> Self {
        Self {
            distances: vec![5e-3, 10e-3, 20e-3],
            plates: vec![None, Some(1e-3)],
            gaps: vec![0.0, 0.5e-3],
        }
    }
}

/// What stands in a cell.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Cell {
    /// Nothing is known.
    Nothing,
    /// A number in the unit of its heading.
    Number(f64),
    /// Words.
    Text(String),
}

/// A table of specifications: its headings, and how its numbers are shown.
pub struct Columns<'a> {
    places: &'a Places,
    units: &'a Units,
    messages: &'a Messages,
}

/// A cell of what has a value or none.
fn text(text: impl Into<String>) -> Cell {
    Cell::Text(text.into())
}

impl<'a> Columns<'a> {
    /// The columns at those places, in those units.
    pub fn new(places: &'a Places, units: &'a Units, messages: &'a Messages) -> Self {
        Self {
            places,
            units,
            messages,
        }
    }

    fn say(&self, name: &str) -> String {
        self.messages.text(name, &[])
    }

    fn at(&self, name: &str, place: &str) -> String {
        self.messages.text(name, &[("at", place.into())])
    }

    /// The unit of a column, the same for every row.
    fn unit(&self, kind: Kind) -> &'static str {
        self.units.scale(kind, typical(kind)).label
    }

    fn number(&self, kind: Kind, si: f64) -> Cell {
        let shown = self.units.scale(kind, typical(kind)).apply(si);
        if !shown.is_finite() {
            return Cell::Nothing;
        }
        Cell::Number(rounded(shown))
    }

    fn length(&self, metres: f64) -> String {
        Length(metres).show(self.units).to_string()
    }

    /// The headings.
    pub fn headings(&self) -> Vec<String> {
        let mut out: Vec<String> = [
            "table-code",
            "table-shape",
            "table-size",
            "table-grade",
            "table-coating",
        ]
        .map(|name| self.say(name))
        .to_vec();
        let with = |what: String, kind: Kind| format!("{what}, {}", self.unit(kind));
        let banded = |what: String, kind: Kind| {
            let ends = ["table-low", "table-high"].map(|end| format!("{what}, {}", self.say(end)));
            [with(what.clone(), kind)]
                .into_iter()
                .chain(ends.map(|end| with(end, kind)))
        };
        out.extend(banded(self.say("table-face"), Kind::FluxDensity));
        for distance in &self.places.distances {
            out.extend(banded(
                self.at("table-field", &self.length(*distance)),
                Kind::FluxDensity,
            ));
        }
        for (plate, gap) in self.pulls() {
            let steel = plate.map_or_else(|| self.say("table-thick"), |plate| self.length(plate));
            let gap = self.length(gap);
            let place = [("steel", (&steel).into()), ("gap", (&gap).into())];
            out.extend(banded(self.messages.text("table-pull", &place), Kind::Force));
        }
        out.push(format!("{}, A·m²", self.say("table-moment")));
        out.push(with(self.say("table-mass"), Kind::Mass));
        out.push(with(self.say("table-warmest"), Kind::Temperature));
        out.push(self.say("table-small-part"));
        out.push(format!("{}, kG²·mm²", self.say("table-flux-index")));
        out.push(self.say("table-toys"));
        out.push(with(self.say("table-implants"), Kind::Length));
        out.push(self.say("table-air"));
        out.push(self.say("table-air-most"));
        out.push(self.say("table-remark"));
        out
    }

    /// Plates and gaps, each with each.
    fn pulls(&self) -> impl Iterator<Item = (Option<f64>, f64)> + '_ {
        let gaps = &self.places.gaps;
        self.places
            .plates
            .iter()
            .flat_map(move |plate| gaps.iter().map(move |gap| (*plate, *gap)))
    }

    /// The row of an item; where something cannot be worked out its cells are empty and the remark says why.
    pub fn row(&self, item: &Item, catalogue: &Catalogue) -> Vec<Cell> {
        let mut cells = vec![
            text(item.code.clone()),
            text(advice::view::text::shape_word(&item.shape, false)),
            text(sizes(item, self.units)),
            text(item.grade.clone()),
            text(item.coating.clone()),
        ];
        let before = cells.len();
        let remark = match self.worked_out(item, catalogue, &mut cells) {
            Ok(()) => Cell::Nothing,
            Err(why) => {
                cells.truncate(before);
                text(why)
            }
        };
        cells.resize(self.headings().len() - 1, Cell::Nothing);
        cells.push(remark);
        cells
    }

    fn worked_out(&self, item: &Item, catalogue: &Catalogue, cells: &mut Vec<Cell>) -> Result<(), String> {
        let unknown = || self.say("table-unknown");
        let grade = catalogue.grade_of(item).ok_or_else(unknown)?;
        let coating = catalogue.coatings.get(&item.coating).ok_or_else(unknown)?;
        let room =
            Prediction::new(item, grade, coating, Task::face(), REFERENCE_CELSIUS).of_lot(catalogue.read_pieces(item));
        let delivered = room.undiminished(1);
        // Without a curve nothing is known of what it loses alone.
        let in_use = room
            .in_use(1, &Exposure::alone(&Conditions::default()))
            .unwrap_or(delivered);
        let why = |e: NotComputable| e.to_string();
        let mut banded = |kind: Kind, task: Task| -> Result<(), String> {
            let band = in_use.for_task(task).band().map_err(why)?;
            cells.extend([band.mid, band.low, band.high].map(|si| self.number(kind, si)));
            Ok(())
        };
        banded(Kind::FluxDensity, room.task)?;
        for distance in &self.places.distances {
            banded(Kind::FluxDensity, Task::spot(*distance, 0.0))?;
        }
        let thick = Task::thick_steel([0.0; 3]);
        for (plate, gap) in self.pulls() {
            banded(Kind::Force, thick.on_plate(plate).at_distance(gap))?;
        }
        let build = Stack { pieces: 1, pair: false };
        let hazards = hazards::of_build(&delivered, build, 1, Placement::default()).map_err(why)?;
        let moment = delivered.stack().map_err(why)?.moment();
        cells.push(Cell::Number(rounded(moment)));
        cells.push(self.number(Kind::Mass, hazards::mass_of(item, grade)));
        // Never shown warmer than it stands.
        let warmest = self
            .units
            .scale(Kind::Temperature, 0.0)
            .apply(Temperature::from_celsius(hazards.max_celsius).si());
        cells.push(Cell::Number(warmest.floor()));
        cells.push(text(self.say(if hazards.small_part { "yes" } else { "no" })));
        let toys = match (hazards.small_part, hazards.flux_index >= FLUX_INDEX_LIMIT) {
            (true, true) => "table-toys-excluded",
            (true, false) => "table-toys-small",
            (false, _) => "table-toys-large",
        };
        cells.push(match hazards.small_part {
            true => Cell::Number((hazards.flux_index / KILOGAUSS_MM).ceil()),
            false => Cell::Nothing,
        });
        cells.push(text(self.say(toys)));
        let keep = self.units.scale(Kind::Length, hazards.implant_distance);
        cells.push(Cell::Number(
            (keep.apply(hazards.implant_distance) * 10.0).ceil() / 10.0,
        ));
        let [_, most] = hazards.order_range_at_2_1_m;
        let far = hazards.order_at_4_5_m * most / hazards.order_at_2_1_m;
        cells.push(text(self.say(match carriage(most, far) {
            Carriage::Free => "table-air-free",
            Carriage::Ask => "table-air-ask",
            Carriage::Declared => "table-air-declared",
            Carriage::Never => "table-air-never",
        })));
        cells.push(Cell::Number((FLIGHT_LIMIT / most).floor().min(1e9)));
        Ok(())
    }
}

/// How one piece goes by air with that field at 2.1 m and at 4.5 m, T.
fn carriage(near: f64, far: f64) -> Carriage {
    let declared = rules().rule.iter().find(|rule| rule.beyond == Carriage::Declared);
    if far > NEVER_FLIES {
        Carriage::Never
    } else if declared.is_some_and(|rule| near > rule.most) {
        Carriage::Declared
    } else if near > FLIGHT_LIMIT {
        Carriage::Ask
    } else {
        Carriage::Free
    }
}

/// The size by which the unit of a column is chosen.
fn typical(kind: Kind) -> f64 {
    match kind {
        Kind::FluxDensity => FluxDensity(0.1).si(),
        Kind::Force => Force(10.0).si(),
        Kind::Mass => Mass(0.01).si(),
        Kind::Length => Length(0.01).si(),
        _ => 0.0,
    }
}
