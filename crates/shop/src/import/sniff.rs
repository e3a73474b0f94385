//! What kind of file it is, by its content; a name can say anything.

/// What a file holds, as far as an import cares.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Content {
    /// Nothing, or blanks.
    Nothing,
    /// Text, perhaps a delimited table.
    Text,
    /// A zip archive: perhaps a workbook.
    Zip,
    /// Something that no price list is; in words, and what to do.
    Other(&'static str, &'static str),
}

const SAVE: &str = "save the price list as .csv or .xlsx and give that";
const UNPACK: &str = "unpack it and give the .csv or .xlsx file inside";
const OLD_BOOK: &str = "open it in a spreadsheet program and save it as .xlsx or .csv";

/// First bytes of kinds of files that are known not to be price lists. File signatures: common practice, no source.
const SIGNATURES: &[(&[u8], &str, &str)] = &[
    (b"MZ", "a program (an executable file), not a price list", SAVE),
    (b"\x7fELF", "a program (an executable file), not a price list", SAVE),
    (
        b"\xfe\xed\xfa\xce",
        "a program (an executable file), not a price list",
        SAVE,
    ),
    (
        b"\xfe\xed\xfa\xcf",
        "a program (an executable file), not a price list",
        SAVE,
    ),
    (
        b"\xce\xfa\xed\xfe",
        "a program (an executable file), not a price list",
        SAVE,
    ),
    (
        b"\xcf\xfa\xed\xfe",
        "a program (an executable file), not a price list",
        SAVE,
    ),
    (
        b"\xca\xfe\xba\xbe",
        "a program (an executable file), not a price list",
        SAVE,
    ),
    (b"\0asm", "a program (an executable file), not a price list", SAVE),
    (b"#!", "a script, not a price list", SAVE),
    (b"%PDF", "a PDF document, not a table", SAVE),
    (b"\x89PNG", "a picture, not a table", SAVE),
    (b"\xff\xd8\xff", "a picture, not a table", SAVE),
    (b"GIF8", "a picture, not a table", SAVE),
    (b"II*\0", "a picture, not a table", SAVE),
    (b"MM\0*", "a picture, not a table", SAVE),
    (b"RIFF", "a picture, sound or film, not a table", SAVE),
    (
        b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1",
        "an old office document (such as .xls)",
        OLD_BOOK,
    ),
    (b"{\\rtf", "a rich text document, not a table", SAVE),
    (b"\x1f\x8b", "a packed archive", UNPACK),
    (b"BZh", "a packed archive", UNPACK),
    (b"7z\xbc\xaf\x27\x1c", "a packed archive", UNPACK),
    (b"Rar!\x1a\x07", "a packed archive", UNPACK),
    (b"\xfd7zXZ\0", "a packed archive", UNPACK),
    (b"\x28\xb5\x2f\xfd", "a packed archive", UNPACK),
    (
        b"SQLite format 3\0",
        "a database, not a price list",
        "open a shop's database as a shop, or export its list",
    ),
];

/// Looks at the first bytes, and for text also at the rest.
pub(crate) fn content(bytes: &[u8]) -> Content {
    if bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"PK\x05\x06") {
        return Content::Zip;
    }
    if let Some((_, what, right)) = SIGNATURES.iter().find(|(signature, ..)| bytes.starts_with(signature)) {
        return Content::Other(what, right);
    }
    // A bitmap says its own length and has four zeros after it; "BM" alone can begin a heading.
    if let [b'B', b'M', a, b, c, d, 0, 0, 0, 0, ..] = *bytes
        && u32::from_le_bytes([a, b, c, d]) as usize == bytes.len()
    {
        return Content::Other("a picture, not a table", SAVE);
    }
    let start = bytes.trim_ascii_start();
    if start.is_empty() {
        return Content::Nothing;
    }
    let starts = |tag: &[u8]| {
        start
            .get(..tag.len())
            .is_some_and(|head| head.eq_ignore_ascii_case(tag))
    };
    if starts(b"<!doctype html") || starts(b"<html") {
        return Content::Other("a web page, not a table", SAVE);
    }
    if starts(b"<?xml") {
        return Content::Other("an XML document, not a table", SAVE);
    }
    Content::Text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tells_kinds_apart_by_content() {
        assert_eq!(content(b""), Content::Nothing);
        assert_eq!(content(b" \r\n\t"), Content::Nothing);
        assert_eq!(content(b"BMW code,size"), Content::Text);
        assert_eq!(content(b"code;size\n"), Content::Text);
        assert_eq!(content(b"PK\x03\x04rest"), Content::Zip);
        for (bytes, word) in [
            (&b"MZ\x90\0\x03"[..], "program"),
            (b"\x7fELF\x02\x01", "program"),
            (b"%PDF-1.7\n", "PDF"),
            (b"\x89PNG\r\n\x1a\n", "picture"),
            (b"\xff\xd8\xff\xe0", "picture"),
            (b"BM\x0e\0\0\0\0\0\0\0\x36\0\0\0", "picture"),
            (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "old office"),
            (b"\n<!DOCTYPE HTML><html>", "web page"),
            (b"\x1f\x8b\x08", "archive"),
            (b"SQLite format 3\0", "database"),
        ] {
            match content(bytes) {
                Content::Other(what, _) => assert!(what.contains(word), "{what} for {word}"),
                other => panic!("{other:?} for {word}"),
            }
        }
    }
}
