use shop::{Letterhead, demo};

use super::*;
use crate::desk::Wish;

const QUESTIONS: [&str; 4] = [
    "hold 2 kg hanging below 3 mm steel through 0.4 mm paint, up to 60 °C, no wider than 25 mm, 200 pieces",
    "hold 500 kg on steel",
    "reach 50 mT at 20 mm, 100 pieces",
    "hold 20 N straight off 5 mm steel, 10 pieces",
];

/// Every sheet is made on both papers and in both systems of units; the writer refuses what is not tagged whole.
#[test]
fn answers_and_items_become_paper() {
    let desk = Desk::new(demo::in_memory().unwrap());
    let wish = Wish {
        keep: true,
        ..Wish::default()
    };
    let mut settings = desk.shop.settings().unwrap();
    settings.name = "Magnete 😀 שלום ".repeat(20);
    settings.letterhead = Letterhead {
        lines: vec!["x".repeat(200), "مرحبا".into()],
        address: "https://tray.example".into(),
        ..Letterhead::default()
    };
    desk.shop.set_settings(&settings).unwrap();
    let folder = std::env::var_os("PAPER_FOLDER").map(std::path::PathBuf::from);
    for (units, paper) in [(Units::metric(), Paper::A4), (Units::inch(), Paper::Letter)] {
        for (at, text) in QUESTIONS.iter().enumerate() {
            let reply = desk.reply(text, wish.clone(), &units).unwrap().0;
            let sheet = reply.sheet.unwrap_or_else(|| panic!("{text}: nothing is answered"));
            let pdf = desk
                .answer_paper(sheet.id.as_deref().unwrap(), Some(paper), &units)
                .unwrap();
            let pdf = written(&pdf);
            assert!(pdf.starts_with(b"%PDF-"), "{text}");
            if let Some(folder) = &folder {
                std::fs::write(folder.join(format!("answer-{paper:?}-{at}.pdf")), &pdf).unwrap();
            }
        }
        for code in ["14-07", "01-01"] {
            let pdf = written(&desk.item_paper(code, Some(paper), &units).unwrap());
            assert!(pdf.starts_with(b"%PDF-"), "{code}");
        }
    }
    let mut ladder = desk.ladder_start().unwrap();
    for (units, paper) in [(Units::metric(), Paper::A4), (Units::inch(), Paper::Letter)] {
        ladder.conditions.warmest = Some(quantity::Temperature::from_celsius(80.0));
        let pdf = written(&desk.ladder_paper(&ladder, Some(paper), &units).unwrap());
        assert!(pdf.starts_with(b"%PDF-"));
        if let Some(folder) = &folder {
            std::fs::write(folder.join(format!("ladder-{paper:?}.pdf")), &pdf).unwrap();
        }
    }
    assert_eq!(
        desk.answer_paper("nothing", None, &Units::metric()).unwrap_err().status,
        404
    );
    assert_eq!(
        desk.item_paper("nothing", None, &Units::metric()).unwrap_err().status,
        404
    );
}

#[test]
fn the_link_is_below_the_shops_address() {
    let mut settings = Settings::default();
    assert_eq!(imprint(&settings, "#/item/1", "2026-05-21T10:00:00Z").link, "");
    settings.letterhead.address = "https://tray.example/".into();
    let imprint = imprint(&settings, "#/item/1", "2026-05-21T10:00:00Z");
    assert_eq!(imprint.link, "https://tray.example/#/item/1");
    assert_eq!((imprint.date, imprint.day.as_str()), ((2026, 5, 21), "21 May 2026"));
}

#[test]
fn what_is_told_compared_and_taught_goes_on_paper() {
    let desk = Desk::new(demo::in_memory().unwrap());
    let folder = std::env::var_os("PAPER_FOLDER").map(std::path::PathBuf::from);
    let texts = [
        "how strong is a 15 x 5 mm disc in N42 at 10 mm?",
        "15 x 5 mm disc in N42 or N52, which pulls more?",
        "why does a stack of two thin magnets not pull like one thick magnet?",
        "a magnet that holds on aluminium",
    ];
    for (units, paper) in [(Units::metric(), Paper::A4), (Units::inch(), Paper::Letter)] {
        for (at, text) in texts.iter().enumerate() {
            let enquiry = desk.read(text).unwrap();
            let document = desk
                .enquiry_paper(&enquiry, Some(paper), &units)
                .unwrap_or_else(|e| panic!("{text}: {e:?}"));
            let pdf = written(&document);
            if let Some(folder) = &folder {
                std::fs::write(folder.join(format!("told-{paper:?}-{at}.pdf")), &pdf).unwrap();
                std::fs::write(folder.join(format!("told-{paper:?}-{at}.html")), document.html()).unwrap();
            }
        }
        for line in desk.lessons().unwrap() {
            let document = desk.lesson_paper(&line.name, Some(paper), &units).unwrap();
            let pdf = written(&document);
            if let Some(folder) = &folder {
                std::fs::write(folder.join(format!("lesson-{paper:?}-{}.pdf", line.name)), &pdf).unwrap();
            }
        }
    }
    let chosen = desk.read("hold 1 kg on 3 mm steel").unwrap();
    assert_eq!(
        desk.enquiry_paper(&chosen, None, &Units::metric()).unwrap_err().status,
        422
    );
}

/// Both forms say the same words in the same order.
#[test]
fn html_has_the_figures_of_the_page() {
    let desk = Desk::new(demo::in_memory().unwrap());
    let units = Units::metric();
    let view = desk.item("14-07", &Conditions::default(), &units).unwrap();
    let html = desk.item_paper("14-07", None, &units).unwrap().html();
    for fact in &view.facts {
        assert!(
            html.contains(&*html_escape::encode_double_quoted_attribute(&fact.text)),
            "{}",
            fact.text
        );
    }
}
