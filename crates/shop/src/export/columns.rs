//! The columns of an exported price list.

use std::collections::BTreeSet;

use advice::Item;
use advice::goods::GoodsSizes;
use advice::part::Form;
use advice::rules::kind_of;
use magnetics::Shape;
use quantity::{Currency, Money};

use crate::exact;
use crate::product::Product;
use crate::rows::side_name;

/// One cell of an exported list.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Value {
    Nothing,
    Text(String),
    Number(f64),
    Count(u64),
    Money(Money),
}

impl Value {
    /// The value as text that an import reads back.
    pub(super) fn plain(&self) -> String {
        match self {
            Value::Nothing => String::new(),
            Value::Text(text) => text.clone(),
            Value::Number(number) => number.to_string(),
            Value::Count(count) => count.to_string(),
            Value::Money(money) => money.to_string(),
        }
    }
}

/// What the headings of prices begin with.
pub(super) const PRICE_FROM: &str = "price from ";

/// The heading of the prices from so many pieces on.
pub(super) fn price_heading(from: u64, currency: Currency) -> String {
    format!("{PRICE_FROM}{from} ({currency})")
}

/// A heading with what stands below it.
pub(super) struct Column {
    pub(super) heading: String,
    value: Box<dyn Fn(&Product) -> Value>,
}

impl Column {
    fn new(heading: impl Into<String>, value: impl Fn(&Product) -> Value + 'static) -> Self {
        Self {
            heading: heading.into(),
            value: Box::new(value),
        }
    }

    pub(super) fn value(&self, product: &Product) -> Value {
        (self.value)(product)
    }
}

fn text(text: &str) -> Value {
    if text.is_empty() {
        Value::Nothing
    } else {
        Value::Text(text.to_owned())
    }
}

fn mm(metres: Option<f64>) -> Value {
    metres.map_or(Value::Nothing, |metres| Value::Number(exact::millimetres(metres)))
}

/// The sizes of a line, m, in the order of their columns: diameter, inner diameter, length, width, thickness.
fn sizes(product: &Product) -> [Option<f64>; 5] {
    match product {
        Product::Magnet(item) => match item.shape {
            Shape::Disc { diameter, thickness } => [Some(diameter), None, None, None, Some(thickness)],
            Shape::Ring {
                outer_diameter,
                inner_diameter,
                thickness,
            } => [Some(outer_diameter), Some(inner_diameter), None, None, Some(thickness)],
            Shape::Block { .. } => {
                let [length, width, thickness] = item.listed_sides();
                [None, None, Some(length), Some(width), Some(thickness)]
            }
            Shape::Sphere { diameter } => [Some(diameter), None, None, None, None],
        },
        Product::Part(part) => {
            let inner = match part.form {
                Form::Washer { inner_diameter, .. } | Form::Cup { inner_diameter, .. } => Some(inner_diameter),
                Form::Disc { .. } | Form::Cone { .. } | Form::Dome { .. } => None,
            };
            [Some(part.form.widest()), inner, None, None, Some(part.form.height())]
        }
        Product::Goods(goods) => {
            let GoodsSizes {
                diameter,
                inner_diameter,
                length,
                width,
                thickness,
            } = goods.sizes;
            [diameter, inner_diameter, length, width, thickness]
        }
    }
}

/// The columns for these lines: one a field, and one for each quantity that has a price. What only parts or goods
/// have stands in the list where there are some.
pub(super) fn columns(products: &[Product], currency: Currency) -> Vec<Column> {
    let size = |heading: &str, which: usize| Column::new(heading, move |product| mm(sizes(product)[which]));
    let of_part = |heading: &str, which: fn(&Form) -> Option<f64>| {
        Column::new(heading, move |product| {
            mm(product.part().and_then(|part| which(&part.form)))
        })
    };
    let of_magnet = |heading: &str, which: fn(&Item) -> &str| {
        Column::new(heading, move |product| {
            product.magnet().map_or(Value::Nothing, |item| text(which(item)))
        })
    };
    let mut columns = vec![
        Column::new("code", |product| text(product.code())),
        Column::new("name", |product| text(product.name())),
        Column::new("shape", |product| {
            text(match product {
                Product::Magnet(item) => kind_of(&item.shape).name(),
                Product::Part(part) => part.form.kind().name(),
                Product::Goods(goods) => goods.goods.name(),
            })
        }),
        size("diameter (mm)", 0),
        size("inner diameter (mm)", 1),
        size("length (mm)", 2),
        size("width (mm)", 3),
        size("thickness (mm)", 4),
    ];
    if products.iter().any(|product| product.part().is_some()) {
        columns.extend([
            of_part("cavity depth (mm)", |form| match *form {
                Form::Cup { depth, .. } => Some(depth),
                _ => None,
            }),
            of_part("floor hole (mm)", |form| match *form {
                Form::Cup { hole, .. } => Some(hole).filter(|hole| *hole > 0.0),
                _ => None,
            }),
            of_part("end diameter (mm)", |form| match *form {
                Form::Cone { end, .. } => Some(end),
                _ => None,
            }),
        ]);
    }
    if products.iter().any(|product| product.goods().is_some()) {
        columns.push(Column::new("stated pull (N)", |product| {
            let stated = product.goods().and_then(|goods| goods.stated_pull);
            stated.map_or(Value::Nothing, |pull| Value::Number(pull.0))
        }));
    }
    columns.extend([
        of_magnet("magnetised along", |item| side_name(item.magnetised)),
        Column::new("grade", |product| text(product.material())),
        Column::new("coating", |product| text(product.coating())),
        Column::new("tolerance (mm)", |product| mm(Some(product.listed().tolerance.0))),
        Column::new("mass (g)", |product| {
            product
                .listed()
                .mass
                .map_or(Value::Nothing, |mass| Value::Number(exact::grams(mass.0)))
        }),
        Column::new("stock", |product| {
            product.listed().stock.map_or(Value::Nothing, Value::Count)
        }),
    ]);
    let steps: BTreeSet<u64> = products
        .iter()
        .flat_map(|product| product.prices().iter().map(|step| step.from))
        .collect();
    for from in steps {
        columns.push(Column::new(price_heading(from, currency), move |product| {
            let step = product.prices().iter().find(|step| step.from == from);
            step.map_or(Value::Nothing, |step| Value::Money(step.each))
        }));
    }
    let optional = |found: Option<String>| text(&found.unwrap_or_default());
    columns.push(Column::new("link", move |product| optional(product.listed().link)));
    columns.push(Column::new("note", move |product| optional(product.listed().note)));
    columns
}
