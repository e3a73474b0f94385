//! One line of a price list to a magnet, a steel part or other goods, with everything that is wrong with it.

mod countersink;
mod described;
mod goods;
mod material;
mod part;
mod section;
mod shape;

use std::collections::{BTreeMap, HashMap};

use advice::{Item, PriceBreak};
use magnetics::Shape;
use materials::coating::CoatingTable;
use materials::grade::{Family, GradeTable};
use quantity::{Convention, Mass, Quantity, Unit, Units};
use steel::SteelTable;

use crate::error::{Result, ShopError};
use crate::exact;
use crate::import::field::Field;
use crate::import::heading::Column;
use crate::import::problem::{Problem, Problems, Severity};
use crate::import::table::{Cell, Line, Table};
use crate::import::text::excerpt;
use crate::import::value::{self, Misfit, Read};
use crate::import::vocabulary::vocabulary;
use crate::import::{decimal, prices};
use crate::product::{Listed, Product};
use crate::settings::Settings;

/// A listed mass this far from that of size and density is doubted.
const DOUBTED_MASS_RATIO: f64 = 1.5;

/// The hole of no screw is smaller, m: common practice, no source.
const SMALLEST_SCREW: f64 = 1.5e-3;

/// What stands for the words of the line above.
const DITTO: [&str; 7] = ["\"", "″", "”", "''", "dito", "ditto", "do."];

/// What the lines of one table are read with.
pub(crate) struct Interpreter<'a> {
    table: &'a Table,
    columns: &'a [Column],
    position: HashMap<Field, usize>,
    /// Column, least pieces, pieces that the price is for.
    prices: Vec<(usize, u64, u64)>,
    settings: &'a Settings,
    length_unit: Unit,
    convention: Convention,
    grades: &'a GradeTable,
    coatings: &'static CoatingTable,
    steels: SteelTable,
    /// What grades and coatings as written were found to be, for speed on long lists.
    known_grades: HashMap<String, Result<(String, Family, f64), Misfit>>,
    known_coatings: HashMap<String, Result<String, Misfit>>,
    /// Fields that new items needed and no column has, with the number of lines.
    lacking: BTreeMap<String, usize>,
    /// What is wrong with the line that is being read.
    reasons: Vec<String>,
    /// The heading within the list that the line stands below.
    section: section::Section,
    /// The cells of the line above, for ditto marks.
    above: Vec<Cell>,
    pub(crate) problems: Problems,
}

/// A line as read.
pub(crate) struct Row {
    pub(crate) line: u32,
    /// The code, where it could be read.
    pub(crate) code: Option<String>,
    /// What it is, where nothing stands in the way.
    pub(crate) product: Option<Product>,
    /// What stands in the way, in words.
    pub(crate) reasons: Vec<String>,
}

/// Marks that a problem has been noted.
struct Noted;

impl<'a> Interpreter<'a> {
    pub(crate) fn new(
        table: &'a Table,
        columns: &'a [Column],
        settings: &'a Settings,
        grades: &'a GradeTable,
    ) -> Result<Self> {
        let mut position = HashMap::new();
        let mut price_columns = Vec::new();
        for (at, column) in columns.iter().enumerate() {
            match column.field {
                Some(Field::Price { from, per }) => price_columns.push((at, from, per)),
                Some(field) => drop(position.entry(field).or_insert(at)),
                None => {}
            }
        }
        let numeric: Vec<usize> = (0..columns.len())
            .filter(|at| columns.get(*at).is_some_and(is_numeric))
            .collect();
        let steels = SteelTable::builtin().map_err(|error| ShopError::Grades(error.to_string()))?;
        let coatings = CoatingTable::builtin().map_err(|error| ShopError::Grades(error.to_string()))?;
        Ok(Self {
            table,
            columns,
            position,
            prices: price_columns,
            settings,
            length_unit: table.length_unit.unwrap_or_else(|| settings.length_unit()),
            convention: decimal::convention(table, &numeric),
            grades,
            coatings,
            steels,
            known_grades: HashMap::new(),
            known_coatings: HashMap::new(),
            lacking: BTreeMap::new(),
            reasons: Vec::new(),
            section: section::Section::default(),
            above: Vec::new(),
            problems: Problems::default(),
        })
    }

    /// Whether any column holds this field.
    pub(crate) fn has(&self, field: Field) -> bool {
        self.position.contains_key(&field)
    }

