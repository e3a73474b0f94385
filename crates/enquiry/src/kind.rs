//! What kind of enquiry a message is.

use quantity::Kind as Measured;

use crate::data::Data;
use crate::magnets::Named;
use crate::named::Class;
use crate::scene::Scene;
use crate::vocabulary::Vocabulary;

/// The five kinds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Sort {
    Choose,
    Tell,
    Compare,
    Explain,
    Refuse,
}

/// What kind, and what led to it.
#[derive(Clone, Debug)]
pub(crate) struct Decision {
    pub sort: Sort,
    /// The reason of a refusal.
    pub reason: Option<String>,
    /// The topic of a standing question.
    pub topic: Option<String>,
}

/// Words by which a message about anything else can be told.
const TRADE: [&str; 39] = [
    "magnet", "neodym", "ferrite", "gauss", "tesla", "pole", "samarium", "alnico", "halbach", "attract", "repel",
    "curie", "field", "remanen", "reed", "hall", "n35", "n42", "n45", "n52", "n38", "smco", "stick", "hold", "strong",
    "stuck", "hang", "pull", "hook", "snap", "grip", "mgoe", "coerciv", "oersted", "ndfeb", "flux", "n48", "repuls",
    "neo",
];

/// Decides between the kinds.
pub(crate) fn decide(scene: &Scene, magnets: &[Named], vocabulary: &Vocabulary) -> Decision {
    let data = Data::builtin();
    let words = &scene.words;
    let refused = |reason: &str| Decision {
        sort: Sort::Refuse,
        reason: Some(reason.to_owned()),
        topic: None,
    };
    if no_such_grade(scene, vocabulary) {
        return refused("no_such_grade");
    }
    let topics = data.topic.said(words);
    let amounts = |kind: Measured| scene.amounts(kind).any(|(_, a)| a.high > 0.0);
    let trade = scene.words.iter().any(|w| TRADE.iter().any(|t| w.starts_with(t)));
    let sheet = amounts(Measured::FluxDensity)
        || scene.any(|i| i.of(Class::Surface) || i.of(Class::Recess)) && amounts(Measured::Length);
    let shape = scene.any(|i| i.is_magnet() && !matches!(i.norm.as_str(), "round" | "bar"));
    let held = amounts(Measured::Force) || amounts(Measured::Mass) && scene.any(|i| i.of(Class::Surface));
    // What has a load and steel, or a magnet of a size, is about magnets whatever else the message tells.
    let ours = held || sheet || !magnets.is_empty();
    if let Some(said) = data.refuse.said(words).iter().find(|s| s.is != "off_topic" || !ours) {
        return refused(said.is);
    }
    if !trade && topics.is_empty() && magnets.is_empty() && !sheet && !shape && !held {
        return refused("off_topic");
    }
    let free: Vec<&Named> = magnets.iter().filter(|m| !m.bound).collect();
    let graded = free.iter().filter(|m| m.grade.is_some()).count();
    let written = free.iter().filter(|m| m.written || m.grade.is_some()).count();
    let load = amounts(Measured::Mass) || amounts(Measured::Force);
    let asks = scene.text.contains('?');
    let about: f64 = data.about.said(words).iter().map(|a| a.score).fold(0.0, f64::max);
    let choose = data.choose.score(words);
    let tell = data.tell.score(words);
    let compare = data.compare.score(words);
    let bound = scene.any(|i| i.is_any(&["max"])) as u8 as f64;
    let pieces = scene.any(|i| i.is("pieces")) as u8 as f64;
    let surface = scene.any(|i| i.of(Class::Surface)) as u8 as f64;
    let question_words = [
        "why", "how", "does", "do", "is", "are", "can", "will", "what", "which", "could", "should", "do",
    ];
    let opens = scene
        .items
        .iter()
        .find(|i| !i.norm.is_empty())
        .map_or("", |i| i.norm.as_str());
    let why = scene.says(&[
        "why",
        "explain",
        "mean",
        "means",
        "difference",
        "principle",
        "general",
        "generally",
        "curious",
        "lies",
        "come",
    ]);

    let mut s_choose = choose + if load { 2.5 } else { 0.0 } + bound + 0.7 * pieces + 0.5 * surface;
    if !free.is_empty() {
        s_choose -= 1.0;
    }
    let fields = scene.amounts(Measured::FluxDensity).count();
    if graded == 0 && fields > 0 && choose > 0.0 {
        s_choose += 2.5;
    }
    let mut s_tell = if free.is_empty() {
        -4.0
    } else {
        1.5 + tell + 0.5 * about + if graded > 0 { 2.5 } else { 0.0 }
    };
    if written == 0 {
        s_tell -= 1.5;
    }
    if load && bound > 0.0 && choose > 0.0 {
        s_tell -= 2.0;
    }
    if graded == 0 && choose > tell {
        s_tell -= 1.0;
    }
    if load && choose > 2.0 {
        s_tell -= if free.iter().any(|m| m.written) { 2.0 } else { 4.5 };
    }
    if load && scene.any(|x| x.is("hold")) && tell < 3.1 {
        s_tell -= 2.0;
    }
    if graded > 0 && !load {
        s_tell += 1.5;
    }
    // "would a 20x10 N42 hold 3 kg?"
    let doubts = ["does", "do", "is", "are", "can", "will", "would", "could"];
    if load && graded > 0 && bound == 0.0 && free.iter().any(|m| m.written) && doubts.contains(&opens) {
        s_tell += 3.0;
    }
    let mut s_compare = if free.len() >= 2 {
        1.5 + compare + 0.3 * about + if graded > 1 { 2.0 } else { 0.0 }
    } else {
        -9.0
    };
    let one_size = free.iter().all(|m| m.size_mm == free[0].size_mm);
    let grades: Vec<usize> = (0..scene.items.len())
        .filter(|i| scene.items[*i].grade().is_some())
        .collect();
    let beside = grades
        .iter()
        .any(|i| scene.same_sentence(grades[0], *i) && scene.items[*i].grade() != scene.items[grades[0]].grade());
    if free.len() >= 2 && one_size && !beside && compare == 0.0 {
        s_compare = s_tell - 1.0;
    } else if free.len() >= 2 {
        s_compare = s_compare.max(s_tell) + if compare > 0.0 { 1.5 } else { 0.2 };
    }
    if load && choose > 2.0 && !scene.text.contains("vs") {
        s_compare -= 2.5;
    }
    let topic = topics.first();
    let mut s_explain = topic.map_or(-3.0, |t| 2.5 + 1.5 * t.score);
    s_explain += if asks || question_words.contains(&opens) {
        1.0
    } else {
        -1.5
    };
    if why {
        s_explain += if graded == 0 && scene.says(&["why"]) { 4.0 } else { 1.5 };
    }
    let wonders = scene.says(&["why"]) || scene.text.to_lowercase().contains("how come");
    if load && !why && !wonders {
        s_explain -= 3.0;
    }
    if wonders && graded == 0 {
        s_explain += 1.5;
    }
    // a question without anything to choose by
    if asks && magnets.is_empty() && !load && bound == 0.0 && fields == 0 && !amounts(Measured::Length) {
        s_explain += 1.5;
    }
    let units = topic.is_some_and(|t| t.is == "units") && !amounts(Measured::Length);
    if fields > 0 && !why && !units {
        s_explain -= 4.0;
    } else if fields > 0 && !units || scene.amounts(Measured::Length).count() > 2 {
        s_explain -= 2.0;
    }
    s_explain -= 3.0 * written.min(2) as f64;
    s_explain -= 1.2 * bound + 1.2 * pieces;
    if scene.any(|i| matches!(i.norm.as_str(), "need" | "looking" | "recommend" | "quote" | "suggest")) {
        s_explain -= 1.5;
    }
    let scores = [s_choose, s_tell, s_compare, s_explain];
    let sorts = [Sort::Choose, Sort::Tell, Sort::Compare, Sort::Explain];
    let mut order: Vec<usize> = (0..4).collect();
    order.sort_by(|a, b| scores[*b].total_cmp(&scores[*a]));
    let sort = sorts[order[0]];
    Decision {
        sort,
        reason: None,
        topic: (sort == Sort::Explain)
            .then(|| topic.map(|t| t.is.to_owned()))
            .flatten(),
    }
}

