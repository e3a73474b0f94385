//! What is asked of given magnets, and the conditions said of them.

use advice::enquiry::NamedMagnet;
use advice::question::ShapeKind;
use advice::sentence::Verb;
use serde_json::{Value, json};

use crate::choose::{self, Partial, of_role};
use crate::counts;
use crate::data::Data;
use crate::kind::Sort;
use crate::loads;
use crate::magnets::{self, Named};
use crate::note::Notes;
use crate::places;
use crate::roles::{self, Role};
use crate::scene::Scene;

/// Writes what is asked of the magnets named, and under which conditions.
pub(crate) fn read(
    scene: &Scene,
    sort: Sort,
    about: &[String],
    magnets: &[Named],
    json: &mut Value,
    asks: &mut Vec<String>,
    notes: &mut Notes,
) -> Partial {
    let mut free: Vec<Named> = magnets.iter().filter(|m| !m.bound).cloned().collect();
    if sort == Sort::Compare {
        if free.iter().all(|m| m.size_mm.is_empty()) {
            free = in_grades(scene, free.pop());
        }
        side_by_side(scene, &mut free);
    }
    if sort == Sort::Tell && free.len() > 1 {
        // told of one; the others are told of in passing
        let full = free.iter().position(|m| m.written && m.grade.is_some()).unwrap_or(0);
        free = vec![free.swap_remove(full)];
    }
    if free.is_empty() && sort == Sort::Tell {
        // "what is Br of N50": a grade, of whatever size
        let mut said = magnets::grades_said(scene);
        if said.len() == 1 {
            free.extend(said.pop().map(|(item, grade)| Named {
                grade: Some(grade),
                ..Named::of_grade(item)
            }));
        }
    }
    if let [only] = free.as_mut_slice()
        && only.shape.is_none()
    {
        only.shape = magnets::only_shape(scene);
    }
    if free.is_empty() {
        asks.push("/magnets/0/size_mm".into());
    }
    let coats = in_coatings(scene, sort, &mut free, notes);
    for (i, m) in free.iter().enumerate() {
        let full = match m.shape {
            Some("ring" | "block") => 3,
            Some("sphere") => 1,
            _ => 2,
        };
        if m.size_mm.len() < full {
            asks.push(format!("/magnets/{i}/size_mm"));
        }
        m.items
            .iter()
            .for_each(|item| notes.put(scene, *item, &format!("/magnets/{i}/size_mm"), "size of the magnet"));
    }
    for (i, item) in scene.items.iter().enumerate() {
        let Some(grade) = item.grade() else { continue };
        if let Some(k) = free.iter().position(|m| m.grade.as_deref() == Some(grade)) {
            notes.put(scene, i, &format!("/magnets/{k}/grade"), "grade of the magnet");
        }
    }
    if about.iter().any(|a| GRADED.contains(&a.as_str())) {
        let ungraded = free.iter().enumerate().filter(|(_, m)| m.grade.is_none());
        asks.extend(ungraded.map(|(i, _)| format!("/magnets/{i}/grade")));
    }
    let partial = conditions_of(scene, sort, &free, about, notes);
    asks.extend(partial.asks.iter().cloned());
    json["about"] = json!(about);
    let pair = sort == Sort::Tell && is_pair(scene, about, &free);
    let magnets = free.iter().zip(coats).map(|(m, coating)| NamedMagnet {
        pair,
        ..named(m, coating)
    });
    json["magnets"] = json!(magnets.collect::<Vec<_>>());
    json["question"] = partial.json();
    partial
}

/// Magnets that are compared by their grades alone, of whatever size.
fn in_grades(scene: &Scene, named: Option<Named>) -> Vec<Named> {
    let mut out: Vec<Named> = Vec::new();
    for (item, grade) in magnets::grades_said(scene) {
        if out.iter().all(|m| m.grade.as_ref() != Some(&grade)) {
            let plain = named.clone().unwrap_or_else(|| Named::of_grade(item));
            out.push(Named {
                item,
                grade: Some(grade),
                ..plain
            });
        }
    }
    if out.len() > 1 {
        out
    } else {
        named.into_iter().collect()
    }
}

