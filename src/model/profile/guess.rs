//! What a word was meant for: a slip of the pen, or the names that have a word in common with it.
//! Nothing is guessed across kinds or countries; where nothing is near, nothing is said.

use strsim::levenshtein;

/// The longest word that is looked at.
const LONGEST_WORD: usize = 64;

/// The candidate that a word is a slip of the pen of: few letters differ, no digit does, and no
/// other candidate is as near.
pub fn nearest<'a>(word: &str, candidates: &[&'a str]) -> Option<&'a str> {
    let word = word.trim().to_lowercase();
    // Nothing is near to a text of any length that somebody put there.
    if word.chars().count() > LONGEST_WORD {
        return None;
    }
    let most = (word.chars().count().div_ceil(4)).clamp(1, 3);
    let mut near: Vec<(usize, &str)> = candidates
        .iter()
        .filter(|name| digits(name) == digits(&word))
        .map(|name| (levenshtein(&word, &name.to_lowercase()), *name))
        .filter(|(distance, _)| *distance <= most)
        .collect();
    near.sort_unstable();
    match near[..] {
        [(_, only)] => Some(only),
        [(first, best), (second, _), ..] if first < second => Some(best),
        _ => None,
    }
}

/// The names of profiles that a word may have been meant for, the likeliest alone where one is:
/// first a slip of the pen, then those that it is part of, then those that share most of its words.
/// A first word that names a country or a kind of thing keeps to those of that country or kind.
pub(crate) fn meant<'a>(word: &str, names: &[&'a str]) -> Vec<&'a str> {
    let words = words_of(word);
    let Some(first) = words.first() else { return Vec::new() };
    let alike: Vec<&str> =
        names.iter().filter(|name| name.split('-').next() == Some(first)).copied().collect();
    let names = if alike.is_empty() { names } else { &alike[..] };
    // Two letters that differ in the name of a country make another country of it.
    let slip = nearest(&words.join("-"), names)
        .filter(|name| !alike.is_empty() || name.split('-').next().is_some_and(|n| n.len() > 2));
    if let Some(slip) = slip {
        return vec![slip];
    }
    let squeezed = words.concat();
    let holds = |name: &&&str| squeezed.len() > 2 && name.replace('-', "").contains(&squeezed);
    let holding: Vec<&str> = names.iter().filter(holds).copied().collect();
    if !holding.is_empty() {
        return holding;
    }
    let shared = |name: &str| {
        name.split('-').filter(|part| part.len() > 1 && words.iter().any(|w| w == part)).count()
    };
    let most = names.iter().map(|name| shared(name)).max().unwrap_or(0);
    names.iter().filter(|name| most > 0 && shared(name) == most).copied().collect()
}

/// The words of a name as somebody typed it, small letters, whatever parts them.
fn words_of(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|part| !part.is_empty())
        .map(str::to_string)
        .collect()
}

fn digits(text: &str) -> String {
    text.chars().filter(char::is_ascii_digit).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::profile::names_of;

    fn of(kind: &str, word: &str) -> Vec<&'static str> {
        meant(word, &names_of(kind))
    }

    #[test]
    fn a_guess_keeps_to_its_kind_and_its_country() {
        assert_eq!(of("machine", "router-tabel"), ["router-table"]);
        assert!(of("machine", "router").iter().all(|name| name.starts_with("router")));
        assert_eq!(of("rules", "IRC"), ["us-irc-2018", "us-irc-2021", "us-irc-2024"]);
        assert_eq!(of("rules", "irc 2021"), ["us-irc-2021"]);
        assert!(of("rules", "us-private").iter().all(|name| name.starts_with("us-")));
        assert_eq!(of("rules", "uk-privat"), ["uk-private"]);
        assert_eq!(of("material", "hardboard-1/4"), ["hardboard-3", "hardboard-6"]);
        assert_eq!(of("material", "plywood-19"), ["plywood-12", "plywood-18"]);
        assert_eq!(of("material", "2x12"), ["board-2x12", "board-2x12-treated"]);
        assert!(of("machine", "plasma").is_empty() && of("material", "pine").is_empty());
        assert_ne!(of("rules", "ay-private"), ["au-private"]);
    }

    #[test]
    fn a_slip_of_the_pen_is_near_to_one_word_only() {
        assert_eq!(nearest("overhnag", &["cut", "boards", "overhang"]), Some("overhang"));
        assert_eq!(nearest("Flush", &["one-down", "flush"]), Some("flush"));
        assert_eq!(nearest("level", &["one-down", "flush"]), None);
        assert_eq!(nearest("nosing", &["cut", "overhang"]), None);
        assert_eq!(nearest("cup", &["cut", "cap"]), None);
    }
}
