use advice::enquiry::Kind as EnquiryKind;
use enquiry::read;
use letters::letter::MOST_WORDS;
use shop::{Letterhead, demo};

use super::*;
use crate::desk::Desk;

/// Enquiries as customers write them; some have no magnet, some are no choice.
const ENQUIRIES: [&str; 30] = [
    "hold 2 kg hanging below 3 mm steel through 0.4 mm paint, up to 60 °C, no wider than 25 mm, 200 pieces",
    "hold 350 g sideways on 0.8 mm steel through 0.3 mm paint, 40 pieces",
    "hold 20 N straight off steel, 10 pieces",
    "hold 5 lb hanging below 1/8 in steel, 50 pieces",
    "hold 50 kg hanging below 10 mm steel, 4 pieces",
    "hold 5000 kg hanging below 1 mm steel, no wider than 10 mm",
    "hold 1 kg on steel shared by 4 magnets, outdoors, 100 pieces",
    "pull together with 30 N across 2 mm, 20 pieces",
    "push apart with 5 N across 10 mm, 20 pieces",
    "reach 50 mT at 20 mm, no wider than 30 mm, 100 pieces",
    "reach 500 gauss at 1/2 in, 25 pieces",
    "at least 300 mT at the face, 100 pieces",
    "read 250 mT with the probe 0.7 mm deep, 10 pieces",
    "switch a reed contact at 15 mm and release at 40 mm, operate 2 mT, release 1 mT, 500 pieces",
    "hold 2 kg hanging below steel, up to 150 °C, 20 pieces",
    "hold 0.5 kg hanging below 2 mm steel, in the cheapest way, 1000 pieces",
    "hold 3 kg sideways on 2 mm steel, damp, up to 80 °C, no thicker than 6 mm, 60 pieces",
    "hold 100 N straight off 5 mm steel through 1 mm plastic, 12 pieces",
    "reach 5 mT at 100 mm, 5 pieces",
    "hold 10 g hanging below 0.5 mm steel, 5000 pieces",
    "How strong is a 15 x 5 mm disc N42?",
    "What does a 10 x 5 mm disc N42 pull through 2 mm?",
    "Which is better, a 15 x 5 mm or a 20 x 3 mm disc in N42?",
    "Is 10 x 10 mm N42 twice as strong as 10 x 5 mm N42?",
    "Why is the thicker magnet not twice as strong?",
    "Why does my meter show less than your table?",
    "Is a stack as strong as a solid magnet?",
    "What does heat do to a magnet?",
    "I need a magnet to hold 5 kg on an aluminium front",
    "Can you make me a magnet with only a north pole?",
];

fn desk() -> Desk {
    Desk::new(demo::in_memory().unwrap())
}

/// The reply to a message, kept first where it is a choice; `None` where something is asked back.
fn reply(desk: &Desk, text: &str) -> Option<Letter> {
    let wish = Wish {
        keep: true,
        ..Wish::default()
    };
    let units = Units::metric();
    let (reply, _) = desk.reply(text, wish, &units).unwrap();
    if reply.kind == EnquiryKind::Choose {
        return Some(desk.letter(reply.sheet?.id.as_deref()?, LANGUAGE, &units).unwrap());
    }
    let vocabulary = &desk.shelf().unwrap().vocabulary;
    desk.letter_to(&read(text, vocabulary).enquiry, LANGUAGE, &units).ok()
}

#[test]
fn replies_to_thirty_enquiries_are_short_and_whole() {
    let desk = desk();
    let mut written = 0;
    for text in ENQUIRIES {
        let Some(letter) = reply(&desk, text) else { continue };
        written += 1;
        assert!(
            letter.words <= MOST_WORDS,
            "{text}: {} words\n{}",
            letter.words,
            letter.text
        );
        assert!(letter.words > 20, "{text}\n{}", letter.text);
        for odd in ["{", "}", "**", "__", " ,", "..", " .", "  "] {
            assert!(!letter.text.contains(odd), "{text}: {odd:?} in\n{}", letter.text);
        }
        if std::env::var_os("SHOW").is_some() {
            println!(
                "=== {text}\n[{}] {} words\n{}",
                letter.subject, letter.words, letter.text
            );
        }
    }
    assert!(written >= 26, "only {written} of {} have a reply", ENQUIRIES.len());
}

