use super::*;
use crate::learned::Learned;
use crate::lexicon::Phrases;
use crate::vocabulary::Vocabulary;

/// The places that each amount of a message may have.
fn open_to(text: &str, verb: Verb) -> Vec<Vec<Role>> {
    let catalogue = advice::Catalogue::builtin().expect("the built-in data reads");
    let names = Phrases::of(&Vocabulary::of(&catalogue, None));
    let scene = Scene::new(text, &names, Learned::builtin());
    let candidates = candidates(&scene, verb, &[], &[]);
    let roles = |c: &Candidate| c.rules.iter().map(|r| r.0).collect();
    candidates.iter().map(roles).collect()
}

#[test]
fn a_hole_is_open_only_to_messages_that_speak_of_one() {
    let verb = Verb::ReachField;
    let any = |text: &str| open_to(text, verb).concat().contains(&Role::Hole);
    assert!(!any("dish bottom to magnet face is 12 mm"));
    for text in [
        "disc with a 12 mm hole",
        "block, countersunk, 12 mm",
        "ring of 12 mm",
        "for an M4, 12 mm",
        "inner 12 mm",
        "a rod of 12 mm",
    ] {
        assert!(any(text), "{text}");
    }
}

#[test]
fn a_number_of_a_list_has_no_place() {
    let text = "3) hold 70 N 4) dia <= 40";
    assert_eq!(open_to(text, Verb::Hold).len(), 2);
    assert_eq!(open_to("(2 x 4) hold 70 N (dia <= 40)", Verb::Hold).len(), 3);
}

#[test]
fn a_force_is_no_mass_of_the_magnet() {
    let may = |text: &str| open_to(text, Verb::PullTogether).concat().contains(&Role::Mass);
    assert!(!may("not below 20 N"));
    assert!(may("not below 20 g"));
}
