//! Long texts in little room.

use miniz_oxide::deflate::compress_to_vec_zlib;
use miniz_oxide::inflate::decompress_to_vec_zlib_with_limit;

use crate::error::{Result, ShopError};

/// How hard it is tried, of 10: the usual.
const LEVEL: u8 = 6;
/// The longest text that is unpacked, bytes: many times the longest answer.
const LONGEST: usize = 64 << 20;

/// A text in little room.
pub(crate) fn pack(text: &str) -> Vec<u8> {
    compress_to_vec_zlib(text.as_bytes(), LEVEL)
}

/// The text that was packed.
///
/// # Errors
/// What was not made by [`pack`], or is longer than is taken.
pub(crate) fn unpack(packed: &[u8]) -> Result<String> {
    let wrong = |why: String| ShopError::Damaged(format!("a kept answer that cannot be unpacked: {why}"));
    let bytes = decompress_to_vec_zlib_with_limit(packed, LONGEST).map_err(|error| wrong(error.to_string()))?;
    String::from_utf8(bytes).map_err(|error| wrong(error.to_string()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_comes_back_and_takes_less_room() {
        for text in ["", "{}", "{\"lead\":\"Ein Magnet trägt 2 kg. 😀\"}"] {
            assert_eq!(unpack(&pack(text)).unwrap(), text);
        }
        let long = "{\"low\":0.125,\"mid\":0.25,\"high\":0.5}".repeat(3_000);
        assert!(pack(&long).len() * 10 < long.len());
    }

    #[test]
    fn what_is_cut_changed_or_endless_is_refused() {
        let packed = pack("{\"lead\":\"One disc.\"}");
        for bytes in [&packed[..packed.len() - 1], b"", b"{\"lead\":1}"] {
            assert!(matches!(unpack(bytes), Err(ShopError::Damaged(_))), "{bytes:?}");
        }
        let bomb = compress_to_vec_zlib(&vec![b' '; LONGEST + 1], 1);
        assert!(bomb.len() < 1 << 20);
        assert!(matches!(unpack(&bomb), Err(ShopError::Damaged(_))));
    }
}