    /// Notes what is wrong with the table as a whole.
    pub(crate) fn check_table(&mut self) {
        let mut whole = |column: &str, wrong: String, right: &str, severity| {
            self.problems.add(Problem {
                line: 0,
                column: column.into(),
                value: String::new(),
                wrong,
                right: right.into(),
                severity,
            });
        };
        if !self.position.contains_key(&Field::Code) {
            let right = "a heading such as code, item no, Artikelnummer, référence";
            whole(
                "code",
                "there is no column with the code of each item".into(),
                right,
                Severity::Error,
            );
        }
        if self.table.lines.is_empty() {
            whole(
                "",
                "there is no line below the headings".into(),
                "a line for each item",
                Severity::Error,
            );
        }
        for (column, stated) in self
            .columns
            .iter()
            .filter_map(|column| Some((column, column.currency?)))
        {
            if stated != self.settings.currency {
                let wrong = format!(
                    "the prices are in {stated}, but the shop sells in {}",
                    self.settings.currency
                );
                whole(
                    &column.heading,
                    wrong,
                    "prices in the currency of the shop",
                    Severity::Error,
                );
            }
        }
    }

    /// Notes the fields that new items needed and no column has, once each.
    pub(crate) fn check_lacking(&mut self) {
        for (field, lines) in std::mem::take(&mut self.lacking) {
            self.problems.add_for_lines(Problem {
                line: 0,
                wrong: format!(
                    "there is no column for the {field}, which {lines} items that are not on the shelf yet need"
                ),
                right: format!("a column with the heading {field}"),
                column: field,
                value: String::new(),
                severity: Severity::Error,
            });
        }
    }

