use std::io::Cursor;

use calamine::{Data, Reader as _, Xlsx};
use quantity::Money;
use shop::demo;

use super::*;
use crate::desk::Wish;
use crate::printing::written;

fn desk_with(texts: &[&str]) -> (Desk, Vec<String>) {
    let desk = Desk::new(demo::in_memory().unwrap());
    let wish = Wish {
        keep: true,
        ..Wish::default()
    };
    let ask = |text: &&str| {
        let reply = desk.reply(text, wish.clone(), &Units::metric()).unwrap().0;
        reply.sheet.unwrap().id.unwrap()
    };
    let ids = texts.iter().map(ask).collect();
    (desk, ids)
}

fn request(ids: &[String]) -> QuotationRequest {
    QuotationRequest {
        customer: "The boathouse".into(),
        lines: ids
            .iter()
            .map(|id| LineRequest {
                answer: id.clone(),
                candidate: None,
                quantity: None,
            })
            .collect(),
        ..QuotationRequest::default()
    }
}

const TEXTS: [&str; 2] = [
    "hold 2 kg hanging below 3 mm steel through 0.4 mm paint, no wider than 25 mm, 200 pieces",
    "reach 50 mT at 20 mm, 50 pieces",
];

#[test]
fn a_quotation_has_the_prices_of_the_answers() {
    let (desk, ids) = desk_with(&TEXTS);
    let units = Units::metric();
    let made = desk.quote(&request(&ids), None, &units).unwrap();
    assert_eq!((made.issue, made.lines.len()), (1, 2));
    let mut sum = Money::default();
    for (line, id) in made.lines.iter().zip(&ids) {
        let (answer, _) = desk.kept_view(id, &units).unwrap();
        let first = answer.first().unwrap();
        let offered = line.offered().unwrap();
        assert_eq!(offered.each, first.cost_each);
        assert_eq!(offered.total, first.cost_total);
        sum = sum.plus(first.cost_total.unwrap().rounded(made.currency)).unwrap();
        // More of the same never cost more each.
        assert!(line.breaks.windows(2).all(|pair| pair[1].each <= pair[0].each));
    }
    assert_eq!(made.total(), (Some(sum), 0));
}

#[test]
fn a_quotation_is_frozen_and_has_issues() {
    let (desk, ids) = desk_with(&TEXTS);
    let units = Units::metric();
    let first = desk.quote(&request(&ids), None, &units).unwrap();
    let changed = QuotationRequest {
        note: "with lids".into(),
        ..request(&ids[..1])
    };
    let second = desk.quote(&changed, Some(&first.number), &units).unwrap();
    assert_eq!((second.number.as_str(), second.issue), (first.number.as_str(), 2));
    // Prices move, the answers go, and what left stays as it was.
    for id in &ids {
        desk.shop.delete_answer(id).unwrap();
    }
    assert_eq!(desk.quotation(&first.number, Some(1)).unwrap(), first);
    assert_eq!(desk.quotation(&first.number, None).unwrap(), second);
    assert_eq!(desk.quotations(10).unwrap().len(), 2);
    assert_eq!(desk.quotation("Q-1999-0001", None).unwrap_err().status, 404);
    assert_eq!(desk.quote(&request(&ids), None, &units).unwrap_err().status, 404);
}

#[test]
fn odd_names_break_no_paper_and_run_no_formula() {
    let (desk, ids) = desk_with(&TEXTS);
    let units = Units::inch();
    for (at, customer) in [
        "=HYPERLINK(\"http://x\")".into(),
        "שלום עולם 😀".into(),
        "W".repeat(400),
        "<b>&amp;</b>".into(),
        "+1".into(),
    ]
    .into_iter()
    .enumerate()
    {
        let customer: String = customer;
        let wanted = QuotationRequest {
            customer: customer.clone(),
            reference: customer.clone(),
            note: format!("{customer} ").repeat(4),
            ..request(&ids)
        };
        let made = desk.quote(&wanted, None, &units).unwrap();
        for paper in [Paper::A4, Paper::Letter] {
            let pdf = written(&desk.quotation_paper(&made.number, None, Some(paper)).unwrap());
            assert!(pdf.starts_with(b"%PDF-"));
            if let Some(folder) = std::env::var_os("PAPER_FOLDER") {
                let name = format!("quotation-{paper:?}-{at}.pdf");
                std::fs::write(std::path::Path::new(&folder).join(name), &pdf).unwrap();
            }
        }
        let mut book = Xlsx::new(Cursor::new(desk.quotation_xlsx(&made.number, None).unwrap())).unwrap();
        let sheet = book.worksheet_range_at(0).unwrap().unwrap();
        assert_eq!(sheet.get_value((2, 1)), Some(&Data::String(customer)));
        assert!(book.worksheet_formula("Sheet1").unwrap().is_empty());
    }
}

