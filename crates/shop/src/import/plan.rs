//! What an import would change.

use std::collections::HashMap;

use advice::view::text::{Reader, shape_word};
use advice::view::{goods, part};
use materials::grade::GradeTable;
use quantity::{Mass, Quantity, Units};
use rusqlite::{Connection, TransactionBehavior};

use super::consequences::{Consequences, PRICE_FACTOR};
use super::field::Field;
use super::heading::Column;
use super::interpret::{Interpreter, Row};
use super::preview::{FieldName, LeftOut, Options, Preview, Sample, State};
use super::problem::{MOST_REPORTED, Problem, Severity};
use super::table::Table;
use super::text::excerpt;
use crate::error::{Result, ShopError};
use crate::product::Product;
use crate::rows::side_name;
use crate::settings::{self, Settings};
use crate::{Shop, grades, journal, lots, shelf};

/// So many lines of each state are shown in a preview.
const SAMPLE_LINES: usize = 25;

/// The work that an import has to do.
pub(crate) struct Plan {
    pub(crate) preview: Preview,
    /// Lines of the shelf to write with what they were before.
    pub(crate) writes: Vec<(Product, Option<Product>)>,
    /// Lines to take off.
    pub(crate) retired: Vec<Product>,
}

/// Compares a table with the shelf; changes nothing.
///
/// # Errors
/// When the database fails. What is wrong with the file is in the preview.
pub fn preview(shop: &Shop, table: &Table, columns: &[Column], options: &Options) -> Result<Preview> {
    Ok(planned(shop, table, columns, options)?.preview)
}

/// The shop as it was at one moment, as far as an import depends on it.
pub(crate) struct Before {
    revision: u64,
    settings: Settings,
    grades: GradeTable,
    shelf: HashMap<String, Product>,
    certified: HashMap<String, String>,
}

impl Before {
    /// The caller holds a transaction.
    pub(crate) fn read(connection: &Connection) -> Result<Self> {
        Ok(Self {
            revision: journal::revision(connection)?,
            settings: settings::read(connection)?,
            grades: grades::table(connection)?,
            shelf: shelf::by_code(connection)?,
            certified: lots::in_use(connection)?,
        })
    }
}

/// Reads every line and compares it with the shelf as it is at one moment; others may read and change it meanwhile.
pub(crate) fn planned(shop: &Shop, table: &Table, columns: &[Column], options: &Options) -> Result<Plan> {
    let before = {
        let mut connection = shop.read()?;
        Before::read(&*connection.transaction_with_behavior(TransactionBehavior::Deferred)?)?
    };
    plan(before, table, columns, options)
}

