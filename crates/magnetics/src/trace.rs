//! Lines of flux followed through a field in a plane, for scenes that are not turned about one axis.

use crate::lines::Window;
use crate::scene::Scene;
use crate::section::Plane;

/// Share of the window's diagonal that one step may cover at most, and must cover at least.
const LONGEST_STEP: f64 = 1.0 / 80.0;
const SHORTEST_STEP: f64 = 1e-7;

/// Error allowed in one step, as a share of the window's diagonal; far below the width of a drawn line.
const STEP_ERROR: f64 = 1e-6;

/// The direction may turn by about this many radians in a step, so that the polyline looks smooth.
const TURN: f64 = 0.12;

/// A line that comes back past its start by less than this share of the window's diagonal meets it.
const MEETS: f64 = 5e-4;

/// Steps along one line before it is given up; a closed loop needs some hundreds.
const MOST_STEPS: usize = 5000;

/// Follows lines of the field's part in a plane.
pub(crate) struct Tracer<'a> {
    pub(crate) scene: &'a Scene,
    pub(crate) plane: Plane,
    pub(crate) window: Window,
}

impl Tracer<'_> {
    /// The whole line through a point, from where it enters to where it leaves; closed if it returns to it.
    pub(crate) fn line(&self, start: [f64; 2]) -> Vec<[f64; 2]> {
        let (forward, closed) = self.follow(start, 1.0);
        if closed {
            return forward;
        }
        let (mut line, _) = self.follow(start, -1.0);
        line.reverse();
        line.pop();
        line.extend(forward);
        line
    }

    /// The field's parts across and up the plane; `None` on an edge.
    pub(crate) fn field(&self, at: [f64; 2]) -> Option<[f64; 2]> {
        let b = self.scene.flux_density(self.plane.point(at)).ok()?;
        Some(self.plane.part(b))
    }

    /// Follow a line with (`sense` = 1) or against B; true if it came round to its start.
    fn follow(&self, start: [f64; 2], sense: f64) -> (Vec<[f64; 2]>, bool) {
        let diagonal = self.window.diagonal();
        let longest = LONGEST_STEP * diagonal;
        let mut line = vec![start];
        let mut at = start;
        let mut step = 0.1 * longest;
        let mut travelled = 0.0;
        for _ in 0..MOST_STEPS {
            let Some((next, error, turn)) = self.step(at, sense * step) else {
                step *= 0.5;
                if step < SHORTEST_STEP * diagonal {
                    break;
                } else {
                    continue;
                }
            };
            let smallest = step <= SHORTEST_STEP * diagonal;
            if (error > STEP_ERROR * diagonal || turn > TURN) && !smallest {
                step = (0.5 * step).max(SHORTEST_STEP * diagonal);
                continue;
            }
            travelled += step;
            if !self.window.contains(next) {
                line.push(self.clipped(at, next));
                return (line, false);
            }
            let away = (next[0] - start[0]).hypot(next[1] - start[1]);
            // Loops come back across the start's height from the side they left it on.
            let returned = travelled > 4.0 * away && away < step && (at[1] - start[1]) * (next[1] - start[1]) <= 0.0;
            if returned && line.len() > 8 {
                // In a plane across which the field spreads, lines wind about a point instead of closing.
                let on = [next[0] - at[0], next[1] - at[1]];
                let beside = (on[0] * (start[1] - at[1]) - on[1] * (start[0] - at[0])) / on[0].hypot(on[1]);
                line.push(if beside.abs() <= MEETS * diagonal { start } else { next });
                return (line, true);
            }
            line.push(next);
            at = next;
            if error < 0.02 * STEP_ERROR * diagonal && turn < 0.5 * TURN {
                step = (1.6 * step).min(longest);
            }
        }
        (line, false)
    }

    /// One Runge-Kutta step by two halves: where it leads, its error against a single one, and the angle turned.
    fn step(&self, at: [f64; 2], step: f64) -> Option<([f64; 2], f64, f64)> {
        let from = self.direction(at)?;
        let single = self.runge_kutta(at, step, from)?;
        let middle = self.runge_kutta(at, 0.5 * step, from)?;
        let onward = self.direction(middle)?;
        let double = self.runge_kutta(middle, 0.5 * step, onward)?;
        let to = self.direction(double)?;
        let error = (single[0] - double[0]).hypot(single[1] - double[1]);
        let turn = (from[0] * to[1] - from[1] * to[0])
            .atan2(from[0] * to[0] + from[1] * to[1])
            .abs();
        Some((double, error, turn))
    }

    fn runge_kutta(&self, at: [f64; 2], step: f64, k1: [f64; 2]) -> Option<[f64; 2]> {
        let moved = |k: [f64; 2], share: f64| [at[0] + share * step * k[0], at[1] + share * step * k[1]];
        let k2 = self.direction(moved(k1, 0.5))?;
        let k3 = self.direction(moved(k2, 0.5))?;
        let k4 = self.direction(moved(k3, 1.0))?;
        Some([0, 1].map(|i| at[i] + step / 6.0 * (k1[i] + 2.0 * (k2[i] + k3[i]) + k4[i])))
    }

    /// Unit vector of the field in the plane; `None` on an edge or where there is no field.
    fn direction(&self, at: [f64; 2]) -> Option<[f64; 2]> {
        let [across, up] = self.field(at)?;
        let size = across.hypot(up);
        (size > 0.0).then(|| [across / size, up / size])
    }

    /// The point between `from` (inside) and `to` (outside) on the frame.
    fn clipped(&self, from: [f64; 2], to: [f64; 2]) -> [f64; 2] {
        let share = |a: f64, b: f64, low: f64, high: f64| {
            if b < low {
                (low - a) / (b - a)
            } else if b > high {
                (high - a) / (b - a)
            } else {
                1.0
            }
        };
        let Window {
            left,
            right,
            bottom,
            top,
        } = self.window;
        let t = share(from[0], to[0], left, right).min(share(from[1], to[1], bottom, top));
        [from[0] + t * (to[0] - from[0]), from[1] + t * (to[1] - from[1])]
    }
}