#[test]
fn the_figures_of_a_reply_are_those_of_the_answer() {
    let desk = desk();
    let wish = Wish {
        keep: true,
        ..Wish::default()
    };
    let units = Units::metric();
    let (reply, answer) = desk.reply("reach 50 mT at 20 mm, 100 pieces", wish, &units).unwrap();
    let (sheet, answer) = (reply.sheet.unwrap(), answer.unwrap());
    let letter = desk.letter(sheet.id.as_deref().unwrap(), LANGUAGE, &units).unwrap();
    let first = &sheet.view.candidates[0];
    assert_eq!(first.index, answer.order()[0]);
    for figure in [&first.value.text, &first.range, &first.code] {
        assert!(
            letter.text.contains(figure.as_str()),
            "{figure} is not in\n{}",
            letter.text
        );
    }
    assert!(
        letter.text.contains(first.cost_total.as_deref().unwrap()),
        "{}",
        letter.text
    );
    let caution = sheet.view.cautions.first().unwrap();
    assert!(letter.text.contains(&caution.rule), "{}", letter.text);
}

#[test]
fn a_customer_who_speaks_of_a_mass_is_answered_in_it() {
    let desk = desk();
    let said = |text: &str| reply(&desk, text).unwrap().text;
    let mass = said("hold 2 kg hanging below steel, 10 pieces");
    assert!(
        mass.contains("4\u{a0}kg") && mass.contains("holds") && !mass.contains("\u{a0}N "),
        "{mass}"
    );
    let force = said("hold 20 N straight off steel, 10 pieces");
    assert!(force.contains("\u{a0}N;"), "{force}");
}

#[test]
fn what_is_told_once_is_not_told_again() {
    let text = reply(&desk(), "How strong is a 15 x 5 mm disc N42?").unwrap().text;
    let value = text.split("pulls ").nth(1).unwrap().split(" straight").next().unwrap();
    assert_eq!(text.matches(value).count(), 1, "{value} in\n{text}");
    assert!(text.contains("\n- "), "what else is known of it stays:\n{text}");
}

#[test]
fn the_shop_signs_as_its_letterhead_says() {
    let desk = desk();
    let mut settings = desk.shop.settings().unwrap();
    settings.name = "Tray <& Pole>".into();
    settings.letterhead = Letterhead {
        lines: vec!["4 Old Ropewalk".into()],
        address: "https://tray.example".into(),
        ..Letterhead::default()
    };
    desk.shop.set_settings(&settings).unwrap();
    let letter = reply(&desk, "hold 20 N straight off steel, 10 pieces").unwrap();
    assert!(
        letter
            .text
            .ends_with("Tray <& Pole>\n4 Old Ropewalk\nhttps://tray.example\n"),
        "{}",
        letter.text
    );
    assert!(letter.html.contains("Tray &lt;&amp; Pole&gt;"), "{}", letter.html);
}

#[test]
fn what_there_is_not_is_said() {
    let desk = desk();
    let units = Units::metric();
    assert_eq!(desk.letter("nothing", LANGUAGE, &units).unwrap_err().status, 404);
    assert_eq!(desk.letter("nothing", "tlh", &units).unwrap_err().status, 422);
}

/// The cheapest goods whose stated pull is enough are named in the reply as stated and not computed.
#[test]
fn a_reply_names_goods_as_stated_and_not_computed() {
    let desk = desk();
    let letter = reply(&desk, "hold 5 kg hanging below 5 mm steel, 1 piece").unwrap();
    assert!(
        letter.text.contains("91-02") && letter.text.contains("not computed"),
        "{}",
        letter.text
    );
    assert!(letter.text.contains("16.8\u{a0}kg where"), "{}", letter.text);
    assert!(letter.text.contains("Steel or layers take from it"), "{}", letter.text);
    assert!(letter.words <= MOST_WORDS);
    let letter = reply(&desk, "reach 50 mT at 20 mm, 100 pieces").unwrap();
    assert!(!letter.text.contains("not computed"), "{}", letter.text);
}
