//! How many: pieces, those that share, pairs, sets, things that have magnets.

use super::*;

#[test]
fn magnets_that_share_are_told_from_pieces() {
    assert_reads(&[
        (
            "A panel of 2 kg on a wall of 1 mm steel, held by four magnets on its back.",
            "/question/need/shared_by",
            json!(4),
        ),
        (
            "Picture of 700 g on a 1 mm steel board, two magnets share the weight.",
            "/question/need/shared_by",
            json!(2),
        ),
        (
            "Please quote 250 pcs for holding 300 g on a 1 mm steel sheet.",
            "/question/pieces",
            json!(250),
        ),
        (
            "Need 40 magnets. Each carries a 200 g tag on a 2 mm steel door.",
            "/question/pieces",
            json!(40),
        ),
    ]);
}

/// How many pairs give a force that is said of all, and how many magnets one pair is.
#[test]
fn pairs_are_counted() {
    assert_reads(&[
        (
            "repelling magnets, 4 pairs, together they must push 25 N at a gap of 5 mm. Please offer 8 pcs.",
            "/question/need/shared_by",
            json!(4),
        ),
        (
            "two magnets attract through 10 mm of glass with 10 N. So one pair.",
            "/question/pieces",
            json!(2),
        ),
    ]);
}

#[test]
fn things_that_are_counted_measure_nothing() {
    assert_reads(&[(
        "Signs of 300 g hang sideways on a steel board 1 mm thick, 20 signs, one magnet on each.",
        "/question/need/steel/across",
        json!(null),
    )]);
}

#[test]
fn sets_and_spare_pieces_are_counted_in_magnets() {
    let place = "/question/pieces";
    assert_reads(&[
        (
            "One magnet in the pod and another outside, they attract with 30 N through 4 mm of plastic. We would order two sets.",
            place,
            json!(4),
        ),
        (
            "Hold a 120 g tool sideways on 2 mm steel. We need 12 pcs plus 2 spare.",
            place,
            json!(14),
        ),
    ]);
}

#[test]
fn so_many_for_each_of_so_many_are_their_product() {
    assert_reads(&[
        (
            "Cover of a packing machine, opening force 45 N straight off 5 mm steel, borne by 2 magnets. Qty 2 per machine, 14 machines.",
            "/question/pieces",
            json!(28),
        ),
        (
            "Wooden cubes which cling together, every face has one magnet inside, 1 mm of wood on it. Six magnets a cube times 30 cubes.",
            "/question/pieces",
            json!(180),
        ),
        (
            "Drive magnet outside a sealed tube, 6 mm face to face, attraction 8 N. 1 pair + 1 spare pair.",
            "/question/pieces",
            json!(4),
        ),
        (
            "Deck of 60 g lifted straight up from a steel strip 1 mm thick; I can stack maximum three pieces, 6 mm dia.",
            "/question/limits/stack",
            json!(3),
        ),
    ]);
}

#[test]
fn magnets_of_each_are_multiplied_by_the_things_that_have_them() {
    let hold = "Hold a 200 g sign sideways on 1 mm steel.";
    assert_reads(&[
        (
            "Hall switch, 5 mT at 6 mm, off below 2 mT at 30 mm. 9 turnstiles w/ 3 magnets in each",
            "/question/pieces",
            json!(27),
        ),
        (
            "Hall switch, 5 mT at 6 mm, off below 2 mT at 30 mm. 21 trucks, 2 hatches a truck, 1 magnet per hatch",
            "/question/pieces",
            json!(42),
        ),
        (
            "Two magnets attract through 2 mm wood with 20 N. Kitchen with 13 doors, each gets one pair.",
            "/question/pieces",
            json!(26),
        ),
        (
            "Magnets pull together through 3 mm leather with 9 N. 60 bags, 2 closures a bag.",
            "/question/pieces",
            json!(240),
        ),
        (
            "Ring magnets push each other apart with 18 N at 4 mm, a pair of discs per leg, three legs.",
            "/question/pieces",
            json!(6),
        ),
        (
            &format!("{hold} House has 9 windows, 1 magnet per window, 3 houses."),
            "/question/pieces",
            json!(27),
        ),
        (
            "Ring magnets push each other apart with 18 N at 4 mm. Three feet, a pair of discs per foot.",
            "/question/pieces",
            json!(6),
        ),
        (
            &format!("{hold} 5 packs of 100 pieces."),
            "/question/pieces",
            json!(500),
        ),
        (
            &format!("{hold} Each clip takes a pair of wet socks. 10 clips with a magnet each."),
            "/question/pieces",
            json!(10),
        ),
        (
            "Hold a grille of 300 g upright on 1 mm steel, six magnets share the grille. We build 50 cabinets, 1 grille each.",
            "/question/pieces",
            json!(300),
        ),
        (
            "Hold a plate of 420 g upright on 1 mm steel, 4 magnets share it. There are 85 doors, one per door.",
            "/question/pieces",
            json!(340),
        ),
        (
            &format!("{hold} 30 panels, 4 magnets on the back of each = 120 pcs."),
            "/question/pieces",
            json!(120),
        ),
        (
            &format!("{hold} 8 magnets for one tile, 24 tiles."),
            "/question/pieces",
            json!(192),
        ),
        (
            &format!("{hold} 28 panels, every panel gets 2 magnets."),
            "/question/pieces",
            json!(56),
        ),
    ]);
}

#[test]
fn numbers_of_the_same_things_are_not_multiplied_unasked() {
    let (_, asks) = reading(
        "Labels of 80 g stand upright on 1 mm sheet steel, two magnets behind each label. We have 45 labels in room one and 110 \
         labels for next year.",
    );
    assert!(asks.iter().any(|a| a == "/question/pieces"), "{asks:?}");
}

#[test]
fn the_two_of_a_pair_are_ordered_where_nothing_else_is_counted() {
    assert_reads(&[(
        "2 magnets to push each other away with 20 N at 5 mm, as bump stop. max 25 dia.",
        "/question/pieces",
        json!(2),
    )]);
}

#[test]
fn spare_pieces_are_added_in_further_words() {
    let hold = "Hold a 120 g tool sideways on 2 mm steel.";
    assert_reads(&[
        (
            &format!("{hold} We need 56 pcs, and please 4 spare more."),
            "/question/pieces",
            json!(60),
        ),
        (
            &format!("{hold} We need 16 pieces and 3 magnets as spare."),
            "/question/pieces",
            json!(19),
        ),
    ]);
}
