//! What lies between magnet and steel, and what lies on the steel.

use super::*;

#[test]
fn the_zinc_of_a_steel_is_no_coating_of_the_magnet() {
    assert_reads(&[
        (
            "A wooden front held with 4 magnets, 25 N straight off, the frame is steel tube, wall 2 mm, zinc plated.",
            "/question/limits/coating",
            json!(null),
        ),
        (
            "A magnet to hold 2 kg straight off 3 mm steel, the magnet zinc plated please.",
            "/question/limits/coating",
            json!("zinc"),
        ),
    ]);
}

#[test]
fn a_coat_that_is_named_and_measured_is_one_layer() {
    let banner = "Banner clamped on a powder-coated steel wall (1.5 mm steel, coating 0.12 mm). Silk 0.3 mm lies between. It weighs 720 g and hangs from 12 magnets.";
    let (json, _) = reading(banner);
    let layers = json.pointer("/question/need/layers").and_then(Value::as_array);
    let coats = layers.into_iter().flatten().filter(|l| {
        let material = l["material"].as_str().unwrap_or_default();
        material.contains("paint") || material.contains("coat")
    });
    let coats: Vec<&Value> = coats.map(|l| &l["thickness"]).collect();
    assert_eq!(coats.len(), 1, "{json}");
    assert!(same(Some(coats[0]), &json!("0.00012 m")), "{json}");
}

#[test]
fn what_lies_between_without_a_known_name_has_its_thickness() {
    let thickness = |text: &str| {
        let (json, _) = reading(text);
        let layers = json.pointer("/question/need/layers").cloned().unwrap_or_default();
        let list = layers.as_array().cloned().unwrap_or_default();
        list.iter().map(|l| l["thickness"].clone()).collect::<Vec<_>>()
    };
    let unnamed = [
        "Each magnet holds 8 N straight off on a steel tube of 2 mm wall, the zorvel is 0.4 mm between. 300 pieces.",
        "A sign of 300 g hangs on a 1 mm steel wall, one magnet, with 0.4 mm of zorvel in between.",
    ];
    for text in unnamed {
        let found = thickness(text);
        assert_eq!(found.len(), 1, "{text}: {found:?}");
        assert!(same(Some(&found[0]), &json!("0.0004 m")), "{text}: {found:?}");
    }
}

#[test]
fn a_thickness_far_from_its_layer_is_still_that_layers() {
    let coat = "The friction on our powder coat is 0.15. A panel of 1.1 kg on a vertical wall of 1.25 mm mild steel, 0.07 mm lies between, three discs.";
    assert_reads(&[
        (coat, "/question/need/layers/0/material", json!("powder coat")),
        (coat, "/question/need/layers/0/thickness", json!("0.00007 m")),
    ]);
}

#[test]
fn a_film_lies_between_only_where_it_is_measured() {
    let dusty = "A tag of 60 g hangs flat on a dusty, oily steel plate 3 mm thick, one magnet. There is dust and oil on the steel.";
    let (json, asks) = reading(dusty);
    assert!(json.pointer("/question/need/layers").is_none(), "{json}");
    assert!(asks.iter().all(|a| !a.contains("layers")), "{asks:?}");
    let measured = "A tag of 60 g hangs flat on a steel plate 3 mm thick, one magnet, chalk dust 0.1 mm between.";
    assert_reads(&[(measured, "/question/need/layers/0/thickness", json!("0.0001 m"))]);
}
