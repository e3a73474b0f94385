//! How each thing is found.

use magnetics::inside::Facing;
use materials::coating::{Coating, Surroundings};
use materials::grade::{Family, GradeRow};
use quantity::{Length, STANDARD_GRAVITY};

use super::finding::{Carriage, Finding, GradeWorth, Onto, Place, Toy};
use super::handling::handling;
use super::reach::reach;
use super::setting::Setting;
use crate::answer::Hazards;
use crate::catalogue::Catalogue;
use crate::enquiry::About;
use crate::exposure::Exposure;
use crate::given::{Given, same_size};
use crate::hazards::{self, CARD_LEVEL, FLUX_INDEX_LIMIT, IMPLANT_LEVEL, NEAR_PARCEL, NEVER_FLIES, Placement};
use crate::heat;
use crate::item::Item;
use crate::predict::{FRICTION, InUse, NotComputable, Prediction, Task};
use crate::question::{Direction, SteelPart};
use crate::rules::FLIGHT_LIMIT;
use crate::rules::kind_of;
use materials::grade::REFERENCE_CELSIUS;

/// Sheet on which a pull is told where no steel is named, m: filing cabinets, doors and cases; common practice, no source.
pub const SHEET: f64 = 1e-3;
/// Distances at which a field is told where none is named, m.
pub const USUAL_DISTANCES: [f64; 3] = [5e-3, 10e-3, 20e-3];
/// Flux densities whose distance is told where none is named, T: usual switches, cards, implants.
pub const USUAL_LEVELS: [f64; 3] = [5e-3, CARD_LEVEL, IMPLANT_LEVEL];
/// Friction of a plated magnet on a smooth table: that on a smooth painted wall.
pub const FRICTION_ON_TABLE: f64 = FRICTION[1];
/// Grades of neodymium beside which a value is judged.
const LADDER_OF_GRADES: [&str; 5] = ["N35", "N42", "N45", "N48", "N52"];
/// Items that are offered in place of one that the shelf does not have.
const NEAREST: usize = 3;

/// A given magnet in its setting, ready to be asked.
pub(super) struct Subject<'a> {
    given: &'a Given,
    setting: &'a Setting,
    shelf: &'a [Item],
    catalogue: &'a Catalogue,
    grade: &'a GradeRow,
    coating: &'a Coating,
    exposure: Exposure,
}

impl<'a> Subject<'a> {
    /// `None` where its grade or coating is not known, or the coating leaves no magnet.
    pub(super) fn new(
        given: &'a Given,
        setting: &'a Setting,
        shelf: &'a [Item],
        catalogue: &'a Catalogue,
    ) -> Option<Self> {
        let grade = catalogue.grade_of(&given.item)?;
        let coating = catalogue.coatings.get(&given.item.coating)?;
        let exposure = setting.exposure();
        let fresh = Prediction::new(&given.item, grade, coating, Task::face(), exposure.warmest);
        fresh.undiminished(given.build.pieces).stack().ok()?;
        Some(Self {
            given,
            setting,
            shelf,
            catalogue,
            grade,
            coating,
            exposure,
        })
    }

