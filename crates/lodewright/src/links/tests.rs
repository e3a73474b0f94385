use advice::explain::Figures;
use serde_json::json;
use shop::demo;

use super::*;

fn subjects(desk: &Desk) -> Vec<Subject> {
    let told = desk.read("how strong is a 15 x 5 mm disc in N42 at 10 mm?").unwrap();
    let parcel = json!({ "lines": [{ "magnet": { "code": "14-07" }, "count": 200 }] });
    vec![
        Subject::Item { code: "14-07".into() },
        Subject::Ladder {
            request: desk.ladder_start().unwrap(),
        },
        Subject::Lesson { name: "gap".into() },
        Subject::Told {
            enquiry: Box::new(told),
        },
        Subject::Parcel {
            request: serde_json::from_value(parcel).unwrap(),
        },
    ]
}

/// Takes the magnet off the shelf that stands for it in lessons, and those of its size.
fn change_the_shelf(desk: &Desk) {
    let shelf = desk.shelf().unwrap();
    let first = Figures::new(&shelf.items, &shelf.catalogue).reference;
    for gone in shelf.items.iter().filter(|item| item.shape == first.shape) {
        shop::import::take_off(&desk.shop, &gone.code).unwrap();
    }
}

/// Every kind of paper is opened later as it stood, whatever became of the shelf; the same figures have the same link.
#[test]
fn a_link_shows_the_same_figures_later() {
    let desk = Desk::new(demo::in_memory().unwrap());
    let units = Units::metric();
    let kept: Vec<(Subject, LinkView, String)> = subjects(&desk)
        .into_iter()
        .map(|of| {
            let link = desk.keep_link(&of, &units).unwrap();
            assert_eq!(desk.keep_link(&of, &units).unwrap().id, link.id);
            assert!(!link.stale && !link.title.is_empty());
            let page = desk.link_page(&link.id).unwrap();
            assert_eq!(desk.link_again(&link.id).unwrap().changes, []);
            (of, link, page)
        })
        .collect();
    change_the_shelf(&desk);
    for (of, link, page) in kept {
        assert_eq!(desk.link_page(&link.id).unwrap(), page);
        let now = desk.link(&link.id).unwrap();
        assert!(now.stale);
        assert_eq!((now.of, now.title), (of, link.title));
    }
    assert_eq!(desk.link("nothing").unwrap_err().status, 404);
    assert_eq!(desk.link_page("nothing").unwrap_err().status, 404);
}

fn dearer_by_a_tenth(price: quantity::Money) -> quantity::Money {
    quantity::Money::from_parts(price.parts() + price.parts() / 10)
}

/// A quotation and an answer, asked again on a shelf where the price has moved, say what they would be.
#[test]
fn an_answer_and_a_quotation_are_run_again() {
    let desk = Desk::new(demo::in_memory().unwrap());
    let units = Units::metric();
    let wish = crate::desk::Wish {
        keep: true,
        ..crate::desk::Wish::default()
    };
    let (reply, answer) = desk.reply("reach 50 mT at 20 mm, 100 pieces", wish, &units).unwrap();
    let id = reply.sheet.unwrap().id.unwrap();
    let request = serde_json::from_value(json!({ "customer": "The boathouse", "lines": [{ "answer": id }] })).unwrap();
    let quotation = desk.quote(&request, None, &units).unwrap();
    let links = [
        Subject::Answer { id },
        Subject::Quotation {
            number: quotation.number.clone(),
            issue: None,
        },
    ]
    .map(|of| desk.keep_link(&of, &units).unwrap());
    for link in &links {
        assert_eq!(desk.link_again(&link.id).unwrap().changes, [], "{}", link.title);
    }
    let first = answer.unwrap().first().unwrap().item.clone();
    let dearer = advice::Item {
        prices: first
            .prices
            .iter()
            .map(|price| advice::PriceBreak {
                from: price.from,
                each: dearer_by_a_tenth(price.each),
            })
            .collect(),
        ..first
    };
    let pages = links.each_ref().map(|link| desk.link_page(&link.id).unwrap());
    desk.shop.fill([shop::Product::Magnet(dearer)], None).unwrap();
    assert!(matches!(&links[1].of, Subject::Quotation { issue: Some(1), .. }));
    let price = quotation.lines[0].offered().unwrap();
    let each = price.each.unwrap();
    let [was, is] = [each, dearer_by_a_tenth(each)].map(|price| price.show(quotation.currency).replace('\u{a0}', " "));
    let quoted = desk.link_again(&links[1].id).unwrap().changes;
    let says = |text: &Option<String>, price: &str| text.as_deref().is_some_and(|text| text.contains(price));
    assert!(
        quoted.iter().any(|line| says(&line.was, &was) && says(&line.is, &is)),
        "{was}, {is}: {quoted:?}"
    );
    let answered = desk.link_again(&links[0].id).unwrap().changes;
    assert!(!answered.is_empty());
    assert_eq!(links.map(|link| desk.link_page(&link.id).unwrap()), pages);
}

