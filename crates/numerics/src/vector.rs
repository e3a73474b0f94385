//! Vectors of three components, and turning them.

/// A vector or a point.
pub type Vector = [f64; 3];

/// Sum.
#[inline]
pub fn add(a: Vector, b: Vector) -> Vector {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

/// Difference.
#[inline]
pub fn sub(a: Vector, b: Vector) -> Vector {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

/// Multiple.
#[inline]
pub fn scale(a: Vector, by: f64) -> Vector {
    [a[0] * by, a[1] * by, a[2] * by]
}

/// Scalar product.
#[inline]
pub fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// Vector product.
#[inline]
pub fn cross(a: Vector, b: Vector) -> Vector {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

/// Length.
#[inline]
pub fn length(a: Vector) -> f64 {
    dot(a, a).sqrt()
}

/// A turn in space: the rows of its matrix.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn([Vector; 3]);

impl Turn {
    /// No turn at all.
    pub const NONE: Self = Self([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]);

    /// The turn about `vector` by its length in radians (Rodrigues).
    pub fn about(vector: Vector) -> Self {
        let angle = length(vector);
        if angle == 0.0 {
            return Self::NONE;
        }
        let axis = scale(vector, 1.0 / angle);
        let (sin, cos) = angle.sin_cos();
        let fall = 2.0 * (0.5 * angle).sin().powi(2);
        Self(std::array::from_fn(|i| {
            let mut row = scale(axis, fall * axis[i]);
            row[i] += cos;
            let (next, last) = ((i + 1) % 3, (i + 2) % 3);
            row[next] -= sin * axis[last];
            row[last] += sin * axis[next];
            row
        }))
    }

    /// The `z` components of the body's axes.
    pub fn upwards(&self) -> Vector {
        self.0[2]
    }

    /// From the body's frame to space.
    #[inline]
    pub fn out(&self, v: Vector) -> Vector {
        [dot(self.0[0], v), dot(self.0[1], v), dot(self.0[2], v)]
    }

    /// From space to the body's frame.
    #[inline]
    pub fn back(&self, v: Vector) -> Vector {
        let row = |j: usize| self.0[0][j] * v[0] + self.0[1][j] * v[1] + self.0[2][j] * v[2];
        [row(0), row(1), row(2)]
    }

    /// The turn of a frame whose `z` is this one's axis of that index, and whose other axes follow in order.
    pub fn led_by(&self, axis: usize) -> Self {
        Self(self.0.map(|row| std::array::from_fn(|j| row[(axis + 1 + j) % 3])))
    }

    /// This turn, and then another.
    pub fn then(&self, next: &Self) -> Self {
        Self(std::array::from_fn(|i| {
            std::array::from_fn(|j| (0..3).map(|k| next.0[i][k] * self.0[k][j]).sum())
        }))
    }

    /// This turn, and then half a turn about `x`.
    pub fn upside_down(&self) -> Self {
        let [x, y, z] = self.0;
        Self([x, scale(y, -1.0), scale(z, -1.0)])
    }

    /// The same turn seen in a mirror across `z`.
    pub fn mirrored(&self) -> Self {
        let flip = |i: usize| if i == 2 { -1.0 } else { 1.0 };
        Self(std::array::from_fn(|i| {
            std::array::from_fn(|j| flip(i) * flip(j) * self.0[i][j])
        }))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn a_turn_keeps_lengths_and_comes_back(v in prop::array::uniform3(-4.0..4.0_f64), p in prop::array::uniform3(-1.0..1.0_f64)) {
            let turn = Turn::about(v);
            prop_assert!((length(turn.out(p)) - length(p)).abs() <= 1e-14);
            prop_assert!(length(sub(turn.back(turn.out(p)), p)) <= 1e-14);
            prop_assert!(length(sub(turn.out(v), v)) <= 1e-13);
        }
    }

    #[test]
    fn a_quarter_turn_about_z_takes_x_to_y() {
        let turned = Turn::about([0.0, 0.0, std::f64::consts::FRAC_PI_2]).out([1.0, 0.0, 0.0]);
        assert!(length(sub(turned, [0.0, 1.0, 0.0])) <= 1e-15);
    }
}
