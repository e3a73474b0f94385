//! How well every place suits a length.

use advice::sentence::Verb;

use super::nearness::{BESIDE, affinity, in_bracket_of_another, part_of_object, row_owner};
use super::{LengthAt, Role, is_steel, layer_items, layer_of};
use crate::bounds::bound;
use crate::lexer::{Measure, What};
use crate::magnets::dimension;
use crate::named::Class;
use crate::scene::{Scene, is_noun};

pub(crate) fn scores(scene: &Scene, verb: Verb, length: &LengthAt) -> Vec<(Role, f64)> {
    let i = length.item;
    let mm = length.high_mm;
    let bound = bound(scene, i);
    // "thin, 3 mm max"
    let flat = bound == Some(true)
        && scene
            .nearest(i, 3.2, |x| matches!(x.norm.as_str(), "thin" | "flat" | "slim"))
            .is_some_and(|(n, _)| n < i);
    let dim = dimension(scene, i).or(flat.then_some("thick"));
    let within = |low: f64, high: f64| if (low..=high).contains(&mm) { 0.0 } else { -4.0 };
    let by = |table: &[(&str, f64)], none: f64| {
        dim.map_or(none, |d| table.iter().find(|(w, _)| *w == d).map_or(0.0, |t| t.1))
    };
    let max = bound == Some(true);
    let min = bound == Some(false);
    let row = row_owner(scene, i).is_some_and(|o| is_steel(&scene.items[o]) && !scene.items[o].is_magnet());
    let gauge = scene.items[i].amount().is_some_and(|a| a.measure == Measure::Gauge);
    let mut out = vec![];

    let steel = affinity(scene, i, |_, x| is_steel(x));
    let perhaps = affinity(scene, i, |_, x| x.of(Class::Perhaps)) - 0.5;
    let surface = steel.max(perhaps);
    let magnet = affinity(scene, i, |_, x| x.is_magnet() && !x.of(Class::Surface));
    let recess = affinity(scene, i, |_, x| x.of(Class::Recess));
    let object = affinity(scene, i, |_, x| x.of(Class::Object));

    out.push((
        Role::Nobody,
        1.2 + object.max(0.0) * 0.75
            + by(
                &[
                    ("long", 2.0),
                    ("wide", 0.6),
                    ("high", 0.8),
                    ("deep", 0.3),
                    ("dia", 0.3),
                    ("thick", -0.4),
                ],
                0.0,
            )
            - if bound.is_some() { 1.5 } else { 0.0 },
    ));

    if verb == Verb::Hold {
        let thick = surface
            + by(
                &[
                    ("thick", 2.0),
                    ("wide", -4.0),
                    ("dia", -4.0),
                    ("high", -3.5),
                    ("long", -5.0),
                    ("deep", -3.5),
                    ("inner", -4.0),
                ],
                0.3,
            )
            + within(0.15, 60.0)
            + if max || min { -2.2 } else { 0.0 }
            + if gauge { 4.0 } else { 0.0 }
            // so thick where it says so
            + if mm > 25.0 && dim.is_none() { -2.5 } else { 0.0 };
        out.push((Role::SteelThickness, thick));
        let round = scene.nearest(i, 3.5, |x| {
            x.of(Class::Surface)
                && ["disc", "disk", "washer", "ball", "cap", "lid"]
                    .iter()
                    .any(|w| x.norm.contains(w))
        });
        let across = surface
            + if row { 1.8 } else { 0.0 }
            + if round.is_some() && dim.is_none() { 2.6 } else { 0.0 }
            + by(
                &[
                    ("wide", 2.2),
                    ("dia", 1.6),
                    ("high", 0.8),
                    ("long", -2.5),
                    ("thick", -6.0),
                    ("deep", -4.0),
                    ("inner", -3.0),
                ],
                -2.2,
            )
            + if in_bracket_of_another(scene, i) || part_of_object(scene, i) {
                -3.0
            } else {
                0.0
            }
            + within(5.0, 400.0)
            + if max || min { -2.5 } else { 0.0 };
        out.push((Role::SteelAcross, across));
    }
    if verb == Verb::Hold || verb == Verb::PullTogether {
        for n in layer_items(scene)
            .into_iter()
            .filter(|n| scene.distance(*n, i) <= BESIDE)
        {
            let own = affinity(scene, i, |m, _| m == n);
            let coat = layer_of(scene, n).is_some_and(|m| matches!(m, "paint" | "powder coat" | "air" | "tape"));
            let lies_between = coat
                || scene
                    .nearest(n, 4.5, |x| {
                        x.is("layer_cue") && !matches!(x.norm.as_str(), "of" | "with" | "thick")
                    })
                    .is_some_and(|(m, _)| scene.same_sentence(m, n))
                || scene.next(i).is_some_and(|x| scene.items[x].norm == "of");
            // "the shelf is birch ply 12 mm": what a thing is made of
            let made_of = !coat
                && scene.previous(n).is_some_and(|p| {
                    matches!(scene.items[p].norm.as_str(), "is" | "are" | "of")
                        && scene
                            .previous(p)
                            .is_some_and(|q| scene.items[q].of(Class::Perhaps) || scene.items[q].of(Class::Object))
                });
            // "labels of 2 mm acrylic", "plastic bases": likewise
            let of_it = !coat && scene.word(scene.previous(i)) == "of" && n > i;
            let part = !coat
                && scene.next(n).is_some_and(|m| {
                    let x = &scene.items[m];
                    x.what == What::Word && x.of(Class::Object) && !x.is("layer_cue") && scene.distance(n, m) < 1.3
                });
            let own = if made_of || of_it || part {
                own - 2.0
            } else if lies_between {
                own + 0.4
            } else {
                own - 1.2
            };
            let score =
                own + by(
                    &[
                        ("thick", 1.4),
                        ("wide", -4.0),
                        ("dia", -4.0),
                        ("high", -3.0),
                        ("long", -4.0),
                        ("deep", -2.5),
                    ],
                    0.7,
                ) + within(0.01, 60.0)
                    + if max || min { -1.5 } else { 0.0 };
            if own > 0.0 {
                out.push((Role::Layer(n), score));
            }
        }
    }
    let own = magnet.max(recess + 0.4);
    // with neither a magnet nor a bound near, a size is hardly the magnet's
    let stray = if own <= 0.3 && bound.is_none() { -1.5 } else { 0.0 };
    let stray = if row && !max { stray - 2.5 } else { stray };
    let size_bound = if max { 2.6 } else { 0.0 };
    let wide = own * 0.8
        + by(
            &[
                ("dia", 2.4),
                ("wide", 1.8),
                ("thick", -5.0),
                ("high", -5.0),
                ("deep", -5.0),
                ("long", 0.6),
                ("inner", -3.0),
            ],
            0.2,
        )
        + size_bound
        + stray
        + within(1.0, 250.0);
    // a bound of a few millimetres is one of height
    let low = max && dim.is_none() && mm < 3.6;
    let wide = if low { wide - 3.0 } else { wide };
    // a rod is long along its axis
    let rod = dim == Some("long") && scene.any(|x| matches!(x.norm.as_str(), "rod" | "rods" | "rod magnet"));
    let wide = if rod { wide - 4.0 } else { wide };
    out.push((Role::Widest, if min { wide - 3.0 } else { wide }));
    let tall = own * 0.8
        + by(
            &[
                ("thick", 1.8),
                ("high", 2.2),
                ("deep", 2.4),
                ("dia", -6.0),
                ("wide", -5.0),
                ("long", 0.4),
                ("inner", -6.0),
            ],
            -3.0,
        )
        + size_bound
        + stray
        + within(0.2, 150.0);
    let tall = if low { tall + 3.5 } else { tall };
    let tall = if rod { tall + 2.0 } else { tall };
    out.push((Role::Tallest, if min { tall - 3.0 } else { tall }));
    if min {
        out.push((Role::Narrowest, wide - 0.2));
        out.push((Role::Shortest, tall - 0.2));
    }
    let hole = affinity(scene, i, |n, x| {
        (x.is("hole") && screw_hole(scene, n)) || x.is("countersunk") || x.of(Class::Through)
    });
    // "the rod is 8 mm, so the hole must be a little more, 9 mm"
    let larger = matches!(
        scene.word(comma_before(scene, i)),
        "larger" | "bigger" | "wider" | "more"
    ) && scene
        .nearest(i, BESIDE, |x| x.is("hole"))
        .is_some_and(|(n, _)| n < i && scene.same_sentence(n, i));
    let hole = if larger { hole + 4.0 } else { hole };
    out.push((
        Role::Hole,
        hole + by(
            &[
                ("inner", 1.0),
                ("dia", 0.2),
                ("thick", -4.0),
                ("deep", -4.0),
                ("long", -4.0),
                ("high", -3.0),
            ],
            0.3,
        ) + within(1.0, 20.0)
            + if max { -1.5 } else { 0.6 },
    ));
    let apart = affinity(scene, i, |_, x| x.is_any(&["gap", "between"]));
    let away = affinity(scene, i, |_, x| x.is_any(&["away", "gap", "at"]));
    let through = affinity(scene, i, |_, x| x.is("through"));
    match verb {
        Verb::PullTogether | Verb::PushApart => {
            let at = affinity(scene, i, |_, x| x.is("at")) - 0.8;
            let total = if scene.nearest(i, 3.0, |x| x.is("total")).is_some() {
                1.5
            } else {
                0.0
            };
            let lifted = scene
                .nearest(i, 2.0, |x| {
                    matches!(x.norm.as_str(), "above" | "height" | "apart" | "high" | "at")
                })
                .is_some();
            let base = if verb == Verb::PushApart && lifted && !max {
                3.4
            } else if mm < 30.0 && object < 2.5 {
                1.6
            } else {
                0.6
            };
            out.push((
                Role::Gap,
                base + apart.max(through - 0.3).max(at)
                    + total
                    + by(
                        &[
                            ("thick", 0.0),
                            ("wide", -3.0),
                            ("dia", -4.0),
                            ("long", -4.0),
                            ("deep", -3.0),
                            ("high", 0.0),
                        ],
                        0.3,
                    )
                    + if max { -1.5 } else { 0.0 },
            ));
        }
        Verb::ReachField => {
            out.push((
                Role::Distance,
                1.5 + away.max(through)
                    + by(&[("wide", -4.0), ("dia", -4.0), ("thick", -4.0), ("long", -3.0)], 0.4)
                    + if max { -1.0 } else { 0.0 },
            ));
            out.extend(off_axis(scene, i));
        }
        Verb::SwitchSensor => {
            let open = affinity(scene, i, |_, x| x.is_any(&["release", "far"]));
            let close = affinity(scene, i, |_, x| {
                x.is_any(&["near", "operate", "through", "gap", "at"]) && !x.is("far")
            });
            let wrong = by(
                &[
                    ("wide", -4.0),
                    ("dia", -4.0),
                    ("thick", -3.0),
                    ("long", -4.0),
                    ("high", -3.0),
                ],
                0.0,
            );
            out.push((Role::Near, 2.6 + close + wrong + within(0.5, 500.0)));
            out.push((Role::Far, 2.2 + open + wrong + within(0.5, 500.0)));
            out.extend(off_axis(scene, i));
        }
        Verb::FaceField => {
            let probe = affinity(scene, i, |_, x| x.is("probe"));
            out.push((
                Role::Probe,
                probe.max(if scene.any(|x| x.is("probe")) { 3.0 } else { 0.0 })
                    + by(&[("deep", 2.0), ("dia", -4.0), ("wide", -4.0), ("long", -3.0)], 0.3)
                    + within(0.05, 5.0),
            ));
        }
        Verb::Hold => {
            let air = affinity(scene, i, |_, x| {
                matches!(x.norm.as_str(), "gap" | "air gap" | "airgap" | "air" | "clearance")
            });
            let named = layer_items(scene)
                .iter()
                .any(|n| scene.items[*n].norm.contains("air") && scene.distance(*n, i) < 3.0);
            // "the net is 0.4 mm between": what lies there has a name that is not known
            let unnamed = affinity(scene, i, |_, x| x.is_any(&["between", "through"])) - 1.0;
            let between = if air > 0.0 && !named { air + 0.8 } else { unnamed };
            if between > 0.0 {
                out.push((Role::Gap, between + by(&[("wide", -3.0), ("dia", -4.0)], 0.0)));
            }
        }
    }
    out
}

