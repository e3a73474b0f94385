//! Pages into the PDF file: fonts inside, text that can be selected, tagged in reading order (PDF 1.7, ISO 32000-1).

mod faces;
mod tags;

use pdf_writer::types::{ActionType, AnnotationType, TabOrder};
use pdf_writer::writers::NumberTree;
use pdf_writer::{Content, Date, Filter, Finish, Name, Pdf, Rect, Ref, Str, TextStr};

use crate::drawing::{Anchor, Mark, Pen, Step};
use crate::fonts::shape;
use crate::ink::Ink;
use crate::layout::{Placed, Role};
use crate::pages::Document;
use crate::text::Text;
use faces::Faces;
use tags::Tree;

/// Why there is no PDF.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PressError {
    /// A typeface could not be put into the file.
    #[error("the typeface {face} could not be put into the PDF: {why}")]
    Typeface {
        /// Its name.
        face: String,
        /// Why not.
        why: String,
    },
}

/// How strongly streams are packed, 0 to 10.
const PACKING: u8 = 6;

/// Gives out numbers of objects.
struct Numbers(i32);

impl Numbers {
    fn next(&mut self) -> Ref {
        self.0 += 1;
        Ref::new(self.0)
    }
}

impl Document {
    /// It as PDF.
    ///
    /// # Errors
    /// A typeface that could not be put into the file.
    pub fn pdf(&self) -> Result<Vec<u8>, PressError> {
        write(self, &self.pages())
    }
}

/// Writes the pages of a document.
fn write(document: &Document, pages: &[Vec<Placed>]) -> Result<Vec<u8>, PressError> {
    let mut numbers = Numbers(0);
    let [catalog, tree, info, metadata] = std::array::from_fn(|_| numbers.next());
    let page_ids: Vec<Ref> = pages.iter().map(|_| numbers.next()).collect();
    let mut pdf = Pdf::new();
    pdf.set_version(1, 7);
    let mut faces = Faces::default();
    let mut tags = Tree::default();
    let [wide, tall] = document.paper.points();

    let mut contents = Vec::new();
    let mut links: Vec<Vec<Ref>> = Vec::new();
    for (page, id) in pages.iter().zip(&page_ids) {
        let mut content = Content::new();
        tags.open_page(*id);
        links.push(Vec::new());
        for placed in page.iter().filter(|placed| !placed.marks.is_empty()) {
            let annotation = matches!(placed.role, Role::Link(_)).then(|| numbers.next());
            if let Some(listed) = links.last_mut() {
                listed.extend(annotation);
            }
            match tags.add(placed, tall, annotation) {
                Some(number) => {
                    let name = Name(if matches!(placed.role, Role::Figure(_)) {
                        b"Figure"
                    } else {
                        b"Span"
                    });
                    let mut marked = content.begin_marked_content_with_properties(name);
                    marked.properties().identify(number);
                }
                None => {
                    content.begin_marked_content(Name(b"Artifact"));
                }
            }
            for mark in &placed.marks {
                draw(&mut content, mark, tall, &mut faces);
            }
            content.end_marked_content();
        }
        contents.push(content.finish());
    }

    let fonts = faces.write(&mut pdf, || numbers.next())?;
    for (((at, content), id), links) in (0..).zip(contents).zip(&page_ids).zip(links) {
        let stream = numbers.next();
        let packed = miniz_oxide::deflate::compress_to_vec_zlib(&content, PACKING);
        pdf.stream(stream, &packed).filter(Filter::FlateDecode);
        let mut page = pdf.page(*id);
        page.parent(tree)
            .media_box(Rect::new(0.0, 0.0, wide, tall))
            .contents(stream)
            .struct_parents(at)
            .tab_order(TabOrder::StructureOrder)
            .annotations(links);
        let mut resources = page.resources();
        let mut listed = resources.fonts();
        for (name, font) in &fonts {
            listed.pair(Name(name.as_bytes()), *font);
        }
    }
    let count = i32::try_from(page_ids.len()).unwrap_or(i32::MAX);
    pdf.pages(tree).kids(page_ids.iter().copied()).count(count);

    let written = tags.write(&mut pdf, || numbers.next());
    // Behind the lists of the pages' parts.
    for (key, link) in (count..).zip(&written.links) {
        let mut annotation = pdf.annotation(link.annotation);
        annotation
            .subtype(AnnotationType::Link)
            .rect(link.bbox)
            .border(0.0, 0.0, 0.0, None)
            .contents(TextStr(&link.to))
            .struct_parent(key);
        annotation
            .action()
            .action_type(ActionType::Uri)
            .uri(Str(link.to.as_bytes()));
    }
    pdf.stream(metadata, described(document).as_bytes())
        .pair(Name(b"Type"), Name(b"Metadata"))
        .pair(Name(b"Subtype"), Name(b"XML"));
    let (year, month, day) = document.date;
    pdf.document_info(info)
        .title(TextStr(&document.title))
        .author(TextStr(&document.author))
        .creator(TextStr(&document.creator))
        .creation_date(Date::new(year).month(month).day(day));
    let mut root = pdf.catalog(catalog);
    root.pages(tree)
        .lang(TextStr(&document.language))
        .metadata(metadata)
        .viewer_preferences()
        .display_doc_title(true);
    root.mark_info().marked(true);
    let mut structure = root.struct_tree_root();
    structure.child(written.document);
    let mut parents: NumberTree<'_, Ref> = structure.parent_tree();
    let mut listed = parents.nums();
    let elements = written.links.iter().map(|link| &link.element);
    for (key, parent) in (0..).zip(written.parents.iter().chain(elements)) {
        listed.insert(key, *parent);
    }
    listed.finish();
    parents.finish();
    structure.parent_tree_next_key(count + i32::try_from(written.links.len()).unwrap_or(0));
    structure.finish();
    root.finish();
    Ok(pdf.finish())
}

