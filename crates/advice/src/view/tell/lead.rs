//! The sentence that answers first.

use materials::coating::Rating;
use quantity::{FluxDensity, Force, Length, Mass, Quantity};

use super::rows::{onto_words, place_words, significant};
use crate::enquiry::About;
use crate::tell::{Carriage, Finding, GradeWorth, Onto, Told, Toy};
use crate::view::text::{Reader, count, percent, signed_percent};

/// What is told, in a sentence or two for each thing asked, at most three things.
pub(super) fn lead(told: &Told, reader: &Reader) -> String {
    let magnet = reader.magnet(&told.given);
    let said: Vec<String> = told
        .about
        .iter()
        .take(3)
        .filter_map(|about| sentence(*about, told, reader))
        .collect();
    match said.split_first() {
        None => format!("{magnet} can be reckoned with, but nothing was found of what was asked."),
        Some((first, rest)) => {
            let mut out = format!("{magnet} {first}");
            for sentence in rest {
                out.push_str(" It ");
                out.push_str(sentence);
            }
            out
        }
    }
}

fn between(range: &str) -> String {
    format!("95\u{a0}% of pieces lie between {}", range.replace(" to ", " and "))
}

/// What goes after the name of the magnet, or after `It`.
fn sentence(about: About, told: &Told, reader: &Reader) -> Option<String> {
    let find = |pick: &dyn Fn(&Finding) -> Option<String>| told.findings.iter().find_map(pick);
    match about {
        About::Pull | About::Card => pull(told, reader),
        About::Field => find(&|f| match f {
            Finding::Field {
                distance,
                off_axis,
                band,
            } => {
                let off = if *off_axis > 0.0 {
                    format!(" and {} off its axis", Length(*off_axis).show(&reader.units))
                } else {
                    String::new()
                };
                Some(format!(
                    "gives **{}** at {} from its face{off}; {}.",
                    reader.text::<FluxDensity>(band.mid),
                    Length(*distance).show(&reader.units),
                    between(&reader.band::<FluxDensity>(band))
                ))
            }
            _ => None,
        }),
        About::FaceField => face(told, reader),
        About::DistanceForField => find(&|f| match f {
            Finding::Reach { level, distance } => Some(format!(
                "still gives {} at **{}** from its face; no piece of its grade gives more from **{}** on.",
                reader.text::<FluxDensity>(*level),
                Length(distance[1]).show(&reader.units),
                reader.no_less::<Length>(distance[2])
            )),
            _ => None,
        }),
        About::Heat => heat(told, reader),
        About::Weight => find(&|f| match f {
            Finding::Weight { each, builds } => {
                let all = if *builds > 1 {
                    let all = reader.text::<Mass>(*each * f64::from(*builds));
                    format!(", {} of them {all}", count((*builds).into()))
                } else {
                    String::new()
                };
                Some(format!("weighs **{}**{all}.", reader.text::<Mass>(*each)))
            }
            _ => None,
        }),
        About::Fly => super::carriage(told).map(|carriage| match carriage {
            Carriage::Free => "**may fly** unrestricted by its field; the carrier decides.".into(),
            Carriage::Ask => {
                "is near the limit for air transport in that number: **ask the carrier**, and pack poles against each other.".into()
            }
            Carriage::Never => "**may not fly** packed one way: its field is above the limit for aircraft.".into(),
        }),
        About::Toy => find(&|f| match f {
            Finding::Toy { verdict, .. } => Some(match verdict {
                Toy::Excluded => {
                    "is small enough to swallow and above the limit of the rules for toys: **not as a loose part of a toy**; an accredited laboratory decides the rest.".into()
                }
                Toy::SmallPart => {
                    "is below the limit of the rules for toys, but small enough to swallow: **an accredited laboratory decides**.".into()
                }
                Toy::LargePart => {
                    "is no small part by itself; whether it may go into a toy **an accredited laboratory decides**.".into()
                }
            }),
            _ => None,
        }),
        About::SteelMm => find(&|f| match f {
            Finding::SteelThickness { enough, .. } => Some(format!(
                "needs **{}** of steel behind it for 95\u{a0}% of its full pull; thinner steel saturates and holds less.",
                reader.about(*enough)
            )),
            _ => None,
        }),
        About::Machine => find(&|f| match f {
            Finding::Handling { lead: Some(lead), .. } => Some(format!("**{lead}**.")),
            _ => None,
        }),
        About::Price => price(told, reader),
        About::Corrosion => coating(told),
        About::KeepAway | About::Danger => keep_away(told, reader),
        About::Jump => find(&|f| match f {
            Finding::Jump { onto, lifts, .. } => Some(if *lifts > 0.0 {
                format!("lifts itself to {} from **{}**.", onto_words(*onto), reader.about(*lifts))
            } else {
                format!("does not lift its own weight to {}.", onto_words(*onto))
            }),
            _ => None,
        }),
        About::Moment => find(&|f| match f {
            Finding::Moment { band } => Some(format!("has a magnetic moment of **{}\u{a0}A\u{a0}m²**.", significant(band.mid))),
            _ => None,
        }),
        About::Value => find(&|f| match f {
            Finding::Grades(grades) => value(grades, reader),
            _ => None,
        }),
    }
}