/// The word before an amount, a comma between.
fn comma_before(scene: &Scene, i: usize) -> Option<usize> {
    let comma = i.checked_sub(1).filter(|c| scene.items[*c].what == What::Mark(','))?;
    scene.previous(comma)
}

/// How well a length suits as the distance beside the axis, where words by it say so.
fn off_axis(scene: &Scene, i: usize) -> Option<(Role, f64)> {
    const SIDE: [&str; 11] = [
        "sideways",
        "off-axis",
        "axis",
        "lateral",
        "laterally",
        "misaligned",
        "misalignment",
        "offset",
        "displacement",
        "off-centre",
        "sidewards",
    ];
    let near = affinity(scene, i, |_, x| SIDE.contains(&x.norm.as_str()));
    let beside = [
        "off the axis",
        "off axis",
        "off-axis",
        "to the side",
        "sideways",
        "off centre",
        "off center",
        "out of line",
        "lateral",
        "aside",
    ]
    .iter()
    .any(|w| near_words(scene, i, w))
        || SIDE.contains(&scene.word(scene.previous(i)))
        || said_before(
            scene,
            i,
            &[
                "off axis",
                "off-axis",
                "off the axis",
                "sideways",
                "lateral",
                "off centre",
                "off center",
            ],
        )
        || scene.word(scene.previous(i)) == "by" && scene.nearest(i, 3.5, |x| x.norm == "side").is_some();
    beside.then_some((Role::OffAxis, near + 3.0))
}

