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
        fitted: false,
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
            let reply = desk.reply(text, wish, &units).unwrap().0;
            let sheet = reply.sheet.unwrap_or_else(|| panic!("{text}: nothing is answered"));
            let pdf = desk
                .answer_pdf(sheet.id.as_deref().unwrap(), Some(paper), &units)
                .unwrap();
            assert!(pdf.starts_with(b"%PDF-"), "{text}");
            if let Some(folder) = &folder {
                std::fs::write(folder.join(format!("answer-{paper:?}-{at}.pdf")), &pdf).unwrap();
            }
        }
        for code in ["14-07", "01-01"] {
            let pdf = desk.item_pdf(code, Some(paper), &units).unwrap();
            assert!(pdf.starts_with(b"%PDF-"), "{code}");
        }
    }
    let mut ladder = desk.ladder_start().unwrap();
    for (units, paper) in [(Units::metric(), Paper::A4), (Units::inch(), Paper::Letter)] {
        ladder.conditions.warmest = Some(quantity::Temperature::from_celsius(80.0));
        let pdf = desk.ladder_pdf(&ladder, Some(paper), &units).unwrap();
        assert!(pdf.starts_with(b"%PDF-"));
        if let Some(folder) = &folder {
            std::fs::write(folder.join(format!("ladder-{paper:?}.pdf")), &pdf).unwrap();
        }
    }
    assert_eq!(
        desk.answer_pdf("nothing", None, &Units::metric()).unwrap_err().status,
        404
    );
    assert_eq!(
        desk.item_pdf("nothing", None, &Units::metric()).unwrap_err().status,
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
