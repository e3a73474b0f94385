//! The typefaces in the file: only the glyphs that are used, and what letters they stand for.

use std::collections::BTreeMap;

use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap};
use pdf_writer::{Filter, Finish, Name, Pdf, Rect, Ref, Str};
use subsetter::GlyphRemapper;

use super::{PACKING, PressError};
use crate::fonts::{Loaded, Run, files};

/// Codes of glyphs are their numbers in the file.
const IDENTITY: SystemInfo<'static> = SystemInfo {
    registry: Str(b"Adobe"),
    ordering: Str(b"Identity"),
    supplement: 0,
};

/// What of a typeface is used.
#[derive(Default)]
struct Used {
    glyphs: GlyphRemapper,
    /// By its new number, the letter and the width of a glyph for a size of 1000.
    known: BTreeMap<u16, (char, f32)>,
}

/// The typefaces that are used.
#[derive(Default)]
pub struct Faces {
    used: BTreeMap<usize, Used>,
}

impl Faces {
    /// The name of a typeface on the pages.
    pub fn name(&self, file: usize) -> String {
        format!("F{file}")
    }

    /// The codes of a run's glyphs, two bytes each.
    pub fn codes(&mut self, run: &Run) -> Vec<u8> {
        let used = self.used.entry(run.file).or_default();
        run.glyphs
            .iter()
            .flat_map(|glyph| {
                let code = used.glyphs.remap(glyph.id);
                used.known.entry(code).or_insert((glyph.letter, glyph.advance * 1000.0));
                code.to_be_bytes()
            })
            .collect()
    }

    /// Writes the typefaces, and gives the name and the object of each.
    pub fn write(&self, pdf: &mut Pdf, mut next: impl FnMut() -> Ref) -> Result<Vec<(String, Ref)>, PressError> {
        let mut out = Vec::new();
        for (file, used) in &self.used {
            let Some(loaded) = files().get(*file) else { continue };
            let font = next();
            write(pdf, loaded, used, font, &mut next)?;
            out.push((self.name(*file), font));
        }
        Ok(out)
    }
}

fn write(
    pdf: &mut Pdf,
    loaded: &Loaded,
    used: &Used,
    font: Ref,
    next: &mut impl FnMut() -> Ref,
) -> Result<(), PressError> {
    let subset = subsetter::subset(loaded.bytes, 0, &used.glyphs).map_err(|error| PressError::Typeface {
        face: loaded.name.into(),
        why: error.to_string(),
    })?;
    let [cid, descriptor, stream, letters] = std::array::from_fn(|_| next());
    // Six capitals before the name say that it is a part.
    let name = format!("LWPART+{}", loaded.name);
    let name = Name(name.as_bytes());
    pdf.type0_font(font)
        .base_font(name)
        .encoding_predefined(Name(b"Identity-H"))
        .descendant_font(cid)
        .to_unicode(letters);

    let mut described = pdf.cid_font(cid);
    described
        .subtype(CidFontType::Type2)
        .base_font(name)
        .system_info(IDENTITY)
        .font_descriptor(descriptor)
        .default_width(0.0)
        .cid_to_gid_map_predefined(Name(b"Identity"));
    let mut widths = described.widths();
    for (code, (_, width)) in &used.known {
        widths.same(*code, *code, *width);
    }
    widths.finish();
    described.finish();

    let face = &loaded.file;
    let per_em = f32::from(face.units_per_em());
    let scaled = |units: i16| f32::from(units) * 1000.0 / per_em;
    let bbox = face.global_bounding_box();
    let mut flags = FontFlags::SYMBOLIC;
    flags.set(FontFlags::SERIF, loaded.serifs);
    flags.set(FontFlags::ITALIC, face.is_italic());
    pdf.font_descriptor(descriptor)
        .name(name)
        .flags(flags)
        .bbox(Rect::new(
            scaled(bbox.x_min),
            scaled(bbox.y_min),
            scaled(bbox.x_max),
            scaled(bbox.y_max),
        ))
        .italic_angle(if face.is_italic() { -12.0 } else { 0.0 })
        .ascent(scaled(face.ascender()))
        .descent(scaled(face.descender()))
        .cap_height(scaled(face.capital_height().unwrap_or_else(|| face.ascender())))
        .stem_v(90.0)
        .font_file2(stream);
    let packed = miniz_oxide::deflate::compress_to_vec_zlib(&subset, PACKING);
    let length = i32::try_from(subset.len()).unwrap_or(i32::MAX);
    pdf.stream(stream, &packed)
        .filter(Filter::FlateDecode)
        .pair(Name(b"Length1"), length);

    let mut map = UnicodeCmap::<u16>::new(Name(b"Letters"), IDENTITY);
    for (code, (letter, _)) in &used.known {
        map.pair(*code, *letter);
    }
    pdf.cmap(letters, &map.finish());
    Ok(())
}
