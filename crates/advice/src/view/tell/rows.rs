//! A finding as rows of figures.

use materials::coating::Rating;
use quantity::{Length, Mass, Quantity};

use crate::hazards::{FLUX_INDEX_LIMIT, NEVER_FLIES};
use crate::question::Layer;
use crate::rules::FLIGHT_LIMIT;
use crate::tell::{Carriage, Finding, GradeWorth, Onto, Place, Told, Toy};
use crate::view::row::RowView;
use crate::view::text::{Reader, capital, count, percent, signed_percent};
use crate::view::ways::surroundings_words;

/// `1 mm of mild steel through 0.4 mm of paint`, `thick mild steel`.
pub(super) fn place_words(place: &Place, reader: &Reader) -> String {
    let material = &place.steel.material;
    let steel = match place.steel.thickness {
        Some(t) => format!("{} of {material}", t.show(&reader.units)),
        None => format!("thick {material}"),
    };
    let across = place
        .steel
        .across
        .map_or_else(String::new, |across| format!(", {} across", across.show(&reader.units)));
    let layer = |l: &Layer| format!("{} of {}", l.thickness.show(&reader.units), l.material);
    let layers: Vec<String> = place.layers.iter().map(layer).collect();
    let through = if layers.is_empty() {
        String::new()
    } else {
        format!(" through {}", layers.join(" and "))
    };
    format!("{steel}{across}{through}")
}

/// Where it goes to, in words.
pub(super) fn onto_words(onto: Onto) -> &'static str {
    match onto {
        Onto::Steel => "thick mild steel",
        Onto::Magnet => "a magnet like it",
    }
}

