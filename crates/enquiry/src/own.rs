//! The sentence that the program itself prints, read back exactly.
//!
//! `advice::sentence` prints a question clause by clause; this reads the same clauses and nothing else, so that a sentence
//! that was not edited gives back its question whatever its values are. Any other text is for the general reader.

use std::ops::Range;

use advice::limits::switches;
use advice::question::{
    Conditions, Direction, FieldCeiling, Goal, Layer, Limits, Need, Question, ShapeKind, SteelPart, Steelwork,
    Surroundings,
};
use quantity::{Convention, FluxDensity, Length, Load, Mass, Money, Quantity, Temperature, scan};

use crate::note::Note;
use crate::vocabulary::{Name, Vocabulary};

/// The question of a sentence that the program printed, and what each part of it says; `None` for any other text.
pub(crate) fn read(text: &str, vocabulary: &Vocabulary) -> Option<(Question, Vec<Note>)> {
    let mut cursor = Cursor {
        text,
        at: 0,
        vocabulary,
        notes: Vec::new(),
    };
    let mut question = cursor.opening()?;
    while cursor.eat(", ") {
        cursor.clause(&mut question)?;
    }
    let stop = cursor.eat(". ");
    if !stop {
        return None;
    }
    let start = cursor.at;
    question.pieces = cursor.count()?;
    (cursor.eat(" pieces.") || cursor.eat(" piece.")).then_some(())?;
    cursor.note(start, "/question/pieces", "pieces");
    text[cursor.at..].trim().is_empty().then_some((question, cursor.notes))
}

struct Cursor<'a> {
    text: &'a str,
    at: usize,
    vocabulary: &'a Vocabulary,
    notes: Vec<Note>,
}

