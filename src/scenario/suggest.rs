//! "Did you mean ...?"

/// Longer words are not compared.
const MAX: usize = 100;

/// The word nearest to a wrong one, if any is near.
#[must_use]
pub fn nearest<'a>(wrong: &str, words: &[&'a str]) -> Option<&'a str> {
    let folded = |word: &str| word.to_lowercase().replace(['-', '_'], " ");
    let short = |word: &str| word.len() <= MAX;
    if !short(wrong) {
        return None;
    }
    let wrong_folded = folded(wrong);
    let distance = |word: &str| strsim::damerau_levenshtein(&wrong_folded, &folded(word));
    let words = words.iter().filter(|word| short(word));
    let (steps, word) = words
        .map(|word| (distance(word), *word))
        .min_by_key(|(d, _)| *d)?;
    let longer = wrong.chars().count().max(word.chars().count());
    (steps <= 1.max(longer / 3)).then_some(word)
}

/// Whether one name is another with a letter wrong. Names that differ in their figures alone are two names.
#[must_use]
pub fn is_slip(wrong: &str, name: &str) -> bool {
    let letters = |word: &str| word.replace(|letter: char| letter.is_ascii_digit(), "");
    let longer = wrong.chars().count().max(name.chars().count());
    wrong != name
        && longer <= MAX
        && letters(wrong) != letters(name)
        && strsim::damerau_levenshtein(wrong, name) <= 1.max(longer / 5)
}

/// A sentence: did you mean this one, or which there are.
#[must_use]
pub fn among(wrong: &str, words: &[&str]) -> String {
    if let Some(word) = nearest(wrong, words) {
        return format!("did you mean \"{word}\"?");
    }
    match words {
        [] => "there are none yet".to_string(),
        [one] => format!("there is only \"{one}\""),
        _ => format!("there are {}", listed(words)),
    }
}

/// `"a", "b" and "c"`, not more than twenty of them.
#[must_use]
pub fn listed(words: &[&str]) -> String {
    first(words, 20)
}

/// The same, all of them: for words of the program, which are never very many.
#[must_use]
pub fn all(words: &[&str]) -> String {
    first(words, words.len())
}

fn first(words: &[&str], most: usize) -> String {
    let quoted: Vec<String> = words
        .iter()
        .take(most)
        .map(|word| format!("\"{word}\""))
        .collect();
    let more = words.len().saturating_sub(most);
    match (&quoted[..], more) {
        ([one], 0) => one.clone(),
        ([most @ .., last], 0) => format!("{} and {last}", most.join(", ")),
        _ => format!("{} and {more} more", quoted.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_word() {
        assert_eq!(
            nearest("clear_down", &["clear-down", "scrape"]),
            Some("clear-down")
        );
        assert_eq!(nearest("unlaod", &["load", "unload"]), Some("unload"));
        assert_eq!(nearest("zebra", &["load", "unload"]), None);
    }

    #[test]
    fn slips_of_the_pen() {
        assert!(is_slip("conveyer", "conveyor"));
        for (a, b) in [
            ("loader", "loader"),
            ("loader", "unloader"),
            ("cook 1", "cook 2"),
        ] {
            assert!(!is_slip(a, b), "{a} {b}");
        }
    }

    #[test]
    fn lists_of_names() {
        assert_eq!(
            among("x", &["plate", "cup"]),
            "there are \"plate\" and \"cup\""
        );
        assert_eq!(among("x", &[]), "there are none yet");
        assert_eq!(among("x", &["plate"]), "there is only \"plate\"");
    }
}