    /// It at the warmest, before it has lost anything.
    pub(super) fn fresh(&self) -> Prediction<'a> {
        Prediction::new(
            &self.given.item,
            self.grade,
            self.coating,
            Task::face(),
            self.exposure.warmest,
        )
        .of_lot(self.catalogue.read_pieces(&self.given.item))
    }

    /// It where it is strongest: at the coldest, and before heat has taken anything.
    pub(super) fn strongest(&self) -> InUse<'a> {
        let coldest = Prediction {
            celsius: self.exposure.coldest,
            ..self.fresh()
        };
        coldest.undiminished(self.pieces())
    }

    /// It in its use.
    pub(super) fn at(&self, task: Task) -> InUse<'a> {
        let fresh = Prediction::new(&self.given.item, self.grade, self.coating, task, self.exposure.warmest)
            .of_lot(self.catalogue.read_pieces(&self.given.item));
        // Without a curve nothing is known of what it loses, which a caution says.
        let in_use = fresh.in_use(self.pieces(), &self.exposure);
        in_use.unwrap_or_else(|_| fresh.undiminished(self.pieces()))
    }

    pub(super) fn pieces(&self) -> u32 {
        self.given.build.pieces
    }

    fn builds(&self) -> u32 {
        self.setting.pieces()
    }

    pub(super) fn is_pair(&self) -> bool {
        self.given.build.pair || self.setting.opposed
    }

    /// What one thing that is asked finds.
    ///
    /// # Errors
    /// [`NotComputable`] where a value of it is.
    pub(super) fn find(&self, about: About) -> Result<Vec<Finding>, NotComputable> {
        Ok(match about {
            About::Pull if self.is_pair() => self.pair_forces()?,
            About::Pull => self.pulls()?,
            About::Field => self.fields()?,
            About::FaceField => self.face_fields()?,
            About::DistanceForField => self.reaches()?,
            About::Heat => self.heat(),
            About::Weight => vec![self.weight()],
            About::Fly => vec![self.parcel()?],
            About::Toy => vec![self.toy()?],
            About::SteelMm => self.steel_thickness()?.into_iter().collect(),
            About::Machine => handling(self.grade.family),
            About::Price => self.price(),
            About::Corrosion => self.coatings(),
            About::KeepAway => self.keep_away()?.to_vec(),
            // Of two magnets that meet, how they meet each other is asked.
            About::Jump => {
                let mut onto = [Onto::Steel, Onto::Magnet];
                if self.is_pair() {
                    onto.reverse();
                }
                onto.map(|onto| self.jump(onto)).to_vec()
            }
            About::Moment => vec![self.moment()?],
            About::Danger => self.dangers()?,
            About::Value => vec![Finding::Grades(self.grades())],
            About::Card => self.card()?,
        })
    }

    fn pull(&self, place: Place, task: Task) -> Result<Finding, NotComputable> {
        let in_use = self.at(task);
        Ok(Finding::Pull {
            band: in_use.band()?,
            share: in_use.steel(),
            place,
        })
    }

    fn pulls(&self) -> Result<Vec<Finding>, NotComputable> {
        if self.setting.on_steel {
            return self.pulls_as_said();
        }
        let thick = Task::thick_steel([0.0; 3]);
        let sheet = thick.on_plate(Some(SHEET));
        let place = |thickness: Option<f64>, sliding: bool| Place {
            steel: SteelPart {
                thickness: thickness.map(Length),
                ..SteelPart::default()
            },
            layers: Vec::new(),
            sliding,
        };
        Ok(vec![
            self.pull(place(None, false), thick)?,
            self.pull(place(Some(SHEET), false), sheet)?,
            self.pull(place(Some(SHEET), true), sheet.sliding(FRICTION))?,
        ])
    }

    /// The pull in the customer's place, and without what lies between.
    fn pulls_as_said(&self) -> Result<Vec<Finding>, NotComputable> {
        let task = self.setting.plate(self.catalogue);
        let place = Place {
            steel: self.setting.steel(),
            layers: self.setting.layers().to_vec(),
            sliding: self.setting.direction() == Direction::Sideways,
        };
        let mut out = vec![self.pull(place.clone(), task)?];
        if !place.layers.is_empty() {
            let bare = Place {
                layers: Vec::new(),
                ..place
            };
            out.push(self.pull(bare, task.at_distance(0.0))?);
        }
        Ok(out)
    }

    fn pair_force(&self, gap: f64) -> Result<Finding, NotComputable> {
        let opposed = self.setting.opposed;
        Ok(Finding::PairForce {
            gap,
            opposed,
            band: self.at(Task::Pair { gap, opposed }).band()?,
        })
    }

    fn pair_forces(&self) -> Result<Vec<Finding>, NotComputable> {
        let gap = self.setting.gap.filter(|gap| *gap > 0.0);
        gap.into_iter().chain([0.0]).map(|gap| self.pair_force(gap)).collect()
    }

    fn fields(&self) -> Result<Vec<Finding>, NotComputable> {
        let off_axis = self.setting.off_axis;
        let field = |distance: f64| {
            Ok(Finding::Field {
                distance,
                off_axis,
                band: self.at(Task::spot(distance, off_axis)).band()?,
            })
        };
        match self.setting.distance.or(self.setting.gap) {
            Some(distance) => Ok(vec![field(distance)?]),
            None => USUAL_DISTANCES.into_iter().map(field).collect(),
        }
    }

    fn face_fields(&self) -> Result<Vec<Finding>, NotComputable> {
        let (depth, reading) = match self.setting.probe_depth {
            Some(depth) => (depth, Task::read_at_face(depth, self.catalogue)),
            None => {
                let usual = self.catalogue.usual_probe();
                (usual.depth.si(), Task::read_by(&usual))
            }
        };
        let field = |(probe_depth, task)| {
            Ok(Finding::FaceField {
                probe_depth,
                band: self.at(task).band()?,
            })
        };
        [(None, Task::face()), (Some(depth), reading)]
            .into_iter()
            .map(field)
            .collect()
    }

    fn reaches(&self) -> Result<Vec<Finding>, NotComputable> {
        let in_use = self.at(Task::face());
        let [low, mid, high] = [self.grade.br_min, self.grade.br_typical, self.grade.br_max];
        let field = |br: f64| Ok::<_, NotComputable>(in_use.stack_of_remanence(br)?.field()?);
        let fields = [field(low)?, field(mid)?, field(high)?];
        let reach = |level: f64| Finding::Reach {
            level,
            distance: [0, 1, 2].map(|k: usize| reach(&fields[k], level)),
        };
        Ok(match self.setting.level {
            Some(level) => vec![reach(level)],
            None => USUAL_LEVELS.map(reach).to_vec(),
        })
    }

    fn stands(&self) -> Finding {
        Finding::Stands {
            celsius: heat::stands(&self.fresh(), self.pieces(), Facing::Nothing),
            rated: self.grade.max_service_celsius.min(self.coating.max_celsius),
            coldest: self.grade.min_service_celsius,
        }
    }

    fn heated(&self, celsius: f64) -> Finding {
        let exposure = Exposure {
            warmest: celsius.max(REFERENCE_CELSIUS),
            coldest: celsius.min(REFERENCE_CELSIUS),
            facing: self.exposure.facing,
        };
        let wear = heat::wear(&self.fresh(), self.pieces(), &exposure);
        Finding::Heated {
            celsius,
            keeps: self.grade.br_at(1.0, celsius).unwrap_or(0.0),
            loss: wear.ok().map(|wear| wear.loss),
        }
    }

    fn heat(&self) -> Vec<Finding> {
        let conditions = self.setting.conditions();
        let said: Vec<f64> = [conditions.warmest, conditions.coldest]
            .into_iter()
            .flatten()
            .map(|t| t.celsius())
            .collect();
        let stands = self.stands();
        let shown = match (&stands, said.is_empty()) {
            (Finding::Stands { celsius, .. }, true) => vec![*celsius],
            _ => said,
        };
        shown
            .into_iter()
            .map(|celsius| self.heated(celsius))
            .chain([stands])
            .collect()
    }

    fn mass(&self) -> f64 {
        hazards::mass_of(&self.given.item, self.grade) * self.given.build.total_pieces() as f64
    }

    fn weight(&self) -> Finding {
        Finding::Weight {
            each: self.mass(),
            builds: self.builds(),
        }
    }

    fn parcel(&self) -> Result<Finding, NotComputable> {
        let one = hazards::parcel(&self.strongest(), self.given.build)?;
        let most = (FLIGHT_LIMIT / one.high).floor().clamp(0.0, f64::from(u32::MAX)) as u32;
        let near = one.scaled(f64::from(self.builds()));
        let far = hazards::at_far_parcel(near.high);
        Ok(Finding::Parcel {
            far,
            builds: self.builds(),
            carriage: if far > NEVER_FLIES {
                Carriage::Never
            } else if near.high > FLIGHT_LIMIT {
                Carriage::Ask
            } else {
                Carriage::Free
            },
            near,
            most,
        })
    }

    fn toy(&self) -> Result<Finding, NotComputable> {
        let hazards = self.hazards()?;
        Ok(Finding::Toy {
            flux_index: hazards.small_part.then_some(hazards.flux_index),
            verdict: match (hazards.small_part, hazards.flux_index >= FLUX_INDEX_LIMIT) {
                (true, true) => Toy::Excluded,
                (true, false) => Toy::SmallPart,
                (false, _) => Toy::LargePart,
            },
        })
    }

    fn steel_thickness(&self) -> Result<Option<Finding>, NotComputable> {
        let task = if self.setting.on_steel {
            self.setting.plate(self.catalogue)
        } else {
            Task::thick_steel([0.0; 3])
        };
        let Some(share) = self.at(task.on_plate(None)).steel() else {
            return Ok(None);
        };
        Ok(Some(Finding::SteelThickness {
            enough: share.enough,
            pull: self.at(task.on_plate(Some(share.enough))).value()?,
        }))
    }

    fn price(&self) -> Vec<Finding> {
        let item = &self.given.item;
        let wanted = self.given.build.total_pieces() * u64::from(self.builds());
        if !self.given.stocked {
            return self.nearest(wanted);
        }
        let bought = wanted.max(item.least_order());
        let each = item.price_each(bought);
        vec![Finding::Price {
            code: item.code.clone(),
            bought,
            each,
            total: each.and_then(|each| each.times(bought).ok()),
            stock: item.stock,
        }]
    }

    /// The items of the shelf that are most like it.
    fn nearest(&self, wanted: u64) -> Vec<Finding> {
        let shape = &self.given.item.shape;
        let away = |item: &Item| {
            let sizes = [
                (item.shape.widest(), shape.widest()),
                (item.shape.height(), shape.height()),
                (item.shape.volume().cbrt(), shape.volume().cbrt()),
            ];
            let size: f64 = sizes.iter().map(|(a, b)| (a / b).ln().abs()).sum();
            let other = self
                .catalogue
                .grade_of(item)
                .is_none_or(|g| g.family != self.grade.family);
            let unlike = |differs: bool, away: f64| if differs { away } else { 0.0 };
            // Its own shape before every other.
            size + unlike(item.grade != self.grade.name, 0.05)
                + unlike(other, 1.0)
                + unlike(kind_of(&item.shape) != kind_of(shape), 100.0)
        };
        let mut like: Vec<(f64, &Item)> = self.shelf.iter().map(|item| (away(item), item)).collect();
        like.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.code.cmp(&b.1.code)));
        like.into_iter()
            .take(NEAREST)
            .map(|(_, item)| Finding::Nearest {
                code: item.code.clone(),
                each: item.price_each(wanted.max(item.least_order())),
                item: Box::new(item.clone()),
            })
            .collect()
    }

    fn coatings(&self) -> Vec<Finding> {
        let asked = self.setting.conditions().surroundings;
        let all = [
            Surroundings::Dry,
            Surroundings::Damp,
            Surroundings::Outdoors,
            Surroundings::Food,
        ];
        all.into_iter()
            .filter(|place| asked.is_none_or(|asked| asked == *place))
            .map(|surroundings| {
                let suits = self.coating.suitability(surroundings);
                Finding::Coating {
                    surroundings,
                    rating: suits.rating,
                    reason: suits.reason.clone(),
                }
            })
            .collect()
    }

    fn hazards(&self) -> Result<Hazards, NotComputable> {
        hazards::of_build(&self.strongest(), self.given.build, 1, Placement::default())
    }

    fn keep_away(&self) -> Result<[Finding; 2], NotComputable> {
        let hazards = self.hazards()?;
        let levels = [
            (true, IMPLANT_LEVEL, hazards.implant_distance),
            (false, CARD_LEVEL, hazards.card_distance),
        ];
        Ok(levels.map(|(implants, level, distance)| Finding::KeepAway {
            implants,
            level,
            distance,
        }))
    }

    fn jump(&self, onto: Onto) -> Finding {
        let task = match onto {
            Onto::Steel => Task::thick_steel([0.0; 3]),
            Onto::Magnet => Task::pair(0.0),
        };
        let in_use = self.at(task);
        // No force where there is none to be computed.
        let force = |gap: f64| in_use.at_distance(gap).value().unwrap_or(0.0);
        let weight = hazards::mass_of(&self.given.item, self.grade) * f64::from(self.pieces()) * STANDARD_GRAVITY;
        Finding::Jump {
            onto,
            lifts: farthest(force, weight),
            slides: farthest(force, weight * FRICTION_ON_TABLE),
        }
    }

    fn moment(&self) -> Result<Finding, NotComputable> {
        let dipole = self.at(Task::Dipole { distance: NEAR_PARCEL });
        let one = crate::predict::dipole_field(1.0, NEAR_PARCEL);
        Ok(Finding::Moment {
            band: dipole.band()?.scaled(1.0 / one),
        })
    }

    fn contact(&self, onto: Onto) -> Result<Finding, NotComputable> {
        let task = match onto {
            Onto::Steel => Task::thick_steel([0.0; 3]),
            Onto::Magnet => Task::pair(0.0),
        };
        Ok(Finding::Contact {
            onto,
            band: self.strongest().for_task(task).band()?,
        })
    }

    fn dangers(&self) -> Result<Vec<Finding>, NotComputable> {
        let contacts = [self.contact(Onto::Magnet)?, self.contact(Onto::Steel)?];
        Ok(contacts
            .into_iter()
            .chain(self.keep_away()?)
            .chain([self.toy()?])
            .collect())
    }

    /// The same size in the grades of the shelf, and in the usual ones of neodymium.
    pub(super) fn grades(&self) -> Vec<GradeWorth> {
        let item = &self.given.item;
        let on_shelf: Vec<&Item> = self.shelf.iter().filter(|i| same_size(&i.shape, &item.shape)).collect();
        let mut names: Vec<&str> = vec![&self.grade.name];
        let usual = LADDER_OF_GRADES
            .iter()
            .copied()
            .filter(|_| self.grade.family == Family::NdFeB);
        for name in on_shelf.iter().map(|i| i.grade.as_str()).chain(usual) {
            let known = self.catalogue.grades.get(name).map(|row| row.name.as_str());
            if let Some(name) = known.filter(|name| !names.contains(name)) {
                names.push(name);
            }
        }
        let wanted = self.given.build.total_pieces() * u64::from(self.builds());
        let price = |item: &Item| item.price_each(wanted.max(item.least_order()));
        let worth = |name: &str| {
            let own = name == self.grade.name;
            let stocked = if own && self.given.stocked {
                Some(item)
            } else {
                on_shelf
                    .iter()
                    .copied()
                    .filter(|i| i.grade == name)
                    .min_by_key(|i| price(i))
            };
            let of_grade = Item {
                grade: name.into(),
                code: String::new(),
                ..item.clone()
            };
            let grade = self.catalogue.grades.get(name)?;
            let thick = Task::thick_steel([0.0; 3]);
            let fresh = Prediction::new(&of_grade, grade, self.coating, thick, self.exposure.warmest);
            Some(GradeWorth {
                grade: name.into(),
                code: stocked.map(|i| i.code.clone()),
                pull: fresh
                    .in_use(self.pieces(), &self.exposure)
                    .unwrap_or_else(|_| fresh.undiminished(self.pieces()))
                    .value()
                    .ok()?,
                stands: heat::stands(&fresh, self.pieces(), Facing::Nothing),
                each: stocked.and_then(price),
                own,
            })
        };
        let mut out: Vec<GradeWorth> = names.into_iter().filter_map(worth).collect();
        out.sort_by(|a, b| a.pull.total_cmp(&b.pull));
        out
    }

    fn card(&self) -> Result<Vec<Finding>, NotComputable> {
        let mut out = if self.is_pair() {
            self.pair_forces()?
        } else {
            self.pulls()?
        };
        out.extend(self.face_fields()?);
        out.push(self.weight());
        out.push(self.stands());
        out.extend(self.price());
        out.extend(self.keep_away()?);
        Ok(out)
    }
}

/// The greatest gap at which a falling force still reaches `least`, m; 0 where it never does.
pub(crate) fn farthest(force: impl Fn(f64) -> f64, least: f64) -> f64 {
    if force(0.0) < least {
        return 0.0;
    }
    // Beyond two metres nothing on a shelf moves its own weight.
    let (mut low, mut high) = (0.0, 2.0);
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        if force(middle) >= least {
            low = middle
        } else {
            high = middle
        }
    }
    low
}