/// Numbers before magnets that are compared: where they differ, so many stand beside each other.
fn side_by_side(scene: &Scene, free: &mut [Named]) {
    let counts: Vec<Option<u32>> = free
        .iter()
        .map(|m| {
            m.count
                .or_else(|| magnets::leading_count(scene, m.item))
                .filter(|n| *n <= 40)
        })
        .collect();
    let differ = counts
        .windows(2)
        .any(|pair| pair[0].unwrap_or(1) != pair[1].unwrap_or(1));
    for (magnet, count) in free.iter_mut().zip(counts) {
        if differ {
            magnet.count = count.filter(|n| *n > 1);
        }
    }
}

/// Whether it is told of two equal magnets that work on each other, rather than of one on steel or of a stack.
fn is_pair(scene: &Scene, about: &[String], free: &[Named]) -> bool {
    let [one] = free else { return false };
    let has = |what: &str| about.iter().any(|a| a == what);
    let two = magnets::leading_count(scene, one.item) == Some(2) || scene.any(|x| x.is("pairs") || x.norm == "both");
    let meet = scene.any(|x| x.norm == "together" || x.is("reciprocal"));
    let works = has("pull") && of_two(scene) || (has("jump") || has("danger")) && (two && meet || of_two(scene));
    works && one.count.is_none() && !scene.any(roles::is_steel)
}

/// What is told of a magnet by its grade, which is asked where nobody says it.
const GRADED: [&str; 5] = ["pull", "field", "face_field", "distance_for_field", "heat"];

/// The coating of each magnet; one size in several coatings is several magnets.
fn in_coatings(scene: &Scene, sort: Sort, free: &mut Vec<Named>, notes: &mut Notes) -> Vec<Option<&'static str>> {
    let mut said = choose::coatings(scene);
    if sort == Sort::Compare && said.iter().all(|s| s.is == said[0].is) {
        // "zinc or nickel?": where finishes are compared, each of them alone names one
        said.extend(choose::finishes(scene));
        let mut seen: Vec<&str> = Vec::new();
        said.retain(|s| {
            let first = !seen.contains(&s.is);
            seen.push(s.is);
            first
        });
    }
    // a plain jacket of plastic has no name among the coatings
    said.retain(|s| s.is != "plastic");
    said.sort_by_key(|s| s.place);
    let mut out = vec![None; free.len()];
    match (said.as_slice(), free.as_slice()) {
        ([], _) | (_, []) => {}
        ([first, _, ..], [one]) if sort == Sort::Compare && said.iter().any(|s| s.is != first.is) => {
            *free = vec![one.clone(); said.len()];
            out = said.iter().map(|s| Some(s.is)).collect();
        }
        (several, magnets) if sort == Sort::Compare && several.len() == magnets.len() => {
            out = several.iter().map(|s| Some(s.is)).collect();
        }
        // "8x2 N35 nickel or 8x2 ferrite"
        ([only], [first, second])
            if sort == Sort::Compare
                && first.written
                && second.written
                && (first.item..second.item).contains(&only.place.0) =>
        {
            out[0] = Some(only.is);
        }
        ([only], _) => out.fill(Some(only.is)),
        (_, [_]) | (_, [_, ..]) => {}
    }
    for (i, coat) in out.iter().enumerate().filter(|c| c.1.is_some()) {
        let own = said.iter().find(|s| Some(s.is) == *coat);
        own.into_iter().for_each(|s| {
            notes.span(
                scene,
                s.place,
                &format!("/magnets/{i}/coating"),
                "coating of the magnet",
            )
        });
    }
    out
}

fn named(m: &Named, coating: Option<&str>) -> NamedMagnet {
    NamedMagnet {
        coating: coating.map(str::to_owned),
        shape: m.shape.and_then(ShapeKind::named),
        size_mm: m.size_mm.clone(),
        grade: m.grade.clone(),
        count: m.count,
        ..NamedMagnet::default()
    }
}