    /// Reads one line. `shelf` gives what has the code now; it keeps what the file has no column for.
    pub(crate) fn row<'s>(&mut self, line: &Line, shelf: impl FnOnce(&str) -> Option<&'s Product>) -> Row {
        let line = &self.without_dittos(line);
        let mut row = self.read_row(line, shelf);
        self.above.clone_from(&line.cells);
        row.reasons = std::mem::take(&mut self.reasons);
        row
    }

    /// A line with what stands above in the place of ditto marks.
    fn without_dittos(&self, line: &Line) -> Line {
        let is_ditto = |cell: &Cell| match cell {
            Cell::Text(text) => DITTO.contains(&text.trim().to_lowercase().as_str()),
            _ => false,
        };
        let mut line = line.clone();
        for field in [
            Field::Name,
            Field::Description,
            Field::Shape,
            Field::Grade,
            Field::Coating,
        ] {
            let place = self.position.get(&field).copied();
            if let Some(at) = place
                && let Some(cell) = line.cells.get_mut(at).filter(|cell| is_ditto(cell))
                && let Some(above) = self.above.get(at)
            {
                cell.clone_from(above);
            }
        }
        line
    }

    fn read_row<'s>(&mut self, line: &Line, shelf: impl FnOnce(&str) -> Option<&'s Product>) -> Row {
        let mut row = Row {
            line: line.number,
            code: None,
            product: None,
            reasons: Vec::new(),
        };
        if line.cells.len() > self.columns.len() {
            let wrong = format!(
                "the line has {} cells, but there are {} headings",
                line.cells.len(),
                self.columns.len()
            );
            let right =
                "quotation marks around text that holds the separator, or a decimal sign that is not the separator";
            self.note(line, None, Misfit::new(wrong, right), Severity::Error);
            return row;
        }
        let Ok(code) = self.read(line, Field::Code, value::code) else {
            return row;
        };
        let Some(code) = code else {
            if self.has(Field::Code) {
                let misfit = Misfit::new("the code is missing", "a code that no other item has, such as 14-07");
                self.note(line, Some(Field::Code), misfit, Severity::Error);
            }
            return row;
        };
        row.code = Some(code.clone());
        let base = shelf(&code);
        row.product = if let Some(kind) = self.goods_kind(line, base) {
            self.goods(line, code, kind, base.and_then(Product::goods))
                .ok()
                .map(Product::Goods)
        } else if self.is_part(line, base) {
            self.part(line, code, base.and_then(Product::part))
                .ok()
                .map(Product::Part)
        } else {
            self.item(line, code, base.and_then(Product::magnet))
                .ok()
                .map(Product::Magnet)
        };
        row
    }

    fn name(&mut self, line: &Line, before: Option<&str>) -> Result<String, Noted> {
        let name = self.kept(line, Field::Name, before.map(str::to_owned), |cell| {
            value::text(cell, "name")
        });
        name.map(Option::unwrap_or_default)
    }

    /// Reads what magnets and parts have alike; every field before giving up, so that one pass reports all that is wrong.
    fn listed(&mut self, line: &Line, before: Option<Listed>) -> Result<Listed, Noted> {
        let convention = self.convention;
        let tolerance = {
            let unit = self.unit(Field::Tolerance, self.length_unit);
            let before = before.as_ref().map(|l| l.tolerance);
            self.kept(line, Field::Tolerance, before, |cell| {
                value::tolerance(cell, unit, convention)
            })
        };
        let mass = {
            let unit = self.unit(Field::Mass, Unit::GRAM);
            let before = before.as_ref().and_then(|l| l.mass);
            self.kept(line, Field::Mass, before, |cell| value::mass(cell, unit, convention))
        };
        let stock = self.kept(line, Field::Stock, before.as_ref().and_then(|l| l.stock), |cell| {
            value::stock(cell)
        });
        let prices = self.price_breaks(line, before.as_ref().map(|l| l.prices.as_slice()));
        let link = self.kept(
            line,
            Field::Link,
            before.as_ref().and_then(|l| l.link.clone()),
            value::link,
        );
        let note = self.kept(line, Field::Note, before.and_then(|l| l.note), |cell| {
            value::text(cell, "note")
        });
        Ok(Listed {
            tolerance: tolerance?.unwrap_or(self.settings.tolerance),
            mass: mass?,
            stock: stock?,
            prices: prices?,
            link: link?,
            note: note?,
        })
    }

    /// Reads every field before giving up, so that one pass reports all that is wrong with a line.
    fn item(&mut self, line: &Line, code: String, base: Option<&Item>) -> Result<Item, Noted> {
        let name = self.name(line, base.map(|item| item.name.as_str()));
        let told = self.told(line);
        self.tell_of_section(line);
        let countersunk = self.countersink(line);
        let shape = self.shape(line, name.as_deref().unwrap_or_default(), &told, &countersunk, base);
        let grade = self.grade(line, &told, base);
        let family = grade.as_ref().ok().map(|(_, family, _)| *family);
        let coating = self.coating(line, family, &told, base);
        let before = base.cloned().map(|item| Product::Magnet(item).listed());
        let mut listed = self.listed(line, before)?;
        if let Some(tolerance) = told.tolerance.filter(|_| self.is_silent(line, &[Field::Tolerance])) {
            listed.tolerance = tolerance;
        }
        let ((shape, magnetised), (grade, _, density)) = (shape?, grade?);
        self.tell_of_countersink(line, &countersunk, &shape);
        let coating = coating?;
        let adhesive = self.is_self_adhesive(line, &coating);
        listed.note = with_remark(listed.note, name.as_deref().unwrap_or_default(), &countersunk.remark);
        if let Shape::Ring { inner_diameter, .. } = shape
            && countersunk.is_sunk()
            && inner_diameter < SMALLEST_SCREW
        {
            let hole = exact::millimetres(inner_diameter);
            let wrong = format!("a countersunk hole of {hole} mm takes no screw");
            let right = "outer diameter, hole and thickness, such as 16/4 x 4 mm; 4/8 reads as a fraction";
            return Err(self.note(line, self.text_field(), Misfit::new(wrong, right), Severity::Error));
        }
        self.doubt_mass(line, listed.mass, shape.volume() * density, &grade);
        Ok(Item {
            code,
            name: name?,
            shape,
            magnetised,
            grade,
            coating: self.with_pad(line, coating, adhesive),
            tolerance: listed.tolerance,
            mass: listed.mass,
            stock: listed.stock,
            prices: listed.prices,
            link: listed.link,
            note: listed.note,
        })
    }

    fn price_breaks(&mut self, line: &Line, before: Option<&[PriceBreak]>) -> Result<Vec<PriceBreak>, Noted> {
        let least = self.read(line, Field::LeastOrder, |cell| value::count(cell, "least order"));
        if self.prices.is_empty() {
            let before = before.unwrap_or_default().to_vec();
            return least.map(|least| prices::from_least_order(before, least));
        }
        let mut breaks = Vec::with_capacity(self.prices.len());
        let mut sound = true;
        let unit = self.read(line, Field::PricePer, value::price_unit)?;
        for (at, from, per) in self.prices.clone() {
            let is_of_one = vocabulary().is_of_one_piece(&line.cell(at).shown());
            let per = unit
                .filter(|pieces| per == 1 && *pieces > 1 && !is_of_one)
                .unwrap_or(per);
            match prices::price(line.cell(at), per, self.settings.currency, self.convention) {
                Ok(Some(each)) => breaks.push(PriceBreak { from, each }),
                Ok(None) => {}
                Err(misfit) => {
                    self.note_at(line, at, misfit, Severity::Error);
                    sound = false;
                }
            }
        }
        let least = least?;
        if !sound {
            return Err(Noted);
        }
        let breaks = prices::from_least_order(breaks, least);
        if let Some((before, after)) = prices::first_rise(&breaks) {
            let wrong = format!(
                "{} pieces cost {} each, but {} cost {}",
                after.from, after.each, before.from, before.each
            );
            let at = self
                .prices
                .iter()
                .find(|(_, from, _)| *from == after.from)
                .map(|(at, ..)| *at);
            self.note_at(
                line,
                at.unwrap_or(0),
                Misfit::new(wrong, "a price that falls with quantity"),
                Severity::Warning,
            );
        }
        Ok(breaks)
    }

    /// Warns where a mass is so far from size times density that one of them must be wrong.
    fn doubt_mass(&mut self, line: &Line, mass: Option<Mass>, computed: f64, material: &str) {
        let Some(mass) = mass.filter(|_| self.has(Field::Mass)) else {
            return;
        };
        let ratio = mass.0 / computed;
        if !(1.0 / DOUBTED_MASS_RATIO..=DOUBTED_MASS_RATIO).contains(&ratio) {
            let about = Mass(computed).show_to(2, &Units::metric());
            let wrong = format!("the mass does not go with the size: {material} should be about {about}");
            let right = "check the units of mass and size, or leave the mass out and it is computed";
            self.note(line, Some(Field::Mass), Misfit::new(wrong, right), Severity::Warning);
        }
    }

    /// The unit of a column, where its heading states one.
    fn unit(&self, field: Field, otherwise: Unit) -> Unit {
        let stated = self
            .position
            .get(&field)
            .and_then(|at| self.columns.get(*at))
            .and_then(|column| column.unit);
        stated.unwrap_or(otherwise)
    }

    /// Reads a field from its column; what the shelf has where there is no such column.
    fn kept<T>(
        &mut self,
        line: &Line,
        field: Field,
        before: Option<T>,
        read: impl FnOnce(&Cell) -> Read<T>,
    ) -> Result<Option<T>, Noted> {
        if self.has(field) {
            self.read(line, field, read)
        } else {
            Ok(before)
        }
    }

    /// Reads a field from its column; `None` where there is none.
    fn read<T>(&mut self, line: &Line, field: Field, read: impl FnOnce(&Cell) -> Read<T>) -> Result<Option<T>, Noted> {
        let Some(at) = self.position.get(&field) else {
            return Ok(None);
        };
        read(line.cell(*at)).map_err(|misfit| self.note(line, Some(field), misfit, Severity::Error))
    }

    /// Remembers that a new item needs a field that no column has.
    fn lacks(&mut self, field: &str) -> Noted {
        *self.lacking.entry(field.to_owned()).or_default() += 1;
        self.reasons.push(format!(
            "it is not on the shelf yet, and there is no column for its {field}"
        ));
        Noted
    }

    fn note(&mut self, line: &Line, field: Option<Field>, misfit: Misfit, severity: Severity) -> Noted {
        match field.and_then(|field| self.position.get(&field)) {
            Some(at) => self.note_at(line, *at, misfit, severity),
            None => self.add(line, String::new(), String::new(), misfit, severity),
        }
    }

    fn note_at(&mut self, line: &Line, column: usize, misfit: Misfit, severity: Severity) -> Noted {
        let heading = self
            .columns
            .get(column)
            .map(|column| column.heading.clone())
            .unwrap_or_default();
        self.add(line, heading, excerpt(&line.cell(column).shown()), misfit, severity)
    }

    fn add(&mut self, line: &Line, column: String, value: String, misfit: Misfit, severity: Severity) -> Noted {
        let Misfit { wrong, right } = misfit;
        if severity == Severity::Error {
            self.reasons.push(wrong.clone());
        }
        self.problems.add(Problem {
            line: line.number,
            column,
            value,
            wrong,
            right,
            severity,
        });
        Noted
    }
}

/// A remark with what only a column of its own says added, where neither the name nor the remark says it.
fn with_remark(note: Option<String>, name: &str, remark: &str) -> Option<String> {
    let says = |text: &str| text.contains(remark) || advice::said::countersunk(text).is_some();
    if remark.is_empty() || says(name) || note.as_deref().is_some_and(says) {
        return note;
    }
    Some(match note {
        Some(note) => format!("{note}; {remark}"),
        None => remark.to_owned(),
    })
}

/// Whether the decimal sign matters in a column.
fn is_numeric(column: &Column) -> bool {
    column.field.is_some_and(|field| {
        field.is_length() || matches!(field, Field::Mass | Field::StatedPull | Field::Price { .. })
    })
}