/// Reads every line and compares it with the shelf.
pub(crate) fn plan(before: Before, table: &Table, columns: &[Column], options: &Options) -> Result<Plan> {
    let Before {
        revision,
        settings,
        grades,
        mut shelf,
        certified,
    } = before;
    if let Some(expected) = options.revision.filter(|expected| *expected != revision) {
        return Err(ShopError::Conflict {
            expected,
            found: revision,
        });
    }
    let mut interpreter = Interpreter::new(table, columns, &settings, &grades)?;
    interpreter.check_table();
    interpreter.begin();
    let mut first_line: HashMap<String, u32> = HashMap::new();
    let mut tally = Tally::new(&settings, options.units);
    let mut writes = Vec::new();
    let mut consequences = Consequences::new(PRICE_FACTOR);
    let mut new_codes: Vec<(u32, String)> = Vec::new();
    let mut left_out: Vec<LeftOut> = Vec::new();
    let mut headings = 0;
    // Without codes every line would be wrong in the same way.
    let lines = if interpreter.has(Field::Code) {
        table.lines.as_slice()
    } else {
        &[]
    };
    for line in lines {
        if interpreter.is_heading(line) {
            headings += 1;
            continue;
        }
        let mut row = interpreter.row(line, |code| shelf.get(code));
        if let Some(code) = &row.code {
            match first_line.get(code) {
                None => drop(first_line.insert(code.clone(), line.number)),
                Some(first) => {
                    let at = columns.iter().position(|column| column.field == Some(Field::Code));
                    interpreter.problems.add(Problem {
                        line: line.number,
                        column: at
                            .and_then(|at| columns.get(at))
                            .map(|column| column.heading.clone())
                            .unwrap_or_default(),
                        value: excerpt(code),
                        wrong: format!("the code is on line {first} already"),
                        right: "one line for each code".into(),
                        severity: Severity::Error,
                    });
                    row.reasons.push(format!("the code is on line {first} already"));
                    row.product = None;
                }
            }
        }
        if row.product.is_none() && left_out.len() < MOST_REPORTED {
            left_out.push(LeftOut::of(line, &mut row));
        }
        let before = row.code.as_ref().and_then(|code| shelf.get(code));
        let state = tally.take(&row, before);
        if let (Some(product), Some(before)) = (&row.product, before)
            && let Some(lot) = certified.get(product.code())
            && !is_same_magnet(before, product)
        {
            interpreter.problems.add(Problem {
                line: line.number,
                column: String::new(),
                value: excerpt(product.code()),
                wrong: format!(
                    "the certificate of lot {lot} belongs to the magnet that had this code: it is no longer used"
                ),
                right: "enter the certificate of the new magnet, or give it a code of its own".into(),
                severity: Severity::Warning,
            });
        }
        if let (Some(product), Some(before)) = (&row.product, before) {
            consequences.change(line.number, before, product, &tally.reader);
        }
        if let (Some(code), State::New) = (&row.code, state) {
            new_codes.push((line.number, code.clone()));
        }
        if let Some(product) = row.product.filter(|_| matches!(state, State::New | State::Changed)) {
            writes.push((product, before.cloned()));
        }
    }
    interpreter.end_sections();
    interpreter.check_lacking();
    consequences.look_alikes(
        new_codes.iter().map(|(line, code)| (*line, code.as_str())),
        shelf.keys().map(String::as_str),
    );
    shelf.retain(|code, _| !first_line.contains_key(code));
    let missing = shelf.len();
    let mut retired: Vec<Product> = if options.retire_missing {
        shelf.into_values().collect()
    } else {
        Vec::new()
    };
    retired.sort_by(|a, b| a.code().cmp(b.code()));
    retired.iter().for_each(|product| consequences.retire(product));
    let problems = interpreter.problems;
    let (errors, warnings) = (problems.errors(), problems.warnings());
    let count = |state| tally.counts.get(&state).copied().unwrap_or(0);
    // A file of which every line would be left out is not one to import.
    let may_skip = problems.whole() == 0 && count(State::Bad) + headings < table.lines.len();
    let preview = Preview {
        rows: table.lines.len() - headings,
        new: count(State::New),
        changed: count(State::Changed),
        unchanged: count(State::Unchanged),
        bad: count(State::Bad),
        missing,
        encoding: table.encoding.clone(),
        sheet: table.sheet.clone(),
        columns: columns.to_vec(),
        sample: tally.sample,
        left_out,
        problems: problems.into_listed(),
        errors,
        warnings,
        revision,
        may_import: errors == 0 || (options.skip_bad && may_skip),
        may_skip,
        skipping: options.skip_bad,
        kept: None,
        fields: FieldName::all(),
        consequences,
    };
    Ok(Plan {
        preview,
        writes,
        retired,
    })
}

/// Whether two states of a line are one magnet: of one shape, size, direction and grade.
fn is_same_magnet(before: &Product, after: &Product) -> bool {
    match (before, after) {
        (Product::Magnet(a), Product::Magnet(b)) => {
            (&a.shape, a.magnetised, &a.grade) == (&b.shape, b.magnetised, &b.grade)
        }
        _ => false,
    }
}

/// Counts the lines of each state and keeps some of each.
struct Tally {
    counts: HashMap<State, usize>,
    sample: Vec<Sample>,
    reader: Reader,
}

impl Tally {
    fn new(settings: &Settings, units: Units) -> Self {
        Self {
            counts: HashMap::new(),
            sample: Vec::new(),
            reader: Reader {
                units,
                currency: settings.currency,
            },
        }
    }