/// Whether a force is enough for the load that was said; empty where none was.
fn verdict(told: &Told, low: f64, reader: &Reader) -> String {
    let (Some(load), Some((share, factor))) = (told.setting.load, told.setting.share()) else {
        return String::new();
    };
    let times = low / share;
    let load = load.show(&reader.units);
    if times >= factor {
        format!(" **That is enough** for {load}: at least {times:.1} times its share, where {factor} is asked.")
    } else if times >= 1.0 {
        format!(" For {load} **that is too little to be safe**: {times:.1} times its share, where {factor} is asked.")
    } else {
        format!(
            " **That is not enough** for {load}: it may hold only {} of its share.",
            percent(times)
        )
    }
}

fn pull(told: &Told, reader: &Reader) -> Option<String> {
    let mut forces = told.findings.iter().filter_map(|finding| match finding {
        Finding::Pull { place, band, .. } => {
            let on = place_words(place, reader);
            let force = reader.force(band.mid);
            let words = if place.sliding {
                format!("carries **{force}** along {on} before it slides")
            } else {
                format!("pulls **{force}** straight off {on}")
            };
            Some((words, band, place))
        }
        _ => None,
    });
    if let Some((words, band, place)) = forces.next() {
        let more = match forces.next() {
            Some((words, ..)) if place.steel.thickness.is_none() && place.layers.is_empty() => format!(" It {words}."),
            _ => String::new(),
        };
        let between = between(&reader.band::<Force>(band));
        let verdict = verdict(told, band.low, reader);
        return Some(format!("{words}; {between}.{verdict}{more}"));
    }
    told.findings.iter().find_map(|finding| match finding {
        Finding::PairForce { gap, opposed, band } => {
            let verb = if *opposed { "repel" } else { "attract" };
            let place = if *gap > 0.0 {
                format!("across {}", Length(*gap).show(&reader.units))
            } else {
                "in contact".into()
            };
            Some(format!(
                "{verb}s one like it with **{}** {place}; {}.{}",
                reader.force(band.mid),
                between(&reader.band::<Force>(band)),
                verdict(told, band.low, reader)
            ))
        }
        _ => None,
    })
}

fn face(told: &Told, reader: &Reader) -> Option<String> {
    let mut fields = told.findings.iter().filter_map(|finding| match finding {
        Finding::FaceField { probe_depth, band } => Some((*probe_depth, band.mid)),
        _ => None,
    });
    let (_, true_face) = fields.next()?;
    let field = |b: f64| reader.text::<FluxDensity>(b);
    let read = fields.next().map_or_else(String::new, |(depth, b)| {
        let depth = Length(depth.unwrap_or(0.0)).show(&reader.units);
        format!("; a meter whose element lies {depth} deep reads **{}**", field(b))
    });
    Some(format!("has **{}** at the middle of its face{read}.", field(true_face)))
}

fn heat(told: &Told, reader: &Reader) -> Option<String> {
    let worst = told
        .findings
        .iter()
        .filter_map(|finding| match finding {
            Finding::Heated { celsius, keeps, loss } => Some((*celsius, *keeps, *loss)),
            _ => None,
        })
        .max_by(|a, b| a.2.unwrap_or(0.0).total_cmp(&b.2.unwrap_or(0.0)));
    let stands = told.findings.iter().find_map(|finding| match finding {
        Finding::Stands { celsius, .. } => Some(*celsius),
        _ => None,
    })?;
    let limit = format!("By itself it may be used up to {}.", reader.up_to_celsius(stands));
    let (celsius, keeps, loss) = worst?;
    let at = reader.celsius(celsius);
    Some(match loss {
        Some(loss) if loss >= 0.005 => format!(
            "loses **{}** of its strength permanently at {at}. {limit}",
            percent(loss)
        ),
        Some(_) if (celsius - stands).abs() < 0.5 => format!(
            "may be used up to **{}** by itself; there it has {} of its strength, and all of it again when it cools.",
            reader.up_to_celsius(stands),
            percent(keeps)
        ),
        Some(_) => format!(
            "has **{}** of its strength at {at} and loses nothing permanently. {limit}",
            percent(keeps)
        ),
        None => format!(
            "has about {} of its strength at {at}; what it loses permanently is not known.",
            percent(keeps)
        ),
    })
}

