//! What may be done to a magnet in a workshop, from `data/handling.toml`.

use std::sync::OnceLock;

use materials::grade::Family;
use serde::Deserialize;

use super::finding::Finding;

#[derive(Deserialize)]
struct HandlingFile {
    handling: Vec<HandlingRow>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct HandlingRow {
    work: String,
    families: Vec<Family>,
    lead: Option<String>,
    text: String,
    rule: String,
}

fn rows() -> &'static [HandlingRow] {
    static ROWS: OnceLock<Vec<HandlingRow>> = OnceLock::new();
    // A test reads the embedded data, so that it cannot be broken in a release.
    ROWS.get_or_init(|| {
        toml::from_str(include_str!("../../data/handling.toml"))
            .map_or_else(|_| Vec::new(), |f: HandlingFile| f.handling)
    })
}

/// What is known of a family of material.
pub(super) fn handling(family: Family) -> Vec<Finding> {
    rows()
        .iter()
        .filter(|row| row.families.is_empty() || row.families.contains(&family))
        .map(|row| Finding::Handling {
            work: row.work.clone(),
            lead: row.lead.clone(),
            text: row.text.clone(),
            rule: row.rule.clone(),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_family_is_told_of_drilling_and_of_glue() {
        let families = [
            Family::NdFeB,
            Family::SmCo,
            Family::Ferrite,
            Family::AlNiCo,
            Family::BondedNdFeB,
        ];
        for family in families {
            let works: Vec<String> = handling(family)
                .into_iter()
                .filter_map(|finding| match finding {
                    Finding::Handling { work, rule, .. } if !rule.is_empty() => Some(work),
                    _ => None,
                })
                .collect();
            let led = handling(family)
                .iter()
                .filter(|finding| matches!(finding, Finding::Handling { lead: Some(_), .. }))
                .count();
            assert_eq!(led, 1, "{family:?}");
            for work in ["drill, saw, grind", "glue"] {
                assert_eq!(works.iter().filter(|w| *w == work).count(), 1, "{family:?}: {works:?}");
            }
        }
    }
}
