//! Words compared without regard to case, accents and punctuation.

/// A text as words: lower case, common Latin accents off, everything but letters, digits and `ø` a blank.
pub(crate) fn words(text: &str) -> Vec<String> {
    let mut folded = String::with_capacity(text.len());
    for c in text.chars().flat_map(char::to_lowercase) {
        match c {
            'ø' | '⌀' | '∅' | 'Ø' => folded.push_str(" ø "),
            'ß' => folded.push_str("ss"),
            'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' | 'ą' => folded.push('a'),
            'ç' | 'ć' | 'č' => folded.push('c'),
            'è' | 'é' | 'ê' | 'ë' | 'ę' | 'ě' => folded.push('e'),
            'ì' | 'í' | 'î' | 'ï' => folded.push('i'),
            'ł' => folded.push('l'),
            'ñ' | 'ń' => folded.push('n'),
            'ò' | 'ó' | 'ô' | 'õ' | 'ö' => folded.push('o'),
            'ś' | 'š' => folded.push('s'),
            'ù' | 'ú' | 'û' | 'ü' => folded.push('u'),
            'ý' | 'ÿ' => folded.push('y'),
            'ź' | 'ż' | 'ž' => folded.push('z'),
            '\u{300}'..='\u{36f}' => {}
            'æ' => folded.push_str("ae"),
            'œ' => folded.push_str("oe"),
            c if c.is_alphanumeric() => folded.push(c),
            _ => folded.push(' '),
        }
    }
    folded.split_whitespace().map(str::to_owned).collect()
}

/// The words of a text with one blank between them.
pub(crate) fn folded(text: &str) -> String {
    words(text).join(" ")
}

/// A cell as it may be repeated in a report: on one line, and short.
pub(crate) fn excerpt(text: &str) -> String {
    const LONGEST: usize = 60;
    let mut shown: String = text
        .chars()
        .take(LONGEST)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    if text.chars().nth(LONGEST).is_some() {
        shown.push('…');
    }
    shown
}

/// A longer text is not a name that was mistyped, characters.
const LONGEST_NAME: usize = 40;

/// The names nearest to `word`, best first, at most three; none that is not near.
pub(crate) fn nearest<'a>(word: &str, names: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let bare = |text: &str| text.to_lowercase().replace([' ', '-', '_', '/'], "");
    let word = bare(word);
    if word.chars().count() > LONGEST_NAME {
        return Vec::new();
    }
    let allowed = (word.chars().count() / 3).max(1);
    let mut near: Vec<(usize, &str)> = names
        .map(|name| (strsim::osa_distance(&word, &bare(name)), name))
        .filter(|(distance, _)| *distance <= allowed)
        .collect();
    near.sort();
    near.dedup();
    near.truncate(3);
    near.into_iter().map(|(_, name)| name).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folds_case_accents_and_punctuation() {
        assert_eq!(words("Außen-Ø (mm)"), ["aussen", "ø", "mm"]);
        assert_eq!(folded("Épaisseur  [MM]"), "epaisseur mm");
        assert_eq!(folded("Stückpreis,ab 10"), "stuckpreis ab 10");
    }

    #[test]
    fn suggests_what_is_near_and_nothing_else() {
        let grades = ["N35", "N42", "N42SH", "Y30"];
        assert_eq!(nearest("N 24", grades.into_iter()), ["N42"]);
        assert!(nearest("plastic", grades.into_iter()).is_empty());
    }
}