/// Quantities, prices and masses are numbers below headings that name their unit; how each line goes by air is said.
#[test]
fn a_workbook_has_numbers_as_numbers() {
    let (desk, ids) = desk_with(&TEXTS);
    let made = desk.quote(&request(&ids), None, &Units::metric()).unwrap();
    let mut book = Xlsx::new(Cursor::new(desk.quotation_xlsx(&made.number, None).unwrap())).unwrap();
    let sheet = book.worksheet_range_at(0).unwrap().unwrap();
    let rows: Vec<&[Data]> = sheet.rows().collect();
    let head = rows
        .iter()
        .position(|row| row[0] == Data::String("line".into()))
        .unwrap();
    let heading = |text: &str| {
        let at = rows[head]
            .iter()
            .position(|cell| matches!(cell, Data::String(said) if said == text));
        at.unwrap_or_else(|| panic!("{text}: {:?}", rows[head]))
    };
    let columns = ["quantity", "each, EUR", "together, EUR", "mass, kg", "by air"].map(heading);
    let mut row = head + 1;
    for line in &made.lines {
        for price in &line.breaks {
            let numbers = columns.map(|column| rows[row][column].clone());
            let mass = line.mass_kg / line.quantity as f64 * price.quantity as f64;
            let total = price.total.unwrap().rounded(made.currency).to_f64();
            assert_eq!(numbers[0], Data::Float(price.quantity as f64));
            assert_eq!(numbers[1], Data::Float(price.each.unwrap().to_f64()));
            assert_eq!(numbers[2], Data::Float(total));
            assert_eq!(numbers[3], Data::Float(mass));
            let magnetised = numbers[4].to_string().contains("UN 2807");
            assert_eq!(magnetised, line.magnetised_by_air);
            row += 1;
        }
    }
    let total = made.total().0.unwrap().to_f64();
    assert!(rows[row..].iter().any(|cells| cells[6] == Data::Float(total)));
}

#[test]
fn what_does_not_fit_is_pointed_at() {
    let (desk, ids) = desk_with(&TEXTS[..1]);
    let good = request(&ids);
    let wrong = [
        (
            QuotationRequest {
                customer: " ".into(),
                ..good.clone()
            },
            "/customer",
        ),
        (
            QuotationRequest {
                lines: Vec::new(),
                ..good.clone()
            },
            "/lines",
        ),
        (
            QuotationRequest {
                note: "x".repeat(5000),
                ..good.clone()
            },
            "/note",
        ),
        (
            QuotationRequest {
                valid_days: Some(0),
                ..good.clone()
            },
            "/valid_days",
        ),
        (
            QuotationRequest {
                lines: vec![LineRequest {
                    quantity: Some(0),
                    ..good.lines[0].clone()
                }],
                ..good.clone()
            },
            "/lines/0/quantity",
        ),
        (
            QuotationRequest {
                lines: vec![LineRequest {
                    candidate: Some(9999),
                    ..good.lines[0].clone()
                }],
                ..good.clone()
            },
            "/lines/0/candidate",
        ),
    ];
    for (request, field) in wrong {
        let problem = desk.quote(&request, None, &Units::metric()).unwrap_err();
        assert_eq!((problem.status, problem.more.field.as_deref()), (422, Some(field)));
    }
    assert!(desk.quotations(10).unwrap().is_empty());
}
