//! An answer in words: the lead sentence, the reasons, the near misses and what would do.

use quantity::{FluxDensity, Force, Length, Mass};
use uncertainty::{Band, Method};

use crate::answer::{Answer, Assumed, Best, Candidate, NeedFigure, Reason, Searched, Shortfall, Verdict};
use crate::question::{Goal, Need, Question};
use crate::taste::SecondChoice;
use crate::view::band::{cause_words, method_words};
use crate::view::known;
use crate::view::part::on_magnet;
use crate::view::row::by_hand;
use crate::view::text::{
    Reader, Runs, build_words, capital, count, percent, runs, shape_word, signed_percent, small_number,
};

/// Puts the parts of one question's answer into words for one reader.
pub struct Wording<'a> {
    /// The question.
    pub question: &'a Question,
    /// What a build must reach.
    pub need: &'a NeedFigure,
    /// For whom.
    pub reader: Reader,
}

impl Wording<'_> {
    pub(super) fn value(&self, si: f64) -> String {
        self.reader.predicted(self.need.quantity, si).text
    }

    pub(super) fn length(&self, si: f64) -> String {
        self.reader.text::<Length>(si)
    }

    /// What a build does: `holds 34 N there`.
    fn does(&self, value: &str) -> String {
        match &self.question.need {
            Need::Hold { .. } => format!("holds **{value}** there"),
            Need::PullTogether { gap, .. } => {
                format!("pull together with **{value}** across {}", self.length(gap.si()))
            }
            Need::PushApart { gap, .. } => format!("push apart with **{value}** across {}", self.length(gap.si())),
            Need::ReachField { distance, off_axis, .. } => {
                let aside = if off_axis.si() > 0.0 {
                    format!(", {} off the axis", self.length(off_axis.si()))
                } else {
                    String::new()
                };
                format!("gives **{value}** at {}{aside}", self.length(distance.si()))
            }
            Need::SwitchSensor { near, .. } => format!("gives **{value}** at {}", self.length(near.si())),
            Need::FaceField {
                probe_depth: Some(depth),
                ..
            } => {
                format!("reads **{value}** with the probe {} deep", self.length(depth.si()))
            }
            Need::FaceField { .. } => format!("has **{value}** at the middle of its face"),
        }
    }

    /// `You need 39.5 N: 2 kg with a factor of 2, its own 15 g included.` for the build that is put first.
    pub fn need_text(&self, assumed: &[Assumed], first: Option<&Candidate>) -> String {
        let mass = first.map_or(0.0, |c| c.mass);
        let need = self.value(self.need.of_mass(mass));
        match &self.question.need {
            Need::Hold {
                load,
                shared_by,
                safety_factor,
                ..
            } => {
                let factor = safety_factor.or_else(|| {
                    assumed.iter().find_map(|a| match a {
                        Assumed::SafetyFactor { factor, .. } => Some(*factor),
                        _ => None,
                    })
                });
                let shared = if *shared_by > 1 {
                    format!(", shared by {}", small_number(*shared_by))
                } else {
                    String::new()
                };
                let factor = factor.map_or_else(String::new, |f| format!(" with a factor of {f}"));
                let own = if self.need.own_part(mass) > 0.0 {
                    format!(", its own {} included", self.reader.text::<Mass>(mass))
                } else {
                    String::new()
                };
                format!(
                    "You need {need}: {}{factor}{shared}{own}.",
                    load.show(&self.reader.units)
                )
            }
            Need::SwitchSensor {
                operate, release, far, ..
            } => {
                let ceiling = self.value(self.need.ceiling.unwrap_or(release.si()));
                format!(
                    "You need {need} to be sure of operating at {}, and no more than {ceiling} at {} to be sure of releasing.",
                    self.value(operate.si()),
                    self.length(far.si())
                )
            }
            Need::ReachField {
                no_more_than: Some(ceiling),
                ..
            } => format!(
                "You need {need}, and no more than {} at {}.",
                self.value(ceiling.field.si()),
                self.length(ceiling.distance.si())
            ),
            _ => format!("You need {need}."),
        }
    }

    /// The answer in a sentence or three.
    pub fn lead(&self, answer: &Answer) -> Runs {
        let need = self.need_text(&answer.assumed, answer.first());
        if answer.searched.items == 0 {
            return runs(&format!("**The shelf is empty**: import a price list first. {need}"));
        }
        let Some(best) = answer.first() else {
            return runs(&format!("{} {need}", self.nothing(answer.shortfall.as_ref())));
        };
        let sentence = self.candidate_sentence(best);
        let cost = self.cost_sentence(best);
        match best.verdict {
            Verdict::Sure => runs(&format!("{sentence} {need} {cost}{}", self.without_part(answer, best))),
            Verdict::Middle => runs(&format!(
                "Nothing on the shelf surely does; {} of pieces of the nearest would: {} {need} {cost}",
                percent(best.chance),
                uncapital(&sentence)
            )),
        }
    }

    /// What there is without steel parts, after a build that has one.
    fn without_part(&self, answer: &Answer, best: &Candidate) -> String {
        if best.build.part.is_none() {
            return String::new();
        }
        match answer.best_bare() {
            Some(bare) => {
                let cost = bare
                    .cost_each
                    .map_or_else(String::new, |each| format!(", {} each", self.reader.money(each)));
                format!(
                    " Without steel parts: {} ({}){cost}.",
                    self.reader.title(&bare.item, bare.build.stack),
                    bare.item.code
                )
            }
            None => " Without steel parts nothing on the shelf surely does.".into(),
        }
    }

    fn nothing(&self, shortfall: Option<&Shortfall>) -> String {
        match shortfall.and_then(|s| s.best.as_ref()) {
            Some(Best {
                item,
                build,
                band,
                reaches,
            }) => format!(
                "**Nothing on the shelf will do.** The strongest within your limits, {} ({}), {}: surely {} of what you need.",
                self.reader.title(item, build.stack),
                item.code,
                self.does(&self.value(band.mid)),
                percent(*reaches)
            ),
            None => "**Nothing on the shelf will do**: no item keeps within your limits.".into(),
        }
    }

    fn candidate_sentence(&self, c: &Candidate) -> String {
        format!(
            "{} of **{}** ({}){} {}; 95\u{a0}% {} {}.",
            capital(&build_words(&c.item.shape, c.build.stack)),
            self.reader.size_and_grade(&c.item),
            c.item.code,
            c.build.part.as_ref().map_or_else(String::new, |part| {
                format!(" **{}** ({})", on_magnet(part, &self.reader.units), part.code)
            }),
            self.does(&self.value(c.band.mid)),
            self.pieces_do(),
            self.range(&c.band),
        )
    }

    /// What stands before a range of values: `of pieces hold`.
    fn pieces_do(&self) -> &'static str {
        match &self.question.need {
            Need::Hold { .. } => "of pieces hold",
            Need::PullTogether { .. } => "of pairs pull",
            Need::PushApart { .. } => "of pairs push",
            Need::ReachField { .. } | Need::SwitchSensor { .. } => "of pieces give",
            Need::FaceField { .. } => "of pieces have",
        }
    }

    /// What the list of candidates is.
    pub fn heading(&self, answer: &Answer) -> String {
        let sure = answer.candidates.iter().any(|c| c.verdict == Verdict::Sure);
        let what = if sure { "Suitable magnets" } else { "What comes nearest" };
        let first = self.question.limits.goal.unwrap_or(Goal::Cheapest).name();
        format!("{what}, {first} first")
    }

    /// `30 to 39 N`.
    pub fn range(&self, band: &Band) -> String {
        self.reader.range(self.need.quantity, band.low, band.high)
    }

    fn cost_sentence(&self, c: &Candidate) -> String {
        match c.cost_each {
            Some(each) => match self.question.need.shared_by() {
                1 => format!(
                    "It costs **{}** each for {}.",
                    self.reader.money(each),
                    count(self.question.pieces.into())
                ),
                shared => format!(
                    "The {} that share the load cost **{}**, {} builds in all.",
                    small_number(shared),
                    self.reader.money(each),
                    count(self.question.builds().into())
                ),
            },
            None => "The shelf lists no price for it.".into(),
        }
    }

    /// A reason in words, after the word "because".
    pub fn because(&self, reason: &Reason) -> Runs {
        runs(&match reason {
            Reason::LayersTake { part } => {
                format!(
                    "the {} between takes **{}** of what it would hold on bare steel",
                    self.layers(),
                    percent(*part)
                )
            }
            Reason::NextBreak { pieces, total } => format!(
                "**{}** pieces cost less in all: {}",
                count(*pieces),
                self.reader.money(total.rounded(self.reader.currency))
            ),
            Reason::OwnWeight { mass, part } => format!(
                "its own {} are **{}** of what must be held",
                self.reader.text::<Mass>(*mass),
                percent(*part)
            ),
            Reason::SteelCarries { enough } => {
                format!(
                    "{} carries its flux: {} already gives 95\u{a0}% of what thick steel gives",
                    self.steel(),
                    self.reader.about(*enough)
                )
            }
            Reason::SteelThin { keeps, enough } => format!(
                "{} is too thin for its flux and leaves **{}** of the pull on thick steel; {} would give 95\u{a0}%",
                self.steel(),
                percent(*keeps),
                self.reader.about(*enough)
            ),
            Reason::SteelSmall { across, keeps } => format!(
                "a plate of {} gives **{}** of what a wide one gives",
                self.length(*across),
                percent(*keeps)
            ),
            Reason::SteelEstimate { error } => format!(
                "its pull on steel is taken from the nearest disc, ring or plate that was solved: up to {} off, counted in the range",
                percent(*error)
            ),
            Reason::Warm {
                celsius,
                keeps,
                clear_up_to,
            } => format!(
                "at {} it has **{}** of its strength, which comes back when it cools; maximum working temperature for this shape {}",
                self.reader.celsius(*celsius),
                percent(*keeps),
                self.reader.up_to_celsius(*clear_up_to)
            ),
            Reason::Certified { lot, br, hcj } => known::certified(lot, *br, *hcj, &self.reader),
            Reason::ByReadings(lot) => known::read(lot, &self.reader),
            Reason::LostForGood { part, celsius } => format!(
                "at {} up to **{}** is lost permanently, if its coercivity is the least of its grade",
                self.reader.celsius(*celsius),
                percent(*part)
            ),
            Reason::OwnField { part } => format!(
                "so flat a piece of this grade loses **{}** to its own field as soon as it stands alone",
                percent(*part)
            ),
            Reason::PlatingTakes { part } => {
                format!(
                    "the plating takes **{}** of what a bare piece of this size would give",
                    percent(*part)
                )
            }
            Reason::Adhesive { usual, most } => format!(
                "its adhesive counts as a layer of {}, at most {}, between magnet and steel; with its bare face on the steel it \
                 holds more",
                self.reader.about(*usual),
                self.reader.about(*most)
            ),
            Reason::FewerWouldNot { pieces, value } => {
                format!("{} alone would give {}", small_number(*pieces), self.value(*value))
            }
            Reason::PlatingInStack { part } => {
                format!(
                    "the plating between the pieces costs {} against one solid piece",
                    percent(part.max(0.0))
                )
            }
            Reason::Friction { coefficient, pull } => format!(
                "only friction holds sideways: **{}** of a straight pull of {}",
                percent(*coefficient),
                self.reader.text::<Force>(*pull)
            ),
            Reason::StaysBelow { high, allowed } => format!(
                "further away it stays below {}, where {} is allowed",
                self.reader.text::<FluxDensity>(*high),
                self.reader.text::<FluxDensity>(*allowed)
            ),
            Reason::ReadOverMetal { radius } => format!(
                "a ring is read over the middle of its metal, {} from the axis; over the hole the field turns about",
                self.reader.about(*radius)
            ),
            Reason::QuantityPrice { saves, pieces } => {
                format!(
                    "at {} pieces the price is {} below that of the least order",
                    count(*pieces),
                    percent(*saves)
                )
            }
        })
    }

    fn layers(&self) -> String {
        match &self.question.need {
            Need::Hold { layers, .. } if !layers.is_empty() => {
                let names: Vec<&str> = layers.iter().map(|l| l.material.as_str()).collect();
                names.join(" and ")
            }
            _ => "layer".into(),
        }
    }

    fn steel(&self) -> String {
        match &self.question.need {
            Need::Hold { steel, .. } => match steel.thickness {
                Some(t) => format!("{} of {}", self.length(t.si()), steel.material),
                None => steel.material.clone(),
            },
            _ => "the steel".into(),
        }
    }

    /// `the grade (±5 %), the gap (±4 %)`, and how that was found where it was not the usual way.
    pub fn widens(&self, band: &Band) -> Runs {
        let parts: Vec<String> = band
            .shares
            .iter()
            .filter(|s| s.share >= 0.02)
            .map(|s| {
                format!(
                    "{} (±{})",
                    cause_words(s.cause),
                    percent(s.half_width / band.mid.abs().max(f64::MIN_POSITIVE))
                )
            })
            .collect();
        if parts.is_empty() {
            runs("nothing to speak of")
        } else {
            let found = match band.method {
                Method::FirstOrder => String::new(),
                other => format!("; {}", method_words(other)),
            };
            runs(&(parts.join(", ") + &found))
        }
    }

    /// Why a candidate stands where it stands, in a few words.
    pub fn remark(&self, answer: &Answer, c: &Candidate) -> String {
        let first_sure = answer.first().filter(|first| first.verdict == Verdict::Sure);
        let mut parts: Vec<String> = Vec::new();
        if c.verdict == Verdict::Middle {
            let cheaper = first_sure.is_some_and(|sure| c.cost_total.is_some() && c.cost_total < sure.cost_total);
            let lead = if cheaper { "cheaper, but it meets" } else { "meets" };
            parts.push(format!(
                "{lead} the need only at its typical value: {} of pieces would do",
                percent(c.chance)
            ));
            return parts.concat();
        }
        let second = c.second_choice(self.question);
        parts.extend(second.map(|second| match second {
            SecondChoice::Shape(_) => format!("a {} holds at one point only", shape_word(&c.item.shape, false)),
            SecondChoice::Stack(pieces) => format!("a stack of {}", small_number(pieces)),
            SecondChoice::OutOfStock => "not enough in stock".into(),
            SecondChoice::Heavy => "heavy for what it holds".into(),
        }));
        let among = || answer.candidates.iter().filter(|c| c.verdict == Verdict::Sure);
        if first_sure.is_some_and(|first| std::ptr::eq(first, c))
            && among().all(|o| o.cost_total.is_none() || o.cost_total >= c.cost_total)
        {
            parts.push("cheapest that is sure".into());
        }
        if among().count() > 1 {
            let volume = |c: &Candidate| c.width * c.height;
            if among().all(|o| o.band.low <= c.band.low) {
                parts.push("most margin".into());
            }
            if among().all(|o| volume(o) >= volume(c)) {
                parts.push("smallest".into());
            }
            if among().all(|o| o.mass >= c.mass) {
                parts.push("lightest".into());
            }
        }
        parts.join(", ")
    }

    /// How much was looked at, and how much of it heat rules out.
    pub fn searched(&self, searched: &Searched) -> String {
        let number = |n: usize| count(n as u64);
        let mut text = format!(
            "{} items, {} builds: {} surely do, {} only at their typical value",
            number(searched.items),
            number(searched.builds),
            number(searched.sure),
            number(searched.middle)
        );
        if let (Some(warmest), true) = (self.question.conditions.warmest, searched.too_hot > 0) {
            text += &format!(
                "; {} are out because their grade or coating is not rated for {}",
                number(searched.too_hot),
                self.reader.celsius(warmest.celsius())
            );
        }
        if searched.past_knee > 0 {
            text += &format!(
                "; {} would do but lose strength permanently",
                number(searched.past_knee)
            );
        }
        text
    }

    /// What was taken for granted, in words.
    pub fn assumed(&self, assumed: &Assumed) -> Runs {
        runs(&match assumed {
            Assumed::SafetyFactor { factor, falls: true } => {
                format!("safety factor **{factor}**, because what lets go falls")
            }
            Assumed::SafetyFactor { factor, falls: false } => format!("safety factor **{factor}**"),
            Assumed::Friction { low, mid, high } => format!("friction **{mid}**, between {low} and {high}"),
            Assumed::FrictionSpread { part } => format!("the friction named, ±**{}**", percent(*part)),
            Assumed::Placement { least, part } => format!(
                "distances kept to **±{}**, or to {} of them where that is more",
                self.reader.about(*least),
                percent(*part)
            ),
            Assumed::ByHand { lot, repeat, aside } => by_hand([*lot, *repeat], *aside, &self.reader),
            Assumed::ThickSteel => "steel thick enough to carry all flux".into(),
            Assumed::RoomTemperature => format!("room temperature, {}", self.reader.celsius(20.0)),
            Assumed::SwitchMargin { margin } => format!("a margin of **{margin}** on both switching points"),
        })
    }

    /// `+16 %` over what a build of that mass needs, at the low end.
    pub fn margin(&self, band: &Band, mass: f64) -> String {
        signed_percent(band.low / self.need.of_mass(mass) - 1.0)
    }
}

fn uncapital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}
