//! The columns of an exported price list.

use std::collections::BTreeSet;

use advice::Item;
use advice::rules::kind_of;
use magnetics::Shape;
use quantity::{Currency, Money};

use crate::exact;
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

/// A heading with what stands below it.
pub(super) struct Column {
    pub(super) heading: String,
    value: Box<dyn Fn(&Item) -> Value>,
}

impl Column {
    fn new(heading: impl Into<String>, value: impl Fn(&Item) -> Value + 'static) -> Self {
        Self {
            heading: heading.into(),
            value: Box::new(value),
        }
    }

    pub(super) fn value(&self, item: &Item) -> Value {
        (self.value)(item)
    }
}

/// The columns for these items: one a field, and one for each quantity that has a price.
pub(super) fn columns(items: &[Item], currency: Currency) -> Vec<Column> {
    let text = |text: &str| {
        if text.is_empty() {
            Value::Nothing
        } else {
            Value::Text(text.to_owned())
        }
    };
    let mm = |metres: Option<f64>| metres.map_or(Value::Nothing, |metres| Value::Number(exact::millimetres(metres)));
    let side = move |item: &Item, which: fn([f64; 3]) -> f64| {
        mm(matches!(item.shape, Shape::Block { .. }).then(|| which(item.listed_sides())))
    };
    let mut columns = vec![
        Column::new("code", move |item| text(&item.code)),
        Column::new("name", move |item| text(&item.name)),
        Column::new("shape", move |item| text(kind_of(&item.shape).name())),
        Column::new("diameter (mm)", move |item| {
            mm(match item.shape {
                Shape::Disc { diameter, .. } | Shape::Sphere { diameter } => Some(diameter),
                Shape::Ring { outer_diameter, .. } => Some(outer_diameter),
                Shape::Block { .. } => None,
            })
        }),
        Column::new("inner diameter (mm)", move |item| {
            mm(match item.shape {
                Shape::Ring { inner_diameter, .. } => Some(inner_diameter),
                _ => None,
            })
        }),
        Column::new("length (mm)", move |item| side(item, |[length, ..]| length)),
        Column::new("width (mm)", move |item| side(item, |[_, width, _]| width)),
        Column::new("thickness (mm)", move |item| match item.shape {
            Shape::Disc { thickness, .. } | Shape::Ring { thickness, .. } => mm(Some(thickness)),
            Shape::Block { .. } => side(item, |[.., thickness]| thickness),
            Shape::Sphere { .. } => Value::Nothing,
        }),
        Column::new("magnetised along", move |item| text(side_name(item.magnetised))),
        Column::new("grade", move |item| text(&item.grade)),
        Column::new("coating", move |item| text(&item.coating)),
        Column::new("tolerance (mm)", move |item| mm(Some(item.tolerance.0))),
        Column::new("mass (g)", |item| {
            item.mass
                .map_or(Value::Nothing, |mass| Value::Number(exact::grams(mass.0)))
        }),
        Column::new("stock", |item| item.stock.map_or(Value::Nothing, Value::Count)),
    ];
    let steps: BTreeSet<u64> = items
        .iter()
        .flat_map(|item| item.prices.iter().map(|step| step.from))
        .collect();
    for from in steps {
        columns.push(Column::new(format!("price from {from} ({currency})"), move |item| {
            let step = item.prices.iter().find(|step| step.from == from);
            step.map_or(Value::Nothing, |step| Value::Money(step.each))
        }));
    }
    columns.push(Column::new("link", move |item| {
        text(item.link.as_deref().unwrap_or_default())
    }));
    columns.push(Column::new("note", move |item| {
        text(item.note.as_deref().unwrap_or_default())
    }));
    columns
}
