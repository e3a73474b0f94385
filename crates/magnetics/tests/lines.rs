//! Flux lines: where they run, and that equal flux lies between them.

use magnetics::arc::Arc;
use magnetics::lines;
use magnetics::lines::{LinesError, flux_lines};
use magnetics::plane::Plane;
use magnetics::plane::Window;

use magnetics::profile::Profile;
use magnetics::stream::Stream;
use magnetics::{Assembly, Body, Placed, Polarisation, Scene, Shape, Solid, stack};

const MM: f64 = 1e-3;
const WINDOW: Window = Window {
    left: 0.0,
    right: 20.0 * MM,
    bottom: -20.0 * MM,
    top: 20.0 * MM,
};

fn single(shape: Shape) -> Assembly {
    Assembly::new(vec![Body {
        shape,
        polarisation: 1.2,
        centre: [0.0; 3],
    }])
    .expect("a valid magnet")
}

const DISC: Shape = Shape::Disc {
    diameter: 10.0 * MM,
    thickness: 5.0 * MM,
};
const RING: Shape = Shape::Ring {
    outer_diameter: 12.0 * MM,
    inner_diameter: 5.0 * MM,
    thickness: 5.0 * MM,
};

#[test]
fn each_line_keeps_its_flux_and_the_steps_between_are_equal() {
    for shape in [DISC, RING, Shape::Sphere { diameter: 8.0 * MM }] {
        let magnet = single(shape);
        let lines = flux_lines(&magnet, WINDOW, 12, false).expect("lines");
        assert!(lines.len() >= 8, "{}", lines.len());
        let flux = |p: &[f64; 2]| magnet.flux_through_circle(p[0], p[1]).expect("turned");
        let most = flux(&[0.5 * shape.widest() * (1.0 - 1e-9), 0.0]).abs();
        let mut levels = Vec::new();
        for line in &lines {
            // The shortest are loops around a rim, within few cells of the grid.
            assert!(line.len() > 4);
            let level = flux(&line[line.len() / 2]);
            for point in line {
                assert!(
                    (flux(point) - level).abs() <= 2e-3 * most,
                    "{shape:?} {point:?}: {} {level}",
                    flux(point)
                );
                assert!(point[0] >= 0.0 && point[0] <= WINDOW.right && point[1].abs() <= WINDOW.top + 1e-12);
            }
            levels.push(level / most);
        }
        if shape == DISC {
            levels.sort_by(f64::total_cmp);
            assert_eq!(levels.len(), 12);
            for (k, level) in levels.iter().enumerate() {
                assert!((level - (k as f64 + 0.5) / 12.0).abs() <= 2e-3, "{levels:?}");
            }
        }
    }
}

#[test]
fn lines_close_or_reach_the_frame() {
    let lines = flux_lines(&single(DISC), WINDOW, 10, false).expect("lines");
    let on_frame =
        |p: &[f64; 2]| (p[0] - WINDOW.right).abs() < 1e-9 || (p[1].abs() - WINDOW.top).abs() < 1e-9 || p[0] < 1e-9;
    let closed = |line: &Vec<[f64; 2]>| line.first() == line.last();
    assert!(
        lines
            .iter()
            .all(|line| closed(line) || (on_frame(&line[0]) && on_frame(&line[line.len() - 1])))
    );
    assert!(lines.iter().any(closed) && !lines.iter().all(closed));
}

