//! Words broken into lines by their count of letters.

/// The text in lines of at most `most` letters, broken where it breaks itself and at spaces; a
/// longer word is broken anywhere. No text, no line.
pub(super) fn lines(text: &str, most: usize) -> Vec<String> {
    text.lines().flat_map(|line| broken(line, most.max(1))).collect()
}

fn broken(text: &str, most: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let mut rest: Vec<char> = word.chars().collect();
        let room =
            |line: &str| most.saturating_sub(line.chars().count() + usize::from(!line.is_empty()));
        if rest.len() > room(&line) && !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        while rest.len() > most {
            lines.push(rest.drain(..most).collect());
        }
        if rest.is_empty() {
            continue;
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.extend(rest);
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::lines;

    #[test]
    fn no_line_is_longer_than_asked_and_no_letter_is_lost() {
        for text in [
            "",
            "a few words that go on",
            "Wordwithoutanyspace",
            "x Wordwithoutanyspace y",
            "12345 12345",
        ] {
            for most in [0, 1, 5, 6, 11, 100] {
                let lines = lines(text, most);
                assert!(
                    lines.iter().all(|line| (1..=most.max(1)).contains(&line.chars().count())),
                    "{lines:?}"
                );
                let letters = |text: &str| text.split_whitespace().collect::<String>();
                assert_eq!(letters(&lines.concat()), letters(text));
            }
        }
    }

    #[test]
    fn a_line_is_filled_before_the_next_is_begun() {
        assert_eq!(lines("one two three", 7), ["one two", "three"]);
        assert_eq!(lines("one\ntwo three", 20), ["one", "two three"]);
    }
}