impl Cursor<'_> {
    fn rest(&self) -> &str {
        &self.text[self.at..]
    }

    fn eat(&mut self, words: &str) -> bool {
        let found = self.rest().starts_with(words);
        if found {
            self.at += words.len();
        }
        found
    }

    fn note(&mut self, start: usize, path: &str, meaning: &str) {
        let range: Range<usize> = start..self.at;
        self.notes.push(Note {
            range,
            path: path.to_owned(),
            meaning: meaning.to_owned(),
        });
    }

    fn quantity<Q: Quantity>(&mut self) -> Option<Q> {
        let (value, len) = scan::<Q>(self.rest())?.ok()?;
        self.at += len;
        Some(value)
    }

    fn load(&mut self) -> Option<Load> {
        let start = self.at;
        if let Some(mass) = self.quantity::<Mass>() {
            return Some(Load::Mass(mass));
        }
        self.at = start;
        self.quantity().map(Load::Force)
    }

    fn until(&self, stops: &[&str]) -> usize {
        stops
            .iter()
            .filter_map(|s| self.rest().find(s))
            .min()
            .unwrap_or(self.rest().len())
    }

    fn number(&mut self) -> Option<f64> {
        let len = self.until(&[", ", ". "]);
        let value = self.rest()[..len].parse().ok().filter(|v: &f64| v.is_finite())?;
        self.at += len;
        Some(value)
    }

    fn count(&mut self) -> Option<u32> {
        let len = self
            .rest()
            .find(|c: char| !c.is_ascii_digit())
            .unwrap_or(self.rest().len());
        let value = self.rest()[..len].parse().ok()?;
        self.at += len;
        Some(value)
    }

    /// The longest of some names that stands here.
    fn name(&mut self, names: &[Name]) -> Option<String> {
        let found = names
            .iter()
            .map(|n| n.name.as_str())
            .filter(|n| self.rest().starts_with(n))
            .max_by_key(|n| n.len())?;
        let found = found.to_owned();
        self.at += found.len();
        Some(found)
    }

    fn opening(&mut self) -> Option<Question> {
        let start = self.at;
        let need = if self.eat("Hold ") {
            self.note(start, "/question/need/verb", "hold");
            self.hold()?
        } else if self.eat("Pull together with ") {
            self.note(start, "/question/need/verb", "pull together");
            let (force, gap) = self.pair()?;
            Need::PullTogether { force, gap }
        } else if self.eat("Push apart with ") {
            self.note(start, "/question/need/verb", "push apart");
            let (force, gap) = self.pair()?;
            Need::PushApart { force, gap }
        } else if self.eat("Reach ") {
            self.note(start, "/question/need/verb", "reach a field");
            let field = self.noted("/question/need/field", "field")?;
            self.eat(" at ").then_some(())?;
            let distance = self.noted("/question/need/distance", "distance")?;
            Need::ReachField {
                field,
                distance,
                off_axis: Length(0.0),
                no_more_than: None,
            }
        } else if self.eat("Switch a sensor that operates at ") {
            self.note(start, "/question/need/verb", "switch a sensor");
            let operate = self.noted("/question/need/operate", "operates at")?;
            self.eat(" and releases at ").then_some(())?;
            let release = self.noted("/question/need/release", "releases at")?;
            self.eat(", near at ").then_some(())?;
            let near = self.noted("/question/need/near", "near")?;
            self.eat(" and far at ").then_some(())?;
            let far = self.noted("/question/need/far", "far")?;
            Need::SwitchSensor {
                operate,
                release,
                margin: None,
                near,
                far,
            }
        } else if self.eat("Make a face field of ") {
            self.note(start, "/question/need/verb", "make a face field");
            Need::FaceField {
                field: self.noted("/question/need/field", "field")?,
                probe_depth: None,
            }
        } else {
            return None;
        };
        Some(Question {
            need,
            conditions: Conditions::default(),
            limits: Limits::default(),
            pieces: 1,
        })
    }

    fn noted<Q: Quantity>(&mut self, path: &str, meaning: &str) -> Option<Q> {
        let start = self.at;
        let value = self.quantity()?;
        self.note(start, path, meaning);
        Some(value)
    }

    fn pair(&mut self) -> Option<(Load, Length)> {
        let start = self.at;
        let force = self.load()?;
        self.note(start, "/question/need/force", "force");
        self.eat(" across a gap of ").then_some(())?;
        Some((force, self.noted("/question/need/gap", "gap")?))
    }

    fn hold(&mut self) -> Option<Need> {
        let start = self.at;
        let load = self.load()?;
        self.note(start, "/question/need/load", "load");
        let start = self.at;
        let direction = [
            (" straight off ", Direction::StraightOff),
            (" hanging below ", Direction::HangingBelow),
            (" sideways on ", Direction::Sideways),
        ]
        .into_iter()
        .find(|(words, _)| self.eat(words))?
        .1;
        self.note(start, "/question/need/direction", "way of the load");
        let start = self.at;
        let thickness = if self.eat("thick ") {
            None
        } else {
            let thickness = self.quantity()?;
            self.eat(" of ").then_some(())?;
            Some(thickness)
        };
        let material = self.name(&self.vocabulary.steels.clone())?;
        let across = if self.eat(" in a plate ") {
            let across = self.quantity()?;
            self.eat(" wide").then_some(())?;
            Some(across)
        } else {
            None
        };
        self.note(start, "/question/need/steel", "steel");
        let layers = if self.eat(" through ") {
            self.layers()?
        } else {
            Vec::new()
        };
        Some(Need::Hold {
            load,
            direction,
            steel: SteelPart {
                material,
                thickness,
                across,
            },
            layers,
            safety_factor: None,
            shared_by: 1,
            friction: None,
        })
    }

    fn layers(&mut self) -> Option<Vec<Layer>> {
        let names = self.vocabulary.layers.clone();
        let mut layers = Vec::new();
        loop {
            let start = self.at;
            let thickness = self.quantity()?;
            self.eat(" of ").then_some(())?;
            let material = self.name(&names)?;
            self.note(
                start,
                &format!("/question/need/layers/{}", layers.len()),
                "layer between",
            );
            layers.push(Layer { material, thickness });
            let before = self.at;
            if self.eat(" and ") {
                continue;
            }
            let more = self.eat(", ") && {
                let here = self.at;
                let another = self.quantity::<Length>().is_some() && self.rest().starts_with(" of ");
                self.at = here;
                another
            };
            if !more {
                self.at = before;
                return Some(layers);
            }
        }
    }

    fn money(&mut self, stop: &str) -> Option<Money> {
        let len = self.rest().find(stop)?;
        let amount = Money::parse(&self.rest()[..len], Convention::Point).ok()?;
        self.at += len + stop.len();
        Some(amount)
    }

    /// Names up to the next clause, parted by commas and `or`.
    fn names(&mut self, known: &[Name]) -> Option<Vec<String>> {
        let mut out = vec![self.name(known)?];
        loop {
            let before = self.at;
            if self.eat(" or ") {
                out.push(self.name(known)?);
                return Some(out);
            }
            let more = self.eat(", ").then(|| self.name(known)).flatten();
            match more {
                Some(name) => out.push(name),
                None => {
                    self.at = before;
                    return Some(out);
                }
            }
        }
    }

    fn clause(&mut self, question: &mut Question) -> Option<()> {
        let start = self.at;
        if let Some(limit) = switches().find(|limit| self.eat(limit.label())) {
            *question = limit.set(question, true.into())?;
            self.note(start, &format!("/question{}", limit.path()), limit.label());
            return Some(());
        }
        let (path, meaning) = self.clause_of(question)?;
        self.note(start, path, meaning);
        Some(())
    }

    fn clause_of(&mut self, question: &mut Question) -> Option<(&'static str, &'static str)> {
        if let Some(said) = self.need_clause(&mut question.need) {
            return Some(said);
        }
        if let Some(said) = self.condition(&mut question.conditions) {
            return Some(said);
        }
        self.limit(&mut question.limits)
    }

    fn need_clause(&mut self, need: &mut Need) -> Option<(&'static str, &'static str)> {
        match need {
            Need::Hold {
                safety_factor,
                shared_by,
                friction,
                ..
            } => {
                if self.eat("with a safety factor of ") {
                    *safety_factor = Some(self.number()?);
                    Some(("/question/need/safety_factor", "safety factor"))
                } else if self.eat("shared by ") {
                    *shared_by = self.count()?;
                    self.eat(" magnets")
                        .then_some(("/question/need/shared_by", "magnets that share the load"))
                } else if self.eat("friction ") {
                    *friction = Some(self.number()?);
                    Some(("/question/need/friction", "friction"))
                } else {
                    None
                }
            }
            Need::ReachField {
                off_axis, no_more_than, ..
            } => {
                if self.eat("off axis ") {
                    *off_axis = self.quantity()?;
                    Some(("/question/need/off_axis", "distance off the axis"))
                } else if self.eat("no more than ") {
                    let field: FluxDensity = self.quantity()?;
                    self.eat(" at ").then_some(())?;
                    *no_more_than = Some(FieldCeiling {
                        field,
                        distance: self.quantity()?,
                    });
                    Some(("/question/need/no_more_than", "stray field"))
                } else {
                    None
                }
            }
            Need::SwitchSensor { margin, .. } if self.eat("margin ") => {
                *margin = Some(self.number()?);
                Some(("/question/need/margin", "margin"))
            }
            Need::FaceField { probe_depth, .. } if self.eat("read by a probe ") => {
                *probe_depth = Some(self.quantity()?);
                self.eat(" deep")
                    .then_some(("/question/need/probe_depth", "depth of the probe"))
            }
            _ => None,
        }
    }

    fn condition(&mut self, conditions: &mut Conditions) -> Option<(&'static str, &'static str)> {
        if self.eat("up to ") {
            conditions.warmest = Some(self.quantity::<Temperature>()?);
            return Some(("/question/conditions/warmest", "the warmest it gets"));
        }
        if self.eat("down to ") {
            conditions.coldest = Some(self.quantity::<Temperature>()?);
            return Some(("/question/conditions/coldest", "the coldest it gets"));
        }
        let places = [
            ("indoors and dry", Surroundings::Dry),
            ("damp", Surroundings::Damp),
            ("outdoors", Surroundings::Outdoors),
            ("in contact with food", Surroundings::Food),
        ];
        let place = places.into_iter().find(|(words, _)| self.eat(words))?;
        conditions.surroundings = Some(place.1);
        Some(("/question/conditions/surroundings", "where it lives"))
    }

    fn limit(&mut self, limits: &mut Limits) -> Option<(&'static str, &'static str)> {
        for (words, path, slot) in [
            ("no wider than ", "/question/limits/widest", &mut limits.widest),
            ("no narrower than ", "/question/limits/narrowest", &mut limits.narrowest),
            ("no taller than ", "/question/limits/tallest", &mut limits.tallest),
            ("no shorter than ", "/question/limits/shortest", &mut limits.shortest),
            ("with a hole of at least ", "/question/limits/hole", &mut limits.hole),
        ] {
            if self.eat(words) {
                *slot = Some(self.quantity()?);
                return Some((path, "size of the magnet"));
            }
        }
        if self.eat("grade ") {
            let known: Vec<Name> = self
                .vocabulary
                .grades
                .iter()
                .chain(&self.vocabulary.families)
                .cloned()
                .collect();
            limits.grades = self.names(&known)?;
            return Some(("/question/limits/grades", "grade"));
        }
        if self.eat("stack of up to ") {
            limits.stack = Some(self.count()?);
            return Some(("/question/limits/stack", "most pieces in a stack"));
        }
        if self.eat("not stacked") {
            limits.stack = Some(1);
            return Some(("/question/limits/stack", "not stacked"));
        }
        if self.eat("no heavier than ") {
            limits.mass = Some(self.quantity()?);
            return Some(("/question/limits/mass", "most mass"));
        }
        if self.eat("budget ") {
            let here = self.at;
            let clause = self.until(&[", ", ". "]);
            let in_total = self.rest()[..clause.max(self.until(&[" in total", " each"]))].contains(" in total");
            self.at = here;
            return if in_total && !self.rest()[..self.until(&[" in total"])].contains(" each") {
                limits.budget_total = Some(self.money(" in total")?);
                Some(("/question/limits/budget_total", "most in total"))
            } else {
                limits.budget_each = Some(self.money(" each")?);
                Some(("/question/limits/budget_each", "most for one"))
            };
        }
        if self.eat("coated with ") {
            let len = self.until(&[", ", ". "]);
            limits.coating = Some(self.rest()[..len].to_owned());
            self.at += len;
            return Some(("/question/limits/coating", "coating"));
        }
        if self.eat("first the ") {
            let goal = Goal::ALL.into_iter().find(|g| self.eat(g.name()))?;
            limits.goal = Some(goal);
            return Some(("/question/limits/goal", "what is wanted most"));
        }
        if let Some(work) = Steelwork::ALL.into_iter().find(|s| self.eat(s.text())) {
            limits.steelwork = Some(work);
            return Some(("/question/limits/steelwork", "steel parts"));
        }
        let shapes: Vec<Name> = ShapeKind::ALL.iter().map(|s| Name::new(s.name(), [""; 0])).collect();
        let names = self.names(&shapes)?;
        limits.shapes = names.iter().filter_map(|n| ShapeKind::named(n)).collect();
        Some(("/question/limits/shapes", "shape"))
    }
}