#[test]
fn lines_run_into_the_plate_at_right_angles() {
    let above = Body {
        shape: DISC,
        polarisation: 1.2,
        centre: [0.0, 0.0, 4.0 * MM],
    };
    let magnet = Assembly::new(vec![above]).expect("valid");
    let lines = flux_lines(&magnet, WINDOW, 10, true).expect("lines");
    assert!(lines.len() >= 10);
    for line in &lines {
        assert!(line.iter().all(|p| p[1] >= -1e-12));
        for end in [[line[1], line[0]], [line[line.len() - 2], line[line.len() - 1]]] {
            if end[1][1] < 1e-9 {
                let lean = ((end[1][0] - end[0][0]) / (end[1][1] - end[0][1])).abs();
                assert!(lean < 0.2, "{end:?}");
            }
        }
    }
    // As many lines end on the plate as its share of the flux says: what passes its surface over what passes the magnet.
    let image = Body {
        centre: [0.0, 0.0, -4.0 * MM],
        ..above
    };
    let both = Assembly::new(vec![above, image]).expect("valid");
    let flux = |x: f64, z: f64| both.flux_through_circle(x, z).expect("turned");
    let into_plate = (1..200).map(|k| flux(0.1 * MM * f64::from(k), 0.0)).fold(0.0, f64::max);
    let share = into_plate / flux(5.0 * MM * (1.0 - 1e-9), 4.0 * MM);
    let ended = lines.iter().filter(|line| line.iter().any(|p| p[1] < 1e-9)).count();
    assert!(share > 0.5 && share < 0.95, "{share}");
    assert_eq!(
        ended,
        (0..10).filter(|k| (f64::from(*k) + 0.5) / 10.0 < share).count(),
        "{share}"
    );
}

#[test]
fn a_line_through_a_stack_is_drawn_once() {
    let three = stack(
        &Shape::Disc {
            diameter: 10.0 * MM,
            thickness: 2.0 * MM,
        },
        20e-6,
        3,
        1.2,
    )
    .expect("valid");
    let one = stack(
        &Shape::Disc {
            diameter: 10.0 * MM,
            thickness: 6.0 * MM,
        },
        0.0,
        1,
        1.2,
    )
    .expect("valid");
    let count = |assembly: &Assembly| flux_lines(assembly, WINDOW, 10, false).expect("lines").len();
    let (stacked, solid) = (count(&three), count(&one));
    assert!(solid == 10 && (10..=13).contains(&stacked), "{solid} {stacked}");
}

#[test]
fn a_block_section_has_equal_flux_per_depth() {
    let shape = Shape::Block {
        length: 10.0 * MM,
        width: 30.0 * MM,
        thickness: 5.0 * MM,
    };
    let lines = flux_lines(&single(shape), WINDOW, 8, false).expect("lines");
    assert_eq!(lines.len(), 8);
    assert!(lines.iter().flatten().all(|p| p.iter().all(|c| c.is_finite())));
}

#[test]
fn odd_requests_are_refused() {
    let magnet = single(DISC);
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        let window = Window { right: bad, ..WINDOW };
        assert!(
            matches!(flux_lines(&magnet, window, 5, false), Err(LinesError::Window(_))),
            "{bad}"
        );
    }
    for count in [0, 201] {
        assert_eq!(flux_lines(&magnet, WINDOW, count, false), Err(LinesError::Count(count)));
    }
    assert!(matches!(
        flux_lines(&magnet, WINDOW, 5, true),
        Err(LinesError::InPlate { body: 0, .. })
    ));
    let many = stack(&DISC, 20e-6, 201, 1.0).expect("valid");
    assert_eq!(flux_lines(&many, WINDOW, 5, false), Err(LinesError::Bodies(201)));
    let aside = Body {
        shape: DISC,
        polarisation: 1.0,
        centre: [1.0 * MM, 0.0, 0.0],
    };
    let assembly = Assembly::new(vec![aside]).expect("valid");
    assert!(matches!(
        flux_lines(&assembly, WINDOW, 5, false),
        Err(LinesError::OffAxis { body: 0, .. })
    ));
}

fn placed(solid: Solid, polarisation: [f64; 3], centre: [f64; 3], turn: [f64; 3]) -> Placed {
    Placed::new(solid, Polarisation::Along(polarisation), centre, turn).expect("valid")
}

