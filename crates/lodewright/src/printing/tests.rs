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

/// Candidates and rungs leave as lists too: numbers as numbers, their units in the headings, none with a sign of money or a unit in
/// its cell, and each the number of the page. What is no list says so.
#[test]
fn magnets_side_by_side_are_a_list_of_numbers() {
    use sheets::list::Cell;
    let desk = Desk::new(demo::in_memory().unwrap());
    let units = Units::metric();
    let enquiry = |json: &str| serde_json::from_str(json).unwrap();
    let compared = enquiry(
        r#"{"kind": "compare", "magnets": [{"shape": "disc", "size_mm": [20, 5], "grade": "N42"}, {"shape": "disc", "size_mm": [20, 10], "grade": "N42"}]}"#,
    );
    let EnquirySheet::Compare(view) = desk.enquire(&compared, Wish::default(), &units).unwrap() else {
        panic!("it compares")
    };
    let list = desk.comparison_list(&compared, &units).unwrap();
    assert_eq!(list.rows.len(), 2);
    for (heading, label) in [
        ("pull on thick mild steel, N", "pull on thick mild steel"),
        ("field at its face, mT", "field at its face"),
        ("weight, g", "weight"),
    ] {
        let at = list
            .headings
            .iter()
            .position(|h| h == heading)
            .unwrap_or_else(|| panic!("{:?}", list.headings));
        let row = view.rows.iter().find(|row| row.label == label).unwrap();
        for (cells, told) in list.rows.iter().zip(&row.cells) {
            let Cell::Number(number) = cells[at] else {
                panic!("{cells:?}")
            };
            assert!(told.starts_with(&format!("{number}")), "{told} {number}");
        }
    }
    let low = list
        .headings
        .iter()
        .position(|h| h == "pull on thick mild steel, low, N")
        .unwrap();
    assert!(matches!(list.rows[0][low], Cell::Number(low) if low > 50.0 && low < 70.0));
    let told = enquiry(r#"{"kind": "explain", "about": ["gap"]}"#);
    assert!(desk.comparison_list(&told, &units).is_err());
}

#[test]
fn answers_and_ladders_are_lists_of_numbers() {
    use sheets::list::Cell;
    let desk = Desk::new(demo::in_memory().unwrap());
    let units = Units::metric();
    let wish = Wish {
        keep: true,
        ..Wish::default()
    };
    let reply = desk.reply(QUESTIONS[0], wish, &units).unwrap().0;
    let sheet = reply.sheet.unwrap();
    let id = sheet.id.unwrap();
    let list = desk.answer_list(&id, &units).unwrap();
    let column = |name: &str| {
        list.headings
            .iter()
            .position(|heading| heading == name)
            .unwrap_or_else(|| panic!("{name}: {:?}", list.headings))
    };
    let shown = &sheet.view.candidates[0];
    for (heading, says) in [
        ("value, N", shown.value.text.clone()),
        ("price each, EUR", shown.cost_each.clone().unwrap()),
        ("price for all, EUR", shown.cost_total.clone().unwrap()),
        ("mass, g", shown.mass.text.clone()),
        ("margin, %", shown.margin.clone()),
    ] {
        let Cell::Number(number) = list.rows[0][column(heading)] else {
            panic!("{heading}: {:?}", list.rows[0]);
        };
        let digits: String = says.chars().filter(|c| c.is_ascii_digit() || *c == '.').collect();
        assert_eq!(number, digits.parse::<f64>().unwrap(), "{heading}: {says}");
    }
    for column in [
        "value, N",
        "low, N",
        "high, N",
        "chance, %",
        "price each, EUR",
        "mass, g",
    ]
    .map(column)
    {
        assert!(
            list.rows.iter().all(|row| matches!(row[column], Cell::Number(_))),
            "{column}"
        );
    }
    let csv = Form::Csv
        .made(|| desk.answer_paper(&id, None, &units), || Ok(list))
        .unwrap();
    assert!(!String::from_utf8(csv).unwrap().contains('€'));
    let ladder = desk.ladder_list(&desk.ladder_start().unwrap(), &units).unwrap();
    let numbers = |row: &Vec<Cell>| row.iter().filter(|cell| matches!(cell, Cell::Number(_))).count();
    // All but the rung, its item and the verdict; the first rung has no gain.
    assert!(
        ladder.rows.iter().skip(1).all(|row| numbers(row) == row.len() - 3),
        "{ladder:?}"
    );
    let sheet = desk.item_paper("14-07", None, &units).unwrap();
    assert_eq!(Form::Xlsx.written(&sheet).unwrap_err().status, 422);
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

/// Names from the right, of emoji, of three hundred letters: as codes, names and remarks of items, as the shop's own lesson.
#[test]
fn odd_names_keep_to_their_paper() {
    let names = [
        "שלום עולם".to_owned(),
        "مرحبا بالعالم".into(),
        "🧲 red 👩‍👩‍👧 line".into(),
        "W".repeat(300),
        "<b>=1+1</b>".into(),
    ];
    let demo = demo::in_memory().unwrap();
    let like = demo.snapshot().unwrap().items;
    let items: Vec<advice::Item> = names
        .iter()
        .zip(like.iter().filter(|item| item.grade == "N42"))
        .map(|(name, like)| advice::Item {
            code: name.clone(),
            name: name.clone(),
            note: Some(name.clone()),
            ..like.clone()
        })
        .collect();
    let shop = shop::Shop::in_memory().unwrap();
    shop.fill(items.iter().cloned().map(shop::Product::Magnet), None)
        .unwrap();
    let mut settings = shop.settings().unwrap();
    settings.name = names.join(" ");
    settings.letterhead.lines = names.iter().map(|name| name.chars().take(200).collect()).collect();
    shop.set_settings(&settings).unwrap();
    let desk = Desk::new(shop);
    let bars: String = names
        .iter()
        .map(|name| format!("  {{ label = \"{name}\", figure = \"pull\" }},\n"))
        .collect();
    let lesson = format!(
        "+++\ntopic = \"odd\"\ntitle = \"{0}\"\ntext = \"{0}\"\nminutes = 1\nsay = \"{0}\"\n+++\n\n## {0}\n\n```chart\nkind = \"bars\"\ntitle = \"{0}\"\nbars = [\n{bars}]\n```\n\n{0}\n",
        names[3]
    );
    desk.keep_lesson(&lesson, &Units::metric()).unwrap();
    let magnets: Vec<_> = names.iter().map(|name| serde_json::json!({ "code": name })).collect();
    let lines: Vec<_> = magnets
        .iter()
        .map(|magnet| serde_json::json!({ "magnet": magnet, "count": 20 }))
        .collect();
    let parcel = serde_json::from_value(serde_json::json!({ "lines": lines })).unwrap();
    let compare = serde_json::from_value(serde_json::json!({ "kind": "compare", "magnets": magnets })).unwrap();
    for (units, paper) in [(Units::metric(), Paper::A4), (Units::inch(), Paper::Letter)] {
        let mut documents = vec![
            ("odd-lesson", desk.lesson_paper("odd", Some(paper), &units).unwrap()),
            (
                "odd-compare",
                desk.enquiry_paper(&compare, Some(paper), &units).unwrap(),
            ),
            ("odd-parcel", desk.parcel_paper(&parcel, Some(paper), &units).unwrap()),
        ];
        for (name, title) in names.iter().zip(["odd-0", "odd-1", "odd-2", "odd-3", "odd-4"]) {
            documents.push((title, desk.item_paper(name, Some(paper), &units).unwrap()));
        }
        for (title, document) in documents {
            let pdf = written(&document);
            if let Some(folder) = std::env::var_os("PAPER_FOLDER").map(std::path::PathBuf::from) {
                std::fs::write(folder.join(format!("{title}-{paper:?}.pdf")), &pdf).unwrap();
            }
        }
    }
}

/// Goods whose stated pull is enough stand on the paper of an answer as stated and not computed, apart from the magnets.
#[test]
fn goods_stand_on_the_paper_of_an_answer_as_stated() {
    let desk = Desk::new(demo::in_memory().unwrap());
    let units = Units::metric();
    let wish = Wish {
        keep: true,
        ..Wish::default()
    };
    let paper = |text: &str| {
        let reply = desk.reply(text, wish.clone(), &units).unwrap().0;
        let sheet = reply.sheet.unwrap();
        let document = desk.answer_paper(sheet.id.as_deref().unwrap(), None, &units).unwrap();
        document.html()
    };
    let with = paper("hold 5 kg hanging below 5 mm steel, 1 piece");
    let begins = with.find("Also sold, by the maker").expect("goods are named");
    let part = &with[begins..];
    assert!(
        part.contains("91-02") && part.contains("165") && part.contains("not computed here"),
        "{part}"
    );
    // 5 mm is not thick.
    assert!(part.contains("try a sample first"), "{part}");
    assert!(!with[..begins].contains("91-02"), "goods are none of the magnets");
    let without = paper("reach 50 mT at 20 mm, 100 pieces");
    assert!(!without.contains("Also sold"));
}
