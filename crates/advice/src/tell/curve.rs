//! The curves that go with what is told.

use super::Told;
use super::find::{Subject, spot};
use crate::answer::Predicted;
use crate::catalogue::Catalogue;
use crate::enquiry::About;
use crate::predict::{InUse, Task};

/// A value of a given magnet against a distance.
#[derive(Clone, Copy, Debug)]
pub struct Curve<'a> {
    /// The value, at the distance asked or at the face.
    pub in_use: InUse<'a>,
    /// What it is.
    pub quantity: Predicted,
    /// The greatest distance that is worth showing, m.
    pub end: f64,
}

impl Told {
    /// The curves that go with what was asked; none where distance plays no part.
    pub fn curves<'a>(&'a self, catalogue: &'a Catalogue) -> Vec<Curve<'a>> {
        let Some(subject) = Subject::new(&self.given, &self.setting, &[], catalogue) else {
            return Vec::new();
        };
        let shape = &self.given.item.shape;
        let reach = shape.widest().max(shape.height() * f64::from(subject.pieces()));
        let at = |asked: Option<f64>, usual: f64| asked.map_or(usual, |asked| usual.max(2.5 * asked));
        let force = |task: Task| Curve {
            in_use: subject.at(task),
            quantity: Predicted::Force,
            end: at(Some(task.distance()), 0.6 * reach),
        };
        let mut out = Vec::new();
        for about in &self.about {
            let curve = match about {
                About::Pull | About::Card | About::Jump if subject.is_pair() => force(Task::Pair {
                    gap: self.setting.gap.unwrap_or(0.0),
                    opposed: self.setting.opposed,
                }),
                About::Pull | About::Card | About::Jump => force(self.setting.plate(catalogue)),
                About::Field | About::FaceField | About::DistanceForField | About::KeepAway => Curve {
                    in_use: subject.at(spot(self.setting.distance.unwrap_or(0.0), self.setting.off_axis)),
                    quantity: Predicted::FluxDensity,
                    end: at(self.setting.distance, 2.0 * reach),
                },
                _ => continue,
            };
            if !out.iter().any(|known: &Curve| known.quantity == curve.quantity) {
                out.push(curve);
            }
        }
        out
    }
}
