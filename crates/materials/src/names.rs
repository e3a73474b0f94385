//! Names as people type them.

/// A name without case, spaces, hyphens and underscores, for comparison.
pub(crate) fn folded(name: &str) -> String {
    name.chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '-' | '_' | '‑' | '–'))
        .flat_map(char::to_lowercase)
        .collect()
}
