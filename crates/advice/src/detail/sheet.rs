//! All that is known and found of one item by itself.

use magnetics::inside::Facing;
use materials::coating::Coating;
use materials::grade::{GradeRow, REFERENCE_CELSIUS};
use uncertainty::Band;

use super::curve::{self, curve};
use super::{heat, section};
use crate::answer::{CrossSection, Curve, Hazards, Heat, PlateCurve, Stack, Warning};
use crate::catalogue::Catalogue;
use crate::exposure::Exposure;
use crate::hazards::{self, Placement};
use crate::heat as heating;
use crate::item::Item;
use crate::known::Known;
use crate::predict::{Prediction, Task};
use crate::question::Conditions;
use crate::{reasons, warnings};

/// Its curves end at these multiples of its largest size: field, and pull.
const FARTHEST: [f64; 2] = [2.0, 0.6];

/// An item as it is in the conditions given.
#[derive(Clone, Debug)]
pub struct Sheet<'a> {
    /// The item.
    pub item: &'a Item,
    /// Its grade.
    pub grade: &'a GradeRow,
    /// Its coating.
    pub coating: &'a Coating,
    /// By what it is reckoned in place of its grade.
    pub known: Option<Known>,
    /// What it must stand.
    pub conditions: &'a Conditions,
    /// The warmest of it, °C.
    pub warmest: f64,
    /// Flux density at its face, T, or over the metal of a ring.
    pub face: Band,
    /// Pull on thick steel, N.
    pub pull: Band,
    /// The temperature at which its shape would lose strength permanently, K; `None` where its curve is bent.
    pub limit: Option<Band>,
    /// What it stands by itself, no more than grade and coating are rated for, °C.
    pub stands: f64,
    /// Its mean demagnetising factor.
    pub factor: f64,
    /// The part that the plating takes of face field and pull; `None` where it has none.
    pub plating_takes: Option<[f64; 2]>,
    /// Mass of one piece, kg.
    pub mass: f64,
    /// Field on the axis against the distance.
    pub field_curve: Option<Curve>,
    /// Pull on thick mild steel against the gap.
    pub pull_curve: Option<Curve>,
    /// Pull against the thickness of the steel.
    pub plate: Option<PlateCurve>,
    /// Its section with lines of flux.
    pub section: Option<CrossSection>,
    /// What heat and its own field do to it; `None` where its grade has no curve.
    pub heat: Option<Heat>,
    /// Figures behind the cautions.
    pub hazards: Hazards,
    /// What to mind of it in these conditions.
    pub warnings: Vec<Warning>,
}

/// Flux density at the face of one piece at room temperature, T; `None` where its grade or coating is not known.
pub fn at_face(item: &Item, catalogue: &Catalogue) -> Option<f64> {
    let (grade, coating) = (catalogue.grade_of(item)?, catalogue.coatings.get(&item.coating)?);
    let room =
        Prediction::new(item, grade, coating, Task::face(), REFERENCE_CELSIUS).of_lot(catalogue.read_pieces(item));
    room.undiminished(1).value().ok()
}

/// All that is known of an item in the conditions given; `None` where its grade or coating is not known.
pub fn sheet<'a>(item: &'a Item, catalogue: &'a Catalogue, conditions: &'a Conditions) -> Option<Sheet<'a>> {
    let (grade, coating) = (catalogue.grade_of(item)?, catalogue.coatings.get(&item.coating)?);
    let room =
        Prediction::new(item, grade, coating, Task::face(), REFERENCE_CELSIUS).of_lot(catalogue.read_pieces(item));
    let exposure = Exposure::alone(conditions);
    let fresh = Prediction {
        celsius: exposure.warmest,
        ..room
    };
    // Without a curve nothing is known of what it loses, which a caution says.
    let in_use = fresh.in_use(1, &exposure).unwrap_or(fresh.undiminished(1));
    let delivered = room.undiminished(1);
    let thick = Task::thick_steel([0.0; 3]);
    let on_steel = in_use.for_task(thick);
    let reach = item.shape.widest().max(item.shape.height());
    let [field_end, pull_end] = FARTHEST.map(|times| times * reach);
    let takes = |p: &Prediction| reasons::plating_takes(p, 1);
    let build = Stack { pieces: 1, pair: false };
    Some(Sheet {
        item,
        grade,
        coating,
        known: catalogue.known_of(item),
        conditions,
        warmest: exposure.warmest,
        face: in_use.band().ok()?,
        pull: on_steel.band().ok()?,
        limit: heating::limit_band(&room, 1, Facing::Nothing),
        stands: heating::stands(&room, 1, Facing::Nothing),
        factor: delivered.stack().ok()?.demagnetising_factor(),
        plating_takes: takes(&room)
            .zip(takes(&Prediction { task: thick, ..room }))
            .map(<[f64; 2]>::from),
        mass: hazards::mass_of(item, grade),
        field_curve: curve(&in_use.for_task(Task::spot(0.0, 0.0)), field_end),
        pull_curve: curve(&on_steel, pull_end),
        plate: curve::plate(&on_steel),
        section: section::alone(&delivered),
        heat: heat(&fresh, 1, &exposure),
        hazards: hazards::of_build(&delivered, build, 1, Placement::default()).ok()?,
        warnings: warnings::warnings(&fresh, 1, conditions),
    })
}
