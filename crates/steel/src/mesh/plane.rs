//! Plane geometry of the half section.

/// A point `[r, z]`, metres.
pub(crate) type Point = [f64; 2];

/// `a - b`.
pub(crate) fn minus(a: Point, b: Point) -> Point {
    [a[0] - b[0], a[1] - b[1]]
}

/// Length of the difference of two points.
pub(crate) fn distance(a: Point, b: Point) -> f64 {
    let d = minus(a, b);
    // Lengths in metres are far from where squares run over or vanish.
    (d[0] * d[0] + d[1] * d[1]).sqrt()
}

/// Half way between two points.
pub(crate) fn middle(a: Point, b: Point) -> Point {
    [0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])]
}

/// Twice the area of a triangle, positive when its corners run anticlockwise.
pub(crate) fn double_area(a: Point, b: Point, c: Point) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

/// Distance of a point from a segment.
pub(crate) fn to_segment(p: Point, a: Point, b: Point) -> f64 {
    let (d, e) = (minus(b, a), minus(p, a));
    let length2 = d[0] * d[0] + d[1] * d[1];
    let t = if length2 > 0.0 {
        ((d[0] * e[0] + d[1] * e[1]) / length2).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let [r, z] = [e[0] - t * d[0], e[1] - t * d[1]];
    (r * r + z * z).sqrt()
}

/// Where two segments cross at a point inside both; `None` when they only touch, lie along each other or miss.
pub(crate) fn crossing(a: Point, b: Point, c: Point, d: Point) -> Option<Point> {
    let apart = |i: usize| a[i].max(b[i]) < c[i].min(d[i]) || c[i].max(d[i]) < a[i].min(b[i]);
    if apart(0) || apart(1) {
        return None;
    }
    let (ca, cb) = (double_area(c, d, a), double_area(c, d, b));
    let (ac, ad) = (double_area(a, b, c), double_area(a, b, d));
    if ca * cb < 0.0 && ac * ad < 0.0 {
        let t = ca / (ca - cb);
        return Some([a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]);
    }
    None
}

/// Whether a point lies inside a closed outline; on its rim either answer may come.
pub(crate) fn inside(p: Point, outline: &[Point]) -> bool {
    let mut within = false;
    let Some(mut from) = outline.last().copied() else {
        return false;
    };
    for &to in outline {
        if (from[1] > p[1]) != (to[1] > p[1]) {
            let r = from[0] + (p[1] - from[1]) / (to[1] - from[1]) * (to[0] - from[0]);
            within ^= p[0] < r;
        }
        from = to;
    }
    within
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distances_to_a_segment_and_its_ends() {
        assert_eq!(to_segment([0.5, 2.0], [0.0, 0.0], [1.0, 0.0]), 2.0);
        assert_eq!(to_segment([4.0, 4.0], [0.0, 0.0], [1.0, 0.0]), 5.0);
        assert_eq!(to_segment([3.0, 4.0], [0.0, 0.0], [0.0, 0.0]), 5.0);
    }

    #[test]
    fn only_a_proper_crossing_counts() {
        assert_eq!(
            crossing([0.0, 0.0], [2.0, 2.0], [0.0, 2.0], [2.0, 0.0]),
            Some([1.0, 1.0])
        );
        assert_eq!(crossing([0.0, 0.0], [2.0, 0.0], [1.0, 0.0], [1.0, 2.0]), None);
        assert_eq!(crossing([0.0, 0.0], [2.0, 0.0], [1.0, 0.0], [3.0, 0.0]), None);
        assert_eq!(crossing([0.0, 0.0], [1.0, 0.0], [5.0, 1.0], [5.0, 2.0]), None);
    }

    #[test]
    fn inside_of_an_angle_piece() {
        let outline = [[0.0, 0.0], [2.0, 0.0], [2.0, 1.0], [1.0, 1.0], [1.0, 2.0], [0.0, 2.0]];
        assert!(inside([0.5, 1.5], &outline) && inside([1.5, 0.5], &outline) && !inside([1.5, 1.5], &outline));
    }
}