/// A neodymium grade beyond the highest that the vocabulary has.
fn no_such_grade(scene: &Scene, vocabulary: &Vocabulary) -> bool {
    let number = |name: &str| {
        let digits = name.strip_prefix(['n', 'N'])?;
        let end = digits.find(|c: char| !c.is_ascii_digit()).unwrap_or(digits.len());
        (end == 2 && digits[end..].chars().all(|c| c.is_ascii_alphabetic()))
            .then(|| digits[..end].parse::<u32>().ok())
            .flatten()
    };
    let highest = vocabulary
        .grades
        .iter()
        .filter_map(|g| number(&g.name))
        .max()
        .unwrap_or(52);
    scene
        .items
        .iter()
        .any(|i| i.grade().is_none() && number(&i.norm).is_some_and(|n| n >= highest && n < 100))
}

/// What is asked of the magnets named, the surest first; `card` where nothing particular is.
pub(crate) fn about(scene: &Scene, sort: Sort) -> Vec<String> {
    let said = Data::builtin().about.said(&scene.words);
    let best = said.first().map_or(0.0, |s| s.score);
    let measured = |kind: Measured| scene.amounts(kind).next().is_some();
    let mut out: Vec<String> = said
        .iter()
        .filter(|s| s.score >= best - 0.1 || s.score >= 4.0)
        .map(|s| s.is.to_owned())
        .collect();
    let has = |out: &[String], what: &str| out.iter().any(|o| o == what);
    if has(&out, "card") && out.first().is_some_and(|o| o == "card") {
        return vec!["card".into()];
    }
    out.retain(|o| o != "card");
    // what is measured says what is asked
    if measured(Measured::Temperature) && !has(&out, "heat") {
        out.push("heat".into());
        out.retain(|o| o != "field");
    }
    let implant = scene.any(|x| {
        x.norm.starts_with("pacemaker") || x.norm.starts_with("implant") || x.norm.starts_with("defibrillator")
    });
    if measured(Measured::FluxDensity) && !implant && !scene.says(&["safe"]) {
        out.retain(|o| o != "keep_away");
    }
    if measured(Measured::Temperature) {
        out.retain(|o| o != "toy" && o != "machine");
    }
    if measured(Measured::FluxDensity)
        && !implant
        && !has(&out, "distance_for_field")
        && !has(&out, "keep_away")
        && scene.says(&["far", "distance", "~how", "how far", "where"])
    {
        out.push("distance_for_field".into());
    }
    // one matter implies words of another
    let drops: [(&str, &[&str]); 11] = [
        ("toy", &["danger", "machine", "pull", "keep_away"]),
        ("keep_away", &["danger", "distance_for_field", "corrosion", "heat"]),
        ("jump", &["pull", "distance_for_field", "keep_away"]),
        ("steel_mm", &["pull"]),
        ("value", &["price"]),
        ("distance_for_field", &["field", "keep_away"]),
        ("face_field", &[]),
        ("moment", &["pull"]),
        ("fly", &["pull"]),
        ("machine", &["pull"]),
        ("corrosion", &["pull"]),
    ];
    if has(&out, "heat") && !scene.says(&["corrosion", "rust", "rusts"]) {
        out.retain(|o| o != "corrosion");
    }
    let apart = scene.amounts(Measured::Length).any(|(i, _)| {
        matches!(scene.word(scene.previous(i)), "at" | "in" | "and" | "from" | "&")
            || matches!(scene.word(scene.next(i)), "away" | "out" | "off" | "from" | "above")
    });
    if has(&out, "face_field") && !apart {
        out.retain(|o| o != "field");
    }
    // a pull that is only hinted at beside an appliance that is named
    if has(&out, "keep_away") && !said.iter().any(|s| s.is == "pull" && s.score >= 6.0) {
        out.retain(|o| o != "pull");
    }
    for (first, others) in drops {
        if has(&out, first) {
            out.retain(|o| !others.contains(&o.as_str()));
        }
    }
    if sort == Sort::Compare && out.is_empty() {
        out.push("pull".into());
    }
    if out.is_empty() {
        out.push(if scene.says(&["pull", "hold", "force"]) {
            "pull".into()
        } else {
            "card".into()
        });
    }
    out
}
