//! Lines of flux followed through a field in a plane, for scenes that are not turned about one axis.

use std::collections::HashMap;

use crate::plane::{Plane, Window};
use crate::scene::Scene;

/// Share of the window's diagonal that one step may cover at most, and must cover at least.
const LONGEST_STEP: f64 = 1.0 / 80.0;
const SHORTEST_STEP: f64 = 1e-7;

/// Error allowed in one step, as a share of the window's diagonal; far below the width of a drawn line.
const STEP_ERROR: f64 = 1e-5;

/// The direction may turn by about this many radians in a step, so that the polyline looks smooth.
const TURN: f64 = 0.12;

/// A line that comes back past its start by less than this share of the window's diagonal meets it.
const MEETS: f64 = 5e-4;

/// Steps along one line before it is given up; a closed loop needs some hundreds.
const MOST_STEPS: usize = 5000;

/// Where a line comes nearer to what is drawn than this share of the window's diagonal, it ends: in a plane across which the field spreads, lines would
/// wind on for ever.
const APART: f64 = 4e-3;

/// The same as a share of the distance at which lines start beside each other, where that is less.
const OF_START: f64 = 0.4;

/// A line may come near to its own last part of so many times that distance.
const OWN_TAIL: f64 = 8.0;

/// What is drawn already, in squares whose side is the distance that lines keep.
pub(crate) struct Drawn {
    apart: f64,
    squares: HashMap<[i64; 2], Vec<[f64; 2]>>,
}

impl Drawn {
    /// Nothing yet; lines start at least `beside` from each other.
    pub(crate) fn new(window: Window, beside: f64) -> Self {
        Self {
            apart: (APART * window.diagonal()).min(OF_START * beside),
            squares: HashMap::new(),
        }
    }

    fn empty(&self) -> Self {
        Self {
            apart: self.apart,
            squares: HashMap::new(),
        }
    }

    fn square(&self, at: [f64; 2]) -> [i64; 2] {
        // Within the window the quotient is small.
        at.map(|c| (c / self.apart).floor() as i64)
    }

    /// Whether a place is nearer to something drawn than lines may come.
    fn is_near(&self, at: [f64; 2]) -> bool {
        let [column, row] = self.square(at);
        (-1..=1).any(|i| {
            (-1..=1).any(|j| {
                let there = self.squares.get(&[column + i, row + j]);
                there.is_some_and(|points| points.iter().any(|p| (p[0] - at[0]).hypot(p[1] - at[1]) < self.apart))
            })
        })
    }

    /// Adds a stretch of a line, at steps that leave no way through.
    fn add(&mut self, from: [f64; 2], to: [f64; 2]) {
        let steps = (2.0 * (to[0] - from[0]).hypot(to[1] - from[1]) / self.apart)
            .ceil()
            .max(1.0);
        for k in 0..steps as usize {
            let share = k as f64 / steps;
            let point = [0, 1].map(|i| from[i] + share * (to[i] - from[i]));
            self.squares.entry(self.square(point)).or_default().push(point);
        }
    }

    /// Adds a whole line.
    pub(crate) fn draw(&mut self, line: &[[f64; 2]]) {
        for pair in line.windows(2) {
            if let [a, b] = pair {
                self.add(*a, *b);
            }
        }
    }
}

/// Follows lines of the field's part in a plane.
pub(crate) struct Tracer<'a> {
    pub(crate) scene: &'a Scene,
    pub(crate) plane: Plane,
    pub(crate) window: Window,
}

impl Tracer<'_> {
    /// The whole line through a point, from where it enters or parts from what is drawn to where it leaves or meets it; closed if it returns to its start.
    pub(crate) fn line(&self, start: [f64; 2], drawn: &Drawn) -> Vec<[f64; 2]> {
        let (forward, closed) = self.follow(start, 1.0, drawn);
        if closed {
            return forward;
        }
        let (mut line, _) = self.follow(start, -1.0, drawn);
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
    fn follow(&self, start: [f64; 2], sense: f64, drawn: &Drawn) -> (Vec<[f64; 2]>, bool) {
        let mut own = drawn.empty();
        // Points of its own that it has left far enough behind to count.
        let mut behind = (0, 0.0);
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
            while let (Some(&a), Some(&b)) = (line.get(behind.0), line.get(behind.0 + 1)) {
                let end = behind.1 + (b[0] - a[0]).hypot(b[1] - a[1]);
                if travelled - end < OWN_TAIL * own.apart {
                    break;
                }
                own.add(a, b);
                behind = (behind.0 + 1, end);
            }
            if drawn.is_near(next) || own.is_near(next) {
                return (line, false);
            }
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
