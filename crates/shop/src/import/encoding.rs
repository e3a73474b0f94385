//! Bytes to text, in the encoding that they are in.

use chardetng::{EncodingDetector, Iso2022JpDetection, Utf8Detection};
use encoding_rs::{Encoding, ISO_8859_2, UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1250, WINDOWS_1252};

/// Text that could not be decoded: what is wrong, what would be right.
pub(crate) type Refusal = (String, String);

/// The text and the name of the encoding it was in.
///
/// A byte order mark decides; then the encoding that was asked for; then UTF-16 by its zeros, UTF-8 if it is valid,
/// and else the likeliest encoding of a single country. Price lists are too short for statistics to tell western texts
/// from other Latin ones, so only a Central European guess with letters that no western language has stands.
pub(crate) fn decode(bytes: &[u8], asked: Option<&str>) -> Result<(String, &'static str), Refusal> {
    let asked = asked.map(named).transpose()?;
    let encoding = match (Encoding::for_bom(bytes), asked) {
        (Some((marked, _)), _) => marked,
        (None, Some(asked)) => asked,
        (None, None) => guess(bytes),
    };
    let (text, used, malformed) = encoding.decode(bytes);
    if malformed {
        let line = text
            .split('\u{fffd}')
            .next()
            .map_or(1, |before| before.matches('\n').count() + 1);
        return Err((
            format!(
                "the text is not in {}: line {line} holds bytes that mean nothing there",
                used.name()
            ),
            "leave the encoding open, or choose another such as windows-1252".into(),
        ));
    }
    if text.contains('\0') {
        return Err((
            "the file holds binary data, not text".into(),
            "save the price list as .csv or .xlsx and give that".into(),
        ));
    }
    Ok((text.into_owned(), used.name()))
}

fn named(label: &str) -> Result<&'static Encoding, Refusal> {
    Encoding::for_label(label.as_bytes()).ok_or_else(|| {
        (
            format!("unknown encoding \"{label}\""),
            "one such as utf-8, utf-16le, windows-1252 or iso-8859-2".into(),
        )
    })
}

fn guess(bytes: &[u8]) -> &'static Encoding {
    if let Some(wide) = utf_16(bytes) {
        return wide;
    }
    if std::str::from_utf8(bytes).is_ok() {
        return UTF_8;
    }
    let mut detector = EncodingDetector::new(Iso2022JpDetection::Deny);
    detector.feed(bytes, true);
    let guess = detector.guess(None, Utf8Detection::Deny);
    let baltic_or_turkish = [
        "windows-1254",
        "windows-1257",
        "windows-1258",
        "ISO-8859-4",
        "ISO-8859-10",
        "ISO-8859-13",
    ];
    let central = [WINDOWS_1250, ISO_8859_2].contains(&guess);
    if baltic_or_turkish.contains(&guess.name()) || (central && is_western(bytes)) {
        WINDOWS_1252
    } else {
        guess
    }
}

/// Whether windows-1252 gives nothing but letters and signs of the western languages; a Polish or Czech text gives
/// odd ones such as `³` in a word.
fn is_western(bytes: &[u8]) -> bool {
    const LETTERS: &str = "àáâãäåçèéêëìíîïñòóôõöùúûüýÿßøÀÁÂÃÄÅÇÈÉÊËÌÍÎÏÑÒÓÔÕÖÙÚÛÜÝØ";
    const SIGNS: &str = "€£¥§°±²µ·½¼¾×÷«»¡¿–—‘’“”„…•®™\u{a0}";
    let text = WINDOWS_1252.decode_without_bom_handling(bytes).0;
    text.chars()
        .all(|c| c.is_ascii() || LETTERS.contains(c) || SIGNS.contains(c))
}

