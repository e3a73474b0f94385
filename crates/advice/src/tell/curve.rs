//! The curves that go with what is told.

use super::Told;
use super::find::Subject;
use crate::answer::{Along, CrossSection, Curve};
use crate::catalogue::Catalogue;
use crate::detail;
use crate::enquiry::About;
use crate::predict::{InUse, Task};

/// The curves of a given magnet, and its section where there are any.
#[derive(Clone, Debug, Default)]
pub struct Curves {
    /// Values against a distance, one of each kind.
    pub curves: Vec<Curve>,
    /// The lines of flux of one build.
    pub section: Option<CrossSection>,
}

impl Told {
    /// The curves that go with what was asked; none where distance plays no part.
    pub fn curves(&self, catalogue: &Catalogue) -> Curves {
        let Some(subject) = Subject::new(&self.given, &self.setting, &[], catalogue) else {
            return Curves::default();
        };
        let shape = &self.given.item.shape;
        let reach = shape.widest().max(shape.height() * f64::from(subject.pieces()));
        let at = |asked: Option<f64>, usual: f64| asked.map_or(usual, |asked| usual.max(2.5 * asked));
        let force = |along, task: Task| (along, subject.at(task), at(Some(task.distance()), 0.6 * reach));
        // The value, at the distance asked or at the face, and the greatest distance that is worth showing, m.
        let mut wanted: Vec<(Along, InUse, f64)> = Vec::new();
        for about in &self.about {
            let next = match about {
                About::Pull | About::Card | About::Jump if subject.is_pair() => force(
                    Along::Pair,
                    Task::Pair {
                        gap: self.setting.gap.unwrap_or(0.0),
                        opposed: self.setting.opposed,
                    },
                ),
                About::Pull | About::Card | About::Jump => force(Along::Plate, self.setting.plate(catalogue)),
                About::Field | About::FaceField | About::DistanceForField | About::KeepAway => (
                    Along::Field,
                    subject.at(Task::spot(self.setting.distance.unwrap_or(0.0), self.setting.off_axis)),
                    at(self.setting.distance, 2.0 * reach),
                ),
                _ => continue,
            };
            if wanted.iter().all(|(known, ..)| *known != next.0) {
                wanted.push(next);
            }
        }
        Curves {
            curves: wanted
                .iter()
                .filter_map(|(_, in_use, end)| detail::curve(in_use, *end))
                .collect(),
            section: wanted.first().and_then(|(_, in_use, _)| detail::alone(in_use)),
        }
    }
}
