//! Flux lines: where they run, and that equal flux lies between them.

use magnetics::lines::{LinesError, Window, flux_lines};
use magnetics::{Assembly, Body, Shape, stack};

const MM: f64 = 1e-3;
const WINDOW: Window = Window {
    width: 20.0 * MM,
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
            assert!(line.len() > 10);
            let level = flux(&line[line.len() / 2]);
            for point in line {
                assert!(
                    (flux(point) - level).abs() <= 2e-3 * most,
                    "{shape:?} {point:?}: {} {level}",
                    flux(point)
                );
                assert!(point[0] >= 0.0 && point[0] <= WINDOW.width && point[1].abs() <= WINDOW.top + 1e-12);
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
        |p: &[f64; 2]| (p[0] - WINDOW.width).abs() < 1e-9 || (p[1].abs() - WINDOW.top).abs() < 1e-9 || p[0] < 1e-9;
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
        let window = Window { width: bad, ..WINDOW };
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
    let many = stack(&DISC, 20e-6, 65, 1.0).expect("valid");
    assert_eq!(flux_lines(&many, WINDOW, 5, false), Err(LinesError::Bodies(65)));
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
