//! The line that was typed, and as it should have been.

use std::fmt;

use super::Given;

/// The words of a command line behind the program's name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Line(Vec<String>);

/// What a shell takes for itself outside of quote marks.
const OF_THE_SHELL: &[char] = &[
    ' ', '\t', '"', '\'', '$', '&', '(', ')', '*', ';', '<', '>', '?', '\\', '`', '|', '[', ']',
    '#', '!',
];

impl Line {
    pub(super) fn new(words: Vec<String>) -> Self {
        Self(words)
    }

    /// With other files in place of those that were typed, all at once.
    pub(super) fn with(&self, by: &[(&str, &str)]) -> Self {
        let mut left: Vec<&(&str, &str)> = by.iter().collect();
        let mut replaced = |word: &String| {
            let fits = |(from, _): &&(&str, &str)| behind_its_option(word, from).is_some();
            let Some(place) = left.iter().position(fits) else { return word.clone() };
            let (from, to) = left.remove(place);
            format!("{}{to}", behind_its_option(word, from).unwrap_or(""))
        };
        Self(self.0.iter().map(&mut replaced).collect())
    }

    /// With another file behind an option.
    pub(super) fn with_option(&self, option: &str, file: &str) -> Self {
        let mut words = self.0.clone();
        let begin = format!("{option}=");
        for i in 0..words.len() {
            if words[i].starts_with(&begin) {
                words[i] = format!("{begin}{file}");
            } else if words[i] == option && i + 1 < words.len() {
                words[i + 1] = file.to_string();
            }
        }
        Self(words)
    }

    /// Without an option and its file.
    pub(super) fn without_option(&self, option: &str) -> Self {
        let begin = format!("{option}=");
        let mut words = self.0.iter();
        let mut left = Vec::new();
        while let Some(word) = words.next() {
            if word == option {
                words.next();
            } else if !word.starts_with(&begin) {
                left.push(word.clone());
            }
        }
        Self(left)
    }

    /// Without a file.
    pub(super) fn without(&self, file: &str) -> Self {
        let mut words = self.0.clone();
        if let Some(place) = words.iter().position(|word| word == file) {
            words.remove(place);
        }
        Self(words)
    }

    /// Its command.
    pub(super) fn command(&self) -> &str {
        self.0.first().map_or("", String::as_str)
    }

    /// Whether an option is in it.
    pub(super) fn has(&self, option: &str) -> bool {
        self.0.iter().any(|word| word.split('=').next() == Some(option))
    }

    /// The line with two of its files exchanged, where that makes all of them fit.
    pub(super) fn exchanged(&self, given: &[Given]) -> Option<String> {
        let pairs = (0..given.len()).flat_map(|i| (i + 1..given.len()).map(move |k| (i, k)));
        for (i, k) in pairs {
            let (one, other) = (&given[i], &given[k]);
            let others = given.iter().enumerate().filter(|(at, _)| ![i, k].contains(at));
            let (a, b) = (one.place.takes(&other.is), other.place.takes(&one.is));
            if one.typed != other.typed && a && b && others.into_iter().all(|(_, of)| of.fits()) {
                let by = [(&*one.typed, &*other.typed), (&*other.typed, &*one.typed)];
                return Some(self.with(&by).to_string());
            }
        }
        None
    }
}

/// What stands before a file in a word: nothing, or its option.
fn behind_its_option<'w>(word: &'w str, file: &str) -> Option<&'w str> {
    let before = word.strip_suffix(file)?;
    (before.is_empty() || before.starts_with('-') && before.ends_with('=')).then_some(before)
}

/// A word as a shell takes it for one.
pub(super) fn quoted(word: &str) -> String {
    match word {
        "" => "\"\"".to_string(),
        word if !word.contains(OF_THE_SHELL) => word.to_string(),
        word if !word.contains(['"', '$', '`', '\\', '!']) => format!("\"{word}\""),
        word => format!("'{}'", word.replace('\'', "'\\''")),
    }
}

impl fmt::Display for Line {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("seatcut")?;
        self.0.iter().try_for_each(|word| write!(f, " {}", quoted(word)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(words: &[&str]) -> Line {
        Line::new(words.iter().map(|word| (*word).to_string()).collect())
    }

    #[test]
    fn files_are_put_in_place_of_others_wherever_they_are_typed() {
        let typed = line(&["make", "a.toml", "-o", "out", "--stock=rack.toml"]);
        let by = [("a.toml", "rack.toml"), ("rack.toml", "a.toml")];
        assert_eq!(typed.with(&by).to_string(), "seatcut make rack.toml -o out --stock=a.toml");
        assert_eq!(typed.with(&[("toml", "x")]), typed);
        assert!(typed.has("--stock") && !typed.has("--take"));
        assert_eq!(typed.without("a.toml").to_string(), "seatcut make -o out --stock=rack.toml");
        for typed in [&typed, &line(&["make", "a.toml", "-o", "out", "--stock", "a.toml"])] {
            let other = typed.with_option("--stock", "b.toml").to_string();
            assert!(other.starts_with("seatcut make a.toml -o out --stock"), "{other}");
            assert!(other.ends_with("b.toml"), "{other}");
            let without = typed.without_option("--stock").to_string();
            assert_eq!(without, "seatcut make a.toml -o out");
        }
        // The same file twice: only the first is another.
        let twice = line(&["diff", "a.toml", "a.toml"]).with(&[("a.toml", "b.toml")]);
        assert_eq!(twice.to_string(), "seatcut diff b.toml a.toml");
    }

    #[test]
    fn a_word_is_one_for_a_shell_too() {
        for (word, typed) in [
            ("a.toml", "a.toml"),
            ("my job.toml", "\"my job.toml\""),
            ("it's.toml", "\"it's.toml\""),
            ("$x y", "'$x y'"),
            ("a'$b", "'a'\\''$b'"),
            ("", "\"\""),
        ] {
            assert_eq!(quoted(word), typed);
        }
    }
}