/// A paper in other units than the shop's is asked again in its own: nothing has changed by that.
#[test]
fn a_link_keeps_its_units() {
    let desk = Desk::new(demo::in_memory().unwrap());
    assert_eq!(desk.shop.settings().unwrap().units, Units::metric());
    let of = Subject::Item { code: "14-07".into() };
    let [metric, inch] = [Units::metric(), Units::inch()].map(|units| desk.keep_link(&of, &units).unwrap());
    assert_ne!(metric.id, inch.id);
    for link in [metric, inch] {
        assert_eq!(desk.link_again(&link.id).unwrap().changes, []);
    }
}

/// A lesson whose magnet is gone says so line by line; a told magnet that is not of the shelf stays.
#[test]
fn what_is_otherwise_on_todays_shelf_is_told() {
    let desk = Desk::new(demo::in_memory().unwrap());
    let units = Units::metric();
    let links: Vec<LinkView> = subjects(&desk)
        .iter()
        .map(|of| desk.keep_link(of, &units).unwrap())
        .collect();
    change_the_shelf(&desk);
    let changes = |at: usize| desk.link_again(&links[at].id).unwrap().changes;
    let lesson = changes(2);
    assert!(lesson.iter().any(|line| {
        let numbers = |text: &Option<String>| text.as_deref().is_some_and(|text| text.contains(" N"));
        numbers(&line.was) && numbers(&line.is)
    }));
    // The magnet itself is as it was.
    assert_eq!(changes(0), []);
    assert_eq!(changes(3), []);
}

#[test]
fn lines_that_are_alike_are_one_that_has_changed() {
    let got = changed(
        &["A title", "Pull; 41.8 N", "only then", "the same"],
        &["the same", "Pull; 39.2 N", "A title", "and something quite new"],
    );
    let line = |was: Option<&str>, is: Option<&str>| ChangedLine {
        was: was.map(str::to_owned),
        is: is.map(str::to_owned),
    };
    assert_eq!(
        got,
        [
            line(Some("Pull; 41.8 N"), Some("Pull; 39.2 N")),
            line(Some("only then"), None),
            line(None, Some("and something quite new")),
        ]
    );
}

/// The foot of every paper leads to the place that shows the same: with its request, which reads back as it was, and with codes whose
/// letters mean something in addresses.
#[test]
fn papers_lead_back_to_what_they_are_of() {
    let desk = Desk::new(demo::in_memory().unwrap());
    let mut settings = desk.shop.settings().unwrap();
    settings.letterhead.address = "https://tray.example/".into();
    desk.shop.set_settings(&settings).unwrap();
    let units = Units::metric();
    for of in subjects(&desk) {
        let link = desk.document_of(&of, &units).unwrap().link;
        let place = link.strip_prefix("https://tray.example/").unwrap();
        assert_eq!(place, of.place());
        let read = |key: &str| -> serde_json::Value {
            let request = place.split_once(key).unwrap_or_else(|| panic!("{place}")).1;
            let text = percent_encoding::percent_decode_str(request).decode_utf8().unwrap();
            serde_json::from_str(&text).unwrap()
        };
        match &of {
            Subject::Item { .. } => assert_eq!(place, "#/item/14-07"),
            Subject::Lesson { .. } => assert_eq!(place, "#/lessons/gap"),
            Subject::Ladder { request } => {
                assert_eq!(read("#/ladder?for="), serde_json::to_value(request).unwrap());
            }
            Subject::Told { enquiry } => {
                assert_eq!(read("#/?enquiry="), serde_json::to_value(enquiry).unwrap());
            }
            Subject::Parcel { request } => {
                assert_eq!(read("#/parcel?for="), serde_json::to_value(request).unwrap());
            }
            Subject::Answer { .. } | Subject::Quotation { .. } => panic!("not among these"),
        }
    }
    let odd = Subject::Item {
        code: "A/1 ?%#+מ".into(),
    };
    assert_eq!(odd.place(), "#/item/A%2F1%20%3F%25%23%2B%D7%9E");
    let issue = Subject::Quotation {
        number: "Q-2026-0001".into(),
        issue: Some(2),
    };
    assert_eq!(issue.place(), "#/quotation/Q-2026-0001?issue=2");
}

#[test]
fn a_link_is_below_the_shops_address_and_leads_to_itself() {
    let desk = Desk::new(demo::in_memory().unwrap());
    let of = Subject::Lesson { name: "gap".into() };
    let without = desk.keep_link(&of, &Units::metric()).unwrap();
    assert_eq!(without.address, format!("/papers/{}", without.id));
    let mut settings = desk.shop.settings().unwrap();
    settings.letterhead.address = "https://tray.example/".into();
    desk.shop.set_settings(&settings).unwrap();
    let of = Subject::Lesson { name: "heat".into() };
    let link = desk.keep_link(&of, &Units::metric()).unwrap();
    assert_eq!(link.address, format!("https://tray.example/papers/{}", link.id));
    let page = desk.link_page(&link.id).unwrap();
    assert!(page.contains(&format!("href=\"{}\"", link.address)), "{page}");
}