/// Turned bodies about an axis that leans in the picture: every line keeps its flux, and the levels are evenly spaced.
#[test]
fn turned_scenes_have_level_lines_whatever_the_axis() {
    let frustum = Solid::Turned(Profile::frustum(12.0 * MM, 6.0 * MM, 5.0 * MM).expect("valid"));
    for lean in [0.0, 0.5, std::f64::consts::FRAC_PI_2] {
        let axis = [f64::sin(lean), 0.0, f64::cos(lean)];
        let turn = [0.0, lean, 0.0];
        let scene = Scene::new(vec![
            placed(frustum.clone(), [0.0, 0.0, 1.2], [0.0; 3], turn),
            placed(Solid::Plain(DISC), [0.0, 0.0, -1.0], axis.map(|c| 9.0 * MM * c), turn),
        ]);
        let stream = Stream::new(&scene).expect("about one axis");
        let window = Window {
            left: -20.0 * MM,
            ..WINDOW
        };
        let drawn = lines::of(&scene, &Plane::xz(0.0), window, 8).expect("lines");
        let flux = |p: [f64; 2]| stream.at(Plane::xz(0.0).point(p));
        let mut levels: Vec<f64> = drawn.iter().map(|line| flux(line[line.len() / 2])).collect();
        levels.sort_by(f64::total_cmp);
        let step = levels
            .windows(2)
            .map(|p| p[1] - p[0])
            .filter(|d| *d > 1e-9)
            .fold(f64::INFINITY, f64::min);
        for (line, level) in drawn.iter().map(|line| (line, flux(line[line.len() / 2]))) {
            assert!(line.iter().all(|&p| (flux(p) - level).abs() <= 0.01 * step), "{lean}");
            let steps = level / step - 0.5;
            assert!((steps - steps.round()).abs() <= 0.01, "{lean} {steps}");
            let along = line.windows(2).map(|pair| {
                let [a, b] = [pair[0], pair[1]];
                let middle = [0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])];
                let field = scene.flux_density(Plane::xz(0.0).point(middle)).expect("off the rims");
                field[0] * (b[0] - a[0]) + field[2] * (b[1] - a[1])
            });
            assert!(along.sum::<f64>() > 0.0);
        }
        // Both halves of the picture are alike where the grid is.
        assert!(lean == 0.5 || drawn.len().is_multiple_of(2));
    }
}

/// A row of blocks and an arc, seen from above: lines follow the field and leave equal flux between their starts.
#[test]
fn any_scene_has_lines_in_any_plane() {
    let block = Solid::Plain(Shape::Block {
        length: 6.0 * MM,
        width: 6.0 * MM,
        thickness: 6.0 * MM,
    });
    let arc = Solid::Arc(Arc {
        outer_diameter: 30.0 * MM,
        inner_diameter: 20.0 * MM,
        angle: 1.0,
        thickness: 6.0 * MM,
    });
    let scene = Scene::new(vec![
        placed(block.clone(), [1.2, 0.0, 0.0], [0.0; 3], [0.0; 3]),
        placed(block, [0.0, 1.2, 0.0], [0.0, 7.0 * MM, 0.0], [0.0; 3]),
        Placed::new(arc, Polarisation::Radial(1.1), [0.0; 3], [0.0; 3]).expect("valid"),
    ]);
    let plane = Plane::new([0.0; 3], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]).expect("spans");
    let window = Window {
        left: -25.0 * MM,
        right: 25.0 * MM,
        bottom: -25.0 * MM,
        top: 25.0 * MM,
    };
    let drawn = lines::of(&scene, &plane, window, 2).expect("lines");
    assert!(drawn.len() >= 4, "{}", drawn.len());
    for line in &drawn {
        for pair in line.windows(2).filter(|pair| pair[0] != pair[1]) {
            let middle = [0, 1].map(|i| 0.5 * (pair[0][i] + pair[1][i]));
            let Ok(field) = scene.flux_density(plane.point(middle)) else {
                continue;
            };
            let step = [0, 1].map(|i| pair[1][i] - pair[0][i]);
            let (size, length) = (field[0].hypot(field[1]), step[0].hypot(step[1]));
            let with = (field[0] * step[0] + field[1] * step[1]) / (size * length);
            // A step over a face may turn at it.
            assert!(
                with > 0.6 || length < 1e-6 || size < 0.02,
                "{middle:?} {with} {pair:?} {field:?}"
            );
        }
    }
}