/// What the file says of itself, as XMP (ISO 16684-1), with the mark of a tagged file (ISO 14289-1).
fn described(document: &Document) -> String {
    let escaped = |text: &str| {
        let text: String = text.chars().filter(|c| !c.is_control()).collect();
        html_escape::encode_double_quoted_attribute(&text).into_owned()
    };
    let (year, month, day) = document.date;
    format!(
        "<?xpacket begin=\"\u{feff}\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\
         <x:xmpmeta xmlns:x=\"adobe:ns:meta/\"><rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\
         <rdf:Description rdf:about=\"\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\" \
         xmlns:xmp=\"http://ns.adobe.com/xap/1.0/\" xmlns:pdfuaid=\"http://www.aiim.org/pdfua/ns/id/\">\
         <dc:title><rdf:Alt><rdf:li xml:lang=\"x-default\">{}</rdf:li></rdf:Alt></dc:title>\
         <dc:creator><rdf:Seq><rdf:li>{}</rdf:li></rdf:Seq></dc:creator>\
         <dc:language><rdf:Bag><rdf:li>{}</rdf:li></rdf:Bag></dc:language>\
         <xmp:CreatorTool>{}</xmp:CreatorTool><xmp:CreateDate>{year:04}-{month:02}-{day:02}</xmp:CreateDate>\
         <pdfuaid:part>1</pdfuaid:part></rdf:Description></rdf:RDF></x:xmpmeta><?xpacket end=\"r\"?>",
        escaped(&document.title),
        escaped(&document.author),
        escaped(&document.language),
        escaped(&document.creator),
    )
}

fn draw(content: &mut Content, mark: &Mark, tall: f32, faces: &mut Faces) {
    match mark {
        Mark::Path { steps, pen } => path(content, steps, pen, tall),
        Mark::Letters { at, text, anchor } => letters(content, [at[0], tall - at[1]], text, *anchor, faces),
    }
}

fn parts(Ink(red, green, blue): Ink) -> [f32; 3] {
    [red, green, blue].map(|part| f32::from(part) / 255.0)
}

fn path(content: &mut Content, steps: &[Step], pen: &Pen, tall: f32) {
    if let Some([r, g, b]) = pen.fill.map(parts) {
        content.set_fill_rgb(r, g, b);
    }
    if let Some([r, g, b]) = pen.stroke.map(parts) {
        content.set_stroke_rgb(r, g, b).set_line_width(pen.width);
        content.set_dash_pattern(
            pen.dash.unwrap_or_default().into_iter().filter(|_| pen.dash.is_some()),
            0.0,
        );
    }
    for step in steps {
        match *step {
            Step::Move(x, y) => content.move_to(x, tall - y),
            Step::Line(x, y) => content.line_to(x, tall - y),
            Step::Curve([a, b, c, d, e, f]) => content.cubic_to(a, tall - b, c, tall - d, e, tall - f),
            Step::Close => content.close_path(),
        };
    }
    match (pen.fill, pen.stroke) {
        (Some(_), Some(_)) => content.fill_nonzero_and_stroke(),
        (Some(_), None) => content.fill_nonzero(),
        (None, Some(_)) => content.stroke(),
        (None, None) => content.end_path(),
    };
}

fn letters(content: &mut Content, [x, y]: [f32; 2], text: &Text, anchor: Anchor, faces: &mut Faces) {
    let mut x = x - anchor.share() * text.width();
    content.begin_text();
    for (words, style) in &text.pieces {
        let [r, g, b] = parts(style.ink);
        content.set_fill_rgb(r, g, b);
        for run in shape(words, style.face) {
            let name = faces.name(run.file);
            content.set_font(Name(name.as_bytes()), style.size);
            content.set_text_matrix([1.0, 0.0, 0.0, 1.0, x, y]);
            content.show(Str(&faces.codes(&run)));
            x += run.width * style.size;
        }
    }
    content.end_text();
}