/// The conditions said of named magnets.
fn conditions_of(scene: &Scene, sort: Sort, named: &[Named], about: &[String], notes: &mut Notes) -> Partial {
    let mut out = Partial::default();
    let mut taken: Vec<usize> = named.iter().flat_map(|n| n.items.clone()).collect();
    let has = |what: &str| about.iter().any(|a| a == what);
    choose::conditions(scene, &mut out, &mut taken, notes);
    taken.extend(magnetised_through(scene));
    taken.extend(sizes_again(scene, named));
    // where it lives matters to rust alone
    if !has("corrosion") {
        out.conditions.remove("surroundings");
    }
    if ["price", "fly", "weight", "value"].into_iter().any(has) {
        out.pieces = pieces(scene, named, &taken);
    }
    let verb = if has("pull") || has("value") || has("steel_mm") {
        match of_two(scene) {
            true if repels(scene) => Verb::PushApart,
            true => Verb::PullTogether,
            false => Verb::Hold,
        }
    } else if has("field") || has("distance_for_field") || has("keep_away") {
        Verb::ReachField
    } else if has("jump") {
        if scene.any(roles::is_steel) {
            Verb::Hold
        } else {
            Verb::PullTogether
        }
    } else if has("face_field") {
        Verb::FaceField
    } else {
        return out;
    };
    let placed = places::assign(
        &scene.learned.amounts,
        verb,
        &places::candidates(scene, verb, named, &taken),
    );
    out.verb = Some(verb);
    out.need.insert("verb".into(), json!(verb.name()));
    match verb {
        Verb::Hold => {
            if let Some(p) = of_role(&placed, Role::SteelThickness) {
                out.steel("thickness", p.length.high.as_str());
                notes.put(
                    scene,
                    p.length.item,
                    "/question/need/steel/thickness",
                    "thickness of the steel",
                );
            } else if let Some((_, thing)) = choose::surface(scene)
                && let Some([low, high]) = thing.thickness_mm
            {
                out.steel("thickness", format!("{low}..{high} mm"));
                out.ask("/question/need/steel/thickness");
            }
            choose::material(scene, &mut out, notes);
            choose::layers(scene, &placed, &mut out, notes);
            let mut direct = Partial::default();
            // what led to a way is noted where the way is taken
            let mut led = Notes::default();
            choose::direction(scene, &mut direct, &mut led);
            let sure = Data::builtin()
                .direction
                .said(&scene.words)
                .first()
                .is_some_and(|s| s.score >= 4.0);
            let carries = ["pull", "value"].into_iter().any(has);
            if let Some(d) = direct.need.get("direction").filter(|d| {
                sure && carries
                    && (*d != "straight_off"
                        || scene.any(|x| x.norm.contains("straight") || x.norm.starts_with("perpendicular")))
            }) {
                out.need.insert("direction".into(), d.clone());
                notes.0.append(&mut led.0);
                out.signs.append(&mut direct.signs);
            }
            // magnets beside each other are judged by what they can, not by a load
            let loads = loads::loads(scene, verb);
            if let Some(best) = loads.first().filter(|l| {
                l.score > 0.0 && sort == Sort::Tell && carries && scene.near(l.item, &["budget"], 9.0).is_none()
            }) {
                out.need.insert("load".into(), json!(best.text));
                notes.put(scene, best.item, "/question/need/load", "load");
            }
        }
        Verb::PullTogether | Verb::PushApart => {
            let mut part = Partial::default();
            choose::pair(scene, &placed, &mut part, notes);
            if let Some(gap) = part.need.get("gap") {
                out.need.insert("gap".into(), gap.clone());
            }
        }
        Verb::ReachField => {
            if let Some(f) = loads::fields(scene).first() {
                out.need.insert("field".into(), json!(f.1.text));
            }
            if let Some(p) = of_role(&placed, Role::Distance) {
                out.need.insert("distance".into(), json!(p.length.high));
                notes.put(
                    scene,
                    p.length.item,
                    "/question/need/distance",
                    "distance from the face",
                );
            }
        }
        Verb::FaceField => {
            if let Some(p) = of_role(&placed, Role::Probe) {
                out.need.insert("probe_depth".into(), json!(p.length.high));
                notes.put(scene, p.length.item, "/question/need/probe_depth", "depth of the probe");
            }
        }
        _ => {}
    }
    out.placed = placed;
    out
}

