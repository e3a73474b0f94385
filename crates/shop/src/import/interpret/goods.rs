//! Pots, hooks, strips and the like: what the list has of them, and the pull that their maker states.

use advice::Goods;
use advice::goods::{GoodsKind, GoodsSizes};
use advice::part::PartKind;

use super::described::TEXTS;
use super::shape::SIDES;
use super::{Interpreter, Noted};
use crate::import::field::Field;
use crate::import::problem::Severity;
use crate::import::size::{self, Sizes};
use crate::import::table::{Cell, Line};
use crate::import::told;
use crate::import::value::{self, Misfit};
use crate::import::vocabulary::{DirectionWord, ShapeWord, Side, vocabulary};
use crate::product::Product;

impl Interpreter<'_> {
    /// The goods that a line is of: by its shape, its direction or its texts, else as the shelf has it; `None` for a magnet or a
    /// part.
    pub(super) fn goods_kind(&self, line: &Line, base: Option<&Product>) -> Option<GoodsKind> {
        let shape = self.words_in(line, Field::Shape);
        let by_shape = shape.as_deref().and_then(|shape| vocabulary().goods_named(shape));
        // "pot" alone is a steel cup, but not one of a magnet grade.
        let potted = || {
            let is_cup = shape.as_deref().and_then(|shape| vocabulary().part(shape)) == Some(PartKind::Cup);
            let is_magnetic = self
                .words_in(line, Field::Grade)
                .is_some_and(|grade| self.grades.get(&grade).is_some());
            (is_cup && is_magnetic).then_some(GoodsKind::Pot)
        };
        // What stands in a remark names other things, too.
        let texts = || {
            let fields = [Field::Description, Field::Name, Field::Shape];
            fields.into_iter().filter_map(|field| self.words_in(line, field))
        };
        let by_texts = || texts().find_map(|text| vocabulary().goods(&text)).map(|(kind, _)| kind);
        let by_first_word = || {
            let is_part = shape.as_deref().is_some_and(|shape| vocabulary().part(shape).is_some());
            let begins = texts().any(|text| vocabulary().begins_with_pot(&text));
            (begins && !is_part).then_some(GoodsKind::Pot)
        };
        let by_note = || {
            let note = self.words_in(line, Field::Note)?;
            let (kind, _) = vocabulary().goods(&note)?;
            matches!(kind, GoodsKind::Diametral | GoodsKind::Multipole).then_some(kind)
        };
        let by_direction = || {
            let along = self.words_in(line, Field::Magnetised)?;
            let named = vocabulary().goods(&along).map(|(kind, _)| kind);
            let unsupported = vocabulary().direction(&along) == Some(DirectionWord::Unsupported);
            named.or(unsupported.then_some(GoodsKind::Diametral))
        };
        let by_heading = || {
            let kind = self.section.goods?;
            let names_a_magnet = texts().any(|text| vocabulary().shape_within(&text).is_some());
            let is_turned = matches!(kind, GoodsKind::Diametral | GoodsKind::Multipole);
            (is_turned || !names_a_magnet).then_some(kind)
        };
        // A pad without a grade is none that can be reckoned.
        let by_adhesive = || {
            let is_graded = || !self.is_silent(line, &[Field::Grade]) || self.told(line).grade.is_some();
            (self.is_self_adhesive(line, "") && !is_graded()).then_some(GoodsKind::Adhesive)
        };
        let by_shelf = || match base {
            Some(Product::Goods(goods)) if shape.is_none() => Some(goods.goods),
            _ => None,
        };
        let found = by_shape
            .or_else(potted)
            .or_else(|| self.is_odd_steel(line).then_some(GoodsKind::Other))
            .or_else(|| {
                if self.is_steel(line) {
                    return None;
                }
                let by_words = by_texts().or_else(by_first_word).or_else(by_note);
                by_words.or_else(by_direction).or_else(by_heading)
            });
        let is_part = matches!(base, Some(Product::Part(_))) || self.is_steel(line);
        found.or_else(|| by_adhesive().filter(|_| !is_part)).or_else(by_shelf)
    }

    /// What stands in a column, where that is no blank.
    pub(super) fn words_in(&self, line: &Line, field: Field) -> Option<String> {
        let cell = line.cell(*self.position.get(&field)?);
        Some(cell.shown()).filter(|text| !value::is_blank(text))
    }

    /// Reads every field before giving up, so that one pass reports all that is wrong with a line.
    pub(super) fn goods(
        &mut self,
        line: &Line,
        code: String,
        kind: GoodsKind,
        base: Option<&Goods>,
    ) -> Result<Goods, Noted> {
        let name = self.name(line, base.map(|goods| goods.name.as_str()));
        let as_written = |row: &mut Self, field, what, before: Option<&str>| {
            row.kept(line, field, before.map(str::to_owned), |cell| value::text(cell, what))
        };
        let grade = as_written(self, Field::Grade, "grade", base.map(|goods| goods.grade.as_str()));
        let coating = as_written(
            self,
            Field::Coating,
            "coating",
            base.map(|goods| goods.coating.as_str()),
        );
        let sizes = self.goods_sizes(line, kind, base);
        let pull = self.stated_pull(line, kind, base);
        let before = base.cloned().map(|goods| Product::Goods(goods).listed());
        let listed = self.listed(line, before)?;
        if self.section.goods == Some(kind) {
            self.section.uses();
        }
        let wrong = format!("it is kept as {}, and nothing is computed for it", kind.name());
        let right = "its maker's stated pull, in a column for it, is told beside answers";
        self.note(line, None, Misfit::new(wrong, right), Severity::Warning);
        let filled = |text: Option<String>| text.filter(|text| !value::is_blank(text)).unwrap_or_default();
        Ok(Goods {
            code,
            name: name?,
            goods: kind,
            sizes: sizes?,
            grade: filled(grade?),
            coating: filled(coating?),
            stated_pull: pull?,
            tolerance: listed.tolerance,
            mass: listed.mass,
            stock: listed.stock,
            prices: listed.prices,
            link: listed.link,
            note: listed.note,
        })
    }

    /// Its sizes, as far as columns or texts have any that can be read; the others are looked up in the name by people.
    fn goods_sizes(&mut self, line: &Line, kind: GoodsKind, base: Option<&Goods>) -> Result<GoodsSizes, Noted> {
        let has_columns = self.has(Field::Size) || SIDES.iter().any(|(field, _)| self.has(*field));
        if let (Some(goods), false) = (base, has_columns) {
            return Ok(goods.sizes);
        }
        let mut sizes = self.sides(line)?;
        let told = self.told(line);
        let (unit, convention) = (self.unit(Field::Size, self.length_unit), self.convention);
        let combined = match self.position.get(&Field::Size).map(|at| line.cell(*at)) {
            None | Some(Cell::Empty) => None,
            Some(cell) => {
                let text = cell.shown();
                let split = size::split(without_thread(&text), unit, convention).ok();
                split.or_else(|| Some(told::told(&text, &self.tables()).sizes))
            }
        };
        let parts = combined.unwrap_or_else(|| if self.is_unsized(line) { told.sizes } else { Vec::new() });
        let free = parts.iter().filter(|part| part.side.is_none()).count();
        let shape = match (kind, free) {
            (GoodsKind::Strip | GoodsKind::Sheet | GoodsKind::Arc | GoodsKind::Set | GoodsKind::Other, _) => told.shape,
            (_, 1 | 2) => Some(told.shape.unwrap_or(ShapeWord::Disc)),
            _ => told.shape,
        };
        // One size alone is that across.
        let parts = match (kind, parts.as_slice()) {
            (GoodsKind::Strip | GoodsKind::Sheet, [only]) if only.side.is_none() => vec![size::Part {
                side: Some(Side::Width),
                ..*only
            }],
            (_, [only]) if only.side.is_none() && sizes.diameter.is_none() => vec![size::Part {
                side: Some(Side::Diameter),
                ..*only
            }],
            _ => parts,
        };
        if !parts.is_empty() && sizes.add(&parts, shape).is_err() {
            sizes = Sizes::default();
            let misfit = Misfit::new(
                "its sizes cannot be read",
                "a size such as 32 x 8 mm, or columns for the sizes",
            );
            self.note(line, Some(Field::Size), misfit, Severity::Warning);
        }
        let some = |size: Option<f64>| size.filter(|metres| *metres > 0.0);
        Ok(GoodsSizes {
            diameter: some(sizes.diameter),
            inner_diameter: some(sizes.inner_diameter),
            length: some(sizes.length),
            width: some(sizes.width),
            thickness: some(sizes.thickness),
        })
    }

    /// The pull in its column, or else the one that a text names.
    fn stated_pull(
        &mut self,
        line: &Line,
        kind: GoodsKind,
        base: Option<&Goods>,
    ) -> Result<Option<quantity::Force>, Noted> {
        let stated = self
            .position
            .get(&Field::StatedPull)
            .and_then(|at| self.columns.get(*at))
            .and_then(|column| column.unit);
        let convention = self.convention;
        let before = base.and_then(|goods| goods.stated_pull);
        let read = self.kept(line, Field::StatedPull, before, |cell| {
            value::pull(cell, stated, convention)
        })?;
        Ok(read.or_else(|| {
            let texts = || TEXTS.into_iter().filter_map(|field| self.words_in(line, field));
            // Of a pot or a hook a mass in its name is what it holds.
            let held = || {
                let name = self.words_in(line, self.text_field()?)?;
                value::pull_or_mass_within(&name).filter(|_| matches!(kind, GoodsKind::Pot | GoodsKind::Hook))
            };
            texts().find_map(|text| value::pull_within(&text)).or_else(held)
        }))
    }
}

/// A size without the thread, the pin or the hole that is told behind it: `Ø 32 x 8` of `Ø 32 x 8 M6`.
fn without_thread(size: &str) -> &str {
    let begins = |at: &usize| size[at + 1..].starts_with(|c: char| c.is_ascii_digit());
    let thread = size.match_indices('M').map(|(at, _)| at).find(begins);
    // A word between size and thread names its kind.
    thread.map_or(size, |at| {
        let before = size[..at].trim_end();
        before.trim_end_matches(char::is_alphabetic).trim_end()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_thread_is_no_size() {
        for (written, size) in [
            ("Ø 32 x 8 M6", "Ø 32 x 8"),
            ("Ø25 x 7 tige M3 x 10", "Ø25 x 7"),
            ("25 x 8 mm", "25 x 8 mm"),
            ("Mini 10 x 4", "Mini 10 x 4"),
        ] {
            assert_eq!(without_thread(written), size);
        }
    }
}