/// The rows of a finding.
pub(super) fn rows(finding: &Finding, told: &Told, reader: &Reader) -> Vec<RowView> {
    match finding {
        Finding::Pull { place, band, share } => {
            let on = place_words(place, reader);
            let row = if place.sliding {
                reader
                    .force_row(format!("load along {on} before it slides"), band)
                    .remark("by friction; a rubber face or a ledge holds more")
            } else {
                reader.force_row(format!("pull straight off {on}"), band)
            };
            let thin =
                share.filter(|share| place.steel.thickness.is_some() && share.of_thick < 0.995 && !place.sliding);
            vec![match thin {
                Some(share) => row.remark(&format!("{} of that on thick steel", percent(share.of_thick))),
                None => row,
            }]
        }
        Finding::PairForce { gap, opposed, band } => {
            let what = if *opposed { "repulsion" } else { "attraction" };
            let label = if *gap > 0.0 {
                format!("{what} across {}", Length(*gap).show(&reader.units))
            } else {
                format!("{what} in contact")
            };
            vec![reader.force_row(label, band)]
        }
        Finding::Field {
            distance,
            off_axis,
            band,
        } => {
            let off = if *off_axis > 0.0 {
                format!(", {} off its axis", Length(*off_axis).show(&reader.units))
            } else {
                " on its axis".into()
            };
            let label = format!("field {} from its face{off}", Length(*distance).show(&reader.units));
            vec![reader.field_row(label, band)]
        }
        Finding::FaceField { probe_depth, band } => vec![match probe_depth {
            None => reader.field_row("field at the middle of its face", band),
            Some(depth) => reader.field_row("as a meter reads it", band).remark(&format!(
                "with its element {} deep in the probe",
                Length(*depth).show(&reader.units)
            )),
        }],
        Finding::Reach { level, distance } => {
            let [low, mid, high] = *distance;
            let label = format!("falls to {} at", reader.text::<quantity::FluxDensity>(*level));
            let ends = Length::show_range(Length(low), Length(high), &reader.units);
            let row = RowView::new(label, Length(mid).show(&reader.units).to_string()).range(ends.to_string());
            vec![row.remark("from the face, on the axis; within what its grade may have")]
        }
        Finding::Stands {
            celsius,
            rated,
            coldest,
        } => {
            let by_shape = if celsius < rated {
                format!(
                    "its grade is rated {}, but so flat a piece loses strength before that",
                    reader.celsius(*rated)
                )
            } else {
                format!(
                    "the limit of its grade or coating; down to {}",
                    reader.celsius(*coldest)
                )
            };
            vec![RowView::new("max. working temperature by itself", reader.up_to_celsius(*celsius)).remark(&by_shape)]
        }
        Finding::Heated { celsius, keeps, loss } => {
            let at = reader.celsius(*celsius);
            let lost = match loss {
                Some(loss) if *loss >= 0.005 => RowView::new(format!("lost permanently at {at}"), percent(*loss))
                    .remark("its own field drives part of it past its knee"),
                Some(_) => RowView::new(format!("lost permanently at {at}"), "nothing"),
                None => RowView::new(format!("lost permanently at {at}"), "not known")
                    .remark("its grade has no curve in the table"),
            };
            vec![
                RowView::new(format!("strength at {at}"), percent(*keeps)).remark("it comes back when the magnet does"),
                lost,
            ]
        }
        Finding::Weight { each, builds } => {
            let mass = |kg: f64| reader.text::<Mass>(kg);
            let mut rows = vec![RowView::new("weight", mass(*each))];
            if *builds > 1 {
                let all = format!("weight of {}", count((*builds).into()));
                rows.push(RowView::new(all, mass(*each * f64::from(*builds))));
            }
            rows
        }
        Finding::Parcel {
            near,
            far,
            builds,
            carriage,
            most,
        } => parcel([near.high, *far], *builds, *carriage, *most, reader),
        Finding::Toy { flux_index, verdict } => {
            let index = |si: f64| format!("{:.0}\u{a0}kG²\u{a0}mm²", (si / 1e-8).ceil());
            let limit = format!("{:.0}\u{a0}kG²\u{a0}mm²", FLUX_INDEX_LIMIT / 1e-8);
            let says = match verdict {
                Toy::Excluded => {
                    "a small part above the limit: not as a loose part of a toy; an accredited laboratory decides the rest"
                }
                Toy::SmallPart => "below the limit, but small enough to swallow: an accredited laboratory decides",
                Toy::LargePart => {
                    "not a small part by itself; what breaks off a toy counts too: an accredited laboratory decides"
                }
            };
            let of_small_part = flux_index.map(|si| {
                RowView::new("flux index", index(si)).remark(&format!(
                    "limit {limit} for a small part (16 CFR 1262.3; EN 71-1 clause 4.23.2)"
                ))
            });
            let rule = "small-parts cylinder 16 CFR 1501.4; flux index 16 CFR 1262.3";
            let row = RowView::new("in a toy", says).remark(&format!("__{rule}__"));
            of_small_part.into_iter().chain([row]).collect()
        }
        Finding::SteelThickness { enough, pull } => {
            vec![
                RowView::new("steel for 95\u{a0}% of its full pull", reader.about(*enough))
                    .remark(&format!("there it pulls {}", reader.force(*pull))),
            ]
        }
        Finding::Handling { work, text, rule, .. } => {
            vec![RowView::new(work.clone(), text.clone()).remark(&format!("__{rule}__"))]
        }
        Finding::Price {
            bought,
            each,
            total,
            stock,
            ..
        } => {
            let money =
                |m: Option<quantity::Money>| m.map_or_else(|| "no price on the shelf".into(), |m| reader.money(m));
            let on_hand = match stock {
                None => "stock not listed".into(),
                Some(0) => "out of stock".into(),
                Some(n) => format!("{} in stock", count(*n)),
            };
            let mut rows =
                vec![RowView::new(format!("price each for {}", count(*bought)), money(*each)).remark(&on_hand)];
            if *bought > 1 {
                let total = total.map(|t| t.rounded(reader.currency));
                rows.push(RowView::new(format!("price of {}", count(*bought)), money(total)));
            }
            rows
        }
        Finding::Nearest { code, item, each } => {
            let price = each.map_or_else(|| "no price".into(), |each| reader.money(each));
            vec![RowView::new(format!("near it on the shelf: {code}"), price).remark(&reader.item(item))]
        }
        Finding::Coating {
            surroundings,
            rating,
            reason,
        } => {
            let rated = match rating {
                Rating::Good => "lasts",
                Rating::Fair => "with care",
                Rating::Poor => "does not last",
            };
            vec![RowView::new(surroundings_words(*surroundings), rated).remark(&capital(reason))]
        }
        Finding::KeepAway {
            implants,
            level,
            distance,
        } => {
            let (label, rule) = if *implants {
                (
                    "keep from pacemakers and implants",
                    "Directive 2013/35/EU, Annex II, Table B4; the wearer's doctor decides",
                )
            } else {
                (
                    "keep from cards, watches, hearing aids",
                    "NRC, Prudent Practices in the Laboratory (2011), Table 7.1",
                )
            };
            let field = reader.text::<quantity::FluxDensity>(*level);
            vec![
                RowView::new(label, reader.no_less::<Length>(*distance)).remark(&format!(
                    "{field}, at the strongest of its grade and on every side ({rule})"
                )),
            ]
        }
        Finding::Jump { onto, lifts, slides } => {
            let to = onto_words(*onto);
            let distance = |m: f64| if m > 0.0 { reader.about(m) } else { "not at all".into() };
            vec![
                RowView::new(format!("lifts itself to {to} from"), distance(*lifts)),
                RowView::new(format!("slides over a table to {to} from"), distance(*slides))
                    .remark("smooth table; it slides where friction is a fifth of its weight"),
            ]
        }
        Finding::Moment { band } => {
            let shown = |m: f64| format!("{}\u{a0}A\u{a0}m²", significant(m));
            vec![RowView::new("magnetic moment", shown(band.mid)).range(format!(
                "{} to {}",
                significant(band.low),
                shown(band.high)
            ))]
        }
        Finding::Contact { onto, band } => {
            vec![reader.force_row(format!("meets {} with", onto_words(*onto)), band)]
        }
        Finding::Grades(grades) => grades.iter().map(|grade| worth(grade, grades, told, reader)).collect(),
    }
}