/// UTF-16 without a mark: Latin text has a zero in every other byte.
fn utf_16(bytes: &[u8]) -> Option<&'static Encoding> {
    const LOOKED_AT: usize = 4_096;
    let head = &bytes[..bytes.len().min(LOOKED_AT)];
    let pairs = head.len() / 2;
    let zeros = |at: usize| head.chunks_exact(2).filter(|pair| pair.get(at) == Some(&0)).count();
    let (first, second) = (zeros(0), zeros(1));
    let many = pairs / 2 + 1;
    match () {
        () if second >= many && first * 20 <= pairs => Some(UTF_16LE),
        () if first >= many && second * 20 <= pairs => Some(UTF_16BE),
        () => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "Artikel;Stärke;Preis €\n1;5 mm;0,61\n";

    fn wide(text: &str, big: bool, mark: bool) -> Vec<u8> {
        let marked = if mark {
            format!("\u{feff}{text}")
        } else {
            text.to_owned()
        };
        marked
            .encode_utf16()
            .flat_map(|unit| if big { unit.to_be_bytes() } else { unit.to_le_bytes() })
            .collect()
    }

    #[test]
    fn finds_the_encoding() {
        let western = encoding_rs::WINDOWS_1252.encode(TEXT).0.into_owned();
        let marked = [b"\xef\xbb\xbf", TEXT.as_bytes()].concat();
        for (bytes, name) in [
            (TEXT.as_bytes().to_vec(), "UTF-8"),
            (marked, "UTF-8"),
            (wide(TEXT, false, true), "UTF-16LE"),
            (wide(TEXT, true, true), "UTF-16BE"),
            (wide(TEXT, false, false), "UTF-16LE"),
            (wide(TEXT, true, false), "UTF-16BE"),
            (western, "windows-1252"),
        ] {
            assert_eq!(decode(&bytes, None), Ok((TEXT.to_owned(), name)));
        }
    }

    #[test]
    fn short_western_lists_are_taken_for_windows_1252() {
        for text in [
            "Référence;Épaisseur;Prix €\n1;5;0,61\n",
            "Código;Diámetro;Precio\n1;5;0,61\n",
            "Código;Tamaño;Precio\n1;5;0,61\n",
            "Codice;Quantità;Qualità\n1;5;N42\n",
            "Code;Größe;Güte\n1;5;N42\n",
            "code;Ø;price £\n1;5;1.20\n",
            "Kód;Tjocklek;Höjd;Längd\n1;5;6;7\n",
            "code;note\n1;±0.1 mm, 80 °C, µm, ½ in\n",
        ] {
            let bytes = encoding_rs::WINDOWS_1252.encode(text).0.into_owned();
            assert_eq!(decode(&bytes, None), Ok((text.to_owned(), "windows-1252")));
        }
    }

    #[test]
    fn central_european_lists_are_taken_for_windows_1250() {
        for text in [
            "Kod;Średnica;Grubość;Długość\n1;5;6;7\n",
            "Kód;Průměr;Tloušťka;Šířka\n1;5;6;7\n",
        ] {
            let bytes = encoding_rs::WINDOWS_1250.encode(text).0.into_owned();
            let (decoded, name) = decode(&bytes, None).unwrap();
            assert_eq!(decoded, text, "{name}");
        }
    }

    #[test]
    fn cyrillic_text_is_not_taken_for_western() {
        let text = "Артикул;Диаметр;Толщина;Цена\nМагнит;Диск;Кольцо;Блок\n";
        let bytes = encoding_rs::WINDOWS_1251.encode(text).0.into_owned();
        assert_eq!(decode(&bytes, None), Ok((text.to_owned(), "windows-1251")));
    }

    #[test]
    fn says_on_which_line_the_asked_encoding_fails() {
        let western = encoding_rs::WINDOWS_1252.encode(TEXT).0.into_owned();
        let (wrong, right) = decode(&western, Some("utf-8")).unwrap_err();
        assert_eq!(
            wrong,
            "the text is not in UTF-8: line 1 holds bytes that mean nothing there"
        );
        assert!(right.contains("windows-1252"));
        assert!(decode(b"a", Some("klingon")).unwrap_err().0.contains("klingon"));
    }

    #[test]
    fn binary_data_is_not_text() {
        assert!(decode(b"code\0\x01\x02\x03,size\0\0", None).is_err());
    }
}
