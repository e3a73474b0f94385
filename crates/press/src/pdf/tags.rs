//! The tags: what each part of the pages is, in reading order.

use pdf_writer::types::{StructRole, TableHeaderScope};
use pdf_writer::{Finish, Pdf, Rect, Ref, TextStr};

use crate::drawing::{Mark, Step};
use crate::layout::{Placed, Role};

/// A part of a page by its number there.
#[derive(Clone, Copy)]
struct Marked {
    page: usize,
    number: i32,
}

/// An element that holds parts of pages.
struct Leaf {
    block: usize,
    role: Role,
    marked: Vec<Marked>,
    /// Where a drawing or an address stands: page and box.
    bbox: Option<(usize, Rect)>,
    /// What makes an address be led to.
    annotation: Option<Ref>,
}

/// An address that is led to, as it was written.
pub struct Link {
    /// The object that leads there.
    pub annotation: Ref,
    /// Its element among the tags.
    pub element: Ref,
    /// Where it stands on its page.
    pub bbox: Rect,
    /// The address.
    pub to: String,
}

/// The tags, as they come.
#[derive(Default)]
pub struct Tree {
    pages: Vec<Ref>,
    leaves: Vec<Leaf>,
    on_page: i32,
}

/// What was written.
pub struct Written {
    /// The element of the whole document.
    pub document: Ref,
    /// For each page the list of the elements of its parts.
    pub parents: Vec<Ref>,
    /// The addresses that are led to, in the order of the pages.
    pub links: Vec<Link>,
}

impl Tree {
    /// Begins a page.
    pub fn open_page(&mut self, page: Ref) {
        self.pages.push(page);
        self.on_page = 0;
    }

    /// Adds a part of the page, with what makes it be led to where it is an address; the number that it is marked with, `None` for
    /// what nobody needs to hear.
    pub fn add(&mut self, placed: &Placed, tall: f32, annotation: Option<Ref>) -> Option<i32> {
        if placed.role == Role::Ornament {
            return None;
        }
        let marked = Marked {
            page: self.pages.len().saturating_sub(1),
            number: self.on_page,
        };
        self.on_page += 1;
        let same = |leaf: &&mut Leaf| leaf.block == placed.block && leaf.role == placed.role;
        match self.leaves.last_mut().filter(same) {
            Some(leaf) => leaf.marked.push(marked),
            None => self.leaves.push(Leaf {
                block: placed.block,
                role: placed.role.clone(),
                marked: vec![marked],
                bbox: matches!(placed.role, Role::Figure(_) | Role::Link(_))
                    .then(|| (marked.page, bounds(&placed.marks, tall))),
                annotation,
            }),
        }
        Some(marked.number)
    }

    /// Writes the elements.
    pub fn write(&self, pdf: &mut Pdf, mut next: impl FnMut() -> Ref) -> Written {
        let document = next();
        let ids: Vec<Ref> = self.leaves.iter().map(|_| next()).collect();
        let mut parents: Vec<Vec<(i32, Ref)>> = vec![Vec::new(); self.pages.len()];
        for (leaf, id) in self.leaves.iter().zip(&ids) {
            for marked in &leaf.marked {
                if let Some(list) = parents.get_mut(marked.page) {
                    list.push((marked.number, *id));
                }
            }
        }
        let mut children = Vec::new();
        let mut at = 0;
        while let Some(leaf) = self.leaves.get(at) {
            if matches!(leaf.role, Role::Cell { .. }) {
                let end = self.leaves.iter().skip(at).position(|l| l.block != leaf.block);
                let end = end.map_or(self.leaves.len(), |n| at + n);
                children.push(self.table(pdf, &ids, at..end, document, &mut next));
                at = end;
            } else {
                self.leaf(pdf, leaf, ids[at], document);
                children.push(ids[at]);
                at += 1;
            }
        }
        let mut element = pdf.struct_element(document);
        element.kind(StructRole::Document);
        let mut listed = element.children();
        for child in children {
            listed.struct_element(child);
        }
        listed.finish();
        element.finish();
        let lists = parents.into_iter().map(|mut list| {
            list.sort_by_key(|(number, _)| *number);
            let id = next();
            pdf.indirect(id)
                .array()
                .items(list.into_iter().map(|(_, parent)| parent));
            id
        });
        let link = |(leaf, element): (&Leaf, &Ref)| match (&leaf.role, leaf.annotation, leaf.bbox) {
            (Role::Link(to), Some(annotation), Some((_, bbox))) => Some(Link {
                annotation,
                element: *element,
                bbox,
                to: to.clone(),
            }),
            _ => None,
        };
        Written {
            document,
            parents: lists.collect(),
            links: self.leaves.iter().zip(&ids).filter_map(link).collect(),
        }
    }

