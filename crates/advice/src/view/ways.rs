//! What nearly does and what would do, in words.

use quantity::{FluxDensity, Length, Mass};

use crate::answer::{CeilingLaw, NearMiss, Predicted, RuledOut, Shortfall, WouldDo};
use crate::question::Surroundings;
use crate::view::text::{Runs, count, percent, plain, runs, shape_word, small_number};
use crate::view::wording::Wording;

impl Wording<'_> {
    /// A near miss in words, after its title.
    pub fn near_miss(&self, miss: &NearMiss) -> Runs {
        let value = self.value(miss.value);
        let but = |why: String| format!("gives {value}, but {why}");
        let length = |si: f64| self.length(si);
        let limits = &self.question.limits;
        let over = |has: f64, limit: Option<Length>| self.reader.about((has - limit.map_or(has, |l| l.si())).abs());
        runs(&match &miss.ruled_out_by {
            RuledOut::TooWeak { reaches } => format!("gives {value}: **{}** short", percent(1.0 - reaches)),
            RuledOut::TooMuchFar { has } => {
                but(format!("leaves {} further away", self.reader.text::<FluxDensity>(*has)))
            }
            RuledOut::TooWide { has } => but(format!(
                "is {} wide: {} too wide",
                length(*has),
                over(*has, limits.widest)
            )),
            RuledOut::TooNarrow { has } => but(format!(
                "is {} wide: {} too narrow",
                length(*has),
                over(*has, limits.narrowest)
            )),
            RuledOut::Overhangs { has } => format!(
                "is {} wide and stands over the plate of {}: what it holds there is not reckoned",
                length(*has),
                length(self.question.need.plate_across().unwrap_or(*has))
            ),
            RuledOut::TooTall { has } => but(format!(
                "is {} high: {} too tall",
                length(*has),
                over(*has, limits.tallest)
            )),
            RuledOut::TooShort { has } => but(format!(
                "is {} high: {} too short",
                length(*has),
                over(*has, limits.shortest)
            )),
            RuledOut::WrongShape => but("has another shape".into()),
            RuledOut::HoleTooSmall { has } if *has > 0.0 => but(format!("its hole is only {}", length(*has))),
            RuledOut::HoleTooSmall { .. } => but("has no hole".into()),
            RuledOut::WrongGrade => but(format!("is {}, not the grade asked for", miss.item.grade)),
            RuledOut::WrongCoating => but(format!("has another coating: {}", miss.item.coating)),
            RuledOut::NotCountersunk => but("has no countersunk hole".into()),
            RuledOut::TooHot { stands } => but(format!("stands only {}", self.celsius(*stands))),
            RuledOut::TooCold { stands } => but(format!("loses strength below {}", self.celsius(*stands))),
            RuledOut::PastKnee { loss, celsius } => but(format!(
                "would lose **{}** of its strength permanently at {}: the field inside so flat a piece passes its knee",
                percent(*loss),
                self.celsius(*celsius)
            )),
            RuledOut::Coating { surroundings } => but(format!(
                "{} does not last {}",
                miss.item.coating,
                surroundings_words(*surroundings)
            )),
            RuledOut::StackTooHigh { pieces } => but(format!("only with {} stacked", small_number(*pieces))),
            RuledOut::TooHeavy { has } => but(format!("weighs {}", self.reader.text::<Mass>(*has))),
            RuledOut::OverBudgetEach { has } => but(format!("costs {} each", self.reader.money(*has))),
            RuledOut::OverBudgetTotal { has } => but(format!("costs {} in all", self.reader.money(*has))),
            RuledOut::NoPrice => but("has no price on the shelf".into()),
            RuledOut::NotInStock { has: 0, .. } => but("is out of stock".into()),
            RuledOut::NotInStock { has, needs } => {
                but(format!("only {} of {} are in stock", count(*has), count(*needs)))
            }
            RuledOut::Flight { has } => but(format!(
                "one alone gives {:.2}\u{a0}µT at 2.1 m, too much to fly unrestricted",
                has * 1e6
            )),
            RuledOut::NotComputable => "has sizes that make no magnet".into(),
        })
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
            WouldDo::Share { builds, item, build } if build.pieces == 1 => format!(
                "**{} {}**, {} ({}), side by side, a width apart, share the load; beside each other they may lose a fifth",
                small_number(*builds),
                shape_word(&item.shape, true),
                self.reader.size_and_grade(item),
                item.code
            ),
            WouldDo::Share { builds, item, build } => format!(
                "**{} stacks of {} {}**, {} ({}), side by side, a width apart, share the load; beside each other they may lose a fifth",
                small_number(*builds),
                small_number(build.pieces),
                shape_word(&item.shape, true),
                self.reader.size_and_grade(item),
                item.code
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
