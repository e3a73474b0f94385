//! The web page, built by `build.rs` and embedded in the program.
//!
//! The crate holds nothing but the files, so that an edit of the page recompiles no handler.

use std::borrow::Cow;

use rust_embed::RustEmbed;

#[derive(RustEmbed)]
#[folder = "$OUT_DIR/web"]
struct Web;

/// A file of the page, ready to be sent.
#[derive(Clone, Debug)]
pub struct Asset {
    /// Its content.
    pub bytes: Cow<'static, [u8]>,
    /// Its media type, such as `text/html; charset=utf-8`.
    pub mime: String,
    /// A strong entity tag in its quotes, made from the content.
    pub etag: String,
    /// Whether its name changes whenever its content does, so that it may be cached for good.
    pub immutable: bool,
}

/// The file at `path`; `""` and `"/"` are the page itself. A leading slash is allowed.
///
/// `None` where there is no such file. Only embedded files can be reached: nothing is read from disk, and `..` has no
/// meaning.
pub fn file(path: &str) -> Option<Asset> {
    let path = match path.trim_start_matches('/') {
        "" => "index.html",
        path => path,
    };
    let file = Web::get(path)?;
    let mime = file.metadata.mimetype();
    let text = mime.starts_with("text/") || mime.ends_with("javascript") || mime.ends_with("json");
    Some(Asset {
        mime: if text {
            format!("{mime}; charset=utf-8")
        } else {
            mime.to_owned()
        },
        etag: etag(&file.metadata.sha256_hash()),
        immutable: path.starts_with("assets/"),
        bytes: file.data,
    })
}

/// The names of all files, such as `index.html`.
pub fn names() -> impl Iterator<Item = Cow<'static, str>> {
    Web::iter()
}

/// The first 16 bytes of the hash are ample to tell two versions of a file apart.
fn etag(hash: &[u8; 32]) -> String {
    let digits: String = hash.iter().take(16).map(|byte| format!("{byte:02x}")).collect();
    format!("\"{digits}\"")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_page_itself_is_found_by_every_name() {
        for path in ["", "/", "index.html", "/index.html"] {
            let page = file(path).unwrap_or_else(|| panic!("no page at {path:?}"));
            assert_eq!(page.mime, "text/html; charset=utf-8");
            assert!(!page.immutable, "the page must be asked for anew each time");
            assert!(String::from_utf8_lossy(&page.bytes).starts_with("<!doctype html>"));
        }
    }

    #[test]
    fn other_names_find_nothing() {
        for path in [
            "nothing.js",
            "../Cargo.toml",
            "assets",
            "assets/",
            "/etc/passwd",
            "index.html/",
        ] {
            assert!(file(path).is_none(), "{path:?}");
        }
    }

    #[test]
    fn tags_are_strong_and_follow_the_content() {
        let mut tags: Vec<String> = names().filter_map(|name| file(&name)).map(|asset| asset.etag).collect();
        assert!(
            tags.iter()
                .all(|tag| tag.len() == 34 && tag.starts_with('"') && tag.ends_with('"'))
        );
        let all = tags.len();
        tags.sort();
        tags.dedup();
        assert_eq!(tags.len(), all, "two files of different content share a tag");
    }

    #[test]
    fn only_named_by_content_is_for_good() {
        for name in names() {
            let asset = file(&name).unwrap_or_else(|| panic!("listed but not found: {name}"));
            assert_eq!(asset.immutable, name.starts_with("assets/"), "{name}");
        }
    }

    #[test]
    fn the_page_runs_nothing_inline() {
        let page = file("")
            .map(|asset| String::from_utf8_lossy(&asset.bytes).into_owned())
            .unwrap_or_default();
        for script in page.split("<script").skip(1) {
            assert!(
                script.contains("src="),
                "an inline script would be refused: <script{script}"
            );
        }
        assert!(!page.contains(" onclick="), "inline handlers would be refused");
    }
}