fn price(told: &Told, reader: &Reader) -> Option<String> {
    let near = told.findings.iter().find_map(|finding| match finding {
        Finding::Nearest { code, each, .. } => {
            let price = each.map_or_else(String::new, |each| format!(", at {} each", reader.money(each)));
            Some(format!("is **not on the shelf**; the nearest there is {code}{price}."))
        }
        _ => None,
    });
    let listed = told.findings.iter().find_map(|finding| match finding {
        Finding::Price {
            bought, each, total, ..
        } => {
            let each = (*each)?;
            let all = total.filter(|_| *bought > 1).map_or_else(String::new, |t| {
                format!(", {} in all", reader.money(t.rounded(reader.currency)))
            });
            Some(format!(
                "costs **{}** each for {}{all}.",
                reader.money(each),
                count(*bought)
            ))
        }
        _ => None,
    });
    listed.or(near).or_else(|| Some("has no price on the shelf.".into()))
}

fn coating(told: &Told) -> Option<String> {
    let places: Vec<(&str, Rating)> = told
        .findings
        .iter()
        .filter_map(|finding| match finding {
            Finding::Coating {
                surroundings, rating, ..
            } => Some((crate::view::ways::surroundings_words(*surroundings), *rating)),
            _ => None,
        })
        .collect();
    let of = |wanted: Rating| {
        let names: Vec<&str> = places
            .iter()
            .filter(|(_, rating)| *rating == wanted)
            .map(|(name, _)| *name)
            .collect();
        names.join(" and ")
    };
    let coating = &told.given.item.coating;
    let parts: Vec<String> = [
        (Rating::Good, "lasts"),
        (Rating::Fair, "lasts with care"),
        (Rating::Poor, "does not last"),
    ]
    .into_iter()
    .map(|(rating, words)| (of(rating), words))
    .filter(|(names, _)| !names.is_empty())
    .map(|(names, words)| format!("{words} {names}"))
    .collect();
    let called = if coating == "none" {
        "**no coating**. So it"
    } else {
        &format!("a coating of **{coating}**, which")
    };
    (!parts.is_empty()).then(|| format!("has {called} {}.", parts.join(", ")))
}

fn keep_away(told: &Told, reader: &Reader) -> Option<String> {
    let contact = told.findings.iter().find_map(|finding| match finding {
        Finding::Contact {
            onto: Onto::Magnet,
            band,
        } => Some(format!("meets one like it with **{}**. ", reader.force(band.mid))),
        _ => None,
    });
    let distance = |wanted: bool| {
        told.findings.iter().find_map(|finding| match finding {
            Finding::KeepAway { implants, distance, .. } if *implants == wanted => {
                Some(reader.no_less::<Length>(*distance))
            }
            _ => None,
        })
    };
    let (implants, cards) = (distance(true)?, distance(false)?);
    Some(match contact {
        Some(contact) => {
            format!("{contact}Keep **{implants}** from pacemakers and implants, {cards} from cards and watches.")
        }
        None => format!("must stay **{implants}** from pacemakers and implants and {cards} from cards and watches."),
    })
}

/// Whether a dearer grade buys more than it costs.
fn value(grades: &[GradeWorth], reader: &Reader) -> Option<String> {
    let own = grades.iter().find(|g| g.own)?;
    let strongest = grades.iter().max_by(|a, b| a.pull.total_cmp(&b.pull))?;
    if strongest.own {
        return Some(format!(
            "pulls **{}** on thick steel; no listed grade of this size pulls more.",
            reader.force(own.pull)
        ));
    }
    let own_pull = own.pull;
    let more = signed_percent(strongest.pull / own_pull - 1.0);
    let cost = match (own.each, strongest.each) {
        (Some(own), Some(each)) => {
            let dearer = each.to_f64() / own.to_f64() - 1.0;
            let gain = strongest.pull / own_pull - 1.0;
            let worth = if gain >= 0.5 * dearer {
                "worth it where space is short"
            } else {
                "seldom worth it: a little more thickness is cheaper"
            };
            format!(" for {} money: {worth}", signed_percent(dearer))
        }
        _ => "; the shelf has no price to set against it".into(),
    };
    Some(format!(
        "pulls **{}** on thick steel; in {} the same size gives **{more}**{cost}.",
        reader.force(own.pull),
        strongest.grade
    ))
}
