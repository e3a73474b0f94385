use super::*;

const OWN: &str = "+++\ntopic = \"TOPIC\"\ntitle = \"Ours\"\ntext = \"Words.\"\nminutes = 1\nsay = \"Words.\"\n+++\n";

#[test]
fn a_shops_own_lesson_takes_the_place_of_ours_or_follows_them() {
    let [gap, other] = ["gap", "our_own"].map(|topic| OWN.replace("TOPIC", topic));
    let lessons = Lessons::with_own([("gap", gap.as_str()), ("our_own", &other), ("bad", "no lesson")]);
    assert_eq!(lessons.all().len(), FILES.len() + 1);
    assert_eq!(lessons.named("gap").unwrap().topic.title, "Ours");
    assert!(lessons.named("gap").unwrap().own && !lessons.named("heat").unwrap().own);
    assert_eq!(lessons.all().last().unwrap().topic.name, "our_own");
    assert_eq!(lessons.unread[0].0, "bad");
    let places = |lessons: &Lessons| lessons.all().iter().position(|l| l.topic.name == "gap");
    assert_eq!(places(&lessons), places(&Lessons::with_own([])));
}