fn said_before(scene: &Scene, i: usize, words: &[&str]) -> bool {
    let to = scene.items[i].range.start;
    let from = (to.saturating_sub(22)..=to).find(|n| scene.text.is_char_boundary(*n));
    let before = from
        .and_then(|from| scene.text.get(from..to))
        .unwrap_or_default()
        .to_lowercase();
    // nothing else is measured in between
    let end = before.rfind(|c: char| c.is_ascii_digit()).map_or(0, |n| n + 1);
    words.iter().any(|w| before[end..].contains(w))
}

fn near_words(scene: &Scene, i: usize, words: &str) -> bool {
    let from = scene.items[i].range.end;
    let to = (from + 24).min(scene.text.len());
    scene
        .text
        .get(from..to)
        .is_some_and(|t| t.to_lowercase().contains(words))
}

/// Whether a hole is in the magnet, for a screw or a rod, rather than a place for the magnet.
fn screw_hole(scene: &Scene, n: usize) -> bool {
    let item = &scene.items[n];
    if item.is("countersunk")
        || item.norm.starts_with("through")
        || item.norm.starts_with("threaded")
        || item.norm.starts_with("clearance")
    {
        return true;
    }
    let near = scene.nearest(n, 5.0, |x| {
        x.of(Class::Through) || x.is("countersunk") || matches!(x.norm.as_str(), "m3" | "m4" | "m5" | "m6" | "m8")
    });
    if near.is_some_and(|(m, _)| scene.same_sentence(m, n)) {
        return true;
    }
    // "ring, 4 mm hole"
    let of_ring = scene
        .nearest(n, 4.0, |x| x.is("ring") && !x.of(Class::Surface))
        .is_some_and(|(m, _)| m < n && scene.same_sentence(m, n));
    if of_ring {
        return true;
    }
    // "magnet with a hole", "ring with 3 mm hole", "hole in the middle"
    let mut at = n;
    for _ in 0..5 {
        let Some(before) = scene.previous(at) else { break };
        let x = &scene.items[before];
        if matches!(
            x.norm.as_str(),
            "with" | "w" | "has" | "having" | "needs" | "need" | "w/"
        ) {
            let owner = scene.previous(before);
            return owner.is_none_or(|o| scene.items[o].is_magnet() || !is_noun(&scene.items[o]));
        }
        at = before;
    }
    scene
        .nearest(n, 3.5, |x| {
            matches!(x.norm.as_str(), "middle" | "centre" | "center" | "through")
        })
        .is_some()
}