/// The lengths that say along which size a magnet is magnetised: `magnetised through the 10 mm`.
fn magnetised_through(scene: &Scene) -> Vec<usize> {
    const WAYS: [&str; 12] = [
        "magnetised",
        "magnetized",
        "through",
        "thru",
        "along",
        "across",
        "in",
        "over",
        "the",
        "its",
        "axially",
        "direction",
    ];
    let said = |i: usize| {
        let mut at = i;
        for _ in 0..4 {
            let before = scene.previous(at)?;
            let word = scene.items[before].norm.as_str();
            if word.starts_with("magneti") && word.ends_with("ed") {
                return Some(i);
            }
            if !WAYS.contains(&word) {
                return None;
            }
            at = before;
        }
        None
    };
    let lengths = (0..scene.items.len()).filter(|i| scene.items[*i].amount().is_some());
    lengths.filter_map(said).collect()
}

/// The lengths that point back to a size of a magnet: `through the 10 mm` of one that is 50 x 15 x 10 mm.
fn sizes_again(scene: &Scene, named: &[Named]) -> Vec<usize> {
    let of_magnet = |mm: f64| {
        named
            .iter()
            .flat_map(|n| &n.size_mm)
            .any(|size| (size - mm).abs() < 1e-9 * mm)
    };
    roles::lengths(scene, &[])
        .into_iter()
        .filter(|l| scene.word(scene.previous(l.item)) == "the" && of_magnet(l.high_mm))
        .map(|l| l.item)
        .collect()
}

/// Whether the force is that between two magnets: it is said so, and no steel is named.
fn of_two(scene: &Scene) -> bool {
    !Data::builtin().pair.said(&scene.words).is_empty() && !scene.any(roles::is_steel)
}

/// Whether two magnets push each other off.
fn repels(scene: &Scene) -> bool {
    let said = Data::builtin().verb.said(&scene.words);
    said.iter().any(|s| s.is == Verb::PushApart.name() && s.score > 0.0)
}

/// How many pieces are asked about: the number before the magnet, one that is counted, or one that a price or a weight is for.
fn pieces(scene: &Scene, named: &[Named], taken: &[usize]) -> Option<u32> {
    let stacked = named.iter().any(|m| m.count.is_some());
    let lead = named
        .first()
        .filter(|_| !stacked)
        .and_then(|n| magnets::leading_count(scene, n.item));
    let counted = counts::counts(scene, Verb::Hold, taken);
    // what is set beside each other is not ordered
    let several = |n: &u32| *n > 1 && named.iter().all(|m| m.count != Some(*n));
    lead.filter(several)
        .or(counted.pieces.or(counted.shared).map(|p| p.1).filter(several))
        .or_else(|| {
            let ordered = scene.numbers().find(|(i, a)| {
                let before = scene.word(scene.previous(*i));
                let after = scene.next(*i).map(|n| &scene.items[n]);
                let ordered = matches!(before, "at" | "for" | "of" | "take" | "order" | "qty" | "buy" | "a")
                    || scene.near(*i, &["quantity"], 4.5).is_some();
                let counts = ordered
                    && after.is_none_or(|n| !n.is_any(&["time", "age", "month"]) && n.grade().is_none())
                    || after.is_some_and(|n| n.is("pieces"));
                counts && a.high > 1.0 && a.high.fract() == 0.0 && !taken.contains(i)
            });
            ordered.map(|(_, a)| a.high as u32).filter(several)
        })
}
