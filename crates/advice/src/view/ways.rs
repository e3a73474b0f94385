//! What nearly does and what would do, in words.

use quantity::{FluxDensity, Mass};

use crate::answer::{CeilingLaw, NearMiss, Predicted, RuledOut, Shortfall, WouldDo};
use crate::limits::{Has, Limit};
use crate::question::Surroundings;
use crate::view::text::{Runs, count, percent, plain, runs, shape_word, small_number};
use crate::view::wording::Wording;

impl Wording<'_> {
    /// A near miss in words, after its title.
    pub fn near_miss(&self, miss: &NearMiss) -> Runs {
        let value = self.value(miss.value);
        let but = |why: String| format!("gives {value}, but {why}");
        runs(&match &miss.ruled_out_by {
            RuledOut::Limit { limit, has } => but(self.missed(miss, limit, has)),
            RuledOut::TooWeak { reaches } => format!("gives {value}: **{}** short", percent(1.0 - reaches)),
            RuledOut::TooMuchFar { has } => {
                but(format!("leaves {} further away", self.reader.text::<FluxDensity>(*has)))
            }
            RuledOut::Overhangs { has } => format!(
                "is {} wide and stands over the plate of {}: what it holds there is not reckoned",
                self.length(*has),
                self.length(self.question.need.plate_across().unwrap_or(*has))
            ),
            RuledOut::PastKnee { loss, celsius } => but(format!(
                "would lose **{}** of its strength permanently at {}: the field inside so flat a piece passes its knee",
                percent(*loss),
                self.reader.celsius(*celsius)
            )),
            RuledOut::NotComputable => "has sizes that make no magnet".into(),
        })
    }

    /// The text of a limit that was missed, with its figures.
    fn missed(&self, miss: &NearMiss, limit: &Limit, has: &Has) -> String {
        let terms = self.question.terms();
        let number = |of: Option<f64>| of.unwrap_or_default();
        let asked = (limit.asked)(terms).and_then(|asked| asked.number());
        let over = || self.reader.about((number(has.number()) - number(asked)).abs());
        let figure = match has {
            Has::Nothing => String::new(),
            Has::Length(m) => self.length(*m),
            Has::Mass(kg) => self.reader.text::<Mass>(*kg),
            Has::Celsius(celsius) => self.reader.celsius(*celsius),
            Has::FarField(tesla) => self.reader.microtesla(*tesla),
            Has::Money(money) => self.reader.money(*money),
            Has::Stacked(pieces) => small_number(*pieces),
            Has::Stock { has, .. } => count(*has),
        };
        let needs = match has {
            Has::Stock { needs, .. } => count(*needs),
            _ => String::new(),
        };
        (limit.text)(terms, has)
            .replace("{has}", &figure)
            .replace("{needs}", &needs)
            .replace("{over}", &over())
            .replace("{grade}", &miss.item.grade)
            .replace("{coating}", &miss.item.coating)
            .replace("{place}", terms.conditions.surroundings.map_or("", surroundings_words))
    }

    /// What would do, in words.
    pub fn would_do(&self, way: &WouldDo) -> Runs {
        let judged = |value: f64, enough: bool| {
            let short = 1.0 - value / self.need.at_least;
            if enough {
                format!("about **{}**, enough", self.value(value))
            } else if short <= 0.0 {
                format!("about {}, enough only at its typical value", self.value(value))
            } else {
                format!("about {}, still {} short", self.value(value), percent(short))
            }
        };
        runs(&match way {
            WouldDo::Relax { miss } => format!(
                "**{}** ({}) {}",
                self.reader.title(&miss.item, miss.build.stack),
                miss.item.code,
                plain(&self.near_miss(miss))
            ),
            WouldDo::Share {
                builds,
                item,
                build,
                lost,
            } if build.pieces == 1 => format!(
                "**{} {}**, {} ({}), side by side, a width apart, share the load; where they touch they may lose {}",
                small_number(*builds),
                shape_word(&item.shape, true),
                self.reader.size_and_grade(item),
                item.code,
                percent(*lost)
            ),
            WouldDo::Share {
                builds,
                item,
                build,
                lost,
            } => format!(
                "**{} stacks of {} {}**, {} ({}), side by side, a width apart, share the load; where they touch they may lose {}",
                small_number(*builds),
                small_number(build.pieces),
                shape_word(&item.shape, true),
                self.reader.size_and_grade(item),
                item.code,
                percent(*lost)
            ),
            WouldDo::BothSides { value, enough } if self.need.quantity == Predicted::Force => {
                format!(
                    "a second one on the other side in place of the steel: {}",
                    judged(*value, *enough)
                )
            }
            WouldDo::BothSides { value, enough } => {
                format!("one on each side of the spot, facing: {}", judged(*value, *enough))
            }
            WouldDo::BackSteel { value } => {
                format!(
                    "thick steel behind the magnet works like twice the height: at most about {}",
                    self.value(*value)
                )
            }
            WouldDo::ThickerSteel {
                thickness,
                value,
                enough,
            } => {
                format!(
                    "steel of {} to hold on: {}",
                    self.reader.about(*thickness),
                    judged(*value, *enough)
                )
            }
            WouldDo::OtherGrade { grade, value, enough } => {
                format!("the same size in **{grade}**: {}", judged(*value, *enough))
            }
            WouldDo::Custom {
                diameter,
                thickness,
                grade,
                low,
                breaks_limits,
            } => format!(
                "a disc made to size, **{} × {}, {grade}**: at least {}{}",
                self.length(*diameter),
                self.length(*thickness),
                self.value(*low),
                if *breaks_limits { ", beyond your limits" } else { "" }
            ),
        })
    }

    /// The limit that physics sets, in words.
    pub fn ceiling(&self, shortfall: &Shortfall) -> Option<Runs> {
        let ceiling = shortfall.ceiling.as_ref()?;
        let (value, grade) = (self.value(ceiling.value), &ceiling.grade);
        Some(runs(&match ceiling.law {
            CeilingLaw::HalfRemanence => format!(
                "No magnet with a flat face gives more than **half its remanence** before its middle without steel parts: {value} for {grade}, however long."
            ),
            CeilingLaw::EndlessRod => format!(
                "No magnet of this width gives more than **{value}** there without steel parts: that is an endless rod of {grade}."
            ),
            CeilingLaw::FullFace => format!(
                "No magnet of this width can pull more than **{value}** without steel parts: that is {grade} with its full remanence over a square of it."
            ),
        }))
    }
}

/// A place in words, after "does not last".
pub(super) fn surroundings_words(surroundings: Surroundings) -> &'static str {
    match surroundings {
        Surroundings::Dry => "indoors",
        Surroundings::Damp => "in the damp",
        Surroundings::Outdoors => "outdoors",
        Surroundings::Food => "next to food",
    }
}