    /// Writes a table whose cells are those leaves.
    fn table(
        &self,
        pdf: &mut Pdf,
        ids: &[Ref],
        cells: std::ops::Range<usize>,
        parent: Ref,
        next: &mut impl FnMut() -> Ref,
    ) -> Ref {
        let table = next();
        let row_of = |at: usize| match self.leaves.get(at).map(|leaf| &leaf.role) {
            Some(Role::Cell { row, .. }) => *row,
            _ => 0,
        };
        let mut rows: Vec<(usize, Ref, Vec<Ref>)> = Vec::new();
        for at in cells {
            let (Some(leaf), Some(id)) = (self.leaves.get(at), ids.get(at)) else {
                continue;
            };
            let number = row_of(at);
            if rows.last().is_none_or(|(last, ..)| *last != number) {
                rows.push((number, next(), Vec::new()));
            }
            if let Some((_, row, list)) = rows.last_mut() {
                list.push(*id);
                self.leaf(pdf, leaf, *id, *row);
            }
        }
        let mut element = pdf.struct_element(table);
        element.kind(StructRole::Table).parent(parent);
        let mut listed = element.children();
        for (_, row, _) in &rows {
            listed.struct_element(*row);
        }
        listed.finish();
        element.finish();
        for (_, row, list) in rows {
            let mut element = pdf.struct_element(row);
            element.kind(StructRole::TR).parent(table);
            let mut listed = element.children();
            for cell in list {
                listed.struct_element(cell);
            }
        }
        table
    }

    fn leaf(&self, pdf: &mut Pdf, leaf: &Leaf, id: Ref, parent: Ref) {
        let mut element = pdf.struct_element(id);
        element.parent(parent).kind(match &leaf.role {
            Role::Heading(1) => StructRole::H1,
            Role::Heading(2) => StructRole::H2,
            Role::Heading(_) => StructRole::H3,
            Role::Figure(_) => StructRole::Figure,
            Role::Cell { head: true, .. } => StructRole::TH,
            Role::Cell { head: false, .. } => StructRole::TD,
            Role::Link(_) => StructRole::Link,
            Role::Paragraph | Role::Ornament => StructRole::P,
        });
        if let Role::Figure(alt) = &leaf.role {
            element.alt(TextStr(alt));
        }
        if let Role::Cell { head: true, .. } = leaf.role {
            element.attributes().push().table().scope(TableHeaderScope::Column);
        }
        if let Some((page, bbox)) = leaf.bbox {
            element.attributes().push().layout().bbox(bbox);
            if let Some(page) = self.pages.get(page) {
                element.page(*page);
            }
        }
        let mut listed = element.children();
        for marked in &leaf.marked {
            if let Some(page) = self.pages.get(marked.page) {
                listed.marked_content_ref().page(*page).marked_content_id(marked.number);
            }
        }
        if let Some(annotation) = leaf.annotation {
            listed.object_ref().object(annotation);
        }
    }
}

/// Below the base line of small lettering, and above it, points.
const DESCENT: f32 = 2.0;
const ASCENT: f32 = 6.0;

/// The box of marks, from the lower left of the page.
fn bounds(marks: &[Mark], tall: f32) -> Rect {
    let mut out = [f32::MAX, f32::MAX, f32::MIN, f32::MIN];
    let mut add = |x: f32, y: f32| out = [out[0].min(x), out[1].min(y), out[2].max(x), out[3].max(y)];
    for mark in marks {
        match mark {
            Mark::Letters {
                at: [x, y],
                text,
                anchor,
            } => {
                let left = x - anchor.share() * text.width();
                add(left, y + DESCENT);
                add(left + text.width(), y - ASCENT);
            }
            Mark::Path { steps, .. } => {
                for step in steps {
                    match *step {
                        Step::Move(x, y) | Step::Line(x, y) | Step::Curve([.., x, y]) => add(x, y),
                        Step::Close => {}
                    }
                }
            }
        }
    }
    if out[0] > out[2] {
        return Rect::new(0.0, 0.0, 0.0, 0.0);
    }
    Rect::new(out[0], tall - out[3], out[2], tall - out[1])
}