    fn take(&mut self, row: &Row, before: Option<&Product>) -> State {
        let state = match (&row.product, before) {
            (None, _) => State::Bad,
            (Some(_), None) => State::New,
            (Some(product), Some(before)) if product == before => State::Unchanged,
            (Some(_), Some(_)) => State::Changed,
        };
        let count = self.counts.entry(state).or_default();
        *count += 1;
        if *count <= SAMPLE_LINES {
            let changes = match (&row.product, before) {
                (Some(product), Some(before)) => self.changes(before, product),
                _ => Vec::new(),
            };
            self.sample.push(Sample {
                line: row.line,
                code: excerpt(row.code.as_deref().unwrap_or_default()),
                title: row
                    .product
                    .as_ref()
                    .map(|product| self.title(product))
                    .unwrap_or_default(),
                state,
                changes,
            });
        }
        state
    }

    fn title(&self, product: &Product) -> String {
        match product {
            Product::Magnet(item) => self.reader.item(item),
            Product::Part(found) => part::title(found, &self.reader),
            Product::Goods(found) => goods::title(found, &self.reader.units),
        }
    }

    fn size(&self, product: &Product) -> String {
        match product {
            Product::Magnet(item) => format!("{} {}", shape_word(&item.shape, false), self.reader.sizes(item)),
            Product::Part(found) => format!(
                "{} {}",
                found.form.kind().name(),
                part::sizes(&found.form, &self.reader.units)
            ),
            Product::Goods(found) => {
                let size = goods::sizes(&found.sizes, &self.reader.units);
                format!("{} {size}", found.goods.name()).trim_end().to_owned()
            }
        }
    }

    /// What differs between two states of a line, in words: `price from 10: € 0.61 to € 0.65`.
    fn changes(&self, before: &Product, after: &Product) -> Vec<String> {
        let units = &self.reader.units;
        let optional = |text: Option<&str>| text.map_or_else(|| "none".to_owned(), excerpt);
        // What only magnets have.
        let along = |product: &Product| {
            product
                .magnet()
                .map_or("", |item| side_name(item.magnetised))
                .to_owned()
        };
        let pull = |product: &Product| {
            let stated = product.goods().and_then(|goods| goods.stated_pull);
            stated.map_or_else(|| "none".to_owned(), |pull| pull.show(units).to_string())
        };
        let (old, new) = (before.listed(), after.listed());
        let mut pairs = vec![
            ("name", excerpt(before.name()), excerpt(after.name())),
            ("size", self.size(before), self.size(after)),
            ("magnetised along", along(before), along(after)),
            ("grade", before.material().to_owned(), after.material().to_owned()),
            ("coating", before.coating().to_owned(), after.coating().to_owned()),
            ("stated pull", pull(before), pull(after)),
        ];
        let mass = |mass: Option<Mass>| mass.map(|mass| mass.show(units).to_string());
        let stock = |stock: Option<u64>| stock.map(|pieces| pieces.to_string());
        pairs.extend([
            (
                "tolerance",
                old.tolerance.show(units).to_string(),
                new.tolerance.show(units).to_string(),
            ),
            (
                "mass",
                optional(mass(old.mass).as_deref()),
                optional(mass(new.mass).as_deref()),
            ),
            (
                "stock",
                optional(stock(old.stock).as_deref()),
                optional(stock(new.stock).as_deref()),
            ),
            ("link", optional(old.link.as_deref()), optional(new.link.as_deref())),
            ("note", optional(old.note.as_deref()), optional(new.note.as_deref())),
        ]);
        let mut changes: Vec<String> = pairs
            .into_iter()
            .filter(|(_, before, after)| before != after)
            .map(|(what, before, after)| format!("{what} {before} to {after}"))
            .collect();
        let each = |product: &Product, from: u64| {
            product
                .prices()
                .iter()
                .find(|step| step.from == from)
                .map(|step| step.each)
        };
        let mut steps: Vec<u64> = before
            .prices()
            .iter()
            .chain(after.prices())
            .map(|step| step.from)
            .collect();
        steps.sort_unstable();
        steps.dedup();
        for from in steps {
            let (old, new) = (each(before, from), each(after, from));
            if old != new {
                let show =
                    |money: Option<quantity::Money>| money.map_or("none".to_owned(), |money| self.reader.money(money));
                changes.push(format!("price from {from} {} to {}", show(old), show(new)));
            }
        }
        changes
    }
}
