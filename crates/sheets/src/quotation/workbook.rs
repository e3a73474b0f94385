//! A quotation as a workbook: numbers as numbers, the unit in the heading, text that is never run as a formula.

use letters::Messages;
use rust_xlsxwriter::{Format, Workbook, XlsxError};

use super::Quotation;
use super::page::{by_air, letter};
use crate::cells::text;

/// Why there is no workbook.
pub type WorkbookError = XlsxError;

/// The workbook of a quotation.
///
/// # Errors
/// When it cannot be written.
pub fn xlsx(quotation: &Quotation, shop: &str, messages: &Messages) -> Result<Vec<u8>, WorkbookError> {
    let mut workbook = Workbook::new();
    let sheet = workbook.add_worksheet();
    let say = |name: &str| messages.text(name, &[]);
    let strong = Format::new().set_bold();
    let money = Format::new().set_num_format(if quotation.currency.decimals() == 0 {
        "0"
    } else {
        "0.00##"
    });
    let mut row = 0;
    let head = [
        (String::new(), shop.to_owned()),
        (say("quotation"), format!("{} / {}", quotation.number, quotation.issue)),
        (say("quotation-for"), quotation.customer.clone()),
        (say("quotation-reference"), quotation.reference.clone()),
        (say("quotation-date"), quotation.date.clone()),
        (say("quotation-valid"), quotation.valid_until.clone()),
    ];
    for (label, value) in &head {
        text(sheet, row, 0, label)?;
        text(sheet, row, 1, value)?;
        row += 1;
    }
    row += 1;
    let code = quotation.currency.code();
    let headings = [
        say("quotation-line"),
        say("quotation-code"),
        say("quotation-what"),
        say("quotation-does"),
        say("quotation-quantity"),
        format!("{}, {code}", say("quotation-each")),
        format!("{}, {code}", say("quotation-together")),
        format!("{}, kg", say("quotation-mass")),
        say("paper-stock"),
        say("quotation-by-air"),
    ];
    for (column, heading) in (0..).zip(&headings) {
        sheet.write_string_with_format(row, column, heading, &strong)?;
    }
    row += 1;
    for (at, line) in quotation.lines.iter().enumerate() {
        for price in &line.breaks {
            text(sheet, row, 0, &letter(at))?;
            text(sheet, row, 1, &line.codes)?;
            text(sheet, row, 2, &line.title)?;
            text(sheet, row, 3, &line.does)?;
            sheet.write_number(row, 4, price.quantity as f64)?;
            if let (Some(each), Some(total)) = (price.each, price.total) {
                sheet.write_number_with_format(row, 5, each.to_f64(), &money)?;
                sheet.write_number_with_format(row, 6, total.rounded(quotation.currency).to_f64(), &money)?;
            }
            let of_one = line.mass_kg / line.quantity.max(1) as f64;
            sheet.write_number(row, 7, of_one * price.quantity as f64)?;
            text(sheet, row, 8, &line.stock)?;
            text(sheet, row, 9, &say(by_air(line)))?;
            row += 1;
        }
    }
    row += 1;
    if let (Some(total), _) = quotation.total() {
        text(sheet, row, 0, &say("quotation-total"))?;
        sheet.write_number_with_format(row, 6, total.to_f64(), &money)?;
        row += 2;
    }
    text(sheet, row, 0, &quotation.terms)?;
    for (column, width) in [(0, 14.0), (1, 18.0), (2, 34.0), (3, 48.0), (8, 22.0), (9, 26.0)] {
        sheet.set_column_width(column, width)?;
    }
    workbook.save_to_buffer()
}
