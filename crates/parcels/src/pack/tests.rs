use super::*;

fn discs(count: u32) -> Pieces {
    Pieces {
        count,
        sides: [20e-3, 20e-3, 5e-3],
        moment: 1.6,
    }
}

fn left_over(content: &Content, lines: &[Pieces]) -> [f64; 3] {
    content
        .sources(lines)
        .iter()
        .fold([0.0; 3], |sum, source| [0, 1, 2].map(|k| sum[k] + source.moment[k]))
}

/// Whether two stacks share space.
fn overlap(a: &Stack, b: &Stack) -> bool {
    (0..3).all(|k| (a.at[k] - b.at[k]).abs() < 0.5 * (a.sides[k] + b.sides[k]) - 1e-9)
}

#[test]
fn every_piece_is_packed_within_the_size_and_none_in_another() {
    for arrangement in Arrangement::ALL {
        for count in [1, 2, 3, 4, 5, 7, 8, 16, 63, 64, 200, 201] {
            if count < arrangement.of() {
                continue;
            }
            for per_stack in [None, Some(1), Some(3)] {
                let lines = [
                    discs(count),
                    Pieces {
                        sides: [40e-3, 10e-3, 5e-3],
                        ..discs(count)
                    },
                ];
                let content = pack(&lines, arrangement, per_stack);
                for line in 0..2 {
                    let packed: u32 = content.stacks.iter().filter(|s| s.line == line).map(|s| s.pieces).sum();
                    assert_eq!(packed, count, "{arrangement:?} {per_stack:?}");
                }
                for (at, stack) in content.stacks.iter().enumerate() {
                    for k in 0..3 {
                        let end = stack.at[k].abs() + 0.5 * stack.sides[k];
                        assert!(
                            end <= 0.5 * content.size[k] + 1e-9,
                            "{arrangement:?} {count} {per_stack:?} {k}"
                        );
                    }
                    let others = &content.stacks[..at];
                    assert!(
                        !others.iter().any(|other| overlap(other, stack)),
                        "{arrangement:?} {count} {per_stack:?}"
                    );
                }
            }
        }
    }
}

#[test]
fn turned_stacks_and_rings_leave_nothing_over_in_even_number_and_one_piece_at_most_otherwise() {
    for arrangement in [Arrangement::Alternating, Arrangement::Paired] {
        for count in [2, 3, 10, 63, 200, 201, 1001] {
            let lines = [discs(count)];
            let [x, y, z] = left_over(&pack(&lines, arrangement, None), &lines);
            let one = f64::from(count % 2) * 1.6;
            assert!(
                x.abs() + y.abs() < 1e-9 && (z.abs() - one).abs() < 1e-9,
                "{arrangement:?} {count}: {z}"
            );
        }
    }
    for (count, most) in [
        (4, 0.0),
        (16, 0.0),
        (200, 0.0),
        (201, 1.6),
        (202, 1.6 * 2f64.sqrt()),
        (203, 1.6),
    ] {
        let lines = [discs(count)];
        let [x, y, z] = left_over(&pack(&lines, Arrangement::Rings, None), &lines);
        assert!(z == 0.0 && (x.hypot(y) - most).abs() < 1e-9, "{count}: {x} {y}");
    }
    let lines = [discs(200)];
    let [.., z] = left_over(&pack(&lines, Arrangement::OneWay, None), &lines);
    assert!((z - 200.0 * 1.6).abs() < 1e-9);
}

/// Neighbours of a chessboard are turned, beside and behind.
#[test]
fn in_turns_every_neighbour_is_turned() {
    for count in [8, 9, 30, 48, 200] {
        let content = pack(&[discs(count)], Arrangement::Alternating, Some(1));
        let pitch = 20e-3 + CARD;
        for a in &content.stacks {
            for b in &content.stacks {
                let apart = (a.at[0] - b.at[0]).hypot(a.at[1] - b.at[1]);
                if (apart - pitch).abs() < 1e-6 {
                    assert_ne!(a.north, b.north, "{count}: {:?} {:?}", a.at, b.at);
                }
            }
        }
    }
}
