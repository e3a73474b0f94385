use shop::demo;

use super::*;

const OWN: &str =
    "+++\ntopic = \"gap\"\ntitle = \"Our gap\"\ntext = \"Ours: {gap_pull}.\"\nminutes = 1\nsay = \"Ours.\"\n+++\n";

#[test]
fn a_shops_own_lesson_stands_in_the_place_of_ours_until_it_is_taken_away() {
    let desk = Desk::new(demo::in_memory().unwrap());
    let units = Units::metric();
    let ours = desk.lesson("gap", &units).unwrap();
    assert!(!ours.own);
    let kept = desk.keep_lesson(OWN, &units).unwrap();
    assert_eq!((kept.title.as_str(), kept.own), ("Our gap", true));
    assert!(
        desk.lessons()
            .unwrap()
            .iter()
            .any(|line| line.name == "gap" && line.own)
    );
    // The short answer in the words box is of the same source.
    let enquiry = serde_json::from_str(r#"{"kind":"explain","about":["gap"]}"#).unwrap();
    assert_eq!(desk.explain(&enquiry, &units).unwrap().title, "Our gap");
    let gone = desk.remove_lesson("gap").unwrap();
    assert_eq!((gone.text.as_str(), gone.own, gone.built_in), (OWN, true, true));
    assert_eq!(desk.lesson("gap", &units).unwrap().title, ours.title);
    assert_eq!(desk.remove_lesson("gap").unwrap_err().status, 404);
}

#[test]
fn a_lesson_that_does_not_read_is_not_kept() {
    let desk = Desk::new(demo::in_memory().unwrap());
    let wrong = desk
        .keep_lesson(&OWN.replace("{gap_pull}", "{no_pull}"), &Units::metric())
        .unwrap_err();
    assert!(
        wrong.detail.contains("line 4") && wrong.detail.contains("no_pull"),
        "{}",
        wrong.detail
    );
    assert!(desk.shop.own_lessons().unwrap().is_empty());
}

#[test]
fn pages_for_a_site_lead_to_each_other_alone() {
    let desk = Desk::new(demo::in_memory().unwrap());
    desk.keep_lesson(&OWN.replace("\"gap\"", "\"our_own\""), &Units::metric())
        .unwrap();
    let pages = desk.lesson_pages(&Units::metric()).unwrap();
    let names: Vec<&str> = pages.iter().map(|(name, _)| name.as_str()).collect();
    assert!(names.contains(&"index.html") && names.contains(&"our_own.html"));
    for (name, html) in &pages {
        for link in html.split("href=\"").skip(1).filter_map(|rest| rest.split('"').next()) {
            assert!(names.contains(&link), "{name} leads to {link}");
        }
    }
}