/// Three digits, without an exponent.
pub(super) fn significant(value: f64) -> String {
    if value <= 0.0 {
        return "0".into();
    }
    let digits = (2.0 - value.log10().floor()).clamp(0.0, 9.0) as usize;
    format!("{value:.digits$}")
}

fn parcel([near, far]: [f64; 2], builds: u32, carriage: Carriage, most: u32, reader: &Reader) -> Vec<RowView> {
    let what = if builds > 1 {
        format!("field of all {} packed one way, 2.1 m off", count(builds.into()))
    } else {
        "field 2.1 m off".into()
    };
    let says = match carriage {
        Carriage::Free => "may fly unrestricted by its field",
        Carriage::Ask => "ask the carrier, or pack poles against each other between steel sheets",
        Carriage::Never => "may not fly as it is: pack poles against each other between steel sheets and measure",
    };
    let limit = |t: f64| reader.microtesla(t);
    let mut rows = vec![
        RowView::new("by air", says).remark("the carrier decides; batteries, tools and mail have rules of their own"),
        RowView::new(what, limit(near)).remark(&format!(
            "at the strongest; ask from {} (IATA Packing Instruction 953)",
            limit(FLIGHT_LIMIT)
        )),
        RowView::new("the same 4.5 m off", limit(far))
            .remark(&format!("not above {} (49 CFR 173.21(d))", limit(NEVER_FLIES))),
    ];
    let value = match most {
        0 => "not even one".into(),
        n => count(n.into()),
    };
    rows.push(RowView::new("most that fly unrestricted, packed one way", value));
    rows
}

fn worth(grade: &GradeWorth, all: &[GradeWorth], told: &Told, reader: &Reader) -> RowView {
    let own = all.iter().find(|g| g.own);
    let beside = own.filter(|own| own.grade != grade.grade && own.pull > 0.0);
    let mut remark = vec![format!("up to {}", reader.up_to_celsius(grade.stands))];
    if let Some(own) = beside {
        remark.push(format!("{} pull", signed_percent(grade.pull / own.pull - 1.0)));
        if let (Some(own), Some(each)) = (own.each, grade.each) {
            remark.push(format!("{} money", signed_percent(each.to_f64() / own.to_f64() - 1.0)));
        }
    }
    match (grade.each, &grade.code) {
        (Some(each), Some(code)) => remark.push(format!("{} each ({code})", reader.money(each))),
        _ if told.given.stocked || all.iter().any(|g| g.code.is_some()) => remark.push("not on the shelf".into()),
        _ => {}
    }
    let label = if grade.own {
        format!("pull in {} (this one)", grade.grade)
    } else {
        format!("pull in {}", grade.grade)
    };
    RowView::new(label, reader.force(grade.pull)).remark(&remark.join(", "))
}
