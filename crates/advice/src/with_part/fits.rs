//! Which part goes with which magnet.

use magnetics::Shape;

use crate::part::Form;
use crate::predict::SEAT_GAP;
use crate::rules::SIZE_SLACK;

/// Diameter of a back-plate over that of the magnet: narrower ones leave part of the pole bare, wider ones are dead weight.
const BACK: [f64; 2] = [0.9, 1.6];
/// The hole of a washer over that of the ring that it backs, at most.
const WASHER_HOLE: f64 = 1.2;
/// Clear width about a magnet in a cup, on both sides together: at least, m, so that it goes in.
const LEAST_CLEARANCE: f64 = 0.1e-3;
/// The same at most, as a part of the magnet's diameter.
const MOST_CLEARANCE: f64 = 0.3;
/// How far the rim of a cup may stand out beyond the magnet's face, m; below zero the face stands out.
const RIM: [f64; 2] = [-0.3e-3, 0.5e-3];
/// Diameter of the base of a pole tip over that of the magnet.
const BASE: [f64; 2] = [0.85, 1.1];

/// A part on so many stacked pieces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Fit {
    /// Outer size across, m.
    pub width: f64,
    /// Height of the whole, m.
    pub height: f64,
    /// How far the rim of a cup stands out beyond the face, m; 0 for other parts.
    pub rim: f64,
}

/// How a part sits on so many stacked pieces of that outer shape; `None` where it does not go with them.
pub(crate) fn fit(shape: &Shape, pieces: u32, form: &Form) -> Option<Fit> {
    let (outer, hole) = match *shape {
        Shape::Disc { diameter, .. } => (diameter, None),
        Shape::Ring {
            outer_diameter,
            inner_diameter,
            ..
        } => (outer_diameter, Some(inner_diameter)),
        Shape::Block { .. } | Shape::Sphere { .. } => return None,
    };
    let stack = shape.height() * f64::from(pieces);
    let within = |size: f64, [least, most]: [f64; 2]| (least * outer..=most * outer).contains(&size);
    let on = |rim: f64| Fit {
        width: outer.max(form.widest()),
        height: stack + SEAT_GAP[1] + form.height(),
        rim,
    };
    match *form {
        Form::Disc { diameter, .. } => within(diameter, BACK).then(|| on(0.0)),
        Form::Washer {
            outer_diameter,
            inner_diameter,
            ..
        } => (within(outer_diameter, BACK) && hole.is_some_and(|hole| inner_diameter <= WASHER_HOLE * hole))
            .then(|| on(0.0)),
        Form::Cup {
            inner_diameter,
            height,
            depth,
            ..
        } => {
            let clearance = inner_diameter - outer;
            let rim = depth - stack - SEAT_GAP[1];
            let [least, most] = RIM;
            let goes_in = clearance >= LEAST_CLEARANCE - SIZE_SLACK && clearance <= MOST_CLEARANCE * outer;
            let flush = rim >= least - SIZE_SLACK && rim <= most + SIZE_SLACK;
            (goes_in && flush).then(|| Fit {
                height: height + (-rim).max(0.0),
                ..on(rim)
            })
        }
        Form::Cone { base, .. } | Form::Dome { base, .. } => (hole.is_none() && within(base, BASE)).then(|| on(0.0)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::{block, disc, ring};

    fn mm(form: &Form) -> Form {
        let m = |x: f64| x * 1e-3;
        match *form {
            Form::Disc { diameter, thickness } => Form::Disc {
                diameter: m(diameter),
                thickness: m(thickness),
            },
            Form::Washer {
                outer_diameter,
                inner_diameter,
                thickness,
            } => Form::Washer {
                outer_diameter: m(outer_diameter),
                inner_diameter: m(inner_diameter),
                thickness: m(thickness),
            },
            Form::Cup {
                outer_diameter,
                inner_diameter,
                height,
                depth,
                hole,
            } => Form::Cup {
                outer_diameter: m(outer_diameter),
                inner_diameter: m(inner_diameter),
                height: m(height),
                depth: m(depth),
                hole: m(hole),
            },
            Form::Cone { base, end, height } => Form::Cone {
                base: m(base),
                end: m(end),
                height: m(height),
            },
            Form::Dome { base, height } => Form::Dome {
                base: m(base),
                height: m(height),
            },
        }
    }

    #[test]
    fn backs_are_about_as_wide_as_the_magnet_and_washers_back_rings() {
        let back = |diameter| {
            mm(&Form::Disc {
                diameter,
                thickness: 2.0,
            })
        };
        let magnet = disc("a", 20.0, 5.0).shape;
        let fits = |diameter| fit(&magnet, 1, &back(diameter)).is_some();
        assert!(fits(18.0) && fits(32.0) && !fits(17.9) && !fits(32.1));
        let got = fit(&magnet, 2, &back(25.0)).unwrap();
        assert_eq!((got.width, got.rim), (25e-3, 0.0));
        assert!((got.height - 12.015e-3).abs() <= 1e-9);
        let washer = |hole| {
            mm(&Form::Washer {
                outer_diameter: 20.0,
                inner_diameter: hole,
                thickness: 2.0,
            })
        };
        let ring = ring("a", 20.0, 10.0, 5.0).shape;
        assert!(fit(&ring, 1, &washer(10.0)).is_some() && fit(&ring, 1, &washer(13.0)).is_none());
        assert!(fit(&magnet, 1, &washer(4.0)).is_none());
        assert!(fit(&block("a", 20.0, 20.0, 5.0).shape, 1, &back(20.0)).is_none());
    }

    #[test]
    fn cups_are_wider_than_the_magnet_and_about_as_deep() {
        let cup = |inner, depth| {
            mm(&Form::Cup {
                outer_diameter: 27.0,
                inner_diameter: inner,
                height: depth + 2.0,
                depth,
                hole: 0.0,
            })
        };
        let magnet = disc("a", 20.0, 5.0).shape;
        let rim = |inner, depth| fit(&magnet, 1, &cup(inner, depth)).map(|f| f.rim * 1e3);
        assert!((rim(21.0, 5.0).unwrap() + 0.015).abs() <= 1e-9);
        assert!((rim(21.0, 5.3).unwrap() - 0.285).abs() <= 1e-9);
        assert!(rim(20.0, 5.0).is_none() && rim(26.1, 5.0).is_none());
        assert!(rim(21.0, 4.6).is_none() && rim(21.0, 5.6).is_none());
        // Where the face stands out, the build is higher than the cup.
        let proud = fit(&magnet, 1, &cup(21.0, 4.8)).unwrap();
        assert!((proud.height - 7.015e-3).abs() <= 1e-9, "{proud:?}");
        assert!(fit(&disc("a", 20.0, 2.5).shape, 2, &cup(21.0, 5.0)).is_some());
    }

    #[test]
    fn tips_sit_on_discs_of_their_width() {
        let cone = |base| {
            mm(&Form::Cone {
                base,
                end: 2.0,
                height: 5.0,
            })
        };
        let fits = |base| fit(&disc("a", 10.0, 5.0).shape, 1, &cone(base)).is_some();
        assert!(fits(10.0) && fits(8.5) && !fits(8.0) && !fits(12.0));
        assert!(fit(&ring("a", 10.0, 4.0, 5.0).shape, 1, &cone(10.0)).is_none());
    }
}
