//! What can be found of a magnet, as data in SI.

use materials::coating::{Rating, Surroundings};
use quantity::Money;
use uncertainty::Band;

use crate::predict::SteelShare;
use crate::question::{Layer, SteelPart};

/// Where a pull is found.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// The steel.
    pub steel: SteelPart,
    /// What lies between.
    pub layers: Vec<Layer>,
    /// Whether it is the load along the steel at which the magnet slides.
    pub sliding: bool,
}

/// What a magnet jumps to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Onto {
    /// Thick mild steel.
    Steel,
    /// A magnet of its own kind.
    Magnet,
}

/// How an order may travel by air.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Carriage {
    /// Unrestricted by the magnetic field.
    Free,
    /// To be asked of the carrier.
    Ask,
    /// Not as it is.
    Never,
}

/// What the published rule for toys says of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Toy {
    /// A small part with too strong a field: not as a loose part.
    Excluded,
    /// A small part below the limit of the field.
    SmallPart,
    /// No small part.
    LargePart,
}

/// A grade beside the one given, in the same size.
#[derive(Clone, Debug, PartialEq)]
pub struct GradeWorth {
    /// Its name.
    pub grade: String,
    /// The item's code, where the shelf has it.
    pub code: Option<String>,
    /// Pull on thick mild steel, N, at the middle.
    pub pull: f64,
    /// The warmest that it stands by itself, °C.
    pub stands: f64,
    /// Price of a piece at the quantity asked.
    pub each: Option<Money>,
    /// Whether it is the one given.
    pub own: bool,
}

/// Something found of a magnet.
#[derive(Clone, Debug, PartialEq)]
pub enum Finding {
    /// What it holds on steel, N.
    Pull {
        /// Where.
        place: Place,
        /// How much.
        band: Band,
        /// What the steel does to it.
        share: Option<SteelShare>,
    },
    /// Attraction or repulsion of two such builds, N.
    PairForce {
        /// Between the faces, m.
        gap: f64,
        /// Whether like poles face.
        opposed: bool,
        /// How much.
        band: Band,
    },
    /// Its field, T.
    Field {
        /// From the face, m.
        distance: f64,
        /// From the axis, m.
        off_axis: f64,
        /// How much.
        band: Band,
    },
    /// The field at its face, T.
    FaceField {
        /// How deep the element of a probe lies, m; `None` is the true face.
        probe_depth: Option<f64>,
        /// How much.
        band: Band,
    },
    /// How far from the face a flux density is met on its axis, m.
    Reach {
        /// The flux density, T.
        level: f64,
        /// With the least, the usual and the largest remanence of the grade.
        distance: [f64; 3],
    },
    /// What it stands by itself, °C.
    Stands {
        /// By its shape and grade.
        celsius: f64,
        /// What grade and coating are rated for.
        rated: f64,
        /// The coldest that the grade is rated for.
        coldest: f64,
    },
    /// What a temperature does to it.
    Heated {
        /// °C.
        celsius: f64,
        /// Remanence there over that at 20 °C; it comes back.
        keeps: f64,
        /// Share that is lost permanently; `None` where its grade has no curve.
        loss: Option<f64>,
    },
    /// Mass of the build, kg.
    Weight {
        /// Of one build.
        each: f64,
        /// How many.
        builds: u32,
    },
    /// How an order travels by air.
    Parcel {
        /// Flux density of the order at 2.1 m, T.
        near: Band,
        /// The same at 4.5 m, at the high end, T.
        far: f64,
        /// How many builds.
        builds: u32,
        /// What the rules make of it.
        carriage: Carriage,
        /// The most builds that fly unrestricted with all poles the same way; 0 where not one does.
        most: u32,
    },
    /// What the rule for toys says.
    Toy {
        /// Flux index of one piece where it is a small part, T² m².
        flux_index: Option<f64>,
        /// What the rule says.
        verdict: Toy,
    },
    /// How thick steel must be for its pull.
    SteelThickness {
        /// For 95 % of the pull on thick steel, m.
        enough: f64,
        /// Pull on steel of that thickness, N.
        pull: f64,
    },
    /// What may be done to it in a workshop.
    Handling {
        /// Which work: `drill`, `glue` and the like.
        work: String,
        /// What it comes to, after the name of the magnet.
        lead: Option<String>,
        /// What to know.
        text: String,
        /// Where that is from.
        rule: String,
    },
    /// Its price on the shelf.
    Price {
        /// The shop's code.
        code: String,
        /// Pieces bought.
        bought: u64,
        /// One piece.
        each: Option<Money>,
        /// All.
        total: Option<Money>,
        /// Pieces on hand.
        stock: Option<u64>,
    },
    /// The nearest that the shelf has, where it does not have it.
    Nearest {
        /// The shop's code.
        code: String,
        /// What it is.
        item: Box<crate::item::Item>,
        /// One piece at the quantity asked.
        each: Option<Money>,
    },
    /// How its coating serves.
    Coating {
        /// Where.
        surroundings: Surroundings,
        /// How well.
        rating: Rating,
        /// Why.
        reason: String,
    },
    /// How far something must stay away, m, at the unfavourable end.
    KeepAway {
        /// Whether it is implants, and else cards and watches.
        implants: bool,
        /// The flux density that they stand, T.
        level: f64,
        /// How far.
        distance: f64,
    },
    /// From how far it lifts its own weight to something, m.
    Jump {
        /// To what.
        onto: Onto,
        /// Lifted straight up.
        lifts: f64,
        /// Sliding along a smooth table.
        slides: f64,
    },
    /// Its magnetic moment, A m².
    Moment {
        /// How much.
        band: Band,
    },
    /// With how much it meets something, N.
    Contact {
        /// What.
        onto: Onto,
        /// How much.
        band: Band,
    },
    /// The same size in other grades.
    Grades(Vec<GradeWorth>),
}
