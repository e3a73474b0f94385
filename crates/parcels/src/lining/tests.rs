use super::*;

/// A sphere of radius 0.1 m, 1 mm thick: `1 + 2 · 200 · 0.001 / 0.3`, by hand.
#[test]
fn a_shell_weakens_as_by_hand() {
    let got = lining(1e-3, [0.2; 3], 1.0);
    assert!((got.weakens - 2.333_333).abs() < 1e-5, "{got:?}");
    assert!((got.at_least - 1.166_667).abs() < 1e-5);
    // 3 · 4π·1e-7 / (8 π · 0.01 · 0.001) = 15 mT for each A m².
    assert!((got.in_steel - 15e-3).abs() < 1e-9);
}

#[test]
fn steel_that_saturates_and_no_steel_are_not_counted_on() {
    for (thickness, moment) in [(1e-3, 101.0), (0.0, 1.0)] {
        let got = lining(thickness, [0.2; 3], moment);
        assert_eq!((got.weakens, got.at_least), (1.0, 1.0), "{got:?}");
    }
    assert!(lining(1e-3, [0.2; 3], 99.0).weakens > 1.0);
}

/// The long side decides what gets through, the short one what the steel carries.
#[test]
fn the_unfavourable_side_decides() {
    let (cube, long) = (lining(1e-3, [0.2; 3], 1.0), lining(1e-3, [0.4, 0.2, 0.2], 1.0));
    assert!(long.weakens < cube.weakens && long.in_steel == cube.in_steel);
}
